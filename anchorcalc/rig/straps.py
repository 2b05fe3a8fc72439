"""Straps and what they hang on at the load, in numbers: hooked to one point, or over several to another ring."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from math import dist
from typing import TYPE_CHECKING, Final

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from anchorcalc.rig.rig import StrapSetting, TiePointSetting

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from anchorcalc.catalog.rules import RuleSet
    from anchorcalc.rig.ledger import Ledger, Lookup
    from anchorcalc.rig.parts import MountingSetting, Place3
    from anchorcalc.scenario.model import Anchor, Scenario, Strap, TiePoint

_ONLY_MARKED: Final = "unmarked; these rules count only what is marked"
_NO_LIMIT: Final = float("inf")
_UNLIKE: Final = 1.001  # times as stiff
_LEGS: Final = ("first leg", "second leg")


class Strapped(Struct, frozen=True):
    """The straps by name, the points of the load by name, and what of both nobody rated."""

    straps: Mapping[str, StrapSetting]
    points: Mapping[str, TiePointSetting]
    unrated: tuple[str, ...]


class _Webbing(Struct, frozen=True):
    """What a strap is made of and how it is tightened."""

    rated: float
    breaking: float
    stretching: tuple[float, float]  # a load [N] and its stretch at that load [-]
    hand_tension: float
    stiffer: float = 1.0  # times that it may be

    def __call__(
        self, name: str, tie_down: str, course: Sequence[tuple[str, float]], ends: tuple[str, str | None],
        length: float, counted_share: float, *, over: bool = False,
    ) -> StrapSetting:  # fmt: skip
        force, stretch = self.stretching
        return StrapSetting(
            name=name,
            tie_down=tie_down,
            anchor=ends[0],
            course=tuple(point for point, _ in course),
            bearing=tuple(bearing for _, bearing in course),
            to_anchor=ends[1],
            rated=self.rated,
            breaking=self.breaking,
            stiffness=force / (stretch * length),
            hand_tension=self.hand_tension,
            counted_share=counted_share,
            over=over,
            stiffer=self.stiffer,
        )


def strap_settings(
    scenario: Scenario, mountings: Mapping[str, MountingSetting], rows: Lookup, rules: RuleSet, ledger: Ledger
) -> Strapped:
    """Every strap of `scenario`; one that cannot slide over its points is two, a leg each."""
    unrated: list[str] = []
    points = _points(scenario, rules, unrated)
    rings: dict[str, Place3] = {
        name: (*anchor.at, mountings[mounting].pull_height) for name, anchor, _, mounting in based(scenario)
    }
    straps: dict[str, StrapSetting] = {}
    webbings = {name: _webbing(name, each, rows, rules, ledger, unrated) for name, each in scenario.straps.items()}
    webbings = _unlike(scenario, webbings, ledger)
    for name, strap in scenario.straps.items():
        webbing = webbings[name]
        if strap.to is not None:
            straps[name] = _hooked(name, strap, strap.to, webbing, points, rings, rules, ledger)
        else:
            course = _course(name, strap, points)
            taken = {*straps, *scenario.straps}
            straps |= _led(name, strap, webbing, course, points, rings, rules, ledger, taken)
    return Strapped(straps, points, tuple(unrated))


def based(scenario: Scenario) -> Iterator[tuple[str, Anchor, Anchor, str]]:
    """Every anchor by its name, with the anchor whose base it stands on, itself or another, and that one's mounting."""
    for name, anchor in scenario.anchors.items():
        base = anchor if anchor.on is None else scenario.anchors[anchor.on]
        yield name, anchor, base, base.mounting or ""


def _points(scenario: Scenario, rules: RuleSet, unrated: list[str]) -> dict[str, TiePointSetting]:
    """The load's tie points; those that no strap touches have no limit that anyone would ask for."""
    touched = {strap.to for strap in scenario.straps.values()}
    touched |= {point for strap in scenario.straps.values() for point in strap.over or () if isinstance(point, str)}
    return {
        name: _tie_point(name, point, rules, unrated)
        if name in touched
        else TiePointSetting(point.at, _NO_LIMIT, _NO_LIMIT)
        for name, point in scenario.load.tie_points.items()
    }


def _tie_point(name: str, point: TiePoint, rules: RuleSet, unrated: list[str]) -> TiePointSetting:
    multiple = rules.breaking_over_rated["hardware"]
    rated = _limit(point.rated, point.breaking, multiple)
    if rated is None:
        unrated.append(f"tie point {name}")
        return TiePointSetting(point.at, _NO_LIMIT, _NO_LIMIT)
    return TiePointSetting(point.at, rated, point.breaking if point.breaking is not None else rated * multiple)


def _limit(rated: float | None, breaking: float | None, multiple: float) -> float | None:
    """Working limit of a part [N]: as rated, but never above its breaking strength / `multiple` where that is given."""
    if breaking is None:
        return rated
    return breaking / multiple if rated is None else min(rated, breaking / multiple)


