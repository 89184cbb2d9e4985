"""The edge between where something holds and where it does not, found by halving."""

from collections.abc import Callable


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
