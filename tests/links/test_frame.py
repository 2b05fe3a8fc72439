"""Rings welded to the frame, worked out by hand; inches and pounds. Rules: us-road, design factor 3."""

from __future__ import annotations

from typing import Any

import pytest

from tests.links.setups import CATALOG, Held, deck, links, pull_at, rig_of, ring, setup, strength
from tests.scenario.test_fixings import faults

OVER, BESIDE, ON_RAIL = (72.0, 12.0), (64.0, 12.0), (64.0, 28.0)  # members every 16 in from 8 in on, rails 56 in apart
TUBE, LEG = 0.93 * 0.125, 0.25


def welded(leg: str | None = "1/8 in", length: str = "6 in", **of_ring: Any) -> dict[str, Any]:
    """A base of 4 1/2 in square; pulled 1/2 in above a deck of 3/4 in: 1 1/4 in above the frame."""
    weld = {} if leg is None else {"weld": leg, "length": length}
    return {"ring": ring(**of_ring), "backing": {"kind": "frame", **weld}}


def shares(found: Held, breaking: float, working: float) -> None:
    assert found.breaking == pytest.approx(breaking, rel=0.002)
    assert found.working == pytest.approx(working, rel=0.002)


def test_weld_straight_up_and_along_the_deck() -> None:
    # 0.6 · 70 000 · 0.707 · 1/8 · 6 = 22 270 lb; flat: n = 0, s = 1, 2 h s / b = 2 · 1.25 / 4.5 = 0.5556.
    whole = 0.6 * 70_000 * 0.707 / 8 * 6
    shares(links(deck(), welded(), OVER)["weld"], 22_270, 22_270 / 3)
    shares(links(deck(), welded(), OVER, pull_at(0))["weld"], whole / (0.5556**2 + 1) ** 0.5, whole / 1.144 / 3)


def test_a_thick_weld_is_as_strong_as_the_wall_beside_it() -> None:
    # AISC 360 J4.2: 0.6 F_u t L, 58 ksi on a wall of 0.1163 in.
    shares(links(deck(), welded("1/4 in"), OVER)["weld"], 0.6 * 58_000 * TUBE * 6, 0.6 * 58_000 * TUBE * 2)


def test_wall_of_a_tube_and_leg_of_an_angle() -> None:
    # Tube 2 x 2 x 1/8: β 0.85, η 4.5 / 2; F_y t² (2 η / 0.15 + 4 / √0.15).
    folds = 36_000 * TUBE**2 * (2 * 2.25 / 0.15 + 4 / 0.15**0.5)
    shares(links(deck(), welded(), OVER)["frame_wall"], folds, folds / 3)
    # Angle 3 x 3 x 1/4: 0.25 · 4.5 · (1/4)² · 36 000 over an arm of 3/2 - 1/4 in; flat by 0.5556 of that.
    bends = 0.25 * 4.5 * LEG**2 * 36_000 / 1.25
    angle = deck(section="angle-3x3x1/4")
    shares(links(angle, welded(), OVER)["frame_wall"], bends, bends / 3)
    shares(links(angle, welded(), OVER, pull_at(0))["frame_wall"], bends / 0.5556, bends / 0.5556 / 3)


def test_the_member_bends_between_its_rails() -> None:
    # 16 and 40 in from the rails: F · 16 · 40 / 56 = S F_y, S = 0.4868 in³.
    lift = 0.4868 * 36_000 * 56 / (16 * 40)
    shares(links(deck(), welded(), OVER)["under_ring"], lift, lift / 3)


def test_no_deck_and_no_fastener_is_asked() -> None:
    assert set(links(deck(), welded(), OVER)) == {"ring", "weld", "frame_wall", "under_ring"}
    assert set(links(deck(), welded(None), OVER)) == {"ring", "frame_wall", "under_ring"}


def test_where_no_steel_is_known_nothing_holds() -> None:
    (found,) = [link for link in strength(deck(), welded(), BESIDE).links if link.key == "off_frame"]
    assert found.breaking == 0
    assert "no cross-member and no main rail that the file tells of" in found.remark
    assert set(links(deck(), welded(), ON_RAIL)) == {"ring", "weld"}
    unmeasured = deck()
    del unmeasured["cross_members"]["rails"]
    assert links(unmeasured, welded(), ON_RAIL)["off_frame"].breaking == 0


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
