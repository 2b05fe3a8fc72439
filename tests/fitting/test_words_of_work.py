"""The order of work names what is there: washers only where some are bought, a plate only where one lies below."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from anchorcalc.fitting.sheet import fitting
from anchorcalc.resources import data_folder
from tests.conftest import Texts, edited, rig_of, roadster, texts_of

if TYPE_CHECKING:
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.result.fitting import FittingSheet


def sheet(texts: Texts, catalog: Catalog) -> FittingSheet:
    return fitting(rig_of(texts, catalog))


def with_bolts(size: str, **backing: Any) -> Texts:
    texts = edited(roadster(), "mountings", "plated", "fasteners", "size", value=size)
    return edited(texts, "mountings", "plated", "backing", value=backing) if backing else texts


def test_a_nut_on_a_plate_for_which_no_washer_is_sold_stands_on_the_steel(catalog: Catalog) -> None:
    """The tables have a plain washer for 3/8 and 1/2 in bolts and none for 7/16."""
    for size, washers in (("3/8-16", True), ("1/2-13", True), ("7/16-14", False)):
        found = sheet(with_bolts(size), catalog)
        (mounting,) = found.mountings
        (group,) = mounting.bolts
        assert (group.under_nut is not None) == washers
        assert any("Washers and lock nuts" in step for step in mounting.work) == washers
        assert any("straight on the steel" in step for step in mounting.work) != washers
        assert not any("under the washer" in words for words in (mounting.nut_why, *mounting.work))


@pytest.mark.parametrize(
    ("backing", "pressed", "seen"),
    [
        ({}, "wood over the plate", "plate lies flat against the deck with no gap all round"),
        (
            {"kind": "washers", "outside": "1 1/2 in", "thickness": "0.08 in", "steel": "mild"},
            "wood under the nuts",
            "washer begins to mark the wood",
        ),
    ],
)
def test_when_to_stop_is_what_can_be_seen_there(backing: Texts, pressed: str, seen: str, catalog: Catalog) -> None:
    found = sheet(with_bolts("1/2-13", **backing), catalog)
    ((group,),) = (mounting.bolts for mounting in found.mountings)
    assert group.tightening.pressed == pressed
    assert seen in group.tightening.stop
    assert "ring's base" in group.tightening.stop
    (caution,) = [line for line in found.cautions if line.startswith("Stop when")]
    assert seen in caution
    assert "common practice, no source" in caution
    assert ("washer begins" in caution) == (pressed == "wood under the nuts")


def test_bolts_through_a_member_pull_the_deck_down_on_it(catalog: Catalog) -> None:
    found = sheet(texts_of(data_folder("scenarios") / "utility-cart-angle.yaml"), catalog)
    told = [group.tightening for mounting in found.mountings for group in mounting.bolts]
    steel = [each for each in told if each.pressed == "wood over the cross-member"]
    assert steel
    assert all("deck lies on the cross-member" in each.stop for each in steel)


def test_screws_have_no_nut_to_stop(catalog: Catalog) -> None:
    found = sheet(texts_of(data_folder("scenarios") / "roadster-screws.yaml"), catalog)
    assert not any(line.startswith("Stop when") for line in found.cautions)
