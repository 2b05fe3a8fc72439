"""What the numbers mean in plain words: why the verdict is what it is, what would help."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from anchorcalc.result import CaseResult, Result, StrapState
    from anchorcalc.scenario.model import Scenario

GENERAL_CAUTIONS = (
    "An estimate, not a rating: the makers' ratings and the rules where you drive come first.",
    "Ask a licensed engineer for anything that carries people, is hired out, or is over the light-vehicle class.",
    "Rings, straps and hooks of unknown origin have no strength anyone can count on.",
    "Decay cannot be judged by eye: probe the deck from below; replace what is soft.",
    "Look at everything before each trip and again after the first miles; replace what was ever overloaded.",
)

CASE_WORDS = {
    "forward": "braking",
    "rearward": "pulling away",
    "left": "a swerve to the right",
    "right": "a swerve to the left",
    "upward": "a bump",
}
CASE_SHORT = {
    "forward": "braking",
    "rearward": "pulling away",
    "left": "swerve right",
    "right": "swerve left",
    "upward": "bump",
}

_HELP = {
    "screw": "Screws in wood are what gives: use bolts with a steel plate under the deck.",
    "wood crushes": "More bearing under the nuts helps: a thicker plate, or thicker and larger washers.",
    "washer pulls": "The washers go through the deck: a steel plate under all bolts spreads the pull.",
    "the group punches": "The plate takes its piece of deck along: a larger pattern, another layer, or a way to steel.",
    "deck": "The deck itself is what gives: move the anchor nearer to a cross-member, add a layer, turn the face grain "
    "along the trailer, or take the pull to steel with a bridge bar or through a cross-member.",
    "plies": "The plies of the deck shear: add a layer, or take the pull to steel.",
    "hold-down": "The deck would come off its cross-members: more hold-down screws near the anchor, or a bridge bar.",
    "bolt breaks": "Larger bolts or a better grade help here.",
    "bolts give way sideways": "The bolts crush the wood sideways: more or larger bolts, or a thicker deck.",
    "cross-member bends": "The cross-member bends: put the anchor nearer to a main rail, or give the rails' distance "
    "if it was assumed.",
    "leg of": "The leg of the cross-member bends: a plate washer that spans the leg, or a bridge bar.",
    "wall of": "The tube's wall folds: take the bolts through both walls with a plate under the far one.",
    "bolts miss the bridge": "The bolts must meet the bars between two cross-members: wider, two, or elsewhere.",
    "bolts miss": "Move the anchor so that its bolts meet a cross-member, or choose another mounting.",
    "bridge bar has no": "Move the ring to where a cross-member lies on both sides of it, or choose another mounting.",
    "bridge bar": "A thicker or wider bar, or two bars, would hold more.",
    "ring": "The ring's own rating is the limit: a ring with a higher rating.",
    "strap": "The strap is the limit: a strap with a higher rating, or more straps.",
    "tie point": "The tie point on the load is the limit: another point, or a strap round the axle or wheels.",
}


def reasons(result: Result) -> tuple[str, ...]:
    """Why the verdict is what it is, gravest first; one sentence each."""
    return tuple(_reasons(result))


def _reasons(result: Result) -> Iterator[str]:
    unheld = [case for case in result.cases if not case.held]
    if unheld:
        names = ", ".join(dict.fromkeys(CASE_WORDS[case.case] for case in unheld))
        yield f"Nothing holds the load in {names}: no set of strap pulls balances it."
    for requirement in result.requirements:
        if requirement.verdict != "pass":
            yield (f"The rules ask for {requirement.required} ({requirement.name}); found {requirement.provided}.")
    yield from _force_reasons(result)
    thumb = result.rule_of_thumb
    if thumb.verdict != "pass":
        share = 100 * thumb.provided / thumb.required
        yield f"The counted ratings together are only {share:.0f} % of what the rule of thumb asks for."
    if result.unrated:
        yield f"Nobody rated: {', '.join(result.unrated)}. Unrated parts cannot pass."
    if result.verdict == "pass":
        yield "Every strap and anchor keeps its reserve in every case, and the sum of ratings is enough."


def _force_reasons(result: Result) -> Iterator[str]:
    """The hardest case of each weakest link that is not well inside its limit."""
    worst: dict[str, tuple[CaseResult, StrapState]] = {}
    for case in result.cases:
        for state in case.straps if case.held else ():
            known = worst.get(state.weakest_link)
            if known is None or state.utilisation > known[1].utilisation:
                worst[state.weakest_link] = case, state
    limits = {"pass": 0, "marginal": 1, "fail": 2}
    for link, (case, state) in sorted(worst.items(), key=lambda item: -item[1][1].utilisation):
        if limits[_verdict_of_state(case, state)] == 0:
            continue
        if state.limit <= 0:
            yield f"In {CASE_WORDS[case.case]}, strap {state.strap} hangs on what holds nothing: {link}."
        else:
            used = f"{100 * state.utilisation:.0f} % of its {case.level} limit"
            yield f"In {CASE_WORDS[case.case]}, strap {state.strap} loads '{link}' to {used}."


def _verdict_of_state(case: CaseResult, state: StrapState) -> str:
    """A strap's own verdict: never better than the ratio to the case's worst strap tells."""
    if state.utilisation >= case.utilisation:
        return case.verdict
    if state.utilisation > 1.0:
        return "fail"
    return "pass" if case.verdict == "pass" or state.utilisation <= 0.8 else "marginal"


def help_lines(result: Result, scenario: Scenario) -> tuple[str, ...]:
    """What would help, drawn from the links that govern where the verdict is not a pass."""
    lines: dict[str, None] = {}
    if any(not case.held for case in result.cases):
        lines["Add straps so that the load is held forward, rearward and to both sides: cross or splay them."] = None
    for case in sorted(result.cases, key=lambda case: -case.utilisation):
        for state in sorted(case.straps, key=lambda state: -state.utilisation):
            if case.held and _verdict_of_state(case, state) != "pass":
                lines.update(dict.fromkeys(_help_for(state.weakest_link)))
    if result.rule_of_thumb.verdict != "pass":
        for _, _, part in result.rule_of_thumb.counted:
            lines.update(dict.fromkeys(_help_for(part)))
    if any(case.held and case.turning_share > 0.3 and case.verdict != "pass" for case in result.cases):
        lines[
            "Much of the pull only stops the load from turning: set the straps alike on both sides, or cross them."
        ] = None
    if any(case.case == "upward" and case.held and case.verdict != "pass" for case in result.cases):
        lines[
            "Hand tension alone may load the anchors more than they hold daily: tighten less, or make them stronger."
        ] = None
    if any(anchor.direction[2] > 0.85 and anchor.working < result.weight / 4 for anchor in result.anchors):
        lines[
            "A strap that runs nearly straight up lifts the deck and holds little along it: move its anchor outwards."
        ] = None
    if result.unrated:
        lines["Find the ratings of the unrated parts, or replace them with rated ones."] = None
    return tuple(lines)


def _help_for(link: str) -> list[str]:
    return [text for start, text in _HELP.items() if link.startswith(start)][:1]
