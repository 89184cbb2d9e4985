"""What play costs: how far a bolt tilts between its guides, and how far a tilted or raised one is driven.

In the drive frame [mm], angles in radians anticlockwise; numbers, or arrays of shapes that broadcast to the result's.
"""

from core.mechanism.corner import carries
from core.mechanism.maths import N, maths


def tilt(leg: N, slide: N, span: N) -> N:
    """Return the angle [rad], any shape, by which a bolt can tilt between its guides.

    Of a `leg` [mm] high, `slide` [mm] of clearance above it and below, the guides' outer faces a `span` [mm] apart,
    any shape.

    Source: the leg's corners touch roof and floor of the slots, `(leg + 2 s) cos t - L sin t = leg`: the design's
    section on the shackle.
    Valid: for a span above 0.

    Example, from there, 6.2 in 46 for a leg of 6, 0.24904 degrees:
    >>> tilt(6.0, 0.1, 46.0) * 57.29578
    0.24904
    """
    of = maths(leg, slide, span)
    high = leg + 2 * slide
    return of.acos(leg / of.sqrt(high**2 + span**2)) - of.atan2(span, high)


def tilted_travel(radius: N, offset: N, foot: N, angle: N, middle: N, below: N) -> N:
    """Return how far [mm], any shape, a key drives a bolt that is tilted.

    The key's `radius` [mm], the flank's `offset` [mm] and the height of its `foot` [mm]; the bolt tilted by an `angle`
    [rad] about a place whose x is `middle` [mm], and so much `below` [mm] which the foot is; any shape.

    Source: plane geometry, to first order in the angle: the foot goes ahead by `angle x below` and up by `angle` times
    how far right of the middle it is when the key lets go.
    Valid: for small angles, where the key drives.

    Example, not tilted it is the driven travel of the design's check values, first row:
    >>> tilted_travel(20.0, 1.5, 15.0263, 0.0, 1.0, 4.0)
    11.6989
    """
    ahead, out = angle * below, offset + carries(radius, offset, foot)
    return carries(radius, offset + ahead, foot + angle * (out - middle))
