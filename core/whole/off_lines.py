"""Where each thing that came out off its line lies: the ends of what is measured on a made part and is in no plan.

In the drive frame [mm], the bolt at the locked seat: from the line to the metal as it came out.
"""

import math
from collections.abc import Callable, Mapping

from core.geometry.path import Point
from core.layout.extents import Ends
from core.layout.layout import Layout
from core.lock.as_fixed import ENDS, slot_paths
from core.lock.bit import Bit
from core.lock.facts import came_out
from core.parts.bolt_contour import body_sides, bolt
from core.parts.cut_sides import SIDES, Side
from core.parts.guide_places import Guide, front_guide, rear_guide
from core.parts.tooth import bit_filed, lobe, tooth


def _by(layout: Layout, path: str, at: Point, along: Point) -> Ends:
    """Return the line from a place as far as the value at a path [mm] goes along a direction of length 1."""
    value = came_out(layout.plan, path)
    return at, (at[0] + value * along[0], at[1] + value * along[1])


def _outwards(side: Side) -> float:
    return 1.0 if side == "unlocking" else -1.0


def _flank_at(layout: Layout, side: Side) -> Point:
    cut = tooth(layout)
    x = cut.pickup_offset if side == "unlocking" else -cut.flank
    return x, (cut.flank_foot + cut.relief_radius) / 2


def _flank(layout: Layout, side: Side) -> Ends:
    return _by(layout, f"as_cut.{side}_flank", _flank_at(layout, side), (_outwards(side), 0.0))


def _foot(layout: Layout, side: Side) -> Ends:
    at = _flank_at(layout, side)[0], tooth(layout).flank_foot
    return _by(layout, f"as_cut.{side}_foot", at, (0.0, 1.0))


def _relief(layout: Layout, side: Side) -> Ends:
    cut, out = tooth(layout), _outwards(side)
    x, y = lobe(layout).relief_end
    first, last = math.atan2(cut.flank, cut.flank_foot), math.atan2(x, y)
    along = (out * math.sin((first + last) / 2), math.cos((first + last) / 2))
    # as the relief is scribed: about the pivot, from the seat at which the bit passes this side
    centre = -cut.throw if side == "unlocking" else 0.0
    at = (centre + cut.relief_radius * along[0], cut.relief_radius * along[1])
    return _by(layout, f"as_cut.{side}_relief", at, along)


def _lobe(layout: Layout, side: Side) -> Ends:
    cut, sizes, (left, right) = tooth(layout), layout.lock.bolt, body_sides(layout)
    leg = sizes.tail_height if side == "unlocking" else sizes.nose_height
    # half way up what stands below the leg
    at = (right if side == "unlocking" else left), (cut.lower_edge + cut.bolt_line - leg) / 2
    return _by(layout, f"as_cut.{side}_lobe", at, (_outwards(side), 0.0))


def _roof(layout: Layout) -> Ends:
    cut = tooth(layout)
    at = (cut.pickup_offset - cut.flank) / 2, cut.relief_radius
    return _by(layout, "as_cut.roof", at, (0.0, 1.0))


def _nose(layout: Layout) -> Ends:
    at = bolt(layout).nose_tip, tooth(layout).bolt_line - layout.lock.bolt.nose_height / 2
    return _by(layout, "as_cut.nose", at, (-1.0, 0.0))


def _tail(layout: Layout) -> Ends:
    at = bolt(layout).tail_end, tooth(layout).bolt_line - layout.lock.bolt.tail_height / 2
    return _by(layout, "as_cut.tail", at, (1.0, 0.0))


def _bit(layout: Layout) -> Ends:
    # as the key is drawn, with its bit down; a third of the way from its tip, where it is seen
    return _by(layout, "bit.off_centre", (0.0, -2 / 3 * layout.lock.key.radius), (-1.0, 0.0))


def _corner(layout: Layout) -> Ends:
    # of the corner that pushes to unlock: from the middle of its arc outwards, half way between tip and face
    off = Bit(came_out(layout.plan, "bit.off_centre"), came_out(layout.plan, "bit.corners"))
    bit = bit_filed(layout.lock.key, off)
    (x, y), way = bit.middles[0], (bit.tip[1] + math.pi / 2) / 2
    return _by(layout, "bit.corners", (-x, -y), (-math.sin(way), -math.cos(way)))


def _slot(layout: Layout, guide: Guide, end: str) -> Ends:
    lock = layout.lock
    x = guide.side * (guide.near if end == "near" else guide.far)
    at = x, lock.bolt_line.height - guide.leg - lock.fit.slide_clearance
    return _by(layout, slot_paths(guide.table, end)[0], at, (0.0, 1.0))


def _roof_of_slot(layout: Layout, guide: Guide, end: str) -> Ends:
    lock, (floor, path) = layout.lock, slot_paths(guide.table, end)
    x = guide.side * (guide.near if end == "near" else guide.far)
    # over the floor as it came out
    roof = lock.bolt_line.height + lock.fit.slide_clearance + came_out(layout.plan, floor)
    return _by(layout, path, (x, roof), (0.0, -1.0))


def _of_guide(
    ends: Callable[[Layout, Guide, str], Ends], guide: Callable[[Layout], Guide], end: str
) -> Callable[[Layout], Ends]:
    return lambda layout: ends(layout, guide(layout), end)


def _of_side(ends: Callable[[Layout, Side], Ends], side: Side) -> Callable[[Layout], Ends]:
    return lambda layout: ends(layout, side)


OFF_LINES: Mapping[str, Callable[[Layout], Ends]] = {
    **{
        f"as_cut.{side}_{what}": _of_side(ends, side)
        for side in SIDES
        for what, ends in (("flank", _flank), ("foot", _foot), ("relief", _relief), ("lobe", _lobe))
    },
    **{
        path: _of_guide(ends, guide, end)
        for table, guide in (("front_guide", front_guide), ("rear_guide", rear_guide))
        for end in ENDS
        for path, ends in zip(slot_paths(table, end), (_slot, _roof_of_slot), strict=True)
    },
    "as_cut.roof": _roof,
    "as_cut.nose": _nose,
    "as_cut.tail": _tail,
    "bit.off_centre": _bit,
    "bit.corners": _corner,
}  # fmt: skip
"""The ends of each, by path."""
