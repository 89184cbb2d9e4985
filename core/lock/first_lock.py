"""The lock that a new one begins with, in either system of units."""

from fractions import Fraction

from core.lock.lock import Lock, specs
from core.lock.numbers import FORCE, Length
from core.units import INCH, POUND_FORCE

_RULE = 64
"""Parts of an inch that a rule shows: what is marked out is a whole number of them."""
_FEELER = 1000
"""Parts of an inch that a feeler gauge shows: clearances are."""
_MARKED_OUT = 1.5
"""Length [mm] from which on a size is marked out by the rule."""


def first_lock(units: str) -> Lock:
    """Return a new lock in `units`, each of its values one that the maker's own rule and balance show.

    In inches these are the nearest 1/64, or 1/1000 for clearances, and whole ounces.
    """
    lock = Lock()
    if units != "in":
        return lock
    lock = lock.with_value("units", "in")
    for path, spec in specs().items():
        value = lock.value(path)
        if isinstance(spec.kind, Length):
            part = INCH / (_RULE if abs(value) >= _MARKED_OUT else _FEELER)
        elif spec.kind is FORCE:
            part = POUND_FORCE / 16
        else:
            continue
        lock = lock.with_value(path, float(round(Fraction(value) / part) * part))
    return lock
