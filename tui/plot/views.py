"""What the drawing shows: a lock's marks with the plate upright, and the region of a view."""

from dataclasses import replace
from typing import Literal

from core.geometry.motion import Motion
from core.layout.drawing import Label, Mark, Measure, Stroke
from core.layout.frames import hand, to_plate
from core.layout.layout import Layout, derived
from core.parts.bolt_contour import bolt
from core.parts.tooth import tooth
from core.whole.assembly import marks
from tui.plot.picture import bounds
from tui.plot.scale import Bounds

View = Literal["whole", "plate", "tooth"]
"""What the drawing shows when a step opens: all, the plate without the shackle, or the tooth
alone.
"""
_MARGIN = 0.03
"""Blank left around a view, as a share of its size."""
_NOTHING: Bounds = (-50.0, -50.0, 50.0, 50.0)


@derived
def upright(layout: Layout) -> tuple[Mark, ...]:
    """Return the marks of the lock in the plate frame, the plate upright as on the bench."""
    move = to_plate(layout)
    return tuple(moved(mark, move) for mark in marks(layout))


def moved(mark: Mark, move: Motion) -> Mark:
    """Return a mark in the frame to which `move` leads."""
    match mark:
        case Stroke():
            return replace(mark, path=move.path(mark.path))
        case Label():
            return replace(mark, at=move.point(mark.at))
        case Measure():
            return replace(mark, start=move.point(mark.start), end=move.point(mark.end))


def region(layout: Layout, view: View) -> Bounds:
    """Return the region [mm, plate frame] that a view shows, with its margin."""
    found = upright(layout)
    if view == "tooth":
        box = _about_the_tooth(layout)
    else:
        box = bounds(found, ("plate",) if view == "plate" else None) or bounds(found) or _NOTHING
    left, bottom, right, top = box
    edge = max(right - left, top - bottom) * _MARGIN
    return (left - edge, bottom - edge, right + edge, top + edge)


def _about_the_tooth(layout: Layout) -> Bounds:
    """Return the region of the bolt's body over its travel, from the pivot up to the bolt line."""
    cut, made = tooth(layout), bolt(layout)
    corners = [
        (made.left, -0.1 * cut.radius),
        (made.right + cut.throw, cut.bolt_line + 0.15 * cut.radius),
    ]
    move = hand(layout).then(to_plate(layout))
    # the plate's centreline may lean: the corners of the upright box round them are enough
    (x0, y0), (x1, y1) = (move.point(corner) for corner in corners)
    return (min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))
