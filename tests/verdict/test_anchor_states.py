"""Anchor by anchor: never kinder than the whole result."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from anchorcalc.catalog.tables import Catalog
from anchorcalc.result import worst
from anchorcalc.result.check import AnchorState
from tests.conftest import SCENARIOS, Texts, checked, edited, roadster, texts_of


def _states(texts: Texts, catalog: Catalog) -> dict[str, AnchorState]:
    return {state.anchor: state for state in checked(texts, catalog).states}


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_the_gravest_anchor_is_as_grave_as_the_gravest_case(path: Path, catalog: Catalog) -> None:
    texts = texts_of(path)
    result = checked(texts, catalog)
    states = _states(texts, catalog)
    cases = worst(*(case.verdict for case in result.cases), "marginal" if result.unrated else "pass")
    assert worst(*(state.verdict for state in states.values() if state.verdict)) == cases
    if all(case.held for case in result.cases):
        hardest = max(case.utilisation for case in result.cases)
        assert max(state.utilisation for state in states.values()) == pytest.approx(hardest, rel=1e-9)


def test_unrated_tie_point_holds_its_own_anchor_back(catalog: Catalog) -> None:
    texts = roadster()
    del texts["load"]["tie_points"]["rear left"]["rated"]
    states = _states(texts, catalog)
    rear_left = states["rear left"]
    assert (rear_left.verdict, rear_left.why) == ("marginal", "nobody rated: tie point rear left")
    assert {states[name].verdict for name in ("front left", "front right", "rear right")} == {"pass"}


def test_no_anchor_passes_where_the_load_is_not_held(catalog: Catalog) -> None:
    held_endways = next(path for path in SCENARIOS if path.stem == "cart-held-endways-only")
    states = _states(texts_of(held_endways), catalog)
    assert {state.verdict for state in states.values()} == {"fail"}
    assert all("not held in a swerve" in state.why for state in states.values())


def test_anchor_without_a_strap_has_no_verdict(catalog: Catalog) -> None:
    texts = edited(roadster(), "anchors", "spare", value={"at": ["96 in", "0 in"], "mounting": "plated"})
    spare = _states(texts, catalog)["spare"]
    assert (spare.verdict, spare.why, spare.utilisation) == (None, "no strap hangs on it", math.inf)


def test_anchor_that_cannot_be_built_fails(catalog: Catalog) -> None:
    texts = edited(roadster(), "anchors", "spare", value={"at": ["96 in", "0 in"], "mounting": "plated"})
    pipe = {"name": "pipe", "corner": ["165 in", "30 in"], "opposite": ["175 in", "36 in"]}
    tank = {"name": "tank", "corner": ["90 in", "-6 in"], "opposite": ["102 in", "6 in"]}
    states = _states(edited(texts, "deck", "no_go", value=[pipe, tank]), catalog)
    assert (states["front left"].verdict, states["front left"].why) == ("fail", "something is in its way")
    assert states["front right"].verdict == "pass"
    assert states["spare"].verdict is None
    assert "in its way" in states["spare"].why
