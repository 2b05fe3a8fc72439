"""What an anchor is good for by itself: its least strength over all directions it may be pulled in.

A set of pulls that all links hold is convex where each link is loaded in proportion and no more by two pulls together
than by each: then the use g of a newton along d, one over the strength, lies inside a triangle of directions nowhere
above what its corners give by straight interpolation. The triangle with the greatest of these bounds is looked into
next, until no bound is above the greatest use found by more than the tolerance. What is told is one over the bound.
"""

from __future__ import annotations

from math import cos, pi, radians, sin, sqrt
from typing import TYPE_CHECKING, Final

import numpy as np
from msgspec import Struct

from anchorcalc.result.strength import Least, LeastStrength, Level

if TYPE_CHECKING:
    from collections.abc import Sequence

    from anchorcalc.links.common import FloatArray
    from anchorcalc.links.path import Strengths
    from anchorcalc.result.strength import AnchorStrength
    from anchorcalc.rig.parts import AnchorSetting

STEEPEST: Final = 60.0
"""Greatest angle from upright [degrees]: EN 12640's test directions [from memory]."""
_ROUND: Final = 5  # directions round the compass to begin with
_TOLERANCE: Final = 0.006
_MOST: Final = 40  # directions that are looked at
_ANGLES: Final = tuple(range(0, 61, 5))  # from upright, at which the least all round is told [degrees]
_CUTS: Final = 12  # of a triangle's side, where its bound is looked for
_ROUNDING: Final = 1e-9
_RING: Final = "ring"
_LEVELS: Final[tuple[Level, Level]] = ("breaking", "working")


class _Corner(Struct, frozen=True, eq=False):
    """A direction, and what a newton along it uses of the anchor at both levels [1/N]."""

    direction: FloatArray  # (3,)
    use: FloatArray  # (2,)


class _Triangle(Struct, frozen=True, eq=False):
    """Directions between three corners; by level the greatest use there can be, and where."""

    corners: tuple[_Corner, _Corner, _Corner]
    bound: FloatArray  # (2,)
    where: FloatArray  # (2, 3)


def least_strength(anchor: AnchorSetting, strengths: Strengths) -> LeastStrength:
    """Least strength of `anchor` at both levels, all round the compass and from upright to 60 degrees from it.

    Never above its strength along any such direction; lower than the least by no more than the tolerance as long as
    the number of directions looked at suffices. The ring's own rating goes by the angle alone, from the one upright to
    the one along the deck: its ends are asked, and the search is for the other links.
    """
    search = _Search(anchor, strengths)
    triangles = search.first()
    of_the_ring = float(search.ring[_LEVELS.index("working")])
    for _ in range(_MOST):
        worst = max(triangles, key=lambda triangle: float((triangle.bound / search.greatest).max()))
        excess = worst.bound / search.greatest
        if excess.max() <= 1 + _TOLERANCE or len(search.seen) >= _MOST:
            break
        triangles.remove(worst)
        triangles += search.split(worst, worst.where[int(excess.argmax())])
    bound = np.maximum(np.max([triangle.bound for triangle in triangles], axis=0) * _BETWEEN, search.greatest)
    breaking, working = (
        Least(float(1.0 / bound[i]), found.direction, found.weakest(level))
        for i, level in enumerate(_LEVELS)
        for found in [search.at_greatest(i)]
    )
    looked_at = tuple((found.direction, found.breaking, found.working) for _, found in search.seen.values())
    return LeastStrength(breaking, working, looked_at, _by_angle(triangles, of_the_ring))


def _by_angle(triangles: Sequence[_Triangle], of_the_ring: float) -> tuple[tuple[float, float], ...]:
    """Daily strength that no direction at an angle from upright is below; the ring counts by the worse of its ends."""
    rims = {angle: np.array([_direction(angle, 5.0 * k) for k in range(72)]) for angle in _ANGLES}
    uses = dict.fromkeys(_ANGLES, of_the_ring)
    for triangle in triangles:
        corners = np.linalg.inv([corner.direction for corner in triangle.corners])
        daily = np.array([corner.use[_LEVELS.index("working")] for corner in triangle.corners])
        for angle, ways in rims.items():
            shares = ways @ corners
            inside = shares[shares.min(axis=1) >= -_ROUNDING] @ daily
            uses[angle] = max(uses[angle], _BETWEEN * float(inside.max(initial=0.0)))
    return tuple((radians(angle), 1.0 / use) for angle, use in uses.items())


