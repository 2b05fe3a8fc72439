"""Links of bolts: the bolt's own steel, and how a washer or plate bears on the wood under the nut."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from anchorcalc.links.common import (
    FloatArray,
    Question,
    Strength,
    both_levels,
    force,
    length,
    number,
    per_newton,
    pressure,
)
from anchorcalc.mechanics import bearing, bolts, dowels, screws
from anchorcalc.rig.parts import PlateSeat

if TYPE_CHECKING:
    from collections.abc import Callable

    from anchorcalc.rig.parts import AnchorSetting, LayerSetting


def bolt_steel(question: Question) -> Strength:
    """The most loaded bolt breaks, in tension and shear together."""
    anchor, pull, basis = question.anchor, question.pull, question.basis
    thread, grade = anchor.mounting.bolts.thread, anchor.mounting.bolts.grade
    body = np.pi / 4 * thread.D**2
    # Tension by the stress area, which is what the fastener standards prove; AISC's 0.75 stands for it.
    F_nt = min(float(bolts.tension_nominal_aisc(grade.tensile, 1.0)), grade.tensile * thread.A_s / body)
    F_nv = bolts.shear_nominal_aisc(grade.tensile, 1.0, threads_in_plane=True)
    breaking, allowable = (
        float(bolts.tension_shear_pull_aisc(F_nt, F_nv, body, pull.most, pull.sideways_first, omega))
        for omega in (1.0, basis.factor("aisc_bolt"))
    )
    return both_levels(
        question,
        breaking,
        allowable,
        code="AISC 360 J3, Ω = 2",
        formula="F'_nt = 1.3 F_nt − (Ω F_nt / F_nv) f_rv ≤ F_nt",
        source=f"AISC 360 J3.6-J3.7; {grade.source}",
        figures=(
            pressure("F_u", grade.tensile, f"least tensile strength, {grade.name}"),
            length("D", thread.D, f"bolt {thread.name}"),
            number("tension", pull.most, "of the pull on the most loaded bolt"),
            number("shear", pull.sideways_first, "of the pull on each bolt that bears first in its loose hole"),
        ),
    )


def bolt_sideways(question: Question) -> Strength:
    """The bolts crush the deck sideways or bend over in it."""
    anchor, basis = question.anchor, question.basis
    thread, layers = anchor.mounting.bolts.thread, anchor.floor.sound_layers
    thickness = sum(layer.thickness for layer in layers)
    root = float(np.sqrt(4 / np.pi * thread.A_root))

    def over_layers(strength_of: Callable[[LayerSetting], float]) -> float:
        """Mean bearing strength over the layers, each by its thickness and condition [Pa]."""
        return sum(strength_of(layer) * layer.condition.lateral * layer.thickness / thickness for layer in layers)

    f_h = over_layers(
        lambda layer: float(dowels.embedment_strength_ec5(_characteristic_density(question, layer), thread.D))
    )
    M_y = dowels.yield_moment_ec5(anchor.mounting.bolts.grade.tensile, root)
    breaking = float(dowels.thin_plate_lateral_ec5(f_h, thickness, root, M_y))
    F_em = over_layers(
        lambda layer: min(layer.panel.dowel_bearing, float(screws.dowel_bearing_strength(layer.panel.G, thread.D)))
    )
    reference = float(
        screws.lateral_reference(
            root, basis.factor("bolt_bending_yield"), F_em, thickness,
            basis.factor("steel_dowel_bearing"), anchor.mounting.base_thickness, thread.D,
        )
    )  # fmt: skip
    share = question.pull.sideways
    return both_levels(
        question,
        per_newton(breaking, share),
        per_newton(reference * basis.rules.duration_factor, share),
        code="NDS lateral value",
        formula="min(0.4 f_h t d, 1.15 √(2 M_y f_h d)) at breaking; least NDS yield mode over R_d as allowable",
        source="EN 1995-1-1 eqs. 8.9, 8.30, 8.32 (5 % values); NDS 12.3, ring base as steel side plate",
        figures=(
            pressure("f_h", f_h, "bearing strength of the wood, mean of the layers"),
            length("t", thickness, "sound layers"),
            length("d", root, "bolt at the root of its thread"),
            force("Z", breaking, "low estimate of one bolt"),
            number("share", share, "of the pull on each bolt"),
        ),
    )


def _characteristic_density(question: Question, layer: LayerSetting) -> float:
    """5 % density [kg/m³] from the specific gravity that counts for fasteners: never above the panel's own."""
    return float(screws.low_estimate(1000 * layer.panel.G, question.basis.factor("density_cov")))


