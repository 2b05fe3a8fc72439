"""What the rules ask beside the force check: sum of ratings, counts, classes of load. And the verdicts."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from anchorcalc.result.check import Requirement, RequirementKey, RuleOfThumb
from anchorcalc.units import format_quantity, unit_system

if TYPE_CHECKING:
    from anchorcalc.catalog.rules import RuleSet
    from anchorcalc.result.strength import AnchorStrength, Level, Verdict
    from anchorcalc.rig.rig import Rig


def verdict_of(utilisation: float, rules: RuleSet) -> Verdict:
    """Verdict on demand / limit; what is not a number fails."""
    if utilisation <= rules.pass_below:
        return "pass"
    return "marginal" if utilisation <= rules.fail_above else "fail"


Limits = Mapping[str, tuple[float, str, str]]
"""By strap: what its anchor holds along it [N], and key and name of the link that says so."""


def anchor_limits(rig: Rig, own: Mapping[str, Sequence[AnchorStrength]], level: Level) -> Limits:
    """Least limit of each strap's anchors along it, and its link; straps on one ring share it evenly."""
    on_ring = Counter(anchor for strap in rig.straps.values() for anchor, _ in strap.legs)
    found = {}
    for name in rig.straps:
        links = [(strength.weakest(level), on_ring[strength.anchor]) for strength in own[name]]
        parts = [(link.at(level) / sharing, link.key, link.name) for link, sharing in links]
        found[name] = min(parts, key=lambda each: each[0])
    return found


def _point_limits(rig: Rig, *, breaking: bool) -> dict[str, float]:
    """Least limit of each strap's tie points along it [N]; straps on one point share it evenly."""
    sharing = Counter(point for strap in rig.straps.values() for point in strap.course)
    found = {}
    for name, strap in rig.straps.items():
        parts = [math.inf]
        for point, bearing in zip(strap.course, strap.bearing, strict=True):
            setting = rig.load.tie_points[point]
            limit = setting.breaking if breaking else setting.rated
            parts.append(limit / sharing[point] / bearing if bearing > 0 else math.inf)
        found[name] = min(parts)
    return found


def rule_of_thumb(rig: Rig, limits: Limits) -> RuleOfThumb:
    """Sum of the counted working limits against a share of the weight.

    A strap counts the least of its own rating, its tie point's and its anchor's working limit along the strap, times
    the share its route is counted with. Straps on one tie point share what it holds evenly.
    """
    rule, points = rig.rules.rule_of_thumb, _point_limits(rig, breaking=False)
    counted = []
    for name, strap in rig.straps.items():
        parts = [(strap.rated, "strap", "strap"), (points[name], "tie_point", "tie point"), limits[name]]
        limit, key, part = min(parts, key=lambda each: each[0])
        counted.append((name, strap.counted_share * limit, key, part))
    required = rule.fraction_of_weight * rig.load.weight
    provided = sum(limit for _, limit, _, _ in counted)
    utilisation = required / provided if provided > 0 else math.inf
    verdict: Verdict = "pass" if provided >= required else "fail"
    return RuleOfThumb(required, provided, utilisation, verdict, tuple(counted), rule.source)


def older_rule(rig: Rig, limits: Limits) -> tuple[Requirement, ...]:
    """The rule of thumb as the trade told it earlier: counted breaking strengths, 1.5 times the weight.

    The same thing as the present rule where everything breaks at three times its rating.
    """
    rule, points = rig.rules.older_rule, _point_limits(rig, breaking=True)
    if rule is None:
        return ()
    required, provided = rule.breaking_over_weight * rig.load.weight, 0.0
    for name, strap in rig.straps.items():
        provided += strap.counted_share * min(strap.breaking, points[name], limits[name][0])
    unit = unit_system(rig.units).force
    return (
        Requirement(
            key="older_rule",
            name="older rule of thumb, breaking strengths",
            required=format_quantity(required, unit, "force", 3),
            provided=format_quantity(provided, unit, "force", 3),
            verdict="pass" if provided >= required else "fail",
            source=rule.source,
            limit=(required,),
            value=(provided,),
            dimension="force",
        ),
    )


