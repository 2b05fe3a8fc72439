"""The talk of `start`: how questions look, how answers are heard, told back, kept, listed and changed."""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any, Final

import click

from anchorcalc.catalog.tables import Catalog
from anchorcalc.cli.common import checked, located
from anchorcalc.cli.dialogue import TIE, Dialogue
from anchorcalc.interview.answers import Slip, whole_number
from anchorcalc.interview.build import scenario_content, settled
from anchorcalc.interview.changes import Copy
from anchorcalc.interview.guided import Interview, Row
from anchorcalc.interview.sketch import doubts, sketch
from anchorcalc.output import OutputError, shown, write_whole
from anchorcalc.reading.document import MOST_BYTES, Plain, read_document
from anchorcalc.reading.faults import InputFaults, path_words
from anchorcalc.reading.reader import text_of
from anchorcalc.render.words import condition
from anchorcalc.result.check import Result
from anchorcalc.scenario.model import Scenario
from anchorcalc.scenario.read import parse_scenario
from anchorcalc.scenario.rewriter import rewritten
from anchorcalc.scenario.writer import scenario_text

_MOST_NUMBERED: Final = 14


class Stopped(Exception):  # noqa: N818 - says what happened
    """The user wants no file."""


class Kept:
    """The answers so far, in a file beside the scenario they will make; nowhere where there is none."""

    def __init__(self, path: Path | None) -> None:
        self.path = path

    def read(self) -> dict[str, str | None]:
        """Answers of a dialogue that was broken off; none if there is no such file."""
        if self.path is None or not self.path.exists():
            return {}
        try:
            with self.path.open("rb") as file:
                answers: Any = json.loads(file.read(MOST_BYTES))
        except (OSError, ValueError, RecursionError):
            answers = None
        if not isinstance(answers, dict) or not all(isinstance(each, str | None) for each in answers.values()):
            raise OutputError(f"{shown(self.path)}: holds no answers of an earlier start; move it out of the way")
        return answers

    def keep(self, answers: dict[str, str | None]) -> None:
        """Write the file anew, whole."""
        if self.path is not None:
            write_whole(self.path, json.dumps(answers, indent=1), overwrite=True)

    def forget(self) -> None:
        """Remove the file."""
        if self.path is not None:
            self.path.unlink(missing_ok=True)


class _Outcome:
    """What the answers of an interview come to, worked out anew when one of them changes."""

    def __init__(self, interview: Interview) -> None:
        self._interview = interview
        self._of: dict[str, str | None] | None = None

    def found(self) -> tuple[dict[str, Plain], Result]:
        """The scenario that they describe, and its result."""
        if self._of != self._interview.answers:
            content = settled(self._interview)
            scenario = Scenario.model_validate(content)
            self._found = content, checked(scenario, self._interview.catalog)
            self._of = dict(self._interview.answers)
        return self._found


def asked(dialogue: Dialogue, catalog: Catalog, kept: Kept) -> tuple[dict[str, Plain], Result]:
    """A new scenario by questions, and its result."""
    interview = Interview(catalog, kept.read())
    outcome = _Outcome(interview)
    dialogue.say("Enter takes what stands in brackets; '?' helps; 'back' goes back.", 0)
    if interview.answers:
        dialogue.say(f"Going on with the {len(interview.answers)} answers that were kept; 'anew' begins anew.", 0)

    def draft() -> dict[str, Plain]:
        _ask_all(dialogue, interview, kept)
        return scenario_content(interview)

    try:
        draft()
        dialogue.say("\nAll answers", 0)
        _list(dialogue, interview)
        _review(dialogue, interview, catalog, draft, set(), partial(_decides, dialogue, interview, outcome))
    except BaseException:
        if kept.path is not None and kept.path.exists():
            dialogue.say(f"\nYour answers are kept in {shown(kept.path)}; the same command goes on from there.", 0)
        raise
    return outcome.found()


