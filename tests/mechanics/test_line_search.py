"""How far to go along a step, by hand."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from anchorcalc.mechanics.line_search import share_of_step


def test_a_straight_slope_is_met_at_once() -> None:
    asked = []

    def slope(s: float) -> float:
        asked.append(s)
        return 10 * s - 3

    assert share_of_step(slope, 0.01) == pytest.approx(0.3)
    assert len(asked) == 3


@pytest.mark.parametrize("size", [1.0, 0.05])
@pytest.mark.parametrize(
    ("slope", "rest", "zero"),
    [
        (lambda s: max(100 * (s - 0.5), 0.0) - 1, 0.05, 0.51),  # -1 up to a half, then rising by 100
        (lambda s: min(100 * (s - 0.5), 0.0) + 0.5, 0.001, 0.495),  # rising by 100 up to a half, then 0.5
    ],
)
def test_a_kinked_slope_is_found_within_what_may_be_left(
    slope: Callable[[float], float], rest: float, zero: float, size: float
) -> None:
    """By false position alone it would take 35 trials and more: each comes nearer by a fiftieth (a hundredth)."""
    asked = []

    def scaled(s: float) -> float:
        asked.append(s)
        return size * slope(s)

    assert share_of_step(scaled, rest) == pytest.approx(zero, abs=rest * abs(slope(0.0)) / 100)
    assert len(asked) < 25


def test_a_step_that_still_goes_down_at_its_end_is_gone_whole() -> None:
    assert share_of_step(lambda s: s - 2, 0.1) == 1.0
