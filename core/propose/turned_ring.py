"""How far a ring reaches as many see it, each turned by an angle of its own: the ring stays, and what is asked turns.

A chain of edges that turn one way, and all within a quarter of the compass, is parted in two at most by a cross of
axes, however that is turned. So for each angle a ring is a few pieces along which neither coordinate turns back: what
a piece reaches between two parallels is told by its ends, and the edge at which it is cut off is found by halving.
"""

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import Polygon

from core.geometry.path import Point, Points
from core.geometry.polygons import HAIR, reach
from core.mechanism.maths import Array, Truths

_MISSED = -np.inf
"""What a wall is taken for that some parallel misses: nothing fits."""
_QUARTER = math.pi / 2
_APART = 2.0
"""More than the edges of a chain turn [rad], so that those of all chains rise in one row."""
Numbers = NDArray[np.intp]


class Chains:
    """A `ring` [mm], shape (n + 1, 2), run anticlockwise, as chains of edges."""

    def __init__(self, ring: Points) -> None:
        """Begin a chain where the edges come to another quarter of the compass or to turn the other way."""
        x, y = ring.T
        twice_area = float((x[:-1] * y[1:] - x[1:] * y[:-1]).sum())
        ring = ring if twice_area > 0 else ring[::-1]
        apart = (np.diff(ring, axis=0) != 0).any(axis=1)
        self.ring: Points = ring[np.concatenate([[True], apart])]
        dx, dy = np.diff(self.ring, axis=0).T
        angles = np.mod(np.arctan2(dy, dx), 2 * math.pi)
        quarters = np.floor(angles / _QUARTER)
        ways = np.sign(np.diff(angles))
        begins = np.concatenate([[True], np.diff(quarters) != 0])
        begins[2:] |= np.diff(ways) != 0
        chain = np.cumsum(begins) - 1
        self._first: Numbers = np.flatnonzero(begins)
        last = np.append(self._first[1:], len(angles)) - 1
        self._from: Array = angles[self._first]
        self._way: Array = np.where(angles[last] < self._from, -1.0, 1.0)
        self._quarter: Array = quarters[self._first] * _QUARTER
        self._turned: Array = _APART * chain + self._way[chain] * (angles - self._from[chain])

    @cached_property
    def polygon(self) -> Polygon:
        """The area inside."""
        return Polygon(self.ring)

    def cut(self, angles: Array) -> Numbers:
        """Return the corners by number at which pieces end for axes turned by `angles` [rad], shape (n, pieces + 1)."""
        axis = self._quarter + np.mod(angles, _QUARTER)[:, None]
        turn = np.clip(self._way * (axis - self._from), 0.0, _QUARTER)
        count = len(self._first)
        found = np.empty((len(angles), 2 * count + 1), dtype=np.intp)
        found[:, :-1:2] = self._first
        found[:, 1::2] = np.searchsorted(self._turned, _APART * np.arange(count) + turn)
        found[:, -1] = len(self.ring) - 1
        return found


@dataclass(frozen=True)
class _Pieces:
    """Pieces of a ring, shape (n, pieces) each: `begin` to `end` [mm] across, what they reach there, least and most.

    `met` says which lie between the parallels, `far` where the ring comes back across: the far ends of stretches.
    """

    begin: Array
    end: Array
    least: Array
    most: Array
    met: Truths
    far: Truths


