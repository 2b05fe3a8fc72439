"""The result on a screen: verdict first, then why, then the weakest links, then what would help."""

from __future__ import annotations

import io
import math
import os
import re
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from anchorcalc.result import AnchorStrength, CaseResult, Link, MountingComparison, Result, Verdict
from anchorcalc.units import SI, US, UnitSystem, format_quantity
from anchorcalc.words import CASE_SHORT

_STYLE = {"pass": "bold green", "marginal": "bold yellow", "fail": "bold red"}
_WIDEST = 100
_PIPED = 80
_NARROWEST = 72
_LONGEST_NAME = 40


@contextmanager
def printing() -> Iterator[Console]:
    """Console of the width people read well; names are never read as markup.

    Piped output is 80 columns unless COLUMNS says otherwise, without colour and without blanks at line ends.
    """
    plain = not sys.stdout.isatty()
    sink = io.StringIO() if plain else sys.stdout
    out = Console(markup=False, highlight=False, emoji=False, file=sink)
    if not os.environ.get("COLUMNS", "").isdigit():
        out.width = _PIPED if plain else min(out.width, _WIDEST)
    # Narrower than this a table would cut its figures; the terminal may wrap the lines instead.
    out.width = max(out.width, _NARROWEST)
    yield out
    if isinstance(sink, io.StringIO):
        text = "\n".join(line.rstrip() for line in sink.getvalue().splitlines()) + "\n"
        encoding = sys.stdout.encoding or "utf-8"
        sys.stdout.write(text.encode(encoding, "replace").decode(encoding))


def show_check(result: Result) -> None:
    """Print the result of `check`."""
    units = _units(result)
    with printing() as out:
        _check(out, result, units)


def _check(out: Console, result: Result, units: UnitSystem) -> None:
    out.print(_headline(result.verdict, result.title))
    out.print(_indented(f"{result.load}, {_weight(result.weight, units)}; rules {result.rules}: {result.rules_title}"))
    _list(out, "Why", result.reasons)
    _show_anchors(out, result.anchors, units)
    _show_cases(out, result.cases, units)
    _show_sums(out, result, units)
    _list(out, "What would help", result.helps)
    _list(out, "Looks odd", result.warnings)
    _list(out, "Taken from tables of your own", result.own_rows)
    _list(out, "Assumed, since not given", _assumed(result))
    _list(out, "Look again", [_plain(line) for line in result.rechecks])
    _list(out, "Cautions", result.cautions)


def _plain(text: str) -> str:
    """`text` without the marks that say how its source is known."""
    return re.sub(r" ?\[[^\]]*\]", "", text)


def _assumed(result: Result) -> list[str]:
    """Assumptions, those alike in value and reason on one line."""
    alike: dict[tuple[str, str], list[str]] = {}
    for assumed in result.assumed:
        alike.setdefault((assumed.value, assumed.why), []).append(_short(assumed.what, 80))
    return [
        f"{whats[0]}{f' and {len(whats) - 1} more' if len(whats) > 1 else ''}: {value} ({why})"
        for (value, why), whats in alike.items()
    ]


def show_compare(compared: Sequence[MountingComparison]) -> None:
    """Print the mountings side by side, the one that holds most first."""
    with printing() as out:
        _compare(out, compared, _units(compared[0].result))


def _compare(out: Console, compared: Sequence[MountingComparison], units: UnitSystem) -> None:
    best = max(compared, key=lambda each: each.worst_anchor.working)
    out.print(Text(f"Each mounting on every anchor: {compared[0].result.title}", style="bold"))
    table = _table("mounting", "verdict", "holds daily", "lets go at", "hardest case", "weakest link")
    for each in sorted(compared, key=lambda each: -each.worst_anchor.working):
        table.add_row(
            _short(each.mounting), _word(each.result.verdict), _force(each.worst_anchor.working, units),
            _force(each.worst_anchor.breaking, units), _percent(each.worst_case.utilisation),
            each.worst_anchor.weakest("working").name,
        )  # fmt: skip
    out.print(table)
    out.print(
        _indented(
            "Strengths are those of the worst anchor along its own strap; the hardest case is in per cent of its limit."
        )
    )
    link = best.worst_anchor.weakest("working")
    out.print(_indented(f"'{_short(best.mounting)}' holds most here. Its limit: {link.name}."))
    if best.result.verdict != "pass":
        _list(out, "What would help beyond that", best.result.helps)
    _list(out, "Cautions", best.result.cautions[:2])


def show_link(result: Result, anchor: AnchorStrength, link: Link) -> None:
    """Print one link's formula, figures and source, and the anchor's other links."""
    with printing() as out:
        _link(out, anchor, link, _units(result))


