"""From the user's words and table rows to numbers, once: `resolve`.

What nobody gave and decides safety is taken on the safe side and written down as assumed.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from typing import TYPE_CHECKING, Final, Literal

from anchorcalc.mechanics import screws
from anchorcalc.rig.floor import Fixing, FloorSetting, LayerSetting, SawnTimber, ScrewCondition, ZoneSetting
from anchorcalc.rig.ledger import Ledger, Lookup
from anchorcalc.rig.mounting import mounting_setting
from anchorcalc.rig.parts import AnchorSetting, MountingSetting, Place3
from anchorcalc.rig.rig import Basis, LoadSetting, Rig, Shelf, StopSetting, TiePointSetting, TrailerSetting
from anchorcalc.rig.straps import based, strap_settings
from anchorcalc.scenario.plausible import plausibility_warnings
from anchorcalc.scenario.tyres import through_tyres
from anchorcalc.units import format_quantity, unit_system

if TYPE_CHECKING:
    from anchorcalc.catalog.member_rows import Member
    from anchorcalc.catalog.rules import RatedKind, RuleSet
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.scenario.model import CrossMembers, Deck, Layer, Load, Scenario, Stop, Strap, TiePoint, Zone
    from anchorcalc.scenario.mountings import Ring

_RAILS_AT_LEAST = 0.5
"""Least distance of the main rails over the deck's width; common practice, no source."""
_PUSHES: Final[dict[str, Place3]] = {
    "forward": (1.0, 0.0, 0.0),
    "rearward": (-1.0, 0.0, 0.0),
    "left": (0.0, 1.0, 0.0),
    "right": (0.0, -1.0, 0.0),
}


def resolve(scenario: Scenario, catalog: Catalog) -> Rig:
    """`scenario` in numbers and rows, with all that was assumed for it."""
    rows, ledger = Lookup(catalog), Ledger(unit_system(scenario.units))
    rules, advice = rows.noted(catalog.rule_set(scenario.rules)).parted(friction=_relies_on_friction(scenario))
    mountings = {name: mounting_setting(name, scenario, rows, rules, ledger.units) for name in scenario.mountings}
    straps = strap_settings(scenario, mountings, rows, rules, ledger)
    load = _load(scenario, straps.points, catalog, ledger)
    deck = _floor(scenario.deck, rows, ledger)
    _assume_breaking(scenario, rules, ledger)
    _assume_of_the_whole(scenario, ledger)
    return Rig(
        title=scenario.title,
        units=scenario.units,
        basis=Basis(rules, shelf(catalog)),
        load=load,
        straps=straps.straps,
        floor=deck,
        mountings=mountings,
        anchors=_anchors(scenario, mountings, deck),
        trailer=_trailer(scenario),
        unrated_parts=straps.unrated,
        assumed_parts=tuple(ledger.entries.values()),
        odd=plausibility_warnings(scenario, catalog),
        through_tyres=through_tyres(scenario),
        advice=advice,
        own_rows=tuple(f"{name} ({file})" for name, file in rows.own.items()),
    )


def _relies_on_friction(scenario: Scenario) -> bool:
    grip = scenario.load.grip
    return scenario.load.friction > 0 or (grip is not None and max(grip.sideways, grip.lengthways) > 0)


def shelf(catalog: Catalog) -> Shelf:
    """The rows that checks and fitting need besides those of the rig's own parts."""
    return Shelf(catalog.factors, catalog.fitting_factors, catalog.bolt_lengths, catalog.washers, catalog.steels)


def _assume_breaking(scenario: Scenario, rules: RuleSet, ledger: Ledger) -> None:
    """How much more than it is rated for a part is taken to bear before it breaks, where only its rating is given."""
    used = {anchor.mounting for anchor in scenario.anchors.values()}
    rings = [mounting.ring for name, mounting in scenario.mountings.items() if name in used]
    hardware: list[Ring | TiePoint] = [*rings, *scenario.load.tie_points.values()]
    parts: list[tuple[RatedKind, Ring | TiePoint | Strap]] = [("hardware", each) for each in hardware]
    parts += [(strap.kind, strap) for strap in scenario.straps.values()]
    kinds = dict.fromkeys(kind for kind, part in parts if part.rated is not None and part.breaking is None)
    if kinds:
        told = ", ".join(f"{kind} {rules.breaking_over_rated[kind]:g}" for kind in kinds)
        why = "not given; as the rule set relates them"
        ledger.assume("breaking strength over rating of what has a rating alone", f"{told} times", why)


def _assume_of_the_whole(scenario: Scenario, ledger: Ledger) -> None:
    if scenario.trailer is not None and len(scenario.deck.layers) > 1:
        ledger.assume("layers above the lowest", "not in the trailer's empty weight", "not said; counted as added")
    for what, taken in scenario.assumed.items():
        ledger.assume(what, taken, "not known when the file was written; put right what you have measured")


