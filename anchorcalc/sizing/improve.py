"""What would make a scenario pass: every single change tried, then the fewest that do it together.

A change is an edit of the scenario's own texts. Each variant is written out, read again and checked like any file, so
that what is promised is what will be found.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import cached_property
from itertools import combinations
from typing import TYPE_CHECKING, Final

from anchorcalc.fitting.sheet import fitting
from anchorcalc.reading.faults import InputFaults
from anchorcalc.result.check import by_use
from anchorcalc.result.improve import Improvement, Together, TriedChange
from anchorcalc.result.strength import worst
from anchorcalc.result.words import not_met
from anchorcalc.scenario.read import parse_scenario
from anchorcalc.scenario.writer import scenario_text
from anchorcalc.sizing.drafts import Change, Texts
from anchorcalc.sizing.improve_changes import OF_FLOOR_ALONE, OF_STRENGTH_ALONE, RINGS, changes
from anchorcalc.sizing.strap_changes import HOOKS
from anchorcalc.sizing.workbench import Measure, ThroughTyreError, Variant, Workbench, worst_utilisation
from anchorcalc.verdict.conditions import with_conditions

if TYPE_CHECKING:
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.result.check import Condition, Result
    from anchorcalc.rig.rig import Rig

Progress = Callable[[int, int], None]
"""Called with how many variants are tried and how many there are at most."""

_EFFORT: Final = {"minutes with a wrench": 0, "an afternoon": 1, "new steel": 2}
_A_STEP_HEAVY: Final = 98.0665  # 10 kg to carry on every trip are shunned like a step of effort [N]; judgement
_WORTH_KEEPING: Final = 1.1  # a change that makes things so much worse by itself may still help with others
_HELPS: Final = 0.99  # of what is used before: a change that leaves more of it gains nothing
_LARGEST_SET: Final = 3
_MOST_FLOORS: Final = 16  # sets of changes for which the floor is laid out anew
_MOST_ADDED: Final = 10  # changes looked at, best first, for what comes nearest

_STOPS: Final = (
    "Not tried, since nobody says where it would stand: a stop bolted to the deck, such as a chock round a wheel, with "
    "the force its maker rates it for (load.stops), and grip of tyres (load.grip). Alone either makes a fail marginal "
    "at best; with both it may pass."
)
_GRIP: Final = (
    "Not tried, since nobody says it: grip of tyres (load.grip), sideways where brake and gear hold lengthways. Its "
    "stops alone make it marginal at best; with both it may pass."
)


class ImproveError(ValueError):
    """A change that cannot be taken; the message says why."""


class Improver:
    """All changes of one scenario and what they come to."""

    def __init__(self, content: Texts, catalog: Catalog, progress: Progress | None = None) -> None:
        self._catalog, self._bench = catalog, Workbench(catalog)
        self._progress = progress or (lambda done, most: None)
        self._done = 0
        rig = self._bench.rig(content)
        self.base = Variant(content, self._bench.check(rig))
        self._bench.buildable(self.base.result.sheet)  # as it is: nothing more may be amiss than that
        self._rig = rig
        self.changes: list[Change] = []
        self._alone: list[Variant] = []
        self._untried: list[str] = []
        self._sets_tried = self._sets_left = 0
        self._at_best: dict[tuple[int, ...], tuple[bool, bool]] = {}
        self._together: dict[tuple[int, ...], Variant | None] = {}
        starts = {"tie point ": HOOKS, "ring of ": RINGS}
        self._unrated = {
            slot for start, slot in starts.items() for part in self.base.result.unrated if part.startswith(start)
        }
        if self.base.result.verdict != "pass":
            self._try_all()

    def _try_all(self) -> None:
        """Every change by itself; what has no room, or makes things much worse, is left out."""
        drafts = list(changes(self.base.content, self._rig, self.base.result, self._catalog))
        found: list[tuple[Change, Variant]] = []
        helped = passed = False
        for change in drafts:
            self._told(len(drafts))
            if (change.only_if == "lesser helps" and not helped) or (change.only_if == "nothing passes" and passed):
                self._untried.append(change.what)
                continue
            variant = self._variant(change.applied(self.base.content), self.base.measure)
            helped = variant is not None and variant.measure < _scaled(self.base.measure, _HELPS)
            passed = passed or (variant is not None and variant.result.verdict == "pass")
            if variant is not None and variant.measure <= _scaled(self.base.measure, _WORTH_KEEPING):
                found.append((change, variant))
        self._order = {id(change): number for number, change in enumerate(drafts)}  # least work first, as drafted
        found.sort(key=self._rank)
        self.changes, self._alone = [change for change, _ in found], [variant for _, variant in found]
        self._together.update({(number,): variant for number, variant in enumerate(self._alone)})

    def _rank(self, each: tuple[Change, Variant]) -> tuple[bool, tuple[float, ...], int]:
        """Best first: of what passes the least work and weight, of the rest what leaves most."""
        change, variant = each
        passes = variant.result.verdict == "pass"
        return not passes, (self._work(each),) if passes else variant.measure, self._order[id(change)]

    def _work(self, *taken: tuple[Change, Variant]) -> float:
        """What some changes ask of a person: steps of effort, and what they add to carry."""
        heavier = sum(_added(variant, self.base) for _, variant in taken)
        return sum(_EFFORT[change.effort] for change, _ in taken) + max(heavier, 0.0) / _A_STEP_HEAVY

    def _told(self, most: int) -> None:
        self._done += 1
        self._progress(self._done, max(most, self._done))

    def _variant(self, content: Texts, better_than: Measure | None = None) -> Variant | None:
        """A changed scenario, checked; None where it cannot be, be built, or be better than asked."""
        try:
            rig = self._bench.rig(content)
        except (InputFaults, ThroughTyreError):
            return None
        sheet = fitting(rig)
        if not self._bench.buildable(sheet):
            return None
        if better_than is not None:
            best = Variant(content, self._bench.at_best(rig, sheet))
            bound = _scaled(better_than, _WORTH_KEEPING)
            if best.measure > bound:
                return None
            # Not held, or by what holds nothing: the floor makes no difference.
            if worst_utilisation(best.result) == math.inf:
                return best
            limit, cases = bound[1], self.base.result.cases
            hardest = sorted(range(len(cases)), key=lambda number: by_use(cases[number]), reverse=True)
            if limit >= 1 and self._bench.goes_over(rig, limit, hardest):  # a fail, and worse: the rest is not asked
                return None
        return Variant(content, self._bench.check(rig, sheet))

    # --- together

    @cached_property
    def shortest(self) -> tuple[tuple[int, ...], Variant | None]:
        """The fewest changes that together pass, of these the least work: their numbers, and what they come to.

        Sets are tried by size: all smaller ones are shown not to pass before a larger one is taken, as long as
        `sets_left` is nil. Of sets larger than `_LARGEST_SET` only the one built change by change is looked at.
        """
        if self._alone and self._alone[0].result.verdict == "pass":
            return (0,), self._alone[0]
        floors = 0
        for size in range(2, _LARGEST_SET + 1):
            for numbers in sorted(self._sets(size), key=self._promise):
                if not self._possible(numbers):
                    self._sets_tried += 1
                    continue
                if floors >= _MOST_FLOORS:
                    self._sets_left += 1
                    continue
                floors += 1
                self._sets_tried += 1
                self._told(self._done + _MOST_FLOORS - floors)
                variant = self.together(numbers)
                if variant is not None and variant.result.verdict == "pass":
                    return numbers, variant
        longer, variant = self.best
        return (longer, variant) if variant.result.verdict == "pass" else ((), None)

    def _possible(self, numbers: tuple[int, ...]) -> bool:
        """Whether nothing but the floor's links could keep these changes from passing.

        What changes those links alone makes no difference to the others, nor do rings and backings to the deck under
        the wheels: each is asked of the changes that it knows, once for all sets that have these in common.
        """
        slots = frozenset().union(*(self.changes[number].slots for number in numbers))
        if not slots >= self._unrated:
            return False
        others = tuple(number for number in numbers if not self.changes[number].slots <= OF_FLOOR_ALONE)
        wheels = tuple(number for number in numbers if not self.changes[number].slots <= OF_STRENGTH_ALONE)
        if set(wheels) <= set(others):  # no floor has to be laid out for it that is not there
            return self._bound(wheels)[1] and self._bound(others)[0]
        return self._bound(others)[0] and self._bound(wheels)[1]

    def _bound(self, numbers: tuple[int, ...]) -> tuple[bool, bool]:
        """Whether all but the floor's links and the wheels may pass with these changes, and whether the wheels do."""
        if numbers not in self._at_best:
            try:
                result = self._bench.at_best(self._bench.rig(self.content_with(numbers)))
                self._at_best[numbers] = _bounds(result)
            except (InputFaults, ThroughTyreError):
                self._at_best[numbers] = False, True
        return self._at_best[numbers]

    @cached_property
    def best(self) -> tuple[tuple[int, ...], Variant]:
        """What comes nearest where nothing passes: changes added one by one, each as long as it helps the others."""
        numbers: tuple[int, ...] = ()
        best, grows = self.base, True
        while grows:  # again, for what helps only once others are there
            grows = False
            for number in range(min(len(self.changes), _MOST_ADDED)):
                more = (*numbers, number)
                if not self._go_together(more):
                    continue
                variant = self.together(more)
                if variant is not None and (*variant.measure, variant.unmet) < (*best.measure, best.unmet):
                    numbers, best, grows = more, variant, True
        return self._without_needless(tuple(sorted(numbers)), best)

    def _without_needless(self, numbers: tuple[int, ...], best: Variant) -> tuple[tuple[int, ...], Variant]:
        """Of changes that pass together, those that it takes."""
        for number in numbers if best.result.verdict == "pass" else ():
            fewer = tuple(each for each in numbers if each != number)
            variant = self.together(fewer)
            if variant is not None and variant.result.verdict == "pass":
                numbers, best = fewer, variant
        return numbers, best

    def together(self, numbers: tuple[int, ...]) -> Variant | None:
        """The scenario with the changes of these numbers, checked; None where it cannot be.

        Raises
        ------
        ImproveError
            No such change, or two that exclude each other.
        """
        if numbers not in self._together:
            self._together[numbers] = self._variant(self.content_with(numbers))
        return self._together[numbers]

    def _go_together(self, numbers: Sequence[int]) -> bool:
        slots = [slot for number in numbers for slot in self.changes[number].slots]
        return len(set(slots)) == len(slots)

    def _sets(self, size: int) -> list[tuple[int, ...]]:
        """Sets of changes none of which excludes another."""
        return [each for each in combinations(range(len(self.changes)), size) if self._go_together(each)]

    def _outlook(self, numbers: tuple[int, ...]) -> float:
        """A guess at what is used of the limits with all of them: what each takes off, taken together."""
        base = self.base.measure[1]
        shares = [min(self._alone[number].measure[1] / base, 1.0) if base < math.inf else 1.0 for number in numbers]
        return math.prod(shares)

    def _promise(self, numbers: tuple[int, ...]) -> tuple[float, ...]:
        """Of sets of a size: first those that look like passing, the least work first; then by their outlook."""
        outlook = self._outlook(numbers)
        work = self._work(*((self.changes[number], self._alone[number]) for number in numbers))
        drafted = sum(self._order[id(self.changes[number])] for number in numbers)
        likely = outlook * self.base.measure[1] <= self._rig.rules.pass_below
        return (0, work, outlook, drafted) if likely else (1, outlook, work, drafted)

    # --- told

    def content_with(self, numbers: Sequence[int]) -> Texts:
        """The scenario's texts with the changes of these numbers.

        Raises
        ------
        ImproveError
            No such change, or two that exclude each other.
        """
        if any(not 0 <= number < len(self.changes) for number in numbers):
            raise ImproveError(f"changes are numbered 1 to {len(self.changes)}")
        if not self._go_together(numbers):
            raise ImproveError("two of these changes exclude each other: they change the same thing")
        content = self.base.content
        for number in sorted(numbers, key=lambda each: self._order[id(self.changes[each])]):  # as drafted
            content = self.changes[number].applied(content)
        return content

    def answer(self) -> Improvement:
        """Everything found, as plain data."""
        numbers, together = self.shortest
        base, in_vain = self.base.result, not numbers and self.base.result.verdict != "pass"
        nearest = self.best if in_vain else None
        coming_to = together if nearest is None else nearest[1]
        return Improvement(
            title=base.title,
            units=base.units,
            verdict=base.verdict,
            worst_utilisation=worst_utilisation(base),
            changes=tuple(self._told_of(k) for k in range(len(self.changes))),
            shortest=numbers,
            together=None
            if together is None
            else Together(together.result.verdict, worst_utilisation(together.result), _added(together, self.base)),
            sets_tried=self._sets_tried,
            sets_left=self._sets_left,
            untried=tuple(dict.fromkeys(self._untried)),
            beyond=_beyond(self._rig, base) if in_vain else (),
            nearest=() if nearest is None else nearest[0],
            nearest_utilisation=None if nearest is None else worst_utilisation(nearest[1].result),
            conditions=() if coming_to is None else self._conditions(coming_to),
            governs="" if nearest is None else _why_not(nearest[1].result),
        )

    def _told_of(self, number: int) -> TriedChange:
        change, variant = self.changes[number], self._alone[number]
        return TriedChange(
            what=change.what,
            was=change.was,
            to=change.to,
            verdict=variant.result.verdict,
            worst_utilisation=worst_utilisation(variant.result),
            added_weight=_added(variant, self.base),
            effort=change.effort,
            weakest=_weakest(variant.result),
            buy=change.buy,
        )

    def _conditions(self, best: Variant) -> tuple[Condition, ...]:
        """What would have to be measured or done so that the best set of changes passes, or what its pass hangs on."""
        scenario = parse_scenario(scenario_text(best.content), "the changed scenario", catalog=self._catalog)
        found = with_conditions(best.result, self._bench.rig(best.content), scenario, self._catalog)
        return tuple(each for each in found.conditions if each.verdict_then == "pass")


