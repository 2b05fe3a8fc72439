"""Mountings side by side on a screen."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console
from rich.text import Text

from anchorcalc.render.figures import force_number, hardware_weight, percent, units_of
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
    shown = table("mounting", "verdict", "#daily", "#at most", "#used", "#thumb", "#weighs", "weakest link")
    for each in sorted(compared, key=lambda each: -each.worst_anchor.working):
        name = f"{short(each.mounting, 24)}{' (tried)' if each.tried else ''}"
        figures = (
            force_number(each.worst_anchor.working, units),
            force_number(each.worst_anchor.breaking, units),
            percent(each.worst_case.utilisation),
            percent(each.result.rule_of_thumb.provided / each.result.rule_of_thumb.required),
            hardware_weight(each.weight, units),
        )
        weakest = each.worst_anchor.weakest("working").name
        shown.add_row(name, verdict_word(each.result.verdict), *figures, weakest)
    out.print(shown)
    said = (
        f"Strengths in {units.force}, of the worst anchor along its own strap. used: of the limit in the hardest case; "
        "thumb: counted ratings, of what the rule of thumb asks for, too few below 100 %; weighs: all hardware without "
        "the rings."
    )
    out.print(indented(said))
    if any(each.tried for each in compared):
        out.print(indented("tried: common stock that goes with the ring, not described in the file."))
    link = best.worst_anchor.weakest("working")
    out.print(indented(f"'{short(best.mounting)}' holds most here. Its limit: {link.name}."))
    if best.result.verdict != "pass":
        print_list(out, "What would help beyond that", best.result.helps)
    print_list(out, "Cautions", best.result.cautions[:2])
