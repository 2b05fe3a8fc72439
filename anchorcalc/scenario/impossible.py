"""What no load, deck or trailer can be: figures far from all that is usual, parts that lie off what carries them.

What is merely unusual is told by `plausible`; here end the figures that would make a verdict mean nothing.
"""

from __future__ import annotations

from contextlib import suppress
from itertools import combinations
from math import hypot
from typing import TYPE_CHECKING, Final, NamedTuple

from anchorcalc.catalog.rows import UnknownName
from anchorcalc.reading.faults import Path
from anchorcalc.units import Dimension, both_lengths, format_quantity

if TYPE_CHECKING:
    from collections.abc import Iterator

    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.scenario.model import Deck, Load, Scenario, Strap, Trailer, Zone
    from anchorcalc.scenario.mountings import Backing, Mounting

Fault = tuple[Path, str]

READING_UNIT: Final[dict[str, dict[Dimension, str]]] = {
    "us": {"length": "in", "force": "lbf", "weight": "lb"},
    "si": {"length": "mm", "force": "kN", "weight": "kg"},
}
TRAILER_ROWS: Final = {
    "empty_weight": ("empty weight of a trailer", "a trailer of"),
    "gross_rating": ("gross rating of a trailer", "a gross rating of"),
    "axle_rating": ("rating of a trailer's axles", "axles rated"),
}
"""Weights of a trailer by their keys: the row of usual ranges, and how a sentence about one begins."""
FARTHEST: Final = 5.0
"""A figure this many times beyond the usual range is a slip of the unit or of the pen [judgement]."""
_LIGHTEST: Final = 3.0
"""A machine of a kind that is told weighs no less than the lightest usual of it over this: a youth's quad or trail bike
still does, a weight with a figure forgotten does not [judgement]."""
_LOWEST: Final = 0.05
"""No load on wheels has its centre of gravity nearer to what they stand on [m]; judgement."""
_LYING_FLAT: Final = ("machine on skids", "other")
"""Kinds that need have neither wheels nor height."""
_HEAVIEST_TRAILER: Final = 3.0
"""Over the usual range of trailers by this much is more than any road lets pass: the range has the heavy ones in it
[judgement]."""
_INCH: Final = 0.0254
_TWO_RATINGS: Final = 2.0
"""Over the usual rating by this much is nearer to a breaking strength, three to four times the rating."""
_WIDEST: Final = 3.2
"""Roads take decks of 2.6 m; what is wider than this goes with a permit, on no small trailer [m]; judgement."""
_TAPER: Final = 2.0
"""No deck is this many times as wide at one end as at the other and straight between them [judgement]."""
_ANY_LOAD: Final = "load"
_ONE_TRACK: Final = 8 * _INCH
"""Wheels of a motorcycle stand on one line; none stands farther beside it than this [judgement]."""
_ONE_PLACE: Final = 0.001
"""Wheels nearer to each other are one place told twice [m]; judgement."""
TOUCHING: Final = 1e-9
"""Parts nearer than this touch and do not overlap: rounding of units [m]."""


class Figure(NamedTuple):
    """A figure of the scenario [SI] beside the usual range; None leaves the lower end open, or both."""

    path: Path
    what: str
    value: float | None
    least: float | None
    most: float | None
    dimension: Dimension
    farthest: float = FARTHEST  # above the usual
    nearest: float = FARTHEST  # below it


def impossible(scenario: Scenario, catalog: Catalog) -> Iterator[Fault]:
    """Faults of figures and places that cannot be."""
    for figure in _figures(scenario, catalog):
        yield from _beyond(figure, scenario.units)
    yield from _load_faults(scenario.load, scenario.deck, scenario.units)
    yield from _deck_faults(scenario.deck)
    for name, (x, y) in scenario.load.wheels.items():
        yield from (
            (("load", "wheels", name), f"the wheel stands in wheel well {well.name!r}, where there is no deck")
            for well in scenario.deck.wheel_wells
            if _within(well, x, y)
        )
    if scenario.trailer is not None:
        yield from _trailer_faults(scenario.trailer, scenario.deck)


# --- figures far from all that is usual -----------------------------------------------------------------------


