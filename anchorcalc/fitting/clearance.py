"""What a mounting would cut, cover or miss: its holes and parts against members, joints, edges, wells and zones.

Every part is a rectangle with round corners: a hole or washer is a point with a radius, a base or plate a
rectangle without. Distances are exact. Frame as in the scenario: x forward from the rear edge, y to the left of
the centreline [m].
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Mapping
from itertools import pairwise
from math import inf, sqrt
from typing import TYPE_CHECKING, Literal

import numpy as np
from msgspec import Struct

from anchorcalc.mechanics.outline import ROUNDING, Axis, Box, Faces, Obstacle, Span, barred_shifts, deck_edges, gap
from anchorcalc.result.fitting import AnchorPlace, Conflict, Tightest
from anchorcalc.rig.parts import Bars, Bolts, Frame, Screws, ThroughSteel, WasherSeat
from anchorcalc.units import both_lengths

if TYPE_CHECKING:
    from anchorcalc.rig.parts import AnchorSetting
    from anchorcalc.rig.rig import Rig, Shelf


class Part(Struct, frozen=True):
    """A part of a mounting at its place on the deck, `radius` beyond its core."""

    name: str
    core: Box
    radius: float = 0.0


class Rule(Struct, frozen=True):
    """A part keeps `wanted` away from an obstacle; with `Faces` it lies on one of them."""

    part: Part
    obstacle: Obstacle
    name: str  # of the obstacle
    wanted: float = 0.0
    remedy: str = ""  # what else would do than another place, in words

    @property
    def gap(self) -> float:
        """How far the part is from the obstacle [m]; see `outline.gap`."""
        return gap(self.part.core, self.part.radius, self.obstacle)

    def barred(self, axis: Axis) -> list[Span]:
        """Shifts along `axis` at which the rule is broken, as open spans [m]."""
        return barred_shifts(self.part.core, self.part.radius, self.obstacle, self.wanted, axis)


def places(rig: Rig) -> tuple[AnchorPlace, ...]:
    """Every anchor of `rig` at its place on the deck."""
    found = {name: footprints(anchor) for name, anchor in rig.anchors.items()}
    shelf = rig.basis.shelf
    return tuple(
        _place(anchor, [*rules_of(anchor, shelf), *neighbour_rules(name, found, _on_base(anchor.base, rig))])
        for name, anchor in rig.anchors.items()
    )


def _on_base(base: str, rig: Rig) -> list[str]:
    """Anchors whose rings stand on one base."""
    return [name for name, anchor in rig.anchors.items() if anchor.base == base]


def _place(setting: AnchorSetting, rules: list[Rule]) -> AnchorPlace:
    x, y = setting.at
    half = setting.floor.half_width_at(x)
    found = conflicts(rules)
    if any(each.kind == "misses" for each in found):  # what bolts do not meet is in nobody's way
        found = tuple(each for each in found if not each.remedy)
    along, across = (nearest_shift(rules, axis) for axis in (0, 1)) if found else (0.0, 0.0)
    return AnchorPlace(
        anchor=setting.name,
        mounting=setting.mounting.name,
        at=setting.at,
        to_left_edge=half - y,
        to_right_edge=half + y,
        conflicts=found,
        tightest=tightest(rules),
        clear_along=None if along is None else x + along,
        clear_across=None if across is None else y + across,
    )


# --- what must keep clear of what ---------------------------------------------------------------------------


def rules_of(setting: AnchorSetting, shelf: Shelf) -> Iterator[Rule]:
    """All that one anchor's mounting must keep clear of, and what its bolts must meet."""
    yield from _members(setting)
    yield from _webs(setting, shelf)
    yield from _joints(setting, shelf)
    floor, D = setting.floor, setting.mounting.fasteners.D
    ends: list[tuple[str, Obstacle]] = [*deck_edges(floor.length, floor.width, floor.width_front, floor.nose)]
    ends += [(f"wheel well {zone.name}", Box(zone.x, zone.y)) for zone in floor.wells]
    for name, end in ends:
        yield from (Rule(part, end, name) for part in _covers(setting))
        yield from (Rule(hole, end, name, _from_edge(setting, shelf)) for hole in holes(setting, radius=0.0))
    for zone in floor.no_go:
        parts = [*_covers(setting), *holes(setting, radius=D / 2)]
        yield from (Rule(part, Box(zone.x, zone.y), f"zone {zone.name}") for part in parts)


