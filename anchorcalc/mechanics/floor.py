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
other are kept (`mechanics.free_plate`); each load is then a matter of the contacts alone
(`mechanics.one_sided`).

Discretisation: cells are `_CELLS_IN_A_SPAN` to a span, finer at the seats. Halving them moves screws' pulls
and moments by less than `PULL_ERROR` and `MOMENT_ERROR` (tests/mechanics/test_floor.py); what is named
`greatest_…` in a result already contains that error on the safe side, the arrays do not.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from anchorcalc.mechanics.free_plate import FreePlate, Products, Rectangle
from anchorcalc.mechanics.hermite import FloatArray, HermiteLine, PlateError
from anchorcalc.mechanics.one_sided import OneSidedSprings
from anchorcalc.mechanics.plates import Plate, PlateSolution, Rigidities, isotropic_rigidities

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

Stretch = tuple[float, float]
"""From, to [m]."""

PULL_ERROR = 0.02  # of a screw's pull, from halving the cells
MOMENT_ERROR = 0.04  # of moments and shears

_CELLS_IN_A_SPAN = 4
_CELLS_IN_A_SEAT = 2
_FINEST, _COARSEST = 6, 2  # cells at a seat are no finer and no coarser than these parts of the widest
_COARSER = 0.35  # growth of cells with the distance from a seat
_SAME_LINE = 0.4  # of the cell's width aimed at: seats' edges nearer to another line get none of their own
_BED_CELLS = 8  # of a steel plate's bed, each way
_PLATE_CELLS = 6  # of a steel plate, each way
_COVERED = 0.999  # of a load's area that boards must bear
_PLACES = 5  # across a seat, where moments are looked for
_SEAT_IN_CELL = 0.1  # of a cell's width: more of a seat in it spoils the shear beside the seat
_TINY = 1e-9  # [m]


class Patch(NamedTuple):
    """Where a force stands on a board, evenly spread [m]; moments and shear are looked for there if `examined`."""

    x: Stretch
    y: Stretch
    examined: bool = True


class Couple(NamedTuple):
    """Where a couple stands, as pressure that rises evenly along x or y from one edge of a patch to the other [m].

    A positive one lifts the end at the greater x (or y).
    """

    x: Stretch
    y: Stretch
    along: Literal["x", "y"] = "x"


def disc(x: float, y: float, diameter: float) -> Patch:
    """Square patch of the area of a disc about (x, y) [m]."""
    half = diameter * math.sqrt(math.pi) / 4
    return Patch((x - half, x + half), (y - half, y + half))


@dataclass(frozen=True)
class Board:
    """A sheet or a plank.

    Parameters
    ----------
    x, y : its edges, all free [m]
    rigidities : bending rigidities [N m]
    thickness : by how much seats are widened where moments are averaged [m]
    hinges_x, hinges_y : joints that carry shear and no moment, meant for joints that lie on a member [m]
    openings : rectangles without material, inside or at the edge [m]
    whole : moments along x and their shear are averaged over the whole width, as of a plank
    """

    x: Stretch
    y: Stretch
    rigidities: Rigidities
    thickness: float
    hinges_x: tuple[float, ...] = ()
    hinges_y: tuple[float, ...] = ()
    openings: tuple[Rectangle, ...] = ()
    whole: bool = False


@dataclass(frozen=True)
class Member:
    """A cross-member along x = const that only pushes.

    Parameters
    ----------
    x : its middle [m]
    stiffness : force per metre of member and deflection of the board [N/m²]
    face : width of the face the boards lie on, where shear is looked for beside it [m]
    pushes : stretches of y where it is there; everywhere when None [m]
    """

    x: float
    stiffness: float
    face: float = 0.0
    pushes: tuple[Stretch, ...] | None = None


class Screws(NamedTuple):
    """Screws that only pull."""

    places: ArrayLike  # (screws, 2) x, y [m]
    stiffness: ArrayLike  # one for all or (screws,) [N/m]


@dataclass(frozen=True)
class BackingPlate:
    """A steel plate under the boards, pulled up by its nuts against an elastic bed that only pushes.

    Parameters
    ----------
    x, y : its edges [m]
    t, E, nu : thickness [m], modulus of elasticity [Pa], Poisson's ratio [-]
    nuts : where each nut lifts it
    bed : pressure per deflection of the wood between [N/m³]
    """

    x: Stretch
    y: Stretch
    t: float
    E: float
    nu: float
    nuts: tuple[Patch, ...]
    bed: float


