"""What is left on at an edge until it is fitted: a dashed line beside the finished one, with its figure."""

from collections.abc import Iterable

from core.geometry.motion import shift
from core.geometry.path import Path, Point, Segment
from core.layout.drawing import Inked, Label, Stroke
from core.layout.layout import Layout
from core.parts.tooth import tooth
from core.sheets.kerf import aside
from core.sheets.sizes import bare
from core.sheets.strokes import outward
from core.whole.assembly import workpieces

BOLT = {
    "unlocking flank": "filing.flanks",
    "locking flank": "filing.flanks",
    "roof of the gap": "filing.relief",
    "relief at the unlocking flank": "filing.relief",
    "relief at the locking flank": "filing.relief",
    "lower edge, tail side": "filing.lower_edge",
    "lower edge, nose side": "filing.lower_edge",
    "lower edge of the tail": "filing.legs",
    "lower edge of the nose": "filing.legs",
    "tip of the nose": "filing.nose_tip",
}
"""Edges of the bolt by what is left on at them."""
LEAST = 0.02
"""Metal [mm] below which no line can be told from the finished one."""
FIGURE = 1.6
"""Height of the figures' capitals [mm]."""
BESIDE = 1.2
"""Distance [mm] of a figure from its dashed line."""


def left_on(
    layout: Layout, edges: Iterable[tuple[Segment, float]], part: str, *, figures: bool = True
) -> Iterable[Inked]:
    """Yield a dashed line for each edge of a clockwise contour with the metal [mm] that is left on it."""
    for segment, amount in edges:
        if amount < LEAST:
            continue
        moved = aside(segment, amount)
        if moved is None:
            continue
        yield Stroke(Path((moved,)), "note", part, ghost=True)
        if figures:
            yield Label(_beside(moved), f"+{bare(layout, amount)}", "note", part, FIGURE)


def on_bolt(layout: Layout) -> Iterable[Inked]:
    """Yield what is left on at the bolt's edges, in the drive frame, the bolt at its locked seat."""
    back = shift(-tooth(layout).throw / 2, tooth(layout).bolt_line)
    found = (
        (back.segment(segment), layout.lock.value(BOLT[name]))
        for name, segment in workpieces()["bolt"].shape(layout).edges
        if name in BOLT
    )
    yield from left_on(layout, found, "bolt")


def _beside(segment: Segment) -> Point:
    x, y = segment.middle
    ux, uy = outward(segment, at_end=True)
    return (x + ux * BESIDE, y + uy * BESIDE)
