"""The template at true size: measured on the rendered paper, read back as DXF, parsed as SVG."""

from __future__ import annotations

import io
from dataclasses import replace
from itertools import pairwise
from typing import Literal
from xml.etree import ElementTree

import ezdxf
import numpy as np
import pypdf
import pypdfium2
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from reportlab.pdfbase.pdfmetrics import stringWidth

from anchorcalc.catalog.tables import Catalog
from anchorcalc.fitting.sheet import fitting
from anchorcalc.render.draw.template import BAR_LENGTHS, Circle, Line, Template, Words, scale_bar, template_of
from anchorcalc.render.draw.template_dxf import template_dxf
from anchorcalc.render.draw.template_pdf import SHEETS, Paper, Tiling, template_pdf, tiling
from anchorcalc.render.draw.template_svg import template_svg
from tests.conftest import Texts, edited, rig_of, roadster

DPI = 300
PIXEL = 25.4 / DPI  # [mm]
TOLERANCE = 0.2  # [mm]
PAPERS = ("letter", "a4")
INCH = 25.4
# The roadster's four holes on a square of 3 1/4 in, about the middle of the base [mm].
HOLES = [(sign_u * 1.625 * INCH, sign_v * 1.625 * INCH) for sign_v in (1, -1) for sign_u in (-1, 1)]
HOSTILE = "<script>alert('x')</script> & \"q\" שלום %%c ^J ".ljust(200, "x")


def drawn(texts: Texts, mounting: str, catalog: Catalog) -> Template:
    """Template of one mounting, taken by every anchor."""
    for anchor in texts["anchors"].values():
        anchor["mounting"] = mounting
    rig = rig_of(texts, catalog)
    return template_of(rig, mounting, fitting(rig).mountings[0])


@pytest.fixture(scope="module")
def plated(catalog: Catalog) -> Template:
    return drawn(roadster(), "plated", catalog)


@pytest.fixture(scope="module")
def large(catalog: Catalog) -> Template:
    """A plate of 14 by 20 in with its holes 9 by 16 in apart: larger than either paper."""
    texts = edited(roadster(), "mountings", "plated", "backing", "size", value=["14 in", "20 in"])
    pattern = {"rectangle": ["9 in", "16 in"]}
    return drawn(edited(texts, "mountings", "plated", "fasteners", "at", value=pattern), "plated", catalog)


def pages_in_ink(pdf: bytes) -> list[NDArray[np.float64]]:
    """Every page at 300 dpi, ink 1 and paper 0, row 0 at the foot of the page."""
    with pypdfium2.PdfDocument(pdf) as document:
        grey = [page.render(scale=DPI / 72, grayscale=True).to_numpy() for page in document]
        return [1.0 - np.squeeze(page)[::-1] / 255.0 for page in grey]


def middle_of_ink(page: NDArray[np.float64], at: tuple[float, float], half: float) -> tuple[float, float]:
    """Centroid of the ink in a square window about `at` [mm] of the page."""
    (left, right), (foot, top) = ((round((each - half) / PIXEL), round((each + half) / PIXEL)) for each in at)
    window = page[foot:top, left:right]
    assert window.sum() > 0, "no ink there"
    u = (np.arange(left, right) + 0.5) @ window.sum(axis=0) / window.sum()
    v = (np.arange(foot, top) + 0.5) @ window.sum(axis=1) / window.sum()
    return float(u) * PIXEL, float(v) * PIXEL


def radius_of_ink(page: NDArray[np.float64], at: tuple[float, float], about: float) -> float:
    """Radius of the circle about `at` [mm], from its ink along the two diagonals, where nothing else is drawn."""
    steps = np.arange(about - 1.2, about + 1.2, PIXEL / 4)
    found = []
    for angle in np.radians([45, 135, 225, 315]):
        columns = ((at[0] + steps * np.cos(angle)) / PIXEL).astype(int)
        rows = ((at[1] + steps * np.sin(angle)) / PIXEL).astype(int)
        ink = page[rows, columns]
        assert ink.sum() > 0, "no circle there"
        found.append(float(steps @ ink / ink.sum()))
    return float(np.mean(found))


