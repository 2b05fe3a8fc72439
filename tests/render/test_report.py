"""The report: one harmless page that holds everything, and says what the results say."""

from __future__ import annotations

import re
from collections import Counter
from html.parser import HTMLParser

import pytest
from msgspec.structs import replace

from anchorcalc.catalog.tables import Catalog
from anchorcalc.render import figures, fitting_words
from anchorcalc.render.page.formula import formula, symbol
from anchorcalc.render.page.report import ReportParts, report_html
from anchorcalc.render.page.table import Cell, table
from anchorcalc.result.check import Condition
from anchorcalc.units import US
from anchorcalc.verdict.check import check_rig, compare_rig
from anchorcalc.verdict.least import with_least
from tests.conftest import SCENARIOS, Texts, edited, rig_of, roadster, texts_of
from tests.render.hostile import hostile_names, zone

SECTIONS = ("why", "anchors", "plan", "pulls", "links", "compared", "fit", "trip", "assumed", "sources", "cautions")
HARMLESS = {
    "html", "head", "meta", "title", "style", "body", "header", "nav", "main", "section", "footer", "div", "span",
    "p", "h1", "strong", "h2", "h3", "ul", "ol", "li", "dl", "dt", "dd", "a", "bdi", "table", "thead", "tbody", "tr",
    "th", "td", "svg", "desc", "g", "path", "circle", "rect", "text", "line", "figure", "figcaption", "caption", "b",
    "details", "summary", "math", "mi", "mo", "mn", "mtext", "msub", "msup", "mspace",
}  # fmt: skip
EMPTY = {"meta"}


