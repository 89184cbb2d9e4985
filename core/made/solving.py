"""Which value of one dimension brings a workpiece back to the shape that it was made to.

The shape is taken as the row of its corners, radii and sizes. Where no value makes the whole row as it
was made, the one of the least sum of squares is near what is wanted, and its neighbours are tried.
"""

import math
from collections.abc import Callable, Iterator

import numpy as np
from numpy.typing import NDArray

from core.geometry.path import Arc, Path
from core.layout.layout import Layout
from core.layout.workpiece import Shape, Workpiece
from core.lock.lock import Lock
from core.lock.made import Made
from core.made.holding import made_values
from core.made.verdicts import made_solid

Row = NDArray[np.float64]
STEP = 1e-4
"""Step [mm or degrees] by which the slope of a shape is taken."""
STEPS = 4
"""Newton steps: shapes are so nearly straight in every dimension that the last one moves nothing."""


def nearest_value(
    workpiece: Workpiece,
    record: Made,
    lock: Lock,
    set_to: Callable[[float], Lock],
    begin: float,
    ends: tuple[float, float],
) -> tuple[float, float] | None:
    """Return the value [mm or degrees] for which a workpiece is most like it was made, between two `ends`.

    `set_to` gives the `lock` with a value set in the place of `begin`. With the value comes the share of the difference
    that is then left, 0 for none. None where the value does not change the shape, or turns it into one of other edges.
    """
    made = row(made_solid(workpiece.key, made_values(lock, record, workpiece.paths)).shape)

    def off(value: float) -> Row | None:
        here = row(workpiece.shape(Layout(set_to(value))))
        return None if len(here) != len(made) else here - made

    return least_squares(off, begin, *ends)


def least_squares(
    off: Callable[[float], Row | None],
    begin: float,
    low: float,
    high: float,
    most: float = 0.6,
    pace: float = STEP,
) -> tuple[float, float] | None:
    """Return the value at which the row `off` is shortest, by Gauss and Newton, and the share that is left.

    Values stay within `low` and `high`. None where the row hardly turns with the value, changes its length, or
    cannot be brought below the share `most` of what it was. Its slope is taken over a `pace`.
    """
    value, first = begin, 0.0
    for count in range(STEPS):
        step = pace if value + pace <= high else -pace
        here, beside = off(value), off(value + step)
        if here is None or beside is None or len(here) != len(beside):
            return None
        first = first or float(np.linalg.norm(here))
        slope = (beside - here) / step
        square = float(slope @ slope)
        if square < 1e-9 or first < 1e-12:
            return None
        move = -float(slope @ here) / square
        if count == 0 and np.linalg.norm(here + move * slope) > 1.5 * most * first:
            return None  # seen from here it is not this value's doing
        value = min(max(value + move, low), high)
        if abs(move) < 1e-7:
            break
    last = off(value)
    if last is None:
        return None
    left = float(np.linalg.norm(last)) / first
    return (value, left) if left <= most else None


def row(shape: Shape) -> Row:
    """Return the corners, arcs and sizes of a shape as one row of numbers [mm]."""
    numbers: list[float] = []
    # by name: what is made may remember its rows in another order
    cuts = [cut.path for cut in sorted(shape.cuts, key=lambda cut: cut.name)]
    paths = ([] if shape.body is None else [shape.body]) + cuts
    for path in paths:
        numbers += _corners(path)
    numbers += [size.value for size in shape.sizes]
    return np.array(numbers)


def _corners(path: Path) -> Iterator[float]:
    for segment in path.segments:
        yield from segment.start
        if isinstance(segment, Arc):
            yield segment.radius


def round_values(value: float, begin: float, grain: float) -> Iterator[float]:
    """Yield round values near `value`, from far to close, that a maker can set [mm or degrees].

    They lie between `begin`, the value as it stands, and as far beyond `value`; `grain` is the finest step.
    """
    way = abs(value - begin)
    for step in (20 * grain, 10 * grain, 2 * grain, grain):
        if step > 2 * way:
            continue
        middle = round(value / step)
        for place in (middle, middle - 1, middle + 1):
            rounded = round(place * step, 9)
            if 0 < (rounded - begin) * math.copysign(1.0, value - begin) <= 2 * way:
                yield rounded
