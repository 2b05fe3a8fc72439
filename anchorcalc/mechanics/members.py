"""Steel under the deck: leg of an angle, wall of a tube, bars and members in bending. SI."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

Numbers = NDArray[np.float64]


def leg_bending_nominal(t: ArrayLike, m: ArrayLike, e: ArrayLike, f_y: ArrayLike) -> Numbers:
    """Pull of one bolt that bends the leg of an angle or channel [N]: M_pl / m.

    M_pl = 0.25 l_eff t² f_y with l_eff = min(2 π m, 4 m + 1.25 e). t leg, m from the bolt to the fillet, e from the
    bolt to the free edge [m], f_y [Pa]. One leg alone: a cantilever without prying.
    Source: EN 1993-1-8 6.2.4 and table 6.4.
    """
    m = np.asarray(m, dtype=float)
    l_eff = np.minimum(2 * np.pi * m, 4 * m + 1.25 * np.asarray(e))
    return 0.25 * l_eff * np.square(t) * np.asarray(f_y) / m


def tube_wall_yield_line(t: ArrayLike, f_y: ArrayLike, beta: ArrayLike, eta: ArrayLike) -> Numbers:
    """Pull on a tube's wall that folds it along yield lines [N]: f_y t² [2 η / (1 − β) + 4 / √(1 − β)].

    t wall [m], f_y [Pa], β and η width and length of the seat over the tube's width [-], β ≤ 0.85.
    Source: AISC 360 chapter K, yield line of the chord wall; EN 1993-1-8 table 7.11.
    """
    beta = np.asarray(beta, dtype=float)
    return np.asarray(f_y) * np.square(t) * (2 * np.asarray(eta) / (1 - beta) + 4 / np.sqrt(1 - beta))


def through_bolt_bearing_nominal(d: ArrayLike, t: ArrayLike, f_y: ArrayLike) -> Numbers:
    """Bearing of a bolt on one wall of a tube it goes through [N]: 1.8 f_y d t; d, t [m]. AISC 360 J7, K1."""
    return 1.8 * np.asarray(f_y) * np.asarray(d) * np.asarray(t)


def flat_bar_modulus(width: ArrayLike, t: ArrayLike, hole: ArrayLike) -> Numbers:
    """Elastic modulus of a flat bar with one hole, bent over its thickness [m³]: (width − hole) t² / 6; [m]."""
    return (np.asarray(width) - np.asarray(hole)) * np.square(t) / 6


def simple_beam_pull(S: ArrayLike, f_y: ArrayLike, L: float, at: Sequence[float]) -> Numbers:
    """Total of equal point loads on a simple beam at which it first yields [N].

    S [m³], f_y [Pa], L span [m], at places of the loads from one end [m]. Source: statics (AISC Manual table 3-23).
    """
    places = np.sort(np.asarray(at, dtype=float))
    share = 1.0 / len(places)
    end = share * (L - places).sum() / L
    moments = end * places - share * np.maximum(places[:, None] - places[None, :], 0.0).sum(axis=1)
    greatest = moments.max()
    if greatest <= 0:
        return np.full(np.shape(np.asarray(S)), np.inf)
    return np.asarray(S) * np.asarray(f_y) / greatest
