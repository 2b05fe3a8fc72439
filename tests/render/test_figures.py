"""Numbers as people read them."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from anchorcalc.render import figures, fitting_words
from anchorcalc.result.fitting import Tightening, WrenchSetting
from anchorcalc.units import SI, US, length, length_number


@pytest.mark.parametrize(
    ("inches", "text"),
    [
        (172, "172 in"), (0.75, "3/4 in"), (1.625, "1 5/8 in"), (17 / 32, "17/32 in"), (0, "0 in"),
        (-0.5, "-1/2 in"), (1.18110, "1.181 in"), (0.999999, "1 in"),
    ],
)  # fmt: skip
def test_inches(inches: float, text: str) -> None:
    assert length(inches * 0.0254, US) == text


@pytest.mark.parametrize(
    ("metres", "text"), [(0.018, "18 mm"), (0.04128, "41.3 mm"), (0.0, "0 mm"), (-0.00001, "0 mm"), (2.85, "2850 mm")]
)
def test_millimetres(metres: float, text: str) -> None:
    assert length(metres, SI) == text


@given(st.integers(0, 64 * 400))
def test_a_mixed_number_is_worth_what_it_stands_for(sixty_fourths: int) -> None:
    text = length_number(sixty_fourths / 64 * 0.0254, US)
    assert sum(Fraction(part) for part in text.split()) == Fraction(sixty_fourths, 64)


def test_forces_and_shares() -> None:
    assert figures.force(3333 * 4.4482216152605, US) == "3,333 lbf"
    assert figures.force(14826.0, SI) == "14.83 kN"
    assert figures.force(math.inf, US) == "no limit"
    assert (figures.percent(0.634), figures.percent(math.inf)) == ("63 %", "no hold")


@pytest.mark.parametrize(("aim", "by_hand"), [(1.6, True), (20.0, False)])
def test_where_no_wrench_goes_so_low_it_says_so(aim: float, by_hand: bool) -> None:
    found = Tightening("torque", "the wood", 820.0, 9e3, 4e4, 0.015, (WrenchSetting("dry", 0.2, 1.2 * aim, aim),),
                       pressed="wood over the plate", stop="the plate lies flat")  # fmt: skip
    said = fitting_words.tension(found, US)
    assert (fitting_words.wrench(found.settings[0], US) == "snug by hand") is by_hand
    assert ("turn the nut snug by hand" in said) is by_hand
    assert "Stop when the plate lies flat (common practice, no source)." in said
    assert "(wood over the plate 184 lbf," in said
    assert "No more than 184 lbf in each bolt, 1.5 % of its proof load, set by the wood" in said
