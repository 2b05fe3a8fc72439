"""How much of a washer or plate really bears on the wood, what crushes, and what a group punches out.

A thin washer or plate dishes away from the wood: only a rim of c beyond the nut presses. The rule is that of
a flexible base plate (EN 1993-1-8, 6.2.5(4)), with the pressure of the level considered.

Crushed wood still holds: crushing limits daily use. What lets go is the washer that is pulled through.
"""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

WASHER_OVER_BOLT: Final = 4.0  # of a plate that counts as a washer, EN 1995-1-1 8.5.2(3)

_COUNTED: Final = 2.5  # diameters of panel that count for pull-through, NDS 2018 12.2.5
_SETTLED: Final = 1e-9  # share of a diameter by which the next one may differ
_MOST_STEPS: Final = 200


def plate_reach(t: ArrayLike, f_y: ArrayLike, f: ArrayLike) -> FloatArray:
    """Rim that bears beyond the nut's bearing circle, c = t √(f_y / (3 f)) [m].

    Parameters
    ----------
    t : thickness of the steel [m]
    f_y : its yield strength [Pa]
    f : bearing pressure on the wood at the level considered [Pa]

    Source: EN 1993-1-8:2005 eq. (6.5). Thrice the pressure needs √3 times the steel.
    """
    return np.asarray(np.asarray(t) * np.sqrt(np.asarray(f_y) / (3 * np.asarray(f))))


def effective_diameter(d_nut: ArrayLike, c: ArrayLike, D_outside: ArrayLike) -> FloatArray:
    """Diameter that bears round a nut, min(D_outside, d_nut + 2 c) [m]."""
    return np.asarray(np.minimum(D_outside, np.asarray(d_nut) + 2 * np.asarray(c)))


def washer_equal_diameter(t: ArrayLike, d: ArrayLike) -> FloatArray:
    """Diameter of the round washer that a steel plate may count as per bolt, min(12 t, 4 d) [m].

    Source: EN 1995-1-1:2004 8.5.2(3); t plate thickness [m], d bolt diameter [m].
    """
    return np.asarray(np.minimum(12 * np.asarray(t), WASHER_OVER_BOLT * np.asarray(d)))


def washer_bearing(f: ArrayLike, D: ArrayLike, d_hole: ArrayLike) -> FloatArray:
    """What the wood bears under a disc with a hole, f π/4 (D² − d_hole²) [N].

    f pressure [Pa], D diameter that presses [m], d_hole of the washer's own hole, not of the bolt [m].
    Source: EN 1995-1-1:2004 8.5.2(2), on the contact area.
    """
    return np.asarray(np.asarray(f) * np.pi / 4 * np.maximum(np.square(D) - np.square(d_hole), 0.0))


class PullThrough(NamedTuple):
    """Diameter by which a washer or nut is pulled through a panel [m], and what that takes [N]."""

    diameter: float
    strength: float


def pull_through_strength(D: float, tau: ArrayLike, t: ArrayLike) -> float:
    """What a round head D wide takes to be pulled through layers, π D Σ τ t [N].

    tau (n,) shear stress round the head [Pa], t (n,) layers [m]. No more than 2.5 D of them counts, the strongest
    first: all must be gone through, and the others can only add. Source: NDS 2018 12.2.5, there of one panel with
    τ = 690 G² psi (allowable).
    """
    stress, layers = np.atleast_1d(np.asarray(tau, dtype=float)), np.atleast_1d(np.asarray(t, dtype=float))
    order = np.argsort(-stress)
    above = np.concatenate([[0.0], np.cumsum(layers[order])[:-1]])
    counted = np.clip(_COUNTED * D - above, 0.0, layers[order])
    return float(np.pi * D * (stress[order] @ counted))


def washer_pull_through(
    D_outside: float, d_hole: float, d_nut: float, t_washer: float, f_y: float, tau: ArrayLike, t: ArrayLike
) -> PullThrough:
    """How a nut on a washer is pulled through a panel: a head of min(D_outside, d_nut + 2 c) [m], [N].

    c of `plate_reach` at the pressure of the pull-through itself, the strength over the ring that presses. Reckoned
    from the bare nut upwards, so that of several answers the least is taken and every step errs to the safe side;
    never under the nut, for a nut alone is a head too.

    Parameters
    ----------
    D_outside, d_hole : of the washer [m]
    d_nut : circle the nut bears on, more than d_hole [m]
    t_washer, f_y : thickness and yield strength of the washer [m], [Pa]
    tau : (n,) shear stress round the head in each layer at the level considered [Pa], as in
        `pull_through_strength`
    t : (n,) the layers [m]

    Source: NDS 2018 12.2.5 for the head; EN 1993-1-8:2005 6.2.5(4) for its width; that a washer is a head is
    judgement.
    """
    if d_nut <= d_hole:
        raise ValueError("the nut is no wider than the washer's hole")
    D = min(d_nut, D_outside)
    for _ in range(_MOST_STEPS):
        pressure = pull_through_strength(D, tau, t) / float(washer_bearing(1.0, D, d_hole))
        wider = float(effective_diameter(d_nut, plate_reach(t_washer, f_y, pressure), D_outside))
        if wider - D <= _SETTLED * D:
            break
        D = wider
    return PullThrough(D, pull_through_strength(D, tau, t))


def disc_in_rectangle(r: ArrayLike, left: ArrayLike, right: ArrayLike, front: ArrayLike, back: ArrayLike) -> FloatArray:
    """Area of a disc of radius `r` about the origin inside a rectangle [m²].

    The distances of its four sides from the origin [m] are at least zero and may be infinite. Exact: four
    corner pieces, each the part of a quarter disc with x ≤ one distance and y ≤ the other.
    """
    quarters = [_quarter_disc(r, along, across) for along in (left, right) for across in (front, back)]
    return np.asarray(sum(quarters))


