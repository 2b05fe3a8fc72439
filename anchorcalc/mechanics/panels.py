"""The deck between two cross-members under an upward patch: closed rules on the safe side.

The panel is a strip that rests on the two members beside the patch. For bending it is not counted as
continuous over them: a joint of the sheets, a missing screw or a decayed edge there takes the continuity
away unseen. For the screws it *is* counted as continuous where that loads them more. Directions: x spans
from member to member, y runs along the members; `stiffness_ratio` is D_y / D_x.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

# Westergaard, Computation of stresses in bridge slabs due to wheel loads (1930): b_e = 0.58 L + patch in an
# isotropic strip. Plywood twists easily; a strip with no twisting stiffness at all spreads 1/√2 of that.
_SPREAD = 0.58 / np.sqrt(2)

# Support moment handed on from one unloaded span to the next of an endless beam (Clapeyron): 1/(2 + √3).
_CARRY_OVER = 2 - np.sqrt(3)

_NOTHING = 1e-9  # length [m] or share [-] below which a patch is a point and a lever none


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


def effective_width(L_e: ArrayLike, patch_y: ArrayLike, stiffness_ratio: ArrayLike) -> FloatArray:
    """Width of panel that carries a patch in bending, b_e = 0.41 L_e (D_y / D_x)^¼ + patch_y [m].

    Parameters
    ----------
    L_e : 4 a b / L for a patch at a and b from the members; the span for one in the middle [m]
    patch_y : patch along the members [m]
    stiffness_ratio : D_y / D_x [-]; zero for planks, which share nothing

    Source: Westergaard (1930), 0.58 L + patch; off mid-span as in AS 3600 and BS 8110 3.5.2.2 (2.4 a b / L);
    (D_y / D_x)^¼ is the exact scaling of an orthotropic strip (Timoshenko & Woinowsky-Krieger, art. 85), the
    factor 1/√2 that of a strip without twisting stiffness. Against `strip_moment_series`, moments averaged
    over the patch and the panel's thickness on either side, it is at most 1 % unsafe for plywood's twisting
    stiffness (H = 0.3 √(D_x D_y)), at most 8 % with none.
    """
    spread = _SPREAD * np.asarray(L_e) * np.asarray(stiffness_ratio, dtype=float) ** 0.25
    return np.asarray(spread + np.asarray(patch_y))


def free_edge_factor(edge_distance: ArrayLike, L: ArrayLike, stiffness_ratio: ArrayLike) -> FloatArray:
    """How much more a panel bends under a patch near a free edge along the span than far from it [-].

    Four at the edge, 1.0 from about half a span on. `edge_distance` [m] runs from the middle of the patch to
    the edge of the sheet, or to a joint of sheets that nothing carries.

    Source: semi-infinite beam on elastic foundation (Hetényi 1946), which a strip without twisting stiffness
    is for each sine of the span; the first sine, whose factor is the greatest, stands for all.
    """
    ratio = np.maximum(np.asarray(stiffness_ratio, dtype=float), 1e-9)
    z = np.pi / np.sqrt(2) * np.asarray(edge_distance) / (np.asarray(L) * ratio**0.25)
    decay = np.exp(-z)
    A, B = decay * (np.cos(z) + np.sin(z)), decay * np.sin(z)
    C, D = decay * (np.cos(z) - np.sin(z)), decay * np.cos(z)
    return np.asarray(np.maximum(1 + (C + 2 * D) * A - 2 * (C + D) * B, 1.0))


def strip_moment_series(
    L: float,
    a: float,
    patch: tuple[float, float],
    stiffness_ratio: float,
    twist_ratio: float,
    averaged_over: float,
    *,
    terms: int = 400,
) -> float:
    """Moment per width in the middle of a patch of unit force, averaged along y, by sines of the span [-].

    Strip of span L [m], simply supported, endless along y, without Poisson coupling. The reference that
    `effective_width` is held against.

    Parameters
    ----------
    a : middle of the patch to one member [m]
    patch : sides along x and along y [m], both above zero
    stiffness_ratio : D_y / D_x [-]
    twist_ratio : H / √(D_x D_y) [-], 0 ≤ H < 1; 1 (isotropic) is taken just below
    averaged_over : width along y over which the moment is averaged [m], above zero

    Source: Timoshenko & Woinowsky-Krieger, Theory of Plates and Shells, arts. 36-37 and 85 (Lévy's method).
    """
    along, across = patch
    k = np.arange(1, terms + 1) * np.pi / L
    kappa = k * stiffness_ratio**-0.25
    load = 2 / L * np.sin(k * a) * np.sinc(k * along / (2 * np.pi))
    spread = (
        2
        * (
            _twice_integrated(kappa * (across + averaged_over) / 2, twist_ratio)
            - _twice_integrated(kappa * abs(across - averaged_over) / 2, twist_ratio)
        )
        / (across * averaged_over * kappa**2)
    )
    return float(np.sum(load * stiffness_ratio**-0.25 * spread / k * np.sin(k * a)))


def _twice_integrated(s: FloatArray, twist_ratio: float) -> FloatArray:
    """Second integral from 0 of the line-load response G'''' − 2 ρ G'' + G = δ, for s ≥ 0."""
    rho = min(twist_ratio, 1 - 1e-6)
    alpha, beta = np.sqrt((1 + rho) / 2), np.sqrt((1 - rho) / 2)
    mu, C = alpha - 1j * beta, (1 - 1j * alpha / beta) / (4 * alpha)
    return np.asarray((C * ((np.exp(-mu * s) - 1) / mu**2 + s / mu)).real)


def patch_bending_pull(
    m_R: ArrayLike,
    L: ArrayLike,
    a: ArrayLike,
    patch_x: ArrayLike,
    patch_y: ArrayLike,
    stiffness_ratio: ArrayLike,
    edge_factor: ArrayLike = 1.0,
) -> FloatArray:
    """Pull on a patch at which the panel bends to its strength between two members [N].

    F (a b / L)(1 − patch_x / 2 L) = m_R b_e / edge_factor. Of a patch that reaches over a member only the
    part between the members counts, with its share of the pull about its own middle.

    Parameters
    ----------
    m_R : resisting moment per width [N·m/m]
    L : distance of the two members [m]
    a : middle of the patch to one of them [m], 0 … L
    patch_x, patch_y : patch along the span and along the members [m]
    stiffness_ratio : D_y / D_x [-]
    edge_factor : `free_edge_factor` where an edge is near [-]

    Returns infinity for a patch of no length on a member. Thicker, wider, and longer up to the members never
    holds less, nor does a patch nearer to a member.

    Source: greatest moment of a simple beam under a partial uniform load; `effective_width`.
    """
    part, middle, length = _between_members(L, a, patch_x)
    lever = middle * (np.asarray(L) - middle) / np.asarray(L)
    moment = part * lever * (1 - length / (2 * np.asarray(L))) * np.asarray(edge_factor)
    strength = np.asarray(m_R) * effective_width(4 * lever, patch_y, stiffness_ratio)
    return _quotient(strength, moment)


def rolling_shear_pull(
    IbQ: ArrayLike,
    F_s: ArrayLike,
    L: ArrayLike,
    a: ArrayLike,
    patch_x: ArrayLike,
    patch_y: ArrayLike,
    stiffness_ratio: ArrayLike,
    edge_factor: ArrayLike = 1.0,
) -> FloatArray:
    """Pull on a patch at which a cross ply shears between the patch and the nearer member [N].

    The nearer member takes F · max(a, b) / L over the patch plus 45° on either side of the gap, less by
    √(D_y / D_x) where the panel is limp along the members, and never over more than `effective_width`.

    Parameters
    ----------
    IbQ : rolling-shear constant Ib/Q per width [m]
    F_s : rolling-shear strength [Pa]
    others as in `patch_bending_pull`

    Source: V = F_s (Ib/Q), Plywood Design Specification; the spread is judgement, safe against Lévy's series
    for the shear at the support and against the numerical deck (tests/test_numerical_deck.py).
    """
    L = np.asarray(L, dtype=float)
    part, middle, length = _between_members(L, a, patch_x)
    near = np.minimum(middle, L - middle)
    bending = effective_width(4 * near * (L - near) / L, patch_y, stiffness_ratio)
    width = np.minimum(np.asarray(patch_y) + _spread(near - length / 2, stiffness_ratio), bending) / np.asarray(
        edge_factor
    )
    return _quotient(np.asarray(IbQ) * np.asarray(F_s) * width, part * (L - near) / L)


def _between_members(L: ArrayLike, a: ArrayLike, patch_x: ArrayLike) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Of a patch at `a`: the share between the members [-], that part's middle and its length [m]."""
    L, a, u = (np.asarray(value, dtype=float) for value in (L, a, patch_x))
    start, end = np.maximum(a - u / 2, 0.0), np.minimum(a + u / 2, L)
    length = np.maximum(end - start, 0.0)
    part = np.divide(length, u, out=np.ones(np.broadcast(length, u).shape), where=u > _NOTHING)
    return part, (start + end) / 2, length


def overhang_bending_pull(
    m_R: ArrayLike, a: ArrayLike, patch_y: ArrayLike, stiffness_ratio: ArrayLike, edge_distance: ArrayLike
) -> FloatArray:
    """Pull at which the panel breaks over the last member when the patch stands beyond it [N].

    F a = m_R b with b = 1.2 a (D_y / D_x)^¼ + patch_y, no factor above 1 for the ratio, cut where an edge is
    nearer than b/2. `a` [m] runs from that member to the middle of the patch.

    Source: effective width of a cantilever slab, IS 456:2000 24.3.2.1; the greatest root moment of an endless
    isotropic cantilever plate, 0.51 F (Jaramillo 1950), would allow 1.96 a.
    """
    a, ratio = np.asarray(a, dtype=float), np.asarray(stiffness_ratio, dtype=float)
    half = (1.2 * a * np.minimum(ratio**0.25, 1.0) + np.asarray(patch_y)) / 2
    return _quotient(np.asarray(m_R) * (half + np.minimum(half, edge_distance)), a)


def member_reactions(L: ArrayLike, a: ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Shares of a pull between two members that the screws on each must hold [-]: the one at `a`, the other.

    For each the greater of a simple span, b / L and a / L, and of a beam continuous over endlessly many
    members, where the panel pries on the members beyond: up to a fifth more, so the two may add up to more
    than one.

    Source: Clapeyron's three-moment equation, equal spans.
    """
    x = np.asarray(a, dtype=float) / np.asarray(L, dtype=float)
    return np.maximum(1 - x, _continuous_reaction(x)), np.maximum(x, _continuous_reaction(1 - x))


def _continuous_reaction(x: FloatArray) -> FloatArray:
    """Reaction per force of the support at distance x L from it, endless equal spans [-]."""
    p = 4 - _CARRY_OVER
    near_load, far_load = x * (1 - x) * (2 - x), x * (1 - x) * (1 + x)
    M_near = -(p * near_load - far_load) / (p**2 - 1)
    M_far = -(p * far_load - near_load) / (p**2 - 1)
    return np.asarray(1 - x + M_far - M_near - (1 + _CARRY_OVER) * M_near)


def screws_counted(reach: ArrayLike, spacing: ArrayLike) -> FloatArray:
    """Screws that may be counted on a stretch `reach` of a member [-], wherever the first one stands.

    One for one to two spacings, then one less than the spacings, less than one where the stretch is shorter
    than a spacing: never more than the least there can be from one on, and without jumps, for nobody places a
    ring to the millimetre. Our judgement.
    """
    q = np.asarray(reach, dtype=float) / np.asarray(spacing, dtype=float)
    return np.asarray(np.maximum(np.minimum(q, 1.0), q - 1.0))


def hold_down_reach(
    distance: ArrayLike, patch_x: ArrayLike, patch_y: ArrayLike, stiffness_ratio: ArrayLike, edge: ArrayLike = np.inf
) -> FloatArray:
    """Stretch of a member, `distance` from the middle of a patch, whose screws help to hold the patch down [m].

    45° from the patch's edge, less by √(D_y / D_x) where the panel is limp along the members; on either side no
    farther than the deck's free edge is: beyond it there are no screws, and the panel turns about it.
    """
    gap = np.maximum(np.asarray(distance) - np.asarray(patch_x) / 2, 0.0)
    return np.asarray(np.minimum(np.asarray(patch_y) + _spread(gap, stiffness_ratio), 2 * np.asarray(edge)))


def _spread(gap: ArrayLike, stiffness_ratio: ArrayLike) -> FloatArray:
    """How much wider than the patch a pull is `gap` from its edge: 45° on both sides, less in a limp panel [m]."""
    return np.asarray(2 * np.asarray(gap) * np.minimum(np.sqrt(np.asarray(stiffness_ratio, dtype=float)), 1.0))


def hold_down_pull(
    capacity: ArrayLike,
    spacing: ArrayLike,
    L: ArrayLike,
    a: ArrayLike,
    patch_x: ArrayLike,
    patch_y: ArrayLike,
    stiffness_ratio: ArrayLike = 1.0,
    edge: ArrayLike = np.inf,
    others: Sequence[float] = (0.0, 0.0),
) -> FloatArray:
    """Pull on a patch at which the screws that hold the deck to the two members beside it let go [N].

    Counted on each member: the screws within `hold_down_reach`, as `screws_counted` does.

    Parameters
    ----------
    capacity : of one screw, head or point, in panel or steel, whichever is least [N]
    spacing : of the screws along a member [m]
    L, a, patch_x, patch_y, stiffness_ratio : as in `patch_bending_pull`
    edge : middle of the patch to the nearest edge of the deck, or of the sheet, along the span [m]
    others : what pulls elsewhere add on either member, in shares of this pull [-]

    Source: `member_reactions`; the reach is judgement, safe against the numerical deck
    (tests/test_numerical_deck.py).
    """
    pulls = []
    distances = a, np.asarray(L) - np.asarray(a)
    for share, distance, other in zip(member_reactions(L, a), distances, others, strict=True):
        reach = hold_down_reach(distance, patch_x, patch_y, stiffness_ratio, edge)
        pulls.append(_quotient(screws_counted(reach, spacing) * np.asarray(capacity), share + other))
    return np.asarray(np.minimum(*pulls))


def _quotient(strength: ArrayLike, effect: ArrayLike) -> FloatArray:
    """`strength` / `effect`, infinite where there is no effect to speak of."""
    strength, effect = np.broadcast_arrays(np.asarray(strength, dtype=float), np.asarray(effect, dtype=float))
    return np.asarray(np.divide(strength, effect, out=np.full(effect.shape, np.inf), where=effect > _NOTHING))
