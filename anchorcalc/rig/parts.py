"""The scenario in numbers: frozen, complete, worked out once by `rig.resolve`. SI throughout [N, m, N/m].

Links, statics, fitting, sizing and drawings read these parts and never the scenario's words. A variant, another
mounting or friction, is made with `msgspec.structs.replace` or the `with_…` methods and shares all that stays.
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Final, Literal

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from anchorcalc.mechanics.outline import covered
from anchorcalc.result.fitting import Assumed
from anchorcalc.rig.floor import FloorSetting, LayerSetting, Place2

if TYPE_CHECKING:
    from anchorcalc.catalog.rows import BoltGrade, Screw, Steel, Thread
    from anchorcalc.catalog.shop_rows import DrillHole

FloatArray = NDArray[np.float64]
Place3 = tuple[float, float, float]

_BAYS_NEAR, _SPANS_NEAR = 3.0, 2.0


# --- mountings ------------------------------------------------------------------------------------------------


class Bolts(Struct, frozen=True):
    """The bolts of a mounting."""

    thread: Thread
    grade: BoltGrade
    length: float | None
    hole: DrillHole | None

    @property
    def size(self) -> str:
        """Name of the thread."""
        return self.thread.name

    @property
    def D(self) -> float:  # noqa: N802 - the symbol of its source
        """Diameter."""
        return self.thread.D


class Screws(Struct, frozen=True):
    """The screws of a mounting."""

    screw: Screw
    length: float
    reused: bool  # driven again into old holes
    hole: DrillHole | None

    @property
    def lag(self) -> bool:
        """Whether they are lag screws."""
        return self.screw.kind == "lag screw"

    @property
    def size(self) -> str:
        """Size as screws are called."""
        return self.screw.size

    @property
    def D(self) -> float:  # noqa: N802 - the symbol of its source
        """Diameter."""
        return self.screw.D


class Weld(Struct, frozen=True):
    """What holds a ring to the frame: the leg of its fillet and how much of it there is, where anybody said so."""

    leg: float | None
    run: float | None
    size: str = "weld"
    D: float = 0.0


class WasherSeat(Struct, frozen=True):
    """A washer under each nut."""

    outside: float
    thickness: float
    steel: Steel


class PlateSeat(Struct, frozen=True):
    """One plate under all nuts: length along, width across."""

    size: tuple[float, float]
    thickness: float
    steel: Steel


class Bare(Struct, frozen=True):
    """Screws in the deck alone."""

    kind: Literal["none"] = "none"
    lifts_all: bool = False  # every sound layer, whatever their thread bites: asked of what holds an overlay


class Bearing(Struct, frozen=True):
    """Nuts that bear on the wood through washers or a plate."""

    seat: WasherSeat | PlateSeat

    @property
    def kind(self) -> Literal["washers", "plate"]:
        """The scenario's word for it."""
        return "plate" if isinstance(self.seat, PlateSeat) else "washers"


class Bars(Struct, frozen=True):
    """Bars under two neighbouring cross-members."""

    width: float
    thickness: float
    steel: Steel
    count: int
    kind: Literal["bridge"] = "bridge"

    def rows(self, positions: FloatArray) -> list[NDArray[np.bool_]]:
        """Which bolts each bar takes, (n,) a bar."""
        left = np.asarray(positions[:, 1] >= 0)
        return [left, ~left] if self.count == 2 else [np.ones(len(left), dtype=bool)]


Row = Literal["front", "rear", "left", "right", "all"]
_QUARTER_RIGHT: Final[dict[Row, Row]] = {
    "left": "front", "front": "right", "right": "rear", "rear": "left", "all": "all",
}  # fmt: skip
QUARTER_LEFT: Final[dict[Row, Row]] = {after: before for before, after in _QUARTER_RIGHT.items()}
"""What a row of bolts is on the trailer that is so called where lengthwise members are laid across."""


class ThroughSteel(Struct, frozen=True):
    """Bolts through a cross-member, all or one row of them; the others bear on wood through their washers."""

    through: Row
    walls: int
    washer: WasherSeat | None
    kind: Literal["member"] = "member"

    def in_member(self, positions: FloatArray) -> NDArray[np.bool_]:
        """Which bolts go through the member, (n,)."""
        at = positions[:, 1 if self.through in ("left", "right") else 0]
        if self.through in ("front", "left"):
            return np.asarray(at >= at.max() - 1e-6)
        if self.through in ("rear", "right"):
            return np.asarray(at <= at.min() + 1e-6)
        return np.ones(len(at), dtype=bool)


