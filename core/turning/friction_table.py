"""The cases of friction in which the turn is worked out: both ends of each condition's range."""

import numpy as np

from core.layout.layout import Layout
from core.lock.friction import CONDITIONS
from core.mechanism.maths import Array
from core.parts.friction import friction_ranges


def friction_cases(layout: Layout) -> Array:
    """Return both ends of each condition's range, shape (6, 1): greased low, greased high, ..."""
    ranges = friction_ranges(layout).values()
    return np.array([[end] for found in ranges for end in (found.low, found.high)])


def case_of(condition: str, end: str) -> int:
    """Return the row of `friction_cases` for a condition and an end, "low" or "high"."""
    return 2 * CONDITIONS.index(condition) + (end == "high")
