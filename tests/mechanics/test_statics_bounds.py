"""Equilibrium with straps that slide over points, and with contacts that bear only so much, against a conic solver.

cvxpy with Clarabel and the linear programme of HiGHS in scipy: general-purpose libraries that know nothing of straps.
"""

from __future__ import annotations

import contextlib
import warnings
from dataclasses import dataclass, replace

import numpy as np
import pytest
from scipy.optimize import linprog

from anchorcalc.mechanics.statics import balance
from anchorcalc.mechanics.wrenches import contact_wrenches, line_wrench

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # cvxpy warns of optional solvers that are not there
    import cvxpy as cp

UP = np.array([0.0, 0.0, 1.0])
WAYS = np.array([[0.8, 0, 0], [-0.5, 0, 0], [0, 0.5, 0], [0, -0.5, 0], [0, 0, 0.2]])
PLAIN = 300.0  # a case that needs this many times its size or more is a borderline one


@dataclass(frozen=True)
class Setup:
    """A load in one case, about its centre of gravity."""

    pulls: np.ndarray  # (6, n), some of them with two ends
    pushes: np.ndarray  # (6, q) wheels with grip, then stops
    external: np.ndarray  # (6,)
    stiffness: np.ndarray
    at_rest: np.ndarray
    most: np.ndarray  # (n + q,)
    lever: float


def random_setup(rng: np.random.Generator) -> Setup:
    """Two to six straps, a third of them over the load with one pull at both ends; one to three stops; grip."""
    n = int(rng.integers(2, 7))
    weight, length, width, height = rng.uniform([3e3, 1.5, 0.6, 0.3], [3e4, 3.0, 0.9, 0.8])
    corners = np.array([[x, y] for x in (1, -1) for y in (1, -1)])
    wheels = np.column_stack([corners * [length / 2, width] * rng.uniform(0.9, 1.1, (4, 2)), np.full(4, -height)])

    def end(corner: np.ndarray) -> np.ndarray:
        tie = rng.uniform([0, 0, 0.2 - height], [length / 2, width, 0.1]) * [*corner, 1.0]
        ring = np.array([length / 2 + rng.uniform(0.2, 1.0), rng.uniform(0.5, 1.1)]) * corner
        to_ring = np.array([*ring, 0.02 - height]) - tie
        return line_wrench(to_ring / np.linalg.norm(to_ring), tie)

    pulls = []
    for number in range(n):
        corner = corners[number % 4]
        over = rng.random() < 0.35
        pulls.append(end(corner) + (end(corner * [1, -1]) if over else 0.0))
    way = WAYS[rng.integers(0, len(WAYS))]
    upward = way[2] > 0
    along = np.array([1.0, 0, 0]) if upward else way / np.linalg.norm(way)
    grip = (0.0, 0.0) if upward else tuple(rng.uniform(0, 0.5, 2) * (rng.random(2) < 0.6))
    stops = int(rng.integers(1, 4))
    at = rng.uniform([-length / 2, -width, -height], [length / 2, width, 0.1 - height], (stops, 3))
    pushing = np.array([[1, 0, 0], [-1, 0, 0], [0, 1, 0], [0, -1, 0]])[rng.integers(0, 4, stops)]
    pushes = np.hstack([contact_wrenches(wheels, UP, along, np.cross(UP, along), *grip), line_wrench(pushing, at).T])
    external = np.zeros(6)
    external[:3] = weight * (way - (0.0 if upward else 1.0) * UP)
    most = np.full(n + pushes.shape[1], np.inf)
    most[-stops:] = rng.uniform(0.02, 1.0, stops) * weight
    return Setup(
        np.transpose(pulls),
        pushes,
        external,
        rng.uniform(1e5, 6e5, n),
        rng.uniform(0, 800, n) * (rng.random() < 0.7),
        most,
        float(np.hypot(length, 2 * width)),
    )


def scaled(setup: Setup) -> tuple[np.ndarray, np.ndarray, float]:
    """Columns and target with moments over the lever, and the case's size."""
    row = np.array([1.0, 1.0, 1.0, *[1 / setup.lever] * 3])
    target = -setup.external * row
    size = float(np.abs(target).max())
    return np.hstack([setup.pulls, setup.pushes]) * row[:, None], target / size, size


