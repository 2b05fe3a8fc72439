"""Report and plan in a real browser: no complaint, no sideways scrolling, sane printed pages.

Chromium is not a Python package: where it is not installed these checks are not collected, and the summary of the
run says so. A continuous-integration run without it fails.
"""

from __future__ import annotations

import io
import os
from collections.abc import Iterator
from pathlib import Path

import pypdf
import pytest

from anchorcalc.catalog.tables import Catalog
from anchorcalc.render.draw.fit_picture import fit_picture
from anchorcalc.render.draw.plan import plan_svg
from anchorcalc.render.draw.template_svg import template_svg
from anchorcalc.render.fitting_words import NOT_STRONG_ENOUGH, Refusal
from anchorcalc.render.page.report import ReportParts, report_html
from anchorcalc.verdict.check import compare_rig
from tests.browser import BROWSER, Browser
from tests.conftest import SCENARIOS, edited, roadster, texts_of
from tests.render.axe import AXE
from tests.render.hostile import hostile_names
from tests.render.mountings import drawn, set_up
from tests.render.test_plan import names_of_sixty_letters, planned, twelve_anchors

PHONE, TABLET, DESKTOP = 360, 768, 1280
PAGES = {
    path.stem: path for path in SCENARIOS if path.stem in ("roadster", "orchard-tractor", "cart-held-endways-only")
}


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    with Browser(tmp_path_factory.mktemp("profile")) as opened:
        yield opened


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory, catalog: Catalog) -> dict[str, Path]:
    """A report, a plan and a fitting picture of each page; mountings are compared where that is what takes room."""
    folder = tmp_path_factory.mktemp("pages")
    written = {}
    pages = {name: texts_of(path) for name, path in PAGES.items()}
    pages |= {"hostile": hostile_names(), "sixty": names_of_sixty_letters(), "twelve": twelve_anchors()}
    for name, texts in pages.items():
        plan = planned(texts, catalog)
        rig, result = plan.rig, plan.result
        parts = ReportParts(rig, result, compare_rig(rig) if name in ("roadster", "hostile") else ())
        fitting = fit_picture(rig, result)
        for end, content in ((".html", report_html(parts)), (".svg", plan_svg(plan)), ("-fitting.svg", fitting)):
            written[f"{name}{end}"] = folder / f"{name}{end}"
            written[f"{name}{end}"].write_text(content, encoding="utf-8")
    long = edited(roadster(), "title", value="前左角的铁环和六英寸钢板" * 5)
    long["mountings"]["x" * 60] = long["mountings"]["plated"]
    refused = Refusal(NOT_STRONG_ENOUGH, "strap front left loads the ring too hard")
    for name, template in (
        ("large", drawn(set_up("large plate"), "large plate", catalog)),
        ("names", drawn(long, "x" * 60, catalog, refused)),
    ):
        written[f"template-{name}.svg"] = folder / f"template-{name}.svg"
        written[f"template-{name}.svg"].write_text(template_svg(template), encoding="utf-8")
    return written


if BROWSER is None and os.environ.get("CI") == "true":

    def test_a_browser_is_installed() -> None:
        pytest.fail("no chromium on PATH: report and plan were not opened in any browser")


