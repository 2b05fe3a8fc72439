"""What `size` found: choices of backing, lightest first, and the picture of the smallest. SI [N, m, Pa]."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from anchorcalc.result.strength import AnchorStrength, Link, Verdict

Direction = tuple[float, float, float]


class Wanted(Struct, frozen=True):
    """The strength asked for along the pull, and in words where it comes from."""

    working: float
    breaking: float
    why: str
    of_the_cases: bool = False  # what the scenario's own cases ask, which straps and tie points must hold too

    def met_by(self, strength: AnchorStrength) -> bool:
        """Whether a strength is enough at both levels."""
        return strength.working >= self.working and strength.breaking >= self.breaking


class WasherChoice(Struct, frozen=True):
    """A washer under each nut."""

    outside: float
    thickness: float
    steel: str


class BackingChoice(Struct, frozen=True):
    """A backing to buy; what its kind does not have is None."""

    kind: Literal["washers", "plate", "member", "bridge"]
    washer: WasherChoice | None = None
    size: tuple[float, float] | None = None
    width: float | None = None
    thickness: float | None = None
    steel: str | None = None
    bars: int | None = None
    through: Literal["front", "rear", "left", "right", "all"] | None = None
    walls: int | None = None


class BoltChoice(Struct, frozen=True):
    """Bolts to buy."""

    size: str
    grade: str
    number: int


class SizeChoice(Struct, frozen=True):
    """A backing with its bolts and what it holds."""

    backing: BackingChoice
    bolts: BoltChoice
    strength: AnchorStrength
    weight: float  # of backing and bolts
    metal: float  # of backing and bolts [m³]

    @property
    def governing(self) -> Link:
        """The weakest link at the working level."""
        return self.strength.weakest("working")


class ByThickness(Struct, frozen=True):
    """A choice in one of the thicknesses that are in stock, and what it holds daily."""

    thickness: float
    working: float  # of the whole anchor
    first_bend: float | None  # pull at which the steel first bends for good


class BearingMap(Struct, frozen=True):
    """A plate over a grid about its middle, as it lies on the lifted deck.

    Rows run along the trailer, columns across it.
    """

    pull: float
    x: tuple[float, ...]
    y: tuple[float, ...]
    bend: tuple[tuple[float, ...], ...]  # way into the wood
    pressure: tuple[tuple[float, ...], ...]  # on the wood
    strength: float  # pressure at which the wood is crushed
    nuts: tuple[tuple[float, float], ...]
    nut_width: float


class SizeAnswer(Struct, frozen=True):
    """What `size` found; the strongest choices there are when none passes."""

    title: str
    units: Literal["us", "si"]
    anchor: str
    mounting: str
    direction: Direction
    wanted: Wanted
    searched: int  # choices in stock
    fitting: int  # of them, those with room at this place
    choices: tuple[SizeChoice, ...]
    enough: bool  # whether the choices hold what is wanted; else they are the strongest there are
    verdict: Verdict
    sentences: tuple[str, ...]
    left_out: tuple[tuple[str, str, int], ...]  # kind of backing, why it does not fit, how many
    cautions: tuple[str, ...]
    bearing: BearingMap | None  # of the first plate among the choices, where the picture was asked for
    curves: tuple[tuple[int, tuple[ByThickness, ...]], ...]  # number of the choice, its thicknesses
