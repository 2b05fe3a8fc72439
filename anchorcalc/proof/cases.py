"""Set-ups of books that take more than one call: plates, strips on springs, forces at a joint, a bearing plate.

Each lays out what a source describes and hands back the figure that it prints. Rows in tables/published name them.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from anchorcalc.mechanics.base import Base, BasePlate, Fasteners
from anchorcalc.mechanics.bearing import bearing_areas, crushing_breaking_stress, washer_equal_diameter
from anchorcalc.mechanics.hermite import grid_lines
from anchorcalc.mechanics.plate_body import Patch, widths_at
from anchorcalc.mechanics.plates import Plate, Rigidities, isotropic_rigidities
from anchorcalc.mechanics.statics import balance
from anchorcalc.mechanics.wrenches import contact_wrenches, line_wrench
from anchorcalc.proof.held import EdgeSupport, Spread, Supports, solve_held

FloatArray = NDArray[np.float64]

_NU = 0.3
_CELLS = 24  # across the short side: what is printed to three or four figures comes out to them


class PlateFigures(NamedTuple):
    """Figures of a rectangular plate of short side 1, rigidity 1 and ν 0.3 under a load of 1 [-]."""

    w: float  # deflection in the middle
    M_x: float  # moments in the middle
    M_y: float
    M_x_edge: float  # moments in the middle of the edges x = 0 and y = 0
    M_y_edge: float
    corner: float  # force that holds the corner down

    @property
    def beta(self) -> float:
        """Roark's β: stress in the middle, σ t² over the load, 6 M_x."""
        return 6 * self.M_x

    @property
    def alpha(self) -> float:
        """Roark's α: deflection in the middle times E t³ over the load, 12 (1 − ν²) w."""
        return 12 * (1 - _NU**2) * self.w


def rectangular_plate(aspect: float, x_edges: EdgeSupport, y_edges: EdgeSupport, load: str) -> PlateFigures:
    """Plate 1 along x and `aspect` along y, its edges held by pairs, under an even pressure or a point in the middle.

    Parameters
    ----------
    aspect : long side over short side [-]
    x_edges, y_edges : how the edges x = const and y = const are held
    load : "pressure" of 1 or a force of 1 on the "point" in the middle
    """
    plate = Plate(np.linspace(0, 1, _CELLS + 1), grid_lines(aspect, 1 / _CELLS, (aspect / 2,)), _unit_rigidities())
    pressed = Spread(aspect, (0.0, 1.0), (0.0, aspect)) if load == "pressure" else Spread(1.0, 0.5, aspect / 2)
    found = solve_held(plate, [pressed], Supports(x_edges, x_edges, y_edges, y_edges))
    middle, long_edge, short_edge = (
        found.solution.moments(x, y) for x, y in ((0.5, aspect / 2), (0.0, aspect / 2), (0.5, 0.0))
    )
    return PlateFigures(
        _one(found.solution.deflection(0.5, aspect / 2)),
        _one(middle.M_x),
        _one(middle.M_y),
        _one(long_edge.M_x),
        _one(short_edge.M_y),
        float(found.reactions[(found.held == 0).all(axis=1)].sum()),
    )


def _unit_rigidities() -> Rigidities:
    return isotropic_rigidities(12 * (1 - _NU**2), _NU, 1.0)


def _one(values: FloatArray) -> float:
    return float(np.asarray(values).item())


class BeamFigures(NamedTuple):
    """Deflection [m] and moment [N·m] under the load."""

    w: float
    M: float


def beam_on_springs(E: float, I: float, L: float, spacing: float, spring: float, P: float) -> BeamFigures:  # noqa: E741
    """Beam held at its ends on like springs between, a load in the middle: a strip that does not bend across.

    Parameters
    ----------
    E, I : modulus [Pa] and second moment of area [m⁴]
    L, spacing : length, and from spring to spring [m]
    spring : stiffness of each [N/m]
    P : load [N]
    """
    count = round(L / spacing)
    width = spacing
    D = E * I / width
    strip = Plate(np.linspace(0, L, 2 * count + 1), [0.0, width], Rigidities(D, D, 0.0, D / 2))
    springs = [Spread(spring, place, (0.0, width)) for place in spacing * np.arange(1, count)]
    load = Spread(P, L / 2, (0.0, width))
    found = solve_held(strip, [load], Supports("simple", "simple"), springs).solution
    return BeamFigures(_one(found.deflection(L / 2, width / 2)), width * _one(found.moments(L / 2, width / 2).M_x))


