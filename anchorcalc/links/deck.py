"""Links of the deck itself, all drawn from one model of the lifted floor (`links.lift`)."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache, wraps
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from msgspec.structs import replace

from anchorcalc.links.common import (
    Strength,
    both_levels,
    counted_sideways,
    dowel_bearing,
    embedment,
    force,
    length,
    nothing,
    number,
    per_newton,
    pressure,
)
from anchorcalc.links.lift import held_by, lifted_decks, lifted_layers, passed_on, pushed_sideways
from anchorcalc.links.seat import pull_through_stresses
from anchorcalc.mechanics import bearing, dowels, panels, screws

if TYPE_CHECKING:
    from anchorcalc.catalog.rows import Condition, Screw
    from anchorcalc.links.common import DeckAsked, LiftedDeck, Question
    from anchorcalc.rig.floor import LayerSetting
    from anchorcalc.rig.rig import Basis

_NO_SOUND_LAYER = "no layer of the deck may be counted: decayed or delaminated wood is to be replaced"
_LOOSE_OVERLAY = "the deck's screws do not reach this overlay, and nothing else is said to hold it"
_NOTHING = 1e-9  # [N]
_SOURCE = (
    "thin orthotropic plates on members that push and screws that pull (Timoshenko & Woinowsky-Krieger, art. 85); "
    "averaging and the stiffness of screws are our judgement"
)


def deck_gone(_: Question) -> Strength:
    """No layer that may be counted."""
    return nothing(_NO_SOUND_LAYER, "Wood Handbook ch. 14: decay and strength")


_Asked = Callable[["Question", "LiftedDeck", "DeckAsked"], Strength]


def of_lifted_deck(strength: _Asked) -> Callable[[Question], Strength]:
    """`strength` of the deck as it is lifted: at each level the weakest way where nobody knows how the grain runs.

    A deck that cannot be laid out holds nothing.
    """

    @wraps(strength)
    def weakest(question: Question) -> Strength:
        ways = []
        for deck in lifted_decks(question):
            if deck.asked is None:
                return nothing(deck.why_not, _SOURCE)
            ways.append(strength(question, deck, deck.asked))
        return _weakest(ways)

    return weakest


def _weakest(ways: Sequence[Strength]) -> Strength:
    """At each level."""
    weaker = min(ways, key=lambda way: (way.working, way.breaking))
    return replace(weaker, breaking=min(way.breaking for way in ways))


def held_all_the_way(strength: Callable[[Question], Strength]) -> Callable[[Question], Strength]:
    """`strength` of what holds an overlay down, and of what holds the layers below that it hangs on."""

    @wraps(strength)
    def weakest(question: Question) -> Strength:
        below = passed_on(question)
        return _weakest([strength(each) for each in (question, below) if each is not None])

    return weakest


@of_lifted_deck
def panel_bending(question: Question, deck: LiftedDeck, asked: DeckAsked) -> Strength:
    """The panel breaks in bending, along its span or across."""
    left = _left_by_opening(question, deck.layers)
    moments = {way: moments_of(question.basis, deck.layers, left[way], across=way == "across") for way in left}
    # Planks side by side have nothing across to break: each answers for itself.
    demands = {"along": asked.along, "across": 0.0 if any(x.section.planks for x in deck.layers) else asked.across}
    low, allowable = (
        min(per_newton(moments[way][level], demand) for way, demand in demands.items()) for level in (0, 1)
    )
    return both_levels(
        question,
        low,
        allowable,
        code="APA panel bending F_b S",
        formula="greatest moment, mean over a seat and one thickness of the deck each side ≤ m_R, both ways",
        source=f"{_SOURCE}; Wood Handbook MOR less 1.645 COV; Plywood Design Specification F_b",
        figures=(
            number("m_x", asked.along, "moment square to the cross-members per newton of pull"),
            number("m_y", asked.across, "moment along them per newton of pull"),
            number("layers", len(deck.layers), "layers that are lifted"),
            number("left", min(map(min, left.values())), "of the width, beside an opening for the ring"),
        ),
    )


@of_lifted_deck
def plate_bends(question: Question, _: LiftedDeck, asked: DeckAsked) -> Strength:
    """The plate bends for good at its nuts: beyond that it no longer spreads the pull as the deck is reckoned for.

    Raises
    ------
    TypeError
        There is no plate.
    """
    plate = question.anchor.mounting.plate
    if plate is None:
        raise TypeError(f"anchor {question.anchor.name!r} has no plate")
    plastic = plate.steel.F_y * plate.thickness**2 / 4
    return both_levels(
        question,
        per_newton(plastic, asked.steel),
        per_newton(plastic / question.basis.factor("aisc_flexure"), asked.steel),
        code="AISC 360 F11, Ω = 1.67",
        formula="f_y t² / 4 over the greatest moment at a nut, mean over it and one thickness each side",
        source=f"{_SOURCE}; the plate and the deck over it solved together, in balance with the pull: the safe side",
        figures=(
            length("t", plate.thickness, "plate"),
            pressure("f_y", plate.steel.F_y, f"yield strength of {plate.steel.name}"),
            number("m", asked.steel, "moment per width of the plate per newton of pull"),
        ),
    )


def _left_by_opening(question: Question, layers: Sequence[LayerSetting]) -> dict[str, list[float]]:
    """Share of the width over which moments are averaged that an opening for a recessed ring leaves of each layer.

    The width is that of the ring's base and one thickness of the deck each side, the least of all seats that
    lie round the opening.
    """
    mounting = question.anchor.mounting
    opening, base = mounting.opens or (0.0, 0.0), mounting.covers
    aside = 2 * sum(layer.thickness for layer in layers)
    along, across = (max(1 - opening[way] / (base[way] + aside), 0.0) for way in (1, 0))
    cut = [mounting.cuts(layer) for layer in layers]
    return {"along": [along if each else 1.0 for each in cut], "across": [across if each else 1.0 for each in cut]}


def moments_of(
    basis: Basis, layers: Sequence[LayerSetting], left: Sequence[float] | None = None, *, across: bool = False
) -> tuple[float, float]:
    """Resisting moment per width of layers loose on each other, at breaking and the allowable one [N·m/m].

    `left` is the share of the width that is there of each; all of it where not given.
    """
    low, allowable, stiffness = [], [], []
    for layer, share in zip(layers, left or [1.0] * len(layers), strict=True):
        strong = layer.strong_way != across
        row = layer.section
        own_S, own_I = (row.S_par, row.I_par) if strong else (row.S_perp, row.I_perp)
        if not strong:
            # Laid the weak way no panel comes out stronger than the strong way, though tabulated moduli are alike.
            own_S = min(own_S, row.S_par * float(np.sqrt(own_I / row.I_par)))
        rupture = float(screws.low_estimate(layer.panel.MOR_mean, layer.panel.MOR_cov)) * layer.condition.bending
        low.append(share * float(panels.gross_bending_resistance(rupture, layer.thickness, own_S, row.S_par)))
        allowable.append(share * layer.panel.F_b * basis.rules.duration_factor * layer.condition.bending * own_S)
        stiffness.append(share * layer.panel.E * own_I)
    if not any(stiffness):
        return 0.0, 0.0
    # Glued layers are stiffer and stronger together; that is counted only as far as loose ones go together,
    # since nobody can inspect the glue line: the safe side.
    return float(panels.shared_resistance(low, stiffness)), float(panels.shared_resistance(allowable, stiffness))


@of_lifted_deck
def rolling_shear(question: Question, deck: LiftedDeck, asked: DeckAsked) -> Strength:
    """The plies roll over each other beside a seat or a cross-member."""
    plies = not any(layer.section.planks for layer in deck.layers)
    demands = {False: asked.shear_along, True: asked.shear_across if plies else 0.0}
    flows = {across: shears_of(question.basis, deck.layers, across=across) for across in demands}
    low, allowable = (
        min(per_newton(flows[across][level], demand) for across, demand in demands.items()) for level in (0, 1)
    )
    return both_levels(
        question,
        low,
        allowable,
        code="APA rolling shear F_s (Ib/Q)",
        formula="greatest shear beside seats and members ≤ f_s (Ib/Q), both ways",
        source=f"{_SOURCE}; Wood Handbook (rolling shear); Plywood Design Specification F_s",
        figures=(
            number("v_x", asked.shear_along, "shear square to the cross-members per newton of pull, 1/m"),
            number("v_y", asked.shear_across, "shear along them per newton of pull, 1/m"),
        ),
    )


def shears_of(basis: Basis, layers: Sequence[LayerSetting], *, across: bool) -> tuple[float, float]:
    """Shear that layers carry per width, at breaking and the allowable one [N/m]."""
    low, allowable, stiffness = [], [], []
    for layer in layers:
        strong, row = layer.strong_way != across, layer.section
        IbQ, own_I = (row.IbQ_par, row.I_par) if strong else (row.IbQ_perp, row.I_perp)
        panel = layer.panel
        f_s = float(screws.low_estimate(panel.rolling_shear_mean, panel.rolling_shear_cov))
        low.append(f_s * layer.condition.rolling_shear * IbQ)
        allowable.append(panel.F_s * basis.rules.duration_factor * layer.condition.rolling_shear * IbQ)
        stiffness.append(panel.E * own_I)
    if not any(stiffness):
        return 0.0, 0.0
    return float(panels.shared_resistance(low, stiffness)), float(panels.shared_resistance(allowable, stiffness))


@held_all_the_way
@of_lifted_deck
def hold_down(question: Question, deck: LiftedDeck, asked: DeckAsked) -> Strength:
    """The screws that hold the lifted deck to the cross-members let go, lifted and pushed sideways at once."""
    if held_by(question).into == "nothing":
        return nothing(_LOOSE_OVERLAY, _SOURCE)
    side, lift, steel = asked.sideways, max(asked.screw, 1e-9), _into_steel(question)
    low, allowable, how = hold_down_screw(question)
    low_side, allowable_side = hold_down_sideways(question)
    return both_levels(
        question,
        float(screws.lift_and_sideways(low, low_side, lift, side)),
        float(screws.lift_and_sideways(allowable, allowable_side, lift, side)),
        code="NDS head pull-through or AISI pull-out" if steel else "NDS head pull-through or withdrawal",
        formula="F t / T + F v / V ≤ 1.15, neither part above 1; T least of head pull-through, pull-out, screw",
        source=f"{_SOURCE}; NDS 12.2.5; {'AISI S100 J4.4.1, J4.5.2' if steel else 'NDS 12.2.2; AISI S100 J4.5.2'}; "
        f"{question.anchor.floor.hold_down.source}",
        figures=(
            force("T", low, f"low estimate of one screw: {how}"),
            force("V", low_side, "low estimate of one screw sideways"),
            number("t", asked.screw, "of the pull lifts the most loaded screw"),
            number("v", side, "of the pull pushes each screw sideways"),
            length("spacing", held_by(question).spacing, "of the screws that hold it"),
        ),
    )


@held_all_the_way
@of_lifted_deck
def deck_slides(question: Question, deck: LiftedDeck, asked: DeckAsked) -> Strength:
    """The boards slide off along the trailer or across, on the screws that hold them down."""
    if held_by(question).into == "nothing":
        return nothing(_LOOSE_OVERLAY, _SOURCE)
    return _slides(question, asked.sideways)


def deck_pushed(question: Question) -> Strength:
    """The same of a ring that bars or a cross-member hold: sideways its bolts lean on the deck, which has to stay."""
    return _slides(question, pushed_sideways(question))


def _slides(question: Question, sideways: float) -> Strength:
    low, allowable = hold_down_sideways(question)
    return both_levels(
        question,
        per_newton(low, sideways),
        per_newton(allowable, sideways),
        code="AISI S100, Ω = 3, or NDS lateral value" if _into_steel(question) else "NDS lateral value",
        formula="V over the push on one screw; a sheet pushes on all its screws that are taken in, a plank on its own",
        source="EN 1995-1-1 8.2.3 and 8.20; AISI S100 J4.3; NDS 12.3",
        figures=(
            force("V", low, "low estimate of one screw"),
            number("v", sideways, "of the pull pushes each screw"),
        ),
    )


def layers_under_heads(question: Question) -> tuple[LayerSetting, ...]:
    """The layers that the holding screws' heads would have to be pulled through: lifted ones, not above the heads.

    Down to the first that counts for nothing: what lies below it bears on no head.
    """
    return _runs(question)[0]


def _runs(question: Question) -> list[tuple[LayerSetting, ...]]:
    """Lifted layers below the heads as they lie on each other, top first, parted by such as count for nothing."""
    floor, lifted = question.anchor.floor, lifted_layers(question.anchor)
    first = floor.heads_on - 1 if held_by(question).into == "members" else 0
    under = [number for number in lifted if number >= first]
    parts = [k for k in range(1, len(under)) if under[k] > under[k - 1] + 1]
    return [tuple(floor.layers[k] for k in under[a:b]) for a, b in pairwise([0, *parts, len(under)])]


def hold_down_screw(question: Question) -> tuple[float, float, str]:
    """Low breaking estimate, allowable [N] and mode of one screw that holds the lifted layers, pulled."""
    basis, held, layers = question.basis, held_by(question), layers_under_heads(question)
    if held.into == "nothing":
        return _NOTHING, _NOTHING, _LOOSE_OVERLAY
    thicknesses, screw = [layer.thickness for layer in layers], held.screw
    head, head_allowable = (
        bearing.pull_through_strength(screw.D_head, pull_through_stresses(layers, basis, mean=mean), thicknesses)
        for mean in (True, False)
    )
    tension = screw.F_u * np.pi / 4 * screw.D_root**2
    omega = basis.factor("aisi_screw")
    if _into_steel(question):
        floor = question.anchor.floor
        out = float(screws.thin_steel_pull_out(floor.section.thickness, screw.D, floor.member_steel.F_u))
        out_allowable, what = out / omega, "thread out of the steel"
    else:
        out, out_allowable = _out_of_wood(question, screw)
        what = "thread out of the wood below"
    low = min((head, "head through the panel"), (out, what), (tension, "screw breaks"))
    left = _left_of_screw(question)
    return left * low[0], left * min(head_allowable, out_allowable, tension / omega), low[1]


def _left_of_screw(question: Question) -> float:
    """Share of a deck screw's strength that rust leaves [-]."""
    return question.basis.factor("rusted_screw") if question.anchor.floor.hold_down_condition == "rusted" else 1.0