if BROWSER is not None:

    @pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
    @pytest.mark.parametrize("width", [PHONE, TABLET, DESKTOP])
    @pytest.mark.parametrize("name", [*PAGES, "hostile"])
    def test_report_fits_every_screen(
        browser: Browser, files: dict[str, Path], name: str, width: int, dark: bool
    ) -> None:
        page = files[f"{name}.html"]
        browser.open(page, width, dark=dark)
        assert browser.value("document.documentElement.scrollWidth") <= width
        # A table of names 48 letters long may scroll by itself on a screen of middling width; nothing else may.
        wide = browser.value(_WIDER_THAN_THEIR_PLACE)
        assert [block for block in wide if block != "table" or name != "hostile"] == []
        assert browser.complaints() == []
        assert browser.asked_for() == [page.resolve().as_uri()]
        assert browser.value("document.scripts.length") == 0
        assert browser.value("document.title").split(":")[0] in ("PASS", "MARGINAL", "FAIL")
        # Words and ground differ enough to be read: WCAG 2.1, 1.4.3 asks for 4.5 to 1.
        assert browser.value(_LEAST_CONTRAST) >= 4.5

    @pytest.mark.parametrize("width", [PHONE, 400, 600, 690, TABLET, DESKTOP])
    def test_what_runs_on_beyond_the_screen_says_so(browser: Browser, files: dict[str, Path], width: int) -> None:
        browser.open(files["roadster.html"], width)
        told = browser.value(
            "[...document.querySelectorAll('figure')].filter(each => each.querySelector('.push')).map(each => ["
            "each.querySelector('.scroll').scrollWidth > each.querySelector('.scroll').clientWidth + 1,"
            "getComputedStyle(each.querySelector('.push')).display != 'none'])"
        )
        assert len(told) >= 3
        assert all(said for beyond, said in told if beyond)
        assert width not in (PHONE, TABLET, DESKTOP) or all(beyond == said for beyond, said in told)

    @pytest.mark.parametrize("name", [*PAGES, "hostile"])
    def test_report_prints_on_a_handful_of_pages(browser: Browser, files: dict[str, Path], name: str) -> None:
        browser.open(files[f"{name}.html"], DESKTOP)
        for letter in (True, False) if name in ("roadster", "hostile") else (True,):
            reader = pypdf.PdfReader(io.BytesIO(browser.pdf(letter=letter)))
            words = [" ".join(page.extract_text().split()) for page in reader.pages]
            assert 5 <= len(words) <= (18 if name == "hostile" else 16)  # names of sixty letters in every line
            assert all(len(each) > 150 for each in words[:-1])  # no page but the last is nearly empty
            assert sum("Figure 1." in each for each in words) == 1
            # Running title and number on every page, and what is folded on a screen unfolds on paper.
            for number, each in enumerate(words, start=1):
                assert f"page {number} of {len(words)}" in each
                assert each.split(":")[0] in ("PASS", "MARGINAL", "FAIL") or "An estimate, not a rating." in each
            assert any("formula and numbers" in each for each in words)
            assert any("In brackets stands how each source is known" in each for each in words)

    @pytest.mark.parametrize("name", PAGES)
    def test_the_first_screen_of_a_phone_holds_verdict_task_and_worst_anchor(
        browser: Browser, files: dict[str, Path], name: str
    ) -> None:
        browser.open(files[f"{name}.html"], PHONE)
        assert browser.value("document.querySelector('.banner').getBoundingClientRect().bottom") <= 640
        heads = browser.value("[...document.querySelectorAll('.banner .first dt')].map(each => each.textContent)")
        assert heads == ["what to do", "worst anchor"]

    def test_numbers_keep_their_units_beside_them(browser: Browser, files: dict[str, Path]) -> None:
        browser.open(files["roadster.html"], DESKTOP)
        broken = (
            "[...document.querySelectorAll('td.number bdi')].filter(each => each.getClientRects().length > 1).length"
        )
        assert browser.value(broken) == 0

    @pytest.mark.parametrize("name", [*PAGES, "hostile"])
    def test_words_of_drawings_can_be_read_on_a_phone(browser: Browser, files: dict[str, Path], name: str) -> None:
        browser.open(files[f"{name}.html"], PHONE)
        assert browser.value(_SMALLEST_WORDS_OF_DRAWINGS) >= 11
        assert browser.value("[...document.querySelectorAll('figure')].every(each => each.querySelector('figcaption'))")

    @pytest.mark.skipif(AXE is None, reason="axe-core could not be had from its registry")
    @pytest.mark.parametrize(
        ("name", "width", "dark"), [("roadster", PHONE, False), ("roadster", DESKTOP, True), ("hostile", PHONE, True)]
    )
    def test_report_is_accessible(browser: Browser, files: dict[str, Path], name: str, width: int, dark: bool) -> None:
        assert AXE is not None
        browser.open(files[f"{name}.html"], width, dark=dark)
        browser.value(AXE.read_text(encoding="utf-8") + ";0")
        found = browser.awaited("axe.run().then(found => found.violations.map(each => each.id + ': ' + "
                                "each.nodes.slice(0, 3).map(node => node.html).join(' | ')))")  # fmt: skip
        assert found == []

    @pytest.mark.parametrize("font", ["Helvetica", "DejaVu Sans", "Liberation Sans"])
    def test_no_words_of_a_drawing_leave_its_paper_in_any_font(
        browser: Browser, files: dict[str, Path], font: str
    ) -> None:
        """Helvetica is had as whatever stands in for it; the other two must be there themselves."""
        browser.open(files["template-large.svg"], DESKTOP)
        if font != "Helvetica" and not browser.value(_FONT_IS_THERE % font):
            pytest.skip(f"the font {font} is not installed: no drawing was measured in it")
        for name in (each for each in files if each.endswith(".svg")):
            browser.open(files[name], DESKTOP)
            browser.value(f"document.querySelectorAll('text').forEach(each => each.style.fontFamily = '{font}');0")
            assert browser.complaints() == []
            assert browser.value(_TEXTS_OUTSIDE) == [], name
            assert browser.value(_TEXTS_OVER_EACH_OTHER) == [], name

    @pytest.mark.parametrize("name", ["roadster.svg", "hostile-fitting.svg"])
    def test_a_drawing_opens_alone(browser: Browser, files: dict[str, Path], name: str) -> None:
        browser.open(files[name], DESKTOP)
        assert browser.complaints() == []
        assert browser.asked_for() == [files[name].resolve().as_uri()]
        assert browser.value("document.documentElement.nodeName") == "svg"


