"""What a scenario may say of one way to fasten a ring: the ring, its fasteners, what backs them."""

from __future__ import annotations

from typing import Annotated, Final, Literal

from pydantic import Field, model_validator

from anchorcalc.names import ShortName
from anchorcalc.scenario.quantities import Height, Part, Point2, Rating, Size2, SmallExtent, Thickness

_MOST_FASTENERS: Final = 12  # of one mounting


class Ring(Part):
    """The floor ring with its base, as bought."""

    rated: Rating | None = None
    breaking: Rating | None = None
    base: Size2 = Field(description="length along the trailer, width across")
    base_thickness: Thickness | None = None
    base_steel: ShortName | None = None
    foot: Size2 | None = Field(None, description="where the ring stands on its base: length along, width across")
    pull_height: Height
    rated_flat: Rating | None = Field(None, description="working load limit of a pull along the deck")


class Pattern(Part):
    """Where the fasteners stand about the middle of the base: one of three ways to say it."""

    square: SmallExtent | None = None
    rectangle: Size2 | None = None
    points: tuple[Point2, ...] | None = Field(None, min_length=1, max_length=_MOST_FASTENERS)

    @model_validator(mode="after")
    def _one_way(self) -> Pattern:
        if sum(way is not None for way in (self.square, self.rectangle, self.points)) != 1:
            raise ValueError("say where the fasteners are in one way: square, rectangle or points")
        return self

    @property
    def positions(self) -> tuple[tuple[float, float], ...]:
        """Centres of the fasteners about the middle of the base [m], front ones first."""
        if self.points is not None:
            return self.points
        side = self.square or 0.0  # _one_way has seen to it that one of the two is given
        length, width = self.rectangle or (side, side)
        x, y = length / 2, width / 2
        return ((x, y), (x, -y), (-x, y), (-x, -y))


class Fasteners(Part):
    """The screws or bolts of one mounting."""

    kind: Literal["bolt", "wood screw", "lag screw"]
    size: ShortName
    grade: ShortName | None = None
    length: SmallExtent | None = None
    holes: Literal["new", "re-driven"] | None = Field(None, description="screws only")
    at: Pattern

    @model_validator(mode="after")
    def _fits_its_kind(self) -> Fasteners:
        if self.kind == "bolt" and self.holes is not None:
            raise ValueError("holes is a word for screws; bolts have no use for it")
        if self.kind != "bolt" and self.grade is not None:
            raise ValueError(f"grade is a word for bolts; a {self.kind} has none")
        if self.kind != "bolt" and self.length is None:
            raise ValueError(f"a {self.kind} needs its length")
        return self


class NoBacking(Part):
    """Fasteners in the deck alone."""

    kind: Literal["none"]


class WasherSize(Part):
    """A washer as measured."""

    outside: SmallExtent
    thickness: Thickness
    steel: ShortName


class Washers(WasherSize):
    """One washer under each nut."""

    kind: Literal["washers"]


class Plate(Part):
    """One steel plate under the deck that takes all bolts."""

    kind: Literal["plate"]
    size: Size2 = Field(description="length along the trailer, width across")
    thickness: Thickness
    steel: ShortName


class ThroughMember(Part):
    """Bolts through a cross-member: the leg of an angle or channel, or a tube; the others on washers."""

    kind: Literal["member"]
    through: Literal["front", "rear", "all"] = Field(description="which bolts go through the member")
    walls: Literal["one", "both"] | None = Field(None, description="tube only: walls under bolt tension")
    washer: WasherSize | None = Field(None, description="under each nut, on steel and on wood")

    @model_validator(mode="after")
    def _others_have_washers(self) -> ThroughMember:
        if self.through != "all" and self.washer is None:
            raise ValueError(
                "the bolts that miss the member bear on wood: give their washer (outside, thickness, steel)"
            )
        return self


class Bridge(Part):
    """Bars under two neighbouring cross-members, so that the pull goes to steel and not to the deck."""

    kind: Literal["bridge"]
    width: SmallExtent
    thickness: Thickness
    steel: ShortName
    bars: Literal["1", "2"] = "1"


Backing = Annotated[NoBacking | Washers | Plate | ThroughMember | Bridge, Field(discriminator="kind")]


class Mounting(Part):
    """One way to fasten one anchor."""

    ring: Ring
    fasteners: Fasteners
    backing: Backing
    cut_out: Size2 | None = Field(None, description="opening cut for a recessed ring: length, width")

    @model_validator(mode="after")
    def _belongs_together(self) -> Mounting:
        if (self.fasteners.kind == "bolt") == (self.backing.kind == "none"):
            raise ValueError(
                f"{self.fasteners.kind}s with backing '{self.backing.kind}' do not go together: bolts need "
                "washers, plate, member or bridge; screws take backing none"
            )
        return self

    @property
    def washer(self) -> WasherSize | None:
        """The washer under each nut."""
        if isinstance(self.backing, ThroughMember):
            return self.backing.washer
        return self.backing if isinstance(self.backing, WasherSize) else None
