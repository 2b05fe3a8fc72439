"""``improve``: a scenario to what would make it pass."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from anchorcalc.cli.common import Status, format_option, scenario_argument, shared_options, tell, texts_of
from anchorcalc.cli.progress import progress_bar
from anchorcalc.cli.writing import keep_inputs

if TYPE_CHECKING:
    from anchorcalc.render.screen.improve import Written
    from anchorcalc.result.improve import Improvement
    from anchorcalc.sizing.improve import Improver


@click.command(name="improve")
@scenario_argument
@format_option
@click.option("--write", "target", metavar="NEW.yaml", type=click.Path(path_type=Path), help="Write the changed file.")
@click.option("--take", metavar="NUMBERS", help="Changes to write, such as 1,3; the fewest that pass when left out.")
@click.option("--overwrite", is_flag=True, help="Replace NEW.yaml if it is there already.")
@shared_options
def command(
    file: str,
    form: str,
    target: Path | None,
    take: str | None,
    overwrite: bool,
    units: str | None,
    own_tables: tuple[Path, ...],
) -> int:
    """Find what would make the scenario FILE pass.

    Every change a person could make is tried by itself: other backings, bolts, rings, more screws, another layer,
    rings moved, straps run or tightened otherwise. Then the fewest that pass together. What is written keeps the
    remarks of FILE.

    \b
    Exit status: 0 something within reach passes, or all passes as it is;
    1 nothing does; 2 input refused.

    \b
    Examples:
      anchorcalc improve my-trailer.yaml
      anchorcalc improve my-trailer.yaml --write better.yaml
      anchorcalc improve my-trailer.yaml --take 2,5 --write better.yaml
    """
    if take is not None and target is None:
        raise click.UsageError("--take says what to write: name a file with --write")
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.output import shown
    from anchorcalc.sizing.improve import improve

    if target is not None:
        keep_inputs(target, file, own_tables)
    catalog = Catalog(own_tables)
    text, content = texts_of(file, catalog)
    with progress_bar("trying changes") as progress:
        improver, answer = improve(content, catalog, progress)
    if units is not None:
        from msgspec.structs import replace

        answer = replace(answer, units="us" if units == "us" else "si")
    numbers = answer.shortest if take is None else _numbers(take)
    if target and not numbers:
        tell(f"{shown(target)} is not written: {_why_nothing(answer)}")
        return Status.REFUSED
    written = _write(target, text, improver, answer, numbers, overwrite=overwrite) if target and numbers else None
    if form == "json":
        from anchorcalc.render.json.writer import improve_json

        click.echo(improve_json(answer))
        if written is not None:
            click.echo(f"written: {written.name}", err=True)
    else:
        from anchorcalc.render.screen.improve import show_improve

        show_improve(answer, file, written)
    return Status.PASSES if answer.verdict == "pass" or answer.shortest else Status.MARGINAL_OR_FAILS


def _write(
    target: Path, text: str, improver: Improver, answer: Improvement, numbers: tuple[int, ...], *, overwrite: bool
) -> Written:
    """Write the scenario with the changes of these numbers, and tell what checking it says."""
    from anchorcalc.output import shown, write_whole
    from anchorcalc.render.screen.improve import Written
    from anchorcalc.scenario.rewriter import rewritten
    from anchorcalc.sizing.improve import ImproveError
    from anchorcalc.sizing.workbench import worst_utilisation

    try:
        variant = improver.together(numbers)
    except ImproveError as error:
        raise click.UsageError(f"--take: {error}") from None
    if variant is None:
        raise click.UsageError("--take: these changes have no room beside each other, or lead to what cannot be")
    notes = [
        f"Changed: {answer.changes[k].what}: {answer.changes[k].to} (was: {answer.changes[k].was})." for k in numbers
    ]
    write_whole(target, rewritten(text, variant.content, notes), overwrite=overwrite)
    return Written(shown(target), variant.result.verdict, worst_utilisation(variant.result))


def _why_nothing(answer: Improvement) -> str:
    from anchorcalc.render.screen.improve import nearest_numbers

    if answer.verdict == "pass":
        return "it passes as it is"
    if not answer.nearest:
        return f"none of {len(answer.changes)} changes passes, nor any set found"
    return (
        f"none of {len(answer.changes)} changes passes, nor any set found; "
        f"--take {nearest_numbers(answer)} writes what comes nearest, and without --write all are told"
    )


def _numbers(take: str) -> tuple[int, ...]:
    parts = [part.strip() for part in take.split(",")]
    if not all(part.isascii() and part.isdigit() for part in parts):
        raise click.UsageError("--take: write the numbers of changes, such as 1,3")
    return tuple(dict.fromkeys(int(part) - 1 for part in parts))
