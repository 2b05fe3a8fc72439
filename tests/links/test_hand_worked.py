"""Links worked out by hand, breaking and working, from tables and rules alone: nothing of our mechanics is used.

All in inches and pounds unless said. Rules: us-road, design factor 3, duration factor 1.6. A base 1 in thick or more
is rigid, so that a pull straight up comes evenly on four fasteners.
"""

from __future__ import annotations

from itertools import pairwise
from math import cos, inf, pi, radians, sin, sqrt
from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from anchorcalc.links.lift import lifted_layers
from anchorcalc.links.path import anchor_strength
from anchorcalc.links.planks import plank_splits
from anchorcalc.links.pull import question_of
from tests.links.setups import (
    LBF,
    bolted,
    deck,
    links,
    plank_layer,
    plate,
    plywood,
    pull_at,
    rig_of,
    screws,
    setup,
    shares,
    strength,
    washers,
)

Texts = dict[str, Any]
MM = 25.4
LOW = 1 - 1.645 * 0.20  # 5 % value of scatter 0.20
C_D = 1.6
HEAD = 690 * 0.42**2  # psi, NDS 12.2.5 for G = 0.42 [from memory]
HEAD_LOW = 5 * HEAD * LOW
FLAT = pull_at(0)
MID, OVER = (64.0, 12.0), (72.0, 12.0)  # in the middle of a bay, over a member
THICK = {"base_thickness": "1 in"}


# --- screws of the ring -----------------------------------------------------------------------------------------

# #14 wood screw, 2 1/2 in long: D 0.242, root 0.196, two thirds of it thread. Under 1 in of base 1 1/2 in stand in the
# wood; less one D for the point 1.258 in, so all of a 3/4 in deck is bitten.
SCREWS = screws(length="2 1/2 in", height=0.0, **THICK)
OUT_LOW = 15_700 * 0.42**2 * 0.242 * 0.75 * LOW  # Wood Handbook eq. 8-10: 337 lb
OUT_DAILY = 2850 * 0.42**2 * 0.242 * 0.75 * C_D  # NDS 12.2-2: 146 lb


def test_withdrawal() -> None:
    shares(links(deck(), SCREWS)["withdrawal"], OUT_LOW / 0.25, OUT_DAILY / 0.25)


def test_withdrawal_of_a_lag_screw() -> None:
    # 5/16 lag, 2 in long: NDS table L2 has 1 1/2 in of thread; tip 1 in below the top, less D 0.3125: L = 0.6875.
    lags = screws("5/16 in", "2 in", "lag screw", height=0.0, **THICK)
    low = 8_100 * 0.42**1.5 * 0.3125**0.75 * 0.6875 * LOW
    daily = 1_800 * 0.42**1.5 * 0.3125**0.75 * 0.6875 * C_D
    shares(links(deck(), lags)["withdrawal"], 4 * low, 4 * daily)


def test_a_base_that_nobody_measured_holds_its_screws_where_their_thread_holds_less() -> None:
    # 1 1/2 in long, two thirds thread, in a 3/4 in deck: under 0.1 in of base the thread begins 0.4 in below the top
    # and 0.35 in of it bite; under 1/4 in it would be 0.5 in. 1 in long: its tip less the point 0.9 or 0.75 in less
    # 0.242 in down, its thread from 0.233 or 0.083 in: 0.425 in either way. With no thread's end in the deck, 3/4 in:
    # from the top to 0.65 or 0.5 in less 0.242 in.
    for long, bitten in (("1 1/2 in", 0.35), ("1 in", 0.425), ("3/4 in", 0.258)):
        found = figure(deck(), "L", "withdrawal", screws(length=long, height=0.0))
        assert found == pytest.approx(bitten * MM / 1000, rel=3e-3)
    for long in ("3/4 in", "1 in", "1 1/4 in", "1 1/2 in", "2 in"):
        unsaid = links(deck(), screws(length=long), MID, pull_at(40))
        for given in ("0.1 in", "1/8 in", "3/16 in", "1/4 in"):
            told = links(deck(), screws(length=long, base_thickness=given), MID, pull_at(40))
            for key, link in unsaid.items():
                assert link.breaking <= told[key].breaking * (1 + 1e-6), (long, given, key)
                assert link.working <= told[key].working * (1 + 1e-6), (long, given, key)


def test_a_thick_base_that_nobody_measured_may_keep_a_screw_from_the_layer_below() -> None:
    # 1 1/8 in long, its point 0.242 in: under 0.1 in of base it ends 0.783 in down, past an overlay of 3/4 in; under
    # 1/4 in at 0.633 in.
    on = deck(plywood(fixed={"screw": "#8 wood screw", "spacing": "6 in"}), plywood(), heads_on=2)
    lifted = [
        lifted_layers(rig_of(setup(on, screws(length="1 1/8 in", **base), MID)).anchors["ring 1"])
        for base in ({}, {"base_thickness": "0.1 in"}, {"base_thickness": "1/4 in"})
    ]
    assert lifted == [(0,), (0, 1), (0,)]


def test_a_small_foot_makes_no_strip_of_a_rings_own_base() -> None:
    # 4 1/2 in are 4.5 times a foot of 1 in, but 2.25 times a usual one of 2 in; 6 1/2 in are more than three of them.
    asked = ["base_bends" in links(deck(), screws(base=(long, 4.5), foot=["1 in", "1 in"]), MID) for long in (4.5, 6.5)]
    assert asked == [False, True]


PLANKS = plank_layer("3/4 in")


def screw_sideways(*, rope: bool, embedded: float = 0.11) -> float:
    """Low estimate of one #14 screw under a thick base [lb], EN 1995-1-1 8.2.3, 8.20, 8.30 in mm and N."""
    d = 1.1 * 0.196 * MM
    f = embedded * 420 * (1 - 1.645 * 0.1) * d**-0.3 * d  # f_h d, 127 N/mm
    M = 0.3 * 413.685 * d**2.6
    t = 0.75 * MM
    rope_ = OUT_LOW * LBF / 4 if rope else 0.0
    turning, hinged = f * t * (sqrt(2 + 4 * M / (f * t**2)) - 1), 2.3 * sqrt(M * f)
    modes = [f * t, *(mode + min(rope_, mode) for mode in (turning, hinged))]
    sheared = 0.6 * 413.685 * pi / 4 * (0.196 * MM) ** 2
    return min(*modes, sheared) / LBF


def nds_yield(D: float, F_yb: float, F_em: float, l_m: float, F_es: float, l_s: float) -> dict[str, float]:
    """NDS table 12.3.1A, in psi and in, before the reduction terms."""
    R_e, R_t = F_em / F_es, l_m / l_s
    k_1 = (sqrt(R_e + 2 * R_e**2 * (1 + R_t + R_t**2) + R_t**2 * R_e**3) - R_e * (1 + R_t)) / (1 + R_e)
    k_2 = -1 + sqrt(2 * (1 + R_e) + 2 * F_yb * (1 + 2 * R_e) * D**2 / (3 * F_em * l_m**2))
    k_3 = -1 + sqrt(2 * (1 + R_e) / R_e + 2 * F_yb * (2 + R_e) * D**2 / (3 * F_em * l_s**2))
    return {
        "I_m": D * l_m * F_em,
        "I_s": D * l_s * F_es,
        "II": k_1 * D * l_s * F_es,
        "III_m": k_2 * D * l_m * F_em / (1 + 2 * R_e),
        "III_s": k_3 * D * l_s * F_em / (2 + R_e),
        "IV": D**2 * sqrt(2 * F_em * F_yb / (3 * (1 + R_e))),
    }


def screw_daily() -> float:
    """NDS value of the same screw: K_D of the root, C_D, and the fade over 6 D for 0.75 in of penetration [lb]."""
    F_em = min(3350.0, 16_600 * 0.42**1.84)
    least = min(nds_yield(0.196, 70_000, F_em, 0.75, 61_850, 1.0).values())
    return least / (10 * 0.196 + 0.5) * C_D * min(1.0, 0.75 / (6 * 0.242))


def test_screws_sideways() -> None:
    found = links(deck(), SCREWS, MID, FLAT)["screw_sideways"]
    low, daily = screw_sideways(rope=True), screw_daily()
    shares(found, 4 * low, 4 * daily)
    # In planks as thick and dense: solid wood, EN 1995-1-1 8.15, has 0.082 where plywood has 0.11.
    # Two and two of them stand 3 1/4 in apart along the grain: 2^−0.1 (3.25 / 13 D)^0.25 of each (eq. 8.34) is left.
    found = links(deck(PLANKS), SCREWS, MID, FLAT)["screw_sideways"]
    row = 2**-0.1 * (3.25 / (13 * 0.242)) ** 0.25
    shares(found, 4 * row * screw_sideways(rope=True, embedded=0.082), 4 * daily)


