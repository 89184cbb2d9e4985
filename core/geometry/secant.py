"""Where a quantity that changes almost evenly with a dimension comes to nothing."""

from collections.abc import Callable

CLOSE = 1e-10
"""What counts as nothing [mm]."""


def zero_near(lacking: Callable[[float], float | None], start: float, slope: float) -> float | None:
    """Return the place [mm] near `start` [mm] at which `lacking` [mm], a function of the place, is 0.

    `slope` [none] is how fast that changes, roughly. None where it has no value on the way; the last place tried
    where the steps do not settle.

    Source: the secant method (any numerical analysis text).
    Valid: for what changes almost evenly between the start and the place.

    Example, the root of 2:
    >>> zero_near(lambda x: x * x - 2.0, 1.0, 2.0)
    1.41421356
    """
    here, now = start, lacking(start)
    if now is None:
        return None
    there = here - now / slope
    for _ in range(30):
        then = lacking(there)
        if then is None:
            return None
        if abs(then) < CLOSE or there == here or then == now:
            break
        here, now, there = there, then, there - then * (there - here) / (then - now)
    return there
