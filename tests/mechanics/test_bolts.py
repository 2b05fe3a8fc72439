"""Bolts: the closed interaction against the clause as it is written, and what more steel must do.

Values of single tables are rows in tables/published/.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from anchorcalc.mechanics import bolts

INCH = 0.0254
stresses = st.floats(1e8, 1e9)
areas = st.floats(1e-5, 1e-3)
shares = st.floats(0.01, 3.0)
factors = st.floats(1.0, 3.0)
omegas = st.sampled_from([1.0, 2.0])


def passes_j3_7(F: float, F_nt: float, F_nv: float, A_b: float, t: float, v: float, omega: float) -> bool:
    """AISC 360 J3.6 and J3.7 (ASD) as written, for pull F: tension t F and shear v F on one bolt."""
    f_rv = v * F / A_b
    F_nt_reduced = min(1.3 * F_nt - omega * F_nt / F_nv * f_rv, F_nt)
    return f_rv <= F_nv / omega and t * F / A_b <= F_nt_reduced / omega


@given(stresses, stresses, areas, shares, shares, omegas)
def test_closed_interaction_is_the_clause_as_written(F_nt, F_nv, A_b, t, v, omega):
    pull = float(bolts.tension_shear_pull_aisc(F_nt, F_nv, A_b, t, v, omega))
    assert passes_j3_7(pull * (1 - 1e-9), F_nt, F_nv, A_b, t, v, omega)
    assert not passes_j3_7(pull * (1 + 1e-9), F_nt, F_nv, A_b, t, v, omega)


@given(stresses, stresses, areas, shares, shares, omegas, factors)
def test_more_bolt_never_holds_less_and_more_share_never_more(F_nt, F_nv, A_b, t, v, omega, factor):
    pull = bolts.tension_shear_pull_aisc(F_nt, F_nv, A_b, t, v, omega)
    assert bolts.tension_shear_pull_aisc(F_nt * factor, F_nv, A_b, t, v, omega) >= pull * (1 - 1e-12)
    assert bolts.tension_shear_pull_aisc(F_nt, F_nv * factor, A_b, t, v, omega) >= pull * (1 - 1e-12)
    assert bolts.tension_shear_pull_aisc(F_nt, F_nv, A_b * factor, t, v, omega) == pytest.approx(pull * factor)
    assert bolts.tension_shear_pull_aisc(F_nt, F_nv, A_b, t * factor, v, omega) <= pull * (1 + 1e-12)
    assert bolts.tension_shear_pull_aisc(F_nt, F_nv, A_b, t, v * factor, omega) <= pull * (1 + 1e-12)


@given(stresses, stresses, areas, shares, shares, omegas)
def test_an_oblique_pull_never_holds_more_than_either_part_alone(F_nt, F_nv, A_b, t, v, omega):
    pull = bolts.tension_shear_pull_aisc(F_nt, F_nv, A_b, t, v, omega)
    assert pull <= bolts.tension_shear_pull_aisc(F_nt, F_nv, A_b, t, 0.0, omega)
    assert pull <= bolts.tension_shear_pull_aisc(F_nt, F_nv, A_b, 0.0, v, omega)


def test_a_part_without_share_does_not_limit():
    F_nt, F_nv, A_b = 6e8, 3.6e8, 7e-5
    # 600 N/mm² · 70 mm² = 42 kN and 360 · 70 = 25.2 kN, halved by Ω 2 and doubled by the share of a half.
    assert bolts.tension_shear_pull_aisc(F_nt, F_nv, A_b, 0.5, 0.0, 2.0) == pytest.approx(42e3)
    assert bolts.tension_shear_pull_aisc(F_nt, F_nv, A_b, 0.0, 0.5, 2.0) == pytest.approx(25.2e3)
    assert bolts.tension_shear_pull_aisc(F_nt, F_nv, A_b, 0.0, 0.0, 2.0) == np.inf


def test_three_straight_lines_stand_for_the_ellipse():
    """AISC 360 commentary J3.7: (f_t/F_t)² + (f_v/F_v)² = 1, drawn as three lines that leave it only a little.

    With both strengths 1 the lines meet at (1, 0.3), 4.4 % outside, and come 8.1 % inside midway.
    """
    angle = np.linspace(0, np.pi / 2, 901)
    t, v = np.cos(angle), np.sin(angle)
    pull = bolts.tension_shear_pull_aisc(1.0, 1.0, 1.0, t, v, 1.0)
    ellipse = 1 / np.hypot(t, v)
    corner = np.hypot(1.0, 0.3)
    assert np.max(pull / ellipse) == pytest.approx(corner, rel=1e-4)
    assert np.min(pull / ellipse) == pytest.approx(1.3 / np.sqrt(2), rel=1e-4)


@given(st.floats(0.003, 0.03), st.floats(0.05, 0.18))
def test_root_is_less_than_stress_area_is_less_than_body(D, pitch_share):
    pitch = pitch_share * D
    body = np.pi / 4 * D**2
    assert bolts.root_area(D, pitch) < bolts.tensile_stress_area_inch(D, pitch) < body
    assert bolts.root_area(D, pitch) < bolts.tensile_stress_area_metric(D, pitch) < body


def test_stress_area_lies_on_the_mean_of_pitch_and_minor_diameter():
    """ISO 898-1 9.1.6.1: A_s = π/4 ((d_2 + d_3) / 2)², d_2 = d − 0.64952 P, d_3 = d − 1.22687 P (ISO 724)."""
    d, P = 10e-3, 1.5e-3
    d_2, d_3 = d - 0.64952 * P, d - 1.22687 * P
    assert bolts.tensile_stress_area_metric(d, P) == pytest.approx(np.pi / 4 * ((d_2 + d_3) / 2) ** 2, rel=1e-4)


def test_threads_in_the_plane_cost_a_fifth_of_the_shear():
    within = bolts.shear_nominal_aisc(8e8, 1e-4, threads_in_plane=True)
    outside = bolts.shear_nominal_aisc(8e8, 1e-4, threads_in_plane=False)
    assert within / outside == pytest.approx(0.8, abs=0.001)


def test_torque_by_hand():
    """0.2 · 10 kN · 10 mm = 20 N·m; a lubricated thread (0.15) comes to the same tension at 15 N·m."""
    assert bolts.tightening_torque(0.2, 10e3, 0.010) == pytest.approx(20.0)
    assert bolts.tightening_torque(0.15, 10e3, 0.010) == pytest.approx(15.0)


@pytest.mark.parametrize(
    ("function", "sizes"),
    [
        (bolts.tensile_stress_area_inch, (0.0095, 0.0016)),
        (bolts.tensile_stress_area_metric, (0.010, 0.0015)),
        (bolts.root_area, (0.0095, 0.0016)),
        (bolts.tension_nominal_aisc, (8e8, 7e-5)),
        (bolts.tightening_torque, (0.2, 3000.0, 0.0095)),
    ],
)
def test_arrays_give_what_single_numbers_give(function, sizes):
    first = np.array([0.7, 1.0, 1.6]) * sizes[0]
    last = np.array([[0.9], [1.1]]) * sizes[-1]
    together = function(first, *sizes[1:-1], last)
    apart = [[float(function(a, *sizes[1:-1], b[0])) for a in first] for b in last]
    assert together == pytest.approx(np.array(apart))


def test_pulls_of_many_bolts_at_once():
    t = np.array([[0.25], [0.6]])
    v = np.array([0.0, 0.1, 0.5])
    together = bolts.tension_shear_pull_aisc(6e8, 3.6e8, 7e-5, t, v, 2.0)
    apart = [[float(bolts.tension_shear_pull_aisc(6e8, 3.6e8, 7e-5, a[0], b, 2.0)) for b in v] for a in t]
    assert together == pytest.approx(np.array(apart))
