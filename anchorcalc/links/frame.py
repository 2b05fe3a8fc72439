"""Links of a ring that is welded to the frame: its weld, and what of the cross-member it stands on."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from anchorcalc.links.beside import nearest_line
from anchorcalc.links.common import (
    Strength,
    both_levels,
    fillet_weld,
    force,
    length,
    nothing,
    number,
    per_newton,
    torn_beside_weld,
)
from anchorcalc.links.steel import LEFT_OF_CROWN
from anchorcalc.mechanics import members
from anchorcalc.rig.parts import Frame, Weld

if TYPE_CHECKING:
    from anchorcalc.links.common import Question
    from anchorcalc.rig.parts import AnchorSetting

_OFF = (
    "no cross-member and no main rail that the file tells of lies under the ring: give cross_members.also_at, rails "
    "or beams, or put the ring over one"
)


def on_frame(question: Question) -> bool:
    """Whether the ring is welded to the frame."""
    return isinstance(question.anchor.mounting.backing, Frame)


def on_member(question: Question) -> bool:
    """Whether it is welded to a cross-member: the middle of its base lies over one's face."""
    anchor = question.anchor
    if anchor.floor.timber is not None:
        return False
    return on_frame(question) and abs(_off_the_member(anchor)) <= anchor.floor.member.width / 2 + 1e-9


def _off_the_member(anchor: AnchorSetting) -> float:
    """How far the middle of the base stands ahead of that of the nearest cross-member [m]."""
    return anchor.base_at[0] - nearest_line(anchor.base_at[0], anchor.floor)


def between_rails(question: Question) -> bool:
    """Whether it is welded to a cross-member away from what carries that."""
    return on_member(question) and not _on_rail(question.anchor)


def on_nothing(question: Question) -> bool:
    """Whether no steel is known where it is said to be welded."""
    return on_frame(question) and not on_member(question) and not _on_rail(question.anchor)


def _on_rail(anchor: AnchorSetting) -> bool:
    half, y = anchor.mounting.covers[1] / 2, anchor.base_at[1]
    return any(abs(y - support) <= half + 1e-9 for support in anchor.floor.supports_measured)


def has_weld(question: Question) -> bool:
    """Whether somebody said how it is welded, to steel that is known."""
    fasteners = question.anchor.mounting.fasteners
    return isinstance(fasteners, Weld) and fasteners.leg is not None and not on_nothing(question)


def off_the_frame(_: Question) -> Strength:
    """A ring in mid-air."""
    return nothing(_OFF, "positions in the scenario")


class _Seat(NamedTuple):
    """Where a ring's base lies on steel."""

    length: float  # along the trailer [m]
    width: float  # across [m]
    off: float  # from its middle to that of the base [m]

    @property
    def narrow(self) -> float:
        """Its narrow side [m]."""
        return min(self.length, self.width)


def _seat(question: Question) -> _Seat:
    """The base on its steel; a main rail, whose width nobody tells, is taken as no wider than a member (judgement)."""
    anchor = question.anchor
    along, across = anchor.mounting.covers
    if on_member(question):
        length_, off = _on_face(_off_the_member(anchor), along, anchor.floor.member.width)
        return _Seat(length_, across, off)
    y = anchor.base_at[1]
    off_the_rail = min((abs(y - support) for support in anchor.floor.supports_measured), default=abs(y))
    width, off = _on_face(off_the_rail, across, anchor.floor.member.width)
    return _Seat(along, width, off)


def _on_face(off: float, side: float, face: float) -> tuple[float, float]:
    """What of a side lies on a face whose middle is so far off its own, and how far off the middle of that is [m]."""
    low, high = max(off - side / 2, -face / 2), min(off + side / 2, face / 2)
    return high - low, abs(off - (low + high) / 2)


def _height(anchor: AnchorSetting) -> float:
    """Height of the pull above the frame, which lies under the deck [m]."""
    return anchor.mounting.pull_height + anchor.floor.thickness


def _lifted(question: Question) -> float:
    """What a pull of one newton lifts by the more loaded half of the seat, as if the whole were pulled by twice that.

    The pull tips the base about the narrow way of its seat by its height, and by what it stands off the seat's middle:
    n / 2 + (h s + e n) / b on one half.
    """
    pull, seat = question.pull, _seat(question)
    return pull.normal + 2 * (_height(question.anchor) * pull.in_plane + seat.off * pull.normal) / seat.narrow


