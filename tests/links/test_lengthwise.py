"""Members that run lengthwise: a quarter turn of trailer and pull changes no figure; what carries them, by hand."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from anchorcalc.links.beam import _as_forces, _Load
from anchorcalc.links.common import Neighbour
from anchorcalc.links.path import anchor_strength
from anchorcalc.links.wheel import deck_under_wheel
from anchorcalc.mechanics.members import continuous_beam_moment
from anchorcalc.mechanics.panels import support_reactions
from anchorcalc.scenario.crosscheck import cross_faults
from anchorcalc.scenario.model import Scenario
from tests.links.setups import (
    CATALOG,
    INCH,
    LBF,
    UP,
    Texts,
    bolted,
    deck,
    inches,
    links,
    plate,
    plywood,
    pull_at,
    rig_of,
    screws,
    setup,
    strength,
    washers,
)  # fmt: skip

# The deck of `setups.deck`, 144 in along by 72 in across, turned to the left: 72 in along by 144 in across. What lay x
# from the rear edge then lies x from the right edge; what was to the left then lies towards the rear.
LONG, WIDE = 144.0, 72.0
Place = tuple[float, float]


def lengthwise(across: Texts) -> Texts:
    """A deck whose members run across, turned to the left by a quarter; rails 56 in apart become beams."""
    turned = {**across, "width": inches(LONG), "length": inches(WIDE)}
    members = {key: value for key, value in across["cross_members"].items() if key != "rails"}
    beams = ["8 in", "64 in"]
    turned["cross_members"] = members | {"run": "lengthwise", "beams": beams}
    turned["layers"] = [layer_turned(layer) for layer in across["layers"]]
    turned["wheel_wells"] = [
        {"name": zone["name"], **{key: at_turned(zone[key]) for key in ("corner", "opposite")}}
        for zone in across.get("wheel_wells", ())
    ]
    return turned


def layer_turned(layer: Texts) -> Texts:
    made = {key: value for key, value in layer.items() if not key.startswith("joints")}
    if "face_grain" in layer:
        made["face_grain"] = {"along": "across", "across": "along"}[layer["face_grain"]]
    return made | {
        "joints_along": [inches(number(x) - LONG / 2) for x in layer.get("joints_across", ())],
        "joints_across": [inches(WIDE / 2 - number(y)) for y in layer.get("joints_along", ())],
    }


def number(text: str) -> float:
    return float(text.removesuffix(" in"))


def turned(x: float, y: float) -> Place:
    return WIDE / 2 - y, x - LONG / 2


def at_turned(at: list[str]) -> list[str]:
    return [inches(each) for each in turned(*map(number, at))]


def mounting_turned(mounting: Texts) -> Texts:
    """A base, its pattern and its plate turned along."""

    def swapped(part: dict[str, Any]) -> dict[str, Any]:
        return {
            key: value[::-1] if key in ("base", "foot", "size", "rectangle") and isinstance(value, list) else
            [[inches(-number(y)), x] for x, y in value] if key == "points" else
            {"front": "left", "left": "rear", "rear": "right", "right": "front"}.get(value, value) if key == "through"
            else swapped(value) if isinstance(value, dict) else value
            for key, value in part.items()
        }  # fmt: skip

    return swapped(mounting)


MOUNTINGS = {
    "screws": screws(base=(4.5, 6.0), at={"rectangle": ["3 1/4 in", "5 in"]}),
    "washers": bolted(washers(), at={"points": [["1.5 in", "0.5 in"], ["-1.5 in", "1 in"], ["0 in", "-2 in"]]}),
    "plate": bolted(plate(6.0, "1/4 in", wide=9.0), at={"rectangle": ["3 in", "2 in"]}, base=(6.0, 3.0)),
    "member": bolted(
        {"kind": "member", "through": "rear", "washer": {"outside": "1 in", "thickness": "1/8 in", "steel": "mild"}}
    ),
    "frame": {"ring": screws()["ring"], "backing": {"kind": "frame", "weld": "1/8 in", "length": "4 in"}},
    "sunk": bolted(plate(8.0, "1/4 in"), base=(6.0, 5.0)) | {"cut_out": ["4 in", "2 in"], "base_turned": "30 deg"},
}  # fmt: skip


@settings(max_examples=8)
@given(
    name=st.sampled_from(sorted(MOUNTINGS)),
    place=st.sampled_from([(64.0, 12.0), (57.5, -30.0), (41.625, 5.0), (4.0, -20.0)]),
    way=st.integers(0, 11),
    grain=st.sampled_from(["along", "across", None]),
    more=st.sampled_from([{}, {"joints_across": ["50 in"]}, {"joints_along": ["-24 in"]}, {"panel": "sawn-planks"}]),
    well=st.booleans(),
    section=st.sampled_from(["tube-2x2x1/8", "angle-2x2x1/8"]),
)
def test_a_quarter_turn_changes_no_figure(
    name: str, place: Place, way: int, grain: str | None, more: Texts, well: bool, section: str
) -> None:
    zones = [{"name": "well", "corner": ["80 in", "20 in"], "opposite": ["100 in", "36 in"]}] if well else []
    on = deck(plywood(grain=grain, **more), section=section, wheel_wells=zones)
    if name == "sunk":  # as it lies on the trailer: the base itself turns along
        ring = mounting_turned(MOUNTINGS[name]) | {"cut_out": MOUNTINGS[name]["cut_out"][::-1]}
    else:
        ring = mounting_turned(MOUNTINGS[name])
    beside = (place[0], place[1] + 8.0)
    rigs = [
        rig_of(setup(on, MOUNTINGS[name], place, beside)),
        rig_of(setup(lengthwise(on), ring, turned(*place), turned(*beside))),
    ]
    found = [
        anchor_strength(
            rig.anchors["ring 1"],
            np.array(pull_at(45, way=30.0 * way + extra)),
            rig.basis,
            (Neighbour(rig.anchors["ring 2"], pull_at(60, way=130.0 + extra)),),
        )
        for rig, extra in zip(rigs, (0.0, 90.0), strict=True)
    ]
    across, along = ({link.key: (link.breaking, link.working) for link in each.links} for each in found)
    assert along.keys() == across.keys()
    for key, held in across.items():
        assert along[key] == pytest.approx(held, rel=1e-6), key


def test_a_wheel_stands_on_it_as_on_the_turned_deck() -> None:
    on, held = deck(plywood(joints_across=["60 in"])), []
    for each, at, turns in ((on, (48.0, 10.0), False), (lengthwise(on), turned(48.0, 10.0), True)):
        rig = rig_of(setup(each, MOUNTINGS["plate"], (36.0, 12.0)))
        print_ = rig.load.tyre_print[::-1] if turns else rig.load.tyre_print  # it turns with the trailer
        held.append(deck_under_wheel(rig.floor, (at[0] * INCH, at[1] * INCH), print_, rig.basis))
    assert held[0].working > 0
    assert held[1] == pytest.approx(held[0])


# --- what carries them ----------------------------------------------------------------------------------------


def test_a_beam_that_runs_on_by_hand() -> None:
    # Two equal spans, P in the middle of one: R = 13/32, 22/32, -3/32 P; 13/64 P L there, 3/32 P L over the support.
    # P in both: 3/16 P L over the support, 5/32 P L between (AISC Manual table 3-23 [from memory]).
    assert continuous_beam_moment([0.0, 1.0, 2.0], [(1.0, 0.5)]) == pytest.approx(13 / 64)
    assert continuous_beam_moment([0.0, 1.0, 2.0], [(1.0, 0.5), (1.0, 1.5)]) == pytest.approx(3 / 16)
    assert continuous_beam_moment([0.0, 4.0], [(3.0, 1.0)]) == pytest.approx(3 * 1 * 3 / 4)


SIDES: Texts = {"width": "60 in", "length": "96 in"}
YIELDS = 0.4868 * 36_000  # in lbf, S F_y of a tube 2x2x1/8 of mild steel


def on_beams(*beams: float) -> Texts:
    """A deck 96 in long on members lengthwise, 12 in apart from the right edge on: one lies in the middle."""
    on = deck(**SIDES, spacing=12.0, first=6.0)
    members = {key: value for key, value in on["cross_members"].items() if key != "rails"} | {"run": "lengthwise"}
    if beams:
        members["beams"] = [inches(each) for each in beams]
    return {**on, "cross_members": members}


@pytest.mark.parametrize(
    ("beams", "x", "arm"),
    [
        ((0.0, 96.0), 24.0, 24 * 72 / 96),  # between two
        ((0.0, 40.0, 96.0), 20.0, 20 * 20 / 40),  # parted at the beam in the middle it bends harder than if it ran on
        ((96.0, 48.0), 20.0, 48 - 20),  # beyond the rear one, whichever comes first in the file
        ((), 20.0, 48 - 20),  # nobody looked: on the middle and the front end alone
        ((), 80.0, 80 - 48),
        ((), 48.0, 96 / 4),
    ],
)
def test_a_lengthwise_member_bends_between_its_beams(beams: tuple[float, ...], x: float, arm: float) -> None:
    held = links(on_beams(*beams), MOUNTINGS["frame"], (x, 0.0))
    assert held["under_ring"].breaking == pytest.approx(YIELDS / arm, rel=1e-3)
    (link,) = (
        each for each in strength(on_beams(*beams), MOUNTINGS["frame"], (x, 0.0)).links if each.key == "under_ring"
    )
    assert ("runs on" in link.formula) == (len(beams) > 2)


def test_two_rings_bend_it_most_over_the_beam_between_them() -> None:
    # Beams at 0, 48 and 96 in, rings 12 in from the middle one: by fixed ends P a b (L + a) / 2 L² a span,
    # 36 · 12 · 84 / (2 · 48²) = 7.875 in over the beam; 36 · 12 / 48 = 9 in if parted there, which is the worse.
    rig = rig_of(setup(on_beams(0.0, 48.0, 96.0), MOUNTINGS["frame"], (36.0, 0.0), (60.0, 0.0)))
    found = {link.key: link for link in anchor_strength(rig.anchors["ring 1"], np.array(UP), rig.basis).links}
    assert found["under_ring"].breaking / LBF == pytest.approx(YIELDS / 9, rel=1e-3)
    # Two in each span, near its ends: parted 12 in, running on 12 · 36 · 60 / 4608 + 36 · 12 · 84 / 4608 = 13.5 in.
    four = [(36.0, 0.0), (12.0, 0.0), (60.0, 0.0), (84.0, 0.0)]
    assert continuous_beam_moment([0.0, 48.0, 96.0], [(1.0, x) for x, _ in four]) == pytest.approx(13.5)
    rig = rig_of(setup(on_beams(0.0, 48.0, 96.0), MOUNTINGS["frame"], *four))
    found = {link.key: link for link in anchor_strength(rig.anchors["ring 1"], np.array(UP), rig.basis).links}
    assert found["under_ring"].breaking / LBF == pytest.approx(YIELDS / 13.5, rel=1e-3)


@pytest.mark.parametrize(
    ("x", "at_beam"),
    [
        (24.0, 22 / 32),  # in the middle of the first of two spans, running on: 22/32 on the beam in the middle
        (12.0, 0.75),  # a quarter along it, parted at the middle: 3/4 on the first beam; running on no more than 0.69
    ],
)
def test_the_weld_at_the_more_loaded_of_three_beams(x: float, at_beam: float) -> None:
    # 4 in of 1/8 in weld, E70: 0.6 · 70 000 · 0.707 · 0.125 · 4 = 14 847 lb.
    on = on_beams(0.0, 48.0, 96.0)
    on["cross_members"] = on["cross_members"] | {"joint": {"weld": "1/8 in", "length": "4 in"}}
    held = links(on, MOUNTINGS["frame"], (x, 0.0))
    assert held["member_joint"].breaking == pytest.approx(14_847 / at_beam, rel=2e-3)


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (
            {"width_front": "50 in"},
            "width_front: a deck that narrows is not reckoned yet on",
        ),
        ({"nose": {"length": "20 in", "width": "20 in"}}, "nose: a deck that narrows is not reckoned yet"),
        ({"beams": ["0 in", "97 in"]}, "beams › 1: the beam does not lie under the deck"),
        ({"beams": ["0 in", "90 in", "0.9 in"]}, "beams › 2: a beam stands there already"),
        ({"beams": ["7 in", "7 in"]}, "beams: members that run lengthwise rest on two beams at least"),
        ({"first_at": "61 in"}, "first_at: the first cross-member lies beyond the deck's left edge"),
        (
            {"also_at": ["31 in"]},
            "also_at › 0: the cross-member does not lie under the deck; count from",
        ),
        (
            {"through": "front"},
            "through: the cross-members run lengthwise: no row of bolts there",
        ),
        ({"kind": "bridge"}, "kind: bridge bars under cross-members that run lengthwise are not reckoned yet"),
    ],
)
def test_what_lengthwise_members_do_not_go_with(change: Texts, told: str) -> None:
    texts = setup(on_beams(0.0, 96.0), MOUNTINGS["member"], (40.0, 0.0))
    backing = texts["mountings"]["it"]["backing"] | {"through": "all"}
    if "kind" in change:
        backing = {"kind": "bridge", "width": "4 in", "thickness": "1/4 in", "steel": "mild"}
    elif "through" in change:
        backing |= change
    elif change.keys() & {"width_front", "nose"}:
        texts["deck"] |= change
    else:
        texts["deck"]["cross_members"] |= change
    texts["mountings"]["it"]["backing"] = backing
    found = [f"{path[-2]} › {path[-1]}: {what}" for path, what in cross_faults(Scenario.model_validate(texts), CATALOG)]
    assert any(told in each for each in found), found


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"run": "lengthwise", "rails": "40 in"}, "rails carry members that run across"),
        ({"beams": ["0 in", "96 in"]}, "beams carry members that run lengthwise"),
    ],
)
def test_rails_carry_one_kind_and_beams_the_other(change: Texts, told: str) -> None:
    texts = setup(deck(), MOUNTINGS["member"], (40.0, 0.0))
    texts["deck"]["cross_members"].pop("rails")
    texts["deck"]["cross_members"] |= change
    with pytest.raises(ValidationError, match=told):
        Scenario.model_validate(texts)


def test_a_couple_on_a_beam_over_three_supports_is_two_forces() -> None:
    """48 in apart; 12 in from the first support, and by three moments what is added at the middle one."""
    lift, couple, y, L = 2.0, 3.0, 12.0, 48.0
    forces = list(_as_forces(_Load(lift, y, couple), (0.0, L, 2 * L)))
    assert forces[0] == (lift, y)
    assert sum(force for force, _ in forces) == pytest.approx(lift)
    assert sum(force * (y - place) for force, place in forces) == pytest.approx(couple)  # up on the first side
    # Theorem of three moments, both spans alike: 4 M L = −P a (L² − a²) / L + C (L² − 3 a²) / L with a = 12 in.
    middle = (-lift * y * (L**2 - y**2) / L + couple * (L**2 - 3 * y**2) / L) / (4 * L)
    reactions = np.array([force * np.array(support_reactions((0.0, L, 2 * L), place)) for force, place in forces]).sum(
        0
    )
    assert reactions[2] == pytest.approx(middle / L, rel=1e-3)
    over_the_last = list(_as_forces(_Load(0.0, 2 * L, couple), (0.0, L, 2 * L)))  # none of it reaches beyond
    assert max(place for _, place in over_the_last) == 2 * L
    assert sum(force * (2 * L - place) for force, place in over_the_last) == pytest.approx(couple)
