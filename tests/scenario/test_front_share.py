"""The weight in front that nobody weighed: each share checked here by itself, and the worst must be the one written."""

from __future__ import annotations

from typing import Any

import pytest

from anchorcalc.catalog.tables import Catalog
from anchorcalc.interview.front_share import SHARES, settle
from anchorcalc.interview.guided import Draft
from anchorcalc.interview.writer import scenario_text
from anchorcalc.scenario.model import Scenario
from anchorcalc.scenario.read import parse_scenario
from anchorcalc.verdict.check import check
from tests.conftest import edited, roadster
from tests.scenario.test_guided import scenario_of, with_answers

REAR, BASE = 51, 90  # of the roadster [in]
GRAVITY = {"pass": 0, "marginal": 1, "fail": 2}


def placed(texts: dict[str, Any], share: int) -> dict[str, Any]:
    return edited(texts, "load", "centre_of_gravity", 0, value=f"{REAR + BASE * share / 100:.3f} in")


def gravity(texts: dict[str, Any], catalog: Catalog) -> tuple[int, float]:
    result = check(Scenario.model_validate(texts), catalog)
    return GRAVITY[result.verdict], max(case.utilisation for case in result.cases)


def settled(texts: dict[str, Any], catalog: Catalog) -> Draft:
    draft = Draft(texts, [], {share: placed(texts, share)["load"]["centre_of_gravity"] for share in SHARES})
    settle(draft, catalog)
    return draft


@pytest.mark.parametrize("rear_ring", ["20 in", "45 in"])
@pytest.mark.parametrize("mounting", ["plated", "four screws"])
def test_the_worst_of_the_shares_is_written(rear_ring: str, mounting: str, catalog: Catalog) -> None:
    texts = roadster()
    for name, anchor in texts["anchors"].items():
        anchor["mounting"] = mounting
        if name.startswith("rear"):
            anchor["at"][0] = rear_ring
    draft = settled(texts, catalog)
    worst = max(SHARES, key=lambda share: gravity(placed(texts, share), catalog))
    assert draft.content["load"] == placed(texts, worst)["load"]
    words = f"{worst} % of the weight in front, the worst of 35, 50 and 65 %"
    assert draft.content["assumed"] == {"weight on the front wheels": words}
    assert f"# {words}." in scenario_text(draft.content, draft.notes)


def test_a_share_that_was_weighed_stays(catalog: Catalog) -> None:
    draft = Draft(roadster())
    settle(draft, catalog)
    assert draft.content == roadster()


def test_what_does_not_go_together_has_no_worst_share_yet(catalog: Catalog) -> None:
    texts = edited(roadster(), "deck", "cross_members", "section", value="no such tube")
    draft = settled(texts, catalog)
    assert draft.content == texts
    assert draft.notes == []


def test_by_the_questions_no_verdict_is_better_than_with_any_of_the_shares(catalog: Catalog) -> None:
    draft = with_answers(catalog, {"front share": "don't know"})
    scenario = scenario_of(draft, catalog)
    taken = gravity(draft.content, catalog)
    for share in SHARES:
        known = with_answers(catalog, {"front share": f"{share} %"})
        assert gravity(known.content, catalog) <= taken
    assert "the worst of 35, 50 and 65 %" in scenario.assumed["weight on the front wheels"]
    text = scenario_text(draft.content, draft.notes)
    assert "not known; the worst of 35, 50 and 65 % is written; weigh one axle" in " ".join(
        text.replace("#", "").split()
    )
    parse_scenario(text, "written", catalog=catalog)
