"""The template as SVG in true millimetres."""

from __future__ import annotations

from anchorcalc.render.draw.svg import Markup, document, group, label, number, tag
from anchorcalc.render.draw.template import PENS, Circle, Layer, Line, Shape, Template, Words, on_one_sheet


def template_svg(template: Template) -> str:
    """One sheet of any size; print it at 100 %."""
    shapes, (left, bottom, right, top) = on_one_sheet(template)
    width, height = right - left, top - bottom
    layers = [_layer(layer, shapes, left, top) for layer in PENS]
    paper = tag("rect", x=0, y=0, width=width, height=height, fill="#fff")
    return document(
        paper, *layers, view=(0, 0, width, height), size=(width, height),
        title=f"Template at true size: {template.subtitle}", description=" ".join((template.title, *template.cautions)),
    )  # fmt: skip


def _layer(layer: Layer, shapes: list[Shape], left: float, top: float) -> Markup:
    pen = PENS[layer]
    drawn = [_shape(shape, left, top) for shape in shapes if shape.layer == layer]
    if layer == "words":
        return group(*drawn, id="words", fill="#000", font_family='Helvetica, Arial, "DejaVu Sans", sans-serif')
    dashes = " ".join(number(each) for each in pen.dashes) or None
    return group(*drawn, id=layer, fill="none", stroke="#000", stroke_width=pen.width, stroke_dasharray=dashes)


def _shape(shape: Shape, left: float, top: float) -> Markup:
    if isinstance(shape, Circle):
        return tag("circle", cx=shape.centre[0] - left, cy=top - shape.centre[1], r=shape.radius)
    if isinstance(shape, Line):
        (x1, y1), (x2, y2) = shape.start, shape.end
        return tag("line", x1=x1 - left, y1=top - y1, x2=x2 - left, y2=top - y2)
    assert isinstance(shape, Words)  # noqa: S101 - the last of the three
    anchor = "middle" if shape.align == "middle" else None
    x, y = shape.at[0] - left, top - shape.at[1]
    return label(x, y, shape.text, most=200, font_size=shape.height * 1.25, text_anchor=anchor)
