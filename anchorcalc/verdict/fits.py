"""Whether the anchors can be built where they are, and the trailer can carry the load: the fitting sheet's word."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from anchorcalc.result.check import Requirement, RequirementKey
from anchorcalc.units import format_quantity, unit_system

if TYPE_CHECKING:
    from collections.abc import Iterator

    from anchorcalc.result.fitting import FittingSheet, Weights

_PLATE = "the trailer's plate; 49 CFR 571.3 [read]"


def fitting_requirements(sheet: FittingSheet, units: Literal["us", "si"]) -> Iterator[Requirement]:
    """Room, distances and lengths, and the trailer's own ratings."""
    blocked = sheet.clashes
    yield Requirement(
        key="room",
        name="room for every anchor, above and below",
        required="nothing in the way",
        provided="; ".join(blocked) if blocked else "clear",
        verdict="fail" if blocked else "pass",
        source="the scenario's own places; `fit` tells distances and the nearest clear place",
    )
    short, close = sheet.too_short, sheet.not_kept
    yield Requirement(
        key="distances",
        name="distances of holes, lengths of bolts",
        required="kept",
        provided="; ".join(dict.fromkeys([*short, *close])) if short or close else "kept",
        verdict="fail" if short else "marginal" if close else "pass",
        source="AISC 360 table J3.4 and NDS 12.5 in outline; `fit` tells each",
    )
    yield from _weights_carried(sheet.weights, units)


def _weights_carried(weights: Weights, units: Literal["us", "si"]) -> Iterator[Requirement]:
    """The trailer's own ratings, and what the load does to its hitch."""
    unit = "lb" if units == "us" else "kg"

    def rating(key: RequirementKey, name: str, rated: float, carried: float, when: str) -> Requirement:
        return Requirement(
            key=key,
            name=name,
            required=f"no more than {format_quantity(rated, unit, 'weight')}",
            provided=f"{format_quantity(carried, unit, 'weight')} {when}",
            verdict="fail" if carried > rated else "pass",
            source=_PLATE,
            limit=(rated,),
            value=(carried,),
            dimension="weight",
        )

    if weights.payload is not None:
        payload = weights.payload
        yield rating(
            "gross_rating",
            "trailer's gross rating",
            payload.gross_rating,
            payload.total,
            "with this load and what is added",
        )
    if weights.axle is not None:
        yield rating("axle_rating", "axle rating", weights.axle.rating, weights.axle.load, "at the most")
    if weights.balance is not None:
        least, most = weights.balance.hitch_load
        yield Requirement(
            key="hitch",
            name="load on the hitch",
            required="not lifted: a trailer light in front sways",
            provided=" to ".join(format_quantity(each, unit, "weight", 2) for each in (least, most)),
            verdict="fail" if most < 0 else "marginal" if least < 0 else "pass",
            source="statics; a share for the empty trailer's own hitch load [common practice, no source]",
            limit=(0.0,),
            value=(least, most),
            dimension="weight",
        )


def hitch_warnings(weights: Weights, units: Literal["us", "si"]) -> Iterator[str]:
    """A trailer light on its hitch sways."""
    found, unit = weights.balance, unit_system(units).force
    if found is None or found.word != "too light":
        return
    low, high = (format_quantity(abs(x), unit, "force", 2) for x in found.hitch_load)
    if found.hitch_load[0] < 0:
        lifted = f"up to {low}" if found.hitch_load[1] >= 0 else f"{high} to {low}"
        yield (
            f"The load lies so far to the rear that it lifts the hitch by {lifted}: such a trailer sways at speed. "
            "Move the load forward."
        )
    else:
        share = " to ".join(f"{100 * part:.0f}" for part in found.hitch_share)
        yield f"The hitch carries only {share} % of the loaded trailer: it may sway. Move the load forward."
