"""Screws in wood and thin steel: withdrawal, sideways push, both at once, head pull-through, punching.

All numbers are SI [N, m, Pa]; functions take floats or arrays that broadcast. Constants are those of the
sources, whose inches and pounds are turned into SI here and nowhere else.
"""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from anchorcalc.mechanics import dowels

Numbers = NDArray[np.float64]

PSI: Final = 6894.757293168361  # Pa
INCH: Final = 0.0254  # m
THICK_DOWEL: Final = 0.25  # in: from here NDS counts the direction of the grain
THREAD_BEARING: Final = 2.7  # times F_u: bearing of thin steel on a screw, AISI S100 J4.3.1
K_THETA: Final = 1.25  # load across the grain, the least favourable direction (NDS table 12.3.1B)


def low_estimate(mean: ArrayLike, cov: ArrayLike) -> Numbers:
    """Value that 5 % of specimens fall below, from `mean` and coefficient of variation `cov` [-].

    Normal distribution, ASTM D2915: mean (1 − 1.645 COV).
    """
    return np.asarray(mean) * (1.0 - 1.645 * np.asarray(cov))


def wood_screw_withdrawal_mean(G: ArrayLike, D: ArrayLike, L: ArrayLike) -> Numbers:
    """Mean ultimate withdrawal of a wood screw [N]: p = 15 700 G² D L.

    G specific gravity [-], D shank diameter [m], L thread in the wood [m].
    Source: Wood Handbook (FPL-GTR-282) eq. 8-10.
    """
    return np.asarray(15_700 * PSI * np.square(G) * np.asarray(D) * np.asarray(L))


def lag_screw_withdrawal_mean(G: ArrayLike, D: ArrayLike, L: ArrayLike) -> Numbers:
    """Mean ultimate withdrawal of a lag screw from side grain [N]: p = 8 100 G^1.5 D^0.75 L.

    G [-], D [m], L thread in the wood [m]. Source: Wood Handbook ch. 8, lag screws (from memory: eq. 8-16).
    """
    return np.asarray(8_100 * PSI * np.power(G, 1.5) * np.power(np.asarray(D) / INCH, 0.75) * INCH * np.asarray(L))


def wood_screw_withdrawal_allowable(G: ArrayLike, D: ArrayLike, L: ArrayLike) -> Numbers:
    """Reference withdrawal value of a wood screw [N]: W = 2850 G² D L (NDS 12.2-2); G [-], D, L [m]."""
    return np.asarray(2850 * PSI * np.square(G) * np.asarray(D) * np.asarray(L))


def lag_screw_withdrawal_allowable(G: ArrayLike, D: ArrayLike, L: ArrayLike) -> Numbers:
    """Reference withdrawal value of a lag screw [N]: W = 1800 G^1.5 D^0.75 L (NDS 12.2-1); G [-], D, L [m]."""
    return np.asarray(1800 * PSI * np.power(G, 1.5) * np.power(np.asarray(D) / INCH, 0.75) * INCH * np.asarray(L))


def withdrawal(kind: str, G: float, D: float, L: float) -> tuple[float, float]:
    """Mean ultimate withdrawal and reference value of a wood or lag screw [N]; G [-], D, L [m]."""
    if kind == "lag screw":
        return float(lag_screw_withdrawal_mean(G, D, L)), float(lag_screw_withdrawal_allowable(G, D, L))
    return float(wood_screw_withdrawal_mean(G, D, L)), float(wood_screw_withdrawal_allowable(G, D, L))


def dowel_bearing_strength(G: ArrayLike, D: ArrayLike) -> Numbers:
    """Dowel bearing strength of wood [Pa], in the less favourable grain direction.

    D < 1/4 in: F_e = 16 600 G^1.84; else the lower of 11 200 G along and 6 100 G^1.45 / √D across the grain.
    G [-], D diameter of the unthreaded shank [m], also where the thread bears. Source: NDS 12.3.3.
    """
    inches = np.asarray(D) / INCH
    thin = 16_600 * np.power(G, 1.84)
    thick = np.minimum(11_200 * np.asarray(G), 6_100 * np.power(G, 1.45) / np.sqrt(inches))
    return np.asarray(PSI * np.where(inches < THICK_DOWEL, thin, thick))


class LateralModes(NamedTuple):
    """Yield loads of a single-shear dowel by mode, before the reduction term [N]."""

    I_m: Numbers
    I_s: Numbers
    II: Numbers
    III_m: Numbers
    III_s: Numbers
    IV: Numbers


