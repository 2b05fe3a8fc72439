"""The whole set-up in numbers: load, straps, floor, anchors, and what the checks rest on."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import inf
from typing import TYPE_CHECKING, Literal

from msgspec import Struct
from msgspec.structs import replace

from anchorcalc.result.fitting import Assumed
from anchorcalc.rig.floor import FloorSetting, Place2, ScrewCondition
from anchorcalc.rig.parts import AnchorSetting, Frame, MountingSetting, Place3

if TYPE_CHECKING:
    from anchorcalc.catalog.rows import Factor, Steel, Washer
    from anchorcalc.catalog.rules import LoadCase, RuleSet
    from anchorcalc.catalog.shop_rows import BoltLengths


# --- load, straps, trailer ------------------------------------------------------------------------------------


class TiePointSetting(Struct, frozen=True):
    """A place on the load where a strap is hooked, or that it runs over; limits are infinite where nobody rated it."""

    at: Place3
    rated: float
    breaking: float
    bare: bool = False  # a strap lies on it, on rubber or on the load's body; nothing is hooked there


class StopSetting(Struct, frozen=True):
    """What pushes the load one way, up to what it is rated for; nothing where nobody rated it."""

    at: Place3
    push: Place3  # unit vector
    rated: float
    breaking: float


class LoadSetting(Struct, frozen=True):
    """The vehicle carried."""

    name: str
    kind: str | None
    weight: float
    centre: Place3
    wheels: Mapping[str, Place2]
    tyre_print: Place2  # of each wheel on the deck, along and across
    tie_points: Mapping[str, TiePointSetting]
    length: float | None
    friction: float
    steadying_friction: tuple[float, float]  # lengthways and sideways, across a case's own direction
    grip: tuple[float, float]  # lengthways and sideways, against the cases themselves
    stops: Mapping[str, StopSetting]


class StrapSetting(Struct, frozen=True):
    """One strap in numbers, or one leg of a strap that cannot slide over its points."""

    name: str
    tie_down: str  # the strap it is, or is a leg of
    anchor: str
    course: tuple[str, ...]  # tie points from its anchor on: it is hooked to one, or slides over all of them
    bearing: tuple[float, ...]  # force on each of them per newton of pull
    to_anchor: str | None  # where its other end is, if that is not hooked to the load
    rated: float
    breaking: float
    stiffness: float
    hand_tension: float
    counted_share: float
    over: bool  # it slides over the load to an anchor on the other side; this is one half of it
    stiffer: float = 1.0  # times that it may be, where it is rated lower than others of its size for its hook alone
    lies_on: tuple[str, ...] = ()  # of a first leg: all points up to the second leg's, between which nothing pulls

    @property
    def legs(self) -> tuple[tuple[str, str], ...]:
        """Anchor and next tie point of each of its ends that hang on a ring."""
        first = (self.anchor, self.course[0])
        return (first,) if self.to_anchor is None else (first, (self.to_anchor, self.course[-1]))

    @property
    def slides(self) -> bool:
        """Whether it runs over points to a second ring, with one tension all along."""
        return self.to_anchor is not None

    @property
    def tie_point(self) -> str:
        """The tie point next to its anchor."""
        return self.course[0]


class TrailerSetting(Struct, frozen=True):
    """Weights and ratings of the trailer; x of axle and hitch."""

    empty_weight: float
    gross_rating: float
    axle_rating: float | None
    axle_at: float | None
    hitch_at: float | None


# --- the whole ------------------------------------------------------------------------------------------------


class Shelf(Struct, frozen=True):
    """Rows of the tables that the checks and the fitting need besides those of the rig's own parts, by name."""

    factors: Mapping[str, Factor]
    fitting_factors: Mapping[str, Factor]
    bolt_lengths: Mapping[str, BoltLengths]
    washers: Mapping[str, Washer]
    steels: Mapping[str, Steel]

    def factor(self, name: str) -> float:
        """A single value of tables/factors.yaml [SI]."""
        return self.factors[name].number

    def fitting_factor(self, name: str) -> float:
        """A single value of tables/fitting_factors.yaml [SI]."""
        return self.fitting_factors[name].number

    def plain_washer(self, bolt: str) -> Washer | None:
        """The plain washer of the tables for a bolt; None where there is none."""
        return self.washers.get(f"plain {bolt}")

    def widest_washer(self, bolt: str) -> float:
        """Outside of the widest washer in the tables for a bolt [m]; nothing where there is none."""
        return max((washer.outside for washer in self.washers.values() if washer.bolt == bolt), default=0.0)


class Basis(Struct, frozen=True):
    """What a link's strength rests on besides its anchor: the rule set's factors and the tables' single values."""

    rules: RuleSet
    shelf: Shelf

    def factor(self, name: str) -> float:
        """A single value of tables/factors.yaml [SI]."""
        return self.shelf.factor(name)


