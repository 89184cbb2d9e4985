"""A stack of dimensions that leave a gap: what is left at the worst, and what is to be expected.

Which of the two is meant has to be said: for six layers in a depth the worst is two and a half times the other.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Generic

from core.mechanism.maths import N, maths


@dataclass(frozen=True)
class Link(Generic[N]):
    """One dimension of a stack: its `size` [mm] with its +- `tolerance` [mm], any shape.

    Its `way` [none] is 1 where it opens the gap, -1 where it fills it.

    Source: any text on tolerances.
    Valid: for tolerances from 0 up.

    Example, one of the six layers of the design's stack:
    >>> Link(1.6, 0.05, -1).way
    -1
    """

    size: N
    tolerance: N
    way: int


def gap(links: Sequence[Link[N]]) -> N:
    """Return the gap [mm], shape of all, that the dimensions of the `links` [mm], any shape, leave as they are given.

    Source: the sum of what opens it less what fills it.
    Valid: for one dimension or more.

    Example, six layers in a depth, the design's stack, whose gap is 0.3:
    >>> gap([Link(9.9, 0.1, 1), *[Link(1.6, 0.05, -1)] * 6])
    0.3
    """
    return _total([link.way * link.size for link in links])


def worst(links: Sequence[Link[N]]) -> N:
    """Return by how much [mm], shape of all, the gap can be off either way: every dimension at the wrong end.

    Of the tolerances of the `links` [mm], any shape.

    Source: any text on tolerances; arithmetic stack.
    Valid: for tolerances from 0 up.

    Example, the design's stack: of a gap of 0.3, at worst -0.1 is left; a depth held twice as well leaves -0.05:
    >>> import numpy as np
    >>> 0.3 - worst([Link(9.9, np.array([0.1, 0.05]), 1), *[Link(1.6, 0.05, -1)] * 6])
    array([-0.1 , -0.05])
    """
    return _total([link.tolerance for link in links])


def root_sum_square(links: Sequence[Link[N]]) -> N:
    """Return the root of the sum of the squared tolerances [mm], shape of all, of the `links` [mm], any shape.

    If the tolerances are so many standard deviations of their dimensions, this is as many of the gap's.

    Source: variances add: any text on tolerances or statistics.
    Valid: for dimensions that do not hang together.

    Example, the design's stack:
    >>> root_sum_square([Link(9.9, 0.1, 1), *[Link(1.6, 0.05, -1)] * 6])
    0.1581
    """
    squared = _total([link.tolerance**2 for link in links])
    return maths(squared).sqrt(squared)


def uniform_deviation(links: Sequence[Link[N]]) -> N:
    """Return the standard deviation of the gap [mm], shape of all, of the `links` [mm], any shape.

    If every dimension is anywhere in its tolerance alike.

    Source: a uniform spread of +-a has the deviation a / sqrt(3): any text on statistics.
    Valid: as `root_sum_square`.

    Example, the design's stack, by a million draws as well:
    >>> uniform_deviation([Link(9.9, 0.1, 1), *[Link(1.6, 0.05, -1)] * 6])
    0.09129
    """
    return root_sum_square(links) / math.sqrt(3)


def _total(sizes: Sequence[N]) -> N:
    total = sizes[0]
    for size in sizes[1:]:
        total = total + size
    return total