class Frame(Struct, frozen=True):
    """The frame itself: the ring is welded to it, and no deck lies in its path."""

    kind: Literal["frame"] = "frame"


Backing = Bare | Bearing | Bars | ThroughSteel | Frame


class MountingSetting(Struct, frozen=True, dict=True):
    """One way to fasten one anchor, in numbers and rows."""

    name: str
    ring_rated: float | None
    ring_breaking: float | None
    base: tuple[float, float]
    base_may_be: tuple[float, ...]  # its thickness; where nobody gave it the least and the most it may have
    base_steel: Steel
    foot: tuple[float, float]  # where the ring stands on its base
    pull_height: float
    ring_flat: float | None  # working load limit along the deck, by the maker
    fasteners: Bolts | Screws | Weld
    places: tuple[Place2, ...]  # of its fasteners, about the middle of the base, as it lies on the trailer
    backing: Backing
    cut_out: tuple[float, float] | None  # length and width, as the base's own
    cut_out_corner: float = 0.0  # radius of its corners; half its width where it is round
    cut_layers: int | None = None  # through how many from the top it is cut; all of them where nobody says
    turned: float = 0.0  # how far base, foot and cut-out are turned to the left [rad]
    assumed: tuple[Assumed, ...] = ()

    @cached_property
    def positions(self) -> FloatArray:
        """The places of its fasteners, (n, 2)."""
        return np.array(self.places, dtype=float).reshape(-1, 2)

    @property
    def base_thickness(self) -> float:
        """Of the ring's base; the least it may have."""
        return self.base_may_be[0]

    @property
    def base_unsaid(self) -> bool:
        """Whether nobody measured its base, and what it hangs on may hold less under a thick one."""
        return len(self.base_may_be) > 1 and not isinstance(self.fasteners, Weld)

    @property
    def weld_unsaid(self) -> bool:
        """Whether it is welded, and nobody gave the weld."""
        return isinstance(self.fasteners, Weld) and self.fasteners.leg is None

    @property
    def covers(self) -> tuple[float, float]:
        """Length along the trailer and width across that the base takes."""
        return covered(self.base, self.turned)

    @property
    def lies_on(self) -> tuple[float, float]:
        """Length along the trailer and width across of the deck that base or plate takes, whichever is more."""
        if self.plate is None:
            return self.covers
        (length, width), (along, across) = self.covers, self.plate.size
        return max(length, along), max(width, across)

    def quarter_right(self) -> MountingSetting:
        """The mounting turned to the right by a quarter."""
        backing = self.backing
        if isinstance(backing, ThroughSteel):
            backing = replace(backing, through=_QUARTER_RIGHT[backing.through])
        if self.plate is not None:
            backing = Bearing(replace(self.plate, size=self.plate.size[::-1]))
        return replace(
            self,
            base=self.base[::-1],
            foot=self.foot[::-1],
            places=tuple((y, -x) for x, y in self.places),
            backing=backing,
            cut_out=None if self.cut_out is None else self.cut_out[::-1],
        )

    @property
    def opens(self) -> tuple[float, float] | None:
        """Length along the trailer and width across that the cut-out takes."""
        return None if self.cut_out is None else covered(self.cut_out, self.turned)

    def cuts(self, layer: LayerSetting) -> bool:
        """Whether the cut-out goes through a layer."""
        return self.cut_out is not None and (self.cut_layers is None or layer.number <= self.cut_layers)

    @property
    def bolts(self) -> Bolts:
        """The bolts.

        Raises
        ------
        TypeError
            The mounting is on screws.
        """
        if isinstance(self.fasteners, Bolts):
            return self.fasteners
        raise TypeError(f"mounting {self.name!r} has screws")

    @property
    def screws(self) -> Screws:
        """The screws.

        Raises
        ------
        TypeError
            The mounting is on bolts.
        """
        if isinstance(self.fasteners, Screws):
            return self.fasteners
        raise TypeError(f"mounting {self.name!r} has bolts")

    @property
    def seat(self) -> WasherSeat | PlateSeat | None:
        """What presses on the wood, or on a cross-member, under each nut."""
        if isinstance(self.backing, Bearing):
            return self.backing.seat
        return self.backing.washer if isinstance(self.backing, ThroughSteel) else None

    @property
    def plate(self) -> PlateSeat | None:
        """The plate under the deck, if that is the backing."""
        return self.seat if isinstance(self.seat, PlateSeat) else None

    @property
    def in_member(self) -> NDArray[np.bool_]:
        """Which fasteners go through a cross-member, (n,)."""
        if isinstance(self.backing, ThroughSteel):
            return self.backing.in_member(self.positions)
        return np.zeros(len(self.positions), dtype=bool)

    @property
    def all_in_member(self) -> bool:
        """Whether every fastener goes through a cross-member; a ring that is welded on has none."""
        return bool(len(self.positions)) and bool(self.in_member.all())

    @property
    def ring_is_rated(self) -> bool:
        """Whether anybody says what the ring holds."""
        return self.ring_rated is not None


