"""From the user's words to numbers: each anchor with all that its links need, rows of the tables looked up.

What nobody gave and decides safety is taken on the safe side and written into the ledger of assumptions.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from anchorcalc.result import Assumed
from anchorcalc.scenario.model import (
    Anchor,
    Backing,
    Deck,
    Fasteners,
    Mounting,
    Plate,
    Scenario,
    Strap,
    WasherSize,
    Zone,
)
from anchorcalc.units import SI, US, UnitSystem, format_quantity
from anchorcalc.verdict.demand import StrappedLoad

if TYPE_CHECKING:
    from anchorcalc.catalog.rows import BoltGrade, Condition, Member, PanelKind, PanelSection, Screw, Steel, Thread
    from anchorcalc.catalog.rules import RuleSet
    from anchorcalc.catalog.tables import Catalog

FloatArray = NDArray[np.float64]

_RAILS_AT_LEAST = 0.5
"""Least distance of the main rails over the deck's width; common practice, no source."""
_STRIP = 1.25
"""Width of the strip that one anchor bends over the spacing of the members, with a large base [computed]."""
_ONLY_MARKED = "unmarked; these rules count only what is marked"


@dataclass
class Ledger:
    """Assumptions in the order they were first made, each once, in the user's units."""

    units: UnitSystem
    entries: dict[str, Assumed] = field(default_factory=dict)

    def assume(self, what: str, value: str, why: str) -> None:
        """Write down that `what` was taken as `value`."""
        self.entries.setdefault(what, Assumed(what, value, why))

    def length(self, what: str, metres: float, why: str) -> float:
        """Assume a length [m] and give it back."""
        self.assume(what, format_quantity(metres, self.units.length, "length"), why)
        return metres

    def force(self, what: str, newtons: float, why: str) -> float:
        """Assume a force [N] and give it back."""
        self.assume(what, format_quantity(newtons, self.units.force, "force"), why)
        return newtons


@dataclass(frozen=True)
class LayerSetting:
    """One deck layer in numbers; `bears_load` is false when its condition lets it carry nothing."""

    panel: PanelKind
    section: PanelSection
    thickness: float
    strong_way: bool
    grain_known: bool
    condition: Condition
    joints_across: tuple[float, ...]
    joints_along: tuple[float, ...]

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
class MemberPlaces:
    """Where an anchor stands between the cross-members [m]."""

    behind: float  # distance to the member behind
    ahead: float
    overhang: bool  # beyond the first or last member: `behind` is then the distance to the only neighbour
    spacing: float
    centrelines: tuple[float, ...]
    face_width: float
    rails: tuple[float, ...]  # distance of the main rails; the least and the greatest taken where nobody measured it
    strapped: tuple[tuple[float, float], ...]  # the other strapped anchors
    sharing: int  # strapped anchors that lift the same strip of deck, itself among them


@dataclass(frozen=True)
class AnchorSetting:
    """One anchor with one mounting, in numbers and rows."""

    name: str
    mounting: str
    at: tuple[float, float]
    side_room: float  # to the nearer side edge of the deck [m]
    wells: tuple[tuple[tuple[float, float], tuple[float, float]], ...]  # openings of the deck: from and to, in x and y
    ring_rated: float | None
    ring_breaking: float | None
    base: tuple[float, float]
    base_thickness: float
    pull_height: float
    fastener_kind: Literal["bolt", "wood screw", "lag screw"]
    fastener_size: str
    fastener_length: float | None
    reused_holes: bool
    positions: FloatArray  # (n, 2) about the middle of the base [m]
    screw: Screw | None
    thread: Thread | None
    grade: BoltGrade | None
    backing: Backing
    backing_steel: Steel | None
    seat: WasherSize | Plate | None  # what presses on the wood under the nuts
    seat_steel: Steel | None
    walls: int
    cut_out: tuple[float, float] | None
    layers: tuple[LayerSetting, ...]
    places: MemberPlaces
    member: Member
    member_steel: Steel
    hold_down: Screw
    hold_down_spacing: float

    @property
    def sound_layers(self) -> tuple[LayerSetting, ...]:
        """The layers that may be counted, top first."""
        return tuple(layer for layer in self.layers if layer.bears_load)

    @property
    def deck_thickness(self) -> float:
        """All layers, sound or not [m]."""
        return sum(layer.thickness for layer in self.layers)


