"""What once held too much on the lifted floor, each with a set-up of its own kind and a reference of its own.

References: a beam on one-sided springs, plain statics; the floor by triangles has layouts of its own.
"""

from __future__ import annotations

import itertools
import math
from typing import Any

import numpy as np
import pytest

from anchorcalc.links.common import Neighbour, Question
from anchorcalc.links.lift import _left_to, _Lift
from anchorcalc.links.path import anchor_strength
from anchorcalc.links.pull import pull_of, question_of
from anchorcalc.links.wheel import deck_under_wheel
from anchorcalc.mechanics.screws import bite
from tests.links.setups import (
    INCH,
    LBF,
    PSI,
    UP,
    bolted,
    deck,
    in_pounds,
    inches,
    links,
    plank_layer,
    plate,
    plywood,
    pull_at,
    rig_of,
    screws,
    setup,
    strength,
    washers,
)

Texts = dict[str, Any]
Pull = tuple[float, float, float]
EVEN = deck(first_screw=4.0)  # rows at 32, 24 … −32 in
MID = (64.0, 12.0)


def rigid(height: float) -> Texts:
    return screws(length="3 in", height=height, base_thickness="2 in")


# --- a long strip -----------------------------------------------------------------------------------------------


def on_springs(EI: float, places: np.ndarray, k: float, bed: float, length: float, foot: float, n: int = 400) -> Any:
    """Shares of a unit pull, even over the foot in the middle, on springs that only pull; a bed that only pushes.

    Euler beam by finite differences with free ends, N and m.
    """
    x = np.linspace(-length / 2, length / 2, n + 1)
    h = x[1] - x[0]
    bent = np.zeros((n - 1, n + 1))
    for i in range(n - 1):
        bent[i, i : i + 3] = np.array([1.0, -2.0, 1.0]) / h**2
    stiffness = EI * h * bent.T @ bent
    load = np.where(np.abs(x) <= foot / 2, 1.0, 0.0)
    load /= load.sum()
    at = np.abs(x[:, None] - places).argmin(axis=0)
    holds, presses = np.ones(len(places), dtype=bool), np.zeros(n + 1, dtype=bool)
    for _ in range(100):
        matrix = stiffness + np.diag(np.where(presses, bed * h, 0.0))
        matrix[at, at] += np.where(holds, k, 1e-9 * k)
        w = np.linalg.solve(matrix, load)
        now, down = w[at] > 0, w < 0
        if (now == holds).all() and (down == presses).all():
            break
        holds, presses = now, down
    moments = EI * np.abs(bent @ w)
    return np.where(holds, k * w[at], 0.0), float(moments.max())


def out_of_the_deck(length: float, base: float) -> float:
    """Low estimate of a #14 screw out of 3/4 in [lb]: two thirds of it thread, one diameter of the point left out."""
    tip = length - base
    bitten = min(tip - 0.242, 0.75) - max(tip - 0.667 * length, 0.0)
    return float(15_700 * 0.42**2 * 0.242 * bitten * (1 - 1.645 * 0.2))


STRIP = [round(-18 + k * 36 / 11, 4) for k in range(12)]


@pytest.mark.parametrize("shift", [0.0, 18 / 11])  # the ring between two screws, and over one
@pytest.mark.parametrize(("thickness", "wide"), [(0.1, 5.0), (0.16, 3.0)])
def test_a_long_strip_holds_what_its_screws_at_the_ring_hold(shift: float, thickness: float, wide: float) -> None:
    places = [round(x + shift, 4) for x in STRIP]
    at = {"points": [[inches(x), "0 in"] for x in places]}
    ring = {"base": (42.0, wide), "base_thickness": inches(thickness)}
    mounting = screws(length="1 in", at=at, **ring)
    found = links(EVEN, mounting, MID)
    EI = 29e6 * PSI * wide * thickness**3 / 12 * INCH**4
    bed = 0.05 * 1.5e6 * PSI / (0.75 * INCH) * wide * INCH
    shares, moment = on_springs(EI, np.array(places) * INCH, 1.75e6, bed, 42 * INCH, 2 * INCH)
    one = out_of_the_deck(1.0, thickness)
    assert found["withdrawal"].breaking == pytest.approx(one / shares.max(), rel=0.15)
    assert found["withdrawal"].breaking < 0.25 * 12 * one
    # The strip's own bending, were it even over the width; the wood of a foot narrower than it makes it less.
    plastic = 30_000 * thickness**2 / 4 * wide / (moment / INCH)
    assert 0.5 * plastic < found["base_bends"].breaking < 1.1 * plastic


