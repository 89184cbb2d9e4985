"""Ends of the windows of sizes: guides, legs, lobes, the shackle's end, and the clearance in the guides.

Each is what a stop's own number says, solved for that size; whatever part finds it.
"""

import math
from collections.abc import Iterable

from core.layout.codes import Code
from core.layout.layout import Layout
from core.layout.windows import Bound
from core.mechanism.tooth_numbers import SLACK
from core.parts.bolt import NOSE_TOO_SHORT
from core.parts.bolt_contour import body_sides, bolt, nose_face, top_edge
from core.parts.bolt_line import SPRING_ROOM
from core.parts.detent_limits import NOTCH_TOO_DEEP
from core.parts.guide_places import (
    Guide,
    body_reach,
    front_guide,
    rear_guide,
    tail_room,
    wall_room,
)
from core.parts.guides import (
    AT_BODY,
    FRONT_GUIDE_AT_SHACKLE,
    IN_KEY_CIRCLE,
    NOSE_LEAVES_GUIDE,
    OUTSIDE_WALL,
    TAIL_HITS_WALL,
)
from core.parts.inner_wall import wall_down, wall_left, wall_right, wall_up
from core.parts.notches import places, tip_at
from core.parts.plate import far_from
from core.parts.shackle import IN_KEY_CIRCLE as SHACKLE_IN_KEY_CIRCLE
from core.parts.shackle import OUTSIDE_WALL as SHACKLE_OUTSIDE_WALL
from core.parts.spring_limits import SPRING_AT_SHACKLE, SPRING_OFF_BOLT
from core.parts.strip import notch, strip
from core.parts.strip_place import ends
from core.parts.tooth import tooth

_WALL, _CIRCLE, _BODY = "the inner wall", "the key's circle", "the bolt's body with its clearance"
_TAIL, _SHACKLE = "the tail at the inner wall, drawn back", "the shackle's near face"


def _high(path: str, value: float, by: str, code: Code) -> Bound:
    return Bound(path, "high", value, by, code)


def size_bounds(layout: Layout) -> Iterable[Bound]:
    """Yield the greatest of every size of guides, legs, lobes and shackle's end, and of the slide clearance."""
    for guide, leg in ((front_guide(layout), "nose"), (rear_guide(layout), "tail")):
        yield from _of_guide(layout, guide, leg)
    yield from _of_tail(layout)
    yield from _below_notches(layout)
    yield from _of_lobes(layout)
    yield from _of_shackle(layout)


def _of_guide(layout: Layout, guide: Guide, leg: str) -> Iterable[Bound]:
    slide, near, values = layout.lock.fit.slide_clearance, guide.near, guide.values
    clearance, width = "fit.slide_clearance", f"{guide.table}.width"
    outside, circle = OUTSIDE_WALL.of(guide.name), IN_KEY_CIRCLE.of(guide.name)
    yield _high(width, wall_room(layout, guide) + values.width - near, _WALL, outside)
    spare = near - body_reach(layout, guide)
    yield _high(
        "bolt.lobe_width", layout.lock.bolt.lobe_width + spare, _BODY, AT_BODY.of(guide.name)
    )
    yield _high(clearance, slide + spare, _BODY, AT_BODY.of(guide.name))
    if guide.side < 0:
        room = nose_face(layout) - near - values.width
        yield _high(width, values.width + room - slide, _SHACKLE, FRONT_GUIDE_AT_SHACKLE)
        yield _high(clearance, room, _SHACKLE, FRONT_GUIDE_AT_SHACKLE)
    else:
        spare = tail_room(layout) - near
        yield _high(width, values.width + spare, _TAIL, TAIL_HITS_WALL)
        yield _high(clearance, slide + spare, _TAIL, TAIL_HITS_WALL)
    # what the floor may yet come down by, and the leg and the clearance above it with it
    x0, x1 = guide.side * near, guide.side * guide.far
    wall = wall_down(layout, x0, x1, guide.top - slide)
    # without a wall below, or any plate, no size is small enough
    lowest = [(guide.bottom - wall if wall is not None else -guide.top, _WALL, outside)]
    relief = tooth(layout).relief_radius
    if near < relief:
        lowest.append((guide.bottom - math.sqrt(relief**2 - near**2), _CIRCLE, circle))
    for spare, by, code in lowest:
        yield _high(f"{guide.table}.floor", max(values.floor + spare, 0.0), by, code)
        yield _high(f"bolt.{leg}_height", max(guide.leg + spare, 0.0), by, code)
        yield _high(clearance, max(slide + spare, 0.0), by, code)
    above = wall_up(layout, x0, x1, guide.top - slide)
    yield _high(clearance, far_from(above) - layout.lock.bolt_line.height, _WALL, outside)


