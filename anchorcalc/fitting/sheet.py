"""The fitting sheet: what to buy, drill and tighten so that an anchor holds what was computed for it.

Plain data in SI [N, m, N·m]; renderers compute nothing.
"""

from __future__ import annotations

from collections import Counter
from itertools import compress
from math import pi
from typing import TYPE_CHECKING

import numpy as np
from msgspec.structs import replace

from anchorcalc.fitting import work_order
from anchorcalc.fitting.clearance import bar_rows, places
from anchorcalc.fitting.tightening import tightening
from anchorcalc.fitting.weights import weights
from anchorcalc.mechanics.outline import turned
from anchorcalc.result.fitting import (
    BoltGroup,
    CutOut,
    EdgeDistance,
    FittingSheet,
    Holes,
    Item,
    MountingSheet,
    ScrewGroup,
    StackItem,
)
from anchorcalc.rig.ledger import Ledger
from anchorcalc.rig.parts import Bars, Bolts, Screws, ThroughSteel, WasherSeat
from anchorcalc.units import unit_system

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import NDArray

    from anchorcalc.rig.parts import AnchorSetting
    from anchorcalc.rig.rig import Basis, Rig, Shelf

_ROUNDING = 1e-9  # [m]


def fitting(rig: Rig) -> FittingSheet:
    """How every mounting that `rig` uses is fitted, where its anchors go, and what it weighs."""
    ledger = Ledger(unit_system(rig.units))
    first = {anchor.mounting.name: anchor for anchor in reversed(list(rig.anchors.values()))}
    sheets = tuple(_mounting(first[mounting.name], rig, ledger) for mounting in rig.used_mountings)
    shopping: Counter[Item] = Counter()
    for sheet in sheets:
        rings, bases = _rings_and_bases(rig, sheet.anchors)
        for item, count in sheet.items:
            shopping[item] += count * (rings if item.kind == "ring" else bases)
    found = weights(rig, sum((item.weight or 0.0) * count for item, count in shopping.items()))
    ledger.assume("weight of the rings", "0", "not in any table; weigh them and count them in")
    if any(layer.added for layer in found.layers):
        ledger.assume("layers above the lowest", "added", "not said; taken as not in the empty weight")
    return FittingSheet(
        title=rig.title,
        units=rig.units,
        load=rig.load.name,
        mountings=sheets,
        places=places(rig),
        shopping=tuple(shopping.items()),
        weights=found,
        out_of_square=rig.basis.shelf.fitting_factor("out_of_square") * rig.floor.length,
        taper=rig.floor.width - rig.floor.width_front,
        counts_on=work_order.counts_on(rig.floor),
        measuring=work_order.measuring(rig.floor),
        warnings=work_order.warnings(rig, found),
        assumed=(*rig.assumed, *ledger.entries.values()),
        cautions=work_order.cautions(dict.fromkeys(stop for each in sheets for stop in _stops(each))),
    )


def _stops(sheet: MountingSheet) -> Iterator[str]:
    return (group.tightening.stop for group in sheet.bolts if group.tightening.stop)


def _rings_and_bases(rig: Rig, anchors: Sequence[str]) -> tuple[int, int]:
    """How many rings and how many bases some anchors are: one that only carries other rings is no ring."""
    bases = Counter(rig.anchors[name].base for name in anchors)
    bare = [base for base, count in bases.items() if count > 1 and base not in rig.strapped]
    return len(anchors) - len(bare), len(bases)


def _mounting(setting: AnchorSetting, rig: Rig, ledger: Ledger) -> MountingSheet:
    mounting, basis = setting.mounting, rig.basis
    bolted = isinstance(mounting.fasteners, Bolts)
    groups = tuple(_bolt_groups(setting, basis, ledger)) if bolted else ()
    screws = _screws(setting) if isinstance(mounting.fasteners, Screws) else None
    return MountingSheet(
        name=mounting.name,
        anchors=tuple(other.name for other in rig.anchors.values() if other.mounting.name == mounting.name),
        bolts=groups,
        screws=screws,
        holes=_holes(setting, basis) if bolted else None,
        cut_out=_cut_out(setting),
        distances=tuple(_distances(setting, basis.shelf)),
        nut=work_order.NUT if bolted else "",
        nut_why=work_order.NUT_WHY if bolted else "",
        work=work_order.order_of_work(
            setting, screws.shank if screws else None, washers=any(each.under_nut or each.bevelled for each in groups)
        ),
        items=tuple(_items(setting, groups, screws, basis.shelf)),
    )


# --- bolts ----------------------------------------------------------------------------------------------------


def _bolt_groups(setting: AnchorSetting, basis: Basis, ledger: Ledger) -> Iterator[BoltGroup]:
    backing, positions = setting.mounting.backing, setting.mounting.positions
    if not isinstance(backing, ThroughSteel):
        yield _bolt_group(setting, len(positions), basis, ledger, in_member=False)
        return
    in_member = backing.in_member(positions)
    yield _bolt_group(_only(setting, in_member), int(in_member.sum()), basis, ledger, in_member=True)
    if not in_member.all():
        yield _bolt_group(_only(setting, ~in_member), int((~in_member).sum()), basis, ledger, in_member=False)


