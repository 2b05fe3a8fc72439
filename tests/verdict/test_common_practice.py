"""Facts of the trade, held as checks. Common practice, no source."""

from __future__ import annotations

import copy
import math

import pytest

from anchorcalc.catalog.tables import Catalog
from anchorcalc.resources import data_folder
from anchorcalc.scenario.model import Scenario
from anchorcalc.units import unit_worth
from anchorcalc.verdict.check import compare
from tests.conftest import Texts, checked, edited, roadster, texts_of, worst_breaking

CATALOG = Catalog()
LB = unit_worth("lbf", "force")
FOOT, INCH = 0.3048, 0.0254


def single_deck() -> Texts:
    """The roadster's rings on one sound 3/4 in layer, screws no longer than it is thick."""
    texts = roadster()
    texts["deck"]["layers"] = texts["deck"]["layers"][:1]
    texts["mountings"]["four screws"]["fasteners"]["length"] = "7/8 in"
    return texts


def by_mounting(texts: Texts) -> dict[str, tuple[float, float]]:
    compared = compare(Scenario.model_validate(texts), CATALOG)
    return {each.mounting: (each.worst_anchor.breaking, each.worst_anchor.working) for each in compared}


@pytest.mark.parametrize("level", [0, 1], ids=["breaking", "working"])
def test_screws_hold_least_then_large_washers_then_a_plate(level: int) -> None:
    held = {name: strengths[level] for name, strengths in by_mounting(single_deck()).items()}
    assert held["four screws"] < held["bolts and washers"] <= held["plated"] <= held["bridge bars"]


def test_two_of_four_bolts_through_an_angle_hold_more_than_the_deck_alone() -> None:
    texts = texts_of(data_folder("scenarios") / "utility-cart-angle.yaml")
    held = by_mounting(texts)
    for through, alone in zip(held["through the angle"], held["deck only, large washers"], strict=True):
        assert through > alone


def test_a_tight_cut_out_holds_no_less_than_a_loose_one() -> None:
    tight = edited(roadster(), "mountings", "plated", "cut_out", value=["2 1/2 in", "2 1/2 in"])
    loose = edited(roadster(), "mountings", "plated", "cut_out", value=["2 11/16 in", "2 11/16 in"])
    strengths = {}
    for name, texts in (("tight", tight), ("loose", loose)):
        crushing = [
            link for anchor in checked(texts, CATALOG).anchors for link in anchor.links if "crushes" in link.name
        ]
        strengths[name] = min(link.working for link in crushing)
    assert strengths["loose"] < strengths["tight"] < math.inf
    assert worst_breaking(checked(tight, CATALOG)) >= worst_breaking(checked(loose, CATALOG))


def test_a_sheet_of_three_quarter_plywood_weighs_about_sixty_pounds_and_is_taken_heavier() -> None:
    area, thickness = 4 * FOOT * 8 * FOOT, 0.75 * INCH
    taken = CATALOG.panel("softwood-plywood").density * area * thickness / LB
    light_species = 460 * 9.80665 * area * thickness / LB  # spruce plywood, 460 kg/m3
    assert light_species == pytest.approx(60, rel=0.08)
    assert taken == pytest.approx(72, rel=0.01)  # the association's 3.0 psf per inch
    assert taken > light_species


def test_a_light_vehicle_on_rings_held_by_screws_only_does_not_pass() -> None:
    texts = texts_of(data_folder("scenarios") / "roadster-screws.yaml")
    result = checked(texts, CATALOG)
    assert result.verdict != "pass"
    assert any("screw gives way" in reason for reason in result.reasons)
    plated = copy.deepcopy(texts)
    for anchor in plated["anchors"].values():
        anchor["mounting"] = "plated"
    assert checked(plated, CATALOG).verdict == "pass"
