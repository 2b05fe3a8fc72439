"""A scenario as a commented file that a person can read and edit, and that reads back as the same texts."""

from __future__ import annotations

import json
import re
import textwrap
from collections.abc import Iterator, Sequence
from typing import Final

from anchorcalc.reading.document import Plain
from anchorcalc.reading.faults import Path, printable

Note = tuple[Path, str]
"""A sentence about what stands, or would stand, at a path."""

_WIDTH: Final = 100
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
# User-made names stand one a line; what they name stands behind them.
_NAMED: Final = frozenset(
    {
        ("load",),
        ("load", "wheels"),
        ("load", "tie_points"),
        ("deck",),
        ("mountings",),
        ("anchors",),
        ("straps",),
        ("assumed",),
    }
)
_PLAIN_TEXT: Final = re.compile(
    r"[A-Za-z0-9](?:[A-Za-z0-9 _./+%*()×°-]*[A-Za-z0-9_./+%*()×°-])?|-[0-9][0-9A-Za-z ./]*[0-9A-Za-z]"
)
_WORDS_OF_YAML: Final = frozenset({"null", "Null", "NULL"})


def scenario_text(content: dict[str, Plain], notes: Sequence[Note] = ()) -> str:
    """YAML text of `content`, with `notes` as comments above what they are about.

    Reading the text gives `content` again, every scalar the same text. A note on a path that is not there
    stands above what would hold it, or at the head of the file.
    """
    lines = [f"# {line}" for line in _HEAD]
    writer = _Writer(content, notes)
    lines += writer.notes_at((), 0)
    for key, value in content.items():
        words = _SECTION_WORDS.get(key)
        if isinstance(value, str):
            lines += writer.notes_at((key,), 0)
            lines.append(f"{scalar(key)}: {scalar(value)}" + (f"  # {words}" if words else ""))
            continue
        lines += ["", *([f"# {words}"] if words else [])]
        lines += writer.block((key,), value, 0)
    return "\n".join(lines) + "\n"


def scalar(text: str) -> str:
    """`text` as a YAML scalar: bare where it can be, else in double quotes."""
    if _PLAIN_TEXT.fullmatch(text) and text not in _WORDS_OF_YAML:
        return text
    quoted = json.dumps(text, ensure_ascii=False)
    return "".join(each if each.isprintable() else _escaped(each) for each in quoted)


def _escaped(character: str) -> str:
    code = ord(character)
    return f"\\u{code:04x}" if code <= 0xFFFF else f"\\U{code:08x}"


class _Writer:
    def __init__(self, content: dict[str, Plain], notes: Sequence[Note]) -> None:
        self._notes: dict[Path, list[str]] = {}
        for path, sentence in notes:
            self._notes.setdefault(_shown_path(content, path), []).append(sentence)

    def notes_at(self, path: Path, indent: int) -> list[str]:
        """Comment lines about `path`."""
        lead = " " * indent + "# "
        wrapped = (
            textwrap.wrap(printable(note), _WIDTH, initial_indent=lead, subsequent_indent=lead + "  ")
            for note in self._notes.get(path, ())
        )
        return [line for lines in wrapped for line in lines]

    def block(self, path: Path, value: Plain, indent: int) -> list[str]:
        """Lines of one entry and all below it."""
        return list(self._block(path, value, indent))

    def _block(self, path: Path, value: Plain, indent: int) -> Iterator[str]:
        yield from self.notes_at(path, indent)
        head = " " * indent + scalar(str(path[-1])) + ":"
        if not value or not self._stands_in_lines(path, value):
            yield f"{head} {_flow(value)}"
            return
        yield head
        if isinstance(value, dict):
            for key, part in value.items():
                yield from self._block((*path, key), part, indent + 2)
        else:
            assert isinstance(value, list)  # noqa: S101 - a text never stands in lines
            for number, part in enumerate(value):
                yield from self.notes_at((*path, number), indent + 2)
                yield f"{' ' * (indent + 2)}- {_flow(part)}"

    def _stands_in_lines(self, path: Path, value: Plain) -> bool:
        """Whether the parts of `value` get a line each: they are named by the user, hold others, or have notes."""
        if isinstance(value, str) or value is None:
            return False
        if path in _NAMED or any(len(noted) > len(path) and noted[: len(path)] == path for noted in self._notes):
            return True
        parts = value.values() if isinstance(value, dict) else value
        deep = any(isinstance(part, dict) for part in parts)
        return deep and len(path) <= (2 if isinstance(value, dict) or path[0] == "deck" else 0)


def _flow(value: Plain) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{scalar(key)}: {_flow(part)}" for key, part in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(_flow, value)) + "]"
    return scalar(value or "")


def _shown_path(content: Plain, path: Path) -> Path:
    """The longest part of `path` that is there and gets a line of its own when it has a note."""
    here: Path = ()
    for step in path:
        if isinstance(content, dict) and step in content:
            content = content[str(step)]
        elif isinstance(content, list) and isinstance(step, int) and step < len(content):
            content = content[step]
        else:
            break
        here = (*here, step)
        if isinstance(content, list) and not (content and isinstance(content[0], dict)):
            break
    return here
