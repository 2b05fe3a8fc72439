"""Reading: what arrives from a sound file, where faults are placed, and that no bytes bring it down."""

from __future__ import annotations

import io
import json
import math
import os
import re
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Annotated, Any, Literal

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import BaseModel, ConfigDict, Field, ValidationError, field_validator

from anchorcalc.catalog.tables import Catalog
from anchorcalc.reading.document import MOST_BYTES, read_document
from anchorcalc.reading.faults import Fault, InputFaults
from anchorcalc.reading.reader import nearest, read_model
from anchorcalc.scenario.model import Scenario
from anchorcalc.scenario.read import parse_scenario, read_scenario
from tests.conftest import until_read

CART = Path(__file__).parent / "cart.yaml"
TEXT = CART.read_text(encoding="utf-8")


def faults_of(text: str) -> tuple[Fault, ...]:
    with pytest.raises(InputFaults) as raised:
        parse_scenario(text, "test.yaml")
    return raised.value.faults


# --- sound files -------------------------------------------------------------------------------------------


def test_sound_file_arrives_in_si() -> None:
    scenario = read_scenario(CART)
    assert scenario.title == "Cart on two rings"
    assert scenario.load.weight == pytest.approx(900 * 4.4482216152605, rel=1e-14)
    assert scenario.load.wheels["rear right"] == pytest.approx((1.016, -0.6096))
    assert scenario.mountings["washers"].fasteners.at.positions[0] == pytest.approx((0.041275, 0.041275))
    assert scenario.anchors["front"].mounting == "washers"


def test_order_of_keys_and_style_do_not_matter() -> None:
    blocks = TEXT.split("\ndeck:")
    head, rest = blocks[0], "deck:" + blocks[1]
    assert parse_scenario(rest + head + "\n", "turned") == parse_scenario(TEXT, "as written")
    block = TEXT.replace(
        '  hold_down: {screw: "#12 self-drilling", spacing: 12 in}',
        "  hold_down:\n    screw: '#12 self-drilling'\n    spacing: 12 in",
    )
    assert parse_scenario(block, "block") == parse_scenario(TEXT, "as written")


@pytest.mark.parametrize("word", ["on", "1.10", "0x1F", "1_000", "2024-01-01", "yes", "1e3", "Null and void"])
def test_words_stay_as_typed(word: str) -> None:
    assert parse_scenario(TEXT.replace("Cart on two rings", word), "f").title == word


@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_line_ends_and_byte_order_mark_make_no_difference(line_end: str, mark: bytes, tmp_path: Path) -> None:
    path = tmp_path / "cart.yaml"
    path.write_bytes(mark + TEXT.replace("\n", line_end).encode())
    assert read_scenario(path) == parse_scenario(TEXT, "f")
    path.write_bytes(mark + TEXT.replace("  width: 60 in", "  width: 60").replace("\n", line_end).encode())
    with pytest.raises(InputFaults) as raised:
        read_scenario(path)
    assert [(fault.line, fault.column) for fault in raised.value.faults] == [(15, 10)]


def test_standard_input(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(TEXT.encode())))
    assert read_scenario("-") == read_scenario(CART)
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(b"title: x\n")))
    with pytest.raises(InputFaults, match=r"^standard input:1:1: missing keys 'rules', 'load', "):
        read_scenario("-")


# --- files that cannot be read -----------------------------------------------------------------------------


def test_missing_file(tmp_path: Path) -> None:
    path = tmp_path / "cart.yaml"
    with pytest.raises(InputFaults) as raised:
        read_scenario(path)
    assert str(raised.value) == f"{path}: there is no such file\n1 fault; nothing was computed"


def test_folder(tmp_path: Path) -> None:
    with pytest.raises(InputFaults, match="this is a folder; a file is wanted"):
        read_scenario(tmp_path)


