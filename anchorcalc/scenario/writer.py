"""A scenario as a commented file that a person can read and edit, and that reads back as the same texts."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from typing import Final

from anchorcalc.reading.document import Plain
from anchorcalc.reading.faults import printable

_HEAD: Final = (
    "A scenario for anchorcalc. Every quantity carries its unit; change what is wrong and check again.",
    "Frame: x forward, y to the left, z up; the origin is on the deck at the middle of its rear edge.",
)
_SECTION_WORDS: Final = {
    "rules": "the rule set the verdict goes by",
    "units": "units of what is shown: us or si",
    "load": "The vehicle carried. Ratings are working load limits; one that nobody gave is left out.",
    "deck": "The deck: layers from the top down, and the cross-members under it.",
    "mountings": "Ways to fasten a ring to the deck, by name; base and plate: length along, width across.",
    "anchors": "Where the middle of each ring stands: x, y.",
    "straps": "Each strap runs straight from an anchor's ring to a tie point of the load.",
    "trailer": "Weights of the trailer.",
    "assumed": "What nobody knew, and what was taken for it above. Take a line out once its value is measured.",
}
_DEEPEST_IN_LINES: Final = 2
_PLAIN_TEXT: Final = re.compile(
    r"[A-Za-z0-9](?:[A-Za-z0-9 _./+%*()×°-]*[A-Za-z0-9_./+%*()×°-])?|-[0-9][0-9A-Za-z ./]*[0-9A-Za-z]"
)
_WORDS_OF_YAML: Final = frozenset({"null", "Null", "NULL"})


def scenario_text(content: dict[str, Plain], remarks: Iterable[str] = ()) -> str:
    """YAML text of `content`, `remarks` at its head; reading it gives `content` again, every scalar the same text."""
    lines = [f"# {printable(line)}" for line in (*_HEAD, *remarks)]
    for key, value in content.items():
        words = _SECTION_WORDS.get(key)
        if isinstance(value, str):
            lines.append(f"{scalar(key)}: {scalar(value)}" + (f"  # {words}" if words else ""))
        else:
            lines += ["", *([f"# {words}"] if words else []), *_block((key,), value)]
    return "\n".join(lines) + "\n"


def _block(path: tuple[str, ...], value: Plain) -> Iterator[str]:
    """Lines of one entry and all below it."""
    indent = "  " * (len(path) - 1)
    head = f"{indent}{scalar(path[-1])}:"
    if not value or isinstance(value, str) or not _stands_in_lines(path, value):
        yield f"{head} {flow(value)}"
        return
    yield head
    if isinstance(value, dict):
        for key, part in value.items():
            yield from _block((*path, key), part)
    else:
        for part in value:
            yield f"{indent}  - {flow(part)}"


def _stands_in_lines(path: tuple[str, ...], value: dict[str, Plain] | list[Plain]) -> bool:
    """Whether the parts of `value` get a line each: a section whose parts hold others, or one whose parts all do."""
    holding = [not isinstance(part, str) for part in (value.values() if isinstance(value, dict) else value)]
    return any(holding) or path == ("assumed",) if len(path) == 1 else all(holding) and len(path) == _DEEPEST_IN_LINES


def scalar(text: str) -> str:
    """`text` as a YAML scalar: bare where it can be, else in double quotes."""
    if _PLAIN_TEXT.fullmatch(text) and text not in _WORDS_OF_YAML:
        return text
    quoted = json.dumps(text, ensure_ascii=False)
    return "".join(each if each.isprintable() else _escaped(each) for each in quoted)


def _escaped(character: str) -> str:
    code = ord(character)
    return f"\\u{code:04x}" if code <= 0xFFFF else f"\\U{code:08x}"


def flow(value: Plain) -> str:
    """`value` in one line."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{scalar(key)}: {flow(part)}" for key, part in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(flow, value)) + "]"
    return scalar(value or "")
