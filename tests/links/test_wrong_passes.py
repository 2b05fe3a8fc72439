"""What once let a weaker set-up pass as well as a sound one: each must cost what it costs in steel and wood."""

from __future__ import annotations

import copy
import itertools
from typing import Any

import numpy as np
import pytest

from anchorcalc.catalog.tables import Catalog
from anchorcalc.links.path import anchor_strength
from anchorcalc.links.pull import _most_sideways, pull_of
from anchorcalc.mechanics import members
from anchorcalc.result import Result
from tests.conftest import checked, edited, rig_of, roadster

UP = np.array([0.0, 0.0, 1.0])
PLATED = ("mountings", "plated")
Texts = dict[str, Any]


def links_up(texts: Texts, catalog: Catalog, anchor: str = "front left") -> dict[str, float]:
    """Breaking strength of every link of `anchor`, pulled straight up [N]."""
    rig = rig_of(texts, catalog)
    strength = anchor_strength(rig.anchors[anchor], UP, rig.basis)
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
    counted = {name: limit for name, limit, _, _ in result.rule_of_thumb.counted if name.startswith("rear")}
    assert sum(counted.values()) <= 1.5 * max(pulls)


def test_a_ring_in_the_next_bay_loads_the_same_member(catalog: Catalog) -> None:
    """From one bay to the next nothing jumps: two rings a hair more than a bay apart still share a member."""
    link = "cross-member bends"
    alone = links_up(roadster(), catalog)[link]
    held = [links_up(with_twins(apart), catalog)[link] for apart in (15.9, 16.1, 20.0, 24.0, 28.0, 34.0)]
    assert held[0] < 0.8 * alone
    assert held[1] < 0.9 * alone
    for nearer, farther in itertools.pairwise(held[1:]):
        assert farther >= nearer * (1 - 1e-9)
    assert held[-1] == pytest.approx(alone, rel=1e-9)


@pytest.mark.parametrize(("y", "front"), [("20 in", 80), ("30 in", 80), ("34 in", 80), ("20 in", 96), ("30 in", 70)])
def test_rails_nobody_measured_are_no_better_than_any_that_may_be_there(y: str, front: int, catalog: Catalog) -> None:
    """Rails may follow the sides of a deck that is wider in front."""
    texts = edited(roadster(), "anchors", "front left", "at", 1, value=y)
    texts["deck"]["width_front"] = f"{front} in"
    left_out = copy.deepcopy(texts)
    del left_out["deck"]["cross_members"]["rails"]
    unknown = links_up(left_out, catalog)["cross-member bends"]
    for rails in range(40, 1 + max(front, 80), 5):
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
    """2 in of the 4 1/2 in base and 1 1/2 in of deck each side: 73 % are left."""
    whole = links_up(roadster(), catalog)
    cut = links_up(edited(roadster(), *PLATED, "cut_out", value=["2 in", "2 in"]), catalog)
    bends = "deck panel breaks between the cross-members"
    assert cut[bends] == pytest.approx((1 - 2 / (4.5 + 2 * 1.5)) * whole[bends], rel=1e-6)
    shear = "plies of the deck shear (rolling shear)"  # it is greatest beside the plate, the opening lies within
    assert cut[shear] <= whole[shear]


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


# --- a second round ----------------------------------------------------------------------------------------


def test_a_ring_right_over_the_last_member_holds_like_one_beside_it(catalog: Catalog) -> None:
    held = []
    for x in (183.9, 184.0, 184.1):  # the roadster's members stand 8 + 16 n in: the last at 184 in
        texts = edited(roadster(), "anchors", "front left", "at", value=[f"{x} in", "34 in"])
        held.append(links_up(texts, catalog))
    for name in ("cross-member bends", "hold-down screws let the deck go"):
        before, over, behind = (each[name] for each in held)
        assert over == pytest.approx(before, rel=0.02), name
        assert over == pytest.approx(behind, rel=0.02), name


@pytest.mark.parametrize("end", ["front", "rear"])
@pytest.mark.parametrize("joint", [2.0, 0.0, -8.0])
def test_a_loose_end_has_to_reach_two_members(end: str, joint: float, catalog: Catalog) -> None:
    """A ring 3 in beyond the end member, and a joint that many inches beyond it, on it, or behind it."""
    last, out = (184, 1) if end == "front" else (8, -1)
    texts = edited(roadster(), "anchors", "front left", "at", value=[f"{last + 3 * out} in", "20 in"])
    whole = links_up(texts, catalog)
    for layer in texts["deck"]["layers"]:
        layer["joints_across"] = [f"{last + joint * out} in"]
    assert whole["deck panel breaks between the cross-members"] > 0
    assert links_up(texts, catalog)["deck panel breaks between the cross-members"] == 0.0


