"""``start``: a scenario by questions, or a copy of one with changes."""

from __future__ import annotations

import tempfile
from pathlib import Path

import click

from anchorcalc.cli.common import Status, checked, own_tables_option
from anchorcalc.cli.writing import keep_inputs


@click.command(name="start")
@click.option("--from", "base", metavar="SCENARIO", help="Copy this scenario and change values of the copy.")
@click.option(
    "-o",
    "--output",
    metavar="FILE",
    type=click.Path(path_type=Path),
    default=Path("my-trailer.yaml"),
    show_default=True,
    help="Where the new scenario goes.",
)
@click.option("--overwrite", is_flag=True, help="Replace FILE if it is there already.")
@own_tables_option
def command(base: str | None, output: Path, overwrite: bool, own_tables: tuple[Path, ...]) -> int:
    """Write a scenario by answering questions, and check it.

    Some twenty answers, a few of several measures apart by commas; what is not asked is taken as usual or as a
    guess, and marked so in the list of all answers that follows and in every result. Below the list stands what the
    answers come to, and which of those nobody measured decide that. To any question:

    \b
      Enter          takes what stands in brackets, as a guess
      don't know     is taken wherever something safe can be assumed
      ?              shows the choices, and how to find out
      back           asks the question before again
      anew, stop     begins anew, or leaves

    In the list a number changes that answer, words find answers, and so does 'deck width = 80 in'. Nothing is
    written until you agree; until then your answers are kept in FILE.answers, and the same command goes on from
    there. With --from it opens at the list of all values of the copy; a changed kind asks for what it needs. Parts are
    put in as in a file, 'deck nose = {length: 30 in, width: 20 in}', and taken out by none.

    Answers may come from a file, one a line; lines that begin with '# ' are passed over.

    \b
    Examples:
      anchorcalc start
      anchorcalc start -o tractor.yaml
      anchorcalc start -o tractor.yaml < answers.txt
      anchorcalc start --from roadster -o heavier.yaml
    """
    keep_inputs(output, base, own_tables)
    _make_sure_of(output, overwrite=overwrite)
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.cli.dialogue import Dialogue
    from anchorcalc.cli.posing import Kept, Stopped, asked, copied
    from anchorcalc.output import shown, write_whole
    from anchorcalc.render.screen.check import show_check
    from anchorcalc.scenario.read import parse_scenario
    from anchorcalc.scenario.writer import scenario_text

    catalog = Catalog(own_tables)
    dialogue = Dialogue()
    kept = Kept(output.with_name(f"{output.name}.answers") if dialogue.at_terminal and not base else None)
    result = None
    try:
        if base:
            text = copied(base, dialogue, catalog)
        else:
            content, result = asked(dialogue, catalog, kept)
            text = scenario_text(content)
    except Stopped:
        dialogue.say("Nothing was written.", 0)
        return Status.REFUSED
    dialogue.left_over()
    write_whole(output, text, overwrite=overwrite)
    kept.forget()
    dialogue.say(f"\nWritten: {shown(output)}. Checked, it says:\n", 0)
    result = result or checked(parse_scenario(text, str(output), catalog=catalog), catalog)
    show_check(result, str(output))
    return Status.PASSES if result.verdict == "pass" else Status.MARGINAL_OR_FAILS


def _make_sure_of(output: Path, *, overwrite: bool) -> None:
    """Tell before the first question if there will be no writing to `output`."""
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
