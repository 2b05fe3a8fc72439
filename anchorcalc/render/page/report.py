"""Everything about one scenario as one HTML page of its own: no scripts, nothing fetched, the same bytes each time."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from anchorcalc import __version__
from anchorcalc.render import figures, size_words
from anchorcalc.render.draw import ladder
from anchorcalc.render.draw.axes import STYLE as CHART_STYLE
from anchorcalc.render.draw.fit_picture import section_drawing
from anchorcalc.render.draw.least_chart import least_chart
from anchorcalc.render.draw.plan import DeckPlan, plan_inline
from anchorcalc.render.draw.plan_style import STYLE, glyph
from anchorcalc.render.draw.shapes_svg import BOTH_STYLE
from anchorcalc.render.draw.side_view import side_drawing
from anchorcalc.render.draw.size_picture import size_panels
from anchorcalc.render.draw.svg import Markup, harmless, isolated
from anchorcalc.render.fitting_words import refusal
from anchorcalc.render.names import Names
from anchorcalc.render.page import fitting as report_fitting
from anchorcalc.render.page.formula import equation, formula
from anchorcalc.render.page.table import Cell, Table, table
from anchorcalc.render.words import condition, listed, way
from anchorcalc.result.check import by_use
from anchorcalc.result.strength import GRAVITY
from anchorcalc.result.words import CASE_SHORT, what_cases_are
from anchorcalc.units import length

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from anchorcalc.result.check import CaseResult, MountingComparison, Result, StrapState
    from anchorcalc.result.size import SizeAnswer
    from anchorcalc.result.strength import AnchorStrength, LeastStrength
    from anchorcalc.rig.rig import Rig, StrapSetting
    from anchorcalc.units import UnitSystem

SIGNS: dict[str, Markup] = {
    "pass": glyph("pass", 13, 13),
    "marginal": glyph("marginal", 13, 13),
    "fail": glyph("fail", 13, 13),
}
TAGS = (
    "In brackets stands how each source is known: [read] in its text or a faithful copy; [from memory]; [computed] "
    "from the formula named; [judgement] of this project; [common practice, no source]."
)

_MOST_ACROSS = 6  # straps and stops beside each other on a printed page


class ReportParts(Struct, frozen=True):
    """All that a report is made of."""

    rig: Rig
    result: Result
    compared: Sequence[MountingComparison]
    sized: SizeAnswer | None = None  # where the backing to buy was asked for


def report_html(parts: ReportParts) -> str:
    """The whole page."""
    import jinja2

    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(Path(__file__).parent), autoescape=True, undefined=jinja2.StrictUndefined,
        trim_blocks=True, lstrip_blocks=True, keep_trailing_newline=True,
    )  # fmt: skip
    drawing = _safe(plan_inline(DeckPlan(parts.rig, parts.result)))
    side = _safe(side_drawing(parts.rig, parts.result))
    signs = {verdict: _safe(sign) for verdict, sign in SIGNS.items()}
    style = _safe(STYLE + BOTH_STYLE + ladder.STYLE + CHART_STYLE)
    running = _safe(_css_string(f"{parts.result.verdict.upper()}: {harmless(parts.rig.title, 80)}"))
    page = environment.get_template("report.html.jinja")
    return page.render(
        drawing=drawing, side=side, signs=signs, drawing_style=style, running=running, **_content(parts)
    )  # fmt: skip


def _safe(markup: str) -> Any:
    """What the page may take as it is: made by the writers of SVG and MathML, which escape every word, or our own."""
    import markupsafe

    return markupsafe.Markup(markup)  # noqa: S704 - see above


def _css_string(text: str) -> str:
    """`text` as a string of CSS: all but plain letters and digits by number, so that nothing in it can end it."""
    plain = (each if each.isascii() and (each.isalnum() or each == " ") else f"\\{ord(each):x} " for each in text)
    return f'"{"".join(plain)}"'


def _content(parts: ReportParts) -> dict[str, Any]:
    """Words and tables of every section, names shortened."""
    result, names = parts.result, Names(parts.rig)
    units = figures.units_of(result)

    def sentences(lines: Sequence[str]) -> list[str]:
        return [names.within(line) for line in lines]

    return {
        "version": __version__,
        "verdict": result.verdict,
        "refused": refusal(result),
        "title": isolated(harmless(result.title, 120)),
        "do": names.within(_what_to_do(result)),
        "worst": _worst(result, names),
        "conditions": sentences([condition(each) for each in result.conditions]),
        "not_checked": sentences(result.not_checked),
        "load": names.short(result.load),
        "weight": figures.weight(result.weight, units),
        "rules": result.rules,
        "rules_title": result.rules_title,
        "rules_note": result.rules_note,
        "reasons": sentences(result.reasons),
        "helps": sentences(result.helps),
        "warnings": sentences(result.warnings),
        "anchors": _anchors(result, names),
        "what_cases_are": " ".join(what_cases_are(result.cases)),
        "hardest": _hardest(parts, names),
        "pulls": _pulls(parts, names),
        "sums": _sums(result, names),
        "links": [_links(group, result, names) for group in _alike(result.anchors)],
        "by_itself": _by_itself(result, names),
        "sections": _sections(parts, names),
        "sized": _sized(parts.sized, names),
        "compared": _compared(parts.compared, result, names),
        "fit": report_fitting.sections(result.sheet, names, units),
        "trip": list(_trip(parts, names)),
        "rechecks": sentences(result.rechecks),
        "assumed": _assumed(parts, names),
        "own_rows": sentences(result.own_rows),
        "sources": _sources(parts),
        "tags": TAGS,
        "cautions": sentences(result.cautions),
    }


def _what_to_do(result: Result) -> str:
    """The one thing to do first."""
    if result.helps:
        return result.helps[0]
    if result.conditions and result.verdict != "pass":
        return condition(result.conditions[0])
    if not result.sheet.ready:
        return "Clear what is in the way, too short or too heavy; see the fitting sheet"
    return "Fit it as the sheet below says" if result.verdict == "pass" else result.reasons[0]


def _worst(result: Result, names: Names) -> str:
    """The anchor that fails, or is nearest to its limit, in one line."""
    states = [
        (GRAVITY[state.verdict], state.utilisation, state) for state in result.states if state.verdict is not None
    ]
    if not states:
        return "no strap hangs on any anchor"
    _, used, worst = max(states, key=lambda each: each[:2])
    if worst.strap is None:
        return f"{names.short(worst.anchor)}: {names.within(worst.why)}"
    asked = f"{names.short(worst.anchor)}, {figures.percent(used)} of what it holds"
    if worst.verdict == "fail" and used <= 1:
        return f"{asked}, but {names.within(worst.why)}"
    return f"{asked}; weakest link: {worst.strap.weakest_link}"


def _sections(parts: ReportParts, names: Names) -> list[tuple[str, str]]:
    """A section through every mounting in use, with its caption."""
    return [
        (f"Section through mounting {names.short(sheet.name)}", _safe(section_drawing(parts.rig, sheet)))
        for sheet in parts.result.sheet.mountings
    ]


# --- forces ---------------------------------------------------------------------------------------------------


def _anchors(result: Result, names: Names) -> Table:
    units = figures.units_of(result)
    strengths = {strength.anchor: strength for strength in result.anchors}
    rows = []
    for state in result.states:
        name = state.anchor
        strength = strengths.get(name)
        daily, last = (strength.working, strength.breaking) if strength else (None, None)
        rows.append([
            Cell(names.short(name), strong=True),
            Cell("no strap") if state.verdict is None else Cell("", state.verdict),
            Cell(figures.percent(state.utilisation) if state.strap else ""),
            Cell("" if daily is None else figures.force(daily, units)),
            Cell("" if last is None else figures.force(last, units)),
            Cell(strength.weakest("working").name if strength else ""),
            Cell(names.within(state.why)),
        ])  # fmt: skip
    heads = ("anchor", "verdict", "#used", "#holds daily", "#lets go at", "weakest link", "hardest case")
    return table(heads, rows)


def _hardest(parts: ReportParts, names: Names) -> Table:
    """Every strap in the case that uses most of its limit, or in the first that nothing holds."""
    result, units = parts.result, figures.units_of(parts.result)
    loose = next((case for case in result.cases if not case.held), None)
    rows = []
    for strap in parts.rig.straps:
        states = [(case, state) for case in result.cases for state in case.straps if state.strap == strap]
        case, state = max(states, key=lambda each: by_use(each[1]))
        told = loose or case
        share = f"{max(abs(part) for part in told.acceleration):g} g"
        rows.append([
            Cell(names.short(strap), strong=True), Cell(f"{CASE_SHORT[told.case]} {share}, {told.level}"),
            Cell("not held" if loose else _told(state, names, units)),
            Cell("", "fail") if loose else Cell(figures.percent(state.utilisation), state.verdict),
        ])  # fmt: skip
    return table(("strap", "hardest case", "#pull and limit", "used"), rows)


def _told(state: StrapState, names: Names, units: UnitSystem) -> str:
    """The pull of a strap and its limit; where straps share a ring, also what all do to it, so that one can divide."""
    own = figures.force(state.tension, units)
    if state.shared is None:
        return f"{own} of {figures.force(state.limit, units)}"
    straps = " + ".join(map(names.short, state.shared.straps))
    pull, limit = figures.force(state.shared.pull, units), figures.force(state.shared.limit, units)
    return f"{own}; {straps} on {names.short(state.anchor)} {pull} of {limit}"


def _pulls(parts: ReportParts, names: Names) -> Table:
    """Cases down, straps and stops across; the other way round where they are so many that a page is too narrow."""
    units = figures.units_of(parts.result)
    straps, stops = list(parts.rig.straps), list(parts.rig.load.stops)
    rows = []
    for case in parts.result.cases:
        share = f"{max(abs(part) for part in case.acceleration):g} g"
        row = [Cell(f"{CASE_SHORT[case.case]} {share}", strong=True), Cell(case.level), Cell("", case.verdict)]
        by_name = {state.strap: state for state in case.straps}
        row += [_pull(case, by_name[strap], units) for strap in straps]
        row += [_push(case, stop, units) for stop in stops]
        rows.append(row)
    named = [f"{names.short(strap)} [{units.force}]" for strap in straps]
    named += [f"stop {names.short(stop)} [{units.force}]" for stop in stops]
    if len(named) <= _MOST_ACROSS:
        return table(("case", "limit", "verdict", *(f"#{name}" for name in named)), rows)
    heads = [f"#{case.text}, {level.text}" for case, level, *_ in rows]
    across = zip(["verdict", *named], zip(*(row[2:] for row in rows), strict=True), strict=True)
    return table(("strap or stop", *heads), [[Cell(name, strong=True), *cells] for name, cells in across])


def _push(case: CaseResult, stop: str, units: UnitSystem) -> Cell:
    if not case.held:
        return Cell("not held", "fail", quiet_word=True)
    state = next(each for each in case.stops if each.stop == stop)
    push = figures.force_number(state.push, units)
    return Cell("free" if push == "0" else f"{push}, {figures.percent(state.utilisation)}")


def _pull(case: CaseResult, state: StrapState, units: UnitSystem) -> Cell:
    if not case.held:
        return Cell("not held", "fail", quiet_word=True)
    if state.tension == 0:
        return Cell("slack")
    pull = figures.force_number(state.tension, units)
    verdict = state.verdict
    text = f"{pull}, {figures.percent(state.utilisation)}"
    return Cell(text) if verdict == "pass" else Cell(text, verdict, quiet_word=True)


def _sums(result: Result, names: Names) -> Table:
    units, thumb = figures.units_of(result), result.rule_of_thumb
    rows = [
        [
            Cell("sum of the counted ratings", strong=True), Cell("", thumb.verdict),
            Cell(figures.force(thumb.required, units)), Cell(figures.force(thumb.provided, units)), Cell(thumb.source),
        ]
    ]  # fmt: skip
    for rule in result.requirements:
        cells = [Cell(rule.name, strong=True), Cell("", rule.verdict)]
        wanted, found = names.within(rule.required), names.within(rule.provided)
        rows.append([*cells, Cell(wanted), Cell(found), Cell(rule.source)])
    return table(("rule", "verdict", "wanted", "found", "source"), rows)


# --- links ----------------------------------------------------------------------------------------------------


def _alike(anchors: Sequence[AnchorStrength]) -> list[list[AnchorStrength]]:
    """Anchors whose links hold the same, together."""
    groups: dict[tuple[object, ...], list[AnchorStrength]] = {}
    for anchor in anchors:
        key = (anchor.mounting, *((link.name, f"{link.working:.3g}", f"{link.breaking:.3g}") for link in anchor.links))
        groups.setdefault(key, []).append(anchor)
    return list(groups.values())


def _links(group: Sequence[AnchorStrength], result: Result, names: Names) -> dict[str, Any]:
    """Head, ladder of the anchor that is pulled hardest, its sentence, and the table behind it."""
    units = figures.units_of(result)
    shown = max(group, key=lambda anchor: ladder.asked_of(result, anchor.anchor).breaking)
    rows = []
    for link in sorted(group[0].links, key=lambda link: link.working):
        how = f"{link.governed_by}. {link.remark}" if link.remark else link.governed_by
        forces = (Cell(figures.force(link.working, units)), Cell(figures.force(link.breaking, units)))
        numbers = tuple(_safe(equation(each, units)) for each in link.figures)
        set_out = _safe(formula(link.formula))
        rows.append([Cell(link.name, strong=True), *forces, Cell(how), Cell(set_out, equations=numbers)])
    return {
        "head": f"{listed([names.short(anchor.anchor) for anchor in group])} - on {names.short(group[0].mounting)}",
        "ladder": _safe(ladder.ladder(shown, result)),
        "says": f"{names.short(shown.anchor)}. {ladder.sentence(shown, units)}",
        "table": table(("link", "#holds daily", "#lets go at", "daily limit set by", "formula and numbers"), rows),
    }


def _by_itself(result: Result, names: Names) -> dict[str, Any] | None:
    """What anchors are good for whatever strap hangs on them, beside what standards ask; None where nobody looked."""
    units = figures.units_of(result)
    found: dict[tuple[object, ...], tuple[LeastStrength, list[str]]] = {}
    for anchor in result.anchors:
        if anchor.least is not None:
            key = (anchor.mounting, *(f"{daily:.4g}" for _, daily in anchor.least.by_angle))
            found.setdefault(key, (anchor.least, []))[1].append(names.short(anchor.anchor))
    if not found:
        return None
    curves = [(listed(alike), least) for least, alike in found.values()]
    rows = [
        [
            Cell(alike, strong=True), Cell(figures.force(least.working.strength, units)),
            Cell(f"{least.working.link.name}, pulled {way(least.working.direction)}"),
            Cell(figures.force(least.breaking.strength, units)),
        ]
        for alike, least in curves
    ]  # fmt: skip
    asked = {each.name: each for _, least in curves for each in least.yardsticks}
    held = {name: [alike for alike, least in curves for each in least.yardsticks if each.name == name and each.met]
            for name in asked}  # fmt: skip
    yardsticks = [
        [
            Cell(name, strong=True), Cell(figures.force(each.per_point, units)),
            Cell("all" if len(held[name]) == len(curves) else "; ".join(held[name]) or "none"), Cell(each.source),
        ]
        for name, each in asked.items()
    ]  # fmt: skip
    return {
        "chart": _safe(least_chart(curves, units)),
        "least": table(("anchors", "#holds daily", "weakest there", "#lets go at"), rows),
        "yardsticks": table(("standard", "#asks daily", "reached by", "source"), yardsticks),
    }


def _sized(answer: SizeAnswer | None, names: Names) -> dict[str, Any] | None:
    """What to buy for the anchor that needs it most, and how the first choice works."""
    if answer is None:
        return None
    units = figures.units_of(answer)
    rows = [
        [
            Cell(size_words.describe(choice.backing, units), strong=True), Cell(size_words.bolts(choice)),
            Cell(figures.force(choice.strength.working, units)), Cell(figures.force(choice.strength.breaking, units)),
            Cell(choice.governing.name),
        ]
        for choice in answer.choices
    ]  # fmt: skip
    wanted = figures.force(answer.wanted.working, units)
    return {
        "verdict": answer.verdict,
        "says": names.within(f"{answer.anchor}: {wanted} daily wanted, {answer.wanted.why}."),
        "sentences": [names.within(line) for line in answer.sentences],
        "panels": [(said, _safe(panel)) for said, panel in size_panels(answer)],
        "choices": table(("backing", "bolts", "#holds daily", "#lets go at", "weakest link"), rows),
    }


def _compared(compared: Sequence[MountingComparison], result: Result, names: Names) -> Table:
    units = figures.units_of(result)
    rows = []
    for each in sorted(compared, key=lambda each: -each.worst_anchor.working):
        anchor, case = each.worst_anchor, each.worst_case
        rows.append([
            Cell(names.short(each.mounting), strong=True), Cell("", each.result.verdict),
            Cell(figures.force(anchor.working, units)), Cell(figures.force(anchor.breaking, units)),
            Cell(figures.percent(case.utilisation)), Cell(anchor.weakest("working").name),
        ])  # fmt: skip
    heads = ("mounting", "verdict", "#holds daily", "#lets go at", "#hardest case", "weakest link")
    return table(heads, rows)


# --- before the trip ------------------------------------------------------------------------------------------


def _trip(parts: ReportParts, names: Names) -> Iterator[str]:
    """What to look at before the wheels turn; common practice, no source, but for the rule set's own times."""
    rig, units = parts.rig, figures.units_of(parts.result)
    x, load = length(rig.load.centre[0], units), names.short(rig.load.name)
    yield f"{load} stands so that its weight is {x} ahead of the rear edge; brake on, in gear."
    assumed = {entry.what: entry.value for entry in parts.result.assumed}
    for name, strap in rig.straps.items():
        ends = f"from ring {names.short(strap.anchor)} {_way(strap, names)}"
        # Told as it stands in the list of what was assumed, so that nobody wonders which of two numbers to pull to.
        pull = assumed.get(f"hand tension of strap {name}") or figures.force(strap.hand_tension, units)
        yield f"Strap {names.short(name)}: {ends}, no cut, twist or open hook; pulled tight by hand to about {pull}."
    yield "Every nut: the paint mark on nut and bolt still makes one line; no washer has sunk deeper into the wood."
    yield "Every ring: not bent, not cracked, its base flat on the deck, no screw standing proud."
    yield "The deck round each ring: hard when probed from below; no gap between deck and cross-member."
    yield "Plates, bars and cross-members: straight, no crack at a weld, no rust that flakes."


