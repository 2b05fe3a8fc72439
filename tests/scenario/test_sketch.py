"""The sketch in characters, and what is asked back about it."""

from __future__ import annotations

import pytest

from anchorcalc.catalog.tables import Catalog
from anchorcalc.interview.sketch import doubts, sketch
from anchorcalc.scenario.model import Scenario
from anchorcalc.scenario.tyres import through_tyres
from anchorcalc.verdict.check import check
from tests.conftest import edited, roadster


def of(*edits: tuple[tuple[str | int, ...], object]) -> Scenario:
    texts = roadster()
    for corner in ("front left", "front right", "rear left", "rear right"):  # hooks beyond the wheels: nothing odd
        texts["load"]["tie_points"][corner]["at"][0] = "152 in" if "front" in corner else "40 in"
    for path, value in edits:
        texts = edited(texts, *path, value=value)
    return Scenario.model_validate(texts)


def test_everything_stands_where_it_is() -> None:
    """Deck 192 in by 80 in, 66 columns and 14 rows: a ring at 172 in, 34 in is column 59, row 1."""
    _, *rows, _, legend = sketch(of()).splitlines()
    inside = [row[1:-1] for row in rows]
    assert {len(row) for row in inside} == {67}
    assert len(inside) == 15
    assert [inside[row][column] for row, column in ((1, 59), (13, 59), (1, 7), (13, 7))] == ["O"] * 4
    assert [inside[row][column] for row, column in ((2, 48), (12, 48), (2, 18), (12, 18))] == ["#"] * 4
    assert [inside[row][column] for row, column in ((4, 52), (10, 14))] == ["x"] * 2
    assert inside[7][33] == "+"
    assert sum(row.count("O") for row in inside) == 4
    assert "." in inside[3][52:59]
    assert "the front is right" in legend


def test_what_lies_beyond_the_deck_is_left_out() -> None:
    picture = sketch(of((("load", "tie_points", "front left", "at"), ["250 in", "0 in", "12 in"])))
    assert picture.count("x") == 3 + 1  # and the one of the legend
    assert len({len(line) for line in picture.splitlines()[:-1]}) == 1


def test_nothing_is_asked_back_where_nothing_is_odd() -> None:
    assert list(doubts(of())) == []


@pytest.mark.parametrize(
    ("path", "value", "words"),
    [
        (("load", "tie_points", "front left", "at"), ["135 in", "0 in", "12 in"], "Strap front left crosses an axle"),
        (("load", "tie_points", "rear right", "at"), ["60 in", "0 in", "12 in"], "Strap rear right crosses an axle"),
        (("load", "tie_points", "front left", "at"), ["138 in", "20 in", "12 in"], "Strap front left hooks in behind"),
        (("load", "tie_points", "front left", "at"), ["110 in", "34 in", "12 in"], "Strap front left crosses an axle"),
        (("anchors", "front left", "at"), ["141 in", "27 in"], "Ring front left lies under a tyre"),
    ],
)
def test_what_is_odd_is_asked_back(path: tuple[str, ...], value: list[str], words: str) -> None:
    found = list(doubts(of((path, value))))
    assert any(words in each for each in found), found
    name = path[-2]
    assert all(name in each for each in found)


@pytest.mark.parametrize(
    ("ring", "hook", "crosses"),
    [
        # The tyre's foot is 18.1 in by 6.3 in about (141, 27) [judgement]: x 131.9 to 150.1, y 23.9 to 30.1.
        ((109.5, 26), (152, 12), False),  # at x = 131.9 it is at y = 18.6
        ((109.5, 36), (152, 20), True),  # at x = 132 it is at y = 27.5
        ((172, 34), (136, 20), True),  # at x = 150 it is at y = 25.4
        ((172, 34), (152, 20), False),
        ((172, 23.8), (120, 23.8), False),
        ((172, 24), (120, 24), True),
    ],
)
def test_a_strap_through_a_tyre_is_one_word_for_start_and_check(
    ring: tuple[float, float], hook: tuple[float, float], crosses: bool, catalog: Catalog
) -> None:
    place = [f"{each} in" for each in hook]
    scenario = of(
        (("anchors", "front left", "at"), [f"{each} in" for each in ring]),
        (("load", "tie_points", "front left", "at"), [*place, "12 in"]),
    )
    asked = [each for each in doubts(scenario) if "through the tyre" in each]
    told = [each for each in check(scenario, catalog).not_checked if "cross a tyre" in each]
    assert [len(asked), len(told)] == [crosses, crosses]
    assert all("front left" in each for each in (*asked, *told))
    skids = scenario.load.model_copy(update={"kind": "machine on skids"})
    assert through_tyres(scenario.model_copy(update={"load": skids})) == ()
