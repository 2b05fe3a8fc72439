"""One link of an anchor on a screen: in plain words, then formula, figures, source."""

from __future__ import annotations

import math

from rich.console import Console
from rich.text import Text

from anchorcalc.render.figures import figure, force, units_of
from anchorcalc.render.screen.console import indented, print_list, printing, short, table
from anchorcalc.render.words import way
from anchorcalc.result import AnchorStrength, Link, Result
from anchorcalc.result.strength import LeastStrength
from anchorcalc.units import UnitSystem


def show_link(result: Result, anchor: AnchorStrength, link: Link, plain: tuple[str, str]) -> None:
    """Print what gives in `link` and what helps in `plain` words, its formula, figures and source, the other links."""
    with printing() as out:
        _link(out, result, anchor, link, plain)


def _link(out: Console, result: Result, anchor: AnchorStrength, link: Link, plain: tuple[str, str]) -> None:
    units = units_of(result)
    out.print(Text(f"{short(anchor.anchor)}, {short(anchor.mounting)}: {link.name}", style="bold"))
    angle = math.degrees(math.asin(max(min(anchor.direction[2], 1.0), -1.0)))
    out.print(indented(f"along its strap, {angle:.0f} degrees up from the deck"))
    state = result.state_of(anchor.anchor)
    asked = math.hypot(state.asked_up, state.asked_along)
    gives, helps = plain
    wanted = f"The strap asks for up to {force(asked, units)}. " if asked > 0 else ""
    out.print(indented(f"{gives} {wanted}This holds {force(link.working, units)} every day."))
    out.print(indented(f"What helps: {helps}"))
    facts = [
        f"lets go at {force(link.breaking, units)} (low estimate)",
        f"holds daily {force(link.working, units)} ({link.governed_by})",
        f"formula: {link.formula}",
        f"source: {link.source}",
    ]
    print_list(out, "In figures", [*facts, link.remark] if link.remark else facts)
    if link.figures:
        shown = table("figure", "#value", "what it is")
        for each in link.figures:
            shown.add_row(each.symbol, figure(each, units), each.what)
        out.print(shown)
    shown = table("all links of this anchor", "#holds daily", "#lets go at")
    for other in anchor.links:
        shown.add_row(other.name, force(other.working, units), force(other.breaking, units))
    out.print(shown)
    if anchor.least is not None:
        _by_itself(out, anchor.least, units)


def _by_itself(out: Console, least: LeastStrength, units: UnitSystem) -> None:
    """What the anchor is good for whatever strap hangs on it, beside what standards ask of a point."""
    print_list(
        out,
        "By itself, pulled any way from upright to 60 degrees from it",
        [
            f"holds daily at least {force(least.working.strength, units)}: {least.working.link.name}, "
            f"pulled {way(least.working.direction)}",
            f"lets go at no less than {force(least.breaking.strength, units)}: {least.breaking.link.name}, "
            f"pulled {way(least.breaking.direction)}",
        ],
    )
    shown = table("asked of one point, in every direction", "#daily", "reached")
    for each in least.yardsticks:
        shown.add_row(each.name, force(each.per_point, units), "yes" if each.met else "no")
    out.print(shown)
    out.print(indented("Standards test a point, and by more than this; a figure is no test. None decides the verdict."))
