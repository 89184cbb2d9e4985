"""How far the inner wall reaches, in the drive frame: up, down and to either side, between two parallels.

It is asked some hundred times of a lock, and of the next lock again, whose plate is mostly the same: so a wall is cut
into slabs once. Along an upright centreline all pivots see one wall, shifted.
"""

from collections.abc import Callable
from functools import lru_cache, partial

import shapely

from core.geometry.motion import MIRROR, Motion
from core.geometry.path import Point
from core.geometry.polygons import piece_at, reach
from core.geometry.profile import Profile
from core.layout.frames import centreline_frame, hand
from core.layout.layout import Layout
from core.lock.sections import Plate
from core.mechanism.maths import N
from core.parts.plate import inner_in_plate, inside

UP, DOWN, RIGHT, LEFT = (0.0, 1.0), (0.0, -1.0), (1.0, 0.0), (-1.0, 0.0)
Reaches = Callable[[Point, float, float, float], float | None]
"""How far [mm] a wall reaches at its least in a direction, between two parallels, at a place: as `reach` has it."""
_KEPT = 64
"""Walls seen in one direction that are kept: of the lock at hand, and of some that it is held against."""


def wall_up(layout: Layout, x0: float, x1: float, y: float) -> float | None:
    """Return the least height [mm] of the inner wall above the bolt between `x0` and `x1`, drive frame."""
    return wall_from(layout)(UP, min(x0, x1), max(x0, x1), y)


def wall_down(layout: Layout, x0: float, x1: float, y: float) -> float | None:
    """Return the greatest height [mm] of the inner wall below `y` between `x0` and `x1`, drive frame."""
    found = wall_from(layout)(DOWN, min(-x0, -x1), max(-x0, -x1), -y)
    return None if found is None else -found


def wall_right(layout: Layout, y0: float, y1: float, x: float) -> float | None:
    """Return the least x [mm] of the inner wall to the right between heights `y0`, `y1`, drive frame."""
    return wall_from(layout)(RIGHT, min(-y0, -y1), max(-y0, -y1), x)


def wall_left(layout: Layout, y0: float, y1: float, x: float) -> float | None:
    """Return how far [mm] to the left the inner wall lies at its nearest between heights `y0`, `y1`."""
    return wall_from(layout)(LEFT, min(y0, y1), max(y0, y1), x)


def wall_from(layout: Layout, below: float | None = None) -> Reaches:
    """Return how far the inner wall reaches in the drive frame of a pivot `below` [mm] the mark, above 0.

    The lock's own pivot if not said. Which piece inside the wall counts the lock's own pivot tells.
    """
    lock, pivot = layout.lock, layout.lock.pivot
    down = pivot.below if below is None else below
    seen = partial(_seen, lock.plate, lock.units, lock.unlocks)
    if pivot.across == 0 and in_one_piece(lock.plate, lock.units):
        return partial(seen, None, down)
    if down == pivot.below:
        return partial(seen, (pivot.across, -pivot.below), 0.0)
    # the centreline turns with the pivot, and what is asked once or twice is not worth the slabs
    move = centreline_frame(pivot.across, down).then(hand(layout))
    return partial(reach, shapely.transform(inner_in_plate(layout), move.points))


def in_one_piece(plate: Plate, units: str) -> bool:
    """Say whether there is one piece inside the wall: then all pivots of an upright centreline see the same."""
    return not hasattr(inside(plate, units), "geoms")


def shift(direction: Point, below: N) -> tuple[N, N]:
    """Return how much farther [mm] along and across a direction what the mark sees lies for a pivot `below` [mm] it."""
    return below * direction[1], -below * direction[0]


def _seen(
    plate: Plate, units: str, unlocks: str, pivot: Point | None, below: float,
    direction: Point, low: float, high: float, at: float,
) -> float | None:  # fmt: skip
    seen = profile_for(plate, units, unlocks, pivot, direction)
    if seen is None:
        return None
    along, across = shift(direction, below)
    found = seen.least_of_one(low - across, high - across, at - along)
    return None if found is None else found + along


@lru_cache(maxsize=_KEPT)
def profile_for(
    plate: Plate, units: str, unlocks: str, pivot: Point | None, direction: Point
) -> Profile | None:
    """Return the wall in the drive frame of a `pivot` [mm] of the plate frame, or of the mark on an upright centreline.

    Of several pieces inside the wall the one at the pivot counts. What is wrong with the plate is told in `units`;
    `unlocks` is the hand. None where there is nothing inside.
    """
    area, move = inside(plate, units), Motion()
    if pivot is not None:
        area, move = piece_at(area, pivot), centreline_frame(pivot[0], -pivot[1])
    if area.is_empty:
        return None
    if unlocks == "left":
        move = move.then(MIRROR)
    return Profile(move.points(shapely.get_coordinates(area.exterior)), direction)
