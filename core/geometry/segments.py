"""Segments: straight lines and circular arcs, kept exact down to the files that are cut from.

Lengths in mm, angles in radians, anticlockwise from +x.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
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
    """A straight segment from `start` [mm] to `end` [mm].

    Source: plane geometry.
    Valid: for any two points; one of no length is as far from a point as its end.

    Example, the right triangle of sides 3, 4 and 5:
    >>> side = Line((0.0, 0.0), (3.0, 4.0))
    >>> side.length, side.middle, side.reversed().start, side.points(0.1).tolist()
    (5.0, (1.5, 2.0), (3.0, 4.0), [[0.0, 0.0]])
    >>> side.distance(np.array([[-4.0, 3.0], [6.0, 8.0]])).tolist()
    [5.0, 5.0]
    """

    start: Point
    end: Point

    @property
    def length(self) -> float:
        """Length [mm]."""
        return math.dist(self.start, self.end)

    @property
    def middle(self) -> Point:
        """The point [mm] half-way along."""
        return ((self.start[0] + self.end[0]) / 2, (self.start[1] + self.end[1]) / 2)

    def reversed(self) -> "Line":
        """Return the same line run the other way."""
        return Line(self.end, self.start)

    def points(self, tolerance: float, *, swell: bool = False) -> Points:  # noqa: ARG002 - as Arc's
        """Return the start point [mm], shape (1, 2); the end belongs to the next segment.

        Whatever the `tolerance` [mm], and whether to `swell` or not: a line has no chords.
        """
        return np.array([self.start])

    def distance(self, points: Points) -> NDArray[np.float64]:
        """Return the distances [mm], shape (n,), of `points` [mm], shape (n, 2), from the line."""
        return distance_from_lines([self], points)


@dataclass(frozen=True)
class Arc:
    """A circular arc about `centre` [mm] of `radius` [mm] from `start` [mm] to `end` [mm], round by `turn`.

    The same ends make a full circle.

    Source: plane geometry; the bulge as in the DXF reference, LWPOLYLINE.
    Valid: for ends that lie on the circle.

    Example, 120 degrees in radius 1, Machinery's Handbook, segments of circles (memory): height .5, chord 1.7321:
    >>> right, left = (math.sqrt(0.75), 0.5), (-math.sqrt(0.75), 0.5)
    >>> arc = Arc((0.0, 0.0), 1.0, right, left, "ccw")
    >>> [math.degrees(angle) for angle in (arc.start_angle, arc.sweep)], arc.length, arc.reversed().turn
    ([30.0, 120.0], 2.0944, 'cw')
    >>> arc.bulge, 2 * 0.5 / 1.73205  # the height over half the chord
    (0.57735, 0.57735)
    >>> arc.holds(np.radians([31.0, 29.0])).tolist(), arc.distance(np.array([[0.0, 3.0], [0.0, -1.0]])).tolist()
    ([True, False], [2.0, 1.7321])
    >>> [len(arc.points(0.01, swell=swell)) for swell in (False, True)], arc.middle
    ([8, 9], (0.0, 1.0))
    """

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
        """Bulge [none], tan(sweep / 4), positive anticlockwise, as the DXF reference defines it."""
        return math.tan(self.sweep / 4)

    @property
    def middle(self) -> Point:
        """Place [mm] half-way along the arc."""
        angle = self.start_angle + self.sweep / 2
        return (
            self.centre[0] + self.radius * math.cos(angle),
            self.centre[1] + self.radius * math.sin(angle),
        )

    def reversed(self) -> "Arc":
        """Return the same arc run the other way."""
        return Arc(self.centre, self.radius, self.end, self.start, flipped(self.turn))

    def points(self, tolerance: float, *, swell: bool = False) -> Points:
        """Return points [mm], shape (n, 2), along the arc without its end.

        Chords lie inside the circle by `tolerance` [mm] at most, or by 1.25e-7 of the radius where that is more, since
        no finer steps than 1e-3 rad are taken. With `swell` they touch it from outside instead, the ends staying
        where they are.
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
        """Say which of `angles` [rad], shape (n,), directions from the centre, the arc covers [none], shape (n,)."""
        sweep = self.sweep
        past = np.mod((angles - self.start_angle) * math.copysign(1, sweep), math.tau)
        return np.asarray(past <= abs(sweep))

    def distance(self, points: Points) -> NDArray[np.float64]:
        """Return the distances [mm], shape (n,), of `points` [mm], shape (n, 2), from the arc."""
        return distance_from_arcs([self], points)


Segment = Line | Arc


def flipped(turn: Turn) -> Turn:
    """Return the other way round than `turn`.

    Source: plane geometry.
    Valid: for both.

    Example, by the words themselves:
    >>> flipped("cw")
    'ccw'
    """
    return "cw" if turn == "ccw" else "ccw"


def arc_by_bulge(start: Point, end: Point, bulge: float) -> Segment:
    """Return the arc from `start` [mm] to `end` [mm] of a given `bulge` [none], or a line where that is all but 0.

    Source: bulge = tan(angle / 4), positive anticlockwise: DXF reference, LWPOLYLINE.
    Valid: for a bulge other than an infinite one, which would be a full circle.

    Example, a bulge of 1 is half a circle by that reference:
    >>> half = arc_by_bulge((1.0, 0.0), (-1.0, 0.0), 1.0)
    >>> half.centre, half.radius, half.turn
    ((0.0, 0.0), 1.0, 'ccw')
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


def distance_from_lines(lines: Sequence[Line], points: Points) -> NDArray[np.float64]:
    """Return the distances [mm], shape (n,), of `points` [mm], shape (n, 2), from the nearest of `lines`.

    Source: plane geometry: to the foot of the perpendicular where it falls on the line, else to the nearer end.
    Valid: for at least one line.

    Example, the right triangle of sides 3, 4 and 5, and a line farther off:
    >>> lines = [Line((0.0, 0.0), (3.0, 4.0)), Line((100.0, 0.0), (100.0, 1.0))]
    >>> distance_from_lines(lines, np.array([[-4.0, 3.0], [6.0, 8.0], [98.0, 0.5]])).tolist()
    [5.0, 5.0, 2.0]
    """
    # one array over lines and points: a traced plate may have a thousand lines
    start = np.array([line.start for line in lines])[:, None]
    along = np.array([line.end for line in lines])[:, None] - start
    square = (along * along).sum(axis=-1)
    away = points - start
    share = np.clip((away * along).sum(axis=-1) / np.where(square > 0, square, 1.0), 0.0, 1.0)
    off = away - share[..., None] * along
    return np.asarray(np.hypot(off[..., 0], off[..., 1]).min(axis=0))


def distance_from_arcs(arcs: Sequence[Arc], points: Points) -> NDArray[np.float64]:
    """Return the distances [mm], shape (n,), of `points` [mm], shape (n, 2), from the nearest of `arcs`.

    Source: plane geometry: to the circle where the arc covers the direction, else to the nearer end.
    Valid: for at least one arc.

    Example, 90 degrees in radius 1, whose height is .2929 in Machinery's Handbook, segments of circles (memory):
    >>> quarter = Arc((0.0, 0.0), 1.0, (1.0, 0.0), (0.0, 1.0), "ccw")
    >>> distance_from_arcs([quarter], np.array([[0.5, 0.5], [2.0, 0.0], [1.0, -1.0]])).tolist()
    [0.2929, 1.0, 1.0]
    """
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
