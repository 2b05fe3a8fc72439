"""What a scenario file may say: the words, the quantities and their physical range.

Every quantity arrives as text with its unit and leaves as an SI float [m, N, Pa]. Frame: x forward, y to
the left, z up; the origin lies on top of the deck at the middle of its rear edge. Ranges refuse what no
trailer can be; what is merely unusual is left to plausibility warnings.
"""

from __future__ import annotations

from math import ceil, floor
from typing import Annotated, Final, Literal

from pydantic import BeforeValidator, Field, model_validator

from anchorcalc.catalog.rules import LoadKind
from anchorcalc.mechanics.outline import half_width_at
from anchorcalc.names import Name, ShortName
from anchorcalc.scenario.mountings import Mounting
from anchorcalc.scenario.quantities import (
    Extent,
    Friction,
    Height,
    Part,
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
_MOST_BEAMS: Final = 12  # that members rest on which run lengthwise
_MOST_ZONES: Final = 12  # of each kind
_MOST_WHEELS: Final = 12
_MOST_TIE_POINTS: Final = 24
MOST_MOUNTINGS: Final = 8
MOST_SCREWS_PER_CROSSING: Final = 4
_MOST_ANCHORS: Final = 20
_MOST_STRAPS: Final = 24
_MOST_POINTS: Final = 8  # that one strap runs over
_MOST_STOPS: Final = 12
_MOST_ASSUMED: Final = 100

SAME_LINE: Final = 0.01
"""A cross-member is meant by its centreline as near as this [m]."""


class TiePoint(Part):
    """A place on the load where a strap is hooked."""

    at: Point3 = Field(description="where the strap is hooked: x, y, z")
    rated: Rating | None = Field(None, description="working load limit; leave out when unknown")
    breaking: Rating | None = Field(None, description="breaking strength, where the label gives that")


class Grip(Part):
    """What rubber holds against the cases themselves: plain numbers, counted only because they are given."""

    sideways: Friction = Field(0.0, description="against sliding across the trailer")
    lengthways: Friction = Field(0.0, description="against sliding along the trailer; 0 where it can roll")


class Stop(Part):
    """What the load leans against: a chock, a headboard, the wall of a wheel well. It pushes one way only."""

    at: Point3 = Field(description="where it touches the load")
    pushes: Literal["forward", "rearward", "left", "right"] = Field(description="the way it pushes the load")
    rated: Rating | None = Field(
        None, description="working load limit with all that holds it to the deck; counts for nothing without"
    )


class Load(Part):
    """The vehicle carried, standing on its wheels or skids."""

    name: ShortName = Field(description="what it is called")
    kind: LoadKind | None = Field(None, description="what kind of load it is; decides which counts of the rules apply")
    weight: Weight = Field(description="with all that is in it")
    centre_of_gravity: Point3 = Field(description="x, y, z")
    wheels: dict[ShortName, Point2] = Field(
        min_length=1, max_length=_MOST_WHEELS, description="where it touches the deck: wheels, or the ends of its skids"
    )
    tyre_print: Size2 | None = Field(None, description="of each wheel on the deck: length along, width across")
    length: Extent | None = Field(None, description="overall; the reach of its wheels and tie points where left out")
    friction: Friction = Field(
        0.0, description="of the wheels on the deck against the cases themselves, counted only if given"
    )
    steadying_friction: Friction | None = Field(None, description="of the wheels on the deck across a case's direction")
    grip: Grip | None = Field(None, description="what rubber holds against the cases themselves")
    stops: dict[ShortName, Stop] = Field({}, max_length=_MOST_STOPS, description="chocks, headboards and walls by name")
    tie_points: dict[ShortName, TiePoint] = Field(
        {}, max_length=_MOST_TIE_POINTS, description="places on the load that straps are hooked to, by name"
    )


class Fixed(Part):
    """Screws that fasten a layer to those below it."""

    screw: ShortName = Field(description="a row of the screws")
    spacing: SmallExtent = Field(description="from one screw to the next")


class Sheets(Part):
    """Sheets laid one after the other from the deck's rear edge."""

    length: Extent = Field(description="of a whole sheet along the trailer")
    first: Extent = Field(description="of the sheet at the rear edge, whole or cut")


class Layer(Part):
    """One layer of the deck; the top layer comes first."""

    panel: ShortName = Field(description="what it is made of: a row of the panels")
    thickness: Thickness = Field(description="of this layer alone")
    face_grain: Literal["along", "across"] | None = Field(
        None, description="which way the face grain (or the planks) run: along or across the trailer"
    )
    condition: ShortName = Field(description="a row of the conditions: sound, weathered ...")
    joints_across: tuple[Place, ...] = Field(
        (), max_length=_MOST_JOINTS, description="x of each sheet joint that runs across"
    )
    joints_along: tuple[Place, ...] = Field(
        (), max_length=_MOST_JOINTS, description="y of each sheet joint that runs along"
    )
    sheets: Sheets | None = Field(None, description="how its sheets were laid, in place of joints_across")
    plank_width: SmallExtent | None = Field(None, description="of one plank, where the layer is of planks")
    screws_per_crossing: Annotated[int, BeforeValidator(whole), Field(ge=1, le=MOST_SCREWS_PER_CROSSING)] | None = (
        Field(None, description="screws of a plank into each cross-member")
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


class Joint(Part):
    """The weld between a cross-member and a main rail."""

    weld: Thickness = Field(description="leg of the fillet weld")
    length: SmallExtent = Field(description="of all its welds together, at one rail")


class Timber(Part):
    """Sawn wood that the cross-members are made of."""

    wood: ShortName = Field(description="a row of the timber")
    breadth: SmallExtent = Field(description="of the face that the deck lies on")
    depth: SmallExtent = Field(description="from top to bottom")
    condition: ShortName = Field(description="a row of the conditions: sound, weathered ...")


class CrossMembers(Part):
    """What the deck lies on, all alike, at even spacing: across the trailer, or along it on cross-beams."""

    section: ShortName | None = Field(None, description="of steel or aluminium")
    spacing: SmallExtent = Field(description="from one centreline to the next")
    first_at: Height = Field(
        description="distance of the first centreline from the rear edge, of lengthwise ones from the right edge"
    )
    steel: ShortName | None = Field(None, description="a row of the steels")
    timber: Timber | None = Field(None, description="of wood, in place of section and steel")
    deck_on: Literal["crown", "brims"] | None = Field(
        None, description="of hat sections: the face that the deck lies on"
    )
    run: Literal["across", "lengthwise"] = Field(
        "across", description="across from rail to rail, or lengthwise from one cross-beam to the next"
    )
    also_at: tuple[Place, ...] = Field(
        (),
        max_length=_MOST_CROSS_MEMBERS,
        description="centrelines of members that stand off the even spacing: x, or y where they run lengthwise",
    )
    without: tuple[Place, ...] = Field(
        (),
        max_length=_MOST_CROSS_MEMBERS,
        description="centrelines of members that the even spacing has and the trailer not",
    )
    rails: RailsApart | None = Field(None, description="distance between the main rails that carry the members")
    beams: tuple[Place, ...] | None = Field(
        None,
        min_length=2,
        max_length=_MOST_BEAMS,
        description="x of every cross-beam (or axle) that members rest on which run lengthwise",
    )
    joint: Joint | None = Field(None, description="weld to the main rails; not checked where left out")
    outriggers: Literal["through", "welded"] | None = Field(
        None,
        description="beyond the rails: through where members go on over both of them, welded where pieces of the same "
        "section stand on their outsides",
    )

    @model_validator(mode="after")
    def _of_one_material(self) -> CrossMembers:
        of_steel = [key for key in ("section", "steel", "joint") if getattr(self, key) is not None]
        if self.timber is not None and of_steel:
            raise ValueError(f"{of_steel[0]} is a word for cross-members of steel; these are of timber")
        if self.timber is None and (self.section is None or self.steel is None):
            raise ValueError("say what they are: section and steel, or timber")
        return self

    @model_validator(mode="after")
    def _carried_by_one_kind(self) -> CrossMembers:
        if self.run == "lengthwise" and self.rails is not None:
            raise ValueError("rails carry members that run across; of lengthwise ones say which beams they rest on")
        if self.run == "across" and self.beams is not None:
            raise ValueError("beams carry members that run lengthwise; of those that run across give the rails")
        if self.outriggers is not None and self.run == "lengthwise":
            raise ValueError(
                "outriggers stand out from rails; lengthwise members reach beyond their beams by themselves"
            )
        if self.outriggers is not None and self.rails is None:
            raise ValueError("outriggers stand out from the main rails: give the distance between those as rails")
        if self.outriggers == "welded" and self.timber is not None:
            raise ValueError("outriggers of wood are not welded on: theirs go through")
        return self


class HoldDown(Part):
    """The screws that hold the deck down to the cross-members."""

    screw: ShortName = Field(description="a row of the screws")
    length: SmallExtent | None = Field(None, description="of the screws, where the cross-members are of wood")
    spacing: SmallExtent = Field(description="from one screw to the next along a cross-member")
    first_at: SmallExtent | None = Field(
        None,
        description="from the side edge by the rings to the first screw of a row; from the front or rear end of the "
        "deck where the members run lengthwise",
    )
    condition: Literal["sound", "some missing", "rusted"] | None = Field(
        None,
        description="some missing: the worst one by each ring in every cross-member; rusted: each counts half",
    )
    heads_on: Annotated[int, BeforeValidator(whole), Field(ge=1, le=6)] | None = Field(
        None, description="number of the layer that the screws' heads lie on, the top layer is 1"
    )


class Zone(Part):
    """A rectangle of the deck to stay clear of, by two opposite corners."""

    name: ShortName = Field(description="what it is called")
    corner: Point2 = Field(description="one corner: x, y")
    opposite: Point2 = Field(description="the corner opposite: x, y")


class Nose(Part):
    """The front of a deck that is pointed or rounded; its sides are taken as straight, inside a rounded edge."""

    length: Extent = Field(description="over which the deck narrows")
    width: Extent = Field(description="at the front edge")


class Deck(Part):
    """Panels on cross-members."""

    width: Extent = Field(description="from its left edge to its right edge, at the rear")
    width_front: Extent | None = Field(None, description="when the deck is not square: width at the front edge")
    length: Extent = Field(description="from its rear edge to its front edge")
    nose: Nose | None = Field(None, description="a pointed or rounded front, within the deck's length")
    layers: tuple[Layer, ...] = Field(min_length=1, max_length=6, description="the top one first")
    layers_joined: Literal["loose", "screwed", "glued"] = Field(description="how its layers are joined all over")
    cross_members: CrossMembers = Field(description="what it lies on")
    hold_down: HoldDown = Field(description="screws that hold it down to the cross-members")
    wheel_wells: tuple[Zone, ...] = Field((), max_length=_MOST_ZONES, description="openings for wheels")
    no_go: tuple[Zone, ...] = Field(
        (), max_length=_MOST_ZONES, description="what must not be drilled: wiring, brake lines, tanks"
    )

    @model_validator(mode="after")
    def _few_enough(self) -> Deck:
        joints = sum(len(layer.across(self.length)) + len(layer.joints_along) for layer in self.layers)
        if joints > _MOST_JOINTS:
            raise ValueError(f"at most {_MOST_JOINTS} joints of all layers together are taken here, not {joints}")
        members = len(self.even_lines) + len(self.cross_members.also_at)
        if members > _MOST_CROSS_MEMBERS:
            raise ValueError(
                f"at most {_MOST_CROSS_MEMBERS} cross-members are taken here; this spacing makes {members} of them"
            )
        return self

    @property
    def member_lines(self) -> tuple[float, ...]:
        """Centreline of every cross-member [m]: x, rear first; y, right first, where they run lengthwise."""
        missing, more = self.cross_members.without, self.cross_members.also_at
        left = (line for line in self.even_lines if not any(abs(line - x) < SAME_LINE for x in missing))
        return tuple(sorted([*left, *more]))

    @property
    def even_lines(self) -> tuple[float, ...]:
        """The centrelines that the even spacing makes [m]."""
        members, (low, high) = self.cross_members, self.across_members
        count = floor((high - low - members.first_at) / members.spacing + 1e-9) + 1
        return tuple(low + members.first_at + number * members.spacing for number in range(max(count, 0)))

    @property
    def across_members(self) -> tuple[float, float]:
        """From which edge of the deck to which its members stand side by side [m]: x, or y."""
        return (-self.width / 2, self.width / 2) if self.cross_members.run == "lengthwise" else (0.0, self.length)

    def half_width_at(self, x: float) -> float:
        """From the centreline to the side edge at `x`; the deck may be wider at one end [m]."""
        front = self.width if self.width_front is None else self.width_front
        nose = None if self.nose is None else (self.nose.length, self.nose.width)
        return half_width_at(x, self.length, self.width, front, nose)

    @property
    def rows_begin_at(self) -> str:
        """What the first screw of a row, along a cross-member, is measured from."""
        return "front or rear end" if self.cross_members.run == "lengthwise" else "side edge"

    @property
    def straight(self) -> float:
        """Length up to where a nose begins, the whole length where there is none [m]."""
        return self.length if self.nose is None else max(self.length - self.nose.length, 0.0)


class Anchor(Part):
    """A ring on the deck."""

    at: Point2 = Field(description="where the ring is; of a mounting's own ring the middle of its base")
    mounting: ShortName | None = Field(None, description="name of the mounting that fastens it")
    on: ShortName | None = Field(None, description="anchor on whose base this ring stands as well")

    @model_validator(mode="after")
    def _stands_on_one_base(self) -> Anchor:
        if (self.mounting is None) == (self.on is None):
            raise ValueError("it has a mounting of its own, or stands `on` the base of another: give one of them")
        return self


class Strap(Part):
    """One tie-down from an anchor's ring straight to a tie point, or over points of the load to another ring."""

    anchor: ShortName = Field(description="anchor that it begins at")
    to: ShortName | None = Field(None, description="tie point that the strap is hooked to")
    over: tuple[PathPoint, ...] | None = Field(
        None, min_length=1, max_length=_MOST_POINTS, description="points the strap runs over, from its anchor on"
    )
    to_anchor: ShortName | None = Field(None, description="anchor at the other end of a strap that runs over points")
    slides: Literal["yes", "no"] | None = Field(
        None, description="no where cleats, or a loop round an axle, keep the strap from sliding over its points"
    )
    kind: Literal["webbing", "chain", "wire rope", "rope"] = Field(description="what kind of tie-down it is")
    width: SmallExtent | None = Field(None, description="webbing")
    size: SmallExtent | None = Field(None, description="chain and ropes: nominal size such as 3/8 in")
    grade: ShortName | None = Field(None, description="of chain; fibre of rope; the weakest where left out")
    rated: Rating | None = Field(None, description="working load limit; leave out when unknown")
    breaking: Rating | None = Field(None, description="breaking strength, where the label gives that")
    hand_tension: Tension | None = Field(
        None, description="what the ratchet leaves in it; the high end for its kind where left out"
    )
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


class Trailer(Part):
    """Weights and ratings of the trailer."""

    empty_weight: Weight = Field(description="of the trailer by itself")
    gross_rating: Weight = Field(description="of trailer and load together, by its plate")
    axle_rating: Weight | None = Field(None, description="of all axles together")
    axle_at: Place | None = Field(None, description="x of the axle, or of the middle between two axles")
    hitch_at: Place | None = Field(None, description="x of the hitch ball")


class Scenario(Part):
    """Trailer, deck, mountings, anchors, straps and load, as the user describes them."""

    title: ShortName = Field(description="what the scenario is called")
    rules: ShortName = Field(description="the rule set that it is checked by")
    units: Literal["us", "si"] = Field("us", description="of what is shown")
    load: Load = Field(description="the vehicle carried")
    deck: Deck = Field(description="panels on cross-members")
    mountings: dict[ShortName, Mounting] = Field(
        min_length=1, max_length=MOST_MOUNTINGS, description="ways to fasten a ring, by name"
    )
    anchors: dict[ShortName, Anchor] = Field(
        min_length=1, max_length=_MOST_ANCHORS, description="the rings on the deck, by name"
    )
    straps: dict[ShortName, Strap] = Field(min_length=1, max_length=_MOST_STRAPS, description="the tie-downs, by name")
    trailer: Trailer | None = Field(None, description="weights and ratings of the trailer")

    def base_of(self, anchor: str) -> tuple[Anchor, Mounting] | None:
        """The anchor whose base `anchor` stands on, itself or another, with its mounting; None where none is there."""
        found = self.anchors.get(anchor)
        if found is not None and found.on is not None:
            found = self.anchors.get(found.on)
        mounting = self.mountings.get(found.mounting or "") if found is not None else None
        return None if found is None or mounting is None else (found, mounting)

    assumed: dict[Name, Name] = Field(
        {},
        max_length=_MOST_ASSUMED,
        description="what stands in this file though nobody knew it: name, and what was taken",
    )