@dataclass(frozen=True)
class Bed:
    """How a backing plate presses on the boards."""

    places: FloatArray  # (samples, 2) [m]
    areas: FloatArray  # (samples,) [m²]
    forces: FloatArray  # (samples,) upward on the boards [N]
    solution: PlateSolution  # of the steel

    @property
    def pressures(self) -> FloatArray:
        """Pressure at each sample (samples,) [Pa]."""
        return self.forces / self.areas


@dataclass(frozen=True)
class FloorResponse:
    """What a set of forces does to the floor; all of it in proportion to them.

    Moments and shears are averaged across their own direction over the seat and one board's thickness each
    side (over a plank's whole width along it). ``examined`` loads come first as given, then the plates; what
    is not examined has zero.
    """

    screw_pulls: FloatArray  # (screws,) [N]
    member_pushes: FloatArray  # (members,) [N]
    moments_along: FloatArray  # (loads + plates,) greatest |M_x| at the seat and the members beside it [N]
    moments_across: FloatArray  # (loads + plates,) greatest |M_y| at the seat [N]
    shears_along: FloatArray  # (loads + plates,) greatest |Q_x| between the seat and the members beside it [N/m]
    shears_across: FloatArray  # (loads + plates,) greatest |Q_y| beside the seat [N/m]
    deflections: FloatArray  # (forces,) mean rise under each force, nuts included; of a couple its turn [m, -]
    beds: tuple[Bed, ...]  # one a backing plate
    boards: tuple[PlateSolution | None, ...]  # one a board; None where nothing presses on it

    @property
    def greatest_pull(self) -> float:
        """Pull of the most loaded screw, with the error of the cells [N]."""
        return (1 + PULL_ERROR) * float(self.screw_pulls.max(initial=0.0))

    @property
    def greatest_moments(self) -> tuple[float, float]:
        """Greatest moments along and across, with the error of the cells [N]."""
        along, across = (float(part.max(initial=0.0)) for part in (self.moments_along, self.moments_across))
        return (1 + MOMENT_ERROR) * along, (1 + MOMENT_ERROR) * across

    @property
    def greatest_shears(self) -> tuple[float, float]:
        """Greatest shears along and across, with the error of the cells [N/m]."""
        along, across = (float(part.max(initial=0.0)) for part in (self.shears_along, self.shears_across))
        return (1 + MOMENT_ERROR) * along, (1 + MOMENT_ERROR) * across


