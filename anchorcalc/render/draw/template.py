"""The drilling and cutting template of one mounting at true size: shapes in millimetres about the base's middle.

Seen from above. Upright, u runs to the right and v up, which is forward; turned, forward is to the right. What
writes it to paper or to a file knows no mounting.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Literal

from msgspec import Struct

from anchorcalc.mechanics.outline import outline
from anchorcalc.render import figures
from anchorcalc.render.draw.dimensions import dimensions
from anchorcalc.render.draw.letters import fitted
from anchorcalc.render.draw.section import section
from anchorcalc.render.draw.shapes import (
    MM,
    Board,
    Box,
    Circle,
    Drawing,
    Line,
    Point,
    Shape,
    Words,
    around,
    box_of,
    rectangle,
    within,
)
from anchorcalc.render.draw.template_words import drill_words, key_of, notes
from anchorcalc.render.draw.tiling import OVERLAP
from anchorcalc.render.words import listed
from anchorcalc.rig.parts import Bars, WasherSeat

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from anchorcalc.render.draw.shapes import Layer
    from anchorcalc.render.fitting_words import Refusal
    from anchorcalc.result.fitting import MountingSheet
    from anchorcalc.rig.parts import AnchorSetting, MountingSetting
    from anchorcalc.rig.rig import Rig

_BEYOND = 9.0  # the lines by which existing holes are found go so far beyond all outlines where paper allows it
_LEAST_BEYOND = 1.0
_SMALL, _NAME = 2.5, 1.9
_MOST_KINDS = 3  # ways the anchors of one mounting may stand over the members and still be drawn
_TRIES = 24
_SIDES: tuple[tuple[int, Literal["left", "right"]], ...] = ((1, "left"), (-1, "right"))


class Template(Struct, frozen=True):
    """All that stands on the sheets of one mounting."""

    scenario: str
    mounting: str
    anchors: tuple[str, ...]
    units: str
    refused: Refusal | None  # why it fails, if it does
    drill: str
    key: tuple[tuple[Layer, str], ...]
    upright: Drawing
    turned: Drawing
    section: tuple[Shape, ...]
    notes: tuple[str, ...]

    @property
    def drawings(self) -> tuple[Drawing, Drawing]:
        """Both ways up."""
        return self.upright, self.turned


def template_of(rig: Rig, name: str, sheet: MountingSheet, refused: Refusal | None = None) -> Template:
    """Template of mounting `name`, its holes as the fitting sheet has them drilled.

    `refused` is why the mounting fails, if it does: it then says so on every sheet and first among its notes.
    """
    anchors = [anchor for anchor in rig.anchors.values() if anchor.mounting.name == name]
    placed = anchors or list(rig.with_mounting(name).anchors.values())
    mounting = rig.mountings[name]
    upright, turned = (_drawing(rig, mounting, sheet, placed, turned=way) for way in (False, True))
    return Template(
        scenario=rig.title,
        mounting=name,
        anchors=tuple(anchor.name for anchor in anchors),
        units="inches (millimetres)" if rig.units == "us" else "millimetres (inches)",
        refused=refused,
        drill=drill_words(mounting, sheet, figures.units_of(rig)),
        key=tuple(key_of(mounting, sheet, {shape.layer for shape in upright.shapes}, figures.units_of(rig))),
        upright=upright,
        turned=turned,
        section=tuple(section(placed[0], sheet, figures.units_of(rig))),
        notes=tuple(notes(rig, mounting, sheet, placed, refused)),
    )


def _drawing(
    rig: Rig, mounting: MountingSetting, sheet: MountingSheet, anchors: Sequence[AnchorSetting], *, turned: bool
) -> Drawing:
    places = _places(mounting, turned=turned)
    outlines = [*_outlines(mounting, turned=turned)]
    radius = MM * drilled(mounting, sheet) / 2
    holes = [shape for place in places for shape in _hole(place, radius)]
    board = Board()
    board.block(*outlines, *holes)
    numbers = list(_numbers(places, radius, board))
    board.block(*numbers)
    close = around((*outlines, *holes), _LEAST_BEYOND)
    u_marks, v_marks = ({0.0, *(round(place[axis], 3) for place in places)} for axis in (0, 1))
    board.lines += [(u, close[1], u, close[3]) for u in u_marks] + [(close[0], v, close[2], v) for v in v_marks]
    kinds = _member_edges(anchors)
    few, lengthwise = kinds if len(kinds) <= _MOST_KINDS else {}, rig.floor.lengthwise
    steel = _steel_below(mounting, few, close, lengthwise=lengthwise, turned=turned)
    board.block(*(line for line, _ in steel))
    reach = radius + 3.0
    measured = dimensions(places, reach, close, board, figures.units_of(rig))
    told = [*_told_apart(mounting, turned=turned), *(([line], said) for line, said in steel if said)]
    names = [words for lines, said in told for words in _named(lines, said, close, board)]
    needed = around((*outlines, *holes, *numbers, *measured), _LEAST_BEYOND)
    wished = (needed[0] - _BEYOND, needed[1] - _BEYOND, needed[2] + _BEYOND, needed[3] + _BEYOND)
    lines = [Line((u, wished[1]), (u, wished[3]), "centreline") for u in sorted(u_marks)]
    lines += [Line((wished[0], v), (wished[2], v), "centreline") for v in sorted(v_marks)]
    lines += [_longer(line, wished) for line, _ in steel]
    return Drawing((*lines, *outlines, *holes, *numbers, *measured, *names), needed, wished)


def _at(x: float, y: float, *, turned: bool) -> Point:
    """Where a point of the deck stands on paper [mm]: forward is up, or to the right where the drawing is turned."""
    return (MM * x, MM * y) if turned else (-MM * y, MM * x)


def _places(mounting: MountingSetting, *, turned: bool) -> list[Point]:
    return [_at(float(x), float(y), turned=turned) for x, y in mounting.positions]


# --- what is cut and covered ----------------------------------------------------------------------------------


def _outlines(mounting: MountingSetting, *, turned: bool) -> Iterator[Shape]:
    yield from _about_the_middle(mounting.base, "base", angle=mounting.turned, turned=turned)
    if mounting.cut_out is not None:
        corner = mounting.cut_out_corner
        yield from _about_the_middle(mounting.cut_out, "cut-out", corner, angle=mounting.turned, turned=turned)
    if mounting.plate is not None:
        yield from _about_the_middle(mounting.plate.size, "backing", turned=turned)
    if isinstance(mounting.seat, WasherSeat):
        yield from (Circle(at, MM * mounting.seat.outside / 2, "backing") for at in _places(mounting, turned=turned))


def _about_the_middle(
    size: tuple[float, float], layer: Layer, corner: float = 0.0, *, angle: float = 0.0, turned: bool
) -> Iterator[Shape]:
    """An outline about the middle; `size` is length along and width across, turned by `angle` [m, rad]."""
    if not (corner or angle):
        u, v = (MM * side / 2 for side in (size if turned else size[::-1]))
        yield from rectangle((-u, -v, u, v), layer)
    elif corner >= max(size) / 2:
        yield Circle((0.0, 0.0), MM * corner, layer)
    else:
        around = [_at(x, y, turned=turned) for x, y in outline(size, corner, angle)]
        yield from (Line(start, end, layer) for start, end in pairwise([*around, around[0]]))


def _told_apart(mounting: MountingSetting, *, turned: bool) -> Iterator[tuple[list[Line], str]]:
    """The edges of base and plate, and their names; one name for both where their outlines are one."""
    if mounting.plate is None:
        return
    base, plate = _sides(mounting.covers, turned=turned), _sides(mounting.plate.size, turned=turned)
    if all(abs(one - other) < 1e-4 for one, other in zip(mounting.covers, mounting.plate.size, strict=True)):
        yield plate[::-1], "base and plate alike"
        return
    yield base[::-1], "ring's base"
    yield plate, "plate"


def _sides(size: tuple[float, float], *, turned: bool) -> list[Line]:
    return [shape for shape in _about_the_middle(size, "base", turned=turned) if isinstance(shape, Line)]


def drilled(mounting: MountingSetting, sheet: MountingSheet) -> float:
    """Diameter of the hole to drill [m]; 3 mm stand for a screw of which no table knows the pilot hole."""
    if sheet.holes is not None:
        return sheet.holes.drill
    pilot = sheet.screws.pilot if sheet.screws is not None else None
    return pilot if pilot is not None else 0.003


def _hole(at: Point, radius: float) -> Iterator[Shape]:
    (u, v), arm = at, radius + 3.0
    yield Circle(at, radius, "hole")
    yield Line((u - arm, v), (u + arm, v), "mark")
    yield Line((u, v - arm), (u, v + arm), "mark")


def _numbers(places: Sequence[Point], radius: float, board: Board) -> Iterator[Shape]:
    """The number of every hole, beside it wherever there is room."""
    taken = Board(list(board.boxes), list(board.lines))
    for number, (u, v) in enumerate(places, start=1):
        off = radius + 1.0
        tried = [
            Words((u + side * off, v + (off if up > 0 else -off - _SMALL)), str(number), _SMALL, align)
            for up in (1, -1) for side, align in _SIDES
        ]  # fmt: skip
        free = [words for words in tried if taken.free(box_of(words), 0.3)] or [
            words for words in tried if taken.free(box_of(words), 0.1, lines_too=False)
        ]
        if free:
            taken.block(free[0])
            yield free[0]


# --- steel under the deck -------------------------------------------------------------------------------------


def _steel_below(
    mounting: MountingSetting,
    kinds: Mapping[tuple[float, ...], Sequence[str]],
    close: Box,
    *,
    lengthwise: bool,
    turned: bool,
) -> list[tuple[Line, str]]:
    """Edges of the bars and of the nearest cross-members that meet the outlines, and the anchors they are under.

    The names are left out where all anchors stand alike over the members.
    """
    found: list[tuple[Line, str]] = []
    backing = mounting.backing
    wide = close[0] - _BEYOND, close[1] - _BEYOND, close[2] + _BEYOND, close[3] + _BEYOND
    if isinstance(backing, Bars):
        for row in _bar_middles(mounting):
            for y in (row - backing.width / 2, row + backing.width / 2):
                found += [(line, "") for line in _through(MM * y, close, "bar under", along=True, turned=turned)]
    drawn: dict[tuple[Line, ...], list[str]] = {}
    for edges, names in kinds.items():
        lines = [line for x in edges for line in _through(MM * x, wide, "member", along=lengthwise, turned=turned)]
        drawn.setdefault(tuple(lines), []).extend(names)
    for lines_, names in drawn.items():
        found += [(line, listed(names) if len(drawn) > 1 else "") for line in lines_]
    return found


def _through(off: float, close: Box, layer: Layer, *, along: bool, turned: bool) -> Iterator[Line]:
    """A line along or across the trailer, `off` to the left of or ahead of the middle [mm], from edge to edge."""
    level = along == turned
    at = off if turned or not along else -off
    if level and close[1] < at < close[3]:
        yield Line((close[0], at), (close[2], at), layer)
    elif not level and close[0] < at < close[2]:
        yield Line((at, close[1]), (at, close[3]), layer)


def _longer(line: Line, box: Box) -> Line:
    """A level or upright line from edge to edge of `box`."""
    (u, v), (u_end, _) = line.start, line.end
    ends = ((u, box[1]), (u, box[3])) if u == u_end else ((box[0], v), (box[2], v))
    return Line(*ends, line.layer)


def _beside(line: Box, short: str, close: Box) -> list[Words]:
    """Places for the name of a level or upright line."""
    left, bottom, right, top = close
    if line[3] - line[1] < line[2] - line[0]:
        step = (right - left) / _TRIES
        return [Words((left + 1.0 + step * k, line[1] + up), short, _NAME) for k in range(_TRIES) for up in (0.8, -2.6)]
    step = (top - bottom) / _TRIES
    return [Words((line[0] + 0.8, top - 3.0 - step * k), short, _NAME) for k in range(_TRIES)]


def _named(lines: Sequence[Line], text: str, close: Box, board: Board) -> Iterator[Shape]:
    """The name of lines beside one of them, at the first free place; nothing where there is none."""
    short = fitted(text, _NAME, OVERLAP - 2.0)
    for words in (each for line in lines for each in _beside(box_of(line), short, close)):
        box = box_of(words)
        if within(box, close) and board.free(box, 0.15):
            board.block(words)
            yield words
            return


def _bar_middles(mounting: MountingSetting) -> list[float]:
    """Middle of each bridge bar to the left of the base's middle [m]."""
    backing, positions = mounting.backing, mounting.positions
    if not isinstance(backing, Bars):
        return []
    sides = [positions[row, 1] for row in backing.rows(positions)]
    return [float(side.min() + side.max()) / 2 for side in sides if len(side)]


def _member_edges(anchors: Sequence[AnchorSetting]) -> dict[tuple[float, ...], list[str]]:
    """Faces of the nearest cross-members ahead, or left, of the base's middle [m], and which anchors stand so."""
    found: dict[tuple[float, ...], list[str]] = {}
    for anchor in anchors:
        nearest = (_nearest(anchor, ahead=True), _nearest(anchor, ahead=False))
        edges = sorted(
            round(line - anchor.at[anchor.floor.axis] + side * anchor.floor.member.width / 2, 4)
            for line in nearest if line is not None for side in (-1, 1)
        )  # fmt: skip
        found.setdefault(tuple(edges), []).append(anchor.name)
    return found


def _nearest(anchor: AnchorSetting, *, ahead: bool) -> float | None:
    """The nearest cross-member ahead, or left, of the anchor, or the nearest one on the other side or under it [m]."""
    at = anchor.at[anchor.floor.axis]
    lines = [line for line in anchor.floor.lines if (line > at) == ahead]
    return min(lines, key=lambda line: abs(line - at), default=None)
