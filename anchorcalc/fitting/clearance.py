"""What a mounting would cut, cover or miss: its holes and parts against members, joints, edges, wells and zones.

Every part is a rectangle with round corners: a hole or washer is a point with a radius, a base or plate a
rectangle without. Distances are exact. Frame as in the scenario: x forward from the rear edge, y to the left of
the centreline [m].
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from math import hypot, inf, sqrt
from typing import TYPE_CHECKING, Literal

import numpy as np

from anchorcalc.links.path import bolts_in_member
from anchorcalc.scenario import crosscheck
from anchorcalc.scenario.model import Bridge, NoBacking, Plate, ThroughMember, Washers, WasherSize

if TYPE_CHECKING:
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.rig.settings import AnchorSetting
    from anchorcalc.scenario.model import Deck, Scenario

_ROUNDING = 1e-9  # [m]: touching is not overlapping

Axis = Literal[0, 1]
Span = tuple[float, float]


@dataclass(frozen=True)
class Box:
    """A rectangle along the axes, possibly without end; a point when both sides are nil."""

    x: Span
    y: Span

    @classmethod
    def about(cls, at: tuple[float, float], size: tuple[float, float] = (0.0, 0.0)) -> Box:
        """Rectangle of `size` with its middle at `at`."""
        return cls((at[0] - size[0] / 2, at[0] + size[0] / 2), (at[1] - size[1] / 2, at[1] + size[1] / 2))

    @property
    def spans(self) -> tuple[Span, Span]:
        """Extent along x and along y."""
        return self.x, self.y


@dataclass(frozen=True)
class Edge:
    """A straight edge of the deck: the deck is where the outward normal times the place is at most `offset`."""

    normal: tuple[float, float]  # of length one
    offset: float


@dataclass(frozen=True)
class Faces:
    """Strips across the deck of which a part must lie on one: the members' faces, or the bays between them."""

    middles: tuple[float, ...]
    half_width: float


Obstacle = Box | Edge | Faces


@dataclass(frozen=True)
class Part:
    """A part of a mounting at its place on the deck, `radius` beyond its core."""

    name: str
    core: Box
    radius: float = 0.0


@dataclass(frozen=True)
class Rule:
    """A part keeps `wanted` away from an obstacle; with `Faces` it lies on one of them."""

    part: Part
    obstacle: Obstacle
    name: str  # of the obstacle
    wanted: float = 0.0


@dataclass(frozen=True)
class Conflict:
    """Parts of one kind that come too near to one obstacle, the nearest of them counting [m]."""

    part: str
    count: int
    of: int
    obstacle: str
    gap: float  # below nil: how far they overlap, or by how much they miss the face they should meet
    wanted: float
    kind: Literal["too near", "overlaps", "misses"]


@dataclass(frozen=True)
class Tightest:
    """The rule that leaves least to spare where none is broken [m]."""

    part: str
    obstacle: str
    spare: float


@dataclass(frozen=True)
class Place:
    """Where an anchor goes, what is in its way there, and the nearest clear place along and across [m]."""

    anchor: str
    mounting: str
    at: tuple[float, float]
    to_left_edge: float
    to_right_edge: float
    conflicts: tuple[Conflict, ...]
    tightest: Tightest
    clear_along: float | None  # x of the nearest clear place on the same line along the deck
    clear_across: float | None  # y of the nearest clear place at the same distance from the rear edge


def places(scenario: Scenario, catalog: Catalog, settings: Mapping[str, AnchorSetting]) -> tuple[Place, ...]:
    """Every anchor in `settings` at its place on the deck of `scenario`."""
    deck = scenario.deck
    found = {name: footprints(setting) for name, setting in settings.items()}
    return tuple(
        _place(setting, [*rules_of(setting, deck, catalog), *neighbour_rules(name, found)], deck)
        for name, setting in settings.items()
    )


def _place(setting: AnchorSetting, rules: list[Rule], deck: Deck) -> Place:
    x, y = setting.at
    half = deck.half_width_at(x)
    found = conflicts(rules)
    along, across = (nearest_shift(rules, axis) for axis in (0, 1)) if found else (0.0, 0.0)
    return Place(
        anchor=setting.name,
        mounting=setting.mounting,
        at=setting.at,
        to_left_edge=half - y,
        to_right_edge=half + y,
        conflicts=found,
        tightest=tightest(rules),
        clear_along=None if along is None else x + along,
        clear_across=None if across is None else y + across,
    )


# --- what must keep clear of what ---------------------------------------------------------------------------


