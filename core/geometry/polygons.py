"""Polygons for checks: made from exact paths, asked how far a wall lies, never cut from."""

import math
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Point as ShapelyPoint
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from core.geometry.path import Path, Point, Points

FLAT = 1e-4
"""Chord tolerance [mm] of polygons that stand in for paths in checks."""
ROUND = 32
"""Points on a quarter turn where a buffer rounds a corner."""
LAYER = 4.0
"""Width [mm] of the border that is taken off an area at a time."""
HAIR = 1e-9
"""Distance [mm] by which a place beside a corner is told from the corner."""


def polygon(path: Path, tolerance: float = FLAT, *, shrink: bool = False) -> BaseGeometry:
    """Return the area inside a closed `path`, arcs as chords within `tolerance` [mm].

    With `shrink` no chord of a hollow arc lies outside the true area, so that a clean fit never
    shows an overlap made by the chords: hollow arcs get the tangent polygon, bulging ones the chords.

    Source: plane geometry.
    Valid: for a path that does not cross itself; else for the area that the library makes of it.

    Example, a disc of radius 5, of area 25 pi:
    >>> from core.geometry.path import circle
    >>> disc = polygon(circle((0.0, 0.0), 5.0))
    >>> round(disc.area / math.pi, 3), disc.area < 25 * math.pi
    (25.0, True)
    """
    clockwise = path.signed_area() < 0
    parts = [
        s.points(tolerance, swell=shrink and _hollow(s, clockwise=clockwise)) for s in path.segments
    ]
    area: BaseGeometry = Polygon(np.concatenate(parts))
    # made valid, it may come in pieces, with stray lines that are no area
    return area if area.is_valid else shapely.make_valid(area).buffer(0)


def _hollow(segment: Any, *, clockwise: bool) -> bool:
    turn = getattr(segment, "turn", None)
    return turn is not None and (turn == "ccw") is clockwise


def bordered(area: BaseGeometry, by: float) -> BaseGeometry:
    """Return `area` less a border `by` [mm] wide, in as many pieces as are left.

    Source: plane geometry; shapely's buffer.
    Valid: for any width; empty where nothing is left. Rounded corners are within 3e-4 of the width.

    Example, a plate of 40 x 30 with a rim of 5:
    >>> bordered(rectangle(0.0, 0.0, 40.0, 30.0), 5.0).area
    600.0
    """
    # a wide border is taken off in layers: over a large distance the library simplifies fine hollow
    # arcs away, and has been seen to lose half of the area
    layer = max(LAYER, 0.005 * math.sqrt(area.area))
    inner = area
    while by > HAIR and not inner.is_empty:
        inner = inner.buffer(-min(by, layer), quad_segs=ROUND)
        by -= layer
    return inner


def piece_at(area: BaseGeometry, near: Point) -> BaseGeometry:
    """Return the piece of `area` at `near` [mm], else the largest; nothing where there is none.

    Source: plane geometry.
    Valid: for any.

    Example, of two squares that by their corner, of two that are away the larger:
    >>> two = rectangle(0.0, 0.0, 1.0, 1.0).union(rectangle(2.0, 0.0, 4.0, 2.0))
    >>> piece_at(two, (1.0, 1.0)).area, piece_at(two, (9.0, 9.0)).area
    (1.0, 4.0)
    """
    pieces = list(getattr(area, "geoms", [area]))
    return pieces[piece_numbers(area, np.array([near]))[0]] if pieces else area


def piece_numbers(area: BaseGeometry, near: Points) -> NDArray[np.intp]:
    """Return the numbers [none], shape (n,), of the pieces of `area` at places `near` [mm], shape (n, 2).

    Source: plane geometry, as `piece_at`.
    Valid: for an area that has pieces.

    Example, of two squares that at their corners, of two that are away the larger:
    >>> two = shapely.union(rectangle(0.0, 0.0, 1.0, 1.0), rectangle(2.0, 0.0, 4.0, 2.0))
    >>> piece_numbers(two, np.array([[1.0, 1.0], [2.0, 2.0], [9.0, 9.0]])).tolist()
    [0, 1, 1]
    """
    pieces = list(getattr(area, "geoms", [area]))
    found = np.full(len(near), np.argmax([piece.area for piece in pieces]))
    if len(pieces) > 1:
        for number in reversed(range(len(pieces))):  # of two that share a place the first counts
            found[shapely.covers(pieces[number], shapely.points(near))] = number
    return found


