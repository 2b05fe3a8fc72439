"""Counts, sums and thresholds of the rule sets."""

from __future__ import annotations

import math
from collections.abc import Mapping

import pytest
from msgspec.structs import replace

from anchorcalc.catalog.tables import Catalog
from anchorcalc.result.strength import AnchorStrength, Link
from anchorcalc.rig.rig import Rig, StrapSetting, TiePointSetting
from anchorcalc.units import parse_quantity
from anchorcalc.verdict.rules import anchor_limits, general_count, older_rule, requirements, rule_of_thumb, verdict_of
from tests.conftest import Texts, checked, edited, rig_of, roadster

CATALOG = Catalog()
RULES = CATALOG.rule_set("us-road")


def test_thresholds_hold_at_and_next_to_the_limits() -> None:
    assert verdict_of(0.80, RULES) == "pass"
    assert verdict_of(math.nextafter(0.80, 1), RULES) == "marginal"
    assert verdict_of(1.00, RULES) == "marginal"
    assert verdict_of(math.nextafter(1.0, 2), RULES) == "fail"
    assert verdict_of(math.inf, RULES) == "fail"
    assert verdict_of(math.nan, RULES) == "fail"


@pytest.mark.parametrize(
    ("length", "weight", "count"),
    # 49 CFR 393.110(b): 1 up to 5 ft and 1 100 lb; 2 up to 5 ft and more, or up to 10 ft; then one more per 10 ft.
    [("5 ft", "1100 lb", 1), ("5 ft", "1101 lb", 2), ("5.1 ft", "500 lb", 2), ("10 ft", "500 lb", 2),
     ("10.1 ft", "500 lb", 3), ("20 ft", "500 lb", 3), ("20.1 ft", "500 lb", 4)],
)  # fmt: skip
def test_tie_downs_by_length(length: str, weight: str, count: int) -> None:
    found = general_count(parse_quantity(length, "length"), parse_quantity(weight, "weight"), RULES)
    assert found == count


def test_a_load_is_no_shorter_than_its_tie_points_reach() -> None:
    texts = roadster()
    del texts["load"]["kind"]
    texts["load"]["tie_points"]["front left"]["at"][0] = "185 in"  # from 51 in, the rear wheels: 134 in, 11.2 ft
    wanted = []
    for length in ("9 ft", "12 ft", "25 ft"):
        texts["load"]["length"] = length
        (found,) = requirements(rig_of(texts, CATALOG))
        wanted.append(found.required)
    assert wanted == ["at least 3", "at least 3", "at least 4"]
    texts["load"]["tie_points"]["front left"]["at"][0] = "160 in"  # 109 in, 9.1 ft
    texts["load"]["length"] = "6 ft"
    assert [each.required for each in requirements(rig_of(texts, CATALOG))] == ["at least 2"]


@pytest.mark.parametrize(
    ("count", "verdict", "wanted"),
    [
        (1, "fail", "at least 2"),
        (2, "marginal", "at least 2, 3 if it is as long as the deck: its length is not given"),
        (3, "pass", "at least 2"),
    ],
)
def test_a_load_of_unknown_length_may_be_as_long_as_the_deck(count: int, verdict: str, wanted: str) -> None:
    # Wheels and tie points reach over 90 in, 7.5 ft: two. On a deck of 16 ft it may be so long: three.
    texts = roadster()
    texts["load"]["kind"] = "machine"
    rig = rig_of(texts, CATALOG)
    straps = dict(list(rig.straps.items())[:count])
    (found,) = requirements(replace(rig, straps=straps))
    assert (found.verdict, found.required) == (verdict, wanted)
    told = replace(rig, straps=straps, load=replace(rig.load, length=9.9 * 12 * 0.0254))
    assert requirements(told)[0].verdict == ("pass" if count >= 2 else "fail")


def strap(name: str, *, rated: float = 1000.0, share: float = 0.5) -> StrapSetting:
    """A strap to a tie point of its own name."""
    return StrapSetting(name, name, "ring", (name,), (1.0,), None, rated, 3 * rated, 1e5, 0.0, share, over=False)


def strapped(weight: float, straps: Mapping[str, StrapSetting], rules: str = "us-road", **ratings: float) -> Rig:
    """The demo with another weight [N] and other straps; a tie point has the rating given for it, or no limit."""
    texts = edited(edited(roadster(), "rules", value=rules), "units", value="si")
    rig, rated = rig_of(texts, CATALOG), {**dict.fromkeys(straps, math.inf), **ratings}
    points = {name: TiePointSetting((0.0, 0.0, 0.0), limit, 3 * limit) for name, limit in rated.items()}
    return replace(rig, load=replace(rig.load, weight=weight, tie_points=points), straps=straps)


