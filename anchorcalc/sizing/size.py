"""Which backing to buy: search the stock for a wanted strength, lightest first."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from anchorcalc.links.path import Strengths, anchor_strength
from anchorcalc.result.check import by_use
from anchorcalc.result.size import ByThickness, SizeAnswer, Wanted
from anchorcalc.result.strength import Level, Verdict, worst
from anchorcalc.result.words import CASE_WORDS
from anchorcalc.rig.parts import Bearing
from anchorcalc.sizing.bearing import bearing_map, first_bend, turned_left
from anchorcalc.sizing.search import Choice, Found, Progress, StockSearch
from anchorcalc.sizing.stock import with_choice
from anchorcalc.sizing.usual import thread_for
from anchorcalc.units import format_quantity, unit_system
from anchorcalc.verdict.check import check_rig
from anchorcalc.verdict.forces import Forces

if TYPE_CHECKING:
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.links.common import FloatArray, Neighbour
    from anchorcalc.result.check import Result
    from anchorcalc.rig.parts import AnchorSetting
    from anchorcalc.rig.rig import Rig

_NOT_THE_BACKING = (
    "ring", "bolt_sideways", "plank_splits", "deck_slides", "deck_pushed",
    "member_beside", "timber_beside", "timber_splits", "timber_shear",
)  # fmt: skip
_DECK = ("panel_bending", "rolling_shear", "hold_down", "deck_gone")
_MOST_CURVES = 4


class SizeError(ValueError):
    """A question that cannot be asked of this scenario; the message says why."""


class Backed(Struct, frozen=True):
    """An anchor of a rig with the ring and bolt pattern to be backed."""

    rig: Rig
    setting: AnchorSetting
    result: Result
    beside: tuple[Neighbour, ...]  # rings near by, pulled as hard as this one

    @property
    def ring_rated(self) -> float | None:
        """Working load limit of the ring [N], None when nobody rated it."""
        return self.setting.mounting.ring_rated

    def strap_direction(self) -> FloatArray:
        """The way the strap pulls, or several hardest together, (3,)."""
        for anchor in self.result.anchors:
            if anchor.anchor == self.setting.name:
                return np.array(anchor.direction)
        raise SizeError(f"no strap hangs on anchor {self.setting.name!r}: only --direction up says how it is pulled")

    def force(self, newtons: float) -> str:
        """A force in the user's units."""
        return format_quantity(newtons, unit_system(self.rig.units).force, "force", 3)


def backed(rig: Rig, anchor: str | None, mounting: str | None) -> Backed:
    """The anchor to be backed, by default the one nearest to its limit, with `mounting`'s ring and pattern."""
    result = check_rig(rig)
    name = anchor if anchor is not None else _hardest_used(rig, result)
    if name not in rig.anchors:
        raise SizeError(f"no anchor {name!r}. Known: {'; '.join(rig.anchors)}")
    if mounting is None and not len(rig.anchors[name].mounting.positions):
        raise SizeError(f"the ring of anchor {name!r} is welded to the frame: nothing under the deck to size")
    if mounting is not None and mounting not in rig.mountings:
        raise SizeError(f"no mounting {mounting!r}. Known: {'; '.join(rig.mountings)}")
    if mounting is not None and mounting != rig.anchors[name].mounting.name:
        rig = rig.with_mounting(mounting, name)
        result = check_rig(rig)
    return Backed(rig, rig.anchors[name], result, Forces(rig, Strengths(rig.basis)).as_hard(name))


def _hardest_used(rig: Rig, result: Result) -> str:
    states = [state for case in result.cases if case.held for state in case.straps]
    if not states:
        return next(iter(rig.anchors))
    return max(states, key=by_use).anchor


def pull_direction(at: Backed, words: str) -> FloatArray:
    """Unit vector (3,) of 'up', 'strap', or an angle such as '40 deg' above the deck, the strap's way along it."""
    if words == "up":
        return np.array([0.0, 0.0, 1.0])
    if words == "strap":
        return at.strap_direction()
    match = re.fullmatch(r"\s*(\d{1,3}(?:\.\d+)?)\s*(?:deg|°)\s*", words)
    angle = math.radians(float(match[1])) if match else -1.0
    if not 0 <= angle <= math.pi / 2:
        raise SizeError(f"{words[:40]!r} is no direction: write up, strap, or an angle from 0 to 90 such as '40 deg'")
    flat = at.strap_direction()[:2]
    length = float(np.linalg.norm(flat))
    along = flat / length if length > 1e-9 else np.array([1.0, 0.0])
    return np.array([*(math.cos(angle) * along), math.sin(angle)])


def as_ring(at: Backed) -> Wanted:
    """As strong as the ring's rating."""
    if at.ring_rated is None:
        raise SizeError(f"nobody rated the ring of mounting {at.setting.mounting.name!r}: say how much with --strength")
    return Wanted(at.ring_rated, 0.0, "as the ring is rated")


def needed(at: Backed) -> Wanted:
    """What the scenario's cases ask of the anchor, with the reserve that a pass keeps.

    Several straps on one ring are added up as if they pulled one way: the safe side.
    """
    most: dict[Level, float] = {"breaking": 0.0, "working": 0.0}
    for case in at.result.cases:
        pull = sum(state.tension for state in case.at_rings if state.anchor == at.setting.name)
        most[case.level] = max(most[case.level], pull)
    reserve = at.rig.rules.pass_below
    if max(most.values()) <= 0:
        raise SizeError(f"no case of the scenario pulls on anchor {at.setting.name!r}")
    why = "what the cases ask, with their reserve"
    return Wanted(most["working"] / reserve, most["breaking"] / reserve, why, of_the_cases=True)