def test_a_sheet_needs_room_for_a_screw_on_its_member(catalog: Catalog) -> None:
    # Ring at 172 in between members at 168 and 184, each 2 in wide; a screw wants 3/8 in and 1.5 diameters.
    held = {}
    for joint in (167.5, 168.0, 168.28, 168.5, 168.9):
        texts = roadster()
        for layer in texts["deck"]["layers"]:
            layer["joints_across"] = [f"{joint} in"]
        held[joint] = links_up(texts, catalog)["deck panel breaks between the cross-members"]
    assert min(held[167.5], held[168.0]) > 0
    assert held[168.5] == held[168.9] == 0.0


def test_heads_go_through_the_lifted_layer_only(catalog: Catalog) -> None:
    """Screws that bite the top layer lift that sheet alone; what lies under it keeps no head back."""
    texts = edited(roadster(), "mountings", "four screws", "fasteners", "length", value="3/4 in")
    texts["anchors"]["front left"]["mounting"] = "four screws"
    two = links_up(texts, catalog)
    del texts["deck"]["layers"][1]
    one = links_up(texts, catalog)
    assert two["hold-down screws let the deck go"] == pytest.approx(one["hold-down screws let the deck go"], rel=2e-3)


@pytest.mark.parametrize(
    ("points", "most"),
    [
        # By hand, rigid base: d/n + M r / Σ r² about the pattern's middle.
        ([(1, 1), (1, -1), (-1, 1), (-1, -1)], 0.25),
        ([(0, 0)], 1.0),
        # Four in a row, 1 off the ring: M = 1, r = 1.5 at the ends, Σ r² = 5, so 0.25 along and 0.3 across.
        ([(-1.5, 1), (-0.5, 1), (0.5, 1), (1.5, 1)], np.hypot(0.25, 0.3)),
    ],
)
def test_an_eccentric_pattern_turns_about_its_middle(points: list[tuple[float, float]], most: float) -> None:
    assert _most_sideways(np.array(points, dtype=float), np.zeros((1, 2)), [(1.0, 0.0, 0.0)]) == pytest.approx(most)


def test_a_ring_holds_each_of_two_straps_that_pull_against_each_other(catalog: Catalog) -> None:
    texts = roadster()
    texts["anchors"]["nose"] = {"at": ["172 in", "0 in"], "mounting": "plated"}
    for side in ("left", "right"):
        texts["straps"][f"front {side}"]["anchor"] = "nose"
        del texts["anchors"][f"front {side}"]
    base = checked(texts, catalog)
    case = max(base.cases, key=lambda case: max(s.tension for s in case.straps if s.anchor == "nose"))
    leg = max(state.tension for state in case.straps if state.anchor == "nose")
    weak = edited(texts, *PLATED, "ring", "rated", value=f"{0.9 * leg:.1f} N")
    found = next(each for each in checked(weak, catalog).cases if (each.case, each.level) == (case.case, "working"))
    worst = max(found.straps, key=lambda state: state.tension)
    assert worst.utilisation >= worst.tension / (0.9 * leg) - 1e-3


def test_a_well_that_cuts_the_members_leaves_none_to_hold(catalog: Catalog) -> None:
    texts = edited(roadster(), "anchors", "front left", "at", value=["172 in", "37 in"])
    free = links_up(texts, catalog)["cross-member bends"]
    well = {"name": "wheel", "corner": ["150 in", "31 in"], "opposite": ["190 in", "33 in"]}
    assert free > 0
    assert links_up(edited(texts, "deck", "wheel_wells", value=[well]), catalog)["cross-member bends"] == 0.0


@pytest.mark.parametrize(("ends", "cuts"), [("166.9 in", False), ("167.1 in", True), ("168 in", True)])
def test_a_well_cuts_a_member_from_its_face_on(ends: str, cuts: bool, catalog: Catalog) -> None:
    """The member at 168 in is 2 in wide; the well ends just short of its face, just inside and on its middle."""
    texts = edited(roadster(), "anchors", "front left", "at", value=["175 in", "37 in"])
    well = {"name": "wheel", "corner": ["150 in", "31 in"], "opposite": [ends, "33 in"]}
    held = links_up(edited(texts, "deck", "wheel_wells", value=[well]), catalog)["cross-member bends"]
    assert (held == 0.0) == cuts


