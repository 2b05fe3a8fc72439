"""The plate under the deck for the picture: its pressure in balance with the pull, its steel against the daily rule."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from anchorcalc.links.bolted import crushing
from anchorcalc.links.common import Question
from anchorcalc.links.lift import lifted_decks, plates_under
from anchorcalc.links.pull import pull_of
from anchorcalc.mechanics.steel_sections import hinge_moments
from anchorcalc.rig.parts import Bearing, Bolts, PlateSeat, WasherSeat
from anchorcalc.sizing.bearing import bearing_map, first_bend
from anchorcalc.sizing.stock import StockBacking, with_choice
from tests.conftest import edited, roadster
from tests.sizing.setups import CATALOG, INCH, UP, ask

SLANTED = np.array([-0.6, 0.3, 0.74162])


def on(backing: StockBacking, bolt: str = "1/2-13", direction: np.ndarray = UP) -> Question:
    """The demo's anchor with another backing and bolt."""
    question = ask(roadster(), direction)
    bolts = Bolts(CATALOG.thread(bolt), CATALOG.bolt_grade("SAE 5"), None, None)
    setting = with_choice(question.anchor, backing, bolts)
    return replace(question, anchor=setting, pull=pull_of(setting, direction, question.basis))


def plate(side: float, thickness: float, steel: str = "A36") -> Bearing:
    return Bearing(PlateSeat((side * INCH, side * INCH), thickness * INCH, CATALOG.steel(steel)))


@pytest.mark.parametrize("direction", [UP, SLANTED], ids=["up", "slanted"])
def test_the_wood_gives_back_what_the_nuts_pull(direction: np.ndarray) -> None:
    question = on(plate(6, 3 / 16), direction=direction)
    found = bearing_map(question, 1000.0)
    assert found is not None
    cell = (found.x[1] - found.x[0]) * (found.y[1] - found.y[0])
    assert np.sum(found.pressure) * cell == pytest.approx(1000.0 * question.pull.lifting, rel=0.12)
    for under in plates_under(question):
        assert under.bed.forces.sum() == pytest.approx(question.pull.lifting, rel=1e-6)


def test_the_moment_across_the_plate_is_that_of_the_forces_on_it() -> None:
    """By statics at every cut: presses beyond it times their levers, less the nuts' pulls times theirs."""
    question = on(plate(6, 1 / 4))
    for under in plates_under(question):
        nuts = np.array([(nut.x[0] + nut.x[1]) / 2 for nut in under.plate.nuts])
        pulls = np.full(4, question.pull.lifting / 4)
        cuts = np.linspace(-2.9, 2.9, 400)[:, None] * INCH
        by_hand = (
            np.maximum(under.bed.places[:, 0] - cuts, 0.0) @ under.bed.forces - np.maximum(nuts - cuts, 0.0) @ pulls
        )
        across = hinge_moments(under.bed.solution)[0] * 6 * INCH
        assert across == pytest.approx(np.abs(by_hand).max(), rel=0.05)


def test_a_narrow_plate_bends_as_a_beam() -> None:
    """1 in wide, less than a nut and a thickness each side: at a nut the mean over all of it, by statics alone."""
    narrow = Bearing(PlateSeat((6 * INCH, 1 * INCH), 0.25 * INCH, CATALOG.steel("A36")))
    texts = edited(
        roadster(),
        "mountings",
        "plated",
        "fasteners",
        "at",
        value={"points": [["-1.6 in", "0 in"], ["1.6 in", "0 in"]]},
    )
    question = ask(texts, UP)
    question = replace(question, anchor=with_choice(question.anchor, narrow, question.anchor.mounting.bolts))
    by_hand = []
    for under in plates_under(question):
        nuts = np.array([np.linspace(*nut.x, 101) for nut in under.plate.nuts])  # each pulls evenly over its width
        cuts = np.concatenate([np.linspace(*nut.x, 5) for nut in under.plate.nuts])[:, None]
        pressed = np.maximum(under.bed.places[:, 0] - cuts, 0.0) @ under.bed.forces
        pulled = np.maximum(nuts - cuts[:, :, None], 0.0).mean(axis=2) @ question.pull.tensions
        by_hand.append(np.abs(pressed - pulled).max() / INCH)
    (lifted,) = lifted_decks(question)
    assert lifted.asked is not None
    assert lifted.asked.steel == pytest.approx(max(by_hand), rel=0.08)


@pytest.mark.parametrize("bolt", ["3/8-16", "1/2-13"])
@pytest.mark.parametrize("direction", [UP, SLANTED], ids=["up", "slanted"])
def test_no_plate_bends_for_good_below_its_daily_bearing(bolt: str, direction: np.ndarray) -> None:
    for side, t in ((5, 3 / 16), (8, 3 / 16), (8, 3 / 8)):
        question = on(plate(side, t), bolt, direction)
        bend = first_bend(question)
        assert bend is not None
        assert bend > crushing(question).working


def test_thicker_and_stronger_steel_bends_later_and_washers_have_no_map() -> None:
    by_t = [first_bend(on(plate(6, t))) or 0.0 for t in (1 / 8, 3 / 16, 1 / 4, 3 / 8)]
    assert by_t == sorted(by_t)
    assert by_t[0] < by_t[-1]
    ratio = CATALOG.steel("A572-50").F_y / CATALOG.steel("A36").F_y
    assert first_bend(on(plate(6, 3 / 16, "A572-50"))) == pytest.approx(ratio * by_t[1])
    washers = on(Bearing(WasherSeat(1.5 * INCH, 0.112 * INCH, CATALOG.steel("mild"))))
    assert bearing_map(washers, 1000.0) is None
    assert first_bend(washers) is None
