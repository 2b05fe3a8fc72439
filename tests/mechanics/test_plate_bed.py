"""Plates and washers on a bed that crushes and cannot pull."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from anchorcalc.mechanics.hermite import PlateError, grid_lines
from anchorcalc.mechanics.plate_bed import CrushingBed, PlateBed, RoundPlate, WasherBed
from anchorcalc.mechanics.plates import FloatArray, Plate, factorised, isotropic_rigidities

FAST = settings(derandomize=True, deadline=None, max_examples=15)
E, NU, F_Y = 210e9, 0.3, 235e6
WOOD = CrushingBed(300e6 / 0.019, 7.5e6)
SIDE, NUT = 0.1, 0.014


def plate_bed(
    t: float, bed: CrushingBed = WOOD, nut_at: tuple[float, float] = (SIDE / 2, SIDE / 2), cells: int = 10
) -> tuple[PlateBed, FloatArray]:
    """A square plate under one nut and the pattern of its pull."""
    patch = [(at - NUT / 2, at + NUT / 2) for at in nut_at]
    lines = [grid_lines(SIDE, SIDE / cells, (a, at, b)) for at, (a, b) in zip(nut_at, patch, strict=True)]
    plate = Plate(*lines, isotropic_rigidities(E, NU, t))
    return PlateBed(plate, bed), plate.load(1.0, *patch)


@pytest.mark.parametrize(
    ("b", "K_y", "K_M"), [(0.3, "0.0318", "0.4103"), (0.5, "0.0086", "0.1736"), (0.7, "0.0011", "0.0541")]
)
def test_annulus_clamped_inside_under_pressure(b: float, K_y: str, K_M: str) -> None:
    """Roark table 11.2, outer edge free, inner edge clamped, uniform pressure, ν 0.3, from memory.

    Solved round, not on a square grid; the deflections' printed digits allow no more than they do.
    """
    plate = RoundPlate(np.linspace(b, 1.0, 41), 1.0, NU)
    load = plate.load(math.pi * (1 - b**2), (b, 1.0))
    unknowns = np.zeros(load.size)
    unknowns[2:] = factorised(plate.stiffness[2:][:, 2:])(load[2:])
    radial, _ = plate.moments(unknowns, [b])
    assert plate.line.rows(1.0) @ unknowns == pytest.approx(float(K_y), abs=0.5e-4)
    assert -radial == pytest.approx(float(K_M), rel=0.003)


@pytest.mark.parametrize("b", [0.2, 0.5, 0.8])
def test_annulus_against_its_closed_solution(b: float) -> None:
    """Line load all round the free outer edge, inner edge clamped, against the general solution.

    w = A + B r² + C ln r + P r² ln r/(8 π D) (Timoshenko & Woinowsky-Krieger article 17).
    """
    P = 1.0
    plate = RoundPlate(np.linspace(b, 1.0, 25), 1.0, NU)
    load = plate.load(P, 1.0)
    unknowns = np.zeros(load.size)
    unknowns[2:] = factorised(plate.stiffness[2:][:, 2:])(load[2:])

    c = P / (8 * math.pi)
    log = math.log(b)
    system = [
        [1.0, b**2, log],  # w(b) = 0
        [0.0, 2 * b, 1 / b],  # w'(b) = 0
        [0.0, 2 * (1 + NU), NU - 1],  # w'' + ν w' = 0 at r = 1
    ]
    sign = -1.0  # the load is carried inward: shear Q = −P/(2 π r)
    right = -sign * c * np.array([b**2 * log, b * (2 * log + 1), 3 + NU])
    A, B, C = np.linalg.solve(system, right)
    r = np.linspace(b, 1.0, 7)
    exact = A + B * r**2 + C * np.log(r) + sign * c * r**2 * np.log(r)
    assert plate.line.rows(r) @ unknowns == pytest.approx(exact, rel=1e-4, abs=1e-9)


def test_stiff_plate_presses_evenly() -> None:
    bed, load = plate_bed(0.08)
    contact = bed.solve(30e3 * load)
    assert contact.equilibrium.converged
    assert contact.contact_share == pytest.approx(1.0)
    assert contact.crushed_share == 0
    assert contact.pressure == pytest.approx(30e3 / SIDE**2, rel=0.01)


def test_pressure_balances_force_and_moment() -> None:
    at = (0.035, 0.055)
    bed, load = plate_bed(0.004, CrushingBed(2e10, 7.5e6), at)
    contact = bed.solve(15e3 * load)
    assert contact.equilibrium.converged
    assert 0 < contact.contact_share < 1
    assert 0 < contact.crushed_share < contact.contact_share
    force = contact.pressure * contact.area
    assert force.sum() == pytest.approx(15e3, rel=1e-6)
    assert force @ contact.places == pytest.approx(15e3 * np.array(at), rel=1e-6)
    assert np.all((contact.pressure >= 0) & (contact.pressure <= 7.5e6))


def test_bed_that_cannot_pull_gives_a_few_per_cent_more() -> None:
    """Large plate: P l²/8D with a bed that pulls as well (Timoshenko article 57); more without."""
    D, k = 100.0, 1e6
    reach = (D / k) ** 0.25
    half = 8 * reach
    lines = np.concatenate([np.linspace(0, 2.5 * reach, 21), np.linspace(2.5 * reach, half, 15)[1:]])
    plate = Plate(lines, lines, isotropic_rigidities(D * 12 * (1 - NU**2), NU, 1.0))
    bed = PlateBed(plate, CrushingBed(k, math.inf), mirror_x=True, mirror_y=True)
    contact = bed.solve(plate.load(0.25, 0.0, 0.0))
    ratio = float(contact.solution.deflection(0.0, 0.0)[0, 0]) / (reach**2 / (8 * D))
    assert contact.equilibrium.converged
    assert 1.0 < ratio < 1.08


def test_quarter_is_the_whole() -> None:
    whole, load = plate_bed(0.004)
    plate = Plate(*[grid_lines(SIDE / 2, SIDE / 10, (NUT / 2,))] * 2, isotropic_rigidities(E, NU, 0.004))
    quarter = PlateBed(plate, WOOD, mirror_x=True, mirror_y=True)
    part = plate.load(0.25, (0.0, NUT / 2), (0.0, NUT / 2))
    for moment in (F_Y * 0.004**2 / 6, F_Y * 0.004**2 / 4):
        one, other = whole.pull_at_moment(load, moment), quarter.pull_at_moment(part, moment)
        assert other.factor == pytest.approx(one.factor, rel=2e-3)
        assert other.contact.contact_share == pytest.approx(one.contact.contact_share, abs=0.02)


def test_first_yield_is_where_the_moment_says() -> None:
    bed, load = plate_bed(0.004)
    limit = F_Y * 0.004**2 / 6
    found = bed.pull_at_moment(load, limit)
    assert found.governs == "plate"
    assert found.contact.greatest_moment == pytest.approx(limit, rel=1e-4)
    assert bed.solve(1.01 * found.factor * load).greatest_moment > limit


def test_few_cells_across_a_nut_err_on_the_safe_side() -> None:
    """First yield with two and four cells across the nut against twelve."""
    t = 0.004
    factors = []
    for cells in (2, 4, 12):
        through = [SIDE / 2 + share * NUT for share in np.linspace(-0.5, 0.5, cells + 1)]
        lines = grid_lines(SIDE, SIDE / 10, through)
        plate = Plate(lines, lines, isotropic_rigidities(E, NU, t))
        patch = (through[0], through[-1])
        load = plate.load(1.0, patch, patch)
        factors.append(PlateBed(plate, WOOD).pull_at_moment(load, F_Y * t**2 / 6).factor)
    assert 0.9 < factors[0] / factors[2] < 1.0
    assert factors[1] == pytest.approx(factors[2], rel=0.01)


def test_thick_plate_is_governed_by_the_bed() -> None:
    bed, load = plate_bed(0.06)
    found = bed.pull_at_moment(load, F_Y * 0.06**2 / 6)
    assert found.governs == "bed"
    assert found.factor == pytest.approx(0.99 * 7.5e6 * SIDE**2, rel=1e-9)


def test_no_balance_is_reported_not_hidden() -> None:
    bed, load = plate_bed(0.004)
    contact = bed.solve(1.05 * 7.5e6 * SIDE**2 * load)
    assert not contact.equilibrium.converged
    assert contact.equilibrium.residual > 1e-3


def test_holes_give_nothing() -> None:
    plate = plate_bed(0.06)[0].plate
    bed = PlateBed(plate, WOOD, holes=[(0.05, 0.05, 0.03), (0.02, 0.05, 0.02), (0.08, 0.05, 0.02)])
    load = plate.load(1.0, (0.043, 0.057), (0.043, 0.057))
    lost = math.pi * (0.03**2 + 2 * 0.02**2) / 4
    found = bed.pull_at_moment(load, 1e9)
    assert found.factor == pytest.approx(0.99 * 7.5e6 * (SIDE**2 - lost), rel=0.02)


def test_pull_off_the_middle_crushes_the_part_around_it() -> None:
    """A rigid plate pulled at a quarter of its side: even pressure at the full strength on half of it."""
    bed, load = plate_bed(0.06, nut_at=(SIDE / 4, SIDE / 2), cells=12)
    found = bed.pull_at_moment(load, 1e9)
    assert found.governs == "bed"
    assert found.factor == pytest.approx(0.99 * 7.5e6 * SIDE**2 / 2, rel=0.02)


def test_pull_off_the_plate_is_refused() -> None:
    bed, load = plate_bed(0.004)
    away = bed.plate.load(1.0, 0.0, 0.0)
    with pytest.raises(PlateError, match="off the plate"):
        bed.pull_at_moment(away, 1.0)
    with pytest.raises(PlateError, match="does not press"):
        bed.pull_at_moment(-load, 1.0)
    with pytest.raises(PlateError, match="hole"):
        RoundPlate([0.0, 0.01], 1.0, NU)


def test_washer_presses_as_much_as_it_is_pulled() -> None:
    washer = RoundPlate(np.linspace(0.0055, 0.019, 13), E * 0.001**3 / 12 / (1 - NU**2), NU)
    bed = WasherBed(washer, CrushingBed(3e11, 7.5e6))
    contact = bed.solve(washer.load(2e3, 0.0085))
    assert contact.equilibrium.converged
    assert contact.pressure @ contact.area == pytest.approx(2e3, rel=1e-6)
    assert 0 < contact.contact_share < 1


def test_round_plate_agrees_with_a_square_grid() -> None:
    """A disc with a pin hole against squares masked to the disc's outline: 5 % on the sinking of its middle.

    The square plate is a disc's stand-in by area; it bends alike where it is loaded in the middle.
    """
    t, radius = 0.003, 0.03
    side = math.sqrt(math.pi) * radius
    nut = math.sqrt(math.pi) * 0.006
    patch = ((side - nut) / 2, (side + nut) / 2)
    lines = grid_lines(side, side / 14, (*patch, side / 2))
    plate = Plate(lines, lines, isotropic_rigidities(E, NU, t))
    square = PlateBed(plate, WOOD).solve(plate.load(5e3, patch, patch))
    disc = RoundPlate(np.linspace(0.0006, radius, 40), E * t**3 / 12 / (1 - NU**2), NU)
    middle = WasherBed(disc, WOOD).solve(disc.load(5e3, (0.0006, 0.006)))
    assert square.pressure.max() == pytest.approx(middle.pressure.max(), rel=0.05)


thicknesses = st.floats(0.002, 0.01)


@FAST
@given(t=thicknesses, more=st.floats(1.05, 2.5))
def test_thicker_plate_never_yields_earlier(t: float, more: float) -> None:
    pulls = []
    for thickness in (t, more * t):
        bed, load = plate_bed(thickness, cells=6)
        pulls.append(bed.pull_at_moment(load, F_Y * thickness**2 / 6).factor)
    assert pulls[1] >= pulls[0] * (1 - 1e-3)


@FAST
@given(t=thicknesses, more=st.floats(1.05, 2.5))
def test_thicker_washer_never_yields_earlier(t: float, more: float) -> None:
    pulls = []
    for thickness in (t, more * t):
        washer = RoundPlate(np.linspace(0.0055, 0.025, 10), E * thickness**3 / 12 / (1 - NU**2), NU)
        bed = WasherBed(washer, WOOD)
        pulls.append(bed.pull_at_moment(washer.load(1.0, (0.0055, 0.0085)), F_Y * thickness**2 / 6).factor)
    assert pulls[1] >= pulls[0] * (1 - 1e-3)


@FAST
@given(stiffer=st.floats(1.1, 30.0))
def test_stiffer_bed_never_bends_the_plate_earlier(stiffer: float) -> None:
    pulls = []
    for k in (WOOD.stiffness, stiffer * WOOD.stiffness):
        bed, load = plate_bed(0.004, CrushingBed(k, math.inf), cells=6)
        contact = bed.solve(load)
        pulls.append(1 / contact.greatest_moment)
    assert pulls[1] >= pulls[0] * (1 - 1e-6)


@FAST
@given(x=st.floats(0.03, 0.07), y=st.floats(0.03, 0.07), turn=st.booleans())
def test_mirrored_and_turned_pull_gives_the_same_contact(x: float, y: float, turn: bool) -> None:
    other_at = (y, x) if turn else (SIDE - x, y)
    contacts = []
    for at in ((x, y), other_at):
        bed, load = plate_bed(0.004, nut_at=at, cells=6)
        contacts.append(bed.solve(20e3 * load))
    one, other = contacts
    assert other.greatest_moment == pytest.approx(one.greatest_moment, rel=1e-6)
    assert other.contact_share == pytest.approx(one.contact_share, abs=1e-6)


@FAST
@given(scale=st.floats(0.1, 10.0))
def test_scaling_loads_and_strengths_together_changes_nothing(scale: float) -> None:
    """Force, moduli and strengths by one factor: the same deflections, pressures by that factor."""
    plate = plate_bed(0.004)[0].plate
    scaled = Plate(plate.x.knots, plate.y.knots, isotropic_rigidities(scale * E, NU, 0.004))
    one = PlateBed(plate, WOOD).solve(60e3 * plate.load(1.0, 0.05, 0.05))
    bed = CrushingBed(*(scale * value for value in WOOD))
    other = PlateBed(scaled, bed).solve(scale * 60e3 * scaled.load(1.0, 0.05, 0.05))
    assert one.crushed_share > 0
    assert other.pressure == pytest.approx(scale * one.pressure, rel=1e-6, abs=scale)
