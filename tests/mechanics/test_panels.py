"""The deck panel: closed rules against series, a general beam solver and what the panel standard demands."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from anchorcalc.mechanics import panels

quiet = settings(derandomize=True, deadline=None, max_examples=100)
PLYWOOD_TWIST = 0.3  # H / √(D_x D_y) from G 85-110 ksi and E 1.2-1.5e6 psi of sheathing plywood
INCH, PSI, LBF = 0.0254, 6894.757293, 4.4482216152605

spans = st.floats(0.3, 1.2)
places = st.floats(0.0, 1.0, allow_subnormal=False)
patches = st.just(0.0) | st.floats(1e-3, 0.2)
ratios = st.floats(0.05, 10.0)
factors = st.floats(1.0, 3.0)


# --- effective width against the series -----------------------------------------------------------------


def test_series_gives_the_published_peak_under_a_small_circle():
    # Timoshenko & Woinowsky-Krieger art. 37: M = P/4π [(1 + ν) ln(2 L sin(π ξ/L) / (π c)) + 1], here ν = 0.
    L, c = 1.0, 0.02
    square = c * np.sqrt(np.pi)  # of the same area as the circle
    for xi in (0.5, 0.3):
        published = (np.log(2 * L * np.sin(np.pi * xi) / (np.pi * c)) + 1) / (4 * np.pi)
        series = panels.strip_moment_series(L, xi, (square, square), 1.0, 1.0, 1e-5, terms=8000)
        assert series == pytest.approx(published, rel=0.01)


def test_series_of_a_load_right_across_is_a_beam():
    # Far wider than the span: every unit of width is a simple beam with its share of the load.
    L, a, u, across = 1.0, 0.35, 0.1, 60.0
    width_times_moment = panels.strip_moment_series(L, a, (u, across), 0.7, 0.3, 1.0) * across
    assert width_times_moment == pytest.approx(a * (L - a) / L - u / 8, rel=1e-3)


def _unsafe_share(twist: float, grid) -> list[float]:
    """Moment of the series over that of the closed rule, for every case of `grid`."""
    shares = []
    for ratio, a, across, thickness, along in grid:
        if along / 2 > a:
            continue
        series = panels.strip_moment_series(1.0, a, (along, across), ratio, twist, across + 2 * thickness, terms=300)
        closed = 1 / panels.patch_bending_pull(1.0, 1.0, a, along, across, ratio)
        shares.append(series / float(closed))
    return shares


GRID = list(
    itertools.product(
        (0.1, 0.27, 0.46, 0.72, 1.4, 3.7),
        (0.1, 0.2, 0.35, 0.5),
        (0.02, 0.1, 0.3, 0.6),
        (0.02, 0.08),
        (0.02, 0.2),
    )
)


def test_effective_width_is_safe_for_plywood_by_the_stated_margin():
    shares = _unsafe_share(PLYWOOD_TWIST, GRID)
    assert len(shares) > 250
    assert max(shares) <= 1.01
    assert np.median(shares) > 0.6  # and not safe by giving everything away


def test_effective_width_without_any_twisting_stiffness():
    assert max(_unsafe_share(0.0, GRID)) <= 1.08


@quiet
@given(span=spans, at=places, patch=patches)
def test_effective_width_stays_below_the_rule_of_concrete_codes(span, at, patch):
    # AS 3600 (and BS 8110 3.5.2.2): load width + 2.4 a (1 − a/L) in an isotropic slab.
    a = at * span
    L_e = 4 * a * (span - a) / span
    published = patch + 2.4 * a * (1 - a / span)
    assert panels.effective_width(L_e, patch, 1.0) <= published + 1e-12
    westergaard = 0.58 * span + patch
    assert panels.effective_width(span, patch, 1.0) <= westergaard


# --- free edge -------------------------------------------------------------------------------------------


def _edge_factor_by_conditions(z: float) -> float:
    """Deflection under a unit load at z = λ a from a free end over that of an endless beam, by its unknowns.

    In units with λ = 1 and 8 EI λ³ = 1: the endless beam plus the two solutions that die away from the end,
    whose amplitudes free the end of moment and shear.
    """
    d = np.exp(-z)
    bend, shear = -2 * d * (np.cos(z) - np.sin(z)), 4 * d * np.cos(z)  # w'', w''' of the endless beam
    # From the end: e^-x cos x has w'' = 2 e^-x sin x, w''' = 2 e^-x (cos x − sin x); e^-x sin x has
    # w'' = −2 e^-x cos x, w''' = 2 e^-x (cos x + sin x). Seen from the load the end lies backward.
    amplitudes = np.linalg.solve([[0.0, -2.0], [2.0, 2.0]], [-bend, shear])
    return 1 + float(amplitudes @ [d * np.cos(z), d * np.sin(z)])


@quiet
@given(distance=st.floats(0.0, 1.0), span=spans, ratio=ratios)
def test_free_edge_factor_frees_the_edge(distance, span, ratio):
    z = np.pi / np.sqrt(2) * distance / (span * ratio**0.25)
    expected = max(_edge_factor_by_conditions(z), 1.0)
    assert panels.free_edge_factor(distance, span, ratio) == pytest.approx(expected, rel=1e-9)


def test_free_edge_factor_never_rises_away_from_the_edge():
    factor = panels.free_edge_factor(np.linspace(0.0, 2.0, 4000), 0.4, 0.5)
    assert factor[0] == pytest.approx(4.0)
    assert np.all(np.diff(factor) <= 1e-12)
    assert factor[-1] == pytest.approx(1.0, abs=1e-3)


# --- bending -----------------------------------------------------------------------------------------------


def test_moment_of_a_partial_load_is_the_beam_formula():
    # Simple beam, load W over length u with its near end at c: R (c + R u / 2 W), R = W (L − a)/L.
    L, a, u = 2.0, 0.7, 0.5
    R = (L - a) / L
    published = R * ((a - u / 2) + R * u / 2)
    width = panels.effective_width(4 * a * (L - a) / L, 0.1, 0.0)
    assert panels.patch_bending_pull(1.0, L, a, u, 0.1, 0.0) == pytest.approx(width / published)


@quiet
@given(span=spans, at=st.floats(0.0, 0.5), nearer=places, x=patches, y=st.floats(0.01, 0.2), ratio=ratios)
def test_nearer_to_a_member_never_bends_more(span, at, nearer, x, y, ratio):
    here = panels.patch_bending_pull(500.0, span, at * span, x, y, ratio)
    there = panels.patch_bending_pull(500.0, span, at * nearer * span, x, y, ratio)
    assert there >= here * (1 - 1e-9)


@quiet
@given(span=spans, at=places, x=patches, y=st.floats(0.01, 0.2), ratio=ratios, factor=factors)
def test_more_panel_never_holds_less(span, at, x, y, ratio, factor):
    a = at * span
    pull = panels.patch_bending_pull(500.0, span, a, x, y, ratio)
    assert panels.patch_bending_pull(500.0 * factor, span, a, x, y, ratio) >= pull
    assert panels.patch_bending_pull(500.0, span, a, x, y * factor, ratio) >= pull
    assert panels.patch_bending_pull(500.0, span, a, x, y, ratio * factor) >= pull
    if x * factor <= 2 * min(a, span - a):  # up to the members
        assert panels.patch_bending_pull(500.0, span, a, x * factor, y, ratio) >= pull * (1 - 1e-9)
    assert panels.patch_bending_pull(500.0, span, a, x, y, ratio, factor) <= pull
    assert panels.patch_bending_pull(500.0, span, span - a, x, y, ratio) == pytest.approx(float(pull))


@quiet
@given(span=spans, at=st.floats(0.05, 0.95), x=patches, y=st.floats(0.01, 0.2), ratio=ratios, k=factors)
def test_bending_pull_does_not_depend_on_the_scale_of_lengths(span, at, x, y, ratio, k):
    pull = panels.patch_bending_pull(500.0, span, at * span, x, y, ratio)
    grown = panels.patch_bending_pull(500.0, k * span, k * at * span, k * x, k * y, ratio)
    assert grown == pytest.approx(float(pull))


@pytest.mark.parametrize("row", ["16 oc", "20 oc", "24 oc", "48 oc"])
@given(at=st.floats(0.02, 0.98), patch=st.floats(0.001, 0.2))
@quiet
def test_strong_way_never_holds_less(row, at, patch):
    _, t, I_par, I_perp, S_par, S_perp, _, _ = SPAN_RATED[row]
    weak_S = min(S_perp, S_par * np.sqrt(I_perp / I_par))  # the lesser ratio, as the docstring asks
    strong, weak = (
        panels.patch_bending_pull(panels.gross_bending_resistance(3e7, t, S, S_par), 0.4, at * 0.4, patch, patch, ratio)
        for S, ratio in ((S_par, I_perp / I_par), (weak_S, I_par / I_perp))
    )
    assert strong >= weak * (1 - 1e-12)


def test_patch_over_a_member_counts_what_lies_between():
    # Half of the patch hangs between the members, with half of the pull, about its own middle.
    L, u = 0.4, 0.1
    half = panels.patch_bending_pull(500.0, L, u / 4, u / 2, 0.1, 0.5)
    assert panels.patch_bending_pull(500.0, L, 0.0, u, 0.1, 0.5) == pytest.approx(2 * float(half))
    assert panels.patch_bending_pull(500.0, L, 0.0, 0.0, 0.1, 0.5) == np.inf


def test_arrays_of_candidates():
    patch = np.linspace(0.02, 0.2, 20_000)
    pulls = panels.patch_bending_pull(500.0, 0.4, 0.15, patch, patch, 0.5)
    assert pulls.shape == patch.shape
    assert np.all(np.diff(pulls) > 0)


# name: disc, thickness, I and S both ways per foot [in], span, minimum ultimate concentrated load.
# Section properties: Peurifoy & Oberlender, Formwork for Concrete Structures. Loads: PS 2, single floor,
# ASTM E661 (from memory). The disc is 3 in for sheathing and 1 in on bare single floors (from memory).
SPAN_RATED = {
    "16 oc": ("19/32", 19 / 32 * INCH, 0.115, 0.029, 0.335, 0.146, 16 * INCH, 550 * LBF),
    "20 oc": ("5/8", 5 / 8 * INCH, 0.130, 0.038, 0.358, 0.175, 20 * INCH, 550 * LBF),
    "24 oc": ("23/32", 23 / 32 * INCH, 0.180, 0.072, 0.430, 0.247, 24 * INCH, 550 * LBF),
    "48 oc": ("1 1/8", 9 / 8 * INCH, 0.554, 0.398, 0.849, 0.799, 48 * INCH, 700 * LBF),
}


def test_load_of_a_span_rated_panel_by_hand():
    """24 oc panel, 23/32 in, on a disc of 3 in in the middle of 24 in, low estimate of Douglas-fir plywood.

    MOR 6000 (1 − 1.645 · 0.16) = 4420.8 psi; m = 4420.8 · 0.71875²/6 = 380.63 lb. The disc is a square of
    3 √(π/4) = 2.6587 in. Width 0.58/√2 · 24 · (0.072/0.180)^¼ + 2.6587 = 7.8276 + 2.6587 = 10.4863 in.
    M = F (24/4 − 2.6587/8) = 5.6677 F, so F = 380.63 · 10.4863/5.6677 = 704.2 lb.
    """
    _, t, I_par, I_perp, S_par, _, span, minimum = SPAN_RATED["24 oc"]
    side = 3 * INCH * np.sqrt(np.pi / 4)
    m_R = panels.gross_bending_resistance(6000 * PSI * (1 - 1.645 * 0.16), t, S_par, S_par)
    pull = float(panels.patch_bending_pull(m_R, span, span / 2, side, side, I_perp / I_par))
    assert pull / LBF == pytest.approx(704.2, rel=2e-4)
    assert pull > minimum  # every panel of the rating carries that much (PS 2, from memory)


# --- layers ------------------------------------------------------------------------------------------------

layer_lists = st.lists(st.tuples(st.floats(1.0, 1e4), st.floats(1.0, 1e4)), min_size=1, max_size=4)


# --- rolling shear, hold-down, overhang --------------------------------------------------------------------


def _support_shear(a: float, along: float, across: float, ratio: float, averaged: float) -> float:
    """Shear per width at the near support of a strip of span 1 without twisting stiffness, load 1.

    A sine of the load on a line, sin(k x), leaves the shear D_y/D_x^-¼ √2/4 e^-z (cos z + sin z), z = κ y.
    """
    k = np.arange(1, 3001) * np.pi
    kappa = k * ratio**-0.25 / np.sqrt(2)
    load = 2 * np.sin(k * a) * np.sinc(k * along / (2 * np.pi))

    def twice(z):  # second integral of e^-z (cos z + sin z) from 0
        return z - 0.5 - np.exp(-z) * (np.sin(z) - np.cos(z)) / 2

    inside = twice(kappa * (across + averaged) / 2) - twice(kappa * abs(across - averaged) / 2)
    mean = 2 * inside / (across * averaged * kappa**2)
    return float(np.sum(load * ratio**-0.25 * np.sqrt(2) / 4 * mean))


def test_rolling_shear_is_safe_against_the_series():
    # One unit of Ib/Q times F_s carries one unit of shear per width.
    for ratio, across, along, a in itertools.product(
        (0.1, 0.27, 0.46, 1.0, 3.7), (0.05, 0.1, 0.2, 0.4), (0.05, 0.1, 0.2), (0.13, 0.2, 0.35, 0.5)
    ):
        series = _support_shear(a, along, across, ratio, across + 0.06)
        closed = 1 / float(panels.rolling_shear_pull(1.0, 1.0, 1.0, a, along, across, ratio))
        assert closed >= 0.99 * series


@quiet
@given(span=spans, at=places, x=patches, y=st.floats(0.01, 0.2), ratio=ratios, factor=factors)
def test_more_panel_never_shears_earlier(span, at, x, y, ratio, factor):
    pull = panels.rolling_shear_pull(0.01, 1.5e6, span, at * span, x, y, ratio)
    thicker = panels.rolling_shear_pull(0.01 * factor, 1.5e6, span, at * span, x, y, ratio)
    wider = panels.rolling_shear_pull(0.01, 1.5e6, span, at * span, x, y * factor, ratio)
    stiffer = panels.rolling_shear_pull(0.01, 1.5e6, span, at * span, x, y, ratio * factor)
    mirrored = panels.rolling_shear_pull(0.01, 1.5e6, span, span - at * span, x, y, ratio)
    assert thicker == pytest.approx(pull * factor)
    assert min(wider, stiffer) >= pull * (1 - 1e-12)
    assert mirrored == pytest.approx(float(pull))


def _reactions_of_a_long_beam(at: float, spans: int = 15) -> tuple[float, float]:
    """Reactions beside a unit load in the middle span of a beam over many supports, by beam elements."""
    middle = spans // 2
    nodes = sorted({*map(float, range(spans + 1)), middle + at})
    K = np.zeros((2 * len(nodes), 2 * len(nodes)))
    for i, (start, end) in enumerate(itertools.pairwise(nodes)):
        h = end - start
        K[2 * i : 2 * i + 4, 2 * i : 2 * i + 4] += (
            np.array(
                [[12, 6 * h, -12, 6 * h], [6 * h, 4 * h * h, -6 * h, 2 * h * h],
                 [-12, -6 * h, 12, -6 * h], [6 * h, 2 * h * h, -6 * h, 4 * h * h]]
            ) / h**3
        )  # fmt: skip
    load = np.zeros(2 * len(nodes))
    load[2 * nodes.index(middle + at)] = 1.0
    held = [2 * nodes.index(float(support)) for support in range(spans + 1)]
    free = np.setdiff1d(np.arange(len(load)), held)
    moved = np.zeros(len(load))
    moved[free] = np.linalg.solve(K[np.ix_(free, free)], load[free])
    reactions = load - K @ moved
    return float(reactions[2 * nodes.index(float(middle))]), float(reactions[2 * nodes.index(float(middle + 1))])


@pytest.mark.parametrize("at", [0.1, 0.3, 0.5, 0.75])
def test_member_reactions_cover_simple_and_continuous_panels(at):
    near, far = panels.member_reactions(0.4, at * 0.4)
    continuous = _reactions_of_a_long_beam(at)
    assert near == pytest.approx(max(1 - at, continuous[0]), rel=1e-5)
    assert far == pytest.approx(max(at, continuous[1]), rel=1e-5)


def test_hold_down_in_the_middle_of_a_span():
    # 16 in span, 4 in patch, screws 6 in apart: 4 + 2 · 6 = 16 in reach, 16 / 6 − 1 screws on either member.
    pull = panels.hold_down_pull(1000.0, 6 * INCH, 16 * INCH, 8 * INCH, 4 * INCH, 4 * INCH)
    assert pull == pytest.approx((16 / 6 - 1) * 1000.0 / 0.6005, rel=1e-3)


def test_reach_of_a_panel_limp_along_the_members_by_hand():
    """A patch of 4 in square, a member 8 in from its middle: the gap is 6 in.

    45° on either side of an even panel: 4 + 2 · 6 = 16 in; a quarter as stiff along the members, half as far:
    4 + 2 · 6 · √0.25 = 10 in; a stiffer one no farther than 45°.
    """
    for ratio, inches in ((1.0, 16), (0.25, 10), (4.0, 16)):
        found = panels.hold_down_reach(8 * INCH, 4 * INCH, 4 * INCH, ratio)
        assert found == pytest.approx(inches * INCH)


def test_screws_farther_apart_than_the_reach_count_for_less_than_one():
    # Over a member: the patch of 50 mm itself, a tenth of the spacing.
    pull = panels.hold_down_pull(1000.0, 0.5, 0.4, 0.0, 0.05, 0.05)
    assert pull == pytest.approx(100.0)


@given(st.floats(0.01, 3.0), st.floats(0.02, 1.0), st.floats(0.0, 1.0))
def test_no_more_screws_are_counted_than_must_be_there(reach, spacing, first):
    # Screws at first·spacing, (first + 1)·spacing, …: how many lie on the stretch at the least.
    there = np.floor(reach / spacing - first + 1e-9) + 1 if reach >= first * spacing else 0
    counted = panels.screws_counted(reach, spacing)
    assert counted <= max(there, 1) + 1e-9
    assert panels.screws_counted(reach * 1.001, spacing) - counted < 0.01 * (1 + reach / spacing)


@quiet
@given(span=spans, at=places, x=patches, y=patches, spacing=st.floats(0.05, 0.4), factor=factors)
def test_more_or_closer_screws_never_hold_less(span, at, x, y, spacing, factor):
    pull = panels.hold_down_pull(1000.0, spacing, span, at * span, x, y)
    stronger = panels.hold_down_pull(1000.0 * factor, spacing, span, at * span, x, y)
    assert stronger == pytest.approx(pull * factor)
    assert panels.hold_down_pull(1000.0, spacing / factor, span, at * span, x, y) >= pull * (1 - 1e-12)
    assert panels.hold_down_pull(1000.0, spacing, span, at * span, x, y + factor) >= pull * (1 - 1e-12)


@quiet
@given(a=st.floats(0.02, 0.4), y=st.floats(0.01, 0.2), ratio=ratios, factor=factors)
def test_overhang_holds_less_farther_out_and_nearer_to_the_corner(a, y, ratio, factor):
    pull = panels.overhang_bending_pull(500.0, a, y, ratio, 10.0)
    assert panels.overhang_bending_pull(500.0, a * factor, y, ratio, 10.0) <= pull * (1 + 1e-12)
    assert panels.overhang_bending_pull(500.0, a, y, ratio, 0.01) <= pull
    # Jaramillo (J. Appl. Mech. 1950): greatest root moment of an endless cantilever plate, 0.51 of the load.
    assert panels.overhang_bending_pull(500.0, a, 0.0, ratio, 10.0) <= 500.0 / 0.51


@quiet
@given(layers=layer_lists, more=st.tuples(st.floats(1.0, 1e4), st.floats(1.0, 1e4)))
def test_another_layer_never_takes_strength_away(layers, more):
    strength, stiffness = (list(column) for column in zip(*layers, strict=True))
    alone = panels.shared_resistance(strength, stiffness)
    assert panels.shared_resistance([*strength, more[0]], [*stiffness, more[1]]) >= alone * (1 - 1e-12)
    assert panels.shared_resistance(strength * 2, stiffness * 2) == pytest.approx(2 * float(alone))
    assert alone <= sum(strength) * (1 + 1e-12)
    first_break = np.min(np.array(strength) / (np.array(stiffness) / sum(stiffness)))
    assert alone >= first_break * (1 - 1e-12)


def test_layers_that_break_one_by_one():
    # The stiff weak layer goes at a bend of 0.1; the other alone then holds its own 10.
    assert panels.shared_resistance([1.0, 10.0], [10.0, 1.0]) == pytest.approx(10.0)
    # Broken together when the bends are equal.
    assert panels.shared_resistance([2.0, 3.0], [1.0, 1.5]) == pytest.approx(5.0)