@dataclass(frozen=True)
class StrapSetting:
    """One strap in numbers; limits are infinite where nobody rated the part."""

    name: str
    anchor: str
    tie_point: str
    rated: float
    breaking: float
    tie_point_rated: float
    tie_point_breaking: float
    stiffness: float
    hand_tension: float
    counted_share: float


def anchor_settings(scenario: Scenario, catalog: Catalog, ledger: Ledger) -> dict[str, AnchorSetting]:
    """Every anchor of `scenario` with its own mounting."""
    return {
        name: anchor_setting(scenario, catalog, ledger, name, anchor, anchor.mounting)
        for name, anchor in scenario.anchors.items()
    }


def anchor_setting(
    scenario: Scenario, catalog: Catalog, ledger: Ledger, name: str, anchor: Anchor, mounting_name: str
) -> AnchorSetting:
    """`anchor` fastened as `mounting_name` says."""
    mounting = scenario.mountings[mounting_name]
    fasteners, backing, deck = mounting.fasteners, mounting.backing, scenario.deck
    rules = catalog.rule_set(scenario.rules)
    is_bolt = fasteners.kind == "bolt"
    steel_name = getattr(backing, "steel", None)
    seat = backing if isinstance(backing, Plate) else mounting.washer
    return AnchorSetting(
        name=name,
        mounting=mounting_name,
        at=anchor.at,
        side_room=max(deck.half_width_at(anchor.at[0]) - abs(anchor.at[1]), 0.0),
        wells=tuple(_sides(well) for well in deck.wheel_wells),
        ring_rated=_rated(mounting.ring.rated, mounting.ring.breaking, rules.breaking_over_rated["hardware"]),
        ring_breaking=mounting.ring.breaking,
        base=mounting.ring.base,
        base_thickness=_base_thickness(mounting, mounting_name, catalog, ledger),
        pull_height=mounting.ring.pull_height,
        fastener_kind=fasteners.kind,
        fastener_size=fasteners.size,
        fastener_length=fasteners.length,
        reused_holes=_reused_holes(fasteners, mounting_name, ledger),
        positions=np.array(fasteners.at.positions, dtype=float),
        screw=None if is_bolt else catalog.screw(fasteners.kind, fasteners.size),
        thread=catalog.thread(fasteners.size) if is_bolt else None,
        grade=_grade(fasteners, mounting_name, catalog, ledger) if is_bolt else None,
        backing=backing,
        backing_steel=catalog.steel(steel_name) if steel_name else None,
        seat=seat,
        seat_steel=catalog.steel(seat.steel) if seat else None,
        walls=_walls(backing, mounting_name, catalog.member(deck.cross_members.section), ledger),
        cut_out=mounting.cut_out,
        layers=deck_layers(scenario, catalog, ledger),
        places=_places(scenario, catalog, ledger, anchor),
        member=catalog.member(deck.cross_members.section),
        member_steel=catalog.steel(deck.cross_members.steel),
        hold_down=catalog.screw_named(deck.hold_down.screw),
        hold_down_spacing=deck.hold_down.spacing,
    )


def deck_layers(scenario: Scenario, catalog: Catalog, ledger: Ledger) -> tuple[LayerSetting, ...]:
    """The deck's layers, top first."""
    if scenario.deck.layers_joined == "glued":
        why = "nobody can look at the glue line; layers loose on each other hold less, and that is counted"
        ledger.assume("glue between the layers", "not counted", why)
    layers = []
    for number, layer in enumerate(scenario.deck.layers, start=1):
        if layer.face_grain is None:
            ledger.assume(
                f"face grain of layer {number}",
                "the worse of both ways",
                "not given; weak between the cross-members, and limp along them",
            )
        panel = catalog.panel(layer.panel)
        section = panel.section(layer.thickness)
        in_sheets = section.I_perp > 0  # planks have a joint at every edge, known as such
        if in_sheets and not layer.joints_across and not layer.joints_along:
            ledger.assume(f"sheet joints of layer {number}", "none near a ring", "none given; look from below")
        layers.append(
            LayerSetting(
                panel=panel,
                section=section,
                thickness=layer.thickness,
                strong_way=layer.face_grain == "along",
                grain_known=layer.face_grain is not None,
                condition=catalog.condition(layer.condition),
                joints_across=layer.joints_across,
                joints_along=layer.joints_along,
            )
        )
    return tuple(layers)


def member_centrelines(scenario: Scenario) -> tuple[float, ...]:
    """X of every cross-member under the deck [m], rear first."""
    members, length = scenario.deck.cross_members, scenario.deck.length
    count = int(np.floor((length - members.first_at) / members.spacing + 1e-9)) + 1
    return tuple(members.first_at + number * members.spacing for number in range(max(count, 0)))


