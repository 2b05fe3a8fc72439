"""One-sided equilibrium of a rigid body: straps and bolts only pull, wheels and edges only push.

Serves the load on its straps and the base of an anchor on its fasteners. The body is statically
indeterminate, so stiffness decides: of all sets of pulls that balance a case, the elastic one has the
least complementary energy,

    minimise  Σ (T_i − T0_i)² / (2 k_i)   subject to   A_T T + A_c c + w = 0,   0 ≤ T, c ≤ u

with T the pulls, T0 those at rest, k the stiffnesses, c the contact generators (no energy), w the outside
wrench and u what some of them can bear at the most, infinite for the others (least work: Timoshenko & Goodier,
Theory of Elasticity). T is unique, c need not be.

Many cases are solved at once: a predictor-corrector interior point (Mehrotra, SIAM J. Optim. 2 (1992) 575)
finds which straps and contacts act, an exact solve with those acting then meets balance and compatibility to
rounding. What that does not settle goes to non-negative least squares (Lawson & Hanson, Solving Least Squares
Problems, ch. 23). Nothing is taken on trust: a case is held only if its pulls meet the optimality conditions,
and every other case is not held, mostly because a motion λ was found that no strap and no contact resists
while the case does work on it (Farkas). A compromise is never returned.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

# Every figure below is relative: to the case's size for forces, to the stretch under it for slacks.
_BALANCED = 1e-10  # largest unbalanced component a held case may keep
_COMPATIBLE = 1e-11  # deepest negative slack: how far an idle strap may be stretched, an open contact pressed
_ROUNDING = 1e-12  # how far a pull may turn out negative, or balance be missed in solving
_ENDLESS = 1e3  # a case that needs more than this in all is not held: no geometry is known that well
_DEPENDENT = 1e-10  # singular value below which the arrangement has no hold on a motion at all
_CROWDED = 1e-9  # share of the room rows could span below which they are looked at for dependence
_NEAR = 1e-7  # mean product of a pull and its slack that is near enough for the exact solve
_STALLED = 1e-14  # the same product, or one over λ, where going on brings nothing but rounding
_NOTHING = 1e-9  # what can bear no more than this is not there
_BOUNDLESS = 50.0  # a bound this many times the case's size is counted as that much: none is asked for more
_AT_ONCE = 1000  # cases solved together, so that they stay in the processor's cache
_MOST_STEPS = 40
_SOFTENED = 1e-8  # lent to contacts in a step, so that none drowns the rest in rounding
_MOST_ROUNDS = 6
_FIRMNESS = 1e-2  # softness lent to contacts in the exact solve; its effect is iterated away
_WEIGHTS = (1e3, 1e5)  # least and greatest weight of balance against energy in least squares; iterated away
_STRAINED = 1e-7  # as _COMPATIBLE, for least squares, whose weights cost digits


class Balance(Struct, frozen=True):
    """Pulls and contacts of B cases."""

    pulls: FloatArray  # (B, n) [N]; zero where not held
    contacts: FloatArray  # (B, q) [N]; zero where not held
    held: BoolArray  # (B,)
    residual: FloatArray  # (B,) [-] largest component these leave unbalanced, over the case's size


class _Program(Struct, frozen=True):
    """Minimise x'Hx/2 + g'x with A x = b, x ≥ 0 for each of B cases; H is the diagonal `energy`."""

    A: FloatArray  # (B, m, N), rows independent or zero
    b: FloatArray  # (B, m)
    energy: FloatArray  # (B, N)
    g: FloatArray  # (B, N)

    def rows(self, which: BoolArray | NDArray[np.intp] | slice) -> _Program:
        return _Program(self.A[which], self.b[which], self.energy[which], self.g[which])

    def missing(self, x: FloatArray) -> FloatArray:
        """What is missing to balance, b − A x, (B, m)."""
        return _missing(self.A, self.b, x)

    def strain(self, lam: FloatArray) -> FloatArray:
        """What the motion λ does to each strap and contact, A'λ, (B, N)."""
        return (lam[:, None, :] @ self.A)[:, 0]

    def slack(self, x: FloatArray, lam: FloatArray) -> FloatArray:
        """Gradient of the Lagrangian, (B, N): zero where x acts, not negative where it is idle."""
        return self.energy * x + self.g - self.strain(lam)


