"""The floor against statics, beam tables and what it must do whatever the layout."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from anchorcalc.mechanics import floor as floor_module
from anchorcalc.mechanics.floor import (
    MOMENT_ERROR,
    PULL_ERROR,
    SHEAR_ERROR,
    BackingPlate,
    Board,
    Couple,
    Floor,
    FloorResponse,
    Member,
    Patch,
    Screws,
    disc,
)
from anchorcalc.mechanics.hermite import PlateError
from anchorcalc.mechanics.plates import Rigidities, orthotropic_rigidities
from anchorcalc.mechanics.steel_sections import SeatSections

IN = 0.0254
HARD, TIGHT = 1e12, 1e10  # members and screws as good as rigid

# --- strips that are beams -----------------------------------------------------------------------------------

# No Poisson's ratio and stiff across: a beam, that does not pry on its screws by bending between them.
BEAM = Rigidities(3000.0, 3e7, 0.0, 1500.0)
WIDTH = 0.1


def strip(*members: float, length: float, screws: tuple[float, ...]) -> dict:
    return {
        "boards": [Board((0.0, length), (0.0, WIDTH), BEAM, 0.02, whole=True)],
        "members": [Member(x, HARD) for x in members],
        "screws": Screws([(x, y) for x in screws for y in (0.02, 0.08)], TIGHT),
    }


def across(x: float, long: float = 0.01) -> Patch:
    return Patch((x - long / 2, x + long / 2), (0.0, WIDTH))


def pulls_at(response: FloorResponse) -> np.ndarray:
    return response.screw_pulls.reshape(-1, 2).sum(axis=1)


def test_three_spans_lifted_in_the_middle() -> None:
    """Three-moment equation, 4 M_B + M_C = 3 P L/8: 0.075 P L over the inner supports, 0.175 P L at the load.

    Inner supports 0.575 P, outer ones −0.075 P; a load of length c takes P c/8 off its moment.
    """
    P, L, c = 600.0, 0.4, 0.01
    layout = strip(0.0, L, 2 * L, 3 * L, length=3 * L, screws=(0.0, L, 2 * L, 3 * L))
    load = across(1.5 * L, c)
    response = Floor(**layout, loads=[load]).under([P])
    assert pulls_at(response) == pytest.approx([0.0, 345.0, 345.0, 0.0], rel=2e-3, abs=1e-6)
    assert response.member_pushes == pytest.approx([45.0, 0.0, 0.0, 45.0], rel=0.01, abs=1e-6)
    assert response.moments_along[0] * WIDTH == pytest.approx(0.175 * P * L - P * c / 8, rel=0.01)  # 41.25 N m
    # Half of the load goes each way; what is added for the cells taken off again.
    along, _ = response.greatest_shears([(load.x, load.y)], layout["boards"], layout["members"])
    assert along * WIDTH / (1 + SHEAR_ERROR) == pytest.approx(300.0, rel=2e-3)


def test_three_spans_pressed_in_an_outer_one() -> None:
    """Wheel in the middle of the first span: M_B = 0.1 P L, M at the load 0.2 P L, R_A 0.4 P, R_B 0.725 P, R_C −0.15 P.

    Three-moment equation with 4 M_B + M_C = 3 P L/8 and M_B + 4 M_C = 0: M_B = 0.1 P L, M_C = −0.025 P L.
    """
    P, L = 1000.0, 0.5
    floor = Floor(**strip(0.0, L, 2 * L, 3 * L, length=3 * L, screws=(0.0, L, 2 * L, 3 * L)), loads=[across(0.25)])
    response = floor.under([-P])
    assert response.member_pushes == pytest.approx([400.0, 725.0, 0.0, 25.0], rel=5e-3, abs=1e-6)
    assert pulls_at(response) == pytest.approx([0.0, 0.0, 150.0, 0.0], rel=5e-3, abs=1e-6)
    assert response.moments_along[0] * WIDTH == pytest.approx(0.2 * P * L - P * 0.01 / 8, rel=5e-3)


@pytest.mark.parametrize("size", [1.0, 100 / 3, -1e5])
def test_loads_that_balance_each_other_are_held(size: float) -> None:
    """1, −2 and 1 N at the quarters of the first of three spans: nothing in all, and yet they bend it.

    Σ P a (L² − a²) / L = 0.0375 − 0.12 + 0.0525 = −0.03 N m²: M_B = 0.03 / 3.75 L = 0.02 N m, M_C a quarter of it the
    other way. Held by 0.05, −0.1125, 0.075 and −0.0125 N.
    """
    L = 0.4
    layout = strip(0.0, L, 2 * L, 3 * L, length=3 * L, screws=(0.0, L, 2 * L, 3 * L))
    response = Floor(**layout, loads=[across(each * L / 4) for each in (1, 2, 3)]).under([size, -2 * size, size])
    held = size * np.array([0.05, -0.1125, 0.075, -0.0125])
    assert pulls_at(response) == pytest.approx(np.maximum(held, 0.0), rel=0.01, abs=1e-6 * abs(size))
    assert response.member_pushes == pytest.approx(np.maximum(-held, 0.0), rel=0.01, abs=1e-6 * abs(size))


def test_an_overhang_is_a_lever() -> None:
    """Moments about the screw: the far member pushes P·0.2/0.6, the screw holds the sum, the board bends P·0.2."""
    floor = Floor(**strip(0.2, 0.8, length=1.0, screws=(0.2, 0.8)), loads=[Patch((0.0, 0.01), (0.0, WIDTH))])
    response = floor.under([600.0])
    assert pulls_at(response) == pytest.approx([600 * (1 + 0.195 / 0.6), 0.0], rel=1e-6)
    assert response.member_pushes == pytest.approx([0.0, 600 * 0.195 / 0.6], rel=1e-6, abs=1e-6)
    assert response.moments_along[0] * WIDTH == pytest.approx(600 * 0.195, rel=2e-3)


def test_one_span_and_two() -> None:
    """Of one: P a / L and P b / L, P a b / L less P c/8. Of two, one loaded: 13/32, 22/32 and −3/32 of P."""
    P, L = 600.0, 0.4
    for share in (0.5, 0.75):
        response = Floor(**strip(0.0, L, length=L, screws=(0.0, L)), loads=[across(share * L)]).under([P])
        assert pulls_at(response) == pytest.approx([(1 - share) * P, share * P], abs=0.1)
        bent = share * (1 - share) * P * L - P * 0.01 / 8
        assert response.moments_along[0] * WIDTH == pytest.approx(bent, rel=0.01)
    two = Floor(**strip(0.0, L, 2 * L, length=2 * L, screws=(0.0, L, 2 * L)), loads=[across(0.5 * L)]).under([P])
    assert pulls_at(two) == pytest.approx([600 * 13 / 32, 600 * 22 / 32, 0.0], rel=2e-3, abs=1e-6)


def test_a_board_on_one_member_turns_about_it() -> None:
    layout = strip(0.5, length=1.0, screws=(0.5,))
    on_it = Floor(**layout, loads=[across(0.5)]).under([600.0])
    assert pulls_at(on_it) == pytest.approx([600.0], rel=1e-6)
    with pytest.raises(PlateError, match=r"tip or come off|not found"):
        Floor(**layout, loads=[across(0.4)]).under([600.0])


def test_cells_are_as_they_are_where_nothing_is_said_of_them() -> None:
    given = strip(0.0, 0.4, length=0.4, screws=(0.0, 0.4)) | {"loads": [across(0.2)]}
    (said,), (unsaid,) = (each.under([1.0]).boards for each in (Floor(**given, fineness=1.0), Floor(**given)))
    assert said
    assert unsaid
    assert np.array_equal(said.plate.x.knots, unsaid.plate.x.knots)


def test_a_soft_member_gives_by_its_stiffness_a_metre() -> None:
    """600 N on 0.1 m of 1 MN/m a metre: 6 mm."""
    layout = strip(length=1.0, screws=(0.5,)) | {"members": [Member(0.5, 1e6)], "loads": [across(0.5)]}
    assert Floor(**layout).under([-600.0]).deflections == pytest.approx([-6e-3], rel=1e-3)


def test_a_couple_is_held_by_a_pair_of_forces() -> None:
    """60 N m over 0.6 m between the members: a screw pulls 100 N at one end, a member pushes 100 N at the other."""
    couple = Couple((0.45, 0.55), (0.0, WIDTH), "x")
    floor = Floor(**strip(0.2, 0.8, length=1.0, screws=(0.2, 0.8)), loads=[couple])
    response = floor.under([60.0])
    assert pulls_at(response) == pytest.approx([0.0, 100.0], rel=1e-6, abs=1e-6)
    assert response.member_pushes == pytest.approx([100.0, 0.0], rel=1e-6, abs=1e-6)


# --- planks --------------------------------------------------------------------------------------------------

E_PLANK, T_PLANK, B_PLANK = 10e9, 0.038, 0.14
PLANK = Rigidities(E_PLANK * T_PLANK**3 / 12, E_PLANK * T_PLANK**3 / 12 / 20, 0.0, 0.6e9 * T_PLANK**3 / 12)


def planks(count: int, seats: list[Patch], stiff: Rigidities = PLANK, at: tuple[float, float] = (0.2, 0.8)) -> Floor:
    boards = [Board((0.0, 0.6), (n * B_PLANK, (n + 1) * B_PLANK), stiff, T_PLANK, whole=True) for n in range(count)]
    screws = [(x, (n + share) * B_PLANK) for x in (0.0, 0.6) for n in range(count) for share in at]
    return Floor(boards, [Member(0.0, HARD), Member(0.6, HARD)], Screws(screws, TIGHT), seats)


def test_a_plank_is_a_beam() -> None:
    """2 in plank of 140 mm over 0.6 m, 1 kN in its middle.

    E I = 10e9 · 0.14 · 0.038³/12 = 6 402 N m², P L³/48 E I = 0.7029 mm; P L/4 = 150 N m, less P c/8 = 1.25 N m of
    the load's own length, over 140 mm 1 062.5 N. The screws pry a little: they stand in from the plank's edges.
    """
    response = planks(3, [Patch((0.295, 0.305), (B_PLANK, 2 * B_PLANK))]).under([1000.0])
    assert response.deflections[0] == pytest.approx(0.7029e-3, rel=5e-3)
    assert response.moments_along[0] == pytest.approx(1062.5, rel=5e-3)
    by_plank = response.screw_pulls.reshape(2, 3, 2).sum(axis=2)
    assert by_plank == pytest.approx(np.array([[0.0, 500.0, 0.0]] * 2), rel=0.03)
    assert response.boards[0] is None
    assert response.boards[2] is None


def test_a_seat_across_two_planks_engages_both_by_its_area() -> None:
    """30 of 50 mm on the first plank; planks stiff across, held at their edges, do not pry."""
    stiff = PLANK._replace(D_y=1e4 * PLANK.D_y)
    response = planks(2, [Patch((0.29, 0.31), (0.11, 0.16))], stiff, (0.01, 0.99)).under([1000.0])
    by_plank = response.screw_pulls.reshape(2, 2, 2).sum(axis=(0, 2))
    assert by_plank == pytest.approx([600.0, 400.0], rel=0.02)


def test_a_steel_plate_shares_between_planks() -> None:
    """Nut over the first plank, plate reaching under two: the second one takes part as well."""
    plate = BackingPlate((0.25, 0.35), (0.04, 0.24), 0.02, 200e9, 0.3, (disc(0.3, 0.1, 0.02),), 1.6e10)
    boards = [Board((0.0, 0.6), (n * B_PLANK, (n + 1) * B_PLANK), PLANK, T_PLANK, whole=True) for n in range(2)]
    screws = [(x, (n + share) * B_PLANK) for x in (0.0, 0.6) for n in range(2) for share in (0.2, 0.8)]
    floor = Floor(boards, [Member(0.0, 8e8), Member(0.6, 8e8)], Screws(screws, 2e6), (), [plate])
    response = floor.under([1000.0])
    bed = response.beds[0]
    on_second = bed.forces[bed.places[:, 1] > B_PLANK].sum()
    assert 100.0 < on_second < 500.0
    by_plank = response.screw_pulls.reshape(2, 2, 2).sum(axis=(0, 2))
    assert by_plank[1] >= on_second - 1e-6
    assert by_plank.sum() == pytest.approx(1000.0 + response.member_pushes.sum())


# --- sheets --------------------------------------------------------------------------------------------------

SPAN = 16 * IN
SHEET = orthotropic_rigidities([3050.0], [1220.0], [0.6e9], [0.019], 0.05)
MIDDLE = 2.5 * SPAN
BOLTS = [(MIDDLE + a, b) for a in (-1.5 * IN, 1.5 * IN) for b in (-1.5 * IN, 1.5 * IN)]
NUTS = tuple(disc(x, y, 0.75 * IN) for x, y in BOLTS)
MEMBERS = [Member(n * SPAN, 8e8, 2 * IN) for n in range(6)]
WHOLE = Board((0.0, 5 * SPAN), (-24 * IN, 24 * IN), SHEET, 0.019)


def sheet(loads: list, plates: tuple[BackingPlate, ...] = (), *, shift: float = 0.0, fineness: float = 1.0) -> Floor:
    """A 4 by 6 2/3 ft sheet of 3/4 in plywood on six members, screws every 8 in."""
    rows = np.arange(-20, 21, 8) * IN + shift
    return Floor(
        [WHOLE], MEMBERS, Screws([(m.x, y) for m in MEMBERS for y in rows], 2e6), loads, plates, fineness=fineness
    )


def shears(response: FloorResponse, *lifts: Patch | BackingPlate) -> tuple[float, float]:
    """Greatest shears of the sheet beside what lifts it."""
    return response.greatest_shears([(lift.x, lift.y) for lift in lifts], [WHOLE], MEMBERS)


def steel(side: float, t: float, bed: float = 1.6e10) -> BackingPlate:
    return BackingPlate((MIDDLE - side / 2, MIDDLE + side / 2), (-side / 2, side / 2), t, 200e9, 0.3, NUTS, bed)


def wrench(places: np.ndarray, forces: np.ndarray) -> np.ndarray:
    x, y = np.asarray(places).T
    return np.array([forces.sum(), forces @ x, forces @ y])


def left_over(
    floor: Floor, forces: list[float], applied: np.ndarray, members: list[Member], screws: np.ndarray
) -> float:
    """What of the force and of the moment along x is not balanced, of the load; members do not say where along y."""
    response = floor.under(forces)
    given = wrench(screws, -response.screw_pulls) + applied
    along = response.member_pushes @ [m.x for m in members]
    given[:2] += [response.member_pushes.sum(), along]
    return float(np.abs(given[:2]).max() / np.abs(applied).max())


@pytest.mark.parametrize("shift", [0.0, 1.7 * IN])
def test_forces_and_moments_balance(shift: float) -> None:
    members = [Member(n * SPAN, 8e8, 2 * IN) for n in range(6)]
    screws = np.array([(m.x, y) for m in members for y in np.arange(-20, 21, 8) * IN + shift])
    couple = Couple((MIDDLE - 0.05, MIDDLE + 0.05), (-0.05, 0.05), "x")
    floor = sheet([disc(MIDDLE, 0.1, 0.05), couple], shift=shift)
    applied = np.array([700.0, 700.0 * MIDDLE + 120.0, 70.0])
    assert left_over(floor, [700.0, 120.0], applied, members, screws) < 1e-9

    floor = sheet([], (steel(12 * IN, 0.25 * IN),), shift=shift)
    forces = [100.0, 200.0, 300.0, 400.0]
    applied = wrench(np.array(BOLTS), np.array(forces))
    assert left_over(floor, forces, applied, members, screws) < 1e-9
    response = floor.under(forces)
    (bed,) = response.beds
    assert bed.pressures @ bed.areas == pytest.approx(1000.0)
    at_nuts = SeatSections(bed.solution.plate, NUTS, 0.25 * IN).look_into(bed.solution)
    assert response.greatest_steel_moment == pytest.approx(at_nuts.max())
    assert at_nuts.max() > 1.5 * at_nuts.min()
    assert np.abs(wrench(bed.places, bed.forces) - applied).max() < 1e-9 * np.abs(applied).max()


def test_answers_grow_in_proportion_and_forces_add_where_nothing_lets_go() -> None:
    floor = sheet([disc(*place, 1.5 * IN) for place in BOLTS])
    once, thrice = floor.under([10.0, 40.0, 20.0, 30.0]), floor.under([30.0, 120.0, 60.0, 90.0])
    assert thrice.screw_pulls == pytest.approx(3 * once.screw_pulls, rel=1e-9, abs=1e-9)
    assert thrice.moments_along == pytest.approx(3 * once.moments_along, rel=1e-9)
    nothing = floor.under([0.0, 0.0, 0.0, 0.0])
    assert not nothing.screw_pulls.any()


def test_mirrored_loads_give_mirrored_answers() -> None:
    loads = [disc(MIDDLE - 0.07, 0.1, 0.05), disc(MIDDLE + 0.07, 0.1, 0.05), disc(MIDDLE - 0.07, -0.1, 0.05)]
    loads.append(disc(MIDDLE + 0.07, -0.1, 0.05))
    floor = sheet(loads)
    one, other, turned = (floor.under(p) for p in ([900.0, -200.0, 0, 0], [-200.0, 900.0, 0, 0], [0, 0, 900.0, -200.0]))
    pulls = one.screw_pulls.reshape(6, 6)
    assert other.screw_pulls.reshape(6, 6) == pytest.approx(pulls[::-1], abs=1e-6)
    assert turned.screw_pulls.reshape(6, 6) == pytest.approx(pulls[:, ::-1], abs=1e-6)
    assert other.moments_along[[1, 0]] == pytest.approx(one.moments_along[:2], rel=1e-6)
    assert turned.moments_across[[2, 3]] == pytest.approx(one.moments_across[:2], rel=1e-6)
    sheared = [shears(each, loads[number]) for each, number in ((one, 0), (other, 1), (turned, 2))]
    assert sheared[1:] == [pytest.approx(sheared[0], rel=1e-6)] * 2


WHEEL = Patch((MIDDLE - 2 * IN, MIDDLE + 2 * IN), (-3 * IN, 3 * IN))
MESHES = {
    "bolts": ([disc(*place, 1.5 * IN) for place in BOLTS], (), [1.0, 1.0, 1.0, 1.0]),
    "tall ring": ([disc(*place, 1.5 * IN) for place in BOLTS], (), [-2.0, -2.0, 4.0, 4.0]),
    "edge": ([disc(MIDDLE, 22.5 * IN, 1.5 * IN)], (), [1.0]),
    "by a member": ([disc(2 * SPAN + 2.5 * IN, 3 * IN, 1.5 * IN)], (), [1.0]),
    "wheel": ([WHEEL], (), [-1.0]),
    "6 in plate": ([], (steel(6 * IN, 3 / 16 * IN),), [1.0, 1.0, 1.0, 1.0]),
    "12 in plate": ([], (steel(12 * IN, 0.25 * IN),), [0.2, 0.2, 1.8, 1.8]),
}


@pytest.mark.parametrize("name", MESHES)
def test_halving_the_cells_moves_the_answers_by_less_than_is_added(name: str) -> None:
    loads, plates, forces = MESHES[name]
    coarse, fine = (sheet(loads, plates, fineness=f).under(forces) for f in (1.0, 2.0))
    pulls = fine.screw_pulls.max()
    assert coarse.screw_pulls.max() == pytest.approx(pulls, rel=PULL_ERROR / 10)
    assert np.abs(coarse.screw_pulls - fine.screw_pulls).max() < PULL_ERROR / 4 * pulls
    for way in ("along", "across"):
        ours, finer = (float(getattr(each, f"moments_{way}").max()) for each in (coarse, fine))
        assert (1 - MOMENT_ERROR) * finer <= ours <= (1 + 2 * MOMENT_ERROR) * finer, way
    for ours, finer in zip(*(shears(each, *loads, *plates) for each in (coarse, fine)), strict=True):
        assert ours == pytest.approx(finer, rel=SHEAR_ERROR)
    assert fine.greatest_steel_moment <= 1.002 * coarse.greatest_steel_moment <= 1.06 * fine.greatest_steel_moment
    all_screws = np.ones(coarse.screw_pulls.size, dtype=bool)
    assert coarse.greatest_pull(all_screws) > fine.screw_pulls.max()
    assert coarse.greatest_moments[0] >= fine.moments_along.max()


@pytest.mark.parametrize(("sides", "off"), [((24, 6), 0.0), ((36, 8), 3.0), ((6, 30), 3.0)])
def test_a_long_plate_is_told_no_less_than_a_finer_bed_finds(
    sides: tuple[float, float], off: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its pull comes near the nuts, its greatest moment anywhere over it: a few cells and places miss both.

    A bed of cells twice as narrow, and half of all others, against what is told.
    """
    at, (half_x, half_y) = MIDDLE - off * IN, (side * IN / 2 for side in sides)
    nuts = tuple(nut._replace(x=(nut.x[0] - off * IN, nut.x[1] - off * IN)) for nut in NUTS)
    long = BackingPlate((at - half_x, at + half_x), (-half_y, half_y), 0.25 * IN, 200e9, 0.3, nuts, 1.6e10)
    for forces in ([1.0, 1.0, 1.0, 1.0], [0.2, 0.2, 1.8, 1.8]):
        told = sheet([], (long,)).under(forces)
        with monkeypatch.context() as finer:
            finer.setattr(floor_module, "_BED_CELL", 0.02)
            fine = sheet([], (long,), fineness=2.0).under(forces)
        assert told.greatest_pull(np.ones(told.screw_pulls.size, dtype=bool)) >= fine.screw_pulls.max()
        assert told.greatest_moments[0] >= fine.moments_along.max()
        assert told.greatest_moments[1] >= fine.moments_across.max()
        for ours, other in zip(shears(told, long), shears(fine, long), strict=True):
            assert ours >= 0.96 * other / (1 + SHEAR_ERROR)  # beside 24 in by 6 some hundredths more are found
        assert told.greatest_steel_moment >= 0.98 * fine.greatest_steel_moment


