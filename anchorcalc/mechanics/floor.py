"""The floor round its anchors: boards over members that only push, held by screws that only pull.

A board is a sheet (or a stack of sheets that slide on each other) or one plank; boards are independent of
their neighbours and coupled only by what presses on several. Anchors lift them at seats (screw heads,
washers) or through steel plates under the deck, and press them down where their bases bear. A steel plate
and the boards over it are solved together, with an elastic bed between them that only pushes and is never
crushed, so that everything grows in proportion to the load.

x runs along the trailer, y across it, forces and deflections count upward. Boards are thin plates
(`mechanics.plates`); a member pushes along its line x = const, a screw pulls at its own place, wherever it
stands. The deck's own weight and what lies on it are left out: both would only hold it down.

Each board and steel plate is factorised once and the deflections at contacts, screws and loads under each
other are kept (`mechanics.free_plate`); each load, and each way the screws may stand, is then a matter of the
contacts alone (`mechanics.one_sided`).

Discretisation: cells are `_CELLS_IN_A_SPAN` to a span, finer at the seats. Halving them raises screws' pulls,
moments and shears by less than `PULL_ERROR`, `MOMENT_ERROR` and `SHEAR_ERROR` (tests/mechanics/test_floor.py);
what is named `greatest_…` in a result already contains that error on the safe side, the arrays do not.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from msgspec import Struct
from numpy.typing import ArrayLike, NDArray

from anchorcalc.mechanics.floor_parts import BackingPlate, Board, Member, Screws
from anchorcalc.mechanics.floor_sections import Sections, shears_beside
from anchorcalc.mechanics.hermite import FloatArray, PlateError
from anchorcalc.mechanics.plate_body import (
    TINY,
    Assembly,
    Couple,
    Numbers,
    Patch,
    PlateBody,
    Stretch,
    disc,
    graded_lines,
    widths_at,
)
from anchorcalc.mechanics.plates import Plate, PlateSolution, isotropic_rigidities
from anchorcalc.mechanics.steel_sections import SeatSections

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

__all__ = [
    "BackingPlate",
    "Bed",
    "Board",
    "Couple",
    "Floor",
    "FloorResponse",
    "Member",
    "Patch",
    "Screws",
    "disc",
]

PULL_ERROR = 0.025  # of a screw's pull, from halving the cells
MOMENT_ERROR = 0.04  # of moments
SHEAR_ERROR = 0.05  # of shears, the greatest between a seat and a member close by

_CELLS_IN_A_SPAN = 4
_BED_CELLS, _BED_CELL = 8, 0.04  # least number of a steel plate's bed, each way, and their greatest mean width [m]
_PLATE_CELLS = 6  # of a steel plate to as many of its bed, each way
_COVERED = 1e-6  # share of a load's area that may lie off the boards


class Bed(Struct, frozen=True):
    """How a backing plate presses on the boards."""

    places: FloatArray  # (samples, 2) [m]
    areas: FloatArray  # (samples,) [m²]
    forces: FloatArray  # (samples,) upward on the boards [N]
    solution: PlateSolution  # of the steel

    @property
    def pressures(self) -> FloatArray:
        """Pressure at each sample (samples,) [Pa]."""
        return self.forces / self.areas


class FloorResponse(Struct, frozen=True):
    """What a set of forces does to the floor; all of it in proportion to them.

    Moments are averaged across their own direction over the seat and one board's thickness each side (over a
    plank's whole width along it). ``examined`` loads come first as given, then the plates; what is not examined
    has zero.
    """

    screw_pulls: FloatArray  # (screws,) of those that are there [N]
    member_pushes: FloatArray  # (members,) [N]
    moments_along: FloatArray  # (loads + plates,) greatest |M_x| at the seat and the members beside it [N]
    moments_across: FloatArray  # (loads + plates,) greatest |M_y| at the seat [N]
    steel_moments: FloatArray  # (plates,) greatest equivalent moment of the steel at its nuts [N]
    deflections: FloatArray  # (forces,) mean rise under each force, nuts included; of a couple its turn [m, -]
    beds: tuple[Bed, ...]  # one a backing plate that is examined
    boards: tuple[PlateSolution | None, ...]  # one a board; None where nothing presses on it

    def greatest_pull(self, among: NDArray[np.bool_]) -> float:
        """Pull of the most loaded of some screws (screws,), with the error of the cells [N]."""
        return (1 + PULL_ERROR) * float(self.screw_pulls[among].max(initial=0.0))

    @property
    def greatest_moments(self) -> tuple[float, float]:
        """Greatest moments along and across, with the error of the cells [N]."""
        along, across = (float(part.max(initial=0.0)) for part in (self.moments_along, self.moments_across))
        return (1 + MOMENT_ERROR) * along, (1 + MOMENT_ERROR) * across

    @property
    def greatest_steel_moment(self) -> float:
        """Greatest moment of the steel plates that are examined [N]; finer cells find less of it, up to 4 %."""
        return float(self.steel_moments.max(initial=0.0))

    def greatest_shears(
        self, lifts: Sequence[tuple[Stretch, Stretch]], boards: Sequence[Board], members: Sequence[Member]
    ) -> tuple[float, float]:
        """Greatest shears along and across beside what lifts the boards, with the error of the cells [N/m]."""
        found = np.zeros(2)
        for board, shape in zip(boards, self.boards, strict=True):
            if shape is not None:
                for lift in lifts:
                    found = np.maximum(found, shears_beside(lift, board, shape, members))
        along, across = (1 + SHEAR_ERROR) * found
        return float(along), float(across)


class Floor:
    """Boards on members and screws, ready for any forces at given places.

    Parameters
    ----------
    boards : sheets or planks
    members : what they lie on
    screws : what holds them down, or may
    loads : where forces and couples stand, washers and screws that lift, bases and wheels that press
    plates : steel plates under the boards
    ways : for each way the screws may stand the numbers of those that are there; one with all of them as a rule
    fineness : cells are smaller by this factor than they are as a rule [-]

    Raises
    ------
    PlateError
        A load, plate or screw that no board bears, or boards that nothing can hold.
    """

    def __init__(
        self,
        boards: Sequence[Board],
        members: Sequence[Member],
        screws: Screws,
        loads: Sequence[Patch | Couple],
        plates: Sequence[BackingPlate] = (),
        *,
        ways: Sequence[Sequence[int]] | None = None,
        fineness: float = 1.0,
    ) -> None:
        self._loads, self._plates = tuple(loads), tuple(plates)
        places = np.asarray(screws.places, dtype=np.float64).reshape(-1, 2)
        _check(boards, self._loads, self._plates, places)
        self._boards = [_board_body(board, members, self._loads, self._plates, fineness) for board in boards]
        self._steels = [_steel_body(plate, fineness) for plate in plates]
        self._all = Assembly(len(self._loads) + sum(len(plate.nuts) for plate in plates))
        self._add_loads()
        self._steel_sections = [
            SeatSections(steel.plate, plate.nuts, plate.t) if plate.examined else None
            for steel, plate in zip(self._steels, plates, strict=True)
        ]
        self._member_contacts = [self._add_member(member) for member in members]
        self._screw_contacts = self._add_screws(places, np.broadcast_to(screws.stiffness, len(places)))
        self._beds = [self._add_bed(plate, steel) for plate, steel in zip(plates, self._steels, strict=True)]
        self._all.put_together([*self._touched, *self._steels])
        there = [range(len(places))] if ways is None else ways
        self._ways = [np.asarray(way, dtype=np.intp) for way in there]
        self._coupled = [self._all.coupled(self._left_out(way)) for way in self._ways]

    def _left_out(self, way: Numbers) -> Numbers:
        """Contacts of the screws that are not there."""
        numbers = np.delete(self._screw_contacts, way)
        return numbers[numbers >= 0]

    def under(self, forces: ArrayLike, way: int = 0) -> FloorResponse:
        """Answer to forces at the loads, in their order, and then at the nuts of each plate.

        Parameters
        ----------
        forces : (forces,) upward [N]; for a ``Couple`` [N m]
        way : number of the way the screws stand

        Raises
        ------
        PlateError
            Members and screws cannot balance these forces.
        """
        given = np.asarray(forces, dtype=np.float64)
        if given.shape != (self._all.forces,) or not np.all(np.isfinite(given)):
            raise PlateError(f"{self._all.forces} finite forces are needed, not {given}")
        found = self._coupled[way].under(given)
        boards = tuple(None if body is None else body.solution(found.acting, found.motions) for body in self._boards)
        sections = np.zeros((2, len(self._loads) + len(self._plates)))
        for body, shape in zip(self._boards, boards, strict=True):
            if body and shape:
                body.sections.look_into(shape, sections)
        answers = -found.acting  # of contacts, by their number
        screws = self._screw_contacts[self._ways[way]]
        beds, steel_moments = [], np.zeros(len(self._plates))
        for number, (bed, steel, looked) in enumerate(zip(self._beds, self._steels, self._steel_sections, strict=True)):
            if looked is not None:
                shape = steel.solution(found.acting, found.motions)
                steel_moments[number] = looked.look_into(shape).max()
                beds.append(Bed(bed.places, bed.areas, answers[bed.contacts], shape))
        return FloorResponse(
            screw_pulls=np.where(screws < 0, 0.0, answers[screws]),
            member_pushes=np.array([answers[each].sum() for each in self._member_contacts]),
            moments_along=sections[0],
            moments_across=sections[1],
            steel_moments=steel_moments,
            deflections=found.rises,
            beds=tuple(beds),
            boards=boards,
        )

    def _add_loads(self) -> None:
        for body in self._touched:
            body.add_loads(enumerate(self._loads))
        number = len(self._loads)
        for plate, steel in zip(self._plates, self._steels, strict=True):
            for nut in plate.nuts:
                if _share(nut, plate) < 1 - _COVERED:
                    raise PlateError(f"a nut at x {nut.x} m, y {nut.y} m does not lie on its plate")
            steel.add_loads(enumerate(plate.nuts, number))
            number += len(plate.nuts)

    def _add_member(self, member: Member) -> Numbers:
        numbers = []
        for body in self._touched:
            if not body.board.x[0] - TINY <= member.x <= body.board.x[1] + TINY:
                continue
            y = body.plate.y.knots
            numbers.append(self._all.new_contacts(member.stiffness * widths_at(y)))
            body.add(numbers[-1], np.full(y.size, member.x), y, -1.0)
        return np.concatenate([*numbers, np.zeros(0, dtype=np.intp)])

    def _add_screws(self, places: FloatArray, stiffness: FloatArray) -> Numbers:
        """Contact of each screw; −1 for one in a board that nothing presses on."""
        numbers = np.full(len(places), -1)
        for body in self._touched:
            borne = np.array([_bears(body.board, x, y) for x, y in places], dtype=np.bool_)
            here = np.flatnonzero((numbers < 0) & borne)
            if here.size:
                numbers[here] = self._all.new_contacts(stiffness[here])
                body.add(numbers[here], places[here, 0], places[here, 1], 1.0)
        return numbers

    def _add_bed(self, plate: BackingPlate, steel: PlateBody) -> _BedContacts:
        numbers, areas, middles = [], [], []
        for body in self._touched:
            x = _clipped(bed_edges(*plate.x), body.board.x)
            y = _clipped(bed_edges(*plate.y), body.board.y)
            grid = np.meshgrid(x[:-1] + np.diff(x) / 2, y[:-1] + np.diff(y) / 2, indexing="ij")
            if grid[0].size:
                areas.append(np.outer(np.diff(x), np.diff(y)).ravel())
                middles.append(np.stack([axis.ravel() for axis in grid], axis=1))
                numbers.append(self._all.new_contacts(plate.bed * areas[-1]))
                body.add_cells(numbers[-1], (x, y), -1.0)
                steel.add_cells(numbers[-1], (x, y), 1.0)
        if not numbers:
            raise PlateError("a steel plate lies under no board")
        return _BedContacts(np.concatenate(numbers), np.concatenate(middles), np.concatenate(areas))

    @property
    def _touched(self) -> list[_BoardBody]:
        return [body for body in self._boards if body]


class _BedContacts(NamedTuple):
    contacts: Numbers
    places: FloatArray
    areas: FloatArray


class _BoardBody(PlateBody):
    def __init__(self, plate: Plate, board: Board, sections: Sections) -> None:
        super().__init__(plate)
        self.board = board
        self.sections = sections


def _bears(board: Board, x: float, y: float) -> bool:
    return board.x[0] - TINY <= x <= board.x[1] + TINY and board.y[0] - TINY <= y <= board.y[1] + TINY


def _common(one: Stretch, other: Stretch) -> float:
    return max(0.0, min(one[1], other[1]) - max(one[0], other[0]))


def _share(load: Patch | Couple | BackingPlate, on: Board | BackingPlate) -> float:
    """Share of a load's area that a board or plate bears."""
    area = (load.x[1] - load.x[0]) * (load.y[1] - load.y[0])
    return _common(load.x, on.x) * _common(load.y, on.y) / area


