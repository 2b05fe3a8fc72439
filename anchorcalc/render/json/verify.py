"""The published checks as JSON."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from typing import Any

from anchorcalc.proof.published import Outcome, counted

SCHEMA = 1


def verify_json(outcomes: Sequence[Outcome]) -> str:
    """Every check with its values in the unit of the published one; differences and tolerances are relative."""
    found = {
        "schema": SCHEMA,
        "checks": [_check(each) for each in outcomes],
        "counts": dict(counted(each.check for each in outcomes)),
        "off": sum(not each.holds for each in outcomes),
    }
    return json.dumps(found, indent=2, ensure_ascii=False, allow_nan=False)


def _check(found: Outcome) -> dict[str, Any]:
    check = found.check
    return {
        "name": check.name,
        "function": check.function,
        "published": found.published,
        "computed": _number(found.computed),
        "unit": found.unit,
        "difference": _number(found.difference),
        "tolerance": check.tolerance,
        "why": check.why,
        "source": f"{check.source.document} ({check.source.publisher}), {check.clause}",
        "tag": check.tag,
        "holds": found.holds,
    }


def _number(value: float) -> float | None:
    """JSON knows no infinity; a value that is none is off anyway."""
    return value if math.isfinite(value) else None
