"""One link of an anchor on a screen: formula, figures, source."""

from __future__ import annotations

import math

from rich.console import Console
from rich.text import Text

from anchorcalc.render.figures import figure, force, units_of
from anchorcalc.render.screen.console import indented, print_list, printing, short, table
from anchorcalc.result import AnchorStrength, Link, Result
from anchorcalc.units import UnitSystem


def show_link(result: Result, anchor: AnchorStrength, link: Link) -> None:
    """Print one link's formula, figures and source, and the anchor's other links."""
    with printing() as out:
        _link(out, anchor, link, units_of(result))


def _link(out: Console, anchor: AnchorStrength, link: Link, units: UnitSystem) -> None:
    out.print(Text(f"{short(anchor.anchor)}, {short(anchor.mounting)}: {link.name}", style="bold"))
    angle = math.degrees(math.asin(max(min(anchor.direction[2], 1.0), -1.0)))
    out.print(indented(f"along its strap, {angle:.0f} degrees up from the deck"))
    facts = [
        f"lets go at {force(link.breaking, units)} (low estimate)",
        f"holds daily {force(link.working, units)} ({link.governed_by})",
        f"formula: {link.formula}",
        f"source: {link.source}",
    ]
    print_list(out, "This link", [*facts, link.remark] if link.remark else facts)
    if link.figures:
        shown = table("figure", "#value", "what it is")
        for each in link.figures:
            shown.add_row(each.symbol, figure(each, units), each.what)
        out.print(shown)
    shown = table("all links of this anchor", "#holds daily", "#lets go at")
    for other in anchor.links:
        shown.add_row(other.name, force(other.working, units), force(other.breaking, units))
    out.print(shown)