def _members(setting: AnchorSetting) -> Iterator[Rule]:
    half, lengthwise = setting.floor.member.width / 2, setting.floor.lengthwise
    in_member = setting.mounting.in_member
    clear: list[Part] = []
    for number, part in enumerate(under_deck(setting)):
        if in_member[number]:
            hole = Part("bolts", part.core, setting.mounting.fasteners.D / 2)
            yield Rule(hole, Faces(setting.floor.lines, half, setting.floor.axis), "cross-member they go through")
        else:
            clear.append(part)
    below = ("cut-out", "plate") if _through(setting) else ("plate",)
    clear += [part for part in _covers(setting) if part.name in below]
    for number, middle in enumerate(setting.floor.lines, start=1):
        face = (middle - half, middle + half), (-inf, inf)
        strip, edge = (Box(*face[::-1]), "right") if lengthwise else (Box(*face), "rear")
        yield from (Rule(part, strip, f"cross-member {number} from the {edge}") for part in clear)
    if isinstance(setting.mounting.backing, Bars):
        yield _one_bay(setting)


_CORNERS = 1 / (0.95 * sqrt(3))
"""From the middle of a hexagon nut to its corners, of the circle it bears on: 0.95 of its width across flats."""


def _webs(setting: AnchorSetting, shelf: Shelf) -> Iterator[Rule]:
    """Nut and washer under the face of a hollow or open member lie clear of its webs.

    Which edge of an angle's, a channel's or a Z's face the web is at nobody says: at either.
    """
    mounting, floor = setting.mounting, setting.floor
    backing = mounting.backing
    if not isinstance(backing, ThroughSteel) or floor.timber is not None or backing.walls == 2:
        return
    between = Faces(floor.lines, floor.section.clear_inside, floor.axis)
    nut = _CORNERS * mounting.bolts.thread.d_nut
    radius = max(washer_outside(setting, shelf) / 2, nut)
    for hole, through in zip(holes(setting, 0.0), mounting.in_member, strict=True):
        if not through:
            continue
        part = Part("washers" if radius > nut else "nuts", hole.core, radius)
        room = gap(hole.core, 0.0, between)
        nearer = room < between.half_width - ROUNDING
        yield Rule(part, between, "the web of the cross-member", remedy=_beside_web(room, nut, nearer=nearer))


def _beside_web(room: float, nut: float, *, nearer: bool) -> str:
    """What would lie flat within `room` of the middle of a bolt [m]; `nut` to a nut's corners."""
    side = ", which nobody says is on the other side" if nearer else ""
    if room < nut:
        return f"not even the nut finds room beside the web{side}: the bolt farther from it, or another backing"
    return (
        f"nothing wider than {both_lengths(2 * room)} lies flat beside the web{side}: a smaller washer, or the bolt "
        "farther from it"
    )


def washer_outside(setting: AnchorSetting, shelf: Shelf) -> float:
    """Diameter of the washer under a nut: the one given, else a plain one; nil where no table has one [m]."""
    seat = setting.mounting.seat
    if isinstance(seat, WasherSeat):
        return seat.outside
    plain = shelf.plain_washer(setting.mounting.bolts.thread.name)
    return 0.0 if plain is None else plain.outside


def _one_bay(setting: AnchorSetting) -> Rule:
    """All bolts of a bridge bar stand between the same two cross-members."""
    lines, along = setting.floor.lines, setting.mounting.positions[:, 0]
    rear, front = float(along.min()), float(along.max())
    middle = setting.base_at[0] + (rear + front) / 2
    pattern = Part("bolts", Box.about((middle, setting.base_at[1])), (front - rear + setting.mounting.fasteners.D) / 2)
    own = setting.floor.bay_of(setting.at[0])
    bays = tuple((low + high) / 2 for low, high in pairwise(lines) if high - low > own - ROUNDING)
    clear = (own - setting.floor.member.width) / 2
    return Rule(pattern, Faces(bays, clear), "bay between two cross-members, which a bar needs")


