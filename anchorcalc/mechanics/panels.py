"""The deck between two cross-members, closed rules: bending, rolling shear, hold-down screws. SI.

The pull lifts the panel on a small patch. It is taken as simply supported on the two neighbouring members:
continuity over them would help, but the screws that would have to provide it are what lets go first.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Numbers = NDArray[np.float64]


def effective_width(a: ArrayLike, b: ArrayLike, patch: ArrayLike, stiffness_ratio: ArrayLike) -> Numbers:
    """Width of panel that carries a patch load between two supports [m].

    b_e = 0.58 L_e (D_y / D_x)^¼ + patch, with L_e = 4 a b / L for a load at a and b from the supports. a, b, patch
    (across the span) [m]; stiffness_ratio D_y / D_x, across over along the span [-].
    Source: Westergaard, Computation of stresses in bridge slabs due to wheel loads, Public Roads 11 (1930),
    b = 0.58 s + 2 c; Huber's stretch (D_y / D_x)^¼ for orthotropic plates; L_e for loads off mid-span is ours.
    """
    a, b = np.asarray(a, dtype=float), np.asarray(b, dtype=float)
    return 0.58 * 4 * a * b / (a + b) * np.power(stiffness_ratio, 0.25) + np.asarray(patch)


def overhang_width(a: ArrayLike, patch: ArrayLike, stiffness_ratio: ArrayLike) -> Numbers:
    """Width of panel that carries a patch load on an overhang, a [m] beyond the last support [m].

    0.8 a (D_y / D_x)^¼ + patch: AASHTO Standard Specifications 3.24.5.1, E = 0.8 X + 3.75 ft, where the constant
    stands for the wheel and is replaced by the patch.
    """
    return 0.8 * np.asarray(a) * np.power(stiffness_ratio, 0.25) + np.asarray(patch)


def patch_lever(a: ArrayLike, b: ArrayLike, patch: ArrayLike) -> Numbers:
    """Greatest moment of a unit patch load on a simple span [m]: (a b / L) (1 − c / 2 L).

    a, b from the patch's middle to the supports, c = patch along the span, no longer than fits [m].
    Source: statics, uniform load over part of a simple beam (AISC Manual table 3-23).
    """
    a, b = np.asarray(a, dtype=float), np.asarray(b, dtype=float)
    c = np.minimum(patch, 2 * np.minimum(a, b))
    return a * b / (a + b) * (1 - c / (2 * (a + b)))


def shared_resistance(resistance: ArrayLike, stiffness: ArrayLike) -> float:
    """Moment or shear that layers loose on each other carry together.

    They bend alike and share by stiffness. When the first reaches its own resistance it is given up and the
    others carry on, if together they can; so a layer more never holds less. resistance and stiffness (layers,).
    """
    resistance, stiffness = np.asarray(resistance, dtype=float), np.asarray(stiffness, dtype=float)
    useful = (stiffness > 0) & (resistance > 0)
    if not useful.any():
        return 0.0
    reached = resistance[useful] / stiffness[useful]
    order = np.argsort(reached)
    still = np.cumsum(stiffness[useful][order][::-1])[::-1]
    return float((reached[order] * still).max())


def glued_modulus(thickness: ArrayLike, E: ArrayLike, I_own: ArrayLike) -> Numbers:
    """Section modulus of each layer in a glued stack, per width: M = f S_i when layer i reaches f at its far face.

    Transformed section. thickness [m], E [Pa], I_own per width [m³] of each layer (effective, so that the plies
    across are left out); returns (layers,) [m²]. Source: statics of composite beams.
    """
    t, E, I_own = (np.asarray(v, dtype=float) for v in (thickness, E, I_own))
    z = np.cumsum(t) - t / 2
    A = 12 * I_own / t**2  # area of the plies that work along the span, from the layer's own stiffness
    axis = (E * A * z).sum() / (E * A).sum()
    EI = (E * (I_own + A * (z - axis) ** 2)).sum()
    return np.asarray(EI / (E * (np.abs(z - axis) + t / 2)))


def hold_down_count(patch: ArrayLike, distance: ArrayLike, spacing: ArrayLike) -> Numbers:
    """Screws on a cross-member that a lifted patch reaches [-]: those within 45° of its edge, at least one.

    patch along the member, distance from patch to member, spacing [m]. The least number whatever the place of
    the screws. Our judgement; common practice has no source for it.
    """
    reach = np.asarray(patch) + 2 * np.asarray(distance)
    return np.maximum(np.floor(reach / np.asarray(spacing) + 1e-9), 1.0)