def test_a_lag_screws_shank_bears_on_the_layer_that_its_thread_does_not_bite() -> None:
    # 5/16 lag, 3 in long under 0.1 in of base: 1 in of shank in the weathered upper 3/4 in. d = 1.1 · 0.227 in =
    # 6.34 mm, as a bolt (EN 1995-1-1 8.36), 0.65 of it: f_h d = 149.0 N/mm through 1 1/2 in. Under a thin base
    # 0.4 f_h t d, which no rope helps, 2 271 N = 510.5 lb, is less than 1.15 √(2 M f_h d) = 2 440 N.
    lags = screws("5/16 in", "3 in", "lag screw", height=0.0, base_thickness="0.1 in")
    on = deck(plywood(condition="weathered"), plywood())
    assert links(on, lags, MID, FLAT)["screw_sideways"].breaking == pytest.approx(4 * 510.5, rel=2e-3)


def test_lag_screws_sideways() -> None:
    # 5/16 lag, 2 1/2 in long under 1 in: 1 1/2 in of plywood in two sheets, less one D for the point 1.1875 in; root
    # 0.227, F_u and F_yb 60 ksi. Thicker than 6 mm it is a bolt to the wood: f_h = 0.11 (1 − 0.01 d) ρ.
    lags = screws("5/16 in", "2 1/2 in", "lag screw", height=0.0, **THICK)
    d, t = 1.1 * 0.227 * MM, 1.1875 * MM
    assert d > 6
    f, M = 0.11 * (1 - 0.01 * d) * 420 * (1 - 1.645 * 0.1) * d, 0.3 * 413.685 * d**2.6
    out = 8_100 * 0.42**1.5 * 0.3125**0.75 * 1.1875 * LOW * LBF  # its thread, 1 3/4 in, goes all through
    modes = [
        f * t,
        *(mode + min(out / 4, mode) for mode in (f * t * (sqrt(2 + 4 * M / (f * t**2)) - 1), 2.3 * sqrt(M * f))),
    ]
    low = min(*modes, 0.6 * 413.685 * pi / 4 * (0.227 * MM) ** 2) / LBF
    # NDS: K_D · 1.25 of a root under 1/4 in of a thicker shank; 6100 G^1.45 / √D; 1.1875 in of the 4 D that it wants.
    F_em = min(3350.0, 11_200 * 0.42, 6_100 * 0.42**1.45 / sqrt(0.3125))
    least = min(nds_yield(0.227, 60_000, F_em, 1.1875, 61_850, 1.0).values())
    daily = least / ((10 * 0.227 + 0.5) * 1.25) * C_D * 1.1875 / (4 * 0.3125)
    shares(links(deck(plywood(), plywood()), lags, MID, FLAT)["screw_sideways"], 4 * low, 4 * daily)


def test_screws_sideways_in_a_worn_sheet_over_a_sound_one() -> None:
    # The weaker of the two counts all the way, 0.65 of f_h over 1.258 in.
    d, t = 1.1 * 0.196 * MM, 1.258 * MM
    f, M = 0.65 * 0.11 * 420 * (1 - 1.645 * 0.1) * d**-0.3 * d, 0.3 * 413.685 * d**2.6
    # Of its thread, two thirds of 2 1/2 in, 0.6 counts in the upper 3/4 in, all in the rest.
    rope = OUT_LOW / 0.75 * (0.6 * 0.75 + 0.508) * LBF / 4
    modes = f * t * (sqrt(2 + 4 * M / (f * t**2)) - 1), 2.3 * sqrt(M * f)
    low = min(f * t, *(mode + min(rope, mode) for mode in modes), 0.6 * 413.685 * pi / 4 * (0.196 * MM) ** 2) / LBF
    found = links(deck(plywood(condition="weathered"), plywood()), SCREWS, MID, FLAT)["screw_sideways"]
    assert found.breaking == pytest.approx(4 * low, rel=0.01)


def test_screws_at_a_slant() -> None:
    # 45°: out and sideways 0.7071 / 4 each; NDS 12.4.1 with Z without the rope that the pull uses up.
    share = 0.25
    W, Z, W_d, Z_d = OUT_LOW, screw_sideways(rope=False), OUT_DAILY, screw_daily()
    low, daily = (w * z / (0.5 * w + 0.5 * z) for w, z in ((W, Z), (W_d, Z_d)))
    low, daily = min(low, W / sin(pi / 4), Z / cos(pi / 4)), min(daily, W_d / sin(pi / 4), Z_d / cos(pi / 4))
    found = links(deck(), SCREWS, MID, pull_at(45))["screw_slant"]
    shares(found, low / share, daily / share)


@pytest.mark.parametrize(("size", "left"), [
    ("#10", 4 ** (0.5 + 0.2 * (1 / 0.19 - 4) / 3 - 1)),  # 4.8 mm: 5.26 d apart, k 0.584, of four 2.25 count (eq. 8.17)
    ("#14", 4**-0.1 * (1 / (13 * 0.242)) ** 0.25),  # 6.1 mm: 4^0.9 (4.13 / 13)^0.25 = 2.61 (eq. 8.34)
])  # fmt: skip
def test_screws_in_a_row_along_a_plank_split_it(size: str, left: float) -> None:
    """Two rows of four 1 in apart, pushed along the grain; pushed across it, and in plywood, each counts in full."""
    rows = {"points": [[f"{x} in", f"{y} in"] for x in (-1.5, -0.5, 0.5, 1.5) for y in (-1, 1)]}
    ring = screws(size, length="2 1/2 in", at=rows, height=0.0, **THICK)
    along, across, sheet = (
        links(deck({**plywood(), "panel": panel}), ring, MID, pull_at(0, way=way))["screw_sideways"].breaking
        for panel, way in (("sawn-planks", 0), ("sawn-planks", 90), ("softwood-plywood", 0))
    )
    assert along == pytest.approx(left * across, rel=1e-6)
    assert sheet == pytest.approx(links(deck(), ring, MID, pull_at(0, way=90))["screw_sideways"].breaking, rel=1e-6)


def test_screw_breaks() -> None:
    one = 60_000 * pi / 4 * 0.196**2
    shares(links(deck(), SCREWS)["screw_steel"], 4 * one, 4 * one / 3)


# --- bolts ------------------------------------------------------------------------------------------------------

WASHERED = bolted(washers("1 1/2 in", "1/4 in"), height=0.0, **THICK)
NUT = 0.5339  # circle a 3/8 nut bears on: 0.95 of 9/16 [ASME B18.2.2]


def test_bolt_breaks() -> None:
    # 3/8-16 SAE 5: 0.0775 in² of stress area, 120 ksi; AISC J3 with Ω 2 allows 4.65 kip, a third is less.
    shares(links(deck(), WASHERED)["bolt_steel"], 4 * 0.0775 * 120_000, 2 * 0.0775 * 120_000)


def test_a_thick_bolt_breaks_at_three_quarters_of_its_body() -> None:
    # M16 ISO 4.6: AISC's 0.75 · 400 MPa · 201.1 mm² is less than 400 MPa on the stress area of 157 mm².
    one = 0.75 * 400 * pi / 4 * 16**2 / LBF
    found = links(deck(), bolted(washers("2 in", "1/4 in"), "M16", "ISO 4.6", height=0.0, **THICK))["bolt_steel"]
    shares(found, 4 * one, 2 * one)


def test_bolt_breaks_in_tension_and_shear_together() -> None:
    # Pulled 45° up at no height: tension 0.7071 / 4 on each; two of four loose holes bear first: shear 0.7071 / 2.
    # F'_nt = 1.3 F_nt − F_nt / F_nv f_v with F_nt A = 9.30 kip, F_nv A = 0.45 · 120 · 0.1104 = 5.96 kip.
    tension, shear = 0.7071 / 4, 0.7071 / 2
    breaking = 1.3 / (tension / 9_300 + shear / 5_964)
    found = links(deck(), WASHERED, MID, pull_at(45))["bolt_steel"]
    shares(found, breaking, breaking / 2)


def bolt_bed() -> tuple[float, float, float, float]:
    """f_h d [N/mm], t [mm], M_y [N mm] and root [mm] of a 3/8-16 SAE 5 bolt in 3/4 in plywood."""
    d = (0.375 - 1.3 / 16) * MM  # AISC Manual table 7-17, K = D − 1.3 p [from memory]
    f_h = 0.11 * (1 - 0.01 * 0.375 * MM) * 420 * (1 - 1.645 * 0.1)
    return f_h * d, 0.75 * MM, 0.3 * 120_000 * 0.006894757 * d**2.6, d


