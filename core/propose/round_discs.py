"""What limits posts, and whatever else goes through both plates, in many locks at a time, as `core.propose.limits`.

The discs stand where they stand in the one lock, in its mechanism frame; what is about them differs. What needs a
closed form of the bolt is a box with its lower corners cut back as the lobes' chamfer is: never more than the bolt.
"""

import math
from collections.abc import Iterator

import numpy as np

from core.layout.frames import centreline_frame, hand
from core.layout.layout import Layout
from core.mechanism.maths import Array
from core.mechanism.tooth_numbers import SLACK
from core.parts import free_room
from core.parts.discs import Disc, discs
from core.parts.free_room import code_of, plate_outside
from core.propose.limits import Limit
from core.propose.locks import Locks

_ABOVE = 1e3
"""Height [mm] that stands for beyond any plate."""


def round_discs(locks: Locks) -> Iterator[Limit]:
    """Yield what each disc of the locks is to be clear of, but for the other discs."""
    for disc in discs(Layout(locks.lock)):
        for family, what, spare in (
            (free_room.IN_KEY_CIRCLE, "the key", _from_key(locks, disc)),
            (free_room.IN_BOLT, "the bolt", _from_bolt(locks, disc)),
            (free_room.IN_SHACKLE, "the shackle", _from_shackle(locks, disc)),
            (free_room.IN_FRONT_GUIDE, "the front guide", _from_guide(locks, disc, "front")),
            (free_room.IN_REAR_GUIDE, "the rear guide", _from_guide(locks, disc, "rear")),
            (free_room.OUTSIDE_WALL, "the wall", _from_wall(locks, disc)),
        ):
            code = code_of(family, disc.kind).about(disc.name)
            yield Limit(code, f"{disc.title} at {what}", spare - disc.radius)


def _from_key(locks: Locks, disc: Disc) -> Array:
    return math.hypot(*disc.at) - locks.relief


def _from_bolt(locks: Locks, disc: Disc) -> Array:
    """Return how much farther than the slide clearance [mm] a disc is from all that the bolt runs over, shape (n,)."""
    (left, right), (nose, tail), line = locks.body, locks.legs, locks.line
    lobe, throw = locks.lobes, locks.throw
    # where the relief runs out at the side of a lobe, the side ends there
    ends = lobe.relieved & (lobe.far <= lobe.meets)
    low = np.where(ends, lobe.relief_end[1], locks.teeth.lower_edge)
    # a chamfer is on the gap's side of a lobe: the outer corners stay square
    boxes = [
        _from_box(disc, left, low, right + throw, line),
        _from_box(disc, nose, line - locks.at("bolt.nose_height"), right + throw, line),
        _from_box(disc, left, line - locks.at("bolt.tail_height"), tail + throw, line),
    ]
    away = np.min(boxes, axis=0) - locks.at("fit.slide_clearance")
    key = _from_key(locks, disc)
    # inside the key's circle the bolt has its gap, and the key says it all
    found: Array = np.where(key < 0, np.maximum(away, key), away)
    return found


def _from_shackle(locks: Locks, disc: Disc) -> Array:
    outer = -locks.face - locks.at("shackle.diameter")
    low, top = locks.line - locks.at("shackle.drop"), np.full(locks.count, _ABOVE)
    return _from_box(disc, outer, low, -locks.face, top)


def _from_guide(locks: Locks, disc: Disc, which: str) -> Array:
    slide, line = locks.at("fit.slide_clearance"), locks.line
    leg = locks.at("bolt.nose_height" if which == "front" else "bolt.tail_height")
    near = locks.at(f"{which}_guide.from_centreline")
    far = near + locks.at(f"{which}_guide.width")
    bottom = line - leg - slide - locks.at(f"{which}_guide.floor")
    ends = (-far, -near) if which == "front" else (near, far)
    return _from_box(disc, ends[0], bottom, ends[1], line + slide)


def _from_wall(locks: Locks, disc: Disc) -> Array:
    """Return how much farther than the rim [mm] the middle of a disc is from the plate's edge, shape (n,)."""
    pivots, back = np.unique(
        np.stack([locks.at("pivot.across"), locks.at("pivot.below")]), axis=1, return_inverse=True
    )
    place = hand(Layout(locks.lock)).point(disc.at)
    points = [centreline_frame(*map(float, one)).inverse().point(place) for one in pivots.T]
    away = plate_outside(Layout(locks.lock)).distance(np.array(points))
    found: Array = away[back.reshape(-1)] - locks.lock.plate.rim
    return found


def _from_box(disc: Disc, x0: Array, y0: Array, x1: Array, y1: Array) -> Array:
    """Return how far [mm] the middle of a disc is from boxes, shape (n,); negative inside, infinite from none."""
    x, y = disc.at
    beside, above = np.maximum(x0 - x, x - x1), np.maximum(y0 - y, y - y1)
    outside = np.hypot(np.maximum(beside, 0.0), np.maximum(above, 0.0))
    away = np.where((beside > 0) | (above > 0), outside, np.maximum(beside, above))
    return np.where((x1 - x0 > SLACK) & (y1 - y0 > SLACK), away, np.inf)
