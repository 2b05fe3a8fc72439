"""The backings everybody asks about, in common stock that goes with a scenario's ring."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import inf
from typing import TYPE_CHECKING, Final

import numpy as np
from msgspec.structs import replace

from anchorcalc.fitting.clearance import conflicts, rules_of
from anchorcalc.rig.parts import Bare, Bearing, Bolts, PlateSeat, Screws, ThroughSteel, WasherSeat
from anchorcalc.sizing.stock import rows_on_member, with_choice

if TYPE_CHECKING:
    from anchorcalc.catalog.rows import Thread, Washer
    from anchorcalc.catalog.shop_rows import PlateStock
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.rig.floor import FloorSetting
    from anchorcalc.rig.parts import AnchorSetting, MountingSetting
    from anchorcalc.rig.rig import Rig, Shelf

STEEL: Final = {"inch": "A36", "metric": "S235"}
"""What flat stock is of where nobody asks for better."""
GRADE: Final = {"inch": "SAE 5", "metric": "ISO 8.8"}
"""What bolts are of in a hardware shop."""
_FITS_THE_HOLE: Final = 1.2  # a ring's holes take a bolt so much thicker than its screws [judgement]
_SCREW: Final = {"us": ("wood screw", "#14"), "si": ("wood screw", "6 mm")}
_POINT: Final = 0.003175  # of deck left below a screw's point [m]
_PLATE: Final = 0.006  # least thickness of the plate that is tried [m]; judgement
SAME: Final = 1e-6
"""Two lengths that differ by less are one, written in two units [m]."""


def usual_mountings(rig: Rig, catalog: Catalog) -> Iterator[MountingSetting]:
    """Screws, large washers, a steel plate, and a member where one is near, for the ring of `rig`.

    Kinds that the scenario describes itself are left out, and those for which there is no stock or no room.
    """
    anchors = [rig.anchors[strap.anchor] for strap in rig.straps.values()]
    ring, described = anchors[0].mounting, {mounting.backing.kind for mounting in rig.mountings.values()}
    if "none" not in described:
        yield _screwed(ring, rig, catalog)
    thread = thread_for(ring, rig, catalog)
    if thread is None:
        return
    bolted = replace(ring, fasteners=Bolts(thread, catalog.bolt_grade(GRADE[thread.series]), None, None))
    washer = largest_washer(thread, catalog)
    seat = None if washer is None else _seat(washer, catalog)
    if seat is not None and "washers" not in described:
        yield replace(bolted, name="large washers", backing=Bearing(seat))
    if "plate" not in described:
        plate = _plate(anchors, thread, rig, catalog)
        if plate is not None:
            yield replace(bolted, name="steel plate", backing=Bearing(plate))
    under = washer_under_member(thread, rig.floor, catalog)
    if under is not None and "member" not in described:
        rows = [rows_on_member(each.with_mounting(bolted)) for each in anchors]
        walls = 2 if rig.floor.member.shape == "tube" else 1
        if rows[0] and all(each == rows[0] for each in rows):
            yield replace(
                bolted, name="through the member", backing=ThroughSteel(rows[0][0], walls, _seat(under, catalog))
            )


def thread_for(mounting: MountingSetting, rig: Rig, catalog: Catalog) -> Thread | None:
    """The bolts that go through the ring's holes: its own, those described for the same base, else by its screws."""
    if isinstance(mounting.fasteners, Bolts):
        return mounting.fasteners.thread
    alike = [
        other.fasteners.thread
        for other in rig.mountings.values()
        if isinstance(other.fasteners, Bolts) and other.base == mounting.base
    ]
    if alike:
        return max(alike, key=lambda thread: thread.D)
    series = "inch" if rig.units == "us" else "metric"
    rows = [row for row in catalog.threads.values() if row.series == series]
    taken = [row for row in rows if row.D <= _FITS_THE_HOLE * mounting.fasteners.D]
    return max(taken, key=lambda row: row.D, default=None)


def largest_washer(thread: Thread, catalog: Catalog, most: float = inf) -> Washer | None:
    """The largest washer sold for a bolt that is no wider than `most` [m]."""
    rows = [row for row in catalog.washers.values() if row.bolt == thread.name and row.outside <= most]
    return max(rows, key=lambda row: (row.outside, row.thickness_least), default=None)


def washer_under_member(thread: Thread, floor: FloorSetting, catalog: Catalog) -> Washer | None:
    """The largest that lies flat under a bolt through the middle of a member's face, clear of a web beside."""
    below_both_walls = floor.timber is not None or floor.member.shape == "tube"
    return largest_washer(thread, catalog, inf if below_both_walls else 2 * floor.section.clear_inside)


def plate_sides(mounting: MountingSetting, thread: Thread, catalog: Catalog) -> tuple[PlateStock, list[float]]:
    """Flat stock of the bolts' series, and the sides of it that leave the bolts their edge distance [m]."""
    row = next(row for row in catalog.plates.values() if row.series == thread.series)
    aside = max(0.75 * thread.d_nut, catalog.fitting_factors["edge_of_steel"].number * thread.D)
    spread = 2 * (np.abs(mounting.positions).max() + aside)
    return row, [side for side in row.sides if side >= spread - SAME]


def longest_with_room(
    anchors: Sequence[AnchorSetting],
    wide: float,
    lengths: Sequence[float],
    bolts: Bolts,
    plate: PlateSeat,
    shelf: Shelf,
) -> float | None:
    """The longest plate of a width that nothing is in the way of at any of the rings [m]."""
    for along in sorted(lengths, reverse=True):
        backing = Bearing(replace(plate, size=(along, wide)))
        if not any(conflicts(rules_of(with_choice(each, backing, bolts), shelf)) for each in anchors):
            return along
    return None


def _screwed(ring: MountingSetting, rig: Rig, catalog: Catalog) -> MountingSetting:
    """As many screws as the ring has bolts, as long as the deck takes them."""
    length = ring.base_thickness + rig.floor.thickness - _POINT
    return replace(
        ring,
        name="screws alone",
        fasteners=Screws(catalog.screw(*_SCREW[rig.units]), length, False, None),
        backing=Bare(),
    )


def _seat(washer: Washer, catalog: Catalog) -> WasherSeat:
    return WasherSeat(washer.outside, washer.thickness_least, catalog.steel(washer.steel))


def _plate(anchors: Sequence[AnchorSetting], thread: Thread, rig: Rig, catalog: Catalog) -> PlateSeat | None:
    """A plate a little larger than the ring's base."""
    row, sides = plate_sides(anchors[0].mounting, thread, catalog)
    if not sides:
        return None
    wide = min((side for side in sides if side > max(anchors[0].mounting.base)), default=sides[-1])
    thickness = min((each for each in row.thicknesses if each >= _PLATE), default=row.thicknesses[-1])
    plate = PlateSeat((wide, wide), thickness, catalog.steel(STEEL[thread.series]))
    bolts = Bolts(thread, catalog.bolt_grade(GRADE[thread.series]), None, None)
    along = longest_with_room(
        anchors, wide, [side for side in sides if side <= wide + SAME], bolts, plate, rig.basis.shelf
    )
    return None if along is None else replace(plate, size=(along, wide))
