"""The base of one or more rings: a plate or strip that bends, on fasteners that only pull and wood that only pushes.

Each ring stands on its foot, a rectangle over which its pull enters evenly and the couple of a pull at a
height rises evenly from edge to edge. Fasteners hold over their heads, the wood is an elastic bed that is
never crushed, so everything grows in proportion to the pull. A thick base on hard wood comes out as a rigid
one, a thin one leaves most of the pull to the fasteners beside the foot.

x runs along the trailer, y across it, z up. The in-plane part of a pull is taken at the base's underside.
"""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from msgspec import Struct
from numpy.typing import ArrayLike, NDArray

from anchorcalc.mechanics.free_plate import Products
from anchorcalc.mechanics.hermite import FloatArray, PlateError, grid_lines
from anchorcalc.mechanics.plate_body import (
    Assembly,
    Couple,
    Patch,
    PlateBody,
    Stretch,
    disc,
    graded_lines,
    span_means,
    widths_at,
)
from anchorcalc.mechanics.plates import Plate, PlateSolution, isotropic_rigidities
from anchorcalc.mechanics.steel_sections import SeatSections, hinge_moments

if TYPE_CHECKING:
    from collections.abc import Sequence

_CELLS_ACROSS = 4  # of the narrow side
_MOST_CELLS = 24  # of the long side, where nothing asks for more
_SAME_LINE = 0.25  # of the widest cell: lines are no nearer to each other
_PAD_SPACING = 0.04  # of the pads a base is said to press with, at most [m]
_MOST_PADS = 9  # in a row
_PAD_WIDTH = 0.002  # [m]


class BasePlate(Struct, frozen=True):
    """A plate or strip of steel.

    Parameters
    ----------
    x, y : its edges [m]
    t, E, nu : thickness [m], modulus of elasticity [Pa], Poisson's ratio [-]
    """

    x: Stretch
    y: Stretch
    t: float
    E: float
    nu: float

    def inside(self, patch: Patch) -> Patch:
        """What of a patch lies on it."""
        x = (max(patch.x[0], self.x[0]), min(patch.x[1], self.x[1]))
        y = (max(patch.y[0], self.y[0]), min(patch.y[1], self.y[1]))
        return Patch(x, y, patch.examined)


class Opening(NamedTuple):
    """A rectangle about the middle of the base with round corners where there is no wood under it."""

    size: tuple[float, float]  # along x, along y [m]
    corner: float  # radius [m]; half of the size where it is round

    def takes(self, places: FloatArray) -> NDArray[np.bool_]:
        """Which of places (n, 2) lie in it, (n,)."""
        beyond = np.abs(places) - (np.array(self.size) / 2 - self.corner)
        return np.asarray((beyond.max(axis=1) < 0) | (np.hypot(*np.maximum(beyond, 0.0).T) < self.corner))


class Fasteners(NamedTuple):
    """Screws or bolts that only pull."""

    places: ArrayLike  # (fasteners, 2) [m]
    stiffness: ArrayLike  # of one, the same for all or (fasteners,) [N/m]
    head: float  # diameter over which each holds the base [m]


class BaseResponse(Struct, frozen=True):
    """What a set of pulls does to a base; all of it in proportion to them."""

    tensions: FloatArray  # (fasteners,) [N]
    pressed: FloatArray  # (samples, 2) where the wood pushes back [m]
    presses: FloatArray  # (samples,) force on the wood there [N]
    pad_forces: FloatArray  # (pads,) the same, shared out to `Base.pads` with the same resultant [N]
    moments: FloatArray  # (feet + fasteners,) greatest equivalent moment at each, see `Base.under` [N]
    solution: PlateSolution

    @property
    def hinge_moments(self) -> tuple[float, float]:
        """Greatest mean moment over the whole width, and over the whole length [N]."""
        return hinge_moments(self.solution)

    @property
    def greatest_moment(self) -> float:
        """Greatest equivalent moment at feet and fasteners [N]."""
        return float(self.moments.max(initial=0.0))


