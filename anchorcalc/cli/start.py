"""``start``: a scenario by questions, or a copy of one with changes."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from anchorcalc.cli.common import Status, own_tables_option

if TYPE_CHECKING:
    from collections.abc import Sequence

    from anchorcalc.catalog import Catalog
    from anchorcalc.cli.dialogue import Dialogue
    from anchorcalc.scenario.changes import Entry
    from anchorcalc.scenario.document import Plain
    from anchorcalc.scenario.guided import Answer, Interview, Question
    from anchorcalc.scenario.model import Scenario

_MOST_NUMBERED = 14
_MOST_FOUND = 40


@click.command(name="start")
@click.option("--from", "base", metavar="SCENARIO", help="Copy this scenario and change values of the copy.")
@click.option("-o", "--output", metavar="FILE", type=click.Path(path_type=Path), default=Path("my-trailer.yaml"),
              show_default=True, help="Where the new scenario goes.")  # fmt: skip
@click.option("--overwrite", is_flag=True, help="Replace FILE if it is there already.")
@own_tables_option
def command(base: str | None, output: Path, overwrite: bool, own_tables: tuple[Path, ...]) -> int:
    """Write a scenario by answering questions, and check it.

    The questions go round the trailer as one does with a tape measure; units as you like. To any of them:

    \b
      Enter          takes what stands in brackets
      don't know     is taken wherever something safe can be assumed
      ?              shows the list of choices, and how to find out
      back           asks the question before again

    Nothing is written until you have seen all answers. Answers may come from a file, one a line; lines that
    begin with '# ' are passed over.

    \b
    Examples:
      anchorcalc start
      anchorcalc start -o tractor.yaml
      anchorcalc start -o tractor.yaml < answers.txt
      anchorcalc start --from roadster -o heavier.yaml
    """
    from anchorcalc.catalog import Catalog
    from anchorcalc.cli.dialogue import Dialogue
    from anchorcalc.output import OutputError, shown, write_whole

    if not overwrite and output.exists():
        raise OutputError(f"{shown(output)}: is there already; --overwrite replaces it")
    catalog = Catalog(own_tables)
    dialogue = Dialogue()
    text = _copied(base, dialogue, catalog) if base else _asked(dialogue, catalog)
    if text is None:
        dialogue.say("Nothing was written.", 0)
        return Status.REFUSED
    dialogue.left_over()
    write_whole(output, text, overwrite=overwrite)
    dialogue.say(f"\nWritten: {shown(output)}. Checked, it says:\n", 0)
    return _verdict(text, output, catalog)


def _verdict(text: str, output: Path, catalog: Catalog) -> int:
    from anchorcalc.check import check
    from anchorcalc.render.terminal import show_check
    from anchorcalc.scenario.reader import parse_scenario

    result = check(parse_scenario(text, str(output), catalog=catalog), catalog)
    show_check(result)
    return Status.PASSES if result.verdict == "pass" else Status.MARGINAL_OR_FAILS


# --- by questions ----------------------------------------------------------------------------------------


def _asked(dialogue: Dialogue, catalog: Catalog) -> str | None:
    """Text of a new scenario, or None if the user wants none."""
    from anchorcalc.scenario.guided import Interview
    from anchorcalc.scenario.walkround import walk_round
    from anchorcalc.scenario.writer import scenario_text

    interview = Interview(lambda: walk_round(catalog))
    dialogue.say("Enter takes what stands in brackets; '?' helps; 'back' goes back.", 0)
    while True:
        _ask_all(dialogue, interview)
        assert interview.draft is not None  # noqa: S101 - all questions are answered
        text = scenario_text(interview.draft.content, interview.draft.notes)
        sound = _review(dialogue, interview, text, catalog)
        answer = _decision(dialogue, len(interview.answered), sound)
        if isinstance(answer, bool):
            return text if answer else None
        interview.change(answer - 1)


def _ask_all(dialogue: Dialogue, interview: Interview) -> None:
    from anchorcalc.scenario.guided import Slip

    section, posed = None, None
    while (question := interview.question) is not None:
        if question.section != section:
            section = question.section
            dialogue.say(f"\n{section}", 0)
        if question is not posed:
            _pose(dialogue, question)
            posed = question
        text = dialogue.hear()
        if text == "?":
            dialogue.say(_help(question), 4)
        elif text.lower() == "back":
            interview.back()
        else:
            try:
                interview.answer(text)
            except Slip as slip:
                dialogue.slip(str(slip))


def _pose(dialogue: Dialogue, question: Question) -> None:
    hints = [f"such as {question.example}"] if question.example and question.default is None else []
    if question.unknown is not None:
        hints.append("don't know will do")
    dialogue.say(question.text + (f" ({'; '.join(hints)})" if hints else ""))
    if len(question.choices) > _MOST_NUMBERED:
        dialogue.say(f"a word or number from a list of {len(question.choices)}; ? shows it", 6)
    elif question.choices and question.choices != ("yes", "no"):
        dialogue.say(_numbered(question.choices, ", "), 6, 3)
    if question.default is not None:
        dialogue.say(f"[{question.default}] {question.origin}", 6, 2)


def _numbered(choices: Sequence[str], between: str) -> str:
    return between.join(f"{number}: {each}" for number, each in enumerate(choices, 1))


def _help(question: Question) -> str:
    lines = [question.help] if question.help else []
    if len(question.choices) > _MOST_NUMBERED:
        lines.append(_numbered(question.choices, "\n"))
    if question.example:
        lines.append(f"Such as {question.example}.")
    if question.unknown is not None:
        lines.append(f"don't know: {question.unknown}.")
    else:
        lines.append("This has to be known: nothing safe can be taken for it.")
    return "\n".join(lines)


def _review(dialogue: Dialogue, interview: Interview, text: str, catalog: Catalog) -> bool:
    """Show all answers and what is still wrong; whether nothing is."""
    section = None
    dialogue.say("\nAll answers", 0)
    for number, (question, answer) in enumerate(interview.answered, 1):
        if question.section != section:
            section = question.section
            dialogue.say(section)
        dialogue.say(f"{number:3d}  {question.text} {_told(question, answer)}", hang=5)
    return _sound(dialogue, text, catalog)


def _told(question: Question, answer: Answer) -> str:
    return f"not known; {question.unknown}" if answer is None else answer


def _sound(dialogue: Dialogue, text: str, catalog: Catalog) -> bool:
    """Whether `text` is read without faults; if not they are said."""
    from anchorcalc.scenario.faults import InputFaults, path_words
    from anchorcalc.scenario.reader import parse_scenario

    try:
        parse_scenario(text, "the answers", catalog=catalog)
    except InputFaults as faults:
        dialogue.say("\nThese do not go together yet", 0)
        for fault in faults.faults:
            dialogue.say(f"{path_words(fault.path)}: {fault.message}")
        return False
    return True


def _decision(dialogue: Dialogue, most: int, sound: bool) -> int | bool:
    """True to write, False to stop, or the number of the entry to change."""
    dialogue.say("\nA number changes that answer; " + ("Enter writes the file; " if sound else "") + "stop leaves.", 0)
    while True:
        answer = dialogue.hear().lower()
        if answer in ("", "yes", "write") and sound:
            return True
        if answer == "stop":
            return False
        if answer.isascii() and answer.isdigit() and 1 <= int(answer[:5]) <= most:
            return int(answer)
        dialogue.slip(f"a number from 1 to {most}, " + ("Enter, " if sound else "") + "or stop is wanted here")


# --- by changing a copy ----------------------------------------------------------------------------------


def _copied(base: str, dialogue: Dialogue, catalog: Catalog) -> str | None:
    """Text of a changed copy of the scenario `base`, or None if the user wants none."""
    from anchorcalc.scenario.changes import changed, entries
    from anchorcalc.scenario.writer import scenario_text

    content, scenario = _texts_of(base, catalog)
    original = content
    dialogue.say("Words find values, a number changes one, Enter ends.", 0)
    while True:
        listed = entries(content, scenario)
        dialogue.say("\nWhat shall change?", 0)
        answer = dialogue.hear()
        if not answer:
            text = scenario_text(content)
            if _sound(dialogue, text, catalog) and (ready := _agreed(dialogue, original, content, listed)) is not None:
                return text if ready else None
        elif answer == "stop":
            return None
        elif answer.isascii() and answer.isdigit():
            if not 1 <= int(answer[:5]) <= len(listed):
                dialogue.slip(f"a number from 1 to {len(listed)} is wanted here")
                continue
            entry = listed[int(answer) - 1]
            content = changed(content, entry.path, _new_value(dialogue, entry))
            scenario = _read_again(dialogue, scenario_text(content), catalog) or scenario
        else:
            _find(dialogue, listed, answer)


def _texts_of(base: str, catalog: Catalog) -> tuple[dict[str, Plain], Scenario]:
    from anchorcalc.cli.common import located
    from anchorcalc.scenario.document import decode, read_document
    from anchorcalc.scenario.reader import read_scenario

    if base == "-":
        raise click.UsageError("--from takes a file; standard input is for the answers")
    path = Path(located(base))
    scenario = read_scenario(path, catalog=catalog)
    content = read_document(decode(path.read_bytes())).content
    assert isinstance(content, dict)  # noqa: S101 - it was read as a scenario
    return content, scenario


def _find(dialogue: Dialogue, listed: Sequence[Entry], words: str) -> None:
    wanted = words.lower().split()
    found = [(number, entry) for number, entry in enumerate(listed, 1)
             if all(word in f"{entry.words} {entry.value or ''}".lower() for word in wanted)]  # fmt: skip
    for number, entry in found[:_MOST_FOUND]:
        dialogue.say(f"{number:3d}  {entry.words}: {entry.value if entry.value is not None else '(not given)'}", hang=5)
    if len(found) > _MOST_FOUND:
        dialogue.say(f"... and {len(found) - _MOST_FOUND} more; another word finds fewer")
    if not found:
        dialogue.slip(f"nothing here has {words[:40]!r} in its name or value")


def _new_value(dialogue: Dialogue, entry: Entry) -> str | None:
    """The value to write, or None to take the key away."""
    dialogue.say(f"{entry.words}: the new value? 'none' takes it out.")
    dialogue.say(f"[{entry.value if entry.value is not None else 'none'}]", 6)
    answer = dialogue.hear() or entry.value
    return None if answer == "none" else answer


def _read_again(dialogue: Dialogue, text: str, catalog: Catalog) -> Scenario | None:
    from anchorcalc.scenario.reader import parse_scenario

    return parse_scenario(text, "the copy", catalog=catalog) if _sound(dialogue, text, catalog) else None


def _agreed(
    dialogue: Dialogue, original: dict[str, Plain], content: dict[str, Plain], listed: Sequence[Entry]
) -> bool | None:
    """True to write, False to stop, None to change more."""
    dialogue.say("\nChanged", 0)
    changes = 0
    for entry in listed:
        before, after = (_value_at(each, entry.path) for each in (original, content))
        if before != after:
            changes += 1
            dialogue.say(f"{entry.words}: {before or '(not given)'} -> {after or '(not given)'}")
    if not changes:
        dialogue.say("nothing; the copy says the same")
    dialogue.say("Enter writes the file; more changes more; stop leaves.", 0)
    while True:
        answer = dialogue.hear().lower()
        if answer in ("", "yes", "write"):
            return True
        if answer in ("stop", "more"):
            return False if answer == "stop" else None
        dialogue.slip("Enter, more or stop is wanted here")


def _value_at(content: Plain, path: Sequence[str | int]) -> Plain:
    for step in path:
        if isinstance(content, dict):
            content = content.get(str(step))
        elif isinstance(content, list) and isinstance(step, int) and step < len(content):
            content = content[step]
        else:
            return None
    return content
