"""Bolts and screws pushed sideways in wood, by what holds their ends: characteristic values. SI floats or arrays.

The bolt is a rigid-plastic beam on a plastic bed: the wood gives up to f_h d along it, the steel bends at M_y.
Its near end stands in the steel that pushes it (the base), its far end in the wood, in a washer or plate that
moves with it, or in steel that stays where it is (a leg, a wall, a bar). An end is held by the moment M_e that
the steel round it can take, from nothing (free) to M_y (held). The closed forms are those of Johansen's theory,
exact for any end moments; with the ends free or fully held they are EN 1995-1-1 eqs. 8.9 and 8.10.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

if TYPE_CHECKING:
    from collections.abc import Callable

Numbers = NDArray[np.float64]

_MM = 1e-3
_MPA = 1e6
_HINGED: Final = 1.15  # on modes with a hinge in the wood, EN 1995-1-1 eqs. 8.9 and 8.10
_HALVINGS: Final = 40  # of the range a push is looked for in
_ROPE: Final = 4  # a dowel held lengthways gives a quarter of that, EN 1995-1-1 8.2.2(2)


def embedment_strength_ec5(rho_k: ArrayLike, d: ArrayLike) -> Numbers:
    """Characteristic embedment strength of wood along the grain [Pa]: 0.082 (1 − 0.01 d) ρ_k in N/mm² and mm.

    rho_k characteristic density [kg/m³], d bolt [m]. Source: EN 1995-1-1 eq. 8.32 (plywood's own, eq. 8.36, is
    0.11 in place of 0.082).
    """
    return np.asarray(0.082 * (1 - 0.01 * np.asarray(d) / _MM) * np.asarray(rho_k) * _MPA)


def embedment_across_ec5(rho_k: ArrayLike, d: ArrayLike) -> Numbers:
    """Characteristic embedment strength of softwood across the grain [Pa]: the one along it over 1.35 + 0.015 d.

    rho_k [kg/m³], d bolt [m]. Source: EN 1995-1-1 eqs. 8.31 and 8.33, d in mm.
    """
    return np.asarray(embedment_strength_ec5(rho_k, d) / (1.35 + 0.015 * np.asarray(d) / _MM))


def embedment_wood_screw_ec5(rho_k: ArrayLike, d: ArrayLike) -> Numbers:
    """Characteristic embedment strength of softwood under a screw, any way of the grain [Pa].

    0.082 ρ_k d^−0.3 in N/mm² and mm up to 6 mm, as of a nail without a prebored hole; thicker ones as a bolt pushed
    across the grain. rho_k [kg/m³], d effective diameter [m]. Source: EN 1995-1-1 eq. 8.15, by 8.7.1.
    """
    mm = np.asarray(d, dtype=float) / _MM
    thin = 0.082 * np.asarray(rho_k) * np.power(mm, -0.3) * _MPA
    return np.asarray(np.where(mm <= 6, thin, embedment_across_ec5(rho_k, d)))


def embedment_plywood_bolt_ec5(rho_k: ArrayLike, d: ArrayLike) -> Numbers:
    """Characteristic embedment strength of plywood under a bolt, any way of the grain [Pa].

    0.11 (1 − 0.01 d) ρ_k in N/mm² and mm; rho_k [kg/m³], d bolt [m]. Source: EN 1995-1-1 eq. 8.36.
    """
    return np.asarray(0.11 * (1 - 0.01 * np.asarray(d) / _MM) * np.asarray(rho_k) * _MPA)


def embedment_plywood_screw_ec5(rho_k: ArrayLike, d: ArrayLike) -> Numbers:
    """Characteristic embedment strength of plywood under a screw, any way of the grain [Pa].

    0.11 ρ_k d^−0.3 in N/mm² and mm up to 6 mm, as of a nail; thicker ones as a bolt. rho_k [kg/m³], d effective
    diameter [m]. Source: EN 1995-1-1 eqs. 8.20 and 8.36, by 8.7.1.
    """
    mm = np.asarray(d, dtype=float) / _MM
    thin = 0.11 * np.asarray(rho_k) * np.power(mm, -0.3) * _MPA
    return np.asarray(np.where(mm <= 6, thin, embedment_plywood_bolt_ec5(rho_k, d)))


def embedment_strands_bolt_ec5(t: ArrayLike, d: ArrayLike) -> Numbers:
    """Characteristic embedment strength of oriented strand board under a bolt [Pa]: 50 d^−0.6 t^0.2 in N/mm² and mm.

    t board [m], d bolt [m]. Source: EN 1995-1-1 eq. 8.37.
    """
    t, d = (np.asarray(each, dtype=float) / _MM for each in (t, d))
    return np.asarray(50 * np.power(d, -0.6) * np.power(t, 0.2) * _MPA)


def embedment_strands_screw_ec5(t: ArrayLike, d: ArrayLike) -> Numbers:
    """Characteristic embedment strength of oriented strand board under a screw [Pa].

    65 d^−0.7 t^0.1 in N/mm² and mm up to 6 mm, as of a nail; thicker ones as a bolt. t board [m], d effective
    diameter [m]. Source: EN 1995-1-1 eqs. 8.22 and 8.37, by 8.7.1.
    """
    t_mm, d_mm = (np.asarray(each, dtype=float) / _MM for each in (t, d))
    thin = 65 * np.power(d_mm, -0.7) * np.power(t_mm, 0.1) * _MPA
    return np.asarray(np.where(d_mm <= 6, thin, embedment_strands_bolt_ec5(t, d)))


def row_share_ec5(n: int, a_1: float, d: float) -> float:
    """What is left of each of n dowels that stand in a row along the grain and are pushed along it: n_ef / n [-].

    Up to 6 mm as of nails n^k / n, k 0.5 at 4 d apart, 0.7 at 7 d, 0.85 at 10 d, 1 from 14 d on; thicker ones
    n^0.9 (a_1 / 13 d)^0.25 / n. a_1 least distance in the row, d dowel [m].
    Source: EN 1995-1-1 eqs. 8.17 and 8.34, table 8.1 (4 d: prebored holes); 8.7.1 for screws [from memory].
    """
    if n < 2:
        return 1.0
    if d <= 6 * _MM:
        return float(n ** (np.interp(a_1 / d, (4, 7, 10, 14), (0.5, 0.7, 0.85, 1.0)) - 1))
    return float(min(1.0, n**-0.1 * (a_1 / (13 * d)) ** 0.25))


def screw_effective_diameter_ec5(D_root: ArrayLike) -> Numbers:
    """Diameter by which the thread of a screw counts sideways, 1.1 times its root [m]. Source: EN 1995-1-1 8.7.1(3)."""
    return np.asarray(1.1 * np.asarray(D_root))


def yield_moment_ec5(f_u: ArrayLike, d: ArrayLike) -> Numbers:
    """Characteristic yield moment of a bolt [N·m]: 0.3 f_u d^2.6 in N/mm² and mm; f_u [Pa], d [m].

    Source: EN 1995-1-1 eq. 8.30.
    """
    return np.asarray(0.3 * np.asarray(f_u) / _MPA * np.power(np.asarray(d) / _MM, 2.6) * _MM)


def steel_plate_lateral_ec5(
    f_h: ArrayLike, t: ArrayLike, d: ArrayLike, M_y: ArrayLike, t_s: ArrayLike, F_ax: ArrayLike, rope_most: float
) -> Numbers:
    """Characteristic sideways resistance of a dowel in wood under a steel plate of any thickness [N].

    Thin plate (t_s ≤ 0.5 d), eq. 8.9: min(0.4 f_h t d, 1.15 √(2 M_y f_h d) + rope). Thick plate (t_s ≥ d),
    eq. 8.10: min(f_h t d, f_h t d (√(2 + 4 M_y / f_h d t²) − 1) + rope, 2.3 √(M_y f_h d) + rope). Linear between.
    The rope effect is F_ax / 4, no more than `rope_most` of the mode it is added to. Nothing besides is taken off
    for a short penetration: t says it all.

    Parameters
    ----------
    f_h : embedment strength [Pa]
    t : wood round the dowel [m]
    d : its diameter, of a thread its effective one [m]
    M_y : its yield moment [N m]
    t_s : steel plate [m]
    F_ax : what holds it lengthways, head or thread, the lesser [N]
    rope_most : 1 for screws, 0.25 for bolts [-]

    Source: EN 1995-1-1 8.2.3(1), eqs. 8.9 and 8.10; 8.2.2(2).
    """
    f_h, t, d, M_y, t_s, F_ax = (np.asarray(v, dtype=float) for v in (f_h, t, d, M_y, t_s, F_ax))
    f = f_h * d

    def roped(mode: Numbers) -> Numbers:
        return mode + rope_effect(mode, F_ax, rope_most)

    thin = np.minimum(0.4 * f * t, roped(_HINGED * np.sqrt(2 * M_y * f)))
    turning = roped(_turning(f, t, M_y))
    thick = np.minimum(np.minimum(f * t, turning), roped(_HINGED * 2 * np.sqrt(M_y * f)))
    thickness = np.clip((t_s - 0.5 * d) / (0.5 * d), 0.0, 1.0)
    return np.asarray(thin + thickness * np.maximum(thick - thin, 0.0))


def wood_to_wood_ec5(
    f_1: ArrayLike, t_1: ArrayLike, f_2: ArrayLike, t_2: ArrayLike, d: ArrayLike, M_y: ArrayLike
) -> Numbers:
    """Characteristic sideways resistance of a dowel in single shear between two pieces of wood, no rope effect [N].

    f_1, f_2 embedment strengths [Pa], t_1, t_2 wood round the dowel [m], d [m], M_y [N m].
    Source: EN 1995-1-1 eq. 8.6 a to f.
    """
    f_1, t_1, f_2, t_2, d, M_y = (np.asarray(v, dtype=float) for v in (f_1, t_1, f_2, t_2, d, M_y))
    B, r, whole = f_2 / f_1, t_2 / t_1, f_1 * t_1 * d
    turning = np.sqrt(B + 2 * B**2 * (1 + r + r**2) + B**3 * r**2) - B * (1 + r)
    near = np.sqrt(2 * B * (1 + B) + 4 * B * (2 + B) * M_y / (whole * t_1)) - B
    far = np.sqrt(2 * B**2 * (1 + B) + 4 * B * (1 + 2 * B) * M_y / (f_1 * d * t_2**2)) - B
    modes = (
        whole,
        f_2 * t_2 * d,
        whole / (1 + B) * turning,
        1.05 * whole / (2 + B) * near,
        1.05 * f_1 * t_2 * d / (1 + 2 * B) * far,
        _HINGED * np.sqrt(2 * B / (1 + B)) * np.sqrt(2 * M_y * f_1 * d),
    )
    return np.asarray(np.minimum.reduce(np.broadcast_arrays(*modes)))


def washer_couple(p: ArrayLike, D: ArrayLike) -> Numbers:
    """Moment that a stiff washer holds the end of a bolt with, p D³ / 12 [N·m]: half of it presses, its nut pulls.

    p what the wood bears [Pa], D outside [m]. Source: statics, the lever of a half disc 2 D / (3 π).
    """
    return np.asarray(np.asarray(p) * np.power(D, 3) / 12)


def rope_effect(F: ArrayLike, F_ax: ArrayLike, most: float) -> Numbers:
    """What a dowel held lengthways adds sideways [N]: F_ax / 4, no more than `most` times F.

    F yield-limit part [N], F_ax resistance lengthways that no other pull uses up [N]; `most` 0.25 for bolts, 1 for
    screws [-]. Source: EN 1995-1-1 8.2.2(2).
    """
    return np.asarray(np.minimum(np.asarray(F_ax) / _ROPE, most * np.asarray(F)))


def end_moment(M_y: ArrayLike, f_b: ArrayLike, d: ArrayLike, t_s: ArrayLike, F: ArrayLike = 0.0) -> Numbers:
    """Moment that the steel round the end of a bolt holds it with, M_e [N·m].

    min(M_y, f_b d (t_s² − 2 t_s s − s²) / 4), s = F / (f_b d): the upper part of the plate presses one way,
    the lower the other. Without a push it is f_b d t_s² / 4. Where the same plate also passes on the push F, that
    much of it is taken, and the couple stands s / 2 off the face of the wood (statics; NDS mode II has the same).

    Parameters
    ----------
    M_y : yield moment of the bolt [N m]
    f_b : bearing strength of the steel [Pa]
    d : bolt [m]
    t_s : the plate, leg or wall it passes [m]
    F : push that this plate passes on to the bolt [N]; 0 at an end that moves along. Taken too high it is safe.
    """
    M_y, f_b, d, t_s, F = (np.asarray(v, dtype=float) for v in (M_y, f_b, d, t_s, F))
    s = F / (f_b * d)
    couple = f_b * d * np.maximum(t_s**2 - 2 * t_s * s - s**2, 0.0) / 4
    return np.asarray(np.minimum(M_y, couple))


def _turning(f: Numbers, t: Numbers, M: Numbers) -> Numbers:
    """Push at which a straight dowel turns in the wood, against end moments of M together [N]; f [N/m]."""
    return np.asarray(f * t * (np.sqrt(2 + 4 * M / (f * t**2)) - 1))


def moving_ends(
    f_h: ArrayLike, t: ArrayLike, d: ArrayLike, M_y: ArrayLike, M_near: ArrayLike, M_far: ArrayLike
) -> Numbers:
    """Sideways resistance of a bolt whose far end is free or in a plate that moves along [N].

    min(f_h t d, f_h t d (√(2 + 4 (M_near + M_far) / f_h d t²) − 1), 1.15 √(2 (M_y + M_near) f_h d)). Both ends free:
    eq. 8.9, which rounds √2 − 1 to 0.4; near end held: eq. 8.10; both held:
    min(f_h t d, f_h t d (√(2 + 8 m) − 1), 2.3 √(M_y f_h d)), m = M_y / f_h d t². No rope effect.

    Parameters
    ----------
    f_h : embedment strength of the wood [Pa]
    t : wood round the bolt [m]
    d : bolt [m]
    M_y : its yield moment [N m]
    M_near : moment that holds the end that is pushed, 0 to M_y [N m], as of `end_moment`
    M_far : moment that holds the other end, 0 to M_y [N m]

    Source: Johansen's theory; EN 1995-1-1 eqs. 8.9 and 8.10.
    """
    f_h, t, d, M_y, M_near, M_far = (np.asarray(v, dtype=float) for v in (f_h, t, d, M_y, M_near, M_far))
    f = f_h * d
    hinged = _HINGED * np.sqrt(2 * (M_y + M_near) * f)
    return np.asarray(np.minimum(np.minimum(f * t, _turning(f, t, M_near + M_far)), hinged))


def staying_end(
    f_h: ArrayLike,
    t: ArrayLike,
    d: ArrayLike,
    M_y: ArrayLike,
    M_near: ArrayLike,
    M_far: ArrayLike,
    V_bolt: ArrayLike,
) -> Numbers:
    """Sideways resistance of a bolt through wood into steel that stays where it is [N].

    The wood between is filling. The bolt leans over between the base and a hinge at the depth x, or the far steel:
    F = f_h d x / 2 + (M_near + M_y) / x, x = √(2 (M_near + M_y) / f_h d) < t, or f_h d t / 2 + (M_near + M_far) / t.
    Never less than where nothing stays (`moving_ends`), never more than the bolt's own shear.

    Parameters
    ----------
    f_h, t, d, M_y, M_near, M_far : as in `moving_ends`
    V_bolt : shear resistance of the bolt [N]

    Source: limit analysis of a beam on a plastic bed; both ends held and x < t: 2 √(M_y f_h d), the hinge mode of
    EN 1995-1-1 eq. 8.13 without its 1.15.
    """
    f_h, t, d, M_y, M_near, M_far = (np.asarray(v, dtype=float) for v in (f_h, t, d, M_y, M_near, M_far))
    f = f_h * d
    deep = np.minimum(t, np.sqrt(2 * (M_near + M_y) / f))
    hinged = f * deep / 2 + (M_near + M_y) / deep
    leaning = f * t / 2 + (M_near + M_far) / t
    least = np.maximum(np.minimum(hinged, leaning), moving_ends(f_h, t, d, M_y, M_near, M_far))
    return np.asarray(np.minimum(least, np.asarray(V_bolt)))


def moving_ends_through_plate(
    f_h: ArrayLike,
    t: ArrayLike,
    d: ArrayLike,
    M_y: ArrayLike,
    M_far: ArrayLike,
    f_b: ArrayLike,
    t_s: ArrayLike,
) -> Numbers:
    """`moving_ends` of a bolt pushed by a plate that also holds its near end, M_near by `end_moment` [N].

    The plate cannot both push and hold with all of its strength: the push is that at which the two agree.

    Parameters
    ----------
    f_h, t, d, M_y, M_far : as in `moving_ends`
    f_b, t_s : as in `end_moment`, of the plate that pushes

    Source: as those; with M_y out of reach and the far end free it is NDS table 12.3.1A, mode II.
    """

    def push(M_near: Numbers) -> Numbers:
        return moving_ends(f_h, t, d, M_y, M_near, M_far)

    return _agreed(push, lambda F: end_moment(M_y, f_b, d, t_s, F))


def staying_end_through_plate(
    f_h: ArrayLike,
    t: ArrayLike,
    d: ArrayLike,
    M_y: ArrayLike,
    M_far: ArrayLike,
    V_bolt: ArrayLike,
    f_b: ArrayLike,
    t_s: ArrayLike,
) -> Numbers:
    """`staying_end` of a bolt pushed by a plate that also holds its near end, as `moving_ends_through_plate` [N].

    The steel at the far end passes on no more than the wood leaves to it; M_far is to be taken with F of
    `end_moment` as that at most.
    """

    def push(M_near: Numbers) -> Numbers:
        return staying_end(f_h, t, d, M_y, M_near, M_far, V_bolt)

    return _agreed(push, lambda F: end_moment(M_y, f_b, d, t_s, F))


def _agreed(push: Callable[[Numbers], Numbers], hold: Callable[[Numbers], Numbers]) -> Numbers:
    """Push F with F = push(hold(F)), from below [N]: more push leaves less hold, so there is one."""
    high = push(hold(np.asarray(0.0)))
    low = np.zeros_like(high)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        enough = push(hold(middle)) >= middle
        low, high = np.where(enough, middle, low), np.where(enough, high, middle)
    return np.asarray(low)
