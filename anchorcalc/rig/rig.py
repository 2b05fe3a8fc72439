"""The whole set-up in numbers: load, straps, floor, anchors, and what the checks rest on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from anchorcalc.result.fitting import Assumed
from anchorcalc.rig.parts import AnchorSetting, FloorSetting, MountingSetting, Place2, Place3

if TYPE_CHECKING:
    from anchorcalc.catalog.rows import Factor, Steel, Washer
    from anchorcalc.catalog.rules import RuleSet
    from anchorcalc.catalog.shop_rows import BoltLengths


# --- load, straps, trailer ------------------------------------------------------------------------------------


@dataclass(frozen=True)
class TiePointSetting:
    """A place on the load where a strap is hooked; limits are infinite where nobody rated it."""

    at: Place3
    rated: float
    breaking: float


@dataclass(frozen=True)
class LoadSetting:
    """The vehicle carried."""

    name: str
    kind: str | None
    weight: float
    centre: Place3
    wheels: Mapping[str, Place2]
    tie_points: Mapping[str, TiePointSetting]
    length: float | None
    friction: float
    steadying_friction: float


@dataclass(frozen=True)
class StrapSetting:
    """One strap in numbers."""

    name: str
    anchor: str
    tie_point: str
    rated: float
    breaking: float
    stiffness: float
    hand_tension: float
    counted_share: float
    over: bool  # it slides over the load to an anchor on the other side; this is one half of it


@dataclass(frozen=True)
class TrailerSetting:
    """Weights and ratings of the trailer; x of axle and hitch."""

    empty_weight: float
    gross_rating: float
    axle_rating: float | None
    axle_at: float | None
    hitch_at: float | None


# --- the whole ------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Shelf:
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


@dataclass(frozen=True)
class Basis:
    """What a link's strength rests on besides its anchor: the rule set's factors and the tables' single values."""

    rules: RuleSet
    shelf: Shelf

    def factor(self, name: str) -> float:
        """A single value of tables/factors.yaml [SI]."""
        return self.shelf.factor(name)


@dataclass(frozen=True)
class Rig:
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
    own_rows: tuple[str, ...]  # rows of the user's own tables that were used

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
    def unrated(self) -> tuple[str, ...]:
        """Parts that nobody rated and that hold something."""
        strapped = {strap.anchor for strap in self.straps.values()}
        rings = [
            f"ring of anchor {name}"
            for name, anchor in self.anchors.items()
            if name in strapped and not anchor.mounting.ring_is_rated
        ]
        return (*self.unrated_parts, *rings)

    def with_mounting(self, name: str, anchor: str | None = None) -> Rig:
        """The rig with mounting `name` on every anchor, or on `anchor` alone."""
        mounting = self.mountings[name]
        anchors = {
            each: place.with_mounting(mounting) if anchor in (None, each) else place
            for each, place in self.anchors.items()
        }
        return replace(self, anchors=anchors)

    def with_other(self, mounting: MountingSetting) -> Rig:
        """The rig with a mounting it does not describe on every anchor."""
        described = replace(self, mountings={**self.mountings, mounting.name: mounting})
        return described.with_mounting(mounting.name)

    def with_hand_tension(self, most: float) -> Rig:
        """The rig with no strap tightened by hand to more than `most` [N]."""
        straps = {
            name: replace(strap, hand_tension=min(strap.hand_tension, most)) for name, strap in self.straps.items()
        }
        return replace(self, straps=straps)

    def without_friction(self) -> Rig:
        """The rig with no friction counted against the cases."""
        return replace(self, load=replace(self.load, friction=0.0))