def plate_on_bed(D: float, k: float, P: float) -> float:
    """Deflection [m] under a point load on a plate without end, on a bed that pushes and pulls alike.

    Parameters
    ----------
    D : rigidity [N·m]
    k : bed [N/m³]
    P : load [N]
    """
    reach = (D / k) ** 0.25
    far = 8 * reach
    lines = np.concatenate([np.linspace(0, 2.5 * reach, 21), np.linspace(2.5 * reach, far, 15)[1:]])
    quarter = Plate(lines, lines, isotropic_rigidities(12 * (1 - _NU**2) * D, _NU, 1.0))
    held = Supports(x_start="mirror", y_start="mirror")
    nodes = list(zip(lines, widths_at(lines), strict=True))
    bed = [Spread(k * wide * deep, x, y) for x, wide in nodes for y, deep in nodes]
    found = solve_held(quarter, [Spread(P / 4, 0.0, 0.0)], held, bed)
    return _one(found.solution.deflection(0.0, 0.0))


def joint_pulls(towards: FloatArray, load: FloatArray) -> FloatArray:
    """Pulls [N] of cables that meet in one joint at the origin, (n,).

    Parameters
    ----------
    towards : (n, 3) where each cable runs to [m]
    load : (3,) force on the joint [N]
    """
    along = towards / np.linalg.norm(towards, axis=1, keepdims=True)
    lines = line_wrench(along, np.zeros(3)).T
    n = len(towards)
    external = np.concatenate([load, np.zeros(3)])
    return np.asarray(balance(lines, np.zeros((6, 0)), external, np.ones(n), np.zeros(n), 1.0).pulls[0])


def level_strap_pull(weight: float, c: float, mu: float) -> float:
    """Pull [N] of one level strap that holds a load on four wheels against c times its weight, with friction mu [-]."""
    wheels = np.array([[x, y, -0.3] for x in (1.5, -1.5) for y in (1.2, -1.2)])
    forward, left, up = np.eye(3)
    contacts = contact_wrenches(wheels, up, forward, left, mu, 0.0)
    strap = line_wrench(-forward, np.array([0.0, 0.0, -0.3]))[:, None]
    external = np.array([c * weight, 0.0, -weight, 0.0, 0.0, 0.0])
    return float(balance(strap, contacts, external, np.ones(1), np.zeros(1), 3.0).pulls[0, 0])


def bracket_bolt_tension(P: float, e: float, heights: FloatArray, each: int) -> float:
    """Tension [N] of the farthest bolt of a bracket that turns about its lower edge.

    Parameters
    ----------
    P : force along the wall [N]
    e : its distance from the wall [m]
    heights : of the rows of bolts over the lower edge [m]
    each : bolts in a row
    """
    bolts = [(-height, y) for height in heights for y in np.linspace(-0.05, 0.05, each)]
    top, foot = -float(max(heights)) - 0.02, Patch((-0.08, -0.04), (-0.02, 0.02))
    rigid = BasePlate((top, 0.0), (-0.07, 0.07), 0.5, 2e11, 0.3)
    wall = 1e15  # [N/m³], hard beside the bolts
    return float(Base(rigid, Fasteners(bolts, 1e6, 0.012), wall, [foot]).under([[P, 0.0, 0.0]], e).tensions.max())


def bearing_under_plate(t: float, d: float, d_hole: float, f_c90k: float) -> float:
    """Force [N] at which wood crushes under a steel plate, counted as a washer round one bolt."""
    r = float(washer_equal_diameter(t, d)) / 2
    area = bearing_areas([[0.0, 0.0]], r, [np.inf, np.inf], d_hole)
    return float(area[0] * crushing_breaking_stress(f_c90k))
