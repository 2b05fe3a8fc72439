"""The deck from above, front edge up: what it is made of, where the anchors stand, how hard each strap pulls.

Verdicts show by word, shape and colour. Distances on paper are to one scale; the frame is the scenario's.
"""

from __future__ import annotations

from itertools import pairwise
from math import degrees, hypot
from typing import TYPE_CHECKING

from msgspec import Struct

from anchorcalc.render import figures
from anchorcalc.render.draw.labels import PLAIN, SMALL, about, beside, free_label, near, spread
from anchorcalc.render.draw.letters import screen_fitted, screen_width, screen_wrapped
from anchorcalc.render.draw.plan_panel import legend, side_panel, support_word
from anchorcalc.render.draw.plan_style import STYLE, glyph, gravity_sign
from anchorcalc.render.draw.shapes import Board, Box, box_of, rectangle
from anchorcalc.render.draw.svg import Markup, document, group, harmless, label, path, tag, titled
from anchorcalc.result.check import by_use
from anchorcalc.units import length, length_number

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from anchorcalc.result.check import Result
    from anchorcalc.rig.floor import ZoneSetting
    from anchorcalc.rig.rig import Rig, StopSetting

_DECK_WIDTH, _DECK_HEIGHT = 220.0, 640.0  # the deck fits into this [units of the drawing]
_MARGIN = 128.0  # on both sides, for the anchors' words
_ABOVE, _BELOW = 64.0, 62.0
_LINE = 14.0  # from one line of words to the next
_LONGEST = 48  # letters of a name
_NAME_ROOM = _MARGIN - 16.0
_PANEL_GAP = 24.0


class DeckPlan(Struct, frozen=True):
    """What the plan shows: a set-up and what was found for it."""

    rig: Rig
    result: Result


class _Sheet(Struct, frozen=True):
    """From the deck's frame [m] to the drawing's."""

    scale: float
    middle: float
    front: float  # x of what lies farthest forward [m]
    rear: float  # and farthest back

    def at(self, x: float, y: float) -> tuple[float, float]:
        return self.middle - y * self.scale, _ABOVE + (self.front - x) * self.scale


def plan_svg(shown: DeckPlan) -> str:
    """Whole drawing: the deck, with the pulls of every case and the legend beside it."""
    deck, width, height = _deck(shown)
    panel, panel_width, panel_height = side_panel(shown.rig, shown.result)
    total = width + _PANEL_GAP + panel_width + 16.0
    tall = max(height, panel_height)
    moved = group(panel, transform=f"translate({width + _PANEL_GAP:.0f} 0)")
    background = tag("rect", class_="paper", x=0, y=0, width=total, height=tall)
    inside = group(background, *deck, moved, class_="deck-plan")
    return document(inside, view=(0, 0, total, tall), title=_title(shown), description=_description(shown), style=STYLE)


def plan_inline(shown: DeckPlan) -> Markup:
    """The deck and the legend alone, to stand in a page that has the tables already; style `STYLE` is the page's."""
    deck, width, height = _deck(shown)
    signs, tall = legend(shown.rig, shown.result)
    placed = group(signs, transform=f"translate({(width - 410) / 2:.0f} {height:.0f})")
    return Markup(
        document(
            group(*deck, placed, class_="deck-plan"),
            view=(0, 0, width, height + tall), title=_title(shown), description=_description(shown),
        )
    )  # fmt: skip


def _title(shown: DeckPlan) -> str:
    return f"Deck plan: {harmless(shown.rig.title, 120)}"


def _description(shown: DeckPlan) -> str:
    first = f"Seen from above, front edge up. Verdict: {shown.result.verdict}."
    states = [f"Anchor {harmless(state.anchor, 40)}: {state.verdict or 'no strap'}." for state in shown.result.states]
    return " ".join([first, *states])


