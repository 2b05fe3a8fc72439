"""A copy of a scenario, changed value by value: what there is to change, and the copy as texts."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from dataclasses import dataclass, replace
from types import UnionType
from typing import Annotated, Any, Final, Literal, Union, get_args, get_origin

from pydantic import BaseModel

from anchorcalc.reading.document import Plain
from anchorcalc.reading.faults import Path, path_words
from anchorcalc.scenario.model import Scenario

_PARTS: Final[frozenset[Path]] = frozenset({("deck", "layers"), ("mountings",), ("straps",)})
"""Whose parts may be described anew."""


@dataclass(frozen=True)
class Entry:
    """One value that may be changed; `value` is None where the key is allowed but not given."""

    path: Path
    value: str | None
    kind: Any = None
    """Type that the model gives it; None where the texts no longer fit what was read."""
    needed: bool = False
    help: str = ""

    @property
    def words(self) -> str:
        """The way to the value, for people."""
        return path_words(self.path)


@dataclass(frozen=True)
class Anew(Entry):
    """A part that may be described anew by questions, or a further one of its kind."""

    value: str | None = None
    another: bool = False

    @property
    def words(self) -> str:
        """The way to the part, and what may be done."""
        return f"{path_words(self.path)}: {'another one' if self.another else 'describe anew'}"


def entries(content: dict[str, Plain], scenario: Scenario) -> list[Entry]:
    """All that may be changed in `content`, read as `scenario`, in the order of the file.

    Every value, what single values may be added, and the layers, mountings and straps that may be described anew.
    """
    return list(_entries(Entry((), None), content, scenario))


def differences(before: Plain, after: Plain) -> list[tuple[Path, str | None, str | None]]:
    """Values that differ, each with its path, what it was and what it is; None is not given."""
    was, now = (dict(_leaves((), each)) for each in (before, after))
    return [(path, was.get(path), now.get(path)) for path in {**was, **now} if was.get(path) != now.get(path)]


def changed(content: dict[str, Plain], path: Path, value: str | None) -> dict[str, Plain]:
    """Copy of `content` with `value` at `path`; None takes the key away."""
    result = copy.deepcopy(content)
    place: Any = result
    for step in path[:-1]:
        place = place[step]
    if value is not None:
        place[path[-1]] = value
    elif isinstance(place, dict):
        place.pop(path[-1], None)
    return result


def _leaves(path: Path, value: Plain) -> Iterator[tuple[Path, str]]:
    if isinstance(value, str):
        yield path, value
    parts = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for step, part in parts:
        yield from _leaves((*path, step), part)


def _entries(entry: Entry, value: Any, read: Any) -> Iterator[Entry]:
    """Entries of `value` and all below it; `entry` says where and of what kind it is."""
    path = entry.path
    yield from _anew(path, value)
    if isinstance(value, dict):
        for key, part in value.items():
            yield from _entries(_part_entry(entry, read, key), part, _part(read, key))
        if isinstance(read, BaseModel):
            for key, allowed in type(read).model_fields.items():
                if key not in value and _is_single(allowed.annotation):
                    yield _part_entry(entry, read, key)
    elif isinstance(value, list):
        for index, part in enumerate(value):
            yield from _entries(_part_entry(entry, read, index), part, _part(read, index))
    else:
        yield replace(entry, value=value)


def _anew(path: Path, value: Any) -> Iterator[Entry]:
    if path in _PARTS:
        for step in value if isinstance(value, dict) else range(len(value)):
            yield Anew((*path, step))
    if path == ("mountings",):
        yield Anew(path, another=True)


def _part_entry(above: Entry, read: Any, step: str | int) -> Entry:
    """Where the part `step` of what was `read` is, and of what kind."""
    path = (*above.path, step)
    if isinstance(read, BaseModel) and step in type(read).model_fields:
        allowed = type(read).model_fields[str(step)]
        kind = Annotated[allowed.annotation, *allowed.metadata] if allowed.metadata else allowed.annotation
        return Entry(path, None, kind, allowed.is_required(), allowed.description or "")
    if isinstance(read, tuple):
        return Entry(path, None, _item_kind(above.kind, int(step)), needed=True)
    return Entry(path, None, _item_kind(above.kind, 1) if isinstance(read, dict) and step in read else None)


def _item_kind(kind: Any, index: int) -> Any:
    """Kind of item `index` of a tuple or mapping of `kind`; None where it has none."""
    while get_origin(kind) in (Annotated, Union, UnionType):
        kind = get_args(kind)[0]
    parts = get_args(kind)
    if len(parts) == 2 and parts[1] is Ellipsis:
        return parts[0]
    return parts[index] if index < len(parts) else None


def _part(read: Any, step: str | int) -> Any:
    """What was read at `step`; None where the texts were changed since."""
    if isinstance(read, BaseModel):
        return getattr(read, str(step), None)
    if isinstance(read, tuple):
        return read[int(step)] if int(step) < len(read) else None
    return read.get(step) if isinstance(read, dict) else None


def _is_single(annotation: Any) -> bool:
    """Whether one text says it: a number, a word or a name."""
    origin, parts = get_origin(annotation), get_args(annotation)
    if origin is Annotated:
        return _is_single(parts[0])
    if origin in (Union, UnionType):
        return all(map(_is_single, parts))
    return origin is Literal or annotation in (float, str, type(None))