@pytest.mark.parametrize("paper", PAPERS)
def test_holes_on_paper_are_where_and_as_wide_as_they_should_be(plated: Template, paper: Paper) -> None:
    pages = tiling(plated, paper)
    (page,) = pages_in_ink(template_pdf(plated, paper))
    tile = pages.tiles[0]
    height, width = page.shape
    assert (width * PIXEL, height * PIXEL) == pytest.approx(SHEETS[paper], abs=2 * PIXEL)
    on_page = [(10 + 14 + u - tile.left, 10 + 33 + v - tile.bottom) for u, v in HOLES]
    # The window leaves out the hole's number, so that what is in it is alike on all sides.
    radius = INCH * 17 / 64
    found = [middle_of_ink(page, place, radius + 1.0) for place in on_page]
    assert np.array(found) == pytest.approx(np.array(on_page), abs=TOLERANCE)
    apart = np.array(found)[1] - np.array(found)[0]
    assert apart == pytest.approx([3.25 * INCH, 0], abs=TOLERANCE)
    for place in found:
        assert radius_of_ink(page, place, radius) == pytest.approx(radius, abs=TOLERANCE)


def bar_of_ink(page: NDArray[np.float64], start: tuple[float, float], most: float, *, upright: bool) -> float:
    """Length of a bar from `start` [mm], between the middles of its end ticks, the only ones 4 mm tall."""
    if upright:
        page = page.T
        start = start[1], start[0]
    aside = -3.2 if upright else 3.2  # only the ticks at the ends reach so far
    row = page[round((start[1] + aside) / PIXEL), round((start[0] - 1) / PIXEL) : round((start[0] + most) / PIXEL)]
    ticks = np.flatnonzero(row > 0.3)
    groups = np.split(ticks, np.flatnonzero(np.diff(ticks) > 3) + 1)
    assert len(groups) == 2, "two end ticks are wanted"
    weights = [row[group] for group in groups]
    first, last = (float(group @ weight / weight.sum()) for group, weight in zip(groups, weights, strict=True))
    return (last - first) * PIXEL


@pytest.mark.parametrize("paper", PAPERS)
def test_bars_on_paper_measure_true_both_ways(plated: Template, large: Template, paper: Paper) -> None:
    for template in (plated, large):
        drawings = pages_in_ink(template_pdf(template, paper))[: len(tiling(template, paper).tiles)]
        for page in drawings:
            level = {"in": (24.0, 36.0), "mm": (24.0, 29.0)}
            upright = {"in": (15.0, 53.0), "mm": (22.0, 55.0)}
            for unit, length in BAR_LENGTHS.items():
                assert bar_of_ink(page, level[unit], length + 2, upright=False) == pytest.approx(length, abs=TOLERANCE)
                assert bar_of_ink(page, upright[unit], length + 2, upright=True) == pytest.approx(length, abs=TOLERANCE)


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_an_upright_bar_has_its_name_above_it_clear_of_the_drawing(unit: Literal["in", "mm"]) -> None:
    bar = scale_bar((0.0, 0.0), unit, upright=True)
    words = [shape for shape in bar if isinstance(shape, Words)]
    assert [word.text for word in words] == {"in": ["in", "4"], "mm": ["mm", "100"]}[unit]
    for word in words:
        wide = stringWidth(word.text, "Helvetica", 1.25 * word.height)
        assert word.at[1] > BAR_LENGTHS[unit] + 2
        assert word.at[0] >= -4
        assert word.at[0] + wide < 2  # where the drawing begins
    assert words[1].at[1] - words[0].at[1] > words[0].height


@pytest.mark.parametrize("paper", PAPERS)
def test_pages_of_a_large_template_fit_together(large: Template, paper: Paper) -> None:
    pages = tiling(large, paper)
    drawings = pages_in_ink(template_pdf(large, paper))
    assert (pages.rows, pages.columns) == (2, 4)
    assert len(drawings) == len(pages.tiles) + 1  # the notes on a page of their own
    seen = dict.fromkeys(pages.marks, 0)
    for page, tile in zip(drawings, pages.tiles, strict=False):
        for u, v in pages.marks:
            inside = 6 < u - tile.left < pages.window[0] - 6 and 6 < v - tile.bottom < pages.window[1] - 6
            if inside:
                place = (24 + u - tile.left, 43 + v - tile.bottom)
                if stands_alone((u, v), large):
                    assert middle_of_ink(page, place, 3.0) == pytest.approx(place, abs=TOLERANCE)
                seen[u, v] += 1
    assert all(count >= 2 for count in seen.values())
    assert sum(stands_alone(mark, large) for mark in pages.marks) >= 6
    assert covers(pages, large.canvas)


def stands_alone(mark: tuple[float, float], template: Template) -> bool:
    """Whether no line of the drawing runs through a mark; all lines of a template but the arrow's run square."""
    lines = [shape for shape in template.shapes if isinstance(shape, Line)]
    return all(
        any(min(a, b) - 4 > at or max(a, b) + 4 < at for at, a, b in zip(mark, line.start, line.end, strict=True))
        for line in lines
    )


