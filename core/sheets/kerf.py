"""Outlines moved aside by half a kerf, lines staying lines and arcs staying arcs.

A beam or a cutter takes away its own width, the *kerf*: its middle runs half of it outside an outline and half of it
inside a hole, so that what is left is the part. Round a corner that stands out it runs an arc about the corner, which
leaves the corner sharp; into a corner that goes in it runs to where both moved edges meet.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

import shapely

from core.errors import BadEntryError
from core.geometry.path import JOIN, Arc, Line, Path, Point, Segment, Turn, joined
from core.geometry.polygons import polygon
from core.sheets.strokes import outward

PARALLEL = 1e-4
"""Sine of the angle between two edges below which one runs on into the other: moved aside, their ends still meet within
a ten-thousandth of the way that they were moved."""
TURNED_ON = 0.1
"""How much farther than it went an arc may go [rad] once it is trimmed; one that runs backwards goes nearly round."""
FINE = 1e-4
"""Chord tolerance [mm] of the areas by which a moved outline is proved."""
ROUND = 64
"""Chords on a quarter turn where the proof rounds a corner."""


@dataclass(frozen=True)
class Way:
    """The way of a cutter's middle: a closed path [mm], clockwise, and how many edges it is too wide to follow."""

    path: Path
    passed_over: int = 0


def moved_aside(path: Path, by: float, what: str) -> Way:
    """Return a closed path with its edge `by` [mm] farther out, or farther in where that is negative.

    An edge too short for the cutter to get at is passed over, where no more than the kerf's own depth is lost with it.

    Raises
    ------
    BadEntryError
        Where a gap would close or more be lost; `what` names the part.
    """
    around = path.reversed() if path.signed_area() > 0 else path
    if abs(by) < JOIN:
        return Way(around)
    made = _moved(around, by)
    if made is None or not _proved(around, made, by):
        raise BadEntryError(
            f"A kerf of {2 * abs(by):g} mm is too wide for the {what}: it would close a gap or swallow an edge of it"
        )
    return made


@dataclass
class _Side:
    """An edge moved aside, the corner of the part before it, and how the way comes round that corner to it."""

    segment: Segment
    corner: Point
    round_before: bool
    runs_on: bool


def _moved(path: Path, by: float) -> Way | None:
    sides = []
    for before, segment in zip((path.segments[-1], *path.segments), path.segments, strict=False):
        there = aside(segment, by)
        bend = _bend(before, segment)
        # on a clockwise path a corner that stands out turns to the right
        stands_out, runs_on = (bend < 0) == (by > 0), abs(bend) < PARALLEL
        sides.append(
            (there, _Side(there or segment, segment.start, stands_out and not runs_on, runs_on))
        )
    left = [side for there, side in sides if there is not None]
    passed_over = len(sides) - len(left)
    while len(left) >= 2:
        made = _joined_up(left, by)
        if isinstance(made, Path):
            return Way(made, passed_over)
        if made is None:
            return None
        # what would run backwards is out of reach: its neighbours meet instead
        after = left[(made + 1) % len(left)]
        after.round_before = after.runs_on = False
        left.pop(made)
        passed_over += 1
    return None


def _joined_up(sides: list[_Side], by: float) -> Path | int | None:
    """Return the sides trimmed and joined, the number of one that would run backwards, or None where two never meet."""
    starts: list[Point] = []
    for before, side in zip((sides[-1], *sides), sides, strict=False):
        if side.runs_on or side.round_before:
            starts.append(side.segment.start)
            continue
        met = _nearest(_meetings(before.segment, side.segment), side.corner)
        if met is None:
            return None
        starts.append(met)
    done: list[Segment] = []
    for number, side in enumerate(sides):
        after = sides[(number + 1) % len(sides)]
        begin = starts[number]
        stop = side.segment.end if after.round_before else starts[(number + 1) % len(sides)]
        trimmed = _trimmed(side.segment, begin, stop)
        if trimmed is None:
            return number
        done.append(trimmed)
        if after.round_before:
            turn: Turn = "cw" if by > 0 else "ccw"
            done.append(Arc(after.corner, abs(by), stop, after.segment.start, turn))
    return joined(done)


def aside(segment: Segment, by: float) -> Segment | None:
    """Return a segment moved to its left by `by` [mm], None for an arc that has no radius left."""
    if isinstance(segment, Arc):
        radius = segment.radius + (by if segment.turn == "cw" else -by)
        if radius <= JOIN:
            return None
        share = radius / segment.radius
        ends = [
            (
                segment.centre[0] + (p[0] - segment.centre[0]) * share,
                segment.centre[1] + (p[1] - segment.centre[1]) * share,
            )
            for p in (segment.start, segment.end)
        ]
        return Arc(segment.centre, radius, ends[0], ends[1], segment.turn)
    x, y = outward(segment, at_end=False)
    return Line(
        (segment.start[0] + x * by, segment.start[1] + y * by),
        (segment.end[0] + x * by, segment.end[1] + y * by),
    )


