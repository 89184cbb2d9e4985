"""Paths of lines and circular arcs, kept exact down to the files that are cut from.

Glossary: a *segment* is a line or an arc; a *path* is a chain of segments, each beginning where the last
one ends; a path is *closed* when it ends where it began. Lengths in mm, areas in mm2, angles in radians.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Point = tuple[float, float]
Turn = Literal["cw", "ccw"]
Points = NDArray[np.float64]

JOIN = 1e-9
"""Distance [mm] below which two ends are the same point."""
STRAIGHT = 1e-8
"""Bulge below which an arc is a line: its centre would lie so far off that the rounding of its coordinates
moved the arc by as much as it bends."""


@dataclass(frozen=True)
class Line:
    """A straight segment from `start` to `end` [mm]."""

    start: Point
    end: Point

    @property
    def length(self) -> float:
        """Length [mm]."""
        return math.dist(self.start, self.end)

    def reversed(self) -> "Line":
        """Return the same line run the other way."""
        return Line(self.end, self.start)

    def points(self, tolerance: float, *, swell: bool = False) -> Points:  # noqa: ARG002 - as Arc's
        """Return the start point, shape (1, 2) [mm]; the end belongs to the next segment."""
        return np.array([self.start])

    def distance(self, points: Points) -> NDArray[np.float64]:
        """Return the distances [mm] of `points`, shape (n, 2), from the line, shape (n,)."""
        return _distance_from_lines([self], points)


@dataclass(frozen=True)
class Arc:
    """A circular arc about `centre` from `start` to `end` [mm]; the same ends make a full circle."""

    centre: Point
    radius: float
    start: Point
    end: Point
    turn: Turn

    @property
    def start_angle(self) -> float:
        """Direction of `start` from the centre [rad], anticlockwise from +x."""
        return math.atan2(self.start[1] - self.centre[1], self.start[0] - self.centre[0])

    @property
    def sweep(self) -> float:
        """Angle swept [rad], positive anticlockwise, as `turn` says."""
        to = math.atan2(self.end[1] - self.centre[1], self.end[0] - self.centre[0])
        swept = (to - self.start_angle) % math.tau
        if math.dist(self.start, self.end) < JOIN:
            # either nothing or all the way round: a path never holds an arc of no length
            swept = math.tau
        elif self.turn == "cw":
            swept -= math.tau
        return swept if self.turn == "ccw" or swept < 0 else -swept

    @property
    def length(self) -> float:
        """Length along the arc [mm]."""
        return self.radius * abs(self.sweep)

    @property
    def bulge(self) -> float:
        """tan(sweep / 4), positive anticlockwise, as the DXF reference defines it."""
        return math.tan(self.sweep / 4)

    def reversed(self) -> "Arc":
        """Return the same arc run the other way."""
        return Arc(self.centre, self.radius, self.end, self.start, flipped(self.turn))

    def points(self, tolerance: float, *, swell: bool = False) -> Points:
        """Return points along the arc without its end, shape (n, 2) [mm].

        Chords lie inside the circle by `tolerance` [mm] at most, or by 1.25e-7 of the radius where that is
        more, since no finer steps than 1e-3 rad are taken. With `swell` they touch it from
        outside instead, the two ends staying where they are.
        """
        sweep = self.sweep
        step = 2 * math.acos(max(1 - tolerance / self.radius, 0.0)) if self.radius > 0 else math.pi
        count = max(2, math.ceil(abs(sweep) / max(step, 1e-3)))
        share = np.arange(count) / count
        if swell:
            # the corners of the tangent polygon stand half-way between the points of touch
            share = np.concatenate([[0.0], (np.arange(count) + 0.5) / count])
        angles = self.start_angle + share * sweep
        radii = np.full(len(angles), self.radius)
        if swell:
            radii[1:] /= math.cos(sweep / count / 2)
        found = np.array(self.centre) + radii[:, None] * np.stack(
            [np.cos(angles), np.sin(angles)], 1
        )
        found[0] = self.start
        return np.asarray(found)

    def holds(self, angles: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Say which directions from the centre [rad], shape (n,), the arc covers."""
        sweep = self.sweep
        past = np.mod((angles - self.start_angle) * math.copysign(1, sweep), math.tau)
        return np.asarray(past <= abs(sweep))

    def distance(self, points: Points) -> NDArray[np.float64]:
        """Return the distances [mm] of `points`, shape (n, 2), from the arc, shape (n,)."""
        return _distance_from_arcs([self], points)


Segment = Line | Arc


