"""The load path of an anchor: what each of its links holds along a pull."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from msgspec.structs import replace

from anchorcalc.links.common import FloatArray, Neighbour, Pull, Question
from anchorcalc.links.modes import MODES, TURNS_OVER
from anchorcalc.links.pull import question_of
from anchorcalc.links.wheel import UnderWheel, deck_under_wheel
from anchorcalc.mechanics.hermite import PlateError
from anchorcalc.result.strength import AnchorStrength, Link

if TYPE_CHECKING:
    from collections.abc import Iterable

    from anchorcalc.rig.floor import FloorSetting, Place2
    from anchorcalc.rig.parts import AnchorSetting
    from anchorcalc.rig.rig import Basis


class Strengths:
    """Strength of anchors along the directions they are pulled in, each worked out once."""

    def __init__(self, basis: Basis) -> None:
        self._basis = basis
        self._known: dict[tuple[object, ...], tuple[object, AnchorStrength]] = {}
        self._wheels: dict[tuple[object, ...], tuple[object, UnderWheel]] = {}

    def along(self, anchor: AnchorSetting, direction: FloatArray, beside: tuple[Neighbour, ...] = ()) -> AnchorStrength:
        """What `anchor` holds along `direction` (3,) while the rings `beside` it are pulled in proportion."""
        others = tuple((id(each.anchor), *np.round(each.pull, 9).tolist()) for each in beside)
        key = id(anchor), np.round(direction, 9).tobytes(), others
        if key not in self._known:  # kept with its anchors, so that no other gets the same id
            self._known[key] = (anchor, beside), anchor_strength(anchor, direction, self._basis, beside)
        return self._known[key][1]

    def under_wheel(self, floor: FloorSetting, at: Place2, print_: Place2, others: tuple[Place2, ...]) -> UnderWheel:
        """What the deck bears under a wheel, with `others` near it."""
        key = id(floor), at, print_, others
        if key not in self._wheels:
            self._wheels[key] = floor, deck_under_wheel(floor, at, print_, self._basis, others)
        return self._wheels[key][1]


def anchor_strength(
    anchor: AnchorSetting, direction: FloatArray, basis: Basis, beside: tuple[Neighbour, ...] = ()
) -> AnchorStrength:
    """What `anchor` holds along `direction` (3,), by every link of its mounting, weakest first.

    `beside` are rings that are pulled at the same time and in proportion: they lift the same floor. Of links that
    hold alike the one nearer to the strap comes first: it is the cause.
    """
    d = np.asarray(direction, dtype=float)
    links = sorted(_links(anchor, d, basis, beside), key=lambda link: (link.working, link.breaking))
    return AnchorStrength(anchor.name, anchor.mounting.name, (float(d[0]), float(d[1]), float(d[2])), tuple(links))


def _links(anchor: AnchorSetting, direction: FloatArray, basis: Basis, beside: tuple[Neighbour, ...]) -> Iterable[Link]:
    try:
        question = question_of(anchor, direction, basis, beside)
    except PlateError as error:  # a base that nothing keeps from turning over holds nothing
        none = np.zeros(0)
        unanswered = Pull((0.0, 0.0, 1.0), none, np.zeros((0, 2)), 0.0, 0.0, np.zeros((0, 2)), none, 0.0, (0.0, 0.0))
        link = TURNS_OVER.link(Question(anchor, unanswered, basis))
        return [] if link is None else [replace(link, remark=str(error))]
    return [link for mode in MODES if (link := mode.link(question)) is not None]
