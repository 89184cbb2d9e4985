"""Where on a line a disc stands clear of an obstacle: the stretches that are barred, their ends in closed form.

Glossary: an *obstacle* is an area with its edge as an exact path; a disc is *barred* where its middle lies within
`margin` of that edge, or inside. A *stretch* is an interval of the way along the line [mm].
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from core.geometry.path import JOIN, Arc, Line, Path, Point, Points, Segment, circle

Floats = NDArray[np.float64]
Inside = Callable[[Points], NDArray[np.bool_]]
"""Says which of some points, shape (n, 2) [mm], lie inside; one on the edge may count either way."""
SAME = 1e-9
"""Distance [mm] below which two ends are one."""
PARALLEL = 1e-12
"""Sine of the angle below which two lines are parallel."""


@dataclass(frozen=True)
class Obstacle:
    """An area by its `edge` [mm], which may be run in any order, and `inside` [none], shape (n,) of n points.

    Source: own formulation.
    Valid: an edge of segments that have a length.
    Example, a disc of radius 5; 5 less the 3 and 4 sides of a right triangle is nothing:
    >>> float(round_obstacle((0.0, 0.0), 5.0).distance(np.array([[6.0, 8.0]]))[0])
    5.0
    """

    edge: Path
    inside: Inside

    def distance(self, points: Points) -> Floats:
        """Return the distances [mm] of `points` [mm], shape (n, 2), from the area, shape (n,); negative inside it.

        Source: point to segment and point to arc, as `core.geometry.path` has them.
        Valid: any points.
        Example, by the sides 3, 4 and 5 of a right triangle:
        >>> disc = round_obstacle((0.0, 0.0), 2.0)
        >>> [round(float(d), 9) for d in disc.distance(np.array([[3.0, 4.0], [0.0, 0.5]]))]
        [3.0, -1.5]
        """
        away = np.full(len(points), np.inf)
        if len(self._lines):
            away = _from_lines(self._lines, points)
        if self._arcs.segments:
            away = np.minimum(away, self._arcs.distance(points))
        return np.asarray(np.where(self.inside(points), -away, away))

    @cached_property
    def _arcs(self) -> Path:
        return Path(tuple(s for s in self.edge.segments if isinstance(s, Arc)))

    @cached_property
    def _lines(self) -> Floats:
        """Both ends of every straight segment, shape (n, 2, 2)."""
        lines = [(s.start, s.end) for s in self.edge.segments if isinstance(s, Line)]
        return np.array(lines).reshape(-1, 2, 2)

    @cached_property
    def _ends(self) -> Floats:
        """The ends of all segments, each once, shape (n, 2)."""
        every = [end for s in self.edge.segments for end in (s.start, s.end)]
        return np.unique(np.array(every), axis=0)

    @cached_property
    def _circles(self) -> tuple[Floats, Floats, Floats, Floats]:
        """Of all arcs the centres, shape (n, 2), the radii, shape (n,), and two corners of a box round each."""
        arcs = self._arcs.segments
        radii = np.array([arc.radius for arc in arcs if isinstance(arc, Arc)])
        centres = np.array([arc.centre for arc in arcs if isinstance(arc, Arc)]).reshape(-1, 2)
        swept = np.array([abs(arc.sweep) for arc in arcs if isinstance(arc, Arc)])
        ends = np.array([(arc.start, arc.end) for arc in arcs]).reshape(-1, 2, 2)
        # an arc stands out from its chord by its sagitta at most, beyond half a turn by a diameter
        out = np.where(swept <= math.pi, radii * (1 - np.cos(swept / 2)), 2 * radii)[:, None]
        return centres, radii, ends.min(axis=1) - out, ends.max(axis=1) + out

    @cached_property
    def _box(self) -> tuple[Floats, Floats]:
        """The lower left and the upper right corner of the edge."""
        left, bottom, right, top = self.edge.bounds()
        return np.array([left, bottom]), np.array([right, top])


def barred(
    obstacle: Obstacle, start: Point, along: Point, margin: float, low: float, high: float
) -> list[tuple[float, float]]:
    """Return the stretches [mm] between `low` and `high` [mm] in which a disc is barred.

    They lie along the line from `start` [mm] in the direction of `along` [none], a unit vector along x or y, past an
    `obstacle`. The edge of all places within `margin` [mm] of a path consists of the parallels to its
    straight segments, of circles about the centres of its arcs, and of circles about the ends of both. A stretch ends
    where the line crosses one of those: between two such places one look in the middle decides.

    Source: offset curves of lines and circular arcs, any text on plane geometry.
    Valid: `margin` above nothing.
    Example, a disc of radius 4 passed at a height of 3 with a margin of 1: half a chord of radius 5 is 4:
    >>> barred(round_obstacle((0.0, 0.0), 4.0), (0.0, 3.0), (1.0, 0.0), 1.0, -9.0, 9.0)
    [(-4.0, 4.0)]
    """
    begin, way = np.array(start), np.array(along)
    found = _crossed(obstacle, begin, way, margin)
    places = np.sort(np.concatenate([found[(found > low) & (found < high)], [low, high]]))
    places = places[np.concatenate([[True], np.diff(places) > SAME])]
    middles = (places[1:] + places[:-1]) / 2
    bad = obstacle.distance(begin + middles[:, None] * way) < margin
    stretches: list[tuple[float, float]] = []
    for here, there, hit in zip(places[:-1].tolist(), places[1:].tolist(), bad, strict=True):
        if hit and stretches and stretches[-1][1] == here:
            stretches[-1] = (stretches[-1][0], there)
        elif hit:
            stretches.append((here, there))
    return stretches


def _crossed(obstacle: Obstacle, begin: Floats, way: Floats, margin: float) -> Floats:
    """Return where the line may cross the edge of all places within `margin` of an obstacle's edge."""
    (low, high), across = obstacle._box, way == 0
    if (begin + margin < low)[across].any() or (begin - margin > high)[across].any():
        return np.zeros(0)  # it passes by
    centres, radii, lows, highs = obstacle._circles
    near = ((begin + margin >= lows) & (begin - margin <= highs))[:, across].all(axis=1)
    centres, radii = centres[near], radii[near]
    found = [
        _on_circles(obstacle._ends, np.full(len(obstacle._ends), margin), begin, way),
        _on_circles(centres, radii + margin, begin, way),
        _on_circles(centres, np.abs(radii - margin), begin, way),
        _on_parallels(obstacle._lines, margin, begin, way),
    ]
    return np.concatenate(found)


