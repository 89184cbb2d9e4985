"""Where each dimension of a lock lies: one line for the value that is asked for, in the plate frame.

What a part's own marks measure is taken from them; all else is placed here. What lies across the plate's thickness is
drawn beside it, on edge; what is a force lies along the way that it pushes.
"""

import math
from collections.abc import Callable, Iterable, Mapping

import shapely
from shapely.ops import nearest_points

from core.geometry.path import Point, polyline
from core.layout.drawing import Mark, Measure, Stroke
from core.layout.frames import hand, to_plate
from core.layout.layout import Layout, derived
from core.lock.facts import came_out
from core.lock.lock import spec_of
from core.lock.paths import place_at
from core.lock.row_kinds import row_kinds
from core.parts.bolt_contour import bolt, nose_face
from core.parts.guide_places import front_guide, rear_guide
from core.parts.notches import notch, tip_at
from core.parts.plate import inner_in_plate, plate_area, plate_outline
from core.parts.strip import strip
from core.parts.strip_place import ends as strip_ends
from core.parts.tooth import lobe, tooth
from core.whole.assembly import marks
from core.whole.off_lines import OFF_LINES, Ends

BESIDE = 4.0
"""How far off the plate [mm] a dimension of the whole plate stands, and what is drawn on edge."""
PUSH = 6.0
"""Length [mm] of the line that stands for a force."""


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
    beside = _on_edge(layout, path, ends)
    return (*beside, Measure(*ends, text, path, place_at(path).table))


def _text(layout: Layout, path: str) -> str:
    """Return the value, that of a place with the side it lies on."""
    value, spec = came_out(layout.plan, path), spec_of(path)
    if spec.kind.name == "position" and path.endswith("across") and abs(value) > 0:
        return f"{spec.shown(abs(value), layout.lock.units)} {'right' if value > 0 else 'left'}"
    return spec.shown(value, layout.lock.units)


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
    if path in _ON_PLATE:
        return _ON_PLATE[path](layout)
    if path in _ON_LOCK or path in OFF_LINES:
        move = hand(layout).then(to_plate(layout))
        start, end = (_ON_LOCK.get(path) or OFF_LINES[path])(layout)
        return move.point(start), move.point(end)
    return _of_row(layout, path)


def _of_row(layout: Layout, path: str) -> Ends | None:
    """Return the ends of a value of a row: at its middle if it goes through the plates, else beside the plate."""
    place = place_at(path)
    kind = row_kinds().get(place.table)
    if kind is None or not place.row or not isinstance(value := layout.lock.value(path), float):
        return None
    if kind.place is None or place.key in ("depth", "proud"):
        _, bottom, right, _ = _box(layout)
        return (right + BESIDE, bottom), (right + BESIDE + value, bottom)
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


_ON_EDGE = ("plate.thickness", "bolt.thickness", "spring.width")


def _on_edge(layout: Layout, path: str, ends: Ends) -> Iterable[Mark]:
    """Yield what is drawn beside the lock to show what it does not show from the front."""
    if path not in _ON_EDGE:
        return
    (left, y), (right, _) = ends
    half = {
        "plate.thickness": _height(layout) / 2, "spring.width": layout.lock.spring.thickness / 2,
    }.get(path, layout.lock.bolt.depth / 2)  # fmt: skip
    corners = [(left, y - half), (right, y - half), (right, y + half), (left, y + half)]
    yield Stroke(polyline(corners, closed=True), "note", place_at(path).table)


def _height(layout: Layout) -> float:
    _, bottom, _, top = plate_outline(layout).path.bounds()
    return top - bottom


# the plate, in its own frame


def _box(layout: Layout) -> tuple[float, float, float, float]:
    return plate_outline(layout).path.bounds()


def _width(layout: Layout) -> Ends:
    left, bottom, right, _ = _box(layout)
    return (left, bottom - BESIDE), (right, bottom - BESIDE)


def _tall(layout: Layout) -> Ends:
    left, bottom, _, top = _box(layout)
    return (left - BESIDE, bottom), (left - BESIDE, top)


def _corner(layout: Layout) -> Ends:
    _, _, right, top = _box(layout)
    r = min(layout.lock.plate.corner, layout.lock.plate.width / 2, layout.lock.plate.height / 2)
    middle = (right - r, top - r)
    return middle, (middle[0] + r * math.sqrt(0.5), middle[1] + r * math.sqrt(0.5))


