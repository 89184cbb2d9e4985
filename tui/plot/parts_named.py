"""The lock at hand with the names of its parts and of their edges, to be looked up in the help."""

import math
from collections.abc import Iterator

from core.geometry.path import Point
from core.layout.drawing import Label, Stroke
from core.layout.frames import hand, to_plate
from core.layout.layout import Layout
from core.parts.bolt_contour import bolt
from core.parts.tooth import tooth
from tui.plot.canvas import Piece
from tui.plot.picture import Wanted, bounds, draw
from tui.plot.scale import Sight
from tui.plot.views import upright

_DRAWN = ("bolt", "front guide", "rear guide", "shackle", "key circle")
_SHOWN = ("bolt", "front guide", "rear guide", "shackle")
"""What is drawn, and what the picture is as wide as."""
_MARGIN = 0.04
_SHAPE = 0.3
"""Height of the region shown, as a share of its width."""


def named_parts(layout: Layout, columns: int, rows: int) -> list[list[Piece]]:
    """Return the picture in `columns` x `rows` cells, as rows of pieces; none where nothing can be drawn."""
    strokes = [m for m in upright(layout) if isinstance(m, Stroke) and m.part in _DRAWN]
    box = bounds(strokes, _SHOWN)
    if box is None:
        return []
    move = hand(layout).then(to_plate(layout))
    middle = move.point((0.0, tooth(layout).bolt_line - layout.lock.bolt.depth / 2))[1]
    edge = (box[2] - box[0]) * _MARGIN
    half = (box[2] - box[0]) * _SHAPE / 2
    region = (box[0] - edge, middle - half, box[2] + edge, middle + half)
    names = [Label(move.point(at), text, "note", "name") for text, at in _names(layout)]
    scale = Sight().scale(region, columns, rows)
    return draw((*strokes, *names), scale, Wanted(named=("name",))).rows


def _names(layout: Layout) -> Iterator[tuple[str, Point]]:
    """Yield each name with a place that it stands for [mm, drive frame], the bolt at its locked seat."""
    cut, made, lock = tooth(layout), bolt(layout), layout.lock
    top = cut.bolt_line
    yield "nose", ((made.nose_tip + made.left) / 2, top - lock.bolt.nose_height / 2)
    yield "tail", ((made.tail_end + made.right) / 2, top - lock.bolt.tail_height / 2)
    yield "locked seat", (made.nose_tip, top)
    yield "unlocked seat", (made.nose_tip + cut.throw, top - lock.bolt.nose_height)
    if not cut.fits:
        return
    middle = cut.throw / 2
    ahead, behind = cut.pickup_offset, -cut.throw - cut.pickup_offset
    roof = top - cut.bridge
    yield "roof", ((ahead + behind) / 2, roof)
    yield "bridge", ((ahead + behind) / 2, (top + roof) / 2)
    yield "flank", (ahead, (roof + cut.flank_foot) / 2)
    yield "flank", (behind, (roof + cut.flank_foot) / 2)
    yield "foot", (ahead, cut.flank_foot)
    yield "gap", (-middle, (roof + cut.flank_foot) / 2)
    yield "lobe", ((ahead + made.right) / 2, (top + cut.lower_edge) / 2)
    outer = min(math.sqrt(max(cut.relief_radius**2 - cut.lower_edge**2, 0.0)), made.right)
    if outer > ahead:
        x = (ahead + outer) / 2
        yield "relief", (x, math.sqrt(cut.relief_radius**2 - x * x))
        yield "lower edge", ((outer + made.right) / 2, cut.lower_edge)
