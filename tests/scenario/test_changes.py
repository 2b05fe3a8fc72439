"""A copy changed value by value."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import Any

import pytest

from anchorcalc.catalog.tables import Catalog
from anchorcalc.interview.change_questions import question_about
from anchorcalc.interview.changes import Anew, Entry, changed, differences, entries
from anchorcalc.interview.deck_questions import layer_anew
from anchorcalc.interview.guided import Interview, Slip, understood
from anchorcalc.interview.mounting_questions import mounting_added, mounting_anew
from anchorcalc.interview.strap_questions import strap_anew
from anchorcalc.interview.writer import scenario_text
from anchorcalc.reading.document import Plain
from anchorcalc.scenario.model import Scenario
from anchorcalc.scenario.read import parse_scenario
from tests.conftest import SCENARIOS, roadster, texts_of


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_every_value_is_listed_once_and_so_is_what_may_be_added(path: Path) -> None:
    texts = texts_of(path)
    everything = entries(texts, Scenario.model_validate(texts))
    assert len({entry.path for entry in everything}) == len(everything)
    listed = [entry for entry in everything if not isinstance(entry, Anew)]
    for entry in listed:
        place: Any = texts
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
    offered = {
        entry.path
        for entry in entries(texts, Scenario.model_validate(texts))
        if entry.value is None and not isinstance(entry, Anew)
    }
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


# --- what a value may be -----------------------------------------------------------------------------------


def entry_at(texts: dict[str, Any], *path: str | int) -> Entry:
    listed = entries(texts, Scenario.model_validate(texts))
    return next(entry for entry in listed if entry.path == path and not isinstance(entry, Anew))


@pytest.mark.parametrize(
    ("path", "choices"),
    [
        (("rules",), {"us-road", "eu-road"}),
        (("units",), {"us", "si"}),
        (("load", "kind"), {"car", "tractor", "mower"}),
        (("deck", "layers", 1, "condition"), {"sound", "weathered"}),
        (("deck", "layers", 1, "face_grain"), {"along", "across"}),
        (("deck", "cross_members", "steel"), {"mild", "304"}),
        (("deck", "hold_down", "screw"), {"#12 self-drilling"}),
        (("mountings", "four screws", "fasteners", "size"), {"#14", "8 mm"}),
        (("mountings", "plated", "fasteners", "size"), {"1/2-13", "M10"}),
        (("mountings", "plated", "fasteners", "grade"), {"SAE 5", "A307 A"}),
        (("mountings", "plated", "backing", "kind"), {"none", "washers", "plate", "member", "bridge"}),
        (("anchors", "front left", "mounting"), {"four screws", "plated"}),
        (("straps", "front left", "anchor"), {"front left", "rear right"}),
        (("straps", "front left", "to"), {"front left", "rear right"}),
        (("straps", "front left", "route"), {"direct", "over"}),
        (("load", "weight"), set()),
        (("title",), set()),
        (("load", "wheels", "front left", 0), set()),
    ],
)
def test_a_value_that_is_one_of_a_list_has_its_choices(
    path: tuple[str | int, ...], choices: set[str], catalog: Catalog
) -> None:
    texts = roadster()
    question = question_about(entry_at(texts, *path), texts, catalog)
    assert set(question.choices) >= choices
    assert bool(question.choices) == bool(choices)
    if choices:
        assert "not in the list" in _slip(question, "nonesuch ?")


def _slip(question: Any, text: str) -> str:
    with pytest.raises(Slip) as told:
        understood(question, text)
    return str(told.value)


@pytest.mark.parametrize(
    ("path", "text", "words"),
    [
        (("load", "weight"), "1900 in", "is a length"),
        (("load", "weight"), "don't know", "has to be known; Enter takes 1650 lb"),
        (("deck", "length"), "don't know", "has to be known"),
        (("anchors", "front left", "at", 1), "don't know", "has to be known"),
        (("anchors", "front left", "at", 1), "12 lb", "a length is wanted"),
        (("load", "friction"), "2", "plain number"),
        (("title",), "a\x07b", "ordinary signs"),
    ],
)
def test_a_new_value_that_will_not_do_is_told_at_once(
    path: tuple[str | int, ...], text: str, words: str, catalog: Catalog
) -> None:
    texts = roadster()
    assert words in _slip(question_about(entry_at(texts, *path), texts, catalog), text)


@pytest.mark.parametrize(
    "path", [("straps", "front left", "rated"), ("deck", "cross_members", "rails"), ("load", "length")]
)
def test_a_key_that_is_not_needed_may_be_not_known(path: tuple[str, ...], catalog: Catalog) -> None:
    texts = roadster()
    assert understood(question_about(entry_at(texts, *path), texts, catalog), "don't know") is None


def test_what_stood_under_assumed_may_be_taken_out(catalog: Catalog) -> None:
    texts = roadster() | {"assumed": {"metal of the bars": "mild"}}
    entry = entry_at(texts, "assumed", "metal of the bars")
    assert understood(question_about(entry, texts, catalog), "don't know") is None


# --- parts described anew ----------------------------------------------------------------------------------


def described(walk: Any, texts: dict[str, Any], answers: list[str]) -> dict[str, Any]:
    interview = Interview(walk, texts)
    for answer in answers:
        interview.answer(answer)
    assert interview.draft is not None, interview.question
    return interview.draft.content


SCREWS_TO_WASHERS = ["", "", "", "don't know", "", "bolt", "1/2-13", "SAE 5", "4", "", "", "washers", "1 1/2 in",
                     "0.08 in", "mild"]  # fmt: skip


def test_screws_become_the_shipped_bolts_with_washers(catalog: Catalog) -> None:
    """Described anew by questions, Enter where nothing changes, they are what the file calls bolts and washers."""
    texts = roadster()
    content = described(partial(mounting_anew, catalog, texts, "four screws"), texts, SCREWS_TO_WASHERS)
    assert content["mountings"]["four screws"] == texts["mountings"]["bolts and washers"]
    assert texts == roadster()
    content["mountings"]["four screws"] = texts["mountings"]["four screws"]
    assert content == texts


def test_washers_become_the_shipped_plate(catalog: Catalog) -> None:
    texts = roadster()
    answers = ["", "", "", "don't know", "", "", "", "", "4", "", "", "plate", "6 in", "", "3/16 in", ""]
    content = described(partial(mounting_anew, catalog, texts, "bolts and washers"), texts, answers)
    assert content["mountings"]["bolts and washers"] == texts["mountings"]["plated"]


def test_another_mounting_has_a_name_of_its_own(catalog: Catalog) -> None:
    texts = roadster()
    interview = Interview(partial(mounting_added, catalog, texts), texts)
    with pytest.raises(Slip, match="taken already"):
        interview.answer("plated")
    answers = ["plan 5", "1666 lbf", "4 1/2 in", "", "don't know", "1/2 in", *SCREWS_TO_WASHERS[5:9], "3 1/4 in",
               *SCREWS_TO_WASHERS[10:]]  # fmt: skip
    content = described(partial(mounting_added, catalog, texts), texts, answers)
    assert list(content["mountings"]) == [*texts["mountings"], "plan 5"]
    assert content["mountings"]["plan 5"] == texts["mountings"]["bolts and washers"]


def test_what_was_assumed_for_the_former_mounting_is_forgotten_and_its_opening_stays(catalog: Catalog) -> None:
    texts = roadster()
    others = {"metal of the bars of bridge bars": "mild", "metal of the plate of a pair of four screws": "mild"}
    texts["assumed"] = {"size of the wood screws of four screws": "#8", **others}
    texts["mountings"]["a pair of four screws"] = texts["mountings"]["plated"]
    texts["mountings"]["four screws"]["cut_out"] = ["1 in", "1 in"]
    content = described(partial(mounting_anew, catalog, texts, "four screws"), texts, SCREWS_TO_WASHERS)
    assert content["assumed"] == others
    assert content["mountings"]["four screws"]["cut_out"] == ["1 in", "1 in"]


def test_a_strap_described_anew_goes_where_it_went(catalog: Catalog) -> None:
    texts = roadster()
    answers = ["chain", "3/8 in", "70", "6600 lbf", "don't know", "don't know"]
    content = described(partial(strap_anew, catalog, texts, "front left"), texts, answers)
    assert content["straps"]["front left"] == {
        "anchor": "front left", "to": "front left", "kind": "chain", "size": "3/8 in", "grade": "70",
        "rated": "6600 lbf",
    }  # fmt: skip
    parse_scenario(scenario_text(content), "copy", catalog=catalog)


def test_a_layer_described_anew_has_its_joints(catalog: Catalog) -> None:
    texts = roadster()
    texts["assumed"] = {"sheet joints of layer 2": "none near a ring; look from below", "sheet joints of layer 1": "x"}
    answers = ["", "", "", "weathered", "48 in, 144 in", "none"]
    content = described(partial(layer_anew, catalog, texts, 1), texts, answers)
    assert content["deck"]["layers"] == [
        texts["deck"]["layers"][0],
        {**texts["deck"]["layers"][1], "condition": "weathered", "joints_across": ["48 in", "144 in"]},
    ]
    assert content["assumed"] == {"sheet joints of layer 1": "x"}
    again = described(partial(layer_anew, catalog, content, 1), content, ["", "", "", "", "", "none"])
    assert again == content


def test_differences_name_what_came_what_went_and_what_changed() -> None:
    before: Plain = {"a": "1", "b": {"c": ["2", "3"]}, "gone": "x"}
    after: Plain = {"a": "1", "b": {"c": ["2", "4"]}, "new": {"d": "y"}}
    assert differences(before, after) == [
        (("b", "c", 1), "3", "4"), (("gone",), "x", None), (("new", "d"), None, "y"),
    ]  # fmt: skip