def test_bolts_sideways_held_at_both_ends() -> None:
    # Base 1 in and plate 3/4 in hold the whole M_y: f t (√(2 + 8 m) − 1), no more than f t and 2.3 √(M f).
    f, t, M, _ = bolt_bed()
    m = M / (f * t**2)
    one = min(f * t, f * t * (sqrt(2 + 8 * m) - 1), 2.3 * sqrt(M * f)) / LBF
    found = links(deck(), bolted(plate(6, "3/4 in"), height=0.0, **THICK), MID, FLAT)["bolt_sideways"]
    assert found.breaking == pytest.approx(4 * one, rel=0.015)
    # Daily: NDS with both ends held leaves I_m, I_s and IV: 0.294 · 0.75 · F_e / 4 (panels: K_θ 1), C_D 1.6.
    F_em = min(3350.0, 11_200 * 0.42, 6_100 * 0.42**1.45 / sqrt(0.375))
    modes = nds_yield(0.375 - 1.3 / 16, 45_000, F_em, 0.75, 61_850, 1.0)
    daily = 4 * C_D * min(modes["I_m"] / 4, modes["I_s"] / 4, modes["IV"] / 3.2)
    shares(found, 4 * one, daily, 0.015)
    # Over a weathered layer as thick the bed is (1 + 0.65) / 2 of that and twice as thick.
    f, t = 0.825 * f, 2 * t
    one = min(f * t, f * t * (sqrt(2 + 8 * M / (f * t**2)) - 1), 2.3 * sqrt(M * f)) / LBF
    modes = nds_yield(0.375 - 1.3 / 16, 45_000, 0.825 * F_em, 1.5, 61_850, 1.0)
    daily = 4 * C_D * min(modes["I_m"] / 4, modes["I_s"] / 4, modes["IV"] / 3.2)
    worn = deck(plywood(), plywood(condition="weathered"))
    shares(
        links(worn, bolted(plate(6, "3/4 in"), height=0.0, **THICK), MID, FLAT)["bolt_sideways"], 4 * one, daily, 0.015
    )
    # In planks as thick, pushed across them: 0.082 / 0.11 of the bed, over k_90 = 1.35 + 0.015 · 9.525 = 1.493.
    f, t = 0.082 / 0.11 / 1.493 * bolt_bed()[0], t / 2
    one = min(f * t, f * t * (sqrt(2 + 8 * M / (f * t**2)) - 1), 2.3 * sqrt(M * f)) / LBF
    planks = bolted(plate(6, "3/4 in"), height=0.0, **THICK)
    # Daily K_θ is 1.25 in solid wood.
    modes = nds_yield(0.375 - 1.3 / 16, 45_000, F_em, 0.75, 61_850, 1.0)
    daily = 4 * C_D * min(modes["I_m"] / 5, modes["I_s"] / 5, modes["IV"] / 4)
    shares(links(deck(PLANKS), planks, MID, FLAT)["bolt_sideways"], 4 * one, daily, 0.015)
    # Strand board of 23/32 in, EN 1995-1-1 8.37: 50 · 9.525^-0.6 · 18.26^0.2 = 23.13 N/mm², whatever its density.
    f, t = 23.13 * bolt_bed()[3], 23 / 32 * MM
    one = min(f * t, f * t * (sqrt(2 + 8 * M / (f * t**2)) - 1), 2.3 * sqrt(M * f)) / LBF
    osb = deck({**plywood("23/32 in"), "panel": "osb"})
    assert links(osb, planks, MID, FLAT)["bolt_sideways"].breaking == pytest.approx(4 * one, rel=0.015)
    # Over a decayed layer nothing holds the far end: f t (√(2 + 4 m) − 1) in the 1 1/8 in above it, less than f t.
    f, t = bolt_bed()[0], 1.125 * MM
    rotten = deck(plywood("1 1/8 in"), plywood(condition="decayed"), plywood())
    hollow = links(rotten, bolted(plate(6, "3/4 in"), height=0.0, **THICK), MID, FLAT)["bolt_sideways"]
    assert hollow.breaking == pytest.approx(4 * f * t * (sqrt(2 + 4 * M / (f * t**2)) - 1) / LBF, rel=0.015)


def split(planks: Texts, mounting: Texts, at: tuple[float, float]) -> float:
    """What a ring pulled straight across a deck of planks holds before they split [lbf]."""
    rig = rig_of(setup(deck(planks), mounting, at))
    return plank_splits(question_of(rig.anchors["ring 1"], np.array([0.0, 1.0, 0.0]), rig.basis)).breaking / LBF


def test_a_small_thick_washer_turns_over_in_the_wood() -> None:
    # 1 in by 1/4 in: its steel would hold f_b d t² / 4 = 32.0 N m, 1/12 of 3 · 2.2 N/mm² on 25.4³ mm³ is 9.0 N m. In
    # 1 1/8 in: f t (√(2 + 4 (m + 9 000 / f t²)) − 1), m the bolt's own at the base.
    f, t, M, d = bolt_bed()
    t = 1.125 * MM
    assert pytest.approx(32.0, abs=0.1) == 61_850 * 0.006894757 * d * 6.35**2 / 4 / 1000
    couple = 3 * 2.2 * 25.4**3 / 12
    one = f * t * (sqrt(2 + 4 * (M + couple) / (f * t**2)) - 1) / LBF
    small = bolted(washers("1 in", "1/4 in"), height=0.0, **THICK)
    found = links(deck(plywood("1 1/8 in")), small, MID, FLAT)["bolt_sideways"]
    assert found.breaking == pytest.approx(4 * one, rel=0.015)


def test_a_plank_splits_along_its_fasteners() -> None:
    # 1 1/2 by 5 1/2 in, the bolts of one row 4 D = 1 1/2 in from the edge they are pushed to: 14 · 38.1 ·
    # √(38.1 / (1 − 38.1 / 139.7)) = 3 860 N; NDS 3.4.3.3: 2/3 · 135 · 1.6 · 1.5 · 1.5 = 324 lb. The other row, 3 1/4 in
    # away, finds no room in the same plank. Beside a member all of it goes there: 2 of 4 bolts, half of the pull.
    planks = {**PLANKS, "thickness": "1 1/2 in", "plank_width": "5 1/2 in"}
    across = links(deck(planks), WASHERED, (56.0, 0.0), (0.0, 1.0, 0.0))["plank_splits"]
    shares(across, 3860 / LBF / 0.5, 324 / 0.5)
    # In the middle of a bay of a plank over many members each takes 0.60 (continuous beam, other bays lifted off).
    half = split(planks, WASHERED, (64.0, 0.0))
    assert half == pytest.approx(across.breaking / 0.60, rel=0.01)
    # In a plank of 11 1/4 in both rows may stand, to 4 3/4 in: 14 · 38.1 · √(120.7 / (1 − 0.4222)) = 7 708 N
    # for all four; the row by itself, 14 · 38.1 · √(38.1 / (1 − 0.1333)) = 3 536 N for two, is less.
    wide = split({**planks, "plank_width": "11 1/4 in"}, WASHERED, (56.0, 0.0))
    assert wide == pytest.approx(3536 / LBF / 0.5, rel=1e-3)
    # Rows 1/2 in apart reach 2 in in one plank: 14 · 38.1 · √(50.8 / (1 − 0.3636)) = 4 766 N for all four.
    near = bolted(washers("1 in", "1/4 in"), at={"rectangle": ["3 1/4 in", "1/2 in"]}, height=0.0, **THICK)
    both = split(planks, near, (56.0, 0.0))
    assert both == pytest.approx(4766 / LBF, rel=1e-3)
    # Rows 1 in apart just fit in a plank of 4 in: 14 · 38.1 · √(63.5 / (1 − 0.625)) = 6 941 N for all four; a little
    # farther apart each splits by itself, 14 · 38.1 · √(38.1 / (1 − 0.375)) = 4 165 N for two. A plank of 2 1/2 in has
    # its bolts in the middle, not 1 1/2 in from either edge: 14 · 38.1 · √(31.75 / (1 − 0.5)) = 4 251 N.
    for width, apart, low, count in (("4 in", 1.0, 6941, 4), ("4 in", 1.02, 4165, 2), ("2 1/2 in", 1.0, 4251, 2)):
        rows = bolted(washers("1/2 in", "1/4 in"), at={"rectangle": ["3 1/4 in", f"{apart} in"]}, height=0.0, **THICK)
        found = split({**planks, "plank_width": width}, rows, (56.0, 0.0))
        assert found == pytest.approx(low / LBF / (count / 4), rel=1e-3)
    # Beyond the last member no more than all of it goes to that.
    beyond = split(planks, WASHERED, (141.0, 0.0))
    assert beyond == pytest.approx(across.breaking, rel=1e-3)
    # Pulled along the grain nothing splits; plywood has plies across.
    assert links(deck(planks), WASHERED, (56.0, 0.0), FLAT)["plank_splits"].breaking > 1e6
    assert "plank_splits" not in links(deck(), WASHERED, MID, FLAT)


