"""Changed scenarios, checked: an anchor that stays is the same anchor, and what it holds is known."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import TYPE_CHECKING, Final

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from anchorcalc.links.common import FloatArray, Neighbour
from anchorcalc.links.modes import MODES
from anchorcalc.links.path import Strengths, anchor_strength
from anchorcalc.links.pull import question_of
from anchorcalc.mechanics.hermite import PlateError
from anchorcalc.result.strength import GRAVITY, AnchorStrength
from anchorcalc.rig.resolve import resolve
from anchorcalc.scenario.read import parse_scenario
from anchorcalc.scenario.writer import scenario_text
from anchorcalc.sizing.drafts import Texts
from anchorcalc.verdict.check import judged
from anchorcalc.verdict.forces import Forces

if TYPE_CHECKING:
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.result.check import Result
    from anchorcalc.result.fitting import FittingSheet
    from anchorcalc.rig.parts import AnchorSetting
    from anchorcalc.rig.rig import Rig

_OF_FLOOR: Final = frozenset({"plate_bends", "panel_bending", "rolling_shear", "hold_down", "deck_slides"})

Measure = tuple[int, float, float]
"""How bad a result is: its verdict, the greatest share of any limit that is used, without friction and stops as well
where that decides, and the share used in its cases as they are."""


class ThroughTyreError(ValueError):
    """A changed scenario in which a strap would run through a tyre that did not: nobody can hook it in so."""


class Variant(Struct, frozen=True):
    """A scenario with some changes, and what came out of it."""

    content: Texts
    result: Result

    @property
    def measure(self) -> Measure:
        """The less the better."""
        sums = [self.result.rule_of_thumb.utilisation]
        failing = [each for each in self.result.requirements if each.verdict != "pass"]
        sums += [case.utilisation for each in failing for case in each.cases]
        sums += [
            each.limit[0] / each.value[0] if each.value[0] > 0 else math.inf
            for each in failing
            if each.dimension == "force"
        ]
        used = worst_utilisation(self.result)
        return GRAVITY[self.result.verdict], max(used, *sums), used

    @property
    def unmet(self) -> int:
        """How much the rules ask for in vain."""
        return sum(each.verdict != "pass" for each in self.result.requirements)


def worst_utilisation(result: Result) -> float:
    """Of the hardest case; infinite where one is not held."""
    return max(case.utilisation for case in result.cases)


class Workbench:
    """Checks scenarios that differ in little: an anchor that stays is the same anchor, its strength known."""

    def __init__(self, catalog: Catalog) -> None:
        self._catalog = catalog
        self._anchors: list[AnchorSetting] = []
        self._strengths: Strengths | None = None
        self._without_floor: WithoutFloor | None = None
        self._through: frozenset[str] | None = None
        self._amiss: frozenset[tuple[str, ...]] | None = None

    def rig(self, content: Texts) -> Rig:
        """The scenario in numbers, as it would be read from its file.

        Raises
        ------
        InputFaults
            The changes lead to something that no scenario may be.
        ThroughTyreError
            A strap would run through a tyre that did not in the first scenario.
        """
        scenario = parse_scenario(scenario_text(content), "the changed scenario", catalog=self._catalog)
        rig = resolve(scenario, self._catalog)
        self._through = frozenset(rig.through_tyres) if self._through is None else self._through
        if not self._through.issuperset(rig.through_tyres):
            raise ThroughTyreError
        return replace(rig, anchors={name: self._known(anchor) for name, anchor in rig.anchors.items()})

    def buildable(self, sheet: FittingSheet) -> bool:
        """Whether nothing is in the way, too near or too short that was not on the first sheet asked about."""
        found = _amiss(sheet)
        self._amiss = found if self._amiss is None else self._amiss
        return found <= self._amiss

    def check(self, rig: Rig, sheet: FittingSheet | None = None) -> Result:
        """The whole check."""
        self._strengths = self._strengths or Strengths(rig.basis)
        return judged(Forces(rig, self._strengths), sheet)

    def at_best(self, rig: Rig, sheet: FittingSheet | None = None) -> Result:
        """What the check would say if the deck let go of nothing: never worse than the whole check."""
        self._without_floor = self._without_floor or WithoutFloor(rig.basis)
        return judged(Forces(rig, self._without_floor), sheet)

    def goes_over(self, rig: Rig, limit: float, order: Iterable[int]) -> bool:
        """Whether more than `limit` is used in some case, looked for in the cases in this `order`."""
        self._strengths = self._strengths or Strengths(rig.basis)
        forces = Forces(rig, self._strengths)
        return any(forces.use(number) > limit for number in order)

    def _known(self, anchor: AnchorSetting) -> AnchorSetting:
        for known in self._anchors:
            if known == anchor:
                return known
        self._anchors.append(anchor)
        return anchor


class WithoutFloor(Strengths):
    """Strengths by all links but those of the floor, which take most of the time; rings on other bases change none."""

    def along(self, anchor: AnchorSetting, direction: FloatArray, beside: tuple[Neighbour, ...] = ()) -> AnchorStrength:
        """Each question asked once."""
        mates = [each for each in beside if each.anchor.base == anchor.base]
        pulls = ((*each.anchor.at, *np.round(each.pull, 9).tolist()) for each in mates)
        key = id(anchor), np.round(direction, 9).tobytes(), *pulls
        if key not in self._known:
            self._known[key] = (anchor, beside), self._without_floor(anchor, direction, beside)
        return self._known[key][1]

    def _without_floor(
        self, anchor: AnchorSetting, direction: FloatArray, beside: tuple[Neighbour, ...]
    ) -> AnchorStrength:
        try:
            question = question_of(anchor, direction, self._basis, beside)
        except PlateError:
            return anchor_strength(anchor, direction, self._basis, beside)
        links = [link for mode in MODES if mode.key not in _OF_FLOOR and (link := mode.link(question)) is not None]
        if not links:
            return anchor_strength(anchor, direction, self._basis, beside)
        x, y, z = (float(part) for part in direction)
        return AnchorStrength(anchor.name, anchor.mounting.name, (x, y, z), tuple(links))


def _amiss(sheet: FittingSheet) -> frozenset[tuple[str, ...]]:
    """What keeps each anchor of a sheet from being built as written, and the trailer from carrying it."""
    blocked = [(place.anchor, each.part, each.obstacle) for place in sheet.places for each in place.conflicts]
    wrong = [
        (anchor, what)
        for each in sheet.mountings
        for anchor in each.anchors
        for what in (*["too short"] * each.too_short, *["too long"] * each.too_long, *each.too_close)
    ]
    return frozenset([*blocked, *wrong, *([("overloaded",)] if sheet.weights.overloaded else [])])
