"""Sizes as the bench reads them: mm to 0.01, inches to the nearest 1/64 with what that rounding adds."""

import math

from core.layout.layout import Layout
from core.units import INCH, nearest_fraction, show_length

FINEST = 64
"""Fractions of an inch on the sheets: the finest that a shop rule shows."""
SHORTEST = 2.0 / FINEST
"""Length [in] below which a fraction says too little, and a decimal stands instead."""
HALF_THOUSANDTH = 0.0005
KEY_INCH = (
    "Inches are rounded to 1/64; (+0.004) means that the fraction is 0.004 in more than the exact size. "
    "Below 1/32 in decimals stand."
)
KEY_MM = "Sizes are rounded to 0.01 mm."


def size(layout: Layout, mm: float) -> str:
    """Write a length [mm] for the bench, in the lock's units, with the rounding error of a fraction."""
    if layout.lock.units != "in":
        return layout.show(mm)
    inches = mm / float(INCH)
    if abs(inches) < SHORTEST:
        return show_length(mm, "in")
    text, added = nearest_fraction(mm, FINEST)
    error = added / float(INCH)
    return text if abs(error) < HALF_THOUSANDTH else f"{text} ({error:+.3f})"


def key_to_sizes(layout: Layout) -> str:
    """Return the sentence that says how sizes are rounded."""
    return KEY_INCH if layout.lock.units == "in" else KEY_MM


def rough(layout: Layout, mm: float) -> str:
    """Write a length of stock [mm], rounded up to a whole mm or a sixteenth of an inch."""
    if layout.lock.units != "in":
        return f"{math.ceil(mm - 0.01)} mm"
    return nearest_fraction(math.ceil((mm - 0.01) / float(INCH) * 16) * float(INCH) / 16, 16)[0]
