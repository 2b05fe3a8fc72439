"""How hard a nut may be turned on wood: far less than the bolt could stand, for the wood is crushed first."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from msgspec.structs import replace

from anchorcalc.links.bolted import bearing_areas, crushed_area, crushing_pressure
from anchorcalc.mechanics.bolts import tightening_torque
from anchorcalc.result.fitting import Tightening, WrenchSetting
from anchorcalc.rig.parts import Bars, Bearing, PlateSeat, ThroughSteel, WasherSeat

if TYPE_CHECKING:
    from anchorcalc.catalog.rows import Thread
    from anchorcalc.rig.ledger import Ledger
    from anchorcalc.rig.parts import AnchorSetting
    from anchorcalc.rig.rig import Basis


_BASE_SINKS: Final = "at the latest when the edge of the ring's base begins to sink into the wood"
_STOPS: Final = {
    "nuts": "the washer begins to mark the wood, or the edge of the ring's base does",
    "plate": f"the plate lies flat against the deck with no gap all round, {_BASE_SINKS}",
    "cross-member": f"the deck lies on the cross-member with no gap, {_BASE_SINKS}",
}
"""What is seen where it is tight enough, by what presses on the wood from below [common practice, no source]."""
_PRESSED: Final = {
    "nuts": "wood under the nuts", "plate": "wood over the plate", "cross-member": "wood over the cross-member",
}  # fmt: skip


def tightening(setting: AnchorSetting, basis: Basis, ledger: Ledger, *, in_member: bool) -> Tightening:
    """Torque up to which neither wood nor bolt is asked for more than it may carry on every day."""
    backing = setting.mounting.backing
    if not setting.floor.sound_layers:
        return Tightening("not yet", "no layer of the deck can be counted: replace it first")
    if isinstance(backing, Bars):
        return Tightening("snug", "the bolts cross a gap: turned tighter they bow the deck down to the bar")
    if in_member and isinstance(backing, ThroughSteel) and backing.walls == 2:
        return Tightening("snug", "turned tighter the bolts fold the tube's walls in")
    presses = _presses(setting, in_member=in_member)
    thread, grade = setting.mounting.bolts.thread, setting.mounting.bolts.grade
    below = _below(setting, basis, in_member=in_member)
    above = _wood_limit(_from_above(setting, basis, ledger), basis)
    proof = grade.proof * thread.A_s
    proof_limit = basis.shelf.fitting_factor("proof_share") * proof
    limit = min(below, above, proof_limit)
    if limit == proof_limit:
        why = "the bolt's own proof load"
    else:
        why = f"the {_PRESSED[presses]}" if below <= above else "the wood under the ring's base"
    return Tightening(
        "torque", why, below, above, proof_limit, limit / proof, _settings(limit, thread, basis),
        pressed=_PRESSED[presses], stop=_STOPS[presses],
    )  # fmt: skip


def _presses(setting: AnchorSetting, *, in_member: bool) -> str:
    """What presses on the wood from below: washers under the nuts, a plate, or the steel the bolts go through."""
    if in_member and setting.floor.timber is None:
        return "cross-member"
    return "nuts" if setting.mounting.plate is None else "plate"


def _settings(limit: float, thread: Thread, basis: Basis) -> tuple[WrenchSetting, ...]:
    scatter = basis.factor("torque_scatter")
    found = []
    for state, factor in (("dry, zinc plated or unknown", "torque_dry"), ("oiled or greased", "torque_lubricated")):
        K = basis.factor(factor)
        torque = float(tightening_torque(K, limit, thread.D))
        found.append(WrenchSetting(state, K, torque, torque / (1 + scatter)))
    return tuple(found)


def _wood_limit(setting: AnchorSetting, basis: Basis) -> float:
    """Tension of each bolt at which the layer pressed on is crushed, at the working level [N]."""
    areas = bearing_areas(setting, setting.mounting.positions, basis)
    return float(areas.min()) * crushing_pressure(setting)


def _below(setting: AnchorSetting, basis: Basis, *, in_member: bool) -> float:
    """Tension at which the wood under the deck is crushed [N].

    Over the leg or wall of a cross-member the deck bears on it as on a washer as wide as its face; one of wood is
    pressed by the washer under it.
    """
    floor, timber = setting.floor, setting.floor.timber
    if not in_member:
        return _wood_limit(setting, basis)
    if timber is None:
        return _wood_limit(
            _seated(setting, WasherSeat(floor.member.width, floor.section.thickness, floor.member_steel)), basis
        )
    return crushed_area(setting, setting.mounting.positions, basis) * timber.bears


def _from_above(setting: AnchorSetting, basis: Basis, ledger: Ledger) -> AnchorSetting:
    """The deck turned over: the ring's base under the heads presses on the top layer."""
    mounting, floor = setting.mounting, setting.floor
    base = PlateSeat(mounting.base, mounting.base_thickness, mounting.base_steel)
    return _seated(replace(setting, floor=replace(floor, layers=floor.layers[::-1])), base)


def _seated(setting: AnchorSetting, seat: WasherSeat | PlateSeat) -> AnchorSetting:
    return replace(setting, mounting=replace(setting.mounting, backing=Bearing(seat)))
