"""What every link is given, and how its breaking and working strengths are made."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from anchorcalc.mechanics import dowels, members, screws
from anchorcalc.result.strength import Figure

if TYPE_CHECKING:
    from anchorcalc.catalog.rows import Screw
    from anchorcalc.rig.floor import FloorSetting, LayerSetting
    from anchorcalc.rig.parts import AnchorSetting
    from anchorcalc.rig.rig import Basis

FloatArray = NDArray[np.float64]

_SAME = 1e-9  # two limits that differ by less are one: the design factor is told
UNSOUND_TOP = "the layer right under the ring's base counts for nothing: sideways nothing holds the fasteners there"


class Pull(Struct, frozen=True):
    """A pull of one newton on the ring, and what it does to the fasteners that resist it."""

    direction: tuple[float, float, float]
    tensions: FloatArray  # (n,) tension of each resisting fastener per newton of pull [-]
    resisting: FloatArray  # (n, 2) their places about the middle of the base [m]
    sideways: float  # in-plane force per newton on each fastener once all bear on the wood [-]
    sideways_first: float  # the same on those that bear first in loose holes: what their steel must stand [-]
    pads: FloatArray  # (p, 2) where the base presses on the deck, about its middle [m]
    pad_forces: FloatArray  # (p,) with what force, per newton of pull [-]
    base_moment: float  # greatest moment per width of the base, per newton of pull [m/m]
    shove: tuple[float, float]  # along the deck by all rings on the base, per newton of pull [-]

    @property
    def normal(self) -> float:
        """Part of the pull straight up [-]."""
        return self.direction[2]

    @property
    def in_plane(self) -> float:
        """Part of the pull along the deck [-]."""
        return float(np.hypot(self.direction[0], self.direction[1]))

    @property
    def most(self) -> float:
        """Tension of the most loaded fastener per newton of pull [-]."""
        return float(self.tensions.max())

    @property
    def lifting(self) -> float:
        """All tensions together per newton of pull; more than the normal part when the pull pries [-]."""
        return float(self.tensions.sum())

    def of(self, which: NDArray[np.bool_]) -> Pull:
        """The pull as some of its fasteners see it, `which` (n,)."""
        return replace(self, tensions=self.tensions[which], resisting=self.resisting[which])


class Neighbour(Struct, frozen=True):
    """Another ring that is pulled at the same time."""

    anchor: AnchorSetting
    pull: tuple[float, float, float]  # per newton of pull on the asked ring [-]


class DeckAsked(NamedTuple):
    """What one newton of pull asks of the deck, the worst over where its screws may stand."""

    screw: float  # pull of the most loaded hold-down screw [-]
    sideways: float  # push on the most loaded screw of those that keep the boards from sliding [-]
    along: float  # moment per width along the span [N·m/m per N]
    across: float
    shear_along: float  # [1/m]
    shear_across: float
    steel: float  # moment per width of the plate under the deck, nothing where there is none [N·m/m per N]


class LiftedDeck(Struct, frozen=True):
    """The layers that are lifted together, and what a pull asks of them; or why they hold nothing."""

    layers: tuple[LayerSetting, ...]
    asked: DeckAsked | None
    why_not: str = ""


class Question(Struct, frozen=True, eq=False):
    """One anchor, one pull, one basis: what every link function is asked about."""

    anchor: AnchorSetting
    pull: Pull
    basis: Basis
    beside: tuple[Neighbour, ...] = ()  # rings that pull at the same time
    decks: list[LiftedDeck] = []  # filled when first asked for


class Strength(Struct, frozen=True):
    """What a link holds at both levels [N], and how that was found."""

    breaking: float
    working: float
    governed_by: str
    formula: str
    source: str
    figures: tuple[Figure, ...] = ()
    remark: str = ""


def per_newton(strength: float, share: float) -> float:
    """Pull at which a part of strength `strength` [N] that gets `share` of the pull lets go [N]."""
    return strength / share if share > 1e-12 else float("inf")


def both_levels(
    question: Question,
    breaking: float,
    allowable: float | None,
    *,
    code: str,
    formula: str,
    source: str,
    figures: tuple[Figure, ...] = (),
    remark: str = "",
) -> Strength:
    """Strength with working = breaking / design factor, never above the code's `allowable` [N]."""
    if math.isnan(breaking) or (allowable is not None and math.isnan(allowable)):
        return nothing("could not be worked out from these figures", source)
    factor = question.basis.rules.design_factor
    working, governed_by = breaking / factor, f"breaking strength / {factor:g}"
    if allowable is not None and allowable < (1 - _SAME) * working:
        working, governed_by = allowable, code
    return Strength(breaking, working, governed_by, formula, source, figures, remark)


