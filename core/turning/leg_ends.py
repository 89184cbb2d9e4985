"""How far nose and tail may hang down before the key meets them on its way round: ends of their heights.

How a leg hangs moves neither bit nor bolt, so one turn both ways, seen from the bolt, tells for every height.
"""

import math
from collections.abc import Iterable

import numpy as np
import shapely
from numpy.typing import NDArray

from core.geometry.halving import edge_of
from core.layout.layout import Layout
from core.layout.part import Check
from core.layout.windows import Bound
from core.mechanism.law import STROKES, Stroke, side
from core.mechanism.sweep import SLIVER, bit_polygons, looks
from core.parts.bolt_contour import body_sides, top_edge
from core.parts.tooth import course, made_for, tooth
from core.parts.tooth_limits import KEY_FOULS_BOLT

NOSE, TAIL = "bolt.nose_height", "bolt.tail_height"
_DEEPER = (0.004, 0.016, 0.064, 0.256)
"""How much deeper than touching [mm] a leg is looked at, for an overlap that is no sliver any more."""
_HALVINGS = 9
_LOTS = 8
"""In how many lots the bits are looked at, those whose tips stand highest first."""


def _bounds(layout: Layout) -> Iterable[Bound]:
    return (bound for path in (NOSE, TAIL) for bound in _of_path(layout, path))


def _of_path(layout: Layout, path: str) -> Iterable[Bound]:
    # a leg that is made hangs as it hangs
    if path not in (NOSE, TAIL) or made_for(layout) is not None or not tooth(layout).fits:
        return
    name = path.partition(".")[2].partition("_")[0]
    most = _most(layout, path)
    if 0 < most < math.inf:
        yield Bound(path, "high", most, f"the key, on its way past the {name}", KEY_FOULS_BOLT)


def _seen_from_bolt(layout: Layout, stroke: Stroke) -> NDArray[np.object_]:
    """Return the bit as the bolt sees it pass the leg that a stroke lets go at, at all angles of the turn check.

    When it comes back past that leg the bolt is home, and the leg as far off as it can be.
    """
    way = course(layout)
    angles = looks(way, stroke)
    angles = angles[angles * side(stroke) > 0]
    return bit_polygons(tooth(layout), angles, way.travel(angles, stroke))


def _most(layout: Layout, path: str) -> float:
    """Return the height [mm] from which on a leg is fouled, infinite where it never is."""
    line, far = layout.lock.bolt_line.height, layout.lock.key.radius + 1.0
    (tip, end), (left, right) = top_edge(layout), body_sides(layout)
    sides, stroke = ((tip, left), STROKES[1]) if path == NOSE else ((right, end), STROKES[0])
    begin, last = sorted(sides)  # the nose may end before its side of the gap
    if begin == last:
        return math.inf
    bits = _seen_from_bolt(layout, stroke)
    lefts, _, rights, tips = shapely.bounds(bits).T
    tips = np.where((rights > begin) & (lefts < last), tips, -math.inf)
    tops, highest = np.full(len(bits), -math.inf), -math.inf
    for some in np.array_split(np.argsort(-tips), _LOTS):
        # no bit comes higher beside the body than its own tip
        if tips[some[0]] <= highest - _DEEPER[-1]:
            break
        tops[some] = np.nan_to_num(
            shapely.bounds(shapely.clip_by_rect(bits[some], begin, -far, last, far))[:, 3],
            nan=-math.inf,
        )
        highest = max(highest, float(np.max(tops[some])))
    touching = line - highest
    if touching == math.inf:
        return math.inf

    def clear(height: float) -> bool:
        # where the key meets even the bolt line, a height is less than none
        low, high = sorted((line - height, line))
        if low == high:
            return True
        # only those that come as high meet a leg that hangs but a little too deep
        met = shapely.clip_by_rect(bits[tops > line - height], begin, low, last, high)
        return bool(np.all(shapely.area(met) <= SLIVER))

    fouled = next((touching + more for more in _DEEPER if not clear(touching + more)), math.inf)
    return edge_of(clear, touching, fouled, _HALVINGS) if fouled < math.inf else math.inf


CHECK = Check("legs past the key", 92, bounds=_bounds, bounds_at=_of_path)
