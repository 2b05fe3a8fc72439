"""A copy changed value by value."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from anchorcalc.catalog.tables import Catalog
from anchorcalc.interview.answers import Slip
from anchorcalc.interview.changes import Copy, Entry
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


def test_single_values_and_lists_of_them_are_offered_and_others_are_not(catalog: Catalog) -> None:
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
    assert not any(path[-1] in ("wheel_wells", "points", "no_go") for path in offered)


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
