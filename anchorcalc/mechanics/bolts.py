"""Bolts: areas, tension and shear together, nut through a plate, tightening. SI floats or arrays."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Numbers = NDArray[np.float64]


def tensile_stress_area_inch(D: ArrayLike, pitch: ArrayLike) -> Numbers:
    """Stress area of an inch thread [m²]: 0.7854 (D − 0.9743 p)²; D, pitch p = 1/n [m]. Source: ASME B1.1."""
    return np.asarray(0.7854 * np.square(np.asarray(D) - 0.9743 * np.asarray(pitch)))


def tensile_stress_area_metric(d: ArrayLike, P: ArrayLike) -> Numbers:
    """Stress area of a metric thread [m²]: 0.7854 (d − 0.9382 P)²; d, P [m]. Source: ISO 898-1 9.1.6.1."""
    return np.asarray(0.7854 * np.square(np.asarray(d) - 0.9382 * np.asarray(P)))


def root_area(D: ArrayLike, pitch: ArrayLike) -> Numbers:
    """Root area of a unified or metric thread [m²]: π/4 (D − 1.299038 p)²; D, pitch [m]. Source: ASME B1.1."""
    return np.asarray(np.pi / 4 * np.square(np.asarray(D) - 1.299038 * np.asarray(pitch)))


def tension_nominal_aisc(F_u: ArrayLike, A_b: ArrayLike) -> Numbers:
    """Nominal tension of a bolt [N]: 0.75 F_u A_b, on the body's area; F_u [Pa], A_b [m²]. AISC 360 J3.6."""
    return np.asarray(0.75 * np.asarray(F_u) * np.asarray(A_b))


def shear_nominal_aisc(F_u: ArrayLike, A_b: ArrayLike, *, threads_in_plane: bool) -> Numbers:
    """Nominal shear of a bolt, one plane [N]: 0.450 F_u A_b with threads in it, else 0.563 F_u A_b. AISC 360 J3.6."""
    return np.asarray((0.450 if threads_in_plane else 0.563) * np.asarray(F_u) * np.asarray(A_b))


def tension_shear_pull_aisc(
    F_nt: ArrayLike, F_nv: ArrayLike, A_b: ArrayLike, t_share: ArrayLike, v_share: ArrayLike, omega: float
) -> Numbers:
    """Greatest pull that tension t_share · F and shear v_share · F on one bolt allow [N].

    F'_nt = 1.3 F_nt − (Ω F_nt / F_nv) f_rv ≤ F_nt and f_rv ≤ F_nv / Ω, solved for F. F_nt, F_nv [Pa], A_b [m²],
    shares [-] ≥ 0; omega 1 gives the nominal level. Source: AISC 360 J3.7 (ASD).
    """
    F_nt, F_nv, A_b = (np.asarray(v, dtype=float) for v in (F_nt, F_nv, A_b))
    T, V = F_nt * A_b / omega, F_nv * A_b / omega
    with np.errstate(divide="ignore"):
        tension = T / np.asarray(t_share, dtype=float)
        shear = V / np.asarray(v_share, dtype=float)
        # F t ≤ 1.3 T − (T / V) F v
        both = 1.3 / (np.asarray(t_share) / T + np.asarray(v_share) / V)
    return np.asarray(np.minimum(np.minimum(tension, shear), both))


def nut_punching_ec3(d_m: ArrayLike, t: ArrayLike, f_u: ArrayLike, gamma: float) -> Numbers:
    """Nut or head through a plate [N]: 0.6 π d_m t f_u / γ; d_m, t [m], f_u [Pa]. EN 1993-1-8 table 3.4."""
    return np.asarray(0.6 * np.pi * np.asarray(d_m) * np.asarray(t) * np.asarray(f_u) / gamma)


def tightening_torque(K: ArrayLike, F: ArrayLike, d: ArrayLike) -> Numbers:
    """Torque [N·m] that gives tension F [N] in a thread of diameter d [m]: T = K F d, K the nut factor [-].

    Source: the short form in common use, as in Shigley's Mechanical Engineering Design ch. 8.
    """
    return np.asarray(np.asarray(K) * np.asarray(F) * np.asarray(d))
