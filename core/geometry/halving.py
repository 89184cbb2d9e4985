"""The edge between where something holds and where it does not, found by halving, or sooner by how much is spare."""

import math
from collections.abc import Callable

CLOSE = 1e-11
"""How close [none] to an edge the place lies that is found by what is spare, in the unit of the places."""
_TOWARDS_MIDDLE = 0.2
"""How far the place that a straight line asks for is moved towards the middle, as a share of what is left, squared."""


def edge_of(
    holds: Callable[[float], bool], inside: float, outside: float, halvings: int = 60
) -> float:
    """Return the last place [none] at which something `holds` [none], from `inside` [none] towards `outside` [none].

    Places are in any one unit. Found by so many `halvings` [none]; `inside` itself where it holds nowhere else.

    Source: bisection (any numerical analysis text).
    Valid: for what holds inside and does not outside; of several edges between one is found.

    Example, the root of 2 from below and from above:
    >>> edge_of(lambda x: x * x <= 2.0, 1.0, 2.0), edge_of(lambda x: x * x >= 2.0, 2.0, 1.0)
    (1.41421356, 1.41421356)
    """
    for _ in range(halvings):
        middle = (inside + outside) / 2
        inside, outside = (middle, outside) if holds(middle) else (inside, middle)
    return inside


def edge_by(
    spare: Callable[[float], float],
    inside: float,
    outside: float,
    strict: bool = False,
) -> float:
    """Return the last place [none] at which 0 or more is `spare` [none], from `inside` [none] to `outside` [none].

    Places are in any one unit, what is spare in any other. With `strict` [none] more than 0 has to be spare.
    What changes evenly is found in a few steps, what leaps in one more than by halving. Infinite may be spare, or
    what is no number, which counts as too little; with too little there the place is `inside` itself.

    Source: I. F. D. Oliveira and R. H. C. Takahashi, An Enhancement of the Bisection Method Average Performance
    Preserving Minmax Optimality, ACM Transactions on Mathematical Software 47 (1), 2020 (memory): interpolate,
    truncate, project; with 0.2, 2 and 1 for its three constants.
    Valid: for what is enough inside and too little outside; of several edges between one is found.

    Example, the root of 2 from below and from above, and where a function leaps:
    >>> edge_by(lambda x: 2.0 - x * x, 1.0, 2.0), edge_by(lambda x: x * x - 2.0, 2.0, 1.0)
    (1.41421356, 1.41421356)
    >>> edge_by(lambda x: math.inf if x < 1.5 else -1.0, 0.0, 4.0)
    1.5
    """

    def enough(over: float) -> bool:
        return over > 0 or (over == 0 and not strict)

    whole, over = abs(outside - inside), spare(inside)
    if not whole or not enough(over):
        return inside
    lacking = spare(outside)
    most = math.ceil(math.log2(max(whole / CLOSE, 1.0))) + 1
    for step in range(most + 1):
        left = outside - inside
        if abs(left) <= CLOSE:
            break
        both = over - lacking
        share = over / both if 0 < both < math.inf else 0.5
        half = abs(left) / 2
        aside = abs(share - 0.5) * abs(left) - _TOWARDS_MIDDLE * left * left / whole
        # never so far from the middle that halving would come sooner, nor so far that an end is asked again
        off = max(min(aside, CLOSE * 2.0 ** (most - step - 1) - half, half - CLOSE / 2), 0.0)
        at = inside + left * (0.5 + math.copysign(off / abs(left), share - 0.5))
        found = spare(at)
        if enough(found):
            inside, over = at, found
        else:
            outside, lacking = at, found
    return inside
