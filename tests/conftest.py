"""Shared by all tests: one catalog, scenarios as plain text mappings, and small edits of them."""

from __future__ import annotations

import copy
import os
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import settings

from anchorcalc.catalog.tables import Catalog
from anchorcalc.resources import data_folder
from anchorcalc.result import Result
from anchorcalc.rig.resolve import resolve
from anchorcalc.rig.rig import Rig
from anchorcalc.scenario.model import Scenario
from anchorcalc.verdict.check import check_rig

settings.register_profile("ci", derandomize=True, deadline=None, max_examples=25)
settings.load_profile("ci")
os.environ.setdefault("PYTHONDONTWRITEBYTECODE", "1")

SCENARIOS = sorted(data_folder("scenarios").glob("*.yaml"))

Texts = dict[str, Any]


@pytest.fixture(scope="session")
def catalog() -> Catalog:
    """The shipped tables, read once."""
    return Catalog()


def texts_of(path: Path) -> Texts:
    """A scenario file with every scalar as text, as the model wants it."""
    found = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
    assert isinstance(found, dict)
    return found


def roadster() -> Texts:
    """A fresh copy of the demo."""
    return copy.deepcopy(texts_of(data_folder("scenarios") / "roadster.yaml"))


def rig_of(texts: Texts, catalog: Catalog) -> Rig:
    """A scenario given as texts, in numbers."""
    return resolve(Scenario.model_validate(texts), catalog)


def checked(texts: Texts, catalog: Catalog) -> Result:
    """Result of a scenario given as texts."""
    return check_rig(rig_of(texts, catalog))


def edited(texts: Texts, *path: str | int, value: Any) -> Texts:
    """Copy of `texts` with one value replaced."""
    changed = copy.deepcopy(texts)
    place: Any = changed
    for step in path[:-1]:
        place = place[step]
    place[path[-1]] = value
    return changed


def worst_working(result: Result) -> float:
    """Working strength of the weakest anchor [N]."""
    return min(anchor.working for anchor in result.anchors)


def worst_breaking(result: Result) -> float:
    """Breaking strength of the weakest anchor [N]."""
    return min(anchor.breaking for anchor in result.anchors)