def test_a_thick_strip_shares_among_all_its_screws() -> None:
    at = {"points": [[inches(x), "0 in"] for x in STRIP]}
    mounting = screws(length="4 in", at=at, base=(38.0, 5.0), base_thickness="3 in")
    one = out_of_the_deck(4.0, 3.0)
    assert links(EVEN, mounting, (64.0, 12.0))["withdrawal"].breaking == pytest.approx(12 * one, rel=0.06)


@pytest.mark.parametrize("along", [True, False])
def test_a_thin_strip_shears_the_deck_beside_its_ring_not_beyond_its_ends(along: bool) -> None:
    """Its outer screws carry nothing: with four screws left it shears the deck as with twelve."""

    def of(points: list[float]) -> Texts:
        at = {"points": [[inches(x), "0 in"] if along else ["0 in", inches(x)] for x in points]}
        base = (38.0, 5.0) if along else (5.0, 38.0)
        return screws(length="2 in", at=at, base=base, base_thickness="0.1 in")

    long, short = (links(EVEN, of(points), MID)["rolling_shear"].breaking for points in (STRIP, STRIP[4:8]))
    assert long == pytest.approx(short, rel=0.1)


# --- tall rings -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("way", [0.0, 180.0])
def test_hold_down_falls_with_the_height_of_a_ring_on_the_side_of_the_lifted_member(way: float) -> None:
    """Never rises; a ring 3 in tall holds well below one of 1/2 in."""
    x = 60.0 if way == 0 else 68.0  # pulled away from the member it stands near
    held = [links(EVEN, rigid(h), (x, 12.0), pull_at(30, way=way))["hold_down"].breaking for h in (0.5, 1, 2, 3, 4)]
    assert all(taller < lower for lower, taller in itertools.pairwise(held))
    assert held[3] < 0.85 * held[0]


# --- the edge ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("aside", "spacing"), [(6.0, 12.0), (4.0, 8.0), (9.0, 16.0)])
def test_near_the_edge_no_more_than_with_the_worst_first_screw(aside: float, spacing: float) -> None:
    """Where nobody gave the first screw of a row it holds no more than with any, up to a whole spacing."""
    ring = bolted(washers(), size="5/16-18")
    at = (64.0, 36.0 - aside)
    unknown = links(deck(hold=spacing, first_screw=None), ring, at)["hold_down"].breaking
    given = [
        links(deck(hold=spacing, first_screw=first), ring, at)["hold_down"].breaking
        for first in np.linspace(0.5, spacing, 9).round(3).tolist()
    ]
    assert unknown <= 1.02 * min(given)
    assert unknown >= 0.8 * min(given)  # and not out of mere caution


def test_a_ring_on_an_overhang_holds_less_than_between_members() -> None:
    ring = bolted(washers())
    between, over = (links(EVEN, ring, (x, 12.0))["hold_down"].breaking for x in (64.0, 139.0))
    assert over < 0.8 * between
    # Lever: 3 in beyond the last member at 136 in, its screws take (16 + 3) / 16 of the pull together.
    assert over < 4.0 * 398 / (19 / 16)


def test_a_strip_that_no_screw_finds_room_in_holds_nothing() -> None:
    """A joint 3 in from the side edge: rows that begin 4 in from it leave the strip loose, at 1 1/2 in they hold it."""
    small = screws("#8", "1 in", base=(2.5, 2.5), at={"square": "1 1/4 in"})
    joint = plywood(joints_along=["33 in"])
    found = strength(deck(joint, first_screw=4.0), small, (64.0, 34.5))
    hold = {link.key: link for link in found.links}["hold_down"]
    assert hold.breaking == 0
    assert hold.remark
    assert links(deck(joint, first_screw=1.5), small, (64.0, 34.5))["hold_down"].breaking > 100


# --- overlays ---------------------------------------------------------------------------------------------------

SHORT = screws("#14", "7/8 in", base_thickness="0.1 in")  # bites the overlay alone


