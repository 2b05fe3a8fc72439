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


def test_leg_by_hand():
    """M_pl/m = 0.25 (l_eff/m) t² f_y with t 5 mm, f_y 235 N/mm²: 0.25 · 25 · 235 = 1468.75 N for each l_eff/m.

    m 20, e 40: 2 π = 6.283 is less than 4 + 2.5; m 30, e 30: 4 + 1.25 = 5.25 is less than 2 π.
    """
    assert members.leg_bending_nominal(0.005, 0.020, 0.040, MILD) == pytest.approx(9228.4, rel=1e-4)
    assert members.leg_bending_nominal(0.005, 0.030, 0.030, MILD) == pytest.approx(7710.9, rel=1e-4)


def test_bolts_in_a_row_share_what_the_row_holds():
    """Three bolts 25 mm apart, a row of 50 mm, m 20, e 40, 1468.75 N for each l_eff/m as above.

    Round: 2 π + 2 · 50/20 = 11.283; straight: 4 + 1.25 · 40/20 + 50/20 = 9. The least, 9/3 = 3, is less than a single
    bolt's 6.283. With m 10, e 40 and two bolts 100 mm apart: round 2 π + 20, straight 4 + 5 + 10 = 19, a half of it
    9.5: each bolt stands alone with 2 π.
    """
    assert members.leg_bending_nominal(0.005, 0.020, 0.040, MILD, 3, 0.050) == pytest.approx(3 * 1468.75)
    assert members.leg_bending_nominal(0.005, 0.010, 0.040, MILD, 2, 0.100) == pytest.approx(9228.4, rel=1e-4)
    # m 20, e 100, two bolts 10 mm apart: straight 4 + 6.25 + 0.5 = 10.75; round 2 π + 1 = 7.283, halved 3.642.
    assert members.leg_bending_nominal(0.005, 0.020, 0.100, MILD, 2, 0.010) == pytest.approx(5348.6, rel=1e-4)


def test_bolt_at_the_heel_still_has_a_finite_leg():
    """Round alone: 2 π · 1468.75 N; of two in a row too, for beside no lever their distance is without end."""
    assert members.leg_bending_nominal(0.005, 0.0, 0.02, MILD) == pytest.approx(9228.4, rel=1e-4)
    assert members.leg_bending_nominal(0.005, 0.0, 0.02, MILD, 2, 0.03) == pytest.approx(9228.4, rel=1e-4)
    assert members.leg_bending_nominal(0.005, 0.0, 0.02, MILD, 2) == pytest.approx(4614.2, rel=1e-4)


@quiet
@given(t=lengths, beta=st.floats(0.0, 1.2), eta=st.floats(0.0, 2.0), factor=factors)
def test_more_wall_or_seat_never_holds_less(t, beta, eta, factor):
    fold = members.tube_wall_yield_line(t, MILD, beta, eta)
    assert members.tube_wall_yield_line(t * factor, MILD, beta, eta) >= fold
    assert members.tube_wall_yield_line(t, MILD, beta * factor, eta) >= fold
    assert members.tube_wall_yield_line(t, MILD, beta, eta * factor) >= fold
    assert members.tube_wall_yield_line(t * factor, MILD, beta, eta) == pytest.approx(fold * factor**2)


def test_wall_by_hand():
    """t 3 mm, f_y 235 N/mm²: 9 · 235 = 2115 N times 2 η/(1 − β) + 4/√(1 − β).

    β 0.64, η 0.5: 1/0.36 + 4/0.6 = 2.7778 + 6.6667; β 0, η 0: 4.
    """
    assert members.tube_wall_yield_line(0.003, MILD, 0.64, 0.5) == pytest.approx(19975.0, rel=1e-5)
    assert members.tube_wall_yield_line(0.003, MILD, 0.0, 0.0) == pytest.approx(8460.0)


def test_wall_is_not_credited_beyond_its_range():
    """At β 0.85: 1/0.15 + 4/√0.15 = 6.6667 + 10.3280; what is wider counts no more."""
    for beta in (0.85, 0.99, 1.2):
        assert members.tube_wall_yield_line(0.003, MILD, beta, 0.5) == pytest.approx(35943.6, rel=1e-5)


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


def test_beam_by_hand():
    """Span 0.4 m, S f_y = 1 cm³ · 235 N/mm² = 235 N·m.

    All in one load 0.1 m from a support: M = F · 0.1 · 0.3/0.4 = 0.075 F. Three quarters at 0.1 and a quarter at 0.3:
    under the first 0.75 · 0.075 + 0.25 · 0.1 · 0.1/0.4 = 0.0625 F.
    """
    assert members.simple_beam_pull(1e-6, MILD, 0.4, [0.1, 0.3], shares=[1.0, 0.0]) == pytest.approx(3133.33, rel=1e-5)
    assert members.simple_beam_pull(1e-6, MILD, 0.4, [0.1, 0.3], shares=[0.75, 0.25]) == pytest.approx(3760.0)


