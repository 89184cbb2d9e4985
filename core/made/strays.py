"""Holes that stand elsewhere than they should: how far, and what plugging one and drilling it anew takes.

A round hole is a centre and a diameter. However far it stands off, it can be filled: counterbored on both faces, a plug
riveted in until both counterbores are full, dressed flush, drilled anew. Lengths in mm, places in the plate frame.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from core.geometry.path import Point, Points
from core.layout.workpiece import Cut, Shape
from core.mechanism.rivet_volume import plug_length

WIDER = 2.0
"""Diameter of the counterbores beyond the hole's [mm]; common practice, no source."""
DEEP = 0.25
"""Depth of each counterbore as a share of the plate; common practice, no source."""
LOOSE = 0.1
"""Diameter of the hole beyond the plug's [mm], so that the plug just drops in; common practice, no source."""
PROUD = 0.2
"""What is left proud of each face [mm] to be dressed off; common practice, no source."""


@dataclass(frozen=True)
class Stray:
    """A drilled hole `at` a place where it is not wanted: the middle that is wanted and both diameters [mm].

    `edge` is the distance of its middle from the plate's edge, `plate` the plate's thickness.
    """

    name: str
    at: Point
    wanted: Point
    hole: float
    new: float
    edge: float
    plate: float

    @property
    def across(self) -> float:
        """How far [mm] to the right of its place it stands."""
        return self.at[0] - self.wanted[0]

    @property
    def up(self) -> float:
        """How far [mm] above its place it stands."""
        return self.at[1] - self.wanted[1]

    @property
    def far(self) -> float:
        """Distance [mm] between the two middles."""
        return math.hypot(self.across, self.up)

    @property
    def counterbore(self) -> float:
        """Diameter of the counterbores [mm]."""
        return self.hole + WIDER

    @property
    def depth(self) -> float:
        """Depth of each counterbore [mm]."""
        return DEEP * self.plate

    @property
    def plug(self) -> float:
        """Diameter of the plug [mm]."""
        return self.hole - LOOSE

    @property
    def length(self) -> float:
        """Length of the plug [mm], by equal volume, with what is dressed off."""
        return plug_length(self.plug, self.hole, self.plate, self.counterbore, self.depth, PROUD)

    @property
    def web(self) -> float:
        """Metal [mm] between the counterbore and the new hole; below 0 the new hole cuts into the plug."""
        return self.far - (self.counterbore + self.new) / 2

    @property
    def rim(self) -> float:
        """Metal [mm] between the counterbore and the plate's edge."""
        return self.edge - self.counterbore / 2


def strays(made: Shape, wanted: Shape, plate: float, beyond: float) -> Iterator[Stray]:
    """Yield the drilled holes of a workpiece that stand more than `beyond` [mm] from where the wanted one has them.

    `plate` is its thickness [mm]. The hole is looked for by its name.
    """
    there = {cut.name: cut for cut in wanted.cuts if cut.drilled}
    for cut in made.cuts:
        if not cut.drilled or cut.name not in there or made.body is None:
            continue
        (at, hole), (place, new) = _round(cut), _round(there[cut.name])
        if math.dist(at, place) > beyond:
            edge = float(made.body.distance(_as_points(at))[0])
            yield Stray(cut.name, at, place, hole, new, edge, plate)


def middle(cut: Cut) -> Point:
    """Return the middle of a drilled hole."""
    return _round(cut)[0]


def _round(cut: Cut) -> tuple[Point, float]:
    """Return middle and diameter of a drilled hole."""
    left, low, right, high = cut.path.bounds()
    return ((left + right) / 2, (low + high) / 2), right - left


def _as_points(at: Point) -> Points:
    return np.array([at])
