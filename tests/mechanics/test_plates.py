"""Straight-sided plates against handbooks, series and statics.

Handbooks: Timoshenko & Woinowsky-Krieger, Theory of Plates and Shells, 2nd ed. 1959 (from memory unless
said); Roark's Formulas for Stress and Strain, 7th ed., table 11.4, case 1 (read). A coefficient printed with
three digits cannot be met closer than its own rounding: where half its last digit is more than 0.3 %, that
half is the tolerance.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from anchorcalc.mechanics.hermite import HermiteLine, PlateError, grid_lines
from anchorcalc.mechanics.plate_body import widths_at
from anchorcalc.mechanics.plates import (
    Plate,
    PlateSolution,
    Rigidities,
    isotropic_rigidities,
    orthotropic_rigidities,
)
from anchorcalc.proof.held import HeldPlate, Spread, Supports, solve_held

UNIT = Rigidities(1.0, 1.0, 0.3, 0.35)  # D = 1 N m, ν = 0.3
SIMPLE = Supports("simple", "simple", "simple", "simple")
CLAMPED = Supports("clamped", "clamped", "clamped", "clamped")
FAST = settings(derandomize=True, deadline=None, max_examples=25)
TABLE = 0.003


def rectangle(aspect: float, cells: int, rigidities: Rigidities = UNIT) -> Plate:
    """One metre along x and ``aspect`` along y, in square cells or nearly so."""
    return Plate(np.linspace(0, 1, cells + 1), grid_lines(aspect, 1 / cells, (aspect / 2,)), rigidities)


def held_and_pressed(plate: Plate, supports: Supports, pressure: float = 1.0) -> HeldPlate:
    x, y = ((float(line.knots[0]), float(line.knots[-1])) for line in (plate.x, plate.y))
    return solve_held(plate, [Spread(pressure * (x[1] - x[0]) * (y[1] - y[0]), x, y)], supports)


def pressed(plate: Plate, supports: Supports, pressure: float = 1.0) -> PlateSolution:
    return held_and_pressed(plate, supports, pressure).solution


def bed(plate: Plate, k: float) -> list[Spread]:
    """A bed that pushes and pulls alike [N/m³], felt at the crossings of the lines."""
    x, y = (list(zip(line.knots, widths_at(line.knots), strict=True)) for line in (plate.x, plate.y))
    return [Spread(k * wide * deep, at_x, at_y) for at_x, wide in x for at_y, deep in y]


def rounding(printed: str) -> float:
    """Half the last digit of a printed coefficient."""
    return 0.5 * 10.0 ** -len(printed.split(".")[1])


def middle(values: np.ndarray) -> float:
    return float(values[0, 0])


@pytest.mark.parametrize(
    ("aspect", "deflection", "M_x", "M_y"),
    [
        (1.0, "0.00406", "0.0479", "0.0479"),
        (1.2, "0.00564", "0.0627", "0.0501"),
        (1.5, "0.00772", "0.0812", "0.0498"),
        (2.0, "0.01013", "0.1017", "0.0464"),
        (3.0, "0.01223", "0.1189", "0.0406"),
    ],
)
def test_uniform_pressure_on_simple_edges(aspect: float, deflection: str, M_x: str, M_y: str) -> None:
    """Timoshenko table 8, ν 0.3, from memory."""
    solved = pressed(rectangle(aspect, 24), SIMPLE)
    moments = solved.moments(0.5, aspect / 2)
    for value, printed in (
        (solved.deflection(0.5, aspect / 2), deflection),
        (moments.M_x, M_x),
        (moments.M_y, M_y),
    ):
        assert middle(value) == pytest.approx(float(printed), rel=TABLE, abs=rounding(printed))


@pytest.mark.parametrize(("aspect", "beta", "alpha"), [
    (1.0, "0.2874", "0.0444"), (1.2, "0.3762", "0.0616"), (1.4, "0.4530", "0.0770"),
    (1.6, "0.5172", "0.0906"), (1.8, "0.5688", "0.1017"), (2.0, "0.6102", "0.1110"),
    (3.0, "0.7134", "0.1335"),
])  # fmt: skip
def test_roark_uniform_pressure_on_simple_edges(aspect: float, beta: str, alpha: str) -> None:
    """Roark table 11.4, case 1a, read: σ = β q b²/t², y = α q b⁴/(E t³).

    Its deflections at the aspects 1.4 and 2 lie 0.47 and 0.36 % off the series they stem from (next test).
    """
    solved = pressed(rectangle(aspect, 24), SIMPLE)
    assert 6 * middle(solved.moments(0.5, aspect / 2).M_x) == pytest.approx(float(beta), rel=TABLE)
    per_D = 12 * (1 - 0.3**2)
    assert per_D * middle(solved.deflection(0.5, aspect / 2)) == pytest.approx(
        float(alpha), rel=0.005 if aspect in (1.4, 2.0) else TABLE
    )


@pytest.mark.parametrize("aspect", [1.0, 1.2, 1.4, 1.6, 1.8, 2.0, 3.0])
def test_uniform_pressure_against_the_double_sine_series(aspect: float) -> None:
    """Navier's series, Timoshenko article 30."""
    m, n = np.meshgrid(np.arange(1, 400, 2), np.arange(1, 400, 2), indexing="ij")
    terms = 16 / math.pi**6 * (-1.0) ** ((m + n) / 2 - 1) / (m * n * (m**2 + n**2 / aspect**2) ** 2.0)
    solved = pressed(rectangle(aspect, 12), SIMPLE)
    assert middle(solved.deflection(0.5, aspect / 2)) == pytest.approx(terms.sum(), rel=1e-4)
    M_x = (math.pi**2 * terms * (m**2 + 0.3 * n**2 / aspect**2)).sum()
    assert middle(solved.moments(0.5, aspect / 2).M_x) == pytest.approx(M_x, rel=1e-3)


