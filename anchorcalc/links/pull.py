"""What a pull on the ring does to the fasteners of its base: their tensions, where the base presses, and the shear."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from anchorcalc.links.common import FloatArray, Pull
from anchorcalc.mechanics.base import Base, BasePlate, Fasteners
from anchorcalc.mechanics.plate_body import Patch
from anchorcalc.rig.parts import Bolts

if TYPE_CHECKING:
    from anchorcalc.rig.parts import AnchorSetting
    from anchorcalc.rig.rig import Basis

_NU_STEEL = 0.3


def pull_of(anchor: AnchorSetting, pull: FloatArray, basis: Basis) -> Pull:
    """What `pull` (3,) on the ring does to the fasteners, in proportion to it.

    Tensions: the base as a plate that bends, on its fasteners and the wood (`mechanics.base`). Shear: even shares.

    Loose bolt holes do not bear all at once, so a bolt's steel must stand more than its even share. The wood
    gives until all bear, and its strength is counted evenly, as NDS 12.1.3 allows with holes of that clearance.

    Raises
    ------
    PlateError
        The fasteners cannot keep the base from turning over.
    """
    positions = anchor.mounting.positions
    x, y, z = (float(part) for part in pull)
    answer = _under(_asked(anchor, basis), (x, y, z), anchor.mounting.pull_height)
    count = float(len(positions))
    loose = isinstance(anchor.mounting.fasteners, Bolts)
    first = max(count * basis.factor("bolts_bearing_sideways"), 1.0) if loose else count
    most = _most_sideways(positions, pull)
    return Pull(
        direction=(x, y, z),
        tensions=np.maximum(answer.tensions, 0.0),
        resisting=positions,
        sideways=most,
        sideways_first=most * count / first,
        pads=answer.pads,
        pad_forces=answer.pad_forces,
        base_moment=answer.moment,
    )


class _Asked(NamedTuple):
    """What makes a base what it is."""

    size: tuple[float, float]
    thickness: float
    E: float
    foot: tuple[float, float]
    places: tuple[tuple[float, float], ...]
    stiffness: float
    head: float
    bed: float


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
    places = tuple((float(x), float(y)) for x, y in mounting.positions)
    E, thickness = mounting.base_steel.E, mounting.base_thickness
    return _Asked(mounting.base, thickness, E, mounting.foot, places, stiffness, head, bed)


@lru_cache(maxsize=40)
def _base(asked: _Asked) -> Base:
    size, foot = asked.size, asked.foot
    plate = BasePlate((-size[0] / 2, size[0] / 2), (-size[1] / 2, size[1] / 2), asked.thickness, asked.E, _NU_STEEL)
    under = Patch((-foot[0] / 2, foot[0] / 2), (-foot[1] / 2, foot[1] / 2))
    return Base(plate, Fasteners(np.array(asked.places), asked.stiffness, asked.head), asked.bed, [under])


@lru_cache(maxsize=2048)
def _under(asked: _Asked, pull: tuple[float, float, float], height: float) -> _Answer:
    base = _base(asked)
    response = base.under([pull], height)
    middles = np.array([[sum(pad.x) / 2, sum(pad.y) / 2] for pad in base.pads])
    return _Answer(response.tensions, middles, response.pad_forces, response.greatest_moment)


def _most_sideways(positions: FloatArray, direction: FloatArray) -> float:
    """Greatest in-plane force on a fastener per newton of pull on the ring in the middle of the base [-].

    Even shares, and what stops the base from turning where the pattern's middle is not under the ring, by the
    distance from that middle (elastic method for eccentric groups, AISC Manual part 7).
    """
    way, about = np.asarray(direction[:2], dtype=float), positions - positions.mean(axis=0)
    spread = float(np.square(about).sum())
    forces = np.broadcast_to(way / len(positions), positions.shape)
    if spread > 0:
        x, y = -positions.mean(axis=0)
        moment = x * way[1] - y * way[0]
        forces = forces + moment * np.stack([-about[:, 1], about[:, 0]], axis=1) / spread
    return float(np.hypot(*forces.T).max())
