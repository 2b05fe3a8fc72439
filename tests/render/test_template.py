"""The template at true size: measured on the rendered paper, read back as DXF, parsed as SVG."""

from __future__ import annotations

import io
import re
from collections.abc import Sequence
from itertools import combinations, pairwise
from xml.etree import ElementTree

import ezdxf
import numpy as np
import pypdf
import pypdfium2
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from numpy.typing import NDArray

from anchorcalc.catalog.tables import Catalog
from anchorcalc.fitting.sheet import fitting
from anchorcalc.render.draw import template_pdf as pdf_module
from anchorcalc.render.draw.letters import width
from anchorcalc.render.draw.shapes import Box, Circle, Drawing, Line, Shape, Words, apart, box_of, within
from anchorcalc.render.draw.template import Template, template_of
from anchorcalc.render.draw.template_dxf import template_dxf
from anchorcalc.render.draw.template_pages import BAR_LENGTHS, Page, one_page, pages
from anchorcalc.render.draw.template_pdf import template_pdf
from anchorcalc.render.draw.template_svg import template_svg
from anchorcalc.render.draw.tiling import FOOT, MARGIN, OVERLAP, SHEETS, SIDE, Paper, Tiling, tiling
from anchorcalc.render.fitting_words import NOT_STRONG_ENOUGH, Refusal
from tests.conftest import Texts, edited, rig_of, roadster
from tests.render.mountings import TEN, drawn, set_up

DPI = 300
PIXEL = 25.4 / DPI  # [mm]
TOLERANCE = 0.2  # [mm]
PAPERS: tuple[Paper, ...] = ("letter", "a4")
INCH = 25.4
# The roadster's four holes on a square of 3 1/4 in, about the middle of the base [mm].
WEAK = Refusal(NOT_STRONG_ENOUGH, "strap front left loads the deck too hard")
HOLES = [(sign_u * 1.625 * INCH, sign_v * 1.625 * INCH) for sign_v in (1, -1) for sign_u in (-1, 1)]
HOSTILE = "<script>alert('x')</script> & \"q\" שלום %%c ^J ".ljust(200, "x")
CORNER = MARGIN + SIDE, MARGIN + FOOT  # of the window [mm]


@pytest.fixture(scope="module")
def plated(catalog: Catalog) -> Template:
    return drawn(roadster(), "plated", catalog)


@pytest.fixture(scope="module")
def ten(catalog: Catalog) -> dict[str, Template]:
    return {name: drawn(set_up(name), name, catalog) for name in TEN}


Ink = NDArray[np.uint8]
BLACK = 255.0


def in_ink(pdf: bytes) -> list[Ink]:
    """Every page at 300 dpi, ink 255 and paper 0, row 0 at the foot of the page."""
    with pypdfium2.PdfDocument(pdf) as document:
        grey = (page.render(scale=DPI / 72, grayscale=True).to_numpy() for page in document)
        return [255 - np.squeeze(page)[::-1] for page in grey]


def ring_of_ink(page: Ink, at: tuple[float, float], about: float) -> tuple[float, float, float]:
    """Middle and radius of the circle about `at` [mm], from its ink along the diagonals, where nothing else is."""
    steps = np.arange(about - 1.2, about + 1.2, PIXEL / 4)
    found = []
    for angle in np.radians([45, 135, 225, 315]):
        columns = ((at[0] + steps * np.cos(angle)) / PIXEL).astype(int)
        rows = ((at[1] + steps * np.sin(angle)) / PIXEL).astype(int)
        ink = page[rows, columns] / BLACK
        assert ink.sum() > 0, "no circle there"
        found.append(float(steps @ ink / ink.sum()))
    first, second = (found[0] - found[2]) / 2, (found[1] - found[3]) / 2  # along 45 and along 135 degrees
    u, v = (first - second) / np.sqrt(2), (first + second) / np.sqrt(2)
    return at[0] + float(u), at[1] + float(v), float(np.mean(found))


