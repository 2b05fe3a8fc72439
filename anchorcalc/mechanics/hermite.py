"""Cubic Hermite functions along one direction: the ground of plates, straight-sided and round."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]
Span = float | tuple[float, float]
"""A place on a line, or a stretch of it (from, to) [m]."""

# Four Gauss points integrate degree seven exactly; products of two cubics are of degree six.
_GAUSS_PLACES, _GAUSS_WEIGHTS = np.polynomial.legendre.leggauss(4)
# Coefficients, constant first, of the four cubics on a cell 0 ≤ s ≤ 1: value and slope at each end.
_HERMITE = np.array([[1, 0, -3, 2], [0, 1, -2, 1], [0, 0, 3, -2], [0, 0, -1, 1]], dtype=np.float64)
_SAME_PLACE = 1e-9  # lines nearer than this share of the length are one line


class PlateError(ValueError):
    """A plate that cannot be solved as it is described."""


def grid_lines(length: float, widest: float, through: Sequence[float] = ()) -> FloatArray:
    """Lines from 0 to a length through given places, no cell wider than asked.

    Parameters
    ----------
    length : length of the side [m]
    widest : greatest width of a cell [m]
    through : places that must be lines, inside the side [m]

    Returns
    -------
    (n + 1,) places of the lines, rising [m]
    """
    same = _SAME_PLACE * length
    stops = [0.0]
    for place in sorted([*through, length]):
        if not -same <= place <= length + same:
            raise PlateError(f"a line at {place:g} m does not lie on a side of {length:g} m")
        if place - stops[-1] > same:
            stops.append(place)
    pieces = [
        np.linspace(a, b, max(1, math.ceil((b - a) / widest - same)), endpoint=False)
        for a, b in itertools.pairwise(stops)
    ]
    return np.append(np.concatenate(pieces), length)


class HermiteLine:
    """Cubic Hermite functions along one direction.

    Unknown 2i is the value at line i, 2i + 1 the slope there.
    """

    def __init__(self, knots: ArrayLike) -> None:
        self.knots: FloatArray = np.asarray(knots, dtype=np.float64)
        if self.knots.ndim != 1 or self.knots.size < 2 or not np.all(np.diff(self.knots) > 0):
            raise PlateError("grid lines must be two or more and rise")
        self.widths: FloatArray = np.diff(self.knots)
        cells = self.widths.size
        self.unknowns = 2 * np.arange(cells)[:, None] + np.arange(4)  # (cells, 4)
        self.size = 2 * (cells + 1)
        self._means: dict[tuple[Span, int], FloatArray] = {}
        self._sampled: dict[int, FloatArray] = {}

    def knot(self, place: float) -> int:
        """Number of the grid line at a place [m]."""
        nearest = int(np.argmin(np.abs(self.knots - place)))
        if abs(self.knots[nearest] - place) > self._same:
            raise PlateError(f"no grid line at {place:g} m")
        return nearest

    @property
    def _same(self) -> float:
        return _SAME_PLACE * float(self.knots[-1] - self.knots[0])

    def rows(self, places: ArrayLike, derivative: int = 0) -> FloatArray:
        """Value or derivative of every function at places [m]; on a grid line the mean of its two sides.

        Returns an array (places, size).
        """
        at = np.atleast_1d(np.asarray(places, dtype=np.float64))
        if not np.all((at >= self.knots[0] - self._same) & (at <= self.knots[-1] + self._same)):
            raise PlateError(f"{at} m: not on a plate from {self.knots[0]:g} to {self.knots[-1]:g} m")
        result = np.zeros((at.size, self.size))
        for cell in self._cells(at):
            result[np.arange(at.size)[:, None], self.unknowns[cell]] += self._cubics(cell, at, derivative) / 2
        return result

    @property
    def knots_and_middles(self) -> FloatArray:
        """Grid lines and the middles between them [m]."""
        return np.sort(np.concatenate([self.knots, self.knots[:-1] + self.widths / 2]))

    def curvatures(self, unknowns: FloatArray, places: ArrayLike) -> FloatArray:
        """Second derivative at places [m] of functions given by their unknowns (size, functions).

        On a cell of width h it is a straight line, the best fit to the true curve. Where that is a parabola
        of bow B it misses it by B h² (s² − s + 1/6)/2 at the share s of the cell (a Legendre polynomial).
        The bow shows in how the line bends from cell to cell; the lesser of the bends at a cell's two ends
        is taken, so that a true kink over a support or a point load is left alone.

        Returns an array (places, functions).
        """
        at = np.atleast_1d(np.asarray(places, dtype=np.float64))
        bends = np.zeros((self.knots.size, unknowns.shape[1]))
        inclines = self.rows(self.knots[:-1] + self.widths / 2, 3) @ unknowns
        bends[1:-1] = np.diff(inclines, axis=0) / ((self.widths[:-1] + self.widths[1:])[:, None] / 2)
        bends[[0, -1]] = bends[[1, -2]]
        one, other = bends[:-1], bends[1:]
        bows = np.where(np.abs(one) < np.abs(other), one, other)
        result = self.rows(at, 2) @ unknowns
        for cell in self._cells(at):
            h = self.widths[cell]
            s = (at - self.knots[cell]) / h
            result += (h**2 * (s**2 - s + 1 / 6) / 4)[:, None] * bows[cell]
        return result

    def _cells(self, at: FloatArray) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
        """The cell before and the cell beyond each place; the same one twice away from grid lines."""
        nearest = self.knots[np.argmin(np.abs(at[:, None] - self.knots), axis=1)]
        at = np.where(np.abs(at - nearest) <= self._same, nearest, at)
        last = self.widths.size - 1
        before = np.clip(np.searchsorted(self.knots, at, "left") - 1, 0, last)
        beyond = np.clip(np.searchsorted(self.knots, at, "right") - 1, 0, last)
        return before, beyond

    def _cubics(self, cell: NDArray[np.intp], at: FloatArray, derivative: int) -> FloatArray:
        """The four functions of each place's cell, (places, 4)."""
        h = self.widths[cell][:, None]
        s = (at - self.knots[cell])[:, None] / h
        powers = np.arange(derivative, 4)
        factors = np.array([math.perm(int(p), derivative) for p in powers], dtype=np.float64)
        cubics = (s ** (powers - derivative)) @ (factors[:, None] * _HERMITE[:, derivative:].T)
        scale = np.array([0, 1, 0, 1])  # a slope unknown is per metre, not per cell
        return np.asarray(cubics * h ** (scale - derivative), dtype=np.float64)

    def samples(self, span: Span) -> tuple[FloatArray, FloatArray]:
        """Gauss places in every cell of a stretch and their lengths [m]; a single place counts as one."""
        if not isinstance(span, tuple):
            return np.array([span], dtype=np.float64), np.ones(1)
        first, last = span
        if not first < last:
            raise PlateError(f"a stretch must have a length: {first:g} to {last:g} m")
        inside = self.knots[(self.knots > first + self._same) & (self.knots < last - self._same)]
        ends = np.concatenate(([first], inside, [last]))
        half = np.diff(ends)[:, None] / 2
        places = (ends[:-1] + ends[1:])[:, None] / 2 + half * _GAUSS_PLACES
        return places.ravel(), (half * _GAUSS_WEIGHTS).ravel()

    def mean(self, span: Span, derivative: int = 0) -> FloatArray:
        """Mean of every function over a stretch, or its value at a place, (size,); kept, for many ask for the same."""
        if (span, derivative) not in self._means:
            places, lengths = self.samples(span)
            self._means[span, derivative] = np.asarray(lengths @ self.rows(places, derivative) / lengths.sum())
        return self._means[span, derivative]

    def gram(self, first: int, second: int) -> FloatArray:
        """Integral of every product of two derivatives over the whole line, (size, size)."""
        places, lengths = self.samples((self.knots[0], self.knots[-1]))
        for derivative in {first, second} - self._sampled.keys():
            self._sampled[derivative] = self.rows(places, derivative)
        return np.asarray(self._sampled[first].T @ (lengths[:, None] * self._sampled[second]), dtype=np.float64)
