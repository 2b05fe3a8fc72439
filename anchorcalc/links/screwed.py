"""Links of wood screws and lag screws driven into the deck."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from anchorcalc.links.common import (
    UNSOUND_TOP,
    Question,
    Strength,
    both_levels,
    counted_sideways,
    dowel_bearing,
    embedment,
    force,
    length,
    nothing,
    number,
    per_newton,
    pressure,
)
from anchorcalc.links.lift import thread_bites
from anchorcalc.links.planks import left_in_rows
from anchorcalc.mechanics import dowels, screws

if TYPE_CHECKING:
    from anchorcalc.catalog.rows import Screw
    from anchorcalc.rig.floor import LayerSetting
    from anchorcalc.rig.parts import AnchorSetting

_NO_THREAD = "the screws' thread bites no sound layer"
_OLD_HOLES = "screws driven again into old holes: no published strength; drill new holes or use bolts"


def thread_in_layers(anchor: AnchorSetting) -> list[tuple[LayerSetting, float]]:
    """Sound layers the screw's thread bites, each with the length of thread in it [m].

    Where nobody gave the base's thickness the thread may stand higher or lower: as it holds less.
    """
    layers = anchor.floor.layers
    ways = [
        [(layer, bite) for layer, bite in zip(layers, bites, strict=True) if bite > 0] for bites in thread_bites(anchor)
    ]
    return min(ways, key=lambda way: _held_by_thread(anchor.mounting.screws.screw, way))


def _held_by_thread(screw: Screw, stands_in: list[tuple[LayerSetting, float]]) -> tuple[float, float]:
    """Mean and code's allowable withdrawal of a screw whose thread stands so deep in layers [N]."""
    mean = allowable = 0.0
    for layer, bite in stands_in:
        of_mean, of_code = screws.withdrawal(screw.kind, layer.panel.G, screw.D, bite)
        mean += layer.condition.withdrawal * of_mean
        allowable += layer.condition.withdrawal * of_code
    return mean, allowable


def _withdrawal_strengths(question: Question) -> tuple[float, float]:
    """Low breaking estimate and code allowable of one screw pulled straight out [N]."""
    anchor, basis = question.anchor, question.basis
    mean, allowable = _held_by_thread(anchor.mounting.screws.screw, thread_in_layers(anchor))
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
        remark="" if low else _NO_THREAD,
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


def _sideways_strengths(question: Question, *, rope: bool) -> tuple[float, float]:
    """Low breaking estimate and code allowable of one screw pushed sideways [N].

    `rope` counts what its thread holds lengthways, where no other pull uses that up.
    """
    anchor, basis = question.anchor, question.basis
    screws_, base = anchor.mounting.screws, anchor.mounting.base_thickness
    screw = screws_.screw
    stands_in = _stands_in(anchor, screws_.length - max(anchor.mounting.base_may_be) - screw.D)
    if not thread_in_layers(anchor) or not stands_in:
        return 0.0, 0.0
    penetration = sum(depth for _, depth in stands_in)
    d = float(dowels.screw_effective_diameter_ec5(screw.D_root))
    f_h = min(embedment(layer, d, basis, bolt=False) for layer, _ in stands_in)
    F_e = min(dowel_bearing(layer, screw.D) for layer, _ in stands_in)
    lengthways = _withdrawal_strengths(question)[0] if rope else 0.0
    M_y = dowels.yield_moment_ec5(screw.F_u, d)
    low = float(dowels.steel_plate_lateral_ec5(f_h, penetration, d, M_y, base, lengthways, 1.0))
    low = min(low, float(screws.screw_shear(screw.F_u, screw.D_root))) * left_in_rows(question)
    steel = basis.factor("steel_dowel_bearing")
    reference = float(screws.lateral_reference(screw.D_root, screw.F_yb, F_e, penetration, steel, base, screw.D))
    reference *= counted_sideways(screw, penetration, basis)
    return low, reference * basis.rules.duration_factor


def _unsound_top(question: Question) -> bool:
    return not question.anchor.floor.layers[0].bears_load


def _stands_in(anchor: AnchorSetting, depth: float) -> list[tuple[LayerSetting, float]]:
    """Layers down to a depth, as far as one below the other is sound, each with how much of it that is [m]."""
    found = []
    for layer in anchor.floor.sound_from_top:
        if depth > 0:
            found.append((layer, min(layer.thickness, depth)))
        depth -= layer.thickness
    return found


def sideways(question: Question) -> Strength:
    """The screws crush the wood sideways or bend over."""
    low, allowable = _sideways_strengths(question, rope=True)
    share = question.pull.sideways
    return both_levels(
        question,
        per_newton(low, share),
        per_newton(allowable, share),
        code="NDS lateral value",
        formula="least of 0.4 f_h t d and 1.15 √(2 M_y f_h d) under a thin base, f_h t d and the hinge modes under a "
        "thick one, with the rope effect; no more than the screw's own shear",
        source="EN 1995-1-1 eqs. 8.9, 8.10, 8.20, rows in planks 8.17 or 8.34 (5 % values); NDS 12.3 as allowable, "
        "less for a short penetration",
        figures=(force("Z", low, "low estimate of one screw"), number("share", share, "of the pull on each screw")),
        remark="" if low else UNSOUND_TOP if _unsound_top(question) else _NO_THREAD,
    )


def slanted(question: Question) -> Strength:
    """Pull-out and sideways push act on one screw together."""
    pull = question.pull
    share = float(np.hypot(pull.most, pull.sideways))
    angle = float(np.arctan2(pull.most, pull.sideways))
    out_low, out_allowable = _withdrawal_strengths(question)
    side_low, side_allowable = _sideways_strengths(question, rope=False)
    if out_low == 0 or side_low == 0:
        return nothing(UNSOUND_TOP if _unsound_top(question) else _NO_THREAD, "NDS 12.4.1")
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