class _Point(Struct, frozen=True):
    """Where the interior point stands: pulls and contacts x, their slacks s, the body's motion λ."""

    x: FloatArray  # (B, N)
    s: FloatArray  # (B, N)
    lam: FloatArray  # (B, m)

    def rows(self, which: BoolArray | NDArray[np.intp]) -> _Point:
        return _Point(self.x[which], self.s[which], self.lam[which])

    def put(self, where: NDArray[np.intp], other: _Point) -> None:
        self.x[where], self.s[where], self.lam[where] = other.x, other.s, other.lam


def balance(
    pull_wrenches: FloatArray,
    contact_wrenches: FloatArray,
    external: FloatArray,
    stiffness: FloatArray,
    at_rest: FloatArray,
    lever: float,
    most: FloatArray | None = None,
) -> Balance:
    """Balance B cases with n pulls and q contact generators.

    Parameters
    ----------
    pull_wrenches : (m, n) or (B, m, n), m 3 or 6: what one newton of each pull does to the body [-, m].
    contact_wrenches : (m, q) or (B, m, q) likewise for the contact generators; q may be 0.
    external : (m,) or (B, m) outside wrench [N, N·m].
    stiffness, at_rest : (n,) or (B, n) [N/m], [N]. Only the ratios of the stiffnesses matter.
    lever : length that makes moments comparable with forces [m]; only rows 4 to 6 are moments. The size of a
        case is its largest force, moment over the lever or pull at rest.
    most : (n + q,) or (B, n + q) what pulls and contacts can bear [N]; infinite, or None, where nothing bounds them.

    Raises
    ------
    ValueError
        Shapes that do not fit, or numbers that are not finite or not positive where they must be.
    """
    external = np.atleast_2d(np.asarray(external, dtype=float))
    cases, m = external.shape
    pulling, pushing = _per_case(pull_wrenches, (cases, m)), _per_case(contact_wrenches, (cases, m))
    n = pulling.shape[2]
    stiffness = np.broadcast_to(np.asarray(stiffness, dtype=float), (cases, n))
    at_rest = np.broadcast_to(np.asarray(at_rest, dtype=float), (cases, n))
    columns = np.concatenate([pulling, pushing], axis=2)
    _check(columns, external, stiffness, at_rest, lever)

    row_scale = np.where(np.arange(m) < 3, 1.0, 1.0 / lever)
    target = -external * row_scale
    size = np.maximum(np.abs(target).max(axis=1), at_rest.max(axis=1, initial=0.0))
    size = np.where(size > 0, size, 1.0)[:, None]
    softness = stiffness.mean(axis=1, keepdims=True) / stiffness if n else stiffness
    energy, g = np.zeros((2, *columns[:, 0].shape))
    energy[:, :n], g[:, :n] = softness, -softness * at_rest / size
    A, b = columns * row_scale[:, None], target / size
    whole, bound = _Program(A, b, energy, g), np.asarray(np.inf if most is None else most, dtype=float) / size
    if most is not None:
        whole = _bounded(whole, np.broadcast_to(bound, energy.shape))
    parts = [slice(start, start + _AT_ONCE) for start in range(0, cases, _AT_ONCE)]
    found = [_least_energy(whole.rows(part)) for part in parts]
    x, proven = (np.concatenate(each) for each in zip(*found, strict=True))
    x = np.minimum(x[:, : A.shape[2]], bound)
    held = proven & (_largest(_missing(A, b, x)) <= _BALANCED) & (x.sum(axis=1) <= _ENDLESS)
    x = np.where(held[:, None] & (x > _COMPATIBLE), x, 0.0)  # what is just slack comes out as dust
    return Balance(x[:, :n] * size, x[:, n:] * size, held, _largest(_missing(A, b, x)))


def _per_case(wrenches: FloatArray, shape: tuple[int, int]) -> FloatArray:
    wrenches = np.asarray(wrenches, dtype=float)
    fits = wrenches.ndim in (2, 3) and wrenches.shape[-2] == shape[1]
    if not fits or (wrenches.ndim == 3 and wrenches.shape[0] not in (1, shape[0])):
        raise ValueError(f"wrenches {wrenches.shape} do not fit {shape[0]} cases of {shape[1]} equations")
    return np.broadcast_to(wrenches, (*shape, wrenches.shape[-1]))