def _deck(shown: DeckPlan) -> tuple[list[Markup], float, float]:
    """The drawing of the deck, its width and its height."""
    sheet = _sheet(shown.rig)
    width, bottom = 2 * sheet.middle, sheet.at(sheet.rear, 0)[1]
    board = _signs_and_lines(shown, sheet)
    labels, lowest = _anchor_labels(shown, sheet, width, board)
    height = max(bottom + _BELOW, lowest + 12)
    straps = list(_straps(shown, sheet, board))
    load = _load(shown.rig, sheet, board)
    zones = [
        *(_zone(zone, sheet, "well", "wheel well", board) for zone in shown.rig.floor.wells),
        *(_zone(zone, sheet, "no-go", "stay clear", board) for zone in shown.rig.floor.no_go),
    ]
    return (
        [
            _heading(sheet),
            *_structure(shown, sheet),
            *zones,
            *(_true_size(name, shown, sheet) for name in shown.rig.anchors),
            load,
            *straps,
            *(_anchor(name, shown, sheet) for name in shown.rig.anchors),
            *labels,
            _ruler(shown, sheet, bottom),
        ],
        width,
        height,
    )


def _signs_and_lines(shown: DeckPlan, sheet: _Sheet) -> Board:
    """What words keep off: all signs; straps, and the lines of deck and load, where there is room."""
    rig, board = shown.rig, Board()
    load, floor = rig.load, rig.floor
    signs = [(anchor.at, *((16.0, 16.0) if _in_the_way(name, shown) else (11.0, 11.0)))
             for name, anchor in rig.anchors.items()]  # fmt: skip
    signs += [(place, 5.0, 13.0) for place in load.wheels.values()]
    signs += [(point.at[:2], 3.5, 3.5) for point in load.tie_points.values()]
    signs += [(stop.at[:2], 12.0, 12.0) for stop in load.stops.values()]
    signs += [(load.centre[:2], 9.0, 9.0)]
    board.boxes = [about(sheet.at(*at), across, upright) for at, across, upright in signs]
    for line in _strap_lines(shown.rig, sheet).values():
        board.strokes += pairwise(line)
    ends = [(sheet.at(floor.length, 0), sheet.at(0, 0)), *((end, start) for start, end in _supports(shown, sheet))]
    board.lines = [(*start, *end) for start, end in ends]
    outline = [sheet.at(*corner) for corner in _corners(shown)]
    board.strokes += pairwise([*outline, outline[0]])
    frame = _load_frame(rig, sheet)
    board.lines += [box_of(side) for side in rectangle(frame, "frame")] if frame is not None else []
    return board


def _room(sheet: _Sheet) -> Box:
    """Where words about the deck may lie: not in the margins, nor in the lines above and below it."""
    return _MARGIN - 4.0, _ABOVE - 8.0, 2 * sheet.middle - _MARGIN + 4.0, sheet.at(sheet.rear, 0)[1] + 8.0


def _sheet(rig: Rig) -> _Sheet:
    """Scale and place of the deck."""
    floor, load = rig.floor, rig.load
    points = [*load.wheels.values(), *(point.at[:2] for point in load.tie_points.values())]
    points += [anchor.at for anchor in rig.anchors.values()] + [stop.at[:2] for stop in load.stops.values()]
    points += [(x, y) for zone in (*floor.wells, *floor.no_go) for x, y in zip(zone.x, zone.y, strict=True)]
    half = max(floor.width / 2, floor.width_front / 2, *(abs(y) for _, y in points))
    front = max(floor.length, *(x for x, _ in points))
    rear = min(0.0, *(x for x, _ in points))
    scale = min(_DECK_WIDTH / (2 * half), _DECK_HEIGHT / (front - rear))
    return _Sheet(scale, _MARGIN + max(half * scale, 60.0), front, rear)


def _heading(sheet: _Sheet) -> Markup:
    x = sheet.middle
    arrow = tag("path", class_="arrow", d=path((x, 12), (x - 9, 28), (x + 9, 28), closed=True))
    return group(arrow, label(x, 44, "front, towards the hitch", class_="quiet middle"))


# --- the deck -------------------------------------------------------------------------------------------------