class Base:
    """A base on its fasteners, ready for any pulls at its rings' feet.

    Parameters
    ----------
    plate : the steel
    fasteners : what holds it down
    bed : pressure per deflection of the wood under it [N/m³]
    feet : where the rings stand on it
    opening : where the wood under it is cut away
    fineness : cells are smaller by this factor than they are as a rule [-]

    Attributes
    ----------
    pads : small patches the base is said to press with, for the floor under it; not examined themselves

    Raises
    ------
    PlateError
        A foot or fastener beside the base, or no foot.
    """

    def __init__(
        self,
        plate: BasePlate,
        fasteners: Fasteners,
        bed: float,
        feet: Sequence[Patch],
        *,
        opening: Opening | None = None,
        fineness: float = 1.0,
    ) -> None:
        self._plate, self._feet, self._opening = plate, tuple(feet), opening
        self._places = np.asarray(fasteners.places, dtype=np.float64).reshape(-1, 2)
        self._check()
        self._heads = [plate.inside(disc(x, y, fasteners.head)) for x, y in self._places]
        self._body = PlateBody(_grid(plate, self._feet, self._heads, fineness))
        self._all = Assembly(3 * len(self._feet))
        of_feet = [(foot, Couple(foot.x, foot.y, "x"), Couple(foot.x, foot.y, "y")) for foot in self._feet]
        self._body.add_loads(enumerate(itertools.chain(*of_feet)))
        stiffness = np.broadcast_to(np.asarray(fasteners.stiffness, dtype=np.float64), len(self._places))
        self._held = self._all.new_contacts(stiffness)
        x, y = self._body.plate.x, self._body.plate.y
        rows = Products(
            span_means(x, [head.x for head in self._heads]), span_means(y, [head.y for head in self._heads])
        )
        self._body.put(self._held, rows, 1.0)
        self._add_bed(bed, fineness)
        self._all.put_together([self._body])
        self._coupled = self._all.coupled()
        self.pads, self._to_pads = _pads(plate, self._pressed)
        self._sections = SeatSections(self._body.plate, [*self._feet, *self._heads], plate.t)

    def under(self, pulls: ArrayLike, heights: ArrayLike) -> BaseResponse:
        """Answer to the pulls of the rings.

        The moments at feet and fasteners are averaged across the section looked at, over the foot or head and
        one thickness each side: steel yields over such a width before a peak matters. A first yield is met at
        f_y t²/6; f_y t²/4 is a safe estimate of what the base carries at all (lower bound theorem), because
        the elastic moments are in balance with the pull. The hinge moments are what a straight yield line
        right across the base feels.

        Parameters
        ----------
        pulls : (feet, 3) along x, y and z (up) [N]
        heights : one for all or (feet,) of the pulls above the base's underside [m]

        Raises
        ------
        PlateError
            The fasteners cannot balance these pulls.
        """
        given = np.asarray(pulls, dtype=np.float64).reshape(-1, 3)
        if len(given) != len(self._feet) or not np.all(np.isfinite(given)):
            raise PlateError(f"{len(self._feet)} finite pulls are needed, not {given}")
        levers = np.broadcast_to(np.asarray(heights, dtype=np.float64), len(given))
        # A pull ahead at a height presses the fore end down: the couple is negative.
        forces = np.column_stack([given[:, 2], -levers * given[:, 0], -levers * given[:, 1]]).ravel()
        found = self._coupled.under(forces)
        shape = self._body.solution(found.acting, found.motions)
        presses = -found.acting[self._bed]
        return BaseResponse(
            tensions=-found.acting[self._held],
            pressed=self._pressed,
            presses=presses,
            pad_forces=self._to_pads @ presses,
            moments=self._sections.look_into(shape),
            solution=shape,
        )

    def _check(self) -> None:
        plate = self._plate
        if not self._feet:
            raise PlateError("a base needs a ring's foot")
        for foot in self._feet:
            if plate.inside(foot)[:2] != foot[:2]:
                raise PlateError(f"a foot at x {foot.x} m, y {foot.y} m does not lie on its base")
        for x, y in self._places:
            if not (plate.x[0] <= x <= plate.x[1] and plate.y[0] <= y <= plate.y[1]):
                raise PlateError(f"a fastener at x {x:g} m, y {y:g} m misses its base")

    def _add_bed(self, bed: float, fineness: float) -> None:
        sides = (self._plate.x, [foot.x for foot in self._feet]), (self._plate.y, [foot.y for foot in self._feet])
        rows = []
        for (side, feet), places in zip(sides, self._places.T, strict=True):
            lines = _lines(side, _widest(self._plate, side), feet, places, fineness)
            rows.append((lines, widths_at(lines)))
        (x, widths_x), (y, widths_y) = rows
        places = np.stack([axis.ravel() for axis in np.meshgrid(x, y, indexing="ij")], axis=1)
        on_wood = np.ones(len(places), dtype=bool) if self._opening is None else ~self._opening.takes(places)
        self._pressed = places[on_wood]
        self._bed = self._all.new_contacts(bed * np.outer(widths_x, widths_y).ravel()[on_wood])
        self._body.add(self._bed, self._pressed[:, 0], self._pressed[:, 1], -1.0)


