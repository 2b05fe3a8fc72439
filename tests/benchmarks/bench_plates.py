"""How long plates take, and against scikit-fem on the same mesh. Run as a script; nothing is asserted.

python tests/benchmarks/bench_plates.py
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable

import numpy as np
from scipy import sparse
from scipy.sparse.linalg import spsolve

from anchorcalc.mechanics.hermite import grid_lines
from anchorcalc.mechanics.plate_bed import CrushingBed, PlateBed, RoundPlate, WasherBed
from anchorcalc.mechanics.plates import (
    Plate,
    Supports,
    isotropic_rigidities,
    orthotropic_rigidities,
    solve_linear,
)
from tests.mechanics.deck_on_members import Members, Screws, solve_deck

STEEL = isotropic_rigidities(210e9, 0.3, 0.006)
SIMPLE = Supports("simple", "simple", "simple", "simple")
F_Y = 235e6
PULL = 100e3  # on the plate, enough to crush some of the wood


def best_of(task: Callable[[], object], times: int = 3) -> float:
    """Shortest time of a task [s]."""
    shortest = math.inf
    for _ in range(times):
        start = time.perf_counter()
        task()
        shortest = min(shortest, time.perf_counter() - start)
    return shortest


def linear(cells: int) -> None:
    lines = np.linspace(0, 0.3, cells + 1)
    plate = Plate(lines, lines, STEEL)
    solve_linear(plate, plate.load(1e3, (0.0, 0.3), (0.0, 0.3)), SIMPLE)


def linear_by_scikit_fem(cells: int, order: int | None) -> None:
    """The same with the library's own default order of integration, or with another."""
    from skfem import Basis, BilinearForm, ElementQuadBFS, LinearForm, MeshQuad
    from skfem.helpers import dd

    lines = np.linspace(0, 0.3, cells + 1)
    basis = Basis(MeshQuad.init_tensor(lines, lines), ElementQuadBFS(), intorder=order)

    @BilinearForm
    def bending(u, v, w):  # type: ignore[no-untyped-def]
        a, b = dd(u), dd(v)
        direct = STEEL.D_x * a[0, 0] * b[0, 0] + STEEL.D_y * a[1, 1] * b[1, 1]
        mixed = STEEL.D_1 * (a[0, 0] * b[1, 1] + a[1, 1] * b[0, 0])
        return direct + mixed + 4 * STEEL.D_xy * a[0, 1] * b[0, 1]

    @LinearForm
    def pressure(v, w):  # type: ignore[no-untyped-def]
        return 1e3 / 0.09 * v

    stiffness, load = bending.assemble(basis), pressure.assemble(basis)
    at = basis.mesh.p
    on_x, on_y = np.isin(at[0], lines[[0, -1]]), np.isin(at[1], lines[[0, -1]])
    dofs = basis.nodal_dofs
    held = np.concatenate([dofs[[0, 2]][:, on_x].ravel(), dofs[[0, 1]][:, on_y].ravel()])
    free = np.setdiff1d(np.arange(basis.N), held)
    spsolve(sparse.csc_matrix(stiffness[free][:, free]), load[free])


def four_bolt_plate(cells: int, t: float = 0.0048) -> tuple[PlateBed, np.ndarray]:
    """A 6 in square of 3/16 in steel under four 3/8 in nuts."""
    side, nut, bolts = 0.1524, 0.0127, (0.0349, 0.1175)
    lines = grid_lines(side, side / cells, [at + d * nut / 2 for at in bolts for d in (-1, 0, 1)])
    plate = Plate(lines, lines, isotropic_rigidities(210e9, 0.3, t))
    patches = [(at - nut / 2, at + nut / 2) for at in bolts]
    load = sum((plate.load(0.25, x, y) for x in patches for y in patches), start=np.zeros(plate.size))
    return PlateBed(plate, CrushingBed(1e11, 7.5e6)), load


def deck(cells_wide: float) -> None:
    inch = 0.0254
    xs = [16 * inch * number for number in range(5)]
    screws = [(x, y * inch) for x in xs for y in range(4, 80, 12)]
    patch = ((38 * inch, 42 * inch), (38 * inch, 42 * inch))
    x = grid_lines(64 * inch, cells_wide, (*xs, *patch[0]))
    y = grid_lines(80 * inch, cells_wide, (*(y for _, y in screws), *patch[1]))
    plate = Plate(x, y, orthotropic_rigidities([3050.0], [1220.0], [0.6e9], [0.019], 0.05))
    response = solve_deck(plate, Members(xs, 8e8), Screws(screws, 2e6), plate.load(1e3, *patch))
    balance = response.equilibrium
    print(f"    {plate.size} unknowns, {balance.iterations} steps, residual {balance.residual:.1e}")


def main() -> None:
    linear(4)  # imports
    print("linear, simply supported, cells a side: seconds")
    sizes, times = [], []
    for cells in (8, 16, 32, 48, 64, 96):
        seconds = best_of(lambda cells=cells: linear(cells))  # type: ignore[misc]
        sizes.append(4 * (cells + 1) ** 2)
        times.append(seconds)
        print(f"  {cells:3d} × {cells:<3d} {sizes[-1]:6d} unknowns {seconds:8.4f}")
    for first in (1, 2):
        power = np.polyfit(np.log(sizes[first:]), np.log(times[first:]), 1)[0]
        print(f"  time grows as unknowns^{power:.2f} from {sizes[first]} unknowns on")
    print("against scikit-fem, the same mesh and element, assembling and solving")
    for cells in (16, 32, 48):
        ours = best_of(lambda cells=cells: linear(cells))  # type: ignore[misc]
        for order, name in ((None, "its default order of integration"), (7, "as many Gauss points as ours")):
            theirs = best_of(lambda cells=cells, order=order: linear_by_scikit_fem(cells, order))  # type: ignore[misc]
            print(f"  {cells} × {cells}, {name}: {theirs:.3f} s against {ours:.4f} s, {theirs / ours:.1f} times")
    print("plate with four nuts on a crushing bed")
    for cells in (12, 16, 24, 32):
        bed, load = four_bolt_plate(cells)
        balance = bed.solve(PULL * load).equilibrium
        seconds = best_of(lambda bed=bed, load=load: bed.solve(PULL * load))  # type: ignore[misc]
        start = time.perf_counter()
        yields = bed.pull_at_moment(load, F_Y * 0.0048**2 / 6)
        search = time.perf_counter() - start
        print(
            f"  {bed.plate.size:5d} unknowns: {seconds:.3f} s, {balance.iterations} steps,"
            f" residual {balance.residual:.1e}; first yield {yields.factor / 1e3:.2f} kN in {search:.2f} s"
        )
    print("washer 38 × 2 mm under a 17 mm nut")
    washer = RoundPlate(np.linspace(0.0055, 0.019, 15), 210e9 * 0.002**3 / 12 / 0.91, 0.3)
    washer_bed = WasherBed(washer, CrushingBed(300e6 / 0.019, 7.5e6))
    unit = washer.load(1.0, (0.0055, 0.0085))
    seconds = best_of(lambda: washer_bed.pull_at_moment(unit, F_Y * 0.002**2 / 6))
    print(f"  first yield {washer_bed.pull_at_moment(unit, F_Y * 0.002**2 / 6).factor:.0f} N in {seconds:.3f} s")
    print("deck over five members with 35 screws")
    for wide in (0.1, 0.05):
        print(f"  {best_of(lambda wide=wide: deck(wide), 1):.3f} s")  # type: ignore[misc]


if __name__ == "__main__":
    main()
