"""How far to go along a step of Newton's method, where the energy along it is convex and once smooth."""

from __future__ import annotations

from collections.abc import Callable

_MOST_TRIALS = 40


def share_of_step(slope: Callable[[float], float], rest: float) -> float:
    """Share of a step, 0 to 1, at which the energy along it is nearly least.

    The energy's slope along the step rises steadily, so its zero is bracketed and found by false position with
    halving (the Illinois rule).

    Parameters
    ----------
    slope : slope of the energy by the share gone
    rest : share of the slope at the start that may be left

    """
    low, high, slope_low, slope_high = 0.0, 1.0, slope(0.0), slope(1.0)
    good_enough = rest * abs(slope_low)
    if slope_high <= good_enough:
        return high
    s = high
    for _ in range(_MOST_TRIALS):
        s = (low * slope_high - high * slope_low) / (slope_high - slope_low)
        here = slope(s)
        if abs(here) <= good_enough:
            break
        if here < 0:
            low, slope_low, slope_high = s, here, slope_high / 2
        else:
            high, slope_high, slope_low = s, here, slope_low / 2
    return s
