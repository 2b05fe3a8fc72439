"""What looks odd in a scenario without being impossible: told with the usual range, and never in the way."""

from __future__ import annotations

import re
from math import dist
from typing import TYPE_CHECKING, Final, NamedTuple

from anchorcalc.scenario.impossible import (
    READING_UNIT,
    TRAILER_ROWS,
    highest_usual_rating,
    hitch_distances,
    kind_weighed,
    thickness_of_strap,
)
from anchorcalc.scenario.mountings import Bridge, Plate
from anchorcalc.units import UnitSystem, format_quantity, unit_system

if TYPE_CHECKING:
    from collections.abc import Iterator

    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.scenario.model import Deck, Load, Scenario, Strap, Trailer
    from anchorcalc.scenario.mountings import Mounting

_BESIDE_THE_DECK: Final = 0.3048
"""How far beyond the deck's side a tie point may lie: a foot, for a load wider than the deck [judgement]."""
_OFF_THE_MIDDLE: Final = 0.01
"""What stands nearer to the centreline may be called after either side [m]; judgement."""
_ONE_POINT: Final = 0.001
"""Tie points nearer to each other are one told twice [m]; judgement."""
_SAME: Final = 1e-6
"""What two lengths written in two units may differ by [m]: a ring over a member is not beyond it."""
_LIKELY_BREAKING: Final = "Is that its breaking strength? Then write it as breaking."


class _Measured(NamedTuple):
    """A quantity of the scenario [SI] beside the row of usual ranges it is held against."""

    row: str
    what: str
    value: float | None
    advice: str = ""


def plausibility_warnings(scenario: Scenario, catalog: Catalog) -> tuple[str, ...]:
    """What looks odd without being impossible, each with the usual range."""
    units = unit_system(scenario.units)
    return (
        *(text for each in _measured(scenario) for text in _outside(catalog, each, units)),
        *_load_warnings(scenario, units),
        *_tie_point_warnings(scenario),
        *_side_warnings(scenario),
        *_unused_ring_warnings(scenario),
        *_loose_end_warnings(scenario, units),
        *(text for name, strap in scenario.straps.items() for text in _strap_warnings(name, strap, catalog, units)),
    )


def _measured(scenario: Scenario) -> Iterator[_Measured]:
    yield from _of_load(scenario.load)
    yield from _of_deck(scenario.deck)
    for name, mounting in scenario.mountings.items():
        yield from _of_mounting(name, mounting)
    for name, strap in scenario.straps.items():
        yield _Measured("hand tension", f"hand tension of strap {name}", strap.hand_tension)
        row, across = thickness_of_strap(strap)
        yield _Measured(row, f"{row.split()[0]} of strap {name}", across)
    if scenario.trailer is not None:
        yield from _of_trailer(scenario.trailer)
    for row, distance in hitch_distances(scenario).items():
        yield _Measured(row, f"distance of the {row}", distance)


def _of_load(load: Load) -> Iterator[_Measured]:
    yield _Measured(f"weight of a {kind_weighed(load)}", f"weight of {load.name}", load.weight)
    yield _Measured("height of a centre of gravity", "height of the centre of gravity", load.centre_of_gravity[2])
    for name, point in load.tie_points.items():
        yield _Measured("rating of a tie point", f"rating of tie point {name}", point.rated, _LIKELY_BREAKING)
    for name, stop in load.stops.items():
        yield _Measured("rating of a stop", f"rating of stop {name}", stop.rated, _LIKELY_BREAKING)


def _of_deck(deck: Deck) -> Iterator[_Measured]:
    yield _Measured("length of a deck", "length of the deck", deck.length)
    yield _Measured("width of a deck", "width of the deck", deck.width)
    for number, layer in enumerate(deck.layers, start=1):
        yield _Measured("thickness of a deck layer", f"thickness of layer {number}", layer.thickness)
        yield _Measured("width of a plank", f"width of the planks of layer {number}", layer.plank_width)
        fixed_at = None if layer.fixed is None else layer.fixed.spacing
        yield _Measured("spacing of hold-down screws", f"spacing of the screws of layer {number}", fixed_at)
    members = deck.cross_members
    yield _Measured("spacing of cross-members", "spacing of the cross-members", members.spacing)
    yield _Measured("distance between main rails", "distance between the main rails", members.rails)
    if members.timber is not None:
        yield _Measured("breadth of a bearer", "breadth of the cross-members", members.timber.breadth)
        yield _Measured("depth of a bearer", "depth of the cross-members", members.timber.depth)
    weld = None if members.joint is None else members.joint.weld
    yield _Measured("leg of a weld", "leg of the weld of a cross-member to a rail", weld)
    hold_down = deck.hold_down
    yield _Measured("spacing of hold-down screws", "spacing of the hold-down screws", hold_down.spacing)
    yield _Measured("length of a screw", "length of the hold-down screws", hold_down.length)
    first = f"distance of the first hold-down screw from the {deck.rows_begin_at}"
    yield _Measured("first hold-down screw from the edge", first, hold_down.first_at)


