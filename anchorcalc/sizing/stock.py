"""Everything in stock that could back an anchor, and what each choice holds by the closed rules.

A choice is a backing with a bolt size and grade. The links are asked themselves, each once for all choices
it cannot tell apart: what bears under a nut, for instance, knows neither the bolt's grade nor a plate's edge
beyond its reach. The answers are then spread over all choices as arrays.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from anchorcalc.fitting.clearance import Conflict, conflicts, rules_of
from anchorcalc.links.bolted import (
    bearing_links,
    bolt_links,
    crushing,
    crushing_pressures,
    nut_through_plate,
    punching,
    seat_diameter,
    thread_of,
)
from anchorcalc.links.common import Basis, FloatArray, Question
from anchorcalc.links.deck import deck_links
from anchorcalc.links.path import anchor_strength, pull_of
from anchorcalc.links.steel import bridge_links, deck_member_bending
from anchorcalc.scenario.model import Bridge, Plate, ThroughMember, Washers, WasherSize

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Iterable, Sequence

    from anchorcalc.catalog.rows import BoltGrade, Steel, Thread
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.links.common import Pull
    from anchorcalc.result import Link
    from anchorcalc.rig.settings import AnchorSetting
    from anchorcalc.scenario.model import Deck

StockBacking = Washers | Plate | ThroughMember | Bridge
Series = Literal["inch", "metric"]

# Steels and alloys that flat stock is sold in; the tables' other rows are tubes, washers and welded zones.
_FLAT_STOCK: dict[Series, tuple[str, ...]] = {
    "inch": ("A36", "A572-50", "304", "6061-T6", "5052-H32"),
    "metric": ("S235", "S355", "304", "6061-T6", "5052-H32"),
}
_WIDEST_BAR = 0.105  # bars for bridges, not plates [m]
_EDGE_IN_HOLES = 1.2  # least edge distance in hole diameters, EN 1993-1-8 table 3.3 (from memory)
_SAME = 1e-9  # [m]
OTHER_BOLT = "is for another bolt"
_BACKINGS = ("plate", "washers", "bar")  # parts that a different choice would change
_VERBS = {"overlaps": "fouls", "too near": "comes too near to", "misses": "misses"}


@dataclass(frozen=True)
class Stock:
    """Backings and bolts on offer; a choice is a pair of their numbers."""

    backings: tuple[StockBacking, ...]
    bolts: tuple[tuple[Thread, BoltGrade], ...]

    @property
    def threads(self) -> tuple[Thread, ...]:
        """Bolt sizes on offer, each once."""
        return tuple({thread.name: thread for thread, _ in self.bolts}.values())


def stock(catalog: Catalog, anchor: AnchorSetting, series: Series) -> Stock:
    """What merchants of inch or of metric goods have for `anchor`."""
    threads = [row for row in catalog.threads.values() if row.series == series]
    grades = [row for row in catalog.bolt_grades.values() if row.series == series]
    bolts = tuple((thread, grade) for thread in threads for grade in grades if grade.up_to >= thread.D)
    washers = [
        Washers.model_construct(kind="washers", outside=row.outside, thickness=row.thickness_least, steel=row.steel)
        for row in catalog.washers.values()
        if row.bolt in {thread.name for thread in threads}
    ]
    backings: tuple[StockBacking, ...] = (
        *washers,
        *_plates(catalog, series),
        *_members(anchor, washers),
        *_bars(catalog, series),
    )
    return Stock(backings, bolts)


def _plates(catalog: Catalog, series: Series) -> Iterable[Plate]:
    for row in catalog.plates.values():
        if row.series == series:
            for length in row.sides:
                for width in row.sides:
                    for thickness in row.thicknesses:
                        for steel in _FLAT_STOCK[series]:
                            yield Plate.model_construct(
                                kind="plate", size=(length, width), thickness=thickness, steel=steel
                            )


def _bars(catalog: Catalog, series: Series) -> Iterable[Bridge]:
    for row in catalog.plates.values():
        if row.series == series:
            for width in (side for side in row.sides if side <= _WIDEST_BAR):
                for thickness in row.thicknesses:
                    for steel in _FLAT_STOCK[series]:
                        for bars in ("1", "2"):
                            yield Bridge.model_construct(
                                kind="bridge", width=width, thickness=thickness, steel=steel, bars=bars
                            )


def _members(anchor: AnchorSetting, washers: Sequence[Washers]) -> Iterable[ThroughMember]:
    """Ways through the cross-member that the anchor's bolts meet; none where they meet none."""
    walls: tuple[Literal["one", "both"], ...] = ("one", "both") if anchor.member.shape == "tube" else ("one",)
    for through in _rows_on_member(anchor):
        for washer in washers:
            size = WasherSize.model_construct(outside=washer.outside, thickness=washer.thickness, steel=washer.steel)
            for wall in walls:
                yield ThroughMember.model_construct(kind="member", through=through, walls=wall, washer=size)


