"""What is written reads back: every text the same, whatever it holds."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from anchorcalc.catalog.tables import Catalog
from anchorcalc.reading.document import read_document
from anchorcalc.render.json.writer import plain
from anchorcalc.scenario.read import parse_scenario, read_scenario
from anchorcalc.scenario.rewriter import rewritten
from anchorcalc.scenario.writer import scalar, scenario_text
from anchorcalc.verdict.check import check
from tests.conftest import SCENARIOS, texts_of

NAMES = st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=12).filter(lambda text: text != "<<")
AWKWARD = ["null", "~", "yes", "on", "1.10", "-", "- a", "a: b", "a #b", "#14", "'", '"', "[", "{x", "!t", "&a", "*a",
           "|", ">", "%", "@", "`", "a,b", " lead", "trail ", "3/4 in", "-34 in", "?", "a\nb", "\u2028", "\x07", "é",
           "\U0001f600", "=", "\u00a0x", "\\", "---", "...", "0x1f"]  # fmt: skip


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_shipped_scenarios_keep_their_texts_and_their_result(path: Path, catalog: Catalog) -> None:
    texts = texts_of(path)
    written = scenario_text(texts)
    assert read_document(written).content == texts
    again = parse_scenario(written, "again", catalog=catalog)
    first = read_scenario(path, catalog=catalog)
    assert again == first
    assert plain(check(again, catalog)) == plain(check(first, catalog))


@pytest.mark.parametrize("text", AWKWARD)
def test_awkward_texts_come_back(text: str) -> None:
    content = {text: {text: text, "list": [text, {text: [text]}]}, "straps": {text: {"to": text}}}
    document = read_document(scenario_text(content))
    assert document.faults == []
    assert document.content == content


@given(st.dictionaries(NAMES, st.recursive(NAMES, lambda part: st.lists(part, min_size=1, max_size=3)
       | st.dictionaries(NAMES, part, min_size=1, max_size=3), max_leaves=8), min_size=1, max_size=4))  # fmt: skip
def test_any_texts_come_back(content: dict[str, object]) -> None:
    document = read_document(scenario_text(content))  # type: ignore[arg-type]
    assert document.faults == []
    assert document.content == content


@given(NAMES)
def test_another_yaml_reader_reads_a_scalar_alike(text: str) -> None:
    assert yaml.load(f"[{scalar(text)}]", Loader=yaml.BaseLoader) == [text]


def test_a_section_has_a_word_on_what_it_is_and_names_stand_one_a_line() -> None:
    content = {"units": "us", "load": {"name": "cart", "wheels": {"one": ["1 m", "0 m"], "two": ["1 m", "1 m"]}},
               "deck": {"layers": [{"panel": "osb"}]}}  # fmt: skip
    lines = scenario_text(content).splitlines()  # type: ignore[arg-type]
    assert lines[2] == "units: us  # units of what is shown: us or si"
    assert lines[lines.index("load:") - 1].startswith("# The vehicle carried.")
    assert lines[lines.index("  wheels:") + 1 :][:2] == ["    one: [1 m, 0 m]", "    two: [1 m, 1 m]"]
    assert lines[lines.index("  layers:") + 1] == "    - {panel: osb}"


# --- a file that is changed ---------------------------------------------------------------------------------


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_a_changed_file_keeps_its_remarks_and_says_what_it_shall(path: Path) -> None:
    text, texts = path.read_text(encoding="utf-8"), texts_of(path)
    texts["load"]["weight"] = "1 kN"
    texts["deck"]["layers"] = [dict(texts["deck"]["layers"][0]), *texts["deck"]["layers"]]
    name, mounting = next(iter(texts["mountings"].items()))
    texts["mountings"][f"{name}: on washers"] = {**mounting, "backing": {"kind": "washers", "outside": "2 in"}}
    del texts["mountings"][name]
    del texts["deck"]["hold_down"]["screw"]
    changed = rewritten(text, texts, ["Changed: much."])
    assert read_document(changed).content == texts
    assert changed.startswith("# Changed: much.\n")
    remarks = [line for line in text.splitlines() if line.startswith("#")]
    assert set(remarks) <= set(changed.splitlines())


def test_a_file_that_no_round_trip_keeps_is_written_anew() -> None:
    texts = {"title": "a", "load": {"weight": "0o17"}}
    assert read_document(rewritten("title: a\nload: {weight: 0o17, weight: 1}\n", texts)).content == texts  # type: ignore[arg-type]
