"""Plates under loads and between contacts, gathered piece by piece and then solved together.

Forces are numbered first, contacts after them. Every body (a board, a steel plate, the base of a ring) is told
which of them act on it and how; `Assembly` puts the bodies together and answers each set of forces.
"""

from __future__ import annotations

import itertools
import math
from typing import TYPE_CHECKING, Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from anchorcalc.mechanics.free_plate import FreePlate, Products
from anchorcalc.mechanics.hermite import FloatArray, HermiteLine
from anchorcalc.mechanics.one_sided import OneSidedSprings
from anchorcalc.mechanics.plates import Plate, PlateSolution

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

Numbers = NDArray[np.intp]
Stretch = tuple[float, float]
"""From, to [m]."""

TINY = 1e-9  # lengths below it are none [m]
_CELLS_IN_A_SEAT = 2
_FINEST, _COARSEST = 12, 3  # cells at a seat are no finer and no coarser than these parts of the widest
_COARSER = 0.35  # growth of cells with the distance from a seat
_SAME_LINE = 0.4  # of the cell's width aimed at: seats' edges nearer to another line get none of their own


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


class PlateBody:
    """A board or a steel plate while contacts and loads are put on it."""

    def __init__(self, plate: Plate) -> None:
        self.plate = plate
        self._numbers: list[Numbers] = []
        self._products: list[Products] = []
        self._factors: list[FloatArray] = []

    def add(self, numbers: Numbers, x: FloatArray, y: FloatArray, sign: float) -> None:
        """Contacts at places; a sign of one where a rise of this body shortens them."""
        self.put(numbers, Products(self.plate.x.rows(x), self.plate.y.rows(y)), sign)

    def add_cells(self, numbers: Numbers, edges: tuple[FloatArray, FloatArray], sign: float) -> None:
        """Contacts spread evenly over the cells between lines across x and across y."""
        along, across = (
            span_means(line, itertools.pairwise(each))
            for line, each in zip((self.plate.x, self.plate.y), edges, strict=True)
        )
        i, j = np.divmod(np.arange(numbers.size), len(across))
        self.put(numbers, Products(along[i], across[j]), sign)

    def add_loads(self, loads: Iterable[tuple[int, Patch | Couple]]) -> None:
        """Loads with their numbers, as far as they lie on this body."""
        x, y = self.plate.x, self.plate.y
        borne = [(number, load) for number, load in loads if _meets(x, load.x) and _meets(y, load.y)]
        if borne:
            along = _spread(x, [(load.x, isinstance(load, Couple) and load.along == "x") for _, load in borne])
            across = _spread(y, [(load.y, isinstance(load, Couple) and load.along == "y") for _, load in borne])
            self.put(np.array([number for number, _ in borne]), Products(along, across), 1.0)

    def put(self, numbers: Numbers, products: Products, sign: float) -> None:
        """What acts through given functionals; a sign of minus one where a rise of this body eases it."""
        self._numbers.append(numbers)
        self._products.append(products)
        self._factors.append(np.full(numbers.size, sign))

    def factorise(self, first_motion: int) -> tuple[FloatArray, FloatArray]:
        """Compliance (own, own) of all that was put on it, and what each motion of it does there (own, motions)."""
        self.numbers = np.concatenate(self._numbers)
        self.factors = np.concatenate(self._factors)
        products = Products(*(np.concatenate([getattr(p, axis) for p in self._products]) for axis in "xy"))
        self.body = FreePlate(self.plate, products)
        moves = self.factors[:, None] * self.body.motions_at(products)
        self._motions = slice(first_motion, first_motion + moves.shape[1])
        return self.factors[:, None] * self.body.compliance * self.factors, moves

    def solution(self, acting: FloatArray, motions: FloatArray) -> PlateSolution:
        """How it lies under all forces (forces and contacts,) and in all motions."""
        unknowns = self.body.unknowns(self.factors * acting[self.numbers], motions[self._motions])
        return PlateSolution(self.plate, unknowns)


class Settled(NamedTuple):
    """Bodies in balance: what every force and contact gives, and how each body moves as a whole."""

    acting: FloatArray  # (forces + contacts,) the forces, and the contacts' counted negative [N]
    motions: FloatArray
    rises: FloatArray  # (forces,) deflection at each force [m]


