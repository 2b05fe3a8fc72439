"""What `check` found: plain data, complete, read by every renderer. SI throughout [N, m]."""

from __future__ import annotations

import math
from typing import Literal

from msgspec import Struct

from anchorcalc.result.fitting import AnchorPlace, Assumed, FittingSheet
from anchorcalc.result.strength import AnchorStrength, Level, Verdict

RequirementKey = Literal[
    "room", "distances", "gross_rating", "axle_rating", "hitch", "wheels", "without_friction", "without_stops",
    "older_rule", "count", "count_each_end", "light_vehicle", "sheets", "deck_screws",
    "bases", "stretch",
]  # fmt: skip
ConditionKey = Literal[
    "ratings", "tie_point_ratings", "slides", "hand_tension", "heads_on", "first_at", "face_grain", "rails", "beams",
    "holes", "grade", "base", "walls", "deck_screws",
]  # fmt: skip


class SharedRing(Struct, frozen=True):
    """All straps on one ring in one case, and what it holds the way they pull it together [N]."""

    straps: tuple[str, ...]
    pull: float
    limit: float


class StrapState(Struct, frozen=True):
    """One strap in one case: its own pull against the least limit along it."""

    strap: str
    anchor: str
    tension: float
    limit: float
    utilisation: float
    weakest_key: str
    weakest_link: str
    verdict: Verdict
    shared: SharedRing | None = None
    """Where several straps pull on its ring and what that holds decides: `limit` is the strap's part of it."""

    @property
    def told(self) -> tuple[float, float]:
        """Pull and limit that can be divided by hand: of the strap, or of all that share its ring."""
        return (self.tension, self.limit) if self.shared is None else (self.shared.pull, self.shared.limit)


class StopState(Struct, frozen=True):
    """One stop in one case: its push against what it bears at that level [N]."""

    stop: str
    push: float
    limit: float
    utilisation: float


class CaseResult(Struct, frozen=True):
    """One load case at one level."""

    case: str
    level: Level
    acceleration: tuple[float, float, float]
    gravity: bool  # whether the load's own weight counts in it
    source: str
    held: bool
    at_rings: tuple[StrapState, ...]  # every strap at every ring it hangs on
    stops: tuple[StopState, ...]
    utilisation: float
    verdict: Verdict
    turning_share: float
    """How much of the greatest pull is there only to stop the load from turning [0..1]."""

    @property
    def straps(self) -> tuple[StrapState, ...]:
        """Every strap at that of its rings where it comes nearest to its limit."""
        worst: dict[str, StrapState] = {}
        for state in self.at_rings:
            worst[state.strap] = max(worst.get(state.strap, state), state, key=by_use)
        return tuple(worst.values())


def by_use(found: StrapState | CaseResult) -> tuple[float, float]:
    """Rank by use; of straps used alike, as those that share a ring are, the one that pulls harder.

    What is the same in a mirror differs by rounding alone and ranks the same: the first is told.
    """
    return round(found.utilisation, 9), round(found.tension, 6) if isinstance(found, StrapState) else 0.0


class AnchorState(Struct, frozen=True):
    """One anchor over all cases; `verdict` is None where no strap hangs on it."""

    anchor: str
    verdict: Verdict | None
    case: CaseResult | None  # the hardest held case
    strap: StrapState | None  # the strap that decides there
    why: str
    asked_up: float = 0.0  # of the ring in that case, by all its straps together [N]
    asked_along: float = 0.0  # the same along the deck [N]

    @property
    def utilisation(self) -> float:
        """Demand over limit in the hardest case; infinite where a case is not held."""
        return self.strap.utilisation if self.strap is not None else math.inf


class Requirement(Struct, frozen=True):
    """A count or sum the rules ask for, beside the force check: in words, and as numbers where it has some."""

    key: RequirementKey
    name: str
    required: str
    provided: str
    verdict: Verdict
    source: str
    limit: tuple[float, ...] = ()
    value: tuple[float, ...] = ()
    dimension: Literal["count", "force", "weight", "none"] = "none"  # of limit and value, SI
    cases: tuple[CaseResult, ...] = ()  # solved for it alone: without friction, without stops


class RuleOfThumb(Struct, frozen=True):
    """Sum of the counted working limits against a share of the load's weight [N]."""

    required: float
    provided: float
    utilisation: float
    verdict: Verdict
    counted: tuple[tuple[str, float, str, str], ...]  # strap, counted limit [N], key and name of what limits it
    source: str


class Condition(Struct, frozen=True):
    """Something assumed or guessed that alone decides the verdict, and the range in which it would be better."""

    key: ConditionKey
    what: str
    taken: str
    passes_if: str
    verdict_then: Verdict


class Result(Struct, frozen=True):
    """Everything `check` found."""

    title: str
    rules: str
    rules_title: str
    rules_note: str
    units: Literal["us", "si"]
    load: str
    weight: float
    verdict: Verdict
    reasons: tuple[str, ...]
    helps: tuple[str, ...]
    cases: tuple[CaseResult, ...]
    anchors: tuple[AnchorStrength, ...]
    states: tuple[AnchorState, ...]  # of every anchor, in the scenario's order
    rule_of_thumb: RuleOfThumb
    requirements: tuple[Requirement, ...]
    unrated: tuple[str, ...]
    assumed: tuple[Assumed, ...]
    odd: tuple[str, ...]  # those of the warnings that say what looks odd in the scenario itself
    warnings: tuple[str, ...]
    not_checked: tuple[str, ...]
    cautions: tuple[str, ...]
    rechecks: tuple[str, ...]
    own_rows: tuple[str, ...]
    sheet: FittingSheet
    thumb_fraction: float  # of the weight that the counted ratings have to reach
    conditions: tuple[Condition, ...] = ()  # looked for only where the verdict is not a pass

    def state_of(self, anchor: str) -> AnchorState:
        """State of one anchor."""
        return next(state for state in self.states if state.anchor == anchor)

    @property
    def crowded(self) -> tuple[AnchorPlace, ...]:
        """Places at which an anchor cannot be built as written: something is in the way."""
        return tuple(place for place in self.sheet.places if place.conflicts)

    @property
    def only_crowded(self) -> bool:
        """Whether it fails by nothing but that."""
        rest = [each.verdict for each in self.requirements if each.key != "room"]
        return bool(self.crowded) and "fail" not in (
            self.rule_of_thumb.verdict,
            *rest,
            *(case.verdict for case in self.cases),
        )


class MountingComparison(Struct, frozen=True):
    """One mounting tried on every anchor of the scenario."""

    mounting: str
    result: Result
    worst_anchor: AnchorStrength
    worst_case: CaseResult
    weight: float = 0.0  # of all its hardware, without the rings [N]
    tried: bool = False  # common stock that the scenario does not describe