def covers(pages: Tiling, canvas: tuple[float, float, float, float]) -> bool:
    """Whether every point of the canvas is on some page."""
    lefts = sorted({tile.left for tile in pages.tiles})
    foots = sorted({tile.bottom for tile in pages.tiles})
    wide, tall = (side + 1e-9 for side in pages.window)  # what is rounded away is no gap
    joined = all(b - a < wide for a, b in pairwise(lefts)) and all(b - a < tall for a, b in pairwise(foots))
    return (
        joined
        and lefts[0] <= canvas[0] and lefts[-1] + wide >= canvas[2]
        and foots[0] <= canvas[1] and foots[-1] + tall >= canvas[3]
    )  # fmt: skip


@pytest.mark.parametrize("paper", PAPERS)
def test_holes_of_a_large_template_on_whichever_page_shows_them(large: Template, paper: Paper) -> None:
    pages = tiling(large, paper)
    drawings = pages_in_ink(template_pdf(large, paper))
    holes = [shape for shape in large.shapes if isinstance(shape, Circle) and shape.layer == "hole"]
    middles = sorted((round(u / INCH, 6), round(v / INCH, 6)) for u, v in (hole.centre for hole in holes))
    assert middles == [(-8, -4.5), (-8, 4.5), (8, -4.5), (8, 4.5)]
    for hole in holes:
        shown = 0
        for page, tile in zip(drawings, pages.tiles, strict=False):
            u, v = hole.centre[0] - tile.left, hole.centre[1] - tile.bottom
            near_a_mark = any(np.hypot(hole.centre[0] - a, hole.centre[1] - b) < 15 for a, b in pages.marks)
            if 10 < u < pages.window[0] - 10 and 10 < v < pages.window[1] - 10 and not near_a_mark:
                place = (24 + u, 43 + v)
                assert middle_of_ink(page, place, hole.radius + 1) == pytest.approx(place, abs=TOLERANCE)
                shown += 1
        assert shown >= 1


@given(width=st.floats(50, 1500), height=st.floats(50, 1500), at=st.tuples(st.floats(0, 1), st.floats(0, 1)))
@pytest.mark.parametrize("paper", PAPERS)
def test_every_hole_is_whole_on_some_page(
    plated: Template, paper: Paper, width: float, height: float, at: tuple[float, float]
) -> None:
    canvas = (-width / 2, -height / 2, width / 2, height / 2)
    pages = tiling(replace(plated, canvas=canvas), paper)
    assert covers(pages, canvas)
    arm = 17 / 2 + 3  # the widest hole of the tables, for M16, with its cross
    u, v = (-side / 2 + arm + share * (side - 2 * arm) for side, share in zip((width, height), at, strict=True))
    assert any(
        tile.left <= u - (arm - 1e-9) and u + (arm - 1e-9) <= tile.left + pages.window[0]
        and tile.bottom <= v - (arm - 1e-9) and v + (arm - 1e-9) <= tile.bottom + pages.window[1]
        for tile in pages.tiles
    )  # fmt: skip


@given(points=st.lists(st.tuples(st.integers(-400, 400), st.integers(-400, 400)), min_size=1, max_size=24))
def test_any_pattern_of_holes_is_drawn_where_it_is(catalog: Catalog, points: list[tuple[int, int]]) -> None:
    rig = rig_of(roadster(), catalog)
    drilled = replace(rig.mountings["plated"], positions=np.array(points) / 1000)
    sheet = fitting(rig).mountings[0]
    template = template_of(replace(rig, mountings={"plated": drilled}), "plated", sheet)
    holes = [shape.centre for shape in template.shapes if isinstance(shape, Circle)]
    assert np.array(holes) == pytest.approx(np.array([(-y, x) for x, y in points]), abs=1e-9)
    left, bottom, right, top = template.canvas
    assert all(left < u < right and bottom < v < top for u, v in holes)


def test_printers_are_told_not_to_scale(plated: Template) -> None:
    reader = pypdf.PdfReader(io.BytesIO(template_pdf(plated, "letter")))
    assert reader.trailer["/Root"]["/ViewerPreferences"]["/PrintScaling"] == "/None"
    words = reader.pages[0].extract_text()
    assert "drill 17/32 in, never wider than 9/16 in" in words
    assert "Measure the bars before cutting" in words
    assert "FORWARD (to the hitch)" in words


