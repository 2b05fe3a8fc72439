"""Elastic bodies between springs that hold one way only, solved among the springs' forces alone.

The bodies' own bending is known by their compliance; what is left are the springs that hold and the motions
of each body as a whole. The energy of it all is convex and once smooth; its least value is found by Newton's
method with a line search, where each step is a small dense solve and every step of the search costs nothing
but a product of the springs' deflections and forces.
"""

from __future__ import annotations

from functools import partial
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from anchorcalc.mechanics.free_plate import inverse_triangle
from anchorcalc.mechanics.hermite import FloatArray, PlateError
from anchorcalc.mechanics.line_search import share_of_step

_MOST_STEPS = 80
_REST = 0.05  # of the slope along a step, where its search ends
_AT_REST = 1e-9  # of the greatest deflection: a spring that is shortened less need not hold
_NO_FORCE = 1e-12  # of the greatest force: what a spring may be found to pull the wrong way
_LENT = 1e-12  # stiffness lent to motions, of what all springs give them, so that no step is endless
_BALANCED = 1e-5  # of the load: what of it may hang on that lent stiffness, rounding included
_ROUNDED = 1e-9  # of what springs give: no more than rounding


class Forces(NamedTuple):
    """What the springs give and how the bodies move as a whole."""

    springs: FloatArray  # (springs,) [N], none negative
    motions: FloatArray  # (motions,)


class OneSidedSprings:
    """Springs that hold one way, between bodies or between a body and the ground.

    Each spring shortens by δ = δ_0 − C f + G q, with f the springs' forces, q the motions as a whole and δ_0
    the part of the loads. It answers f = k max(δ, 0).

    Parameters
    ----------
    compliance : (springs, springs) C, symmetric and positive semidefinite [m/N]
    motions : (springs, motions) G, how far each motion shortens each spring
    stiffness : (springs,) k [N/m]

    Raises
    ------
    PlateError
        A motion that no spring resists, or bodies so limp that rounding does not let them be solved.
    """

    def __init__(self, compliance: FloatArray, motions: FloatArray, stiffness: FloatArray) -> None:
        self._stiffness = stiffness
        self._held_last: NDArray[np.bool_] | None = None  # where the next search begins; it ends where it would anyhow
        self._scale: FloatArray = 1 / np.sqrt(compliance.diagonal() + 1 / stiffness)
        size = np.linalg.norm(self._scale[:, None] * motions, axis=0)
        if not np.all(size > 0):
            raise PlateError("nothing holds a part of the floor")
        self._motion_scale: FloatArray = 1 / size
        n, m = motions.shape
        G = self._scale[:, None] * motions * self._motion_scale
        system = np.zeros((n + m, n + m))
        system[:n, :n] = self._scale[:, None] * (compliance + np.diag(1 / stiffness)) * self._scale
        system[:n, n:], system[n:, :n], system[n:, n:] = -G, G.T, _LENT * np.eye(m)
        self._system = system
        self._half = inverse_triangle(system[:n, :n])
        self._moved = self._half @ G
        self._held: FloatArray = np.linalg.inv(self._moved.T @ self._moved + system[n:, n:])

    def under(self, deflections: FloatArray, wrench: FloatArray) -> Forces:
        """Balance under loads, in proportion to them.

        Parameters
        ----------
        deflections : (springs,) δ_0 [m]
        wrench : (motions,) work of the loads in each motion, to be met by the springs: Gᵀ f = wrench

        Raises
        ------
        PlateError
            No springs hold against these loads.
        """
        right = np.concatenate([self._scale * deflections, self._motion_scale * wrench])
        if not right.any():
            return Forces(np.zeros(deflections.size), np.zeros(wrench.size))
        answer, motions = self._found(right)
        held = np.maximum(answer, 0.0)
        gives = self._system[deflections.size :, : deflections.size]
        short = wrench * self._motion_scale - gives @ held
        # A load whose parts balance each other asks for next to nothing in all: rounding is that of what springs give.
        most = max(_BALANCED * np.abs(right[deflections.size :]).max(), _ROUNDED * (np.abs(gives) @ held).max())
        if np.abs(short).max() > most:
            raise PlateError("what holds the floor cannot balance this load: it would tip or come off")
        return Forces(held * self._scale, motions * self._motion_scale)

    def _found(self, right: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Scaled forces (springs,) and motions (motions,) at least energy."""
        k = self._stiffness / self._scale**2  # of deflections and forces as scaled
        given = self._holding_both_ways(right)  # in balance with the load whatever the springs may give
        shortened = given / k
        holds = shortened > 0 if self._held_last is None else self._held_last
        for _ in range(_MOST_STEPS):
            kept, answer = self._with(holds, right)
            target = answer[: k.size]
            now_shortened = np.where(holds, target / k, right[: k.size] - self._system[: k.size] @ answer)
            rest, none = _AT_REST * float(np.abs(now_shortened).max()), _NO_FORCE * float(np.abs(target).max())
            if np.all(np.where(holds, target > -none, now_shortened < rest)):
                self._held_last = holds
                return self._exactly(kept, answer, right)
            way, change = now_shortened - shortened, target - given
            step = share_of_step(partial(_slope, k, shortened, way, given, change), _REST)
            shortened, given = shortened + step * way, given + step * change
            holds = shortened > 0
        raise PlateError("the balance of what holds one way only was not found")

    def _holding_both_ways(self, right: FloatArray) -> FloatArray:
        """Forces (springs,), scaled, when all springs push and pull."""
        n = self._stiffness.size
        bent = self._half @ right[:n]
        motions = self._held @ (right[n:] - self._moved.T @ bent)
        return np.asarray(self._half.T @ (bent + self._moved @ motions))

    def _with(self, holds: NDArray[np.bool_], right: FloatArray) -> tuple[NDArray[np.intp], FloatArray]:
        """What is kept when just these springs hold, pulling and pushing alike, and all forces and motions, scaled."""
        kept = np.concatenate([np.flatnonzero(holds), np.arange(holds.size, right.size)])
        answer = np.zeros(right.size)
        answer[kept] = np.linalg.solve(self._system[kept][:, kept], right[kept])
        return kept, answer

    def _exactly(self, kept: NDArray[np.intp], answer: FloatArray, right: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Forces and motions, scaled, with what hung on the lent stiffness handed to the springs that hold."""
        n = self._stiffness.size
        gives = self._system[n:, :n]
        if np.abs(right[n:] - gives @ answer[:n]).max() > _ROUNDED * (np.abs(gives) @ np.abs(answer[:n])).max():
            of_motions = np.zeros((right.size, right.size - n))
            of_motions[kept] = np.linalg.solve(self._system[kept][:, kept], np.eye(right.size)[kept, n:])
            for _ in range(2):
                answer = answer + of_motions @ (right[n:] - gives @ answer[:n])
        return answer[:n], answer[n:]


def _slope(k: FloatArray, start: FloatArray, way: FloatArray, given: FloatArray, change: FloatArray, s: float) -> float:
    """Slope of the energy along a step, `s` of it gone."""
    return float(way @ (k * np.maximum(start + s * way, 0.0) - given - s * change))
