"""The workpieces of every lock: both plates, key, bolt, both guides, shackle and key gauge.

Each frame goes with its workpiece: the plates' is the plate frame; the key's and gauge's has its origin on the
axis, the bit pointing up; the bolt's lies on the bolt line in the middle of the gap; a guide's at its near
face on the floor of its slot; the shackle's at the height of the datum mark, on the centreline.
Bolt and shackle are seen in the drive frame: turned over, the bolt of the other hand is the same bolt.
"""

import math
from collections.abc import Callable, Iterable
from dataclasses import replace

from core import registry
from core.geometry.motion import shift
from core.geometry.path import Line, Path, Segment, circle, polyline
from core.layout import Layout
from core.parts.bolt import bolt, nose_face
from core.parts.guides import Guide, front_guide, rear_guide
from core.parts.key import bit_path
from core.parts.plate import plate_outline, spot_in_drive
from core.parts.tooth import SLACK, tooth
from core.workpiece import Cut, Scribed, Shape, Size, Workpiece

_PLATE = (
    "plate.outline", "plate.width", "plate.height", "plate.corner", "plate.straight", "plate.lobe",
    "plate.notch", "plate.points", "plate.mark_across", "plate.thickness",
    "pivot.across", "pivot.below", "pivot.hole",
)  # fmt: skip
_MARKED_OUT = (
    "unlocks", "bolt_line.height", "front_guide.from_centreline", "front_guide.width",
    "rear_guide.from_centreline", "rear_guide.width", "shackle.across", "shackle.diameter",
    "shackle.drop",
)  # fmt: skip
_TOOTH = (
    "key.radius", "key.bit_thickness", "fit.key_clearance", "shackle.engagement", "shackle.gap",
    "tooth.pickup_angle", "bolt_line.height", "bolt.depth",
)  # fmt: skip
_BOLT = (
    *_TOOTH, "tooth.roof", "key.shank", "bolt.thickness", "bolt.nose_height", "bolt.tail_height",
    "bolt.lobe_width", "unlocks", "shackle.across", "shackle.diameter", "rear_guide.from_centreline",
    "rear_guide.width",
)  # fmt: skip
_SHACKLE = (
    "unlocks", "shackle.across", "shackle.diameter", "shackle.catch", "shackle.drop", "shackle.engagement",
    "pivot.across", "pivot.below", "bolt_line.height", "bolt.nose_height", "bolt.thickness",
    "fit.slide_clearance",
)  # fmt: skip
_SCRIBED = frozenset({"bolt line", "guides", "shackle"})
"""The parts whose spots of the marking-out table are scribed on the back plate."""


def _plate(layout: Layout) -> Shape:
    outline, pivot = plate_outline(layout).path, layout.lock.pivot
    hole = Cut("pivot hole", circle((pivot.across, -pivot.below), pivot.hole / 2))
    thickness = Size("thickness", layout.lock.plate.thickness)
    return Shape(outline, (hole,), (thickness,), edges=_named("edge of the plate", outline))


def _back_plate(layout: Layout) -> Shape:
    plain = _plate(layout)
    parts = (part for part in registry.all_parts() if part.name in _SCRIBED)
    spots = (spot for part in parts for spot in part.spots(layout))
    scribed = [Scribed(spot.what, (spot.across, -spot.below)) for spot in spots]
    rim = Size("rim", layout.lock.plate.rim)
    return Shape(plain.body, plain.cuts, (*plain.sizes, rim), tuple(scribed), plain.edges)


def _key(layout: Layout) -> Shape:
    body, r = _upright_bit(layout, layout.lock.key.shank), layout.lock.key.radius
    return Shape(body, edges=_bit_edges(body, r, "shank"))


def _gauge(layout: Layout) -> Shape:
    # an arm like the bit on a pin that fits the pivot hole
    body, cut = _upright_bit(layout, layout.lock.pivot.hole), tooth(layout)
    lines = (
        ("line of the relief radius", cut.relief_radius),
        ("line of the flanks' foot", cut.flank_foot),
        ("bolt line", cut.bolt_line),
        ("line of the lower edge", cut.lower_edge),
    )
    scribed = tuple(Scribed(name, (0.0, height)) for name, height in lines)
    return Shape(body, scribed=scribed, edges=_bit_edges(body, cut.radius, "pin"))


def _upright_bit(layout: Layout, root: float) -> Path:
    """Return the outline of the bit on a round root of that diameter [mm], whichever way the lock turns."""
    lock = replace(layout.lock, unlocks="right", made=())
    return bit_path(Layout(lock.with_value("key.shank", root)), 0.0)


def _bit_edges(body: Path, radius: float, root: str) -> tuple[tuple[str, Segment], ...]:
    def name(segment: Segment) -> str:
        if isinstance(segment, Line):
            return "face of the bit"
        return "tip of the bit" if abs(segment.radius - radius) < SLACK else root

    return tuple((name(s), s) for s in body.segments)


def _bolt(layout: Layout) -> Shape:
    made, cut = bolt(layout), tooth(layout)
    body = shift(cut.throw / 2, -cut.bolt_line).path(made.contour)
    half = cut.gap_width / 2
    thickness = Size("thickness", layout.lock.bolt.thickness)
    return Shape(
        body, sizes=(thickness,), edges=tuple(_bolt_edges(layout, body)), references=(half, -half)
    )


