"""The same plates by scikit-fem, a general finite element library, as an independent reference.

Its Bogner-Fox-Schmit rectangle is the same element: on the same mesh with the same physics the answers must
agree to 1e-6 and better. Its Argyris triangle is another element: there they must agree within 1 %.
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import sparse
from scipy.sparse.linalg import spsolve
from skfem import (
    Basis,
    BilinearForm,
    ElementQuadBFS,
    ElementTriArgyris,
    InteriorFacetBasis,
    LinearForm,
    MeshQuad,
    MeshTri,
)
from skfem.helpers import dd

from anchorcalc.mechanics.hermite import grid_lines
from anchorcalc.mechanics.plate_bed import CrushingBed, PlateBed
from anchorcalc.mechanics.plates import (
    Plate,
    Rigidities,
    Supports,
    isotropic_rigidities,
    orthotropic_rigidities,
    solve_linear,
)
from tests.mechanics.deck_on_members import Members, Screws, solve_deck

FloatArray = NDArray[np.float64]
GAUSS_ORDER = 7  # four points each way, as ours
SAME_ELEMENT = 1e-6


class Reference:
    """A plate of scikit-fem's rectangles (or triangles) on given lines."""

    def __init__(self, x: FloatArray, y: FloatArray, stiff: Rigidities, element: str = "rectangle") -> None:
        quads = MeshQuad.init_tensor(x, y)
        self.mesh = quads if element == "rectangle" else MeshTri.init_tensor(x, y)
        kind = ElementQuadBFS() if element == "rectangle" else ElementTriArgyris()
        self.basis = Basis(self.mesh, kind, intorder=GAUSS_ORDER if element == "rectangle" else 10)

        @BilinearForm
        def bending(u, v, w):  # type: ignore[no-untyped-def]
            a, b = dd(u), dd(v)
            return (
                stiff.D_x * a[0, 0] * b[0, 0]
                + stiff.D_y * a[1, 1] * b[1, 1]
                + stiff.D_1 * (a[0, 0] * b[1, 1] + a[1, 1] * b[0, 0])
                + 4 * stiff.D_xy * a[0, 1] * b[0, 1]
            )

        self.stiffness = bending.assemble(self.basis)

    def patch(self, total: float, x: tuple[float, float], y: tuple[float, float]) -> FloatArray:
        pressure = total / (x[1] - x[0]) / (y[1] - y[0])

        @LinearForm
        def load(v, w):  # type: ignore[no-untyped-def]
            inside = (w.x[0] > x[0]) & (w.x[0] < x[1]) & (w.x[1] > y[0]) & (w.x[1] < y[1])
            return pressure * inside * v

        return np.asarray(load.assemble(self.basis))

    def at_nodes(self, unknowns: FloatArray, x: FloatArray, y: FloatArray, which: int = 0) -> FloatArray:
        """Deflection (0) or a slope (1, 2) at the crossings of the lines."""
        places = {(round(a, 9), round(b, 9)): node for node, (a, b) in enumerate(self.mesh.p.T)}
        nodes = np.array([[places[round(a, 9), round(b, 9)] for b in y] for a in x])
        return np.asarray(unknowns[self.basis.nodal_dofs[which][nodes]])


def agrees(ours: FloatArray, theirs: FloatArray, within: float) -> bool:
    return bool(np.abs(ours - theirs).max() <= within * np.abs(theirs).max())


PLYWOOD = orthotropic_rigidities([3050.0], [1220.0], [0.6e9], [0.019], 0.08)


def test_orthotropic_plate_on_mixed_edges() -> None:
    x, y = grid_lines(1.2, 0.15, (0.5, 0.7)), grid_lines(0.8, 0.1, (0.33, 0.47))
    plate = Plate(x, y, PLYWOOD)
    held = Supports(x_start="clamped", x_end="simple", y_start="simple")
    ours = solve_linear(plate, plate.load(900.0, (0.5, 0.7), (0.33, 0.47)), held)

    theirs = Reference(x, y, PLYWOOD)
    at = theirs.mesh.p
    fixed = [
        *theirs.basis.nodal_dofs[:, at[0] == x[0]].ravel(),
        *theirs.basis.nodal_dofs[[0, 2]][:, at[0] == x[-1]].ravel(),
        *theirs.basis.nodal_dofs[[0, 1]][:, at[1] == y[0]].ravel(),
    ]
    free = np.setdiff1d(np.arange(theirs.basis.N), fixed)
    unknowns = np.zeros(theirs.basis.N)
    load = theirs.patch(900.0, (0.5, 0.7), (0.33, 0.47))
    unknowns[free] = spsolve(sparse.csc_array(theirs.stiffness[free][:, free]), load[free])
    assert agrees(ours.deflection(x, y), theirs.at_nodes(unknowns, x, y), SAME_ELEMENT)
    for slope, number in zip(ours.slopes(x, y), (1, 2), strict=True):
        assert agrees(slope, theirs.at_nodes(unknowns, x, y, number), SAME_ELEMENT)


def crushing_reference(
    reference: Reference, bed: CrushingBed, load: FloatArray, steps: int = 30
) -> tuple[FloatArray, bool]:
    """Contact by taking where the bed works, yields or gapes from the step before, until it stays."""
    basis = reference.basis

    @BilinearForm
    def working(u, v, w):  # type: ignore[no-untyped-def]
        return bed.stiffness * w["working"] * u * v

    @LinearForm
    def yielding(v, w):  # type: ignore[no-untyped-def]
        return bed.strength * w["yielding"] * v

    unknowns = np.zeros(basis.N)
    elastic, crushed = None, None
    for _ in range(steps):
        elastic_pressure = bed.stiffness * np.asarray(basis.interpolate(unknowns))
        now_elastic = (elastic_pressure >= 0) & (elastic_pressure <= bed.strength)
        now_crushed = elastic_pressure > bed.strength
        if elastic is not None and np.all(now_elastic == elastic) and np.all(now_crushed == crushed):
            return unknowns, True
        elastic, crushed = now_elastic, now_crushed
        tangent = reference.stiffness + working.assemble(basis, working=elastic.astype(float))
        right = load - yielding.assemble(basis, yielding=crushed.astype(float))
        unknowns = spsolve(sparse.csc_array(tangent), right)
    return unknowns, False


