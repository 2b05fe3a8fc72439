"""What the deck plan shows, gathered from scenario, result and tables."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from anchorcalc.fitting.clearance import Place, places
from anchorcalc.rig.settings import Ledger, anchor_settings, member_centrelines, unit_system
from anchorcalc.verdict.states import AnchorState, anchor_states

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from anchorcalc.catalog.rules import RuleSet
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.result import Result
    from anchorcalc.scenario.model import Scenario


@dataclass(frozen=True)
class DeckPlan:
    """All that the plan shows."""

    scenario: Scenario
    result: Result
    rules: RuleSet
    states: Mapping[str, AnchorState]
    places: Sequence[Place]
    member_lines: Sequence[float]  # x of the cross-members' centrelines [m]
    member_width: float  # of the face the deck lies on [m]


def deck_plan(scenario: Scenario, result: Result, catalog: Catalog, known: Sequence[Place] | None = None) -> DeckPlan:
    """Plan of `scenario`; `known` are the places of its anchors where they have been worked out before."""
    rules = catalog.rule_set(scenario.rules)
    if known is None:
        known = places(scenario, catalog, anchor_settings(scenario, catalog, Ledger(unit_system(scenario))))
    return DeckPlan(
        scenario=scenario,
        result=result,
        rules=rules,
        states=anchor_states(scenario, result, rules, [place.anchor for place in known if place.conflicts]),
        places=known,
        member_lines=member_centrelines(scenario),
        member_width=catalog.member(scenario.deck.cross_members.section).width,
    )
