"""Links of wood screws and lag screws driven into the deck."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from anchorcalc.links.common import Question, force, length, make_link, nothing, number, per_newton, pressure
from anchorcalc.mechanics import screws

if TYPE_CHECKING:
    from anchorcalc.catalog.rows import Screw
    from anchorcalc.result import Link
    from anchorcalc.rig.settings import AnchorSetting, LayerSetting

_OLD_HOLES = "screws driven again into old holes: no published strength; drill new holes or use bolts"


def screw_links(question: Question) -> list[Link]:
    """Withdrawal, steel, sideways and slanted pull of the screw pattern."""
    if question.anchor.reused_holes:
        return [nothing("screws in old holes", _OLD_HOLES, "no published factor")]
    if not question.anchor.sound_layers:
        return []
    return [withdrawal(question), screw_steel(question), sideways(question), slanted(question)]


def _screw(anchor: AnchorSetting) -> Screw:
    assert anchor.screw is not None  # noqa: S101 - screw links are asked of screwed anchors only
    return anchor.screw


def thread_in_layers(anchor: AnchorSetting) -> list[tuple[LayerSetting, float]]:
    """Sound layers the screw's thread bites, each with the length of thread in it [m].

    The thread is the lower part of the screw. Where the point stays in the wood one diameter of it is
    not counted.
    """
    screw = _screw(anchor)
    tip = (anchor.fastener_length or 0.0) - anchor.base_thickness
    thread_from = tip - screw.thread_fraction * (anchor.fastener_length or 0.0)
    thread_to = tip if tip >= anchor.deck_thickness else tip - screw.D
    bites, top = [], 0.0
    for layer in anchor.layers:
        bite = min(thread_to, top + layer.thickness) - max(thread_from, top)
        if layer.bears_load and bite > 0:
            bites.append((layer, bite))
        top += layer.thickness
    return bites


def _withdrawal_strengths(question: Question) -> tuple[float, float]:
    """Low breaking estimate and code allowable of one screw pulled straight out [N]."""
    anchor, basis = question.anchor, question.basis
    screw = _screw(anchor)
    lag = anchor.fastener_kind == "lag screw"
    mean_of = screws.lag_screw_withdrawal_mean if lag else screws.wood_screw_withdrawal_mean
    allowable_of = screws.lag_screw_withdrawal_allowable if lag else screws.wood_screw_withdrawal_allowable
    mean = allowable = 0.0
    for layer, bite in thread_in_layers(anchor):
        mean += layer.condition.withdrawal * float(mean_of(layer.panel.G, screw.D, bite))
        allowable += layer.condition.withdrawal * float(allowable_of(layer.panel.G, screw.D, bite))
    low = float(screws.low_estimate(mean, basis.factor("withdrawal_cov")))
    return low, allowable * basis.rules.duration_factor


def withdrawal(question: Question) -> Link:
    """The most loaded screw is pulled straight out of the wood."""
    low, allowable = _withdrawal_strengths(question)
    share = question.pull.most
    lag = question.anchor.fastener_kind == "lag screw"
    return make_link(
        question,
        "screw pulls out of the wood",
        per_newton(low, share),
        per_newton(allowable, share),
        code="NDS withdrawal value",
        formula="p = 8100 G^1.5 D^0.75 L (lag screw)" if lag else "p = 15700 G² D L (wood screw, lb and in)",
        source="Wood Handbook ch. 8, withdrawal equations (mean, less 1.645 COV); NDS 12.2 (allowable)",
        figures=(
            length("L", sum(bite for _, bite in thread_in_layers(question.anchor)), "thread in sound wood"),
            length("D", _screw(question.anchor).D, "screw diameter"),
            force("p", low, "low estimate of one screw"),
            number("share", share, "of the pull on the most loaded screw"),
        ),
    )


def screw_steel(question: Question) -> Link:
    """The most loaded screw breaks at the root of its thread."""
    screw = _screw(question.anchor)
    strength = screw.F_u * np.pi / 4 * screw.D_root**2
    return make_link(
        question,
        "screw breaks",
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
    screw = _screw(anchor)
    bites = thread_in_layers(anchor)
    if not bites:
        return 0.0, 0.0
    penetration = min((anchor.fastener_length or 0.0) - anchor.base_thickness, anchor.deck_thickness)
    bearing = min(
        min(layer.panel.dowel_bearing, float(screws.dowel_bearing_strength(layer.panel.G, screw.D)))
        * layer.condition.lateral
        for layer, _ in bites
    )
    reference = float(
        screws.lateral_reference(
            screw.D_root, screw.F_yb, bearing, penetration,
            basis.factor("steel_dowel_bearing"), anchor.base_thickness, screw.D,
        )
    )  # fmt: skip
    # Below the least penetration the code gives no value at all; here it fades out (judgement).
    least = basis.factor("least_penetration_lag" if anchor.fastener_kind == "lag screw" else "least_penetration_screw")
    reference *= min(1.0, penetration / (least * screw.D))
    low = screws.low_estimate(reference * basis.factor("lateral_mean_over_reference"), basis.factor("lateral_cov"))
    return float(low), reference * basis.rules.duration_factor


def sideways(question: Question) -> Link:
    """The screws crush the wood sideways or bend over."""
    low, allowable = _sideways_strengths(question)
    share = question.pull.sideways
    return make_link(
        question,
        "screws give way sideways",
        per_newton(low, share),
        per_newton(allowable, share),
        code="NDS lateral value",
        formula="least of the yield modes Im, Is, II, IIIm, IIIs, IV, over R_d",
        source="NDS 12.3; APA E830 (mean ultimates lie 4 times and more above); less for a short penetration",
        figures=(force("Z", low, "low estimate of one screw"), number("share", share, "of the pull on each screw")),
    )


def slanted(question: Question) -> Link:
    """Pull-out and sideways push act on one screw together."""
    pull = question.pull
    share = float(np.hypot(pull.most, pull.sideways))
    angle = float(np.arctan2(pull.most, pull.sideways))
    out_low, out_allowable = _withdrawal_strengths(question)
    side_low, side_allowable = _sideways_strengths(question)
    if out_low == 0 or side_low == 0:
        return nothing("screw gives way pulled at a slant", "no thread in sound wood", "NDS 12.4.1")
    low = float(screws.combined_slant(out_low, side_low, angle))
    return make_link(
        question,
        "screw gives way pulled at a slant",
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
