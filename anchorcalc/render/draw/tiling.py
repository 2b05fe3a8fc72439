"""How a drawing at true size is laid on sheets of paper: the fewest that hold it, and the marks to join them by."""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING, Literal

from msgspec import Struct
from msgspec.structs import replace

from anchorcalc.render.draw.shapes import Board, Box, Line, Point, Shape, Words

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from anchorcalc.render.draw.shapes import Drawing

Paper = Literal["letter", "a4"]

SHEETS: dict[Paper, tuple[float, float]] = {"letter": (215.9, 279.4), "a4": (210.0, 297.0)}  # ANSI A, ISO 216 [mm]
MARGIN = 10.3  # no ink within 10 mm of the edge, with the width of the lines
HEAD, FOOT, SIDE = 11.0, 48.0, 9.2  # strips for what stands on every sheet
OVERLAP = 25.0  # the widest hole with its cross, and any words, are whole on one sheet or the other

_MARK = 3.0  # from the middle of a mark to its corners
_ROOM = 5.0  # about a mark with its letter


class Tile(Struct, frozen=True):
    """One sheet: which part of the drawing it shows, left and bottom [mm], by row from the top and column."""

    row: int
    column: int
    left: float
    bottom: float


class Tiling(Struct, frozen=True):
    """All sheets of one drawing; `window` is the part of it that a sheet shows [mm]."""

    paper: tuple[float, float]
    window: tuple[float, float]
    drawing: Drawing
    turned: bool
    rows: int
    columns: int
    tiles: tuple[Tile, ...]
    marks: tuple[tuple[str, Point], ...] = ()  # by letter, on the drawing

    def box(self, tile: Tile) -> Box:
        """The part of the drawing that a tile shows."""
        return tile.left, tile.bottom, tile.left + self.window[0], tile.bottom + self.window[1]


def tiling(drawings: Sequence[Drawing], paper: Paper) -> Tiling:
    """The fewest sheets that hold the drawing; upright drawings on upright paper where that costs no sheet."""
    width, height = SHEETS[paper]
    found = [
        _laid(drawing, size, turned=turned)
        for turned, drawing in zip((False, True), drawings, strict=True)
        for size in ((width, height), (height, width))
    ]
    fewest = min(found, key=lambda each: len(each.tiles))
    return replace(fewest, marks=tuple(_marks(fewest)))


def window_of(paper: tuple[float, float]) -> tuple[float, float]:
    """Room for the drawing on a sheet, between the strips."""
    return paper[0] - 2 * MARGIN - SIDE, paper[1] - 2 * MARGIN - HEAD - FOOT


def _laid(drawing: Drawing, paper: tuple[float, float], *, turned: bool) -> Tiling:
    window = window_of(paper)
    left, bottom, right, top = drawing.needed
    columns, rows = (_count(*pair) for pair in ((right - left, window[0]), (top - bottom, window[1])))
    steps = window[0] - OVERLAP, window[1] - OVERLAP
    covered = steps[0] * (columns - 1) + window[0], steps[1] * (rows - 1) + window[1]
    first = (left + right - covered[0]) / 2, (bottom + top + covered[1]) / 2 - window[1]
    tiles = tuple(
        Tile(row, column, first[0] + column * steps[0], first[1] - row * steps[1])
        for row in range(rows)
        for column in range(columns)
    )
    return Tiling(paper, window, drawing, turned, rows, columns, tiles)


def _count(extent: float, window: float) -> int:
    return 1 if extent <= window else ceil((extent - OVERLAP) / (window - OVERLAP))


# --- marks ----------------------------------------------------------------------------------------------------


def _marks(laid: Tiling) -> Iterator[tuple[str, Point]]:
    """Two marks in every strip that two neighbouring sheets share, clear of the drawing and far apart."""
    board = Board()
    board.block(*laid.drawing.shapes)
    number = 0
    for tile in laid.tiles:
        strips: list[Box] = []
        left, bottom, right, top = laid.box(tile)
        if tile.column + 1 < laid.columns:
            strips.append((right - OVERLAP, bottom, right, top))
        if tile.row + 1 < laid.rows:
            strips.append((left, bottom, right, bottom + OVERLAP))
        for strip in strips:
            for at in _two_places(strip, board):
                board.boxes.append(_room(at))
                yield _letter(number), at
                number += 1


def _letter(number: int) -> str:
    """Letters of the alphabet in turn, then AA, AB and so on."""
    first, last = divmod(number, 26)
    return (chr(64 + first) if first else "") + chr(65 + last)


def _room(at: Point) -> Box:
    return at[0] - _ROOM, at[1] - _ROOM, at[0] + _ROOM, at[1] + _ROOM


def _two_places(strip: Box, board: Board) -> tuple[Point, Point]:
    """The two clear places of a strip that are farthest apart; those clear of holes and words where lines fill it."""
    left, bottom, right, top = strip
    edge = _ROOM + 1.0
    places = [
        (left + edge + (right - left - 2 * edge) * i / 12, bottom + edge + (top - bottom - 2 * edge) * j / 12)
        for i in range(13)
        for j in range(13)
    ]
    for lines_too in (True, False):
        free = [at for at in places if board.free(_room(at), 0.0, lines_too=lines_too)]
        if len(free) > 1:
            break
    else:
        free = places
    long = 0 if right - left > top - bottom else 1
    return min(free, key=lambda at: at[long]), max(free, key=lambda at: at[long])


def register(letter: str, at: Point) -> Iterator[Shape]:
    """A diamond with its letter: nobody takes it for a hole."""
    u, v = at
    corners = ((u - _MARK, v), (u, v - _MARK), (u + _MARK, v), (u, v + _MARK))
    for start, end in zip(corners, (*corners[1:], corners[0]), strict=True):
        yield Line(start, end, "register")
    yield Words((u, v - 0.9), letter, 1.9, "middle")
