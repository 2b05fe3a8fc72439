"""Links of the deck worked out by hand: what the boards and their screws hold, over what the model asks of them.

What a pull asks of the boards (m_x, v_x, t) is the floor's own, checked against triangles in tests/mechanics; here
stands what it is held against, from tables and rules alone. Inches and pounds; us-road, design factor 3, C_D 1.6.
"""

from __future__ import annotations

from math import pi, sqrt
from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from anchorcalc.links.beside import share_on
from anchorcalc.links.deck import hold_down_screw, moments_of
from anchorcalc.links.pull import question_of
from anchorcalc.verdict.words import not_checked
from tests.links.setups import (
    INCH,
    LBF,
    PSI,
    UP,
    Held,
    bolted,
    deck,
    links,
    plank_layer,
    plate,
    plywood,
    pull_at,
    rig_of,
    ring,
    setup,
    strength,
    washers,
)

Texts = dict[str, Any]
WASHERED = bolted(washers("1 1/2 in", "1/4 in"), height=0.0, base_thickness="1 in")
MID, OVER = (64.0, 12.0), (72.0, 12.0)  # in the middle of a bay, over a member

# 3/4 in plywood, an inch wide: S .455 and .306, Ib/Q 7.187 and 4.063 a foot. Wood Handbook: 5000 psi less 1.645 ·
# 0.16 on t²/6 = 0.09375 in³, across by the ratio of S; 250 psi less 1.645 · 0.14. Plywood Design Specification: F_b
# 1200, F_s 53 psi, times 1.6.
BENDS = {"x": (345.4, 1920 * 0.455 / 12), "y": (345.4 * 0.306 / 0.455, 1920 * 0.306 / 12)}
ROLLS = {"x": (192.4 * 7.187 / 12, 84.8 * 7.187 / 12), "y": (192.4 * 4.063 / 12, 84.8 * 4.063 / 12)}


def link(key: str, on: Texts, mounting: Texts = WASHERED, degrees: float = 60) -> tuple[Held, dict[str, float]]:
    """A link [lbf], and the figures it was found from by their symbols."""
    found, by_code = (
        next(each for each in strength(on, mounting, MID, pull_at(degrees), factor).links if each.key == key)
        for factor in (3.0, 1.0)
    )
    held = Held(found.breaking / LBF, found.working / LBF, by_code.working / LBF)
    return held, {each.symbol: each.value for each in found.figures}


def holds(found: Held, breaking: float, daily: float, within: float = 1e-3) -> None:
    assert found.breaking == pytest.approx(breaking, rel=within)
    assert found.code == pytest.approx(min(breaking, daily), rel=within)
    assert found.working == pytest.approx(min(breaking / 3, daily), rel=within)


def test_one_sheet_bends() -> None:
    found, asked = link("panel_bending", deck())
    holds(found, *(min(BENDS[way][level] / asked[f"m_{way}"] for way in "xy") for level in (0, 1)))


def test_sheets_laid_crosswise_bend_together() -> None:
    # I .199 along in the top one, .092 in the weathered one below: together they break where the weaker bend of the
    # two ends, R/I times .291: along the lower, 0.65 · 232.3 / .092 · .291 = 477.6; daily 0.65 · 48.96 / .092 · .291 =
    # 100.7. Across the lower carries .199 of .291: 0.65 · 345.4 / .199 · .291 = 328.3, daily 69.2.
    found, asked = link("panel_bending", deck(plywood(), plywood(grain="across", condition="weathered")))
    assert asked["layers"] == 2
    along, across = (477.6, 100.7), (328.3, 69.2)
    holds(found, *(min(along[k] / asked["m_x"], across[k] / asked["m_y"]) for k in (0, 1)))


def test_two_kinds_of_board_share_by_their_stiffness() -> None:
    # E I along 1.5 · .199 = .2985 and 1.65 · .202 = .3333, together .6318; across .138 and .1782, together .3162.
    # Bending, 6000 psi in Structural 1: 345.4 · .6318 / .2985 = 731.0, less than 414.5 · .6318 / .3333; daily 1920 ·
    # .455 / 12 · .6318 / .2985 = 154.1. Across 232.3 · .3162 / .138 = 532.3; daily 1920 · .306 / 12 · 2.291 = 112.2.
    two = deck(plywood(), {**plywood(), "panel": "structural-1-plywood"})
    found, asked = link("panel_bending", two)
    holds(found, *(min(a / asked["m_x"], b / asked["m_y"]) for a, b in ((731.0, 532.3), (154.1, 112.2))), within=2e-3)
    # Rolling shear: 192.4 · 6.189 / 12 = 99.2 by .3333 of .6318, 188.1; daily 82.9. Across 65.14 · .3162 / .138 = 149.3
    # or 192.4 · 4.047 / 12 = 64.9 · .3162 / .1782 = 115.1; daily 50.7.
    found, asked = link("rolling_shear", two)
    across, along = asked["v_y"] * INCH, asked["v_x"] * INCH
    holds(found, *(min(a / along, b / across) for a, b in ((188.1, 115.1), (82.9, 50.7))), within=2e-3)


