"""How the key of a lock leaves its bolt to the detent, and how hard it presses on the flank that is left."""

import math
from dataclasses import dataclass

import numpy as np

from core.layout.layout import Layout, derived
from core.mechanism.takeover import takeover
from core.parts.friction import friction_ranges
from core.parts.notches import reach
from core.parts.tooth import tooth
from core.turning.effort import drive
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
    """Return how the key hands the bolt to the detent; None where the key drives nothing."""
    cut, lock = tooth(layout), layout.lock
    if not cut.drives:
        return None
    left = takeover(cut, reach(layout))
    mu = np.array([[friction_ranges(layout)[lock.friction.condition].high]])
    push = float(
        drive(layout, np.array([left.angle])).balance(mu, assembly.loads(layout)).push[0, 0]
    )
    area = left.flank_left * lock.bolt.thickness
    pressure = push / area if area > 0 and math.isfinite(push) else None
    return HandOver(left.angle, left.flank_left, pressure)
