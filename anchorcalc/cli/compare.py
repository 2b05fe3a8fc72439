"""``compare``: the mountings of a scenario side by side."""

from __future__ import annotations

from pathlib import Path

import click

from anchorcalc.cli.common import Status, format_option, read, scenario_argument, shared_options


@click.command(name="compare")
@scenario_argument
@format_option
@shared_options
def command(file: str, form: str, units: str | None, own_tables: tuple[Path, ...]) -> int:
    """Try each mounting on every anchor of the scenario FILE, side by side.

    Screws, large washers, a steel plate, and a cross-member where one is near are tried for its ring as well,
    marked as tried where the file does not describe them.

    Exit status 0 when at least one of the mountings passes.

    \b
    Examples:
      anchorcalc compare my-trailer.yaml
      anchorcalc compare my-trailer.yaml --format json
    """
    from anchorcalc.rig.resolve import resolve
    from anchorcalc.sizing.usual import usual_mountings
    from anchorcalc.verdict.check import compare_rig

    scenario, catalog = read(file, own_tables, units)
    rig = resolve(scenario, catalog)
    compared = compare_rig(rig, usual_mountings(rig, catalog))
    if form == "json":
        from anchorcalc.render.json.writer import compare_json

        click.echo(compare_json(compared))
    else:
        from anchorcalc.render.screen.compare import show_compare

        show_compare(compared)
    return Status.PASSES if any(each.result.verdict == "pass" for each in compared) else Status.MARGINAL_OR_FAILS