def bar_of_ink(page: Ink, start: tuple[float, float], most: float, aside: float) -> float:
    """Length of a level bar from `start` [mm], between the middles of its end ticks, the only ones `aside` tall."""
    row = (
        page[round((start[1] + aside) / PIXEL), round((start[0] - 1) / PIXEL) : round((start[0] + most) / PIXEL)]
        / BLACK
    )
    ticks = np.flatnonzero(row > 0.3)
    groups = np.split(ticks, np.flatnonzero(np.diff(ticks) > 3) + 1)
    assert len(groups) == 2, "two end ticks are wanted"
    weights = [row[group] for group in groups]
    first, last = (float(group @ weight / weight.sum()) for group, weight in zip(groups, weights, strict=True))
    return (last - first) * PIXEL


def drilled(mounting: Texts) -> list[tuple[float, float]]:
    """Where the holes belong by the scenario's own words: forward, to the left [mm]."""
    at = mounting["fasteners"]["at"]

    def mm(words: str) -> float:
        sign = -1 if words.startswith("-") else 1
        parts = words.lstrip("-").removesuffix(" in").split()
        return sign * INCH * sum(float(a) / float(b or 1) for a, _, b in (part.partition("/") for part in parts))

    if "points" in at:
        return [(mm(x), mm(y)) for x, y in at["points"]]
    long, wide = at["rectangle"] if "rectangle" in at else (at["square"], at["square"])
    return [(x * mm(long) / 2, y * mm(wide) / 2) for x in (1, -1) for y in (1, -1)]


def on_paper(laid: Tiling, hole: tuple[float, float]) -> tuple[float, float]:
    """A hole by its distance forward and to the left, on the drawing: forward is up, or to the right if turned."""
    return (hole[0], hole[1]) if laid.turned else (-hole[1], hole[0])


@pytest.mark.parametrize("name", TEN)
def test_holes_bars_and_margins_on_paper(ten: dict[str, Template], name: str) -> None:
    """Of every sheet of both papers: by the ink alone."""
    template = ten[name]
    radius = next(
        shape.radius for shape in template.upright.shapes if isinstance(shape, Circle) and shape.layer == "hole"
    )
    for paper in PAPERS:
        laid = tiling(template.drawings, paper)
        document = template_pdf(template, paper)
        printed = in_ink(document)
        assert len(printed) == len(laid.tiles) + 1
        for number, words in enumerate(pypdf.PdfReader(io.BytesIO(document)).pages, start=1):
            assert f"page {number} of {len(printed)}" in words.extract_text()
        edge = int(10.0 / PIXEL)
        for page in printed:
            assert sorted(np.array(page.shape) * PIXEL) == pytest.approx(sorted(SHEETS[paper]), abs=2 * PIXEL)
            rim = page.copy()
            rim[edge:-edge, edge:-edge] = 0.0
            assert rim.max() < 0.02 * BLACK
        seen: dict[tuple[float, float], int] = {}
        for page, tile in zip(printed, laid.tiles, strict=False):
            level, upright = (MARGIN + 0.2, MARGIN + 22.5), (CORNER[1] + 1.0, MARGIN + SIDE / 2)
            for unit, side in (("in", 1), ("mm", -1)):
                length = BAR_LENGTHS[unit]
                assert bar_of_ink(page, level, length + 2, 3.2 * side) == pytest.approx(length, abs=TOLERANCE)
                assert bar_of_ink(page.T, upright, length + 0.8, -3.2 * side) == pytest.approx(length, abs=TOLERANCE)
            left, bottom, right, top = laid.box(tile)
            for hole in drilled(TEN[name]):
                u, v = on_paper(laid, hole)
                if left + 9 < u < right - 9 and bottom + 9 < v < top - 9:
                    place = CORNER[0] + u - left, CORNER[1] + v - bottom
                    assert ring_of_ink(page, place, radius) == pytest.approx((*place, radius), abs=TOLERANCE)
                    seen[hole] = seen.get(hole, 0) + 1
        assert set(seen) == set(drilled(TEN[name]))


def words_of(page: Page) -> list[Words]:
    return [shape for shape in (*page.inside, *page.outside) if isinstance(shape, Words)]


def overlaps(words: Sequence[Words]) -> list[tuple[str, str]]:
    return [(a.text, b.text) for a, b in combinations(words, 2) if not apart(box_of(a), box_of(b))]


