"""Everything in stock that could back an anchor, and what each choice holds by the links of its mounting.

A choice is a backing with bolts. Each mode of `links.modes` is asked once for all choices it cannot tell apart:
what bears under a nut, for instance, knows neither the bolt's grade nor a plate's edge beyond its reach. The answers
are then spread over all choices as arrays.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, Final, Literal

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from anchorcalc.fitting.clearance import conflicts, rules_of
from anchorcalc.links.common import FloatArray, LiftedDeck, Question
from anchorcalc.links.lift import lifted_decks
from anchorcalc.links.modes import MODES, Mode
from anchorcalc.links.pull import question_of
from anchorcalc.rig.parts import QUARTER_LEFT, Bars, Bearing, Bolts, PlateSeat, ThroughSteel, WasherSeat

if TYPE_CHECKING:
    from anchorcalc.catalog.rows import Steel, Thread
    from anchorcalc.catalog.shop_rows import PlateStock
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.result.fitting import Conflict
    from anchorcalc.rig.parts import AnchorSetting, Row
    from anchorcalc.rig.rig import Basis

StockBacking = Bearing | ThroughSteel | Bars
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


class Stock(Struct, frozen=True):
    """Backings and bolts on offer; a choice is a pair of their numbers."""

    backings: tuple[StockBacking, ...]
    bolts: tuple[Bolts, ...]
    washers_for: frozenset[tuple[str, float, float]]  # thread, outside, least thickness of the washers sold

    @property
    def threads(self) -> tuple[Thread, ...]:
        """Bolt sizes on offer, each once."""
        return tuple({bolts.size: bolts.thread for bolts in self.bolts}.values())

    def first_of(self, thread: Thread) -> Bolts:
        """Bolts of a size, of whatever grade."""
        return next(bolts for bolts in self.bolts if bolts.size == thread.name)


def stock(catalog: Catalog, anchor: AnchorSetting, series: Series, only: Thread | None = None) -> Stock:
    """What merchants of inch or of metric goods have for `anchor`.

    With bolts of `only` one size it is what a hardware shop has of them: common grades, and mild steel of no more
    than common thickness.
    """
    threads = [row for row in catalog.threads.values() if (row.series == series if only is None else row == only)]
    grades = [row for row in catalog.bolt_grades.values() if row.series == (only.series if only else series)]
    grades = [row for row in grades if only is None or row.in_shops]
    bolts = tuple(Bolts(thread, grade, None, None) for thread in threads for grade in grades if grade.up_to >= thread.D)
    names = {thread.name for thread in threads}
    rows = [row for row in catalog.washers.values() if row.bolt in names]
    washers = [WasherSeat(row.outside, row.thickness_least, catalog.steel(row.steel)) for row in rows]
    barred = anchor.floor.timber is not None or anchor.floor.lengthwise
    backings: tuple[StockBacking, ...] = (
        *(Bearing(washer) for washer in washers),
        *(Bearing(plate) for plate in _plates(catalog, series, shops=only is not None)),
        *_members(anchor, washers),
        *(() if barred else _bars(catalog, series, shops=only is not None)),
    )
    return Stock(backings, bolts, frozenset((row.bolt, row.outside, row.thickness_least) for row in rows))


def _plates(catalog: Catalog, series: Series, *, shops: bool) -> Iterator[PlateSeat]:
    for row, thickness, steel in _flat_stock(catalog, series, shops=shops):
        yield from (PlateSeat((length, width), thickness, steel) for length in row.sides for width in row.sides)


def _bars(catalog: Catalog, series: Series, *, shops: bool) -> Iterator[Bars]:
    for row, thickness, steel in _flat_stock(catalog, series, shops=shops):
        for width in (side for side in row.sides if side <= _WIDEST_BAR):
            yield from (Bars(width, thickness, steel, count) for count in (1, 2))


def _flat_stock(catalog: Catalog, series: Series, *, shops: bool) -> Iterator[tuple[PlateStock, float, Steel]]:
    steels = [catalog.steel(name) for name in _FLAT_STOCK[series]]
    for row in catalog.plates.values():
        if row.series == series:
            thicknesses = [each for each in row.thicknesses if not shops or each <= row.in_shops_up_to + _SAME]
            for thickness in thicknesses:
                yield from ((row, thickness, steel) for steel in steels if steel.in_shops or not shops)


def _members(anchor: AnchorSetting, washers: Sequence[WasherSeat]) -> Iterator[ThroughSteel]:
    """Ways through the cross-member that the anchor's bolts meet; none where they meet none."""
    walls = (1, 2) if anchor.floor.member.shape == "tube" else (1,)
    for through in rows_on_member(anchor):
        for washer in washers:
            yield from (ThroughSteel(through, wall, washer) for wall in walls)


