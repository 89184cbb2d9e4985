"""Segments of circles: chords, heights and areas, and what a hole or a notch leaves of a round bar.

Lengths in mm, areas in mm2. Source: Machinery's Handbook, 31st ed., segment of a circle (p. 79) and segments of
circles (p. 83).
"""

import math


def chord(radius: float, height: float) -> float:
    """Return the chord of a segment of a height: `2 sqrt(h (2 r - h))`.

    >>> round(chord(60.0, 8.0), 2)
    59.87
    """
    return 2 * math.sqrt(height * (2 * radius - height))


def radius_of(chord: float, height: float) -> float:
    """Return the radius of the circle that a segment of a chord and a height belongs to: `(c^2 + 4 h^2) / (8 h)`."""
    return (chord**2 + 4 * height**2) / (8 * height)


def segment_area(radius: float, height: float) -> float:
    """Return the area of a segment of a height from 0 to 2 r: `r^2 acos((r - h)/r) - (r - h) sqrt(h (2 r - h))`.

    >>> round(segment_area(3.5, 2 * 3.5 - 2.8), 3)
    24.109
    """
    beyond = radius - height
    return radius**2 * math.acos(beyond / radius) - beyond * chord(radius, height) / 2


def eye_area(radius: float, width: float) -> float:
    """Return what a slot of a width through the middle leaves of a round section: two segments.

    >>> round(eye_area(3.5, 3.2), 3)
    16.891
    """
    return 2 * segment_area(radius, radius - width / 2)


def notch_area(radius: float, depth: float) -> float:
    """Return what a notch of a depth, across the bar, leaves of a round section."""
    return segment_area(radius, 2 * radius - depth)


def eye_lip_area(radius: float, width: float, lip: float) -> float:
    """Return the area that shears when what pulls in an eye breaks out over its lip: two planes beside the eye.

    >>> round(eye_lip_area(3.5, 3.2, 3.9), 3)
    48.561
    """
    return 2 * chord(radius, radius - width / 2) * lip


def notch_lip_area(radius: float, depth: float, lip: float) -> float:
    """Return the area that shears when what pulls in a notch breaks out over its lip: one plane.

    >>> round(notch_lip_area(3.5, 2.8, 3.9), 3)
    26.748
    """
    return chord(radius, depth) * lip
