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

from anchorcalc.mechanics.plates import Plate, isotropic_rigidities
from anchorcalc.proof.held import Spread, Supports, solve_held

STEEL = isotropic_rigidities(210e9, 0.3, 0.006)
SIMPLE = Supports("simple", "simple", "simple", "simple")


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
    solve_held(plate, [Spread(1e3, (0.0, 0.3), (0.0, 0.3))], SIMPLE)


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


def main() -> None:
    linear(4)  # imports
    print("linear, simply supported, cells a side: seconds")
    sizes, times = [], []
    for cells in (8, 16, 32, 48):
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


if __name__ == "__main__":
    main()
