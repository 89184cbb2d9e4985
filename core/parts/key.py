"""The key's circle against the inner wall."""

import math
from collections.abc import Iterable

from core.drawing import Mark, Measure, Stroke
from core.findings import Finding
from core.frames import hand
from core.geometry.motion import Motion, turned
from core.geometry.path import Arc, Line, Path, Segment, circle, polyline
from core.layout import Layout
from core.parts.plate import wall_distance
from core.parts.tooth import SLACK, tooth
from core.registry import Part
from core.windows import Bound


def bit_path(layout: Layout, angle: float) -> Path:
    """Return the exact outline of the bit and shank at a key angle [rad], in the mechanism frame.

    The angle is clockwise from top dead centre in the drive frame.
    """
    lock, cut = layout.lock, tooth(layout)
    half, r, shank = min(cut.half_bit, cut.radius), cut.radius, lock.key.shank / 2
    tip = math.sqrt(max(r * r - half * half, 0.0))
    root = math.sqrt(max(shank * shank - half * half, 0.0))
    segments: tuple[Segment, ...] = (
        Line((-half, root), (-half, tip)),
        Arc((0.0, 0.0), r, (-half, tip), (half, tip), "cw"),
        Line((half, tip), (half, root)),
        Arc((0.0, 0.0), shank, (half, root), (-half, root), "cw"),
    )
    if shank <= half:
        # a shank thinner than the bit is hidden by it
        corners = [(-half, 0.0), (-half, tip)]
        segments = (
            Line(*corners), segments[1], Line((half, tip), (half, 0.0)), Line((half, 0.0), (-half, 0.0)),
        )  # fmt: skip
    move: Motion = turned(angle).then(hand(layout))
    return move.path(Path(segments))


def _findings(layout: Layout) -> Iterable[Finding]:
    cut, show = tooth(layout), layout.show
    wall = float(wall_distance(layout))
    if wall < cut.relief_radius - SLACK:
        yield Finding(
            "key-hits-wall", "stop", "key radius",
            f"The key's circle with its clearance reaches {show(cut.relief_radius)} from the pivot; the inner "
            f"wall is {show(max(wall, 0.0))} away.",
            cut.relief_radius, wall,
        )  # fmt: skip


def _bounds(layout: Layout) -> Iterable[Bound]:
    yield Bound(
        "key.radius", "high", float(wall_distance(layout)) - layout.lock.fit.key_clearance,
        "the inner wall", "key-hits-wall",
    )  # fmt: skip


def _marks(layout: Layout) -> Iterable[Mark]:
    r = layout.lock.key.radius
    yield Stroke(circle((0.0, 0.0), r), "scribe", "key circle")
    yield Stroke(bit_path(layout, math.pi), "note", "key")
    edge = (r * math.cos(math.radians(30)), -r * math.sin(math.radians(30)))
    yield Stroke(polyline([(0.0, 0.0), edge]), "note", "key circle")
    yield Measure((0.0, 0.0), edge, layout.show(r), "key.radius", "key circle")


PART = Part("key radius", 50, findings=_findings, bounds=_bounds, marks=_marks)
