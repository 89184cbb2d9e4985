"""The six outlines of a plate, as exact closed paths, clockwise, in the plate frame.

Each builder works with the middle of the top edge at the origin; `outline` then puts the datum mark there.
An outline that its sizes cannot make is replaced by the nearest that can, and `problem` says so.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from shapely.geometry import Polygon

from core.geometry.motion import shift
from core.geometry.path import STRAIGHT, Arc, Line, Path, Point, Segment, arc_by_bulge, joined
from core.lock.sections import Plate

OVAL_ARCS = 120
"""Arcs that stand in for an ellipse: within 2e-4 mm of it up to 140 mm long and 60 mm wide (a test says so)."""


@dataclass(frozen=True)
class Outline:
    """A closed `path` [mm], with `problems`: a sentence for each thing that its sizes could not give.

    Source: plane geometry.
    Valid: as `outline`.

    Example, as there:
    >>> outline(Plate(outline="round", width=60.0)).problems
    ()
    """

    path: Path
    problems: tuple[str, ...] = ()

    @cached_property
    def lowest(self) -> Point:
        """The lowest point [mm] of the path."""
        return lowest_point(self.path)


Show = Callable[[float], str]
"""Writes a length [mm] with its unit, for a problem."""


def _in_mm(length: float) -> str:
    return f"{length:g} mm"


def outline(plate: Plate, show: Show = _in_mm) -> Outline:
    """Return the outline of a `plate` in the plate frame [mm], the datum mark at the origin.

    `show` [mm] writes a length in its problems.

    A traced outline is taken as typed, since its points are given in that frame.

    Source: plane geometry; the plate's values, as the maker measures them.
    Valid: for any sizes; what they cannot make is replaced by the nearest that can, and a problem says so.

    Example, a round plate of 60, its mark 5 to the right of the middle: pi r^2, and how far up the middle lies:
    >>> path = outline(Plate(outline="round", width=60.0, mark_across=5.0)).path
    >>> -path.signed_area() / math.pi, path.centroid()[0], path.centroid()[1] + math.sqrt(30**2 - 5**2)
    (900.0, -5.0, 0.0)
    """
    if plate.outline == "traced":
        return _traced(plate, show)
    shape = _BUILDERS[plate.outline](plate, show)
    top = top_at(shape.path, plate.mark_across)
    if top is None:
        # the mark hangs beside the plate: work on from the middle of the edge
        problem = (
            f"the datum mark, {show(plate.mark_across)} from the middle, is beside the plate; "
            "the middle of the top edge stands in"
        )
        middle = top_at(shape.path, 0.0) or 0.0
        return Outline(shift(0.0, -middle).path(shape.path), (*shape.problems, problem))
    return Outline(shift(-plate.mark_across, -top).path(shape.path), shape.problems)


def top_at(path: Path, x: float) -> float | None:
    """Return the highest y [mm] at which `path` meets the upright line at `x` [mm], None for never.

    Source: plane geometry.
    Valid: for any path of lines and arcs.

    Example, a circle of radius 5 at 3 from its middle, the right triangle of sides 3, 4 and 5:
    >>> from core.geometry.path import circle
    >>> top_at(circle((0.0, 0.0), 5.0), 3.0), top_at(circle((0.0, 0.0), 5.0), 6.0)
    (4.0, None)
    """
    found: list[float] = []
    for segment in path.segments:
        (x0, y0), (x1, y1) = segment.start, segment.end
        if isinstance(segment, Arc):
            (cx, cy), r = segment.centre, segment.radius
            if abs(x - cx) <= r:
                rise = math.sqrt(max(r * r - (x - cx) ** 2, 0.0))
                angles = np.arctan2([rise, -rise], [x - cx, x - cx])
                hits = zip((cy + rise, cy - rise), segment.holds(angles), strict=True)
                found += [y for y, hit in hits if hit]
            found += [y for x_end, y in ((x0, y0), (x1, y1)) if x_end == x]
        elif x0 == x1:
            found += [y0, y1] if x0 == x else []
        elif min(x0, x1) <= x <= max(x0, x1):
            found.append(y0 + (y1 - y0) * (x - x0) / (x1 - x0))
    return max(found, default=None)


def lowest_point(path: Path) -> Point:
    """Return the lowest point [mm] of `path`; the middle where the foot is flat or there are two.

    Source: plane geometry.
    Valid: for any path of lines and arcs.

    Example, a circle of radius 5 about (2, 0):
    >>> from core.geometry.path import circle
    >>> lowest_point(circle((2.0, 0.0), 5.0))
    (2.0, -5.0)
    """
    bottom = path.bounds()[1]
    low: list[float] = []
    for segment in path.segments:
        low += [x for x, y in (segment.start, segment.end) if y - bottom < 1e-9]
        # the circle's lowest point counts only where the arc itself runs through it
        if isinstance(segment, Arc) and segment.holds(np.array([-math.pi / 2]))[0]:
            x, y = segment.centre
            low += [x] if y - segment.radius - bottom < 1e-9 else []
    return ((min(low) + max(low)) / 2, bottom)


def _round(plate: Plate, _: Show) -> Outline:
    r = plate.width / 2
    centre = (0.0, -r)
    left, right = (-r, -r), (r, -r)
    return Outline(Path((Arc(centre, r, left, right, "cw"), Arc(centre, r, right, left, "cw"))))


def _oval(plate: Plate, _: Show) -> Outline:
    """Return an ellipse as a chain of arcs, each through three points of it."""
    across, up = plate.width / 2, plate.height / 2
    angles = math.pi - np.linspace(0.0, math.tau, 2 * OVAL_ARCS + 1)
    xs, ys = across * np.cos(angles), up * np.sin(angles) - up
    points: list[Point] = [(float(x), float(y)) for x, y in zip(xs, ys, strict=True)]
    points[-1] = points[0]
    arcs = [_arc_through(*points[i : i + 3]) for i in range(0, 2 * OVAL_ARCS, 2)]
    return Outline(Path(tuple(arcs)))


def _arc_through(start: Point, middle: Point, end: Point) -> Segment:
    """Return the arc from `start` through `middle` to `end` [mm]."""
    chord = math.dist(start, end)
    # a sagitta s on a chord c means tan(angle / 4) = 2 s / c; the middle need not halve the arc, so
    # the bulge comes from the angle that the chord subtends at the middle point
    to_start = math.atan2(start[1] - middle[1], start[0] - middle[0])
    to_end = math.atan2(end[1] - middle[1], end[0] - middle[0])
    inside = (to_end - to_start) % math.tau
    if chord == 0:
        return Line(start, end)
    return arc_by_bulge(start, end, math.tan((inside - math.pi) / 2))


def _rectangle(plate: Plate, show: Show) -> Outline:
    half, h = plate.width / 2, plate.height
    most = min(half, h / 2)
    r = min(plate.corner, most)
    problems: tuple[str, ...] = ()
    if plate.corner > most:
        problems = (
            f"a corner radius of {show(plate.corner)} is more than half a side; {show(most)} stands in",
        )
    corners = (
        (half - r, -r, 90.0),
        (half - r, -h + r, 0.0),
        (-half + r, -h + r, -90.0),
        (-half + r, -r, 180.0),
    )
    segments: list[Segment] = []
    last: Point = (-half + r, 0.0)
    for cx, cy, begin in corners:
        start = _on((cx, cy), r, begin)
        end = _on((cx, cy), r, begin - 90)
        segments.append(Line(last, start))
        if r > 0:
            segments.append(Arc((cx, cy), r, start, end, "cw"))
        last = end
    # the last corner ends where the top edge began
    segments[-1] = _ending(segments[-1], (-half + r, 0.0))
    return Outline(joined(segments), problems)


def _shield(plate: Plate, show: Show) -> Outline:
    half, h = plate.width / 2, plate.height
    straight = min(plate.straight, 0.95 * h)
    problems: tuple[str, ...] = ()
    if plate.straight > straight:
        problem = (
            f"straight sides of {show(plate.straight)} leave no foot on a plate {show(h)} high; "
            f"{show(straight)} stands in"
        )
        problems = (problem,)
    segments = [
        Line((-half, 0.0), (half, 0.0)),
        Line((half, 0.0), (half, -straight)),
        *_foot(half, straight, h),
        Line((-half, -straight), (-half, 0.0)),
    ]
    return Outline(joined(segments), problems)


def _foot(half: float, above: float, h: float) -> list[Segment]:
    """Return the two arcs tangent to upright sides at depth `above` [mm] that meet at the foot point."""
    down = h - above
    # circle through (half, -above) and (0, -h) with its centre level with the first
    r = (half * half + down * down) / (2 * half)
    foot = (0.0, -h)
    return [
        Arc((half - r, -above), r, (half, -above), foot, "cw"),
        Arc((r - half, -above), r, foot, (-half, -above), "cw"),
    ]


def _lobed(plate: Plate, show: Show) -> Outline:
    half, h, n = plate.width / 2, plate.height, plate.notch
    problems: list[str] = []
    most = min(half, 0.95 * h)
    lobe = min(plate.lobe, most)
    if plate.lobe > lobe:
        problems.append(
            f"humps of radius {show(plate.lobe)} do not fit the plate; {show(lobe)} stands in"
        )
    apart = half - lobe
    # a fillet of radius f, tangent to both lobes, with its lowest point at depth n:
    # apart^2 + (lobe + f - n)^2 = (lobe + f)^2; at f = 0 the lobes themselves meet at that depth
    deepest = lobe - math.sqrt(max(lobe * lobe - apart * apart, 0.0)) if apart < lobe else lobe
    if n > deepest:
        problems.append(
            f"a dip of {show(n)} is deeper than humps of radius {show(lobe)} meet; {show(deepest)} stands in"
        )
        n = deepest
    left, right = (-apart, -lobe), (apart, -lobe)
    segments: list[Segment] = []
    if n <= STRAIGHT * apart or apart <= 0:
        segments += [
            Arc(left, lobe, (-half, -lobe), (-apart, 0.0), "cw"),
            Line((-apart, 0.0), (apart, 0.0)),
            Arc(right, lobe, (apart, 0.0), (half, -lobe), "cw"),
        ]
    else:
        fillet = max((apart * apart + n * n) / (2 * n) - lobe, 0.0)
        share = lobe / (lobe + fillet)
        # the point of touch lies on the line from the lobe's centre to the fillet's
        touch = (apart - share * apart, -lobe + share * (fillet - n + lobe))
        mirrored = (-touch[0], touch[1])
        segments.append(Arc(left, lobe, (-half, -lobe), mirrored, "cw"))
        if fillet > 0:
            segments.append(Arc((0.0, fillet - n), fillet, mirrored, touch, "ccw"))
        segments.append(Arc(right, lobe, touch, (half, -lobe), "cw"))
    segments += _foot(half, lobe, h)
    return Outline(joined(segments), tuple(problems))


def _traced(plate: Plate, show: Show) -> Outline:
    corners = [(p[0], p[1]) for p in plate.points]
    bulges = [p[2] if len(p) > 2 else 0.0 for p in plate.points]
    if len(corners) > 1 and math.dist(corners[0], corners[-1]) < 1e-6:
        # closed by the maker as well: the last point says nothing new
        corners, bulges = corners[:-1], bulges[:-1]
    ends = corners[1:] + corners[:1]
    path = joined(arc_by_bulge(a, b, k) for a, b, k in zip(corners, ends, bulges, strict=True))
    problem = _traced_problem(path)
    if problem:
        stand_in = _rectangle(plate, show)
        return Outline(
            stand_in.path, (f"{problem}; a rectangle of the plate's width and height stands in",)
        )
    if path.signed_area() > 0:
        path = path.reversed()
    problems: tuple[str, ...] = ()
    away = float(path.distance(np.zeros((1, 2)))[0])
    if away > 0.1:
        problems = (
            f"the datum mark, the origin of the traced points, lies {show(round(away, 2))} from the traced edge",
        )
    return Outline(path, problems)


def _traced_problem(path: Path) -> str:
    if len(path.segments) < 2:
        return "a traced outline takes at least two points with a bend or three without"
    points = path.points(0.01)
    # two straight edges there and back make no ring at all
    polygon = Polygon(points) if len(points) > 2 else Polygon()
    if not polygon.is_valid or polygon.area < 1.0:
        return "the traced outline crosses itself or encloses nothing"
    return ""


def _on(centre: Point, radius: float, degrees: float) -> Point:
    angle = math.radians(degrees)
    return (centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle))


def _ending(segment: Segment, end: Point) -> Segment:
    if isinstance(segment, Line):
        return Line(segment.start, end)
    return Arc(segment.centre, segment.radius, segment.start, end, segment.turn)


_BUILDERS: dict[str, Callable[[Plate, Show], Outline]] = {
    "round": _round,
    "oval": _oval,
    "rectangle": _rectangle,
    "shield": _shield,
    "lobed": _lobed,
}
