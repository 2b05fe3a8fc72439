"""Sentences that more than one renderer makes of a result."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from anchorcalc.result import Condition

_HEADS = {"pass": "Passes", "marginal": "Marginal, no longer a fail,", "fail": "Still fails"}


def condition(found: Condition) -> str:
    """A condition as a sentence; one that is told in whole sentences stays as it is."""
    if not found.taken:
        return found.passes_if
    return f"{_HEADS[found.verdict_then]} if {found.passes_if} (taken: {found.taken})."
