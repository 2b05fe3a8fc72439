"""How a steel plate lies under the deck, for the picture: where it presses, and at what pull it first bends for good.

Both are read off the floor that stands behind every link of the deck (`links.lift`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from msgspec.structs import replace

from anchorcalc.links.lift import lifted_decks, plates_under
from anchorcalc.mechanics.bearing import crushing_breaking_stress
from anchorcalc.mechanics.floor import bed_edges
from anchorcalc.result.size import BearingMap

if TYPE_CHECKING:
    from anchorcalc.links.common import FloatArray, Question

_CELLS = 36  # of the map, a side


def first_bend(question: Question) -> float | None:
    """Pull on the ring at which the plate's steel first yields, f_y t²/6 [N]; None where there is no plate."""
    plate = question.anchor.mounting.plate
    if plate is None:
        return None
    asked = max((deck.asked.steel for deck in lifted_decks(question) if deck.asked is not None), default=0.0)
    return plate.steel.F_y * plate.thickness**2 / 6 / asked if asked > 0 else None


def bearing_map(question: Question, pull: float) -> BearingMap | None:
    """How the plate of `question` presses on the wood under `pull` [N] on the ring; None where there is no plate."""
    found = plates_under(question)
    if not found:
        return None
    under = max(found, key=lambda each: float(each.bed.pressures.max()))
    sides = (under.plate.x, under.plate.y)
    edges = [bed_edges(*side) for side in sides]
    cells = [np.searchsorted(edge, at) - 1 for edge, at in zip(edges, under.bed.places.T, strict=True)]
    forces, areas = np.zeros((2, edges[0].size - 1, edges[1].size - 1))
    np.add.at(forces, tuple(cells), pull * under.bed.forces)
    np.add.at(areas, tuple(cells), under.bed.areas)
    pressure = np.divide(forces, areas, out=np.zeros_like(forces), where=areas > 0)
    x, y = (start + (np.arange(_CELLS) + 0.5) / _CELLS * (end - start) for start, end in sides)
    along, across = (_between(edge, at) for edge, at in zip(edges, (x, y), strict=True))
    shown = along @ pressure @ across.T
    way, side = under.mirror
    shown = shown[:: int(way), :: int(side)]
    return BearingMap(
        pull=pull,
        x=tuple(np.sort(way * x).tolist()),
        y=tuple(np.sort(side * y).tolist()),
        bend=tuple(map(tuple, (shown / under.plate.bed).tolist())),
        pressure=tuple(map(tuple, shown.tolist())),
        strength=_crushed_at(question),
        nuts=tuple((float(a), float(b)) for a, b in question.pull.resisting),
        nut_width=question.anchor.mounting.bolts.thread.d_nut,
    )


def turned_left(found: BearingMap) -> BearingMap:
    """A map of a deck laid across, whose members run lengthwise, as its plate lies on the trailer."""
    return replace(
        found,
        x=tuple(-y for y in reversed(found.y)),
        y=found.x,
        bend=tuple(zip(*found.bend, strict=True))[::-1],
        pressure=tuple(zip(*found.pressure, strict=True))[::-1],
        nuts=tuple((-y, x) for x, y in found.nuts),
    )


def _between(edges: FloatArray, at: FloatArray) -> FloatArray:
    """What of each cell's value belongs to each place, straight between their middles, (places, cells)."""
    middles = edges[:-1] + np.diff(edges) / 2
    return np.stack([np.interp(at, middles, unit) for unit in np.eye(middles.size)], axis=1)


def _crushed_at(question: Question) -> float:
    """Pressure at which the best layer is crushed, since a weaker one below it passes the pull on [Pa]."""
    factor = question.basis.factor("ec5_bearing_factor")
    return max(
        float(crushing_breaking_stress(layer.panel.f_c90_k, factor)) * layer.condition.bearing
        for layer in question.anchor.floor.sound_layers
    )
