"""Shared by all tests: one catalog, scenarios as plain text mappings, and small edits of them."""

from __future__ import annotations

import copy
import fcntl
import os
import signal
import sys
import tempfile
import termios
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from types import FrameType
from typing import Any

import pytest
import yaml
from hypothesis import settings

import anchorcalc
from anchorcalc.catalog.tables import Catalog
from anchorcalc.resources import data_folder
from anchorcalc.result import Result
from anchorcalc.rig.resolve import resolve
from anchorcalc.rig.rig import Rig
from anchorcalc.scenario.model import Scenario
from anchorcalc.verdict.check import check_rig

settings.register_profile("ci", derandomize=True, deadline=None, max_examples=25)
settings.load_profile("ci")
# What the hundreds of processes of the tests compile is kept, apart from the source.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
os.environ.setdefault("PYTHONPYCACHEPREFIX", str(Path(tempfile.gettempdir()) / "anchorcalc-tests-compiled"))
# Tests run side by side; each keeps to one thread.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
# Whoever starts the tests in the background may have told them to ignore such signals; what they start shall not.
if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
    signal.signal(signal.SIGINT, signal.default_int_handler)
if hasattr(signal, "SIGHUP") and signal.getsignal(signal.SIGHUP) is signal.SIG_IGN:
    signal.signal(signal.SIGHUP, signal.SIG_DFL)
# What is tested in processes of its own is what is tested here, from wherever they are started.
_SOURCE = str(Path(anchorcalc.__file__).resolve().parents[1])
os.environ["PYTHONPATH"] = os.pathsep.join(filter(None, [_SOURCE, os.environ.get("PYTHONPATH")]))

SCENARIOS = sorted(data_folder("scenarios").glob("*.yaml"))

Texts = dict[str, Any]


@pytest.fixture(scope="session", autouse=True)
def _elsewhere(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """No test sees what lies in the folder the tests are started from."""
    before = Path.cwd()
    os.chdir(tmp_path_factory.mktemp("elsewhere"))
    yield
    os.chdir(before)


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


def until_read(pipe: int, alive: Callable[[], bool] = lambda: True) -> None:
    """Wait until all that was written into `pipe` has been read, for as long as its reader is `alive`."""
    while int.from_bytes(fcntl.ioctl(pipe, termios.FIONREAD, bytes(4)), sys.byteorder):
        assert alive(), "ended without reading what it was given"
        time.sleep(0.001)  # leaves the processor to the reader; nothing is measured by it


def calls_of(work: Callable[[], object]) -> int:
    """How many Python functions `work` calls: a measure of its effort that no other work on the machine changes."""
    count = 0

    def counted(_: FrameType, event: str, __: object) -> None:
        nonlocal count
        count += event == "call"

    before = sys.getprofile()
    sys.setprofile(counted)
    try:
        work()
    finally:
        sys.setprofile(before)
    return count
