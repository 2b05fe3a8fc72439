"""The result: plain data, complete, read by every renderer. SI throughout [N, m]."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Verdict = Literal["pass", "marginal", "fail"]
Level = Literal["breaking", "working"]

_ORDER: dict[Verdict, int] = {"pass": 0, "marginal": 1, "fail": 2}


def worst(*verdicts: Verdict) -> Verdict:
    """The gravest of `verdicts`; pass when there is none."""
    return max(verdicts, key=_ORDER.__getitem__, default="pass")


@dataclass(frozen=True)
class Figure:
    """One number that went into a link, as it is shown to people."""

    symbol: str
    value: float
    kind: str  # a dimension of anchorcalc.units, or "number"
    what: str


@dataclass(frozen=True)
class Link:
    """One way an anchor can let go, along the pull it was asked for.

    Strengths are pulls along that direction [N]; infinite where the pull does not load this link.
    """

    name: str
    breaking: float
    working: float
    governed_by: str
    formula: str
    source: str
    figures: tuple[Figure, ...] = ()
    remark: str = ""

    def at(self, level: Level) -> float:
        """Strength at `level` [N]."""
        return self.breaking if level == "breaking" else self.working


@dataclass(frozen=True)
class AnchorStrength:
    """What one anchor holds along one direction, and its links, weakest first at the working level."""

    anchor: str
    mounting: str
    direction: tuple[float, float, float]
    links: tuple[Link, ...]

    def weakest(self, level: Level) -> Link:
        """The link with the least strength at `level`."""
        return min(self.links, key=lambda link: link.at(level))

    @property
    def breaking(self) -> float:
        """Pull at which the first link lets go [N]."""
        return self.weakest("breaking").breaking

    @property
    def working(self) -> float:
        """Pull that may be counted on every day [N]."""
        return self.weakest("working").working


@dataclass(frozen=True)
class StrapState:
    """One strap in one case: its own pull against the least limit along it."""

    strap: str
    anchor: str
    tension: float
    limit: float
    utilisation: float
    weakest_link: str


@dataclass(frozen=True)
class CaseResult:
    """One load case at one level."""

    case: str
    level: Level
    acceleration: tuple[float, float, float]
    source: str
    held: bool
    straps: tuple[StrapState, ...]
    utilisation: float
    verdict: Verdict
    turning_share: float
    """How much of the greatest pull is there only to stop the load from turning [0..1]."""


@dataclass(frozen=True)
class Requirement:
    """A count or sum the rules ask for, beside the force check."""

    name: str
    required: str
    provided: str
    verdict: Verdict
    source: str


@dataclass(frozen=True)
class RuleOfThumb:
    """Sum of the counted working limits against a share of the load's weight [N]."""

    required: float
    provided: float
    utilisation: float
    verdict: Verdict
    counted: tuple[tuple[str, float, str], ...]  # strap, counted limit [N], what limits it
    source: str


@dataclass(frozen=True)
class Assumed:
    """A value nobody gave, and why it was taken."""

    what: str
    value: str
    why: str


@dataclass(frozen=True)
class Result:
    """Everything `check` found."""

    title: str
    rules: str
    rules_title: str
    units: Literal["us", "si"]
    load: str
    weight: float
    verdict: Verdict
    reasons: tuple[str, ...]
    helps: tuple[str, ...]
    cases: tuple[CaseResult, ...]
    anchors: tuple[AnchorStrength, ...]
    rule_of_thumb: RuleOfThumb
    requirements: tuple[Requirement, ...]
    unrated: tuple[str, ...]
    assumed: tuple[Assumed, ...]
    warnings: tuple[str, ...]
    cautions: tuple[str, ...]
    rechecks: tuple[str, ...]
    own_rows: tuple[str, ...]


@dataclass(frozen=True)
class MountingComparison:
    """One mounting tried on every anchor of the scenario."""

    mounting: str
    result: Result
    worst_anchor: AnchorStrength
    worst_case: CaseResult
