"""Cubic functions on a line, by hand."""

from __future__ import annotations

import numpy as np
import pytest

from anchorcalc.mechanics.hermite import HermiteLine, grid_lines

UNEVEN = np.array([0.0, 0.1, 0.3, 0.4, 0.7, 1.0])


def unknowns(*sides: np.ndarray) -> np.ndarray:
    """Of one function by its values and slopes on the lines."""
    return np.column_stack(sides).reshape(-1, 1)


def test_curvature_of_a_fourth_power_is_true_between_the_lines_as_well() -> None:
    """w = x⁴ / 24, met at the lines: w'' = x² / 2, which the straight pieces of w'' miss by h² (s² − s + 1/6) / 2."""
    line = HermiteLine(UNEVEN)
    w = unknowns(UNEVEN**4 / 24, UNEVEN**3 / 6)
    places = np.array([0.0, 0.04, 0.1, 0.2, 0.35, 0.5, 0.7, 0.9, 1.0])
    assert line.curvatures(w, places).ravel() == pytest.approx(places**2 / 2, abs=1e-12)
    # Without what is added for the bow the first cell would be 0.1² / 12 off at its end, the last 0.3² / 12.
    plain = (line.rows(places, 2) @ w).ravel() - places**2 / 2
    assert plain[[0, -1]] == pytest.approx([-(0.1**2) / 12, -(0.3**2) / 12])


def test_a_kink_of_the_curvature_over_a_line_is_left_alone() -> None:
    # w = |x − 0.4|³ / 6: w'' = |x − 0.4|.
    line, off = HermiteLine(UNEVEN), UNEVEN - 0.4
    w = unknowns(np.abs(off) ** 3 / 6, off * np.abs(off) / 2)
    places = np.array([0.0, 0.2, 0.35, 0.4, 0.5, 0.7, 0.95])
    assert line.curvatures(w, places).ravel() == pytest.approx(np.abs(places - 0.4), abs=1e-12)


def test_one_cell_alone_has_no_bow() -> None:
    line = HermiteLine([0.0, 1.0])
    w = unknowns(np.array([0.0, 1.0]), np.array([0.0, 3.0]))  # x³
    assert line.curvatures(w, [0.0, 0.25, 1.0]).ravel() == pytest.approx([0.0, 1.5, 6.0])


def test_values_and_derivatives_of_a_cubic() -> None:
    line = HermiteLine(UNEVEN)
    assert line.knots_and_middles == pytest.approx([0.0, 0.05, 0.1, 0.2, 0.3, 0.35, 0.4, 0.55, 0.7, 0.85, 1.0])
    w = unknowns(UNEVEN**3 - UNEVEN, 3 * UNEVEN**2 - 1)
    x = np.array([0.0, 0.05, 0.3, 0.6, 1.0])
    for derivative, true in enumerate((x**3 - x, 3 * x**2 - 1, 6 * x, np.full(5, 6.0))):
        assert (line.rows(x, derivative) @ w).ravel() == pytest.approx(true, abs=1e-12)
    # ∫ w'² = ∫ 9 x⁴ − 6 x² + 1; ∫ w w'' = ∫ 6 x⁴ − 6 x².
    assert (w.T @ line.gram(1, 1) @ w).item() == pytest.approx(9 / 5 - 2 + 1)
    assert (w.T @ line.gram(0, 2) @ w).item() == pytest.approx(6 / 5 - 2)
    assert (line.mean((0.2, 0.5)) @ w).item() == pytest.approx(((0.5**4 - 0.2**4) / 4 - (0.25 - 0.04) / 2) / 0.3)
    assert (line.mean(0.6, 1) @ w).item() == pytest.approx(3 * 0.36 - 1)


def test_on_a_line_the_mean_of_its_two_sides_counts() -> None:
    # w'' rises by 6 a metre up to 0.4 and is nil beyond: 2.4 there, of which a line tells half.
    line = HermiteLine([0.0, 0.4, 1.0])
    w = unknowns(np.array([0.0, 0.064, 0.064 + 0.48 * 0.6]), np.array([0.0, 0.48, 0.48]))
    assert (line.rows([0.39, 0.4, 0.41], 2) @ w).ravel() == pytest.approx([2.34, 1.2, 0.0], abs=1e-12)
    rounded = 0.4 + 1e-11 * np.array([1, -1])
    assert (line.rows(rounded, 2) @ w).ravel() == pytest.approx([1.2, 1.2])


@pytest.mark.parametrize(("long", "cells"), [(1.0, 4), (1.001, 5), (0.999, 4), (0.2, 1)])
def test_no_cell_is_wider_than_asked(long: float, cells: int) -> None:
    assert grid_lines(long, 0.25) == pytest.approx(np.linspace(0, long, cells + 1))


def test_lines_through_places_asked_for_twice() -> None:
    assert grid_lines(1.0, 0.25, (0.5, 0.5, 1.0)) == pytest.approx(np.linspace(0, 1, 5))
    assert grid_lines(2.0, 0.25, (0.6, 0.0)) == pytest.approx([0, 0.2, 0.4, *np.linspace(0.6, 2.0, 7)])