def _on_the_weld(question: Question, seat: _Seat, run: float) -> float:
    """What a pull of one newton does to the weld upward, as if all of it were pulled as its most loaded end is.

    The pull tips the base along the trailer and across by its height, and by what it stands off the seat's middle.
    Nobody says which sides are welded first: those along the trailer or those across it, whichever is worse.
    """
    along, across, normal = question.pull.direction
    height = _height(question.anchor)
    off = (seat.off, 0.0) if on_member(question) else (0.0, seat.off)
    moments = np.array([height * abs(along) + off[0] * normal, height * abs(across) + off[1] * normal])
    sides = seat.length, seat.width
    first_along = members.weld_line_modulus(run, sides[0]), members.weld_box_modulus(run, *sides)
    first_across = members.weld_box_modulus(run, *sides[::-1]), members.weld_line_modulus(run, sides[1])
    return normal + run * max(float((moments / moduli).sum()) for moduli in (first_along, first_across))


def weld(question: Question) -> Strength:
    """The fillet weld of the ring breaks, or the steel of the member beside it; no more counts than once round."""
    anchor, basis, seat = question.anchor, question.basis, _seat(question)
    fasteners = anchor.mounting.fasteners
    leg, told = (fasteners.leg or 0.0, fasteners.run or 0.0) if isinstance(fasteners, Weld) else (0.0, 0.0)
    run = min(told, 2 * (seat.length + seat.width))
    low = fillet_weld(anchor.floor, leg, run, basis)
    daily = low / basis.factor("aisc_weld")
    if on_member(question):
        torn = torn_beside_weld(anchor.floor, run, basis)
        low, daily = min(low, torn[0]), min(daily, torn[1])
    share = float(np.hypot(_on_the_weld(question, seat, run), question.pull.in_plane))
    return both_levels(
        question,
        per_newton(low, share),
        per_newton(daily, share),
        code="AISC 360 J2 and J4, Ω = 2",
        formula="least of 0.6 F_EXX · 0.707 a L (of aluminium F_sw in place of 0.6 F_EXX) and 0.6 F_u t L over "
        "√((n + L M_x / S_x + L M_y / S_y)² + s²), M = h s + e n",
        source="AISC 360 J2.4, J4.2; elastic method (Manual part 8); Blodgett, welds as lines",
        figures=(
            length("a", leg, "leg of the weld"),
            length("L", run, "of weld, no more than once round where the base lies on steel"),
            length("h", _height(anchor), "pull above the frame: pull height and the deck's thickness"),
            length("e", seat.off, "middle of the base off that of the steel under it"),
            length("b_x", seat.length, "of steel under the base along the trailer"),
            length("b_y", seat.width, "of steel under the base across it"),
            number("share", share, "of the pull on the weld at its most loaded end, the worse sides welded first"),
        ),
    )


def wall(question: Question) -> Strength:
    """The face of the cross-member folds or bends under the ring's base."""
    anchor, basis = question.anchor, question.basis
    member, F_y, seat = anchor.floor.section, anchor.floor.steel_at_welds.F_y, _seat(question)
    if member.shape in ("tube", "hat"):
        beta = min(seat.length / member.width, basis.factor("tube_wall_widest_seat"))
        strength = float(members.tube_wall_yield_line(member.thickness, F_y, beta, seat.width / member.width))
        omega, code, lifted = basis.factor("aisc_tube_wall"), "AISC 360 K, Ω = 1.5", _lifted(question)
        formula = "F_y t² [2 η / (1 − β) + 4 / √(1 − β)] over n + 2 (h s + e n) / b"
        if member.shape == "hat":
            strength, formula = LEFT_OF_CROWN * strength, f"{LEFT_OF_CROWN:g} {formula}"
    else:
        arm = member.width / 2 - member.thickness + abs(_off_the_member(anchor))
        strength = 0.25 * seat.width * member.thickness**2 * F_y / arm
        lifted = question.pull.normal + _height(anchor) * question.pull.in_plane / arm
        omega, code = basis.factor("aisc_flexure"), "AISC 360 F, Ω = 1.67"
        formula = "0.25 l t² F_y / m over n + h s / m, l the base along the member"
    return both_levels(
        question,
        per_newton(strength, lifted),
        per_newton(strength / omega, lifted),
        code=code,
        formula=formula,
        source="AISC 360 chapter K; EN 1993-1-8 table 7.11; of a leg or flange as a cantilever (judgement)",
        figures=(
            length("t", member.thickness, "wall, leg or flange"),
            force("F", strength, "straight up on the whole base"),
            number("share", lifted, "of the pull, with what tips the base"),
        ),
    )
