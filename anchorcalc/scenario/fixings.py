"""What fastens the parts of a deck, and what a ring stands on: figures that its other parts do not allow."""

from __future__ import annotations

from contextlib import suppress
from typing import TYPE_CHECKING, Final

from anchorcalc.catalog.rows import UnknownName
from anchorcalc.reading.faults import Path
from anchorcalc.scenario.impossible import READING_UNIT, TOUCHING, Fault
from anchorcalc.units import format_quantity

if TYPE_CHECKING:
    from collections.abc import Iterator

    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.scenario.model import CrossMembers, Deck, Layer, Scenario
    from anchorcalc.scenario.mountings import Ring

_LEAST_E: Final = 180e9  # of steel [Pa]
_OF_PLANKS: Final = ("plank_width", "screws_per_crossing")


def fixing_faults(scenario: Scenario, catalog: Catalog) -> Iterator[Fault]:
    """Faults of the deck's screws, planks and welds and of the rings' bases; rows of no table are told elsewhere."""
    deck, unit = scenario.deck, READING_UNIT[scenario.units]["length"]
    yield from _heads_faults(deck)
    yield from _first_screw_faults(deck, catalog, unit)
    for number, layer in enumerate(deck.layers):
        path: Path = ("deck", "layers", number)
        with suppress(UnknownName):
            yield from _plank_faults(path, layer, catalog)
        if layer.fixed is not None and number == len(deck.layers) - 1:
            yield (
                (*path, "fixed"),
                "no layer lies below this one for its screws to hold in; the deck's own screws are its hold_down",
            )
    with suppress(UnknownName):
        yield from _weld_faults(deck, catalog, unit)
    with suppress(UnknownName):
        yield from _folded_faults(deck.cross_members, catalog)
    for name, mounting in scenario.mountings.items():
        yield from _ring_faults(("mountings", name, "ring"), mounting.ring)
        cut = mounting.cut_out
        if cut is not None and cut.layers is not None and cut.layers > len(deck.layers):
            there = "one layer" if len(deck.layers) == 1 else f"{len(deck.layers)} layers"
            yield ("mountings", name, "cut_out", "layers"), f"the deck has {there} to be cut through"


def _heads_faults(deck: Deck) -> Iterator[Fault]:
    on, there = deck.hold_down.heads_on, len(deck.layers)
    if on is not None and on > there:
        layers = "one layer" if there == 1 else f"{there} layers"
        yield ("deck", "hold_down", "heads_on"), f"no layer {on} for the heads to lie on: the deck has {layers}"


def _first_screw_faults(deck: Deck, catalog: Catalog, unit: str) -> Iterator[Fault]:
    """The first screw of a row stands between the sheet's edge and the middle of the deck."""
    first = deck.hold_down.first_at
    if first is None:
        return
    path: Path = ("deck", "hold_down", "first_at")
    least = catalog.factor("screw_from_panel_edge")
    lengthwise = deck.cross_members.run == "lengthwise"
    most = deck.length / 2 if lengthwise else min(deck.half_width_at(0.0), deck.half_width_at(deck.straight))
    if first < least - TOUCHING:
        told = format_quantity(least, unit, "length", 3)
        yield path, f"a screw nearer than {told} to the edge of a sheet breaks out of it and does not count"
    if first > most + TOUCHING:
        told = format_quantity(most, unit, "length", 3)
        yield path, f"the first screw cannot stand beyond the middle of the deck, {told} from its {deck.rows_begin_at}"


def _weld_faults(deck: Deck, catalog: Catalog, unit: str) -> Iterator[Fault]:
    """A weld runs along the outline of the member that it holds, once round at the most."""
    joint = deck.cross_members.joint
    if joint is None:
        return
    section = catalog.member(deck.cross_members.section or "")
    around = 2 * (section.depth + section.width)
    if joint.length > around + TOUCHING:
        told = format_quantity(around, unit, "length", 3)
        yield (
            ("deck", "cross_members", "joint", "length"),
            f"the welds at one rail are longer than once round the cross-member, {told}",
        )


def _folded_faults(members: CrossMembers, catalog: Catalog) -> Iterator[Fault]:
    """What hat and Z sections do not go with, and the word for hats on what is none."""
    path: Path = ("deck", "cross_members")
    section = None if members.section is None else catalog.member(members.section)
    hat = section is not None and section.shape == "hat"
    if members.deck_on is not None and not hat:
        yield (*path, "deck_on"), "deck_on is a word for hat sections"
    if hat and members.deck_on == "brims":
        yield (
            (*path, "deck_on"),
            "a deck on the brims of hats is not reckoned yet: its screws stand off the middle of the member",
        )
    if section is not None and section.folded and catalog.steel(members.steel or "").E < _LEAST_E:
        yield (
            (*path, "steel"),
            "hat and Z sections are reckoned of steel alone: sheet of other metals buckles otherwise",
        )


def _plank_faults(path: Path, layer: Layer, catalog: Catalog) -> Iterator[Fault]:
    """Words for planks on a layer of sheets, and for sheets on planks, which alone carry nothing across their grain."""
    if catalog.panel(layer.panel).section(layer.thickness).planks:
        if layer.sheets is not None:
            yield (
                (*path, "sheets"),
                f"sheets is a word for panels; {layer.panel} are planks, with a joint at every edge",
            )
        return
    for key in _OF_PLANKS:
        if getattr(layer, key) is not None:
            yield (*path, key), f"{key} is a word for planks; {layer.panel} comes in sheets"


def _ring_faults(path: Path, ring: Ring) -> Iterator[Fault]:
    if ring.foot is not None and any(foot > base + TOUCHING for foot, base in zip(ring.foot, ring.base, strict=True)):
        yield (*path, "foot"), "the ring cannot stand on more than its base: the foot is larger than the base"
    if ring.rated_flat is None:
        return
    if ring.rated is not None and ring.rated_flat > ring.rated:
        yield (
            (*path, "rated_flat"),
            "a ring holds no more along the deck than it is rated; 'rated' is its highest working load limit",
        )
    if ring.breaking is not None and ring.rated_flat >= ring.breaking:
        yield (*path, "rated_flat"), "the working load limit along the deck is not below the breaking strength"