def _of_mounting(name: str, mounting: Mounting) -> Iterator[_Measured]:
    ring, backing = mounting.ring, mounting.backing
    yield _Measured("rating of a ring", f"rating of the ring of {name!r}", ring.rated, _LIKELY_BREAKING)
    flat = f"rating of the ring of {name!r} along the deck"
    yield _Measured("rating of a ring", flat, ring.rated_flat, _LIKELY_BREAKING)
    for side in ring.base:
        yield _Measured("side of a ring's base", f"side of the ring's base of {name!r}", side)
    for side in ring.foot or ():
        yield _Measured("side of a ring's foot", f"side of the ring's foot of {name!r}", side)
    yield _Measured("thickness of a ring's base", f"thickness of the ring's base of {name!r}", ring.base_thickness)
    yield _Measured("pull height of a ring", f"pull height of the ring of {name!r}", ring.pull_height)
    if mounting.fasteners is not None:
        kind = "bolt" if mounting.fasteners.kind == "bolt" else "screw"
        yield _Measured(f"length of a {kind}", f"length of the {kind}s of {name!r}", mounting.fasteners.length)
    washer = mounting.washer
    if washer is not None:
        yield _Measured("outside of a washer", f"outside of the washers of {name!r}", washer.outside)
        yield _Measured("thickness of a washer", f"thickness of the washers of {name!r}", washer.thickness)
    if isinstance(backing, Plate | Bridge):
        part = "plate" if isinstance(backing, Plate) else "bar"
        yield _Measured(f"thickness of a {part}", f"thickness of the {part} of {name!r}", backing.thickness)
        for side in backing.size if isinstance(backing, Plate) else (backing.width,):
            yield _Measured(f"width of a {part}", f"side of the {part} of {name!r}", side)


def _of_trailer(trailer: Trailer) -> Iterator[_Measured]:
    for key, (row, _) in TRAILER_ROWS.items():
        yield _Measured(row, row.replace("of a trailer", "of the trailer"), getattr(trailer, key))


def _outside(catalog: Catalog, measured: _Measured, units: UnitSystem) -> Iterator[str]:
    usual = catalog.usual_ranges.get(measured.row)
    if usual is None or measured.value is None:
        return
    least, most = usual.limits()
    if not least <= measured.value <= most:
        unit = READING_UNIT[units.name][usual.dimension]
        shown, low, high = (format_quantity(each, unit, usual.dimension, 3) for each in (measured.value, least, most))
        advice = f" {measured.advice}" if measured.advice and measured.value > most else ""
        yield f"{measured.what[0].upper()}{measured.what[1:]} is {shown}; usual is {low} to {high}.{advice}"


def _load_warnings(scenario: Scenario, units: UnitSystem) -> Iterator[str]:
    load = scenario.load
    if load.friction > 0:
        yield (
            f"Friction of {load.friction:g} under the wheels is counted: true only while they are locked and the deck "
            "is clean and dry. Look at the pulls without it too: strongly slanted straps can come out low with it."
        )
    yield from _grip_warnings(load)
    if load.kind == "motorcycle":
        yield (
            "A motorcycle stands on its springs: a bump presses them together and lets the straps go slack, so hand "
            "tension cannot be relied on. Straps to the lower fork or to the axles leave the springs out of it."
        )
    if load.length is not None and load.length > scenario.deck.length:
        yield "The load is longer than the deck: look at both lengths again, and at the rules for what sticks out."
    kinds = {strap.kind for strap in scenario.straps.values()}
    if len(kinds) > 1:
        yield f"{' and '.join(sorted(kinds))} on one load: the stiffer kind takes nearly all of the pull."
    xs, ys = zip(*load.wheels.values(), strict=True)
    x, y, z = load.centre_of_gravity
    if z > max(ys) - min(ys) and load.kind != "motorcycle":
        height = format_quantity(z, units.length, "length", 3)
        yield f"The centre of gravity is {height} above the deck: unlikely for wheels so far apart."
    if abs(y - (max(ys) + min(ys)) / 2) > 0.2 * (max(ys) - min(ys)):
        yield "The centre of gravity lies far to one side: look at its numbers again."
    if not (min(xs) <= x <= max(xs) and min(ys) <= y <= max(ys)):
        yield "The centre of gravity lies outside the wheels: look at its numbers again."