def _only(setting: AnchorSetting, which: NDArray[np.bool_]) -> AnchorSetting:
    places = tuple(compress(setting.mounting.places, which))
    return setting.with_mounting(replace(setting.mounting, places=places))


def _bolt_group(setting: AnchorSetting, count: int, basis: Basis, ledger: Ledger, *, in_member: bool) -> BoltGroup:
    thread, grade, shelf = setting.mounting.bolts.thread, setting.mounting.bolts.grade, basis.shelf
    washer = _under_nut(setting, shelf, in_member=in_member)
    stack = tuple(_stack(setting, washer, shelf, in_member=in_member))
    beyond = shelf.fitting_factor("threads_beyond_nut") * thread.pitch
    needed = sum(item.thickness for item in stack) + thread.locking_nut_height + beyond
    row = shelf.bolt_lengths[thread.series]
    stock = next((length for length in row.lengths if length >= needed - _ROUNDING), None)
    given = setting.mounting.bolts.length
    bought = given if given is not None and given >= needed - _ROUNDING else stock
    bridge = isinstance(setting.mounting.backing, Bars)
    return BoltGroup(
        where="through the cross-member" if in_member else "down to the bars" if bridge else "through the deck",
        count=count,
        size=thread.name,
        grade=grade.name,
        stack=stack,
        nut_height=thread.locking_nut_height,
        beyond_nut=beyond,
        stock=stock,
        given=given,
        thread=row.thread_length(thread.D, bought) if bought is not None else 0.0,
        under_nut=washer,
        bevelled=_bevelled(setting) if in_member else None,
        tightening=tightening(setting, basis, ledger, in_member=in_member),
    )


def _bevelled(setting: AnchorSetting) -> Item | None:
    """What makes the nut's seat square to the bolt on a flange that slopes; no table has its size."""
    if not work_order.flange_slopes(setting):
        return None
    return Item("bevelled washer", setting.mounting.bolts.size, (), "steel, to the flange's slope", None)


def _stack(setting: AnchorSetting, washer: Item | None, shelf: Shelf, *, in_member: bool) -> Iterator[StackItem]:
    yield StackItem("ring's base", setting.mounting.base_thickness)
    for number, layer in enumerate(setting.floor.layers, start=1):
        yield StackItem(f"layer {number}", layer.thickness)
    backing, member = setting.mounting.backing, setting.floor.member
    if in_member and setting.floor.timber is not None:
        yield StackItem("cross-member of wood", member.depth)
    elif in_member and isinstance(backing, ThroughSteel) and backing.walls == 2:
        yield StackItem("cross-member, both walls", member.depth)
    elif in_member:
        wall = {"tube": "wall", "hat": "crown", "z": "flange"}.get(member.shape, "leg")
        yield StackItem(f"{wall} of the cross-member", setting.floor.section.thickness)
    if in_member and work_order.flange_slopes(setting):
        yield StackItem("bevelled washer", shelf.fitting_factor("bevelled_washer") * setting.mounting.bolts.D)
    if setting.mounting.plate is not None:
        yield StackItem("plate", setting.mounting.plate.thickness)
    if isinstance(backing, Bars):
        yield StackItem("depth of the cross-members", member.depth)
        yield StackItem("bar", backing.thickness)
    if washer is not None:
        yield StackItem("washer", washer.dimensions[1])


def _under_nut(setting: AnchorSetting, shelf: Shelf, *, in_member: bool) -> Item | None:
    """The washer that bears on the wood, or a plain one between nut and steel; None where no table has one."""
    seat, thread = setting.mounting.seat, setting.mounting.bolts.thread
    if isinstance(seat, WasherSeat):
        size = seat.outside, seat.thickness
        volume = pi / 4 * (seat.outside**2 - thread.D**2) * seat.thickness
        return Item("washer", thread.name, size, seat.steel.name, volume * seat.steel.density)
    row = shelf.plain_washer(thread.name)
    if row is None:
        return None
    weight = pi / 4 * (row.outside**2 - row.inside**2) * row.thickness * shelf.steels[row.steel].density
    return Item("plain washer", thread.name, (row.outside, row.thickness), "steel", weight)


# --- holes ----------------------------------------------------------------------------------------------------


def _holes(setting: AnchorSetting, basis: Basis) -> Holes:
    bolts = setting.mounting.bolts
    if bolts.hole is not None:
        return Holes(bolts.hole.drill, bolts.hole.most, bolts.hole.source)
    clearance = basis.factor("bolt_hole_clearance")
    return Holes(bolts.D + clearance / 2, bolts.D + clearance, basis.shelf.factors["bolt_hole_clearance"].source)


