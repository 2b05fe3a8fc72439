"""Weights: sheets by the association's rule and by hand, payload, axle and hitch by moments."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from anchorcalc.catalog.tables import Catalog
from anchorcalc.fitting.weights import balance, deck_area, layer_weights, weights
from anchorcalc.result.fitting import Weights
from anchorcalc.rig.rig import TrailerSetting
from anchorcalc.units import parse_quantity
from tests.conftest import Texts, edited, rig_of, roadster

LB = 4.4482216152605
COMMON = (0.10, 0.15)


def deck(length: str, width: str, *thicknesses: str, **more: str) -> Texts:
    texts = roadster()
    layer = {"panel": "softwood-plywood", "face_grain": "across", "condition": "sound"}
    layers = [{**layer, "thickness": each} for each in thicknesses]
    texts["deck"].update(length=length, width=width, layers=layers, **more)
    texts["deck"]["cross_members"].pop("rails")
    return texts


def weights_of(texts: Texts, catalog: Catalog, hardware: float = 0.0) -> Weights:
    return weights(rig_of(texts, catalog), hardware)


def test_one_sheet_by_the_rule_and_as_commonly_weighed(catalog: Catalog) -> None:
    """4 × 8 ft of 3/4 in: 72 lb at 3.0 psf per inch (APA), 60 lb as common light sheets; the heavier counts."""
    rig = rig_of(deck("8 ft", "4 ft", "3/4 in"), catalog)
    (layer,) = layer_weights(rig.floor, rig.basis.shelf)
    assert layer.by_table / LB == pytest.approx(72.0)
    assert layer.by_common_sheet / LB == pytest.approx(60.0)
    assert layer.weight == layer.by_table


@pytest.mark.parametrize(("thickness", "pounds"), [("3/4 in", 112.5), ("1 1/8 in", 168.75)])
def test_another_layer_over_ten_by_five_feet_adds_100_to_200_pounds(
    catalog: Catalog, thickness: str, pounds: float
) -> None:
    found = weights_of(deck("10 ft", "5 ft", thickness, "3/4 in"), catalog)
    assert found.added / LB == pytest.approx(pounds)
    assert 100 <= found.added / LB <= 200
    assert [layer.added for layer in found.layers] == [True, False]


def test_a_deck_that_tapers_has_the_area_of_a_trapezoid(catalog: Catalog) -> None:
    tapered = rig_of(deck("10 ft", "6 ft", "3/4 in", width_front="4 ft"), catalog)
    assert deck_area(tapered.floor) == pytest.approx(50 * 0.3048**2)


def test_payload_is_what_the_rating_leaves(catalog: Catalog) -> None:
    texts = edited(roadster(), "trailer", value={"empty_weight": "2900 lb", "gross_rating": "5000 lb"})
    found = weights_of(texts, catalog, hardware=10 * LB)
    assert found.payload is not None
    assert found.added / LB == pytest.approx(240 + 10)  # 80 × 192 in of one 3/4 in layer, and the hardware
    assert found.payload.left / LB == pytest.approx(5000 - 2900 - 1650 - 250)
    assert not found.overloaded
    texts["trailer"]["gross_rating"] = "4700 lb"
    assert weights_of(texts, catalog, hardware=10 * LB).overloaded


def test_without_a_trailer_nothing_is_claimed(catalog: Catalog) -> None:
    texts = roadster()
    del texts["trailer"]
    found = weights_of(texts, catalog)
    assert found.payload is found.balance is found.axle is None
    assert not found.overloaded


def trailer(axle_at: str | None = None, hitch_at: str | None = None) -> TrailerSetting:
    axle, hitch = (None if each is None else parse_quantity(each, "length") for each in (axle_at, hitch_at))
    empty, gross = (parse_quantity(each, "weight") for each in ("1000 kg", "5000 kg"))
    return TrailerSetting(empty, gross, None, axle, hitch)


def test_hitch_load_by_moments() -> None:
    """2000 kg half a metre ahead of the axle, hitch five metres ahead of it: 200 kg of it on the hitch."""
    found = balance(trailer(axle_at="2 m", hitch_at="7 m"), [(2000.0, 2.5)], COMMON)
    assert found is not None
    assert found.hitch_of_load == pytest.approx(0.1)
    assert found.ahead_of_axle == pytest.approx(0.5)
    kilogram = 9.80665
    assert found.hitch_load == (pytest.approx(200 + 100 * kilogram), pytest.approx(200 + 150 * kilogram))
    assert found.best_between == (pytest.approx(2.5), pytest.approx(2.75))


@pytest.mark.parametrize(
    ("x", "word"), [(1.0, "too light"), (2.5, "within"), (3.2, "too heavy"), (2.4, "may be within")]
)
def test_words_for_the_hitch(x: float, word: str) -> None:
    """As much load as trailer: its own share is the mean of the load's and the empty trailer's."""
    found = balance(trailer(axle_at="2 m", hitch_at="7 m"), [(9806.65, x)], COMMON)
    assert found is not None
    assert found.word == word


@pytest.mark.parametrize("places", [{}, {"axle_at": "2 m"}, {"axle_at": "3 m", "hitch_at": "2 m"}])
def test_no_balance_without_axle_and_hitch_in_their_order(places: dict[str, str]) -> None:
    assert balance(trailer(**places), [(1.0, 2.0)], COMMON) is None


def test_axle_load_is_all_that_the_hitch_does_not_carry(catalog: Catalog) -> None:
    texts = roadster()
    texts["trailer"] = {"empty_weight": "2900 lb", "gross_rating": "7000 lb", "axle_rating": "4400 lb"}
    unknown = weights_of(texts, catalog)
    assert unknown.axle is not None
    assert unknown.payload is not None
    assert unknown.axle.load == unknown.payload.total
    assert unknown.overloaded
    texts["trailer"].update(axle_at="80 in", hitch_at="240 in")
    known = weights_of(texts, catalog)
    assert known.axle is not None
    # Load 16 in ahead of the axle of 160, the added layer too: a tenth each, as of the empty trailer.
    assert known.axle.load == pytest.approx(0.9 * unknown.axle.load)
    assert not known.overloaded


@given(x=st.floats(-5, 10), push=st.floats(0.01, 2))
def test_a_load_farther_forward_puts_more_on_the_hitch(x: float, push: float) -> None:
    rear, front = (
        balance(trailer(axle_at="2 m", hitch_at="7 m"), [(5000.0, place)], COMMON) for place in (x, x + push)
    )
    assert rear is not None
    assert front is not None
    assert front.hitch_load[0] - rear.hitch_load[0] == pytest.approx(5000.0 * push / 5)