@pytest.mark.parametrize(("aspect", "alpha"), [
    (1.0, "0.1267"), (1.2, "0.1478"), (1.4, "0.1621"), (1.6, "0.1715"), (1.8, "0.1770"), (2.0, "0.1805"),
])  # fmt: skip
def test_roark_point_load_on_simple_edges(aspect: float, alpha: str) -> None:
    """Roark table 11.4, case 1b, read: y = α W b²/(E t³)."""
    plate = rectangle(aspect, 32)
    solved = solve_held(plate, [Spread(1.0, 0.5, aspect / 2)], SIMPLE).solution
    per_D = 12 * (1 - 0.3**2)
    assert per_D * middle(solved.deflection(0.5, aspect / 2)) == pytest.approx(float(alpha), rel=TABLE)


@pytest.mark.parametrize(
    ("aspect", "exact"), [(1.0, 0.0116008), (1.2, 0.013556), (2.0, 0.016524)], ids=["square", "1.2", "2"]
)
def test_point_load_on_simple_edges(aspect: float, exact: float) -> None:
    """Timoshenko table 23 prints 0.01160, 0.01353, 0.01651; here the sums of its series (eq. 133)."""
    m, n = np.meshgrid(np.arange(1, 1000, 2), np.arange(1, 1000, 2), indexing="ij")
    series = 4 / (math.pi**4 * aspect) * (1 / (m**2 + n**2 / aspect**2) ** 2.0).sum()
    assert series == pytest.approx(exact, rel=1e-4)
    plate = rectangle(aspect, 32)
    solved = solve_held(plate, [Spread(1.0, 0.5, aspect / 2)], SIMPLE).solution
    assert middle(solved.deflection(0.5, aspect / 2)) == pytest.approx(exact, rel=TABLE)


@pytest.mark.parametrize(("aspect", "deflection", "long_edge", "short_edge", "M_x", "M_y"), [
    (1.0, "0.00126", "-0.0513", "-0.0513", "0.0231", "0.0231"),
    (1.5, "0.00220", "-0.0757", "-0.0570", "0.0368", "0.0203"),
    (2.0, "0.00254", "-0.0829", "-0.0571", "0.0412", "0.0158"),
])  # fmt: skip
def test_uniform_pressure_on_clamped_edges(
    aspect: float, deflection: str, long_edge: str, short_edge: str, M_x: str, M_y: str
) -> None:
    """Timoshenko table 35, ν 0.3, from memory.

    Its deflections are cut, not rounded (one last digit); its 0.0231 in the middle of the square is 0.9 %
    above the exact 0.02291 (see the next test).
    """
    solved = pressed(rectangle(aspect, 32), CLAMPED)
    half = aspect / 2
    assert middle(solved.deflection(0.5, half)) == pytest.approx(float(deflection), abs=2 * rounding(deflection))
    for value, printed in (
        (solved.moments(0.0, half).M_x, long_edge),
        (solved.moments(0.5, 0.0).M_y, short_edge),
    ):
        assert middle(value) == pytest.approx(float(printed), rel=TABLE, abs=rounding(printed))
    inside = 0.01 if aspect == 1.0 else TABLE
    for value, printed in ((solved.moments(0.5, half).M_x, M_x), (solved.moments(0.5, half).M_y, M_y)):
        assert middle(value) == pytest.approx(float(printed), rel=inside, abs=rounding(printed))


