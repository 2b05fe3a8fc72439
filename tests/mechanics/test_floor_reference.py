"""The floor against scikit-fem's Argyris triangles: screws and moments over many layouts."""

from __future__ import annotations

import functools
import itertools
from dataclasses import dataclass

import numpy as np
import pytest
from scipy import sparse

from anchorcalc.mechanics.floor import (
    MOMENT_ERROR,
    PULL_ERROR,
    BackingPlate,
    Board,
    Couple,
    Floor,
    FloorResponse,
    Member,
    Patch,
    Screws,
    disc,
)
from anchorcalc.mechanics.plates import isotropic_rigidities, orthotropic_rigidities
from tests.mechanics.floor_reference import FloatArray, Sheet, gauss, settle

# 19 mm plywood, strong way along x; its modulus in the plane 0.06 of that along the grain.
PLYWOOD = orthotropic_rigidities([3050.0], [1220.0], [0.6e9], [0.019], 0.05)
THICK = 0.019
K_MEMBER, K_SCREW, BED = 8e8, 2e6, 1.6e10
SCREW_WITHIN, MOMENT_WITHIN = PULL_ERROR, MOMENT_ERROR
WIDE = 0.8


@dataclass(frozen=True)
class Layout:
    """A sheet, its members and its screws."""

    x: tuple[float, float] = (0.0, 1.2)
    members: tuple[Member, ...] = tuple(Member(x, K_MEMBER, 0.05) for x in (0.0, 0.4, 0.8, 1.2))
    rows: tuple[float, ...] = (0.06, 0.23, 0.4, 0.57, 0.74)
    stagger: float = 0.0

    @property
    def screws(self) -> FloatArray:
        low, high = self.x[0] + 0.01, self.x[1] - 0.01  # of a sheet that ends on a member beside its middle
        return np.array([
            (min(max(m.x, low), high), y + (self.stagger if i % 2 else -self.stagger))
            for i, m in enumerate(self.members)
            for y in self.rows
        ])  # fmt: skip

    @property
    def board(self) -> Board:
        return Board(self.x, (0.0, WIDE), PLYWOOD, THICK)


PLAIN = Layout()
OVERHANG = Layout(x=(-0.17, 1.33))
JOINT = Layout(x=(0.0, 0.82), members=PLAIN.members[:3])  # the sheet ends just beyond a member's middle
UNEVEN = Layout(members=tuple(Member(x, K_MEMBER, 0.05) for x in (0.0, 0.29, 0.8, 1.2)), stagger=0.033)
FEW = Layout(rows=(0.13, 0.67))

FOUR = tuple(disc(0.6 + a, 0.4 + b, 0.05) for a in (-0.04, 0.04) for b in (-0.04, 0.04))
ONE = (Patch((0.55, 0.65), (0.35, 0.45)),)
EDGE = (Patch((0.5, 0.58), (0.7, 0.78)),)
NEAR_MEMBER = (Patch((0.43, 0.51), (0.1, 0.18)),)
LOW = (Patch((0.5, 0.6), (0.3, 0.4)),)
FAR_END = (Patch((1.24, 1.3), (0.3, 0.4)),)
SPOT = ((0.55, 0.65), (0.35, 0.45))

