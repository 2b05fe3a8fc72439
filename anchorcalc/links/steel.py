"""Links of the steel under the deck: leg or wall of a cross-member, bridge bars, the members' own bending."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from anchorcalc.links.beside import lines_beside, nearest_line, share_on
from anchorcalc.links.bolted import thread_of
from anchorcalc.links.common import Question, force, length, make_link, nothing, number, per_newton, pressure
from anchorcalc.mechanics import bolts, members, screws
from anchorcalc.scenario.model import Bridge, WasherSize

if TYPE_CHECKING:
    from anchorcalc.catalog.rows import Steel
    from anchorcalc.result import Link
    from anchorcalc.rig.settings import AnchorSetting


def member_links(question: Question) -> list[Link]:
    """Bolts through a cross-member: do they meet it, its leg or wall, its bending between the rails."""
    anchor = question.anchor
    missed = _bolts_off_the_member(question)
    if missed is not None:
        return [nothing("bolts miss the cross-member", missed, "positions in the scenario")]
    links = [pull_over(question), own_member_bending(question)]
    if anchor.member.shape == "tube":
        links.append(tube_wall(question))
        if anchor.walls == 2:
            links.append(tube_crushed_by_bolts(question))
    else:
        links.append(leg_bending(question))
    return links


def bridge_links(question: Question) -> list[Link]:
    """Bars under two neighbouring cross-members: the bars, the nuts through them, the members."""
    if question.anchor.places.overhang:
        remark = "no cross-member on both sides of the anchor for a bar to rest under"
        return [nothing("bridge bar has no second member", remark, "positions in the scenario")]
    missed = _bolts_off_the_bars(question.anchor)
    if missed is not None:
        return [nothing("bolts miss the bridge bar", missed, "positions in the scenario")]
    return [
        bridge_bar(question),
        nut_through_bar(question),
        deck_member_bending(question),
    ]


def _bolts_off_the_bars(anchor: AnchorSetting) -> str | None:
    """Why the bolts do not all go through the bars in one bay, or None when they do."""
    backing, _ = _bridge(anchor)
    bolt = thread_of(anchor).D
    along, across = anchor.positions.T
    room = anchor.places.face_width / 2 + bolt / 2
    if along.min() < room - anchor.places.behind or along.max() > anchor.places.ahead - room:
        return "not all bolts stand between the same two cross-members, clear of their faces"
    rows = [across] if backing.bars == "1" else [across[across >= 0], across[across < 0]]
    if any(len(row) == 0 or np.ptp(row) + bolt > backing.width for row in rows):
        return f"the bolts do not fit on {backing.bars} bar(s) {1000 * backing.width:.0f} mm wide"
    return None


def deck_member_bending(question: Question) -> Link:
    """The cross-members beside the anchor, lifted through the deck's hold-down screws or by bridge bars."""
    return _member_bending(question, lines_beside(question.anchor), None)


def own_member_bending(question: Question) -> Link:
    """The cross-member that the bolts go through."""
    anchor = question.anchor
    x = anchor.at[0] + float(question.pull.resisting[:, 0].mean())
    return _member_bending(question, (nearest_line(x, anchor.places),), 1.0)


_IN_ROW = 1e-4  # [m]


@dataclass(frozen=True)
class _Bent:
    """A cross-member when it first yields, all anchors that load it pulling alike."""

    lift: float  # at each anchor [N]
    rails: float
    beyond: float  # how far the asked anchor stands outside the rails [m]
    anchors: int


def _member_bending(question: Question, lines: Sequence[float], own_share: float | None) -> Link:
    """A cross-member bends upward between the main rails that hold it, or beyond them.

    `lines` are the members in question, `own_share` what each takes of the anchor's lift; None by the lever.
    """
    anchor, normal = question.anchor, question.pull.normal
    member, steel = anchor.member, anchor.member_steel
    bent = min(
        (_bent(anchor, line, rails, own_share) for line in lines for rails in anchor.places.rails),
        key=lambda each: each.lift,
    )
    return make_link(
        question,
        "cross-member bends",
        per_newton(bent.lift, normal),
        per_newton(bent.lift / question.basis.factor("aisc_flexure"), normal),
        code="AISC 360 F, Ω = 1.67",
        formula="F = F_y S / overhang beyond the rail, all anchors on it" if bent.beyond
        else "F = F_y S over the greatest moment of the anchors on a simple beam between the rails",
        source=f"statics; {member.source}",
        figures=(
            length("rails", bent.rails, "distance between the rails"),
            length("beyond", bent.beyond, "how far the anchor stands outside the rails"),
            number("anchors", bent.anchors, "anchors that load this member together, by their levers"),
            force("F", bent.lift, f"lift at this anchor when the member first yields, {steel.name}"),
        ),
        remark="a wheel well cuts the cross-member" if bent.lift == 0
        else "the joint to the main rail is not checked: look at its weld or bolts" if bent.beyond else "",
    )  # fmt: skip


