"""Tables on the screen and as JSON: every row with its source, values as they are written."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Sequence

from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from anchorcalc.render.terminal import printing
from anchorcalc.scenario.faults import printable
from anchorcalc.table_texts import TABLES, TextRow, value_text


def show_list(rows: Sequence[TextRow]) -> None:
    """Print each table's name, number of rows and what it holds."""
    all_rows = Counter(row.table for row in rows)
    own = Counter(row.table for row in rows if row.own_file)
    with printing() as out:
        table = Table(box=None, padding=(0, 1), header_style="underline")
        for head in ("table", "rows", "own", "what it holds"):
            table.add_column(head, overflow="fold", justify="right" if head in ("rows", "own") else "left")
        for name, words in TABLES.items():
            table.add_row(name, str(all_rows[name]), str(own[name] or ""), words)
        out.print(table)
        out.print(Text("Show one with --table NAME, or find rows by words."))


def show_rows(rows: Sequence[TextRow]) -> None:
    """Print every row with its values and its source."""
    with printing() as out:
        for row in rows:
            head = Text.assemble((printable(row.name), "bold"), f"  ({row.table})")
            if row.own_file:
                head.append("  your own", style="bold yellow")
            out.print(head)
            for key, value in row.values.items():
                out.print(_line(f"{key}: {value_text(value)}"))
            out.print(_line(f"source: {row.source}"))
            if row.own_file:
                out.print(_line(f"file: {row.own_file}"))


def tables_json(rows: Sequence[TextRow]) -> str:
    """Rows as JSON; values are texts, as they are written."""
    found = [
        {"table": row.table, "name": row.name, "source": row.source, "own_file": row.own_file, "values": row.values}
        for row in rows
    ]
    return json.dumps({"schema": 1, "rows": found}, indent=2, ensure_ascii=False, allow_nan=False)


def _line(text: str) -> Padding:
    return Padding(Text(printable(text), overflow="fold"), (0, 0, 0, 2))
