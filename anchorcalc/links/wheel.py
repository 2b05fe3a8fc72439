"""The deck under a wheel: the same panels pushed down between the cross-members."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from anchorcalc.links.deck import moments_of, shears_of
from anchorcalc.links.piece import Piece, Rows, Span, floor_answers, mirror_at, parted
from anchorcalc.mechanics.floor import Patch
from anchorcalc.mechanics.hermite import PlateError

if TYPE_CHECKING:
    from anchorcalc.rig.floor import FloorSetting
    from anchorcalc.rig.rig import Basis

_NO_WIDTH = 0.001  # [m] of a print that does not count


class UnderWheel(NamedTuple):
    """Wheel load that the deck bears daily, and that breaks it by the low estimate, bent or sheared [N]."""

    working: float
    breaking: float


def deck_under_wheel(floor: FloorSetting, at: tuple[float, float], basis: Basis) -> UnderWheel:
    """What the deck bears under a wheel at `at` [m]: all sound layers, the tyre's footprint, members that push.

    The allowable moment and shear are the panel's own, F_b S and F_s (Ib/Q) with their duration factor; no design
    factor besides. Between the middle of a bay and a member the plies shear before they bend too far.
    """
    print_ = basis.factor("tyre_print_length"), basis.factor("tyre_print_width")
    sides = print_[::-1] if floor.lengthwise else print_
    return min(_bears(way, floor.place_laid(at), basis, sides) for way in floor.laid.ways_laid())


def _bears(floor: FloorSetting, at: tuple[float, float], basis: Basis, footprint: tuple[float, float]) -> UnderWheel:
    """Of a print over a joint each sheet bears its own part, at its free edge."""
    length, width = footprint
    way, side = mirror_at(floor, at)
    across = {round(way * (x - at[0]), 9) for layer in floor.sound_layers for x in layer.joints_across}
    along = {round(side * (y - at[1]), 9) for layer in floor.sound_layers for y in layer.joints_along}
    parts = [
        _part_bears(floor, at, basis, (x, y), (x[1] - x[0]) * (y[1] - y[0]) / (length * width))
        for x in parted((-length / 2, length / 2), across, _NO_WIDTH)
        for y in parted((-width / 2, width / 2), along, _NO_WIDTH)
    ]
    return UnderWheel(min(part.working for part in parts), min(part.breaking for part in parts))


def _part_bears(
    floor: FloorSetting, at: tuple[float, float], basis: Basis, covered: tuple[Span, Span], share: float
) -> UnderWheel:
    rows = Rows(floor.hold_down_spacing, floor.hold_down_first_at)
    piece = Piece(floor, basis, at, mirror_at(floor, at), floor.sound_layers, covered, rows)
    if piece.why_not:
        return UnderWheel(0.0, 0.0)
    load = piece.inside(Patch(*covered))
    try:
        answers = [(layout, each) for layout in piece.layouts((load,)) for each in floor_answers(layout, (-share,))]
    except PlateError:
        return UnderWheel(0.0, 0.0)
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
