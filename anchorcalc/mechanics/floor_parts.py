"""What a floor is made of, in numbers: boards, members, screws, steel plates."""

from __future__ import annotations

from typing import NamedTuple

from msgspec import Struct
from numpy.typing import ArrayLike

from anchorcalc.mechanics.plate_body import Patch, Stretch
from anchorcalc.mechanics.plates import Rigidities


class Board(Struct, frozen=True):
    """A sheet or a plank.

    Parameters
    ----------
    x, y : its edges, all free [m]
    rigidities : bending rigidities [N m]
    thickness : by how much seats are widened where moments are averaged [m]
    whole : moments along x and their shear are averaged over the whole width, as of a plank
    """

    x: Stretch
    y: Stretch
    rigidities: Rigidities
    thickness: float
    whole: bool = False


class Member(Struct, frozen=True):
    """A cross-member along x = const that only pushes.

    Parameters
    ----------
    x : its middle [m]
    stiffness : force per metre of member and deflection of the board [N/m²]
    face : width of the face the boards lie on, where shear is looked for beside it [m]
    """

    x: float
    stiffness: float
    face: float = 0.0


class Screws(NamedTuple):
    """Screws that only pull."""

    places: ArrayLike  # (screws, 2) x, y [m]
    stiffness: ArrayLike  # one for all or (screws,) [N/m]


class BackingPlate(Struct, frozen=True):
    """A steel plate under the boards, pulled up by its nuts against an elastic bed that only pushes.

    Parameters
    ----------
    x, y : its edges [m]
    t, E, nu : thickness [m], modulus of elasticity [Pa], Poisson's ratio [-]
    nuts : where each nut lifts it
    bed : pressure per deflection of the wood between [N/m³]
    examined : whether moments of the boards are looked for there
    """

    x: Stretch
    y: Stretch
    t: float
    E: float
    nu: float
    nuts: tuple[Patch, ...]
    bed: float
    examined: bool = True
