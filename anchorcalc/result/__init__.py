"""Results: plain data, complete, read by every renderer."""

from anchorcalc.result.check import (
    AnchorState,
    CaseResult,
    Condition,
    MountingComparison,
    Requirement,
    Result,
    RuleOfThumb,
    StrapState,
)
from anchorcalc.result.fitting import Assumed
from anchorcalc.result.strength import AnchorStrength, Figure, Level, Link, Verdict, worst

__all__ = [
    "AnchorState",
    "AnchorStrength",
    "Assumed",
    "CaseResult",
    "Condition",
    "Figure",
    "Level",
    "Link",
    "MountingComparison",
    "Requirement",
    "Result",
    "RuleOfThumb",
    "StrapState",
    "Verdict",
    "worst",
]
