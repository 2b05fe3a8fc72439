"""Many mutants, or one again: ``python -m tests.fuzz.long_run --count 100000`` or ``--kind table --first 17``."""

from __future__ import annotations

import argparse
import os
import tempfile
import time
import warnings
from collections import Counter
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before numpy is loaded: its threads would count as time

from tests.fuzz.targets import Bench, Finding

SHARES = {"scenario": 0.7, "answer": 0.15, "table": 0.15}


def main() -> int:
    """Run the mutants and print what was found; the status says whether anything was."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=1, help="how many mutants in all")
    parser.add_argument("--first", type=int, default=0, help="first seed of each kind")
    parser.add_argument("--kind", choices=[*SHARES, "pair"], help="only this kind")
    parser.add_argument("--patience", type=float, default=1.0, help="how many times its time a command is given")
    parser.add_argument("--most", type=int, default=20, help="how many findings of one sort to print")
    given = parser.parse_args()
    shares = {given.kind: 1.0} if given.kind else SHARES
    found: Counter[str] = Counter()
    warnings.simplefilter("error")  # no user may meet one
    with tempfile.TemporaryDirectory() as folder:
        bench = Bench(Path(folder), given.patience)
        for kind, share in shares.items():
            start = time.perf_counter()
            number = max(round(given.count * share), 1)
            for seed in range(given.first, given.first + number):
                try:
                    getattr(bench, kind)(seed)
                except Finding as finding:
                    sort = f"{kind}: {str(finding).splitlines()[0].split(';')[0][:80]}"
                    found[sort] += 1
                    if found[sort] <= given.most:
                        print(f"--- {kind} {seed}\n{finding}\n", flush=True)
            seconds = time.perf_counter() - start
            runs = ", ".join(f"{times} ended with {status}" for status, times in sorted(bench.statuses.items()))
            bench.statuses.clear()
            print(f"{kind}: {number} mutants, {1e3 * seconds / number:.1f} ms each; {runs}", flush=True)
    for sort, times in found.most_common():
        print(f"{times:6d}  {sort}")
    print(f"{sum(found.values())} findings")
    return 1 if found else 0


if __name__ == "__main__":
    raise SystemExit(main())
