"""A scenario file to a scenario whose every part is sound and whose parts fit each other."""

from __future__ import annotations

from pathlib import Path as FilePath
from typing import TYPE_CHECKING, Final

from anchorcalc.reading.reader import read_model, text_of
from anchorcalc.scenario.crosscheck import cross_faults
from anchorcalc.scenario.model import Scenario

_OTHER_WORDS: Final = {
    **dict.fromkeys(("wll", "swl", "lc", "capacity", "lashing capacity", "working load limit", "rating"), "rated"),
    **dict.fromkeys(("mbs", "breaking strength", "break strength"), "breaking"),
    **dict.fromkeys(("cog", "cg", "center of mass"), "centre_of_gravity"),
    **dict.fromkeys(("position", "location", "place", "where"), "at"),
    **dict.fromkeys(("pretension", "pre tension", "preload", "tension"), "hand_tension"),
    **dict.fromkeys(("mass", "curb weight"), "weight"),
    **dict.fromkeys(("gvwr", "gvw"), "gross_rating"),
    "tare": "empty_weight",
    **dict.fromkeys(("plywood", "material"), "panel"),
    **dict.fromkeys(("od", "diameter"), "outside"),
}
"""What labels and people call a key."""

if TYPE_CHECKING:
    from anchorcalc.catalog.tables import Catalog


def read_scenario(source: FilePath | str, *, catalog: Catalog | None = None) -> Scenario:
    """Scenario in the file `source`, or on standard input if that is ``-``.

    Parameters
    ----------
    source
        Path, or ``-``.
    catalog
        Tables whose rows the scenario names. Without it each part is checked by itself only, not whether
        rows, anchors and mountings that are named exist and fit each other.

    Raises
    ------
    InputFaults
        No such file, not readable, or anything wrong in it.
    """
    text, name = text_of(source)
    return parse_scenario(text, name, catalog=catalog)


def parse_scenario(text: str, name: str, *, catalog: Catalog | None = None) -> Scenario:
    """Scenario written in `text`, which its faults call `name`; see `read_scenario`."""
    if catalog is None:
        return read_model(text, name, Scenario, other_words=_OTHER_WORDS)
    return read_model(text, name, Scenario, lambda scenario: cross_faults(scenario, catalog), other_words=_OTHER_WORDS)