def test_dxf_is_read_back_without_errors(plated: Template) -> None:
    drawing = ezdxf.read(io.StringIO(template_dxf(plated)))
    assert drawing.audit().errors == []
    assert (drawing.units, drawing.header["$MEASUREMENT"]) == (ezdxf.units.MM, 1)
    circles = drawing.modelspace().query('CIRCLE[layer=="hole"]')
    found = sorted((round(c.dxf.center.x, 4), round(c.dxf.center.y, 4), round(c.dxf.radius, 4)) for c in circles)
    assert found == sorted((u, v, round(INCH * 17 / 64, 4)) for u, v in HOLES)
    plate = drawing.modelspace().query('LINE[layer=="backing"]')
    assert [(line.dxf.end - line.dxf.start).magnitude for line in plate] == pytest.approx([6 * INCH] * 4)


def test_svg_is_in_true_millimetres(plated: Template) -> None:
    root = ElementTree.fromstring(template_svg(plated))
    space = "{http://www.w3.org/2000/svg}"
    wide, tall = (root.get(side).removesuffix("mm") for side in ("width", "height"))
    assert root.get("viewBox") == f"0 0 {wide} {tall}"  # one unit is one millimetre
    holes = root.findall(f"{space}g[@id='hole']/{space}circle")
    centres = np.array([(float(hole.get("cx")), float(hole.get("cy"))) for hole in holes])
    assert centres[1] - centres[0] == pytest.approx([3.25 * INCH, 0], abs=1e-3)
    assert centres[2] - centres[0] == pytest.approx([0, 3.25 * INCH], abs=1e-3)
    assert [float(hole.get("r")) for hole in holes] == pytest.approx([INCH * 17 / 64] * 4, abs=1e-3)


def test_forward_is_up_and_left_is_left(catalog: Catalog) -> None:
    pattern = {"points": [["30 mm", "20 mm"], ["-30 mm", "0 mm"]]}
    texts = edited(roadster(), "mountings", "plated", "fasteners", "at", value=pattern)
    template = drawn(texts, "plated", catalog)
    holes = [shape.centre for shape in template.shapes if isinstance(shape, Circle)]
    assert np.array(holes) == pytest.approx(np.array([(-20, 30), (0, -30)]))
    assert "2: 1.181 in (30 mm) back" in " ".join(template.notes)


def test_every_part_of_a_mounting_has_its_lines(catalog: Catalog) -> None:
    cut = edited(roadster(), "mountings", "bolts and washers", "cut_out", value=["2 in", "1 1/2 in"])
    template = drawn(cut, "bolts and washers", catalog)
    sides = [shape for shape in template.shapes if isinstance(shape, Line) and shape.layer == "cut-out"]
    lengths = [abs(side.end[0] - side.start[0]) + abs(side.end[1] - side.start[1]) for side in sides]
    assert lengths == pytest.approx([1.5 * INCH, 2 * INCH] * 2)
    assert max(abs(side.start[1]) for side in sides) == pytest.approx(INCH)  # the length of the opening runs along
    washers = [shape for shape in template.shapes if isinstance(shape, Circle) and shape.layer == "backing"]
    assert [washer.radius for washer in washers] == pytest.approx([0.75 * INCH] * 4)
    assert any("washers under the deck, 1 1/2 in (38.1 mm) outside" in note for note in template.notes)
    screws = drawn(roadster(), "four screws", catalog)
    assert "pilot holes 11/64 in for #14 wood screw" in screws.notes[0]
    assert any("mark it from below" in note for note in drawn(roadster(), "bridge bars", catalog).notes)


@pytest.mark.parametrize("paper", PAPERS)
def test_the_same_template_gives_the_same_bytes(plated: Template, paper: Paper) -> None:
    assert template_pdf(plated, paper) == template_pdf(plated, paper)
    assert template_dxf(plated) == template_dxf(plated)
    assert template_svg(plated) == template_svg(plated)


def test_hostile_names_stay_words(catalog: Catalog) -> None:
    texts = edited(roadster(), "title", value=HOSTILE)
    texts["mountings"][HOSTILE] = texts["mountings"]["plated"]
    template = drawn(texts, HOSTILE, catalog)
    root = ElementTree.fromstring(template_svg(template))
    assert {each.tag.split("}")[1] for each in root.iter()} == {
        "svg", "title", "desc", "rect", "g", "circle", "line", "text",
    }  # fmt: skip
    assert "שלום" in template_svg(template)
    drawing = ezdxf.read(io.StringIO(template_dxf(template)))
    assert drawing.audit().errors == []
    texts_in_dxf = [text.dxf.text for text in drawing.modelspace().query("TEXT")]
    assert all("%%" not in text and len(text) <= 200 for text in texts_in_dxf)
    reader = pypdf.PdfReader(io.BytesIO(template_pdf(template, "letter")))
    assert "<script>alert('x')</script>" in reader.pages[0].extract_text()