def test_screws_that_bite_only_an_overlay_hang_on_what_fastens_it() -> None:
    two = (plywood(), plywood())
    alone = strength(deck(*two, heads_on=2), SHORT, MID)
    hold = {link.key: link for link in alone.links}["hold_down"]
    assert hold.breaking == 0
    assert "overlay" in hold.remark
    loose = links(
        deck(plywood(fixed={"screw": "#8 wood screw", "spacing": "12 in"}), plywood(), heads_on=2), SHORT, MID
    )
    close = links(deck(plywood(fixed={"screw": "#8 wood screw", "spacing": "4 in"}), plywood(), heads_on=2), SHORT, MID)
    joined = links(deck(*two, heads_on=1), SHORT, MID)
    assert 0 < loose["hold_down"].breaking < close["hold_down"].breaking < joined["hold_down"].breaking


def test_an_overlays_own_screws_hold_sideways_as_wood_on_wood() -> None:
    """#8 through 3/4 in into 3/4 in less its point, 0.586 in: EN 1995-1-1 8.6 c, the screw turns as a whole.

    Of f_h t d below: r = t_2/t_1 = 0.7813, (√(1 + 2 (1 + r + r²) + r²) − (1 + r)) / 2 · t_1/t_2 = 0.3737 · 1.2799 =
    0.478; weathered below, B = 0.65: (√(B + 2 B² (1 + r + r²) + B³ r²) − B (1 + r)) / (1 + B) · t_1/t_2 =
    0.3194 · 1.2799 = 0.409, the hinge modes from 0.413.
    """
    d = 1.1 * 0.131 * 25.4
    below = 0.11 * 420 * (1 - 1.645 * 0.1) * d**-0.3 * d * (0.75 - 0.164) * 25.4
    for condition, share in (("sound", 0.478), ("weathered", 0.409)):
        fixed = {"screw": "#8 wood screw", "spacing": "6 in"}
        on = deck(plywood(fixed=fixed), plywood(condition=condition), heads_on=2)
        found = {link.key: link for link in strength(on, SHORT, MID, pull_at(20)).links}["deck_slides"]
        V = next(each.value for each in found.figures if each.symbol == "V")
        assert pytest.approx(share * below, rel=2e-3) == V
        # Pulled it leaves the wood below: 15 700 · 0.42² · 0.164 · 0.586 less 1.645 · 20 %; rusted half, of either.
        T = {"sound": 1.0, "weathered": 0.6}[condition] * 15_700 * 0.42**2 * 0.164 * 0.586 * (1 - 1.645 * 0.2)
        for screws_, left in (("sound", 1.0), ("rusted", 0.5)):
            on["hold_down"]["condition"] = screws_
            found = {link.key: link for link in strength(on, SHORT, MID, pull_at(20)).links}["hold_down"]
            told = {each.symbol: each.value for each in found.figures}
            assert (told["T"] / LBF, told["V"]) == pytest.approx((left * T, left * V), rel=2e-3)
            assert told["spacing"] / INCH == pytest.approx(6)


def test_where_the_decks_screws_begin_says_nothing_of_an_overlays_own() -> None:
    layers = plywood(fixed={"screw": "#8 wood screw", "spacing": "6 in"}), plywood()
    told, untold = (links(deck(*layers, heads_on=2, first_screw=first), SHORT, MID, UP) for first in (2.0, None))
    assert told["hold_down"].breaking == pytest.approx(untold["hold_down"].breaking)


def test_heads_under_an_overlay_hold_by_the_lower_layer() -> None:
    two = (plywood(), plywood())
    top, low, unknown = (
        links(deck(*two, heads_on=heads), rigid(0.5), MID)["hold_down"].breaking for heads in (1, 2, None)
    )
    assert low == pytest.approx(top * 398.4 / 549.8, rel=0.01)
    assert unknown == low


@pytest.mark.parametrize("heads", [1, 2])
@pytest.mark.parametrize("top", ["sound", "wet", "weathered"])
def test_unknown_heads_hold_no_more_than_either_answer(heads: int, top: str) -> None:
    two = (plywood(condition=top), plywood("1 1/8 in"))
    given, unknown = (links(deck(*two, heads_on=each), rigid(0.5), MID, pull_at(10)) for each in (heads, None))
    for key in ("hold_down", "deck_slides"):
        assert unknown[key].breaking <= given[key].breaking * (1 + 1e-9)


