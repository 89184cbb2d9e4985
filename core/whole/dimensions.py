"""Where each dimension of a lock lies: one line for the value that is asked for, in the plate frame.

What a part's own marks measure is taken from them, the rest from its `EXTENTS`. What lies across the plate's thickness
is drawn beside it, on edge; what is a force lies along the way that it pushes.
"""

from collections.abc import Iterable, Mapping

from core.geometry.path import Point, polyline
from core.layout.drawing import Mark, Measure, Stroke
from core.layout.extents import Ends
from core.layout.frames import hand, to_plate
from core.layout.layout import Layout, derived
from core.lock.facts import came_out
from core.lock.lock import spec_of
from core.lock.paths import place_at
from core.lock.row_kinds import row_kinds
from core.parts.plate_extents import BESIDE, plate_box
from core.whole.assembly import extents, marks
from core.whole.off_lines import OFF_LINES


def dimension(layout: Layout, path: str) -> tuple[Mark, ...]:
    """Return the line for one value, a `Measure` with its ends and text, and what is drawn for it beside the lock.

    All in the plate frame [mm]; nothing for a value that has no place in the drawing, such as a choice.
    """
    own = _own(layout).get(path)
    if own is not None:
        return (own,)
    ends = _ends(layout, path) if path else None
    if ends is None:
        return ()
    text = _text(layout, path)
    return (*_beside(layout, path), Measure(*ends, text, path, place_at(path).table))


def _text(layout: Layout, path: str) -> str:
    """Return the value, that of a place with the side it lies on."""
    return spec_of(path).shown(came_out(layout.plan, path), layout.lock.units)


@derived
def _own(layout: Layout) -> Mapping[str, Measure]:
    """Return the dimensions that parts draw themselves, by path, in the plate frame."""
    move = to_plate(layout)
    return {
        m.path: Measure(
            move.point(m.start), move.point(m.end), _text(layout, m.path), m.path, m.part
        )
        for m in marks(layout)
        if isinstance(m, Measure)
    }


def _ends(layout: Layout, path: str) -> Ends | None:
    placed = extents()
    if path in placed.on_edge:
        seen, left = placed.on_edge[path](layout), _beside_plate(layout)
        return (left, seen.level), (left + seen.wide, seen.level)
    if path in placed.plate:
        return placed.plate[path](layout)
    of_lock = placed.lock.get(path) or OFF_LINES.get(path)
    if of_lock is not None:
        move = hand(layout).then(to_plate(layout))
        start, end = of_lock(layout)
        return move.point(start), move.point(end)
    return _of_row(layout, path)


def _beside_plate(layout: Layout) -> float:
    _, _, right, _ = plate_box(layout)
    return right + BESIDE


def _of_row(layout: Layout, path: str) -> Ends | None:
    """Return the ends of a value of a row: at its middle if it goes through the plates, else beside the plate."""
    place = place_at(path)
    kind = row_kinds().get(place.table)
    if kind is None or not place.row or not isinstance(value := layout.lock.value(path), float):
        return None
    if kind.place is None:
        (_, bottom, _, _), left = plate_box(layout), _beside_plate(layout)
        return (left, bottom), (left + value, bottom)
    x, y = _middle(layout, *(f"{place.table}.{place.row}.{key}" for key in kind.place))
    if place.key in kind.place:
        return ((0.0, y), (x, y)) if place.key == "across" else ((x, 0.0), (x, y))
    return (x - value / 2, y), (x + value / 2, y)


def _middle(layout: Layout, across: str, along: str) -> Point:
    """Return the middle of a row [mm, plate frame]: as its part measures it, or else from the datum mark."""
    own = _own(layout).get(across)
    if own is not None:
        return own.end
    return (float(layout.lock.value(across)), -float(layout.lock.value(along)))


def _beside(layout: Layout, path: str) -> Iterable[Mark]:
    """Yield what is drawn beside the lock to show what it does not show from the front."""
    on_edge = extents().on_edge.get(path)
    if on_edge is None:
        return
    seen, left = on_edge(layout), _beside_plate(layout)
    right, low, high = left + seen.wide, seen.level - seen.tall / 2, seen.level + seen.tall / 2
    corners = [(left, low), (right, low), (right, high), (left, high)]
    yield Stroke(polyline(corners, closed=True), "note", place_at(path).table)
