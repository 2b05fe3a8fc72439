"""The SVG writer: valid XML whatever the words, finite numbers, the same bytes each time."""

from __future__ import annotations

import math
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from anchorcalc.render.draw.svg import document, harmless, isolated, label, number, path, tag

SVG = "{http://www.w3.org/2000/svg}"


@given(st.text(max_size=80))
def test_any_words_come_back_from_an_xml_parser(text: str) -> None:
    inside = label(0, 0, text), tag("g", data_name=text)
    drawing = document(*inside, view=(0, 0, 10, 10), title=text, description=text)
    root = ElementTree.fromstring(drawing)
    assert (root.find(f"{SVG}text").text or "") == isolated(harmless(text, 60))
    assert root.find(f"{SVG}g").get("data-name") == harmless(text)
    assert {child.tag for child in root} == {f"{SVG}{name}" for name in ("title", "desc", "text", "g")}


@pytest.mark.parametrize(
    ("words", "kept"),
    [
        ("a\u202eb\u2066c", "abc"),
        ("שלום", "שלום"),
        ("a\x00b\x1b[31m", "a\N{REPLACEMENT CHARACTER}b\N{REPLACEMENT CHARACTER}[31m"),
        (" two\n lines\t", "two lines"),
    ],
)
def test_what_reorders_or_does_not_print_goes(words: str, kept: str) -> None:
    assert harmless(words) == kept


def test_long_words_end_in_an_ellipsis() -> None:
    assert harmless("x" * 10_000, 40) == "x" * 39 + "…"
    assert harmless("x" * 40, 40) == "x" * 40


@given(st.floats(allow_nan=False, allow_infinity=False, width=32))
def test_numbers_are_short_and_within_half_a_thousandth(value: float) -> None:
    text = number(value)
    assert abs(float(text) - value) <= 0.0005 * (1 + 1e-9)
    assert text != "-0"
    assert "e" not in text


@pytest.mark.parametrize("value", [math.inf, -math.inf, math.nan])
def test_numbers_without_an_end_are_refused(value: float) -> None:
    with pytest.raises(ValueError, match="no place in a drawing"):
        number(value)


def test_true_size_and_shape_of_a_path() -> None:
    drawing = document(view=(0, 0, 50, 20), size=(50.0, 20.0), title="t", description="d")
    root = ElementTree.fromstring(drawing)
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("50mm", "20mm", "0 0 50 20")
    assert path((0, 0), (1.5, -0.0001), closed=True) == "M0 0 L1.5 0 Z"


@pytest.mark.parametrize(
    ("words", "kept"),
    [
        ("zone שלום, 2 in", "zone \u2067שלום\u2069, 2 in"),
        ("שלום, עולם 2", "\u2067שלום, עולם\u2069 2"),
        ("left مرحبا right", "left \u2067مرحبا\u2069 right"),
        ("plain 1/2 in", "plain 1/2 in"),
    ],
)
def test_right_to_left_words_are_kept_to_themselves(words: str, kept: str) -> None:
    assert isolated(words) == kept
