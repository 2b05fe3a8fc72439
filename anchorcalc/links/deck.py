"""Links of the deck itself: the pull lifts the panel between two cross-members.

The closed rules of mechanics.panels. Each layer that the pull engages counts by its own stiffness and
strength; a layer with a sheet joint under the lifted strip counts for nothing in bending.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from anchorcalc.links.bolted import crushing_pressures, punching_layers, seat_diameter
from anchorcalc.links.common import Question, force, length, make_link, nothing, number, per_newton
from anchorcalc.links.screwed import thread_in_layers
from anchorcalc.mechanics import panels, screws
from anchorcalc.scenario.model import Plate

if TYPE_CHECKING:
    from anchorcalc.result import Link
    from anchorcalc.settings import AnchorSetting, LayerSetting

_NO_SOUND_LAYER = "no layer of the deck may be counted: decayed or delaminated wood is to be replaced"


def deck_links(question: Question) -> list[Link]:
    """Bending, rolling shear and hold-down of the panel that the pull lifts."""
    if not question.anchor.sound_layers:
        return [nothing("deck carries nothing", _NO_SOUND_LAYER, "Wood Handbook ch. 14: decay and strength")]
    return [panel_bending(question), rolling_shear(question), hold_down(question)]


def lifted(question: Question) -> float:
    """Part of the pull that lifts the deck: the straight-up part, or less where steel takes some [-].

    Prying adds to the fasteners but not to the deck: the base presses it down by as much.
    """
    return min(question.pull.lifting, question.pull.normal)


def patch(question: Question) -> tuple[float, float]:
    """Length and width of the patch the fasteners lift the deck with [m]."""
    anchor = question.anchor
    spread = question.pull.resisting.max(axis=0) - question.pull.resisting.min(axis=0)
    if anchor.seat is None:
        diameter = 0.0 if anchor.screw is None else anchor.screw.D
    else:
        diameter = seat_diameter(anchor, crushing_pressures(question)[0])
    size = spread + diameter
    if isinstance(anchor.seat, Plate):
        size = size.clip(max=anchor.seat.size)
    return float(size[0]), float(size[1])


def _engaged(question: Question) -> list[LayerSetting]:
    """Layers that the fasteners lift: all under a washer or plate, only those bitten by screws."""
    anchor = question.anchor
    layers = list(anchor.sound_layers) if anchor.seat is not None else [layer for layer, _ in thread_in_layers(anchor)]
    return [layer for layer in layers if not _joint_under(anchor, layer, patch(question)[1])]


def _joint_under(anchor: AnchorSetting, layer: LayerSetting, patch_width: float) -> bool:
    """Whether a sheet joint cuts the strip that carries the lift."""
    x, y = anchor.at
    places = anchor.places
    half = places.face_width / 2
    ahead, behind = (0.0, places.behind) if places.overhang else (places.ahead, places.behind)
    across = any(x - behind + half < joint < x + ahead - half for joint in layer.joints_across)
    return across or any(abs(joint - y) < patch_width / 2 for joint in layer.joints_along)


def strip_width(question: Question, layer: LayerSetting) -> float:
    """Width of `layer` that carries the lift, no wider than reaches the deck's edge on each side [m]."""
    anchor, (_, width) = question.anchor, patch(question)
    places, ratio = anchor.places, layer.stiffness_across_to_along
    if places.overhang:
        full = float(panels.overhang_width(places.behind, width, ratio))
    else:
        full = float(panels.effective_width(places.behind, places.ahead, width, ratio))
    room = [anchor.side_room, anchor.side_room + 2 * abs(anchor.at[1])]
    room += [abs(joint - anchor.at[1]) for joint in layer.joints_along]
    near = min(room)
    return min(full, near + full / 2)


def _lever(question: Question) -> float:
    places = question.anchor.places
    if places.overhang:
        return places.behind
    return float(panels.patch_lever(places.behind, places.ahead, patch(question)[0]))


def panel_bending(question: Question) -> Link:
    """The panel breaks in bending between the cross-members."""
    anchor, basis = question.anchor, question.basis
    layers = _engaged(question)
    lever = _lever(question)
    cov_factor = [float(screws.low_estimate(layer.panel.MOR_mean, layer.panel.MOR_cov)) for layer in layers]
    allowable = [layer.panel.F_b * basis.rules.duration_factor for layer in layers]
    breaking_moment, allowable_moment = (
        _moment(anchor, layers, [strip_width(question, layer) for layer in layers], stresses)
        for stresses in (cov_factor, allowable)
    )
    strength = breaking_moment / lever if lever > 0 else float("inf")
    share = lifted(question)
    return make_link(
        question,
        "deck panel breaks between the cross-members",
        per_newton(strength, share),
        per_newton(allowable_moment / lever if lever > 0 else float("inf"), share),
        code="APA panel bending F_b S",
        formula="F = f_b S b_e / lever, lever = (a b / L)(1 − c / 2 L), b_e = 0.58 (4 a b / L)(D_y/D_x)^¼ + patch",
        source="Westergaard 1930 (width); Wood Handbook MOR less 1.645 COV; Plywood Design Specification F_b",
        figures=(
            length("a", anchor.places.behind, "to the cross-member behind"),
            length("b", anchor.places.ahead, "to the cross-member ahead"),
            length("lever", lever, "moment of a unit pull"),
            length("b_e", max((strip_width(question, layer) for layer in layers), default=0.0), "width that carries"),
            number("lift", share, "of the pull lifts the deck"),
            force("F", strength, "lift at breaking"),
        ),
        remark="" if layers else "a sheet joint runs through the strip that would carry the lift",
    )