class Rig(Struct, frozen=True):
    """Everything about one set-up, in numbers."""

    title: str
    units: Literal["us", "si"]
    basis: Basis
    load: LoadSetting
    straps: Mapping[str, StrapSetting]
    floor: FloorSetting
    mountings: Mapping[str, MountingSetting]
    anchors: Mapping[str, AnchorSetting]
    trailer: TrailerSetting | None
    unrated_parts: tuple[str, ...]  # straps and tie points that nobody rated
    assumed_parts: tuple[Assumed, ...]  # all but what the mountings assume
    odd: tuple[str, ...]  # what looks odd in the scenario without being impossible
    through_tyres: tuple[str, ...]  # straps that cross the foot of a tyre, seen from above
    own_rows: tuple[str, ...]  # rows of the user's own tables that were used
    advice: tuple[LoadCase, ...] = ()  # cases of the rule set that do not decide for this load

    @property
    def rules(self) -> RuleSet:
        """The rule set."""
        return self.basis.rules

    @property
    def used_mountings(self) -> tuple[MountingSetting, ...]:
        """The mountings of its anchors, each once, in the order they are described."""
        used = {anchor.mounting.name: anchor.mounting for anchor in self.anchors.values()}
        return tuple(used[name] for name in self.mountings if name in used)

    @property
    def assumed(self) -> tuple[Assumed, ...]:
        """What nobody gave, each once."""
        entries = [*self.assumed_parts, *(entry for mounting in self.used_mountings for entry in mounting.assumed)]
        return tuple({entry.what: entry for entry in reversed(entries)}.values())[::-1]

    @property
    def strapped(self) -> frozenset[str]:
        """Anchors that a strap hangs on."""
        return frozenset(anchor for strap in self.straps.values() for anchor, _ in strap.legs)

    @property
    def strapped_in_order(self) -> tuple[str, ...]:
        """Anchors that a strap hangs on, as they are described."""
        return tuple(name for name in self.anchors if name in self.strapped)

    def course_of(self, strap: str) -> list[Place3]:
        """Where a strap runs [m]: from its ring over its points, and on to the second ring of one that slides."""
        legs, points = self.straps[strap].legs, self.straps[strap].course
        first, *other = (self.anchors[anchor].ring_at for anchor, _ in legs)
        return [first, *self._places(points), *other]

    def middle_of(self, strap: str) -> list[Place3]:
        """Where the strap of a first leg lies on its load up to the second leg [m]; nothing for any other."""
        return self._places(self.straps[strap].lies_on)

    def _places(self, points: Iterable[str]) -> list[Place3]:
        return [self.load.tie_points[point].at for point in points]

    @property
    def tie_downs(self) -> tuple[str, ...]:
        """The straps as they are counted: one with two legs is one."""
        return tuple(dict.fromkeys(strap.tie_down for strap in self.straps.values()))

    @property
    def unrated(self) -> tuple[str, ...]:
        """Parts that nobody rated and that hold something."""
        rings = [
            f"ring of anchor {name}"
            for name, anchor in self.anchors.items()
            if name in self.strapped and not anchor.mounting.ring_is_rated
        ]
        welds = [f"weld of anchor {name}" for name in self.strapped_in_order if self.anchors[name].mounting.weld_unsaid]
        return (*self.unrated_parts, *rings, *welds)

    def with_mounting(self, name: str, anchor: str | None = None) -> Rig:
        """The rig with mounting `name` on every anchor, or on `anchor` alone."""
        mounting, base = self.mountings[name], None if anchor is None else self.anchors[anchor].base
        anchors = {
            each: place.with_mounting(mounting) if base in (None, place.base) else place
            for each, place in self.anchors.items()
        }
        return replace(self, anchors=anchors)

    def with_other(self, mounting: MountingSetting) -> Rig:
        """The rig with a mounting it does not describe on every anchor."""
        described = replace(self, mountings={**self.mountings, mounting.name: mounting})
        return described.with_mounting(mounting.name)

    def with_hand_tension(self, *, times: float = 1.0, least: float = 0.0, most: float = inf) -> Rig:
        """The rig with every strap tightened `times` as hard, to no less than `least` and no more than `most` [N]."""
        straps = {
            name: replace(strap, hand_tension=min(max(times * strap.hand_tension, least), most))
            for name, strap in self.straps.items()
        }
        return replace(self, straps=straps)

    def with_hold_down(self, condition: ScrewCondition) -> Rig:
        """The rig with the screws of its deck in another condition."""
        floor = replace(self.floor, hold_down_condition=condition)
        anchors = {name: replace(anchor, floor=floor) for name, anchor in self.anchors.items()}
        return replace(self, floor=floor, anchors=anchors)

    def with_thickest_bases(self) -> Rig:
        """The rig with every base that nobody measured as thick as it may be; itself where all are measured."""
        used = self.used_mountings
        thick = {each.name: replace(each, base_may_be=each.base_may_be[-1:]) for each in used if each.base_unsaid}
        if not thick:
            return self
        anchors = {
            name: anchor.with_mounting(thick.get(anchor.mounting.name, anchor.mounting))
            for name, anchor in self.anchors.items()
        }
        return replace(self, mountings={**self.mountings, **thick}, anchors=anchors)

    @property
    def screws_unseen(self) -> bool:
        """Whether rings hang on screws of the deck that nobody said they looked at."""
        backings = (self.anchors[name].mounting.backing for name in self.strapped)
        return self.floor.hold_down_condition is None and not all(isinstance(each, Frame) for each in backings)

    def with_stiffest_straps(self) -> Rig:
        """The rig with straps of one size alike, whatever each is rated; itself where they are."""
        if all(strap.stiffer == 1.0 for strap in self.straps.values()):
            return self
        straps = {
            name: replace(strap, stiffness=strap.stiffness * strap.stiffer, stiffer=1.0)
            for name, strap in self.straps.items()
        }
        return replace(self, straps=straps)

    def without_friction(self) -> Rig:
        """The rig with no friction or grip counted against the cases."""
        return replace(self, load=replace(self.load, friction=0.0, grip=(0.0, 0.0)))

    def advised(self) -> Rig:
        """The rig in the cases that do not decide."""
        rules = self.rules.model_copy(update={"cases": self.advice})
        return replace(self, basis=replace(self.basis, rules=rules), advice=())

    def without_stops(self) -> Rig:
        """The rig with nothing that its load leans against."""
        return replace(self, load=replace(self.load, stops={}))
