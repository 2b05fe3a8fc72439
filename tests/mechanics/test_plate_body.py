"""Grids that are fine at seats, and how loads lie on a plate, by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from anchorcalc.mechanics.hermite import HermiteLine
from anchorcalc.mechanics.plate_body import (
    Couple,
    Patch,
    PlateBody,
    Stretch,
    disc,
    graded_lines,
    span_means,
)
from anchorcalc.mechanics.plates import Plate, Rigidities


@pytest.mark.parametrize(("long", "cells"), [(1.0, 4), (1.02375, 4), (1.02625, 5)])
def test_away_from_seats_cells_are_even(long: float, cells: int) -> None:
    """A tenth of a cell more than asked is let be: 4.095 widths make 4 cells, 4.105 make 5."""
    lines = graded_lines((2.0, 2.0 + long), 0.25, (), ())
    assert lines == pytest.approx(2 + np.linspace(0, long, cells + 1))
    assert len(graded_lines((2.0, 2.0 + long), 0.25, (), (), 2.0)) == pytest.approx(2 * cells + 1, abs=1)


@pytest.mark.parametrize(
    ("seat", "cells"),
    [
        ((0.5, 0.6), 2),  # half of a seat
        ((0.5, 0.5228), 1),  # 1.094 of a twelfth of 0.25, the finest
        ((0.5, 0.5231), 2),  # 1.109 of it
        ((0.4, 0.74), 4),  # 4.08 thirds of 0.25, the coarsest
        ((0.4, 0.743), 5),  # 4.116 of them
    ],
)
def test_cells_at_a_seat(seat: Stretch, cells: int) -> None:
    lines = graded_lines((0.0, 1.0), 0.25, (), [seat])
    at = lines[(lines >= seat[0] - 1e-9) & (lines <= seat[1] + 1e-9)]
    assert at == pytest.approx(np.linspace(*seat, cells + 1))


def test_cells_grow_by_035_of_the_way_from_a_seat() -> None:
    # 0.05 + 0.35 d wide: ln(1 + 7 · 0.9) / 0.35 = 5.68 of them, so that six lie 0.946 apart in that measure; the first
    # line beyond the seat is (e^(0.35 · 0.946) − 1) / 7 = 0.0561 off, the last but one (e^(1.75 · 0.946) − 1) / 7.
    lines = graded_lines((0.0, 1.0), 0.5, (), [(0.0, 0.1)])
    assert len(lines) == 2 + 1 + 6
    assert lines[3] - 0.1 == pytest.approx(0.0561, rel=0.01)
    assert lines[-2] - 0.1 == pytest.approx(0.606, rel=0.01)
    # Mirrored, and no wider than what is asked: 0.2 at 0.43 off the seat.
    assert graded_lines((0.0, 1.0), 0.5, (), [(0.9, 1.0)]) == pytest.approx(1 - lines[::-1], abs=1e-3)
    assert np.diff(graded_lines((0.0, 1.0), 0.2, (), [(0.0, 0.1)])).max() < 0.201


@pytest.mark.parametrize(("hard", "own"), [(0.479, True), (0.481, False)])
@pytest.mark.parametrize("fineness", [1.0, 2.0])
def test_seats_begin_on_lines_unless_these_are_nearly_one_with_others(hard: float, own: bool, fineness: float) -> None:
    """A seat of 0.1 asks for cells of 0.05: nearer than 0.4 of that, 0.02, to a line that must be, it has none."""
    lines = graded_lines((0.0, 1.0), 0.25, (hard, hard, 1.2, 0.0), [(0.5, 0.6)], fineness)
    assert np.abs(lines - hard).min() < 1e-12
    assert (np.abs(lines - 0.5).min() < 1e-12) == own
    assert (lines[0], lines[-1]) == (0.0, 1.0)
    assert np.diff(lines).min() > 1e-3


LINE = HermiteLine(np.linspace(0.0, 1.0, 11))


def unknowns(value: np.ndarray, slope: np.ndarray) -> np.ndarray:
    return np.column_stack((value, slope)).ravel()


X = LINE.knots
SQUARE, LEVEL = unknowns(X**2, 2 * X), unknowns(np.ones(11), np.zeros(11))


def test_means_over_stretches() -> None:
    found = span_means(LINE, [(0.05, 0.35), (0.4, 0.5)]) @ SQUARE
    assert found == pytest.approx([(0.35**3 - 0.05**3) / 0.9, (0.5**3 - 0.4**3) / 0.3])
    assert span_means(LINE, [(0.05, 0.35)], 1) @ SQUARE == pytest.approx([0.4])
    assert span_means(LINE, []).shape == (0, LINE.size)


@pytest.mark.parametrize(
    ("load", "along", "across"),
    [
        (Patch((0.2, 0.5), (0.3, 0.4)), (0.5**3 - 0.2**3) / 0.9, (0.4**3 - 0.3**3) / 0.3),
        (Patch((0.9, 1.1), (0.3, 0.4)), (1 - 0.9**3) / 0.6, (0.4**3 - 0.3**3) / 0.3),  # half of it off the plate
        # 12 (x − m) / L³ over the patch gives a moment of one about m, and of x² twice m.
        (Couple((0.2, 0.6), (0.3, 0.4), "x"), 0.8, (0.4**3 - 0.3**3) / 0.3),
        (Couple((0.3, 0.4), (0.2, 0.6), "y"), (0.4**3 - 0.3**3) / 0.3, 0.8),
        # Beyond its middle, on the edge, nothing bears it: −12 / 0.4³ ∫ u (1 − u)² du from 0 to 0.2.
        (Couple((0.8, 1.2), (0.3, 0.4), "x"), -12 / 0.064 * (0.02 - 2 * 0.008 / 3 + 0.0016 / 4), 0.037 / 0.3),
    ],
)
def test_what_a_load_does_to_a_square(load: Patch | Couple, along: float, across: float) -> None:
    """Work on w = x² y²."""
    body = PlateBody(Plate(X, X, Rigidities(1.0, 1.0, 0.0, 0.5)))
    body.add_loads([(0, load)])
    (products,) = body._products
    assert products.of(np.outer(SQUARE, LEVEL)) == pytest.approx([along * (products.y @ LEVEL).item()])
    assert products.of(np.outer(SQUARE, SQUARE)) == pytest.approx([along * across])


def test_a_load_beside_the_plate_does_nothing() -> None:
    body = PlateBody(Plate(X, X, Rigidities(1.0, 1.0, 0.0, 0.5)))
    body.add_loads([(0, Patch((1.0, 1.1), (0.3, 0.4)))])
    assert not body._products


def test_a_disc_is_a_square_as_large() -> None:
    (x0, x1), (y0, y1), _ = disc(0.3, 0.2, 0.1)
    assert (x1 - x0) * (y1 - y0) == pytest.approx(math.pi / 4 * 0.01)
    assert (x1 - x0, x0 + x1, y0 + y1) == pytest.approx((y1 - y0, 0.6, 0.4))