def conic_pulls(setup: Setup) -> np.ndarray | None:
    """Pulls by the conic solver, None when it says that there are none."""
    A, b, size = scaled(setup)
    n = len(setup.stiffness)
    x = cp.Variable(A.shape[1])
    root = np.sqrt(setup.stiffness.mean() / setup.stiffness)
    bounded = np.flatnonzero(np.isfinite(setup.most))
    energy = cp.sum_squares(cp.multiply(root, x[:n]) - root * setup.at_rest / size)
    limits = [A @ x == b, x >= 0, x[bounded] <= setup.most[bounded] / size]
    return np.asarray(x.value[:n] * size) if solved(cp.Problem(cp.Minimize(energy), limits)) else None


def solved(problem: cp.Problem) -> bool:
    """Whether the conic solver finds an answer, as tight as it goes; False when it says that there is none."""
    for tolerance in (1e-13, 1e-12, 1e-11, 1e-10):
        with warnings.catch_warnings(), contextlib.suppress(cp.error.SolverError):
            warnings.filterwarnings("ignore", message="Solution may be inaccurate")
            problem.solve(solver=cp.CLARABEL, tol_gap_abs=tolerance, tol_gap_rel=tolerance, tol_feas=tolerance)
            if problem.status in (cp.OPTIMAL, cp.INFEASIBLE):
                return bool(problem.status == cp.OPTIMAL)
    raise AssertionError(f"the conic solver settles nothing: {problem.status}")


def least_total(setup: Setup) -> float:
    """Least sum of pulls and pushes that balances the case, over its size; infinite when nothing does."""
    A, b, size = scaled(setup)
    bounds = [(0, None if np.isinf(each) else each / size) for each in setup.most]
    found = linprog(np.ones(A.shape[1]), A_eq=A, b_eq=b, bounds=bounds, method="highs")
    return float(found.fun) if found.status == 0 else np.inf


def solve(setup: Setup):
    return balance(setup.pulls, setup.pushes, setup.external, setup.stiffness, setup.at_rest, setup.lever, setup.most)


def test_paths_grip_and_stops_agree_with_a_conic_solver_on_200_setups() -> None:
    rng = np.random.default_rng(20240711)
    compared, not_held, at_their_bound = 0, 0, 0
    for number in range(200):
        setup = random_setup(rng)
        ours, total = solve(setup), least_total(setup)
        if PLAIN <= total < np.inf:
            continue
        assert ours.held[0] == (total < PLAIN), (number, total)
        if not ours.held[0]:
            not_held += 1
            continue
        theirs = conic_pulls(setup)
        assert theirs is not None, number
        error = np.abs(ours.pulls[0] - theirs).max()
        # Of the case's size: where no strap need pull, the conic answer is as good as the root of its tolerance.
        assert error <= 1e-6 * max(theirs.max(), np.abs(setup.external).max()), (number, error)
        pushes = ours.contacts[0]
        n = len(theirs)
        assert (pushes <= setup.most[n:] * (1 + 1e-12)).all(), number
        at_their_bound += int((pushes > setup.most[n:] * (1 - 1e-9)).any())
        compared += 1
    assert compared >= 90
    assert not_held >= 40
    assert at_their_bound >= 15


def test_a_path_is_two_straps_tied_to_one_tension_with_their_stretch_added() -> None:
    """Energy of both legs T²/2k₁ + T²/2k₂ is that of one strap with 1/k = 1/k₁ + 1/k₂; by the conic solver."""
    rng, compared = np.random.default_rng(20240712), 0
    for number in range(60):
        setup = random_setup(rng)
        n = setup.pulls.shape[1]
        other = setup.pulls * np.array([1, -1, 1, -1, 1, -1])[:, None]  # every strap goes over to the other side
        k = rng.uniform(1e5, 6e5, (2, n))
        tied = replace(setup, pulls=setup.pulls + other, stiffness=1 / (1 / k).sum(axis=0))
        ours = solve(tied)
        if not ours.held[0]:
            assert least_total(tied) >= PLAIN, number
            continue
        size, row = float(np.abs(setup.external).max()), np.array([1.0, 1.0, 1.0, *[1 / setup.lever] * 3])
        T, c = cp.Variable((2, n)), cp.Variable(setup.pushes.shape[1])
        columns = [each * row[:, None] for each in (setup.pulls, other, setup.pushes)]
        total = columns[0] @ T[0] + columns[1] @ T[1] + columns[2] @ c
        bounded = np.flatnonzero(np.isfinite(setup.most[n:]))
        limits = [total == -setup.external * row / size, T[0] == T[1], T >= 0, c >= 0]
        limits += [c[bounded] <= setup.most[n:][bounded] / size]
        energy = cp.sum_squares(cp.multiply(np.sqrt(k.mean() / k), T - np.tile(setup.at_rest / size, (2, 1))))
        assert solved(cp.Problem(cp.Minimize(energy), limits)), number
        assert np.abs(ours.pulls[0] - T.value[0] * size).max() <= 1e-6 * size, number
        compared += 1
    assert compared >= 15


