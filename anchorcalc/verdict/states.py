"""The result read anchor by anchor: the hardest case of each, its verdict, and why it is no better."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from anchorcalc.result import CaseResult, Result, StrapState, Verdict, worst
from anchorcalc.verdict.rules import verdict_of
from anchorcalc.verdict.words import CASE_WORDS

if TYPE_CHECKING:
    from collections.abc import Collection

    from anchorcalc.catalog.rules import RuleSet
    from anchorcalc.scenario.model import Scenario


@dataclass(frozen=True)
class AnchorState:
    """One anchor over all cases; `verdict` is None where no strap hangs on it."""

    anchor: str
    verdict: Verdict | None
    case: CaseResult | None  # the hardest held case
    strap: StrapState | None  # the strap that decides there
    why: str

    @property
    def utilisation(self) -> float:
        """Demand over limit in the hardest case; infinite where a case is not held."""
        return self.strap.utilisation if self.strap is not None else math.inf


def anchor_states(
    scenario: Scenario, result: Result, rules: RuleSet, blocked: Collection[str] = ()
) -> dict[str, AnchorState]:
    """State of every anchor of `scenario`; an anchor passes only where all its straps do in every case.

    One that something is in the way of, `blocked`, cannot be built as it was reckoned and fails.
    """
    states = {name: _state(name, scenario, result, rules) for name in scenario.anchors}
    return {name: _blocked(state) if name in blocked else state for name, state in states.items()}


def _blocked(state: AnchorState) -> AnchorState:
    if state.verdict is None:
        return replace(state, why="no strap hangs on it, and something is in its way")
    also = f"; {state.why}" if state.verdict != "pass" else ""
    return replace(state, verdict="fail", why=f"something is in its way{also}")


def _state(anchor: str, scenario: Scenario, result: Result, rules: RuleSet) -> AnchorState:
    straps = [name for name, strap in scenario.straps.items() if strap.anchor == anchor]
    if not straps:
        return AnchorState(anchor, None, None, None, "no strap hangs on it")
    held = [case for case in result.cases if case.held]
    seen = [(case, state) for case in held for state in case.straps if state.anchor == anchor]
    case, state = max(seen, key=lambda pair: pair[1].utilisation, default=(None, None))
    verdict = verdict_of(state.utilisation, rules) if state is not None else "fail"
    why = "" if case is None or state is None else f"{CASE_WORDS[case.case]}: {state.weakest_link}"
    unrated = _unrated(anchor, straps, scenario, result)
    if unrated:
        verdict = worst(verdict, "marginal")
        why = f"nobody rated: {', '.join(unrated)}"
    not_held = list(dict.fromkeys(CASE_WORDS[case.case] for case in result.cases if not case.held))
    if not_held:
        verdict, why = "fail", f"the load is not held in {', '.join(not_held)}"
    return AnchorState(anchor, verdict, case, state, why)


def _unrated(anchor: str, straps: list[str], scenario: Scenario, result: Result) -> list[str]:
    """Parts along the anchor's straps that nobody rated, as the result names them."""
    along = {f"ring of anchor {anchor}", *(f"strap {name}" for name in straps)}
    along |= {f"tie point {scenario.straps[name].to}" for name in straps}
    return [part for part in result.unrated if part in along]
