"""A section through the stack, square to the cross-members: all thicknesses to one scale.

Along the trailer, forward to the right; of members that run lengthwise across it, as seen from the front. The cut is
stepped: it goes through a row of fasteners, the opening for the ring and the nearest cross-member. Where that member
lies far off, the deck between is broken away and its true distance is written there.
"""

from __future__ import annotations

from math import cos, pi, sin
from typing import TYPE_CHECKING

from msgspec import Struct

from anchorcalc.render.draw.letters import wrapped
from anchorcalc.render.draw.shapes import MM, Box, Circle, Line, Patch, Point, Shape, Words, around, patch, placed
from anchorcalc.rig.parts import Bars, Bolts, Frame, Screws
from anchorcalc.units import in_both

if TYPE_CHECKING:
    from collections.abc import Iterator

    from anchorcalc.result.fitting import BoltGroup, MountingSheet
    from anchorcalc.rig.floor import FloorSetting
    from anchorcalc.rig.parts import AnchorSetting
    from anchorcalc.units import UnitSystem

_TEXT, _LINE = 2.5, 3.6
_BESIDE = 14.0  # of the deck is shown beyond base and plate
_BREAK = 7.0  # of paper, where the deck is broken away
_DRAWN, _LABELS = 104.0, 84.0  # width of the drawing and of the words beside it [mm of paper]
_TALLEST = 95.0  # leaves room for the words on the same sheet [mm of paper]
_MOST_SCALE = 1.0


class _Part(Struct, frozen=True):
    """Something drawn, and what it is called beside the drawing; at real size about the anchor, z up [mm]."""

    shapes: tuple[Shape, ...]
    said: str = ""
    at: Point = (0.0, 0.0)  # where its leader ends


def section(anchor: AnchorSetting, sheet: MountingSheet, units: UnitSystem) -> list[Shape]:
    """The section with its words [mm of paper], the foot of the lowest line at nil."""
    parts = list(_parts(anchor.laid, sheet, units, lengthwise=anchor.floor.lengthwise))
    left, bottom, right, top = around([shape for part in parts for shape in part.shapes])
    scale = min(_DRAWN / (right - left), _TALLEST / (top - bottom), _MOST_SCALE)
    by = -left * scale, -bottom * scale
    drawn = [placed(shape, scale, by) for part in parts for shape in part.shapes]
    edge = (right - left) * scale + 3.0
    labels = list(_labels(parts, scale, (left, bottom), edge))
    way = (
        "across the trailer, seen from the front"
        if anchor.floor.lengthwise
        else "along the trailer, forward to the right"
    )
    caption = f"Section {way}; true proportions, {scale:.2f} of true size."
    foot = around([*drawn, *labels])[1]
    words: list[Shape] = [
        Words((0.0, foot - 5.0 - _LINE * row), line, _TEXT)
        for row, line in enumerate(wrapped(caption, _TEXT, _DRAWN + _LABELS))
    ]
    return [*drawn, *labels, *words]


def _labels(parts: list[_Part], scale: float, origin: Point, edge: float) -> Iterator[Shape]:
    """Words to the right, each level with its part or as near as its neighbours let it, with leaders.

    What is said of several parts alike stands once, at the foremost of them.
    """
    foremost = {part.said: part for part in sorted(parts, key=lambda part: part.at[0]) if part.said}
    said = sorted(foremost.values(), key=lambda part: -part.at[1])
    blocks = [(part, wrapped(part.said, _TEXT, _LABELS - 8.0)) for part in said]
    free = float("inf")
    for part, lines in blocks:
        u, v = ((at - off) * scale for at, off in zip(part.at, origin, strict=True))
        level = min(v, free)
        yield Line((u, v), (edge, v), "dimension")
        yield Line((edge, v), (edge + 5.0, level), "dimension")
        for row, line in enumerate(lines):
            yield Words((edge + 6.0, level - 0.9 - _LINE * row), line, _TEXT)
        free = level - _LINE * len(lines) - 1.0


# --- what is cut ----------------------------------------------------------------------------------------------


