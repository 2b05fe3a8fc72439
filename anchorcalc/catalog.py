"""The tables as typed rows: panels, fasteners, steels, straps, rule sets; each row with its source.

Quantities are texts with units in the files and SI floats here. A user's own folders of tables add rows under
the same schema; a name that stands in two files is an error, and a row from outside is marked as the user's own.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from difflib import get_close_matches
from functools import cached_property
from pathlib import Path
from typing import Annotated, Any, Literal, TypeVar

import yaml
from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationError

from anchorcalc.resources import data_folder
from anchorcalc.units import Dimension, parse_quantity


class CatalogError(Exception):
    """A table that cannot be read, or whose rows do not fit; the message names file and row."""


class UnknownName(LookupError):
    """A name no table has."""

    def __init__(self, kind: str, name: str, allowed: Iterable[str]) -> None:
        self.kind, self.name, self.allowed = kind, name, sorted(allowed)
        nearest = get_close_matches(name, self.allowed, 1, 0.5)
        hint = f"; did you mean {nearest[0]!r}?" if nearest else ""
        super().__init__(f"no {kind} {name!r}{hint} Known: {', '.join(self.allowed)}")


def _of(dimension: Dimension) -> Any:
    def read(value: Any) -> float:
        if not isinstance(value, str):
            raise ValueError(f"a {dimension} with its unit is wanted, not {value!r}")  # noqa: TRY004
        return parse_quantity(value, dimension)

    return Annotated[float, BeforeValidator(read), Field(ge=0)]


Length, Force, Stress = _of("length"), _of("force"), _of("pressure")
Density = _of("weight_density")
SectionI, SectionS, SectionIbQ = _of("inertia_per_width"), _of("modulus_per_width"), _of("area_per_width")
Modulus, Inertia = _of("section_modulus"), _of("inertia")
Share = Annotated[float, Field(ge=0)]


class Row(BaseModel):
    """A row of a table."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    name: str
    source: str
    own_file: str | None = None  # set when the row comes from a user's own table


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


class PanelKind(Row):
    """A kind of deck panel: material values, and section properties by thickness."""

    label: str
    G: Share
    E: Stress
    MOR_mean: Stress
    MOR_cov: Share
    F_b: Stress
    rolling_shear_mean: Stress
    rolling_shear_cov: Share
    F_s: Stress
    bearing_allowable: Stress
    f_c90_k: Stress
    dowel_bearing: Stress
    density: Density
    sections: tuple[PanelSection, ...]

    def section(self, thickness: float) -> PanelSection:
        """Row for `thickness` [m]: the thickest listed that is no thicker (2 % allowed) and at most 8 % thinner."""
        fits = [row for row in self.sections if thickness * 0.92 <= row.thickness <= thickness * 1.02]
        if not fits:
            listed = [f"{1000 * row.thickness:.1f} mm ({row.thickness / 0.0254:.3g} in)" for row in self.sections]
            raise UnknownName(f"thickness of {self.name}", f"{1000 * thickness:.1f} mm", listed)
        return max(fits, key=lambda row: row.thickness)


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
    F_yb: Stress
    F_u: Stress
    thread_fraction: Share


class Thread(Row):
    """A bolt's thread and its nut."""

    series: Literal["inch", "metric"]
    D: Length
    pitch: Length
    d_nut: Length
    nut_height: Length
    locking_nut_height: Length

    @property
    def A_s(self) -> float:
        """Tensile stress area [m²]."""
        from anchorcalc.mechanics.bolts import tensile_stress_area_inch, tensile_stress_area_metric

        area = tensile_stress_area_inch if self.series == "inch" else tensile_stress_area_metric
        return float(area(self.D, self.pitch))

    @property
    def A_root(self) -> float:
        """Area at the root of the thread [m²]."""
        from anchorcalc.mechanics.bolts import root_area

        return float(root_area(self.D, self.pitch))


class BoltGrade(Row):
    """Least strengths of a bolt grade."""

    series: Literal["inch", "metric"]
    proof: Stress
    yield_strength: Stress
    tensile: Stress
    up_to: Length


class Washer(Row):
    """A stock washer."""

    bolt: str
    inside: Length
    outside: Length
    thickness: Length
    thickness_least: Length
    steel: str


class Steel(Row):
    """A steel or aluminium by its least strengths."""

    F_y: Stress
    F_u: Stress
    E: Stress
    density: Density


