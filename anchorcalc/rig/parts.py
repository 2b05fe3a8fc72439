"""The scenario in numbers: frozen, complete, worked out once by `rig.resolve`. SI throughout [N, m, N/m].

Links, statics, fitting, sizing and drawings read these parts and never the scenario's words. A variant, another
mounting or friction, is made with `dataclasses.replace` or the `with_…` methods and shares all that stays.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from itertools import pairwise, product
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from anchorcalc.mechanics.outline import Nose, covered, half_width_at
from anchorcalc.result.fitting import Assumed

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from anchorcalc.catalog.rows import BoltGrade, Condition, Member, PanelKind, PanelSection, Screw, Steel, Thread
    from anchorcalc.catalog.shop_rows import DrillHole

FloatArray = NDArray[np.float64]
Place2 = tuple[float, float]
Place3 = tuple[float, float, float]
Span = tuple[float, float]

_BAYS_NEAR, _SPANS_NEAR = 2.0, 3.0


# --- the floor ------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Fixing:
    """Screws that fasten a layer to those below it."""

    screw: Screw
    spacing: float


@dataclass(frozen=True)
class LayerSetting:
    """One deck layer in numbers."""

    panel: PanelKind
    section: PanelSection
    thickness: float
    strong_way: bool
    grain_known: bool
    condition: Condition
    joints_across: tuple[float, ...]
    joints_along: tuple[float, ...]
    joints_known: bool  # whether anybody said where its sheets meet
    fixed: Fixing | None  # what fastens it to the layers below

    @property
    def bears_load(self) -> bool:
        """Whether the condition of the wood lets it be counted at all."""
        return self.condition.carries

    @property
    def spanning(self) -> tuple[float, float, float]:
        """I, S and Ib/Q per width for bending between the cross-members [m³, m², m]."""
        row = self.section
        return (row.I_par, row.S_par, row.IbQ_par) if self.strong_way else (row.I_perp, row.S_perp, row.IbQ_perp)

    @property
    def stiffness_across_to_along(self) -> float:
        """Bending stiffness across the span over that along the span [-]."""
        along = self.spanning[0]
        across = self.section.I_perp if self.strong_way else self.section.I_par
        return across / along if along > 0 else 0.0


@dataclass(frozen=True)
class ZoneSetting:
    """A rectangle of the deck that is open or to be kept clear of."""

    name: str
    x: Span
    y: Span


@dataclass(frozen=True)
class FloorSetting:
    """The deck on its cross-members."""

    width: float
    width_front: float
    length: float
    layers: tuple[LayerSetting, ...]  # top first
    lines: tuple[float, ...]  # x of every cross-member's centreline, rear first
    even: bool  # whether all of them stand at one spacing
    spacing: float  # of the members; the widest where they do not stand evenly
    member: Member
    member_steel: Steel
    joint: tuple[float, float] | None  # leg and length of the weld of a member to a rail
    rails: tuple[float, ...]  # distance of the main rails; the least and the greatest where nobody measured it
    hold_down: Screw
    hold_down_spacing: float
    hold_down_first_at: float | None  # from the side edge; None where nobody gave it
    hold_down_condition: Literal["sound", "some missing", "rusted"]
    heads_on: int  # number of the layer that the screws' heads lie on, the top layer is 1
    plank_width: float | None
    screws_per_crossing: int
    wells: tuple[ZoneSetting, ...]
    no_go: tuple[ZoneSetting, ...]
    nose: Nose | None = None

    @property
    def sound_layers(self) -> tuple[LayerSetting, ...]:
        """The layers that may be counted, top first."""
        return tuple(layer for layer in self.layers if layer.bears_load)

    @property
    def thickness(self) -> float:
        """All layers, sound or not."""
        return sum(layer.thickness for layer in self.layers)

    def bay_of(self, x: float) -> float:
        """Distance of the two members beside `x`; beyond the first or last of them that of the last bay [m]."""
        if self.even or len(self.lines) < 2:
            return self.spacing
        bays = list(pairwise(self.lines))
        rear, front = next((bay for bay in bays if x < bay[1]), bays[-1])
        return front - rear

    @property
    def rails_measured(self) -> float | None:
        """Distance of the main rails if somebody measured it."""
        return self.rails[0] if len(self.rails) == 1 else None

    def ways_laid(self) -> Iterator[FloorSetting]:
        """The floor with the layers of unknown grain laid along and across, every way that may differ in strength.

        One laid along over one laid across may hold less than both alike. Layers slide on each other, so of equal
        ones it does not matter which lies which way.
        """
        unknown = [layer for layer in self.layers if not layer.grain_known]
        seen = set()
        for ways in product((True, False), repeat=len(unknown)):
            laid = zip(unknown, ways, strict=True)
            alike = tuple(sorted((layer.panel.name, layer.thickness, layer.condition.name, way) for layer, way in laid))
            if alike not in seen:
                seen.add(alike)
                yield self._laid(ways)

    def _laid(self, ways: Sequence[bool]) -> FloorSetting:
        left = iter(ways)
        layers = tuple(
            layer if layer.grain_known else replace(layer, strong_way=next(left), grain_known=True)
            for layer in self.layers
        )
        return replace(self, layers=layers)

    def half_width_at(self, x: float) -> float:
        """From the centreline to the side edge at `x`; the deck may be wider at one end."""
        return half_width_at(x, self.length, self.width, self.width_front, self.nose)


# --- mountings ------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Bolts:
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


@dataclass(frozen=True)
class Screws:
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


@dataclass(frozen=True)
class Weld:
    """What holds a ring to the frame: the leg of its fillet and how much of it there is, where anybody said so."""

    leg: float | None
    run: float | None
    size: str = "weld"
    D: float = 0.0


@dataclass(frozen=True)
class WasherSeat:
    """A washer under each nut."""

    outside: float
    thickness: float
    steel: Steel


@dataclass(frozen=True)
class PlateSeat:
    """One plate under all nuts: length along, width across."""

    size: tuple[float, float]
    thickness: float
    steel: Steel


@dataclass(frozen=True)
class Bare:
    """Screws in the deck alone."""

    kind: Literal["none"] = "none"


@dataclass(frozen=True)
class Bearing:
    """Nuts that bear on the wood through washers or a plate."""

    seat: WasherSeat | PlateSeat

    @property
    def kind(self) -> Literal["washers", "plate"]:
        """The scenario's word for it."""
        return "plate" if isinstance(self.seat, PlateSeat) else "washers"


