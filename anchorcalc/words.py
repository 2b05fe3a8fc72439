"""What the numbers mean in plain words: why the verdict is what it is, what would help, what looks odd."""

from __future__ import annotations

from typing import TYPE_CHECKING

from anchorcalc.units import SI, US, Dimension, UnitSystem, format_quantity

if TYPE_CHECKING:
    from collections.abc import Iterator

    from anchorcalc.catalog import Catalog
    from anchorcalc.result import CaseResult, Result, StrapState
    from anchorcalc.scenario.model import Scenario, Strap

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


def plausibility_warnings(scenario: Scenario, catalog: Catalog) -> tuple[str, ...]:
    """What looks odd without being impossible, each with the usual range."""
    return tuple(_warnings(scenario, catalog))


def _warnings(scenario: Scenario, catalog: Catalog) -> Iterator[str]:
    load, deck = scenario.load, scenario.deck
    units = US if scenario.units == "us" else SI
    if load.kind is not None and f"weight of a {load.kind}" in catalog.usual_ranges:
        yield from _outside(catalog, f"weight of a {load.kind}", load.weight, f"weight of {load.name}", units)
    for number, layer in enumerate(deck.layers, start=1):
        yield from _outside(
            catalog, "thickness of a deck layer", layer.thickness, f"thickness of layer {number}", units
        )
    yield from _outside(
        catalog, "spacing of cross-members", deck.cross_members.spacing, "spacing of the cross-members", units
    )
    yield from _outside(
        catalog, "spacing of hold-down screws", deck.hold_down.spacing, "spacing of the hold-down screws", units
    )
    for name, strap in scenario.straps.items():
        yield from _strap_warnings(name, strap, catalog, units)
    if load.friction > 0:
        yield (
            f"Friction of {load.friction:g} under the wheels is counted: true only while they are locked and the deck "
            "is clean and dry. Look at the pulls without it too: strongly slanted straps can come out low with it."
        )
    kinds = {strap.kind for strap in scenario.straps.values()}
    if len(kinds) > 1:
        yield f"{' and '.join(sorted(kinds))} on one load: the stiffer kind takes nearly all of the pull."
    xs, ys = zip(*load.wheels.values(), strict=True)
    x, y, z = load.centre_of_gravity
    if z > max(ys) - min(ys) or z == 0:
        height = format_quantity(z, units.length, "length", 3)
        yield f"The centre of gravity is {height} above the deck: unlikely for wheels so far apart."
    if abs(y - (max(ys) + min(ys)) / 2) > 0.2 * (max(ys) - min(ys)):
        yield "The centre of gravity lies far to one side: look at its numbers again."
    if not (min(xs) <= x <= max(xs) and min(ys) <= y <= max(ys)):
        yield "The centre of gravity lies outside the wheels: look at its numbers again."


def _strap_warnings(name: str, strap: Strap, catalog: Catalog, units: UnitSystem) -> Iterator[str]:
    if strap.route == "over":
        yield (
            f"Strap {name} is counted in full because the file says it goes over the load; that is right only if it "
            "runs to an anchor on the other side."
        )
    if strap.hand_tension is not None:
        yield from _outside(catalog, "hand tension", strap.hand_tension, f"hand tension of strap {name}", units)
    if strap.kind == "webbing" and strap.rated is not None and strap.width is not None:
        per_inch = strap.rated / (strap.width / 0.0254)
        if per_inch > catalog.usual_ranges["rating of webbing per width"].limits()[1] * 1.001:
            rating = format_quantity(strap.rated, units.force, "force", 3)
            yield (
                f"Strap {name} is rated {rating}: much for its width. Is that its breaking strength? "
                "Then write it as breaking."
            )


def _outside(catalog: Catalog, row: str, value: float, what: str, units: UnitSystem) -> Iterator[str]:
    usual = catalog.usual_ranges[row]
    least, most = usual.limits()
    if not least <= value <= most:
        unit = _READING_UNIT[units.name][usual.dimension]
        shown, low, high = (format_quantity(each, unit, usual.dimension, 3) for each in (value, least, most))
        yield f"{what[0].upper()}{what[1:]} is {shown}; usual is {low} to {high}."


_READING_UNIT: dict[str, dict[Dimension, str]] = {
    "us": {"length": "in", "force": "lbf", "weight": "lb"},
    "si": {"length": "mm", "force": "kN", "weight": "kg"},
}
