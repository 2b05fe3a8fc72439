"""Where bases and rings cannot stand: off the deck, on each other, under a wheel, a ring beside the base it shares."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from anchorcalc.mechanics.outline import turned
from anchorcalc.reading.faults import Path
from anchorcalc.scenario.mountings import Frame
from anchorcalc.units import both_lengths

if TYPE_CHECKING:
    from collections.abc import Iterator

    from anchorcalc.scenario.model import Anchor, Scenario
    from anchorcalc.scenario.mountings import Mounting

Fault = tuple[Path, str]

_APART = 0.02
"""Rings nearer to each other on one base are one ring told twice [m]."""


def base_faults(scenario: Scenario) -> Iterator[Fault]:
    """Faults of anchors by their bases; names that lead nowhere are told elsewhere."""
    yield from _off_the_deck(scenario)
    yield from _crowded(scenario)
    rings: dict[str, list[str]] = {}
    for name, anchor in scenario.anchors.items():
        rings.setdefault(anchor.on or name, []).append(name)
    for names in rings.values():
        for name in names:
            if scenario.anchors[name].on is not None:
                yield from _shared(name, scenario)
        for one, other in combinations(names, 2):
            (x, y), (u, v) = (scenario.anchors[each].at for each in (one, other))
            if abs(x - u) < _APART and abs(y - v) < _APART:
                yield ("anchors", other, "at"), f"the ring of anchor {one!r} stands there on the same base"


def _own(scenario: Scenario) -> Iterator[tuple[str, Anchor, Mounting]]:
    """Anchors with a base of their own."""
    for name, anchor in scenario.anchors.items():
        found = scenario.base_of(name)
        if anchor.on is None and found is not None:
            yield name, anchor, found[1]


def _off_the_deck(scenario: Scenario) -> Iterator[Fault]:
    deck = scenario.deck
    for name, anchor in scenario.anchors.items():
        (x, y), found = anchor.at, scenario.base_of(name)
        half, wide = (0.0, 0.0) if found is None or anchor.on else (side / 2 for side in found[1].covers)
        if not (half - 1e-9 <= x <= deck.length - half + 1e-9 and abs(y) + wide <= deck.half_width_at(x) + 1e-9):
            there = 2 * deck.half_width_at(min(max(x, 0.0), deck.length))
            yield (
                ("anchors", name, "at"),
                f"the anchor's base does not lie on the deck, {both_lengths(deck.length)} long and "
                f"{both_lengths(there)} wide there: it was read as x {both_lengths(x)}, "
                f"y {both_lengths(y)} from the middle of the rear edge",
            )


def _crowded(scenario: Scenario) -> Iterator[Fault]:
    """Bases that overlap, and wheels that stand on one."""
    placed = [(name, anchor.at, mounting.covers) for name, anchor, mounting in _own(scenario)]
    for wheel, (x, y) in scenario.load.wheels.items():
        for name, at, base in placed:
            if abs(x - at[0]) < base[0] / 2 and abs(y - at[1]) < base[1] / 2:
                yield ("anchors", name, "at"), f"wheel {wheel!r} stands on it"
    for (name, at, base), (other, place, size) in combinations(placed, 2):
        if all(abs(at[axis] - place[axis]) < (base[axis] + size[axis]) / 2 - 1e-9 for axis in (0, 1)):
            yield ("anchors", other, "at"), f"its base overlaps that of anchor {name!r}"


def _shared(name: str, scenario: Scenario) -> Iterator[Fault]:
    """A ring on the base of another anchor stands on that base with its whole foot."""
    anchor = scenario.anchors[name]
    under = scenario.anchors.get(anchor.on or "")
    if anchor.on == name:
        yield ("anchors", name, "on"), "a ring cannot stand on itself: give it a mounting, or the anchor that has one"
        return
    if under is not None and under.on is not None:
        yield ("anchors", name, "on"), f"anchor {anchor.on!r} has no base of its own: it stands on that of {under.on!r}"
        return
    found = scenario.base_of(name)
    if under is None or found is None:
        return
    _, mounting = found
    if isinstance(mounting.backing, Frame):
        yield ("anchors", name, "on"), "rings welded to the frame are each welded for themselves: give it a mounting"
        return
    (off,) = turned([[anchor.at[0] - under.at[0], anchor.at[1] - under.at[1]]], -(mounting.base_turned or 0.0)).tolist()
    foot = mounting.ring.foot or (0.0, 0.0)
    if any(abs(at) + part / 2 > side / 2 + 1e-9 for at, part, side in zip(off, foot, mounting.ring.base, strict=True)):
        length, width = mounting.ring.base
        yield (
            ("anchors", name, "at"),
            f"the ring does not stand on the base of anchor {anchor.on!r}, {both_lengths(length)} long and "
            f"{both_lengths(width)} wide about its middle",
        )
