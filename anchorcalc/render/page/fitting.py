"""The fitting sheet as sections of the report."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from anchorcalc.render import fitting_words
from anchorcalc.render.page.table import Cell, Table, table
from anchorcalc.render.words import listed
from anchorcalc.units import length

if TYPE_CHECKING:
    from collections.abc import Sequence

    from anchorcalc.render.names import Names
    from anchorcalc.result.fitting import AnchorPlace, BoltGroup, FittingSheet, Item, MountingSheet
    from anchorcalc.units import UnitSystem


def sections(sheet: FittingSheet, names: Names, units: UnitSystem) -> dict[str, Any]:
    """Words and tables of the fitting sheet."""
    return {
        "ready": sheet.ready,
        "places": _places(sheet.places, names, units),
        "in_the_way": [line for place in sheet.places for line in _in_the_way(place, names, units)],
        "mountings": [_mounting(mounting, names, units) for mounting in sheet.mountings],
        "shopping": _shopping(sheet.shopping, names, units),
        "weights": _weights(sheet, units),
        "balance": list(fitting_words.balance_lines(sheet.weights, units)),
        "counts_on": list(sheet.counts_on),
        "measuring": [*sheet.measuring, *fitting_words.taper(sheet, units)],
        "warnings": [names.within(line) for line in sheet.warnings],
        "cautions": list(sheet.cautions),
    }


def _places(places: Sequence[AnchorPlace], names: Names, units: UnitSystem) -> Table:
    rows = []
    for place in places:
        left = place.at[1] >= 0
        side = place.to_left_edge if left else place.to_right_edge
        rows.append([
            Cell(names.short(place.anchor), strong=True), Cell(names.short(place.mounting)),
            Cell(length(place.at[0], units)), Cell(fitting_words.across(place.at[1], units)),
            Cell(f"{length(side, units)} to the {'left' if left else 'right'}"),
            Cell(
                fitting_words.room(place), "fail" if place.conflicts else "marginal" if place.tight else None,
                quiet_word=True,
            ),
            Cell(names.within(fitting_words.tightest(place, units)) if not place.conflicts else ""),
        ])  # fmt: skip
    heads = ("anchor", "mounting", "#from the rear", "#from the middle", "#check at the side", "state", "tightest")
    return table(heads, rows)


def _in_the_way(place: AnchorPlace, names: Names, units: UnitSystem) -> list[str]:
    if not place.conflicts:
        return []
    name = names.short(place.anchor)
    found = [f"{name}: {names.within(fitting_words.conflict(each, units))}" for each in place.conflicts]
    return [*found, f"{name}: nearest clear place: {fitting_words.clear_place(place, units)}"]


def _mounting(sheet: MountingSheet, names: Names, units: UnitSystem) -> dict[str, Any]:
    return {
        "head": f"{names.short(sheet.name)} - at {listed([names.short(name) for name in sheet.anchors])}",
        "facts": [(word, names.within(text)) for word, text in fitting_words.mounting_facts(sheet, units)],
        "tightening": [_tightening(group, units) for group in sheet.bolts],
        "work": list(sheet.work),
    }


def _tightening(group: BoltGroup, units: UnitSystem) -> dict[str, Any]:
    rows = [
        [
            Cell(setting.state, strong=True), Cell(f"{setting.K:.2f}"),
            Cell(fitting_words.torque(setting.at_limit, units)), Cell(fitting_words.wrench(setting, units)),
        ]
        for setting in group.tightening.settings
    ]  # fmt: skip
    return {
        "where": group.where,
        "why": fitting_words.tension(group.tightening, units),
        "table": table(("thread", "#K", "#never above", "#set the wrench to"), rows),
    }


def _shopping(shopping: Sequence[tuple[Item, int]], names: Names, units: UnitSystem) -> Table:
    rows = []
    for item, count in shopping:
        sides = " × ".join(length(side, units) for side in item.dimensions)
        size = " × ".join(part for part in (names.within(item.size), sides) if part)
        rows.append([Cell(str(count)), Cell(item.kind, strong=True), Cell(size), Cell(item.material)])
    return table(("#count", "what", "size", "material"), rows)


def _weights(sheet: FittingSheet, units: UnitSystem) -> Table:
    rows = [
        [Cell(what, strong=True), Cell(value), Cell(how, "fail" if "ABOVE" in how else None, quiet_word=True)]
        for what, value, how in fitting_words.weight_rows(sheet.weights, units)
    ]
    return table(("weight", "#value", "how"), rows)
