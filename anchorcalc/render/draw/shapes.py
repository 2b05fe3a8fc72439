"""What true-size drawings are made of: lines, circles, patches and measured words in millimetres, and their boxes."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Literal

from msgspec import Struct
from msgspec.structs import replace

from anchorcalc.render.draw.letters import width

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

MM = 1000.0
INCH = 25.4

Point = tuple[float, float]
Box = tuple[float, float, float, float]
"""Left, bottom, right, top [mm]."""

Layer = Literal[
    "steel", "wood", "paper", "grain", "hole", "mark", "cut-out", "base", "backing", "member", "bar under",
    "centreline", "dimension", "register", "scale", "frame", "arrow", "words",
]  # fmt: skip


class Pen(Struct, frozen=True):
    """How a layer is drawn: width and dashes [mm], number of its colour in DXF; a fill is a grey from 0 to 1."""

    width: float
    dashes: tuple[float, ...]
    dxf_colour: int
    fill: float | None = None


PENS: dict[Layer, Pen] = {
    "wood": Pen(0.25, (), 31, 0.97),
    "steel": Pen(0.30, (), 8, 0.78),
    "paper": Pen(0.25, (), 7, 1.0),
    "grain": Pen(0.12, (), 31),
    "hole": Pen(0.30, (), 1),
    "mark": Pen(0.15, (), 1),
    "cut-out": Pen(0.50, (), 1),
    "base": Pen(0.25, (4, 1.5), 5),
    "backing": Pen(0.25, (7, 1.5, 1, 1.5), 3),
    "member": Pen(0.35, (2.5, 1.2), 6),
    "bar under": Pen(0.25, (1.2, 1.2), 3),
    "centreline": Pen(0.13, (9, 1.5, 1.5, 1.5), 8),
    "dimension": Pen(0.13, (), 4),
    "register": Pen(0.25, (), 7),
    "scale": Pen(0.20, (), 7),
    "frame": Pen(0.18, (), 7),
    "arrow": Pen(0.30, (), 7, 0.0),
    "words": Pen(0.10, (), 7),
}


class Circle(Struct, frozen=True):
    """A circle."""

    centre: Point
    radius: float
    layer: Layer


class Line(Struct, frozen=True):
    """A straight line."""

    start: Point
    end: Point
    layer: Layer


class Patch(Struct, frozen=True):
    """A closed outline, filled where its layer is."""

    corners: tuple[Point, ...]
    layer: Layer


class Words(Struct, frozen=True):
    """One line of text; `at` is the left, middle or right end of its foot."""

    at: Point
    text: str
    height: float
    align: Literal["left", "middle", "right"] = "left"
    layer: Layer = "words"


Shape = Circle | Line | Patch | Words


class Drawing(Struct, frozen=True):
    """Shapes one way up, the box they need and the box they would like [mm]."""

    shapes: tuple[Shape, ...]
    needed: Box
    wished: Box


_DEPTH = 0.3  # how far g and y reach below the foot, of the height


def box_of(shape: Shape) -> Box:
    """The least box round a shape; for words by their measured width, with what hangs below the foot."""
    if isinstance(shape, Words):
        wide = width(shape.text, shape.height)
        left = shape.at[0] - {"left": 0.0, "middle": wide / 2, "right": wide}[shape.align]
        return left, shape.at[1] - _DEPTH * shape.height, left + wide, shape.at[1] + shape.height
    if isinstance(shape, Circle):
        (u, v), r = shape.centre, shape.radius
        return u - r, v - r, u + r, v + r
    us, vs = zip(*(shape.corners if isinstance(shape, Patch) else (shape.start, shape.end)), strict=True)
    return min(us), min(vs), max(us), max(vs)


def around(shapes: Iterable[Shape], beyond: float = 0.0) -> Box:
    """The least box round all shapes, and `beyond` more on every side."""
    lefts, bottoms, rights, tops = zip(*map(box_of, shapes), strict=True)
    return min(lefts) - beyond, min(bottoms) - beyond, max(rights) + beyond, max(tops) + beyond


def apart(one: Box, other: Box, gap: float = 0.0) -> bool:
    """Whether two boxes keep `gap` between them."""
    return one[2] + gap <= other[0] or other[2] + gap <= one[0] or one[3] + gap <= other[1] or other[3] + gap <= one[1]


def _struck(box: Box, start: Point, end: Point) -> bool:
    """Whether a straight stroke goes through a box."""
    low, high = 0.0, 1.0
    for axis in (0, 1):
        at, step = start[axis], end[axis] - start[axis]
        if abs(step) < 1e-9:
            if not box[axis] <= at <= box[axis + 2]:
                return False
            continue
        first, last = sorted(((box[axis] - at) / step, (box[axis + 2] - at) / step))
        low, high = max(low, first), min(high, last)
    return low <= high


def within(inner: Box, outer: Box) -> bool:
    """Whether one box lies in another."""
    return inner[0] >= outer[0] and inner[1] >= outer[1] and inner[2] <= outer[2] and inner[3] <= outer[3]


def shifted(shape: Shape, by: Point) -> Shape:
    """The shape moved."""
    return placed(shape, 1.0, by)


def placed(shape: Shape, scale: float, by: Point) -> Shape:
    """The shape at `scale` about nil and then moved; words keep their height."""

    def at(point: Point) -> Point:
        return point[0] * scale + by[0], point[1] * scale + by[1]

    if isinstance(shape, Circle):
        return Circle(at(shape.centre), shape.radius * scale, shape.layer)
    if isinstance(shape, Line):
        return Line(at(shape.start), at(shape.end), shape.layer)
    if isinstance(shape, Patch):
        return Patch(tuple(map(at, shape.corners)), shape.layer)
    return replace(shape, at=at(shape.at))


def rectangle(box: Box, layer: Layer) -> Iterator[Shape]:
    """Four sides."""
    left, bottom, right, top = box
    corners = [(left, bottom), (right, bottom), (right, top), (left, top), (left, bottom)]
    for start, end in pairwise(corners):
        yield Line(start, end, layer)


def patch(box: Box, layer: Layer) -> Patch:
    """A filled rectangle."""
    left, bottom, right, top = box
    return Patch(((left, bottom), (right, bottom), (right, top), (left, top)), layer)


class Board(Struct):
    """What stands on a drawing already, so that words find a free place."""

    boxes: list[Box] = []  # nothing may lie on these
    lines: list[Box] = []  # words rather keep off these
    strokes: list[tuple[Point, Point]] = []  # slanted ones, such as straps

    def free(self, box: Box, gap: float = 0.5, *, lines_too: bool = True, strokes_too: bool = True) -> bool:
        """Whether nothing stands within `gap` of a box."""
        taken = [*self.boxes, *self.lines] if lines_too else self.boxes
        if not all(apart(box, other, gap) for other in taken):
            return False
        wider = (box[0] - gap, box[1] - gap, box[2] + gap, box[3] + gap)
        return not (strokes_too and any(_struck(wider, *stroke) for stroke in self.strokes))

    def block(self, *shapes: Shape) -> None:
        """Keep others off these shapes: always off words and holes, off all else where there is room."""
        for shape in shapes:
            solid = isinstance(shape, Words) or shape.layer == "hole"
            (self.boxes if solid else self.lines).append(box_of(shape))
