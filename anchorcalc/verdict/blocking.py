"""What the stops of a load would have to bear by themselves, as EN 12195-1 reckons blocking."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from anchorcalc.result.words import CASE_WORDS
from anchorcalc.units import format_quantity, unit_system
from anchorcalc.verdict.demand import friction_against, strapped_load

if TYPE_CHECKING:
    from collections.abc import Iterator

    from anchorcalc.catalog.rules import LoadCase
    from anchorcalc.rig.rig import Rig


def blocking_force(weight: float, push: float, mu: float) -> float:
    """Force that stops alone have to bear [N]: F_B = (c - mu c_z) m g with c_z = 1, none below nil.

    Parameters
    ----------
    weight : m g [N]
    push : c, in g
    mu : friction counted against it [-]

    Source: EN 12195-1:2010, 5.4, blocking [from memory].
    """
    return max(push - mu, 0.0) * weight


def blocking_notes(rig: Rig) -> Iterator[str]:
    """For each way that a stop faces: what the stops would have to bear by themselves, and what they are rated for."""
    if not rig.load.stops:
        return
    unit, load = unit_system(rig.units).force, strapped_load(rig)
    for case in _hardest(rig):
        way = np.array([*case.acceleration[:2], 0.0])
        push = float(np.linalg.norm(way))
        facing = [stop for stop in rig.load.stops.values() if float(np.dot(stop.push, way)) < 0]
        if not facing:
            continue
        needed = blocking_force(rig.load.weight, push, friction_against(load, way / push))
        rated = sum(stop.breaking if case.level == "breaking" else stop.rated for stop in facing)
        told, borne = (format_quantity(each, unit, "force", 3) for each in (needed, rated))
        enough = "enough against sliding, not against tipping or lifting" if rated >= needed else "not enough"
        yield (
            f"In {CASE_WORDS[case.case]} with {push:g} g its stops alone would have to bear {told} (EN 12195-1, "
            f"blocking); at the {case.level} level they are good for {borne}: {enough}."
        )


def _hardest(rig: Rig) -> Iterator[LoadCase]:
    """Of each way along the deck the case that asks most of what a stop is rated for."""
    multiple = rig.rules.breaking_over_rated["hardware"]
    found: dict[str, tuple[float, LoadCase]] = {}
    for case in rig.rules.cases:
        push = float(np.linalg.norm(case.acceleration[:2]))
        asked = push / multiple if case.level == "breaking" else push
        if push > 0 and asked > found.get(case.case, (0.0, case))[0]:
            found[case.case] = asked, case
    yield from (case for _, case in found.values())