def test_clamped_square_to_more_digits() -> None:
    """Taylor & Govindjee, Solution of clamped rectangular plate problems, 2004, ν 0.3, from memory."""
    solved = pressed(rectangle(1.0, 32), CLAMPED)
    assert middle(solved.deflection(0.5, 0.5)) == pytest.approx(0.00126532, rel=1e-5)
    assert middle(solved.moments(0.5, 0.5).M_x) == pytest.approx(0.0229051, rel=1e-4)
    assert middle(solved.moments(0.0, 0.5).M_x) == pytest.approx(-0.0513338, rel=1e-3)


def test_point_load_on_clamped_edges() -> None:
    """Timoshenko table 37, square: 0.00560 P a²/D, edge −0.1257 P, from memory."""
    plate = rectangle(1.0, 32)
    solved = solve_held(plate, [Spread(1.0, 0.5, 0.5)], CLAMPED).solution
    assert middle(solved.deflection(0.5, 0.5)) == pytest.approx(0.00560, rel=TABLE)
    assert middle(solved.moments(0.0, 0.5).M_x) == pytest.approx(-0.1257, rel=TABLE)


def test_a_line_support_makes_two_spans_of_a_plate() -> None:
    """Timoshenko table 32, one edge built in: w 0.0028 q a⁴/D, edge moment −0.084 q a², from memory.

    Two equal spans under one pressure stay level over the line between them, as if built in there.
    """
    plate = Plate(np.linspace(0, 2, 33), np.linspace(0, 1, 17), UNIT)
    held = Supports("simple", "simple", "simple", "simple", lines_x=(1.0,))
    solved = pressed(plate, held)
    assert middle(solved.deflection(0.5, 0.5)) == pytest.approx(0.0028, abs=rounding("0.0028"))
    assert middle(solved.moments(1.0, 0.5).M_x) == pytest.approx(-0.084, abs=rounding("0.084"))


def test_corner_of_a_simply_supported_plate_is_held_down() -> None:
    """Timoshenko table 8: R = 0.065 q a² at each corner, from memory."""
    found = held_and_pressed(rectangle(1.0, 48), SIMPLE)
    corner = found.reactions[(found.held == 0).all(axis=1)].item()
    assert corner == pytest.approx(0.065, rel=0.02)  # nodal share of the edge force beside it included
    assert found.reactions[(found.held % 2 == 0).all(axis=1)].sum() == pytest.approx(-1.0, rel=1e-9)


def test_orthotropic_plate_against_its_series() -> None:
    """Timoshenko section 85, double sine series of a simply supported orthotropic plate."""
    stiff = Rigidities(3000.0, 900.0, 60.0, 250.0)
    a, b = 0.8, 0.5
    plate = Plate(np.linspace(0, a, 25), np.linspace(0, b, 25), stiff)
    solved = pressed(plate, SIMPLE, pressure=1000.0)
    m, n = np.meshgrid(np.arange(1, 120, 2), np.arange(1, 120, 2), indexing="ij")
    H = stiff.D_1 + 2 * stiff.D_xy
    bent = stiff.D_x * m**4 / a**4 + 2 * H * m**2 * n**2 / (a * b) ** 2 + stiff.D_y * n**4 / b**4
    amplitude = 16 * 1000.0 / math.pi**6 / (m * n * bent)
    sign = np.sin(m * math.pi / 2) * np.sin(n * math.pi / 2)
    assert middle(solved.deflection(a / 2, b / 2)) == pytest.approx((amplitude * sign).sum(), rel=1e-4)
    M_x = math.pi**2 * amplitude * sign * (stiff.D_x * m**2 / a**2 + stiff.D_1 * n**2 / b**2)
    assert middle(solved.moments(a / 2, b / 2).M_x) == pytest.approx(M_x.sum(), rel=1e-3)


def test_order_of_convergence() -> None:
    """Cubic functions under a fourth-order operator: values at nodes to the fourth order of the width.

    Exact coefficients by the series of Timoshenko article 30: 0.00406235 and 0.0478864.
    """
    m, n = np.meshgrid(np.arange(1, 1000, 2), np.arange(1, 1000, 2), indexing="ij")
    terms = 16 / math.pi**6 * (-1.0) ** ((m + n) / 2 - 1) / (m * n * (m**2.0 + n**2.0) ** 2)
    exact_w = terms.sum()
    exact_M = (math.pi**2 * terms * (m**2 + 0.3 * n**2)).sum()
    errors = []
    for cells in (4, 8, 16):
        solved = pressed(rectangle(1.0, cells), SIMPLE)
        errors.append((middle(solved.deflection(0.5, 0.5)) - exact_w, middle(solved.moments(0.5, 0.5).M_x) - exact_M))
    orders = np.log2(np.abs(np.array(errors[:-1]) / np.array(errors[1:])))
    assert np.all(orders[:, 0] > 3.8)
    assert np.all(orders[:, 1] > 3.5)


