"""Load cases to strap pulls, and strap pulls to the force on every anchor."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from anchorcalc.mechanics.statics import balance
from anchorcalc.mechanics.wrenches import contact_wrenches, line_wrench

if TYPE_CHECKING:
    from collections.abc import Sequence

    from anchorcalc.catalog.rules import LoadCase
    from anchorcalc.rig.rig import Rig

FloatArray = NDArray[np.float64]

UP = np.array([0.0, 0.0, 1.0])


@dataclass(frozen=True)
class StrappedLoad:
    """The load on its straps as numbers: n straps, w wheels, SI."""

    weight: float
    centre: FloatArray  # (3,) [m]
    wheels: FloatArray  # (w, 3) [m]
    friction: float
    steadying_friction: float
    tie_points: FloatArray  # (n, 3) [m]
    rings: FloatArray  # (n, 3) [m]
    stiffness: FloatArray  # (n,) [N/m]
    hand_tension: FloatArray  # (n,) [N]
    over: NDArray[np.bool_]  # (n,) straps that slide over the load

    @property
    def directions(self) -> FloatArray:
        """Unit vectors from each ring to its tie point: the way each strap pulls its anchor, (n, 3)."""
        along = self.tie_points - self.rings
        return np.asarray(along / np.linalg.norm(along, axis=1, keepdims=True), dtype=float)

    @property
    def on_load(self) -> FloatArray:
        """What one newton of each strap's pull does to the load, (n, 3).

        A strap that slides over the load holds nothing along its own slide: it presses down alone.
        """
        return np.where(self.over[:, None], -self.directions * UP, -self.directions)


def strapped_load(rig: Rig) -> StrappedLoad:
    """The load of `rig` on its straps, in their order."""
    load, straps = rig.load, rig.straps.values()
    return StrappedLoad(
        weight=load.weight,
        centre=np.array(load.centre),
        wheels=np.array([[x, y, 0.0] for x, y in load.wheels.values()]),
        friction=load.friction,
        steadying_friction=load.steadying_friction,
        tie_points=np.array([load.tie_points[strap.tie_point].at for strap in straps]),
        rings=np.array([rig.anchors[strap.anchor].ring_at for strap in straps]),
        stiffness=np.array([strap.stiffness for strap in straps]),
        hand_tension=np.array([strap.hand_tension for strap in straps]),
        over=np.array([strap.over for strap in straps]),
    )


@dataclass(frozen=True)
class Demand:
    """Pulls of n straps in B cases."""

    pulls: FloatArray  # (B, n) [N]
    held: NDArray[np.bool_]  # (B,)
    turning_share: FloatArray  # (B,) share of the greatest pull that only stops the load from turning


def strap_pulls(load: StrappedLoad, cases: Sequence[LoadCase]) -> Demand:
    """Pull of every strap in every case.

    One-sided statics: straps pull only, wheels push only, hand tension is there before the case begins.
    """
    forces = np.array([_force(load, case) for case in cases])
    pulls, held = _solve(load, cases, forces, with_moments=True)
    straight, _ = _solve(load, cases, forces, with_moments=False)
    greatest = pulls.max(axis=1)
    excess = greatest - straight.max(axis=1)
    turning = np.where(held & (greatest > 0), excess / np.where(greatest > 0, greatest, 1.0), 0.0)
    return Demand(pulls, held, np.clip(turning, 0.0, 1.0))


def _force(load: StrappedLoad, case: LoadCase) -> FloatArray:
    inertia = load.weight * np.array(case.acceleration, dtype=float)
    return np.asarray(inertia - (load.weight * UP if case.gravity else 0.0), dtype=float)


def _solve(
    load: StrappedLoad, cases: Sequence[LoadCase], forces: FloatArray, *, with_moments: bool
) -> tuple[FloatArray, NDArray[np.bool_]]:
    """Balance forces, and moments about the centre of gravity unless turning is let go free."""
    pulls = line_wrench(load.on_load, load.tie_points - load.centre).T
    contacts = _alike([_contacts(load, case) for case in cases])
    external = np.concatenate([forces, np.zeros_like(forces)], axis=1)
    if not with_moments:
        pulls, contacts, external = pulls[:3], contacts[:, :3], external[:, :3]
    lever = float(np.linalg.norm(np.ptp(np.vstack([load.tie_points, load.wheels]), axis=0)))
    found = balance(pulls, contacts, external, load.stiffness, load.hand_tension, lever)
    return found.pulls, found.held


def _alike(generators: list[FloatArray]) -> FloatArray:
    """Stack the cases' generators; one that stands twice pushes no harder than once, so it can fill up."""
    most = max(each.shape[1] for each in generators)
    return np.stack([np.pad(each, ((0, 0), (0, most - each.shape[1])), mode="edge") for each in generators])


def _contacts(load: StrappedLoad, case: LoadCase) -> FloatArray:
    """Contact generators of the wheels, (6, q): the case's own direction and the one across it.

    A bump takes the load off its wheels: no friction is left in any direction.
    """
    flat = np.array([case.acceleration[0], case.acceleration[1], 0.0])
    size = float(np.linalg.norm(flat))
    along = flat / size if size > 0 else np.array([1.0, 0.0, 0.0])
    across = np.cross(UP, along)
    rubs = 1.0 if size > 0 else 0.0
    steadying = rubs * max(load.friction, load.steadying_friction)
    return contact_wrenches(load.wheels - load.centre, UP, along, across, rubs * load.friction, steadying)
