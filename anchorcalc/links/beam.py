"""Links of the cross-members as beams, lifted by the deck's screws, by bars or by bolts, and of what holds them down.

Of steel they bend for good; of wood they break, shear along the grain or split where the deck's screws lift them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from anchorcalc.links.beside import lines_beside, nearest_line, share_on
from anchorcalc.links.common import (
    FloatArray,
    Question,
    Strength,
    both_levels,
    fillet_weld,
    force,
    length,
    number,
    per_newton,
    pressure,
    torn_beside_weld,
)
from anchorcalc.links.seat import hole_of
from anchorcalc.mechanics import members
from anchorcalc.mechanics.panels import support_reactions
from anchorcalc.rig.parts import Frame

if TYPE_CHECKING:
    from anchorcalc.rig.floor import FloorSetting
    from anchorcalc.rig.parts import AnchorSetting


def deck_member_bending(question: Question) -> Strength:
    """The cross-members beside the anchor, lifted through the deck's hold-down screws or by bridge bars."""
    return _member_bending(question, lines_beside(question.anchor))


def own_member_bending(question: Question) -> Strength:
    """The cross-member that the bolts go through."""
    return _member_bending(question, (_own_line(question.anchor, question.pull.resisting),), own=True)


def _own_line(anchor: AnchorSetting, through: FloatArray) -> float:
    """Centreline of the member that fasteners (n, 2) go through, or that a ring is welded to [m]."""
    off = float(through[:, 0].mean()) if len(through) else 0.0
    return nearest_line(anchor.base_at[0] + off, anchor.floor)


class _Load(NamedTuple):
    """What one anchor does to a cross-member, per newton of its pull."""

    lift: float
    y: float  # where across [m]
    couple: float  # that lifts the member on the right of the anchor and presses it down on the left [m]


_NO_LIFT = 1e-9  # of a pull
_APART = 0.01  # forces that stand for a couple, on a member over several beams [m]
_E_5, _E_5_OVER_MIN = 1.03 * (1 - 1.645 * 0.25), 1.66  # modulus that 5 % fall below, over the mean; over E_min, NDS D.4
_BEYOND_THE_RAIL = "F = M / overhang beyond the rail, all anchors on it"
_BETWEEN_THE_RAILS = "F = M over the greatest moment per newton of the anchors on a simple beam between the rails"
_OVER_BEAMS = f"{_BETWEEN_THE_RAILS}, or on one that runs on over all beams"


class _Resists(NamedTuple):
    """Moment that a cross-member resists, low estimate and by the code [N·m], and what is said of it."""

    low: float
    allowable: float
    code: str
    what: str
    source: str


def _hole(question: Question) -> float:
    """Hole of a bolt through a cross-member; nothing where none goes through [m]."""
    through = question.anchor.mounting.in_member.any()
    return hole_of(question.anchor, question.basis) if through else 0.0


def _resists(question: Question) -> _Resists:
    """Steel when it first yields; wood when it breaks, less the hole of a bolt through it."""
    floor, basis = question.anchor.floor, question.basis
    timber = floor.timber
    longest = max(b - a for way in floor.supports for a, b in pairwise(way))
    if timber is None:
        steel = floor.steel_at_welds if _bends_at_a_weld(question) else floor.member_steel
        hole = _hole(question)
        M = floor.section.resists(steel.F_y, steel.E, longest)
        M *= float(members.holed_flange_aisc(steel.F_y, steel.F_u, floor.section.width, hole))
        if floor.folded:
            what, rules = f"F S_e of what is effective, {steel.name}", "AISI S100 F2, F3, H2; EN 1993-1-3 5.5.3"
            return _Resists(
                M,
                M / basis.factor("aisc_flexure"),
                "AISI S100 F and H2, Ω = 1.67 and 1.6",
                what,
                f"{rules}; {floor.section.source}",
            )
        what = f"F_y S, when the member first yields{', or parts at its hole' if hole else ''}, {steel.name}"
        return _Resists(M, M / basis.factor("aisc_flexure"), "AISC 360 F, Ω = 1.67", what, floor.section.source)
    S = timber.modulus(_hole(question)) * timber.condition.bending
    slender = longest, timber.width, timber.depth
    low, F_b, E_5 = timber.wood.bending_5, timber.wood.F_b * basis.rules.duration_factor, _E_5 * timber.wood.E
    low *= float(members.beam_stability_nds(low, E_5, *slender))
    F_b *= float(members.beam_stability_nds(F_b, E_5 / _E_5_OVER_MIN, *slender))
    what = f"f_m S C_L, its lower edge held at the rails alone, {timber.wood.label}"
    return _Resists(low * S, F_b * S, "NDS F_b S C_L", what, f"NDS 3.3.3; {timber.wood.source}")