def test_of_planks_on_planks_the_weaker_says_when_both_split() -> None:
    # Sound ones of half the shear stress on weathered ones, 0.65 of which is left, 1 1/2 in together: 0.65 · 3 860 N;
    # 2/3 · 67.5 · 0.65 · 1.6 · 1.5 · 1.5 = 105.3 lb. Half of the pull goes to a row.
    layers = ({**PLANKS, "plank_width": "5 1/2 in"}, {**PLANKS, "plank_width": "5 1/2 in", "condition": "weathered"})
    rig = rig_of(setup(deck(*layers), WASHERED, (56.0, 0.0)))
    anchor = rig.anchors["ring 1"]
    upper, lower = anchor.floor.layers
    weak = replace(upper, panel=upper.panel.model_copy(update={"F_s": upper.panel.F_s / 2}))
    anchor = replace(anchor, floor=replace(anchor.floor, layers=(weak, lower)))
    found = plank_splits(question_of(anchor, np.array([0.0, 1.0, 0.0]), rig.basis))
    assert (found.breaking, found.working) == pytest.approx((0.65 * 3860 / 0.5, 105.3 * LBF / 0.5), rel=2e-3)


def test_bolts_sideways_half_held_by_a_thin_plate() -> None:
    # 1/8 in of steel holds the far end with f_b d t² / 4, 0.174 of M_y; daily by so much of what 45 ksi bear,
    # F_yb d³ / 6, 0.373 of it, between mode III_m and none.
    _, _, M, d = bolt_bed()
    far = 61_850 * 0.006894757 * d * (0.125 * MM) ** 2 / 4 / M
    assert far == pytest.approx(0.174, abs=0.001)
    F_em = min(3350.0, 11_200 * 0.42, 6_100 * 0.42**1.45 / sqrt(0.375))
    modes = nds_yield(0.375 - 1.3 / 16, 45_000, F_em, 0.75, 61_850, 1.0)
    held = min(modes["I_m"] / 4, modes["I_s"] / 4, modes["IV"] / 3.2)
    of_code = far * M / (45_000 * 0.006894757 * d**3 / 6)
    assert of_code == pytest.approx(0.373, abs=0.001)
    daily = (1 - of_code) * min(held, modes["III_m"] / 3.2) + of_code * held
    half_held = bolted(plate(6, "1/8 in"), height=0.0, **THICK)
    found = links(deck(), half_held, MID, FLAT)["bolt_sideways"]
    assert found.working == pytest.approx(4 * C_D * daily, rel=0.015)
    # In 3/4 in crushing comes first whatever holds it; in 1 1/8 in mode III_m is less than what is held at the far end.
    modes = nds_yield(0.375 - 1.3 / 16, 45_000, F_em, 1.125, 61_850, 1.0)
    held = min(modes["I_m"] / 4, modes["I_s"] / 4, modes["IV"] / 3.2)
    assert modes["III_m"] / 3.2 < 0.85 * held
    thick = links(deck(plywood("1 1/8 in")), half_held, MID, FLAT)["bolt_sideways"]
    assert thick.code == pytest.approx(4 * C_D * ((1 - of_code) * modes["III_m"] / 3.2 + of_code * held), rel=0.015)
    (link,) = (each for each in strength(deck(), half_held, MID, FLAT).links if each.key == "bolt_sideways")
    shown = {figure.symbol: figure.value for figure in link.figures}
    assert (shown["near"], shown["far"]) == pytest.approx((1.0, far), abs=0.001)


@pytest.mark.parametrize("thick", ["1/16 in", "1/8 in", "1/4 in"])
def test_a_better_bolt_holds_no_less_sideways(thick: str) -> None:
    found = [
        links(deck(), bolted(plate(6, thick), grade=grade, height=0.0), MID, FLAT)["bolt_sideways"]
        for grade in ("A307 A", "SAE 2", "SAE 5", "SAE 8")
    ]
    for worse, better in pairwise(found):
        assert worse.working <= better.working * (1 + 1e-9)
        assert worse.breaking <= better.breaking * (1 + 1e-9)


def test_bolts_sideways_with_nothing_at_the_far_end() -> None:
    # Under a bridge bar nothing holds the far end: f t (√(2 + 4 m) − 1), no more than f t and 2.3 √(M f).
    f, t, M, _ = bolt_bed()
    one = min(f * t, f * t * (sqrt(2 + 4 * M / (f * t**2)) - 1), 2.3 * sqrt(M * f)) / LBF
    bars = {"kind": "bridge", "width": "2 in", "thickness": "1/2 in", "steel": "mild", "bars": "2"}
    found = links(deck(), bolted(bars, height=0.0, **THICK), MID, FLAT)["bolt_sideways"]
    assert found.breaking == pytest.approx(4 * one, rel=0.015)


def test_bolts_sideways_in_wood_and_in_steel_add_up() -> None:
    # One row through a tube's wall under 1 1/2 in of plywood, the other free at its far end: f t (√(2 + 4 m) − 1). The
    # wall holds what its 0.1163 in leave beside that push, s = F / f_b d: f_b d (t² − 2 t s − s²) / 4. The bolt leans
    # over to a hinge at √(4 M / f), or by f t / 2 + (M + far) / t.
    f, _, M, d = bolt_bed()
    t, wall, f_b = 1.5 * MM, 0.1163 * MM, 61_850 * 0.006894757
    wood = min(f * t, f * t * (sqrt(2 + 4 * M / (f * t**2)) - 1), 2.3 * sqrt(M * f))
    s = wood / (f_b * d)
    far = min(M, f_b * d * max(wall**2 - 2 * wall * s - s**2, 0.0) / 4)
    hinge = min(t, sqrt(4 * M / f))
    steel = min(f * hinge / 2 + 2 * M / hinge, f * t / 2 + (M + far) / t, 0.6 * 120_000 * 0.006894757 * pi / 4 * d**2)
    assert steel > 1.05 * wood
    on = deck(plywood(), plywood())
    backing: Texts = {"kind": "member", "washer": {"outside": "1 1/2 in", "thickness": "1/4 in", "steel": "mild"}}
    through_all = bolted({**backing, "through": "all"}, at={"square": "1.2 in"}, height=0.0, **THICK)
    assert links(on, through_all, OVER, FLAT)["bolt_sideways"].breaking == pytest.approx(4 * steel / LBF, rel=0.015)
    found = links(on, bolted({**backing, "through": "rear"}, height=0.0, **THICK), (73.625, 12.0), FLAT)[
        "bolt_sideways"
    ]
    assert found.breaking == pytest.approx(2 * (wood + steel) / LBF, rel=0.015)
    # Where the lower layer is decayed they stand free above the wall: as in the 3/4 in above it alone.
    hollow = deck(plywood(), plywood(condition="decayed"))
    t = 0.75 * MM
    free = min(f * t, f * t * (sqrt(2 + 4 * M / (f * t**2)) - 1), 2.3 * sqrt(M * f))
    assert links(hollow, through_all, OVER, FLAT)["bolt_sideways"].breaking == pytest.approx(4 * free / LBF, rel=0.015)
    # Daily the wood by NDS, held in the base alone, and a third of what breaks the bolts in steel.
    F_em = min(3350.0, 11_200 * 0.42, 6_100 * 0.42**1.45 / sqrt(0.375))
    modes = nds_yield(0.375 - 1.3 / 16, 45_000, F_em, 1.5, 61_850, 1.0)
    daily = C_D * min(modes["I_m"] / 4, modes["I_s"] / 4, modes["III_m"] / 3.2, modes["IV"] / 3.2)
    assert found.working == pytest.approx(2 * daily + 2 * steel / 3 / LBF, rel=0.015)


