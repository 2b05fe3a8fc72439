"""``check``: a scenario to its verdict."""

from __future__ import annotations

from pathlib import Path

import click

from anchorcalc.cli.common import Status, format_option, read, scenario_argument, shared_options


@click.command(name="check")
@scenario_argument
@format_option
@shared_options
def command(file: str, form: str, units: str | None, own_tables: tuple[Path, ...]) -> int:
    """Check every strap and anchor of the scenario FILE.

    FILE is a scenario, '-' for standard input, or the name of a shipped scenario.

    \b
    Examples:
      anchorcalc check my-trailer.yaml
      anchorcalc check my-trailer.yaml --format json
      anchorcalc check roadster-plated
    """
    from anchorcalc.check import check

    scenario, catalog = read(file, own_tables, units)
    result = check(scenario, catalog)
    if form == "json":
        from anchorcalc.render.json import check_json

        click.echo(check_json(result))
    else:
        from anchorcalc.render.terminal import show_check

        show_check(result)
    return Status.PASSES if result.verdict == "pass" else Status.MARGINAL_OR_FAILS
