"""Rings welded to the frame, worked out by hand; inches and pounds. Rules: us-road, design factor 3."""

from __future__ import annotations

import copy
from itertools import pairwise
from math import cos, radians, sin
from typing import Any

import numpy as np
import pytest

from anchorcalc.links.common import Neighbour
from anchorcalc.links.deck import hold_down_sideways
from anchorcalc.links.path import anchor_strength
from anchorcalc.links.pull import question_of
from anchorcalc.rig.parts import AnchorSetting
from tests.links.setups import CATALOG, LBF, deck, links, pull_at, rig_of, ring, screws, setup, shares, strength
from tests.links.test_lengthwise import on_beams
from tests.scenario.test_fixings import faults

OVER, BESIDE, ON_RAIL = (72.0, 12.0), (64.0, 12.0), (64.0, 28.0)  # members every 16 in from 8 in on, rails 56 in apart
TUBE, LEG = 0.93 * 0.125, 0.25


def welded(leg: str | None = "1/8 in", length: str = "6 in", **of_ring: Any) -> dict[str, Any]:
    """A base of 4 1/2 in square; pulled 1/2 in above a deck of 3/4 in: 1 1/4 in above the frame."""
    weld = {} if leg is None else {"weld": leg, "length": length}
    return {"ring": ring(**of_ring), "backing": {"kind": "frame", **weld}}


def test_weld_straight_up_and_along_the_deck() -> None:
    # 0.6 · 70 000 · 0.707 · 1/8 · 6 = 22 270 lb; flat: n = 0, s = 1; the base hangs over both sides of a face of 2 in.
    # Along the trailer the worst are 2 in on either end of it and 1 in on either edge: S = 2²/3 + 1 · 2 = 10/3,
    # 6 · 1.25 / S = 2.25; across it 3 in on either edge: S = 3²/3, 6 · 1.25 / 3 = 2.5.
    whole = 0.6 * 70_000 * 0.707 / 8 * 6
    shares(links(deck(), welded(), OVER)["weld"], 22_270, 22_270 / 2, 0.002)
    for way, up in ((0.0, 2.25), (90.0, 2.5)):
        flat = whole / (up**2 + 1) ** 0.5
        shares(links(deck(), welded(), OVER, pull_at(0, way=way))["weld"], flat, flat / 2, 0.002)
    # Once round, 2 (2 + 4.5) = 13 in: S = 2 · 4.5 + 2²/3, 13 · 1.25 / S = 1.5726.
    round_ = whole / 6 * 13 / (1.5726**2 + 1) ** 0.5
    shares(links(deck(), welded(length="13 in"), OVER, pull_at(0))["weld"], round_, round_ / 2, 0.002)
    # At 45°, 1/4 in off the middle of 1 1/2 in of face: 1 1/2 in on its ends and as much on its edges, S = 3; 1.25 +
    # 0.25 in of lever: 0.7071 (1 + 6 · 1.5 / 3) up, 0.7071 along.
    lifted = 0.7071 * (1 + 6 * (1.25 + 0.25) / 3)
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
    # 6 in of weld: 1 in on either end, 2 in on either edge, S = 1²/3 + 2 · 1.
    assert half == pytest.approx(on / (1 + 6 * 0.5 / (1 / 3 + 2)), rel=1e-6)
    # β 1/2, η 2: folds at F_y t² (2 · 2 / 0.5 + 4 / √0.5), by twice the pull.
    folds = 36_000 * TUBE**2 * (8 + 4 / 0.5**0.5) / 2
    assert links(deck(), small, (73.0, 12.0))["frame_wall"].breaking == pytest.approx(folds, rel=0.002)
    # On a rail, 2 in wide for all anyone knows: 3 in of base, its middle 1 in outside, 1 1/2 in on it, 3/4 in off;
    # 1 1/2 in on either end and as much on either edge, S = 1.5²/3 + 1.5 · 1.5.
    rail, beside = (links(deck(), welded(base=(4.0, 3.0)), (64.0, y))["weld"].breaking for y in (28.0, 29.0))
    assert beside == pytest.approx(rail / (1 + 6 * 0.75 / 3), rel=1e-6)


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
    assert set(links(deck(), welded(), OVER)) == {"ring", "weld", "frame_wall", "under_ring", "member_kept"}
    assert set(links(deck(), welded(None), OVER)) == {"ring", "frame_wall", "under_ring", "member_kept"}
    over_a_rail = {"ring", "weld", "frame_wall", "under_ring"}  # nothing of it bends along the trailer
    assert set(links(deck(), welded(), (72.0, 28.0))) == over_a_rail


