"""Planks: a fastener near the edge splits them where sheets would hold on."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from anchorcalc.links.beside import share_on
from anchorcalc.links.common import both_levels, force, length, number, per_newton
from anchorcalc.mechanics.dowels import row_share_ec5
from anchorcalc.mechanics.members import splitting_ec5

if TYPE_CHECKING:
    from anchorcalc.links.common import Question, Strength


_SAME = 1e-9  # [m]


def plank_splits(question: Question) -> Strength:
    """A plank pushed across its grain splits along the fasteners that stand in it.

    Where the planks lie under the ring nobody says: whichever fasteners one plank may hold, the nearest of them at
    the least distance that the fitting sheet asks for from the edge that it is pushed towards.
    """
    anchor, basis = question.anchor, question.basis
    layers, h = anchor.floor.sound_layers, anchor.floor.plank_width or basis.factor("plank_width")
    b, left = sum(layer.thickness for layer in layers), min(layer.condition.rolling_shear for layer in layers)
    F_v = min(layer.panel.F_s for layer in layers) * left * basis.rules.duration_factor
    edge = min(basis.shelf.fitting_factor("edge_of_panel") * anchor.mounting.fasteners.D, h / 2)
    beside = max(min(share_on(line, anchor.base_at[0], anchor.floor), 1.0) for line in anchor.floor.lines)
    push = abs(question.pull.shove[1]) * beside / len(anchor.mounting.positions)  # of each fastener

    def hold(group: tuple[int, float]) -> tuple[float, float, float, float]:
        count, reach = group
        h_e = edge + reach
        low = left * float(splitting_ec5(b, h_e, h))
        return per_newton(low, push * count), per_newton(2 / 3 * F_v * b * h_e, push * count), h_e, low

    groups = _in_one_plank(anchor.mounting.positions[~anchor.mounting.in_member][:, 1], h - 2 * edge)
    breaking, allowable, h_e, low = map(min, zip(*map(hold, groups), strict=True))
    return both_levels(
        question,
        breaking,
        allowable,
        code="NDS shear beside a connection",
        formula="14 b √(h_e / (1 − h_e / h)) in N and mm; allowable 2/3 F_v b h_e",
        source="EN 1995-1-1 8.1.4, 5 % value of softwood; NDS 3.4.3.3",
        figures=(
            length("h", h, "width of a plank"),
            length("h_e", h_e, "from the edge pushed towards to the only fasteners in a plank"),
            length("b", b, "thickness"),
            force("F_90", low, "low estimate of a plank with them"),
            number("share", push, "of the pull on each fastener goes across to the member beside"),
        ),
    )


def left_in_rows(question: Question) -> float:
    """Share of the screws' strength sideways that planks leave to rows along their grain [-].

    As much as of pushes along it and across it, where nothing is lost, the ellipse of both (judgement).
    """
    anchor, (x, y) = question.anchor, question.pull.shove
    push = float(np.hypot(x, y))
    if not anchor.floor.of_planks or push == 0:
        return 1.0
    D, positions = anchor.mounting.fasteners.D, anchor.mounting.positions
    row_of = np.cumsum(np.diff(np.sort(positions[:, 1]), prepend=positions[:, 1].min()) > D)
    along = positions[np.argsort(positions[:, 1], kind="stable"), 0]
    rows = [np.sort(along[row_of == row]) for row in set(row_of.tolist())]
    left = sum(len(row) * row_share_ec5(len(row), _least_apart(row), D) for row in rows) / len(positions)
    return float(push / np.hypot(x / left, y))


def _least_apart(row: np.ndarray) -> float:
    return float(np.diff(row).min()) if len(row) > 1 else 0.0


def _in_one_plank(across: np.ndarray, room: float) -> list[tuple[int, float]]:
    """Fasteners at places across that one plank may hold: how many, and how far they reach from the first [m]."""
    found = []
    for first in np.unique(across):
        reaches = across[across >= first - _SAME] - first
        found += [(int((reaches <= reach + _SAME).sum()), float(reach)) for reach in reaches if reach <= room + _SAME]
    return found
