"""The rows of the tables: one typed model per table, frozen, checked as it is read; SI floats inside."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from itertools import pairwise
from math import isfinite
from typing import Annotated, ClassVar, Final, Literal, Self

from pydantic import BeforeValidator, Field, model_validator
from pydantic.json_schema import SkipJsonSchema

from anchorcalc.catalog.values import (
    AcrossStrength,
    BendingStrength,
    Density,
    Diameter,
    DowelStrength,
    Force,
    ForceOrNone,
    Frozen,
    Gravity,
    Length,
    PanelThickness,
    Scatter,
    SectionI,
    SectionIbQ,
    SectionS,
    Share,
    ShearStrength,
    SteelStiffness,
    SteelStress,
    WoodDensity,
    WoodStiffness,
    between,
)
from anchorcalc.names import Name, meant
from anchorcalc.units import Dimension, parse_quantity


class UnknownName(LookupError):  # noqa: N818 - says what it is
    """A name no table has."""

    def __init__(self, kind: str, name: str, allowed: Iterable[str], near: Iterable[str] = ()) -> None:
        self.kind, self.name, self.allowed = kind, name, sorted(allowed)
        super().__init__(f"no {kind} {name!r}{meant(name, self.allowed, near)} Known: {', '.join(self.allowed)}")


class Row(Frozen):
    """A row of a table."""

    SAME: ClassVar[str] = ""
    """What two rows of one thing have in common, for a sentence; empty where the name alone tells rows apart."""

    name: Name
    source: Name
    own_file: SkipJsonSchema[str | None] = None  # set when the row comes from a user's own table

    def is_twin_of(self, other: Self) -> bool:
        """Whether both stand for one thing under two names, so that one could take the other's place unseen."""
        return False

    def _in_order(self, *names: str) -> None:
        """Refuse a row whose fields `names` do not rise, or stay, in that order."""
        for low, high in pairwise(names):
            if getattr(self, low) > getattr(self, high):
                raise ValueError(f"{low} is greater than {high}")

    def _times(self, diameter: float, **ends: tuple[float, float]) -> None:
        """Refuse a row whose lengths do not lie between these multiples of `diameter`."""
        for name, (least, most) in ends.items():
            if not least <= getattr(self, name) / diameter <= most:
                raise ValueError(f"{name} is not between {least:.2g} and {most:.2g} times D")


def alike(*pairs: tuple[float, float]) -> bool:
    """Whether the lengths of each pair are one, but for rounding."""
    return all(max(pair) <= min(pair) * ROUNDED for pair in pairs)


def _plain(text: str) -> str:
    """`text` without what does not tell two sizes or grades apart."""
    return "".join(text.casefold().split())


def _both_lengths(length: float) -> str:
    return f"{1000 * length:.1f} mm ({length / 0.0254:.3g} in)"


ROUNDED: Final = 1.01
"""Handbooks round their figures."""
SAME_SIZE: Final = 1.02
"""A tie-down this much wider than said still counts as that size: 50 mm as 2 in [judgement]."""
_ONE_LENGTH: Final = 1e-6  # [m]
_WATER: Final = 9806.65  # its weight [N/m³]
_STRONGEST_WEBBING: Final = 0.7e6  # [N/m]: 75 mm of lashing capacity 5000 daN, EN 12195-2 [from memory]
_STRONGEST_ROUND: Final = (
    600e6  # [Pa] on the square of the size: chain of grade 100 has up to 475 [computed from its row]
)
_LEAST_LEFT: Final = 0.01  # of a strength; wood that keeps less carries nothing


class PanelSection(Frozen):
    """Section properties of one thickness, along (par) and across (perp) the face grain, per width."""

    thickness: PanelThickness
    I_par: SectionI
    S_par: SectionS
    IbQ_par: SectionIbQ
    I_perp: SectionI
    S_perp: SectionS
    IbQ_perp: SectionIbQ
    source: Name

    @property
    def planks(self) -> bool:
        """Whether nothing carries across the grain: boards side by side, solid wood and no plies."""
        return self.I_perp == 0

    @model_validator(mode="after")
    def _no_more_than_solid(self) -> Self:
        """No layup has more than a solid slab of its thickness: I = t³/12, S = t²/6, Ib/Q below t, per width."""
        t = self.thickness * ROUNDED
        for name, most in (("I", t**3 / 12), ("S", t**2 / 6), ("IbQ", t)):
            for way in ("par", "perp"):
                if getattr(self, f"{name}_{way}") > most:
                    raise ValueError(f"{name}_{way} is more than a solid panel of that thickness has")
        return self

    @model_validator(mode="after")
    def _carries_along_its_grain(self) -> Self:
        """Planks carry nothing across; along their grain everything carries something."""
        if not all((self.I_par, self.S_par, self.IbQ_par)):
            raise ValueError("I_par, S_par and IbQ_par are more than 0: every panel carries along its face grain")
        across = (self.I_perp, self.S_perp, self.IbQ_perp)
        if any(across) and not all(across):
            raise ValueError("I_perp, S_perp and IbQ_perp are all 0, as of planks, or none of them is")
        return self


