"""The sheets of a template as PDF at true size."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from anchorcalc.render.draw import glyphs
from anchorcalc.render.draw.letters import SIZE, runs, western, width
from anchorcalc.render.draw.shapes import PENS, Circle, Line, Patch, Shape, Words
from anchorcalc.render.draw.svg import harmless
from anchorcalc.render.draw.template_pages import Page, pages

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

    from anchorcalc.render.draw.template import Template
    from anchorcalc.render.draw.tiling import Paper

_POINTS = 72 / 25.4  # of a millimetre


def template_pdf(template: Template, paper: Paper) -> bytes:
    """Pages to be printed at 100 %."""
    from reportlab.pdfgen.canvas import Canvas

    sink = io.BytesIO()
    canvas = Canvas(sink, invariant=1, pageCompression=1)
    canvas.setTitle(f"Template at true size: mounting {harmless(template.mounting, 80)}")
    canvas.setSubject(harmless(template.scenario, 200))
    canvas.setViewerPreference("PrintScaling", "None")
    for page in pages(template, paper):
        canvas.setPageSize(tuple(side * _POINTS for side in page.paper))
        canvas.scale(_POINTS, _POINTS)
        _draw_page(canvas, page)
        canvas.showPage()
    canvas.save()
    return sink.getvalue()


def _draw_page(canvas: Canvas, page: Page) -> None:
    left, bottom, right, top = page.window
    canvas.saveState()
    frame = canvas.beginPath()
    frame.rect(left, bottom, right - left, top - bottom)
    canvas.clipPath(frame, stroke=0, fill=0)
    for shape in page.inside:
        _draw(canvas, shape)
    canvas.restoreState()
    for shape in page.outside:
        _draw(canvas, shape)


def _draw(canvas: Canvas, shape: Shape) -> None:
    pen = PENS[shape.layer]
    canvas.setLineWidth(pen.width)
    canvas.setDash(list(pen.dashes))
    if isinstance(shape, Circle):
        canvas.circle(*shape.centre, shape.radius)
    elif isinstance(shape, Line):
        canvas.line(*shape.start, *shape.end)
    elif isinstance(shape, Patch):
        outline = canvas.beginPath()
        outline.moveTo(*shape.corners[0])
        for corner in shape.corners[1:]:
            outline.lineTo(*corner)
        outline.close()
        canvas.setFillGray(pen.fill if pen.fill is not None else 1.0)
        canvas.drawPath(outline, stroke=1, fill=int(pen.fill is not None))
        canvas.setFillGray(0.0)
    else:
        _write(canvas, shape)


def _write(canvas: Canvas, words: Words) -> None:
    """One line, each run by Helvetica or as outlines."""
    u, v = words.at
    u -= {"left": 0.0, "middle": 0.5, "right": 1.0}[words.align] * width(words.text, words.height)
    for run in runs(words.text):
        if western(run):
            canvas.setFont("Helvetica", SIZE * words.height)
            canvas.drawString(u, v, run)
        else:
            _outlines(canvas, run, u, v, SIZE * words.height)
        u += width(run, words.height)


def _outlines(canvas: Canvas, text: str, u: float, v: float, size: float) -> None:
    for run in glyphs.shaped(text):
        outline = canvas.beginPath()
        at = (0.0, 0.0)
        for name, points in run.steps:
            placed = [(u, v)[place % 2] + size * value for place, value in enumerate(points)]
            if name == "M":
                outline.moveTo(*placed)
            elif name == "L":
                outline.lineTo(*placed)
            elif name == "Q":
                outline.curveTo(*_cubic(at, (placed[0], placed[1]), (placed[2], placed[3])))
            elif name == "C":
                outline.curveTo(*placed)
            else:
                outline.close()
            at = (placed[-2], placed[-1]) if placed else at
        canvas.drawPath(outline, stroke=0, fill=1, fillMode=1)  # by winding, as fonts are filled
        u += run.advance * size


def _cubic(start: tuple[float, float], middle: tuple[float, float], end: tuple[float, float]) -> list[float]:
    """The control points and the end of the cubic that a quadratic curve is."""
    first = [a + 2 / 3 * (b - a) for a, b in zip(start, middle, strict=True)]
    second = [c + 2 / 3 * (b - c) for b, c in zip(middle, end, strict=True)]
    return [*first, *second, *end]