class Assembly:
    """Bodies and the one-sided contacts between them."""

    def __init__(self, forces: int) -> None:
        self.forces = forces
        self._stiffness: list[FloatArray] = []
        self._next = forces

    def new_contacts(self, stiffness: FloatArray) -> Numbers:
        """Numbers of new contacts of given stiffness (contacts,) [N/m]."""
        self._stiffness.append(stiffness)
        numbers = self._next + np.arange(stiffness.size)
        self._next += stiffness.size
        return numbers

    def put_together(self, bodies: Sequence[PlateBody]) -> None:
        """Factorise the bodies: what they do at forces and contacts."""
        self._whole: FloatArray = np.zeros((self._next, self._next))
        moved, motions = [], 0
        for body in bodies:
            compliance, moves = body.factorise(motions)
            self._whole[np.ix_(body.numbers, body.numbers)] += compliance
            moved.append(np.zeros((self._next, moves.shape[1])))
            moved[-1][body.numbers] = moves
            motions += moves.shape[1]
        self._moved: FloatArray = np.concatenate(moved, axis=1)

    def coupled(self, left_out: Numbers | None = None) -> Coupled:
        """The bodies on their contacts, some left out; raises PlateError when a part hangs on nothing."""
        there = np.ones(self._next - self.forces, dtype=np.bool_)
        if left_out is not None:
            there[left_out - self.forces] = False
        kept = self.forces + np.flatnonzero(there)
        stiffness = np.concatenate([*self._stiffness, np.zeros(0)])[kept - self.forces]
        return Coupled(self._whole, self._moved, self.forces, kept, stiffness)


class Coupled:
    """Bodies on those of their contacts that are there, ready for any forces."""

    def __init__(
        self, whole: FloatArray, moved: FloatArray, forces: int, contacts: Numbers, stiffness: FloatArray
    ) -> None:
        self._whole, self._moved, self._forces, self._contacts = whole, moved, forces, contacts
        self._springs = OneSidedSprings(whole[np.ix_(contacts, contacts)], moved[contacts], stiffness)

    def under(self, forces: FloatArray) -> Settled:
        """Balance under forces (forces,) [N]; raises PlateError when the contacts cannot hold them."""
        n = self._forces
        held = self._springs.under(self._whole[self._contacts, :n] @ forces, self._moved[:n].T @ forces)
        acting = np.zeros(len(self._whole))
        acting[:n], acting[self._contacts] = forces, -held.springs
        rises = self._whole[:n] @ acting + self._moved[:n] @ held.motions
        return Settled(acting, held.motions, rises)


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
        if start < place < end and min(abs(place - stop) for stop in stops) > TINY:
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


def widths_at(lines: FloatArray) -> FloatArray:
    """Length each of some lines stands for, half-way to its neighbours, (lines,) [m]."""
    widths = np.diff(lines)
    return np.asarray((np.append(widths, 0.0) + np.append(0.0, widths)) / 2)


def span_means(line: HermiteLine, spans: Iterable[Stretch], derivative: int = 0) -> FloatArray:
    """Mean of every function, or of a derivative, over each of some stretches, (spans, line.size)."""
    pieces = [line.samples((float(a), float(b))) for a, b in spans]
    return _sums(line, [(places, lengths / lengths.sum()) for places, lengths in pieces], derivative)


def _on(line: HermiteLine, side: Stretch) -> Stretch:
    """What of a stretch lies on a line; it ends before it starts where nothing does."""
    return float(max(side[0], line.knots[0])), float(min(side[1], line.knots[-1]))


def _meets(line: HermiteLine, side: Stretch) -> bool:
    start, end = _on(line, side)
    return end - start > TINY


def _spread(line: HermiteLine, sides: Iterable[tuple[Stretch, bool]]) -> FloatArray:
    """What a unit does to every function that is spread over a side or, where so marked, turns about its middle."""
    pieces = []
    for (start, end), turns in sides:
        places, lengths = line.samples(_on(line, (start, end)))
        lever = (places - (start + end) / 2) * 12 / (end - start) ** 2 if turns else 1.0
        pieces.append((places, lengths * lever / (end - start)))
    return _sums(line, pieces)


def _sums(line: HermiteLine, pieces: Sequence[tuple[FloatArray, FloatArray]], derivative: int = 0) -> FloatArray:
    """Every function or derivative at places, by their weights, added up for each of some pieces, (pieces, size)."""
    if not pieces:
        return np.zeros((0, line.size))
    first = np.cumsum([0, *(places.size for places, _ in pieces[:-1])])
    rows = line.rows(np.concatenate([places for places, _ in pieces]), derivative)
    weights = np.concatenate([weights for _, weights in pieces])[:, None]
    return np.asarray(np.add.reduceat(weights * rows, first, axis=0))
