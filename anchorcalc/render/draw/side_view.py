"""The deck and its load from the left, forward to the right: heights to scale, and how steep each strap runs."""

from __future__ import annotations

from itertools import pairwise
from math import atan2, degrees, hypot
from typing import TYPE_CHECKING

from anchorcalc.render import figures
from anchorcalc.render.draw.labels import SMALL, about, beside, free_label, near
from anchorcalc.render.draw.plan_style import gravity_sign
from anchorcalc.render.draw.shapes import Board
from anchorcalc.render.draw.svg import Markup, document, group, harmless, label, path, tag, titled
from anchorcalc.units import length

if TYPE_CHECKING:
    from collections.abc import Iterator

    from anchorcalc.render.draw.shapes import Point
    from anchorcalc.result.check import Result
    from anchorcalc.rig.rig import Rig
    from anchorcalc.units import UnitSystem

WIDTH = 620.0
_EDGE, _HEAD, _LINE = 8.0, 26.0, 15.0
_TYRE = 9.0  # radius at which a wheel is drawn; nobody gave its size


def side_drawing(rig: Rig, result: Result) -> Markup:
    """The view as a drawing of its own, with its style left to the page."""
    body, height = side_view(rig, result)
    angles = "; ".join(f"{names}: {round(steep)} degrees" for names, _, steep in _straps(rig))
    return Markup(
        document(
            group(body, class_="deck-plan"), view=(0, 0, WIDTH, height),
            title=f"Side view: {harmless(rig.title, 120)}", description=f"Straps by number, above the deck: {angles}.",
        )
    )  # fmt: skip


def side_view(rig: Rig, result: Result) -> tuple[Markup, float]:
    """The view and its height."""
    units, floor, load = figures.units_of(result), rig.floor, rig.load
    middles = [[(x, z) for x, _, z in rig.middle_of(name)] for name in rig.straps]
    points = [each for course in (*(course for _, course, _ in _straps(rig)), *middles) for each in course]
    xs = [0.0, floor.length, load.centre[0], *(x for x, _ in points), *(x for x, _ in load.wheels.values())]
    scale = (WIDTH - 2 * _EDGE) / (max(xs) - min(xs))
    highest = max([load.centre[2], *(z for _, z in points)])
    ground = _HEAD + 20.0 + highest * scale
    rear = min(xs)

    def at(x: float, z: float) -> tuple[float, float]:
        return _EDGE + (x - rear) * scale, ground - z * scale

    left, right = at(0, 0)[0], at(floor.length, 0)[0]
    deep, member = floor.thickness * scale, floor.member
    parts = [
        label(0, 12, "From the left, forward to the right; heights to scale, wheels only where they stand", most=100,
              class_="bold"),
        tag("rect", class_="wood-cut", x=left, y=ground, width=right - left, height=deep),
    ]  # fmt: skip
    tall = member.depth * scale
    half = member.width / 2
    ends = [(0.0, floor.length)] if floor.lengthwise else [(line - half, line + half) for line in floor.lines]
    parts += [
        tag("rect", class_="member", x=at(start, 0)[0], y=ground + deep, width=(end - start) * scale, height=tall)
        for start, end in ends
    ]
    wheels = sorted({x for x, _ in load.wheels.values()})
    parts += [tag("circle", class_="tyre", cx=at(x, 0)[0], cy=ground - _TYRE, r=_TYRE) for x in wheels]
    board = Board([about((at(x, 0)[0], ground - _TYRE), _TYRE, _TYRE) for x in wheels])
    centre = at(load.centre[0], load.centre[2])
    board.boxes.append(about(centre, 9.0, 9.0))
    board.lines.append((left, ground, right, ground + deep))
    lines = list(_straps(rig))
    for names, course, _ in lines:
        run = [at(*place) for place in course]
        board.strokes += pairwise(run)
        board.boxes.append(about(run[1], 3.0, 3.0))
        parts.append(titled(f"straps {names}", tag("path", class_="strap", d=path(*run))))
        parts.append(tag("rect", class_="tie-point", x=run[1][0] - 3, y=run[1][1] - 3, width=6, height=6))
    for middle in filter(None, middles):
        run = [at(*place) for place in middle]
        board.strokes += pairwise(run)
        parts.append(titled("a strap lies on the load", tag("path", class_="strap", d=path(*run))))
    for stop in load.stops.values():
        parts += _stop(at(stop.at[0], stop.at[2]), stop.push[0])
    parts.append(gravity_sign(*centre))
    high = length(load.centre[2], units)
    words = [([f"centre of gravity {high} above the deck", f"{high} up"], near(centre))]
    words += [
        ([f"{names}: {steep:.0f}°"], beside(at(*course[0]), at(*course[1]), 84.0)) for names, course, steep in lines
    ]
    parts += [
        free_label(texts, SMALL, places, (0.0, 18.0, WIDTH, ground + deep), board, "small") for texts, places in words
    ]
    below = ground + deep + member.depth * scale + _LINE
    notes = list(_heights(rig, units))
    parts += [label(0, below + _LINE * row, text, most=120, class_="small") for row, text in enumerate(notes)]
    return group(*parts), below + _LINE * len(notes) + 6.0


def _straps(rig: Rig) -> Iterator[tuple[str, tuple[tuple[float, float], ...], float]]:
    """Straps alike from the side by their numbers, x and z all along them [m], and degrees at their first ring."""
    found: dict[tuple[tuple[tuple[float, float], ...], float], list[int]] = {}
    for number, name in enumerate(rig.straps, start=1):
        a, b, *_ = course = rig.course_of(name)
        steep = degrees(atan2(b[2] - a[2], hypot(b[0] - a[0], b[1] - a[1])))
        key = tuple((round(x, 4), round(z, 4)) for x, _, z in course), round(steep, 1)
        found.setdefault(key, []).append(number)
    for (course_, steep), numbers in found.items():
        yield ", ".join(map(str, numbers)), course_, steep


def _heights(rig: Rig, units: UnitSystem) -> Iterator[str]:
    """How high the straps are hooked, alike ones together."""
    found: dict[str, list[str]] = {}
    for number, strap in enumerate(rig.straps.values(), start=1):
        high = length(rig.load.tie_points[strap.tie_point].at[2], units)
        found.setdefault(high, []).append(str(number))
    for high, numbers in found.items():
        yield f"straps {', '.join(numbers)} are hooked {high} above the deck"


def _stop(at: Point, push: float) -> Iterator[Markup]:
    """A bar, and an arrow the way it pushes where that is along the trailer."""
    x, y = at
    yield tag("path", class_="stop", d=path((x, y - 8), (x, y + 8)))
    if abs(push) > 0.1:
        yield tag("path", class_="stop", d=path((x, y), (x + 12 * push, y)))
