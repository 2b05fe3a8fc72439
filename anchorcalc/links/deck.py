"""Links of the deck itself: the pull lifts the panel between two cross-members.

The closed rules of mechanics.panels. Each layer that the pull engages counts by its own stiffness and
strength; a layer with a sheet joint under the lifted strip counts for nothing in bending.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import wraps
from typing import TYPE_CHECKING

from anchorcalc.links.beside import at_front_end, lines_beside, share_on
from anchorcalc.links.bolted import crushing_pressures, punching_layers, seat_diameter
from anchorcalc.links.common import Question, Strength, both_levels, force, length, nothing, number, per_newton
from anchorcalc.links.screwed import thread_in_layers
from anchorcalc.mechanics import panels, screws
from anchorcalc.rig.parts import PlateSeat, Screws, in_strip

if TYPE_CHECKING:
    from anchorcalc.rig.parts import AnchorSetting, LayerSetting

_NO_SOUND_LAYER = "no layer of the deck may be counted: decayed or delaminated wood is to be replaced"


_SPAN_FORMULA = "F (a b / L)(1 − patch / 2 L) = m_R b_e, b_e = 0.41 (4 a b / L)(D_y/D_x)^¼ + patch, less at an edge"
_OVERHANG_FORMULA = "F a = m_R b, b = 1.2 a (D_y/D_x)^¼ + patch, cut at an edge: the ring stands on an overhang"


def deck_gone(_: Question) -> Strength:
    """No layer that may be counted."""
    return nothing(_NO_SOUND_LAYER, "Wood Handbook ch. 14: decay and strength")


def by_grain(strength: Callable[[Question], Strength]) -> Callable[[Question], Strength]:
    """`strength` of a deck as it is laid; where nobody knows the way of the grain, the weaker of both ways."""

    @wraps(strength)
    def weaker(question: Question) -> Strength:
        return min(map(strength, grain_ways(question)), key=lambda way: (way.working, way.breaking))

    return weaker


def grain_ways(question: Question) -> list[Question]:
    """The question with the grain as it is laid; both ways where nobody knows it."""
    floor = question.anchor.floor
    if all(layer.grain_known for layer in floor.layers):
        return [question]
    ways = []
    for strong_way in (True, False):
        layers = tuple(
            layer if layer.grain_known else replace(layer, strong_way=strong_way, grain_known=True)
            for layer in floor.layers
        )
        ways.append(replace(question, anchor=replace(question.anchor, floor=replace(floor, layers=layers))))
    return ways


def lifted(question: Question) -> float:
    """Part of the pull that lifts the deck: the straight-up part, or less where steel takes some [-].

    Prying adds to the fasteners but not to the deck: the base presses it down by as much. Anchors that lift the
    same strip are taken to pull alike, so each gets its part of what the strip holds.
    """
    return min(question.pull.lifting, question.pull.normal) * question.anchor.sharing


def patch(question: Question) -> tuple[float, float]:
    """Length and width of the patch the fasteners lift the deck with [m]."""
    anchor = question.anchor
    spread = question.pull.resisting.max(axis=0) - question.pull.resisting.min(axis=0)
    if anchor.mounting.seat is None:
        diameter = anchor.mounting.fasteners.D if isinstance(anchor.mounting.fasteners, Screws) else 0.0
    else:
        diameter = seat_diameter(anchor, crushing_pressures(question)[0])
    size = spread + diameter
    if isinstance(anchor.mounting.seat, PlateSeat):
        size = size.clip(max=anchor.mounting.seat.size)
    return float(size[0]), float(size[1])


def _engaged(question: Question, patch_size: tuple[float, float]) -> list[LayerSetting]:
    """Layers that carry the lift: all under a washer or plate, only those bitten by screws, none that is cut there."""
    anchor = question.anchor
    layers = (
        list(anchor.floor.sound_layers)
        if anchor.mounting.seat is not None
        else [layer for layer, _ in thread_in_layers(anchor)]
    )
    y, (patch_length, patch_width) = anchor.at[1], patch_size
    if any(low - y < patch_width / 2 and y - high < patch_width / 2 for low, high in _wells_beside(anchor)):
        return []
    start, end = _held_from(question, patch_length)
    return [
        layer for layer in layers
        if not any(start < joint < end for joint in layer.joints_across)
        and not any(abs(joint - y) < patch_width / 2 for joint in layer.joints_along)
    ]  # fmt: skip


def _held_from(question: Question, patch_length: float) -> tuple[float, float]:
    """Where the sheet under the anchor has to begin and end for both of its members to hold it [m].

    It has to reach so far onto a member that a screw finds its distance from the sheet's edge and from the
    steel's. On an overhang the two members are the last ones: on one alone the sheet would turn as on a hinge.
    """
    anchor, basis = question.anchor, question.basis
    seat = basis.factor("screw_from_panel_edge") + basis.factor("screw_from_steel_edge") * anchor.floor.hold_down.D
    onto = seat - anchor.floor.member.width / 2
    if not anchor.overhang:
        behind, ahead = lines_beside(anchor)
        return behind - onto, ahead + onto
    x, (last,), reach = anchor.at[0], lines_beside(anchor), patch_length / 2
    if at_front_end(anchor):
        return last - anchor.floor.spacing - onto, x + reach
    return x - reach, last + anchor.floor.spacing + onto


def _wells_beside(anchor: AnchorSetting) -> list[tuple[float, float]]:
    """Where the openings of the deck that reach into the anchor's bay begin and end across the trailer [m]."""
    lines = lines_beside(anchor)
    first, last = min(*lines, anchor.at[0]), max(*lines, anchor.at[0])
    return [well.y for well in anchor.floor.wells if well.x[0] < last and well.x[1] > first]


