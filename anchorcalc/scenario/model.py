"""What a scenario file may say: the words, the quantities and their physical range.

Every quantity arrives as text with its unit and leaves as an SI float [m, N, Pa]. Frame: x forward, y to
the left, z up; the origin lies on top of the deck at the middle of its rear edge. Ranges refuse what no
trailer can be; what is merely unusual is left to plausibility warnings.
"""

from __future__ import annotations

from math import ceil, floor
from typing import Annotated, Final, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, model_validator

from anchorcalc.catalog.rules import LoadKind
from anchorcalc.mechanics.outline import half_width_at
from anchorcalc.names import Name, ShortName
from anchorcalc.scenario.quantities import (
    Extent,
    Friction,
    Height,
    PathPoint,
    Place,
    Point2,
    Point3,
    RailsApart,
    Rating,
    Size2,
    SmallExtent,
    Tension,
    Thickness,
    Weight,
    whole,
)

# More of each than any trailer has; all of them together are still checked within seconds.
_MOST_JOINTS: Final = 60  # of all layers together, in both directions
_MOST_CROSS_MEMBERS: Final = 60
_MOST_ZONES: Final = 12  # of each kind
_MOST_WHEELS: Final = 12
_MOST_TIE_POINTS: Final = 24
_MOST_MOUNTINGS: Final = 8
_MOST_FASTENERS: Final = 12  # of one mounting
_MOST_ANCHORS: Final = 20
_MOST_STRAPS: Final = 24
_MOST_POINTS: Final = 8  # that one strap runs over
_MOST_STOPS: Final = 12
_MOST_ASSUMED: Final = 100