def _grip_warnings(load: Load) -> Iterator[str]:
    if load.grip is not None and max(load.grip.sideways, load.grip.lengthways) > 0:
        yield (
            f"Grip of {load.grip.sideways:g} sideways and {load.grip.lengthways:g} lengthways is counted: true only "
            "while the tyres stand on a clean, dry deck. More grip can send more pull to one strap, up to a fifth more "
            "was seen: look at the pulls without it too."
        )
    if load.stops:
        yield (
            "Stops are counted as if they touched the load already, each up to the share of its rating that passes: "
            "leave no gap, and fasten them to the deck."
        )


def _tie_point_warnings(scenario: Scenario) -> Iterator[str]:
    load, deck = scenario.load, scenario.deck
    for name, point in load.tie_points.items():
        if abs(point.at[1]) > deck.half_width_at(point.at[0]) + _BESIDE_THE_DECK:
            yield f"Tie point {name} lies far outside the deck's sides: a load so wide? Look at its place again."
    xs = [point.at[0] for point in load.tie_points.values()]
    xs += [point[0] for strap in scenario.straps.values() for point in strap.over or () if not isinstance(point, str)]
    if load.length is not None and max(xs) - min(xs) > load.length:
        yield "The tie points lie farther apart than the load is long: look at its length and at their places again."


def _side_warnings(scenario: Scenario) -> Iterator[str]:
    """Parts called left on the right side or the other way round, and tie points told twice: signs of y forgotten."""
    load = scenario.load
    places = {
        "Wheels": {name: y for name, (_, y) in load.wheels.items()},
        "Tie points": {name: point.at[1] for name, point in load.tie_points.items()},
        "Anchors": {name: anchor.at[1] for name, anchor in scenario.anchors.items()},
    }
    for what, across in places.items():
        wrong = [name for name, y in across.items() if _side_told(name) * y < -_OFF_THE_MIDDLE]
        if wrong:
            yield (
                f"{what} on the other side than their names say: {', '.join(wrong)}. Is the sign of y right? It is "
                "positive on the left side of the trailer, negative on the right."
            )
    at_one_place: dict[str, list[str]] = {}
    for name, point in load.tie_points.items():
        first = next(one for one, other in load.tie_points.items() if dist(point.at, other.at) <= _ONE_POINT)
        at_one_place.setdefault(first, []).append(name)
    twice = [" and ".join(names) for names in at_one_place.values() if len(names) > 1]
    if twice:
        yield f"Tie points at one place: {', '.join(twice)}. Is a sign of y wrong?"


def _side_told(name: str) -> int:
    """The side that a name tells: 1 left, -1 right, 0 where it tells none or both."""
    words = re.findall(r"[^\W\d_]+", name.lower())
    return ("left" in words) - ("right" in words)


def _unused_ring_warnings(scenario: Scenario) -> Iterator[str]:
    """Rings that no strap hangs on, mostly a name mistaken in a strap; the base of other rings needs none itself."""
    used = {name for strap in scenario.straps.values() for name in (strap.anchor, strap.to_anchor)}
    used |= {anchor.on for anchor in scenario.anchors.values()}
    unused = [name for name in scenario.anchors if name not in used]
    if unused:
        yield f"No strap hangs on {', '.join(unused)}: look again at which anchor each strap begins and ends at."


def _loose_end_warnings(scenario: Scenario, units: UnitSystem) -> Iterator[str]:
    lines, axis = scenario.deck.member_lines, scenario.deck.cross_members.run == "lengthwise"
    for name, anchor in scenario.anchors.items():
        for beyond, which in ((lines[0] - anchor.at[axis], "first"), (anchor.at[axis] - lines[-1], "last")):
            if beyond > _SAME:
                yield (
                    f"Anchor {name} stands {format_quantity(beyond, units.length, 'length', 3)} beyond the {which} "
                    "cross-member, on a loose end of the deck: it pries that end up about the member. Move it between "
                    "two members if you can."
                )


def _strap_warnings(name: str, strap: Strap, catalog: Catalog, units: UnitSystem) -> Iterator[str]:
    if strap.route == "over":
        yield (
            f"Strap {name} slides over the load: it presses down and holds nothing along its own way. It stands for "
            "one half of the strap, so half of its rating counts; describe the other half too."
        )
    if strap.over is not None and strap.slides != "no":
        yield (
            f"Strap {name} slides over the points it lies on: one pull all along, none along its own way, and friction "
            "on the points left out. A round tyre would have to climb out under it; that is not counted: the safe side."
        )
    most = highest_usual_rating(strap, catalog)
    if strap.rated is not None and most is not None and strap.rated > most * 1.001:
        rating = format_quantity(strap.rated, units.force, "force", 3)
        yield f"Strap {name} is rated {rating}: much for its size. {_LIKELY_BREAKING}"
