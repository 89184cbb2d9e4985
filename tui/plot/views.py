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
from core.whole.dimensions import dimension
from tui.plot.picture import bounds
from tui.plot.scale import Bounds

View = Literal["whole", "plate", "tooth", "close"]
"""What the drawing shows: all, the plate without the shackle, the tooth alone, or close to the dimension asked for."""
VIEWS: tuple[View, ...] = ("whole", "plate", "tooth", "close")
LEAST_SEEN = 0.1
"""Share of a view's size that a dimension takes at least, to be made out in it."""
_NEAR = 6.0
"""How many times its length is shown about a dimension that is looked at closely."""
_NEAREST = 1.5
"""Least size [mm] of a close view."""
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


def asked(layout: Layout, *paths: str) -> tuple[Mark, ...]:
    """Return the marks of the lock with the dimension lines of the values at `paths` alone, as `upright` does."""
    others = tuple(mark for mark in upright(layout) if not isinstance(mark, Measure))
    return (*others, *(mark for path in paths for mark in dimension(layout, path)))


def best_view(layout: Layout, path: str, *wanted: View) -> View:
    """Return the first of the `wanted` views, or else of all, that shows the dimension at `path`, ends and all."""
    ends = _ends(layout, path)
    if ends is None:
        return wanted[0]
    left, bottom, right, top = ends
    span = max(right - left, top - bottom)
    for view in (*wanted, *VIEWS[:-1]):
        box = _shown(layout, view, ends)
        inside = box[0] <= left and right <= box[2] and box[1] <= bottom and top <= box[3]
        size = max(box[2] - box[0], box[3] - box[1])
        if inside and (span >= LEAST_SEEN * size or span == 0.0):
            return view
    return "close"


def _ends(layout: Layout, path: str) -> Bounds | None:
    """Return the box round the ends of a dimension [mm, plate frame], None without one."""
    found = [mark for mark in dimension(layout, path) if isinstance(mark, Measure)]
    if not found:
        return None
    xs, ys = zip(found[0].start, found[0].end, strict=True)
    return (min(xs), min(ys), max(xs), max(ys))


def region(layout: Layout, view: View, path: str = "") -> Bounds:
    """Return the region [mm, plate frame] that a view shows, with its margin.

    A view of the plate or of all makes room for the dimension at `path` where it stands beside the plate.
    """
    return _shown(layout, view, _ends(layout, path) if path else None)


def _shown(layout: Layout, view: View, ends: Bounds | None) -> Bounds:
    """Return the region [mm, plate frame] that a view shows of a lock and of a dimension with these ends."""
    if view == "close" and ends is not None:
        half = max(_NEAR * max(ends[2] - ends[0], ends[3] - ends[1]), _NEAREST) / 2
        x, y = (ends[0] + ends[2]) / 2, (ends[1] + ends[3]) / 2
        return (x - half, y - half, x + half, y + half)
    if view == "tooth":
        box = _about_the_tooth(layout)
    else:
        found = upright(layout)
        box = bounds(found, ("plate",) if view == "plate" else None) or bounds(found) or _NOTHING
    left, bottom, right, top = box
    if ends is not None and view != "tooth":
        left, bottom = min(left, ends[0]), min(bottom, ends[1])
        right, top = max(right, ends[2]), max(top, ends[3])
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