@dataclass(frozen=True)
class _Seat:
    """How a washer or plate seats under the nuts at one bearing pressure [Pa]."""

    pressure: float
    diameter: float  # of the disc that bears round each nut [m]
    areas: FloatArray  # (n,) wood under each nut [m²]


def bottom_layer(anchor: AnchorSetting) -> LayerSetting:
    """The lowest layer that may be counted: the one washers and plates bear on."""
    return anchor.floor.sound_layers[-1]


def seat_diameter(anchor: AnchorSetting, bearing_pressure: float) -> float:
    """Diameter that really bears round a nut at `bearing_pressure` [Pa] on the wood [m].

    A thin washer dishes: only a rim of c beyond the nut presses (EN 1993-1-8, 6.2.5(4)); and no more than a
    washer of min(12 t, 4 d) (EN 1995-1-1, 8.5.2(3), written for plates; kept for washers too, our judgement).
    """
    seat, thread = anchor.mounting.seat, anchor.mounting.bolts.thread
    if seat is None:
        raise TypeError(f"nothing under the nuts of anchor {anchor.name!r} bears on the wood")
    reach = float(bearing.plate_reach(seat.thickness, seat.steel.F_y, bearing_pressure))
    cap = max(float(bearing.washer_equal_diameter(seat.thickness, thread.D)), thread.d_nut)
    outside = float("inf") if isinstance(seat, PlateSeat) else seat.outside
    return float(bearing.effective_diameter(thread.d_nut, reach, min(outside, cap)))


def _seat(anchor: AnchorSetting, bearing_pressure: float, resisting: FloatArray) -> _Seat:
    seat, thread = anchor.mounting.seat, anchor.mounting.bolts.thread
    diameter = seat_diameter(anchor, bearing_pressure)
    half = np.array(seat.size) / 2 if isinstance(seat, PlateSeat) else np.full(2, np.inf)
    areas = bearing.bearing_areas(resisting, diameter / 2, half, thread.D)
    return _Seat(bearing_pressure, diameter, areas - _lost_to_cut_out(anchor, resisting, diameter))


def _lost_to_cut_out(anchor: AnchorSetting, positions: FloatArray, diameter: float) -> FloatArray:
    """Part of each disc that lies over the opening cut for a recessed ring [m²], (n,)."""
    if anchor.mounting.cut_out is None:
        return np.zeros(len(positions))
    reach = diameter / 2
    lost = []
    for x, y in np.abs(positions):
        into_x = np.clip(anchor.mounting.cut_out[0] / 2 - (x - reach), 0.0, 2 * reach)
        into_y = np.clip(anchor.mounting.cut_out[1] / 2 - (y - reach), 0.0, 2 * reach)
        lost.append(min(float(into_x * into_y), np.pi * reach**2))
    return np.array(lost)


def crushing_pressures(question: Question) -> tuple[float, float]:
    """Bearing pressure at breaking and its allowable at working level [Pa].

    Allowable: of the layer the nuts bear on. Breaking: of the best layer, since a weaker one below it is
    crushed and passes the pull on.
    """
    anchor, bottom = question.anchor, bottom_layer(question.anchor)
    factor = question.basis.factor("ec5_bearing_factor")
    breaking = max(
        float(bearing.crushing_breaking_stress(layer.panel.f_c90_k, factor)) * layer.condition.bearing
        for layer in anchor.floor.sound_layers
    )
    return breaking, bottom.panel.bearing_allowable * bottom.condition.bearing


