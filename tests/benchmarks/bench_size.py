"""How long the search of the stock takes: `python -m tests.benchmarks.bench_size`, on one core.

Set OPENBLAS_NUM_THREADS=1 and OMP_NUM_THREADS=1 to keep the linear algebra to that core.
"""

from __future__ import annotations

import time

import numpy as np

from anchorcalc.result.size import Wanted
from anchorcalc.sizing.search import StockSearch
from anchorcalc.sizing.size import backed, pull_direction, size
from tests.conftest import Texts, rig_of, roadster
from tests.sizing.setups import CATALOG, deck

CASES: dict[str, tuple[Texts, str]] = {
    "the demo": (roadster(), "strap"),
    "the demo, straight up": (roadster(), "up"),
    "a wide bay": (deck(spacing=24, aside=20), "up"),
    "a wide bay, strong deck": (deck(spacing=24, aside=20, layers=3, hold_down=3), "up"),
    "near the deck's edge": (deck(spacing=24, aside=33), "40 deg"),
}
SHARES = (0.5, 0.9, 1.5)  # of the strongest washer or plate: easy, hard, in vain


def main() -> None:
    for name, (texts, direction) in CASES.items():
        at = backed(rig_of(texts, CATALOG), "front left", None)
        way = pull_direction(at, direction)
        start = time.perf_counter()
        search = StockSearch(at.setting, CATALOG, way, Wanted(0.0, 0.0, ""), at.rig.basis, "us")
        closed = time.perf_counter() - start
        best = search.best_on_deck
        most = best.strength.working if best is not None else 1000.0
        print(f"{name}: {search.count} choices, {search.fitting_count} fit; closed rules {closed:.2f} s")
        for share in SHARES:
            solved: list[int] = []
            start = time.perf_counter()
            wanted = Wanted(share * most, 0.0, "")
            answer = size(at, CATALOG, way, wanted, lambda done, _, solved=solved: solved.append(done))
            seconds = time.perf_counter() - start
            plates = np.sum([choice.computed for choice in answer.choices])
            print(
                f"  {share:.1f} of the strongest on the deck: {seconds:.2f} s, {len(solved)} thin plates,"
                f" {len(answer.choices)} choices, {plates} of them computed, {answer.verdict}"
            )


if __name__ == "__main__":
    main()
