"""The fitting sheet on a screen: what is in the way first, then each mounting, shopping and weights."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec.structs import replace
from rich.console import Console
from rich.table import Table
from rich.text import Text

from anchorcalc.render import fitting_words
from anchorcalc.render.figures import units_of
from anchorcalc.render.screen.console import (
    indented,
    print_head,
    print_list,
    printing,
    short,
    table,
    to_type,
    verdict_word,
)
from anchorcalc.render.words import condition, listed, looks_odd
from anchorcalc.result import Result
from anchorcalc.result.fitting import AnchorPlace, BoltGroup, Item, MountingSheet, Weights
from anchorcalc.units import UnitSystem, length

_LONGEST_OBSTACLE = 60


def show_fitting(result: Result, file: str = "FILE") -> None:
    """Print the fitting sheet of `result`; what has to change first stands before all that is bought."""
    sheet, strength, units = result.sheet, result.verdict, units_of(result)
    with printing() as out:
        _headline(out, result)
        for line in looks_odd(result.odd):
            out.print(indented(line))
        if strength != "pass":
            _first_changes(out, result, to_type(file))
        _show_places(out, sheet.places, units)
        print_list(out, "The strengths rest on", sheet.counts_on)
        for mounting in sheet.mountings:
            _show_mounting(out, mounting, units)
        _show_shopping(out, sheet.shopping, units)
        _show_weights(out, sheet.weights, units)
        print_list(out, "Measuring", [*sheet.measuring, *fitting_words.taper(sheet, units)])
        print_list(out, "Straps", list(map(condition, result.conditions)) if strength == "pass" else [])
        print_list(out, "Look into", sheet.warnings)
        print_list(
            out, "Assumed, since not given", [f"{short(a.what, 80)}: {a.value} ({a.why})" for a in sheet.assumed]
        )
        print_list(out, "Cautions", sheet.cautions)


def _headline(out: Console, result: Result) -> None:
    """Ready to be fitted only if it holds as well: what fits is not yet safe."""
    sheet, strength = result.sheet, result.verdict
    ready = sheet.ready and strength == "pass"
    word, style = ("READY", "bold green") if ready else ("NOT YET", "bold red")
    if result.only_crowded:
        out.print(Text.assemble((fitting_words.NOT_AS_WRITTEN, style), ": see In the way; nothing else fails"))
        out.print(Text(f"  Fitting sheet: {short(sheet.title, 200)}", style="bold"))
        return
    if strength == "fail":
        word = fitting_words.NOT_STRONG_ENOUGH
    see = "" if strength == "pass" else ", see check"
    room = "in order" if sheet.ready else "NOT in order"
    out.print(
        Text.assemble((word, style), "  strength and rules: ", verdict_word(strength), f"{see}; room and parts: {room}")
    )
    out.print(Text(f"  Fitting sheet: {short(sheet.title, 200)}", style="bold"))


def _first_changes(out: Console, result: Result, file: str) -> None:
    """Why it may not be built like this, and what would change that."""
    print_list(out, "Before anything is bought or drilled", [*result.reasons[:3], *result.helps])
    out.print(indented(f"What would make it pass, with sizes: anchorcalc improve {file}"))


def _show_places(out: Console, places: Sequence[AnchorPlace], units: UnitSystem) -> None:
    shown = table("anchor", "#from the rear", "from the middle", "check at the side", "room")
    for place in places:
        left = place.at[1] >= 0
        side = place.to_left_edge if left else place.to_right_edge
        state = fitting_words.room(place)
        shown.add_row(
            short(place.anchor), length(place.at[0], units), fitting_words.across(place.at[1], units),
            f"{length(side, units)}, {'left' if left else 'right'} side", state,
        )  # fmt: skip
    print_head(out, "Where the anchors go")
    out.print(shown)
    print_list(out, "In the way", [line for place in places for line in _conflict_lines(place, units)])
    clear = [place for place in places if not place.conflicts]
    print_list(out, "Tightest", [f"{short(place.anchor)}: {_tightest(place, units)}" for place in clear])


def _conflict_lines(place: AnchorPlace, units: UnitSystem) -> Iterator[str]:
    for conflict in place.conflicts:
        readable = replace(conflict, obstacle=short(conflict.obstacle, _LONGEST_OBSTACLE))
        yield f"{short(place.anchor)}: {fitting_words.conflict(readable, units)}"
    if place.conflicts:
        yield f"{short(place.anchor)}: nearest clear place: {fitting_words.clear_place(place, units)}"


def _tightest(place: AnchorPlace, units: UnitSystem) -> str:
    obstacle = short(place.tightest.obstacle, _LONGEST_OBSTACLE)
    return fitting_words.tightest(replace(place, tightest=replace(place.tightest, obstacle=obstacle)), units)


def _show_mounting(out: Console, sheet: MountingSheet, units: UnitSystem) -> None:
    print_head(out, f"{short(sheet.name)} - at {listed([short(name) for name in sheet.anchors])}")
    facts = Table.grid(padding=(0, 2))
    facts.add_column(no_wrap=True)
    facts.add_column(overflow="fold")
    for label, text in fitting_words.mounting_facts(sheet, units):
        facts.add_row(f"  {label}", Text(text, overflow="fold"))
    out.print(facts)
    for group in sheet.bolts:
        _show_tightening(out, group, units)
    print_list(out, "Order of work", sheet.work, numbered=True)


def _show_tightening(out: Console, group: BoltGroup, units: UnitSystem) -> None:
    print_head(out, f"Tightening, {group.where}")
    if group.tightening.settings:
        shown = table("thread", "#K", "#never above", "#set the wrench to")
        for setting in group.tightening.settings:
            never = fitting_words.torque(setting.at_limit, units)
            shown.add_row(setting.state, f"{setting.K:.2f}", never, fitting_words.wrench(setting, units))
        out.print(shown)
    out.print(indented(fitting_words.tension(group.tightening, units)))


def _show_shopping(out: Console, shopping: Sequence[tuple[Item, int]], units: UnitSystem) -> None:
    shown = table("#count", "what", "size", "material")
    for item, count in shopping:
        sides = " × ".join(length(side, units) for side in item.dimensions)
        size = " × ".join(part for part in (short(item.size), sides) if part)
        shown.add_row(str(count), item.kind, size, item.material)
    print_head(out, "To buy, for all anchors")
    out.print(shown)
    out.print(indented("For the anchors alone: layers of the deck, its own screws and straps are not on this list."))


def _show_weights(out: Console, weights: Weights, units: UnitSystem) -> None:
    shown = table("weight", "#value", "how")
    for row in fitting_words.weight_rows(weights, units):
        shown.add_row(*row)
    print_head(out, "Weights")
    out.print(shown)
    print_list(out, "On axle and hitch", list(fitting_words.balance_lines(weights, units)))
