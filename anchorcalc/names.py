"""Names of the user's own, as they come back on screens and in files."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from difflib import SequenceMatcher, get_close_matches
from typing import Annotated, Final

from pydantic import AfterValidator, Field

_COMMANDS: Final = ("Cc", "Cf", "Zl", "Zp")
"""Unicode's categories of what gives commands: to a terminal, or to whoever sets the line."""
_NOTHING: Final = ("Cn", "Co", "Cs")
"""Categories of what stands for no letter that two people would agree on."""
_JOINERS: Final = "\u200c\u200d"
"""Format characters that several scripts cannot be spelt without."""
_MOST_MARKS: Final = 4
"""Marks on one letter; no living script stacks more, and more would cover the lines above and below."""


_NEIGHBOURS: Final = 4
_NEARLY_THE_SAME: Final = 0.85


def meant(word: str, known: Iterable[str], near: Iterable[str] = ()) -> str:
    """What to say of a `word` that is not among the `known`, from its semicolon on; a full stop where nothing is near.

    A word is only proposed where all its numbers are those that were written, and where no other is near or it is
    nearly the same: of sizes, grades and woods, some of which hold more than what was meant, the neighbours are told
    and none is chosen.
    """
    plain = {_plain(each): each for each in sorted(known)}
    close = [*near] or [plain[each] for each in get_close_matches(_plain(word), plain, _NEIGHBOURS, 0.5)]
    if not close:
        return "."
    numbers = re.findall(r"\d+", word)
    same = [each for each in close if re.findall(r"\d+", each)[: len(numbers)] == numbers]
    alike = len(same) > 1 and SequenceMatcher(None, _plain(word), _plain(same[0])).ratio() >= _NEARLY_THE_SAME
    if len(same) == 1 or (alike and not numbers):
        return f"; did you mean {same[0]!r}?"
    told = ", ".join(map(repr, same or close))
    return f"; near it: {told}: look which it is, and between two take the weaker."


def _plain(word: str) -> str:
    return re.sub(r"[\W_]+", "", word.casefold())


def _harmless(name: str) -> str:
    """Refuse what could draw on a terminal, begin a line, hide, or turn the direction of the text round."""
    if name.isascii() and name.isprintable():
        return name
    marks = 0
    for character in name:
        category = unicodedata.category(character)
        if category in _COMMANDS and character not in _JOINERS:
            raise ValueError(f"a name with the control character {_code(character)}; use plain letters, in any script")
        if category in _NOTHING:
            raise ValueError(f"a name with {_code(character)}, which is no character of any script")
        marks = marks + 1 if category in ("Mn", "Me") else 0
        if marks > _MOST_MARKS:
            raise ValueError(f"a name with more than {_MOST_MARKS} marks on one letter, such as {_code(character)}")
    return name


def _code(character: str) -> str:
    return f"U+{ord(character):04X}"


Name = Annotated[str, Field(min_length=1, max_length=2_000), AfterValidator(_harmless)]
"""A name or a sentence in a table: where a row is from takes some words."""

ShortName = Annotated[str, Field(min_length=1, max_length=200), AfterValidator(_harmless)]
"""What a user calls a trailer or a part of it; it has to find room beside figures."""