@pytest.mark.parametrize("pull", [UP, pull_at(5, way=215)])
def test_layers_of_unknown_grain_hold_no_more_than_any_way_they_may_lie(pull: Pull) -> None:
    """At each level by itself: the way that bends least daily need not be the one that breaks first."""
    ring = bolted(washers(), height=3.0)
    unknown = links(deck(plywood(grain=None), plywood("1/2 in", grain=None)), ring, MID, pull)
    for first in ("along", "across"):
        for second in ("along", "across"):
            given = links(deck(plywood(grain=first), plywood("1/2 in", grain=second)), ring, MID, pull)
            for key in ("panel_bending", "rolling_shear", "hold_down"):
                assert unknown[key].breaking <= given[key].breaking * (1 + 1e-9)
                assert unknown[key].working <= given[key].working * (1 + 1e-9)


# --- fasteners --------------------------------------------------------------------------------------------------


def test_the_hole_of_the_washer_is_taken_out_not_the_bolt() -> None:
    """1/2-13 on 1 1/2 in by 0.051 in: c = 0.051 √(36 000 / 630) = 0.386, D = 0.7125 + 0.771, hole 9/16."""
    found = links(EVEN, bolted(washers("1 1/2 in", "0.051 in"), size="1/2-13", height=0.0, base_thickness="1 in"))
    wide = min(1.5, 0.7125 + 2 * 0.051 * np.sqrt(36_000 / 630))
    assert found["crush"].working == pytest.approx(4 * 210 * np.pi / 4 * (wide**2 - 0.5625**2), rel=0.01)


def test_a_point_that_just_peeps_out_gains_nothing() -> None:
    """3/4 in deck, base 0.1 in: the tip at 0.749 and at 0.751 in."""
    inside, outside = (
        links(EVEN, screws(length=inches(length), height=0.0, base_thickness="0.1 in"))["withdrawal"].breaking
        for length in (0.849, 0.851)
    )
    assert outside == pytest.approx(inside * (0.751 - 0.242) / (0.749 - 0.242), rel=1e-3)


def test_withdrawal_never_grows_as_the_deck_gets_thinner() -> None:
    """By 1/64 in through the whole length of a screw: counted thread by the rule, of our own."""
    for tip in (0.6, 0.9, 1.4):
        decks = np.arange(2.0, 0.1, -1 / 64)
        bitten = [float(bite(tip, 0.0, 0.242, np.array([0.0]), np.array([t]))[0]) for t in decks]
        assert all(thinner <= thicker + 1e-12 for thicker, thinner in itertools.pairwise(bitten))
        assert max(bitten) == pytest.approx(tip - 0.242)


@pytest.mark.parametrize("mounting", [screws(), bolted(washers()), bolted(plate(6, "1/4 in"))])
def test_decayed_wood_under_the_base_holds_nothing_sideways(mounting: Texts) -> None:
    rotten = strength(deck(plywood(condition="decayed"), plywood("1 1/8 in")), mounting, MID, pull_at(20))
    weakest = rotten.weakest("breaking")
    assert weakest.breaking == 0
    assert "counts for nothing" in weakest.remark


# --- several rings, planks --------------------------------------------------------------------------------------


def test_rings_near_by_lift_and_push_one_floor_together() -> None:
    """Each of two rings 14 in apart, pulled alike, holds less than alone; the deck's screws are pushed by both."""
    rig = rig_of(setup(EVEN, bolted(washers()), (60.0, 12.0), (74.0, 12.0)))
    pull = pull_at(20)
    one, other = rig.anchors.values()
    alone, both = (
        {x.key: x for x in anchor_strength(one, np.array(pull), rig.basis, beside).links}
        for beside in ((), (Neighbour(other, pull),))
    )
    assert both["hold_down"].breaking < 0.9 * alone["hold_down"].breaking
    assert both["deck_slides"].breaking < 0.75 * alone["deck_slides"].breaking