def _rows_on_member(anchor: AnchorSetting) -> list[Literal["front", "rear", "all"]]:
    x = anchor.positions[:, 0] + anchor.at[0]
    lines = np.array(anchor.places.centrelines)
    on = np.abs(x[:, None] - lines).min(axis=1) < anchor.places.face_width / 2
    if on.all():
        return ["all"]
    front, rear = np.abs(x - x.max()) < _SAME, np.abs(x - x.min()) < _SAME
    found: list[Literal["front", "rear", "all"]] = []
    if on[front].all() and not on[~front].any():
        found.append("front")
    if on[rear].all() and not on[~rear].any():
        found.append("rear")
    return found


def with_choice(
    anchor: AnchorSetting, backing: StockBacking, thread: Thread, grade: BoltGrade, catalog: Catalog
) -> AnchorSetting:
    """`anchor` bolted with `thread` and `grade` on `backing`."""
    seat = backing.washer if isinstance(backing, ThroughMember) else backing
    seat = seat if isinstance(seat, WasherSize | Plate) else None
    steel = None if isinstance(backing, ThroughMember) else catalog.steel(backing.steel)
    both = isinstance(backing, ThroughMember) and backing.walls == "both"
    return replace(
        anchor,
        fastener_kind="bolt",
        fastener_size=thread.name,
        screw=None,
        thread=thread,
        grade=grade,
        backing=backing,
        backing_steel=steel,
        seat=seat,
        seat_steel=catalog.steel(seat.steel) if seat is not None else None,
        walls=2 if both else 1,
    )


def misfits(stocked: Stock, anchor: AnchorSetting, deck: Deck, basis: Basis) -> NDArray[np.str_]:
    """Why each backing does not fit with each bolt size, (backings, threads); empty where it does."""
    washers_of: dict[tuple[float, float], set[str]] = {}
    for row in basis.catalog.washers.values():
        washers_of.setdefault((row.outside, row.thickness_least), set()).add(row.bolt)
    reasons = np.empty((len(stocked.backings), len(stocked.threads)), dtype="U80")
    for column, thread in enumerate(stocked.threads):
        grade = next(grade for each, grade in stocked.bolts if each.name == thread.name)
        known: dict[Hashable, str] = {}  # thickness and steel make no difference
        for number, backing in enumerate(stocked.backings):
            seat = backing.washer if isinstance(backing, ThroughMember) else backing
            if isinstance(seat, WasherSize) and thread.name not in washers_of[seat.outside, seat.thickness]:
                reasons[number, column] = OTHER_BOLT
                continue
            outline = _outline(backing)
            if outline not in known:
                setting = with_choice(anchor, backing, thread, grade, basis.catalog)
                known[outline] = _unlike_pattern(setting, basis) or _in_the_way(setting, deck, basis)
            reasons[number, column] = known[outline]
    return reasons


def _outline(backing: StockBacking) -> Hashable:
    if isinstance(backing, Plate):
        return backing.size
    if isinstance(backing, Bridge):
        return backing.width, backing.bars
    if isinstance(backing, ThroughMember):
        return backing.kind, backing.washer.outside if backing.washer is not None else 0.0
    return backing.outside