def size(
    at: Backed,
    catalog: Catalog,
    direction: FloatArray,
    wanted: Wanted,
    progress: Progress | None = None,
    *,
    picture: bool = False,
    shops: bool = False,
) -> SizeAnswer:
    """Search the stock for what holds `wanted` along `direction` (3,) at the anchor's place.

    `shops` asks only for what a hardware shop has, with bolts that fit the ring.
    `picture` asks for the pressure under the smallest plate, and what the plates hold by thickness.
    """
    only = thread_for(at.setting.mounting, at.rig, catalog) if shops else None
    search = StockSearch(at.setting, catalog, direction, wanted, at.rig.basis, at.rig.units, progress, only, at.beside)
    found = search.run()
    elsewhere = _limits_elsewhere(at, wanted)
    verdict: Verdict = "pass" if found.passing and not (elsewhere and wanted.of_the_cases) else "fail"
    sentences = [*elsewhere, *_sentences(at, search, found)]
    if only is not None and not found.passing:
        sentences.append("Only what a hardware shop has was searched: --all-stock searches the rest.")
    if at.ring_rated is None:
        verdict = worst(verdict, "marginal")
        sentences.append("Nobody rated the ring, so the anchor is marginal at best, whatever backs it.")
    numbered = enumerate(found.choices) if picture else ()
    drawn = [(number, each) for number, each in numbered if each.question.anchor.mounting.plate is not None]
    bearing = bearing_map(drawn[0][1].question, wanted.working) if drawn else None
    if bearing is not None and at.rig.floor.lengthwise:
        bearing = turned_left(bearing)
    return SizeAnswer(
        title=at.rig.title,
        units=at.rig.units,
        anchor=at.setting.name,
        mounting=at.setting.mounting.name,
        direction=(float(direction[0]), float(direction[1]), float(direction[2])),
        wanted=wanted,
        searched=search.count,
        fitting=search.fitting_count,
        choices=tuple(choice.shown for choice in found.choices),
        enough=found.passing,
        verdict=verdict,
        sentences=tuple(sentences),
        left_out=search.left_out(),
        cautions=at.result.cautions,
        bearing=bearing,
        curves=tuple((number, by_thickness(catalog, choice)) for number, choice in drawn[:_MOST_CURVES]),
    )


def by_thickness(catalog: Catalog, choice: Choice) -> tuple[ByThickness, ...]:
    """What `choice`, a plate, would hold in every thickness in stock, thinnest first."""
    question, seat = choice.question, choice.question.anchor.mounting.plate
    if seat is None:
        return ()
    found = []
    rows = [row for row in catalog.plates.values() if row.series == catalog.threads[choice.bolts.size].series]
    for thickness in sorted({thickness for row in rows for thickness in row.thicknesses}):
        setting = with_choice(question.anchor, Bearing(replace(seat, thickness=thickness)), choice.bolts)
        whole = anchor_strength(setting, np.array(question.pull.direction), question.basis, question.beside)
        found.append(ByThickness(thickness, whole.working, first_bend(replace(question, anchor=setting, decks=[]))))
    return tuple(found)


def _limits_elsewhere(at: Backed, wanted: Wanted) -> list[str]:
    """Why no backing can help: cases that nothing holds, straps and tie points below what is wanted."""
    unheld = list(dict.fromkeys(CASE_WORDS[case.case] for case in at.result.cases if not case.held))
    found = [f"Nothing holds the load in {', '.join(unheld)}: no backing can help that."] if unheld else []
    on_ring = [strap for strap in at.rig.straps.values() if at.setting.name in dict(strap.legs)]
    points = [at.rig.load.tie_points[point].rated for strap in on_ring for point in strap.course]
    for part, limits in (("straps", [strap.rated for strap in on_ring]), ("tie points", points)):
        if on_ring and sum(limits) < wanted.working:
            rated = at.force(sum(limits))
            found.append(f"The {part} of this anchor are rated {rated} together: no backing changes that.")
    return found


def _sentences(at: Backed, search: StockSearch, found: Found) -> list[str]:
    """What the choices come to in plain words."""
    if not found.choices:
        return ["Nothing in stock fits here. " + _why_nothing_fits(search)]
    strongest = max(found.choices, key=lambda choice: choice.strength.working)
    on_deck = [choice for choice in found.choices if isinstance(choice.backing, Bearing)]
    own = at.setting.mounting.fasteners.size
    said = []
    if any(choice.bolts.size != own for choice in found.choices):
        said.append(f"The ring is drilled for {own} by the file: other bolts must fit its holes.")
    if not found.passing:
        said.append(f"No backing in stock is enough: the strongest holds {at.force(strongest.strength.working)}.")
        said.append(_why_no_more(at, strongest))
    elif not on_deck and search.best_on_deck is not None:
        best = search.best_on_deck
        said.append(
            f"No washer or plate is enough: the best holds {at.force(best.strength.working)}, and then "
            f"{best.governing.name}. The pull has to go to steel."
        )
    elif strongest.governing.key in (*_DECK, *_NOT_THE_BACKING):
        said.append(f"More steel than the strongest shown gains nothing. {_why_no_more(at, strongest)}")
    if any("a cross-member" in why for _, why, _ in search.left_out()):
        said.append("Some plates or washers were left out because a cross-member is in their way.")
    return said


def _why_no_more(at: Backed, choice: Choice) -> str:
    link = choice.governing
    if link.key == "ring":
        return f"The ring governs, rated {at.force(link.working)}: only a stronger ring holds more."
    if link.key in _DECK:
        return (
            f"The deck itself governs ({link.name}): move the anchor, strengthen the deck, or take the pull to steel."
        )
    return f"What governs: {link.name}."


def _why_nothing_fits(search: StockSearch) -> str:
    return " ".join(f"Of {kind}s, {count} {why}." for kind, why, count in search.left_out())