def test_a_ring_in_an_overlay_hangs_on_the_deck_below_as_well() -> None:
    """An overlay on #12 screws 4 in apart, over a deck on #8 screws 24 in apart: these let go first.

    A #8 head goes through 3/4 in at π 0.312 · 0.75 · 690 · 0.42² · 5 · 0.671 = 300 lb, whether short screws or bolts
    through both layers pull; its lift is the same but for their seats.
    """
    deck_below = deck(
        plywood(fixed={"screw": "#12 wood screw", "spacing": "4 in"}),
        plywood(),
        hold=24.0,
        screw="#8 self-drilling",
        heads_on=2,
    )
    at = {"rectangle": ["5 in", "3.6 in"]}
    (short,), (through,) = (
        [link for link in strength(deck_below, mounting, MID).links if link.key == "hold_down"]
        for mounting in (
            screws(length="7/8 in", at=at, base=(6, 4.5), base_thickness="1/8 in"),
            bolted(washers(), at=at, base=(6, 4.5), base_thickness="1/8 in"),
        )
    )
    figures = {figure.symbol: figure.value for figure in short.figures}
    assert figures["T"] / LBF == pytest.approx(300, abs=1)
    assert short.breaking == pytest.approx(figures["T"] / figures["t"], rel=1e-6)
    assert short.breaking == pytest.approx(through.breaking, rel=0.02)


def test_a_bolted_ring_near_by_lends_no_layer_to_one_that_bites_the_overlay() -> None:
    """Bolts through both layers of 3/4 in, pulled by a hundredth: the overlay stays as strong as it is alone."""
    top = plywood(fixed={"screw": "#8 wood screw", "spacing": "6 in"})
    texts = setup(deck(top, plywood(), heads_on=2), screws(length="1 in"), MID, (MID[0], -4.0))
    texts["mountings"]["bolts"] = bolted(plate(6, "1/4 in"))
    texts["anchors"]["ring 2"]["mounting"] = "bolts"
    rig = rig_of(texts)
    first, second = rig.anchors["ring 1"], rig.anchors["ring 2"]
    alone, hardly, alike = (
        in_pounds(anchor_strength(first, np.array(UP), rig.basis, beside).links)
        for beside in ((), (Neighbour(second, (0, 0, 0.01)),), (Neighbour(second, UP),))
    )
    for key in ("panel_bending", "rolling_shear", "hold_down"):
        assert hardly[key].breaking == pytest.approx(alone[key].breaking, rel=0.01), key
        assert alike[key].breaking <= 1.02 * alone[key].breaking, key


def test_what_a_bolted_ring_leaves_to_the_overlay_goes_by_stiffness() -> None:
    # E I 1.5 · .199 = .2985 in the overlay, 1.65 · .202 = .3333 in the sheet below it: .4725 of all that the bolts do.
    below = {**plywood(), "panel": "structural-1-plywood"}
    rig = rig_of(setup(deck(plywood(), below), bolted(plate(6, "1/4 in")), MID))
    pull = question_of(rig.anchors["ring 1"], np.array(pull_at(45, way=30)), rig.basis).pull
    left = _left_to(rig.floor, (0,), (0, 1), pull)
    for all_of_it, some in (
        (pull.tensions, left.tensions),
        (pull.pad_forces, left.pad_forces),
        (pull.shove, left.shove),
    ):
        assert np.asarray(some) == pytest.approx(0.4725 * np.asarray(all_of_it), rel=1e-3)
    assert _left_to(rig.floor, (0, 1), (0,), pull) is pull


def test_a_ring_on_planks_slides_with_the_planks_it_stands_on() -> None:
    """Not on the screws of planks that nothing pushes: a narrower trailer of the same planks holds as much."""
    plank = plank_layer()
    on = deck({**plank, "plank_width": "5 1/2 in"})
    wide, narrow = (links({**on, "width": w}, bolted(washers()), (64.0, 0.0), pull_at(20)) for w in ("72 in", "58 in"))
    assert wide["deck_slides"].breaking == pytest.approx(narrow["deck_slides"].breaking)


BARS = bolted({"kind": "bridge", "width": "2 in", "thickness": "1/2 in", "steel": "mild", "bars": "2"}, size="1/2-13")
THROUGH = bolted(
    {"kind": "member", "through": "all", "washer": {"outside": "1 1/4 in", "thickness": "1/8 in", "steel": "mild"}},
    at={"points": [["0 in", "1.5 in"], ["0 in", "-1.5 in"]]},
)


