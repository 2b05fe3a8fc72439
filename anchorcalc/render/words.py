"""Sentences that more than one renderer makes of a result."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from anchorcalc.reading.faults import shortened

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from anchorcalc.result import Condition

_COMPASS = (
    "ahead", "ahead and left", "left", "behind and left", "behind", "behind and right", "right", "ahead and right",
)  # fmt: skip
_LONGEST_ODD = 150
_HEADS = {"pass": "Passes", "marginal": "Marginal, no longer a fail,", "fail": "Still fails"}


def listed(names: Sequence[str]) -> str:
    """Names one after the other, told apart by more than a comma where one of them has a comma in it."""
    return ("; " if any("," in name for name in names) else ", ").join(names)


def condition(found: Condition) -> str:
    """A condition as a sentence; one that is told in whole sentences stays as it is."""
    if not found.taken:
        return found.passes_if
    return f"{_HEADS[found.verdict_then]} if {found.passes_if} (taken: {found.taken})."


def looks_odd(odd: Sequence[str]) -> Iterator[str]:
    """How much looks odd, and the first of it: what looks like a slip may carry the verdict."""
    if odd:
        head = "1 thing looks odd" if len(odd) == 1 else f"{len(odd)} things look odd, the first"
        yield f"{head}: {shortened(odd[0], _LONGEST_ODD)}"


def way(direction: tuple[float, float, float]) -> str:
    """A direction in words: which way along the deck, how far from upright."""
    x, y, z = direction
    angle = math.degrees(math.acos(max(min(z, 1.0), -1.0)))
    if angle < 3:
        return "straight up"
    return f"{_COMPASS[round(math.degrees(math.atan2(y, x)) / 45) % 8]}, {angle:.0f} degrees from upright"
