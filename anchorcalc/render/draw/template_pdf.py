"""The template as PDF at true size, cut into pages that overlap where the paper is too small for it."""

from __future__ import annotations

import io
from dataclasses import dataclass
from math import ceil
from textwrap import wrap
from typing import TYPE_CHECKING, Literal

from anchorcalc.render.draw.svg import harmless
from anchorcalc.render.draw.template import PENS, Circle, Line, Shape, Template, Words, scale_bar, text_block

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reportlab.pdfgen.canvas import Canvas

Paper = Literal["letter", "a4"]

SHEETS: dict[Paper, tuple[float, float]] = {"letter": (215.9, 279.4), "a4": (210.0, 297.0)}  # ANSI B/ISO 216 [mm]
_POINTS = 72 / 25.4  # of a millimetre
_MARGIN = 10.0  # what home printers leave white is less
_HEAD, _FOOT, _SIDE = 12.0, 33.0, 14.0  # strips for the title, the bars and cautions, the upright bars
_OVERLAP = 24.0  # the widest hole with its cross is whole on one page or the other


@dataclass(frozen=True)
class Tile:
    """One page: which part of the canvas it shows, left and bottom [mm], by row from the front and column."""

    row: int
    column: int
    left: float
    bottom: float


@dataclass(frozen=True)
class Tiling:
    """All pages of one template; `window` is the part of the canvas that a page shows [mm]."""

    paper: tuple[float, float]
    window: tuple[float, float]
    rows: int
    columns: int
    tiles: tuple[Tile, ...]
    marks: tuple[tuple[float, float], ...]  # where neighbours are laid together, on the canvas


def tiling(template: Template, paper: Paper) -> Tiling:
    """Pages for `template`, forward rows first; the drawing is in the middle of them."""
    width, height = SHEETS[paper]
    window = (width - 2 * _MARGIN - _SIDE, height - 2 * _MARGIN - _HEAD - _FOOT)
    left, bottom, right, top = template.canvas
    columns, rows = (_count(*pair) for pair in ((right - left, window[0]), (top - bottom, window[1])))
    steps = window[0] - _OVERLAP, window[1] - _OVERLAP
    covered = steps[0] * (columns - 1) + window[0], steps[1] * (rows - 1) + window[1]
    first = (left + right - covered[0]) / 2, top - window[1]
    tiles = tuple(
        Tile(row, column, first[0] + column * steps[0], first[1] - row * steps[1])
        for row in range(rows)
        for column in range(columns)
    )
    return Tiling((width, height), window, rows, columns, tiles, tuple(_marks(tiles, window, rows, columns)))


def _count(extent: float, window: float) -> int:
    return 1 if extent <= window else ceil((extent - _OVERLAP) / (window - _OVERLAP))


def _marks(
    tiles: tuple[Tile, ...], window: tuple[float, float], rows: int, columns: int
) -> Iterator[tuple[float, float]]:
    """Two crosses in every strip that two neighbouring pages share."""
    for tile in tiles:
        if tile.column + 1 < columns:
            u = tile.left + window[0] - _OVERLAP / 2
            yield from ((u, tile.bottom + share * window[1]) for share in (0.25, 0.75))
        if tile.row + 1 < rows:
            v = tile.bottom + _OVERLAP / 2
            yield from ((tile.left + share * window[0], v) for share in (0.25, 0.75))


def template_pdf(template: Template, paper: Paper) -> bytes:
    """Pages to be printed at 100 %."""
    from reportlab.pdfgen.canvas import Canvas

    pages = tiling(template, paper)
    sink = io.BytesIO()
    canvas = Canvas(sink, pagesize=tuple(side * _POINTS for side in pages.paper), invariant=1, pageCompression=1)
    canvas.setTitle(_latin(f"Template at true size: {template.subtitle}"))
    canvas.setSubject(_latin(template.title))
    canvas.setViewerPreference("PrintScaling", "None")
    for number, tile in enumerate(pages.tiles, start=1):
        canvas.saveState()
        canvas.scale(_POINTS, _POINTS)
        _page(canvas, template, pages, tile, number)
        canvas.restoreState()
        canvas.showPage()
    if not _notes_fit(template, pages):
        _notes_page(canvas, template, pages)
    canvas.save()
    return sink.getvalue()


