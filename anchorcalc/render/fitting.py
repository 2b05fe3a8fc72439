"""The fitting sheet on a screen: what is in the way first, then each mounting, shopping and weights."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from fractions import Fraction

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from anchorcalc.clearance import Conflict, Place
from anchorcalc.install import BoltGroup, EdgeDistance, FittingSheet, Item, MountingSheet, ScrewGroup
from anchorcalc.render.terminal import printing
from anchorcalc.tightening import Tightening
from anchorcalc.units import SI, US, UnitSystem, format_quantity, unit_worth
from anchorcalc.weights import Weights

_LONGEST_NAME = 40
_FINEST = 64  # of an inch: what a tape and a drill set show


def show_fitting(sheet: FittingSheet) -> None:
    """Print the fitting sheet."""
    units = US if sheet.units == "us" else SI
    with printing() as out:
        _headline(out, sheet)
        _show_places(out, sheet.places, units)
        for mounting in sheet.mountings:
            _show_mounting(out, mounting, units)
        _show_shopping(out, sheet.shopping, units)
        _show_weights(out, sheet.weights, units)
        square = f"Sides that differ by {_length(sheet.out_of_square, units)} over this deck are common."
        _list(out, "Measuring", [*sheet.measuring, *_taper(sheet, units), square])
        _list(out, "Look into", sheet.warnings)
        _list(out, "Assumed, since not given", [f"{_short(a.what, 80)}: {a.value} ({a.why})" for a in sheet.assumed])
        _list(out, "Cautions", sheet.cautions)


def _headline(out: Console, sheet: FittingSheet) -> None:
    word, style = ("READY", "bold green") if sheet.ready else ("NOT YET", "bold red")
    out.print(Text.assemble((word, style), "  ", (f"Fitting sheet: {_short(sheet.title, 200)}", "bold")))


def _taper(sheet: FittingSheet, units: UnitSystem) -> list[str]:
    if not sheet.taper:
        return []
    way = "narrower" if sheet.taper > 0 else "wider"
    return [f"This deck is {_length(abs(sheet.taper), units)} {way} in front than at the rear."]


# --- places ---------------------------------------------------------------------------------------------------


def _show_places(out: Console, places: Sequence[Place], units: UnitSystem) -> None:
    table = _table("anchor", "from the rear", "from the middle", "check at the side", "in the way")
    for place in places:
        left = place.at[1] >= 0
        side = place.to_left_edge if left else place.to_right_edge
        state = "clear" if not place.conflicts else f"{len(place.conflicts)}, see below"
        table.add_row(
            _short(place.anchor), _length(place.at[0], units), _across(place.at[1], units),
            f"{_length(side, units)}, {'left' if left else 'right'} side", state,
        )  # fmt: skip
    _head(out, "Where the anchors go")
    out.print(table)
    _list(out, "In the way", [line for place in places for line in _conflict_lines(place, units)])
    tight = [
        f"{_short(place.anchor)}: {place.tightest.part} to {place.tightest.obstacle}, "
        f"{_length(place.tightest.spare, units)} to spare"
        for place in places
        if not place.conflicts
    ]
    _list(out, "Tightest", tight)


def _conflict_lines(place: Place, units: UnitSystem) -> Iterator[str]:
    for conflict in place.conflicts:
        yield f"{_short(place.anchor)}: {_conflict(conflict, units)}"
    if place.conflicts:
        moves = []
        if place.clear_along is not None:
            moves.append(f"{_length(place.clear_along, units)} from the rear")
        if place.clear_across is not None:
            moves.append(f"{_across(place.clear_across, units)} of the middle")
        where = ", or ".join(moves) if moves else "none by moving along or across alone"
        yield f"{_short(place.anchor)}: nearest clear place: {where}"


def _conflict(conflict: Conflict, units: UnitSystem) -> str:
    part = conflict.part if conflict.of == 1 else f"{conflict.part} ({conflict.count} of {conflict.of})"
    obstacle = _short(conflict.obstacle, 60)
    if not math.isfinite(conflict.gap):
        return f"there is no {obstacle}"
    gap = _length(abs(conflict.gap), units)
    if conflict.kind == "misses":
        return f"{part} miss the {obstacle} by {gap}"
    if conflict.kind == "overlaps" and conflict.wanted == 0:
        return f"{part} over {obstacle} by {gap}"
    found = f"{gap} beyond" if conflict.gap < 0 else f"{gap} from"
    return f"{part} {found} {obstacle}, {_length(conflict.wanted, units)} wanted"


def _across(y: float, units: UnitSystem) -> str:
    if y == 0:
        return "on the line"
    return f"{_length(abs(y), units)} {'left' if y > 0 else 'right'}"


# --- mountings ------------------------------------------------------------------------------------------------


def _show_mounting(out: Console, sheet: MountingSheet, units: UnitSystem) -> None:
    _head(out, f"{_short(sheet.name)}: {', '.join(_short(name) for name in sheet.anchors)}")
    facts = Table.grid(padding=(0, 2))
    facts.add_column(no_wrap=True)
    facts.add_column(overflow="fold")
    for label, text in _facts(sheet, units):
        facts.add_row(f"  {label}", Text(text, overflow="fold"))
    out.print(facts)
    for group in sheet.bolts:
        _show_tightening(out, group, units)
    _list(out, "Order of work", sheet.work, numbered=True)


def _facts(sheet: MountingSheet, units: UnitSystem) -> Iterator[tuple[str, str]]:
    for group in sheet.bolts:
        yield from _bolt_facts(group, units)
    if sheet.screws is not None:
        yield from _screw_facts(sheet.screws, units)
    if sheet.nut:
        yield "nuts", f"{sheet.nut}. {sheet.nut_why}"
    if sheet.holes is not None:
        yield "holes", f"drill {_length(sheet.holes.drill, units)}, never wider than {_length(sheet.holes.most, units)}"
    if sheet.cut_out is not None:
        length, width = (_length(side, units) for side in sheet.cut_out.size)
        rim = _length(sheet.cut_out.rim, units)
        advice = " ".join(sheet.cut_out.advice)
        yield "cut-out", f"{length} along, {width} across; {rim} of the base rests on the deck. {advice}"
    for distance in sheet.distances:
        yield "distance", _distance(distance, units)


def _bolt_facts(group: BoltGroup, units: UnitSystem) -> Iterator[tuple[str, str]]:
    length = "no stock length is long enough" if group.length is None else _length(group.length, units)
    yield "bolts", f"{group.count} × {group.size}, {group.grade}, {length}, {group.where}"
    stack = " + ".join(f"{item.what} {_length(item.thickness, units)}" for item in group.stack)
    yield "stack", (
        f"{stack} + lock nut {_length(group.nut_height, units)} + threads beyond it {_length(group.beyond_nut, units)}"
        f" = {_length(group.needed, units)} under the head"
    )
    if not group.long_enough:
        had = "the longest in stock" if group.given is None else f"the {_length(group.given, units)} in the file"
        yield "too short", f"{had} does not take the stack"
    if not group.thread_reaches:
        yield "thread", "would end above the nut: take a bolt threaded to the head, or more washers under the nut"
    if group.under_nut is not None:
        outside, thickness = (_length(size, units) for size in group.under_nut.dimensions)
        yield "washers", f"under each nut {outside} × {thickness}, {group.under_nut.material}; heads on the ring's base"


def _screw_facts(group: ScrewGroup, units: UnitSystem) -> Iterator[tuple[str, str]]:
    yield "screws", f"{group.count} × {group.name}, {_length(group.length, units)}"
    if group.pilot is not None:
        shank = ""
        if group.shank is not None and group.shank_depth > 0:
            shank = f"; the upper {_length(group.shank_depth, units)} to {_length(group.shank, units)}"
        yield "pilot hole", f"{_length(group.pilot, units)}{shank}"
    else:
        yield "pilot hole", "no row of the tables has this screw: try in scrap of the same panel"
    if group.comes_through > 0:
        yield "points", f"come {_length(group.comes_through, units)} out below: look what is there, and cap them"


def _distance(distance: EdgeDistance, units: UnitSystem) -> str:
    word = "kept" if distance.kept else "TOO SMALL"
    found, wanted = _length(distance.found, units), _length(distance.wanted, units)
    return f"{distance.what} {found}, at least {wanted} wanted: {word}"


def _show_tightening(out: Console, group: BoltGroup, units: UnitSystem) -> None:
    found = group.tightening
    _head(out, f"Tightening, {group.where}")
    if found.way != "torque":
        out.print(_indented(f"{'Snug only' if found.way == 'snug' else 'Not yet'}: {found.why}."))
        return
    table = _table("thread", "K", "never above", "set the wrench to")
    for setting in found.settings:
        never_above, aim_for = _torque(setting.at_limit, units), _torque(setting.aim_for, units)
        table.add_row(setting.state, f"{setting.K:.2f}", never_above, aim_for)
    out.print(table)
    out.print(_indented(_tension(found, units)))


def _tension(found: Tightening, units: UnitSystem) -> str:
    below, above, proof = (_force(part, units) for part in (found.wood_below, found.wood_above, found.proof_limit))
    return (
        f"No more than {_force(found.limit, units)} in each bolt, {100 * found.share_of_proof:.1f}% of its proof load, "
        f"set by {found.why} (wood under the nuts {below}, under the ring's base {above}, the bolt {proof}). "
        "T = K F d; the wrench is set lower, for by hand the tension scatters."
    )


# --- shopping and weights -------------------------------------------------------------------------------------


def _show_shopping(out: Console, shopping: Sequence[tuple[Item, int]], units: UnitSystem) -> None:
    table = _table("count", "what", "size", "material")
    for item, count in shopping:
        sides = " × ".join(_length(side, units) for side in item.dimensions)
        size = " × ".join(part for part in (_short(item.size), sides) if part)
        table.add_row(str(count), item.kind, size, item.material)
    _head(out, "To buy, for all anchors")
    out.print(table)


def _show_weights(out: Console, weights: Weights, units: UnitSystem) -> None:
    table = _table("weight", "value", "how")
    for layer in weights.layers:
        by_table, common = _weight(layer.by_table, units), _weight(layer.by_common_sheet, units)
        role = "added" if layer.added else "part of the trailer"
        how = f"{by_table} by the table, {common} as common light sheets; the heavier; {role}"
        table.add_row(f"layer {layer.number}", _weight(layer.weight, units), how)
    hardware = "bolts, nuts, washers, plates and bars; without the rings"
    table.add_row("hardware", _weight(weights.hardware, units), hardware)
    if weights.payload is not None:
        payload = weights.payload
        table.add_row("empty trailer", _weight(payload.empty, units), "")
        table.add_row("added", _weight(payload.added, units), "")
        table.add_row("load", _weight(payload.load, units), "")
        word = "left of the gross rating" if payload.left >= 0 else "ABOVE the gross rating"
        table.add_row("loaded trailer", _weight(payload.total, units), f"{_weight(abs(payload.left), units)} {word}")
    else:
        table.add_row("added", _weight(weights.added, units), "")
    if weights.axle is not None:
        axle = weights.axle
        word = "left of the axles' rating" if axle.left >= 0 else "ABOVE the axles' rating"
        table.add_row("on the axles", _weight(axle.load, units), f"{_weight(abs(axle.left), units)} {word}")
    _head(out, "Weights")
    out.print(table)
    if weights.balance is not None:
        _list(out, "On axle and hitch", list(_balance_lines(weights, units)))


def _balance_lines(weights: Weights, units: UnitSystem) -> Iterator[str]:
    found = weights.balance
    if found is None:
        return
    ahead = "ahead of" if found.ahead_of_axle >= 0 else "BEHIND"
    way, share = _length(abs(found.ahead_of_axle), units), 100 * found.hitch_of_load
    yield f"The load's weight sits {way} {ahead} the axle: {share:.0f} % of it on the hitch."
    low, high = (_weight(part, units) for part in found.hitch_load)
    shares = " to ".join(f"{100 * share:.0f}" for share in found.hitch_share)
    common = " to ".join(f"{100 * share:.0f}" for share in found.common_share)
    yield (
        f"Loaded, the hitch carries {low} to {high}, {shares} % of all, if the empty trailer puts {common} % of its "
        "own weight there."
    )
    rear, front = (_length(x, units) for x in found.best_between)
    yield (
        f"Common practice is {common} %, with no published source: {found.word}. For that share of its own weight the "
        f"load would sit {rear} to {front} from the rear edge."
    )


# --- words and numbers ----------------------------------------------------------------------------------------


def _length(metres: float, units: UnitSystem) -> str:
    """Millimetres, or inches as a tape shows them where that is exact."""
    if units is not US:
        return f"{1000 * metres:.4g} mm"
    inches = metres / unit_worth("in", "length")
    parts = round(inches * _FINEST)
    if abs(inches * _FINEST - parts) > 0.01:
        return f"{inches:.3g} in" if abs(inches) < 100 else f"{inches:.1f} in"
    whole, rest = divmod(abs(parts), _FINEST)
    texts = [str(whole)] if whole or not rest else []
    texts += [str(Fraction(rest, _FINEST))] if rest else []
    return f"{'-' if parts < 0 else ''}{' '.join(texts)} in"


def _force(newtons: float, units: UnitSystem) -> str:
    return format_quantity(newtons, "lbf" if units is US else "N", "force", 3)


def _torque(newton_metres: float, units: UnitSystem) -> str:
    return format_quantity(newton_metres, units.torque, "torque", 2)


def _weight(newtons: float, units: UnitSystem) -> str:
    unit = "lb" if units is US else "kg"
    return f"{newtons / unit_worth(unit, 'weight'):,.0f} {unit}" if math.isfinite(newtons) else "unknown"


def _short(name: str, most: int = _LONGEST_NAME) -> str:
    return name if len(name) <= most else name[: most - 1] + "…"


def _head(out: Console, text: str) -> None:
    out.print()
    out.print(Text(text, style="bold"))


def _list(out: Console, head: str, lines: Sequence[str], *, numbered: bool = False) -> None:
    if not lines:
        return
    _head(out, head)
    for number, line in enumerate(lines, start=1):
        grid = Table.grid(padding=(0, 1))
        grid.add_row(f" {number:>2}." if numbered else "  -", Text(line, overflow="fold"))
        out.print(grid)


def _indented(text: str) -> Padding:
    return Padding(Text(text, overflow="fold"), (0, 0, 0, 2))


def _table(*heads: str) -> Table:
    table = Table(box=None, padding=(0, 1), header_style="underline")
    for head in heads:
        right = head in ("from the rear", "K", "never above", "set the wrench to", "count", "value")
        table.add_column(head, justify="right" if right else "left", no_wrap=right, overflow="fold")
    return table
