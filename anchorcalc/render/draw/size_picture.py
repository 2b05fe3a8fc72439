"""The smallest choice as a picture: pressure under it, how it bends, and strength against thickness."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from anchorcalc.render.draw.svg import Markup, document, group, label, path, tag, titled
from anchorcalc.render.figures import force, units_of
from anchorcalc.render.size_words import bolts, describe
from anchorcalc.units import US, UnitSystem, format_quantity, length, length_number

if TYPE_CHECKING:
    from collections.abc import Sequence

    from anchorcalc.result.size import BearingMap, ByThickness, SizeAnswer, SizeChoice

_WIDTH, _HEIGHT = 1120.0, 440.0
_PANEL = 240.0  # side of a panel's drawing
_TOP = 90.0
_LEFTS = (40.0, 400.0, 760.0)
_LADDER = (247, 231, 206), (122, 24, 24)  # no pressure, the wood's strength
_COLOURS = ("#0b5394", "#b45f06", "#38761d", "#674ea7")
_STYLE = (
    "text{font-family:sans-serif;font-size:12px;fill:#222}.head{font-size:16px;font-weight:bold}"
    ".small{font-size:10px;fill:#555}.frame{fill:none;stroke:#888;stroke-width:1}"
    ".nut{fill:none;stroke:#222;stroke-width:1.2}.curve{fill:none;stroke-width:2}"
    ".dash{stroke-dasharray:5 3}.wanted{stroke:#c00;stroke-width:1;stroke-dasharray:2 3}"
)


def size_picture(answer: SizeAnswer) -> str | None:
    """SVG of the smallest washer or plate among the choices; None where there is none."""
    bearing = answer.bearing
    if bearing is None:
        return None
    curves = [(answer.choices[number], found) for number, found in answer.curves]
    units, first, pull = units_of(answer), curves[0][0], bearing.pull
    name = f"{describe(first.backing, units)}, {bolts(first)}"
    return document(
        label(_LEFTS[0], 30, f"{answer.anchor}: {name}", most=110, class_="head"),
        label(_LEFTS[0], 50, f"under a daily pull of {force(pull, units)}; {_CAUTION}", most=130, class_="small"),
        _pressure_panel(bearing, first, units),
        _bend_panel(bearing, units),
        _thickness_panel(curves, answer, units),
        view=(0, 0, _WIDTH, _HEIGHT),
        title=f"Backing of anchor {answer.anchor}: {name}",
        description="Pressure on the wood under the backing, its bend along the trailer, and what the choices hold "
        "by thickness of steel.",
        style=_STYLE,
    )


_CAUTION = "an estimate, not a rating"


def _pressure_panel(bearing: BearingMap, choice: SizeChoice, units: UnitSystem) -> Markup:
    """The backing from below, forward up; darker where it presses harder."""
    pressure = np.array(bearing.pressure)
    left, most = _LEFTS[0], float(np.nanmax(pressure))
    dx, dy = (float(side[1] - side[0]) for side in (bearing.x, bearing.y))
    long, wide = dx * len(bearing.x), dy * len(bearing.y)
    scale = _PANEL / max(long, wide)
    middle_x, middle_y = left + _PANEL / 2, _TOP + _PANEL / 2
    # x runs forward, up the picture; y to the left, as seen from above.
    cells = [
        tag(
            "rect", x=middle_x - (y + dy / 2) * scale, y=middle_y - (x + dx / 2) * scale,
            width=dy * scale + 0.3, height=dx * scale + 0.3, fill=_shade(pressure[i, j] / max(most, 1.0)),
        )
        for i, x in enumerate(bearing.x) for j, y in enumerate(bearing.y) if np.isfinite(pressure[i, j])
    ]  # fmt: skip
    nuts = [
        tag(
            "circle", cx=middle_x - y * scale, cy=middle_y - x * scale, r=bearing.nut_width / 2 * scale, class_="nut"
        )
        for x, y in bearing.nuts
    ]  # fmt: skip
    strength = format_quantity(most, "psi" if units is US else "MPa", "pressure", 3)
    what = "plate" if choice.backing.kind == "plate" else "most loaded washer"
    return titled(
        f"Pressure under the {what}",
        label(left, _TOP - 12, f"Pressure under the {what}"),
        group(*cells),
        *nuts,
        label(left, _TOP + _PANEL + 22, f"darkest: {strength}", class_="small"),
        label(left, _TOP + _PANEL + 36, f"{length(long, units)} along × {length(wide, units)} across", class_="small"),
    )


def _shade(share: float) -> str:
    pale, dark = _LADDER
    return "#" + "".join(
        f"{round(low + (high - low) * min(max(share, 0.0), 1.0)):02x}" for low, high in zip(pale, dark, strict=True)
    )


def _bend_panel(bearing: BearingMap, units: UnitSystem) -> Markup:
    """The backing's bend along the trailer, through its middle and through a row of nuts, much enlarged."""
    bend, x = np.array(bearing.bend), np.array(bearing.x)
    through_nut = bend[:, int(np.argmin(np.abs(np.array(bearing.y) - bearing.nuts[0][1])))]
    through_middle = bend[:, len(bearing.y) // 2]
    low = min(float(np.nanmin(bend)), 0.0)
    high = max(float(np.nanmax(bend)), low + 1e-9)
    frame = _Frame(_LEFTS[1], (float(x[0]), float(x[-1])), (low, high))
    scale = format_quantity(float(f"{high:.2g}"), units.length, "length")
    return titled(
        "How it bends along the trailer",
        label(_LEFTS[1], _TOP - 12, "How it bends along the trailer"),
        frame.box(),
        frame.curve(x, through_nut, _COLOURS[0]),
        frame.curve(x, through_middle, _COLOURS[1], dashed=True),
        frame.level(0.0),
        label(_LEFTS[1], _TOP + _PANEL + 22, f"blue: under a row of nuts; most {scale} into the wood", class_="small"),
        label(_LEFTS[1], _TOP + _PANEL + 36, "dashed: along the middle; below the dots it gapes", class_="small"),
    )


def _thickness_panel(
    curves: Sequence[tuple[SizeChoice, tuple[ByThickness, ...]]], answer: SizeAnswer, units: UnitSystem
) -> Markup:
    points = [point for _, found in curves for point in found]
    most = 1.1 * max([answer.wanted.working, *(point.working for point in points)])
    thinnest, thickest = min(p.thickness for p in points), max(p.thickness for p in points)
    frame = _Frame(_LEFTS[2], (thinnest, max(thickest, thinnest * 1.1)), (0.0, most))
    drawn = []
    for number, (choice, found) in enumerate(curves):
        t, colour = np.array([point.thickness for point in found]), _COLOURS[number]
        drawn += [
            frame.curve(t, np.array([point.working for point in found]), colour, marks=True),
            frame.curve(t, np.array([min(point.first_bend, most) for point in found]), colour, dashed=True),
            label(
                _LEFTS[2], _TOP + _PANEL + 50 + 14 * number, f"{describe(choice.backing, units)}, {bolts(choice)}",
                most=64, class_="small", style=f"fill:{colour}",
            ),
        ]  # fmt: skip
    ends = f"steel {length_number(thinnest, units)} to {length(thickest, units)}; top {force(most, units)}"
    return titled(
        "What it holds daily, by thickness",
        label(_LEFTS[2], _TOP - 12, "What it holds daily, by thickness"),
        frame.box(),
        *drawn,
        frame.level(answer.wanted.working),
        label(_LEFTS[2], _TOP + _PANEL + 22, ends, class_="small"),
        label(_LEFTS[2], _TOP + _PANEL + 36, "dashed: the steel first bends; dots: what is wanted", class_="small"),
    )


class _Frame:
    """A panel's axes: from values to places in the picture."""

    def __init__(self, left: float, across: tuple[float, float], up: tuple[float, float]) -> None:
        self._left, self._across, self._up = left, across, up

    def _at(self, x: float, y: float) -> tuple[float, float]:
        share_x = (x - self._across[0]) / (self._across[1] - self._across[0])
        share_y = (y - self._up[0]) / (self._up[1] - self._up[0])
        return self._left + share_x * _PANEL, _TOP + (1 - share_y) * _PANEL

    def box(self) -> Markup:
        return tag("rect", x=self._left, y=_TOP, width=_PANEL, height=_PANEL, class_="frame")

    def level(self, value: float) -> Markup:
        (x, y), (end, _) = self._at(self._across[0], value), self._at(self._across[1], value)
        return tag("line", x1=x, y1=y, x2=end, y2=y, class_="wanted")

    def curve(
        self, x: np.ndarray[tuple[int], np.dtype[np.float64]], y: np.ndarray[tuple[int], np.dtype[np.float64]],
        colour: str, *, dashed: bool = False, marks: bool = False,
    ) -> Markup:  # fmt: skip
        points = [self._at(float(a), float(b)) for a, b in zip(x, y, strict=True) if np.isfinite(b)]
        line = tag("path", d=path(*points), class_="curve dash" if dashed else "curve", stroke=colour)
        dots = [tag("circle", cx=px, cy=py, r=3.0, fill=colour) for px, py in points] if marks else []
        return group(line, *dots)
