"""Rows of what is sold, drilled and usual; see `rows` for those that decide a strength."""

from __future__ import annotations

from itertools import pairwise
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from anchorcalc.catalog.rows import Row
from anchorcalc.catalog.values import Force, Length, Weight, between
from anchorcalc.names import Name


class PlateStock(Row):
    """Thicknesses and side lengths of flat stock, least first."""

    series: Literal["inch", "metric"]
    thicknesses: Annotated[tuple[Length, ...], Field(min_length=1)]
    sides: Annotated[tuple[Length, ...], Field(min_length=1)]
    in_shops_up_to: Length
    """The thickest that a hardware shop has."""


class BoltLengths(Row):
    """Stock lengths of one thread series, and how much of a bolt is threaded."""

    lengths: tuple[Length, ...] = Field(min_length=1)
    thread_short: Length
    thread_long: Length
    short_up_to: Length

    def thread_length(self, D: float, L: float) -> float:
        """Threaded part of a bolt of diameter `D` and length `L` under the head [m]."""
        extra = self.thread_short if self.short_up_to >= L else self.thread_long
        return min(L, 2 * D + extra)

    @model_validator(mode="after")
    def _rising(self) -> Self:
        if any(low >= high for low, high in pairwise(self.lengths)):
            raise ValueError("lengths do not rise")
        return self


class DrillHole(Row):
    """What to drill for a bolt (through) or a screw (`drill` for its thread, `shank` for its shank)."""

    kind: Literal["bolt", "wood screw", "lag screw"]
    drill: Length
    most: Length
    shank: Length | None = None

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        self._in_order("drill", "most")
        return self


class Typical(Row):
    """A trailer or a load as many are, by its answers to the questions of `start`."""

    part: Literal["trailer", "load"]
    label: Name
    answers: dict[Name, Name]


class Yardstick(Row):
    """What a standard asks of one anchor point, for a class of vehicles or loads; `above` < weight <= `up_to`."""

    per_point: Force
    of: Literal["trailer", "load", "any"]
    above: Weight | None = None
    up_to: Weight | None = None
    tested_times: Annotated[float, between(1, 3)]
    """Times the value that it is tested at."""

    def applies(self, weight: float | None) -> bool:
        """Whether it is for this weight [N]; of a weight that nobody gave it may be."""
        if self.of == "any" or weight is None:
            return True
        return (self.above or 0.0) < weight <= (self.up_to or float("inf"))

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        if self.above is not None and self.up_to is not None:
            self._in_order("above", "up_to")
        return self