def _unlike_pattern(setting: AnchorSetting, basis: Basis) -> str:
    """Why a backing does not go with the bolts' pattern; empty where it does."""
    backing, bolts, thread = setting.backing, setting.positions, thread_of(setting)
    edge = max(_EDGE_IN_HOLES * (thread.D + basis.factor("bolt_hole_clearance")), thread.d_nut / 2)
    if isinstance(backing, Plate):
        enough = np.abs(bolts).max(axis=0) + edge <= np.array(backing.size) / 2 + _SAME
        return "" if enough.all() else "is too small for the bolts"
    if isinstance(backing, Bridge):
        return _unlike_columns(backing, np.unique(np.round(bolts[:, 1], 9)), edge)
    outside = setting.seat.outside if isinstance(setting.seat, WasherSize) else 0.0
    apart = np.linalg.norm(bolts[:, None] - bolts, axis=2)[~np.eye(len(bolts), dtype=bool)]
    return "overlaps its neighbour" if apart.min(initial=np.inf) < outside - _SAME else ""


def _unlike_columns(bar: Bridge, columns: FloatArray, edge: float) -> str:
    """Why bars do not take bolts that stand in `columns` across the deck [m]."""
    spread = float(columns[-1] - columns[0])
    if bar.bars == "1":
        return "" if bar.width >= spread + 2 * edge - _SAME else "is too narrow for the bolts"
    if len(columns) != 2 or bar.width < 2 * edge - _SAME:
        return "does not lie under the bolts"
    return "" if spread >= bar.width - _SAME else "overlaps its neighbour"


def _in_the_way(setting: AnchorSetting, deck: Deck, basis: Basis) -> str:
    """What a backing or its bolts meet that they must not, or miss; empty where the place is clear."""
    if isinstance(setting.backing, Bridge) and setting.places.overhang:
        return "has no second cross-member"
    found = next(iter(conflicts(rules_of(setting, deck, basis.catalog))), None)
    if found is None:
        return ""
    if found.part not in _BACKINGS:
        return f"cannot help: the {found.part} {_verb(found)}"
    return _verb(found)


def _verb(conflict: Conflict) -> str:
    # Which of the cross-members it is makes no difference to what to buy.
    obstacle = "a cross-member" if conflict.obstacle.startswith("cross-member") else f"the {conflict.obstacle}"
    return f"{_VERBS[conflict.kind]} {obstacle}"


@dataclass(frozen=True)
class Strengths:
    """What every choice holds by the closed rules [N], (backings, bolts)."""

    breaking: FloatArray
    working: FloatArray


def strengths(
    stocked: Stock, anchor: AnchorSetting, direction: FloatArray, basis: Basis, fitting: NDArray[np.bool_]
) -> Strengths:
    """Strength of every choice along `direction` (3,) where `fitting` (backings, threads), else nothing.

    Each equals what `load_path.anchor_strength` gives for that choice.
    """
    both = np.zeros((2, len(stocked.backings), len(stocked.bolts)))
    for column, thread in enumerate(stocked.threads):
        bolts = [number for number, (each, _) in enumerate(stocked.bolts) if each.name == thread.name]
        asked = _Asked(stocked, anchor, direction, basis, thread, stocked.bolts[bolts[0]][1])
        rows = np.flatnonzero(fitting[:, column])
        plain = [row for row in rows if not isinstance(stocked.backings[row], ThroughMember)]
        if plain:
            backed = np.array([asked.backing(stocked.backings[row]) for row in plain])  # (plain, 2)
            for number in bolts:
                bolted = asked.bolt(stocked.bolts[number][1])
                both[:, plain, number] = np.minimum(backed, bolted).T
        for row in set(rows) - set(plain):
            for number in bolts:
                both[:, row, number] = asked.whole(stocked.backings[row], stocked.bolts[number][1])
    return Strengths(*both)


Pair = tuple[float, float]  # breaking and working strength [N]


