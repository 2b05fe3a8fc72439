"""A scenario as a sketch in characters, and what in it looks as if a tape had been read wrong."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from anchorcalc.scenario.model import Scenario

_COLUMNS: Final = 66
_LEAST_ROWS, _MOST_ROWS = 7, 29
_CHARACTER: Final = 2.0  # its height over its width
_POINTS: Final = 300  # of a strap, nearer to each other than a tyre is wide
_TYRE: Final = (0.23, 0.08)  # half of the length and width of its foot where a strap would meet it [m] [judgement]
_LEGEND: Final = "O ring  x hook  . strap  # tyre  + centre of gravity; the front is right"
_SLACK: Final = 1e-6  # [m]

Point = tuple[float, float]


def sketch(scenario: Scenario) -> str:
    """The deck from above with rings, straps, hooks and tyres, at one scale."""
    deck, load = scenario.deck, scenario.load
    rows = min(max(round(_COLUMNS * deck.width / deck.length / _CHARACTER), _LEAST_ROWS), _MOST_ROWS)
    picture = [[" "] * (_COLUMNS + 1) for _ in range(rows + 1)]
    signs: list[tuple[str, list[Point]]] = [
        (".", [point for line in _straps(scenario).values() for point in line]),
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


def doubts(scenario: Scenario) -> Iterator[str]:
    """What may be so, and is more often a measure taken the wrong way."""
    wheels = list(scenario.load.wheels.values())
    straight = {name: line for name, line in _straps(scenario).items() if scenario.straps[name].to is not None}
    for name, line in straight.items():
        rear, front = sorted((line[0][0], line[-1][0]))
        if any(_on_tyre(point, wheel) for wheel in wheels for point in line):
            yield f"Strap {name} hooks in behind a wheel: straight, it would run through the tyre."
        elif scenario.load.kind != "motorcycle" and any(rear + _SLACK < x < front - _SLACK for x, _ in wheels):
            yield f"Strap {name} crosses an axle between its ring and its hook."
    for name, anchor in scenario.anchors.items():
        if any(_on_tyre(anchor.at, wheel) for wheel in wheels):
            yield f"Ring {name} lies under a tyre."


def _straps(scenario: Scenario) -> dict[str, list[Point]]:
    """Points of each strap from its ring to its hook, seen from above."""
    parts = [step / _POINTS for step in range(_POINTS + 1)]
    lines = {}
    for name, strap in scenario.straps.items():
        way = [scenario.anchors[strap.anchor].at, *(_place_of(point, scenario) for point in strap.over or (strap.to,))]
        if strap.to_anchor is not None:
            way.append(scenario.anchors[strap.to_anchor].at)
        lines[name] = [
            (x + part * (to[0] - x), y + part * (to[1] - y)) for (x, y), to in pairwise(way) for part in parts
        ]
    return lines


def _place_of(point: str | tuple[float, float, float] | None, scenario: Scenario) -> Point:
    return scenario.load.tie_points[point].at[:2] if isinstance(point, str) else (point or (0.0, 0.0))[:2]


def _on_tyre(point: Point, wheel: Point) -> bool:
    return all(abs(at - middle) < half for at, middle, half in zip(point, wheel, _TYRE, strict=True))
