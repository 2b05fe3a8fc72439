"""The rows of the tables: one typed model per table, frozen, checked as it is read; SI floats inside."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches
from itertools import pairwise
from math import isfinite
from typing import Annotated, Final, Literal, Self, get_args

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, model_validator
from pydantic.json_schema import SkipJsonSchema

from anchorcalc.names import Name
from anchorcalc.units import Dimension, parse_quantity


class UnknownName(LookupError):  # noqa: N818 - says what it is
    """A name no table has."""

    def __init__(self, kind: str, name: str, allowed: Iterable[str]) -> None:
        self.kind, self.name, self.allowed = kind, name, sorted(allowed)
        nearest = get_close_matches(name, self.allowed, 1, 0.5)
        hint = f"; did you mean {nearest[0]!r}?" if nearest else "."
        super().__init__(f"no {kind} {name!r}{hint} Known: {', '.join(self.allowed)}")


def _reader(dimension: Dimension, most: str | None = None) -> BeforeValidator:
    """Reads a text with a unit of `dimension`, no greater than `most`."""

    def read(value: object) -> float:
        if not isinstance(value, str):
            raise ValueError(f"a {dimension} with its unit is wanted, not {value!r}")
        found = parse_quantity(value, dimension)
        if most is not None and found > parse_quantity(most, dimension):
            raise ValueError(f"{value!r} is more than there is; allowed: up to {most}")
        return found

    return BeforeValidator(read)


_POSITIVE: Final = Field(gt=0, allow_inf_nan=False)
_NOT_NEGATIVE: Final = Field(ge=0, allow_inf_nan=False)

# The ends refuse what no part of a trailer can be; what is sold lies well within them.
Length = Annotated[float, _reader("length", "10 m"), _POSITIVE]
Force = Annotated[float, _reader("force", "1000 kN"), _POSITIVE]
ForceOrNone = Annotated[float, _reader("force", "50 kN"), _NOT_NEGATIVE]
Weight = Annotated[float, _reader("weight", "60000 kg"), _POSITIVE]
WoodStress = Annotated[float, _reader("pressure", "250 MPa"), _POSITIVE]
WoodStiffness = Annotated[float, _reader("pressure", "30 GPa"), _POSITIVE]
SteelStress = Annotated[float, _reader("pressure", "2.5 GPa"), _POSITIVE]
SteelStiffness = Annotated[float, _reader("pressure", "250 GPa"), _POSITIVE]
Density = Annotated[float, _reader("weight_density", "25000 kg/m3"), _POSITIVE]
SectionI = Annotated[float, _reader("inertia_per_width"), _NOT_NEGATIVE]
SectionS = Annotated[float, _reader("modulus_per_width"), _NOT_NEGATIVE]
SectionIbQ = Annotated[float, _reader("area_per_width"), _NOT_NEGATIVE]
Modulus = Annotated[float, _reader("section_modulus"), _POSITIVE]
Number = Annotated[float, _POSITIVE]
Share = Annotated[float, Field(ge=0, le=1, allow_inf_nan=False)]


class Row(BaseModel):
    """A row of a table."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    name: Name
    source: Name
    own_file: SkipJsonSchema[str | None] = None  # set when the row comes from a user's own table

    def _in_order(self, *names: str) -> None:
        """Refuse a row whose fields `names` do not rise, or stay, in that order."""
        for low, high in pairwise(names):
            if getattr(self, low) > getattr(self, high):
                raise ValueError(f"{low} is greater than {high}")


def _both_lengths(length: float) -> str:
    return f"{1000 * length:.1f} mm ({length / 0.0254:.3g} in)"


_ROUNDED: Final = 1.01  # handbooks round their figures


class PanelSection(BaseModel):
    """Section properties of one thickness, along (par) and across (perp) the face grain, per width."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    thickness: Length
    I_par: SectionI
    S_par: SectionS
    IbQ_par: SectionIbQ
    I_perp: SectionI
    S_perp: SectionS
    IbQ_perp: SectionIbQ
    source: str

    @model_validator(mode="after")
    def _no_more_than_solid(self) -> Self:
        """No layup has more than a solid slab of its thickness: I = t³/12, S = t²/6, Ib/Q below t, per width."""
        t = self.thickness * _ROUNDED
        for name, most in (("I", t**3 / 12), ("S", t**2 / 6), ("IbQ", t)):
            for way in ("par", "perp"):
                if getattr(self, f"{name}_{way}") > most:
                    raise ValueError(f"{name}_{way} is more than a solid panel of that thickness has")
        return self


class PanelKind(Row):
    """A kind of deck panel: material values, and section properties by thickness."""

    label: str
    G: Share
    E: WoodStiffness
    MOR_mean: WoodStress
    MOR_cov: Share
    F_b: WoodStress
    rolling_shear_mean: WoodStress
    rolling_shear_cov: Share
    F_s: WoodStress
    bearing_allowable: WoodStress
    f_c90_k: WoodStress
    dowel_bearing: WoodStress
    density: Density
    sections: tuple[PanelSection, ...]

    def section(self, thickness: float) -> PanelSection:
        """Row nearest to `thickness` [m] of those at most 2 % thicker and at most 8 % thinner."""
        fits = [row for row in self.sections if thickness * 0.92 <= row.thickness <= thickness * 1.02]
        if not fits:
            listed = [_both_lengths(row.thickness) for row in self.sections]
            raise UnknownName(f"thickness of {self.name}", _both_lengths(thickness), listed)
        return min(fits, key=lambda row: abs(row.thickness - thickness))


class Condition(Row):
    """What a layer's condition leaves of its strengths."""

    carries: bool
    withdrawal: Share
    lateral: Share
    pull_through: Share
    bearing: Share
    bending: Share
    rolling_shear: Share
    advice: str