def _parts(anchor: AnchorSetting, sheet: MountingSheet, units: UnitSystem, *, lengthwise: bool) -> Iterator[_Part]:
    mounting = anchor.mounting
    half = MM * mounting.lies_on[0] / 2 + _BESIDE
    members = list(_members(anchor, half, units))
    reach = (min([-half, *(around(part.shapes)[0] - 4 for part in members)]),
             max([half, *(around(part.shapes)[2] + 4 for part in members)]))  # fmt: skip
    yield from _layers(anchor, reach, units, ("across", "along") if lengthwise else ("along", "across"))
    yield from members
    yield from _ring(anchor, units)
    yield from _backing(anchor, reach, units)
    for at, in_member in _row(anchor):
        if isinstance(mounting.fasteners, Bolts):
            group = next(each for each in sheet.bolts if (each.where == "through the cross-member") == in_member)
            yield from _bolt(anchor, sheet, group, at, units)
        else:
            yield from _screw(anchor, at, units)


def _row(anchor: AnchorSetting) -> list[tuple[float, bool]]:
    """Fasteners from the rear forward, one for each place along the trailer, and whether steel takes them [mm]."""
    found: dict[float, bool] = {}
    for (x, _), in_member in zip(anchor.mounting.positions, anchor.mounting.in_member, strict=True):
        found.setdefault(round(MM * float(x), 2), bool(in_member))
    return sorted(found.items())


def _ring(anchor: AnchorSetting, units: UnitSystem) -> Iterator[_Part]:
    mounting = anchor.mounting
    half, thick = MM * mounting.covers[0] / 2, MM * mounting.base_thickness
    low = -MM * anchor.floor.thickness if isinstance(mounting.backing, Frame) else 0.0
    yield _Part(
        (patch((-half, low, half, low + thick), "steel"),),
        f"ring's base {in_both(mounting.base_thickness, units)} thick", (half - 1, low + thick / 2),
    )  # fmt: skip
    radius, high = min(half * 0.45, 22.0), MM * mounting.pull_height
    arcs = [
        [(r * cos(pi * k / 24), low + thick + r * sin(pi * k / 24)) for k in range(25)] for r in (radius, radius - 5)
    ]
    yield _Part(
        (Patch((*arcs[0], *reversed(arcs[1])), "steel"), Circle((0.0, high), 1.2, "hole")),
        f"ring, its shape only sketched; the strap pulls {in_both(mounting.pull_height, units)} above the deck",
        (0.0, high),
    )


def _layers(
    anchor: AnchorSetting, reach: tuple[float, float], units: UnitSystem, ways: tuple[str, str]
) -> Iterator[_Part]:
    """The layers; `ways` is what the trailer's people call along the cut and square to it."""
    opening = MM * anchor.mounting.opens[0] / 2 if anchor.mounting.opens is not None else 0.0
    if isinstance(anchor.mounting.backing, Frame):  # the deck ends where the ring stands on the steel
        opening = MM * anchor.mounting.covers[0] / 2
    level = floor_of_cut = 0.0
    for number, layer in enumerate(anchor.floor.layers, start=1):
        thick = MM * layer.thickness
        cut = opening and (anchor.mounting.opens is None or anchor.mounting.cuts(layer))
        spans = [(reach[0], -opening), (opening, reach[1])] if cut else [reach]
        shapes: list[Shape] = []
        for start, end in spans:
            box = (start, level - thick, end, level)
            shapes += [patch(box, "wood"), *_grain(box, along=layer.strong_way)]
        way = f"grain {ways[not layer.strong_way]}" if layer.grain_known else "grain not known"
        said = f"layer {number}: {layer.panel.name} {in_both(layer.thickness, units)}, {way}"
        yield _Part(tuple(shapes), said, (reach[1] - 2, level - thick / 2))
        level -= thick
        floor_of_cut = level if cut else floor_of_cut
    if anchor.mounting.opens is not None:
        size = in_both(anchor.mounting.opens[0], units)
        ends = [Line((side, 0.0), (side, floor_of_cut), "cut-out") for side in (-opening, opening)]
        yield _Part(tuple(ends), f"opening {size} {ways[0]}", (opening, floor_of_cut * 0.8))


def _grain(box: Box, *, along: bool) -> Iterator[Shape]:
    """Long strokes where the face grain runs along the cut, short ones where it is cut across."""
    left, bottom, right, top = box
    rows = max(round((top - bottom) / 4.5), 2)
    dash, gap = (26.0, 7.0) if along else (1.2, 5.0)
    for row in range(rows):
        level = bottom + (row + 0.5) * (top - bottom) / rows
        start = left + 2.0 + (row % 2) * (dash + gap) / 2
        while start < right - 2.0:
            yield Line((start, level), (min(start + dash, right - 1.0), level), "grain")
            start += dash + gap


# --- steel under the deck -------------------------------------------------------------------------------------


