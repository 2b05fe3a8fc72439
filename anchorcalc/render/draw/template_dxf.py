"""The template as DXF in millimetres, one layer for each kind of line."""

from __future__ import annotations

import io
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from anchorcalc.render.draw.svg import harmless
from anchorcalc.render.draw.template import PENS, Circle, Line, Shape, Template, on_one_sheet

if TYPE_CHECKING:
    from ezdxf.layouts.layout import Modelspace

_MILLIMETRES = 4  # $INSUNITS of the DXF reference
_LINETYPES = {"base": "DASHED", "backing": "DASHDOT", "centreline": "CENTER"}


def template_dxf(template: Template) -> str:
    """R2010 file of lines, circles and single-line texts."""
    import ezdxf

    sink = io.StringIO()
    with _without_dates():
        drawing = ezdxf.new("R2010", units=_MILLIMETRES)  # type: ignore[attr-defined]
        for name in sorted(set(_LINETYPES.values())):
            drawing.linetypes.add(name, _PATTERNS[name])
        for layer, pen in PENS.items():
            drawing.layers.add(layer, color=pen.dxf_colour, linetype=_LINETYPES.get(layer, "Continuous"))
        _draw(drawing.modelspace(), template)
        # Otherwise they would be written in the order of a set, which changes from run to run.
        for name in sorted(drawing.entitydb.dxf_types_in_use()):
            drawing.classes.add_class(name)
        drawing.write(sink)
    return sink.getvalue()


def _draw(space: Modelspace, template: Template) -> None:
    shapes, (left, bottom, right, top) = on_one_sheet(template)
    for shape in shapes:
        _add(space, shape)
    space.reset_extents((left, bottom, 0), (right, top, 0))


# Total length, then dashes and gaps [mm]: ISO 128 proportions.
_PATTERNS = {
    "DASHED": [5.5, 4.0, -1.5],
    "DASHDOT": [11.0, 7.0, -1.5, 1.0, -1.5],
    "CENTER": [13.5, 9.0, -1.5, 1.5, -1.5],
}


def _add(space: Modelspace, shape: Shape) -> None:
    attributes = {"layer": shape.layer}
    if isinstance(shape, Circle):
        space.add_circle(shape.centre, shape.radius, dxfattribs=attributes)
    elif isinstance(shape, Line):
        space.add_line(shape.start, shape.end, dxfattribs=attributes)
    else:
        text = space.add_text(_plain(shape.text), height=shape.height, dxfattribs=attributes)
        text.set_placement(shape.at)


def _plain(text: str) -> str:
    """`text` without what DXF reads as codes: %% for signs, ^ for control characters, a backslash for letters."""
    return harmless(text, 200).replace("%%", "% %").replace("^", "^ ").replace("\\", "/")


@contextmanager
def _without_dates() -> Iterator[None]:
    """The same drawing gives the same bytes: no date of writing, no random identity."""
    from ezdxf import options  # type: ignore[attr-defined]

    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before
