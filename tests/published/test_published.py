"""All checks against the world outside: data in this folder, one file a source, one test that runs them.

A row names a function of the mechanics, its inputs with units, the published value, a tolerance with its
reason, the clause, and how the value is known: `read` in the source or a faithful copy, `from memory`,
`computed` (by hand from the source's formula: guards the code, not counted as published) or
`common practice`.
"""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pint
import pytest
import yaml

import anchorcalc.mechanics

FOLDER = Path(__file__).parent
TAGS = {"read", "from memory", "computed", "common practice"}
PUBLISHED = {"read", "from memory"}

# Functions whose checks need more than a row: each with the test that holds them against a source.
COVERED_ELSEWHERE = {
    "statics": "tests/mechanics/test_statics.py (EN 12195-1, GDV handbook, NASA RP-1228), test_statics_conic.py",
    "hermite": "tests/mechanics/test_plates.py (Timoshenko & Woinowsky-Krieger, Roark), test_plates_reference.py",
    "plates": "tests/mechanics/test_plates.py (Timoshenko & Woinowsky-Krieger, Roark), test_plates_reference.py",
    "plate_contact": "tests/mechanics/test_plate_contact.py (beams by statics, scikit-fem)",
    "plate_bed": "tests/mechanics/test_plate_bed.py (Winkler bed, Roark 11.2)",
}


@cache
def registry() -> pint.UnitRegistry[float]:
    """Pint's own registry: the referee, apart from the units the program reads with."""
    return pint.UnitRegistry()


def si(value: Any) -> Any:
    """A row's value as an SI float: '3/4 in', '135 lbf', plain numbers, lists of them."""
    if isinstance(value, list):
        return np.array([si(each) for each in value])
    if not isinstance(value, str):
        return value
    number, _, unit = value.partition(" ")
    top, _, bottom = number.partition("/")
    spelled = re.sub(r"([a-z])(\d)", r"\1**\2", unit.replace("lbf", "force_pound").replace(" ", "*"))
    return registry().Quantity(float(top) / float(bottom or 1), spelled).to_base_units().magnitude


def rows() -> list[Any]:
    found: list[Any] = []
    for path in sorted(FOLDER.glob("*.yaml")):
        data = yaml.safe_load(path.read_text(encoding="utf-8"))
        found += [
            pytest.param(path.stem, data["source"], check, id=f"{path.stem}: {check['name']}")
            for check in data["checks"]
        ]
    return found


def function_named(dotted: str) -> Callable[..., Any]:
    module, _, name = dotted.rpartition(".")
    assert module.startswith("anchorcalc.mechanics.")
    found = getattr(importlib.import_module(module), name)
    assert callable(found)
    return found  # type: ignore[no-any-return]


def part(result: Any, output: Any) -> Any:
    if output is None:
        return result
    return getattr(result, output) if isinstance(output, str) else result[output]


@pytest.mark.parametrize(("file", "source", "check"), rows())
def test_published_value(file: str, source: dict[str, str], check: dict[str, Any]) -> None:
    inputs = {name: si(value) for name, value in check["inputs"].items()}
    found = part(function_named(check["function"])(**inputs), check.get("output"))
    tolerance = check["tolerance"]
    relative = float(str(tolerance["relative"]).removesuffix("%")) / 100
    assert 0 < relative <= 0.1, "a wider tolerance would not be a check"
    assert np.asarray(found, dtype=float) == pytest.approx(si(check["published"]), rel=relative)


@pytest.mark.parametrize(("file", "source", "check"), rows())
def test_row_says_where_its_value_comes_from(file: str, source: dict[str, str], check: dict[str, Any]) -> None:
    assert source["document"]
    assert source["publisher"]
    assert check["tag"] in TAGS
    assert str(check["clause"]).strip()
    assert str(check["tolerance"]["why"]).strip()


def test_at_least_forty_published_values_over_at_least_ten_sources() -> None:
    published = [(row.values[0], row.values[2]) for row in rows() if row.values[2]["tag"] in PUBLISHED]
    assert len(published) >= 40
    assert len({file for file, _ in published}) >= 10


def test_every_mechanics_function_is_checked_against_something() -> None:
    named = {row.values[2]["function"] for row in rows()}
    unchecked = []
    for info in pkgutil.iter_modules(anchorcalc.mechanics.__path__):
        module = importlib.import_module(f"anchorcalc.mechanics.{info.name}")
        for name, member in inspect.getmembers(module, inspect.isfunction):
            own = member.__module__ == module.__name__ and not name.startswith("_")
            if own and info.name not in COVERED_ELSEWHERE and f"{module.__name__}.{name}" not in named:
                unchecked.append(f"{info.name}.{name}")
    assert unchecked == []


def test_the_tests_that_cover_the_rest_exist() -> None:
    for words in COVERED_ELSEWHERE.values():
        assert (FOLDER.parents[1] / words.split(" (")[0]).is_file()