def rules_of(setting: AnchorSetting, deck: Deck, catalog: Catalog) -> Iterator[Rule]:
    """All that one anchor's mounting must keep clear of, and what its bolts must meet."""
    yield from _members(setting)
    yield from _joints(setting, catalog)
    ends: list[tuple[str, Obstacle]] = [*deck_edges(deck)]
    ends += [(f"wheel well {zone.name}", _box(zone.corner, zone.opposite)) for zone in deck.wheel_wells]
    for name, end in ends:
        yield from (Rule(part, end, name) for part in _covers(setting))
        yield from (Rule(hole, end, name, _from_edge(setting, catalog)) for hole in holes(setting, radius=0.0))
    for zone in deck.no_go:
        box = _box(zone.corner, zone.opposite)
        parts = [*_covers(setting), *holes(setting, radius=diameter(setting) / 2)]
        yield from (Rule(part, box, f"zone {zone.name}") for part in parts)


def _members(setting: AnchorSetting) -> Iterator[Rule]:
    half = setting.places.face_width / 2
    in_member = bolts_in_member(setting) if isinstance(setting.backing, ThroughMember) else None
    clear: list[Part] = []
    for number, part in enumerate(under_deck(setting)):
        if in_member is not None and in_member[number]:
            hole = Part("bolts", part.core, diameter(setting) / 2)
            yield Rule(hole, Faces(setting.places.centrelines, half), "cross-member they go through")
        else:
            clear.append(part)
    clear += [part for part in _covers(setting) if part.name in ("cut-out", "plate")]
    for number, middle in enumerate(setting.places.centrelines, start=1):
        face = Box((middle - half, middle + half), (-inf, inf))
        yield from (Rule(part, face, f"cross-member {number} from the rear") for part in clear)
    if isinstance(setting.backing, Bridge):
        yield _one_bay(setting)


def _one_bay(setting: AnchorSetting) -> Rule:
    """All bolts of a bridge bar stand between the same two cross-members."""
    lines, along = setting.places.centrelines, setting.positions[:, 0]
    rear, front = float(along.min()), float(along.max())
    middle = setting.at[0] + (rear + front) / 2
    pattern = Part("bolts", Box.about((middle, setting.at[1])), (front - rear + diameter(setting)) / 2)
    bays = tuple((low + high) / 2 for low, high in pairwise(lines))
    clear = (setting.places.spacing - setting.places.face_width) / 2
    return Rule(pattern, Faces(bays, clear), "bay between two cross-members, which a bar needs")


def _joints(setting: AnchorSetting, catalog: Catalog) -> Iterator[Rule]:
    """Holes stay a panel edge's distance from every joint; nothing that presses on a layer straddles its joints."""
    covers = _covers(setting)
    lowest = len(setting.layers)
    pressing = {1: ["base"], lowest: ["plate", "washers"]} if lowest > 1 else {1: ["base", "plate", "washers"]}
    for number, layer in enumerate(setting.layers, start=1):
        lines = [(Box((x, x), (-inf, inf)), "across") for x in layer.joints_across]
        lines += [(Box((-inf, inf), (y, y)), "along") for y in layer.joints_along]
        for count, (line, way) in enumerate(lines, start=1):
            name = f"joint {count} of layer {number}, {way}"
            yield from (Rule(hole, line, name, _from_edge(setting, catalog)) for hole in holes(setting, radius=0.0))
            parts = [part for part in covers if part.name in ("cut-out", *pressing.get(number, []))]
            yield from (Rule(part, line, name) for part in parts)


Level = Literal["above", "in", "below"]


def footprints(setting: AnchorSetting) -> list[tuple[Part, frozenset[Level]]]:
    """What a mounting takes of the deck's top, of the deck, and of the room under it.

    Under the deck one part stands for all: the outline round plate, bars, or nuts with their washers.
    """
    found: list[tuple[Part, frozenset[Level]]] = [(_base(setting), frozenset({"above"}))]
    if setting.cut_out is not None:
        found.append((Part("cut-out", Box.about(setting.at, setting.cut_out)), frozenset({"above", "in", "below"})))
    found.extend((part, frozenset({"in", "below"})) for part in _outline_below(setting))
    return found


def _outline_below(setting: AnchorSetting) -> list[Part]:
    if isinstance(setting.backing, Plate):
        return [Part("plate", Box.about(setting.at, setting.backing.size))]
    parts = bars(setting) or under_deck(setting)
    if not parts:
        return []
    xs, ys = zip(*(part.core.spans for part in parts), strict=True)
    around = Box((min(x for x, _ in xs), max(x for _, x in xs)), (min(y for y, _ in ys), max(y for _, y in ys)))
    nut = setting.thread.d_nut / 2 if setting.thread is not None and not bars(setting) else 0.0
    return [Part({"holes": "fasteners"}.get(parts[0].name, parts[0].name), around, max(parts[0].radius, nut))]


