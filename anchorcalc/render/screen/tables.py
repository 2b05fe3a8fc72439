"""Tables on the screen and as JSON: every row with its source, values as they are written."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Sequence

from rich.text import Text

from anchorcalc.catalog.texts import TABLES, TextRow, value_text
from anchorcalc.reading.faults import printable
from anchorcalc.render.screen.console import indented, printing, table


def show_list(rows: Sequence[TextRow]) -> None:
    """Print each table's name, number of rows and what it holds."""
    all_rows = Counter(row.table for row in rows)
    own = Counter(row.table for row in rows if row.own_file)
    with printing() as out:
        shown = table("table", "#rows", "#own", "what it holds")
        for name, words in TABLES.items():
            shown.add_row(name, str(all_rows[name]), str(own[name] or ""), words)
        out.print(shown)
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
                out.print(indented(printable(f"{key}: {value_text(value)}")))
            out.print(indented(printable(f"source: {row.source}")))
            if row.own_file:
                out.print(indented(printable(f"file: {row.own_file}")))


def tables_json(rows: Sequence[TextRow]) -> str:
    """Rows as JSON; values are texts, as they are written."""
    found = [
        {"table": row.table, "name": row.name, "source": row.source, "own_file": row.own_file, "values": row.values}
        for row in rows
    ]
    return json.dumps({"schema": 1, "rows": found}, indent=2, ensure_ascii=False, allow_nan=False)
