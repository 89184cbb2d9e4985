"""Whether the bit comes by a scribed roof: two compass arcs that meet in a low cusp over the middle of the gap.

Exact, where the turn check with its chords could overlook a corner that scrapes by less than a thousandth.
"""

import math

import numpy as np

from core.mechanism.after_release import Course
from core.mechanism.maths import Array, distinct

SCRAPE = 1e-6
"""Depth [mm] that passes for touching."""
_STEP = math.radians(0.02)


def scraped(course: Course) -> tuple[float, float]:
    """Return how deep [mm] the bit cuts into a scribed roof on its `course`, and at which key angle [rad] of unlocking.

    Locking is the mirror image. 0 or less: it comes by.

    Source: seen from the bolt, the roof to the right of the cusp is the relief's circle about the pivot at the locked
    seat, to the left of it that at the unlocked seat. Looked at are both corners of the bit against the arc they
    stand under, and the cusp against the bit, every 0.02 degrees.
    Valid: for a single tooth whose cusp is above the flanks' feet.

    Example, the design's check values, first row: the corner under its own flank is a clearance from the roof:
    >>> from core.mechanism.lobe import Lobe
    >>> from core.mechanism.tooth_numbers import tooth_from
    >>> cut = tooth_from(radius=20.0, bit=3.0, clearance=0.2, throw=12.0, pickup_angle=0.0, bolt_line=24.0, depth=14.0)
    >>> round(scraped(Course(cut, Lobe(cut, 6.5), capture=1.0))[0], 3) <= -0.1
    True
    """
    cut = course.tooth
    angles = np.arange(-math.pi / 2, math.pi / 2, _STEP)
    angles = distinct(np.concatenate([angles, course.corners]))
    moved = np.asarray(course.travel(angles))
    deep = _cusp(course, angles, moved)
    for side in (-1, 1):
        turned = angles + side * cut.half_angle
        x, y = cut.radius * np.sin(turned) - moved, cut.radius * np.cos(turned)
        centre = np.where(x > -cut.throw / 2, 0.0, -cut.throw)
        under = (x > -cut.flank) & (x < cut.pickup_offset) & (y > 0)
        outside = np.hypot(x - centre, y) - cut.relief_radius
        deep = np.maximum(deep, np.where(under, outside, -np.inf))
    worst = int(np.argmax(deep))
    return float(deep[worst]), float(angles[worst])


def _cusp(course: Course, angles: Array, moved: Array) -> Array:
    """Return how deep [mm] the cusp stands inside the bit, shape (n,); negative outside it."""
    cut = course.tooth
    x = moved - cut.throw / 2
    y = math.sqrt(max(cut.relief_radius**2 - cut.throw**2 / 4, 0.0))
    across = np.abs(x * np.cos(angles) - y * np.sin(angles))
    return np.minimum(cut.radius - np.hypot(x, y), cut.half_bit - across)
