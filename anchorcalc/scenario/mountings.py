"""What a scenario may say of one way to fasten a ring: the ring, its fasteners, what backs them."""

from __future__ import annotations

from math import hypot
from typing import Annotated, Any, Final, Literal

from pydantic import BeforeValidator, Field, model_validator

from anchorcalc.mechanics.outline import covered, turned
from anchorcalc.names import ShortName
from anchorcalc.scenario.quantities import (
    BaseExtent,
    Height,
    Part,
    Point2,
    Rating,
    Size2,
    SmallExtent,
    Thickness,
    Turn,
    size_told,
    whole,
)

_MOST_FASTENERS: Final = 30  # of one mounting: of a track of 10 ft every 4 in


class Ring(Part):
    """The floor ring with its base, as bought."""

    rated: Rating | None = Field(None, description="working load limit; leave out when unknown")
    breaking: Rating | None = Field(None, description="breaking strength, where the label gives that")
    base: tuple[BaseExtent, BaseExtent] = Field(description="length along the trailer, width across")
    base_thickness: Thickness | None = Field(
        None, description="left out, a thin pressed one, or a thick one where screws hold less under it"
    )
    base_steel: ShortName | None = Field(None, description="a row of the steels")
    foot: Size2 | None = Field(None, description="where the ring stands on its base: length along, width across")
    pull_height: Height = Field(description="of the strap above the deck, at the raised ring")
    rated_flat: Rating | None = Field(None, description="working load limit of a pull along the deck")


class Pattern(Part):
    """Where the fasteners stand about the middle of the base: one of three ways to say it."""

    square: SmallExtent | None = Field(None, description="side of a square with one at each corner")
    rectangle: Size2 | None = Field(None, description="length along, width across, with one at each corner")
    points: tuple[Point2, ...] | None = Field(
        None, min_length=1, max_length=_MOST_FASTENERS, description="x, y of each from the middle of the base"
    )

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

    kind: Literal["bolt", "wood screw", "lag screw"] = Field(description="what they are")
    size: ShortName = Field(description="a thread of the bolts, or a size of the screws")
    grade: ShortName | None = Field(None, description="of bolts; the weakest in common sale where left out")
    length: SmallExtent | None = Field(None, description="of screws and bolts")
    holes: Literal["new", "re-driven"] | None = Field(None, description="screws only")
    at: Pattern = Field(description="where they stand on the base")

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

    kind: Literal["none"] = Field(description="screws in the deck alone")


class WasherSize(Part):
    """A washer as measured."""

    outside: SmallExtent = Field(description="diameter")
    thickness: Thickness = Field(description="of the washer")
    steel: ShortName = Field(description="a row of the steels")


class Washers(WasherSize):
    """One washer under each nut."""

    kind: Literal["washers"] = Field(description="a washer under each nut")


class Plate(Part):
    """One steel plate under the deck that takes all bolts."""

    kind: Literal["plate"] = Field(description="one plate under all nuts")
    size: Size2 = Field(description="length along the trailer, width across")
    thickness: Thickness = Field(description="of the plate")
    steel: ShortName = Field(description="a row of the steels")


class ThroughMember(Part):
    """Bolts through a cross-member: the leg of an angle or channel, or a tube; the others on washers."""

    kind: Literal["member"] = Field(description="bolts through a cross-member")
    through: Literal["front", "rear", "left", "right", "all"] = Field(
        description="which bolts go through the member: left or right of one that runs lengthwise"
    )
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

    kind: Literal["bridge"] = Field(description="bars under two cross-members")
    width: SmallExtent = Field(description="of a bar")
    thickness: Thickness = Field(description="of a bar")
    steel: ShortName = Field(description="a row of the steels")
    bars: Literal["1", "2"] = Field("1", description="how many")


class Frame(Part):
    """A ring welded to a cross-member or a main rail, with no deck in its path."""

    kind: Literal["frame"] = Field(description="welded to the frame")
    weld: Thickness | None = Field(None, description="leg of the fillet weld")
    length: SmallExtent | None = Field(None, description="of all its welds together")

    @model_validator(mode="after")
    def _weld_whole(self) -> Frame:
        if (self.weld is None) != (self.length is None):
            raise ValueError("a weld has a leg and a length: give weld and length, or neither")
        return self