def _into_steel(question: Question) -> bool:
    return held_by(question).into == "members" and question.anchor.floor.timber is None


class _Below(NamedTuple):
    """Wood that a screw stands in below the layers it holds: a cross-member, or the first layer under an overlay."""

    G: float
    condition: Condition
    bite: float  # of thread [m]
    depth: float  # that the screw stands in it, less its point [m]
    f_h: float  # embedment strength, in the least favourable way of the grain [Pa]
    F_e: float  # dowel bearing strength [Pa]


def _below(question: Question, screw: Screw) -> _Below:
    """How long an overlay's screw is nobody says: the layer below is taken to be bitten through, less the point."""
    floor, basis, timber = question.anchor.floor, question.basis, question.anchor.floor.timber
    if held_by(question).into == "members" and timber is not None:
        density = float(screws.low_estimate(1000 * timber.wood.G, basis.factor("density_cov")))
        d = float(dowels.screw_effective_diameter_ec5(screw.D_root))
        left = timber.condition.lateral
        f_h = float(dowels.embedment_wood_screw_ec5(density, d)) * left
        F_e = float(screws.dowel_bearing_strength(timber.wood.G, screw.D)) * left
        return _Below(timber.wood.G, timber.condition, floor.hold_down_bite, floor.hold_down_reach, f_h, F_e)
    layer = floor.layers[max(lifted_layers(question.anchor)) + 1]
    bite = max(layer.thickness - screw.D, 0.0)
    return _Below(layer.panel.G, layer.condition, bite, bite, *_embedment((layer,), screw, basis))


