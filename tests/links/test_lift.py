"""What a pull puts on the floor, by hand: seats, pads, couples and plates, in the frame the deck is laid in. Inches.

The frame's origin is the middle of the base; it runs away from the end and to the side that the base is nearest to.
"""

from __future__ import annotations

from math import pi, sqrt

import numpy as np
import pytest

from anchorcalc.links.common import Neighbour
from anchorcalc.links.deck import deck_pushed
from anchorcalc.links.lift import _Lift, _lifting, pushed_sideways, reach_of
from anchorcalc.links.pull import question_of
from anchorcalc.mechanics.floor import BackingPlate, Couple, Patch
from anchorcalc.rig.rig import Rig
from tests.links.setups import INCH, bolted, deck, plank_layer, plate, plywood, pull_at, rig_of, screws, setup, washers

AT = (64.0, 12.0)
THICK = {"height": 0.0, "base_thickness": "1 in"}  # rigid: a quarter of what is straight up on each of four
SQUARE = [(a, b) for a in (-1.625, 1.625) for b in (-1.625, 1.625)]


def lift(rig: Rig, pull: tuple[float, float, float], *beside: tuple[float, float, float]) -> _Lift:
    """Of the first ring; others are pulled beside it."""
    first, *more = rig.anchors.values()
    others = tuple(Neighbour(each, way) for each, way in zip(more, beside, strict=True))
    return _Lift(question_of(first, np.array(pull), rig.basis, others))


def inch(span: tuple[float, float]) -> tuple[float, float]:
    return span[0] / INCH, span[1] / INCH


def middle(of: Patch | Couple) -> tuple[float, float]:
    return round(sum(of.x) / 2 / INCH, 4), round(sum(of.y) / 2 / INCH, 4)


def seats(of: _Lift) -> dict[tuple[float, float], float]:
    """What acts upward at each place that is examined, per newton of pull."""
    loads, forces, _ = of.loads()
    return {
        middle(load): force
        for load, force in zip(loads, forces, strict=False)
        if isinstance(load, Patch) and load.examined
    }


def couples(of: _Lift) -> list[tuple[str, tuple[float, float], tuple[float, float], float]]:
    loads, forces, _ = of.loads()
    found = [(load, force) for load, force in zip(loads, forces, strict=False) if isinstance(load, Couple)]
    return [(load.along, inch(load.x), inch(load.y), force / INCH) for load, force in found]


@pytest.mark.parametrize("way", [0.0, 180.0])
def test_four_washers_and_the_couples_of_the_in_plane_part(way: float) -> None:
    # 60° up: 0.866 / 4 on each of four washers of 1 1/2 in, laid as squares of their area, 1.5 √π / 2 = 1.3293 in wide.
    # The in-plane half enters at the top of 3/4 in of deck: 0.375 newton inches over the base of 4 1/2 by 3 in, a
    # couple that presses the deck down the way that the pull goes.
    found = lift(
        rig_of(
            setup(
                deck(),
                bolted(washers("1 1/2 in", "1/4 in"), base=(4.5, 3.0), at={"rectangle": ["3 1/4 in", "2 in"]}, **THICK),
                AT,
            )
        ),
        pull_at(60, way=way),
    )
    assert seats(found) == {(a, b): pytest.approx(0.866 / 4, abs=0.002) for a in (-1.625, 1.625) for b in (-1.0, 1.0)}
    loads, _, plates = found.loads()
    assert plates == ()
    wide = {round((load.x[1] - load.x[0]) / INCH, 4) for load in loads if isinstance(load, Patch) and load.examined}
    assert wide == {1.3293}
    assert couples(found) == [
        (
            "x",
            pytest.approx((-2.25, 2.25)),
            pytest.approx((-1.5, 1.5)),
            pytest.approx(-0.375 * np.cos(np.radians(way)), rel=1e-4),
        ),
        ("y", pytest.approx((-2.25, 2.25)), pytest.approx((-1.5, 1.5)), pytest.approx(0.0, abs=1e-9)),
    ]
    # What it lifts for shear: the fasteners with half a washer beyond, all in one bay.
    ((x, y),) = found._lifts([-0.2, 0.2])
    assert (inch(x), inch(y)) == (pytest.approx((-2.375, 2.375)), pytest.approx((-1.75, 1.75)))
    # A member under the base parts it in two; what pulls nothing lifts nothing.
    assert [inch(x) for x, _ in found._lifts([-0.2, 0.0, 0.2])] == [
        pytest.approx((-2.375, -0.875)), pytest.approx((0.875, 2.375)),
    ]  # fmt: skip


