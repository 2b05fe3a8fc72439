"""One-sided equilibrium against an independent conic solver (cvxpy with Clarabel) on random set-ups.

Whether a case can be balanced at all is settled by a third party, the linear programme of HiGHS in scipy.
Both are general-purpose libraries that know nothing of straps.
"""

from __future__ import annotations

import contextlib
import warnings
from dataclasses import dataclass
from functools import cache

import numpy as np
import pytest
from scipy.optimize import linprog

from anchorcalc.mechanics.statics import Balance, balance
from anchorcalc.mechanics.wrenches import contact_wrenches, line_wrench

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # cvxpy warns of optional solvers that are not there
    import cvxpy as cp

UP = np.array([0.0, 0.0, 1.0])
CASES = np.array(
    [
        [0.8, 0, 0],
        [-0.5, 0, 0],
        [0, 0.5, 0],
        [0, -0.5, 0],
        [0.435, 0, 0],
        [0, 0.25, 0],
        [0, -0.25, 0],
        [0, 0, 0.2],
    ]
)
FRICTION = {"none": (0.0, 0.0), "steadying": (0.0, 0.3), "both": (0.2, 0.3)}
PLAIN = 300.0  # a case that needs this many times its size or more is a borderline one


@dataclass(frozen=True)
class Setup:
    """A load on its straps, about its centre of gravity."""

    pulls: np.ndarray  # (6, n)
    contacts: np.ndarray  # (B, 6, q)
    external: np.ndarray  # (B, 6)
    stiffness: np.ndarray
    at_rest: np.ndarray
    lever: float


def random_setup(rng: np.random.Generator, mu_along: float, mu_across: float) -> Setup:
    """Three to eight straps to rings outside the wheels, uneven in every way."""
    n = int(rng.integers(3, 9))
    weight, length, width, height = rng.uniform([3e3, 1.5, 0.6, 0.3], [3e4, 3.0, 0.9, 0.8])
    corners = np.array([[x, y] for x in (1, -1) for y in (1, -1)])
    wheels = np.column_stack([corners * [length / 2, width] * rng.uniform(0.9, 1.1, (4, 2)), np.full(4, -height)])
    corner = corners[np.arange(n) % 4]
    ties = rng.uniform([0, 0, 0.2 - height], [length / 2, width, 0.1], (n, 3)) * np.column_stack([corner, np.ones(n)])
    rings = np.column_stack([length / 2 + rng.uniform(0.2, 1.0, n), rng.uniform(0.5, 1.1, n)]) * corner
    along_strap = ties - np.column_stack([rings, np.full(n, 0.02 - height)])
    along_strap /= np.linalg.norm(along_strap, axis=1, keepdims=True)
    external = np.zeros((len(CASES), 6))
    external[:, :3] = weight * (CASES - UP * (CASES[:, 2:] == 0))
    upward = CASES[:, 2] > 0
    flat = np.where(upward[:, None], [1.0, 0, 0], CASES)
    along = flat / np.linalg.norm(flat, axis=1, keepdims=True)
    mu = np.where(upward, mu_across, mu_along), np.full(len(CASES), mu_across)
    return Setup(
        pulls=line_wrench(-along_strap, ties).T,
        contacts=contact_wrenches(wheels, UP, along, np.cross(UP, along), *mu),
        external=external,
        stiffness=rng.uniform(1e5, 6e5, n),
        at_rest=rng.uniform(0, 800, n) * (rng.random() < 0.7),
        lever=float(np.hypot(length, 2 * width)),
    )


def solve(setup: Setup) -> Balance:
    return balance(setup.pulls, setup.contacts, setup.external, setup.stiffness, setup.at_rest, setup.lever)


def size_of(setup: Setup, case: int) -> float:
    return float(np.abs(setup.external[case]).max())


def scaled(setup: Setup, case: int) -> tuple[np.ndarray, np.ndarray, float]:
    """Columns and target with moments over the lever, and the case's size."""
    row = np.array([1.0, 1.0, 1.0, *[1 / setup.lever] * 3])
    target = -setup.external[case] * row
    size = float(np.abs(target).max())
    return np.hstack([setup.pulls, setup.contacts[case]]) * row[:, None], target / size, size


