"""Several rings on one base, and bases that are turned: by hand, and against what must be the same."""

from __future__ import annotations

from math import cos, radians, sin
from typing import Any

import numpy as np
import pytest
from pydantic import ValidationError

from anchorcalc.fitting.sheet import fitting
from anchorcalc.links.common import Neighbour
from anchorcalc.links.path import anchor_strength
from anchorcalc.links.pull import pull_of
from anchorcalc.rig.rig import Rig
from anchorcalc.scenario.model import Scenario
from tests.links.setups import (
    CATALOG,
    UP,
    Held,
    bolted,
    deck,
    in_pounds,
    inches,
    links,
    plate,
    pull_at,
    rig_of,
    screws,
    setup,
    strength,
)
from tests.scenario.test_fixings import faults

Texts = dict[str, Any]
AT = (64.0, 12.0)
THICK = {"base_thickness": "1 in", "foot": ["1/2 in", "1/2 in"]}  # as good as rigid
FOUR = screws(length="2 1/2 in", height=0.0, **THICK)  # on a square of 3 1/4 in


def shared(mounting: Texts, *off: tuple[float, float]) -> Texts:
    """Rings so far off the middle of one base at `AT`, which has no strap of its own."""
    texts = setup(deck(), mounting, *[(AT[0] + x, AT[1] + y) for x, y in off])
    for anchor in texts["anchors"].values():
        del anchor["mounting"]
        anchor["on"] = "base"
    texts["anchors"]["base"] = {"at": [f"{AT[0]} in", f"{AT[1]} in"], "mounting": "it"}
    return texts


def together(rig: Rig, pull: tuple[float, float, float] = UP) -> dict[str, Held]:
    """The links of the first ring while each other ring on its base is pulled alike."""
    first, *more = (anchor for anchor in rig.anchors.values() if anchor.name != "base")
    beside = tuple(Neighbour(each, pull) for each in more)
    return in_pounds(anchor_strength(first, np.array(pull), rig.basis, beside).links)


def test_two_rings_each_side_of_the_middle_are_one_with_twice_the_pull() -> None:
    one = links(deck(), FOUR, AT)
    two = together(rig_of(shared(FOUR, (0, 1.5), (0, -1.5))))
    for key in ("withdrawal", "hold_down", "panel_bending", "rolling_shear"):
        assert two[key].breaking == pytest.approx(one[key].breaking / 2, rel=0.01), key
    assert two["ring"][:2] == one["ring"][:2]  # each has its own rating


def test_a_ring_beside_the_middle_by_hand() -> None:
    # 1 in off: 1/4 + 1 · 1.625 / (4 · 1.625²) = 0.4038 on the two screws beside it, 0.0962 on the others.
    rig = rig_of(shared(FOUR, (0, 1.0)))
    pull = pull_of(rig.anchors["ring 1"], np.array(UP), rig.basis)
    assert sorted(pull.tensions) == pytest.approx([0.0962, 0.0962, 0.4038, 0.4038], abs=0.002)
    # Pulled ahead it also turns the base: 0.25 + 1 · 1.625 / (8 · 1.625²) along, the latter across as well.
    turning = 1.625 / (8 * 1.625**2)
    ahead = pull_of(rig.anchors["ring 1"], np.array(pull_at(0)), rig.basis)
    assert ahead.sideways == pytest.approx(np.hypot(0.25 + turning, turning))


@pytest.mark.parametrize("off", [1.0, 1.5, 2.0, 2.2])
def test_a_ring_by_the_edge_of_its_base_pulls_where_it_stands(off: float) -> None:
    """Of a foot that nobody measured no more counts than stands on the base; the pull's lever stays the ring's own."""
    rig = rig_of(shared(screws(length="2 1/2 in", height=0.0, base_thickness="1 in"), (0, off)))
    pull = pull_of(rig.anchors["ring 1"], np.array(UP), rig.basis)
    moment = pull.tensions @ pull.resisting[:, 1] - pull.pad_forces @ pull.pads[:, 1]
    assert moment / 0.0254 == pytest.approx(off, rel=0.01)


