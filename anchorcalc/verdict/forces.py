"""The pulls of a rig's straps in every case, held against what each strap hangs on."""

from __future__ import annotations

import math
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from anchorcalc.links.common import Neighbour
from anchorcalc.links.ring import ring_holds
from anchorcalc.result.check import CaseResult, Requirement, SharedRing, StopState, StrapState
from anchorcalc.rig.parts import near
from anchorcalc.verdict.demand import strap_pulls, strapped_load, turning_share
from anchorcalc.verdict.rules import verdict_of
from anchorcalc.verdict.wheels import wheels_on_deck

if TYPE_CHECKING:
    from collections.abc import Iterator

    from anchorcalc.catalog.rules import LoadCase
    from anchorcalc.links.path import Strengths
    from anchorcalc.result.strength import AnchorStrength, Level
    from anchorcalc.rig.parts import AnchorSetting
    from anchorcalc.rig.rig import Rig, StrapSetting

_SLACK = 1e-9  # of the weight: a strap that pulls less is slack

Vector = np.ndarray[tuple[int], np.dtype[np.float64]]


class Forces:
    """A rig in all cases of its rule set."""

    def __init__(self, rig: Rig, strengths: Strengths) -> None:
        self.rig, self.strengths = rig, strengths
        self.load = strapped_load(rig)
        self._directions = self.load.directions
        self._straps = tuple(rig.straps.values())
        legs = [leg for strap in self._straps for leg in strap.legs]
        self._rings = np.array([anchor for anchor, _ in legs], dtype=object)  # (e,)
        self._demand = strap_pulls(self.load, rig.rules.cases)

    def cases(self) -> tuple[CaseResult, ...]:
        """Every case with every strap in it."""
        return tuple(map(self.case, range(len(self.rig.rules.cases))))

    def case(self, number: int) -> CaseResult:
        """One case of the rule set by its number, from nil."""
        return self._case(number, self.rig.rules.cases[number])

    def use(self, number: int) -> float:
        """The greatest use in one case by its number, and no more of it than that; infinite where it is not held."""
        return self._use(number, self._strap_states(number, self.rig.rules.cases[number].level))

    @cached_property
    def _turning(self) -> Vector:
        return turning_share(self.load, self.rig.rules.cases, self._demand)

    def use_of_anchor(self, anchor: str, number: int) -> float:
        """The greatest use at one anchor in one case by its number; infinite where it is not held."""
        if not self._demand.held[number]:
            return math.inf
        return self._use_at(anchor, self._demand.pulls[number], self.rig.rules.cases[number].level)

    def use_by_hand(self, anchor: str) -> float:
        """The greatest use at one anchor at rest: hand tension alone against the daily limits."""
        return self._use_at(anchor, self.load.hand_tension, "working")

    def _use_at(self, anchor: str, pulls: Vector, level: Level) -> float:
        legs = np.flatnonzero(self._on_ring(anchor)).tolist()
        return max(self._strap_state(leg, pulls, level).utilisation for leg in legs)

    def on_wheels(self) -> tuple[Requirement, ...]:
        """Whether the deck bears the load's wheels."""
        return wheels_on_deck(self.rig, self.load, self._demand, self.strengths)

    def along_own_straps(self) -> dict[str, tuple[AnchorStrength, ...]]:
        """What the anchors of each strap hold along that strap, one for each of its legs."""
        found: dict[str, tuple[AnchorStrength, ...]] = dict.fromkeys(self.rig.straps, ())
        names = list(self.rig.straps)
        for leg, (anchor, number) in enumerate(zip(self._rings, self.load.leg_of, strict=True)):
            found[names[number]] += (self._along(anchor, self._directions[leg], self.as_hard(anchor)),)
        return found

    def anchors(self) -> tuple[AnchorStrength, ...]:
        """Every anchor that has a strap, along its strap; with several, along their hardest pull together."""
        return tuple(
            self._along(anchor, self._hardest(anchor), self.as_hard(anchor))
            for anchor in self.rig.anchors
            if self._on_ring(anchor).any()
        )

    def _along(self, anchor: str, direction: Vector, beside: tuple[Neighbour, ...]) -> AnchorStrength:
        return self.strengths.along(self.rig.anchors[anchor], direction, beside)

    def _near(self, anchor: str) -> list[str]:
        """Strapped anchors that lift the same piece of deck."""
        own = self.rig.anchors[anchor]
        pulled = {name: other for name, other in self.rig.anchors.items() if self._on_ring(name).any()}
        bases = {other.base for other in pulled.values() if near(own, other)}
        return [name for name, other in pulled.items() if name != anchor and other.base in bases]

    def as_hard(self, anchor: str) -> tuple[Neighbour, ...]:
        """The rings near by, each pulled as hard as this one, along its own straps."""
        return tuple(_neighbour(self.rig.anchors[name], self._hardest(name)) for name in self._near(anchor))

    def _beside(self, anchor: str, pulls: Vector, total: float) -> tuple[Neighbour, ...]:
        """The rings near by as they are pulled in a case, per newton of the pull on this one."""
        found = [(name, self._pull_on_ring(name, pulls) / total) for name in self._near(anchor)]
        return tuple(_neighbour(self.rig.anchors[name], pull) for name, pull in found if _size(pull) > _SLACK)

    def _on_ring(self, anchor: str) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
        """Which legs hang on `anchor`, (e,)."""
        return np.asarray(self._rings == anchor)

    def _hardest(self, anchor: str) -> Vector:
        own = self._directions[self._on_ring(anchor)]
        if len(own) == 1:
            return np.asarray(own[0])
        hardest = max((self._pull_on_ring(anchor, pulls) for pulls in self._demand.pulls), key=_size)
        direction = hardest if _size(hardest) > 0 else own.mean(axis=0)
        return np.asarray(direction / _size(direction))

    def _pull_on_ring(self, anchor: str, pulls: Vector) -> Vector:
        """All straps on one ring, added as vectors [N], (3,)."""
        on_ring = self._on_ring(anchor)
        return np.asarray((pulls[self.load.leg_of[on_ring], None] * self._directions[on_ring]).sum(axis=0))

    def _pull_on_tie_point(self, tie_point: str, pulls: Vector) -> float:
        """All straps on one tie point, their pulls added up whatever their directions: the safe side [N]."""
        on_point = (
            pulls[i] * bearing
            for i, strap in enumerate(self._straps)
            for point, bearing in zip(strap.course, strap.bearing, strict=True)
            if point == tie_point
        )
        return float(sum(on_point))

    def _case(self, number: int, case: LoadCase) -> CaseResult:
        states = self._strap_states(number, case.level)
        stops = tuple(self._stop_states(self._demand.pushes[number], case.level))
        utilisation = self._use(number, states)
        return CaseResult(
            case=case.case,
            level=case.level,
            acceleration=case.acceleration,
            gravity=case.gravity,
            source=case.source,
            held=bool(self._demand.held[number]),
            at_rings=states,
            stops=stops,
            utilisation=utilisation,
            verdict=verdict_of(utilisation, self.rig.rules),
            turning_share=float(self._turning[number]),
        )

    def _use(self, number: int, states: tuple[StrapState, ...]) -> float:
        return max(state.utilisation for state in states) if self._demand.held[number] else math.inf

    def _strap_states(self, number: int, level: Level) -> tuple[StrapState, ...]:
        pulls = self._demand.pulls[number]
        return tuple(self._strap_state(leg, pulls, level) for leg in range(len(self._rings)))

    def _stop_states(self, pushes: Vector, level: Level) -> Iterator[StopState]:
        for (name, stop), push in zip(self.rig.load.stops.items(), pushes.tolist(), strict=True):
            limit = stop.breaking if level == "breaking" else stop.rated
            # Statics lets a stop bear what passes and no more; what is left of that in the last digit is rounding.
            used = min(push / limit, self.rig.rules.pass_below) if limit > 0 else 0.0
            yield StopState(name, push, limit, used)

    def _strap_state(self, leg: int, pulls: Vector, level: Level) -> StrapState:
        """One strap at one of its rings against the least limit there: strap, tie points, ring and every link of it."""
        i, ring = int(self.load.leg_of[leg]), str(self._rings[leg])
        strap = self._straps[i]
        tension, on_ring = float(pulls[i]), self._pull_on_ring(ring, pulls)
        total = _size(on_ring)
        slack = tension <= _SLACK * self.rig.load.weight
        balanced = total <= _SLACK * self.rig.load.weight  # straps that pull against each other leave nothing
        direction = self._directions[leg] if slack or balanced else on_ring / total
        beside = self.as_hard(ring) if slack or balanced else self._beside(ring, pulls, total)
        anchor = self._along(ring, direction, beside)
        link = anchor.weakest(level)
        # Where several straps share a ring its limit falls to each in proportion to its pull.
        anchor_limit = link.at(level) * (1.0 if slack else math.inf if balanced else tension / total)
        limits = [
            (strap.breaking if level == "breaking" else strap.rated, "strap", "strap"),
            *self._tie_point_limits(strap, 0.0 if slack else tension, pulls, level),
            (anchor_limit, link.key, link.name),
            # The ring has to hold each strap by itself, the way it pulls, even where they pull against each other.
            *((self._ring_alone(leg, level), each.key, each.name) for each in anchor.links if each.key == "ring"),
        ]
        limit, key, name = min(limits, key=lambda each: each[0])
        utilisation = 0.0 if slack else tension / limit if limit > 0 else math.inf
        verdict = verdict_of(utilisation, self.rig.rules)
        shared = self._shared(ring, pulls, total, link.at(level)) if limit == anchor_limit and not slack else None
        return StrapState(strap.name, ring, tension, limit, utilisation, key, name, verdict, shared)

    def _ring_alone(self, leg: int, level: Level) -> float:
        """What the ring of a leg bears by its maker along that leg [N]."""
        mounting, up = self.rig.anchors[self._rings[leg]].mounting, float(self._directions[leg][2])
        breaking, working = ring_holds(mounting, self.rig.basis, up)
        return breaking if level == "breaking" else working

    def _shared(self, ring: str, pulls: Vector, total: float, limit: float) -> SharedRing | None:
        """The straps that pull on `ring` where there are several."""
        legs = [leg for leg in self.load.leg_of[self._on_ring(ring)] if pulls[leg] > _SLACK * self.rig.load.weight]
        names = tuple(dict.fromkeys(self._straps[leg].name for leg in legs))
        return SharedRing(names, total, limit) if len(legs) > 1 else None

    def _tie_point_limits(
        self, strap: StrapSetting, tension: float, pulls: Vector, level: Level
    ) -> Iterator[tuple[float, str, str]]:
        """Pull of a strap that each of its tie points bears; of several straps each gets its part of the limit."""
        for name, bearing in zip(strap.course, strap.bearing, strict=True):
            point = self.rig.load.tie_points[name]
            limit = point.breaking if level == "breaking" else point.rated
            if bearing > 0:
                share = tension / self._pull_on_tie_point(name, pulls) if tension > 0 else 1.0 / bearing
                yield limit * share, "tie_point", "tie point"


def _neighbour(anchor: AnchorSetting, pull: Vector) -> Neighbour:
    x, y, z = (float(part) for part in pull)
    return Neighbour(anchor, (x, y, z))


def _size(vector: Vector) -> float:
    return float(np.linalg.norm(vector))
