"""Words of a plan or a view in the first place where they lie on nothing, and columns of words beside it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from anchorcalc.render.draw.letters import screen_fitted, screen_width
from anchorcalc.render.draw.svg import Markup, label

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from anchorcalc.render.draw.shapes import Board, Box, Point

Places = Callable[[float], "Iterator[list[Point]]"]

SMALL, PLAIN = 11.5, 13.0  # sizes of words [units of the drawing]
_CLEAR = 3.0  # from words to what stands beside them
_BESIDE = 8.0  # from the middle of a strap to the words about it, so that its arrow has room


def about(at: Point, across: float, upright: float) -> Box:
    """The box about `at` with half its width and half its height."""
    return at[0] - across, at[1] - upright, at[0] + across, at[1] + upright


def free_label(
    texts: Sequence[str], size: float, places: Places, room: Box, board: Board, class_: str = ""
) -> Markup:  # fmt: skip
    """The first of `texts` at the first of its `places` where it lies on nothing; `board` keeps what it takes.

    `places` takes half the width of the words, which stay within `room`, and gives places alike good together: at
    those the words may lie on lines before worse ones are tried. If all fails they may lie on strokes, and never on
    other words or signs: then nothing is written.
    """
    left, top, right, bottom = room
    for strokes_too in (True, False):
        for text in texts:
            short = screen_fitted(text, size, right - left)
            half = screen_width(short, size) / 2
            for lines_too, x, y in _tried(places(half)):
                middle = min(max(x, left + half), right - half)
                box = (middle - half, y - 0.85 * size, middle + half, y + 0.3 * size)
                inside = top <= box[1] and box[3] <= bottom
                if inside and board.free(box, _CLEAR, lines_too=lines_too, strokes_too=strokes_too):
                    board.boxes.append(box)
                    return label(middle, y, short, most=200, class_=f"{class_} middle halo".strip())
    return Markup("")


def _tried(groups: Iterable[Sequence[Point]]) -> Iterator[tuple[bool, float, float]]:
    return ((lines_too, x, y) for group in groups for lines_too in (True, False) for x, y in group)


def near(at: Point) -> Places:
    """Places about a sign: below and above it, to its sides, then farther off."""
    x, y = at

    def places(half: float) -> Iterator[list[Point]]:
        for off in (0.0, 14.0, 28.0):
            aside = half + 13 + off
            yield [(x, y + 23 + off), (x, y - 14 - off), (x + aside, y + 4), (x - aside, y + 4)]

    return places


def beside(start: Point, end: Point, farthest: float = 14.0) -> Places:
    """Places along a strap: to either side of it, above and below it, then farther off."""

    def places(half: float) -> Iterator[list[Point]]:
        middles = [
            (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))
            for share in (0.5, 0.35, 0.65, 0.2, 0.8)
        ]
        off = 0.0
        while off <= farthest:
            aside, up, down = half + _BESIDE + off, _BESIDE + off, _BESIDE + 8 + off
            steps = [(aside, 4.0), (-aside, 4.0)]
            steps += [(right, below) for right in (0.0, half, -half) for below in (-up, down)]
            yield [(x + right, y + below) for x, y in middles for right, below in steps]
            off += 14.0

    return places


def spread(wanted: Sequence[float], heights: Sequence[float], first: float) -> list[float]:
    """Tops of blocks one below the other, none above `first`, together as near as can be to where each is wanted.

    Blocks that would meet stand close, at the mean of what they want: regression under an order, by pooling.
    """
    pools: list[tuple[float, list[int]]] = []  # sum of the tops that the first of a pool would like, its blocks
    for number, top in enumerate(wanted):
        pool = (top - sum(heights[:number]), [number])
        while pools and pools[-1][0] / len(pools[-1][1]) >= pool[0] / len(pool[1]):
            before = pools.pop()
            pool = (before[0] + pool[0], before[1] + pool[1])
        pools.append(pool)
    tops = [0.0] * len(wanted)
    for total, numbers in pools:
        for number in numbers:
            tops[number] = max(total / len(numbers), first) + sum(heights[:number])
    return tops
