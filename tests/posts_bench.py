"""What a post must keep clear of, made of shapely alone, and a scan along a line for where it may stand.

Nothing here comes from `core` but the lock itself: bolt, plate, guides and shackle are discs, boxes and polygons,
the bolt's way is its polygon with a parallelogram on every edge. Right-handed locks and left-handed ones alike
are looked at in the mechanism frame.
"""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Point, box
from shapely.geometry.base import BaseGeometry

from core.lock.lock import Lock
from core.lock.row_changes import rows_of
from core.lock.rows.posts import Post
from tests.designs import numbers
from tests.plates import inner_wall
from tests.test_bolt_contour import blank, disc, gap, in_drive, throw

Floats = NDArray[np.float64]


def swept(area: BaseGeometry, by: float) -> BaseGeometry:
    """Return what an area runs over on its way of `by` [mm] along x."""
    away = np.array([by, 0.0])
    parts = [area, shapely.transform(area, lambda q: q + away)]
    for polygon in shapely.get_parts(area):
        for ring in (polygon.exterior, *polygon.interiors):
            q = shapely.get_coordinates(ring)
            corners = np.stack([q[:-1], q[1:], q[1:] + away, q[:-1] + away], axis=1)
            flat = corners[np.abs(corners[:, 0, 1] - corners[:, 1, 1]) > 1e-12]
            parts += list(shapely.polygons(flat))
    return shapely.union_all(shapely.buffer(parts, 0))


@dataclass(frozen=True)
class Solid:
    """An area with what is to be kept from it besides the post's radius [mm]."""

    area: BaseGeometry
    more: float = 0.0


def solids(lock: Lock) -> dict[str, Solid]:
    """Return what stands or moves between the plates, by the end of the finding's code."""
    n, line, fit = numbers(lock), lock.bolt_line.height, lock.fit
    bolt = blank(lock, n).difference(gap(lock, n, "flat"))
    face = abs(lock.shackle.across) - lock.shackle.diameter / 2
    top = inner_wall(lock, 90).bounds[3] + 500.0
    found = {
        "in-key-circle": Solid(disc(lock, 0.0)),
        "in-bolt": Solid(swept(bolt, throw(lock)), fit.slide_clearance),
        "in-shackle": Solid(
            box(-face - lock.shackle.diameter, line - lock.shackle.drop, -face, top)
        ),
    }
    for side, name, leg in (
        (-1, "front", lock.bolt.nose_height),
        (1, "rear", lock.bolt.tail_height),
    ):
        guide = lock.front_guide if side < 0 else lock.rear_guide
        near, far = sorted(
            (side * guide.from_centreline, side * (guide.from_centreline + guide.width))
        )
        low = line - leg - fit.slide_clearance - guide.floor
        found[f"in-{name}-guide"] = Solid(box(near, low, far, line + fit.slide_clearance))
    return {code: Solid(in_drive(lock, s.area), s.more) for code, s in found.items()}


class Bench:
    """One lock, asked where a post of it may stand."""

    def __init__(self, lock: Lock) -> None:
        self.lock = lock
        self.wall = inner_wall(lock, 360)
        self.solids = solids(lock)
        shapely.prepare(self.wall)

    def lacks(self, name: str, points: Floats, radius: float) -> dict[str, Floats]:
        """Return what is lacking [mm] for the post called `name` at `points`, shape (n, 2), by code's end."""
        at = shapely.points(points)
        found = {
            code: radius + s.more - shapely.distance(s.area, at) for code, s in self.solids.items()
        }
        away = shapely.distance(self.wall.boundary, at)
        inside = shapely.contains(self.wall, at)
        found["outside-wall"] = radius - np.where(inside, away, -away)
        for other, post in rows_of(self.lock, Post).items():
            if other != name:
                middle = Point(post.across, post.above)
                found[f"post {other}"] = radius + post.diameter / 2 - shapely.distance(middle, at)
        return found

    def fits(self, name: str, points: Floats, radius: float) -> NDArray[np.bool_]:
        """Say at which points, shape (n, 2), the post called `name` may stand."""
        free: NDArray[np.bool_] = np.all(
            [lack <= 0 for lack in self.lacks(name, points, radius).values()], axis=0
        )
        return free

    def stretch(self, name: str, key: str, step: float = 0.05) -> tuple[float, float] | None:
        """Return the nearest run of values that fit for one coordinate, to 1e-5; None where none was found."""
        post = rows_of(self.lock, Post)[name]
        now = getattr(post, key)
        left, low, right, high = self.wall.bounds
        ends = (left, right) if key == "across" else (low, high)
        values = np.arange(min(*ends, now) - 1, max(*ends, now) + 1, step)
        good = self._fit(name, key, values)
        if not good.any():
            return None
        edges = np.flatnonzero(np.diff(np.concatenate([[0], good.astype(int), [0]])))
        starts, stops = values[edges[::2]], values[edges[1::2] - 1]
        away = np.maximum(np.maximum(starts - now, now - stops), 0.0)
        best = int(np.argmin(away))
        return (
            self._edge(name, key, starts[best], -step), self._edge(name, key, stops[best], step),
        )  # fmt: skip

    def _fit(self, name: str, key: str, values: Floats) -> NDArray[np.bool_]:
        post = rows_of(self.lock, Post)[name]
        other = np.full(len(values), post.above if key == "across" else post.across)
        points = np.stack([values, other] if key == "across" else [other, values], axis=1)
        return self.fits(name, points, post.diameter / 2)

    def _edge(self, name: str, key: str, good: float, step: float) -> float:
        inside, outside = good, good + step
        while abs(outside - inside) > 1e-5:
            middle = (inside + outside) / 2
            if self._fit(name, key, np.array([middle]))[0]:
                inside = middle
            else:
                outside = middle
        return inside
