"""From a file to a validated model, or to all of its faults at once, each with its place.

The document keeps every value as text with its place; the model says what the texts mean; what the model
refuses is put into our own words here.
"""

from __future__ import annotations

import errno
import io
import os
import re
import stat
import sys
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from difflib import get_close_matches
from pathlib import Path as FilePath
from typing import Any, Final, TypeVar

from pydantic import BaseModel, RootModel, ValidationError

from anchorcalc.reading.document import MOST_BYTES, Document, Mark, Undecodable, decode, part_at, read_document
from anchorcalc.reading.faults import Fault, InputFaults, Path, shortened
from anchorcalc.reading.shape import Located, Shape, shape_of

STANDARD_INPUT: Final = "-"
_MOST_PHRASED: Final = 200
_LONGEST_WORD: Final = 60
_FOLDER: Final = "this is a folder; a file is wanted"

M = TypeVar("M", bound=BaseModel)
CrossFaults = Callable[[M], Iterable[tuple[Path, str]]]
"""Faults between parts that are each sound, as (path, sentence)."""


def text_of(source: FilePath | str) -> tuple[str, str]:
    """Text of the file `source`, or of standard input if that is ``-``, and what to call it.

    Raises
    ------
    InputFaults
        No such file, not readable, or no text.
    """
    if source == STANDARD_INPUT:
        data, name = _bytes_of_standard_input(), "standard input"
    else:
        data, name = _bytes_of(FilePath(source)), str(source)
    try:
        return decode(data), name
    except Undecodable as error:
        raise InputFaults(name, error.lines, [error.fault]) from None


def read_model(
    text: str,
    name: str,
    model: type[M],
    cross_faults: CrossFaults[M] | None = None,
    *,
    other_words: Mapping[str, str] | None = None,
) -> M:
    """`text` as a `model`, with every quantity checked.

    Parameters
    ----------
    text
        YAML.
    name
        What the faults call the text, usually its file.
    model
        Model whose fields take texts; a root model of a list where rows are wanted.
    cross_faults
        Called with a model whose parts are each sound.
    other_words
        What people call a key, in small letters, and the key; proposed where that is allowed.

    Raises
    ------
    InputFaults
        With everything that is wrong.
    """
    document = read_document(text, rows=issubclass(model, RootModel))
    faults = list(document.faults)
    more = 0
    if document.whole:
        try:
            result = model.model_validate(document.content)
        except ValidationError as error:
            found, more = _Phrasing(document, shape_of(model), other_words or {}).faults(error)
            faults += found
        else:
            for path, message in cross_faults(result) if cross_faults else ():
                faults.append(Fault(path, message, *document.place(path)))
            if not faults:
                return result
    raise InputFaults(name, document.lines, faults, more)


def _bytes_of_standard_input() -> bytes:
    try:
        return sys.stdin.buffer.read(MOST_BYTES + 1) or b""
    except (OSError, ValueError) as error:  # open for writing only, say
        raise InputFaults("standard input", [], [Fault((), _unreadable(error))]) from None


def _bytes_of(path: FilePath) -> bytes:
    try:
        with open(path, "rb", buffering=0, opener=_without_waiting) as file:
            return _content(file)
    except FileNotFoundError:
        message = "this link leads to no file" if path.is_symlink() else "there is no such file"
    except IsADirectoryError:
        message = _FOLDER
    except PermissionError:
        # Windows says so for a folder too.
        message = _FOLDER if path.is_dir() else "no permission to read this file"
    except (OSError, ValueError) as error:
        message = _unreadable(error)
    raise InputFaults(str(path), [], [Fault((), message)])


def _unreadable(error: OSError | ValueError) -> str:
    if isinstance(error, OSError) and error.errno == errno.ELOOP:
        return "this link leads back to itself"
    return f"cannot be read: {getattr(error, 'strerror', None) or error}"


def _without_waiting(path: str, flags: int) -> int:
    """Open a file; unlike open itself, return at once where it is a pipe into which nobody writes."""
    return os.open(path, flags | getattr(os, "O_NONBLOCK", 0))


def _content(file: io.FileIO) -> bytes:
    """As much of `file` as is read of any, and one byte more."""
    mode = os.fstat(file.fileno()).st_mode
    start = b""
    if stat.S_ISFIFO(mode):
        first = file.read(1)  # None while a writer is there but has not written yet
        if first == b"":
            raise OSError(errno.EPIPE, "nothing writes into this pipe")
        start = first or b""
    if not stat.S_ISREG(mode):
        os.set_blocking(file.fileno(), True)
    with io.BufferedReader(file) as whole:
        return start + whole.read(MOST_BYTES + 1)


