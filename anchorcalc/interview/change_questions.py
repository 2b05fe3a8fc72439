"""Questions about single values of a scenario that is there already: what each may be."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from types import UnionType
from typing import TYPE_CHECKING, Annotated, Any, Final, Literal, Union, get_args, get_origin

from pydantic import TypeAdapter

from anchorcalc.interview.guided import Question, Slip, choice, name, validated
from anchorcalc.scenario.model import Backing

if TYPE_CHECKING:
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.interview.changes import Entry
    from anchorcalc.reading.faults import Path

_LEFT_OUT: Final = "the key is taken out; what is then assumed is listed with every result"
_NOT_GIVEN: Final = "It is not given now; Enter leaves it so."
_OTHER_KIND: Final = "Another kind needs other keys beside it: 'describe anew' asks for them."


def question_about(entry: Entry, content: dict[str, Any], catalog: Catalog) -> Question:
    """Ask what shall stand at `entry` of the scenario `content`."""
    choices = _choices(entry, content, catalog)
    help_lines = [entry.help, _NOT_GIVEN if entry.value is None else "", _OTHER_KIND if _is_kind(entry.path) else ""]
    return Question(
        key=entry.words,
        section="",
        text=f"{entry.words}: the new value?",
        where=entry.path,
        read=choice(choices) if choices else _reader(entry.kind),
        default=entry.value,
        origin="as it is",
        unknown=None if entry.needed else _LEFT_OUT,
        choices=tuple(choices),
        help="\n".join(filter(None, help_lines)),
    )


def _reader(kind: Any) -> Callable[[str], str]:
    if kind is None:
        return name
    return partial(_read, TypeAdapter(kind))


def _read(adapter: TypeAdapter[Any], text: str) -> str:
    if not text.isprintable():
        raise Slip("letters, digits and ordinary signs only, please")
    validated(adapter, text)
    return text


def _choices(entry: Entry, content: dict[str, Any], catalog: Catalog) -> list[str]:
    """The words that may stand at `entry`; none where it is a measure or a name of the user's own."""
    path = entry.path
    if _is_kind(path):
        return [get_args(each.model_fields["kind"].annotation)[0] for each in get_args(get_args(Backing)[0])]
    literals = _literals(entry.kind)
    if literals:
        return literals
    match path:
        case ("rules",):
            return list(catalog.rule_sets)
        case ("mountings", str(mounting), "fasteners", "size" | "grade" as key):
            fasteners = content["mountings"][mounting]["fasteners"]
            return _fastener_rows(str(key), fasteners, catalog)
        case ("straps", str(strap), "grade"):
            kind = content["straps"][strap].get("kind")
            return list(dict.fromkeys(row.grade for row in catalog.straps.values() if row.kind == kind))
    return _named(path, content, catalog)


def _fastener_rows(key: str, fasteners: dict[str, Any], catalog: Catalog) -> list[str]:
    kind = fasteners.get("kind")
    if kind != "bolt":
        return [row.size for row in catalog.screws.values() if row.kind == kind]
    if key == "size":
        return list(catalog.threads)
    thread = catalog.threads.get(fasteners.get("size", ""))
    return [row.name for row in catalog.bolt_grades.values() if thread is None or row.series == thread.series]


def _named(path: Path, content: dict[str, Any], catalog: Catalog) -> list[str]:
    """Rows of a table, or parts of the scenario, that the key at `path` names."""
    rows: dict[str, Callable[[], list[str]]] = {
        "panel": lambda: list(catalog.panels),
        "condition": lambda: list(catalog.conditions),
        "section": lambda: list(catalog.members),
        "steel": lambda: list(catalog.steels),
        "screw": lambda: [row.name for row in catalog.hold_down_screws],
        "mounting": lambda: list(content["mountings"]),
        "anchor": lambda: list(content["anchors"]),
        "to": lambda: list(content["load"]["tie_points"]),
    }
    named = rows.get(str(path[-1]))
    return [] if named is None or path[0] == "assumed" else named()


def _is_kind(path: Path) -> bool:
    return len(path) == 4 and path[0] == "mountings" and path[2:] == ("backing", "kind")


def _literals(kind: Any) -> list[str]:
    origin, parts = get_origin(kind), get_args(kind)
    if origin is Literal:
        return list(parts)
    if origin is Annotated:
        return _literals(parts[0])
    return [word for part in parts for word in _literals(part)] if origin in (Union, UnionType) else []
