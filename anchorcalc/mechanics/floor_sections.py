"""Where moments and shears of a board are looked for, and how they are averaged.

An elastic plate has a peak right under a small seat that wood smooths out: moments and shears are averaged
over the seat and one thickness of the board on either side, across their own direction; along a plank over
its whole width. Shear is a third derivative, which cubic functions hold best in the middles of their cells:
it is taken there and carried on to the edge of the seat and the face of the member.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from anchorcalc.mechanics.hermite import FloatArray, HermiteLine
from anchorcalc.mechanics.plate_body import TINY, Numbers, Stretch, span_means
from anchorcalc.mechanics.plates import Plate, PlateSolution

if TYPE_CHECKING:
    from collections.abc import Sequence

    from anchorcalc.mechanics.floor_parts import BackingPlate, Board, Member
    from anchorcalc.mechanics.plate_body import Couple, Patch

_PLACES = 5  # across a seat, where moments are looked for
_SEAT_IN_CELL = 0.1  # of a cell's width: more of a seat in it spoils the shear beside the seat


class Sections:
    """Where moments and shears of a board are looked for: rows ready to be laid against its unknowns."""

    def __init__(
        self,
        plate: Plate,
        board: Board,
        members: Sequence[Member],
        seats: Sequence[tuple[int, Patch | BackingPlate]],
        loads: Sequence[Patch | Couple | BackingPlate],
    ) -> None:
        self._rigidities = board.rigidities
        along, across = _Places(plate.x, plate.y), _Places(plate.y, plate.x)
        for number, seat in seats:
            x = (max(seat.x[0], board.x[0]), min(seat.x[1], board.x[1]))
            y = (max(seat.y[0], board.y[0]), min(seat.y[1], board.y[1]))
            wide_y = (max(y[0] - board.thickness, board.y[0]), min(y[1] + board.thickness, board.y[1]))
            there = [m for m in members if _pushes(m, wide_y)]
            behind = max((m for m in there if m.x <= x[0]), key=lambda m: m.x, default=None)
            ahead = min((m for m in there if m.x >= x[1]), key=lambda m: m.x, default=None)
            beside = [m.x for m in (behind, ahead) if m]
            start = behind.x + behind.face / 2 if behind else board.x[0]
            end = ahead.x - ahead.face / 2 if ahead else board.x[1]
            # Beside a member's face the board is held and does not carry across.
            wide_x = (max(x[0] - board.thickness, min(start, x[0])), min(x[1] + board.thickness, max(end, x[1])))
            under = [m.x for m in there if x[0] < m.x < x[1]]
            wide = board.y if board.whole else wide_y
            clear = _clear(x, [load.x for load in loads if load.y[0] < wide[1] and load.y[1] > wide[0]])
            along.add(number, x, [*beside, *under], (start, end), clear, wide)
            reach = (end - start) / 2
            room = (max(y[0] - reach, board.y[0]), min(y[1] + reach, board.y[1]))
            clear = _clear(y, [load.y for load in loads if load.x[0] < wide_x[1] and load.x[1] > wide_x[0]])
            across.add(number, y, [], room, clear, wide_x)
        self._along, self._across = along.rows(), across.rows()

    def look_into(self, solution: PlateSolution, found: FloatArray) -> None:
        """Raise `found` (4, seats): moments along and across, shears along and across, where greater here."""
        D_x, D_y, D_1, D_xy = self._rigidities
        H = D_1 + 2 * D_xy
        for sections, unknowns, own, row in (
            (self._along, solution.unknowns, D_x, 0),
            (self._across, solution.unknowns.T, D_y, 1),
        ):
            if sections is None:
                continue
            moments = own * sections.of(unknowns, 2, 0) + D_1 * sections.of(unknowns, 0, 2)
            shears = own * sections.of(unknowns, 3, 0) + H * sections.of(unknowns, 1, 2)
            bent, sheared = sections.bent, sections.sheared
            np.maximum.at(found[row], sections.numbers[bent], np.abs(moments[bent]))
            np.maximum.at(found[2 + row], sections.numbers[sheared], np.abs(shears[sheared]))
            np.maximum.at(found[2 + row], sections.end_numbers, np.abs(sections.ends @ shears))


def _clear(seat: Stretch, loads: Sequence[Stretch]) -> Stretch:
    """How far about a seat nothing else presses [m]."""
    before = [min(end, seat[0]) for start, end in loads if start < seat[0] - TINY]
    beyond = [max(start, seat[1]) for start, end in loads if end > seat[1] + TINY]
    return max(before, default=-math.inf), min(beyond, default=math.inf)


def _pushes(member: Member, wide: Stretch) -> bool:
    return member.pushes is None or any(a < wide[1] and b > wide[0] for a, b in member.pushes)


@dataclass(frozen=True)
class _Rows:
    """Sections as rows by derivative: at their places, and as means across."""

    numbers: Numbers  # (sections,) of the seat
    bent: NDArray[np.bool_]  # (sections,) whether moments are looked for there
    sheared: NDArray[np.bool_]  # (sections,) whether shear is
    ends: FloatArray  # (ends, sections) what makes the shear at the ends of the stretches looked at
    end_numbers: Numbers  # (ends,) of the seat
    at: dict[int, FloatArray]
    mean: dict[int, FloatArray]

    def of(self, unknowns: FloatArray, at: int, mean: int) -> FloatArray:
        return np.asarray(((self.at[at] @ unknowns) * self.mean[mean]).sum(axis=1))


@dataclass
class _Places:
    """Sections of all seats in one direction while they are gathered."""

    line: HermiteLine
    other: HermiteLine
    numbers: list[Numbers] = field(default_factory=list)
    at: list[FloatArray] = field(default_factory=list)
    sheared: list[NDArray[np.bool_]] = field(default_factory=list)
    bent: list[NDArray[np.bool_]] = field(default_factory=list)
    wide: list[tuple[int, Stretch]] = field(default_factory=list)
    ends: list[tuple[Numbers, FloatArray]] = field(default_factory=list)

    def add(
        self, number: int, seat: Stretch, beside: Sequence[float], room: Stretch, clear: Stretch, wide: Stretch
    ) -> None:
        """Moments across the seat and at places beside; shear between the seat and the ends of its room."""
        bent = np.array([*np.linspace(*seat, _PLACES), *beside])
        start = sum(each.size for each in self.at)
        at, sheared = [bent], [np.zeros(bent.size, dtype=np.bool_)]
        for side in (0, 1):
            end, edge = room[side], seat[side]
            if (edge - end if side == 0 else end - edge) <= TINY:  # the seat reaches over the member's face
                continue
            middles = self._toward(end, edge)
            first = start + sum(each.size for each in at)
            unloaded = (middles > clear[0]) & (middles < clear[1])
            if beside:  # the room ends at a member's face
                self._note_end(end, middles, 2, first)
            self._note_end(edge, middles[unloaded], 2, first + int(np.argmax(unloaded)))
            self._note_end(edge, middles[unloaded], 3, first + int(np.argmax(unloaded)))
            at.append(middles)
            inside = (middles > min(end, edge)) & (middles < max(end, edge))
            sheared.append(inside if middles.size > 1 else np.ones(middles.size, dtype=np.bool_))
        self.at.append(np.concatenate(at))
        self.sheared.append(np.concatenate(sheared))
        self.bent.append(np.arange(self.at[-1].size) < bent.size)
        self.numbers.append(np.full(self.at[-1].size, number))
        self.wide.append((self.at[-1].size, wide))

    def _toward(self, end: float, edge: float) -> FloatArray:
        """Middles of the cells from the end of the room to the edge of the seat, where third derivatives are best.

        A cell that the room's end cuts counts, one that the seat's edge cuts does not: part of the load is in it.
        """
        before, beyond = self.line.knots[:-1], self.line.knots[1:]
        room = _SEAT_IN_CELL * self.line.widths
        if end < edge:
            cells = (beyond > end + TINY) & (beyond < edge + room)
        else:
            cells = (before < end - TINY) & (before > edge - room)
        middles = before + self.line.widths / 2
        return middles[cells] if cells.any() else np.array([(end + edge) / 2])

    def _note_end(self, end: float, middles: FloatArray, count: int, start: int) -> None:
        """An end of a stretch, to be reached from some sections next to it.

        By a straight line through two, and at the edge of a seat, where shear rises ever more steeply, by a
        parabola through three as well.
        """
        near = np.argsort(np.abs(middles - end))[:count]
        if near.size == count:
            itself = np.eye(count, dtype=np.bool_)
            gaps = np.where(itself, 1.0, middles[near][:, None] - middles[near])
            shares = np.where(itself, 1.0, (end - middles[near]) / gaps).prod(axis=1)
            self.ends.append((start + near, shares))

    def rows(self) -> _Rows | None:
        if not self.at:
            return None
        at = np.concatenate(self.at)
        counts, wide = zip(*self.wide, strict=True)
        means = {d: np.repeat(span_means(self.other, wide, d), counts, axis=0) for d in (0, 2)}
        by_derivative = {derivative: self.line.rows(at, derivative) for derivative in range(4)}
        ends = np.zeros((len(self.ends), at.size))
        for end, (sections, shares) in zip(ends, self.ends, strict=True):
            end[sections] = shares
        return _Rows(
            numbers=np.concatenate(self.numbers),
            bent=np.concatenate(self.bent),
            sheared=np.concatenate(self.sheared),
            ends=ends,
            end_numbers=np.concatenate(self.numbers)[[int(sections[0]) for sections, _ in self.ends]],
            at=by_derivative,
            mean=means,
        )