def _out_of_wood(question: Question, screw: Screw) -> tuple[float, float]:
    """Low breaking estimate and allowable of a screw drawn out of the wood below what it holds [N]."""
    basis, below = question.basis, _below(question, screw)
    mean, allowable = (
        below.condition.withdrawal * each for each in screws.withdrawal(screw.kind, below.G, screw.D, below.bite)
    )
    low = float(screws.low_estimate(mean, basis.factor("withdrawal_cov")))
    return low, allowable * basis.rules.duration_factor


def hold_down_sideways(question: Question) -> tuple[float, float]:
    """Low breaking estimate and allowable of one hold-down screw, pushed sideways [N].

    A layer above can only add to what those below it hold: a wet overlay does not weaken the sound floor under it. Over
    one that counts for nothing the screws would bend: there none adds.
    """
    if held_by(question).into == "nothing":
        return _NOTHING, _NOTHING
    layers = _runs(question)[-1]
    through = _sideways_into_steel if _into_steel(question) else _sideways_into_wood
    ways = [through(question, layers[number:]) for number in range(len(layers))]
    low, allowable = (max(way) for way in zip(*ways, strict=True))
    left = _left_of_screw(question) * min(1.0, _bends_over(question, layers[-1]) / max(low, _NOTHING))
    return left * low, left * allowable