class _Search:
    """Directions looked at so far."""

    def __init__(self, anchor: AnchorSetting, strengths: Strengths) -> None:
        self._anchor, self._strengths = anchor, strengths
        self.seen: dict[bytes, tuple[_Corner, AnchorStrength]] = {}
        self.greatest, self.ring = np.zeros(2), np.zeros(2)

    def first(self) -> list[_Triangle]:
        """Upright, and a rim so wide that the chords between its directions go round all that is asked."""
        top = self._corner(_direction(0.0, 0.0))
        self._corner(_direction(STEEPEST, 0.0))
        for _, strength in self.seen.values():
            for ring in (link for link in strength.links if link.key == _RING):
                self.ring = np.maximum(self.ring, [_use(ring.at(level)) for level in _LEVELS])
        self.greatest = np.maximum(self.greatest, self.ring)
        outer = float(np.degrees(np.arctan(np.tan(radians(STEEPEST)) / cos(pi / _ROUND))))
        rim = [self._corner(_direction(outer, k * 360 / _ROUND)) for k in range(_ROUND)]
        return [self._triangle(top, rim[k], rim[(k + 1) % _ROUND]) for k in range(_ROUND)]

    def split(self, triangle: _Triangle, where: FloatArray) -> list[_Triangle]:
        """The triangle about `where`, a direction in it or on one of its sides."""
        middle = self._corner(where)
        made = []
        for left_out in range(3):
            a, b = (corner for i, corner in enumerate(triangle.corners) if i != left_out)
            if abs(np.linalg.det([middle.direction, a.direction, b.direction])) > 1e-9:
                made.append(self._triangle(middle, a, b))
        return made

    def at_greatest(self, level: int) -> AnchorStrength:
        """The anchor along that direction looked at in which it holds least."""
        inside = [strength for corner, strength in self.seen.values() if _in_cap(corner.direction)]
        return min(inside, key=lambda strength: strength.weakest(_LEVELS[level]).at(_LEVELS[level]))

    def _corner(self, direction: FloatArray) -> _Corner:
        key = np.round(direction, 9).tobytes()
        if key not in self.seen:
            strength = self._strengths.along(self._anchor, direction)
            searched = [link for link in strength.links if link.key != _RING]
            use = np.array([max((_use(link.at(level)) for link in searched), default=0.0) for level in _LEVELS])
            self.seen[key] = _Corner(direction, use), strength
            if _in_cap(direction):
                self.greatest = np.maximum(self.greatest, use)
        return self.seen[key][0]

    def _triangle(self, *corners: _Corner) -> _Triangle:
        a, b, c = corners
        places = np.array([corner.direction for corner in corners])
        ways = np.concatenate([_unit(_SHARES @ places), _RIM, *(_at_rim(places[i - 1], places[i]) for i in range(3))])
        shares = ways @ np.linalg.inv(places)
        ways, shares = (each[_in_cap(ways) & (shares.min(axis=1) >= -_ROUNDING)] for each in (ways, shares))
        if not len(ways):
            return _Triangle((a, b, c), np.zeros(2), places[:2])
        uses = shares @ np.array([corner.use for corner in corners])
        at = uses.argmax(axis=0)
        return _Triangle((a, b, c), uses[at, [0, 1]], ways[at])


def _use(strength: float) -> float:
    """What a newton uses of a strength [1/N]."""
    return 1.0 / max(strength, 1e-9)


def _unit(ways: FloatArray) -> FloatArray:
    return np.asarray(ways / np.linalg.norm(ways, axis=-1, keepdims=True))


def _at_rim(one: FloatArray, other: FloatArray) -> FloatArray:
    """Directions between two where the angle from upright is the steepest, (0 to 2, 3)."""
    c2, step = cos(radians(STEEPEST)) ** 2, other - one
    a = step[2] ** 2 - c2 * step @ step
    b = 2 * (one[2] * step[2] - c2 * one @ step)
    c = one[2] ** 2 - c2
    inner = b * b - 4 * a * c
    if abs(a) < _ROUNDING or inner < 0:
        return np.zeros((0, 3))
    roots = [(-b + sign * sqrt(inner)) / (2 * a) for sign in (-1, 1)]
    return np.array([_unit(one + root * step) for root in roots if 0 <= root <= 1]).reshape(-1, 3)


def _in_cap(ways: FloatArray) -> FloatArray:
    return np.asarray(ways[..., 2] >= cos(radians(STEEPEST)) - 1e-9)


def _direction(from_upright: float, azimuth: float) -> FloatArray:
    """Unit vector (3,); both in degrees, azimuth from ahead to the left."""
    flat, turn = sin(radians(from_upright)), radians(azimuth)
    return np.array([flat * cos(turn), flat * sin(turn), cos(radians(from_upright))])


_SHARES: Final = np.array([(i, j, _CUTS - i - j) for i in range(_CUTS + 1) for j in range(_CUTS + 1 - i)], dtype=float)
"""Places in a triangle by what they have of its corners, in cuts; corners and sides included."""
_RIM: Final = np.array([_direction(STEEPEST, 5.0 * k) for k in range(72)])
_BETWEEN: Final = 1.0 / cos(radians(3.0))
"""Places where a bound is looked for are no farther from each other than six degrees: a straight use may be greater
between two of them by this at the most."""