class PanelKind(Row):
    """A kind of deck panel: material values, and section properties by thickness."""

    label: Name
    G: Gravity
    E: WoodStiffness
    MOR_mean: BendingStrength
    MOR_cov: Scatter
    F_b: BendingStrength
    rolling_shear_mean: ShearStrength
    rolling_shear_cov: Scatter
    F_s: ShearStrength
    bearing_allowable: AcrossStrength
    f_c90_k: AcrossStrength
    dowel_bearing: DowelStrength
    density: WoodDensity
    strands: bool | None = Field(None, description="of strands, as OSB, or of plies; not said: the worse of both")
    sections: tuple[PanelSection, ...] = Field(min_length=1)

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        self._in_order("F_b", "MOR_mean")
        self._in_order("F_s", "rolling_shear_mean")
        if ROUNDED * self.density < self.G * _WATER:
            raise ValueError(
                "G is more than the density allows: G times that of water is the wood without its moisture"
            )
        return self

    @model_validator(mode="after")
    def _each_thickness_once(self) -> Self:
        thicknesses = sorted(row.thickness for row in self.sections)
        if any(high - low < _ONE_LENGTH for low, high in pairwise(thicknesses)):
            raise ValueError("sections has one thickness twice: which of the two rows holds?")
        return self

    def section(self, thickness: float) -> PanelSection:
        """Row nearest to `thickness` [m] of those at most 2 % thicker and at most 8 % thinner."""
        fits = [row for row in self.sections if thickness * 0.92 <= row.thickness <= thickness * 1.02]
        if not fits:
            known = sorted(row.thickness for row in self.sections)
            near = [*[t for t in known if t < thickness][-1:], *[t for t in known if t > thickness][:1]]
            listed, beside = ([_both_lengths(t) for t in some] for some in (known, near))
            raise UnknownName(f"thickness of {self.name}", _both_lengths(thickness), listed, beside)
        return min(fits, key=lambda row: abs(row.thickness - thickness))


class Timber(Row):
    """Sawn wood that cross-members are made of: fifth percentiles of short tests, and allowable stresses."""

    label: Name
    G: Gravity
    E: WoodStiffness
    F_b: BendingStrength
    bending_5: BendingStrength
    F_v: ShearStrength
    shear_5: ShearStrength
    bearing_allowable: AcrossStrength
    f_c90_k: AcrossStrength

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        self._in_order("F_b", "bending_5")
        self._in_order("F_v", "shear_5")
        return self


class Condition(Row):
    """What a layer's condition leaves of its strengths."""

    carries: bool
    withdrawal: Share
    lateral: Share
    pull_through: Share
    bearing: Share
    bending: Share
    rolling_shear: Share
    advice: Name

    @model_validator(mode="after")
    def _carries_something(self) -> Self:
        for name in ("withdrawal", "lateral", "pull_through", "bearing", "bending", "rolling_shear"):
            if self.carries and getattr(self, name) < _LEAST_LEFT:
                raise ValueError(f"{name} is below {_LEAST_LEFT}: wood that keeps so little has carries: false")
        return self


class Screw(Row):
    """A screw by kind and size."""

    SAME = "kind and size"

    kind: Literal["wood screw", "lag screw", "self-drilling"]
    size: Name
    D: Diameter
    D_root: Diameter
    D_head: Length
    F_yb: SteelStress
    F_u: SteelStress
    thread_fraction: Annotated[float, between(0.1, 1)]
    lengths: tuple[Length, ...] = ()
    threads: tuple[Length, ...] = ()

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        self._in_order("D_root", "D", "D_head")
        self._times(self.D, D_head=(1, 5))
        return self

    def is_twin_of(self, other: Self) -> bool:
        """By kind and size, which a scenario names."""
        return self.kind == other.kind and _plain(self.size) == _plain(other.size)

    @model_validator(mode="after")
    def _threads_fit(self) -> Self:
        if len(self.lengths) != len(self.threads):
            raise ValueError("lengths and threads are not equally many")
        for name in ("lengths", "threads"):
            if any(low >= high for low, high in pairwise(getattr(self, name))):
                raise ValueError(f"{name} do not rise")
        if any(thread > length for length, thread in zip(self.lengths, self.threads, strict=True)):
            raise ValueError("a thread is longer than its screw")
        return self

    def thread_length(self, L: float) -> float:
        """Threaded part of a screw `L` long, its point in it [m]: by the table where there is one."""
        if not self.lengths:
            return self.thread_fraction * L
        from anchorcalc.mechanics.screws import thread_length

        return float(thread_length(L, self.lengths, self.threads))


