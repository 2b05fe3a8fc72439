"""Loose layers that bend together, and what a lift leaves to the cross-members beside it."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]


def shared_resistance(resistances: ArrayLike, stiffnesses: ArrayLike) -> FloatArray:
    """Moment that loose or screwed layers hold together, or any other force shared by stiffness, (…).

    Layer i breaks at the bend R_i / k_i. What stands is the most over all those bends, κ Σ k_j of the layers
    not yet broken at κ: a bundle of brittle parts under growing load. So another layer, however weak, never
    takes strength away. Equals min R_i / share_i when the first break is the last.

    Parameters
    ----------
    resistances : of each layer alone [N·m/m], (…, n)
    stiffnesses : of each layer, any unit, (…, n)
    """
    R, k = np.broadcast_arrays(np.asarray(resistances, dtype=float), np.asarray(stiffnesses, dtype=float))
    bend = np.divide(R, k, out=np.zeros(R.shape), where=k > 0)
    unbroken = bend[..., None, :] >= bend[..., :, None]
    return np.asarray((bend * (unbroken * k[..., None, :]).sum(axis=-1)).max(axis=-1))


def gross_bending_resistance(MOR: ArrayLike, t: ArrayLike, S: ArrayLike, S_strong: ArrayLike) -> FloatArray:
    """Moment per width at which a panel breaks, from its modulus of rupture on the full section [N·m/m].

    MOR t² / 6 · S / S_strong. Plywood's published modulus of rupture (ASTM D3043, Wood Handbook ch. 12) is
    moment over the *full* thickness' t²/6, face grain along the span. It does not go with the tabulated S of
    the design specification, which counts the plies along the span only and belongs to allowable stresses;
    that S serves here for the ratio of the two directions (judgement). In thick panels that ratio is greater
    than √(I / I_strong), and the weak way would come out the stronger one; a caller who must rule that out
    takes the lesser of the two ratios.
    """
    return np.asarray(np.asarray(MOR) * np.square(t) / 6 * np.asarray(S) / np.asarray(S_strong))


def support_reactions(supports: ArrayLike, x: float) -> FloatArray:
    """Share of a pull at `x` that each support of a beam which is continuous over all of them holds, (n,) [-].

    Slopes at the supports from the stiffness of each span, 4 EI / L and 2 EI / L; below nil where the beam presses.

    Parameters
    ----------
    supports : places, rising, at least two, any spans [m]
    x : between the first and the last of them [m]

    Source: slope-deflection equations and fixed-end moments of a point load (Timoshenko & Young, Theory of Structures).
    """
    at = np.asarray(supports, dtype=float)
    L, n = np.diff(at), len(at)
    k = int(np.clip(np.searchsorted(at, x, side="right") - 1, 0, n - 2))
    a, b = x - at[k], at[k + 1] - x
    fixed = np.array([a * b**2, -(a**2) * b]) / L[k] ** 2  # on the beam's ends, turning its own way
    turning = np.array([[4.0, 2.0], [2.0, 4.0]])  # of a span's ends, in EI / L
    stiffness, unbalanced = np.zeros((n, n)), np.zeros(n)
    for span, length in enumerate(L):
        stiffness[span : span + 2, span : span + 2] += turning / length
    unbalanced[k : k + 2] = -fixed
    slopes = np.linalg.solve(stiffness, unbalanced)
    found = np.zeros(n)
    found[k] += b / L[k]
    found[k + 1] += a / L[k]
    for span, length in enumerate(L):
        ends = turning @ slopes[span : span + 2] / length
        ends = ends + fixed if span == k else ends
        found[span] += ends.sum() / length
        found[span + 1] -= ends.sum() / length
    return found
