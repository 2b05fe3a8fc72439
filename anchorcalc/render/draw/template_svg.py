"""The template as SVG in true millimetres."""

from __future__ import annotations

from typing import TYPE_CHECKING

from anchorcalc.render.draw.shapes_svg import STYLE, shapes_svg
from anchorcalc.render.draw.svg import document, harmless, tag
from anchorcalc.render.draw.template_pages import one_page
from anchorcalc.render.draw.template_words import CAUTIONS, MEASURE_BARS

if TYPE_CHECKING:
    from anchorcalc.render.draw.template import Template


def template_svg(template: Template) -> str:
    """One sheet of any size; print it at 100 %."""
    page = one_page(template)
    wide, tall = page.paper
    left, bottom, right, top = page.window
    window = tag("rect", x=left, y=tall - top, width=right - left, height=top - bottom)
    paper = tag("rect", x=0, y=0, width=wide, height=tall, fill="#fff", class_="paper")
    return document(
        paper, tag("clipPath", window, id="window"),
        shapes_svg(page.inside, (0.0, tall), clip_path="url(#window)"), shapes_svg(page.outside, (0.0, tall)),
        view=(0, 0, wide, tall), size=(wide, tall), style=STYLE,
        title=f"Template at true size: mounting {harmless(template.mounting, 80)}",
        description=" ".join((harmless(template.scenario, 200), MEASURE_BARS, *CAUTIONS)),
    )  # fmt: skip
