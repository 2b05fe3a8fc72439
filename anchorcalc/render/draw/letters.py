"""Words measured before they are drawn: how wide a line is, where it may break, how a long one is cut.

Widths are those of Helvetica, which every reader of PDF has [mm]. Letters beyond Western Europe are shaped and
drawn as outlines of a free font; see `glyphs`.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache, lru_cache
from typing import TYPE_CHECKING

from anchorcalc.render.draw import glyphs
from anchorcalc.render.draw.svg import harmless

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

SIZE = 1.25
"""Size of the font over the height of its words."""

_WIDEST, _WIDEST_BOLD = 1.22, 1.45  # DejaVu Sans over Helvetica, letters and brackets
_UNKNOWN = 1000  # more than any letter; none that prints is unknown
_NO_BREAK = "\N{NO-BREAK SPACE}"
_NUMBER = r"\(?[-−+]?\d[\d.,/]*"
_UNIT = r"(?:in|ft|mm|cm|m|lb|lbf|kg|kN|N|psi|ksi|MPa|g|deg|°|%|lbf·ft|lbf|N·m|thick|wide|outside|long)"
_WITHIN_QUANTITY = (
    re.compile(rf"({_NUMBER}) (?=[\d(])"),  # 1 5/8
    re.compile(rf"({_NUMBER}) (?={_UNIT}\b)"),  # 5/8 in
    re.compile(r"(lbf|N) (?=ft\b|m\b)"),
    re.compile(r"( ?)[ ](?=×)"),
    re.compile(r"(×)[ ]"),
    re.compile(rf"({_NUMBER}{_NO_BREAK}{_UNIT}) (?=\()"),  # 5/8 in (15.9 mm)
)


def western(text: str) -> bool:
    """Whether Helvetica as every reader of PDF has it can show `text`."""
    try:
        text.encode("cp1252")
    except UnicodeEncodeError:
        return False
    return True


@lru_cache(maxsize=4096)
def width(text: str, height: float) -> float:
    """How wide one line of `text` is at `height` [mm]."""
    size = SIZE * height
    return sum(
        sum(_helvetica()[letter] for letter in run.encode("cp1252")) * 0.001 * size
        if western(run)
        else glyphs.advance(run, size)
        for run in runs(text)
    )


@cache
def _helvetica() -> tuple[int, ...]:
    """Width of every letter of cp1252, in thousandths; the two tables alone, for all of reportlab takes 0.1 s."""
    from reportlab.pdfbase._fontdata_enc_winansi import WinAnsiEncoding
    from reportlab.pdfbase._fontdata_widths_helvetica import widths

    return tuple(widths.get(name, _UNKNOWN) for name in WinAnsiEncoding)


def screen_width(text: str, size: float, *, bold: bool = False) -> float:
    """How wide `text` may be on a screen at `size`, in the widest of the fonts that are asked for [px].

    Chinese, Japanese and Korean letters are squares in every font.
    """
    squares = sum(unicodedata.east_asian_width(letter) in "WF" for letter in text) * size
    return (width(text, size / SIZE) - squares) * (_WIDEST_BOLD if bold else _WIDEST) + 1.05 * squares


def screen_fitted(text: str, size: float, room: float, *, bold: bool = False) -> str:
    """`text` on one line, cut to `room` on a screen at `size`, in the widest of the fonts [px]."""
    return _cut_to(harmless(text), room, lambda line: screen_width(line, size, bold=bold))


def screen_wrapped(text: str, size: float, room: float, *, bold: bool = False) -> list[str]:
    """`text` in lines no wider than `room` on a screen at `size`, in the widest of the fonts [px]."""
    return wrapped(text, size / SIZE, room / (_WIDEST_BOLD if bold else _WIDEST))


def runs(text: str) -> list[str]:
    """`text` in pieces that Helvetica can show and pieces that it cannot; blanks stay with what they stand in."""
    found: list[str] = []
    for piece in re.findall(r"\s+|\S+", text):
        plain = western(piece)
        if found and (piece.isspace() or western(found[-1]) == plain):
            found[-1] += piece
        else:
            found.append(piece)
    return found


def fitted(text: str, height: float, most: float) -> str:
    """`text` on one line no wider than `most` [mm], cut with an ellipsis where it is longer."""
    return _cut_to(harmless(text), most, lambda line: width(line, height))


def _cut_to(line: str, most: float, measured: Callable[[str], float]) -> str:
    if measured(line) <= most:
        return line
    low, high = 0, len(line)
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if measured(line[:middle].rstrip() + "…") <= most else (low, middle - 1)
    return line[:low].rstrip() + "…"


def wrapped(text: str, height: float, wide: float) -> list[str]:
    """`text` in lines no wider than `wide` [mm], never broken within a quantity such as 1 5/8 in."""
    lines: list[str] = []
    for word in _unbreakable(harmless(text)):
        if lines and width(f"{lines[-1]} {word}", height) <= wide:
            lines[-1] += f" {word}"
        else:
            lines += _cut(word, height, wide)
    return [line.replace(_NO_BREAK, " ") for line in lines]


def wrapped_all(sentences: Iterable[str], height: float, wide: float) -> list[str]:
    """Every sentence from a line of its own."""
    return [line for sentence in sentences for line in wrapped(sentence, height, wide)]


def _unbreakable(text: str) -> list[str]:
    """Words of `text`; a quantity counts as one."""
    for pattern in _WITHIN_QUANTITY:
        text = pattern.sub(rf"\1{_NO_BREAK}", text)
    return text.split(" ")


def _cut(word: str, height: float, wide: float) -> Iterator[str]:
    """A word wider than its line, in pieces that are not."""
    while width(word, height) > wide and len(word) > 1:
        most = len(word) - 1
        while most > 1 and width(word[:most], height) > wide:
            most -= 1
        yield word[:most]
        word = word[most:]
    yield word
