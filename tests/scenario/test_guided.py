"""The guided entry without a terminal: questions, answers, slips, and the file that comes of them."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from anchorcalc.catalog.tables import Catalog
from anchorcalc.interview.guided import Draft, Interview, Slip
from anchorcalc.interview.walkround import walk_round
from anchorcalc.interview.writer import scenario_text
from anchorcalc.scenario.model import Scenario
from anchorcalc.scenario.read import parse_scenario, read_scenario
from anchorcalc.verdict.check import check
from tests.conftest import SCENARIOS

ANSWERS = Path(__file__).parents[1] / "cli" / "answers"


def lines_of(name: str) -> list[str]:
    """Answers of a file, without its remarks."""
    lines = (ANSWERS / f"{name}.txt").read_text(encoding="utf-8").splitlines()
    return [line for line in lines if not line.startswith("# ")][:-1]  # the last one agrees to write


def interviewed(catalog: Catalog, answers: list[str]) -> Interview:
    """The interview after `answers`."""
    interview = Interview(lambda: walk_round(catalog))
    for answer in answers:
        interview.answer(answer)
    return interview


def draft_of(catalog: Catalog, name: str) -> Draft:
    draft = interviewed(catalog, lines_of(name)).draft
    assert draft is not None
    return draft


def scenario_of(draft: Draft, catalog: Catalog) -> Scenario:
    return parse_scenario(scenario_text(draft.content, draft.notes), "written", catalog=catalog)


def upto(catalog: Catalog, key: str, name: str = "roadster") -> Interview:
    """An interview with the question `key` before it."""
    interview = Interview(lambda: walk_round(catalog))
    for answer in lines_of(name):
        if interview.question is not None and interview.question.key == key:
            break
        interview.answer(answer)
    assert interview.question is not None
    assert interview.question.key == key
    return interview


# --- what comes of the answers -----------------------------------------------------------------------------


def test_the_tape_gives_the_shipped_roadster(catalog: Catalog) -> None:
    """The shipped file was written by hand; measured with a tape, the same trailer has the same coordinates."""
    walked = scenario_of(draft_of(catalog, "roadster"), catalog)
    shipped = read_scenario(next(path for path in SCENARIOS if path.stem == "roadster"), catalog=catalog)
    assert walked.load.model_copy(update={"steadying_friction": 0.3}) == shipped.load.model_copy(
        update={"name": "roadster"}
    )
    assert walked.deck.cross_members == shipped.deck.cross_members
    assert walked.anchors == shipped.anchors
    assert walked.trailer == shipped.trailer
    assert {name: strap.rated for name, strap in walked.straps.items()} == {
        name: strap.rated for name, strap in shipped.straps.items()
    }


def test_measures_from_edges_and_rings_become_coordinates(catalog: Catalog) -> None:
    content = draft_of(catalog, "mower").content
    # deck 1.5 m wide: 0.15 m from its left edge is y = 750 - 150; the tie point 0.4 m behind, 0.3 m inward
    assert content["anchors"]["front left"]["at"] == ["2200 mm", "600 mm"]
    assert content["load"]["tie_points"]["front left"]["at"] == ["1800 mm", "300 mm", "300 mm"]
    assert content["load"]["tie_points"]["front right"]["at"] == ["1800 mm", "-300 mm", "300 mm"]
    # at the rear the tie point is ahead of the ring; a measure outward is negative
    assert content["anchors"]["rear right"]["at"] == ["150 mm", "-600 mm"]
    assert content["load"]["tie_points"]["rear right"]["at"] == ["550 mm", "-650 mm", "300 mm"]
    # it stands 50 mm to the right; rear wheels 0.7 m ahead of the edge, 1 m to the front ones
    assert content["load"]["wheels"]["front left"] == ["1700 mm", "350 mm"]
    assert content["load"]["wheels"]["rear right"] == ["700 mm", "-500 mm"]
    # 100 of 240 kg on the front wheels: 700 + 1000 · 100/240; half of 1 m high
    assert content["load"]["centre_of_gravity"] == ["1116.7 mm", "-50 mm", "500 mm"]


def test_whatever_is_not_known_is_assumed_in_the_result_or_noted_in_the_file(catalog: Catalog) -> None:
    interview = interviewed(catalog, lines_of("mower"))
    assert interview.draft is not None
    text = scenario_text(interview.draft.content, interview.draft.notes)
    result = check(parse_scenario(text, "written", catalog=catalog), catalog)
    unknown = [question for question, answer in interview.answered if answer is None]
    assert len(unknown) >= 20
    plain = " ".join(
        line.strip().removeprefix("#").strip() for line in text.splitlines() if line.strip().startswith("#")
    )
    settled = ("rated",)  # asked again as a breaking strength
    for question in unknown:
        if question.where[-1] not in settled:
            assert f"{question.text.rstrip('?')}: not known; {question.unknown}." in plain
    assumed = " ".join(entry.what for entry in result.assumed)
    for words in ("face grain", "main rails", "bolt grade, eye bolts", "walls of the tube", "ring's base, screws",
                  "hand tension of strap front left", "route of strap front left",
                  "rating of strap front right", "screw holes, screws"):  # fmt: skip
        assert words in assumed
    content: Any = interview.draft.content
    written = [question for question in unknown if _is_there(content, question.where)]
    assert len(written) == len(content["assumed"]) == 4  # hold-down and lag screws, washers, height of the centre
    for what, taken in content["assumed"].items():
        assert (what, taken) in {(entry.what, entry.value) for entry in result.assumed}
    assert {"ring of anchor tail", "tie point front left", "strap front right"} <= set(result.unrated)
    assert result.verdict != "pass"


def _is_there(content: Any, where: tuple[str | int, ...]) -> bool:
    for step in where:
        if (isinstance(content, dict) and step not in content) or (
            isinstance(content, list) and isinstance(step, int) and step >= len(content)
        ):
            return False
        content = content[step]
    return True


def test_nothing_known_never_passes_where_all_known_does(catalog: Catalog) -> None:
    """Every answer that may be withheld, withheld: no verdict gets better by it."""
    known = check(scenario_of(draft_of(catalog, "roadster"), catalog), catalog)
    assert known.verdict == "pass"
    interview = Interview(lambda: walk_round(catalog))
    typed = {question.key: answer for question, answer in interviewed(catalog, lines_of("roadster")).answered}
    while (question := interview.question) is not None:
        if question.unknown is not None:
            interview.answer("don't know")
        else:
            usual = {"width": "2 in"}.get(str(question.where[-1]), "60 in")
            interview.answer(typed.get(question.key) or question.default or usual)
    assert interview.draft is not None
    unknown = check(scenario_of(interview.draft, catalog), catalog)
    assert unknown.verdict != "pass"
    assert min(a.working for a in unknown.anchors) < min(a.working for a in known.anchors)


def test_the_same_answers_give_the_same_text(catalog: Catalog) -> None:
    texts = [scenario_text(draft.content, draft.notes) for draft in (draft_of(catalog, "mower") for _ in range(2))]
    assert texts[0] == texts[1]


# --- slips -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "answer", "words"),
    [
        ("load weight", "1650", "has no unit"),
        ("load weight", "1650 in", "is a length"),
        ("load weight", "0 lb", "out of range"),
        ("load weight", "nan lb", "not a finite number"),
        ("load weight", "1650,5 lb", "has a comma"),
        ("load weight", "don't know", "has to be known"),
        ("load weight", "", "an answer is wanted"),
        ("title", "a\x07b", "ordinary signs"),
        ("title", "x" * 81, "longer than 80"),
        ("title", "<<", "ordinary signs"),
        ("rules", "us road", "did you mean 'us-road'"),
        ("rules", "6", "not in the list"),
        ("deck layers 0 condition", "we", "may be weathered, wet"),
        ("deck layers 0 condition", "decayed", "carries nothing: replace it"),
        ("deck layers 0 condition", "6", "carries nothing"),
        ("deck layers 0 thickness", "2 in", "no thickness of softwood-plywood"),
        ("layers", "0", "a whole number from 1 to 6"),
        ("layers", "two", "a whole number"),
        ("deck cross_members first_at", "16.1 ft", "beyond the front edge"),
        ("deck cross_members rails", "81 in", "more than the deck is wide"),
        ("mountings plated fasteners size", "M7", "not in the list"),
        ("front share", "110 %", "between nothing and all"),
        ("front share", "2000 lb", "between nothing and all"),
        ("front share", "half", "per cent"),
        ("front share", "1_0 %", "per cent"),
        ("front left x", "1 in", "beyond the deck; from 2.25 in to 189.75 in"),
        ("front left y", "79 in", "beyond the deck"),
        ("front left height", "1/2 in", "no higher than the ring"),
        ("front left height", "-3 in", "out of range"),
        ("straps width", "3/4 in", "no webbing of size"),
        ("straps rated", "3333 lb", "lbf"),
        ("straps rated", "6000 LBS", "if the label says pounds write lbf"),
        ("straps rated", "1500 KG", "if the label says kilograms write kgf"),
        ("load weight", "-5 lb", "out of range"),
        ("load weight", "don't know", "nothing safe can be taken"),
        ("deck layers 0 panel", "don't know", "nothing safe can be taken"),
        ("deck layers 0 condition", "don't know", "nothing safe can be taken"),
        ("deck length", "don't know", "nothing safe can be taken"),
        ("deck cross_members spacing", "don't know", "nothing safe can be taken"),
        ("deck layers 0 panel", "ply-wood", "did you mean"),
        ("deck length", "5' 6\"", "'66 in'"),
        ("deck layers 0 joints_across", "", "an answer is wanted here"),
        ("deck layers 0 joints_across", "don't know", "this has to be known"),
        ("deck layers 0 joints_across", "96", "has no unit"),
        ("deck layers 0 joints_across", "96 in, 192 in", "'192 in' is not on the deck; 0 in to 192 in is"),
        ("deck layers 0 joints_across", "96 in,", "not a length"),
        ("deck layers 1 joints_along", "-40 in", "not on the deck; -40 in to 40 in"),
        ("rear wheels", "-1 in", "puts a wheel beyond the deck"),
        ("rear wheels", "193 in", "puts a wheel beyond the deck; from 0 in to 192 in"),
        ("wheelbase", "142 in", "puts a wheel beyond the deck; from 0 in to 141 in"),
        ("front track", "81 in", "puts a wheel beyond the deck; from 0 in to 80 in"),
        ("rear track", "81 in", "beyond the deck"),
        ("offset", "15 in", "puts a wheel beyond the deck; from -14 in to 14 in"),
        ("offset", "-14.1 in", "beyond the deck"),
        ("strap 0", "110 in", "is a measure; a name is wanted"),
        ("mounting 0", "5'", "is a measure"),
        ("units", "don't know", "has to be known; Enter takes us"),
        ("strap 1", "front left", "taken already"),
    ],
)
def test_a_slip_is_told_and_the_question_stays(key: str, answer: str, words: str, catalog: Catalog) -> None:
    interview = upto(catalog, key)
    with pytest.raises(Slip) as told:
        interview.answer(answer)
    assert words in str(told.value)
    assert interview.question is not None
    assert interview.question.key == key


@pytest.mark.parametrize(("typed", "taken"), [("Wea", "weathered"), ("2", "weathered"), ("weathered", "weathered")])
def test_a_choice_may_be_shortened_or_numbered(typed: str, taken: str, catalog: Catalog) -> None:
    interview = upto(catalog, "deck layers 0 condition")
    interview.answer(typed)
    assert interview.answered[-1][1] == taken


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("plywood", "'softwood-plywood', 'structural-1-plywood' or 'birch-plywood'?"),
        ("planks", "did you mean 'sawn-planks'?"),
        ("birch-plywod", "did you mean 'birch-plywood'?"),
        ("1/8", "is not in the list; ? shows it"),
    ],
)
def test_a_word_that_several_choices_hold_offers_them_all(typed: str, words: str, catalog: Catalog) -> None:
    interview = upto(catalog, "deck layers 0 panel")
    with pytest.raises(Slip) as told:
        interview.answer(typed)
    assert words in str(told.value)


def test_a_name_made_of_digits_is_itself_and_not_a_number_in_the_list(catalog: Catalog) -> None:
    interview = upto(catalog, "deck cross_members steel")
    interview.answer("304")
    assert interview.answered[-1][1] == "304"


# --- back and change ---------------------------------------------------------------------------------------


def test_back_asks_the_question_before_with_its_answer_to_take(catalog: Catalog) -> None:
    interview = upto(catalog, "load weight")
    interview.back()
    assert interview.question is not None
    assert (interview.question.key, interview.question.default) == ("load kind", "car")
    interview.answer("")
    assert interview.question.key == "load weight"


def test_back_at_the_first_question_changes_nothing(catalog: Catalog) -> None:
    interview = Interview(lambda: walk_round(catalog))
    interview.back()
    assert interview.question is not None
    assert interview.question.key == "title"


def test_a_changed_answer_keeps_the_others(catalog: Catalog) -> None:
    interview = interviewed(catalog, lines_of("roadster"))
    number = [question.key for question, _ in interview.answered].index("load weight")
    interview.change(number)
    interview.answer("1800 lb")
    assert interview.question is None
    assert interview.draft is not None
    assert interview.draft.content["load"]["weight"] == "1800 lb"
    unchanged = draft_of(catalog, "roadster").content
    assert interview.draft.content["anchors"] == unchanged["anchors"]


def test_an_answer_that_no_longer_fits_is_asked_again(catalog: Catalog) -> None:
    interview = interviewed(catalog, lines_of("roadster"))
    keys = [question.key for question, _ in interview.answered]
    interview.change(keys.index("deck length"))
    interview.answer("12 ft")  # the front rings, at 172 in, would hang in the air
    assert interview.question is not None
    assert interview.question.key == "front left x"
    interview.answer("130 in")
    assert interview.question is None


def test_a_changed_answer_may_open_other_questions(catalog: Catalog) -> None:
    interview = interviewed(catalog, lines_of("roadster"))
    keys = [question.key for question, _ in interview.answered]
    interview.change(keys.index("mountings plated fasteners kind"))
    interview.answer("wood screw")
    asked = []
    for answer in ("#14", "1 1/2 in", "new"):
        assert interview.question is not None
        asked.append(interview.question.key.split()[-1])
        assert interview.question.default is None  # a bolt's size would be refused, so it is not offered
        interview.answer(answer)
    assert asked == ["size", "length", "holes"]
    assert interview.draft is not None
    assert interview.draft.content["mountings"]["plated"]["backing"] == {"kind": "none"}
    scenario_of(interview.draft, catalog)


def test_a_former_answer_that_fits_no_more_is_not_offered(catalog: Catalog) -> None:
    interview = interviewed(catalog, lines_of("roadster"))
    keys = [question.key for question, _ in interview.answered]
    interview.change(keys.index("deck length"))
    interview.answer("12 ft")
    assert interview.question is not None
    assert (interview.question.key, interview.question.default) == ("front left x", None)
    assert interview.question.origin != "your answer before"


# --- what is not known -------------------------------------------------------------------------------------


def with_answers(catalog: Catalog, other: dict[str, str], name: str = "roadster") -> Draft:
    """The draft of `name`, with `other` answers to some of its questions; Enter to what these bring up."""
    typed = {question.key: answer for question, answer in interviewed(catalog, lines_of(name)).answered}
    interview = Interview(lambda: walk_round(catalog))
    while (question := interview.question) is not None:
        interview.answer(other.get(question.key) or typed.get(question.key) or question.default or "don't know")
    assert interview.draft is not None
    return interview.draft


@pytest.mark.parametrize(
    ("key", "where", "what"),
    [
        ("deck cross_members steel", ("deck", "cross_members", "steel"), "metal of the cross-members"),
        ("mountings plated backing steel", ("mountings", "plated", "backing", "steel"), "metal of the plate of plated"),
    ],
)
def test_a_metal_nobody_knows_is_the_weakest_in_the_table(
    key: str, where: tuple[str, ...], what: str, catalog: Catalog
) -> None:
    draft = with_answers(catalog, {key: "don't know"})
    written: Any = draft.content
    for step in where:
        written = written[step]
    assert all(catalog.steel(written).F_y <= row.F_y for row in catalog.steels.values())
    scenario = scenario_of(draft, catalog)
    assert scenario.assumed == {what: f"{written}, the weakest in the table"}
    known = check(scenario_of(draft_of(catalog, "roadster"), catalog), catalog)
    assert min(a.working for a in check(scenario, catalog).anchors) <= min(a.working for a in known.anchors)


def test_whether_straps_are_alike_not_known_asks_for_each(catalog: Catalog) -> None:
    interview = upto(catalog, "alike")
    interview.answer("don't know")
    interview.answer("front left")
    for answer in ("172 in", "6 in", "36 in", "18 in", "12 in", "5000 lbf"):
        interview.answer(answer)
    assert interview.question is not None
    assert interview.question.key == "straps front left kind"


def test_the_title_has_a_default(catalog: Catalog) -> None:
    interview = Interview(lambda: walk_round(catalog))
    interview.answer("")
    assert interview.answered[-1][1] == "my trailer"


def test_joints_are_written_where_they_are(catalog: Catalog) -> None:
    other = {"deck layers 0 joints_across": "48 in,144 in", "deck layers 1 joints_along": "-8 in, 0 in"}
    layers: Any = with_answers(catalog, other).content["deck"]["layers"]  # type: ignore[index,call-overload]
    assert layers[0]["joints_across"] == ["48 in", "144 in"]
    assert layers[1]["joints_along"] == ["-8 in", "0 in"]
    assert "joints_along" not in layers[0]
    assert "joints_across" not in layers[1]


@pytest.mark.parametrize(
    ("size", "across", "along"),
    [(("48 in", "80 in"), "none", None), (("96 in", "48 in"), None, "none"), (("1.22 m", "1.22 m"), "none", "none")],
)
def test_one_sheet_has_no_joint(size: tuple[str, str], across: str | None, along: str | None, catalog: Catalog) -> None:
    interview = upto(catalog, "deck length")
    for answer in (*size, "1", "softwood-plywood", "3/4 in", "across", "sound"):
        interview.answer(answer)
    assert interview.question is not None
    assert (interview.question.key, interview.question.default) == ("deck layers 0 joints_across", across)
    interview.answer("none")
    assert (interview.question.key, interview.question.default) == ("deck layers 0 joints_along", along)


def test_planks_are_not_asked_for_sheet_joints(catalog: Catalog) -> None:
    asked = [question.key for question, _ in interviewed(catalog, lines_of("mower")).answered]
    assert not any("joints" in key for key in asked)
