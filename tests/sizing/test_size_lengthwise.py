"""`size` under members that run lengthwise: what it finds on the same deck turned by a quarter, turned."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from anchorcalc.result.size import SizeAnswer, SizeChoice, Wanted
from anchorcalc.rig.parts import Bearing, Bolts, PlateSeat
from anchorcalc.sizing.size import backed, size
from anchorcalc.sizing.stock import Stock, misfits, rows_on_member, stock, strengths
from tests.links.setups import bolted, deck, plywood, pull_at, rig_of, setup, washers
from tests.links.test_lengthwise import lengthwise, mounting_turned, turned
from tests.links.test_timber import wooden
from tests.sizing.setups import CATALOG, INCH, SOME_STOCK

RING = bolted(washers(), at={"rectangle": ["3 in", "2 in"]}, base=(6.0, 4.0))
TO_LEFT = {"front": "left", "rear": "right", "all": "all", None: None}


def sized(on: Any, mounting: Any, place: tuple[float, float], way: float, working: float) -> SizeAnswer:
    at = backed(rig_of(setup(on, mounting, place)), "ring 1", None)
    wanted = Wanted(working, 0.0, "as asked")
    return size(at, SOME_STOCK, np.array(pull_at(40, way=way)), wanted, picture=True)


def told(choice: SizeChoice, *, to_left: bool = False) -> tuple[Any, ...]:
    """A choice, of one on members that run across as it lies when all is turned to the left."""
    backing, sides = choice.backing, choice.backing.size
    if to_left and sides is not None:
        sides = sides[::-1]
    row = TO_LEFT[backing.through] if to_left else backing.through
    return backing.kind, sides, row, backing.thickness, backing.washer, choice.bolts.size, choice.bolts.grade


@pytest.mark.parametrize(("working", "place"), [(1500.0, (64.0, 12.0)), (900.0, (63.0, 33.0)), (400.0, (70.5, 12.0))])
def test_a_quarter_turn_finds_the_same_choices(working: float, place: tuple[float, float]) -> None:
    # Bearers of wood take no bars either way round, so that the same is in stock for both.
    on = wooden(plywood(grain="along"), breadth="2 1/2 in")
    across = sized(on, RING, place, 20.0, working)
    along = sized(lengthwise(on), mounting_turned(RING), turned(*place), 110.0, working)
    assert [told(each) for each in along.choices] == [told(each, to_left=True) for each in across.choices]
    assert along.choices
    for one, other in zip(along.choices, across.choices, strict=True):
        assert one.strength.working == pytest.approx(other.strength.working, rel=1e-6)
        assert one.weight == pytest.approx(other.weight)
    assert along.enough == across.enough
    if across.bearing is not None:
        assert along.bearing is not None
        # Seen from above a place (x, y) goes to (-y, x): rows become columns, from the other end.
        assert np.array(along.bearing.pressure) == pytest.approx(np.array(across.bearing.pressure).T[::-1], rel=1e-6)
        assert along.bearing.x == pytest.approx([-y for y in reversed(across.bearing.y)])
        nuts = sorted((round(-y, 6), round(x, 6)) for x, y in across.bearing.nuts)
        assert sorted((round(x, 6), round(y, 6)) for x, y in along.bearing.nuts) == nuts


def test_an_oblong_plate_is_asked_as_it_lies() -> None:
    # 10 in along by 5 in across fits between the members at 56 and 72 in and the side edge 3 in off; the other way
    # round it reaches beyond the edge.
    seats = [PlateSeat((a * INCH, b * INCH), 0.25 * INCH, CATALOG.steel("A36")) for a, b in ((10, 5), (5, 10), (6, 5))]
    bolts = (Bolts(CATALOG.thread("3/8-16"), CATALOG.bolt_grade("SAE 5"), None, None),)
    held = []
    for on, ring, at, way, sides in (
        (deck(plywood()), RING, (63.0, 33.0), 20.0, slice(None)),
        (lengthwise(deck(plywood())), mounting_turned(RING), turned(63.0, 33.0), 110.0, slice(None, None, -1)),
    ):
        rig = rig_of(setup(on, ring, at))
        anchor, basis = rig.anchors["ring 1"], rig.basis
        stocked = Stock(tuple(Bearing(replace(seat, size=seat.size[sides])) for seat in seats), bolts, frozenset())
        unfit = misfits(stocked, anchor, basis)
        assert [bool(why) for why in unfit[:, 0]] == [False, True, False]
        found = strengths(stocked, anchor, np.array(pull_at(40, way=way)), basis, unfit == "")
        held.append(np.array([found.breaking, found.working]))
    assert held[1] == pytest.approx(held[0], rel=1e-6)
    assert held[0][:, [0, 2]].min() > 0


def test_rows_that_meet_a_lengthwise_member_are_told_as_they_lie() -> None:
    # Bolts 3 in apart along members that lie 16 in apart from 8 in on: rear ones over 56, front ones over 72 in.
    for place, row in ((57.5, "rear"), (70.5, "front")):
        rigs = [
            rig_of(setup(deck(), RING, (place, 12.0))),
            rig_of(setup(lengthwise(deck()), mounting_turned(RING), turned(place, 12.0))),
        ]
        assert [rows_on_member(rig.anchors["ring 1"]) for rig in rigs] == [[row], [TO_LEFT[row]]]
    kinds = {each.kind for each in stock(CATALOG, rigs[1].anchors["ring 1"], "inch").backings}
    assert kinds == {"washers", "plate", "member"}  # no bars: they are not reckoned there
