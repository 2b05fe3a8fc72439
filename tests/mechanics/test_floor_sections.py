"""Where moments and shears are averaged, by hand."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from anchorcalc.mechanics.floor_parts import Board, Member
from anchorcalc.mechanics.floor_sections import Sections, shears_beside
from anchorcalc.mechanics.plate_body import Patch
from anchorcalc.mechanics.plates import Plate, PlateSolution, Rigidities

T = 0.02
MEMBERS = [Member(x, 1e8, 0.05) for x in (0.0, 0.4, 0.8, 1.2)]


class Told:
    """A shape that keeps where it is asked for its shear, and tells more of it each time."""

    def __init__(self) -> None:
        self.asked: list[tuple[Any, Any]] = []

    def mean_shears(self, x: Any, y: Any) -> tuple[float, float]:
        self.asked.append((x, y))
        return 1.0 * len(self.asked), -2.0 * len(self.asked)


SHEET = Board((0.0, 1.2), (0.0, 0.6), Rigidities(1.0, 1.0, 0.0, 0.5), T)


def test_shear_is_the_mean_over_the_gap_to_a_members_face_and_over_two_thicknesses_across() -> None:
    shape = Told()
    found = shears_beside(((0.5, 0.6), (0.2, 0.3)), SHEET, shape, MEMBERS)  # type: ignore[arg-type]
    assert found == (2.0, 8.0)
    spans = [value for each in shape.asked for side in each for value in side]
    assert spans == pytest.approx([
        0.425, 0.5, 0.18, 0.32, 0.6, 0.775, 0.18, 0.32,  # along: face to seat, seat to face; a thickness each side
        0.48, 0.62, 0.16, 0.2, 0.48, 0.62, 0.3, 0.34,  # across: two thicknesses beside
    ])  # fmt: skip


@pytest.mark.parametrize(
    ("x", "y", "shears"),
    [
        ((0.4, 0.8), (0.2, 0.3), (0.0, 4.0)),  # from the middle of one member to that of the next
        ((0.5, 0.6), (0.0, 0.6), (2.0, 0.0)),  # over the whole board across
        ((2.0, 2.1), (0.2, 0.3), (0.0, 0.0)),  # beyond the board
        ((0.5, 0.6), (1.0, 1.1), (0.0, 0.0)),
    ],
)
def test_where_there_is_no_gap_nothing_is_sheared(x: Any, y: Any, shears: tuple[float, float]) -> None:
    assert shears_beside((x, y), SHEET, Told(), MEMBERS) == shears  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("seat", "mean"),
    [
        ((0.5, 0.6), (0.62**3 - 0.48**3) / (3 * 0.14)),  # a thickness each side
        ((0.75, 0.77), (0.775**3 - 0.73**3) / (3 * 0.045)),  # no farther than the face of the member beside
        ((0.43, 0.45), (0.47**3 - 0.425**3) / (3 * 0.045)),
        ((0.39, 0.5), (0.52**3 - 0.37**3) / (3 * 0.15)),  # a seat over a member: the next face is far
        ((0.4, 0.5), (0.52**3 - 0.4**3) / (3 * 0.12)),  # from the middle of a member on, up to it
        ((0.3, 0.4), (0.4**3 - 0.28**3) / (3 * 0.12)),
    ],
)
def test_moments_across_are_means_over_the_seat_and_a_thickness_each_side(
    seat: tuple[float, float], mean: float
) -> None:
    """w = x² y² / 2 with D_y alone: M_y = x², its mean by hand."""
    x, y = LINES
    found = looked_into(Rigidities(0.0, 1.0, 0.0, 0.0), (x**2, 2 * x), (y**2 / 2, y), seat, (0.2, 0.3))
    assert found[1] == pytest.approx(mean, rel=1e-9)


LINES = np.linspace(0.0, 1.2, 13), np.linspace(0.0, 0.6, 7)


def looked_into(
    rigidities: Rigidities, along: Any, across: Any, x: Any, y: Any, members: Any = MEMBERS, *, whole: bool = False
) -> tuple[float, float]:
    """Moments along and across at a seat of a board whose deflection is a product: values and slopes on its lines."""
    plate = Plate(*LINES, rigidities)
    unknowns = np.outer(np.column_stack(along).ravel(), np.column_stack(across).ravel())
    board = Board((0.0, 1.2), (0.0, 0.6), rigidities, T, whole=whole)
    found = np.zeros((2, 1))
    Sections(plate, board, members, [(0, Patch(x, y))]).look_into(PlateSolution(plate, unknowns), found)
    return float(found[0, 0]), float(found[1, 0])


@pytest.mark.parametrize(
    ("y", "members", "greatest"),
    [
        ((0.2, 0.3), MEMBERS, 0.8 * (0.32**3 - 0.18**3) / (3 * 0.14)),  # at the member ahead, a thickness each side
        ((0.0, 0.1), MEMBERS, 0.8 * 0.12**3 / (3 * 0.12)),  # no farther than the board
        ((0.5, 0.6), MEMBERS, 0.8 * (0.6**3 - 0.48**3) / (3 * 0.12)),
        ((0.2, 0.3), MEMBERS[:2], 0.6 * (0.32**3 - 0.18**3) / (3 * 0.14)),  # no member ahead: at the seat's own end
    ],
)
def test_moments_along_are_means_over_the_seat_and_a_thickness_each_side(y: Any, members: Any, greatest: float) -> None:
    """w = x³ y² / 6 with D_x alone: M_x = x y²; of a plank over its whole width, 0.12 x."""
    at = LINES[0], LINES[1]
    shape = (at[0] ** 3 / 6, at[0] ** 2 / 2), (at[1] ** 2, 2 * at[1])
    along = Rigidities(1.0, 0.0, 0.0, 0.0)
    assert looked_into(along, *shape, (0.5, 0.6), y, members)[0] == pytest.approx(greatest, rel=1e-9)
    assert looked_into(along, *shape, (0.5, 0.6), (0.2, 0.3), whole=True)[0] == pytest.approx(0.8 * 0.12, rel=1e-9)


def test_each_rigidity_counts_for_its_own_moment() -> None:
    # w = x³ y² / 6, at x 0.8: w_xx 0.8 · the mean of y² over 0.18 to 0.32, w_yy 0.8³ / 3 through D_1.
    # Across at y 0.3: w_yy the mean of x³ / 3 over 0.48 to 0.62, w_xx the mean of x, 0.55, times 0.09.
    x, y = LINES
    shape = (x**3 / 6, x**2 / 2), (y**2, 2 * y)
    found = looked_into(Rigidities(2.0, 3.0, 0.5, 0.0), *shape, (0.5, 0.6), (0.2, 0.3))
    along = 2 * 0.8 * (0.32**3 - 0.18**3) / (3 * 0.14) + 0.5 * 0.8**3 / 3
    across = 3 * (0.62**4 - 0.48**4) / (12 * 0.14) + 0.5 * 0.55 * 0.09
    assert found == (pytest.approx(along, rel=1e-9), pytest.approx(across, rel=1e-9))


def test_over_a_member_under_the_seat_moments_are_looked_for_right_there() -> None:
    """Curvature that rises to one over the member at 0.4 from nil 0.1 beside; five places miss it."""
    x, y = LINES
    rise = np.where(x > 0.45, 0.01 + 0.1 * (x - 0.5), np.where(x > 0.35, 0.01 / 6, 0.0))
    slope = np.where(x > 0.45, 0.1, np.where(x > 0.35, 0.05, 0.0))
    one = np.ones_like(y), np.zeros_like(y)
    found = looked_into(Rigidities(1.0, 0.0, 0.0, 0.0), (rise, slope), one, (0.36, 0.49), (0.2, 0.3))
    assert found[0] == pytest.approx(1.0, rel=1e-9)
