"""``report``: everything about a scenario as one HTML file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from anchorcalc.cli.common import Status, checked_rig, read, scenario_argument, shared_options
from anchorcalc.cli.progress import progress_bar
from anchorcalc.cli.writing import keep_inputs, output_options, suffix_of, write

if TYPE_CHECKING:
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.result.size import SizeAnswer
    from anchorcalc.rig.rig import Rig


@click.command(name="report")
@scenario_argument
@output_options
@click.option("--size", "sized", is_flag=True, help="Also search the stock for the backing to buy, as size does; slow.")
@shared_options
def command(
    file: str, output: Path, overwrite: bool, sized: bool, units: str | None, own_tables: tuple[Path, ...]
) -> int:
    """Write everything about the scenario FILE into one HTML file, to read on any screen or to print.

    It holds verdict, deck plan, pulls, weakest links, mountings side by side, fitting sheet, check list,
    assumptions, sources and cautions. It has no scripts and fetches nothing.

    \b
    Exit status is that of check: 0 everything passes, 1 marginal or fail.

    \b
    Examples:
      anchorcalc report my-trailer.yaml -o report.html
      anchorcalc report my-trailer.yaml -o report.html --overwrite
      anchorcalc report my-trailer.yaml -o report.html --size
    """
    from anchorcalc.render.page.report import ReportParts, report_html
    from anchorcalc.rig.resolve import resolve
    from anchorcalc.verdict.check import compare_rig

    suffix_of(output, ("html", "htm"))
    keep_inputs(output, file, own_tables)
    scenario, catalog = read(file, own_tables, units)
    rig = resolve(scenario, catalog)
    result = checked_rig(rig, scenario, catalog, least=True)
    parts = ReportParts(rig, result, compare_rig(rig), _sized(rig, catalog) if sized else None)
    write(output, report_html(parts), overwrite=overwrite)
    click.echo(f"verdict: {result.verdict}")
    return Status.PASSES if result.verdict == "pass" else Status.MARGINAL_OR_FAILS


def _sized(rig: Rig, catalog: Catalog) -> SizeAnswer:
    """What to buy for the anchor nearest to its limit, as the scenario's cases need it."""
    from anchorcalc.sizing.size import SizeError, backed, needed, pull_direction, size

    try:
        at = backed(rig, None, None)
        way, wanted = pull_direction(at, "strap"), needed(at)
    except SizeError as error:
        raise click.UsageError(str(error)) from None
    with progress_bar("trying what is in stock") as progress:
        return size(at, catalog, way, wanted, progress, picture=True, shops=True)
