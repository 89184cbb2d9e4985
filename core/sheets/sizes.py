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
    "Inches are the nearest 1/64, for the rule; in brackets the exact size in decimals, for the calliper. "
    "Below 1/32 in decimals stand alone."
)
KEY_MM = "Sizes are rounded to 0.01 mm."


def size(layout: Layout, mm: float) -> str:
    """Write a length [mm] for the bench, in the lock's units; beside a fraction of an inch its decimals."""
    if layout.lock.units != "in":
        return layout.show(mm)
    inches = mm / float(INCH)
    if abs(inches) < SHORTEST:
        return show_length(mm, "in")
    text, added = nearest_fraction(mm, FINEST)
    whole = "/" not in text and abs(added) / float(INCH) < HALF_THOUSANDTH
    return text if whole else f"{text} ({_thousandths(inches)})"


def bare(layout: Layout, mm: float) -> str:
    """Write a length [mm] without its unit and without a second figure, where many stand in a row."""
    if layout.lock.units != "in":
        return layout.show(mm).removesuffix(" mm")
    text, added = nearest_fraction(mm, FINEST)
    exact = abs(added) / float(INCH) < HALF_THOUSANDTH and abs(mm) >= SHORTEST * float(INCH)
    return text.removesuffix(" in") if exact else _thousandths(mm / float(INCH))


def _thousandths(inches: float) -> str:
    """Write inches to 0.001, a half rounded up as at the bench: 1/16 is 0.063."""
    return f"{math.copysign(math.floor(abs(inches) * 1000 + 0.5 + 1e-9), inches) / 1000 + 0.0:.3f}"


def error_of(layout: Layout, mm: float) -> str:
    """Write by how much [mm] something is larger (+) or smaller (-), in the lock's units; nothing as "exact"."""
    unit, places, name = (float(INCH), 4, "in") if layout.lock.units == "in" else (1.0, 2, "mm")
    text = f"{mm / unit:+.{places}f}"
    return "exact" if float(text) == 0 else f"{text} {name}"


def key_to_sizes(layout: Layout) -> str:
    """Return the sentence that says how sizes are rounded."""
    return KEY_INCH if layout.lock.units == "in" else KEY_MM


def rough(layout: Layout, mm: float) -> str:
    """Write a length of stock [mm], rounded up to a whole mm or a sixteenth of an inch."""
    if layout.lock.units != "in":
        return f"{math.ceil(mm - 0.01)} mm"
    return nearest_fraction(math.ceil((mm - 0.01) / float(INCH) * 16) * float(INCH) / 16, 16)[0]
