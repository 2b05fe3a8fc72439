"""Cross-members of wood, worked out by hand; inches and pounds. Rules: us-road, design factor 3, C_D 1.6."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace
from pydantic import ValidationError

from anchorcalc.links.bolted import crushed_area
from anchorcalc.links.common import dowel_bearing, embedment
from anchorcalc.links.deck import hold_down_screw, hold_down_sideways
from anchorcalc.links.pull import question_of
from anchorcalc.mechanics.dowels import (
    embedment_plywood_screw_ec5,
    embedment_strands_bolt_ec5,
    embedment_strands_screw_ec5,
    embedment_wood_screw_ec5,
    wood_to_wood_ec5,
)
from anchorcalc.mechanics.members import splitting_ec5
from anchorcalc.mechanics.screws import lateral_modes
from anchorcalc.scenario.crosscheck import cross_faults
from anchorcalc.scenario.model import Scenario
from tests.links.setups import (
    CATALOG,
    INCH,
    LBF,
    UP,
    Held,
    Texts,
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
)  # fmt: skip

PLATE = bolted(plate(6.0, "3/16 in"))
THROUGH = bolted(
    {"kind": "member", "through": "all", "washer": {"outside": "1 1/4 in", "thickness": "1/8 in", "steel": "mild"}},
    at={"points": [["0 in", "1.5 in"], ["0 in", "-1.5 in"]]},
)
OVER = (72.0, 12.0)  # members every 16 in from 8 in on, rails 56 in apart: 16 and 40 in from them
PSI = LBF / INCH**2


def wooden(*layers: Texts, length: str = "2 1/2 in", heads_on: int | None = 1, **timber: Any) -> Texts:
    """The deck of `deck` on spruce-pine-fir 1 1/2 by 3 1/2 in, screwed down with #10 wood screws."""
    on = deck(*layers, heads_on=heads_on, screw="#10 wood screw")
    members = {key: value for key, value in on["cross_members"].items() if key not in ("section", "steel")}
    sawn = {"wood": "spruce-pine-fir", "breadth": "1 1/2 in", "depth": "3 1/2 in", "condition": "sound", **timber}
    hold_down = {**on["hold_down"], "length": length}
    return {**on, "cross_members": {**members, "timber": sawn}, "hold_down": hold_down}


def one_screw(on: Texts) -> tuple[Held, Held, str]:
    """A deck screw pulled and pushed sideways, low estimate and by the code [lbf]; what gives when it is pulled."""
    rig = rig_of(setup(on, PLATE, (64.0, 12.0)))
    question = question_of(rig.anchors["ring 1"], np.array(UP), rig.basis)
    low, allowable, what = hold_down_screw(question)
    side = hold_down_sideways(question)
    return Held(low / LBF, allowable / LBF), Held(side[0] / LBF, side[1] / LBF), what


def test_a_deck_screw_draws_out_of_the_wood() -> None:
    # 1 1/2 in through 3/4 in: 3/4 in in the wood, less a diameter 0.56 in, all of it thread (two thirds are).
    # 15 700 · 0.42² · 0.19 · 0.56 = 294.7 lb less 1.645 · 20 %; 2850 · 0.42² · 0.19 · 0.56 · 1.6 by the code.
    pulled, _, what = one_screw(wooden(length="1 1/2 in"))
    assert what == "thread out of the wood below"
    assert pulled[:2] == pytest.approx((294.7 * 0.671, 85.59), rel=1e-3)
    # 2 1/2 in: thread from 2.5 - 1.6675 in on, 0.0825 in below the wood's top, to 1.75 - 0.19 in: 1.4775 in hold
    # 521.7 lb, so that the head goes through first: 5 · 690 · π · 0.363 · 0.42² · 0.75 less 1.645 · 20 %.
    pulled, _, what = one_screw(wooden())
    assert what == "head through the panel"
    assert pulled.breaking == pytest.approx(5 * 690 * np.pi * 0.363 * 0.1764 * 0.75 * 0.671, rel=1e-3)