@pytest.mark.parametrize(("mounting", "x", "count"), [(BARS, 64.0, 28), (THROUGH, 72.0, 35)])
def test_a_ring_that_steel_holds_slides_with_its_deck(mounting: Texts, x: float, count: int) -> None:
    """Bars and members hold a ring upward; forward its bolts lean on the deck, which its own screws hold.

    Taken in are two members behind and ahead (and the one under the ring) with seven rows of screws, 24 in to −24 in
    across: each takes 1/28 or 1/35 of cos 10° of the pull. On washers it is the same.
    """
    pushed = links(EVEN, mounting, (x, 0.0), pull_at(10))["deck_pushed"]
    found = {link.key: link for link in strength(EVEN, mounting, (x, 0.0), pull_at(10)).links}["deck_pushed"]
    V = next(figure.value for figure in found.figures if figure.symbol == "V")
    assert pushed.breaking == pytest.approx(count * V / LBF / math.cos(math.radians(10)), rel=1e-6)
    on_washers = links(EVEN, bolted(washers()), (x, 0.0), pull_at(10))["deck_slides"]
    assert pushed.breaking == pytest.approx(on_washers.breaking, rel=1e-6)


@pytest.mark.parametrize(("mounting", "x"), [(BARS, 64.0), (THROUGH, 72.0)])
def test_over_rotten_wood_steel_below_holds_no_ring(mounting: Texts, x: float) -> None:
    """Its bolts would stand free between the base and the steel."""
    assert links(deck(plywood(condition="decayed")), mounting, (x, 0.0), pull_at(10))["deck_gone"].breaking == 0
    assert "deck_gone" not in links(deck(), mounting, (x, 0.0), pull_at(10))


# --- wheels -----------------------------------------------------------------------------------------------------


def wheel(on: Texts, x: float, y: float = 0.0) -> tuple[float, float]:
    rig = rig_of(setup(on, screws(), MID))
    found = deck_under_wheel(rig.floor, (x * INCH, y * INCH), rig.load.tyre_print, rig.basis)
    return found.working / LBF, found.breaking / LBF


def test_wheels_on_the_deck() -> None:
    """A 700 lb machine, 175 lb a wheel at rest and 262 counted, mid-span: too much for 15/32 in on 32 in members.

    Computed independently: 2 × 3/4 in the weak way at 16 in 630 lb, 15/32 in on 32 in 120 lb.
    """
    thin = wheel(deck(plywood("15/32 in"), spacing=32.0, first=8.0), 56.0)
    assert thin[0] == pytest.approx(120, rel=0.25)
    assert thin[0] < 262
    double = wheel(deck(plywood(grain="across"), plywood(grain="across")), 64.0)
    assert double[0] == pytest.approx(630, rel=0.15)


def test_beside_a_member_a_wheel_shears_the_plies() -> None:
    """3/4 in of plies: F_s 1.6 (Ib/Q) = 53 · 1.6 · 7.187 / 12 = 50.8 lb/in, low 250 · 0.77 · 7.187 / 12 = 115.2.

    The print ends 0.2 in from the face of a member; of a beam over many members that one takes some 0.87 of it, over
    the print and one thickness each side, 7.5 in: 438 lb daily if nothing went past that. Bending would allow 583.
    """
    daily, breaking = wheel(deck(), 59.2, 12.0)
    assert 438 < daily < 560
    assert breaking == pytest.approx(daily * 115.2 / 50.8, rel=2e-3)
    board = deck(plywood("23/32 in", panel="osb"))  # 40 psi, 4.312 in²/ft: 23 lb/in
    assert wheel(board, 59.2, 12.0)[0] == pytest.approx(daily * 23 / 50.8, rel=0.1)
    assert wheel(deck(), 64.0)[0] > 262  # a single 3/4 in the strong way is not refused
    assert wheel(deck(), 72.0)[0] > wheel(deck(), 64.0)[0]


def test_a_wheel_beside_a_joint_is_the_same_in_a_mirror() -> None:
    rear, front, ahead = (
        wheel(deck(plywood(joints_across=[f"{joint} in"])), x, y)
        for x, y, joint in ((55.0, 9.0, 56.0), (89.0, -9.0, 88.0), (86.0, -9.0, 88.0))
    )
    assert front == pytest.approx(rear, rel=1e-6)
    assert 0 < ahead[0] != pytest.approx(rear[0], rel=0.02)


