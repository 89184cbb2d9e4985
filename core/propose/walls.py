"""The inner wall as many locks see it that have one plate and differ in where the pivot stands, among other things.

As `core.parts.plate` has it for one lock, in the drive frame.
"""

from functools import lru_cache

import numpy as np
import shapely

from core.geometry.motion import MIRROR, Motion
from core.geometry.path import Point
from core.geometry.polygons import piece_at
from core.geometry.profile import Profile
from core.layout.frames import centreline_frame
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.lock.sections import Plate
from core.mechanism.maths import Array
from core.parts.plate import inside, wall_distance_at

UP, DOWN, RIGHT, LEFT = (0.0, 1.0), (0.0, -1.0), (1.0, 0.0), (-1.0, 0.0)
_KEPT = 512
"""Rings with their profiles that are kept: one lock's, and those of a few centrelines that lean."""


class Walls:
    """The inner wall of a lock's plate for pivots at `across`, `below` [mm], shape (n,)."""

    def __init__(self, lock: Lock, across: Array, below: Array) -> None:
        """Sort the pivots by the centreline they stand on: along one that is upright they see one ring, shifted."""
        self._lock, self.across, self.below = lock, across, below
        pieces = getattr(inside(lock.plate, lock.units), "geoms", (None,))
        upright = (across == 0.0) & (len(pieces) == 1)
        pivots = np.stack([across, np.where(upright, 0.0, below)], axis=1)
        self._frames, which = np.unique(pivots, axis=0, return_inverse=True)
        self._which = which.reshape(-1)
        self._shift = np.where(upright, below, 0.0)

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
        along = self._shift * direction[1]
        across = -self._shift * direction[0]  # a shift upwards, across the direction
        found = np.empty(len(self.below))
        for number, (x, below) in enumerate(self._frames):
            some = self._which == number
            lock, down = self._lock, float(below)
            near = (float(x), -(down or lock.pivot.below))
            profile = _profile(
                lock.plate, lock.units, lock.unlocks, float(x), down, near, direction
            )
            if profile is None:
                found[some] = -np.inf
                continue
            here = profile.least(
                low[some] - across[some], high[some] - across[some], at[some] - along[some]
            )
            found[some] = here + along[some]
        return found


@lru_cache(maxsize=_KEPT)
def _profile(
    plate: Plate,
    units: str,
    unlocks: str,
    across: float,
    below: float,
    near: Point,
    direction: Point,
) -> Profile | None:
    """Return the wall in the drive frame, of an upright centreline with `below` 0: as seen from the mark.

    Of several pieces inside the wall the one at `near`, a point of the plate frame, counts.
    """
    area = piece_at(inside(plate, units), near)
    if area.is_empty:
        return None
    move = centreline_frame(across, below) if below else Motion()
    if unlocks == "left":
        move = move.then(MIRROR)
    return Profile(move.points(shapely.get_coordinates(area.exterior)), direction)