def round_obstacle(centre: Point, radius: float) -> Obstacle:
    """Return a disc about `centre` [mm] of a `radius` [mm] as an obstacle.

    Source: definition of the circle.
    Valid: a radius above nothing.
    Example, 2 mm beyond a radius of 3, by definition:
    >>> float(round_obstacle((1.0, 1.0), 3.0).distance(np.array([[6.0, 1.0]]))[0])
    2.0
    """

    def inside(points: Points) -> NDArray[np.bool_]:
        return np.asarray(np.hypot(points[:, 0] - centre[0], points[:, 1] - centre[1]) < radius)

    return Obstacle(circle(centre, radius), inside)


def _on_circles(centres: Floats, radii: Floats, begin: Floats, way: Floats) -> Floats:
    """Return where the line crosses circles: the foot of each centre, and half a chord to either side."""
    to = centres - begin
    foot, aside = to @ way, to @ np.array([way[1], -way[0]])
    square = radii**2 - aside**2
    met = square >= 0
    half = np.sqrt(square[met])
    return np.concatenate([foot[met] - half, foot[met] + half])


def _on_parallels(lines: Floats, margin: float, begin: Floats, way: Floats) -> Floats:
    """Return where the line crosses the two parallels at `margin` to each straight segment."""
    run = lines[:, 1] - lines[:, 0]
    normal = np.stack([-run[:, 1], run[:, 0]], axis=1) / np.hypot(run[:, 0], run[:, 1])[:, None]
    slope = normal @ way
    met = np.abs(slope) > PARALLEL  # else the line is parallel to them too
    off = np.einsum("ij,ij->i", normal[met], begin - lines[met, 0])
    return np.concatenate([(side * margin - off) / slope[met] for side in (1, -1)])


