"""``start``: a scenario by questions, or a copy of one with changes."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from anchorcalc.cli.common import Status, own_tables_option
from anchorcalc.cli.copying import copied
from anchorcalc.cli.posing import ask_all, read_soundly
from anchorcalc.cli.writing import keep_inputs

if TYPE_CHECKING:
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.cli.dialogue import Dialogue
    from anchorcalc.interview.guided import Answer, Interview, Question


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

    With --from, words find the values of the copy and a number changes one; 'anew' finds the layers, the ways of
    fastening and the straps that can be described anew by questions.

    Nothing is written until you have seen all answers. Answers may come from a file, one a line; lines that
    begin with '# ' are passed over.

    \b
    Examples:
      anchorcalc start
      anchorcalc start -o tractor.yaml
      anchorcalc start -o tractor.yaml < answers.txt
      anchorcalc start --from roadster -o heavier.yaml
    """
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.cli.dialogue import Dialogue
    from anchorcalc.output import shown, write_whole

    keep_inputs(output, base, own_tables)
    _make_sure_of(output, overwrite=overwrite)
    catalog = Catalog(own_tables)
    dialogue = Dialogue()
    text = copied(base, dialogue, catalog) if base else _asked(dialogue, catalog)
    if text is None:
        dialogue.say("Nothing was written.", 0)
        return Status.REFUSED
    dialogue.left_over()
    write_whole(output, text, overwrite=overwrite)
    dialogue.say(f"\nWritten: {shown(output)}. Checked, it says:\n", 0)
    return _verdict(text, output, catalog)


def _make_sure_of(output: Path, *, overwrite: bool) -> None:
    """Tell before the first question if there will be no writing to `output`."""
    import tempfile

    from anchorcalc.output import OutputError, shown

    try:
        if output.is_dir():
            raise OutputError(f"{shown(output)}: is a folder; name a file")
        if not overwrite and output.exists():
            raise OutputError(f"{shown(output)}: is there already; --overwrite replaces it")
        with tempfile.TemporaryFile(dir=output.parent):
            pass
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise OutputError(f"{shown(output)}: cannot be written: {reason}") from None


def _verdict(text: str, output: Path, catalog: Catalog) -> int:
    from anchorcalc.render.screen.check import show_check
    from anchorcalc.scenario.read import parse_scenario
    from anchorcalc.verdict.check import check

    result = check(parse_scenario(text, str(output), catalog=catalog), catalog)
    show_check(result)
    return Status.PASSES if result.verdict == "pass" else Status.MARGINAL_OR_FAILS


# --- by questions ----------------------------------------------------------------------------------------


def _asked(dialogue: Dialogue, catalog: Catalog) -> str | None:
    """Text of a new scenario, or None if the user wants none."""
    from anchorcalc.interview.guided import Interview
    from anchorcalc.interview.walkround import walk_round
    from anchorcalc.interview.writer import scenario_text

    interview = Interview(lambda: walk_round(catalog))
    dialogue.say("Enter takes what stands in brackets; '?' helps; 'back' goes back.", 0)
    while True:
        ask_all(dialogue, interview)
        assert interview.draft is not None  # noqa: S101 - all questions are answered
        text = scenario_text(interview.draft.content, interview.draft.notes)
        sound = _review(dialogue, interview, text, catalog)
        answer = _decision(dialogue, len(interview.answered), sound)
        if isinstance(answer, bool):
            return text if answer else None
        interview.change(answer - 1)


def _review(dialogue: Dialogue, interview: Interview, text: str, catalog: Catalog) -> bool:
    """Show all answers and what is still wrong; whether nothing is."""
    section = None
    dialogue.say("\nAll answers", 0)
    for number, (question, answer) in enumerate(interview.answered, 1):
        if question.section != section:
            section = question.section
            dialogue.say(section)
        dialogue.say(f"{number:3d}  {question.text} {_told(question, answer)}", hang=5)
    return read_soundly(dialogue, text, catalog) is not None


def _told(question: Question, answer: Answer) -> str:
    return f"not known; {question.unknown}" if answer is None else answer


def _decision(dialogue: Dialogue, most: int, sound: bool) -> int | bool:
    """True to write, False to stop, or the number of the entry to change."""
    from anchorcalc.interview.guided import whole_number

    dialogue.say("\nA number changes that answer; " + ("Enter writes the file; " if sound else "") + "stop leaves.", 0)
    while True:
        answer = dialogue.hear().lower()
        if answer in ("", "yes", "write") and sound:
            return True
        if answer == "stop":
            return False
        if (number := whole_number(answer, 1, most)) is not None:
            return number
        dialogue.slip(f"a number from 1 to {most}, " + ("Enter, " if sound else "") + "or stop is wanted here")
