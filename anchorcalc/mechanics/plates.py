"""Thin rectangular plates by cubic Hermite elements on a grid of lines.

The deflection is a product of cubic Hermite functions along x and along y (the conforming rectangle of
Bogner, Fox and Schmit, 1965: four unknowns w, w_x, w_y, w_xy at a node, sixteen an element), so every
matrix of the plate is a sum of Kronecker products of small one-dimensional ones. Lines may lie at uneven
distances: edges of patches, cross-members and screws are meant to fall on them.

Deflection w and loads count positive the same way. Moments follow Timoshenko & Woinowsky-Krieger,
Theory of Plates and Shells, 2nd ed.: M_x = −(D_x w_xx + D_1 w_yy), positive where the face that moves
ahead is stretched.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from msgspec import Struct
from numpy.typing import ArrayLike

from anchorcalc.mechanics.hermite import FloatArray, HermiteLine, Span


class Rigidities(NamedTuple):
    """Bending rigidities of a plate that is orthotropic along its edges [N m]."""

    D_x: float
    D_y: float
    D_1: float
    D_xy: float


def isotropic_rigidities(E: float, nu: float, t: float) -> Rigidities:
    """Rigidities of a plate of one material.

    Parameters
    ----------
    E : modulus of elasticity [Pa]
    nu : Poisson's ratio [-]
    t : thickness [m]

    Returns
    -------
    Rigidities D, D, ν D and D (1 − ν)/2 with D = E t³/12(1 − ν²) [N m]; Timoshenko & Woinowsky-Krieger eq. 3.
    """
    D = E * t**3 / (12 * (1 - nu**2))
    return Rigidities(D, D, nu * D, D * (1 - nu) / 2)


def orthotropic_rigidities(EI_x: ArrayLike, EI_y: ArrayLike, G_xy: ArrayLike, t: ArrayLike, nu_xy: float) -> Rigidities:
    """Rigidities of panels that lie on each other and slide: every layer bends by itself, stiffness adds.

    Layers held by screws alone are taken so too, because nothing in a few screws stops the sliding that
    would make one section of them; a glued stack is passed as one layer with its own EI and thickness.

    Parameters
    ----------
    EI_x, EI_y : (layers,) bending stiffness along x and along y per metre of width [N m]
    G_xy : (layers,) shear modulus in the panel's plane [Pa]
    t : (layers,) thickness [m]
    nu_xy : strain across y per strain along x, the ratio that belongs to EI_x [-]

    Returns
    -------
    Rigidities of the stack [N m]; Timoshenko & Woinowsky-Krieger section 85 with ν_yx EI_x = ν_xy EI_y.
    """
    stack_x, stack_y = float(np.sum(EI_x)), float(np.sum(EI_y))
    fixed_width = 1 - nu_xy**2 * stack_y / stack_x
    twist = float(np.sum(np.asarray(G_xy) * np.asarray(t) ** 3)) / 12
    return Rigidities(stack_x / fixed_width, stack_y / fixed_width, nu_xy * stack_y / fixed_width, twist)


class Plate:
    """A rectangular plate of one set of rigidities.

    Parameters
    ----------
    x, y : grid lines, rising [m]
    rigidities : bending rigidities [N m]
    """

    def __init__(self, x: ArrayLike, y: ArrayLike, rigidities: Rigidities) -> None:
        self.x, self.y = HermiteLine(x), HermiteLine(y)
        self.rigidities = rigidities


class Moments(NamedTuple):
    """Bending and twisting moments per metre of width [N], arrays of one shape."""

    M_x: FloatArray
    M_y: FloatArray
    M_xy: FloatArray

    @classmethod
    def of(cls, rigidities: Rigidities, w_xx: FloatArray, w_yy: FloatArray, w_xy: FloatArray) -> Moments:
        """Moments where the deflection has these second derivatives [1/m]."""
        D_x, D_y, D_1, D_xy = rigidities
        return cls(-(D_x * w_xx + D_1 * w_yy), -(D_1 * w_xx + D_y * w_yy), -2 * D_xy * w_xy)

    def equivalent(self) -> FloatArray:
        """Moment that stretches the face of a plate as much by von Mises [N]."""
        return np.sqrt(self.M_x**2 - self.M_x * self.M_y + self.M_y**2 + 3 * self.M_xy**2)


class PlateSolution(Struct, frozen=True):
    """How a plate lies: its unknowns, and all that follows from them."""

    plate: Plate
    unknowns: FloatArray  # (plate.x.size, plate.y.size)

    def deflection(self, x: ArrayLike, y: ArrayLike) -> FloatArray:
        """Deflection at every crossing of places along x and y, (len(x), len(y)) [m]."""
        return self._at(x, y, 0, 0)

    def moments(self, x: ArrayLike, y: ArrayLike) -> Moments:
        """Moments at every crossing of places, (len(x), len(y)) each [N]; on a grid line its sides' mean."""
        along_x, along_y = self.plate.x, self.plate.y
        w_xx = along_x.curvatures(self.unknowns @ along_y.rows(y).T, x)
        w_yy = along_y.curvatures(self.unknowns.T @ along_x.rows(x).T, y).T
        return Moments.of(self.plate.rigidities, w_xx, w_yy, self._at(x, y, 1, 1))

    def mean_shears(self, x: Span, y: Span) -> tuple[float, float]:
        """Shear forces Q_x, Q_y per metre averaged over a patch or along a line [N/m].

        They come from third derivatives, which cubic functions hold only to the first order of a cell's
        width: take them a cell or more away from where a load or support begins.
        """
        D_x, D_y, D_1, D_xy = self.plate.rigidities
        H = D_1 + 2 * D_xy
        Q_x = -(D_x * self._mean(x, y, 3, 0) + H * self._mean(x, y, 1, 2))
        Q_y = -(D_y * self._mean(x, y, 0, 3) + H * self._mean(x, y, 2, 1))
        return float(Q_x), float(Q_y)

    def _at(self, x: ArrayLike, y: ArrayLike, i: int, j: int) -> FloatArray:
        return self.plate.x.rows(x, i) @ self.unknowns @ self.plate.y.rows(y, j).T

    def _mean(self, x: Span, y: Span, i: int, j: int) -> FloatArray:
        mean = self.plate.x.mean(x, i) @ self.unknowns @ self.plate.y.mean(y, j)
        return np.asarray(mean, dtype=np.float64)
