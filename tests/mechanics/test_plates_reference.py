"""The same plate by scikit-fem, a general finite element library: the same rectangle on the same mesh.

Triangles for the floor are in tests/mechanics/test_floor_reference.py.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy import sparse
from scipy.sparse.linalg import spsolve
from skfem import (
    Basis,
    BilinearForm,
    ElementQuadBFS,
    LinearForm,
    MeshQuad,
)
from skfem.helpers import dd

from anchorcalc.mechanics.hermite import grid_lines
from anchorcalc.mechanics.plates import Plate, Rigidities, orthotropic_rigidities
from anchorcalc.proof.held import Spread, Supports, solve_held

FloatArray = NDArray[np.float64]
GAUSS_ORDER = 7  # four points each way, as ours
SAME_ELEMENT = 1e-6


class Reference:
    """A plate of scikit-fem's rectangles on given lines."""

    def __init__(self, x: FloatArray, y: FloatArray, stiff: Rigidities) -> None:
        self.mesh = MeshQuad.init_tensor(x, y)
        self.basis = Basis(self.mesh, ElementQuadBFS(), intorder=GAUSS_ORDER)

        @BilinearForm
        def bending(u, v, w):  # type: ignore[no-untyped-def]
            a, b = dd(u), dd(v)
            return (
                stiff.D_x * a[0, 0] * b[0, 0]
                + stiff.D_y * a[1, 1] * b[1, 1]
                + stiff.D_1 * (a[0, 0] * b[1, 1] + a[1, 1] * b[0, 0])
                + 4 * stiff.D_xy * a[0, 1] * b[0, 1]
            )

        self.stiffness = bending.assemble(self.basis)

    def patch(self, total: float, x: tuple[float, float], y: tuple[float, float]) -> FloatArray:
        pressure = total / (x[1] - x[0]) / (y[1] - y[0])

        @LinearForm
        def load(v, w):  # type: ignore[no-untyped-def]
            inside = (w.x[0] > x[0]) & (w.x[0] < x[1]) & (w.x[1] > y[0]) & (w.x[1] < y[1])
            return pressure * inside * v

        return np.asarray(load.assemble(self.basis))

    def at_nodes(self, unknowns: FloatArray, x: FloatArray, y: FloatArray, which: int = 0) -> FloatArray:
        """Deflection (0) or a slope (1, 2) at the crossings of the lines."""
        places = {(round(a, 9), round(b, 9)): node for node, (a, b) in enumerate(self.mesh.p.T)}
        nodes = np.array([[places[round(a, 9), round(b, 9)] for b in y] for a in x])
        return np.asarray(unknowns[self.basis.nodal_dofs[which][nodes]])


def agrees(ours: FloatArray, theirs: FloatArray, within: float) -> bool:
    return bool(np.abs(ours - theirs).max() <= within * np.abs(theirs).max())


PLYWOOD = orthotropic_rigidities([3050.0], [1220.0], [0.6e9], [0.019], 0.08)


def test_orthotropic_plate_on_mixed_edges() -> None:
    x, y = grid_lines(1.2, 0.15, (0.5, 0.7)), grid_lines(0.8, 0.1, (0.33, 0.47))
    plate = Plate(x, y, PLYWOOD)
    held = Supports(x_start="clamped", x_end="simple", y_start="simple")
    ours = solve_held(plate, [Spread(900.0, (0.5, 0.7), (0.33, 0.47))], held).solution

    theirs = Reference(x, y, PLYWOOD)
    at = theirs.mesh.p
    fixed = [
        *theirs.basis.nodal_dofs[:, at[0] == x[0]].ravel(),
        *theirs.basis.nodal_dofs[[0, 2]][:, at[0] == x[-1]].ravel(),
        *theirs.basis.nodal_dofs[[0, 1]][:, at[1] == y[0]].ravel(),
    ]
    free = np.setdiff1d(np.arange(theirs.basis.N), fixed)
    unknowns = np.zeros(theirs.basis.N)
    load = theirs.patch(900.0, (0.5, 0.7), (0.33, 0.47))
    unknowns[free] = spsolve(sparse.csc_array(theirs.stiffness[free][:, free]), load[free])
    assert agrees(ours.deflection(x, y), theirs.at_nodes(unknowns, x, y), SAME_ELEMENT)
    for number, nodes in ((1, (slice(1, None, 2), slice(0, None, 2))), (2, (slice(0, None, 2), slice(1, None, 2)))):
        assert agrees(ours.unknowns[nodes], theirs.at_nodes(unknowns, x, y, number), SAME_ELEMENT)