def _joints(setting: AnchorSetting, shelf: Shelf) -> Iterator[Rule]:
    """Holes stay a panel edge's distance from every joint; nothing that presses on a layer straddles its joints."""
    if isinstance(setting.mounting.backing, Frame):
        return
    covers = _covers(setting)
    lowest = len(setting.floor.layers)
    pressing = {1: ["base"], lowest: ["plate", "washers"]} if lowest > 1 else {1: ["base", "plate", "washers"]}
    for number, layer in enumerate(setting.floor.layers, start=1):
        lines = [(Box((x, x), (-inf, inf)), "across") for x in layer.joints_across]
        lines += [(Box((-inf, inf), (y, y)), "along") for y in layer.joints_along]
        for count, (line, way) in enumerate(lines, start=1):
            name = f"joint {count} of layer {number}, {way}"
            yield from (Rule(hole, line, name, _from_edge(setting, shelf)) for hole in holes(setting, radius=0.0))
            touching = ["cut-out"] * setting.mounting.cuts(layer) + pressing.get(number, [])
            parts = [part for part in covers if part.name in touching]
            yield from (Rule(part, line, name) for part in parts)


Height = Literal["above", "in", "below"]


def footprints(setting: AnchorSetting) -> list[tuple[Part, frozenset[Height]]]:
    """What a mounting takes of the deck's top, of the deck, and of the room under it.

    Under the deck one part stands for all: the outline round plate, bars, or nuts with their washers.
    """
    found: list[tuple[Part, frozenset[Height]]] = [(_base(setting), frozenset({"above"}))]
    levels: frozenset[Height] = frozenset({"above", "in", "below"} if _through(setting) else {"above", "in"})
    found.extend((part, levels) for part in _cut_out(setting))
    found.extend((part, frozenset({"in", "below"})) for part in _outline_below(setting))
    return found


def _outline_below(setting: AnchorSetting) -> list[Part]:
    plate = setting.mounting.plate
    if plate is not None:
        return [Part("plate", Box.about(setting.base_at, plate.size))]
    parts = bars(setting) or under_deck(setting)
    if not parts:
        return []
    xs, ys = zip(*(part.core.spans for part in parts), strict=True)
    around = Box((min(x for x, _ in xs), max(x for _, x in xs)), (min(y for y, _ in ys), max(y for _, y in ys)))
    fasteners = setting.mounting.fasteners
    nut = fasteners.thread.d_nut / 2 if isinstance(fasteners, Bolts) and not bars(setting) else 0.0
    return [Part({"holes": "fasteners"}.get(parts[0].name, parts[0].name), around, max(parts[0].radius, nut))]


def neighbour_rules(
    name: str, found: Mapping[str, list[tuple[Part, frozenset[Height]]]], mates: Container[str] = ()
) -> Iterator[Rule]:
    """No part of anchor `name` lies on a part of another anchor at the same level; its `mates` share its base."""
    for other, theirs in found.items():
        if other in mates:
            continue
        for own, own_levels in found[name]:
            for part, levels in theirs:
                if own_levels & levels:
                    grown = Part(own.name, own.core, own.radius + part.radius)
                    yield Rule(grown, part.core, f"{part.name} of anchor {other}")


def _from_edge(setting: AnchorSetting, shelf: Shelf) -> float:
    return shelf.fitting_factor("edge_of_panel") * setting.mounting.fasteners.D


# --- parts ----------------------------------------------------------------------------------------------------


def _base(setting: AnchorSetting) -> Part:
    return Part("base", Box.about(setting.base_at, setting.mounting.covers))


def _through(setting: AnchorSetting) -> bool:
    """Whether the cut-out goes through the whole deck."""
    return setting.mounting.cuts(setting.floor.layers[-1])


def _cut_out(setting: AnchorSetting) -> list[Part]:
    """The opening in the deck with its round corners; of one that stands askew the whole that it covers."""
    mounting = setting.mounting
    if mounting.opens is None:
        return []
    corner = 0.0 if mounting.turned else mounting.cut_out_corner
    length, width = (side - 2 * corner for side in mounting.opens)
    return [Part("cut-out", Box.about(setting.base_at, (length, width)), corner)]


def holes(setting: AnchorSetting, radius: float) -> list[Part]:
    """The fasteners' holes, `radius` round their middles [m]."""
    x, y = setting.base_at
    return [Part("holes", Box.about((x + float(dx), y + float(dy))), radius) for dx, dy in setting.mounting.positions]