def test_a_large_plate_lowers_the_moment_and_hardly_the_screws() -> None:
    washers = sheet([disc(*place, 2 * IN) for place in BOLTS]).under([0.25] * 4)
    small = sheet([], (steel(6 * IN, 3 / 16 * IN),)).under([0.25] * 4)
    large = sheet([], (steel(12 * IN, 0.25 * IN),)).under([0.25] * 4)
    moments = [float(each.moments_along.max()) for each in (washers, small, large)]
    screws = [float(each.screw_pulls.max()) for each in (washers, small, large)]
    assert moments[1] < 0.8 * moments[0]
    assert moments[2] < 0.5 * moments[0]
    assert screws[0] > screws[1] > screws[2] > 0.8 * screws[0]


def test_a_plate_too_thin_to_spread_presses_only_at_its_nuts() -> None:
    thin = sheet([], (steel(12 * IN, 0.02 * IN),)).under([0.25] * 4)
    nuts = sheet(list(NUTS)).under([0.25] * 4)
    assert thin.screw_pulls == pytest.approx(nuts.screw_pulls, abs=0.01 * nuts.screw_pulls.max())
    assert np.all(thin.beds[0].pressures >= 0)


def test_a_wheel_presses_on_members_and_hardly_lifts_a_screw() -> None:
    response = sheet([WHEEL]).under([-3000.0])
    assert response.member_pushes[2] == pytest.approx(response.member_pushes[3], rel=1e-6)
    assert response.member_pushes[2:4].sum() > 3000
    assert response.screw_pulls.sum() == pytest.approx(response.member_pushes.sum() - 3000, rel=1e-9)
    assert response.deflections[0] < 0


