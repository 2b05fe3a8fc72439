"""The floor round an anchor that is pulled: which boards, members and screws answer, and how much each is asked for.

One numerical model (`mechanics.floor`) stands behind every link of the deck. It is laid about the anchor, mirrored so
that it is pulled forward and stands on the left: equal bays and mirrored anchors are one floor, factorised once.
Forces are per newton of pull on the asked ring; rings near by pull along.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from anchorcalc.links.common import DeckAsked, LiftedDeck
from anchorcalc.links.pull import pull_of
from anchorcalc.links.seat import seat_disc
from anchorcalc.mechanics.floor import (
    BackingPlate,
    Board,
    Couple,
    Floor,
    FloorResponse,
    Member,
    Patch,
    Screws,
    disc,
)
from anchorcalc.mechanics.hermite import PlateError
from anchorcalc.mechanics.plates import Rigidities, orthotropic_rigidities
from anchorcalc.mechanics.screws import bite
from anchorcalc.rig.parts import Bare, Bearing, ThroughSteel

if TYPE_CHECKING:
    from anchorcalc.links.common import FloatArray, Question
    from anchorcalc.rig.parts import AnchorSetting, FloorSetting, LayerSetting, PlateSeat

Span = tuple[float, float]
_SPANS_ASIDE = 1.5  # deck taken in on either side of what lifts it, in spans
_BAYS_AHEAD = 2  # members taken in behind and ahead of what lifts it
_NU_STEEL = 0.3
_ROOM = 1e-6  # [m]


class _Layout(NamedTuple):
    """A floor in numbers about the anchor: all that `Floor` is built from, hashable."""

    boards: tuple[Board, ...]
    members: tuple[Member, ...]
    screws: tuple[tuple[float, float], ...]
    screw_stiffness: float
    loads: tuple[Patch | Couple, ...]
    plates: tuple[BackingPlate, ...]


def lifted_decks(question: Question) -> tuple[LiftedDeck, ...]:
    """The deck of `question` as it is laid, both ways where nobody knows how the grain runs."""
    if question.decks:
        return tuple(question.decks)
    floor, decks = question.anchor.floor, question.decks
    if all(layer.grain_known for layer in floor.layers):
        decks.append(_lifted(question))
        return tuple(decks)
    for strong_way in (True, False):
        layers = tuple(
            layer if layer.grain_known else replace(layer, strong_way=strong_way, grain_known=True)
            for layer in floor.layers
        )
        decks.append(_lifted(replace(question, anchor=replace(question.anchor, floor=replace(floor, layers=layers)))))
    return tuple(decks)


def _lifted(question: Question) -> LiftedDeck:
    frame = _Frame(question)
    if frame.why_not:
        return LiftedDeck(frame.layers, None, frame.why_not)
    try:
        responses = [(layout, _answer(layout, forces)) for layout, forces in frame.layouts()]
    except PlateError as error:
        return LiftedDeck(frame.layers, None, str(error))
    moments = [response.greatest_moments for _, response in responses]
    shears = [response.greatest_shears for _, response in responses]
    asked = DeckAsked(
        screw=max(response.greatest_pull for _, response in responses),
        screws=min(len(layout.screws) for layout, _ in responses),
        along=max(along for along, _ in moments),
        across=max(across for _, across in moments),
        shear_along=max(along for along, _ in shears),
        shear_across=max(across for _, across in shears),
    )
    return LiftedDeck(frame.layers, asked)


@lru_cache(maxsize=48)
def _floor(layout: _Layout) -> Floor:
    screws = Screws(np.array(layout.screws).reshape(-1, 2), layout.screw_stiffness)
    return Floor(layout.boards, layout.members, screws, layout.loads, layout.plates)


@lru_cache(maxsize=512)
def _answer(layout: _Layout, forces: tuple[float, ...]) -> FloorResponse:
    return _floor(layout).under(forces)


# --- which layers -------------------------------------------------------------------------------------------


def lifted_layers(anchor: AnchorSetting) -> tuple[int, ...]:
    """Numbers of the sound layers that the anchor lifts, top first: those its fasteners reach and what lies on them."""
    sound = [number for number, layer in enumerate(anchor.floor.layers) if layer.bears_load]
    if not isinstance(anchor.mounting.backing, Bare):
        return tuple(sound)
    bitten = [number for number, bite in enumerate(thread_bites(anchor)) if bite > 0]
    deepest = max(bitten, default=-1)
    return tuple(number for number in sound if number <= deepest)


def thread_bites(anchor: AnchorSetting) -> tuple[float, ...]:
    """Thread of the ring's screws in each layer [m], top first; nothing in layers that count for nothing."""
    screws, base = anchor.mounting.screws, anchor.mounting.base_thickness
    bottoms = np.cumsum([layer.thickness for layer in anchor.floor.layers])
    tops = np.concatenate([[0.0], bottoms[:-1]])
    tip = screws.length - base
    found = bite(tip, tip - screws.screw.thread_length(screws.length), screws.screw.D, tops, bottoms)
    return tuple(
        float(each) if layer.bears_load else 0.0 for each, layer in zip(found, anchor.floor.layers, strict=True)
    )