def test_a_base_on_the_other_side_pulled_the_other_way_is_the_mirror_image() -> None:
    # Four screws, pulled 30° up and 40° to the side: rearward on the right as ahead on the left.
    uneven = screws(length="2 1/2 in", at={"rectangle": ["3 1/4 in", "2 in"]}, base=(4.5, 3.0), height=1.0)
    one = lift(rig_of(setup(deck(), uneven, AT)), pull_at(30, way=40))
    other = lift(rig_of(setup(deck(), uneven, (80.0, -12.0))), pull_at(30, way=220))
    (loads, forces, _), (mirrored, as_hard, _) = one.loads(), other.loads()
    assert loads == mirrored
    assert forces == pytest.approx(as_hard, rel=0, abs=2e-9)  # rounded to nine digits: the last may differ
    assert other.piece.x == one.piece.x
    assert other.piece.y == one.piece.y
    # 0.75 · 0.866 cos 40°, sin 40° in newton inches, over the base.
    assert [(along, force) for along, _, _, force in couples(one)] == [
        ("x", pytest.approx(-0.75 * 0.66341, rel=1e-3)), ("y", pytest.approx(-0.75 * 0.55667, rel=1e-3)),
    ]  # fmt: skip
    # On the deck's middle lines it is not turned.
    middle_ = lift(rig_of(setup(deck(), uneven, (72.0, 0.0))), pull_at(30, way=200))
    assert (middle_.piece.way, middle_.piece.side) == (1.0, 1.0)


def test_a_turned_base_tips_the_deck_no_farther_than_it_is_long() -> None:
    # 5 by 3 in, 45° round: it covers 8 / √2 = 5.657 in each way, and is 5 in long.
    askew = {**screws(length="2 1/2 in", at={"rectangle": ["4 in", "2 in"]}, base=(5.0, 3.0)), "base_turned": "45 deg"}
    ((_, x, y, _), _) = couples(lift(rig_of(setup(deck(), askew, AT)), pull_at(30)))
    assert (x, y) == (pytest.approx((-2.5, 2.5)), pytest.approx((-2.5, 2.5)))
    # Turned a quarter it lies 3 in along the trailer, and 5 across.
    quarter = {**askew, "base_turned": "90 deg"}
    ((_, x, y, _), _) = couples(lift(rig_of(setup(deck(), quarter, AT)), pull_at(30)))
    assert (x, y) == (pytest.approx((-1.5, 1.5)), pytest.approx((-2.5, 2.5)))


def test_a_base_at_the_decks_end_tips_what_of_the_deck_lies_under_it() -> None:
    # 142 in of 144 from the rear: 2 in to the end.
    ((_, x, _, _), _) = couples(lift(rig_of(setup(deck(), screws(length="2 1/2 in"), (142.0, 12.0))), pull_at(30)))
    assert x == pytest.approx((-2.0, 2.25))


def test_a_base_presses_where_it_pries_and_all_in_balance() -> None:
    # 30° up 2 in above the deck: tensions less pressure are 0.5; about the middle of the base 2 · 0.866 newton inches.
    found = lift(rig_of(setup(deck(), screws(length="2 1/2 in", height=2.0, base_thickness="1 in"), AT)), pull_at(30))
    loads, forces, _ = found.loads()
    acting = [(middle(load), force) for load, force in zip(loads, forces, strict=True) if isinstance(load, Patch)]
    assert sum(force for _, force in acting) == pytest.approx(0.5, rel=1e-6)
    assert sum(force * x for (x, _), force in acting) == pytest.approx(-2 * 0.866, rel=1e-3)
    pads = [
        (load, force)
        for load, force in zip(loads, forces, strict=True)
        if isinstance(load, Patch) and not load.examined
    ]
    sides = {round((side[1] - side[0]) * 1000, 6) for load, _ in pads for side in (load.x, load.y)}
    assert sides == {2.0}  # in mm: no patch to speak of
    assert max(force for _, force in pads) <= 0