def _way(strap: StrapSetting, names: Names) -> str:
    over = ", ".join(names.short(point) for point in strap.course)
    if strap.to_anchor is None:
        return f"to {over}"
    return f"over {over} to ring {names.short(strap.to_anchor)}"


# --- what stands behind it ------------------------------------------------------------------------------------


def _assumed(parts: ReportParts, names: Names) -> Table:
    """Those alike in value and reason in one row."""
    alike: dict[tuple[str, str], dict[str, None]] = {}
    for entry in (*parts.result.assumed, *parts.result.sheet.assumed):
        alike.setdefault((entry.value, entry.why), {})[names.within(entry.what)] = None
    rows = [
        [Cell("; ".join(whats), strong=True), Cell(names.within(value)), Cell(names.within(why))]
        for (value, why), whats in alike.items()
    ]
    return table(("what", "taken as", "why"), rows)


def _sources(parts: ReportParts) -> Table:
    """Every source, with what it was used for."""
    uses: dict[str, dict[str, None]] = {}

    def used(source: str, what: str) -> None:
        if source:
            uses.setdefault(source, {})[what] = None

    result = parts.result
    for case in result.cases:
        used(case.source, f"case {CASE_SHORT[case.case]}, {case.level}")
    used(result.rule_of_thumb.source, "sum of ratings")
    for rule in result.requirements:
        used(rule.source, rule.name)
    for each in (result, *(other.result for other in parts.compared)):
        for anchor in each.anchors:
            for link in anchor.links:
                used(link.source, link.name)
    for sheet in result.sheet.mountings:
        if sheet.holes is not None:
            used(sheet.holes.source, "drill sizes")
        for distance in sheet.distances:
            used(distance.source, distance.what)
    rows = [[Cell(source), Cell("; ".join(what))] for source, what in uses.items()]
    return table(("source", "used for"), rows)