def held_by(anchor: str, working: float) -> AnchorStrength:
    """An anchor whose deck breaks at three times what it holds daily, and whose ring at twice that."""
    deck = Link("panel_bending", "deck", 3 * working, working, "", "", "")
    ring = Link("ring", "ring", 2 * working, 1.5 * working, "", "", "")
    return AnchorStrength(anchor, "it", (0.0, 0.0, 1.0), (deck, ring))


def test_straps_on_one_ring_share_it_and_the_weaker_of_two_rings_counts() -> None:
    # A strap over the load from ring to ring; another on the first: 900 N there are 450 each, the far one 500 or 400.
    loop = replace(strap("over"), to_anchor="far")
    rig = strapped(1000.0, {"over": loop, "direct": strap("direct")})
    for far, over in ((500.0, 450.0), (400.0, 400.0)):
        own = {"over": [held_by("ring", 900.0), held_by("far", far)], "direct": [held_by("ring", 900.0)]}
        daily, breaking = (anchor_limits(rig, own, level) for level in ("working", "breaking"))
        assert daily == {"over": (over, "panel_bending", "deck"), "direct": (450.0, "panel_bending", "deck")}
        assert breaking == {"over": (2 * over, "ring", "ring"), "direct": (900.0, "ring", "ring")}


def test_a_point_that_a_strap_slides_over_bears_by_its_bend() -> None:
    # Half as much again as the pull on the first point, which another strap shares: 900 / 2 / 1.5 = 300. Nothing on the
    # second, that it passes straight: what that holds does not count. Three times that breaks it.
    slides = replace(strap("a"), course=("a", "b"), bearing=(1.5, 0.0), to_anchor="far")
    rig = strapped(100.0, {"a": slides, "b": strap("a")}, a=900.0, b=1.0)
    limits = dict.fromkeys(("a", "b"), (1e9, "ring", "ring"))
    assert [part for _, part, _, _ in rule_of_thumb(rig, limits).counted] == [150.0, 225.0]
    assert older_rule(rig, limits)[0].value == (1125.0,)


def test_what_nothing_holds_is_used_beyond_all_bounds() -> None:
    found = rule_of_thumb(strapped(100.0, {"a": strap("a")}), {"a": (0.0, "panel_bending", "deck")})
    assert (found.verdict, found.utilisation) == ("fail", math.inf)
    found = rule_of_thumb(strapped(100.0, {"a": strap("a")}), {"a": (1.0, "panel_bending", "deck")})
    assert (found.provided, found.utilisation) == (0.5, 100.0)


def test_what_is_a_light_vehicle_and_what_a_heavy_one() -> None:
    # 49 CFR 393.128 up to 10 000 lb, 393.130 from there on; whatever else is counted by its length.
    straps = {name: strap(name) for name in "abc"}
    light, loose = strapped(1.0, straps), strapped(1.0, straps)
    loose = replace(loose, load=replace(loose.load, kind="machine"))
    heaviest = RULES.light_vehicle.heaviest

    def asked(rig: Rig, weight: float) -> list[str]:
        return [each.name for each in requirements(replace(rig, load=replace(rig.load, weight=weight)))]

    on_ends = ["tie-downs on a car, light truck or van", "as the drivers' handbook reads it"]
    heavy = "tie-downs on a heavy vehicle or machine"
    assert asked(light, heaviest) == on_ends
    assert asked(light, heaviest + 1) == ["light-vehicle rule", heavy]
    assert asked(loose, heaviest - 1) == ["tie-downs for the load's length"]
    assert asked(loose, heaviest) == [heavy]
    # From a tie point at the deck's end to the foremost wheels at 145 in, 12 ft: three.
    for count, verdict in ((2, "fail"), (3, "pass")):
        (counted,) = requirements(replace(loose, straps={name: straps[name] for name in "abc"[:count]}))
        assert (counted.limit, counted.value, counted.verdict) == ((3,), (count,), verdict)
    refused, four = requirements(replace(light, load=replace(light.load, weight=heaviest + 1)))
    assert (refused.verdict, refused.required, refused.limit, refused.value) == (
        "fail", "no more than 4,536 kg", (heaviest,), (heaviest + 1,),
    )  # fmt: skip
    assert (four.verdict, four.limit, four.value) == ("fail", (4,), (3,))
    one_more = replace(light, load=replace(light.load, weight=heaviest + 1), straps=straps | {"d": strap("d")})
    assert requirements(one_more)[1].verdict == "pass"