class Floor:
    """Boards on members and screws, ready for any forces at given places.

    Parameters
    ----------
    boards : sheets or planks
    members : what they lie on
    screws : what holds them down
    loads : where forces and couples stand, washers and screws that lift, bases and wheels that press
    plates : steel plates under the boards
    fineness : cells are smaller by this factor than they are as a rule [-]

    Raises
    ------
    PlateError
        A load, plate or screw that no board bears, an opening under it, or boards that nothing can hold.
    """

    def __init__(
        self,
        boards: Sequence[Board],
        members: Sequence[Member],
        screws: Screws,
        loads: Sequence[Patch | Couple],
        plates: Sequence[BackingPlate] = (),
        *,
        fineness: float = 1.0,
    ) -> None:
        self._loads, self._plates, self._members = tuple(loads), tuple(plates), tuple(members)
        places = np.asarray(screws.places, dtype=np.float64).reshape(-1, 2)
        _check(boards, self._loads, self._plates, places)
        self._boards = [_board_body(board, members, self._loads, self._plates, fineness) for board in boards]
        self._steels = [_steel_body(plate, fineness) for plate in plates]
        self._forces = len(self._loads) + sum(len(plate.nuts) for plate in plates)
        self._stiffness: list[FloatArray] = []
        self._contacts = self._forces  # contacts are numbered on after the forces
        self._add_loads()
        self._member_contacts = [self._add_member(member) for member in members]
        self._screw_contacts = self._add_screws(places, np.broadcast_to(screws.stiffness, len(places)))
        self._beds = [self._add_bed(plate, steel) for plate, steel in zip(plates, self._steels, strict=True)]
        self._assemble()

    def under(self, forces: ArrayLike) -> FloorResponse:
        """Answer to forces at the loads, in their order, and then at the nuts of each plate.

        Parameters
        ----------
        forces : (forces,) upward [N]; for a ``Couple`` [N m]

        Raises
        ------
        PlateError
            Members and screws cannot balance these forces.
        """
        p = np.asarray(forces, dtype=np.float64)
        if p.shape != (self._forces,) or not np.all(np.isfinite(p)):
            raise PlateError(f"{self._forces} finite forces are needed, not {p}")
        held = self._springs.under(self._reach[self._forces :] @ p, self._moved[: self._forces].T @ p)
        acting = np.concatenate([p, -held.springs])
        rises = self._whole[: self._forces] @ acting + self._moved[: self._forces] @ held.motions
        shapes = [body and body.solution(acting, held.motions) for body in (*self._boards, *self._steels)]
        boards, steels = shapes[: len(self._boards)], shapes[len(self._boards) :]
        found = np.zeros((4, len(self._loads) + len(self._plates)))
        for body, shape in zip(self._boards, boards, strict=True):
            if body and shape:
                body.sections.look_into(shape, found)
        springs = held.springs
        beds = [
            Bed(bed.places, bed.areas, springs[bed.contacts - self._forces], steel)
            for bed, steel in zip(self._beds, steels, strict=True)
            if steel
        ]
        return FloorResponse(
            screw_pulls=np.where(self._screw_contacts < 0, 0.0, springs[self._screw_contacts - self._forces]),
            member_pushes=np.array([springs[each - self._forces].sum() for each in self._member_contacts]),
            moments_along=found[0],
            moments_across=found[1],
            shears_along=found[2],
            shears_across=found[3],
            deflections=rises,
            beds=tuple(beds),
            boards=tuple(boards),
        )

    def _new_contacts(self, stiffness: FloatArray) -> NDArray[np.intp]:
        self._stiffness.append(stiffness)
        numbers = self._contacts + np.arange(stiffness.size)
        self._contacts += stiffness.size
        return numbers

    def _add_loads(self) -> None:
        for number, load in enumerate(self._loads):
            for body in self._touched:
                body.add_load(number, load)
        number = len(self._loads)
        for plate, steel in zip(self._plates, self._steels, strict=True):
            for nut in plate.nuts:
                if _share(nut, plate) < _COVERED:
                    raise PlateError(f"a nut at x {nut.x} m, y {nut.y} m does not lie on its plate")
                steel.add_load(number, nut)
                number += 1

    def _add_member(self, member: Member) -> NDArray[np.intp]:
        numbers = []
        for body in self._touched:
            if not body.board.x[0] - _TINY <= member.x <= body.board.x[1] + _TINY:
                continue
            for stretch in member.pushes or ((-math.inf, math.inf),):
                y, lengths = _trapezoids(body.plate.y, stretch)
                kept = [not body.opens(member.x, place) for place in y]
                y, lengths = y[kept], lengths[kept]
                if y.size:
                    numbers.append(self._new_contacts(member.stiffness * lengths))
                    body.add(numbers[-1], np.full(y.size, member.x), y, -1.0)
        return np.concatenate([*numbers, np.zeros(0, dtype=np.intp)])

    def _add_screws(self, places: FloatArray, stiffness: FloatArray) -> NDArray[np.intp]:
        """Contact of each screw; −1 for one in a board that nothing presses on."""
        numbers = np.full(len(places), -1)
        for body in self._touched:
            here = np.flatnonzero((numbers < 0) & [_bears(body.board, *place) for place in places])
            if here.size:
                numbers[here] = self._new_contacts(stiffness[here])
                body.add(numbers[here], places[here, 0], places[here, 1], 1.0)
        return numbers

    def _add_bed(self, plate: BackingPlate, steel: _Body) -> _BedContacts:
        numbers, areas, middles = [], [], []
        for body in self._touched:
            cells = [
                _clipped(bed_edges(*side), on) for side, on in ((plate.x, body.board.x), (plate.y, body.board.y))
            ]
            x, y = (edges[:-1] + np.diff(edges) / 2 for edges in cells)
            places = np.stack([axis.ravel() for axis in np.meshgrid(x, y, indexing="ij")], axis=1)
            kept = np.flatnonzero([not body.opens(*place) for place in places])
            if kept.size:
                areas.append(np.outer(*(np.diff(edges) for edges in cells)).ravel()[kept])
                middles.append(places[kept])
                numbers.append(self._new_contacts(plate.bed * areas[-1]))
                body.add_cells(numbers[-1], *cells, kept, -1.0)
                steel.add_cells(numbers[-1], *cells, kept, 1.0)
        if not numbers:
            raise PlateError("a steel plate lies under no board")
        return _BedContacts(np.concatenate(numbers), np.concatenate(middles), np.concatenate(areas))

    @property
    def _touched(self) -> list[_BoardBody]:
        return [body for body in self._boards if body]

    def _assemble(self) -> None:
        count, motions = self._contacts, 0
        self._whole: FloatArray = np.zeros((count, count))
        moved = []
        for body in (*self._touched, *self._steels):
            compliance, moves = body.factorise(motions)
            self._whole[np.ix_(body.numbers, body.numbers)] += compliance
            part = np.zeros((count, moves.shape[1]))
            part[body.numbers] = moves
            moved.append(part)
            motions += moves.shape[1]
        self._moved: FloatArray = np.concatenate(moved, axis=1)
        n = self._forces
        self._reach: FloatArray = self._whole[:, :n]
        self._springs = OneSidedSprings(self._whole[n:, n:], self._moved[n:], np.concatenate(self._stiffness))


