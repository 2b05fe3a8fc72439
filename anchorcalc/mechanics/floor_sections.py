"""Where moments and shears of a board are looked for, and how they are averaged.

An elastic plate has a peak right under a small seat that wood smooths out: moments and shears are averaged
over the seat and one thickness of the board on either side, across their own direction; along a plank over
its whole width. Shear is averaged along its own direction too, over the gap from what lifts the board to the face of
the member beside it, where it is the change of the moment; nearer a force enters the board and does not shear its
plies yet.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from anchorcalc.mechanics.hermite import FloatArray, HermiteLine
from anchorcalc.mechanics.plate_body import Numbers, Stretch, span_means
from anchorcalc.mechanics.plates import Plate, PlateSolution

if TYPE_CHECKING:
    from collections.abc import Sequence

    from anchorcalc.mechanics.floor_parts import BackingPlate, Board, Member
    from anchorcalc.mechanics.plate_body import Patch

_PLACES = 5  # across a seat, where moments are looked for besides the grid lines
_NO_GAP = 1e-6  # [m]


class Sections:
    """Where moments of a board are looked for: rows ready to be laid against its unknowns."""

    def __init__(
        self, plate: Plate, board: Board, members: Sequence[Member], seats: Sequence[tuple[int, Patch | BackingPlate]]
    ) -> None:
        self._rigidities = board.rigidities
        along, across = _Places(plate.x, plate.y), _Places(plate.y, plate.x)
        for number, seat in seats:
            x = (max(seat.x[0], board.x[0]), min(seat.x[1], board.x[1]))
            y = (max(seat.y[0], board.y[0]), min(seat.y[1], board.y[1]))
            wide_y = (max(y[0] - board.thickness, board.y[0]), min(y[1] + board.thickness, board.y[1]))
            behind = max((m for m in members if m.x <= x[0]), key=lambda m: m.x, default=None)
            ahead = min((m for m in members if m.x >= x[1]), key=lambda m: m.x, default=None)
            beside = [m.x for m in (behind, ahead) if m]
            start = behind.x + behind.face / 2 if behind else board.x[0]
            end = ahead.x - ahead.face / 2 if ahead else board.x[1]
            # Beside a member's face the board is held and does not carry across.
            wide_x = (max(x[0] - board.thickness, min(start, x[0])), min(x[1] + board.thickness, max(end, x[1])))
            under = [m.x for m in members if x[0] < m.x < x[1]]
            along.add(number, [*_turns(plate.x, x), *beside, *under], board.y if board.whole else wide_y)
            across.add(number, _turns(plate.y, y), wide_x)
        self._along, self._across = along.rows(), across.rows()

    def look_into(self, solution: PlateSolution, found: FloatArray) -> None:
        """Raise `found` (2, seats): moments along and across, where greater here."""
        D_x, D_y, D_1, _ = self._rigidities
        for sections, unknowns, own, row in (
            (self._along, solution.unknowns, D_x, 0),
            (self._across, solution.unknowns.T, D_y, 1),
        ):
            if sections is not None:
                moments = own * sections.of(unknowns, 2, 0) + D_1 * sections.of(unknowns, 0, 2)
                np.maximum.at(found[row], sections.numbers, np.abs(moments))


def _turns(line: HermiteLine, seat: Stretch) -> list[float]:
    """Places over a seat, and the grid lines there: from line to line the moment runs straight [m]."""
    knots = (knot for knot in line.knots.tolist() if seat[0] < knot < seat[1])
    return [*np.linspace(*seat, _PLACES).tolist(), *knots]


def shears_beside(
    lift: tuple[Stretch, Stretch], board: Board, shape: PlateSolution, members: Sequence[Member]
) -> tuple[float, float]:
    """Greatest mean shears along and across of a board beside what lifts it.

    Along: over the gap to the face of each member beside; across: over two thicknesses.

    Parameters
    ----------
    lift : the stretches along x and y that are lifted [m]
    board, shape : the board and how it lies
    members : all members under it

    Returns
    -------
    |Q_x|, |Q_y| [N/m]
    """
    (x0, x1), (y0, y1) = lift
    t = board.thickness
    behind = max((m.x + m.face / 2 for m in members if m.x <= x0), default=x0)
    ahead = min((m.x - m.face / 2 for m in members if m.x >= x1), default=x1)
    wide_x, wide_y = _within((x0 - t, x1 + t), board.x), _within((y0 - t, y1 + t), board.y)
    along = across = 0.0
    if wide_y is not None:
        wide_y = board.y if board.whole else wide_y
        gaps = (_within((behind, x0), board.x), _within((x1, ahead), board.x))
        along = max((abs(shape.mean_shears(gap, wide_y)[0]) for gap in gaps if gap), default=0.0)
    if wide_x is not None:
        gaps = (_within((y0 - 2 * t, y0), board.y), _within((y1, y1 + 2 * t), board.y))
        across = max((abs(shape.mean_shears(wide_x, gap)[1]) for gap in gaps if gap), default=0.0)
    return along, across


def _within(stretch: Stretch, room: Stretch) -> Stretch | None:
    """What of a stretch lies in a room; None where that is nothing."""
    low, high = max(stretch[0], room[0]), min(stretch[1], room[1])
    return (low, high) if high - low > _NO_GAP else None


class _Rows(Struct, frozen=True):
    """Sections as rows by derivative: at their places, and as means across."""

    numbers: Numbers  # (sections,) of the seat
    at: dict[int, FloatArray]
    mean: dict[int, FloatArray]

    def of(self, unknowns: FloatArray, at: int, mean: int) -> FloatArray:
        return np.asarray(((self.at[at] @ unknowns) * self.mean[mean]).sum(axis=1))


class _Places(Struct):
    """Sections of all seats in one direction while they are gathered."""

    line: HermiteLine
    other: HermiteLine
    numbers: list[int] = []
    at: list[float] = []
    wide: list[tuple[int, Stretch]] = []

    def add(self, number: int, places: Sequence[float] | FloatArray, wide: Stretch) -> None:
        """Moments at places of a seat, over a width."""
        self.at.extend(places)
        self.numbers.extend([number] * len(places))
        self.wide.append((len(places), wide))

    def rows(self) -> _Rows | None:
        if not self.at:
            return None
        counts, wide = zip(*self.wide, strict=True)
        return _Rows(
            numbers=np.array(self.numbers),
            at={derivative: self.line.rows(self.at, derivative) for derivative in (0, 2)},
            mean={d: np.repeat(span_means(self.other, wide, d), counts, axis=0) for d in (0, 2)},
        )
