"""Names as long as people like, cut to a readable length and kept apart from each other."""

from __future__ import annotations

from typing import TYPE_CHECKING

from anchorcalc.render.draw.svg import harmless, isolated

if TYPE_CHECKING:
    from collections.abc import Iterator

    from anchorcalc.rig.rig import Rig

_LONGEST = 48


class Names:
    """Short forms of all names of a scenario, alone and within sentences."""

    def __init__(self, rig: Rig) -> None:
        self._short: dict[str, str] = {}
        taken: set[str] = set()
        for name in dict.fromkeys(_names(rig)):
            short = harmless(name, _LONGEST)
            number = 2
            while short in taken:
                short = f"{harmless(name, _LONGEST)} ({number})"
                number += 1
            taken.add(short)
            self._short[name] = short
        # Longest first, so that a name within another name does not break it up.
        self._long = sorted((name for name in self._short if len(name) > _LONGEST), key=len, reverse=True)

    def short(self, name: str) -> str:
        """`name` in a readable length."""
        return isolated(self._short.get(name) or harmless(name, _LONGEST))

    def within(self, sentence: str) -> str:
        """`sentence` with every long name in it shortened."""
        for name in self._long:
            sentence = sentence.replace(name, self._short[name])
        return isolated(harmless(sentence))


def _names(rig: Rig) -> Iterator[str]:
    load, floor = rig.load, rig.floor
    yield from (rig.title, load.name, *load.wheels, *load.tie_points, *load.stops)
    yield from (*rig.mountings, *rig.anchors, *rig.straps)
    yield from (zone.name for zone in (*floor.wells, *floor.no_go))
