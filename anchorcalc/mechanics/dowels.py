"""Bolts pushed sideways in wood under a steel base, characteristic values of EN 1995-1-1. SI floats or arrays."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Numbers = NDArray[np.float64]

_MM = 1e-3
_MPA = 1e6


def embedment_strength_ec5(rho_k: ArrayLike, d: ArrayLike) -> Numbers:
    """Characteristic embedment strength of wood along the grain [Pa]: 0.082 (1 − 0.01 d) ρ_k in N/mm² and mm.

    rho_k characteristic density [kg/m³], d bolt [m]. Source: EN 1995-1-1 eq. 8.32 (plywood's own, eq. 8.36, is
    0.11 in place of 0.082).
    """
    return np.asarray(0.082 * (1 - 0.01 * np.asarray(d) / _MM) * np.asarray(rho_k) * _MPA)


def yield_moment_ec5(f_u: ArrayLike, d: ArrayLike) -> Numbers:
    """Characteristic yield moment of a bolt [N·m]: 0.3 f_u d^2.6 in N/mm² and mm; f_u [Pa], d [m].

    Source: EN 1995-1-1 eq. 8.30.
    """
    return np.asarray(0.3 * np.asarray(f_u) / _MPA * np.power(np.asarray(d) / _MM, 2.6) * _MM)


def thin_plate_lateral_ec5(f_h: ArrayLike, t: ArrayLike, d: ArrayLike, M_y: ArrayLike) -> Numbers:
    """Characteristic sideways resistance of a bolt in wood under a thin steel plate, one shear plane [N].

    min(0.4 f_h t d, 1.15 √(2 M_y f_h d)), rope effect left out. f_h [Pa], t wood, d bolt [m], M_y [N·m].
    Source: EN 1995-1-1 eq. 8.9.
    """
    f_h, d = np.asarray(f_h, dtype=float), np.asarray(d, dtype=float)
    return np.asarray(np.minimum(0.4 * f_h * np.asarray(t) * d, 1.15 * np.sqrt(2 * np.asarray(M_y) * f_h * d)))