def _bends_at_a_weld(question: Question) -> bool:
    """Whether a member bends most where something is welded to it: a ring, a rail it reaches beyond, or a beam."""
    supports, y = question.anchor.floor.supports, question.anchor.at[1]
    beyond = any(not way[0] <= y <= way[-1] for way in supports)
    return isinstance(question.anchor.mounting.backing, Frame) or beyond or len(supports[0]) > 2


class _Bent(Struct, frozen=True):
    """A cross-member when it lets go, all anchors that load it pulling alike."""

    pull: float  # on each anchor [N]
    share: float  # of its pull that lifts the member at the asked anchor [-]
    span: float
    beyond: float  # how far the asked anchor stands outside the rails or beams [m]
    anchors: int

    @property
    def lift(self) -> float:
        """At the asked anchor [N]."""
        return self.pull * self.share if self.share > 0 else self.pull


def _member_bending(question: Question, lines: Sequence[float], *, own: bool = False) -> Strength:
    """A cross-member bends upward between the main rails that hold it, or beyond them.

    `lines` are the members in question; of its `own` member an anchor lifts it by all it has.
    """
    anchor, resists = question.anchor, _resists(question)
    bent = min(
        (_bent(question, line, each, resists.low, own=own) for line in lines for each in anchor.floor.supports),
        key=lambda each: each.pull,
    )
    formula = _OVER_BEAMS if len(anchor.floor.supports[0]) > 2 else _BETWEEN_THE_RAILS
    formula = _BEYOND_THE_RAIL if bent.beyond else formula
    low, allowable, shear = bent.pull, bent.pull * resists.allowable / resists.low, float("inf")
    if anchor.floor.folded:
        low, allowable, shear = _with_shear(question, low, allowable)
        formula = f"1 / √(1 / F² + 1 / F_v²), {formula}"
    return both_levels(
        question,
        low,
        allowable,
        code=resists.code,
        formula=formula,
        source=f"statics; {resists.source}",
        figures=(
            length("rails", bent.span, "distance between the rails, or the beams of lengthwise members"),
            length("beyond", bent.beyond, "how far the anchor stands outside them"),
            number("anchors", bent.anchors, "anchors that load this member together, by their levers"),
            number("share", bent.share, "of the pull lifts this member, with what tips the base"),
            force("F", bent.lift, f"lift at this anchor by M = {resists.what}"),
            *([] if shear == float("inf") else [force("F_v", shear, "pull at which its webs shear at a rail")]),
        ),
        remark=_remark(bent, anchor.floor),
    )


def _with_shear(question: Question, low: float, allowable: float) -> tuple[float, float, float]:
    """Pulls that a folded member bears with the shear of its webs, as if both were greatest at one place; the last [N].

    Source: AISI S100-16 H2, (M / M_n)² + (V / V_n)² ≤ 1.
    """
    floor, steel = question.anchor.floor, question.anchor.floor.member_steel
    shear = per_newton(floor.section.shears(steel.F_y, steel.E), _most_at_a_rail(question))
    daily = shear / question.basis.factor("aisi_shear")
    return _both(low, shear), _both(allowable, daily), shear


def _both(bent: float, sheared: float) -> float:
    used = float(np.hypot(1 / bent, 1 / sheared)) if bent > 0 else float("inf")  # of both, per newton of pull
    return per_newton(1.0, used)


