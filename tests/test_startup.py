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
    assert loaded.isdisjoint([*HEAVY, "pint"])