def neighbour_rules(name: str, found: Mapping[str, list[tuple[Part, frozenset[Level]]]]) -> Iterator[Rule]:
    """No part of anchor `name` lies on a part of another anchor at the same level."""
    for other, theirs in found.items():
        if other == name:
            continue
        for own, own_levels in found[name]:
            for part, levels in theirs:
                if own_levels & levels:
                    grown = Part(own.name, own.core, own.radius + part.radius)
                    yield Rule(grown, part.core, f"{part.name} of anchor {other}")


def _from_edge(setting: AnchorSetting, catalog: Catalog) -> float:
    return catalog.fitting_factor("edge_of_panel") * diameter(setting)


# --- parts ----------------------------------------------------------------------------------------------------


def diameter(setting: AnchorSetting) -> float:
    """Of the fasteners [m]."""
    row = setting.thread or setting.screw
    assert row is not None  # noqa: S101 - every anchor has one of the two
    return row.D


def _base(setting: AnchorSetting) -> Part:
    return Part("base", Box.about(setting.at, setting.base))


def holes(setting: AnchorSetting, radius: float) -> list[Part]:
    """The fasteners' holes, `radius` round their middles [m]."""
    x, y = setting.at
    return [Part("holes", Box.about((x + float(dx), y + float(dy))), radius) for dx, dy in setting.positions]


def under_deck(setting: AnchorSetting) -> list[Part]:
    """What comes out under the deck at each fastener and must clear the steel there, in the fasteners' order.

    A nut with its washer; a bare bolt where a bar takes it below the members; a screw's point if it comes through.
    """
    backing, seat = setting.backing, setting.seat
    if isinstance(backing, NoBacking):
        reach = (setting.fastener_length or 0.0) - setting.base_thickness
        through = reach > setting.deck_thickness
        return holes(setting, diameter(setting) / 2) if through else []
    if isinstance(seat, WasherSize):
        return [Part("washers", hole.core, seat.outside / 2) for hole in holes(setting, 0.0)]
    return holes(setting, diameter(setting) / 2)


def bars(setting: AnchorSetting) -> list[Part]:
    """Bridge bars from the far face of one member to the far face of the next, one or one under each row of bolts."""
    backing, near = setting.backing, setting.places
    if not isinstance(backing, Bridge) or near.overhang:
        return []
    x, y = setting.at
    beyond, half = near.face_width / 2, backing.width / 2
    extent = (x - near.behind - beyond, x + near.ahead + beyond)
    return [Part("bar", Box(extent, (y + row - half, y + row + half))) for row in bar_rows(setting)]


def bar_rows(setting: AnchorSetting) -> list[float]:
    """Middle of each bar across the deck, from the middle of the ring [m]."""
    assert isinstance(setting.backing, Bridge)  # noqa: S101 - asked of bridge mountings only
    return crosscheck.bar_rows([(float(x), float(y)) for x, y in setting.positions], setting.backing.bars)


def _covers(setting: AnchorSetting) -> list[Part]:
    """What covers deck or opens it: base, cut-out, plate, washers, bars."""
    parts = [_base(setting)]
    if setting.cut_out is not None:
        parts.append(Part("cut-out", Box.about(setting.at, setting.cut_out)))
    if isinstance(setting.backing, Plate):
        parts.append(Part("plate", Box.about(setting.at, setting.backing.size)))
    if isinstance(setting.backing, Washers):
        parts += under_deck(setting)
    if isinstance(setting.backing, ThroughMember) and isinstance(setting.seat, WasherSize):
        bearing_on_wood = ~bolts_in_member(setting)
        parts += [part for part, on_wood in zip(under_deck(setting), bearing_on_wood, strict=True) if on_wood]
    return parts + bars(setting)


# --- the deck's outline ---------------------------------------------------------------------------------------


def deck_edges(deck: Deck) -> list[tuple[str, Edge]]:
    """The four edges of the deck, a trapezoid about its centreline."""
    rear, front = deck.half_width_at(0.0), deck.half_width_at(deck.length)
    side = hypot(deck.length, front - rear)
    forward = (rear - front) / side  # part of the side's outward normal along x
    outward = deck.length / side
    return [
        ("rear edge", Edge((-1.0, 0.0), 0.0)),
        ("front edge", Edge((1.0, 0.0), deck.length)),
        ("left edge", Edge((forward, outward), outward * rear)),
        ("right edge", Edge((forward, -outward), outward * rear)),
    ]


def _box(corner: tuple[float, float], opposite: tuple[float, float]) -> Box:
    (x0, x1), (y0, y1) = (sorted(pair) for pair in zip(corner, opposite, strict=True))
    return Box((x0, x1), (y0, y1))


# --- distances ------------------------------------------------------------------------------------------------