class _Asked:
    """The links of one bolt size, each asked once for what it cannot tell apart."""

    def __init__(
        self,
        stocked: Stock,
        anchor: AnchorSetting,
        direction: FloatArray,
        basis: Basis,
        thread: Thread,
        grade: BoltGrade,
    ) -> None:
        self.stocked, self.anchor, self.direction, self.basis = stocked, anchor, direction, basis
        self.thread, self.grade = thread, grade
        self._known: dict[Hashable, Pair] = {}
        self._diameters: dict[Hashable, Pair] = {}
        some = with_choice(anchor, stocked.backings[0], thread, grade, basis.catalog)
        self._pull: Pull = pull_of(some, direction, basis)
        self._ring = _least([link for link in anchor_strength(some, direction, basis).links if link.name == "ring"])
        self._farthest = np.abs(anchor.positions).max(axis=0)
        self._spread = np.ptp(anchor.positions, axis=0)

    def _question(self, backing: StockBacking, grade: BoltGrade | None = None) -> Question:
        setting = with_choice(self.anchor, backing, self.thread, grade or self.grade, self.basis.catalog)
        return Question(setting, self._pull, self.basis)

    def bolt(self, grade: BoltGrade) -> Pair:
        """What the bolts themselves hold."""
        return _least(bolt_links(self._question(self.stocked.backings[0], grade)))

    def whole(self, backing: StockBacking, grade: BoltGrade) -> Pair:
        """What a choice holds by all its links."""
        strength = anchor_strength(self._question(backing, grade).anchor, self.direction, self.basis)
        return strength.breaking, strength.working

    def backing(self, backing: StockBacking) -> Pair:
        """What ring and backing hold, whatever the bolts' grade."""
        if isinstance(backing, Plate):
            links = self._plate_links(backing)
        elif isinstance(backing, Bridge):
            links = [self._ask(("bar", backing.model_dump_json()), bridge_links, backing)]
        else:
            links = [self._ask(("washer", backing.model_dump_json()), _washer_links, backing)]
        return min(self._ring[0], *(b for b, _ in links)), min(self._ring[1], *(w for _, w in links))

    def _plate_links(self, plate: Plate) -> list[Pair]:
        """The links of a plate, each by no more than it knows of it."""
        steel = self.basis.catalog.steel(plate.steel)
        diameters = self._seat_diameters(plate, steel)
        length, width = plate.size
        # Beyond the discs that bear, or the patch that lifts, a larger plate is the same plate.
        bears = 2 * self._farthest + max(diameters)
        lifts = self._spread + diameters[0]
        return [
            self._ask(("nut", plate.thickness, steel.F_u), _nut_links, plate),
            self._ask(("crushing", diameters, min(length, bears[0]), min(width, bears[1])), _crushing_links, plate),
            self._ask(("punching", diameters, length + width), _punching_links, plate),
            self._ask(("deck", min(length, lifts[0]), min(width, lifts[1])), _deck_links, plate),
        ]

    def _seat_diameters(self, plate: Plate, steel: Steel) -> Pair:
        key = plate.thickness, steel.F_y
        if key not in self._diameters:
            question = self._question(plate)
            breaking, allowable = crushing_pressures(question)
            self._diameters[key] = seat_diameter(question.anchor, breaking), seat_diameter(question.anchor, allowable)
        return self._diameters[key]

    def _ask(self, key: Hashable, links: Callable[[Question], list[Link]], backing: StockBacking) -> Pair:
        if key not in self._known:
            self._known[key] = _least(links(self._question(backing)))
        return self._known[key]


def _least(links: Sequence[Link]) -> Pair:
    return (
        min((link.breaking for link in links), default=float("inf")),
        min((link.working for link in links), default=float("inf")),
    )


def _nut_links(question: Question) -> list[Link]:
    return [nut_through_plate(question)]


def _crushing_links(question: Question) -> list[Link]:
    return [crushing(question)]


def _punching_links(question: Question) -> list[Link]:
    return [punching(question)]


def _deck_links(question: Question) -> list[Link]:
    return [*deck_links(question), deck_member_bending(question)]


def _washer_links(question: Question) -> list[Link]:
    return [*bearing_links(question), *_deck_links(question)]
