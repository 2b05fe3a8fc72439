"""The main job: a scenario and its rule set to one result."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from anchorcalc.fitting.sheet import fitting
from anchorcalc.links.common import Basis
from anchorcalc.links.path import anchor_strength
from anchorcalc.result import (
    AnchorStrength,
    CaseResult,
    Level,
    MountingComparison,
    Requirement,
    Result,
    StrapState,
    worst,
)
from anchorcalc.rig.settings import (
    AnchorSetting,
    Ledger,
    StrapSetting,
    anchor_settings,
    strap_settings,
    strapped_load,
    unit_system,
)
from anchorcalc.units import format_quantity
from anchorcalc.verdict.demand import Demand, StrappedLoad, strap_pulls
from anchorcalc.verdict.plausible import plausibility_warnings
from anchorcalc.verdict.rules import older_rule, requirements, rule_of_thumb, verdict_of
from anchorcalc.verdict.words import GENERAL_CAUTIONS, help_lines, reasons

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from anchorcalc.catalog.rules import LoadCase, RuleSet
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.fitting.weights import Weights
    from anchorcalc.scenario.model import Scenario

_SLACK = 1e-9  # of the weight: a strap that pulls less is slack


class _Strengths:
    """Strength of the anchors along the directions they are pulled in, each worked out once."""

    def __init__(self, settings: Mapping[str, AnchorSetting], basis: Basis) -> None:
        self._settings, self._basis = settings, basis
        self._known: dict[tuple[str, bytes], AnchorStrength] = {}

    def along(self, anchor: str, direction: np.ndarray[tuple[int], np.dtype[np.float64]]) -> AnchorStrength:
        key = anchor, np.round(direction, 9).tobytes()
        if key not in self._known:
            self._known[key] = anchor_strength(self._settings[anchor], direction, self._basis)
        return self._known[key]


def check(scenario: Scenario, catalog: Catalog) -> Result:
    """Check every strap and anchor of `scenario` against its rule set."""
    rules = catalog.rule_set(scenario.rules)
    ledger, unrated = Ledger(unit_system(scenario)), list[str]()
    straps = strap_settings(scenario, catalog, rules, ledger, unrated)
    load = strapped_load(scenario, straps, catalog, ledger)
    settings = anchor_settings(scenario, catalog, ledger)
    unrated += _unrated_rings(settings, straps)
    strengths = _Strengths(settings, Basis(catalog, rules))
    demand = strap_pulls(load, rules.cases)
    cases = tuple(
        _case(number, case, demand, load, straps, strengths, rules) for number, case in enumerate(rules.cases)
    )
    own = {name: strengths.along(strap.anchor, load.directions[i]) for i, (name, strap) in enumerate(straps.items())}
    counted = _sharing_tie_points(straps)
    thumb = rule_of_thumb(load.weight, counted, _anchor_limits(straps, own, "working"), rules)
    breaking = {name: limit for name, (limit, _) in _anchor_limits(straps, own, "breaking").items()}
    if scenario.trailer is not None and len(scenario.deck.layers) > 1:
        ledger.assume("layers above the lowest", "not in the trailer's empty weight", "not said; counted as added")
    for what, taken in scenario.assumed.items():
        ledger.assume(what, taken, "not known when the file was written; put right what you have measured")
    counts = (
        *older_rule(load.weight, counted, breaking, rules, unit_system(scenario)),
        *requirements(scenario, rules, unit_system(scenario)),
        *_fits(scenario, catalog),
        *_without_friction(scenario, catalog),
    )
    verdict = worst(
        thumb.verdict, *(case.verdict for case in cases), *(count.verdict for count in counts),
        "marginal" if unrated else "pass",
    )  # fmt: skip
    result = Result(
        title=scenario.title,
        rules=rules.name,
        rules_title=rules.title,
        units=scenario.units,
        load=scenario.load.name,
        weight=load.weight,
        verdict=verdict,
        reasons=(),
        helps=(),
        cases=cases,
        anchors=_anchors(scenario, straps, load, demand, strengths),
        rule_of_thumb=thumb,
        requirements=counts,
        unrated=tuple(unrated),
        assumed=tuple(ledger.entries.values()),
        warnings=plausibility_warnings(scenario, catalog),
        cautions=(*GENERAL_CAUTIONS, *rules.cautions),
        rechecks=rules.rechecks,
        own_rows=tuple(f"{name} ({file})" for name, file in catalog.own_rows_used.items()),
    )
    return replace(result, reasons=reasons(result), helps=help_lines(result, scenario))


def _fits(scenario: Scenario, catalog: Catalog) -> Iterator[Requirement]:
    """Whether the anchors can be built where they are, and the trailer can carry the load: the fitting sheet's word."""
    sheet = fitting(scenario, catalog)
    blocked = [f"{p.anchor}: {p.conflicts[0].part} and {p.conflicts[0].obstacle}" for p in sheet.places if p.conflicts]
    yield Requirement(
        name="room for every anchor, above and below",
        required="nothing in the way",
        provided="; ".join(blocked) if blocked else "clear",
        verdict="fail" if blocked else "pass",
        source="the scenario's own places; `fit` tells distances and the nearest clear place",
    )
    close = [f"{each.name}: {d.what}" for each in sheet.mountings for d in each.distances if not d.kept]
    short = [
        f"{each.name}: bolt too short" for each in sheet.mountings for group in each.bolts if not group.long_enough
    ]
    yield Requirement(
        name="distances of holes, lengths of bolts",
        required="kept",
        provided="; ".join(dict.fromkeys([*short, *close])) if short or close else "kept",
        verdict="fail" if short else "marginal" if close else "pass",
        source="AISC 360 table J3.4 and NDS 12.5 in outline; `fit` tells each",
    )
    yield from _weights_carried(sheet.weights, scenario)