def test_the_member_bends_along_the_trailer_as_far_as_the_screws_let_it() -> None:
    # Screws every 8 in: 0.4 m or 15.7 in each way of the ring, three of them. Straight up alone, see above,
    # F = S F_y 56 / (16 · 40); a square tube bends alike both ways, an oblong one, 3 in deep and 2 in wide, by
    # 2 (3 + 2/3) / (3 (2 + 1)) = 0.8148 of its S along the trailer.
    V, daily = one_screw(deck())
    for section, S, z in (("tube-2x2x1/8", 0.4868, 1.0), ("tube-3x2x1/8", 0.868, 22 / 27)):
        up = S * 36_000 * 56 / (16 * 40)
        both = up + 3 * V / z, up / 1.67 + 3 * daily / z
        for degrees in (0.0, 45.0):
            n, s = sin(radians(degrees)), cos(radians(degrees))
            held = [each / (n + s / z) for each in both]
            shares(links(deck(section=section), welded(), OVER, pull_at(degrees))["member_kept"], *held, 0.002)
    # Pulled across the trailer nothing bends it that way; a channel would twist, so that its screws alone hold it.
    across = links(deck(), welded(), OVER, pull_at(0, way=90))
    assert across["member_kept"].breaking > across["under_ring"].breaking
    channel = deck(section="channel-3x4.1")
    V, daily = one_screw(channel)
    shares(links(channel, welded(), OVER, pull_at(0))["member_kept"], 3 * V, 3 * daily, 1e-6)


def test_rings_on_one_member_share_the_screws_between_them() -> None:
    # 20 in apart on a channel, pulled alike: each has the same screws as the other, and half of what they hold.
    channel = deck(section="channel-3x4.1")
    alone = links(channel, welded(), (72.0, 10.0), pull_at(0))["member_kept"].breaking
    rig = rig_of(setup(channel, welded(), (72.0, 10.0), (72.0, -10.0), (88.0, 10.0)))
    one, other, ahead = rig.anchors.values()

    def held(beside: float, other: AnchorSetting = other) -> float:
        near_by = (Neighbour(other, (beside, 0.0, 0.0)),)
        links_ = anchor_strength(one, np.array([1.0, 0.0, 0.0]), rig.basis, near_by).links
        return next(link.breaking for link in links_ if link.key == "member_kept") / LBF

    assert held(1.0) == pytest.approx(alone / 2)
    assert held(-1.0) == pytest.approx(alone)  # against each other: near each ring they do not cancel
    assert held(1.0, ahead) == pytest.approx(alone)  # on the next member


@pytest.mark.parametrize(
    ("spacing", "condition", "count"),
    [("6 in", "sound", 5), ("24 in", "sound", 1), ("48 in", "sound", 1), ("6 in", "some missing", 4)],
)
def test_screws_that_keep_a_member_are_counted_near_the_ring(spacing: str, condition: str, count: int) -> None:
    on = deck(section="channel-3x4.1")
    on["hold_down"] |= {"spacing": spacing, "condition": condition}
    assert links(on, welded(), OVER, pull_at(0))["member_kept"].breaking == pytest.approx(count * one_screw(on)[0])
    # Beyond the rail, 4 in from the deck's edge, 15.7 + 4 in of it are left, on either side.
    by_the_edge = {"6 in": 3, "24 in": 1, "48 in": 1}[spacing] - (condition == "some missing")
    for y in (32.0, -32.0):
        found = links(on, welded(), (72.0, y), pull_at(0))["member_kept"]
        assert found.breaking == pytest.approx(by_the_edge * one_screw(on)[0])


