"""A rule set as a typed row: cases, sums, counts, and the factors that are ours."""

from __future__ import annotations

from typing import Annotated, Final, Literal, Self, get_args

from pydantic import Field, model_validator

from anchorcalc.catalog.rows import Row
from anchorcalc.catalog.values import POSITIVE, Count, Frozen, Share, between, reader
from anchorcalc.names import Name

LoadKind = Literal[
    "car", "light truck", "van", "motorcycle", "quad", "side-by-side", "trike", "tractor", "mower", "utility cart",
    "trailer", "machine", "machine on skids", "other",
]  # fmt: skip
"""What a load may be called; rules of some kinds are told apart by it."""

_Acceleration = Annotated[float, between(-5, 5)]
_WAYS: Final = {
    "forward": (1, 0, 0), "rearward": (-1, 0, 0), "left": (0, 1, 0), "right": (0, -1, 0), "upward": (0, 0, 1),
}  # fmt: skip
_LEAST_PUSH: Final = 0.1
_LEAST_OF_ALL: Final = {"forward": 0.5, "rearward": 0.25, "left": 0.25, "right": 0.25}
"""In g: below these no hard braking and no swerve on the road is covered; every rule set read asks more [judgement]."""


class LoadCase(Frozen):
    """One direction at one level; `acceleration` is the push on the load in g."""

    case: Literal["forward", "rearward", "left", "right", "upward"]
    level: Literal["breaking", "working"]
    acceleration: tuple[_Acceleration, _Acceleration, _Acceleration]
    gravity: bool
    binds: Literal["always", "with friction", "advice"] = "always"
    """When it decides the verdict; what does not is told as advice."""
    source: Name

    def decides(self, *, friction: bool) -> bool:
        """Whether it decides the verdict of a load for which friction is counted, or is not."""
        return self.binds == "always" or (self.binds == "with friction" and friction)

    @property
    def push(self) -> float:
        """Along the case's own direction, in g."""
        return sum(part * way for part, way in zip(self.acceleration, _WAYS[self.case], strict=True))

    @model_validator(mode="after")
    def _pushes_the_way_it_says(self) -> Self:
        along = self.push
        if along < _LEAST_PUSH or along < max(map(abs, self.acceleration)):
            raise ValueError(f"{self.case} does not push {self.case} by at least {_LEAST_PUSH} g")
        return self


class SumRule(Frozen):
    """Sum of counted working limits against a share of the weight."""

    fraction_of_weight: Annotated[float, between(0.25, 2)]
    direct_counts: Share
    over_counts: Share
    loop_counts: Share | None = None
    """Round the load and back to an anchor on the same side; as a direct one where nothing is said."""
    source: Name

    @property
    def loop(self) -> float:
        """Share of a strap that comes back to the side it began on."""
        return self.direct_counts if self.loop_counts is None else self.loop_counts


class LightVehicleRule(Frozen):
    """Counts for cars, light trucks and vans."""

    kinds: tuple[LoadKind, ...] = Field(min_length=1)
    heaviest: Annotated[float, reader("weight", "100 kg", "5000 kg"), POSITIVE]
    least: Count
    least_each_end: Count
    recommended: Count
    source: Name


class HeavyRule(Frozen):
    """Counts for heavy vehicles and machines."""

    least: Count
    source: Name


class GeneralCountRule(Frozen):
    """Tie-downs by the length of a load that is not blocked forward."""

    short_length: Annotated[float, reader("length", "0.3 m", "3 m"), POSITIVE]
    short_weight: Annotated[float, reader("weight", "1 kg", "1000 kg"), POSITIVE]
    step: Annotated[float, reader("length", "0.3 m", "6 m"), POSITIVE]
    source: Name


RatedKind = Literal["webbing", "chain", "wire rope", "rope", "hardware"]


class OlderSumRule(Frozen):
    """The sum rule as it was told before working load limits: breaking strengths against the weight."""

    breaking_over_weight: Annotated[float, between(0.5, 20)]
    source: Name


class RuleSet(Row):
    """The criteria of one jurisdiction, and the factors that are ours."""

    title: Name
    note: Name
    design_factor: Annotated[float, between(2, 20)]
    duration_factor: Annotated[float, between(1, 1.6)]
    pass_below: Annotated[float, between(0, 0.95)]
    fail_above: Share
    breaking_over_rated: dict[RatedKind, Annotated[float, between(1, 5)]]
    unmarked_counts: bool
    cases: tuple[LoadCase, ...]
    rule_of_thumb: SumRule
    older_rule: OlderSumRule | None = None
    general: GeneralCountRule
    light_vehicle: LightVehicleRule
    heavy: HeavyRule
    over_points: tuple[Name, ...] = ()
    """What is said of straps over the load, over tyres or round axles."""
    rechecks: tuple[Name, ...]
    cautions: tuple[Name, ...]

    def parted(self, *, friction: bool) -> tuple[RuleSet, tuple[LoadCase, ...]]:
        """The rule set with the cases that decide for a load with or without counted friction, and the others."""
        decides = tuple(case for case in self.cases if case.decides(friction=friction))
        others = tuple(case for case in self.cases if not case.decides(friction=friction))
        return self.model_copy(update={"cases": decides}), others

    @model_validator(mode="after")
    def _whole(self) -> Self:
        self._in_order("pass_below", "fail_above")
        missing = [kind for kind in get_args(RatedKind) if kind not in self.breaking_over_rated]
        if missing:
            raise ValueError(f"breaking_over_rated lacks {', '.join(missing)}")
        unasked = sorted(_WAYS.keys() - {case.case for case in self.cases})
        if unasked:
            raise ValueError(f"cases lacks {', '.join(unasked)}")
        for way, least in _LEAST_OF_ALL.items():
            if max(case.push for case in self.cases if case.case == way) < least:
                raise ValueError(f"no case pushes {way} by {least} g or more")
        return self
