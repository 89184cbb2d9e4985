"""Paths: chains of lines and circular arcs, kept exact down to the files that are cut from.

Glossary: a *segment* is a line or an arc; a *path* is a chain of segments, each beginning where the last
one ends; a path is *closed* when it ends where it began. Lengths in mm, areas in mm2, angles in radians.
Who works with paths gets the segments from here as well.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from core.geometry.segments import (
    JOIN,
    STRAIGHT,
    Arc,
    Line,
    Point,
    Points,
    Segment,
    Turn,
    arc_by_bulge,
    distance_from_arcs,
    distance_from_lines,
    flipped,
)

__all__ = [
    "JOIN",
    "STRAIGHT",
    "Arc",
    "Line",
    "Path",
    "Point",
    "Points",
    "Segment",
    "Turn",
    "arc_by_bulge",
    "circle",
    "flipped",
    "joined",
    "polyline",
]


def circle(centre: Point, radius: float) -> "Path":
    """Return the full circle about `centre` [mm] of `radius` [mm] as two half arcs, anticlockwise.

    Source: plane geometry.
    Valid: for a radius above 0.

    Example, 2 pi r and pi r^2:
    >>> round_plate = circle((3.0, -2.0), 5.0)
    >>> round_plate.length / (2 * math.pi), round_plate.signed_area() / math.pi
    (5.0, 25.0)
    """
    right, left = (centre[0] + radius, centre[1]), (centre[0] - radius, centre[1])
    return Path((Arc(centre, radius, right, left, "ccw"), Arc(centre, radius, left, right, "ccw")))


def polyline(corners: Sequence[Point], *, closed: bool = False) -> "Path":
    """Return the straight path through `corners` [mm], a list of n points, and back to the first if `closed`.

    Steps of no length are left out.

    Source: plane geometry.
    Valid: for two corners or more.

    Example, the right triangle of sides 3, 4 and 5:
    >>> polyline([(0.0, 0.0), (3.0, 0.0), (3.0, 4.0)], closed=True).length
    12.0
    """
    ends = [*corners, corners[0]] if closed else list(corners)
    return Path(tuple(Line(a, b) for a, b in pairwise(ends) if math.dist(a, b) >= JOIN))


@dataclass(frozen=True)
class Path:
    """A chain of `segments`, each beginning where the last one ends.

    Source: areas and centres by Green's theorem; arcs add their circular segment, from any handbook.
    Valid: for at least one segment; areas for a closed path that does not cross itself.

    Example, half a disc of radius 3: area pi r^2 / 2, centre 4 r / (3 pi) up, any statics text (memory):
    >>> right, left = (3.0, 0.0), (-3.0, 0.0)
    >>> half = Path((Line(left, right), Arc((0.0, 0.0), 3.0, right, left, "ccw")))
    >>> half.signed_area() / math.pi, half.centroid()[1] * math.pi
    (4.5, 4.0)
    >>> half.reversed().signed_area() / math.pi, half.closed, half.start == half.end, half.length
    (-4.5, True, True, 15.4248)
    >>> half.bounds(), half.distance(np.array([[0.0, 1.0]])).tolist(), half.points(0.5).shape
    ((-3.0, 0.0, 3.0, 3.0), [1.0], (4, 2))
    """

    segments: tuple[Segment, ...]

    @property
    def start(self) -> Point:
        """First point [mm]."""
        return self.segments[0].start

    @property
    def end(self) -> Point:
        """Last point [mm]."""
        return self.segments[-1].end

    @property
    def closed(self) -> bool:
        """Whether the path ends where it began."""
        return bool(self.segments) and math.dist(self.start, self.end) < JOIN

    @property
    def length(self) -> float:
        """Length along the path [mm]."""
        return sum(segment.length for segment in self.segments)

    def reversed(self) -> "Path":
        """Return the same path run the other way."""
        return Path(tuple(segment.reversed() for segment in reversed(self.segments)))

    def points(self, tolerance: float = 1e-3) -> Points:
        """Return points [mm], shape (n, 2), along the path, chords within `tolerance` [mm] of it.

        A closed path does not repeat its first point.
        """
        parts = [segment.points(tolerance) for segment in self.segments]
        if not self.closed:
            parts.append(np.array([self.end]))
        return np.concatenate(parts)

    def distance(self, points: Points) -> NDArray[np.float64]:
        """Return the distances [mm], shape (n,), of `points` [mm], shape (n, 2), from the path."""
        arcs = [s for s in self.segments if isinstance(s, Arc)]
        lines = [s for s in self.segments if isinstance(s, Line)]
        every = []
        if lines:
            every.append(distance_from_lines(lines, points))
        if arcs:
            every.append(distance_from_arcs(arcs, points))
        return np.asarray(np.min(every, axis=0))

    def bounds(self) -> tuple[float, float, float, float]:
        """Return the exact left, bottom, right and top [mm]."""
        xs = [x for s in self.segments for x in (s.start[0], s.end[0])]
        ys = [y for s in self.segments for y in (s.start[1], s.end[1])]
        for arc in (s for s in self.segments if isinstance(s, Arc)):
            reach = arc.holds(np.array([0.0, 0.5, 1.0, 1.5]) * math.pi)
            (x, y), r = arc.centre, arc.radius
            xs += [value for value, hit in ((x + r, reach[0]), (x - r, reach[2])) if hit]
            ys += [value for value, hit in ((y + r, reach[1]), (y - r, reach[3])) if hit]
        return min(xs), min(ys), max(xs), max(ys)

    def signed_area(self) -> float:
        """Return the area [mm2] inside the closed path, negative when it runs clockwise."""
        return self._moments()[0]

    def centroid(self) -> Point:
        """Return the centre of the area inside the closed path [mm]."""
        area, first_x, first_y = self._moments()
        return (first_x / area, first_y / area)

    def _moments(self) -> tuple[float, float, float]:
        """Return area and first moments by Green's theorem; arcs add their circular segments."""
        area = first_x = first_y = 0.0
        for segment in self.segments:
            (x0, y0), (x1, y1) = segment.start, segment.end
            cross = (x0 * y1 - x1 * y0) / 2
            area += cross
            first_x += cross * (x0 + x1) / 3
            first_y += cross * (y0 + y1) / 3
            if isinstance(segment, Arc):
                # area r2 (t - sin t) / 2, its centre 4 r sin3(t/2) / (3 (t - sin t)) from the
                # middle of the circle: "segments of circles" in any handbook
                sweep, r = segment.sweep, segment.radius
                extra = r * r * _less_its_sine(sweep) / 2
                reach = 2 / 3 * r**3 * math.sin(sweep / 2) ** 3
                middle = segment.start_angle + sweep / 2
                area += extra
                first_x += extra * segment.centre[0] + reach * math.cos(middle)
                first_y += extra * segment.centre[1] + reach * math.sin(middle)
        return area, first_x, first_y


def _less_its_sine(x: float) -> float:
    """Return x - sin x [rad], by its series where the difference would lose its figures."""
    if abs(x) > 0.1:
        return x - math.sin(x)
    return x**3 / 6 * (1 - x * x / 20 * (1 - x * x / 42 * (1 - x * x / 72)))


def joined(segments: Iterable[Segment]) -> Path:
    """Return the path of `segments`, leaving out those of no length.

    Source: plane geometry.
    Valid: for segments that follow on each other.

    Example, a corner rounded by nothing:
    >>> a, b, c = (0.0, 0.0), (1.0, 0.0), (1.0, 1.0)
    >>> len(joined([Line(a, b), Arc(b, 0.0, b, b, "cw"), Line(b, c)]).segments)
    2
    """
    kept = (s for s in segments if math.dist(s.start, s.end) >= JOIN)
    return Path(tuple(kept))
