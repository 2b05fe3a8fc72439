"""How a floor is cut into cells, what bears a load, and what is added for the cells, by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
from msgspec.structs import replace

from anchorcalc.mechanics.floor import (
    BackingPlate,
    Board,
    Couple,
    FloorResponse,
    Member,
    Patch,
    _bears,
    _board_body,
    _clipped,
    _share,
    _span,
    _steel_body,
    bed_edges,
)
from anchorcalc.mechanics.plates import Rigidities

BOARD = Board((0.0, 1.2), (0.0, 0.6), Rigidities(1.0, 1.0, 0.0, 0.5), 0.02)
MEMBERS = [Member(x, 1e8, 0.05) for x in (0.0, 0.4, 0.8, 1.2, 1.6)]


def test_the_error_of_the_cells_is_added() -> None:
    pulls, along, across = np.array([10.0, 40.0]), np.array([100.0, 50.0]), np.array([25.0, 0.0])
    none = np.zeros(0)
    response = FloorResponse(pulls, none, along, across, np.array([7.0, 9.0]), none, (), ())
    assert response.greatest_pull(np.array([True, True])) == pytest.approx(41.0)  # 2.5 %
    assert response.greatest_pull(np.array([True, False])) == pytest.approx(10.25)
    assert response.greatest_moments == pytest.approx((104.0, 26.0))  # 4 %
    assert response.greatest_steel_moment == 9.0
    idle = FloorResponse(none, none, none, none, none, none, (), ())
    assert (idle.greatest_pull(none > 0), *idle.greatest_moments, idle.greatest_steel_moment) == (0.0, 0.0, 0.0, 0.0)

    class Sheared:
        def mean_shears(self, _x: object, _y: object) -> tuple[float, float]:
            return 20.0, -40.0

    sheared = replace(idle, boards=(None, Sheared()))
    found = sheared.greatest_shears([((0.5, 0.6), (0.2, 0.3))], [BOARD, BOARD], MEMBERS)
    assert found == pytest.approx((21.0, 42.0))  # 5 %


@pytest.mark.parametrize(
    ("at", "span"),
    [
        ((0.0, 0.4, 0.8), 0.4),
        ((0.0, 0.13, 0.53), 0.4),  # two close together, less than a third, are as good as one
        ((0.0, 0.14, 0.54), 0.14),
        ((0.5, 0.5), 1.2),  # a single one: the whole board
        ((), 1.2),
    ],
)
def test_the_span_that_sets_the_cells(at: tuple[float, ...], span: float) -> None:
    for board in (BOARD, replace(BOARD, x=(1.0, 2.2))):
        assert _span(board, at) == pytest.approx(span)


def test_four_cells_to_a_span_and_lines_at_members_and_seats() -> None:
    def lines(board: Board, *loads: Patch | Couple) -> tuple[np.ndarray, np.ndarray]:
        body = _board_body(board, MEMBERS, loads, (), 1.0)
        assert body
        return body.plate.x.knots, body.plate.y.knots

    couple = Couple((0.5, 0.6), (0.2, 0.3), "x")  # not looked into: no finer cells
    x, y = lines(BOARD, couple)
    assert (x, y) == (pytest.approx(np.linspace(0, 1.2, 13)), pytest.approx(np.linspace(0, 0.6, 7)))
    for ends in (MEMBERS[:2], MEMBERS[2:4]):  # of two, one right under the board's end
        body = _board_body(BOARD, ends, [couple], (), 1.0)
        assert body
        assert body.plate.x.knots == pytest.approx(x)
    unseen = Patch((0.51, 0.61), (0.21, 0.31), examined=False)
    assert lines(BOARD, unseen)[0] == pytest.approx(x)
    seen = lines(BOARD, unseen._replace(examined=True))
    assert {0.51, 0.61} <= set(seen[0])
    assert {0.21, 0.31} <= set(seen[1])
    assert _board_body(BOARD, MEMBERS, [Patch((1.2, 1.3), (0.1, 0.2))], (), 1.0) is None
    assert _board_body(BOARD, MEMBERS, [Patch((0.1, 0.2), (0.6, 0.7))], (), 1.0) is None


def test_cells_of_a_steel_plate_and_its_bed_closer_at_the_edges() -> None:
    plate = BackingPlate((1.0, 1.3), (2.0, 2.6), 0.005, 200e9, 0.3, (), 1e10)
    body = _steel_body(plate, 1.0)
    assert body.plate.x.knots == pytest.approx(np.linspace(1, 1.3, 7))
    assert body.plate.y.knots == pytest.approx(np.linspace(2, 2.6, 13))
    half, eighth = math.sqrt(0.5), math.cos(math.pi / 8)
    third = math.cos(3 * math.pi / 8)
    assert bed_edges(1.0, 1.2) == pytest.approx(
        [1 + (1 + part) / 10 for part in (-1, -eighth, -half, -third, 0, third, half, eighth, 1)]
    )
    # Of a side of 32 cm eight cells are 4 cm wide in the mean; beyond that there are as many more, in pairs.
    assert [bed_edges(0.0, side).size - 1 for side in (0.05, 0.32, 0.321, 0.4, 0.401, 0.9)] == [8, 8, 10, 10, 12, 24]
    assert np.diff(bed_edges(0.0, 0.9)).max() < 0.9 * math.pi / 48 * 1.001
    assert _clipped(np.array([0.0, 0.1, 0.2, 0.3]), (0.15, 0.4)) == pytest.approx([0.15, 0.2, 0.3])
    assert _clipped(np.array([0.0, 0.1, 0.2, 0.3]), (0.0, 0.1)) == pytest.approx([0.0, 0.1])


def test_what_bears_a_load() -> None:
    assert _share(Patch((1.1, 1.3), (0.5, 0.9)), BOARD) == pytest.approx(0.5 * 0.25)
    assert _share(Patch((1.3, 1.4), (0.5, 0.9)), BOARD) == 0.0
    assert _share(Patch((0.4, 0.5), (0.3, 0.35)), BOARD) == 1.0
    for x, y, borne in (
        (0.0, 0.3, True), (1.2, 0.3, True), (0.3, 0.0, True), (0.3, 0.6, True),  # on its edges
        (-0.001, 0.3, False), (1.201, 0.3, False), (0.3, -0.001, False), (0.3, 0.601, False),
    ):  # fmt: skip
        assert _bears(BOARD, x, y) == borne