@pytest.mark.parametrize(
    ("ahead", "behind", "verdicts"),
    [(1, 1, ["pass", "marginal"]), (2, 1, ["pass", "marginal"]), (1, 2, ["pass", "marginal"]), (2, 2, ["pass", "pass"]),
     (3, 0, ["fail", "marginal"]), (0, 3, ["fail", "marginal"]), (1, 0, ["fail", "marginal"])],
)  # fmt: skip
def test_a_light_vehicle_is_held_at_both_ends(ahead: int, behind: int, verdicts: list[str]) -> None:
    names = [f"a{k}" for k in range(ahead)] + [f"b{k}" for k in range(behind)]
    rig = strapped(1.0, {name: strap(name) for name in names})
    centre = rig.load.centre[0]  # a point right over it is at the front
    points = {
        name: replace(point, at=(centre if name.startswith("a") else centre - 0.01, 0.0, 0.0))
        for name, point in rig.load.tie_points.items()
    }
    both, each_end = requirements(replace(rig, load=replace(rig.load, tie_points=points)))
    assert [both.verdict, each_end.verdict] == verdicts
    assert (both.limit, both.value) == ((2,), (ahead + behind,))
    assert (each_end.limit, each_end.value) == ((2,), (min(ahead, behind),))


def test_a_tie_down_counts_its_lowest_part_by_half_when_direct() -> None:
    # 49 CFR 393.106(d) and 393.108: the lowest of its components and anchor points; direct ones count half.
    straps = {
        "by strap": strap("by strap"),
        "by point": strap("by point"),
        "by anchor": strap("by anchor"),
        "over": strap("over", share=1.0),
    }
    limits = dict.fromkeys(straps, (2000.0, "panel_bending", "deck"))
    limits["by anchor"] = (400.0, "panel_bending", "deck")
    found = rule_of_thumb(strapped(4100.0, straps, **{"by point": 700.0}), limits)
    assert found.required == 2050.0
    assert found.provided == 500.0 + 350.0 + 200.0 + 1000.0
    assert [part for _, _, _, part in found.counted] == ["strap", "tie point", "deck", "strap"]
    assert found.verdict == "pass"
    # Two on one point share what it holds, 700 N: each 350, counted half.
    twins = {"one": strap("by point"), "other": strap("by point")}
    limits |= dict.fromkeys(twins, (2000.0, "panel_bending", "deck"))
    rig = strapped(600.0, twins, **{"by point": 700.0})
    assert [part[1] for part in rule_of_thumb(rig, limits).counted] == [175.0, 175.0]
    assert older_rule(rig, limits)[0].value == (1050.0,)
    heavier = strapped(4101.0, straps, **{"by point": 700.0})
    assert rule_of_thumb(heavier, limits).verdict == "fail"
    assert rule_of_thumb(heavier, limits).utilisation == pytest.approx(2050.5 / 2050, rel=1e-9)


@pytest.mark.parametrize(("weight", "verdict"), [(1999.0, "pass"), (2000.0, "pass"), (2001.0, "fail")])
def test_the_older_rule_and_the_present_one_are_the_same_at_three_to_one(weight: float, verdict: str) -> None:
    """Four direct straps rated 500 N, breaking at 1500 N, each counted half: 1000 N against half the weight, and
    3000 N against one and a half times it (59 FR 34712). Both end at 2000 N.
    """
    straps = {name: strap(name, rated=500.0) for name in "abcd"}
    rig, strong = strapped(weight, straps), dict.fromkeys(straps, (1e9, "punch_out", "deck"))
    assert rule_of_thumb(rig, strong).verdict == verdict
    (older,) = older_rule(rig, strong)
    assert older.verdict == verdict


@pytest.mark.parametrize("drop", ["front left", "front right"])
def test_a_car_held_at_one_end_only_fails_the_count(drop: str) -> None:
    texts = roadster()
    for name in ("front left", "front right"):
        del texts["straps"][name]
    found = requirements(rig_of(texts, CATALOG))
    assert [r.verdict for r in found] == ["fail", "marginal"]
    for gone in (drop, drop.replace("front", "rear")):
        texts = roadster()
        del texts["straps"][gone]
        found = requirements(rig_of(texts, CATALOG))
        assert [r.verdict for r in found] == ["pass", "marginal"]


