"""Where the two guides stand, and how near bolt, key, wall and shackle let them come."""

import math
from dataclasses import dataclass

from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from core.geometry.path import Point
from core.geometry.polygons import rectangle
from core.layout.layout import Layout, derived
from core.lock.sections import Guide as GuideValues
from core.parts.bolt_contour import body_sides, bolt, nose_face
from core.parts.bolt_lies import channels, leg_in, lies, slot_of
from core.parts.inner_wall import wall_down, wall_left, wall_right
from core.parts.plate import far_from, inner
from core.parts.tooth import made_for, tooth


@dataclass(frozen=True)
class Guide:
    """One guide in the drive frame [mm]: `side` is -1 for the front, +1 for the rear; `leg` how high its leg is."""

    name: str
    table: str
    side: int
    values: GuideValues
    leg: float
    top: float
    bottom: float
    ups: tuple[float, float] = (0.0, 0.0)
    """How much too high its slot stands at its near and at its outer face; `top` and `bottom` are the ends of all."""

    @property
    def near(self) -> float:
        """Distance of its face nearer the centreline."""
        return self.values.from_centreline

    @property
    def far(self) -> float:
        """Distance of its outer face."""
        return self.values.from_centreline + self.values.width

    @property
    def area(self) -> BaseGeometry:
        """The guide as an area, the slot for the leg counted as metal."""
        if self.ups == (0.0, 0.0):
            return rectangle(self.side * self.near, self.bottom, self.side * self.far, self.top)
        return Polygon(self.corners)

    @property
    def corners(self) -> tuple[Point, Point, Point, Point]:
        """Its corners: near and outer at the top, outer and near at the foot; as it stands, faces upright."""
        near, outer = (up - max(self.ups) for up in self.ups)
        low, deep = (up - min(self.ups) for up in self.ups)
        x, far = self.side * self.near, self.side * self.far
        return (
            (x, self.top + near), (far, self.top + outer), (far, self.bottom + deep), (x, self.bottom + low)
        )  # fmt: skip

    @property
    def slot(self) -> float:
        """Height of the floor of its slot, where that is highest."""
        return self.bottom - min(self.ups) + self.values.floor + max(self.ups)

    @property
    def nearest_height(self) -> float:
        """How near to the pivot's level its inner face comes."""
        (_, top), *_, (_, foot) = self.corners
        return max(foot, -top, 0.0)


@derived
def front_guide(layout: Layout) -> Guide:
    """Return the guide that carries the nose."""
    lock = layout.lock
    return _guide(layout, "front guide", "front_guide", -1, lock.front_guide)


@derived
def rear_guide(layout: Layout) -> Guide:
    """Return the guide that carries the tail."""
    lock = layout.lock
    return _guide(layout, "rear guide", "rear_guide", 1, lock.rear_guide)


def _guide(layout: Layout, name: str, table: str, side: int, values: GuideValues) -> Guide:
    line, cut_as = layout.lock.bolt_line.height, slot_of(layout, table)
    slide, deep = cut_as.fit.slide_clearance, leg_in(cut_as, table)
    ups = channels(layout)[0 if side < 0 else 1].ups
    top, bottom = line + slide + max(ups), line - deep - slide - values.floor + min(ups)
    return Guide(name, table, side, values, leg_in(layout.lock, table), top, bottom, ups)


def kept_clear(layout: Layout) -> float:
    """Return how far [mm] the bolt is to keep from what stands beside its way: one that is made is not to touch it."""
    return 0.0 if "bolt" in layout.metal else layout.lock.fit.slide_clearance


def body_reach(layout: Layout, guide: Guide) -> float:
    """Return how far [mm] the bolt's body comes towards a guide, with what it is to keep from it."""
    left, right = body_sides(made_for(layout) or layout)
    body = -left if guide.side < 0 else right + tooth(layout).throw
    return body + _leans_over(layout, guide) + kept_clear(layout)


def _leans_over(layout: Layout, guide: Guide) -> float:
    """Return how much farther [mm] towards a guide a tilted body comes, beside the metal under its slot."""
    lean = guide.side * lies(layout).line.slope
    own = (made_for(layout) or layout).lock.bolt
    depths = (
        guide.leg,
        min(guide.leg + layout.lock.fit.slide_clearance + guide.values.floor, own.depth),
    )
    return max(lean * depth for depth in depths)


def circle_reach(layout: Layout, guide: Guide) -> float:
    """Return how far [mm] from the centreline the key's circle with clearance reaches beside a guide."""
    radius = tooth(layout).relief_radius
    reach = math.sqrt(max(radius**2 - guide.nearest_height**2, 0.0))
    foot = guide.corners[3][1], guide.corners[2][1]
    if foot[1] < foot[0] and foot[1] > 0:
        # its underside comes down towards the outside, and may come into the circle there first
        run = (foot[0] - foot[1]) / guide.values.width
        looked = {foot[1], min(max(radius / math.hypot(1.0, run), foot[1]), foot[0])}
        for y in looked:
            out = math.sqrt(max(radius**2 - y**2, 0.0)) - (foot[0] - y) / run
            reach = max(reach, out)
    return reach


def nose_left_in_guide(layout: Layout) -> float:
    """Return how much [mm] of the nose is still in the front guide at the unlocked seat."""
    guide = front_guide(layout)
    return nose_face(layout) - layout.lock.shackle.gap - guide.near


def tail_room(layout: Layout) -> float:
    """Return the greatest distance [mm] of the rear guide at which the drawn-back tail clears the wall."""
    lock, cut = layout.lock, tooth(layout)
    wall = wall_right(
        layout,
        cut.bolt_line - lock.bolt.tail_height,
        cut.bolt_line,
        lock.rear_guide.from_centreline,
    )
    beyond = lock.rear_guide.width
    if "bolt" in layout.metal:
        beyond = bolt(layout).tail_end - lock.rear_guide.from_centreline
    return far_from(wall) - kept_clear(layout) - cut.throw - beyond


def wall_room(layout: Layout, guide: Guide) -> float:
    """Return the greatest distance [mm] from the centreline at which the guide is inside the inner wall."""
    look = wall_right if guide.side > 0 else wall_left
    return far_from(look(layout, guide.bottom, guide.top, guide.near)) - guide.values.width


def lowest(layout: Layout, guide: Guide) -> float:
    """Return the height [mm] above the pivot to which the underside of a guide may come down at the least.

    As it stands where no wall is in its way; where there is no plate below it another finding says so.
    """
    if inner(layout).covers(guide.area):
        return guide.bottom
    left, right = guide.side * guide.near, guide.side * guide.far
    wall = wall_down(layout, left, right, guide.top - layout.lock.fit.slide_clearance)
    return guide.bottom if wall is None else max(wall, guide.bottom)
