"""Beside the deck: the verdict, the pull of every strap in every case, what is in the way, and the signs used."""

from __future__ import annotations

from math import isfinite
from typing import TYPE_CHECKING

from anchorcalc.render import figures, fitting_words
from anchorcalc.render.draw.letters import screen_fitted, screen_width, screen_wrapped
from anchorcalc.render.draw.plan_style import glyph, gravity_sign
from anchorcalc.render.draw.side_view import side_view
from anchorcalc.render.draw.svg import Markup, group, harmless, label, tag
from anchorcalc.render.names import Names
from anchorcalc.result.words import CASE_SHORT, what_cases_are

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from anchorcalc.result.check import CaseResult, Result
    from anchorcalc.result.fitting import AnchorPlace
    from anchorcalc.result.strength import Verdict
    from anchorcalc.rig.floor import FloorSetting
    from anchorcalc.rig.rig import Rig
    from anchorcalc.units import UnitSystem

_NAMES, _COLUMN, _ROW = 196.0, 84.0, 36.0
_TEXT_WIDTH = 610.0
_SMALL_LINE = 16.0
_VERDICT_WORDS: dict[Verdict | None, str] = {
    "pass": "anchor passes", "marginal": "anchor marginal", "fail": "anchor fails", None: "anchor without a strap",
}  # fmt: skip
_SHORT_VERDICT: dict[Verdict, str] = {"pass": "", "marginal": "near", "fail": "FAIL"}


def side_panel(rig: Rig, result: Result) -> tuple[Markup, float, float]:
    """The panel, its width and its height."""
    units, names = figures.units_of(result), Names(rig)
    width = max(_NAMES + _COLUMN * len(result.cases), 620.0)
    beside = 44.0 + screen_width(result.verdict.upper(), 17, bold=True)
    parts = [
        glyph(result.verdict, 14, 32),
        label(34, 38, result.verdict.upper(), class_=f"head {result.verdict}-word"),
        label(beside, 38, screen_fitted(rig.title, 17, width - beside, bold=True), most=200, class_="head"),
        label(0, 60, screen_fitted(f"Load: {result.load}", 13, width), most=200, class_="quiet"),
        label(0, 76, f"{figures.weight(result.weight, units)}; rules {result.rules}", class_="quiet"),
        label(0, 104, f"{_what(rig)} [{units.force}] and how much of its limit that uses", most=120, class_="bold"),
    ]
    table, end = _pulls(rig, result, 114.0, width)
    parts.append(table)
    block, end = _paragraphs("", what_cases_are(result.cases), end + 8)
    parts += block
    for head, lines in (("Why", result.reasons), ("In the way", _conflict_words(result.sheet.places, units))):
        block, end = _paragraphs(head, [names.within(line) for line in lines], end + 18)
        parts += block
    signs, tall = legend(rig, result)
    parts.append(group(signs, transform=f"translate(0 {end + 10:.0f})"))
    view, high = side_view(rig, result)
    parts.append(group(view, transform=f"translate(0 {end + 30 + tall:.0f})"))
    end += 30 + tall + high
    block, end = _paragraphs(
        "", ["An estimate, not a rating. Distances in the drawing are to scale; signs are not."], end
    )
    return group(*parts, *block), width, end + 12


def _pulls(rig: Rig, result: Result, top: float, width: float) -> tuple[Markup, float]:
    """Rows of straps and stops, columns of cases; the end of the table."""
    units = figures.units_of(result)
    first = top + 72
    rights = [_NAMES + (column + 1) * _COLUMN - 4 for column in range(len(result.cases))]
    parts = [each for case, right in zip(result.cases, rights, strict=True) for each in _case_head(case, right, top)]
    heads = [(name, f"{row}: {name}", f"at {_rings(rig, name)}") for row, name in enumerate(rig.straps, start=1)]
    heads += [(name, name, "stop, pushes") for name in rig.load.stops]
    for row, (name, head, under) in enumerate(heads):
        y = first + row * _ROW
        parts.append(tag("path", class_="line", d=f"M0 {y - 18:.0f} H{width:.0f}"))
        parts.append(label(0, y, screen_fitted(head, 13, _NAMES), most=90))
        parts.append(label(0, y + 13, screen_fitted(under, 11.5, _NAMES), most=90, class_="small quiet"))
        for case, right in zip(result.cases, rights, strict=True):
            parts += _force(case, name, units, right, y, stop=row >= len(rig.straps))
    return group(*parts), first + (len(rig.straps) + len(rig.load.stops)) * _ROW - 10


def _what(rig: Rig) -> str:
    return "Pull of each strap, push of each stop" if rig.load.stops else "Pull of each strap"


def _rings(rig: Rig, strap: str) -> str:
    return " and ".join(dict.fromkeys(anchor for anchor, _ in rig.straps[strap].legs))


