"""The result as JSON: SI numbers with the unit in the key; null where there is no finite number."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from typing import Any

from anchorcalc.result import AnchorStrength, CaseResult, MountingComparison, Result

SCHEMA = 1


def check_json(result: Result) -> str:
    """`check` as JSON text."""
    return _dump(result_data(result))


def compare_json(compared: Sequence[MountingComparison]) -> str:
    """`compare` as JSON text."""
    return _dump({"schema": SCHEMA, "mountings": [_mounting(each) for each in compared]})


def result_data(result: Result) -> dict[str, Any]:
    """`result` as plain lists and mappings."""
    thumb = result.rule_of_thumb
    return {
        "schema": SCHEMA,
        "title": result.title,
        "rules": result.rules,
        "verdict": result.verdict,
        "reasons": list(result.reasons),
        "helps": list(result.helps),
        "weight_N": result.weight,
        "rule_of_thumb": {
            "required_N": thumb.required,
            "provided_N": _finite(thumb.provided),
            "utilisation": _finite(thumb.utilisation),
            "verdict": thumb.verdict,
            "counted": [
                {"strap": strap, "counted_N": _finite(limit), "limited_by": part}
                for strap, limit, part in thumb.counted
            ],
            "source": thumb.source,
        },
        "requirements": [
            {"name": r.name, "required": r.required, "provided": r.provided, "verdict": r.verdict, "source": r.source}
            for r in result.requirements
        ],
        "cases": [_case(case) for case in result.cases],
        "anchors": [_anchor(anchor) for anchor in result.anchors],
        "unrated": list(result.unrated),
        "assumed": [{"what": a.what, "value": a.value, "why": a.why} for a in result.assumed],
        "warnings": list(result.warnings),
        "cautions": list(result.cautions),
        "rechecks": list(result.rechecks),
        "own_tables": list(result.own_rows),
    }


def _case(case: CaseResult) -> dict[str, Any]:
    return {
        "case": case.case,
        "level": case.level,
        "acceleration_g": list(case.acceleration),
        "held": case.held,
        "straps": [
            {
                "strap": state.strap,
                "anchor": state.anchor,
                "tension_N": state.tension,
                "limit_N": _finite(state.limit),
                "utilisation": _finite(state.utilisation),
                "weakest_link": state.weakest_link,
            }
            for state in case.straps
        ],
        "utilisation": _finite(case.utilisation),
        "verdict": case.verdict,
        "turning_share": case.turning_share,
        "source": case.source,
    }


def _anchor(anchor: AnchorStrength) -> dict[str, Any]:
    return {
        "anchor": anchor.anchor,
        "mounting": anchor.mounting,
        "pull_direction": list(anchor.direction),
        "breaking_N": _finite(anchor.breaking),
        "working_N": _finite(anchor.working),
        "weakest_link": anchor.weakest("working").name,
        "links": [
            {
                "link": link.name,
                "breaking_N": _finite(link.breaking),
                "working_N": _finite(link.working),
                "governed_by": link.governed_by,
                "source": link.source,
                "remark": link.remark,
            }
            for link in anchor.links
        ],
    }


def _mounting(each: MountingComparison) -> dict[str, Any]:
    return {
        "mounting": each.mounting,
        "verdict": each.result.verdict,
        "breaking_N": _finite(each.worst_anchor.breaking),
        "working_N": _finite(each.worst_anchor.working),
        "weakest_link": each.worst_anchor.weakest("working").name,
        "rule_of_thumb_utilisation": _finite(each.result.rule_of_thumb.utilisation),
        "worst_case": f"{each.worst_case.case}, {each.worst_case.level}",
        "worst_utilisation": _finite(each.worst_case.utilisation),
    }


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _dump(data: dict[str, Any]) -> str:
    return json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False)
