"""All figures of speed in one run, in processor time, so that other work on the machine counts little. Asserts nothing.

OPENBLAS_NUM_THREADS=1 python -m tests.benchmarks.bench

Start-up and files against bare imports, statics against cvxpy with Clarabel, floor and plate against scikit-fem, `size`
against its arithmetic alone, growth with straps, rings, elements and scenarios.
"""

from __future__ import annotations

import copy
import json
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from anchorcalc.links.piece import _floor, floor_answers
from anchorcalc.mechanics.floor import Floor, Screws
from anchorcalc.result.size import Wanted
from anchorcalc.sizing.search import StockSearch
from anchorcalc.sizing.size import backed, pull_direction, size
from anchorcalc.verdict.check import check_rig
from tests.benchmarks import bench_plates, bench_statics
from tests.conftest import rig_of, roadster
from tests.mechanics import test_floor_reference as triangles
from tests.sizing.setups import CATALOG


def spent(task: Callable[[], object], times: int = 3) -> float:
    """Least processor time of a task [s]."""
    found = []
    for _ in range(times):
        start = time.process_time()
        task()
        found.append(time.process_time() - start)
    return min(found)


def spent_by(*command: str, times: int = 3) -> float:
    """Least processor time of a command, its modules compiled already [s]."""
    found = []
    for _ in range(times + 1):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run([sys.executable, *command], check=False, capture_output=True, timeout=600)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        found.append(after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime)
    return min(found)


def told(what: str, seconds: float, against: float | None = None) -> None:
    ratio = "" if against is None else f"{seconds / against:10.2f} times"
    print(f"  {what:<58} {seconds:9.4f} s{ratio}", flush=True)


def without_floors(task: Callable[[], object]) -> Callable[[], object]:
    """The task with no floor worked out before."""

    def anew() -> object:
        _floor.cache_clear()
        floor_answers.cache_clear()
        return task()

    return anew


def start_up(folder: Path) -> None:
    bare = spent_by("-c", "import numpy, yaml")
    told("import numpy, yaml", bare)
    program = ("-m", "anchorcalc")
    version = spent_by(*program, "--version")
    told("--version", version, bare)
    told("check roadster", spent_by(*program, "check", "roadster"), bare)
    told("check roadster --format json", spent_by(*program, "check", "roadster", "--format", "json"), bare)
    told("improve roadster-screws", spent_by(*program, "improve", "roadster-screws", times=1), bare)
    for name in ("r.html", "t.pdf", "t.svg", "t.dxf", "p.svg"):
        command = {"r": ["report", "roadster"], "t": ["template", "roadster", "plated"], "p": ["plan", "roadster"]}
        told(
            f"{command[name[0]][0]} as {name[2:]}, beyond --version",
            spent_by(*program, *command[name[0]], "-o", str(folder / name), "--overwrite") - version,
            version,
        )


def references() -> None:
    ties, rings = bench_statics.layouts(200)
    many = spent(lambda: bench_statics.solve(ties, rings)) / (200 * bench_statics.CASES)
    conic = bench_statics.conic(ties, rings)
    theirs = spent(lambda: [conic(case) for case in range(bench_statics.CASES)]) / bench_statics.CASES
    told("statics, one case of 200 set-ups at once", many)
    told("  cvxpy with Clarabel, a case", theirs, many)
    layout, loads, forces = triangles.CASES[6]
    ours = spent(
        lambda: Floor(
            [layout.board], layout.members, Screws(layout.screws, triangles.K_SCREW), loads
        ).under(forces)
    )  # fmt: skip

    def anew() -> None:
        triangles.sheet_of.cache_clear()
        triangles.solved(triangles.CASES[6])

    told("lifted floor, four bolts", ours)
    told("  scikit-fem's triangles", spent(anew, 1) - ours, ours)
    plate = spent(lambda: bench_plates.linear(32))
    told("plate of 32 × 32 cells", plate)
    told("  scikit-fem, the same element", spent(lambda: bench_plates.linear_by_scikit_fem(32, None), 1), plate)


def sizing() -> None:
    at = backed(rig_of(roadster(), CATALOG), "front left", None)
    way = pull_direction(at, "strap")
    wanted = Wanted(2000.0, 0.0, "")
    search = without_floors(lambda: StockSearch(at.setting, CATALOG, way, wanted, at.rig.basis, "us"))
    alone = spent(search)
    told("size, the arithmetic of the whole stock alone", alone)
    told("  with its floors, plates and choices", spent(without_floors(lambda: size(at, CATALOG, way, wanted))), alone)


def grown(straps: int, rings: int) -> dict[str, Any]:
    """The demo with more rings along it and more straps on them."""
    texts = copy.deepcopy(roadster())
    ring, strap = texts["anchors"]["front left"], texts["straps"]["front left"]
    texts["anchors"] = {
        f"ring {n}": ring | {"at": [f"{20 + 150 * n / rings:.2f} in", f"{(-1) ** n * 30} in"]} for n in range(rings)
    }
    ties = sorted(texts["load"]["tie_points"])
    texts["straps"] = {
        f"strap {n}": strap | {"anchor": f"ring {n % rings}", "to": ties[n % len(ties)]} for n in range(straps)
    }
    return texts


def growth(folder: Path) -> None:
    for straps, rings in ((4, 4), (8, 4), (16, 4), (24, 4), (8, 8), (16, 16)):
        rig = rig_of(grown(straps, rings), CATALOG)
        told(f"check of {straps} straps on {rings} rings", spent(without_floors(lambda rig=rig: check_rig(rig)), 1))
    layout, loads, forces = triangles.CASES[6]
    for fineness in (1.0, 1.5, 2.0):
        floor = lambda f=fineness: Floor(  # noqa: E731 - one expression, timed
            [layout.board], layout.members, Screws(layout.screws, triangles.K_SCREW), loads, fineness=f
        ).under(forces)
        told(f"lifted floor, cells finer by {fineness:g}", spent(floor, 1))
    files = []
    for number in range(100):
        texts = roadster()
        texts["load"]["weight"] = f"{1000 + number} lb"
        files.append(str(folder / f"{number}.json"))
        Path(files[-1]).write_text(json.dumps(texts), encoding="utf-8")
    one = spent_by("-m", "anchorcalc", "check", "--format", "json", files[0], times=1)
    for count in (10, 100):
        several = spent_by("-m", "anchorcalc", "check", "--format", "json", *files[:count], times=1)
        told(f"each of {count} scenarios in one call, beyond the first", (several - one) / (count - 1), one)


def main() -> None:
    with tempfile.TemporaryDirectory() as name:
        for title, part in (("start-up", start_up), ("growth", growth)):
            print(title)
            part(Path(name))
        print("against others")
        references()
        print("sizing")
        sizing()


if __name__ == "__main__":
    main()