def _link(out: Console, anchor: AnchorStrength, link: Link, units: UnitSystem) -> None:
    out.print(Text(f"{_short(anchor.anchor)}, {_short(anchor.mounting)}: {link.name}", style="bold"))
    angle = math.degrees(math.asin(max(min(anchor.direction[2], 1.0), -1.0)))
    out.print(_indented(f"along its strap, {angle:.0f} degrees up from the deck"))
    facts = [
        f"lets go at {_force(link.breaking, units)} (low estimate)",
        f"holds daily {_force(link.working, units)} ({link.governed_by})",
        f"formula: {link.formula}",
        f"source: {link.source}",
    ]
    _list(out, "This link", [*facts, link.remark] if link.remark else facts)
    if link.figures:
        table = _table("figure", "value", "what it is")
        for figure in link.figures:
            table.add_row(figure.symbol, _figure(figure.value, figure.kind, units), figure.what)
        out.print(table)
    table = _table("all links of this anchor", "holds daily", "lets go at")
    for other in anchor.links:
        table.add_row(other.name, _force(other.working, units), _force(other.breaking, units))
    out.print(table)


def _show_anchors(out: Console, anchors: Sequence[AnchorStrength], units: UnitSystem) -> None:
    table = _table("anchor", "mounting", "holds daily", "lets go at", "weakest link")
    for anchor in anchors:
        table.add_row(
            _short(anchor.anchor), _short(anchor.mounting), _force(anchor.working, units),
            _force(anchor.breaking, units), anchor.weakest("working").name,
        )  # fmt: skip
    out.print()
    out.print(Text("Anchors, each along its own strap", style="bold"))
    out.print(table)


def _show_cases(out: Console, cases: Sequence[CaseResult], units: UnitSystem) -> None:
    table = _table("case", "strength", "hardest strap", "pull", "limit", "used", "verdict")
    for case in cases:
        name = f"{CASE_SHORT[case.case]} {max(abs(part) for part in case.acceleration):g} g"
        if not case.held:
            table.add_row(name, case.level, "not held", "", "", "", _word(case.verdict))
            continue
        state = max(case.straps, key=lambda state: state.utilisation)
        table.add_row(
            name, case.level, _short(state.strap), _force(state.tension, units), _force(state.limit, units),
            _percent(state.utilisation), _word(case.verdict),
        )  # fmt: skip
    out.print()
    out.print(Text("Cases, each with the strap nearest to its limit", style="bold"))
    out.print(table)
    if len({case.level for case in cases}) > 1:
        out.print(_indented("breaking: nothing may let go in it; working: what may be asked of every part each day."))


def _show_sums(out: Console, result: Result, units: UnitSystem) -> None:
    table = _table("rule", "wanted", "found", "verdict")
    thumb = result.rule_of_thumb
    table.add_row(
        "sum of counted ratings, half the weight", _force(thumb.required, units), _force(thumb.provided, units),
        _word(thumb.verdict),
    )  # fmt: skip
    for requirement in result.requirements:
        table.add_row(requirement.name, requirement.required, requirement.provided, _word(requirement.verdict))
    out.print()
    out.print(Text("Rules beside the forces", style="bold"))
    out.print(table)


def _headline(verdict: Verdict, title: str) -> Text:
    return Text.assemble((verdict.upper(), _STYLE[verdict]), "  ", (_short(title, 200), "bold"))


def _list(out: Console, head: str, lines: Sequence[str]) -> None:
    if lines:
        out.print()
        out.print(Text(head, style="bold"))
        for line in lines:
            grid = Table.grid(padding=(0, 1))
            grid.add_row("  -", Text(line, overflow="fold"))
            out.print(grid)


def _indented(text: str) -> Padding:
    return Padding(Text(text, overflow="fold"), (0, 0, 0, 2))


def _table(*heads: str) -> Table:
    table = Table(box=None, padding=(0, 1), header_style="underline", pad_edge=True)
    for head in heads:
        right = head in ("holds daily", "lets go at", "pull", "limit", "used", "hardest case", "value")
        table.add_column(
            head, justify="right" if right else "left", no_wrap=right or head == "verdict", overflow="fold"
        )
    return table


def _units(result: Result) -> UnitSystem:
    return US if result.units == "us" else SI


def _word(verdict: Verdict) -> Text:
    return Text(verdict.upper(), style=_STYLE[verdict])


def _short(name: str, most: int = _LONGEST_NAME) -> str:
    return name if len(name) <= most else name[: most - 1] + "…"


def _force(newtons: float, units: UnitSystem) -> str:
    if not math.isfinite(newtons):
        return "no limit"
    if units is US:
        return f"{newtons / 4.4482216152605:,.0f} lbf"
    return f"{newtons / 1000:.2f} kN"


def _weight(newtons: float, units: UnitSystem) -> str:
    return format_quantity(newtons, "lb" if units is US else "kg", "weight")


def _percent(utilisation: float) -> str:
    return f"{100 * utilisation:.0f} %" if math.isfinite(utilisation) else "no hold"


def _figure(value: float, kind: str, units: UnitSystem) -> str:
    if kind == "force":
        return _force(value, units)
    if kind == "length":
        return format_quantity(value, units.length, "length", 3)
    if kind == "pressure":
        return format_quantity(value, "psi" if units is US else "MPa", "pressure", 3)
    return f"{value:.3g}"
