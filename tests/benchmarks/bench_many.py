"""Many scenarios in one call against one call each: time, and memory as their number grows.

python -m tests.benchmarks.bench_many --count 1000 --starts 50
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from anchorcalc.resources import data_folder

_LIGHTEST = 800  # lb


def _written(folder: Path, count: int) -> list[Path]:
    """The roadster `count` times, each of another weight, so that no two results are alike."""
    text = (data_folder("scenarios") / "roadster.yaml").read_text(encoding="utf-8")
    assert "weight: 1650 lb" in text
    files = []
    for number in range(count):
        files.append(folder / f"{number:05d}.yaml")
        files[-1].write_text(text.replace("weight: 1650 lb", f"weight: {_LIGHTEST + number} lb"), encoding="utf-8")
    return files


def _run(files: list[Path]) -> tuple[float, float, list[str]]:
    """Seconds, largest resident memory [MB] and lines of one call; the call is measured by its own process."""
    code = (
        "import resource, sys; from anchorcalc.cli import main\n"
        "try: main()\n"
        "finally: print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss, file=sys.stderr)"
    )
    start = time.perf_counter()
    done = subprocess.run([sys.executable, "-c", code, "check", "--format", "json", *map(str, files)],
                          capture_output=True, text=True, check=False)  # fmt: skip
    seconds = time.perf_counter() - start
    assert done.returncode in (0, 1), done.stderr
    return seconds, int(done.stderr.split()[-1]) / 1024, done.stdout.splitlines()


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=1000, help="scenarios in one call")
    parser.add_argument("--starts", type=int, default=50, help="separate starts to time")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        files = _written(Path(folder), given.count)
        for count in sorted({given.count // 10 or 1, given.count // 2 or 1, given.count}):
            seconds, megabytes, lines = _run(files[:count])
            assert len({json.loads(line)["weight_N"] for line in lines}) == count
            print(
                f"{count} in one call: {seconds:.2f} s, {1e3 * seconds / count:.2f} ms each, {megabytes:.1f} MB at most"
            )
        start = time.perf_counter()
        for file in files[: given.starts]:
            _run([file])
        each = (time.perf_counter() - start) / given.starts
        print(f"one call each: {1e3 * each:.0f} ms; {given.count} would take {given.count * each:.0f} s, "
              f"{given.count * each / seconds:.0f} times as long")  # fmt: skip


if __name__ == "__main__":
    main()
