"""A steel plate or washer pulled against the deck by its nuts: where it bears and when it bends for good.

The closed rule of `links.bolted` says what bears at breaking, when the steel has yielded. This says at what
pull the steel first bends for good, which no working load may do. The steel's weakening by the bolt's hole is
not counted, nor is the nut's and the base's stiffening of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from anchorcalc.links.bolted import bottom_layer
from anchorcalc.links.common import FloatArray
from anchorcalc.mechanics.bearing import crushing_breaking_stress
from anchorcalc.mechanics.hermite import grid_lines
from anchorcalc.mechanics.plate_bed import (
    BedContact,
    CrushingBed,
    PlateBed,
    PlateOnBed,
    PullLimit,
    RoundPlate,
    WasherBed,
)
from anchorcalc.mechanics.plates import Plate, isotropic_rigidities
from anchorcalc.result.size import BearingMap
from anchorcalc.rig.parts import PlateSeat, WasherSeat

if TYPE_CHECKING:
    from anchorcalc.links.common import Question

# Modulus across the grain over that along it; Wood Handbook table 5-1, Douglas-fir 0.05 to 0.07 (from memory).
# A soft bed bends the steel more.
_E_ACROSS = 0.05
_NU_STEEL = 0.3
_CELLS_ASIDE = 8  # widest cell as a share of the plate's side
_RINGS = 12  # cells from a washer's hole to its rim
_ALIKE = 1e-6  # nuts whose pulls differ by less are alike


@dataclass(frozen=True)
class BackingBend:
    """How a backing bears on the deck, and the pull on the ring at which it first bends for good [N]."""

    question: Question
    model: PlateBed | WasherBed
    load: FloatArray  # of the model, for a pull of one newton
    limit: PullLimit

    @property
    def first_bend(self) -> float:
        """Pull at which the steel first yields, or the wood under all of it is crushed before [N]."""
        return self.limit.factor

    def at(self, pull: float) -> BedContact:
        """Contact under a pull on the ring [N]."""
        return self.model.solve(pull * self.load)

    def carries(self) -> float:
        """Pull that the steel carries at all, by elastic moments nowhere beyond f_y t²/4 [N]: a safe estimate."""
        seat, steel = _seat(self.question)
        return self.model.pull_at_moment(self.load, steel * seat**2 / 4).factor


def backing_bend(question: Question) -> BackingBend:
    """First permanent bend of the plate or washers of `question`.

    Raises
    ------
    PlateError
        No contact of steel and wood was found.
    """
    thickness, F_y = _seat(question)
    seat = question.anchor.mounting.seat
    if seat is None:
        raise TypeError(f"nothing under the nuts of anchor {question.anchor.name!r} bears on the wood")
    model, load = _plate_model(question, seat) if isinstance(seat, PlateSeat) else _washer_model(question, seat)
    return BackingBend(question, model, load, model.pull_at_moment(load, F_y * thickness**2 / 6))


def _seat(question: Question) -> tuple[float, float]:
    """Thickness [m] and yield strength [Pa] of what presses on the wood."""
    seat = question.anchor.mounting.seat
    if seat is None:
        raise TypeError(f"nothing under the nuts of anchor {question.anchor.name!r} bears on the wood")
    return seat.thickness, seat.steel.F_y


def _bed(question: Question) -> CrushingBed:
    depth = sum(layer.thickness for layer in question.anchor.floor.sound_layers)
    stiffness = _E_ACROSS * bottom_layer(question.anchor).panel.E / depth
    return CrushingBed(stiffness, _crushed_at(question))


def _crushed_at(question: Question) -> float:
    """Pressure at which the best layer is crushed, since a weaker one below it passes the pull on [Pa]."""
    factor = question.basis.factor("ec5_bearing_factor")
    return max(
        float(crushing_breaking_stress(layer.panel.f_c90_k, factor)) * layer.condition.bearing
        for layer in question.anchor.floor.sound_layers
    )


def _plate_model(question: Question, size: PlateSeat) -> tuple[PlateBed, FloatArray]:
    """The plate, or the half or quarter of it that says all, under a pull of one newton on the ring."""
    thread, steel = question.anchor.mounting.bolts.thread, size.steel
    places, pulls = question.pull.resisting, question.pull.tensions
    mirrors = [_mirrored(places, pulls, axis) for axis in (0, 1)]
    nut = thread.d_nut * np.sqrt(np.pi) / 2  # side of the square of a nut's area
    sides = [_side(size.size[axis], places[:, axis], nut, mirrored=mirrors[axis]) for axis in (0, 1)]
    plate = Plate(sides[0], sides[1], isotropic_rigidities(steel.E, _NU_STEEL, size.thickness))
    hole = thread.D + question.basis.factor("bolt_hole_clearance")
    load, holes = np.zeros(plate.size), []
    for place, pull in zip(places, pulls, strict=True):
        patch = [_on_plate(at, nut, lines) for at, lines in zip(place, sides, strict=True)]
        if patch[0] is None or patch[1] is None:
            continue  # beyond a line of symmetry
        share = np.prod([(end - start) / nut for start, end in (patch[0], patch[1])])
        load += plate.load(float(pull * share), patch[0], patch[1])
        holes.append((float(place[0]), float(place[1]), hole))
    bed = PlateBed(plate, _bed(question), holes, mirror_x=mirrors[0], mirror_y=mirrors[1])
    return bed, load


def _mirrored(places: FloatArray, pulls: FloatArray, axis: int) -> bool:
    """Whether bolts and their pulls are the same on both sides of the line across `axis`."""
    flip = np.ones(2)
    flip[axis] = -1.0
    here, there = (np.column_stack([at, pulls / pulls.max()]) for at in (places, places * flip))
    apart = np.abs(here[:, None] - there[None]).max(axis=2)
    return bool((apart.min(axis=1) < _ALIKE).all())


def _side(length_: float, at: FloatArray, nut: float, *, mirrored: bool) -> FloatArray:
    """Grid lines of one side from the middle of the plate, through nuts and their edges [m]."""
    start, end = (0.0 if mirrored else -length_ / 2), length_ / 2
    stops = {round(float(place + edge * nut / 2), 9) for place in at for edge in (-1, 0, 1)}
    through = [stop - start for stop in stops if start < stop < end]
    return start + grid_lines(end - start, length_ / _CELLS_ASIDE, through)


def _on_plate(at: float, nut: float, lines: FloatArray) -> tuple[float, float] | None:
    """The part of a nut's side that lies on the plate or the modelled part of it."""
    start, end = max(at - nut / 2, float(lines[0])), min(at + nut / 2, float(lines[-1]))
    return (start, end) if end - start > _ALIKE * nut else None


