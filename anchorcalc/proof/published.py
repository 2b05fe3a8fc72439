"""Published checks: one file a source in tables/published, one row a value, computed by the function that it guards.

A row names a function of the mechanics, its inputs with units, the published value, a tolerance with its reason,
the clause, and how the value is known: `read` in the source or in a faithful copy, `from memory`, or `computed` by
hand from the source's formula. Only the first two count as published, and among those the values of one function in
one source that name the same `mode` count once: they tell no more than the first of them. A function that wants more
than plain inputs is called through a set-up of `cases`.

Units are pint's own, not those that the program reads with: the referee stands apart.
"""

from __future__ import annotations

import importlib
import re
from collections import Counter
from collections.abc import Callable, Iterable
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import numpy as np
import yaml
from msgspec import Struct

from anchorcalc.resources import data_folder

if TYPE_CHECKING:
    from pint import UnitRegistry

PUBLISHED: Final = ("read", "from memory")
TAGS: Final = (*PUBLISHED, "computed")
WIDEST: Final = 0.1
"""Widest relative tolerance: what is allowed more is not checked."""

_MECHANICS: Final = "anchorcalc.mechanics."
_CASES: Final = "anchorcalc.proof.cases"
_QUANTITY: Final = re.compile(
    r"(?:(?P<whole>\d+) (?=\d+/))?(?P<top>-?[\d.]+(?:e[-+]?\d+)?)(?:/(?P<bottom>\d+))? ?(?P<unit>[A-Za-z].*|)"
)
_LOADER: Final = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class Source(Struct, frozen=True):
    """A document that values were published in, and the file of its rows."""

    file: str
    document: str
    publisher: str


class Check(Struct, frozen=True):
    """One published value; quantities are texts with units, as they are written."""

    name: str
    source: Source
    clause: str
    tag: str
    function: str  # within the mechanics, such as screws.punching
    case: str | None  # the set-up that calls it, where plain inputs will not do
    also: tuple[str, ...]  # functions that the set-up calls besides, and that a wrong figure would show in
    inputs: dict[str, Any]
    output: str | int | None  # which part of the result is meant
    published: str
    tolerance: float  # relative
    why: str
    mode: str | None  # values of one function, source and mode count once

    @property
    def counts(self) -> bool:
        """Whether the value was published anywhere, rather than computed by us."""
        return self.tag in PUBLISHED


class Outcome(Struct, frozen=True):
    """A check and what came of it, both values in the unit of the published one."""

    check: Check
    published: float
    computed: float
    unit: str

    @property
    def difference(self) -> float:
        """Computed over published, less one [-]."""
        return self.computed / self.published - 1

    @property
    def holds(self) -> bool:
        """Within the tolerance; what is no number is not."""
        return bool(abs(self.difference) <= self.check.tolerance)


def published_checks() -> list[Check]:
    """All rows of tables/published.

    Raises
    ------
    FileNotFoundError
        The installation lacks them.
    """
    folder = data_folder("tables") / "published"
    found = [check for path in sorted(folder.glob("*.yaml")) for check in _checks_in(path)]
    if not found:
        raise FileNotFoundError(f"the installation lacks its published checks (looked in {folder})")
    return found


def _checks_in(path: Path) -> list[Check]:
    data = yaml.load(path.read_bytes(), Loader=_LOADER)  # noqa: S506 - a safe loader
    source = Source(path.stem, data["source"]["document"], data["source"]["publisher"])
    return [_check(source, row) for row in data["checks"]]


def _check(source: Source, row: dict[str, Any]) -> Check:
    return Check(
        name=row["name"],
        source=source,
        clause=str(row["clause"]),
        tag=row["tag"],
        function=row["function"].removeprefix(_MECHANICS),
        case=row.get("case"),
        also=tuple(row.get("also", ())),
        inputs=row["inputs"],
        output=row.get("output"),
        published=str(row["published"]),
        tolerance=float(str(row["tolerance"]["relative"]).removesuffix("%")) / 100,
        why=row["tolerance"]["why"],
        mode=row.get("mode"),
    )


def outcome(check: Check) -> Outcome:
    """Compute a check."""
    number, unit = _parts(check.published)
    inputs = {name: si(value) for name, value in check.inputs.items()}
    result = called(check)(**inputs)
    if check.output is not None:
        result = getattr(result, check.output) if isinstance(check.output, str) else result[check.output]
    return Outcome(check, number, float(np.asarray(result, dtype=float).item()) / _factor(unit), unit)


def called(check: Check) -> Callable[..., Any]:
    """What computes a check: its function, or the set-up that calls it."""
    module, _, name = f"{_MECHANICS}{check.function}".rpartition(".")
    function: Callable[..., Any] = getattr(importlib.import_module(module), name)
    return getattr(importlib.import_module(_CASES), check.case) if check.case else function


def si(value: Any) -> Any:
    """A row's value as an SI float: '3/4 in', '135 lbf', plain numbers and words as they are, lists of them."""
    if isinstance(value, list):
        return np.array([si(each) for each in value])
    if not isinstance(value, str) or (not value[:1].isdigit() and value[:1] not in "-."):
        return value
    number, unit = _parts(value)
    return number * _factor(unit)


def _parts(text: str) -> tuple[float, str]:
    """Number and unit of '3/4 in', '1 1/4 in', '135 lbf'."""
    found = _QUANTITY.fullmatch(text)
    if found is None:
        raise ValueError(f"no quantity: {text!r}")
    whole, top, bottom = found["whole"] or 0, found["top"], found["bottom"] or 1
    return float(whole) + float(top) / float(bottom), found["unit"]


@cache
def _factor(unit: str) -> float:
    """What one of `unit` is in SI; 'lbf ft', 'in3/ft' and 'mm^2' are units too."""
    spelled = re.sub(r"([a-z])(\d)", r"\1**\2", unit.replace("lbf", "force_pound").replace(" ", "*"))
    return float(_registry().Quantity(1.0, spelled).to_base_units().magnitude)


@cache
def _registry() -> UnitRegistry[float]:
    from pint import UnitRegistry

    return UnitRegistry()


def counted(checks: Iterable[Check]) -> Counter[str]:
    """How many values of each tag there are; of those published, what one mode says more than once counts once."""
    found: Counter[str] = Counter()
    seen: set[tuple[str, str, str]] = set()
    for check in checks:
        key = (check.source.file, check.function, check.mode or "")
        if check.counts and check.mode is not None and key in seen:
            continue
        seen.add(key)
        found[check.tag] += 1
    return found
