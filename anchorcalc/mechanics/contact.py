"""Elastic bodies on springs that hold one way only, each load answered by small dense steps.

The body on all its springs, as if they held both ways, is factorised once, and the deflections of the springs
under unit forces on the springs are kept. Which of them let go under a load is then found among those few
numbers: a spring that has let go is the body held both ways, pushed back by what that spring gave too much.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from anchorcalc.mechanics.hermite import FloatArray, PlateError
from anchorcalc.mechanics.plates import factorised

_MOST_ROUNDS = 60
_NONE = 1e-9  # of the greatest deflection: a spring that moves less is at rest
_FLOATS = "the springs that hold leave the body free to move"


@dataclass(frozen=True)
class Held:
    """A body in balance: its unknowns, and the forces of its springs, counted as they resist [N]."""

    unknowns: FloatArray  # (size,)
    forces: FloatArray  # (springs,) k w where a spring holds, else nil


class OneSidedBody:
    """A body of linear stiffness on springs of which each resists one sign of its deflection.

    Parameters
    ----------
    stiffness : sparse symmetric matrix (size, size) of the body alone, which may be free to move
    rows : sparse matrix (springs, size) giving each spring's deflection [m]
    springs : (springs,) stiffness of each [N/m]
    signs : (springs,) +1 where a positive deflection is resisted, −1 where a negative one is

    Raises
    ------
    PlateError
        The body floats even on all its springs holding both ways.
    """

    def __init__(self, stiffness: Any, rows: Any, springs: FloatArray, signs: FloatArray) -> None:
        from scipy import sparse

        self._rows = sparse.csr_array(rows)
        self._springs, self._signs = springs, signs
        both_ways = stiffness + self._rows.T @ (sparse.diags_array(springs) @ self._rows)
        self._solve = factorised(sparse.csc_array(both_ways))
        self._back = np.column_stack([self._solve(row) for row in self._rows.toarray()])  # (size, springs)
        self._compliance: FloatArray = np.asarray(self._rows @ self._back)

    def under(self, load: FloatArray) -> Held:
        """Balance under `load` (size,), in proportion to it.

        Raises
        ------
        PlateError
            Too few springs hold to keep the body in place, or no balance was found.
        """
        free = self._solve(load)
        w = np.asarray(self._rows @ free)
        idle, too_much = self._settled(w)
        w = w + self._compliance[:, idle] @ too_much
        forces = np.where(idle, 0.0, self._springs * w)
        return Held(free + self._back[:, idle] @ too_much, forces)

    def _settled(self, w_both: FloatArray) -> tuple[NDArray[np.bool_], FloatArray]:
        """Which springs have let go, and what each of them would have given too much [N]."""
        idle = self._signs * w_both < 0
        seen: set[bytes] = set()
        for _ in range(_MOST_ROUNDS):
            too_much = self._given_too_much(idle, w_both)
            w = w_both + self._compliance[:, idle] @ too_much
            least = _NONE * float(np.abs(w).max(initial=0.0))
            wrong = np.where(idle, self._signs * w > least, self._signs * w < -least)
            if not wrong.any():
                return idle, too_much
            if idle.tobytes() in seen:  # two springs that trade places: only the worst of them moves from here on
                wrong &= np.abs(w) >= np.abs(w[wrong]).max()
            seen.add(idle.tobytes())
            idle = idle ^ wrong
        raise PlateError("the balance of the springs that hold one way only was not found")

    def _given_too_much(self, idle: NDArray[np.bool_], w_both: FloatArray) -> FloatArray:
        if not idle.any():
            return np.zeros(0)
        scale = np.sqrt(self._springs[idle])
        system = np.eye(scale.size) - scale[:, None] * self._compliance[np.ix_(idle, idle)] * scale
        if np.linalg.cond(system) > 1e13:
            raise PlateError(_FLOATS)
        return np.asarray(scale * np.linalg.solve(system, scale * w_both[idle]))
