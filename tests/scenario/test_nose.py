"""A deck with a pointed or rounded front."""

from __future__ import annotations

import pytest
import yaml

from anchorcalc.catalog.tables import Catalog
from anchorcalc.mechanics.outline import Box, deck_edges, gap, half_width_at
from anchorcalc.reading.faults import InputFaults
from anchorcalc.scenario.read import parse_scenario
from tests.conftest import Texts, checked, edited, rig_of, roadster

CATALOG = Catalog()
INCH = 0.0254


def nosed(length: str = "40 in", width: str = "20 in") -> Texts:
    """The demo's deck of 80 by 192 in with a nose, its front rings moved back to where the deck is wide."""
    texts = edited(roadster(), "deck", "nose", value={"length": length, "width": width})
    for side, y in (("left", "34 in"), ("right", "-34 in")):
        texts["anchors"][f"front {side}"]["at"] = ["146 in", y]
    return texts


@pytest.mark.parametrize(
    ("x", "half"),
    # Straight up to 152 in, then from 40 in to 10 in beside the centreline over 40 in: 3/4 in an inch.
    [(0, 40), (100, 40), (152, 40), (160, 34), (172, 25), (192, 10)],
)
def test_the_deck_narrows_over_its_nose(x: float, half: float) -> None:
    floor = rig_of(nosed(), CATALOG).floor
    assert floor.half_width_at(x * INCH) == pytest.approx(half * INCH)


def test_a_nose_begins_at_the_width_that_a_tapered_deck_has_there() -> None:
    # 80 in at the rear, 72 in at a front edge 160 in on: 74 in where the last 40 in begin, then down to 10 in.
    assert half_width_at(120.0, 160.0, 80.0, 72.0, (40.0, 10.0)) == pytest.approx(37.0)
    assert half_width_at(140.0, 160.0, 80.0, 72.0, (40.0, 10.0)) == pytest.approx((37 + 5) / 2)


@pytest.mark.parametrize("x", [152.0, 165.0, 180.0, 192.0])
def test_the_edges_of_a_nose_go_through_its_corners(x: float) -> None:
    edges = dict(deck_edges(192.0, 80.0, 80.0, (40.0, 20.0)))
    half = half_width_at(x, 192.0, 80.0, 80.0, (40.0, 20.0))
    for side, edge in ((1, "left edge of the nose"), (-1, "right edge of the nose")):
        assert gap(Box.about((x, side * half)), 0.0, edges[edge]) == pytest.approx(0.0, abs=1e-9)
        # 3/4 in an inch: a normal of (3, 4) / 5, so an inch further in is 0.8 in from the edge.
        assert gap(Box.about((x, side * (half - 1))), 0.0, edges[edge]) == pytest.approx(0.8)


def test_a_nose_never_makes_an_anchor_stronger_and_one_far_ahead_changes_nothing() -> None:
    plain = nosed()
    del plain["deck"]["nose"]
    results = [checked(texts, CATALOG) for texts in (plain, nosed(), nosed(length="4 in", width="78 in"))]
    without, long, short = ({each.anchor: each for each in result.anchors} for result in results)
    for name in without:
        assert long[name].working <= without[name].working * (1 + 1e-9)
    assert long["rear left"].working == without["rear left"].working
    assert short["front left"].working == without["front left"].working
    assert long["front left"].working == pytest.approx(long["front right"].working, rel=1e-9)


@pytest.mark.parametrize(
    ("nose", "words"),
    [
        ({"length": "200 in", "width": "20 in"}, "the nose is longer than the deck"),
        ({"length": "40 in", "width": "90 in"}, "a nose is no wider than the deck where it begins"),
        ({"length": "40 in"}, "missing key 'width' (at the front edge)"),
    ],
)
def test_a_nose_that_cannot_be_is_told(nose: Texts, words: str) -> None:
    with pytest.raises(InputFaults) as raised:
        parse_scenario(yaml.safe_dump(edited(nosed(), "deck", "nose", value=nose)), "scenario", catalog=CATALOG)
    assert words in str(raised.value)


def test_an_anchor_beside_the_nose_is_not_on_the_deck() -> None:
    texts = edited(nosed(), "anchors", "front left", "at", value=["172 in", "34 in"])
    with pytest.raises(InputFaults, match="the anchor's base does not lie on the deck"):
        parse_scenario(yaml.safe_dump(texts), "scenario", catalog=CATALOG)