def test_a_base_that_no_maker_rated_so_is_asked_whether_it_bends() -> None:
    # 0.1 in of 30 ksi that nobody specified: 75 lb in on each inch. A ring in the middle of its base is rated with it.
    small = screws(length="2 1/2 in", height=0.0)
    assert "base_bends" not in links(deck(), small, AT)
    for rings in (((0, 1.5),), ((0, 1.5), (0, -1.5))):
        rig = rig_of(shared(small, *rings))
        first, *more = (anchor for anchor in rig.anchors.values() if anchor.name != "base")
        pull = pull_of(first, np.array(UP), rig.basis, tuple(Neighbour(each, UP) for each in more))
        assert together(rig)["base_bends"].breaking == pytest.approx(75 / pull.base_moment, rel=1e-6)


def test_a_ring_that_is_not_pulled_does_nothing_to_its_base() -> None:
    one, two = (rig_of(shared(FOUR, *rings)).anchors["ring 1"] for rings in (((0, 1.0),), ((0, 1.0), (0, -1.5))))
    basis = rig_of(shared(FOUR, (0, 1.0))).basis
    for pull in (UP, pull_at(20, way=30)):
        alone, beside = (pull_of(ring, np.array(pull), basis) for ring in (one, two))
        assert beside.tensions == pytest.approx(alone.tensions, abs=1e-4)
        assert (beside.shove, beside.sideways) == (pytest.approx(alone.shove), pytest.approx(alone.sideways))


def test_opposed_pulls_on_one_base_turn_it_and_shove_nothing() -> None:
    rig = rig_of(shared(FOUR, (0, 1.5), (0, -1.5)))
    first, second = rig.anchors["ring 1"], rig.anchors["ring 2"]
    pull = pull_of(first, np.array(pull_at(0)), rig.basis, (Neighbour(second, pull_at(0, way=180)),))
    assert pull.shove == pytest.approx((0.0, 0.0))
    # A couple of 3 in on four screws 1.625 √2 in off the middle: 3 / (4 · 2.298) each.
    assert pull.sideways == pytest.approx(3 / (4 * 1.625 * 2**0.5))


def test_a_strip_shares_by_its_bending() -> None:
    """Two rings at the ends of a long thin strip hardly help each other, nor take from each other."""
    at = {"points": [[f"{x} in", "0 in"] for x in (-17, -14, -11, -8, -5, -2, 2, 5, 8, 11, 14, 17)]}
    strip = screws(at=at, base=(38.0, 5.0), base_thickness="0.1 in", foot=["2 in", "2 in"])

    def most(*off: float) -> float:
        rig = rig_of(shared(strip, *((x, 0.0) for x in off)))
        first, *more = (anchor for anchor in rig.anchors.values() if anchor.name != "base")
        return pull_of(first, np.array(UP), rig.basis, tuple(Neighbour(each, UP) for each in more)).most

    assert most(12.5, -12.5) == pytest.approx(most(12.5), rel=0.05)
    assert most(2, -2) > 1.15 * most(2)


def test_the_base_alone_is_no_ring_to_buy_and_its_rings_share_its_hardware() -> None:
    sheet = fitting(rig_of(shared(bolted(plate(8, "1/4 in"), base=(6.0, 6.0)), (0, 1.5), (0, -1.5))))
    bought = {item.kind: count for item, count in sheet.shopping}
    assert (bought["ring"], bought["plate"], bought["bolt"]) == (2, 1, 4)
    assert not any(place.conflicts for place in sheet.places)


# --- turned -----------------------------------------------------------------------------------------------------


def test_a_quarter_turn_is_the_base_with_its_sides_changed() -> None:
    long = screws(at={"rectangle": ["5 in", "2 in"]}, base=(6.0, 3.0), foot=["2 in", "1 in"])
    wide = screws(at={"rectangle": ["2 in", "5 in"]}, base=(3.0, 6.0), foot=["1 in", "2 in"])
    pull = pull_at(30, way=60)
    assert links(deck(), {**long, "base_turned": "90 deg"}, AT, pull) == {
        key: pytest.approx(held, rel=1e-6) for key, held in links(deck(), wide, AT, pull).items()
    }


