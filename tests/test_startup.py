"""Start-up is kept fast by what is not imported, which a test can hold without a clock."""

from __future__ import annotations

import subprocess
import sys

import pytest

HEAVY = ["scipy", "rich", "jinja2", "reportlab", "ezdxf", "matplotlib"]


def modules_after(*arguments: str) -> set[str]:
    """Top-level modules loaded once the command has run."""
    program = (
        "import sys\n"
        "from anchorcalc.cli import main\n"
        f"sys.argv = ['anchorcalc', *{list(arguments)!r}]\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        "print(' '.join(sorted({name.split('.')[0] for name in sys.modules})), file=sys.stderr)\n"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True, timeout=60)
    return set(done.stderr.split())


def test_help_loads_no_numbers_and_no_tables() -> None:
    assert modules_after("--help").isdisjoint([*HEAVY, "numpy", "pint", "pydantic", "yaml"])


@pytest.mark.parametrize("command", ["check", "compare"])
def test_json_output_loads_no_screen_and_no_scipy(command: str) -> None:
    loaded = modules_after(command, "roadster", "--format", "json")
    assert "numpy" in loaded
    # pint looks for scipy's bare package; its parts stay out.
    assert loaded.isdisjoint([name for name in HEAVY if name != "scipy"])


def test_json_output_loads_none_of_scipys_parts() -> None:
    program = (
        "import sys\n"
        "from anchorcalc.cli import main\n"
        "sys.argv = ['anchorcalc', 'check', 'roadster', '--format', 'json']\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        "print([n for n in ('scipy.optimize', 'scipy.sparse', 'scipy.linalg') if n in sys.modules], file=sys.stderr)\n"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True, timeout=60)
    assert done.stderr.strip() == "[]"