def crushing(question: Question) -> Strength:
    """The wood under the most loaded nut is crushed."""
    anchor, pull = question.anchor, question.pull
    breaking, allowable = (
        float(np.min(np.maximum(seat.areas, 0.0) * seat.pressure / np.maximum(pull.tensions, 1e-12)))
        for seat in (_seat(anchor, level, pull.resisting) for level in crushing_pressures(question))
    )
    f, f_allowable = crushing_pressures(question)
    return both_levels(
        question,
        breaking,
        allowable,
        code="panel bearing on face (APA)",
        formula="F = f A / share, A from D_eff = min(D, d_nut + 2 t √(f_y / 3 f), 12 t, 4 d)",
        source="EN 1995-1-1 8.5.2(2),(3); EN 1993-1-8 6.2.5(4); APA bearing on face",
        figures=(
            pressure("f", f, "bearing pressure at breaking"),
            pressure("f_w", f_allowable, "allowable bearing pressure"),
            length("D_eff", seat_diameter(anchor, f), "diameter that really bears"),
            number("share", pull.most, "of the pull on the most loaded bolt"),
        ),
    )


def punching_layers(
    question: Question, perimeter: float, diameter: float, through: Sequence[LayerSetting] | None = None
) -> float:
    """Reference punching value of the layers gone `through`, all sound ones if not said, on `perimeter` [m], [N].

    The thickness counts up to 2.5 diameters, as in the head formula this is drawn from; the better layers
    count first, since all must be gone through and the others can only add.
    """
    stress = question.basis.factor("punching_stress")
    gone_through = question.anchor.floor.sound_layers if through is None else through
    layers = [(stress * x.panel.G**2 * x.condition.pull_through, x.thickness) for x in gone_through]
    left, strength = 2.5 * diameter, 0.0
    for tau, thickness in sorted(layers, reverse=True):
        counted = min(thickness, left)
        left -= counted
        strength += float(screws.punching(perimeter, counted, tau))
    return strength


def _punching_strength(question: Question, perimeter: float, diameter: float, *, mean: bool) -> float:
    """Low breaking estimate (`mean`) or allowable of punching on `perimeter` [m], [N]."""
    basis, reference = question.basis, punching_layers(question, perimeter, diameter)
    if not mean:
        return reference * basis.rules.duration_factor
    ultimate = reference * basis.factor("pull_through_mean_over_allowable")
    return float(screws.low_estimate(ultimate, basis.factor("pull_through_cov")))


def pull_through(question: Question) -> Strength:
    """The most loaded washer, or the nut on its plate, leaves through the panel."""
    pull = question.pull

    def strength(diameter: float, *, mean: bool) -> float:
        return per_newton(_punching_strength(question, np.pi * diameter, diameter, mean=mean), pull.most)

    return _punched(question, strength)


def punch_out(question: Question) -> Strength:
    """All washers, or the plate, take their piece of deck with them."""
    pull = question.pull

    def strength(diameter: float, *, mean: bool) -> float:
        hull = _hull(question.anchor, pull.resisting, diameter)
        return per_newton(_punching_strength(question, hull, diameter, mean=mean), pull.lifting)

    return _punched(question, strength)


def _punched(question: Question, strength: Callable[..., float]) -> Strength:
    low, daily = (seat_diameter(question.anchor, level) for level in crushing_pressures(question))
    return both_levels(
        question,
        strength(low, mean=True),
        strength(daily, mean=False),
        code="NDS head pull-through value",
        formula="690 G² psi on the perimeter, t ≤ 2.5 D_eff; mean 5 times that",
        source="NDS 2018 12.2.5 (a screw-head formula; extending it to washers is our judgement)",
        figures=(length("D_eff", low, "diameter that really bears"),),
    )


def _hull(anchor: AnchorSetting, positions: FloatArray, diameter: float) -> float:
    if isinstance(anchor.mounting.seat, PlateSeat):
        return float(bearing.hull_perimeter_on_plate(positions, diameter / 2, np.array(anchor.mounting.seat.size) / 2))
    return float(bearing.hull_perimeter(positions, diameter / 2))


def nut_through_plate(question: Question) -> Strength:
    """A nut pulls through the steel plate."""
    anchor, plate = question.anchor, question.anchor.mounting.plate
    if plate is None:
        raise TypeError(f"anchor {anchor.name!r} has no plate")
    strength = float(bolts.nut_punching_ec3(anchor.mounting.bolts.thread.d_nut, plate.thickness, plate.steel.F_u, 1.0))
    return both_levels(
        question,
        per_newton(strength, question.pull.most),
        None,
        code="",
        formula="0.6 π d_m t f_u",
        source="EN 1993-1-8 table 3.4",
        figures=(length("t", plate.thickness, "plate thickness"), pressure("f_u", plate.steel.F_u, "plate steel")),
    )