@dataclass(frozen=True)
class Bars:
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


@dataclass(frozen=True)
class ThroughSteel:
    """Bolts through a cross-member, all or one row of them; the others bear on wood through their washers."""

    through: Literal["front", "rear", "all"]
    walls: int
    washer: WasherSeat | None
    kind: Literal["member"] = "member"

    def in_member(self, positions: FloatArray) -> NDArray[np.bool_]:
        """Which bolts go through the member, (n,)."""
        x = positions[:, 0]
        if self.through == "front":
            return np.asarray(x >= x.max() - 1e-6)
        if self.through == "rear":
            return np.asarray(x <= x.min() + 1e-6)
        return np.ones(len(x), dtype=bool)


@dataclass(frozen=True)
class Frame:
    """The frame itself: the ring is welded to it, and no deck lies in its path."""

    kind: Literal["frame"] = "frame"


Backing = Bare | Bearing | Bars | ThroughSteel | Frame


@dataclass(frozen=True)
class MountingSetting:
    """One way to fasten one anchor, in numbers and rows."""

    name: str
    ring_rated: float | None
    ring_breaking: float | None
    base: tuple[float, float]
    base_thickness: float
    base_steel: Steel
    foot: tuple[float, float]  # where the ring stands on its base
    pull_height: float
    ring_flat: float | None  # working load limit along the deck, by the maker
    fasteners: Bolts | Screws | Weld
    positions: FloatArray = field(compare=False)  # (n, 2) about the middle of the base, as it lies on the trailer
    backing: Backing
    cut_out: tuple[float, float] | None  # length and width, as the base's own
    cut_out_corner: float = 0.0  # radius of its corners; half its width where it is round
    turned: float = 0.0  # how far base, foot and cut-out are turned to the left [rad]
    assumed: tuple[Assumed, ...] = ()

    @property
    def covers(self) -> tuple[float, float]:
        """Length along the trailer and width across that the base takes."""
        return covered(self.base, self.turned)

    @property
    def opens(self) -> tuple[float, float] | None:
        """Length along the trailer and width across that the cut-out takes."""
        return None if self.cut_out is None else covered(self.cut_out, self.turned)

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
    def ring_is_rated(self) -> bool:
        """Whether anybody says what the ring holds."""
        return self.ring_rated is not None


@dataclass(frozen=True)
class AnchorSetting:
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
        return not self.floor.lines[0] <= self.at[0] < self.floor.lines[-1]

    @property
    def ring_at(self) -> Place3:
        """Where the strap pulls."""
        return (*self.at, self.mounting.pull_height)

    @property
    def _to_lines(self) -> list[float]:
        return [self.at[0] - line for line in self.floor.lines]

    def with_mounting(self, mounting: MountingSetting) -> AnchorSetting:
        """The same place with another mounting."""
        return replace(self, mounting=mounting)


def near(anchor: AnchorSetting, other: AnchorSetting) -> bool:
    """Whether two anchors lift one piece of deck, or deck that hangs on the same screws [judgement]."""
    if anchor.base == other.base:
        return True
    spacing = anchor.floor.spacing
    along, across = abs(other.at[0] - anchor.at[0]), abs(other.at[1] - anchor.at[1])
    if anchor.floor.plank_width is not None:  # only planks that both touch carry anything over
        aside = anchor.floor.plank_width + (anchor.mounting.covers[1] + other.mounting.covers[1]) / 2
    else:
        aside = _SPANS_NEAR * spacing
    return along < _BAYS_NEAR * spacing and across < aside
