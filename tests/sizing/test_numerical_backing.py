"""Plates and washers on the deck: first permanent bend and bearing, against the effective-disc rule."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest

from anchorcalc.links.bolted import crushing
from anchorcalc.links.common import Question
from anchorcalc.links.path import pull_of
from anchorcalc.rig.parts import Bearing, Bolts, PlateSeat, WasherSeat
from anchorcalc.sizing.numerical_backing import backing_bend, bearing_map
from anchorcalc.sizing.stock import StockBacking, with_choice
from tests.conftest import roadster
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


def washers(outside: float, thickness: float) -> Bearing:
    return Bearing(WasherSeat(outside * INCH, thickness * INCH, CATALOG.steel("mild")))


@pytest.mark.parametrize("bolt", ["3/8-16", "1/2-13"])
@pytest.mark.parametrize("direction", [UP, SLANTED], ids=["up", "slanted"])
def test_no_plate_or_thick_washer_bends_for_good_below_the_closed_working_level(
    bolt: str, direction: np.ndarray
) -> None:
    """The disc that the closed rule lets bear is one its steel can press on the wood.

    Not so for thin washers: one of 1 1/2 in and 0.064 in dishes at 0.5 to 0.7 of that level already, as the strip
    of the rule bends less than a disc that is loaded all round.
    """
    backings: list[StockBacking] = [plate(side, t) for side in (5, 8) for t in (1 / 8, 3 / 8)]
    backings.append(washers(1.5, 0.112))
    for backing in backings:
        question = on(backing, bolt, direction)
        assert backing_bend(question).first_bend > crushing(question).working


def test_the_daily_disc_is_within_what_the_thin_plate_carries() -> None:
    """Elastic moments nowhere beyond f_y t²/4 are a lower bound of what a plate carries; crushing sets no breaking."""
    assert crushing(on(plate(6, 3 / 16))).breaking == float("inf")
    for t in (1 / 8, 3 / 16, 1 / 4):
        question = on(plate(6, t), "3/8-16")
        bend = backing_bend(question)
        assert bend.carries() > 1.4 * bend.first_bend
        assert bend.carries() > 2 * crushing(question).working


def test_a_thicker_or_stronger_plate_bends_for_good_later() -> None:
    by_t = [backing_bend(on(plate(6, t))).first_bend for t in (1 / 8, 3 / 16, 1 / 4, 3 / 8)]
    by_steel = [backing_bend(on(plate(6, 3 / 16, steel))).first_bend for steel in ("5052-H32", "A36", "A572-50")]
    washer = [backing_bend(on(washers(1.5, t))).first_bend for t in (0.051, 0.08, 0.112)]
    for rising in (by_t, by_steel, washer):
        assert all(more > less for less, more in itertools.pairwise(rising))


@pytest.mark.parametrize("backing", [plate(6, 3 / 16), washers(1.5, 0.08)], ids=["plate", "washer"])
def test_pressure_under_it_balances_the_nuts(backing: Bearing) -> None:
    question = on(backing)
    bend = backing_bend(question)
    contact = bend.at(2000.0)
    quarter = 4 if backing.kind == "plate" else 1
    wanted = 2000.0 * (question.pull.lifting if backing.kind == "plate" else question.pull.most)
    assert quarter * float(contact.pressure @ contact.area) == pytest.approx(wanted, rel=1e-6)


def test_symmetry_changes_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    question = on(plate(6, 3 / 16))
    quarter = backing_bend(question).first_bend
    monkeypatch.setattr("anchorcalc.sizing.numerical_backing._mirrored", lambda *_: False)
    assert backing_bend(question).first_bend == pytest.approx(quarter, rel=2e-3)


def test_a_slanted_pull_is_not_taken_for_a_symmetric_one() -> None:
    question = on(plate(6, 3 / 16), direction=SLANTED)
    assert np.ptp(question.pull.tensions) > 0
    assert backing_bend(question).first_bend < 1.0 / 0.74162 * backing_bend(on(plate(6, 3 / 16))).first_bend * 1.001


@pytest.mark.parametrize("backing", [plate(6, 3 / 16), washers(1.5, 0.08)], ids=["plate", "washer"])
def test_the_map_shows_what_bears(backing: Bearing) -> None:
    question = on(backing)
    found = bearing_map(backing_bend(question), 3000.0, cells=40)
    pressure = np.array(found.pressure)
    on_it = np.isfinite(pressure)
    assert np.nanmin(pressure) >= 0
    assert pressure[on_it] == pytest.approx(pressure[::-1, ::-1][on_it], rel=1e-6, abs=1.0)
    cell = (found.x[1] - found.x[0]) * (found.y[1] - found.y[0])
    # A base that pries at its edges pulls harder on its bolts than the pull on the ring.
    wanted = found.pull * (question.pull.lifting if backing.kind == "plate" else question.pull.most)
    # The map knows nothing of bolt holes, where the model has no wood.
    assert np.nansum(pressure) * cell == pytest.approx(wanted, rel=0.12)