def _weights_carried(weights: Weights, scenario: Scenario) -> Iterator[Requirement]:
    """The trailer's own ratings, and what the load does to its hitch."""
    unit, plate = "lb" if scenario.units == "us" else "kg", "the trailer's plate; 49 CFR 571.3 [read]"
    if weights.payload is not None:
        payload = weights.payload
        yield Requirement(
            name="trailer's gross rating",
            required=f"no more than {format_quantity(payload.gross_rating, unit, 'weight')}",
            provided=f"{format_quantity(payload.total, unit, 'weight')} with this load and what is added",
            verdict="fail" if payload.left < 0 else "pass",
            source=plate,
        )
    if weights.axle is not None:
        yield Requirement(
            name="axle rating",
            required=f"no more than {format_quantity(weights.axle.rating, unit, 'weight')}",
            provided=f"{format_quantity(weights.axle.load, unit, 'weight')} at the most",
            verdict="fail" if weights.axle.left < 0 else "pass",
            source=plate,
        )
    if weights.balance is not None:
        least, most = weights.balance.hitch_load
        yield Requirement(
            name="load on the hitch",
            required="not lifted: a trailer light in front sways",
            provided=" to ".join(format_quantity(each, unit, "weight", 2) for each in (least, most)),
            verdict="fail" if most < 0 else "marginal" if least < 0 else "pass",
            source="statics; a share for the empty trailer's own hitch load [common practice, no source]",
        )


def _without_friction(scenario: Scenario, catalog: Catalog) -> Iterator[Requirement]:
    """A load that only friction holds cannot pass: wheels roll, decks get wet, and a bump lifts both off."""
    if scenario.load.friction > 0:
        bare = scenario.model_copy(update={"load": scenario.load.model_copy(update={"friction": 0.0})})
        verdict = check(bare, catalog).verdict
        yield Requirement(
            name="the same without counted friction",
            required="pass",
            provided=verdict,
            verdict="pass" if verdict == "pass" else "marginal",
            source="our judgement: friction of wheels on a deck has no published value",
        )


def compare(scenario: Scenario, catalog: Catalog) -> tuple[MountingComparison, ...]:
    """Each mounting of `scenario` tried on every anchor."""
    compared = []
    for name in scenario.mountings:
        anchors = {anchor: place.model_copy(update={"mounting": name}) for anchor, place in scenario.anchors.items()}
        result = check(scenario.model_copy(update={"anchors": anchors}), catalog)
        compared.append(
            MountingComparison(
                mounting=name,
                result=result,
                worst_anchor=min(result.anchors, key=lambda anchor: anchor.working),
                worst_case=max(result.cases, key=lambda case: case.utilisation),
            )
        )
    return tuple(compared)


def _case(
    number: int, case: LoadCase, demand: Demand, load: StrappedLoad,
    straps: Mapping[str, StrapSetting], strengths: _Strengths, rules: RuleSet,
) -> CaseResult:  # fmt: skip
    held = bool(demand.held[number])
    pulls = demand.pulls[number]
    states = tuple(
        _strap_state(strap, float(pulls[i]), _pull_on_ring(strap.anchor, pulls, load, straps),
                     _pull_on_tie_point(strap.tie_point, pulls, straps), load.directions[i],
                     strengths, case.level, load.weight)
        for i, strap in enumerate(straps.values())
    )  # fmt: skip
    utilisation = max(state.utilisation for state in states) if held else math.inf
    return CaseResult(
        case=case.case,
        level=case.level,
        acceleration=case.acceleration,
        source=case.source,
        held=held,
        straps=states,
        utilisation=utilisation,
        verdict=verdict_of(utilisation, rules) if held else "fail",
        turning_share=float(demand.turning_share[number]),
    )


