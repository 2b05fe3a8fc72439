"""The result on one screen: verdict, why, anchors, cases, what it hangs on, what to do next."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.console import Console
from rich.text import Text

from anchorcalc.render.figures import force_number, percent, units_of
from anchorcalc.render.screen.console import indented, printing, short, table, to_type, verdict_word
from anchorcalc.render.words import condition, looks_odd
from anchorcalc.result import AnchorState, AnchorStrength, CaseResult, Result
from anchorcalc.result.check import StrapState, by_use
from anchorcalc.result.strength import GRAVITY
from anchorcalc.result.words import CASE_SHORT, WHEELS_HELP, what_cases_are
from anchorcalc.units import UnitSystem

_NUMBERS = {2: "both", 3: "all three", 4: "all four", 5: "all five", 6: "all six"}
_MOST_CONDITIONS = 2
_LONGEST_NAMES = 24
_CLASH = 49  # columns beside the words before it
_SWERVES = ("left", "right")
_CAUTIONS = (
    "An estimate, not a rating: makers' ratings, local rules and a licensed engineer come",
    "first. Look again within the first 50 miles.",
)


def show_check(result: Result, file: str = "FILE") -> None:
    """Print what decides about the scenario of `file`, on one screen."""
    with printing() as out:
        _show(out, result, file, units_of(result))


def _show(out: Console, result: Result, file: str, units: UnitSystem) -> None:
    out.print(Text.assemble(verdict_word(result.verdict), "  ", (short(result.title, 66), "bold")))
    if result.reasons:
        out.print(indented(result.reasons[0]))
    out.print()
    _anchors(out, result, units)
    _cases(out, result.cases, units)
    out.print()
    for line in (
        *looks_odd(result.odd),
        *_sums(result, units),
        *_conditions(result),
        *_not_checked(result),
        *_next(result, file),
    ):
        out.print(indented(line))
    out.print(indented(" ".join(_CAUTIONS)))


# --- anchors --------------------------------------------------------------------------------------------------


def _anchors(out: Console, result: Result, units: UnitSystem) -> None:
    """Anchors; those whose row and links read alike stand in one."""
    strengths = {each.anchor: each for each in result.anchors}
    rows: dict[tuple[tuple[str, ...], str], list[str]] = {}
    for state in result.states:
        if state.anchor in strengths:
            key = _figures(state, strengths[state.anchor], units), _links(strengths[state.anchor])
            rows.setdefault(key, []).append(state.anchor)
    unit = units.force
    shown = table(f"anchor ({unit})", "#asked up/along", "#holds daily/most", "#used", "verdict")
    ordered = sorted(rows.items(), key=lambda item: -GRAVITY[item[0][0][-1]])
    for (figures, _), names in ordered:
        shown.add_row(_together(names, len(strengths)), *figures[:-1], verdict_word(figures[-1]))
    out.print(shown)
    for (_, links), names in ordered:
        whose = f"{_together(names, len(strengths))}: " if len(rows) > 1 else ""
        out.print(indented(f"{whose}{links}"))
    out.print()


def _figures(state: AnchorState, strength: AnchorStrength, units: UnitSystem) -> tuple[str, ...]:
    asked = f"{force_number(state.asked_up, units)} / {force_number(state.asked_along, units)}"
    holds = f"{force_number(strength.working, units)} / {force_number(strength.breaking, units)}"
    return asked, holds, percent(state.utilisation), state.verdict or "pass"


def _links(strength: AnchorStrength) -> str:
    second = strength.second
    weakest = f"weakest: {strength.weakest('working').name}"
    return weakest if second is None else f"{weakest}; then: {second.name}"


def _together(names: Sequence[str], of: int) -> str:
    if len(names) == of > 1:
        return f"{_NUMBERS.get(of, f'all {of}')} rings"
    whole = ", ".join(short(name, _LONGEST_NAMES) for name in names)
    if len(whole) <= _LONGEST_NAMES:
        return whole
    return f"{short(names[0], _LONGEST_NAMES - 5)} +{len(names) - 1}" if len(names) > 1 else whole


# --- cases ----------------------------------------------------------------------------------------------------


def _cases(out: Console, cases: Sequence[CaseResult], units: UnitSystem) -> None:
    """Each direction at its harder level; swerves that read alike stand once."""
    rows: dict[tuple[str, ...], list[CaseResult]] = {}
    for case in _harder(cases):
        kind = "swerve" if case.case in _SWERVES else case.case
        rows.setdefault((kind, *_row(case, units)), []).append(case)
    shown = table("case", "strength", f"#pull ({units.force})", "#limit", "#used", "verdict")
    for (_, acceleration, *figures, verdict), alike in rows.items():
        name = "swerve either way" if len(alike) > 1 else CASE_SHORT[alike[0].case]
        shown.add_row(f"{name} {acceleration}", *figures, verdict_word(verdict))
    out.print(shown)
    for line in what_cases_are(cases):
        out.print(indented(line))
    told = map(_told, _harder(cases))
    shared = dict.fromkeys(state.anchor for state in told if state is not None and state.shared)
    if shared:
        first, *more = shared
        rings = short(first, _LONGEST_NAMES) + (f" +{len(more)}" if more else "")
        out.print(indented(f"Pull and limit at {rings}: of all straps on the ring."))


def _told(case: CaseResult) -> StrapState | None:
    """The strap whose figures stand for a case; None where it is not held."""
    return max(case.straps, key=by_use) if case.held else None


def _harder(cases: Sequence[CaseResult]) -> list[CaseResult]:
    found: dict[str, CaseResult] = {}
    for case in cases:
        known = found.get(case.case)
        if known is None or case.utilisation > known.utilisation:
            found[case.case] = case
    return list(found.values())


def _row(case: CaseResult, units: UnitSystem) -> tuple[str, ...]:
    acceleration = f"{max(abs(part) for part in case.acceleration):g} g"
    state = _told(case)
    if state is None:
        return acceleration, case.level, "", "", "not held", case.verdict
    pull, limit = (force_number(each, units) for each in state.told)
    return acceleration, case.level, pull, limit, percent(state.utilisation), case.verdict


# --- sentences ------------------------------------------------------------------------------------------------


def _sums(result: Result, units: UnitSystem) -> Iterator[str]:
    thumb = result.rule_of_thumb
    half = "half" if result.thumb_fraction == 0.5 else f"{result.thumb_fraction:g} times"
    found, wanted = force_number(thumb.provided, units), force_number(thumb.required, units)
    yield f"Rule of thumb, {half} the weight: {found} of {wanted} {units.force} wanted: {thumb.verdict.upper()}"
    if result.unrated:
        more = f" and {len(result.unrated) - 1} more" if len(result.unrated) > 1 else ""
        yield f"Nobody rated {short(result.unrated[0], 40)}{more}: that cannot pass."
    unmet = [each for each in result.requirements if each.verdict != "pass"]
    yield from _crowded(result)
    for each in (each for each in unmet if each.key == "wheels"):
        yield f"Deck under a wheel: {each.provided}; {each.required}: {each.verdict.upper()}. To do: {WHEELS_HELP}."
    unmet = [each for each in unmet if each.key not in ("room", "wheels", "deck_screws", "bases")]
    if unmet:
        more = f", and {len(unmet) - 1} more (--all)" if len(unmet) > 1 else ""
        first = unmet[0]
        yield f"Not met: {first.name}: {first.provided}; wanted: {first.required}{more}"


def _crowded(result: Result) -> Iterator[str]:
    """The first place where it cannot be built, in one line."""
    if result.crowded and not result.only_crowded:  # then it is the reason told above
        more = len(result.crowded) - 1
        places = f" +{more}" if more else ""
        yield f"Cannot be built as written: {short(result.crowded[0].clash, _CLASH - len(places))}{places}"


def _conditions(result: Result) -> Iterator[str]:
    yield from map(condition, result.conditions[:_MOST_CONDITIONS])
    if len(result.conditions) > _MOST_CONDITIONS:
        yield f"{len(result.conditions) - _MOST_CONDITIONS} more conditions: --all"


def _not_checked(result: Result) -> Iterator[str]:
    if result.not_checked:
        more = f", and {len(result.not_checked) - 1} more (--all)" if len(result.not_checked) > 1 else ""
        first, _, _ = result.not_checked[0].partition(":")
        yield f"Not checked: {short(first, 44)}{more}"


def _next(result: Result, file: str) -> Iterator[str]:
    name = to_type(file)
    if result.verdict == "pass":
        yield f"Next, what to buy, drill and tighten: anchorcalc fit {name}"
    else:
        yield f"Next, what would make it pass: anchorcalc improve {name}"
    assumed = "1 value was" if len(result.assumed) == 1 else f"{len(result.assumed)} values were"
    yield f"All figures ({assumed} assumed): anchorcalc check {name} --all"