def improve(content: Texts, catalog: Catalog, progress: Progress | None = None) -> tuple[Improver, Improvement]:
    """All changes of the scenario in `content`, and the fewest that make it pass."""
    improver = Improver(content, catalog, progress)
    return improver, improver.answer()


def _scaled(measure: Measure, by: float) -> Measure:
    return measure[0], by * measure[1], by * measure[2]


def _bounds(result: Result) -> tuple[bool, bool]:
    borne = all(each.verdict == "pass" for each in result.requirements if each.key == "wheels")
    # The same without friction or stops holds the wheels' word as well.
    mixed = () if borne else ("wheels", "without_friction", "without_stops")
    cases = (each.verdict for each in result.cases)
    rules = (each.verdict for each in result.requirements if each.key not in mixed)
    rest = worst(result.rule_of_thumb.verdict, *cases, *rules, "marginal" if result.unrated else "pass")
    return rest == "pass", borne


def _beyond(rig: Rig, result: Result) -> tuple[str, ...]:
    """What else may help: stops and grip where its straps are short along or across, grip where stops alone hold it."""
    short = any(case.verdict != "pass" and case.case != "upward" for case in result.cases)
    stopped = any(stop.rated > 0 for stop in rig.load.stops.values())
    if short and not stopped:
        return (_STOPS,)
    on_stops = any(each.key == "without_stops" and each.verdict != "pass" for each in result.requirements)
    return (_GRIP,) if on_stops and max(rig.load.grip) == 0 else ()


def _why_not(result: Result) -> str:
    """The gravest reason, and what the rules ask for that no strength meets."""
    rules = [not_met(each) for each in result.requirements if each.verdict == "fail" and each.dimension != "force"]
    parts = ", ".join(result.unrated)
    unrated = [f"Nobody rated {parts}: find the ratings or buy rated ones first; without, nothing passes."]
    first = [each for each in result.reasons[:1] if not each.startswith("Nobody rated")]
    return " ".join(dict.fromkeys([*first, *rules, *(unrated if parts else [])]))


def _added(variant: Variant, base: Variant) -> float:
    """What a variant weighs more [N]."""
    return variant.result.sheet.weights.added - base.result.sheet.weights.added


def _weakest(result: Result) -> str:
    if not all(case.held for case in result.cases):
        return "nothing holds the load"
    return max((state for case in result.cases for state in case.straps), key=by_use).weakest_link