@pytest.mark.parametrize("name", TEN)
def test_no_words_over_words_or_holes_and_none_lost(ten: dict[str, Template], name: str) -> None:
    """By the drawing's own boxes."""
    template = ten[name]
    for paper in PAPERS:
        sheets = pages(template, paper)
        for sheet in sheets:
            assert overlaps(words_of(sheet)) == []
            area = (10.0, 10.0, sheet.paper[0] - 10.0, sheet.paper[1] - 10.0)
            assert [each.text for each in words_of(sheet) if not within(box_of(each), area)] == []
            holes = [box_of(each) for each in sheet.inside if isinstance(each, Circle) and each.layer == "hole"]
            assert [each.text for each in words_of(sheet) if any(not apart(box_of(each), hole) for hole in holes)] == []
        # What a window would have cut stands whole on another sheet.
        drawing = tiling(template.drawings, paper).drawing
        said = {each.text for each in drawing.shapes if isinstance(each, Words)}
        assert max(width(each.text, each.height) for each in drawing.shapes if isinstance(each, Words)) < OVERLAP
        assert said <= {each.text for sheet in sheets for each in words_of(sheet)}
    whole = one_page(template)
    assert overlaps(words_of(whole)) == []
    area = (10.0, 10.0, whole.paper[0] - 10.0, whole.paper[1] - 10.0)
    assert all(within(box_of(each), area) for each in whole.outside)
    assert within(whole.window, area)