class AnchorSetting(Struct, frozen=True, dict=True):
    """One anchor where it stands, with one mounting."""

    name: str
    at: Place2
    mounting: MountingSetting
    floor: FloorSetting
    strapped: tuple[Place2, ...]  # where the other strapped anchors stand
    base: str  # anchor whose base it stands on: its own, or another's
    base_at: Place2  # the middle of that base
    rings: tuple[Place2, ...]  # all rings that pull on that base, with this one

    @property
    def box(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """What its mounting lifts or presses, from and to along the trailer and across."""
        (x, y), (length, width) = self.base_at, self.mounting.lies_on
        return (x - length / 2, x + length / 2), (y - width / 2, y + width / 2)

    @cached_property
    def laid(self) -> AnchorSetting:
        """The anchor in the frame in which the members run across."""
        if not self.floor.lengthwise:
            return self
        place = self.floor.place_laid
        return replace(
            self,
            at=place(self.at),
            mounting=self.mounting.quarter_right(),
            floor=self.floor.laid,
            strapped=tuple(map(place, self.strapped)),
            base_at=place(self.base_at),
            rings=tuple(map(place, self.rings)),
        )

    @property
    def behind(self) -> float:
        """Distance to the member behind; on an overhang to the only neighbour."""
        return min([x for x in self._to_lines if x >= 0] or [-x for x in self._to_lines])

    @property
    def ahead(self) -> float:
        """Distance to the member ahead; on an overhang to the only neighbour."""
        return min([-x for x in self._to_lines if x < 0] or list(self._to_lines))

    @property
    def overhang(self) -> bool:
        """Whether it stands beyond the first or last member."""
        return not self.floor.lines[0] <= self.at[self.floor.axis] < self.floor.lines[-1]

    @property
    def ring_at(self) -> Place3:
        """Where the strap pulls."""
        return (*self.at, self.mounting.pull_height)

    @property
    def _to_lines(self) -> list[float]:
        return [self.at[self.floor.axis] - line for line in self.floor.lines]

    def with_mounting(self, mounting: MountingSetting) -> AnchorSetting:
        """The same place with another mounting."""
        return replace(self, mounting=mounting)


def near(anchor: AnchorSetting, other: AnchorSetting) -> bool:
    """Whether two anchors lift one piece of deck, or deck that hangs on the same screws.

    Farther apart than that neither raises the pull of a screw that is the other's by more than half a percent
    (tests/links/test_neighbours.py).
    """
    if anchor.base == other.base:
        return True
    anchor, other = anchor.laid, other.laid
    aside = None
    if anchor.floor.plank_width is not None:  # only planks that both touch carry anything over
        aside = anchor.floor.plank_width + (anchor.mounting.covers[1] + other.mounting.covers[1]) / 2
    return at_hand(anchor.floor, anchor.at, other.at, aside) and not _parted(anchor, other)


def at_hand(floor: FloorSetting, one: Place2, other: Place2, aside: float | None = None) -> bool:
    """Whether two places of a laid floor are so near, across by less than `aside`, or by what sheets carry over [m]."""
    along, across = abs(other[0] - one[0]), abs(other[1] - one[1])
    most = _SPANS_NEAR * floor.spacing if aside is None else aside
    return along < _BAYS_NEAR * floor.spacing and across < most


def _parted(anchor: AnchorSetting, other: AnchorSetting) -> bool:
    """Whether a joint of every layer, or an opening that either of them looks out on, lies between two anchors."""
    floor, boxes = anchor.floor, (anchor.box, other.box)
    layers = [layer for layer in floor.layers if layer.bears_load]
    for axis in (0, 1):
        low, high = sorted(box[axis] for box in boxes)
        if low[1] > high[0]:
            continue
        joints = [layer.joints_along if axis else layer.joints_across for layer in layers]
        if layers and all(any(low[1] <= joint <= high[0] for joint in each) for each in joints):
            return True
        for well in floor.wells:
            between, beside = (well.x, well.y)[axis], (well.y, well.x)[axis]
            looks_out = any(beside[0] < box[1 - axis][1] and beside[1] > box[1 - axis][0] for box in boxes)
            if between[0] < high[0] and between[1] > low[1] and looks_out:
                return True
    return False
