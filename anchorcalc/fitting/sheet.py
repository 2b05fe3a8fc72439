"""The fitting sheet: what to buy, drill and tighten so that an anchor holds what was computed for it.

Plain data in SI [N, m, N·m]; renderers compute nothing.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from math import pi
from typing import TYPE_CHECKING, Literal

import numpy as np

from anchorcalc.fitting import work_order
from anchorcalc.fitting.clearance import Place, bar_rows, diameter, places
from anchorcalc.fitting.tightening import Tightening, tightening
from anchorcalc.fitting.weights import Weights, weights
from anchorcalc.links.common import Basis
from anchorcalc.links.path import bolts_in_member
from anchorcalc.rig.settings import Ledger, anchor_settings, unit_system
from anchorcalc.scenario.model import Bridge, Plate, ThroughMember, WasherSize

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.result import Assumed
    from anchorcalc.rig.settings import AnchorSetting
    from anchorcalc.scenario.model import Scenario

_ROUNDING = 1e-9  # [m]


@dataclass(frozen=True)
class StackItem:
    """One thing the bolt passes, from the head down [m]."""

    what: str
    thickness: float


@dataclass(frozen=True)
class BoltGroup:
    """Bolts of one mounting that pass the same stack [m]."""

    where: Literal["through the deck", "through the cross-member", "down to the bars"]
    count: int
    size: str
    grade: str
    stack: tuple[StackItem, ...]
    nut_height: float
    beyond_nut: float
    stock: float | None  # the shortest stock length that is long enough; None when there is none
    given: float | None
    thread: float  # threaded part of the bolt to buy
    under_nut: Item | None
    tightening: Tightening

    @property
    def grip(self) -> float:
        """All that lies between head and nut."""
        return sum(item.thickness for item in self.stack)

    @property
    def needed(self) -> float:
        """Least length under the head."""
        return self.grip + self.nut_height + self.beyond_nut

    @property
    def length(self) -> float | None:
        """The length to buy: the one in the scenario if it is long enough, else the stock length."""
        return self.given if self.given is not None and self.long_enough else self.stock

    @property
    def long_enough(self) -> bool:
        """Whether the length in the scenario, or any in stock, is enough."""
        return self.needed <= (self.given if self.given is not None else self.stock or 0.0) + _ROUNDING

    @property
    def thread_reaches(self) -> bool:
        """Whether the nut comes tight before it meets the end of the thread."""
        return self.length is None or self.length - self.thread <= self.grip + _ROUNDING


@dataclass(frozen=True)
class ScrewGroup:
    """Screws of one mounting [m]."""

    count: int
    name: str
    length: float
    pilot: float | None
    shank: float | None
    shank_depth: float  # below the top of the deck
    comes_through: float  # below nil: stays in the deck


@dataclass(frozen=True)
class Holes:
    """Through holes for bolts, in deck and steel [m]."""

    drill: float
    most: float
    source: str


@dataclass(frozen=True)
class CutOut:
    """The opening for a recessed ring and what of the base is left to rest on the deck [m]."""

    size: tuple[float, float]
    rim: float
    advice: tuple[str, ...]


@dataclass(frozen=True)
class EdgeDistance:
    """A least distance within a mounting [m]."""

    what: str
    wanted: float
    found: float
    source: str

    @property
    def kept(self) -> bool:
        """Whether the distance is kept."""
        return self.found >= self.wanted - _ROUNDING


@dataclass(frozen=True)
class Item:
    """Something to buy: kind, size by name, dimensions [m], material."""

    kind: str
    size: str
    dimensions: tuple[float, ...]
    material: str
    weight: float | None  # of one [N]; None when not known


@dataclass(frozen=True)
class MountingSheet:
    """How one mounting is fitted."""

    name: str
    anchors: tuple[str, ...]
    bolts: tuple[BoltGroup, ...]
    screws: ScrewGroup | None
    holes: Holes | None
    cut_out: CutOut | None
    distances: tuple[EdgeDistance, ...]
    nut: str
    nut_why: str
    work: tuple[str, ...]
    items: tuple[tuple[Item, int], ...]  # for one anchor


@dataclass(frozen=True)
class FittingSheet:
    """Everything `fit` shows."""

    title: str
    units: Literal["us", "si"]
    load: str
    mountings: tuple[MountingSheet, ...]
    places: tuple[Place, ...]
    shopping: tuple[tuple[Item, int], ...]
    weights: Weights
    out_of_square: float  # what two sides of a deck this long commonly differ by [m]
    taper: float  # how much narrower the deck is in front [m]
    measuring: tuple[str, ...]
    warnings: tuple[str, ...]
    assumed: tuple[Assumed, ...]
    cautions: tuple[str, ...]

    @property
    def ready(self) -> bool:
        """Nothing in the way, every distance kept, bolts long enough, no rating exceeded."""
        fits = all(
            all(group.long_enough for group in sheet.bolts) and all(each.kept for each in sheet.distances)
            for sheet in self.mountings
        )
        return fits and not any(place.conflicts for place in self.places) and not self.weights.overloaded


def fitting(scenario: Scenario, catalog: Catalog) -> FittingSheet:
    """How every mounting that `scenario` uses is fitted, where its anchors go, and what it weighs."""
    ledger = Ledger(unit_system(scenario))
    settings = anchor_settings(scenario, catalog, ledger)
    basis = Basis(catalog, catalog.rule_set(scenario.rules))
    first = {setting.mounting: setting for setting in reversed(settings.values())}
    used = [name for name in scenario.mountings if name in first]
    sheets = tuple(_mounting(first[name], settings, basis, ledger) for name in used)
    shopping: Counter[Item] = Counter()
    for sheet in sheets:
        for item, count in sheet.items:
            shopping[item] += count * len(sheet.anchors)
    hardware = sum((item.weight or 0.0) * count for item, count in shopping.items())
    found = weights(scenario, catalog, hardware)
    deck = scenario.deck
    ledger.assume("weight of the rings", "0", "not in any table; weigh them and count them in")
    if any(layer.added for layer in found.layers):
        ledger.assume("layers above the lowest", "added", "not said; taken as not in the empty weight")
    return FittingSheet(
        title=scenario.title,
        units=scenario.units,
        load=scenario.load.name,
        mountings=sheets,
        places=places(scenario, catalog, settings),
        shopping=tuple(shopping.items()),
        weights=found,
        out_of_square=catalog.fitting_factor("out_of_square") * deck.length,
        taper=deck.width - (deck.width if deck.width_front is None else deck.width_front),
        measuring=work_order.measuring(deck),
        warnings=work_order.warnings(scenario, next(iter(settings.values())), found),
        assumed=tuple(ledger.entries.values()),
        cautions=work_order.CAUTIONS,
    )


def _mounting(
    setting: AnchorSetting, settings: Mapping[str, AnchorSetting], basis: Basis, ledger: Ledger
) -> MountingSheet:
    catalog = basis.catalog
    bolted = setting.fastener_kind == "bolt"
    groups = tuple(_bolt_groups(setting, basis, ledger)) if bolted else ()
    screws = None if bolted else _screws(setting, catalog)
    return MountingSheet(
        name=setting.mounting,
        anchors=tuple(other.name for other in settings.values() if other.mounting == setting.mounting),
        bolts=groups,
        screws=screws,
        holes=_holes(setting, basis) if bolted else None,
        cut_out=_cut_out(setting),
        distances=tuple(_distances(setting, catalog)),
        nut=work_order.NUT if bolted else "",
        nut_why=work_order.NUT_WHY if bolted else "",
        work=work_order.order_of_work(setting, screws.shank if screws else None),
        items=tuple(_items(setting, groups, screws, catalog)),
    )


# --- bolts ----------------------------------------------------------------------------------------------------


def _bolt_groups(setting: AnchorSetting, basis: Basis, ledger: Ledger) -> Iterator[BoltGroup]:
    if not isinstance(setting.backing, ThroughMember):
        yield _bolt_group(setting, len(setting.positions), basis, ledger, in_member=False)
        return
    in_member = bolts_in_member(setting)
    yield _bolt_group(_only(setting, in_member), int(in_member.sum()), basis, ledger, in_member=True)
    if not in_member.all():
        yield _bolt_group(_only(setting, ~in_member), int((~in_member).sum()), basis, ledger, in_member=False)


def _only(setting: AnchorSetting, which: np.ndarray[tuple[int], np.dtype[np.bool_]]) -> AnchorSetting:
    return replace(setting, positions=setting.positions[which])


def _bolt_group(setting: AnchorSetting, count: int, basis: Basis, ledger: Ledger, *, in_member: bool) -> BoltGroup:
    thread, grade, catalog = setting.thread, setting.grade, basis.catalog
    assert thread is not None and grade is not None  # noqa: S101, PT018 - bolted mountings only
    washer = _under_nut(setting, catalog, in_member=in_member)
    stack = tuple(_stack(setting, washer, in_member=in_member))
    beyond = catalog.fitting_factor("threads_beyond_nut") * thread.pitch
    needed = sum(item.thickness for item in stack) + thread.locking_nut_height + beyond
    row = catalog.stock_lengths(thread.series)
    stock = next((length for length in row.lengths if length >= needed - _ROUNDING), None)
    given = setting.fastener_length
    bought = given if given is not None and given >= needed - _ROUNDING else stock
    bridge = isinstance(setting.backing, Bridge)
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
        tightening=tightening(setting, basis, ledger, in_member=in_member),
    )


def _stack(setting: AnchorSetting, washer: Item | None, *, in_member: bool) -> Iterator[StackItem]:
    yield StackItem("ring's base", setting.base_thickness)
    for number, layer in enumerate(setting.layers, start=1):
        yield StackItem(f"layer {number}", layer.thickness)
    backing, member = setting.backing, setting.member
    if in_member and setting.walls == 2:
        yield StackItem("cross-member, both walls", member.depth)
    elif in_member:
        wall = "wall" if member.shape == "tube" else "leg"
        yield StackItem(f"{wall} of the cross-member", member.thickness)
    if isinstance(backing, Plate):
        yield StackItem("plate", backing.thickness)
    if isinstance(backing, Bridge):
        yield StackItem("depth of the cross-members", member.depth)
        yield StackItem("bar", backing.thickness)
    if washer is not None:
        yield StackItem("washer", washer.dimensions[1])


def _under_nut(setting: AnchorSetting, catalog: Catalog, *, in_member: bool) -> Item | None:
    """The washer that bears on the wood, or a plain one between nut and steel; None where no table has one."""
    assert setting.thread is not None  # noqa: S101 - bolted mountings only
    seat = setting.seat
    if isinstance(seat, WasherSize):
        size = seat.outside, seat.thickness
        volume = pi / 4 * (seat.outside**2 - setting.thread.D**2) * seat.thickness
        return Item("washer", setting.thread.name, size, seat.steel, volume * catalog.steel(seat.steel).density)
    row = catalog.washers.get(f"plain {setting.thread.name}")
    if row is None:
        return None
    weight = pi / 4 * (row.outside**2 - row.inside**2) * row.thickness * catalog.steel(row.steel).density
    return Item("plain washer", setting.thread.name, (row.outside, row.thickness), "steel", weight)


# --- holes ----------------------------------------------------------------------------------------------------


def _holes(setting: AnchorSetting, basis: Basis) -> Holes:
    row = basis.catalog.drill_hole(setting.fastener_size)
    if row is not None:
        return Holes(row.drill, row.most, row.source)
    clearance = basis.factor("bolt_hole_clearance")
    D = diameter(setting)
    return Holes(D + clearance / 2, D + clearance, basis.catalog.factors["bolt_hole_clearance"].source)


def _screws(setting: AnchorSetting, catalog: Catalog) -> ScrewGroup:
    screw, length = setting.screw, setting.fastener_length
    assert screw is not None and length is not None  # noqa: S101, PT018 - screwed mountings only
    row = catalog.drill_hole(screw.name)
    return ScrewGroup(
        count=len(setting.positions),
        name=screw.name,
        length=length,
        pilot=row.drill if row else None,
        shank=row.shank if row else None,
        shank_depth=max((1 - screw.thread_fraction) * length - setting.base_thickness, 0.0),
        comes_through=length - setting.base_thickness - setting.deck_thickness,
    )


def _cut_out(setting: AnchorSetting) -> CutOut | None:
    if setting.cut_out is None:
        return None
    return CutOut(setting.cut_out, _rim(setting.base, setting.cut_out), work_order.CUT_OUT)


def _rim(base: tuple[float, float], opening: tuple[float, float]) -> float:
    """Least width of the base that rests on the deck beside the opening [m]."""
    return min((whole - open_) / 2 for whole, open_ in zip(base, opening, strict=True))


def _distances(setting: AnchorSetting, catalog: Catalog) -> Iterator[EdgeDistance]:
    """Least distances within the mounting; those to edges and joints of the deck are among the places' conflicts."""
    D, at = diameter(setting), np.abs(setting.positions)

    def rule(what: str, name: str, found: float) -> EdgeDistance:
        row = catalog.fitting_factors[name]
        return EdgeDistance(what, row.number * D, found, row.source)

    if isinstance(setting.backing, Plate):
        yield rule("hole to the plate's edge", "edge_of_steel", float((np.array(setting.backing.size) / 2 - at).min()))
    if isinstance(setting.backing, Bridge):
        rows = np.array(bar_rows(setting))
        off = np.abs(setting.positions[:, 1, None] - rows).min(axis=1)
        yield rule("hole to the bar's edge", "edge_of_steel", float((setting.backing.width / 2 - off).min()))
    if setting.cut_out is not None:
        beyond = np.maximum(at - np.array(setting.cut_out) / 2, 0.0)
        yield rule("hole to the cut-out", "edge_of_cut_out", float(np.hypot(*beyond.T).min()))
        rim = _rim(setting.base, setting.cut_out)
        yield EdgeDistance("base beyond the cut-out", 0.0, rim, "or the ring drops through")
    if len(at) > 1:
        apart = np.hypot(*(setting.positions[:, None] - setting.positions[None]).T)
        np.fill_diagonal(apart, np.inf)
        yield rule("hole to hole", "between_holes", float(apart.min()))