@pytest.mark.parametrize(
    ("backing", "wide"),
    [(washers("1 1/2 in", "1/4 in"), 1.5), (plate(6, "1/4 in"), 2.0), (plate(6, "1/8 in"), 1.5)],
)
def test_wood_crushes_under_the_nuts(backing: Texts, wide: float) -> None:
    # Stiff enough for its whole width (a plate: 12 t = 3 or 1 1/2 in, and 2 in washers are sold); hole 7/16, 210 psi:
    # 1.617 in² of 1 1/2 in, 2.991 of 2 in. Lets nothing go.
    area = pi / 4 * (wide**2 - 0.4375**2)
    found = links(deck(), bolted(backing, height=0.0, **THICK))["crush"]
    assert found.breaking == float("inf")
    assert found.working == pytest.approx(4 * 210 * area, rel=0.01)


def test_crushing_under_a_thin_washer() -> None:
    # 0.05 in of 36 ksi on 210 psi: c = 0.05 √(36000 / 630) = 0.378, so 0.534 + 0.756 = 1.290 in wide, hole taken out.
    wide = NUT + 2 * 0.05 * sqrt(36_000 / 630)
    found = links(deck(), bolted(washers("2 in", "0.05 in"), height=0.0, **THICK))["crush"]
    assert found.working == pytest.approx(4 * 210 * pi / 4 * (wide**2 - 0.4375**2), rel=0.01)


def test_crushing_goes_by_the_lowest_layer_that_counts() -> None:
    # Under a sound sheet a weathered one, 0.65 of 210 psi, under that a decayed one.
    on = deck(plywood(), plywood(condition="weathered"), plywood(condition="decayed"), heads_on=1)
    area = pi / 4 * (1.5**2 - 0.4375**2)
    assert links(on, WASHERED)["crush"].working == pytest.approx(4 * 0.65 * 210 * area, rel=0.01)


def test_the_group_under_a_thin_plate_punches_out() -> None:
    # By the width D that leaves through the panel under each nut: 13 + π D round them.
    mounting = bolted(plate(6, "0.1 in"), height=0.0, **THICK)
    (link,) = (each for each in strength(deck(), mounting, MID).links if each.key == "punch_out")
    D = {each.symbol: each.value for each in link.figures}["D_eff"] / 0.0254
    assert NUT < D < 2 * 1.375  # not cut off by the plate's edge
    assert link.breaking / LBF == pytest.approx((13 + pi * D) * min(0.75, 2.5 * D) * HEAD_LOW, rel=2e-3)
    # Of a plate of 4 in, whose corners are 0.53 in from the nuts, it is the plate's own outline.
    mounting = bolted(plate(4, "1/8 in"), height=0.0, **THICK)
    (link,) = (each for each in strength(deck(), mounting, MID).links if each.key == "punch_out")
    assert {each.symbol: each.value for each in link.figures}["D_eff"] / 0.0254 > 2 * 0.375 * sqrt(2)
    assert link.breaking / LBF == pytest.approx(16 * 0.75 * HEAD_LOW, rel=2e-3)


def test_crushing_under_a_plate_thinner_than_its_nuts_is_no_narrower_than_they() -> None:
    # 12 t of 0.04 in is 0.48 in.
    found = links(deck(), bolted(plate(6, "0.04 in"), height=0.0, **THICK))["crush"]
    assert found.working == pytest.approx(4 * 210 * pi / 4 * (NUT**2 - 0.4375**2), rel=0.01)


def test_washer_pulls_through() -> None:
    one, daily = (pi * 1.5 * 0.75 * stress for stress in (HEAD_LOW, HEAD * C_D))
    shares(links(deck(), WASHERED)["pull_through"], 4 * one, 4 * daily)


def test_washers_beside_an_opening_pull_through_with_less_round_them() -> None:
    # Discs of 1 1/2 in on the sides of an opening 2.4 in square, their bolts 0.45 in beside it: of the rim
    # 2 acos(0.45 / 0.75) = 106.3 of 360 degrees lie over it.
    sides = {"points": [["1.65 in", "0 in"], ["-1.65 in", "0 in"], ["0 in", "1.65 in"], ["0 in", "-1.65 in"]]}
    beside = {**bolted(washers("1 1/2 in", "1/4 in"), at=sides, height=0.0, **THICK), "cut_out": ["2.4 in", "2.4 in"]}
    one, daily = (pi * 1.5 * 0.75 * stress * (1 - 106.3 / 360) for stress in (HEAD_LOW, HEAD * C_D))
    shares(links(deck(), beside)["pull_through"], 4 * one, 4 * daily)


def test_the_group_punches_out() -> None:
    # Discs of 1 1/2 in on a square of 3 1/4: 13 + π 1.5 in round them.
    round_them = 4 * 3.25 + pi * 1.5
    low, daily = (round_them * 0.75 * stress for stress in (HEAD_LOW, HEAD * C_D))
    shares(links(deck(), WASHERED)["punch_out"], low, daily)


def test_the_two_bolts_that_a_slanted_pull_loads_punch_out_alone() -> None:
    # Of four 1.6 in apart the two behind bear all: 2 · 1.6 + π 1.5 in round both, 2 · π 1.5 round one and the other.
    close = bolted(washers("1 1/2 in", "1/4 in"), at={"square": "1.6 in"}, base=(3.0, 3.0), **THICK)
    found = links(deck(), close, MID, pull_at(20))
    both = (2 * 1.6 + pi * 1.5) / (2 * pi * 1.5)
    assert found["punch_out"].breaking == pytest.approx(both * found["pull_through"].breaking, rel=1e-3)


def test_nut_through_plate() -> None:
    one = 0.6 * pi * NUT * 0.25 * 58_000
    found = links(deck(), bolted(plate(6, "1/4 in"), height=0.0, **THICK))["nut_through_plate"]
    shares(found, 4 * one, inf)  # no code tells of it


# --- deck screws ------------------------------------------------------------------------------------------------


def figure(on: Texts, symbol: str, key: str = "hold_down", mounting: Texts = WASHERED) -> float:
    found = {link.key: link for link in strength(on, mounting, MID, pull_at(60)).links}
    return next(each.value for each in found[key].figures if each.symbol == symbol)


def test_hold_down_screw_by_its_head() -> None:
    # #12: head 0.414 in. 398 lb through 3/4 in; through two layers 2.5 heads count: 550 lb, from the lower alone 398.
    one = pi * 0.414 * 0.75 * HEAD_LOW
    assert one == pytest.approx(398, abs=1)
    assert figure(deck(), "T") / LBF == pytest.approx(one, rel=1e-3)
    both = deck(plywood(), plywood())
    assert figure(both, "T") / LBF == pytest.approx(pi * 0.414 * 2.5 * 0.414 * HEAD_LOW, rel=1e-3)
    below = deck(plywood(), plywood(), heads_on=2)
    assert figure(below, "T") / LBF == pytest.approx(one, rel=1e-3)
    unknown = deck(plywood(), plywood(), heads_on=None)
    assert figure(unknown, "T") / LBF == pytest.approx(one, rel=1e-3)


def test_hold_down_screw_out_of_thin_steel() -> None:
    # AISI J4.4.1 of 14 gauge tube: 0.85 · 0.06947 · 0.164 · 58 ksi, with #8 in two layers of 1 1/8 in Structural 1.
    heavy = {"panel": "structural-1-plywood", "thickness": "1 1/8 in", "face_grain": "along", "condition": "sound"}
    on = deck(heavy, heavy, section="tube-2x2x14ga", screw="#8 self-drilling")
    out = 0.85 * 0.06947 * 0.164 * 58_000
    head = pi * 0.312 * min(2.25, 2.5 * 0.312) * 5 * 690 * 0.5**2 * LOW
    sheared = 60_000 * pi / 4 * 0.116**2
    assert figure(on, "T") / LBF == pytest.approx(min(out, head, sheared), rel=1e-3)
    # By the codes a third of what draws it out of the steel, 187 lb, is least: the head 211, the screw 211.
    (link,) = (each for each in strength(on, WASHERED, MID, factor=1.0).links if each.key == "hold_down")
    (t,) = (each.value for each in link.figures if each.symbol == "t")
    assert link.working / LBF == pytest.approx(out / 3 / t, rel=1e-3)
    # Sideways in a thicker wall its own shear allows least: 0.6 · 60 ksi on the root, a third of it 127 lb.
    on = deck(heavy, heavy, section="tube-2x2x1/8", screw="#8 self-drilling")
    sideways = links(on, WASHERED, MID, pull_at(60))["deck_slides"]
    assert sideways.code == pytest.approx(0.6 * sheared / 3 / figure(on, "v", "deck_slides"), rel=0.01)


