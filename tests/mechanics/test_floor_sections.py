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
    """A shape that keeps where it is asked for its shear."""

    def __init__(self) -> None:
        self.asked: list[tuple[Any, Any]] = []

    def mean_shears(self, x: Any, y: Any) -> tuple[float, float]:
        self.asked.append((x, y))
        return 3.0, -5.0


def test_shear_is_the_mean_over_the_gap_to_a_members_face_and_over_two_thicknesses_across() -> None:
    board, shape = Board((0.0, 1.2), (0.0, 0.6), Rigidities(1.0, 1.0, 0.0, 0.5), T), Told()
    found = shears_beside(((0.5, 0.6), (0.2, 0.3)), board, shape, MEMBERS)  # type: ignore[arg-type]
    assert found == (3.0, 5.0)
    spans = [value for each in shape.asked for side in each for value in side]
    assert spans == pytest.approx([
        0.425, 0.5, 0.18, 0.32, 0.6, 0.775, 0.18, 0.32,  # along: face to seat, seat to face; a thickness each side
        0.48, 0.62, 0.16, 0.2, 0.48, 0.62, 0.3, 0.34,  # across: two thicknesses beside
    ])  # fmt: skip


@pytest.mark.parametrize(
    ("seat", "mean"),
    [
        ((0.5, 0.6), (0.62**3 - 0.48**3) / (3 * 0.14)),  # a thickness each side
        ((0.75, 0.77), (0.775**3 - 0.73**3) / (3 * 0.045)),  # no farther than the face of the member beside
        ((0.43, 0.45), (0.47**3 - 0.425**3) / (3 * 0.045)),
        ((0.39, 0.5), (0.52**3 - 0.37**3) / (3 * 0.15)),  # a seat over a member: the next face is far
    ],
)
def test_moments_across_are_means_over_the_seat_and_a_thickness_each_side(
    seat: tuple[float, float], mean: float
) -> None:
    """w = x² y² / 2 with D_y alone: M_y = x², its mean by hand."""
    x, y = np.linspace(0.0, 1.2, 13), np.linspace(0.0, 0.6, 7)
    rigidities = Rigidities(0.0, 1.0, 0.0, 0.0)
    plate = Plate(x, y, rigidities)
    along, across = (np.column_stack(each).ravel() for each in ((x**2, 2 * x), (y**2 / 2, y)))
    board = Board((0.0, 1.2), (0.0, 0.6), rigidities, T)
    sections = Sections(plate, board, MEMBERS, [(0, Patch(seat, (0.2, 0.3)))])
    found = np.zeros((2, 1))
    sections.look_into(PlateSolution(plate, np.outer(along, across)), found)
    assert found[1, 0] == pytest.approx(mean, rel=1e-9)
