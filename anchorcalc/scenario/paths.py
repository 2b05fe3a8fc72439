"""What cannot be of straps that run over points, and of stops: points in the wrong place."""

from __future__ import annotations

from itertools import pairwise
from math import dist, hypot
from typing import TYPE_CHECKING, Final

from anchorcalc.reading.faults import Path

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from anchorcalc.scenario.model import Scenario, Stop, Strap
    from anchorcalc.scenario.quantities import PathPoint

Fault = tuple[Path, str]
Point = tuple[float, float, float]

_SAME: Final = 0.005
"""Points nearer to each other are one point [m]."""
_LIFTS: Final = 1e-6
"""Upward part of what one newton in the strap does to a point, above which the strap leaves it."""
_HALF_TYRE: Final = 0.0762
"""Half the width of the narrowest tyre that matters here: 3 in [judgement]."""
_LEAST_TYRE: Final = 0.1524
"""Height of a small wheel, where no point of the strap shows a greater one: 6 in [judgement]."""
_RUBBER: Final = 0.9
"""Of a tyre's radius: deeper than this in it lies no strap [judgement]."""


def path_faults(scenario: Scenario) -> Iterator[Fault]:
    """Faults of straps that run over points, and of stops."""
    for name, strap in scenario.straps.items():
        course = course_of(strap, scenario)
        if strap.over is not None and course is not None:
            path: Path = ("straps", name, "over")
            yield from _crowded(path, course)
            yield from _lifted(path, strap.over, course)
            yield from _inside_wheels(path, strap.over, course[1:-1], scenario)
    deck = scenario.deck
    for name, stop in scenario.load.stops.items():
        x, y, _ = stop.at
        if not (-1e-9 <= x <= deck.length + 1e-9 and abs(y) <= deck.half_width_at(x) + 1e-9):
            yield ("load", "stops", name, "at"), "the stop does not stand on the deck"
        elif _beyond_the_load(stop, scenario):
            side = _BEYOND[stop.pushes]
            yield (
                ("load", "stops", name, "pushes"),
                f"the stop pushes the load {stop.pushes} and stands {side} every wheel: it would push on nothing",
            )


_BEYOND: Final = {"rearward": "behind", "forward": "ahead of", "left": "left of", "right": "right of"}


def _beyond_the_load(stop: Stop, scenario: Scenario) -> bool:
    """Whether a stop stands where its push goes, past all that the load stands on: it could touch none of that."""
    axis, way = {"forward": (0, 1), "rearward": (0, -1), "left": (1, 1), "right": (1, -1)}[stop.pushes]
    return all(way * (stop.at[axis] - wheel[axis]) > _SAME for wheel in scenario.load.wheels.values())


def course_of(strap: Strap, scenario: Scenario) -> list[Point] | None:
    """Ring, points and second ring of a strap that runs over points; None where a name of it leads nowhere."""
    if strap.over is None or strap.to_anchor is None:
        return None
    places = [_place(point, scenario) for point in strap.over]
    course = [_ring(strap.anchor, scenario), *places, _ring(strap.to_anchor, scenario)]
    known = [each for each in course if each is not None]
    return known if len(known) == len(course) else None


def _place(point: PathPoint, scenario: Scenario) -> Point | None:
    if not isinstance(point, str):
        return point
    return scenario.load.tie_points[point].at if point in scenario.load.tie_points else None


def _ring(name: str, scenario: Scenario) -> Point | None:
    base = scenario.base_of(name)
    return None if base is None else (*scenario.anchors[name].at, base[1].ring.pull_height)


def _crowded(path: Path, course: Sequence[Point]) -> Iterator[Fault]:
    for number, (first, second) in enumerate(pairwise(course[1:-1])):
        if dist(first, second) < _SAME:
            yield (*path, number + 1), "the strap runs over this point twice in a row: leave it out once"


def _lifted(path: Path, over: Sequence[PathPoint], course: Sequence[Point]) -> Iterator[Fault]:
    """A place where the strap only lies cannot be below the line between its neighbours: the strap would pass over."""
    for number, point in enumerate(over):
        before, at, after = course[number : number + 3]
        legs = [(dist(at, end), end[2] - at[2]) for end in (before, after)]
        if not isinstance(point, str) and sum(rise / max(length, _SAME) for length, rise in legs) > _LIFTS:
            yield (
                (*path, number),
                "the strap would pass above this point and not touch it; name a tie point where it is led through one",
            )


def _inside_wheels(
    path: Path, over: Sequence[PathPoint], course: Sequence[Point], scenario: Scenario
) -> Iterator[Fault]:
    """A wheel is as high as the highest point of the strap above it, or a small one."""
    for wheel, (x, y) in scenario.load.wheels.items():
        above = [z for px, py, z in course if hypot(px - x, py - y) < _HALF_TYRE]
        radius = max([_LEAST_TYRE, *above]) / 2
        for number, (px, py, z) in enumerate(course):
            deep = abs(py - y) < _HALF_TYRE and hypot(px - x, z - radius) < _RUBBER * radius
            if deep and not isinstance(over[number], str):
                yield (*path, number), f"this point lies inside wheel {wheel!r}: a strap lies on its tread"
