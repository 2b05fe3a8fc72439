"""A copy of a scenario, changed value by value; whatever is wrong then is what the reader says of it."""

from __future__ import annotations

import copy
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from anchorcalc.interview.answers import NOT_KNOWN, Slip
from anchorcalc.interview.guided import Row
from anchorcalc.reading.document import part_at
from anchorcalc.reading.faults import InputFaults, Path, path_words
from anchorcalc.reading.shape import Shape, shape_of
from anchorcalc.scenario.model import Scenario
from anchorcalc.scenario.read import parse_scenario
from anchorcalc.scenario.writer import scenario_text

if TYPE_CHECKING:
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.reading.document import Plain

_NUMBER_AND_UNIT: Final = re.compile(r"([-−\d./\s]*\d)\s*(\D+)?")
_ABSENT: Final = "(not given)"


@dataclass(frozen=True)
class Entry:
    """One value, or a list in one line, that may be changed; None where the key is allowed but not given."""

    path: Path
    value: str | None
    shape: Shape
    section: str = ""

    @property
    def key(self) -> str:
        """The way to the value, for people."""
        return path_words(self.path)


class Copy:
    """The texts of the copy, and what may be changed in them."""

    def __init__(self, content: dict[str, Plain], catalog: Catalog) -> None:
        self.content = self._original = content
        self._catalog = catalog

    def rows(self) -> list[Entry]:
        """Every value, and what values may be added, in the order of the file."""
        return list(_entries((), self.content, shape_of(Scenario)))

    def lines(self) -> Iterator[tuple[Entry, str]]:
        """Every value in words."""
        return ((entry, entry.value or _ABSENT) for entry in self.rows())

    def question(self, entry: Entry) -> Row:
        """What shall stand at `entry`."""
        text, told = f"{entry.key}: the new value? (none takes the key out)", entry.shape.description or ""
        allowed = entry.shape.choices
        return Row(entry.key, "", text, choices=allowed, default=entry.value or "", mark="as it is", help=told)

    def take(self, entry: Entry, typed: str) -> str | None:
        """Put what was `typed` at `entry`, and tell what was understood, None if the key is taken out; or `Slip`.

        What does not go together with other values is taken, and told by the reader.
        """
        text = typed.strip()
        if not text:
            return entry.value
        if not text.isprintable():
            raise Slip("letters, digits and ordinary signs only, please")
        out = text.lower() in NOT_KNOWN or (text == "none" and text not in entry.shape.choices)
        value = None if out else _with_its_unit(text, entry.value or "")
        content = _changed(self.content, entry, value)
        if entry.path[-1] == "kind" and value in entry.shape.choices:
            content = self._without_what_is_of_another_kind(content, entry.path[:-1])
        before = _faults(self.content, self._catalog) if out else set()
        for path, message in _faults(content, self._catalog) - before:
            if out or path[: len(entry.path)] == entry.path:
                raise Slip(message)
        self.content = content
        return value

    def opened(self, entry: Entry) -> list[Entry]:
        """What has to be given beside a changed kind: keys that are missing, and values that will not do for it.

        A value that will not do and may be left out is taken out.
        """
        parent = entry.path[:-1]
        if entry.path[-1] != "kind":
            return []
        required = _branch(self.content, parent).required
        faulty = {path for path, _ in _faults(self.content, self._catalog) if path[: len(parent) - 1] == parent[:-1]}
        for row in self.rows():
            if row.path in faulty and row.path[-1] not in _branch(self.content, row.path[:-1]).required:
                self.content = _changed(self.content, row, None)
                return self.opened(entry)
        missing = {(*parent, key) for key in required if key not in part_at(self.content, parent)}
        return [row for row in self.rows() if row.path in missing | faulty]

    def _without_what_is_of_another_kind(self, content: dict[str, Plain], parent: Path) -> dict[str, Plain]:
        """Without the keys at `parent` that are not allowed there, or that may be left out and will not do."""
        branch, place = _branch(content, parent), part_at(content, parent)
        for key in [key for key in place if key not in branch.keys]:
            del place[key]
        for key in [key for key in place if key not in branch.required]:
            without = copy.deepcopy(content)
            del part_at(without, parent)[key]
            faults = _faults(content, self._catalog)
            if any(path[: len(parent)] == parent for path, _ in faults - _faults(without, self._catalog)):
                content = without
        return content

    def differences(self) -> list[str]:
        """Every change in words."""
        original = Copy(self._original, self._catalog)
        was, now = ({entry.key: text for entry, text in each.lines()} for each in (original, self))
        both = {key: (was.get(key, _ABSENT), now.get(key, _ABSENT)) for key in {**was, **now}}
        return [f"{key}: {before} -> {after}" for key, (before, after) in both.items() if before != after]


def _with_its_unit(text: str, former: str) -> str:
    """`text`; a number alone is in the unit that stands there."""
    typed, there = (_NUMBER_AND_UNIT.fullmatch(each) for each in (text, former))
    return f"{text} {there[2].strip()}" if typed and not typed[2] and there and there[2] else text


def _changed(content: dict[str, Plain], entry: Entry, value: str | None) -> dict[str, Plain]:
    """Copy of `content` with `value` at `entry`; None takes the key away."""
    result = copy.deepcopy(content)
    place = part_at(result, entry.path[:-1])
    if value is not None:
        place[entry.path[-1]] = value if entry.shape.is_single else [each.strip() for each in value.split(",")]
    elif isinstance(place, dict):
        place.pop(entry.path[-1], None)
    return result


def _branch(content: Any, path: Path) -> Shape:
    """What is allowed at `path`, as the kinds on the way to it say."""
    shape = _of_its_kind(shape_of(Scenario), content)
    for step in path:
        content = content[step]
        shape = _of_its_kind(shape.child(step), content)
    return shape


def _of_its_kind(shape: Shape, value: Any) -> Shape:
    return shape if shape.selector is None else shape.locate((str(value.get(shape.selector)),)).shape


def _faults(content: dict[str, Plain], catalog: Catalog) -> set[tuple[Path, str]]:
    try:
        parse_scenario(scenario_text(content), "the copy", catalog=catalog)
    except InputFaults as faults:
        return {(fault.path, fault.message) for fault in faults.faults}
    return set()


def _entries(path: Path, value: Plain, shape: Shape) -> Iterator[Entry]:
    """Entries of `value` and all below it; `shape` says what the model allows there."""
    if isinstance(value, dict):
        branch = _of_its_kind(shape, value)
        for key, part in value.items():  # the key that selects a branch may be any of its words
            yield from _entries((*path, key), part, branch.child(key) if key != shape.selector else shape)
        absent = (key for key in branch.keys if key not in value and branch.child(key).is_flat)
        yield from (Entry((*path, key), None, branch.child(key)) for key in absent)
    elif isinstance(value, list) and not all(isinstance(each, str) for each in value):
        for index, part in enumerate(value):
            yield from _entries((*path, index), part, shape.child(index))
    else:
        yield Entry(path, ", ".join(map(str, value)) if isinstance(value, list) else value, shape)
