"""Tables of the report: plain data that its page template walks through."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

if TYPE_CHECKING:
    from collections.abc import Sequence

    from anchorcalc.result import Verdict


class Cell(Struct, frozen=True):
    """Text of a cell; a verdict shows as sign and word, with `quiet_word` as sign beside the text alone."""

    text: str
    verdict: Verdict | None = None
    strong: bool = False
    quiet_word: bool = False
    equations: tuple[str, ...] = ()  # finished MathML, after the text


class Column(Struct, frozen=True):
    """Head of a column; numbers stand to the right."""

    head: str
    number: bool


class Table(Struct, frozen=True):
    """Columns and rows."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]


def table(heads: Sequence[str], rows: Sequence[Sequence[Cell]]) -> Table:
    """Table with one head to a column; a head that begins with # is over numbers.

    Raises
    ------
    ValueError
        A row has more or fewer cells than there are heads.
    """
    if any(len(row) != len(heads) for row in rows):
        raise ValueError("every row needs a cell under every head")
    columns = tuple(Column(head.removeprefix("#"), head.startswith("#")) for head in heads)
    return Table(columns, tuple(tuple(row) for row in rows))