Backing = Annotated[NoBacking | Washers | Plate | ThroughMember | Bridge | Frame, Field(discriminator="kind")]


class CutOut(Part):
    """An opening in the deck."""

    circle: SmallExtent | None = Field(None, description="diameter of a round one")
    size: Size2 | None = Field(None, description="length, width")
    radius: SmallExtent | None = Field(None, description="of its corners")
    layers: Annotated[int, BeforeValidator(whole), Field(ge=1, le=6)] | None = Field(
        None, description="through how many layers from the top it is cut; all of them where left out"
    )

    @model_validator(mode="after")
    def _one_shape(self) -> CutOut:
        if (self.circle is None) == (self.size is None):
            raise ValueError("a cut-out is a circle, or has a size: give one of the two")
        if self.radius is not None and (self.size is None or 2 * self.radius > min(self.size)):
            raise ValueError("the radius is that of the corners of a size: no more than half of its narrow side")
        return self

    @property
    def sides(self) -> tuple[float, float]:
        """Length and width of what it covers [m]."""
        return self.size or (self.circle or 0.0, self.circle or 0.0)

    def takes(self, x: float, y: float) -> bool:
        """Whether it takes a place away, counted from its middle."""
        flat = [side / 2 - self.corner for side in self.sides]
        beyond = [abs(at) - half for at, half in zip((x, y), flat, strict=True)]
        if self.corner == 0:
            return max(beyond) < 0
        return hypot(*(max(each, 0.0) for each in beyond)) < self.corner

    @property
    def corner(self) -> float:
        """Radius of its corners; of a circle its own [m]."""
        return self.radius or (self.circle or 0.0) / 2


def _as_cut_out(given: Any) -> Any:
    """A pair is the size of one with sharp corners."""
    return {"size": given} if size_told(given) else given


class Mounting(Part):
    """One way to fasten one anchor."""

    ring: Ring = Field(description="the ring with its base")
    fasteners: Fasteners | None = Field(None, description="none where the ring is welded to the frame")
    backing: Backing = Field(description="what bears under the deck")
    cut_out: Annotated[CutOut, BeforeValidator(_as_cut_out, json_schema_input_type=Size2 | CutOut)] | None = Field(
        None, description="opening cut for a recessed ring: length, width; or its circle, or its size and radius"
    )
    base_turned: Turn | None = Field(
        None, description="how far the base, with its fasteners and its cut-out, is turned to the left"
    )

    @model_validator(mode="after")
    def _belongs_together(self) -> Mounting:
        welded = isinstance(self.backing, Frame)
        if welded or self.fasteners is None:
            if not welded:
                raise ValueError("fasteners are missing: only a ring welded to the frame (backing: frame) has none")
            if self.fasteners is not None or self.cut_out is not None:
                raise ValueError("a ring welded to the frame has no fasteners and no cut_out: leave them out")
            return self
        if (self.fasteners.kind == "bolt") == (self.backing.kind == "none"):
            raise ValueError(
                f"{self.fasteners.kind}s with backing '{self.backing.kind}' do not go together: bolts need "
                "washers, plate, member or bridge; screws take backing none"
            )
        return self

    @property
    def positions(self) -> tuple[tuple[float, float], ...]:
        """Centres of the fasteners about the middle of the base, as it lies on the trailer [m]."""
        at = () if self.fasteners is None else self.fasteners.at.positions
        return at if not self.base_turned else tuple((x, y) for x, y in turned(at, self.base_turned).tolist())

    @property
    def covers(self) -> tuple[float, float]:
        """Length along the trailer and width across that the base takes, as it lies there [m]."""
        return covered(self.ring.base, self.base_turned or 0.0)

    @property
    def washer(self) -> WasherSize | None:
        """The washer under each nut."""
        if isinstance(self.backing, ThroughMember):
            return self.backing.washer
        return self.backing if isinstance(self.backing, WasherSize) else None
