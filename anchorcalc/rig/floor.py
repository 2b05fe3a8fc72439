"""The floor in numbers: its layers, the members they lie on, what carries those, and the frame they are reckoned in."""

from __future__ import annotations

from functools import cached_property
from itertools import dropwhile, pairwise, product, takewhile
from typing import TYPE_CHECKING, Literal

from msgspec import Struct
from msgspec.structs import replace

from anchorcalc.mechanics.outline import Axis, Nose, half_width_at

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from anchorcalc.catalog.member_rows import Member
    from anchorcalc.catalog.rows import Condition, PanelKind, PanelSection, Screw, Steel, Timber

ScrewCondition = Literal["sound", "some missing", "rusted"]
Place2 = tuple[float, float]
Span = tuple[float, float]


class Fixing(Struct, frozen=True):
    """Screws that fasten a layer to those below it."""

    screw: Screw
    spacing: float


class LayerSetting(Struct, frozen=True):
    """One deck layer in numbers."""

    number: int  # from the top
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


class SawnTimber(Struct, frozen=True):
    """A cross-member of wood."""

    wood: Timber
    condition: Condition
    width: float  # of the face that the deck lies on
    depth: float
    shape: Literal["timber"] = "timber"

    @property
    def name(self) -> str:
        """Of what it is."""
        return self.wood.name

    @property
    def bears(self) -> float:
        """Allowable pressure across its grain [Pa]."""
        return self.wood.bearing_allowable * self.condition.bearing

    def modulus(self, hole: float = 0.0) -> float:
        """Section modulus, less an upright hole through it [m³]."""
        return max(self.width - hole, 0.0) * self.depth**2 / 6


class ZoneSetting(Struct, frozen=True):
    """A rectangle of the deck that is open or to be kept clear of."""

    name: str
    x: Span
    y: Span


