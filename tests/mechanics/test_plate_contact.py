"""Decks and bodies held one way only, against statics and against what they must do in the limit."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import sparse

from anchorcalc.mechanics.hermite import grid_lines
from anchorcalc.mechanics.plate_contact import OneSided, find_equilibrium
from anchorcalc.mechanics.plates import Plate, Rigidities
from tests.mechanics.deck_on_members import DeckResponse, Members, Screws, solve_deck

FAST = settings(derandomize=True, deadline=None, max_examples=20)
PLYWOOD = Rigidities(3050.0, 1220.0, 100.0, 350.0)
MEMBERS = Members((0.2, 0.6, 1.0), 8e8)
SCREWS = Screws([(x, y) for x in MEMBERS.x for y in (0.1, 0.4, 0.7)], 2e6)


def deck(*through: float, rigidities: Rigidities = PLYWOOD) -> Plate:
    return Plate(grid_lines(1.2, 0.1, (*MEMBERS.x, *through)), grid_lines(0.8, 0.1), rigidities)


def lifted(x: float, y: float, force: float = 1000.0, plate: Plate | None = None) -> DeckResponse:
    plate = plate or deck()
    return solve_deck(plate, MEMBERS, SCREWS, plate.load(force, x, y))


def strip(*screws_x: float) -> tuple[Plate, Members, Screws]:
    """A strip 1 m long and 0.1 m wide on members at 0.2 and 0.8 m."""
    plate = Plate(grid_lines(1.0, 0.05), [0.0, 0.05, 0.1], Rigidities(3000.0, 3000.0, 0.0, 1500.0))
    return plate, Members((0.2, 0.8), 1e10), Screws([(x, 0.05) for x in screws_x], 1e7)


def test_lift_between_two_members_is_shared_by_its_place() -> None:
    plate, members, screws = strip(0.2, 0.8)
    response = solve_deck(plate, members, screws, plate.load(600.0, 0.4, (0.0, 0.1)))
    assert response.screw_pulls == pytest.approx([400.0, 200.0], rel=1e-6)
    assert response.member_forces == pytest.approx([0.0, 0.0], abs=1e-6)


def test_lift_beyond_the_outer_member_pries_on_its_screw() -> None:
    """Moments about the screw: far member 600·0.2/0.6, screw the sum of both."""
    plate, members, screws = strip(0.2, 0.8)
    response = solve_deck(plate, members, screws, plate.load(600.0, 0.0, (0.0, 0.1)))
    assert response.screw_pulls == pytest.approx([800.0, 0.0], rel=1e-6)
    assert response.member_forces == pytest.approx([0.0, 200.0], rel=1e-6, abs=1e-6)


def test_a_deck_without_screws_is_not_held() -> None:
    plate, members, _ = strip()
    response = solve_deck(plate, members, Screws([], 1e7), plate.load(600.0, 0.4, (0.0, 0.1)))
    assert not response.equilibrium.converged
    assert response.equilibrium.residual > 1e-3


places = st.tuples(st.floats(0.05, 1.15), st.floats(0.05, 0.75))


@FAST
@given(place=places)
def test_forces_and_moments_balance(place: tuple[float, float]) -> None:
    response = lifted(*place)
    assert response.equilibrium.converged
    assert np.all(response.screw_pulls >= 0)
    assert np.all(response.member_forces >= 0)
    net = 1000.0 - response.screw_pulls.sum() + response.member_forces.sum()
    about_y = (
        1000.0 * place[0] - response.screw_pulls @ [x for x, _ in SCREWS.places] + response.member_forces @ MEMBERS.x
    )
    assert net == pytest.approx(0.0, abs=1e-4)
    assert about_y == pytest.approx(0.0, abs=1e-4)


@FAST
@given(place=places, factor=st.floats(0.01, 100.0))
def test_response_is_proportional_to_the_lift(place: tuple[float, float], factor: float) -> None:
    one, other = lifted(*place), lifted(*place, force=1000.0 * factor)
    assert other.screw_pulls == pytest.approx(factor * one.screw_pulls, rel=1e-6, abs=1e-4 * factor)


@FAST
@given(place=places)
def test_mirrored_lift_gives_mirrored_pulls(place: tuple[float, float]) -> None:
    one = lifted(*place).screw_pulls.reshape(3, 3)
    other = lifted(1.2 - place[0], 0.8 - place[1]).screw_pulls.reshape(3, 3)
    assert other[::-1, ::-1] == pytest.approx(one, rel=1e-6, abs=1e-4)


@FAST
@given(place=places, factor=st.floats(1.1, 8.0))
def test_stiffer_deck_never_rises_more(place: tuple[float, float], factor: float) -> None:
    stiffer = deck(rigidities=Rigidities(*(factor * value for value in PLYWOOD)))
    soft_rise = lifted(*place).solution.deflection(*place)
    assert lifted(*place, plate=stiffer).solution.deflection(*place) <= soft_rise * (1 + 1e-9)


def test_nearer_to_a_member_never_bends_the_deck_more() -> None:
    """A 100 mm patch moved from the middle of a bay to the member: bending along the span only falls."""
    sagging = []
    for x in (0.4, 0.45, 0.5, 0.55, 0.6):
        patch = ((x - 0.05, x + 0.05), (0.35, 0.45))
        plate = deck(*patch[0], x)
        response = solve_deck(plate, MEMBERS, SCREWS, plate.load(1000.0, *patch))
        sagging.append(float(response.solution.mean_moments(x, (0.33, 0.47)).M_x))
    assert np.all(np.diff(sagging) < 0)


def test_joint_over_a_member_frees_the_bay_beyond() -> None:
    """Sheets that end on a member lift more, and the neighbouring bay gives them no moment."""
    whole = deck(0.4)
    jointed = Plate(whole.x.knots, whole.y.knots, PLYWOOD, joints_x=(0.6,))
    one, other = lifted(0.4, 0.4, plate=whole), lifted(0.4, 0.4, plate=jointed)
    assert other.equilibrium.converged
    assert other.solution.deflection(0.4, 0.4) > one.solution.deflection(0.4, 0.4)
    across_joint = other.solution.mean_moments(0.6, (0.0, 0.8)).M_x
    assert abs(across_joint) < 0.05 * abs(one.solution.mean_moments(0.6, (0.0, 0.8)).M_x)


def test_bed_that_pulls_less_and_less_ends_as_one_that_cannot() -> None:
    side, k = 1.0, 2e5
    plate = Plate(grid_lines(side, 0.1), grid_lines(side, 0.1), Rigidities(100.0, 100.0, 30.0, 35.0))
    (x, at_x), (y, at_y) = (line.samples((0.0, side)) for line in (plate.x, plate.y))
    area = np.outer(at_x, at_y).ravel()

    def contact(most_pull: float) -> np.ndarray:
        samples = OneSided(
            plate.deflection_rows(x, y), np.full(area.size, k), area,
            np.full(area.size, -most_pull), np.full(area.size, np.inf),
        )  # fmt: skip
        balance = find_equilibrium(plate.stiffness, samples, plate.load(1000.0, 0.5, 0.5))
        assert balance.converged
        return balance.unknowns

    one_sided = contact(0.0)
    gaps = [np.abs(contact(pull) - one_sided).max() for pull in (np.inf, 100.0, 10.0, 1.0, 0.1)]
    assert np.all(np.diff(gaps) < 0)
    assert gaps[-1] < 0.01 * gaps[0]


def test_samples_answer_between_their_limits() -> None:
    ones = np.ones(4)
    samples = OneSided(sparse.eye_array(4), 2 * ones, 3 * ones, -4 * ones, 5 * ones)
    assert samples.pressure(np.array([-3.0, -1.0, 1.0, 3.0])) == pytest.approx([-4.0, -2.0, 2.0, 5.0])


def test_no_load_needs_no_step() -> None:
    response = lifted(0.4, 0.4, force=0.0)
    assert response.equilibrium.converged
    assert response.equilibrium.iterations == 0
    assert not response.screw_pulls.any()
