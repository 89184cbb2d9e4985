"""Where the strip of the spring lies above the bolt: its ends, its line at a travel of the bolt, what is in its way."""

import math
from dataclasses import dataclass

from core.geometry.path import Arc, Line, Path, Point, Segment, joined, polyline
from core.layout.frames import hand
from core.layout.layout import Layout
from core.mechanism.strip_shape import strip_height
from core.parts.bolt_contour import nose_face, top_edge
from core.parts.guide_places import front_guide, rear_guide
from core.parts.inner_wall import wall_left, wall_right
from core.parts.notches import detent, throw_of, tip_at
from core.parts.plate import far_from
from core.parts.strip import Strip, tip_radius

_PIECES = 12
"""Straight pieces that stand for the bent part of the strip in the drawing."""


def foot_way(layout: Layout) -> int:
    """Return on which side of the tip the foot is, in the drive frame: 1 to +x, -1 to -x."""
    way = 1 if layout.lock.spring.foot_side == "right" else -1
    return -way if hand(layout).mirrors else way


def ends(layout: Layout, made: Strip) -> tuple[float, float]:
    """Return the leftmost and rightmost place [mm] of the strip with its feet, drive frame."""
    tip, reach, foot = tip_at(layout), made.beam.length, layout.lock.spring.foot_length
    if made.beam.on_two_ends:
        return tip - reach / 2 - foot, tip + reach / 2 + foot
    end = tip + foot_way(layout) * (reach + foot)
    return min(tip, end), max(tip, end)


@dataclass(frozen=True)
class Spare:
    """How far [mm] something may yet move to -x and to +x before it meets a limit, in the drive frame."""

    left: float
    right: float = math.inf

    @property
    def least(self) -> float:
        """The lesser of the two; below 0 the limit is passed."""
        return min(self.left, self.right)


def wall_beside(layout: Layout, tip: float) -> tuple[float, float]:
    """Return how far [mm] from the centreline the inner wall is, to -x and to +x of a `tip` [mm], drive frame.

    At the heights that are kept for the spring.
    """
    line = layout.lock.bolt_line
    heights = line.height, line.height + max(line.spring_room, 1e-3)
    return far_from(wall_left(layout, *heights, tip)), far_from(wall_right(layout, *heights, tip))


def at_wall(layout: Layout, made: Strip) -> Spare:
    """Return how far the ends of the strip are from the inner wall, at the heights that are kept for the spring."""
    (left, right), walls = ends(layout, made), wall_beside(layout, tip_at(layout))
    return Spare(walls[0] + left, walls[1] - right)


def at_shackle(layout: Layout, made: Strip) -> Spare:
    """Return how far the strip is from the shackle's leg, which comes down on the locking side."""
    return Spare(ends(layout, made)[0] + nose_face(layout))


def at_guides(layout: Layout) -> Spare:
    """Return how far the tip is from the bridges of the guides."""
    tip, half = tip_at(layout), tip_radius(layout.lock)
    return Spare(tip + front_guide(layout).near - half, rear_guide(layout).near - tip - half)


def on_bolt(layout: Layout) -> Spare:
    """Return how far the tip is from the ends of the bolt's top edge, at the seat at which they are nearer."""
    (nose, tail), tip = top_edge(layout), tip_at(layout)
    return Spare(tip - throw_of(layout.lock) - nose, tail - tip)


def lifted(layout: Layout, travel: float) -> float:
    """Return how far [mm] above its rest in a notch the tip stands at a travel [mm]."""
    held = detent(layout)
    return 0.0 if held is None else held.lifted(min(max(travel, 0.0), held.throw))


def outline(layout: Layout, made: Strip, travel: float) -> tuple[Path, ...]:
    """Return the strip as it lies at a travel of the bolt [mm], as closed paths: strip and tip, drive frame."""
    tip, base = tip_at(layout), layout.lock.bolt_line.height + made.tip_height
    whole, lift = made.hang + made.drop, made.hang + lifted(layout, travel)
    across = made.beam.on_two_ends
    reach = made.beam.length / (2 if across else 1)
    left, right = ends(layout, made)

    def under(x: float) -> Point:
        along = 1 - min(abs(x - tip) / reach, 1.0)
        return x, base + strip_height(along, whole, lift, on_two_ends=across)

    way = foot_way(layout)
    begin, stop = (tip - reach, tip + reach) if across else sorted((tip, tip + way * reach))
    bent = [begin + (stop - begin) * k / (2 * _PIECES) for k in range(2 * _PIECES + 1)]
    places = [under(x) for x in dict.fromkeys((left, *bent, right))]
    thick = made.beam.thickness
    strip_path = polyline([*places, *((x, y + thick) for x, y in reversed(places))], closed=True)
    return strip_path, _tip_path(layout, tip, under(tip)[1], made)


def _tip_path(layout: Layout, x: float, under: float, made: Strip) -> Path:
    """Return the tip below a strip whose underside is at a height [mm] there, as a closed path, clockwise."""
    r, foot = tip_radius(layout.lock), under - made.tip_height
    centre = (x, foot + r)
    if layout.lock.spring.tip == "rolled":
        top = (x, foot + 2 * r)
        return Path((Arc(centre, r, top, (x, foot), "cw"), Arc(centre, r, (x, foot), top, "cw")))
    side = [(x + r, foot + r), (x - r, foot + r)]
    segments: list[Segment] = [
        Line((x - r, under), (x + r, under)),
        Line((x + r, under), side[0]),
        Arc(centre, r, side[0], side[1], "cw"),
        Line(side[1], (x - r, under)),
    ]
    return joined(segments)


def tip_on_bolt(layout: Layout) -> dict[str, float]:
    """Return by seat where the tip stands on the bolt's top edge [mm], from the tip of the nose along it."""
    (nose, _), tip = top_edge(layout), tip_at(layout)
    return {"locked": tip - nose, "unlocked": tip - throw_of(layout.lock) - nose}


def bend_in_degrees(made: Strip) -> float:
    """Return the angle by which the strip is bent before it is mounted [degrees]."""
    return math.degrees(made.bend)
