"""Every anchor by itself, whatever strap hangs on it: its least strength, beside what standards ask of a point."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from msgspec.structs import replace

from anchorcalc.links.least import least_strength
from anchorcalc.links.path import Strengths
from anchorcalc.result.strength import HeldAgainst, Least, LeastStrength

if TYPE_CHECKING:
    from collections.abc import Iterator

    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.result.check import Result
    from anchorcalc.result.strength import AnchorStrength
    from anchorcalc.rig.parts import AnchorSetting
    from anchorcalc.rig.rig import Rig

_SAME = 1e-9  # [m]


def with_least(result: Result, rig: Rig, catalog: Catalog, only: str | None = None) -> Result:
    """`result` of `rig` with the least strength of every anchor that a strap hangs on, or of `only` one of them."""
    strengths, known = Strengths(rig.basis), dict[str, LeastStrength]()
    for each in result.anchors:
        if only not in (None, each.anchor):
            continue
        anchor = rig.anchors[each.anchor]
        twin = next((name for name in known if _mirrored(anchor, rig.anchors[name])), None)
        alone = replace(anchor, strapped=())  # no other lifts its cross-member meanwhile
        known[each.anchor] = least_strength(alone, strengths) if twin is None else _turned(known[twin])
    anchors = tuple(_held_against(each, known.get(each.anchor), rig, catalog) for each in result.anchors)
    return replace(result, anchors=anchors)


def _held_against(anchor: AnchorStrength, least: LeastStrength | None, rig: Rig, catalog: Catalog) -> AnchorStrength:
    if least is None:
        return anchor
    return replace(anchor, least=replace(least, yardsticks=tuple(_yardsticks(least.working.strength, rig, catalog))))


def _yardsticks(daily: float, rig: Rig, catalog: Catalog) -> Iterator[HeldAgainst]:
    gross = None if rig.trailer is None else rig.trailer.gross_rating
    weights = {"trailer": gross, "load": rig.load.weight, "any": None}
    for row in catalog.yardsticks.values():
        if row.applies(weights[row.of]):
            yield HeldAgainst(row.name, row.per_point, daily >= row.per_point, row.source)


def _mirrored(anchor: AnchorSetting, other: AnchorSetting) -> bool:
    """Whether one is the other seen in the trailer's middle plane, on a deck that is alike on both sides."""
    floor, positions = anchor.floor, anchor.mounting.positions
    flipped = sorted(map(tuple, np.round(positions * [1, -1], 9).tolist()))
    return (
        anchor.mounting is other.mounting
        and flipped == sorted(map(tuple, np.round(positions, 9).tolist()))
        and anchor.rings == (anchor.at,)
        and other.rings == (other.at,)
        and not anchor.mounting.turned
        and abs(anchor.at[0] - other.at[0]) < _SAME
        and abs(anchor.at[1] + other.at[1]) < _SAME
        and not floor.wells
        and not (floor.lengthwise and not np.allclose(floor.lines, -np.array(floor.lines[::-1])))
        and not any(layer.joints_along for layer in floor.layers)
    )


def _turned(least: LeastStrength) -> LeastStrength:
    def turned(at: Least) -> Least:
        x, y, z = at.direction
        return replace(at, direction=(x, -y, z))

    looked_at = tuple(((x, -y, z), breaking, working) for (x, y, z), breaking, working in least.looked_at)
    return replace(least, breaking=turned(least.breaking), working=turned(least.working), looked_at=looked_at)