@pytest.mark.parametrize("name", ["recessed", "skew plate"])
def test_no_ink_of_words_on_ink_of_holes(ten: dict[str, Template], name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """By pixels: words alone, holes alone, and no pixel in both."""
    sheets = pages(ten[name], "letter")
    inks = []
    for kind in ("words", "hole"):
        kept = [
            replace(
                sheet,
                inside=tuple(each for each in sheet.inside if each.layer == kind),
                outside=tuple(each for each in sheet.outside if each.layer == kind),
            )
            for sheet in sheets
        ]
        monkeypatch.setattr(pdf_module, "pages", lambda *_, kept=kept: kept)
        inks.append(in_ink(template_pdf(ten[name], "letter")))
    for words, holes in zip(*inks, strict=True):
        assert words.max() > 0.5 * BLACK
        assert not np.any((words > 0.2 * BLACK) & (holes > 0.2 * BLACK))


@pytest.mark.parametrize(
    ("name", "letter", "a4"),
    [
        ("seven inch plate", 1, 1), ("long plate", 1, 1), ("wide plate", 1, 1), ("large plate", 8, 8),
        ("strip on screws", 5, 4), ("small ring", 1, 1), ("bars", 1, 1),
    ],
)  # fmt: skip
def test_no_sheet_more_than_needed(ten: dict[str, Template], name: str, letter: int, a4: int) -> None:
    for paper, count in (("letter", letter), ("a4", a4)):
        assert len(tiling(ten[name].drawings, paper).tiles) == count  # type: ignore[arg-type]


def test_a_long_plate_is_turned_and_says_so(ten: dict[str, Template]) -> None:
    laid = tiling(ten["long plate"].drawings, "letter")
    assert (laid.turned, laid.paper) == (True, (279.4, 215.9))
    (sheet, _) = pages(ten["long plate"], "letter")
    (arrow,) = (each.corners for each in sheet.outside if each.layer == "arrow")  # type: ignore[union-attr]
    assert max(u for u, _ in arrow) - arrow[0][0] == pytest.approx(7.0)  # it points to the right
    holes = [each.centre for each in laid.drawing.shapes if isinstance(each, Circle) and each.layer == "hole"]
    assert holes[0] == pytest.approx((4 * INCH, 1.5 * INCH))  # forward and left: to the right and up


def test_every_sheet_can_be_taken_along_alone(catalog: Catalog) -> None:
    template = drawn(set_up("large plate"), "large plate", catalog, WEAK)
    for number, sheet in enumerate(pages(template, "letter")[:-1], start=1):
        said = " ".join(each.text for each in words_of(sheet))
        for wanted in (
            "FORWARD (to the hitch); seen from above the deck", "NOT STRONG ENOUGH: do not drill by this",
            "4 holes: drill 17/32 in, never wider than 9/16 in.", "plate under the deck 14 × 20 in", "ring's base",
            f"page {number} of 9", "1:1", "checked by", "date", "Hill-climb roadster", "large plate", "100 mm",
        ):  # fmt: skip
            assert wanted in said
        assert "not 1:1" not in said
    (*_, notes) = pages(template, "letter")  # whose section is drawn to another scale
    assert "not 1:1" in [each.text for each in words_of(notes)]


def test_notes_that_one_sheet_cannot_hold_go_on_on_the_next(catalog: Catalog) -> None:
    texts = set_up("through the member")
    for number in range(16):
        place = [f"{40 + 8 * number} in", "0 in"]
        texts["anchors"][f"ring {number} {'环' * 54}"] = {"at": place, "mounting": "through the member"}
    weak = WEAK._replace(why="strap front left loads the ring too hard; " * 12)
    template = drawn(texts, "through the member", catalog, weak)
    sheets = pages(template, "letter")
    notes = [sheet for sheet in sheets if sheet.tile is None]
    assert len(notes) == 2
    for number, sheet in enumerate(sheets, start=1):
        words = words_of(sheet)
        assert overlaps(words) == []
        assert f"page {number} of {len(sheets)}" in [each.text for each in words]
        area = (10.0, 10.0, sheet.paper[0] - 10.0, sheet.paper[1] - 10.0)
        assert all(within(box_of(each), area) for each in words)
    said = " ".join(each.text for sheet in notes for each in words_of(sheet))
    assert all(f"ring {number} 环" in said for number in range(16))
    assert "the maker's drawing of the ring comes first." in said


def test_marks_are_no_holes_and_keep_clear(ten: dict[str, Template]) -> None:
    for name in ("large plate", "strip on screws"):
        laid = tiling(ten[name].drawings, "letter")
        assert len(laid.marks) == 2 * (laid.columns * (laid.rows - 1) + laid.rows * (laid.columns - 1))
        assert len({letter for letter, _ in laid.marks}) == len(laid.marks)
        for _, (u, v) in laid.marks:
            box = (u - 3, v - 3, u + 3, v + 3)
            for shape in laid.drawing.shapes:
                assert shape.layer == "centreline" or apart(box, box_of(shape))
            shown = [tile for tile in laid.tiles if within(box, laid.box(tile))]
            assert len(shown) >= 2
        for sheet in pages(ten[name], "letter")[:-1]:
            assert not any(isinstance(each, Circle) for each in sheet.inside if each.layer == "register")


@given(width=st.floats(50, 1500), height=st.floats(50, 1500), at=st.tuples(st.floats(0, 1), st.floats(0, 1)))
@pytest.mark.parametrize("paper", PAPERS)
def test_every_hole_is_whole_on_some_sheet(paper: Paper, width: float, height: float, at: tuple[float, float]) -> None:
    needed = (-width / 2, -height / 2, width / 2, height / 2)
    drawing = Drawing((), needed, needed)
    laid = tiling((drawing, drawing), paper)
    lefts, foots = sorted({tile.left for tile in laid.tiles}), sorted({tile.bottom for tile in laid.tiles})
    wide, tall = (side + 1e-9 for side in laid.window)
    assert all(b - a <= wide - OVERLAP for a, b in pairwise(lefts))
    assert lefts[0] <= needed[0] + 1e-9
    assert lefts[-1] + wide >= needed[2]
    assert foots[0] <= needed[1] + 1e-9
    assert foots[-1] + tall >= needed[3]
    arm = 17 / 2 + 3  # the widest hole of the tables, for M16, with its cross
    u, v = (-side / 2 + arm + share * (side - 2 * arm) for side, share in zip((width, height), at, strict=True))
    hole = (u - arm + 1e-9, v - arm + 1e-9, u + arm - 1e-9, v + arm - 1e-9)
    assert any(within(hole, laid.box(tile)) for tile in laid.tiles)


@given(points=st.lists(st.tuples(st.integers(-400, 400), st.integers(-400, 400)), min_size=1, max_size=24))
def test_any_pattern_of_holes_is_drawn_where_it_is(catalog: Catalog, points: list[tuple[int, int]]) -> None:
    rig = rig_of(roadster(), catalog)
    drilled_there = replace(rig.mountings["plated"], places=tuple((x / 1000, y / 1000) for x, y in points))
    sheet = fitting(rig).mountings[0]
    template = template_of(replace(rig, mountings={**rig.mountings, "plated": drilled_there}), "plated", sheet)
    for drawing, way in ((template.upright, lambda x, y: (-y, x)), (template.turned, lambda x, y: (x, y))):
        holes = [shape.centre for shape in drawing.shapes if isinstance(shape, Circle) and shape.layer == "hole"]
        assert np.array(holes) == pytest.approx(np.array([way(x, y) for x, y in points]), abs=1e-9)
        left, bottom, right, top = drawing.needed
        assert all(left < u < right and bottom < v < top for u, v in holes)


def dimensioned(drawing: Drawing) -> list[tuple[float, float]]:
    """Lengths of the dimension lines, level and upright."""
    lines = [box_of(shape) for shape in drawing.shapes if shape.layer == "dimension" and isinstance(shape, Line)]
    return [(right - left, top - bottom) for left, bottom, right, top in lines]


def test_pitch_and_middles_are_dimensioned(ten: dict[str, Template], plated: Template) -> None:
    assert sum(level == pytest.approx(3.25 * INCH) for level, _ in dimensioned(plated.upright)) == 1
    assert sum(tall == pytest.approx(3.25 * INCH) for _, tall in dimensioned(plated.upright)) == 1
    said = [each.text for each in plated.upright.shapes if isinstance(each, Words)]
    assert "3 1/4 in" in said or "3 1/4 in (82.5 mm)" in said
    # Not mirrored: every row of holes from the middle of the base.
    skew = dimensioned(ten["skew plate"].upright)
    for wanted in (1.0, 1.5):
        assert any(level == pytest.approx(wanted * INCH, abs=0.01) for level, _ in skew)
    for wanted in (2.0, 1.625):
        assert any(tall == pytest.approx(wanted * INCH, abs=0.01) for _, tall in skew)
    strip = {each.text for each in ten["strip on screws"].upright.shapes if isinstance(each, Words)}
    assert {"5 × 7 in", "= 35 in (889 mm)"} <= strip


@pytest.mark.parametrize(
    ("plate", "said"),
    [(["4 1/2 in", "4 1/2 in"], {"base and plate alike"}), (["6 in", "6 in"], {"ring's base", "plate"})],
)
def test_base_and_plate_are_told_apart(plate: list[str], said: set[str], catalog: Catalog) -> None:
    texts = edited(roadster(), "mountings", "plated", "backing", "size", value=plate)
    for drawing in drawn(texts, "plated", catalog).drawings:
        words = {each.text for each in drawing.shapes if isinstance(each, Words)}
        assert words & {"base and plate alike", "ring's base", "plate"} == said


def lines_of(drawing: Drawing, layer: str) -> list[Box]:
    return [box_of(shape) for shape in drawing.shapes if shape.layer == layer]


def test_bars_and_members_are_drawn_where_they_are(ten: dict[str, Template]) -> None:
    # Two bars 2 in wide under bolts 1 5/8 in from the middle: edges at 5/8 and 2 5/8 in, the outer ones past the base.
    edges = sorted(round(left / INCH, 3) for left, _, _, _ in lines_of(ten["bars"].upright, "bar under"))
    assert edges == [-0.625, 0.625]
    # The member under the front bolts is 1 1/2 in ahead of the ring and 2 in wide: faces at 1/2 and 2 1/2 in.
    members = lines_of(ten["through the member"].upright, "member")
    assert [round(bottom / INCH, 3) for _, bottom, _, _ in members] == [0.5, 2.5]
    assert all(right - left > 4.5 * INCH for left, _, right, _ in members)
    turned = lines_of(ten["through the member"].turned, "member")
    assert [round(left / INCH, 3) for left, _, _, _ in turned] == [0.5, 2.5]
    # Every washer, on the wood or on the steel.
    washers = [each for each in ten["through the member"].upright.shapes if isinstance(each, Circle)]
    assert sum(each.layer == "backing" for each in washers) == 4
    # The roadster's rings stand 4 in ahead of a member in front and 4 in behind one at the rear: each edge is named.
    named = {each.text for each in ten["seven inch plate"].upright.shapes if isinstance(each, Words)}
    assert {"front left, front right", "rear left, rear right"} <= {text.replace("…", "") for text in named} or any(
        text.startswith("front left, fr") for text in named
    )


def test_a_plate_that_is_not_alike_on_all_sides_says_how_it_is_held(ten: dict[str, Template]) -> None:
    assert any("Seen from below, left and right change places" in note for note in ten["skew plate"].notes)
    assert not any("Seen from below" in note for note in ten["seven inch plate"].notes)


def test_printers_are_told_not_to_scale(plated: Template) -> None:
    reader = pypdf.PdfReader(io.BytesIO(template_pdf(plated, "letter")))
    assert reader.trailer["/Root"]["/ViewerPreferences"]["/PrintScaling"] == "/None"
    assert "Measure the bars before" in reader.pages[0].extract_text()


def test_dxf_is_read_back_without_errors(plated: Template) -> None:
    drawing = ezdxf.read(io.StringIO(template_dxf(plated)))
    assert drawing.audit().errors == []
    assert (drawing.units, drawing.header["$MEASUREMENT"]) == (ezdxf.units.MM, 1)
    circles = [each for each in drawing.modelspace().query('CIRCLE[layer=="hole"]') if each.dxf.radius > 2]
    found = np.array(sorted((c.dxf.center.x, c.dxf.center.y) for c in circles))
    middle = found.mean(axis=0)
    assert found - middle == pytest.approx(np.array(sorted(HOLES)), abs=1e-6)
    assert [c.dxf.radius for c in circles] == pytest.approx([INCH * 17 / 64] * 4)
    plate = [line for line in drawing.modelspace().query('LINE[layer=="backing"]') if line.dxf.start.y > middle[1] - 77]
    assert [(line.dxf.end - line.dxf.start).magnitude for line in plate] == pytest.approx([6 * INCH] * 4)
    page = one_page(plated)
    for text in drawing.modelspace().query("TEXT"):
        _, start, end = text.get_placement()
        assert 10 <= start.x < end.x <= page.paper[0] - 10
        assert 10 <= start.y <= page.paper[1] - 10 - text.dxf.height


def test_svg_is_in_true_millimetres(plated: Template) -> None:
    root = ElementTree.fromstring(template_svg(plated))
    space = "{http://www.w3.org/2000/svg}"
    wide, tall = (root.get(side, "").removesuffix("mm") for side in ("width", "height"))
    assert root.get("viewBox") == f"0 0 {wide} {tall}"  # one unit is one millimetre
    holes = [
        each for each in root.findall(f".//{space}g[@data-layer='hole']/{space}circle") if float(each.get("r", "")) > 2
    ]
    centres = np.array([(float(hole.get("cx", "")), float(hole.get("cy", ""))) for hole in holes])
    assert centres[1] - centres[0] == pytest.approx([3.25 * INCH, 0], abs=1e-3)
    assert centres[2] - centres[0] == pytest.approx([0, 3.25 * INCH], abs=1e-3)
    assert [float(hole.get("r", "")) for hole in holes] == pytest.approx([INCH * 17 / 64] * 4, abs=1e-3)


def test_forward_is_up_and_left_is_left(catalog: Catalog) -> None:
    pattern = {"points": [["30 mm", "20 mm"], ["-30 mm", "0 mm"]]}
    texts = edited(roadster(), "mountings", "plated", "fasteners", "at", value=pattern)
    template = drawn(texts, "plated", catalog)
    holes = [shape.centre for shape in template.upright.shapes if isinstance(shape, Circle) and shape.layer == "hole"]
    assert np.array(holes) == pytest.approx(np.array([(-20, 30), (0, -30)]))
    assert "2: 1.181 in (30 mm) back" in " ".join(template.notes)


def test_every_part_of_a_mounting_has_its_lines(catalog: Catalog) -> None:
    cut = edited(roadster(), "mountings", "bolts and washers", "cut_out", value=["2 in", "1 1/2 in"])
    template = drawn(cut, "bolts and washers", catalog)
    sides = [box_of(shape) for shape in template.upright.shapes if shape.layer == "cut-out"]
    assert [round(right - left + top - bottom, 3) for left, bottom, right, top in sides] == [38.1, 50.8] * 2
    assert max(top for _, _, _, top in sides) == pytest.approx(INCH)  # the length of the opening runs along
    washers = [shape for shape in template.upright.shapes if isinstance(shape, Circle) and shape.layer == "backing"]
    assert [washer.radius for washer in washers] == pytest.approx([0.75 * INCH] * 4)
    assert any("Washers under the nuts: 1 1/2 in (38.1 mm) outside" in note for note in template.notes)
    assert "pilot 11/64 in" in drawn(roadster(), "four screws", catalog).drill


def test_users_of_millimetres_read_them_first(catalog: Catalog) -> None:
    template = drawn(edited(roadster(), "units", value="si"), "plated", catalog)
    assert template.units == "millimetres (inches)"
    assert any("82.5 mm" in each.text for each in template.upright.shapes if isinstance(each, Words))
    assert any("41.3 mm (1 5/8 in) forward" in note for note in template.notes)


@pytest.mark.parametrize("paper", PAPERS)
def test_the_same_template_gives_the_same_bytes(ten: dict[str, Template], paper: Paper) -> None:
    for template in (ten["large plate"], ten["recessed"]):
        assert template_pdf(template, paper) == template_pdf(template, paper)
        assert template_dxf(template) == template_dxf(template)
        assert template_svg(template) == template_svg(template)


def test_hostile_names_stay_words(catalog: Catalog) -> None:
    texts = edited(roadster(), "title", value=HOSTILE)
    texts["mountings"][HOSTILE] = texts["mountings"]["plated"]
    template = drawn(texts, HOSTILE, catalog, Refusal(NOT_STRONG_ENOUGH, HOSTILE))
    root = ElementTree.fromstring(template_svg(template))
    assert {each.tag.split("}")[1] for each in root.iter()} == {
        "svg", "title", "desc", "style", "rect", "clipPath", "g", "circle", "line", "path", "text",
    }  # fmt: skip
    assert "שלום" in template_svg(template)
    drawing = ezdxf.read(io.StringIO(template_dxf(template)))
    assert drawing.audit().errors == []
    texts_in_dxf = [text.dxf.text for text in drawing.modelspace().query("TEXT")]
    assert all("%%" not in text and len(text) <= 200 for text in texts_in_dxf)
    reader = pypdf.PdfReader(io.BytesIO(template_pdf(template, "letter")))
    assert "<script>alert('x')</script>" in reader.pages[0].extract_text()
    for sheet in pages(template, "a4"):
        assert overlaps(words_of(sheet)) == []


NAMES = {
    "chinese": "前左角的铁环和六英寸钢板" * 5,
    "arabic": "حلقة أمامية يسرى مع صفيحة فولاذية تحت أرضية المقطورة الصغيرة جدا",
    "cyrillic": "Переднее левое кольцо на стальной пластине под полом прицепа №3",
}


@pytest.mark.parametrize("script", NAMES)
def test_names_of_sixty_letters_of_any_script_are_drawn(catalog: Catalog, script: str) -> None:
    from anchorcalc.render.draw import glyphs

    name = NAMES[script]
    assert len(name) >= 60
    texts = edited(roadster(), "title", value=name)
    texts["mountings"][name] = texts["mountings"]["plated"]
    template = drawn(texts, name, catalog)
    assert not glyphs.missing([name])
    sheet, _ = pages(template, "letter")
    (cell,) = (
        each for each in words_of(sheet) if each.at[1] < 20 and each.at[0] < 15 and each.text.startswith(name[:4])
    )
    left, bottom, right, top = (round(each / PIXEL) for each in box_of(cell))
    (page, _) = in_ink(template_pdf(template, "letter"))
    ink = page[bottom:top, left:right] / BLACK
    assert 0.08 < ink.mean() < 0.5  # letters, neither blank nor a block
    # Not a row of the same sign, as boxes or question marks would be: columns of ink differ.
    assert len({tuple(np.round(column, 1)) for column in ink.T}) > 40
    shown = " ".join(each.text for each in words_of(sheet))
    assert re.search(name[:8], shown)


def test_shapes_are_all_of_known_layers(ten: dict[str, Template]) -> None:
    from anchorcalc.render.draw.shapes import PENS

    def layers(shapes: Sequence[Shape]) -> set[str]:
        return {shape.layer for shape in shapes}

    assert set().union(*(layers(each.upright.shapes) | layers(each.section) for each in ten.values())) <= set(PENS)
