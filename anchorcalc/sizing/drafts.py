"""One change a person could make to a scenario, and what changes are drafted from."""

from __future__ import annotations

import copy
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Literal

from msgspec import Struct

from anchorcalc.units import length, unit_system

if TYPE_CHECKING:
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.result.check import Result
    from anchorcalc.result.improve import Effort
    from anchorcalc.rig.rig import Rig

Texts = dict[str, Any]
"""A scenario as it is written: every value a text."""


class Change(Struct, frozen=True):
    """One change: in words, what it needs, and the edit; those that share a slot exclude each other.

    One `only_if` "lesser helps" is tried where the one before it, which is less of the same, gains something by itself;
    one `only_if` "nothing passes" where no other does by itself.
    """

    slots: frozenset[str]
    what: str
    was: str
    to: str
    effort: Effort
    buy: str
    edit: Callable[[Texts], None]
    only_if: Literal["", "lesser helps", "nothing passes"] = ""

    def applied(self, content: Texts) -> Texts:
        """Copy of `content` with the change."""
        changed = copy.deepcopy(content)
        self.edit(changed)
        return changed


class Drafts:
    """What changes are drafted from: a scenario as written, what it says, and how it fares."""

    def __init__(self, content: Texts, rig: Rig, result: Result, catalog: Catalog) -> None:
        self._content, self._rig, self._result, self._catalog = content, rig, result, catalog
        self._units = unit_system(rig.units)
        loaded = [state for state in result.states if state.verdict is not None]
        bare = [case for each in result.requirements if each.verdict != "pass" for case in each.cases]
        self._cases = (*result.cases, *bare)
        """All that has to pass, without friction or stops as well."""
        self._failing = [state for case in self._cases for state in case.at_rings if state.verdict != "pass"]
        weak = {state.anchor for state in loaded if state.verdict != "pass"}
        weak = weak | {state.anchor for state in self._failing} or {state.anchor for state in loaded}
        names = {rig.anchors[name].mounting.name for name in weak}
        fastened = [each for each in rig.anchors.values() if len(each.mounting.positions)]
        self._anchors = [each for each in fastened if each.mounting.name in names]
        """Anchors that get a change: those that do not pass, and those fastened alike; none that are welded."""
        self._weak_mountings = [each for each in rig.mountings.values() if each.name in names]
        alone = all(len(each.rings) == 1 for each in fastened) and len(fastened) == len(rig.anchors)
        self._movable = alone and not rig.floor.lengthwise
        """Whether each ring has a base of its own that could stand elsewhere, by members that run across."""
        keys = {state.weakest_key for state in self._failing}
        keys |= {key for _, _, key, _ in result.rule_of_thumb.counted if result.rule_of_thumb.verdict != "pass"}
        self._weakest = keys

    def _length(self, metres: float) -> str:
        """As a tape shows it, and as the scenario's file takes it."""
        return length(metres, self._units)


def free_name(name: str, taken: Texts) -> str:
    """`name`, or the next of `name 2`, `name 3`, … that nobody has `taken`."""
    number, found = 2, name
    while found in taken:
        found, number = f"{name} {number}", number + 1
    return found


def settle(texts: Texts, *names: str) -> None:
    """What a change sets is no longer taken for want of knowing: its entries of `assumed` go."""
    for name in names:
        texts.get("assumed", {}).pop(name, None)
    if not texts.get("assumed", True):
        del texts["assumed"]