class Member(Row):
    """A cross-member section; `width` is the face the deck lies on, `thickness` that of its leg or wall."""

    shape: Literal["angle", "channel", "tube"]
    depth: Length
    width: Length
    thickness: Length
    S: Modulus


class Strap(Row):
    """Default values of a tie-down nobody marked."""

    kind: Literal["webbing", "chain", "wire rope", "rope"]
    size: Length
    grade: str
    rated: Force
    stretch: Annotated[float, Field(gt=0)]
    hand_tension: Force


class LoadCase(BaseModel):
    """One direction at one level; `acceleration` is the push on the load in g."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    case: Literal["forward", "rearward", "left", "right", "upward"]
    level: Literal["breaking", "working"]
    acceleration: tuple[float, float, float]
    gravity: bool
    source: str


class SumRule(BaseModel):
    """Sum of counted working limits against a share of the weight."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    fraction_of_weight: Share
    direct_counts: Share
    over_counts: Share
    source: str


class LightVehicleRule(BaseModel):
    """Counts for cars, light trucks and vans."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    kinds: tuple[str, ...]
    heaviest: _of("weight")  # type: ignore[valid-type]
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
    short_weight: _of("weight")  # type: ignore[valid-type]
    step: Length
    source: str


class RuleSet(Row):
    """The criteria of one jurisdiction, and the factors that are ours."""

    title: str
    note: str
    design_factor: Annotated[float, Field(ge=1)]
    duration_factor: Annotated[float, Field(ge=1, le=1.6)]
    pass_below: Share
    fail_above: Share
    breaking_over_rated: dict[Literal["webbing", "chain", "wire rope", "rope", "hardware"], float]
    unmarked_counts: bool
    cases: tuple[LoadCase, ...]
    rule_of_thumb: SumRule
    general: GeneralCountRule
    light_vehicle: LightVehicleRule
    heavy: HeavyRule
    rechecks: tuple[str, ...]
    cautions: tuple[str, ...]


class Factor(Row):
    """A single value used by the load path, and why."""

    value: float | str
    dimension: Dimension | Literal["number"]
    why: str

    @property
    def number(self) -> float:
        """The value in SI."""
        return float(self.value) if self.dimension == "number" else parse_quantity(str(self.value), self.dimension)


class UsualRange(Row):
    """What is usual for a quantity; outside it is warned about."""

    least: str
    most: str
    dimension: Dimension

    def limits(self) -> tuple[float, float]:
        """The two ends in SI."""
        return parse_quantity(self.least, self.dimension), parse_quantity(self.most, self.dimension)


R = TypeVar("R", bound=Row)


class Catalog:
    """All tables, each read when first asked for."""

    def __init__(self, own_folders: Sequence[Path] = ()) -> None:
        self._folders = [(data_folder("tables"), False), *((folder, True) for folder in own_folders)]
        self.own_rows_used: dict[str, str] = {}

    def panel(self, name: str) -> PanelKind:
        """Panel kind by name."""
        return self._find(self.panels, "panel", name)

    def condition(self, name: str) -> Condition:
        """Condition of the wood by name."""
        return self._find(self.conditions, "condition", name)

    def screw(self, kind: str, size: str) -> Screw:
        """Screw by kind and size, such as wood screw, #14."""
        of_kind = {row.size: row for row in self.screws.values() if row.kind == kind}
        return self._find(of_kind, f"{kind} of size", size)

    def screw_named(self, name: str) -> Screw:
        """Screw by full name, such as '#12 self-drilling'."""
        return self._find(self.screws, "screw", name)

    def thread(self, name: str) -> Thread:
        """Bolt thread by name."""
        return self._find(self.threads, "bolt size", name)

    def bolt_grade(self, name: str) -> BoltGrade:
        """Bolt grade by name."""
        return self._find(self.bolt_grades, "bolt grade", name)

    def steel(self, name: str) -> Steel:
        """Steel by name."""
        return self._find(self.steels, "steel", name)

    def member(self, name: str) -> Member:
        """Cross-member section by name."""
        return self._find(self.members, "cross-member section", name)

    def strap(self, kind: str, size: float, grade: str | None) -> Strap:
        """Default row of a tie-down: the widest listed that is no wider than `size` [m]; grade None is the weakest."""
        rows = [row for row in self.straps.values() if row.kind == kind and (grade is None or row.grade == grade)]
        if not rows:
            grades = {row.grade for row in self.straps.values() if row.kind == kind}
            raise UnknownName(f"{kind} of grade", grade or "", grades)
        fits = [row for row in rows if row.size <= size * 1.02]
        if not fits:
            sizes = [f"{row.size / 0.0254:.4g} in" for row in rows]
            raise UnknownName(f"{kind} of size", f"{size / 0.0254:.4g} in", sizes)
        row = max(fits, key=lambda fit: (fit.size, -fit.rated))
        return self._mark(row)

    def factor(self, name: str) -> float:
        """Single value by name [SI]."""
        return self.factors[name].number

    def rule_set(self, name: str) -> RuleSet:
        """Rule set by name."""
        return self._find(self.rule_sets, "rule set", name)

    @cached_property
    def panels(self) -> dict[str, PanelKind]:
        """Panel kinds."""
        return self._read("panels.yaml", PanelKind)

    @cached_property
    def conditions(self) -> dict[str, Condition]:
        """Conditions of the wood."""
        return self._read("conditions.yaml", Condition)

    @cached_property
    def screws(self) -> dict[str, Screw]:
        """Screws."""
        return self._read("screws.yaml", Screw)

    @cached_property
    def threads(self) -> dict[str, Thread]:
        """Bolt threads."""
        return self._read("threads.yaml", Thread)

    @cached_property
    def bolt_grades(self) -> dict[str, BoltGrade]:
        """Bolt grades."""
        return self._read("bolt_grades.yaml", BoltGrade)

    @cached_property
    def washers(self) -> dict[str, Washer]:
        """Stock washers."""
        return self._read("washers.yaml", Washer)

    @cached_property
    def steels(self) -> dict[str, Steel]:
        """Steels and aluminium alloys."""
        return self._read("steels.yaml", Steel)

    @cached_property
    def members(self) -> dict[str, Member]:
        """Cross-member sections."""
        return self._read("members.yaml", Member)

    @cached_property
    def straps(self) -> dict[str, Strap]:
        """Tie-downs."""
        return self._read("straps.yaml", Strap)

    @cached_property
    def factors(self) -> dict[str, Factor]:
        """Single values."""
        return self._read("factors.yaml", Factor)

    @cached_property
    def usual_ranges(self) -> dict[str, UsualRange]:
        """Usual ranges of what people type."""
        return self._read("usual_ranges.yaml", UsualRange)

    @cached_property
    def rule_sets(self) -> dict[str, RuleSet]:
        """Rule sets, one file each."""
        found: dict[str, RuleSet] = {}
        for folder, own in self._folders:
            for path in sorted((folder / "rules").glob("*.yaml")):
                self._add(found, path, [_load(path)], RuleSet, own)
        return found

    def _read(self, file: str, model: type[R]) -> dict[str, R]:
        found: dict[str, R] = {}
        for folder, own in self._folders:
            path = folder / file
            if path.is_file():
                self._add(found, path, _load(path), model, own)
        return found

    def _add(self, found: dict[str, R], path: Path, rows: Any, model: type[R], own: bool) -> None:
        if not isinstance(rows, list):
            raise CatalogError(f"{path}: a list of rows is wanted")
        for number, raw in enumerate(rows, start=1):
            name = raw.get("name", f"row {number}") if isinstance(raw, dict) else f"row {number}"
            try:
                row = model.model_validate({**raw, "own_file": str(path)} if own else raw)
            except (ValidationError, TypeError) as error:
                raise CatalogError(f"{path}: {name}: {_reason(error)}") from None
            if row.name in found:
                raise CatalogError(f"{path}: {row.name!r} is already in {found[row.name].own_file or 'the shipped tables'}")
            found[row.name] = row

    def _find(self, rows: dict[str, R], kind: str, name: str) -> R:
        if name not in rows:
            raise UnknownName(kind, name, rows)
        return self._mark(rows[name])

    def _mark(self, row: R) -> R:
        if row.own_file is not None:
            self.own_rows_used[row.name] = row.own_file
        return row


def _load(path: Path) -> Any:
    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    try:
        return yaml.load(path.read_bytes(), Loader=loader)  # noqa: S506 - the C twin of SafeLoader
    except (OSError, yaml.YAMLError, UnicodeDecodeError) as error:
        raise CatalogError(f"{path}: {' '.join(str(error).split())}") from None


def _reason(error: ValidationError | TypeError) -> str:
    if isinstance(error, TypeError):
        return "a row must be a mapping"
    first = error.errors(include_url=False)[0]
    place = ".".join(str(part) for part in first["loc"])
    return f"{place}: {first['msg'].removeprefix('Value error, ')}"
