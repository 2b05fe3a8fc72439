"""What the fitting adds to the trailer's weight, what is left of its rating, and where the load sits on it.

Weights are forces of gravity [N], places in the scenario's frame [m].
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from anchorcalc.result.fitting import AxleLoad, Balance, HitchWord, LayerWeight, Payload, Weights

if TYPE_CHECKING:
    from collections.abc import Sequence

    from anchorcalc.rig.floor import FloorSetting
    from anchorcalc.rig.rig import Rig, Shelf, TrailerSetting

_ROUNDING = 1e-9  # of a share


def weights(rig: Rig, hardware: float) -> Weights:
    """Weights of `rig` with `hardware` [N] of bolts, nuts, washers, plates and bars."""
    layers = layer_weights(rig.floor, rig.basis.shelf)
    trailer = rig.trailer
    if trailer is None:
        return Weights(layers, hardware, None, None, None)
    added = hardware + sum(layer.weight for layer in layers if layer.added)
    payload = Payload(trailer.gross_rating, trailer.empty_weight, added, rig.load.weight)
    parts = [
        (rig.load.weight, rig.load.centre[0]),
        (added, rig.floor.length / 2),  # what is added lies about the middle of the deck
    ]
    common = rig.basis.shelf.fitting_factor("hitch_share_least"), rig.basis.shelf.fitting_factor("hitch_share_most")
    found = balance(trailer, parts, common)
    return Weights(layers, hardware, payload, found, _axle(trailer, payload, found))


def deck_area(floor: FloorSetting) -> float:
    """Area of the deck between its edges [m²]; wheel wells are not taken out, which errs on the heavy side."""
    return floor.length * (floor.width + floor.width_front) / 2


def layer_weights(floor: FloorSetting, shelf: Shelf) -> tuple[LayerWeight, ...]:
    """Weight of each layer, top first; those above the lowest are taken as added since the trailer was weighed."""
    area, common = deck_area(floor), shelf.fitting_factor("common_sheet_density")
    return tuple(
        LayerWeight(
            number=number,
            by_table=area * layer.thickness * layer.panel.density,
            by_common_sheet=area * layer.thickness * common,
            added=number < len(floor.layers),
        )
        for number, layer in enumerate(floor.layers, start=1)
    )


def balance(
    trailer: TrailerSetting, parts: Sequence[tuple[float, float]], common: tuple[float, float]
) -> Balance | None:
    """How axle and hitch share the loaded trailer; None when their places are not known.

    Parameters
    ----------
    trailer
        With its empty weight and, if known, the x of axle and hitch.
    parts
        Weight [N] and x [m] of what the trailer carries, the load first.
    common
        Least and greatest common share on the hitch.
    """
    if trailer.axle_at is None or trailer.hitch_at is None or trailer.hitch_at <= trailer.axle_at:
        return None
    axle, base = trailer.axle_at, trailer.hitch_at - trailer.axle_at
    total = trailer.empty_weight + sum(weight for weight, _ in parts)
    carried = sum(weight * (x - axle) / base for weight, x in parts)
    least, most = (carried + share * trailer.empty_weight for share in common)
    place = parts[0][1]
    return Balance(
        ahead_of_axle=place - axle,
        hitch_of_load=(place - axle) / base,
        hitch_load=(least, most),
        hitch_share=(least / total, most / total),
        common_share=common,
        best_between=(axle + common[0] * base, axle + common[1] * base),
        word=_word((least / total, most / total), common),
    )


def _word(share: tuple[float, float], common: tuple[float, float]) -> HitchWord:
    least, most = common[0] - _ROUNDING, common[1] + _ROUNDING
    if share[1] < least:
        return "too light"
    if share[0] > most:
        return "too heavy"
    return "within" if least <= share[0] and share[1] <= most else "may be within"


def _axle(trailer: TrailerSetting, payload: Payload, found: Balance | None) -> AxleLoad | None:
    """With places unknown the hitch is taken to carry nothing."""
    if trailer.axle_rating is None:
        return None
    hitch = found.hitch_load[0] if found is not None else 0.0
    return AxleLoad(payload.total - hitch, trailer.axle_rating, found is not None)
