"""The picture of a fault: line, caret, escapes, order, count."""

from __future__ import annotations

import unicodedata

from hypothesis import example, given, settings
from hypothesis import strategies as st

from anchorcalc.reading.faults import Fault, InputFaults, excerpt, path_words, printable, shortened


def cells(text: str) -> int:
    wide = sum(unicodedata.east_asian_width(character) in "WF" for character in text)
    return len(text) + wide - sum(unicodedata.combining(character) > 0 for character in text)


@given(line=st.text(max_size=200), column=st.integers(1, 201), width=st.integers(20, 90))
@example(line="ab: " + "運" * 60, column=40, width=72)
@example(line="\t\x1b[31mweight: 3", column=10, width=20)
@settings(deadline=None, derandomize=True)
def test_excerpt_fits_prints_and_points_at_the_place(line: str, column: int, width: int) -> None:
    text, caret = excerpt(line, column, width)
    assert cells(text) <= width
    assert text.isprintable()
    if column > len(line):
        assert caret == cells(text)
        return
    begin = next(i for i in range(len(text) + 1) if cells(text[:i]) == caret)
    marked = [text[i:] for i in range(begin, min(begin + 4, len(text) + 1))]  # accents take no column
    shown = printable(line[column - 1])
    assert any(rest.startswith(shown) for rest in marked) or (unicodedata.combining(line[column - 1]) > 0)


def test_short_line_is_shown_whole() -> None:
    assert excerpt("  width: 60", 10, 72) == ("  width: 60", 9)


def test_long_line_is_cut_on_both_sides_of_the_place() -> None:
    text, caret = excerpt("a" * 100 + "X" + "b" * 100, 101, 30)
    assert text[0] == text[-1] == "…"
    assert text[caret] == "X"
    assert len(text) == 30


def test_nothing_reaches_the_terminal_raw() -> None:
    source, line = "evil\x1b]0;x\x07.yaml", "na\x1b[2Jme: \u202etxet"
    told = str(InputFaults(source, [line], [Fault(("a\x9b",), "read: \x1b", 1, 3, "say \x00")]))
    assert told == (
        "evil\\x1b]0;x\\x07.yaml:1:3: a\\x9b: read: \\x1b\n"
        "    1 | na\\x1b[2Jme: \\u202etxet\n"
        "      |   ^\n"
        "      = say \\x00\n"
        "1 fault; nothing was computed"
    )


def test_faults_stand_in_the_order_of_the_file() -> None:
    faults = [Fault((), "third", 7, 2), Fault((), "first"), Fault((), "second", 7, 1)]
    assert [fault.message for fault in InputFaults("f", [], faults).faults] == ["first", "second", "third"]


def test_thirty_faults_are_shown_and_the_rest_counted() -> None:
    told = str(InputFaults("f", [], [Fault((), f"number {i}", i, 1) for i in range(1, 41)], more=2))
    assert "number 30" in told
    assert "number 31" not in told
    assert told.endswith("… and 12 more\n42 faults; nothing was computed")


def test_long_messages_are_shortened() -> None:
    told = str(InputFaults("f", [], [Fault((), "x" * 5000)]))
    assert len(told.splitlines()[0]) < 420


def test_items_are_counted_from_one() -> None:
    assert path_words(("deck", "layers", 1, "", "y" * 50)) == f"deck › layers › item 2 › '' › {'y' * 39}…"


def test_shortened_marks_its_cut() -> None:
    assert shortened("abcdef", 4) == "abc…"
    assert shortened("abcd", 4) == "abcd"