def test_a_plate_under_the_deck() -> None:
    # 8 by 6 in of 3/16 in steel under two layers, its nuts bear on circles
    # of 0.5339 in; a bed of a twentieth of E of the lowest layer over the thickness of both.
    group_1 = {**plywood(), "panel": "structural-1-plywood"}
    plated = bolted(plate(8, "3/16 in", wide=6.0), **THICK)
    found = lift(rig_of(setup(deck(plywood(), group_1), plated, AT)), pull_at(60))
    loads, forces, (under,) = found.loads()
    assert isinstance(under, BackingPlate)
    assert (inch(under.x), inch(under.y)) == (pytest.approx((-4, 4)), pytest.approx((-3, 3)))
    assert (under.t / INCH, under.E, under.nu, under.examined) == (
        pytest.approx(0.1875),
        pytest.approx(200e9, rel=0.01),
        0.3,
        True,
    )
    assert [middle(nut) for nut in under.nuts] == SQUARE
    assert {round((nut.x[1] - nut.x[0]) / INCH, 3) for nut in under.nuts} == {round(0.5339 * sqrt(pi) / 2, 3)}
    assert under.bed == pytest.approx(0.05 * 1.65e6 / 1.5 * 6894.757 / INCH, rel=1e-3)
    assert forces[len(loads) :] == pytest.approx([0.866 / 4] * 4, abs=0.002)
    assert not seats(found)
    # The plate is what lifts for shear.
    assert [(inch(x), inch(y)) for x, y in found._lifts([-0.2, 0.2])] == [
        (pytest.approx((-4, 4)), pytest.approx((-3, 3)))
    ]
    # Beyond the deck's end it presses on nothing.
    found = lift(rig_of(setup(deck(spacing=32.0, first=20.0), plated, (142.0, 0.0))), pull_at(60))
    _, _, (under,) = found.loads()
    assert inch(under.x) == pytest.approx((-2, 4))


def test_rings_near_by_stand_where_they_are() -> None:
    # The second 8 in ahead and 10 in to the right, pulled half as hard; a third too far off; a fourth not pulled.
    rig = rig_of(setup(deck(), screws(length="2 1/2 in", **THICK), AT, (72.0, 2.0), (120.0, 12.0), (56.0, 12.0)))
    ways = tuple(0.5 * each for each in pull_at(90)), pull_at(90), (0.0, 0.0, 0.0)
    found = lift(rig, pull_at(90), *ways)  # type: ignore[arg-type]
    loads, forces, _ = found.loads()
    acting = {middle(load): force for load, force in zip(loads, forces, strict=True) if force > 1e-3}
    assert acting == {
        **{place: pytest.approx(0.25, abs=0.002) for place in SQUARE},
        **{(a + 8, b - 10): pytest.approx(0.125, abs=0.001) for a, b in SQUARE},
    }
    assert set(seats(found)) == set(SQUARE)  # looked at where it is asked
    (x, y) = found.piece._covered
    assert (inch(x), inch(y)) == (pytest.approx((-2.25, 10.25)), pytest.approx((-12.25, 2.25)))


def test_what_pushes_the_screws_of_planks() -> None:
    # Planks 5 1/2 in wide, one in the middle from -2.75 to 2.75 in: the whole ring stands on it. Two screws over each
    # of four members: 0.5 / 8. Of two that meet under the ring each has two of its fasteners: 0.25 / 8.
    planks = plank_layer()
    found = lift(rig_of(setup(deck(planks), screws(length="2 1/2 in", **THICK), AT)), pull_at(60))
    loads, _, plates = found.loads()
    told = [found.sideways(layout.boards, layout.screws[0]) for layout in found.piece.layouts(loads, plates)]
    assert told == [pytest.approx(0.5 / 8), pytest.approx(0.25 / 8)]
    # A fastener on a seam counts for either plank.
    for seam, other in (("2.75 in", "-1 in"), ("-2.75 in", "1 in")):
        at = {"points": [["0 in", seam], ["0 in", other]]}
        wide = screws(length="2 1/2 in", at=at, base=(4.5, 6.5), **THICK)
        found = lift(rig_of(setup(deck(planks), wide, AT)), pull_at(60))
        layout = next(iter(found.piece.layouts(*found.loads()[::2])))
        assert found.sideways(layout.boards, layout.screws[0]) == pytest.approx(0.5 / 8)
    # A rest of 0.7 in at the deck's edge has no screw, and nothing pushes it.
    found = lift(rig_of(setup(deck(planks), screws(length="2 1/2 in", **THICK), (64.0, 13.3))), pull_at(60))
    *_, layout = found.piece.layouts(*found.loads()[::2])
    assert found.sideways(layout.boards, layout.screws[0]) == pytest.approx(0.25 / 8)


