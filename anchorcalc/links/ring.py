"""The ring itself, by its maker's word."""

from __future__ import annotations

from typing import TYPE_CHECKING

from anchorcalc.links.common import Strength, both_levels, length, number, per_newton, pressure

if TYPE_CHECKING:
    from anchorcalc.links.common import Question
    from anchorcalc.rig.parts import MountingSetting
    from anchorcalc.rig.rig import Basis

_STRIP_OVER_FOOT = 3.0


def ring(question: Question) -> Strength:
    """The ring by its maker's rating."""
    multiple = question.basis.rules.breaking_over_rated["hardware"]
    breaking, working = ring_holds(question.anchor.mounting, question.basis, question.pull.normal)
    source = f"the maker; breaking {multiple:g} times the rating where only that is given"
    if question.anchor.mounting.ring_flat is None:
        return Strength(breaking, working, "the maker's rating", "as rated", source)
    formula = "R R_flat / (R cos² α + R_flat sin² α)"
    return Strength(breaking, working, "the maker's two ratings", formula, source)


def ring_holds(mounting: MountingSetting, basis: Basis, up: float) -> tuple[float, float]:
    """Breaking and working limit of a ring, by its maker, for a pull of which a part `up` pulls it upward [N]."""
    rated, flat = mounting.ring_rated or 0.0, mounting.ring_flat
    breaking = mounting.ring_breaking
    if breaking is None:
        breaking = rated * basis.rules.breaking_over_rated["hardware"]
    if flat is None:
        return breaking, rated
    # Between the two ratings as wood does between along and across (Hankinson); judgement.
    slanted = rated * flat / (rated * (1 - up**2) + flat * up**2)
    return breaking * slanted / rated, slanted


def base_bends(question: Question) -> Strength:
    """The base bends for good between the ring's foot and its fasteners: beyond that it no longer shares the pull."""
    mounting, basis = question.anchor.mounting, question.basis
    t, F_y, moment = mounting.base_thickness, mounting.base_steel.F_y, question.pull.base_moment
    plastic = F_y * t**2 / 4
    return both_levels(
        question,
        per_newton(plastic, moment),
        per_newton(plastic / basis.factor("aisc_flexure"), moment),
        code="AISC 360 F11, Ω = 1.67",
        formula="f_y t² / 4 over the greatest moment at foot and fasteners, mean over them and one thickness each side",
        source="thin plate on springs and wood that only pushes; in balance with the pull: the safe side",
        figures=(
            length("t", t, "base"),
            pressure("f_y", F_y, f"yield strength of {mounting.base_steel.name}"),
            number("m", moment, "moment per width of the base per newton of pull"),
        ),
    )


def is_strip(question: Question) -> bool:
    """Whether the maker's rating of the ring does not speak of its base.

    The base of a ring as bought is part of what its maker rated: not one that reaches farther than three times the
    ring's foot, or than of a usual one where that is smaller, nor one that bears another ring, or this one beside its
    middle (judgement).
    """
    anchor, mounting = question.anchor, question.anchor.mounting
    if any(place != anchor.base_at for place in anchor.rings):
        return True
    usual = question.basis.factor("ring_foot")
    longest = max(side / max(foot, usual) for side, foot in zip(mounting.base, mounting.foot, strict=True))
    return longest > _STRIP_OVER_FOOT or not mounting.ring_is_rated
