"""``size``: a wanted strength to the backing to buy."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from anchorcalc.cli.common import Status, format_option, read, scenario_argument, shared_options, texts_of
from anchorcalc.cli.progress import progress_bar
from anchorcalc.cli.writing import keep_inputs

if TYPE_CHECKING:
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.reading.document import Plain
    from anchorcalc.result.size import SizeAnswer, Wanted
    from anchorcalc.sizing.size import Backed


@click.command(name="size")
@scenario_argument
@click.option("--anchor", help="Which anchor; the one nearest to its limit when left out.")
@click.option("--mounting", help="Whose ring and bolt pattern; the anchor's own when left out.")
@click.option("--strength", metavar="FORCE", help="Working strength wanted along the pull, such as '3 kN'.")
@click.option("--needed", is_flag=True, help="What the scenario's cases need, with their reserve; the usual way.")
@click.option("--as-ring", is_flag=True, help="As strong as the ring is rated.")
@click.option(
    "--direction", default="strap", show_default=True, metavar="WAY", help="up, strap, or an angle as '40 deg'."
)
@click.option("--all-stock", is_flag=True, help="Search all stock, not only what a hardware shop has.")
@format_option
@click.option("--picture", metavar="FILE.svg", type=click.Path(path_type=Path), help="Draw the smallest choice.")
@click.option("--write", "target", metavar="NEW.yaml", type=click.Path(path_type=Path), help="Write the first choice.")
@click.option("--overwrite", is_flag=True, help="Replace what is there already.")
@shared_options
def command(
    file: str, anchor: str | None, mounting: str | None, strength: str | None, needed: bool, as_ring: bool,
    direction: str, all_stock: bool, form: str, picture: Path | None, target: Path | None, overwrite: bool,
    units: str | None, own_tables: tuple[Path, ...],
) -> int:  # fmt: skip
    """Find the backing to buy for one anchor of the scenario FILE.

    Without --strength or --as-ring it is made for what the scenario's cases need. Washers, plates, bolts, and
    ways to steel that a hardware shop has and that fit are tried, all stock with --all-stock; what is shown holds
    enough, the smallest first.

    \b
    Examples:
      anchorcalc size my-trailer.yaml
      anchorcalc size my-trailer.yaml --anchor "front left" --strength "3 kN" --direction up
      anchorcalc size my-trailer.yaml --as-ring --picture plate.svg
    """
    if target is not None and file == "-":
        raise click.UsageError("--write reads the file once more: name it instead of '-'")
    if (strength is not None) + needed + as_ring > 1:
        raise click.UsageError("say how strong in one way: --strength FORCE, --needed or --as-ring")
    if picture is not None and picture.suffix.lower() != ".svg":
        raise click.UsageError("the picture's name must end in .svg")
    for output in (picture, target):
        if output is not None:
            keep_inputs(output, file, own_tables)
    from anchorcalc.rig.resolve import resolve
    from anchorcalc.sizing.size import SizeError, backed, pull_direction, size

    scenario, catalog = read(file, own_tables, units)
    try:
        at = backed(resolve(scenario, catalog), anchor, mounting)
        way = pull_direction(at, direction)
        wanted = _wanted(at, strength, as_ring=as_ring)
    except SizeError as error:
        raise click.UsageError(str(error)) from None
    with progress_bar("trying what is in stock") as progress:
        answer = size(at, catalog, way, wanted, progress, picture=picture is not None, shops=not all_stock)
    if picture is not None:
        from anchorcalc.output import shown, write_whole
        from anchorcalc.render.draw.size_picture import size_picture

        drawn = size_picture(answer)
        if drawn is None:
            click.echo("no picture: nothing in stock fits there", err=True)
        else:
            write_whole(picture, drawn, overwrite=overwrite)
            click.echo(f"written: {shown(picture)}", err=True)
    if target is not None:
        _write(target, answer, *texts_of(file, catalog), catalog, overwrite=overwrite)
    if form == "json":
        from anchorcalc.render.json.writer import size_json

        click.echo(size_json(answer))
    else:
        from anchorcalc.render.screen.size import show_size

        show_size(answer)
    return Status.PASSES if answer.verdict == "pass" else Status.MARGINAL_OR_FAILS


def _write(
    target: Path, answer: SizeAnswer, text: str, content: dict[str, Plain], catalog: Catalog, *, overwrite: bool
) -> None:
    """Write the scenario with the first choice under every ring fastened as this one, and say what it comes to."""
    from anchorcalc.output import shown, write_whole
    from anchorcalc.scenario.read import parse_scenario
    from anchorcalc.scenario.rewriter import rewritten
    from anchorcalc.sizing.rewrite import with_backing
    from anchorcalc.units import unit_system
    from anchorcalc.verdict.check import check

    if not answer.enough or not answer.choices:
        raise click.UsageError("nothing to write: no choice is enough")
    changed = with_backing(content, answer.mounting, answer.choices[0], unit_system(answer.units))
    text = rewritten(text, changed, [f"Changed: the backing of mounting {answer.mounting}, as sized."])
    verdict = check(parse_scenario(text, str(target), catalog=catalog), catalog).verdict
    write_whole(target, text, overwrite=overwrite)
    click.echo(f"written: {shown(target)}, for all rings fastened alike; its check: {verdict}", err=True)


def _wanted(at: Backed, strength: str | None, *, as_ring: bool) -> Wanted:
    from pydantic import TypeAdapter, ValidationError

    from anchorcalc.result.size import Wanted
    from anchorcalc.scenario.quantities import Rating
    from anchorcalc.sizing import size as sizing

    if as_ring:
        return sizing.as_ring(at)
    if strength is None:
        return sizing.needed(at)
    try:
        newtons = TypeAdapter(Rating).validate_python(strength)
    except ValidationError as error:
        reason = error.errors(include_url=False)[0]["ctx"]["error"]
        raise click.UsageError(f"--strength: {reason}") from None
    return Wanted(newtons, 0.0, "as asked")
