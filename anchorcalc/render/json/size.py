"""The answer of `size` in words and as JSON."""

from __future__ import annotations

import json
import math
from typing import TYPE_CHECKING, Any

from anchorcalc.render.figures import length
from anchorcalc.scenario.model import Bridge, Plate, ThroughMember, Washers, WasherSize
from anchorcalc.units import STANDARD_GRAVITY, UnitSystem

if TYPE_CHECKING:
    from anchorcalc.sizing.search import Choice
    from anchorcalc.sizing.size import SizeAnswer
    from anchorcalc.sizing.stock import StockBacking

SCHEMA = 1


def bolts(choice: Choice) -> str:
    """Bolts of a choice in words."""
    return f"{len(choice.question.anchor.positions)} × {choice.thread.name} {choice.grade.name}"


def describe(backing: StockBacking, units: UnitSystem) -> str:
    """A backing in words."""
    if isinstance(backing, Plate):
        one, other = (length(side, units) for side in backing.size)
        return f"plate {one} × {other} × {length(backing.thickness, units)} {backing.steel}"
    if isinstance(backing, Bridge):
        size = f"{length(backing.width, units)} × {length(backing.thickness, units)} {backing.steel}"
        return f"{'two bridge bars' if backing.bars == '2' else 'bridge bar'} {size}"
    if isinstance(backing, ThroughMember):
        row = "all bolts" if backing.through == "all" else f"{backing.through} bolts"
        walls = ", both walls" if backing.walls == "both" else ""
        return f"through the cross-member, {row}{walls}" + (
            f", washers {_washer(backing.washer, units)}" if backing.washer is not None else ""
        )
    return f"washers {_washer(backing, units)}"


def _washer(washer: WasherSize, units: UnitSystem) -> str:
    return f"{length(washer.outside, units)} × {length(washer.thickness, units)} at least"


def size_json(answer: SizeAnswer) -> str:
    """The answer as JSON text: SI numbers with the unit in the key."""
    data = {
        "schema": SCHEMA,
        "title": answer.title,
        "anchor": answer.anchor,
        "mounting": answer.mounting,
        "pull_direction": [float(part) for part in answer.direction],
        "wanted": {
            "working_N": answer.wanted.working,
            "breaking_N": answer.wanted.breaking,
            "why": answer.wanted.why,
        },
        "verdict": answer.verdict,
        "enough": answer.enough,
        "searched": answer.searched,
        "fitting": answer.fitting,
        "choices": [_choice(choice) for choice in answer.choices],
        "sentences": list(answer.sentences),
        "left_out": [{"backing": kind, "why": why, "number": number} for kind, why, number in answer.left_out],
        "cautions": list(answer.cautions),
    }
    return json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False)


def _choice(choice: Choice) -> dict[str, Any]:
    return {
        "backing": _backing(choice.backing),
        "bolts": {
            "size": choice.thread.name,
            "grade": choice.grade.name,
            "number": len(choice.question.anchor.positions),
        },
        "working_N": _finite(choice.strength.working),
        "breaking_N": _finite(choice.strength.breaking),
        "weakest_link": choice.governing.name,
        "weight_kg": choice.weight / STANDARD_GRAVITY,
        "metal_cm3": choice.metal * 1e6,
        "computed_as_plates": choice.computed,
        "links": [
            {
                "link": link.name,
                "working_N": _finite(link.working),
                "breaking_N": _finite(link.breaking),
                "governed_by": link.governed_by,
                "source": link.source,
                "remark": link.remark,
            }
            for link in choice.strength.links
        ],
    }


def _backing(backing: StockBacking) -> dict[str, Any]:
    if isinstance(backing, Washers):
        return {"kind": backing.kind, **_washer_data(backing)}
    if isinstance(backing, ThroughMember):
        washer = _washer_data(backing.washer) if backing.washer is not None else None
        return {"kind": backing.kind, "through": backing.through, "walls": backing.walls, "washer": washer}
    common = {"kind": backing.kind, "thickness_m": backing.thickness, "steel": backing.steel}
    if isinstance(backing, Plate):
        return {**common, "size_m": list(backing.size)}
    return {**common, "width_m": backing.width, "bars": int(backing.bars)}


def _washer_data(washer: WasherSize) -> dict[str, Any]:
    return {"outside_m": washer.outside, "thickness_m": washer.thickness, "steel": washer.steel}


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None
