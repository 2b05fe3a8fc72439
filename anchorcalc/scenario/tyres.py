"""Straps seen from above, and which of them would run through a tyre."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from anchorcalc.scenario.model import Scenario

_POINTS: Final = 300  # of a strap, nearer to each other than a tyre is wide
_TYRE: Final = (0.23, 0.08)  # half of the length and width of its foot where a strap would meet it [m] [judgement]

Point = tuple[float, float]


def strap_lines(scenario: Scenario) -> dict[str, list[Point]]:
    """Points of each strap from its ring to its hook, seen from above."""
    lines = {}
    for name, strap in scenario.straps.items():
        way = [scenario.anchors[strap.anchor].at, *(_place_of(point, scenario) for point in strap.over or (strap.to,))]
        if strap.to_anchor is not None:
            way.append(scenario.anchors[strap.to_anchor].at)
        lines[name] = [point for one, other in pairwise(way) for point in between(one, other)]
    return lines


def _place_of(point: str | tuple[float, float, float] | None, scenario: Scenario) -> Point:
    return scenario.load.tie_points[point].at[:2] if isinstance(point, str) else (point or (0.0, 0.0))[:2]


def on_tyre(point: Point, wheel: Point) -> bool:
    """Whether a place lies on the foot of a tyre, or so near that a strap would touch it."""
    return all(abs(at - middle) < half for at, middle, half in zip(point, wheel, _TYRE, strict=True))


def runs_through(line: Sequence[Point], wheels: Iterable[Point]) -> bool:
    """Whether a strap along these points would run through one of the tyres."""
    return any(on_tyre(point, wheel) for wheel in wheels for point in line)


def between(ring: Point, hook: Point) -> list[Point]:
    """Points of a strap that runs straight, seen from above."""
    parts = [step / _POINTS for step in range(_POINTS + 1)]
    return [(ring[0] + part * (hook[0] - ring[0]), ring[1] + part * (hook[1] - ring[1])) for part in parts]


def through_tyres(scenario: Scenario) -> tuple[str, ...]:
    """Straps to a hook that would run through a tyre if they ran straight, as they are counted."""
    wheels = [] if scenario.load.kind == "machine on skids" else list(scenario.load.wheels.values())
    lines = {name: line for name, line in strap_lines(scenario).items() if scenario.straps[name].to is not None}
    return tuple(name for name, line in lines.items() if runs_through(line, wheels))
