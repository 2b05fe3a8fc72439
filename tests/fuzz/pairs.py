"""A scenario and the same altered for the worse: the verdict may not get better.

The load is first made so heavy that what is asked hardest is used up, where a small difference decides. What may get
better all the same, by how much and why, stands in `MAY`; everything else is a finding.
"""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator
from random import Random
from typing import Any, NamedTuple

from anchorcalc.catalog.tables import Catalog
from anchorcalc.reading.faults import InputFaults
from anchorcalc.result.check import Result
from anchorcalc.rig.resolve import resolve
from anchorcalc.scenario.read import parse_scenario
from anchorcalc.scenario.writer import scenario_text
from anchorcalc.verdict.check import check_rig
from tests.fuzz import mutation

Texts = dict[str, Any]
RANKS = ("fail", "marginal", "pass")

MAY = {
    "wider spacing": (0.16, "a screw right beside a ring takes more than its share of an elastic lift"),
    "a member less": (0.16, "a member right beside a ring takes more than its share of an elastic lift"),
    "thinner deck": (0.05, "a stiffer bed, on which the base bends less; a shorter lever down to the members"),
    "thinner base": (0.18, "of planks the one that a stiff base lifts with its far edge is left to the others"),
    "thinner steel under the deck": (0.01, "of planks the one that a stiff plate lifts is left to the others"),
    "a fastener less": (0.10, "of planks the one that a fastener no longer lifts is left to the others"),
    "higher centre of gravity": (0.15, "a load that leans more presses its wheels otherwise, and its straps share"),
    "taller ring": (0.04, "a strap from a higher ring to the same hook runs flatter and lifts less"),
}
"""Kinds that may come out better: by which share of what is asked hardest, and why."""


class Pair(NamedTuple):
    """What one change did to a scenario; `use` is that of its hardest case."""

    kind: str
    before: Result
    after: Result
    texts: Texts
    worse: Texts

    @property
    def wrong(self) -> bool:
        """Whether the verdict got better without a reason known."""
        better = RANKS.index(self.after.verdict) > RANKS.index(self.before.verdict)
        return better and self.eased > MAY.get(self.kind, (-1.0, ""))[0]

    @property
    def eased(self) -> float:
        """By which share the hardest case is asked for less."""
        before, after = (_use(result) for result in (self.before, self.after))
        return 1 - after / before if before > 0 else 0.0


def pair(texts: Texts, random: Random, catalog: Catalog) -> Pair | None:
    """A scenario somewhat altered and loaded to its limit, and the same for the worse; None if it is refused."""
    base = _loaded(mutation.plausibly(texts, random)[0] if random.random() < 0.7 else texts, catalog)
    if base is None:
        return None
    changed = copy.deepcopy(base)
    kind = random.choice(list(WORSE))
    if not WORSE[kind](changed, random) or changed == base:
        return None
    before, after = _result(base, catalog), _result(changed, catalog)
    return None if before is None or after is None else Pair(kind, before, after, base, changed)


def _loaded(texts: Texts, catalog: Catalog) -> Texts | None:
    """The scenario with its load as heavy as its hardest case bears."""
    result = _result(texts, catalog)
    if result is None or not 0.05 < _use(result) < 20:
        return None
    loaded = copy.deepcopy(texts)
    _scale(loaded["load"], "weight", 1 / _use(result))
    return loaded


def _result(texts: Texts, catalog: Catalog) -> Result | None:
    try:
        scenario = parse_scenario(scenario_text(texts), "pair.yaml", catalog=catalog)
    except InputFaults:
        return None
    return check_rig(resolve(scenario, catalog))


def _use(result: Result) -> float:
    return max(case.utilisation for case in result.cases)


# --- what is for the worse ----------------------------------------------------------------------------------


def _scale(part: Texts, key: str, factor: float) -> bool:
    """A quantity made larger or smaller; whether it is there."""
    if not isinstance(part.get(key), str):
        return False
    number, unit = mutation.in_parts(part[key])
    part[key] = f"{factor * number:.6g} {unit}"
    return True


def _of(*path: str | int) -> Callable[[Texts], Iterator[Texts]]:
    """Parts of a scenario at a path, in which ``*`` is every key or place."""

    def found(texts: Any) -> Iterator[Texts]:
        parts = [texts]
        for step in path:
            parts = [each for part in parts for each in _under(part, step)]
        yield from parts

    return found