class Thread(Row):
    """A bolt's thread and its nut."""

    SAME = "series, diameter and pitch"

    series: Literal["inch", "metric"]
    D: Diameter
    pitch: Length
    d_nut: Length
    nut_height: Length
    locking_nut_height: Length

    def is_twin_of(self, other: Self) -> bool:
        """By diameter and pitch."""
        return self.series == other.series and alike((self.D, other.D), (self.pitch, other.pitch))

    @model_validator(mode="after")
    def _in_proportion(self) -> Self:
        """No thread is coarser than a third of its diameter; nuts with a flange reach to 2.2 D or so."""
        self._times(self.D, pitch=(1 / 30, 1 / 3), d_nut=(1.2, 2.5), nut_height=(0.2, 3), locking_nut_height=(0.2, 3))
        return self

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
    in_shops: bool = False
    """Whether a hardware shop has it."""

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        self._in_order("proof", "yield_strength", "tensile")
        return self


class Washer(Row):
    """A stock washer."""

    SAME = "bolt, size and steel"

    bolt: Name
    inside: Length
    outside: Length
    thickness: Length
    thickness_least: Length
    steel: Name

    def is_twin_of(self, other: Self) -> bool:
        """By its bolt, its nominal size and its steel."""
        sizes = (self.outside, other.outside), (self.thickness, other.thickness)
        return (self.bolt, self.steel) == (other.bolt, other.steel) and alike(*sizes)

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
    in_shops: bool = False
    """Whether a hardware shop has flat stock of it."""
    welded: Name | None = None
    """Row of what it is within an inch of a weld, where that is weaker."""

    @property
    def aluminium(self) -> bool:
        """Whether it is an alloy of aluminium, by its stiffness: a third of steel's."""
        return self.E < 100e9

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        self._in_order("F_y", "F_u")
        return self


class Strap(Row):
    """Default values of a tie-down nobody marked."""

    SAME = "kind, size and grade"

    kind: Literal["webbing", "chain", "wire rope", "rope"]
    size: Length
    grade: Name
    rated: Force
    stretch: Annotated[float, between(0.001, 0.5)]
    hand_tension: ForceOrNone

    def is_twin_of(self, other: Self) -> bool:
        """By kind, grade and a size that a scenario's could be taken for."""
        sizes = sorted((self.size, other.size))
        alike = (self.kind, _plain(self.grade)) == (other.kind, _plain(other.grade))
        return alike and sizes[1] <= sizes[0] * SAME_SIZE

    @model_validator(mode="after")
    def _no_more_than_any(self) -> Self:
        webbing = self.kind == "webbing"
        most = _STRONGEST_WEBBING * self.size if webbing else _STRONGEST_ROUND * self.size**2
        if self.rated > most:
            raise ValueError(f"rated is more than any {self.kind} of that {'width' if webbing else 'size'} is rated")
        return self


def _as_text(value: object) -> object:
    """A number of the shipped tables, which are read as YAML has them, as the text that it was."""
    return str(value) if isinstance(value, int | float) else value


class Factor(Row):
    """A single value used by the load path, and why."""

    value: Annotated[str, BeforeValidator(_as_text)]
    dimension: Dimension | Literal["number"]
    why: Name

    @property
    def number(self) -> float:
        """The value in SI."""
        return _number(self.value, self.dimension)

    @model_validator(mode="after")
    def _readable(self) -> Self:
        if not isfinite(self.number):
            raise ValueError("value is not finite")
        return self


@cache
def _number(text: str, dimension: Dimension | Literal["number"]) -> float:
    if dimension != "number":
        return parse_quantity(text, dimension)
    try:
        return float(text)
    except ValueError:
        raise ValueError(f"value {text!r} is no plain number") from None
