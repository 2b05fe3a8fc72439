"""Openings cut in the upper layers alone: what they leave of the deck, by hand."""

from __future__ import annotations

import numpy as np
import pytest

from anchorcalc.fitting.clearance import conflicts, rules_of
from anchorcalc.links.bolted import _lost_to_cut_out
from anchorcalc.links.lift import lifted_decks
from anchorcalc.links.pull import question_of
from anchorcalc.scenario.crosscheck import cross_faults
from anchorcalc.scenario.model import Scenario
from tests.links.setups import CATALOG, INCH, UP, Texts, bolted, deck, links, plywood, rig_of, setup, washers

TWO = deck(plywood(), plywood())
BESIDE, OVER = (64.0, 12.0), (72.0, 12.0)  # members every 16 in from 8 in on


def sunk(layers: int | None, side: str = "2.4 in") -> Texts:
    """A base of 4 1/2 in over a square opening, on washers of 1 1/2 in whose edges reach over it."""
    cut: Texts = {"size": [side, side]} | ({} if layers is None else {"layers": str(layers)})
    return bolted(washers("1 1/2 in", "1/4 in"), height=0.0, base_thickness="1 in") | {"cut_out": cut}


def test_what_an_opening_leaves_of_two_layers() -> None:
    # Moments are averaged over the base and 1 1/2 in each side: 1 - 2.4 / (4.5 + 3) = 0.68 of a layer that is cut, and
    # of two alike in strength and stiffness (1 + 0.68) / 2.
    top, both, through = (links(TWO, sunk(layers), BESIDE)["panel_bending"] for layers in (1, 2, None))
    assert both == through
    assert through.breaking / top.breaking == pytest.approx(0.68 / 0.84, rel=1e-6)
    assert through.working / top.working == pytest.approx(0.68 / 0.84, rel=1e-6)


def test_nuts_below_a_whole_layer_bear_in_full() -> None:
    # Discs of 1 1/2 in at 1 5/8 in reach in to 7/8 in; an opening 2.4 in square to 1.2: 0.325² of each is lost, if it
    # goes through the layer they bear on. 210 psi, a quarter of the pull each.
    area = np.pi / 4 * (1.5**2 - 0.4375**2)
    for layers, lost in ((1, 0.0), (2, 0.325**2), (None, 0.325**2)):
        assert links(TWO, sunk(layers), BESIDE)["crush"].working == pytest.approx(4 * 210 * (area - lost), rel=2e-3)


def test_an_opening_above_a_whole_layer_may_lie_over_a_member() -> None:
    found = []
    for layers in (1, 2, None):
        rig = rig_of(setup(TWO, sunk(layers), (70.0, 12.0)))
        told = conflicts(rules_of(rig.anchors["ring 1"], rig.basis.shelf))
        found.append({each.part for each in told if each.obstacle.startswith("cross-member")})
    assert [("cut-out" in each) for each in found] == [False, True, True]


def test_of_layers_nobody_knows_the_grain_of_either_may_be_the_cut_one() -> None:
    unknown = deck(plywood(grain=None), plywood(grain=None))
    ways = []
    for layers in (1, None):
        rig = rig_of(setup(unknown, sunk(layers), BESIDE))
        ways.append(len(lifted_decks(question_of(rig.anchors["ring 1"], np.array(UP), rig.basis))))
    assert ways == [4, 3]
    worst = links(unknown, sunk(1), BESIDE)["panel_bending"].working
    known = [
        links(deck(plywood(grain=a), plywood(grain=b)), sunk(1), BESIDE)["panel_bending"].working
        for a in ("along", "across")
        for b in ("along", "across")
    ]
    assert worst == pytest.approx(min(known))


def test_no_more_layers_are_cut_than_there_are() -> None:
    faults = cross_faults(Scenario.model_validate(setup(TWO, sunk(3), OVER)), CATALOG)
    assert [what for path, what in faults if path[-1] == "layers"] == ["the deck has 2 layers to be cut through"]


def test_a_disc_over_the_opening_loses_what_of_its_square_lies_there() -> None:
    """A disc of 2 in, an opening of 2 by 3 in: ahead half an inch of all its height, at a corner a quarter of that.

    Right over it no more than the disc, clear of it nothing.
    """
    mounting = bolted(washers("2 in")) | {"cut_out": {"size": ["2 in", "3 in"]}}
    anchor = rig_of(setup(deck(), mounting, (64.0, 12.0))).anchors["ring 1"]
    places = np.array([(1.5, 0.0), (1.5, 2.0), (0.0, 0.0), (2.0, 0.0), (-1.25, 0.0)]) * INCH
    lost = _lost_to_cut_out(anchor, places, 2 * INCH) / INCH**2
    assert lost == pytest.approx([1.0, 0.25, np.pi, 0.0, 1.5])