# --- shopping -------------------------------------------------------------------------------------------------


def _items(
    setting: AnchorSetting, groups: tuple[BoltGroup, ...], screws: ScrewGroup | None, catalog: Catalog
) -> Iterator[tuple[Item, int]]:
    """What one anchor needs."""
    yield Item("ring", "", setting.base, "as rated", None), 1
    if screws is not None:
        yield Item("screw", screws.name, (screws.length,), "", None), screws.count
    for group in groups:
        yield _bolt_item(setting, group, catalog), group.count
        yield Item("lock nut", group.size, (), "nylon insert", _nut_weight(setting, catalog)), group.count
        if group.under_nut is not None:
            yield group.under_nut, group.count
    backing, steel = setting.backing, setting.backing_steel
    if isinstance(backing, Plate) and steel is not None:
        size = (*backing.size, backing.thickness)
        yield Item("plate", "", size, steel.name, float(np.prod(size)) * steel.density), 1
    if isinstance(backing, Bridge) and steel is not None:
        size = (setting.places.spacing + setting.places.face_width, backing.width, backing.thickness)
        yield Item("bar", "", size, steel.name, float(np.prod(size)) * steel.density), int(backing.bars)


def _bolt_item(setting: AnchorSetting, group: BoltGroup, catalog: Catalog) -> Item:
    """A bolt, weighed as a cylinder with a nut for a head; threaded rod where no stock bolt is long enough."""
    length = group.length if group.length is not None else group.needed
    shaft = pi / 4 * diameter(setting) ** 2 * length * catalog.steel("mild").density
    kind = "bolt" if group.length is not None else "threaded rod, at least"
    return Item(kind, group.size, (length,), group.grade, shaft + _nut_weight(setting, catalog))


def _nut_weight(setting: AnchorSetting, catalog: Catalog) -> float:
    thread = setting.thread
    assert thread is not None  # noqa: S101 - bolted mountings only
    return pi / 4 * thread.d_nut**2 * thread.locking_nut_height * catalog.steel("mild").density
