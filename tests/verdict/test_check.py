"""The main job on whole scenarios: verdicts, reasons, assumptions, and what must never be smoothed over."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from msgspec.structs import replace

from anchorcalc.catalog.tables import Catalog
from anchorcalc.resources import data_folder
from anchorcalc.result.check import by_use
from anchorcalc.result.words import CASE_WORDS
from anchorcalc.scenario.model import Scenario
from anchorcalc.verdict.check import check, compare
from tests.conftest import SCENARIOS, Texts, checked, edited, roadster, texts_of, worst_breaking, worst_working

EXPECTED = {
    "roadster": "pass",
    "roadster-screws": "fail",
    "orchard-tractor": "fail",
    "mower-planks": "pass",
    "utility-cart-angle": "pass",
    "limousine-too-heavy": "fail",
    "cart-held-endways-only": "fail",
    "motorcycle": "pass",
    "quad": "pass",
}


def named(name: str) -> dict[str, object]:
    return texts_of(data_folder("scenarios") / f"{name}.yaml")


def test_every_shipped_scenario_has_its_expected_verdict(catalog: Catalog) -> None:
    found = {path.stem: checked(texts_of(path), catalog).verdict for path in SCENARIOS}
    assert found == EXPECTED


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_each_result_is_complete(path: Path, catalog: Catalog) -> None:
    result = checked(texts_of(path), catalog)
    assert result.reasons
    assert result.cautions
    assert {case.case for case in result.cases} >= {"forward", "rearward", "left", "right", "upward"}
    for anchor in result.anchors:
        assert math.isclose(np.linalg.norm(anchor.direction), 1.0)
        assert all(link.source and link.formula for link in anchor.links)
        assert all(link.working <= link.breaking for link in anchor.links)


def test_a_light_vehicle_on_screws_alone_fails_and_the_screws_are_named(catalog: Catalog) -> None:
    # Common practice, no source: rings held by screws alone tear out.
    result = checked(named("roadster-screws"), catalog)
    assert result.verdict == "fail"
    assert any("screw" in reason for reason in result.reasons)
    assert any("bolts with a steel plate" in line for line in result.helps)


def test_of_two_straps_or_cases_that_are_each_others_mirror_the_first_is_told(catalog: Catalog) -> None:
    """The roadster stands in the middle: a swerve to the right is one to the left, seen in a mirror."""
    result = checked(named("roadster-screws"), catalog)
    hardest = pytest.approx(max(state.utilisation for case in result.cases for state in case.straps), rel=1e-9)
    seen = [(case, state) for case in result.cases for state in case.straps if state.utilisation == hardest]
    (case, state), *others = seen
    assert result.reasons[0].startswith(f"In {CASE_WORDS[case.case]}, strap {state.strap} loads '{state.weakest_link}'")
    other = others[0][1]
    nudged = replace(other, utilisation=state.utilisation * (1 + 1e-13))
    assert max((state, nudged), key=by_use) is state
    assert max((state, replace(other, utilisation=state.utilisation * (1 + 1e-6))), key=by_use) is not state


def test_a_set_up_that_cannot_be_held_sideways_is_not_held(catalog: Catalog) -> None:
    result = checked(named("cart-held-endways-only"), catalog)
    held = {case.case: case.held for case in result.cases}
    assert held == {"forward": True, "rearward": True, "left": False, "right": False, "upward": True}
    assert "Nothing holds the load" in result.reasons[0]


def test_a_car_over_ten_thousand_pounds_is_refused_by_the_light_vehicle_rule(catalog: Catalog) -> None:
    result = checked(named("limousine-too-heavy"), catalog)
    refused = [r for r in result.requirements if r.name == "light-vehicle rule"]
    assert [r.verdict for r in refused] == ["fail"]


def test_decayed_wood_carries_nothing_and_the_result_says_so(catalog: Catalog) -> None:
    texts = roadster()
    for number in range(len(texts["deck"]["layers"])):
        texts = edited(texts, "deck", "layers", number, "condition", value="decayed")
    result = checked(texts, catalog)
    assert worst_breaking(result) == 0.0
    assert result.anchors[0].weakest("working").name == "deck carries nothing"
    assert "replaced" in result.anchors[0].weakest("working").remark


@pytest.mark.parametrize(
    ("path", "named_part"),
    [
        (("load", "tie_points", "front left", "rated"), "tie point front left"),
        (("mountings", "plated", "ring", "rated"), "ring of anchor front left"),
        (("straps", "rear right", "rated"), "strap rear right"),
    ],
)
def test_an_unrated_part_is_marginal_at_best_and_named(
    path: tuple[str, ...], named_part: str, catalog: Catalog
) -> None:
    texts = roadster()
    place = texts
    for step in path[:-1]:
        place = place[step]
    del place[path[-1]]
    result = checked(texts, catalog)
    assert result.verdict == "marginal"
    assert named_part in result.unrated
    assert any(named_part in reason for reason in result.reasons)


def test_what_was_not_given_is_listed_as_assumed(catalog: Catalog) -> None:
    texts = roadster()
    del texts["load"]["steadying_friction"]
    del texts["straps"]["front left"]["hand_tension"]
    del texts["mountings"]["plated"]["fasteners"]["grade"]
    del texts["deck"]["layers"][0]["face_grain"]
    whats = {assumed.what for assumed in checked(texts, catalog).assumed}
    assert {
        "steadying friction under the wheels",
        "hand tension of strap front left",
        "bolt grade, plated",
        "face grain of layer 1",
    } <= whats


def test_how_much_beyond_its_rating_a_part_bears_is_listed(catalog: Catalog) -> None:
    def listed(texts: Texts) -> list[str]:
        return [each.value for each in checked(texts, catalog).assumed if each.what.startswith("breaking strength")]

    texts = roadster()
    assert listed(texts) == ["hardware 3, webbing 3 times"]
    for part in (texts["mountings"]["plated"]["ring"], *texts["load"]["tie_points"].values()):
        part["breaking"] = "9000 lbf"
    assert listed(texts) == ["webbing 3 times"]
    for strap in texts["straps"].values():
        strap["breaking"] = "10000 lbf"
    assert listed(texts) == []
    assert listed(edited(roadster(), "rules", value="eu-road")) == ["hardware 2, webbing 2 times"]


def test_straps_of_one_size_that_are_rated_unlike_are_listed(catalog: Catalog) -> None:
    def listed(texts: Texts) -> list[str]:
        return [each.value for each in checked(texts, catalog).assumed if each.what == "stretch of the straps"]

    assert listed(roadster()) == []
    unlike = edited(roadster(), "straps", "rear left", "rated", value="1000 lbf")
    assert listed(unlike) == ["in proportion to the rating of each"]
    other = edited(unlike, "straps", "rear left", "width", value="1 in")
    assert listed(other) == []


def test_bolts_that_miss_the_cross_member_hold_nothing(catalog: Catalog) -> None:
    texts = edited(named("utility-cart-angle"), "anchors", "front left", "at", value=["111 in", "30 in"])
    result = checked(texts, catalog)
    front_left = next(anchor for anchor in result.anchors if anchor.anchor == "front left")
    assert front_left.working == 0.0
    assert front_left.weakest("working").name == "bolts miss the cross-member"
    assert "nearest cross-member" in front_left.weakest("working").remark
    assert result.verdict == "fail"


def test_screws_in_old_holes_hold_nothing(catalog: Catalog) -> None:
    texts = edited(named("roadster-screws"), "mountings", "four screws", "fasteners", "holes", value="re-driven")
    assert worst_breaking(checked(texts, catalog)) == 0.0


def test_several_straps_on_one_ring_add_as_vectors(catalog: Catalog) -> None:
    texts = roadster()
    texts["straps"]["front left"]["anchor"] = "front right"
    scenario = Scenario.model_validate(texts)
    result = check(scenario, catalog)
    case = next(case for case in result.cases if (case.case, case.level) == ("rearward", "working"))
    states = {state.strap: state for state in case.straps}
    left, right = states["front left"], states["front right"]
    assert left.tension > 0
    assert right.tension > 0
    # The ring's strength falls to the straps in proportion to their pulls: the same utilisation.
    assert left.utilisation == pytest.approx(right.utilisation, rel=1e-9)
    directions = {}
    for name in ("front left", "front right"):
        ring = np.array([4.3688, -0.8636, 0.0127])
        point = np.array(scenario.load.tie_points[name].at)
        directions[name] = (point - ring) / np.linalg.norm(point - ring)
    together = sum(states[name].tension * directions[name] for name in directions)
    assert np.linalg.norm(together) < left.tension + right.tension


def test_a_slack_strap_uses_nothing(catalog: Catalog) -> None:
    case = next(case for case in checked(roadster(), catalog).cases if case.case == "forward")
    slack = [state for state in case.straps if state.strap.startswith("front")]
    assert all(state.utilisation == 0.0 for state in slack)


def test_the_verdict_is_the_gravest_of_its_parts(catalog: Catalog) -> None:
    texts = roadster()
    for strap in texts["straps"].values():
        strap["rated"] = "420 lbf"  # sum of counted ratings 840 lbf: just above half the weight
    result = checked(texts, catalog)
    assert result.rule_of_thumb.verdict == "pass"
    assert result.verdict == "fail"
    assert max(case.utilisation for case in result.cases) > 1.0


def test_compare_tries_every_mounting_on_every_anchor(catalog: Catalog) -> None:
    scenario = Scenario.model_validate(roadster())
    compared = {each.mounting: each for each in compare(scenario, catalog)}
    assert set(compared) == set(scenario.mountings)
    for name, each in compared.items():
        assert {anchor.mounting for anchor in each.result.anchors} == {name}
        assert len(each.result.anchors) == len(scenario.anchors)
        assert each.worst_anchor.working == worst_working(each.result)


def test_a_stricter_rule_set_is_never_milder(catalog: Catalog) -> None:
    # Canada holds 0.8 g against the working limit; the United States 0.435 g.
    us = checked(roadster(), catalog)
    ca = checked(edited(roadster(), "rules", value="ca-road"), catalog)
    assert max(c.utilisation for c in ca.cases) > max(c.utilisation for c in us.cases)


@pytest.mark.parametrize(
    ("change", "words"),
    [({"bars": "1"}, "do not fit on 1 bar"), ({"width": "3/8 in"}, "do not fit on 2 bar"), ({}, "")],
)
def test_bolts_that_miss_the_bridge_bars_hold_nothing(change: dict[str, str], words: str, catalog: Catalog) -> None:
    texts = roadster()
    texts["mountings"]["bridge bars"]["backing"].update(change)
    for anchor in texts["anchors"].values():
        anchor["mounting"] = "bridge bars"
    weakest = checked(texts, catalog).anchors[0].weakest("working")
    assert (weakest.name == "bolts miss the bridge bar") == bool(words)
    assert words in weakest.remark


def test_bridge_bolts_on_both_sides_of_a_member_hold_nothing(catalog: Catalog) -> None:
    texts = edited(roadster(), "anchors", "front left", "mounting", value="bridge bars")
    texts["anchors"]["front left"]["at"] = ["168 in", "34 in"]  # over the cross-member at 168 in
    front_left = checked(texts, catalog).anchors[0]
    assert front_left.weakest("working").name == "bolts miss the bridge bar"


def test_rings_close_together_share_the_deck_between_them(catalog: Catalog) -> None:
    single = checked(roadster(), catalog)
    texts = roadster()
    for name in list(texts["straps"]):
        x, y = texts["anchors"][name]["at"]
        beside = "27 in" if not y.startswith("-") else "-27 in"
        texts["anchors"][f"{name} two"] = {"at": [x, beside], "mounting": "plated"}
        texts["straps"][f"{name} two"] = {**texts["straps"][name], "anchor": f"{name} two"}
    double = checked(texts, catalog)
    deck = {"deck panel breaks between the cross-members", "plies of the deck shear (rolling shear)"}
    before = {link.name: link.breaking for link in single.anchors[0].links}
    after = {link.name: link.breaking for link in double.anchors[0].links}
    for name in deck:
        assert 0.5 * before[name] < after[name] < 0.9 * before[name], "a ring beside bends less than one on the spot"


def test_a_member_that_reaches_beyond_its_rails_bends_as_a_cantilever(catalog: Catalog) -> None:
    texts = edited(named("utility-cart-angle"), "deck", "cross_members", "rails", value="20 in")
    anchor = checked(texts, catalog).anchors[0]
    link = next(x for x in anchor.links if x.name == "cross-member bends")
    # angle-2x2x3/16: S 0.188 in3 or thereabouts, 36 ksi, 20 in beyond the rail, 0.55 of the pull straight up. The
    # part that pulls it inwards, at 1/2 in above 3/4 in of deck, presses on the inner side and lifts farther out.
    _, across, up = anchor.direction
    lift = next(figure.value for figure in link.figures if figure.symbol == "F") / 4.4482216
    arm = 20 + abs(across) / up * 1.25
    assert lift == pytest.approx(catalog.member("angle-2x2x3/16").S / 0.0254**3 * 36000 / arm, rel=1e-6)
    assert "joint to the main rail" in link.remark


def test_wide_hold_down_spacing_is_not_as_good_as_close(catalog: Catalog) -> None:
    strengths = []
    for spacing in ("6 in", "12 in", "24 in", "48 in"):
        texts = edited(roadster(), "deck", "hold_down", "spacing", value=spacing)
        links = checked(texts, catalog).anchors[0].links
        strengths.append(next(link.breaking for link in links if link.name.startswith("hold-down")))
    assert strengths == sorted(strengths, reverse=True)
    assert strengths[-1] < 0.6 * strengths[-2]


def test_what_stands_in_the_way_or_overloads_the_trailer_cannot_pass(catalog: Catalog) -> None:
    blocked = edited(
        roadster(),
        "deck",
        "no_go",
        value=[{"name": "wiring", "corner": ["165 in", "30 in"], "opposite": ["175 in", "36 in"]}],
    )
    overloaded = edited(roadster(), "trailer", "gross_rating", value="4000 lb")
    for texts, words in ((blocked, "wiring"), (overloaded, "4,000 lb")):
        result = checked(texts, catalog)
        assert result.verdict == "fail"
        assert any(words in reason for reason in result.reasons)


def test_a_rating_never_counts_above_a_third_of_the_breaking_strength(catalog: Catalog) -> None:
    texts = roadster()
    texts["straps"]["front left"].update(rated="3333 lbf", breaking="3600 lbf")
    counted = {name: limit for name, limit, _, _ in checked(texts, catalog).rule_of_thumb.counted}
    plain = {name: limit for name, limit, _, _ in checked(roadster(), catalog).rule_of_thumb.counted}
    assert counted["front left"] <= 0.5 * 1200 * 4.4482217
    assert counted["front right"] == plain["front right"]


def test_a_load_that_only_friction_holds_cannot_pass(catalog: Catalog) -> None:
    texts = edited(roadster(), "rules", value="eu-road")
    assert checked(texts, catalog).verdict == "fail"
    texts = edited(texts, "load", "friction", value="1.0")
    result = checked(texts, catalog)
    assert max(case.utilisation for case in result.cases if case.case != "upward") < 0.8
    assert result.verdict == "marginal"
    assert any("without counted friction" in reason for reason in result.reasons)


def test_distances_of_holes_and_lengths_of_bolts_count(catalog: Catalog) -> None:
    close = edited(roadster(), "mountings", "plated", "backing", "size", value=["4 1/2 in", "4 1/2 in"])
    short = edited(roadster(), "mountings", "plated", "fasteners", "length", value="2 in")
    assert checked(close, catalog).verdict == "marginal"
    assert checked(short, catalog).verdict == "fail"


def test_wheels_said_to_roll_do_not_steady_lengthways(catalog: Catalog) -> None:
    """Rear straps in a V from one drawbar: in a swerve nothing but the wheels keeps the load from turning."""
    texts = roadster()
    del texts["load"]["steadying_friction"]
    for name, y in (("rear left", "0 in"), ("rear right", "-1/2 in")):
        texts["load"]["tie_points"][name]["at"][1] = y

    def swerves(**load: object) -> list[float]:
        changed = {**texts, "load": {**texts["load"], **load}}
        return [case.utilisation for case in checked(changed, catalog).cases if case.acceleration[1]]

    rolls, half = {"sideways": "0.4", "lengthways": "0"}, {"sideways": "0.4", "lengthways": "0.15"}
    said = swerves(grip=rolls)
    assert said == pytest.approx(swerves(grip=rolls, steadying_friction="0"))
    assert max(said) > 1.05 * max(swerves(grip=rolls, steadying_friction="0.3"))
    assert swerves(grip=half) == pytest.approx(swerves(grip=half, steadying_friction="0.15"))


def test_in_a_bump_wheels_rub_each_way_as_much_as_they_grip(catalog: Catalog) -> None:
    """Both rear hooks 4 in ahead: what steadies lengthways eases the bump's pulls, what steadies sideways does not."""
    texts = roadster()
    del texts["load"]["steadying_friction"]
    for name in ("rear left", "rear right"):
        texts["load"]["tie_points"][name]["at"][0] = "60 in"

    def bump(sideways: str, lengthways: str) -> float:
        changed = {**texts, "load": {**texts["load"], "grip": {"sideways": sideways, "lengthways": lengthways}}}
        (found,) = (case for case in checked(changed, catalog).cases if case.case == "upward")
        return found.utilisation

    assert bump("0.01", "0.3") < 0.98 * bump("0.3", "0.01")
