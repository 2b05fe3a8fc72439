"""Words are measured, cut and broken as they are drawn."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reportlab.pdfbase.pdfmetrics import stringWidth

from anchorcalc.render.draw import glyphs
from anchorcalc.render.draw.letters import SIZE, fitted, runs, western, width, wrapped


def test_width_is_that_of_the_font() -> None:
    # Helvetica's own table of widths (Adobe, Core14 AFM): n 556, i 222, thousandths of the size.
    assert width("in", 4.0) == pytest.approx((0.222 + 0.556) * SIZE * 4.0)
    assert width("", 4.0) == 0
    # All that cp1252 prints, as reportlab itself measures it.
    printing = [chr(code) for code in range(32, 0x2200) if western(chr(code)) and not 0x7F <= code < 0xA0]
    assert [width(letter, 800.0) for letter in printing] == pytest.approx(
        [stringWidth(letter, "Helvetica", 1000.0) for letter in printing]
    )


QUANTITIES = [
    "1 5/8 in", "12 in", "5/8 in (15.9 mm)", "1 3/4 in (44.4 mm)", "6 × 6 × 3/16 in", "50 lbf ft", "1,650 lb", "0.4 kN",
]  # fmt: skip


@pytest.mark.parametrize("quantity", QUANTITIES)
@pytest.mark.parametrize("wide", [30.0, 37.5, 45.0, 60.0])
def test_a_line_never_breaks_within_a_quantity(quantity: str, wide: float) -> None:
    text = "; ".join(f"hole {number}: {quantity} forward, {quantity} left" for number in range(12))
    lines = wrapped(text, 2.2, wide)
    assert " ".join(lines) == text
    assert sum(line.count(quantity) for line in lines) == 24
    assert max(width(line, 2.2) for line in lines) <= wide


@given(st.text(max_size=60), st.floats(8, 60))
def test_lines_are_no_wider_than_their_place_and_lose_nothing(text: str, wide: float) -> None:
    lines = wrapped(text, 2.2, wide)
    assert all(width(line, 2.2) <= wide for line in lines)
    assert width(fitted(text, 2.2, wide), 2.2) <= wide


def test_a_long_word_is_cut_and_a_long_name_shortened() -> None:
    assert wrapped("x" * 60, 2.2, 20.0)[0] == "x" * len(wrapped("x" * 60, 2.2, 20.0)[0])
    assert "".join(wrapped("x" * 60, 2.2, 20.0)) == "x" * 60
    assert fitted("front left", 2.2, 100.0) == "front left"
    assert fitted("a name of sixty letters and more that nobody reads to its end", 2.2, 30.0).endswith("…")


def test_runs_keep_what_helvetica_shows_apart() -> None:
    assert runs("拖车 Anhänger Nr. 3") == ["拖车 ", "Anhänger Nr. 3"]
    assert runs("plain") == ["plain"]


def test_arabic_letters_are_joined() -> None:
    # The three letters of "beh" stand in their initial, medial and final form: not thrice the form that stands alone.
    (joined,), (alone,) = glyphs.shaped("ببب"), glyphs.shaped("ب")
    assert not joined.missing
    assert joined.advance < 3 * alone.advance * 0.95


def test_what_no_font_has_is_a_box_and_is_told() -> None:
    assert glyphs.missing(["\U00013000"])  # an Egyptian hieroglyph
    assert not glyphs.missing(["拖车", "Прицеп", "مقطورة", "plain"])