def _bends_over(question: Question, lowest: LayerSetting) -> float:
    """Push at which a holding screw bends where it crosses layers below `lowest` that count for nothing, 2 M_y / t [N].

    Held by the wood above and by what it stands in below: limit analysis of a bar between two ends that shift.
    """
    void = sum(layer.thickness for layer in question.anchor.floor.layers[lowest.number :] if not layer.bears_load)
    screw = held_by(question).screw
    M_y = float(dowels.yield_moment_ec5(screw.F_u, dowels.screw_effective_diameter_ec5(screw.D_root)))
    return per_newton(2 * M_y, void)


# The same for every ring of a deck, in every case.
_deck_screw_sideways = lru_cache(maxsize=4096)(screws.deck_screw_sideways)


def _sideways_into_steel(question: Question, layers: Sequence[LayerSetting]) -> tuple[float, float]:
    floor, basis = question.anchor.floor, question.basis
    screw, t = floor.hold_down, sum(layer.thickness for layer in layers)
    f_h, bearing_stress = _embedment(layers, screw, basis)
    wall, F_u = floor.section.thickness, floor.member_steel.F_u
    low = _deck_screw_sideways(f_h, t, screw.D, screw.D_root, screw.F_u, wall, F_u, 0.0)
    steel_bearing = basis.factor("steel_dowel_bearing")
    reference = screws.lateral_reference(screw.D_root, screw.F_yb, bearing_stress, t, steel_bearing, wall, screw.D)
    steel = min(float(low.steel), float(low.screw)) / basis.factor("aisi_screw")
    return float(low.least), min(float(reference) * basis.rules.duration_factor, steel)


