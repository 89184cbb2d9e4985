"""How wide a gap the bit needs between the flanks while it drives: the exact condition, not a sweep.

While the leading side of the bit pushes one flank, its trailing side must not reach the other. Seen from the bolt
the trailing side at a key angle t stands where, in the mirror image, the leading side stands at -t. So with
`lead(t)` the place to which the bit's leading side pushes the unlocking flank, the gap must be at least
`lead(t) + lead(-t)` at every angle of the drive. Both strokes ask for the same.
"""

from typing import Any

import numpy as np

from core.mechanism.corner import half_chord
from core.mechanism.lobe import Lobe
from core.mechanism.maths import N, maths
from core.mechanism.tooth_numbers import ToothOf

_HALVINGS = 30
"""To a billionth of a radian; at its most the width stands still, so that of it no digit is lost."""


def gap_needed(lobe: Lobe[N]) -> N:
    """Return the gap [mm], shape of the tooth, that the bit needs between the flanks to come through both strokes.

    Of the tooth that has this `lobe`; 0 where the key drives nothing.

    Source: the most of `both_sides` over t from 0 to the release, as long as the trailing face stands above the foot,
    to t = p; later the bolt only has to come as far as its seat. Where the key lets go before top dead centre, both
    corners stand under the lobes at once, at the top by symmetry, and the reliefs leave `off(0)` on either side.
    Valid: for a flat roof; held against a sweep that knows no law (`tests/confusion.py`).

    Example, the design's section on the release, a gap of 4.404 that needs 4.625 and one of 5.799 that is wide enough:
    >>> import math
    >>> from core.mechanism.tooth_numbers import tooth_from
    >>> for pickup in (10.0, 8.7):
    ...     cut = tooth_from(radius=29.6, bit=4.6, clearance=0.39, throw=10.0, pickup_angle=math.radians(pickup),
    ...                      bolt_line=34.5, depth=10.0)
    ...     print(round(cut.gap_width, 3), round(gap_needed(Lobe(cut, 6.5)), 3))
    4.404 4.625
    5.799 4.645
    """
    of: Any = maths(lobe.tooth.radius)
    cut: Any = lobe.tooth
    above = both_sides(lobe.tooth, widest_angle(lobe.tooth))
    under = 2 * (cut.flank - lobe.off(0.0 * cut.radius))
    needed = of.where(cut.release_angle < 0, under, above)
    # so early a pick-up that the corner is still below the foot: without a relief it comes up beside the flank or not
    low = cut.pickup_angle > cut.release_angle + 2 * cut.half_angle
    beside = cut.throw - 2 * half_chord(cut.radius, cut.flank_foot)
    needed = of.where(low & (lobe.relieved == 0), of.larger(needed, beside), needed)
    found: N = of.where(cut.drives, needed, 0.0)
    return found


def both_sides(tooth: ToothOf[N], angles: N) -> N:
    """Return how wide the bit stands [mm], any shape, between the flanks' feet of a `tooth` at `angles` [rad].

    Of the shape of tooth and angles together.

    Source: `R sin(t + beta) + k(t)`, with `k = (b/2) / cos t - y_f tan t`: the leading corner and, seen in the mirror,
    the trailing face on a foot.
    Valid: from 0 to the release or the pick-up angle, whichever is less.

    Example, at top dead centre it is the bit's own thickness:
    >>> from core.mechanism.tooth_numbers import tooth_from
    >>> cut = tooth_from(radius=20.0, bit=3.0, clearance=0.2, throw=12.0, pickup_angle=0.0, bolt_line=24.0, depth=14.0)
    >>> both_sides(cut, 0.0)
    3.0
    """
    of: Any = maths(tooth.radius, angles)
    corner = tooth.radius * of.sin(angles + tooth.half_angle)
    wide: N = corner + tooth.half_bit / of.cos(angles) - tooth.flank_foot * of.tan(angles)
    return wide


def widest_angle(tooth: ToothOf[N]) -> N:
    """Return the angle [rad] past top dead centre, shape of the `tooth`, where the bit stands widest between the feet.

    Source: the slope of `both_sides`, `R cos(t + beta) - (y_f - (b/2) sin t) / cos^2 t`, falls all the way from 0 to
    the release or the pick-up angle; its zero is found by halving.
    Valid: where the key drives and lets go past top dead centre.

    Example, with a pick-up at top dead centre there is no other angle:
    >>> from core.mechanism.tooth_numbers import tooth_from
    >>> cut = tooth_from(radius=20.0, bit=3.0, clearance=0.2, throw=12.0, pickup_angle=0.0, bolt_line=24.0, depth=14.0)
    >>> widest_angle(cut)
    0.0
    """
    of: Any = maths(tooth.radius)
    cut: Any = tooth
    low = 0.0 * cut.radius
    high = of.clip(cut.pickup_angle, low, of.larger(cut.release_angle, 0.0))
    # with the pick-up at top dead centre nothing lies between, and that is the usual lock
    for _ in range(_HALVINGS if np.any(high > low) else 0):
        middle = (low + high) / 2
        face = (cut.flank_foot - cut.half_bit * of.sin(middle)) / of.cos(middle) ** 2
        grows = cut.radius * of.cos(middle + cut.half_angle) > face
        low, high = of.where(grows, middle, low), of.where(grows, high, middle)
    widest: N = high
    return widest
