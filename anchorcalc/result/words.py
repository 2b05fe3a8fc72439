"""What cases and requirements are called in sentences and in narrow tables."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from anchorcalc.result.check import Requirement

CASE_WORDS = {
    "forward": "braking",
    "rearward": "pulling away",
    "left": "a swerve to the right",
    "right": "a swerve to the left",
    "upward": "a bump",
}
CASE_SHORT = {
    "forward": "braking",
    "rearward": "pulling away",
    "left": "swerve right",
    "right": "swerve left",
    "upward": "bump",
}

WHEELS_HELP = "boards from member to member under the tyres, or another layer"


def not_met(requirement: Requirement) -> str:
    """What is asked beside the forces, and what was found instead, in a sentence."""
    return f"Not met: {requirement.name}; wanted: {requirement.required}; found: {requirement.provided}."