def _lifts(question: Question, line: float, *, own: bool) -> list[_Load]:
    """What each anchor does to a cross-member, the asked one first.

    A pull along the trailer tips the base as well, by its height above the members' faces: it lifts the one behind it
    more. That it presses the one ahead down is not counted as relief. A pull across tips it along the members, which
    bends them by all of that; anchors on the other side are pulled as in a mirror.
    """
    anchor, (along, across, normal) = question.anchor, question.pull.direction
    half, height = anchor.mounting.covers[0] / 2, anchor.mounting.pull_height + anchor.floor.thickness
    tipped = along * height / anchor.mounting.covers[0]

    def load(x: float, y: float) -> _Load:
        here, behind, ahead = (share_on(line, each, anchor.floor) for each in (x, x - half, x + half))
        mirrored = -1.0 if y * anchor.at[1] < 0 else 1.0
        if own and abs(x - anchor.at[0]) < half:
            return _Load(normal + _tipped_over_own(anchor, line, along), y, mirrored * across * height)
        through_deck = 0.0 if own else max(tipped * (behind - ahead), 0.0)
        return _Load(normal * here + through_deck, y, mirrored * across * height * here)

    return [load(*anchor.at), *(load(x, y) for x, y in anchor.strapped)]


def _tipped_over_own(anchor: AnchorSetting, line: float, along: float) -> float:
    """How much more a base bolted through its cross-member lifts that for being tipped by a pull along the trailer [-].

    Its far edge presses on the deck, and that on the next member: what presses there lifts here. Nothing where the
    base does not reach beyond the member that way, and under a ring that is welded on, which touches no deck.
    """
    floor, way = anchor.floor, 1.0 if along > 0 else -1.0
    beyond = way * (anchor.base_at[0] - line) + anchor.mounting.covers[0] / 2
    if isinstance(anchor.mounting.backing, Frame) or beyond <= floor.member.width / 2:
        return 0.0
    lever = min((way * (each - line) for each in floor.lines if way * (each - line) > _NO_LIFT), default=beyond)
    return abs(along) * (anchor.mounting.pull_height + floor.thickness) / lever


def _remark(bent: _Bent, floor: FloorSetting) -> str:
    if bent.pull == 0:
        return "a wheel well cuts the cross-member"
    if not bent.beyond or floor.joint is not None:
        return ""
    return "the joint to the main rail is not checked: look at its weld or bolts"


def _bay_of(y: float, supports: Sequence[float]) -> tuple[float, float]:
    """The two supports beside `y`; beyond all of them the last two [m]."""
    return next((bay for bay in pairwise(supports) if y <= bay[1]), tuple(supports[-2:]))  # type: ignore[return-value]


def _bent(question: Question, line: float, supports: Sequence[float], moment: float, *, own: bool) -> _Bent:
    anchor = question.anchor
    first, *others = _lifts(question, line, own=own)
    lift, own_y, _ = first
    loads = [each for each in (first, *others) if max(each.lift, abs(each.couple)) > _NO_LIFT]
    low, high = _bay_of(own_y, supports)
    span, beyond = high - low, max(own_y - high, low - own_y, 0.0)
    if first not in loads:  # the anchor stands right over the other member, or presses this one down
        return _Bent(float("inf"), 0.0, span, beyond, 0)
    if _cut_by_a_well(anchor, line, low, high):
        return _Bent(0.0, lift, span, beyond, len(loads))
    if beyond > 0:
        outside = list(_outside(loads, low, high, 1 if own_y > high else -1))
        return _Bent(per_newton(moment, sum(bends for _, bends in outside)), lift, span, beyond, len(outside))
    inside = [(force, y - low, couple) for force, y, couple in loads if low <= y <= high]
    most = members.simple_beam_moment(span, inside)
    if len(supports) > 2:  # where it runs on over a beam, that is where it may bend first
        on = [part for each in loads if supports[0] <= each.y <= supports[-1] for part in _as_forces(each, supports)]
        most = max(most, members.continuous_beam_moment(supports, on))
    return _Bent(per_newton(moment, most), lift, span, 0.0, len(inside))


def _outside(loads: Sequence[_Load], low: float, high: float, way: int) -> Iterator[tuple[float, float]]:
    """Lift, and what bends the member at its rail [m], of each load beyond that rail, on the left where `way` is 1.

    What presses it down out there is not counted as relief.
    """
    for lift, y, couple in loads:
        arm = y - high if way == 1 else low - y
        if arm > 0:
            yield lift, lift * arm + max(-way * couple, 0.0)


def _as_forces(load: _Load, supports: Sequence[float]) -> Iterator[tuple[float, float]]:
    """A load as forces and their places, none beyond the supports [m]."""
    yield load.lift, load.y
    right, left = (min(max(load.y + each, supports[0]), supports[-1]) for each in (-_APART / 2, _APART / 2))
    yield load.couple / (left - right), right
    yield -load.couple / (left - right), left


