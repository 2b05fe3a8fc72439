"""``explain``: one link in plain words, then its number with formula, figures and source."""

from __future__ import annotations

from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING

import click

from anchorcalc.cli.common import Status, read, scenario_argument, shared_options

if TYPE_CHECKING:
    from collections.abc import Sequence

    from anchorcalc.result import AnchorStrength, Link


@click.command(name="explain")
@scenario_argument
@click.argument("anchor")
@click.argument("link", required=False)
@shared_options
def command(file: str, anchor: str, link: str | None, units: str | None, own_tables: tuple[Path, ...]) -> int:
    """Explain one LINK of an ANCHOR: what gives and what helps in plain words, then formula, figures, source.

    Without LINK the weakest one is explained and all are listed. Its key or a part of its name will do.

    \b
    Examples:
      anchorcalc explain my-trailer.yaml "front left"
      anchorcalc explain my-trailer.yaml "front left" crushes
    """
    from anchorcalc.links.modes import advice
    from anchorcalc.links.plain_words import PLAIN_WORDS
    from anchorcalc.render.screen.link import show_link
    from anchorcalc.rig.resolve import resolve
    from anchorcalc.verdict.check import check_rig
    from anchorcalc.verdict.least import with_least

    scenario, catalog = read(file, own_tables, units)
    rig = resolve(scenario, catalog)
    result = check_rig(rig)
    _anchor(result.anchors, anchor)
    result = with_least(result, rig, catalog, anchor)
    strength = _anchor(result.anchors, anchor)
    shown = strength.weakest("working") if link is None else _link(strength, link)
    show_link(result, strength, shown, (PLAIN_WORDS[shown.key], advice(shown.key, rig.anchors[anchor])))
    return Status.PASSES


def _anchor(anchors: Sequence[AnchorStrength], name: str) -> AnchorStrength:
    for strength in anchors:
        if strength.anchor == name:
            return strength
    raise click.UsageError(_unknown("anchor with a strap", name, [strength.anchor for strength in anchors]))


def _link(strength: AnchorStrength, words: str) -> Link:
    for link in strength.links:
        if words == link.key:
            return link
    for link in strength.links:
        if words.lower() in link.name.lower():
            return link
    known = [f"{link.key} ({link.name})" for link in strength.links]
    raise click.UsageError(_unknown(f"link of anchor {strength.anchor}", words, known))


def _unknown(kind: str, name: str, known: list[str]) -> str:
    near = get_close_matches(name, known, 1, 0.4)
    hint = f" Did you mean {near[0]!r}?" if near else ""
    return f"no {kind} {name[:60]!r}.{hint} Known: {'; '.join(known)}"
