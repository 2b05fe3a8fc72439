"""Cross-members lifted by several rings, and their welds, by hand. Inches and pounds; design factor 3.

Members every 16 in from 8 in on, tubes 2 x 2 x 1/8 of mild steel, S F_y 0.4868 · 36 000 lb in; rails 56 in apart.
"""

from __future__ import annotations

import numpy as np
import pytest

from anchorcalc.links.path import anchor_strength
from anchorcalc.result.strength import Link
from tests.links.setups import INCH, LBF, UP, Texts, bolted, deck, links, rig_of, setup, shares, washers
from tests.links.test_lengthwise import on_beams

WASHERED = bolted(washers("1 1/2 in", "1/4 in"), height=0.0, base_thickness="1 in")
YIELDS = 0.4868 * 36_000


def link(key: str, *places: tuple[float, float], on: Texts | None = None) -> Link:
    """Of the first of rings that all pull straight up."""
    rig = rig_of(setup(on or deck(), WASHERED, *places))
    found = anchor_strength(rig.anchors["ring 1"], np.array(UP), rig.basis).links
    return next(each for each in found if each.key == key)


def figures(of: Link) -> dict[str, float]:
    unit = {"length": INCH, "force": LBF}
    return {each.symbol: each.value / unit.get(each.kind, 1.0) for each in of.figures}


@pytest.mark.parametrize("side", [1.0, -1.0])
def test_rings_beyond_a_rail_lift_the_member_by_their_levers(side: float) -> None:
    # 4 and 3 in beyond it, on the member; one between the rails eases it, and does not count, nor one beyond the other.
    places = (72.0, 32 * side), (72.0, 31 * side), (72.0, 10.0), (72.0, -31 * side)
    found = link("member_beside", *places)
    assert found.breaking / LBF == pytest.approx(YIELDS / 7, rel=1e-3)
    assert figures(found) == pytest.approx(
        {"rails": 56, "beyond": 4, "anchors": 2, "share": 1, "F": YIELDS / 7}, rel=1e-3
    )
    assert "joint to the main rail is not checked" in found.remark
    assert "beyond the rail" in found.formula


def test_rings_between_the_rails_lift_it_as_a_simple_beam() -> None:
    # 12 in right and left of its middle: each end holds one of them, 16 in from it. One beyond does not count.
    found = link("member_beside", (72.0, 12.0), (72.0, -12.0), (72.0, 30.0))
    assert found.breaking / LBF == pytest.approx(YIELDS / 16, rel=1e-3)
    assert figures(found) == pytest.approx(
        {"rails": 56, "beyond": 0, "anchors": 2, "share": 1, "F": YIELDS / 16}, rel=1e-3
    )
    assert not found.remark
    # One in the middle of the next bay lifts it by 0.6005 of its pull, at the same place across: 16 · 40 / 56 in.
    found = link("member_beside", (72.0, 12.0), (80.0, 12.0))
    assert found.breaking / LBF == pytest.approx(YIELDS / (1.6005 * 16 * 40 / 56), rel=2e-3)
    # In the middle of a bay the member beside has 0.6005 of the pull, and F of that.
    found = link("member_beside", (80.0, 12.0))
    F = YIELDS / (16 * 40 / 56)
    assert found.breaking / LBF == pytest.approx(F / 0.6005, rel=2e-3)
    assert (figures(found)["share"], figures(found)["F"]) == pytest.approx((0.6005, F), rel=2e-3)
    assert "between the rails" in found.formula
    assert "over all beams" not in found.formula
    assert "over all beams" in link("member_beside", (20.0, 12.0), on=on_beams(0.0, 40.0, 96.0)).formula
    # Right over a rail nothing bends.
    assert link("member_beside", (72.0, 28.0)).breaking == np.inf


@pytest.mark.parametrize(
    ("places", "share"),
    [
        # 12 in off the middle (28 + 12) / 56 at the nearer rail; with one 20 in to the other side 16 + 48 at the other.
        (((72.0, 12.0),), 40 / 56),
        (((72.0, 12.0), (72.0, -20.0)), 64 / 56),
        (((72.0, -12.0), (72.0, -20.0)), 88 / 56),
        # 4 in beyond a rail 60 / 56 of it; what lies beyond the other would take 2 / 56 off, but may be slack then.
        (((72.0, 32.0),), 60 / 56),
        (((72.0, -32.0),), 60 / 56),
        (((72.0, 32.0), (72.0, -30.0)), 60 / 56),
    ],
)
def test_the_weld_at_the_more_loaded_rail(places: tuple[tuple[float, float], ...], share: float) -> None:
    # 1/8 in of leg, 2 in long: 0.6 · 70 000 · 0.707 · 1/8 · 2 = 7423 lb.
    on = deck()
    on["cross_members"] |= {"joint": {"weld": "1/8 in", "length": "2 in"}, "outriggers": "through"}
    found = link("member_joint", *places, on=on)
    assert found.breaking / LBF == pytest.approx(7423.5 / share, rel=1e-3)
    assert figures(found) == pytest.approx({"a": 0.125, "L": 2, "t": 0.93 * 0.125, "share": share}, rel=1e-3)


def test_the_wall_beside_a_thick_weld_at_the_rail() -> None:
    """AISC 360 J4.2 beside J2.4: a wall of 0.0695 in under a leg of 1/8: 0.6 · 58 000 · 0.0695 · 1 for 3712 lb."""
    on = deck(section="tube-2x2x14ga")
    on["cross_members"]["joint"] = {"weld": "1/8 in", "length": "1 in"}
    wall = 0.6 * 58_000 * 0.06947 / (40 / 56)
    shares(links(on, bolted(washers()), (72.0, 12.0))["member_joint"], wall, wall / 2, 0.002)
