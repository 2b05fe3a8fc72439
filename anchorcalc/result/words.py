"""What cases and requirements are called in sentences and in narrow tables."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from anchorcalc.result.check import CaseResult, Requirement

CASE_WORDS = {
    "forward": "braking",
    "rearward": "pulling away",
    "left": "a swerve to the right",
    "right": "a swerve to the left",
    "upward": "a bump",
}
CASE_SHORT = {
    "forward": "braking",
    "rearward": "pulling away",
    "left": "swerve right",
    "right": "swerve left",
    "upward": "bump",
}

WHEELS_HELP = (
    "another of deck.layers, sheets that meet on a cross-member there and not beside it, or boards from member to "
    "member under the tyres (no key of the file counts them)"
)


def what_cases_are(cases: Iterable[CaseResult]) -> tuple[str, ...]:
    """What stands behind the name of a case where that is not plain, as the rule set's row has it; each once."""
    return tuple(dict.fromkeys(said for case in cases if (said := _what_it_is(case))))


def _what_it_is(case: CaseResult) -> str:
    name = CASE_SHORT[case.case]
    if case.case == "upward":
        share = f"{100 * case.acceleration[2]:g} % of its weight"
        own = "its own weight counted against that" if case.gravity else "its own weight not counted"
        return f"{name}: held down against {share}, {own}."
    return "" if case.gravity else f"{name}: the load's own weight not counted."


def not_met(requirement: Requirement) -> str:
    """What is asked beside the forces, and what was found instead, in a sentence."""
    return f"Not met: {requirement.name}; wanted: {requirement.required}; found: {requirement.provided}."
