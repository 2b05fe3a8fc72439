"""What a case is called, and what it is."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from msgspec.structs import replace

from anchorcalc.resources import data_folder
from anchorcalc.result.words import what_cases_are
from tests.cli.test_commands import run
from tests.conftest import checked, edited, roadster

if TYPE_CHECKING:
    from anchorcalc.catalog.tables import Catalog

RULES = sorted(path.stem for path in (data_folder("tables") / "rules").glob("*.yaml"))
README = Path(__file__).parents[2] / "README.md"


@pytest.mark.parametrize("name", RULES)
def test_what_a_bump_is_goes_by_the_row_of_the_rule_set(name: str, catalog: Catalog) -> None:
    """An upward row says what share of the weight it is, and whether the load's own weight is counted against it."""
    texts = edited(roadster(), "rules", value=name)
    bumps = [case for case in checked(texts, catalog).cases if case.case == "upward"]
    said = "bump: held down against 20 % of its weight, its own weight not counted."
    assert what_cases_are(bumps) == ((said,) if bumps else ())
    for bump in bumps:
        harder = replace(bump, acceleration=(0.0, 0.0, 1.25), gravity=True)
        assert what_cases_are([harder]) == (
            "bump: held down against 125 % of its weight, its own weight counted against that.",
        )


def test_cases_that_are_what_they_are_called_need_no_words(catalog: Catalog) -> None:
    flat = [case for case in checked(roadster(), catalog).cases if case.case != "upward"]
    assert what_cases_are(flat) == ()
    weightless = replace(flat[0], gravity=False)
    assert what_cases_are([weightless, weightless]) == ("braking: the load's own weight not counted.",)


def test_what_a_bump_is_stands_wherever_the_case_is_named(tmp_path: Path) -> None:
    said = "held down against 20 % of its weight, its own weight not counted"
    plan, page = tmp_path / "plan.svg", tmp_path / "report.html"
    run("plan", "roadster", "-o", str(plan))
    run("report", "roadster", "-o", str(page))
    shown = [run("check", "roadster").stdout, run("check", "roadster", "--all").stdout]
    shown += [file.read_text(encoding="utf-8") for file in (plan, page)]
    for text in shown:
        assert said in " ".join(text.split())
    assert said in " ".join(README.read_text(encoding="utf-8").split())