class Page(HTMLParser):
    """What stands in a page, and whether its elements are closed in order."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: Counter[str] = Counter()
        self.attributes: list[tuple[str, str | None]] = []
        self.sections: dict[str, list[str]] = {}
        self._open: list[str] = []
        self._section = "head"
        self.feed(text)
        self.close()
        assert self._open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags[tag] += 1
        self.attributes += attrs
        if tag == "section":
            self._section = dict(attrs).get("id") or ""
        if tag not in EMPTY:
            self._open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags[tag] += 1
        self.attributes += attrs

    def handle_endtag(self, tag: str) -> None:
        assert self._open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self._open and self._open[-1] != "style" and data.strip():
            self.sections.setdefault(self._section, []).append(data.strip())

    def words(self, section: str) -> str:
        """All words of one section."""
        return " ".join(" ".join(self.sections[section]).split())


def parts_of(texts: Texts, catalog: Catalog, *, compare: bool = False) -> ReportParts:
    rig = rig_of(texts, catalog)
    return ReportParts(rig, check_rig(rig), compare_rig(rig) if compare else ())


@pytest.fixture(scope="module")
def demo(catalog: Catalog) -> ReportParts:
    parts = parts_of(roadster(), catalog, compare=True)
    return replace(parts, result=with_least(parts.result, parts.rig, catalog))


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_every_shipped_scenario_has_a_whole_and_harmless_report(path, catalog: Catalog) -> None:
    parts = parts_of(texts_of(path), catalog)
    text = report_html(parts)
    page = Page(text)
    assert set(page.tags) <= HARMLESS
    assert set(SECTIONS) <= set(page.sections)
    assert not any(name.startswith("on") for name, _ in page.attributes)
    assert {name for name, value in page.attributes if value and "://" in value} <= {"xmlns"}
    assert all(value.startswith("#") for name, value in page.attributes if name == "href" and value)
    assert not re.search(r"url\(|@import|javascript:", text)
    assert not re.search(r"\b(nan|inf)\b|\bNone\b(?! of)", text)
    result = parts.result
    assert result.verdict.upper() in page.words("head")
    for reason in result.reasons:
        assert reason in page.words("why")


def test_links_within_the_page_lead_somewhere(demo: ReportParts) -> None:
    page = Page(report_html(demo))
    places = {value for name, value in page.attributes if name == "id"}
    wanted = {value.removeprefix("#") for name, value in page.attributes if name == "href" and value}
    assert len(wanted) == 11
    assert wanted <= places


def test_it_holds_every_part(demo: ReportParts) -> None:
    page = Page(report_html(demo))
    result = demo.result
    for link in result.anchors[0].links:
        assert link.name in page.words("links")
        assert link.source in page.words("sources")
    for each in demo.compared:
        assert each.mounting in page.words("compared")
    for entry in (*result.assumed, *demo.result.sheet.assumed):
        assert entry.what in page.words("assumed")
        assert entry.why in page.words("assumed")
    for caution in result.cautions:
        assert caution in page.words("cautions")
    for recheck in result.rechecks:
        assert recheck in page.words("trip")
    for strap in demo.rig.straps:
        assert f"Strap {strap}: from ring {strap}" in page.words("trip")
    for step in demo.result.sheet.mountings[0].work:
        assert step in page.words("fit")
    (bolts,) = demo.result.sheet.mountings[0].bolts
    assert fitting_words.torque(bolts.tightening.settings[0].aim_for, US) in page.words("fit")
    for case in result.cases:
        for state in case.straps:
            if state.tension > 0:
                shown = f"{state.tension / 4.4482216152605:,.0f}, {100 * state.utilisation:.0f} %"
                assert shown in page.words("pulls")


def test_least_strengths_and_yardsticks_stand_in_the_report(demo: ReportParts) -> None:
    page = Page(report_html(demo))
    words = page.words("by-itself")
    for anchor in demo.result.anchors:
        assert anchor.least is not None
        assert f"{anchor.least.working.strength / 4.4482216152605:,.0f} lbf" in words
        assert anchor.least.working.link.name in words
        assert all(each.name in words and each.source in words for each in anchor.least.yardsticks)
    assert "none" in words  # 5,000 lbf on a ring of 1,666 lbf: no anchor of the demo reaches all of them
    assert "by-itself" not in Page(report_html(replace(demo, result=check_rig(demo.rig)))).sections


def test_the_hardest_case_of_every_strap_stands_before_all_cases(catalog: Catalog) -> None:
    parts = parts_of(roadster(), catalog)
    words = Page(report_html(parts)).words("pulls")
    for strap in parts.rig.straps:
        used = max(state.utilisation for case in parts.result.cases for state in case.straps if state.strap == strap)
        assert re.search(
            rf"{strap} [^%]*, (breaking|working) [\d,]+ lbf of [\d,]+ lbf \w* ?{figures.percent(used)}", words
        ), words
    assert words.index("Every strap in the case that uses most") < words.index("Every strap in every case")


def test_pushes_of_stops_stand_beside_the_pulls(catalog: Catalog) -> None:
    parts = parts_of(texts_of(next(path for path in SCENARIOS if path.stem == "motorcycle")), catalog)
    words = Page(report_html(parts)).words("pulls")
    pushes = [stop for case in parts.result.cases for stop in case.stops if stop.push > 5.0]
    assert pushes
    assert "stop chock, ahead [lbf]" in words
    assert words.index("braking 0.435 g, working") < words.index("front left [lbf]")  # seven are too many across
    for stop in pushes:
        assert f"{stop.push / 4.4482216152605:,.0f}, {100 * stop.utilisation:.0f} %" in words


def test_assumed_hand_tension_stands_in_the_check_list(catalog: Catalog) -> None:
    texts = roadster()
    del texts["straps"]["rear left"]["hand_tension"]
    parts = parts_of(texts, catalog)
    (value,) = (each.value for each in parts.result.assumed if each.what == "hand tension of strap rear left")
    assert f"pulled tight by hand to about {value}." in Page(report_html(parts)).words("trip")


def test_what_cannot_be_fitted_is_said_at_the_top(catalog: Catalog, demo: ReportParts) -> None:
    assert "NOT YET TO BE FITTED" not in Page(report_html(demo)).words("head")
    texts = edited(roadster(), "deck", "no_go", value=[zone("brake line", ("150 in", "30 in"), ("190 in", "36 in"))])
    page = Page(report_html(parts_of(texts, catalog)))
    assert "NOT YET TO BE FITTED" in page.words("head")
    assert "base over zone brake line" in page.words("fit")
    assert "nearest clear place" in page.words("fit")


def test_the_first_screen_says_what_to_do_and_which_anchor_is_worst(catalog: Catalog, demo: ReportParts) -> None:
    head = Page(report_html(demo)).words("head")
    assert "Fit it as the sheet below says" in head
    worst = max(demo.result.states, key=lambda state: state.utilisation)
    assert f"{worst.anchor}, {100 * worst.utilisation:.0f} % of what it holds" in head
    blocked = edited(roadster(), "deck", "no_go", value=[zone("brake line", ("150 in", "30 in"), ("190 in", "36 in"))])
    head = Page(report_html(parts_of(blocked, catalog))).words("head")
    assert "front left, 62 % of what it holds, but something is in its way" in head
    assert "Clear what is in the way" in head
    failing = parts_of(edited(roadster(), "load", "weight", value="9000 lb"), catalog)
    assert failing.result.verdict == "fail"
    assert failing.result.helps[0] in Page(report_html(failing)).words("head")


def test_what_was_not_checked_stands_in_full(demo: ReportParts) -> None:
    words = Page(report_html(demo)).words("why")
    assert demo.result.not_checked
    assert all(each in words for each in demo.result.not_checked)


def test_what_a_pass_hangs_on_is_not_told_as_what_it_lacks(demo: ReportParts) -> None:
    words = "Passes up to 300 lbf of hand tension."
    hangs = replace(demo.result, conditions=(Condition("hand_tension", "hand tension", "", words, "pass"),))
    for result, heading in ((hangs, "What its pass hangs on"), (replace(hangs, verdict="fail"), "It would pass if")):
        page = report_html(replace(demo, result=result))
        assert f"<h3>{heading}</h3>" in page
        assert "Passes up to 300" in page


def test_figures_and_tables_are_numbered_in_turn_and_have_captions(demo: ReportParts) -> None:
    text = report_html(demo)
    page = Page(text)
    assert page.tags["figure"] == page.tags["figcaption"] == 5  # plan, side view, ladder, least strength, section
    assert page.tags["table"] == page.tags["caption"]
    for word, count in (("Figure", 5), ("Table", page.tags["table"])):
        assert re.findall(rf"<b>{word} (\d+)\.</b>", text) == [str(number) for number in range(1, count + 1)]
    # Every drawing has a text in its place: a title and a description.
    assert all("<desc>" in svg for svg in re.findall(r"<svg[^>]*role=.*?</svg>", text, re.DOTALL))


def test_numbers_of_a_formula_are_set_as_mathematics(demo: ReportParts) -> None:
    text = report_html(demo)
    (crushing,) = (link for link in demo.result.anchors[0].links if link.key == "crush")
    shown = next(each for each in crushing.figures if each.symbol == "f")
    assert f"<mi>f</mi><mo>=</mo><mn>{shown.value / 6894.757293168:.0f}</mn>" in text
    assert symbol("D_eff") == "<msub><mi>D</mi><mtext>eff</mtext></msub>"
    assert symbol("d'_w") == "<msub><msup><mi>d</mi><mo>′</mo></msup><mtext>w</mtext></msub>"
    assert formula("0.6 π d_m t < 2") == "0.6 π <math><msub><mi>d</mi><mtext>m</mtext></msub></math> t &lt; 2"
    assert symbol("<b>") == "<mtext>&lt;b&gt;</mtext>"


def test_overload_is_marked(catalog: Catalog) -> None:
    texts = edited(roadster(), "trailer", "gross_rating", value="4000 lb")
    page = Page(report_html(parts_of(texts, catalog)))
    assert "ABOVE the gross rating" in page.words("fit")
    assert "NOT YET TO BE FITTED" in page.words("head")


def test_unlike_anchors_show_their_own_links(catalog: Catalog) -> None:
    texts = edited(roadster(), "anchors", "front left", "mounting", value="four screws")
    words = Page(report_html(parts_of(texts, catalog))).words("links")
    assert "front left - on four screws" in words
    assert "front right, rear left, rear right - on plated" in words


def test_hostile_names_stay_words(catalog: Catalog) -> None:
    text = report_html(parts_of(hostile_names(), catalog, compare=True))
    page = Page(text)
    assert set(page.tags) <= HARMLESS
    # Every name would close a title and open a script.
    assert text.count("<title>") == text.count("</title>")
    assert "script" not in page.tags
    assert "{{ 7*7 }}" in page.words("head")
    assert "\u2028" not in text
    assert "שלום" in text
    assert max(len(word) for section in page.sections.values() for line in section for word in line.split()) < 80
    assert len(text) < 300_000


def test_the_same_report_gives_the_same_bytes(demo: ReportParts) -> None:
    assert report_html(demo) == report_html(demo)


def test_a_row_needs_a_cell_under_every_head() -> None:
    with pytest.raises(ValueError, match="a cell under every head"):
        table(("a", "b"), [[Cell("only one")]])
