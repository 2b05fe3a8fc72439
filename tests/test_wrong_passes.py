"""What once let a weaker set-up pass as well as a sound one: each must cost what it costs in steel and wood."""

from __future__ import annotations

import copy
import itertools
from typing import Any

import numpy as np
import pytest

from anchorcalc.catalog import Catalog
from anchorcalc.links.common import Basis
from anchorcalc.load_path import anchor_strength
from anchorcalc.result import Result
from anchorcalc.scenario.model import Scenario
from anchorcalc.settings import Ledger, anchor_settings, unit_system
from tests.conftest import checked, edited, roadster

UP = np.array([0.0, 0.0, 1.0])
PLATED = ("mountings", "plated")
Texts = dict[str, Any]


def links_up(texts: Texts, catalog: Catalog, anchor: str = "front left") -> dict[str, float]:
    """Breaking strength of every link of `anchor`, pulled straight up [N]."""
    scenario = Scenario.model_validate(texts)
    settings = anchor_settings(scenario, catalog, Ledger(unit_system(scenario)))
    strength = anchor_strength(settings[anchor], UP, Basis(catalog, catalog.rule_set(scenario.rules)))
    return {link.name: link.breaking for link in strength.links}


def hardest(result: Result) -> float:
    return max(case.utilisation for case in result.cases)


def with_twins(apart: float) -> Texts:
    """The roadster with a second ring and strap `apart` [in] behind each front one."""
    texts = roadster()
    for side, y in (("left", 34), ("right", -34)):
        name = f"twin {side}"
        texts["anchors"][name] = {"at": [f"{172 - apart} in", f"{y} in"], "mounting": "plated"}
        texts["load"]["tie_points"][name] = copy.deepcopy(texts["load"]["tie_points"][f"front {side}"])
        texts["straps"][name] = {**texts["straps"][f"front {side}"], "anchor": name, "to": name}
    return texts


def test_two_straps_on_one_tie_point_share_what_it_holds(catalog: Catalog) -> None:
    texts = roadster()
    for side in ("left", "right"):
        del texts["load"]["tie_points"][f"rear {side}"]
        texts["straps"][f"rear {side}"]["to"] = "tail"
    tail: Texts = {"at": ["56 in", "0 in", "12 in"], "rated": "5000 lbf"}
    texts["load"]["tie_points"]["tail"] = tail
    alone = checked(texts, catalog)
    both = next(case for case in alone.cases if case.case == "forward" and case.level == "working")
    pulls = [state.tension for state in both.straps if state.strap.startswith("rear")]
    # The point rated for one and a half of the two pulls holds neither of them with the other.
    weak = edited(texts, "load", "tie_points", "tail", "rated", value=f"{1.5 * max(pulls):.1f} N")
    result = checked(weak, catalog)
    case = next(case for case in result.cases if case.case == "forward" and case.level == "working")
    assert case.utilisation == pytest.approx(sum(pulls) / (1.5 * max(pulls)), rel=1e-3)
    assert result.verdict == "fail"
    counted = {name: limit for name, limit, _ in result.rule_of_thumb.counted if name.startswith("rear")}
    assert sum(counted.values()) <= 1.5 * max(pulls)


@pytest.mark.parametrize("link", ["hold-down screws let the deck go", "cross-member bends"])
def test_a_ring_in_the_next_bay_loads_the_same_member(link: str, catalog: Catalog) -> None:
    """From one bay to the next nothing jumps: two rings a hair more than a bay apart still share a member."""
    alone = links_up(roadster(), catalog)[link]
    held = [links_up(with_twins(apart), catalog)[link] for apart in (15.9, 16.1, 20.0, 24.0, 28.0, 34.0)]
    assert held[0] < 0.8 * alone
    assert held[1] < 0.9 * alone
    for nearer, farther in itertools.pairwise(held[1:]):
        assert farther >= nearer * (1 - 1e-9)
    assert held[-1] == pytest.approx(alone, rel=1e-9)


@pytest.mark.parametrize("y", ["20 in", "30 in", "34 in"])
def test_rails_nobody_measured_are_no_better_than_any_that_may_be_there(y: str, catalog: Catalog) -> None:
    texts = edited(roadster(), "anchors", "front left", "at", 1, value=y)
    left_out = copy.deepcopy(texts)
    del left_out["deck"]["cross_members"]["rails"]
    unknown = links_up(left_out, catalog)["cross-member bends"]
    for rails in range(40, 81, 5):
        known = edited(texts, "deck", "cross_members", "rails", value=f"{rails} in")
        assert unknown <= links_up(known, catalog)["cross-member bends"] * (1 + 1e-9), rails
    assert "distance between the main rails" in {entry.what for entry in checked(left_out, catalog).assumed}


