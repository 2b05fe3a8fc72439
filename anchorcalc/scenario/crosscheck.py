"""What no single value shows: names that lead nowhere, rows no table has, parts that cannot be where they are."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from difflib import get_close_matches
from itertools import combinations, pairwise
from math import hypot, inf
from typing import TYPE_CHECKING, Final

from anchorcalc.catalog.rows import UnknownName
from anchorcalc.reading.faults import Path
from anchorcalc.scenario.bases import base_faults
from anchorcalc.scenario.fixings import fixing_faults
from anchorcalc.scenario.impossible import TOUCHING, Fault, impossible
from anchorcalc.scenario.model import SAME_LINE, CrossMembers, Deck, Scenario, Strap, TiePoint
from anchorcalc.scenario.mountings import Bridge, Mounting, Plate, Ring, ThroughMember, Washers
from anchorcalc.scenario.paths import path_faults
from anchorcalc.units import both_lengths

if TYPE_CHECKING:
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.scenario.quantities import PathPoint

_SCREWS_APART = 3.0
"""Least distance of screws in sheet steel over their diameter: AISI S100 J4.1."""


def cross_faults(scenario: Scenario, catalog: Catalog) -> list[Fault]:
    """Faults between the parts of `scenario`: where each is, and what is wrong with it."""
    return [
        *_table_faults(scenario, catalog),
        *_name_faults(scenario),
        *_deck_faults(scenario),
        *_crowded_steel(scenario, catalog),
        *(fault for name, mounting in scenario.mountings.items() for fault in _mounting_faults(name, mounting)),
        *_strap_faults(scenario),
        *path_faults(scenario),
        *_rating_faults(scenario),
        *base_faults(scenario),
        *_fastener_faults(scenario, catalog),
        *fixing_faults(scenario, catalog),
        *impossible(scenario, catalog),
    ]


def _known(path: Path, look_up: Callable[[], object]) -> Iterator[Fault]:
    try:
        look_up()
    except UnknownName as error:
        yield path, str(error)


def _table_faults(scenario: Scenario, catalog: Catalog) -> Iterator[Fault]:
    deck = scenario.deck
    yield from _known(("rules",), lambda: catalog.rule_set(scenario.rules))
    for i, layer in enumerate(deck.layers):
        path: Path = ("deck", "layers", i)
        yield from _condition_faults((*path, "condition"), layer.condition, catalog)
        faults = list(_known((*path, "panel"), lambda layer=layer: catalog.panel(layer.panel)))  # type: ignore[misc]
        yield from faults
        if not faults:
            yield from _known((*path, "thickness"), lambda x=layer: catalog.panel(x.panel).section(x.thickness))  # type: ignore[misc]
        if layer.fixed is not None:
            yield from _known((*path, "fixed", "screw"), lambda x=layer.fixed: catalog.screw_named(x.screw))  # type: ignore[misc]
    yield from _member_rows(deck.cross_members, catalog)
    yield from _hold_down_faults(deck, catalog)
    for name, mounting in scenario.mountings.items():
        yield from _mounting_rows(("mountings", name), mounting, catalog)
    for name, strap in scenario.straps.items():
        yield from _strap_row(("straps", name), strap, catalog)


_ONE_BEAM: Final = 0.025  # beams nearer to each other are one [m]; judgement
_SAWN: Final = {"breadth": 0.1016, "depth": 0.3048}
"""Dimension lumber, 4 in thick and 12 in wide [m]: heavier timbers are graded apart, deeper ones are weaker."""


def _member_rows(members: CrossMembers, catalog: Catalog) -> Iterator[Fault]:
    path: Path = ("deck", "cross_members")
    if members.timber is not None:
        path, timber = (*path, "timber"), members.timber
        yield from _known((*path, "wood"), lambda: catalog.wood(timber.wood))
        yield from _condition_faults(
            (*path, "condition"), timber.condition, catalog, "a cross-member", "nothing holds without it"
        )
        for key, most in _SAWN.items():
            if getattr(timber, key) > most + TOUCHING:
                yield (
                    (*path, key),
                    f"the strengths of sawn wood here are those of pieces up to {both_lengths(most)} in {key}",
                )
        return
    yield from _known((*path, "section"), lambda: catalog.member(members.section or ""))
    yield from _known((*path, "steel"), lambda: catalog.steel(members.steel or ""))


def _hold_down_faults(deck: Deck, catalog: Catalog) -> Iterator[Fault]:
    """A screw that cuts its thread in steel holds in a member of steel, one for wood in wood, which asks its length."""
    path: Path = ("deck", "hold_down", "screw")
    hold_down, in_wood = deck.hold_down, deck.cross_members.timber is not None
    faults = list(_known(path, lambda: catalog.screw_named(hold_down.screw)))
    yield from faults
    rows, what = (catalog.screws_for_wood, "wood") if in_wood else (catalog.hold_down_screws, "steel")
    allowed = sorted(row.name for row in rows)
    if not faults and hold_down.screw not in allowed:
        yield (
            path,
            f"a {catalog.screw_named(hold_down.screw).kind} does not hold in {what}; allowed: {', '.join(allowed)}",
        )
    if in_wood and hold_down.length is None:
        yield ("deck", "hold_down"), "screws into cross-members of wood hold by their length: give it"
    if hold_down.length is not None and not in_wood:
        yield ("deck", "hold_down", "length"), "the length of the screws counts in cross-members of timber alone"


def _condition_faults(
    path: Path,
    name: str,
    catalog: Catalog,
    what: str = "a layer",
    then: str = "to see what the others hold once it is off the trailer, leave it out of the list",
) -> Iterator[Fault]:
    faults = list(_known(path, lambda: catalog.condition(name)))
    yield from faults
    if not faults and not catalog.condition(name).carries:
        yield (
            path,
            f"{what} that is {name} carries nothing: {catalog.condition(name).advice}; {then}",
        )


def _mounting_rows(path: Path, mounting: Mounting, catalog: Catalog) -> Iterator[Fault]:
    fasteners, backing, base_steel = mounting.fasteners, mounting.backing, mounting.ring.base_steel
    if base_steel is not None:
        yield from _known((*path, "ring", "base_steel"), lambda: catalog.steel(base_steel))
    size = (*path, "fasteners", "size")
    if fasteners is None:
        return
    if fasteners.kind == "bolt":
        yield from _known(size, lambda: catalog.thread(fasteners.size))
        if fasteners.grade is not None:
            yield from _grade_faults((*path, "fasteners", "grade"), mounting, catalog)
    else:
        yield from _known(size, lambda: catalog.screw(fasteners.kind, fasteners.size))
    for part, place in ((backing, ()), (getattr(backing, "washer", None), ("washer",))):
        steel = getattr(part, "steel", None)
        if steel is not None:
            yield from _known((*path, "backing", *place, "steel"), lambda steel=steel: catalog.steel(steel))  # type: ignore[misc]


def _grade_faults(path: Path, mounting: Mounting, catalog: Catalog) -> Iterator[Fault]:
    fasteners = mounting.fasteners
    if fasteners is None:
        return
    faults = list(_known(path, lambda: catalog.bolt_grade(fasteners.grade or "")))
    yield from faults
    if faults or fasteners.size not in catalog.threads:
        return
    grade, thread = catalog.bolt_grade(fasteners.grade or ""), catalog.thread(fasteners.size)
    if grade.series != thread.series:
        yield path, f"grade {grade.name} is for {grade.series} bolts; {thread.name} is {thread.series}"
    elif grade.up_to * 1.001 < thread.D:
        yield (
            path,
            f"grade {grade.name} is known up to {both_lengths(grade.up_to)} only",
        )


def _strap_row(path: Path, strap: Strap, catalog: Catalog) -> Iterator[Fault]:
    key = "width" if strap.kind == "webbing" else "size"
    size = getattr(strap, key)
    other = "size" if key == "width" else "width"
    if size is None:
        yield path, f"a {strap.kind} strap needs its {key}"
        return
    if getattr(strap, other) is not None:
        yield (*path, other), f"a {strap.kind} strap has a {key}, no {other}"
    yield from _known((*path, "grade" if strap.grade else key), lambda: catalog.strap(strap.kind, size, strap.grade))


def _name_faults(scenario: Scenario) -> Iterator[Fault]:
    for name, anchor in scenario.anchors.items():
        if anchor.mounting is not None:
            yield from _in(("anchors", name, "mounting"), anchor.mounting, scenario.mountings, "mounting")
        if anchor.on is not None:
            yield from _in(("anchors", name, "on"), anchor.on, scenario.anchors, "anchor")
    for name, strap in scenario.straps.items():
        yield from _in(("straps", name, "anchor"), strap.anchor, scenario.anchors, "anchor")
        if strap.to is not None:
            yield from _in(("straps", name, "to"), strap.to, scenario.load.tie_points, "tie point")
        if strap.to_anchor is not None:
            yield from _in(("straps", name, "to_anchor"), strap.to_anchor, scenario.anchors, "anchor")
        for number, point in enumerate(strap.over or ()):
            if isinstance(point, str):
                yield from _in(("straps", name, "over", number), point, scenario.load.tie_points, "tie point")


def _in(path: Path, name: str, known: Iterable[str], kind: str) -> Iterator[Fault]:
    names = list(known)
    if name not in names:
        near = get_close_matches(name, names, 1, 0.5)
        hint = f"; did you mean {near[0]!r}?" if near else "."
        yield path, f"no {kind} {name!r} is defined{hint} Defined: {', '.join(names) or 'none'}"


def _deck_faults(scenario: Scenario) -> Iterator[Fault]:
    deck = scenario.deck
    members = deck.cross_members
    low, high = deck.across_members
    if members.first_at > high - low:
        edge = "left" if members.run == "lengthwise" else "front"
        yield ("deck", "cross_members", "first_at"), f"the first cross-member lies beyond the deck's {edge} edge"
    yield from _off_the_pattern(deck)
    yield from _member_faults(scenario)
    if members.rails is not None and members.rails > deck.width:
        yield ("deck", "cross_members", "rails"), "the main rails cannot be farther apart than the deck is wide"
    for name, (x, y) in scenario.load.wheels.items():
        if not (0 <= x <= deck.length and abs(y) <= deck.half_width_at(x)):
            yield ("load", "wheels", name), "the wheel does not stand on the deck"


_ROWS: Final = {"across": ("left", "right"), "lengthwise": ("front", "rear")}
"""Rows of bolts that no member takes which runs so."""


def _through_wood(path: Path, backing: ThroughMember) -> Iterator[Fault]:
    if backing.washer is None:
        yield path, "a bolt through a cross-member of wood bears on it by its washer: give that"
    if backing.walls is not None:
        yield (*path, "walls"), "walls is a word for tubes; these cross-members are of wood"


def _member_faults(scenario: Scenario) -> Iterator[Fault]:
    """What does not go with members that run as they do, or are of what they are."""
    deck, run = scenario.deck, scenario.deck.cross_members.run
    wood = deck.cross_members.timber is not None
    for name, mounting in scenario.mountings.items():
        backing = mounting.backing
        if isinstance(backing, ThroughMember) and backing.through in _ROWS[run]:
            rows = "front, rear" if run == "across" else "left, right"
            yield (
                ("mountings", name, "backing", "through"),
                f"the cross-members run {run}: no row of bolts there but the {rows} or all of them",
            )
        if isinstance(backing, Bridge) and (run == "lengthwise" or wood):
            which = "of wood" if wood else "that run lengthwise"
            yield (
                ("mountings", name, "backing", "kind"),
                f"bridge bars under cross-members {which} are not reckoned yet: washers, a plate or a member",
            )
        if isinstance(backing, ThroughMember) and wood:
            yield from _through_wood(("mountings", name, "backing"), backing)
    if run == "across":
        return
    for key in ("width_front", "nose"):
        if getattr(deck, key) is not None:
            yield (
                ("deck", key),
                "a deck that narrows is not reckoned yet on members that run lengthwise: give its least width as its "
                "width and leave a nose out of its length",
            )
    beams = deck.cross_members.beams or ()
    for number, x in enumerate(beams):
        if not 0 <= x <= deck.length:
            yield ("deck", "cross_members", "beams", number), "the beam does not lie under the deck"
        elif len(set(beams)) > 1 and any(abs(x - other) < _ONE_BEAM for other in beams[:number]):
            yield ("deck", "cross_members", "beams", number), "a beam stands there already"
    if beams and len(set(beams)) < 2:
        yield ("deck", "cross_members", "beams"), "members that run lengthwise rest on two beams at least"


def _off_the_pattern(deck: Deck) -> Iterator[Fault]:
    """Members left out that the even spacing does not have, or added beyond the deck; a deck lies on two at least."""
    path: Path = ("deck", "cross_members")
    for number, x in enumerate(deck.cross_members.without):
        nearest = min(deck.even_lines, key=lambda line: abs(line - x), default=None)
        if nearest is not None and abs(nearest - x) >= SAME_LINE:
            yield (
                (*path, "without", number),
                f"no cross-member stands there to be left out: the nearest by the even spacing is at "
                f"{both_lengths(nearest)}",
            )
    for number, x in enumerate(deck.cross_members.also_at):
        low, high = deck.across_members
        if not low <= x <= high:
            start = "centreline" if deck.cross_members.run == "lengthwise" else "rear edge"
            yield (*path, "also_at", number), f"the cross-member does not lie under the deck; count from its {start}"
    if deck.cross_members.without and len(deck.member_lines) < 2:
        yield (*path, "without"), "fewer than two cross-members are left: a deck lies on two at least"


def _crowded_steel(scenario: Scenario, catalog: Catalog) -> Iterator[Fault]:
    """Cross-members that run into each other, and hold-down screws too close to count."""
    members, hold_down = scenario.deck.cross_members, scenario.deck.hold_down
    with suppress(UnknownName):  # told already
        width = members.timber.breadth if members.timber else catalog.member(members.section or "").width
        apart = {"spacing": members.spacing}
        if members.also_at:
            apart["also_at"] = min((b - a for a, b in pairwise(scenario.deck.member_lines)), default=inf)
        for key, distance in apart.items():
            if distance <= width:
                yield (
                    ("deck", "cross_members", key),
                    f"cross-members {both_lengths(width)} wide cannot stand {both_lengths(distance)} apart, "
                    "middle to middle",
                )
    with suppress(UnknownName):
        least = _SCREWS_APART * catalog.screw_named(hold_down.screw).D
        if hold_down.spacing < least - 1e-9:
            yield (
                ("deck", "hold_down", "spacing"),
                f"screws closer than three diameters, {both_lengths(least)}, do not each hold their own",
            )


def _mounting_faults(name: str, mounting: Mounting) -> Iterator[Fault]:
    path: Path = ("mountings", name)
    if mounting.fasteners is None:
        return
    length, width = mounting.ring.base
    positions = mounting.fasteners.at.positions
    if not _holds_the_middle(positions, length, width):
        yield (
            (*path, "fasteners", "at"),
            "the fasteners leave the base free to turn over; spread them on both sides of the middle",
        )
    if mounting.cut_out is not None and any(mounting.cut_out.takes(x, y) for x, y in positions):
        yield (*path, "cut_out"), "a fastener stands inside the cut-out"
    yield from _crowded_parts(name, mounting)


def _holds_the_middle(positions: tuple[tuple[float, float], ...], length: float, width: float) -> bool:
    """Whether any pull can be balanced: base edges beyond the fasteners all round, fasteners not all on one side."""
    xs, ys = zip(*positions, strict=True)
    inside = max(xs) < length / 2 and min(xs) > -length / 2 and max(ys) < width / 2 and min(ys) > -width / 2
    return bool(inside or (min(xs) <= 0 <= max(xs) and min(ys) <= 0 <= max(ys)))


def bar_rows(positions: Iterable[tuple[float, float]], bars: str) -> list[float]:
    """Middle of each bridge bar across the deck, from the middle of the ring [m]: one in all, or left and right."""
    across = [y for _, y in positions]
    sides = [across] if bars == "1" else [[y for y in across if y >= 0], [y for y in across if y < 0]]
    return [(min(side) + max(side)) / 2 for side in sides if side]


def _crowded_parts(name: str, mounting: Mounting) -> Iterator[Fault]:
    """Bars or washers of one mounting that would lie on each other."""
    backing, positions = mounting.backing, mounting.positions
    path: Path = ("mountings", name, "backing")
    if isinstance(backing, Bridge):
        rows = bar_rows(positions, backing.bars)
        if len(rows) > 1 and rows[0] - rows[1] < backing.width - TOUCHING:
            yield (
                (*path, "width"),
                f"two bars {both_lengths(backing.width)} wide overlap: their rows of bolts stand "
                f"{both_lengths(rows[0] - rows[1])} apart",
            )
    washer, inside = mounting.washer, _washer_key(mounting)
    apart = min((hypot(a[0] - b[0], a[1] - b[1]) for a, b in combinations(positions, 2)), default=inf)
    if washer is not None and apart < washer.outside - TOUCHING:
        yield (
            (*path, *inside, "outside"),
            f"washers {both_lengths(washer.outside)} wide overlap on bolts {both_lengths(apart)} apart",
        )


def _washer_key(mounting: Mounting) -> tuple[str, ...]:
    """Where in the backing the washer under each nut is written."""
    return () if isinstance(mounting.backing, Washers) else ("washer",)


def _rating_faults(scenario: Scenario) -> Iterator[Fault]:
    """A working limit cannot be as high as the breaking strength: one label written twice."""
    rated_parts: list[tuple[Path, TiePoint | Ring | Strap]] = [
        *((("load", "tie_points", name), point) for name, point in scenario.load.tie_points.items()),
        *((("mountings", name, "ring"), mounting.ring) for name, mounting in scenario.mountings.items()),
        *((("straps", name), strap) for name, strap in scenario.straps.items()),
    ]
    for path, part in rated_parts:
        if part.rated is not None and part.breaking is not None and part.rated >= part.breaking:
            yield (
                (*path, "rated"),
                "the working load limit is not below the breaking strength; which one is on the label?",
            )


def _fastener_faults(scenario: Scenario, catalog: Catalog) -> Iterator[Fault]:
    deck_thickness = sum(layer.thickness for layer in scenario.deck.layers)
    for name, mounting in scenario.mountings.items():
        fasteners, path = mounting.fasteners, ("mountings", name, "fasteners")
        if fasteners is None:
            continue
        try:
            bolt = fasteners.kind == "bolt"
            D = (catalog.thread(fasteners.size) if bolt else catalog.screw(fasteners.kind, fasteners.size)).D
        except UnknownName:
            continue  # told already
        size = mounting.ring.base
        if any(abs(x) + D / 2 > size[0] / 2 or abs(y) + D / 2 > size[1] / 2 for x, y in fasteners.at.positions):
            yield (*path, "at"), "a fastener stands outside the ring's base, or its hole breaks out of the edge"
        washer, inside = mounting.washer, _washer_key(mounting)
        if washer is not None and washer.outside <= catalog.thread(fasteners.size).d_nut:
            yield ("mountings", name, "backing", *inside, "outside"), "the washer is no wider than the bolt's nut"
        plate = mounting.backing.size if isinstance(mounting.backing, Plate) else (inf, inf)
        if any(abs(x) + D > plate[0] / 2 or abs(y) + D > plate[1] / 2 for x, y in mounting.positions):
            yield (
                ("mountings", name, "backing", "size"),
                "a bolt stands nearer to the plate's edge than its own diameter",
            )
        pairs = combinations(fasteners.at.positions, 2)
        if any(hypot(a[0] - b[0], a[1] - b[1]) < 2 * D - 1e-9 for a, b in pairs):
            yield (*path, "at"), "two fasteners stand closer together than two diameters"
        if bolt and fasteners.length is not None and fasteners.length <= deck_thickness:
            yield (*path, "length"), "the bolt is no longer than the deck is thick: no nut would fit"


def _strap_faults(scenario: Scenario) -> Iterator[Fault]:
    """Straps that would pull their ring down."""
    for name, strap in scenario.straps.items():
        ends: list[tuple[str | None, PathPoint | None]] = [(strap.anchor, strap.to)]
        if strap.over is not None:
            ends = [(strap.anchor, strap.over[0]), (strap.to_anchor, strap.over[-1])]
        for ring, point in ends:
            base = scenario.base_of(ring or "")
            mounting = base[1] if base is not None else None
            named = scenario.load.tie_points.get(point) if isinstance(point, str) else None
            place = named.at if named is not None else point
            if mounting is not None and isinstance(place, tuple) and place[2] <= mounting.ring.pull_height:
                what = f"tie point {point!r}" if named is not None else "the point next to it"
                yield (
                    ("straps", name),
                    f"{what} is no higher than the ring of anchor {ring!r}: it would pull down",
                )