class _Phrasing:
    """Puts a model's refusals into sentences with places."""

    def __init__(self, document: Document, shape: Shape, other_words: Mapping[str, str]) -> None:
        self._document, self._shape, self._other_words = document, shape, other_words
        self._above_unsound = {path[:length] for path in document.unsound for length in range(len(path) + 1)}

    def faults(self, error: ValidationError) -> tuple[list[Fault], int]:
        """The first faults in the order of the file, and the number of those left out."""
        refused = [(self._shape.locate(e["loc"]), e) for e in error.errors(include_url=False)]
        refused = [(at, e) for at, e in refused if not self._told(at.path, e)]
        refused.sort(key=lambda entry: self._document.place(entry[0].path))
        phrased = refused[:_MOST_PHRASED]
        missing: dict[Path, dict[str, Located]] = defaultdict(dict)
        unknown: list[Located] = []
        faults: list[Fault] = []
        for at, e in phrased:
            key = at.path[-1] if at.path else None
            if e["type"] == "extra_forbidden":
                unknown.append(at)
            elif e["type"] == "missing" and isinstance(key, str):
                missing[at.path[:-1]][key] = at
            else:
                faults.append(self._fault(at, e))
        faults += [self._unknown_key(at, missing[at.path[:-1]]) for at in unknown]
        faults += [self._missing(parent, keys) for parent, keys in missing.items() if keys]
        return list(dict.fromkeys(faults)), len(refused) - len(phrased)

    def _told(self, path: Path, error: Any) -> bool:
        """Whether a fault of the document already covers this one, or is its likely cause."""
        unsound = self._document.unsound
        if any(path[:length] in unsound for length in range(len(path) + 1)):
            return True
        match error["type"]:
            case "value_error":
                return path in self._above_unsound
            case "missing":
                return (*path[:-1], "<<") in unsound
            case "too_short":  # said of a list, too, whose entries are all there but refused
                return len(self._content(path)) >= int(error["ctx"]["min_length"])
        return False

    def _content(self, path: Path) -> Any:
        return part_at(self._document.content, path)

    # --- keys ------------------------------------------------------------------------------------------

    def _unknown_key(self, at: Located, missing: dict[str, Located]) -> Fault:
        """Fault for a key not allowed here; the missing key it is near to is taken out of `missing`."""
        word = str(at.path[-1])
        free = set(at.holder.keys) - set(self._content(at.path[:-1]))
        called = self._other_words.get(_plain(word))
        meant = called if called in free else nearest(word, missing) or nearest(word, free)
        missing.pop(meant or "", None)
        suggestion = f"; did you mean {meant!r}?" if meant else ""
        hint = f"allowed here: {', '.join(at.holder.keys)}"
        if re.match(r"[-+.]?\d", word):
            hint = "a decimal comma, or a list without square brackets?"
        message = f"unknown key {shortened(word, _LONGEST_WORD)!r}{suggestion}"
        return Fault(at.path[:-1], message, *self._document.keys[at.path], hint)

    def _missing(self, parent: Path, keys: dict[str, Located]) -> Fault:
        names = ", ".join(map(repr, keys))
        description = next(iter(keys.values())).shape.description if len(keys) == 1 else None
        message = f"missing key{'s' if len(keys) > 1 else ''} {names}" + (f" ({description})" if description else "")
        return Fault(parent, message, *self._document.place(parent))

    # --- values ----------------------------------------------------------------------------------------

    def _fault(self, at: Located, error: Any) -> Fault:
        path, shape = at.path, at.shape
        kind, value, context = error["type"], error["input"], error.get("ctx", {})
        mark = self._document.place(path)
        match kind:
            case "missing":  # an item of a list that has a fixed length
                path = path[:-1]
                return self._wrong_length(path, at.holder, self._content(path), self._document.place(path))
            case "value_error":
                return Fault(path, str(context["error"]), *mark, self._slip(path, value))
            case "union_tag_not_found":
                choices = ", ".join(shape.choices)
                return Fault(path, f"missing key {shape.selector!r}; one of: {choices}", *mark)
            case "union_tag_invalid" if isinstance(value, dict) and shape.selector:
                path = (*path, shape.selector)
                mark = self._document.place(path)
                return _not_a_choice(path, value[shape.selector], shape.choices, mark)
            case "literal_error" | "enum":
                return _not_a_choice(path, value, shape.choices, mark)
            case "tuple_type" | "list_type" | "set_type":
                return self._list_wanted(path, shape, value, mark)
            case "model_type" | "model_attributes_type" | "dict_type":
                keys = ", ".join(shape.keys) or (f"{shape.selector} and others" if shape.selector else "")
                wanted = f"keys with values ({keys})" if keys else "names with values"
                return Fault(path, f"{wanted} are wanted here, not {_kind(value)}", *mark)
            case "string_type":
                return Fault(path, f"one value is wanted here, not {_kind(value)}", *mark)
            case "too_long" | "too_short" if shape.fixed_length is not None:
                return self._wrong_length(path, shape, value, mark)
            case "too_short":
                return Fault(path, f"at least {context['min_length']} is wanted here", *mark)
            case "too_long":
                message = f"at most {context['max_length']} are taken here, not {len(value)}"
                return Fault(path, message, *mark)
            case "string_too_short":
                return Fault(path, "an empty text says nothing", *mark)
            case "string_too_long":
                return Fault(path, f"longer than {context['max_length']} characters", *mark)
        sentence = error["msg"].replace("Input should be", "this should be")
        return Fault(path, f"{sentence[:1].lower()}{sentence[1:]}; read: {_kind(self._content(path))}", *mark)

    def _list_wanted(self, path: Path, shape: Shape, value: Any, mark: Mark) -> Fault:
        count = shape.fixed_length
        wanted = f"a list of {count} values" if count else "a list"
        hint = None
        if isinstance(value, str):
            rest = "" if "," in value else ", …"
            hint = f"a list stands in square brackets: [{shortened(value, _LONGEST_WORD)}{rest}]"
        return Fault(path, f"{wanted} is wanted here, not {_kind(value)}", *mark, hint)

    def _wrong_length(self, path: Path, shape: Shape, value: list[Any], mark: Mark) -> Fault:
        message = f"a list of {shape.fixed_length} values is wanted here, this one has {len(value)}"
        return Fault(path, message, *mark, self._comma_hint(path))

    def _comma_hint(self, path: Path) -> str | None:
        """A hint if a comma at `path`, or in the list at `path`, looks like a decimal comma."""
        content = self._content(path)
        places = [path] if isinstance(content, str) else [(*path, index) for index in range(len(content))]
        split = next((place for place in places if place in self._document.comma_split), None)
        if split is None:
            return None
        after = self._content((*split[:-1], int(split[-1]) + 1))
        point = shortened(f"{self._content(split)}.{after}", _LONGEST_WORD)
        return f"a decimal comma? the comma ends a list item; write {point}"

    def _slip(self, path: Path, value: Any) -> str | None:
        """What else is known about a value that the model refused."""
        if not isinstance(value, str):
            return None
        if path and path[-1] in ("rated", "breaking"):
            if path[-1] == "rated" and re.search(r"break|ultim|\bM?BS\b|\bMB[LF]\b", value, re.IGNORECASE):
                return "a breaking strength goes under the key 'breaking'; 'rated' is the working load limit"
            if re.search(r"\b(wll|swl|lc)\b|work", value, re.IGNORECASE):
                return "'rated' is the working load limit already; write the number and its unit alone"
        if path in self._document.quoted and re.fullmatch(r"[\d\s./]+", value):
            return "the quotes only hold the text together; write the unit as well: 1/2 in"
        return self._comma_hint(path)


def nearest(word: str, candidates: Iterable[str]) -> str | None:
    """The one of `candidates` that `word` most likely stands for, if any is near."""
    if len(word) > _LONGEST_WORD:
        return None
    plain = {_plain(candidate): candidate for candidate in sorted(candidates)}
    found = get_close_matches(_plain(word), plain, 1)
    return plain[found[0]] if found else None


def _plain(word: str) -> str:
    return re.sub(r"[\s_-]+", " ", word.strip().lower())


def _not_a_choice(path: Path, value: Any, choices: tuple[str, ...], mark: Mark) -> Fault:
    message = f"{_kind(value)} is not one of: {', '.join(choices)}"
    near = nearest(value, choices) if isinstance(value, str) else None
    hint = None
    if isinstance(value, str) and value.lower() in ("yes", "no", "on", "off", "true", "false"):
        hint = "this is no yes-or-no question; choose one of the words"
    return Fault(path, message + (f"; did you mean {near!r}?" if near else ""), *mark, hint)


def _kind(value: Any) -> str:
    """`value` as it is called in a sentence."""
    if isinstance(value, dict):
        return "keys with values"
    if isinstance(value, list):
        return "a list"
    return repr(shortened(str(value), _LONGEST_WORD))
