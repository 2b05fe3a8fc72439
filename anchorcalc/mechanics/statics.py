"""One-sided equilibrium of a rigid body: straps and bolts only pull, wheels and edges only push.

Serves the load on its straps and the base of an anchor on its fasteners. The body is statically
indeterminate, so stiffness decides: of all sets of pulls that balance a case, the elastic one has the
least complementary energy,

    minimise  Σ (T_i − T0_i)² / (2 k_i)   subject to   A_T T + A_c c + w = 0,   T ≥ 0,   c ≥ 0

with T the pulls, T0 those at rest, k the stiffnesses, c the contact generators (no energy) and w the
outside wrench (Timoshenko & Goodier, Theory of Elasticity, least work; Lawson & Hanson, Solving Least
Squares Problems, ch. 23, for the one-sided form). Solved for many cases at once by a primal-dual
predictor-corrector method (Mehrotra, SIAM J. Optim. 2 (1992) 575). A case that nothing can balance has a
motion λ that no strap or contact resists while the case does work on it (Farkas); it is reported as not
held, never as a compromise.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

_BALANCED = 1e-10  # largest unbalanced component a held case may keep, relative to the case's size
_SETTLED = 1e-10  # mean product of a pull and its slack at which a point counts as the least-energy one
_MOST_ITERATIONS = 60
_RUNAWAY = 1e9  # size of the motion λ beyond which the case is taken to run away


@dataclass(frozen=True)
class Balance:
    """Pulls and contacts of B cases."""

    pulls: FloatArray  # (B, n) [N]; zero where not held
    contacts: FloatArray  # (B, q) [N]; zero where not held
    held: BoolArray  # (B,)
    residual: FloatArray  # (B,) largest unbalanced component over the case's size, moments over the lever


@dataclass(frozen=True)
class _Point:
    """Where the solver stands: pulls and contacts x, their slacks s, the body's motion λ."""

    x: FloatArray
    s: FloatArray
    lam: FloatArray

    def rows(self, which: BoolArray) -> _Point:
        return _Point(self.x[which], self.s[which], self.lam[which])

    def with_rows(self, where: NDArray[np.intp], other: _Point) -> _Point:
        self.x[where], self.s[where], self.lam[where] = other.x, other.s, other.lam
        return self


def line_wrench(direction: FloatArray, point: FloatArray) -> FloatArray:
    """Force and moment about the origin of a unit force along `direction` (…, 3) [-] at `point` (…, 3) [m].

    Returns
    -------
    (…, 6): force [-] and moment [m].
    """
    return np.concatenate([direction, np.cross(point, direction)], axis=-1)


def contact_wrenches(
    points: FloatArray, normal: FloatArray, along: FloatArray, across: FloatArray, mu_along: float, mu_across: float
) -> FloatArray:
    """Generators of what contacts at `points` (q, 3) [m] can push with, (6, generators).

    Friction is the pyramid |F_along|/µ_along + |F_across|/µ_across ≤ N: inside the friction ellipse, so never
    more than it. A direction without friction has no generators of its own.
    """
    sides = [sign * mu * axis for mu, axis in ((mu_along, along), (mu_across, across)) if mu > 0 for sign in (1, -1)]
    forces = [normal + side for side in sides] or [normal]
    return np.concatenate([line_wrench(np.broadcast_to(force, points.shape), points) for force in forces]).T


def balance(
    pull_wrenches: FloatArray,
    contact_wrenches: FloatArray,
    external: FloatArray,
    stiffness: FloatArray,
    at_rest: FloatArray,
    lever: float,
) -> Balance:
    """Balance B cases with n pulls and q contact generators.

    Parameters
    ----------
    pull_wrenches : (6, n), (3, n) or with a leading B: what one newton of each pull does to the body [-, m].
    contact_wrenches : (…, m, q) likewise for the contact generators.
    external : (B, m) outside wrench [N, N·m].
    stiffness, at_rest : (n,) [N/m], [N].
    lever : length that makes moments comparable with forces [m]; only rows 4 to 6 are moments.

    Raises
    ------
    ValueError
        Shapes that do not fit, or numbers that are not finite or not positive where they must be.
    """
    external = np.atleast_2d(np.asarray(external, dtype=float))
    cases, rows = external.shape
    columns = np.concatenate(
        [_per_case(pull_wrenches, cases), _per_case(contact_wrenches, cases)], axis=2
    )
    _check(columns, external, stiffness, at_rest, lever)
    row_scale = np.where(np.arange(rows) < 3, 1.0, 1.0 / lever)
    target = -external * row_scale
    size = np.maximum(np.abs(target).max(axis=1), max(float(at_rest.max(initial=0.0)), 1e-300))
    n = len(stiffness)
    softness = stiffness.mean() / stiffness
    energy = np.concatenate([softness, np.zeros(columns.shape[2] - n)])
    pull_back = np.zeros((cases, columns.shape[2]))
    pull_back[:, :n] = -softness * at_rest / size[:, None]
    A = columns * row_scale[:, None]
    b = target / size[:, None]
    x = _least_energy(A, b, energy, pull_back)
    residual = np.abs((A @ x[..., None])[..., 0] - b).max(axis=1)
    held = residual <= _BALANCED
    x = np.where(held[:, None], x, 0.0) * size[:, None]
    return Balance(x[:, :n], x[:, n:], held, np.where(held, residual, np.inf))


