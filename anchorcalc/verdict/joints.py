"""Where no sheet joint may lie that nobody told of: what to look at first, from below."""

from __future__ import annotations

from math import ceil, floor
from typing import TYPE_CHECKING, Final

import numpy as np

from anchorcalc.links.lift import deck_taken_in
from anchorcalc.links.pull import question_of
from anchorcalc.mechanics.hermite import PlateError
from anchorcalc.rig.parts import Bare, Bearing, ThroughSteel
from anchorcalc.units import length, unit_system

if TYPE_CHECKING:
    from collections.abc import Iterator

    from anchorcalc.links.piece import Span
    from anchorcalc.rig.rig import Rig
    from anchorcalc.verdict.forces import Forces

_STEP: Final = {"us": 0.0254, "si": 0.01}  # to which the places are told [m]


def joints_to_look_for(forces: Forces) -> Iterator[str]:
    """By rings: between which places no joint of the sheets may run, for their figures to hold."""
    rig = forces.rig
    unknown = [str(number) for number, layer in enumerate(rig.floor.layers, start=1) if not layer.joints_known]
    if not unknown:
        return
    where: dict[tuple[str, str], list[str]] = {}
    for name in rig.strapped_in_order:
        free = _taken_in(name, forces)
        if free is not None:
            where.setdefault(_told(*free, rig), []).append(name)
    layers = f"layer {unknown[0]}" if len(unknown) == 1 else f"layers {', '.join(unknown)}"
    for (across, along), names in where.items():
        rings = ", ".join(names)
        yield f"sheet joints by {rings}: none may cross {across} from the rear, nor run along {along}; {layers}"


def _taken_in(name: str, forces: Forces) -> tuple[Span, Span] | None:
    """Deck that bears on what a ring holds: from and to along, and towards its own side from the middle [m]."""
    anchor, beside = forces.rig.anchors[name], forces.as_hard(name)
    if not isinstance(anchor.mounting.backing, Bare | Bearing | ThroughSteel):
        return None
    try:
        taken_in = deck_taken_in(question_of(anchor, np.array([0.0, 0.0, 1.0]), forces.rig.basis, beside))
    except PlateError:
        return None
    x, y = anchor.floor.spans_told(*taken_in)
    side = -1.0 if anchor.base_at[1] < 0 else 1.0
    low, high = sorted(side * each for each in y)
    return x, (low, high)


def _told(x: Span, y: Span, rig: Rig) -> tuple[str, str]:
    """Rounded outwards, so that no joint just beyond them counts."""
    step, units = _STEP[rig.units], unit_system(rig.units)
    (rear, front), (low, high) = ((floor(a / step + 1e-6) * step, ceil(b / step - 1e-6) * step) for a, b in (x, y))
    across = f"{length(rear, units)} to {length(front, units)}"
    if low < 0:
        return across, f"within {length(max(high, -low), units)} of the middle"
    return across, f"{length(low, units)} to {length(high, units)} from the middle"
