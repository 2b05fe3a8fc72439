"""Plates on supports that hold both ways, as books have them, by the free plate that floors and bases are made of."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from anchorcalc.mechanics.free_plate import FreePlate, Products
from anchorcalc.mechanics.hermite import FloatArray, PlateError, Span
from anchorcalc.mechanics.plates import PlateSolution

if TYPE_CHECKING:
    from collections.abc import Sequence

    from anchorcalc.mechanics.hermite import HermiteLine
    from anchorcalc.mechanics.plates import Plate

EdgeSupport = Literal["free", "simple", "clamped", "mirror"]
"""How an edge is held; ``mirror`` is a line of symmetry: no slope across it, free to move."""

_ENDS: dict[EdgeSupport, tuple[int, ...]] = {"free": (), "simple": (0,), "clamped": (0, 1), "mirror": (1,)}
_LEAST_PIVOT = 1e-9  # of a matrix with unit diagonal


class Supports(Struct, frozen=True):
    """Where a plate is held rigidly: its edges and whole grid lines [m]."""

    x_start: EdgeSupport = "free"
    x_end: EdgeSupport = "free"
    y_start: EdgeSupport = "free"
    y_end: EdgeSupport = "free"
    lines_x: tuple[float, ...] = ()

    def held(self, plate: Plate) -> NDArray[np.intp]:
        """Numbers along x and y of the unknowns that are held, (held, 2)."""
        there = np.zeros((plate.x.size, plate.y.size), dtype=np.bool_)
        there[[*_held_at(plate.x, self.x_start, self.x_end), *(2 * plate.x.knot(x) for x in self.lines_x)], :] = True
        there[:, _held_at(plate.y, self.y_start, self.y_end)] = True
        return np.argwhere(there)


def _held_at(line: HermiteLine, start: EdgeSupport, end: EdgeSupport) -> list[int]:
    last = 2 * line.widths.size
    return [*_ENDS[start], *(last + unknown for unknown in _ENDS[end])]


class Spread(NamedTuple):
    """A load [N], or the stiffness of a spring [N/m], over a patch, along a line or at a place [m]."""

    total: float
    x: Span
    y: Span


class HeldPlate(NamedTuple):
    """How a plate lies, and what each held unknown takes, (held,), on the plate [N, N m]."""

    solution: PlateSolution
    held: NDArray[np.intp]
    reactions: FloatArray


def solve_held(plate: Plate, loads: Sequence[Spread], supports: Supports, springs: Sequence[Spread] = ()) -> HeldPlate:
    """Balance of a plate under loads on rigid supports and on springs that push and pull alike.

    Raises
    ------
    PlateError
        The supports leave the plate free to move.
    """
    held = supports.held(plate)
    spread = [*loads, *springs]
    x = np.concatenate([*(plate.x.mean(each.x)[None] for each in spread), np.eye(plate.x.size)[held[:, 0]]])
    y = np.concatenate([*(plate.y.mean(each.y)[None] for each in spread), np.eye(plate.y.size)[held[:, 1]]])
    forces = Products(x, y)
    free = FreePlate(plate, forces)
    motions = free.motions_at(forces)
    n, m = len(loads), motions.shape[1]
    given = np.array([load.total for load in loads])
    soft = np.concatenate([[1 / spring.total for spring in springs], np.zeros(len(held))])
    among = free.compliance[n:, n:] + np.diag(soft)
    scale = 1 / np.sqrt(among.diagonal())
    right = -np.concatenate([scale * (free.compliance[n:, :n] @ given), motions[:n].T @ given])
    system = np.zeros((len(right), len(right)))
    system[:-m, :-m] = scale[:, None] * among * scale
    system[:-m, -m:] = scale[:, None] * motions[n:]
    system[-m:, :-m] = system[:-m, -m:].T
    answer = _solved(system, right)
    answering = np.concatenate([given, scale * answer[:-m]])
    solution = PlateSolution(plate, free.unknowns(answering, answer[-m:]))
    return HeldPlate(solution, held, answering[len(spread) :])


def _solved(system: FloatArray, right: FloatArray) -> FloatArray:
    loose = PlateError("the plate is not held: its supports leave it free to move")
    try:
        answer = np.linalg.solve(system, right)
    except np.linalg.LinAlgError as fault:
        raise loose from fault
    if np.abs(system @ answer - right).max() > _LEAST_PIVOT * np.abs(right).max():
        raise loose
    return np.asarray(answer)
