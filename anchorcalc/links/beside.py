"""What stands beside an anchor: the cross-members next to it, and the other anchors that load them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from anchorcalc.mechanics.panels import member_reactions, support_reactions

if TYPE_CHECKING:
    from anchorcalc.rig.parts import AnchorSetting, FloorSetting


def lines_beside(anchor: AnchorSetting) -> tuple[float, ...]:
    """Centrelines of the cross-members behind and ahead of the anchor; on an overhang of the only one [m]."""
    x = anchor.at[0]
    if anchor.overhang:
        return (anchor.floor.lines[-1 if at_front_end(anchor) else 0],)
    return x - anchor.behind, x + anchor.ahead


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
    beyond = max(first - x, x - last, 0.0)
    if beyond > 0:
        end = first if x < first else last
        return 1 + beyond / floor.bay_of(x) if abs(line - end) < 1e-9 else 0.0
    away = abs(x - line)
    if floor.even:
        return float(member_reactions(floor.spacing, away)[0]) if away < floor.spacing else 0.0
    simple = max(1 - away / floor.bay_of(x), 0.0)
    return max(simple, float(support_reactions(floor.lines, x)[floor.lines.index(line)]))
