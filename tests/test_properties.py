"""What must hold for every scenario: more steel never holds less, units and sides do not matter, and the like."""

from __future__ import annotations

import copy
import itertools
import random
import re
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

import anchorcalc.links.path as path_module
import anchorcalc.verdict.forces as forces_module
from anchorcalc.catalog.tables import Catalog
from anchorcalc.links.path import anchor_strength
from anchorcalc.links.ring import ring_holds
from anchorcalc.result import AnchorStrength, Result
from anchorcalc.units import parse_quantity
from tests.conftest import SCENARIOS, Texts, checked, edited, rig_of, roadster, texts_of, worst_breaking, worst_working

CATALOG = Catalog()
TOLERANCE = 1e-9
NEARLY = 0.03  # a stiffer part draws load to itself, and the floor is cut into cells
OF_THE_NUTS = ("crush", "pull_through", "punch_out")  # modes that share no load with the floor
PULLS = ((0.0, 0.0, 1.0), (-0.6, 0.3, 0.74162))


def one_mounting(name: str, **changes: Any) -> Texts:
    """The roadster on mounting `name`, some of its backing or fasteners changed."""
    texts = roadster()
    for anchor in texts["anchors"].values():
        anchor["mounting"] = name
    for part, values in changes.items():
        texts["mountings"][name][part].update(values)
    return texts


def strengths(texts: Texts) -> tuple[float, float]:
    result = checked(texts, CATALOG)
    return worst_breaking(result), worst_working(result)


def assert_no_less(more: Texts, less: Texts, by: tuple[str, ...] = ()) -> None:
    """One anchor nearly holds no less than another along some pulls, and no less at all by some of its modes."""
    rigs = [rig_of(texts, CATALOG) for texts in (more, less)]
    for pull in PULLS:
        strong, weak = (anchor_strength(rig.anchors["front left"], np.array(pull), rig.basis) for rig in rigs)
        assert strong.breaking >= weak.breaking * (1 - NEARLY)
        assert strong.working >= weak.working * (1 - NEARLY)
        stronger, weaker = ({link.key: link for link in each.links} for each in (strong, weak))
        for key in by:
            assert stronger[key].breaking >= weaker[key].breaking * (1 - TOLERANCE), key
            assert stronger[key].working >= weaker[key].working * (1 - TOLERANCE), key


@settings(max_examples=4)
@given(st.floats(1.0, 3.0), st.floats(0.0, 1.0), st.floats(0.04, 0.25), st.floats(0.0, 0.2))
def test_a_larger_or_thicker_washer_never_holds_less(d: float, more_d: float, t: float, more_t: float) -> None:
    """What bears under the nuts grows; the floor as a whole may lose a little.

    A stiff washer draws moment to its spot and with it load to the nearest hold-down screws.
    """
    small = {"outside": f"{d:.6f} in", "thickness": f"{t:.6f} in"}
    large = {"outside": f"{d + more_d:.6f} in", "thickness": f"{t + more_t:.6f} in"}
    more, less = (one_mounting("bolts and washers", backing=each) for each in (large, small))
    assert_no_less(more, less, by=OF_THE_NUTS)


@settings(max_examples=4)
@given(st.floats(4.5, 7.0), st.floats(0.0, 3.0), st.floats(0.06, 0.4), st.floats(0.0, 0.3))
def test_a_larger_or_thicker_plate_never_holds_less(side: float, wider: float, t: float, thicker: float) -> None:
    """As with washers: what bears under the nuts grows, and the floor that it stiffens may lose a little."""
    small = {"size": [f"{side:.6f} in"] * 2, "thickness": f"{t:.6f} in"}
    large = {"size": [f"{side + wider:.6f} in"] * 2, "thickness": f"{t + thicker:.6f} in"}
    more, less = (one_mounting("plated", backing=each) for each in (large, small))
    assert_no_less(more, less, by=(*OF_THE_NUTS, "nut_through_plate"))