def _check(A: FloatArray, external: FloatArray, stiffness: FloatArray, at_rest: FloatArray, lever: float) -> None:
    if external.shape[1] not in (3, 6) or 0 in A.shape:
        raise ValueError(f"a case with pulls or contacts and three or six equations is needed, not {A.shape}")
    if not all(np.isfinite(part).all() for part in (A, external, stiffness, at_rest, lever)):
        raise ValueError("wrenches, stiffness, pulls at rest and lever must be finite")
    if (stiffness <= 0).any() or (at_rest < 0).any() or lever <= 0:
        raise ValueError("stiffness and lever must be positive, pulls at rest not negative")


def _missing(A: FloatArray, b: FloatArray, x: FloatArray) -> FloatArray:
    return np.asarray(b - (A @ x[..., None])[..., 0])


def _largest(values: FloatArray) -> FloatArray:
    return np.asarray(np.abs(values).max(axis=1))


def _bounded(program: _Program, most: FloatArray) -> _Program:
    """The same with x ≤ `most` (B, N) where that is finite: what is left of each bound is an unknown beside x.

    What can bear nothing in a case is no column there.
    """
    if np.isnan(most).any() or (most < 0).any():
        raise ValueError("what pulls and contacts can bear must not be negative")
    which = np.flatnonzero(np.isfinite(most).any(axis=0))
    idle = most <= _NOTHING
    cases, m, n = program.A.shape
    A = np.zeros((cases, m + len(which), n + len(which)))
    A[:, :m, :n] = np.where(idle[:, None], 0.0, program.A)
    A[:, m + np.arange(len(which)), which] = 1.0
    A[:, m + np.arange(len(which)), n + np.arange(len(which))] = 1.0
    left = np.where(idle, 1.0, np.minimum(most, _BOUNDLESS))[:, which]
    energy, g = (np.pad(each, ((0, 0), (0, len(which)))) for each in (program.energy, program.g))
    g[:, :n] = np.where(idle, 0.0, program.g)
    return _Program(A, np.concatenate([program.b, left], axis=1), energy, g)


def _least_energy(whole: _Program) -> tuple[FloatArray, BoolArray]:
    """Minimise x'Hx/2 + g'x with A x = b, x ≥ 0 for each case: x (B, N), and whether it is proven (B,)."""
    A, b, beyond = _independent(whole.A, whole.b)
    whole = _Program(A, b, whole.energy, whole.g)
    x, proven = np.zeros_like(whole.g), np.zeros(len(b), dtype=bool)
    todo = np.flatnonzero(beyond <= _BALANCED)  # the others ask for a force no strap and no contact can give
    point, lost = _interior_point(whole.rows(todo))
    todo, point = todo[~lost], point.rows(~lost)
    x[todo], proven[todo] = _exact(whole.rows(todo), point)
    for case in todo[~proven[todo]]:
        one = whole.rows(np.array([case]))
        found = _by_least_squares(one)
        if found is not None:
            x[case], proven[case] = found, True
    return x, proven