def test_screws_beside_a_joint_on_a_narrow_member_find_no_place() -> None:
    # 3/8 in from the joint and 1 1/2 diameters, 15/32 in, from the member's edge: 27/32 in of half a face of 3/4 in.
    joined = plywood(joints_across=["72 in"])
    narrow, wide, thin = (
        links(deck(joined, section=section, screw=f"{screw} self-drilling"), rigid(0.5), MID)["hold_down"].breaking
        for section, screw in (("tube-1.5x1.5x1/8", "5/16 in"), ("tube-2x2x1/8", "5/16 in"), ("tube-1.5x1.5x1/8", "#8"))
    )
    assert narrow == 0 < thin < wide


@pytest.mark.parametrize(("width", "holds"), [("1 in", True), ("0.7 in", False)])
def test_a_narrow_plank_has_its_one_screw_in_its_middle_or_none(width: str, holds: bool) -> None:
    # 3/8 in from either edge: a plank under 3/4 in finds no place for a screw.
    planks = plank_layer("3/4 in")
    found = links(deck({**planks, "plank_width": width}), bolted(plate(6.0, "1/2 in"), height=0.0), MID)
    assert (found["hold_down"].breaking > 0) == holds


def test_a_wheel_over_a_joint_is_borne_by_both_sheets() -> None:
    """Less than on one sheet, more than half, and on a member more than between members; not where nothing holds it."""
    plain = wheel(deck(), 64.0)[0]
    along = wheel(deck(plywood(joints_along=["0 in"])), 64.0)[0]
    assert 0.5 * plain < along < plain
    on_member = wheel(deck(plywood(joints_across=["72 in"])), 72.0)[0]
    assert on_member > along
    assert wheel(deck(plywood(joints_across=["64 in"])), 64.0)[0] == 0
    left, right = (
        wheel(deck(plywood(joints_along=[f"{side}20 in"])), 64.0, float(f"{side}20.7")) for side in ("", "-")
    )
    assert left == pytest.approx(right, rel=1e-9)
    assert left[0] < wheel(deck(), 64.0, 20.7)[0]


def test_a_deck_that_narrows_holds_by_where_it_is_narrowest() -> None:
    """No more than a straight deck as wide as it is beside the ring, where nobody says where the screws begin."""
    ring, at = bolted(washers()), (64.0, 27.0)
    on = deck(first_screw=None)
    beside = 72 - 12 * at[0] / 144
    straight, narrow = ({**on, "width": inches(beside)}, {**on, "width_front": "60 in"})
    held = [links(each, ring, at)["hold_down"].breaking for each in (straight, narrow)]
    assert 0.5 * held[0] < held[1] < 1.02 * held[0]


@pytest.mark.parametrize("at", [(112.0, 26.0), (116.0, -20.0), (110.0, 28.0)])
@pytest.mark.parametrize("way", [0.0, 180.0])
def test_no_screw_holds_beside_a_nose(at: tuple[float, float], way: float) -> None:
    """By a slanted edge the member ahead ends before the ring's base does: no screw stands out there.

    Such a ring holds no more than on a deck as wide all along as the base needs.
    """
    pointed = deck(hold=3.0, first_screw=None, nose={"length": "40 in", "width": "20 in"})
    rig = rig_of(setup(pointed, screws(length="1 1/2 in"), at))
    anchor, pull = rig.anchors["ring 1"], np.array(pull_at(30, way=way))
    lift = _Lift(Question(anchor, pull_of(anchor, pull, rig.basis), rig.basis))
    for layout, _ in lift.answers():
        for u, v in set(itertools.chain(*layout.screws)):
            x, y = lift.piece.place(u, v)
            assert abs(y) <= anchor.floor.half_width_at(x) - 0.37 * INCH
    straight = {**pointed, "width": inches(2 * (abs(at[1]) + 2.25))}
    del straight["nose"]
    held = [links(on, screws(length="1 1/2 in"), at, tuple(pull))["hold_down"].breaking for on in (pointed, straight)]
    assert held[0] <= held[1] * 1.05