@pytest.mark.parametrize("mounting", ["bolts and washers", "plated", "bridge bars"])
def test_a_thicker_bolt_never_holds_less(mounting: str) -> None:
    """The bolt itself holds more; its wider nut and washer spread the pull a little differently over the floor.

    A larger hole takes bearing area from a washer and section from a bar: they grow with the bolt here.
    """
    fits = {
        "1/4-20": ("1 in", "1.8125 in"),
        "3/8-16": ("1 1/2 in", "1.9375 in"),
        "1/2-13": ("2 in", "2.0625 in"),
        "5/8-11": ("2 1/2 in", "2.1875 in"),
    }

    def on(size: str) -> Texts:
        washer, bar = fits[size]
        backing = {
            "bolts and washers": {"outside": washer, "thickness": "1/4 in"},
            "plated": {},
            "bridge bars": {"width": bar},
        }[mounting]
        return one_mounting(mounting, fasteners={"size": size}, backing=backing)

    for small, large in itertools.pairwise(fits):
        assert_no_less(on(large), on(small), by=("bolt_steel", "bolt_sideways"))


@pytest.mark.parametrize("mounting", ["four screws", "bolts and washers", "plated", "bridge bars"])
@pytest.mark.parametrize(
    ("condition", "thickness"),
    [
        *((each, "3/4 in") for each in ("sound", "weathered", "wet")),
        ("sound", "1/2 in"),
        ("wet", "1 1/8 in"),
    ],
)
def test_another_layer_underneath_never_holds_less(mounting: str, condition: str, thickness: str) -> None:
    """But for a rotten one, in which screws and bolts bend (tests/links/test_hand_worked_deck.py)."""
    single = one_mounting(mounting)
    single["deck"]["layers"] = single["deck"]["layers"][:1]
    single["mountings"]["four screws"]["fasteners"]["length"] = "3/4 in"
    double = copy.deepcopy(single)
    double["deck"]["layers"].append(
        {"panel": "softwood-plywood", "thickness": thickness, "face_grain": "across", "condition": condition}
    )
    broken, _ = strengths(single)
    assert strengths(double)[0] >= broken * (1 - TOLERANCE)


def test_face_grain_the_strong_way_never_holds_less() -> None:
    """The panel itself breaks later; its screws let go and its plies shear up to 20 % earlier.

    Grain along the trailer makes the deck stiff from member to member and soft along the members, so that a
    narrower strip of it and fewer screws share the lift.
    """
    for mounting in ("four screws", "bolts and washers", "plated"):
        weak = one_mounting(mounting)
        strong = copy.deepcopy(weak)
        for layer in strong["deck"]["layers"]:
            layer["face_grain"] = "along"
        rigs = [rig_of(texts, CATALOG) for texts in (strong, weak)]
        for pull in PULLS:
            found = [anchor_strength(rig.anchors["front left"], np.array(pull), rig.basis) for rig in rigs]
            along, across = ({link.key: link for link in each.links} for each in found)
            for key, link in across.items():
                least = 0.8 if key in ("hold_down", "deck_slides", "rolling_shear") else 1 - TOLERANCE
                assert along[key].breaking >= least * link.breaking, (mounting, key)


def test_a_second_ring_and_strap_beside_each_never_holds_less() -> None:
    # Without hand tension: what eight ratchets pull at rest is more than what four do.
    texts = roadster()
    for strap in texts["straps"].values():
        strap["hand_tension"] = "0 lbf"
    single = checked(texts, CATALOG)
    for name in list(texts["straps"]):
        texts["anchors"][f"{name} two"] = copy.deepcopy(texts["anchors"][name])
        texts["straps"][f"{name} two"] = {**texts["straps"][name], "anchor": f"{name} two"}
    double = checked(texts, CATALOG)
    assert double.rule_of_thumb.provided >= single.rule_of_thumb.provided * (1 - TOLERANCE)
    for once, twice in zip(single.cases, double.cases, strict=True):
        assert twice.utilisation <= once.utilisation * (1 + 1e-9)


