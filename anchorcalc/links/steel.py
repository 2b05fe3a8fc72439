"""Links of the steel under the deck: leg or wall of a cross-member, bridge bars, the members' own bending."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from anchorcalc.links.beside import lines_beside, nearest_line, share_on
from anchorcalc.links.common import (
    FloatArray,
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
from anchorcalc.mechanics import bolts, members, screws
from anchorcalc.mechanics.panels import support_reactions
from anchorcalc.rig.parts import Bars, Frame, WasherSeat
from anchorcalc.units import both_lengths

if TYPE_CHECKING:
    from anchorcalc.rig.parts import AnchorSetting


def bolts_off_the_bars(anchor: AnchorSetting) -> str | None:
    """Why the bolts do not all go through the bars in one bay, or None when they do."""
    backing = _bridge(anchor)
    bolt = anchor.mounting.bolts.thread.D
    along, across = anchor.mounting.positions.T
    along = along + anchor.base_at[0] - anchor.at[0]
    room = anchor.floor.member.width / 2 + bolt / 2
    if along.min() < room - anchor.behind or along.max() > anchor.ahead - room:
        return "not all bolts stand between the same two cross-members, clear of their faces"
    rows = [across[row] for row in backing.rows(anchor.mounting.positions)]
    if any(len(row) == 0 or np.ptp(row) + bolt > backing.width for row in rows):
        return f"the bolts do not fit on {backing.count} bar(s) {both_lengths(backing.width)} wide"
    return None


def off_the_bars(question: Question) -> Strength:
    """Bolts that do not meet the bars."""
    return nothing(bolts_off_the_bars(question.anchor) or "", "positions in the scenario")


def no_second_member(_: Question) -> Strength:
    """A bar on an overhang."""
    remark = "no cross-member on both sides of the anchor for a bar to rest under"
    return nothing(remark, "positions in the scenario")


def off_the_member(question: Question) -> Strength:
    """Bolts that do not meet the cross-member they are meant for."""
    return nothing(bolts_off_the_member(question) or "", "positions in the scenario")


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


_IN_ROW = 1e-4  # [m]
_NO_LIFT = 1e-9  # of a pull
_BEYOND_THE_RAIL = "F = F_y S / overhang beyond the rail, all anchors on it"
_BETWEEN_THE_RAILS = "F = F_y S over the greatest moment of the anchors on a simple beam between the rails"
_OVER_BEAMS = f"{_BETWEEN_THE_RAILS}, or on one that runs on over all beams"


@dataclass(frozen=True)
class _Bent:
    """A cross-member when it first yields, all anchors that load it pulling alike."""

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
    anchor = question.anchor
    member, steel = anchor.floor.member, anchor.floor.member_steel
    bent = min(
        (_bent(question, line, supports, own=own) for line in lines for supports in anchor.floor.supports),
        key=lambda each: each.pull,
    )
    return both_levels(
        question,
        bent.pull,
        bent.pull / question.basis.factor("aisc_flexure"),
        code="AISC 360 F, Ω = 1.67",
        formula=_BEYOND_THE_RAIL
        if bent.beyond
        else _OVER_BEAMS
        if len(anchor.floor.supports[0]) > 2
        else _BETWEEN_THE_RAILS,
        source=f"statics; {member.source}",
        figures=(
            length("rails", bent.span, "distance between the rails, or the beams of lengthwise members"),
            length("beyond", bent.beyond, "how far the anchor stands outside them"),
            number("anchors", bent.anchors, "anchors that load this member together, by their levers"),
            number("share", bent.share, "of the pull lifts this member, with what tips the base"),
            force("F", bent.lift, f"lift at this anchor when the member first yields, {steel.name}"),
        ),
        remark=_remark(bent),
    )


def _lifts(question: Question, line: float, *, own: bool) -> list[tuple[float, float]]:
    """By what part of its pull each anchor lifts a cross-member, the asked one first, and where across it stands [m].

    A pull along the trailer tips the base as well, by its height above the members' faces: it lifts the one behind it
    more. That it presses the one ahead down is not counted as relief.
    """
    anchor, (along, _, normal) = question.anchor, question.pull.direction
    half = anchor.mounting.covers[0] / 2
    couple = along * (anchor.mounting.pull_height + anchor.floor.thickness) / (2 * half)

    def lift(x: float) -> float:
        here, behind, ahead = (share_on(line, each, anchor.floor) for each in (x, x - half, x + half))
        return normal * here + (0.0 if own else max(couple * (behind - ahead), 0.0))

    return [(normal if own else lift(anchor.at[0]), anchor.at[1]), *((lift(x), y) for x, y in anchor.strapped)]


def _remark(bent: _Bent) -> str:
    if bent.pull == 0:
        return "a wheel well cuts the cross-member"
    return "the joint to the main rail is not checked: look at its weld or bolts" if bent.beyond else ""


def _bay_of(y: float, supports: Sequence[float]) -> tuple[float, float]:
    """The two supports beside `y`; beyond all of them the last two [m]."""
    return next((bay for bay in pairwise(supports) if y <= bay[1]), tuple(supports[-2:]))  # type: ignore[return-value]


def _bent(question: Question, line: float, supports: Sequence[float], *, own: bool) -> _Bent:
    anchor = question.anchor
    (lift, own_y), *others = _lifts(question, line, own=own)
    loads = [each for each in ((lift, own_y), *others) if each[0] > _NO_LIFT]
    low, high = _bay_of(own_y, supports)
    S, F_y = anchor.floor.member.S, anchor.floor.member_steel.F_y
    span, beyond = high - low, max(own_y - high, low - own_y, 0.0)
    if lift <= _NO_LIFT:  # the anchor stands right over the other member, or presses this one down
        return _Bent(float("inf"), 0.0, span, beyond, 0)
    if _cut_by_a_well(anchor, line, low, high):
        return _Bent(0.0, lift, span, beyond, len(loads))
    if beyond > 0:
        arms = [(share, y - high if own_y > high else low - y) for share, y in loads]
        outside = [(share, arm) for share, arm in arms if arm > 0]
        return _Bent(S * F_y / sum(share * arm for share, arm in outside), lift, span, beyond, len(outside))
    shares, at = zip(*((share, high - y) for share, y in loads if low <= y <= high), strict=True)
    pull = float(members.simple_beam_pull(S, F_y, span, at, shares))
    if len(supports) > 2:  # where it runs on over a beam, that is where it may bend first
        on = [(share, y) for share, y in loads if supports[0] <= y <= supports[-1]]
        pull = min(pull, per_newton(S * F_y, members.continuous_beam_moment(supports, on)))
    return _Bent(pull, lift, span, 0.0, len(at))


def _cut_by_a_well(anchor: AnchorSetting, line: float, low: float, high: float) -> bool:
    """Whether an opening of the deck cuts the cross-member at `line` between the anchor and what holds it beside."""
    own_y, face = anchor.at[1], anchor.floor.member.width / 2
    start, end = (high, own_y) if own_y > high else (own_y, low) if own_y < low else (low, high)
    return any(
        well.x[0] < line + face and well.x[1] > line - face and well.y[0] < end and well.y[1] > start
        for well in anchor.floor.wells
    )


def member_joint(question: Question) -> Strength:
    """The weld of the most lifted cross-member to a main rail."""
    anchor, basis = question.anchor, question.basis
    leg, length_ = anchor.floor.joint or (0.0, 0.0)
    in_member = anchor.mounting.in_member
    own = bool(in_member.any()) or isinstance(anchor.mounting.backing, Frame)
    lines = (_own_line(anchor, anchor.mounting.positions[in_member]),) if own else lines_beside(anchor)
    share = max(_at_rail(question, line, supports, own=own) for line in lines for supports in anchor.floor.supports)
    strength = float(members.fillet_weld_nominal(basis.factor("weld_electrode"), leg, length_))
    return both_levels(
        question,
        per_newton(strength, share),
        per_newton(strength / basis.factor("aisc_weld"), share),
        code="AISC 360 J2, Ω = 2",
        formula="0.6 F_EXX · 0.707 a L over the share of the lift at one rail",
        source="AISC 360 J2.4; statics",
        figures=(
            length("a", leg, "leg of the weld"),
            length("L", length_, "of weld at one rail"),
            number("share", share, "of the pull at the more loaded rail, all anchors on the member"),
        ),
    )


def _at_rail(question: Question, line: float, supports: Sequence[float], *, own: bool) -> float:
    """Greatest lift at one main rail or beam, per newton of pull on each anchor that loads the member [-].

    Over several beams the worse of a member that is parted at each of them and of one that runs on over all.
    """
    loads = _lifts(question, line, own=own)
    parted = np.zeros(len(supports))
    for share, y in loads:
        low, high = _bay_of(y, supports)
        left = (y - low) / (high - low)
        parted[[supports.index(low), supports.index(high)]] += share * (1 - left), share * left
    whole = sum(share * support_reactions(supports, y) for share, y in loads if supports[0] <= y <= supports[-1])
    return float(max(np.abs(parted).max(), np.abs(whole).max()))


def bolts_off_the_member(question: Question) -> str | None:
    """Why the bolts meant for the cross-member do not meet it, or None when they do."""
    anchor = question.anchor
    if anchor.floor.member.shape == "i":
        return "an I-section has its web under the middle of its face: no bolt goes through there"
    room = anchor.floor.member.width / 2 - anchor.mounting.bolts.thread.D  # a diameter of steel beside its middle
    for along in sorted(set(question.pull.resisting[:, 0].tolist())):
        x = anchor.base_at[0] + along
        nearest = nearest_line(x, anchor.floor)
        if abs(nearest - x) > room:
            return (
                f"bolts stand {both_lengths(x)} from the rear edge; the nearest cross-member's middle is at "
                f"{both_lengths(nearest)} and its face is {both_lengths(anchor.floor.member.width)} wide"
            )
    return None


def _seat_width(anchor: AnchorSetting) -> float:
    """Width over which nut or washer presses on steel [m]."""
    return (
        anchor.mounting.seat.outside
        if isinstance(anchor.mounting.seat, WasherSeat)
        else anchor.mounting.bolts.thread.d_nut
    )


def pull_over(question: Question) -> Strength:
    """The washer or nut pulls through the leg or wall: one wall, for a nut bears on one wall only."""
    anchor = question.anchor
    d_w = min(_seat_width(anchor), question.basis.factor("pull_over_widest_washer"))
    strength = float(screws.thin_steel_pull_over(anchor.floor.member.thickness, d_w, anchor.floor.member_steel.F_u))
    return both_levels(
        question,
        per_newton(strength, question.pull.most),
        per_newton(strength / question.basis.factor("aisi_screw"), question.pull.most),
        code="AISI S100, Ω = 3",
        formula="1.5 t d'_w F_u",
        source="AISI S100 J4.4.2",
        figures=(
            length("t", anchor.floor.member.thickness, "leg or wall"),
            length("d'_w", d_w, "washer or nut"),
            pressure("F_u", anchor.floor.member_steel.F_u, "member steel"),
        ),
    )


def _row_on_the_member(question: Question) -> tuple[int, float]:
    """How many bolts stand in a row along a cross-member, and from the first to the last of them [m]."""
    along, across = question.pull.resisting.T
    rows = [across[np.abs(along - x) < _IN_ROW] for x in along]
    row = max(rows, key=len)
    return len(row), float(np.ptp(row))


def _off_the_middle(question: Question) -> float:
    """How far a bolt stands off the middle of its cross-member [m], at the most."""
    at = question.pull.resisting[:, 0] + question.anchor.base_at[0]
    return float(max(abs(x - nearest_line(x, question.anchor.floor)) for x in at.tolist()))


def leg_bending(question: Question) -> Strength:
    """The leg of an angle or channel bends down at a bolt."""
    anchor = question.anchor
    t, width = anchor.floor.member.thickness, anchor.floor.member.width
    # Which way the heel lies nobody says: bolts off the middle are taken to stand towards the toe.
    off = _off_the_middle(question)
    m, e = width / 2 - t + off, width / 2 - off
    count, length_ = _row_on_the_member(question)
    strength = float(members.leg_bending_nominal(t, m, e, anchor.floor.member_steel.F_y, count, length_))
    return both_levels(
        question,
        per_newton(strength, question.pull.most),
        per_newton(strength / question.basis.factor("aisc_flexure"), question.pull.most),
        code="AISC 360 F, Ω = 1.67",
        formula="M_pl / m, M_pl = 0.25 l_eff t² f_y, l_eff of one bolt, or its part of the row's if less",
        source="EN 1993-1-8 6.2.4 and table 6.4, as a cantilever without prying",
        figures=(length("t", t, "leg"), length("m", m, "arm"), force("F", strength, "one bolt")),
    )


def tube_wall(question: Question) -> Strength:
    """The wall of a tube folds in along yield lines round a bolt: the one wall that the nut bears on."""
    anchor = question.anchor
    t, width = anchor.floor.member.thickness, anchor.floor.member.width
    beta = min(_seat_width(anchor) / width, question.basis.factor("tube_wall_widest_seat"))
    count, length_ = _row_on_the_member(question)
    row = members.tube_wall_yield_line(t, anchor.floor.member_steel.F_y, beta, beta + length_ / width)
    strength = min(
        float(members.tube_wall_yield_line(t, anchor.floor.member_steel.F_y, beta, beta)), float(row) / count
    )
    return both_levels(
        question,
        per_newton(strength, question.pull.most),
        per_newton(strength / question.basis.factor("aisc_tube_wall"), question.pull.most),
        code="AISC 360 K, Ω = 1.5",
        formula="F_y t² [2 η / (1 − β) + 4 / √(1 − β)], of one bolt, or its part of the row's if less",
        source="AISC 360 chapter K; EN 1993-1-8 table 7.11",
        figures=(length("t", t, "wall"), length("B", width, "tube face"), force("F", strength, "one bolt")),
    )


def tube_crushed_by_bolts(question: Question) -> Strength:
    """Bolts through both walls push sideways on them."""
    anchor = question.anchor
    strength = 2 * float(
        members.through_bolt_bearing_nominal(
            anchor.mounting.bolts.thread.D, anchor.floor.member.thickness, anchor.floor.member_steel.F_y
        )
    )
    return both_levels(
        question,
        per_newton(strength, question.pull.sideways_first),
        per_newton(strength / question.basis.factor("aisc_bearing"), question.pull.sideways_first),
        code="AISC 360 J7, Ω = 2",
        formula="1.8 F_y d t a wall",
        source="AISC 360 J7, K1",
        figures=(length("t", anchor.floor.member.thickness, "wall"), force("F", strength, "one bolt, both walls")),
    )


def bridge_bar(question: Question) -> Strength:
    """The bars bend between the two cross-members."""
    anchor = question.anchor
    bar = _bridge(anchor)
    span = anchor.behind + anchor.ahead
    hole = anchor.mounting.bolts.thread.D + question.basis.factor("bolt_hole_clearance")
    # Bolts abreast leave a bar with as many holes in one section.
    rows = bar.rows(anchor.mounting.positions)
    along = np.round(anchor.mounting.positions[:, 0], 4)
    abreast = max(Counter(along[row]).most_common(1)[0][1] for row in rows)
    modulus = float(members.flat_bar_modulus(bar.width, bar.thickness, abreast * hole))
    # Prying loads the bolts with more than the pull's own normal part, and some more than others.
    strength, share = min(
        (_bar_strength(anchor, row, question.pull.tensions, modulus * bar.steel.F_y) for row in rows),
        key=lambda pair: per_newton(*pair),
    )
    return both_levels(
        question,
        per_newton(strength, share),
        per_newton(strength / question.basis.factor("aisc_flexure"), share),
        code="AISC 360 F, Ω = 1.67",
        formula="F_y S over the greatest moment of the bolts on a simple beam",
        source="statics; elastic modulus of the net section",
        figures=(
            length("span", span, "between the members"),
            force("F", strength, "bolts of the more loaded bar together"),
        ),
    )


def _bar_strength(
    anchor: AnchorSetting,
    group: NDArray[np.bool_],
    tensions: FloatArray,
    yield_moment: float,
) -> tuple[float, float]:
    """Bolt tensions on one bar together when it first yields [N], and their share of the pull [-]."""
    own = tensions[group]
    share = float(own.sum())
    if share <= 0:
        return float("inf"), 1.0
    at = anchor.behind + anchor.base_at[0] - anchor.at[0] + anchor.mounting.positions[group][:, 0]
    span = anchor.behind + anchor.ahead
    # A slanted pull may shift tension towards a member; that relief is not counted on.
    pulls = [members.simple_beam_pull(yield_moment, 1.0, span, at, shares) for shares in (own / share, None)]
    return float(min(pulls)), share


def nut_through_bar(question: Question) -> Strength:
    """A nut pulls through the bar."""
    anchor = question.anchor
    bar = _bridge(anchor)
    strength = float(bolts.nut_punching_ec3(anchor.mounting.bolts.thread.d_nut, bar.thickness, bar.steel.F_u, 1.0))
    return both_levels(
        question,
        per_newton(strength, question.pull.most),
        None,
        code="",
        formula="0.6 π d_m t f_u",
        source="EN 1993-1-8 table 3.4",
        figures=(length("t", bar.thickness, "bar thickness"), pressure("f_u", bar.steel.F_u, "bar steel")),
    )


def _bridge(anchor: AnchorSetting) -> Bars:
    if isinstance(anchor.mounting.backing, Bars):
        return anchor.mounting.backing
    raise TypeError(f"anchor {anchor.name!r} has no bridge bars")
