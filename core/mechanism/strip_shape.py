"""How a bent strip lies above the bolt: straight as it was bent, and drawn into a curve by what it is pressed up.

Heights in mm above the level on which the strip lies at its held end or ends, along the strip from there to the tip,
both as shares of the free length. The strip is bent once, at its root, or in the middle of two held ends, so that
its tip hangs down by itself; pressing the tip up bends the straight part as a beam.
"""

from typing import Any

from core.mechanism.maths import N, maths


def strip_height(along: N, hang: N, lift: N, *, on_two_ends: bool = False) -> N:
    """Return the height [mm], any shape, of a strip over its held ends.

    A share `along` [none] of the way from the root to the tip, or `on_two_ends` [none] from one end to the middle; by
    itself its tip would `hang` [mm] so far down, and it is pressed up by a `lift` [mm], any shapes.

    Source: the straight part, less the beam: a cantilever's `d (3 u^2 - u^3) / 2`, or `d (3 u - u^3) / 2` from an end
    to the middle of two; deflection curves in the beam tables of any handbook (memory).
    Valid: for small deflections.

    Example, both at the tip: what was lifted as far as it hung is level, halfway along it sags, or bows up:
    >>> strip_height(1.0, 3.0, 3.0), strip_height(0.5, 3.0, 3.0), strip_height(0.5, 3.0, 3.0, on_two_ends=True)
    (0.0, -0.5625, 0.5625)
    """
    bend = 3 * along - along**3 if on_two_ends else 3 * along**2 - along**3
    return lift * bend / 2 - hang * along


def lowest(hang: N, lift: N) -> N:
    """Return the lowest [mm] that a strip with a riveted foot lies, any shape, over its foot; its tip with it.

    Its tip would `hang` [mm] by itself and is pressed up by a `lift` [mm], any shapes.

    Source: where `lift (3 u - 3 u^2 / 2) = hang`.
    Valid: as `strip_height`.

    Example, by hand: with its tip lifted level a strip sags most at u = 1 - 1 / sqrt(3), by 0.19245 of the lift:
    >>> round(lowest(1.0, 1.0), 5)
    -0.19245
    """
    of: Any = maths(hang, lift)
    along = 1 - of.sqrt(_share_left(hang, lift))
    low: N = of.where(lift > 2 / 3 * hang, strip_height(along, hang, lift), lift - hang)
    return low


def highest(hang: N, lift: N) -> N:
    """Return the highest [mm] that a strip held at both ends lies, any shape, over them.

    Its middle would `hang` [mm] by itself and is pressed up by a `lift` [mm], any shapes.

    Source: where `lift (3 - 3 u^2) / 2 = hang`.
    Valid: as `strip_height`.

    Example, by hand: with its middle lifted level a strip bows up most at u = 1 / sqrt(3), by 0.19245 of the lift:
    >>> round(highest(1.0, 1.0), 5)
    0.19245
    """
    of: Any = maths(hang, lift)
    along: N = of.sqrt(_share_left(hang, lift))
    return strip_height(along, hang, lift, on_two_ends=True)


def _share_left(hang: N, lift: N) -> N:
    """Return `1 - 2 hang / (3 lift)`, and 0 where that is below 0 or there is no lift."""
    of: Any = maths(hang, lift)
    left = of.larger(lift - 2 / 3 * hang, 0 * lift)
    # of nothing over nothing an arctangent makes nothing
    share: N = of.tan(of.atan2(left, lift))
    return share