def _bend(one: Segment, other: Segment) -> float:
    """Return the sine of the turn from one segment to the next, positive to the left; half a turn counts as out."""
    (ax, ay), (bx, by) = outward(one, at_end=True), outward(other, at_end=False)
    sine, cosine = ax * by - ay * bx, ax * bx + ay * by
    return -1.0 if abs(sine) < PARALLEL and cosine < 0 else sine


def _trimmed(side: Segment, start: Point, end: Point) -> Segment | None:
    """Return a segment between two points on it, None where it would run backwards."""
    if isinstance(side, Line):
        x, y = outward(side, at_end=False)
        # the direction of the line is its left side turned to the right
        return Line(start, end) if (end[0] - start[0]) * y - (end[1] - start[1]) * x > 0 else None
    made = Arc(side.centre, side.radius, start, end, side.turn)
    if math.dist(start, side.start) < JOIN and math.dist(end, side.end) < JOIN:
        return side
    return made if abs(made.sweep) < abs(side.sweep) + TURNED_ON else None


def _nearest(points: Iterable[Point], to: Point) -> Point | None:
    return min(points, key=lambda point: math.dist(point, to), default=None)


def _meetings(one: Segment, other: Segment) -> list[Point]:
    """Return where the whole line or circle of one segment meets that of another [mm]."""
    if isinstance(one, Line) and isinstance(other, Line):
        return _lines(one, other)
    if isinstance(one, Line) and isinstance(other, Arc):
        return _line_and_circle(one, other)
    if isinstance(one, Arc) and isinstance(other, Line):
        return _line_and_circle(other, one)
    if isinstance(one, Arc) and isinstance(other, Arc):
        return _circles(one, other)
    return []


def _lines(one: Line, other: Line) -> list[Point]:
    (x0, y0), (x1, y1) = one.start, one.end
    (x2, y2), (x3, y3) = other.start, other.end
    across = (x1 - x0) * (y3 - y2) - (y1 - y0) * (x3 - x2)
    if across == 0:
        return []
    share = ((x2 - x0) * (y3 - y2) - (y2 - y0) * (x3 - x2)) / across
    return [(x0 + share * (x1 - x0), y0 + share * (y1 - y0))]


def _line_and_circle(line: Line, arc: Arc) -> list[Point]:
    (x0, y0), (cx, cy) = line.start, arc.centre
    length = math.dist(line.start, line.end)
    ux, uy = (line.end[0] - x0) / length, (line.end[1] - y0) / length
    along = (cx - x0) * ux + (cy - y0) * uy
    off = (cx - x0) * uy - (cy - y0) * ux
    square = arc.radius**2 - off**2
    # an edge that just touches is met once
    half = math.sqrt(max(square, 0.0)) if square > -JOIN * arc.radius else None
    places = [] if half is None else [along - half, along + half]
    return [(x0 + place * ux, y0 + place * uy) for place in places]


def _circles(one: Arc, other: Arc) -> list[Point]:
    (x0, y0), (x1, y1) = one.centre, other.centre
    apart = math.dist(one.centre, other.centre)
    if apart < JOIN:
        return []
    along = (apart**2 + one.radius**2 - other.radius**2) / (2 * apart)
    square = one.radius**2 - along**2
    if square < -JOIN * one.radius:
        return []
    ux, uy, half = (x1 - x0) / apart, (y1 - y0) / apart, math.sqrt(max(square, 0.0))
    return [(x0 + along * ux - s * half * uy, y0 + along * uy + s * half * ux) for s in (-1, 1)]


def _proved(path: Path, made: Way, by: float) -> bool:
    """Say whether the way bounds just what lies within `by` [mm] of the part, or that deep in it.

    Where edges were passed over, what is lost may be no deeper than the kerf.
    """
    ends = pairwise((*made.path.segments, made.path.segments[0]))
    if not all(math.dist(one.end, other.start) < 1e-6 for one, other in ends):
        return False
    part, found = polygon(path, FINE), polygon(made.path, FINE)
    wanted = part.buffer(by, quad_segs=ROUND)
    if wanted.geom_type != "Polygon" or wanted.interiors or not found.is_valid:
        return False
    # both are chords: they differ by a hair along the whole edge
    allowed = (2 * FINE + 4e-4 * abs(by)) * made.path.length + 1e-6
    if wanted.symmetric_difference(found).area > allowed:
        return False
    cut = wanted.buffer(-by, quad_segs=ROUND)
    lost = shapely.hausdorff_distance(cut.exterior, part.exterior) if made.passed_over else 0.0
    return bool(lost <= 2 * abs(by) + FINE)
