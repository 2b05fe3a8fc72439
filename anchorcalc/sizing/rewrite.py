"""A choice of `size` put into the scenario's own texts."""

from __future__ import annotations

import copy
from typing import TYPE_CHECKING, Any

from anchorcalc.sizing.drafts import Texts
from anchorcalc.sizing.improve_changes import refasten
from anchorcalc.units import UnitSystem, format_quantity

if TYPE_CHECKING:
    from anchorcalc.result.size import BackingChoice, SizeChoice, WasherChoice


def with_backing(content: Texts, mounting: str, choice: SizeChoice, units: UnitSystem) -> Texts:
    """Copy of `content` in which all anchors of `mounting` are bolted and backed as `choice` is."""
    changed = copy.deepcopy(content)
    old: dict[str, Any] = changed["mountings"][mounting]
    fasteners = {key: value for key, value in old["fasteners"].items() if key not in ("length", "holes")}
    fasteners |= {"kind": "bolt", "size": choice.bolts.size, "grade": choice.bolts.grade}
    new = {**old, "fasteners": fasteners, "backing": _texts(choice.backing, units)}
    refasten(changed, mounting, f"as sized, {choice.backing.kind}", new)
    return changed


def _texts(backing: BackingChoice, units: UnitSystem) -> Texts:
    found: Texts = {"kind": backing.kind}
    if backing.kind == "washers" and backing.washer is not None:
        return found | _washer(backing.washer, units)
    if backing.washer is not None:
        found["washer"] = _washer(backing.washer, units)
    if backing.size is not None:
        found["size"] = [_length(side, units) for side in backing.size]
    sizes = {"width": backing.width, "thickness": backing.thickness}
    found |= {key: _length(metres, units) for key, metres in sizes.items() if metres is not None}
    if backing.through is not None:
        found["through"] = backing.through
        found |= {"walls": "both" if backing.walls == 2 else "one"} if backing.walls else {}
    if backing.bars is not None:
        found["bars"] = str(backing.bars)
    return found | ({"steel": backing.steel} if backing.steel is not None else {})


def _washer(washer: WasherChoice, units: UnitSystem) -> Texts:
    outside, thickness = (_length(each, units) for each in (washer.outside, washer.thickness))
    return {"outside": outside, "thickness": thickness, "steel": washer.steel}


def _length(metres: float, units: UnitSystem) -> str:
    return format_quantity(metres, units.length, "length", 6)