def lateral_modes(
    D: ArrayLike, F_yb: ArrayLike, F_em: ArrayLike, l_m: ArrayLike, F_es: ArrayLike, l_s: ArrayLike
) -> LateralModes:
    """Yield loads of a dowel in single shear, R_d = 1 [N].

    D bearing diameter [m], F_yb bending yield strength [Pa], F_em, F_es dowel bearing strength of main and side
    member [Pa], l_m, l_s bearing lengths [m]. Source: NDS table 12.3.1A.
    """
    D, F_yb, F_em, l_m, F_es, l_s = (np.asarray(v, dtype=float) for v in (D, F_yb, F_em, l_m, F_es, l_s))
    R_e, R_t = F_em / F_es, l_m / l_s
    k_1 = (np.sqrt(R_e + 2 * R_e**2 * (1 + R_t + R_t**2) + R_t**2 * R_e**3) - R_e * (1 + R_t)) / (1 + R_e)
    k_2 = -1 + np.sqrt(2 * (1 + R_e) + 2 * F_yb * (1 + 2 * R_e) * D**2 / (3 * F_em * l_m**2))
    k_3 = -1 + np.sqrt(2 * (1 + R_e) / R_e + 2 * F_yb * (2 + R_e) * D**2 / (3 * F_em * l_s**2))
    return LateralModes(
        I_m=D * l_m * F_em,
        I_s=D * l_s * F_es,
        II=k_1 * D * l_s * F_es,
        III_m=k_2 * D * l_m * F_em / (1 + 2 * R_e),
        III_s=k_3 * D * l_s * F_em / (2 + R_e),
        IV=D**2 * np.sqrt(2 * F_em * F_yb / (3 * (1 + R_e))),
    )


def lateral_reference(
    D: ArrayLike,
    F_yb: ArrayLike,
    F_em: ArrayLike,
    l_m: ArrayLike,
    F_es: ArrayLike,
    l_s: ArrayLike,
    D_nominal: ArrayLike,
) -> Numbers:
    """Reference lateral value of a dowel in single shear [N]: least yield load over its reduction term.

    D root diameter where the thread crosses the shear plane [m]; D_nominal diameter of the unthreaded shank [m];
    the rest as in `lateral_modes`. R_d is K_D for D < 1/4 in (2.2 up to 0.17 in, then 10 D + 0.5), times K_θ
    where only the root is that thin; else 4, 3.6 or 3.2 K_θ by mode. K_θ is 1.25, the least favourable grain
    direction. Source: NDS table 12.3.1B and its note 1.
    """
    return _least(_reduced_modes(D, F_yb, F_em, l_m, F_es, l_s, D_nominal, K_THETA))


def lateral_reference_held(
    D: ArrayLike,
    F_yb: ArrayLike,
    F_em: ArrayLike,
    l_m: ArrayLike,
    F_es: ArrayLike,
    l_s: ArrayLike,
    D_nominal: ArrayLike,
    near: ArrayLike,
    far: ArrayLike,
    K_theta: float = K_THETA,
) -> Numbers:
    """Reference lateral value of a dowel whose ends are held against turning, by more than the side plate [N].

    Yield modes that need the dowel to turn at a held end drop out: II and III_s turn it in the side member (the
    near end), II and III_m in the main member (the far end); crushing and the double hinge stay. In between the
    values are weighted by how far each end is held, as EN 1995-1-1 8.2.3(1) does between thin and thick plates.

    Parameters
    ----------
    near, far : how far the end in the side member and that beyond the main member are held, 0 to 1 [-]: the
        moment there over the dowel's own. What the side plate's thickness gives is in the modes already
    K_theta : 1.25 for wood loaded across its grain, 1 for panels whose plies cross [-]

    The rest as in `lateral_reference`. Source: NDS table 12.3.1A, 12.3.1B; that modes drop out is judgement.
    """
    reduced = _reduced_modes(D, F_yb, F_em, l_m, F_es, l_s, D_nominal, K_theta)
    near, far = np.asarray(near, dtype=float), np.asarray(far, dtype=float)
    inf = np.full_like(reduced.IV, np.inf)
    near_held = reduced._replace(II=inf, III_s=inf)
    far_held = reduced._replace(II=inf, III_m=inf)
    both_held = near_held._replace(III_m=inf)
    free_far = (1 - near) * _least(reduced) + near * _least(near_held)
    held_far = (1 - near) * _least(far_held) + near * _least(both_held)
    return np.asarray((1 - far) * free_far + far * held_far)


