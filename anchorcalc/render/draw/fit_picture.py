"""What is fitted as one picture: the section through every mounting's stack, and its links as a ladder."""

from __future__ import annotations

from typing import TYPE_CHECKING

from anchorcalc.render import figures
from anchorcalc.render.draw import ladder
from anchorcalc.render.draw.letters import screen_fitted, screen_wrapped
from anchorcalc.render.draw.plan_style import STYLE, glyph
from anchorcalc.render.draw.section import section
from anchorcalc.render.draw.shapes import around
from anchorcalc.render.draw.shapes_svg import BOTH_STYLE, shapes_svg
from anchorcalc.render.draw.svg import Markup, document, group, harmless, label, tag
from anchorcalc.render.fitting_words import refusal
from anchorcalc.render.words import listed
from anchorcalc.units import length

if TYPE_CHECKING:
    from anchorcalc.result.check import Result
    from anchorcalc.result.fitting import MountingSheet
    from anchorcalc.result.strength import AnchorStrength
    from anchorcalc.rig.rig import Rig

_MARGIN, _GAP = 16.0, 28.0
_PER_MM = 3.6  # of the section, so that its words read as large as the others
_HEAD = 60.0


def fit_picture(rig: Rig, result: Result) -> str:
    """The whole picture, one row for each mounting in use."""
    head = f"{result.verdict.upper()}  {harmless(rig.title)}"
    words: list[Markup] = [
        glyph(result.verdict, _MARGIN + 12, 28),
        label(_MARGIN + 32, 34, screen_fitted(head, 17, 980, bold=True), most=200, class_="head"),
    ]
    if refused := refusal(result):
        words.append(label(_MARGIN, 56, f"{refused.word}: {refused.so}", class_="bold fail-word"))
    rows, top, wide = [], _HEAD + 8.0, 0.0
    for sheet in result.sheet.mountings:
        row, width, height = _row(rig, result, sheet)
        rows.append(group(row, transform=f"translate({_MARGIN} {top:.1f})"))
        top, wide = top + height + _GAP, max(wide, width)
    words.append(
        label(_MARGIN, top, "An estimate, not a rating. The maker's drawing of the ring comes first.", most=90)
    )
    width, height = wide + 2 * _MARGIN, top + _MARGIN
    paper = tag("rect", class_="paper", x=0, y=0, width=width, height=height)
    return document(
        group(paper, *words, class_="deck-plan"), *rows, view=(0, 0, width, height),
        title=f"Fitting: {harmless(rig.title, 120)}",
        description=f"Verdict: {result.verdict}. A section through each mounting and the strength of its links.",
        style=STYLE + BOTH_STYLE + ladder.STYLE,
    )  # fmt: skip


def section_drawing(rig: Rig, sheet: MountingSheet) -> Markup:
    """The section of one mounting as a drawing of its own [mm], with its style left to the page."""
    shapes = section(rig.anchors[sheet.anchors[0]], sheet, figures.units_of(rig))
    left, bottom, right, top = around(shapes, 1.0)
    return Markup(
        document(
            shapes_svg(shapes, (left, top)), view=(0, 0, right - left, top - bottom),
            title=f"Section through mounting {harmless(sheet.name, 60)}",
            description="From the top: " + "; ".join(
                f"{item.what} {length(item.thickness, figures.units_of(rig))}"
                for group_ in sheet.bolts[:1] for item in group_.stack
            ),
        )
    )  # fmt: skip


def _row(rig: Rig, result: Result, sheet: MountingSheet) -> tuple[Markup, float, float]:
    """Section on the left, ladder of the anchor nearest to its limit on the right."""
    units = figures.units_of(result)
    shapes = section(rig.anchors[sheet.anchors[0]], sheet, units)
    left, bottom, right, top = around(shapes)
    width, height = (right - left) * _PER_MM, (top - bottom) * _PER_MM
    strength = worst_of(result, sheet)
    says = []
    if strength is not None:
        said = f"{ladder.sentence(strength, units)} Anchor {harmless(strength.anchor, 48)}."
        says = screen_wrapped(said, 13, width + _GAP + ladder.WIDTH)
    level = 34.0 + 16 * len(says)
    drawn = shapes_svg(shapes, (left, top), transform=f"translate(0 {level:g}) scale({_PER_MM})")
    room = width + _GAP + ladder.WIDTH
    name = f"{harmless(sheet.name, 48)} - at {listed(sheet.anchors)}"
    words = [label(0, 14, screen_fitted(name, 17, room, bold=True), most=200, class_="head")]
    words += [label(0, 36 + 16 * row, line, most=300) for row, line in enumerate(says)]
    if strength is None:
        return group(group(*words, class_="deck-plan"), drawn), width, height + level
    body, tall = ladder.ladder_group(strength, ladder.asked_of(result, strength.anchor), units)
    words.append(group(body, transform=f"translate({width + _GAP:.1f} {level:g})"))
    return group(group(*words, class_="deck-plan"), drawn), room, max(height, tall) + level


def worst_of(result: Result, sheet: MountingSheet) -> AnchorStrength | None:
    """The strength of the mounting's anchor that is nearest to its limit; None where none of them is pulled."""
    states = [state for state in result.states if state.anchor in sheet.anchors and state.verdict is not None]
    if not states:
        return None
    worst = max(states, key=lambda state: state.utilisation)
    return next((strength for strength in result.anchors if strength.anchor == worst.anchor), None)