def _case_head(case: CaseResult, right: float, top: float) -> Iterable[Markup]:
    share = f"{max(abs(part) for part in case.acceleration):g} g"
    lines = [*CASE_SHORT[case.case].split(" "), share]
    for row, words in enumerate(lines, start=3 - len(lines)):
        yield label(right, top + 8 + 13 * row, words, class_="small end bold")
    yield label(right, top + 47, case.level, class_="small end quiet")


def _force(case: CaseResult, name: str, units: UnitSystem, right: float, y: float, *, stop: bool) -> Iterable[Markup]:
    """What a strap pulls or a stop pushes in a case, and how much of its limit that uses."""
    if not case.held:
        yield label(right, y, "not held", class_="small end bold fail-word")
        return
    verdict: Verdict = "pass"
    if stop:
        force, used = next((each.push, each.utilisation) for each in case.stops if each.stop == name)
    else:
        strap = next(each for each in case.straps if each.strap == name)
        force, used, verdict = strap.tension, strap.utilisation, strap.verdict
    if force == 0 or (stop and figures.force_number(force, units) == "0"):
        yield label(right, y, "free" if stop else "slack", class_="end quiet")
        return
    style = "" if verdict == "pass" else f"bold {verdict}-word"
    yield label(right, y, figures.force_number(force, units), class_=f"end {style}")
    # What holds nothing is a fail without another word, for which a column is too narrow.
    word = f"{_SHORT_VERDICT[verdict]} {figures.percent(used)}".lstrip() if isfinite(used) else figures.percent(used)
    yield label(right, y + 13, word, class_=f"small end {style or 'quiet'}")


def _conflict_words(places: Sequence[AnchorPlace], units: UnitSystem) -> list[str]:
    return [f"{place.anchor}: {fitting_words.conflict(found, units)}" for place in places for found in place.conflicts]


def _paragraphs(head: str, lines: Sequence[str], top: float) -> tuple[list[Markup], float]:
    """A head and its sentences, wrapped; the end of the last line."""
    if not lines:
        return [], top
    parts, y = [], top
    if head:
        y += _SMALL_LINE
        parts.append(label(0, y, head, class_="bold"))
    for line in lines:
        for words in screen_wrapped(harmless(line, 400), 13, _TEXT_WIDTH):
            y += _SMALL_LINE
            parts.append(label(0, y, words, most=200))
    return parts, y


def legend(rig: Rig, result: Result) -> tuple[Markup, float]:
    """The signs that are there, 410 wide, and how tall they are together."""
    signs = list(_signs(rig, result))
    rows = [
        group(sign, label(34, 4, text, class_="small"), transform=f"translate({220 * (at % 2)} {16 + 24 * (at // 2)})")
        for at, (sign, text) in enumerate(signs)
    ]
    return group(*rows), 24.0 * ((len(signs) + 1) // 2) + 8.0


def support_word(floor: FloorSetting) -> str:
    """What carries the members."""
    return "beam under the members" if floor.lengthwise else "main rail under the deck"


def _signs(rig: Rig, result: Result) -> Iterator[tuple[Markup, str]]:
    verdicts = {state.verdict for state in result.states}
    for verdict, text in _VERDICT_WORDS.items():
        if verdict in verdicts:
            yield glyph(verdict, 14, 0), text
    if rig.straps:
        yield tag("path", class_="strap", d="M2 0 H26"), "strap, its pull where used most"
        yield tag("path", class_="pull", d="M2 0 H16 M16 -4 L25 0 L16 4 Z"), "the longer, the harder it pulls"
    if any(place.conflicts for place in result.sheet.places):
        yield tag("circle", class_="conflict-ring", cx=14, cy=0, r=9), "something is in the way"
    yield tag("rect", class_="member", x=2, y=-5, width=24, height=10), "cross-member under the deck"
    if rig.floor.supports_measured:
        yield tag("path", class_="rail", d="M2 0 H26"), support_word(rig.floor)
    if any(layer.joints_across or layer.joints_along for layer in rig.floor.layers):
        yield tag("path", class_="joint", d="M2 0 H26"), "joint of a layer"
    if any(anchor.mounting.plate is not None for anchor in rig.anchors.values()):
        yield tag("rect", class_="plate", x=5, y=-8, width=18, height=16), "plate, to scale"
    if rig.floor.wells:
        yield tag("rect", class_="well", x=2, y=-7, width=24, height=14), "wheel well"
    if rig.floor.no_go:
        yield tag("rect", class_="no-go", x=2, y=-7, width=24, height=14), "stay clear"
    yield tag("rect", class_="tie-point", x=10, y=-4, width=8, height=8), "tie point on the load"
    if rig.load.wheels:
        yield tag("rect", class_="wheel", x=9, y=-9, width=10, height=18, rx=4), "wheel of the load"
        yield tag("rect", class_="load-outline", x=2, y=-8, width=24, height=16, rx=4), "where the load stands"
    if rig.load.stops:
        yield tag("path", class_="stop", d="M14 -9 V9 M14 0 H2"), "stop, and the way it pushes"
    yield gravity_sign(14, 0), "centre of gravity"