def test_a_strap_over_several_points_counts_where_its_middle_is() -> None:
    texts = roadster()
    x = [f"{float(texts['load']['centre_of_gravity'][0].split()[0]) - 30 + 10 * k} in" for k in range(3)]
    over = [[each, "0 in", "20 in"] for each in x]
    texts["straps"]["rear left"] |= {"over": over, "to_anchor": "rear right"}
    del texts["straps"]["rear left"]["to"], texts["straps"]["rear right"]
    found = requirements(rig_of(texts, CATALOG))
    assert found[0].provided == "2 at the front, 1 at the rear"


def test_every_rule_set_checks_a_scenario_and_names_its_clauses() -> None:
    for name, rules in CATALOG.rule_sets.items():
        assert {case.case for case in rules.cases} == {"forward", "rearward", "left", "right", "upward"}, name
        assert all(case.source for case in rules.cases)
        assert requirements(rig_of(edited(roadster(), "rules", value=name), CATALOG))


def test_the_older_rule_counts_breaking_strengths_against_one_and_a_half_weights() -> None:
    # 59 FR 34712: the older "able to lift 1.5 times the weight"; the same as the present rule at 3 to 1.
    straps = {name: strap(name, rated=500.0) for name in "abcd"}
    strong, weak = (dict.fromkeys(straps, (limit, "punch_out", "deck")) for limit in (1e9, 1400.0))
    (found,) = older_rule(strapped(2000.0, straps), strong)
    assert (found.required, found.provided, found.verdict) == ("3 kN", "3 kN", "pass")
    (found,) = older_rule(strapped(2001.0, straps), strong)
    assert found.verdict == "fail"
    (found,) = older_rule(strapped(2000.0, straps), weak)
    assert found.verdict == "fail"
    assert older_rule(strapped(2000.0, straps, rules="eu-road"), strong) == ()


def ways(texts: Texts) -> list[str]:
    return [case.case for case in checked(texts, CATALOG).cases]


def test_a_bump_is_advice_in_europe_and_in_australia_unless_friction_is_relied_on() -> None:
    european = checked(edited(roadster(), "rules", value="eu-road"), CATALOG)
    assert "upward" not in {case.case for case in european.cases}
    assert any(each.startswith("Advice, no part of the verdict: in a bump ") for each in european.warnings)
    australian = edited(roadster(), "rules", value="au-road")
    assert "upward" not in ways(australian)
    assert "upward" in ways(edited(australian, "load", "friction", value="0.2"))
    assert "upward" in ways(edited(australian, "load", "grip", value={"sideways": "0.3"}))


@pytest.mark.parametrize(
    ("rules", "forward", "sideways"),
    # VDI 2700-16: up to 2.0 t 0.9, 0.5 and 0.7; of 2.0 to 3.5 t 0.8, 0.5 and 0.6.
    [("eu-light-2t", 0.9, 0.7), ("eu-light-3.5t", 0.8, 0.6)],
)
def test_light_vehicles_in_europe_have_rule_sets_of_their_own(rules: str, forward: float, sideways: float) -> None:
    found = {case.case: case.acceleration for case in checked(edited(roadster(), "rules", value=rules), CATALOG).cases}
    assert found == {
        "forward": (forward, 0, 0), "rearward": (-0.5, 0, 0), "left": (0, sideways, 0), "right": (0, -sideways, 0),
    }  # fmt: skip


def test_new_zealand_sums_rated_strengths_to_twice_the_weight() -> None:
    rig = rig_of(edited(roadster(), "rules", value="nz-road"), CATALOG)
    limits = dict.fromkeys(rig.straps, (5000.0, "panel_bending", "deck"))
    found = rule_of_thumb(rig, limits)
    # 1 650 lb: 2 * 1650 * 4.448222 = 14 679 N; four straps held to 5 kN each by their anchors, counted whole: 20 kN.
    assert found.required == pytest.approx(14_679.1, rel=1e-5)
    assert found.provided == pytest.approx(20_000.0)


def test_canada_has_no_older_rule_and_counts_both_ends_of_a_loop() -> None:
    rules = CATALOG.rule_set("ca-road")
    assert rules.older_rule is None
    assert (rules.rule_of_thumb.direct_counts, rules.rule_of_thumb.loop, rules.rule_of_thumb.over_counts) == (0.5, 1, 1)
    assert CATALOG.rule_set("us-road").rule_of_thumb.loop == 0.5


def test_no_rating_is_named_for_tie_downs_of_heavy_machines() -> None:
    for rules in CATALOG.rule_sets.values():
        assert "5 000" not in rules.heavy.source
