"""The key: its circle against the inner wall, and key and key gauge as workpieces.

Their frame has its origin on the axis, the bit pointing up.
"""

import math
from collections.abc import Iterable
from dataclasses import replace

from core.geometry.motion import Motion, turned
from core.geometry.path import Arc, Line, Path, Segment, circle, polyline
from core.layout.codes import Code
from core.layout.drawing import Mark, Measure, Stroke
from core.layout.findings import Finding
from core.layout.frames import hand
from core.layout.layout import Layout
from core.layout.outcomes import Outcome
from core.layout.part import Drawn, Part
from core.layout.windows import Bound
from core.layout.workpiece import Scribed, Shape, Suspect, Workpiece
from core.mechanism.tooth_numbers import SLACK
from core.parts.bolt_lies import lies
from core.parts.plate import wall_distance
from core.parts.tooth import bit_shape, tooth

KEY_HITS_WALL = Code(
    "key-hits-wall", "stop", "key radius",
    "On its way round the bit would strike the rim, so the key could not turn.",
)  # fmt: skip


def bit_path(layout: Layout, angle: float) -> Path:
    """Return the exact outline of the bit and shank at a key angle [rad], in the mechanism frame.

    The angle is clockwise from top dead centre in the drive frame.
    """
    bit, shank = bit_shape(layout), layout.lock.key.shank / 2
    (lead, lead_tip), (trail, trail_tip) = bit.faces
    lead_root, trail_root = (math.sqrt(max(shank * shank - x * x, 0.0)) for x in (lead, trail))
    roots = (trail, trail_root), (lead, lead_root)
    if hidden := shank <= max(lead, -trail):
        # a shank thinner than the bit is hidden by it
        roots = (trail, 0.0), (lead, 0.0)
    begin, end = faces = (trail, trail_tip), (lead, lead_tip)
    if bit.rounded > 0:
        # on the tip a rounded corner ends at the angle of its middle
        first, last = bit.tip
        begin, end = (
            (bit.radius * math.sin(t), bit.radius * math.cos(t)) for t in (first, max(first, last))
        )
    tip = [] if begin == end else [Arc((0.0, 0.0), bit.radius, begin, end, "cw")]
    if bit.rounded > 0:
        lead_middle, trail_middle = bit.middles
        tip = [
            Arc(trail_middle, bit.rounded, faces[0], begin, "cw"), *tip,
            Arc(lead_middle, bit.rounded, end, faces[1], "cw"),
        ]  # fmt: skip
    segments: tuple[Segment, ...] = (
        Line(roots[0], faces[0]), *tip, Line(faces[1], roots[1]),
        Line(roots[1], roots[0]) if hidden else Arc((0.0, 0.0), shank, roots[1], roots[0], "cw"),
    )  # fmt: skip
    move: Motion = turned(angle).then(hand(layout))
    return move.path(Path(segments))


def _findings(layout: Layout) -> Iterable[Finding]:
    cut, show = tooth(layout), layout.show
    wall = float(wall_distance(layout))
    if wall < cut.relief_radius - SLACK:
        yield KEY_HITS_WALL.found(
            f"The key's circle with its clearance reaches {show(cut.relief_radius)} from the pivot; the inner "
            f"wall is {show(max(wall, 0.0))} away.",
            cut.relief_radius, wall,
        )  # fmt: skip


def _bounds(layout: Layout) -> Iterable[Bound]:
    yield Bound(
        "key.radius", "high", float(wall_distance(layout)) - layout.lock.fit.key_clearance,
        "the inner wall", KEY_HITS_WALL,
    )  # fmt: skip


def _marks(layout: Layout) -> Iterable[Mark]:
    r = layout.lock.key.radius
    yield Stroke(circle((0.0, 0.0), r), "scribe", "key circle")
    yield Stroke(bit_path(layout, math.pi), "note", "key")
    edge = (r * math.cos(math.radians(30)), -r * math.sin(math.radians(30)))
    yield Stroke(polyline([(0.0, 0.0), edge]), "note", "key circle")
    yield Measure((0.0, 0.0), edge, layout.show(r), "key.radius", "key circle")


def _moving(layout: Layout, angle: float, _travel: float) -> Iterable[Stroke]:
    # its angle is told from square to the bolt
    yield Stroke(bit_path(layout, angle - lies(layout).tilt), "cut", "key")


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
        if segment.centre != (0.0, 0.0):
            return "corner of the bit"
        return "tip of the bit" if abs(segment.radius - radius) < SLACK else root

    return tuple((name(s), s) for s in body.segments)


_KEY = ("key.radius", "key.bit_thickness", "key.shank")
_BIT = ("bit.off_centre", "bit.corners")
_TOOTH = (
    "key.radius", "key.bit_thickness", "fit.key_clearance", "shackle.engagement", "shackle.gap",
    "tooth.pickup_angle", "bolt_line.height", "bolt.depth",
)  # fmt: skip


def _to_wall(layout: Layout) -> float:
    return float(wall_distance(layout)) - tooth(layout).relief_radius


PART = Part(
    "key radius",
    50,
    codes=(KEY_HITS_WALL,),
    drawn=(Drawn("key", "key"), Drawn("key circle", "key", every_face=True)),
    findings=_findings,
    bounds=_bounds,
    outcomes=(Outcome("key_to_wall", "key's circle with clearance to the wall", 80, 1, _to_wall),),
    marks=_marks,
    moving=_moving,
    workpieces=(
        Workpiece(
            "key",
            20,
            (*_KEY, *_BIT),
            _key,
            measurable=(*_KEY, *_BIT),
            unfiled=_BIT[:1],
            grows=_BIT[1:],
            tried=True,
            suspects=(
                Suspect("key.radius", "the key's radius"),
                Suspect("key.bit_thickness", "the thickness of the key's bit"),
                Suspect(
                    "bit.off_centre",
                    "the bit's place on the shank",
                    "the bit stands {off} off the middle of the shank, towards the flank that unlocks",
                    "the bit stands {off} off the middle of the shank, towards the flank that locks",
                ),
            ),
        ),
        Workpiece(
            "key gauge",
            60,
            ("key.radius", "key.bit_thickness", "pivot.hole"),
            _gauge,
            _TOOTH,
        ),
    ),
)
