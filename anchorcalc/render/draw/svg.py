"""A small writer of SVG: every text escaped, every number finite and short, the same bytes each time."""

from __future__ import annotations

import math
import re
import unicodedata
from typing import TYPE_CHECKING, NewType

if TYPE_CHECKING:
    from collections.abc import Mapping

Markup = NewType("Markup", str)
"""Text that is already SVG; only this module makes it."""

_ATTRIBUTE_ESCAPES = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#39;"})
_DIRECTIONAL = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
# Hebrew, Arabic and their kin, and their presentation forms; blanks and signs between two such letters go with them.
_RIGHT_TO_LEFT = "[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc\U00010800-\U00010fff\U0001e800-\U0001efff]"
RIGHT_TO_LEFT_RUN = f"{_RIGHT_TO_LEFT}+(?:[^\\w]+{_RIGHT_TO_LEFT}+)*"


def harmless(words: str, most: int | None = None) -> str:
    """`words` on one line, at most `most` long, without what does not print or turns the reading direction round.

    A right-to-left script keeps its letters; only invisible marks that could reorder what stands beside it go.
    """
    text = "".join(_printing(each) for each in words)
    text = re.sub(r"\s+", " ", text).strip()
    return text if most is None or len(text) <= most else text[: most - 1].rstrip() + "…"


def _printing(character: str) -> str:
    if character in _DIRECTIONAL:
        return ""
    if character.isspace():
        return " "
    unprintable = unicodedata.category(character) in ("Cc", "Cs", "Cn", "Co")
    return "\N{REPLACEMENT CHARACTER}" if unprintable else character


def isolated(text: str) -> str:
    """`text` with every right-to-left run in marks of its own, so that numbers beside it keep their places."""
    parts, start = [], 0
    for match in re.finditer(RIGHT_TO_LEFT_RUN, text):
        parts += [text[start : match.start()], "\u2067", match[0], "\u2069"]
        start = match.end()
    return "".join([*parts, text[start:]])


def number(value: float) -> str:
    """`value` with at most three decimals, never -0 and never without an end.

    Raises
    ------
    ValueError
        `value` is infinite or not a number.
    """
    if not math.isfinite(value):
        raise ValueError(f"{value} has no place in a drawing")
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def coloured(rules: str, light: Mapping[str, str], dark: Mapping[str, str] | None = None) -> str:
    """Style `rules` with the colours they name as var(--name) written out, once more for a dark screen.

    Written out, since what draws outside a browser mostly knows no variables and paints all of it black.
    """

    def written(colours: Mapping[str, str]) -> str:
        return re.sub(r"var\(--([\w-]+)\)", lambda name: colours[name[1]], rules)

    on_dark = f"@media screen and (prefers-color-scheme:dark){{{written(dark)}}}" if dark else ""
    return written(light) + on_dark


def tag(name: str, *inside: Markup, **attributes: str | float | None) -> Markup:
    """Element `name`; attributes of None are left out, `_` in a key stands for `-`, one at its end is dropped."""
    given = {key.rstrip("_").replace("_", "-"): value for key, value in attributes.items() if value is not None}
    written = "".join(f' {key}="{_value(value)}"' for key, value in given.items())
    return Markup(f"<{name}{written}>{''.join(inside)}</{name}>" if inside else f"<{name}{written}/>")


def _value(value: str | float) -> str:
    return number(value) if isinstance(value, int | float) else harmless(value).translate(_ATTRIBUTE_ESCAPES)


def words(text: str, most: int | None = None) -> Markup:
    """`text` as content of an element."""
    return Markup(isolated(harmless(text, most)).translate(_ATTRIBUTE_ESCAPES))


def label(x: float, y: float, text: str, *, most: int = 60, **attributes: str | float | None) -> Markup:
    """One line of `text`; its own reading direction cannot reach beyond it."""
    return tag("text", words(text, most), x=x, y=y, **attributes)


def group(*inside: Markup, **attributes: str | float | None) -> Markup:
    """Group of elements, each on a line of its own."""
    return tag("g", Markup("\n" + "\n".join(inside) + "\n"), **attributes)


def titled(title: str, *inside: Markup, **attributes: str | float | None) -> Markup:
    """Group that is read out, and shown under the pointer, as `title`."""
    return group(tag("title", words(title, 300)), *inside, **attributes)


def path(*points: tuple[float, float], closed: bool = False) -> str:
    """Path data through `points`."""
    steps = " L".join(f"{number(x)} {number(y)}" for x, y in points)
    return f"M{steps}{' Z' if closed else ''}"


def document(
    *inside: Markup, view: tuple[float, float, float, float], title: str, description: str,
    size: tuple[float, float] | None = None, style: str = "",
) -> str:  # fmt: skip
    """Whole SVG file; `view` is left, top, width, height, `size` the true width and height [mm].

    `style` is a style sheet of the project's own and goes in as it is.
    """
    head = [tag("title", words(title, 300)), tag("desc", words(description, 2000))]
    if style:
        head.append(Markup(f"<style>{style}</style>"))
    true_size = {} if size is None else {"width": f"{number(size[0])}mm", "height": f"{number(size[1])}mm"}
    return tag(
        "svg", Markup("\n" + "\n".join([*head, *inside]) + "\n"),
        xmlns="http://www.w3.org/2000/svg", viewBox=" ".join(map(number, view)), role="img", **true_size,
    ) + "\n"  # fmt: skip