def _bolt_edges(layout: Layout, body: Path) -> Iterable[tuple[str, Segment]]:
    """Name every segment of the bolt's outline, in its own frame."""
    cut, made = tooth(layout), bolt(layout)
    half, middle = cut.gap_width / 2, cut.throw / 2
    ends = {"tip of the nose": made.nose_tip + middle, "end of the tail": made.tail_end + middle}
    for segment in body.segments:
        x = (segment.start[0] + segment.end[0]) / 2
        y = (segment.start[1] + segment.end[1]) / 2
        side = "tail" if x > 0 else "nose"
        flank = "unlocking" if x > 0 else "locking"
        upright = abs(segment.start[0] - segment.end[0]) < SLACK
        inside = abs(x) < half - SLACK
        if abs(y) < SLACK and not upright:
            yield "top edge", segment
        elif upright and abs(abs(x) - half) < SLACK:
            yield f"{flank} flank", segment
        elif inside:
            yield "roof of the gap", segment
        elif not isinstance(segment, Line):
            yield f"relief at the {flank} flank", segment
        elif upright:
            near = [name for name, at in ends.items() if abs(x - at) < SLACK]
            yield (near[0] if near else f"outer side of the lobe at the {flank} flank"), segment
        elif made.left + middle - SLACK < x < made.right + middle + SLACK:
            yield f"lower edge, {side} side", segment
        else:
            yield f"lower edge of the {side}", segment


def _guide_shape(layout: Layout, guide: Guide) -> Shape:
    lock, values = layout.lock, guide.values
    body = _box(0.0, -values.floor, values.width, 0.0)
    slot = Size("height of the slot", guide.leg + 2 * lock.fit.slide_clearance, opening=True)
    depth = Size("depth of the slot", lock.bolt.thickness, opening=True)
    at = spot_in_drive(layout, guide.name, (guide.side * guide.near, lock.bolt_line.height))
    return Shape(body, sizes=(slot, depth), edges=_box_edges(body), place=(at.across, -at.below))


def _front_guide(layout: Layout) -> Shape:
    return _guide_shape(layout, front_guide(layout))


def _rear_guide(layout: Layout) -> Shape:
    return _guide_shape(layout, rear_guide(layout))


def _shackle(layout: Layout) -> Shape:
    lock, near = layout.lock, -nose_face(layout)
    shackle, slide = lock.shackle, lock.fit.slide_clearance
    line = lock.bolt_line.height - math.hypot(lock.pivot.across, lock.pivot.below)
    low = line - shackle.drop
    far = near - shackle.diameter
    # the leg comes down from above the plate; what lies above the datum mark does not matter here
    body = _box(far, low, near, max(0.0, line + slide) + 1.0)
    deep = far if shackle.catch == "eye" else near - shackle.engagement
    eye = Cut(shackle.catch, _box(deep, line - lock.bolt.nose_height - slide, near, line + slide))
    through = Size(f"{shackle.catch}, front to back", lock.bolt.thickness, opening=True)
    names = ("end", "inner side", "top", "outer side")
    edges = tuple(zip(names, body.segments, strict=True))
    return Shape(body, (eye,), (through,), edges=edges)


def _box(x0: float, y0: float, x1: float, y1: float) -> Path:
    """Return the rectangle between two corners [mm]: foot, right, top, left."""
    return polyline(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), closed=True)


def _box_edges(body: Path) -> tuple[tuple[str, Segment], ...]:
    names = ("underside", "side", "floor of the slot", "side")
    return tuple(zip(names, body.segments, strict=True))


def _named(name: str, path: Path) -> tuple[tuple[str, Segment], ...]:
    return tuple((name, segment) for segment in path.segments)


_KEY = ("key.radius", "key.bit_thickness", "key.shank")
_ON_BOLT = (
    "bolt.depth", "bolt.thickness", "bolt.nose_height", "bolt.tail_height", "bolt.lobe_width",
    "fit.key_clearance",
)  # fmt: skip
_ON_SHACKLE = ("shackle.across", "shackle.diameter", "shackle.drop")


def _guide_piece(name: str, order: int, leg: str, shape: Callable[[Layout], Shape]) -> Workpiece:
    table = name.replace(" ", "_")
    width, floor, near = (f"{table}.{size}" for size in ("width", "floor", "from_centreline"))
    return Workpiece(
        name, order, (width, floor, f"bolt.{leg}_height", "bolt.thickness", "fit.slide_clearance"),
        shape,
        placed_by=("unlocks", "pivot.across", "pivot.below", "bolt_line.height", near),
        measurable=(width, floor, near),
    )  # fmt: skip


WORKPIECES = (
    Workpiece("back plate", 10, (*_PLATE, "plate.rim"), _back_plate, _MARKED_OUT, (*_PLATE, "plate.rim")),
    Workpiece("front plate", 11, _PLATE, _plate, measurable=_PLATE),
    Workpiece("key", 20, _KEY, _key, measurable=_KEY),
    Workpiece("bolt", 30, _BOLT, _bolt, measurable=_ON_BOLT,
        # whether a scribed roof can stand takes a whole turn of the key to tell
        sketched=(("tooth.roof", "flat"),),
    ),
    _guide_piece("front guide", 40, "nose", _front_guide),
    _guide_piece("rear guide", 41, "tail", _rear_guide),
    Workpiece("shackle", 50, _SHACKLE, _shackle, measurable=_ON_SHACKLE),
    Workpiece("key gauge", 60, ("key.radius", "key.bit_thickness", "pivot.hole"), _gauge, _TOOTH),
)  # fmt: skip
