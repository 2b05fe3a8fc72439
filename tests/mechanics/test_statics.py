"""One-sided equilibrium against statics by hand, EN 12195-1, the GDV handbook and bolt-group theory."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import cos, radians, sin

import numpy as np
import pytest
import scipy.optimize
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from anchorcalc.mechanics.statics import (
    Balance,
    _by_least_squares,
    _Program,
    balance,
    nnls,
)
from anchorcalc.mechanics.wrenches import contact_wrenches, line_wrench

quiet = settings(derandomize=True, deadline=None, max_examples=100)

UP = np.array([0.0, 0.0, 1.0])
FORWARD, REARWARD, LEFT, RIGHT = (
    np.array([1.0, 0, 0]),
    np.array([-1.0, 0, 0]),
    np.array([0, 1.0, 0]),
    np.array([0, -1.0, 0]),
)
CORNERS = np.array([[1.0, 1.0], [1.0, -1.0], [-1.0, 1.0], [-1.0, -1.0]])
NO_CONTACTS = np.zeros((6, 0))


@dataclass(frozen=True)
class Strapped:
    """A load on its straps about its centre of gravity; ties and rings (n, 3), wheels (w, 3) [m]."""

    ties: np.ndarray
    rings: np.ndarray
    wheels: np.ndarray
    weight: float = 10_000.0
    stiffness: np.ndarray | float = 2e5
    at_rest: np.ndarray | float = 0.0

    @property
    def along_straps(self) -> np.ndarray:
        lines = self.ties - self.rings
        return lines / np.linalg.norm(lines, axis=1, keepdims=True)

    def case(self, way: np.ndarray, c: float, mu_along: float = 0.0, mu_across: float = 0.0) -> Balance:
        """One case: inertia c times the weight towards `way`, and gravity."""
        contacts = contact_wrenches(self.wheels, UP, way, np.cross(UP, way), mu_along, mu_across)
        external = np.array([*(self.weight * (c * way - UP)), 0.0, 0.0, 0.0])
        n = len(self.ties)
        return balance(
            line_wrench(-self.along_straps, self.ties).T,
            contacts,
            external,
            np.broadcast_to(self.stiffness, n),
            np.broadcast_to(self.at_rest, n),
            lever=3.0,
        )


def symmetric(alpha: float, beta: float, mass: float = 1500.0, g: float = 9.81) -> Strapped:
    """Four straps at α above the deck and β beside the long axis, one to each corner, alike on all sides."""
    ties = np.column_stack([CORNERS * [0.5, 0.3], np.zeros(4)])
    down = np.column_stack([CORNERS * [cos(alpha) * cos(beta), cos(alpha) * sin(beta)], np.full(4, -sin(alpha))])
    wheels = np.column_stack([CORNERS * [1.5, 1.2], np.full(4, -0.3)])
    return Strapped(ties, ties + 0.8 * down, wheels, mass * g)


def crooked(seed: int, n: int = 6) -> Strapped:
    """Uneven set-up with straps to all four corners."""
    rng = np.random.default_rng(seed)
    corner = CORNERS[np.arange(n) % 4]
    ties = np.column_stack([corner * rng.uniform(0.2, 0.8, (n, 2)), rng.uniform(-0.2, 0.1, n)])
    rings = np.column_stack([corner * [1.5, 0.9] + rng.uniform(-0.1, 0.1, (n, 2)), np.full(n, -0.5)])
    wheels = np.column_stack([CORNERS * [1.2, 0.7], np.full(4, -0.5)])
    return Strapped(ties, rings, wheels, rng.uniform(5e3, 2e4), rng.uniform(1e5, 4e5, n), rng.uniform(0, 600, n))


# Wrenches


def test_line_wrench_is_force_and_moment_about_the_origin() -> None:
    wrench = line_wrench(np.array([[0.0, 0, 1], [1, 0, 0]]), np.array([[2.0, 3, 0], [0, 0, 5]]))
    assert wrench.tolist() == [[0, 0, 1, 3, -2, 0], [1, 0, 0, 0, 5, 0]]
    assert line_wrench(UP, np.zeros((7, 4, 3))).shape == (7, 4, 6)


@pytest.mark.parametrize(("mus", "each"), [((0, 0), 1), ((0.3, 0), 2), ((0, 0.3), 2), ((0.2, 0.3), 4)])
def test_contact_generators_lie_on_the_pyramid_inside_the_friction_ellipse(mus: tuple[float, float], each: int) -> None:
    points = np.array([[1.0, 2, 0], [-1, 2, 0], [0, -2, 0]])
    force = contact_wrenches(points, UP, FORWARD, LEFT, *mus)[:3].T
    assert len(force) == each * len(points)
    assert (force[:, 2] == 1).all()
    used = sum(np.abs(force[:, i]) / mu for i, mu in enumerate(mus) if mu > 0)
    assert np.allclose(used, 1.0 if any(mus) else 0.0)
    rng = np.random.default_rng(0)
    mixed = rng.random((100, len(force))) @ force
    ellipse = sum((mixed[:, i] / mu) ** 2 for i, mu in enumerate(mus) if mu > 0)
    assert np.all(ellipse <= mixed[:, 2] ** 2)


def test_contact_generators_of_many_cases_equal_those_of_each() -> None:
    points = np.array([[1.0, 2, -0.5], [-1, -2, -0.5]])
    along = np.array([FORWARD, LEFT, REARWARD])
    across = np.cross(UP, along)
    together = contact_wrenches(points, UP, along, across, 0.2, np.array([0.3, 0.4, 0.5]))
    assert together.shape == (3, 6, 8)
    for case, mu in enumerate((0.3, 0.4, 0.5)):
        assert np.array_equal(together[case], contact_wrenches(points, UP, along[case], across[case], 0.2, mu))
    assert contact_wrenches(points, UP, along, across, 0, 0).shape == (3, 6, 2)
    partly = contact_wrenches(points, UP, along, across, np.array([0.2, 0.0, 0.2]), 0.3)
    assert np.array_equal(partly[1][:3, :4], np.tile(UP[:, None], 4))


# Straps, against published closed forms


def test_three_bars_at_one_joint() -> None:
    """Timoshenko, Strength of Materials part I, bars at one joint: P / (1 + 2 cos³α) in the middle.

    From memory; also follows by hand. In space the arrangement is planar and resists two motions of six only.
    """
    alpha, P, k = radians(40), 1200.0, 3e5
    bars = np.array([[0, 0, 1.0], [sin(alpha), 0, cos(alpha)], [-sin(alpha), 0, cos(alpha)]])
    wrenches = line_wrench(bars, np.zeros(3)).T
    found = balance(
        wrenches,
        NO_CONTACTS,
        np.array([0, 0, -P, 0, 0, 0]),
        k * np.array([1, cos(alpha), cos(alpha)]),
        np.zeros(3),
        1.0,
    )
    middle = P / (1 + 2 * cos(alpha) ** 3)
    assert found.held.all()
    assert found.pulls[0] == pytest.approx([middle, middle * cos(alpha) ** 2, middle * cos(alpha) ** 2], rel=1e-12)


@pytest.mark.parametrize(
    ("way", "c", "mu", "published_kN"),
    [(FORWARD, 0.8, 0, 8.297), (LEFT, 0.5, 0, 8.982), (FORWARD, 0.8, 0.3, 5.046), (LEFT, 0.5, 0.3, 3.756)],
)
def test_en_12195_1_direct_lashing_figures(way: np.ndarray, c: float, mu: float, published_kN: float) -> None:
    """EN 12195-1:2010, direct lashing, α 35°, β_x 30°, 1 500 kg, f_µ 0.75; computed from its inequality.

    Only the two straps that pull against the case act; the other two hang slack.
    """
    pulls = symmetric(radians(35), radians(30)).case(way, c, mu_along=0.75 * mu).pulls[0] / 1000
    against = CORNERS @ way[:2] < 0
    assert pulls[against] == pytest.approx(published_kN, abs=5e-4)
    assert not pulls[~against].any()


@quiet
@given(
    alpha=st.floats(0.2, 1.1),
    beta=st.floats(0.2, 1.2),
    f_mu=st.floats(0.0, 0.3),
    c=st.sampled_from([0.5, 0.8]),
    sideways=st.booleans(),
)
def test_en_12195_1_direct_lashing_inequality(alpha: float, beta: float, f_mu: float, c: float, sideways: bool) -> None:
    """n F (cos α cos β + f_µ µ sin α) ≥ m g (c − f_µ µ c_z) with n = 2 and c_z = 1, met as an equality.

    As long as the lee straps would do more harm than good, which the inequality takes for granted.
    """
    load = symmetric(alpha, beta)
    angle = np.pi / 2 - beta if sideways else beta
    assume(cos(alpha) * cos(angle) > f_mu * sin(alpha) + 1e-3)
    F = load.weight * (c - f_mu) / (2 * (cos(alpha) * cos(angle) + f_mu * sin(alpha)))
    way = LEFT if sideways else FORWARD
    pulls = load.case(way, c, mu_along=f_mu).pulls[0]
    acting = CORNERS @ way[:2] < 0
    assert pulls[acting] == pytest.approx(F, rel=1e-9)
    assert pulls[~acting].max() <= 1e-9 * F


def test_steep_lee_straps_help_friction_when_it_is_counted() -> None:
    """A limit of friction as a cone: 60° steep, 15° off square, lee straps would press more than they pull.

    Least energy then lets all four act, the lee ones by b/a times the others, and the pulls fall below those
    of the inequality. Friction against the case is zero unless the user gives it.
    """
    alpha, beta, f_mu, c = radians(60), radians(15), 0.3, 0.5
    load = symmetric(alpha, beta)
    pulls = load.case(LEFT, c, mu_along=f_mu).pulls[0] / load.weight
    a, b = (sign * cos(alpha) * sin(beta) + f_mu * sin(alpha) for sign in (1, -1))
    far = (c - f_mu) * a / (2 * (a**2 + b**2))
    assert pulls == pytest.approx(np.where(CORNERS[:, 1] < 0, far, far * b / a), rel=1e-9)
    assert far < (c - f_mu) / (2 * a)


def test_gdv_example_two_is_not_sufficient_at_any_angle() -> None:
    """GDV handbook 4.1.6 example 2: 9.2 t, four direct chains LC 1 500 daN, µ 0.5: not sufficient.

    Needed 3 835.7 daN; the best that two chains can give is 2 LC √(1 + 0.375²) = 3 204 daN at tan α = 0.375.
    """
    LC, f_mu = 15_000.0, 0.75 * 0.5
    for alpha in np.radians([0.1, 10, 20.556, 30, 45, 60]):
        pulls = symmetric(alpha, 1e-9, mass=9200).case(FORWARD, 0.8, mu_along=f_mu).pulls[0]
        assert pulls.max() > LC
    best = symmetric(np.arctan(f_mu), 1e-9, mass=9200).case(FORWARD, 0.8, mu_along=f_mu).pulls[0].max()
    assert best * 3204 / LC == pytest.approx(3835.7, rel=2e-4)


@pytest.mark.parametrize(("mu", "published_daN"), [(0.3, 6000), (0.4, 4800)])
def test_gdv_force_still_to_be_secured(mu: float, published_daN: float) -> None:
    """GDV photo of the month 2011-09: 12 t at 0.8 (g rounded to 10 there); taken by one level strap."""
    level = Strapped(
        np.array([[0.0, 0, -0.3]]), np.array([[-2.0, 0, -0.3]]), symmetric(0.5, 0.5).wheels, weight=120_000.0
    )
    assert level.case(FORWARD, 0.8, mu_along=mu).pulls[0, 0] / 10 == pytest.approx(published_daN, rel=1e-10)


def test_gdv_example_one_does_not_tip() -> None:
    """EN 12195-1: no tipping if c_z b > c d. GDV handbook 4.1.6 example 1: b 1 200, d 1 368, 0.6 d 821 mm."""
    b, d = 1.200, 1.368
    free = Strapped(np.zeros((0, 3)), np.zeros((0, 3)), np.column_stack([CORNERS * [2.0, b], np.full(4, -d)]))
    assert free.case(LEFT, 0.6, mu_along=1.0).held.all()
    assert free.case(LEFT, (1 - 1e-7) * b / d, mu_along=1.0).held.all()
    assert not free.case(LEFT, (1 + 1e-7) * b / d, mu_along=1.0).held.any()


# Fasteners


def plane_wrenches(positions: np.ndarray, sign: float) -> np.ndarray:
    x, y = positions.T
    return sign * np.stack([np.ones(len(positions)), y, -x])


BOLTS = CORNERS * [0.040, 0.030]


def test_bolt_group_without_contact_is_the_linear_rule() -> None:
    """NASA RP-1228: P/n + M r/Σr² while no bolt is pushed: N 4 kN, M_y 120 N·m on bolts ±40, ±30 mm."""
    found = balance(
        plane_wrenches(BOLTS, -1),
        np.zeros((3, 0)),
        np.array([4000.0, 0, 120.0]),
        np.full(4, 1e8),
        np.zeros(4),
        1.0,
    )
    assert found.pulls[0] == pytest.approx(1000 - 120 * 0.040 / (4 * 0.040**2) * CORNERS[:, 0], rel=1e-10)


def test_bolt_group_that_would_have_to_push_is_not_held_without_contact() -> None:
    """M_y 200 N·m: the linear rule gives 2250, 2250, −250, −250 N; a bolt cannot push."""
    found = balance(
        plane_wrenches(BOLTS, -1),
        np.zeros((3, 0)),
        np.array([4000.0, 0, -200.0]),
        np.full(4, 1e8),
        np.zeros(4),
        1.0,
    )
    assert not found.held.any()
    assert not found.pulls.any()
    assert found.residual == pytest.approx(1.0)


def test_bolt_group_turns_about_its_heel() -> None:
    """NASA RP-1228: with the base bearing on its heel, T_i = M r_i / Σ r², r from the heel.

    M_y 200 N·m and N 4 kN on edges ±57 mm: about the heel 428 N·m on bolts 97 and 17 mm away, by hand 2140.4
    and 375.1 N.
    """
    edges = CORNERS * [0.057, 0.057]
    found = balance(
        plane_wrenches(BOLTS, -1),
        plane_wrenches(edges, 1),
        np.array([4000.0, 0, -200.0]),
        np.full(4, 1e8),
        np.zeros(4),
        1.0,
    )
    r = BOLTS[:, 0] + 0.057
    assert found.pulls[0] == pytest.approx(428 * r / (r @ r), rel=1e-10)
    assert found.pulls[0].round(1).tolist() == [2140.4, 2140.4, 375.1, 375.1]
    assert found.contacts.sum() == pytest.approx(2 * 2140.43 + 2 * 375.13 - 4000, rel=1e-4)


# At rest, slack, and the way hand tension counts


@pytest.mark.parametrize("hand", [0.0, 200.0, 900.0])
def test_hand_tension_comes_back_when_nothing_pulls(hand: float) -> None:
    load = replace(symmetric(0.6, 0.5), at_rest=hand)
    found = load.case(FORWARD, 0.0)
    assert found.pulls[0] == pytest.approx(hand, abs=1e-9 * load.weight)
    pressed = load.weight + 4 * hand * sin(0.6)
    assert found.contacts.sum() == pytest.approx(pressed, rel=1e-10)


def test_nothing_at_all_pulls_nothing() -> None:
    load = symmetric(0.6, 0.5)
    wrenches = line_wrench(-load.along_straps, load.ties).T
    found = balance(wrenches, NO_CONTACTS, np.zeros(6), np.full(4, 1e5), np.zeros(4), 1.0)
    assert found.held.all()
    assert not found.pulls.any()


@pytest.mark.parametrize(
    ("force", "expected"), [(0, (500, 500)), (600, (800, 200)), (1000, (1000, 0)), (1700, (1700, 0))]
)
def test_two_opposed_straps_share_until_one_hangs_slack(force: float, expected: tuple[float, float]) -> None:
    """Springs of hand tension 500 N: each takes half the force until the lee one is slack, then one all."""
    opposed = line_wrench(np.array([LEFT, RIGHT]), np.zeros(3)).T
    found = balance(opposed, NO_CONTACTS, np.array([0, -force, 0, 0, 0, 0.0]), np.full(2, 3e5), np.full(2, 500.0), 1.0)
    assert found.pulls[0] == pytest.approx(expected, abs=1e-9)


def test_stiffer_strap_takes_more() -> None:
    side_by_side = line_wrench(np.array([LEFT, LEFT]), np.zeros(3)).T
    found = balance(
        side_by_side, NO_CONTACTS, np.array([0, -900.0, 0, 0, 0, 0]), np.array([1e5, 2e5]), np.zeros(2), 1.0
    )
    assert found.pulls[0] == pytest.approx([300, 600], rel=1e-12)


# Not held


def test_no_strap_against_the_case_is_not_held() -> None:
    load = symmetric(0.6, 0.5)
    rear_only = replace(load, ties=load.ties[2:], rings=load.rings[2:])
    assert rear_only.case(FORWARD, 0.8).held.all()
    found = rear_only.case(REARWARD, 0.5)
    assert not found.held.any()
    assert not found.pulls.any()
    assert not found.contacts.any()


def test_two_straps_in_line_hold_along_their_line_only() -> None:
    ties = np.array([[0.5, 0, -0.3], [-0.5, 0, -0.3]])
    rings = np.array([[2.0, 0, -0.3], [-2.0, 0, -0.3]])
    in_line = Strapped(ties, rings, symmetric(0.6, 0.5).wheels)
    assert in_line.case(FORWARD, 0.8).pulls[0] == pytest.approx([0, 8000], abs=1e-8)
    assert in_line.case(REARWARD, 0.5).pulls[0] == pytest.approx([5000, 0], abs=1e-8)
    assert not in_line.case(LEFT, 0.01).held.any()


def test_pull_off_the_line_turns_the_load_unless_friction_steadies_it() -> None:
    off_line = Strapped(np.array([[-0.5, 0.02, -0.3]]), np.array([[-2.0, 0.02, -0.3]]), symmetric(0.6, 0.5).wheels)
    assert not off_line.case(FORWARD, 0.8).held.any()
    assert off_line.case(FORWARD, 0.8, mu_across=0.3).pulls[0] == pytest.approx([8000], rel=1e-9)


@pytest.mark.parametrize("offset", [1e-2, 1e-5, 1e-7, 1e-8])
def test_small_want_of_balance_is_never_smoothed_over(offset: float) -> None:
    """A load without friction or straps asked to stand a sideways force of `offset` of its weight."""
    standing = Strapped(np.zeros((0, 3)), np.zeros((0, 3)), symmetric(0.6, 0.5).wheels)
    assert standing.case(LEFT, 0.0).held.all()
    assert not standing.case(LEFT, offset).held.any()


@quiet
@given(mu=st.floats(0.05, 0.9), beyond=st.floats(1e-7, 1e-2))
def test_friction_limit_is_sharp(mu: float, beyond: float) -> None:
    standing = Strapped(np.zeros((0, 3)), np.zeros((0, 3)), symmetric(0.6, 0.5).wheels)
    assert standing.case(FORWARD, mu * (1 - beyond), mu_along=mu).held.all()
    assert not standing.case(FORWARD, mu * (1 + beyond), mu_along=mu).held.any()


def test_hold_that_needs_endless_pull_is_not_held() -> None:
    """Two straps almost square to the force: 0.01 rad takes 50 times it each, 1e-4 rad is not counted on."""
    for angle, holds in ((1e-2, True), (1e-4, False)):
        pair = line_wrench(np.array([[-sin(angle), cos(angle), 0], [-sin(angle), -cos(angle), 0]]), np.zeros(3)).T
        found = balance(pair, NO_CONTACTS, np.array([1000.0, 0, 0, 0, 0, 0]), np.full(2, 1e5), np.zeros(2), 1.0)
        assert found.held[0] == holds
        assert found.pulls[0] == pytest.approx(1000 / (2 * sin(angle)) if holds else 0.0, rel=1e-9)


# Steadying friction


@pytest.mark.parametrize(("way", "c"), [(FORWARD, 0.8), (REARWARD, 0.5), (LEFT, 0.5), (RIGHT, 0.5)])
@pytest.mark.parametrize("hand", [0.0, 300.0])
def test_steadying_friction_leaves_symmetric_set_ups_alone(way: np.ndarray, c: float, hand: float) -> None:
    load = replace(symmetric(0.6, 0.5), at_rest=hand)
    without, with_it = load.case(way, c), load.case(way, c, mu_across=0.3)
    assert with_it.pulls == pytest.approx(without.pulls, abs=1e-9 * load.weight)


def test_steadying_friction_only_ever_eases() -> None:
    eased = 0
    for seed in range(30):
        load = replace(crooked(seed), at_rest=0.0)
        without, with_it = load.case(FORWARD, 0.8), load.case(FORWARD, 0.8, mu_across=0.3)
        if without.held[0]:
            assert with_it.held[0]
            energies = [(found.pulls**2 / load.stiffness).sum() for found in (without, with_it)]
            assert energies[1] <= energies[0] * (1 + 1e-10)
            eased += energies[1] < energies[0] * 0.99
    assert eased >= 5


# Properties


SEEDS = st.integers(0, 2**32 - 1)
WAYS = st.sampled_from([(FORWARD, 0.8), (REARWARD, 0.5), (LEFT, 0.5), (RIGHT, 0.25)])
FRICTIONS = st.sampled_from([(0.0, 0.0), (0.0, 0.3), (0.2, 0.3)])
Way = tuple[np.ndarray, float]
Mus = tuple[float, float]


@quiet
@given(seed=SEEDS, way=WAYS, mus=FRICTIONS)
def test_held_cases_balance_and_stretch_as_one_body(seed: int, way: Way, mus: Mus) -> None:
    """Equilibrium, and a motion λ that stretches every strap that acts by just what its pull says."""
    load = crooked(seed)
    found = load.case(*way, *mus)
    assume(found.held[0])
    A = line_wrench(-load.along_straps, load.ties).T
    C = contact_wrenches(load.wheels, UP, way[0], np.cross(UP, way[0]), *mus)
    T, c = found.pulls[0], found.contacts[0]
    total = A @ T + C @ c + [*(load.weight * (way[1] * way[0] - UP)), 0, 0, 0]
    assert np.abs(total).max() <= 1e-9 * load.weight
    acting, pressed = 1e-6 * load.weight < T, c > 1e-6 * load.weight
    columns = np.hstack([A[:, acting], C[:, pressed]]).T
    stretch = np.concatenate([(T - load.at_rest)[acting] / load.stiffness[acting], np.zeros(pressed.sum())])
    lam = np.linalg.lstsq(columns, stretch, rcond=None)[0]
    assert columns @ lam == pytest.approx(stretch, abs=1e-8 * max(np.abs(stretch).max(), 1e-3))


def test_a_case_that_is_not_held_has_no_pulls() -> None:
    cases = [crooked(seed).case(way, 0.8) for seed in range(40) for way in (FORWARD, REARWARD, LEFT, RIGHT)]
    loose = [found for found in cases if not found.held[0]]
    assert 5 <= len(loose) <= len(cases) - 5
    assert not any(found.pulls.any() for found in loose)


@quiet
@given(seed=SEEDS, way=WAYS, mus=FRICTIONS)
def test_mirrored_set_up_gives_mirrored_pulls(seed: int, way: Way, mus: Mus) -> None:
    load, mirror = crooked(seed), np.array([1.0, -1.0, 1.0])
    other = replace(load, ties=load.ties * mirror, rings=load.rings * mirror, wheels=load.wheels * mirror)
    found, mirrored = load.case(*way, *mus), other.case(way[0] * mirror, way[1], *mus)
    assert found.held == mirrored.held
    assert np.abs(found.pulls - mirrored.pulls).max() <= 1e-9 * load.weight


@quiet
@given(seed=SEEDS, way=WAYS, mus=FRICTIONS, which=st.integers(0, 5))
def test_one_strap_split_in_two_halves_changes_nothing(seed: int, way: Way, mus: Mus, which: int) -> None:
    load = crooked(seed)
    order = [*range(6), which]
    halves = np.where(np.isin(order, which), 0.5, 1.0)
    split = replace(
        load,
        ties=load.ties[order],
        rings=load.rings[order],
        stiffness=load.stiffness[order] * halves,
        at_rest=load.at_rest[order] * halves,
    )
    found, parted = load.case(*way, *mus), split.case(*way, *mus)
    total = parted.pulls[0, :6].copy()
    total[which] += parted.pulls[0, 6]
    assert found.held == parted.held
    assert np.abs(found.pulls[0] - total).max() <= 1e-9 * load.weight
    assert parted.pulls[0, which] == pytest.approx(parted.pulls[0, 6], abs=1e-9 * load.weight)


@quiet
@given(
    seed=SEEDS,
    way=WAYS,
    mus=FRICTIONS,
    forces=st.sampled_from([1e-3, 1.0, 1e6]),
    lengths=st.sampled_from([0.01, 1.0, 100.0]),
)
def test_units_of_force_and_length_do_not_matter(seed: int, way: Way, mus: Mus, forces: float, lengths: float) -> None:
    load = crooked(seed)
    scaled = Strapped(
        load.ties * lengths,
        load.rings * lengths,
        load.wheels * lengths,
        load.weight * forces,
        load.stiffness * forces / lengths,
        load.at_rest * forces,
    )
    found, other = load.case(*way, *mus), scaled.case(*way, *mus)
    assert found.held == other.held
    assert np.abs(found.pulls - other.pulls / forces).max() <= 1e-9 * load.weight


@quiet
@given(seed=SEEDS, way=WAYS, mus=FRICTIONS, more=st.floats(1.0, 3.0))
def test_more_acceleration_asks_for_more_energy(seed: int, way: Way, mus: Mus, more: float) -> None:
    """Least energy grows along a ray from rest, and what does not hold a case does not hold a worse one."""
    load = replace(crooked(seed), at_rest=0.0)
    less, harder = load.case(*way, *mus), load.case(way[0], way[1] * more, *mus)
    assert less.held[0] or not harder.held[0]
    if harder.held[0]:
        energies = [(found.pulls**2 / load.stiffness).sum() for found in (less, harder)]
        assert energies[0] <= energies[1] * (1 + 1e-9) + 1e-12


@quiet
@given(data=st.data())
def test_grid_of_plain_figures_is_held_when_a_linear_programme_says_so(data: st.DataObject) -> None:
    """Figures −1, 0, 1 give planar, doubled, opposed and slack columns; held exactly when x ≥ 0 exists."""
    small = st.integers(-1, 1)
    n = data.draw(st.integers(1, 6))
    columns = np.array(
        data.draw(st.lists(st.lists(small, min_size=6, max_size=6), min_size=n, max_size=n)), dtype=float
    ).T
    external = np.array(data.draw(st.lists(small, min_size=6, max_size=6)), dtype=float)
    strapped = data.draw(st.integers(0, n))
    found = balance(columns[:, :strapped], columns[:, strapped:], external, np.ones(strapped), np.ones(strapped), 1.0)
    feasible = scipy.optimize.linprog(np.zeros(n), A_eq=columns, b_eq=-external).status == 0
    assert found.held[0] == feasible
    if feasible:
        x = np.concatenate([found.pulls[0], found.contacts[0]])
        assert np.abs(columns @ x + external).max() <= 1e-9


@pytest.mark.parametrize("slightly", [1e-4, 1e-3, 1e-2])
def test_nearly_dependent_arrangements_with_room_are_held(slightly: float) -> None:
    """Columns of −1, 0, 1 set slightly askew: where all pulls and contacts can be positive, the case is held."""
    rng = np.random.default_rng(3)
    roomy = 0
    for _ in range(100):
        n, q = int(rng.integers(1, 8)), int(rng.integers(0, 9))
        columns = rng.integers(-1, 2, (6, n + q)) + slightly * rng.normal(size=(6, n + q)) * rng.integers(
            0, 2, (6, n + q)
        )
        columns[2, n:] = 1.0  # contacts push up
        external = -columns @ rng.random(n + q)
        room = scipy.optimize.linprog(
            np.append(np.zeros(n + q), -1.0),
            A_ub=np.column_stack([-np.eye(n + q), np.ones(n + q)]),
            b_ub=np.zeros(n + q),
            A_eq=np.column_stack([columns, np.zeros(6)]),
            b_eq=-external,
            bounds=[(0, None)] * (n + q) + [(0, 1)],
        )
        if room.status == 0 and room.x[-1] > 1e-3:
            roomy += 1
            found = balance(columns[:, :n], columns[:, n:], external, 10 ** rng.uniform(-1, 1, n), rng.random(n), 1.0)
            assert found.held.all()
            assert np.abs(columns @ np.append(found.pulls, found.contacts) + external).max() <= 1e-9
    assert roomy >= 50


def test_batch_gives_what_each_case_gives_alone_every_time() -> None:
    loads = [crooked(seed) for seed in range(20)]
    pulls = np.stack([line_wrench(-load.along_straps, load.ties).T for load in loads])
    contacts = contact_wrenches(loads[0].wheels, UP, FORWARD, LEFT, 0.0, 0.3)
    external = np.array([[0.8 * load.weight, 0, -load.weight, 0, 0, 0] for load in loads])
    stiffness, at_rest = (np.stack([getattr(load, name) for load in loads]) for name in ("stiffness", "at_rest"))
    together = balance(pulls, contacts, external, stiffness, at_rest, 3.0)
    again = balance(pulls, contacts, external, stiffness, at_rest, 3.0)
    assert np.array_equal(together.pulls, again.pulls)
    assert together.held.sum() >= 10
    for case, load in enumerate(loads):
        alone = load.case(FORWARD, 0.8, mu_across=0.3)
        assert together.held[case] == alone.held[0]
        assert np.abs(together.pulls[case] - alone.pulls[0]).max() <= 1e-9 * load.weight


# The parts of the solver


@quiet
@given(seed=SEEDS)
def test_nnls_is_scipys(seed: int) -> None:
    rng = np.random.default_rng(seed)
    rows, n = rng.integers(2, 12), rng.integers(1, 10)
    A, b = rng.normal(size=(rows, n)), rng.normal(size=rows)
    theirs, distance = scipy.optimize.nnls(A, b)
    ours = nnls(A, b)
    assert ours.min() >= 0
    assert np.linalg.norm(A @ ours - b) == pytest.approx(distance, abs=1e-9)
    if n <= rows:
        assert ours == pytest.approx(theirs, abs=1e-7)


@quiet
@given(seed=SEEDS)
def test_least_squares_way_finds_the_same_pulls(seed: int) -> None:
    """What stands in when the interior point does not settle a case, on cases that it does settle."""
    rng = np.random.default_rng(seed)
    n, q = int(rng.integers(4, 9)), int(rng.integers(0, 6))
    columns = rng.normal(size=(6, n + q))
    b = columns @ np.maximum(rng.normal(size=n + q), 0.0)
    rest = np.maximum(rng.normal(size=n), 0.0)
    size = max(np.abs(b).max(), rest.max())
    found = balance(columns[:, :n], columns[:, n:], -b, np.ones(n), rest, 1.0)
    energy = np.concatenate([np.ones(n), np.zeros(q)])
    g = np.concatenate([-rest / size, np.zeros(q)])
    x = _by_least_squares(_Program(columns[None], b[None] / size, energy[None], g[None]))
    assert x is not None
    assert found.held[0]
    assert np.abs(x[:n] * size - found.pulls[0]).max() <= 1e-7 * size


# Refusals


GOOD = {
    "pull_wrenches": line_wrench(-UP, np.column_stack([CORNERS, np.zeros(4)])).T,
    "contact_wrenches": line_wrench(UP, np.column_stack([CORNERS, np.zeros(4)])).T,
    "external": np.array([0, 0, 100.0, 0, 0, 0]),
    "stiffness": np.ones(4),
    "at_rest": np.zeros(4),
    "lever": 1.0,
}


def test_what_the_refusals_start_from_is_good() -> None:
    assert balance(**GOOD).pulls[0] == pytest.approx(25.0)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("pull_wrenches", np.ones((5, 4))),
        ("pull_wrenches", np.ones((6, 3))),
        ("pull_wrenches", np.full((6, 4), np.nan)),
        ("contact_wrenches", np.ones((2, 6, 4))),
        ("contact_wrenches", np.ones(6)),
        ("external", np.ones(5)),
        ("external", np.array([0, 0, np.inf, 0, 0, 0])),
        ("external", np.ones((2, 2, 6))),
        ("stiffness", np.zeros(4)),
        ("stiffness", np.ones(5)),
        ("at_rest", np.array([0, 0, 0, -1.0])),
        ("at_rest", np.array([0, 0, 0, np.nan])),
        ("lever", 0.0),
        ("lever", np.nan),
    ],
)
def test_wrong_shapes_and_numbers_are_refused(name: str, value: object) -> None:
    with pytest.raises(ValueError, match=r"fit|finite|positive|equations|broadcast|unpack"):
        balance(**{**GOOD, name: value})  # type: ignore[arg-type]


@pytest.mark.parametrize("mu", [-0.1, np.nan, np.inf])
def test_wrong_friction_is_refused(mu: float) -> None:
    with pytest.raises(ValueError, match="coefficient of friction"):
        contact_wrenches(np.zeros((1, 3)), UP, FORWARD, LEFT, mu, 0.0)


def test_wrong_points_are_refused() -> None:
    with pytest.raises(ValueError, match="points"):
        contact_wrenches(np.zeros((1, 2)), UP, FORWARD, LEFT, 0.0, 0.0)
    with pytest.raises(ValueError, match="three components"):
        line_wrench(np.zeros(2), np.zeros(2))