def _under(part: Any, step: str | int) -> list[Any]:
    if step == "*":
        return list(part.values()) if isinstance(part, dict) else list(part) if isinstance(part, list) else []
    return [part[step]] if isinstance(part, dict) and step in part else []


def _less(parts: Callable[[Texts], Iterator[Texts]], key: str, low: float, high: float) -> Callable[..., bool]:
    """The quantity `key` of all parts by one factor between `low` and `high`."""

    def change(texts: Texts, random: Random) -> bool:
        factor = random.uniform(low, high)
        return max((_scale(part, key, factor) for part in parts(texts)), default=False)

    return change


def _word(parts: Callable[[Texts], Iterator[Texts]], key: str, *falling: str) -> Callable[..., bool]:
    """A word of one part by another that stands later in a row that falls."""

    def change(texts: Texts, random: Random) -> bool:
        able = [part for part in parts(texts) if part.get(key) in falling[:-1]]
        if not able:
            return False
        part = random.choice(able)
        part[key] = random.choice(falling[falling.index(part[key]) + 1 :])
        return True

    return change


def _higher_centre(texts: Texts, random: Random) -> bool:
    load = texts["load"]
    if not isinstance(load.get("centre_of_gravity"), list):
        return False
    height = {"z": load["centre_of_gravity"][2]}
    _scale(height, "z", random.uniform(1.05, 1.6))
    load["centre_of_gravity"] = [*load["centre_of_gravity"][:2], height["z"]]
    return True


def _a_member_less(texts: Texts, random: Random) -> bool:
    members = texts["deck"]["cross_members"]
    if not {"first_at", "spacing"} <= set(members):
        return False
    (first, unit), (spacing, also) = (mutation.in_parts(members[key]) for key in ("first_at", "spacing"))
    if unit != also:
        return False
    members["without"] = [*members.get("without", []), f"{first + random.randint(1, 8) * spacing:.6g} {unit}"]
    return True


def _a_fastener_less(texts: Texts, random: Random) -> bool:
    able = [each for each in _of("mountings", "*", "fasteners")(texts) if "square" in each.get("at", {})]
    if not able:
        return False
    part = random.choice(able)
    side, unit = mutation.in_parts(part["at"]["square"])
    corners = [[f"{x * side / 2:.6g} {unit}", f"{y * side / 2:.6g} {unit}"] for x in (-1, 1) for y in (-1, 1)]
    corners.pop(random.randrange(4))
    part["at"] = {"points": corners}
    return True


_LAYERS, _FASTENERS = _of("deck", "layers", "*"), _of("mountings", "*", "fasteners")
_BACKINGS, _RINGS = _of("mountings", "*", "backing"), _of("mountings", "*", "ring")
_HOLD_DOWN = _of("deck", "hold_down")

WORSE: dict[str, Callable[[Texts, Random], bool]] = {
    "thinner deck": _less(_LAYERS, "thickness", 0.6, 0.97),
    "thinner steel under the deck": _less(_BACKINGS, "thickness", 0.5, 0.95),
    "thinner base": _less(_RINGS, "base_thickness", 0.5, 0.95),
    "thinner members": _word(_of("deck", "cross_members"), "section", "tube-2x2x3/16", "tube-2x2x1/8", "tube-2x2x14ga"),
    "wider spacing": _less(_HOLD_DOWN, "spacing", 1.05, 2.0),
    "a fastener less": _a_fastener_less,
    "rusted screws": _word(_HOLD_DOWN, "condition", "sound", "some missing"),
    "worse wood": _word(_LAYERS, "condition", "sound", "weathered", "wet", "decayed"),
    "weaker bolts": _word(_FASTENERS, "grade", "SAE 8", "SAE 5", "SAE 2"),
    "re-driven holes": _word(_FASTENERS, "holes", "new", "re-driven"),
    "weaker ring": _less(_RINGS, "rated", 0.5, 0.95),
    "weaker hook": _less(_of("load", "tie_points", "*"), "rated", 0.5, 0.95),
    "taller ring": _less(_RINGS, "pull_height", 1.1, 4.0),
    "a member less": _a_member_less,
    "higher centre of gravity": _higher_centre,
    "heavier load": _less(_of("load"), "weight", 1.02, 2.0),
    "less grip": _less(_of("load"), "grip", 0.3, 0.95),
    "less gross rating": _less(_of("trailer"), "gross_rating", 0.5, 0.95),
    "heavier trailer": _less(_of("trailer"), "empty_weight", 1.05, 1.5),
}
