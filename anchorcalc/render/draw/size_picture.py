"""The smallest choice as a picture: pressure under it, how it bends, strength against thickness, and its links."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from anchorcalc.render.draw.axes import CURVES, Axes
from anchorcalc.render.draw.axes import STYLE as CHART_STYLE
from anchorcalc.render.draw.ladder import STYLE as LADDER_STYLE
from anchorcalc.render.draw.ladder import Asked, ladder_group, sentence
from anchorcalc.render.draw.letters import screen_fitted, screen_width
from anchorcalc.render.draw.plan_style import STYLE, glyph
from anchorcalc.render.draw.svg import Markup, document, group, harmless, label, tag, titled
from anchorcalc.render.figures import force, units_of
from anchorcalc.render.size_words import bolts, describe
from anchorcalc.units import unit_worth

if TYPE_CHECKING:
    from anchorcalc.result.size import BearingMap, SizeAnswer, SizeChoice
    from anchorcalc.units import UnitSystem

_PANEL = 250.0  # side of a panel's frame
_LEFTS = (60.0, 516.0, 866.0)
_TOP, _WIDTH = 128.0, 1146.0
_SECOND_ROW = 478.0
_LADDER = (247, 231, 206), (122, 24, 24)  # no pressure, the wood is crushed


def size_picture(answer: SizeAnswer) -> str | None:
    """SVG of the first choice; None where there is no choice at all."""
    if not answer.choices:
        return None
    units = units_of(answer)
    shown = answer.choices[answer.curves[0][0] if answer.bearing is not None and answer.curves else 0]
    parts = list(_head(answer, shown, units))
    top = _TOP
    if answer.bearing is not None:
        parts += [
            _pressure_panel(answer.bearing, shown, units),
            _bend_panel(answer.bearing, units),
            _thickness_panel(answer, units),
        ]
        top = _SECOND_ROW
    asked = Asked(answer.wanted.working, answer.wanted.breaking)
    body, tall = ladder_group(shown.strength, asked, units)
    parts.append(group(body, transform=f"translate({_LEFTS[0]} {top:.0f})"))
    parts += _thickness_words(answer, (_LEFTS[1] - 20, top), 600.0)
    height = top + tall + 20.0
    paper = tag("rect", class_="paper", x=0, y=0, width=_WIDTH, height=height)
    name = f"{describe(shown.backing, units)}, {bolts(shown)}"
    return document(
        group(paper, *parts, class_="deck-plan"), view=(0, 0, _WIDTH, height),
        title=f"Backing of anchor {harmless(answer.anchor, 60)}: {name}",
        description=f"Verdict: {answer.verdict}. {sentence(shown.strength, units)}",
        style=STYLE + LADDER_STYLE + CHART_STYLE,
    )  # fmt: skip


def size_panels(answer: SizeAnswer) -> list[tuple[str, Markup]]:
    """The panels as drawings of their own with what they show, their style left to the page; none without a choice."""
    if answer.bearing is None or not answer.curves:
        return []
    units = units_of(answer)
    shown, tall = answer.choices[answer.curves[0][0]], _TOP + _PANEL + 78.0
    words = _thickness_words(answer, (_LEFTS[2] - 44, tall - 8), 330.0)
    about, tall = f"{describe(shown.backing, units)}, {bolts(shown)}.", tall - _TOP + 40
    panels = [
        (_LEFTS[0], tall, [_pressure_panel(answer.bearing, shown, units)], "Pressure on the wood, from above"),
        (_LEFTS[1], tall, [_bend_panel(answer.bearing, units)], "How far it goes into the wood, much enlarged"),
        (_LEFTS[2], tall + 18.0 * len(words), [_thickness_panel(answer, units), *words],
         "Daily strength by thickness of the steel"),
    ]  # fmt: skip
    return [
        (said, Markup(document(
            group(*parts, class_="deck-plan"), title=said, description=about, view=(left - 50, _TOP - 40, 440.0, high),
        )))
        for left, high, parts, said in panels
    ]  # fmt: skip


def _head(answer: SizeAnswer, shown: SizeChoice, units: UnitSystem) -> list[Markup]:
    """The verdict in a word, what is drawn, and how much of what is wanted it holds."""
    name = f"{harmless(answer.anchor, 48)}: {describe(shown.backing, units)}, {bolts(shown)}"
    wanted, held = force(answer.wanted.working, units), force(shown.strength.working, units)
    says = f"holds {held} daily; {wanted} wanted, {answer.wanted.why}. An estimate, not a rating."
    room, beside = _WIDTH - 40.0, 62.0 + screen_width(answer.verdict.upper(), 17, bold=True)
    return [
        glyph(answer.verdict, 32, 28),
        label(52, 34, answer.verdict.upper(), class_=f"head {answer.verdict}-word"),
        label(beside, 34, screen_fitted(name, 17, _WIDTH - 20 - beside, bold=True), most=200, class_="head"),
        label(20, 60, screen_fitted(says, 13, room), most=300),
        label(20, 80, screen_fitted(sentence(shown.strength, units), 13, room), most=300),
    ]  # fmt: skip


# --- panels ---------------------------------------------------------------------------------------------------


def _pressure_panel(bearing: BearingMap, choice: SizeChoice, units: UnitSystem) -> Markup:
    """The backing from below, forward up; darker where it presses harder, up to where the wood is crushed."""
    pressure, inch = np.array(bearing.pressure), unit_worth(units.length, "length")
    most = float(np.nanmax(pressure))
    full = max(most, bearing.strength)
    dx, dy = (float(side[1] - side[0]) for side in (bearing.x, bearing.y))
    half = max(dx * len(bearing.x), dy * len(bearing.y)) / 2
    ends = (-half / inch, half / inch)
    axes = Axes(_LEFTS[0], _TOP, _PANEL, _PANEL, ends, ends)
    scale = _PANEL / (2 * half)

    def place(x: float, y: float) -> tuple[float, float]:
        return axes.at(-y / inch, x / inch)  # y runs to the left, as seen from above

    cells = [
        tag(
            "rect", x=place(x, y)[0] - dy / 2 * scale, y=place(x, y)[1] - dx / 2 * scale,
            width=dy * scale + 0.3, height=dx * scale + 0.3, fill=_shade(pressure[i, j] / full),
        )
        for i, x in enumerate(bearing.x) for j, y in enumerate(bearing.y) if np.isfinite(pressure[i, j])
    ]  # fmt: skip
    nuts = [
        tag("circle", cx=place(x, y)[0], cy=place(x, y)[1], r=bearing.nut_width / 2 * scale, class_="nut")
        for x, y in bearing.nuts
    ]
    what = "plate" if choice.backing.kind == "plate" else "most loaded washer"
    head = f"Under the {what}, pulled by {force(bearing.pull, units)}"
    return titled(
        f"Pressure under the {what}",
        label(_LEFTS[0] - 44, _TOP - 24, head, most=80, class_="bold"),
        group(*cells), *nuts,
        axes.frame(f"across [{units.length}]", f"along [{units.length}], forward up"),
        _pressure_scale(most, bearing.strength, full, units),
    )  # fmt: skip


def _pressure_scale(most: float, strength: float, full: float, units: UnitSystem) -> Markup:
    """A bar of all shades with its numbers, the greatest pressure there is, and the one that crushes the wood."""
    name = "psi" if units.name == "us" else "MPa"
    unit, left = unit_worth(name, "pressure"), _LEFTS[0] + _PANEL + 24.0
    axes = Axes(left, _TOP, 16.0, _PANEL, (0.0, 1.0), (0.0, full / unit))
    steps = 40
    shades = [
        tag("rect", x=left, y=_TOP + _PANEL * (1 - (step + 1) / steps), width=16.0, height=_PANEL / steps + 0.3,
            fill=_shade((step + 0.5) / steps))
        for step in range(steps)
    ]  # fmt: skip
    parts: list[Markup] = [*shades, tag("rect", x=left, y=_TOP, width=16.0, height=_PANEL, class_="frame")]
    levels = [(0.0, "0"), (most, f"{most / unit:,.3g} most here"), (strength, f"{strength / unit:,.3g} crushes")]
    lowest = _TOP + _PANEL + 20.0
    for value, words in levels:
        _, y = axes.at(0, value / unit)
        level = min(y + 4, lowest - 14)
        lowest = level
        parts.append(tag("line", x1=left + 16, x2=left + 22, y1=y, y2=y, class_="axis"))
        parts.append(label(left + 25, level, words, class_="small"))
    parts.append(label(left, _TOP - 8, f"[{name}]", class_="small"))
    return group(*parts)


def _shade(share: float) -> str:
    pale, dark = _LADDER
    return "#" + "".join(
        f"{round(low + (high - low) * min(max(share, 0.0), 1.0)):02x}" for low, high in zip(pale, dark, strict=True)
    )


def _bend_panel(bearing: BearingMap, units: UnitSystem) -> Markup:
    """How far the backing goes into the wood along the trailer, downwards, much enlarged."""
    inch = unit_worth(units.length, "length")
    bend, x = np.array(bearing.bend) / inch, [each / inch for each in bearing.x]
    through_nut = bend[:, int(np.argmin(np.abs(np.array(bearing.y) - bearing.nuts[0][1])))]
    through_middle = bend[:, len(bearing.y) // 2]
    low = min(float(np.nanmin(bend)), 0.0)
    high = max(float(np.nanmax(bend)), low + 1e-9)
    axes = Axes(_LEFTS[1], _TOP, _PANEL, _PANEL, (x[0], x[-1]), (low, high + 0.05 * (high - low)), down=True)

    def points(row: np.ndarray[tuple[int], np.dtype[np.float64]]) -> list[tuple[float, float]]:
        return [(a, float(b)) for a, b in zip(x, row, strict=True) if np.isfinite(b)]

    legend = _TOP + _PANEL + 54.0
    return titled(
        "How it bends along the trailer",
        label(_LEFTS[1] - 44, _TOP - 24, "How far it goes into the wood", class_="bold"),
        axes.frame(f"along the trailer [{units.length}]", f"into the wood [{units.length}]"),
        axes.curve(points(through_nut), "first"),
        axes.curve(points(through_middle), "second dash"),
        axes.level(0.0, "wanted"),
        label(_LEFTS[1], legend, "under a row of nuts", class_="small first"),
        label(_LEFTS[1], legend + 15, "dashed: along the middle; above the dots it gapes", class_="small second"),
    )


def _thickness_panel(answer: SizeAnswer, units: UnitSystem) -> Markup:
    unit, inch = unit_worth(units.force, "force"), unit_worth(units.length, "length")
    points, most = [point for _, found in answer.curves for point in found], _greatest_shown(answer) / unit
    thinnest, thickest = (pick(point.thickness for point in points) / inch for pick in (min, max))
    spare = 0.05 * max(thickest - thinnest, thinnest)
    axes = Axes(_LEFTS[2], _TOP, _PANEL, _PANEL, (thinnest - spare, thickest + spare), (0.0, most))
    drawn = []
    for name, (_, found) in zip(CURVES, answer.curves, strict=False):
        drawn.append(axes.curve([(p.thickness / inch, p.working / unit) for p in found], name, marks=True))
        drawn.append(
            axes.curve([(p.thickness / inch, p.first_bend / unit) for p in found if p.first_bend], f"{name} dash")
        )
    return titled(
        "What it holds daily, by thickness",
        label(_LEFTS[2] - 44, _TOP - 24, "What it holds daily, by thickness", class_="bold"),
        axes.frame(f"thickness of the steel [{units.length}]", f"daily [{units.force}]"),
        *drawn,
        axes.level(answer.wanted.working / unit, "wanted"),
    )


def _greatest_shown(answer: SizeAnswer) -> float:
    """Pull at the upper end of the panel [N]."""
    return 1.15 * max([answer.wanted.working, *(point.working for _, found in answer.curves for point in found)])


def _thickness_words(answer: SizeAnswer, at: tuple[float, float], room: float) -> list[Markup]:
    """Which curve is which choice."""
    if not answer.curves:
        return []
    (left, top), units, most = at, units_of(answer), _greatest_shown(answer)
    words = [label(left, top + 15, "Strength by thickness", class_="bold")]
    for row, (name, (number, _)) in enumerate(zip(CURVES, answer.curves, strict=False)):
        choice = answer.choices[number]
        said = f"{describe(choice.backing, units)}, {bolts(choice)}"
        words.append(label(left, top + 38 + 18 * row, screen_fitted(said, 13, room), most=120, class_=name))
    bends = any(point.first_bend and point.first_bend <= most for _, found in answer.curves for point in found)
    signs = "dashed: the steel first bends; dots across: what is wanted" if bends else "dots across: what is wanted"
    words.append(label(left, top + 44 + 18 * (len(words) - 1), signs, most=80))
    return words
