"""Where a quantity that changes almost evenly with a dimension comes to nothing."""

from collections.abc import Callable

CLOSE = 1e-10
"""What counts as nothing [mm]."""


def zero_near(lacking: Callable[[float], float | None], start: float, slope: float) -> float | None:
    """Return the place [mm] near `start` at which `lacking` [mm] is 0, by secant steps.

    `slope` is how fast `lacking` changes, roughly. None where `lacking` has no value on the way;
    the last place tried where the steps do not settle.
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