def copied(base: str, dialogue: Dialogue, catalog: Catalog) -> str:
    """The text of the scenario `base` with changes."""
    if base == "-":
        raise click.UsageError("--from takes a file; standard input is for the answers")
    text, name = text_of(Path(located(base)))
    scenario = parse_scenario(text, name, catalog=catalog)
    content: Any = read_document(text).content
    copy = Copy(content, catalog)
    dialogue.say("All values", 0)
    _list(dialogue, copy)
    _review(dialogue, copy, catalog, lambda: copy.content, set(doubts(scenario)))
    dialogue.say("\nChanged", 0)
    for line in copy.differences() or ["nothing; the copy says the same"]:
        dialogue.say(line)
    return rewritten(text, copy.content)


# --- questions -----------------------------------------------------------------------------------------------


def _ask_all(dialogue: Dialogue, interview: Interview, kept: Kept) -> None:
    """Ask until all that has to be asked is answered."""
    section = None
    while (row := interview.next()) is not None:
        if row.section != section:
            section = row.section
            dialogue.say(f"\n{section}", 0)
        word = _ask(dialogue, interview, row)
        if word == "back":
            interview.back()
        elif word == "anew":
            interview.answers.clear()
        kept.keep(interview.answers)


def _ask(dialogue: Dialogue, sheet: Interview | Copy, row: Any) -> str | None:
    """Ask `row` until an answer is taken; 'back' or 'anew' instead of one is handed on."""
    question = sheet.question(row)
    _pose(dialogue, question)
    while True:
        typed = dialogue.hear()
        if typed.lower() in ("back", "anew"):
            return typed.lower()
        if typed.lower() == "stop":
            raise Stopped
        if typed == "?":
            dialogue.say(help_text(question), 4)
            continue
        try:
            understood = sheet.take(row, typed)
        except Slip as slip:
            dialogue.slip(str(slip))
            continue
        if typed != understood:
            dialogue.say(f"= {understood or 'not known'}", 4)
        return None


def _pose(dialogue: Dialogue, question: Row) -> None:
    """Print `question` with its choices, and what Enter takes."""
    dialogue.say(question.text + (" (don't know will do)" if question.unknown else ""))
    if len(question.choices) > _MOST_NUMBERED:
        dialogue.say(f"a word or number from a list of {len(question.choices)}; ? shows it", 6)
    elif question.choices:
        dialogue.say(_numbered(question), 6, 3)
    if question.default:
        dialogue.say(f"[{question.default}] {question.mark}", 6, 2)


def help_text(question: Row) -> str:
    """What may be answered: how to find out, the choices, what Enter takes, and what not knowing means."""
    lines = [question.help, _numbered(question)]
    if question.default:
        lines.append(f"Enter takes {question.default}" + (f": {question.mark}." if question.mark else "."))
    if question.unknown:
        lines.append(f"don't know: {question.unknown}.")
    elif not question.default and not question.parts:
        lines.append("This has to be known: nothing safe can be taken for it.")
    return "\n".join(filter(None, [*lines, "back asks the question before; stop leaves."]))


def _numbered(question: Row) -> str:
    words = [f"{number}: {each}".replace(" ", TIE) for number, each in enumerate(question.choices, 1)]
    if question.labels:
        return "\n".join(f"{word} - {label}" for word, label in zip(words, question.labels, strict=True))
    return ("\n" if len(words) > _MOST_NUMBERED else ", ").join(words)


# --- the list of answers -------------------------------------------------------------------------------------


def _review(
    dialogue: Dialogue,
    sheet: Interview | Copy,
    catalog: Catalog,
    draft: Callable[[], dict[str, Plain]],
    agreed: set[str],
    when_sound: Callable[[], None] = lambda: None,
) -> None:
    """Let answers be found and changed until what they make is sound, not in doubt, and written by the user."""
    drawn, tell = "", True  # what it comes to takes a while: it is told with each whole list
    while True:
        content, scenario = draft(), None
        try:
            scenario = parse_scenario(scenario_text(content), "the answers", catalog=catalog)
            if sketch(scenario) != drawn:
                drawn = sketch(scenario)
                dialogue.say(f"\n{drawn}")
            if tell:
                when_sound()
            tell = False
        except InputFaults as faults:
            dialogue.say("\nThese do not go together yet", 0)
            for message, path in {fault.message: fault.path for fault in reversed(faults.faults)}.items():
                dialogue.say(f"{path_words(path)}: {message}")
        writes = "Enter writes; " if scenario else ""
        dialogue.say(f"\nA number changes that answer; words find one; list; {writes}stop leaves.", 0)
        answer = dialogue.hear()
        if answer.lower() == "stop":
            raise Stopped
        if not answer:
            if scenario is None:
                dialogue.slip("these answers do not go together: change one by its number, or stop")
            elif _sure(dialogue, scenario, agreed):
                return
        elif answer == "list":
            _list(dialogue, sheet)
            tell = True
        elif not _change(dialogue, sheet, answer):
            _list(dialogue, sheet, answer)


