"""Workpieces made of shapely alone, and differences measured in another way than the program does.

The bolt is its blank less gap and relief, the plates are discs, boxes and complex arcs, the key a turning bit:
none of it comes from `core`. A depth is found by halving: the least widening of one area that covers the
other.
"""

import math

import numpy as np
import shapely
from shapely.geometry import Point, box
from shapely.geometry.base import BaseGeometry

from core.lock.lock import Lock
from tests.designs import numbers
from tests.plates import FINE, plate_polygon
from tests.test_bolt_contour import blank, gap


def bolt(lock: Lock) -> BaseGeometry:
    """Return a flat-roofed bolt with its top edge on y = 0, the middle of its gap at x = 0."""
    n = numbers(lock)
    area = blank(lock, n).difference(gap(lock, n, "flat"))
    middle = (n.offset - n.flank) / 2
    return shapely.transform(area, lambda q: q - np.array([middle, lock.bolt_line.height]))


def plate(lock: Lock) -> BaseGeometry:
    """Return a plate with its pivot hole, in the plate frame."""
    hole = Point(lock.pivot.across, -lock.pivot.below).buffer(lock.pivot.hole / 2, quad_segs=FINE)
    return plate_polygon(lock).difference(hole)


def key(lock: Lock) -> BaseGeometry:
    """Return shank and bit seen along the shank, the bit pointing up, round at its tip."""
    half, r = lock.key.bit_thickness / 2, lock.key.radius
    tip = Point(0, 0).buffer(r, quad_segs=FINE).intersection(box(-half, 0, half, r + 1))
    return tip.union(Point(0, 0).buffer(lock.key.shank / 2, quad_segs=FINE))


def guide(lock: Lock, table: str) -> BaseGeometry:
    """Return the floor of a guide from above its slot's floor at y = 0."""
    values = lock.front_guide if table == "front_guide" else lock.rear_guide
    return box(0, -values.floor, values.width, 0)


def shackle(lock: Lock) -> BaseGeometry:
    """Return the free end below the datum mark's height, less the eye or notch, in the drive frame."""
    sizes, slide = lock.shackle, lock.fit.slide_clearance
    sign = 1 if lock.unlocks == "right" else -1
    near = sign * sizes.across + sizes.diameter / 2
    line = lock.bolt_line.height - math.hypot(lock.pivot.across, lock.pivot.below)
    deep = sizes.diameter if sizes.catch == "eye" else sizes.engagement
    eye = box(near - deep, line - lock.bolt.nose_height - slide, near, line + slide)
    top = max(0.0, line + slide) + 1.0
    return box(near - sizes.diameter, line - sizes.drop, near, top).difference(eye)


SHAPES = {
    "back_plate": plate,
    "front_plate": plate,
    "key": key,
    "bolt": bolt,
    "front_guide": lambda lock: guide(lock, "front_guide"),
    "rear_guide": lambda lock: guide(lock, "rear_guide"),
    "shackle": shackle,
}


def moved(area: BaseGeometry, dx: float) -> BaseGeometry:
    """Return `area` moved along x [mm]."""
    return shapely.transform(area, lambda q: q + np.array([dx, 0.0]))


def depth(area: BaseGeometry, other: BaseGeometry) -> float:
    """Return the greatest distance [mm] of a point of `area` from `other`, by halving to 1e-4."""
    rest = area.difference(other)
    if rest.area < 1e-9:
        return 0.0
    for reach in (1.0, 50.0):
        # only what lies within reach can cover it
        near = other.intersection(box(*rest.buffer(2 * reach).bounds))
        if rest.difference(near.buffer(reach, quad_segs=64)).area < 1e-9:
            break
    low, high = 0.0, reach
    while high - low > 1e-4:
        middle = (low + high) / 2
        covered = rest.difference(near.buffer(middle, quad_segs=64)).area < 1e-9
        low, high = (low, middle) if covered else (middle, high)
    return high
