"""Joints of a layer by how its sheets were laid."""

from __future__ import annotations

import pytest
import yaml

from anchorcalc.catalog.tables import Catalog
from anchorcalc.reading.faults import InputFaults
from anchorcalc.resources import data_folder
from anchorcalc.scenario.read import parse_scenario
from tests.conftest import Texts, checked, edited, rig_of, roadster, texts_of

CATALOG = Catalog()
INCH = 0.0254


def laid(texts: Texts, **sheets: str) -> Texts:
    return edited(texts, "deck", "layers", 0, "sheets", value=sheets)


@pytest.mark.parametrize(
    ("length", "first", "joints"),
    # A deck of 192 in: whole sheets end at its front edge, where there is no joint any more.
    [
        ("48 in", "48 in", [48, 96, 144]),
        ("96 in", "48 in", [48, 144]),
        ("96 in", "96 in", [96]),
        ("240 in", "200 in", []),
        ("70 in", "30 in", [30, 100, 170]),
    ],
)
def test_joints_follow_from_the_sheets(length: str, first: str, joints: list[float]) -> None:
    rig = rig_of(laid(roadster(), length=length, first=first), CATALOG)
    assert rig.floor.layers[0].joints_across == pytest.approx([x * INCH for x in joints])
    assert "sheet joints of layer 1" not in {each.what for each in rig.assumed}
    assert "sheet joints of layer 2" in {each.what for each in rig.assumed}


def test_sheets_and_the_joints_they_make_give_the_same_result() -> None:
    by_sheets = checked(laid(roadster(), length="96 in", first="48 in"), CATALOG)
    by_joints = checked(edited(roadster(), "deck", "layers", 0, "joints_across", value=["48 in", "144 in"]), CATALOG)
    assert by_sheets.anchors == by_joints.anchors
    assert by_sheets.verdict == by_joints.verdict


@pytest.mark.parametrize(
    ("scenario", "changes", "words"),
    [
        (
            "roadster",
            {"sheets": {"length": "48 in", "first": "60 in"}},
            "the first of the sheets is longer than a whole",
        ),
        ("roadster", {"sheets": {"length": "48 in", "first": "48 in"}, "joints_across": ["96 in"]}, "not both"),
        ("roadster", {"sheets": {"length": "1 in", "first": "1 in"}}, "at most 60 joints of all layers together"),
        ("mower-planks", {"sheets": {"length": "48 in", "first": "48 in"}}, "sheets is a word for panels"),
    ],
)
def test_sheets_that_cannot_be_are_told(scenario: str, changes: Texts, words: str) -> None:
    texts = texts_of(data_folder("scenarios") / f"{scenario}.yaml")
    texts["deck"]["layers"][0] |= changes
    with pytest.raises(InputFaults) as raised:
        parse_scenario(yaml.safe_dump(texts), "scenario", catalog=CATALOG)
    assert words in str(raised.value)
