"""From the user's words and table rows to numbers, once: `resolve`.

What nobody gave and decides safety is taken on the safe side and written down as assumed.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import dist
from typing import TYPE_CHECKING

from anchorcalc.rig.ledger import Ledger, Lookup
from anchorcalc.rig.mounting import mounting_setting
from anchorcalc.rig.parts import AnchorSetting, Fixing, FloorSetting, LayerSetting, MountingSetting, ZoneSetting
from anchorcalc.rig.rig import Basis, LoadSetting, Rig, Shelf, StrapSetting, TiePointSetting, TrailerSetting
from anchorcalc.scenario.plausible import plausibility_warnings
from anchorcalc.units import format_quantity, unit_system

if TYPE_CHECKING:
    from anchorcalc.catalog.rules import RuleSet
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.scenario.model import Deck, Layer, Scenario, Strap, TiePoint, Zone

_RAILS_AT_LEAST = 0.5
"""Least distance of the main rails over the deck's width; common practice, no source."""
_SCREWS_PER_CROSSING = 2
"""Of a plank into a cross-member, as a rule [judgement]."""
_ONLY_MARKED = "unmarked; these rules count only what is marked"
_NO_LIMIT = float("inf")


def resolve(scenario: Scenario, catalog: Catalog) -> Rig:
    """`scenario` in numbers and rows, with all that was assumed for it."""
    rows, ledger = Lookup(catalog), Ledger(unit_system(scenario.units))
    rules = rows.noted(catalog.rule_set(scenario.rules))
    unrated: list[str] = []
    points = {
        name: _tie_point(name, point, rules, unrated)
        for name, point in scenario.load.tie_points.items()
        if any(strap.to == name for strap in scenario.straps.values())
    }
    mountings = {name: mounting_setting(name, scenario, rows, rules, ledger.units) for name in scenario.mountings}
    straps = {
        name: _strap(name, strap, scenario, mountings, rows, rules, ledger, unrated)
        for name, strap in scenario.straps.items()
    }
    load = _load(scenario, points, catalog, ledger)
    deck = _floor(scenario.deck, rows, ledger)
    _assume_of_the_whole(scenario, ledger)
    return Rig(
        title=scenario.title,
        units=scenario.units,
        basis=Basis(rules, shelf(catalog)),
        load=load,
        straps=straps,
        floor=deck,
        mountings=mountings,
        anchors=_anchors(scenario, mountings, deck),
        trailer=_trailer(scenario),
        unrated_parts=tuple(unrated),
        assumed_parts=tuple(ledger.entries.values()),
        odd=plausibility_warnings(scenario, catalog),
        own_rows=tuple(f"{name} ({file})" for name, file in rows.own.items()),
    )


def shelf(catalog: Catalog) -> Shelf:
    """The rows that checks and fitting need besides those of the rig's own parts."""
    return Shelf(catalog.factors, catalog.fitting_factors, catalog.bolt_lengths, catalog.washers, catalog.steels)


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
    return FloorSetting(
        width=deck.width,
        width_front=deck.width if deck.width_front is None else deck.width_front,
        length=deck.length,
        layers=tuple(_layer(number, layer, rows, ledger) for number, layer in enumerate(deck.layers, start=1)),
        lines=deck.member_lines,
        spacing=members.spacing,
        member=rows.noted(catalog.member(members.section)),
        member_steel=rows.noted(catalog.steel(members.steel)),
        joint=None if members.joint is None else (members.joint.weld, members.joint.length),
        rails=_rails(deck, ledger),
        hold_down=rows.noted(catalog.screw_named(deck.hold_down.screw)),
        hold_down_spacing=deck.hold_down.spacing,
        hold_down_first_at=_first_at(deck, ledger),
        heads_on=_heads_on(deck, ledger),
        plank_width=_plank_width(deck, ledger, catalog),
        screws_per_crossing=_screws_per_crossing(deck),
        wells=tuple(_zone(zone) for zone in deck.wheel_wells),
        no_go=tuple(_zone(zone) for zone in deck.no_go),
    )