def test_a_deck_screw_sideways_by_hand() -> None:
    # d = 1.1 · 3.861 = 4.247 mm, M_y = 0.3 · 413.7 · d^2.6 = 5333 N mm; density 420 less 1.645 · 10 % = 350.9.
    # Plywood 0.11 · 350.9 · d^-0.3 = 25.0 MPa over 19.05 mm, wood 0.082 · … = 18.64 MPa over 39.62 mm, β 0.7455.
    # Mode d: 1.05 f_1 t_1 d / (2 + β) (√(2 β (1 + β) + 4 β (2 + β) M_y / (f_1 d t_1²)) - β) = 919 N = 206.6 lb.
    _, side, _ = one_screw(wooden())
    assert side.breaking == pytest.approx(206.6, rel=2e-3)
    # NDS: root 0.152 in, the wood 1.56 in deep as main member; wood F_e = 16 600 G^1.84, plywood no more than 3350 psi.
    F_e = 16_600 * 0.42**1.84
    for condition, left in (("sound", 1.0), ("weathered", 0.65)):
        modes = lateral_modes(0.152, 80_000.0, left * F_e, 1.56, min(3350.0, F_e), 0.75)
        _, side, _ = one_screw(wooden(condition=condition))
        assert side.working == pytest.approx(min(map(float, modes)) / 2.2 * 1.6, rel=5e-3)
        f = 350.9e6 * 4.247**-0.3
        held = wood_to_wood_ec5(0.11 * f, 0.01905, left * 0.082 * f, 0.039624, 4.247e-3, 5.333)
        assert side.breaking == pytest.approx(float(held) / LBF, rel=2e-3)
    # A stub of 1/2 in less its point stands 0.31 in deep, of 6 · 0.19 in: the code has no value, it fades.
    short, deep = one_screw(wooden(length="1 1/4 in"))[1], one_screw(wooden(length="2 1/4 in"))[1]
    assert short.working < 0.31 / 1.14 * deep.working


@pytest.mark.parametrize("bolt", [True, False])
def test_a_panel_of_which_nobody_says_how_it_is_made_counts_by_the_worse(bolt: bool) -> None:
    rig = rig_of(setup(deck(), bolted(washers()), (64.0, 12.0)))
    (layer,) = rig.floor.layers
    found = [
        embedment(
            replace(layer, panel=layer.panel.model_copy(update={"strands": strands})), 0.0095, rig.basis, bolt=bolt
        )
        for strands in (True, False, None)
    ]
    assert found[0] != pytest.approx(found[1], rel=0.05)
    assert found[2] == min(found)


def test_worn_wood_holds_fasteners_sideways_by_so_much_less() -> None:
    # Any way of the grain: 0.082 (1 − 0.01 · 9.525) · 350.9 / (1.35 + 0.015 · 9.525) = 17.44 MPa round a bolt, 0.65 of
    # it left; 0.082 · 350.9 · 4^-0.3 = 18.98 MPa round a screw of 4 mm. By the code 16 600 · 0.42^1.84 psi round a thin
    # screw, no more than the panel's 3350 psi.
    planks = plank_layer("3/4 in", condition="weathered")
    rig = rig_of(setup(deck(planks), bolted(washers()), (64.0, 12.0)))
    (layer,) = rig.floor.layers
    found = [embedment(layer, d, rig.basis, bolt=bolt) / 1e6 for d, bolt in ((9.525e-3, True), (4e-3, False))]
    assert found == pytest.approx([0.65 * 17.44, 0.65 * 18.98], rel=1e-3)
    assert dowel_bearing(layer, 0.19 * INCH) == pytest.approx(0.65 * min(3350, 16_600 * 0.42**1.84) * PSI, rel=1e-3)
    (worn,) = rig_of(setup(deck(plywood(condition="weathered")), bolted(washers()), (64.0, 12.0))).floor.layers
    # Plywood 0.11 (1 − 0.01 · 9.525) · 350.9 = 34.92 MPa round a bolt.
    assert embedment(worn, 9.525e-3, rig.basis, bolt=True) / 1e6 == pytest.approx(0.65 * 34.92, rel=1e-3)
    soft = replace(layer, panel=layer.panel.model_copy(update={"dowel_bearing": 2000 * PSI}))
    assert dowel_bearing(soft, 0.19 * INCH) == pytest.approx(0.65 * 2000 * PSI)


def test_wood_to_wood_is_the_theory_of_the_yield_modes() -> None:
    # NDS table 12.3.1A has the same modes without 1.05 and 1.15, M_y = F_yb D³ / 6.
    d, f_1, t_1, f_2, t_2, F_yb = 0.19, 4000.0, 0.75, 2900.0, 1.6, 80_000.0
    theirs = lateral_modes(d, F_yb, f_2, t_2, f_1, t_1)
    factors = {"I_m": 1.0, "I_s": 1.0, "II": 1.0, "III_m": 1.05, "III_s": 1.05, "IV": 1.15}
    least = min(factor * float(getattr(theirs, mode)) for mode, factor in factors.items())
    assert float(wood_to_wood_ec5(f_1, t_1, f_2, t_2, d, F_yb * d**3 / 6)) == pytest.approx(least, rel=1e-9)
    thick = lateral_modes(d, F_yb, f_2, 0.2, f_1, t_1)  # a stub turns over in the far piece
    least = min(factor * float(getattr(thick, mode)) for mode, factor in factors.items())
    assert float(wood_to_wood_ec5(f_1, t_1, f_2, 0.2, d, F_yb * d**3 / 6)) == pytest.approx(least, rel=1e-9)


