"""The result on a screen: verdict first, then why, then the weakest links, then what would help."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence

from rich.console import Console
from rich.text import Text

from anchorcalc.reading.faults import printable
from anchorcalc.render.figures import figure, force, percent, units_of, weight
from anchorcalc.render.screen.console import indented, print_head, print_list, printing, short, table, verdict_word
from anchorcalc.result import AnchorStrength, CaseResult, Link, MountingComparison, Result, Verdict
from anchorcalc.result.words import CASE_SHORT
from anchorcalc.units import UnitSystem

_MOST_NAMED = 6


def show_check(result: Result) -> None:
    """Print the result of `check`."""
    units = units_of(result)
    with printing() as out:
        _check(out, result, units)


def _check(out: Console, result: Result, units: UnitSystem) -> None:
    out.print(_headline(result.verdict, result.title))
    out.print(indented(f"{result.load}, {weight(result.weight, units)}; rules {result.rules}: {result.rules_title}"))
    print_list(out, "Why", result.reasons)
    _show_anchors(out, result.anchors, units)
    _show_cases(out, result.cases, units)
    _show_sums(out, result, units)
    print_list(out, "What would help", result.helps)
    print_list(out, "Looks odd", result.warnings)
    print_list(out, "Taken from tables of your own", list(map(printable, result.own_rows)))
    print_list(out, "Assumed, since not given", _assumed(result))
    print_list(out, "Not checked", result.not_checked)
    print_list(out, "Look again", [_plain(line) for line in result.rechecks])
    print_list(out, "Cautions", result.cautions)


def _plain(text: str) -> str:
    """`text` without the marks that say how its source is known."""
    return re.sub(r" ?\[[^\]]*\]", "", text)


def _assumed(result: Result) -> list[str]:
    """Assumptions; those of one kind that are alike in value and reason are on one line."""
    names = {anchor.anchor for anchor in result.anchors} | {anchor.mounting for anchor in result.anchors}
    names |= {strap.strap for case in result.cases for strap in case.straps}
    alike: dict[tuple[str, str, str], list[str]] = {}
    for assumed in result.assumed:
        kind, name = _parted(assumed.what, names)
        alike.setdefault((kind, assumed.value, assumed.why), []).append(name)
    return [
        f"{kind}{', '.join(whose[:_MOST_NAMED])}{_and_more(len(whose) - _MOST_NAMED)}: {value} ({why})"
        for (kind, value, why), whose in alike.items()
    ]


def _parted(what: str, names: Iterable[str]) -> tuple[str, str]:
    """`what` as its kind and the name it ends in, 'route of strap ' and 'front left'; a kind alone if in none."""
    name = max((each for each in names if what.endswith(f" {each}")), key=len, default="")
    return (what.removesuffix(name), short(name)) if name else (short(what, 80), "")


def _and_more(count: int) -> str:
    return f" and {count} more" if count > 0 else ""


def show_compare(compared: Sequence[MountingComparison]) -> None:
    """Print the mountings side by side, the one that holds most first."""
    with printing() as out:
        _compare(out, compared, units_of(compared[0].result))


def _compare(out: Console, compared: Sequence[MountingComparison], units: UnitSystem) -> None:
    best = max(compared, key=lambda each: each.worst_anchor.working)
    out.print(Text(f"Each mounting on every anchor: {compared[0].result.title}", style="bold"))
    shown = table("mounting", "verdict", "#holds daily", "#lets go at", "#hardest case", "weakest link")
    for each in sorted(compared, key=lambda each: -each.worst_anchor.working):
        shown.add_row(
            short(each.mounting), verdict_word(each.result.verdict), force(each.worst_anchor.working, units),
            force(each.worst_anchor.breaking, units), percent(each.worst_case.utilisation),
            each.worst_anchor.weakest("working").name,
        )  # fmt: skip
    out.print(shown)
    out.print(
        indented(
            "Strengths are those of the worst anchor along its own strap; the hardest case is in per cent of its limit."
        )
    )
    link = best.worst_anchor.weakest("working")
    out.print(indented(f"'{short(best.mounting)}' holds most here. Its limit: {link.name}."))
    if best.result.verdict != "pass":
        print_list(out, "What would help beyond that", best.result.helps)
    print_list(out, "Cautions", best.result.cautions[:2])


def show_link(result: Result, anchor: AnchorStrength, link: Link) -> None:
    """Print one link's formula, figures and source, and the anchor's other links."""
    with printing() as out:
        _link(out, anchor, link, units_of(result))


def _link(out: Console, anchor: AnchorStrength, link: Link, units: UnitSystem) -> None:
    out.print(Text(f"{short(anchor.anchor)}, {short(anchor.mounting)}: {link.name}", style="bold"))
    angle = math.degrees(math.asin(max(min(anchor.direction[2], 1.0), -1.0)))
    out.print(indented(f"along its strap, {angle:.0f} degrees up from the deck"))
    facts = [
        f"lets go at {force(link.breaking, units)} (low estimate)",
        f"holds daily {force(link.working, units)} ({link.governed_by})",
        f"formula: {link.formula}",
        f"source: {link.source}",
    ]
    print_list(out, "This link", [*facts, link.remark] if link.remark else facts)
    if link.figures:
        shown = table("figure", "#value", "what it is")
        for each in link.figures:
            shown.add_row(each.symbol, figure(each, units), each.what)
        out.print(shown)
    shown = table("all links of this anchor", "#holds daily", "#lets go at")
    for other in anchor.links:
        shown.add_row(other.name, force(other.working, units), force(other.breaking, units))
    out.print(shown)


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
        state = max(case.straps, key=lambda state: state.utilisation)
        shown.add_row(
            name, case.level, short(state.strap), force(state.tension, units), force(state.limit, units),
            percent(state.utilisation), verdict_word(case.verdict),
        )  # fmt: skip
    print_head(out, "Cases, each with the strap nearest to its limit")
    out.print(shown)
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
