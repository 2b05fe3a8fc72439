"""Thin rectangular plates by cubic Hermite elements on a grid of lines.

The deflection is a product of cubic Hermite functions along x and along y (the conforming rectangle of
Bogner, Fox and Schmit, 1965: four unknowns w, w_x, w_y, w_xy at a node, sixteen an element), so every
matrix of the plate is a sum of Kronecker products of small one-dimensional ones. Lines may lie at uneven
distances: edges of patches, cross-members and screws are meant to fall on them.

Deflection w and loads count positive the same way. Moments follow Timoshenko & Woinowsky-Krieger,
Theory of Plates and Shells, 2nd ed.: M_x = −(D_x w_xx + D_1 w_yy), positive where the face that moves
ahead is stretched.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from anchorcalc.mechanics.hermite import FloatArray, HermiteLine, PlateError, Span

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

EdgeSupport = Literal["free", "simple", "clamped", "mirror"]
"""How an edge is held; ``mirror`` is a line of symmetry: no slope across it, free to move."""

_LEAST_STIFFNESS = 1e-12  # of a matrix scaled to a unit diagonal; a plate that floats leaves about 1e-16
_LOOSE = "the plate is not held: its supports leave it free to move"


class Rigidities(NamedTuple):
    """Bending rigidities of a plate that is orthotropic along its edges [N m]."""

    D_x: float
    D_y: float
    D_1: float
    D_xy: float


def isotropic_rigidities(E: float, nu: float, t: float) -> Rigidities:
    """Rigidities of a plate of one material.

    Parameters
    ----------
    E : modulus of elasticity [Pa]
    nu : Poisson's ratio [-]
    t : thickness [m]

    Returns
    -------
    Rigidities D, D, ν D and D (1 − ν)/2 with D = E t³/12(1 − ν²) [N m]; Timoshenko & Woinowsky-Krieger eq. 3.
    """
    D = E * t**3 / (12 * (1 - nu**2))
    return Rigidities(D, D, nu * D, D * (1 - nu) / 2)


def orthotropic_rigidities(EI_x: ArrayLike, EI_y: ArrayLike, G_xy: ArrayLike, t: ArrayLike, nu_xy: float) -> Rigidities:
    """Rigidities of panels that lie on each other and slide: every layer bends by itself, stiffness adds.

    Layers held by screws alone are taken so too, because nothing in a few screws stops the sliding that
    would make one section of them; a glued stack is passed as one layer with its own EI and thickness.

    Parameters
    ----------
    EI_x, EI_y : (layers,) bending stiffness along x and along y per metre of width [N m]
    G_xy : (layers,) shear modulus in the panel's plane [Pa]
    t : (layers,) thickness [m]
    nu_xy : strain across y per strain along x, the ratio that belongs to EI_x [-]

    Returns
    -------
    Rigidities of the stack [N m]; Timoshenko & Woinowsky-Krieger section 85 with ν_yx EI_x = ν_xy EI_y.
    """
    stack_x, stack_y = float(np.sum(EI_x)), float(np.sum(EI_y))
    fixed_width = 1 - nu_xy**2 * stack_y / stack_x
    twist = float(np.sum(np.asarray(G_xy) * np.asarray(t) ** 3)) / 12
    return Rigidities(stack_x / fixed_width, stack_y / fixed_width, nu_xy * stack_y / fixed_width, twist)


@dataclass(frozen=True)
class Supports:
    """Where a plate is held rigidly: its edges, whole grid lines, single nodes [m]."""

    x_start: EdgeSupport = "free"
    x_end: EdgeSupport = "free"
    y_start: EdgeSupport = "free"
    y_end: EdgeSupport = "free"
    lines_x: tuple[float, ...] = ()
    lines_y: tuple[float, ...] = ()
    points: tuple[tuple[float, float], ...] = ()


class Plate:
    """A rectangular plate of one set of rigidities.

    Parameters
    ----------
    x, y : grid lines, rising [m]
    rigidities : bending rigidities [N m]
    joints_x, joints_y : grid lines x = const, y = const where two sheets meet: they move together and carry
        shear across, no moment. Sheets that meet clear of any support do not even do that: end the plate
        there.
    """

    def __init__(
        self,
        x: ArrayLike,
        y: ArrayLike,
        rigidities: Rigidities,
        joints_x: Sequence[float] = (),
        joints_y: Sequence[float] = (),
    ) -> None:
        self.x = HermiteLine(x, joints_x)
        self.y = HermiteLine(y, joints_y)
        self.rigidities = rigidities
        self.size = self.x.size * self.y.size

    @cached_property
    def stiffness(self) -> Any:
        """Stiffness matrix, sparse (size, size), of the plate on nothing [N/m and its kin]."""
        D_x, D_y, D_1, D_xy = self.rigidities
        x, y = self.x.gram, self.y.gram
        mixed_x, mixed_y = x(2, 0), y(2, 0)
        return self._kron(
            [
                (D_x * x(2, 2), y(0, 0)),
                (D_y * x(0, 0), y(2, 2)),
                (D_1 * mixed_x, mixed_y.T),
                (D_1 * mixed_x.T, mixed_y),
                (4 * D_xy * x(1, 1), y(1, 1)),
            ]
        )

    def load(self, total: float, x: Span, y: Span) -> FloatArray:
        """Load vector (size,) of a force [N] spread evenly over a patch, along a line or at a point [m]."""
        return np.asarray(total * np.outer(self.x.mean(x), self.y.mean(y)).ravel(), dtype=np.float64)

    def spring(self, stiffness: float, x: Span, y: Span) -> Any:
        """Matrix, sparse (size, size), of springs under a patch [N/m³], a line [N/m²] or a point [N/m]."""
        return self._kron([(stiffness * self.x.gram(0, 0, x), self.y.gram(0, 0, y))])

    def deflection_rows(self, x: ArrayLike, y: ArrayLike) -> Any:
        """Matrix, sparse (len(x) · len(y), size), giving w at every crossing of places along x and y [m]."""
        from scipy import sparse

        rows_x, rows_y = sparse.csr_array(self.x.rows(x)), sparse.csr_array(self.y.rows(y))
        return sparse.csr_array(sparse.kron(rows_x, rows_y, format="csr"))

    def free_unknowns(self, supports: Supports) -> NDArray[np.bool_]:
        """Which unknowns (size,) the rigid supports leave free."""
        held = np.zeros((self.x.size, self.y.size), dtype=np.bool_)
        ends = {"free": (), "simple": (0,), "clamped": (0, 1), "mirror": (1,)}
        last_x, last_y = 2 * self.x.widths.size, 2 * self.y.widths.size
        for start, edge in ((0, supports.x_start), (last_x, supports.x_end)):
            held[[start + unknown for unknown in ends[edge]], :] = True
        for start, edge in ((0, supports.y_start), (last_y, supports.y_end)):
            held[:, [start + unknown for unknown in ends[edge]]] = True
        for place in supports.lines_x:
            held[2 * self.x.knot(place), :] = True
        for place in supports.lines_y:
            held[:, 2 * self.y.knot(place)] = True
        for place_x, place_y in supports.points:
            held[2 * self.x.knot(place_x), 2 * self.y.knot(place_y)] = True
        return ~held.ravel()

    @staticmethod
    def _kron(pairs: list[tuple[FloatArray, FloatArray]]) -> Any:
        """Sum of Kronecker products, built once on the places where any of them is not zero."""
        from scipy import sparse

        touched_x = np.any([a != 0 for a, _ in pairs], axis=0)
        touched_y = np.any([b != 0 for _, b in pairs], axis=0)
        (i, j), (p, q) = np.nonzero(touched_x), np.nonzero(touched_y)
        data = np.stack([a[i, j] for a, _ in pairs], axis=1) @ np.stack([b[p, q] for _, b in pairs])
        n_x, n_y = len(touched_x), len(touched_y)
        places = ((i[:, None] * n_y + p).ravel(), (j[:, None] * n_y + q).ravel())
        return sparse.csc_array(sparse.coo_array((data.ravel(), places), shape=(n_x * n_y, n_x * n_y)))


class Moments(NamedTuple):
    """Bending and twisting moments per metre of width [N], arrays of one shape."""

    M_x: FloatArray
    M_y: FloatArray
    M_xy: FloatArray

    def equivalent(self) -> FloatArray:
        """Moment that stretches the face of a plate as much by von Mises [N]."""
        return np.sqrt(self.M_x**2 - self.M_x * self.M_y + self.M_y**2 + 3 * self.M_xy**2)


@dataclass(frozen=True)
class PlateSolution:
    """How a plate lies: its unknowns, the forces of its rigid supports, and all that follows from them."""

    plate: Plate
    unknowns: FloatArray  # (plate.x.size, plate.y.size)
    support_forces: FloatArray  # (lines along x, lines along y) on the plate at the nodes [N]

    def deflection(self, x: ArrayLike, y: ArrayLike) -> FloatArray:
        """Deflection at every crossing of places along x and y, (len(x), len(y)) [m]."""
        return self._at(x, y, 0, 0)

    def slopes(self, x: ArrayLike, y: ArrayLike) -> tuple[FloatArray, FloatArray]:
        """Slopes w_x and w_y at every crossing of places, (len(x), len(y)) each [-]."""
        return self._at(x, y, 1, 0), self._at(x, y, 0, 1)

    def moments(self, x: ArrayLike, y: ArrayLike) -> Moments:
        """Moments at every crossing of places, (len(x), len(y)) each [N]; on a grid line its sides' mean."""
        along_x, along_y = self.plate.x, self.plate.y
        w_xx = along_x.curvatures(self.unknowns @ along_y.rows(y).T, x)
        w_yy = along_y.curvatures(self.unknowns.T @ along_x.rows(x).T, y).T
        return self._moments(w_xx, w_yy, self._at(x, y, 1, 1))

    def greatest_moment(self) -> float:
        """Greatest equivalent moment [N] at all grid lines' crossings and half way between them."""
        places = (self.plate.x.knots_and_middles, self.plate.y.knots_and_middles)
        return float(self.moments(*places).equivalent().max())

    def mean_moments(self, x: Span, y: Span) -> Moments:
        """Moments averaged over a patch, or along a line where x or y is a place [N]."""
        return self._moments(*(self._mean(x, y, i, j) for i, j in ((2, 0), (0, 2), (1, 1))))

    def mean_shears(self, x: Span, y: Span) -> tuple[float, float]:
        """Shear forces Q_x, Q_y per metre averaged over a patch or along a line [N/m].

        They come from third derivatives, which cubic functions hold only to the first order of a cell's
        width: take them a cell or more away from where a load or support begins.
        """
        D_x, D_y, D_1, D_xy = self.plate.rigidities
        H = D_1 + 2 * D_xy
        Q_x = -(D_x * self._mean(x, y, 3, 0) + H * self._mean(x, y, 1, 2))
        Q_y = -(D_y * self._mean(x, y, 0, 3) + H * self._mean(x, y, 2, 1))
        return float(Q_x), float(Q_y)

    def _moments(self, w_xx: FloatArray, w_yy: FloatArray, w_xy: FloatArray) -> Moments:
        D_x, D_y, D_1, D_xy = self.plate.rigidities
        return Moments(-(D_x * w_xx + D_1 * w_yy), -(D_1 * w_xx + D_y * w_yy), -2 * D_xy * w_xy)

    def _at(self, x: ArrayLike, y: ArrayLike, i: int, j: int) -> FloatArray:
        return self.plate.x.rows(x, i) @ self.unknowns @ self.plate.y.rows(y, j).T

    def _mean(self, x: Span, y: Span, i: int, j: int) -> FloatArray:
        mean = self.plate.x.mean(x, i) @ self.unknowns @ self.plate.y.mean(y, j)
        return np.asarray(mean, dtype=np.float64)


