"""What was assumed or guessed and alone decides the verdict: the range in which it would be better.

The verdict stays by the worse end. Each value is tried at its other end on a variant of the rig; hand tension, which
nobody measures, by bisection. A pass has one at most: how tight its straps may be, where a firm pull undoes it.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

from msgspec import Struct
from msgspec.structs import replace

from anchorcalc.links.path import Strengths
from anchorcalc.result.check import Condition
from anchorcalc.result.strength import GRAVITY
from anchorcalc.rig.resolve import resolve
from anchorcalc.units import format_quantity, unit_system, unit_worth
from anchorcalc.verdict.check import apart_from_ratings, judged
from anchorcalc.verdict.forces import Forces
from anchorcalc.verdict.rules import verdict_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.result.check import CaseResult, ConditionKey, Result
    from anchorcalc.result.strength import Verdict
    from anchorcalc.rig.rig import Rig
    from anchorcalc.scenario.model import Scenario
    from anchorcalc.scenario.mountings import Fasteners, Mounting, Ring

_STEPS: Final = {"us": (10.0, 50.0), "si": (0.05, 0.25)}  # of hand tensions and ratings that are told [lbf, kN]
_LEAST_TENSION: Final = 50.0  # a strap with less is loose [N]; judgement
_FIRMLY: Final = 1779.3  # 400 lbf, what `start` takes for a firm pull: half of all of a hand's [N]; judgement
_STURDY_BASE: Final = 0.00635  # thickness of a forged or cut base [m]; judgement
_STURDY_STEEL: Final = "mild"
_FIRST_SCREWS: Final = (0.25, 0.5, 0.75)  # places of the first hold-down screw that are tried, in spacings

_SOUND: Final = "each deck screw by a ring is there and not rusted"

_DECK: Final = frozenset({"panel_bending", "rolling_shear", "hold_down", "deck_slides", "deck_pushed", "member_kept"})
_HOLD_DOWN: Final = frozenset({"hold_down", "deck_slides", "deck_pushed"})  # what the place of its screws changes most
_ALL: Final = None


class _Guess(Struct, frozen=True):
    """One value nobody gave, at its other end."""

    key: ConditionKey
    what: str
    taken: str
    words: str  # with a place for the value
    value: str
    scenario: Scenario
    links: frozenset[str] | None
    """Links that know the value; None for any."""


def with_conditions(
    result: Result, rig: Rig, scenario: Scenario, catalog: Catalog, strengths: Strengths | None = None
) -> Result:
    """`result` of `rig` with its conditions: what would let it pass, or how tight its straps may be to do so.

    `strengths` are those that its check found.
    """
    search = _Search(result, rig, scenario, catalog, strengths or Strengths(rig.basis))
    return replace(result, conditions=tuple(search.tightest() if result.verdict == "pass" else search.run()))


class _Search:
    def __init__(self, result: Result, rig: Rig, scenario: Scenario, catalog: Catalog, strengths: Strengths) -> None:
        self._result, self._rig, self._scenario, self._catalog = result, rig, scenario, catalog
        self._units = unit_system(rig.units)
        self._strengths = strengths
        self._now = apart_from_ratings(result)
        self._as_sound = rig.screws_unseen and self._now != "pass"
        """Whether screws of the deck that nobody looked at are told as a further condition, and count as sound."""
        self._cases = sorted(range(len(result.cases)), key=lambda number: -result.cases[number].utilisation)

    def run(self) -> Iterator[Condition]:
        if any(each.key in ("deck_screws", "bases") for each in self._result.requirements):
            first = self._to_exclude()
            yield first
            yield from (_with(first.passes_if, each) for each in self._ratings() if self._result.unrated)
        elif self._as_sound:
            yield from (_with(_SOUND, each) for each in self._found())
        else:
            yield from self._found()

    def _to_exclude(self) -> Condition:
        """What has to be excluded so that it passes: all else does."""
        unmet = {each.key for each in self._result.requirements if each.verdict != "pass"}
        then: Verdict = "marginal" if self._result.unrated or not unmet <= {"deck_screws", "bases"} else "pass"
        thick = [self._length(each.base_may_be[0]) for each in self._rig.used_mountings if each.base_unsaid]
        measured = f"the bases of the rings are measured: {' and '.join(dict.fromkeys(thick))} thick"
        if "deck_screws" not in unmet:
            return Condition("base", "bases of the rings", "thin, though nobody measured", measured, then)
        also = f"; and {measured}" if "bases" in unmet else ""
        return Condition("deck_screws", "the deck's screws", "sound, though nobody looked", f"{_SOUND}{also}", then)

    def _found(self) -> Iterator[Condition]:
        if self._now != "pass":
            yield from self._sliding()
        if self._now == "pass":
            yield from self._ratings()
        elif not self._hopeless():
            yield from self._hand_tension()
            if all(case.held for case in self._cases_beside()):  # else nothing guessed lets it balance
                yield from self._guesses()

    def _hopeless(self) -> bool:
        """Whether something fails that no assumed value has a part in."""
        unmet = {each.key for each in self._result.requirements if each.verdict != "pass"}
        by_assumed = {"older_rule", "without_friction", "without_stops"}
        return any(not case.held for case in self._result.cases) or bool(unmet - by_assumed)

    def _cases_beside(self) -> list[CaseResult]:
        """Cases solved for a requirement that is not met: without friction, without stops."""
        return [case for each in self._result.requirements if each.verdict != "pass" for case in each.cases]

    def _verdict(self, rig: Rig) -> Verdict:
        return apart_from_ratings(judged(self._forces(rig), screws_sound=self._as_sound))

    def _forces(self, rig: Rig) -> Forces:
        """Of a variant; nobody asks it for ratings."""
        return Forces(replace(rig, unrated_parts=()), self._strengths)

    def _at_tension(self, least: float, most: float) -> Forces:
        return self._forces(self._rig.with_hand_tension(least=least, most=most))

    def _tightened(self, *, least: float = 0.0, most: float = math.inf) -> Verdict:
        return self._whole(self._at_tension(least, most))

    def _whole(self, forces: Forces) -> Verdict:
        """Verdict on what is as the first rig but for its hand tension, and fitted as that is."""
        return apart_from_ratings(judged(forces, self._result.sheet, screws_sound=self._as_sound))

    def _reaches(self, wanted: Verdict, *, least: float = 0.0, most: float = math.inf) -> bool:
        """Whether tightened so the verdict is `wanted` or better; the case that last was not is asked first."""
        forces = self._at_tension(least, most)
        for number in self._cases:
            if GRAVITY[verdict_of(forces.use(number), self._rig.rules)] > GRAVITY[wanted]:
                self._cases.remove(number)
                self._cases.insert(0, number)
                return False
        return GRAVITY[self._whole(forces)] <= GRAVITY[wanted]

    def _better(self, verdict: Verdict) -> bool:
        return GRAVITY[verdict] < GRAVITY[self._now]

    # --- parts that nobody rated

    def _ratings(self) -> Iterator[Condition]:
        """On the trailer everything passes; how much the unrated parts of the load would have to be rated."""
        points = [part.removeprefix("tie point ") for part in self._result.unrated if part.startswith("tie point ")]
        others = [part for part in self._result.unrated if not part.startswith("tie point ")]
        if others:
            words = f"the {', '.join(others)} had a maker's rating that is enough"
            yield Condition("ratings", "ratings", "nobody rated them", words, "marginal" if points else "pass")
        if points and not others:
            least = self._round_up(max(self._asked_of(point) for point in points))
            if self._verdict(self._rated(points, least)) == "pass":
                words = (
                    f"{', '.join(points)} on the vehicle hold {self._force(least)} by the maker's word or by a rated "
                    "axle strap; on the trailer everything passes"
                )
                yield Condition("tie_point_ratings", "ratings on the vehicle", "nobody rated them", words, "pass")

    def _asked_of(self, point: str) -> float:
        """Least working limit that a tie point needs to pass [N]."""
        multiple, reserve = self._rig.rules.breaking_over_rated["hardware"], self._rig.rules.pass_below
        bearing = {
            name: sum(part for each, part in zip(strap.course, strap.bearing, strict=True) if each == point)
            for name, strap in self._rig.straps.items()
        }
        needed = [0.0]
        for case in self._result.cases:
            pull = sum(state.tension * bearing[state.strap] for state in case.straps)
            needed.append(pull / reserve / (multiple if case.level == "breaking" else 1.0))
        return max(needed)

    def _rated(self, points: list[str], limit: float) -> Rig:
        multiple = self._rig.rules.breaking_over_rated["hardware"]
        rated = {
            name: replace(self._rig.load.tie_points[name], rated=limit, breaking=limit * multiple) for name in points
        }
        load = replace(self._rig.load, tie_points={**self._rig.load.tie_points, **rated})
        return replace(self._rig, load=load)

    # --- straps of which nobody said whether they slide

    def _sliding(self) -> Iterator[Condition]:
        straps = self._scenario.straps
        unsaid = [name for name, strap in straps.items() if strap.over is not None and strap.slides is None]
        if not unsaid:
            return
        kept = {name: straps[name].model_copy(update={"slides": "no"}) for name in unsaid}
        variant = self._scenario.model_copy(update={"straps": {**straps, **kept}})
        verdict = self._verdict(resolve(variant, self._catalog))
        if self._better(verdict):
            words = f"cleats of the tyres, or loops, keep {', '.join(unsaid)} from sliding (slides: no)"
            yield Condition("slides", "straps over points", "they slide", words, verdict)

    # --- hand tension

    def _hand_tension(self) -> Iterator[Condition]:
        hardest = max(strap.hand_tension for strap in self._rig.straps.values())
        loosest = self._now if hardest <= _LEAST_TENSION else self._tightened(most=_LEAST_TENSION)
        if not self._better(loosest):
            return
        told = _greatest(self._step(0), _LEAST_TENSION, hardest, lambda most: self._reaches(loosest, most=most))
        verdict = loosest if loosest == "pass" else self._tightened(most=told)
        words = f"each strap is ratcheted to no more than {self._force(told)}"
        yield Condition("hand_tension", "hand tension", self._force(hardest), words, verdict)

    def tightest(self) -> Iterator[Condition]:
        """The hand tension a pass hangs on, where a firm pull at the ratchets undoes it."""
        hardest = max(strap.hand_tension for strap in self._rig.straps.values())
        firmly = "pass" if hardest >= _FIRMLY else self._tightened(least=_FIRMLY)
        if firmly == "pass":
            return
        told = _greatest(self._step(1), hardest, _FIRMLY, lambda least: self._reaches("pass", least=least))
        then = "fails" if firmly == "fail" else "is marginal"
        most, firm = self._force(told), self._force(_FIRMLY)
        words = f"Passes up to {most} of hand tension; at {firm}, a firm pull, it {then}."
        yield Condition("hand_tension", "hand tension", "", words, "pass")

    # --- what else was assumed

    def _guesses(self) -> Iterator[Condition]:
        failing = self._failing()
        found = []
        for guess in _all_guesses(self._scenario, self._catalog, self._units.length):
            if guess.links is None or failing <= guess.links:
                verdict = self._verdict(resolve(guess.scenario, self._catalog))
                if self._better(verdict):
                    found.append((guess, verdict))
        yield from _joined(found)

    def _failing(self) -> frozenset[str]:
        """Every link that keeps a strap, or the sums, from passing."""
        reserve, keys = self._rig.rules.pass_below, set()
        strengths = {each.anchor: each for each in self._result.anchors}
        for case in (*self._result.cases, *self._cases_beside()):
            for state in case.straps:
                if state.verdict != "pass":
                    keys.add(state.weakest_key)
                    links = strengths[state.anchor].links
                    keys |= {link.key for link in links if link.at(case.level) * reserve < state.tension}
        if self._result.rule_of_thumb.verdict != "pass":
            keys |= {key for _, _, key, _ in self._result.rule_of_thumb.counted}
        return frozenset(keys)

    # --- in words

    def _force(self, newtons: float) -> str:
        return format_quantity(newtons, self._units.force, "force", 3)

    def _length(self, metres: float) -> str:
        return format_quantity(metres, self._units.length, "length", 3)

    def _step(self, which: int) -> float:
        return _STEPS[self._units.name][which] * unit_worth(self._units.force, "force")

    def _round_up(self, newtons: float) -> float:
        step = self._step(1)
        return math.ceil(newtons / step - 1e-9) * step


def _with(more: str, found: Condition) -> Condition:
    """A condition that lets it pass with something `more` that nobody said."""
    return replace(found, passes_if=f"{found.passes_if}; and {more}") if found.verdict_then == "pass" else found


def _greatest(step: float, known: float, beyond: float, reaches: Callable[[float], bool]) -> float:
    """The greatest whole number of steps below `beyond` that still reaches what was asked; at least what is `known` to.

    No hand tells less than a step.
    """
    low, high = math.floor(known / step), math.ceil(beyond / step - 1e-9)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if reaches(middle * step) else (low, middle)
    return max(low * step, known)


def _joined(found: list[tuple[_Guess, Verdict]]) -> Iterator[Condition]:
    """Values of one thing that end alike told as one condition: this or that."""
    alike: dict[tuple[ConditionKey, str, str, str, Verdict], list[str]] = {}
    for guess, verdict in found:
        alike.setdefault((guess.key, guess.what, guess.taken, guess.words, verdict), []).append(guess.value)
    for (key, what, taken, words, verdict), values in alike.items():
        yield Condition(key, what, taken, words.format(" or ".join(values)), verdict)


# --- values nobody gave ---------------------------------------------------------------------------------------


def _all_guesses(scenario: Scenario, catalog: Catalog, unit: str) -> Iterator[_Guess]:
    yield from _of_hold_down(scenario, unit)
    yield from _of_layers(scenario)
    yield from _of_rails(scenario, unit)
    used = {anchor.mounting for anchor in scenario.anchors.values()}
    for name in (name for name in scenario.mountings if name in used):
        yield from _of_fasteners(name, scenario, catalog)
        yield from _of_base(name, scenario, unit)
        yield from _of_walls(name, scenario, catalog)


def _with_deck(scenario: Scenario, **changes: Any) -> Scenario:
    return scenario.model_copy(update={"deck": scenario.deck.model_copy(update=changes)})


def _with_mounting(name: str, scenario: Scenario, **changes: Any) -> Scenario:
    mounting: Mounting = scenario.mountings[name].model_copy(update=changes)
    return scenario.model_copy(update={"mountings": {**scenario.mountings, name: mounting}})


def _of_hold_down(scenario: Scenario, unit: str) -> Iterator[_Guess]:
    hold_down, count = scenario.deck.hold_down, len(scenario.deck.layers)
    if hold_down.heads_on is None and count > 1:
        through = _with_deck(scenario, hold_down=hold_down.model_copy(update={"heads_on": 1}))
        value = "both" if count == 2 else f"all {count}"
        words, links = "the deck's screws go through {} layers", frozenset({"hold_down"})
        yield _Guess("heads_on", "hold-down screws", "through the lowest alone", words, value, through, links)
    if hold_down.first_at is None:
        for share in _FIRST_SCREWS:
            first = share * hold_down.spacing
            shown = format_quantity(first, unit, "length", 3)
            variant = _with_deck(scenario, hold_down=hold_down.model_copy(update={"first_at": first}))
            words = f"the first hold-down screw stands {{}} from the {scenario.deck.rows_begin_at}"
            yield _Guess("first_at", "first hold-down screw", "the worst place", words, shown, variant, _HOLD_DOWN)


def _of_layers(scenario: Scenario) -> Iterator[_Guess]:
    layers = scenario.deck.layers
    if all(layer.face_grain is not None for layer in layers):
        return
    for way in ("along", "across"):
        laid = tuple(
            layer if layer.face_grain is not None else layer.model_copy(update={"face_grain": way}) for layer in layers
        )
        words, variant = "the face grain runs {} the trailer", _with_deck(scenario, layers=laid)
        yield _Guess("face_grain", "face grain", "the worse way", words, way, variant, _DECK | {"pull_through"})


def _of_rails(scenario: Scenario, unit: str) -> Iterator[_Guess]:
    members, length = scenario.deck.cross_members, scenario.deck.length
    if members.rails is not None or members.beams is not None:
        return
    wood = {"timber_own", "timber_beside", "timber_shear"}
    links = frozenset({"member_beside", "own_member", "under_ring", "member_kept", "member_joint"} | wood)
    if members.run == "lengthwise":
        for beams, where in ((0.0, length), "at both ends"), ((0.0, length / 2, length), "at both ends and the middle"):
            variant = _with_deck(scenario, cross_members=members.model_copy(update={"beams": beams}))
            words = "the members rest on beams {}"
            yield _Guess("beams", "beams under the members", "two alone, the worst ones", words, where, variant, links)
        return
    for share in (0.5, 0.75, 1.0):
        apart = share * scenario.deck.width
        variant = _with_deck(scenario, cross_members=members.model_copy(update={"rails": apart}))
        words, shown = "the main rails are {} apart", format_quantity(apart, unit, "length", 3)
        yield _Guess("rails", "main rails", "the worst distance", words, shown, variant, links)


def _of_fasteners(name: str, scenario: Scenario, catalog: Catalog) -> Iterator[_Guess]:
    fasteners: Fasteners | None = scenario.mountings[name].fasteners
    if fasteners is None:
        return
    if fasteners.kind != "bolt" and fasteners.holes is None:
        fresh = _with_mounting(name, scenario, fasteners=fasteners.model_copy(update={"holes": "new"}))
        words, links = "the ring's screws are driven into {} holes", frozenset({"old_holes"})
        yield _Guess("holes", "screw holes", "driven again into old ones", words, "new", fresh, links)
    if fasteners.kind == "bolt" and fasteners.grade is None:
        metric = catalog.thread(fasteners.size).series == "metric"
        taken, usual = ("ISO 4.6", "ISO 8.8") if metric else ("A307 A", "SAE 5")
        better = _with_mounting(name, scenario, fasteners=fasteners.model_copy(update={"grade": usual}))
        links = frozenset({"bolt_steel", "bolt_sideways"})
        yield _Guess("grade", "bolt grade", taken, "the bolts are marked {}", usual, better, links)


def _of_base(name: str, scenario: Scenario, unit: str) -> Iterator[_Guess]:
    ring: Ring = scenario.mountings[name].ring
    sturdy: dict[str, Any] = {}
    if ring.base_thickness is None:
        sturdy["base_thickness"] = _STURDY_BASE
    if ring.base_steel is None:
        sturdy["base_steel"] = _STURDY_STEEL
    if sturdy:
        shown = format_quantity(ring.base_thickness or _STURDY_BASE, unit, "length", 3)
        words = "the ring's base is {} of mild steel or stronger"
        variant = _with_mounting(name, scenario, ring=ring.model_copy(update=sturdy))
        yield _Guess("base", "ring's base", "a thin pressed one", words, shown, variant, _ALL)


def _of_walls(name: str, scenario: Scenario, catalog: Catalog) -> Iterator[_Guess]:
    backing = scenario.mountings[name].backing
    section = scenario.deck.cross_members.section
    tube = section is not None and catalog.member(section).shape == "tube"
    if backing.kind == "member" and backing.walls is None and tube:
        both = _with_mounting(name, scenario, backing=backing.model_copy(update={"walls": "both"}))
        links = frozenset({"tube_wall", "pull_over", "tube_bearing"})
        words = "the bolts go through {} walls of the tube"
        yield _Guess("walls", "walls of the tube", "one", words, "both", both, links)
