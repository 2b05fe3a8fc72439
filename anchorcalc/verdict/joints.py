"""Where no sheet joint may lie that nobody told of: what to look at first, from below."""

from __future__ import annotations

from math import ceil, floor
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from anchorcalc.links.lift import reach_of
from anchorcalc.links.pull import question_of
from anchorcalc.mechanics.hermite import PlateError
from anchorcalc.result.check import Requirement
from anchorcalc.rig.parts import Bare, Bearing, ThroughSteel
from anchorcalc.units import format_quantity, length, unit_system

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from anchorcalc.links.piece import Span
    from anchorcalc.rig.parts import AnchorSetting
    from anchorcalc.rig.rig import Rig

_NEXT_TO_NOTHING: Final = 1e-4  # [m]
_STEP: Final = {"us": 0.0254, "si": 0.01}  # to which the places are told [m]


class Window(NamedTuple):
    """Deck round one ring as it is told: from and to along, and across from right to left [m]."""

    ring: str
    relied_on: tuple[Span, Span]
    taken_in: tuple[Span, Span]


def windows_of(rig: Rig) -> tuple[Window, ...]:
    """By rings: where a joint of sheets that nobody told of leaves them nothing, and where it may weaken them."""
    if not _unknown(rig):
        return ()
    found = ((name, _reach(rig.anchors[name], rig)) for name in rig.strapped_in_order)
    return tuple(Window(name, *reach) for name, reach in found if reach is not None)


def joints_to_look_for(windows: Sequence[Window], rig: Rig) -> Iterator[str]:
    """By rings: between which places a joint of the sheets would leave nothing, and none may run for their figures."""
    unknown = _unknown(rig)
    where: dict[tuple[str, str, str], list[str]] = {}
    for window in windows:
        (x, _), (wide_x, wide_y) = window.relied_on, window.taken_in
        told = _along(x, rig), _along(wide_x, rig), _across(wide_y, window.ring, rig)
        where.setdefault(told, []).append(window.ring)
    layers = f"layer {unknown[0]}" if len(unknown) == 1 else f"layers {', '.join(unknown)}"
    for (nothing, across, along), names in where.items():
        yield (
            f"sheet joints by {', '.join(names)}: one across at {nothing} from the rear leaves them nothing; for "
            f"these figures none may cross {across}, nor run along {along}; {layers}"
        )


def room_for_joints(windows: Sequence[Window], rig: Rig) -> Iterator[Requirement]:
    """Whether sheets as they are sold can be laid with no joint where one would count; nothing where they can."""
    long, wide = (rig.basis.factor(f"common_sheet_{side}") for side in ("length", "width"))
    deck, widest = rig.floor.length, max(rig.floor.width, rig.floor.width_front)
    x, y = zip(*(each.relied_on for each in windows), strict=True) if windows else ((), ())
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


def _reach(anchor: AnchorSetting, rig: Rig) -> tuple[tuple[Span, Span], ...] | None:
    """Deck round a ring, as on the trailer; None where it lifts none."""
    if not isinstance(anchor.mounting.backing, Bare | Bearing | ThroughSteel):
        return None
    try:
        reach = reach_of(question_of(anchor, np.array([0.0, 0.0, 1.0]), rig.basis))
    except PlateError:
        return None
    return tuple(anchor.floor.spans_told(*part) for part in reach)


def _rounded(span: Span, rig: Rig) -> Span:
    """Rounded outwards, so that no joint just beyond it counts."""
    step = _STEP[rig.units]
    return floor(span[0] / step + 1e-6) * step, ceil(span[1] / step - 1e-6) * step


def _along(span: Span, rig: Rig) -> str:
    rear, front = (length(place, unit_system(rig.units)) for place in _rounded(span, rig))
    return f"{rear} to {front}"


def _across(span: Span, ring: str, rig: Rig) -> str:
    """Towards the ring's own side."""
    y = (-span[1], -span[0]) if rig.anchors[ring].base_at[1] < 0 else span
    low, high = _rounded(y, rig)
    if low < 0:
        return f"within {length(max(high, -low), unit_system(rig.units))} of the middle"
    return f"{_along(y, rig)} from the middle"