def _members(anchor: AnchorSetting, half: float, units: UnitSystem) -> Iterator[_Part]:
    """The nearest cross-member, for bars the next one on both sides; drawn nearer where it lies far off."""
    floor, shown = anchor.floor, _shown_lines(anchor)
    for number, line in enumerate(shown):
        off, wide = MM * (line - anchor.at[0]), MM * floor.member.width
        side = 1.0 if off > 0 else -1.0
        nearest = half + _BREAK + wide / 2
        broken = abs(off) > nearest + 1.0
        at = side * nearest if broken else off
        shapes = list(_member(floor, at))
        if broken:
            shapes += _break(side * (half + _BREAK / 2), -MM * floor.thickness)
        said = f"cross-member {floor.member.name}" if number == len(shown) - 1 else ""
        if broken and said:
            said += f", its middle {in_both(abs(off) / MM, units)} from the ring's"
        level = -MM * (floor.thickness + floor.member.depth / 2)
        beside = {"tube": wide / 2 - 1, "i": 0.0, "timber": wide / 2 - 1}
        if floor.member.shape not in beside:
            beside[floor.member.shape] = MM * floor.section.thickness / 2 - wide / 2
        side_wall = beside[floor.member.shape]
        yield _Part(tuple(shapes), said, (at + side_wall, level))


def _shown_lines(anchor: AnchorSetting) -> list[float]:
    lines = sorted(anchor.floor.lines, key=lambda line: abs(line - anchor.at[0]))
    if not isinstance(anchor.mounting.backing, Bars):
        return lines[:1]
    ahead = [line for line in lines if line > anchor.at[0]][:1]
    return [line for line in lines if line <= anchor.at[0]][:1] + ahead


def _member(floor: FloorSetting, at: float) -> Iterator[Shape]:
    """The section of a member; an angle's or a channel's upright stands to the rear, which nobody may know."""
    top, wide, deep = -MM * floor.thickness, MM * floor.member.width, MM * floor.member.depth
    left, right, bottom = at - wide / 2, at + wide / 2, top - deep
    if floor.timber is not None:
        yield patch((left, bottom, right, top), "wood")
        return
    row, thick, brim = floor.section, MM * floor.section.thickness, MM * (floor.section.brim or 0.0)
    yield patch((left, top - thick, right, top), "steel")
    upright = at - thick / 2 if row.shape == "i" else left
    yield patch((upright, bottom, upright + thick, top - thick), "steel")
    below = {
        "angle": [], "i": [(left, right)], "hat": [(left - brim, left), (right, right + brim)],
        "z": [(left + thick - wide, left)],
    }.get(row.shape, [(left + thick, right)])  # fmt: skip
    yield from (patch((start, bottom, end, bottom + thick), "steel") for start, end in below)
    if row.shape in ("tube", "hat"):
        yield patch((right - thick, bottom + (thick if row.shape == "tube" else 0.0), right, top - thick), "steel")


def _break(at: float, under: float) -> Iterator[Shape]:
    """A white strip between two wavy edges."""
    edges = [
        [(at + side * _BREAK / 4 + (0.8 if step % 2 else -0.8), 2.0 + (under - 4.0) * step / 8) for step in range(9)]
        for side in (-1, 1)
    ]
    yield Patch((*edges[0], *reversed(edges[1])), "paper")


def _backing(anchor: AnchorSetting, reach: tuple[float, float], units: UnitSystem) -> Iterator[_Part]:
    mounting, under = anchor.mounting, -MM * anchor.floor.thickness
    if mounting.plate is not None:
        half, thick = MM * mounting.plate.size[0] / 2, MM * mounting.plate.thickness
        said = f"plate {in_both(mounting.plate.thickness, units)}, {mounting.plate.steel.name} steel"
        yield _Part((patch((-half, under - thick, half, under), "steel"),), said, (half - 1, under - thick / 2))
    if isinstance(mounting.backing, Bars):
        thick, top = MM * mounting.backing.thickness, under - MM * anchor.floor.member.depth
        said = f"bridge bar {in_both(mounting.backing.thickness, units)}, below both cross-members"
        yield _Part((patch((reach[0], top - thick, reach[1], top), "steel"),), said, (reach[1] - 1, top - thick / 2))


# --- fasteners ------------------------------------------------------------------------------------------------