def strip() -> Plate:
    """A strip 2 m long without sideways coupling: a beam of EI 500 N m per metre of width."""
    return Plate(np.linspace(0, 2, 17), np.linspace(0, 0.25, 3), Rigidities(500.0, 500.0, 0.0, 250.0))


def test_strip_is_a_beam() -> None:
    """5 q L⁴/384 EI, q L²/8 and q L/2 of elementary beam theory."""
    q, L = 100.0, 2.0
    solved = pressed(strip(), Supports("simple", "simple"), q)
    assert solved.deflection(1.0, [0.0, 0.1]) == pytest.approx(5 * q * L**4 / 384 / 500, rel=1e-9)
    assert solved.moments(1.0, 0.1).M_x == pytest.approx(q * L**2 / 8, rel=1e-9)
    assert solved.mean_shears(0.0625, (0.0, 0.25))[0] == pytest.approx(q * (L / 2 - 0.0625), rel=1e-9)


def test_mean_moment_over_a_section_balances_statics() -> None:
    """Moment across the whole middle of a plate between two simple edges is P L/4 wherever P lies across."""
    plate = Plate(grid_lines(1.2, 0.1), grid_lines(0.8, 0.1), Rigidities(900.0, 300.0, 30.0, 150.0))
    solved = solve_held(plate, [Spread(700.0, 0.6, (0.1, 0.15))], Supports("simple", "simple")).solution
    at, lengths = plate.y.samples((0.0, 0.8))
    assert solved.moments(0.6, at).M_x[0] @ lengths == pytest.approx(700.0 * 1.2 / 4, rel=0.01)


def test_springs_of_every_kind_carry_what_they_should() -> None:
    """A stiff plate on a bed, a line or four points of springs sinks by load over stiffness."""
    plate = Plate(np.linspace(0, 0.2, 5), np.linspace(0, 0.1, 4), isotropic_rigidities(210e9, 0.3, 0.05))
    load = Spread(1000.0, 0.1, 0.05)
    lines = [Spread(5e3, x, y) for x in (0.0, 0.2) for y in ((0.0, 0.05), (0.05, 0.1))]
    points = [Spread(1e4, x, y) for x in (0.0, 0.2) for y in (0.0, 0.1)]
    for springs, total in ((bed(plate, 1e6), 1e6 * 0.02), (lines, 2e4), (points, 4e4)):
        solved = solve_held(plate, [load], Supports(), springs).solution
        assert solved.deflection(0.1, 0.05) == pytest.approx(1000.0 / total, rel=1e-3)


def test_infinite_plate_on_an_elastic_bed() -> None:
    """Timoshenko article 57: w₀ = P l²/8D, w(l) 0.07878, w(2l) 0.03221 P l²/D, from memory."""
    D, k = 2.0, 50.0
    reach = (D / k) ** 0.25
    half = 8 * reach
    lines = np.concatenate([np.linspace(0, 2.5 * reach, 26), np.linspace(2.5 * reach, half, 19)[1:]])
    plate = Plate(lines, lines, Rigidities(D, D, 0.3 * D, 0.35 * D))
    quarter = Supports(x_start="mirror", y_start="mirror")
    solved = solve_held(plate, [Spread(0.25, 0.0, 0.0)], quarter, bed(plate, k)).solution
    w = solved.deflection([0.0, reach, 2 * reach], 0.0)[:, 0] * D / reach**2
    assert w == pytest.approx([0.125, 0.07878, 0.03221], rel=TABLE)


@pytest.mark.parametrize(("side", "w"), [(1.0, 1.0063), (2.0, 0.2748)])
def test_free_square_plate_on_an_elastic_bed(side: float, w: float) -> None:
    """Patch of a tenth of the side in the middle, s/l 1 and 2; computed by a Ritz series beforehand."""
    lines = grid_lines(side, side / 20, (0.45 * side, 0.5 * side, 0.55 * side))
    plate = Plate(lines, lines, UNIT)
    patch = (0.45 * side, 0.55 * side)
    solved = solve_held(plate, [Spread(1.0, patch, patch)], Supports(), bed(plate, 1.0)).solution
    assert solved.deflection(side / 2, side / 2) == pytest.approx(w, rel=TABLE)


