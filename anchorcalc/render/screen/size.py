"""The answer of `size` on a screen."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from rich.text import Text

from anchorcalc.render.figures import force, units_of
from anchorcalc.render.screen.console import indented, print_head, printing, table, verdict_word
from anchorcalc.render.size_words import bolts, describe
from anchorcalc.units import US, UnitSystem, format_quantity

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rich.console import Console
    from rich.table import Table

    from anchorcalc.result.size import SizeAnswer, SizeChoice


def show_size(answer: SizeAnswer) -> None:
    """Print the answer: the smallest choice first, then the others and what governs them."""
    with printing() as out:
        _show(out, answer, units_of(answer))


def _show(out: Console, answer: SizeAnswer, units: UnitSystem) -> None:
    out.print(
        verdict_word(answer.verdict), Text(f" Backing for anchor {answer.anchor}, as '{answer.mounting}'", style="bold")
    )
    wanted = f"wanted: {force(answer.wanted.working, units)} daily"
    if answer.wanted.breaking > 0:
        wanted += f" and {force(answer.wanted.breaking, units)} at breaking"
    angle = math.degrees(math.asin(max(min(float(answer.direction[2]), 1.0), -1.0)))
    out.print(indented(f"{wanted} ({answer.wanted.why}), pulled {angle:.0f} degrees up from the deck"))
    out.print(indented(f"searched: {answer.searched:,} choices, of which {answer.fitting:,} fit here"))
    if answer.choices:
        print_head(out, _table_head(answer))
        out.print(_table(answer.choices, units))
    out.print()
    for sentence in answer.sentences:
        out.print(indented(sentence))
    for caution in answer.cautions[:2]:
        out.print(indented(caution))


def _table_head(answer: SizeAnswer) -> str:
    if answer.enough:
        return "Smallest first; each heavier one holds more or takes less metal"
    return "The strongest there are; none is enough"


def _table(choices: Sequence[SizeChoice], units: UnitSystem) -> Table:
    shown = table("backing", "bolts", "#weight", "#holds daily", "#lets go at", "weakest link")
    for choice in choices:
        shown.add_row(
            describe(choice.backing, units), bolts(choice),
            format_quantity(choice.weight, "lb" if units is US else "kg", "weight", 2),
            force(choice.strength.working, units), force(choice.strength.breaking, units), choice.governing.name,
        )  # fmt: skip
    return shown