def _check(
    boards: Sequence[Board], loads: Sequence[Patch | Couple], plates: Sequence[BackingPlate], screws: FloatArray
) -> None:
    for seat in (*loads, *plates):
        if not (seat.x[0] < seat.x[1] and seat.y[0] < seat.y[1]):
            raise PlateError(f"a load needs an area: x {seat.x} m, y {seat.y} m")
    for load in loads:
        if abs(sum(_share(load, board) for board in boards) - 1) > _COVERED:
            raise PlateError(f"a load at x {load.x} m, y {load.y} m is not borne by boards as a whole")
    for x, y in screws:
        if not any(_bears(board, x, y) for board in boards):
            raise PlateError(f"a screw at x {x:g} m, y {y:g} m stands on no board")


def _board_body(
    board: Board,
    members: Sequence[Member],
    loads: Sequence[Patch | Couple],
    plates: Sequence[BackingPlate],
    fineness: float,
) -> _BoardBody | None:
    """The board with its grid; None where nothing presses on it."""
    seats = [
        (number, seat)
        for number, seat in enumerate((*loads, *plates))
        if _common(seat.x, board.x) * _common(seat.y, board.y)
    ]
    if not seats:
        return None
    shown = [(number, seat) for number, seat in seats if not isinstance(seat, Couple) and seat.examined]
    under = [m for m in members if board.x[0] - TINY <= m.x <= board.x[1] + TINY]
    at_members = [m.x for m in under]
    span = _span(board, at_members)
    near = [each for _, seat in shown for each in (seat, *_near_long(seat, 2 * board.thickness))]
    x = graded_lines(board.x, span / _CELLS_IN_A_SPAN, at_members, [each.x for each in near], fineness)
    y = graded_lines(board.y, span / _CELLS_IN_A_SPAN, (), [each.y for each in near], fineness)
    plate = Plate(x, y, board.rigidities)
    return _BoardBody(plate, board, Sections(plate, board, under, shown))