_WIDER_THAN_THEIR_PLACE = """(() => {
  const blocks = [...document.querySelectorAll('.banner, section, p, li, dd, h1, h2, h3, .wide')];
  const wider = blocks.filter(each => each.scrollWidth > each.clientWidth + 1);
  return wider.map(each => each.className === 'wide' ? 'table' : each.textContent);
})()"""

_LEAST_CONTRAST = """(() => {
  const channel = c => { c /= 255; return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4 };
  const light = rgb => 0.2126 * channel(rgb[0]) + 0.7152 * channel(rgb[1]) + 0.0722 * channel(rgb[2]);
  const parse = text => text.match(/[\\d.]+/g).map(Number);
  const ground = element => {
    for (let at = element; at; at = at.parentElement) {
      const colour = parse(getComputedStyle(at).backgroundColor);
      if (colour.length === 3 || colour[3] === 1) return colour;
    }
    return [255, 255, 255];
  };
  let least = 99;
  for (const each of document.querySelectorAll('p, li, td, th, h1, h2, h3, dt, dd, caption, a, .word')) {
    if (!each.textContent.trim() || each.closest('svg')) continue;
    const [a, b] = [light(parse(getComputedStyle(each).color)), light(ground(each))];
    least = Math.min(least, (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05));
  }
  return least;
})()"""

_FONT_IS_THERE = """(() => {
  const pen = document.createElementNS('http://www.w3.org/1999/xhtml', 'canvas').getContext('2d');
  const wide = font => { pen.font = '40px ' + font; return pen.measureText('Wide minimum 1/2').width };
  return wide('"%s", monospace') !== wide('monospace');
})()"""

_SMALLEST_WORDS_OF_DRAWINGS = """(() => {
  const sizes = [...document.querySelectorAll('figure svg text')].filter(text => text.textContent).map(text => {
    const matrix = text.getScreenCTM();
    return parseFloat(getComputedStyle(text).fontSize) * Math.hypot(matrix.b, matrix.d);
  });
  return Math.min(...sizes);
})()"""

_TEXTS_OUTSIDE = """(() => {
  const paper = document.querySelector('.paper').getBoundingClientRect();
  return [...document.querySelectorAll('text')].filter(text => {
    const box = text.getBoundingClientRect();
    return box.left < paper.left - 1 || box.right > paper.right + 1 || box.top < paper.top || box.bottom > paper.bottom;
  }).map(text => text.textContent);
})()"""

# Boxes of lines that stand below each other touch; only a real overlap counts.
_TEXTS_OVER_EACH_OTHER = """(() => {
  const texts = [...document.querySelectorAll('text')].filter(text => text.textContent);
  const boxes = texts.map(text => text.getBoundingClientRect());
  const found = [];
  for (let i = 0; i < texts.length; i++) for (let j = i + 1; j < texts.length; j++) {
    const [a, b] = [boxes[i], boxes[j]];
    const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
    const tall = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
    const much = wide > 1 && tall > 0.45 * Math.min(a.height, b.height);
    if (much) found.push(texts[i].textContent + ' / ' + texts[j].textContent);
  }
  return found;
})()"""