@pytest.mark.parametrize("hold_down", ["2 in", "6 in", "12 in"])
@pytest.mark.parametrize("spacing", ["12 in", "24 in"])
def test_grain_nobody_knows_is_no_better_than_either_way(hold_down: str, spacing: str, catalog: Catalog) -> None:
    texts = edited(roadster(), "deck", "hold_down", "spacing", value=hold_down)
    texts["deck"]["cross_members"]["spacing"] = spacing
    ways = []
    for grain in ("along", "across", None):
        for layer in texts["deck"]["layers"]:
            layer.pop("face_grain", None)
            layer.update({} if grain is None else {"face_grain": grain})
        ways.append(links_up(texts, catalog))
    along, across, unknown = ways
    for name, strength in unknown.items():
        assert strength <= min(along[name], across[name]) * (1 + 1e-9), name


def test_a_wheel_well_weakens_like_a_joint_in_its_edge(catalog: Catalog) -> None:
    texts = edited(roadster(), "anchors", "front left", "at", value=["160 in", "20 in"])
    well = {"name": "wheel", "corner": ["120 in", "24 in"], "opposite": ["190 in", "40 in"]}
    beside = edited(texts, "deck", "wheel_wells", value=[well])
    elsewhere = edited(beside, "deck", "wheel_wells", 0, "corner", value=["60 in", "24 in"])
    elsewhere = edited(elsewhere, "deck", "wheel_wells", 0, "opposite", value=["100 in", "40 in"])
    joint = copy.deepcopy(texts)
    for layer in joint["deck"]["layers"]:
        layer["joints_along"] = [*layer.get("joints_along", []), "24 in"]
    free, with_well, with_joint = (links_up(each, catalog) for each in (texts, beside, joint))
    for name in ("deck panel breaks between the cross-members", "hold-down screws let the deck go"):
        assert with_well[name] < free[name]
        assert with_well[name] == pytest.approx(with_joint[name])
    assert links_up(elsewhere, catalog) == free


def test_a_well_in_the_strip_leaves_no_deck(catalog: Catalog) -> None:
    well = {"name": "hatch", "corner": ["173 in", "28 in"], "opposite": ["176 in", "40 in"]}
    held = links_up(edited(roadster(), "deck", "wheel_wells", value=[well]), catalog)
    assert held["deck panel breaks between the cross-members"] == 0.0


def test_an_opening_for_the_ring_bends_nothing(catalog: Catalog) -> None:
    whole = links_up(roadster(), catalog)
    cut = links_up(edited(roadster(), *PLATED, "cut_out", value=["2 in", "2 in"]), catalog)
    for name in ("deck panel breaks between the cross-members", "plies of the deck shear (rolling shear)"):
        assert cut[name] < whole[name]


def test_a_nut_bears_on_one_wall_of_a_tube(catalog: Catalog) -> None:
    texts = edited(roadster(), "anchors", "front left", "at", value=["168 in", "34 in"])
    texts["mountings"]["plated"]["backing"] = {"kind": "member", "through": "all", "walls": "one"}
    texts["mountings"]["plated"]["fasteners"]["at"] = {"points": [["0 in", "1 1/2 in"], ["0 in", "-1 1/2 in"]]}
    one = links_up(texts, catalog)
    both = links_up(edited(texts, *PLATED, "backing", "walls", value="both"), catalog)
    assert one["wall of the tube folds"] > 0
    for name in ("wall of the tube folds", "nut pulls through the cross-member"):
        assert both[name] == one[name]


def test_screws_of_unknown_holes_count_as_driven_again(catalog: Catalog) -> None:
    texts = roadster()
    for anchor in texts["anchors"].values():
        anchor["mounting"] = "four screws"
    assert hardest(checked(texts, catalog)) < float("inf")
    del texts["mountings"]["four screws"]["fasteners"]["holes"]
    result = checked(texts, catalog)
    assert result.verdict == "fail"
    assert ("screw holes, four screws", "re-driven") in {(entry.what, entry.value) for entry in result.assumed}
    assert all(anchor.links[0].name == "screws in old holes" for anchor in result.anchors)


def test_a_screw_too_short_for_the_deck_is_named_before_the_deck(catalog: Catalog) -> None:
    texts = edited(roadster(), "mountings", "four screws", "fasteners", "length", value="0.1 in")
    texts["anchors"]["front left"]["mounting"] = "four screws"
    held = links_up(texts, catalog)
    first, *rest = held
    assert held[first] == 0.0
    assert "screw" in first
    assert any(held[name] == 0.0 and name.startswith("deck") for name in rest)