class FloorSetting(Struct, frozen=True, dict=True):
    """The deck on its cross-members."""

    width: float
    width_front: float
    length: float
    layers: tuple[LayerSetting, ...]  # top first
    lines: tuple[float, ...]  # every cross-member's centreline: x, rear first; y, right first, of lengthwise ones
    even: bool  # whether all of them stand at one spacing
    spacing: float  # of the members; the widest where they do not stand evenly
    member: Member | SawnTimber
    steel: Steel | None  # of the members; None where they are of wood
    welded: Steel | None  # the same within an inch of a weld
    joint: tuple[float, float] | None  # leg and length of the weld of a member to a rail
    outriggers: Literal["through", "welded"] | None  # what lies beyond the rails, where somebody said it
    supports: tuple[tuple[float, ...], ...]  # of the members, rising: y of rails, x of beams; ways nobody measured
    hold_down: Screw
    hold_down_spacing: float
    hold_down_length: float | None  # of the screws, asked where the members are of wood
    hold_down_bite: float  # thread in a member of wood; nothing in steel, through which the screws come out
    hold_down_reach: float  # how deep they stand in it, less their point
    hold_down_first_at: float | None  # from the side edge; None where nobody gave it
    hold_down_condition: ScrewCondition | None  # None where nobody looked
    heads_on: int  # number of the layer that the screws' heads lie on, the top layer is 1
    plank_width: float | None
    screws_per_crossing: int
    wells: tuple[ZoneSetting, ...]
    no_go: tuple[ZoneSetting, ...]
    nose: Nose | None = None
    lengthwise: bool = False  # whether the members run along the trailer

    @property
    def timber(self) -> SawnTimber | None:
        """The members where they are of wood."""
        return self.member if isinstance(self.member, SawnTimber) else None

    @property
    def bearer(self) -> SawnTimber:
        """The members, asked only where they are of wood.

        Raises
        ------
        TypeError
            They are of steel.
        """
        if not isinstance(self.member, SawnTimber):
            raise TypeError("the cross-members are of steel")
        return self.member

    @property
    def section(self) -> Member:
        """The members' section where they are of steel.

        Raises
        ------
        TypeError
            They are of wood.
        """
        if isinstance(self.member, SawnTimber):
            raise TypeError("the cross-members are of wood")
        return self.member

    @property
    def member_steel(self) -> Steel:
        """What the members are of.

        Raises
        ------
        TypeError
            They are of wood.
        """
        if self.steel is None:
            raise TypeError("the cross-members are of wood")
        return self.steel

    @property
    def steel_at_welds(self) -> Steel:
        """What the members are of beside a weld.

        Raises
        ------
        TypeError
            They are of wood.
        """
        if self.welded is None:
            raise TypeError("the cross-members are of wood")
        return self.welded

    @property
    def screw_edge(self) -> str:
        """Factor by which a hold-down screw keeps from the edge of a member, in diameters."""
        return "screw_from_steel_edge" if self.timber is None else "screw_from_wood_edge"

    @property
    def axis(self) -> Axis:
        """The coordinate that counts across the members."""
        return 1 if self.lengthwise else 0

    @cached_property
    def laid(self) -> FloorSetting:
        """The floor in the frame in which its members run across: itself, or turned to the right by a quarter."""
        if not self.lengthwise:
            return self
        return replace(
            self,
            width=self.length,
            width_front=self.length,
            length=self.width,
            layers=tuple(
                replace(
                    layer,
                    strong_way=not layer.strong_way,
                    joints_across=tuple(y + self.width / 2 for y in layer.joints_along),
                    joints_along=tuple(self.length / 2 - x for x in layer.joints_across),
                )
                for layer in self.layers
            ),
            lines=tuple(y + self.width / 2 for y in self.lines),
            supports=tuple(tuple(self.length / 2 - x for x in reversed(way)) for way in self.supports),
            wells=tuple(map(self._zone_laid, self.wells)),
            no_go=tuple(map(self._zone_laid, self.no_go)),
            lengthwise=False,
        )

    def place_laid(self, place: Place2) -> Place2:
        """A place in the frame of `laid` [m]."""
        return (place[1] + self.width / 2, self.length / 2 - place[0]) if self.lengthwise else place

    def spans_told(self, x: Span, y: Span) -> tuple[Span, Span]:
        """From and to along and across in the frame of `laid` as they are on the trailer [m]."""
        if not self.lengthwise:
            return x, y
        return (self.length / 2 - y[1], self.length / 2 - y[0]), (x[0] - self.width / 2, x[1] - self.width / 2)

    def _zone_laid(self, zone: ZoneSetting) -> ZoneSetting:
        (x0, y0), (x1, y1) = (self.place_laid(corner) for corner in zip(zone.x, zone.y, strict=True))
        return ZoneSetting(zone.name, (x0, x1), (y1, y0))

    @property
    def folded(self) -> bool:
        """Whether the members are folded of thin sheet."""
        return self.timber is None and self.section.folded

    @property
    def sound_layers(self) -> tuple[LayerSetting, ...]:
        """The layers that may be counted, top first."""
        return tuple(layer for layer in self.layers if layer.bears_load)

    @property
    def sound_from_top(self) -> tuple[LayerSetting, ...]:
        """The layers that may be counted down to the first that may not, top first."""
        return tuple(takewhile(lambda layer: layer.bears_load, self.layers))

    @property
    def sound_from_below(self) -> tuple[LayerSetting, ...]:
        """The layers that may be counted from the lowest such up to the next that may not, top first."""
        below = dropwhile(lambda layer: not layer.bears_load, reversed(self.layers))
        return tuple(takewhile(lambda layer: layer.bears_load, below))[::-1]

    @property
    def of_planks(self) -> bool:
        """Whether nothing but planks counts, which no ply holds together across their grain."""
        return bool(self.sound_layers) and all(layer.section.planks for layer in self.sound_layers)

    @property
    def thickness(self) -> float:
        """All layers, sound or not."""
        return sum(layer.thickness for layer in self.layers)

    def bay_of(self, x: float) -> float:
        """Distance of the two members beside `x`, counted as they are; beyond them all that of the last bay [m]."""
        if self.even or len(self.lines) < 2:
            return self.spacing
        bays = list(pairwise(self.lines))
        rear, front = next((bay for bay in bays if x < bay[1]), bays[-1])
        return front - rear

    @property
    def supports_measured(self) -> tuple[float, ...]:
        """Where main rails or beams carry the members, if somebody measured it."""
        return self.supports[0] if len(self.supports) == 1 else ()

    def ways_laid(self, cut: int = 0) -> Iterator[FloorSetting]:
        """The floor with the layers of unknown grain laid along and across, every way that may differ in strength.

        One laid along over one laid across may hold less than both alike. Layers slide on each other, so of equal
        ones it does not matter which lies which way, but for those `cut` from the top that an opening goes through.
        """
        unknown = [layer for layer in self.layers if not layer.grain_known]
        seen = set()
        for ways in product((True, False), repeat=len(unknown)):
            laid = zip(unknown, ways, strict=True)
            alike = tuple(
                sorted((x.panel.name, x.thickness, x.condition.name, x.number <= cut, way) for x, way in laid)
            )
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
