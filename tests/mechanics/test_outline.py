"""Outlines of bases and edges of decks, by plain geometry."""

from __future__ import annotations

from math import pi, sqrt

import pytest

from anchorcalc.mechanics.outline import deck_edges, half_width_at, outline


def test_round_corners_go_round_in_steps() -> None:
    """4 by 2 with corners of 0.5: the middles of the corners stand at ±1.5, ±0.5."""
    around = outline((4.0, 2.0), 0.5, 0.0)
    assert len(around) == 4 * 10
    assert around[0] == pytest.approx((2.0, 0.5))
    assert around[3] == pytest.approx((1.5 + 0.5 * sqrt(3) / 2, 0.75))  # 30°
    assert around[9] == pytest.approx((1.5, 1.0))
    assert around[10] == pytest.approx((-1.5, 1.0))
    assert around[20] == pytest.approx((-2.0, -0.5))
    assert around[39] == pytest.approx((2.0, -0.5))
    assert outline((4.0, 2.0), 0.0, 0.0) == [(2.0, 1.0), (-2.0, 1.0), (-2.0, -1.0), (2.0, -1.0)]
    assert outline((4.0, 2.0), 0.0, pi / 2)[0] == pytest.approx((-1.0, 2.0))


def test_half_the_width_of_a_deck_that_narrows_and_ends_in_a_nose() -> None:
    """5 long, 2 wide behind and 1.6 in front: 0.88 at 3; from there a nose of 2 to 0.4 wide."""
    assert half_width_at(2.5, 5.0, 2.0, 1.6) == pytest.approx(0.9)
    assert half_width_at(3.0, 5.0, 2.0, 1.6, (2.0, 0.4)) == pytest.approx(0.88)
    assert half_width_at(4.0, 5.0, 2.0, 1.6, (2.0, 0.4)) == pytest.approx((0.88 + 0.2) / 2)
    assert half_width_at(5.0, 5.0, 2.0, 1.6, (2.0, 0.4)) == pytest.approx(0.2)


def test_the_edges_of_a_deck_go_through_its_corners() -> None:
    """4 long, 3 wide behind and 2 in front of it, with a nose of 1 to 0.5: corners at 0, 3 and 4."""
    edges = dict(deck_edges(4.0, 3.0, 3.0, (1.0, 0.5)))
    assert list(edges) == [
        "rear edge", "front edge", "left edge", "right edge", "left edge of the nose", "right edge of the nose",
    ]  # fmt: skip
    slant = sqrt(1.0 + 1.25**2)
    nose = edges["left edge of the nose"]
    assert nose.normal == pytest.approx((1.25 / slant, 1.0 / slant))
    for side, names in (
        (1.0, ("left edge", "left edge of the nose")),
        (-1.0, ("right edge", "right edge of the nose")),
    ):
        for name, corners in zip(names, (((0.0, 1.5), (3.0, 1.5)), ((3.0, 1.5), (4.0, 0.25))), strict=True):
            for x, y in corners:
                assert edges[name].normal[0] * x + edges[name].normal[1] * side * y == pytest.approx(edges[name].offset)
    narrow = dict(deck_edges(4.0, 3.0, 2.0))["left edge"]
    assert narrow.normal == pytest.approx((0.5 / sqrt(16.25), 4.0 / sqrt(16.25)))
    assert narrow.offset == pytest.approx(4.0 * 1.5 / sqrt(16.25))