def test_half_a_quarter_turn_by_hand_and_by_the_pull_turned_back() -> None:
    texts = setup(deck(), {**FOUR, "base_turned": "45 deg"}, AT)
    turned, straight = rig_of(texts), rig_of(setup(deck(), FOUR, AT))
    at = turned.anchors["ring 1"].mounting.positions / 0.0254
    # A square of 3 1/4 in on its corner: 3.25 / √2 = 2.298 in ahead, to the left, …
    assert sorted(map(tuple, np.round(at, 3) + 0.0)) == [(-2.298, 0), (0, -2.298), (0, 2.298), (2.298, 0)]
    c, s = cos(radians(45)), sin(radians(45))
    x, y, z = pull_at(20)
    back = (c * x + s * y, -s * x + c * y, z)
    one, other = (
        pull_of(rig.anchors["ring 1"], np.array(pull), rig.basis)
        for rig, pull in ((turned, (x, y, z)), (straight, back))
    )
    assert one.tensions == pytest.approx(other.tensions)
    assert one.sideways == pytest.approx(other.sideways)


def test_a_turned_base_keeps_clear_by_what_it_covers() -> None:
    # 4 1/2 in square on its corner covers 6.364 in: from 3 in before the rear edge it would hang over.
    texts = setup(deck(), FOUR, (3.0, 12.0))
    assert faults(texts, CATALOG) == []
    texts["mountings"]["it"]["base_turned"] = "45 deg"
    assert any("the anchor's base does not lie on the deck" in each for each in faults(texts, CATALOG))


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"on": "bse"}, "anchors › ring 1 › on: no anchor 'bse' is defined; did you mean 'base'?"),
        (
            {"on": "ring 2"},
            "anchors › ring 1 › on: anchor 'ring 2' has no base of its own: it stands on that of 'base'",
        ),
        ({"on": "ring 1"}, "anchors › ring 1 › on: a ring cannot stand on itself"),
        ({"at": ["64 in", "15 in"]}, "anchors › ring 1 › at: the ring does not stand on the base of anchor 'base'"),
        ({"at": ["64 in", "10.5 in"]}, "anchors › ring 2 › at: the ring of anchor 'ring 1' stands there on the same"),
    ],
)
def test_rings_that_cannot_stand_there(change: Texts, told: str) -> None:
    texts = shared(FOUR, (0, 1.5), (0, -1.5))
    texts["anchors"]["ring 1"] |= change
    assert any(each.startswith(told) for each in faults(texts, CATALOG)), faults(texts, CATALOG)


def test_an_anchor_stands_on_one_base() -> None:
    texts = shared(FOUR, (0, 1.5))
    texts["anchors"]["ring 1"]["mounting"] = "it"
    with pytest.raises(ValueError, match="or stands `on` the base of another"):
        Scenario.model_validate(texts)


def test_a_ring_of_its_own_is_what_it_was() -> None:
    found = strength(deck(), FOUR, AT)
    rig = rig_of(shared(FOUR, (0, 0)))
    assert in_pounds(anchor_strength(rig.anchors["ring 1"], np.array(UP), rig.basis).links) == in_pounds(found.links)


@pytest.mark.parametrize(
    ("long", "count", "words"), [(118.0, 29, ""), (123.0, 29, "to 122 in"), (118.0, 31, "at most 30")]
)
def test_a_track_as_long_as_they_are_sold(long: float, count: int, words: str) -> None:
    """Screws every 4 in; ten feet are 3.05 m."""
    points = [[inches(4.0 * number - 2.0 * (count - 1)), "0 in"] for number in range(count)]
    track = screws(at={"points": points}, base=(long, 1.5), base_thickness="1/4 in", foot=["2 in", "1 in"])
    if not words:
        held = links(deck(), track, (72.0, 12.0))
        assert held["withdrawal"].breaking < links(deck(), screws(), (72.0, 12.0))["withdrawal"].breaking
        return
    with pytest.raises(ValidationError, match=words):
        rig_of(setup(deck(), track, (72.0, 12.0)))
