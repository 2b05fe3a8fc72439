"""Where the moments of a steel plate are looked for: at what pulls or presses on it, and right across it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from anchorcalc.mechanics.free_plate import Products
from anchorcalc.mechanics.hermite import FloatArray, HermiteLine
from anchorcalc.mechanics.plate_body import Patch, Stretch, span_means
from anchorcalc.mechanics.plates import Moments, Plate, PlateSolution

if TYPE_CHECKING:
    from collections.abc import Sequence

_PLACES = 5  # across a seat


class SeatSections:
    """Where the moments of a steel plate are looked for at its seats, averaged as in `Base.under`.

    Parameters
    ----------
    plate : the steel's cells
    seats : feet, heads, nuts
    thickness : of the steel [m]
    """

    def __init__(self, plate: Plate, seats: Sequence[Patch], thickness: float) -> None:
        self._count = len(seats)
        self._numbers = np.repeat(np.arange(self._count), _PLACES)
        self._x = [_at_seats(plate.x, [seat.x for seat in seats], thickness, d) for d in range(3)]
        self._y = [_at_seats(plate.y, [seat.y for seat in seats], thickness, d) for d in range(3)]

    def look_into(self, solution: PlateSolution) -> FloatArray:
        """Greatest equivalent moment at each seat, (seats,) [N]."""
        greatest = np.zeros(self._count)
        for x, y in ((0, 1), (1, 0)):  # at places along x, averaged along y, and the other way round
            parts = [Products(self._x[i][x], self._y[j][y]).of(solution.unknowns) for i, j in ((2, 0), (0, 2), (1, 1))]
            np.maximum.at(greatest, self._numbers, Moments.of(solution.plate.rigidities, *parts).equivalent())
        return greatest


def _at_seats(
    line: HermiteLine, seats: Sequence[Stretch], thickness: float, derivative: int
) -> tuple[FloatArray, FloatArray]:
    """Rows at places over each seat, and as means over each seat widened, (seats · places, size) each."""
    places = np.concatenate([np.linspace(*seat, _PLACES) for seat in seats])
    start, end = float(line.knots[0]), float(line.knots[-1])
    wide = [(max(a - thickness, start), min(b + thickness, end)) for a, b in seats]
    means = span_means(line, wide, derivative)
    return line.rows(places, derivative), np.repeat(means, _PLACES, axis=0)


def hinge_moments(solution: PlateSolution) -> tuple[float, float]:
    """Greatest mean moment of a plate over its whole width, and over its whole length [N]."""
    plate, (D_x, D_y, D_1, _) = solution.plate, solution.plate.rigidities
    along = _right_across(plate.x, plate.y, solution.unknowns, D_x, D_1)
    return along, _right_across(plate.y, plate.x, solution.unknowns.T, D_y, D_1)


def _right_across(line: HermiteLine, other: HermiteLine, unknowns: FloatArray, D: float, D_1: float) -> float:
    """Greatest mean over the other line of the moment at places along a line."""
    places, whole = line.knots_and_middles, (float(other.knots[0]), float(other.knots[-1]))
    bent, flat = (line.rows(places, derivative) @ unknowns for derivative in (2, 0))
    return float(np.abs(D * (bent @ other.mean(whole)) + D_1 * (flat @ other.mean(whole, 2))).max())
