"""Bases that bend: against an independent beam, Hetényi's formulas, rigid statics and equilibrium."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from anchorcalc.mechanics.base import (
    Base,
    BasePlate,
    BaseResponse,
    Fasteners,
    Opening,
    _grid,
    _lines,
    _pads,
    _widest,
)
from anchorcalc.mechanics.hermite import PlateError
from anchorcalc.mechanics.plate_body import Patch
from anchorcalc.mechanics.statics import balance as rigid_balance

FloatArray = NDArray[np.float64]
IN, LBF = 0.0254, 4.4482216152605
STEEL, BED = 200e9, 1.6e10
LONG, WIDE, EI = 38 * IN, 5 * IN, 12083 * LBF * IN**2  # 38 in strip, 12 083 lb in²
SCREWS = np.linspace(-18 * IN, 18 * IN, 12)


def foot(x: float, y: float = 0.0, side: float = 2 * IN) -> Patch:
    return Patch((x - side / 2, x + side / 2), (y - side / 2, y + side / 2))


def strip(k: float, *feet: Patch, bed: float = BED, fineness: float = 1.0) -> Base:
    t = (12 * EI / STEEL / WIDE) ** (1 / 3)
    plate = BasePlate((-LONG / 2, LONG / 2), (-WIDE / 2, WIDE / 2), t, STEEL, 0.0)
    return Base(plate, Fasteners([(x, 0.0) for x in SCREWS], k, 0.4 * IN), bed, feet, fineness=fineness)


def beam_on_springs(load: FloatArray, k: float, bed: float) -> FloatArray:
    """Pulls of the strip's screws by two-node beam elements, what holds found by solving anew at every step.

    ``load`` (nodes,) on nodes 1/8 in apart; the wood pushes under every node.
    """
    nodes = np.linspace(-LONG / 2, LONG / 2, load.size)
    h = nodes[1] - nodes[0]
    element = EI / h**3 * np.array(
        [[12, 6 * h, -12, 6 * h], [6 * h, 4 * h * h, -6 * h, 2 * h * h],
         [-12, -6 * h, 12, -6 * h], [6 * h, 2 * h * h, -6 * h, 4 * h * h]]
    )  # fmt: skip
    stiffness = np.zeros((2 * load.size, 2 * load.size))
    for i in range(load.size - 1):
        stiffness[2 * i : 2 * i + 4, 2 * i : 2 * i + 4] += element
    screws = np.array([int(np.argmin(np.abs(nodes - x))) for x in SCREWS])
    right = np.zeros(2 * load.size)
    right[::2] = load
    w = np.ones(load.size)  # to begin with every screw holds and no wood pushes
    for _ in range(200):
        matrix = stiffness.copy()
        wood = np.where(w < 0, bed * WIDE * h, 1e-3)
        matrix[np.arange(0, 2 * load.size, 2), np.arange(0, 2 * load.size, 2)] += wood
        matrix[2 * screws, 2 * screws] += np.where(w[screws] > 0, k, 0.0)
        now = np.linalg.solve(matrix, right)[::2]
        if np.array_equal(now < 0, w < 0):
            return np.maximum(k * now[screws], 0.0)
        w = now
    raise AssertionError("the beam did not settle")


def on_nodes(middle: float, long: float) -> FloatArray:
    """One newton evenly over a stretch, on nodes 1/8 in apart."""
    nodes = np.linspace(-LONG / 2, LONG / 2, 305)
    inside = np.abs(nodes - middle) < long / 2 - 1e-9
    return inside / inside.sum()


@pytest.mark.parametrize("k", [5e3, 20e3], ids=lambda k: f"{k:g} lb/in")
@pytest.mark.parametrize("over_a_screw", [False, True])
def test_strip_of_twelve_screws_against_a_beam(k: float, over_a_screw: bool) -> None:
    """Computed independently: two middle screws 48 to 56 % each; over a screw that one takes most."""
    middle = float(SCREWS[6]) if over_a_screw else 0.0
    per_metre = k * LBF / IN
    ours = strip(per_metre, foot(middle)).under([[0.0, 0.0, 1.0]], 0.0)
    theirs = beam_on_springs(on_nodes(middle, 2 * IN), per_metre, BED)
    assert ours.tensions.max() == pytest.approx(theirs.max(), rel=0.05)
    assert ours.tensions == pytest.approx(theirs, abs=0.03)
    if over_a_screw:
        assert 0.6 < ours.tensions[6] < 0.72 * 1.15
    else:
        assert ours.tensions[5] == pytest.approx(ours.tensions[6], rel=1e-6)
        assert 0.48 * 0.95 < ours.tensions[5] < 0.56


def test_long_strip_on_close_springs_is_hetenyis_beam() -> None:
    """Endless beam on an elastic foundation [Hetényi 1946, from memory]: w_0 = P λ/2k, M_0 = P/4λ, λ⁴ = k/4 E I.

    Springs of 20 kN/m every 20 mm are k = 1 MN/m²; the strip's E I is 100 N m²: λ = 7.071/m, so that one newton
    raises the middle by 3.536e-6 m and the spring there holds 0.0707 N; M_0 = 0.03536 N m less what the foot's
    length of 20 mm takes off, P c/8 = 0.0025. The wood is as stiff as the springs, so that together they hold both
    ways, as the foundation of the formulas does.
    """
    long, wide, spacing = 1.2, 0.05, 0.02
    t = (12 * 100.0 / STEEL / wide) ** (1 / 3)
    plate = BasePlate((-long / 2, long / 2), (-wide / 2, wide / 2), t, STEEL, 0.0)
    places = [(x, 0.0) for x in np.arange(-29, 30) * spacing]
    response = Base(
        plate, Fasteners(places, 20e3, 0.005), 20e3 / spacing / wide, [Patch((-0.01, 0.01), (-0.025, 0.025))]
    ).under([[0.0, 0.0, 1.0]], 0.0)
    assert response.tensions[29] == pytest.approx(0.0707, rel=0.03)
    assert response.hinge_moments[0] * wide == pytest.approx(0.03536 - 0.0025, rel=0.03)


FOUR = np.array([(x, y) for x in (-1.5 * IN, 1.5 * IN) for y in (-1.5 * IN, 1.5 * IN)])
EDGES = np.array([(x, y) for x in np.linspace(-2, 2, 9) for y in np.linspace(-2, 2, 9)]) * IN


def thick(t: float = 0.2, bed: float = 1e14, stiffness: float = 1e6) -> Base:
    square = (-2 * IN, 2 * IN)
    plate = BasePlate(square, square, t, STEEL, 0.3)
    return Base(plate, Fasteners(FOUR, stiffness, 0.3 * IN), bed, [foot(0.0)])


def rigid_shares(way: FloatArray, height: float) -> FloatArray:
    """Tensions of fasteners like springs that only pull, under a base that never bends and presses at its edges."""
    pulling, pressing = (np.stack([np.ones(len(at)), at[:, 1], -at[:, 0]]) for at in (FOUR, EDGES))
    asked = np.array([[way[2], -height * way[1], height * way[0]]])
    found = rigid_balance(-pulling, pressing, asked, np.ones(len(FOUR)), np.zeros(len(FOUR)), 1.0)
    assert found.held.all()
    return found.pulls[0]


@pytest.mark.parametrize("direction", [(0, 0, 1), (0.87, 0, 0.5), (0.5, 0.6, 0.6), (-0.95, 0.1, 0.3), (0.98, 0.0, 0.2)])
@pytest.mark.parametrize("height", [0.0, 1.0 * IN, 3.0 * IN])
def test_a_thick_base_on_hard_wood_is_rigid(direction: tuple[float, float, float], height: float) -> None:
    way = np.array(direction) / np.linalg.norm(direction)
    ours = thick().under([way], height)
    rigid = rigid_shares(way, height)
    assert ours.tensions == pytest.approx(rigid, abs=2e-3 * rigid.max())


def test_by_hand_two_bolts_and_a_toe() -> None:
    """Pull of 1 000 N along x, 50 mm up; bolts 100 mm behind the toe, foot anywhere: 1 000·50/100 = 500 N in all."""
    plate = BasePlate((-0.05, 0.05), (-0.05, 0.05), 0.2, STEEL, 0.3)
    bolts = Fasteners([(-0.05, -0.03), (-0.05, 0.03)], 1e6, 0.005)
    response = Base(plate, bolts, 1e14, [Patch((-0.02, 0.02), (-0.02, 0.02))]).under([[1000.0, 0.0, 0.0]], 0.05)
    assert response.tensions == pytest.approx([250.0, 250.0], rel=0.03)
    assert response.presses.sum() == pytest.approx(500.0, rel=0.03)
    assert response.presses @ response.pressed[:, 0] / response.presses.sum() == pytest.approx(0.05, rel=0.03)


def balance(response: BaseResponse, places: FloatArray) -> FloatArray:
    """Force up and moments that fasteners, wood and pads give."""
    x, y = places.T
    T, p, at = response.tensions, response.presses, response.pressed
    return np.array([p.sum() - T.sum(), p @ at[:, 0] - T @ x, p @ at[:, 1] - T @ y])


@pytest.mark.parametrize("t", [0.003, 0.02])
def test_forces_and_moments_balance(t: float) -> None:
    """Two rings on one base; a pull F_x at h has the moment −F_x h about the y axis in our counting."""
    square = (-3 * IN, 3 * IN)
    places = np.array([(x, y) for x in (-0.06, 0.0, 0.06) for y in (-0.06, 0.05)])
    feet = [foot(-0.03, 0.01, 0.04), foot(0.04, 0.0, 0.04)]
    base = Base(BasePlate(square, square, t, STEEL, 0.3), Fasteners(places, 2e6, 0.01), BED, feet)
    pulls, heights = np.array([[300.0, -100.0, 500.0], [-200.0, 50.0, 800.0]]), np.array([0.03, 0.02])
    response = base.under(pulls, heights)
    middles = np.array([(-0.03, 0.01), (0.04, 0.0)])
    applied = [
        pulls[:, 2].sum(),
        pulls[:, 2] @ middles[:, 0] - pulls[:, 0] @ heights,
        pulls[:, 2] @ middles[:, 1] - pulls[:, 1] @ heights,
    ]
    assert balance(response, places) + applied == pytest.approx(np.zeros(3), abs=1e-9 * 1300)
    pads = np.array([(sum(pad.x) / 2, sum(pad.y) / 2) for pad in base.pads])
    wood = [response.presses.sum(), *(response.presses @ response.pressed)]
    assert [response.pad_forces.sum(), *(response.pad_forces @ pads)] == pytest.approx(wood, rel=1e-9, abs=1e-9)
    assert np.all(response.tensions >= 0)
    assert np.all(response.presses >= -1e-12)


def test_several_rings_share_a_strip() -> None:
    """Rings far apart do not see each other; near ones add up."""
    far = strip(2e6, foot(SCREWS[1]), foot(SCREWS[10]))
    both, one = far.under([[0, 0, 1.0], [0, 0, 1.0]], 0.0), far.under([[0, 0, 1.0], [0, 0, 0.0]], 0.0)
    assert both.tensions[:4] == pytest.approx(one.tensions[:4], abs=0.01)
    assert both.tensions == pytest.approx(both.tensions[::-1], abs=1e-6)
    near = strip(2e6, foot(SCREWS[5]), foot(SCREWS[6]))
    assert near.under([[0, 0, 1.0], [0, 0, 1.0]], 0.0).tensions.max() > both.tensions.max()


def test_simple_bending_of_a_base_by_hand() -> None:
    """Plate 0.2 m long held by two rows of bolts 0.16 m apart, pulled in its middle right across: P L/4 − P c/8.

    1 000 N: 40 − 1000·0.02/8 = 37.5 N m over 0.05 m width, 750 N m/m.
    """
    plate = BasePlate((-0.1, 0.1), (-0.025, 0.025), 0.01, STEEL, 0.0)
    bolts = Fasteners([(x, y) for x in (-0.08, 0.08) for y in (-0.02, 0.02)], 1e6, 0.004)
    response = Base(plate, bolts, 1e6, [Patch((-0.01, 0.01), (-0.025, 0.025))]).under([[0.0, 0.0, 1000.0]], 0.0)
    assert response.hinge_moments[0] == pytest.approx(750.0, rel=0.02)
    assert response.moments[0] == pytest.approx(750.0, rel=0.05)
    assert response.greatest_moment >= response.moments[0]


def test_halving_the_cells() -> None:
    """With the ring over a screw, where the cells are strained most."""
    coarse, fine = (strip(20e3 * LBF / IN, foot(SCREWS[6]), fineness=f) for f in (1.0, 2.0))
    one, two = (base.under([[0.5, 0.2, 1.0]], 1.5 * IN) for base in (coarse, fine))
    assert one.tensions == pytest.approx(two.tensions, abs=0.02 * two.tensions.max())
    assert one.greatest_moment == pytest.approx(two.greatest_moment, rel=0.06)
    assert one.hinge_moments[0] == pytest.approx(two.hinge_moments[0], rel=0.06)


def test_cells_are_as_they_are_where_nothing_is_said_of_them() -> None:
    plate = BasePlate((-2 * IN, 2 * IN), (-2 * IN, 2 * IN), 0.01, STEEL, 0.3)
    given = plate, Fasteners(FOUR, 1e6, 0.3 * IN), BED, [foot(0.0)]
    said, unsaid = (each.under([[0.0, 0.0, 1.0]], 0.0) for each in (Base(*given, fineness=1.0), Base(*given)))
    assert np.array_equal(said.pressed, unsaid.pressed)
    assert np.array_equal(said.solution.plate.x.knots, unsaid.solution.plate.x.knots)


def test_what_cannot_be_held_is_refused() -> None:
    base = thick()
    with pytest.raises(PlateError, match="finite pulls"):
        base.under([[0.0, 0.0, 1.0], [0.0, 0.0, 1.0]], 0.0)
    square = BasePlate((-0.05, 0.05), (-0.05, 0.05), 0.005, STEEL, 0.3)
    with pytest.raises(PlateError, match="does not lie on its base"):
        Base(square, Fasteners([(0.0, 0.0)], 1e6, 0.01), BED, [foot(0.04)])
    with pytest.raises(PlateError, match="misses its base"):
        Base(square, Fasteners([(0.06, 0.0)], 1e6, 0.01), BED, [foot(0.0)])
    with pytest.raises(PlateError, match="foot"):
        Base(square, Fasteners([(0.0, 0.0)], 1e6, 0.01), BED, [])


# --- where it is cut into cells, and where wood is felt ----------------------------------------------------------

STRIP = BasePlate((-0.5, 0.5), (-0.05, 0.05), 0.01, STEEL, 0.3)


def test_cells_are_a_quarter_of_the_narrow_side_or_a_24th_of_the_long_one() -> None:
    assert (_widest(STRIP, STRIP.x), _widest(STRIP, STRIP.y)) == pytest.approx((1 / 24, 0.025))
    square = BasePlate((0.0, 0.2), (0.0, 0.2), 0.01, STEEL, 0.3)
    assert _widest(square, square.x) == pytest.approx(0.05)


def test_wood_is_felt_at_edges_and_middles_of_feet_and_at_fasteners() -> None:
    def lines(*places: float, fineness: float = 1.0) -> list[float]:
        return _lines((-0.1, 0.1), 0.05, [(-0.02, 0.02)], np.array(places), fineness).tolist()

    assert lines(0.07) == pytest.approx([-0.1, -0.06, -0.02, 0.0, 0.02, 0.07, 0.1])
    assert lines(0.07, fineness=2.0) == pytest.approx(
        [-0.1, -0.08, -0.06, -0.04, -0.02, 0.0, 0.02, 0.045, 0.07, 0.085, 0.1], abs=0.004
    )
    # None nearer than a quarter of a cell, 0.0125, to another.
    assert lines(0.032) == pytest.approx([-0.1, -0.06, -0.02, 0.0, 0.02, 0.06, 0.1])
    assert 0.033 in np.round(lines(0.033), 9)


def test_the_steel_is_fine_at_heads_near_a_foot() -> None:
    """Nearer than half of the narrow side, 0.05: gaps of 0.045 and, along and across together, 0.044 + 0.01."""
    foot_ = Patch((-0.02, 0.02), (-0.02, 0.02))
    near, far, askew = (
        Patch((x - 0.005, x + 0.005), (y, y + 0.01)) for x, y in ((0.07, 0.0), (-0.08, 0.0), (0.069, 0.03))
    )
    for head, fine in ((near, True), (far, False), (askew, False)):
        x = _grid(STRIP, [foot_], [head], 1.0).x.knots
        assert {edge for edge in head.x if np.abs(x - edge).min() < 1e-9} == (set(head.x) if fine else set())


def test_pads_stand_in_rows_no_more_than_40_mm_apart() -> None:
    """Two at least and nine at most in a row; what lies between two goes to both by its distance."""
    pads, shares = _pads(BasePlate((0.0, 0.2), (0.0, 0.02), 0.01, STEEL, 0.3), np.array([[0.05, 0.0], [0.2, 0.005]]))
    middles = np.array([(sum(pad.x) / 2, sum(pad.y) / 2) for pad in pads])
    assert middles == pytest.approx(np.array([(x, y) for x in np.linspace(0, 0.2, 6) for y in (0.0, 0.02)]))
    assert [pad.x[1] - pad.x[0] for pad in pads] == pytest.approx([0.002] * 12)
    assert [pad.y[1] - pad.y[0] for pad in pads] == pytest.approx([0.002] * 12)
    assert not any(pad.examined for pad in pads)
    wanted = np.zeros((12, 2))
    wanted[[2, 4], 0] = 0.75, 0.25
    wanted[[10, 11], 1] = 0.75, 0.25
    assert shares == pytest.approx(wanted)
    assert len(_pads(STRIP, np.zeros((1, 2)))[0]) == 9 * 4


@pytest.mark.parametrize(
    ("corner", "inside", "outside"),
    [
        (0.0, [(0.049, 0.029), (-0.049, -0.029)], [(0.05, 0.0), (0.051, 0.0), (0.0, 0.031), (0.0, -0.031)]),
        # Middles of the corners at 0.03, 0.01: √2 · 0.013 and 0.015 off.
        (0.02, [(0.049, 0.0), (0.043, 0.023), (-0.043, 0.023)], [(0.045, 0.025), (-0.045, -0.025), (0.051, 0.005)]),
    ],
)
def test_where_an_opening_with_round_corners_takes_the_wood(
    corner: float, inside: list[tuple[float, float]], outside: list[tuple[float, float]]
) -> None:
    takes = Opening((0.1, 0.06), corner).takes
    assert takes(np.array(inside)).all()
    assert not takes(np.array(outside)).any()
