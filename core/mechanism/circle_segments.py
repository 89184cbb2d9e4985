"""Segments of circles: chords, heights and areas, and what a hole or a notch leaves of a round bar.

Lengths in mm, areas in mm2; numbers, or arrays of shapes that broadcast to the result's.
"""

from core.mechanism.corner import half_chord
from core.mechanism.maths import N, maths


def chord(radius: N, height: N) -> N:
    """Return the chord [mm], any shape, of a segment of a `height` [mm] in a circle of a `radius` [mm], any shape.

    Source: `2 sqrt(h (2 r - h))`: Machinery's Handbook, 31st ed., segment of a circle, p. 79.
    Valid: for heights from 0 to 2 r; 0 beyond.

    Example, from there, 29.93 rounded and twice, and p. 50, depth 2 in a circle of radius 12:
    >>> import numpy as np
    >>> round(chord(60.0, 8.0), 1), chord(np.array([60.0, 12.0]), np.array([8.0, 2.0])).round(2).tolist()
    (59.9, [59.87, 13.27])
    """
    return 2 * half_chord(radius, radius - height)


def radius_of(chord: N, height: N) -> N:
    """Return the radius [mm], any shape, of the circle that a segment belongs to.

    Of a `chord` [mm] and a `height` [mm], any shape.

    Source: `(c^2 + 4 h^2) / (8 h)`: Machinery's Handbook, 31st ed., segment of a circle, p. 79.
    Valid: for a height above 0.

    Example, from there, chord 16 and height 6 give 8 1/3:
    >>> radius_of(16.0, 6.0)
    8.33333
    """
    return (chord**2 + 4 * height**2) / (8 * height)


def segment_area(radius: N, height: N) -> N:
    """Return the area [mm2], any shape, of a segment of a `height` [mm] in a circle of a `radius` [mm], any shape.

    Source: `r^2 acos((r - h)/r) - (r - h) sqrt(h (2 r - h))`: Machinery's Handbook, 31st ed., p. 83.
    Valid: for heights from 0 to 2 r; nothing below, the whole circle beyond. A radius above 0.

    Example, 120 degrees in radius 1, area .6142, Machinery's Handbook, segments for radius 1 (memory):
    >>> segment_area(1.0, 0.5)
    0.6142
    """
    beyond = radius - height
    angle = maths(radius, height).acos(beyond / radius)
    return radius**2 * angle - beyond * half_chord(radius, beyond)


def eye_area(radius: N, width: N) -> N:
    """Return what a slot leaves [mm2], any shape, of a round section: two segments.

    Of a `radius` [mm], the slot of a `width` [mm] through the middle, any shape.

    Source: two segments, `segment_area`.
    Valid: for a slot from 0 to 2 r wide.

    Example, the eye of the design's shackle, r 3.5 and 1.6 to either side of the middle:
    >>> eye_area(3.5, 3.2)
    16.891
    """
    return 2 * segment_area(radius, radius - width / 2)


def notch_area(radius: N, depth: N) -> N:
    """Return what a notch across the bar leaves [mm2], any shape, of a round section.

    Of a `radius` [mm], the notch of a `depth` [mm], any shape.

    Source: one segment, `segment_area`.
    Valid: for a depth from 0 to 2 r.

    Example, the notch of the design's shackle, 2.8 deep in 7:
    >>> notch_area(3.5, 2.8)
    24.109
    """
    return segment_area(radius, 2 * radius - depth)


def eye_lip_area(radius: N, width: N, lip: N) -> N:
    """Return the area [mm2], any shape, that shears when what pulls in an eye breaks out over its lip.

    Two planes beside an eye of a `width` [mm] in a bar of a `radius` [mm], under a `lip` [mm], any shape.

    Source: two chords, `chord`, each as long as the lip.
    Valid: for an eye from 0 to 2 r wide.

    Example, the eye of the design's shackle:
    >>> eye_lip_area(3.5, 3.2, 3.9)
    48.561
    """
    return 2 * chord(radius, radius - width / 2) * lip


def notch_lip_area(radius: N, depth: N, lip: N) -> N:
    """Return the area [mm2], any shape, that shears when what pulls in a notch breaks out over its lip: one plane.

    A notch of a `depth` [mm] in a bar of a `radius` [mm], under a `lip` [mm], any shape.

    Source: the chord at the notch's foot, `2 sqrt(2 r h - h^2)`, as long as the lip.
    Valid: for a depth from 0 to 2 r.

    Example, the notch of the design's shackle:
    >>> notch_lip_area(3.5, 2.8, 3.9)
    26.748
    """
    return chord(radius, depth) * lip
