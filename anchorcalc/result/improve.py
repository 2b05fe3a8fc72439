"""What `improve` found: changes a person could make, best first, and the fewest that together pass. SI [N]."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from anchorcalc.result.check import Condition
from anchorcalc.result.strength import Verdict

Effort = Literal["minutes with a wrench", "an afternoon", "new steel"]


class TriedChange(Struct, frozen=True):
    """One change by itself, and what the scenario comes to with it."""

    what: str
    was: str
    to: str
    verdict: Verdict
    worst_utilisation: float  # of the hardest case; infinite where one is not held
    added_weight: float  # [N]
    effort: Effort
    weakest: str  # what gives first then
    buy: str  # what it takes, for all anchors it is made at


class Together(Struct, frozen=True):
    """Several changes at once."""

    verdict: Verdict
    worst_utilisation: float
    added_weight: float


class Improvement(Struct, frozen=True):
    """Everything `improve` shows."""

    title: str
    units: Literal["us", "si"]
    verdict: Verdict  # as it is
    worst_utilisation: float
    changes: tuple[TriedChange, ...]
    shortest: tuple[int, ...]  # numbers of the changes that pass together, from nil; empty where none was found
    together: Together | None  # what these come to
    sets_tried: int
    sets_left: int  # that the search had no time for, among those no longer than what it found
    untried: tuple[str, ...]  # changes left out: something less passes, or less of the same gains nothing
    beyond: tuple[str, ...]  # what else may help that no change is tried for, in sentences
    nearest: tuple[int, ...]  # numbers of the changes that come nearest together, where nothing passes
    nearest_utilisation: float | None  # what is then used of the limits
    conditions: tuple[Condition, ...]  # on which these would pass, or the shortest set does
    governs: str  # what still stands in their way
