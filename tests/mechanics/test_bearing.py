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


MPA = 1e6
MM = 1e-3
# 3/8 in fender washer, the thinnest that is sold: outside, hole, nut's circle, thickness [m]; yield strength [Pa].
FENDER = (38.1 * MM, 10.31 * MM, 13.56 * MM, 1.295 * MM, 207 * MPA)


def test_a_washers_own_hole_is_taken_out() -> None:
    """EN 1995-1-1 8.5.2(2), M12 on C24: 3 · 2.5 N/mm² on a disc of 48 mm with a hole of 13 mm: 12 576 N."""
    assert bearing.washer_bearing(7.5 * MPA, 48 * MM, 13 * MM) == pytest.approx(12_576.2, rel=1e-5)
    assert bearing.washer_bearing(7.5 * MPA, 10 * MM, 13 * MM) == 0.0


class TestPullThrough:
    def test_by_hand(self) -> None:
        """No hole, one layer T: √D solves x² − 2 t √(f_y / 12 T τ) x − d_nut = 0: 17.831 mm, 6386 N."""
        found = bearing.washer_pull_through(0.1, 0.0, 13.56 * MM, 1.3 * MM, 207 * MPA, 6 * MPA, 19 * MM)
        assert found.diameter == pytest.approx(17.8307 * MM, rel=1e-5)
        assert found.strength == pytest.approx(6385.9, rel=1e-4)

    def test_a_nut_alone_is_a_head(self) -> None:
        found = bearing.washer_pull_through(38 * MM, 10 * MM, 13.56 * MM, 0.0, 207 * MPA, 6 * MPA, 19 * MM)
        assert found == pytest.approx((13.56 * MM, np.pi * 13.56 * 19 * 6))

    def test_a_stout_washer_counts_to_its_rim(self) -> None:
        found = bearing.washer_pull_through(38 * MM, 10 * MM, 13.56 * MM, 12 * MM, 207 * MPA, 6 * MPA, 19 * MM)
        assert found == pytest.approx((38 * MM, np.pi * 38 * 19 * 6))

    def test_the_pressure_is_its_own(self) -> None:
        D, strength = bearing.washer_pull_through(*FENDER, 4.2 * MPA, 19.05 * MM)
        pressure = strength / bearing.washer_bearing(1.0, D, FENDER[1])
        assert pytest.approx(FENDER[2] + 2 * bearing.plate_reach(FENDER[3], FENDER[4], pressure), rel=1e-6) == D

    def test_layers_count_strongest_first_up_to_two_and_a_half_diameters(self) -> None:
        """D 10 mm: 25 mm count, 15 of 3 MPa and 10 of 2 MPa: π · 10 · (45 + 20) = 2042 N."""
        found = bearing.pull_through_strength(10 * MM, [2 * MPA, 3 * MPA], [18 * MM, 15 * MM])
        assert found == pytest.approx(np.pi * 10 * 65)

    def test_a_nut_narrower_than_the_hole_is_refused(self) -> None:
        with pytest.raises(ValueError, match="no wider"):
            bearing.washer_pull_through(38 * MM, 14 * MM, 13.56 * MM, 1 * MM, 207 * MPA, 6 * MPA, 19 * MM)

    @quiet
    @given(
        D=st.floats(14e-3, 80e-3),
        hole=st.floats(5e-3, 12e-3),
        t_w=st.floats(0.5e-3, 8e-3),
        f_y=st.floats(1e8, 5e8),
        tau=st.floats(0.5e6, 10e6),
        t=st.floats(5e-3, 60e-3),
        more=st.floats(1.0, 2.0),
    )
    def test_more_steel_or_wood_never_holds_less(self, D, hole, t_w, f_y, tau, t, more):
        def strength(D=D, hole=hole, t_w=t_w, f_y=f_y, tau=tau, t=t) -> float:
            return bearing.washer_pull_through(D, hole, 13.5e-3, t_w, f_y, tau, t).strength

        held = strength() * (1 - 1e-6)
        assert strength(D=D * more) >= held
        assert strength(t_w=t_w * more) >= held
        assert strength(f_y=f_y * more) >= held
        assert strength(tau=tau * more) >= held
        assert strength(t=t * more) >= held
        assert strength(hole=hole / more) >= held
        assert held >= bearing.pull_through_strength(min(13.5e-3, D), tau, t) * (1 - 2e-6)


@pytest.mark.parametrize("nut", [0.0099, 0.01])
def test_a_nut_that_falls_through_the_washer_is_refused(nut: float) -> None:
    with pytest.raises(ValueError, match="no wider"):
        bearing.washer_pull_through(0.03, 0.01, nut, 0.002, 250e6, [2e6], [0.018])
