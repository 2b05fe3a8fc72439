"""Straps over points, grip and stops: by hand, against EN 12195-1, and by what must not change."""

from __future__ import annotations

import copy
import json
from collections.abc import Mapping
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from anchorcalc.catalog.rules import LoadCase
from anchorcalc.catalog.tables import Catalog
from anchorcalc.render.json.writer import check_json
from anchorcalc.resources import data_folder
from anchorcalc.verdict.blocking import blocking_force
from anchorcalc.verdict.demand import StrappedLoad, strap_pulls, strapped_load
from tests.conftest import Texts, checked, edited, rig_of, texts_of

CATALOG = Catalog()
WEIGHT = 10_000.0
quiet = settings(derandomize=True, deadline=None, max_examples=40)


def case(name: str, acceleration: tuple[float, float, float], *, gravity: bool = True) -> LoadCase:
    # No rule set may ask for as little as some of these.
    return LoadCase.model_construct(
        case=name, level="working", acceleration=acceleration, gravity=gravity, source="test"
    )


FORWARD, LEFT = case("forward", (0.8, 0, 0)), case("left", (0, 0.5, 0))
UPWARD = case("upward", (0, 0, 0.2), gravity=False)
CASES = [FORWARD, case("rearward", (-0.5, 0, 0)), LEFT, case("right", (0, -0.5, 0)), UPWARD]


def on_straps(
    legs: list[tuple[int, tuple[float, float, float], tuple[float, float, float]]], **changes: Any
) -> StrappedLoad:
    """A load of 10 kN on wheels at (±1, ±0.7) m, its weight 0.5 m up; legs as number of strap, tie point, ring."""
    count = max(number for number, _, _ in legs) + 1
    given: dict[str, Any] = {
        "weight": WEIGHT,
        "centre": np.array([0.0, 0.0, 0.5]),
        "wheels": np.array([[x, y, 0.0] for x in (1.0, -1.0) for y in (0.7, -0.7)]),
        "friction": 0.0,
        "steadying_friction": (0.0, 0.0),
        "tie_points": np.array([at for _, at, _ in legs]),
        "rings": np.array([ring for _, _, ring in legs]),
        "leg_of": np.array([number for number, _, _ in legs]),
        "stiffness": np.full(count, 2e5),
        "hand_tension": np.zeros(count),
        "over": np.zeros(len(legs), dtype=bool),
        "grip": (0.0, 0.0),
        "stops": np.zeros((0, 3)),
        "pushing": np.zeros((0, 3)),
        "stop_limits": np.zeros((0, 2)),
    }
    return StrappedLoad(**{**given, **changes})


def over_straps(hand_tension: float, **changes: Any) -> StrappedLoad:
    """Two straps across the load, at 60 degrees from the deck on both sides."""
    legs = []
    for number, x in enumerate((0.6, -0.6)):
        for side in (1.0, -1.0):
            ring = (x, side * (0.5 + 1.0 / np.tan(np.radians(60))), 0.0)
            legs += [(number, (x, side * 0.5, 1.0), ring)]
    return on_straps(legs, hand_tension=np.full(2, hand_tension), **changes)


# --- against EN 12195-1 and statics by hand -------------------------------------------------------------------


@pytest.mark.parametrize("beyond", [1e-6, 1e-3, 0.1])
@pytest.mark.parametrize("way", [FORWARD, LEFT], ids=["forward", "left"])
def test_top_over_lashing_needs_the_tension_of_en_12195_1(way: LoadCase, beyond: float) -> None:
    """EN 12195-1:2010, 5.3: n >= (c - mu c_z) m g f_s / (2 mu sin(alpha) F_T), here with f_s = 1 [from memory].

    Two straps at 60 degrees, mu 0.4, 10 kN: forward (0.8 - 0.4) 10 000 / (2 * 2 * 0.4 * 0.866025) = 2886.75 N each;
    sideways a quarter of that.
    """
    needed = {"forward": 2886.7513, "left": 721.6878}[way.case]
    mu = 0.4
    formula = (max(way.acceleration) - mu) * WEIGHT / (2 * 2 * mu * np.sin(np.radians(60)))
    assert formula == pytest.approx(needed, rel=1e-7)
    enough, short = (strap_pulls(over_straps(formula * k, friction=mu), [way]) for k in (1 + beyond, 1 - beyond))
    assert enough.held[0]
    assert enough.pulls[0] == pytest.approx(np.full(2, formula), rel=max(2 * beyond, 1e-6))
    assert not short.held[0]  # sliding does not stretch the strap: it presses with its hand tension and no harder