def _decides(dialogue: Dialogue, interview: Interview, outcome: _Outcome) -> None:
    """Say what the answers come to, and which of those that nobody measured decide that."""
    _, result = outcome.found()
    dialogue.say(f"\nAs it stands: {result.verdict.upper()}. {result.reasons[0]}", 0)
    rows = [*enumerate(interview.rows(), 1)]
    for found in result.conditions:
        settle = {number: interview.known_as(row) for number, row in rows if row.decides == found.key}
        number = min(settle, key=lambda each: settle[each] == "measured", default="")  # what was measured comes last
        dialogue.say(f"{number:>3}  {condition(found)}", hang=5)
    if result.conditions:
        dialogue.say("These decide: measure them first. The number before one changes it.")


def _sure(dialogue: Dialogue, scenario: Scenario, agreed: set[str]) -> bool:
    """Ask back what looks as if a measure was taken the wrong way; false if one is to be changed."""
    for doubt in doubts(scenario):
        while doubt not in agreed:
            dialogue.say(f"{doubt} Is that so? (yes, or no to change it)")
            answer = dialogue.hear().lower()
            if answer in ("n", "no"):
                return False
            if answer in ("y", "yes"):
                agreed.add(doubt)
            else:
                dialogue.slip("yes or no is wanted here")
    return True


def _change(dialogue: Dialogue, sheet: Interview | Copy, answer: str) -> bool:
    """Change what `answer` says: a number asks again, `name = value` is taken; false if it says neither."""
    rows: list[Any] = [*sheet.rows()]
    name, equals, value = (part.strip() for part in answer.partition("="))
    if answer.isascii() and answer.isdigit():
        number = whole_number(answer, 1, len(rows))
        if number is None:
            dialogue.slip(f"a number from 1 to {len(rows)} is wanted here")
        else:
            _ask(dialogue, sheet, rows[number - 1])
            _ask_beside(dialogue, sheet, rows[number - 1])
        return True
    row: Any = sheet.named(name) if equals else None
    if row is None:
        return False
    try:
        dialogue.say(f"{name} = {sheet.take(row, value) or 'not known'}", 4)
    except Slip as slip:
        dialogue.slip(f"{name}: {slip}")
    _ask_beside(dialogue, sheet, row)
    return True


def _ask_beside(dialogue: Dialogue, sheet: Interview | Copy, row: Any) -> None:
    """Ask what another kind needs beside it."""
    done: set[str] = set()
    while isinstance(sheet, Copy) and (left := [each for each in sheet.opened(row) if each.key not in done]):
        done.add(left[0].key)
        _ask(dialogue, sheet, left[0])


def _list(dialogue: Dialogue, sheet: Interview | Copy, words: str = "") -> None:
    """Print the answers that have all of the `words` in name or value, each with its number."""
    wanted, lines = words.lower().split(), list[tuple[Any, str]](sheet.lines())
    numbered = [(number, row, value) for number, (row, value) in enumerate(lines, 1)]
    found = [each for each in numbered if all(word in f"{each[1].key} {each[2]}".lower() for word in wanted)]
    section = ""
    for number, row, value in found:
        if not words and row.section != section:
            section = row.section
            dialogue.say(section)
        dialogue.say(f"{number:3d}  {row.key}: {value}", hang=5)
    if not found:
        dialogue.slip(f"nothing here has {words[:40]!r} in its name or value")