@dataclass(frozen=True)
class Strip:
    """The strip of deck that carries the lift: the layers that act and where it lies [m]."""

    layers: list[LayerSetting]
    span: float
    at: float  # patch's middle to the member behind
    patch_x: float
    patch_y: float
    ratio: float  # stiffness across over along the span [-]
    edge: float  # to the nearest free edge or sheet joint that runs along the span

    @property
    def stiffness(self) -> list[float]:
        """Bending stiffness of each layer along the span, per width [N·m]."""
        return [layer.panel.E * layer.spanning[0] for layer in self.layers]


def strip_of(question: Question) -> Strip:
    """The strip of deck that the question's pull lifts."""
    anchor, (length_, width) = question.anchor, patch(question)
    layers = _engaged(question, (length_, width))
    along = sum(layer.panel.E * layer.spanning[0] for layer in layers)
    across = sum(layer.panel.E * layer.spanning[0] * layer.stiffness_across_to_along for layer in layers)
    edges = [abs(joint - anchor.at[1]) for layer in layers for joint in layer.joints_along]
    edges += [abs(side - anchor.at[1]) for sides in _wells_beside(anchor) for side in sides]
    opening = 0.0 if anchor.mounting.cut_out is None else anchor.mounting.cut_out[1]
    return Strip(
        layers=layers,
        span=_span(question),
        at=_patch_middle(question),
        patch_x=length_,
        patch_y=max(width - opening, 0.0),  # what an opening for the ring takes away bends nothing
        ratio=across / along if along > 0 else 0.0,
        edge=min([anchor.side_room, *edges]),
    )


def _span(question: Question) -> float:
    """Distance of the two cross-members beside the patch [m]."""
    anchor = question.anchor
    return anchor.floor.spacing if anchor.overhang else anchor.behind + anchor.ahead


def _patch_middle(question: Question) -> float:
    """From the cross-member behind to the middle of the patch; on an overhang from the only one there is [m].

    The patch is where the fasteners that lift the deck stand, which need not be all of the anchor's.
    """
    anchor, offset = question.anchor, float(question.pull.resisting[:, 0].mean())
    if anchor.overhang:
        return max(anchor.behind + (offset if at_front_end(anchor) else -offset), 0.0)
    return min(max(anchor.behind + offset, 0.0), _span(question))


