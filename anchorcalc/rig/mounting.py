"""One mounting from words to numbers: ring, fasteners, backing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from anchorcalc.rig.ledger import Ledger, Lookup
from anchorcalc.rig.parts import (
    Backing,
    Bare,
    Bars,
    Bearing,
    Bolts,
    Frame,
    MountingSetting,
    PlateSeat,
    Screws,
    ThroughSteel,
    WasherSeat,
    Weld,
)
from anchorcalc.scenario import mountings
from anchorcalc.units import format_quantity

if TYPE_CHECKING:
    from anchorcalc.catalog.rules import RuleSet
    from anchorcalc.catalog.shop_rows import DrillHole
    from anchorcalc.scenario.model import Scenario
    from anchorcalc.scenario.mountings import Fasteners
    from anchorcalc.units import UnitSystem


_BASE_STEEL = "mild-washer"  # of a ring's base where nobody declares it: the weakest in the tables


def mounting_setting(name: str, scenario: Scenario, rows: Lookup, rules: RuleSet, units: UnitSystem) -> MountingSetting:
    """Mounting `name` of `scenario`, with what was assumed for it."""
    mounting, ledger = scenario.mountings[name], Ledger(units)
    ring, multiple = mounting.ring, rules.breaking_over_rated["hardware"]
    rated = ring.rated
    if ring.breaking is not None:
        rated = min(ring.breaking / multiple, ring.breaking / multiple if rated is None else rated)
    section = scenario.deck.cross_members.section
    tube = section is not None and rows.catalog.member(section).shape == "tube"
    steel = ring.base_steel
    if steel is None:
        steel, why = _BASE_STEEL, "not known; the weakest in the tables"
        ledger.assume(f"steel of the ring's base, {name}", steel, why)
    if mounting.fasteners is not None:
        fasteners: Bolts | Screws | Weld = _fasteners(name, mounting.fasteners, rows, ledger)
    else:
        fasteners = _weld(name, mounting.backing, ledger)
    return MountingSetting(
        name=name,
        ring_rated=rated,
        ring_breaking=ring.breaking,
        base=ring.base,
        base_may_be=_base(name, mounting, rows, ledger),
        base_steel=rows.noted(rows.catalog.steel(steel)),
        foot=_foot(name, ring, rows, ledger),
        ring_flat=ring.rated_flat,
        pull_height=ring.pull_height,
        fasteners=fasteners,
        places=tuple((float(x), float(y)) for x, y in mounting.positions),
        backing=_backing(name, mounting.backing, rows, ledger, tube=tube),
        cut_out=None if mounting.cut_out is None else mounting.cut_out.sides,
        cut_out_corner=0.0 if mounting.cut_out is None else mounting.cut_out.corner,
        cut_layers=None if mounting.cut_out is None else mounting.cut_out.layers,
        turned=mounting.base_turned or 0.0,
        assumed=tuple(ledger.entries.values()),
    )


def _base(name: str, mounting: mountings.Mounting, rows: Lookup, ledger: Ledger) -> tuple[float, ...]:
    """Thicknesses that the ring's base may have: a thin and a thick one where nobody gave it."""
    given = mounting.ring.base_thickness
    if given is not None:
        return (given,)
    least, most = rows.catalog.factor("ring_base_thickness"), rows.catalog.factor("ring_base_most")
    why = "not given; thin pressed bases are about this"
    if mounting.fasteners is not None and mounting.fasteners.kind != "bolt":
        thick = format_quantity(most, ledger.units.length, "length")
        why += f"; the thread of its screws stands where it holds less, under this or under {thick}"
    return ledger.length(f"thickness of the ring's base, {name}", least, why), most


def _foot(name: str, ring: mountings.Ring, rows: Lookup, ledger: Ledger) -> tuple[float, float]:
    """Where the ring stands on its base, no larger than the base."""
    side = rows.catalog.factor("ring_foot")
    if ring.foot is None:
        ledger.length(
            f"side of the ring's foot on its base, {name}", side, "not given; a small one bends the base more"
        )
    length, width = ring.foot or (side, side)
    return min(length, ring.base[0]), min(width, ring.base[1])


def _fasteners(name: str, given: Fasteners, rows: Lookup, ledger: Ledger) -> Bolts | Screws:
    if given.kind == "bolt":
        return _bolts(name, given, rows, ledger)
    if given.holes is None:
        why = "not given; screws driven again into old holes hold nothing that can be counted"
        ledger.assume(f"screw holes, {name}", "re-driven", why)
    screw = rows.noted(rows.catalog.screw(given.kind, given.size))
    return Screws(screw, given.length or 0.0, given.holes != "new", _hole(screw.name, rows))


def _weld(name: str, given: mountings.Backing, ledger: Ledger) -> Weld:
    leg, run = (given.weld, given.length) if isinstance(given, mountings.Frame) else (None, None)
    if leg is None:
        why = "not given: it counts as unrated; the maker's rating asks for a sound weld all along the ring's base"
        ledger.assume(f"weld of the ring, {name}", "no weaker than the ring", why)
    else:
        why = (
            "on the two sides along the trailer first or on those across it, of the base or of the steel under it, a "
            "main rail no wider than a cross-member: whichever is worse"
        )
        ledger.assume(f"how the weld of the ring lies, {name}", "on two sides first", why)
    return Weld(leg, run)


def _bolts(name: str, given: Fasteners, rows: Lookup, ledger: Ledger) -> Bolts:
    thread = rows.noted(rows.catalog.thread(given.size))
    grade = given.grade
    if grade is None:
        grade = "ISO 4.6" if thread.series == "metric" else "A307 A"
        ledger.assume(f"bolt grade, {name}", grade, "not given; the weakest in common sale")
    return Bolts(thread, rows.noted(rows.catalog.bolt_grade(grade)), given.length, _hole(thread.name, rows))


def _hole(name: str, rows: Lookup) -> DrillHole | None:
    found = rows.catalog.drill_hole(name)
    return None if found is None else rows.noted(found)


def _backing(name: str, given: mountings.Backing, rows: Lookup, ledger: Ledger, *, tube: bool) -> Backing:
    if isinstance(given, mountings.NoBacking):
        return Bare()
    if isinstance(given, mountings.Frame):
        return Frame()
    if isinstance(given, mountings.Bridge):
        steel = rows.noted(rows.catalog.steel(given.steel))
        return Bars(given.width, given.thickness, steel, int(given.bars))
    if isinstance(given, mountings.Plate):
        return Bearing(PlateSeat(given.size, given.thickness, rows.noted(rows.catalog.steel(given.steel))))
    if isinstance(given, mountings.Washers):
        return Bearing(_washer(given, rows))
    washer = None if given.washer is None else _washer(given.washer, rows)
    return ThroughSteel(given.through, _walls(name, given, ledger, tube=tube), washer)


def _washer(given: mountings.WasherSize, rows: Lookup) -> WasherSeat:
    return WasherSeat(given.outside, given.thickness, rows.noted(rows.catalog.steel(given.steel)))


def _walls(name: str, given: mountings.ThroughMember, ledger: Ledger, *, tube: bool) -> int:
    if not tube:
        return 1
    if given.walls is None:
        why = "not given; sideways one holds less than two"
        ledger.assume(f"walls of the tube the bolts hold by, {name}", "one", why)
    return 2 if given.walls == "both" else 1