CASES = [
    (PLAIN, ONE, (1000.0,)),
    (PLAIN, EDGE, (1000.0,)),
    (PLAIN, NEAR_MEMBER, (1000.0,)),
    (PLAIN, (*ONE, Couple(*SPOT, "x")), (1000.0, 150.0)),
    (PLAIN, (*ONE, Couple(*SPOT, "y")), (1000.0, -120.0)),
    (PLAIN, (*ONE, Couple(*SPOT, "x"), Couple(*SPOT, "y")), (300.0, -150.0, 90.0)),
    (PLAIN, FOUR, (250.0, 250.0, 250.0, 250.0)),
    (PLAIN, FOUR, (700.0, 700.0, -200.0, -200.0)),
    (PLAIN, (*EDGE, *NEAR_MEMBER, Patch((0.9, 1.0), (0.3, 0.4))), (400.0, 900.0, 700.0)),
    (PLAIN, ONE, (-1000.0,)),
    (OVERHANG, ONE, (1000.0,)),
    (OVERHANG, FAR_END, (1000.0,)),
    (OVERHANG, FAR_END, (-1000.0,)),
    (OVERHANG, (*FAR_END, *ONE), (500.0, 800.0)),
    (JOINT, ONE, (1000.0,)),
    (JOINT, (Patch((0.68, 0.78), (0.3, 0.4)),), (1000.0,)),
    (JOINT, (*ONE, Couple(*SPOT, "x")), (500.0, 200.0)),
    (JOINT, (Patch((0.7, 0.76), (0.7, 0.76)), *ONE), (800.0, 300.0)),
    (UNEVEN, LOW, (1000.0,)),
    (UNEVEN, NEAR_MEMBER, (1000.0,)),
    (UNEVEN, (*ONE, Couple(*SPOT, "y")), (1000.0, 100.0)),
    (FEW, LOW, (1000.0,)),
    (FEW, NEAR_MEMBER, (1000.0,)),
    (FEW, (Patch((0.5, 0.6), (0.4, 0.48)),), (1000.0,)),
]


def lines(span: tuple[float, float], widest: float, through: list[float]) -> list[float]:
    stops = sorted({round(p, 6) for p in (*span, *through) if span[0] <= p <= span[1]})
    apart = [stops[0]]
    for stop in stops[1:]:
        if stop - apart[-1] > 0.012:
            apart.append(stop)
    apart[-1] = stops[-1]
    parts = [np.linspace(a, b, int(np.ceil((b - a) / widest)) + 1)[:-1] for a, b in itertools.pairwise(apart)]
    return [*np.concatenate(parts), apart[-1]]


@functools.cache
def sheet_of(layout: Layout, seats: tuple[Patch, ...]) -> Sheet:
    near = [p for s in seats for m in layout.members for p in (m.x - 0.03, m.x + 0.03) if abs(s.x[0] - m.x) < 0.05]
    x = lines(layout.x, 0.11, [*(m.x for m in layout.members), *(p for s in seats for p in s.x), *near])
    y = lines((0.0, WIDE), 0.11, [*layout.rows, *(p for s in seats for p in s.y)])
    return Sheet(x, y, PLYWOOD)


def contacts(sheet: Sheet, layout: Layout) -> tuple[sparse.csr_array, FloatArray]:
    """Rows and stiffness of screws, then of members."""
    rows, k = [sheet.rows(*layout.screws.T)], [np.full(len(layout.screws), K_SCREW)]
    for member in layout.members:
        y, lengths = gauss((0.0, WIDE), round(WIDE / 0.05))
        rows.append(-sheet.rows(member.x, y))
        k.append(K_MEMBER * lengths)
    return sparse.csr_array(sparse.vstack(rows)), np.concatenate(k)


def solved(
    case: tuple[Layout, tuple[Patch | Couple, ...], tuple[float, ...]],
) -> tuple[FloorResponse, FloatArray, FloatArray]:
    """Ours, the reference's screw pulls and unknowns."""
    layout, loads, forces = case
    ours = Floor([layout.board], layout.members, Screws(layout.screws, K_SCREW), loads).under(forces)
    seats = tuple(load for load in loads if isinstance(load, Patch))
    sheet = sheet_of(layout, seats)
    rows, k = contacts(sheet, layout)
    load = sum(
        f * sheet.patch(p.x, p.y, p.along if isinstance(p, Couple) else "") for p, f in zip(loads, forces, strict=True)
    )
    unknowns, answers = settle(sheet.stiffness, rows, k, load)
    return ours, answers[: len(layout.screws)], unknowns


@pytest.mark.parametrize("case", CASES, ids=range(len(CASES)))
def test_screws_and_moments_agree_with_triangles(case) -> None:  # type: ignore[no-untyped-def]
    ours, pulls, unknowns = solved(case)
    layout, loads, _ = case
    assert np.abs(ours.screw_pulls - pulls).max() <= SCREW_WITHIN * pulls.max()

    seats = tuple(load for load in loads if isinstance(load, Patch))
    sheet = sheet_of(layout, seats)
    for number, seat in enumerate(loads):
        if isinstance(seat, Couple):
            continue
        wide = (max(seat.y[0] - THICK, 0.0), min(seat.y[1] + THICK, WIDE))
        beside = [max((m.x for m in layout.members if m.x <= seat.x[0]), default=None)]
        beside.append(min((m.x for m in layout.members if m.x >= seat.x[1]), default=None))
        moments = mean_moments(
            sheet, [*np.linspace(*seat.x, 5), *(x for x in beside if bent_at(layout, x))], wide, unknowns
        )
        assert ours.moments_along[number] == pytest.approx(moments.max(), rel=MOMENT_WITHIN)