def test_without_friction_an_over_strap_holds_nothing_along_its_way_and_something_across_it() -> None:
    held = strap_pulls(over_straps(500.0), CASES).held
    # Along the trailer the straps lie level across it: a push forward meets nothing that pulls rearward at first.
    assert held.tolist() == [False, False, False, False, True]
    # A bump of 0.2: 2000 = 4 T sin 60, T = 577.35 N, above the hand tension of 500 N.
    assert strap_pulls(over_straps(500.0), [UPWARD]).pulls[0] == pytest.approx(np.full(2, 577.3503), rel=1e-6)


def test_a_rope_over_points_closes_its_triangle_of_forces() -> None:
    """A rope from (0.3, 0, 0) over one point at height 0.4 and down to (-0.3, 0, 0): 3-4-5 on both sides.

    The point feels T (0.8 + 0.8) straight down: 2 * 0.8 T. A lift of 800 N pulls T = 800 / 1.6 = 500 N.
    """
    legs = [(0, (0.0, 0.0, 0.4), (0.3, 0.0, 0.0)), (0, (0.0, 0.0, 0.4), (-0.3, 0.0, 0.0))]
    lift = case("upward", (0, 0, 0.08), gravity=False)
    found = strap_pulls(on_straps(legs), [lift])
    assert found.held[0]
    assert found.pulls[0] == pytest.approx([500.0], rel=1e-9)


def test_the_bearing_of_a_sliding_strap_is_its_triangle_of_forces() -> None:
    """Legs at 3-4-5 and a level run between two points: each point bears |(0.6 - 1, 0, -0.8)| = 0.894427 T."""
    texts = quad()
    texts["straps"]["front left"] |= {
        "over": [["96 in", "19 in", "24 1/2 in"], ["84 in", "19 in", "24 1/2 in"]],
        "slides": "yes",
    }
    texts["anchors"]["front left"]["at"] = ["114 in", "19 in"]  # 18 in ahead, 24 in below: 3-4-5
    texts["anchors"]["middle left"]["at"] = ["66 in", "19 in"]
    strap = rig_of(texts, CATALOG).straps["front left"]
    assert strap.bearing == pytest.approx([0.8944272, 0.8944272], rel=1e-6)
    # 30 in down, 12 in along, 30 in up: 72 in of strap, rated 3333 lbf at a stretch of 4 %.
    assert strap.stiffness == pytest.approx(3333 * 4.4482216 / (0.04 * 72 * 0.0254), rel=1e-6)


@given(mu=st.floats(0.0, 0.75), c=st.sampled_from([0.8, 0.5]), beyond=st.floats(1e-6, 0.1))
@quiet
def test_a_stop_alone_needs_the_blocking_force_of_en_12195_1(mu: float, c: float, beyond: float) -> None:
    # EN 12195-1:2010, blocking: F_B = (c - mu c_z) m g. The stop stands at the height of the weight: nothing tips.
    needed = blocking_force(WEIGHT, c, mu)
    if needed <= 100:
        return
    legs = [(0, (0.0, 0.0, 0.9), (0.0, 0.7, 0.0))]
    stop = {"stops": np.array([[1.2, 0.0, 0.5]]), "pushing": np.array([[-1.0, 0, 0]])}
    load = on_straps(legs, grip=(mu, 0.0), **stop, stop_limits=np.zeros((1, 2)))
    way = case("forward", (c, 0, 0))
    held = [
        strap_pulls(replace(load, stop_limits=np.full((1, 2), needed * k)), [way]) for k in (1 + beyond, 1 - beyond)
    ]
    assert held[0].held[0]
    assert held[0].pushes[0] == pytest.approx([needed], rel=2 * beyond + 1e-9)
    assert not held[1].held[0]


def test_blocking_force_by_hand() -> None:
    # 1 500 kg at 0.8 with mu 0.3: (0.8 - 0.3) * 14 715 = 7357.5 N; more friction than push: nothing is left.
    assert blocking_force(14_715.0, 0.8, 0.3) == pytest.approx(7357.5)
    assert blocking_force(14_715.0, 0.5, 0.6) == 0.0


def test_grip_acts_along_its_own_axis_alone() -> None:
    legs = [(0, (0.0, 0.0, 0.9), (0.0, 0.7, 0.0)), (1, (0.0, 0.0, 0.9), (0.0, -0.7, 0.0))]
    gripped = strap_pulls(on_straps(legs, grip=(0.0, 0.6)), CASES).held
    assert gripped.tolist() == [False, False, True, True, True]


