"""The answer of `size` on a screen."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from anchorcalc.render.figures import force
from anchorcalc.render.size_data import bolts, describe
from anchorcalc.render.terminal import printing
from anchorcalc.units import SI, US, UnitSystem, format_quantity

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rich.console import Console

    from anchorcalc.sizing import SizeAnswer
    from anchorcalc.stock_search import Choice

_STYLE = {"pass": "bold green", "marginal": "bold yellow", "fail": "bold red"}


def show_size(answer: SizeAnswer) -> None:
    """Print the answer: the smallest choice first, then the others and what governs them."""
    units = US if answer.units == "us" else SI
    with printing() as out:
        _show(out, answer, units)


def _show(out: Console, answer: SizeAnswer, units: UnitSystem) -> None:
    head = Text(answer.verdict.upper(), style=_STYLE[answer.verdict])
    out.print(head, Text(f" Backing for anchor {answer.anchor}, as {answer.mounting}", style="bold"))
    wanted = f"wanted: {force(answer.wanted.working, units)} daily"
    if answer.wanted.breaking > 0:
        wanted += f" and {force(answer.wanted.breaking, units)} at breaking"
    angle = math.degrees(math.asin(max(min(float(answer.direction[2]), 1.0), -1.0)))
    _line(out, f"{wanted} ({answer.wanted.why}), pulled {angle:.0f} degrees up from the deck")
    _line(out, f"searched: {answer.searched:,} choices, of which {answer.fitting:,} fit here")
    if answer.choices:
        out.print()
        out.print(Text(_table_head(answer), style="bold"))
        out.print(_table(answer.choices, units))
        if any(choice.computed for choice in answer.choices):
            _line(out, "* computed as thin plates besides the closed rules; the lower of the two counts")
    out.print()
    for sentence in answer.sentences:
        _line(out, sentence)
    for caution in answer.cautions[:2]:
        _line(out, caution)


def _table_head(answer: SizeAnswer) -> str:
    if answer.enough:
        return "Smallest first; each heavier one holds more or takes less metal"
    return "The strongest there are; none is enough"


def _table(choices: Sequence[Choice], units: UnitSystem) -> Table:
    table = Table(box=None, padding=(0, 1), header_style="underline")
    for head in ("backing", "bolts", "weight", "holds daily", "lets go at", "weakest link"):
        right = head in ("weight", "holds daily", "lets go at")
        table.add_column(head, justify="right" if right else "left", no_wrap=right, overflow="fold")
    for choice in choices:
        table.add_row(
            describe(choice.backing, units) + (" *" if choice.computed else ""), bolts(choice),
            format_quantity(choice.weight, "lb" if units is US else "kg", "weight", 2),
            force(choice.strength.working, units), force(choice.strength.breaking, units), choice.governing.name,
        )  # fmt: skip
    return table


def _line(out: Console, text: str) -> None:
    out.print(Padding(Text(text, overflow="fold"), (0, 0, 0, 2)))
