"""A YAML file as plain texts, with the place of every key and value.

Numbers, booleans and dates stay the text that was typed: what ``1.10`` or ``on`` means is for the model to
say. Refused: keys given twice, anchors, aliases, merge keys, tags, keys that are no word, second documents,
deep nesting, keys without a value.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator
from typing import Any, Final, NamedTuple, TypeAlias

import yaml
from msgspec import Struct

from anchorcalc.reading.faults import Fault, Path, shortened
from anchorcalc.reading.syntax import comment_hint, syntax_fault
from anchorcalc.units import told_of_comma

MOST_BYTES: Final = 1 << 18  # some fifty times a long scenario; any such text is refused within two seconds
_DEEPEST: Final = 20
_NO_VALUE: Final = frozenset({"", "~", "null", "Null", "NULL"})
_LINE_BREAK: Final = re.compile(r"\r\n|\r|\n")
# What YAML does not take, and three characters that YAML, unlike editors, takes for line breaks.
_UNPRINTABLE: Final = re.compile(
    "[^\t\n\r\x20-\x7e\xa0-\u2027\u202a-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]"
)
_LOADER: Final = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

Plain: TypeAlias = "str | list[Plain] | dict[str, Plain] | None"


class Mark(NamedTuple):
    """A place in the file, counted from 1."""

    line: int
    column: int


class Document(Struct):
    """What a file says, and where it says it."""

    lines: list[str]
    content: Plain = None
    keys: dict[Path, Mark] = {}
    values: dict[Path, Mark] = {}
    faults: list[Fault] = []
    whole: bool = False
    """True when the file was read to its end and holds what is wanted: keys with values, or rows."""
    unsound: set[Path] = set()
    """Paths whose value a fault is already told about."""
    quoted: set[Path] = set()
    comma_split: set[Path] = set()
    """List items that end in a digit at a comma with a digit right behind it."""

    def place(self, path: Path) -> Mark:
        """Place of the value at `path`: of its key if it is a block, of what holds it if it is missing."""
        while path and path not in self.values:
            path = path[:-1]
        return self.values.get(path, Mark(1, 1))


class Undecodable(Exception):  # noqa: N818 - names the state of the bytes
    """Bytes that are no text; holds the fault and the lines to show it in."""

    def __init__(self, fault: Fault, lines: list[str]) -> None:
        self.fault = fault
        self.lines = lines
        super().__init__(fault.message)


def decode(data: bytes) -> str:
    """Text of a UTF-8 file of at most 256 KiB.

    Raises
    ------
    Undecodable
        Too large, another encoding, or no text at all.
    """
    if len(data) > MOST_BYTES:
        raise Undecodable(Fault((), f"larger than {MOST_BYTES >> 10} KiB, which no file of this kind is"), [])
    if data.startswith((b"\xff\xfe", b"\xfe\xff")) or _mostly_zero(data[0:200:2]) or _mostly_zero(data[1:200:2]):
        raise Undecodable(Fault((), "this text is UTF-16; save the file as UTF-8"), [])
    if b"\0" in data:
        raise _with_zero(data)
    try:
        return data.removeprefix(b"\xef\xbb\xbf").decode("utf-8")
    except UnicodeDecodeError as error:
        before = split_lines(error.object[: error.start].decode("utf-8"))
        byte = error.object[error.start : error.start + 1]
        offset = error.start + len(data) - len(error.object) + 1
        old = byte.decode("cp1252", errors="ignore")
        fault = Fault(
            (),
            f"byte {offset} (0x{byte.hex()}) is not UTF-8; save the file as UTF-8",
            len(before),
            len(before[-1]) + 1,
            f"in the older Windows encoding it is {old!r}" if old else None,
        )
        raise Undecodable(fault, split_lines(error.object.decode("utf-8", errors="replace"))) from None


def _with_zero(data: bytes) -> Undecodable:
    """What to say of a zero byte, in the line where it stands."""
    at = data.index(0)
    before = split_lines(data[:at].decode("utf-8", errors="replace").removeprefix("\ufeff"))
    fault = Fault((), f"not a text file: byte {at + 1} is zero", len(before), len(before[-1]) + 1)
    return Undecodable(fault, split_lines(data.decode("utf-8", errors="replace").removeprefix("\ufeff")))


def _mostly_zero(part: bytes) -> bool:
    return part.count(b"\0") * 2 > len(part)


def split_lines(text: str) -> list[str]:
    """Lines of `text` as YAML counts them."""
    return _LINE_BREAK.split(text)


def part_at(content: Any, path: Path) -> Any:
    """The part of `content` at `path`."""
    for step in path:
        content = content[step]
    return content


def read_document(text: str, *, rows: bool = False) -> Document:
    """Read `text`, keys with values or a list of `rows`; what is wrong with its form is in the `faults`."""
    text = text.removeprefix("\ufeff")
    builder = _Builder(text, rows)
    if len(text) > MOST_BYTES:
        builder.document.faults.append(Fault((), f"larger than {MOST_BYTES >> 10} KiB, which no file of this kind is"))
        return builder.document
    builder.run()
    return builder.document


class _Frame(Struct):
    """A mapping or list whose end was not reached yet."""

    content: dict[str, Plain] | list[Plain]
    path: Path
    in_flow: bool
    key: str | None = None  # of a mapping: the key whose value comes next
    key_event: Any = None
    last_path: Path | None = None  # the plain scalar before, if it was one
    last_event: Any = None


class _Stop(Exception):  # noqa: N818 - leaves the walk
    def __init__(self, fault: Fault) -> None:
        self.fault = fault


class _Builder:
    """Turns the parser's events into a `Document`."""

    def __init__(self, text: str, rows: bool) -> None:
        self.document = Document(split_lines(text))
        self._rows = rows
        self._text = text
        self._frames: list[_Frame] = []
        self._documents = 0
        self._joined: dict[Path, tuple[Any, Any]] = {}  # first and last event of the value

    def run(self) -> None:
        faults = self.document.faults
        clean = self._without_unprintable()
        try:
            for event in yaml.parse(clean, Loader=_LOADER):
                self._take(event)
        except _Stop as stop:
            faults.append(stop.fault)
        except yaml.YAMLError as error:
            faults.append(syntax_fault(error, self.document.lines))
        else:
            self._check_top()
        faults.extend(self._joined_faults())

    def _without_unprintable(self) -> str:
        starts = [0, *(match.end() for match in _LINE_BREAK.finditer(self._text))]
        for match in _UNPRINTABLE.finditer(self._text):
            line = bisect_right(starts, match.start())
            column = match.start() - starts[line - 1] + 1
            message = f"the invisible character U+{ord(match[0]):04X} has no place in a text file"
            self.document.faults.append(Fault((), message, line, column, "delete it and type the line anew"))
        return _UNPRINTABLE.sub("\ufffd", self._text)

    def _check_top(self) -> None:
        content = self.document.content
        self.document.whole = isinstance(content, list if self._rows else dict)
        if self.document.whole or () in self.document.unsound:
            return
        if content is None:
            message = "the file says nothing: it is empty or holds only comments"
            self.document.faults.append(Fault((), message))
            return
        form = "keys with values" if isinstance(content, dict) else "a list"
        kind = f"the text {shortened(content, 40)!r}" if isinstance(content, str) else form
        hint = None
        if isinstance(content, str) and re.match(r"\w+:\S", content):
            hint = "a key and its value have a colon and a space between them"
        line, column = self.document.place(())
        wanted = "a list of rows (- {name: ...}) is" if self._rows else "keys with their values (key: value) are"
        message = f"the file is {kind}; {wanted} wanted"
        self.document.faults.append(Fault((), message, line, column, hint))

    def _take(self, event: Any) -> None:
        if isinstance(event, yaml.ScalarEvent):
            self._refuse_extras(event)
            self._scalar(event)
        elif isinstance(event, (yaml.MappingStartEvent, yaml.SequenceStartEvent)):
            self._refuse_extras(event)
            self._open(event)
        elif isinstance(event, (yaml.MappingEndEvent, yaml.SequenceEndEvent)):
            self._frames.pop()
        elif isinstance(event, yaml.AliasEvent):
            self._alias(event)
        elif isinstance(event, yaml.DocumentStartEvent):
            self._documents += 1
            if self._documents > 1:
                mark = _mark(event)
                raise _Stop(Fault((), "a second document begins here; one file holds one", *mark))

    # --- nodes -----------------------------------------------------------------------------------------

    def _scalar(self, event: Any) -> None:
        frame = self._frames[-1] if self._frames else None
        if frame is not None and isinstance(frame.content, dict) and frame.key is None:
            self._key(frame, event)
            return
        path = self._next_path()
        plain = event.style not in ("'", '"', "|", ">")
        if plain and event.value in _NO_VALUE and self._frames:
            if frame is not None and self._belongs_to_the_one_before(frame):
                self._join(frame)
                return
            self._no_value(path, event)
            return
        if not plain:
            self.document.quoted.add(path)
        if frame is not None and isinstance(frame.content, list):
            self._note_comma_split(frame, event, plain)
        self._store(path, event.value if self._frames or event.value else None, _mark(event))
        if frame is not None:
            frame.last_path, frame.last_event = (path, event) if plain else (None, None)

    def _key(self, frame: _Frame, event: Any) -> None:
        assert isinstance(frame.content, dict)  # noqa: S101 - the callers ask first
        key = event.value
        path = (*frame.path, key)
        mark = _mark(event)
        if key == "<<":
            self._fault(path, "merge keys (<<) are not read; write the keys out", mark)
        elif key in frame.content:
            first = self.document.keys[path].line
            self._fault(path, f"this key is already given in line {first}", mark, unsound=False)
        self.document.keys.setdefault(path, mark)
        frame.key, frame.key_event = key, event

    def _open(self, event: Any) -> None:
        self._refuse_as_key(event)
        if len(self._frames) >= _DEEPEST:
            message = f"lists and keys stand more than {_DEEPEST} deep in each other"
            raise _Stop(Fault((), message, *_mark(event)))
        content: dict[str, Plain] | list[Plain] = {} if isinstance(event, yaml.MappingStartEvent) else []
        path = self._next_path()
        # A block begins at its first child; the key above it, or the item's dash, is the better place.
        under_key = not event.flow_style and path and isinstance(path[-1], str)
        self._store(path, content, _mark(self._frames[-1].key_event if under_key else event))
        self._frames.append(_Frame(content, path, bool(event.flow_style)))

    def _alias(self, event: Any) -> None:
        self._refuse_as_key(event)
        path = self._next_path()
        message = f"aliases (*{shortened(event.anchor, 40)}) are not read; write the value out"
        self._fault(path, message, _mark(event))
        self._store(path, None, _mark(event))

    def _next_path(self) -> Path:
        if not self._frames:
            return ()
        frame = self._frames[-1]
        if isinstance(frame.content, list):
            return (*frame.path, len(frame.content))
        assert frame.key is not None  # noqa: S101 - a value follows its key
        return (*frame.path, frame.key)

    def _store(self, path: Path, value: Plain, mark: Mark) -> None:
        self.document.values.setdefault(path, mark)
        if not self._frames:
            self.document.content = value
            return
        frame = self._frames[-1]
        frame.last_path = frame.last_event = None
        if isinstance(frame.content, list):
            frame.content.append(value)
        else:
            assert frame.key is not None  # noqa: S101 - a value follows its key
            frame.content.setdefault(frame.key, value)
            frame.key = None

    # --- what is refused -------------------------------------------------------------------------------

    def _fault(self, path: Path, message: str, mark: Mark, hint: str | None = None, *, unsound: bool = True) -> None:
        self.document.faults.append(Fault(path, message, *mark, hint))
        if unsound:
            self.document.unsound.add(path)

    def _refuse_extras(self, event: Any) -> None:
        path = self._next_path() if self._awaits_value() else self._frames[-1].path
        if event.anchor is not None:
            name = shortened(event.anchor, 40)
            message = f"anchors (&{name}) are not read; write the value without it"
            self._fault(path, message, _mark(event), unsound=False)
        if event.tag is not None:
            message = "tags (words that begin with !) are not read; write the value without it"
            self._fault(path, message, _mark(event), unsound=False)

    def _refuse_as_key(self, event: Any) -> None:
        if not self._awaits_value():
            hint = None
            if self._text[event.start_mark.index : event.end_mark.index].startswith("{"):
                hint = "text in braces that is no list of keys belongs in quotes"
            raise _Stop(Fault(self._frames[-1].path, "a key must be a word or a name", *_mark(event), hint))

    def _awaits_value(self) -> bool:
        if not self._frames:
            return True
        frame = self._frames[-1]
        return isinstance(frame.content, list) or frame.key is not None

    def _no_value(self, path: Path, event: Any) -> None:
        item = isinstance(path[-1], int)
        mark = _mark(event if event.value or item else self._frames[-1].key_event)
        rest = self.document.lines[mark.line - 1][mark.column - 1 : mark.column + 99]
        hint = None if item else "write its value; a key that need not be given may be left out"
        if comment := re.search(r"\s(#[\w-]+)", rest):
            hint = comment_hint(comment[1])
        elif not item and not self._has_colon(self._frames[-1].key_event):
            hint = "a key and its value have a colon and a space between them"
        self._fault(path, "a list item without a value" if item else "a key without a value", mark, hint)
        self._store(path, None, mark)

    def _has_colon(self, key_event: Any) -> bool:
        begin, end = key_event.start_mark.index, key_event.end_mark.index
        if self._text[max(0, begin - 2) : begin] == "? ":
            return True
        return self._text[end : end + 100].lstrip().startswith(":")

    # --- commas that YAML takes for its own ------------------------------------------------------------

    def _belongs_to_the_one_before(self, frame: _Frame) -> bool:
        """Whether the key without a value is the rest of the value before: ``{rated: 3,5 kN}``."""
        return (
            frame.in_flow
            and isinstance(frame.content, dict)
            and frame.last_event is not None
            and frame.key_event.style not in ("'", '"')
            and re.search(r"\d", frame.last_event.value) is not None
            and re.match(r"[-+.]?\d", frame.key or "") is not None
        )

    def _join(self, frame: _Frame) -> None:
        assert frame.last_path is not None  # noqa: S101 - _belongs_to_the_one_before asked
        begin, _ = self._joined.get(frame.last_path, (frame.last_event, None))
        self._joined[frame.last_path] = begin, frame.key_event
        self.document.unsound.add(frame.last_path)
        frame.key = None

    def _joined_faults(self) -> Iterator[Fault]:
        for path, (begin, end) in self._joined.items():
            joined = shortened(self._text[begin.start_mark.index : end.end_mark.index], 60)
            if re.search(r",\s", joined):
                message = f"a list stands in square brackets: [{joined}]"
            else:
                message = told_of_comma(joined)
            yield Fault(path, message, *_mark(begin))

    def _note_comma_split(self, frame: _Frame, event: Any, plain: bool) -> None:
        before = frame.last_event
        if not (frame.in_flow and plain and before is not None):
            return
        between = self._text[before.end_mark.index : event.start_mark.index]
        if between == "," and re.fullmatch(r"[-+]?\d+", before.value) and event.value[:1].isdigit():
            self.document.comma_split.add((*frame.path, len(frame.content) - 1))


def _mark(event: Any) -> Mark:
    return Mark(event.start_mark.line + 1, event.start_mark.column + 1)
