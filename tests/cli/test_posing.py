"""What `?` says: how to find out, the choices, what Enter takes, and what not knowing means."""

from __future__ import annotations

import pytest

from anchorcalc.catalog.tables import Catalog
from anchorcalc.cli.dialogue import TIE
from anchorcalc.cli.posing import help_text
from anchorcalc.interview.guided import Interview, Question
from tests.scenario.test_guided import interviewed, lines_of, upto

MUST = "This has to be known: nothing safe can be taken for it."


def help_at(catalog: Catalog, key: str, name: str = "roadster") -> str:
    question = upto(catalog, key, name).question
    assert question is not None
    return shown(question)


def shown(question: Question) -> str:
    return help_text(question).replace(TIE, " ")


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("units", ["1: us, 2: si", "how results are shown", "Enter takes us: goes with us-road."]),
        ("load kind", ["1: car, 2: light truck", "only decides which counts of the rules apply", "mower: ride-on"]),
        ("deck layers 0 face_grain", ["1: along, 2: across", "don't know: both ways are tried"]),
        ("deck layers 0 panel", ["1: softwood-plywood", "sawn-planks: softwood planks", MUST]),
        ("deck cross_members section", ["take the thinner", "1: tube-1.5x1.5x1/8\n", MUST]),
        ("deck cross_members steel", ["Enter takes mild", "don't know: 6061-T6-welded is written"]),
        ("deck layers 0 joints_across", ["several apart by commas", "Look from below", MUST]),
        ("mountings plated ring rated", ["count it as breaking strength, not as working limit", "6000 LBS"]),
        ("mountings plated fasteners kind", ["1: bolt, 2: wood screw, 3: lag screw", "nut below", MUST]),
        ("alike", ["1: yes, 2: no", "Enter takes yes: bought as a set.", "don't know: each is described by itself"]),
        ("front share", ["don't know: the worst of 35, 50 and 65 % is written", "public scale"]),
        ("title", ["Enter takes my trailer", "don't know will not do"]),
        ("deck length", [MUST]),
    ],
)
def test_help_says_all_that_may_be_answered(key: str, words: list[str], catalog: Catalog) -> None:
    text = help_at(catalog, key)
    for each in words:
        assert each in text


def test_holes_are_told_apart(catalog: Catalog) -> None:
    question = upto(catalog, "mountings screws fasteners holes", "mower").question
    assert question is not None
    assert "drilled for them the first time (new)" in question.text
    assert "re-driven" in shown(question)
    assert "1: new, 2: re-driven" in shown(question)


def questions(interview: Interview) -> list[Question]:
    return [question for question, _ in interview.answered]


@pytest.mark.parametrize("name", ["roadster", "mower"])
def test_every_question_lists_its_choices_and_says_must_only_where_nothing_else_will_do(
    name: str, catalog: Catalog
) -> None:
    for question in questions(interviewed(catalog, lines_of(name))):
        text = shown(question)
        assert all(f"{number}: {each}" in text for number, each in enumerate(question.choices, 1))
        assert (MUST in text) == (question.default is None and question.unknown is None)
        assert question.default is None or f"Enter takes {question.default}" in text
        assert question.unknown is None or f"don't know: {question.unknown}" in text