def _notes_fit(template: Template, pages: Tiling) -> bool:
    """Whether the one page there is has room for the notes below the drawing."""
    _, bottom, _, top = template.canvas
    _, end = text_block(template.notes, 0, bottom)
    return len(pages.tiles) == 1 and top - end + 2 <= pages.window[1]


def _notes_page(canvas: Canvas, template: Template, pages: Tiling) -> None:
    """A last page of words, for a drawing that leaves no room for them."""
    canvas.scale(_POINTS, _POINTS)
    top = pages.paper[1] - _MARGIN
    _draw(canvas, Words((_MARGIN, top - 4), template.title, 3.6))
    _draw(canvas, Words((_MARGIN, top - 9), f"{template.subtitle}; notes", 2.4))
    words, _ = text_block((*template.notes, *template.cautions), _MARGIN, top - 14)
    for shape in words:
        _draw(canvas, shape)
    canvas.showPage()


def _page(canvas: Canvas, template: Template, pages: Tiling, tile: Tile, number: int) -> None:
    height = pages.paper[1]
    edge, foot = _MARGIN + _SIDE, _MARGIN + _FOOT
    canvas.saveState()
    frame = canvas.beginPath()
    frame.rect(edge, foot, *pages.window)
    canvas.clipPath(frame, stroke=0, fill=0)
    canvas.translate(edge - tile.left, foot - tile.bottom)
    notes: list[Shape] = []
    if _notes_fit(template, pages):
        notes, _ = text_block(template.notes, tile.left + 1, template.canvas[1])
    for shape in (*template.shapes, *_crosses(pages), *notes):
        _draw(canvas, shape)
    canvas.restoreState()
    if len(pages.tiles) > 1:
        canvas.setLineWidth(0.1)
        canvas.setDash([1, 1])
        canvas.rect(edge, foot, *pages.window)
    for shape in _strips(template, pages, tile, number, height):
        _draw(canvas, shape)


def _crosses(pages: Tiling) -> Iterator[Shape]:
    for number, (u, v) in enumerate(pages.marks, start=1):
        yield Circle((u, v), 2.5, "bar")
        yield Line((u - 5, v), (u + 5, v), "bar")
        yield Line((u, v - 5), (u, v + 5), "bar")
        yield Words((u + 3, v + 3), f"R{number}", 2.2)


def _strips(template: Template, pages: Tiling, tile: Tile, number: int, height: float) -> Iterator[Shape]:
    """Title above, upright bars at the side, level bars and cautions below: on every page."""
    top = height - _MARGIN
    which = f"{template.subtitle}; page {number} of {len(pages.tiles)}"
    if len(pages.tiles) > 1:
        which += f": row {tile.row + 1} from the front, column {tile.column + 1} from the left; lay R over R"
    yield Words((_MARGIN, top - 4), template.title, 3.6)
    yield Words((_MARGIN, top - 9), which, 2.4)
    foot = _MARGIN + _FOOT
    yield from scale_bar((_MARGIN + 5, foot + 10), "in", upright=True)
    yield from scale_bar((_MARGIN + 12, foot + 12), "mm", upright=True)
    yield from scale_bar((_MARGIN + _SIDE, foot - 7), "in")
    yield from scale_bar((_MARGIN + _SIDE, foot - 14), "mm")
    level = foot - 16.5
    for caution in template.cautions:
        for line in wrap(caution, 125):
            level -= 3.2
            yield Words((_MARGIN, level), line, 2.2)


def _draw(canvas: Canvas, shape: Shape) -> None:
    pen = PENS[shape.layer]
    canvas.setLineWidth(pen.width)
    canvas.setDash(list(pen.dashes))
    if isinstance(shape, Circle):
        canvas.circle(*shape.centre, shape.radius)
    elif isinstance(shape, Line):
        canvas.line(*shape.start, *shape.end)
    else:
        canvas.setFont("Helvetica", shape.height * 1.25)
        text = _latin(shape.text)
        (canvas.drawCentredString if shape.align == "middle" else canvas.drawString)(*shape.at, text)


def _latin(text: str) -> str:
    """`text` in the letters that the fonts every PDF reader has can show; a question mark for any other."""
    return harmless(text).encode("cp1252", "replace").decode("cp1252")
