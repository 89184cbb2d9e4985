"""Where a rule laid across the plate meets its edge."""

import math
from collections.abc import Iterator

import numpy as np

from core.geometry.motion import Motion
from core.geometry.path import JOIN, Arc, Path, Point

TRANSPOSED = Motion(a=0.0, b=1.0, c=1.0, d=0.0)
"""x and y exchanged."""


def crossings(path: Path, y: float) -> tuple[float, ...]:
    """Return every x [mm] at which `path` meets the level line at `y` [mm], sorted.

    Of a stretch that lies along the line, both ends.
    """
    return tuple(sorted(_crossings(path, y)))


def _crossings(path: Path, y: float) -> Iterator[float]:
    for segment in path.segments:
        (x0, y0), (x1, y1) = segment.start, segment.end
        if isinstance(segment, Arc):
            (cx, cy), r = segment.centre, segment.radius
            if abs(y - cy) <= r + JOIN:
                half = math.sqrt(max(r * r - (y - cy) ** 2, 0.0))
                angles = np.arctan2([y - cy, y - cy], [half, -half])
                yield from (
                    x
                    for x, hit in zip((cx + half, cx - half), segment.holds(angles), strict=True)
                    if hit
                )
            yield from (x for x, level in ((x0, y0), (x1, y1)) if abs(level - y) < JOIN)
        elif abs(y1 - y0) < JOIN:
            yield from (x0, x1) if abs(y0 - y) < JOIN else ()
        elif min(y0, y1) - JOIN <= y <= max(y0, y1) + JOIN:
            yield x0 + (x1 - x0) * (y - y0) / (y1 - y0)


def from_left(outline: Path, at: Point) -> float | None:
    """Return the distance [mm] of a point from the edge on its left, level with it; None off the plate."""
    return _back(crossings(outline, at[1]), at[0])


def from_top(outline: Path, at: Point) -> float | None:
    """Return the distance [mm] of a point from the edge straight above it; None off the plate."""
    return _back(tuple(sorted(-y for y in _crossings(TRANSPOSED.path(outline), at[0]))), -at[1])


def _back(places: tuple[float, ...], at: float) -> float | None:
    """Return the way back from `at` to the nearest of `places`, None where there is none on both sides."""
    before = [place for place in places if place <= at + 1e-6]
    after = [place for place in places if place >= at - 1e-6]
    return max(at - before[-1], 0.0) if before and after else None
