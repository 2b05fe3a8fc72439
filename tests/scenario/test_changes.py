"""A copy changed value by value."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from anchorcalc.catalog.tables import Catalog
from anchorcalc.interview.answers import Slip
from anchorcalc.interview.changes import Copy, Entry
from anchorcalc.reading.shape import Shape, shape_of
from anchorcalc.scenario.model import Scenario
from anchorcalc.scenario.read import parse_scenario
from anchorcalc.scenario.writer import scenario_text
from tests.conftest import SCENARIOS, roadster, texts_of


def entry_at(copy: Copy, *path: str | int) -> Entry:
    return next(entry for entry in copy.rows() if entry.path == path)


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_every_value_is_listed_once_and_so_is_what_may_be_added(path: Path, catalog: Catalog) -> None:
    texts = texts_of(path)
    listed = Copy(texts, catalog).rows()
    assert len({entry.path for entry in listed}) == len(listed)
    assert len({entry.key for entry in listed}) == len(listed)
    for entry in listed:
        place: Any = texts
        for step in entry.path[:-1]:
            place = place[step]
        there = place.get(entry.path[-1]) if isinstance(place, dict) else place[entry.path[-1]]
        assert entry.value == (", ".join(there) if isinstance(there, list) else there)
    assert sum(entry.value is not None for entry in listed) == _values(texts)


def _values(texts: object) -> int:
    if isinstance(texts, dict):
        return sum(map(_values, texts.values()))
    if isinstance(texts, list) and not all(isinstance(each, str) for each in texts):
        return sum(map(_values, texts))
    return 1


def test_values_and_parts_that_are_not_there_are_offered(catalog: Catalog) -> None:
    offered = {entry.path for entry in Copy(roadster(), catalog).rows() if entry.value is None}
    assert offered >= {
        ("load", "length"),
        ("mountings", "plated", "ring", "breaking"),
        ("straps", "front left", "route"),
        ("trailer", "axle_rating"),
        ("mountings", "plated", "cut_out"),
        ("deck", "layers", 0, "joints_across"),
        ("mountings", "plated", "fasteners", "at", "rectangle"),
    }
    assert offered >= {("deck", key) for key in ("nose", "wheel_wells", "no_go")}


@pytest.mark.parametrize(
    ("path", "typed", "value"),
    [
        (("load", "length"), "12 ft", "12 ft"),
        (("load", "weight"), "1900 LBS", "1900 LBS"),
        (("load", "weight"), "1900", "1900 lb"),
        (("deck", "cross_members", "spacing"), "15", "15 in"),
        (("mountings", "plated", "ring", "pull_height"), "5/8", "5/8 in"),
        (("straps", "front left", "route"), "direct", "direct"),
        (("deck", "layers_joined"), "loose", "loose"),
        (("straps", "front left", "hand_tension"), "none", None),
        (("load", "length"), "dk", None),
    ],
)
def test_a_value_is_put_in_or_taken_out_of_a_copy(
    path: tuple[str, ...], typed: str, value: str | None, catalog: Catalog
) -> None:
    texts = roadster()
    texts["load"]["length"] = "11 ft"
    copy = Copy(texts, catalog)
    assert copy.take(entry_at(copy, *path), typed) == value
    assert texts == {**roadster(), "load": {**roadster()["load"], "length": "11 ft"}}
    assert entry_at(copy, *path).value == value
    assert len(copy.differences()) == 1


def test_enter_leaves_a_value_as_it_is(catalog: Catalog) -> None:
    copy = Copy(roadster(), catalog)
    assert copy.take(entry_at(copy, "load", "weight"), "") == "1650 lb"
    assert copy.differences() == []


@pytest.mark.parametrize(
    ("path", "text", "words"),
    [
        (("load", "weight"), "1900 in", "is a length"),
        (("load", "weight"), "19,5", "has a comma"),
        (("load", "weight"), "don't know", "missing key 'weight'"),
        (("anchors", "front left", "at"), "12 lb, 3 in", "a length is wanted"),
        (("anchors", "front left", "at"), "12 in", "a list of 2 values is wanted"),
        (("load", "friction"), "2", "plain number"),
        (("title",), "a\x07b", "ordinary signs"),
        (("units",), "imperial", "is not one of: us, si"),
        (("mountings", "plated", "backing", "kind"), "glue", "is not one of: bridge, frame, member"),
        (("mountings", "plated", "fasteners", "size"), "M7", "no bolt size 'M7'"),
        (("straps", "front left", "to"), "bumper", "no tie point 'bumper' is defined"),
    ],
)
def test_a_new_value_that_will_not_do_is_told_at_once(
    path: tuple[str, ...], text: str, words: str, catalog: Catalog
) -> None:
    copy = Copy(roadster(), catalog)
    with pytest.raises(Slip) as told:
        copy.take(entry_at(copy, *path), text)
    assert words in str(told.value)
    assert copy.differences() == []


ADDED = [
    ("deck nose", "{length: 30 in, width: 60 in}"),
    ("deck layers item 1 sheets", "{length: 96 in, first: 48 in}"),
    ("deck layers item 3", "{panel: softwood-plywood, thickness: 3/4 in, condition: sound}"),
    ("deck wheel_wells", "[{name: well, corner: [80 in, 30 in], opposite: [100 in, 36 in]}]"),
    ("deck no_go item 1", "{name: tank, corner: [80 in, 30 in], opposite: [100 in, 36 in]}"),
    ("deck cross_members joint", "{weld: 3/16 in, length: 4 in}"),
    ("load grip", "{sideways: 0.4}"),
    ("load stops chock, ahead", "{at: [160 in, 20 in, 5 in], pushes: rearward, rated: 600 lbf}"),
    ("mountings plated cut_out", "{circle: 2 in}"),
    ("mountings plated fasteners at", "{points: [[1 in, 1 in], [-1 in, -1 in]]}"),
    ("mountings spare", "{ring: {base: [4 in, 4 in], pull_height: 1 in}, backing: {kind: frame}}"),
    ("anchors beside it", "{on: front left, at: [173 in, 34 in]}"),
    ("straps front left", "{anchor: front left, over: [rear left, [136 in, 20 in, 12 in]], to_anchor: rear left, "
     "kind: webbing, width: 2 in}"),
    ("straps front left over", "[rear left, [136 in, 20 in, 12 in]]"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "typed"), ADDED, ids=[name for name, _ in ADDED])
def test_a_part_is_put_in_as_a_file_has_it_and_taken_out_again(name: str, typed: str, catalog: Catalog) -> None:
    copy = Copy(roadster(), catalog)
    entry = copy.named(name)
    assert entry is not None
    assert copy.take(entry, typed) == typed
    added = copy.named(name)
    assert added is not None
    assert added.value == typed
    assert copy.differences()
    if entry.value is None:
        assert copy.take(added, "none") is None
        assert copy.opened(added) == []
        assert copy.content == roadster()


def test_what_a_new_part_needs_beside_one_of_its_values_is_opened(catalog: Catalog) -> None:
    copy = Copy(roadster(), catalog)
    entry = copy.named("deck nose length")
    assert entry is not None
    copy.take(entry, "30 in")
    assert [opened.path for opened in copy.opened(entry)] == [("deck", "nose", "width")]
    assert copy.opened(entry_at(copy, "load", "weight")) == []


@pytest.mark.parametrize(
    ("name", "typed", "words"),
    [
        ("deck nose", "{length: 30 in", "'}' is missing"),
        ("deck nose", "{length: 30 in} x", "behind a value that has already ended"),
        ("deck nose", "{length: 30 in}", "missing key 'width'"),
        ("deck nose", "{length: 30 in, widht: 20 in}", "width"),
        ("deck nose", "30 in", "keys with values (length, width) are wanted here"),
        ("deck nose", "{a: &b c}", "anchors (&b) are not read"),
        ("load stops chock", "{at: [1 in, 2 in, 3 in], pushes: up}", "is not one of"),
        ("anchors", "none", "missing key 'anchors'"),
        ("deck layers", "none", "missing key 'layers'"),
    ],
)
def test_a_part_that_will_not_do_is_told_and_not_put_in(name: str, typed: str, words: str, catalog: Catalog) -> None:
    copy = Copy(roadster(), catalog)
    entry = copy.named(name)
    assert entry is not None
    with pytest.raises(Slip) as told:
        copy.take(entry, typed)
    assert words in str(told.value)
    assert copy.content == roadster()


@pytest.mark.parametrize("name", ["deck gremlin", "gremlin", "deck layers item 4", "load weight more", "units us"])
def test_names_that_lead_nowhere_are_no_entries(name: str, catalog: Catalog) -> None:
    assert Copy(roadster(), catalog).named(name) is None


def test_from_steel_to_wood_value_by_value(catalog: Catalog) -> None:
    copy = Copy(texts_of(next(path for path in SCENARIOS if path.stem == "motorcycle")), catalog)
    timber = "{wood: douglas-fir, breadth: 3 1/2 in, depth: 3 1/2 in, condition: sound}"
    for name, typed in (
        ("deck cross_members timber", timber),
        ("deck cross_members section", "none"),
        ("deck cross_members steel", "none"),
        ("deck hold_down screw", "#10 wood screw"),
        ("deck hold_down length", "3 in"),
    ):
        entry = copy.named(name)
        assert entry is not None
        copy.take(entry, typed)
    assert parse_scenario(scenario_text(copy.content), "copy", catalog=catalog).deck.cross_members.timber is not None


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_every_key_of_the_model_can_be_named_in_a_copy(path: Path, catalog: Catalog) -> None:
    """All keys over all levels, but of kinds of backing that are not chosen: there or to be added."""
    copy, seen = Copy(texts_of(path), catalog), set[str]()
    for way, shape in _places(shape_of(Scenario), (), copy.content):
        entry = copy.named(" ".join(way))
        assert entry is not None, way
        assert entry.shape.keys == shape.keys
        seen.add(way[-1])
    assert {"outriggers", "plank_width", "slides", "also_at", "joint", "first", "rated", "grip", "base_turned"} <= seen


def _places(shape: Shape, way: tuple[str, ...], value: Any) -> Iterator[tuple[tuple[str, ...], Shape]]:
    """Every key of `shape` and below it, by way of what is there: a name of the user's own, the first item."""
    if way:
        yield way, shape
    for key in shape.keys:
        yield from _places(shape.child(key), (*way, key), value.get(key) if isinstance(value, dict) else None)
    if shape.names_are_free:
        name = next(iter(value or {"one more": None}))
        yield from (
            _places(shape.child(name), (*way, name), value[name]) if value else [((*way, name), shape.child(name))]
        )
    elif shape.is_list and shape.child(0).keys:
        yield from _places(shape.child(0), (*way, "item 1"), value[0] if value else None)


def test_another_kind_takes_its_own_keys(catalog: Catalog) -> None:
    copy = Copy(roadster(), catalog)
    kind = entry_at(copy, "mountings", "plated", "backing", "kind")
    assert set(copy.question(kind).choices) == {"none", "washers", "plate", "member", "bridge", "frame"}
    copy.take(kind, "washers")
    assert ("mountings", "plated", "backing", "size") not in {entry.path for entry in copy.rows()}
    assert [entry.path[-1] for entry in copy.opened(kind)] == ["outside"]
    assert entry_at(copy, "mountings", "plated", "backing", "outside").value is None


def test_what_stood_under_assumed_may_be_taken_out(catalog: Catalog) -> None:
    copy = Copy(roadster() | {"assumed": {"metal of the bars": "mild"}}, catalog)
    assert copy.take(entry_at(copy, "assumed", "metal of the bars"), "none") is None
    assert copy.differences() == ["assumed › metal of the bars: mild -> (not given)"]