def _structure(shown: DeckPlan, sheet: _Sheet) -> Iterator[Markup]:
    floor = shown.rig.floor
    yield tag("path", class_="deck", d=path(*(sheet.at(*corner) for corner in _corners(shown)), closed=True))
    for number, at in enumerate(floor.lines, start=1):
        yield _member(number, at, shown, sheet)
    for start, end in _supports(shown, sheet):
        yield titled(support_word(floor), tag("path", class_="rail", d=path(start, end)))
    for number, layer in enumerate(floor.layers, start=1):
        yield from _joints(number, layer.joints_across, layer.joints_along, shown, sheet)
    ends = path(sheet.at(0, 0), sheet.at(floor.length, 0))
    yield titled("centreline", tag("path", class_="centreline", d=ends))


def _supports(shown: DeckPlan, sheet: _Sheet) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    """Ends of the main rails, or of the beams under members that run lengthwise, where somebody measured them."""
    floor = shown.rig.floor
    for at in reversed(floor.supports_measured):
        if floor.lengthwise:
            yield sheet.at(at, floor.width / 2), sheet.at(at, -floor.width / 2)
        else:
            yield sheet.at(0, at), sheet.at(floor.length, at)


def _corners(shown: DeckPlan) -> list[tuple[float, float]]:
    floor = shown.rig.floor
    ends = [0.0, floor.length] if floor.nose is None else [0.0, floor.length - floor.nose[0], floor.length]
    left = [(x, floor.half_width_at(x)) for x in ends]
    return [*left, *((x, -y) for x, y in reversed(left))]


def _member(number: int, at: float, shown: DeckPlan, sheet: _Sheet) -> Markup:
    floor = shown.rig.floor
    half, wide = floor.member.width / 2, floor.half_width_at(at)
    places = [(at + half, wide), (at + half, -wide), (at - half, -wide), (at - half, wide)]
    if floor.lengthwise:
        places = [(0.0, at + half), (0.0, at - half), (floor.length, at - half), (floor.length, at + half)]
    outline = path(*(sheet.at(*place) for place in places), closed=True)
    edge = "right" if floor.lengthwise else "rear"
    pieces = ", its outriggers welded to the rails" if floor.outriggers == "welded" else ""
    return titled(f"cross-member {number} from the {edge}{pieces}", tag("path", class_="member", d=outline))


def _joints(
    number: int, across: Sequence[float], along: Sequence[float], shown: DeckPlan, sheet: _Sheet
) -> Iterator[Markup]:
    length = shown.rig.floor.length
    lines = [
        (sheet.at(x, shown.rig.floor.half_width_at(x)), sheet.at(x, -shown.rig.floor.half_width_at(x))) for x in across
    ]
    lines += [(sheet.at(0, y), sheet.at(length, y)) for y in along]
    for ends in lines:
        yield titled(
            f"joint of layer {number} from the top", tag("path", class_=f"joint layer-{number}", d=path(*ends))
        )


def _zone(zone: ZoneSetting, sheet: _Sheet, kind: str, word: str, board: Board) -> Markup:
    (x0, x1), (y0, y1) = zone.x, zone.y
    left, top = sheet.at(x1, y1)
    right, bottom = sheet.at(x0, y0)
    size = {"x": left, "y": top, "width": max(right - left, 1.0), "height": max(bottom - top, 1.0)}
    middle, levels = (left + right) / 2, [top + 4 + (bottom - top) * share for share in (0.5, 0.25, 0.75, 0.0, 1.0)]
    name = free_label(
        [harmless(zone.name, 22)], SMALL, lambda _: iter([[(middle, y) for y in levels]]), _room(sheet), board, "small"
    )
    return titled(
        f"{word}: {harmless(zone.name, _LONGEST)}", tag("rect", class_=kind, **size), _hatching(kind, size), name
    )


def _hatching(kind: str, size: Mapping[str, float]) -> Markup:
    """Slanted lines clipped to a rectangle by their own ends; a zone to stay clear of is crossed both ways."""
    x, y, width, height = size["x"], size["y"], size["width"], size["height"]
    lines, step = [], max(7.0, (width + height) / 60)
    start = step / 2
    while start < width + height:
        first = (x + min(start, width), y + max(start - width, 0))
        last = (x + max(start - height, 0), y + min(start, height))
        lines.append(path(first, last))
        if kind == "no-go":
            lines.append(path((2 * x + width - first[0], first[1]), (2 * x + width - last[0], last[1])))
        start += step
    return tag("path", class_=f"{kind} hatching", d=" ".join(lines))


