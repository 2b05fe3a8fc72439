"""The pulls of a rig's straps in every case, held against what each strap hangs on."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from anchorcalc.links.common import Neighbour
from anchorcalc.result.check import CaseResult, Requirement, StrapState
from anchorcalc.rig.parts import near
from anchorcalc.verdict.demand import strap_pulls, strapped_load
from anchorcalc.verdict.rules import verdict_of
from anchorcalc.verdict.wheels import wheels_on_deck

if TYPE_CHECKING:
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
        self._load = strapped_load(rig)
        self._directions = self._load.directions
        self._demand = strap_pulls(self._load, rig.rules.cases)

    def cases(self) -> tuple[CaseResult, ...]:
        """Every case with every strap in it."""
        return tuple(self._case(number, case) for number, case in enumerate(self.rig.rules.cases))

    def on_wheels(self) -> tuple[Requirement, ...]:
        """Whether the deck bears the load's wheels."""
        return wheels_on_deck(self.rig, self._load, self._demand.pulls)

    def along_own_straps(self) -> dict[str, AnchorStrength]:
        """What the anchor of each strap holds along that strap."""
        return {
            name: self._along(strap.anchor, self._directions[i], self._alike(strap.anchor))
            for i, (name, strap) in enumerate(self.rig.straps.items())
        }

    def anchors(self) -> tuple[AnchorStrength, ...]:
        """Every anchor that has a strap, along its strap; with several, along their hardest pull together."""
        return tuple(
            self._along(anchor, self._hardest(anchor), self._alike(anchor))
            for anchor in self.rig.anchors
            if self._on_ring(anchor).any()
        )

    def _along(self, anchor: str, direction: Vector, beside: tuple[Neighbour, ...]) -> AnchorStrength:
        return self.strengths.along(self.rig.anchors[anchor], direction, beside)

    def _near(self, anchor: str) -> list[str]:
        """Strapped anchors that lift the same piece of deck."""
        own = self.rig.anchors[anchor]
        return [
            name
            for name, other in self.rig.anchors.items()
            if name != anchor and near(own, other) and self._on_ring(name).any()
        ]

    def _alike(self, anchor: str) -> tuple[Neighbour, ...]:
        """The rings near by, each pulled as hard as this one, along its own straps."""
        return tuple(_neighbour(self.rig.anchors[name], self._hardest(name)) for name in self._near(anchor))

    def _beside(self, anchor: str, pulls: Vector, total: float) -> tuple[Neighbour, ...]:
        """The rings near by as they are pulled in a case, per newton of the pull on this one."""
        found = [(name, self._pull_on_ring(name, pulls) / total) for name in self._near(anchor)]
        return tuple(_neighbour(self.rig.anchors[name], pull) for name, pull in found if _size(pull) > _SLACK)

    def _on_ring(self, anchor: str) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
        return np.array([strap.anchor == anchor for strap in self.rig.straps.values()])

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
        return np.asarray((pulls[on_ring, None] * self._directions[on_ring]).sum(axis=0))

    def _pull_on_tie_point(self, tie_point: str, pulls: Vector) -> float:
        """All straps on one tie point, their pulls added up whatever their directions: the safe side [N]."""
        return float(sum(pulls[i] for i, strap in enumerate(self.rig.straps.values()) if strap.tie_point == tie_point))

    def _case(self, number: int, case: LoadCase) -> CaseResult:
        held, pulls = bool(self._demand.held[number]), self._demand.pulls[number]
        states = tuple(
            self._strap_state(i, strap, pulls, case.level) for i, strap in enumerate(self.rig.straps.values())
        )
        utilisation = max(state.utilisation for state in states) if held else math.inf
        return CaseResult(
            case=case.case,
            level=case.level,
            acceleration=case.acceleration,
            source=case.source,
            held=held,
            straps=states,
            utilisation=utilisation,
            verdict=verdict_of(utilisation, self.rig.rules) if held else "fail",
            turning_share=float(self._demand.turning_share[number]),
        )

    def _strap_state(self, i: int, strap: StrapSetting, pulls: Vector, level: Level) -> StrapState:
        """One strap against the least limit along it: strap, tie point, ring and every link under it."""
        tension, on_ring = float(pulls[i]), self._pull_on_ring(strap.anchor, pulls)
        total, on_point = _size(on_ring), self._pull_on_tie_point(strap.tie_point, pulls)
        slack = tension <= _SLACK * self.rig.load.weight
        balanced = total <= _SLACK * self.rig.load.weight  # straps that pull against each other leave nothing
        direction = self._directions[i] if slack or balanced else on_ring / total
        beside = self._alike(strap.anchor) if slack or balanced else self._beside(strap.anchor, pulls, total)
        anchor, point = self._along(strap.anchor, direction, beside), self.rig.load.tie_points[strap.tie_point]
        link = anchor.weakest(level)
        # Where several straps share a ring or a tie point its limit falls to each in proportion to its pull.
        point_limit = point.breaking if level == "breaking" else point.rated
        anchor_limit = link.at(level) * (1.0 if slack else math.inf if balanced else tension / total)
        limits = [
            (strap.breaking if level == "breaking" else strap.rated, "strap", "strap"),
            (point_limit * (1.0 if slack else tension / on_point), "tie_point", "tie point"),
            (anchor_limit, link.key, link.name),
            # The ring has to hold each strap by itself, even where they pull against each other.
            *((each.at(level), each.key, each.name) for each in anchor.links if each.key == "ring"),
        ]
        limit, key, name = min(limits, key=lambda each: each[0])
        utilisation = 0.0 if slack else tension / limit if limit > 0 else math.inf
        verdict = verdict_of(utilisation, self.rig.rules)
        return StrapState(strap.name, strap.anchor, tension, limit, utilisation, key, name, verdict)


def _neighbour(anchor: AnchorSetting, pull: Vector) -> Neighbour:
    x, y, z = (float(part) for part in pull)
    return Neighbour(anchor, (x, y, z))


def _size(vector: Vector) -> float:
    return float(np.linalg.norm(vector))