def _cut_by_a_well(anchor: AnchorSetting, line: float, low: float, high: float) -> bool:
    """Whether an opening of the deck cuts the cross-member at `line` between the anchor and what holds it beside."""
    own_y, face = anchor.at[1], anchor.floor.member.width / 2
    start, end = (high, own_y) if own_y > high else (own_y, low) if own_y < low else (low, high)
    return any(
        well.x[0] < line + face and well.x[1] > line - face and well.y[0] < end and well.y[1] > start
        for well in anchor.floor.wells
    )


def member_joint(question: Question) -> Strength:
    """The weld of the most lifted cross-member to a main rail.

    Beyond the rails it may be a piece of its own: where nobody said which, the worse counts.
    """
    floor, basis = question.anchor.floor, question.basis
    leg, length_ = floor.joint or (0.0, 0.0)
    low = fillet_weld(floor, leg, length_, basis)
    daily, formula, source = low / basis.factor("aisc_weld"), "0.6 F_EXX · 0.707 a L", "AISC 360 J2.4"
    if floor.steel is not None and floor.steel.aluminium:
        formula, source = "F_sw · 0.707 a L", basis.shelf.factors["weld_shear_aluminium"].source
    code, torn = "AISC 360 J2, Ω = 2", torn_beside_weld(floor, length_, basis)
    low, daily = min(low, torn[0]), min(daily, torn[1])
    formula, source = f"least of {formula} and 0.6 F_u t L", f"{source}, J4.2"
    if floor.folded:
        source, code = f"{source}; AISI S100 J2.5", f"{code}, or AISI S100 J2.5, Ω = 3.05"
    found = []
    if floor.outriggers != "welded":
        found.append(_weld_at_a_rail(question, (low, daily), formula, source, code))
    if floor.outriggers != "through":
        found.append(_outrigger_weld(question, (low, daily), formula, source))
    return min(found, key=lambda each: each.working)


def _weld_at_a_rail(question: Question, weld: tuple[float, float], formula: str, source: str, code: str) -> Strength:
    """The weld of a member that goes on over both rails."""
    floor, (leg, length_) = question.anchor.floor, question.anchor.floor.joint or (0.0, 0.0)
    share = float(np.hypot(_most_at_a_rail(question), _along_at_a_rail(question)))
    return both_levels(
        question,
        per_newton(weld[0], share),
        per_newton(weld[1], share),
        code=code,
        formula=f"{formula} over the share of the pull at one rail",
        source=f"{source}; statics",
        figures=(
            length("a", leg, "leg of the weld"),
            length("L", length_, "of weld at one rail"),
            length("t", floor.section.thinnest, "member"),
            number("share", share, _AT_A_RAIL),
        ),
    )


def _along_at_a_rail(question: Question) -> float:
    """What of the in-plane pull the weld at a rail takes, as it takes the lift [-].

    A ring welded to the member pushes nothing but it; what of that the deck's screws take is not counted. Other
    fasteners push the boards.
    """
    if not isinstance(question.anchor.mounting.backing, Frame):
        return 0.0
    aside = replace(question.pull, direction=(0.0, 0.0, question.pull.in_plane))
    return _most_at_a_rail(replace(question, pull=aside))


_AT_A_RAIL = "of the pull at the more loaded rail, with all anchors on the member that load it more"


def _outrigger_weld(question: Question, weld: tuple[float, float], formula: str, source: str) -> Strength:
    """The weld that holds a piece of its own on a rail's outside bends as well as it is pulled."""
    floor = question.anchor.floor
    leg, length_ = floor.joint or (0.0, 0.0)
    by_length = float(members.weld_line_modulus(length_, floor.section.depth)) / length_
    share = _most_at_a_rail(question, by_length)
    return both_levels(
        question,
        per_newton(weld[0], share),
        per_newton(weld[1], share),
        code="AISC 360 J2 and J4, Ω = 2",
        formula=f"{formula} over √(V² + (M L / S_w)²)",
        source=f"{source}; elastic method (Manual part 8); Blodgett, welds as lines",
        figures=(
            length("a", leg, "leg of the weld"),
            length("L", length_, "of weld at one rail, upright on both sides first"),
            length("t", floor.section.thinnest, "member"),
            length("S_w / L", by_length, "of the weld as a line, over its length"),
            number("share", share, "of the pull on the weld with what bends it, all anchors on the piece"),
        ),
    )