class _Part(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class TiePoint(_Part):
    """A place on the load where a strap is hooked."""

    at: Point3
    rated: Rating | None = Field(None, description="working load limit; leave out when unknown")
    breaking: Rating | None = None


class Grip(_Part):
    """What rubber holds against the cases themselves: plain numbers, counted only because they are given."""

    sideways: Friction = 0.0
    lengthways: Friction = 0.0


class Stop(_Part):
    """What the load leans against: a chock, a headboard, the wall of a wheel well. It pushes one way only."""

    at: Point3 = Field(description="where it touches the load")
    pushes: Literal["forward", "rearward", "left", "right"] = Field(description="the way it pushes the load")
    rated: Rating | None = Field(
        None, description="working load limit with all that holds it to the deck; counts for nothing without"
    )


class Load(_Part):
    """The vehicle carried, standing on its wheels or skids."""

    name: ShortName
    kind: LoadKind | None = None
    weight: Weight
    centre_of_gravity: Point3
    wheels: dict[ShortName, Point2] = Field(
        min_length=1, max_length=_MOST_WHEELS, description="where it touches the deck: wheels, or the ends of its skids"
    )
    length: Extent | None = None
    friction: Friction = 0.0
    steadying_friction: Friction | None = None
    grip: Grip | None = None
    stops: dict[ShortName, Stop] = Field({}, max_length=_MOST_STOPS)
    tie_points: dict[ShortName, TiePoint] = Field({}, max_length=_MOST_TIE_POINTS)


class Fixed(_Part):
    """Screws that fasten a layer to those below it."""

    screw: ShortName
    spacing: SmallExtent


class Sheets(_Part):
    """Sheets laid one after the other from the deck's rear edge."""

    length: Extent = Field(description="of a whole sheet along the trailer")
    first: Extent = Field(description="of the sheet at the rear edge, whole or cut")


class Layer(_Part):
    """One layer of the deck; the top layer comes first."""

    panel: ShortName
    thickness: Thickness
    face_grain: Literal["along", "across"] | None = Field(
        None, description="which way the face grain (or the planks) run: along or across the trailer"
    )
    condition: ShortName
    joints_across: tuple[Place, ...] = Field(
        (), max_length=_MOST_JOINTS, description="x of each sheet joint that runs across"
    )
    joints_along: tuple[Place, ...] = Field(
        (), max_length=_MOST_JOINTS, description="y of each sheet joint that runs along"
    )
    sheets: Sheets | None = Field(None, description="how its sheets were laid, in place of joints_across")
    plank_width: SmallExtent | None = Field(None, description="of one plank, where the layer is of planks")
    screws_per_crossing: Annotated[int, BeforeValidator(whole), Field(ge=1, le=4)] | None = Field(
        None, description="screws of a plank into each cross-member"
    )
    fixed: Fixed | None = Field(None, description="what fastens this layer to those below it, if not the deck's screws")

    @model_validator(mode="after")
    def _joints_told_once(self) -> Layer:
        if self.sheets is not None and self.joints_across:
            raise ValueError("sheets tell where the joints across are: give them or joints_across, not both")
        if self.sheets is not None and self.sheets.first > self.sheets.length:
            raise ValueError("the first of the sheets is longer than a whole one")
        return self

    def across(self, deck_length: float) -> tuple[float, ...]:
        """X of every joint that runs across a deck of that length [m], as given or as the sheets were laid."""
        if self.sheets is None:
            return self.joints_across
        first, length = self.sheets.first, self.sheets.length
        count = ceil((deck_length - first) / length - 1e-9)
        return tuple(first + number * length for number in range(min(max(count, 0), _MOST_JOINTS + 1)))


class Joint(_Part):
    """The weld between a cross-member and a main rail."""

    weld: Thickness = Field(description="leg of the fillet weld")
    length: SmallExtent = Field(description="of all its welds together, at one rail")


class CrossMembers(_Part):
    """The steel under the deck, all alike, running across the trailer at even spacing."""

    section: ShortName
    spacing: SmallExtent
    first_at: Height = Field(description="distance of the first centreline from the rear edge")
    steel: ShortName
    rails: RailsApart | None = Field(None, description="distance between the main rails that carry the members")
    joint: Joint | None = None


class HoldDown(_Part):
    """The screws that hold the deck down to the cross-members."""

    screw: ShortName
    spacing: SmallExtent
    first_at: SmallExtent | None = Field(
        None, description="from the side edge by the rings to the first screw of a row"
    )
    heads_on: Annotated[int, BeforeValidator(whole), Field(ge=1, le=6)] | None = Field(
        None, description="number of the layer that the screws' heads lie on, the top layer is 1"
    )


class Zone(_Part):
    """A rectangle of the deck to stay clear of, by two opposite corners."""

    name: ShortName
    corner: Point2
    opposite: Point2


class Nose(_Part):
    """The front of a deck that is pointed or rounded; its sides are taken as straight, inside a rounded edge."""

    length: Extent = Field(description="over which the deck narrows")
    width: Extent = Field(description="at the front edge")


class Deck(_Part):
    """Panels on cross-members."""

    width: Extent
    width_front: Extent | None = Field(None, description="when the deck is not square: width at the front edge")
    length: Extent
    nose: Nose | None = Field(None, description="a pointed or rounded front, within the deck's length")
    layers: tuple[Layer, ...] = Field(min_length=1, max_length=6)
    layers_joined: Literal["loose", "screwed", "glued"]
    cross_members: CrossMembers
    hold_down: HoldDown
    wheel_wells: tuple[Zone, ...] = Field((), max_length=_MOST_ZONES)
    no_go: tuple[Zone, ...] = Field((), max_length=_MOST_ZONES)

    @model_validator(mode="after")
    def _few_enough(self) -> Deck:
        joints = sum(len(layer.across(self.length)) + len(layer.joints_along) for layer in self.layers)
        if joints > _MOST_JOINTS:
            raise ValueError(f"at most {_MOST_JOINTS} joints of all layers together are taken here, not {joints}")
        members = int(max(self.length - self.cross_members.first_at, 0.0) / self.cross_members.spacing) + 1
        if members > _MOST_CROSS_MEMBERS:
            raise ValueError(
                f"at most {_MOST_CROSS_MEMBERS} cross-members are taken here; this spacing makes {members} of them"
            )
        return self

    @property
    def member_lines(self) -> tuple[float, ...]:
        """X of every cross-member's centreline [m], rear first."""
        members = self.cross_members
        count = floor((self.length - members.first_at) / members.spacing + 1e-9) + 1
        return tuple(members.first_at + number * members.spacing for number in range(max(count, 0)))

    def half_width_at(self, x: float) -> float:
        """From the centreline to the side edge at `x`; the deck may be wider at one end [m]."""
        front = self.width if self.width_front is None else self.width_front
        nose = None if self.nose is None else (self.nose.length, self.nose.width)
        return half_width_at(x, self.length, self.width, front, nose)

    @property
    def straight(self) -> float:
        """Length up to where a nose begins, the whole length where there is none [m]."""
        return self.length if self.nose is None else max(self.length - self.nose.length, 0.0)


class Ring(_Part):
    """The floor ring with its base, as bought."""

    rated: Rating | None = None
    breaking: Rating | None = None
    base: Size2 = Field(description="length along the trailer, width across")
    base_thickness: Thickness | None = None
    base_steel: ShortName | None = None
    foot: Size2 | None = Field(None, description="where the ring stands on its base: length along, width across")
    pull_height: Height
    rated_flat: Rating | None = Field(None, description="working load limit of a pull along the deck")


class Pattern(_Part):
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


class Fasteners(_Part):
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


class NoBacking(_Part):
    """Fasteners in the deck alone."""

    kind: Literal["none"]


class WasherSize(_Part):
    """A washer as measured."""

    outside: SmallExtent
    thickness: Thickness
    steel: ShortName


class Washers(WasherSize):
    """One washer under each nut."""

    kind: Literal["washers"]


class Plate(_Part):
    """One steel plate under the deck that takes all bolts."""

    kind: Literal["plate"]
    size: Size2 = Field(description="length along the trailer, width across")
    thickness: Thickness
    steel: ShortName


class ThroughMember(_Part):
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


class Bridge(_Part):
    """Bars under two neighbouring cross-members, so that the pull goes to steel and not to the deck."""

    kind: Literal["bridge"]
    width: SmallExtent
    thickness: Thickness
    steel: ShortName
    bars: Literal["1", "2"] = "1"


Backing = Annotated[NoBacking | Washers | Plate | ThroughMember | Bridge, Field(discriminator="kind")]


class Mounting(_Part):
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


class Anchor(_Part):
    """A ring on the deck."""

    at: Point2
    mounting: ShortName


class Strap(_Part):
    """One tie-down from an anchor's ring straight to a tie point, or over points of the load to another ring."""

    anchor: ShortName
    to: ShortName | None = Field(None, description="tie point that the strap is hooked to")
    over: tuple[PathPoint, ...] | None = Field(
        None, min_length=1, max_length=_MOST_POINTS, description="points the strap runs over, from its anchor on"
    )
    to_anchor: ShortName | None = Field(None, description="anchor at the other end of a strap that runs over points")
    slides: Literal["yes", "no"] | None = Field(
        None, description="no where cleats, or a loop round an axle, keep the strap from sliding over its points"
    )
    kind: Literal["webbing", "chain", "wire rope", "rope"]
    width: SmallExtent | None = Field(None, description="webbing")
    size: SmallExtent | None = Field(None, description="chain and ropes: nominal size such as 3/8 in")
    grade: ShortName | None = None
    rated: Rating | None = None
    breaking: Rating | None = None
    hand_tension: Tension | None = None
    route: Literal["direct", "over"] | None = Field(
        None, description="direct to a point on the load, or over it to an anchor on the other side"
    )

    @model_validator(mode="after")
    def _ends_once(self) -> Strap:
        if self.over is None:
            if self.to is None:
                raise ValueError("say where the strap ends: `to` a tie point, or `over` points and `to_anchor`")
            given = [key for key in ("to_anchor", "slides") if getattr(self, key) is not None]
            if given:
                raise ValueError(f"{given[0]} is a word for straps that run `over` points; this one is hooked `to` one")
        elif self.to is not None:
            raise ValueError("`to` with `over`: a strap is hooked to a tie point or runs over points, not both")
        elif self.to_anchor is None:
            raise ValueError("a strap that runs over points ends at an anchor: give `to_anchor`")
        elif self.route is not None:
            raise ValueError("route is a word for straps hooked `to` a tie point; the anchors of this one tell it")
        return self


class Trailer(_Part):
    """Weights and ratings of the trailer."""

    empty_weight: Weight
    gross_rating: Weight
    axle_rating: Weight | None = None
    axle_at: Place | None = Field(None, description="x of the axle, or of the middle between two axles")
    hitch_at: Place | None = Field(None, description="x of the hitch ball")


class Scenario(_Part):
    """Trailer, deck, mountings, anchors, straps and load, as the user describes them."""

    title: ShortName
    rules: ShortName
    units: Literal["us", "si"] = "us"
    load: Load
    deck: Deck
    mountings: dict[ShortName, Mounting] = Field(min_length=1, max_length=_MOST_MOUNTINGS)
    anchors: dict[ShortName, Anchor] = Field(min_length=1, max_length=_MOST_ANCHORS)
    straps: dict[ShortName, Strap] = Field(min_length=1, max_length=_MOST_STRAPS)
    trailer: Trailer | None = None
    assumed: dict[Name, Name] = Field(
        {},
        max_length=_MOST_ASSUMED,
        description="what stands in this file though nobody knew it: name, and what was taken",
    )
