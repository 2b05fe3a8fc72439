"""The search of the stock: all of it by what it does no worse than, the choices worth showing each by itself."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from functools import cached_property
from typing import TYPE_CHECKING, Literal

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from anchorcalc.links.common import FloatArray, Neighbour, Question
from anchorcalc.links.path import anchor_strength
from anchorcalc.links.pull import question_of
from anchorcalc.result.size import BackingChoice, BoltChoice, SizeChoice, Wanted, WasherChoice
from anchorcalc.result.strength import AnchorStrength, Link
from anchorcalc.rig.parts import Bars, Bearing, PlateSeat, ThroughSteel
from anchorcalc.sizing.stock import OTHER_BOLT, StockBacking, misfits, stock, strengths, with_choice

if TYPE_CHECKING:
    from collections.abc import Iterable

    from anchorcalc.catalog.rows import Thread
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.rig.parts import AnchorSetting, Bolts
    from anchorcalc.rig.rig import Basis

_MATTERS = 0.02  # a choice that holds more by less than this share is no stronger
_MOST_SHOWN = 8
_SHOWN_IN_VAIN = 3  # of the strongest, when none passes
_MOST_SOLVED = 24  # floors laid out before what was found is told
_BOLT_ENDS = 3.0  # metal of head and nut, in bolt diameters of its length (common practice, no source)

Progress = Callable[[int, int], None]
"""Called with how many thin plates are computed and how many there may be at most."""


class Choice(Struct, frozen=True):
    """A backing with its bolts and what it holds, the links computed as thin plates among the others."""

    backing: StockBacking
    bolts: Bolts
    question: Question
    strength: AnchorStrength
    weight: float  # of backing and bolts [N]
    metal: float  # of backing and bolts [m³]

    @property
    def shown(self) -> SizeChoice:
        """The choice as plain data."""
        bolts = BoltChoice(self.bolts.size, self.bolts.grade.name, len(self.question.anchor.mounting.positions))
        return SizeChoice(_plain(self.backing), bolts, self.strength, self.weight, self.metal)

    @property
    def governing(self) -> Link:
        """The weakest link at the working level."""
        return self.strength.weakest("working")


class Found(Struct, frozen=True):
    """Choices lightest first, none beaten by another; the strongest ones when none passes."""

    choices: tuple[Choice, ...]
    passing: bool


class StockSearch:
    """One search: an anchor's place, a pull, and what is wanted along it."""

    def __init__(
        self,
        anchor: AnchorSetting,
        catalog: Catalog,
        direction: FloatArray,
        wanted: Wanted,
        basis: Basis,
        units: Literal["us", "si"],
        progress: Progress | None = None,
        only: Thread | None = None,
        beside: tuple[Neighbour, ...] = (),
    ) -> None:
        self._beside = beside
        self._anchor, self._direction, self._wanted, self._basis = anchor, direction, wanted, basis
        self._progress = progress or (lambda done, most: None)
        self.stock = stock(catalog, anchor, "inch" if units == "us" else "metric", only)
        self._misfits = misfits(self.stock, anchor, basis)
        self._closed = strengths(self.stock, anchor, direction, basis, self._misfits == "")
        columns = {thread.name: number for number, thread in enumerate(self.stock.threads)}
        self._thread_of_bolt = np.array([columns[bolts.size] for bolts in self.stock.bolts])
        self._fitting = (self._misfits == "")[:, self._thread_of_bolt]
        self._known: dict[tuple[int, int], Choice] = {}

    @property
    def count(self) -> int:
        """Choices in stock."""
        return int(self._fitting.size)

    @property
    def fitting_count(self) -> int:
        """Choices in stock that there is room for."""
        return int(self._fitting.sum())

    def left_out(self) -> tuple[tuple[str, str, int], ...]:
        """Kind of backing, why it does not fit, how many with how many bolt sizes."""
        counted: Counter[tuple[str, str]] = Counter()
        for backing, reasons in zip(self.stock.backings, self._misfits, strict=True):
            counted.update((backing.kind, str(why)) for why in reasons if why not in ("", OTHER_BOLT))
        return tuple((kind, why, number) for (kind, why), number in sorted(counted.items()))

    def run(self) -> Found:
        """The choices that pass, none beaten on strength, weight and metal; else the strongest."""
        alive = self._fitting & (self._closed.working >= self._wanted.working)
        alive &= self._closed.breaking >= self._wanted.breaking
        while alive.any():
            front = self._front(alive)
            choices = [self.choice(pair) for pair in front]
            failed = [pair for pair, each in zip(front, choices, strict=True) if not self._wanted.met_by(each.strength)]
            if not failed:
                return Found(tuple(_unbeaten(choices)), passing=True)
            for pair in failed:
                alive[pair] = False
            if len(self._known) > _MOST_SOLVED:
                kept = [each for each in choices if self._wanted.met_by(each.strength)]
                return Found(tuple(_unbeaten(kept)), passing=True) if kept else self._strongest()
        return self._strongest()

    def choice(self, pair: tuple[int, int]) -> Choice:
        """A choice with all its links, the deck's from the floor as it is with this backing."""
        if pair not in self._known:
            backing, bolts = self.stock.backings[pair[0]], self.stock.bolts[pair[1]]
            setting = with_choice(self._anchor, backing, bolts)
            question = question_of(setting, self._direction, self._basis, self._beside)
            found = anchor_strength(setting, self._direction, self._basis, self._beside)
            weight, metal = float(self._weights[pair]), float(self._metal[pair])
            self._known[pair] = Choice(backing, bolts, question, found, weight, metal)
            self._progress(len(self._known), _MOST_SOLVED)
        return self._known[pair]

    @cached_property
    def best_on_deck(self) -> Choice | None:
        """The strongest washer or plate by the closed rules, computed; None where none fits."""
        on_deck = self._fitting & self._on_deck[:, None]
        if not on_deck.any():
            return None
        best = np.argmax(np.where(on_deck, self._closed.working, -1.0))
        return self.choice((int(best // on_deck.shape[1]), int(best % on_deck.shape[1])))

    def _strongest(self) -> Found:
        if not self._fitting.any():
            return Found((), passing=False)
        front = self._front(self._fitting, most=None)
        strongest = set(sorted(front, key=lambda pair: -self._closed.working[pair])[:_SHOWN_IN_VAIN])
        return Found(tuple(_unbeaten([self.choice(pair) for pair in front if pair in strongest])), passing=False)

    @cached_property
    def _on_deck(self) -> NDArray[np.bool_]:
        return np.array([isinstance(backing, Bearing) for backing in self.stock.backings])

    def _front(self, among: NDArray[np.bool_], most: int | None = _MOST_SHOWN) -> list[tuple[int, int]]:
        """Choices that none beats on strength, weight and metal, lightest first."""
        rows, columns = np.nonzero(among)
        measures = [each[rows, columns] for each in (self._weights, self._metal, self._closed.working)]
        order = np.lexsort((columns, -measures[2], measures[1], measures[0]))
        kept: list[int] = []
        for number in order:
            if not _beaten(measures[1][number], measures[2][number], ((measures[1][k], measures[2][k]) for k in kept)):
                kept.append(int(number))
                if len(kept) == most:
                    break
        return [(int(rows[number]), int(columns[number])) for number in kept]

    @cached_property
    def _metal(self) -> FloatArray:
        """Metal of backing and bolts [m³], (backings, bolts)."""
        return self._backing_metal[:, None] + self._bolt_metal

    @cached_property
    def _weights(self) -> FloatArray:
        """Weight of backing and bolts [N], (backings, bolts)."""
        mild = self._basis.shelf.steels["mild"].density
        densities = np.array([_density_of(each, mild) for each in self.stock.backings])
        bolts = self._bolt_metal * mild
        return np.asarray((self._backing_metal * densities)[:, None] + bolts)

    @cached_property
    def _backing_metal(self) -> FloatArray:
        anchor = self._anchor
        bar = anchor.behind + anchor.ahead + anchor.floor.member.width
        count = len(anchor.mounting.positions)
        return np.array([_metal_of(backing, count, bar) for backing in self.stock.backings])

    @cached_property
    def _bolt_metal(self) -> FloatArray:
        """Metal of all bolts with their nuts [m³], (backings, bolts)."""
        anchor = self._anchor
        through = anchor.mounting.base_thickness + anchor.floor.thickness
        grips = np.array([through + _grip_below(backing, anchor.floor.member.depth) for backing in self.stock.backings])
        D = np.array([bolts.D for bolts in self.stock.bolts])
        lengths = grips[:, None] + _BOLT_ENDS * D
        return np.asarray(len(anchor.mounting.positions) * np.pi / 4 * D**2 * lengths)


def _plain(backing: StockBacking) -> BackingChoice:
    if isinstance(backing, Bars):
        return BackingChoice(
            "bridge", width=backing.width, thickness=backing.thickness, steel=backing.steel.name, bars=backing.count
        )
    seat = backing.seat if isinstance(backing, Bearing) else backing.washer
    if isinstance(seat, PlateSeat):
        return BackingChoice("plate", size=seat.size, thickness=seat.thickness, steel=seat.steel.name)
    washer = None if seat is None else WasherChoice(seat.outside, seat.thickness, seat.steel.name)
    if isinstance(backing, ThroughSteel):
        return BackingChoice("member", washer=washer, through=backing.through, walls=backing.walls)
    return BackingChoice("washers", washer=washer)


def _metal_of(backing: StockBacking, bolts: int, bar_length: float) -> float:
    """Metal of a backing [m³]; holes are not taken out."""
    if isinstance(backing, Bars):
        return backing.count * bar_length * backing.width * backing.thickness
    seat = backing.seat if isinstance(backing, Bearing) else backing.washer
    if isinstance(seat, PlateSeat):
        return seat.size[0] * seat.size[1] * seat.thickness
    return 0.0 if seat is None else bolts * float(np.pi / 4 * seat.outside**2 * seat.thickness)


def _density_of(backing: StockBacking, mild: float) -> float:
    if isinstance(backing, Bars):
        return backing.steel.density
    seat = backing.seat if isinstance(backing, Bearing) else backing.washer
    return mild if seat is None else seat.steel.density


def _grip_below(backing: StockBacking, depth: float) -> float:
    """What a bolt goes through below the deck [m]; `depth` of the cross-member."""
    if isinstance(backing, ThroughSteel):
        return depth
    return depth + backing.thickness if isinstance(backing, Bars) else backing.seat.thickness


def _beaten(metal: float, working: float, lighter: Iterable[tuple[float, float]]) -> bool:
    """Whether one of the lighter choices takes no more metal and holds as much, as far as it matters."""
    return any(other <= metal * (1 + 1e-9) and held >= working * (1 - _MATTERS) for other, held in lighter)


def _unbeaten(choices: list[Choice]) -> list[Choice]:
    """Of choices lightest first those that stay unbeaten by what they hold as thin plates."""
    kept: list[Choice] = []
    for choice in choices:
        if not _beaten(choice.metal, choice.strength.working, ((each.metal, each.strength.working) for each in kept)):
            kept.append(choice)
    return kept