def _beyond(figure: Figure, units: str) -> Iterator[Fault]:
    value, least, most = figure.value, figure.least, figure.most
    if value is None:
        return
    low = least is not None and value < least / figure.nearest
    high = most is not None and value > most * figure.farthest
    if low or high:
        unit = READING_UNIT[units][figure.dimension]
        told, *ends = (
            format_quantity(each, unit, figure.dimension, 3) for each in (value, least, most) if each is not None
        )
        usual = " to ".join(ends) if len(ends) > 1 else f"up to {ends[0]}"
        yield figure.path, f"{figure.what} {told} cannot be: usual is {usual}; is that in another unit?"


def _figures(scenario: Scenario, catalog: Catalog) -> Iterator[Figure]:
    """Those whose slip would make the load lighter or a part stronger than it can be."""
    load = scenario.load
    kind = kind_weighed(load)
    limits = catalog.usual_ranges[f"weight of a {kind}"].limits()
    lightest = FARTHEST if kind == _ANY_LOAD else _LIGHTEST
    yield Figure(("load", "weight"), f"a {kind} of", load.weight, *limits, "weight", nearest=lightest)
    multiple = {"rated": 1.0}  # of a working limit
    with suppress(UnknownName):  # told by the tables' own check
        multiple["breaking"] = catalog.rule_set(scenario.rules).breaking_over_rated["hardware"]
    parts: list[tuple[Path, str, object]] = [
        *((("load", "tie_points", name), "rating of a tie point", point) for name, point in load.tie_points.items()),
        *((("mountings", name, "ring"), "rating of a ring", each.ring) for name, each in scenario.mountings.items()),
    ]
    for path, row, part in parts:
        for key, times in multiple.items():
            least, most = (limit * times for limit in catalog.usual_ranges[row].limits())
            yield Figure((*path, key), "a strength of", getattr(part, key), least, most, "force")
    limits = catalog.usual_ranges["rating of a stop"].limits()
    for name, stop in load.stops.items():
        yield Figure(("load", "stops", name, "rated"), "a strength of", stop.rated, *limits, "force")
    least, most = catalog.usual_ranges["rating of a ring"].limits()
    for name, mounting in scenario.mountings.items():
        flat: Path = ("mountings", name, "ring", "rated_flat")
        yield Figure(flat, "a strength of", mounting.ring.rated_flat, least, most, "force")
    for name, strap in scenario.straps.items():
        yield from _of_strap(("straps", name), strap, scenario, catalog)
    if (joint := scenario.deck.cross_members.joint) is not None:
        limits = catalog.usual_ranges["leg of a weld"].limits()
        yield Figure(("deck", "cross_members", "joint", "weld"), "a weld of", joint.weld, *limits, "length")
    limits = catalog.usual_ranges["length of a screw"].limits()
    length = scenario.deck.hold_down.length
    yield Figure(("deck", "hold_down", "length"), "a screw of", length, *limits, "length")
    for name, mounting in scenario.mountings.items():
        for path, row, length in _lengths_of(("mountings", name), mounting):
            part = row.partition(" of a ")[2]
            yield Figure(path, f"a {part} of", length, *catalog.usual_ranges[row].limits(), "length")
    if scenario.trailer is not None:
        yield from _of_trailer(scenario.trailer, catalog)
    for row, distance in hitch_distances(scenario).items():
        if distance > 0:  # else told by the places
            yield Figure(
                ("trailer", "hitch_at"), f"a {row} by", distance, *catalog.usual_ranges[row].limits(), "length"
            )


def kind_weighed(load: Load) -> str:
    """The kind that tells what a load usually weighs: its own, or any load."""
    return load.kind if load.kind not in (None, "machine", "machine on skids", "other") else _ANY_LOAD


