"""Screws: against other published forms of the same mechanics, tests of plywood, and what more wood must do.

Values of single tables are rows in tables/published/.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from anchorcalc.mechanics import screws
from anchorcalc.mechanics.screws import INCH, PSI

LBF = 4.4482216152605
gravities = st.floats(0.3, 0.75)
diameters = st.floats(0.003, 0.013)
lengths = st.floats(0.002, 0.1)
wood = st.floats(5e6, 60e6)
steel = st.floats(2e8, 8e8)
factors = st.floats(1.0, 4.0)
forces = st.floats(1.0, 1e6)
slants = st.floats(0.0, np.pi / 2)


@given(diameters, steel, wood, lengths, wood, lengths)
def test_yield_modes_are_those_of_johansen_in_eurocode_form(D, F_yb, F_em, l_m, F_es, l_s):
    """EN 1995-1-1 eq. 8.6 (a) to (f), rope effect and the factors 1.05 and 1.15 left out; M_y = F_yb D³ / 6."""
    modes = screws.lateral_modes(D, F_yb, F_em, l_m, F_es, l_s)
    beta, r, M_y = F_em / F_es, l_m / l_s, F_yb * D**3 / 6
    side = F_es * l_s * D
    assert modes.I_s == pytest.approx(side)
    assert modes.I_m == pytest.approx(F_em * l_m * D)
    tilted = np.sqrt(beta + 2 * beta**2 * (1 + r + r**2) + beta**3 * r**2) - beta * (1 + r)
    assert float(modes.II) == pytest.approx(side / (1 + beta) * tilted)
    hinge_main = np.sqrt(2 * beta * (1 + beta) + 4 * beta * (2 + beta) * M_y / (F_es * D * l_s**2)) - beta
    assert modes.III_s == pytest.approx(side / (2 + beta) * hinge_main)
    hinge_side = np.sqrt(2 * beta**2 * (1 + beta) + 4 * beta * (1 + 2 * beta) * M_y / (F_es * D * l_m**2)) - beta
    assert modes.III_m == pytest.approx(F_es * l_m * D / (1 + 2 * beta) * hinge_side)
    assert float(modes.IV) == pytest.approx(np.sqrt(2 * beta / (1 + beta)) * np.sqrt(2 * M_y * F_es * D))


@given(diameters, steel, wood, lengths, wood, lengths, factors)
def test_more_wood_or_steel_never_holds_less_sideways(D, F_yb, F_em, l_m, F_es, l_s, factor):
    held = screws.lateral_reference(D, F_yb, F_em, l_m, F_es, l_s, D)
    for stronger in (
        (D, F_yb * factor, F_em, l_m, F_es, l_s, D),
        (D, F_yb, F_em * factor, l_m, F_es, l_s, D),
        (D, F_yb, F_em, l_m * factor, F_es, l_s, D),
        (D, F_yb, F_em, l_m, F_es * factor, l_s, D),
    ):
        assert screws.lateral_reference(*stronger) >= held * (1 - 1e-9)
    everything = screws.lateral_reference(D, F_yb * factor, F_em * factor, l_m, F_es * factor, l_s, D)
    assert everything == pytest.approx(held * factor)


@pytest.mark.parametrize(
    ("D", "D_nominal", "R_d"),
    [
        (0.131, 0.164, 2.2),
        (0.196, 0.242, 10 * 0.196 + 0.5),
        (0.173, 0.250, 1.25 * (10 * 0.173 + 0.5)),
        (0.240, 0.3125, 1.25 * (10 * 0.240 + 0.5)),
        (0.265, 0.375, 1.25 * 3.2),
    ],
)
def test_reduction_term_by_root_and_shank(D: float, D_nominal: float, R_d: float) -> None:
    """NDS table 12.3.1B and note 1, with dimensions [in] that let mode IV govern."""
    dowel = (D * INCH, 5e8, 3e7, 0.2, 4e8, 0.05)
    found = screws.lateral_reference(*dowel, D_nominal=D_nominal * INCH)
    assert screws.lateral_modes(*dowel).IV / found == pytest.approx(R_d)


# APA E830 (2011) table 1: average ultimate lateral load [lb] of screws through 3/16 in of steel into group 1
# plywood, by thread in the wood [in]. Root diameter and F_yb as in tables/screws.yaml.
E830_LATERAL = [
    ("wood #8", 0.164, 0.131, 90, 0.5, 415),
    ("wood #12", 0.216, 0.171, 80, 0.5, 590),
    ("sheet metal #8", 0.164, 0.116, 90, 0.5, 465),
    ("sheet metal #12", 0.216, 0.157, 80, 0.5, 670),
    ("sheet metal #8", 0.164, 0.116, 90, 0.625, 500),
    ("sheet metal #12", 0.216, 0.157, 80, 0.625, 705),
    ("sheet metal #8", 0.164, 0.116, 90, 0.75, 590),
    ("sheet metal #12", 0.216, 0.157, 80, 0.75, 715),
]


@pytest.mark.parametrize(("name", "D", "D_root", "F_yb", "thread", "mean"), E830_LATERAL)
def test_plywood_tests_lie_four_to_seven_times_above_the_reference(
    name: str, D: float, D_root: float, F_yb: float, thread: float, mean: float
) -> None:
    F_em = screws.dowel_bearing_strength(0.50, D * INCH)
    Z = screws.lateral_reference(
        D_root * INCH, F_yb * 1000 * PSI, F_em, thread * INCH, 61_850 * PSI, 3 / 16 * INCH, D * INCH
    )
    assert 4.0 <= mean * LBF / Z <= 7.0, name


@given(forces, forces, slants)
def test_a_slanted_pull_never_holds_more_than_either_part_alone(W, Z, alpha):
    held = float(screws.combined_slant(W, Z, alpha))
    assert held * np.sin(alpha) <= W * (1 + 1e-12)
    assert held * np.cos(alpha) <= Z * (1 + 1e-12)


@given(forces, forces, slants, factors)
def test_a_slanted_pull_rises_with_either_part_and_scales(W, Z, alpha, factor):
    held = screws.combined_slant(W, Z, alpha)
    assert screws.combined_slant(W * factor, Z, alpha) >= held * (1 - 1e-12)
    assert screws.combined_slant(W, Z * factor, alpha) >= held * (1 - 1e-12)
    assert screws.combined_slant(W * factor, Z * factor, alpha) == pytest.approx(held * factor)


def test_a_slanted_pull_ends_in_its_parts():
    assert screws.combined_slant(300.0, 500.0, 0.0) == pytest.approx(500.0)
    assert screws.combined_slant(300.0, 500.0, np.pi / 2) == pytest.approx(300.0)


def test_the_formula_alone_holds_where_the_parts_are_alike():
    alpha = np.linspace(0, np.pi / 2, 91)
    formula = 100 * 140 / (100 * np.cos(alpha) ** 2 + 140 * np.sin(alpha) ** 2)
    assert screws.combined_slant(100.0, 140.0, alpha) == pytest.approx(formula)


@given(gravities, diameters, lengths, factors)
def test_head_pull_through_grows_with_head_and_panel_up_to_its_cap(G, D_H, t, factor):
    held = screws.head_pull_through_allowable(G, D_H, t)
    assert screws.head_pull_through_allowable(G, D_H * factor, t) >= held * (1 - 1e-12)
    assert screws.head_pull_through_allowable(G, D_H, t * factor) >= held * (1 - 1e-12)
    assert held <= 1725 * PSI * np.pi * D_H**2 * G**2 * (1 + 1e-12)


def test_head_pull_through_branches_meet_at_two_and_a_half_heads():
    G, D_H = 0.5, 0.3 * INCH
    first_branch = 690 * PSI * np.pi * D_H * G**2 * 2.5 * D_H
    second_branch = 1725 * PSI * np.pi * D_H**2 * G**2
    assert first_branch == pytest.approx(second_branch)
    assert screws.head_pull_through_allowable(G, D_H, 2.5 * D_H) == pytest.approx(second_branch)
    assert screws.head_pull_through_allowable(G, D_H, 9 * D_H) == pytest.approx(second_branch)


@pytest.mark.parametrize("quarter_inch", [0.25 * INCH, 6.35e-3, 6.35 / 1000])
def test_a_quarter_inch_counts_as_thick_however_it_was_written(quarter_inch: float) -> None:
    assert screws.dowel_bearing_strength(0.5, quarter_inch) == pytest.approx(6100 * PSI * 0.5**1.45 / 0.5)


def test_very_dense_wood_bears_no_more_across_than_along():
    assert screws.dowel_bearing_strength(0.95, 0.25 * INCH) == pytest.approx(11_200 * PSI * 0.95)


@given(st.floats(1.0, 1e5), st.floats(0.01, 0.5))
def test_low_estimate_is_the_five_per_cent_value_of_a_normal_distribution(mean, cov):
    low = float(screws.low_estimate(mean, cov))
    assert norm.cdf(low, loc=mean, scale=mean * cov) == pytest.approx(0.05, abs=1e-4)


@pytest.mark.parametrize(
    ("function", "sizes"),
    [
        (screws.wood_screw_withdrawal_mean, (0.42, 0.0048, 0.018)),
        (screws.lag_screw_withdrawal_mean, (0.42, 0.0095, 0.018)),
        (screws.wood_screw_withdrawal_allowable, (0.42, 0.0048, 0.018)),
        (screws.lag_screw_withdrawal_allowable, (0.42, 0.0095, 0.018)),
        (screws.dowel_bearing_strength, (0.42, 0.0062)),
        (screws.lateral_reference, (0.0044, 5e8, 23e6, 0.018, 4.2e8, 0.0034, 0.0064)),
        (screws.combined_slant, (400.0, 600.0, 0.3)),
        (screws.head_pull_through_allowable, (0.42, 0.008, 0.018)),
        (screws.punching, (0.1, 0.018, 1e6)),
        (screws.thin_steel_pull_out, (0.003, 0.0055, 4e8)),
        (screws.thin_steel_pull_over, (0.003, 0.012, 4e8)),
        (screws.low_estimate, (100.0, 0.2)),
    ],
)
def test_arrays_give_what_single_numbers_give(function, sizes):
    first = np.array([0.7, 1.0, 1.1, 1.6]) * sizes[0]
    last = np.array([[0.9], [1.0], [1.4]]) * sizes[-1]
    together = function(first, *sizes[1:-1], last)
    apart = [[float(function(a, *sizes[1:-1], b[0])) for a in first] for b in last]
    assert together.shape == (3, 4)
    assert together == pytest.approx(np.array(apart))
