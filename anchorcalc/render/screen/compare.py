"""Mountings side by side on a screen."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console
from rich.text import Text

from anchorcalc.render.figures import force, percent, units_of
from anchorcalc.render.screen.console import indented, print_list, printing, short, table, verdict_word
from anchorcalc.result import MountingComparison
from anchorcalc.units import UnitSystem


def show_compare(compared: Sequence[MountingComparison]) -> None:
    """Print the mountings side by side, the one that holds most first."""
    with printing() as out:
        _compare(out, compared, units_of(compared[0].result))


def _compare(out: Console, compared: Sequence[MountingComparison], units: UnitSystem) -> None:
    best = max(compared, key=lambda each: each.worst_anchor.working)
    out.print(Text(f"Each mounting on every anchor: {compared[0].result.title}", style="bold"))
    shown = table("mounting", "verdict", "#holds daily", "#lets go at", "#hardest case", "weakest link")
    for each in sorted(compared, key=lambda each: -each.worst_anchor.working):
        shown.add_row(
            short(each.mounting), verdict_word(each.result.verdict), force(each.worst_anchor.working, units),
            force(each.worst_anchor.breaking, units), percent(each.worst_case.utilisation),
            each.worst_anchor.weakest("working").name,
        )  # fmt: skip
    out.print(shown)
    out.print(
        indented(
            "Strengths are those of the worst anchor along its own strap; the hardest case is in per cent of its limit."
        )
    )
    link = best.worst_anchor.weakest("working")
    out.print(indented(f"'{short(best.mounting)}' holds most here. Its limit: {link.name}."))
    if best.result.verdict != "pass":
        print_list(out, "What would help beyond that", best.result.helps)
    print_list(out, "Cautions", best.result.cautions[:2])