def _screws(setting: AnchorSetting) -> ScrewGroup:
    mounting, screws = setting.mounting, setting.mounting.screws
    row, base = screws.hole, mounting.base_thickness
    return ScrewGroup(
        count=len(mounting.positions),
        name=screws.screw.name,
        length=screws.length,
        pilot=row.drill if row else None,
        shank=row.shank if row else None,
        shank_depth=max(screws.length - screws.screw.thread_length(screws.length) - base, 0.0),
        comes_through=screws.length - base - setting.floor.thickness,
    )


def _cut_out(setting: AnchorSetting) -> CutOut | None:
    mounting, opening = setting.mounting, setting.mounting.cut_out
    if opening is None:
        return None
    return CutOut(opening, mounting.cut_layers, _rim(mounting.base, opening), work_order.CUT_OUT)


def _rim(base: tuple[float, float], opening: tuple[float, float]) -> float:
    """Least width of the base that rests on the deck beside the opening [m]."""
    return min((whole - open_) / 2 for whole, open_ in zip(base, opening, strict=True))


def _distances(setting: AnchorSetting, shelf: Shelf) -> Iterator[EdgeDistance]:
    """Least distances within the mounting; those to edges and joints of the deck are among the places' conflicts."""
    mounting = setting.mounting
    D, at = mounting.fasteners.D, np.abs(mounting.positions)

    def rule(what: str, name: str, found: float) -> EdgeDistance:
        row = shelf.fitting_factors[name]
        return EdgeDistance(what, row.number * D, found, row.source)

    if mounting.plate is not None:
        yield rule("hole to the plate's edge", "edge_of_steel", float((np.array(mounting.plate.size) / 2 - at).min()))
    if isinstance(mounting.backing, Bars):
        rows = np.array(bar_rows(setting))
        off = np.abs(setting.mounting.positions[:, 1, None] - rows).min(axis=1)
        yield rule("hole to the bar's edge", "edge_of_steel", float((mounting.backing.width / 2 - off).min()))
    if setting.mounting.cut_out is not None:
        own, corner = np.abs(turned(mounting.positions, -mounting.turned)), mounting.cut_out_corner
        beyond = np.maximum(own - np.array(setting.mounting.cut_out) / 2 + corner, 0.0)
        yield rule("hole to the cut-out", "edge_of_cut_out", float(np.hypot(*beyond.T).min()) - corner)
        rim = _rim(setting.mounting.base, setting.mounting.cut_out)
        yield EdgeDistance("base beyond the cut-out", 0.0, rim, "or the ring drops through")
    if len(at) > 1:
        apart = np.hypot(*(setting.mounting.positions[:, None] - setting.mounting.positions[None]).T)
        np.fill_diagonal(apart, np.inf)
        yield rule("hole to hole", "between_holes", float(apart.min()))


# --- shopping -------------------------------------------------------------------------------------------------


def _items(
    setting: AnchorSetting, groups: tuple[BoltGroup, ...], screws: ScrewGroup | None, shelf: Shelf
) -> Iterator[tuple[Item, int]]:
    """What one anchor needs."""
    yield Item("ring", "", setting.mounting.base, "as rated", None), 1
    if not len(setting.mounting.positions):
        return
    if screws is not None:
        yield Item("screw", screws.name, (screws.length,), "", None), screws.count
    for group in groups:
        yield _bolt_item(setting, group, shelf), group.count
        yield Item("lock nut", group.size, (), "nylon insert", _nut_weight(setting, shelf)), group.count
        for washer in (group.under_nut, group.bevelled):
            if washer is not None:
                yield washer, group.count
    plate, backing = setting.mounting.plate, setting.mounting.backing
    if plate is not None:
        size = (*plate.size, plate.thickness)
        yield Item("plate", "", size, plate.steel.name, float(np.prod(size)) * plate.steel.density), 1
    if isinstance(backing, Bars):
        size = (setting.floor.bay_of(setting.at[0]) + setting.floor.member.width, backing.width, backing.thickness)
        yield Item("bar", "", size, backing.steel.name, float(np.prod(size)) * backing.steel.density), backing.count


def _bolt_item(setting: AnchorSetting, group: BoltGroup, shelf: Shelf) -> Item:
    """A bolt, weighed as a cylinder with a nut for a head; threaded rod where no stock bolt is long enough."""
    length = group.length if group.length is not None else group.needed
    shaft = pi / 4 * setting.mounting.bolts.D**2 * length * shelf.steels["mild"].density
    bolt = "bolt" if group.thread_reaches else "bolt threaded to the head"
    kind = "threaded rod, at least" if group.length is None else bolt
    return Item(kind, group.size, (length,), group.grade, shaft + _nut_weight(setting, shelf))


def _nut_weight(setting: AnchorSetting, shelf: Shelf) -> float:
    thread = setting.mounting.bolts.thread
    return pi / 4 * thread.d_nut**2 * thread.locking_nut_height * shelf.steels["mild"].density
