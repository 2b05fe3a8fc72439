"""The YAML parser's complaints in words that a trailer owner can act on."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any, Final

import yaml

from anchorcalc.reading.faults import Fault, shortened

_OPENERS: Final = {"}": "{", "]": "["}


def syntax_fault(error: yaml.YAMLError, lines: list[str]) -> Fault:
    """`error` of either of PyYAML's parsers as a fault of ours.

    Each rule below knows the words of both parsers, the one in C and the one in Python.
    """
    problem = str(getattr(error, "problem", None) or "the text breaks off")
    mark = getattr(error, "problem_mark", None)
    if mark is None:
        return Fault((), f"not readable as YAML: {problem}")
    line, column = _inside(mark.line + 1, mark.column + 1, lines)
    context_mark = getattr(error, "context_mark", None) or mark
    opened = _inside(context_mark.line + 1, context_mark.column + 1, lines)
    context = str(getattr(error, "context", None) or "")
    for pattern, rule in _RULES:
        if match := re.search(pattern, f"{context}: {problem}"):
            return rule(match, lines, (line, column), opened)
    return Fault((), f"not readable as YAML: {problem}", line, column)


_Place = tuple[int, int]
_Rule = Callable[[Any, list[str], _Place, _Place], Fault]


def _inside(line: int, column: int, lines: list[str]) -> _Place:
    """The place itself, or the end of the last line that has text when the file ended there."""
    while line > 1 and (line > len(lines) or (column == 1 and not lines[line - 1].strip())):
        line -= 1
        column = len(lines[line - 1].rstrip()) + 1
    return line, column


def _unclosed_bracket(match: Any, lines: list[str], place: _Place, opened: _Place) -> Fault:
    closer = match[1] or match[2]
    opener = _OPENERS[closer]
    written = "\n".join(lines[opened[0] - 1 : place[0]])
    hint = None
    if comment := re.search(r"[\[{,:]\s+(#[\w-]+)", written):
        hint = comment_hint(comment[1])
    if place[0] > opened[0]:
        return Fault((), f"the {opener!r} opened here is not closed by {closer!r}", *opened, hint)
    found = lines[place[0] - 1][place[1] - 1 : place[1]]
    message = f"a comma or {closer!r} is missing before this {found!r}"
    if found == ":":
        message = "a second ': ' in one entry; a comma is missing before its key"
    elif not found:
        message = f"{closer!r} is missing here"
    return Fault((), message, *place, hint or _inch_hint(lines[place[0] - 1]))


def comment_hint(comment: str) -> str:
    """What to say where a ``#`` has cut a value off."""
    return f'# begins a comment; if it belongs to a value write "{shortened(comment, 20)}" in quotes'


def _unclosed_quote(match: Any, lines: list[str], place: _Place, opened: _Place) -> Fault:
    quote = lines[opened[0] - 1][opened[1] - 1 : opened[1]]
    hint = _inch_hint(lines[opened[0] - 1])
    return Fault((), f"the quote {quote} opened here is not closed", *opened, hint)


def _inch_hint(line: str) -> str | None:
    if re.search(r'"[^"]*\d"\s*"', line) or re.search(r"'[^']*\d'\s*'", line):
        return "a mark for inches or feet ends the quotes; write the unit as a word: 1/2 in"
    return None


def _no_token(match: Any, lines: list[str], place: _Place, opened: _Place) -> Fault:
    found = lines[place[0] - 1][place[1] - 1 : place[1]]
    if found == "\t":
        return _tab(match, lines, place, opened)
    return Fault((), f"a value cannot begin with {found!r}; write it in quotes", *place)


def _tab(match: Any, lines: list[str], place: _Place, opened: _Place) -> Fault:
    return Fault((), "a tab stands where YAML wants spaces; indent with spaces", *place)


def _second_colon(match: Any, lines: list[str], place: _Place, opened: _Place) -> Fault:
    text = lines[place[0] - 1]
    if ": " in text[: place[1] - 1]:
        return Fault((), "a second ': ' in one line; write a text that holds ': ' in quotes", *place)
    message = "this key stands deeper than the line above allows; keys of one block stand level"
    return Fault((), message, place[0], len(text) - len(text.lstrip()) + 1)


def _not_level(match: Any, lines: list[str], place: _Place, opened: _Place) -> Fault:
    text = lines[place[0] - 1]
    rest = text[place[1] - 1 :]
    if text[: place[1] - 1].strip():
        message = f"{shortened(rest.strip(), 20)!r} stands behind a value that has already ended"
        return Fault((), message, *place, _inch_hint(text))
    if rest.startswith("-"):
        return Fault((), "a list item stands where a key is wanted", *place)
    if rest[:1] in ("}", "]", ","):
        return Fault((), f"{rest[0]!r} stands where a key is wanted", *place)
    spaces = f"{place[1] - 1} space{'' if place[1] == 2 else 's'}"
    message = f"this line is indented by {spaces}, unlike every block that is open here"
    return Fault((), message, *place)


def _not_an_item(match: Any, lines: list[str], place: _Place, opened: _Place) -> Fault:
    return Fault((), f"a key stands where an item of the list begun in line {opened[0]} is wanted", *place)


def _word_alone(match: Any, lines: list[str], place: _Place, opened: _Place) -> Fault:
    text = lines[opened[0] - 1]
    hint = "a key and its value have a colon and a space between them" if re.search(r"\w:\S", text) else None
    return Fault((), "a key and ': ' are wanted here", *opened, hint)


def _at_place(message: str) -> _Rule:
    return lambda match, lines, place, opened: Fault((), message, *place)


def _at_opening(message: str) -> _Rule:
    return lambda match, lines, place, opened: Fault((), message, *opened)


_RULES: Final[list[tuple[str, _Rule]]] = [
    (r"tab character", _tab),
    (r"cannot start any token", _no_token),
    (r"expected ',' or '(?:(\})|(\]))'", _unclosed_bracket),
    (r"quoted scalar: found unexpected (end of stream|document)", _unclosed_quote),
    (r"quoted.*(unknown escape|hexdecimal|hexadecimal|escape sequence)",
     _at_opening("a backslash in double quotes begins a code; write the text in single quotes")),
    (r"mapping values are not allowed", _second_colon),
    (r"block collection: (did not find expected '-'|expected <block end>)", _not_an_item),
    (r"block mapping: (did not find expected key|expected <block end>)", _not_level),
    (r"simple key: could not find expected ':'", _word_alone),
    (r"sequence entries are not allowed", _at_place("a list item with a dash begins on a line of its own")),
    (r"mapping keys are not allowed", _at_place("a value cannot begin with '? '; write it in quotes")),
    (r"found unexpected ':'", _at_place("a space and a value are missing behind this ':'")),
    (r"(alias|anchor): ", _at_opening("a value cannot begin with * or &; write it in quotes")),
    (r"(tag|undefined tag handle)", _at_opening("tags (words that begin with !) are not read; use quotes")),
    (r"node content", _at_place("a value is missing here")),
    (r"block scalar", _at_place("after | or > the text begins on the next line; write this in quotes")),
    (r"maximum nesting depth", _at_place("lists and keys stand too deep in each other")),
    (r"(directive|incompatible YAML)", _at_opening("a line that begins with % is not read; leave it out")),
    (r"<document start>", _at_place("the file's content has already ended above this line")),
]  # fmt: skip
