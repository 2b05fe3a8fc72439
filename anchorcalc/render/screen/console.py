"""What every answer on a screen is made of: its console, heads, lists, tables, and verdicts in colour."""

from __future__ import annotations

import io
import os
import re
import shlex
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any, TextIO, cast

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from anchorcalc.reading.faults import printable, shortened

_STYLE = {"pass": "bold green", "marginal": "bold yellow", "fail": "bold red", "refused": "bold red"}
_WIDEST = 100
_PIPED = 80
_NARROWEST = 72
_LONGEST_NAME = 40


_GLUE = "\ue000"
"""Stands for a blank at which no line may end; no name may hold it, and what breaks lines takes it for a letter."""
_KEPT = re.compile(
    r"(?<=\d) (?=(?:lbf|lb|kN|N|kg|mm|cm|m|in|ft|psi|MPa|%|g|\d+/\d+)(?![A-Za-z/]))|(?<=lbf) (?=ft)|(?<=\dN) (?=m\b)"
)


def glued(text: str) -> str:
    """`text` in which a number keeps its unit, and a whole number its fraction, on one line."""
    return _KEPT.sub(_GLUE, text)


class _Unglued:
    """A stream that prints blanks where lines were not to end."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    def write(self, text: str) -> int:
        return self._stream.write(text.replace(_GLUE, " "))

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)


class _Table(Table):
    """A table in whose cells numbers keep their units."""

    def add_row(self, *cells: Any, **options: Any) -> None:
        super().add_row(*(glued(cell) if isinstance(cell, str) else cell for cell in cells), **options)


@contextmanager
def printing() -> Iterator[Console]:
    """Console of the width people read well; names are never read as markup.

    Piped output is 80 columns unless COLUMNS says otherwise, without colour and without blanks at line ends.
    """
    plain = not sys.stdout.isatty()
    sink = io.StringIO() if plain else _Unglued(sys.stdout)
    out = Console(markup=False, highlight=False, emoji=False, file=cast("TextIO", sink))
    if not os.environ.get("COLUMNS", "").isdigit():
        out.width = _PIPED if plain else min(out.width, _WIDEST)
    # Narrower than this a table would cut its figures; the terminal may wrap the lines instead.
    out.width = max(out.width, _NARROWEST)
    yield out
    if isinstance(sink, io.StringIO):
        text = "\n".join(line.rstrip() for line in sink.getvalue().replace(_GLUE, " ").splitlines()) + "\n"
        encoding = sys.stdout.encoding or "utf-8"
        sys.stdout.write(text.encode(encoding, "replace").decode(encoding))


def verdict_word(verdict: str) -> Text:
    """The verdict, or that a file was refused, in capitals and colour."""
    return Text(verdict.upper(), style=_STYLE[verdict])


def short(name: str, longest: int = _LONGEST_NAME) -> str:
    """`name` in a length that leaves room for figures beside it."""
    return shortened(name, longest)


def to_type(file: str) -> str:
    """How `file` is written in a command to come; what came by standard input has no name."""
    return "FILE" if file == "-" else shlex.quote(printable(file))


def print_head(out: Console, text: str) -> None:
    """A head, parted by an empty line from what stands before it."""
    out.print()
    out.print(Text(text, style="bold"))


def print_list(out: Console, head: str, lines: Sequence[str], *, numbered: bool = False) -> None:
    """A head and its lines, each hanging from a dash or its number; nothing where there are no lines."""
    if not lines:
        return
    print_head(out, head)
    for number, line in enumerate(lines, start=1):
        grid = Table.grid(padding=(0, 1))
        grid.add_row(f" {number:>2}." if numbered else "  -", Text(glued(line), overflow="fold"))
        out.print(grid)


def indented(text: str) -> Padding:
    """A sentence below a head."""
    return Padding(Text(glued(text), overflow="fold"), (0, 0, 0, 2))


def table(*heads: str) -> Table:
    """Table without rows as yet; a head that begins with # is over numbers, which are never broken."""
    made = _Table(box=None, padding=(0, 1), header_style="underline")
    for head in heads:
        number = head.startswith("#")
        made.add_column(
            head.removeprefix("#"), justify="right" if number else "left", no_wrap=number or head == "verdict",
            overflow="fold",
        )  # fmt: skip
    return made