def rows_on_member(anchor: AnchorSetting) -> list[Row]:
    """Rows of the anchor's bolts that meet a cross-member as it stands."""
    if anchor.floor.lengthwise:
        return [QUARTER_LEFT[row] for row in rows_on_member(anchor.laid)]
    x = anchor.mounting.positions[:, 0] + anchor.at[0]
    on = np.abs(x[:, None] - np.array(anchor.floor.lines)).min(axis=1) < anchor.floor.member.width / 2
    if on.all():
        return ["all"]
    front, rear = np.abs(x - x.max()) < _SAME, np.abs(x - x.min()) < _SAME
    found: list[Row] = []
    if on[front].all() and not on[~front].any():
        found.append("front")
    if on[rear].all() and not on[~rear].any():
        found.append("rear")
    return found


def with_choice(anchor: AnchorSetting, backing: StockBacking, bolts: Bolts) -> AnchorSetting:
    """`anchor` bolted with `bolts` on `backing`."""
    return anchor.with_mounting(replace(anchor.mounting, fasteners=bolts, backing=backing))


# --- what fits ------------------------------------------------------------------------------------------------


def misfits(stocked: Stock, anchor: AnchorSetting, basis: Basis) -> NDArray[np.str_]:
    """Why each backing does not fit with each bolt size, (backings, threads); empty where it does."""
    reasons = np.empty((len(stocked.backings), len(stocked.threads)), dtype="U80")
    for column, thread in enumerate(stocked.threads):
        bolts = stocked.first_of(thread)
        known: dict[Hashable, str] = {}  # thickness and steel make no difference
        for number, backing in enumerate(stocked.backings):
            seat = _seat(backing)
            sold = (
                not isinstance(seat, WasherSeat) or (thread.name, seat.outside, seat.thickness) in stocked.washers_for
            )
            if not sold:
                reasons[number, column] = OTHER_BOLT
                continue
            outline = _outline(backing)
            if outline not in known:
                setting = with_choice(anchor, backing, bolts)
                known[outline] = _unlike_pattern(setting, basis) or _in_the_way(setting, basis)
            reasons[number, column] = known[outline]
    return reasons


def _seat(backing: StockBacking) -> WasherSeat | PlateSeat | None:
    if isinstance(backing, Bearing):
        return backing.seat
    return backing.washer if isinstance(backing, ThroughSteel) else None


def _outline(backing: StockBacking) -> Hashable:
    seat = _seat(backing)
    if isinstance(seat, PlateSeat):
        return seat.size
    if isinstance(backing, Bars):
        return backing.width, backing.count
    return backing.kind, seat.outside if seat is not None else 0.0


def _unlike_pattern(setting: AnchorSetting, basis: Basis) -> str:
    """Why a backing does not go with the bolts' pattern; empty where it does."""
    mounting, thread = setting.mounting, setting.mounting.bolts.thread
    edge = max(_EDGE_IN_HOLES * (thread.D + basis.factor("bolt_hole_clearance")), thread.d_nut / 2)
    if mounting.plate is not None:
        enough = np.abs(mounting.positions).max(axis=0) + edge <= np.array(mounting.plate.size) / 2 + _SAME
        return "" if enough.all() else "is too small for the bolts"
    if isinstance(mounting.backing, Bars):
        return _unlike_columns(
            mounting.backing, np.array(sorted(set(np.round(mounting.positions[:, 1], 9).tolist()))), edge
        )
    outside = mounting.seat.outside if isinstance(mounting.seat, WasherSeat) else 0.0
    bolts = mounting.positions
    apart = np.linalg.norm(bolts[:, None] - bolts, axis=2)[~np.eye(len(bolts), dtype=bool)]
    return "overlaps its neighbour" if apart.min(initial=np.inf) < outside - _SAME else ""