class Turned:
    """The ring of `chains` as seen from `middles` [mm], shape (n, 2), with x turned anticlockwise by `angles` [rad],
    shape (n,).
    """

    def __init__(self, chains: Chains, middles: Points, angles: Array) -> None:
        """Part the ring for each of the angles."""
        self._chains, self._middles = chains, middles
        self._right: Points = np.stack([np.cos(angles), np.sin(angles)], axis=1)
        self._up: Points = np.stack([-np.sin(angles), np.cos(angles)], axis=1)
        corners = chains.cut(angles)
        self._corners = corners[:, np.append(True, (np.diff(corners, axis=1) > 0).any(axis=0))]
        self._halvings = int(np.diff(self._corners, axis=1).max()).bit_length()
        ends = chains.ring[self._corners] - middles[:, None, :]
        self._x: Array = (ends * self._right[:, None, :]).sum(axis=2)
        self._y: Array = (ends * self._up[:, None, :]).sum(axis=2)

    def least(self, direction: Point, low: Array, high: Array, at: Array) -> Array:
        """Return how far [mm] the ring reaches at its least between parallels `low` and `high` [mm], shape (n,).

        The `direction` [none] is a unit vector on one of the axes, the same for all. Of several stretches of a parallel
        the one that holds `at` [mm], shape (n,), counts, or lies nearest. Minus infinity where a parallel misses the
        ring, NaN for what is asked of no number.
        """
        pieces = self._between(direction, low, high)
        middle = (low + high)[:, None] / 2
        there = (pieces.begin <= middle) & (middle < pieces.end)
        # where each parallel has one stretch, their far ends make up the way from low to high just once
        ends = pieces.met & pieces.far
        wide = np.minimum(pieces.end, high[:, None]) - np.maximum(pieces.begin, low[:, None])
        once = np.where(ends, wide, 0.0).sum(axis=1) <= high - low + HAIR
        once &= (ends & there).sum(axis=1) == 1
        # where all the way at `at` is inside, the stretches that hold it end at what is met first
        above = pieces.met & (pieces.least > at[:, None])
        clear = (above | ~pieces.met | (pieces.most < at[:, None])).all(axis=1)
        held = clear & ((above & there).sum(axis=1) % 2 == 1)
        counts = np.where(once[:, None], ends, above)
        found = np.where(counts, pieces.least, np.inf).min(axis=1)
        missed = (low + HAIR < pieces.begin.min(axis=1)) | (high - HAIR > pieces.end.max(axis=1))
        found = np.where(missed, _MISSED, found)
        found = np.where(np.isnan(low + high + at), np.nan, found)
        for n in np.flatnonzero(~(once | held | missed | np.isnan(found))):
            found[n] = self._slowly(direction, int(n), low[n], high[n], at[n])
        return found

    def _between(self, direction: Point, low: Array, high: Array) -> _Pieces:
        """Return the pieces of the ring, what they reach cut off at the parallels `low` and `high` [mm]."""
        along = direction[0] * self._x + direction[1] * self._y
        across = direction[1] * self._x - direction[0] * self._y
        # an edge along the direction, which comes back across by rounding alone, is no far end
        far = across[:, 1:] < across[:, :-1] - HAIR
        begin, end = (of(across[:, 1:], across[:, :-1]) for of in (np.minimum, np.maximum))
        first = np.where(far, along[:, 1:], along[:, :-1])
        last = np.where(far, along[:, :-1], along[:, 1:])
        left, right = low + HAIR, high - HAIR
        met = (end > left[:, None]) & (begin < right[:, None])
        row, piece = np.nonzero(met & (begin < left[:, None]))
        other, its = np.nonzero(met & (end > right[:, None]))
        reached = self._crossing(
            direction, np.append(row, other), np.append(piece, its),
            np.append(low[row], high[other]), np.append(left[row], right[other]),
        )  # fmt: skip
        first[row, piece], last[other, its] = np.split(reached, [len(row)])
        return _Pieces(begin, end, np.minimum(first, last), np.maximum(first, last), met, far)

    def _axes(self, direction: Point, row: Numbers) -> tuple[Points, Points]:
        """Return unit vectors along and across a direction, as the ring has them, shape (n, 2) each."""
        right, up = self._right[row], self._up[row]
        return direction[0] * right + direction[1] * up, direction[1] * right - direction[0] * up

    def _crossing(
        self, direction: Point, row: Numbers, piece: Numbers, here: Array, beside: Array
    ) -> Array:
        """Return how far [mm] pieces reach at parallels `here` [mm], by the edges `beside` [mm] them, shape (n,)."""
        (x, y), middle = self._chains.ring.T, self._middles[row]
        (ax, ay), (cx, cy) = (axis.T for axis in self._axes(direction, row))
        aside = middle[:, 0] * cx + middle[:, 1] * cy
        here, beside = here + aside, beside + aside
        first, last = self._corners[row, piece], self._corners[row, piece + 1]
        rises = (x[last] - x[first]) * cx + (y[last] - y[first]) * cy > 0
        for _ in range(self._halvings):
            half = (first + last) // 2
            before = (x[half] * cx + y[half] * cy <= beside) == rises
            first, last = np.where(before, half, first), np.where(before, last, half)
        last = first + 1
        dx, dy = x[last] - x[first], y[last] - y[first]
        part = (here - x[first] * cx - y[first] * cy) / (dx * cx + dy * cy)
        x, y = x[first] - middle[:, 0] + part * dx, y[first] - middle[:, 1] + part * dy
        return np.asarray(x * ax + y * ay)

    def _slowly(self, direction: Point, row: int, low: float, high: float, at: float) -> float:
        (along,), (across,) = self._axes(direction, np.array([row]))
        up, over = float(self._middles[row] @ along), float(self._middles[row] @ across)
        way = (float(along[0]), float(along[1]))
        there = reach(self._chains.polygon, way, low + over, high + over, at + up)
        return _MISSED if there is None else there - up