def test_embedment_and_splitting_by_hand() -> None:
    # 0.082 · 350 · 5^-0.3 = 17.71; 0.082 · 0.9 · 350 / (1.35 + 0.15) = 17.22 at 10 mm.
    assert embedment_wood_screw_ec5(350, [0.005, 0.010]) / 1e6 == pytest.approx([17.71, 17.22], rel=1e-3)
    # Plywood: 0.11 · 500 · 5^-0.3 = 33.94, as a bolt 0.11 · (1 - 0.10) · 500 = 49.5.
    assert embedment_plywood_screw_ec5(500, [0.005, 0.010]) / 1e6 == pytest.approx([33.94, 49.5], rel=1e-3)
    # Strand board of 18 mm: 65 · 5^-0.7 · 18^0.1 = 28.13; 50 · 12^-0.6 · 18^0.2 = 20.07, for a screw as thick the same.
    assert float(embedment_strands_screw_ec5(0.018, 0.005)) / 1e6 == pytest.approx(28.13, rel=1e-3)
    assert float(embedment_strands_bolt_ec5(0.018, 0.012)) / 1e6 == pytest.approx(20.07, rel=1e-3)
    assert float(embedment_strands_screw_ec5(0.018, 0.012)) / 1e6 == pytest.approx(20.07, rel=1e-3)
    # 14 · 38 √(40 / (1 - 40/90)) = 4514 N; bolts that reach through split nothing.
    assert float(splitting_ec5(0.038, 0.040, 0.090)) == pytest.approx(4514, rel=1e-3)
    assert float(splitting_ec5(0.038, 0.090, 0.090)) == np.inf


def test_bolts_through_a_member_of_wood() -> None:
    held = links(wooden(), THROUGH, OVER)
    # S = (1.5 - 7/16) · 3.5² / 6 = 2.169 in³, 2.1 · 875 psi; 16 · 40 / 56 in of arm.
    # The code's 875 psi times 1.6 is more than a third of that.
    lever = 16 * 40 / 56
    # NDS 3.3.3: l_e 1.63 · 56 + 10.5 in, R_B² 158.3; of E_05 849 300 psi r 3.503, of E_min 511 600 psi 2.769.
    shares(held["timber_own"], 0.981 * 1837.5 * 2.1693 / lever, 0.974 * 1400 * 2.1693 / lever, 1e-3)
    # 2/3 · 2.1 · 135 psi on 1.0625 by 3.5 in, by the code 135 · 1.6; 40/56 of the lift at the nearer rail.
    area = 2 / 3 * 1.0625 * 3.5 * 56 / 40
    shares(held["timber_shear"], 283.5 * area, 216 * area, 1e-3)
    # 1/8 in of steel spreads over all of 1 1/4 in: π/4 (1.25² - 0.4375²) = 1.0768 in², breaking three times 2.2 MPa =
    # 957.3 psi, a third of which is less than the code's 425 psi. The base pries: more than half of the pull on each.
    rig = rig_of(setup(wooden(), THROUGH, OVER))
    share = question_of(rig.anchors["ring 1"], np.array(UP), rig.basis).pull.most
    assert 0.5 < share < 0.7
    shares(held["timber_crush"], 957.3 * 1.0768 / share, 425 * 1.0768 / share, 2e-3)
    (link,) = (each for each in strength(wooden(), THROUGH, OVER).links if each.key == "timber_crush")
    assert {each.symbol: each.value for each in link.figures}["A"] == pytest.approx(
        1.0768 * 25.4**2, rel=2e-3
    )  # in mm²
    assert not held.keys() & {"pull_over", "leg", "own_member", "hold_down", "timber_splits", "tube_wall"}