Vector = np.ndarray[tuple[int], np.dtype[np.float64]]


def _pull_on_ring(anchor: str, pulls: Vector, load: StrappedLoad, straps: Mapping[str, StrapSetting]) -> Vector:
    """All straps on one ring, added as vectors [N], (3,)."""
    on_ring = np.array([strap.anchor == anchor for strap in straps.values()])
    return np.asarray((pulls[on_ring, None] * load.directions[on_ring]).sum(axis=0))


def _pull_on_tie_point(tie_point: str, pulls: Vector, straps: Mapping[str, StrapSetting]) -> float:
    """All straps on one tie point, their pulls added up whatever their directions: the safe side [N]."""
    return float(sum(pulls[i] for i, strap in enumerate(straps.values()) if strap.tie_point == tie_point))


def _strap_state(
    strap: StrapSetting, tension: float, on_ring: Vector, on_tie_point: float, own_direction: Vector,
    strengths: _Strengths, level: Level, weight: float,
) -> StrapState:  # fmt: skip
    """One strap against the least limit along it: strap, tie point, ring and every link under it."""
    total = float(np.linalg.norm(on_ring))
    slack = tension <= _SLACK * weight
    balanced = total <= _SLACK * weight  # straps that pull against each other leave nothing for the anchor
    direction = own_direction if slack or balanced else on_ring / total
    anchor = strengths.along(strap.anchor, direction)
    link = anchor.weakest(level)
    # Where several straps share a ring or a tie point its limit falls to each in proportion to its pull.
    tie_point_limit = strap.tie_point_breaking if level == "breaking" else strap.tie_point_rated
    anchor_limit = link.at(level) * (1.0 if slack else math.inf if balanced else tension / total)
    limits = [
        (strap.breaking if level == "breaking" else strap.rated, "strap"),
        (tie_point_limit * (1.0 if slack else tension / on_tie_point), "tie point"),
        (anchor_limit, link.name),
        # The ring has to hold each strap by itself, even where they pull against each other.
        *((each.at(level), each.name) for each in anchor.links if each.name == "ring"),
    ]
    limit, weakest = min(limits, key=lambda pair: pair[0])
    utilisation = 0.0 if slack else _ratio(tension, limit)
    return StrapState(strap.name, strap.anchor, tension, limit, utilisation, weakest)


def _ratio(demand: float, limit: float) -> float:
    return demand / limit if limit > 0 else math.inf


def _sharing_tie_points(straps: Mapping[str, StrapSetting]) -> dict[str, StrapSetting]:
    """The straps as the sums count them: those on one tie point share what it holds evenly."""
    on_point = Counter(strap.tie_point for strap in straps.values())
    return {
        name: replace(
            strap,
            tie_point_rated=strap.tie_point_rated / on_point[strap.tie_point],
            tie_point_breaking=strap.tie_point_breaking / on_point[strap.tie_point],
        )
        for name, strap in straps.items()
    }


def _anchor_limits(
    straps: Mapping[str, StrapSetting], own: Mapping[str, AnchorStrength], level: Level
) -> dict[str, tuple[float, str]]:
    """Limit of each strap's anchor along it, and its link; straps on one ring share it evenly."""
    on_ring = {name: sum(other.anchor == strap.anchor for other in straps.values()) for name, strap in straps.items()}
    weakest = {name: own[name].weakest(level) for name in straps}
    return {name: (link.at(level) / on_ring[name], link.name) for name, link in weakest.items()}


def _anchors(
    scenario: Scenario, straps: Mapping[str, StrapSetting], load: StrappedLoad, demand: Demand, strengths: _Strengths
) -> tuple[AnchorStrength, ...]:
    """Every anchor that has a strap, along its strap; with several, along their hardest pull together."""
    found = []
    for anchor in scenario.anchors:
        on_ring = [i for i, strap in enumerate(straps.values()) if strap.anchor == anchor]
        if not on_ring:
            continue
        direction = load.directions[on_ring[0]]
        if len(on_ring) > 1:
            together = [_pull_on_ring(anchor, pulls, load, straps) for pulls in demand.pulls]
            hardest = max(together, key=lambda pull: float(np.linalg.norm(pull)))
            size = float(np.linalg.norm(hardest))
            direction = hardest / size if size > 0 else load.directions[on_ring].mean(axis=0)
            direction = direction / np.linalg.norm(direction)
        found.append(strengths.along(anchor, direction))
    return tuple(found)


def _unrated_rings(settings: Mapping[str, AnchorSetting], straps: Mapping[str, StrapSetting]) -> list[str]:
    used = {strap.anchor for strap in straps.values()}
    return [
        f"ring of anchor {name}"
        for name, setting in settings.items()
        if name in used and setting.ring_rated is None and setting.ring_breaking is None
    ]
