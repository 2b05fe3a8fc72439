"""A piece of deck round a place where something lifts or presses it: its boards, members and screws, in numbers.

It is laid about the place and may be mirrored, so that what is alike comes out the same and is worked out once.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import chain, pairwise
from math import ceil, floor
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from anchorcalc.mechanics.floor import BackingPlate, Board, Couple, Floor, FloorResponse, Member, Patch, Screws
from anchorcalc.mechanics.plates import Rigidities, orthotropic_rigidities

if TYPE_CHECKING:
    from anchorcalc.rig.floor import FloorSetting, LayerSetting
    from anchorcalc.rig.rig import Basis

Span = tuple[float, float]
_SPANS_ASIDE = 1.5  # deck taken in on either side of what loads it, in spans
_BAYS_AHEAD = 2  # members taken in behind and ahead of what loads it
_ROOM = 1e-6  # [m]
_MISSED = 3  # rows nearest to a ring of which one may be missing


Places = tuple[tuple[float, float], ...]


class Rows(NamedTuple):
    """Screws along a member."""

    spacing: float  # [m]
    first_at: float | None  # from the side edge [m]; None where nobody said


class Reach(NamedTuple):
    """Deck round what loads it, from and to along and across, in the question's own frame [m]."""

    relied_on: tuple[Span, Span]  # a joint or opening in it parts what is loaded from what holds it
    taken_in: tuple[Span, Span]  # beyond it a joint changes no figure


class Layout(NamedTuple):
    """A floor in numbers: all that `Floor` is built from, hashable."""

    boards: tuple[Board, ...]
    members: tuple[Member, ...]
    screws: tuple[Places, ...]  # in every way that has to be looked at
    screw_stiffness: float
    loads: tuple[Patch | Couple, ...]
    plates: tuple[BackingPlate, ...]


@lru_cache(maxsize=48)
def _floor(layout: Layout) -> Floor:
    places = {place: number for number, place in enumerate(dict.fromkeys(chain(*layout.screws)))}
    screws = Screws(np.array(list(places)).reshape(-1, 2), layout.screw_stiffness)
    ways = [[places[place] for place in way] for way in layout.screws]
    return Floor(layout.boards, layout.members, screws, layout.loads, layout.plates, ways=ways)


@lru_cache(maxsize=512)
def floor_answers(layout: Layout, forces: tuple[float, ...]) -> tuple[FloorResponse, ...]:
    """What a floor answers to forces, for each way its screws may stand.

    Raises
    ------
    PlateError
        It cannot be laid out, or nothing holds it.
    """
    floor = _floor(layout)
    return tuple(floor.under(forces, way) for way in range(len(layout.screws)))


def mirror_at(deck: FloorSetting, at: tuple[float, float]) -> tuple[float, float]:
    """How a piece round a place is turned, along and across, to be the same as that of a place in a mirror."""
    return -1.0 if at[0] > deck.length / 2 else 1.0, -1.0 if at[1] < 0 else 1.0


def parted(span: Span, joints: Iterable[float], narrow: float = 0.0) -> list[Span]:
    """A stretch in the parts that joints leave of it; none of those at its ends is `narrow` or less [m]."""
    inside = (joint for joint in joints if span[0] + narrow < joint < span[1] - narrow)
    return list(pairwise([span[0], *sorted(inside), span[1]]))