def test_a_washer_counts_no_wider_than_the_wood() -> None:
    washer = {"outside": "3 in", "thickness": "1/4 in", "steel": "mild"}
    wide = THROUGH | {"backing": {**THROUGH["backing"], "washer": washer}}
    rig = rig_of(setup(wooden(), wide, (72.125, 12.0)))  # 1/8 in off the middle: a disc of 1 1/4 in lies on it
    anchor = rig.anchors["ring 1"]
    found = crushed_area(anchor, anchor.mounting.positions, rig.basis)
    assert found / INCH**2 == pytest.approx(np.pi / 4 * (1.25**2 - 0.4375**2), rel=1e-3)
    # 0.6 in off no more than 0.3 in would lie on it, less than the hole.
    assert crushed_area(anchor, anchor.mounting.positions + np.array([0.475 * INCH, 0.0]), rig.basis) == 0.0
    # One bolt on the middle, the other 0.2 in off: the worse of them counts, 1.1 in.
    uneven = wide | {"fasteners": {**wide["fasteners"], "at": {"points": [["0 in", "1.5 in"], ["0.2 in", "-1.5 in"]]}}}
    anchor = rig_of(setup(wooden(), uneven, OVER)).anchors["ring 1"]
    found = crushed_area(anchor, anchor.mounting.positions, rig.basis)
    assert found / INCH**2 == pytest.approx(np.pi / 4 * (1.1**2 - 0.4375**2), rel=1e-3)


def test_softer_wood_takes_more_of_a_thin_washer() -> None:
    # 0.65 of 425 psi where it is weathered: a 1/16 in washer spreads 1/16 √(36 000 / 828.8) = 0.412 in beyond the nut.
    washer = {"outside": "3 in", "thickness": "1/16 in", "steel": "mild"}
    thin = THROUGH | {"backing": {**THROUGH["backing"], "washer": washer}}
    rig = rig_of(setup(wooden(breadth="3 1/2 in", condition="weathered"), thin, OVER))
    anchor = rig.anchors["ring 1"]
    found = crushed_area(anchor, anchor.mounting.positions, rig.basis)
    area = np.pi / 4 * ((0.5339 + 2 * 0.4119) ** 2 - 0.4375**2)
    assert found / INCH**2 == pytest.approx(area, rel=5e-3)
    # Breaking three times 2.2 MPa = 957.3 psi, and the code's 425 psi, both 0.65 of it.
    share = question_of(rig.anchors["ring 1"], np.array(UP), rig.basis).pull.most
    low, daily = (0.65 * psi * area / share for psi in (957.3, 425.0))
    shares(links(wooden(breadth="3 1/2 in", condition="weathered"), thin, OVER)["timber_crush"], low, daily)


def test_the_deck_lifts_a_member_of_wood() -> None:
    # Pulled half-way between two members that stand on a rail's distance: each takes 0.6 of it (endless panels).
    held = links(wooden(), PLATE, (64.0, 12.0))
    lift = 1.5 * 3.5**2 / 6 * 56 / (16 * 40) / 0.6
    shares(held["timber_beside"], 0.981 * 1837.5 * lift, 0.974 * 1400 * lift)  # C_L as above
    # 14 · 38.1 √(39.6 / (1 - 39.6/88.9)) N = 1013 lb at 40/56 of 0.6 of the pull; no code tells of it.
    shares(held["timber_splits"], 1013 * 56 / 40 / 0.6, np.inf)
    # Weathered 0.65 of all of them, also by the code.
    worn = links(wooden(condition="weathered"), PLATE, (64.0, 12.0))
    shares(worn["timber_beside"], 0.65 * 0.981 * 1837.5 * lift, 0.65 * 0.974 * 1400 * lift)
    shares(worn["timber_splits"], 0.65 * 1013 * 56 / 40 / 0.6, np.inf)
    area = 2 / 3 * 1.5 * 3.5 * 56 / 40 / 0.6
    shares(worn["timber_shear"], 0.65 * 283.5 * area, 0.65 * 216 * area)
    assert not held.keys() & {"member_beside", "timber_own"}


