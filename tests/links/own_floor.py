"""The floor round a ring laid out anew from a deck's plain figures, without our layout code or our plates.

The whole width of the deck and more than two bays each way, as quintic triangles of scikit-fem; the ring's base as a
rigid body on its fasteners and the wood, by statics; the pull's in-plane part as a couple on the deck. Inches in,
shares of the pull out.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from math import sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from anchorcalc.mechanics.plates import Rigidities
from tests.mechanics.floor_reference import Sheet, gauss, settle

FloatArray = NDArray[np.float64]

INCH: Final = 0.0254
PSI: Final = 6894.757
# tables/factors.yaml: bed of a member, of wood across the grain; springs of deck screws, ring screws and bolts.
MEMBER, ACROSS, DECK_SCREW, RING_SCREW, BOLT = 8.0e8, 0.05, 2.0e6, 1.75e6, 1.0e7


@dataclass(frozen=True)
class OwnDeck:
    """A deck of like plywood layers, loose on each other [in]; I in in⁴ per foot."""

    layers: int = 1
    t: float = 0.75
    I_x: float = 0.199
    I_y: float = 0.092
    E: float = 1.5e6
    half_width: float = 36.0
    length: float = 144.0
    spacing: float = 16.0
    first: float = 8.0
    rows: tuple[float, ...] = tuple(32.0 - 8.0 * k for k in range(9))  # symmetric: the last is as far from the edge

    @property
    def members(self) -> list[float]:
        count = int((self.length - self.first) / self.spacing) + 1
        return [self.first + k * self.spacing for k in range(count)]

    @property
    def rigidities(self) -> Rigidities:
        D_x, D_y = (self.layers * self.E * PSI * own / 12 * INCH**3 for own in (self.I_x, self.I_y))
        D_xy = self.layers * 0.06 * self.E * PSI * (self.t * INCH) ** 3 / 12
        return Rigidities(D_x, D_y, 0.05 * sqrt(D_x * D_y), D_xy)


@dataclass(frozen=True)
class OwnRing:
    """A rigid base on four fasteners."""

    at: tuple[float, float]
    half: float = 1.625  # of the square of the fasteners
    base: float = 4.5
    height: float = 0.5
    spring: float = RING_SCREW
    seat: float = 0.242  # over which a fastener lifts the deck


def rigid_base(ring: OwnRing, deck: OwnDeck, pull: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Tensions (4,) on the fasteners, and places and forces of the pressure under the base, per newton [in]."""
    bolts = np.array([(sx * ring.half, sy * ring.half) for sx in (-1, 1) for sy in (-1, 1)]) * INCH
    edge = np.linspace(-ring.base / 2, ring.base / 2, 25) * INCH
    middles = (edge[:-1] + edge[1:]) / 2
    cells = np.stack([axis.ravel() for axis in np.meshgrid(middles, middles)], axis=1)
    bed = ACROSS * deck.E * PSI / (deck.layers * deck.t * INCH) * (edge[1] - edge[0]) ** 2
    places = np.concatenate([bolts, cells])
    k = np.concatenate([np.full(4, ring.spring), np.full(len(cells), bed)])
    sign = np.concatenate([np.ones(4), -np.ones(len(cells))])
    shape = np.column_stack([np.ones(len(places)), places])  # rise, slope along x, slope along y
    arm = ring.height * INCH
    load = np.array([pull[2], -arm * pull[0], -arm * pull[1]])
    holds = np.ones(len(places), dtype=bool)
    for _ in range(200):
        moved = np.linalg.solve((shape.T * (k * holds)) @ shape, load)
        now = sign * (shape @ moved) > 0
        if (now == holds).all():
            break
        holds = now
    forces = np.where(holds, k * np.abs(shape @ moved), 0.0)
    return forces[:4], cells / INCH, forces[4:]


def deck_screw_pulls(deck: OwnDeck, ring: OwnRing, pull: FloatArray) -> FloatArray:
    """Pull of every screw of the deck per newton on the ring."""
    tensions, cells, presses = rigid_base(ring, deck, pull)
    members = [x for x in deck.members if abs(x - ring.at[0]) < 2.6 * deck.spacing]
    start = max(members[0], 0.0) if members[0] != deck.members[0] else 0.0
    end = members[-1] if members[-1] != deck.members[-1] else deck.length
    near = [-ring.base / 2, -ring.half, ring.half, ring.base / 2]
    sheet = Sheet(
        _lines(start, end, [*members, *(ring.at[0] + a for a in near)]),
        _lines(-deck.half_width, deck.half_width, [ring.at[1] + a for a in near]),
        deck.rigidities,
    )
    x, y = (np.array(ring.at)[:, None] + [[0.0], [0.0]]).ravel()
    load = np.zeros(sheet.stiffness.shape[0])
    half = ring.seat / 2 * sqrt(np.pi) / 2
    for number, tension in enumerate(tensions):
        a, b = x + (-1, 1)[number // 2] * ring.half, y + (-1, 1)[number % 2] * ring.half
        load += tension * sheet.patch(_in(a - half, a + half), _in(b - half, b + half))
    pressed = presses > 1e-6
    rows = sheet.rows((x + cells[pressed, 0]) * INCH, (y + cells[pressed, 1]) * INCH)
    load -= rows.T @ presses[pressed]
    t = deck.layers * deck.t * INCH
    over = _in(x - ring.base / 2, x + ring.base / 2), _in(y - ring.base / 2, y + ring.base / 2)
    for tilt, part in (("x", pull[0]), ("y", pull[1])):
        load -= t * part * sheet.patch(*over, tilt)
    places = np.array([(m, row) for m in members for row in deck.rows]) * INCH
    contacts, stiffness = [sheet.rows(*places.T)], [np.full(len(places), DECK_SCREW)]
    for member in members:
        at, lengths = gauss(_in(-deck.half_width, deck.half_width), 48)
        contacts.append(-sheet.rows(member * INCH, at))
        stiffness.append(MEMBER * lengths)
    all_rows = sparse.csr_array(sparse.vstack(contacts))
    _, answers = settle(sheet.stiffness, all_rows, np.concatenate(stiffness), load)
    return answers[: len(places)]


def _in(a: float, b: float) -> tuple[float, float]:
    return a * INCH, b * INCH


def _lines(start: float, end: float, through: list[float]) -> FloatArray:
    """Lines of the triangles through given places, 6 in apart at most, none nearer than 1/2 in to another [m]."""
    stops = [start]
    for stop in sorted(p for p in through if start < p < end):
        if stop - stops[-1] > 0.5:
            stops.append(stop)
    if end - stops[-1] <= 0.5:
        stops.pop()
    stops.append(end)
    parts = [np.linspace(a, b, int(np.ceil((b - a) / 6)) + 1)[:-1] for a, b in itertools.pairwise(stops)]
    return np.append(np.concatenate(parts), end) * INCH
