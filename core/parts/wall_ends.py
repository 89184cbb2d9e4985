"""The bolt inside the inner wall at both seats, and the ends that the wall sets as pivot or bolt line move.

Those ends are set above and below guides, tail, nose and body of the bolt, and the shackle's end.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from shapely.affinity import translate

from core.geometry.secant import zero_near
from core.layout.codes import Code
from core.layout.findings import Finding
from core.layout.layout import Layout
from core.layout.part import Part
from core.layout.windows import Bound
from core.parts.bolt_contour import body_sides, bolt_area, nose_face, top_edge
from core.parts.guide_places import front_guide, rear_guide
from core.parts.guides import OUTSIDE_WALL, TAIL_HITS_WALL
from core.parts.inner_wall import DOWN, UP, Reaches, wall_from
from core.parts.plate import beyond_wall
from core.parts.shackle import OUTSIDE_WALL as SHACKLE_OUTSIDE_WALL
from core.parts.spring_limits import SPRING_OUTSIDE_WALL
from core.parts.strip import strip
from core.parts.strip_place import ends
from core.parts.tooth import tooth

BOLT_OUTSIDE_WALL = Code(
    "bolt-outside-wall", "stop", "bolt",
    "At one of its seats part of the bolt would lie in the rim or off the plate.",
)  # fmt: skip
PIVOT = "pivot.below"
LINE = "bolt_line.height"
_HAIR = 1e-9
"""Less of the bolt [mm2] than this outside the wall is rounding."""
_CORNER = 0.1
"""Up to so much of it [mm2] outside is a corner, and no area that is worth a figure."""
TAIL = "bolt.tail_height"
PATHS = (LINE, PIVOT, TAIL)
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

    def above(self, wall: Reaches) -> float | None:
        """Return the room [mm] that the `wall` leaves above it; None where that misses it."""
        at = (self.low + self.high) / 2
        room = wall(UP, self.left, self.right, at)
        return None if room is None else room - self.high

    def below(self, wall: Reaches) -> float | None:
        """Return the room [mm] that the `wall` leaves below it; None where that misses it."""
        at = (self.low + self.high) / 2
        room = wall(DOWN, -self.right, -self.left, -at)
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


def _of_bolt(layout: Layout) -> Iterable[_Block]:
    """Yield the bolt as it goes from seat to seat: the bar along its top edge, the nose, and the body."""
    lock, cut = layout.lock, tooth(layout)
    (tip, tail), (left, right) = top_edge(layout), body_sides(layout)
    line, code = lock.bolt_line.height, BOLT_OUTSIDE_WALL
    nose = line - lock.bolt.nose_height
    # as high as the plate's wall may cut in beside it, so that what is above the bar counts, and no more
    bar = max(nose, line - lock.bolt.tail_height)
    yield _Block(tip, tail + cut.throw, bar, line, "the bolt's top edge at the inner wall", code)
    yield _Block(tip, left, nose, line, "the nose at the inner wall", code)
    yield _Block(
        left, right + cut.throw, cut.lower_edge, line, "the bolt's body at the inner wall", code
    )


def _findings(layout: Layout) -> Iterable[Finding]:
    for seat, travel in (("locked", 0.0), ("unlocked", tooth(layout).throw)):
        over = beyond_wall(layout, translate(bolt_area(layout), travel))
        if over > _HAIR:
            reaches = f"the bolt reaches {layout.show_area(over, 1)}"
            told = reaches if over > _CORNER else "a corner of the bolt reaches just"
            yield BOLT_OUTSIDE_WALL.found(
                f"At the {seat} seat {told} outside the inner wall.", over, 0.0
            )
            return


def _bounds(layout: Layout) -> Iterable[Bound]:
    return (bound for path in PATHS for bound in _of_path(layout, path))


def _of_path(layout: Layout, path: str) -> Iterable[Bound]:
    if path == PIVOT:
        wall = wall_from(layout)
        for block in (*_blocks(layout), *_of_bolt(layout)):
            if block.above(wall) is not None and block.below(wall) is not None:
                yield from _of_pivot(layout, block)
    elif path == LINE:
        yield from _of_line(layout)
    elif path == TAIL:
        yield from _of_tail(layout)


def _of_line(layout: Layout) -> Iterable[Bound]:
    """Yield the ends of the bolt line's height: all that hangs on it is carried up and down with it."""
    line, wall = layout.lock.bolt_line.height, wall_from(layout)
    bar, nose, _ = _of_bolt(layout)
    for block in (*_blocks(layout), bar, nose):
        above, below = block.above(wall), block.below(wall)
        if above is not None and below is not None:
            yield Bound(LINE, "high", line + above, block.by, block.code)
            yield Bound(LINE, "low", line - below, block.by, block.code)


def _of_tail(layout: Layout) -> Iterable[Bound]:
    """Yield how far the tail may hang down, locked and drawn back."""
    lock, (_, right), (_, end) = layout.lock, body_sides(layout), top_edge(layout)
    line, tail, by = lock.bolt_line.height, lock.bolt.tail_height, "the tail at the inner wall"
    for back in (0.0, tooth(layout).throw):
        hung = _Block(right + back, end + back, line - tail, line, by, BOLT_OUTSIDE_WALL)
        below = hung.below(wall_from(layout))
        if below is not None:
            yield Bound(TAIL, "high", tail + below, hung.by, hung.code)


def _of_pivot(layout: Layout, block: _Block) -> Iterable[Bound]:
    """Yield the ends of the pivot's place: off the mark's upright the centreline turns as it moves, so by secants."""
    pivot = layout.lock.pivot

    def above(below: float) -> float | None:
        return block.above(wall_from(layout, below)) if below > 0 else None

    def under(below: float) -> float | None:
        return block.below(wall_from(layout, below)) if below > 0 else None

    lowest, highest = zero_near(above, pivot.below, 1.0), zero_near(under, pivot.below, -1.0)
    if lowest is not None:
        yield Bound(PIVOT, "low", lowest, block.by, block.code)
    if highest is not None:
        yield Bound(PIVOT, "high", highest, block.by, block.code)


PART = Part(
    "wall ends",
    89,
    codes=(BOLT_OUTSIDE_WALL,),
    findings=_findings,
    bounds=_bounds,
    bounds_at=_of_path,
)