class _BedContacts(NamedTuple):
    contacts: NDArray[np.intp]
    places: FloatArray
    areas: FloatArray


class _Body:
    """A board or a steel plate while contacts and loads are put on it."""

    def __init__(self, plate: Plate, openings: Sequence[Rectangle] = ()) -> None:
        self.plate = plate
        self._openings = openings
        self._numbers: list[NDArray[np.intp]] = []
        self._products: list[Products] = []
        self._factors: list[FloatArray] = []

    def add(self, numbers: NDArray[np.intp], x: FloatArray, y: FloatArray, sign: float) -> None:
        """Contacts at places; a sign of one where a rise of this body shortens them."""
        self._put(numbers, Products(self.plate.x.rows(x), self.plate.y.rows(y)), sign)

    def add_cells(
        self, numbers: NDArray[np.intp], x: FloatArray, y: FloatArray, kept: NDArray[np.intp], sign: float
    ) -> None:
        """Contacts spread evenly over cells between lines across x and across y, of all of which some are kept."""
        along, across = _means(self.plate.x, x), _means(self.plate.y, y)
        i, j = np.divmod(kept, len(across))
        self._put(numbers, Products(along[i], across[j]), sign)

    def add_load(self, number: int, load: Patch | Couple) -> None:
        """A load, as far as it lies on this body."""
        rows = []
        for line, side, name in ((self.plate.x, load.x, "x"), (self.plate.y, load.y, "y")):
            start, end = max(side[0], line.knots[0]), min(side[1], line.knots[-1])
            if end - start <= _TINY:
                return
            places, lengths = line.samples((float(start), float(end)))
            if isinstance(load, Couple) and load.along == name:
                weights = lengths * (places - (side[0] + side[1]) / 2) * 12 / (side[1] - side[0]) ** 3
            else:
                weights = lengths / (side[1] - side[0])
            rows.append((weights @ line.rows(places))[None])
        self._put(np.array([number]), Products(*rows), 1.0)

    def _put(self, numbers: NDArray[np.intp], products: Products, sign: float) -> None:
        self._numbers.append(numbers)
        self._products.append(products)
        self._factors.append(np.full(numbers.size, sign))

    def factorise(self, first_motion: int) -> tuple[FloatArray, FloatArray]:
        """Compliance (own, own) of all that was put on it, and what each motion of it does there (own, motions)."""
        self.numbers = np.concatenate(self._numbers)
        self.factors = np.concatenate(self._factors)
        products = Products(*(np.concatenate([getattr(p, axis) for p in self._products]) for axis in "xy"))
        self.body = FreePlate(self.plate, products, self._openings)
        moves = self.factors[:, None] * self.body.motions_at(products)
        self._motions = slice(first_motion, first_motion + moves.shape[1])
        return self.factors[:, None] * self.body.compliance * self.factors, moves

    def solution(self, acting: FloatArray, motions: FloatArray) -> PlateSolution:
        """How it lies under all forces (forces and contacts,) and in all motions."""
        unknowns = self.body.unknowns(self.factors * acting[self.numbers], motions[self._motions])
        return PlateSolution(self.plate, unknowns, np.zeros((self.plate.x.knots.size, self.plate.y.knots.size)))


