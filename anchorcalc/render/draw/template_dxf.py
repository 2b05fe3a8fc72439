"""The template as DXF in millimetres, one layer for each kind of line."""

from __future__ import annotations

import io
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from anchorcalc.render.draw.letters import width
from anchorcalc.render.draw.shapes import PENS, Circle, Line, Patch, Shape
from anchorcalc.render.draw.svg import harmless
from anchorcalc.render.draw.template_pages import one_page

if TYPE_CHECKING:
    from ezdxf.layouts.layout import Modelspace

    from anchorcalc.render.draw.template import Template

_MILLIMETRES = 4  # $INSUNITS of the DXF reference
_LINETYPES = {
    "base": "DASHED", "member": "DASHED", "backing": "DASHDOT", "bar under": "DASHED2", "centreline": "CENTER",
}  # fmt: skip


def template_dxf(template: Template) -> str:
    """R2010 file of lines, circles, outlines and single-line texts, each fitted between its two ends."""
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
    """The middle of the base is where the sheet has it; lines run on to the window's edge as they are."""
    page = one_page(template)
    for shape in (*page.inside, *page.outside):
        _add(space, shape)
    space.reset_extents((0, 0, 0), (*page.paper, 0))


# Total length, then dashes and gaps [mm]: ISO 128 proportions.
_PATTERNS = {
    "DASHED": [5.5, 4.0, -1.5],
    "DASHED2": [2.4, 1.2, -1.2],
    "DASHDOT": [11.0, 7.0, -1.5, 1.0, -1.5],
    "CENTER": [13.5, 9.0, -1.5, 1.5, -1.5],
}


def _add(space: Modelspace, shape: Shape) -> None:
    from ezdxf.enums import TextEntityAlignment

    attributes = {"layer": shape.layer}
    if isinstance(shape, Circle):
        space.add_circle(shape.centre, shape.radius, dxfattribs=attributes)
    elif isinstance(shape, Line):
        space.add_line(shape.start, shape.end, dxfattribs=attributes)
    elif isinstance(shape, Patch):
        space.add_lwpolyline(shape.corners, close=True, dxfattribs=attributes)
    else:
        # Whatever font a viewer takes, the words end where they were measured to end.
        wide = width(shape.text, shape.height)
        left = shape.at[0] - {"left": 0.0, "middle": 0.5, "right": 1.0}[shape.align] * wide
        text = space.add_text(_plain(shape.text), height=shape.height, dxfattribs=attributes)
        ends = (left, shape.at[1]), (left + max(wide, 0.1), shape.at[1])
        text.set_placement(*ends, align=TextEntityAlignment.FIT)


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