class Screw(Row):
    """A screw by kind and size."""

    kind: Literal["wood screw", "lag screw", "self-drilling"]
    size: str
    D: Length
    D_root: Length
    D_head: Length
    F_yb: SteelStress
    F_u: SteelStress
    thread_fraction: Share

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        self._in_order("D_root", "D", "D_head")
        return self


class Thread(Row):
    """A bolt's thread and its nut."""

    series: Literal["inch", "metric"]
    D: Length
    pitch: Length
    d_nut: Length
    nut_height: Length
    locking_nut_height: Length

    @property
    def A_s(self) -> float:  # noqa: N802 - the symbol of its source
        """Tensile stress area [m²]."""
        from anchorcalc.mechanics.bolts import tensile_stress_area_inch, tensile_stress_area_metric

        area = tensile_stress_area_inch if self.series == "inch" else tensile_stress_area_metric
        return float(area(self.D, self.pitch))

    @property
    def A_root(self) -> float:  # noqa: N802
        """Area at the root of the thread [m²]."""
        from anchorcalc.mechanics.bolts import root_area

        return float(root_area(self.D, self.pitch))


class BoltGrade(Row):
    """Least strengths of a bolt grade."""

    series: Literal["inch", "metric"]
    proof: SteelStress
    yield_strength: SteelStress
    tensile: SteelStress
    up_to: Length

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        self._in_order("proof", "yield_strength", "tensile")
        return self


class Washer(Row):
    """A stock washer."""

    bolt: str
    inside: Length
    outside: Length
    thickness: Length
    thickness_least: Length
    steel: str

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        self._in_order("inside", "outside")
        self._in_order("thickness_least", "thickness")
        return self


class Steel(Row):
    """A steel or aluminium by its least strengths."""

    F_y: SteelStress
    F_u: SteelStress
    E: SteelStiffness
    density: Density

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        self._in_order("F_y", "F_u")
        return self


class PlateStock(Row):
    """Thicknesses and side lengths of flat stock, least first."""

    series: Literal["inch", "metric"]
    thicknesses: Annotated[tuple[Length, ...], Field(min_length=1)]
    sides: Annotated[tuple[Length, ...], Field(min_length=1)]


class Member(Row):
    """A cross-member section; `width` is the face the deck lies on, `thickness` that of its leg or wall."""

    shape: Literal["angle", "channel", "tube"]
    depth: Length
    width: Length
    thickness: Length
    S: Modulus

    @model_validator(mode="after")
    def _no_more_than_solid(self) -> Self:
        if self.thickness > min(self.depth, self.width) / 2:
            raise ValueError("thickness is more than half of the section")
        solid = self.width * self.depth**2 / 6
        if _ROUNDED * solid < self.S:
            raise ValueError("S is more than a solid bar of that size has, width x depth² / 6")
        return self


class Strap(Row):
    """Default values of a tie-down nobody marked."""

    kind: Literal["webbing", "chain", "wire rope", "rope"]
    size: Length
    grade: str
    rated: Force
    stretch: Annotated[float, Field(ge=0.001, le=0.5, allow_inf_nan=False)]
    hand_tension: ForceOrNone


_Acceleration = Annotated[float, Field(ge=-5, le=5, allow_inf_nan=False)]
_WAYS: Final = {
    "forward": (1, 0, 0), "rearward": (-1, 0, 0), "left": (0, 1, 0), "right": (0, -1, 0), "upward": (0, 0, 1),
}  # fmt: skip
_LEAST_PUSH: Final = 0.1