def timber_shear(question: Question) -> Strength:
    """A cross-member of wood shears along its grain: nowhere more than what one rail or beam holds of the lift."""
    basis, timber = question.basis, question.anchor.floor.bearer
    area = (timber.width - _hole(question)) * timber.depth
    low, daily = (f * timber.condition.rolling_shear * area / 1.5 for f in (timber.wood.shear_5, timber.wood.F_v))
    share = _most_at_a_rail(question)
    return both_levels(
        question,
        per_newton(low, share),
        per_newton(daily * basis.rules.duration_factor, share),
        code="NDS F_v",
        formula="2/3 f_v b d over the share of the lift at one rail",
        source=f"NDS 3.4.2; {timber.wood.source}",
        figures=(
            pressure("f_v", timber.wood.shear_5, "shear strength that 5 % fall below"),
            length("b", timber.width, "breadth"),
            length("d", timber.depth, "depth"),
            number("share", share, _AT_A_RAIL),
        ),
    )


def timber_splits(question: Question) -> Strength:
    """A cross-member of wood splits along its grain at the points of the deck's screws that lift it."""
    floor, timber = question.anchor.floor, question.anchor.floor.bearer
    split = float(members.splitting_ec5(timber.width, floor.hold_down_reach, timber.depth))
    low = split * timber.condition.rolling_shear
    share = _most_at_a_rail(question)
    return both_levels(
        question,
        per_newton(low, share),
        None,
        code="",
        formula="14 b √(h_e / (1 − h_e / h)) in N and mm, over the share of the lift at one rail",
        source="EN 1995-1-1 8.1.4, 5 % value of softwood; that screws pulled lengthways split as bolts do is judgement",
        figures=(
            length("h_e", floor.hold_down_reach, "how deep the deck's screws stand in it"),
            length("h", timber.depth, "depth"),
            length("b", timber.width, "breadth"),
            force("F_90", low, "low estimate"),
            number("share", share, _AT_A_RAIL),
        ),
    )


def _most_at_a_rail(question: Question, bends_at: float | None = None) -> float:
    """Greatest lift at one main rail or beam, of all the members that the anchor loads, per newton of pull [-].

    Outriggers welded on bring what bends their weld, whose modulus as a line over its length is `bends_at` [m].
    """
    anchor, in_member = question.anchor, question.anchor.mounting.in_member
    own = bool(in_member.any()) or isinstance(anchor.mounting.backing, Frame)
    lines = (_own_line(anchor, anchor.mounting.positions[in_member]),) if own else lines_beside(anchor)
    loads = [_lifts(question, line, own=own) for line in lines]
    if bends_at is not None:
        return max(_at_own_rail(each, rails, bends_at) for each in loads for rails in anchor.floor.supports)
    return max(_at_rail(each, supports) for each in loads for supports in anchor.floor.supports)


def _at_own_rail(loads: Sequence[_Load], rails: Sequence[float], bends_at: float) -> float:
    """Greatest lift at one main rail, of the piece between both, or of one on its outside with what bends that [-]."""
    low, high = rails
    between = [each for each in loads if low <= each.y <= high]
    outside = [list(_outside(loads, low, high, way)) for way in (1, -1)]
    bent = [np.hypot(sum(lift for lift, _ in each), sum(bends for _, bends in each) / bends_at) for each in outside]
    return float(max(*bent, _at_rail(between, rails)))


def _at_rail(loads: Sequence[_Load], supports: Sequence[float]) -> float:
    """Greatest lift at one main rail or beam [-].

    Over several beams the worse of a member that is parted at each of them and of one that runs on over all. What one
    anchor eases at a rail is not counted: it may be slack while the others pull.
    """
    parted = np.zeros((len(loads), len(supports)))
    for of_load, (lift, y, couple) in zip(parted, loads, strict=True):
        low, high = _bay_of(y, supports)
        left, turned = (y - low) / (high - low), couple / (high - low)
        of_load[[supports.index(low), supports.index(high)]] = lift * (1 - left) + turned, lift * left - turned
    on = [each for each in loads if supports[0] <= each.y <= supports[-1]]
    reactions = [sum(force * support_reactions(supports, y) for force, y in _as_forces(each, supports)) for each in on]
    whole = np.array(reactions).reshape(-1, len(supports))
    return float(max(np.maximum(of, 0.0).sum(axis=0).max() for of in (parted, whole)))
