"""A scenario as a sketch in characters, and what in it looks as if a tape had been read wrong."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from anchorcalc.scenario.tyres import Point, on_tyre, strap_ways, through_tyres

if TYPE_CHECKING:
    from anchorcalc.scenario.model import Scenario

_COLUMNS: Final = 66
_LEAST_ROWS, _MOST_ROWS = 7, 29
_CHARACTER: Final = 2.0  # its height over its width
_LEGEND: Final = "O ring  x hook  . strap  # tyre  + centre of gravity; the front is right"
_SLACK: Final = 1e-6  # [m]
_POINTS: Final = 300  # of a strap, nearer to each other than the characters


def sketch(scenario: Scenario) -> str:
    """The deck from above with rings, straps, hooks and tyres, at one scale."""
    deck, load = scenario.deck, scenario.load
    rows = min(max(round(_COLUMNS * deck.width / deck.length / _CHARACTER), _LEAST_ROWS), _MOST_ROWS)
    picture = [[" "] * (_COLUMNS + 1) for _ in range(rows + 1)]
    signs: list[tuple[str, list[Point]]] = [
        (".", [point for way in strap_ways(scenario).values() for leg in pairwise(way) for point in _between(*leg)]),
        ("#", list(load.wheels.values())),
        ("x", [point.at[:2] for point in load.tie_points.values()]),
        ("O", [anchor.at for anchor in scenario.anchors.values()]),
        ("+", [load.centre_of_gravity[:2]]),
    ]
    for sign, points in signs:
        for x, y in points:
            column, row = round(x / deck.length * _COLUMNS), round((0.5 - y / deck.width) * rows)
            if 0 <= column <= _COLUMNS and 0 <= row <= rows:
                picture[row][column] = sign
    edge = "+" + "-" * (_COLUMNS + 1) + "+"
    return "\n".join([edge, *(f"|{''.join(row)}|" for row in picture), edge, _LEGEND])


def _between(one: Point, other: Point) -> Iterator[Point]:
    """Points of a straight line."""
    for step in range(_POINTS + 1):
        part = step / _POINTS
        yield one[0] + part * (other[0] - one[0]), one[1] + part * (other[1] - one[1])


def doubts(scenario: Scenario) -> Iterator[str]:
    """What may be so, and is more often a measure taken the wrong way."""
    wheels = list(scenario.load.wheels.values())
    straight = {name: way for name, way in strap_ways(scenario).items() if scenario.straps[name].to is not None}
    through = through_tyres(scenario)
    for name, way in straight.items():
        rear, front = sorted((way[0][0], way[-1][0]))
        if name in through:
            yield f"Strap {name} hooks in behind a wheel: straight, it would run through the tyre."
        elif scenario.load.kind != "motorcycle" and any(rear + _SLACK < x < front - _SLACK for x, _ in wheels):
            yield f"Strap {name} crosses an axle between its ring and its hook."
    for name, anchor in scenario.anchors.items():
        if any(on_tyre(anchor.at, wheel) for wheel in wheels):
            yield f"Ring {name} lies under a tyre."
