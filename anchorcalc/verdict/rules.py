"""What the rules ask beside the force check: sum of ratings, counts, classes of load. And the verdicts."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from anchorcalc.result import Requirement, RuleOfThumb, Verdict
from anchorcalc.units import UnitSystem, format_quantity

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from anchorcalc.catalog.rules import RuleSet
    from anchorcalc.rig.settings import StrapSetting
    from anchorcalc.scenario.model import Scenario


def verdict_of(utilisation: float, rules: RuleSet) -> Verdict:
    """Verdict on demand / limit; what is not a number fails."""
    if utilisation <= rules.pass_below:
        return "pass"
    return "marginal" if utilisation <= rules.fail_above else "fail"


def rule_of_thumb(
    weight: float, straps: Mapping[str, StrapSetting], anchor_limits: Mapping[str, tuple[float, str]], rules: RuleSet
) -> RuleOfThumb:
    """Sum of the counted working limits against a share of the weight.

    A strap counts the least of its own rating, its tie point's and its anchor's working limit along the strap
    (`anchor_limits`: limit [N] and link by strap), times the share its route is counted with.
    """
    counted = []
    for name, strap in straps.items():
        anchor_limit, anchor_link = anchor_limits[name]
        limit, part = min(
            (strap.rated, "strap"), (strap.tie_point_rated, "tie point"), (anchor_limit, anchor_link),
            key=lambda pair: pair[0],
        )  # fmt: skip
        counted.append((name, strap.counted_share * limit, part))
    required = rules.rule_of_thumb.fraction_of_weight * weight
    provided = sum(limit for _, limit, _ in counted)
    utilisation = required / provided if provided > 0 else math.inf
    verdict: Verdict = "pass" if provided >= required else "fail"
    return RuleOfThumb(required, provided, utilisation, verdict, tuple(counted), rules.rule_of_thumb.source)


def older_rule(
    weight: float,
    straps: Mapping[str, StrapSetting],
    anchor_breaking: Mapping[str, float],
    rules: RuleSet,
    units: UnitSystem,
) -> tuple[Requirement, ...]:
    """The rule of thumb as the trade told it earlier: counted breaking strengths, 1.5 times the weight.

    `anchor_breaking` [N] along each strap. The same thing as the present rule where everything breaks at three
    times its rating.
    """
    if rules.older_rule is None:
        return ()
    required = rules.older_rule.breaking_over_weight * weight
    provided = sum(
        strap.counted_share * min(strap.breaking, strap.tie_point_breaking, anchor_breaking[name])
        for name, strap in straps.items()
    )
    return (
        Requirement(
            "older rule of thumb, breaking strengths",
            format_quantity(required, units.force, "force", 3),
            format_quantity(provided, units.force, "force", 3),
            "pass" if provided >= required else "fail",
            rules.older_rule.source,
        ),
    )


def requirements(scenario: Scenario, rules: RuleSet, units: UnitSystem) -> tuple[Requirement, ...]:
    """Counts and classes."""
    light = rules.light_vehicle
    weight = scenario.load.weight
    if scenario.load.kind in light.kinds:
        if weight > light.heaviest:
            return _too_heavy_for_a_light_vehicle(scenario, rules, units)
        return _light_vehicle(scenario, rules)
    if weight >= light.heaviest:
        return (_heavy(scenario, rules),)
    return (_general(scenario, rules),)


def _light_vehicle(scenario: Scenario, rules: RuleSet) -> tuple[Requirement, ...]:
    light = rules.light_vehicle
    front, rear = _at_ends(scenario)
    count = len(scenario.straps)
    both_ends = front >= 1 and rear >= 1
    two_each = min(front, rear) >= light.least_each_end
    return (
        Requirement(
            "tie-downs on a car, light truck or van",
            f"at least {light.least}, at both ends; {light.recommended} recommended",
            f"{front} at the front, {rear} at the rear",
            "fail" if count < light.least or not both_ends else "pass",
            light.source,
        ),
        Requirement(
            "as the drivers' handbook reads it",
            f"at least {light.least_each_end} at each end",
            f"{front} at the front, {rear} at the rear",
            "pass" if two_each else "marginal",
            light.source,
        ),
    )


def _at_ends(scenario: Scenario) -> tuple[int, int]:
    """Straps on the front and on the rear half of the load."""
    middle = scenario.load.centre_of_gravity[0]
    front = sum(scenario.load.tie_points[strap.to].at[0] >= middle for strap in scenario.straps.values())
    return front, len(scenario.straps) - front


def _too_heavy_for_a_light_vehicle(scenario: Scenario, rules: RuleSet, units: UnitSystem) -> tuple[Requirement, ...]:
    unit = "lb" if units.name == "us" else "kg"
    heaviest, weight = (
        format_quantity(value, unit, "weight") for value in (rules.light_vehicle.heaviest, scenario.load.weight)
    )
    refused = Requirement("light-vehicle rule", f"no more than {heaviest}", weight, "fail", rules.light_vehicle.source)
    return refused, _heavy(scenario, rules)


def _heavy(scenario: Scenario, rules: RuleSet) -> Requirement:
    count = len(scenario.straps)
    return Requirement(
        "tie-downs on a heavy vehicle or machine",
        f"at least {rules.heavy.least}",
        str(count),
        "pass" if count >= rules.heavy.least else "fail",
        rules.heavy.source,
    )


def _general(scenario: Scenario, rules: RuleSet) -> Requirement:
    """Count by length; a load is at least as long as its wheels and tie points reach, whatever is given."""
    length = max(scenario.load.length or 0.0, _outer_length(scenario))
    least = general_count(length, scenario.load.weight, rules)
    count = len(scenario.straps)
    return Requirement(
        "tie-downs for the load's length",
        f"at least {least}",
        str(count),
        "pass" if count >= least else "fail",
        rules.general.source,
    )


def general_count(length: float, weight: float, rules: RuleSet) -> int:
    """Least number of tie-downs for a load `length` [m] long of `weight` [N] that nothing blocks forward.

    Source: 49 CFR 393.110(b).
    """
    general = rules.general
    if length <= general.short_length:
        return 1 if weight <= general.short_weight else 2
    return 2 + max(math.ceil((length - general.step) / general.step - 1e-9), 0)


def _outer_length(scenario: Scenario) -> float:
    load = scenario.load
    xs: Sequence[float] = [x for x, _ in load.wheels.values()] + [point.at[0] for point in load.tie_points.values()]
    return max(xs) - min(xs)
