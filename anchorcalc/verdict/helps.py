"""What would help where the verdict is not a pass: said only where it is known to be so of this set-up."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from anchorcalc.links.modes import advice
from anchorcalc.result.check import by_use
from anchorcalc.verdict.forces import Forces

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from anchorcalc.result.check import CaseResult, Result
    from anchorcalc.verdict.demand import StrappedLoad

_MUCH_TURNING: Final = 0.3  # of the greatest pull; judgement
_UNLIKE: Final = 0.01  # apart that ends of mirrored straps may be [m]; judgement
_UNLIKE_SHARE: Final = 0.05  # of the stiffest and of the tightest strap; judgement
_LESS: Final = 0.01  # of the use of an anchor; less than that is no help
_UPRIGHT: Final = 0.85


def help_lines(result: Result, forces: Forces) -> tuple[str, ...]:
    """What would help, drawn from the links that govern where the verdict is not a pass."""
    return tuple(dict.fromkeys(_help_lines(result, forces)))


def _help_lines(result: Result, forces: Forces) -> Iterator[str]:
    rig = forces.rig
    if any(not case.held for case in result.cases):
        yield "Add straps so that the load is held forward, rearward and to both sides: cross or splay them."
    for case in sorted(result.cases, key=by_use, reverse=True):
        for state in sorted(case.straps, key=by_use, reverse=True):
            if case.held and state.verdict != "pass":
                yield advice(state.weakest_key, rig.anchors[state.anchor])
    if result.rule_of_thumb.verdict != "pass":
        for strap, _, key, _ in result.rule_of_thumb.counted:
            for anchor, _ in rig.straps[strap].legs:
                yield advice(key, rig.anchors[anchor])
    if any(map(_turns, result.cases)) and not alike_on_both_sides(forces.load):
        yield (
            "Much of the pull only stops the load from turning, and the straps are not alike on both sides of its "
            "centre of gravity: set them alike."
        )
    too_tight = anchors_pulled_too_tight(result.cases, forces)
    if too_tight:
        whose = ", ".join(too_tight)
        yield f"Hand tension alone asks more than passes daily of {whose}: tighten less, or take a stronger mounting."
    if any(anchor.direction[2] > _UPRIGHT and anchor.working < result.weight / 4 for anchor in result.anchors):
        yield "A strap that runs nearly straight up lifts the deck and holds little along it: move its anchor outwards."
    if any(each.key == "sheets" for each in result.requirements):
        yield (
            "Say where the sheets meet, seen from below: sheets, joints_across and joints_along of each of deck.layers."
        )
    if rig.floor.hold_down_condition in ("rusted", "some missing") and "hold_down" in _failing(result):
        yield "Put in new screws where those that hold the deck down are rusted or missing; each then counts in full."
    if any(each.key == "stretch" for each in result.requirements):
        yield "Of straps of one size one that is rated lowest may be as stiff as the others: use straps rated alike."
    if any(each.key == "deck_screws" for each in result.requirements):
        yield (
            "Look at the screws that hold the deck down, each one by a ring and from below as well; put in what is "
            "missing or rusted, and say `hold_down.condition: sound`."
        )
    if result.unrated:
        yield "Find the ratings of the unrated parts, or replace them with rated ones."


def _failing(result: Result) -> set[str]:
    """Links that some strap loads too hard."""
    return {state.weakest_key for case in result.cases for state in case.straps if state.verdict != "pass"}


def _turns(case: CaseResult) -> bool:
    """Whether straps that are alike on both sides would leave less of its pull; a swerve turns any load."""
    straight = case.case not in ("left", "right")
    return straight and case.held and case.verdict != "pass" and case.turning_share > _MUCH_TURNING


def alike_on_both_sides(load: StrappedLoad) -> bool:
    """Whether the straps are their own mirror image about the load's centre of gravity."""
    stiffness, tension = load.stiffness[load.leg_of], load.hand_tension[load.leg_of]
    shares = [each / max(float(each.max()), 1e-9) / _UNLIKE_SHARE for each in (stiffness, tension)]
    ends = np.hstack([load.tie_points - load.centre, load.rings - load.centre]) / _UNLIKE
    legs = np.column_stack([ends, *shares])
    mirrored = legs * np.array([1, -1, 1, 1, -1, 1, 1, 1])
    return bool((np.abs(legs[:, None] - mirrored).max(axis=2) <= 1.0).any(axis=1).all())


def anchors_pulled_too_tight(cases: Sequence[CaseResult], forces: Forces) -> tuple[str, ...]:
    """Anchors that do not pass, of which hand tension alone asks more than passes daily, and half of it asks less."""
    limit, use = forces.rig.rules.pass_below, _use_of_anchors(cases)
    failing = [anchor for anchor, by_case in use.items() if max(by_case) > limit]
    tight = [anchor for anchor in failing if forces.use_by_hand(anchor) > limit]
    if not tight:
        return ()
    looser = Forces(forces.rig.with_hand_tension(times=0.5), forces.strengths)
    return tuple(anchor for anchor in tight if _eased(anchor, use[anchor], looser))


def _eased(anchor: str, use: Sequence[float], looser: Forces) -> bool:
    """Whether every case asks less of an anchor than now the hardest does; the likeliest not to is tried first."""
    hardest_first = sorted(range(len(use)), key=lambda number: -use[number])
    return all(looser.use_of_anchor(anchor, number) < (1 - _LESS) * max(use) for number in hardest_first)


def _use_of_anchors(cases: Sequence[CaseResult]) -> dict[str, list[float]]:
    """The most of its limit that each case asks of each anchor; infinite where it is not held."""
    found: dict[str, list[float]] = {state.anchor: [0.0] * len(cases) for case in cases for state in case.at_rings}
    for number, case in enumerate(cases):
        for state in case.at_rings:
            used = state.utilisation if case.held else np.inf
            found[state.anchor][number] = max(found[state.anchor][number], used)
    return found
