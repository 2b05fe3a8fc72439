"""Boxes, edges and the gaps between them; the deck's trapezoid. Lengths in metres.

A body is a rectangle with round corners: its core, and a radius beyond it. Distances are exact.
"""

from __future__ import annotations

from math import cos, hypot, inf, pi, sin, sqrt
from typing import Final, Literal

import numpy as np
from msgspec import Struct
from numpy.typing import ArrayLike, NDArray

ROUNDING: Final = 1e-9
"""Touching is not overlapping [m]."""

Axis = Literal[0, 1]
Span = tuple[float, float]


class Box(Struct, frozen=True):
    """A rectangle along the axes, possibly without end; a point when both sides are nil."""

    x: Span
    y: Span

    @classmethod
    def about(cls, at: tuple[float, float], size: tuple[float, float] = (0.0, 0.0)) -> Box:
        """Rectangle of `size` with its middle at `at`."""
        return cls((at[0] - size[0] / 2, at[0] + size[0] / 2), (at[1] - size[1] / 2, at[1] + size[1] / 2))

    @property
    def spans(self) -> tuple[Span, Span]:
        """Extent along x and along y."""
        return self.x, self.y


def turned(places: ArrayLike, angle: float) -> NDArray[np.float64]:
    """Places (n, 2) turned to the left about the origin by `angle` [rad]."""
    at = np.asarray(places, dtype=float).reshape(-1, 2)
    if angle == 0:
        return at
    c, s = cos(angle), sin(angle)
    return np.asarray(at @ np.array([[c, s], [-s, c]]))


def covered(size: tuple[float, float], angle: float) -> tuple[float, float]:
    """Length and width along the axes of what a rectangle of `size` covers that is turned by `angle` [rad]."""
    c, s = abs(cos(angle)), abs(sin(angle))
    return (size[0] * c + size[1] * s, size[0] * s + size[1] * c) if angle else size


def outline(size: tuple[float, float], corner: float, angle: float) -> list[tuple[float, float]]:
    """Places round a rectangle about the origin, to the left: its corners, round ones in steps of 10 degrees.

    `size` along and across, radius of the corners [m], turned to the left by `angle` [rad].
    """
    x, y = size[0] / 2 - corner, size[1] / 2 - corner
    steps = np.radians(np.arange(0, 91, 10) if corner else [0])
    around = [
        (cx + corner * cos(start + step), cy + corner * sin(start + step))
        for cx, cy, start in ((x, y, 0.0), (-x, y, pi / 2), (-x, -y, pi), (x, -y, 3 * pi / 2))
        for step in steps
    ]
    return [(float(u), float(v)) for u, v in turned(around, angle)]


class Edge(Struct, frozen=True):
    """A straight edge of the deck: the deck is where the outward normal times the place is at most `offset`."""

    normal: tuple[float, float]  # of length one
    offset: float


class Faces(Struct, frozen=True):
    """Strips of the deck of which a body must lie on one: the members' faces, or the bays between them."""

    middles: tuple[float, ...]
    half_width: float
    axis: Axis = 0  # across them


Obstacle = Box | Edge | Faces


Nose = tuple[float, float]
"""Over what length a deck narrows in front, and how wide it is at its front edge [m]."""


def half_width_at(x: float, length: float, width_rear: float, width_front: float, nose: Nose | None = None) -> float:
    """From the centreline of a deck that is a trapezoid to its side edge at `x` from the rear [m].

    With a `nose` the sides run straight inwards from where it begins: inside the edge of one that is rounded.
    """
    if nose is None or x <= length - nose[0]:
        return (width_rear + (width_front - width_rear) * x / length) / 2
    start = half_width_at(length - nose[0], length, width_rear, width_front)
    return start + (nose[1] / 2 - start) * (x - length + nose[0]) / nose[0]


