"""Bodies on things that hold one way only.

Each such thing is sampled at places where it answers a deflection w with the pressure
p(w) = clip(k w, least, most). The energy of body and samples together is convex and once smooth; its least
value is found by a semi-smooth Newton method with line search. Every result carries how many steps that
took, what force was left over and whether that counts as solved.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from anchorcalc.mechanics.hermite import FloatArray
from anchorcalc.mechanics.line_search import share_of_step
from anchorcalc.mechanics.plates import factorised

if TYPE_CHECKING:
    pass

_GOOD_RESIDUAL = 1e-9  # force left over, as a share of the load; finer is not sought
_MOST_RESIDUAL = 1e-6  # accepted where rounding of the plate's own forces allows no better
_MOST_STEPS = 60
_REST = 0.1  # of the slope along a step, where its search ends
_IDLE = 1e-6  # stiffness an idle sample keeps in the tangent, never in the balance of forces


@dataclass(frozen=True)
class OneSided:
    """Samples of what holds one way only.

    Parameters
    ----------
    rows : sparse matrix (samples, size) giving each sample's deflection [m]
    stiffness : (samples,) pressure per deflection [N/m³], force per metre [N/m²] or force [N/m]
    extent : (samples,) area [m²], length [m] or 1 that a sample stands for
    least, most : (samples,) limits of that pressure, least ≤ 0 ≤ most
    """

    rows: Any
    stiffness: FloatArray
    extent: FloatArray
    least: FloatArray
    most: FloatArray

    def pressure(self, w: FloatArray) -> FloatArray:
        """Pressure against the deflection at every sample."""
        return np.clip(self.stiffness * w, self.least, self.most)

    def tangent(self, w: FloatArray) -> FloatArray:
        """Stiffness of every sample as it stands [N/m]; idle ones keep a trace so that nothing floats."""
        elastic = self.stiffness * w
        working = (elastic >= self.least) & (elastic <= self.most)
        return self.stiffness * self.extent * np.where(working, 1.0, _IDLE)


@dataclass(frozen=True)
class Equilibrium:
    """Unknowns and pressures in balance with a load, and how well."""

    unknowns: FloatArray  # (size,)
    pressure: FloatArray  # (samples,)
    iterations: int
    residual: float  # force left over, as a share of the load [-]
    converged: bool


def find_equilibrium(
    stiffness: Any,
    samples: OneSided,
    load: FloatArray,
    free: NDArray[np.bool_] | None = None,
    start: FloatArray | None = None,
) -> Equilibrium:
    """Balance of an elastic body held one way at samples.

    Parameters
    ----------
    stiffness : sparse matrix (size, size) of the body alone
    samples : what holds it
    load : (size,)
    free : (size,) unknowns that rigid supports leave free; all when left out
    start : (size,) unknowns to start from; rest when left out

    Returns
    -------
    The balance; PlateError when the body floats even with every sample holding both ways.
    """
    from scipy import sparse

    kept = np.arange(load.size) if free is None else np.flatnonzero(free)
    K, B, F = sparse.csr_array(stiffness[kept][:, kept]), sparse.csr_array(samples.rows[:, kept]), load[kept]
    B_T, K_sizes = sparse.csr_array(B.T), abs(K)
    u = np.zeros(kept.size) if start is None else start[kept]
    all_working = samples.stiffness * samples.extent
    scale = 1 / np.sqrt(K.diagonal() + (B.multiply(B)).T @ all_working)
    size_of_load = float(np.linalg.norm(scale * F)) or 1.0  # no load: at rest at once
    least_stiffness = {} if start is None else {"least_stiffness": 0.0}
    rounding = 4 * np.finfo(np.float64).eps

    for iteration in range(_MOST_STEPS + 1):
        Ku, w = K @ u, B @ u
        left_over = Ku + B_T @ (samples.extent * samples.pressure(w)) - F
        residual = float(np.linalg.norm(scale * left_over)) / size_of_load
        floor = rounding * float(np.linalg.norm(scale * (K_sizes @ np.abs(u)))) / size_of_load
        converged = residual <= max(_GOOD_RESIDUAL, min(floor, _MOST_RESIDUAL))
        if converged or iteration == _MOST_STEPS:
            break
        tangent = K + B_T @ (sparse.diags_array(samples.tangent(w)) @ B)
        step = factorised(tangent, **least_stiffness)(-left_over)
        least_stiffness = {"least_stiffness": 0.0}
        slope = partial(_slope, samples, w, B @ step, float(step @ (Ku - F)), float(step @ (K @ step)))
        u = u + share_of_step(slope, _REST) * step

    unknowns = np.zeros(load.size)
    unknowns[kept] = u
    pressure = samples.pressure(samples.rows @ unknowns)
    return Equilibrium(unknowns, pressure, iteration, residual, converged)


def _slope(samples: OneSided, w: FloatArray, dw: FloatArray, constant: float, linear: float, s: float) -> float:
    """Slope of the energy along a step, `s` of it gone."""
    return constant + s * linear + float(dw @ (samples.extent * samples.pressure(w + s * dw)))