@by_grain
def panel_bending(question: Question) -> Strength:
    """The panel breaks in bending between the cross-members."""
    strip, overhang = strip_of(question), question.anchor.overhang
    edge_factor = float(panels.free_edge_factor(strip.edge, strip.span, strip.ratio))
    share = lifted(question)

    def strength(moment: float) -> float:
        if overhang:
            return float(panels.overhang_bending_pull(moment, strip.at, strip.patch_y, strip.ratio, strip.edge))
        pull = panels.patch_bending_pull(
            moment, strip.span, strip.at, strip.patch_x, strip.patch_y, strip.ratio, edge_factor
        )
        return float(pull)

    breaking, allowable = (strength(moment) for moment in moments_of(question, strip))
    return both_levels(
        question,
        per_newton(breaking, share),
        per_newton(allowable, share),
        code="APA panel bending F_b S",
        formula=_OVERHANG_FORMULA if overhang else _SPAN_FORMULA,
        source="Westergaard 1930 and art. 85 of Timoshenko & Woinowsky-Krieger (width); Wood Handbook MOR less "
        "1.645 COV; Plywood Design Specification F_b; Hetenyi 1946 (free edge)",
        figures=(
            length("L", strip.span, "between the cross-members"),
            length("a", strip.at, "patch beyond the last cross-member" if overhang else "patch to the member behind"),
            length("patch", strip.patch_x, "patch along the trailer"),
            length("patch", strip.patch_y, "patch across"),
            number("layers", len(strip.layers), "layers that carry"),
            number("D_y/D_x", strip.ratio, "stiffness across over along the span"),
            number("anchors", question.anchor.sharing, "anchors that lift the same strip"),
            number("edge", edge_factor, "how much more it bends for a free edge or joint near by"),
            number("lift", share, "of the pull lifts the deck"),
        ),
        remark="" if strip.layers else _why_no_layer(question.anchor),
    )


def _why_no_layer(anchor: AnchorSetting) -> str:
    if anchor.mounting.seat is None and not thread_in_layers(anchor):
        return "the screws' thread bites no sound layer"
    return "a sheet joint or an opening of the deck lies in the strip that would carry the lift"


def moments_of(question: Question, strip: Strip) -> tuple[float, float]:
    """Resisting moment per width at breaking, and the allowable one [N·m/m]."""
    layers = strip.layers
    if not layers:
        return 0.0, 0.0
    low, allowable = [], []
    for layer in layers:
        rupture = float(screws.low_estimate(layer.panel.MOR_mean, layer.panel.MOR_cov)) * layer.condition.bending
        strong, own = layer.section.S_par, min(layer.spanning[1], _strong_way_at_most(layer))
        low.append(float(panels.gross_bending_resistance(rupture, layer.thickness, own, strong)))
        allowable.append(layer.panel.F_b * question.basis.rules.duration_factor * layer.condition.bending * own)
    # Glued layers are stiffer and stronger together; that is counted only as far as loose ones go together,
    # since nobody can inspect the glue line: the safe side.
    return float(panels.shared_resistance(low, strip.stiffness)), float(
        panels.shared_resistance(allowable, strip.stiffness)
    )


def _strong_way_at_most(layer: LayerSetting) -> float:
    """Section modulus that keeps the weak way from coming out stronger than the strong way, per width [m²].

    Laid the weak way a panel spreads a patch wider; in thick panels the tabulated moduli are so alike that the
    wider strip would win by a hair, which no test has shown.
    """
    ratio = layer.spanning[0] / layer.section.I_par if layer.section.I_par > 0 else 0.0
    return layer.section.S_par * math.sqrt(ratio)


@by_grain
def rolling_shear(question: Question) -> Strength:
    """The plies roll over each other between the patch and the nearer cross-member."""
    strip, overhang = strip_of(question), question.anchor.overhang
    edge_factor = float(panels.free_edge_factor(strip.edge, strip.span, strip.ratio))
    duration = question.basis.rules.duration_factor
    share = lifted(question)
    strengths = [
        float(screws.low_estimate(layer.panel.rolling_shear_mean, layer.panel.rolling_shear_cov))
        for layer in strip.layers
    ]
    allowables = [layer.panel.F_s * duration for layer in strip.layers]

    def pull(stresses: list[float]) -> float:
        each = [f * x.condition.rolling_shear * x.spanning[2] for f, x in zip(stresses, strip.layers, strict=True)]
        flow = float(panels.shared_resistance(each, strip.stiffness)) if each else 0.0
        if overhang:
            return flow * strip.patch_y
        return float(
            panels.rolling_shear_pull(
                flow, 1.0, strip.span, strip.at, strip.patch_x, strip.patch_y, strip.ratio, edge_factor
            )
        )

    return both_levels(
        question,
        per_newton(pull(strengths), share),
        per_newton(pull(allowables), share),
        code="APA rolling shear F_s (Ib/Q)",
        formula="F max(a, b) / L ≤ f_s (Ib/Q) width",
        source="Wood Handbook (rolling shear); Plywood Design Specification F_s; the spread is our judgement",
        figures=(length("patch", strip.patch_y, "patch across"), number("lift", share, "of the pull lifts the deck")),
    )