def _unlike_columns(bar: Bars, columns: FloatArray, edge: float) -> str:
    """Why bars do not take bolts that stand in `columns` across the deck [m]."""
    spread = float(columns[-1] - columns[0])
    if bar.count == 1:
        return "" if bar.width >= spread + 2 * edge - _SAME else "is too narrow for the bolts"
    if len(columns) != 2 or bar.width < 2 * edge - _SAME:
        return "does not lie under the bolts"
    return "" if spread >= bar.width - _SAME else "overlaps its neighbour"


def _in_the_way(setting: AnchorSetting, basis: Basis) -> str:
    """What a backing or its bolts meet that they must not, or miss; empty where the place is clear."""
    if isinstance(setting.mounting.backing, Bars) and setting.overhang:
        return "has no second cross-member"
    found = next(iter(conflicts(rules_of(setting, basis.shelf))), None)
    if found is None:
        return ""
    if found.part not in _BACKINGS:
        return f"cannot help: the {found.part} {_verb(found)}"
    return _verb(found)


def _verb(conflict: Conflict) -> str:
    # Which of the cross-members it is makes no difference to what to buy.
    obstacle = "a cross-member" if conflict.obstacle.startswith("cross-member") else f"the {conflict.obstacle}"
    return f"{_VERBS[conflict.kind]} {obstacle}"


# --- what it holds --------------------------------------------------------------------------------------------


class ChoiceStrengths(Struct, frozen=True):
    """What every choice holds [N], (backings, bolts)."""

    breaking: FloatArray
    working: FloatArray


Pair = tuple[float, float]  # breaking and working strength [N]
_NO_LIMIT: Final = (float("inf"), float("inf"))
_OF_BOLTS: Final = ("ring", "bolt_steel", "bolt_sideways")  # modes that know the bolts' grade
_OF_DECK: Final = ("panel_bending", "rolling_shear", "hold_down", "deck_slides")


def strengths(
    stocked: Stock, anchor: AnchorSetting, direction: FloatArray, basis: Basis, fitting: NDArray[np.bool_]
) -> ChoiceStrengths:
    """Strength of every choice along `direction` (3,) where `fitting` (backings, threads), else nothing.

    Never above what `links.path.anchor_strength` gives for that choice: the deck is asked for a few plates, and each
    choice is taken for the largest of these that it covers.
    """
    both = np.zeros((2, len(stocked.backings), len(stocked.bolts)))
    table = DeckTable(stocked, anchor, direction, basis)
    asked: dict[Hashable, Pair] = {}
    for column, thread in enumerate(stocked.threads):
        numbers = [number for number, bolts in enumerate(stocked.bolts) if bolts.size == thread.name]
        first = with_choice(anchor, stocked.backings[0], stocked.bolts[numbers[0]])
        pull = question_of(first, direction, basis).pull
        for row in np.flatnonzero(fitting[:, column]):
            backing = stocked.backings[row]
            held = [Question(with_choice(anchor, backing, stocked.bolts[k]).laid, pull, basis) for k in numbers]
            entry = table.entry_for(backing)
            if not isinstance(backing, ThroughSteel):  # fewer of its bolts lift the deck: it is asked by itself
                held[0].decks.extend(table.decks[entry])
            backed = _least(
                _asked(mode, held[0], _seen(mode.key, backing, entry, held[0]), asked) for mode in _OF_BACKING
            )
            for number, question in zip(numbers, held, strict=True):
                sees = (question.anchor.mounting.bolts.grade.name, _far_end(backing))
                bolted = _least(_asked(mode, question, sees, asked) for mode in _OF_GRADE)
                both[:, row, number] = np.minimum(backed, bolted)
    return ChoiceStrengths(*both)


_OF_GRADE: Final = tuple(mode for mode in MODES if mode.key in _OF_BOLTS)
# How a plate bends hangs on the deck over it: it is left to the choices that are worked out by themselves.
_OF_BACKING: Final = tuple(mode for mode in MODES if mode.key not in (*_OF_BOLTS, "plate_bends"))


def _asked(mode: Mode, question: Question, sees: Hashable, asked: dict[Hashable, Pair]) -> Pair:
    """What a mode says, asked anew only where its answer is not known from a choice that looks the same to it."""
    key = mode.key, question.anchor.mounting.bolts.size, sees
    if key not in asked:
        link = mode.link(question)
        asked[key] = _NO_LIMIT if link is None else (link.breaking, link.working)
    return asked[key]