def _moment(anchor: AnchorSetting, layers: list[LayerSetting], widths: list[float], stresses: list[float]) -> float:
    """Moment the engaged layers carry together at bending stresses `stresses` [Pa], [N·m]."""
    if not layers:
        return 0.0
    stresses = [f * layer.condition.bending for f, layer in zip(stresses, layers, strict=True)]
    stiffness = [layer.panel.E * layer.spanning[0] * b for layer, b in zip(layers, widths, strict=True)]
    own = [f * layer.spanning[1] * b for f, layer, b in zip(stresses, layers, widths, strict=True)]
    loose = panels.shared_resistance(own, stiffness)
    if not anchor.glued or len(layers) < 2 or min(stiffness) <= 0:
        return loose
    moduli = panels.glued_modulus(
        [layer.thickness for layer in layers], [layer.panel.E for layer in layers], [layer.spanning[0] for layer in layers]
    )
    glued = min(f * float(S) * min(widths) for f, S in zip(stresses, moduli, strict=True))
    return max(glued, loose)


def rolling_shear(question: Question) -> Link:
    """The plies roll over each other between the patch and the nearer cross-member."""
    anchor, basis = question.anchor, question.basis
    layers = _engaged(question)
    places, (_, width) = anchor.places, patch(question)
    nearer = 1.0 if places.overhang else max(places.behind, places.ahead) / (places.behind + places.ahead)
    strip = width + 2 * sum(layer.thickness for layer in layers)
    stiffness = [layer.panel.E * layer.spanning[0] for layer in layers]
    breaking, allowable = (
        strip
        * panels.shared_resistance(
            [f * layer.condition.rolling_shear * layer.spanning[2] for f, layer in zip(stresses, layers, strict=True)],
            stiffness,
        )
        for stresses in (
            [float(screws.low_estimate(x.panel.rolling_shear_mean, x.panel.rolling_shear_cov)) for x in layers],
            [x.panel.F_s * basis.rules.duration_factor for x in layers],
        )
    )
    share = nearer * lifted(question)
    return make_link(
        question,
        "plies of the deck shear (rolling shear)",
        per_newton(breaking, share),
        per_newton(allowable, share),
        code="APA rolling shear F_s (Ib/Q)",
        formula="V = F max(a, b) / L ≤ f_s (Ib/Q) (patch + 2 t)",
        source="Wood Handbook (rolling shear); Plywood Design Specification F_s; width is our judgement",
        figures=(length("width", strip, "patch and a thickness on each side"), number("share", share, "of the pull")),
    )


def hold_down(question: Question) -> Link:
    """The screws that hold the lifted panel to the nearer cross-member let go."""
    anchor, places = question.anchor, question.anchor.places
    low, allowable, how = hold_down_screw(question)
    _, width = patch(question)
    if places.overhang:
        distance, share = places.behind, (places.behind + places.spacing) / places.spacing
    else:
        distance = min(places.behind, places.ahead)
        share = max(places.behind, places.ahead) / (places.behind + places.ahead)
    count = float(panels.hold_down_count(width, distance, anchor.hold_down_spacing))
    share *= lifted(question)
    return make_link(
        question,
        "hold-down screws let the deck go",
        per_newton(count * low, share),
        per_newton(count * allowable, share),
        code="NDS head pull-through or AISI pull-out",
        formula="screws within 45° of the patch × least of head pull-through, pull-out of steel, screw steel",
        source=f"NDS 12.2.5; AISI S100 J4.4.1; {anchor.hold_down.source}; reach is our judgement",
        figures=(
            number("count", count, "screws counted on the nearer cross-member"),
            force("screw", low, f"low estimate of one screw ({how})"),
            number("share", share, "of the pull goes to the nearer cross-member"),
        ),
    )


def hold_down_screw(question: Question) -> tuple[float, float, str]:
    """Low breaking estimate, allowable [N] and mode of one hold-down screw."""
    anchor, basis = question.anchor, question.basis
    screw, steel = anchor.hold_down, anchor.member_steel
    reference = punching_layers(question, math.pi * screw.D_head, screw.D_head)
    head = float(
        screws.low_estimate(reference * basis.factor("pull_through_mean_over_allowable"), basis.factor("pull_through_cov"))
    )
    pull_out = float(screws.thin_steel_pull_out(anchor.member.thickness, screw.D, steel.F_u))
    tension = screw.F_u * math.pi / 4 * screw.D_root**2
    omega = basis.factor("aisi_screw")
    low = min((head, "head through the panel"), (pull_out, "thread out of the steel"), (tension, "screw breaks"))
    allowable = min(reference * basis.rules.duration_factor, pull_out / omega, tension / omega)
    return low[0], allowable, low[1]
