"""``report``: everything about a scenario as one HTML file."""

from __future__ import annotations

from pathlib import Path

import click

from anchorcalc.cli.common import Status, checked_rig, read, scenario_argument, shared_options
from anchorcalc.cli.writing import keep_inputs, output_options, suffix_of, write


@click.command(name="report")
@scenario_argument
@output_options
@shared_options
def command(file: str, output: Path, overwrite: bool, units: str | None, own_tables: tuple[Path, ...]) -> int:
    """Write everything about the scenario FILE into one HTML file, to read on any screen or to print.

    It holds verdict, deck plan, pulls, weakest links, mountings side by side, fitting sheet, check list,
    assumptions, sources and cautions. It has no scripts and fetches nothing.

    \b
    Exit status is that of check: 0 everything passes, 1 marginal or fail.

    \b
    Examples:
      anchorcalc report my-trailer.yaml -o report.html
      anchorcalc report my-trailer.yaml -o report.html --overwrite
    """
    from anchorcalc.render.page.report import ReportParts, report_html
    from anchorcalc.rig.resolve import resolve
    from anchorcalc.verdict.check import compare_rig

    suffix_of(output, ("html", "htm"))
    keep_inputs(output, file, own_tables)
    scenario, catalog = read(file, own_tables, units)
    rig = resolve(scenario, catalog)
    result = checked_rig(rig, scenario, catalog, least=True)
    parts = ReportParts(rig, result, compare_rig(rig))
    write(output, report_html(parts), overwrite=overwrite)
    click.echo(f"verdict: {result.verdict}")
    return Status.PASSES if result.verdict == "pass" else Status.MARGINAL_OR_FAILS