def test_rigidities() -> None:
    """D = E t³/12(1 − ν²): 6 mm steel 4.154 kN m (computed by hand); isotropic layers as orthotropic ones."""
    steel = isotropic_rigidities(210e9, 0.3, 0.006)
    assert steel == pytest.approx((4153.85, 4153.85, 1246.15, 1453.85), rel=1e-5)
    EI, G = 210e9 * 0.006**3 / 12, 210e9 / 2.6
    assert orthotropic_rigidities(EI, EI, G, 0.006, 0.3) == pytest.approx(steel, rel=1e-12)
    two = orthotropic_rigidities([EI, EI], [EI, EI], [G, G], [0.006, 0.006], 0.3)
    assert two == pytest.approx([2 * value for value in steel], rel=1e-12)


def test_grid_lines_pass_through_what_they_must() -> None:
    lines = grid_lines(1.0, 0.11, (0.2, 0.55, 0.55, 1.0))
    assert {0.0, 0.2, 0.55, 1.0} <= set(lines)
    assert np.diff(lines).max() <= 0.11 + 1e-12
    with pytest.raises(PlateError, match="does not lie on a side"):
        grid_lines(1.0, 0.1, (1.2,))


@pytest.mark.parametrize("supports", [
    Supports(), Supports("simple"), Supports("mirror", "mirror"),
])  # fmt: skip
def test_a_plate_free_to_move_is_refused(supports: Supports) -> None:
    with pytest.raises(PlateError, match="not held"):
        pressed(rectangle(1.0, 8), supports)


def test_places_off_the_plate_or_off_the_lines_are_refused() -> None:
    plate = rectangle(1.0, 4)
    with pytest.raises(PlateError, match="not on a plate"):
        solve_held(plate, [Spread(1.0, 1.5, 0.5)], SIMPLE)
    with pytest.raises(PlateError, match="no grid line"):
        pressed(plate, Supports("simple", lines_x=(0.3,)))
    with pytest.raises(PlateError, match="rise"):
        HermiteLine([0.0, 1.0, 1.0])
    with pytest.raises(PlateError, match="length"):
        solve_held(plate, [Spread(1.0, (0.5, 0.5), 0.5)], SIMPLE)


places = st.floats(0.1, 0.9)
thicknesses = st.floats(0.002, 0.02)


@FAST
@given(t=thicknesses, more=st.floats(1.01, 3.0), x=places, y=places)
def test_thicker_never_deflects_more(t: float, more: float, x: float, y: float) -> None:
    def deflection(thickness: float) -> np.ndarray:
        plate = rectangle(1.3, 6, isotropic_rigidities(210e9, 0.3, thickness))
        return solve_held(plate, [Spread(1000.0, x, y)], SIMPLE).solution.deflection(x, y)

    assert deflection(more * t) < deflection(t)


@FAST
@given(x=places, y=places, scale=st.floats(0.01, 100.0))
def test_deflection_is_proportional_and_reciprocal(x: float, y: float, scale: float) -> None:
    """Maxwell and Betti: what P at A moves at B, P at B moves at A."""
    plate = rectangle(1.0, 6)
    there = solve_held(plate, [Spread(1.0, x, y)], CLAMPED).solution.deflection(0.4, 0.3)
    back = solve_held(plate, [Spread(scale, 0.4, 0.3)], CLAMPED).solution.deflection(x, y)
    assert back == pytest.approx(scale * there, rel=1e-8, abs=1e-12 * scale)


@FAST
@given(x=places, y=places)
def test_mirrored_load_gives_the_mirrored_plate(x: float, y: float) -> None:
    plate = Plate([0, 0.2, 0.35, 0.65, 0.8, 1], np.linspace(0, 1, 6), UNIT)
    one = solve_held(plate, [Spread(1.0, x, y)], SIMPLE).solution
    other = solve_held(plate, [Spread(1.0, 1 - x, y)], SIMPLE).solution
    at = plate.x.knots
    assert one.deflection(at, at) == pytest.approx(other.deflection(1 - at, at), rel=1e-8, abs=1e-12)
    assert one.moments(at, at).M_x == pytest.approx(other.moments(1 - at, at).M_x, rel=1e-7, abs=1e-9)
    assert one.moments(at, at).M_xy == pytest.approx(-other.moments(1 - at, at).M_xy, rel=1e-7, abs=1e-9)