# --- the floor ------------------------------------------------------------------------------------------------


def _floor(deck: Deck, rows: Lookup, ledger: Ledger) -> FloorSetting:
    if deck.layers_joined == "glued":
        why = "nobody can look at the glue line; layers loose on each other hold less, and that is counted"
        ledger.assume("glue between the layers", "not counted", why)
    members, catalog = deck.cross_members, rows.catalog
    bite, reach = _into_wood(deck, catalog)
    steel = None if members.steel is None else rows.noted(catalog.steel(members.steel))
    return FloorSetting(
        width=deck.width,
        width_front=deck.width if deck.width_front is None else deck.width_front,
        length=deck.length,
        layers=tuple(_layer(number, layer, deck, rows, ledger) for number, layer in enumerate(deck.layers, start=1)),
        lines=deck.member_lines,
        even=not (members.also_at or members.without),
        spacing=_widest_bay(deck),
        member=_member(members, rows, ledger),
        steel=steel,
        welded=steel if steel is None or steel.welded is None else rows.noted(catalog.steel(steel.welded)),
        joint=None if members.joint is None else (members.joint.weld, members.joint.length),
        outriggers=_outriggers(deck, ledger),
        supports=_supports(deck, ledger),
        hold_down=rows.noted(catalog.screw_named(deck.hold_down.screw)),
        hold_down_spacing=deck.hold_down.spacing,
        hold_down_length=deck.hold_down.length,
        hold_down_bite=bite,
        hold_down_reach=reach,
        hold_down_first_at=_first_at(deck, ledger),
        hold_down_condition=_hold_down_condition(deck, ledger),
        heads_on=_heads_on(deck, ledger),
        plank_width=_plank_width(deck, ledger, catalog),
        screws_per_crossing=_screws_per_crossing(deck, ledger, catalog),
        wells=tuple(_zone(zone) for zone in deck.wheel_wells),
        no_go=tuple(_zone(zone) for zone in deck.no_go),
        nose=None if deck.nose is None else (deck.nose.length, deck.nose.width),
        lengthwise=members.run == "lengthwise",
    )


def _member(members: CrossMembers, rows: Lookup, ledger: Ledger) -> Member | SawnTimber:
    if members.timber is None:
        section = rows.noted(rows.catalog.member(members.section or ""))
        if section.shape == "hat" and members.deck_on is None:
            ledger.assume("face of the hats that the deck lies on", "crown", "not given; on brims nothing is reckoned")
        if section.shape == "z":
            why = "the deck holds one flange alone: it keeps it from rolling, the other gives way sideways"
            ledger.assume("Z cross-members", "held sideways by nothing between the rails", why)
        return section
    given, catalog = members.timber, rows.catalog
    wood, condition = rows.noted(catalog.wood(given.wood)), rows.noted(catalog.condition(given.condition))
    return SawnTimber(wood, condition, given.breadth, given.depth)


def _into_wood(deck: Deck, catalog: Catalog) -> tuple[float, float]:
    """Thread of a hold-down screw in a member of wood, and how deep it stands there less its point [m].

    Where nobody says which layer the heads lie on they lie on the top one here, though they hold by the lowest alone.
    """
    timber, length = deck.cross_members.timber, deck.hold_down.length
    if timber is None or length is None:
        return 0.0, 0.0
    screw, first = catalog.screw_named(deck.hold_down.screw), (deck.hold_down.heads_on or 1) - 1
    tip = length - sum(layer.thickness for layer in deck.layers[first:])
    thread = screws.bite(tip, tip - screw.thread_length(length), screw.D, [0.0], [timber.depth])
    return float(thread[0]), max(min(tip - screw.D, timber.depth), 0.0)


def _widest_bay(deck: Deck) -> float:
    """Spacing of the members; where some stand off the even spacing the widest bay there is [m]."""
    members = deck.cross_members
    if not (members.also_at or members.without):
        return members.spacing
    return max((b - a for a, b in pairwise(deck.member_lines)), default=members.spacing)


def _layer(number: int, layer: Layer, deck: Deck, rows: Lookup, ledger: Ledger) -> LayerSetting:
    if layer.face_grain is None:
        why = "not given; weak between the cross-members, and limp along them"
        ledger.assume(f"face grain of layer {number}", "the worse of both ways", why)
    panel = rows.noted(rows.catalog.panel(layer.panel))
    section = panel.section(layer.thickness)
    unknown = layer.sheets is None and not layer.joints_across and not layer.joints_along
    if unknown and not section.planks:
        ledger.assume(f"sheet joints of layer {number}", "none near a ring", "none given; look from below")
    elif unknown:  # at their edges planks have joints that are known
        ledger.assume(f"butt joints of the planks of layer {number}", "none near a ring", "none given; look along them")
    return LayerSetting(
        number=number,
        panel=panel,
        section=section,
        thickness=layer.thickness,
        strong_way=layer.face_grain == "along",
        grain_known=layer.face_grain is not None,
        condition=rows.noted(rows.catalog.condition(layer.condition)),
        joints_across=layer.across(deck.length),
        joints_along=layer.joints_along,
        joints_known=not unknown,
        fixed=_fixed(number, layer, rows, ledger),
    )


