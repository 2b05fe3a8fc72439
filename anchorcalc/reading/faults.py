"""Faults of a file that was read, shown the way a compiler shows them: place, sentence, line, caret.

Nothing of the file reaches the screen raw: what does not print, control characters and directional marks
among it, is shown escaped.
"""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Sequence
from typing import Final

from msgspec import Struct

Path = tuple[str | int, ...]
"""Way to a value: keys, and positions in lists counted from 0."""

_WIDTH: Final = 80
_GUTTER: Final = 8  # columns taken by the line number and its bar
_MOST_SHOWN: Final = 30
_LONGEST_STEP: Final = 40
_LONGEST_MESSAGE: Final = 400
_LONGEST_SOURCE: Final = 200


class Fault(Struct, frozen=True):
    """One thing wrong; `line` and `column` count characters from 1 and are None where no line is to blame."""

    path: Path
    message: str
    line: int | None = None
    column: int | None = None
    hint: str | None = None


class InputFaults(Exception):  # noqa: N818 - it is the faults that are raised, all of them
    """A file was refused.

    Parameters
    ----------
    source
        Name of the file for people.
    lines
        The file's lines, for the excerpts.
    faults
        What is wrong; kept sorted by place.
    more
        Number of further faults that were found but not put into words.
    """

    def __init__(self, source: str, lines: Sequence[str], faults: Sequence[Fault], more: int = 0) -> None:
        self.source = source
        self.lines = tuple(lines)
        self.faults = tuple(sorted(faults, key=lambda fault: (fault.line or 0, fault.column or 0)))
        self.more = more
        super().__init__(source)

    def __str__(self) -> str:
        shown = self.faults[:_MOST_SHOWN]
        count = len(self.faults) + self.more
        rows = [row for fault in shown for row in self._rows(fault)]
        if count > len(shown):
            rows.append(f"… and {count - len(shown)} more")
        rows.append(f"{count} fault{'' if count == 1 else 's'}; nothing was computed")
        return "\n".join(rows)

    def _rows(self, fault: Fault) -> list[str]:
        place = printable(_ends_of(self.source, _LONGEST_SOURCE))
        if fault.line is not None:
            place += f":{fault.line}:{fault.column}"
        steps = f"{path_words(fault.path)}: " if fault.path else ""
        rows = [f"{place}: {steps}{printable(shortened(fault.message, _LONGEST_MESSAGE))}"]
        if fault.line is not None and fault.line <= len(self.lines):
            text, caret = excerpt(self.lines[fault.line - 1], fault.column or 1, _WIDTH - _GUTTER)
            rows += [f"{fault.line:5d} | {text}".rstrip(), f"      | {' ' * caret}^"]
        if fault.hint is not None:
            hint = printable(shortened(fault.hint, _LONGEST_MESSAGE))
            rows += textwrap.wrap(hint, _WIDTH, initial_indent="      = ", subsequent_indent=" " * _GUTTER)
        return rows


def path_words(path: Path) -> str:
    """`path` for people: ``deck › layers › item 2 › thickness``."""
    steps = (f"item {step + 1}" if isinstance(step, int) else printable(step) or "''" for step in path)
    return " › ".join(shortened(step, _LONGEST_STEP) for step in steps)


def printable(text: str) -> str:
    """`text` with every character escaped that does not print."""
    return "".join(map(_shown, text))


def shortened(text: str, longest: int) -> str:
    """`text`, cut to `longest` characters with an ellipsis at the cut."""
    return text if len(text) <= longest else text[: longest - 1] + "…"


def _ends_of(text: str, longest: int) -> str:
    """`text`, cut to `longest` characters with an ellipsis in its middle: of a path the end tells most."""
    half = longest // 2
    return text if len(text) <= longest else f"{text[: longest - half - 1]}…{text[-half:]}"


def excerpt(line: str, column: int, width: int) -> tuple[str, int]:
    """`line` cut to `width` screen columns round `column`, and the screen column of that place.

    `column` counts characters from 1, the screen column counts from 0. Every cut is marked with an
    ellipsis, which counts towards `width`.
    """
    at = min(column - 1, len(line))
    first = last = at  # the slice first:last grows while it and the ellipses fit
    # What stands to the left explains a value, what stands to the right shows it: two thirds and one third.
    used = 2
    while first > 0 and used + _cells(line[first - 1]) <= 2 + (width - 2) * 2 // 3:
        first -= 1
        used += _cells(line[first])
    while last < len(line) and used + _cells(line[last]) <= width:
        used += _cells(line[last])
        last += 1
    while first > 0 and used + _cells(line[first - 1]) <= width:
        first -= 1
        used += _cells(line[first])
    before = ("…" if first > 0 else "") + printable(line[first:at])
    return before + printable(line[at:last]) + ("…" if last < len(line) else ""), sum(map(_cells, before))


def _shown(character: str) -> str:
    return character if character.isprintable() else character.encode("unicode_escape").decode("ascii")


def _cells(character: str) -> int:
    """Screen columns that `character` takes, as it is shown."""
    shown = _shown(character)
    if len(shown) > 1:
        return len(shown)
    if unicodedata.combining(shown):
        return 0
    return 2 if unicodedata.east_asian_width(shown) in "WF" else 1