# --- laying it out ------------------------------------------------------------------------------------------


class _Frame:
    """The deck round an anchor in the anchor's own frame, and everything that loads it."""

    def __init__(self, question: Question) -> None:
        self._question, self._basis = question, question.basis
        anchor = question.anchor
        self._floor: FloorSetting = anchor.floor
        self._way = -1.0 if question.pull.direction[0] < 0 else 1.0
        self._side = 1.0 if anchor.at[1] >= 0 else -1.0
        self._pulled = [(anchor, np.array(question.pull.direction)), *_near(question)]
        self.why_not = ""
        layers = [self._floor.layers[number] for number in self._lifted_numbers()]
        if not layers:
            self.layers: tuple[LayerSetting, ...] = ()
            self.why_not = "the screws' thread bites no sound layer"
            return
        self._x, self._y = self._room()
        self.layers = tuple(layer for layer in layers if not self._cut(layer))
        if not self.layers:
            self.why_not = "a sheet joint or an opening of the deck lies in the strip that would carry the lift"
            return
        if not any(layer.spanning[0] > 0 for layer in self.layers):
            self.why_not = "planks that run along the cross-members do not span between them"
            return
        self._end_at_joints()

    def _lifted_numbers(self) -> tuple[int, ...]:
        return tuple(sorted(set().union(*(lifted_layers(anchor) for anchor, _ in self._pulled))))

    # Places in the frame: x from the anchor the way it is pulled, y to the side it stands on.

    def _local(self, x: float, y: float) -> tuple[float, float]:
        at = self._question.anchor.at
        return round(self._way * (x - at[0]), 9), round(self._side * (y - at[1]), 9)

    def _on(self, anchor: AnchorSetting, places: FloatArray) -> FloatArray:
        """Places about the middle of an anchor's base, in the frame, (n, 2)."""
        middle = np.array(self._local(*anchor.at))
        return np.asarray(np.round(middle + np.asarray(places) * np.array([self._way, self._side]), 9), dtype=float)

    def _lines(self) -> list[float]:
        return sorted(self._local(line, 0.0)[0] for line in self._floor.lines)

    def _reach(self) -> tuple[Span, Span]:
        """What all mountings that pull cover: from and to, along and across."""
        xs, ys = [], []
        for anchor, _ in self._pulled:
            half = np.array(_cover(anchor)) / 2
            corners = self._on(anchor, np.array([half, -half]))
            xs += corners[:, 0].tolist()
            ys += corners[:, 1].tolist()
        return (min(xs), max(xs)), (min(ys), max(ys))

    def _room(self) -> tuple[Span, Span]:
        """How far the deck is taken in: some members along, some spans across, never beyond its edges."""
        (x0, x1), (y0, y1) = self._reach()
        lines = self._lines()
        behind, ahead = [x for x in lines if x <= x0], [x for x in lines if x >= x1]
        start = behind[-_BAYS_AHEAD:][0] if behind else min(lines[0], x0)
        end = ahead[:_BAYS_AHEAD][-1] if ahead else max(lines[-1], x1)
        ends = sorted(self._local(x, 0.0)[0] for x in (0.0, self._floor.length))
        aside = _SPANS_ASIDE * self._floor.spacing * max(self._ratio(), 1.0) ** 0.25
        left, right = self._sides()
        beyond = self._overhung(x0, x1)
        along = (max(start - beyond[0], ends[0]), min(end + beyond[1], ends[1]))
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

    def _sides(self) -> Span:
        """Room from the anchor to the deck's edge on its own side, and across to the other."""
        anchor = self._question.anchor
        narrowest = min(self._floor.half_width_at(each.at[0]) for each, _ in self._pulled)
        return round(max(narrowest - abs(anchor.at[1]), 0.0), 9), round(narrowest + abs(anchor.at[1]), 9)

    def _held_from(self) -> Span:
        """Where a sheet has to begin and end for the members beside the anchor to hold it.

        It has to reach so far onto a member that a screw finds its distance from the sheet's edge and from the
        steel's. On an overhang the two members are the last ones: on one alone the sheet would turn as on a hinge.
        """
        (x0, x1), _ = self._reach()
        lines, floor = self._lines(), self._floor
        edge, steel = self._basis.factor("screw_from_panel_edge"), self._basis.factor("screw_from_steel_edge")
        onto = edge + steel * floor.hold_down.D - floor.member.width / 2
        behind, ahead = [x for x in lines if x <= x0], [x for x in lines if x >= x1]
        start = behind[-1] - onto if behind else x0
        end = ahead[0] + onto if ahead else x1
        if not behind and len(lines) > 1:
            end = max(end, lines[1] + onto)
        if not ahead and len(lines) > 1:
            start = min(start, lines[-2] - onto)
        return start, end

    def _cut(self, layer: LayerSetting) -> bool:
        """Whether a joint parts the sheet under the anchors, or an opening takes it away there."""
        start, end = self._held_from()
        (x0, x1), (y0, y1) = self._reach()
        across = [self._local(x, 0.0)[0] for x in layer.joints_across]
        along = [self._local(0.0, y)[1] for y in layer.joints_along]
        parted = any(start < x < end for x in across) or any(y0 < y < y1 for y in along)
        return parted or any(x[0] < x1 and x[1] > x0 and y[0] < y1 and y[1] > y0 for x, y in self._wells())

    def _wells(self) -> list[tuple[Span, Span]]:
        found = []
        for well in self._floor.wells:
            (x0, y0), (x1, y1) = self._local(well.x[0], well.y[0]), self._local(well.x[1], well.y[1])
            found.append(((min(x0, x1), max(x0, x1)), (min(y0, y1), max(y0, y1))))
        return found

    def _end_at_joints(self) -> None:
        """No sheet goes on beyond its joints, no deck beyond an opening in the bay."""
        (x0, x1), (y0, y1) = self._reach()
        for layer in self.layers:
            for joint in (self._local(x, 0.0)[0] for x in layer.joints_across):
                self._x = (max(self._x[0], joint), self._x[1]) if joint <= x0 else self._x
                self._x = (self._x[0], min(self._x[1], joint)) if joint >= x1 else self._x
            for joint in (self._local(0.0, y)[1] for y in layer.joints_along):
                self._y = (max(self._y[0], joint), self._y[1]) if joint <= y0 else self._y
                self._y = (self._y[0], min(self._y[1], joint)) if joint >= y1 else self._y
        for well_x, well_y in self._wells():
            if well_x[0] < self._x[1] and well_x[1] > self._x[0]:
                self._y = (max(self._y[0], well_y[1]), self._y[1]) if well_y[1] <= y0 else self._y
                self._y = (self._y[0], min(self._y[1], well_y[0])) if well_y[0] >= y1 else self._y

    # --- what is laid there

    def layouts(self) -> Iterator[tuple[_Layout, tuple[float, ...]]]:
        """Every way the screws (and planks) may stand that has to be looked at, with the forces on it."""
        loads, forces, plates, nut_forces = self._loads()
        stiffness = self._basis.factor("deck_screw_stiffness")
        for boards, screws in self._boards_and_screws():
            layout = _Layout(boards, self._members(), screws, stiffness, loads, plates)
            yield layout, tuple(round(force, 12) for force in (*forces, *nut_forces))

    def _members(self) -> tuple[Member, ...]:
        stiffness, face = self._basis.factor("member_bed"), self._floor.member.width
        return tuple(
            Member(x, stiffness, face, self._pushes(x))
            for x in self._lines()
            if self._x[0] - _ROOM <= x <= self._x[1] + _ROOM
        )

    def _pushes(self, x: float) -> tuple[Span, ...] | None:
        """Where a member is there: not where an opening of the deck cuts it off from the anchor's side."""
        cut = [y for well_x, y in self._wells() if well_x[0] < x < well_x[1]]
        if not cut:
            return None
        low = max([y[1] for y in cut if y[1] <= 0], default=self._y[0])
        high = min([y[0] for y in cut if y[0] >= 0], default=self._y[1])
        return ((low, high),) if high > low else ()

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

    def _boards_and_screws(self) -> Iterator[tuple[tuple[Board, ...], tuple[tuple[float, float], ...]]]:
        rigidities, t = self._rigidities(), self.thickness
        planks = all(layer.section.I_perp == 0 for layer in self.layers)
        if not planks:
            board = Board(self._x, self._y, rigidities, t)
            for rows in self._rows_of_screws():
                yield (board,), self._screws(rows)
            return
        width = self._floor.plank_width or self._basis.factor("plank_width")
        for shift in (0.0, 0.5):
            edges = self._plank_edges(width, shift)
            boards = tuple(Board(self._x, edge, rigidities, t, whole=True) for edge in edges)
            yield boards, self._screws([place for edge in edges for place in self._in_plank(edge)])

    def _plank_edges(self, width: float, shift: float) -> list[Span]:
        """Edges of the planks across the room, one of them `shift` of its width off the anchor's middle."""
        first = int(np.ceil((self._y[0] - (shift - 0.5) * width) / width - 1e-9))
        last = int(np.floor((self._y[1] - (shift + 0.5) * width) / width + 1e-9))
        return [((k + shift - 0.5) * width, (k + shift + 0.5) * width) for k in range(first, last + 1)]

    def _in_plank(self, edge: Span) -> list[float]:
        """Where the screws of a plank stand across it: as near to its edges as may be, evenly."""
        room = self._basis.factor("screw_from_panel_edge")
        count = self._floor.screws_per_crossing
        if count == 1:
            return [(edge[0] + edge[1]) / 2]
        return [float(y) for y in np.linspace(edge[0] + room, edge[1] - room, count)]

    def _rows_of_screws(self) -> Iterator[list[float]]:
        """Where screws stand along a member, the ways that have to be looked at.

        Counted from the side edge by `first_at` where it is given. Else a whole spacing from the edge, and as a
        screw or the middle between two stands right beside the anchor.
        """
        spacing, (left, right) = self._floor.hold_down_spacing, self._sides()
        given = self._floor.hold_down_first_at
        if given is not None:
            wide = left + right
            count = int(np.floor((wide - 2 * given) / spacing + 1e-9)) + 1
            yield [left - given - k * spacing for k in range(max(count, 1))]
            return
        firsts = {round(spacing, 9)}
        for beside in (0.0, spacing / 2):
            firsts.add(round((left - beside) % spacing or spacing, 9))
        for first in sorted(firsts):
            if first >= spacing / 2 - 1e-9:
                yield [left - first - k * spacing for k in range(int((left + right) / spacing) + 1)]

    def _screws(self, rows: Sequence[float]) -> tuple[tuple[float, float], ...]:
        """Screws of all members in all rows that the boards hold and find their edge distances in."""
        edge = self._basis.factor("screw_from_panel_edge")
        off = self._floor.member.width / 2 - self._basis.factor("screw_from_steel_edge") * self._floor.hold_down.D
        found = []
        for line in self._lines():
            at = min(max(line, self._x[0] + edge), self._x[1] - edge)  # a joint on a member: beside its middle
            if abs(at - line) > max(off, 0.0) + _ROOM:
                continue
            pushes = self._pushes(line)
            for y in rows:
                on = self._y[0] + edge - _ROOM <= y <= self._y[1] - edge + _ROOM
                if on and (pushes is None or any(low <= y <= high for low, high in pushes)):
                    found.append((round(at, 9), round(y, 9)))
        return tuple(found)

    # --- what loads it

    def _loads(
        self,
    ) -> tuple[tuple[Patch | Couple, ...], list[float], tuple[BackingPlate, ...], list[float]]:
        """Patches and couples with their forces, then plates with those of their nuts."""
        loads: list[Patch | Couple] = []
        forces: list[float] = []
        plates: list[BackingPlate] = []
        nut_forces: list[float] = []
        for anchor, direction in self._pulled:
            pull = pull_of(anchor, direction, self._basis)
            on_wood = ~anchor.mounting.in_member
            seats = self._on(anchor, anchor.mounting.positions[on_wood])
            tensions = pull.tensions[on_wood]
            plate = anchor.mounting.plate
            if plate is not None:
                plates.append(self._plate(anchor, plate, seats))
                nut_forces += [tensions[k] for k in sorted(range(len(seats)), key=lambda k: seats[k].tolist())]
            elif isinstance(anchor.mounting.backing, Bare | Bearing | ThroughSteel):
                width = seat_disc(anchor, self._basis)
                loads += [self._inside(disc(x, y, width)) for x, y in seats.tolist()]
                forces += tensions.tolist()
            for place, force in zip(self._on(anchor, pull.pads), pull.pad_forces, strict=True):
                if force > 1e-9:
                    half = 0.001
                    x, y = place
                    loads.append(self._inside(Patch((x - half, x + half), (y - half, y + half), examined=False)))
                    forces.append(-float(force))
            self._add_couples(anchor, direction, loads, forces)
        order = sorted(range(len(loads)), key=lambda number: (type(loads[number]).__name__, loads[number]))
        return tuple(loads[k] for k in order), [forces[k] for k in order], tuple(plates), nut_forces

    def _add_couples(
        self, anchor: AnchorSetting, direction: FloatArray, loads: list[Patch | Couple], forces: list[float]
    ) -> None:
        """The in-plane part of a pull goes in at the deck's top, and out to the members at its underside."""
        (x, y), (length, width) = self._local(*anchor.at), anchor.mounting.base
        patch = self._inside(Patch((x - length / 2, x + length / 2), (y - width / 2, y + width / 2)))
        loads += [Couple(patch.x, patch.y, "x"), Couple(patch.x, patch.y, "y")]
        t = self.thickness
        forces += [-t * self._way * float(direction[0]), -t * self._side * float(direction[1])]

    def _plate(self, anchor: AnchorSetting, plate: PlateSeat, seats: FloatArray) -> BackingPlate:
        x, y = self._local(*anchor.at)
        half_x, half_y = plate.size[0] / 2, plate.size[1] / 2
        nut = anchor.mounting.bolts.thread.d_nut
        bed = self._basis.factor("wood_across_over_along") * self.layers[-1].panel.E / self.thickness
        nuts = tuple(disc(u, v, nut) for u, v in sorted(seats.tolist()))
        edges = (max(x - half_x, self._x[0]), min(x + half_x, self._x[1]))
        sides = (max(y - half_y, self._y[0]), min(y + half_y, self._y[1]))
        return BackingPlate(edges, sides, plate.thickness, plate.steel.E, _NU_STEEL, nuts, bed)

    def _inside(self, patch: Patch) -> Patch:
        """A patch cut to the deck that is taken in."""
        x = (max(patch.x[0], self._x[0]), min(patch.x[1], self._x[1]))
        y = (max(patch.y[0], self._y[0]), min(patch.y[1], self._y[1]))
        return Patch(x, y, patch.examined)


def _near(question: Question) -> list[tuple[AnchorSetting, FloatArray]]:
    """Anchors that lift the same piece of deck, each with its pull per newton on the asked ring."""
    own, spacing = question.anchor.at, question.anchor.floor.spacing
    return [
        (each.anchor, np.array(each.pull))
        for each in question.beside
        if abs(each.anchor.at[0] - own[0]) < _BAYS_AHEAD * spacing
        and abs(each.anchor.at[1] - own[1]) < 2 * _SPANS_ASIDE * spacing
        and float(np.linalg.norm(each.pull)) > 0
    ]


def _cover(anchor: AnchorSetting) -> tuple[float, float]:
    """Length and width of deck that a mounting lifts or presses."""
    mounting = anchor.mounting
    length, width = mounting.base
    if mounting.plate is not None:
        return max(length, mounting.plate.size[0]), max(width, mounting.plate.size[1])
    return length, width