@pytest.mark.parametrize(("pull", "stiffness", "expect"), [
    (3e3, 8e10, "gapes"), (70e3, 8e10, "gapes and crushes"), (120e3, 8e8, "crushes"),
])  # fmt: skip
def test_plate_on_a_crushing_bed(pull: float, stiffness: float, expect: str) -> None:
    """A 150 mm square of 5 mm steel, pulled off its middle by one nut, on a hard and a softer bed."""
    side, bed = 0.15, CrushingBed(stiffness, 7.5e6)
    at_x, at_y = (0.06, 0.08), (0.065, 0.085)
    x, y = grid_lines(side, side / 10, at_x), grid_lines(side, side / 10, at_y)
    steel = isotropic_rigidities(210e9, 0.3, 0.005)
    plate = Plate(x, y, steel)
    ours = PlateBed(plate, bed).solve(plate.load(pull, at_x, at_y))
    assert ours.equilibrium.converged
    assert ("gapes" in expect) == (ours.contact_share < 1)
    assert ("crushes" in expect) == (ours.crushed_share > 0)

    theirs = Reference(x, y, steel)
    unknowns, settled = crushing_reference(theirs, bed, theirs.patch(pull, at_x, at_y))
    assert settled
    assert agrees(ours.solution.deflection(x, y), theirs.at_nodes(unknowns, x, y), SAME_ELEMENT)


def test_deck_over_members_with_screws() -> None:
    """Three members that push, six screws that pull, one lift: the working set found step by step."""
    members, screw_places = (0.1, 0.5, 0.9), [(x, y) for x in (0.1, 0.5, 0.9) for y in (0.15, 0.45)]
    x, y = grid_lines(1.0, 0.1, (*members, 0.25, 0.35)), grid_lines(0.6, 0.1, (0.15, 0.45, 0.2, 0.3))
    plate = Plate(x, y, PLYWOOD)
    k_member, k_screw = 8e8, 2e6
    patch = ((0.25, 0.35), (0.2, 0.3))
    ours = solve_deck(plate, Members(members, k_member), Screws(screw_places, k_screw), plate.load(1e3, *patch))
    assert ours.equilibrium.converged
    assert 0 < np.count_nonzero(ours.screw_pulls) < 6

    theirs = Reference(x, y, PLYWOOD)
    on_members = [theirs.mesh.facets_satisfying(lambda p, a=a: np.abs(p[0] - a) < 1e-9) for a in members]
    line = InteriorFacetBasis(theirs.mesh, ElementQuadBFS(), facets=np.concatenate(on_members), intorder=GAUSS_ORDER)
    places = {(round(a, 9), round(b, 9)): node for node, (a, b) in enumerate(theirs.mesh.p.T)}
    screws = np.array([theirs.basis.nodal_dofs[0][places[round(a, 9), round(b, 9)]] for a, b in screw_places])

    @BilinearForm
    def pushing(u, v, w):  # type: ignore[no-untyped-def]
        return k_member * w["pushing"] * u * v

    load = theirs.patch(1e3, *patch)
    pushes, pulls = np.ones(line.dx.shape, dtype=bool), np.ones(6, dtype=bool)
    for _ in range(60):
        tangent = theirs.stiffness + pushing.assemble(line, pushing=pushes.astype(float))
        screwed = sparse.coo_array((k_screw * pulls, (screws, screws)), shape=tangent.shape)
        unknowns = spsolve(sparse.csc_array(tangent + screwed), load)
        now_pushes = np.asarray(line.interpolate(unknowns)) < 0
        now_pulls = unknowns[screws] > 0
        settled = bool(np.all(now_pushes == pushes) and np.all(now_pulls == pulls))
        pushes, pulls = now_pushes, now_pulls
        if settled:
            break
    assert settled
    assert agrees(ours.solution.deflection(x, y), theirs.at_nodes(unknowns, x, y), SAME_ELEMENT)
    assert agrees(ours.screw_pulls, k_screw * np.maximum(unknowns[screws], 0), SAME_ELEMENT)


def test_another_element_agrees_within_one_percent() -> None:
    """Quintic Argyris triangles for a free plate on an elastic bed under an off-centre patch."""
    stiff, k = isotropic_rigidities(210e9, 0.3, 0.004), 1.5e10
    x = y = grid_lines(0.12, 0.0075, (0.045, 0.06))
    plate = Plate(x, y, stiff)
    bed = plate.spring(k, (0.0, 0.12), (0.0, 0.12))
    patch = ((0.045, 0.06), (0.045, 0.06))
    ours = solve_linear(plate, plate.load(1e4, *patch), Supports(), [bed])

    coarse = grid_lines(0.12, 0.015, (0.045, 0.06))
    theirs = Reference(coarse, coarse, stiff, element="triangle")

    @BilinearForm
    def spring(u, v, w):  # type: ignore[no-untyped-def]
        return k * u * v

    matrix = theirs.stiffness + spring.assemble(theirs.basis)
    unknowns = spsolve(sparse.csc_array(matrix), theirs.patch(1e4, *patch))
    assert agrees(ours.deflection(coarse, coarse), theirs.at_nodes(unknowns, coarse, coarse), 0.01)
