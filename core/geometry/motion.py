"""Rigid motions of the plane, with or without a mirror: from one frame to another."""

import math
from dataclasses import dataclass

import numpy as np

from core.geometry.path import Arc, Line, Path, Point, Points, Segment, flipped


@dataclass(frozen=True)
class Motion:
    """The map `q -> (a q.x + b q.y + dx, c q.x + d q.y + dy)`; (a b; c d) is a rotation or a mirror."""

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
        """Return where the point `q` [mm] goes."""
        return (self.a * q[0] + self.b * q[1] + self.dx, self.c * q[0] + self.d * q[1] + self.dy)

    def points(self, q: Points) -> Points:
        """Return where the points `q`, shape (n, 2) [mm], go."""
        matrix = np.array([[self.a, self.b], [self.c, self.d]])
        return np.asarray(q @ matrix.T + np.array([self.dx, self.dy]))

    def segment(self, segment: Segment) -> Segment:
        """Return where a line or arc goes."""
        start, end = self.point(segment.start), self.point(segment.end)
        if isinstance(segment, Line):
            return Line(start, end)
        turn = flipped(segment.turn) if self.mirrors else segment.turn
        return Arc(self.point(segment.centre), segment.radius, start, end, turn)

    def path(self, path: Path) -> Path:
        """Return where a path goes; it is run in the same order."""
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
    """Return the motion by `dx`, `dy` [mm]."""
    return Motion(dx=dx, dy=dy)


def turned(clockwise: float) -> Motion:
    """Return the rotation about the origin by an angle [rad], clockwise positive."""
    cos, sin = math.cos(clockwise), math.sin(clockwise)
    return Motion(cos, sin, -sin, cos)


MIRROR = Motion(a=-1.0)
"""Left and right exchanged about the y axis."""
