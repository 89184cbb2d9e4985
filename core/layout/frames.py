"""The three frames, and how to get from one to another.

*Plate frame*: origin at the datum mark, x to the right, y up. *Mechanism frame*: origin at the pivot, y up the
centreline towards the datum mark. *Drive frame*: the mechanism frame, mirrored in x for a lock that unlocks to
the left, so that the bolt always unlocks to +x; everything is worked out there. All are seen from
inside the back plate.
"""

import math

from core.geometry.motion import MIRROR, Motion
from core.layout.layout import Layout, derived


def centreline_frame(across: float, below: float) -> Motion:
    """Return the motion from the plate frame to the mechanism frame of a pivot there [mm]."""
    span = math.hypot(across, below)
    # the centreline's direction is u = (-across, below) / span, and +x is u turned clockwise
    ux, uy = -across / span, below / span
    return Motion(uy, -ux, ux, uy, -(uy * across + ux * below), -(ux * across - uy * below))


@derived
def to_mechanism(layout: Layout) -> Motion:
    """Return the motion from the plate frame to the mechanism frame."""
    pivot = layout.lock.pivot
    return centreline_frame(pivot.across, pivot.below)


@derived
def hand(layout: Layout) -> Motion:
    """Return the motion between mechanism and drive frame, the same both ways."""
    return MIRROR if layout.lock.unlocks == "left" else Motion()


@derived
def to_drive(layout: Layout) -> Motion:
    """Return the motion from the plate frame to the drive frame."""
    return to_mechanism(layout).then(hand(layout))


@derived
def to_plate(layout: Layout) -> Motion:
    """Return the motion from the mechanism frame to the plate frame."""
    return to_mechanism(layout).inverse()