def flipped(turn: Turn) -> Turn:
    """Return the other way round."""
    return "cw" if turn == "ccw" else "ccw"


def arc_by_bulge(start: Point, end: Point, bulge: float) -> Segment:
    """Return the arc from `start` to `end` [mm] of a given `bulge`, or a line where it is all but 0.

    bulge = tan(angle / 4), positive anticlockwise: DXF reference, LWPOLYLINE.
    """
    chord = math.dist(start, end)
    if abs(bulge) < STRAIGHT or chord < JOIN:
        return Line(start, end)
    radius = chord * (1 + bulge * bulge) / (4 * abs(bulge))
    # from the chord's middle to the centre, to the left of the chord for a small positive bulge
    off = chord * (1 - bulge * bulge) / (4 * bulge)
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    left = (-(end[1] - start[1]) / chord, (end[0] - start[0]) / chord)
    centre = (middle[0] + off * left[0], middle[1] + off * left[1])
    return Arc(centre, radius, start, end, "ccw" if bulge > 0 else "cw")


def circle(centre: Point, radius: float) -> "Path":
    """Return the full circle about `centre` [mm] as two half arcs, anticlockwise."""
    right, left = (centre[0] + radius, centre[1]), (centre[0] - radius, centre[1])
    return Path((Arc(centre, radius, right, left, "ccw"), Arc(centre, radius, left, right, "ccw")))


def polyline(corners: Sequence[Point], *, closed: bool = False) -> "Path":
    """Return the straight path through `corners` [mm], leaving out steps of no length."""
    ends = [*corners, corners[0]] if closed else list(corners)
    return Path(tuple(Line(a, b) for a, b in pairwise(ends) if math.dist(a, b) >= JOIN))


@dataclass(frozen=True)
class Path:
    """A chain of segments, each beginning where the last one ends."""

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
        """Return points along the path, shape (n, 2) [mm], chords within `tolerance` [mm] of it.

        A closed path does not repeat its first point.
        """
        parts = [segment.points(tolerance) for segment in self.segments]
        if not self.closed:
            parts.append(np.array([self.end]))
        return np.concatenate(parts)

    def distance(self, points: Points) -> NDArray[np.float64]:
        """Return the distances [mm] of `points`, shape (n, 2), from the path, shape (n,)."""
        arcs = [s for s in self.segments if isinstance(s, Arc)]
        lines = [s for s in self.segments if isinstance(s, Line)]
        every = []
        if lines:
            every.append(_distance_from_lines(lines, points))
        if arcs:
            every.append(_distance_from_arcs(arcs, points))
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


def _distance_from_lines(lines: Sequence[Line], points: Points) -> NDArray[np.float64]:
    """Return the distances [mm] of `points`, shape (n, 2), from the nearest of `lines`, shape (n,)."""
    # one array over lines and points: a traced plate may have a thousand lines
    start = np.array([line.start for line in lines])[:, None]
    along = np.array([line.end for line in lines])[:, None] - start
    square = (along * along).sum(axis=-1)
    away = points - start
    share = np.clip((away * along).sum(axis=-1) / np.where(square > 0, square, 1.0), 0.0, 1.0)
    off = away - share[..., None] * along
    return np.asarray(np.hypot(off[..., 0], off[..., 1]).min(axis=0))


def _distance_from_arcs(arcs: Sequence[Arc], points: Points) -> NDArray[np.float64]:
    """Return the distances [mm] of `points`, shape (n, 2), from the nearest of `arcs`, shape (n,)."""
    # one array over arcs and points: an oval plate has too many arcs to go through one by one
    away = points - np.array([arc.centre for arc in arcs])[:, None]
    begin = np.array([arc.start_angle for arc in arcs])[:, None]
    sweep = np.array([arc.sweep for arc in arcs])[:, None]
    radius = np.array([arc.radius for arc in arcs])[:, None]
    past = np.mod((np.arctan2(away[..., 1], away[..., 0]) - begin) * np.sign(sweep), math.tau)
    radial = np.abs(np.hypot(away[..., 0], away[..., 1]) - radius)
    ends = np.array([[arc.start, arc.end] for arc in arcs])[:, :, None] - points
    at_ends = np.hypot(ends[..., 0], ends[..., 1]).min(axis=1)
    return np.asarray(np.where(past <= np.abs(sweep), radial, at_ends).min(axis=0))


def joined(segments: Iterable[Segment]) -> Path:
    """Return the path of `segments`, leaving out those of no length."""
    kept = (s for s in segments if math.dist(s.start, s.end) >= JOIN)
    return Path(tuple(kept))
