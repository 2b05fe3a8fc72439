"""The fitting sheet in sentences, one fact each, for the screen and the pages that show it."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

from anchorcalc.render.figures import force
from anchorcalc.units import UnitSystem, format_quantity, length, unit_worth

if TYPE_CHECKING:
    from collections.abc import Iterator

    from anchorcalc.result.check import Result
    from anchorcalc.result.fitting import (
        AnchorPlace,
        BoltGroup,
        Conflict,
        EdgeDistance,
        FittingSheet,
        MountingSheet,
        ScrewGroup,
        Tightening,
        Weights,
        WrenchSetting,
    )


NOT_STRONG_ENOUGH = "NOT STRONG ENOUGH"
"""Across the head of whatever is drilled or bought by, where the check fails."""
NOT_AS_WRITTEN = "CANNOT BE BUILT AS WRITTEN"
"""In its place where only something in the way keeps it from passing."""
_BY_HAND = 6.8  # torque that no common wrench is set to, some 5 lbf ft [N m] (common practice, no source)


NOT_IN_ORDER = "NOT IN ORDER"
"""In its place where it does not fail, but a distance is not kept."""


class Refusal(NamedTuple):
    """Why a sheet is not to be drilled or bought by, or not without thinking it over."""

    word: str
    why: str
    so: str = "do not drill by this"


def refusal(result: Result) -> Refusal | None:
    """What stands across the head of a sheet that fails or is not in order; None where all is well."""
    parts = f"not in order: {'; '.join(result.sheet.not_in_order)}"
    if result.verdict != "fail":
        return None if result.sheet.ready else Refusal(NOT_IN_ORDER, parts)
    if result.only_crowded:
        return Refusal(NOT_AS_WRITTEN, result.reasons[0])
    why = result.reasons[0]
    return Refusal(NOT_STRONG_ENOUGH, why if result.sheet.ready else f"{why.rstrip('.')}; {parts}")


def reserve(result: Result) -> Refusal | None:
    """The same, or that it does not fully pass; None where it does."""
    if result.verdict == "marginal" and result.sheet.ready:
        return Refusal("MARGINAL", result.reasons[0], "not a pass, read why before drilling")
    return refusal(result)


def room(place: AnchorPlace) -> str:
    """Whether there is room for an anchor: clear, tight, or how many things are in the way."""
    if place.conflicts:
        return f"{len(place.conflicts)} in the way"
    return "tight" if place.tight else "clear"


def conflict(found: Conflict, units: UnitSystem) -> str:
    """One part that is in the way of another, or misses what it should meet, and what else would help."""
    return _meets(found, units) + (f": {found.remedy}" if found.remedy else "")


def _meets(found: Conflict, units: UnitSystem) -> str:
    part = found.part if found.of == 1 else f"{found.part} ({found.count} of {found.of})"
    if not math.isfinite(found.gap):
        return f"there is no {found.obstacle}"
    gap = length(abs(found.gap), units)
    if found.kind == "misses":
        return f"{part} miss the {found.obstacle} by {gap}"
    if found.kind == "overlaps" and found.wanted == 0:
        return f"{part} over {found.obstacle} by {gap}"
    distance = f"{gap} beyond" if found.gap < 0 else f"{gap} from"
    return f"{part} {distance} {found.obstacle}, {length(found.wanted, units)} wanted"


def clear_place(place: AnchorPlace, units: UnitSystem) -> str:
    """Where an anchor with something in its way could go instead."""
    moves = []
    if place.clear_along is not None:
        moves.append(f"{length(place.clear_along, units)} from the rear")
    if place.clear_across is not None:
        moves.append(f"{across(place.clear_across, units)} of the middle")
    return ", or ".join(moves) if moves else "none by moving along or across alone"


def across(y: float, units: UnitSystem) -> str:
    """Distance from the centreline and the side it is on."""
    if y == 0:
        return "on the line"
    return f"{length(abs(y), units)} {'left' if y > 0 else 'right'}"


def tightest(place: AnchorPlace, units: UnitSystem) -> str:
    """What is nearest to being in the way of an anchor that is clear."""
    near = place.tightest
    return f"{near.part} to {near.obstacle}, {length(near.spare, units)} to spare"


def layers_cut(count: int) -> str:
    """How deep an opening goes that does not go through the deck."""
    return "cut in the top layer alone" if count == 1 else f"cut in the upper {count} layers alone"


def mounting_facts(sheet: MountingSheet, units: UnitSystem) -> Iterator[tuple[str, str]]:
    """What is drilled, bolted and kept apart: a word and its sentence."""
    for group in sheet.bolts:
        yield from _bolts(group, units)
    if sheet.screws is not None:
        yield from _screws(sheet.screws, units)
    if sheet.nut:
        yield "nuts", f"{sheet.nut}. {sheet.nut_why}"
    if sheet.holes is not None:
        drill, most = (length(size, units) for size in (sheet.holes.drill, sheet.holes.most))
        yield "holes", f"drill {drill}, never wider than {most}"
    if sheet.cut_out is not None:
        along, wide = (length(side, units) for side in sheet.cut_out.size)
        rests = f"{length(sheet.cut_out.rim, units)} of the base rests on the deck"
        only = "" if sheet.cut_out.layers is None else f", {layers_cut(sheet.cut_out.layers)}"
        yield "cut-out", f"{along} along, {wide} across{only}; {rests}. {' '.join(sheet.cut_out.advice)}"
    for distance in sheet.distances:
        yield "distance", _distance(distance, units)


def _bolts(group: BoltGroup, units: UnitSystem) -> Iterator[tuple[str, str]]:
    bought = "no stock length is long enough" if group.length is None else length(group.length, units)
    yield "bolts", f"{group.count} × {group.size}, {group.grade}, {bought}, {group.where}"
    stack = " + ".join(f"{item.what} {length(item.thickness, units)}" for item in group.stack)
    ends = f"lock nut {length(group.nut_height, units)} + threads beyond it {length(group.beyond_nut, units)}"
    yield "stack", f"{stack} + {ends} = {length(group.needed, units)} under the head"
    if not group.long_enough:
        had = "the longest in stock" if group.given is None else f"the {length(group.given, units)} in the file"
        yield "too short", f"{had} does not take the stack"
    if not group.thread_reaches:
        yield "thread", "the nut meets its end: take bolts threaded to the head, or more washers under the nut"
    if group.bevelled is not None:
        yield "washers", f"{group.bevelled.kind} on the flange under each nut, {group.bevelled.material}"
    if group.under_nut is not None:
        outside, thickness = (length(size, units) for size in group.under_nut.dimensions)
        yield "washers", f"under each nut {outside} × {thickness}, {group.under_nut.material}; heads on the ring's base"


def _screws(group: ScrewGroup, units: UnitSystem) -> Iterator[tuple[str, str]]:
    yield "screws", f"{group.count} × {group.name}, {length(group.length, units)}"
    if group.pilot is None:
        yield "pilot hole", "no row of the tables has this screw: try in scrap of the same panel"
    else:
        shank = ""
        if group.shank is not None and group.shank_depth > 0:
            shank = f"; the upper {length(group.shank_depth, units)} to {length(group.shank, units)}"
        yield "pilot hole", f"{length(group.pilot, units)}{shank}"
    if group.comes_through > 0:
        yield "points", f"come {length(group.comes_through, units)} out below: look what is there, and cap them"


def _distance(distance: EdgeDistance, units: UnitSystem) -> str:
    word = "kept" if distance.kept else "TOO SMALL"
    found, wanted = length(distance.found, units), length(distance.wanted, units)
    return f"{distance.what} {found}, at least {wanted} wanted: {word}"


def tension(found: Tightening, units: UnitSystem) -> str:
    """What sets the torque, or why there is none."""
    if found.way != "torque":
        return f"{'Snug only' if found.way == 'snug' else 'Not yet'}: {found.why}."
    below, above, proof = (force(part, units) for part in (found.wood_below, found.wood_above, found.proof_limit))
    by_hand = found.settings and max(setting.aim_for for setting in found.settings) < _BY_HAND
    first = "No wrench is set so low: turn the nut snug by hand. " if by_hand else ""
    return (
        f"{first}Stop when {found.stop} (common practice, no source). "
        f"No more than {force(found.limit, units)} in each bolt, {100 * found.share_of_proof:.1f} % of its "
        f"proof load, set by {found.why} ({found.pressed} {below}, under the ring's base {above}, the bolt "
        f"{proof}). "
        "T = K F d; the wrench is set lower, for by hand the tension scatters."
    )


def wrench(setting: WrenchSetting, units: UnitSystem) -> str:
    """What a wrench is set to, where any is set so low."""
    return "snug by hand" if setting.aim_for < _BY_HAND else torque(setting.aim_for, units)


def torque(newton_metres: float, units: UnitSystem) -> str:
    """Torque to the two digits a wrench can be set to."""
    return format_quantity(newton_metres, units.torque, "torque", 2)


def weight(newtons: float, units: UnitSystem) -> str:
    """Weight to the whole pound or kilogram."""
    unit = "lb" if units.name == "us" else "kg"
    return f"{newtons / unit_worth(unit, 'weight'):,.0f} {unit}" if math.isfinite(newtons) else "unknown"


def weight_rows(weights: Weights, units: UnitSystem) -> Iterator[tuple[str, str, str]]:
    """What weighs how much, and how that is known."""
    for layer in weights.layers:
        by_table, common = weight(layer.by_table, units), weight(layer.by_common_sheet, units)
        role = "added" if layer.added else "part of the trailer"
        how = f"{by_table} by the table, {common} as common light sheets; the heavier; {role}"
        yield f"layer {layer.number}", weight(layer.weight, units), how
    yield "hardware", weight(weights.hardware, units), "bolts, nuts, washers, plates and bars; without the rings"
    yield "added", weight(weights.added, units), "layers above the lowest, and hardware"
    if weights.payload is not None:
        payload = weights.payload
        word = "left of the gross rating" if payload.left >= 0 else "ABOVE the gross rating"
        yield "empty trailer", weight(payload.empty, units), "as given"
        yield "load", weight(payload.load, units), "as given"
        yield "loaded trailer", weight(payload.total, units), f"{weight(abs(payload.left), units)} {word}"
    if weights.axle is not None:
        word = "left of the axles' rating" if weights.axle.left >= 0 else "ABOVE the axles' rating"
        yield "on the axles", weight(weights.axle.load, units), f"{weight(abs(weights.axle.left), units)} {word}"


def balance_lines(weights: Weights, units: UnitSystem) -> Iterator[str]:
    """Where the load sits between axle and hitch."""
    found = weights.balance
    if found is None:
        return
    ahead = "ahead of" if found.ahead_of_axle >= 0 else "BEHIND"
    part = f"{100 * abs(found.hitch_of_load):.0f} % of it"
    lever = f"{part} on the hitch" if found.ahead_of_axle >= 0 else f"that takes {part} off the hitch"
    yield f"The load's weight sits {length(abs(found.ahead_of_axle), units)} {ahead} the axle: {lever}."
    low, high = found.hitch_load
    common = " to ".join(f"{100 * share:.0f}" for share in found.common_share)
    if_empty = f"if the empty trailer puts {common} % of its own weight there"
    if low < 0:
        least, most = (weight(max(-force, 0.0), units) for force in (high, low))
        yield f"Loaded, the hitch is LIFTED by {least} to {most}, {if_empty}: such a trailer sways."
    else:
        shares = " to ".join(f"{100 * share:.0f}" for share in found.hitch_share)
        yield f"Loaded, the hitch carries {weight(low, units)} to {weight(high, units)}, {shares} % of all, {if_empty}."
    rear, front = (length(x, units) for x in found.best_between)
    yield (
        f"Common practice is {common} %, with no published source: {found.word}. For that share of its own weight the "
        f"load would sit {rear} to {front} from the rear edge."
    )


def taper(sheet: FittingSheet, units: UnitSystem) -> Iterator[str]:
    """How far the deck is from square, and how far decks commonly are."""
    if sheet.taper:
        way = "narrower" if sheet.taper > 0 else "wider"
        yield f"This deck is {length(abs(sheet.taper), units)} {way} in front than at the rear."
    yield f"Sides that differ by {length(sheet.out_of_square, units)} over this deck are common."