def _least(pairs: Iterable[Pair]) -> Pair:
    breaking, working = zip(*pairs, strict=True)
    return min(breaking), min(working)


def _far_end(backing: StockBacking) -> Hashable:
    """What the far end of a bolt stands in."""
    if isinstance(backing, Bearing):
        return backing.seat.thickness
    return backing.kind, backing.through if isinstance(backing, ThroughSteel) else ""


def _seen(mode: str, backing: StockBacking, entry: int, question: Question) -> Hashable:
    """What a mode knows of a backing."""
    if mode in _OF_DECK:
        # Bars and members take the pull past the deck: what washers answer is not theirs.
        return entry, "" if isinstance(backing, Bearing) else (backing.kind, _identity(backing))
    plate = question.anchor.mounting.plate
    if plate is None:
        return _identity(backing)
    if mode in ("crush", "pull_through", "punch_out"):
        # Beyond what bears under the nuts a larger plate is the same plate.
        bears = _farthest(question) + 2 * _MOST_REACH * plate.thickness
        return min(plate.size[0], bears[0]), min(plate.size[1], bears[1]), plate.thickness, plate.steel.F_y
    return (plate.thickness, plate.steel.F_u) if mode == "nut_through_plate" else "plate"


def _farthest(question: Question) -> FloatArray:
    mounting = question.anchor.mounting
    return np.asarray(2 * np.abs(mounting.positions).max(axis=0) + mounting.bolts.thread.d_nut)


_MOST_REACH: Final = 8.0
"""A plate reaches beyond its nuts by no more than so many of its thicknesses: √(f_y / 3 f) of any steel on wood."""


def _identity(backing: object) -> Hashable:
    if isinstance(backing, Bearing):
        return _identity(backing.seat)
    if isinstance(backing, ThroughSteel):
        return backing.through, backing.walls, _identity(backing.washer)
    if isinstance(backing, Bars):
        return backing.width, backing.thickness, backing.steel.name, backing.count
    if isinstance(backing, WasherSeat):
        return backing.outside, backing.thickness, backing.steel.name
    return None


_TABLED: Final = ((0.1524, 0.003175), (0.1524, 0.00635), (0.2286, 0.00635), (0.3048, 0.00635))
"""Square plates of steel for which the deck is asked: side and thickness [m]."""
_E_STEEL: Final = 200e9  # [Pa]


class DeckTable:
    """What an anchor's pull asks of the deck on bare nuts and on some plates."""

    def __init__(self, stocked: Stock, anchor: AnchorSetting, direction: FloatArray, basis: Basis) -> None:
        seats_ = [each.seat for each in stocked.backings if isinstance(each, Bearing)]
        plates = [seat for seat in seats_ if isinstance(seat, PlateSeat) and seat.steel.E > 0.9 * _E_STEEL]
        steel = plates[0].steel if plates else None
        bolts, spread = stocked.bolts[0], np.abs(anchor.mounting.positions).max(initial=0.0)
        nuts = WasherSeat(bolts.thread.d_nut, 0.0003, basis.shelf.steels["mild"])
        self._plates = [
            (side, thickness)
            for side, thickness in _TABLED
            if steel is not None and side / 2 > spread + bolts.thread.d_nut / 2
        ]
        seats: list[WasherSeat | PlateSeat] = [
            nuts,
            *(PlateSeat((side, side), t, steel) for side, t in self._plates if steel is not None),
        ]
        self.decks: list[tuple[LiftedDeck, ...]] = []
        for seat in seats:
            setting = with_choice(anchor, Bearing(seat), bolts)
            question = question_of(setting, direction, basis)
            self.decks.append(lifted_decks(question) if anchor.floor.sound_layers else ())

    def entry_for(self, backing: StockBacking) -> int:
        """Number of the entry that a backing does no worse than."""
        if not isinstance(backing, Bearing) or isinstance(backing.seat, WasherSeat):
            return 0
        plate = backing.seat
        stiff = plate.thickness * (plate.steel.E / _E_STEEL) ** (1 / 3)
        covered = [
            number
            for number, (side, thickness) in enumerate(self._plates, start=1)
            if min(plate.size) >= side - _SAME and stiff >= thickness - _SAME
        ]
        return max(covered, default=0)
