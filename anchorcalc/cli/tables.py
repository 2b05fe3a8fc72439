"""``tables``: the rows behind the numbers, and where they are from."""

from __future__ import annotations

from pathlib import Path

import click

from anchorcalc.cli.common import Status, format_option, own_tables_option, tell


@click.command(name="tables")
@click.argument("words", nargs=-1)
@click.option("--table", metavar="NAME", help="Only this table.")
@format_option
@own_tables_option
def command(words: tuple[str, ...], table: str | None, form: str, own_tables: tuple[Path, ...]) -> int:
    """List the tables, or show the rows that hold all WORDS, with their sources.

    Rows of your own, from --tables, are marked as such. A file of your own has the name and the keys of the
    table it adds to; a name that stands twice is an error.

    \b
    Examples:
      anchorcalc tables
      anchorcalc tables --table steels
      anchorcalc tables webbing 2 in
      anchorcalc tables A36 --format json
      anchorcalc tables --table steels --tables my-tables
    """
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.catalog.texts import TABLES, matching, rows_of

    if table is not None and table not in TABLES:
        raise click.UsageError(_no_such(table, list(TABLES)))
    rows = rows_of(Catalog(own_tables), own_tables, [table] if table else TABLES)
    found = matching(rows, words)
    if form == "json":
        from anchorcalc.render.screen.tables import tables_json

        click.echo(tables_json(found))
    else:
        from anchorcalc.render.screen.tables import show_list, show_rows

        show_rows(found) if words or table else show_list(rows)
    if words and not found:
        tell(f"no row holds {' '.join(words)!r}")
        return Status.REFUSED
    return Status.PASSES


def _no_such(name: str, known: list[str]) -> str:
    from anchorcalc.reading.reader import nearest

    near = nearest(name, known)
    hint = f" Did you mean {near!r}?" if near else ""
    return f"no table {name[:40]!r}.{hint} Known: {', '.join(known)}"
