"""Straps seen from above, and which of them would run through a tyre."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from anchorcalc.scenario.model import Scenario

_TYRE: Final = (0.23, 0.08)  # half of the length and width of its foot where a strap would meet it [m] [judgement]

Point = tuple[float, float]


def strap_ways(scenario: Scenario) -> dict[str, list[Point]]:
    """Places of each strap from its ring to its hook or its other ring, seen from above, straight between them."""
    ways = {}
    for name, strap in scenario.straps.items():
        way = [scenario.anchors[strap.anchor].at, *(_place_of(point, scenario) for point in strap.over or (strap.to,))]
        if strap.to_anchor is not None:
            way.append(scenario.anchors[strap.to_anchor].at)
        ways[name] = way
    return ways


def _place_of(point: str | tuple[float, float, float] | None, scenario: Scenario) -> Point:
    return scenario.load.tie_points[point].at[:2] if isinstance(point, str) else (point or (0.0, 0.0))[:2]


def on_tyre(point: Point, wheel: Point) -> bool:
    """Whether a place lies on the foot of a tyre, or so near that a strap would touch it."""
    return all(abs(at - middle) < half for at, middle, half in zip(point, wheel, _TYRE, strict=True))


def runs_through(ring: Point, hook: Point, wheels: Iterable[Point]) -> bool:
    """Whether a strap that runs straight would run through one of the tyres."""
    return any(_meets(ring, hook, wheel) for wheel in wheels)


def _meets(ring: Point, hook: Point, wheel: Point) -> bool:
    """Whether some of a straight line lies inside the foot of a tyre: from which share of it to which."""
    first, last = 0.0, 1.0
    for start, end, middle, half in zip(ring, hook, wheel, _TYRE, strict=True):
        rear, front = middle - half - start, middle + half - start
        if start != end:
            enters, leaves = sorted((rear / (end - start), front / (end - start)))
            first, last = max(first, enters), min(last, leaves)
        elif not rear < 0 < front:
            return False
    return first < last


def through_tyres(scenario: Scenario) -> tuple[str, ...]:
    """Straps to a hook that would run through a tyre if they ran straight, as they are counted."""
    wheels = [] if scenario.load.kind == "machine on skids" else list(scenario.load.wheels.values())
    to_hooks = (name for name, strap in scenario.straps.items() if strap.to is not None)
    ways = strap_ways(scenario)
    return tuple(name for name in to_hooks if runs_through(ways[name][0], ways[name][1], wheels))