@by_grain
def hold_down(question: Question) -> Strength:
    """The screws that hold the lifted panel to the cross-members let go.

    Anchors in the neighbouring bays load the same member, and so the same screws where their reaches overlap.
    """
    anchor = question.anchor
    low, allowable, how = hold_down_screw(question)
    patch_x, patch_y = patch(question)
    at, span, spacing = _patch_middle(question), _span(question), anchor.floor.hold_down_spacing
    share = lifted(question)
    near = at if anchor.overhang else min(at, span - at)
    strip = strip_of(question)
    reach = panels.hold_down_reach(near, patch_x, patch_y, strip.ratio, strip.edge)
    count = float(panels.screws_counted(reach, spacing))
    others = others_on_the_screws(anchor, float(reach))
    if anchor.overhang:
        one = count / ((at + span) / span + others[0])  # lever about the member behind the last one
    else:
        one = float(panels.hold_down_pull(1.0, spacing, span, at, patch_x, patch_y, strip.ratio, strip.edge, others))
    return both_levels(
        question,
        per_newton(one * low, share),
        per_newton(one * allowable, share),
        code="NDS head pull-through or AISI pull-out",
        formula="screws × least of head pull-through, pull-out of steel, screw steel, over the share of each member",
        source=f"NDS 12.2.5; AISI S100 J4.4.1; {anchor.floor.hold_down.source}; the reach is our judgement",
        figures=(
            force("screw", low, f"low estimate of one screw: {how}"),
            length("spacing", spacing, "of the hold-down screws"),
            number(
                "count", count, "screws counted on the nearer member, within reach of the patch and the deck's edge"
            ),
            number("all", one, "screws' worth that the two members hold together, by their shares"),
            number("anchors", anchor.sharing, "anchors that lift the same strip"),
            number("others", max(others), "lifts' worth that anchors of other bays add to these screws"),
            number("lift", share, "of the pull lifts the strip, all its anchors together"),
        ),
        remark="the ring stands on an overhang of the deck, beyond the last cross-member" if anchor.overhang else "",
    )


def _lifted_layers(anchor: AnchorSetting) -> list[LayerSetting]:
    """Layers that a screw of the deck would have to let go of: those the fasteners lift, and what lies on them."""
    if anchor.mounting.seat is not None:
        return list(anchor.floor.sound_layers)
    bitten = [id(layer) for layer, _ in thread_in_layers(anchor)]  # layers may be alike: which one it is counts
    deepest = max((number for number, layer in enumerate(anchor.floor.layers) if id(layer) in bitten), default=-1)
    return [layer for layer in anchor.floor.layers[: deepest + 1] if layer.bears_load]


def others_on_the_screws(anchor: AnchorSetting, reach: float) -> tuple[float, ...]:
    """What anchors outside the strip add on each member beside the anchor, per anchor of the strip [-]."""
    own_y, spacing = anchor.at[1], anchor.floor.spacing
    others = [
        (x, y)
        for x, y in anchor.strapped
        if abs(y - own_y) < max(reach, spacing) and not in_strip(anchor.at, (x, y), spacing)
    ]
    return tuple(
        sum(share_on(line, x, anchor.floor) for x, _ in others) / anchor.sharing for line in lines_beside(anchor)
    )


def hold_down_screw(question: Question) -> tuple[float, float, str]:
    """Low breaking estimate, allowable [N] and mode of one hold-down screw."""
    anchor, basis = question.anchor, question.basis
    screw, steel = anchor.floor.hold_down, anchor.floor.member_steel
    reference = punching_layers(question, math.pi * screw.D_head, screw.D_head, _lifted_layers(anchor))
    head = float(
        screws.low_estimate(
            reference * basis.factor("pull_through_mean_over_allowable"), basis.factor("pull_through_cov")
        )
    )
    pull_out = float(screws.thin_steel_pull_out(anchor.floor.member.thickness, screw.D, steel.F_u))
    tension = screw.F_u * math.pi / 4 * screw.D_root**2
    omega = basis.factor("aisi_screw")
    low = min((head, "head through the panel"), (pull_out, "thread out of the steel"), (tension, "screw breaks"))
    allowable = min(reference * basis.rules.duration_factor, pull_out / omega, tension / omega)
    return low[0], allowable, low[1]
