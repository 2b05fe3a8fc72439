"""Members beyond the main rails, worked out by hand; inches and pounds. Rules: us-road, design factor 3."""

from __future__ import annotations

from math import hypot
from typing import Any

import numpy as np
import pytest
from pydantic import ValidationError

from anchorcalc.links.path import anchor_strength
from anchorcalc.scenario.model import Scenario
from tests.links.setups import LBF, UP, Texts, deck, links, rig_of, screws, setup, shares, strength

FRAME = {"ring": screws()["ring"], "backing": {"kind": "frame", "weld": "1/8 in", "length": "4 in"}}
BEYOND = (72.0, 32.0)  # over a tube 2x2x1/8, 4 in beyond the rails, which stand 56 in apart
YIELDS = 0.4868 * 36_000
TIMBER = {"wood": "spruce-pine-fir", "breadth": "2 in", "depth": "4 in", "condition": "sound"}


def on(weld: str = "1/8 in", run: str = "8 in", **members: Any) -> Texts:
    made = deck()
    made["cross_members"] |= {"joint": {"weld": weld, "length": run}, **members}
    return made


def test_one_piece_over_both_rails_is_held_by_both() -> None:
    # M = 4 in · F; the near rail holds F (1 + 4/56), as statics of a beam with an overhang has it.
    held = links(on(outriggers="through"), FRAME, BEYOND)
    shares(held["under_ring"], YIELDS / 4, YIELDS / 4 / 1.67, within=1e-3)
    weld = 0.6 * 70_000 * 0.707 * 0.125 * 8
    shares(held["member_joint"], weld * 56 / 60, weld * 56 / 60 / 2, within=1e-3)


@pytest.mark.parametrize(
    ("weld", "run", "S_by_L", "resists"),
    [
        ("1/8 in", 8.0, (2 * 2 + 2**2 / 3) / 8, 29_694),  # once round: b d + d² / 3
        ("1/8 in", 4.0, 2**2 / 3 / 4, 14_847),  # all of both upright sides: d² / 3
        ("1/8 in", 2.0, 1 / 3 / 2, 7423),  # 1 in on each side
        ("1/4 in", 4.0, 2**2 / 3 / 4, 0.6 * 58_000 * 0.1163 * 4),  # the tube's wall gives before the weld
    ],
)
def test_the_weld_of_an_outrigger_bends(weld: str, run: float, S_by_L: float, resists: float) -> None:
    held = links(on(weld, f"{run} in", outriggers="welded"), FRAME, BEYOND)
    shares(held["member_joint"], resists / hypot(1, 4 / S_by_L), resists / hypot(1, 4 / S_by_L) / 2, within=1e-3)
    shares(held["under_ring"], YIELDS / 4, YIELDS / 4 / 1.67, within=1e-3)  # as a cantilever it bends alike
    assert links(on(weld, f"{run} in"), FRAME, BEYOND) == held  # where nobody says it, as the weaker of the two


def test_pieces_on_either_side_and_between_carry_their_own() -> None:
    # Rings 2 and 4 in beyond one rail pull on one piece, that beyond the other on another; one between on neither:
    # 16 in from its nearer rail that has 40/56 of it.
    places = (BEYOND, (72.0, 30.0), (72.0, -35.0), (72.0, 12.0))
    rig = rig_of(setup(on(outriggers="welded"), FRAME, *places))
    found = anchor_strength(rig.anchors["ring 1"], np.array(UP), rig.basis).links
    held = {link.key: link.breaking / LBF for link in found}
    # 7 in on the other side bend more than 4 + 2 in here, though one pull more lifts: all are pulled alike.
    by_line = 8 / (2 * 2 + 2**2 / 3)
    assert held["member_joint"] == pytest.approx(29_694 / max(hypot(2, 6 * by_line), hypot(1, 7 * by_line)), rel=1e-3)
    assert held["under_ring"] == pytest.approx(YIELDS / 6, rel=1e-3)
    alone = links(on(outriggers="welded"), FRAME, (72.0, 12.0))["member_joint"].breaking
    assert alone == pytest.approx(29_694 * 56 / 40, rel=1e-3)


def test_what_is_not_known_of_them_is_told() -> None:
    def remark(made: Texts) -> str:
        return next(link.remark for link in strength(made, FRAME, BEYOND).links if link.key == "under_ring")

    assert "is not checked" in remark(deck())
    assert remark(on()) == remark(on(outriggers="through")) == remark(on(outriggers="welded")) == ""
    told = [
        {each.what: each.value for each in rig_of(setup(made, FRAME, BEYOND)).assumed}.get(
            "cross-members beyond the main rails"
        )
        for made in (on(), deck(), on(rails=None), on(outriggers="through"))
    ]
    assert told == ["welded on or one piece over both rails", "one piece over both rails", told[0], None]


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"rails": None}, "outriggers stand out from the main rails: give the distance between those as rails"),
        ({"run": "lengthwise", "rails": None}, "lengthwise members reach beyond their beams by themselves"),
        ({"section": None, "steel": None, "joint": None, "timber": TIMBER}, "outriggers of wood are not welded on"),
    ],
)
def test_what_they_do_not_go_with(change: Texts, told: str) -> None:
    texts = setup(on(outriggers="welded"), FRAME, BEYOND)
    members = texts["deck"]["cross_members"] | change
    texts["deck"]["cross_members"] = {key: value for key, value in members.items() if value is not None}
    with pytest.raises(ValidationError, match=told):
        Scenario.model_validate(texts)
