"""A deck over its cross-members with its hold-down screws, by samples and sparse matrices: it holds the general method
for what holds one way only against statics, and that against triangles. The program's own floor is laid out otherwise.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from scipy import sparse

from anchorcalc.mechanics.hermite import FloatArray
from anchorcalc.mechanics.plate_contact import Equilibrium, OneSided, find_equilibrium
from anchorcalc.mechanics.plates import Plate, PlateSolution, solution


class Members(NamedTuple):
    """Cross-members under a deck, along the lines x = const, that push and never pull."""

    x: Sequence[float]  # [m]
    stiffness: float  # force per metre of member and deflection of the deck [N/m²]


class Screws(NamedTuple):
    """Hold-down screws that pull and never push."""

    places: Sequence[tuple[float, float]]  # [m]
    stiffness: float  # of one screw [N/m]


@dataclass(frozen=True)
class DeckResponse:
    """What a lift does to a deck over its cross-members; all of it grows in proportion to the lift."""

    solution: PlateSolution
    screw_pulls: FloatArray  # (screws,) [N]
    member_forces: FloatArray  # (members,) upward push of each cross-member [N]
    equilibrium: Equilibrium


def solve_deck(plate: Plate, members: Members, screws: Screws, load: FloatArray) -> DeckResponse:
    """Lift of a deck that lies on cross-members and is screwed to them.

    The deck's own weight and the load on it are left out: both would only hold it down.

    Parameters
    ----------
    plate : the deck, grid lines at the cross-members and the screws
    members, screws : what holds it
    load : (plate.size,) the lift, upward positive, as of ``plate.load``

    Returns
    -------
    The response; its ``equilibrium`` says whether it was found.
    """
    whole = (float(plate.y.knots[0]), float(plate.y.knots[-1]))
    y, lengths = plate.y.samples(whole)
    under = plate.deflection_rows(members.x, y)
    at_screws = [plate.deflection_rows(place_x, place_y) for place_x, place_y in screws.places]
    n, m = under.shape[0], len(at_screws)
    samples = OneSided(
        rows=sparse.vstack([under, *at_screws], format="csr"),
        stiffness=np.repeat([members.stiffness, screws.stiffness], [n, m]),
        extent=np.concatenate([np.tile(lengths, len(members.x)), np.ones(m)]),
        least=np.repeat([-np.inf, 0.0], [n, m]),
        most=np.repeat([0.0, np.inf], [n, m]),
    )
    balance = find_equilibrium(plate.stiffness, samples, load)
    pushes = -(samples.extent * balance.pressure)[:n].reshape(len(members.x), y.size).sum(axis=1)
    solved = solution(plate, balance.unknowns, np.zeros(plate.size))
    return DeckResponse(solved, balance.pressure[n:], pushes, balance)