@settings(max_examples=6)
@given(st.floats(1.0, 4.0))
def test_stronger_straps_never_lower_the_verdict(factor: float) -> None:
    order = {"pass": 0, "marginal": 1, "fail": 2}
    texts = roadster()
    for strap in texts["straps"].values():
        strap["rated"] = "450 lbf"
    weak = checked(texts, CATALOG)
    for strap in texts["straps"].values():
        strap["rated"] = f"{450 * factor:.6f} lbf"
    strong = checked(texts, CATALOG)
    assert order[strong.verdict] <= order[weak.verdict]
    for before, after in zip(weak.cases, strong.cases, strict=True):
        assert after.utilisation <= before.utilisation * (1 + 1e-7)


@settings(max_examples=6)
@given(st.floats(0.2, 5.0))
def test_scaling_loads_and_strengths_alike_leaves_every_utilisation(factor: float) -> None:
    base = checked(roadster(), CATALOG)
    texts = roadster()
    texts["load"]["weight"] = f"{1650 * factor!r} lb"
    for strap in texts["straps"].values():
        strap.update(rated=f"{3333 * factor!r} lbf", hand_tension=f"{150 * factor!r} lbf")
    for point in texts["load"]["tie_points"].values():
        point["rated"] = f"{5000 * factor!r} lbf"

    def scaled(*args: Any) -> AnchorStrength:
        found = anchor_strength(*args)
        links = [replace(x, breaking=x.breaking * factor, working=x.working * factor) for x in found.links]
        return replace(found, links=tuple(links))

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(path_module, "anchor_strength", scaled)
        patch.setattr(forces_module, "ring_holds", lambda *args: tuple(factor * each for each in ring_holds(*args)))
        result = checked(texts, CATALOG)
    for before, after in zip(base.cases, result.cases, strict=True):
        assert after.utilisation == pytest.approx(before.utilisation, rel=1e-7)
    assert result.rule_of_thumb.utilisation == pytest.approx(base.rule_of_thumb.utilisation, rel=1e-9)


_TO_SI: list[tuple[str, Any, str, float]] = [
    (r"(lbf)$", "force", "N", 1.0),
    (r"(lb|kg)$", "weight", "N", 1.0),
    (r"(in|mm)$", "length", "mm", 1e-3),
]


def in_other_units(value: Any) -> Any:
    """Every quantity of a scenario rewritten in N and mm; names and sizes stay."""
    if isinstance(value, dict):
        return {key: each if key in {"size", "screw", "section"} and isinstance(each, str) else in_other_units(each)
                for key, each in value.items()}  # fmt: skip
    if isinstance(value, list):
        return [in_other_units(each) for each in value]
    for pattern, dimension, unit, worth in _TO_SI:
        if re.fullmatch(r"-?[\d./ ]+ *" + pattern, value):
            return f"{parse_quantity(value, dimension) / worth!r} {unit}"
    return value


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_other_units_give_the_same_result(path: Any) -> None:
    texts = texts_of(path)
    converted = in_other_units(texts)
    assert converted != texts
    assert_same(checked(texts, CATALOG), checked(converted, CATALOG))


def assert_same(one: Result, other: Result, rename: Callable[[str], str] = lambda name: name) -> None:
    assert one.verdict == other.verdict
    for before, after in zip(one.cases, other.cases, strict=True):
        assert before.held == after.held
        states = {rename(state.strap): state for state in after.straps}
        for state in before.straps:
            assert states[state.strap].tension == pytest.approx(state.tension, rel=1e-6, abs=1e-6 * one.weight)
            assert states[state.strap].limit == pytest.approx(state.limit, rel=1e-6)
    anchors = {rename(anchor.anchor): anchor for anchor in other.anchors}
    for anchor in one.anchors:
        twin = anchors[anchor.anchor]
        assert twin.breaking == pytest.approx(anchor.breaking, rel=1e-6)
        assert twin.working == pytest.approx(anchor.working, rel=1e-6)


