"""The load on each wheel, and whether the deck bears it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from anchorcalc.mechanics.statics import nnls
from anchorcalc.result.check import Requirement
from anchorcalc.result.words import CASE_WORDS
from anchorcalc.units import format_quantity, unit_system
from anchorcalc.verdict.demand import UP

if TYPE_CHECKING:
    from anchorcalc.links.path import Strengths
    from anchorcalc.result.strength import Verdict
    from anchorcalc.rig.rig import Rig
    from anchorcalc.verdict.demand import Demand, FloatArray, StrappedLoad

_ROUNDING = 1e-9  # of the load's weight
_BALANCE = 1e4  # weight of balance against Σ N²: what it misses is less than a millionth


def wheel_loads(
    load: StrappedLoad, accelerations: FloatArray, pulls: FloatArray, pushes: FloatArray | None = None
) -> FloatArray:
    """Load on each wheel in B cases [N], (B, w): as rigid body on like springs that only push.

    Parameters
    ----------
    accelerations : (B, 3) push on the load, in g
    pulls : (B, n) of the straps [N]
    pushes : (B, s) of the stops [N]; None where they push nothing
    """
    forces = load.weight * (accelerations - UP)
    arms = load.tie_points - load.centre
    on_load = pulls[:, load.leg_of, None] * load.on_load
    if pushes is not None and pushes.shape[1]:
        on_load = np.concatenate([on_load, pushes[:, :, None] * load.pushing], axis=1)
        arms = np.vstack([arms, load.stops - load.centre])
    total = forces + on_load.sum(axis=1)
    # Inertia and weight act at the centre of gravity; at the deck's level they are shifted to below it.
    moment = np.cross(arms[None], on_load).sum(axis=1)
    height = load.centre[2]
    moment_x = moment[:, 0] - height * total[:, 1]
    moment_y = moment[:, 1] + height * total[:, 0]
    x, y = (load.wheels - load.centre)[:, :2].T
    rows = np.stack([np.ones(len(x)), y, -x])
    wanted = -np.stack([total[:, 2], moment_x, moment_y])
    found = (np.linalg.pinv(rows) @ wanted).T
    for case in np.flatnonzero(found.min(axis=1) < -_ROUNDING * load.weight):
        found[case] = _some_lifted(rows, wanted[:, case])
    return np.asarray(np.maximum(found, 0.0), dtype=float)


def _some_lifted(rows: FloatArray, wanted: FloatArray) -> FloatArray:
    """Load on each wheel where some come off: the others bear what those would pull, least Σ N² with none below nil.

    Where no wheels balance the load at all, as near to balance as they come.
    """
    lever = max(float(np.ptp(rows[1:], axis=1).max()), 1e-3)
    weight = _BALANCE / np.array([1.0, lever, lever])
    stiff = np.concatenate([rows * weight[:, None], np.eye(rows.shape[1])])
    return nnls(stiff, np.concatenate([wanted * weight, np.zeros(rows.shape[1])]))


def wheels_on_deck(rig: Rig, load: StrappedLoad, demand: Demand, strengths: Strengths) -> tuple[Requirement, ...]:
    """Whether the deck bears its wheels, at rest and in every case; nothing where each is well within.

    At rest with hand tension the load counts 1.5 times, for it bounces; the pulls of the cases have hand tension in
    them. Over what the panel may bear daily the verdict is marginal at best; over the low estimate of what breaks it,
    it fails.
    """
    bounce = rig.basis.factor("wheel_at_rest")
    rest = wheel_loads(load, np.zeros((1, 3)), load.hand_tension[None])[0] * bounce
    on_wheels = [case for case in rig.rules.cases if case.gravity]
    accelerations = np.array([case.acceleration for case in on_wheels])
    standing = [case.gravity for case in rig.rules.cases]
    in_cases = wheel_loads(load, accelerations, demand.pulls[standing], demand.pushes[standing])
    loads = np.vstack([rest, in_cases])
    when = [f"{bounce:g} times at rest", *(f"in {CASE_WORDS[case.case]}" for case in on_wheels)]
    hardest = zip(loads.max(axis=0).tolist(), (when[row] for row in loads.argmax(axis=0)), strict=True)
    found = []
    for (name, at), (asked, why) in zip(rig.load.wheels.items(), hardest, strict=True):
        others = tuple(place for other, place in rig.load.wheels.items() if other != name)
        bears = strengths.under_wheel(rig.floor, at, rig.load.tyre_print, others)
        found.append((asked > bears.breaking, asked / max(bears.working, 1e-9), name, asked, bears, why))
    # Wheels that are alike differ in the last digit: the first of them is told.
    breaks, used, name, asked, bears, why = max(found, key=lambda each: (each[0], round(each[1], 9)))
    verdict: Verdict = "fail" if breaks else "pass" if used <= 1 else "marginal"
    unit = unit_system(rig.units).force

    def told(force: float) -> str:
        return format_quantity(force, unit, "force", 3)

    return (
        Requirement(
            key="wheels",
            name="deck under the wheels",
            required=f"no more than {told(bears.working)} daily, {told(bears.breaking)} at most"
            + (f": {bears.why_not}" if bears.why_not else ""),
            provided=f"{told(asked)} under {name} ({why}, with hand tension)",
            verdict=verdict,
            source="panel bending F_b S and shear F_s (Ib/Q) (Plywood Design Specification) on the tyre's print; "
            "1.5 at rest is judgement",
            limit=(bears.working, bears.breaking),
            value=(asked,),
            dimension="force",
        ),
    )
