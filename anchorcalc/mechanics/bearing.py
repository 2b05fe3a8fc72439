"""How much of a washer or plate really bears on the wood, and what the wood under it stands. SI."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Numbers = NDArray[np.float64]


def plate_reach(t: ArrayLike, f_y: ArrayLike, f: ArrayLike) -> Numbers:
    """How far beyond the nut a plate still presses [m]: c = t √(f_y / (3 f)).

    t thickness [m], f_y yield strength of the plate [Pa], f pressure on the bed [Pa].
    Source: EN 1993-1-8 eq. 6.5, flexible base plate.
    """
    return np.asarray(t) * np.sqrt(np.asarray(f_y) / (3 * np.asarray(f)))


def washer_equal_diameter(t: ArrayLike, d: ArrayLike) -> Numbers:
    """Diameter of the round washer a steel plate may count as, per bolt [m]: min(12 t, 4 d).

    t thickness, d bolt diameter [m]. Source: EN 1995-1-1 8.5.2(3).
    """
    return np.minimum(12 * np.asarray(t), 4 * np.asarray(d))


def crushing_breaking_stress(f_c90k: ArrayLike, k: ArrayLike) -> Numbers:
    """Bearing stress under a washer at breaking [Pa]: k f_c,90,k with k = 3.0 (EN 1995-1-1 8.5.2(2))."""
    return np.asarray(k) * np.asarray(f_c90k)


def annulus_area(D: ArrayLike, d_hole: ArrayLike) -> Numbers:
    """Area of a ring between two circles [m²]; diameters [m]."""
    return np.pi / 4 * (np.square(D) - np.square(d_hole))


def disc_in_rectangle(r: ArrayLike, left: ArrayLike, right: ArrayLike, front: ArrayLike, back: ArrayLike) -> Numbers:
    """Area of a disc of radius r that lies in a rectangle round its centre [m²].

    The rectangle is given by the distances of its four sides from the centre, each ≥ 0 (may be infinite) [m].
    """
    return sum(
        (_quarter_disc(r, x, y) for x in (left, right) for y in (front, back)), start=np.zeros(np.shape(r))
    )  # exact: circular segments in closed form


def _quarter_disc(r: ArrayLike, x: ArrayLike, y: ArrayLike) -> Numbers:
    """Area of a quarter disc about the origin within [0, x] × [0, y]."""
    r, x, y = np.broadcast_arrays(*(np.asarray(v, dtype=float) for v in (r, x, y)))
    x, y = np.minimum(x, r), np.minimum(y, r)
    flat_to = np.minimum(np.sqrt(np.maximum(r**2 - y**2, 0.0)), x)

    def under_arc(u: Numbers) -> Numbers:
        with np.errstate(invalid="ignore", divide="ignore"):
            sine = np.where(r > 0, u / r, 0.0)
        return (u * np.sqrt(np.maximum(r**2 - u**2, 0.0)) + r**2 * np.arcsin(np.clip(sine, 0.0, 1.0))) / 2

    return np.asarray(y * flat_to + under_arc(x) - under_arc(flat_to))


def bearing_areas(positions: Numbers, r: float, half_size: tuple[float, float], d_hole: float) -> Numbers:
    """Area that bears round each of n bolts on a rectangular plate [m²], (n,).

    A disc of radius r [m], cut at the plate's edges and half-way to each neighbour, less its hole. A bolt off
    the plate bears on nothing. positions (n, 2), half_size (2,) [m]; infinite half sizes mean loose washers.
    """
    areas = np.zeros(len(positions))
    for i, place in enumerate(positions):
        room = np.array([half_size - place, half_size + place])  # towards +x, +y and −x, −y
        for other in np.delete(positions, i, axis=0):
            apart = other - place
            axis = int(np.abs(apart[1]) > np.abs(apart[0]))
            side = int(apart[axis] < 0)
            room[side, axis] = min(room[side, axis], abs(apart[axis]) / 2)
        if (room >= 0).all():
            disc = disc_in_rectangle(r, room[1, 0], room[0, 0], room[0, 1], room[1, 1])
            areas[i] = max(float(disc) - np.pi / 4 * d_hole**2, 0.0)
    return areas


def hull_perimeter(positions: Numbers, r: float) -> float:
    """Perimeter of the convex hull round discs of radius r about n points (n, 2) [m]."""
    points = sorted({(float(x), float(y)) for x, y in positions})
    hull = _half_hull(points) + _half_hull(points[::-1])
    sides = np.diff(np.array([*hull, hull[0]]), axis=0)
    return float(np.linalg.norm(sides, axis=1).sum() + 2 * np.pi * r)


def _half_hull(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Lower half of the convex hull, left to right, without its last point (Andrew's monotone chain)."""
    half: list[tuple[float, float]] = []
    for p in points:
        while len(half) >= 2 and _turn(half[-2], half[-1], p) <= 0:
            half.pop()
        half.append(p)
    return half[:-1] or half


def _turn(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
