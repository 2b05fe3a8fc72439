"""``compare``: the mountings of a scenario side by side."""

from __future__ import annotations

from pathlib import Path

import click

from anchorcalc.cli.common import Status, format_option, rig_of, scenario_argument, shared_options


@click.command(name="compare")
@scenario_argument
@format_option
@shared_options
def command(file: str, form: str, units: str | None, own_tables: tuple[Path, ...]) -> int:
    """Try each mounting of the scenario FILE on every anchor, side by side.

    Exit status 0 when at least one of the mountings passes.

    \b
    Examples:
      anchorcalc compare my-trailer.yaml
      anchorcalc compare my-trailer.yaml --format json
    """
    from anchorcalc.verdict.check import compare_rig

    compared = compare_rig(rig_of(file, own_tables, units))
    if form == "json":
        from anchorcalc.render.json.writer import compare_json

        click.echo(compare_json(compared))
    else:
        from anchorcalc.render.screen.compare import show_compare

        show_compare(compared)
    return Status.PASSES if any(each.result.verdict == "pass" for each in compared) else Status.MARGINAL_OR_FAILS