def test_laid_the_weak_way_a_panel_is_no_stronger_than_by_its_stiffness() -> None:
    # Structural 1, 3/4 in: I .202 and .108, S .464 and .418 in³ a foot; .464 √(.108 / .202) = 0.3393 counts. 6000 psi
    # less 1.645 · 16 % on t² / 6, by the ratio of S; F_b 1.6 · 1650.
    group_1 = {**plywood(grain="across"), "panel": "structural-1-plywood"}
    rig = rig_of(setup(deck(group_1), WASHERED, MID))
    low, daily = moments_of(rig.basis, rig.floor.layers)
    assert low / LBF == pytest.approx(6000 * (1 - 1.645 * 0.16) * 0.75**2 / 6 * 0.3393 / 0.464, rel=1e-3)
    assert daily / LBF == pytest.approx(2640 * 0.3393 / 12, rel=1e-3)


def test_planks_bend_and_shear_along_their_grain_alone() -> None:
    # 3/4 in: S t² / 6 = 0.09375 in³, Ib/Q 1/2 in² an inch wide. 4700 psi less 1.645 · 30 %, F_b 875 · 1.6; 720 psi less
    # 1.645 · 14 %, F_v 135 · 1.6.
    on = deck({**plywood(), "panel": "sawn-planks", "screws_per_crossing": "2", "plank_width": "11 1/4 in"})
    found, asked = link("panel_bending", on)
    holds(found, 4700 * (1 - 1.645 * 0.3) * 0.09375 / asked["m_x"], 1400 * 0.09375 / asked["m_x"])
    found, asked = link("rolling_shear", on)
    v = asked["v_x"] * INCH
    holds(found, 720 * (1 - 1.645 * 0.14) * 0.5 / v, 216 * 0.5 / v)


def test_weathered_boards_roll_at_so_much_less() -> None:
    sound, weathered = (link("rolling_shear", deck(plywood(condition=each)))[0] for each in ("sound", "weathered"))
    assert weathered == pytest.approx([0.65 * each for each in sound], rel=1e-9)


def test_a_plate_under_many_narrow_planks_lifts_them_all() -> None:
    planks = plank_layer("3/4 in")
    on = deck({**planks, "plank_width": "3 1/2 in"})
    small, large = (links(on, bolted(plate(side, "1/2 in"), height=0.0), MID) for side in (6, 18))
    assert large["hold_down"].breaking > 1.5 * small["hold_down"].breaking > 0


def test_grain_that_nobody_looked_at_counts_by_its_worse_way() -> None:
    for key in ("panel_bending", "rolling_shear"):
        along, across, unknown = (link(key, deck(plywood(grain=way)))[0] for way in ("along", "across", None))
        assert unknown == pytest.approx([min(pair) for pair in zip(along, across, strict=True)], rel=1e-9)


@pytest.mark.parametrize("side", [6, 24])
def test_a_plate_bends_at_its_nuts(side: float) -> None:
    # 3/16 in of 36 ksi: 36 000 · 0.1875² / 4 = 316.4 lb in an inch; daily that / 1.67, no more than a third.
    found, asked = link("plate_bends", deck(), bolted(plate(side, "3/16 in", "A36"), height=0.0, base_thickness="1 in"))
    holds(found, 316.4 / asked["m"], 316.4 / 1.67 / asked["m"])


def test_a_wide_plate_holds_no_more_than_its_steel_can_spread() -> None:
    """The deck over 24 in of 3/16 in steel would break at nearly twice what the steel passes on to it."""
    held = links(deck(), bolted(plate(24, "3/16 in"), base_thickness="3/16 in"), MID, pull_at(90))
    assert held["plate_bends"].breaking < 0.6 * held["panel_bending"].breaking
    thicker = links(deck(), bolted(plate(24, "3/8 in"), base_thickness="3/16 in"), MID, pull_at(90))
    assert thicker["plate_bends"].breaking > held["plate_bends"].breaking