def _places(scenario: Scenario, catalog: Catalog, ledger: Ledger, anchor: Anchor) -> MemberPlaces:
    deck = scenario.deck
    lines = member_centrelines(scenario)
    x = anchor.at[0]
    behind = [x - line for line in lines if line <= x]
    ahead = [line - x for line in lines if line > x]
    strapped = _strapped_elsewhere(scenario, anchor)
    spacing = deck.cross_members.spacing
    return MemberPlaces(
        behind=min(behind or ahead),
        ahead=min(ahead or behind),
        overhang=not (behind and ahead),
        spacing=spacing,
        centrelines=lines,
        face_width=catalog.member(deck.cross_members.section).width,
        rails=_rails(deck, ledger),
        strapped=strapped,
        sharing=1 + sum(in_strip(anchor.at, at, spacing) for at in strapped),
    )


def in_strip(at: tuple[float, float], other: tuple[float, float], spacing: float) -> bool:
    """Whether two anchors lift the same strip of deck: within a bay along, a little more than that across."""
    return abs(other[0] - at[0]) < spacing and abs(other[1] - at[1]) < _STRIP * spacing


def _rails(deck: Deck, ledger: Ledger) -> tuple[float, ...]:
    """Distance of the main rails [m]; two that bracket it where it was not measured.

    Wide apart the members bend more between them, close together more beyond them.
    """
    if deck.cross_members.rails is not None:
        return (deck.cross_members.rails,)
    least, most = deck.width * _RAILS_AT_LEAST, deck.width
    shown = " to ".join(format_quantity(each, ledger.units.length, "length") for each in (least, most))
    ledger.assume("distance between the main rails", shown, "not given; whichever is worse for each ring")
    return least, most


def _strapped_elsewhere(scenario: Scenario, anchor: Anchor) -> tuple[tuple[float, float], ...]:
    """Places of the strapped anchors but `anchor` [m]."""
    strapped = {strap.anchor for strap in scenario.straps.values()}
    return tuple(other.at for name, other in scenario.anchors.items() if name in strapped and other is not anchor)


def _sides(zone: Zone) -> tuple[tuple[float, float], tuple[float, float]]:
    """Where a rectangle begins and ends, in x and in y [m]."""
    (x, y), (u, v) = zone.corner, zone.opposite
    return (min(x, u), max(x, u)), (min(y, v), max(y, v))


def _base_thickness(mounting: Mounting, name: str, catalog: Catalog, ledger: Ledger) -> float:
    given = mounting.ring.base_thickness
    if given is not None:
        return given
    least = catalog.factor("ring_base_thickness")
    return ledger.length(f"thickness of the ring's base, {name}", least, "not given; thin pressed bases are about this")


def _reused_holes(fasteners: Fasteners, name: str, ledger: Ledger) -> bool:
    if fasteners.kind != "bolt" and fasteners.holes is None:
        ledger.assume(
            f"screw holes, {name}",
            "re-driven",
            "not given; screws driven again into old holes hold nothing that can be counted",
        )
    return fasteners.kind != "bolt" and fasteners.holes != "new"


def _grade(fasteners: Fasteners, name: str, catalog: Catalog, ledger: Ledger) -> BoltGrade:
    thread = catalog.thread(fasteners.size)
    grade = fasteners.grade
    if grade is None:
        grade = "ISO 4.6" if thread.series == "metric" else "A307 A"
        ledger.assume(f"bolt grade, {name}", grade, "not given; the weakest in common sale")
    return catalog.bolt_grade(grade)


def _walls(backing: Backing, name: str, member: Member, ledger: Ledger) -> int:
    if backing.kind != "member" or member.shape != "tube":
        return 1
    if backing.walls is None:
        ledger.assume(
            f"walls of the tube the bolts hold by, {name}", "one", "not given; sideways one holds less than two"
        )
    return 2 if backing.walls == "both" else 1


def _rated(rated: float | None, breaking: float | None, multiple: float) -> float | None:
    """Working limit of a part [N]: as rated, but never above its breaking strength / `multiple` where that is given."""
    if breaking is None:
        return rated
    return breaking / multiple if rated is None else min(rated, breaking / multiple)


def strap_settings(
    scenario: Scenario, catalog: Catalog, rules: RuleSet, ledger: Ledger, unrated: list[str]
) -> dict[str, StrapSetting]:
    """Every strap in numbers; names of parts nobody rated are added to `unrated`."""
    return {
        name: _strap_setting(name, strap, scenario, catalog, rules, ledger, unrated)
        for name, strap in scenario.straps.items()
    }