def _fixed(number: int, layer: Layer, rows: Lookup, ledger: Ledger) -> Fixing | None:
    if layer.fixed is None:
        return None
    ledger.assume(f"length of the screws of layer {number}", "through the layer below", "nobody says; measure one")
    return Fixing(rows.noted(rows.catalog.screw_named(layer.fixed.screw)), layer.fixed.spacing)


def _first_at(deck: Deck, ledger: Ledger) -> float | None:
    if deck.hold_down.first_at is None:
        edge = deck.rows_begin_at
        why = f"not given; the worst of a whole spacing from the {edge}, beside a ring, and half-way between two"
        ledger.assume(f"first hold-down screw from the {edge}", "the worst place", why)
    return deck.hold_down.first_at


def _hold_down_condition(deck: Deck, ledger: Ledger) -> ScrewCondition | None:
    condition = deck.hold_down.condition
    if condition is None:
        ledger.assume(
            "condition of the hold-down screws", "none missing, none rusted", "not given; look at each by a ring"
        )
    return condition


def _heads_on(deck: Deck, ledger: Ledger) -> int:
    """Layer that the heads of the deck's screws lie on; the lowest where nobody says so."""
    if deck.hold_down.heads_on is not None:
        return deck.hold_down.heads_on
    if len(deck.layers) > 1:
        why = "not given; an overlay laid later covers the heads, and they hold by the layers below them alone"
        ledger.assume("layer that the hold-down screws' heads lie on", f"layer {len(deck.layers)}, the lowest", why)
    return len(deck.layers)


def _planks(deck: Deck, catalog: Catalog) -> list[Layer]:
    return [layer for layer in deck.layers if catalog.panel(layer.panel).section(layer.thickness).planks]


def _plank_width(deck: Deck, ledger: Ledger, catalog: Catalog) -> float | None:
    """Width of the planks, None where there are none."""
    planks = _planks(deck, catalog)
    if not planks:
        return None
    given = [layer.plank_width for layer in planks if layer.plank_width is not None]
    if given:
        return min(given)
    return ledger.length("width of a plank", catalog.factor("plank_width"), "not given; the narrowest in common stock")


def _screws_per_crossing(deck: Deck, ledger: Ledger, catalog: Catalog) -> int:
    planks = _planks(deck, catalog)
    given = [layer.screws_per_crossing for layer in planks if layer.screws_per_crossing is not None]
    if planks and not given:
        why = "not given; with two, as a rule, the deck holds about twice: count them"
        ledger.assume("screws of a plank into each cross-member", "1", why)
    return min(given, default=1)


def _supports(deck: Deck, ledger: Ledger) -> tuple[tuple[float, ...], ...]:
    """Where main rails or cross-beams carry the members [m]; the worst ways there are where nobody measured it.

    Rails wide apart the members bend more between them, close together more beyond them. They may follow the sides of
    a deck that is wider at one end. Members that run lengthwise are taken to rest on two beams alone: at both ends, or
    at one of them and in the middle, with half of them beyond.
    """
    members = deck.cross_members
    if members.run == "lengthwise":
        if members.beams is not None:
            return (tuple(sorted(members.beams)),)
        why = "not given; on both ends of the deck or on one end and its middle, whichever is worse for each ring"
        ledger.assume("beams that the lengthwise members rest on", "two alone", why)
        middle = deck.length / 2
        return (0.0, deck.length), (0.0, middle), (middle, deck.length)
    if members.rails is not None:
        return ((-members.rails / 2, members.rails / 2),)
    narrow, most = sorted((deck.width, deck.width if deck.width_front is None else deck.width_front))
    least = narrow * _RAILS_AT_LEAST
    shown = " to ".join(format_quantity(each, ledger.units.length, "length") for each in (least, most))
    ledger.assume("distance between the main rails", shown, "not given; whichever is worse for each ring")
    return (-least / 2, least / 2), (-most / 2, most / 2)


