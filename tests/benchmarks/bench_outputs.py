"""How long the files take to write beyond start-up, in processor time: run by hand, not collected.

Wanted: report 1.0 s, template 0.5 s.
"""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
from pathlib import Path

COMMANDS = {
    "r.html": ("report", "roadster"),
    "t.pdf": ("template", "roadster", "plated"),
    "t.svg": ("template", "roadster", "plated"),
    "t.dxf": ("template", "roadster", "plated"),
    "p.svg": ("plan", "roadster"),
}


def processor_time(*arguments: str) -> float:
    """Time the command keeps a processor busy [s]; other work on the machine does not count."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([sys.executable, "-m", "anchorcalc", *arguments], check=False, capture_output=True, timeout=60)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime


def main() -> None:
    start_up = min(processor_time("--version") for _ in range(3))
    with tempfile.TemporaryDirectory() as folder:
        for name, arguments in COMMANDS.items():
            out = str(Path(folder) / name)
            spent = min(processor_time(*arguments, "-o", out, "--overwrite") for _ in range(3))
            print(f"{arguments[0]} {Path(name).suffix}: {spent - start_up:.2f} s beyond start-up")


if __name__ == "__main__":
    main()
