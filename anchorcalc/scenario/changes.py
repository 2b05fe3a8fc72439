"""A copy of a scenario, changed value by value: what there is to change, and the copy as texts."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from dataclasses import dataclass
from types import UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel

from anchorcalc.scenario.document import Plain
from anchorcalc.scenario.faults import Path, path_words
from anchorcalc.scenario.model import Scenario


@dataclass(frozen=True)
class Entry:
    """One value that may be changed; `value` is None where the key is allowed but not given."""

    path: Path
    value: str | None

    @property
    def words(self) -> str:
        """The way to the value, for people."""
        return path_words(self.path)


def entries(content: dict[str, Plain], scenario: Scenario) -> list[Entry]:
    """Every value of `content`, read as `scenario`, in the order of the file; and what single values may be added."""
    return list(_entries((), content, scenario))


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


def _entries(path: Path, value: Any, read: Any) -> Iterator[Entry]:
    if isinstance(value, dict):
        for key, part in value.items():
            yield from _entries((*path, key), part, _part(read, key))
        if isinstance(read, BaseModel):
            for key, allowed in type(read).model_fields.items():
                if key not in value and _is_single(allowed.annotation):
                    yield Entry((*path, key), None)
    elif isinstance(value, list):
        for index, part in enumerate(value):
            yield from _entries((*path, index), part, _part(read, index))
    else:
        yield Entry(path, value)


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
