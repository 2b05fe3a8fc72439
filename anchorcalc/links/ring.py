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
    if mounting.ring_flat is None:
        return Strength(breaking, rated, "the maker's rating", "as rated", source)
    # Between the two ratings as wood does between along and across (Hankinson); judgement.
    up, flat = question.pull.normal**2, question.pull.in_plane**2
    slanted = rated * mounting.ring_flat / (rated * flat + mounting.ring_flat * up)
    formula = "R R_flat / (R cos² α + R_flat sin² α)"
    return Strength(breaking * slanted / rated, slanted, "the maker's two ratings", formula, source)
