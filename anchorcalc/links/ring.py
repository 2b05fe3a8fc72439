"""The ring itself, by its maker's word."""

from __future__ import annotations

from typing import TYPE_CHECKING

from anchorcalc.links.common import Strength

if TYPE_CHECKING:
    from anchorcalc.links.common import Question


def ring(question: Question) -> Strength:
    """The ring by its maker's rating."""
    mounting = question.anchor.mounting
    multiple = question.basis.rules.breaking_over_rated["hardware"]
    rated = mounting.ring_rated or 0.0
    breaking = mounting.ring_breaking if mounting.ring_breaking is not None else rated * multiple
    source = f"the maker; breaking {multiple:g} times the rating where only that is given"
    return Strength(breaking, rated, "the maker's rating", "as rated", source)
