"""How fast one-sided equilibrium is, and against cvxpy with Clarabel. Run as a script; nothing is asserted.

For figures of one core set OMP_NUM_THREADS=1 before:

python tests/benchmarks/bench_statics.py
"""

from __future__ import annotations

import math
import time
import warnings
from collections.abc import Callable

import numpy as np

from anchorcalc.mechanics.statics import Balance, balance
from anchorcalc.mechanics.wrenches import contact_wrenches, line_wrench

UP = np.array([0.0, 0.0, 1.0])
CORNERS = np.array([[1.0, 1.0], [1.0, -1.0], [-1.0, 1.0], [-1.0, -1.0]])
ACCELERATIONS = np.array(
    [
        [0.8, 0.0, 0.0],
        [-0.5, 0.0, 0.0],
        [0.0, 0.5, 0.0],
        [0.0, -0.5, 0.0],
        [0.435, 0.0, 0.0],
        [-0.5, 0.0, 0.0],
        [0.0, 0.25, 0.0],
        [0.0, -0.25, 0.0],
    ]
)
STEADYING = 0.3
WEIGHT, LEVER = 7000.0, 3.0
STIFFNESS, HAND_TENSION = np.array([2.0e5, 2.1e5, 1.9e5, 2.0e5]), np.array([600.0, 500.0, 650.0, 600.0])
CASES = len(ACCELERATIONS)


def best_of(task: Callable[[], object], times: int) -> float:
    """Shortest time of a task [s]."""
    shortest = math.inf
    for _ in range(times):
        start = time.perf_counter()
        task()
        shortest = min(shortest, time.perf_counter() - start)
    return shortest


def layouts(count: int) -> tuple[np.ndarray, np.ndarray]:
    """Tie points and rings of four straps, uneven by an inch or so, (count, 4, 3) each [m]."""
    rng = np.random.default_rng(7)
    ties = np.column_stack([CORNERS * [0.9, 0.5], np.full(4, -0.15)]) + rng.normal(0, 0.02, (count, 4, 3))
    rings = np.column_stack([CORNERS * [1.9, 0.85], np.full(4, -0.45)]) + rng.normal(0, 0.02, (count, 4, 3))
    return ties, rings


def assemble(ties: np.ndarray, rings: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Wrenches of pulls and contacts and the outside wrench of every case of every layout."""
    to_ring = rings - ties
    to_ring /= np.linalg.norm(to_ring, axis=-1, keepdims=True)
    pulls = np.repeat(np.swapaxes(line_wrench(to_ring, ties), -1, -2), CASES, axis=0)
    wheels = np.column_stack([CORNERS * [1.15, 0.65], np.full(4, -0.45)])
    along = ACCELERATIONS / np.linalg.norm(ACCELERATIONS, axis=1, keepdims=True)
    contacts = contact_wrenches(wheels, UP, along, np.cross(UP, along), 0.0, STEADYING)
    external = np.concatenate([WEIGHT * (ACCELERATIONS - UP), np.zeros((CASES, 3))], axis=1)
    return pulls, np.tile(contacts, (len(ties), 1, 1)), np.tile(external, (len(ties), 1))


def solve(ties: np.ndarray, rings: np.ndarray) -> Balance:
    return balance(*assemble(ties, rings), STIFFNESS, HAND_TENSION, LEVER)


def conic(ties: np.ndarray, rings: np.ndarray) -> Callable[[int], None]:
    """One case of the first layout by cvxpy with Clarabel, its problem built once and given new figures."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import cvxpy as cp
    pulls, contacts, external = assemble(ties, rings)
    row = np.array([1.0, 1.0, 1.0, *[1 / LEVER] * 3])
    n, q = pulls.shape[2], contacts.shape[2]
    x, A, b = cp.Variable(n + q), cp.Parameter((6, n + q)), cp.Parameter(6)
    root = np.sqrt(STIFFNESS.mean() / STIFFNESS)
    energy = cp.sum_squares(cp.multiply(root, x[:n]) - root * HAND_TENSION / WEIGHT)
    problem = cp.Problem(cp.Minimize(energy), [A @ x == b, x >= 0])

    def run(case: int) -> None:
        A.value = np.hstack([pulls[case], contacts[case]]) * row[:, None]
        b.value = -external[case] * row / WEIGHT
        problem.solve(solver=cp.CLARABEL)

    run(0)
    return run


def main() -> None:
    ties, rings = layouts(1000)
    found = solve(ties, rings)
    cases = len(found.held)
    print(f"{found.held.mean():.1%} of {cases} cases held, residual ≤ {found.residual[found.held].max():.0e}")
    many = best_of(lambda: solve(ties, rings), 5) / cases
    print(f"{cases} cases at once, with assembly: {many * 1e6:.1f} µs a case, {1 / many:.0f} cases a second")
    one = best_of(lambda: solve(ties[:1], rings[:1]), 20)
    print(f"one set-up of {CASES} cases: {one * 1e3:.2f} ms")
    by_conic = conic(ties, rings)
    theirs = best_of(lambda: [by_conic(case) for case in range(CASES)], 5) / CASES
    print(f"cvxpy with Clarabel: {theirs * 1e3:.2f} ms a case, {theirs / many:.0f} times as long as many at once")


if __name__ == "__main__":
    main()