def gap(part: Part, obstacle: Obstacle) -> float:
    """Distance between a part and an obstacle; below nil the depth to which they overlap [m].

    For `Faces`: how far inside the nearest face the part lies; below nil how far it misses it.
    """
    if isinstance(obstacle, Edge):
        return obstacle.offset - _farthest(part.core, obstacle.normal) - part.radius
    if isinstance(obstacle, Faces):
        x = sum(part.core.x) / 2
        nearest = min((abs(x - middle) for middle in obstacle.middles), default=inf)
        return obstacle.half_width - part.radius - nearest
    apart = [_apart(own, other) for own, other in zip(part.core.spans, obstacle.spans, strict=True)]
    if max(apart) <= 0:
        return max(apart) - part.radius
    return hypot(*(max(distance, 0.0) for distance in apart)) - part.radius


def _apart(own: Span, other: Span) -> float:
    """Distance between two spans of one axis; below nil the way out of their overlap."""
    return max(other[0] - own[1], own[0] - other[1])


def _farthest(core: Box, normal: tuple[float, float]) -> float:
    return sum(part * (span[1] if part > 0 else span[0]) for part, span in zip(normal, core.spans, strict=True) if part)


def conflicts(rules: Iterable[Rule]) -> tuple[Conflict, ...]:
    """The rules that are broken, by part and obstacle."""
    groups: dict[tuple[str, str], list[Rule]] = {}
    for rule in rules:
        groups.setdefault((rule.part.name, rule.name), []).append(rule)
    found = []
    for (part, name), group in groups.items():
        broken = [rule for rule in group if gap(rule.part, rule.obstacle) < rule.wanted - _ROUNDING]
        if broken:
            least = min(gap(rule.part, rule.obstacle) for rule in broken)
            kind: Literal["too near", "overlaps", "misses"] = "overlaps" if least < 0 else "too near"
            if isinstance(broken[0].obstacle, Faces):
                kind = "misses"
            found.append(Conflict(part, len(broken), len(group), name, least, broken[0].wanted, kind))
    return tuple(found)


def tightest(rules: Iterable[Rule]) -> Tightest:
    """The rule with the least to spare; below nil it is broken."""
    least = min(rules, key=lambda rule: gap(rule.part, rule.obstacle) - rule.wanted)
    return Tightest(least.part.name, least.name, gap(least.part, least.obstacle) - least.wanted)


def nearest_shift(rules: Iterable[Rule], axis: Axis) -> float | None:
    """The least shift of the whole mounting along `axis` that breaks no rule [m]; None when there is none."""
    barred = [span for rule in rules for span in barred_shifts(rule, axis)]
    lows, highs = np.array(barred).reshape(-1, 2).T
    ends = {0.0, *(end for span in barred for end in span if abs(end) < inf)}
    # Of two as near as each other, forward or left: the same one however the numbers round.
    for shift in sorted(ends, key=lambda end: (round(abs(end), 6), -end)):
        if not np.any((lows + _ROUNDING < shift) & (shift < highs - _ROUNDING)):
            return shift
    return None


def barred_shifts(rule: Rule, axis: Axis) -> list[Span]:
    """Shifts along `axis` at which `rule` is broken, as open spans [m]."""
    part, obstacle = rule.part, rule.obstacle
    if isinstance(obstacle, Edge):
        return _barred_by_edge(gap(part, obstacle) - rule.wanted, obstacle.normal[axis])
    if isinstance(obstacle, Faces):
        return _barred_off_faces(part, obstacle, axis)
    keep = part.radius + rule.wanted
    own, other = part.core.spans, obstacle.spans
    apart = _apart(own[1 - axis], other[1 - axis])
    beside = max(apart, 0.0)
    if beside >= keep and (keep > 0 or apart >= -_ROUNDING):
        return []
    reach = sqrt(keep**2 - beside**2)
    return [(other[axis][0] - own[axis][1] - reach, other[axis][1] - own[axis][0] + reach)]


def _barred_by_edge(room: float, normal: float) -> list[Span]:
    """Shifts that leave less than no room to an edge, whose normal has this part along the shift."""
    if abs(normal) < 1e-12:
        return [(-inf, inf)] if room < -_ROUNDING else []
    return [(room / normal, inf)] if normal > 0 else [(-inf, room / normal)]


def _barred_off_faces(part: Part, faces: Faces, axis: Axis) -> list[Span]:
    if axis == 1:
        return [(-inf, inf)] if gap(part, faces) < -_ROUNDING else []
    room, x = faces.half_width - part.radius, sum(part.core.x) / 2
    if room < -_ROUNDING:
        return [(-inf, inf)]
    met = sorted((middle - room - x, middle + room - x) for middle in faces.middles)
    starts, ends = [-inf, *(high for _, high in met)], [*(low for low, _ in met), inf]
    return [(low, high) for low, high in zip(starts, ends, strict=True) if low < high]
