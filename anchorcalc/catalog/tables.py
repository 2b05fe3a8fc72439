"""The tables as typed rows: panels, fasteners, steels, straps, rule sets; each row with its source.

Quantities are texts with units in the files and SI floats here. A user's own folders of tables add rows
under the same schema; a name that stands in two files is an error, and a row from outside is marked as the
user's own.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import yaml
from pydantic import RootModel, ValidationError

from anchorcalc.catalog.member_rows import Member
from anchorcalc.catalog.ranges import UsualRange
from anchorcalc.catalog.rows import (
    SAME_SIZE,
    BoltGrade,
    Condition,
    Factor,
    PanelKind,
    PanelSection,
    Row,
    Screw,
    Steel,
    Strap,
    Thread,
    Timber,
    UnknownName,
    Washer,
)
from anchorcalc.catalog.rules import LoadCase, RuleSet
from anchorcalc.catalog.shop_rows import BoltLengths, DrillHole, PlateStock, Typical, Yardstick
from anchorcalc.resources import data_folder

__all__ = [
    "BoltGrade",
    "BoltLengths",
    "Catalog",
    "CatalogError",
    "Condition",
    "DrillHole",
    "Factor",
    "LoadCase",
    "Member",
    "PanelKind",
    "PanelSection",
    "PlateStock",
    "Row",
    "RuleSet",
    "Screw",
    "Steel",
    "Strap",
    "Thread",
    "Timber",
    "Typical",
    "UnknownName",
    "UsualRange",
    "Washer",
]


class CatalogError(Exception):
    """No folder of tables, a file in it that is none, or shipped tables that do not fit."""


R = TypeVar("R", bound=Row)

if TYPE_CHECKING:
    _Safe = yaml.SafeLoader
else:
    _Safe = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class Catalog:
    """All tables, each read when first asked for.

    Raises
    ------
    CatalogError
        A folder of `own_folders` that is none, or holds a file that is not a table.
    InputFaults
        Everything that is wrong in one of the files of `own_folders`, each with its place.
    """

    def __init__(self, own_folders: Sequence[Path] = ()) -> None:
        shipped = data_folder("tables")
        for folder in own_folders:
            _check_own_folder(folder, shipped)
        self._folders = [(shipped, False), *((folder, True) for folder in own_folders)]
        for table in _tables_in(own_folders):
            getattr(self, table)  # a fault in a table of one's own is told whether or not it is used

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

    @property
    def hold_down_screws(self) -> list[Screw]:
        """Screws that cut their thread in steel, so that they hold a deck down to its cross-members."""
        return [row for row in self.screws.values() if row.kind == "self-drilling"]

    @property
    def screws_for_wood(self) -> list[Screw]:
        """Screws that hold a deck down to cross-members of wood."""
        return [row for row in self.screws.values() if row.kind != "self-drilling"]

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

    def wood(self, name: str) -> Timber:
        """Sawn wood by name."""
        return self._find(self.timber, "sawn wood", name)

    def strap(self, kind: str, size: float, grade: str | None) -> Strap:
        """Default row of a tie-down: the widest no wider than `size` [m]; grade None is the weakest of that width."""
        of_kind = [row for row in self.straps.values() if row.kind == kind]
        rows = [row for row in of_kind if grade is None or row.grade == grade]
        if not rows:
            raise UnknownName(f"{kind} of grade", grade or "", {row.grade for row in of_kind})
        fits = [row for row in rows if row.size <= size * SAME_SIZE]
        if not fits:
            sizes = [f"{row.size / 0.0254:.4g} in" for row in rows]
            raise UnknownName(f"{kind} of size", f"{size / 0.0254:.4g} in", sizes)
        widest = max(row.size for row in fits)
        return min((row for row in fits if row.size * SAME_SIZE >= widest), key=lambda row: row.rated)

    def factor(self, name: str) -> float:
        """Single value by name [SI]."""
        return self._find(self.factors, "factor", name).number

    def rule_set(self, name: str) -> RuleSet:
        """Rule set by name."""
        return self._find(self.rule_sets, "rule set", name)

    def drill_hole(self, name: str) -> DrillHole | None:
        """What to drill for a fastener by the name of its row; None when the table does not say."""
        return self.drill_sizes.get(name)

    def fitting_factor(self, name: str) -> float:
        """Single value of the fitting sheet by name [SI]."""
        return self._find(self.fitting_factors, "fitting factor", name).number

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
    def plates(self) -> dict[str, PlateStock]:
        """Flat stock for plates."""
        return self._read("plates.yaml", PlateStock)

    @cached_property
    def members(self) -> dict[str, Member]:
        """Cross-member sections."""
        return self._read("members.yaml", Member)

    @cached_property
    def timber(self) -> dict[str, Timber]:
        """Sawn wood of cross-members."""
        return self._read("timber.yaml", Timber)

    @cached_property
    def straps(self) -> dict[str, Strap]:
        """Tie-downs."""
        return self._read("straps.yaml", Strap)

    @cached_property
    def factors(self) -> dict[str, Factor]:
        """Single values."""
        return self._read("factors.yaml", Factor)

    @cached_property
    def bolt_lengths(self) -> dict[str, BoltLengths]:
        """Stock lengths of bolts."""
        return self._read("bolt_lengths.yaml", BoltLengths)

    @cached_property
    def drill_sizes(self) -> dict[str, DrillHole]:
        """Holes for bolts and screws."""
        return self._read("drill_sizes.yaml", DrillHole)

    @cached_property
    def fitting_factors(self) -> dict[str, Factor]:
        """Single values of the fitting sheet."""
        return self._read("fitting_factors.yaml", Factor)

    @cached_property
    def usual_ranges(self) -> dict[str, UsualRange]:
        """Usual ranges of what people type."""
        return self._read("usual_ranges.yaml", UsualRange)

    @cached_property
    def typical(self) -> dict[str, Typical]:
        """Typical trailers and loads."""
        return self._read("typical.yaml", Typical)

    @cached_property
    def yardsticks(self) -> dict[str, Yardstick]:
        """What standards ask of an anchor point."""
        return self._read("yardsticks.yaml", Yardstick)

    @cached_property
    def rule_sets(self) -> dict[str, RuleSet]:
        """Rule sets, one file each."""
        found: dict[str, RuleSet] = {}
        for folder, own in self._folders:
            for path in sorted((folder / "rules").glob("*.yaml")):
                _add(found, [_own_rule_set(path, found)] if own else _shipped(path, [_load(path)], RuleSet))
        return found

    def _read(self, file: str, model: type[R]) -> dict[str, R]:
        found: dict[str, R] = {}
        for folder, own in self._folders:
            path = folder / file
            if not own:
                _add(found, _shipped(path, _load(path), model))
            elif os.path.lexists(path):  # what is there and no file is told, not passed over
                _add(found, _own_rows(path, model, found))
        return found

    def _find(self, rows: dict[str, R], kind: str, name: str) -> R:
        if name not in rows:
            raise UnknownName(kind, name, rows)
        return rows[name]


def _check_own_folder(folder: Path, shipped: Path) -> None:
    if not folder.is_dir():
        raise CatalogError(f"{folder}: no such folder of tables")
    allowed = {path.name for path in shipped.glob("*.yaml")}
    strange = sorted(path for path in folder.glob("*.y*ml") if path.name not in allowed)
    strange += sorted(path for path in (folder / "rules").glob("*") if path.suffix != ".yaml")
    if strange:
        names = ", ".join(sorted(allowed))
        raise CatalogError(f"{strange[0]}: no table has this name; allowed: {names}, and rules/*.yaml")
    if not any(folder.glob("*.yaml")) and not any((folder / "rules").glob("*.yaml")):
        raise CatalogError(f"{folder}: holds no table; allowed: {', '.join(sorted(allowed))}, and rules/*.yaml")


def _tables_in(folders: Sequence[Path]) -> list[str]:
    """Attributes of a catalog that the files of `folders` add to."""
    files = [path.stem for folder in folders for path in sorted(folder.glob("*.yaml"))]
    return [*dict.fromkeys(files), *(["rule_sets"] if any((folder / "rules").is_dir() for folder in folders) else [])]


# --- the shipped tables, which the tests have read before ---------------------------------------------------


def _load(path: Path) -> Any:
    try:
        return yaml.load(path.read_bytes(), Loader=_Safe)  # noqa: S506 - a safe loader
    except (OSError, yaml.YAMLError) as error:
        raise CatalogError(f"{path}: {' '.join(str(error).split())}") from None


def _shipped(path: Path, rows: Any, model: type[R]) -> list[R]:
    try:
        return [model.model_validate(row) for row in rows]
    except ValidationError as error:
        raise CatalogError(f"{path}: {error}") from None


def _add(found: dict[str, R], rows: Iterable[R]) -> None:
    for row in rows:
        if row.name in found:
            raise CatalogError(f"{row.name!r} stands twice in the shipped tables")
        found[row.name] = row


# --- tables of one's own, read as carefully as a scenario ---------------------------------------------------


def _own_rows(path: Path, model: type[R], found: Mapping[str, R]) -> list[R]:
    """Rows of the user's table `path`, marked as such.

    Raises
    ------
    InputFaults
        With everything that is wrong in it; neither a name in `found` nor what it stands for may come again, and
        what a steel is beside welds has to be a row.
    """
    from anchorcalc.reading.reader import read_model, text_of

    def clashes(table: RootModel[list[R]]) -> Iterator[tuple[tuple[int, str], str]]:
        names = {*found, *(row.name for row in table.root)}
        for number, row in enumerate(table.root):
            if isinstance(row, Steel) and row.welded is not None and row.welded not in names:
                yield (number, "welded"), str(UnknownName("steel", row.welded, names))
            earlier = table.root[:number]
            first = _stands_in(row.name, found, path)
            twin = next((other for other in (*found.values(), *earlier) if row.is_twin_of(other)), None)
            if first or any(row.name == other.name for other in earlier):
                yield (number, "name"), f"{row.name!r} is already in {first or 'this file'}"
            elif twin is not None:
                where = _stands_in(twin.name, found, path) or "this file"
                yield (number, "name"), _twin_words(row, twin, where)

    table = read_model(*text_of(path), RootModel[list[model]], clashes)  # type: ignore[valid-type]
    rows: list[R] = table.root
    return [row.model_copy(update={"own_file": str(path)}) for row in rows]


def _twin_words(row: Row, twin: Row, where: str) -> str:
    return (
        f"{row.name!r} has the {row.SAME} of {twin.name!r} in {where}, under another name; "
        "a row of your own adds to the tables and takes no other's place"
    )


def _own_rule_set(path: Path, found: Mapping[str, RuleSet]) -> RuleSet:
    """The user's rule set in `path`; see `_own_rows`."""
    from anchorcalc.reading.reader import read_model, text_of

    def clash(rules: RuleSet) -> Iterator[tuple[tuple[str], str]]:
        if first := _stands_in(rules.name, found, path):
            yield ("name",), f"{rules.name!r} is already in {first}"

    return read_model(*text_of(path), RuleSet, clash).model_copy(update={"own_file": str(path)})


def _stands_in(name: str, found: Mapping[str, Row], path: Path) -> str | None:
    if name not in found:
        return None
    return found[name].own_file or f"the shipped {path.name if not isinstance(found[name], RuleSet) else 'rules'}"
