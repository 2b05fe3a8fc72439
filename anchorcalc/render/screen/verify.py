"""The published checks on the screen: a table a source, then the counts."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from rich.text import Text

from anchorcalc.proof.published import Outcome, counted
from anchorcalc.render.screen.console import print_head, printing, table


def show_outcomes(outcomes: Sequence[Outcome]) -> None:
    """Print every check under its source; what is off is marked, and named again at the end."""
    with printing() as out:
        for source, found in groupby(outcomes, lambda each: each.check.source):
            print_head(out, f"{source.document} ({source.publisher})")
            shown = table("check", "#published", "#computed", "#off by", "#allowed")
            for each in found:
                shown.add_row(_words(each), *_figures(each))
            out.print(shown)
        print_head(out, _summary(outcomes))
        for each in _off(outcomes):
            out.print(Text(f"off: {each.check.name} ({each.check.source.document})", style="bold red"))


def _words(found: Outcome) -> Text:
    """What is checked, by which function, where it stands, how it is known, and why so much is allowed."""
    check = found.check
    words = Text(check.name, style="" if found.holds else "bold red")
    return words.append(f"\n{check.function}; {check.clause} [{check.tag}]; allowed: {check.why}", style="dim")


def _figures(found: Outcome) -> tuple[str, str, str, str]:
    return (
        f"{found.check.published}",
        f"{found.computed:.5g} {found.unit}".rstrip(),
        f"{100 * found.difference:+.3f} %",
        f"{100 * found.check.tolerance:g} %",
    )


def _summary(outcomes: Sequence[Outcome]) -> str:
    counts = counted(each.check for each in outcomes)
    published = [each.check for each in outcomes if each.check.counts]
    sources = len({check.source for check in published})
    return (
        f"{len(outcomes)} checks, {len(_off(outcomes))} off. Published values: {counts['read']} read and"
        f" {counts['from memory']} from memory, from {sources} sources, each mode of a function counted once;"
        f" {counts['computed']} more computed by hand from a source's formula."
    )


def _off(outcomes: Sequence[Outcome]) -> list[Outcome]:
    return [each for each in outcomes if not each.holds]