def test_what_the_codes_allow_of_a_deck_screw() -> None:
    # #12 through 3/4 in into a wall of 0.1163 in, lifted: its head, less than 1331 / 3 out of the steel and 1162 / 3.
    lifted = pi * 0.414 * 0.75 * HEAD * C_D
    assert lifted < min(0.85 * 0.1163 * 0.216 * 58_000, 60_000 * pi / 4 * 0.157**2) / 3
    # Sideways NDS with the wood as main member, 2.2 for K_D of a root below 0.17 in; the screw's own shear allows more.
    modes = nds_yield(0.157, 80_000, min(3350.0, 16_600 * 0.42**1.84), 0.75, 61_850, 0.1163)
    pushed = min(modes.values()) / 2.2 * C_D
    assert pushed < 0.6 * 60_000 * pi / 4 * 0.157**2 / 3
    up, along = figure(deck(), "t"), figure(deck(), "v")
    found = links(deck(), WASHERED, MID, pull_at(60))
    t, v = up / lifted, along / pushed
    assert found["hold_down"].code == pytest.approx(1 / max(t, v, (t + v) / 1.15), rel=0.01)
    assert found["deck_slides"].code == pytest.approx(pushed / figure(deck(), "v", "deck_slides"), rel=0.01)
    # Under a sound sheet a weathered one as thick: both together bear by the softer, 0.65 of it over 1 1/2 in.
    on = deck(plywood(), plywood(condition="weathered"))
    F_e = 0.65 * min(3350.0, 16_600 * 0.42**1.84)
    both, lower = (min(nds_yield(0.157, 80_000, F_e, t, 61_850, 0.1163).values()) for t in (1.5, 0.75))
    pushed = max(both, lower) / 2.2 * C_D
    slides = links(on, WASHERED, MID, pull_at(60))["deck_slides"]
    assert slides.code == pytest.approx(pushed / figure(on, "v", "deck_slides"), rel=0.01)


def test_what_the_codes_allow_of_an_overlays_own_screw() -> None:
    # #8 wood screw through 3/4 in into 3/4 in less its point, 0.586 in; its ring bites the overlay alone.
    on = deck(plywood(fixed={"screw": "#8 wood screw", "spacing": "6 in"}), plywood(), heads_on=2)
    short = screws("#14", "7/8 in", base_thickness="0.1 in")
    found = links(on, short, MID, pull_at(60))
    up, along = (figure(on, symbol, mounting=short) for symbol in "tv")
    out = 2850 * 0.42**2 * 0.164 * (0.75 - 0.164) * C_D
    assert out < pi * 0.312 * 0.75 * HEAD * C_D
    F_e = min(3350.0, 16_600 * 0.42**1.84)
    # Of the 6 diameters that the code wants below, 0.984 in, it has 0.596.
    across = 0.586 / 0.984 * min(nds_yield(0.131, 90_000, F_e, 0.75 - 0.164, F_e, 0.75).values()) / 2.2 * C_D
    t, v = up / out, along / across
    assert found["hold_down"].code == pytest.approx(1 / max(t, v, (t + v) / 1.15), rel=0.01)
    assert found["deck_slides"].code == pytest.approx(across / figure(on, "v", "deck_slides", short), rel=0.01)


def test_one_plank_slides_on_its_own_screws() -> None:
    # A plank 11 1/4 in wide over four members, two screws each: eight, whoever lies beside it.
    planks = plank_layer()
    on = deck({**planks, "plank_width": "11 1/4 in"})
    assert figure(on, "v", "deck_slides") == pytest.approx(0.5 / 8, rel=1e-6)
    found = links(on, WASHERED, MID, pull_at(60))["deck_slides"]
    assert found.breaking == pytest.approx(figure(on, "V", "deck_slides") / LBF / (0.5 / 8), rel=1e-6)
    four = deck({**planks, "plank_width": "11 1/4 in", "screws_per_crossing": "4"})
    assert links(four, WASHERED, MID, pull_at(60))["deck_slides"].breaking == pytest.approx(2 * found.breaking)


# --- steel ------------------------------------------------------------------------------------------------------


def through(which: str, walls: str | None = None, thick: str = "1/4 in") -> Texts:
    washer = {"outside": "1 1/2 in", "thickness": thick, "steel": "mild"}
    backing: Texts = {"kind": "member", "through": which, "washer": washer}
    if walls:
        backing["walls"] = walls
    return bolted(backing, at={"points": [["0 in", "1 1/2 in"], ["0 in", "-1 1/2 in"]]}, height=0.0, **THICK)


def test_a_ring_through_a_member_pushes_the_deck_on_the_screws_round_it() -> None:
    # At 60° half of the pull on two members each way and its own, at 40, 56, 72, 88 and 104 in, and of their rows those
    # no farther than 1 1/2 spans from the base: 34, 26, 18, 10, 2 and -6 in from the middle. 30 screws share it.
    (pushed,) = (
        each for each in strength(deck(), through("all"), (72.0, 12.0), pull_at(60)).links if each.key == "deck_pushed"
    )
    share = next(each.value for each in pushed.figures if each.symbol == "v")
    assert share == pytest.approx(0.5 / 30, rel=1e-6)


def pushed_share(on: Texts, *places: tuple[float, float]) -> float:
    """What of a flat pull on the first ring pushes each screw, the ring held by bars."""
    bars = bolted({"kind": "bridge", "width": "3 in", "thickness": "1/2 in", "steel": "mild", "bars": "2"}, height=0.0)
    rig = rig_of(setup(on, bars, *places))
    held = anchor_strength(rig.anchors["ring 1"], np.array(FLAT), rig.basis)
    (pushed,) = (each for each in held.links if each.key == "deck_pushed")
    return next(each.value for each in pushed.figures if each.symbol == "v")


def test_fewer_members_never_leave_a_push_more_screws() -> None:
    # Ring at 64 and 24 in aside, its base 4 1/2 in square: within 32 in of that stand the members at 40, 56, 72 and 88
    # in; the sheet is taken in as far as 1 1/2 bays of 16 in aside, so of rows 8 in apart those at 34, 26, 18, 10 and
    # 2 in: 20 screws. The member at 104 gone, a bay of 32 in takes in the sheet to 48 in aside, yet only 32 in count,
    # row -6 as well: 24. With members every 32 in, at 40 and 72 alone: 12.
    assert pushed_share(deck(), (64.0, 24.0)) == pytest.approx(1 / 20)
    gone = deck()
    gone["cross_members"]["without"] = ["120 in"]
    assert pushed_share(gone, (64.0, 24.0)) == pytest.approx(1 / 24)
    assert pushed_share(deck(spacing=32.0), (64.0, 24.0)) == pytest.approx(1 / 12)


def test_screws_nearer_to_a_far_ring_share_its_push_alone() -> None:
    # Members every 8 in, rows every 4 in from 34 in on: a ring 23 1/2 in aside takes the sheet in from 9 1/4 in on,
    # 12 in beyond its base, so 7 rows of 4 members. Another 16 1/2 in beside it, two bays and more, is not near; row 10
    # stands nearer to that, row 14 to the base.
    close = deck(spacing=8.0, first=4.0, hold=4.0)
    assert pushed_share(close, (64.0, 23.5)) == pytest.approx(1 / 28)
    assert pushed_share(close, (64.0, 23.5), (64.0, 7.0)) == pytest.approx(1 / 24)


ANGLES = deck(section="angle-2x2x3/16")


def test_nut_through_the_leg() -> None:
    # AISI J4.4.2: 1.5 · 3/16 · 3/4 (no wider counts) · 58 ksi, Ω 3; two bolts share a pull straight up.
    one = 1.5 * 0.1875 * 0.75 * 58_000
    shares(links(ANGLES, through("all"), OVER)["pull_over"], 2 * one, 2 * one / 3)
    # Of a loose washer counts d_nut + 2 t_w + t: 1/4 bolt, 0.4161 + 2 · 0.03 + 0.0695 in over a 14 gauge tube.
    thin = through("all", thick="0.03 in")
    thin["fasteners"]["size"] = "1/4-20"
    one = 1.5 * 0.06947 * (0.4161 + 0.06 + 0.06947) * 58_000
    shares(links(deck(section="tube-2x2x14ga"), thin, OVER)["pull_over"], 2 * one, 2 * one / 3)


@pytest.mark.parametrize(("section", "off", "meets"), [
    ("tube-2x2x1/8", 0.62, True), ("tube-2x2x1/8", 0.63, False),  # 1 in of half a face less 3/8 in
    ("tube-3x3x1/8", 1.12, True), ("tube-3x3x1/8", 1.13, False),
])  # fmt: skip
def test_bolts_through_a_member_stand_a_diameter_inside_its_face(section: str, off: float, meets: bool) -> None:
    found = links(deck(section=section), through("all"), (72.0 + off, 12.0))
    assert ("off_member" not in found) == meets


