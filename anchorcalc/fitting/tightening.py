"""How hard a nut may be turned on wood: far less than the bolt could stand, for the wood is crushed first."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

import numpy as np

from anchorcalc.links.bolted import crushing
from anchorcalc.links.common import Basis, Pull, Question
from anchorcalc.mechanics.bolts import tightening_torque
from anchorcalc.scenario.model import Bridge, Plate, WasherSize

if TYPE_CHECKING:
    from anchorcalc.catalog.rows import Thread
    from anchorcalc.rig.settings import AnchorSetting, Ledger

_BASE_STEEL = "mild-washer"  # of a ring's base: nobody declares it, so the weakest in the tables


@dataclass(frozen=True)
class WrenchSetting:
    """A torque for one state of the thread [N·m]."""

    state: str
    K: float
    at_limit: float
    aim_for: float  # less the scatter of tightening by hand


@dataclass(frozen=True)
class Tightening:
    """How hard the nut may be turned, and what sets that [N]."""

    way: Literal["torque", "snug", "not yet"]
    why: str
    wood_below: float = 0.0
    wood_above: float = 0.0
    proof_limit: float = 0.0
    share_of_proof: float = 0.0
    settings: tuple[WrenchSetting, ...] = ()

    @property
    def limit(self) -> float:
        """Greatest tension in the bolt [N]; nil where no torque is given."""
        return min(self.wood_below, self.wood_above, self.proof_limit)


def tightening(setting: AnchorSetting, basis: Basis, ledger: Ledger, *, in_member: bool) -> Tightening:
    """Torque up to which neither wood nor bolt is asked for more than it may carry on every day."""
    if not setting.sound_layers:
        return Tightening("not yet", "no layer of the deck can be counted: replace it first")
    if isinstance(setting.backing, Bridge):
        return Tightening("snug", "the bolts cross a gap: turned tighter they bow the deck down to the bar")
    if in_member and setting.walls == 2:
        return Tightening("snug", "turned tighter the bolts fold the tube's walls in")
    thread, grade = setting.thread, setting.grade
    assert thread is not None and grade is not None  # noqa: S101, PT018 - bolted mountings only
    below = _wood_limit(_on_leg(setting) if in_member else setting, basis)
    above = _wood_limit(_from_above(setting, basis, ledger), basis)
    proof = grade.proof * thread.A_s
    proof_limit = basis.catalog.fitting_factor("proof_share") * proof
    limit = min(below, above, proof_limit)
    if limit == proof_limit:
        why = "the bolt's own proof load"
    else:
        why = "the wood under the nuts" if below <= above else "the wood under the ring's base"
    return Tightening("torque", why, below, above, proof_limit, limit / proof, _settings(limit, thread, basis))


def _settings(limit: float, thread: Thread, basis: Basis) -> tuple[WrenchSetting, ...]:
    scatter = basis.factor("torque_scatter")
    found = []
    for state, factor in (("dry, zinc plated or unknown", "torque_dry"), ("oiled or greased", "torque_lubricated")):
        K = basis.factor(factor)
        torque = float(tightening_torque(K, limit, thread.D))
        found.append(WrenchSetting(state, K, torque, torque / (1 + scatter)))
    return tuple(found)


def _wood_limit(setting: AnchorSetting, basis: Basis) -> float:
    """Tension of each bolt at which the bottom layer is crushed, at the working level [N].

    The crushing link answers it, asked with a pull that gives every bolt one newton.
    """
    count = len(setting.positions)
    pull = Pull((0.0, 0.0, 1.0), np.ones(count), setting.positions, 0.0, 0.0)
    return crushing(Question(setting, pull, basis)).working


def _on_leg(setting: AnchorSetting) -> AnchorSetting:
    """The deck pressed on the leg or wall of a cross-member: it bears like a washer as wide as the member's face."""
    member = setting.member
    seat = WasherSize.model_construct(outside=member.width, thickness=member.thickness, steel=setting.member_steel.name)
    return replace(setting, seat=seat, seat_steel=setting.member_steel)


def _from_above(setting: AnchorSetting, basis: Basis, ledger: Ledger) -> AnchorSetting:
    """The deck turned over: the ring's base under the heads presses on the top layer."""
    ledger.assume("steel of the rings' bases", _BASE_STEEL, "not known; the weakest steel in the tables")
    seat = Plate.model_construct(kind="plate", size=setting.base, thickness=setting.base_thickness, steel=_BASE_STEEL)
    return replace(setting, seat=seat, seat_steel=basis.catalog.steel(_BASE_STEEL), layers=setting.layers[::-1])
