"""All of a result on a screen: verdict first, then why, then the weakest links, then what would help."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from itertools import chain

from rich.console import Console
from rich.text import Text

from anchorcalc.reading.faults import printable
from anchorcalc.render.figures import force, percent, units_of, weight
from anchorcalc.render.screen.console import indented, print_head, print_list, printing, short, table, verdict_word
from anchorcalc.render.words import condition
from anchorcalc.result import AnchorStrength, CaseResult, Result, Verdict
from anchorcalc.result.check import by_use
from anchorcalc.result.words import CASE_SHORT, what_cases_are
from anchorcalc.units import UnitSystem

_MOST_NAMED = 6
_MANY = 5  # assumptions for one reason, which is then told once


def show_all(result: Result) -> None:
    """Print everything that `check` found."""
    with printing() as out:
        _show(out, result, units_of(result))


def _show(out: Console, result: Result, units: UnitSystem) -> None:
    out.print(_headline(result.verdict, result.title))
    out.print(indented(f"{result.load}, {weight(result.weight, units)}; rules {result.rules}: {result.rules_title}"))
    print_list(out, "Why", result.reasons)
    _show_anchors(out, result.anchors, units)
    _show_cases(out, result.cases, units)
    _show_sums(out, result, units)
    print_list(out, "Conditions", list(map(condition, result.conditions)))
    print_list(out, "What would help", result.helps)
    print_list(out, "Looks odd", result.warnings)
    print_list(out, "Not checked", result.not_checked)
    print_list(out, "Taken from tables of your own", list(map(printable, result.own_rows)))
    print_list(out, "Assumed, since not given", _assumed(result))
    print_list(out, "Look again", [_plain(line) for line in result.rechecks])
    print_list(out, "Cautions", result.cautions)


def _plain(text: str) -> str:
    """`text` without the marks that say how its source is known."""
    return re.sub(r" ?\[[^\]]*\]", "", text)


def _assumed(result: Result) -> list[str]:
    """Assumptions; those of one kind that are alike in value and reason are on one line, many of one reason too."""
    names = {anchor.anchor for anchor in result.anchors} | {anchor.mounting for anchor in result.anchors}
    names |= {strap.strap for case in result.cases for strap in case.straps}
    alike: dict[tuple[str, str, str], list[str]] = {}
    for assumed in result.assumed:
        kind, name = _parted(assumed.what, names)
        alike.setdefault((kind, assumed.value, assumed.why), []).append(name)
    by_reason: dict[str, list[str]] = {}
    for (kind, value, why), whose in alike.items():
        line = f"{kind}{', '.join(whose[:_MOST_NAMED])}{_and_more(len(whose) - _MOST_NAMED)}: {value}"
        by_reason.setdefault(why, []).append(line)
    told = (
        [f"{line} ({why})" for line in lines] if len(lines) < _MANY else [f"{why}: {'; '.join(lines)}"]
        for why, lines in by_reason.items()
    )
    return list(chain.from_iterable(told))


def _parted(what: str, names: Iterable[str]) -> tuple[str, str]:
    """`what` as its kind and the name it ends in, 'route of strap ' and 'front left'; a kind alone if in none."""
    name = max((each for each in names if what.endswith(f" {each}")), key=len, default="")
    return (what.removesuffix(name), short(name)) if name else (short(what, 80), "")


def _and_more(count: int) -> str:
    return f" and {count} more" if count > 0 else ""


def _show_anchors(out: Console, anchors: Sequence[AnchorStrength], units: UnitSystem) -> None:
    shown = table("anchor", "mounting", "#holds daily", "#lets go at", "weakest link")
    for anchor in anchors:
        shown.add_row(
            short(anchor.anchor), short(anchor.mounting), force(anchor.working, units),
            force(anchor.breaking, units), anchor.weakest("working").name,
        )  # fmt: skip
    print_head(out, "Anchors, each along its own strap")
    out.print(shown)


def _show_cases(out: Console, cases: Sequence[CaseResult], units: UnitSystem) -> None:
    shown = table("case", "strength", "hardest strap", "#pull", "#limit", "#used", "verdict")
    for case in cases:
        name = f"{CASE_SHORT[case.case]} {max(abs(part) for part in case.acceleration):g} g"
        if not case.held:
            shown.add_row(name, case.level, "not held", "", "", "", verdict_word(case.verdict))
            continue
        state = max(case.straps, key=by_use)
        straps = " + ".join(map(short, state.shared.straps if state.shared else [state.strap]))
        pull, limit = (force(each, units) for each in state.told)
        shown.add_row(
            name, case.level, straps, pull, limit, percent(state.utilisation), verdict_word(case.verdict)
        )  # fmt: skip
    print_head(out, "Cases, each with the strap nearest to its limit")
    out.print(shown)
    for line in what_cases_are(cases):
        out.print(indented(line))
    if any(state.shared for case in cases for state in case.straps):
        out.print(indented("a + b: straps that share a ring, their pull on it together and what it holds that way."))
    if len({case.level for case in cases}) > 1:
        out.print(indented("breaking: nothing may let go in it; working: what may be asked of every part each day."))


def _show_sums(out: Console, result: Result, units: UnitSystem) -> None:
    shown = table("rule", "wanted", "found", "verdict")
    thumb = result.rule_of_thumb
    name = f"sum of counted ratings, {_share(result.thumb_fraction)} the weight"
    shown.add_row(
        name, force(thumb.required, units), force(thumb.provided, units),
        verdict_word(thumb.verdict),
    )  # fmt: skip
    for requirement in result.requirements:
        shown.add_row(requirement.name, requirement.required, requirement.provided, verdict_word(requirement.verdict))
    print_head(out, "Rules beside the forces")
    out.print(shown)


def _share(fraction: float) -> str:
    return "half" if fraction == 0.5 else f"{fraction:g} times"


def _headline(verdict: Verdict, title: str) -> Text:
    return Text.assemble(verdict_word(verdict), "  ", (short(title, 200), "bold"))