def _layer(number: int, layer: Layer, rows: Lookup, ledger: Ledger) -> LayerSetting:
    if layer.face_grain is None:
        why = "not given; weak between the cross-members, and limp along them"
        ledger.assume(f"face grain of layer {number}", "the worse of both ways", why)
    panel = rows.noted(rows.catalog.panel(layer.panel))
    section = panel.section(layer.thickness)
    in_sheets = section.I_perp > 0  # planks have a joint at every edge, known as such
    if in_sheets and not layer.joints_across and not layer.joints_along:
        ledger.assume(f"sheet joints of layer {number}", "none near a ring", "none given; look from below")
    return LayerSetting(
        panel=panel,
        section=section,
        thickness=layer.thickness,
        strong_way=layer.face_grain == "along",
        grain_known=layer.face_grain is not None,
        condition=rows.noted(rows.catalog.condition(layer.condition)),
        joints_across=layer.joints_across,
        joints_along=layer.joints_along,
        fixed=_fixed(layer, rows),
    )


def _fixed(layer: Layer, rows: Lookup) -> Fixing | None:
    if layer.fixed is None:
        return None
    return Fixing(rows.noted(rows.catalog.screw_named(layer.fixed.screw)), layer.fixed.spacing)


def _first_at(deck: Deck, ledger: Ledger) -> float | None:
    if deck.hold_down.first_at is None:
        why = "not given; the worst of a whole spacing from the edge, beside a ring, and half-way between two"
        ledger.assume("first hold-down screw from the side edge", "the worst place", why)
    return deck.hold_down.first_at


def _heads_on(deck: Deck, ledger: Ledger) -> int:
    """Layer that the heads of the deck's screws lie on; the lowest where nobody says so."""
    if deck.hold_down.heads_on is not None:
        return deck.hold_down.heads_on
    if len(deck.layers) > 1:
        why = "not given; an overlay laid later covers the heads, and they hold by the layers below them alone"
        ledger.assume("layer that the hold-down screws' heads lie on", f"layer {len(deck.layers)}, the lowest", why)
    return len(deck.layers)


def _plank_width(deck: Deck, ledger: Ledger, catalog: Catalog) -> float | None:
    """Width of the planks, None where there are none."""
    planks = [layer for layer in deck.layers if catalog.panel(layer.panel).section(layer.thickness).I_perp == 0]
    if not planks:
        return None
    given = [layer.plank_width for layer in planks if layer.plank_width is not None]
    if given:
        return min(given)
    return ledger.length("width of a plank", catalog.factor("plank_width"), "not given; the narrowest in common stock")


def _screws_per_crossing(deck: Deck) -> int:
    given = [layer.screws_per_crossing for layer in deck.layers if layer.screws_per_crossing is not None]
    return min(given, default=_SCREWS_PER_CROSSING)


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


def _zone(zone: Zone) -> ZoneSetting:
    (x0, x1), (y0, y1) = (sorted(pair) for pair in zip(zone.corner, zone.opposite, strict=True))
    return ZoneSetting(zone.name, (x0, x1), (y0, y1))


# --- anchors, load, straps ------------------------------------------------------------------------------------


def _anchors(
    scenario: Scenario, mountings: Mapping[str, MountingSetting], deck: FloorSetting
) -> dict[str, AnchorSetting]:
    strapped = {strap.anchor for strap in scenario.straps.values()}
    return {
        name: AnchorSetting(
            name=name,
            at=anchor.at,
            mounting=mountings[anchor.mounting],
            floor=deck,
            strapped=tuple(other.at for each, other in scenario.anchors.items() if each in strapped and each != name),
        )
        for name, anchor in scenario.anchors.items()
    }


