"""Where no sheet joint may lie that nobody told of: what to look at first, from below."""

from __future__ import annotations

from itertools import chain
from math import ceil, floor
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from anchorcalc.links.lift import reach_of
from anchorcalc.links.pull import question_of
from anchorcalc.links.wheel import reach_under_wheel
from anchorcalc.mechanics.hermite import PlateError
from anchorcalc.result.check import Requirement
from anchorcalc.rig.parts import Bare, Bearing, ThroughSteel
from anchorcalc.units import format_quantity, length, unit_system

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from anchorcalc.links.piece import Span
    from anchorcalc.rig.floor import LayerSetting
    from anchorcalc.rig.parts import AnchorSetting
    from anchorcalc.rig.rig import Rig

_NEXT_TO_NOTHING: Final = 1e-4  # [m]
_STEP: Final = {"us": 0.0254, "si": 0.01}  # to which the places are told [m]


class Window(NamedTuple):
    """Deck round one ring or wheel as it is told: from and to along, and across from right to left [m]."""

    by: str
    wheel: bool
    right: bool  # whether it stands on the right
    relied_on: tuple[Span, Span]
    taken_in: tuple[Span, Span]


def windows_of(rig: Rig) -> tuple[Window, ...]:
    """Where a joint of sheets that nobody told of leaves rings or wheels nothing, and where it may weaken them."""
    return tuple(chain(_by_rings(rig), _by_wheels(rig))) if _unknown(rig) else ()


def _by_rings(rig: Rig) -> Iterator[Window]:
    for name in rig.strapped_in_order:
        reach = _reach(rig.anchors[name], rig)
        if reach is not None:
            yield Window(name, False, rig.anchors[name].base_at[1] < 0, *reach)


def _by_wheels(rig: Rig) -> Iterator[Window]:
    for name, at in rig.load.wheels.items():
        for reach in reach_under_wheel(rig.floor, at, rig.load.tyre_print, rig.basis):
            yield Window(name, True, at[1] < 0, *(rig.floor.spans_told(*part) for part in reach))


def joints_to_look_for(windows: Sequence[Window], rig: Rig) -> Iterator[str]:
    """Between which places a joint of the sheets would leave rings or wheels nothing, and none may run at all."""
    unknown = _unknown(rig)
    numbers = [str(layer.number) for layer in unknown]
    planks = all(layer.section.planks for layer in unknown)
    what = "butt joints of planks" if planks else "sheet joints"
    where: dict[tuple[bool, str, str, str], list[str]] = {}
    for window in windows:
        (x, _), (wide_x, wide_y) = window.relied_on, window.taken_in
        told = window.wheel, _along(x, rig), _along(wide_x, rig), _across(wide_y, rig, right=window.right)
        where.setdefault(told, []).append(window.by)
    layers = f"layer {numbers[0]}" if len(unknown) == 1 else f"layers {', '.join(numbers)}"
    for (wheel, nothing, across, along), names in where.items():
        yield (
            f"{what} {'under the wheels' if wheel else 'by'} {', '.join(names)}: one across at {nothing} from the rear "
            f"leaves them nothing; for these figures none may cross {across}"
            f"{'' if planks else f', nor run along {along}'}; {layers}"
        )


def room_for_joints(windows: Sequence[Window], rig: Rig) -> Iterator[Requirement]:
    """Whether sheets as they are sold can be laid with no joint where it leaves rings nothing; no line where they can.

    Under wheels they always can: sheets may meet on any cross-member.
    """
    long, wide = (rig.basis.factor(f"common_sheet_{side}") for side in ("length", "width"))
    deck, widest = rig.floor.length, max(rig.floor.width, rig.floor.width_front)
    if all(layer.section.planks for layer in _unknown(rig)):  # they are sold as long as any deck
        return
    x, y = ([each.relied_on[side] for each in windows if not each.wheel] for side in (0, 1))
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


def _unknown(rig: Rig) -> list[LayerSetting]:
    # Of planks that run across, over members that run lengthwise, the assumption alone is told.
    return [
        layer
        for layer in rig.floor.layers
        if not layer.joints_known and not (layer.section.planks and rig.floor.lengthwise)
    ]


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


def _across(span: Span, rig: Rig, *, right: bool) -> str:
    """Towards its own side."""
    y = (-span[1], -span[0]) if right else span
    low, high = _rounded(y, rig)
    if low < 0:
        most = max(high, -low)
        everywhere = most >= max(rig.floor.width, rig.floor.width_front) / 2 - _NEXT_TO_NOTHING
        return "at all" if everywhere else f"within {length(most, unit_system(rig.units))} of the middle"
    return f"{_along(y, rig)} from the middle"