def factorised(matrix: Any, least_stiffness: float = _LEAST_STIFFNESS) -> Callable[[FloatArray], FloatArray]:
    """Solver of a sparse, symmetric, positive definite matrix; raises PlateError where it is none.

    ``least_stiffness`` is the smallest taken for one, of the matrix scaled to a unit diagonal [-].
    """
    from scipy import sparse
    from scipy.sparse.linalg import splu

    diagonal = matrix.diagonal()
    if not np.all(diagonal > 0):
        raise PlateError("the plate is not held: part of it has no stiffness at all")
    # Values and slopes differ by orders of magnitude; a unit diagonal makes stiffnesses comparable.
    scale = 1 / np.sqrt(diagonal)
    scaled = sparse.csc_array(matrix, copy=True)
    scaled.data *= scale[scaled.indices] * np.repeat(scale, np.diff(scaled.indptr))
    try:
        factors = splu(scaled, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options={"SymmetricMode": True})
    except RuntimeError as error:
        raise PlateError(_LOOSE) from error
    # A force without pattern moves a loose plate past all measure.
    probe = np.sin(np.arange(1.0, diagonal.size + 1))
    if np.linalg.norm(factors.solve(probe)) * least_stiffness > np.linalg.norm(probe):
        raise PlateError(_LOOSE)
    return lambda right: np.asarray(scale * factors.solve(scale * right), dtype=np.float64)


def solve_linear(plate: Plate, load: FloatArray, supports: Supports, springs: Sequence[Any] = ()) -> PlateSolution:
    """Deflection of a plate under a load.

    Parameters
    ----------
    plate : the plate
    load : (size,) load vector, a sum of ``plate.load`` [N and its kin]
    supports : rigid supports
    springs : matrices of ``plate.spring``, pulling and pushing alike

    Returns
    -------
    The solution; PlateError when the supports leave the plate free to move.
    """
    stiffness = sum(springs, start=plate.stiffness)
    free = np.flatnonzero(plate.free_unknowns(supports))
    unknowns = np.zeros(plate.size)
    unknowns[free] = factorised(stiffness[free][:, free])(load[free])
    return solution(plate, unknowns, stiffness @ unknowns - load)


def solution(plate: Plate, unknowns: FloatArray, support_forces: FloatArray) -> PlateSolution:
    """A solution from flat vectors (size,) of unknowns and of what the rigid supports give."""
    shape = (plate.x.size, plate.y.size)
    forces = support_forces.reshape(shape)[: 2 * plate.x.knots.size : 2, : 2 * plate.y.knots.size : 2]
    return PlateSolution(plate, unknowns.reshape(shape), forces)