def bent_at(layout: Layout, x: float | None) -> bool:
    """Whether a member may bend the sheet: not at its end."""
    return x is not None and layout.x[0] < x < layout.x[1]


def mean_moments(sheet: Sheet, x: list[float], wide: tuple[float, float], unknowns: FloatArray) -> FloatArray:
    """|M_x| averaged along lines x = const."""
    w_xx, w_yy = sheet.mean_curvatures(np.array(x), wide, unknowns)
    return np.abs(PLYWOOD.D_x * w_xx + PLYWOOD.D_1 * w_yy)


@pytest.mark.parametrize(("sides", "t", "forces"), [
    ((0.15, 0.15), 0.005, (250.0, 250.0, 250.0, 250.0)),
    ((0.3, 0.3), 0.006, (250.0, 250.0, 250.0, 250.0)),
    ((0.3, 0.3), 0.006, (50.0, 50.0, 450.0, 450.0)),
    ((0.75, 0.15), 0.006, (250.0, 250.0, 250.0, 250.0)),
    ((0.75, 0.15), 0.006, (50.0, 50.0, 450.0, 450.0)),
])  # fmt: skip
def test_a_steel_plate_under_the_deck_agrees_with_triangles(
    sides: tuple[float, float], t: float, forces: tuple[float, ...]
) -> None:
    """Deck and plate are both of triangles, the bed between them sampled at Gauss places."""
    (x, y), cell = ((at - side / 2, at + side / 2) for at, side in zip((0.6, 0.4), sides, strict=True)), sides[1] / 6
    plate = BackingPlate(x, y, t, 200e9, 0.3, FOUR, BED)
    ours = Floor([PLAIN.board], PLAIN.members, Screws(PLAIN.screws, K_SCREW), (), [plate]).under(forces)

    sheet = sheet_of(PLAIN, (*FOUR, Patch(x, y)))
    nuts_x, nuts_y = [p for nut in FOUR for p in nut.x], [p for nut in FOUR for p in nut.y]
    steel = Sheet(lines(x, cell, nuts_x), lines(y, cell, nuts_y), isotropic_rigidities(200e9, 0.3, t))
    held, k = contacts(sheet, PLAIN)
    (at_x, long_x), (at_y, long_y) = gauss(x, 5), gauss(y, 5)
    places = [axis.ravel() for axis in np.meshgrid(at_x, at_y, indexing="ij")]
    bed = sparse.hstack([-sheet.rows(*places), steel.rows(*places)])
    nothing = sparse.csr_array((held.shape[0], steel.stiffness.shape[0]))
    rows = sparse.csr_array(sparse.vstack([sparse.hstack([held, nothing]), bed]))
    load = sum(f * steel.patch(nut.x, nut.y) for f, nut in zip(forces, FOUR, strict=True))
    both = sparse.csr_array(sparse.block_diag([sheet.stiffness, steel.stiffness]))
    k = np.concatenate([k, BED * np.outer(long_x, long_y).ravel()])
    unknowns, answers = settle(both, rows, k, np.concatenate([np.zeros(sheet.stiffness.shape[0]), load]))

    pulls = answers[: len(PLAIN.screws)]
    assert np.abs(ours.screw_pulls - pulls).max() <= SCREW_WITHIN * pulls.max()
    deck = unknowns[: sheet.stiffness.shape[0]]
    wide = (y[0] - THICK, y[1] + THICK)
    moments = mean_moments(sheet, [*np.linspace(*x, 41), 0.4, 0.8], wide, deck)
    assert ours.moments_along[0] == pytest.approx(moments.max(), rel=MOMENT_WITHIN)
