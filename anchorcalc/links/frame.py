"""Links of a ring that is welded to the frame: its weld, and what of the cross-member it stands on."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from anchorcalc.links.beside import nearest_line
from anchorcalc.links.common import Strength, both_levels, force, length, nothing, number, per_newton
from anchorcalc.mechanics import members
from anchorcalc.rig.parts import Frame, Weld

if TYPE_CHECKING:
    from anchorcalc.links.common import Question
    from anchorcalc.rig.parts import AnchorSetting

_OFF = (
    "no cross-member and no main rail that the file tells of lies under the ring: give cross_members.also_at or rails, "
    "or put the ring over one"
)


def on_frame(question: Question) -> bool:
    """Whether the ring is welded to the frame."""
    return isinstance(question.anchor.mounting.backing, Frame)


def on_member(question: Question) -> bool:
    """Whether it is welded to a cross-member: its base reaches the middle of one's face."""
    anchor = question.anchor
    x = anchor.base_at[0]
    return on_frame(question) and abs(nearest_line(x, anchor.floor) - x) <= anchor.floor.member.width / 2 + 1e-9


def on_nothing(question: Question) -> bool:
    """Whether no steel is known where it is said to be welded."""
    return on_frame(question) and not on_member(question) and not _on_rail(question.anchor)


def _on_rail(anchor: AnchorSetting) -> bool:
    rails = anchor.floor.rails_measured
    return rails is not None and abs(abs(anchor.base_at[1]) - rails / 2) <= anchor.mounting.covers[1] / 2 + 1e-9


def has_weld(question: Question) -> bool:
    """Whether somebody said how it is welded."""
    fasteners = question.anchor.mounting.fasteners
    return isinstance(fasteners, Weld) and fasteners.leg is not None


def off_the_frame(_: Question) -> Strength:
    """A ring in mid-air."""
    return nothing(_OFF, "positions in the scenario")


def _lifted(question: Question) -> tuple[float, float, float]:
    """Height of the pull above the frame, narrow side of the base [m], and what lifts it by its more loaded half [-].

    The frame lies under the deck, so the pull tips the base about its narrow way by its height and the deck's
    thickness: n / 2 + h s / b on one half, as if the whole were pulled by twice that.
    """
    anchor, pull = question.anchor, question.pull
    h, b = anchor.mounting.pull_height + anchor.floor.thickness, min(anchor.mounting.base)
    return h, b, pull.normal + 2 * h * pull.in_plane / b


def weld(question: Question) -> Strength:
    """The fillet weld of the ring breaks, or the steel of the member beside it."""
    anchor, basis, fasteners = question.anchor, question.basis, question.anchor.mounting.fasteners
    leg, run = (fasteners.leg or 0.0, fasteners.run or 0.0) if isinstance(fasteners, Weld) else (0.0, 0.0)
    strength = float(members.fillet_weld_nominal(basis.factor("weld_electrode"), leg, run))
    if on_member(question):
        strength = min(strength, 0.6 * anchor.floor.member_steel.F_u * anchor.floor.member.thickness * run)
    h, b, lifted = _lifted(question)
    share = float(np.hypot(lifted, question.pull.in_plane))
    return both_levels(
        question,
        per_newton(strength, share),
        per_newton(strength / basis.factor("aisc_weld"), share),
        code="AISC 360 J2 and J4, Ω = 2",
        formula="least of 0.6 F_EXX · 0.707 a L and 0.6 F_u t L over √((n + 2 h s / b)² + s²)",
        source="AISC 360 J2.4, J4.2; elastic method, half of the weld on each of two sides (Manual part 8)",
        figures=(
            length("a", leg, "leg of the weld"),
            length("L", run, "of weld"),
            length("h", h, "pull above the frame: pull height and the deck's thickness"),
            length("b", b, "between the two sides of the base that the weld lies on"),
            number("share", share, "of the pull on the weld, by its more loaded half"),
        ),
    )


def wall(question: Question) -> Strength:
    """The face of the cross-member folds or bends under the ring's base."""
    anchor, basis = question.anchor, question.basis
    member, F_y = anchor.floor.member, anchor.floor.member_steel.F_y
    along, across = anchor.mounting.covers
    *_, lifted = _lifted(question)
    if member.shape == "tube":
        beta = min(along / member.width, basis.factor("tube_wall_widest_seat"))
        strength = float(members.tube_wall_yield_line(member.thickness, F_y, beta, across / member.width))
        omega, code = basis.factor("aisc_tube_wall"), "AISC 360 K, Ω = 1.5"
        formula = "F_y t² [2 η / (1 − β) + 4 / √(1 − β)] over n + 2 h s / b"
    else:
        arm = (
            member.width / 2 - member.thickness + abs(nearest_line(anchor.base_at[0], anchor.floor) - anchor.base_at[0])
        )
        strength = 0.25 * across * member.thickness**2 * F_y / arm
        omega, code = basis.factor("aisc_flexure"), "AISC 360 F, Ω = 1.67"
        formula = "0.25 l t² F_y / m over n + 2 h s / b, l the base along the member"
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
            number("share", lifted, "of the pull, by the more loaded half of the base"),
        ),
    )