def _webbing(name: str, strap: Strap, rows: Lookup, rules: RuleSet, ledger: Ledger, unrated: list[str]) -> _Webbing:
    size = strap.width if strap.kind == "webbing" else strap.size
    row = rows.noted(rows.catalog.strap(strap.kind, size or 0.0, strap.grade))
    multiple = rules.breaking_over_rated[strap.kind]
    rated = _limit(strap.rated, strap.breaking, multiple) or 0.0
    if not rated:
        table, *_ = row.source.split(";")  # what follows tells of its stretch
        taken, why = (row.rated, f"unmarked; {table}") if rules.unmarked_counts else (0.0, _ONLY_MARKED)
        rated = ledger.force(f"rating of strap {name}", taken, why)
        unrated.append(f"strap {name}")
    hand_tension = strap.hand_tension
    if hand_tension is None:
        why = "not given; the high end for its kind"
        hand_tension = ledger.force(f"hand tension of strap {name}", row.hand_tension, why)
    return _Webbing(
        rated=rated,
        breaking=strap.breaking if strap.breaking is not None else rated * multiple,
        stretching=(rated or row.rated, row.stretch),
        hand_tension=hand_tension,
    )


def _unlike(scenario: Scenario, webbings: Mapping[str, _Webbing], ledger: Ledger) -> dict[str, _Webbing]:
    """Straps of one size that are rated unlike stretch unlike here: of one it may be the hook alone that is rated."""
    sizes = {
        name: (strap.kind, strap.width if strap.kind == "webbing" else strap.size, strap.grade)
        for name, strap in scenario.straps.items()
    }
    ratings = {name: webbing.stretching[0] for name, webbing in webbings.items()}
    stiffer = {}
    for name, size in sizes.items():
        times = max(ratings[other] for other, its in sizes.items() if its == size) / ratings[name]
        stiffer[name] = times if times > _UNLIKE else 1.0
    if max(stiffer.values()) > 1:
        why = "of one size and rated unlike: one rated low for its hook alone is as stiff as the others and pulls more"
        ledger.assume("stretch of the straps", "in proportion to the rating of each", why)
    return {name: replace(webbing, stiffer=stiffer[name]) for name, webbing in webbings.items()}


def _hooked(
    name: str, strap: Strap, point: str, webbing: _Webbing, points: Mapping[str, TiePointSetting],
    rings: Mapping[str, Place3], rules: RuleSet, ledger: Ledger,
) -> StrapSetting:  # fmt: skip
    """A strap straight from its ring to a tie point."""
    if strap.route is None:
        why = "not given; a direct tie-down counts half in the sum of ratings"
        ledger.assume(f"route of strap {name}", "direct", why)
    thumb, over = rules.rule_of_thumb, strap.route == "over"
    share = thumb.over_counts / 2 if over else thumb.direct_counts
    length = dist(points[point].at, rings[strap.anchor])
    return webbing(name, name, [(point, 1.0)], (strap.anchor, None), length, share, over=over)


# --- straps that run over points ------------------------------------------------------------------------------


def _course(name: str, strap: Strap, points: dict[str, TiePointSetting]) -> list[str]:
    """Names of the points a strap runs over; a place alone becomes a point that nobody has to rate."""
    course = []
    for number, point in enumerate(strap.over or (), start=1):
        if isinstance(point, str):
            course.append(point)
        else:
            course.append(_free(f"{name}, point {number}", points))
            points[course[-1]] = TiePointSetting(point, _NO_LIMIT, _NO_LIMIT, bare=True)
    return course


def _led(
    name: str, strap: Strap, webbing: _Webbing, course: list[str], points: Mapping[str, TiePointSetting],
    rings: Mapping[str, Place3], rules: RuleSet, ledger: Ledger, taken: set[str],
) -> dict[str, StrapSetting]:  # fmt: skip
    """A strap over points: one that slides has one tension all along, one that cannot has two legs."""
    first, last = strap.anchor, strap.to_anchor or strap.anchor
    places = [rings[first], *(points[each].at for each in course), rings[last]]
    thumb = rules.rule_of_thumb
    share = thumb.over_counts if rings[first][1] * rings[last][1] < 0 else thumb.loop
    if strap.slides == "no":
        legs = ((first, course[0], places[:2]), (last, course[-1], places[-2:]))
        made = {}
        for which, (anchor, point, ends) in zip(_LEGS, legs, strict=True):
            leg = _free(f"{name}, {which}", taken)
            made[leg] = webbing(leg, name, [(point, 1.0)], (anchor, None), dist(*ends), share / 2)
        first_leg = next(iter(made))
        return made | {first_leg: replace(made[first_leg], lies_on=tuple(course))}
    if strap.slides is None:
        why = "not given; only cleats, or a loop round an axle, let its two ends pull each for itself"
        ledger.assume(f"strap {name} slides over its points", "yes", why)
    length = sum(dist(a, b) for a, b in pairwise(places))
    bearing = zip(course, _bearing(places), strict=True)
    return {name: webbing(name, name, list(bearing), (first, last), length, share)}


def _bearing(places: Sequence[Place3]) -> list[float]:
    """Force on each inner place of a rope with a tension of one newton that slides over it without friction [-]."""
    steps = np.diff(np.array(places), axis=0)
    along = steps / np.linalg.norm(steps, axis=1, keepdims=True)
    return [float(each) for each in np.linalg.norm(np.diff(along, axis=0), axis=1)]


def _free(name: str, taken: Mapping[str, object] | set[str]) -> str:
    """`name`, or the like that nothing else is called."""
    while name in taken:
        name += "*"
    return name
