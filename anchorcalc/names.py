"""Names of the user's own, as they come back on screens and in files."""

from __future__ import annotations

import unicodedata
from typing import Annotated, Final

from pydantic import AfterValidator, Field

_TURNS_TEXT: Final = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def _harmless(name: str) -> str:
    """Refuse what could draw on a terminal or turn the direction of the text round."""
    bad = next((c for c in name if unicodedata.category(c) in ("Cc", "Cs") or c in _TURNS_TEXT), None)
    if bad is not None:
        raise ValueError(f"a name with the control character U+{ord(bad):04X}; use plain letters, in any script")
    return name


Name = Annotated[str, Field(min_length=1, max_length=10_000), AfterValidator(_harmless)]
