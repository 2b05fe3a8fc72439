"""Where the moments of a steel plate are averaged, by hand.

w = x³ y² / 6, so that w_xx = x y², w_yy = x³ / 3, w_xy = x² y.
"""

from __future__ import annotations

import numpy as np
import pytest

from anchorcalc.mechanics.plate_body import Patch
from anchorcalc.mechanics.plates import Plate, PlateSolution, Rigidities
from anchorcalc.mechanics.steel_sections import SeatSections, hinge_moments


def bent(rigidities: Rigidities) -> PlateSolution:
    x, y = np.linspace(0.0, 1.2, 13), np.linspace(0.0, 0.6, 7)
    along, across = (np.column_stack(each).ravel() for each in ((x**3 / 6, x**2 / 2), (y**2, 2 * y)))
    return PlateSolution(Plate(x, y, rigidities), np.outer(along, across))


@pytest.mark.parametrize(
    ("rigidities", "first", "second"),
    [
        # Along x at 0.8, y² over 0.28 to 0.42; at the edge along y at 0.5, x over 1.08 to 1.2.
        (Rigidities(1.0, 0.0, 0.0, 0.0), 0.8 * (0.42**3 - 0.28**3) / (3 * 0.14), 1.14 * 0.25),
        # x³ / 3 at 0.8, at 1.2.
        (Rigidities(0.0, 1.0, 0.0, 0.0), 0.8**3 / 3, 1.2**3 / 3),
        # Twist of w_xy: 0.8² over the mean of y, 0.35; the mean of x² over 1.08 to 1.2, at 0.5. It counts √3.
        (Rigidities(0.0, 0.0, 0.0, 0.5), 3**0.5 * 0.8**2 * 0.35, 3**0.5 * (1.2**3 - 1.08**3) / (3 * 0.12) * 0.5),
    ],
)
def test_moments_at_a_seat_are_means_over_it_and_a_thickness_each_side(
    rigidities: Rigidities, first: float, second: float
) -> None:
    solution = bent(rigidities)
    seats = [Patch((0.2, 0.8), (0.3, 0.4)), Patch((1.1, 1.2), (0.1, 0.5))]
    assert SeatSections(solution.plate, seats, 0.02).look_into(solution) == pytest.approx([first, second], rel=1e-9)


def test_moments_right_across() -> None:
    # Along, greatest at x 1.2: 2 · 1.2 · 0.6² / 3 + 0.5 · 1.2³ / 3. Across, at y 0.6: 3 · 1.2³ / 12 + 0.5 · 0.6 · 0.6².
    along, across = hinge_moments(bent(Rigidities(2.0, 3.0, 0.5, 0.0)))
    assert along == pytest.approx(0.288 + 0.288, rel=1e-9)
    assert across == pytest.approx(0.432 + 0.108, rel=1e-9)