def requirements(rig: Rig) -> tuple[Requirement, ...]:
    """Counts and classes."""
    light = rig.rules.light_vehicle
    if rig.load.kind in light.kinds:
        return _too_heavy_for_a_light_vehicle(rig) if rig.load.weight > light.heaviest else _light_vehicle(rig)
    return (_heavy(rig) if rig.load.weight >= light.heaviest else _general(rig),)


def _counted(
    name: str,
    wanted: str,
    found: str,
    verdict: Verdict,
    source: str,
    least: int,
    count: int,
    key: RequirementKey = "count",
) -> Requirement:
    return Requirement(key, name, wanted, found, verdict, source, (least,), (count,), "count")


def _light_vehicle(rig: Rig) -> tuple[Requirement, ...]:
    light = rig.rules.light_vehicle
    front, rear = _at_ends(rig)
    found, both_ends = f"{front} at the front, {rear} at the rear", front >= 1 and rear >= 1
    return (
        _counted(
            "tie-downs on a car, light truck or van",
            f"at least {light.least}, at both ends; {light.recommended} recommended",
            found,
            "pass" if front + rear >= light.least and both_ends else "fail",
            light.source,
            light.least,
            front + rear,
        ),
        _counted(
            "as the drivers' handbook reads it",
            f"at least {light.least_each_end} at each end",
            found,
            "pass" if min(front, rear) >= light.least_each_end else "marginal",
            light.source,
            light.least_each_end,
            min(front, rear),
            "count_each_end",
        ),
    )


def _at_ends(rig: Rig) -> tuple[int, int]:
    """Straps on the front and on the rear half of the load; one over several points by their middle."""
    points = rig.load.tie_points
    places: dict[str, list[float]] = {name: [] for name in rig.tie_downs}
    for strap in rig.straps.values():
        places[strap.tie_down] += [points[each].at[0] for each in strap.course]
    front = sum(sum(xs) / len(xs) >= rig.load.centre[0] for xs in places.values())
    return front, len(places) - front


def _too_heavy_for_a_light_vehicle(rig: Rig) -> tuple[Requirement, ...]:
    light, unit = rig.rules.light_vehicle, "lb" if rig.units == "us" else "kg"
    heaviest, weight = (format_quantity(value, unit, "weight") for value in (light.heaviest, rig.load.weight))
    refused = Requirement(
        key="light_vehicle",
        name="light-vehicle rule",
        required=f"no more than {heaviest}",
        provided=weight,
        verdict="fail",
        source=light.source,
        limit=(light.heaviest,),
        value=(rig.load.weight,),
        dimension="weight",
    )
    return refused, _heavy(rig)


def _heavy(rig: Rig) -> Requirement:
    least, count = rig.rules.heavy.least, len(rig.tie_downs)
    verdict: Verdict = "pass" if count >= least else "fail"
    name = "tie-downs on a heavy vehicle or machine"
    return _counted(name, f"at least {least}", str(count), verdict, rig.rules.heavy.source, least, count)


def _general(rig: Rig) -> Requirement:
    """Count by length; a load is at least as long as its wheels and tie points reach, whatever is given.

    Where nothing is given it may be as long as the deck.
    """
    given, reach = rig.load.length, _outer_length(rig)
    lengths = (reach, max(reach, rig.floor.length)) if given is None else (max(reach, given),)
    counts = [general_count(each, rig.load.weight, rig.rules) for each in lengths]
    least, enough, count = counts[0], counts[-1], len(rig.tie_downs)
    verdict: Verdict = "fail" if count < least else "marginal" if count < enough else "pass"
    wanted = f"at least {least}"
    if verdict == "marginal":
        wanted += f", {enough} if it is as long as the deck: its length is not given"
    name = "tie-downs for the load's length"
    return _counted(name, wanted, str(count), verdict, rig.rules.general.source, least, count)


def general_count(length: float, weight: float, rules: RuleSet) -> int:
    """Least number of tie-downs for a load `length` [m] long of `weight` [N] that nothing blocks forward.

    Source: 49 CFR 393.110(b).
    """
    general = rules.general
    if length <= general.short_length:
        return 1 if weight <= general.short_weight else 2
    return 2 + max(math.ceil((length - general.step) / general.step - 1e-9), 0)


def _outer_length(rig: Rig) -> float:
    load = rig.load
    xs = [x for x, _ in load.wheels.values()] + [point.at[0] for point in load.tie_points.values()]
    return max(xs) - min(xs)