def _bolt(
    anchor: AnchorSetting, sheet: MountingSheet, group: BoltGroup, at: float, units: UnitSystem
) -> Iterator[_Part]:
    """Head, shank, what lies under the nut, nut and thread; words at the foremost of a kind."""
    bolts = anchor.mounting.bolts
    foremost = at == max(x for x, in_member in _row(anchor) if in_member == (group.where == "through the cross-member"))
    top, D, across = MM * anchor.mounting.base_thickness, MM * bolts.D, MM * bolts.thread.d_nut
    end = top - MM * (group.length or group.needed)
    nut = top - MM * group.grip
    nut_end = nut - MM * group.nut_height
    wide = MM * (sheet.holes.drill if sheet.holes is not None else bolts.D) / 2
    sides: list[Shape] = [
        Line((at + side * wide, 0.0), (at + side * wide, -MM * anchor.floor.thickness), "hole") for side in (-1, 1)
    ]
    thread = [
        Line((at - D / 2, level), (at + D / 2, level), "grain")
        for level in _threads(end, group, MM * bolts.thread.pitch)
    ]
    shapes = (
        *sides,
        patch((at - D / 2, end, at + D / 2, top), "steel"),
        patch((at - across / 2, top, at + across / 2, top + 0.64 * D), "steel"),
        *thread,
    )
    long = "no stock length is long enough" if group.length is None else f"{in_both(group.length, units)} long"
    yield _Part(shapes, f"bolt {group.size}, {long}" if foremost else "", (at + D / 2 - 0.5, top + 0.3 * D))
    if group.under_nut is not None:
        outside, thick = (MM * size for size in group.under_nut.dimensions)
        said = " × ".join(in_both(size, units) for size in group.under_nut.dimensions)
        yield _Part(
            (patch((at - outside / 2, nut, at + outside / 2, nut + thick), "steel"),),
            f"{group.under_nut.kind} {said}" if foremost else "", (at + outside / 2 - 0.5, nut + thick / 2),
        )  # fmt: skip
    if group.bevelled is not None:
        under = -MM * (anchor.floor.thickness + anchor.floor.section.thickness)
        lies = under - MM * sum(item.thickness for item in group.stack if item.what == group.bevelled.kind)
        yield _Part(
            (patch((at - across / 2, lies, at + across / 2, under), "steel"),),
            group.bevelled.kind if foremost else "", (at + across / 2 - 0.5, (lies + under) / 2),
        )  # fmt: skip
    yield _Part(
        (patch((at - across / 2, nut_end, at + across / 2, nut), "steel"),),
        f"lock nut {in_both(group.nut_height, units)} high" if foremost else "",
        (at + across / 2 - 0.5, (nut + nut_end) / 2),
    )
    beyond = in_both((nut_end - end) / MM, units)
    where = f", {group.where}" if len(sheet.bolts) > 1 else ""
    said = f"thread {beyond} beyond the nut{where}" if foremost and end < nut_end else ""
    yield _Part((Line((at - D / 2, end), (at + D / 2, end), "hole"),), said, (at + D / 2, min(end + 1, nut_end)))


def _threads(end: float, group: BoltGroup, pitch: float) -> Iterator[float]:
    """Levels of the turns of a thread, every other one, from the bolt's end up."""
    for turn in range(1, int(MM * group.thread / (2 * pitch))):
        yield end + 2 * pitch * turn


def _screw(anchor: AnchorSetting, at: float, units: UnitSystem) -> Iterator[_Part]:
    screws = anchor.mounting.fasteners
    assert isinstance(screws, Screws)  # noqa: S101 - the other kind is drawn by _bolt
    top, r, head = MM * anchor.mounting.base_thickness, MM * screws.D / 2, MM * screws.screw.D_head / 2
    end = top - MM * screws.length
    shank = Patch(((at - r, top), (at - r, end + 2 * r), (at, end), (at + r, end + 2 * r), (at + r, top)), "steel")
    turns = [
        Line((at - r, end + 2 * r + step), (at + r, end + 2 * r + step + r / 2), "grain")
        for step in range(0, max(int(MM * screws.screw.thread_length(screws.length) - 2 * r), 0), 3)
    ]
    foremost = at == max(x for x, _ in _row(anchor))
    said = f"{screws.screw.name}, {in_both(screws.length, units)} long" if foremost else ""
    yield _Part(
        (shank, *turns, patch((at - head, top, at + head, top + head), "steel")), said, (at + head - 0.5, top + 1)
    )
    out = -end - MM * anchor.floor.thickness
    if foremost and out > 0:
        yield _Part((), f"point comes {in_both(out / MM, units)} out below: cap it", (at, end + 0.5))