def _below_notches(layout: Layout) -> Iterable[Bound]:
    """Yield the least of each leg that a notch stands over."""
    cut = notch(layout)
    if cut is None:
        return
    (nose, tail), (left, right) = top_edge(layout), body_sides(layout)
    for leg, begin, end in (("nose", nose, left), ("tail", right, tail)):
        over = any(
            at + cut.half_width > begin and at - cut.half_width < end for _, at in places(layout)
        )
        if over:
            least = cut.foot + layout.lock.fit.bridge_min
            yield Bound(
                f"bolt.{leg}_height", "low", least, "the metal below a notch", NOTCH_TOO_DEEP
            )


def _of_tail(layout: Layout) -> Iterable[Bound]:
    guide, slide = rear_guide(layout), layout.lock.fit.slide_clearance
    line = layout.lock.bolt_line.height
    wall = wall_down(layout, guide.near, guide.far + tooth(layout).throw + slide, line)
    if wall is not None:
        yield _high("bolt.tail_height", line - wall, _TAIL, TAIL_HITS_WALL)


def _of_lobes(layout: Layout) -> Iterable[Bound]:
    lock, cut, made = layout.lock, tooth(layout), bolt(layout)
    line, lobe = lock.bolt_line, lock.bolt.lobe_width
    heights = line.height, line.height + max(line.spring_room, SLACK)
    left = far_from(wall_left(layout, *heights, 0.0)) + made.left
    right = far_from(wall_right(layout, *heights, 0.0)) - made.right - cut.throw
    by = "the spring room under the inner wall"
    yield _high("bolt.lobe_width", lobe + min(left, right), by, SPRING_ROOM)
    reach = nose_face(layout) + lock.shackle.engagement + made.left
    yield _high("bolt.lobe_width", lobe + reach, "the end of the nose", NOSE_TOO_SHORT)


def _of_shackle(layout: Layout) -> Iterable[Bound]:
    lock, face, guide = layout.lock, nose_face(layout), front_guide(layout)
    shackle, line, path = lock.shackle, lock.bolt_line.height, "shackle.diameter"
    across, low = face + shackle.diameter / 2, line - shackle.drop

    def at_face(least: float, by: str, code: Code) -> Bound:
        """Return the greatest end across whose near face is no nearer than `least` [mm]."""
        return _high(path, 2 * (across - least), by, code)

    yield at_face(guide.far + lock.fit.slide_clearance, "the front guide", FRONT_GUIDE_AT_SHACKLE)
    yield at_face(guide.near + shackle.gap + SLACK, "the nose, drawn back", NOSE_LEAVES_GUIDE)
    square = tooth(layout).relief_radius ** 2 - max(low, 0.0) ** 2
    if square > 0:
        yield at_face(math.sqrt(square), _CIRCLE, SHACKLE_IN_KEY_CIRCLE)
    made, tip = strip(layout), tip_at(layout)
    if made is not None:
        yield at_face(-ends(layout, made)[0], "the end of the strip", SPRING_AT_SHACKLE)
    yield at_face(shackle.gap - tip, "the spring's tip on the bolt", SPRING_OFF_BOLT)
    wall = far_from(wall_left(layout, low, line, across))
    yield _high(path, 2 * (wall - across), _WALL, SHACKLE_OUTSIDE_WALL)
    yield at_face(-bolt(layout).left - shackle.engagement, "the end of the nose", NOSE_TOO_SHORT)
