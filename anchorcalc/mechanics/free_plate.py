"""A free plate factorised once: how it bends under unit forces that balance each other.

A free plate may move as a whole (and fold at its hinges) without bending. It is therefore held at as many
nodes as it has such motions: forces in balance never pull at those supports, so that its bending is exact
and only its motion as a whole is left open, to be found by whoever knows what holds it. The unknowns are
eliminated from grid line to grid line in dense blocks, for many forces at a time.
"""

from __future__ import annotations

import functools
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from anchorcalc.mechanics.hermite import FloatArray, HermiteLine, PlateError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from anchorcalc.mechanics.plates import Plate

Rectangle = tuple[tuple[float, float], tuple[float, float]]
"""(x from, x to), (y from, y to) [m]."""

_INVERTED_WHOLE = 40  # rows
_LEAST_PIVOT = 1e-13  # of a matrix with unit diagonal; a loose part leaves about 1e-16


class Products(NamedTuple):
    """Functionals of the deflection, each a product of one along x and one along y.

    ``x`` is (count, plate.x.size), ``y`` (count, plate.y.size): a place, a mean over a patch, a unit load.
    """

    x: FloatArray
    y: FloatArray

    def of(self, unknowns: FloatArray) -> FloatArray:
        """Values (count,) for unknowns (plate.x.size, plate.y.size)."""
        return np.asarray(((self.x @ unknowns) * self.y).sum(axis=1), dtype=np.float64)


class FreePlate:
    """A plate that nothing holds, with what it does under given unit forces.

    Parameters
    ----------
    plate : the plate
    forces : unit forces; whatever acts on the plate must be among them
    openings : rectangles without material, their edges on grid lines [m]

    Attributes
    ----------
    motions : motions without bending as products: one, x, y and a fold at every hinge
    compliance : (forces, forces) deflection at each force under each other, up to a motion as a whole [m/N]

    Raises
    ------
    PlateError
        Openings that cut the plate in two.
    """

    def __init__(self, plate: Plate, forces: Products, openings: Sequence[Rectangle] = ()) -> None:
        self.plate = plate
        self._forces = forces
        self.motions = _motions(plate)
        self._blocks = _Blocks(plate, openings, self.motions)
        self._halfway = self._blocks.forward(forces)
        self.compliance: FloatArray = self._halfway.T @ self._halfway

    def unknowns(self, forces: FloatArray, motions: FloatArray) -> FloatArray:
        """Unknowns (plate.x.size, plate.y.size) under forces [N] and with an added share of each motion."""
        bent = self._blocks.backward(self._halfway @ forces)
        return np.asarray(bent + (self.motions.x * motions[:, None]).T @ self.motions.y, dtype=np.float64)

    def motions_at(self, functionals: Products) -> FloatArray:
        """Value of each functional in each motion, (functionals, motions)."""
        return np.asarray((functionals.x @ self.motions.x.T) * (functionals.y @ self.motions.y.T))


def _motions(plate: Plate) -> Products:
    along, across = ([_ramp(line, start) for start in (line.knots[0], *_hinges(line))] for line in (plate.x, plate.y))
    one_x, one_y = _ramp(plate.x, None), _ramp(plate.y, None)
    x = np.array([one_x, *along, *([one_x] * len(across))])
    return Products(x, np.array([one_y, *([one_y] * len(along)), *across]))


def _hinge_knots(line: HermiteLine) -> NDArray[np.intp]:
    """Numbers of the grid lines at the hinges, in the order of their unknowns."""
    cells = np.flatnonzero(line.unknowns[:, 3] >= 2 * line.knots.size)
    return np.asarray(cells[np.argsort(line.unknowns[cells, 3])] + 1)


def _hinges(line: HermiteLine) -> FloatArray:
    return np.asarray(line.knots[_hinge_knots(line)])


def _ramp(line: HermiteLine, start: float | None) -> FloatArray:
    """Unknowns (size,) of a function that rises by one a metre from a place on; of the constant one if none."""
    unknowns = np.zeros(line.size)
    values = slice(0, 2 * line.knots.size, 2)
    if start is None:
        unknowns[values] = 1.0
        return unknowns
    unknowns[values] = np.maximum(line.knots - start, 0.0)
    unknowns[1 : 2 * line.knots.size : 2] = line.knots >= start
    unknowns[2 * line.knots.size :] = _hinges(line) > start
    return unknowns