# --- the load and its straps ----------------------------------------------------------------------------------


def _load(rig: Rig, sheet: _Sheet, board: Board) -> Markup:
    load = rig.load
    wheels = [_wheel(name, sheet.at(*place)) for name, place in load.wheels.items()]
    points = []
    for name, point in load.tie_points.items():
        x, y = sheet.at(*point.at[:2])
        square = tag("rect", class_="tie-point", x=x - 3.5, y=y - 3.5, width=7, height=7)
        points.append(titled(f"tie point {harmless(name, _LONGEST)}", square))
    stops = [_stop(name, stop, sheet) for name, stop in load.stops.items()]
    outline, centre = _outline(rig, sheet), _centre_of_gravity(rig, sheet, board)
    return titled(f"load: {harmless(load.name, _LONGEST)}", outline, *wheels, *points, *stops, centre)


def _outline(rig: Rig, sheet: _Sheet) -> Markup:
    """Where the load stands: round its wheels."""
    frame = _load_frame(rig, sheet)
    if frame is None:
        return Markup("")
    left, top, right, bottom = frame
    return tag("rect", class_="load-outline", x=left, y=top, width=right - left, height=bottom - top, rx=10)


def _load_frame(rig: Rig, sheet: _Sheet) -> Box | None:
    """The box round all wheels; None of a load without any."""
    places = [sheet.at(*place) for place in rig.load.wheels.values()]
    if not places:
        return None
    xs, ys = zip(*places, strict=True)
    return min(xs) - 7, min(ys) - 18, max(xs) + 7, max(ys) + 18


def _stop(name: str, stop: StopSetting, sheet: _Sheet) -> Markup:
    """A bar across the way it pushes, an arrow along it."""
    x, y = sheet.at(*stop.at[:2])
    ahead, left = stop.push[0], stop.push[1]
    across, along = (ahead, -left), (-left, -ahead)  # in the drawing, where left is less and ahead is up
    ends = [(x + way * 9 * across[0], y + way * 9 * across[1]) for way in (-1, 1)]
    tip = (x + 13 * along[0], y + 13 * along[1])
    bar, arrow = tag("path", class_="stop", d=path(*ends)), tag("path", class_="stop", d=path((x, y), tip))
    return titled(f"stop {harmless(name, _LONGEST)}", bar, arrow)


def _wheel(name: str, at: tuple[float, float]) -> Markup:
    tyre = tag("rect", class_="wheel", x=at[0] - 5, y=at[1] - 13, width=10, height=26, rx=4)
    return titled(f"wheel {harmless(name, _LONGEST)}", tyre)


def _centre_of_gravity(rig: Rig, sheet: _Sheet, board: Board) -> Markup:
    x, y = sheet.at(*rig.load.centre[:2])
    return titled(
        "centre of gravity of the load",
        gravity_sign(x, y),
        free_label([harmless(rig.load.name, 24)], PLAIN, near((x, y)), _room(sheet), board),
    )


def _strap_lines(rig: Rig, sheet: _Sheet) -> dict[str, list[tuple[float, float]]]:
    return {name: [sheet.at(*place[:2]) for place in rig.course_of(name)] for name in rig.straps}


def _straps(shown: DeckPlan, sheet: _Sheet, board: Board) -> Iterator[Markup]:
    """Every strap over all its points, with its pull where it is used most and an arrow as long as that is hard."""
    rig, units = shown.rig, figures.units_of(shown.result)
    lines = _strap_lines(rig, sheet)
    pulls = {name: _hardest(name, shown.result) for name in rig.straps}
    most = max([1.0, *(pull or 0.0 for pull in pulls.values())])
    longest = max((_long((line[0], line[1])) for line in lines.values()), default=0.0)
    for number, (name, line) in enumerate(lines.items(), start=1):
        pull, (start, end) = pulls[name], line[:2]
        hardest = figures.force(pull, units) if pull is not None else "not held"
        runs = [line, *([middle] if (middle := [sheet.at(*place[:2]) for place in rig.middle_of(name)]) else [])]
        parts = [tag("path", class_=kind, d=path(*run)) for kind in ("strap-edge", "strap") for run in runs]
        if pull:
            parts.append(_arrow(start, end, longest * pull / most))
        said = [f"{number}: {hardest}", f"{number}"]
        parts.append(free_label(said, SMALL, beside(start, end, 42.0), _room(sheet), board, "small"))
        yield titled(f"strap {harmless(name, _LONGEST)}: {hardest} in the case that uses most of its limit", *parts)