def under_deck(setting: AnchorSetting) -> list[Part]:
    """What comes out under the deck at each fastener and must clear the steel there, in the fasteners' order.

    A nut with its washer; a bare bolt where a bar takes it below the members; a screw's point if it comes through.
    """
    fasteners, seat = setting.mounting.fasteners, setting.mounting.seat
    if isinstance(fasteners, Screws):
        reach = fasteners.length - setting.mounting.base_thickness
        through = reach > setting.floor.thickness and setting.floor.timber is None  # into wood they may go
        return holes(setting, setting.mounting.fasteners.D / 2) if through else []
    if isinstance(seat, WasherSeat):
        return [Part("washers", hole.core, seat.outside / 2) for hole in holes(setting, 0.0)]
    return holes(setting, setting.mounting.fasteners.D / 2)


def bars(setting: AnchorSetting) -> list[Part]:
    """Bridge bars from the far face of one member to the far face of the next, one or one under each row of bolts."""
    backing = setting.mounting.backing
    if not isinstance(backing, Bars) or setting.overhang:
        return []
    x, y = setting.at[0], setting.base_at[1]
    beyond, half = setting.floor.member.width / 2, backing.width / 2
    extent = (x - setting.behind - beyond, x + setting.ahead + beyond)
    return [Part("bar", Box(extent, (y + row - half, y + row + half))) for row in bar_rows(setting)]


def bar_rows(setting: AnchorSetting) -> list[float]:
    """Middle of each bar across the deck, from the middle of the ring [m]; none where there are no bars."""
    backing, positions = setting.mounting.backing, setting.mounting.positions
    if not isinstance(backing, Bars):
        return []
    sides = [positions[row, 1] for row in backing.rows(positions)]
    return [float(side.min() + side.max()) / 2 for side in sides if len(side)]


def _covers(setting: AnchorSetting) -> list[Part]:
    """What covers deck or opens it: base, cut-out, plate, washers, bars."""
    mounting, parts = setting.mounting, [_base(setting), *_cut_out(setting)]
    if mounting.plate is not None:
        parts.append(Part("plate", Box.about(setting.base_at, mounting.plate.size)))
    elif isinstance(mounting.seat, WasherSeat):
        parts += [part for part, off_wood in zip(under_deck(setting), mounting.in_member, strict=True) if not off_wood]
    return parts + bars(setting)


# --- distances ------------------------------------------------------------------------------------------------


def conflicts(rules: Iterable[Rule]) -> tuple[Conflict, ...]:
    """The rules that are broken, by part and obstacle."""
    groups: dict[tuple[str, str], list[Rule]] = {}
    for rule in rules:
        groups.setdefault((rule.part.name, rule.name), []).append(rule)
    found = []
    for (part, name), group in groups.items():
        broken = [rule for rule in group if rule.gap < rule.wanted - ROUNDING]
        if broken:
            worst = min(broken, key=lambda rule: rule.gap)
            kind: Literal["too near", "overlaps", "misses"] = "overlaps" if worst.gap < 0 else "too near"
            if isinstance(worst.obstacle, Faces) and not worst.remedy:
                kind = "misses"
            found.append(Conflict(part, len(broken), len(group), name, worst.gap, worst.wanted, kind, worst.remedy))
    return tuple(found)


def tightest(rules: Iterable[Rule]) -> Tightest:
    """The rule with the least to spare; below nil it is broken."""
    least = min(rules, key=lambda rule: rule.gap - rule.wanted)
    return Tightest(least.part.name, least.name, least.gap - least.wanted)


def nearest_shift(rules: Iterable[Rule], axis: Axis) -> float | None:
    """The least shift of the whole mounting along `axis` that breaks no rule [m]; None when there is none."""
    barred = [span for rule in rules for span in rule.barred(axis)]
    lows, highs = np.array(barred).reshape(-1, 2).T
    ends = {0.0, *(end for span in barred for end in span if abs(end) < inf)}
    # Of two as near as each other, forward or left: the same one however the numbers round.
    for shift in sorted(ends, key=lambda end: (round(abs(end), 6), -end)):
        if not np.any((lows + ROUNDING < shift) & (shift < highs - ROUNDING)):
            return shift
    return None
