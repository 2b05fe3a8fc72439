"""What a pull on the ring does to the fasteners of its base: their tensions, where the base presses, and the shear."""

from __future__ import annotations

import math
from functools import lru_cache
from itertools import chain
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from anchorcalc.links.common import FloatArray, Neighbour, Pull, Question
from anchorcalc.mechanics.base import Base, BasePlate, Fasteners, Opening
from anchorcalc.mechanics.outline import turned
from anchorcalc.mechanics.plate_body import Patch
from anchorcalc.rig.parts import Bolts, Weld

if TYPE_CHECKING:
    from collections.abc import Sequence

    from anchorcalc.rig.parts import AnchorSetting
    from anchorcalc.rig.rig import Basis

_NU_STEEL = 0.3
_LEAST_FOOT = 0.004  # of a ring at the very edge of its base [m]


def question_of(
    anchor: AnchorSetting, direction: FloatArray, basis: Basis, beside: tuple[Neighbour, ...] = ()
) -> Question:
    """What the links are asked of a pull (3,) on `anchor`, in the frame in which the cross-members run across.

    Of members that run lengthwise all that has a place or a way is turned here, and nowhere else.

    Raises
    ------
    PlateError
        The fasteners cannot keep the base from turning over.
    """
    if anchor.floor.lengthwise:
        x, y, z = (float(part) for part in direction)
        beside = tuple(Neighbour(each.anchor.laid, (each.pull[1], -each.pull[0], each.pull[2])) for each in beside)
        anchor, direction = anchor.laid, np.array([y, -x, z])
    return Question(anchor, pull_of(anchor, direction, basis, beside), basis, beside)


def pull_of(anchor: AnchorSetting, pull: FloatArray, basis: Basis, beside: Sequence[Neighbour] = ()) -> Pull:
    """What `pull` (3,) on the ring does to the fasteners, in proportion to it.

    Of the rings `beside` it those on the same base pull on the same fasteners. Tensions: the base as a plate that
    bends, on its fasteners and the wood (`mechanics.base`). Shear: even shares.

    Loose bolt holes do not bear all at once, so a bolt's steel must stand more than its even share. The wood
    gives until all bear, and its strength is counted evenly, as NDS 12.1.3 allows with holes of that clearance.

    Raises
    ------
    PlateError
        The fasteners cannot keep the base from turning over.
    """
    positions, angle = anchor.mounting.positions, anchor.mounting.turned
    x, y, z = (float(part) for part in pull)
    pulls = _on_base(anchor, (x, y, z), beside)
    if isinstance(anchor.mounting.fasteners, Weld):
        return _unfastened((x, y, z))
    own = tuple((*turned([each[:2]], -angle)[0].tolist(), each[2]) for each in pulls)
    size = math.hypot(*chain(*own)) or 1.0  # the base answers in proportion, so that each way is asked once
    unit = tuple((round(x / size, 12), round(y / size, 12), round(z / size, 12)) for x, y, z in own)
    answer = _under(_asked(anchor, basis), unit, anchor.mounting.pull_height)
    shove = sum(each[0] for each in pulls), sum(each[1] for each in pulls)
    count = float(len(positions))
    loose = isinstance(anchor.mounting.fasteners, Bolts)
    first = max(count * basis.factor("bolts_bearing_sideways"), 1.0) if loose else count
    most = _most_sideways(positions, np.array(anchor.rings) - np.array(anchor.base_at), pulls)
    return Pull(
        direction=(x, y, z),
        tensions=np.maximum(size * answer.tensions, 0.0),
        resisting=positions,
        sideways=most,
        sideways_first=most * count / first,
        pads=turned(answer.pads, angle),
        pad_forces=size * answer.pad_forces,
        base_moment=size * answer.moment,
        shove=shove,
    )


Force = tuple[float, float, float]


def _on_base(anchor: AnchorSetting, pull: Force, beside: Sequence[Neighbour]) -> tuple[Force, ...]:
    """Pull of each ring on the anchor's base, in their order."""
    found = dict.fromkeys(anchor.rings, (0.0, 0.0, 0.0)) | {anchor.at: pull}
    found |= {each.anchor.at: each.pull for each in beside if each.anchor.base == anchor.base}
    return tuple(found.values())