def _washer_model(question: Question, seat: WasherSeat) -> tuple[WasherBed, FloatArray]:
    """The washer under the most loaded nut, for a pull of one newton on the ring."""
    thread = question.anchor.mounting.bolts.thread
    hole = thread.D + question.basis.factor("bolt_hole_clearance")
    rim, nut = seat.outside / 2, min(thread.d_nut, seat.outside) / 2
    radii = hole / 2 + grid_lines(rim - hole / 2, (rim - hole / 2) / _RINGS, [nut - hole / 2])
    D = isotropic_rigidities(seat.steel.E, _NU_STEEL, seat.thickness).D_x
    washer = RoundPlate(radii, D, _NU_STEEL)
    return WasherBed(washer, _bed(question)), washer.load(question.pull.most, (hole / 2, nut))


def bearing_map(bend: BackingBend, wanted: float, cells: int = 36) -> BearingMap:
    """How the backing lies on the wood under `wanted` [N] on the ring, or where it first bends, if that is less.

    Places are the middles of `cells` a side.
    """
    pull = min(wanted, bend.first_bend)
    contact, mounting = bend.at(pull), bend.question.anchor.mounting
    model = bend.model
    if isinstance(model, PlateBed) and isinstance(contact, PlateOnBed) and mounting.plate is not None:
        x, y = ((np.arange(cells) + 0.5) / cells * side - side / 2 for side in mounting.plate.size)
        w = contact.solution.deflection(np.abs(x) if model.mirrors[0] else x, np.abs(y) if model.mirrors[1] else y)
        nuts = bend.question.pull.resisting
    elif isinstance(model, WasherBed):
        rim = float(model.washer.line.knots[-1])
        x = y = (np.arange(cells) + 0.5) / cells * 2 * rim - rim
        r = np.hypot(x[:, None], y)
        on = (r >= model.washer.line.knots[0]) & (r <= rim)
        w = np.full(r.shape, np.nan)
        w[on] = model.washer.line.rows(r[on]) @ contact.equilibrium.unknowns
        nuts = np.zeros((1, 2))
    else:
        raise TypeError("a contact that is neither of a plate nor of a washer")
    pressure = np.clip(model.samples.stiffness[0] * w, 0.0, model.strength)
    return BearingMap(
        pull=pull,
        x=tuple(x.tolist()),
        y=tuple(y.tolist()),
        bend=tuple(map(tuple, w.tolist())),
        pressure=tuple(map(tuple, pressure.tolist())),
        strength=model.strength,
        nuts=tuple((float(a), float(b)) for a, b in nuts),
        nut_width=mounting.bolts.thread.d_nut,
    )
