"""Bearing: exact areas and hulls against independent integration and geometry; what more steel must do."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.spatial import ConvexHull

from anchorcalc.mechanics import bearing

quiet = settings(derandomize=True, deadline=None, max_examples=100)
sizes = st.floats(1e-3, 0.3)
distances = st.floats(0.0, 0.3)
SQUARE = np.array([[-1.0, -1.0], [-1.0, 1.0], [1.0, -1.0], [1.0, 1.0]]) * 0.04


def _integrated_area(r: float, left: float, right: float, front: float, back: float) -> float:
    """By x = r sin θ, so that the circle's steep ends do no harm."""

    def height(angle: float) -> float:
        half = r * np.cos(angle)
        return (min(half, front) + min(half, back)) * half

    low, high = -np.arcsin(min(left / r, 1.0)), np.arcsin(min(right / r, 1.0))
    kinks = [np.arccos(min(side / r, 1.0)) for side in (front, back)]
    inside = sorted({k for kink in kinks for k in (kink, -kink) if low < k < high})
    ends = [low, *inside, high]
    return sum(quad(height, start, end)[0] for start, end in itertools.pairwise(ends) if end > start)


@quiet
@given(r=sizes, left=distances, right=distances, front=distances, back=distances)
def test_disc_in_rectangle_equals_numerical_integration(r, left, right, front, back):
    exact = bearing.disc_in_rectangle(r, left, right, front, back)
    assert exact == pytest.approx(_integrated_area(r, left, right, front, back), abs=1e-6 * r**2, rel=1e-6)


def test_disc_in_rectangle_limits():
    inf = np.inf
    assert bearing.disc_in_rectangle(2.0, inf, inf, inf, inf) == pytest.approx(4 * np.pi)
    assert bearing.disc_in_rectangle(2.0, 0.0, inf, inf, inf) == pytest.approx(2 * np.pi)
    assert bearing.disc_in_rectangle(2.0, 1.0, 1.0, 1.0, 1.0) == pytest.approx(4.0)
    assert bearing.disc_in_rectangle(0.0, 1.0, 1.0, 1.0, 1.0) == 0.0


def test_disc_in_rectangle_takes_arrays():
    r = np.linspace(0.0, 0.2, 20_000)
    areas = bearing.disc_in_rectangle(r, 0.05, 0.1, 0.02, 0.3)
    assert areas.shape == r.shape
    assert np.all(np.diff(areas) >= -1e-15)
    assert areas[7_000] == pytest.approx(_integrated_area(r[7_000], 0.05, 0.1, 0.02, 0.3), rel=1e-6)


def _area_of_union(positions: np.ndarray, r: float, half: np.ndarray) -> float:
    """Joined discs on the plate, by counting points of a fine grid."""
    x, y = (np.linspace(-h, h, 801) for h in half)
    covered = np.zeros((801, 801), dtype=bool)
    for px, py in positions:
        covered |= (x[:, None] - px) ** 2 + (y[None, :] - py) ** 2 <= r**2
    return float(covered.mean() * 4 * half[0] * half[1])


patterns = st.lists(st.tuples(st.integers(-60, 60), st.integers(-60, 60)), min_size=1, max_size=6, unique=True).map(
    lambda points: np.array(points, dtype=float) / 1000
)


@settings(derandomize=True, deadline=None, max_examples=40)
@given(positions=patterns, r=st.floats(0.005, 0.08))
def test_pieces_together_never_exceed_the_joined_discs(positions, r):
    half = np.array([0.07, 0.075])
    together = bearing.bearing_areas(positions, r, half, 0.0).sum()
    assert together <= _area_of_union(positions, r, half) * 1.01 + 1e-6


def test_square_pattern_shares_its_joined_discs_exactly():
    half = np.array([0.07, 0.07])
    areas = bearing.bearing_areas(SQUARE, 0.05, half, 0.0)
    assert areas == pytest.approx(np.full(4, areas[0]))
    assert areas.sum() == pytest.approx(_area_of_union(SQUARE, 0.05, half), rel=3e-3)


