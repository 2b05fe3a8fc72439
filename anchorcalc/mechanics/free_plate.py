"""A free plate factorised once: how it bends under unit forces that balance each other.

A free plate may move as a whole without bending. It is therefore held at three corners: forces in balance
never pull at those supports, so that its bending is exact and only its motion as a whole is left open, to be
found by whoever knows what holds it. The unknowns are
eliminated from grid line to grid line in dense blocks, for many forces at a time.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from anchorcalc.mechanics.hermite import FloatArray, HermiteLine, PlateError

if TYPE_CHECKING:
    from anchorcalc.mechanics.plates import Plate

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

    Attributes
    ----------
    motions : motions without bending as products: one, x and y
    compliance : (forces, forces) deflection at each force under each other, up to a motion as a whole [m/N]

    Raises
    ------
    PlateError
        A plate that rounding does not let solve.
    """

    def __init__(self, plate: Plate, forces: Products) -> None:
        self.plate = plate
        self._forces = forces
        self.motions = _motions(plate)
        self._blocks = _Blocks(plate)
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
    (one_x, ramp_x), (one_y, ramp_y) = (_one_and_ramp(line) for line in (plate.x, plate.y))
    return Products(np.array([one_x, ramp_x, one_x]), np.array([one_y, one_y, ramp_y]))


def _one_and_ramp(line: HermiteLine) -> tuple[FloatArray, FloatArray]:
    """Unknowns (size,) of the function one, and of the one that rises by one a metre from nil at the first line."""
    one, ramp = np.zeros(line.size), np.ones(line.size)
    one[0::2], ramp[0::2] = 1.0, line.knots - line.knots[0]
    return one, ramp


class _Blocks:
    """The plate's stiffness on its supports, factorised from line to line along the side with more lines."""

    def __init__(self, plate: Plate) -> None:
        self.turned = plate.y.knots.size > plate.x.knots.size
        along, across = (plate.y, plate.x) if self.turned else (plate.x, plate.y)
        a, b = _stiffness_terms(plate)
        self._a, self._b = (b, a) if self.turned else (a, b)
        self._scale: FloatArray = 1 / np.sqrt(np.einsum("tii,tjj->ij", self._a, self._b))
        self._held = np.zeros(self._scale.shape)  # three corners stop every motion, and nothing else
        self._held[[0, 0, -2], [0, -2, 0]] = 1.0
        self._lines, self._across = along.knots.size, across.size
        self._factorise()

    def _block(self, i: int, j: int) -> FloatArray:
        rows, columns = _of_line(i), _of_line(j)
        whole = np.tensordot(self._a[:, rows, columns], self._b, axes=(0, 0)).transpose(0, 2, 1, 3)
        block = whole.reshape(2 * self._across, 2 * self._across)
        return np.asarray(self._scale[rows].reshape(-1, 1) * block * self._scale[columns].ravel())

    def _factorise(self) -> None:
        self._inverses: list[FloatArray] = []  # of the lower triangles
        self._links: list[FloatArray] = []  # from each line to the one before
        for i in range(self._lines):
            block = self._block(i, i)
            block[np.diag_indices_from(block)] += self._held[_of_line(i)].ravel()
            if i:
                self._links.append(self._block(i, i - 1) @ self._inverses[-1].T)
                block -= self._links[-1] @ self._links[-1].T
            self._inverses.append(inverse_triangle(block))

    def forward(self, forces: Products) -> FloatArray:
        """Forces half-way solved, (size, count), so that products of two give work."""
        x, y = (forces.y, forces.x) if self.turned else (forces.x, forces.y)
        starts = np.where(x != 0, np.arange(x.shape[1]) // 2, self._lines).min(axis=1, initial=self._lines)
        order = np.argsort(starts)  # before the line where it begins a force does nothing
        begun = np.searchsorted(starts[order], np.arange(self._lines), "right")
        x, y = x[order].T, y[order].T
        size = 2 * self._across
        result = np.zeros((self._scale.size, len(order)))
        before = np.zeros((0, 0))
        for i, count in enumerate(begun):
            line = _of_line(i)
            right = (x[line, None, :count] * y[:, :count] * self._scale[line][:, :, None]).reshape(size, count)
            if i:
                right[:, : before.shape[1]] -= self._links[i - 1] @ before
            before = self._inverses[i] @ right
            result[i * size : (i + 1) * size, :count] = before
        halfway = np.empty_like(result)
        halfway[:, order] = result
        return halfway

    def backward(self, halfway: FloatArray) -> FloatArray:
        """Unknowns (plate.x.size, plate.y.size) from a half-way solved force (size,)."""
        result = np.zeros_like(self._scale)
        parts, beyond = halfway.reshape(self._lines, -1), np.zeros(0)
        for i in reversed(range(self._lines)):
            right = parts[i] if i + 1 == self._lines else parts[i] - self._links[i].T @ beyond
            beyond = self._inverses[i].T @ right
            line = _of_line(i)
            result[line] = self._scale[line] * beyond.reshape(2, -1)
        return result.T if self.turned else result


def _of_line(i: int) -> slice:
    """Unknowns of a grid line: value and slope."""
    return slice(2 * i, 2 * i + 2)


def inverse_triangle(block: FloatArray) -> FloatArray:
    """Inverse of the lower Cholesky triangle of a symmetric `block` (n, n) with a diagonal of about one.

    Raises
    ------
    PlateError
        Rounding does not let it be parted so.
    """
    loose = PlateError("a board or plate is too long for its width, or too limp one way, to be solved")
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


def _stiffness_terms(plate: Plate) -> tuple[FloatArray, FloatArray]:
    """Pairs of matrices along x and y whose Kronecker products add up to the stiffness."""
    D_x, D_y, D_1, D_xy = plate.rigidities
    x, y = plate.x.gram, plate.y.gram
    mixed_x, mixed_y, plain_x, plain_y = x(2, 0), y(2, 0), x(0, 0), y(0, 0)
    a = [D_x * x(2, 2), D_y * plain_x, D_1 * mixed_x, D_1 * mixed_x.T, 4 * D_xy * x(1, 1)]
    return np.array(a), np.array([plain_y, y(2, 2), mixed_y.T, mixed_y, y(1, 1)])