def _bent(anchor: AnchorSetting, line: float, rails: float, own_share: float | None) -> _Bent:
    places, half, own_y = anchor.places, rails / 2, anchor.at[1]
    own = share_on(line, anchor.at[0], places) if own_share is None else own_share
    loads = [(own, own_y), *((share_on(line, x, places), y) for x, y in places.strapped)]
    loads = [(share, y) for share, y in loads if share > 1e-9]
    yield_moment = anchor.member.S * anchor.member_steel.F_y
    beyond = max(abs(own_y) - half, 0.0)
    if _cut_by_a_well(anchor, line, half):
        return _Bent(0.0, rails, beyond, len(loads))
    if own <= 1e-9:  # the anchor stands right over the other member
        return _Bent(float("inf"), rails, beyond, 0)
    if beyond > 0:
        outside = [(share, abs(y) - half) for share, y in loads if abs(y) > half and y * own_y > 0]
        lift = yield_moment / sum(share * arm for share, arm in outside)
        return _Bent(lift, rails, beyond, len(outside))
    between = [(share, half - y) for share, y in loads if abs(y) <= half]
    shares, at = zip(*between, strict=True)
    lift = float(members.simple_beam_pull(anchor.member.S, anchor.member_steel.F_y, rails, at, shares))
    return _Bent(lift, rails, 0.0, len(between))


def _cut_by_a_well(anchor: AnchorSetting, line: float, half: float) -> bool:
    """Whether an opening of the deck cuts the cross-member at `line` between the anchor and the rails that hold it."""
    own_y, face = anchor.at[1], anchor.places.face_width / 2
    if abs(own_y) > half:
        start, end = sorted((own_y, half if own_y > 0 else -half))
    else:
        start, end = -half, half
    return any(
        x[0] < line + face and x[1] > line - face and y[0] < end and y[1] > start for x, y in anchor.wells
    )  # fmt: skip


def _bolts_off_the_member(question: Question) -> str | None:
    """Why the bolts meant for the cross-member do not meet it, or None when they do."""
    anchor = question.anchor
    room = anchor.places.face_width / 2 - thread_of(anchor).D  # a bolt's diameter of steel beside its middle
    for x in np.unique(question.pull.resisting[:, 0]) + anchor.at[0]:
        nearest = nearest_line(float(x), anchor.places)
        if abs(nearest - x) > room:
            return (
                f"bolts stand {1000 * x:.0f} mm from the rear edge; the nearest cross-member's middle is at "
                f"{1000 * nearest:.0f} mm and its face is {1000 * anchor.places.face_width:.0f} mm wide"
            )
    return None


def _seat_width(anchor: AnchorSetting) -> float:
    """Width over which nut or washer presses on steel [m]."""
    return anchor.seat.outside if isinstance(anchor.seat, WasherSize) else thread_of(anchor).d_nut


