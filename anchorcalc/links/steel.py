"""Links of the steel under the deck: leg or wall of a cross-member, bridge bars, the members' own bending."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from anchorcalc.links.beside import nearest_line
from anchorcalc.links.common import (
    FloatArray,
    Question,
    Strength,
    both_levels,
    force,
    length,
    nothing,
    per_newton,
    pressure,
)
from anchorcalc.links.seat import hole_of
from anchorcalc.mechanics import bolts, members, screws
from anchorcalc.rig.parts import Bars, WasherSeat
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


def bolts_off_the_member(question: Question) -> str | None:
    """Why the bolts meant for the cross-member do not meet it, or None when they do."""
    anchor = question.anchor
    if anchor.floor.member.shape == "i":
        return "an I-section has its web under the middle of its face: no bolt goes through there"
    # A diameter of steel beside its middle; of wood what keeps it from splitting.
    beside = 1.0 if anchor.floor.timber is None else question.basis.factor("bolt_from_wood_edge")
    room = anchor.floor.member.width / 2 - beside * anchor.mounting.bolts.thread.D
    for along in sorted(set(question.pull.resisting[:, 0].tolist())):
        x = anchor.base_at[0] + along
        nearest = nearest_line(x, anchor.floor)
        if abs(nearest - x) > room:
            return (
                f"bolts stand {both_lengths(x)} from the rear edge; the nearest cross-member's middle is at "
                f"{both_lengths(nearest)} and its face is {both_lengths(anchor.floor.member.width)} wide"
            )
    return None


def pull_over(question: Question) -> Strength:
    """The washer or nut pulls through the leg or wall: one wall, for a nut bears on one wall only."""
    anchor, t = question.anchor, question.anchor.floor.section.thickness
    d_w, seat = anchor.mounting.bolts.thread.d_nut, anchor.mounting.seat
    if isinstance(seat, WasherSeat):
        d_w = min(seat.outside, d_w + 2 * seat.thickness + t)
    d_w = min(d_w, question.basis.factor("pull_over_widest_washer"))
    strength = float(screws.thin_steel_pull_over(t, d_w, anchor.floor.member_steel.F_u))
    return both_levels(
        question,
        per_newton(strength, question.pull.most),
        per_newton(strength / question.basis.factor("aisi_screw"), question.pull.most),
        code="AISI S100, Ω = 3",
        formula="1.5 t d'_w F_u, d'_w = d_nut + 2 t_w + t, no wider than the washer",
        source="AISI S100 J4.4.2",
        figures=(
            length("t", t, "leg or wall"),
            length("d'_w", d_w, "that counts of washer or nut"),
            pressure("F_u", anchor.floor.member_steel.F_u, "member steel"),
        ),
    )


_IN_ROW = 1e-4  # [m]


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
    t, width = anchor.floor.section.thickness, anchor.floor.section.width
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
    return _folds(question, 1.0, "AISC 360 chapter K; EN 1993-1-8 table 7.11")


LEFT_OF_CROWN = 0.5
"""Of what a tube's wall holds, where the edges of the face turn freely."""


def crown(question: Question) -> Strength:
    """The crown of a hat folds in as a tube's wall does; its webs, free below, are not counted on to hold its edges.

    Without the hinges there no less than half is left: yield lines of half the plastic moment everywhere are weaker.
    """
    return _folds(question, LEFT_OF_CROWN, "half of AISC 360 chapter K: a plate whose edges turn freely (judgement)")


_RINGS = 60  # between nut and edge of a washer, by which it may press


def _folds(question: Question, left: float, source: str) -> Strength:
    """What is `left` of a tube's wall between its sides.

    A washer presses by whichever ring serves best, no harder than it stands itself: a thin one gives way to the nut.
    """
    anchor, basis = question.anchor, question.basis
    t, width, F_y = anchor.floor.section.thickness, anchor.floor.section.width, anchor.floor.member_steel.F_y
    seat, nut = anchor.mounting.seat, anchor.mounting.bolts.thread.d_nut
    rings, most = np.array([nut]), np.array([np.inf])
    if isinstance(seat, WasherSeat):
        rings = np.linspace(min(nut, seat.outside), seat.outside, _RINGS)
        hole = min(hole_of(anchor, basis), nut)
        most = members.washer_turns_inside_out(rings, nut, hole, seat.outside, seat.thickness, seat.steel.F_y)
    beta = np.minimum(rings / width, basis.factor("tube_wall_widest_seat"))
    count, length_ = _row_on_the_member(question)
    row = members.tube_wall_yield_line(t, F_y, beta, beta + length_ / width)
    alone = members.tube_wall_yield_line(t, F_y, beta, beta)
    by_ring = np.minimum(left * np.minimum(alone, row / count), most)
    strength, ring = float(by_ring.max()), float(rings[by_ring.argmax()])
    return both_levels(
        question,
        per_newton(strength, question.pull.most),
        per_newton(strength / basis.factor("aisc_tube_wall"), question.pull.most),
        code="AISC 360 K, Ω = 1.5",
        formula=f"{'' if left == 1 else f'{left:g} '}F_y t² [2 η / (1 − β) + 4 / √(1 − β)], of one bolt, or its part "
        "of the row's if less",
        source=source,
        figures=(
            length("t", t, "wall"),
            length("B", width, f"{anchor.floor.member.shape} face"),
            length("D", ring, "by which nut or washer presses; a thin washer gives way beyond"),
            force("F", strength, "one bolt"),
        ),
    )


def tube_crushed_by_bolts(question: Question) -> Strength:
    """Bolts through both walls push sideways on them."""
    anchor = question.anchor
    strength = 2 * float(
        members.through_bolt_bearing_nominal(
            anchor.mounting.bolts.thread.D, anchor.floor.section.thickness, anchor.floor.member_steel.F_y
        )
    )
    return both_levels(
        question,
        per_newton(strength, question.pull.sideways_first),
        per_newton(strength / question.basis.factor("aisc_bearing"), question.pull.sideways_first),
        code="AISC 360 J7, Ω = 2",
        formula="1.8 F_y d t a wall",
        source="AISC 360 J7, K1",
        figures=(length("t", anchor.floor.section.thickness, "wall"), force("F", strength, "one bolt, both walls")),
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