def nothing(remark: str, source: str) -> Strength:
    """What can be counted for nothing, and why."""
    return Strength(0.0, 0.0, "cannot be counted", "0", source, (), remark)


def counted_sideways(screw: Screw, penetration: float, basis: Basis) -> float:
    """Share of the code's value of a screw pushed sideways that counts [-].

    Below the least penetration the code gives no value at all; here it fades out (judgement).
    """
    least = basis.factor("least_penetration_lag" if screw.kind == "lag screw" else "least_penetration_screw")
    return min(1.0, max(penetration, 0.0) / (least * screw.D))


def embedment(layer: LayerSetting, d: float, basis: Basis, *, bolt: bool) -> float:
    """Embedment strength of a layer round a bolt or screw of diameter `d`, any way of its grain, low [Pa].

    Where nobody says whether a panel is of plies or strands, the lesser counts.
    """
    density = float(screws.low_estimate(1000 * layer.panel.G, basis.factor("density_cov")))
    if layer.section.planks:
        found = (dowels.embedment_across_ec5 if bolt else dowels.embedment_wood_screw_ec5)(density, d)
        return float(found) * layer.condition.lateral
    plies = (dowels.embedment_plywood_bolt_ec5 if bolt else dowels.embedment_plywood_screw_ec5)(density, d)
    of_strands = dowels.embedment_strands_bolt_ec5 if bolt else dowels.embedment_strands_screw_ec5
    ways = {False: float(plies), True: float(of_strands(layer.thickness, d))}
    said = layer.panel.strands
    return (min(ways.values()) if said is None else ways[said]) * layer.condition.lateral


def dowel_bearing(layer: LayerSetting, D: float) -> float:
    """The code's dowel bearing strength of a layer round a bolt or screw of diameter `D` [Pa]."""
    F_e = min(layer.panel.dowel_bearing, float(screws.dowel_bearing_strength(layer.panel.G, D)))
    return F_e * layer.condition.lateral


def fillet_weld(floor: FloorSetting, leg: float, run: float, basis: Basis) -> float:
    """Low estimate of a fillet weld on the frame, which is of the metal of the cross-members, or of steel [N]."""
    metal = floor.steel
    if metal is not None and metal.aluminium:
        return float(members.fillet_weld_nominal(basis.factor("weld_shear_aluminium") / 0.6, leg, run))
    return float(members.fillet_weld_nominal(basis.factor("weld_electrode"), leg, run))


def torn_beside_weld(floor: FloorSetting, run: float, basis: Basis) -> tuple[float, float]:
    """Steel of a cross-member beside a fillet weld so long, low estimate and by the code [N].

    0.6 F_u t L (AISC 360 J4.2); of folded sheet daily no more than 0.75 F_u t L / 3.05 (AISI S100 J2.5).
    """
    steel = floor.steel_at_welds.F_u * floor.section.thinnest * run
    daily = 0.6 * steel / basis.factor("aisc_weld")
    return 0.6 * steel, min(daily, 0.75 * steel / basis.factor("aisi_weld")) if floor.folded else daily


def length(symbol: str, value: float, what: str) -> Figure:
    """Length for people to read [m]."""
    return Figure(symbol, value, "length", what)


def force(symbol: str, value: float, what: str) -> Figure:
    """Force for people to read [N]."""
    return Figure(symbol, value, "force", what)


def pressure(symbol: str, value: float, what: str) -> Figure:
    """Stress or strength for people to read [Pa]."""
    return Figure(symbol, value, "pressure", what)


def number(symbol: str, value: float, what: str) -> Figure:
    """Plain number for people to read."""
    return Figure(symbol, value, "number", what)
