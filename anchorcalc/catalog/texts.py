"""The rows of the tables as they are written, for people to search and read."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import yaml
from msgspec import Struct

from anchorcalc.resources import data_folder

if TYPE_CHECKING:
    from anchorcalc.catalog.tables import Catalog

TABLES: Final = {
    "panels": "deck panels and planks: strengths, and section properties by thickness",
    "conditions": "what the condition of the wood leaves of its strengths",
    "screws": "wood screws, lag screws and self-drilling screws",
    "threads": "bolt threads and their nuts",
    "bolt_grades": "bolt grades by their least strengths",
    "bolt_lengths": "stock lengths of bolts",
    "drill_sizes": "holes to drill for bolts and screws",
    "washers": "stock washers",
    "steels": "steels and aluminium alloys by their least strengths",
    "plates": "flat stock for plates",
    "members": "cross-member sections",
    "timber": "sawn wood of cross-members: fifth percentiles and allowable stresses",
    "straps": "tie-downs that carry no mark: rating, stretch, hand tension",
    "factors": "single values of the checks",
    "fitting_factors": "single values of the fitting sheet",
    "usual_ranges": "what is usual; a value outside is warned about",
    "typical": "typical trailers and loads that `start` begins from",
    "yardsticks": "what standards ask of an anchor point; none decides a verdict",
    "rules": "rule sets: accelerations, sums, counts",
}
_LONGEST_ITEM: Final = 20
_LOADER: Final = getattr(yaml, "CBaseLoader", yaml.BaseLoader)


class TextRow(Struct, frozen=True):
    """One row: its values as written, `own_file` when it is a user's own."""

    table: str
    name: str
    source: str
    values: dict[str, Any]
    own_file: str | None


def rows_of(catalog: Catalog, own_folders: Sequence[Path], tables: Iterable[str] = TABLES) -> list[TextRow]:
    """Rows of `tables`, the shipped ones first.

    Raises
    ------
    CatalogError
        A table does not fit its schema, or a name stands twice.
    """
    folders = [(data_folder("tables"), False), *((folder, True) for folder in own_folders)]
    found: list[TextRow] = []
    for table in tables:
        getattr(catalog, "rule_sets" if table == "rules" else table)  # reads and checks every row of it
        for folder, own in folders:
            found += _rows_in(folder, table, own)
    return found


def _rows_in(folder: Path, table: str, own: bool) -> Iterator[TextRow]:
    files = sorted((folder / "rules").glob("*.yaml")) if table == "rules" else [folder / f"{table}.yaml"]
    for file in files:
        if not file.is_file():
            continue
        written = yaml.load(file.read_bytes(), Loader=_LOADER)  # noqa: S506 - makes nothing but texts
        for row in written if isinstance(written, list) else [written]:
            values = {key: value for key, value in row.items() if key not in ("name", "source")}
            yield TextRow(table, row["name"], row["source"], values, str(file) if own else None)


def matching(rows: Iterable[TextRow], words: Sequence[str]) -> list[TextRow]:
    """The rows in which every one of `words` stands, in whatever case; first those that have them in the name."""
    wanted = [word.lower() for word in words]
    found = [row for row in rows if all(word in _all_text(row) for word in wanted)]
    return sorted(found, key=lambda row: not all(word in row.name.lower() for word in wanted))


def value_text(value: Any) -> str:
    """A value of a row in one line."""
    if isinstance(value, dict):
        return ", ".join(f"{key} {value_text(part)}" for key, part in value.items())
    if isinstance(value, list):
        long = any(not isinstance(part, str) or len(part) > _LONGEST_ITEM for part in value)
        between = "; " if long else ", "
        return between.join(map(value_text, value))
    return str(value)


def _all_text(row: TextRow) -> str:
    return f"{row.table} {row.name} {value_text(row.values)} {row.source} {row.own_file or ''}".lower()
