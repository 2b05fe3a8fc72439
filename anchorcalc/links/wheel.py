"""The deck under a wheel: the same panels pushed down between the cross-members."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from anchorcalc.links.deck import moments_of, shears_of
from anchorcalc.links.piece import Piece, Reach, Rows, Span, floor_answers, mirror_at, parted
from anchorcalc.mechanics.floor import Patch
from anchorcalc.mechanics.hermite import PlateError

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from anchorcalc.rig.floor import FloorSetting, Place2
    from anchorcalc.rig.rig import Basis

_BAYS_NEAR = 1.5
_NO_WIDTH = 0.001  # [m] of a print that does not count


class UnderWheel(NamedTuple):
    """Wheel load that the deck bears daily, and that breaks it by the low estimate, bent or sheared [N]."""

    working: float
    breaking: float
    why_not: str = ""  # why it bears nothing


def deck_under_wheel(
    floor: FloorSetting, at: Place2, print_: Place2, basis: Basis, others: Iterable[Place2] = ()
) -> UnderWheel:
    """What the deck bears under a wheel at `at` [m]: all sound layers, the tyre's print, members that push.

    The allowable moment and shear are the panel's own, F_b S and F_s (Ib/Q) with their duration factor; no design
    factor besides. Between the middle of a bay and a member the plies shear before they bend too far. Of the `others`
    those within a bay and a half of it each way press as hard as it, where that is for the worse (judgement).
    """
    sides = _sides(floor, print_)
    within = _BAYS_NEAR * floor.spacing
    near = [place for place in others if all(abs(a - b) < within for a, b in zip(place, at, strict=True))]
    beside = [floor.place_laid(place) for place in near]
    return min(_bears(way, floor.place_laid(at), basis, sides, beside) for way in floor.laid.ways_laid())


def reach_under_wheel(floor: FloorSetting, at: Place2, print_: Place2, basis: Basis) -> Iterator[Reach]:
    """Deck that a wheel at `at` [m] hangs on, and all that has a part in what it bears, in the frame of `floor.laid`.

    Over a cross-member there are two such pieces, for sheets may meet on it.
    """
    length, width = _sides(floor, print_)
    laid, at = floor.laid, floor.place_laid(at)
    way, _ = mirror_at(laid, at)
    for along in parted((-length / 2, length / 2), {round(way * (x - at[0]), 9) for x in laid.lines}, _NO_WIDTH):
        yield _piece(laid, at, basis, (along, (-width / 2, width / 2))).reach


def _piece(floor: FloorSetting, at: Place2, basis: Basis, covered: tuple[Span, Span]) -> Piece:
    """The deck that bears what of a print `covered` is."""
    rows = Rows(floor.hold_down_spacing, floor.hold_down_first_at)
    return Piece(floor, basis, at, mirror_at(floor, at), floor.sound_layers, covered, rows)


def _sides(floor: FloorSetting, print_: Place2) -> tuple[float, float]:
    """Length and width of a tyre's print, in the frame of `floor.laid`."""
    length, width = print_
    return (width, length) if floor.lengthwise else (length, width)


def _bears(
    floor: FloorSetting, at: Place2, basis: Basis, footprint: tuple[float, float], beside: Sequence[Place2]
) -> UnderWheel:
    """Of a print over a joint each sheet bears its own part, at its free edge."""
    length, width = footprint
    way, side = mirror_at(floor, at)
    across = {round(way * (x - at[0]), 9) for layer in floor.sound_layers for x in layer.joints_across}
    along = {round(side * (y - at[1]), 9) for layer in floor.sound_layers for y in layer.joints_along}
    others = [_print((way * (x - at[0]), side * (y - at[1])), footprint) for x, y in beside]
    parts = [
        _part_bears(floor, at, basis, (x, y), (x[1] - x[0]) * (y[1] - y[0]) / (length * width), others)
        for x in parted((-length / 2, length / 2), across, _NO_WIDTH)
        for y in parted((-width / 2, width / 2), along, _NO_WIDTH)
    ]
    why_not = next((part.why_not for part in parts if part.why_not), "")
    return UnderWheel(min(part.working for part in parts), min(part.breaking for part in parts), why_not)


def _print(middle: Place2, footprint: tuple[float, float]) -> Patch:
    x, y = ((round(at - side / 2, 9), round(at + side / 2, 9)) for at, side in zip(middle, footprint, strict=True))
    return Patch(x, y, examined=False)


def _part_bears(
    floor: FloorSetting,
    at: Place2,
    basis: Basis,
    covered: tuple[Span, Span],
    share: float,
    others: Sequence[Patch] = (),
) -> UnderWheel:
    """What one sheet bears of a wheel, alone and together with what comes on it of the prints of `others`."""
    piece = _piece(floor, at, basis, covered)
    if piece.why_not:
        return UnderWheel(0.0, 0.0, piece.why_not)
    load = piece.inside(Patch(*covered))
    cut = [(other, piece.inside(other)) for other in others]
    borne = [(_area(part) / _area(other), part) for other, part in cut if _lies(part)]
    loads = load, *(part for _, part in borne)
    alone, together = (-share, *(0.0 for _ in borne)), (-share, *(-part for part, _ in borne))
    try:
        answers = [
            (layout, each)
            for layout in piece.layouts(loads)
            for forces in dict.fromkeys((alone, together))
            for each in floor_answers(layout, forces)
        ]
    except PlateError as fault:
        return UnderWheel(0.0, 0.0, str(fault))
    moments = [each.greatest_moments for _, each in answers]
    shears = [each.greatest_shears([(load.x, load.y)], way.boards, way.members) for way, each in answers]
    plies = not any(layer.section.planks for layer in piece.layers)  # of planks nothing across is to break
    low, daily = [], []
    for limits_of, asked in ((moments_of, moments), (shears_of, shears)):
        along, across = (max(way) for way in zip(*asked, strict=True))
        (low_x, daily_x), (low_y, daily_y) = (limits_of(basis, piece.layers, across=way) for way in (False, True))
        low.append(_least(low_x, along, low_y, across if plies else 0.0))
        daily.append(_least(daily_x, along, daily_y, across if plies else 0.0))
    return UnderWheel(min(daily), min(low))


def _least(m_x: float, along: float, m_y: float, across: float) -> float:
    return min(m_x / max(along, 1e-12), m_y / max(across, 1e-12) if across > 0 else float("inf"))


def _lies(patch: Patch) -> bool:
    return all(high - low > _NO_WIDTH for low, high in (patch.x, patch.y))


def _area(patch: Patch) -> float:
    return (patch.x[1] - patch.x[0]) * (patch.y[1] - patch.y[0])
