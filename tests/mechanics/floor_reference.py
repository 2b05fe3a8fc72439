"""Floors by scikit-fem's Argyris triangles, laid out and solved in another way than ours.

Quintic triangles instead of cubic rectangles; contacts sampled at Gauss places by point evaluation instead of
trapezoids on grid lines; what holds is found by solving the whole sparse system anew at every step.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy import sparse
from scipy.sparse.linalg import spsolve
from skfem import Basis, BilinearForm, ElementTriArgyris, MeshTri
from skfem.helpers import dd

from anchorcalc.mechanics.plates import Rigidities

FloatArray = NDArray[np.float64]
Span = tuple[float, float]
PLACES, WEIGHTS = np.polynomial.legendre.leggauss(4)
STEP = 1e-3  # of finite differences [m]


def gauss(span: Span, parts: int) -> tuple[FloatArray, FloatArray]:
    """Places and lengths of four Gauss places in each part of a stretch."""
    edges = np.linspace(*span, parts + 1)
    half = np.diff(edges)[:, None] / 2
    return ((edges[:-1] + edges[1:])[:, None] / 2 + half * PLACES).ravel(), (half * WEIGHTS).ravel()


class Sheet:
    """A free sheet of triangles on given lines."""

    def __init__(self, x: Sequence[float], y: Sequence[float], stiff: Rigidities) -> None:
        self.basis = Basis(MeshTri.init_tensor(np.asarray(x), np.asarray(y)), ElementTriArgyris(), intorder=8)

        @BilinearForm
        def bending(u, v, w):  # type: ignore[no-untyped-def]
            a, b = dd(u), dd(v)
            mixed = stiff.D_1 * (a[0, 0] * b[1, 1] + a[1, 1] * b[0, 0]) + 4 * stiff.D_xy * a[0, 1] * b[0, 1]
            return stiff.D_x * a[0, 0] * b[0, 0] + stiff.D_y * a[1, 1] * b[1, 1] + mixed

        self.stiffness = sparse.csr_array(bending.assemble(self.basis))

    def rows(self, x: FloatArray, y: FloatArray) -> sparse.csr_array:
        """Deflection at places (x, y), (places, unknowns)."""
        x, y = np.broadcast_arrays(np.atleast_1d(np.asarray(x, float)), np.atleast_1d(np.asarray(y, float)))
        if not x.size:
            return sparse.csr_array((0, self.basis.N))
        return sparse.csr_array(self.basis.probes(np.array([x, y])))

    def patch(self, x: Span, y: Span, tilt: str = "") -> FloatArray:
        """Load of one newton spread over a patch, or of one newton metre rising along x or y."""
        (at_x, long_x), (at_y, long_y) = gauss(x, 2), gauss(y, 2)
        places = np.meshgrid(at_x, at_y, indexing="ij")
        weights = np.outer(long_x, long_y)
        if tilt:
            lever = places["xy".index(tilt)] - (sum(x) if tilt == "x" else sum(y)) / 2
            weights = weights * lever / (weights * lever**2).sum()
        else:
            weights = weights / weights.sum()
        return np.asarray(self.rows(places[0].ravel(), places[1].ravel()).T @ weights.ravel())

    def mean_curvatures(self, x: FloatArray, y: Span, unknowns: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Mean w_xx and w_yy along lines x = const, (len(x),) each, by differences."""
        at, lengths = gauss(y, 4)
        offsets = [(0, 0), (-STEP, 0), (STEP, 0), (0, -STEP), (0, STEP)]
        places = [(a + dx, at + dy) for a in x for dx, dy in offsets]
        rows = self.rows(
            np.concatenate([np.full(at.size, a) for a, _ in places]), np.concatenate([b for _, b in places])
        )
        w = (rows @ unknowns).reshape(len(x), len(offsets), at.size) @ (lengths / lengths.sum())
        return (w[:, 1] - 2 * w[:, 0] + w[:, 2]) / STEP**2, (w[:, 3] - 2 * w[:, 0] + w[:, 4]) / STEP**2


def settle(
    stiffness: sparse.csr_array, rows: sparse.csr_array, k: FloatArray, load: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Unknowns and forces of springs that answer k max(row · unknowns, 0)."""
    holds = np.ones(k.size, dtype=bool)
    trace = 1e-9  # keeps what floats on idle springs in place; no force is counted from it
    seen = set()
    for _ in range(100):
        tangent = stiffness + rows.T @ (sparse.diags_array(np.where(holds, k, trace * k)) @ rows)
        unknowns = spsolve(sparse.csc_array(tangent), load)
        w = rows @ unknowns
        now = w > 0
        wrong = (now != holds) & (np.abs(w) > 1e-9 * np.abs(w).max())
        if not wrong.any():
            return unknowns, np.where(holds, k * w, 0.0)
        if holds.tobytes() in seen:
            wrong &= np.abs(w) >= np.abs(w[wrong]).max()
        seen.add(holds.tobytes())
        holds = holds ^ wrong
    raise AssertionError("the reference did not settle")
