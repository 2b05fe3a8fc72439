"""A copy of a scenario, changed value by value; whatever is wrong then is what the reader says of it."""

from __future__ import annotations

import copy
import re
from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING, Any, Final

from msgspec import Struct

from anchorcalc.interview.answers import NOT_KNOWN, Slip
from anchorcalc.interview.guided import Row
from anchorcalc.reading.document import part_at, read_document
from anchorcalc.reading.faults import InputFaults, Path, path_words
from anchorcalc.reading.shape import Shape, shape_of
from anchorcalc.scenario.model import Scenario
from anchorcalc.scenario.read import parse_scenario
from anchorcalc.scenario.writer import flow, scenario_text

if TYPE_CHECKING:
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.reading.document import Plain

_NUMBER_AND_UNIT: Final = re.compile(r"([-−\d./\s]*\d)\s*(\D+)?")
_ABSENT: Final = "(not given)"


class Entry(Struct, frozen=True):
    """One value, a list in one line, or a part as it is written in a file; None where it is allowed but not given."""

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

    def named(self, words: str) -> Entry | None:
        """What `words` name: a value, or a whole part, there or to be added."""
        return _named(words.replace(" › ", " "), (), self.content, shape_of(Scenario))

    def question(self, entry: Entry) -> Row:
        """What shall stand at `entry`."""
        text, told = f"{entry.key}: the new value? (none takes the key out)", entry.shape.description or ""
        if not entry.shape.is_flat:
            told = "\n".join(filter(None, [told, f"As in a file: {_form(entry.shape)}"]))
        allowed = entry.shape.choices
        return Row(entry.key, "", text, choices=allowed, default=entry.value or "", mark="as it is", help=told)

    def take(self, entry: Entry, typed: str) -> str | None:
        """Put what was `typed` at `entry`, and tell what was understood, None if the key is taken out; or `Slip`.

        What does not go together with other values is taken, and told by the reader; what cannot be left out stays.
        """
        text = typed.strip()
        if not text:
            return entry.value
        if not text.isprintable():
            raise Slip("letters, digits and ordinary signs only, please")
        out = text.lower() in NOT_KNOWN or (text == "none" and text not in entry.shape.choices)
        value = None if out else _in_file_form(text) or _with_its_unit(text, entry.value or "")
        content = _changed(self.content, entry, value)
        if entry.path[-1] == "kind" and value in entry.shape.choices:
            content = self._without_what_is_of_another_kind(content, entry.path[:-1])
        before = {path for path, _ in _faults(self.content, self._catalog)} if out else set()
        for path, message in sorted(_faults(content, self._catalog), key=str):
            holds_it = out and path not in before and entry.path[: len(path)] == path
            if holds_it or path[: len(entry.path)] == entry.path:
                raise Slip(message)
        self.content = content
        return value if value is None or isinstance(value, str) else flow(value)

    def opened(self, entry: Entry) -> list[Entry]:
        """What has to be given beside `entry`: keys that are missing there, and values that will not do for a new kind.

        A value that will not do and may be left out is taken out.
        """
        parent = entry.path[:-1]
        try:
            there = part_at(self.content, parent)
        except (KeyError, IndexError):  # the last of it was taken out
            return []
        required = _branch(self.content, parent).required
        missing = {(*parent, key) for key in required if key not in there}
        if entry.path[-1] != "kind":
            return [row for row in self.rows() if row.path in missing]
        faulty = {path for path, _ in _faults(self.content, self._catalog) if path[: len(parent) - 1] == parent[:-1]}
        for row in self.rows():
            if row.path in faulty and row.path[-1] not in _branch(self.content, row.path[:-1]).required:
                self.content = _changed(self.content, row, None)
                return self.opened(entry)
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


def _in_file_form(text: str) -> Plain:
    """A list or a part in brackets or braces, as it stands in a file; None if `text` is neither."""
    if text[:1] not in ("[", "{"):
        return None
    read = read_document(f"value: {text}")
    if read.faults or not isinstance(read.content, dict) or set(read.content) != {"value"}:
        raise Slip(read.faults[0].message if read.faults else f"{text[:40]!r} is not one list or part")
    return read.content["value"]


def _form(shape: Shape) -> str:
    """How a part is written in a file."""
    if shape.keys:
        more = ", ".join(key for key in shape.keys if key not in shape.required)
        needed = "{" + ", ".join(f"{key}: ..." for key in shape.required) + "}"
        return f"{needed}; may be added: {more}" if more else needed
    return "{name: {...}, name: {...}}" if shape.names_are_free else "[{...}, {...}]"


def _named(words: str, path: Path, value: Any, shape: Shape) -> Entry | None:
    """What `words` name within `value`, which stands at `path` or may; the longest step that fits goes first."""
    if not words:
        return Entry(path, None if value is None else value if isinstance(value, str) else flow(value), shape)
    branch = _of_its_kind(shape, value or {})
    there = value if isinstance(value, dict) else dict(enumerate(value)) if isinstance(value, list) else {}
    steps: set[str | int] = {*there, *branch.keys}
    if branch.is_list:
        steps.add(len(there))
    for step in sorted(steps, key=lambda step: -len(path_words((step,)))):
        told = path_words((step,))
        if words == told or words.startswith(f"{told} "):
            inner = branch.child(step) if step != shape.selector else shape
            found = _named(words[len(told) + 1 :], (*path, step), there.get(step), inner)
            if found is not None:
                return found
    return Entry((*path, words), None, branch.child(words)) if branch.names_are_free else None


def _changed(content: dict[str, Plain], entry: Entry, value: Plain) -> dict[str, Plain]:
    """Copy of `content` with `value` at `entry`, and what holds it if that was not there; None takes it away."""
    result = copy.deepcopy(content)
    if value is None:
        _take_out(result, entry.path)
        return result
    place: Any = result
    for step, next_step in pairwise(entry.path):
        if isinstance(place, dict) and step not in place:
            place[step] = [] if isinstance(next_step, int) else {}
        place = place[step]
    if isinstance(value, str) and entry.shape.is_flat and not entry.shape.is_single:
        value = [each.strip() for each in value.split(",")]
    if isinstance(place, list) and entry.path[-1] == len(place):
        place.append(value)
    else:
        place[entry.path[-1]] = value
    return result


def _take_out(content: Any, path: Path) -> None:
    """Take away what is at `path`, if it is there, and what is empty then."""
    *way, last = path
    place = content
    for step in way:
        if step not in (place if isinstance(place, dict) else range(len(place))):
            return
        place = place[step]
    if last in (place if isinstance(place, dict) else range(len(place))):
        del place[last]
        if way and not place:
            _take_out(content, tuple(way))


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
        absent = (key for key in branch.keys if key not in value)
        yield from (Entry((*path, key), None, branch.child(key)) for key in absent)
    elif isinstance(value, list) and not all(isinstance(each, str) for each in value):
        for index, part in enumerate(value):
            yield from _entries((*path, index), part, shape.child(index))
    else:
        yield Entry(path, ", ".join(map(str, value)) if isinstance(value, list) else value, shape)