class _Blocks:
    """The plate's stiffness on its supports, factorised from line to line along the side with more lines."""

    def __init__(self, plate: Plate, openings: Sequence[Rectangle], motions: Products) -> None:
        self.turned = plate.y.knots.size > plate.x.knots.size
        along, across = (plate.y, plate.x) if self.turned else (plate.x, plate.y)
        a, b = _stiffness_terms(plate, openings)
        self._a, self._b = (b, a) if self.turned else (a, b)
        self._groups = [[2 * i, 2 * i + 1] for i in range(along.knots.size)]
        for number, knot in enumerate(_hinge_knots(along)):
            self._groups[knot].append(2 * along.knots.size + number)
        alive = _alive(plate, openings)
        diagonal = np.einsum("tii,tjj->ij", a, b)
        scale = np.where(alive, 1 / np.sqrt(np.where(alive, diagonal, 1.0)), 0.0)
        held = _supports(plate, alive, motions) | ~alive
        self._scale, self._held = (scale.T, held.T) if self.turned else (scale, held)
        self._across = across.size
        self._factorise()

    def _block(self, i: int, j: int) -> FloatArray:
        rows, columns = self._groups[i], self._groups[j]
        a = self._a[:, rows][:, :, columns]
        whole = np.tensordot(a, self._b, axes=(0, 0)).transpose(0, 2, 1, 3)
        size = self._across
        block = whole.reshape(len(rows) * size, len(columns) * size)
        return np.asarray(self._scale[rows].reshape(-1, 1) * block * self._scale[columns].ravel())

    def _factorise(self) -> None:
        self._inverses: list[FloatArray] = []  # of the lower triangles
        self._links: list[FloatArray] = []  # from each line to the one before
        for i, group in enumerate(self._groups):
            block = self._block(i, i)
            block[np.diag_indices_from(block)] += self._held[group].ravel()
            if i:
                self._links.append(self._block(i, i - 1) @ self._inverses[-1].T)
                block -= self._links[-1] @ self._links[-1].T
            self._inverses.append(_inverse_triangle(block))

    def forward(self, forces: Products) -> FloatArray:
        """Forces half-way solved, (size, count), so that products of two give work."""
        x, y = (forces.y, forces.x) if self.turned else (forces.x, forces.y)
        line_of = np.empty(x.shape[1], dtype=np.intp)
        for i, group in enumerate(self._groups):
            line_of[group] = i
        starts = np.where(x != 0, line_of, len(self._groups)).min(axis=1, initial=len(self._groups))
        order = np.argsort(starts)  # before the line where it begins a force does nothing
        begun = np.searchsorted(starts[order], np.arange(len(self._groups)), "right")
        x, y = x[order].T, y[order].T
        result = np.zeros((self._scale.size, len(order)))
        end, before = 0, np.zeros((0, 0))
        for i, (group, count) in enumerate(zip(self._groups, begun, strict=True)):
            right = x[group, None, :count] * y[:, :count] * self._scale[group][:, :, None]
            right = right.reshape(len(group) * self._across, count)
            if i:
                right[:, : before.shape[1]] -= self._links[i - 1] @ before
            before = self._inverses[i] @ right
            result[end : end + len(before), :count] = before
            end += len(before)
        halfway = np.empty_like(result)
        halfway[:, order] = result
        return halfway

    def backward(self, halfway: FloatArray) -> FloatArray:
        """Unknowns (plate.x.size, plate.y.size) from a half-way solved force (size,)."""
        result = np.zeros_like(self._scale)
        end, beyond = halfway.size, np.zeros(0)
        for i in reversed(range(len(self._groups))):
            group = self._groups[i]
            start = end - len(group) * self._across
            right = halfway[start:end]
            if i + 1 < len(self._groups):
                right = right - self._links[i].T @ beyond
            beyond = self._inverses[i].T @ right
            result[group] = self._scale[group] * beyond.reshape(len(group), -1)
            end = start
        return result.T if self.turned else result


