"""What `fit` found: what to buy, drill and tighten, what is in the way, what it weighs. SI [N, m, N·m]."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

_ROUNDING = 1e-9  # [m]
_TIGHT = 0.003175  # what a tape, a drill and a hand are out by together: 1/8 in [m]; judgement


class Assumed(Struct, frozen=True):
    """A value nobody gave, and why it was taken."""

    what: str
    value: str
    why: str


class StackItem(Struct, frozen=True):
    """One thing the bolt passes, from the head down [m]."""

    what: str
    thickness: float


class Item(Struct, frozen=True):
    """Something to buy: kind, size by name, dimensions [m], material."""

    kind: str
    size: str
    dimensions: tuple[float, ...]
    material: str
    weight: float | None  # of one [N]; None when not known


class WrenchSetting(Struct, frozen=True):
    """A torque for one state of the thread [N·m]."""

    state: str
    K: float
    at_limit: float
    aim_for: float  # less the scatter of tightening by hand


class Tightening(Struct, frozen=True):
    """How hard the nut may be turned, and what sets that [N]."""

    way: Literal["torque", "snug", "not yet"]
    why: str
    wood_below: float = 0.0
    wood_above: float = 0.0
    proof_limit: float = 0.0
    share_of_proof: float = 0.0
    settings: tuple[WrenchSetting, ...] = ()
    pressed: str = ""  # the wood that `wood_below` is of
    stop: str = ""  # what a person sees where the nut is to be left alone, whatever a wrench says

    @property
    def limit(self) -> float:
        """Greatest tension in the bolt [N]; nil where no torque is given."""
        return min(self.wood_below, self.wood_above, self.proof_limit)


class BoltGroup(Struct, frozen=True):
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
    bevelled: Item | None  # on a flange that slopes
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

    @property
    def too_long(self) -> bool:
        """Whether the nut comes no more tight on the length in the scenario."""
        return self.given is not None and self.long_enough and not self.thread_reaches


class ScrewGroup(Struct, frozen=True):
    """Screws of one mounting [m]."""

    count: int
    name: str
    length: float
    pilot: float | None
    shank: float | None
    shank_depth: float  # below the top of the deck
    comes_through: float  # below nil: stays in the deck


class Holes(Struct, frozen=True):
    """Through holes for bolts, in deck and steel [m]."""

    drill: float
    most: float
    source: str


class CutOut(Struct, frozen=True):
    """The opening for a recessed ring and what of the base is left to rest on the deck [m]."""

    size: tuple[float, float]
    layers: int | None  # through how many from the top; all of them where None
    rim: float
    advice: tuple[str, ...]


class EdgeDistance(Struct, frozen=True):
    """A least distance within a mounting [m]."""

    what: str
    wanted: float
    found: float
    source: str

    @property
    def kept(self) -> bool:
        """Whether the distance is kept."""
        return self.found >= self.wanted - _ROUNDING


class MountingSheet(Struct, frozen=True):
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

    @property
    def too_short(self) -> bool:
        """Whether some of its bolts do not take their stack."""
        return any(not group.long_enough for group in self.bolts)

    @property
    def too_long(self) -> bool:
        """Whether the nuts of some of its bolts meet the end of the thread before they come tight."""
        return any(group.too_long for group in self.bolts)

    @property
    def too_close(self) -> tuple[str, ...]:
        """Distances within it that are too small."""
        return tuple(each.what for each in self.distances if not each.kept)


class Conflict(Struct, frozen=True):
    """Parts of one kind that come too near to one obstacle, the nearest of them counting [m]."""

    part: str
    count: int
    of: int
    obstacle: str
    gap: float  # below nil: how far they overlap, or by how much they miss the face they should meet
    wanted: float
    kind: Literal["too near", "overlaps", "misses"]
    remedy: str = ""  # what would do at the same place, in words


class Tightest(Struct, frozen=True):
    """The rule that leaves least to spare where none is broken [m]."""

    part: str
    obstacle: str
    spare: float


class AnchorPlace(Struct, frozen=True):
    """Where an anchor goes, what is in its way there, and the nearest clear place along and across [m]."""

    anchor: str
    mounting: str
    at: tuple[float, float]
    to_left_edge: float
    to_right_edge: float
    conflicts: tuple[Conflict, ...]
    tightest: Tightest
    clear_along: float | None  # x of the nearest clear place on the same line along the deck
    clear_across: float | None  # y of the nearest clear place at the same distance from the rear edge

    @property
    def clash(self) -> str:
        """What is in its way first, in words; empty where nothing is."""
        return f"{self.anchor}: {self.conflicts[0].part} and {self.conflicts[0].obstacle}" if self.conflicts else ""

    @property
    def tight(self) -> bool:
        """Whether nothing is in the way, but so little is to spare that it may be once it is drilled."""
        return not self.conflicts and self.tightest.spare < _TIGHT - _ROUNDING


HitchWord = Literal["too light", "within", "too heavy", "may be within"]


class LayerWeight(Struct, frozen=True):
    """One deck layer: by its row of the tables and by the common sheet; the heavier counts [N]."""

    number: int  # 1 is the top
    by_table: float
    by_common_sheet: float
    added: bool

    @property
    def weight(self) -> float:
        """The heavier of the two."""
        return max(self.by_table, self.by_common_sheet)


class Payload(Struct, frozen=True):
    """The gross rating and what it is used for [N]."""

    gross_rating: float
    empty: float
    added: float
    load: float

    @property
    def total(self) -> float:
        """The loaded trailer."""
        return self.empty + self.added + self.load

    @property
    def left(self) -> float:
        """What may still be loaded; below nil the trailer is overloaded."""
        return self.gross_rating - self.total


class Balance(Struct, frozen=True):
    """Where the load sits between axle and hitch, and the share of the loaded trailer that the hitch carries.

    The empty trailer's own hitch load is not known: the two ends of the common share are taken for it.
    """

    ahead_of_axle: float
    hitch_of_load: float  # part of the load's weight that the hitch carries [-]
    hitch_load: tuple[float, float]
    hitch_share: tuple[float, float]
    common_share: tuple[float, float]
    best_between: tuple[float, float]  # x of the load's weight for a common share of its own [m]
    word: HitchWord


class AxleLoad(Struct, frozen=True):
    """Greatest load of the axles against their rating [N]."""

    load: float
    rating: float
    balance_known: bool

    @property
    def left(self) -> float:
        """Below nil the axles are overloaded."""
        return self.rating - self.load


class Weights(Struct, frozen=True):
    """All weights of the fitting sheet."""

    layers: tuple[LayerWeight, ...]
    hardware: float
    payload: Payload | None
    balance: Balance | None
    axle: AxleLoad | None

    @property
    def added(self) -> float:
        """Layers above the lowest, and the hardware [N]."""
        return self.hardware + sum(layer.weight for layer in self.layers if layer.added)

    @property
    def overloaded(self) -> bool:
        """Whether the trailer or its axles carry more than their rating."""
        return any(part is not None and part.left < 0 for part in (self.payload, self.axle))


class FittingSheet(Struct, frozen=True):
    """Everything `fit` shows."""

    title: str
    units: Literal["us", "si"]
    load: str
    mountings: tuple[MountingSheet, ...]
    places: tuple[AnchorPlace, ...]
    shopping: tuple[tuple[Item, int], ...]
    weights: Weights
    out_of_square: float  # what two sides of a deck this long commonly differ by [m]
    taper: float  # how much narrower the deck is in front [m]
    counts_on: tuple[str, ...]  # what of the deck the strengths rest on
    measuring: tuple[str, ...]
    warnings: tuple[str, ...]
    assumed: tuple[Assumed, ...]
    cautions: tuple[str, ...]

    @property
    def ready(self) -> bool:
        """Nothing in the way, every distance kept, bolts neither too short nor too long, no rating exceeded."""
        return not self.not_in_order

    @property
    def not_in_order(self) -> tuple[str, ...]:
        """What keeps it from being ready, in words."""
        overloaded = ("the trailer is loaded above its rating",) if self.weights.overloaded else ()
        return (*self.clashes, *self.too_short, *self.not_kept, *overloaded)

    @property
    def clashes(self) -> tuple[str, ...]:
        """What is in the way of an anchor, the first of each."""
        return tuple(place.clash for place in self.places if place.conflicts)

    @property
    def too_short(self) -> tuple[str, ...]:
        """Mountings with bolts that do not take their stack."""
        return tuple(f"{sheet.name}: bolt too short" for sheet in self.mountings if sheet.too_short)

    @property
    def not_kept(self) -> tuple[str, ...]:
        """Mountings whose bolts are too long to come tight, and distances within them that are too small."""
        long = [f"{each.name}: the nut meets the end of the bolt's thread" for each in self.mountings if each.too_long]
        close = [f"{sheet.name}: {what}" for sheet in self.mountings for what in sheet.too_close]
        return (*long, *close)