def test_beam_of_many_sections_at_once():
    S = np.array([[1e-6], [3e-6]]) * np.ones(1000)
    assert members.simple_beam_pull(S, MILD, 0.4, [0.1]) == pytest.approx(
        np.array([[3133.333], [9400.0]]) * np.ones(1000)
    )


def test_loads_over_the_supports_bend_nothing_and_beyond_are_refused():
    assert members.simple_beam_pull(1e-6, MILD, 0.4, [0.0, 0.4]) == np.inf
    with pytest.raises(ValueError, match="beyond the supports"):
        members.simple_beam_pull(1e-6, MILD, 0.4, [0.1, 0.41])


def test_a_beam_bends_by_forces_and_by_couples_as_statics_has_it() -> None:
    moment = members.simple_beam_moment
    # A force P a b / L; a couple C leaves C a / L on its first side and C b / L on the other, whichever is more.
    assert moment(4.0, [(3.0, 1.0, 0.0)]) == pytest.approx(3 * 1 * 3 / 4)
    assert moment(4.0, [(0.0, 1.0, 2.0)]) == pytest.approx(2 * 3 / 4)
    assert moment(4.0, [(0.0, 2.0, 2.0)]) == pytest.approx(2 / 2)
    # Both: 3 · 1 · 3 / 4 with + 2 · 1 / 4 before and − 2 · 3 / 4 behind; turned about, the other way.
    assert moment(4.0, [(3.0, 1.0, 2.0)]) == pytest.approx(2.25 + 0.5)
    assert moment(4.0, [(3.0, 1.0, -2.0)]) == pytest.approx(2.25 + 1.5)
    # Two in a mirror, tipped outwards: between them P a + C all the way.
    assert moment(4.0, [(3.0, 1.0, -2.0), (3.0, 3.0, 2.0)]) == pytest.approx(3 * 1 + 2)
    # A couple is two forces apart.
    near = members.continuous_beam_moment([0.0, 4.0], [(3.0, 1.0), (2 / 1e-6, 1.0 - 5e-7), (-2 / 1e-6, 1.0 + 5e-7)])
    assert moment(4.0, [(3.0, 1.0, 2.0)]) == pytest.approx(near, rel=1e-5)


def test_flat_bar_modulus_at_a_hole():
    """(50 − 11) mm · 10² mm²/6 = 650 mm³; nothing where the hole takes the whole bar."""
    assert members.flat_bar_modulus(0.05, 0.01, 0.011) == pytest.approx(650e-9)
    assert members.flat_bar_modulus(0.01, 0.01, 0.011) == 0.0


def test_bolt_through_a_wall():
    """1.8 · 235 N/mm² · 10 mm · 3 mm = 12 690 N."""
    assert members.through_bolt_bearing_nominal(0.01, 0.003, MILD) == pytest.approx(12690.0)


def test_fillet_weld_by_hand():
    """AISC 360 eq. J2-3: 0.6 · 70 ksi · 0.707 · 1/16 in = 1.856 kip per inch and sixteenth of leg.

    The AISC Manual's rule of part 8 is 0.928 kip per inch and sixteenth, that over Ω = 2 [from memory].
    """
    of_one_inch = members.fillet_weld_nominal(70 * 6.894757e6, 0.0254 / 16, 0.0254)
    assert of_one_inch == pytest.approx(1856 * 4.448222, rel=1e-3)
    assert of_one_inch / 2 == pytest.approx(928 * 4.448222, rel=1e-3)
    assert members.fillet_weld_nominal(70 * 6.894757e6, 0.0254 / 4, 0.1) == pytest.approx(
        4 * 0.1 / 0.0254 * of_one_inch
    )


def test_a_deep_beam_of_wood_turns_over_by_hand() -> None:
    # 1 1/2 by 9 1/4 in over 72 in: l_e 1.63 · 72 + 27.75 = 145.1, R_B² 596.6. Of 1837.5 psi and E_05 849 300: r 0.9297,
    # 1.0156 − √(1.0315 − 0.9786). Over 24 in l_e 2.06 · 24 = 49.44, R_B² 203.3, r 2.729: 1.9626 − √(3.8518 − 2.8726).
    assert members.beam_stability_nds(1837.5, 849_300, 72, 1.5, 9.25) == pytest.approx(0.7857, rel=1e-3)
    assert members.beam_stability_nds(1837.5, 849_300, 24, 1.5, 9.25) == pytest.approx(0.9731, rel=1e-3)
    assert members.beam_stability_nds(1837.5, 849_300, 72, 3.5, 3.5) == 1.0