def test_leg_bends() -> None:
    # m = 1 − 3/16, e = 1; one bolt min(2 π m, 4 m + 1.25 e) = 4.5 in; two 3 in apart (4.5 + 3) / 2 = 3.75 in each.
    m = 1 - 0.1875
    one = 0.25 * min(2 * pi * m, 4 * m + 1.25, (4 * m + 1.25 + 3) / 2) * 0.1875**2 * 36_000 / m
    shares(links(ANGLES, through("all"), OVER)["leg"], 2 * one, 2 * one / 1.67)


def test_bolts_off_the_middle_of_a_leg_stand_towards_its_toe() -> None:
    # 0.2 in off: m = 1 − 3/16 + 0.2, e = 0.8; the row's 3 in.
    m, e = 1 - 0.1875 + 0.2, 0.8
    one = 0.25 * min(2 * pi * m, 4 * m + 1.25 * e, (4 * m + 1.25 * e + 3) / 2) * 0.1875**2 * 36_000 / m
    for x in (72.2, 71.8):
        shares(links(ANGLES, through("all"), (x, 12.0))["leg"], 2 * one, 2 * one / 1.67)
    # Of bolts that stand 0.2 and 0.4 in off the worse counts, each in a row of its own.
    m, e = 1 - 0.1875 + 0.4, 0.6
    one = 0.25 * min(2 * pi * m, 4 * m + 1.25 * e) * 0.1875**2 * 36_000 / m
    at = {"points": [["0.2 in", "1 1/2 in"], ["0.4 in", "-1 1/2 in"]]}
    found = {**through("all"), "fasteners": {**through("all")["fasteners"], "at": at}}
    (link,) = (each for each in strength(ANGLES, found, OVER).links if each.key == "leg")
    assert {each.symbol: each.value for each in link.figures}["F"] / LBF == pytest.approx(one, rel=2e-3)


def test_a_nut_without_a_washer_on_leg_and_wall() -> None:
    # AISI J4.4.2 by the nut's circle; the wall by β = 0.5339 / 2: 2 β / (1 − β) + 4 / √(1 − β), and the row's half.
    bare = through("all")
    bare["backing"] = {"kind": "member", "through": "all"}
    one = 1.5 * 0.1875 * NUT * 58_000
    shares(links(ANGLES, bare, OVER)["pull_over"], 2 * one, 2 * one / 3)
    beta = NUT / 2
    single, row = (2 * eta / (1 - beta) + 4 / sqrt(1 - beta) for eta in (beta, beta + 1.5))
    one = 36_000 * 0.1163**2 * min(single, row / 2)
    shares(links(deck(), bare, OVER)["tube_wall"], 2 * one, 2 * one / 1.5)


# Wall 0.1163, F_y t² 486.9 lb, β = D / 2: one bolt 2 β / (1 − β) + 4 / √(1 − β), of two together half of 2 (β + 1.5) /
# (1 − β) + 4 / √(1 − β). The washer turns inside out at π/2 · 36 000 t² · (1.5 − 0.4375) / (D − 0.5339).
@pytest.mark.parametrize(("thick", "one"), [
    ("1/2 in", 486.9 * 13),  # D 1.5, β 0.75: 14 of one, 26 / 2 of two; the washer stands 15.5 kip
    ("1/4 in", 4768),  # D 1.32, β 0.66: two 9.79; the washer 3755 / 0.787
    ("0.051 in", 2410),  # D 0.599, β 0.299: two 4.95; the washer 156.3 / 0.065: hardly more than the bare nut
])  # fmt: skip
def test_tube_wall_folds(thick: str, one: float) -> None:
    shares(links(deck(), through("all", thick=thick), OVER)["tube_wall"], 2 * one, 2 * one / 1.5)


def test_bolts_tear_the_tube() -> None:
    # AISC J7: 1.8 · 36 ksi · 3/8 · 0.1163 a wall, two walls; one of two loose bolts bears first.
    both = 2 * 1.8 * 36_000 * 0.375 * 0.1163
    shares(links(deck(), through("all", "both"), OVER, FLAT)["tube_bearing"], both, both / 2)


def test_member_bends() -> None:
    # Rails 56 in apart, ring 12 in off the middle: P · 16 · 40 / 56; S 0.4868 and 0.188 in³ at 36 ksi.
    lever = 16 * 40 / 56
    own = links(ANGLES, through("all"), OVER)["own_member"]
    shares(own, 0.188 * 36_000 / lever, 0.188 * 36_000 / lever / 1.67)
    beside = links(deck(), WASHERED, OVER)["member_beside"]
    shares(beside, 0.4868 * 36_000 / lever, 0.4868 * 36_000 / lever / 1.67)


def test_a_member_with_bolts_through_it_bends_more_the_higher_its_ring_is_pulled() -> None:
    """30 degrees up: half of the pull lifts, 0.866 of it tips the base by its height above the members."""
    moment, mounting = 0.188 * 36_000, through("all")
    for height in (0.0, 3.0):
        mounting["ring"]["pull_height"] = f"{height} in"
        tips = cos(radians(30)) * (height + 0.75)
        # Along the trailer the far edge presses on the deck, that on the next member 16 in off, and this one rises.
        most = moment / ((0.5 + tips / 16) * 16 * 40 / 56)
        for way in (0.0, 180.0):
            shares(links(ANGLES, mounting, OVER, pull_at(30, way=way))["own_member"], most, most / 1.67)
        # Across, 16 in from the left rail and 40 in from the right: outwards it rises on the right, and the other way.
        outwards, inwards = 0.5 * 16 * 40 / 56 + tips * 40 / 56, 0.5 * 16 * 40 / 56 + tips * 16 / 56
        for way, most in ((90.0, moment / outwards), (-90.0, moment / inwards)):
            shares(links(ANGLES, mounting, OVER, pull_at(30, way=way))["own_member"], most, most / 1.67)


def test_a_ring_on_the_deck_tips_the_member_under_it_and_one_across_as_in_a_mirror() -> None:
    """On washers right over a member, and through it with one on the other side: P a + C all the way between them."""
    tips = cos(radians(30)) * 0.75  # at the top of 3/4 in of deck
    most = 0.4868 * 36_000 / (0.5 * 16 * 40 / 56 + tips * 40 / 56)
    shares(links(deck(), WASHERED, OVER, pull_at(30, way=90))["member_beside"], most, most / 1.67)
    rig = rig_of(setup(ANGLES, through("all"), OVER, (OVER[0], -OVER[1])))
    (one, _) = rig.anchors.values()
    held = {link.key: link for link in anchor_strength(one, np.array(pull_at(30, way=90)), rig.basis).links}
    assert held["own_member"].breaking / LBF == pytest.approx(0.188 * 36_000 / (0.5 * 16 + tips), rel=0.002)


def test_what_tips_a_ring_across_comes_to_the_rails_as_well() -> None:
    """The right rail gets 16 / 56 of the lift, the left one 40 / 56; outwards tipped the right one more, over 56 in."""
    on = deck(section="angle-2x2x3/16")
    on["cross_members"]["joint"] = {"weld": "1/8 in", "length": "4 in"}
    weld, tips = 0.6 * 70_000 * 0.707 * 0.125 * 4, cos(radians(10)) * 3.75 / 56
    mounting, up = through("all"), sin(radians(10))
    mounting["ring"]["pull_height"] = "3 in"
    out, in_ = max(up * 16 / 56 + tips, up * 40 / 56 - tips), up * 40 / 56 + tips
    for way, share in ((90.0, out), (-90.0, in_)):
        shares(links(on, mounting, OVER, pull_at(10, way=way))["member_joint"], weld / share, weld / share / 2)


def test_a_ring_beyond_the_rails_that_is_pulled_inwards_bends_its_member_more() -> None:
    on = deck(section="angle-2x2x3/16")
    on["cross_members"]["rails"] = "40 in"
    for way, more in ((-90.0, cos(radians(30)) * 0.75), (90.0, 0.0)):  # 30 in out, its rail 20 in
        most = 0.188 * 36_000 / (0.5 * 10 + more)
        shares(links(on, through("all"), (72.0, 30.0), pull_at(30, way=way))["own_member"], most, most / 1.67)


