"""What the fitting adds to the trailer's weight, what is left of its rating, and where the load sits on it.

Weights are forces of gravity [N], places in the scenario's frame [m].
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Sequence

    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.scenario.model import Deck, Scenario, Trailer

_ROUNDING = 1e-9  # of a share

HitchWord = Literal["too light", "within", "too heavy", "may be within"]


@dataclass(frozen=True)
class LayerWeight:
    """One deck layer: by its row of the tables and by the common sheet; the heavier counts [N]."""

    number: int  # 1 is the top
    by_table: float
    by_common_sheet: float
    added: bool

    @property
    def weight(self) -> float:
        """The heavier of the two."""
        return max(self.by_table, self.by_common_sheet)


@dataclass(frozen=True)
class Payload:
    """The gross rating and what it is used for [N]."""

    gross_rating: float
    empty: float
    added: float
    load: float

    @property
    def total(self) -> float:
        """The loaded trailer."""
        return self.empty + self.added + self.load

    @property
    def left(self) -> float:
        """What may still be loaded; below nil the trailer is overloaded."""
        return self.gross_rating - self.total


@dataclass(frozen=True)
class Balance:
    """Where the load sits between axle and hitch, and the share of the loaded trailer that the hitch carries.

    The empty trailer's own hitch load is not known: the two ends of the common share are taken for it.
    """

    ahead_of_axle: float
    hitch_of_load: float  # part of the load's weight that the hitch carries [-]
    hitch_load: tuple[float, float]
    hitch_share: tuple[float, float]
    common_share: tuple[float, float]
    best_between: tuple[float, float]  # x of the load's weight for a common share of its own [m]
    word: HitchWord


@dataclass(frozen=True)
class AxleLoad:
    """Greatest load of the axles against their rating [N]."""

    load: float
    rating: float
    balance_known: bool

    @property
    def left(self) -> float:
        """Below nil the axles are overloaded."""
        return self.rating - self.load


@dataclass(frozen=True)
class Weights:
    """All weights of the fitting sheet."""

    layers: tuple[LayerWeight, ...]
    hardware: float
    payload: Payload | None
    balance: Balance | None
    axle: AxleLoad | None

    @property
    def added(self) -> float:
        """Layers above the lowest, and the hardware [N]."""
        return self.hardware + sum(layer.weight for layer in self.layers if layer.added)

    @property
    def overloaded(self) -> bool:
        """Whether the trailer or its axles carry more than their rating."""
        return any(part is not None and part.left < 0 for part in (self.payload, self.axle))


def weights(scenario: Scenario, catalog: Catalog, hardware: float) -> Weights:
    """Weights of `scenario` with `hardware` [N] of bolts, nuts, washers, plates and bars."""
    layers = layer_weights(scenario.deck, catalog)
    trailer = scenario.trailer
    if trailer is None:
        return Weights(layers, hardware, None, None, None)
    added = hardware + sum(layer.weight for layer in layers if layer.added)
    payload = Payload(trailer.gross_rating, trailer.empty_weight, added, scenario.load.weight)
    parts = [
        (scenario.load.weight, scenario.load.centre_of_gravity[0]),
        (added, scenario.deck.length / 2),  # what is added lies about the middle of the deck
    ]
    common = catalog.fitting_factor("hitch_share_least"), catalog.fitting_factor("hitch_share_most")
    found = balance(trailer, parts, common)
    return Weights(layers, hardware, payload, found, _axle(trailer, payload, found))


def deck_area(deck: Deck) -> float:
    """Area of the deck between its edges [m²]; wheel wells are not taken out, which errs on the heavy side."""
    front = deck.width if deck.width_front is None else deck.width_front
    return deck.length * (deck.width + front) / 2


def layer_weights(deck: Deck, catalog: Catalog) -> tuple[LayerWeight, ...]:
    """Weight of each layer, top first; those above the lowest are taken as added since the trailer was weighed."""
    area, common = deck_area(deck), catalog.fitting_factor("common_sheet_density")
    return tuple(
        LayerWeight(
            number=number,
            by_table=area * layer.thickness * catalog.panel(layer.panel).density,
            by_common_sheet=area * layer.thickness * common,
            added=number < len(deck.layers),
        )
        for number, layer in enumerate(deck.layers, start=1)
    )


def balance(trailer: Trailer, parts: Sequence[tuple[float, float]], common: tuple[float, float]) -> Balance | None:
    """How axle and hitch share the loaded trailer; None when their places are not known.

    Parameters
    ----------
    trailer
        With its empty weight and, if known, the x of axle and hitch.
    parts
        Weight [N] and x [m] of what the trailer carries, the load first.
    common
        Least and greatest common share on the hitch.
    """
    if trailer.axle_at is None or trailer.hitch_at is None or trailer.hitch_at <= trailer.axle_at:
        return None
    axle, base = trailer.axle_at, trailer.hitch_at - trailer.axle_at
    total = trailer.empty_weight + sum(weight for weight, _ in parts)
    carried = sum(weight * (x - axle) / base for weight, x in parts)
    least, most = (carried + share * trailer.empty_weight for share in common)
    place = parts[0][1]
    return Balance(
        ahead_of_axle=place - axle,
        hitch_of_load=(place - axle) / base,
        hitch_load=(least, most),
        hitch_share=(least / total, most / total),
        common_share=common,
        best_between=(axle + common[0] * base, axle + common[1] * base),
        word=_word((least / total, most / total), common),
    )


def _word(share: tuple[float, float], common: tuple[float, float]) -> HitchWord:
    least, most = common[0] - _ROUNDING, common[1] + _ROUNDING
    if share[1] < least:
        return "too light"
    if share[0] > most:
        return "too heavy"
    return "within" if least <= share[0] and share[1] <= most else "may be within"


def _axle(trailer: Trailer, payload: Payload, found: Balance | None) -> AxleLoad | None:
    """With places unknown the hitch is taken to carry nothing."""
    if trailer.axle_rating is None:
        return None
    hitch = found.hitch_load[0] if found is not None else 0.0
    return AxleLoad(payload.total - hitch, trailer.axle_rating, found is not None)
