"""A stack of dimensions that leave a gap: what is left at the worst, and what is to be expected.

Which of the two is meant has to be said: for six layers in a depth the worst is two and a half times the other. Source:
any text on tolerances; worked examples in the tests.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Link:
    """One dimension [mm] of a stack with its +- tolerance; `way` is 1 where it opens the gap, -1 where it fills it."""

    size: float
    tolerance: float
    way: int


def gap(links: Sequence[Link]) -> float:
    """Return the gap [mm] that the dimensions leave as they are given."""
    return sum(link.way * link.size for link in links)


def worst(links: Sequence[Link]) -> float:
    """Return by how much [mm] the gap can be off either way: every dimension at the wrong end.

    >>> layers = [Link(10.0, 0.1, 1), *[Link(1.6, 0.05, -1)] * 6]
    >>> round(gap(layers), 6), round(gap(layers) - worst(layers), 6)
    (0.4, 0.0)
    """
    return sum(link.tolerance for link in links)


def root_sum_square(links: Sequence[Link]) -> float:
    """Return the root of the sum of the squared tolerances [mm].

    If the tolerances are so many standard deviations of their dimensions, this is as many of the gap's.

    >>> round(root_sum_square([Link(10.0, 0.1, 1), *[Link(1.6, 0.05, -1)] * 6]), 4)
    0.1581
    """
    return math.sqrt(sum(link.tolerance**2 for link in links))


def uniform_deviation(links: Sequence[Link]) -> float:
    """Return the standard deviation of the gap [mm] if every dimension is anywhere in its tolerance alike.

    >>> round(uniform_deviation([Link(10.0, 0.1, 1), *[Link(1.6, 0.05, -1)] * 6]), 5)
    0.09129
    """
    return root_sum_square(links) / math.sqrt(3)