def _inverse_triangle(block: FloatArray) -> FloatArray:
    """Inverse of the lower Cholesky triangle of `block`."""
    loose = PlateError("an opening cuts the floor apart, or leaves a strip of it loose")
    try:
        lower: FloatArray = np.asarray(np.linalg.cholesky(block), dtype=np.float64)
    except np.linalg.LinAlgError as fault:
        raise loose from fault
    if lower.diagonal().min() ** 2 < _LEAST_PIVOT:
        raise loose
    return _inverse_lower(lower)


def _inverse_lower(lower: FloatArray) -> FloatArray:
    """Inverse of a lower triangle by halves: numpy's own inverse does not use that the rest is empty."""
    size = len(lower)
    if size <= _INVERTED_WHOLE:
        return np.asarray(np.linalg.inv(lower))
    half = size // 2
    inverse = np.zeros_like(lower)
    inverse[:half, :half], inverse[half:, half:] = (
        _inverse_lower(lower[:half, :half]),
        _inverse_lower(lower[half:, half:]),
    )
    inverse[half:, :half] = -inverse[half:, half:] @ lower[half:, :half] @ inverse[:half, :half]
    return inverse


def _stiffness_terms(plate: Plate, openings: Sequence[Rectangle]) -> tuple[FloatArray, FloatArray]:
    """Pairs of matrices along x and y whose Kronecker products add up to the stiffness."""
    D_x, D_y, D_1, D_xy = plate.rigidities
    a, b = [], []
    for part, span_x, span_y in [(1.0, None, None), *((-1.0, *opening) for opening in openings)]:
        x = functools.partial(plate.x.gram, span=span_x)
        y = functools.partial(plate.y.gram, span=span_y)
        mixed_x, mixed_y, plain_x, plain_y = x(2, 0), y(2, 0), x(0, 0), y(0, 0)
        a += [part * D_x * x(2, 2), part * D_y * plain_x, part * D_1 * mixed_x, part * D_1 * mixed_x.T]
        a.append(part * 4 * D_xy * x(1, 1))
        b += [plain_y, y(2, 2), mixed_y.T, mixed_y, y(1, 1)]
    return np.array(a), np.array(b)


def _alive(plate: Plate, openings: Sequence[Rectangle]) -> NDArray[np.bool_]:
    """Unknowns (plate.x.size, plate.y.size) that belong to a cell with material."""
    lines = (plate.x, plate.y)
    middles = [line.knots[:-1] + line.widths / 2 for line in lines]
    there = np.ones([line.widths.size for line in lines])
    for opening in openings:
        inside = [(at > span[0]) & (at < span[1]) for at, span in zip(middles, opening, strict=True)]
        there[np.outer(*inside)] = 0.0
    touched = []
    for line in lines:
        belongs = np.zeros((line.widths.size, line.size))
        belongs[np.arange(line.widths.size)[:, None], line.unknowns] = 1.0
        touched.append(belongs)
    return np.asarray(touched[0].T @ there @ touched[1] > 0)


def _supports(plate: Plate, alive: NDArray[np.bool_], motions: Products) -> NDArray[np.bool_]:
    """Unknowns (plate.x.size, plate.y.size) that, held, just stop every motion: nodes far from each other."""
    nodes = (slice(0, 2 * plate.x.knots.size, 2), slice(0, 2 * plate.y.knots.size, 2))
    here = motions.x.T[nodes[0], None] * motions.y.T[None, nodes[1]]
    here = np.where(alive[nodes][:, :, None], here, 0.0).reshape(-1, len(motions.x))
    left = here / np.abs(here).max(axis=0)
    picked = []
    for _ in range(left.shape[1]):  # orthogonal elimination, the node that moves most first
        picked.append(int(np.argmax((left**2).sum(axis=1))))
        way = left[picked[-1]] / np.linalg.norm(left[picked[-1]])
        left = left - np.outer(left @ way, way)
    held = np.zeros(alive.shape, dtype=np.bool_)
    at = np.unravel_index(picked, (plate.x.knots.size, plate.y.knots.size))
    held[2 * at[0], 2 * at[1]] = True
    return held
