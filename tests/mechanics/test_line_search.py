"""How far to go along a step, by hand."""

from __future__ import annotations

import pytest

from anchorcalc.mechanics.line_search import share_of_step


def test_a_straight_slope_is_met_at_once() -> None:
    asked = []

    def slope(s: float) -> float:
        asked.append(s)
        return 10 * s - 3

    assert share_of_step(slope, 0.01) == pytest.approx(0.3)
    assert len(asked) == 3


def test_a_kinked_slope_is_found_within_what_may_be_left() -> None:
    """-1 up to a half, then rising by 100: zero at 0.51."""
    found = share_of_step(lambda s: max(100 * (s - 0.5), 0.0) - 1, 0.05)
    assert found == pytest.approx(0.51, abs=0.05 / 100)


def test_a_step_that_still_goes_down_at_its_end_is_gone_whole() -> None:
    assert share_of_step(lambda s: s - 2, 0.1) == 1.0
