"""Where the dimensions of bolt and tooth lie in the drawing, what is left on them, and how far off they may be."""

import math

from core.layout.extents import PUSH, Ends, Extents, OnEdge, along, up
from core.layout.layout import Layout
from core.parts.bolt_contour import bolt
from core.parts.tooth import lobe, tooth


def _thickness(layout: Layout) -> OnEdge:
    lock = layout.lock
    level = lock.bolt_line.height - math.hypot(lock.pivot.across, lock.pivot.below)
    return OnEdge(level - lock.bolt.depth / 2, lock.bolt.thickness, lock.bolt.depth)


def _nose(layout: Layout, by: float) -> Ends:
    """Return a line from the nose's tip, half way up the leg."""
    return along(
        bolt(layout).nose_tip, tooth(layout).bolt_line - layout.lock.bolt.nose_height / 2, by
    )


def _tail_end(layout: Layout, by: float) -> Ends:
    return along(bolt(layout).tail_end, tooth(layout).bolt_line - 1.0, by)


def _flank(layout: Layout, by: float) -> Ends:
    cut = tooth(layout)
    return along(-cut.flank, cut.flank_foot + 0.5, by)


def _roof(layout: Layout, by: float) -> Ends:
    return up(0.0, tooth(layout).relief_radius, by)


def _lower_edge(layout: Layout, by: float) -> Ends:
    return up(bolt(layout).left + 1.0, tooth(layout).lower_edge, by)


def _leg(layout: Layout, end: str, by: float) -> Ends:
    line = tooth(layout).bolt_line
    if end == "nose":
        return up(bolt(layout).nose_tip + 1.0, line, by)
    return up(bolt(layout).tail_end - 1.0, line, by)


def _lobe_width(layout: Layout) -> Ends:
    cut = tooth(layout)
    return along(-cut.flank, cut.lower_edge + 1.0, -layout.lock.bolt.lobe_width)


def _least_metal(layout: Layout) -> Ends:
    cut = tooth(layout)
    return along(-cut.flank, cut.lower_edge + 1.0, -layout.lock.fit.metal_min)


def _chamfer(layout: Layout) -> Ends:
    cut = tooth(layout)
    return along(lobe(layout).meets - cut.throw, cut.lower_edge, layout.lock.bolt.lobe_chamfer)


def _legs_left_on(layout: Layout) -> Ends:
    under = tooth(layout).bolt_line - layout.lock.bolt.nose_height
    return up(bolt(layout).nose_tip + 1.0, under, -layout.lock.filing.legs)


def _drag(layout: Layout) -> Ends:
    lock = layout.lock
    y = lock.bolt_line.height - (lock.bolt.nose_height + lock.bolt.tail_height) / 4
    return along(bolt(layout).tail_end, y, PUSH)


EXTENTS = Extents(
    lock={
        "bolt.nose_height": lambda of: _leg(of, "nose", -of.lock.bolt.nose_height),
        "bolt.tail_height": lambda of: _leg(of, "tail", -of.lock.bolt.tail_height),
        "bolt.lobe_width": _lobe_width,
        "bolt.lobe_chamfer": _chamfer,
        "friction.drag": _drag,
        "fit.bridge_min": lambda of: _roof(of, of.lock.fit.bridge_min),
        "fit.metal_min": _least_metal,
        "fit.detent_capture": lambda of: _tail_end(of, of.lock.fit.detent_capture),
        "fit.made_tolerance": lambda of: _leg(of, "tail", of.lock.fit.made_tolerance),
        "filing.legs": _legs_left_on,
        "filing.lower_edge": lambda of: _lower_edge(of, -of.lock.filing.lower_edge),
        "filing.relief": lambda of: _roof(of, -of.lock.filing.relief),
        "filing.flanks": lambda of: _flank(of, of.lock.filing.flanks),
        "filing.nose_tip": lambda of: _nose(of, -of.lock.filing.nose_tip),
        "spread.filed": lambda of: _lower_edge(of, -of.lock.spread.filed),
        "spread.depth": lambda of: _lower_edge(of, -of.lock.spread.depth),
        "spread.flank": lambda of: _flank(of, of.lock.spread.flank),
        "spread.relief": lambda of: _roof(of, -of.lock.spread.relief),
        "spread.roof": lambda of: _roof(of, of.lock.spread.roof),
        "spread.seats": lambda of: _tail_end(of, of.lock.spread.seats),
        "spread.nose": lambda of: _nose(of, -of.lock.spread.nose),
    },
    on_edge={"bolt.thickness": _thickness},
)