def _strap_setting(
    name: str, strap: Strap, scenario: Scenario, catalog: Catalog, rules: RuleSet, ledger: Ledger, unrated: list[str]
) -> StrapSetting:
    row = catalog.strap(strap.kind, _strap_size(strap), strap.grade)
    multiple = rules.breaking_over_rated[strap.kind]
    rated = _rated(strap.rated, strap.breaking, multiple) or 0.0
    if not rated:
        table, *_ = row.source.split(";")  # what follows tells of its stretch
        taken, why = (row.rated, f"unmarked; {table}") if rules.unmarked_counts else (0.0, _ONLY_MARKED)
        rated = ledger.force(f"rating of strap {name}", taken, why)
        unrated.append(f"strap {name}")
    hand_tension = strap.hand_tension
    if hand_tension is None:
        hand_tension = ledger.force(
            f"hand tension of strap {name}", row.hand_tension, "not given; the high end for its kind"
        )
    if strap.route is None:
        ledger.assume(
            f"route of strap {name}", "direct", "not given; a direct tie-down counts half in the sum of ratings"
        )
    tie_rated, tie_breaking = _tie_point_limits(strap.to, scenario, rules, unrated)
    share = rules.rule_of_thumb.over_counts if strap.route == "over" else rules.rule_of_thumb.direct_counts
    return StrapSetting(
        name=name,
        anchor=strap.anchor,
        tie_point=strap.to,
        rated=rated,
        breaking=strap.breaking if strap.breaking is not None else rated * multiple,
        tie_point_rated=tie_rated,
        tie_point_breaking=tie_breaking,
        stiffness=(rated or row.rated) / (row.stretch * _strap_length(strap, scenario)),
        hand_tension=hand_tension,
        counted_share=share,
    )


def _strap_size(strap: Strap) -> float:
    """Width of webbing, nominal size of chain and ropes [m]; the reader has seen to it that it is there."""
    size = strap.width if strap.kind == "webbing" else strap.size
    assert size is not None  # noqa: S101
    return size


def _tie_point_limits(name: str, scenario: Scenario, rules: RuleSet, unrated: list[str]) -> tuple[float, float]:
    point = scenario.load.tie_points[name]
    multiple = rules.breaking_over_rated["hardware"]
    if point.rated is None and point.breaking is None:
        if f"tie point {name}" not in unrated:
            unrated.append(f"tie point {name}")
        return float("inf"), float("inf")
    rated = _rated(point.rated, point.breaking, multiple) or 0.0
    return rated, point.breaking if point.breaking is not None else rated * multiple


def ring_place(scenario: Scenario, anchor: Anchor) -> FloatArray:
    """Where the strap pulls at the ring [m], (3,)."""
    return np.array([*anchor.at, scenario.mountings[anchor.mounting].ring.pull_height])


def _strap_length(strap: Strap, scenario: Scenario) -> float:
    ring = ring_place(scenario, scenario.anchors[strap.anchor])
    return float(np.linalg.norm(np.array(scenario.load.tie_points[strap.to].at) - ring))


def strapped_load(
    scenario: Scenario, straps: dict[str, StrapSetting], catalog: Catalog, ledger: Ledger
) -> StrappedLoad:
    """The load on its straps, in the order of `straps`."""
    load = scenario.load
    steadying = load.steadying_friction
    if steadying is None:
        steadying = catalog.factor("steadying_friction")
        ledger.assume(
            "steadying friction under the wheels",
            f"{steadying:g}",
            "across the case's direction only; dry tyres on wood hold more",
        )
    return StrappedLoad(
        weight=load.weight,
        centre=np.array(load.centre_of_gravity),
        wheels=np.array([[x, y, 0.0] for x, y in load.wheels.values()]),
        friction=load.friction,
        steadying_friction=steadying,
        tie_points=np.array([load.tie_points[strap.tie_point].at for strap in straps.values()]),
        rings=np.array([ring_place(scenario, scenario.anchors[strap.anchor]) for strap in straps.values()]),
        stiffness=np.array([strap.stiffness for strap in straps.values()]),
        hand_tension=np.array([strap.hand_tension for strap in straps.values()]),
    )


def unit_system(scenario: Scenario) -> UnitSystem:
    """Units the user wants to read."""
    return US if scenario.units == "us" else SI