def _unfastened(pull: Force) -> Pull:
    """A ring with nothing but its weld."""
    none, nowhere = np.zeros(0), np.zeros((0, 2))
    return Pull(pull, none, nowhere, 0.0, 0.0, nowhere, none, 0.0, pull[:2])


class _Asked(NamedTuple):
    """What makes a base what it is."""

    size: tuple[float, float]
    thickness: float
    E: float
    foot: tuple[float, float]
    feet: tuple[tuple[float, float], ...]
    places: tuple[tuple[float, float], ...]
    stiffness: float
    head: float
    bed: float
    opening: Opening | None


class _Answer(NamedTuple):
    """What a base answers, without the base itself: many answers are kept, few bases."""

    tensions: FloatArray
    pads: FloatArray  # (n, 2)
    pad_forces: FloatArray
    moment: float


def _asked(anchor: AnchorSetting, basis: Basis) -> _Asked:
    mounting, floor = anchor.mounting, anchor.floor
    bolted = isinstance(mounting.fasteners, Bolts)
    stiffness = basis.factor("ring_bolt_stiffness" if bolted else "ring_screw_stiffness")
    head = mounting.fasteners.thread.d_nut if isinstance(mounting.fasteners, Bolts) else mounting.screws.screw.D_head
    bed = basis.factor("wood_across_over_along") * floor.layers[0].panel.E / floor.thickness
    places = tuple((float(x), float(y)) for x, y in turned(mounting.positions, -mounting.turned))
    rings = turned(np.array(anchor.rings) - np.array(anchor.base_at), -mounting.turned)
    feet = tuple((float(x), float(y)) for x, y in rings)
    E, thickness = mounting.base_steel.E, mounting.base_thickness
    opening = None if mounting.cut_out is None else Opening(mounting.cut_out, mounting.cut_out_corner)
    return _Asked(mounting.base, thickness, E, mounting.foot, feet, places, stiffness, head, bed, opening)


@lru_cache(maxsize=40)
def _base(asked: _Asked) -> Base:
    size = asked.size
    plate = BasePlate((-size[0] / 2, size[0] / 2), (-size[1] / 2, size[1] / 2), asked.thickness, asked.E, _NU_STEEL)
    feet = [_foot(plate, place, asked.foot) for place in asked.feet]
    fasteners = Fasteners(np.array(asked.places), asked.stiffness, asked.head)
    return Base(plate, fasteners, asked.bed, feet, opening=asked.opening)


def _foot(plate: BasePlate, at: tuple[float, float], size: tuple[float, float]) -> Patch:
    """Foot of a ring about its place: near an edge of the base so much smaller, for the pull enters at the ring."""
    room = [min(place - low, high - place) for place, (low, high) in zip(at, (plate.x, plate.y), strict=True)]
    x, y = (max(min(side / 2, left), _LEAST_FOOT / 2) for side, left in zip(size, room, strict=True))
    return plate.inside(Patch((at[0] - x, at[0] + x), (at[1] - y, at[1] + y)))


@lru_cache(maxsize=2048)
def _under(asked: _Asked, pulls: tuple[Force, ...], height: float) -> _Answer:
    base = _base(asked)
    response = base.under(pulls, height)
    middles = np.array([[sum(pad.x) / 2, sum(pad.y) / 2] for pad in base.pads])
    return _Answer(response.tensions, middles, response.pad_forces, response.greatest_moment)


def _most_sideways(positions: FloatArray, off: FloatArray, pulls: Sequence[Force]) -> float:
    """Greatest in-plane force on a fastener per newton of pull, of rings `off` (r, 2) the middle of their base [-].

    Even shares, and what stops the base from turning where the pattern's middle is not under the ring, by the
    distance from that middle (elastic method for eccentric groups, AISC Manual part 7).
    """
    ways, about = np.array(pulls)[:, :2], positions - positions.mean(axis=0)
    spread = float(np.square(about).sum())
    forces = np.broadcast_to(ways.sum(axis=0) / len(positions), positions.shape)
    if spread > 0:
        x, y = (off - positions.mean(axis=0)).T
        moment = float((x * ways[:, 1] - y * ways[:, 0]).sum())
        forces = forces + moment * np.stack([-about[:, 1], about[:, 0]], axis=1) / spread
    return float(np.hypot(*forces.T).max())