# --- what must not change -------------------------------------------------------------------------------------


@st.composite
def held_up(draw: st.DrawFn) -> tuple[StrappedLoad, StrappedLoad]:
    """A load on a few straps and paths, and the same with one stop, strap or more grip besides."""
    rng = np.random.default_rng(draw(st.integers(0, 10_000)))
    legs: list[tuple[int, tuple[float, float, float], tuple[float, float, float]]] = []
    corners = [(x, y) for x in (1, -1) for y in (1, -1)]
    for number in range(int(rng.integers(2, 6))):
        x, y = corners[number % 4]
        over = rng.random() < 0.4
        for side in (y, -y) if over else (y,):
            at = tuple(rng.uniform([0.1, 0.1, 0.3], [1.0, 0.6, 1.0]) * [x, side, 1])
            ring = (x * rng.uniform(1.1, 1.6), side * rng.uniform(0.7, 1.0), 0.02)
            legs.append((number, at, ring))
    count = legs[-1][0] + 1
    grip = tuple(rng.uniform(0, 0.5, 2) * (rng.random(2) < 0.5))
    rest = rng.uniform(0, 900, count)
    more, what = draw(st.sampled_from(["stop", "strap", "grip"])), {}
    base = on_straps(legs, grip=grip, hand_tension=rest, steadying_friction=(0.3, 0.3))
    if more == "stop":
        what = {
            "stops": rng.uniform([-1, -0.7, 0], [1, 0.7, 0.5], (1, 3)),
            "pushing": np.array([[1.0, 0, 0], [-1, 0, 0], [0, 1, 0], [0, -1, 0]])[rng.integers(0, 4, 1)],
            "stop_limits": rng.uniform(100, 9000, (1, 2)),
        }
    elif more == "strap":
        legs = [*legs, (count, (0.5, 0.3, 0.6), (1.4, -0.8, 0.02))]
        return base, on_straps(legs, grip=grip, hand_tension=np.append(rest, 100.0), steadying_friction=(0.3, 0.3))
    else:
        what = {"grip": tuple(each + 0.2 for each in grip)}
    return base, replace(base, **what)


@given(pair=held_up())
@settings(derandomize=True, deadline=None, max_examples=60)
def test_a_stop_a_strap_or_grip_never_makes_a_case_unheld(pair: tuple[StrappedLoad, StrappedLoad]) -> None:
    before, after = (strap_pulls(load, CASES).held for load in pair)
    assert not (before & ~after).any(), (before, after)


# --- shipped scenarios ----------------------------------------------------------------------------------------


def named(name: str) -> Texts:
    return texts_of(data_folder("scenarios") / f"{name}.yaml")


def quad() -> Texts:
    return copy.deepcopy(named("quad"))


def motorcycle() -> Texts:
    return copy.deepcopy(named("motorcycle"))


def with_straps(texts: Texts, **changes: str) -> Texts:
    for strap in texts["straps"].values():
        strap |= changes
    return texts


def held(texts: Mapping[str, Any]) -> dict[str, bool]:
    load = strapped_load(rig_of(dict(texts), CATALOG))
    cases = CATALOG.rule_set("us-road").cases
    return {
        f"{each.case}, {each.level}": bool(found)
        for each, found in zip(cases, strap_pulls(load, cases).held, strict=True)
    }


def test_a_strap_over_two_rings_counts_what_the_weaker_of_them_holds() -> None:
    texts = with_straps(quad(), slides="yes")
    name, strap = next((name, each) for name, each in texts["straps"].items() if "over" in each)
    ring = texts["anchors"][strap["to_anchor"]]
    texts["mountings"]["weak"] = copy.deepcopy(texts["mountings"][ring["mounting"]])
    texts["mountings"]["weak"]["ring"]["rated"] = "60 lbf"
    ring["mounting"] = "weak"
    counted = {each[0]: each for each in checked(texts, CATALOG).rule_of_thumb.counted}
    # Two straps share the middle ring, and one over the load counts half: 60 / 2 / 2 lb.
    assert counted[name][1] == pytest.approx(15 * 4.4482216)
    assert counted[name][2] == "ring"


