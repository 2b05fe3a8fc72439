"""Shapes in millimetres as SVG; the words keep the width they were measured with, whatever font is at hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from anchorcalc.render.draw.letters import SIZE, width
from anchorcalc.render.draw.shapes import PENS, Circle, Layer, Line, Patch, Shape, Words
from anchorcalc.render.draw.svg import Markup, coloured, group, label, number, path, tag

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from anchorcalc.render.draw.shapes import Point

FONTS = 'Helvetica, Arial, "Liberation Sans", "DejaVu Sans", sans-serif'
_LIGHT = {"ink": "#000", "paper": "#fff", "wood": "#f6ead2", "steel": "#b9c4cc"}
_DARK = {"ink": "#e9edf0", "paper": "#161b20", "wood": "#4a3f2c", "steel": "#5d6e7b"}
_RULES = (
    ".true-size text{fill:var(--ink);stroke:none}"
    ".true-size .line{fill:none;stroke:var(--ink)}.true-size .patch{stroke:var(--ink)}"
    ".true-size .wood{fill:var(--wood)}.true-size .steel{fill:var(--steel)}"
    ".true-size .paper-fill{fill:var(--paper)}.true-size .arrow-fill{fill:var(--ink)}"
)
STYLE = coloured(_RULES, _LIGHT)
BOTH_STYLE = coloured(_RULES, _LIGHT, _DARK)
"""For what is read on a screen as well; what is drilled by is always on white."""


def shapes_svg(shapes: Iterable[Shape], corner: Point, **attributes: str | float | None) -> Markup:
    """All shapes in their order, `corner` being the upper left one [mm]; style `STYLE` is the document's."""
    return group(*_layers(list(shapes), corner), class_="true-size", font_family=FONTS, **attributes)


def _layers(shapes: list[Shape], corner: Point) -> Iterator[Markup]:
    """Runs of shapes of one layer, each a group."""
    run: list[Shape] = []
    for shape in shapes:
        if run and run[-1].layer != shape.layer:
            yield _layer(run, corner)
            run = []
        run.append(shape)
    if run:
        yield _layer(run, corner)


def _layer(run: list[Shape], corner: Point) -> Markup:
    layer: Layer = run[0].layer
    drawn = [_shape(shape, corner) for shape in run]
    if layer == "words":
        return group(*drawn, data_layer=layer)
    pen = PENS[layer]
    dashes = " ".join(number(each) for each in pen.dashes) or None
    kind = "patch" if pen.fill is not None else "line"
    return group(*drawn, data_layer=layer, class_=kind, stroke_width=pen.width, stroke_dasharray=dashes)


def _shape(shape: Shape, corner: Point) -> Markup:
    left, top = corner
    if isinstance(shape, Circle):
        return tag("circle", cx=shape.centre[0] - left, cy=top - shape.centre[1], r=shape.radius)
    if isinstance(shape, Line):
        (x1, y1), (x2, y2) = shape.start, shape.end
        return tag("line", x1=x1 - left, y1=top - y1, x2=x2 - left, y2=top - y2)
    if isinstance(shape, Patch):
        corners = [(u - left, top - v) for u, v in shape.corners]
        fill = {"paper": "paper-fill", "arrow": "arrow-fill"}.get(shape.layer, shape.layer)
        return tag("path", d=path(*corners, closed=True), class_=fill)
    assert isinstance(shape, Words)  # noqa: S101 - the last of the four
    anchor = {"left": None, "middle": "middle", "right": "end"}[shape.align]
    return label(
        shape.at[0] - left, top - shape.at[1], shape.text, most=400, font_size=shape.height * SIZE,
        text_anchor=anchor, textLength=width(shape.text, shape.height) or None, lengthAdjust="spacingAndGlyphs",
    )  # fmt: skip
