"""Steel under the deck: modes against each other and a general beam, and what more steel must do."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from anchorcalc.mechanics import members

quiet = settings(derandomize=True, deadline=None, max_examples=100)
lengths = st.floats(1e-3, 0.1)
factors = st.floats(1.0, 4.0)
MILD = 235e6


@quiet
@given(t=lengths, m=lengths, e=lengths, factor=factors)
def test_more_leg_never_holds_less_and_scales(t, m, e, factor):
    pull = members.leg_bending_nominal(t, m, e, MILD)
    assert members.leg_bending_nominal(t * factor, m, e, MILD) >= pull
    assert members.leg_bending_nominal(t, m, e * factor, MILD) >= pull
    assert members.leg_bending_nominal(t, m * factor, e, MILD) <= pull * (1 + 1e-12)
    grown = members.leg_bending_nominal(t * factor, m * factor, e * factor, MILD)
    assert grown == pytest.approx(pull * factor**2)


def test_bolt_at_the_heel_still_has_a_finite_leg():
    assert members.leg_bending_nominal(0.005, 0.0, 0.02, MILD) == pytest.approx(0.5 * np.pi * 0.005**2 * MILD)


@quiet
@given(t=lengths, beta=st.floats(0.0, 1.2), eta=st.floats(0.0, 2.0), factor=factors)
def test_more_wall_or_seat_never_holds_less(t, beta, eta, factor):
    fold = members.tube_wall_yield_line(t, MILD, beta, eta)
    assert members.tube_wall_yield_line(t * factor, MILD, beta, eta) >= fold
    assert members.tube_wall_yield_line(t, MILD, beta * factor, eta) >= fold
    assert members.tube_wall_yield_line(t, MILD, beta, eta * factor) >= fold
    assert members.tube_wall_yield_line(t * factor, MILD, beta, eta) == pytest.approx(fold * factor**2)


def test_wall_is_not_credited_beyond_its_range():
    at_limit = members.tube_wall_yield_line(0.003, MILD, 0.85, 0.5)
    assert members.tube_wall_yield_line(0.003, MILD, 0.99, 0.5) == at_limit


positions = st.lists(st.floats(0.01, 0.99), min_size=1, max_size=5)


@quiet
@given(at=positions)
def test_beam_moment_agrees_with_statics_by_cuts(at):
    L, share = 1.0, 1 / len(at)
    left = sum(share * (L - x) / L for x in at)
    cuts = np.linspace(0, L, 4001)
    moments = [left * cut - sum(share * max(cut - x, 0.0) for x in at) for cut in cuts]
    assert members.simple_beam_pull(1e-6, MILD, L, at) == pytest.approx(1e-6 * MILD / max(moments), rel=2e-3)


@quiet
@given(at=positions, factor=factors)
def test_more_modulus_never_holds_less_and_a_longer_bar_holds_less(at, factor):
    pull = members.simple_beam_pull(1e-6, MILD, 1.0, at)
    assert members.simple_beam_pull(1e-6 * factor, MILD, 1.0, at) == pytest.approx(pull * factor)
    grown = members.simple_beam_pull(1e-6, MILD, factor, [factor * x for x in at])
    assert grown == pytest.approx(pull / factor)


def test_beam_shares_and_arrays():
    S = np.linspace(1e-7, 1e-5, 20_000)
    pulls = members.simple_beam_pull(S, MILD, 0.4, [0.1, 0.3], shares=[1.0, 0.0])
    assert pulls == pytest.approx(S * MILD / (0.1 * 0.3 / 0.4))


def test_loads_over_the_supports_bend_nothing_and_beyond_are_refused():
    assert members.simple_beam_pull(1e-6, MILD, 0.4, [0.0, 0.4]) == np.inf
    with pytest.raises(ValueError, match="beyond the supports"):
        members.simple_beam_pull(1e-6, MILD, 0.4, [0.1, 0.41])


def test_flat_bar_modulus_at_a_hole():
    assert members.flat_bar_modulus(0.05, 0.01, 0.011) == pytest.approx(0.039 * 1e-4 / 6)
    assert members.flat_bar_modulus(0.01, 0.01, 0.011) == 0.0


def test_bolt_through_a_wall():
    assert members.through_bolt_bearing_nominal(0.01, 0.003, MILD) == pytest.approx(1.8 * 0.01 * 0.003 * MILD)
