"""Where dimensions lie in the drawing: from where to where runs the line for the one that is asked for.

A module of `core.parts` that offers `EXTENTS` says so of dimensions that no part draws with its own marks;
`core.whole.dimensions` gathers them. All lengths are in mm.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from core.geometry.path import Point
from core.layout.frames import hand
from core.layout.layout import Layout

PUSH = 6.0
"""Length [mm] of the line that stands for a force."""

Ends = tuple[Point, Point]
"""Both ends of a dimension line [mm]."""


@dataclass(frozen=True)
class OnEdge:
    """What the front does not show, drawn beside the plate as seen on edge [mm].

    `level` is the height of its middle in the plate frame, `wide` the dimension, `tall` how much of it is seen.
    """

    level: float
    wide: float
    tall: float


@dataclass(frozen=True)
class Extents:
    """The ends of dimensions, by path.

    Those of the `lock` are in the drive frame, the bolt at the locked seat, those of the `plate` in its own frame;
    what the front does not show is seen `on_edge`.
    """

    lock: Mapping[str, Callable[[Layout], Ends]] = field(default_factory=dict)
    plate: Mapping[str, Callable[[Layout], Ends]] = field(default_factory=dict)
    on_edge: Mapping[str, Callable[[Layout], OnEdge]] = field(default_factory=dict)


def along(x: float, y: float, by: float) -> Ends:
    """Return the ends of a line from a place [mm] along the bolt line."""
    return (x, y), (x + by, y)


def up(x: float, y: float, by: float) -> Ends:
    """Return the ends of a line from a place [mm] upwards."""
    return (x, y), (x, y + by)


def over(x: float, y: float, size: float) -> Ends:
    """Return the ends of a line of a length [mm] that has its middle at a place."""
    return (x - size / 2, y), (x + size / 2, y)


def in_drive(layout: Layout, across: float) -> float:
    """Return a place across [mm] that is signed in the mechanism frame as it is in the drive frame."""
    return hand(layout).point((across, 0.0))[0]
