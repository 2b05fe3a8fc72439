"""Load cases to strap pulls, and strap pulls to the force on every anchor."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from anchorcalc.mechanics.statics import balance
from anchorcalc.mechanics.wrenches import contact_wrenches, line_wrench

if TYPE_CHECKING:
    from collections.abc import Sequence

    from anchorcalc.catalog.rules import LoadCase
    from anchorcalc.rig.rig import Rig

FloatArray = NDArray[np.float64]

UP = np.array([0.0, 0.0, 1.0])


class StrappedLoad(Struct, frozen=True):
    """The load on its straps as numbers: n straps with e legs between them, w wheels, s stops, SI.

    A strap that slides over points has a leg at either end; what lies between them moves nothing.
    """

    weight: float
    centre: FloatArray  # (3,) [m]
    wheels: FloatArray  # (w, 3) [m]
    friction: float
    steadying_friction: tuple[float, float]  # lengthways and sideways, across a case's own direction
    tie_points: FloatArray  # (e, 3) [m]
    rings: FloatArray  # (e, 3) [m]
    leg_of: NDArray[np.intp]  # (e,) strap that each leg belongs to
    stiffness: FloatArray  # (n,) [N/m]
    hand_tension: FloatArray  # (n,) [N]
    over: NDArray[np.bool_]  # (e,) halves of straps that slide over the load
    grip: tuple[float, float]  # lengthways and sideways
    stops: FloatArray  # (s, 3) [m]
    pushing: FloatArray  # (s, 3) unit vectors
    stop_limits: FloatArray  # (s, 2) [N], breaking and working

    @property
    def directions(self) -> FloatArray:
        """Unit vectors from each ring to its tie point: the way each leg pulls its anchor, (e, 3)."""
        along = self.tie_points - self.rings
        return np.asarray(along / np.linalg.norm(along, axis=1, keepdims=True), dtype=float)

    @property
    def on_load(self) -> FloatArray:
        """What one newton of each leg's pull does to the load, (e, 3).

        Half of a strap that slides over the load holds nothing along its own slide: it presses down alone.
        """
        return np.where(self.over[:, None], -self.directions * UP, -self.directions)

    @property
    def slides(self) -> NDArray[np.bool_]:
        """Which straps slide over the load to a second ring, whole or as halves of their own, (n,)."""
        halves = np.bincount(self.leg_of, weights=self.over, minlength=len(self.stiffness)) > 0
        return np.asarray(halves | (np.bincount(self.leg_of, minlength=len(self.stiffness)) > 1))

    @property
    def rubs(self) -> bool:
        """Whether friction or grip is counted against the cases themselves."""
        return self.friction > 0 or max(self.grip) > 0


def strapped_load(rig: Rig) -> StrappedLoad:
    """The load of `rig` on its straps, in their order."""
    load, straps = rig.load, list(rig.straps.values())
    legs = [(number, *leg) for number, strap in enumerate(straps) for leg in strap.legs]
    stops = load.stops.values()
    return StrappedLoad(
        weight=load.weight,
        centre=np.array(load.centre),
        wheels=np.array([[x, y, 0.0] for x, y in load.wheels.values()]),
        friction=load.friction,
        steadying_friction=load.steadying_friction,
        tie_points=np.array([load.tie_points[point].at for _, _, point in legs]),
        rings=np.array([rig.anchors[anchor].ring_at for _, anchor, _ in legs]),
        leg_of=np.array([number for number, _, _ in legs]),
        stiffness=np.array([strap.stiffness for strap in straps]),
        hand_tension=np.array([strap.hand_tension for strap in straps]),
        over=np.array([straps[number].over for number, _, _ in legs]),
        grip=load.grip,
        stops=np.array([stop.at for stop in stops]).reshape(-1, 3),
        pushing=np.array([stop.push for stop in stops]).reshape(-1, 3),
        stop_limits=rig.rules.pass_below * np.array([[stop.breaking, stop.rated] for stop in stops]).reshape(-1, 2),
    )


class Demand(Struct, frozen=True):
    """Pulls of n straps and pushes of s stops in B cases."""

    pulls: FloatArray  # (B, n) [N]
    held: NDArray[np.bool_]  # (B,)
    pushes: FloatArray  # (B, s) [N]


def strap_pulls(load: StrappedLoad, cases: Sequence[LoadCase]) -> Demand:
    """Pull of every strap in every case.

    One-sided statics: straps pull only, wheels and stops push only, hand tension is there before the case begins.
    """
    return _solve(load, cases, with_moments=True)


def turning_share(load: StrappedLoad, cases: Sequence[LoadCase], demand: Demand) -> FloatArray:
    """Share of the greatest pull of each case that only stops the load from turning, (B,) [-]."""
    straight = _solve(load, cases, with_moments=False)
    greatest = demand.pulls.max(axis=1)
    excess = greatest - straight.pulls.max(axis=1)
    turning = np.where(demand.held, excess / np.where(greatest > 0, greatest, 1.0), 0.0)
    return np.maximum(turning, 0.0)


def _force(load: StrappedLoad, case: LoadCase) -> FloatArray:
    inertia = load.weight * np.array(case.acceleration, dtype=float)
    return np.asarray(inertia - (load.weight * UP if case.gravity else 0.0), dtype=float)


def _solve(load: StrappedLoad, cases: Sequence[LoadCase], *, with_moments: bool) -> Demand:
    """Balance forces, and moments about the centre of gravity unless turning is let go free.

    Where friction is counted, a strap that slides presses the load down with its hand tension and no harder: sliding
    does not stretch it. What is not held so may still be held without friction, by the straps as they stretch.
    """
    found = _balanced(load, cases, with_moments=with_moments)
    if not (load.rubs and load.slides.any()) or found.held.all():
        return found
    other = _balanced(replace(load, friction=0.0, grip=(0.0, 0.0)), cases, with_moments=with_moments)
    held = found.held[:, None]
    return Demand(
        np.where(held, found.pulls, other.pulls),
        found.held | other.held,
        np.where(held, found.pushes, other.pushes),
    )


def _balanced(load: StrappedLoad, cases: Sequence[LoadCase], *, with_moments: bool) -> Demand:
    """The cases along the deck and those upward, each kind on what steadies it at its wheels."""
    upward = np.array([_along(case) is None for case in cases])
    n, s = len(load.stiffness), len(load.stops)
    whole = Demand(np.zeros((len(cases), n)), np.zeros(len(cases), dtype=bool), np.zeros((len(cases), s)))
    for which in (upward, ~upward):
        if which.any():
            some = [case for case, wanted in zip(cases, which, strict=True) if wanted]
            found = _balanced_alike(load, some, 6 if with_moments else 3)
            whole.pulls[which], whole.pushes[which], whole.held[which] = found.pulls, found.pushes, found.held
    return whole


def _balanced_alike(load: StrappedLoad, cases: Sequence[LoadCase], rows: int) -> Demand:
    """Balance cases that are all upward, or all along the deck."""
    by_strap = np.zeros((len(load.stiffness), 6))
    np.add.at(by_strap, load.leg_of, line_wrench(load.on_load, load.tie_points - load.centre))
    pulls = by_strap.T[:rows]
    found = [_contacts(load, case) for case in cases]
    wheels = _alike([each for each, _ in found])[:, :rows]
    forces = np.array([_force(load, case) for case in cases])
    external = np.concatenate([forces, np.zeros_like(forces)], axis=1)[:, :rows]
    places = np.vstack([load.tie_points, load.wheels, load.stops])
    lever = float(np.linalg.norm(np.ptp(places, axis=0)))
    most = np.full((len(cases), pulls.shape[1] + wheels.shape[2]), np.inf)
    for row, (_, bears) in zip(most, found, strict=True):
        row[pulls.shape[1] : pulls.shape[1] + len(bears)] = bears
    if load.rubs and _along(cases[0]) is not None:
        most[:, : pulls.shape[1]] = np.where(load.slides, load.hand_tension, np.inf)
    return _with_stops(load, cases, pulls, wheels, external, lever, most)


def _with_stops(
    load: StrappedLoad,
    cases: Sequence[LoadCase],
    pulls: FloatArray,
    wheels: FloatArray,
    external: FloatArray,
    lever: float,
    most: FloatArray,
) -> Demand:
    """Balance on straps and wheels, and on stops as far as they bear."""
    if not len(load.stops):
        bounds = most if np.isfinite(most).any() else None
        found = balance(pulls, wheels, external, load.stiffness, load.hand_tension, lever, bounds)
        return Demand(found.pulls, found.held, np.zeros((len(cases), 0)))
    stops = line_wrench(load.pushing, load.stops - load.centre).T[: external.shape[1]]
    bears = load.stop_limits.T[[0 if case.level == "breaking" else 1 for case in cases]]
    contacts = np.concatenate([wheels, np.broadcast_to(stops, (len(cases), *stops.shape))], axis=2)
    bounds = np.concatenate([most, bears], axis=1)
    found = balance(pulls, contacts, external, load.stiffness, load.hand_tension, lever, bounds)
    # Stops that face each other may press on each other by any amount; told is the least, as of like springs.
    left = external + found.pulls @ pulls.T
    none, free = np.zeros(len(load.stops)), most[:, pulls.shape[1] :]
    alike = balance(stops, wheels, left, none + 1.0, none, lever, np.concatenate([bears, free], axis=1))
    told = np.where(alike.held[:, None], alike.pulls, found.contacts[:, wheels.shape[2] :])
    return Demand(found.pulls, found.held, np.where(found.held[:, None], told, 0.0))


def _alike(generators: list[FloatArray]) -> FloatArray:
    """Stack the cases' generators; one that stands twice pushes no harder than once, so it can fill up."""
    most = max(each.shape[1] for each in generators)
    return np.stack([np.pad(each, ((0, 0), (0, most - each.shape[1])), mode="edge") for each in generators])


