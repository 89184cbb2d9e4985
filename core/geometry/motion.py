"""Rigid motions of the plane, with or without a mirror: from one frame to another."""

import math
from dataclasses import dataclass

import numpy as np

from core.geometry.path import Arc, Line, Path, Point, Points, Segment, flipped


@dataclass(frozen=True)
class Motion:
    """The map `q -> (a q.x + b q.y + dx, c q.x + d q.y + dy)`, from one frame to another.

    `a`, `b`, `c`, `d` [none] are a rotation or a mirror, `dx`, `dy` [mm] a shift.

    Source: linear algebra: the matrix (a b; c d) is orthogonal, so its inverse is its transpose.
    Valid: for such a matrix only.

    Example, there and back, by that rule:
    >>> there = turned(math.pi / 2).then(shift(5.0, 0.0))
    >>> there.point((0.0, 1.0)), there.inverse().point((6.0, 0.0))
    ((6.0, 0.0), (0.0, 1.0))
    >>> there.points(np.array([[0.0, 1.0]])).tolist(), there.mirrors, MIRROR.mirrors
    ([[6.0, 0.0]], False, True)
    >>> arc = Arc((1.0, 0.0), 1.0, (2.0, 0.0), (0.0, 0.0), "ccw")
    >>> MIRROR.segment(arc).turn, MIRROR.path(Path((arc,))).start
    ('cw', (-2.0, 0.0))
    """

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    dx: float = 0.0
    dy: float = 0.0

    @property
    def mirrors(self) -> bool:
        """Whether clockwise becomes anticlockwise."""
        return self.a * self.d - self.b * self.c < 0

    def point(self, q: Point) -> Point:
        """Return where the point `q` [mm] goes [mm]."""
        return (self.a * q[0] + self.b * q[1] + self.dx, self.c * q[0] + self.d * q[1] + self.dy)

    def points(self, q: Points) -> Points:
        """Return where the points `q` [mm], shape (n, 2), go [mm], shape (n, 2)."""
        matrix = np.array([[self.a, self.b], [self.c, self.d]])
        return np.asarray(q @ matrix.T + np.array([self.dx, self.dy]))

    def segment(self, segment: Segment) -> Segment:
        """Return where a `segment`, line or arc, goes."""
        start, end = self.point(segment.start), self.point(segment.end)
        if isinstance(segment, Line):
            return Line(start, end)
        turn = flipped(segment.turn) if self.mirrors else segment.turn
        return Arc(self.point(segment.centre), segment.radius, start, end, turn)

    def path(self, path: Path) -> Path:
        """Return where a `path` goes; it is run in the same order."""
        return Path(tuple(self.segment(segment) for segment in path.segments))

    def inverse(self) -> "Motion":
        """Return the motion that undoes this one."""
        # the matrix is orthogonal: its inverse is its transpose
        return Motion(
            self.a, self.c, self.b, self.d,
            -(self.a * self.dx + self.c * self.dy), -(self.b * self.dx + self.d * self.dy),
        )  # fmt: skip

    def then(self, after: "Motion") -> "Motion":
        """Return this motion followed by `after`."""
        (dx, dy) = after.point((self.dx, self.dy))
        return Motion(
            after.a * self.a + after.b * self.c, after.a * self.b + after.b * self.d,
            after.c * self.a + after.d * self.c, after.c * self.b + after.d * self.d,
            dx, dy,
        )  # fmt: skip


def shift(dx: float, dy: float) -> Motion:
    """Return the motion by `dx`, `dy` [mm].

    Source: plane geometry.
    Valid: for any.

    Example, a step to the right and one down:
    >>> shift(2.0, -3.0).point((1.0, 1.0))
    (3.0, -2.0)
    """
    return Motion(dx=dx, dy=dy)


def turned(clockwise: float) -> Motion:
    """Return the rotation about the origin by the angle `clockwise` [rad].

    Source: the rotation matrix of any algebra text, its angle turned round.
    Valid: for any.

    Example, a key turned a quarter clockwise from top dead centre points to the right:
    >>> turned(math.pi / 2).point((0.0, 20.0))
    (20.0, 0.0)
    """
    cos, sin = math.cos(clockwise), math.sin(clockwise)
    return Motion(cos, sin, -sin, cos)


MIRROR = Motion(a=-1.0)
"""Left and right exchanged about the y axis."""
