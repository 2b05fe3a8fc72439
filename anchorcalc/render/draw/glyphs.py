"""Letters that Helvetica has not, shaped and as outlines of free fonts (Noto, SIL Open Font License 1.1).

The fonts and the shaper come with the extra `letters`; without it such a letter is drawn as an empty box, and
`missing` says that it was.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from anchorcalc.render.draw.svg import RIGHT_TO_LEFT_RUN, harmless

if TYPE_CHECKING:
    from collections.abc import Iterable

_PACKAGES = ("fontpkg_noto_sans", "fontpkg_noto_sans_arabic", "manimgx_fonts_cjk")
_BOX = 0.7  # advance of an empty box, of the size
_REGULAR = 400.0  # weight of plain text, OpenType wght axis
Step = tuple[str, tuple[float, ...]]
"""One step of an outline: M, L, Q, C or Z, with its points [of the size]."""


class Run(Struct, frozen=True):
    """A shaped run: how far it goes on and its outlines, for a size of 1."""

    advance: float
    steps: tuple[Step, ...]
    missing: bool


def advance(text: str, size: float) -> float:
    """How wide `text` is at `size`."""
    return sum(run.advance for run in shaped(text)) * size


def missing(texts: Iterable[str]) -> bool:
    """Whether a letter of `texts` has no font here."""
    return any(run.missing for text in texts for run in shaped(harmless(text)))


@cache
def shaped(text: str) -> tuple[Run, ...]:
    """`text` in runs of one font and one direction, in the order they are drawn from the left."""
    found: list[Run] = []
    start = 0
    for match in re.finditer(RIGHT_TO_LEFT_RUN, text):
        found += _by_font(text[start : match.start()], backwards=False)
        found += reversed(list(_by_font(match[0], backwards=True)))
        start = match.end()
    return (*found, *_by_font(text[start:], backwards=False))


def _by_font(text: str, *, backwards: bool) -> list[Run]:
    pieces: list[tuple[int | None, str]] = []
    for letter in text:
        font = _font_of(letter)
        if pieces and (font == pieces[-1][0] or letter.isspace()):
            pieces[-1] = (pieces[-1][0], pieces[-1][1] + letter)
        else:
            pieces.append((font, letter))
    return [_boxes(piece) if font is None else _shape(piece, font, backwards) for font, piece in pieces]


def _font_of(letter: str) -> int | None:
    """Number of the first font that has `letter`."""
    return next((number for number, font in enumerate(_fonts()) if font.get_nominal_glyph(ord(letter))), None)


def _boxes(text: str) -> Run:
    steps: list[Step] = []
    for number in range(len(text)):
        left, right = number * _BOX + 0.08, (number + 1) * _BOX - 0.08
        corners = ((left, 0.0), (right, 0.0), (right, 0.7), (left, 0.7))
        inner = ((left + 0.05, 0.05), (left + 0.05, 0.65), (right - 0.05, 0.65), (right - 0.05, 0.05))
        for ring in (corners, inner):
            steps += [("M", ring[0]), *(("L", point) for point in ring[1:]), ("Z", ())]
    return Run(len(text) * _BOX, tuple(steps), missing=True)


def _shape(text: str, number: int, backwards: bool) -> Run:
    import uharfbuzz

    font = _fonts()[number]
    buffer = uharfbuzz.Buffer()
    buffer.add_str(text)
    buffer.guess_segment_properties()
    buffer.direction = "rtl" if backwards else "ltr"
    uharfbuzz.shape(font, buffer)
    scale, steps, x = 1 / font.face.upem, [], 0.0
    for info, place in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
        steps += _outline(number, info.codepoint, (x + place.x_offset) * scale, place.y_offset * scale)
        x += place.x_advance
    return Run(x * scale, tuple(steps), missing=False)


def _outline(number: int, glyph: int, x: float, y: float) -> list[Step]:
    scale = 1 / _fonts()[number].face.upem
    return [
        (name, tuple(at * scale + (x, y)[place % 2] for place, at in enumerate(points)))
        for name, points in _raw_outline(number, glyph)
    ]


@cache
def _raw_outline(number: int, glyph: int) -> tuple[Step, ...]:
    import uharfbuzz

    steps: list[Step] = []
    pen = uharfbuzz.DrawFuncs()
    pen.set_move_to_func(lambda x, y, _: steps.append(("M", (x, y))))
    pen.set_line_to_func(lambda x, y, _: steps.append(("L", (x, y))))
    pen.set_quadratic_to_func(lambda a, b, x, y, _: steps.append(("Q", (a, b, x, y))))
    pen.set_cubic_to_func(lambda a, b, c, d, x, y, _: steps.append(("C", (a, b, c, d, x, y))))
    pen.set_close_path_func(lambda _: steps.append(("Z", ())))
    _fonts()[number].draw_glyph(glyph, pen)
    return tuple(steps)


@cache
def _fonts() -> tuple[Any, ...]:
    """The fonts that are installed, as the shaper's."""
    try:
        import uharfbuzz
    except ImportError:
        return ()
    fonts = tuple(uharfbuzz.Font(uharfbuzz.Face(uharfbuzz.Blob.from_file_path(str(path)))) for path in _files())
    for font in fonts:
        font.set_variations({"wght": _REGULAR})  # some of them are hairlines until they are told
    return fonts


def _files() -> list[Path]:
    from importlib.util import find_spec

    found = []
    for package in _PACKAGES:
        spec = find_spec(package)
        for folder in spec.submodule_search_locations or () if spec is not None else ():
            files = (path for path in sorted(Path(folder).rglob("*")) if path.suffix in (".ttf", ".otf", ".ttc"))
            found += [path for path in files if "Italic" not in path.name][:1]
    return found
