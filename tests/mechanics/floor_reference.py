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
    """A free sheet of triangles on given lines, with an opening cut out and a hinge where asked for."""

    def __init__(
        self,
        x: Sequence[float],
        y: Sequence[float],
        stiff: Rigidities,
        opening: tuple[Span, Span] | None = None,
        hinge: float | None = None,
    ) -> None:
        pieces = [x] if hinge is None else [[p for p in x if p <= hinge], [p for p in x if p >= hinge]]
        self.bases = [self._basis(piece, y, opening) for piece in pieces]
        self.hinge = hinge

        @BilinearForm
        def bending(u, v, w):  # type: ignore[no-untyped-def]
            a, b = dd(u), dd(v)
            mixed = stiff.D_1 * (a[0, 0] * b[1, 1] + a[1, 1] * b[0, 0]) + 4 * stiff.D_xy * a[0, 1] * b[0, 1]
            return stiff.D_x * a[0, 0] * b[0, 0] + stiff.D_y * a[1, 1] * b[1, 1] + mixed

        self._tie = self._tied(y)
        whole = sparse.block_diag([bending.assemble(basis) for basis in self.bases])
        self.stiffness = sparse.csr_array(self._tie.T @ whole @ self._tie)

    @staticmethod
    def _basis(x: Sequence[float], y: Sequence[float], opening: tuple[Span, Span] | None) -> Basis:
        mesh = MeshTri.init_tensor(np.asarray(x), np.asarray(y))
        if opening is not None:
            (x0, x1), (y0, y1) = opening
            a, b = mesh.p[:, mesh.t].mean(axis=1)
            mesh = mesh.remove_elements(np.flatnonzero((a > x0) & (a < x1) & (b > y0) & (b < y1)))
        return Basis(mesh, ElementTriArgyris(), intorder=8)

    def _tied(self, y: Sequence[float]) -> sparse.csr_array:
        """Unknowns of all pieces from the free ones: along a hinge w, w_y and w_yy are shared."""
        if self.hinge is None:
            return sparse.csr_array(sparse.eye_array(self.bases[0].N))
        one, other = self.bases
        follows = {}
        for place in y:
            here, there = (
                int(np.flatnonzero(np.hypot(b.mesh.p[0] - self.hinge, b.mesh.p[1] - place) < 1e-9)[0])
                for b in self.bases
            )
            for kind in (0, 2, 5):
                follows[one.N + other.nodal_dofs[kind, there]] = one.nodal_dofs[kind, here]
        total = one.N + other.N
        free = [n for n in range(total) if n not in follows]
        column = {n: i for i, n in enumerate(free)}
        columns = [column[int(follows.get(n, n))] for n in range(total)]
        return sparse.csr_array((np.ones(total), (np.arange(total), columns)), shape=(total, len(free)))

    def rows(self, x: FloatArray, y: FloatArray) -> sparse.csr_array:
        """Deflection at places (x, y), (places, unknowns)."""
        x, y = np.broadcast_arrays(np.atleast_1d(np.asarray(x, float)), np.atleast_1d(np.asarray(y, float)))
        second = np.zeros(x.size, bool) if self.hinge is None else x > self.hinge
        parts = []
        for number, basis in enumerate(self.bases):
            mine = np.flatnonzero(second == bool(number))
            if mine.size:
                found = sparse.coo_array(basis.probes(np.array([x[mine], y[mine]])))
                entries = (found.data, (mine[found.coords[0]], found.coords[1]))
                parts.append(sparse.csr_array(entries, shape=(x.size, basis.N)))
            else:
                parts.append(sparse.csr_array((x.size, basis.N)))
        return sparse.csr_array(sparse.csr_array(sparse.hstack(parts)) @ self._tie)

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