def test_a_missing_screw_loads_its_neighbours() -> None:
    members = [Member(n * SPAN, 8e8, 2 * IN) for n in range(6)]
    board = Board((0.0, 5 * SPAN), (-24 * IN, 24 * IN), SHEET, 0.019)
    places = [(m.x, y) for m in members for y in np.arange(-20, 21, 8) * IN]
    seat = [disc(MIDDLE, 4 * IN, 1.5 * IN)]
    all_there = Floor([board], members, Screws(places, 2e6), seat).under([1.0])
    worst = int(all_there.screw_pulls.argmax())
    fewer = Floor([board], members, Screws(places[:worst] + places[worst + 1 :], 2e6), seat).under([1.0])
    assert fewer.screw_pulls.max() > all_there.screw_pulls.max()


def test_what_cannot_be_laid_out_is_refused() -> None:
    members = [Member(0.0, 8e8), Member(0.4, 8e8)]
    board = Board((0.0, 0.4), (0.0, 0.4), SHEET, 0.019)
    screws = Screws([(x, y) for x in (0.0, 0.4) for y in (0.1, 0.3)], 2e6)
    seat = disc(0.2, 0.2, 0.03)
    held = Floor([board], members, screws, [seat]).under([1.0])
    assert held.screw_pulls.sum() - held.member_pushes.sum() == pytest.approx(1.0)
    with pytest.raises(PlateError, match="not borne"):
        Floor([board], members, screws, [disc(0.2, 0.4, 0.03)])
    with pytest.raises(PlateError, match="stands on no board"):
        Floor([board], members, Screws([(0.5, 0.1)], 2e6), [seat])
    with pytest.raises(PlateError, match="too long for its width"):
        Floor([replace(board, rigidities=Rigidities(1e16, 1.0, 0.0, 1.0))], members, screws, [seat])
    with pytest.raises(PlateError, match="finite forces"):
        Floor([board], members, screws, [seat]).under([1.0, 2.0])
    loose = Floor([board], members, Screws([], 2e6), [seat])
    with pytest.raises(PlateError, match="tip or come off"):
        loose.under([1.0])
    assert loose.under([-1.0]).member_pushes.sum() == pytest.approx(1.0)
    nut = BackingPlate((0.15, 0.25), (0.15, 0.25), 0.005, 200e9, 0.3, (disc(0.26, 0.2, 0.02),), 1.6e10)
    with pytest.raises(PlateError, match="lie on its plate"):
        Floor([board], members, screws, (), [nut])
