"""How wide a gap the bit needs between the flanks while it drives: the exact condition, not a sweep.

While the leading side of the bit pushes one flank, its trailing side must not reach the other. Seen from the bolt
the trailing side at a key angle t stands where, in the mirror image, the leading side stands at -t. So with
`lead(t)` the place to which the bit's leading side pushes the unlocking flank, the gap must be at least
`lead(t) + lead(-t)` at every angle of the drive. Both strokes ask for the same.
"""

import math

import numpy as np

from core.mechanism.law import Array
from core.mechanism.lobe import Lobe
from core.mechanism.tooth_numbers import Tooth

_HALVINGS = 60


def gap_needed(lobe: Lobe) -> float:
    """Return the gap [mm] that the bit needs between the flanks to come through both strokes.

    The most of `R sin(t + beta) + k(t)` over t from 0 to the release, with `k = -y_f tan t + (b/2) / cos t` as long
    as the trailing face stands above the foot, to t = p; later the bolt only has to come as far as its seat. Where
    the key lets go before top dead centre both corners stand under the lobes at once: at the top, by symmetry, and the
    reliefs leave the bolt `off(0)` on either side.
    Source: worked out for this project, held against a sweep that knows no law (`tests/confusion.py`).

    >>> from core.mechanism.tooth_numbers import tooth_from
    >>> cut = tooth_from(radius=29.6, bit=4.6, clearance=0.39, throw=10, pickup_angle=math.radians(10),
    ...                  bolt_line=34.5, depth=10)
    >>> round(cut.gap_width, 3), round(gap_needed(Lobe(cut, 6.5)), 3)
    (4.404, 4.625)
    """
    tooth = lobe.tooth
    if not tooth.drives:
        return 0.0
    if tooth.release_angle < 0:
        return 2 * (tooth.flank - float(lobe.off(np.zeros(1))[0]))
    return float(both_sides(tooth, np.array([widest_angle(tooth)]))[0])


def both_sides(tooth: Tooth, angles: Array) -> Array:
    """Return how wide the bit stands between the two flanks' feet at `angles` [rad], shape (n,), in mm.

    From 0 to the release or the pick-up angle, whichever is less: the corner leads, the trailing face is above a foot.
    """
    corner = tooth.radius * np.sin(angles + tooth.half_angle)
    face = tooth.half_bit / np.cos(angles) - tooth.flank_foot * np.tan(angles)
    return np.asarray(corner + face)


def widest_angle(tooth: Tooth) -> float:
    """Return the angle [rad] past top dead centre at which the bit stands widest between the flanks.

    The slope of `both_sides`, `R cos(t + beta) - (y_f - (b/2) sin t) / cos^2 t`, falls all the way; its zero is found
    by halving.
    """
    low, high = 0.0, max(min(tooth.pickup_angle, tooth.release_angle), 0.0)

    def slope(t: float) -> float:
        face = (tooth.flank_foot - tooth.half_bit * math.sin(t)) / math.cos(t) ** 2
        return tooth.radius * math.cos(t + tooth.half_angle) - face

    if slope(high) >= 0:
        return high
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if slope(middle) > 0 else (low, middle)
    return low