def _widest(plate: BasePlate, side: Stretch) -> float:
    """Greatest width of a cell along a side [m]."""
    narrow = min(plate.x[1] - plate.x[0], plate.y[1] - plate.y[0])
    return max(narrow / _CELLS_ACROSS, (side[1] - side[0]) / _MOST_CELLS)


def _grid(plate: BasePlate, feet: Sequence[Patch], heads: Sequence[Patch], fineness: float) -> Plate:
    """The steel's cells, fine at the feet and at the heads beside them, where it bends most."""
    reach = min(plate.x[1] - plate.x[0], plate.y[1] - plate.y[0]) / 2
    near = [head for head in heads if any(_gap(head.x, foot.x) + _gap(head.y, foot.y) < reach for foot in feet)]
    x = graded_lines(plate.x, _widest(plate, plate.x), (), [seat.x for seat in (*feet, *near)], fineness)
    y = graded_lines(plate.y, _widest(plate, plate.y), (), [seat.y for seat in (*feet, *near)], fineness)
    return Plate(x, y, isotropic_rigidities(plate.E, plate.nu, plate.t))


def _gap(one: Stretch, other: Stretch) -> float:
    return max(one[0] - other[1], other[0] - one[1], 0.0)


def _lines(side: Stretch, widest: float, feet: Sequence[Stretch], places: FloatArray, fineness: float) -> FloatArray:
    """Lines on which the bed is felt: edges and middles of feet, fasteners, unless nearly one with another."""
    stops = [*side]
    for stop in [*(place for a, b in feet for place in (a, b, (a + b) / 2)), *places]:
        if min(abs(stop - other) for other in stops) > _SAME_LINE * widest:
            stops.append(float(stop))
    through = [stop - side[0] for stop in stops]
    return side[0] + grid_lines(side[1] - side[0], widest / fineness, through)


def _pads(plate: BasePlate, pressed: FloatArray) -> tuple[tuple[Patch, ...], FloatArray]:
    """Pads in rows over the base, and what of each sample (pads, samples) goes to each: straight between them."""
    places, shares = [], []
    for side, at in ((plate.x, pressed[:, 0]), (plate.y, pressed[:, 1])):
        count = int(np.clip(np.ceil((side[1] - side[0]) / _PAD_SPACING) + 1, 2, _MOST_PADS))
        row = np.linspace(*side, count)
        places.append(row)
        shares.append(np.array([np.interp(at, row, unit) for unit in np.eye(count)]))
    half = _PAD_WIDTH / 2
    pads = tuple(
        Patch((x - half, x + half), (y - half, y + half), examined=False) for x in places[0] for y in places[1]
    )
    return pads, (shares[0][:, None] * shares[1]).reshape(len(pads), -1)