def _per_case(wrenches: FloatArray, cases: int) -> FloatArray:
    wrenches = np.asarray(wrenches, dtype=float)
    if wrenches.ndim == 2:
        return np.broadcast_to(wrenches, (cases, *wrenches.shape))
    return wrenches


def _check(A: FloatArray, external: FloatArray, stiffness: FloatArray, at_rest: FloatArray, lever: float) -> None:
    if A.shape[:2] != external.shape or len(stiffness) != len(at_rest) or len(stiffness) > A.shape[2]:
        raise ValueError(f"shapes do not fit: columns {A.shape}, external {external.shape}, pulls {len(stiffness)}")
    if not all(np.isfinite(part).all() for part in (A, external, stiffness, at_rest)) or not np.isfinite(lever):
        raise ValueError("wrenches, stiffness and pulls at rest must be finite")
    if (stiffness <= 0).any() or (at_rest < 0).any() or lever <= 0:
        raise ValueError("stiffness and lever must be positive, pulls at rest not negative")


def _least_energy(A: FloatArray, b: FloatArray, energy: FloatArray, g: FloatArray) -> FloatArray:
    """Minimise x'Hx/2 + g'x with A x = b, x ≥ 0 for each case; zero for a case that nothing balances.

    A (B, m, n), b (B, m), energy (n,) the diagonal of H, g (B, n).
    """
    cases, m, n = A.shape
    best = _Point(np.ones((cases, n)), np.ones((cases, n)), np.zeros((cases, m)))
    merit = np.full(cases, np.inf)
    ridge = 1e-15 * np.eye(m)
    todo, point, part, At = np.arange(cases), best.rows(np.ones(cases, dtype=bool)), A, A.transpose(0, 2, 1)
    for _ in range(_MOST_ITERATIONS):
        rd = energy * point.x + g[todo] - (At @ point.lam[..., None])[..., 0] - point.s
        rp = b[todo] - (part @ point.x[..., None])[..., 0]
        gap = (point.x * point.s).mean(axis=1)
        now = np.maximum(np.maximum(np.abs(rp).max(1), np.abs(rd).max(1) / 10), gap)
        better = now < merit[todo]
        merit[todo[better]] = now[better]
        best = best.with_rows(todo[better], point.rows(better))
        # Rounding spoils the balance if one goes on for too long: the best point is kept and polished.
        over = (merit[todo] <= _SETTLED) & ~better | (gap <= 1e-15) | (np.abs(point.lam).max(1) > _RUNAWAY)
        if over.any():
            keep = ~over
            if not keep.any():
                break
            todo, point, part, At = todo[keep], point.rows(keep), part[keep], At[keep]
            rd, rp, gap = rd[keep], rp[keep], gap[keep]
        point = _step(part, At, energy, ridge, point, rd, rp, gap)
    for case in np.flatnonzero(merit > _SETTLED / 100):
        polished = _polish(A[case], b[case], energy, g[case], best.x[case], best.s[case])
        if polished is not None:
            best.x[case] = polished
        elif merit[case] > _SETTLED:
            best.x[case] = 0.0
    return best.x