def _quarter_disc(r: ArrayLike, x_most: ArrayLike, y_most: ArrayLike) -> FloatArray:
    """Area of x, y ≥ 0, x² + y² ≤ r², x ≤ x_most, y ≤ y_most [m²]."""
    r = np.asarray(r, dtype=float)
    a, b = np.minimum(x_most, r), np.minimum(y_most, r)
    # The top is flat at y = b up to where the circle cuts it, round from there to x = a.
    flat = np.minimum(np.sqrt(np.maximum(r**2 - b**2, 0.0)), a)
    return np.asarray(b * flat + _under_circle(a, r) - _under_circle(flat, r))


def _under_circle(x: FloatArray, r: FloatArray) -> FloatArray:
    """∫₀ˣ √(r² − s²) ds [m²] for 0 ≤ x ≤ r."""
    sine = np.divide(x, r, out=np.zeros(np.broadcast(x, r).shape), where=r > 0)
    return (x * np.sqrt(np.maximum(r**2 - x**2, 0.0)) + r**2 * np.arcsin(np.minimum(sine, 1.0))) / 2


def bearing_areas(positions: ArrayLike, r: ArrayLike, half_size: ArrayLike, d_hole: ArrayLike) -> FloatArray:
    """Area that bears round each bolt of a rectangular plate centred at the origin [m²], (…, n).

    Each disc of radius `r` (…) is cut at the plate's edges, `half_size` (…, 2) from the centre, and half-way
    to every other bolt, square to the axis along which the two stand farther apart. The pieces never overlap,
    so together they are never more than the joined discs. The whole hole is taken out of each.

    Parameters
    ----------
    positions : bolts on the plate [m], (…, n, 2)
    r : radius of the disc that presses round each nut [m], (…)
    half_size : half the plate's sides [m], (…, 2); infinite for single washers
    d_hole : diameter of the holes [m], (…)
    """
    at = np.asarray(positions, dtype=float)
    half = np.asarray(half_size, dtype=float)[..., None, :]
    ahead, behind = _room_to_neighbours(at)
    room = [np.minimum(half - at, ahead), np.minimum(half + at, behind)]  # toward +x, +y and toward −x, −y
    plus, minus = (np.maximum(side, 0.0) for side in room)
    r, hole = np.asarray(r)[..., None], np.pi / 4 * np.square(d_hole)[..., None]
    discs = disc_in_rectangle(r, minus[..., 0], plus[..., 0], minus[..., 1], plus[..., 1])
    return np.maximum(discs - hole, 0.0)


def _room_to_neighbours(at: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Half the distance to the next bolt toward +x, +y and toward −x, −y [m], each (…, n, 2)."""
    apart = at[..., None, :, :] - at[..., :, None, :]  # (…, i, j, axis): from bolt i to bolt j
    if np.any(np.all(apart == 0, axis=-1) & ~np.eye(at.shape[-2], dtype=bool)):
        raise ValueError("two bolts stand in the same place")
    wide = np.abs(apart)
    # x decides a tie, on both sides alike, so that the cut between two bolts is one line.
    decides = np.stack([wide[..., 0] >= wide[..., 1], wide[..., 0] < wide[..., 1]], axis=-1)
    ahead = np.where(decides & (apart > 0), apart / 2, np.inf).min(axis=-2)
    behind = np.where(decides & (apart < 0), -apart / 2, np.inf).min(axis=-2)
    return ahead, behind


def hull_perimeter(positions: ArrayLike, r: ArrayLike) -> FloatArray:
    """Perimeter of the convex hull round discs of radius `r` at `positions` (n, 2) [m].

    Exact: hull of the centres plus one full circle, 2 π r (Steiner's formula for parallel bodies).
    """
    corners = _hull(np.asarray(positions, dtype=float))
    around = np.linalg.norm(corners - np.roll(corners, -1, axis=0), axis=1).sum()
    return np.asarray(around + 2 * np.pi * np.asarray(r, dtype=float))


def hull_perimeter_on_plate(positions: ArrayLike, r: ArrayLike, half_size: ArrayLike) -> FloatArray:
    """`hull_perimeter`, but never longer than the plate's own outline [m]."""
    return np.asarray(np.minimum(hull_perimeter(positions, r), 4 * np.sum(half_size, axis=-1)))


def _hull(points: FloatArray) -> FloatArray:
    """Corners of the convex hull of `points` (n, 2), counter-clockwise (Andrew's monotone chain)."""
    ordered = np.array(sorted({(x, y) for x, y in points.tolist()}))
    if len(ordered) < 3:
        return ordered
    return np.array([*_chain(ordered)[:-1], *_chain(ordered[::-1])[:-1]])


def _chain(points: FloatArray) -> list[FloatArray]:
    """Lower hull of `points` sorted along x, first to last."""
    chain: list[FloatArray] = []
    for point in points:
        while len(chain) > 1 and _turn(chain[-2], chain[-1], point) <= 0:
            chain.pop()
        chain.append(point)
    return chain


def _turn(a: FloatArray, b: FloatArray, c: FloatArray) -> float:
    """Positive where the way a, b, c turns left [m²]."""
    return float((b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]))


def crushing_breaking_stress(f_c90k: ArrayLike, k: ArrayLike = 3.0) -> FloatArray:
    """Bearing stress under a washer at breaking, k f_c,90,k [Pa].

    Source: EN 1995-1-1:2004 8.5.2(2), k = 3.0 on the contact area. `f_c90k` is the strength of softwood
    across the grain, 2.2 to 2.7 N/mm²; values of that name in birch plywood tables are in the panel's plane.
    """
    return np.asarray(np.asarray(k) * np.asarray(f_c90k))