def _from_lines(lines: Floats, points: Points) -> Floats:
    """Return the distances [mm] of `points`, shape (n, 2), from the nearest straight segment, shape (n,)."""
    start, run = lines[:, 0, None], (lines[:, 1] - lines[:, 0])[:, None]
    to = points - start
    share = np.clip((to * run).sum(-1) / (run * run).sum(-1), 0.0, 1.0)
    off = to - share[..., None] * run
    return np.asarray(np.hypot(off[..., 0], off[..., 1]).min(axis=0))


@dataclass(frozen=True)
class Stretch:
    """A stretch from `low` [mm] to `high` [mm], with the numbers `low_by` [none] and `high_by` [none] of what bars it.

    Source: own formulation.
    Valid: `low` not above `high`.
    Example, by definition:
    >>> Stretch(1.0, 4.0, 0, 1).away(6.0)
    2.0
    """

    low: float
    high: float
    low_by: int
    high_by: int

    def away(self, at: float) -> float:
        """Return how far [mm] a place `at` [mm] is from the stretch, 0 inside it.

        Source: distance of a point from an interval.
        Valid: any place.
        Example, by definition:
        >>> Stretch(1.0, 4.0, 0, 1).away(0.5)
        0.5
        """
        return max(self.low - at, at - self.high, 0.0)


def free_stretch(bars: Sequence[Sequence[tuple[float, float]]], at: float) -> Stretch | None:
    """Return the stretch [mm] that nothing bars which holds `at` [mm], or lies nearest to it; None where all is barred.

    `bars` [mm] are the barred stretches of each obstacle, by its number; one of them bars either end of the line.

    Source: union of intervals, swept from the left.
    Valid: at least one barred stretch.
    Example, a wall on either side and something between, by hand:
    >>> free_stretch([[(-9.0, -5.0), (5.0, 9.0)], [(-1.0, 1.0)]], 0.5)
    Stretch(low=1.0, high=5.0, low_by=1, high_by=0)
    """
    every = sorted((low, high, number) for number, own in enumerate(bars) for low, high in own)
    gaps: list[Stretch] = []
    _, reach, by = every[0]
    for low, high, number in every[1:]:
        if low > reach + SAME:
            gaps.append(Stretch(reach, low, by, number))
        if high > reach:
            reach, by = high, number
    return min(gaps, key=lambda gap: (gap.away(at), gap.low), default=None)


def swept(path: Path, by: float) -> Path:
    """Return lines and arcs that hold the whole edge of what `path` runs over when it moves `by` [mm] along x.

    Besides the path at either end of its way: the way of every corner, and of every place at which an arc runs
    along x. They are in no order and do not join.

    Source: envelope of a translated curve, which touches it where the curve runs along the way.
    Valid: any path of lines and arcs.
    Example, a disc of radius 1 moved by 3 becomes a slot from -1 to 4, 2 high, by hand:
    >>> swept(circle((0.0, 0.0), 1.0), 3.0).bounds()
    (-1.0, -1.0, 4.0, 1.0)
    """

    def moved(point: Point) -> Point:
        return (point[0] + by, point[1])

    found: list[Segment] = []
    for segment in path.segments:
        found.append(segment)
        turning = [segment.start, segment.end]
        if isinstance(segment, Arc):
            (x, y), r = segment.centre, segment.radius
            found.append(
                Arc(
                    moved(segment.centre), r, moved(segment.start), moved(segment.end), segment.turn
                )
            )
            level = segment.holds(np.array([math.pi / 2, -math.pi / 2]))
            turning += [p for p, hit in zip(((x, y + r), (x, y - r)), level, strict=True) if hit]
        else:
            found.append(Line(moved(segment.start), moved(segment.end)))
        found += [Line(point, moved(point)) for point in turning]
    return Path(tuple(s for s in found if math.dist(s.start, s.end) >= JOIN))