def _hardest(strap: str, result: Result) -> float | None:
    """The pull of a strap in the held case that uses most of its limit [N]; None where no case is held.

    It stands beside the use that the anchor's words tell: a harder pull in another case may use less of a higher limit.
    """
    states = [state for case in result.cases if case.held for state in case.straps if state.strap == strap]
    return max(states, key=by_use).tension if states else None


def _between(start: tuple[float, float], end: tuple[float, float], share: float) -> tuple[float, float]:
    return start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])


def _long(line: tuple[tuple[float, float], tuple[float, float]]) -> float:
    return hypot(line[1][0] - line[0][0], line[1][1] - line[0][1])


def _arrow(start: tuple[float, float], end: tuple[float, float], long: float) -> Markup:
    """An arrow from the anchor along its strap, no longer than the strap is drawn."""
    whole = _long((start, end))
    if whole < 1.0:
        return Markup("")
    tip = _between(start, end, min(long / whole, 1.0))
    across = (end[1] - start[1]) / whole, (start[0] - end[0]) / whole
    foot = _between(tip, start, min(9.0 / whole, 1.0))
    sides = [(foot[0] + side * 5 * across[0], foot[1] + side * 5 * across[1]) for side in (1, -1)]
    return tag("path", class_="pull", d=f"{path(start, foot)} {path(sides[0], tip, sides[1], closed=True)}")


# --- anchors --------------------------------------------------------------------------------------------------


def _in_the_way(name: str, shown: DeckPlan) -> int:
    """How much is in the way of an anchor."""
    return sum(len(place.conflicts) for place in shown.result.sheet.places if place.anchor == name)


def _true_size(name: str, shown: DeckPlan, sheet: _Sheet) -> Markup:
    """Base and plate of an anchor as large as they are."""
    anchor = shown.rig.anchors[name]
    if anchor.base != name:  # drawn with the anchor whose base it stands on
        return group()
    sizes = [anchor.mounting.base, *([anchor.mounting.plate.size] if anchor.mounting.plate is not None else [])]
    (x, y), drawn = sheet.at(*anchor.at), []
    for kind, (long, wide) in zip(("ring-base", "plate"), sizes, strict=False):
        width, height = wide * sheet.scale, long * sheet.scale
        box = {"x": x - width / 2, "y": y - height / 2, "width": width, "height": height}
        askew = -degrees(anchor.mounting.turned) if kind == "ring-base" else 0.0
        drawn.append(tag("rect", class_=kind, **box, transform=f"rotate({askew:g} {x:g} {y:g})" if askew else None))
    return group(*drawn)


def _anchor(name: str, shown: DeckPlan, sheet: _Sheet) -> Markup:
    anchor, state = shown.rig.anchors[name], shown.result.state_of(name)
    x, y = sheet.at(*anchor.at)
    ring = tag("circle", class_="conflict-ring", cx=x, cy=y, r=15) if _in_the_way(name, shown) else Markup("")
    said = f"{state.verdict or 'no strap'}, {harmless(state.why, 70)}"
    return titled(f"anchor {harmless(name, _LONGEST)}: {said}", ring, glyph(state.verdict, x, y))


