"""Names in any script are taken; what would give commands, hide or spill over is not."""

from __future__ import annotations

import sys
import unicodedata

import pytest
from pydantic import TypeAdapter, ValidationError

from anchorcalc.names import Name, ShortName, meant
from tests.cli.test_commands import run
from tests.conftest import SCENARIOS

SHORT = TypeAdapter(ShortName)


@pytest.mark.parametrize(
    "name",
    [
        "front left",
        "Anhänger Nr. 3 (¾″)",
        "Việt e\u0323\u0302",  # two marks
        "トレーラー",
        "שִׁלְדָּה",
        "نمی\u200cخواهم",  # Persian is not spelt without the non-joiner
        "ක්\u200dරී",  # Sinhala is not spelt without the joiner
        "ที่นี่",
        "👩\u200d🔧 mine",
        "x" * 200,
    ],
)
def test_names_of_any_script_are_taken(name: str) -> None:
    assert SHORT.validate_python(name) == name


@pytest.mark.parametrize(
    ("character", "words"),
    [
        *((character, "the control character U+") for character in (
            "\x07", "\x1b", "\x7f", "\x85", "\u00ad", "\u061c", "\u200b", "\u200e", "\u200f", "\u2028", "\u2029",
            "\u202e", "\u2060", "\u2066", "\ufeff", "\U000e0041", "\U000e007f",
        )),
        *((character, "which is no character of any script") for character in ("\ue000", "\uffff")),
        ("e" + "\u0301" * 5, "more than 4 marks on one letter"),
        ("e" + "\u20dd" * 5, "more than 4 marks on one letter"),
    ],
)  # fmt: skip
def test_what_is_no_letter_is_refused(character: str, words: str) -> None:
    for name in (character, f"front {character} left"):
        with pytest.raises(ValidationError, match=words.replace("+", r"\+")):
            SHORT.validate_python(name)


def test_nothing_that_begins_a_line_or_gives_a_command_is_left() -> None:
    for code in range(sys.maxunicode + 1):
        character = chr(code)
        if len(f"a{character}b".splitlines()) > 1 or unicodedata.category(character) in ("Cc", "Zl", "Zp"):
            with pytest.raises(ValidationError):
                SHORT.validate_python(character)


def test_lengths() -> None:
    for adapter, longest in ((SHORT, 200), (TypeAdapter(Name), 2_000)):
        assert adapter.validate_python("x" * longest)
        for name in ("", "x" * (longest + 1)):
            with pytest.raises(ValidationError):
                adapter.validate_python(name)


@pytest.mark.parametrize(
    "written", ["\\u2028", "\\u2029", "\\u200F", "\\u061C", "\\uFEFF", "\\U000E0041", "\\a", "\\N"]
)
def test_a_title_forges_no_line(written: str) -> None:
    """Written as YAML's escape, so that no unprintable character stands in the file itself."""
    text = next(path for path in SCENARIOS if path.stem == "orchard-tractor").read_text(encoding="utf-8")
    (title,) = (line for line in text.splitlines() if line.startswith("title: "))
    done = run("check", "-", stdin=text.replace(title, f'title: "Tractor{written}PASS  everything holds"'))
    assert done.returncode == 2
    assert "a name with the control character U+" in done.stderr
    assert not any(line.startswith("PASS") for line in (done.stdout + done.stderr).splitlines())


@pytest.mark.parametrize(
    ("word", "told"),
    [
        (
            "plywood",
            "; near it: 'birch-plywood', 'softwood-plywood': look which it is, and between two take the weaker.",
        ),
        ("softwod plywood", "; did you mean 'softwood-plywood'?"),
        ("birch", "; did you mean 'birch-plywood'?"),
        ("granite", "."),
    ],
)
def test_of_several_woods_none_is_chosen(word: str, told: str) -> None:
    assert meant(word, ["softwood-plywood", "birch-plywood", "osb"]) == told
