"""From results to JSON, one way for all: SI numbers with the unit in the key; null where there is no finite number.

A result's fields are written by their own names but for those in `_KEYS`, which says the key that scripts rest on:
with its unit, or None to leave it out. Properties that belong to the record stand in `_ALSO`.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Mapping, Sequence
from typing import Any, Final

from msgspec import Struct

from anchorcalc.result import check, fitting, improve, size, strength
from anchorcalc.units import STANDARD_GRAVITY

SCHEMA: Final = 1
"""Of every answer; a key that goes or changes its meaning raises it."""

_KEYS: Final[dict[type, dict[str, str | None]]] = {
    strength.Figure: {},
    strength.Link: {"name": "link", "breaking": "breaking_N", "working": "working_N"},
    strength.AnchorStrength: {"direction": "pull_direction", "least": "least_N"},
    strength.HeldAgainst: {"name": "yardstick", "per_point": "per_point_N"},
    check.StrapState: {"tension": "tension_N", "limit": "limit_N", "weakest_key": "weakest_link_key"},
    check.SharedRing: {"pull": "pull_N", "limit": "limit_N"},
    check.StopState: {"push": "push_N", "limit": "limit_N"},
    check.CaseResult: {"acceleration": "acceleration_g", "gravity": "own_weight_counted", "at_rings": None},
    check.AnchorState: {"case": None, "strap": None, "asked_up": "asked_up_N", "asked_along": "asked_along_N"},
    check.Requirement: {"cases": None},
    check.RuleOfThumb: {"required": "required_N", "provided": "provided_N"},
    check.Result: {
        "rules_note": None,
        "odd": None,
        "weight": "weight_N",
        "own_rows": "own_tables",
        "sheet": None,
        "thumb_fraction": None,
        "states": "anchor_states",
    },
    fitting.FittingSheet: {
        "units": None,
        "load": None,
        "out_of_square": "out_of_square_m",
        "taper": "taper_m",
        "mountings": "mountings",
    },
    fitting.AnchorPlace: {
        "at": "at_m",
        "to_left_edge": "to_left_edge_m",
        "to_right_edge": "to_right_edge_m",
        "clear_along": "clear_along_m",
        "clear_across": "clear_across_m",
    },
    fitting.Conflict: {"gap": "gap_m", "wanted": "wanted_m"},
    fitting.Tightest: {"spare": "spare_m"},
    fitting.MountingSheet: {"name": "mounting", "items": None},
    fitting.BoltGroup: {
        "nut_height": "nut_height_m",
        "beyond_nut": "beyond_nut_m",
        "stock": None,
        "given": None,
        "thread": None,
    },
    fitting.StackItem: {"thickness": "thickness_m"},
    fitting.Item: {"dimensions": "dimensions_m", "weight": "weight_each_N"},
    fitting.Tightening: {
        "wood_below": "wood_below_N",
        "wood_above": "wood_above_N",
        "proof_limit": "proof_limit_N",
    },
    fitting.WrenchSetting: {"state": "thread", "at_limit": "at_limit_Nm", "aim_for": "aim_for_Nm"},
    fitting.ScrewGroup: {
        "length": "length_m",
        "pilot": "pilot_m",
        "shank": "shank_m",
        "shank_depth": "shank_depth_m",
        "comes_through": "comes_through_m",
    },
    fitting.Holes: {"drill": "drill_m", "most": "most_m"},
    fitting.CutOut: {"size": "size_m", "rim": "rim_m"},
    fitting.EdgeDistance: {"wanted": "wanted_m", "found": "found_m"},
    fitting.LayerWeight: {"number": "layer", "by_table": "by_table_N", "by_common_sheet": "by_common_sheet_N"},
    fitting.Payload: {
        "gross_rating": "gross_rating_N",
        "empty": "empty_N",
        "added": "added_N",
        "load": "load_N",
    },
    fitting.Balance: {
        "ahead_of_axle": "ahead_of_axle_m",
        "hitch_load": "hitch_load_N",
        "best_between": "best_between_m",
    },
    fitting.AxleLoad: {"load": "load_N", "rating": "rating_N"},
    fitting.Weights: {"hardware": "hardware_N"},
    size.Wanted: {"working": "working_N", "breaking": "breaking_N", "of_the_cases": None},
    size.WasherChoice: {"outside": "outside_m", "thickness": "thickness_m"},
    size.BackingChoice: {"size": "size_m", "width": "width_m", "thickness": "thickness_m"},
    improve.TriedChange: {"was": "from", "added_weight": None, "weakest": "weakest_link"},
    improve.Together: {"added_weight": None},
    improve.Improvement: {"units": None, "governs": "what_governs"},
    size.SizeAnswer: {"units": None, "direction": "pull_direction", "bearing": None, "curves": None},
}
_ALSO: Final[dict[type, dict[str, str]]] = {
    strength.AnchorStrength: {"breaking": "breaking_N", "working": "working_N"},
    check.CaseResult: {"straps": "straps"},
    check.AnchorState: {"utilisation": "utilisation"},
    fitting.AnchorPlace: {"tight": "tight"},
    fitting.BoltGroup: {
        "grip": "grip_m",
        "needed": "needed_m",
        "length": "length_m",
        "long_enough": "long_enough",
        "thread_reaches": "thread_reaches",
    },
    fitting.Tightening: {"limit": "limit_N"},
    fitting.EdgeDistance: {"kept": "kept"},
    fitting.LayerWeight: {"weight": "weight_N"},
    fitting.Payload: {"total": "total_N", "left": "left_N"},
    fitting.AxleLoad: {"left": "left_N"},
    fitting.Weights: {"added": "added_N", "overloaded": "overloaded"},
}


def plain(value: Any) -> Any:
    """`value` as lists, mappings, texts and finite numbers."""
    special = _SPECIAL.get(type(value))
    if special is not None:
        return special(value)
    if isinstance(value, Struct):
        return _record(value)
    if isinstance(value, Mapping):
        return {key: plain(each) for key, each in value.items()}
    if isinstance(value, Sequence) and not isinstance(value, str):
        return [plain(each) for each in value]
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    return value


def _record(value: Struct) -> dict[str, Any]:
    kind = type(value)
    keys, also = _KEYS.get(kind, {}), _ALSO.get(kind, {})
    made = {}
    for name in value.__struct_fields__:
        key = keys.get(name, name)
        if key is not None:
            made[key] = plain(getattr(value, name))
    return {**made, **{key: plain(getattr(value, name)) for name, key in also.items()}}


def _anchor(anchor: strength.AnchorStrength) -> dict[str, Any]:
    second = anchor.second
    found = _record(anchor)
    found["weakest_link"] = anchor.weakest("working").name
    found["second_link"] = None if second is None else second.name
    if anchor.least is None:
        del found["least_N"]
    return found


def _least(least: strength.LeastStrength) -> dict[str, Any]:
    """The direction and the link are those of the daily strength; the others have keys of their own."""
    return {
        "breaking": plain(least.breaking.strength),
        "working": plain(least.working.strength),
        "direction": plain(least.working.direction),
        "link": least.working.link.name,
        "link_key": least.working.link.key,
        "breaking_direction": plain(least.breaking.direction),
        "breaking_link": least.breaking.link.name,
        "yardsticks": plain(least.yardsticks),
    }


def _thumb(thumb: check.RuleOfThumb) -> dict[str, Any]:
    counted = [
        {"strap": strap, "counted_N": plain(limit), "limited_by": part} for strap, limit, _, part in thumb.counted
    ]
    return {**_record(thumb), "counted": counted}


def _backing(backing: size.BackingChoice) -> dict[str, Any]:
    found = {key: value for key, value in _record(backing).items() if value is not None}
    if backing.kind == "washers":
        found.update(found.pop("washer"))
    if backing.walls is not None:
        found["walls"] = "both" if backing.walls == 2 else "one"
    return found


def _choice(choice: size.SizeChoice) -> dict[str, Any]:
    return {
        "backing": _backing(choice.backing),
        "bolts": plain(choice.bolts),
        "working_N": plain(choice.strength.working),
        "breaking_N": plain(choice.strength.breaking),
        "weakest_link": choice.governing.name,
        "weight_kg": choice.weight / STANDARD_GRAVITY,
        "metal_cm3": choice.metal * 1e6,
        "links": plain(choice.strength.links),
    }


def _answer(answer: size.SizeAnswer) -> dict[str, Any]:
    left_out = [{"backing": kind, "why": why, "number": number} for kind, why, number in answer.left_out]
    return {**_record(answer), "left_out": left_out}


def _compared(each: check.MountingComparison) -> dict[str, Any]:
    return {
        "mounting": each.mounting,
        "verdict": each.result.verdict,
        "breaking_N": plain(each.worst_anchor.breaking),
        "working_N": plain(each.worst_anchor.working),
        "weakest_link": each.worst_anchor.weakest("working").name,
        "rule_of_thumb_utilisation": plain(each.result.rule_of_thumb.utilisation),
        "worst_case": f"{each.worst_case.case}, {each.worst_case.level}",
        "worst_utilisation": plain(each.worst_case.utilisation),
    }


def _sheet(sheet: fitting.FittingSheet) -> dict[str, Any]:
    shopping = [{"count": count, **_record(item)} for item, count in sheet.shopping]
    return {**_record(sheet), "shopping": shopping, "fits": sheet.ready}


def _heavier(change: improve.TriedChange | improve.Together) -> dict[str, Any]:
    return {**_record(change), "added_weight_kg": change.added_weight / STANDARD_GRAVITY}


_SPECIAL: Final[dict[type, Callable[[Any], dict[str, Any]]]] = {
    strength.AnchorStrength: _anchor,
    strength.LeastStrength: _least,
    check.RuleOfThumb: _thumb,
    check.MountingComparison: _compared,
    size.SizeChoice: _choice,
    size.SizeAnswer: _answer,
    fitting.FittingSheet: _sheet,
    improve.TriedChange: _heavier,
    improve.Together: _heavier,
}


def json_text(**answer: Any) -> str:
    """An answer as JSON text: its schema, then what is given by key."""
    return json.dumps({"schema": SCHEMA, **plain(answer)}, indent=2, ensure_ascii=False, allow_nan=False)


def check_json(result: check.Result) -> str:
    """`check` as JSON text."""
    return json_text(**plain(result))


def compare_json(compared: Sequence[check.MountingComparison]) -> str:
    """`compare` as JSON text."""
    described = [each for each in compared if not each.tried]
    tried = [{**_compared(each), "weight_kg": each.weight / STANDARD_GRAVITY} for each in compared if each.tried]
    return json_text(mountings=described, tried=tried)


def size_json(answer: size.SizeAnswer) -> str:
    """`size` as JSON text."""
    return json_text(**plain(answer))


def improve_json(answer: improve.Improvement) -> str:
    """`improve` as JSON text."""
    return json_text(**plain(answer))


def fitting_json(result: check.Result) -> str:
    """`fit` as JSON text: the fitting sheet of `result`, and whether it holds."""
    sheet, verdict = result.sheet, result.verdict
    return json_text(
        **plain(sheet),
        ready=sheet.ready and verdict == "pass",
        strength_verdict=verdict,
        why_not=() if verdict == "pass" else result.reasons,
        has_to_change=() if verdict == "pass" else result.helps,
    )