def test_no_permission(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*args: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(os, "open", refuse)
    with pytest.raises(InputFaults, match="no permission to read this file"):
        read_scenario(CART)


@pytest.mark.parametrize("name", ["a\0b.yaml", "x" * 5000])
def test_impossible_file_name(name: str) -> None:
    with pytest.raises(InputFaults, match=r"cannot be read: .+\n1 fault; nothing was computed$"):
        read_scenario(Path(name))


def test_links_that_lead_nowhere_or_back(tmp_path: Path) -> None:
    (tmp_path / "lost").symlink_to(tmp_path / "elsewhere")
    (tmp_path / "there").symlink_to(tmp_path / "back")
    (tmp_path / "back").symlink_to(tmp_path / "there")
    (tmp_path / "sound").symlink_to(CART)
    for name, message in (("lost", "this link leads to no file"), ("there", "this link leads back to itself")):
        with pytest.raises(InputFaults) as raised:
            read_scenario(tmp_path / name)
        assert [fault.message for fault in raised.value.faults] == [message]
    assert read_scenario(tmp_path / "sound") == read_scenario(CART)


def test_a_pipe_into_which_nobody_writes_is_no_wait(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    with pytest.raises(InputFaults, match="cannot be read: nothing writes into this pipe"):
        read_scenario(pipe)


def test_a_pipe_is_read_to_its_end_however_slowly_it_is_written(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    middle = len(TEXT) // 2
    held = os.open(pipe, os.O_RDWR)  # so that each finds the other, whoever is first
    file = pipe.open("wb", buffering=0)
    file.write(TEXT[:middle].encode())

    def write() -> None:
        with file:
            until_read(file.fileno())
            os.close(held)
            file.write(TEXT[middle:].encode())
            until_read(file.fileno())

    with ThreadPoolExecutor() as pool:
        writing = pool.submit(write)
        assert read_scenario(pipe) == read_scenario(CART)
        writing.result()


def test_an_open_pipe_is_read_by_its_number() -> None:
    """What a shell hands over for ``<(...)``; its writer may be gone before it is read."""
    near, far = os.pipe()
    os.write(far, TEXT.encode())
    os.close(far)
    try:
        assert read_scenario(Path(f"/dev/fd/{near}")) == read_scenario(CART)
    finally:
        os.close(near)


def test_devices_are_read_like_files() -> None:
    for device, message in (("/dev/null", "the file says nothing"), ("/dev/zero", "larger than 256 KiB")):
        with pytest.raises(InputFaults, match=message):
            read_scenario(Path(device))


def test_standard_input_that_cannot_be_read(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    with (tmp_path / "written-to").open("w") as file:
        monkeypatch.setattr(sys, "stdin", file)
        with pytest.raises(InputFaults, match=r"^standard input: cannot be read: "):
            read_scenario("-")


def test_a_long_path_is_shown_by_its_ends() -> None:
    with pytest.raises(InputFaults) as raised:
        read_scenario(Path("a" * 3000 + "/" + "b" * 90 + ".yaml"))
    shown = str(raised.value).split(": ")[0]
    assert len(shown) == 200
    assert shown.startswith("aaa")
    assert shown.endswith("/" + "b" * 90 + ".yaml")


def test_size_is_limited(tmp_path: Path) -> None:
    path = tmp_path / "large.yaml"
    path.write_bytes((TEXT + "#" * (MOST_BYTES - len(TEXT.encode()))).encode())
    assert read_scenario(path) == parse_scenario(TEXT, "f")
    path.write_bytes((TEXT + "#" * (MOST_BYTES - len(TEXT.encode()) + 1)).encode())
    with pytest.raises(InputFaults, match="larger than 256 KiB"):
        read_scenario(path)
    assert [fault.message[:19] for fault in faults_of("#" * (MOST_BYTES + 1))] == ["larger than 256 KiB"]


# --- how many of each --------------------------------------------------------------------------------------

MANY: list[tuple[tuple[str | int, ...], int]] = [
    (("load", "wheels"), 12),
    (("load", "tie_points"), 24),
    (("deck", "layers"), 6),
    (("deck", "layers", 0, "joints_across"), 60),
    (("deck", "layers", 0, "joints_along"), 60),
    (("deck", "wheel_wells"), 12),
    (("deck", "no_go"), 12),
    (("mountings",), 8),
    (("mountings", "washers", "fasteners", "at", "points"), 30),
    (("anchors",), 20),
    (("straps",), 24),
    (("assumed",), 100),
]
NEW: dict[str | int, Any] = {
    "joints_across": "1 m",
    "joints_along": "0 m",
    "wheel_wells": {"name": "well", "corner": ["0 m", "0 m"], "opposite": ["1 m", "1 m"]},
    "no_go": {"name": "zone", "corner": ["0 m", "0 m"], "opposite": ["1 m", "1 m"]},
    "points": ["1 in", "1 in"],
    "assumed": "something",
}


def with_as_many(path: tuple[str | int, ...], count: int) -> str:
    """The cart with `count` entries at `path`, all like the first one there."""
    texts = yaml.load(TEXT, yaml.BaseLoader)
    place = texts
    for step in path[:-1]:
        place = place[step]
    if path[-1] == "points":
        del place["square"]
    old = place.get(path[-1]) or ()
    entry = next(iter(old.values() if isinstance(old, dict) else old), None) or NEW[path[-1]]
    as_list = path[-1] == "layers" or (path[-1] in NEW and path[-1] != "assumed")
    place[path[-1]] = [entry] * count if as_list else {f"number {each}": entry for each in range(count)}
    return json.dumps(texts)


@pytest.mark.parametrize(("path", "most"), MANY, ids=["-".join(map(str, path)) for path, _ in MANY])
def test_no_more_of_each_than_a_trailer_has(path: tuple[str | int, ...], most: int) -> None:
    parse_scenario(with_as_many(path, most), "f")
    (fault,) = faults_of(with_as_many(path, most + 1))
    assert fault.message == f"at most {most} are taken here, not {most + 1}"
    assert fault.path == path


def test_joints_of_all_layers_count_together() -> None:
    texts = yaml.load(TEXT, yaml.BaseLoader)
    (layer,) = texts["deck"]["layers"]
    texts["deck"]["layers"] = [layer | {"joints_across": ["1 m"] * 20, "joints_along": ["0 m"] * 10}] * 2
    parse_scenario(json.dumps(texts), "f")
    texts["deck"]["layers"][1] |= {"joints_along": ["0 m"] * 11}
    texts["deck"]["layers"][0] = dict(layer, joints_across=["1 m"] * 30)
    (fault,) = faults_of(json.dumps(texts))
    assert fault.message == "at most 60 joints of all layers together are taken here, not 61"
    assert fault.path == ("deck",)


def test_no_more_cross_members_than_a_trailer_has() -> None:
    def spaced(spacing: str) -> str:
        texts = yaml.load(TEXT, yaml.BaseLoader)
        texts["deck"]["length"] = "10 m"
        texts["deck"]["cross_members"] |= {"first_at": "50 mm", "spacing": spacing}
        return json.dumps(texts)

    parse_scenario(spaced("167 mm"), "f")
    (fault,) = faults_of(spaced("165 mm"))
    assert fault.message == "at most 60 cross-members are taken here; this spacing makes 61 of them"


# --- ranges in the unit that was typed ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("weight", "allowed"),
    [
        ("-5 lb", "from 2.249 lb to 112400 lb"),
        ("-5lbs", "from 2.249 lb to 112400 lb"),
        ("1e9 kg", "from 1.02 kg to 50980 kg"),
        ("0 t", "from 0.00102 t to 50.98 t"),
        ("9e9N", "from 10 N to 500000 N"),
    ],
)
def test_a_range_is_told_in_the_unit_that_was_typed(weight: str, allowed: str) -> None:
    (fault,) = faults_of(TEXT.replace("weight: 900 lb", f"weight: {weight}"))
    assert fault.message == f"{weight!r} is out of range; allowed: {allowed}"


@pytest.mark.parametrize("unit", ["mm", "cm", "m", "in", "ft", '"', "″", "'", "′"])
def test_the_ends_of_a_range_as_they_are_shown_are_allowed(unit: str) -> None:
    def layer_of(thickness: str) -> str:
        texts = yaml.load(TEXT, yaml.BaseLoader)
        texts["deck"]["layers"][0]["thickness"] = thickness
        return json.dumps(texts)

    (fault,) = faults_of(layer_of(f"900000 {unit}"))
    ends = re.fullmatch(r".* is out of range; allowed: from ([\d.]+ \w+) to ([\d.]+ \w+)", fault.message)
    assert ends is not None
    for end in ends.groups():
        assert parse_scenario(layer_of(end), "f").deck.layers[0].thickness > 0


# --- places and consequences -------------------------------------------------------------------------------


def test_every_fault_points_into_its_line() -> None:
    catalog = Catalog()
    for file in sorted((Path(__file__).parent / "faulty").glob("*.yaml")):
        with pytest.raises(InputFaults) as raised:
            read_scenario(file, catalog=catalog)
        for fault in raised.value.faults:
            if fault.line is not None and fault.column is not None:
                assert 1 <= fault.column <= len(raised.value.lines[fault.line - 1]) + 1, file.name


def test_a_misspelt_key_is_one_fault_not_two() -> None:
    (fault,) = faults_of(TEXT.replace("  weight:", "  wieght:"))
    assert fault.message == "unknown key 'wieght'; did you mean 'weight'?"


def test_an_unknown_key_does_not_hide_another_missing_one() -> None:
    faults = faults_of(TEXT.replace("  weight: 900 lb", "  colour: red"))
    assert [fault.message for fault in faults] == [
        "missing key 'weight' (with all that is in it)",
        "unknown key 'colour'",
    ]


def test_first_of_a_repeated_key_counts() -> None:
    document = read_document("a: 1\na: 2\nb: {c: 3, c: 4}\n")
    assert document.content == {"a": "1", "b": {"c": "3"}}
    assert [(fault.path, fault.line, fault.column) for fault in document.faults] == [
        (("a",), 2, 1),
        (("b", "c"), 3, 11),
    ]


def test_a_thousand_separator_in_braces_is_told_whole() -> None:
    (fault,) = faults_of(TEXT.replace("rated: 1500 lbf", "rated: 1,500,000 lbf"))
    assert fault.message == "'1,500,000 lbf' has a comma; write '1500000 lbf'"
    assert fault.path == ("load", "tie_points", "nose", "rated")


def test_a_key_without_value_hides_no_other_fault() -> None:
    faults = faults_of(TEXT.replace("grade: SAE 5", "grade: ").replace("width: 60 in", "width: 60"))
    assert [fault.path[-1] for fault in faults] == ["width", "grade"]


def test_hostile_content_is_text(tmp_path: Path) -> None:
    trap = tmp_path / "trap"
    text = TEXT.replace("name: cart", f"name: !!python/object/apply:pathlib.Path.touch [{trap}]")
    assert any("tags" in fault.message for fault in faults_of(text))
    assert not trap.exists()


@pytest.mark.parametrize("opening", ["[", "{a: ", "- ", "? ", "[{", "{a: [", "!!a [", "&a ["])
def test_bottomless_nesting_is_refused(opening: str) -> None:
    for count in (21, 2000, 100_000):
        assert faults_of("a:\n  " + opening * count)


def test_great_numbers_of_faults_are_counted() -> None:
    with pytest.raises(InputFaults) as raised:
        parse_scenario(TEXT + "".join(f"x{i}: 1\n" for i in range(5000)), "f")
    assert str(raised.value).endswith("… and 4970 more\n5000 faults; nothing was computed")


def test_lone_surrogates_are_refused() -> None:
    (fault,) = faults_of(TEXT.replace("name: cart", "name: ca\ud800rt"))
    assert fault.message == "the invisible character U+D800 has no place in a text file"


# --- any model ---------------------------------------------------------------------------------------------


class Left(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)
    side: Literal["left"]
    depth: int


class Right(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)
    side: Literal["right"]
    share: float = Field(0.5, gt=0, lt=1)


class Shelf(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)
    hand: Annotated[Left | Right, Field(discriminator="side")]
    rows: list[int] = Field(max_length=3)
    open: bool = True
    code: str = Field("", max_length=4)
    pair: tuple[int, int] = (0, 0)

    @field_validator("code")
    @classmethod
    def _spelt(cls, text: str) -> str:
        assert not text.startswith("x"), "no code begins with x"
        return text


def shelf_faults(text: str) -> list[tuple[str, str]]:
    with pytest.raises(InputFaults) as raised:
        read_model(text, "shelf.yaml", Shelf)
    return [(".".join(map(str, fault.path)), fault.message) for fault in raised.value.faults]


def test_any_model_is_read() -> None:
    shelf = read_model("hand: {side: right, share: 0.25}\nrows: [1, 2]\nopen: no\n", "f", Shelf)
    assert shelf == Shelf(hand=Right(side="right", share=0.25), rows=[1, 2], open=False)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("hand: {side: left, depth: 1.5}\nrows: []", ("hand.depth", "should be a valid integer")),
        ("hand: {side: left, left: 1, depth: 1}\nrows: []", ("hand", "unknown key 'left'")),
        ("hand: {side: right, share: 2}\nrows: []", ("hand.share", "should be less than 1; read: '2'")),
        ("hand: {side: [left]}\nrows: []", ("hand.side", "a list is not one of: left, right")),
        ("hand: {side: up}\nrows: []", ("hand.side", "'up' is not one of: left, right")),
        ("hand: left\nrows: []", ("hand", "keys with values (side and others) are wanted here, not 'left'")),
        ("hand: {side: left, depth: 1}\nrows: 3", ("rows", "a list is wanted here, not '3'")),
        ("hand: {side: left, depth: 1}\nrows: [1, 2, 3, 4]", ("rows", "at most 3 are taken here, not 4")),
        ("hand: {side: left, depth: 1}\nrows: [1]\nopen: ajar", ("open", "should be a valid boolean")),
        ("hand: {side: left, depth: 1}\nrows: [1]\ncode: abcde", ("code", "longer than 4 characters")),
        ("hand: {side: left, depth: 1}\nrows: [1]\ncode: xyz", ("code", "no code begins with x")),
        ("hand: {side: left, depth: 1}\nrows: [1]\npair: []", ("pair", "a list of 2 values is wanted here")),
        ("rows: [1", ("", "']' is missing here")),
        ("hand: {side: left, depth:, x: 1}", ("", "a space and a value are missing behind this ':'")),
    ],
)  # fmt: skip
def test_refusals_of_any_model_are_placed_and_worded(text: str, expected: tuple[str, str]) -> None:
    ((path, message),) = shelf_faults(text)
    assert path == expected[0]
    assert expected[1] in message


def test_faults_between_sound_parts_are_placed() -> None:
    def unfit(shelf: Shelf) -> list[tuple[tuple[str | int, ...], str]]:
        return [
            (("rows", 1), "too many"),
            (("hand", "depth"), "too deep"),
            (("pair", 0), "not written in the file"),
        ]

    text = "rows: [1, 2]\nhand:\n  side: left\n  depth: 9\n"
    with pytest.raises(InputFaults) as raised:
        read_model(text, "f", Shelf, unfit)
    assert [(fault.message, fault.line, fault.column) for fault in raised.value.faults] == [
        ("not written in the file", 1, 1),
        ("too many", 1, 11),
        ("too deep", 4, 10),
    ]


def test_unsound_parts_are_not_compared() -> None:
    def never(shelf: Shelf) -> list[tuple[tuple[str | int, ...], str]]:
        raise AssertionError("called with an unsound model")

    with pytest.raises(InputFaults, match="missing key 'hand'"):
        read_model("rows: [1]", "f", Shelf, never)


@pytest.mark.parametrize(
    ("word", "candidates", "expected"),
    [
        ("center of gravity", ["centre_of_gravity", "weight"], "centre_of_gravity"),
        ("Hold-Down", ["hold_down", "length"], "hold_down"),
        ("q", ["width", "length"], None),
        ("width" * 100, ["width"], None),
    ],
)
def test_nearest_word(word: str, candidates: list[str], expected: str | None) -> None:
    assert nearest(word, candidates) == expected


# --- any bytes ---------------------------------------------------------------------------------------------

SNIPPETS = [
    b"\t", b"\n", b"\r", b" ", b"  ", b": ", b":", b"- ", b"? ", b"{", b"}", b"[", b"]", b",", b"#", b" #",
    b"&a ", b"*a", b"!", b"!!str ", b"%", b"@", b"`", b"'", b'"', b"|", b">", b"<<: ", b"---\n", b"...\n",
    b"~", b"null", b"\\", b"\x00", b"\x1b[2J", b"\xff", b"\xc2\xa0", b"\xc2\x85", b"\xe2\x80\xa8",
    b"\xef\xbb\xbf", b"\xed\xa0\x80", b"3,5 kN", b"nan", b"1e999", b"-", b"1/0", b"kind: plate", b"kind",
    b"rated: ", "¼″運".encode(),
]  # fmt: skip


@st.composite
def mutants(draw: st.DrawFn) -> bytes:
    data = TEXT.encode()
    for _ in range(draw(st.integers(1, 6))):
        begin = draw(st.integers(0, len(data)))
        end = min(len(data), begin + draw(st.sampled_from([0, 0, 1, 2, 5, 30])))
        data = data[:begin] + draw(st.sampled_from(SNIPPETS) | st.binary(max_size=3)) + data[end:]
    return data


@given(data=st.one_of(mutants(), st.binary(max_size=200)))
@settings(max_examples=400, deadline=None, derandomize=True)
def test_any_bytes_give_a_scenario_or_faults_with_places(data: bytes, tmp_path_factory: pytest.TempPathFactory) -> None:
    path = tmp_path_factory.getbasetemp() / "mutant.yaml"
    path.write_bytes(data)
    outcome: Scenario | InputFaults
    try:
        outcome = read_scenario(path)
    except InputFaults as faults:
        outcome = faults
    if isinstance(outcome, Scenario):
        assert 0 < outcome.load.weight < math.inf
        return
    assert outcome.faults
    assert all(row.isprintable() for row in str(outcome).split("\n"))
    for fault in outcome.faults:
        assert fault.line is None or 1 <= fault.line <= len(outcome.lines)


def test_the_model_itself_agrees_that_a_refused_file_is_refused() -> None:
    content = read_document(TEXT.replace("width: 60 in", "width: 60")).content
    with pytest.raises(ValidationError):
        Scenario.model_validate(content)