def deck_edges(
    length: float, width_rear: float, width_front: float, nose: Nose | None = None
) -> list[tuple[str, Edge]]:
    """The edges of a deck that is a trapezoid about its centreline: four, and two more of a nose."""
    rear, front = width_rear / 2, width_front / 2
    side = hypot(length, front - rear)
    forward = (rear - front) / side  # part of the side's outward normal along x
    outward = length / side
    edges = [
        ("rear edge", Edge((-1.0, 0.0), 0.0)),
        ("front edge", Edge((1.0, 0.0), length)),
        ("left edge", Edge((forward, outward), outward * rear)),
        ("right edge", Edge((forward, -outward), outward * rear)),
    ]
    if nose is None:
        return edges
    start = half_width_at(length - nose[0], length, width_rear, width_front)
    slant = hypot(nose[0], start - nose[1] / 2)
    forward, outward = (start - nose[1] / 2) / slant, nose[0] / slant
    offset = forward * length + outward * nose[1] / 2
    sides = [("left edge of the nose", outward), ("right edge of the nose", -outward)]
    return [*edges, *((name, Edge((forward, across), offset)) for name, across in sides)]


def gap(core: Box, radius: float, obstacle: Obstacle) -> float:
    """Distance between a body and an obstacle; below nil the depth to which they overlap [m].

    For `Faces`: how far inside the nearest face the body lies; below nil how far it misses it.
    """
    if isinstance(obstacle, Edge):
        return obstacle.offset - _farthest(core, obstacle.normal) - radius
    if isinstance(obstacle, Faces):
        at = sum(core.spans[obstacle.axis]) / 2
        nearest = min((abs(at - middle) for middle in obstacle.middles), default=inf)
        return obstacle.half_width - radius - nearest
    apart = [_apart(own, other) for own, other in zip(core.spans, obstacle.spans, strict=True)]
    if max(apart) <= 0:
        return max(apart) - radius
    return hypot(*(max(distance, 0.0) for distance in apart)) - radius


def _apart(own: Span, other: Span) -> float:
    """Distance between two spans of one axis; below nil the way out of their overlap."""
    return max(other[0] - own[1], own[0] - other[1])


def _farthest(core: Box, normal: tuple[float, float]) -> float:
    return sum(part * (span[1] if part > 0 else span[0]) for part, span in zip(normal, core.spans, strict=True) if part)


def barred_shifts(core: Box, radius: float, obstacle: Obstacle, wanted: float, axis: Axis) -> list[Span]:
    """Shifts of a body along `axis` that bring it nearer than `wanted` to an obstacle, as open spans [m]."""
    if isinstance(obstacle, Edge):
        return _barred_by_edge(gap(core, radius, obstacle) - wanted, obstacle.normal[axis])
    if isinstance(obstacle, Faces):
        return _barred_off_faces(core, radius, obstacle, axis)
    keep = radius + wanted
    own, other = core.spans, obstacle.spans
    apart = _apart(own[1 - axis], other[1 - axis])
    beside = max(apart, 0.0)
    if beside >= keep and (keep > 0 or apart >= -ROUNDING):
        return []
    reach = sqrt(keep**2 - beside**2)
    return [(other[axis][0] - own[axis][1] - reach, other[axis][1] - own[axis][0] + reach)]


def _barred_by_edge(room: float, normal: float) -> list[Span]:
    """Shifts that leave less than no room to an edge, whose normal has this part along the shift."""
    if abs(normal) < 1e-12:
        return [(-inf, inf)] if room < -ROUNDING else []
    return [(room / normal, inf)] if normal > 0 else [(-inf, room / normal)]


def _barred_off_faces(core: Box, radius: float, faces: Faces, axis: Axis) -> list[Span]:
    if axis != faces.axis:
        return [(-inf, inf)] if gap(core, radius, faces) < -ROUNDING else []
    room, at = faces.half_width - radius, sum(core.spans[axis]) / 2
    if room < -ROUNDING:
        return [(-inf, inf)]
    met = sorted((middle - room - at, middle + room - at) for middle in faces.middles)
    starts, ends = [-inf, *(high for _, high in met)], [*(low for low, _ in met), inf]
    return [(low, high) for low, high in zip(starts, ends, strict=True) if low < high]
