"""Steel plates and washers pulled against wood by their nuts, and the pull that bends them for good.

The wood answers like a bed of springs up to its crushing strength and no further, and it never pulls. A nut
may be entered as an even pressure on its bearing area or as a line load along its rim. A real nut is stiff
and presses with its rim once the steel dishes, so the even pressure overstates the bending a little: it is
the cautious choice.

On soft wood a larger washer or plate of the same thickness may bend for good a little earlier, because its
outer part bears too. Bent steel does not let go: the breaking level is another question.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from anchorcalc.mechanics.hermite import FloatArray, HermiteLine, PlateError, Span
from anchorcalc.mechanics.plate_contact import Equilibrium, OneSided, find_equilibrium
from anchorcalc.mechanics.plates import Moments, Plate, PlateSolution, Supports, solution

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

_NEARLY_CRUSHED = 0.99  # of the pull that crushes the bed everywhere, where deflections have no end
_SAME_MOMENT = 1e-4  # as a share of the moment looked for
_NO_BALANCE = 1e-6  # of the pull that crushes the whole bed
_MOST_TRIALS = 40  # of the search for a pull


class CrushingBed(NamedTuple):
    """Wood under steel: elastic up to its crushing strength, then yielding at it, never pulling.

    A soft bed spreads the pressure and bends the steel more: in doubt take the stiffness low.
    """

    stiffness: float  # pressure per deflection [N/m³], modulus across the grain over the depth of wood
    strength: float  # [Pa]


@dataclass(frozen=True)
class BedContact:
    """How a plate or washer bears on its bed, sample by sample."""

    places: FloatArray  # (samples, 2) x and y, or (samples, 1) radius [m]
    area: FloatArray  # (samples,) [m²]
    pressure: FloatArray  # (samples,) [Pa]
    contact_share: float  # of the area under the plate that is pressed at all [-]
    crushed_share: float  # of that area pressed to the bed's strength [-]
    greatest_moment: float  # equivalent moment by von Mises per metre of width [N]
    equilibrium: Equilibrium


@dataclass(frozen=True)
class PlateOnBed(BedContact):
    """A rectangular plate on its bed."""

    solution: PlateSolution


class PullLimit(NamedTuple):
    """The factor on a load at which a plate on a crushing bed comes to a limit."""

    factor: float
    governs: Literal["plate", "bed"]
    contact: BedContact


class PlateBed:
    """A rectangular plate pulled against a crushing bed by its nuts.

    Parameters
    ----------
    plate : the plate, with grid lines at the edges and middles of the nuts; four cells across a nut find the
        first yield within 1 %, two find it some 7 % too early
    bed : the wood
    holes : bolt holes (x, y, diameter) [m], where the bed gives nothing
    mirror_x, mirror_y : whether the first line across x, across y is a line of symmetry, so that plate and
        load are half of the real ones, or a quarter
    """

    def __init__(
        self,
        plate: Plate,
        bed: CrushingBed,
        holes: Sequence[tuple[float, float, float]] = (),
        *,
        mirror_x: bool = False,
        mirror_y: bool = False,
    ) -> None:
        self.plate = plate
        self.strength = bed.strength
        self.mirrors = (mirror_x, mirror_y)
        self.free = plate.free_unknowns(
            Supports(x_start="mirror" if mirror_x else "free", y_start="mirror" if mirror_y else "free")
        )
        sides = [line.samples((line.knots[0], line.knots[-1])) for line in (plate.x, plate.y)]
        (x, lengths_x), (y, lengths_y) = sides
        self.places = np.stack([axis.ravel() for axis in np.meshgrid(x, y, indexing="ij")], axis=1)
        area = np.outer(lengths_x, lengths_y).ravel()
        for hole_x, hole_y, diameter in holes:
            area[np.hypot(*(self.places - (hole_x, hole_y)).T) < diameter / 2] = 0.0
        self.samples = _bed_samples(plate.deflection_rows(x, y), bed, area)

    def solve(self, load: FloatArray, start: FloatArray | None = None) -> PlateOnBed:
        """Contact under a load (plate.size,) that presses the plate on its bed, positive toward it.

        ``start`` may hold the unknowns of a contact that is alike.
        """
        balance = find_equilibrium(self.plate.stiffness, self.samples, load, self.free, start)
        solved = solution(self.plate, balance.unknowns, np.zeros(self.plate.size))
        shares = _shares(balance.pressure, self.samples.extent, self.strength)
        moment = solved.greatest_moment()
        return PlateOnBed(self.places, self.samples.extent, balance.pressure, *shares, moment, balance, solved)

    def pull_at_moment(self, load: FloatArray, moment: float) -> PullLimit:
        """Factor on a load at which the plate's greatest equivalent moment reaches a limit.

        With the limit f_y t²/6 it is the pull of the first yield. With f_y t²/4 it is a safe estimate of the
        pull the plate can carry at all: elastic moments in balance with the load nowhere exceed what the
        plate resists (lower bound theorem of limit analysis). When the bed is crushed before, that governs.

        Parameters
        ----------
        load : (plate.size,) the pattern of nut pulls
        moment : limit of the equivalent moment per metre of width [N]

        Returns
        -------
        The factor, what governs, and the contact there. PlateError when no contact can be found.
        """
        return _pull_at_moment(self.solve, load, moment, self._crushing_factor(load))

    def _crushing_factor(self, load: FloatArray) -> float:
        """Factor beyond which not even a rigid plate finds a balance.

        It is the most that pressures up to the bed's strength can hold of the load's force and of its
        moments, where no symmetry takes them up: a linear programme.
        """
        from scipy.optimize import linprog

        lines = (self.plate.x, self.plate.y)
        (one_x, rising_x), (one_y, rising_y) = (_polynomials(line) for line in lines)
        wanted = [load @ np.outer(one_x, one_y).ravel()]
        given = [np.ones(len(self.places))]
        if not self.mirrors[0]:
            wanted.append(load @ np.outer(rising_x, one_y).ravel())
            given.append(self.places[:, 0])
        if not self.mirrors[1]:
            wanted.append(load @ np.outer(one_x, rising_y).ravel())
            given.append(self.places[:, 1])
        if wanted[0] <= 0:
            raise PlateError("the pull does not press the plate on its bed")
        whole = self.strength * float(self.samples.extent.sum())
        balance = np.column_stack([np.array(given) * (self.samples.extent * self.strength / whole), wanted])
        balance[:, -1] /= -wanted[0]
        aim = np.append(np.zeros(len(self.places)), -1.0)
        limits = [(0.0, 1.0)] * len(self.places) + [(0.0, None)]
        best = linprog(aim, A_eq=balance, b_eq=np.zeros(len(wanted)), bounds=limits)
        factor = float(best.x[-1]) if best.success else 0.0
        if factor <= _NO_BALANCE:
            raise PlateError("the pull lies off the plate: no pressure under it can balance it")
        return factor * whole / float(wanted[0])


def _polynomials(line: HermiteLine) -> tuple[FloatArray, FloatArray]:
    """Unknowns of the functions 1 and x on a line."""
    constant, rising = np.zeros(line.size), np.ones(line.size)
    values = slice(0, 2 * line.knots.size, 2)
    constant[values], rising[values] = 1.0, line.knots
    return constant, rising


def _bed_samples(rows: Any, bed: CrushingBed, area: FloatArray) -> OneSided:
    n = area.size
    return OneSided(rows, np.full(n, bed.stiffness), area, np.zeros(n), np.full(n, bed.strength))


def _shares(pressure: FloatArray, area: FloatArray, strength: float) -> tuple[float, float]:
    """Shares of an area that are pressed at all and that are pressed to the strength."""
    whole = area.sum()
    return float(area[pressure > 0].sum() / whole), float(area[pressure >= strength].sum() / whole)


def _pull_at_moment(
    solve: Callable[[FloatArray, FloatArray | None], BedContact],
    load: FloatArray,
    moment: float,
    crushing_factor: float,
) -> PullLimit:
    """Search of ``pull_at_moment`` for a plate of any shape, by false position with halving."""
    high = _NEARLY_CRUSHED * crushing_factor
    contact = _solved(solve(high * load, None))
    if contact.greatest_moment <= moment:
        return PullLimit(high, "bed", contact)
    low, excess_low, excess_high = 0.0, -moment, contact.greatest_moment - moment
    for _ in range(_MOST_TRIALS):
        factor = (low * excess_high - high * excess_low) / (excess_high - excess_low)
        contact = _solved(solve(factor * load, contact.equilibrium.unknowns))
        excess = contact.greatest_moment - moment
        if -_SAME_MOMENT * moment <= excess <= 0:
            return PullLimit(factor, "plate", contact)
        if excess < 0:
            low, excess_low, excess_high = factor, excess, excess_high / 2
        else:
            high, excess_high, excess_low = factor, excess, excess_low / 2
    raise PlateError("no pull was found that brings the plate to its limit")


def _solved(contact: BedContact) -> BedContact:
    if not contact.equilibrium.converged:
        raise PlateError(
            f"the contact of plate and bed was not found: {contact.equilibrium.residual:.1g} of the load"
            f" is left over after {contact.equilibrium.iterations} steps"
        )
    return contact


class RoundPlate:
    """A round plate with a hole in its middle, loaded evenly all round: a washer.

    Parameters
    ----------
    radii : (n + 1,) radii of the grid lines, from the hole's to the outer one [m]
    D : bending rigidity [N m]
    nu : Poisson's ratio [-]
    """

    def __init__(self, radii: ArrayLike, D: float, nu: float) -> None:
        self.line = HermiteLine(radii)
        if self.line.knots[0] <= 0:
            raise PlateError("a round plate needs a hole")
        self.D, self.nu = D, nu
        self.radii, lengths = self.line.samples((self.line.knots[0], self.line.knots[-1]))
        self.area: FloatArray = 2 * math.pi * self.radii * lengths

    @property
    def stiffness(self) -> Any:
        """Stiffness matrix, sparse; energy π D ∫ (w''² + w'²/r² + 2 ν w'' w'/r) r dr."""
        from scipy import sparse

        bent, turned = (self.line.rows(self.radii, i) for i in (2, 1))
        turned = turned / self.radii[:, None]
        mixed = bent.T @ (self.area[:, None] * turned)
        own = bent.T @ (self.area[:, None] * bent) + turned.T @ (self.area[:, None] * turned)
        return sparse.csc_array(self.D * (own + self.nu * (mixed + mixed.T)))

    def load(self, total: float, radius: Span) -> FloatArray:
        """Load vector of a force [N] spread evenly over a ring (from, to) or along a circle [m]."""
        radii, lengths = self.line.samples(radius)
        return np.asarray(total * (radii * lengths) @ self.line.rows(radii) / (radii @ lengths), dtype=np.float64)

    def moments(self, unknowns: FloatArray, radii: ArrayLike) -> tuple[FloatArray, FloatArray]:
        """Radial and tangential moments per metre of width [N]; positive where the leading face stretches."""
        bent = self.line.curvatures(unknowns[:, None], radii)[:, 0]
        turned = self.line.rows(radii, 1) @ unknowns / np.asarray(radii)
        return -self.D * (bent + self.nu * turned), -self.D * (turned + self.nu * bent)


class WasherBed:
    """A washer pressed on a crushing bed by its nut."""

    def __init__(self, washer: RoundPlate, bed: CrushingBed) -> None:
        self.washer = washer
        self.strength = bed.strength
        from scipy import sparse

        rows = sparse.csr_array(washer.line.rows(washer.radii))
        self.samples = _bed_samples(rows, bed, washer.area)

    def solve(self, load: FloatArray, start: FloatArray | None = None) -> BedContact:
        """Contact under a load of ``washer.load``."""
        balance = find_equilibrium(self.washer.stiffness, self.samples, load, start=start)
        radial, tangential = self.washer.moments(balance.unknowns, self.washer.line.knots_and_middles)
        moment = float(Moments(radial, tangential, np.zeros_like(radial)).equivalent().max())
        shares = _shares(balance.pressure, self.washer.area, self.strength)
        places = self.washer.radii[:, None]
        return BedContact(places, self.washer.area, balance.pressure, *shares, moment, balance)

    def pull_at_moment(self, load: FloatArray, moment: float) -> PullLimit:
        """Factor on a load at which the washer comes to a moment; see ``PlateBed.pull_at_moment``."""
        total = float(load[0 : 2 * self.washer.line.knots.size : 2].sum())
        crushing = self.strength * float(self.washer.area.sum()) / total
        return _pull_at_moment(self.solve, load, moment, crushing)