def test_plies_roll() -> None:
    found, asked = link("rolling_shear", deck())
    holds(found, *(min(ROLLS[way][level] / (asked[f"v_{way}"] * INCH) for way in "xy") for level in (0, 1)))


def test_deck_screw_lifted_and_pushed_at_once() -> None:
    # #12 self-drilling, root 0.157: d = 1.1 · 4 mm = 4.387; f_h 24.77 N/mm² · d = 108.7 N/mm; M_y = 0.3 · 413.7 ·
    # d^2.6 = 5 800 N mm; held by the steel, its head free: f t (√(2 + 4 M/f t²) − 1) = 1 260 N = 283 lb; its shear 697.
    d, t = 1.1 * 0.157 * 25.4, 0.75 * 25.4
    f = 0.11 * 420 * (1 - 1.645 * 0.10) * d**-0.3 * d
    M = 0.3 * 413.685 * d**2.6
    V = f * t * (sqrt(2 + 4 * M / (f * t**2)) - 1) / LBF
    assert pytest.approx(283, abs=1) == V
    T = 398.2  # test_hold_down_screw_by_its_head
    found, asked = link("hold_down", deck())
    lift, side = asked["t"] / T, asked["v"] / V
    assert found.breaking == pytest.approx(1 / max(lift, side, (lift + side) / 1.15), rel=2e-3)
    slides, pushed = link("deck_slides", deck(), degrees=20)
    assert slides.breaking == pytest.approx(V / pushed["v"], rel=2e-3)
    # Through a sound sheet and a weathered one below it 0.65 of f over both, which is more than in the lower alone.
    slides, pushed = link("deck_slides", deck(plywood(), plywood(condition="weathered")), degrees=20)
    both = 0.65 * f * 2 * t * (sqrt(2 + 4 * M / (0.65 * f * (2 * t) ** 2)) - 1) / LBF
    assert slides.breaking == pytest.approx(both / pushed["v"], rel=2e-3)
    # In planks as thick f is 0.082/0.11 of that, EN 1995-1-1 8.15: 81.0 N/mm, and V 1 036 N = 233 lb.
    f *= 0.082 / 0.11
    V = f * t * (sqrt(2 + 4 * M / (f * t**2)) - 1) / LBF
    slides, pushed = link(
        "deck_slides", deck({**plywood(), "panel": "sawn-planks", "screws_per_crossing": "2"}), degrees=20
    )
    assert slides.breaking == pytest.approx(V / pushed["v"], rel=2e-3)
    assert pytest.approx(233, abs=1) == V


def test_a_deck_screw_of_soft_steel_breaks() -> None:
    # None of the tables does before its head goes through: of 10 000 psi 0.157 in at the root hold 193.6 lb, daily / 3.
    rig = rig_of(setup(deck(), WASHERED, MID))
    anchor = rig.anchors["ring 1"]
    soft = replace(anchor.floor, hold_down=anchor.floor.hold_down.model_copy(update={"F_u": 10_000 * PSI}))
    low, allowable, what = hold_down_screw(question_of(replace(anchor, floor=soft), np.array(UP), rig.basis))
    assert what == "screw breaks"
    assert (low / LBF, allowable / LBF) == pytest.approx((193.6, 193.6 / 3), rel=1e-3)


def test_washers_beside_an_opening_for_the_ring() -> None:
    # Discs of 1 1/2 in at 1 5/8 in reach in to 7/8 in; an opening 2.4 in square to 1.2: 0.325² of each is lost.
    area = pi / 4 * (1.5**2 - 0.4375**2) - 0.325**2
    found, shown = link("crush", deck(), {**WASHERED, "cut_out": ["2.4 in", "2.4 in"]}, degrees=90)
    assert found.working == pytest.approx(4 * 210 * area, rel=2e-3)
    assert shown["A"] == pytest.approx(area * 25.4**2, rel=2e-3)  # in mm²
    # Narrower across, it leaves 1 − 1.2 / (4.5 + 1.5) of what bends along, 1 − 2.4 / 6 of what bends across.
    _, shown = link("panel_bending", deck(), {**WASHERED, "cut_out": ["2.4 in", "1.2 in"]})
    assert shown["left"] == pytest.approx(0.6)
    # 5 in long it passes the discs along their whole 1 1/2 in and takes no more of them than a strip as long.
    long: Texts = {**WASHERED, "ring": ring((6.5, 4.5), 0.0, base_thickness="1 in"), "cut_out": ["5 in", "2.4 in"]}
    found, _ = link("crush", deck(), long, degrees=90)
    assert found.working == pytest.approx(4 * 210 * (area + 0.325**2 - 1.5 * 0.325), rel=2e-3)


