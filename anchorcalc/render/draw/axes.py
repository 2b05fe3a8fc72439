"""A panel of a chart: a frame, round ticks with their numbers, curves that stay inside."""

from __future__ import annotations

from itertools import pairwise
from math import floor, log10
from typing import TYPE_CHECKING

from msgspec import Struct

from anchorcalc.render.draw.plan_style import in_both_schemes
from anchorcalc.render.draw.svg import Markup, group, label, path, tag

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

Range = tuple[float, float]

CURVES = ("first", "second", "third", "fourth")
_FRAMES = (
    ".deck-plan .frame,.deck-plan .nut{fill:none;stroke:var(--soft);stroke-width:1}"
    ".deck-plan .curve{fill:none;stroke-width:2.2}.deck-plan .dash{stroke-dasharray:6 3}"
    ".deck-plan .wanted{stroke:var(--fail);stroke-width:1.5;stroke-dasharray:2 3}"
    ".deck-plan .dot{stroke:none}"
)
_COLOURS = "".join(
    f".deck-plan .curve.{name}{{stroke:var(--{name})}}"
    f".deck-plan .dot.{name},.deck-plan text.{name}{{fill:var(--{name})}}"
    for name in CURVES
)
STYLE = in_both_schemes(_FRAMES + _COLOURS)
"""Of the frames, and of as many curves as are told apart."""


def ticks(low: float, high: float, most: int = 5) -> list[float]:
    """Round numbers from `low` to `high`, no more than `most` steps of 1, 2 or 5 times a power of ten."""
    if not high > low:
        return [low]
    rough = (high - low) / most
    power = 10.0 ** floor(log10(rough))
    step = next(each * power for each in (1, 2, 5, 10) if each * power >= rough * (1 - 1e-9))
    first = -floor(-low / step + 1e-9)
    return [round(step * number, 12) for number in range(first, floor(high / step + 1e-9) + 1)]


class Axes(Struct, frozen=True):
    """Where values lie in the drawing; with `down` the second one grows downwards."""

    left: float
    top: float
    width: float
    height: float
    across: Range
    upright: Range
    down: bool = False

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Place of a pair of values."""
        share_x = (x - self.across[0]) / (self.across[1] - self.across[0])
        share_y = (y - self.upright[0]) / (self.upright[1] - self.upright[0])
        return self.left + share_x * self.width, self.top + (share_y if self.down else 1 - share_y) * self.height

    def frame(self, across: str, upright: str) -> Markup:
        """The frame, its ticks with numbers, and what is on each axis."""
        foot = self.top + self.height
        parts = [tag("rect", x=self.left, y=self.top, width=self.width, height=self.height, class_="frame")]
        parts += self._ticks()
        parts.append(label(self.left + self.width / 2, foot + 36, across, class_="small middle"))
        parts.append(label(self.left - 44, self.top - 8, upright, class_="small"))
        return group(*parts)

    def _ticks(self) -> Iterator[Markup]:
        foot = self.top + self.height
        for value in ticks(*self.across):
            x, _ = self.at(value, self.upright[0])
            yield tag("line", x1=x, x2=x, y1=foot, y2=foot + 5, class_="axis")
            yield label(x, foot + 18, f"{value:,.6g}", class_="small middle")
        for value in ticks(*self.upright):
            _, y = self.at(self.across[0], value)
            yield tag("line", x1=self.left - 5, x2=self.left, y1=y, y2=y, class_="axis")
            yield label(self.left - 8, y + 4, f"{value:,.6g}", class_="small end")

    def curve(self, points: Sequence[tuple[float, float]], class_: str, *, marks: bool = False) -> Markup:
        """A curve through the points, cut where it leaves the frame."""
        lines = [tag("path", d=path(*run), class_=f"curve {class_}") for run in self._runs(points)]
        low, high = self.upright
        inside = [self.at(x, y) for x, y in points if low <= y <= high] if marks else []
        return group(*lines, *(tag("circle", cx=x, cy=y, r=3.0, class_=f"dot {class_}") for x, y in inside))

    def _runs(self, points: Sequence[tuple[float, float]]) -> Iterator[list[tuple[float, float]]]:
        """The parts of a curve that lie in the frame, as places in the drawing."""
        run: list[tuple[float, float]] = []
        for first, second in pairwise(points):
            piece = self._cut(first, second)
            if piece is None:
                continue
            start, end = (self.at(*each) for each in piece)
            if run and run[-1] != start:
                yield run
                run = []
            run = [*(run or [start]), end]
        if run:
            yield run

    def _cut(
        self, first: tuple[float, float], second: tuple[float, float]
    ) -> tuple[tuple[float, float], tuple[float, float]] | None:
        """The part of a straight piece that lies between the ends of the upright axis."""
        (low, high), (a, b) = self.upright, (first[1], second[1])
        if max(a, b) < low or min(a, b) > high:
            return None

        def at(share: float) -> tuple[float, float]:
            return tuple(p + share * (q - p) for p, q in zip(first, second, strict=True))  # type: ignore[return-value]

        shares = sorted((limit - a) / (b - a) for limit in (low, high)) if a != b else [0.0, 1.0]
        return at(max(shares[0], 0.0)), at(min(shares[1], 1.0))

    def level(self, value: float, class_: str) -> Markup:
        """A line across the frame."""
        (x, y), (end, _) = self.at(self.across[0], value), self.at(self.across[1], value)
        return tag("line", x1=x, y1=y, x2=end, y2=y, class_=class_)
