"""Dimension lines of a pattern of holes: the user's unit first, clear of holes and of each other."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Literal

from anchorcalc.render.draw.letters import width
from anchorcalc.render.draw.shapes import MM, Board, Box, Line, Point, Shape, Words, apart, box_of, within
from anchorcalc.render.draw.tiling import OVERLAP
from anchorcalc.units import length_twice

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from anchorcalc.units import UnitSystem

_TEXT = 2.5
_ROW = 1.0  # steps in which a free row is looked for [mm]
_TICK = 1.2
_MOST_OFF = 60.0  # rows farther out than this are not looked for
_SAME = 0.01
_NEAR = 1.5
_SIDES: tuple[tuple[float, Literal["left", "right"]], ...] = ((1.2, "left"), (-1.2, "right"))
_MOST = 5  # dimensions along one axis; the last sheet lists every hole
_WIDEST = OVERLAP - 2.0  # words no wider are whole on one sheet or the next


def dimensions(places: Sequence[Point], reach: float, close: Box, board: Board, units: UnitSystem) -> list[Shape]:
    """Level ones below or between the holes, upright ones beside or between them; `board` keeps what they take.

    `reach` is how far a hole with its cross goes from its middle, `close` the box round all outlines [mm].
    """
    made: list[Shape] = []
    for axis in (0, 1):
        for start, end, text in _wanted(sorted({round(place[axis], 3) for place in places}), units):
            shapes = _placed(axis, start, end, text, places, reach, close, board)
            board.block(*shapes)
            made += shapes
    return made


def _wanted(stations: Sequence[float], units: UnitSystem) -> Iterator[tuple[float, float, tuple[str, str]]]:
    """What is measured along one axis: from, to, in words of both units.

    Equal steps as one, pairs about the middle as pairs, all else from the middle; of very many the outermost.
    """
    mirrored = all(any(abs(a + b) < _SAME for b in stations) for a in stations)
    steps = [b - a for a, b in pairwise(stations)]
    if mirrored and len(steps) > 1 and max(steps) - min(steps) < _SAME:
        first, second = length_twice((stations[-1] - stations[0]) / MM, units)
        step, _ = length_twice(steps[0] / MM, units)
        yield stations[0], stations[-1], (f"{len(steps)} × {step}", f"= {first} {second}")
    elif mirrored:
        for at in [each for each in stations if each > _SAME][-_MOST:]:
            yield -at, at, length_twice(2 * at / MM, units)
    else:
        found = sorted((each for each in stations if abs(each) > _SAME), key=abs)
        for at in found if len(found) <= _MOST else (stations[0], stations[-1]):
            yield min(at, 0.0), max(at, 0.0), length_twice(abs(at) / MM, units)


def _placed(
    axis: int, start: float, end: float, text: tuple[str, str], places: Sequence[Point], reach: float, close: Box,
    board: Board,
) -> list[Shape]:  # fmt: skip
    """One dimension in the first free row: outwards of the holes it measures, else between them, else beyond all."""
    across = [place[1 - axis] for place in places]
    outward = -1 if axis == 0 else 1  # below, or to the right
    first = (min(across) if axis == 0 else max(across)) + outward * (reach + 2.0)
    rows = [first + outward * _ROW * step for step in range(round(_MOST_OFF / _ROW))]
    inside = [row for row in rows if (close[1] < row < close[3] if axis == 0 else close[0] < row < close[2])]
    between = sorted(
        (low + reach + 2 + _ROW * step for low, high in pairwise(sorted({0.0, *across}))
         for step in range(max(int((high - low - 2 * reach - 4) / _ROW), 0))),
        key=lambda row: abs(row - first),
    )  # fmt: skip
    beyond = [row for row in rows if row not in inside]
    for keep_inside, candidates in ((True, inside), (True, between), (False, beyond)):
        for row in candidates:
            for shapes in _drawn(axis, start, end, row, text, across):
                words = [box_of(shape) for shape in shapes if isinstance(shape, Words)]
                stays = not keep_inside or all(within(box, close) for box in words)
                if stays and _clear(shapes, board):
                    return shapes
    return next(iter(_drawn(axis, start, end, rows[-1] + outward * 2 * _MOST_OFF, text, across)))


def _clear(shapes: Sequence[Shape], board: Board) -> bool:
    """Whether words meet nothing, and the dimension line itself no hole and no words."""
    left, bottom, right, top = box_of(shapes[0])
    line = (left - _TICK, bottom - _TICK, right + _TICK, top + _TICK)
    own = [box_of(shape) for shape in shapes if isinstance(shape, Line)]
    words = [box_of(shape) for shape in shapes if isinstance(shape, Words)]
    return (
        all(board.free(box, 0.4) and all(apart(box, other, 0.2) for other in own) for box in words)
        and all(apart(line, box, 0.3) for box in board.boxes)
        and not any(_alongside(box_of(shapes[0]), other) for other in board.lines)
    )  # fmt: skip


def _alongside(one: Box, other: Box) -> bool:
    """Whether two lines run so near to each other, and the same way, that they would be taken for one."""
    level = one[3] - one[1] < _SAME
    if level != (other[3] - other[1] < _SAME):
        return False
    return not apart(one, other, _NEAR)


def _drawn(
    axis: int, start: float, end: float, row: float, text: tuple[str, str], across: Sequence[float]
) -> Iterator[list[Shape]]:
    """The dimension with its words in the places they may take."""
    nearest = min(across, key=lambda at: abs(at - row))

    def at(along: float, aside: float) -> Point:
        return (along, aside) if axis == 0 else (aside, along)

    beyond = row + (_TICK if row > nearest else -_TICK)
    lines: list[Shape] = [Line(at(start, row), at(end, row), "dimension")]
    lines += [Line(at(each, nearest), at(each, beyond), "dimension") for each in (start, end)]
    lines += [Line(at(each - 0.9, row - 0.9), at(each + 0.9, row + 0.9), "dimension") for each in (start, end)]
    for words in _words_at(axis, start, end, row, text):
        yield [*lines, *words]


def _words_at(axis: int, start: float, end: float, row: float, text: tuple[str, str]) -> Iterator[list[Shape]]:
    whole = " ".join(text)
    if axis == 0:
        middle = (start + end) / 2
        wide, stacked = width(whole, _TEXT), max(width(each, _TEXT) for each in text)
        for at in (middle, (middle + end) / 2, (start + middle) / 2):
            if wide < min(end - start - 2, _WIDEST):
                yield [Words((at, row + 1.2), whole, _TEXT, "middle")]
        for at in (middle, (middle + end) / 2, (start + middle) / 2, end + stacked / 2 + 2, start - stacked / 2 - 2):
            yield [
                Words((at, row + 1.2), text[0], _TEXT, "middle"),
                Words((at, row - 3.4), text[1], _TEXT, "middle"),
            ]
        return
    for at in ((start + end) / 2, (start + 3 * end) / 4, (3 * start + end) / 4, end + 3, start - 4):
        for aside, align in _SIDES:
            lines = zip((0.5, -3.2), text, strict=True)
            yield [Words((row + aside, at + up), line, _TEXT, align) for up, line in lines]