def _reduced_modes(
    D: ArrayLike,
    F_yb: ArrayLike,
    F_em: ArrayLike,
    l_m: ArrayLike,
    F_es: ArrayLike,
    l_s: ArrayLike,
    D_nominal: ArrayLike,
    K_theta: float,
) -> LateralModes:
    """Yield loads by mode over their reduction terms [N]; see `lateral_reference`."""
    root = np.asarray(D, dtype=float) / INCH
    nominal = np.asarray(D_nominal, dtype=float) / INCH
    K_D = np.where(root <= 0.17, 2.2, 10 * root + 0.5) * np.where(nominal < THICK_DOWEL, 1.0, K_theta)
    modes = np.broadcast_arrays(*lateral_modes(D, F_yb, F_em, l_m, F_es, l_s))
    thick = K_theta * np.array([4.0, 4.0, 3.6, 3.2, 3.2, 3.2])
    reduced = (mode / np.where(root < THICK_DOWEL, K_D, R_d) for mode, R_d in zip(modes, thick, strict=True))
    return LateralModes(*(np.asarray(mode) for mode in reduced))


def _least(modes: LateralModes) -> Numbers:
    return np.asarray(np.minimum.reduce(np.broadcast_arrays(*modes)))


def combined_slant(W: ArrayLike, Z: ArrayLike, alpha: ArrayLike) -> Numbers:
    """Value of a screw pulled at a slant [N]: Z_α = W Z / (W cos² α + Z sin² α), W / sin α, Z / cos α, the least.

    W straight out [N], Z sideways [N], both positive; alpha from the wood surface [rad], 0 to π/2. Where W and Z
    are very unlike, the formula alone lets the weak one carry more than it can: hence the two bounds, which are
    plain statics. Source: NDS 12.4.1.
    """
    out = np.sin(alpha) / np.asarray(W, dtype=float)
    side = np.cos(alpha) / np.asarray(Z, dtype=float)
    together = out * np.sin(alpha) + side * np.cos(alpha)
    return np.asarray(1 / np.maximum(together, np.maximum(out, side)))


def thin_steel_pull_out(t: ArrayLike, d: ArrayLike, F_u: ArrayLike) -> Numbers:
    """Nominal pull-out of a screw of diameter d from steel t thick [N]: 0.85 t d F_u (AISI S100 J4.4.1)."""
    return np.asarray(0.85 * np.asarray(t) * np.asarray(d) * np.asarray(F_u))


def thin_steel_pull_over(t: ArrayLike, d_w: ArrayLike, F_u: ArrayLike) -> Numbers:
    """Nominal pull-over of a washer d_w [m] through steel t thick [N]: 1.5 t d_w F_u (AISI S100 J4.4.2)."""
    return np.asarray(1.5 * np.asarray(t) * np.asarray(d_w) * np.asarray(F_u))


def thin_steel_shear(t: ArrayLike, d: ArrayLike, F_u: ArrayLike) -> Numbers:
    """Nominal sideways resistance of the steel a screw is driven into [N]: it tilts, or the steel tears at it.

    min(4.2 √(t³ d) F_u, 2.7 t d F_u); t steel [m], d screw [m], F_u of the steel [Pa]. Source: AISI S100 J4.3.1,
    t_2 / t_1 ≤ 1, for the sheet away from the head.
    """
    t, d, F_u = (np.asarray(v, dtype=float) for v in (t, d, F_u))
    return np.asarray(np.minimum(4.2 * np.sqrt(t**3 * d), THREAD_BEARING * t * d) * F_u)


def screw_shear(F_u: ArrayLike, D_root: ArrayLike) -> Numbers:
    """Shear of a screw at the root of its thread [N]: 0.6 F_u π D_root² / 4; F_u [Pa], D_root [m].

    Source: 0.6 F_u is the shear strength of steel in AISC 360 J4.2 and EN 1993-1-8 table 3.4.
    """
    return np.asarray(0.6 * np.asarray(F_u) * np.pi / 4 * np.square(D_root))


class DeckScrew(NamedTuple):
    """What holds a panel sideways on one of its screws into thin steel [N]."""

    wood: Numbers  # the screw turns or bends in the panel, with the rope effect
    steel: Numbers  # the screw tilts in the steel or tears it
    screw: Numbers  # the screw is sheared through
    least: Numbers


