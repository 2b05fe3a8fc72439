"""What the numbers mean in plain words: why the verdict is what it is, what was not looked at."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from anchorcalc.result.check import RequirementKey, by_use
from anchorcalc.result.words import CASE_WORDS, not_met
from anchorcalc.rig.parts import Bars, Frame, Weld

if TYPE_CHECKING:
    from collections.abc import Iterator

    from anchorcalc.result.check import CaseResult, Result, StrapState
    from anchorcalc.rig.rig import Rig

_NOT_EXCLUDED: Final[dict[RequirementKey, str]] = {
    "deck_screws": "Nobody looked at the screws that hold the deck down; {}.",
    "bases": "Nobody measured the bases of the rings; {}.",
    "stretch": "Straps of one size are rated unlike; {}: it is as stiff as the others then.",
}
"""What keeps a pass from being one, with a place for what it would come to."""
GENERAL_CAUTIONS = (
    "An estimate, not a rating: the makers' ratings and the rules where you drive come first.",
    "Ask a licensed engineer for anything that carries people, is hired out, or is over the light-vehicle class.",
    "Rings, straps and hooks of unknown origin have no strength anyone can count on.",
    "Decay cannot be judged by eye: probe the deck from below; replace what is soft.",
    "Look at everything before each trip and again after the first miles; replace what was ever overloaded.",
)


def tyres_in_the_way(rig: Rig) -> Iterator[str]:
    """Straps that are counted as straight, and may not be."""
    if rig.through_tyres:
        names = ", ".join(rig.through_tyres)
        yield f"straps that cross a tyre, seen from above: {names}; bent round it they pull another way than counted"


def unseen_screws(rig: Rig) -> Iterator[str]:
    """The deck's screws where nobody looked at them and rings hang on them."""
    if rig.screws_unseen:
        yield (
            "whether hold-down screws are missing or rusted: with either the deck holds about half or less; look at "
            "each by a ring and say `hold_down.condition`"
        )


def not_checked(rig: Rig) -> Iterator[str]:
    """What nothing here has looked at for this set-up."""
    if rig.floor.joint is None:
        yield "the joints of cross-members and main rails"
    yield "the main rails and the frame under them"
    yield "the cross-members under the weight of the load: of the deck alone it is asked whether it bears the wheels"
    if rig.floor.steel is not None and rig.floor.steel.aluminium:
        if rig.floor.steel.welded is None:
            yield "aluminium beside welds, softer than the rest: a row of steels.yaml tells it by `welded`"
        if rig.floor.member.shape in ("channel", "i"):
            yield "channels and I-sections of aluminium: they turn over by steel's curve here, not by aluminium's own"
    if any(isinstance(anchor.mounting.backing, Bars) for anchor in rig.anchors.values()):
        yield "the undersides of the cross-members where bridge bars press on them"
    welded = [anchor.mounting.fasteners for anchor in rig.anchors.values()]
    if any(isinstance(each, Weld) for each in welded):
        unsaid = any(isinstance(each, Weld) and each.leg is None for each in welded)
        yield f"welds of rings to the frame: who made them, and how{'; nobody gave their size' if unsaid else ''}"
    if rig.floor.of_planks and len(welded) > sum(isinstance(each, Weld) for each in welded):
        apart = f"{rig.basis.shelf.fitting_factor('edge_of_panel'):g} times the fastener's diameter"
        yield f"the planks' edges: no hole of a ring is counted to stand nearer to one than {apart}"
    if any(
        anchor.mounting.in_member.any() or isinstance(anchor.mounting.backing, Frame) for anchor in rig.anchors.values()
    ):
        yield "cross-members under rings: that the deck's screws keep them from twisting"
    if any(anchor.mounting.ring_is_rated and anchor.mounting.ring_flat is None for anchor in rig.anchors.values()):
        yield "rings pulled at a low angle: many hold less there than their rating"
    yield "that the load is one stiff body: two things in one file would hold each other up"
    yield "the load's own frame where the straps hook on"
    if rig.trailer is None:
        yield "what the trailer may weigh, and what its axle and hitch bear: nobody gave `trailer`"
    yield "ball, hitch and tyres of the trailer"
    yield "edges that chafe a strap, hooks that slip, rust"
    if any(point.bare for point in rig.load.tie_points.values()):
        yield "tyres, axles and bodywork that straps lie on, and whether a strap stays on them"
    if any(strap.name != strap.tie_down for strap in rig.straps.values()):
        yield "the cleats or loops that keep straps from sliding"
    if rig.load.stops:
        yield "stops: that each touches the load, and what holds it to the deck beyond the rating given"


def reasons(result: Result) -> tuple[str, ...]:
    """Why the verdict is what it is, gravest first; one sentence each."""
    return tuple(_reasons(result))


def _reasons(result: Result) -> Iterator[str]:
    unheld = [case for case in result.cases if not case.held]
    if unheld:
        names = ", ".join(dict.fromkeys(CASE_WORDS[case.case] for case in unheld))
        yield f"Nothing holds the load in {names}: no set of strap pulls balances it."
    if result.only_crowded:
        yield from _crowded(result)
    yield from _force_reasons(result)
    if not result.only_crowded:
        yield from _crowded(result)
    for requirement in result.requirements:
        if requirement.key == "sheets":
            yield f"Nobody said where the deck's sheets meet; {requirement.provided}. These figures are of one piece."
        elif requirement.key in _NOT_EXCLUDED:
            yield _NOT_EXCLUDED[requirement.key].format(requirement.provided)
        elif requirement.verdict != "pass" and requirement.key != "room":
            yield not_met(requirement)
    thumb = result.rule_of_thumb
    if thumb.verdict != "pass":
        share = 100 * thumb.provided / thumb.required
        yield f"The counted ratings together are only {share:.0f} % of what the rule of thumb asks for."
    if result.unrated:
        yield f"Nobody rated: {', '.join(result.unrated)}. Unrated parts cannot pass."
    if result.verdict == "pass":
        yield "Every strap and anchor keeps its reserve in every case, and the sum of ratings is enough."


def _crowded(result: Result) -> Iterator[str]:
    if result.crowded:
        yield f"It cannot be built as written: {'; '.join(place.clash for place in result.crowded)}."


def _force_reasons(result: Result) -> Iterator[str]:
    """The hardest case of each weakest link that is not well inside its limit."""
    worst: dict[str, tuple[CaseResult, StrapState]] = {}
    for case in result.cases:
        for state in case.straps if case.held else ():
            known = worst.get(state.weakest_link)
            if known is None or by_use(state) > by_use(known[1]):
                worst[state.weakest_link] = case, state
    for link, (case, state) in sorted(worst.items(), key=lambda item: by_use(item[1][1]), reverse=True):
        if state.verdict == "pass":
            continue
        if state.limit <= 0:
            yield f"In {CASE_WORDS[case.case]}, strap {state.strap} hangs on what holds nothing: {link}."
        else:
            used = f"{100 * state.utilisation:.0f} % of its {case.level} limit"
            yield f"In {CASE_WORDS[case.case]}, strap {state.strap} loads '{link}' to {used}."