def test_bolts_close_together_share_a_leg_and_a_wall() -> None:
    t, m, e, f_y = 0.0048, 0.0206, 0.0254, 250e6
    alone = float(members.leg_bending_nominal(t, m, e, f_y))
    pairs = [float(members.leg_bending_nominal(t, m, e, f_y, 2, row)) for row in (0.02, 0.05, 0.0762, 0.5)]
    # EN 1993-1-8 table 6.4, two end bolts: (4 m + 1.25 e + p) between them.
    assert pairs[2] == pytest.approx(0.25 * (4 * m + 1.25 * e + 0.0762) / 2 * t**2 * f_y / m)
    assert pairs == sorted(pairs)
    assert pairs[-1] == alone


@pytest.mark.parametrize("section", ["tube-2x2x1/8", "angle-2x2x3/16"])
def test_bolts_nearer_to_each_other_hold_no_more_on_a_member_but_for_prying(section: str, catalog: Catalog) -> None:
    link = "wall of the tube folds" if "tube" in section else "leg of the cross-member bends"
    held = []
    for apart in (1.5, 2.0, 3.0, 4.0):
        texts = edited(roadster(), "anchors", "front left", "at", value=["168 in", "34 in"])
        texts["deck"]["cross_members"]["section"] = section
        texts["mountings"]["plated"]["backing"] = {"kind": "member", "through": "all"}
        points = [["0 in", f"{apart / 2} in"], ["0 in", f"{-apart / 2} in"]]
        texts["mountings"]["plated"]["fasteners"]["at"] = {"points": points}
        held.append(links_up(texts, catalog)[link])
    # The base pries a little more on bolts that stand farther from the ring.
    assert all(farther > 0.94 * nearer for nearer, farther in itertools.pairwise(held))
    assert held[0] < 0.97 * held[-1]


def test_two_bolts_abreast_take_two_holes_out_of_a_bar(catalog: Catalog) -> None:
    texts = edited(roadster(), "mountings", "bridge bars", "backing", "bars", value="1")
    texts["mountings"]["bridge bars"]["backing"]["width"] = "4 1/2 in"
    texts["anchors"]["front left"]["mounting"] = "bridge bars"
    texts["anchors"]["front left"]["at"] = ["176 in", "34 in"]
    abreast = links_up(texts, catalog)["bridge bar bends"]
    narrow = edited(texts, "mountings", "bridge bars", "backing", "width", value=f"{4.5 + 1 / 2 + 1 / 16} in")
    # (4.5 − 2 · 9/16) against (4.5 + 9/16 − 2 · 9/16)
    assert abreast / links_up(narrow, catalog)["bridge bar bends"] == pytest.approx((4.5 - 9 / 8) / (4.5 - 9 / 16))


def test_a_thin_base_presses_no_farther_out_than_it_can(catalog: Catalog) -> None:
    slant = np.array([0.0, 0.8, 0.6])
    held = []
    for base in (4.5, 5.5, 8.0, 12.0):
        texts = edited(roadster(), *PLATED, "ring", "base", value=[f"{base} in", f"{base} in"])
        texts["mountings"]["plated"]["ring"]["pull_height"] = "2 in"
        rig = rig_of(texts, catalog)
        held.append(pull_of(rig.anchors["front left"], slant, rig.basis).most)
    # Steel of a tenth of an inch bends over the wood: 4 in more of it help by a twentieth at most.
    assert held[0] > held[1] > held[2] > held[3] > 0.94 * held[2]


def test_a_screw_that_hardly_enters_the_wood_holds_little_sideways(catalog: Catalog) -> None:
    held = []
    for inches in (1.6, 1.2, 0.8, 0.4):
        texts = edited(roadster(), "mountings", "four screws", "fasteners", "length", value=f"{inches} in")
        texts["anchors"]["front left"]["mounting"] = "four screws"
        rig = rig_of(texts, catalog)
        strength = anchor_strength(rig.anchors["front left"], np.array([0.9, 0.0, np.sqrt(0.19)]), rig.basis)
        held.append(next(link.working for link in strength.links if link.name == "screws give way sideways"))
    # #14 is 0.242 in thick: 6 D = 1.45 in; the base takes 0.1 in of the length.
    assert held == sorted(held, reverse=True)
    assert held[2] < 0.5 * held[0]
    assert held[3] < 0.15 * held[0]


def test_layers_that_are_alike_are_told_apart(catalog: Catalog) -> None:
    """Screws that reach the lower of two equal layers lift both, as they do where a far joint makes them unequal."""
    texts = roadster()
    texts["anchors"]["front left"]["mounting"] = "four screws"
    unequal = copy.deepcopy(texts)
    unequal["deck"]["layers"][1]["joints_across"] = ["24 in"]
    assert links_up(texts, catalog) == links_up(unequal, catalog)
