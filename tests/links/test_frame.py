"""Rings welded to the frame, worked out by hand; inches and pounds. Rules: us-road, design factor 3."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest

from tests.links.setups import CATALOG, deck, links, pull_at, rig_of, ring, setup, shares, strength
from tests.links.test_lengthwise import on_beams
from tests.scenario.test_fixings import faults

OVER, BESIDE, ON_RAIL = (72.0, 12.0), (64.0, 12.0), (64.0, 28.0)  # members every 16 in from 8 in on, rails 56 in apart
TUBE, LEG = 0.93 * 0.125, 0.25


def welded(leg: str | None = "1/8 in", length: str = "6 in", **of_ring: Any) -> dict[str, Any]:
    """A base of 4 1/2 in square; pulled 1/2 in above a deck of 3/4 in: 1 1/4 in above the frame."""
    weld = {} if leg is None else {"weld": leg, "length": length}
    return {"ring": ring(**of_ring), "backing": {"kind": "frame", **weld}}


def test_weld_straight_up_and_along_the_deck() -> None:
    # 0.6 · 70 000 · 0.707 · 1/8 · 6 = 22 270 lb; flat: n = 0, s = 1; the base hangs over both sides of a face of 2 in,
    # where the weld lies: 2 h s / b = 2 · 1.25 / 2 = 1.25.
    whole = 0.6 * 70_000 * 0.707 / 8 * 6
    shares(links(deck(), welded(), OVER)["weld"], 22_270, 22_270 / 2, 0.002)
    shares(links(deck(), welded(), OVER, pull_at(0))["weld"], whole / 1.6008, whole / 1.6008 / 2, 0.002)
    # At 45°, 1/4 in off the middle of 1 1/2 in of face: 0.7071 (1 + 2 (1.25 + 0.25) / 1.5) up, 0.7071 along.
    lifted = 0.7071 * (1 + 2 * (1.25 + 0.25) / 1.5)
    off = links(deck(), welded(base=(2.0, 4.5)), (72.5, 12.0), pull_at(45))["weld"]
    shares(off, whole / (lifted**2 + 0.5) ** 0.5, whole / (lifted**2 + 0.5) ** 0.5 / 2, 0.002)


def test_a_thick_weld_is_as_strong_as_the_wall_beside_it() -> None:
    # AISC 360 J4.2: 0.6 F_u t L, 58 ksi on a wall of 0.1163 in.
    shares(links(deck(), welded("1/4 in"), OVER)["weld"], 0.6 * 58_000 * TUBE * 6, 0.6 * 58_000 * TUBE * 3, 0.002)


def test_wall_of_a_tube_and_leg_of_an_angle() -> None:
    # Tube 2 x 2 x 1/8: β 0.85, η 4.5 / 2; F_y t² (2 η / 0.15 + 4 / √0.15).
    folds = 36_000 * TUBE**2 * (2 * 2.25 / 0.15 + 4 / 0.15**0.5)
    shares(links(deck(), welded(), OVER)["frame_wall"], folds, folds / 1.5, 0.002)
    # Angle 3 x 3 x 1/4: 0.25 · 4.5 · (1/4)² · 36 000 = 2531 lb in over an arm of 3/2 - 1/4 in; flat over the 1 1/4 in
    # that the pull stands above it.
    bends = 0.25 * 4.5 * LEG**2 * 36_000 / 1.25
    angle = deck(section="angle-3x3x1/4")
    shares(links(angle, welded(), OVER)["frame_wall"], bends, bends / 1.67, 0.002)
    shares(links(angle, welded(), OVER, pull_at(0))["frame_wall"], 2531.25 / 1.25, 2531.25 / 1.25 / 1.67, 0.002)


def test_a_leg_under_a_base_off_its_middle_bends_by_a_longer_arm() -> None:
    # 1/2 in off: 3/2 − 1/4 + 1/2 = 1.75 in, whichever way; at 45° 0.7071 (1 + 1.25 / 1.75).
    bends = 0.25 * 4.5 * LEG**2 * 36_000 / 1.75 / (0.7071 * (1 + 1.25 / 1.75))
    for x in (72.5, 71.5):
        found = links(deck(section="angle-3x3x1/4"), welded(), (x, 12.0), pull_at(45))["frame_wall"]
        shares(found, bends, bends / 1.67, 0.002)


def test_half_of_a_base_on_steel_hangs_by_that_half() -> None:
    # Base of 2 in by 4, 1 in ahead of the middle of a face of 2 in: 1 in lies on it, the pull 1/2 in off its middle.
    small = welded(base=(2.0, 4.0))
    on, half = (links(deck(), small, (x, 12.0))["weld"].breaking for x in (72.0, 73.0))
    assert half == pytest.approx(on / (1 + 2 * 0.5 / 1), rel=1e-6)
    # β 1/2, η 2: folds at F_y t² (2 · 2 / 0.5 + 4 / √0.5), by twice the pull.
    folds = 36_000 * TUBE**2 * (8 + 4 / 0.5**0.5) / 2
    assert links(deck(), small, (73.0, 12.0))["frame_wall"].breaking == pytest.approx(folds, rel=0.002)
    # On a rail, 2 in wide for all anyone knows: 3 in of base, its middle 1 in outside, 1 1/2 in on it, 3/4 in off.
    rail, beside = (links(deck(), welded(base=(4.0, 3.0)), (64.0, y))["weld"].breaking for y in (28.0, 29.0))
    assert beside == pytest.approx(rail / (1 + 2 * 0.75 / 1.5), rel=1e-6)


def test_a_weld_is_no_longer_than_once_round_the_steel_under_the_base() -> None:
    # 2 (2 + 4.5) = 13 in.
    told = [links(deck(), welded(length=f"{inches} in"), OVER)["weld"].breaking for inches in (12, 13, 40)]
    assert told[1] == told[2] == pytest.approx(told[0] * 13 / 12)


@pytest.mark.parametrize("section", ["tube-2x2x1/8", "angle-2x2x3/16", "channel-3x4.1", "i-S3x5.7"])
@pytest.mark.parametrize("degrees", [0.0, 30.0, 90.0])
def test_a_wider_base_or_one_nearer_the_middle_is_never_weaker(section: str, degrees: float) -> None:
    def held(base: tuple[float, float], off: float) -> tuple[float, ...]:
        found = links(deck(section=section), welded(base=base), (72.0 + off, 12.0), pull_at(degrees))
        return tuple(found[key].breaking for key in ("weld", "frame_wall"))

    bases = (4.5, 4.5), (2.0, 4.5), (2.0, 3.0), (1.0, 3.0)
    for better, worse in pairwise(bases):
        assert all(a >= b - 1e-6 for a, b in zip(held(better, 0.0), held(worse, 0.0), strict=True))
    for base in bases:
        for nearer, farther in pairwise((0.0, 0.2, 0.4, 0.6)):
            assert all(a >= b - 1e-6 for a, b in zip(held(base, nearer), held(base, farther), strict=True))


def test_the_member_bends_between_its_rails() -> None:
    # 16 and 40 in from the rails: F · 16 · 40 / 56 = S F_y, S = 0.4868 in³.
    lift = 0.4868 * 36_000 * 56 / (16 * 40)
    shares(links(deck(), welded(), OVER)["under_ring"], lift, lift / 1.67, 0.002)


@pytest.mark.parametrize(("degrees", "share"), [(90, 40 / 56), (30, 40 / 56), (0, 40 / 56)])
def test_the_weld_at_the_rail_takes_what_pulls_along_the_deck(degrees: float, share: float) -> None:
    """A ring welded to the member pushes nothing else: straight up or flat, 40 / 56 of it comes to the nearer rail."""
    on = deck()
    on["cross_members"]["joint"] = {"weld": "1/8 in", "length": "1 in"}
    weld = 0.6 * 70_000 * 0.707 / 8 / share  # J2.4: 3712 lb over the share
    shares(links(on, welded(), OVER, pull_at(degrees))["member_joint"], weld, weld / 2, 0.002)


def test_no_deck_and_no_fastener_is_asked() -> None:
    assert set(links(deck(), welded(), OVER)) == {"ring", "weld", "frame_wall", "under_ring"}
    assert set(links(deck(), welded(None), OVER)) == {"ring", "frame_wall", "under_ring"}


def test_where_no_steel_is_known_nothing_holds() -> None:
    (found,) = [link for link in strength(deck(), welded(), BESIDE).links if link.key == "off_frame"]
    assert found.breaking == 0
    assert "no cross-member and no main rail that the file tells of" in found.remark
    assert set(links(deck(), welded(), BESIDE)) == {"ring", "off_frame"}  # no weld to what is not there
    assert set(links(deck(), welded(), ON_RAIL)) == {"ring", "weld"}
    unmeasured = deck()
    del unmeasured["cross_members"]["rails"]
    assert links(unmeasured, welded(), ON_RAIL)["off_frame"].breaking == 0


def test_over_what_steel_a_ring_stands() -> None:
    # On a member when the middle of its base lies over its 2 in, on a rail when any of its 4 1/2 in does.
    for x, over in ((72.95, True), (71.05, True), (73.05, False), (70.95, False)):
        assert ("frame_wall" in links(deck(), welded(), (x, 12.0))) == over
        assert ("off_frame" in links(deck(), welded(), (x, 12.0))) != over
    for y, over in ((30.2, True), (25.8, True), (30.3, False), (25.7, False), (-30.2, True), (-25.7, False)):
        assert ("off_frame" not in links(deck(), welded(), (64.0, y))) == over


def test_a_ring_on_a_beam_under_lengthwise_members() -> None:
    # Beams at 0, 40 and 96 in, members 12 in apart: between these, over the beam and 1 in off its middle: of 4 1/2 in
    # 2 lie on it, the pull 1 in off their middle, so that half as much is held.
    on = on_beams(0.0, 40.0, 96.0)
    assert set(links(on, welded(), (40.0, 6.0))) == {"ring", "weld"}
    over, beside = (links(on, welded(), (x, 6.0))["weld"].breaking for x in (40.0, 41.0))
    assert beside == pytest.approx(over / 2, rel=1e-6)
    assert "off_frame" in links(on, welded(), (56.0, 6.0))


def test_what_nobody_said_of_the_weld_is_told() -> None:
    told = {each.what: each.value for each in rig_of(setup(deck(), welded(None), OVER)).assumed}
    assert told["weld of the ring, it"] == "no weaker than the ring"
    told = {each.what: each.value for each in rig_of(setup(deck(), welded(), OVER)).assumed}
    assert told["how the weld of the ring lies, it"] == "on two sides"


def test_words_that_do_not_go_with_a_weld() -> None:
    with pytest.raises(ValueError, match="give weld and length, or neither"):
        rig_of(setup(deck(), {**welded(None), "backing": {"kind": "frame", "weld": "1/8 in"}}, OVER))
    screws = {"kind": "wood screw", "size": "#14", "length": "1 in", "at": {"square": "3 in"}}
    with pytest.raises(ValueError, match="a ring welded to the frame has no fasteners and no cut_out"):
        rig_of(setup(deck(), {**welded(), "fasteners": screws}, OVER))
    with pytest.raises(ValueError, match="fasteners are missing: only a ring welded to the frame"):
        rig_of(setup(deck(), {**welded(), "backing": {"kind": "none"}}, OVER))
    texts = setup(deck(), welded(), OVER)
    texts["anchors"]["more"] = {"on": "ring 1", "at": ["72 in", "14 in"]}
    assert any("rings welded to the frame are each welded for themselves" in each for each in faults(texts, CATALOG))
