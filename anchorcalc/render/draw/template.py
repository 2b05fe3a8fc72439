"""The drilling and cutting template of one mounting at true size: shapes in millimetres about the base's middle.

Seen from above: u to the right, v up, which is forward. What writes it to paper or to a file knows no mounting.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from textwrap import wrap
from typing import TYPE_CHECKING, Literal

from anchorcalc.render import figures
from anchorcalc.render.draw.svg import harmless
from anchorcalc.render.fitting_words import NOT_STRONG_ENOUGH
from anchorcalc.rig.parts import PlateSeat, WasherSeat
from anchorcalc.units import SI, US, length

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from anchorcalc.result.fitting import MountingSheet
    from anchorcalc.rig.parts import MountingSetting
    from anchorcalc.rig.rig import Rig

MM = 1000.0
INCH = 25.4

Point = tuple[float, float]
Layer = Literal["hole", "mark", "cut-out", "base", "backing", "centreline", "bar", "arrow", "words"]


@dataclass(frozen=True)
class Pen:
    """How a layer is drawn: width and dashes [mm], number of its colour in DXF."""

    width: float
    dashes: tuple[float, ...]
    dxf_colour: int


PENS: dict[Layer, Pen] = {
    "hole": Pen(0.30, (), 1),
    "mark": Pen(0.15, (), 1),
    "cut-out": Pen(0.40, (), 1),
    "base": Pen(0.25, (4, 1.5), 5),
    "backing": Pen(0.25, (7, 1.5, 1, 1.5), 3),
    "centreline": Pen(0.13, (9, 1.5, 1.5, 1.5), 8),
    "bar": Pen(0.20, (), 7),
    "arrow": Pen(0.30, (), 7),
    "words": Pen(0.10, (), 7),
}


@dataclass(frozen=True)
class Circle:
    """A circle."""

    centre: Point
    radius: float
    layer: Layer


@dataclass(frozen=True)
class Line:
    """A straight line."""

    start: Point
    end: Point
    layer: Layer


@dataclass(frozen=True)
class Words:
    """One line of text; `at` is the left or middle end of its foot."""

    at: Point
    text: str
    height: float
    align: Literal["left", "middle"] = "left"
    layer: Layer = "words"


Shape = Circle | Line | Words


@dataclass(frozen=True)
class Template:
    """Shapes and the canvas they lie on: left, bottom, right, top [mm]."""

    title: str
    subtitle: str
    shapes: tuple[Shape, ...]
    canvas: tuple[float, float, float, float]
    notes: tuple[str, ...]
    cautions: tuple[str, ...]


CAUTIONS = (
    "Print at 100 % (actual size, no fitting). Measure the bars before cutting: 4 in and 100 mm, both ways.",
    "Hold the ring itself to the marks before drilling; where they differ, drill from its own holes, one by one.",
    "Look under the deck first: cross-members, wiring, brake lines, tanks. Drill slowly, with wood clamped below.",
    "An estimate stands behind this drawing, not a rating: the maker's drawing of the ring comes first.",
)

_BEYOND = 9.0  # the lines by which existing holes are found go so far beyond all outlines
_GAP = 2.0
_ROOM_FOR_ARROW = 12.0
_NARROWEST = 168.0  # room for the words
_TEXT, _SMALL, LINE = 3.2, 2.5, 4.0
_LETTERS = 110  # of the small text across the narrowest canvas


def template_of(rig: Rig, name: str, sheet: MountingSheet, weak: str = "") -> Template:
    """Template of mounting `name`, its holes as the fitting sheet has them drilled.

    `weak` is why the mounting fails, if it does: it then says so across its head and first among its notes.
    """
    mounting = rig.mountings[name]
    outlines = [*_outlines(mounting), *_holes(mounting, sheet)]
    right, top = _reach(outlines)
    lines = list(_lines(mounting, right + _BEYOND, top + _BEYOND))
    half = max(right + _BEYOND + _GAP, _NARROWEST / 2)
    arrow = list(_arrow(top + _BEYOND + 2))
    return Template(
        title=harmless(f"{NOT_STRONG_ENOUGH}: do not drill by this. {rig.title}" if weak else rig.title, 80),
        subtitle=f"mounting {harmless(name, 60)!r}, seen from above the deck",
        shapes=(*lines, *outlines, *arrow),
        canvas=(-half, -top - _BEYOND - _GAP, half, top + _BEYOND + _ROOM_FOR_ARROW),
        notes=(*([f"{NOT_STRONG_ENOUGH}: {harmless(weak)}"] if weak else []), *_notes(rig, mounting, sheet)),
        cautions=CAUTIONS,
    )


def _reach(shapes: Sequence[Shape]) -> Point:
    """How far the outlines go from the middle, to the right and up."""
    corners: list[tuple[float, float, float]] = []
    for shape in shapes:
        if isinstance(shape, Circle):
            corners.append((*shape.centre, shape.radius))
        elif isinstance(shape, Line):
            corners += [(*shape.start, 0.0), (*shape.end, 0.0)]
    return max(abs(u) + r for u, _, r in corners), max(abs(v) + r for _, v, r in corners)


def _places(mounting: MountingSetting) -> list[Point]:
    """Middles of the holes: y to the left becomes u to the right."""
    return [(-MM * y, MM * x) for x, y in mounting.positions]


# --- what is cut and covered ----------------------------------------------------------------------------------


def _outlines(mounting: MountingSetting) -> Iterator[Shape]:
    yield from _rectangle(mounting.base, "base")
    if mounting.cut_out is not None:
        yield from _rectangle(mounting.cut_out, "cut-out")
    if mounting.plate is not None:
        yield from _rectangle(mounting.plate.size, "backing")
    if mounting.backing.kind == "washers" and isinstance(mounting.seat, WasherSeat):
        for place in _places(mounting):
            yield Circle(place, MM * mounting.seat.outside / 2, "backing")


def _rectangle(size: tuple[float, float], layer: Layer) -> Iterator[Shape]:
    """Four sides about the middle; `size` is length along and width across [m]."""
    u, v = MM * size[1] / 2, MM * size[0] / 2
    corners = [(-u, -v), (u, -v), (u, v), (-u, v), (-u, -v)]
    for start, end in pairwise(corners):
        yield Line(start, end, layer)


def _holes(mounting: MountingSetting, sheet: MountingSheet) -> Iterator[Shape]:
    radius = MM * _drill(mounting, sheet) / 2
    for number, (u, v) in enumerate(_places(mounting), start=1):
        yield Circle((u, v), radius, "hole")
        arm = radius + 3.0
        yield Line((u - arm, v), (u + arm, v), "mark")
        yield Line((u, v - arm), (u, v + arm), "mark")
        yield Words((u + arm + 0.8, v + 1.2), str(number), _SMALL)


def _drill(mounting: MountingSetting, sheet: MountingSheet) -> float:
    """Diameter of the hole to drill [m]; 3 mm stand for a screw of which no table knows the pilot hole."""
    if sheet.holes is not None:
        return sheet.holes.drill
    pilot = sheet.screws.pilot if sheet.screws is not None else None
    return pilot if pilot is not None else 0.003


# --- lines to find existing holes by --------------------------------------------------------------------------


def _lines(mounting: MountingSetting, right: float, top: float) -> Iterator[Shape]:
    """Centrelines, and one line through every row and column of holes."""
    places = _places(mounting)
    for u in sorted({0.0, *(round(u, 3) for u, _ in places)}):
        yield Line((u, -top), (u, top), "centreline")
    for v in sorted({0.0, *(round(v, 3) for _, v in places)}):
        yield Line((-right, v), (right, v), "centreline")


def _arrow(foot: float) -> Iterator[Shape]:
    corners = [(-3.0, foot), (3.0, foot), (0.0, foot + 7), (-3.0, foot)]
    for start, end in pairwise(corners):
        yield Line(start, end, "arrow")
    yield Words((6.0, foot + 2), "FORWARD (to the hitch)", _TEXT)


# --- words ----------------------------------------------------------------------------------------------------


def text_block(sentences: Sequence[str], left: float, top: float) -> tuple[list[Shape], float]:
    """Lines of small text from `top` down, as wide as the narrowest canvas, and where they end."""
    lines = [line for sentence in sentences for line in wrap(sentence, _LETTERS)]
    words: list[Shape] = [Words((left, top - LINE * row), line, _SMALL) for row, line in enumerate(lines, start=1)]
    return words, top - LINE * len(lines)


def _notes(rig: Rig, mounting: MountingSetting, sheet: MountingSheet) -> Iterator[str]:
    yield f"{len(_places(mounting))} holes: {_drill_words(rig, sheet)}."
    yield f"Middles of the holes from the middle of the base: {'; '.join(_hole_words(mounting))}."
    yield f"Dashed: the ring's base, {_both(mounting.base)}."
    backing, seat = mounting.backing, mounting.seat
    if isinstance(seat, PlateSeat):
        yield f"Dash and dot: the plate under the deck, {_both(seat.size)}, {_either(seat.thickness)} thick."
    if backing.kind == "washers" and isinstance(seat, WasherSeat):
        yield f"Dash and dot: washers under the deck, {_either(seat.outside)} outside."
    if backing.kind == "bridge":
        yield "The bridge bar under the cross-members is not drawn: mark it from below through the drilled holes."
    if backing.kind == "member":
        yield "Some holes go through the cross-member: find its edges from below and mark them on this sheet first."
    if mounting.cut_out is not None:
        yield f"Thick: the opening for the ring, {_both(mounting.cut_out)}; cut as tight as it goes."


def _drill_words(rig: Rig, sheet: MountingSheet) -> str:
    units = figures.units_of(rig)
    if sheet.holes is not None:
        drill, most = (length(size, units) for size in (sheet.holes.drill, sheet.holes.most))
        return f"drill {drill}, never wider than {most}"
    if sheet.screws is not None and sheet.screws.pilot is not None:
        return f"pilot holes {length(sheet.screws.pilot, units)} for {sheet.screws.name}"
    return "pilot holes by trial in scrap of the same panel; drawn as 3 mm"


def _hole_words(mounting: MountingSetting) -> Iterator[str]:
    for number, (x, y) in enumerate(mounting.positions, start=1):
        along, across = _either(abs(x)), _either(abs(y))
        yield f"{number}: {along} {'forward' if x >= 0 else 'back'}, {across} {'left' if y >= 0 else 'right'}"


def _either(metres: float) -> str:
    return f"{length(metres, US)} ({length(metres, SI)})"


def _both(size: tuple[float, float]) -> str:
    return f"{_either(size[0])} along, {_either(size[1])} across"


# --- bars to measure ------------------------------------------------------------------------------------------


def scale_bar(at: Point, unit: Literal["in", "mm"], *, upright: bool = False) -> list[Shape]:
    """A bar of 4 in or 100 mm from `at`, to the right or upright, with a tick at each inch or 10 mm."""
    steps, step, name = (4, INCH, "4 in") if unit == "in" else (10, 10.0, "100 mm")

    def place(along: float, aside: float) -> Point:
        return (at[0] - aside, at[1] + along) if upright else (at[0] + along, at[1] + aside)

    shapes: list[Shape] = [Line(place(0, 0), place(steps * step, 0), "bar")]
    for each in range(steps + 1):
        tall = 4.0 if each in (0, steps) else 2.0
        shapes.append(Line(place(each * step, 0), place(each * step, tall), "bar"))
    if not upright:
        return [*shapes, Words((at[0] + steps * step + 2.0, at[1]), name, _SMALL)]
    # Two of them stand side by side: each name goes above its bar, number over unit to stay narrow.
    for row, word in enumerate(reversed(name.split())):
        shapes.append(Words((at[0] - 4.0, at[1] + steps * step + 2.5 + 3.3 * row), word, _SMALL))
    return shapes


BAR_LENGTHS = {"in": 4 * INCH, "mm": 100.0}


def on_one_sheet(template: Template) -> tuple[list[Shape], tuple[float, float, float, float]]:
    """The template with head, bars and cautions on one canvas of any size, for files that are not cut into pages."""
    left, bottom, right, top = template.canvas
    head: list[Shape] = [
        Words((left + 1, top + 8), template.title, _TEXT + 0.8),
        Words((left + 1, top + 3), template.subtitle, _TEXT),
    ]
    side = left - 16
    bars = [
        *scale_bar((left + 1, bottom - 8), "in"),
        *scale_bar((left + 1, bottom - 16), "mm"),
        *scale_bar((side + 6, top - 104), "in", upright=True),
        *scale_bar((side + 13, top - 104), "mm", upright=True),
    ]
    words, level = text_block((*template.notes, *template.cautions), left + 1, bottom - 19)
    canvas = (side, min(level - 4, top - 110), right, top + 16)
    return [*template.shapes, *head, *bars, *words], canvas
