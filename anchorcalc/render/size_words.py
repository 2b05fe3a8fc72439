"""Backings and bolts in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from anchorcalc.units import length

if TYPE_CHECKING:
    from anchorcalc.result.size import BackingChoice, SizeChoice, WasherChoice
    from anchorcalc.units import UnitSystem


def bolts(choice: SizeChoice) -> str:
    """Bolts of a choice."""
    return f"{choice.bolts.number} × {choice.bolts.size} {choice.bolts.grade}"


def describe(backing: BackingChoice, units: UnitSystem) -> str:
    """A backing."""
    if backing.size is not None:
        one, other = (length(side, units) for side in backing.size)
        return f"plate {one} × {other} × {length(backing.thickness or 0.0, units)} {backing.steel}"
    if backing.width is not None:
        size = f"{length(backing.width, units)} × {length(backing.thickness or 0.0, units)} {backing.steel}"
        return f"{'two bridge bars' if backing.bars == 2 else 'bridge bar'} {size}"
    washers = f"washers {_washer(backing.washer, units)}" if backing.washer is not None else ""
    if backing.kind == "washers":
        return washers
    row = "all bolts" if backing.through == "all" else f"{backing.through} bolts"
    walls = ", both walls" if backing.walls == 2 else ""
    return f"through the cross-member, {row}{walls}" + (f", {washers}" if washers else "")


def _washer(washer: WasherChoice, units: UnitSystem) -> str:
    return f"{length(washer.outside, units)} × {length(washer.thickness, units)} at least"
