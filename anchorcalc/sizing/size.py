"""Which backing to buy: search the stock for a wanted strength, lightest first.

The closed rules sort the whole stock; the few choices worth showing are then computed as thin plates too, and
the lower of the two answers counts.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

import numpy as np

from anchorcalc.links.common import Basis, FloatArray
from anchorcalc.links.path import anchor_strength
from anchorcalc.result import Level, Result, Verdict, worst
from anchorcalc.rig.settings import AnchorSetting, Ledger, anchor_setting, strap_settings, unit_system
from anchorcalc.scenario.model import Plate, Washers
from anchorcalc.sizing.numerical_backing import backing_bend
from anchorcalc.sizing.search import Choice, Found, Progress, StockSearch, Wanted
from anchorcalc.sizing.stock import with_choice
from anchorcalc.units import format_quantity
from anchorcalc.verdict.check import check
from anchorcalc.verdict.words import CASE_WORDS

if TYPE_CHECKING:
    from anchorcalc.catalog.rows import Thread
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.scenario.model import Scenario

_OF_THE_DECK = (
    "deck panel breaks between the cross-members",
    "plies of the deck shear (rolling shear)",
    "hold-down screws let the deck go",
    "deck carries nothing",
)
_NOT_THE_BACKING = (*_OF_THE_DECK, "ring", "cross-member bends", "bolts give way sideways")


class SizeError(ValueError):
    """A question that cannot be asked of this scenario; the message says why."""


@dataclass(frozen=True)
class SizeAnswer:
    """What `size` found: choices lightest first; the strongest there are when none passes."""

    title: str
    units: Literal["us", "si"]
    anchor: str
    mounting: str
    direction: FloatArray
    wanted: Wanted
    searched: int  # choices in stock
    fitting: int  # of them, those with room at this place
    choices: tuple[Choice, ...]
    enough: bool  # whether the choices hold what is wanted; else they are the strongest there are
    verdict: Verdict
    sentences: tuple[str, ...]
    left_out: tuple[tuple[str, str, int], ...]  # kind of backing, why it does not fit, how many
    cautions: tuple[str, ...]
    basis: Basis


@dataclass(frozen=True)
class Place:
    """An anchor of a scenario with the ring and bolt pattern to be backed."""

    scenario: Scenario
    setting: AnchorSetting
    result: Result
    basis: Basis

    @property
    def ring_rated(self) -> float | None:
        """Working load limit of the ring [N], None when nobody rated it."""
        return self.setting.ring_rated

    def strap_direction(self) -> FloatArray:
        """The way the strap pulls, or several hardest together, (3,)."""
        for anchor in self.result.anchors:
            if anchor.anchor == self.setting.name:
                return np.array(anchor.direction)
        raise SizeError(f"no strap hangs on anchor {self.setting.name!r}: only --direction up says how it is pulled")


def place(scenario: Scenario, catalog: Catalog, anchor: str | None, mounting: str | None) -> Place:
    """The anchor to be backed, by default the one nearest to its limit, with `mounting`'s ring and pattern."""
    name = anchor if anchor is not None else _hardest_used(scenario, catalog)
    if name not in scenario.anchors:
        raise SizeError(f"no anchor {name!r}. Known: {'; '.join(scenario.anchors)}")
    at = scenario.anchors[name]
    if mounting is not None and mounting not in scenario.mountings:
        raise SizeError(f"no mounting {mounting!r}. Known: {'; '.join(scenario.mountings)}")
    at = at.model_copy(update={"mounting": mounting or at.mounting})
    scenario = scenario.model_copy(update={"anchors": {**scenario.anchors, name: at}})
    setting = anchor_setting(scenario, catalog, Ledger(unit_system(scenario)), name, at, at.mounting)
    rules = catalog.rule_set(scenario.rules)
    return Place(scenario, setting, check(scenario, catalog), Basis(catalog, rules))


def _hardest_used(scenario: Scenario, catalog: Catalog) -> str:
    states = [state for case in check(scenario, catalog).cases if case.held for state in case.straps]
    if not states:
        return next(iter(scenario.anchors))
    return max(states, key=lambda state: state.utilisation).anchor


def pull_direction(at: Place, words: str) -> FloatArray:
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


def as_ring(at: Place) -> Wanted:
    """As strong as the ring's rating."""
    if at.ring_rated is None:
        raise SizeError(f"nobody rated the ring of mounting {at.setting.mounting!r}: say how much with --strength")
    return Wanted(at.ring_rated, 0.0, "as the ring is rated")


def needed(at: Place) -> Wanted:
    """What the scenario's cases ask of the anchor, with the reserve that a pass keeps.

    Several straps on one ring are added up as if they pulled one way: the safe side.
    """
    most: dict[Level, float] = {"breaking": 0.0, "working": 0.0}
    for case in at.result.cases:
        pull = sum(state.tension for state in case.straps if state.anchor == at.setting.name)
        most[case.level] = max(most[case.level], pull)
    reserve = at.basis.rules.pass_below
    if max(most.values()) <= 0:
        raise SizeError(f"no case of the scenario pulls on anchor {at.setting.name!r}")
    why = "what the cases ask, with their reserve"
    return Wanted(most["working"] / reserve, most["breaking"] / reserve, why, of_the_cases=True)


