"""``fit``: a scenario to its fitting sheet."""

from __future__ import annotations

from pathlib import Path

import click

from anchorcalc.cli.common import Status, format_option, read, scenario_argument, shared_options
from anchorcalc.cli.writing import keep_inputs, suffix_of


@click.command(name="fit")
@scenario_argument
@format_option
@click.option("--picture", metavar="FILE.svg", type=click.Path(path_type=Path), help="Draw stacks and links.")
@click.option("--overwrite", is_flag=True, help="Replace the picture if it is there already.")
@shared_options
def command(
    file: str, form: str, picture: Path | None, overwrite: bool, units: str | None, own_tables: tuple[Path, ...]
) -> int:
    """Show what to buy, drill and tighten for the scenario FILE, and what is in the way.

    \b
    Exit status: 0 nothing in the way, no rating exceeded, and `check` passes;
    1 a conflict, a distance not kept, a bolt too short or too long, an
    overload, or a `check` that does not pass; 2 input refused.

    \b
    Examples:
      anchorcalc fit my-trailer.yaml
      anchorcalc fit my-trailer.yaml --format json
      anchorcalc fit my-trailer.yaml --picture fitting.svg
    """
    if picture is not None:
        suffix_of(picture, ("svg",))
        keep_inputs(picture, file, own_tables)
    from anchorcalc.links.path import Strengths
    from anchorcalc.rig.resolve import resolve
    from anchorcalc.verdict.check import check_forces
    from anchorcalc.verdict.conditions import with_conditions
    from anchorcalc.verdict.forces import Forces

    scenario, catalog = read(file, own_tables, units)
    rig = resolve(scenario, catalog)
    strengths = Strengths(rig.basis)
    result = check_forces(Forces(rig, strengths))
    if result.verdict == "pass":
        result = with_conditions(result, rig, scenario, catalog, strengths)
    if picture is not None:
        from anchorcalc.output import shown, write_whole
        from anchorcalc.render.draw.fit_picture import fit_picture

        write_whole(picture, fit_picture(rig, result), overwrite=overwrite)
        click.echo(f"written: {shown(picture)}", err=True)
    if form == "json":
        from anchorcalc.render.json.writer import fitting_json

        click.echo(fitting_json(result))
    else:
        from anchorcalc.render.screen.fitting import show_fitting

        show_fitting(result, file)
    return Status.PASSES if result.sheet.ready and result.verdict == "pass" else Status.MARGINAL_OR_FAILS
