"""What an anchor holds: its links, each at two levels. SI throughout [N, m]."""

from __future__ import annotations

from typing import Final, Literal

from msgspec import Struct

Verdict = Literal["pass", "marginal", "fail"]
Level = Literal["breaking", "working"]

GRAVITY: Final[dict[str, int]] = {"pass": 0, "marginal": 1, "fail": 2}
"""How grave each verdict is."""


def worst(*verdicts: Verdict) -> Verdict:
    """The gravest of `verdicts`; pass when there is none."""
    return max(verdicts, key=GRAVITY.__getitem__, default="pass")


class Figure(Struct, frozen=True):
    """One number that went into a link, as it is shown to people."""

    symbol: str
    value: float
    kind: str  # a dimension of anchorcalc.units, or "number"
    what: str


class Link(Struct, frozen=True):
    """One way an anchor can let go, along the pull it was asked for.

    Strengths are pulls along that direction [N]; infinite where the pull does not load this link.
    """

    key: str
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


class Least(Struct, frozen=True):
    """Least strength at one level over all directions [N], the direction and the link that gives there."""

    strength: float
    direction: tuple[float, float, float]
    link: Link


class HeldAgainst(Struct, frozen=True):
    """What a standard asks of an anchor point [N], and whether the daily strength in every direction reaches it."""

    name: str
    per_point: float
    met: bool
    source: str


class LeastStrength(Struct, frozen=True):
    """What an anchor is good for by itself, whatever strap hangs on it."""

    breaking: Least
    working: Least
    looked_at: tuple[tuple[tuple[float, float, float], float, float], ...]  # directions, strengths at both levels
    by_angle: tuple[tuple[float, float], ...]  # from upright [rad], and what it holds daily at least all round [N]
    yardsticks: tuple[HeldAgainst, ...] = ()


class AnchorStrength(Struct, frozen=True):
    """What one anchor holds along one direction, and its links, weakest first at the working level."""

    anchor: str
    mounting: str
    direction: tuple[float, float, float]
    links: tuple[Link, ...]
    least: LeastStrength | None = None  # looked for only where it is shown

    def weakest(self, level: Level) -> Link:
        """The link with the least strength at `level`."""
        return min(self.links, key=lambda link: link.at(level))

    @property
    def second(self) -> Link | None:
        """The link that is next to give at the working level, after the weakest."""
        return sorted(self.links, key=lambda link: (link.working, link.breaking))[1] if len(self.links) > 1 else None

    @property
    def breaking(self) -> float:
        """Pull at which the first link lets go [N]."""
        return self.weakest("breaking").breaking

    @property
    def working(self) -> float:
        """Pull that may be counted on every day [N]."""
        return self.weakest("working").working
