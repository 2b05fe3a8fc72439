"""What keeps a cross-member that a ring is welded to from bending along the trailer: the deck's screws, and itself."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec.structs import replace

from anchorcalc.links.beam import own_member_bending
from anchorcalc.links.beside import nearest_line
from anchorcalc.links.common import Strength, both_levels, force, number, per_newton
from anchorcalc.links.deck import hold_down_sideways
from anchorcalc.rig.parts import Frame

if TYPE_CHECKING:
    from anchorcalc.links.common import Question
    from anchorcalc.rig.floor import FloorSetting


def member_kept(question: Question) -> Strength:
    """The deck's screws lean and the cross-member bends, upward and along the trailer.

    A row of screws takes most of a push on the bar that it holds within 1/λ of it: the screws so near share evenly.
    What they do not take bends a tube about both axes; other sections would twist, and count for nothing that way.
    Both together hold what each does (lower bound theorem). That the member is twisted is not counted.
    """
    count = _screws_near(question)
    low, allowable = (count * each for each in hold_down_sideways(question))
    share = _pushed(question)
    alone, upright = (
        own_member_bending(replace(question, pull=replace(question.pull, direction=way)))
        for way in ((0.0, 0.0, 1.0), (0.0, *question.pull.direction[1:]))
    )
    lifted = per_newton(alone.breaking, upright.breaking)  # of the pull, straight up and as it tips the ring across
    weaker = _about_the_other_axis(question.anchor.floor)

    def held(screws: float, bends: float) -> float:
        if weaker == 0:
            return per_newton(screws, share)
        return per_newton(bends + screws / weaker, lifted + share / weaker)

    return both_levels(
        question,
        held(low, alone.breaking),
        held(allowable, alone.working),
        code="AISI S100, Ω = 3, or NDS lateral value; AISC 360 F, Ω = 1.67",
        formula="(F + n V S / S_z) / (up + along S / S_z); of other sections than tubes n V / along",
        source="EN 1995-1-1 8.2.3, 8.20; AISI S100 J4.3; NDS 12.3; AISC 360 H1; Hetényi, beams on elastic foundations",
        figures=(
            force("V", low / max(count, 1), "low estimate of one screw of the deck, pushed sideways"),
            number("n", count, "screws of this member near the ring, that share"),
            force("F", alone.breaking, "straight up on the member alone"),
            number("S_z / S", weaker, "of the member along the trailer; none where it would twist"),
            number("along", share, "of the pull along the trailer, all rings near by on this member together"),
        ),
    )


def _screws_near(question: Question) -> int:
    """Screws in the member near the ring, as many as there must be."""
    anchor, floor = question.anchor, question.anchor.floor
    reach, half = question.basis.factor("held_along_member"), floor.half_width_at(anchor.base_at[0])
    room = min(reach, half - anchor.base_at[1]) + min(reach, half + anchor.base_at[1])
    if floor.plank_width is None:
        count = int(room / floor.hold_down_spacing + 1e-9)
    else:
        count = floor.screws_per_crossing * int(room / floor.plank_width + 1e-9)
    return max(count, 1) - (floor.hold_down_condition == "some missing")


def _pushed(question: Question) -> float:
    """Pull along the trailer on the member near the ring per newton of pull [-].

    Pulls against each other leave nothing; near each ring they do not cancel.
    """
    anchor, reach = question.anchor, question.basis.factor("held_along_member")
    pulls = [question.pull.direction[0]]
    for each in question.beside:
        other = each.anchor
        on_it = nearest_line(other.base_at[0], other.floor) == nearest_line(anchor.base_at[0], anchor.floor)
        if on_it and isinstance(other.mounting.backing, Frame) and abs(other.at[1] - anchor.at[1]) < 2 * reach:
            pulls.append(each.pull[0])
    return max(abs(pulls[0]), abs(sum(pulls)))


def _about_the_other_axis(floor: FloorSetting) -> float:
    """Section modulus of a tube for bending along the trailer, over that for bending upward [-]; nothing for others.

    Of thin walls: t b (d + b / 3) over t d (b + d / 3).
    """
    if floor.section.shape != "tube":
        return 0.0
    b, d = floor.section.width, floor.section.depth
    return b * (d + b / 3) / (d * (b + d / 3))