def test_what_pushes_planks_under_a_ring_that_bars_hold() -> None:
    # As above, of the two ways that planks may lie the worse; straight up nothing is pushed.
    planks = plank_layer()
    bars = bolted({"kind": "bridge", "width": "2 in", "thickness": "1/2 in", "steel": "mild", "bars": "2"}, **THICK)
    rig = rig_of(setup(deck(planks), bars, AT))
    flat, up = (question_of(rig.anchors["ring 1"], np.array(pull_at(each)), rig.basis) for each in (60, 90))
    assert pushed_sideways(flat) == pytest.approx(0.5 / 8)
    assert deck_pushed(up).breaking > 1e15


def test_the_even_lift_of_fasteners_that_share_unevenly() -> None:
    # Four in a row at 0, 4, 8 and 12 in with 0, 1, 3 and 0 of the pull: middle 7, spread √(3 · (9 + 3 · 1) / 4) = 3.
    places = np.array([[x, 0.0] for x in (0.0, 4.0, 8.0, 12.0)])
    x, y = _lifting(places, np.array([0.0, 1.0, 3.0, 0.0]), 0.5)
    assert (x, y) == (pytest.approx((7 - 3 - 0.5, 7 + 3 + 0.5)), pytest.approx((-0.5, 0.5)))
    # Alike on all: √(3 · 20) = 7.7 is more than they stand apart.
    x, _ = _lifting(places, np.ones(4), 0.5)
    assert x == pytest.approx((-0.5, 12.5))


def test_what_pulls_nothing_lifts_by_its_middle() -> None:
    # Flat at no height nothing is lifted: what shears the deck is looked for at the middle of the base.
    found = lift(rig_of(setup(deck(), bolted(washers(), **THICK), (64.0, 12.0))), pull_at(0))
    assert found._lifts([-0.2, 0.2]) == [((0.0, 0.0), (0.0, 0.0))]


def test_shear_is_the_worst_of_all_ways_that_screws_may_be_missing() -> None:
    missing = deck()
    missing["hold_down"]["condition"] = "some missing"
    found = lift(rig_of(setup(missing, screws(length="2 1/2 in", **THICK), AT)), pull_at(60))
    ((layout, ways),) = found.answers()
    each = [found.shears(layout, [way]) for way in ways]
    assert len(set(each)) > 1
    assert found.shears(layout, ways) == tuple(max(side) for side in zip(*each, strict=True))


def test_what_deck_has_a_part_is_told_as_it_lies_on_the_trailer() -> None:
    # Two members each way of 72 and 56 in, 26 in across to the right of the anchor's middle 12 in off, and to the edge.
    for y, way, across in ((12.0, 0.0, (-14, 36)), (-12.0, 180.0, (-36, 14))):
        rig = rig_of(setup(deck(), screws(length="2 1/2 in", base=(4.5, 4.0)), (64.0, y)))
        reach = reach_of(question_of(rig.anchors["ring 1"], np.array(pull_at(60, way=way)), rig.basis))
        assert [inch(each) for each in reach.taken_in] == [pytest.approx((40, 88)), pytest.approx(across)]
        # From 56 to 72 in, less what a #12 screw has to spare on a face of 2 in: 1 - 3/8 - 1.5 · 0.216 = 0.301 in.
        assert [inch(each) for each in reach.relied_on] == [
            pytest.approx((56.301, 71.699)), pytest.approx((y - 2, y + 2)),
        ]  # fmt: skip
