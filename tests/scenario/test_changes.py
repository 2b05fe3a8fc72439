"""A copy changed value by value."""

from __future__ import annotations

from pathlib import Path

import pytest

from anchorcalc.catalog import Catalog
from anchorcalc.scenario.changes import changed, entries
from anchorcalc.scenario.model import Scenario
from anchorcalc.scenario.reader import parse_scenario
from anchorcalc.scenario.writer import scenario_text
from tests.conftest import SCENARIOS, roadster, texts_of


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_every_value_is_listed_once_and_so_is_what_may_be_added(path: Path) -> None:
    texts = texts_of(path)
    listed = entries(texts, Scenario.model_validate(texts))
    assert len({entry.path for entry in listed}) == len(listed)
    for entry in listed:
        place = texts
        for step in entry.path[:-1]:
            place = place[step]
        if entry.value is None:
            assert entry.path[-1] not in place
        else:
            assert place[entry.path[-1]] == entry.value
    given = sum(entry.value is not None for entry in listed)
    assert given == _leaves(texts)


def _leaves(texts: object) -> int:
    if isinstance(texts, dict):
        return sum(map(_leaves, texts.values()))
    return sum(map(_leaves, texts)) if isinstance(texts, list) else 1


def test_optional_single_values_are_offered_and_others_are_not() -> None:
    texts = roadster()
    offered = {entry.path for entry in entries(texts, Scenario.model_validate(texts)) if entry.value is None}
    assert ("load", "length") in offered
    assert ("mountings", "plated", "ring", "breaking") in offered
    assert ("straps", "front left", "route") in offered
    assert ("trailer", "axle_rating") in offered
    assert not any(path[-1] in ("cut_out", "joints_across", "wheel_wells", "rectangle", "points") for path in offered)


@pytest.mark.parametrize("value", ["12 ft", None])
def test_a_value_is_put_in_or_taken_out_of_a_copy(value: str | None, catalog: Catalog) -> None:
    texts = {**roadster()}
    texts["load"]["length"] = "11 ft"
    copy = changed(texts, ("load", "length"), value)
    assert texts["load"]["length"] == "11 ft"
    assert isinstance(copy["load"], dict)
    assert copy["load"].get("length") == value
    scenario = parse_scenario(scenario_text(copy), "copy", catalog=catalog)
    assert (scenario.load.length is None) == (value is None)


def test_an_item_of_a_list_is_changed_in_its_place(catalog: Catalog) -> None:
    copy = changed(roadster(), ("anchors", "front left", "at", 1), "33 in")
    assert parse_scenario(scenario_text(copy), "copy", catalog=catalog).anchors["front left"].at[1] == pytest.approx(
        0.8382
    )


def test_what_was_changed_to_another_kind_is_still_listed() -> None:
    texts = roadster()
    before = Scenario.model_validate(texts)
    other = changed(texts, ("mountings", "plated", "backing", "kind"), "washers")
    listed = {entry.path: entry.value for entry in entries(other, before)}
    assert listed["mountings", "plated", "backing", "kind"] == "washers"
    assert listed["mountings", "plated", "backing", "size", 0] == "6 in"