@pytest.mark.parametrize(("steel", "left"), [
    ("mild", 1.0),  # 58 · 0.625 = 36.2 ksi, no less than 36
    ("A500-B", 58 * 0.625 / 46),  # 36.2 of 46 ksi: 0.788
    ("6061-T6", 38 * 0.625 / 35),  # 23.8 of 35 ksi: 0.679
])  # fmt: skip
def test_member_parts_at_the_hole_of_a_bolt(steel: str, left: float) -> None:
    # 1/2 in bolts, holes 9/16, in a face of 1 1/2 in: 0.625 of it is left. AISC 360 F13.1: F_u A_fn / A_fg · S.
    on = deck(section="tube-1.5x1.5x1/8")
    on["cross_members"]["steel"] = steel
    bolts = through("all")
    bolts["fasteners"]["size"] = "1/2-13"
    F_y = {"mild": 36_000, "A500-B": 46_000, "6061-T6": 35_000}[steel]
    own = 0.2512 * F_y * left / (16 * 40 / 56)
    shares(links(on, bolts, OVER)["own_member"], own, own / 1.67)


def test_weld_of_the_member() -> None:
    # 1/8 in leg, 4 in long: 0.6 · 70 ksi · 0.707 · 1/8 · 4 = 14.8 kip; (28 + 12) / 56 of the pull at the nearer rail.
    on = deck(section="angle-2x2x3/16")
    on["cross_members"]["joint"] = {"weld": "1/8 in", "length": "4 in"}
    one = 0.6 * 70_000 * 0.707 * 0.125 * 4 / (40 / 56)
    shares(links(on, through("all"), OVER)["member_joint"], one, one / 2)


def test_weld_of_an_aluminium_member() -> None:
    # Filler 4043 shears at 11.5 ksi (Aluminum Design Manual [from memory]): 11.5 · 0.707 · 1/8 · 4 = 4.07 kip.
    on = deck(section="angle-2x2x3/16")
    on["cross_members"] |= {"steel": "6061-T6", "joint": {"weld": "1/8 in", "length": "4 in"}}
    one = 11_500 * 0.707 * 0.125 * 4 / (40 / 56)
    shares(links(on, through("all"), OVER)["member_joint"], one, one / 2)


def test_bolts_on_bars_stand_clear_of_the_members_faces() -> None:
    # Members 8 in off either way, faces 1 in nearer: 3/8 bolts as far as 6 13/16 in off have their edge there.
    bars = {"kind": "bridge", "width": "2 in", "thickness": "1/2 in", "steel": "mild", "bars": "2"}
    for off, meets in (("6.8 in", True), ("6.9 in", False)):
        at = {"points": [[f"{way}{off}", f"{side}1.625 in"] for way in ("", "-") for side in ("", "-")]}
        found = links(deck(), bolted(bars, at=at, base=(15.0, 4.5)), MID)
        assert ("off_bars" not in found) == meets


def test_bolts_abreast_fit_on_a_bar_with_their_whole_width() -> None:
    # 3/8 bolts 1.6 in apart take 1.975 of 2 in; 0.02 in off the middle of the bar is not asked.
    bars = {"kind": "bridge", "width": "2 in", "thickness": "1/2 in", "steel": "mild"}
    for apart, fits in (("0.81 in", True), ("0.82 in", False)):
        at = {"points": [["0 in", apart], ["0 in", f"-{apart}"]]}
        assert ("off_bars" not in links(deck(), bolted(bars, at=at), MID)) == fits


def test_a_single_bolt_bears_the_whole_of_a_sideways_pull() -> None:
    # Half of the bolts bear first, one at least: 0.45 · 120 ksi on 0.1104 in².
    found = links(
        deck(), bolted(washers("1 1/2 in", "1/4 in"), at={"points": [["0 in", "0 in"]]}, height=0.0), MID, FLAT
    )
    shares(found["bolt_steel"], 0.45 * 120_000 * pi / 4 * 0.375**2, 0.45 * 120_000 * pi / 4 * 0.375**2 / 2)


def test_a_base_far_longer_than_the_foot_is_asked_whether_it_bends() -> None:
    # The foot is 2 in, as nobody gave it: the maker's rating is not taken to speak of a base three times as long.
    for length, asked in ((5.9, False), (6.1, True)):
        assert ("base_bends" in links(deck(), bolted(washers(), base=(length, 4.5)))) == asked


def test_bridge_bars_bend() -> None:
    # Two bars 2 × 1/2, hole 7/16: S = (2 − 0.4375) 0.25 / 6; two bolts 6.375 in from the members of a 16 in bay.
    bars = {"kind": "bridge", "width": "2 in", "thickness": "1/2 in", "steel": "mild", "bars": "2"}
    found = links(deck(), bolted(bars, height=0.0, **THICK), MID)
    bar = 36_000 * (2 - 0.4375) * 0.25 / 6 / (6.375 / 2)
    shares(found["bridge_bar"], 2 * bar, 2 * bar / 1.67)
    nut = 0.6 * pi * NUT * 0.5 * 58_000
    shares(found["nut_through_bar"], 4 * nut, inf)
    (link,) = (
        each
        for each in strength(deck(), bolted(bars, height=0.0, **THICK), (62.0, 12.0)).links
        if each.key == "bridge_bar"
    )
    assert {each.symbol: each.value for each in link.figures}["span"] / 0.0254 == pytest.approx(16)
    # Bolts 2 in ahead of a ring 4 in from the member, or 2 in behind one in the middle of the bay: 6 in from it.
    held = [
        links(
            deck(),
            bolted(bars, at={"points": [[x, "1.6 in"], [x, "-1.6 in"]]}, base=(6.0, 4.5), height=0.0),
            (at, 12.0),
        )
        for x, at in (("2 in", 60.0), ("-2 in", 64.0))
    ]
    assert held[0]["bridge_bar"].breaking == pytest.approx(held[1]["bridge_bar"].breaking, rel=1e-6)


def test_the_more_loaded_of_two_bars_bends_with_all_the_holes_abreast() -> None:
    # Bolts 1.2 and 2 in to the left on one bar, 1.6 in to the right on the other, all at mid-span. A rigid
    # base: T = a (1 − 0.2 y), a (3 − 0.32) = 1: 0.2836 + 0.2239 on the left. S = (2 − 2 · 7/16) / 4 / 6, 16 in of span.
    bars = {"kind": "bridge", "width": "2 in", "thickness": "1/2 in", "steel": "mild", "bars": "2"}
    at = {"points": [["0 in", "1.2 in"], ["0 in", "2 in"], ["0 in", "-1.6 in"]]}
    found = links(deck(), bolted(bars, at=at, base=(4.5, 5.0), height=0.0, base_thickness="2 in"), MID)
    bar = 36_000 * (2 - 2 * 0.4375) * 0.25 / 6 / (16 / 4) / 0.5075
    shares(found["bridge_bar"], bar, bar / 1.67)


@pytest.mark.parametrize("at", [65.0, 63.0])
def test_a_bar_bends_by_its_bolts_own_shares_or_by_even_ones(at: float) -> None:
    # Bolts 1 in behind a ring, 1 and 2 in ahead of it, on either bar. A rigid base: T = a + b x, 3 a + 2 b = 1 and
    # 2 a + 6 b = 0 give 4/7, 2/7 and 1/7. From 65 in the first of them stands 8 in from a member, the others 10 and 11:
    # 8 · (4/7 · 8 + 2/7 · 6 + 1/7 · 5) / 16 = 3.5 in under it, even shares give 3.29 in under the next. From 63 in they
    # stand 6, 8 and 9 in from it: 3.375 in at most, and by even shares, which are no relief, (3 + 4 + 3.5) / 3.
    bars = {"kind": "bridge", "width": "2 in", "thickness": "1/2 in", "steel": "mild", "bars": "2"}
    places = {"points": [[f"{x} in", f"{y} in"] for y in (1.6, -1.6) for x in (-1, 1, 2)]}
    found = links(deck(), bolted(bars, at=places, base=(5.5, 4.5), height=0.0, base_thickness="2 in"), (at, 12.0))
    bar = 36_000 * (2 - 0.4375) * 0.25 / 6 / 3.5
    shares(found["bridge_bar"], 2 * bar, 2 * bar / 1.67)


# --- ring -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("degrees", [0, 20, 30, 60, 90])
def test_ring_at_an_angle(degrees: float) -> None:
    # 2 000 lb up, 1 200 lb flat, between them R F / (R cos² + F sin²): 1 333 at 30°.
    mounting = screws(rated="2000 lbf", rated_flat="1200 lbf")
    c, s = cos(radians(degrees)) ** 2, sin(radians(degrees)) ** 2
    held = 2000 * 1200 / (2000 * c + 1200 * s)
    shares(links(deck(), mounting, MID, pull_at(degrees))["ring"], 3 * held, held, 1e-9)
