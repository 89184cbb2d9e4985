"""How the key leaves the bolt: what flank is left under the bit's corner when the detent takes over.

The law of motion lets the corner drive to the very foot of the flank. A filed edge is not that sharp: with the
foot rounded by r the corner is let go where it is r above the foot, and the detent must draw from there. So the
flank that is still under the corner when the detent begins to draw says how much rounding the drive bears.
"""

import math
from dataclasses import dataclass

import numpy as np

from core.layout.layout import Layout, derived
from core.parts.tooth import tooth
from core.turning.effort import drive
from core.turning.friction_table import friction_ranges
from core.whole import assembly

BROKEN_EDGE = 0.2
"""Rounding [mm] that a file leaves on an edge when the burr is taken off; common practice, no source."""
SOFTEST = 140.0
"""Yield [MPa] of brass C360 H02, the low end of its published range 140 to 310: the softest metal of a bolt."""


@dataclass(frozen=True)
class HandOver:
    """The unlocking stroke where the detent begins to draw, the locking stroke's mirror image.

    `angle` [rad]; `flank_left` [mm] of flank under the corner, 0 where the key lets go before; `pressure` [MPa]
    of the flank force at the high end of the lock's own friction over what is left, None where there is
    nothing left, or the bolt jams.
    """

    angle: float
    flank_left: float
    pressure: float | None


@derived
def hand_over(layout: Layout) -> HandOver | None:
    """Return how the key hands the bolt to the detent; None where the key drives nothing.

    The corner at a travel s stands at x = w0 + s on the key's circle, so `sqrt(R^2 - x^2)` high.
    """
    cut, lock = tooth(layout), layout.lock
    if not cut.drives:
        return None
    # the corner drives from top dead centre to the release; a detent that draws further changes nothing
    least = cut.radius * math.sin(max(cut.half_angle, 0.0))
    reach = cut.throw - lock.fit.detent_capture + cut.pickup_offset
    x = min(max(reach, least), cut.driven_travel + cut.pickup_offset)
    left = max(math.sqrt(max(cut.radius**2 - x * x, 0.0)) - cut.flank_foot, 0.0)
    angle = math.asin(min(x / cut.radius, 1.0)) - cut.half_angle
    angle = min(max(angle, -cut.pickup_angle), math.nextafter(cut.release_angle, -math.inf))
    mu = np.array([[friction_ranges(layout)[lock.friction.condition].high]])
    push = float(drive(layout, np.array([angle])).balance(mu, assembly.loads(layout)).push[0, 0])
    area = left * lock.bolt.thickness
    pressure = push / area if area > 0 and math.isfinite(push) else None
    return HandOver(angle, left, pressure)