def _along(case: LoadCase) -> FloatArray | None:
    """The case's own direction along the deck; None for a bump, which takes the load off its wheels."""
    flat = np.array([case.acceleration[0], case.acceleration[1], 0.0])
    size = float(np.linalg.norm(flat))
    return flat / size if size > 0 else None


def _contacts(load: StrappedLoad, case: LoadCase) -> tuple[FloatArray, FloatArray]:
    """Contact generators of the wheels, (6, q), and what each bears [N]: the case's own direction and that across it.

    A bump takes the load off its wheels: no friction of its weight is left in any direction. What is asked of the
    straps there is to press it down with the case's force; with that alone its wheels are steadied, both ways.
    """
    along, wheels = _along(case), load.wheels - load.centre
    if along is None:
        ways = np.array([[1.0, 0.0, 0.0], [-1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, -1.0, 0.0]])
        steadied = line_wrench(ways, wheels[:, None]).reshape(-1, 6).T
        pressed = max(float(_force(load, case)[2]), 0.0) / len(wheels)
        rubs = np.repeat([mu * pressed for mu in load.steadying_friction], 2)  # of each wheel there and back, each way
        bears = np.concatenate([np.full(len(wheels), np.inf), np.tile(rubs, len(wheels))])
        normals = contact_wrenches(wheels, UP, UP, UP, 0.0, 0.0)  # no way along the deck counts
        return np.concatenate([normals, steadied], axis=1), bears
    across = np.cross(UP, along)
    against = friction_against(load, along)
    steadying = max(load.friction, _ellipse(load.steadying_friction, across), _ellipse(load.grip, across))
    found = contact_wrenches(wheels, UP, along, across, against, steadying)
    return found, np.full(found.shape[1], np.inf)


def friction_against(load: StrappedLoad, way: FloatArray) -> float:
    """Coefficient of the friction or grip that is counted against a push along `way`, a unit vector (3,) [-]."""
    return max(load.friction, _ellipse(load.grip, way))


def _ellipse(grips: tuple[float, float], way: FloatArray) -> float:
    """Coefficient of a grip lengthways and sideways along `way`; between the two directions inside the ellipse."""
    parts = [(abs(float(part)), grip) for part, grip in zip(way[:2], grips, strict=True) if abs(part) > 1e-12]
    if any(grip <= 0 for _, grip in parts):
        return 0.0
    return 1.0 / sum(part / grip for part, grip in parts)