class LoadCase(BaseModel):
    """One direction at one level; `acceleration` is the push on the load in g."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    case: Literal["forward", "rearward", "left", "right", "upward"]
    level: Literal["breaking", "working"]
    acceleration: tuple[_Acceleration, _Acceleration, _Acceleration]
    gravity: bool
    source: str

    @model_validator(mode="after")
    def _pushes_the_way_it_says(self) -> Self:
        along = sum(part * way for part, way in zip(self.acceleration, _WAYS[self.case], strict=True))
        if along < _LEAST_PUSH or along < max(map(abs, self.acceleration)):
            raise ValueError(f"{self.case} does not push {self.case} by at least {_LEAST_PUSH} g")
        return self


class SumRule(BaseModel):
    """Sum of counted working limits against a share of the weight."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    fraction_of_weight: Annotated[float, Field(gt=0, le=2, allow_inf_nan=False)]
    direct_counts: Share
    over_counts: Share
    source: str


class LightVehicleRule(BaseModel):
    """Counts for cars, light trucks and vans."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    kinds: tuple[str, ...]
    heaviest: Weight
    least: int
    least_each_end: int
    recommended: int
    source: str


class HeavyRule(BaseModel):
    """Counts for heavy vehicles and machines."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    least: int
    source: str


class GeneralCountRule(BaseModel):
    """Tie-downs by the length of a load that is not blocked forward."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    short_length: Length
    short_weight: Weight
    step: Length
    source: str


RatedKind = Literal["webbing", "chain", "wire rope", "rope", "hardware"]


class OlderSumRule(BaseModel):
    """The sum rule as it was told before working load limits: breaking strengths against the weight."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    breaking_over_weight: Annotated[float, Field(gt=0)]
    source: str


class RuleSet(Row):
    """The criteria of one jurisdiction, and the factors that are ours."""

    title: str
    note: str
    design_factor: Annotated[float, Field(ge=2, le=20)]
    duration_factor: Annotated[float, Field(ge=1, le=1.6)]
    pass_below: Share
    fail_above: Share
    breaking_over_rated: dict[RatedKind, Annotated[float, Field(ge=1, le=5)]]
    unmarked_counts: bool
    cases: tuple[LoadCase, ...]
    rule_of_thumb: SumRule
    older_rule: OlderSumRule | None = None
    general: GeneralCountRule
    light_vehicle: LightVehicleRule
    heavy: HeavyRule
    rechecks: tuple[str, ...]
    cautions: tuple[str, ...]

    @model_validator(mode="after")
    def _whole(self) -> Self:
        self._in_order("pass_below", "fail_above")
        missing = [kind for kind in get_args(RatedKind) if kind not in self.breaking_over_rated]
        if missing:
            raise ValueError(f"breaking_over_rated lacks {', '.join(missing)}")
        unasked = sorted(_WAYS.keys() - {case.case for case in self.cases})
        if unasked:
            raise ValueError(f"cases lacks {', '.join(unasked)}")
        return self


class Factor(Row):
    """A single value used by the load path, and why."""

    value: float | str
    dimension: Dimension | Literal["number"]
    why: str

    @property
    def number(self) -> float:
        """The value in SI."""
        if self.dimension == "number":
            try:
                return float(self.value)
            except ValueError:
                raise ValueError(f"value {self.value!r} is no plain number") from None
        return parse_quantity(str(self.value), self.dimension)

    @model_validator(mode="after")
    def _readable(self) -> Self:
        if not isfinite(self.number):
            raise ValueError("value is not finite")
        return self


class UsualRange(Row):
    """What is usual for a quantity; outside it is warned about."""

    least: str
    most: str
    dimension: Dimension

    def limits(self) -> tuple[float, float]:
        """The two ends in SI."""
        return parse_quantity(self.least, self.dimension), parse_quantity(self.most, self.dimension)

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        least, most = self.limits()
        if least > most:
            raise ValueError("least is greater than most")
        return self


class BoltLengths(Row):
    """Stock lengths of one thread series, and how much of a bolt is threaded."""

    lengths: tuple[Length, ...] = Field(min_length=1)
    thread_short: Length
    thread_long: Length
    short_up_to: Length

    def thread_length(self, D: float, L: float) -> float:
        """Threaded part of a bolt of diameter `D` and length `L` under the head [m]."""
        extra = self.thread_short if self.short_up_to >= L else self.thread_long
        return min(L, 2 * D + extra)

    @model_validator(mode="after")
    def _rising(self) -> Self:
        if any(low >= high for low, high in pairwise(self.lengths)):
            raise ValueError("lengths do not rise")
        return self


class DrillHole(Row):
    """What to drill for a bolt (through) or a screw (`drill` for its thread, `shank` for its shank)."""

    kind: Literal["bolt", "wood screw", "lag screw"]
    drill: Length
    most: Length
    shank: Length | None = None

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        self._in_order("drill", "most")
        return self
