"""Names of the user's own, as they come back on screens and in files."""

from __future__ import annotations

import unicodedata
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
