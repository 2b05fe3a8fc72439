"""Fasteners left out between others of a strip: what they cost."""

from __future__ import annotations

from statistics import mode
from typing import TYPE_CHECKING, Final

import numpy as np
from msgspec.structs import replace

from anchorcalc.mechanics.outline import turned
from anchorcalc.units import format_quantity, unit_system

if TYPE_CHECKING:
    from collections.abc import Iterator

    from anchorcalc.links.common import FloatArray
    from anchorcalc.rig.parts import MountingSetting
    from anchorcalc.verdict.forces import Forces

_FEWEST: Final = 4  # in a row: of fewer nobody can say how they were meant to stand
_EVEN: Final = 0.1  # of the spacing
_IN_ROW: Final = 0.003  # [m]
_TELLING: Final = 1.01  # what less than a hundredth adds is not told as a cost


def missing_fasteners(forces: Forces) -> Iterator[str]:
    """By mounting: how many its own spacing leaves out, and what its weakest ring would hold with them."""
    rig, units = forces.rig, unit_system(forces.rig.units)
    for mounting in rig.used_mountings:
        between = _left_out(mounting)
        pulled = [each for each in forces.anchors() if each.mounting == mounting.name] if len(between) else []
        if not pulled:
            continue
        least = min(pulled, key=lambda each: each.working)
        whole = replace(mounting, places=(*mounting.places, *map(tuple, between.tolist())))
        anchor = rig.anchors[least.anchor].with_mounting(whole)
        beside = tuple(
            replace(each, anchor=each.anchor.with_mounting(whole)) if each.anchor.base == anchor.base else each
            for each in forces.as_hard(least.anchor)
        )
        filled = forces.strengths.along(anchor, np.array(least.direction), beside).working
        had, could = (format_quantity(each, units.force, "force", 3) for each in (least.working, filled))
        cost = f"{least.anchor} holds {had} daily, with them {could}"
        if filled < _TELLING * least.working:
            cost = f"they would add nothing to the {had} that {least.anchor} holds daily"
        yield f"Mounting {mounting.name} leaves out {len(between)} of its fasteners between others: {cost}."


def _left_out(mounting: MountingSetting) -> FloatArray:
    """Places between fasteners that their own spacing along the base asks for, as the base lies, (n, 2) [m]."""
    own = turned(mounting.positions, -mounting.turned)
    long = 0 if mounting.base[0] >= mounting.base[1] else 1
    rows = np.round(own[:, 1 - long] / _IN_ROW)
    found = [_between(own[rows == row], long) for row in sorted(set(rows.tolist()))]
    return turned(np.concatenate(found), mounting.turned) if found else np.zeros((0, 2))


def _between(row: FloatArray, long: int) -> FloatArray:
    """Places left out of a row of fasteners (n, 2); none where most do not stand evenly."""
    row = row[np.argsort(row[:, long])]
    gaps = np.diff(row[:, long])
    spacing = mode(np.round(gaps, 3).tolist()) if len(row) >= _FEWEST else 0.0
    if np.count_nonzero(np.abs(gaps - spacing) < _EVEN * spacing) < 2:
        return np.zeros((0, 2))
    counts = np.round(gaps / spacing).astype(int)
    wide = (counts > 1) & (np.abs(gaps - counts * spacing) < _EVEN * spacing)
    return np.concatenate(
        [np.zeros((0, 2)), *(np.linspace(row[k], row[k + 1], counts[k] + 1)[1:-1] for k in np.flatnonzero(wide))]
    )
