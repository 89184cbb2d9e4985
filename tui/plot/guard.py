"""The guard: whatever is asked to be drawn, only finite dots within the picture come out.

The drawing library ends the whole process at a not-a-number and takes seconds, or ends, at points
far outside its limits; so nothing reaches it but what has passed here.
"""

import math

import numpy as np
from numpy.typing import NDArray

from core.geometry.path import Arc, Path
from tui.plot.scale import Dots, Scale

MOST_POINTS = 20_000
"""Points kept of one path; more than any picture has dots along its edge."""


def drawable(path: Path) -> bool:
    """Say whether every number of the path is finite."""
    numbers: list[float] = []
    for segment in path.segments:
        numbers += [*segment.start, *segment.end]
        if isinstance(segment, Arc):
            numbers += [*segment.centre, segment.radius]
    return bool(numbers) and all(map(math.isfinite, numbers))


def runs(path: Path, scale: Scale) -> list[Dots]:
    """Return the visible runs of a path, each shape (n, 2) [dots]; nothing of a broken path."""
    if not drawable(path):
        return []
    points = path.points(scale.mm_per_dot / 4)[:MOST_POINTS]
    if path.closed:
        points = np.concatenate([points, points[:1]])
    return visible(scale.dots(points), scale)


def visible(dots: Dots, scale: Scale) -> list[Dots]:
    """Return the runs of the polyline through `dots`, shape (n, 2), within the picture.

    The line is broken where a point is not finite. Clipping after Liang and Barsky (1984).
    """
    if len(dots) == 1:
        dots = np.concatenate([dots, dots])
    high = np.array([scale.width - 0.5001, scale.height - 0.5001])
    low = np.array([-0.4999, -0.4999])
    edge = [scale.width - 1, scale.height - 1]
    # the usual case; a comparison with a not-a-number is false
    if ((dots >= low) & (dots <= high)).all():
        return [simplified(np.clip(dots, 0, edge))]
    start, along = dots[:-1], np.diff(dots, axis=0)
    finite = np.isfinite(np.concatenate([start, along], axis=1)).all(axis=1)
    start, along = np.where(finite[:, None], start, 0.0), np.where(finite[:, None], along, 0.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        one, two = (low - start) / along, (high - start) / along
    inside = (start >= low) & (start <= high)
    still = along == 0
    enter = np.where(still, np.where(inside, -np.inf, np.inf), np.minimum(one, two)).max(axis=1)
    leave = np.where(still, np.where(inside, np.inf, -np.inf), np.maximum(one, two)).min(axis=1)
    enter, leave = np.clip(enter, 0.0, None), np.clip(leave, None, 1.0)
    seen = finite & (enter <= leave)
    # a segment outside has ends at infinity: it is masked before they are used
    enter, leave = np.where(seen, enter, 0.0), np.where(seen, leave, 0.0)
    first, last = start + enter[:, None] * along, start + leave[:, None] * along
    joins = seen[1:] & seen[:-1] & (leave[:-1] == 1.0) & (enter[1:] == 0.0)
    found = []
    for run in _stretches(seen, joins):
        line = np.concatenate([first[run], last[run][-1:]])
        found.append(simplified(np.clip(line, 0, edge)))
    return found


def _stretches(seen: NDArray[np.bool_], joins: NDArray[np.bool_]) -> list[NDArray[np.intp]]:
    """Return the indices of the seen segments, grouped into unbroken runs."""
    kept = np.flatnonzero(seen)
    if not len(kept):
        return []
    breaks = [
        i for i in range(1, len(kept)) if kept[i] != kept[i - 1] + 1 or not joins[kept[i - 1]]
    ]
    return np.split(kept, breaks)


def simplified(line: Dots) -> Dots:
    """Return the run without points nearer to the one before than half a dot, both ends kept."""
    steps = np.hypot(*np.diff(line, axis=0).T)
    far = np.flatnonzero(np.diff(np.floor(2 * np.cumsum(steps)), prepend=0.0)) + 1
    kept = np.zeros(len(line), dtype=bool)
    kept[far] = kept[0] = kept[-1] = True
    return line[kept]