def _lengths_of(path: Path, mounting: Mounting) -> Iterator[tuple[Path, str, float | None]]:
    """Lengths that make a mounting stronger the larger they are, each with its row of usual ranges."""
    if mounting.fasteners is not None:
        kind = "bolt" if mounting.fasteners.kind == "bolt" else "screw"
        yield (*path, "fasteners", "length"), f"length of a {kind}", mounting.fasteners.length
    yield (*path, "ring", "base_thickness"), "thickness of a ring's base", mounting.ring.base_thickness
    backing: Backing = mounting.backing
    if backing.kind in ("plate", "bridge"):
        part = "plate" if backing.kind == "plate" else "bar"
        yield (*path, "backing", "thickness"), f"thickness of a {part}", backing.thickness
    if mounting.washer is not None:
        place: Path = (*path, "backing", "washer") if backing.kind == "member" else (*path, "backing")
        yield (*place, "outside"), "outside of a washer", mounting.washer.outside
        yield (*place, "thickness"), "thickness of a washer", mounting.washer.thickness


def _of_trailer(trailer: Trailer, catalog: Catalog) -> Iterator[Figure]:
    for key, (row, what) in TRAILER_ROWS.items():
        limits = catalog.usual_ranges[row].limits()
        yield Figure(("trailer", key), what, getattr(trailer, key), *limits, "weight", _HEAVIEST_TRAILER)


def thickness_of_strap(strap: Strap) -> tuple[str, float | None]:
    """What is measured across a strap [m], and its row of usual ranges."""
    if strap.kind == "webbing":
        return "width of webbing", strap.width
    return f"size of a {strap.kind}", strap.size


def _of_strap(path: Path, strap: Strap, scenario: Scenario, catalog: Catalog) -> Iterator[Figure]:
    row, across = thickness_of_strap(strap)
    key, what = ("width", "webbing of") if strap.kind == "webbing" else ("size", f"a {strap.kind} of")
    yield Figure((*path, key), what, across, *catalog.usual_ranges[row].limits(), "length")
    most = highest_usual_rating(strap, catalog)
    yield Figure((*path, "rated"), "a strength of", strap.rated, None, most, "force")
    with suppress(UnknownName):
        multiple = catalog.rule_set(scenario.rules).breaking_over_rated[strap.kind]
        yield Figure((*path, "breaking"), "a strength of", strap.breaking, None, most and most * multiple, "force")


def highest_usual_rating(strap: Strap, catalog: Catalog) -> float | None:
    """What a strap of this kind and size is hardly ever rated above [N]; None where no row tells."""
    if strap.kind == "webbing":
        per_inch = catalog.usual_ranges["rating of webbing per width"].limits()[1]
        return None if strap.width is None else per_inch * strap.width / _INCH
    size = strap.size or 0.0
    rated = [row.rated for row in catalog.straps.values() if row.kind == strap.kind and row.size <= size * 1.02]
    return _TWO_RATINGS * max(rated) if rated else None


def hitch_distances(scenario: Scenario) -> dict[str, float]:
    """How far the hitch lies ahead of deck and axle, by the rows of usual ranges; nothing where it is not given [m]."""
    trailer = scenario.trailer
    if trailer is None or trailer.hitch_at is None:
        return {}
    found = {"hitch ahead of the deck": trailer.hitch_at - scenario.deck.length}
    if trailer.axle_at is not None:
        found["hitch ahead of the axle"] = trailer.hitch_at - trailer.axle_at
    return found


# --- places that cannot be ------------------------------------------------------------------------------------


def _load_faults(load: Load, deck: Deck, units: str) -> Iterator[Fault]:
    x, y, z = load.centre_of_gravity
    at: Path = ("load", "centre_of_gravity")
    if z <= 0:
        yield at, "a centre of gravity at the height of the deck: every load has its weight above its wheels' tread"
    elif z < _LOWEST and load.kind not in _LYING_FLAT:
        unit = READING_UNIT[units]["length"]
        told, least = (format_quantity(each, unit, "length", 3) for each in (z, _LOWEST))
        yield at, f"a centre of gravity {told} above the deck: no load on wheels has it below {least}; another unit?"
    if not (0 <= x <= deck.length and abs(y) <= deck.half_width_at(x)):
        yield at, "the centre of gravity does not lie over the deck, where the wheels stand: the load would tip over"
    xs, ys = zip(*load.wheels.values(), strict=True)
    if load.kind == "motorcycle" and max(ys) - min(ys) > _ONE_TRACK:
        yield (
            ("load", "wheels"),
            "a motorcycle's wheels stand on one line; a load is one stiff body, in which two machines would hold each "
            "other up: give each a file of its own (three wheels are a trike, one with a sidecar is other)",
        )
    yield from _wheels_at_one_place(load)
    if load.length is not None and load.length < max(xs) - min(xs) - TOUCHING:
        yield ("load", "length"), "the load is shorter than its own wheels stand apart"


