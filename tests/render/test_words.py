"""Sentences that more than one renderer makes."""

from __future__ import annotations

from anchorcalc.render.words import listed


def test_names_with_commas_are_told_apart_by_more_than_a_comma() -> None:
    assert listed(["front left", "rear left"]) == "front left, rear left"
    assert listed(["front left", "front left, second"]) == "front left; front left, second"
    assert listed(["one, alone"]) == "one, alone"