@pytest.mark.parametrize(
    ("more", "less", "keys"),
    [
        ({}, {"condition": "weathered"}, {"hold_down", "timber_beside", "timber_shear", "timber_splits"}),
        ({"wood": "douglas-fir"}, {}, {"timber_beside", "timber_shear"}),
        ({"depth": "5 1/2 in"}, {}, {"timber_beside", "timber_shear"}),
        ({"breadth": "3 1/2 in"}, {}, {"timber_beside", "timber_shear", "timber_splits"}),
        ({"length": "3 in"}, {"length": "2 in"}, {"timber_splits"}),
        ({"length": "2 in"}, {"length": "1 3/8 in"}, {"timber_splits", "hold_down", "deck_slides"}),
        ({"wood": "spruce-pine-fir"}, {"wood": "softwood-unknown"}, {"timber_beside"}),
    ],
)
def test_more_wood_holds_more(more: Texts, less: Texts, keys: set[str]) -> None:
    strong, weak = (links(wooden(**each), PLATE, (64.0, 12.0), pull_at(45)) for each in (more, less))
    gains = {key: strong[key].breaking / weak[key].breaking for key in strong}
    assert keys <= {key for key, gain in gains.items() if gain > 1.01}
    # A deep one splits sooner; a broad one leaves the deck less room to bend beside it.
    lost = {key for key, gain in gains.items() if gain < 1 - 1e-9}
    assert lost <= {"timber_splits"} or "breadth" in more


def test_where_the_heads_lie_nobody_knows_the_screws_count_as_far_as_they_surely_reach() -> None:
    two = plywood("1/2 in"), plywood("1/2 in")
    unknown, top, lowest = (rig_of(setup(wooden(*two, heads_on=on), PLATE, OVER)).floor for on in (None, 1, 2))
    assert unknown.hold_down_bite == top.hold_down_bite < lowest.hold_down_bite
    assert unknown.heads_on == 2  # and the head goes through the lowest layer alone


def test_a_ring_is_not_welded_to_wood() -> None:
    welded = {"ring": screws()["ring"], "backing": {"kind": "frame", "weld": "1/8 in", "length": "4 in"}}
    assert links(wooden(), welded, OVER)["off_frame"].breaking == 0


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"wood": "oak"}, "wood: no sawn wood 'oak'"),
        ({"condition": "decayed"}, "condition: a cross-member that is decayed carries nothing: replace it"),
        ({"screw": "#12 self-drilling"}, "screw: a self-drilling does not hold in wood"),
        ({"length": None}, "hold_down: screws into cross-members of wood hold by their length: give it"),
        ({"washer": None}, "backing: a bolt through a cross-member of wood bears on it by its washer"),
        ({"walls": "both"}, "walls: walls is a word for tubes"),
        ({"kind": "bridge"}, "kind: bridge bars under cross-members of wood are not reckoned yet"),
        ({"breadth": "6 in"}, "breadth: the strengths of sawn wood here are those of pieces up to"),
        ({"depth": "14 in"}, "depth: the strengths of sawn wood here are those of pieces up to"),
    ],
)
def test_what_wood_does_not_go_with(change: Texts, told: str) -> None:
    texts = setup(wooden(), THROUGH, OVER)
    backing, hold_down = texts["mountings"]["it"]["backing"], texts["deck"]["hold_down"]
    (key, value), *_ = change.items()
    if key == "kind":
        backing = {"kind": "bridge", "width": "4 in", "thickness": "1/4 in", "steel": "mild"}
    place = backing if key in ("washer", "walls") else hold_down if key in ("screw", "length") else None
    if place is None:
        place = texts["deck"]["cross_members"]["timber"] if key != "kind" else {}
    place[key] = value
    texts["mountings"]["it"]["backing"] = {each: value for each, value in backing.items() if value is not None}
    texts["deck"]["hold_down"] = {each: value for each, value in hold_down.items() if value is not None}
    found = [f"{path[-1]}: {what}" for path, what in cross_faults(Scenario.model_validate(texts), CATALOG)]
    assert any(each.startswith(told) for each in found), found


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"steel": "mild"}, "steel is a word for cross-members of steel; these are of timber"),
        ({"timber": None}, "say what they are: section and steel, or timber"),
    ],
)
def test_members_are_of_one_material(change: Texts, told: str) -> None:
    texts = setup(wooden(), PLATE, OVER)
    members = texts["deck"]["cross_members"] | change
    texts["deck"]["cross_members"] = {key: value for key, value in members.items() if value is not None}
    with pytest.raises(ValidationError, match=told):
        Scenario.model_validate(texts)


def test_a_row_through_the_wood_leaves_the_others_to_the_deck_and_its_screws() -> None:
    washer = {"outside": "1 1/4 in", "thickness": "1/8 in", "steel": "mild"}
    row = bolted({"kind": "member", "through": "rear", "washer": washer})
    held = links(wooden(), row, (73.625, 12.0))  # the rear row over the member at 72 in
    assert {"timber_own", "timber_crush", "timber_shear", "timber_splits", "hold_down", "panel_bending"} <= held.keys()
    assert held["timber_own"].breaking > 0
