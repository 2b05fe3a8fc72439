"""Steel under the deck: leg of an angle, wall of a tube, bars and members in bending."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from anchorcalc.mechanics.panels import support_reactions

FloatArray = NDArray[np.float64]

WIDEST_SEAT = 0.85
"""Largest width ratio β at which the wall of a tube folds; beyond it other modes govern (AISC 360 K)."""


def leg_bending_nominal(
    t: ArrayLike, m: ArrayLike, e: ArrayLike, f_y: ArrayLike, count: int = 1, row: float = 0.0
) -> FloatArray:
    """Pull of one bolt at which the leg of an angle or channel bends down as a cantilever [N].

    M_pl / m with M_pl = 0.25 l_eff t² f_y and l_eff = min(2 π m, 4 m + 1.25 e); of several bolts in a row no more
    than their part of the row's own min(2 π m + 2 row, 4 m + 1.25 e + row).

    Parameters
    ----------
    t : leg [m]
    m : bolt to the face of the other leg [m]
    e : bolt to the free edge of the leg [m]
    f_y : yield strength [Pa]
    count, row : bolts in the row, and from the first to the last of them [m]

    Source: EN 1993-1-8:2005 6.2.4 and table 6.4, one flange of a T-stub without prying: an angle also rolls
    about its heel, so a second hinge at the bolt cannot be counted on.
    """
    m, e = np.broadcast_arrays(np.asarray(m, dtype=float), np.asarray(e, dtype=float))
    e_by_m = np.divide(e, m, out=np.full(m.shape, np.inf), where=m > 0)
    row_by_m = np.divide(row, m, out=np.full(m.shape, np.inf if row > 0 else 0.0), where=m > 0)
    one = np.minimum(2 * np.pi, 4 + 1.25 * e_by_m)
    together = np.minimum(2 * np.pi + 2 * row_by_m, 4 + 1.25 * e_by_m + row_by_m)
    l_eff_by_m = np.minimum(one, together / count)
    return np.asarray(0.25 * l_eff_by_m * np.square(t) * np.asarray(f_y))


def tube_wall_yield_line(t: ArrayLike, f_y: ArrayLike, beta: ArrayLike, eta: ArrayLike) -> FloatArray:
    """Force square to one wall of a square or rectangular tube at which it folds [N].

    F_y t² [2 η / (1 − β) + 4 / √(1 − β)], β and η width and length of the seat over the width of the wall.
    A wider seat than β = 0.85 is counted as 0.85.

    Source: AISC 360 chapter K (plate connections, Q_f = 1); EN 1993-1-8:2005 table 7.11.
    """
    free = 1 - np.minimum(beta, WIDEST_SEAT)
    return np.asarray(np.asarray(f_y) * np.square(t) * (2 * np.asarray(eta) / free + 4 / np.sqrt(free)))


def washer_turns_inside_out(
    D: ArrayLike, d_nut: ArrayLike, d_hole: ArrayLike, D_outside: ArrayLike, t: ArrayLike, f_y: ArrayLike
) -> FloatArray:
    """Push of a nut that a washer passes on by a ring of diameter D before it turns to a cone for good [N].

    2 π m (D_outside − d_hole) / (D − d_nut), m = f_y t² / 4: its hoops yield over their whole width. No end at the nut.

    Parameters
    ----------
    D : ring by which it presses, from d_nut to D_outside [m]
    d_nut, d_hole : circle that the nut bears on, hole of the washer [m]
    D_outside, t, f_y : of the washer [m], [Pa]

    Source: limit analysis of a plate bent to a cone (Tresca), as in Save & Massonnet, Plastic Analysis of Plates.
    """
    arm = np.maximum(np.asarray(D, dtype=float) - np.asarray(d_nut), 0.0)
    hoops = np.pi / 2 * np.asarray(f_y) * np.square(t) * (np.asarray(D_outside) - np.asarray(d_hole))
    with np.errstate(divide="ignore"):
        return np.asarray(hoops / arm)


def through_bolt_bearing_nominal(d: ArrayLike, t_wall: ArrayLike, f_y: ArrayLike) -> FloatArray:
    """Sideways strength of one wall against a bolt that passes through the tube, 1.8 F_y d t [N].

    Source: AISC 360-16 eq. (J7-1) through K1; nominal, Ω = 2 by the caller.
    """
    return np.asarray(1.8 * np.asarray(f_y) * np.asarray(d) * np.asarray(t_wall))


def beam_stability_nds(f_b: float, E_min: float, l_u: float, b: float, d: float) -> float:
    """Share of its bending strength that a beam of wood is left with where it may turn over sideways, C_L [-].

    (1 + r) / 1.9 − √(((1 + r) / 1.9)² − r / 0.95), r = 1.20 E_min b² / (l_e d f_b).

    Parameters
    ----------
    f_b : bending strength without this [Pa]
    E_min : modulus for stability [Pa]
    l_u : between what holds its compressed edge [m]
    b, d : breadth and depth [m]; one no deeper than broad does not turn over

    Source: NDS 3.3.3, l_e of table 3.3.3: 1.63 l_u + 3 d, of short ones 2.06 l_u (evenly loaded single span).
    """
    if d <= b:
        return 1.0
    l_e = 2.06 * l_u if l_u < 7 * d else 1.63 * l_u + 3 * d
    r = 1.20 * E_min * b**2 / (l_e * d * f_b)
    half = (1 + r) / 1.9
    return float(half - np.sqrt(half**2 - r / 0.95))


def simple_beam_pull(
    S: ArrayLike, f_y: ArrayLike, L: float, load_positions: ArrayLike, shares: ArrayLike | None = None
) -> FloatArray:
    """Largest sum of point loads on a simply supported bar before it first yields [N].

    M_max = S f_y, with the greatest moment over all load points (between them it runs straight).

    Parameters
    ----------
    S : elastic modulus of the section [m³], any shape
    f_y : yield strength [Pa]
    L : span [m]
    load_positions : distances of the loads from one support [m], (k,), each within 0 … L
    shares : share of each in the sum [-], (k,); equal when not given

    Returns infinity where all loads stand over a support.
    """
    x = np.asarray(load_positions, dtype=float)
    if np.any((x < 0) | (x > L)):
        raise ValueError("a load stands beyond the supports")
    share = np.full(len(x), 1 / len(x)) if shares is None else np.asarray(shares, dtype=float)
    most = simple_beam_moment(L, [(each, at, 0.0) for each, at in zip(share, x, strict=True)])
    strength = np.asarray(np.asarray(S) * np.asarray(f_y))
    return np.asarray(strength / most if most > 0 else np.full(strength.shape, np.inf))


def simple_beam_moment(L: float, loads: Sequence[tuple[float, float, float]]) -> float:
    """Greatest moment in a beam on two supports under forces and couples, either way it bends [N·m].

    Parameters
    ----------
    L : span [m]
    loads : force [N], distance from the first support [m] and couple [N·m] of each, one that lifts the side towards
        the first support positive

    Between loads the moment runs straight, and steps by each couple. Source: statics.
    """
    P, x, C = np.array(loads, dtype=float).T
    bent = np.minimum.outer(x, x) * (L - np.maximum.outer(x, x)) / L @ P
    turned = [(x[:, None] / L - side(x[:, None], x)) @ C for side in (np.greater, np.greater_equal)]
    return float(max(np.abs(bent + each).max() for each in turned))


def continuous_beam_moment(supports: Sequence[float], loads: Sequence[tuple[float, float]]) -> float:
    """Greatest moment in a beam that runs on over all its supports, either way it bends [N·m].

    Parameters
    ----------
    supports : places, rising [m]
    loads : force [N] and place [m] of each, none beyond the supports

    Between forces the moment runs straight. Source: `panels.support_reactions` and statics.
    """
    s = np.asarray(supports, dtype=float)
    P, x = np.array(loads, dtype=float).T
    reactions = P @ np.array([support_reactions(s, each) for each in x])
    at = np.concatenate([s, x])[:, None]
    moments = np.maximum(at - s, 0.0) @ reactions - np.maximum(at - x, 0.0) @ P
    return float(np.abs(moments).max())


def flat_bar_modulus(width: ArrayLike, t: ArrayLike, d_hole: ArrayLike) -> FloatArray:
    """Elastic modulus of a flat bar laid flat, at a hole, (width − d) t² / 6 [m³]."""
    return np.asarray(np.maximum(np.asarray(width) - np.asarray(d_hole), 0.0) * np.square(t) / 6)


def holed_flange_aisc(F_y: float, F_u: float, width: ArrayLike, d_hole: ArrayLike) -> FloatArray:
    """What a hole in the face that is pulled leaves of a member's F_y S [-].

    F_u A_fn / (F_y A_fg) where F_u A_fn < Y_t F_y A_fg, Y_t 1, or 1.1 for F_y above 0.8 F_u; never above 1.
    width of the face, d_hole of the hole in it [m]. Source: AISC 360 F13.1.
    """
    net = F_u / F_y * np.maximum(1 - np.asarray(d_hole, dtype=float) / np.asarray(width), 0.0)
    Y_t = 1.0 if F_y <= 0.8 * F_u else 1.1
    return np.asarray(np.where(net < Y_t, np.minimum(net, 1.0), 1.0))


def splitting_ec5(b: ArrayLike, h_e: ArrayLike, h: ArrayLike) -> FloatArray:
    """Shear beside a connection at which softwood pulled across its grain splits, 5 % value [N].

    14 b √(h_e / (1 − h_e / h)) in N and mm; b breadth, h depth, h_e from the loaded edge to the farthest fastener [m].
    Nothing splits where they reach to the far edge. Source: EN 1995-1-1 eq. 8.4, w = 1.
    """
    b, h_e, h = (1000 * np.asarray(each, dtype=float) for each in (b, h_e, h))
    with np.errstate(divide="ignore"):
        return np.asarray(14 * b * np.sqrt(h_e / np.maximum(1 - h_e / h, 0.0)))


def fillet_weld_nominal(F_EXX: ArrayLike, a: ArrayLike, L: ArrayLike) -> FloatArray:
    """Nominal strength of a fillet weld, 0.6 F_EXX · 0.707 a · L [N].

    F_EXX electrode strength [Pa], a leg [m], L length of the weld [m]. Any direction of the load; the increase for
    loads across the weld is left out. Source: AISC 360 J2.4, table J2.5; over Ω = 2.0 for allowable.
    """
    return np.asarray(0.6 * np.asarray(F_EXX) * 0.707 * np.asarray(a) * np.asarray(L))


def weld_line_modulus(L: ArrayLike, d: ArrayLike) -> FloatArray:
    """Section modulus of a weld as a line, against bending of the piece that it holds by its end [m²].

    ℓ² / 3 + (L / 2 − ℓ) d, ℓ = min(L / 2, d): upright on both sides about the middle of the depth d, what is left of
    its length L along top and bottom; once round a box of breadth b that is the book's b d + d² / 3.

    Source: Blodgett, Design of Welded Structures, section 7.4, table 5 (from memory); statics.
    """
    half = np.asarray(L, dtype=float) / 2
    upright = np.minimum(half, d)
    return np.asarray(upright**2 / 3 + (half - upright) * np.asarray(d))


def weld_box_modulus(L: ArrayLike, b: ArrayLike, d: ArrayLike) -> FloatArray:
    """Section modulus of a weld as a line on the sides b of a box first, against tipping along its sides d [m²].

    ℓ d + m³ / (3 d), ℓ = min(L / 2, b), m = L / 2 − ℓ: two lines across the way it tips, what is left of the length L
    along it about the middle of d; two lines alone are the book's b d, once round the book's b d + d² / 3.

    Source: Blodgett, Design of Welded Structures, section 7.4, table 5 (from memory); statics.
    """
    half, deep = np.asarray(L, dtype=float) / 2, np.asarray(d, dtype=float)
    across = np.minimum(half, b)
    return np.asarray(across * deep + (half - across) ** 3 / (3 * deep))