def test_the_last_screw_missing_keeps_no_channel_and_in_planks_they_count_by_the_plank() -> None:
    on = deck(section="channel-3x4.1")
    on["hold_down"] |= {"spacing": "24 in", "condition": "some missing"}
    assert links(on, welded(), OVER, pull_at(0))["member_kept"].breaking == 0
    planks = {"panel": "sawn-planks", "thickness": "1 1/2 in", "face_grain": "along", "condition": "sound"}
    of_planks = deck({**planks, "plank_width": "5 1/2 in", "screws_per_crossing": "2"}, section="channel-3x4.1")
    # 31.5 in over 5 1/2 in are five planks.
    held = links(of_planks, welded(), OVER, pull_at(0))["member_kept"].breaking
    assert held == pytest.approx(10 * one_screw(of_planks)[0])


def one_screw(on: dict[str, Any]) -> tuple[float, float]:
    """What a screw of the deck holds sideways, low and by the code [lbf]; worked by hand in test_hand_worked_deck."""
    rig = rig_of(setup(on, welded(), OVER))
    low, daily = hold_down_sideways(question_of(rig.anchors["ring 1"], np.array(pull_at(0)), rig.basis))
    return low / LBF, daily / LBF


def test_aluminium_counts_as_it_is_beside_welds() -> None:
    # 15 of 35 ksi; under a weld of 1/4 in 0.6 · 24 ksi on the wall, by F_sw of 11.5 ksi · 0.707 / 4 more.
    of = {steel: links(of_steel(steel), welded("1/4 in"), OVER) for steel in ("6061-T6", "6061-T6-welded", "mild")}
    for key in ("under_ring", "frame_wall", "weld"):
        assert of["6061-T6"][key].breaking == pytest.approx(of["6061-T6-welded"][key].breaking)
    assert of["6061-T6"]["under_ring"].breaking == pytest.approx(of["mild"]["under_ring"].breaking * 15 / 36)
    assert of["6061-T6"]["frame_wall"].breaking == pytest.approx(of["mild"]["frame_wall"].breaking * 15 / 36)
    assert of["6061-T6"]["weld"].breaking == pytest.approx(0.6 * 24_000 * TUBE * 6, rel=2e-3)


def test_aluminium_bends_as_it_is_beside_welds_where_it_bends_most_at_one() -> None:
    # A ring on the deck lifts its members beyond the rails or over a beam, which they are welded to; between the rails
    # they are whole.
    on_deck = screws()
    for on, at, ratio in (
        (deck(), (64.0, 32.0), 15 / 35),
        (deck(), (64.0, -32.0), 15 / 35),
        (deck(), (64.0, 12.0), 1.0),
        (on_beams(0.0, 48.0, 96.0), (30.0, 0.0), 15 / 35),
        (on_beams(0.0, 96.0), (30.0, 0.0), 1.0),
    ):
        alloy, weaker = (links(of_steel(steel, on), on_deck, at) for steel in ("6061-T6", "6061-T6-welded"))
        whole = links(of_steel("mild", on), on_deck, at)["member_beside"].breaking * 35 / 36
        assert alloy["member_beside"].breaking == pytest.approx(whole * ratio)
        assert weaker["member_beside"].breaking == pytest.approx(whole * 15 / 35)


def of_steel(steel: str, on: dict[str, Any] | None = None) -> dict[str, Any]:
    on = deck() if on is None else copy.deepcopy(on)
    on["cross_members"]["steel"] = steel
    return on


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
    # 2 lie on it, the pull 1 in off their middle: S = 2²/3 + 1 · 2, 6 · 1 / S = 1.8 more.
    on = on_beams(0.0, 40.0, 96.0)
    assert set(links(on, welded(), (40.0, 6.0))) == {"ring", "weld"}
    over, beside = (links(on, welded(), (x, 6.0))["weld"].breaking for x in (40.0, 41.0))
    assert beside == pytest.approx(over / 2.8, rel=1e-6)
    assert "off_frame" in links(on, welded(), (56.0, 6.0))


def test_what_nobody_said_of_the_weld_is_told() -> None:
    told = {each.what: each.value for each in rig_of(setup(deck(), welded(None), OVER)).assumed}
    assert told["weld of the ring, it"] == "no weaker than the ring"
    told = {each.what: each.value for each in rig_of(setup(deck(), welded(), OVER)).assumed}
    assert told["how the weld of the ring lies, it"] == "on two sides first"


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
