"""What stands beside an anchor: the cross-members next to it, and the other anchors that load them."""

from __future__ import annotations

from bisect import bisect_right
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from anchorcalc.mechanics.panels import support_reactions

if TYPE_CHECKING:
    from anchorcalc.rig.floor import FloorSetting
    from anchorcalc.rig.parts import AnchorSetting


def lines_beside(anchor: AnchorSetting) -> tuple[float, ...]:
    """Centrelines of the cross-members behind and ahead of the anchor; on an overhang of the only one [m]."""
    lines, x = anchor.floor.lines, anchor.at[0]
    if anchor.overhang:
        return (lines[-1 if at_front_end(anchor) else 0],)
    ahead = bisect_right(lines, x)
    return lines[ahead - 1], lines[ahead]


def at_front_end(anchor: AnchorSetting) -> bool:
    """Whether an anchor on an overhang stands at the front end of the deck, not at the rear."""
    return anchor.at[0] >= anchor.floor.lines[-1]


def nearest_line(x: float, floor: FloorSetting) -> float:
    """Centreline of the cross-member nearest to `x` [m]."""
    return min(floor.lines, key=lambda line: abs(line - x))


def share_on(line: float, x: float, floor: FloorSetting) -> float:
    """Share of a lift at `x` that the cross-member at `line` takes [-].

    The greater of the levers of single and of continuous panels; more than all of it where the lift stands on an
    overhang beyond the first or last member.
    """
    first, last = floor.lines[0], floor.lines[-1]
    beyond, own = max(first - x, x - last, 0.0), nearest_line(line, floor)
    if beyond > 0:
        return 1 + beyond / floor.bay_of(x) if own == (first if x < first else last) else 0.0
    return _shares(floor.lines, x)[floor.lines.index(own)]


@lru_cache(maxsize=4096)
def _shares(lines: tuple[float, ...], x: float) -> tuple[float, ...]:
    simple = np.array([np.interp(x, lines, unit) for unit in np.eye(len(lines))])
    return tuple(np.maximum(simple, support_reactions(lines, x)).tolist()) if len(lines) > 1 else (1.0,)
