"""The inner wall as many locks see it that have one plate and differ in where the pivot stands, among other things.

As `core.parts.inner_wall` has it for one lock, in the drive frame.
"""

from functools import cached_property, lru_cache

import numpy as np
import shapely

from core.geometry.path import Point
from core.geometry.polygons import piece_numbers
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.lock.sections import Plate
from core.mechanism.maths import Array, Truths
from core.parts.inner_wall import DOWN, LEFT, RIGHT, UP, in_one_piece, profile_for, shift
from core.parts.plate import inside, wall_distance_at
from core.propose.turned_ring import Chains, Turned

_KEPT = 8
"""Walls whose chains are kept: of the lock at hand, and of a few that it is held against."""


class Walls:
    """The inner wall of a lock's plate for pivots at `across`, `below` [mm], shape (n,)."""

    def __init__(self, lock: Lock, across: Array, below: Array) -> None:
        """See whether all stand on one centreline: along one that is upright they see one ring, shifted."""
        self._lock, self.across, self.below = lock, across, below
        alone = in_one_piece(lock.plate, lock.units)
        self._shift = np.where((across == 0.0) & alone, below, 0.0)
        stands = np.stack([across, below - self._shift])
        self._alike = bool((stands == stands[:, :1]).all())

    def distance(self) -> Array:
        """Return how far [mm] each pivot lies from the inner wall, shape (n,); negative outside it."""
        layout, found = Layout(self._lock), np.empty(len(self.below))
        pivots, back = np.unique(np.stack([self.across, self.below]), axis=1, return_inverse=True)
        away = np.empty(pivots.shape[1])
        for across in np.unique(pivots[0]):
            some = pivots[0] == across
            away[some] = wall_distance_at(layout, float(across), pivots[1][some])
        found[:] = away[back.reshape(-1)]
        return found

    def up(self, x0: Array, x1: Array, y: Array) -> Array:
        """Return the least height [mm] of the wall above a height `y` from `x0` to `x1` [mm], shape (n,)."""
        return self._asked(UP, x0, x1, y)

    def down(self, x0: Array, x1: Array, y: Array) -> Array:
        """Return the greatest height [mm] of the wall below a height `y` from `x0` to `x1` [mm], shape (n,)."""
        return -self._asked(DOWN, -x1, -x0, -y)

    def right(self, y0: Array, y1: Array, x: Array) -> Array:
        """Return the least x [mm] of the wall to the right of `x` from height `y0` to `y1` [mm], shape (n,)."""
        return self._asked(RIGHT, -y1, -y0, x)

    def left(self, y0: Array, y1: Array, x: Array) -> Array:
        """Return how far [mm] to the left of the pivot the wall is at its least, from `y0` to `y1` [mm], shape (n,)."""
        return self._asked(LEFT, y0, y1, x)

    def _asked(self, direction: Point, low: Array, high: Array, at: Array) -> Array:
        if self._alike:
            return self._as_one(direction, low, high, at)
        found = np.full(len(self.below), -np.inf)
        for some, turned in self._turned:
            found[some] = turned.least(direction, low[some], high[some], at[some])
        return found

    def _as_one(self, direction: Point, low: Array, high: Array, at: Array) -> Array:
        """Return what is asked where all see one ring: a table of it serves them all."""
        lock = self._lock
        across, below = float(self.across[0]), float(self.below[0] - self._shift[0])
        pivot = (across, -below) if below else None
        profile = profile_for(lock.plate, lock.units, lock.unlocks, pivot, direction)
        if profile is None:
            return np.full(len(self.below), -np.inf)
        along, aside = shift(direction, self._shift)
        return profile.least(low - aside, high - aside, at - along) + along

    @cached_property
    def _turned(self) -> list[tuple[Truths, Turned]]:
        """The ring of each piece inside the wall, as those see it whose pivots count for it."""
        lock, places = self._lock, np.stack([self.across, -self.below], axis=1)
        rings = _chains(lock.plate, lock.units, lock.unlocks)
        if not rings:
            return []
        piece = piece_numbers(inside(lock.plate, lock.units), places)
        middles = places * _hand(lock.unlocks)
        angles = np.arctan2(middles[:, 0], -middles[:, 1])
        return [
            (some, Turned(chains, middles[some], angles[some]))
            for number, chains in enumerate(rings)
            if (some := piece == number).any()
        ]


@lru_cache(maxsize=_KEPT)
def _chains(plate: Plate, units: str, unlocks: str) -> tuple[Chains, ...]:
    """Return the rings of the pieces inside the wall, for a lock that unlocks to the left in the mirror."""
    area = inside(plate, units)
    pieces = [piece for piece in getattr(area, "geoms", [area]) if not piece.is_empty]
    hand = _hand(unlocks)
    return tuple(Chains(shapely.get_coordinates(piece.exterior) * hand) for piece in pieces)


def _hand(unlocks: str) -> Array:
    return np.array([-1.0 if unlocks == "left" else 1.0, 1.0])
