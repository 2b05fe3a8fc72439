"""The sheets of a template: the drawing in a window, and round it what every sheet must say by itself."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from anchorcalc.render.draw.letters import fitted, wrapped, wrapped_all
from anchorcalc.render.draw.shapes import (
    INCH,
    Box,
    Circle,
    Line,
    Patch,
    Point,
    Shape,
    Words,
    around,
    box_of,
    rectangle,
    shifted,
    within,
)
from anchorcalc.render.draw.template_words import CAUTIONS, MEASURE_BARS, ON_EVERY_SHEET
from anchorcalc.render.draw.tiling import FOOT, HEAD, MARGIN, SHEETS, SIDE, Paper, Tile, Tiling, register, tiling
from anchorcalc.render.words import listed

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from anchorcalc.render.draw.template import Template

BAR_LENGTHS = {"in": 4 * INCH, "mm": 100.0}

_TINY, _SMALL, _TEXT, _LOUD = 1.8, 2.2, 2.6, 3.4
_LINE = 1.45  # from foot to foot of two lines, of their height
_BLOCK = 16.0  # height of the title block


class Page(Struct, frozen=True):
    """One sheet [mm from its lower left corner]: what is clipped to its window, and what stands round it."""

    paper: tuple[float, float]
    window: Box
    inside: tuple[Shape, ...]
    outside: tuple[Shape, ...]
    tile: Tile | None = None  # None for the last sheet, of words


def pages(template: Template, paper: Paper) -> list[Page]:
    """All sheets: the drawing, then section, notes and cautions."""
    laid, size = tiling(template.drawings, paper), SHEETS[paper]
    blocks = _notes_blocks(template, size[0] - 2 * MARGIN, size[1] - 2 * MARGIN - 2.5 * _LOUD - _BLOCK - 2.0)
    count = len(laid.tiles) + len(blocks)
    sheets = [_drawing_page(template, laid, tile, number, count) for number, tile in enumerate(laid.tiles, start=1)]
    notes = [_notes_page(template, size, block, number, count) for number, block in enumerate(blocks, len(sheets) + 1)]
    return [*sheets, *notes]


def one_page(template: Template) -> Page:
    """The whole template on one sheet of any size, for files that are not cut into pages."""
    drawing = template.upright
    left, bottom, right, top = drawing.wished
    wide, tall = max(right - left, 186.0), max(top - bottom, 112.0)
    full = wide + SIDE
    notes, deep = _notes_block(template, full, _SMALL)
    paper = full + 2 * MARGIN, tall + HEAD + FOOT + deep + 2 * MARGIN + 4.0
    foot = MARGIN + deep + 4.0
    window = (MARGIN + SIDE, foot + FOOT, MARGIN + SIDE + wide, foot + FOOT + tall)
    by = (window[0] + window[2] - left - right) / 2, (window[1] + window[3] - bottom - top) / 2
    outside = (
        *_head(template, paper, "", turned=False),
        *_foot(template, window, (MARGIN, foot), full, "sheet 1 of 1"),
        *(shifted(shape, (MARGIN, foot - 4.0)) for shape in notes),
    )
    return Page(paper, window, tuple(shifted(shape, by) for shape in drawing.shapes), outside)


# --- sheets ---------------------------------------------------------------------------------------------------


def _drawing_page(template: Template, laid: Tiling, tile: Tile, number: int, count: int) -> Page:
    edge, foot = MARGIN + SIDE, MARGIN + FOOT
    window = (edge, foot, edge + laid.window[0], foot + laid.window[1])
    by = edge - tile.left, foot - tile.bottom
    marks = [shape for letter, at in laid.marks for shape in register(letter, at)]
    shown = [shifted(shape, by) for shape in (*laid.drawing.shapes, *marks)]
    # Words are whole on one sheet or the other: none is cut at the edge of a window.
    inside = [shape for shape in shown if not isinstance(shape, Words) or within(box_of(shape), window)]
    where = ""
    if len(laid.tiles) > 1:
        where = (
            f"Row {tile.row + 1} of {laid.rows} from the top, column {tile.column + 1} of {laid.columns} from the "
            "left: cut along the frame and lay diamond over diamond, letter over letter."
        )
    outside = [
        *_head(template, laid.paper, where, turned=laid.turned),
        *_foot(template, window, (MARGIN, MARGIN), laid.paper[0] - 2 * MARGIN, f"page {number} of {count}"),
    ]
    if len(laid.tiles) > 1:
        outside += rectangle(window, "frame")
    return Page(laid.paper, window, tuple(inside), tuple(outside), tile)


def _notes_page(
    template: Template, paper: tuple[float, float], block: Sequence[Shape], number: int, count: int
) -> Page:
    wide, top = paper[0] - 2 * MARGIN, paper[1] - MARGIN
    outside = [
        Words((MARGIN, top - _LOUD), "Section and notes", _LOUD),
        *(shifted(shape, (MARGIN, top - 2.5 * _LOUD)) for shape in block),
        *_title_block(template, (MARGIN, MARGIN), wide, f"page {number} of {count}", scale="not 1:1"),
    ]
    return Page(paper, (0.0, 0.0, *paper), (), tuple(outside))


def _notes_blocks(template: Template, wide: float, tall: float) -> list[list[Shape]]:
    """Section and sentences for as many sheets as they need, each from nil down; in larger letters if one is enough."""
    large, deep = _notes_block(template, wide, _TEXT)
    if deep <= tall:
        return [large]
    small, _ = _notes_block(template, wide, _SMALL)
    blocks: list[list[Shape]] = [[]]
    start = 0.0
    for shape in small:
        if box_of(shape)[1] < start - tall:
            blocks.append([])
            start = box_of(shape)[3]
        blocks[-1].append(shifted(shape, (0.0, -start)))
    return blocks


def _notes_block(template: Template, wide: float, height: float) -> tuple[list[Shape], float]:
    """Section and sentences from nil down, and how deep they go."""
    left, bottom, _, top = around(template.section)
    level = -(top - bottom) - 6.0
    made = [shifted(shape, (-left, -top)) for shape in template.section]
    for line in wrapped_all((*template.notes, *CAUTIONS), height, wide):
        level -= _LINE * height
        made.append(Words((0.0, level), line, height))
    return made, -level + 2.0


# --- head and foot --------------------------------------------------------------------------------------------


def _head(template: Template, paper: tuple[float, float], where: str, *, turned: bool) -> Iterator[Shape]:
    """Which way is forward, where the sheet belongs, and whether the mounting is strong enough."""
    top, right = paper[1] - MARGIN, paper[0] - MARGIN
    yield from _arrow((MARGIN + 3.0, top - 8.0), turned=turned)
    forward = "FORWARD (to the hitch); seen from above the deck"
    yield Words((MARGIN + 10.0, top - 4.0), forward, _TEXT if template.refused else _LOUD)
    if template.refused:
        yield Words((right, top - 4.0), f"{template.refused.word}: {template.refused.so}", _LOUD, "right")
        yield Words((MARGIN + 10.0, top - 7.8), fitted(template.refused.why, _SMALL, right - MARGIN - 10.0), _SMALL)
    if where:
        yield Words(
            (MARGIN + 10.0, top - (10.6 if template.refused else 9.0)),
            fitted(where, _SMALL, right - MARGIN - 10.0),
            _SMALL,
        )


def _arrow(foot: Point, *, turned: bool) -> Iterator[Shape]:
    u, v = foot
    if turned:
        yield Patch(((u - 2.5, v + 1.0), (u - 2.5, v + 7.0), (u + 4.5, v + 4.0)), "arrow")
    else:
        yield Patch(((u - 3.0, v), (u + 3.0, v), (u, v + 7.5)), "arrow")


def _foot(template: Template, window: Box, corner: Point, wide: float, sheet: str) -> Iterator[Shape]:
    """Bars both ways, what to drill, which line is what, title block."""
    left, bottom = corner
    yield from _title_block(template, corner, wide, sheet)
    level = bottom + _BLOCK + 6.5
    yield from scale_bars((left + 0.2, level))
    words = left + BAR_LENGTHS["in"] + 17.0
    for row, line in enumerate(wrapped(f"{MEASURE_BARS} {ON_EVERY_SHEET}", _SMALL, left + wide - words)):
        yield Words((words, level + 3.0 - _LINE * _SMALL * row), line, _SMALL)
    yield from scale_bars((left + SIDE / 2, window[1] + 1.0), upright=True)
    top = bottom + FOOT - 2.0
    share = 0.34 * wide
    for row, line in enumerate(wrapped(template.drill, _LOUD, share - 4.0)):
        yield Words((left, top - _LINE * _LOUD * (row + 0.5)), line, _LOUD)
    yield from _key(template, (left + share, top), wide - share)


def _key(template: Template, corner: Point, wide: float) -> Iterator[Shape]:
    """Which line is what, in two columns."""
    rows, column = (len(template.key) + 1) // 2, wide / 2
    for number, (layer, said) in enumerate(template.key):
        left = corner[0] + column * (number // rows)
        level = corner[1] - 4.4 * (number % rows + 0.5)
        if layer == "hole":
            yield Circle((left + 6.0, level + 0.8), 1.6, "hole")
        else:
            yield Line((left, level + 0.8), (left + 12.0, level + 0.8), layer)
        lines = wrapped(said, _SMALL, column - 15.0)
        height = _SMALL if len(lines) == 1 else _TINY
        yield Words((left + 13.5, level), fitted(said, height, column - 15.0), height)


def _title_block(template: Template, corner: Point, wide: float, sheet: str, scale: str = "1:1") -> Iterator[Shape]:
    """Two rows of cells, each with its head and what is written or left to be written there."""
    left, bottom = corner
    half = _BLOCK / 2
    anchors = listed(template.anchors) or "none of the scenario"
    rows: list[list[tuple[float, str, str]]] = [
        [
            (0.40, "scenario", template.scenario), (0.26, "mounting", template.mounting),
            (0.20, "scale", scale), (0.14, "sheet", sheet),
        ],
        [
            (0.40, "for anchors", anchors), (0.26, "units", template.units),
            (0.17, "date", ""), (0.17, "checked by", ""),
        ],
    ]  # fmt: skip
    for number, row in enumerate(rows):
        level, at = bottom + half * (1 - number), left
        for share, head, value in row:
            cell = (at, level, at + share * wide, level + half)
            yield from rectangle(cell, "frame")
            yield Words((at + 1.0, level + half - 2.4), head, _TINY)
            if value:
                yield Words((at + 1.0, level + 1.3), fitted(value, _TEXT, share * wide - 2.0), _TEXT)
            at += share * wide


# --- bars to measure ------------------------------------------------------------------------------------------


def scale_bars(at: Point, *, upright: bool = False) -> Iterator[Shape]:
    """One line from `at` with 4 in on its one side and 100 mm on its other, to the right or upright.

    Inches are above, or to the left of, the line; the ticks at nil and at the end are the long ones.
    """

    def place(along: float, aside: float) -> Point:
        return (at[0] - aside, at[1] + along) if upright else (at[0] + along, at[1] + aside)

    yield Line(place(0, 0), place(BAR_LENGTHS["in"], 0), "scale")
    for side, step, count in ((1, INCH, 4), (-1, 10.0, 10)):
        for each in range(count + 1):
            tall = side * (4.0 if each in (0, count) else 2.0)
            yield Line(place(each * step, 0), place(each * step, tall), "scale")
    if upright:
        yield Words((at[0], at[1] + BAR_LENGTHS["in"] + 4.4), "4 in", 1.7, "middle")
        yield Words((at[0], at[1] + BAR_LENGTHS["in"] + 1.4), "100 mm", 1.7, "middle")
        return
    yield Words((at[0] + BAR_LENGTHS["in"] + 1.5, at[1] + 1.2), "4 in", _SMALL)
    yield Words((at[0] + BAR_LENGTHS["in"] + 1.5, at[1] - 3.2), "100 mm", _SMALL)