def test_a_motorcycle_in_a_chock_passes_and_fails_without_its_front_pair() -> None:
    assert checked(motorcycle(), CATALOG).verdict == "pass"
    texts = motorcycle()
    del texts["straps"]["front left"], texts["straps"]["front right"]
    result = checked(texts, CATALOG)
    assert result.verdict == "fail"
    nothing = "pulling away, a swerve to the right, a swerve to the left, a bump"
    assert f"Nothing holds the load in {nothing}: no set of strap pulls balances it." in result.reasons


def test_a_motorcycle_needs_no_hand_tension_which_its_springs_take_away() -> None:
    assert all(held(with_straps(motorcycle(), hand_tension="0 lbf")).values())


@pytest.mark.parametrize(
    ("gone", "only"), [("stops", "the same without counted friction"), ("grip", "the same without its stops")]
)
def test_a_motorcycle_that_only_grip_or_only_its_chock_keeps_upright_is_marginal(gone: str, only: str) -> None:
    texts = motorcycle()
    del texts["load"][gone]
    result = checked(texts, CATALOG)
    assert result.verdict == "marginal"
    (row,) = (each for each in result.requirements if each.verdict != "pass")
    assert row.name == only
    assert row.provided == "fail; nothing else holds the load in a swerve to the right, a swerve to the left"


def test_a_motorcycle_with_neither_falls_over() -> None:
    texts = motorcycle()
    del texts["load"]["stops"], texts["load"]["grip"]
    assert [name for name, stands in held(texts).items() if not stands] == [
        "left, breaking", "right, breaking", "left, working", "right, working",
    ]  # fmt: skip


def test_a_quad_on_straps_that_slide_is_held_along_them_by_grip_or_stops_alone() -> None:
    assert all(held(quad()).values())
    sliding = with_straps(quad(), slides="yes")
    along = ["forward, breaking", "rearward, breaking", "forward, working", "rearward, working"]
    assert [name for name, stands in held(sliding).items() if not stands] == along
    gripping = edited(sliding, "load", "grip", value={"sideways": "0.5", "lengthways": "0.5"})
    result = checked(gripping, CATALOG)
    assert result.verdict == "marginal"
    (row,) = (each for each in result.requirements if each.verdict != "pass")
    assert row.provided == "fail; nothing else holds the load in braking, pulling away"


def test_the_sum_of_ratings_counts_a_strap_once_by_its_path() -> None:
    """49 CFR 393.106(d): back to the same side half, to the other side whole; each leg of one that cannot slide half
    of that. NSC Standard 10: half for each end section, so a loop to the same side counts whole.
    """
    looped = rig_of(with_straps(quad(), slides="yes"), CATALOG)
    assert {strap.counted_share for strap in looped.straps.values()} == {0.5}
    legs = rig_of(quad(), CATALOG)
    assert {strap.counted_share for strap in legs.straps.values()} == {0.25}
    assert legs.tie_downs == ("front left", "front right", "rear left", "rear right")
    across = with_straps(quad(), slides="yes")
    across["straps"]["front left"]["to_anchor"] = "middle right"
    assert rig_of(across, CATALOG).straps["front left"].counted_share == 1.0
    canadian = edited(with_straps(quad(), slides="yes"), "rules", value="ca-road")
    assert {strap.counted_share for strap in rig_of(canadian, CATALOG).straps.values()} == {1.0}


def test_a_strap_of_which_nobody_said_that_it_slides_slides_and_is_listed() -> None:
    texts = quad()
    for strap in texts["straps"].values():
        del strap["slides"]
    rig = rig_of(texts, CATALOG)
    assert all(strap.slides for strap in rig.straps.values())
    assert "strap front left slides over its points" in {each.what for each in rig.assumed}


def test_a_stop_that_nobody_rated_holds_nothing_and_is_listed() -> None:
    texts = motorcycle()
    for stop in texts["load"]["stops"].values():
        del stop["rated"]
    result = checked(texts, CATALOG)
    assert result.verdict == "marginal"
    assert all(stop.push == 0 for each in result.cases for stop in each.stops)
    assert "rating of stop chock, ahead" in {each.what for each in result.assumed}


def test_a_stop_bears_its_share_of_the_rating_that_passes_and_no_more() -> None:
    texts = motorcycle()
    for stop in texts["load"]["stops"].values():
        stop["rated"] = "100 lbf"
    result = checked(texts, CATALOG)
    most = max(stop.utilisation for each in result.cases for stop in each.stops)
    assert most == pytest.approx(0.8, rel=1e-9)
    assert all(stop.push <= 0.8 * stop.limit * (1 + 1e-9) for each in result.cases for stop in each.stops)


