"""Where the dimensions of spring and detent lie in the drawing."""

import math

from core.layout.extents import PUSH, Ends, Extents, OnEdge, along, in_drive, up
from core.layout.layout import Layout
from core.parts.bolt_contour import bolt
from core.parts.notches import tip_at
from core.parts.strip import notch, strip
from core.parts.strip_place import ends
from core.parts.tooth import tooth


def _underside(layout: Layout) -> float:
    """Return how high [mm] above the bolt line the strip's underside is; what a tip bent down stands out if felt."""
    made = strip(layout)
    return layout.lock.spring.tip_height if made is None else made.tip_height


def _width(layout: Layout) -> OnEdge:
    lock = layout.lock
    line = lock.bolt_line.height - math.hypot(lock.pivot.across, lock.pivot.below)
    return OnEdge(line + _underside(layout), lock.spring.width, lock.spring.thickness)


def _at_place(layout: Layout, by: float) -> Ends:
    """Return a line upwards from the bolt's top where the tip is meant to press."""
    return up(in_drive(layout, layout.lock.spring.tip_across), tooth(layout).bolt_line, by)


def _tip_across(layout: Layout) -> Ends:
    y = tooth(layout).bolt_line + layout.lock.bolt_line.spring_room / 2
    return (0.0, y), (in_drive(layout, layout.lock.spring.tip_across), y)


def _thickness(layout: Layout) -> Ends:
    level = tooth(layout).bolt_line + _underside(layout)
    return up(tip_at(layout), level, layout.lock.spring.thickness)


def _preload(layout: Layout) -> Ends:
    cut = notch(layout)
    rests = tooth(layout).bolt_line - (cut.seat_drop if cut else 0.0)
    return up(tip_at(layout), rests, -layout.lock.spring.preload)


def _foot_length(layout: Layout) -> Ends:
    made = strip(layout)
    left, right = (0.0, 0.0) if made is None else ends(layout, made)
    spring = layout.lock.spring
    level = tooth(layout).bolt_line + _underside(layout) + spring.thickness + 0.5
    # at the end that lies farther from the tip
    outer = left if tip_at(layout) - left > right - tip_at(layout) else right
    return along(outer, level, spring.foot_length if outer == left else -spring.foot_length)


def _ramp(layout: Layout) -> Ends:
    cut, at, line = notch(layout), tip_at(layout), tooth(layout).bolt_line
    if cut is None:
        return (at, line), (at, line)
    return (at + cut.floor, line - cut.foot), (at + cut.half_width, line)


def _push(layout: Layout, below: float) -> Ends:
    return along(bolt(layout).tail_end, tooth(layout).bolt_line - below, PUSH)


EXTENTS = Extents(
    lock={
        "bolt_line.spring_room": lambda of: _at_place(of, of.lock.bolt_line.spring_room),
        "spring.force": lambda of: _at_place(of, PUSH),
        "spring.tip_across": _tip_across,
        "spring.tip_radius": lambda of: _at_place(of, of.lock.spring.tip_radius),
        "spring.tip_height": lambda of: _at_place(of, of.lock.spring.tip_height),
        "spring.thickness": _thickness,
        "spring.preload": _preload,
        "spring.foot_length": _foot_length,
        "detent.ramp": _ramp,
        "detent.push": lambda of: _push(of, 1.0),
        "detent.push_open": lambda of: _push(of, 2.0),
    },
    on_edge={"spring.width": _width},
)
