"""Mutated scenarios, answers and tables: no traceback, no hang, no odd number, no false pass.

The seeds run upwards from nought, so that every machine tries the same mutants. `python -m tests.fuzz.long_run`
tries more of them, or one again by its seed.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.fuzz.targets import Bench, Finding

MUTANTS = {"scenario": 25, "answer": 12, "table": 25, "pair": 25}  # what start asks and then checks takes longest


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Bench]:
    """The program, ready to be run in process."""
    found = Bench(Path(tmp_path_factory.mktemp("own")), patience=10.0)
    yield found
    found.close()


@pytest.mark.parametrize(("kind", "count"), MUTANTS.items())
def test_whatever_is_thrown_at_it(kind: str, count: int, bench: Bench) -> None:
    bench.statuses.clear()
    for seed in range(count):
        try:
            getattr(bench, kind)(seed)
        except Finding as finding:
            raise AssertionError(f"{kind} {seed}: {finding}") from finding
    assert sum(bench.statuses.values()) >= count