def _straight(layout: Layout) -> Ends:
    left, _, _, top = _box(layout)
    return (left - BESIDE, top), (left - BESIDE, top - layout.lock.plate.straight)


def _lobe(layout: Layout) -> Ends:
    _, _, right, top = _box(layout)
    r = layout.lock.plate.lobe
    return (right - r, top - r), (right - r, top)


def _notch(layout: Layout) -> Ends:
    left, _, right, top = _box(layout)
    middle = (left + right) / 2
    return (middle, top), (middle, top - layout.lock.plate.notch)


def _rim(layout: Layout) -> Ends:
    inside, edge = inner_in_plate(layout), plate_area(layout).boundary
    _, _, right, _ = _box(layout)
    if inside.is_empty:
        y = (_box(layout)[1] + _box(layout)[3]) / 2
        return (right - layout.lock.plate.rim, y), (right, y)
    ring = inside.geoms[0] if hasattr(inside, "geoms") else inside
    start = max(ring.exterior.coords)
    end = nearest_points(edge, shapely.Point(start))[0]
    return (float(start[0]), float(start[1])), (float(end.x), float(end.y))


def _plate_on_edge(layout: Layout) -> Ends:
    _, bottom, right, top = _box(layout)
    middle, left = (bottom + top) / 2, right + BESIDE
    return (left, middle), (left + layout.lock.plate.thickness, middle)


def _bolt_on_edge(layout: Layout) -> Ends:
    _, _, right, _ = _box(layout)
    level = -math.hypot(layout.lock.pivot.across, layout.lock.pivot.below)
    y = level + layout.lock.bolt_line.height - layout.lock.bolt.depth / 2
    return (right + BESIDE, y), (right + BESIDE + layout.lock.bolt.thickness, y)


def _strip_on_edge(layout: Layout) -> Ends:
    _, _, right, _ = _box(layout)
    lock = layout.lock
    y = (
        lock.bolt_line.height
        - math.hypot(lock.pivot.across, lock.pivot.below)
        + _strip_level(layout)
    )
    return (right + BESIDE, y), (right + BESIDE + lock.spring.width, y)


def _strip_level(layout: Layout) -> float:
    """Return how high [mm] above the bolt line the strip's underside is; what a tip bent down stands out if felt."""
    made = strip(layout)
    return layout.lock.spring.tip_height if made is None else made.tip_height


def _pivot_across(layout: Layout) -> Ends:
    pivot = layout.lock.pivot
    return (0.0, -pivot.below), (pivot.across, -pivot.below)


def _mark(layout: Layout) -> Ends:
    return (-layout.lock.plate.mark_across, 0.0), (0.0, 0.0)


_ON_PLATE: Mapping[str, Callable[[Layout], Ends]] = {
    "plate.width": _width, "plate.height": _tall, "plate.corner": _corner, "plate.straight": _straight,
    "plate.lobe": _lobe, "plate.notch": _notch, "plate.rim": _rim, "plate.thickness": _plate_on_edge,
    "plate.mark_across": _mark, "pivot.across": _pivot_across, "bolt.thickness": _bolt_on_edge,
    "spring.width": _strip_on_edge,
}  # fmt: skip


# key, bolt and what is round them, in the drive frame


def _along(x: float, y: float, by: float) -> Ends:
    return (x, y), (x + by, y)


def _up(x: float, y: float, by: float) -> Ends:
    return (x, y), (x, y + by)


def _over(x: float, y: float, size: float) -> Ends:
    return (x - size / 2, y), (x + size / 2, y)


def _pickup(layout: Layout) -> Ends:
    cut = tooth(layout)
    r, a = cut.radius, cut.pickup_angle
    return (0.0, r), (-r * math.sin(a), r * math.cos(a))


def _nose_level(layout: Layout) -> float:
    return tooth(layout).bolt_line - layout.lock.bolt.nose_height / 2


def _signed(layout: Layout, x: float) -> float:
    """Return a place [mm] that is signed in the mechanism frame as it is in the drive frame."""
    return hand(layout).point((x, 0.0))[0]


def _end(layout: Layout) -> Ends:
    line = tooth(layout).bolt_line + 1.0
    return (0.0, line), (_signed(layout, layout.lock.shackle.across), line)


