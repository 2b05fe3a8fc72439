"""The load path of an anchor: what a pull does to its fasteners, and what each of its links holds along it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from anchorcalc.links.common import FloatArray, Pull, Question
from anchorcalc.links.modes import MODES, TURNS_OVER
from anchorcalc.mechanics.bearing import plate_reach
from anchorcalc.mechanics.statics import fastener_shares
from anchorcalc.result.strength import AnchorStrength, Link
from anchorcalc.rig.parts import Bolts

if TYPE_CHECKING:
    from collections.abc import Iterable

    from anchorcalc.rig.parts import AnchorSetting
    from anchorcalc.rig.rig import Basis


class Strengths:
    """Strength of anchors along the directions they are pulled in, each worked out once."""

    def __init__(self, basis: Basis) -> None:
        self._basis = basis
        self._known: dict[tuple[int, bytes], tuple[AnchorSetting, AnchorStrength]] = {}

    def along(self, anchor: AnchorSetting, direction: FloatArray) -> AnchorStrength:
        """What `anchor` holds along `direction` (3,)."""
        key = id(anchor), np.round(direction, 9).tobytes()
        if key not in self._known:  # kept with its anchor, so that no other gets the same id
            self._known[key] = anchor, anchor_strength(anchor, direction, self._basis)
        return self._known[key][1]


def anchor_strength(anchor: AnchorSetting, direction: FloatArray, basis: Basis) -> AnchorStrength:
    """What `anchor` holds along `direction` (3,), by every link of its mounting, weakest first.

    Of links that hold alike the one nearer to the strap comes first: it is the cause.
    """
    d = np.asarray(direction, dtype=float)
    links = sorted(_links(anchor, d, basis), key=lambda link: (link.working, link.breaking))
    return AnchorStrength(anchor.name, anchor.mounting.name, (float(d[0]), float(d[1]), float(d[2])), tuple(links))


def _links(anchor: AnchorSetting, direction: FloatArray, basis: Basis) -> Iterable[Link]:
    try:
        question = Question(anchor, pull_of(anchor, direction, basis), basis)
    except ValueError as error:  # a base that nothing keeps from turning over holds nothing
        unanswered = Question(anchor, Pull((0.0, 0.0, 1.0), np.zeros(0), np.zeros((0, 2)), 0.0, 0.0), basis)
        link = TURNS_OVER.link(unanswered)
        return [] if link is None else [replace(link, remark=str(error))]
    return [link for mode in MODES if (link := mode.link(question)) is not None]


def pull_of(anchor: AnchorSetting, direction: FloatArray, basis: Basis) -> Pull:
    """What a pull of one newton along `direction` (3,) does to the fasteners.

    Shares of the fasteners: one-sided statics of the base for tension, equal shares sideways.

    Loose bolt holes do not bear all at once, so a bolt's steel must stand more than its even share. The wood
    gives until all bear, and its strength is counted evenly, as NDS 12.1.3 allows with holes of that clearance.
    """
    edges = _pressing_points(anchor, basis)
    shares = fastener_shares(anchor.mounting.positions, edges, direction, anchor.mounting.pull_height)[0]
    count = float(len(anchor.mounting.positions))
    loose = isinstance(anchor.mounting.fasteners, Bolts)
    first = max(count * basis.factor("bolts_bearing_sideways"), 1.0) if loose else count
    most = _most_sideways(anchor.mounting.positions, direction)
    normal = (float(direction[0]), float(direction[1]), float(direction[2]))
    return Pull(normal, shares, anchor.mounting.positions, most, most * count / first)


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


def _pressing_points(anchor: AnchorSetting, basis: Basis) -> FloatArray:
    """Where the base presses on the deck when the pull pries, (4, 2) [m].

    A rigid base on rigid ground would press at its very edge; a thin one on wood presses nearer to its
    fasteners, which loads them more. Half-way between the two is taken (judgement), and never farther out than
    the base can reach by its own bending: c = t √(f_y / 3 f) of EN 1993-1-8 6.2.5.
    """
    outermost, wood = np.abs(anchor.mounting.positions).max(axis=0), anchor.floor.layers[0].panel.f_c90_k
    c = plate_reach(anchor.mounting.base_thickness, basis.factor("ring_base_yield"), wood)
    reach = np.minimum((outermost + np.array(anchor.mounting.base) / 2) / 2, outermost + c)
    return np.array([[x, y] for x in (reach[0], -reach[0]) for y in (reach[1], -reach[1])])
