"""What pulls and pushes do to a rigid body: force, and moment about the origin."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]


def line_wrench(direction: FloatArray, point: FloatArray) -> FloatArray:
    """Force and moment about the origin of a unit force along `direction` (…, 3) [-] at `point` (…, 3) [m].

    Returns
    -------
    (…, 6): force [-] and moment [m].
    """
    direction, point = np.broadcast_arrays(np.asarray(direction, dtype=float), np.asarray(point, dtype=float))
    if direction.shape[-1:] != (3,):
        raise ValueError(f"direction and point need three components each, not {direction.shape}")
    return np.concatenate([direction, np.cross(point, direction)], axis=-1)


def contact_wrenches(
    points: FloatArray,
    normal: FloatArray,
    along: FloatArray,
    across: FloatArray,
    mu_along: float | FloatArray,
    mu_across: float | FloatArray,
) -> FloatArray:
    """Generators of what contacts at `points` (q, 3) [m] can push with, (…, 6, generators).

    Friction is the pyramid |F_along|/µ_along + |F_across|/µ_across ≤ N: inside the friction ellipse, so never
    more than it. Per contact two generators for each direction with friction, else the normal alone.

    Parameters
    ----------
    points, normal : (q, 3) [m] and (3,) unit vector out of the deck [-].
    along, across : (…, 3) unit vectors in the deck [-], one pair a case or one for all.
    mu_along, mu_across : (…) coefficients of friction [-], ≥ 0. A direction without friction in any case has
        no generators; without friction in some cases it repeats the normal there.

    Raises
    ------
    ValueError
        A negative or non-finite coefficient, or shapes that do not fit.
    """
    points, normal = np.asarray(points, dtype=float), np.asarray(normal, dtype=float)
    if points.ndim != 2 or points.shape[1] != 3 or normal.shape != (3,):
        raise ValueError(f"contacts need points (q, 3), a normal (3,); not {points.shape}, {normal.shape}")
    forces = []
    for mu, axis in ((mu_along, along), (mu_across, across)):
        mu = np.asarray(mu, dtype=float)
        if not (np.isfinite(mu).all() and (mu >= 0).all()):
            raise ValueError("a coefficient of friction must be finite and not negative")
        if (mu > 0).any():
            sideways = mu[..., None] * np.asarray(axis, dtype=float)
            forces += [normal + sideways, normal - sideways]
    if not forces:
        forces = [np.broadcast_to(normal, np.shape(along))]
    each = [line_wrench(force[..., None, :], points) for force in np.broadcast_arrays(*forces)]
    return np.swapaxes(np.concatenate(each, axis=-2), -1, -2)
