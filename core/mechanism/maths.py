"""The functions that a formula calls, for numbers and for arrays, so that each formula is written once.

A formula asks `maths` for them: Python's where it is given numbers only, numpy's where there is an array.
The two libraries may differ in the last digit of a tangent, and what is said of one lock must not depend on
how many are worked out with it; so a single number never goes through numpy.
"""

import math
from typing import Any, TypeVar, overload

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Truths = NDArray[np.bool_]
Number = float | Array
N = TypeVar("N", float, Array)
"""All that a formula is given: numbers, or arrays that broadcast against each other."""

NO_SIZE = 1e100
"""Length [mm] or angle [rad] from which on an array's entry counts as no number: its square must not overflow."""


class _Floats:
    """Functions of numbers; an argument past the end of a function's range is taken at that end."""

    sin, cos, tan = math.sin, math.cos, math.tan
    atan2 = math.atan2

    @staticmethod
    def sqrt(x: float) -> float:
        return math.sqrt(max(x, 0.0))

    @staticmethod
    def asin(x: float) -> float:
        return math.asin(min(max(x, -1.0), 1.0))

    @staticmethod
    def acos(x: float) -> float:
        return math.acos(min(max(x, -1.0), 1.0))

    @staticmethod
    def larger(x: float, y: float) -> float:
        return max(x, y)

    @staticmethod
    def smaller(x: float, y: float) -> float:
        return min(x, y)

    @staticmethod
    def clip(x: float, low: float, high: float) -> float:
        return min(max(x, low), high)

    @staticmethod
    def before(x: float) -> float:
        """Return the next number below `x`."""
        return math.nextafter(x, -math.inf)

    @staticmethod
    def where(condition: bool, yes: float, no: float) -> float:
        return yes if condition else no

    @staticmethod
    def kept(condition: bool, x: float) -> float:  # noqa: ARG004 - as the arrays'
        """Return `x` also where there is nothing: a single lock's findings tell how far off it is."""
        return x


class _Arrays:
    """The same functions of arrays, entry by entry; NaN stays NaN, without a warning."""

    sin, cos, tan = np.sin, np.cos, np.tan
    atan2 = np.arctan2
    larger, smaller, clip, where = np.maximum, np.minimum, np.clip, np.where

    @staticmethod
    def sqrt(x: Array) -> Array:
        return np.sqrt(np.maximum(x, 0.0))

    @staticmethod
    def asin(x: Array) -> Array:
        return np.arcsin(np.minimum(np.maximum(x, -1.0), 1.0))

    @staticmethod
    def acos(x: Array) -> Array:
        return np.arccos(np.minimum(np.maximum(x, -1.0), 1.0))

    @staticmethod
    def before(x: Array) -> Array:
        return np.nextafter(x, -np.inf)

    @staticmethod
    def kept(condition: Truths, x: Array) -> Array:
        """Return `x`, and NaN where there is nothing."""
        return np.where(condition, x, np.nan)


@overload
def maths(*given: float) -> type[_Floats]: ...
@overload
def maths(*given: Array) -> type[_Arrays]: ...
@overload
def maths(*given: Number) -> Any: ...
def maths(*given: Number) -> type[_Floats] | type[_Arrays]:
    """Return the functions for what a formula is `given` [none] of whatever unit and shape.

    Roots of what is below 0 are 0, and arcs are taken of what is clipped to -1 and 1: a length that rounding, or a
    lock that cannot be, has put past the end of a function's range.

    Source: the arithmetic of floating-point numbers, IEEE 754; no formula of the trade.
    Valid: for real numbers; a NaN gives NaN.

    Example, a right angle in both:
    >>> maths(2.0).asin(2.0), maths(np.ones(2)).asin(np.array([0.5, 2.0])).round(4).tolist()
    (1.5707963267948966, [0.5236, 1.5708])
    """
    for (
        one
    ) in given:  # asked at every step of every formula: a loop takes a third of the time of any()
        if isinstance(one, np.ndarray):
            return _Arrays
    return _Floats


def alike(*given: Number) -> list[Array]:
    """Return what is `given` [none], of any unit, as arrays [none] of the one shape to which they broadcast.

    An entry that is no number in one of them, or no size that a lock could have, is NaN in all: so nothing that
    is worked out from it can warn or be taken for a result.

    Source: the broadcasting rules of numpy's user guide.
    Valid: for shapes that broadcast; others raise numpy's ValueError.

    Example, by those rules:
    >>> rows, columns = alike(np.array([[1.0], [np.inf]]), np.array([2.0, 3.0]))
    >>> rows.tolist(), columns.tolist()
    ([[1.0, 1.0], [nan, nan]], [[2.0, 3.0], [nan, nan]])
    """
    arrays = np.broadcast_arrays(*(np.asarray(one, dtype=np.float64) for one in given))
    good = np.logical_and.reduce([np.abs(one) < NO_SIZE for one in arrays])
    return list(arrays) if good.all() else [np.where(good, one, np.nan) for one in arrays]


def distinct(numbers: Array) -> Array:
    """Return `numbers` [none] of any unit, shape (n,), rising and each once, [none] too, shape (m,).

    What numpy's own does, but that one loads its masked arrays first, which takes as long as a turn of the key.

    Source: the manual of numpy, `unique`.
    Valid: for any numbers; of several NaN the last one stays.

    Example, by hand:
    >>> distinct(np.array([2.0, 1.0, 2.0, 0.5])).tolist()
    [0.5, 1.0, 2.0]
    """
    rising = np.sort(numbers)
    new = np.ones(len(rising), dtype=bool)
    new[1:] = (rising[1:] != rising[:-1]) & ~np.isnan(rising[:-1])
    return np.asarray(rising[new])
