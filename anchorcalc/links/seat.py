"""How wide a washer, nut or plate seats on the wood, and the shear round it at which it leaves through the deck."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from anchorcalc.mechanics import bearing, screws
from anchorcalc.rig.parts import PlateSeat, Screws, WasherSeat

if TYPE_CHECKING:
    from collections.abc import Sequence

    from anchorcalc.links.common import FloatArray
    from anchorcalc.mechanics.bearing import PullThrough
    from anchorcalc.rig.floor import LayerSetting
    from anchorcalc.rig.parts import AnchorSetting
    from anchorcalc.rig.rig import Basis


def hole_of(anchor: AnchorSetting, basis: Basis) -> float:
    """Hole in washer or plate: it bears nothing [m]."""
    return anchor.mounting.bolts.D + basis.factor("bolt_hole_clearance")


def seat_of(anchor: AnchorSetting) -> WasherSeat | PlateSeat:
    """What presses on the wood under the nuts.

    Raises
    ------
    TypeError
        Nothing does.
    """
    if anchor.mounting.seat is None:
        raise TypeError(f"nothing under the nuts of anchor {anchor.name!r} bears on the wood")
    return anchor.mounting.seat


def pull_through_stresses(layers: Sequence[LayerSetting], basis: Basis, *, mean: bool) -> FloatArray:
    """Shear stress round a head in each layer, (layers,) [Pa]: low breaking estimate (`mean`), or allowable.

    Source: NDS 2018 12.2.5, 690 G² psi; the mean is five times that.
    """
    reference = np.array([basis.factor("punching_stress") * x.panel.G**2 * x.condition.pull_through for x in layers])
    if not mean:
        return reference * basis.rules.duration_factor
    ultimate = reference * basis.factor("pull_through_mean_over_allowable")
    return np.asarray(screws.low_estimate(ultimate, basis.factor("pull_through_cov")))


def nut_pulled_through(anchor: AnchorSetting, basis: Basis, *, mean: bool) -> PullThrough:
    """One nut on its washer or plate, pulled through the sound layers over it up to a rotten one: they go singly."""
    seat, thread, layers = seat_of(anchor), anchor.mounting.bolts.thread, anchor.floor.sound_from_below
    outside = min(seat.size) if isinstance(seat, PlateSeat) else seat.outside
    return _pulled_through(
        outside,
        min(hole_of(anchor, basis), 0.95 * thread.d_nut),
        thread.d_nut,
        seat.thickness,
        seat.steel.F_y,
        tuple(pull_through_stresses(layers, basis, mean=mean).tolist()),
        tuple(layer.thickness for layer in layers),
    )


_pulled_through = lru_cache(maxsize=20_000)(bearing.washer_pull_through)


def seat_disc(anchor: AnchorSetting, basis: Basis) -> float:
    """Diameter by which a fastener lifts the deck [m]: a screw's own, of a washer what is pulled through."""
    fasteners = anchor.mounting.fasteners
    if isinstance(fasteners, Screws) or anchor.mounting.seat is None:
        return fasteners.D
    return nut_pulled_through(anchor, basis, mean=True).diameter