def deck_screw_sideways(
    f_h: ArrayLike,
    t: ArrayLike,
    D: ArrayLike,
    D_root: ArrayLike,
    F_u: ArrayLike,
    t_steel: ArrayLike,
    F_u_steel: ArrayLike,
    F_ax: ArrayLike,
) -> DeckScrew:
    """Characteristic sideways resistance of a screw through a panel into thin steel [N].

    In the panel: `dowels.moving_ends_through_plate`, the near end held by the thread's couple in the steel that
    pushes it, the head counted as free; plus the rope effect, no more than the yield-limit part.

    Parameters
    ----------
    f_h : embedment strength of the panel [Pa], as of `dowels.embedment_plywood_screw_ec5`
    t : panel [m]
    D, D_root : screw and the root of its thread [m]
    F_u : of the screw, at its root [Pa]
    t_steel, F_u_steel : the steel it is driven into [m], [Pa]
    F_ax : head through the panel or thread out of the steel, the lesser [N], where no lift uses it up

    Source: EN 1995-1-1 8.2 and 8.7.1; AISI S100 J4.3.1; the head as a free end is judgement, on the safe side.
    """
    d = dowels.screw_effective_diameter_ec5(D_root)
    M_y = dowels.yield_moment_ec5(F_u, d)
    f_b = THREAD_BEARING * np.asarray(F_u_steel)
    yielding = dowels.moving_ends_through_plate(f_h, t, d, M_y, 0.0, f_b, t_steel)
    wood = yielding + dowels.rope_effect(yielding, F_ax, 1.0)
    steel, screw = thin_steel_shear(t_steel, D, F_u_steel), screw_shear(F_u, D_root)
    return DeckScrew(wood, steel, screw, np.asarray(np.minimum(np.minimum(wood, steel), screw)))


def lift_and_sideways(T: ArrayLike, V: ArrayLike, t_share: ArrayLike, v_share: ArrayLike) -> Numbers:
    """Greatest pull under which a deck screw bears lift t_share · F and sideways force v_share · F at once [N].

    T of the lift and V of the sideways force alone [N], nothing where the screw holds none; shares [-] ≥ 0.
    F t / T + F v / V ≤ 1.15, neither part above 1. Source: AISI S100 J4.5.2, shear and pull-out of a screw; used for
    the head in the panel as well (judgement: J4.5.1 for heads pulled over, V + 0.71 T ≤ 1.1, allows more but for a
    little lift, and EN 1995-1-1 eq. 8.28 for screws in wood, with squares, more throughout).
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        lift, side = (
            np.where(np.asarray(share) > 0, np.asarray(share, dtype=float) / np.asarray(alone), 0.0)
            for share, alone in ((t_share, T), (v_share, V))
        )
        return np.asarray(1 / np.maximum(np.maximum(lift, side), (lift + side) / 1.15))


def thread_length(L: ArrayLike, lengths: ArrayLike, threads: ArrayLike) -> Numbers:
    """Threaded part of a screw L long, its point in it [m].

    `lengths` (n,) rising and `threads` (n,) [m] are the table's. Straight between; below the shortest in its
    proportion; beyond the longest half of the length, but no less than the longest one's and no more than 6 in.
    Source: NDS table L2 (lag screws; ASME B18.2.1 asks for half the length and 1/2 in, so this errs short).
    """
    L, lengths, threads = (np.asarray(v, dtype=float) for v in (L, lengths, threads))
    listed = np.interp(L, lengths, threads)
    short = L * threads[0] / lengths[0]
    long = np.minimum(np.maximum(threads[-1], L / 2), np.maximum(threads[-1], 6 * INCH))
    return np.asarray(np.where(lengths[0] > L, short, np.where(lengths[-1] < L, long, listed)))


def bite(tip: ArrayLike, thread_from: ArrayLike, D: ArrayLike, tops: ArrayLike, bottoms: ArrayLike) -> Numbers:
    """Thread that counts in each layer of a deck [m], shaped as `tops`.

    One diameter of the point does not count, wherever it ends: the thread reaches down to tip − D, or to the
    underside. So a screw that just peeps out holds no more than one that just does not.

    Parameters
    ----------
    tip : depth of the point below the deck's top [m]
    thread_from : depth where the thread begins [m]
    D : screw diameter [m]
    tops, bottoms : (..., n) depths of the layers' faces [m]

    Source: NDS 12.2.3 (lag screws: the length of thread without its tip), for other screws alike (judgement).
    """
    end = np.minimum(np.asarray(tip) - np.asarray(D), bottoms)
    return np.asarray(np.maximum(end - np.maximum(thread_from, tops), 0.0))