def lopsided() -> Texts:
    """The roadster set to the left, its straps unlike."""
    texts = roadster()
    texts["load"]["centre_of_gravity"][1] = "4 in"
    texts["load"]["tie_points"]["front left"]["at"] = ["135 in", "17 in", "11 in"]
    texts["straps"]["rear left"]["hand_tension"] = "210 lbf"
    return texts


def negated(text: str) -> str:
    return text[1:].strip() if text.startswith("-") else f"-{text}"


def mirrored(texts: Texts) -> Texts:
    """Left and right exchanged."""
    turned = copy.deepcopy(texts)
    load = turned["load"]
    load["centre_of_gravity"][1] = negated(load["centre_of_gravity"][1])
    for place in load["wheels"].values():
        place[1] = negated(place[1])
    for part in (*load["tie_points"].values(), *turned["anchors"].values()):
        part["at"][1] = negated(part["at"][1])
    return turned


def test_a_mirrored_scenario_gives_the_mirrored_result() -> None:
    one, other = checked(lopsided(), CATALOG), checked(mirrored(lopsided()), CATALOG)
    swapped = {"left": "right", "right": "left"}
    reordered = sorted(
        (replace(case, case=swapped.get(case.case, case.case)) for case in other.cases),
        key=lambda case: [(c.case, c.level) for c in one.cases].index((case.case, case.level)),
    )
    assert any(case.turning_share > 0.01 for case in one.cases)
    assert_same(one, replace(other, cases=tuple(reordered)))


@settings(max_examples=6)
@given(st.integers(0, 2**32))
def test_the_order_of_keys_does_not_matter(seed: int) -> None:
    def shuffled(value: Any) -> Any:
        if isinstance(value, dict):
            items = list(value.items())
            random.Random(seed).shuffle(items)
            return {key: shuffled(each) for key, each in items}
        return [shuffled(each) for each in value] if isinstance(value, list) else value

    assert_same(checked(lopsided(), CATALOG), checked(shuffled(lopsided()), CATALOG))


@pytest.mark.parametrize("mounting", ["four screws", "bolts and washers", "plated", "bridge bars"])
@settings(max_examples=6)
@given(st.floats(0.02, 1.55), st.floats(0.0, 6.28))
def test_an_oblique_pull_never_holds_more_than_one_of_its_parts_alone(
    mounting: str, elevation: float, heading: float
) -> None:
    """Of two pulls to opposite sides the weaker holds no more in its upward part than a pull straight up.

    One of them alone may: its part along the deck tips the base, and so presses down the side of the deck whose
    screws a pull straight up would lift hardest. Both together are a pull straight up, and the floor's answer is
    nearly linear. Sideways the fasteners themselves gain nothing from a pull upwards.
    """
    rig = rig_of(one_mounting(mounting), CATALOG)
    setting, basis = rig.anchors["front left"], rig.basis
    flat = np.array([np.cos(heading), np.sin(heading), 0.0])
    up = np.array([0.0, 0.0, 1.0])
    straight, sideways = anchor_strength(setting, up, basis), anchor_strength(setting, flat, basis)
    both = [anchor_strength(setting, np.cos(elevation) * to + np.sin(elevation) * up, basis) for to in (flat, -flat)]
    for level in ("breaking", "working"):
        weaker = min(getattr(each, level) for each in both)
        assert weaker * np.sin(elevation) <= getattr(straight, level) * (1 + NEARLY)
        alone = {link.key: getattr(link, level) for link in sideways.links}
        for link in both[0].links:
            if link.key in ("bolt_sideways", "screw_sideways"):
                assert getattr(link, level) * np.cos(elevation) <= alone[link.key] * (1 + TOLERANCE)


def test_an_edit_is_seen() -> None:
    # Guards the helpers above: an edit that changed nothing would make every property true.
    assert edited(roadster(), "load", "weight", value="1 t") != roadster()