def _step(
    A: FloatArray, At: FloatArray, energy: FloatArray, ridge: FloatArray,
    point: _Point, rd: FloatArray, rp: FloatArray, gap: FloatArray,
) -> _Point:  # fmt: skip
    """One predictor-corrector step."""
    x, s, lam = point.x, point.s, point.lam
    ratio = s / x
    D = 1.0 / (energy + ratio)
    AD = A * D[:, None, :]
    M = AD @ At
    M += ridge * np.trace(M, axis1=1, axis2=2)[:, None, None]
    inverse = np.linalg.inv(M)

    def direction(rc_over_x: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
        push = rc_over_x - rd
        right = rp[..., None] - AD @ push[..., None]
        d_lam = inverse @ right
        d_lam += inverse @ (right - M @ d_lam)  # one refinement: M is badly scaled near the end
        dx = D * ((At @ d_lam)[..., 0] + push)
        return dx, rc_over_x - ratio * dx, d_lam[..., 0]

    dx, ds, _ = direction(-s)
    a_x, a_s = _reach(x, dx), _reach(s, ds)
    gap_ahead = ((x + a_x * dx) * (s + a_s * ds)).mean(axis=1)
    centring = (gap_ahead / gap) ** 3
    dx, ds, d_lam = direction(-s + ((centring * gap)[:, None] - dx * ds) / x)
    step = np.minimum(1.0, 0.995 * np.minimum(_reach(x, dx, 1e9), _reach(s, ds, 1e9)))
    return _Point(x + step * dx, s + step * ds, lam + step * d_lam)


def _reach(value: FloatArray, change: FloatArray, most: float = 1.0) -> FloatArray:
    """Greatest step, up to `most`, that keeps value + step · change from turning negative, (B, 1)."""
    with np.errstate(divide="ignore", over="ignore"):
        steps = np.where(change < 0, -value / np.where(change < 0, change, 1.0), most)
    return np.minimum(steps.min(axis=1), most)[:, None]


def _polish(
    A: FloatArray, b: FloatArray, energy: FloatArray, g: FloatArray, x: FloatArray, s: FloatArray
) -> FloatArray | None:
    """Exact least-energy point of one case from a guess of which columns act; None when none is found.

    The columns that act are corrected to meet balance and compatibility exactly; those that turn negative
    stop acting, those that would be strained begin to, until neither is left.
    """
    m, n = A.shape
    acting = x > s
    for _ in range(3 * n):
        act = np.flatnonzero(acting)
        k = len(act)
        K = np.zeros((k + m, k + m))
        K[:k, :k] = np.diag(energy[act])
        K[:k, k:], K[k:, :k] = -A[:, act].T, A[:, act]
        start = np.where(acting, x, 0.0)
        right = np.concatenate([-(energy * start + g)[act], b - A @ start])
        solution = np.linalg.lstsq(K, right, rcond=1e-12)[0]
        trial = start.copy()
        trial[act] += solution[:k]
        slack = energy * trial + g - A.T @ solution[k:]
        if trial.min() < -_SETTLED:
            acting &= trial > _SETTLED
        elif np.abs(A @ trial - b).max() > _BALANCED or (slack[~acting] < -1e-8).any():
            strained = np.where(acting, np.inf, slack)
            if strained.min() >= -1e-8:
                return None
            acting[np.argmin(strained)] = True
        else:
            return np.maximum(trial, 0.0)
    return None


def fastener_shares(
    positions: FloatArray, edges: FloatArray, directions: FloatArray, pull_height: float
) -> FloatArray:
    """Tension of each fastener of a rigid base for a pull of one newton, (B, n) [-].

    The fasteners are like springs that only pull; the base presses on the deck at its `edges` only, so a low
    pull pries and the tensions together exceed the pull's normal part.

    Parameters
    ----------
    positions : (n, 2) [m] about the foot of the pull's line.
    edges : (q, 2) [m] where the base may press.
    directions : (B, 3) unit vectors of the pull [-].
    pull_height : height of the ring above the deck [m].

    Raises
    ------
    ValueError
        A direction that nothing balances: it points into the deck with nothing to hold it.
    """
    directions = np.atleast_2d(directions)
    lever = float(np.abs(edges).max())

    def vertical(points: FloatArray, sign: float) -> FloatArray:
        x, y = points.T / lever
        return sign * np.stack([np.ones(len(points)), y, -x])

    dx, dy, dz = directions.T
    external = np.stack([dz, -pull_height / lever * dy, pull_height / lever * dx], axis=1)
    n = len(positions)
    found = balance(vertical(positions, -1.0), vertical(edges, 1.0), external, np.ones(n), np.zeros(n), 1.0)
    if not found.held.all():
        raise ValueError("the fasteners cannot balance this pull; the base would turn about its own edge")
    return found.pulls