def _span(board: Board, members: Sequence[float]) -> float:
    """The span that sets the cells: the least of the board's, pairs of members close together left out [m]."""
    gaps = np.diff(sorted(set(members)))
    if not gaps.size:
        return board.x[1] - board.x[0]
    return float(gaps[gaps >= np.max(gaps) / 3].min())


def _near_long(seat: Patch | BackingPlate | Couple, aside: float) -> Iterator[Patch]:
    """Where a plate needs finer cells whose bed takes more than the least number.

    It hands its pull on near its nuts; shear is looked for beside it.
    """
    if isinstance(seat, BackingPlate) and max(_bed_cells(*side) for side in (seat.x, seat.y)) > _BED_CELLS:
        (x0, x1), (y0, y1) = seat.x, seat.y
        yield from seat.nuts
        yield from (Patch((x0 - aside, x0), (y0 - aside, y0)), Patch((x1, x1 + aside), (y1, y1 + aside)))


def _steel_body(plate: BackingPlate, fineness: float) -> PlateBody:
    x, y = (
        graded_lines(side, (side[1] - side[0]) / _PLATE_CELLS * _BED_CELLS / _bed_cells(*side), (), nuts, fineness)
        for side, nuts in ((plate.x, [nut.x for nut in plate.nuts]), (plate.y, [nut.y for nut in plate.nuts]))
    )
    return PlateBody(Plate(x, y, isotropic_rigidities(plate.E, plate.nu, plate.t)))


def _bed_cells(start: float, end: float) -> int:
    return max(_BED_CELLS, 2 * math.ceil((end - start) / 2 / _BED_CELL - 1e-9))


def bed_edges(start: float, end: float) -> FloatArray:
    """Edges of the cells in which a plate's bed is felt, closer at the plate's edges, (cells + 1,) [m]."""
    turn = np.linspace(0.0, math.pi, _bed_cells(start, end) + 1)
    return np.asarray((start + end) / 2 - (end - start) / 2 * np.cos(turn))


def _clipped(edges: FloatArray, on: Stretch) -> FloatArray:
    """Edges of what of the cells lies on a stretch [m]; at most one when nothing does."""
    kept = np.clip(edges, *on)
    return np.asarray(kept[np.append(True, np.diff(kept) > TINY)])
