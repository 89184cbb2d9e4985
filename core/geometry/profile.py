"""How far a ring reaches in one direction, for many questions at a time."""

from bisect import bisect_left, bisect_right
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import Polygon

from core.geometry.path import Point, Points
from core.geometry.polygons import HAIR, reach

Array = NDArray[np.float64]

_MISSED = -np.inf
"""What a wall is taken for that some parallel misses: nothing fits."""


class Profile:
    """A `ring` [mm], shape (n + 1, 2), seen in a `direction` [none], a unit vector: its far edge, slab by slab.

    Between two neighbouring corners the far edge is one straight line where each parallel meets the ring twice, and
    the least of many such lines is looked up in a table of the least of 1, 2, 4, ... of them. Where a parallel meets
    the ring more often and not for sure the last stretch counts, the slow way of one at a time is gone
    (`core.geometry.polygons.reach`), which gives the same.

    Source: plane geometry, as `core.geometry.polygons.reach`.
    Valid: for one ring without holes.

    Example, a triangle, 10 high at its middle and 5 half-way to its side; a parallel at 12 misses it:
    >>> roof = Profile(np.array([(-10.0, 0.0), (0.0, 10.0), (10.0, 0.0), (-10.0, 0.0)]), (0.0, 1.0))
    >>> roof.least_of_one(-5.0, 0.0, 1.0), roof.least_of_one(-5.0, 12.0, 1.0)
    (5.0, None)
    >>> roof.least(np.array([-5.0, -5.0]), np.array([0.0, 12.0]), np.array([1.0, 1.0])).tolist()
    [5.0, -inf]
    """

    def __init__(self, ring: Points, direction: Point) -> None:
        """Cut the ring into slabs."""
        self._ring, self._direction = ring, direction
        along = ring @ np.array(direction)
        across = ring @ np.array([direction[1], -direction[0]])
        corners = np.unique(across)
        apart = np.concatenate([[True], np.diff(corners) > HAIR])
        self._corners: Array = corners[apart]
        middles = (self._corners[1:] + self._corners[:-1]) / 2
        ends = np.sort(np.stack([across[:-1], across[1:]]), axis=0)
        first, after = np.searchsorted(middles, ends)
        met = after - first
        edge = np.repeat(np.arange(len(met)), met)
        row = np.arange(len(edge)) - np.repeat(np.cumsum(met) - met, met) + first[edge]
        slope = np.divide(
            np.diff(along), np.diff(across), out=np.zeros(len(met)), where=np.diff(across) != 0
        )
        crossing = along[edge] + slope[edge] * (middles[row] - across[edge])
        # sorted by slab, the farthest last: that one is the far edge
        order = np.lexsort((crossing, row))
        counts = np.bincount(row, minlength=len(middles))
        ends = np.cumsum(counts) - 1
        last = order[ends]
        self._slope: Array = slope[edge[last]]
        half = np.diff(self._corners) / 2
        self._left: Array = crossing[last] - self._slope * half
        self._right: Array = crossing[last] + self._slope * half
        # where a parallel meets it more often, the last stretch counts from half-way over the gap before it
        gap = np.where(counts % 2 == 0, -np.inf, np.inf)
        slabs = np.flatnonzero((counts > 2) & (counts % 2 == 0))
        near, before = order[ends[slabs] - 1], order[ends[slabs] - 2]
        tilt = abs(slope[edge[near]] + slope[edge[before]]) / 2 * half[slabs]
        gap[slabs] = (crossing[near] + crossing[before]) / 2 + tilt
        self._lows = _table(np.minimum(self._left, self._right), np.minimum)
        self._gaps = _table(gap, np.maximum)

    @cached_property
    def _polygon(self) -> Polygon:
        return Polygon(self._ring)

    def least(self, low: Array, high: Array, at: Array) -> Array:
        """Return how far [mm], shape (n,), the ring reaches at its least between parallels.

        Those are at `low` [mm], shape (n,), and `high` [mm], shape (n,).

        Of several stretches of a parallel the one that holds `at` [mm], shape (n,), counts, or lies nearest.
        Minus infinity where a parallel misses the ring, NaN for what is asked of no number.
        """
        corners, last = self._corners, len(self._corners) - 2
        inside = (low + HAIR >= corners[0]) & (high - HAIR <= corners[-1])
        first = np.clip(np.searchsorted(corners, low + HAIR, "right") - 1, 0, last)
        final = np.clip(np.searchsorted(corners, high - HAIR, "left") - 1, 0, last)
        final = np.maximum(first, final)
        begin = self._left[first] + self._slope[first] * (low - corners[first])
        end = self._left[final] + self._slope[final] * (high - corners[final])
        found = np.minimum(begin, end)
        more = final > first
        found = np.where(
            more, np.minimum(found, np.minimum(self._right[first], self._left[final])), found
        )
        whole = np.flatnonzero(final - first > 1)
        if len(whole):
            inner = _over(self._lows, first[whole] + 1, final[whole] - 1, np.minimum)
            found[whole] = np.minimum(found[whole], inner)
        found = np.where(inside | np.isnan(low + high), found, _MISSED)
        bad = inside & (at < _over(self._gaps, first, final, np.maximum))
        if bad.any():
            found[bad] = self._slowly(bad, low, high, at)
        return found

    def least_of_one(self, low: float, high: float, at: float) -> float | None:
        """Return what `least` does [mm] between `low` [mm] and `high` [mm] at one place `at` [mm], as a number.

        Without an array that takes a hundredth of the time. None where some parallel misses the ring.
        """
        corners, left, right, slope = self._lists
        if not (low + HAIR >= corners[0] and high - HAIR <= corners[-1]):
            return None
        last = len(corners) - 2
        first = min(max(bisect_right(corners, low + HAIR) - 1, 0), last)
        final = min(max(bisect_left(corners, high - HAIR) - 1, first), last)
        level = (final - first + 1).bit_length() - 1
        behind = final - 2**level + 1
        if at < max(self._gaps[level, first], self._gaps[level, behind]):
            return reach(self._polygon, self._direction, low, high, at)
        found = min(
            left[first] + slope[first] * (low - corners[first]),
            left[final] + slope[final] * (high - corners[final]),
        )
        if final == first:
            return found
        found = min(found, right[first], left[final])
        if final == first + 1:
            return found
        level = (final - first - 1).bit_length() - 1
        return min(
            found, float(self._lows[level, first + 1]), float(self._lows[level, final - 2**level])
        )

    @cached_property
    def _lists(self) -> tuple[list[float], list[float], list[float], list[float]]:
        """The slabs' corners, their far edges' ends and slopes, for one question at a time."""
        return (
            self._corners.tolist(), self._left.tolist(), self._right.tolist(), self._slope.tolist(),
        )  # fmt: skip

    def _slowly(self, bad: NDArray[np.bool_], low: Array, high: Array, at: Array) -> Array:
        asked, back = np.unique(
            np.stack([low[bad], high[bad], at[bad]]), axis=1, return_inverse=True
        )
        found = []
        for one in asked.T:
            there = reach(self._polygon, self._direction, *map(float, one))
            found.append(_MISSED if there is None else there)
        return np.asarray(np.array(found)[back.reshape(-1)])


def _table(row: Array, of: np.ufunc) -> Array:
    """Return what a row comes to over 1, 2, 4, ... neighbours, a row each, from every place on from which there are."""
    table = np.zeros((len(row).bit_length(), len(row)))
    table[0] = row
    for level in range(1, len(table)):
        step = 2 ** (level - 1)
        left = len(row) - 2 * step + 1
        of(table[level - 1, :left], table[level - 1, step : step + left], out=table[level, :left])
    return table


def _over(table: Array, first: NDArray[np.intp], final: NDArray[np.intp], of: np.ufunc) -> Array:
    """Return what the row of a table comes to from each `first` place to each `final`, shape (n,)."""
    level = np.frexp(final - first + 1)[1] - 1
    found: Array = of(table[level, first], table[level, final - 2**level + 1])
    return found