def _sideways_into_wood(question: Question, layers: Sequence[LayerSetting]) -> tuple[float, float]:
    """Into a cross-member of wood, or of an overlay's screw into the first layer below less its point."""
    basis, screw, t = question.basis, held_by(question).screw, sum(layer.thickness for layer in layers)
    below, (f_h, F_e) = _below(question, screw), _embedment(layers, screw, basis)
    if not below.depth or not f_h or not below.f_h:
        return _NOTHING, _NOTHING
    d = float(dowels.screw_effective_diameter_ec5(screw.D_root))
    M_y, shear = dowels.yield_moment_ec5(screw.F_u, d), float(screws.screw_shear(screw.F_u, screw.D_root))
    low = min(float(dowels.wood_to_wood_ec5(f_h, t, below.f_h, below.depth, d, M_y)), shear)
    reference = screws.lateral_reference(screw.D_root, screw.F_yb, below.F_e, below.depth, F_e, t, screw.D)
    counted = counted_sideways(screw, below.depth, basis)
    return low, counted * float(reference) * basis.rules.duration_factor


def _embedment(layers: Sequence[LayerSetting], screw: Screw, basis: Basis) -> tuple[float, float]:
    """Embedment strength and the code's dowel bearing strength of the weakest of some layers round a screw [Pa]."""
    d = float(dowels.screw_effective_diameter_ec5(screw.D_root))
    f_h = min(embedment(layer, d, basis, bolt=False) for layer in layers)
    return f_h, min(dowel_bearing(layer, screw.D) for layer in layers)
