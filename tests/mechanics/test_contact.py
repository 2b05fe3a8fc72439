"""Bodies on springs that hold one way, by statics worked by hand."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import sparse

from anchorcalc.mechanics.contact import OneSidedBody
from anchorcalc.mechanics.hermite import PlateError


def bar(places: list[float], signs: list[float], springs: list[float] | None = None) -> OneSidedBody:
    """A rigid bar that is free but for its springs; unknowns: its middle's deflection and its slope."""
    rows = sparse.csr_array(np.column_stack([np.ones(len(places)), places]))
    stiffness = np.array(springs if springs is not None else [1000.0] * len(places))
    return OneSidedBody(sparse.csc_array((2, 2)), rows, stiffness, np.array(signs))


def load(P: float, at: float) -> np.ndarray:
    return np.array([P, P * at])


def test_all_springs_hold_under_a_load_between_them() -> None:
    """P = 12 N at x = 0.5 on springs at −1 and 1: 12 (1 ± 0.5)/2 = 3 and 9 N; they sink 3 and 9 mm."""
    held = bar([-1, 1], [1, 1]).under(load(12, 0.5))
    assert held.forces == pytest.approx([3, 9])
    assert held.unknowns == pytest.approx([0.006, 0.003])


def test_the_spring_that_would_pull_lets_go() -> None:
    """P = 10 N at 0.8 on springs at −1, 0, 1 that only push.

    Holding both ways the left one would give 10/3 − 10 · 0.8/2 = −0.67 N. Without it: 8 N at 1 and 2 N at 0.
    """
    held = bar([-1, 0, 1], [1, 1, 1]).under(load(10, 0.8))
    assert held.forces == pytest.approx([0, 2, 8])
    assert held.unknowns == pytest.approx([0.002, 0.006])


def test_signs_turn_with_the_load() -> None:
    held = bar([-1, 0, 1], [-1, -1, -1]).under(load(-10, 0.8))
    assert held.forces == pytest.approx([0, -2, -8])


def test_a_heel_pries() -> None:
    """A screw at 0 holds what rises, an edge at −1 what sinks; 5 N lift the end at 1.

    About the edge: 5 · 2 = S · 1, so the screw bears 10 N, twice the lift, and the edge presses with 5 N.
    """
    held = bar([0, -1], [1, -1], [2000.0, 500.0]).under(load(5, 1.0))
    assert held.forces == pytest.approx([10, -5])
    assert held.unknowns == pytest.approx([0.005, 0.015])  # 10/2000 at the screw; the edge sinks 5/500 = 10 mm


def test_a_body_with_a_stiffness_of_its_own() -> None:
    """A mass on 100 N/m, and beside it 300 N/m that only push: 4 N sink it 10 mm, −4 N lift it 40 mm."""
    body = OneSidedBody(sparse.csc_array([[100.0]]), sparse.csr_array([[1.0]]), np.array([300.0]), np.array([1.0]))
    assert body.under(np.array([4.0])).unknowns == pytest.approx([0.01])
    assert body.under(np.array([4.0])).forces == pytest.approx([3.0])
    assert body.under(np.array([-4.0])).unknowns == pytest.approx([-0.04])
    assert body.under(np.array([-4.0])).forces == pytest.approx([0.0])


def test_two_springs_let_go_one_after_the_other() -> None:
    """Springs at −2, −1, 0, 1, 2 and 10 N at 1.8: without −2 and −1 the three left at 0, 1, 2 share.

    Their middle is at 1: 10/3 + 10 · 0.8 (x − 1)/2, so −0.67 N at 0: it lets go too; 2 N at 1 and 8 N at 2 remain.
    """
    held = bar([-2, -1, 0, 1, 2], [1] * 5).under(load(10, 1.8))
    assert held.forces == pytest.approx([0, 0, 0, 2, 8])


def test_answers_in_proportion() -> None:
    body = bar([-1, 0, 1], [1, 1, 1])
    one, many = body.under(load(1.0, 0.9)), body.under(load(700.0, 0.9))
    assert many.forces == pytest.approx(700 * one.forces)


@pytest.mark.parametrize("at", [1.2, -3.0])
def test_a_load_beyond_the_last_spring_tips_it(at: float) -> None:
    with pytest.raises(PlateError, match="leave the body free to move"):
        bar([-1, 0, 1], [1, 1, 1]).under(load(10, at))


def test_a_body_on_too_few_springs_is_refused() -> None:
    with pytest.raises(PlateError, match="not held"):
        bar([0.5], [1])