def _load(scenario: Scenario, points: Mapping[str, TiePointSetting], catalog: Catalog, ledger: Ledger) -> LoadSetting:
    load = scenario.load
    steadying = load.steadying_friction
    if steadying is None:
        steadying = catalog.factor("steadying_friction")
        why = "across the case's direction only; dry tyres on wood hold more"
        ledger.assume("steadying friction under the wheels", f"{steadying:g}", why)
    unused = {
        name: TiePointSetting(point.at, _NO_LIMIT, _NO_LIMIT)
        for name, point in load.tie_points.items()
        if name not in points
    }
    return LoadSetting(
        name=load.name,
        kind=load.kind,
        weight=load.weight,
        centre=load.centre_of_gravity,
        wheels=load.wheels,
        tie_points={name: {**points, **unused}[name] for name in load.tie_points},
        length=load.length,
        friction=load.friction,
        steadying_friction=steadying,
    )


def _tie_point(name: str, point: TiePoint, rules: RuleSet, unrated: list[str]) -> TiePointSetting:
    multiple = rules.breaking_over_rated["hardware"]
    rated = rated_limit(point.rated, point.breaking, multiple)
    if rated is None:
        unrated.append(f"tie point {name}")
        return TiePointSetting(point.at, _NO_LIMIT, _NO_LIMIT)
    return TiePointSetting(point.at, rated, point.breaking if point.breaking is not None else rated * multiple)


def rated_limit(rated: float | None, breaking: float | None, multiple: float) -> float | None:
    """Working limit of a part [N]: as rated, but never above its breaking strength / `multiple` where that is given."""
    if breaking is None:
        return rated
    return breaking / multiple if rated is None else min(rated, breaking / multiple)


def _strap(
    name: str,
    strap: Strap,
    scenario: Scenario,
    mountings: Mapping[str, MountingSetting],
    rows: Lookup,
    rules: RuleSet,
    ledger: Ledger,
    unrated: list[str],
) -> StrapSetting:
    size = strap.width if strap.kind == "webbing" else strap.size
    row = rows.noted(rows.catalog.strap(strap.kind, size or 0.0, strap.grade))
    multiple = rules.breaking_over_rated[strap.kind]
    rated = rated_limit(strap.rated, strap.breaking, multiple) or 0.0
    if not rated:
        table, *_ = row.source.split(";")  # what follows tells of its stretch
        taken, why = (row.rated, f"unmarked; {table}") if rules.unmarked_counts else (0.0, _ONLY_MARKED)
        rated = ledger.force(f"rating of strap {name}", taken, why)
        unrated.append(f"strap {name}")
    hand_tension = strap.hand_tension
    if hand_tension is None:
        why = "not given; the high end for its kind"
        hand_tension = ledger.force(f"hand tension of strap {name}", row.hand_tension, why)
    if strap.route is None:
        why = "not given; a direct tie-down counts half in the sum of ratings"
        ledger.assume(f"route of strap {name}", "direct", why)
    anchor = scenario.anchors[strap.anchor]
    ring = (*anchor.at, mountings[anchor.mounting].pull_height)
    length = dist(scenario.load.tie_points[strap.to].at, ring)
    thumb = rules.rule_of_thumb
    return StrapSetting(
        name=name,
        anchor=strap.anchor,
        tie_point=strap.to,
        rated=rated,
        breaking=strap.breaking if strap.breaking is not None else rated * multiple,
        stiffness=(rated or row.rated) / (row.stretch * length),
        hand_tension=hand_tension,
        counted_share=thumb.over_counts / 2 if strap.route == "over" else thumb.direct_counts,
        over=strap.route == "over",
    )


def _trailer(scenario: Scenario) -> TrailerSetting | None:
    given = scenario.trailer
    if given is None:
        return None
    return TrailerSetting(given.empty_weight, given.gross_rating, given.axle_rating, given.axle_at, given.hitch_at)
