"""Plates that nothing holds: what moves them without bending, by hand."""

from __future__ import annotations

import numpy as np
import pytest

from anchorcalc.mechanics.free_plate import FreePlate, Products, inverse_triangle
from anchorcalc.mechanics.plates import Plate, Rigidities, isotropic_rigidities

X, Y = np.linspace(0.0, 1.0, 6), np.linspace(0.0, 0.6, 4)


def test_motions_do_not_bend_it() -> None:
    """One, x and y, which bend no cell and rise by one a metre."""
    plate = Plate(X + 3.0, Y - 1.0, Rigidities(1.0, 1.0, 0.0, 0.5))
    nothing = Products(np.zeros((1, plate.x.size)), np.zeros((1, plate.y.size)))
    motions = FreePlate(plate, nothing).motions
    at_x, at_y = np.linspace(0.05, 0.95, 10), np.linspace(0.05, 0.55, 6)
    ways = [lambda x, y: 1 + 0 * x * y, lambda x, y: x + 0 * y, lambda x, y: y + 0 * x]
    for x, y, way in zip(motions.x, motions.y, ways, strict=True):
        moved = np.outer(plate.x.rows(at_x + 3.0) @ x, plate.y.rows(at_y - 1.0) @ y)
        assert moved == pytest.approx(way(at_x[:, None], at_y[None]), abs=1e-12)


def test_a_square_pulled_at_its_corners_twists() -> None:
    """P at two corners, −P at the others: w = P x y / 2 D (1 − ν) about its middle (Timoshenko & Woinowsky-Krieger
    art. 11, from memory): M_xy = P / 2. Of 1 m and 1 000 N, D (1 − ν) 700 N m, a corner rises by 178.6 mm.
    """
    plate = Plate(np.linspace(-0.5, 0.5, 4), np.linspace(-0.5, 0.5, 5), isotropic_rigidities(10920.0, 0.3, 1.0))
    corners = np.array([(a, b) for a in (-0.5, 0.5) for b in (-0.5, 0.5)])
    forces = Products(plate.x.rows(corners[:, 0]), plate.y.rows(corners[:, 1]))
    body, P = FreePlate(plate, forces), 1000.0 * np.array([1.0, -1.0, -1.0, 1.0])
    rises = body.compliance @ P
    assert P @ rises / 4000 == pytest.approx(1000 * 0.25 / (2 * 700), rel=1e-9)
    assert (P / 4000) @ forces.of(body.unknowns(P, np.zeros(3))) == pytest.approx(0.17857, rel=1e-4)


@pytest.mark.parametrize("size", [1, 40, 41, 97])
def test_a_triangle_is_inverted_by_halves(size: int) -> None:
    """Against numpy's own inverse, which does not use that the rest is empty."""
    lower = np.tril(np.random.default_rng(size).uniform(-1.0, 1.0, (size, size)), -1) / size + np.eye(size)
    assert inverse_triangle(lower @ lower.T) == pytest.approx(np.linalg.inv(lower), rel=1e-9, abs=1e-12)