def test_nuts_near_the_edge_of_their_plate() -> None:
    # Discs of 2 in (the widest washer sold for 3/8) cut off 3/8 in beyond the bolts, both ways: a quarter of the disc,
    # two strips of ∫√(1 − s²) up to 3/8 = 0.366, a square of 3/8; less the hole of 7/16: 1.508 in² at 210 psi.
    area = pi / 4 + 2 * 0.36602 + 0.375**2 - pi / 4 * 0.4375**2
    found, _ = link("crush", deck(), {**WASHERED, "backing": plate(4, "1/4 in")}, degrees=90)
    assert found.working == pytest.approx(4 * 210 * area, rel=2e-3)


def test_long_base_bends() -> None:
    # 0.1 in of mild steel that nobody specified, 30 ksi: 30 000 · 0.1² / 4 = 75 lb in on each inch of width.
    strip: Texts = {**WASHERED, "ring": ring((2.5, 8.0), 0.5, base_thickness="0.1 in")}
    strip["fasteners"] = {**WASHERED["fasteners"], "at": {"points": [["0 in", "3 in"], ["0 in", "-3 in"]]}}
    found, asked = link("base_bends", deck(), strip)
    holds(found, 75 / asked["m"], 75 / 1.67 / asked["m"])


def test_who_takes_a_lift() -> None:
    # Members 16 in apart, the last at 136: 4 in beyond it that one has 20/16 of the lift, pried about the one before,
    # which is pressed down. Right over a member that one has it all.
    floor = rig_of(setup(deck(), WASHERED, MID)).anchors["ring 1"].floor
    shares = [[share_on(line * INCH, x * INCH, floor) for line in (56, 72, 120, 136)] for x in (140, 64, 72)]
    assert shares == [
        pytest.approx([0, 0, 0, 1.25]), pytest.approx([0.6005, 0.6005, 0, 0], abs=2e-3), pytest.approx([0, 1, 0, 0]),
    ]  # fmt: skip


def test_member_bends_beyond_its_rails() -> None:
    # Rails 56 in apart, ring 32 in off the middle: 4 in of lever; S 0.4868 in³ at 36 ksi. In the middle of a bay of an
    # endless deck the moments over the members beside are 0.0792 P L, so that each of the two has 0.6005 of the lift.
    for x, share in ((72.0, 1.0), (64.0, 0.6005)):
        lift = 0.4868 * 36_000 / 4 / share
        holds(links(deck(), WASHERED, (x, 32.0))["member_beside"], lift, lift / 1.67)


def test_what_tips_a_tall_ring_lifts_one_member_more() -> None:
    # 4 in beyond the last member at 136, pulled rearward at 30° 3 in above a deck of 3/4 in. About the one before it:
    # 0.5 · 20 + 0.866 · 3.75 = 13.248 in = 0.828 · 16. S F_y over 0.828 · 16 · 40 / 56 in, 16 and 40 from the rails.
    tall: Texts = {**WASHERED, "ring": ring(height=3.0, base_thickness="1 in")}
    back = pull_at(30, way=180)
    found = links(deck(), tall, (140.0, 12.0), back)["member_beside"]
    lift = 0.4868 * 36_000 / (0.828 * 16 * 40 / 56)
    holds(found, lift, lift / 1.67)
    # Ahead it is pressed down by as much, which is not counted.
    lift *= 13.248 / 10
    holds(links(deck(), tall, (140.0, 12.0), pull_at(30))["member_beside"], lift, lift / 1.67)
    joined = deck()
    joined["cross_members"]["joint"] = {"weld": "1/8 in", "length": "2 in"}
    # At the rail 40/56 of the lift on 2 in of weld: 0.6 · 70 000 · 0.707 · 1/8 · 2 = 7423 lb.
    weld = 7423.5 / (0.828 * 40 / 56)
    holds(links(joined, tall, (140.0, 12.0), back)["member_joint"], weld, weld / 2)


@pytest.mark.parametrize("x", [58.0, 64.0, 69.0])
@pytest.mark.parametrize("degrees", [10.0, 45.0])
def test_a_taller_ring_lifts_no_member_less(x: float, degrees: float) -> None:
    """Whichever way it pulls, and on whichever side of the middle of its bay."""
    for way in (0.0, 90.0, 180.0):
        rings = [ring(height=height, base_thickness="1 in") for height in (0.0, 1.0, 3.0)]
        pull = pull_at(degrees, way=way)
        held = [links(deck(), {**WASHERED, "ring": each}, (x, 12.0), pull)["member_beside"].breaking for each in rings]
        assert held == sorted(held, reverse=True)


