"""What people call a key is proposed as the key, where that is allowed."""

from __future__ import annotations

import json

import pytest

from anchorcalc.catalog.tables import Catalog
from anchorcalc.reading.faults import InputFaults
from anchorcalc.resources import data_folder
from anchorcalc.scenario.json_schema import scenario_schema
from anchorcalc.scenario.read import _OTHER_WORDS, parse_scenario

ROADSTER = (data_folder("scenarios") / "roadster.yaml").read_text(encoding="utf-8")


def test_every_other_word_stands_for_a_key_that_there_is_and_is_none_itself() -> None:
    schema = json.dumps(scenario_schema(Catalog()))
    for word, key in _OTHER_WORDS.items():
        assert f'"{key}": {{' in schema
        assert f'"{word}": {{' not in schema


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("rated: 3333 lbf", "Working load limit: 3333 lbf", "did you mean 'rated'?"),
        ("centre_of_gravity", "CoG", "did you mean 'centre_of_gravity'?"),
        ("deck:\n", "deck:\n  WLL: 3333 lbf\n", "unknown key 'WLL'\n"),  # a deck has none
    ],
)
def test_other_words_are_proposed_only_where_their_key_is_allowed(old: str, new: str, told: str) -> None:
    with pytest.raises(InputFaults) as refused:
        parse_scenario(ROADSTER.replace(old, new, 1), "trailer.yaml")
    assert told in str(refused.value)