def _wheels_at_one_place(load: Load) -> Iterator[Fault]:
    """Two wheels where one can stand: mostly a sign of y forgotten, which leaves a side of the load without any."""
    for (one, at), (other, (x, y)) in combinations(load.wheels.items(), 2):
        if hypot(at[0] - x, at[1] - y) <= _ONE_PLACE:
            mirrored = (hypot(u - x, v + y) <= _ONE_PLACE for u, v in load.wheels.values())
            sign = abs(y) > _ONE_PLACE and not any(mirrored)
            hint = "; is the sign of a y wrong? It is positive on the left side, negative on the right" if sign else ""
            yield ("load", "wheels", other), f"wheel {one!r} stands at the same place{hint}"


def _deck_faults(deck: Deck) -> Iterator[Fault]:
    for key in ("width", "width_front"):
        if (getattr(deck, key) or 0.0) > _WIDEST + TOUCHING:
            yield (
                ("deck", key),
                f"no road trailer is wider than {both_lengths(_WIDEST)} without a permit; is that in another unit?",
            )
    if deck.width_front is not None and not 1 / _TAPER <= deck.width_front / deck.width <= _TAPER:
        yield (
            ("deck", "width_front"),
            "no deck is twice as wide at one end as at the other with straight sides; give the width where the "
            "anchors are, and mark what is missing as no_go",
        )
    if deck.nose is not None and deck.nose.length > deck.length:
        yield ("deck", "nose", "length"), "the nose is longer than the deck that it is the front of"
    elif deck.nose is not None and deck.nose.width > 2 * deck.half_width_at(deck.straight) + TOUCHING:
        yield ("deck", "nose", "width"), "a nose is no wider than the deck where it begins"
    for key, zones in (("wheel_wells", deck.wheel_wells), ("no_go", deck.no_go)):
        for number, zone in enumerate(zones):
            if _off(zone, deck):
                yield ("deck", key, number), f"{zone.name!r} does not lie on the deck: nothing would keep clear of it"
    for number, layer in enumerate(deck.layers):
        path: Path = ("deck", "layers", number)
        for count, x in enumerate(layer.joints_across):
            if not 0 <= x <= deck.length:
                yield (*path, "joints_across", count), "the joint does not lie on the deck"
        widest = max(deck.half_width_at(0.0), deck.half_width_at(deck.straight))
        for count, y in enumerate(layer.joints_along):
            if abs(y) > widest:
                yield (*path, "joints_along", count), "the joint does not lie on the deck; count from the centreline"


def _within(zone: Zone, x: float, y: float) -> bool:
    return all(
        min(low, high) < place < max(low, high)
        for place, low, high in zip((x, y), zone.corner, zone.opposite, strict=True)
    )


def _off(zone: Zone, deck: Deck) -> bool:
    """Whether nothing of `zone` lies on the deck; one that ends at the deck's edge is on it."""
    (rear, front), (right, left) = (sorted(pair) for pair in zip(zone.corner, zone.opposite, strict=True))
    nearest = max(right, -left, 0.0)  # to the centreline
    ends = (max(rear, 0.0), min(front, deck.length))
    return ends[0] > ends[1] + TOUCHING or nearest > max(map(deck.half_width_at, ends)) + TOUCHING


def _trailer_faults(trailer: Trailer, deck: Deck) -> Iterator[Fault]:
    axle, hitch = trailer.axle_at, trailer.hitch_at
    if axle is not None and not 0 <= axle <= deck.length:
        yield ("trailer", "axle_at"), "the axle does not lie under the deck; count from the deck's rear edge"
    if hitch is not None and hitch < deck.length - TOUCHING:
        yield (
            ("trailer", "hitch_at"),
            "the hitch does not lie ahead of the deck's front edge; count from the deck's rear edge",
        )