def _anchor_labels(shown: DeckPlan, sheet: _Sheet, width: float, board: Board) -> tuple[list[Markup], float]:
    """Words of the anchors in the margins, each as near to its anchor as its neighbours let it; lowest end."""
    made, lowest = [], 0.0
    for on_left in (True, False):
        side = [name for name, anchor in shown.rig.anchors.items() if (anchor.at[1] >= 0) == on_left]
        side.sort(key=lambda name: -shown.rig.anchors[name].at[0])
        places = [sheet.at(*shown.rig.anchors[name].at) for name in side]
        words = [_anchor_words(name, shown) for name in side]
        heights = [len(lines) * _LINE + 8.0 for lines in words]
        tops = spread([y - _LINE / 2 for _, y in places], heights, 50.0)
        for at, lines, top in zip(places, words, tops, strict=True):
            made.append(_anchor_label(lines, at, top, width, on_left, board))
        lowest = max([lowest, *(top + height for top, height in zip(tops, heights, strict=True))])
    return made, lowest


def _anchor_words(name: str, shown: DeckPlan) -> list[tuple[str, str]]:
    """Lines about an anchor and their style: its name on one or two, its verdict, where it is, what is in its way."""
    anchor, state = shown.rig.anchors[name], shown.result.state_of(name)
    units = figures.units_of(shown.result)
    aside = length_number(abs(anchor.at[1]), units)
    way = "on centreline" if anchor.at[1] == 0 else f"{aside} {'left' if anchor.at[1] > 0 else 'right'}"
    used = figures.percent(state.utilisation) if state.strap is not None else ""
    first, *rest = screen_wrapped(name, PLAIN, _NAME_ROOM, bold=True)
    conflicts = _in_the_way(name, shown)
    return [
        (first, "bold"),
        *[(screen_fitted(" ".join(rest), PLAIN, _NAME_ROOM, bold=True), "bold") for _ in rest[:1]],
        (f"{(state.verdict or 'no strap').upper()} {used}".rstrip(), f"bold {state.verdict or 'unused'}-word"),
        (f"{length_number(anchor.at[0], units)} from rear,", "small"),
        (f"{way} [{units.length}]", "small"),
        *[(f"{conflicts} in the way", "small bold fail-word") for _ in range(min(conflicts, 1))],
    ]


def _anchor_label(
    lines: Sequence[tuple[str, str]], at: tuple[float, float], top: float, width: float, on_left: bool, board: Board
) -> Markup:
    """Words at the edge of the drawing; their leader leaves the margin level before it turns to the anchor."""
    edge, inwards, end = (8.0, 1, "") if on_left else (width - 8.0, -1, " end")
    words = [
        label(edge, top + 11 + row * _LINE, text, class_=f"{style}{end}") for row, (text, style) in enumerate(lines)
    ]
    inner = edge + inwards * (screen_width(lines[0][0], PLAIN, bold=True) + 6)
    bend = (_MARGIN if on_left else width - _MARGIN, top + 7)
    tip = (at[0] - inwards * 12, at[1])
    board.strokes.append((bend, tip))
    return group(tag("path", class_="leader", d=path((inner, top + 7), bend, tip)), *words)


def _ruler(shown: DeckPlan, sheet: _Sheet, bottom: float) -> Markup:
    """Scale bar of round length below the deck."""
    unit, name = (0.3048, "ft") if shown.result.units == "us" else (0.5, "m")
    steps = max(1, min(5, int(0.5 * shown.rig.floor.width / unit)))
    left, y, step = sheet.middle - steps * unit * sheet.scale / 2, bottom + 18, unit * sheet.scale
    bars = [
        tag(
            "rect",
            class_="scale-dark" if each % 2 == 0 else "scale-light",
            x=left + each * step,
            y=y,
            width=step,
            height=5,
        )
        for each in range(steps)
    ]
    reach = f"{steps * (1 if name == 'ft' else 0.5):g} {name}"
    units, floor = figures.units_of(shown.result), shown.rig.floor
    wide = length(floor.width, units)
    if floor.width_front != floor.width:
        wide += f" ({length(floor.width_front, units)} in front)"
    size = f"deck {length(floor.length, units)} long, {wide} wide"
    return group(
        *bars,
        label(sheet.middle, y + 20, f"{reach}; rear edge above", class_="quiet middle"),
        label(sheet.middle, y + 36, size, class_="quiet middle"),
    )