def pull_over(question: Question) -> Link:
    """The washer or nut pulls through the leg or wall: one wall, for a nut bears on one wall only."""
    anchor = question.anchor
    d_w = min(_seat_width(anchor), question.basis.factor("pull_over_widest_washer"))
    strength = float(screws.thin_steel_pull_over(anchor.member.thickness, d_w, anchor.member_steel.F_u))
    return make_link(
        question,
        "nut pulls through the cross-member",
        per_newton(strength, question.pull.most),
        per_newton(strength / question.basis.factor("aisi_screw"), question.pull.most),
        code="AISI S100, Ω = 3",
        formula="1.5 t d'_w F_u",
        source="AISI S100 J4.4.2",
        figures=(
            length("t", anchor.member.thickness, "leg or wall"),
            length("d'_w", d_w, "washer or nut"),
            pressure("F_u", anchor.member_steel.F_u, "member steel"),
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
    at = question.pull.resisting[:, 0] + question.anchor.at[0]
    return float(max(abs(x - nearest_line(x, question.anchor.places)) for x in at.tolist()))


def leg_bending(question: Question) -> Link:
    """The leg of an angle or channel bends down at a bolt."""
    anchor = question.anchor
    t, width = anchor.member.thickness, anchor.member.width
    # Which way the heel lies nobody says: bolts off the middle are taken to stand towards the toe.
    off = _off_the_middle(question)
    m, e = width / 2 - t + off, width / 2 - off
    count, length_ = _row_on_the_member(question)
    strength = float(members.leg_bending_nominal(t, m, e, anchor.member_steel.F_y, count, length_))
    return make_link(
        question,
        "leg of the cross-member bends",
        per_newton(strength, question.pull.most),
        per_newton(strength / question.basis.factor("aisc_flexure"), question.pull.most),
        code="AISC 360 F, Ω = 1.67",
        formula="M_pl / m, M_pl = 0.25 l_eff t² f_y, l_eff of one bolt, or its part of the row's if less",
        source="EN 1993-1-8 6.2.4 and table 6.4, as a cantilever without prying",
        figures=(length("t", t, "leg"), length("m", m, "arm"), force("F", strength, "one bolt")),
    )


def tube_wall(question: Question) -> Link:
    """The wall of a tube folds in along yield lines round a bolt: the one wall that the nut bears on."""
    anchor = question.anchor
    t, width = anchor.member.thickness, anchor.member.width
    beta = min(_seat_width(anchor) / width, question.basis.factor("tube_wall_widest_seat"))
    count, length_ = _row_on_the_member(question)
    row = members.tube_wall_yield_line(t, anchor.member_steel.F_y, beta, beta + length_ / width)
    strength = min(float(members.tube_wall_yield_line(t, anchor.member_steel.F_y, beta, beta)), float(row) / count)
    return make_link(
        question,
        "wall of the tube folds",
        per_newton(strength, question.pull.most),
        per_newton(strength / question.basis.factor("aisc_tube_wall"), question.pull.most),
        code="AISC 360 K, Ω = 1.5",
        formula="F_y t² [2 η / (1 − β) + 4 / √(1 − β)], of one bolt, or its part of the row's if less",
        source="AISC 360 chapter K; EN 1993-1-8 table 7.11",
        figures=(length("t", t, "wall"), length("B", width, "tube face"), force("F", strength, "one bolt")),
    )


def tube_crushed_by_bolts(question: Question) -> Link:
    """Bolts through both walls push sideways on them."""
    anchor = question.anchor
    strength = 2 * float(
        members.through_bolt_bearing_nominal(thread_of(anchor).D, anchor.member.thickness, anchor.member_steel.F_y)
    )
    return make_link(
        question,
        "bolts tear the tube's walls sideways",
        per_newton(strength, question.pull.sideways_first),
        per_newton(strength / question.basis.factor("aisc_bearing"), question.pull.sideways_first),
        code="AISC 360 J7, Ω = 2",
        formula="1.8 F_y d t a wall",
        source="AISC 360 J7, K1",
        figures=(length("t", anchor.member.thickness, "wall"), force("F", strength, "one bolt, both walls")),
    )


def bridge_bar(question: Question) -> Link:
    """The bars bend between the two cross-members."""
    anchor, places = question.anchor, question.anchor.places
    backing, steel = _bridge(anchor)
    span = places.behind + places.ahead
    hole = thread_of(anchor).D + question.basis.factor("bolt_hole_clearance")
    # Bolts abreast leave a bar with as many holes in one section.
    abreast = max(Counter(np.round(anchor.positions[group][:, 0], 4)).most_common(1)[0][1] for group in _bars(anchor))
    modulus = float(members.flat_bar_modulus(backing.width, backing.thickness, abreast * hole))
    # Prying loads the bolts with more than the pull's own normal part, and some more than others.
    strength, share = min(
        (_bar_strength(anchor, group, question.pull.tensions, modulus * steel.F_y) for group in _bars(anchor)),
        key=lambda pair: per_newton(*pair),
    )
    return make_link(
        question,
        "bridge bar bends",
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


def _bars(anchor: AnchorSetting) -> list[np.ndarray[tuple[int], np.dtype[np.bool_]]]:
    """Which bolts each bar takes, (n,) a bar."""
    left = np.asarray(anchor.positions[:, 1] >= 0)
    return [left, ~left] if _bridge(anchor)[0].bars == "2" else [np.ones(len(left), dtype=bool)]


def _bar_strength(
    anchor: AnchorSetting,
    group: np.ndarray[tuple[int], np.dtype[np.bool_]],
    tensions: np.ndarray[tuple[int, ...], np.dtype[np.float64]],
    yield_moment: float,
) -> tuple[float, float]:
    """Bolt tensions on one bar together when it first yields [N], and their share of the pull [-]."""
    places, own = anchor.places, tensions[group]
    share = float(own.sum())
    if share <= 0:
        return float("inf"), 1.0
    at, span = places.behind + anchor.positions[group][:, 0], places.behind + places.ahead
    # A slanted pull may shift tension towards a member; that relief is not counted on.
    pulls = [members.simple_beam_pull(yield_moment, 1.0, span, at, shares) for shares in (own / share, None)]
    return float(min(pulls)), share


def nut_through_bar(question: Question) -> Link:
    """A nut pulls through the bar."""
    anchor = question.anchor
    backing, steel = _bridge(anchor)
    strength = float(bolts.nut_punching_ec3(thread_of(anchor).d_nut, backing.thickness, steel.F_u, 1.0))
    return make_link(
        question,
        "nut pulls through the bar",
        per_newton(strength, question.pull.most),
        None,
        code="",
        formula="0.6 π d_m t f_u",
        source="EN 1993-1-8 table 3.4",
        figures=(length("t", backing.thickness, "bar thickness"), pressure("f_u", steel.F_u, "bar steel")),
    )


def _bridge(anchor: AnchorSetting) -> tuple[Bridge, Steel]:
    backing, steel = anchor.backing, anchor.backing_steel
    assert isinstance(backing, Bridge)  # noqa: S101 - bridge links' own kind
    assert steel is not None  # noqa: S101
    return backing, steel