def _tip(layout: Layout) -> Ends:
    x = _signed(layout, layout.lock.spring.tip_across)
    y = tooth(layout).bolt_line + layout.lock.bolt_line.spring_room / 2
    return (0.0, y), (x, y)


def _at_tip(layout: Layout, by: float) -> Ends:
    return _up(_signed(layout, layout.lock.spring.tip_across), tooth(layout).bolt_line, by)


def _foot(layout: Layout) -> Ends:
    made = strip(layout)
    left, right = (0.0, 0.0) if made is None else strip_ends(layout, made)
    level = tooth(layout).bolt_line + _strip_level(layout) + layout.lock.spring.thickness + 0.5
    long = layout.lock.spring.foot_length
    # at the end that lies farther from the tip
    outer = left if tip_at(layout) - left > right - tip_at(layout) else right
    return _along(outer, level, long if outer == left else -long)


def _ramp(layout: Layout) -> Ends:
    cut, at, line = notch(layout), tip_at(layout), tooth(layout).bolt_line
    if cut is None:
        return (at, line), (at, line)
    return (at + cut.floor, line - cut.foot), (at + cut.half_width, line)


def _chamfer(layout: Layout) -> Ends:
    beside = lobe(layout)
    x = beside.meets - tooth(layout).throw
    return _along(x, tooth(layout).lower_edge, layout.lock.bolt.lobe_chamfer)


def _front_middle(layout: Layout) -> float:
    guide = front_guide(layout)
    return -(guide.near + guide.far) / 2


def _drag(layout: Layout) -> Ends:
    lock = layout.lock
    y = lock.bolt_line.height - (lock.bolt.nose_height + lock.bolt.tail_height) / 4
    return _along(bolt(layout).tail_end, y, PUSH)


def _floor(layout: Layout, table: str) -> Ends:
    guide = front_guide(layout) if table == "front_guide" else rear_guide(layout)
    return _up(guide.side * (guide.near + guide.far) / 2, guide.bottom, guide.values.floor)


def _wide(layout: Layout, table: str) -> Ends:
    guide = front_guide(layout) if table == "front_guide" else rear_guide(layout)
    return (guide.side * guide.near, guide.top + 1.5), (guide.side * guide.far, guide.top + 1.5)