def _outriggers(deck: Deck, ledger: Ledger) -> Literal["through", "welded"] | None:
    """What lies beyond the rails; lengthwise members go on over their beams by themselves."""
    if deck.cross_members.run == "lengthwise":
        return "through"
    members, widest = deck.cross_members, max(deck.width, deck.width_front or 0.0)
    if members.outriggers == "welded" and members.joint is not None:
        why = "nobody says where it runs; what is longer than that lies along top and bottom, as once round"
        ledger.assume("weld of an outrigger to its rail", "upright on both sides", why)
    if members.outriggers is None and members.timber is None and (members.rails is None or members.rails < widest):
        what, look = "cross-members beyond the main rails", "look whether pieces of their own stand on their outsides"
        if members.joint is None:
            why = f"not said; {look}: outriggers: welded, and give the joint"
            ledger.assume(what, "one piece over both rails", why)
        else:
            ledger.assume(what, "welded on or one piece over both rails", f"not said, whichever is worse; {look}")
    return members.outriggers


def _zone(zone: Zone) -> ZoneSetting:
    (x0, x1), (y0, y1) = (sorted(pair) for pair in zip(zone.corner, zone.opposite, strict=True))
    return ZoneSetting(zone.name, (x0, x1), (y0, y1))


# --- anchors, load, straps ------------------------------------------------------------------------------------


def _anchors(
    scenario: Scenario, mountings: Mapping[str, MountingSetting], deck: FloorSetting
) -> dict[str, AnchorSetting]:
    strapped = {name for strap in scenario.straps.values() for name in (strap.anchor, strap.to_anchor)}
    return {
        name: AnchorSetting(
            name=name,
            at=anchor.at,
            mounting=mountings[mounting],
            floor=deck,
            strapped=tuple(other.at for each, other in scenario.anchors.items() if each in strapped and each != name),
            base=anchor.on or name,
            base_at=base.at,
            rings=tuple(
                other.at
                for each, other in scenario.anchors.items()
                if each == name or (each in strapped and (other.on or each) == (anchor.on or name))
            ),
        )
        for name, anchor, base, mounting in based(scenario)
    }


def _tyre_print(load: Load, catalog: Catalog, ledger: Ledger) -> tuple[float, float]:
    if load.tyre_print is not None:
        return load.tyre_print
    found = catalog.factor("tyre_print_length"), catalog.factor("tyre_print_width")
    shown = " by ".join(format_quantity(side, ledger.units.length, "length") for side in found)
    why = "not given, along by across; a narrower one presses harder on the deck: measure it on the loaded tyre"
    ledger.assume("print of each tyre on the deck", shown, why)
    return found


def _steadying(load: Load, catalog: Catalog, ledger: Ledger) -> tuple[float, float]:
    """Friction lengthways and sideways across a case's direction; unsaid no more than the grip that is said."""
    if load.steadying_friction is not None:
        return load.steadying_friction, load.steadying_friction
    usual, grip = catalog.factor("steadying_friction"), load.grip
    why = "across the case's direction only, so brake on and in gear; dry tyres on wood hold more"
    what, found = "steadying friction under the wheels", (usual, usual)
    if grip is not None and min(grip.lengthways, grip.sideways) < usual:
        found = min(grip.lengthways, usual), min(grip.sideways, usual)
        why += ", and no more than load.grip says"
        ledger.assume(what, f"{found[0]:g} lengthways, {found[1]:g} sideways", why)
    else:
        ledger.assume(what, f"{usual:g}", why)
    return found


def _load(scenario: Scenario, points: Mapping[str, TiePointSetting], catalog: Catalog, ledger: Ledger) -> LoadSetting:
    load = scenario.load
    grip = load.grip
    return LoadSetting(
        name=load.name,
        kind=load.kind,
        weight=load.weight,
        centre=load.centre_of_gravity,
        wheels=load.wheels,
        tyre_print=_tyre_print(load, catalog, ledger),
        tie_points=points,
        length=load.length,
        friction=load.friction,
        steadying_friction=_steadying(load, catalog, ledger),
        grip=(0.0, 0.0) if grip is None else (grip.lengthways, grip.sideways),
        stops={name: _stop(name, stop, catalog.rule_set(scenario.rules), ledger) for name, stop in load.stops.items()},
    )


def _stop(name: str, stop: Stop, rules: RuleSet, ledger: Ledger) -> StopSetting:
    """A stop bears its rating; one that nobody rated bears nothing."""
    rated = stop.rated
    if rated is None:
        ledger.assume(f"rating of stop {name}", "nothing", "not given; a stop holds no more than somebody answers for")
        rated = 0.0
    return StopSetting(stop.at, _PUSHES[stop.pushes], rated, rated * rules.breaking_over_rated["hardware"])


def _trailer(scenario: Scenario) -> TrailerSetting | None:
    given = scenario.trailer
    if given is None:
        return None
    return TrailerSetting(given.empty_weight, given.gross_rating, given.axle_rating, given.axle_at, given.hitch_at)