class _BoardBody(_Body):
    def __init__(self, plate: Plate, board: Board, sections: _Sections) -> None:
        super().__init__(plate, board.openings)
        self.board = board
        self.sections = sections

    def opens(self, x: float, y: float) -> bool:
        """Whether an opening is at a place."""
        return any(_inside(x, y, opening) for opening in self.board.openings)


def _inside(x: float, y: float, opening: Rectangle) -> bool:
    (x0, x1), (y0, y1) = opening
    return x0 + _TINY < x < x1 - _TINY and y0 + _TINY < y < y1 - _TINY


def _bears(board: Board, x: float, y: float) -> bool:
    on = board.x[0] - _TINY <= x <= board.x[1] + _TINY and board.y[0] - _TINY <= y <= board.y[1] + _TINY
    return on and not any(_inside(x, y, opening) for opening in board.openings)


def _common(one: Stretch, other: Stretch) -> float:
    return max(0.0, min(one[1], other[1]) - max(one[0], other[0]))


def _share(load: Patch | Couple | BackingPlate, on: Board | BackingPlate) -> float:
    """Share of a load's area that a board or plate bears; nothing where an opening lies under it."""
    if isinstance(on, Board):
        for opening in on.openings:
            if _common(load.x, opening[0]) * _common(load.y, opening[1]) > 0:
                return 0.0
    area = (load.x[1] - load.x[0]) * (load.y[1] - load.y[0])
    return _common(load.x, on.x) * _common(load.y, on.y) / area


def _check(
    boards: Sequence[Board], loads: Sequence[Patch | Couple], plates: Sequence[BackingPlate], screws: FloatArray
) -> None:
    for seat in (*loads, *plates):
        if not (seat.x[0] < seat.x[1] and seat.y[0] < seat.y[1]):
            raise PlateError(f"a load needs an area: x {seat.x} m, y {seat.y} m")
    for load in loads:
        if sum(_share(load, board) for board in boards) < _COVERED:
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
        (number, seat) for number, seat in enumerate((*loads, *plates)) if _common(seat.x, board.x) * _common(seat.y, board.y)
    ]
    if not seats:
        return None
    shown = [(number, seat) for number, seat in seats if not isinstance(seat, Couple) and _examined(seat)]
    under = [m for m in members if board.x[0] - _TINY <= m.x <= board.x[1] + _TINY]
    span = float(np.min(np.diff(np.unique([m.x for m in under])), initial=board.x[1] - board.x[0]))
    hard_x = [*(m.x for m in under), *board.hinges_x, *(x for opening in board.openings for x in opening[0])]
    hard_y = [*board.hinges_y, *(y for opening in board.openings for y in opening[1])]
    x = graded_lines(board.x, span / _CELLS_IN_A_SPAN, hard_x, [seat.x for _, seat in shown], fineness)
    y = graded_lines(board.y, span / _CELLS_IN_A_SPAN, hard_y, [seat.y for _, seat in shown], fineness)
    plate = Plate(x, y, board.rigidities, board.hinges_x, board.hinges_y)
    return _BoardBody(plate, board, _Sections(plate, board, under, shown))


def _examined(seat: Patch | BackingPlate) -> bool:
    return seat.examined if isinstance(seat, Patch) else True


def _steel_body(plate: BackingPlate, fineness: float) -> _Body:
    lines = []
    for side, nuts in ((plate.x, [nut.x for nut in plate.nuts]), (plate.y, [nut.y for nut in plate.nuts])):
        lines.append(graded_lines(side, (side[1] - side[0]) / _PLATE_CELLS, (), nuts, fineness))
    return _Body(Plate(*lines, isotropic_rigidities(plate.E, plate.nu, plate.t)))


