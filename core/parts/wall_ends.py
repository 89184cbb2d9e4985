"""Ends that the inner wall sets above and below guides, tail and shackle's end, as pivot or bolt line move."""

from collections.abc import Iterable
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from core.geometry.polygons import reach
from core.geometry.secant import zero_near
from core.layout.codes import Code
from core.layout.frames import centreline_frame, hand
from core.layout.layout import Layout
from core.layout.part import Part
from core.layout.windows import Bound
from core.parts.bolt_contour import nose_face
from core.parts.guide_places import front_guide, rear_guide
from core.parts.guides import OUTSIDE_WALL, TAIL_HITS_WALL
from core.parts.plate import inner, inner_in_plate
from core.parts.shackle import OUTSIDE_WALL as SHACKLE_OUTSIDE_WALL
from core.parts.spring_limits import SPRING_OUTSIDE_WALL
from core.parts.strip import strip
from core.parts.strip_place import ends
from core.parts.tooth import tooth

PIVOT = "pivot.below"
PATHS = ("bolt_line.height", PIVOT)
"""Dimensions that have ends here."""


@dataclass(frozen=True)
class _Block:
    """What has to stay inside the inner wall, a block in the drive frame [mm], and what is found where it does not."""

    left: float
    right: float
    low: float
    high: float
    by: str
    code: Code

    def above(self, area: BaseGeometry) -> float | None:
        """Return the room [mm] that the `area` leaves above it; None where that misses it."""
        at = (self.low + self.high) / 2
        room = reach(area, (0.0, 1.0), self.left, self.right, at)
        return None if room is None else room - self.high

    def below(self, area: BaseGeometry) -> float | None:
        """Return the room [mm] that the `area` leaves below it; None where that misses it."""
        at = (self.low + self.high) / 2
        room = reach(area, (0.0, -1.0), -self.right, -self.left, -at)
        return None if room is None else room + self.low


def _blocks(layout: Layout) -> Iterable[_Block]:
    lock, rear, face = layout.lock, rear_guide(layout), nose_face(layout)
    line, shackle = lock.bolt_line.height, lock.shackle
    for guide in (front_guide(layout), rear):
        left, right = sorted((guide.side * guide.near, guide.side * guide.far))
        code = OUTSIDE_WALL.of(guide.name)
        yield _Block(
            left, right, guide.bottom, guide.top, f"the {guide.name} at the inner wall", code
        )
    end = rear.far + tooth(layout).throw + lock.fit.slide_clearance
    by = "the tail at the inner wall, drawn back"
    yield _Block(rear.near, end, line - lock.bolt.tail_height, line, by, TAIL_HITS_WALL)
    made, room = strip(layout), lock.bolt_line.spring_room
    if made is not None:
        by = "the strip's end at the inner wall"
        yield _Block(*ends(layout, made), line, line + room, by, SPRING_OUTSIDE_WALL)
    by = "the shackle's end at the inner wall"
    left = -face - shackle.diameter
    yield _Block(left, -face, line - shackle.drop, line, by, SHACKLE_OUTSIDE_WALL)


def _bounds(layout: Layout) -> Iterable[Bound]:
    return (bound for path in PATHS for bound in _of_path(layout, path))


def _of_path(layout: Layout, path: str) -> Iterable[Bound]:
    if path not in PATHS:
        return
    line, area = layout.lock.bolt_line.height, inner(layout)
    for block in _blocks(layout):
        above, below = block.above(area), block.below(area)
        if above is None or below is None:
            continue
        if path == PIVOT:
            yield from _of_pivot(layout, block)
        else:
            yield Bound(path, "high", line + above, block.by, block.code)
            yield Bound(path, "low", line - below, block.by, block.code)


def _of_pivot(layout: Layout, block: _Block) -> Iterable[Bound]:
    """Yield the ends of the pivot's place: off the mark's upright the centreline turns as it moves, so by secants."""
    pivot = layout.lock.pivot

    def moved(below: float) -> BaseGeometry:
        move = centreline_frame(pivot.across, below).then(hand(layout))
        return shapely.transform(inner_in_plate(layout), move.points)

    def above(below: float) -> float | None:
        return block.above(moved(below)) if below > 0 else None

    def under(below: float) -> float | None:
        return block.below(moved(below)) if below > 0 else None

    lowest, highest = zero_near(above, pivot.below, 1.0), zero_near(under, pivot.below, -1.0)
    if lowest is not None:
        yield Bound(PIVOT, "low", lowest, block.by, block.code)
    if highest is not None:
        yield Bound(PIVOT, "high", highest, block.by, block.code)


PART = Part("wall ends", 89, bounds=_bounds, bounds_at=_of_path)
