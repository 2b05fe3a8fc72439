"""Rings that pull beside the asked one: which of them count, how they are laid, and who answers for which screw."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random
from typing import Any

import numpy as np
import pytest

from anchorcalc.links import lift as lift_room
from anchorcalc.links.common import Neighbour
from anchorcalc.links.lift import _Lift
from anchorcalc.links.pull import question_of
from anchorcalc.mechanics.floor import PULL_ERROR
from anchorcalc.rig.parts import near
from anchorcalc.rig.rig import Rig
from tests.links.setups import INCH, Texts, bolted, deck, plate, plywood, pull_at, rig_of, screws, setup, washers

MOUNTINGS = (screws(), bolted(washers()), bolted(plate(6.0, "3/16 in")), bolted(plate(10.0, "1/4 in")))
WELL = {"name": "well", "corner": ["66 in", "27 in"], "opposite": ["90 in", "36 in"]}
JOINT = {"joints_across": ["72 in"]}
WAY = np.array(pull_at(60.0, way=20.0))


def rings(*places: tuple[float, float], on: Texts | None = None, mounting: Texts | None = None) -> Rig:
    return rig_of(setup(on or deck(), mounting or MOUNTINGS[2], *places))


def pulled(rig: Rig, *share: float) -> _Lift:
    """The first ring, and each other pulled by so much of its pull."""
    first, *more = rig.anchors.values()
    beside = tuple(Neighbour(each, tuple(part * WAY)) for each, part in zip(more, share, strict=True))
    return _Lift(question_of(first, WAY, rig.basis, beside))


def are_near(rig: Rig) -> bool:
    one, other = rig.anchors.values()
    assert near(one, other) == near(other, one)
    return near(one, other)


@pytest.mark.parametrize(
    ("places", "on", "found"),
    [
        (((60.0, 0.0), (107.9, 0.0)), deck(), True),
        (((60.0, 0.0), (108.1, 0.0)), deck(), False),  # three spacings of 16 in along
        (((60.0, -16.0), (60.0, 15.9)), deck(), True),
        (((60.0, -16.0), (60.0, 16.1)), deck(), False),  # two across
        (((60.0, 0.0), (84.0, 0.0)), deck(plywood(**JOINT)), False),
        (((60.0, 0.0), (84.0, 0.0)), deck(plywood(**JOINT), plywood(**JOINT)), False),
        (((60.0, 0.0), (84.0, 0.0)), deck(plywood(**JOINT), plywood()), True),  # the other layer goes on
        (((60.0, 0.0), (84.0, 0.0)), deck(plywood(), plywood(condition="decayed", **JOINT)), True),
        (((60.0, 0.0), (84.0, 0.0)), deck(plywood(**JOINT), plywood(condition="decayed")), False),
        (((60.0, 0.0), (74.0, 0.0)), deck(plywood(**JOINT)), True),  # under the plate of one: between is nothing
        (((60.0, -10.0), (60.0, 10.0)), deck(plywood(joints_along=["0 in"])), False),
        (((60.0, 30.0), (96.0, 30.0)), deck(wheel_wells=[WELL]), False),
        (((60.0, 20.0), (96.0, 20.0)), deck(wheel_wells=[WELL]), True),
    ],
)  # fmt: skip
def test_which_rings_lift_one_piece_of_deck(places: Sequence[tuple[float, float]], on: Texts, found: bool) -> None:
    assert are_near(rings(*places, on=on)) is found


@pytest.mark.parametrize("mounting", MOUNTINGS[:3])
def test_a_ring_on_the_next_sheet_takes_nothing_away(mounting: Texts) -> None:
    """72 in is the middle of a member: both sheets end on it, each with its own screws."""
    on = deck(plywood(**JOINT))
    alone = pulled(rings((60.0, 10.0), on=on, mounting=mounting))
    both = pulled(rings((60.0, 10.0), (84.0, 10.0), on=on, mounting=mounting), 1.0)
    assert not both.piece.why_not
    assert both.loads() == alone.loads()
    assert (both.piece.x, both.piece.y) == (alone.piece.x, alone.piece.y)


def test_a_far_ring_is_what_it_lifts_in_all() -> None:
    """36 in on, 30 in between the plates: one patch of 6 by 6 in for eight loads, with couples about its middle.

    Four bolts of a rigid base at 60° lift 0.866 in all; the couple along is that of the ring's height over what
    presses, and of the deck's half of the in-plane part: each worked out from the single loads of a near ring.
    """
    thick = {"height": 0.75, "base_thickness": "1 in"}
    rig = rings((60.0, 10.0), (96.0, 10.0), mounting=bolted(plate(6.0, "3/16 in"), **thick))
    far = pulled(rig, 0.5)
    found = {
        type(load).__name__ + getattr(load, "along", ""): force
        for load, force in zip(*far.loads()[:2], strict=False)
        if load.x[0] > 30 * INCH and load.x[1] < 42 * INCH and load.x[1] - load.x[0] > 5.9 * INCH
    }
    assert found["Patch"] == pytest.approx(0.5 * 0.8660, abs=1e-4)
    # The ring stands 0.75 in above the base's foot, the deck is 0.75 in thick: 0.5 · 0.5 cos 20° · 1.5 in forward …
    assert found["Couplex"] == pytest.approx(-0.25 * np.cos(np.radians(20)) * (0.75 + 0.75) * INCH, rel=0.02)
    assert found["Coupley"] == pytest.approx(-0.25 * np.sin(np.radians(20)) * (0.75 + 0.75) * INCH, rel=0.02)
    assert len(far.loads()[2]) == 1


def asked(of: _Lift) -> float:
    """Pull of the most loaded screw that the asked ring answers for, without what is added for the cells."""
    return max(
        way.greatest_pull(of.nearest_to(screws_there)) / (1 + PULL_ERROR)
        for layout, ways in of.answers()
        for screws_there, way in zip(layout.screws, ways, strict=True)
    )


def drawn(seed: int, along: tuple[float, float], across: float) -> tuple[Any, ...]:
    """A deck, a mounting and two rings apart by so many spacings."""
    random = Random(seed)
    spacing = random.choice((12.0, 16.0, 24.0))
    layers = [plywood(random.choice(("1/2 in", "3/4 in")))] * random.choice((1, 2))
    on = deck(*layers, spacing=spacing, hold=random.choice((4.0, 6.0, 8.0, 12.0)))
    x, y = random.uniform(20.0, 40.0), random.uniform(-30.0, 0.0)
    other = (x + random.uniform(*along) * spacing, y + across * spacing)
    return on, random.choice(MOUNTINGS), (x, y), other


@pytest.mark.parametrize("seed", range(8))
def test_how_a_far_ring_lifts_is_all_the_same(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """One patch in place of plate, seats and pads: within 1.6 % (of 900 drawn by chance) on the most loaded screw."""
    on, mounting, one, other = drawn(seed, (2.0, 2.9), 0.0)
    found = asked(pulled(rings(one, other, on=on, mounting=mounting), 1.0))
    monkeypatch.setattr(lift_room, "_FAR", np.inf)
    assert found == pytest.approx(asked(pulled(rings(one, other, on=on, mounting=mounting), 1.0)), rel=0.016)


@pytest.mark.parametrize("across", [0.0, 2.05])
@pytest.mark.parametrize("seed", range(4))
def test_a_ring_farther_off_than_near_hardly_counts(seed: int, across: float, monkeypatch: pytest.MonkeyPatch) -> None:
    on, mounting, one, other = drawn(seed, (0.0, 0.0) if across else (3.0, 3.3), across)
    alone = asked(pulled(rings(one, on=on, mounting=mounting)))
    monkeypatch.setattr(lift_room, "near", lambda *_: True)
    assert asked(pulled(rings(one, other, on=on, mounting=mounting), 1.0)) <= 1.005 * alone


def test_each_ring_answers_for_the_screws_that_are_nearest_to_it() -> None:
    """Plates of 6 in at 60 and 76 in: a screw at 68 in is as near to both, one at 72 in the other's."""
    of = pulled(rings((60.0, 10.0), (76.0, 10.0)), 1.0)
    places = tuple((x * INCH, 0.0) for x in (-4.0, 0.0, 7.9, 8.0, 8.1, 12.0))
    assert of.nearest_to(places).tolist() == [True, True, True, True, False, False]
    # One that presses only, as on bars between members, answers for no screw of the deck.
    bars = {"kind": "bridge", "width": "2 in", "thickness": "1/2 in", "steel": "mild", "bars": "2"}
    texts = setup(deck(), MOUNTINGS[2], (60.0, 10.0), (76.0, 10.0))
    texts["mountings"]["bars"] = bolted(bars)
    texts["anchors"]["ring 2"]["mounting"] = "bars"
    assert pulled(rig_of(texts), 1.0).nearest_to(places).all()
    # Nor does one that lifts less: screws that bite the upper layer alone.
    texts = setup(deck(plywood(), plywood()), MOUNTINGS[2], (60.0, 10.0), (76.0, 10.0))
    texts["mountings"]["short"] = screws(length="3/4 in")
    texts["anchors"]["ring 2"]["mounting"] = "short"
    assert pulled(rig_of(texts), 1.0).nearest_to(places).all()