def test_candidates_are_computed_together():
    r = np.linspace(0.01, 0.06, 500)
    half = np.stack([np.linspace(0.05, 0.1, 500), np.full(500, 0.06)], axis=-1)
    together = bearing.bearing_areas(SQUARE, r, half, 0.011)
    assert together.shape == (500, 4)
    assert together[321] == pytest.approx(bearing.bearing_areas(SQUARE, r[321], half[321], 0.011))


def test_two_bolts_in_one_place_are_refused():
    with pytest.raises(ValueError, match="same place"):
        bearing.bearing_areas([[0.0, 0.0], [0.0, 0.0]], 0.02, [0.1, 0.1], 0.01)


@quiet
@given(positions=patterns, r=sizes, more=st.floats(0.0, 0.1))
def test_larger_disc_or_plate_never_bears_less(positions, r, more):
    half = np.array([0.07, 0.075])
    areas = bearing.bearing_areas(positions, r, half, 0.01)
    assert np.all(bearing.bearing_areas(positions, r + more, half, 0.01) >= areas - 1e-12)
    assert np.all(bearing.bearing_areas(positions, r, half + more, 0.01) >= areas - 1e-12)


@quiet
@given(positions=patterns.filter(lambda p: np.linalg.matrix_rank(p - p[0]) == 2), r=sizes)
def test_hull_perimeter_agrees_with_a_general_hull(positions, r):
    general = ConvexHull(positions).area  # of a plane hull, its perimeter
    assert bearing.hull_perimeter(positions, r) == pytest.approx(general + 2 * np.pi * r)


def test_hull_perimeter_of_one_bolt_and_of_a_row():
    assert bearing.hull_perimeter([[0.3, 0.1]], 0.02) == pytest.approx(2 * np.pi * 0.02)
    row = [[0.0, 0.0], [0.05, 0.0], [0.1, 0.0]]
    assert bearing.hull_perimeter(row, 0.02) == pytest.approx(0.2 + 2 * np.pi * 0.02)


def test_hull_on_a_plate_never_exceeds_its_outline():
    assert bearing.hull_perimeter_on_plate(SQUARE, 0.2, [0.05, 0.06]) == pytest.approx(0.44)
    inside = bearing.hull_perimeter_on_plate(SQUARE, 0.005, [0.05, 0.06])
    assert inside == pytest.approx(bearing.hull_perimeter(SQUARE, 0.005))


@quiet
@given(t=sizes, f_y=st.floats(1e8, 5e8), f=st.floats(1e5, 2e7), factor=st.floats(1.0, 5.0))
def test_more_steel_reaches_farther_and_scale_does_not_matter(t, f_y, f, factor):
    c = bearing.plate_reach(t, f_y, f)
    assert bearing.plate_reach(t * factor, f_y, f) >= c
    assert bearing.plate_reach(t, f_y * factor, f) >= c
    assert bearing.plate_reach(t, f_y, f * factor) <= c
    assert bearing.plate_reach(t * factor, f_y * factor, f * factor) == pytest.approx(c * factor)


def test_effective_diameter_stops_at_the_washer():
    assert bearing.effective_diameter(0.014, 0.003, 0.038) == pytest.approx(0.020)
    assert bearing.effective_diameter(0.014, 0.030, 0.038) == pytest.approx(0.038)
    assert bearing.washer_equal_diameter([0.002, 0.01], 0.01) == pytest.approx([0.024, 0.04])


def test_a_hole_is_taken_out_of_each_disc():
    far_apart = SQUARE * 10
    areas = bearing.bearing_areas(far_apart, 0.02, [np.inf, np.inf], 0.01)
    assert areas == pytest.approx(np.full(4, np.pi / 4 * (0.04**2 - 0.01**2)))


def test_breaking_stress_is_three_times_the_characteristic_one():
    assert bearing.crushing_breaking_stress(2.5e6) == pytest.approx(7.5e6)