_ON_LOCK: Mapping[str, Callable[[Layout], Ends]] = {
    "pivot.hole": lambda of: _over(0.0, 0.0, of.lock.pivot.hole),
    "bolt_line.spring_room": lambda of: _at_tip(of, of.lock.bolt_line.spring_room),
    "key.bit_thickness": lambda of: _over(0.0, -0.85 * of.lock.key.radius, of.lock.key.bit_thickness),
    "key.shank": lambda of: _over(0.0, 0.0, of.lock.key.shank),
    "tooth.pickup_angle": _pickup,
    "shackle.engagement": lambda of: _along(-nose_face(of), _nose_level(of), -of.lock.shackle.engagement),
    "shackle.gap": lambda of: _along(-nose_face(of), _nose_level(of), of.lock.shackle.gap),
    "shackle.across": _end,
    "shackle.diameter": lambda of: _along(
        -nose_face(of), tooth(of).bolt_line - of.lock.shackle.drop + 1.0, -of.lock.shackle.diameter
    ),
    "rear_guide.width": lambda of: _wide(of, "rear_guide"),
    "rear_guide.floor": lambda of: _floor(of, "rear_guide"),
    "front_guide.width": lambda of: _wide(of, "front_guide"),
    "front_guide.floor": lambda of: _floor(of, "front_guide"),
    "spring.force": lambda of: _at_tip(of, PUSH),
    "spring.tip_across": _tip,
    "spring.thickness": lambda of: _up(
        tip_at(of), tooth(of).bolt_line + _strip_level(of), of.lock.spring.thickness
    ),
    "spring.preload": lambda of: _up(
        tip_at(of), tooth(of).bolt_line - (c.seat_drop if (c := notch(of)) else 0.0), -of.lock.spring.preload
    ),
    "spring.tip_radius": lambda of: _at_tip(of, of.lock.spring.tip_radius),
    "spring.tip_height": lambda of: _at_tip(of, of.lock.spring.tip_height),
    "spring.foot_length": _foot,
    "detent.ramp": _ramp,
    "detent.push": lambda of: _along(bolt(of).tail_end, tooth(of).bolt_line - 1.0, PUSH),
    "detent.push_open": lambda of: _along(bolt(of).tail_end, tooth(of).bolt_line - 2.0, PUSH),
    "friction.drag": _drag,
    "bolt.nose_height": lambda of: _up(bolt(of).nose_tip + 1.0, tooth(of).bolt_line, -of.lock.bolt.nose_height),
    "bolt.tail_height": lambda of: _up(bolt(of).tail_end - 1.0, tooth(of).bolt_line, -of.lock.bolt.tail_height),
    "bolt.lobe_width": lambda of: _along(
        -tooth(of).flank, tooth(of).lower_edge + 1.0, -of.lock.bolt.lobe_width
    ),
    "bolt.lobe_chamfer": _chamfer,
    "fit.key_clearance": lambda of: _up(0.0, tooth(of).radius, of.lock.fit.key_clearance),
    "fit.slide_clearance": lambda of: _up(_front_middle(of), tooth(of).bolt_line, of.lock.fit.slide_clearance),
    "fit.bridge_min": lambda of: _up(0.0, tooth(of).relief_radius, of.lock.fit.bridge_min),
    "fit.detent_capture": lambda of: _along(bolt(of).tail_end, tooth(of).bolt_line - 1.0, of.lock.fit.detent_capture),
    "fit.made_tolerance": lambda of: _up(bolt(of).tail_end - 1.0, tooth(of).bolt_line, of.lock.fit.made_tolerance),
    "filing.guide_floors": lambda of: _up(
        _front_middle(of), front_guide(of).bottom + front_guide(of).values.floor, of.lock.filing.guide_floors
    ),
    "filing.legs": lambda of: _up(
        bolt(of).nose_tip + 1.0, tooth(of).bolt_line - of.lock.bolt.nose_height, -of.lock.filing.legs
    ),
    "filing.lower_edge": lambda of: _up(
        bolt(of).left + 1.0, tooth(of).lower_edge, -of.lock.filing.lower_edge
    ),
    "filing.relief": lambda of: _up(0.0, tooth(of).relief_radius, -of.lock.filing.relief),
    "filing.bit_tip": lambda of: _up(0.0, -of.lock.key.radius, -of.lock.filing.bit_tip),
    "filing.bit_faces": lambda of: _along(
        of.lock.key.bit_thickness / 2, -0.85 * of.lock.key.radius, of.lock.filing.bit_faces
    ),
    "filing.flanks": lambda of: _along(-tooth(of).flank, tooth(of).flank_foot + 0.5, of.lock.filing.flanks),
    "filing.nose_tip": lambda of: _along(bolt(of).nose_tip, _nose_level(of), -of.lock.filing.nose_tip),
    "spread.filed": lambda of: _up(bolt(of).left + 1.0, tooth(of).lower_edge, -of.lock.spread.filed),
    "spread.circle": lambda of: _up(0.0, -of.lock.key.radius, -of.lock.spread.circle),
    "spread.bit": lambda of: _along(
        of.lock.key.bit_thickness / 2, -0.85 * of.lock.key.radius, of.lock.spread.bit
    ),
    "spread.shank": lambda of: _along(of.lock.key.shank / 2, 0.0, of.lock.spread.shank),
    "spread.hole": lambda of: _along(of.lock.pivot.hole / 2, 0.0, of.lock.spread.hole),
    "spread.pivot": lambda of: _along(0.0, 0.0, of.lock.spread.pivot),
    "spread.flank": lambda of: _along(-tooth(of).flank, tooth(of).flank_foot + 0.5, of.lock.spread.flank),
    "spread.relief": lambda of: _up(0.0, tooth(of).relief_radius, -of.lock.spread.relief),
    "spread.depth": lambda of: _up(bolt(of).left + 1.0, tooth(of).lower_edge, -of.lock.spread.depth),
    "spread.roof": lambda of: _up(0.0, tooth(of).relief_radius, of.lock.spread.roof),
    "spread.seats": lambda of: _along(bolt(of).tail_end, tooth(of).bolt_line - 1.0, of.lock.spread.seats),
    "spread.nose": lambda of: _along(bolt(of).nose_tip, _nose_level(of), -of.lock.spread.nose),
    "spread.shackle": lambda of: _along(-nose_face(of), _nose_level(of), -of.lock.spread.shackle),
}  # fmt: skip
"""Ends of each dimension that no part draws itself, in the drive frame [mm], the bolt at the locked seat."""