def test_a_stop_takes_what_it_bears_and_the_straps_the_rest() -> None:
    # Pushed forward by 1 000 N on ice; a stop good for 400 N, two like straps to the rear: 300 N each, level.
    rearward, ahead = line_wrench([-1.0, 0, 0], [[0, 0.5, 0], [0, -0.5, 0]]).T[:3], np.array([[-1.0], [0], [0]])
    case, limits = np.array([1000.0, 0, 0]), np.array([np.inf, np.inf, 400.0])
    found = balance(rearward, ahead, case, np.full(2, 1e5), np.zeros(2), 1.0, limits)
    assert found.held[0]
    # Contacts have no energy: the stop bears all it can before a strap pulls.
    assert found.contacts[0] == pytest.approx([400], rel=1e-12)
    assert found.pulls[0] == pytest.approx([300, 300], rel=1e-12)


def test_what_bears_nothing_is_not_there() -> None:
    pulls, stop, case = np.array([[-1.0], [0], [0]]), np.array([[-1.0], [0], [0]]), np.array([1000.0, 0, 0])
    found = balance(pulls, stop, case, np.ones(1), np.zeros(1), 1.0, np.array([np.inf, 0.0]))
    assert found.pulls[0] == pytest.approx([1000], rel=1e-12)
    assert found.contacts[0] == pytest.approx([0], abs=1e-12)
    assert not balance(pulls, stop, case, np.ones(1), np.zeros(1), 1.0, np.zeros(2)).held[0]


@pytest.mark.parametrize("beyond", [1e-7, 1e-4, 1e-2])
def test_the_limit_of_a_stop_is_sharp(beyond: float) -> None:
    stop, case = np.array([[-1.0], [0], [0]]), np.array([1000.0, 0, 0])
    held = [
        balance(
            np.zeros((3, 0)), stop, case, np.zeros(0), np.zeros(0), 1.0, np.array([1000.0 * (1 + sign * beyond)])
        ).held[0]
        for sign in (1, -1)
    ]
    assert held == [True, False]


@pytest.mark.parametrize("wrong", [-1.0, np.nan])
def test_a_bound_is_a_number_from_nil(wrong: float) -> None:
    with pytest.raises(ValueError, match="not be negative"):
        balance(np.eye(3), np.zeros((3, 0)), np.ones(3), np.ones(3), np.zeros(3), 1.0, np.array([1.0, wrong, 1.0]))


def wedge(slope: float) -> np.ndarray:
    """Two that pull or push nearly against each other, each with so much of it upward."""
    return np.array([[np.sqrt(1 - slope**2), -np.sqrt(1 - slope**2)], [0.0, 0.0], [slope, slope]])


@pytest.mark.parametrize(("times", "held"), [(990, True), (1010, False)])
def test_what_needs_more_than_a_thousand_times_the_case_in_all_is_not_held(times: float, held: bool) -> None:
    case = np.array([0.0, 0.0, -500.0])
    found = balance(wedge(1 / times), np.zeros((3, 0)), case, np.ones(2), np.zeros(2), 1.0)
    assert found.held[0] == held
    assert found.pulls[0] == pytest.approx(np.full(2, held * times * 250.0), rel=1e-6)


@pytest.mark.parametrize(("times", "held"), [(48, True), (52, False)])
def test_of_what_is_bounded_no_more_than_fifty_times_the_case_is_asked(times: float, held: bool) -> None:
    case, most = np.array([0.0, 0.0, -500.0]), np.full(2, 1e6)
    found = balance(np.zeros((3, 0)), wedge(1 / (2 * times)), case, np.zeros(0), np.zeros(0), 1.0, most)
    assert found.held[0] == held
    assert found.contacts[0] == pytest.approx(np.full(2, held * times * 500.0), rel=1e-6)
