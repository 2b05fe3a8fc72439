"""What anchors hold by themselves: the least all round the compass against the angle from upright."""

from __future__ import annotations

from math import degrees
from typing import TYPE_CHECKING

from anchorcalc.render.draw.axes import CURVES, Axes
from anchorcalc.render.draw.letters import screen_fitted
from anchorcalc.render.draw.svg import Markup, document, group, harmless, label
from anchorcalc.render.figures import force
from anchorcalc.units import unit_worth

if TYPE_CHECKING:
    from collections.abc import Sequence

    from anchorcalc.result.strength import LeastStrength
    from anchorcalc.units import UnitSystem

_WIDTH, _HEIGHT = 340.0, 180.0  # so that its words are no smaller than 11 px on a phone
_LINE, _TOP = 17.0, 24.0
_ROOM = 4.0  # what standards ask beyond so many times what is held stands in the table alone


def least_chart(curves: Sequence[tuple[str, LeastStrength]], units: UnitSystem) -> Markup:
    """Curves by the names of their anchors, the weakest four of them, and what the yardsticks ask as lines."""
    unit = unit_worth(units.force, "force")
    weakest = sorted(curves, key=lambda curve: curve[1].working.strength)[: len(CURVES)]
    asked = sorted({each.per_point / unit for _, least in weakest for each in least.yardsticks})
    held = max(daily / unit for _, least in weakest for _, daily in least.by_angle)
    most = 1.1 * max([held, *(each for each in asked if each <= _ROOM * held)])
    axes = Axes(50.0, _TOP, _WIDTH - 60.0, _HEIGHT, (0.0, 60.0), (0.0, most))
    drawn = [
        axes.frame("degrees from upright", f"holds daily [{units.force}]"),
        *(axes.level(at, "wanted") for at in asked),
    ]
    top = _TOP + _HEIGHT + 56.0
    for row, (style, (names, least)) in enumerate(zip(CURVES, weakest, strict=False)):
        drawn.append(axes.curve([(degrees(angle), daily / unit) for angle, daily in least.by_angle], style))
        said = screen_fitted(f"{force(least.working.strength, units)}: {names}", 13.0, _WIDTH)
        drawn.append(label(0.0, top + _LINE * row, said, most=120, class_=style))
    height = top + _LINE * len(weakest)
    spoken = "; ".join(f"{harmless(names, 90)}: {force(least.working.strength, units)}" for names, least in weakest)
    return Markup(
        document(
            group(*drawn, class_="deck-plan"), view=(0, 0, _WIDTH, height), title="Least strength by angle of the pull",
            description=f"Held daily in the weakest direction: {spoken}.",
        )
    )  # fmt: skip
