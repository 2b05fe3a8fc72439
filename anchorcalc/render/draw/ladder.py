"""The links of an anchor as a ladder of bars: what each holds daily and at most, and what is asked, weakest on top."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from msgspec import Struct

from anchorcalc.render import figures
from anchorcalc.render.draw.letters import screen_fitted, screen_width
from anchorcalc.render.draw.plan_style import in_both_schemes
from anchorcalc.render.draw.svg import Markup, document, group, harmless, label, tag, titled

if TYPE_CHECKING:
    from collections.abc import Iterator

    from anchorcalc.result.check import Result
    from anchorcalc.result.strength import AnchorStrength, Level, Link
    from anchorcalc.units import UnitSystem

WIDTH = 340.0  # so that its words are no smaller than 11 px on a phone
_BARS, _ROW, _HEAD = 212.0, 35.0, 50.0
_ROOM = 2.5  # the axis ends at so many times what is asked, or what holds least, whichever is more
STYLE = in_both_schemes(
    ".deck-plan .daily{fill:var(--strap)}.deck-plan .at-most{fill:var(--steel);stroke:var(--soft);stroke-width:1}"
    ".deck-plan .asked{stroke:var(--fail);stroke-width:2}.deck-plan .asked.last{stroke-dasharray:4 3}"
    ".deck-plan .axis{stroke:var(--soft);stroke-width:1}"
)


class Asked(Struct, frozen=True):
    """The hardest pull on an anchor's own strap at each level, over the held cases [N]."""

    working: float
    breaking: float

    def lines(self) -> list[tuple[float, str, str]]:
        """What is asked at either level, how it is drawn and what it is called; of what is not asked nothing."""
        both = [(self.working, "asked", "asked daily"), (self.breaking, "asked last", "asked at most")]
        return [each for each in both if each[0] > 0]


def asked_of(result: Result, anchor: str) -> Asked:
    """What the cases ask of `anchor`."""

    def hardest(level: Level) -> float:
        pulls = [
            state.tension
            for case in result.cases if case.held and case.level == level
            for state in case.at_rings if state.anchor == anchor
        ]  # fmt: skip
        return max(pulls, default=0.0)

    return Asked(hardest("working"), hardest("breaking"))


def in_order(strength: AnchorStrength) -> list[Link]:
    """The links that this pull loads, weakest first."""
    loaded = [link for link in strength.links if math.isfinite(link.working)]
    return sorted(loaded, key=lambda link: (link.working, link.breaking))


def sentence(strength: AnchorStrength, units: UnitSystem) -> str:
    """Which link gives first, and how much more the next one holds."""
    first, *others = in_order(strength) or [strength.weakest("working")]
    said = f"First gives: {first.name}, {figures.force(first.working, units)} daily"
    if not others or first.working <= 0:
        return f"{said}."
    more = others[0].working / first.working - 1
    by = "the same" if more < 0.005 else f"{100 * more:.0f} % more"
    return f"{said}; next: {others[0].name}, which holds {by}."


def ladder(strength: AnchorStrength, result: Result) -> Markup:
    """The ladder as a drawing of its own, with its style left to the page."""
    units, asked = figures.units_of(result), asked_of(result, strength.anchor)
    body, height = ladder_group(strength, asked, units)
    return Markup(
        document(
            group(body, class_="deck-plan"),
            view=(0, 0, WIDTH, height),
            title=f"Strength of anchor {harmless(strength.anchor, 48)}, link by link",
            description=" ".join([sentence(strength, units), *_spoken(strength, asked, units)]),
        )
    )


def _spoken(strength: AnchorStrength, asked: Asked, units: UnitSystem) -> Iterator[str]:
    yield f"Asked: {figures.force(asked.working, units)} daily, {figures.force(asked.breaking, units)} at most."
    for link in in_order(strength):
        yield f"{link.name}: {figures.force(link.working, units)}, {figures.force(link.breaking, units)}."


def ladder_group(strength: AnchorStrength, asked: Asked, units: UnitSystem) -> tuple[Markup, float]:
    """The ladder's bars and words, and how tall they are."""
    links = in_order(strength)
    weakest = min((link.breaking for link in links), default=1.0)
    most = _ROOM * max(asked.working, asked.breaking, weakest, 1.0)
    height = _HEAD + _ROW * len(links) + 4.0
    parts = [
        label(WIDTH, 15.0, "holds daily", class_="end bold"),
        label(WIDTH, 33.0, f"/ at most [{units.force}]", class_="end"),
    ]
    for top, (force, style, words) in zip((0.0, 18.0), asked.lines(), strict=False):
        parts.append(tag("line", x1=10.0, x2=10.0, y1=top + 2.0, y2=top + 17.0, class_=style))
        parts.append(label(26.0, top + 15.0, f"{figures.force(force, units)} {words}"))
    for number, link in enumerate(links):
        parts.append(_row(link, number, asked, most, units))
    axis = tag("line", x1=0.5, x2=0.5, y1=_HEAD, y2=height - 4.0, class_="axis")
    return group(*parts, axis), height


def _row(link: Link, number: int, asked: Asked, most: float, units: UnitSystem) -> Markup:
    top = _HEAD + _ROW * number
    numbers = f"{figures.force_number(link.working, units)} / {figures.force_number(link.breaking, units)}"
    weakest = " bold" if number == 0 else ""
    # The longest names find no room in bold letters.
    loud = weakest if screen_width(link.name, 13, bold=True) <= WIDTH - 3.0 else ""
    drawn = [label(3.0, top + 12.0, screen_fitted(link.name, 13, WIDTH - 3.0, bold=bool(loud)), class_=f"name{loud}")]
    for force, style, low, tall in ((link.breaking, "at-most", 17.0, 13.0), (link.working, "daily", 20.0, 7.0)):
        drawn += _bar(force / most, style, top + low, tall)
    for force, style, _ in asked.lines():
        at = max(_BARS * force / most, 1.0)
        drawn.append(tag("line", x1=at, x2=at, y1=top + 15.0, y2=top + 32.0, class_=style))
    drawn.append(label(WIDTH, top + 28.0, numbers, class_=f"end{weakest}"))
    return titled(f"{link.name}: holds {numbers} {units.force}", *drawn)


def _bar(share: float, style: str, top: float, tall: float) -> Iterator[Markup]:
    """A bar; one that runs on beyond the axis ends in a point."""
    if share <= 1.0:
        yield tag("rect", x=0.0, y=top, width=_BARS * share, height=tall, class_=style)
        return
    yield tag("path", d=f"M0 {top} H{_BARS} L{_BARS + 7} {top + tall / 2} L{_BARS} {top + tall} H0 Z", class_=style)
