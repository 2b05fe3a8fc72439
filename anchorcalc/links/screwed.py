"""Links of wood screws and lag screws driven into the deck."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from anchorcalc.links.common import (
    Question,
    Strength,
    both_levels,
    force,
    length,
    nothing,
    number,
    per_newton,
    pressure,
)
from anchorcalc.mechanics import screws

if TYPE_CHECKING:
    from anchorcalc.rig.parts import AnchorSetting, LayerSetting

_OLD_HOLES = "screws driven again into old holes: no published strength; drill new holes or use bolts"


def thread_in_layers(anchor: AnchorSetting) -> list[tuple[LayerSetting, float]]:
    """Sound layers the screw's thread bites, each with the length of thread in it [m].

    The thread is the lower part of the screw. Where the point stays in the wood one diameter of it is
    not counted.
    """
    screw = anchor.mounting.screws.screw
    tip = anchor.mounting.screws.length - anchor.mounting.base_thickness
    thread_from = tip - screw.thread_fraction * anchor.mounting.screws.length
    thread_to = tip if tip >= anchor.floor.thickness else tip - screw.D
    bites, top = [], 0.0
    for layer in anchor.floor.layers:
        bite = min(thread_to, top + layer.thickness) - max(thread_from, top)
        if layer.bears_load and bite > 0:
            bites.append((layer, bite))
        top += layer.thickness
    return bites


def _withdrawal_strengths(question: Question) -> tuple[float, float]:
    """Low breaking estimate and code allowable of one screw pulled straight out [N]."""
    anchor, basis = question.anchor, question.basis
    screw = anchor.mounting.screws.screw
    lag = anchor.mounting.screws.lag
    mean_of = screws.lag_screw_withdrawal_mean if lag else screws.wood_screw_withdrawal_mean
    allowable_of = screws.lag_screw_withdrawal_allowable if lag else screws.wood_screw_withdrawal_allowable
    mean = allowable = 0.0
    for layer, bite in thread_in_layers(anchor):
        mean += layer.condition.withdrawal * float(mean_of(layer.panel.G, screw.D, bite))
        allowable += layer.condition.withdrawal * float(allowable_of(layer.panel.G, screw.D, bite))
    low = float(screws.low_estimate(mean, basis.factor("withdrawal_cov")))
    return low, allowable * basis.rules.duration_factor


def in_old_holes(question: Question) -> Strength:
    """Screws driven again where screws were before."""
    return nothing(_OLD_HOLES, "no published factor")


def withdrawal(question: Question) -> Strength:
    """The most loaded screw is pulled straight out of the wood."""
    low, allowable = _withdrawal_strengths(question)
    share = question.pull.most
    lag = question.anchor.mounting.screws.lag
    return both_levels(
        question,
        per_newton(low, share),
        per_newton(allowable, share),
        code="NDS withdrawal value",
        formula="p = 8100 G^1.5 D^0.75 L (lag screw)" if lag else "p = 15700 G² D L (wood screw, lb and in)",
        source="Wood Handbook ch. 8, withdrawal equations (mean, less 1.645 COV); NDS 12.2 (allowable)",
        figures=(
            length("L", sum(bite for _, bite in thread_in_layers(question.anchor)), "thread in sound wood"),
            length("D", question.anchor.mounting.screws.screw.D, "screw diameter"),
            force("p", low, "low estimate of one screw"),
            number("share", share, "of the pull on the most loaded screw"),
        ),
    )


def screw_steel(question: Question) -> Strength:
    """The most loaded screw breaks at the root of its thread."""
    screw = question.anchor.mounting.screws.screw
    strength = screw.F_u * np.pi / 4 * screw.D_root**2
    return both_levels(
        question,
        per_newton(strength, question.pull.most),
        per_newton(strength / question.basis.factor("aisi_screw"), question.pull.most),
        code="AISI S100, Ω = 3",
        formula="F_u π D_root² / 4",
        source=screw.source,
        figures=(pressure("F_u", screw.F_u, "screw steel"), length("D_root", screw.D_root, "root diameter")),
    )


def _sideways_strengths(question: Question) -> tuple[float, float]:
    """Low breaking estimate and code allowable of one screw pushed sideways [N]."""
    anchor, basis = question.anchor, question.basis
    screw = anchor.mounting.screws.screw
    bites = thread_in_layers(anchor)
    if not bites:
        return 0.0, 0.0
    penetration = min(anchor.mounting.screws.length - anchor.mounting.base_thickness, anchor.floor.thickness)
    bearing = min(
        min(layer.panel.dowel_bearing, float(screws.dowel_bearing_strength(layer.panel.G, screw.D)))
        * layer.condition.lateral
        for layer, _ in bites
    )
    reference = float(
        screws.lateral_reference(
            screw.D_root, screw.F_yb, bearing, penetration,
            basis.factor("steel_dowel_bearing"), anchor.mounting.base_thickness, screw.D,
        )
    )  # fmt: skip
    # Below the least penetration the code gives no value at all; here it fades out (judgement).
    least = basis.factor("least_penetration_lag" if anchor.mounting.screws.lag else "least_penetration_screw")
    reference *= min(1.0, penetration / (least * screw.D))
    low = screws.low_estimate(reference * basis.factor("lateral_mean_over_reference"), basis.factor("lateral_cov"))
    return float(low), reference * basis.rules.duration_factor


def sideways(question: Question) -> Strength:
    """The screws crush the wood sideways or bend over."""
    low, allowable = _sideways_strengths(question)
    share = question.pull.sideways
    return both_levels(
        question,
        per_newton(low, share),
        per_newton(allowable, share),
        code="NDS lateral value",
        formula="least of the yield modes Im, Is, II, IIIm, IIIs, IV, over R_d",
        source="NDS 12.3; APA E830 (mean ultimates lie 4 times and more above); less for a short penetration",
        figures=(force("Z", low, "low estimate of one screw"), number("share", share, "of the pull on each screw")),
    )


def slanted(question: Question) -> Strength:
    """Pull-out and sideways push act on one screw together."""
    pull = question.pull
    share = float(np.hypot(pull.most, pull.sideways))
    angle = float(np.arctan2(pull.most, pull.sideways))
    out_low, out_allowable = _withdrawal_strengths(question)
    side_low, side_allowable = _sideways_strengths(question)
    if out_low == 0 or side_low == 0:
        return nothing("no thread in sound wood", "NDS 12.4.1")
    low = float(screws.combined_slant(out_low, side_low, angle))
    return both_levels(
        question,
        per_newton(low, share),
        per_newton(float(screws.combined_slant(out_allowable, side_allowable, angle)), share),
        code="NDS combined value",
        formula="Z_α = W Z / (W cos² α + Z sin² α), never above W / sin α or Z / cos α",
        source="NDS 12.4.1",
        figures=(
            force("W", out_low, "pulled straight out"),
            force("Z", side_low, "pushed sideways"),
            number("α", float(np.degrees(angle)), "degrees from the wood surface"),
        ),
    )