def test_a_named_point_that_a_strap_runs_over_is_asked_for_its_rating() -> None:
    texts = quad()
    texts["load"]["tie_points"] = {"axle": {"at": ["90 in", "19 in", "20 in"]}}
    texts["straps"]["front left"] |= {"over": ["axle"], "slides": "yes"}
    result = checked(texts, CATALOG)
    assert "tie point axle" in result.unrated


def test_mirrored_paths_and_stops_give_mirrored_pulls() -> None:
    load = strapped_load(rig_of(with_straps(quad(), slides="yes"), CATALOG))
    load = replace(load, grip=(0.6, 0.5), centre=load.centre + np.array([0.0, 0.03, 0.0]))
    flip = np.array([1.0, -1.0, 1.0])
    mirrored = replace(
        load, centre=load.centre * flip, wheels=load.wheels * flip, tie_points=load.tie_points * flip,
        rings=load.rings * flip,
    )  # fmt: skip
    other = [CASES[i] for i in (0, 1, 3, 2, 4)]
    one, two = strap_pulls(load, CASES), strap_pulls(mirrored, other)
    assert one.held.tolist() == two.held.tolist()
    assert one.held.any()
    assert two.pulls == pytest.approx(one.pulls, rel=1e-7, abs=1e-6)


@pytest.mark.parametrize("rules", sorted(CATALOG.rule_sets))
def test_each_rule_set_takes_paths_and_says_what_it_says_of_them(rules: str) -> None:
    texts = edited(with_straps(quad(), slides="yes"), "load", "grip", value={"sideways": "0.5", "lengthways": "0.5"})
    result = checked(edited(texts, "rules", value=rules), CATALOG)
    assert set(CATALOG.rule_set(rules).over_points) <= set(result.warnings)
    assert [each.strap for each in result.cases[0].straps] == list(texts["straps"])
    told = {each.name: each for each in result.requirements}
    assert told["the same without counted friction"].verdict == "marginal"


def test_json_tells_the_push_of_every_stop_and_one_row_a_strap() -> None:
    answer = json.loads(check_json(checked(motorcycle(), CATALOG)))
    braking = answer["cases"][0]
    ahead, left, right = braking["stops"]
    assert ahead["stop"] == "chock, ahead"
    # 340 lb at 0.8 g: 1 210 N, and what the front straps pull ahead more than the rear ones rearward.
    assert 1210 < ahead["push_N"] < 1600
    assert ahead["limit_N"] == pytest.approx(3 * 600 * 4.4482216, rel=1e-6)
    assert ahead["utilisation"] == pytest.approx(ahead["push_N"] / ahead["limit_N"])
    assert (left["push_N"], right["push_N"]) == pytest.approx((0.0, 0.0), abs=1e-3)
    sliding = json.loads(check_json(checked(with_straps(quad(), slides="yes"), CATALOG)))
    assert [each["strap"] for each in sliding["cases"][-1]["straps"]] == [
        "front left",
        "front right",
        "rear left",
        "rear right",
    ]


def test_a_sliding_strap_pulls_both_of_its_rings() -> None:
    result = checked(with_straps(quad(), slides="yes"), CATALOG)
    bump = result.cases[-1]
    assert {(each.strap, each.anchor) for each in bump.at_rings if each.strap == "front left"} == {
        ("front left", "front left"), ("front left", "middle left"),
    }  # fmt: skip
    state = result.state_of("middle left")
    assert state.asked_up > result.state_of("front left").asked_up  # two straps hang on it


@pytest.mark.parametrize("name", ["quad", "motorcycle"])
def test_units_and_order_of_keys_do_not_matter(name: str) -> None:
    texts = with_straps(named(name), hand_tension="300 N")
    turned = copy.deepcopy(texts)
    for part in (turned["straps"], turned["anchors"], turned["load"]["wheels"], turned["load"].get("stops", {})):
        items = list(part.items())[::-1]
        part.clear()
        part.update(items)
    turned["load"]["weight"] = {"quad": "254.0117272 kg", "motorcycle": "154.2214058 kg"}[name]
    one, other = checked(texts, CATALOG), checked(turned, CATALOG)
    assert one.verdict == other.verdict
    for first, second in zip(one.cases, other.cases, strict=True):
        assert second.utilisation == pytest.approx(first.utilisation, rel=1e-6)
        pulls = {each.strap: each.tension for each in first.straps}
        assert {each.strap: each.tension for each in second.straps} == pytest.approx(pulls, rel=1e-6, abs=1e-3)