def graded_lines(
    side: Stretch, widest: float, hard: Iterable[float], seats: Sequence[Stretch], fineness: float = 1.0
) -> FloatArray:
    """Grid lines that are close together at seats and further apart away from them.

    Parameters
    ----------
    side : from, to [m]
    widest : greatest width of a cell [m]
    hard : places that must be lines, those beyond the side are left out [m]
    seats : stretches that shall begin and end on lines, unless these would be nearly one with others [m]
    fineness : all cells are smaller by this factor [-]

    Returns
    -------
    (n + 1,) places of the lines, rising [m]
    """
    start, end = side

    def aimed(at: FloatArray) -> FloatArray:
        width = np.full(at.shape, widest)
        for first, last in seats:
            away = np.maximum(np.maximum(first - at, at - last), 0.0)
            near = np.clip((last - first) / _CELLS_IN_A_SEAT, widest / _FINEST, widest / _COARSEST)
            width = np.minimum(width, near + _COARSER * away)
        return width / fineness

    stops = [start, end]
    for place in hard:
        if start < place < end and min(abs(place - stop) for stop in stops) > _TINY:
            stops.append(place)
    for place in sorted({edge for seat in seats for edge in seat}):
        room = _SAME_LINE * float(aimed(np.array([place]))[0]) * fineness
        if start < place < end and min(abs(place - stop) for stop in stops) > room:
            stops.append(place)
    pieces = []
    for a, b in itertools.pairwise(sorted(stops)):
        fine = np.linspace(a, b, 33)
        density = 1 / aimed(fine)
        passed = np.concatenate(([0.0], np.cumsum((density[1:] + density[:-1]) / 2 * np.diff(fine))))
        cells = max(1, math.ceil(passed[-1] - 0.1))
        pieces.append(np.interp(np.arange(cells) * passed[-1] / cells, passed, fine))
    return np.append(np.concatenate(pieces), end)


def _trapezoids(line: HermiteLine, stretch: Stretch) -> tuple[FloatArray, FloatArray]:
    """Grid lines of a stretch with its ends, and the length each stands for [m]."""
    start, end = max(stretch[0], float(line.knots[0])), min(stretch[1], float(line.knots[-1]))
    if end - start <= _TINY:
        return np.zeros(0), np.zeros(0)
    inside = line.knots[(line.knots > start + _TINY) & (line.knots < end - _TINY)]
    places = np.concatenate(([start], inside, [end]))
    widths = np.diff(places)
    return places, (np.append(widths, 0.0) + np.append(0.0, widths)) / 2


def bed_edges(start: float, end: float) -> FloatArray:
    """Edges of the cells in which a plate's bed is felt, closer at the plate's edges, (cells + 1,) [m]."""
    return np.asarray((start + end) / 2 - (end - start) / 2 * np.cos(np.linspace(0.0, math.pi, _BED_CELLS + 1)))


def _clipped(edges: FloatArray, on: Stretch) -> FloatArray:
    """Edges of what of the cells lies on a stretch [m]; at most one when nothing does."""
    kept = np.clip(edges, *on)
    return np.asarray(kept[np.append(True, np.diff(kept) > _TINY)])


def _means(line: HermiteLine, edges: FloatArray) -> FloatArray:
    """Mean of every function between one edge and the next, (cells, line.size)."""
    pieces = [line.samples((float(a), float(b))) for a, b in itertools.pairwise(edges)]
    if not pieces:
        return np.zeros((0, line.size))
    weighted = np.concatenate([lengths / lengths.sum() for _, lengths in pieces])[:, None]
    first = np.cumsum([0, *(lengths.size for _, lengths in pieces[:-1])])
    return np.add.reduceat(weighted * line.rows(np.concatenate([places for places, _ in pieces])), first, axis=0)


class _Sections:
    """Where moments and shears of a board are looked for: rows ready to be laid against its unknowns."""

    def __init__(
        self, plate: Plate, board: Board, members: Sequence[Member], seats: Sequence[tuple[int, Patch | BackingPlate]]
    ) -> None:
        self._rigidities = board.rigidities
        along, across = _Places(plate.x, plate.y), _Places(plate.y, plate.x)
        for number, seat in seats:
            x = (max(seat.x[0], board.x[0]), min(seat.x[1], board.x[1]))
            y = (max(seat.y[0], board.y[0]), min(seat.y[1], board.y[1]))
            wide_x = (max(x[0] - board.thickness, board.x[0]), min(x[1] + board.thickness, board.x[1]))
            wide_y = (max(y[0] - board.thickness, board.y[0]), min(y[1] + board.thickness, board.y[1]))
            behind = max((m for m in members if m.x <= x[0]), key=lambda m: m.x, default=None)
            ahead = min((m for m in members if m.x >= x[1]), key=lambda m: m.x, default=None)
            beside = [m.x for m in (behind, ahead) if m]
            start = behind.x + behind.face / 2 if behind else board.x[0]
            end = ahead.x - ahead.face / 2 if ahead else board.x[1]
            under = [m.x for m in members if x[0] < m.x < x[1]]
            along.add(number, x, [*beside, *under], (start, end), board.y if board.whole else wide_y)
            reach = (x[1] - x[0] + board.thickness) / 2
            across.add(number, y, [], (max(y[0] - reach, board.y[0]), min(y[1] + reach, board.y[1])), wide_x)
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
            at_ends = shears[sections.first] + sections.beyond * (shears[sections.first] - shears[sections.second])
            np.maximum.at(found[2 + row], sections.numbers[sections.first], np.abs(at_ends))