def size(at: Place, direction: FloatArray, wanted: Wanted, progress: Progress | None = None) -> SizeAnswer:
    """Search the stock for what holds `wanted` along `direction` (3,) at the anchor's place."""
    search = StockSearch(at.setting, at.scenario.deck, direction, wanted, at.basis, at.scenario.units, progress)
    found = search.run()
    elsewhere = _limits_elsewhere(at, wanted)
    verdict: Verdict = "pass" if found.passing and not (elsewhere and wanted.of_the_cases) else "fail"
    sentences = [*elsewhere, *_sentences(at, search, found)]
    if at.ring_rated is None:
        verdict = worst(verdict, "marginal")
        sentences.append("Nobody rated the ring, so the anchor is marginal at best, whatever backs it.")
    return SizeAnswer(
        title=at.scenario.title,
        units=at.scenario.units,
        anchor=at.setting.name,
        mounting=at.setting.mounting,
        direction=direction,
        wanted=wanted,
        searched=search.count,
        fitting=search.fitting_count,
        choices=found.choices,
        enough=found.passing,
        verdict=verdict,
        sentences=tuple(sentences),
        left_out=search.left_out(),
        cautions=at.result.cautions,
        basis=at.basis,
    )


@dataclass(frozen=True)
class ByThickness:
    """A choice in one of the thicknesses that are in stock [m], and what it holds daily [N]."""

    thickness: float
    working: float  # of the whole anchor by the closed rules
    first_bend: float  # pull at which the steel first bends for good


def by_thickness(answer: SizeAnswer, choice: Choice) -> tuple[ByThickness, ...]:
    """What `choice`, a washer or plate, would hold in every thickness in stock, thinnest first."""
    assert isinstance(choice.backing, Washers | Plate)  # noqa: S101 - asked of these alone
    catalog, found = answer.basis.catalog, []
    for thickness in _thicknesses(catalog, choice.backing, choice.thread):
        backing = choice.backing.model_copy(update={"thickness": thickness})
        setting = with_choice(choice.question.anchor, backing, choice.thread, choice.grade, catalog)
        bend = backing_bend(replace(choice.question, anchor=setting))
        whole = anchor_strength(setting, answer.direction, answer.basis)
        found.append(ByThickness(thickness, whole.working, bend.first_bend))
    return tuple(found)


def _thicknesses(catalog: Catalog, backing: Washers | Plate, thread: Thread) -> list[float]:
    if isinstance(backing, Plate):
        rows = [row for row in catalog.plates.values() if row.series == thread.series]
        return sorted({thickness for row in rows for thickness in row.thicknesses})
    alike = [row for row in catalog.washers.values() if row.bolt == thread.name and row.outside == backing.outside]
    return sorted({row.thickness_least for row in alike})


def _limits_elsewhere(at: Place, wanted: Wanted) -> list[str]:
    """Why no backing can help: cases that nothing holds, straps and tie points below what is wanted."""
    unheld = list(dict.fromkeys(CASE_WORDS[case.case] for case in at.result.cases if not case.held))
    found = [f"Nothing holds the load in {', '.join(unheld)}: no backing can help that."] if unheld else []
    ledger = Ledger(unit_system(at.scenario))
    straps = strap_settings(at.scenario, at.basis.catalog, at.basis.rules, ledger, [])
    on_ring = [strap for strap in straps.values() if strap.anchor == at.setting.name]
    for part, limits in (("straps", [x.rated for x in on_ring]), ("tie points", [x.tie_point_rated for x in on_ring])):
        if on_ring and sum(limits) < wanted.working:
            found.append(
                f"The {part} of this anchor are rated {_force(at, sum(limits))} together: no backing changes that."
            )
    return found


def _sentences(at: Place, search: StockSearch, found: Found) -> list[str]:
    """What the choices come to in plain words."""
    if not found.choices:
        return ["Nothing in stock fits here. " + _why_nothing_fits(search)]
    strongest = max(found.choices, key=lambda choice: choice.strength.working)
    on_deck = [choice for choice in found.choices if isinstance(choice.backing, Washers | Plate)]
    said = []
    if any(choice.question.anchor.fastener_size != at.setting.fastener_size for choice in found.choices):
        said.append(f"The ring is drilled for {at.setting.fastener_size} by the file: other bolts must fit its holes.")
    if not found.passing:
        said.append(f"No backing in stock is enough: the strongest holds {_force(at, strongest.strength.working)}.")
        said.append(_why_no_more(at, strongest))
    elif not on_deck and search.best_on_deck is not None:
        best = search.best_on_deck
        said.append(
            f"No washer or plate is enough: the best holds {_force(at, best.strength.working)}, and then "
            f"{best.governing.name}. The pull has to go to steel."
        )
    elif strongest.governing.name in _NOT_THE_BACKING:
        said.append(f"More steel than the strongest shown gains nothing. {_why_no_more(at, strongest)}")
    if any("a cross-member" in why for _, why, _ in search.left_out()):
        said.append("Some plates or washers were left out because a cross-member is in their way.")
    if not all(choice.computed for choice in on_deck):
        said.append("Not every choice shown was computed as a thin plate; those hold by the closed rules alone.")
    return said


def _why_no_more(at: Place, choice: Choice) -> str:
    link = choice.governing
    if link.name == "ring":
        return f"The ring governs, rated {_force(at, link.working)}: only a stronger ring holds more."
    if link.name in _OF_THE_DECK:
        return (
            f"The deck itself governs ({link.name}): move the anchor, strengthen the deck, or take the pull to steel."
        )
    return f"What governs: {link.name}."


def _why_nothing_fits(search: StockSearch) -> str:
    return " ".join(f"Of {kind}s, {count} {why}." for kind, why, count in search.left_out())


def _force(at: Place, newtons: float) -> str:
    units = unit_system(at.scenario)
    return format_quantity(newtons, units.force, "force", 3)