def reach(area: BaseGeometry, direction: Point, low: float, high: float, at: float) -> float | None:
    """Return how far [mm] `area` reaches in a `direction` [none], a unit vector, at its least between two parallels.

    Lengths are coordinates: along the direction, and across it (along the direction turned a quarter clockwise)
    from `low` [mm] to `high` [mm]. Where a parallel crosses the area more than once, the stretch that holds
    `at` [mm], or lies nearest to it, counts. None: some parallel misses it.

    Source: plane geometry: between corners an edge is straight, so the reach is least at a corner or at an end.
    Valid: for one ring without holes.

    Example, a triangle, 10 high at its middle and 5 half-way to its side:
    >>> roof = Polygon([(-10.0, 0.0), (0.0, 10.0), (10.0, 0.0)])
    >>> reach(roof, (0.0, 1.0), -5.0, 0.0, 1.0)
    5.0
    """
    if area.is_empty:
        return None
    ring = shapely.get_coordinates(area.exterior)
    along = ring @ np.array(direction)
    across = ring @ np.array([direction[1], -direction[0]])
    corners = across[:-1][_turning(along, across)]
    # where the edge crosses `at`, another stretch begins to count
    level = np.flatnonzero((along[:-1] <= at) != (along[1:] <= at))
    part = (at - along[level]) / (along[level + 1] - along[level])
    corners = np.concatenate([corners, across[level] + part * (across[level + 1] - across[level])])
    inside = corners[(corners > low) & (corners < high)]
    # a hair to either side of a corner each edge is met once, and an upright one not at all
    beside = np.sort(np.concatenate([[low + HAIR, high - HAIR], inside - HAIR, inside + HAIR]))
    row, edge = _crossed(beside, across)
    if not np.bincount(row, minlength=len(beside)).all():
        return None
    a0, a1 = across[edge], across[edge + 1]
    share = (beside[row] - a0) / (a1 - a0)
    return _least_far_end(row, along[edge] + share * (along[edge + 1] - along[edge]), at)


def _crossed(
    beside: NDArray[np.float64], across: NDArray[np.float64]
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Return which of the sorted parallels `beside`, by number, meets which edge of a ring.

    An edge is looked up among the parallels and not held against each of them: a traced outline may have
    a thousand edges, and twice as many corners to look beside.
    """
    here, there = across[:-1], across[1:]
    first = np.searchsorted(beside, np.minimum(here, there))
    after = np.searchsorted(beside, np.maximum(here, there))
    met = after - first
    edge = np.repeat(np.arange(len(met)), met)
    row = np.arange(len(edge)) - np.repeat(np.cumsum(met) - met, met) + first[edge]
    return row, edge


def _least_far_end(row: NDArray[np.intp], crossing: NDArray[np.float64], at: float) -> float:
    """Return the least far end of the stretches that count, one for each parallel.

    A ring is crossed an even number of times: two by two, the crossings of a parallel bound its stretches.
    Of these the one that holds `at` counts, or lies nearest to it.
    """
    sorted_up = np.lexsort((crossing, row))
    starts, ends = crossing[sorted_up].reshape(-1, 2).T
    which = row[sorted_up][::2]
    away = np.maximum(np.maximum(starts - at, at - ends), 0.0)
    nearest_first = np.lexsort((away, which))
    one_each = np.flatnonzero(np.diff(which[nearest_first], prepend=-1))
    return float(ends[nearest_first[one_each]].min())


def _turning(along: NDArray[np.float64], across: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Say at which corners of a ring, whose last is its first again, the reach across it can be least, shape (n - 1,).

    Between corners the edge is straight, so the reach is least at a corner or at an end; not at one from
    which the edge runs on across and falls to one side.
    """
    before, here, after = _neighbours(across)
    runs_on = ((before < here) & (here < after)) | ((before > here) & (here > after))
    lower, level, upper = _neighbours(along)
    return ~(runs_on & (level > np.minimum(lower, upper)))


def _neighbours(ring: NDArray[np.float64]) -> tuple[NDArray[np.float64], ...]:
    """Return for each corner of a ring, whose last is its first again, the value before it, its own, and the next."""
    return np.concatenate([ring[-2:-1], ring[:-2]]), ring[:-1], ring[1:]


def rectangle(x0: float, y0: float, x1: float, y1: float) -> BaseGeometry:
    """Return the upright rectangle between the corners `x0`, `y0` [mm] and `x1`, `y1` [mm], in either order.

    Source: plane geometry.
    Valid: for any.

    Example, 3 by 4:
    >>> rectangle(3.0, 0.0, 0.0, 4.0).area
    12.0
    """
    return shapely.box(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))


def distance_from(point: Point, area: BaseGeometry) -> float:
    """Return the distance [mm] from `point` [mm] to `area`, 0 inside it.

    Source: plane geometry; shapely's distance.
    Valid: for any; infinite to an empty area.

    Example, the right triangle of sides 3, 4 and 5, to a corner:
    >>> distance_from((0.0, 0.0), rectangle(3.0, 4.0, 10.0, 10.0))
    5.0
    """
    return float(ShapelyPoint(point).distance(area)) if not area.is_empty else math.inf