def _independent(A: FloatArray, b: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """The same equations with dependent ones turned to zero, and how far b lies beyond all columns (B,).

    Where the equations may be dependent, they are replaced by orthonormal ones.
    """
    beyond = np.zeros(len(b))
    gram = A @ A.transpose(0, 2, 1)
    room = np.linalg.det(gram) / np.maximum(np.einsum("bii->bi", gram).prod(axis=1), 1e-300)
    weak = np.flatnonzero(room < _CROWDED)
    if not len(weak):
        return A, b, beyond
    A, b = A.copy(), b.copy()
    U, sigma, rows = np.linalg.svd(A[weak], full_matrices=False)
    reached = sigma > _DEPENDENT * sigma[:, :1]
    along = np.where(reached, (b[weak, None, :] @ U)[:, 0], 0.0)
    beyond[weak] = _largest(_missing(U, b[weak], along))
    k = sigma.shape[1]
    A[weak], b[weak] = 0.0, 0.0
    A[weak, :k], b[weak, :k] = rows * reached[..., None], along / np.where(reached, sigma, 1.0)
    return A, b, beyond


def _interior_point(program: _Program) -> tuple[_Point, BoolArray]:
    """Come near the least-energy point of each case; True where the case is proven to have none."""
    cases, m, n = program.A.shape
    end = _Point(np.ones((cases, n)), np.ones((cases, n)), np.zeros((cases, m)))
    lost = np.zeros(cases, dtype=bool)
    todo, point = np.arange(cases), end.rows(np.arange(cases))
    for _ in range(_MOST_STEPS):
        strain = program.strain(point.lam)
        rd = program.energy * point.x + program.g - strain - point.s
        rp = program.missing(point.x)
        gap = (point.x * point.s).mean(axis=1)
        runs_away = _runs_away(program.b, point.lam, strain)
        near = np.maximum(np.maximum(_largest(rp), _largest(rd)), gap) <= _NEAR
        over = runs_away | near | (gap <= _STALLED) | (_largest(point.lam) >= 1 / _STALLED)
        if over.any():
            lost[todo[runs_away]] = True
            end.put(todo[over], point.rows(over))
            go_on = ~over
            todo, point, program = todo[go_on], point.rows(go_on), program.rows(go_on)
            rd, rp, gap = rd[go_on], rp[go_on], gap[go_on]
        if not len(todo):
            break
        point = _step(program, point, rd, rp, gap)
    end.put(todo, point)
    return end, lost


def _runs_away(b: FloatArray, lam: FloatArray, strain: FloatArray) -> BoolArray:
    """Whether λ proves that x must exceed `_ENDLESS` in all: for A x = b, b·λ = x·A'λ ≤ Σx · max(A'λ)."""
    work = (b * lam).sum(axis=1)
    return np.asarray(work > _ENDLESS * np.maximum(strain.max(axis=1), 1e-13 * _largest(lam)))


def _step(program: _Program, point: _Point, rd: FloatArray, rp: FloatArray, gap: FloatArray) -> _Point:
    """One predictor-corrector step."""
    x, s, lam = point.x, point.s, point.lam
    ratio = s / x
    D = 1.0 / (program.energy + ratio + _SOFTENED)
    AD = program.A * D[:, None, :]
    M = _definite(AD @ program.A.transpose(0, 2, 1))
    inverse = np.linalg.inv(M)

    def direction(rc_over_x: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
        push = rc_over_x - rd
        right = rp[..., None] - AD @ push[..., None]
        d_lam = inverse @ right
        d_lam += inverse @ (right - M @ d_lam)  # one refinement: M is badly scaled near the end
        dx = D * (program.strain(d_lam[..., 0]) + push)
        return dx, rc_over_x - ratio * dx, d_lam[..., 0]

    dx, ds, _ = direction(-s)
    gap_ahead = ((x + _reach(x, dx) * dx) * (s + _reach(s, ds) * ds)).mean(axis=1)
    centring = (gap_ahead / gap) ** 3
    dx, ds, d_lam = direction(-s + ((centring * gap)[:, None] - dx * ds) / x)
    step = np.minimum(1.0, 0.995 * np.minimum(_reach(x, dx, 2.0), _reach(s, ds, 2.0)))
    return _Point(x + step * dx, s + step * ds, lam + step * d_lam)


def _definite(M: FloatArray) -> FloatArray:
    """M, changed in place so that rows without hold stay out of the way, (B, m, m)."""
    diagonal = np.einsum("bii->bi", M)
    diagonal += np.where(diagonal > 0, 1e-13 * diagonal, 1.0)
    return M


def _reach(value: FloatArray, change: FloatArray, most: float = 1.0) -> FloatArray:
    """Greatest step, up to `most`, that keeps value + step · change from turning negative, (B, 1)."""
    return np.asarray(most / np.maximum(-most * change / value, 1.0).max(axis=1, keepdims=True))


def _exact(program: _Program, point: _Point) -> tuple[FloatArray, BoolArray]:
    """Least-energy point from a guess of what acts: x (B, N), and whether it is proven (B,).

    What acts is corrected to meet balance and compatibility; what turns negative stops acting, what would be
    strained begins to. A few rounds of this settle nearly every case.
    """
    x, proven = np.zeros_like(point.x), np.zeros(len(point.x), dtype=bool)
    todo, acting = np.arange(len(x)), point.x > point.s
    for _ in range(_MOST_ROUNDS):
        if not len(todo):
            break
        trial, slack, lam = _with_acting(program, acting, point)
        unbalanced = _largest(program.missing(trial)) > _ROUNDING * (1 + trial.max(axis=1))
        near_zero = _COMPATIBLE * (1 + _largest(lam))[:, None]
        negative = trial < -_ROUNDING
        strained = ~acting & (slack < -near_zero)
        unmet = acting & (np.abs(slack) > near_zero)
        good = ~(unbalanced | (negative | strained | unmet).any(axis=1))
        x[todo[good]], proven[todo[good]] = np.maximum(trial[good], 0.0), True
        acting = (acting & ~negative) | strained
        go_on, point = ~good, _Point(trial, slack, lam)
        todo, acting, point, program = todo[go_on], acting[go_on], point.rows(go_on), program.rows(go_on)
    return x, proven


def _with_acting(program: _Program, acting: BoolArray, point: _Point) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Solve with A x = b and zero slack for what acts: x and all slacks (B, N), the motion λ (B, m).

    Method of multipliers: contacts, which have no energy, are lent a softness about the last point, so that
    the answer nearest to it is found where contacts are redundant.
    """
    D = np.where(acting, 1.0 / np.where(program.energy > 0, program.energy, _FIRMNESS), 0.0)
    AD = program.A * D[:, None, :]
    inverse = np.linalg.inv(_definite(AD @ program.A.transpose(0, 2, 1)))
    x, lam = np.where(acting, point.x, 0.0), point.lam
    slack = program.slack(x, lam)
    for _ in range(4):
        right = program.missing(x) + (AD @ slack[..., None])[..., 0]
        d_lam = (inverse @ right[..., None])[..., 0]
        x, lam = x + D * (program.strain(d_lam) - slack), lam + d_lam
        slack = program.slack(x, lam)
    return x, slack, lam


def _by_least_squares(program: _Program) -> FloatArray | None:
    """Least-energy point of one case, (N,); None when nothing balances it or none is proven.

    Balance enters with a weight, and what is still missing is added to the target each time (method of
    multipliers), so that the weight does not matter in the end; it grows where that is slow.
    """
    A, b, energy, g = program.A[0], program.b[0], program.energy[0], program.g[0]
    if np.abs(b - A @ nnls(A, b)).max() > _BALANCED:
        return None
    springy = energy > 0
    root = np.sqrt(energy[springy])
    lam, weight, before = np.zeros_like(b), _WEIGHTS[0], np.inf
    for _ in range(_MOST_STEPS):
        rows = np.vstack([weight * A, np.diag(np.sqrt(energy))[springy]])
        target = np.concatenate([weight * b + lam / weight, -g[springy] / root])
        x = nnls(rows, target)
        lam = lam + weight**2 * (b - A @ x)
        missing = np.abs(b - A @ x).max()
        if missing <= _ROUNDING * (1 + x.max()):
            dust = 1e-14 * np.abs(rows).max() ** 2
            compatible = (rows.T @ (rows @ x - target)).min() >= -_STRAINED * (1 + np.abs(lam).max()) - dust
            return x if compatible else None
        weight = weight if missing < before / 10 else min(10 * weight, _WEIGHTS[1])
        before = missing
    return None


def nnls(A: FloatArray, b: FloatArray) -> FloatArray:
    """Least squares with non-negative unknowns: minimise |A x − b| over x ≥ 0.

    A (rows, N), b (rows,), returns (N,), all [-]. Active set of Lawson & Hanson, Solving Least Squares
    Problems, algorithm NNLS (23.10).
    """
    x, acting = np.zeros(A.shape[1]), np.zeros(A.shape[1], dtype=bool)
    tolerance = 2e-15 * np.abs(A).max() * (np.abs(b).max() + np.abs(A).max())
    for _ in range(5 * A.shape[1]):
        pull = np.where(acting, -np.inf, A.T @ (b - A @ x))
        if pull.max() <= tolerance:
            break
        acting[np.argmax(pull)] = True
        while True:
            trial = np.zeros_like(x)
            trial[acting] = np.linalg.lstsq(A[:, acting], b, rcond=None)[0]
            leaving = acting & (trial <= 0)
            if not leaving.any():
                break
            fall = x - trial
            reach = np.divide(x, fall, out=np.where(leaving, 0.0, np.inf), where=leaving & (fall > 0))
            x = x + reach.min() * (trial - x)
            acting &= (reach > reach.min()) & (x > 0)
            x[~acting] = 0.0
        x = trial
    return x
