"""``check``: a scenario to its verdict, or several to one summary."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from anchorcalc.cli.common import Status, checked, complete_scenario, format_option, scenario_of, shared_options, tell

if TYPE_CHECKING:
    from collections.abc import Iterator

    from anchorcalc.reading.faults import InputFaults
    from anchorcalc.result import Result


@click.command(name="check")
@click.argument("files", metavar="FILE...", nargs=-1, required=True, shell_complete=complete_scenario)
@click.option("--all", "everything", is_flag=True, help="Show every figure, assumption and caution.")
@format_option
@shared_options
def command(
    files: tuple[str, ...], everything: bool, form: str, units: str | None, own_tables: tuple[Path, ...]
) -> int:
    """Check every strap and anchor of the scenario FILE.

    FILE is a scenario, '-' for standard input, or the name of a shipped scenario. Several get one summary
    table, or one line of JSON each; one that is refused does not stop the others. The exit status is that of
    the gravest.

    \b
    Examples:
      anchorcalc check my-trailer.yaml
      anchorcalc check my-trailer.yaml --all
      anchorcalc check my-trailer.yaml --format json
      anchorcalc check roadster
      anchorcalc check trailers/*.yaml
    """
    if len(files) > 1:
        return _several(files, form, units, own_tables)
    from anchorcalc.catalog.tables import Catalog

    catalog = Catalog(own_tables)
    result = checked(scenario_of(files[0], catalog, units), catalog, least=form == "json")
    if form == "json":
        from anchorcalc.render.json.writer import check_json

        click.echo(check_json(result))
    elif everything:
        from anchorcalc.render.screen.everything import show_all

        show_all(result)
    else:
        from anchorcalc.render.screen.check import show_check

        show_check(result, files[0])
    return _status(result)


def _status(outcome: Result | InputFaults) -> Status:
    from anchorcalc.reading.faults import InputFaults

    if isinstance(outcome, InputFaults):
        return Status.REFUSED
    return Status.PASSES if outcome.verdict == "pass" else Status.MARGINAL_OR_FAILS


def _several(files: tuple[str, ...], form: str, units: str | None, own_tables: tuple[Path, ...]) -> int:
    if files.count("-") > 1:
        raise click.UsageError("standard input can be read only once")
    gravest = Status.PASSES
    outcomes = _outcomes(files, units, own_tables)
    if form == "json":
        from anchorcalc.render.screen.summary import summary_line

        for file, outcome in outcomes:
            click.echo(summary_line(file, outcome))
            gravest = max(gravest, _status(outcome))
        return gravest
    from anchorcalc.render.screen.summary import Line, line_of, show_summary

    lines: list[Line] = []  # kept small: a result is forgotten once its line is made
    for file, outcome in outcomes:
        lines.append(line_of(file, outcome))
        gravest = max(gravest, _status(outcome))
        if lines[-1].verdict == "refused":
            tell(str(outcome))
    show_summary(lines)
    return gravest


def _outcomes(
    files: tuple[str, ...], units: str | None, own_tables: tuple[Path, ...]
) -> Iterator[tuple[str, Result | InputFaults]]:
    """Each file with its result, or with what is wrong with it."""
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.reading.faults import InputFaults

    catalog = Catalog(own_tables)
    for file in files:
        try:
            yield file, checked(scenario_of(file, catalog, units), catalog)
        except InputFaults as faults:
            yield file, faults
