"""``plan``: the deck from above as a drawing."""

from __future__ import annotations

from pathlib import Path

import click

from anchorcalc.cli.common import Status, rig_of, scenario_argument, shared_options
from anchorcalc.cli.writing import keep_inputs, output_options, suffix_of, write


@click.command(name="plan")
@scenario_argument
@output_options
@shared_options
def command(file: str, output: Path, overwrite: bool, units: str | None, own_tables: tuple[Path, ...]) -> int:
    """Draw the deck of the scenario FILE from above, with anchors, straps and verdicts, as SVG.

    \b
    Exit status is that of check: 0 everything passes, 1 marginal or fail.

    \b
    Examples:
      anchorcalc plan my-trailer.yaml -o plan.svg
      anchorcalc plan my-trailer.yaml -o plan.svg --units si --overwrite
    """
    from anchorcalc.render.draw.plan import DeckPlan, plan_svg
    from anchorcalc.verdict.check import check_rig

    suffix_of(output, ("svg",))
    keep_inputs(output, file, own_tables)
    rig = rig_of(file, own_tables, units)
    result = check_rig(rig)
    write(output, plan_svg(DeckPlan(rig, result)), overwrite=overwrite)
    click.echo(f"verdict: {result.verdict}")
    return Status.PASSES if result.verdict == "pass" else Status.MARGINAL_OR_FAILS
