"""``template``: a mounting to a drilling and cutting template at true size."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from anchorcalc.cli.common import Status, rig_of, scenario_argument, shared_options, tell
from anchorcalc.cli.writing import keep_inputs, output_options, suffix_of, write

if TYPE_CHECKING:
    from collections.abc import Sequence

    from anchorcalc.render.draw.tiling import Paper


@click.command(name="template")
@scenario_argument
@click.argument("mounting")
@output_options
@click.option(
    "--paper", type=click.Choice(["letter", "a4"]), help="Paper of a PDF; letter for us units, a4 for si.",
)  # fmt: skip
@shared_options
def command(
    file: str, mounting: str, output: Path, overwrite: bool, paper: Paper | None, units: str | None,
    own_tables: tuple[Path, ...],
) -> int:  # fmt: skip
    """Draw the drilling and cutting template of one MOUNTING of the scenario FILE at true size.

    The ending of the output file chooses its kind: pdf, svg or dxf. A PDF larger than the paper is cut into
    pages that overlap. A mounting that does not pass on the scenario's anchors, or keeps a distance too small, says
    so across the head of every sheet.

    \b
    Exit status: 0 written; 1 written for a mounting that does not pass, or is
    not in order; 2 input refused.

    \b
    Examples:
      anchorcalc template my-trailer.yaml plated -o plated.pdf
      anchorcalc template my-trailer.yaml plated -o plated.dxf
    """
    from anchorcalc.render.draw.template import template_of
    from anchorcalc.render.fitting_words import reserve

    kind = suffix_of(output, ("pdf", "svg", "dxf"))
    keep_inputs(output, file, own_tables)
    rig = rig_of(file, own_tables, units)
    if mounting not in rig.mountings:
        raise click.UsageError(_unknown(mounting, list(rig.mountings)))
    if not len(rig.mountings[mounting].positions):
        raise click.UsageError(f"mounting {mounting!r} is welded to the frame: there is nothing to drill")
    from anchorcalc.verdict.check import check_rig

    used = mounting in {rig.anchors[name].mounting.name for name in rig.strapped}
    result = check_rig(rig if used else rig.with_mounting(mounting))  # what nothing hangs on is tried at every anchor
    refused = reserve(result)
    sheet = next(each for each in result.sheet.mountings if each.name == mounting)
    template = template_of(rig, mounting, sheet, refused)
    content: str | bytes
    if kind == "pdf":
        from anchorcalc.render.draw.template_pdf import template_pdf

        content = template_pdf(template, paper or ("letter" if rig.units == "us" else "a4"))
    elif kind == "svg":
        from anchorcalc.render.draw.template_svg import template_svg

        content = template_svg(template)
    else:
        from anchorcalc.render.draw.template_dxf import template_dxf

        content = template_dxf(template)
    write(output, content, overwrite=overwrite)
    if kind == "pdf":
        _tell_of_letters((rig.title, mounting, *rig.anchors))
    click.echo(f"verdict: {result.verdict}; room and parts: {'in order' if result.sheet.ready else 'NOT in order'}")
    if refused:
        tell(f"{refused.word}, and the drawing says so: {refused.why}")
    return Status.MARGINAL_OR_FAILS if refused else Status.PASSES


def _tell_of_letters(names: Sequence[str]) -> None:
    """Say that letters of the names are empty boxes, and what would show them."""
    from anchorcalc.render.draw.glyphs import missing
    from anchorcalc.render.draw.letters import runs, western

    if missing(run for name in names for run in runs(name) if not western(run)):
        tell("letters without a font here are drawn as boxes; the extra 'letters' of this package has fonts for more")


def _unknown(name: str, known: list[str]) -> str:
    from difflib import get_close_matches

    from anchorcalc.render.draw.svg import harmless

    near = get_close_matches(name, known, 1, 0.4)
    hint = f" Did you mean {harmless(near[0], 60)!r}?" if near else ""
    return f"no mounting {harmless(name, 60)!r}.{hint} Known: {'; '.join(harmless(each, 60) for each in known)}"
