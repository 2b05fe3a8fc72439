"""The fitting sheet as JSON: SI numbers with the unit in the key."""

from __future__ import annotations

import json
import math
from typing import Any

from anchorcalc.fitting.clearance import Place
from anchorcalc.fitting.sheet import BoltGroup, FittingSheet, Item, MountingSheet, ScrewGroup
from anchorcalc.fitting.weights import Weights
from anchorcalc.result import Verdict

SCHEMA = 1


def fitting_json(sheet: FittingSheet, strength: Verdict) -> str:
    """`fit` as JSON text; `strength` is the verdict of the check on the same scenario."""
    return json.dumps(fitting_data(sheet, strength), indent=2, ensure_ascii=False, allow_nan=False)


def fitting_data(sheet: FittingSheet, strength: Verdict) -> dict[str, Any]:
    """`sheet` as plain lists and mappings."""
    return {
        "schema": SCHEMA,
        "title": sheet.title,
        "ready": sheet.ready and strength == "pass",
        "strength_verdict": strength,
        "fits": sheet.ready,
        "places": [_place(place) for place in sheet.places],
        "mountings": [_mounting(mounting) for mounting in sheet.mountings],
        "shopping": [{"count": count, **_item(item)} for item, count in sheet.shopping],
        "weights": _weights(sheet.weights),
        "out_of_square_m": sheet.out_of_square,
        "taper_m": sheet.taper,
        "measuring": list(sheet.measuring),
        "warnings": list(sheet.warnings),
        "assumed": [{"what": a.what, "value": a.value, "why": a.why} for a in sheet.assumed],
        "cautions": list(sheet.cautions),
    }


def _place(place: Place) -> dict[str, Any]:
    return {
        "anchor": place.anchor,
        "mounting": place.mounting,
        "at_m": list(place.at),
        "to_left_edge_m": place.to_left_edge,
        "to_right_edge_m": place.to_right_edge,
        "conflicts": [
            {
                "part": conflict.part,
                "count": conflict.count,
                "of": conflict.of,
                "obstacle": conflict.obstacle,
                "kind": conflict.kind,
                "gap_m": _finite(conflict.gap),
                "wanted_m": conflict.wanted,
            }
            for conflict in place.conflicts
        ],
        "tightest": {
            "part": place.tightest.part,
            "obstacle": place.tightest.obstacle,
            "spare_m": _finite(place.tightest.spare),
        },
        "clear_along_m": place.clear_along,
        "clear_across_m": place.clear_across,
    }


def _mounting(sheet: MountingSheet) -> dict[str, Any]:
    cut_out = sheet.cut_out
    return {
        "mounting": sheet.name,
        "anchors": list(sheet.anchors),
        "bolts": [_bolts(group) for group in sheet.bolts],
        "screws": _screws(sheet.screws) if sheet.screws else None,
        "holes": {"drill_m": sheet.holes.drill, "most_m": sheet.holes.most, "source": sheet.holes.source}
        if sheet.holes
        else None,
        "cut_out": {"size_m": list(cut_out.size), "rim_m": cut_out.rim, "advice": list(cut_out.advice)}
        if cut_out
        else None,
        "distances": [
            {"what": d.what, "wanted_m": d.wanted, "found_m": d.found, "kept": d.kept, "source": d.source}
            for d in sheet.distances
        ],
        "nut": sheet.nut,
        "nut_why": sheet.nut_why,
        "work": list(sheet.work),
    }


def _bolts(group: BoltGroup) -> dict[str, Any]:
    found = group.tightening
    return {
        "where": group.where,
        "count": group.count,
        "size": group.size,
        "grade": group.grade,
        "stack": [{"what": item.what, "thickness_m": item.thickness} for item in group.stack],
        "grip_m": group.grip,
        "nut_height_m": group.nut_height,
        "beyond_nut_m": group.beyond_nut,
        "needed_m": group.needed,
        "length_m": group.length,
        "long_enough": group.long_enough,
        "thread_reaches": group.thread_reaches,
        "under_nut": _item(group.under_nut) if group.under_nut else None,
        "tightening": {
            "way": found.way,
            "why": found.why,
            "limit_N": found.limit,
            "wood_below_N": found.wood_below,
            "wood_above_N": found.wood_above,
            "proof_limit_N": found.proof_limit,
            "share_of_proof": found.share_of_proof,
            "settings": [
                {"thread": each.state, "K": each.K, "at_limit_Nm": each.at_limit, "aim_for_Nm": each.aim_for}
                for each in found.settings
            ],
        },
    }


def _screws(group: ScrewGroup) -> dict[str, Any]:
    return {
        "count": group.count,
        "name": group.name,
        "length_m": group.length,
        "pilot_m": group.pilot,
        "shank_m": group.shank,
        "shank_depth_m": group.shank_depth,
        "comes_through_m": group.comes_through,
    }


def _item(item: Item) -> dict[str, Any]:
    return {
        "kind": item.kind,
        "size": item.size,
        "dimensions_m": list(item.dimensions),
        "material": item.material,
        "weight_each_N": item.weight,
    }


def _weights(weights: Weights) -> dict[str, Any]:
    payload, balance, axle = weights.payload, weights.balance, weights.axle
    return {
        "layers": [
            {
                "layer": layer.number,
                "by_table_N": layer.by_table,
                "by_common_sheet_N": layer.by_common_sheet,
                "weight_N": layer.weight,
                "added": layer.added,
            }
            for layer in weights.layers
        ],
        "hardware_N": weights.hardware,
        "added_N": weights.added,
        "overloaded": weights.overloaded,
        "payload": {
            "gross_rating_N": payload.gross_rating,
            "empty_N": payload.empty,
            "added_N": payload.added,
            "load_N": payload.load,
            "total_N": payload.total,
            "left_N": payload.left,
        }
        if payload
        else None,
        "balance": {
            "ahead_of_axle_m": balance.ahead_of_axle,
            "hitch_of_load": balance.hitch_of_load,
            "hitch_load_N": list(balance.hitch_load),
            "hitch_share": list(balance.hitch_share),
            "common_share": list(balance.common_share),
            "best_between_m": list(balance.best_between),
            "word": balance.word,
        }
        if balance
        else None,
        "axle": {"load_N": axle.load, "rating_N": axle.rating, "left_N": axle.left, "balance_known": axle.balance_known}
        if axle
        else None,
    }


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None