BRIDGE = {"kind": "bridge", "width": "3 in", "thickness": "1/2 in", "steel": "mild", "bars": "2"}


def test_what_bars_press_on_and_aluminium_beside_welds_are_told_as_not_checked() -> None:
    channels = deck(section="channel-3x4.1")
    channels["cross_members"]["steel"] = "6061-T6"
    rig = rig_of(setup(channels, bolted(BRIDGE, base=(6, 6)), MID))
    assert "aluminium beside welds" not in " ".join(not_checked(rig))  # of that alloy a table tells it
    alloy = rig.floor.member_steel.model_copy(update={"welded": None})
    told = " ".join(not_checked(replace(rig, floor=replace(rig.floor, steel=alloy))))
    plain = " ".join(not_checked(rig_of(setup(deck(), WASHERED, MID))))
    for said in ("bridge bars press", "aluminium beside welds", "turn over by steel's curve"):
        assert said in told
        assert said not in plain
    # The deck is asked whether it bears the wheels, what it lies on is not: on any trailer.
    assert "the cross-members under the weight of the load" in told
    assert "the cross-members under the weight of the load" in plain


def test_ends_of_planks_and_lengths_of_an_overlays_screws_are_told_as_assumed() -> None:
    def assumed(*layers: Texts) -> set[str]:
        return {each.what for each in rig_of(setup(deck(*layers), WASHERED, MID)).assumed_parts}

    planks = {**plywood(), "panel": "sawn-planks", "screws_per_crossing": "2"}
    top = plywood(fixed={"screw": "#8 wood screw", "spacing": "6 in"})
    told = {"butt joints of the planks of layer 1", "length of the screws of layer 1"}
    assert assumed(planks) & told == {"butt joints of the planks of layer 1"}
    assert assumed({**planks, "joints_across": ["20 in"]}) & told == set()
    assert assumed(top, plywood()) & told == {"length of the screws of layer 1"}


def test_a_sheet_that_ends_over_a_bridge_slides_on_its_own_screws() -> None:
    """Cut midway between two rows of bolts each part has half of the push and the screws of two of four members."""

    def slides(**joint: list[str]) -> float:
        return links(deck(plywood(**joint)), bolted(BRIDGE, base=(6, 6)), MID, pull_at(20))["deck_pushed"].breaking

    assert slides(joints_across=["64 in"]) == pytest.approx(slides(), rel=1e-9)
    assert slides(joints_across=["66 in"]) == pytest.approx(slides() / 2, rel=1e-9)  # all bolts stand behind it


def test_a_plank_over_a_bridge_splits_as_any() -> None:
    planks = deck(
        {**plywood("1 1/2 in"), "panel": "sawn-planks", "screws_per_crossing": "2", "plank_width": "5 1/2 in"}
    )
    over, free = (
        links(planks, bolted(backing, base=(6, 6)), MID, pull_at(20, way=90))["plank_splits"]
        for backing in (BRIDGE, washers())
    )
    assert over.breaking < 1e6
    assert over == pytest.approx(free, rel=1e-9)


ROTTEN = plywood(condition="decayed")


def test_what_lies_beyond_a_rotten_layer_bears_on_no_head() -> None:
    """3/4 in over and under 3/4 in that is gone: heads go through the upper, washers through the lower, one by one."""
    one, parted = (deck(*layers, heads_on=1) for layers in ((plywood(),), (plywood(), ROTTEN, plywood())))
    _, shown = link("hold_down", parted)
    assert shown["T"] / LBF == pytest.approx(398.2, rel=2e-3)  # test_hold_down_screw_by_its_head
    single, through = (links(each, WASHERED, MID, pull_at(90)) for each in (one, parted))
    for key in ("pull_through", "punch_out"):
        assert through[key].breaking == pytest.approx(single[key].breaking, rel=0.01)


def test_screws_bend_where_they_cross_a_rotten_layer() -> None:
    # #12, M_y 5 800 N mm as above, over 3/4 in: 2 · 5 800 / 19.05 = 609 N = 136.9 lb where the wood alone takes 283.
    _, shown = link("deck_slides", deck(plywood(), ROTTEN, heads_on=1), degrees=20)
    assert shown["V"] / LBF == pytest.approx(136.9, rel=2e-3)