class Piece:
    """The deck round a place.

    Parameters
    ----------
    deck, basis : the whole deck, and the tables' single values
    at : the place in the scenario's frame [m]
    mirror : −1 where the piece is turned round along and across, else 1
    layers : those that are loaded together, top first
    covered : what loads them, from and to along and across, in the piece's own frame [m]
    rows : of the screws that hold them
    ring : how far across the asked ring stands, in the piece's own frame [m]
    spans : whether it has to bend between two members; boards that are only pushed along may end between them

    Attributes
    ----------
    why_not : why nothing can be counted here; empty where it can
    layers : those that carry
    x, y : how far the deck is taken in [m]
    """

    def __init__(
        self,
        deck: FloorSetting,
        basis: Basis,
        at: tuple[float, float],
        mirror: tuple[float, float],
        layers: Sequence[LayerSetting],
        covered: tuple[Span, Span],
        rows: Rows,
        ring: float = 0.0,
        *,
        spans: bool = True,
    ) -> None:
        self._floor, self._basis, self._at, self._ring, self._spans = deck, basis, at, ring, spans
        self.way, self.side = mirror
        self._covered, self._rows = covered, rows
        self.x, self.y = self._room()
        self.layers = tuple(layer for layer in layers if not self._cut(layer))
        self.why_not = ""
        if not self.layers:
            self.why_not = "a sheet joint or an opening of the deck lies in the strip that would carry the load"
            if deck.timber is not None:
                self.why_not += "; over a narrow bearer a joint leaves its screws too near the wood's edges to count"
        elif spans and not any(layer.spanning[0] > 0 for layer in self.layers):
            self.why_not = "planks that run along the cross-members do not span between them"
        else:
            self._end_at_joints()

    # Places in the frame: x from the anchor the way it is pulled, y to the side it stands on.

    def local(self, x: float, y: float) -> tuple[float, float]:
        """A place of the scenario in the piece's frame [m]."""
        return self._ahead(x), self._aside(y)

    def _ahead(self, x: float) -> float:
        return round(self.way * (x - self._at[0]), 9)

    def _aside(self, y: float) -> float:
        return round(self.side * (y - self._at[1]), 9)

    def place(self, x: float, y: float) -> tuple[float, float]:
        """A place of the piece's frame in the scenario's [m]."""
        return self._at[0] + self.way * x, self._at[1] + self.side * y

    def _lines(self) -> list[float]:
        return sorted(map(self._ahead, self._floor.lines))

    def _room(self) -> tuple[Span, Span]:
        """How far the deck is taken in: some members along, some spans across, never beyond its edges."""
        (x0, x1), (y0, y1) = self._covered
        lines = self._lines()
        behind, ahead = [x for x in lines if x <= x0], [x for x in lines if x >= x1]
        # On an overhang the bay beyond the next one still takes part: without it the sheet would turn too easily.
        start = behind[-_BAYS_AHEAD - (not ahead) :][0] if behind else min(lines[0], x0)
        end = ahead[: _BAYS_AHEAD + (not behind)][-1] if ahead else max(lines[-1], x1)
        ends = sorted(map(self._ahead, (0.0, self._floor.length)))
        aside = _SPANS_ASIDE * self._floor.spacing * max(self._ratio(), 1.0) ** 0.25
        beyond = self._overhung(x0, x1)
        along = (max(start - beyond[0], ends[0]), min(end + beyond[1], ends[1]))
        left, right = self._sides(along)
        return along, (round(max(y0 - aside, -right), 9), round(min(y1 + aside, left), 9))

    def _overhung(self, x0: float, x1: float) -> Span:
        """How far what lifts the deck reaches beyond the first and the last member: no more deck is taken in there."""
        lines = self._lines()
        return max(lines[0] - x0, 0.0), max(x1 - lines[-1], 0.0)

    def _ratio(self) -> float:
        layers = [layer for layer in self._floor.layers if layer.bears_load]
        along = sum(layer.panel.E * layer.spanning[0] for layer in layers)
        across = sum(layer.panel.E * layer.spanning[0] * layer.stiffness_across_to_along for layer in layers)
        return across / along if along > 0 else 0.0

    def _sides(self, along: Span) -> Span:
        """Room from the anchor to the deck's edge on its own side, and across to the other, where it is narrowest."""
        half = min(self._floor.half_width_at(self._at[0] + self.way * x) for x in along)
        aside, (low, high) = abs(self._at[1]), self._covered[1]
        return round(max(half - aside, high), 9), round(max(half + aside, -low), 9)

    def _held_from(self) -> Span:
        """Where a sheet has to begin and end for the members beside the anchor to hold it.

        It has to lie under all that loads it, and to reach so far onto a member that a screw finds its distance from
        the sheet's edge and from the steel's. On an overhang the two members are the last ones: on one alone the sheet
        would turn as on a hinge.
        """
        (x0, x1), _ = self._covered
        if not self._spans:
            return x0, x1
        lines, floor = self._lines(), self._floor
        edge, steel = self._basis.factor("screw_from_panel_edge"), self._basis.factor(self._floor.screw_edge)
        onto = edge + steel * floor.hold_down.D - floor.member.width / 2
        behind, ahead = [x for x in lines if x <= x0], [x for x in lines if x >= x1]
        start = behind[-1] - onto if behind else x0
        end = ahead[0] + onto if ahead else x1
        if not behind and len(lines) > 1:
            end = max(end, lines[1] + onto)
        if not ahead and len(lines) > 1:
            start = min(start, lines[-2] - onto)
        return min(start, x0), max(end, x1)

    def _cut(self, layer: LayerSetting) -> bool:
        """Whether a joint or an opening parts the sheet between the anchors and what holds it beside them."""
        start, end = self._held_from()
        _, (y0, y1) = self._covered
        across = map(self._ahead, layer.joints_across)
        along = map(self._aside, layer.joints_along)
        parted = any(start < x < end for x in across) or any(y0 < y < y1 for y in along)
        return parted or any(x[0] < end and x[1] > start and y[0] < y1 and y[1] > y0 for x, y in self._wells())

    def _wells(self) -> list[tuple[Span, Span]]:
        found = []
        for well in self._floor.wells:
            (x0, y0), (x1, y1) = self.local(well.x[0], well.y[0]), self.local(well.x[1], well.y[1])
            found.append(((min(x0, x1), max(x0, x1)), (min(y0, y1), max(y0, y1))))
        return found

    def _end_at_joints(self) -> None:
        """No sheet goes on beyond its joints, no deck beyond an opening."""
        (x0, x1), (y0, y1) = self._covered
        for layer in self.layers:
            for joint in map(self._ahead, layer.joints_across):
                self.x = (max(self.x[0], joint), self.x[1]) if joint <= x0 else self.x
                self.x = (self.x[0], min(self.x[1], joint)) if joint >= x1 else self.x
            for joint in map(self._aside, layer.joints_along):
                self.y = (max(self.y[0], joint), self.y[1]) if joint <= y0 else self.y
                self.y = (self.y[0], min(self.y[1], joint)) if joint >= y1 else self.y
        for well_x, well_y in self._wells():
            if well_y[0] < y1 and well_y[1] > y0:  # behind or ahead: as if the sheet had a joint there
                self.x = (max(self.x[0], well_x[1]), self.x[1]) if well_x[1] <= x0 else self.x
                self.x = (self.x[0], min(self.x[1], well_x[0])) if well_x[0] >= x1 else self.x
        for well_x, well_y in self._wells():
            if well_x[0] < self.x[1] and well_x[1] > self.x[0]:
                self.y = (max(self.y[0], well_y[1]), self.y[1]) if well_y[1] <= y0 else self.y
                self.y = (self.y[0], min(self.y[1], well_y[0])) if well_y[0] >= y1 else self.y

    @property
    def reach(self) -> Reach:
        """Where a sheet has to lie whole, along as far as the members that hold it beside, and all that is taken in."""
        found = []
        for part in ((self._held_from(), self._covered[1]), (self.x, self.y)):
            x, y = zip(*(self.place(*corner) for corner in zip(*part, strict=True)), strict=True)
            found.append(((min(x), max(x)), (min(y), max(y))))
        return Reach(*found)

    # --- what is laid there

    def layouts(self, loads: tuple[Patch | Couple, ...], plates: tuple[BackingPlate, ...] = ()) -> Iterator[Layout]:
        """Every way the planks and the screws may stand that has to be looked at."""
        stiffness = self._basis.factor("deck_screw_stiffness")
        for boards, screws in self._boards_and_screws():
            yield Layout(boards, self._members(), screws, stiffness, loads, plates)

    def _members(self) -> tuple[Member, ...]:
        stiffness, face = self._basis.factor("member_bed"), self._floor.member.width
        return tuple(Member(x, stiffness, face) for x in self._lines() if self.x[0] - _ROOM <= x <= self.x[1] + _ROOM)

    def _rigidities(self) -> Rigidities:
        shear, nu = self._basis.factor("panel_shear_over_E"), self._basis.factor("panel_strain_ratio")
        across = self._basis.factor("plank_across_over_along")
        EI_x = [layer.panel.E * layer.spanning[0] for layer in self.layers]
        EI_y = [
            layer.panel.E * layer.spanning[0] * (layer.stiffness_across_to_along or across) for layer in self.layers
        ]
        G = [shear * layer.panel.E for layer in self.layers]
        return orthotropic_rigidities(EI_x, EI_y, G, [layer.thickness for layer in self.layers], nu)

    @property
    def thickness(self) -> float:
        """Of the layers that are lifted [m]."""
        return sum(layer.thickness for layer in self.layers)

    def _boards_and_screws(self) -> Iterator[tuple[tuple[Board, ...], tuple[Places, ...]]]:
        rigidities, t = self._rigidities(), self.thickness
        planks = all(layer.section.planks for layer in self.layers)
        if not planks:
            board = Board(self.x, self.y, rigidities, t)
            ways = chain.from_iterable(map(self._with_gaps, self._rows_of_screws()))
            yield (board,), tuple(map(self._screws, ways))
            return
        width = self._floor.plank_width or self._basis.factor("plank_width")
        for shift in (0.0, 0.5):
            edges = self._plank_edges(width, shift)
            boards = tuple(Board(self.x, edge, rigidities, t, whole=True) for edge in edges)
            rows = [place for edge in edges for place in self._in_plank(edge)]
            yield boards, tuple(map(self._screws, self._with_gaps(rows)))

    def _with_gaps(self, rows: list[float]) -> Iterator[list[float]]:
        """The rows as they are and, where some screws are missing, without each of those nearest to the ring.

        The one beside the ring is not always the worst to miss: it also relieves its neighbours' boards.
        """
        yield rows
        if self._floor.hold_down_condition == "some missing":
            for gone in sorted(rows, key=lambda y: (abs(y - self._ring), y))[:_MISSED]:
                yield [y for y in rows if y != gone]

    def _plank_edges(self, width: float, shift: float) -> list[Span]:
        """Edges of the planks across the room, one `shift` of its width off the place; cut at the room's ends."""
        planks = range(floor(self.y[0] / width), ceil(self.y[1] / width) + 1)
        edges = [((k + shift - 0.5) * width, (k + shift + 0.5) * width) for k in planks]
        cut = [(round(max(low, self.y[0]), 9), round(min(high, self.y[1]), 9)) for low, high in edges]
        return [(low, high) for low, high in cut if high - low > _ROOM]

    def _in_plank(self, edge: Span) -> list[float]:
        """Where the screws of a plank stand across it: as near to its edges as may be, evenly; one in a narrow rest."""
        room, count = self._basis.factor("screw_from_panel_edge"), self._floor.screws_per_crossing
        if count == 1 or edge[1] - edge[0] < 3 * room:
            return [(edge[0] + edge[1]) / 2] if edge[1] - edge[0] > 2 * room else []
        return [float(y) for y in np.linspace(edge[0] + room, edge[1] - room, count)]

    def _rows_of_screws(self) -> Iterator[list[float]]:
        """Where screws stand along a member, the ways that have to be looked at.

        Counted by their `first_at` where it is given, from the nearer side edge, near the middle from either. Else as
        near to the edge as a screw counts, a whole spacing from it, and as a screw or the middle between two stands
        right beside the ring.
        """
        spacing, (left, right) = self._rows.spacing, self._sides(self.x)
        given = self._rows.first_at
        if given is not None:
            wide = left + right
            count = max(floor((wide - 2 * given) / spacing + 1e-9) + 1, 1)
            yield [left - given - k * spacing for k in range(count)]
            uneven = wide - 2 * given - (count - 1) * spacing > _ROOM
            if uneven and right - left < spacing:
                yield [given - right + k * spacing for k in range(count)]
            return
        firsts = {round(spacing, 9), self._basis.factor("screw_from_panel_edge")}
        for beside in (0.0, spacing / 2):
            firsts.add(round((left - self._ring - beside) % spacing, 9) or round(spacing, 9))
        for first in sorted(firsts):
            yield [left - first - k * spacing for k in range(int((left + right) / spacing) + 1)]

    def _screws(self, rows: Sequence[float]) -> Places:
        """Screws of all members in all rows that the boards hold and find their edge distances in."""
        edge = self._basis.factor("screw_from_panel_edge")
        off = self._floor.member.width / 2 - self._basis.factor(self._floor.screw_edge) * self._floor.hold_down.D
        found = []
        for line in self._lines():
            at = min(max(line, self.x[0] + edge), self.x[1] - edge)  # a joint on a member: beside its middle
            if abs(at - line) > max(off, 0.0) + _ROOM:
                if not self._goes_on_beyond(line):
                    continue
                at = line
            low, high = self._between_edges(at)
            held = [y for y in rows if low + edge - _ROOM <= y <= high - edge + _ROOM]
            found += [(round(at, 9), round(y, 9)) for y in held]
        return tuple(found)

    def _goes_on_beyond(self, line: float) -> bool:
        """Whether the deck is taken in as far as a member and no farther, with no edge of a sheet near it."""
        edges = [0.0, self._floor.length, *(x for layer in self.layers for x in layer.joints_across)]
        near = [*map(self._ahead, edges), *(x for well, _ in self._wells() for x in well)]
        apart = self._basis.factor("screw_from_panel_edge") - _ROOM
        return any(abs(line - end) < _ROOM for end in self.x) and all(abs(line - each) >= apart for each in near)

    def _between_edges(self, x: float) -> Span:
        """From and to across of the boards at `x`, no farther than the deck reaches there, whose sides may slant."""
        half, aside = self._floor.half_width_at(self._at[0] + self.way * x), self.side * self._at[1]
        return max(self.y[0], -half - aside), min(self.y[1], half - aside)

    def inside(self, patch: Patch) -> Patch:
        """A patch cut to the deck that is taken in."""
        x = (max(patch.x[0], self.x[0]), min(patch.x[1], self.x[1]))
        y = (max(patch.y[0], self.y[0]), min(patch.y[1], self.y[1]))
        return Patch(x, y, patch.examined)
