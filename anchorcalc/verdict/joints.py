"""Where no sheet joint may lie that nobody told of: what to look at first, from below."""

from __future__ import annotations

from math import ceil, floor
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from anchorcalc.links.lift import deck_taken_in
from anchorcalc.links.pull import question_of
from anchorcalc.mechanics.hermite import PlateError
from anchorcalc.result.check import Requirement
from anchorcalc.rig.parts import Bare, Bearing, ThroughSteel
from anchorcalc.units import format_quantity, length, unit_system

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from anchorcalc.links.piece import Span
    from anchorcalc.rig.rig import Rig
    from anchorcalc.verdict.forces import Forces

_NEXT_TO_NOTHING: Final = 1e-4  # [m]
_STEP: Final = {"us": 0.0254, "si": 0.01}  # to which the places are told [m]


class Window(NamedTuple):
    """Deck that bears on what one ring holds: from and to along, and across from right to left [m]."""

    ring: str
    x: Span
    y: Span


def windows_of(forces: Forces) -> tuple[Window, ...]:
    """By rings: where a joint of sheets that nobody told of would make their figures others."""
    if not _unknown(forces.rig):
        return ()
    found = ((name, _taken_in(name, forces)) for name in forces.rig.strapped_in_order)
    return tuple(Window(name, *taken_in) for name, taken_in in found if taken_in is not None)


def joints_to_look_for(windows: Sequence[Window], rig: Rig) -> Iterator[str]:
    """By rings: between which places no joint of the sheets may run, for their figures to hold."""
    unknown = _unknown(rig)
    where: dict[tuple[str, str], list[str]] = {}
    for window in windows:
        where.setdefault(_told(window, rig), []).append(window.ring)
    layers = f"layer {unknown[0]}" if len(unknown) == 1 else f"layers {', '.join(unknown)}"
    for (across, along), names in where.items():
        rings = ", ".join(names)
        yield f"sheet joints by {rings}: none may cross {across} from the rear, nor run along {along}; {layers}"


def room_for_joints(windows: Sequence[Window], rig: Rig) -> Iterator[Requirement]:
    """Whether sheets as they are sold can be laid with no joint where one would count; nothing where they can."""
    long, wide = (rig.basis.factor(f"common_sheet_{side}") for side in ("length", "width"))
    deck, widest = rig.floor.length, max(rig.floor.width, rig.floor.width_front)
    x, y = [each.x for each in windows], [each.y for each in windows]
    for along, across in ((long, wide), (wide, long)):
        if can_be_parted((0.0, deck), along, x) and can_be_parted((-widest / 2, widest / 2), across, y):
            return
    unit = "m" if rig.units == "si" else "ft"
    sizes = " by ".join(format_quantity(side, unit, "length", 2) for side in (wide, long))
    yield Requirement(
        key="sheets",
        name="sheet joints",
        required="told, or none near the rings",
        provided=f"sheets of at most {sizes} have a joint there however they are laid",
        verdict="marginal",
        source="sheets as they are sold [common practice, no source]; a joint near a ring counts [judgement]",
    )


def can_be_parted(whole: Span, most: float, banned: Sequence[Span]) -> bool:
    """Whether a length can be cut into pieces of `most` or less, with no cut inside a stretch that is banned [m]."""
    at, end = whole
    while end - at > most + _NEXT_TO_NOTHING:
        cut = at + most
        while inside := [low for low, high in banned if low + _NEXT_TO_NOTHING < cut < high - _NEXT_TO_NOTHING]:
            cut = min(inside)
        if cut <= at + _NEXT_TO_NOTHING:
            return False
        at = cut
    return True


def _unknown(rig: Rig) -> list[str]:
    return [str(number) for number, layer in enumerate(rig.floor.layers, start=1) if not layer.joints_known]


def _taken_in(name: str, forces: Forces) -> tuple[Span, Span] | None:
    """Deck that bears on what a ring holds: from and to along and across [m]."""
    anchor, beside = forces.rig.anchors[name], forces.as_hard(name)
    if not isinstance(anchor.mounting.backing, Bare | Bearing | ThroughSteel):
        return None
    try:
        taken_in = deck_taken_in(question_of(anchor, np.array([0.0, 0.0, 1.0]), forces.rig.basis, beside))
    except PlateError:
        return None
    return anchor.floor.spans_told(*taken_in)


def _told(window: Window, rig: Rig) -> tuple[str, str]:
    """Rounded outwards, so that no joint just beyond them counts; across towards the ring's own side."""
    step, units, (low, high) = _STEP[rig.units], unit_system(rig.units), window.y
    y = (-high, -low) if rig.anchors[window.ring].base_at[1] < 0 else (low, high)
    (rear, front), (low, high) = (
        (floor(a / step + 1e-6) * step, ceil(b / step - 1e-6) * step) for a, b in (window.x, y)
    )
    across = f"{length(rear, units)} to {length(front, units)}"
    if low < 0:
        return across, f"within {length(max(high, -low), units)} of the middle"
    return across, f"{length(low, units)} to {length(high, units)} from the middle"