@dataclass(frozen=True)
class _Rows:
    """Sections as rows by derivative: at their places, and as means across."""

    numbers: NDArray[np.intp]  # (sections,) of the seat
    bent: NDArray[np.bool_]  # (sections,) whether moments are looked for there
    sheared: NDArray[np.bool_]  # (sections,) whether shear is
    first: NDArray[np.intp]  # (ends,) section next to an end of a stretch looked at for shear
    second: NDArray[np.intp]  # (ends,) the section next to that
    beyond: FloatArray  # (ends,) how far the end lies beyond the first, of their distance
    at: dict[int, FloatArray]
    mean: dict[int, FloatArray]

    def of(self, unknowns: FloatArray, at: int, mean: int) -> FloatArray:
        return np.asarray(((self.at[at] @ unknowns) * self.mean[mean]).sum(axis=1))


@dataclass
class _Places:
    """Sections of all seats in one direction while they are gathered."""

    line: HermiteLine
    other: HermiteLine
    numbers: list[NDArray[np.intp]] = field(default_factory=list)
    at: list[FloatArray] = field(default_factory=list)
    sheared: list[NDArray[np.bool_]] = field(default_factory=list)
    bent: list[NDArray[np.bool_]] = field(default_factory=list)
    wide: list[tuple[int, Stretch]] = field(default_factory=list)
    ends: list[tuple[int, int, float]] = field(default_factory=list)

    def add(self, number: int, seat: Stretch, beside: Sequence[float], room: Stretch, wide: Stretch) -> None:
        """Moments across the seat and at places beside; shear between the seat and the ends of its room."""
        bent = np.array([*np.linspace(*seat, _PLACES), *beside])
        start = sum(each.size for each in self.at)
        at, sheared = [bent], [np.zeros(bent.size, dtype=np.bool_)]
        for end, edge in ((room[0], seat[0]), (room[1], seat[1])):
            middles = self._toward(end, edge)
            self._note_ends(middles, (end, edge), start + sum(each.size for each in at))
            at.append(middles)
            sheared.append((middles > min(end, edge)) & (middles < max(end, edge)))
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
            cells = (beyond > end + _TINY) & (beyond < edge + room)
        else:
            cells = (before < end - _TINY) & (before > edge - room)
        middles = before + self.line.widths / 2
        return middles[cells] if abs(end - edge) > _TINY else np.zeros(0)

    def _note_ends(self, middles: FloatArray, ends: Stretch, start: int) -> None:
        """Ends of a stretch, to be reached by a straight line through the two sections next to each."""
        last = middles.size - 1
        if last < 1:
            return
        for end in ends:
            one, other = (0, 1) if abs(end - middles[0]) < abs(end - middles[last]) else (last, last - 1)
            beyond = (end - middles[one]) / (middles[one] - middles[other])
            self.ends.append((start + one, start + other, float(beyond)))

    def rows(self) -> _Rows | None:
        if not self.at:
            return None
        at = np.concatenate(self.at)
        means = {}
        for derivative in (0, 2):
            each = [np.tile(self.other.mean(wide, derivative), (count, 1)) for count, wide in self.wide]
            means[derivative] = np.concatenate(each)
        by_derivative = {derivative: self.line.rows(at, derivative) for derivative in range(4)}
        ends = np.array(self.ends, dtype=np.float64).reshape(-1, 3)
        return _Rows(
            numbers=np.concatenate(self.numbers),
            bent=np.concatenate(self.bent),
            sheared=np.concatenate(self.sheared),
            first=ends[:, 0].astype(np.intp),
            second=ends[:, 1].astype(np.intp),
            beyond=ends[:, 2],
            at=by_derivative,
            mean=means,
        )