@cache
def conic_problem(n: int, q: int) -> tuple[cp.Problem, dict[str, cp.Parameter], cp.Variable]:
    x = cp.Variable(n + q)
    given = {
        "A": cp.Parameter((6, n + q)),
        "b": cp.Parameter(6),
        "root": cp.Parameter(n),
        "rest": cp.Parameter(n),
    }
    energy = cp.sum_squares(cp.multiply(given["root"], x[:n]) - given["rest"])
    return cp.Problem(cp.Minimize(energy), [given["A"] @ x == given["b"], x >= 0]), given, x


def conic_pulls(setup: Setup, case: int) -> np.ndarray | None:
    """Pulls of one case by the conic solver, None when it says that there are none.

    As tight as the solver goes: pulls that are just slack are only as good as the root of its tolerance.
    """
    A, b, size = scaled(setup, case)
    n = len(setup.stiffness)
    problem, given, x = conic_problem(n, A.shape[1] - n)
    root = np.sqrt(setup.stiffness.mean() / setup.stiffness)
    given["A"].value, given["b"].value = A, b
    given["root"].value, given["rest"].value = root, root * setup.at_rest / size
    for tolerance in (1e-13, 1e-12, 1e-11, 1e-10):
        with warnings.catch_warnings(), contextlib.suppress(cp.error.SolverError):
            warnings.filterwarnings("ignore", message="Solution may be inaccurate")
            problem.solve(solver=cp.CLARABEL, tol_gap_abs=tolerance, tol_gap_rel=tolerance, tol_feas=tolerance)
            if problem.status == cp.OPTIMAL:
                return np.asarray(x.value[:n] * size)
            if problem.status == cp.INFEASIBLE:
                return None
    raise AssertionError(f"the conic solver settles nothing: {problem.status}")


def least_total(setup: Setup, case: int) -> float:
    """Least sum of pulls and contacts that balances a case, over its size; infinite when nothing does."""
    A, b, _ = scaled(setup, case)
    found = linprog(np.ones(A.shape[1]), A_eq=A, b_eq=b, method="highs")
    return float(found.fun) if found.status == 0 else np.inf


@pytest.mark.parametrize("friction", FRICTION)
def test_pulls_agree_with_conic_solver_on_200_setups(friction: str) -> None:
    rng = np.random.default_rng(20240611)
    compared, not_held = 0, 0
    for number in range(200):
        setup = random_setup(rng, *FRICTION[friction])
        ours = solve(setup)
        case = number % len(CASES)
        if PLAIN <= least_total(setup, case) < np.inf:
            continue
        theirs = conic_pulls(setup, case)
        assert ours.held[case] == (theirs is not None), (number, case)
        if theirs is None:
            not_held += 1
            continue
        error = np.abs(ours.pulls[case] - theirs).max()
        assert error <= 1e-6 * max(theirs.max(), 0.01 * size_of(setup, case)), (number, case)
        compared += 1
    assert compared >= 110
    assert compared + not_held >= 196


@pytest.mark.parametrize("friction", FRICTION)
def test_held_is_what_a_linear_programme_says(friction: str) -> None:
    rng = np.random.default_rng(20240612)
    held, not_held, borderline = 0, 0, 0
    for number in range(200):
        setup = random_setup(rng, *FRICTION[friction])
        ours = solve(setup)
        for case in (number % len(CASES), (number + 3) % len(CASES)):
            total = least_total(setup, case)
            if PLAIN <= total < np.inf:
                borderline += 1
                continue
            assert ours.held[case] == (total < PLAIN), (number, case, total)
            held, not_held = held + int(ours.held[case]), not_held + int(not ours.held[case])
    assert held >= 200
    assert not_held >= 20
    assert borderline <= 8


def test_equilibrium_to_a_billionth_of_the_weight() -> None:
    rng = np.random.default_rng(20240613)
    for _ in range(100):
        setup = random_setup(rng, 0.2, 0.3)
        found = solve(setup)
        total = found.pulls @ setup.pulls.T + np.einsum("bmq,bq->bm", setup.contacts, found.contacts) + setup.external
        weight = -setup.external[0, 2]
        assert found.held.any()
        assert np.abs(total[found.held, :3]).max() <= 1e-9 * weight
        assert np.abs(total[found.held, 3:]).max() <= 1e-9 * weight * setup.lever
        assert found.pulls.min() >= 0
        assert found.contacts.min() >= 0
        assert not found.pulls[~found.held].any()
