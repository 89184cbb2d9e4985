"""The shackle's free end: where it comes down, and how the bolt's nose holds it."""

import math
from collections.abc import Iterable, Mapping

from shapely.geometry import LineString
from shapely.geometry.base import BaseGeometry

from core.geometry.path import polyline
from core.geometry.polygons import rectangle
from core.layout.codes import Code
from core.layout.drawing import Mark, Measure, Stroke
from core.layout.findings import Finding
from core.layout.frames import hand
from core.layout.layout import Layout, derived
from core.layout.part import Drawn, Fixed, Part, Spot, scribed_at
from core.layout.windows import Bound
from core.layout.workpiece import Cut, Feature, Shape, Size, Suspect, Workpiece, box
from core.lock.fields import SOURCE_NONE
from core.lock.in_mirror import OTHER
from core.mechanism.tooth_numbers import SLACK
from core.parts.bolt_contour import nose_face, notch_depth
from core.parts.inner_wall import wall_down
from core.parts.plate import far_from, inner, outside_wall, spot_in_drive
from core.parts.tooth import tooth

WRONG_SIDE = Code(
    "shackle-wrong-side", "stop", "shackle",
    "The nose comes out on the other side when the lock is shut, so it never meets the shackle.",
)  # fmt: skip
IN_KEY_CIRCLE = Code(
    "shackle-in-key-circle", "stop", "shackle",
    "On its way round the bit would strike the end of the shackle, so the key could not turn.",
)  # fmt: skip
OUTSIDE_WALL = Code(
    "shackle-outside-wall", "stop", "shackle",
    "The end of the shackle would come down in the rim or off the plate.",
)  # fmt: skip
NOTCH_CUTS_THROUGH = Code(
    "notch-cuts-through", "stop", "shackle",
    "Nothing is left of the shackle beside such a notch, so what is below it comes off.",
)  # fmt: skip
NOTCH_DEEP = Code(
    "notch-deep", "look", "shackle",
    "The deeper the notch, the less metal beside it holds the end of the shackle together.",
)  # fmt: skip

DEEPEST_NOTCH = 0.4
"""Share of the shackle's diameter that a notch may take before it wants a look; common practice, no source."""


@derived
def end_area(layout: Layout) -> BaseGeometry:
    """Return the free end below the bolt line as an area, in the drive frame."""
    shackle, line = layout.lock.shackle, layout.lock.bolt_line.height
    face = nose_face(layout)
    return rectangle(-face, line, -face - shackle.diameter, line - shackle.drop)


def drop_to_circle(layout: Layout) -> float | None:
    """Return the drop [mm] at which the end's inner corner meets the key's circle, None where it cannot."""
    cut, face = tooth(layout), nose_face(layout)
    if face >= cut.relief_radius:
        return None
    return cut.bolt_line - math.sqrt(cut.relief_radius**2 - max(face, 0.0) ** 2)


def drop_to_wall(layout: Layout) -> float:
    """Return the drop [mm] at which the end meets the inner wall below it; 0 where it starts outside."""
    face, line = nose_face(layout), layout.lock.bolt_line.height
    across = (-face - layout.lock.shackle.diameter, -face)
    if not inner(layout).covers(LineString([(x, line) for x in across])):
        return 0.0
    wall = wall_down(layout, *across, line)
    return line - wall if wall is not None else 0.0


def _findings(layout: Layout) -> Iterable[Finding]:
    lock, show = layout.lock, layout.show
    shackle = lock.shackle
    if nose_face(layout) <= 0:
        side = OTHER[lock.unlocks]
        yield WRONG_SIDE.found(
            f"A bolt that unlocks to the {lock.unlocks} locks to the {side}; the shackle's end must "
            f"stand wholly to the {side} of the centreline.",
            shackle.across, 0.0,
        )  # fmt: skip
        return
    circle = drop_to_circle(layout)
    if circle is not None and shackle.drop > circle + SLACK:
        yield IN_KEY_CIRCLE.found(
            f"The shackle's end stands in the key's circle with its clearance; {show(max(circle, 0.0))} below the bolt "
            "line is the most.",
            shackle.drop, circle,
        )  # fmt: skip
    over = outside_wall(layout, end_area(layout))
    if over > 0 or shackle.drop > drop_to_wall(layout) + SLACK:
        yield OUTSIDE_WALL.found(
            f"The shackle's end reaches outside the inner wall, by {layout.show_area(over)}.",
            over,
            0.0,
        )
    yield from _notch_findings(layout)


def _notch_findings(layout: Layout) -> Iterable[Finding]:
    shackle, show, deep = layout.lock.shackle, layout.show, notch_depth(layout.lock)
    if shackle.catch != "notch":
        return
    if deep >= shackle.diameter:
        yield NOTCH_CUTS_THROUGH.found(
            f"A notch {show(deep)} deep cuts through an end {show(shackle.diameter)} across.",
            deep, shackle.diameter,
        )  # fmt: skip
    elif deep > DEEPEST_NOTCH * shackle.diameter + SLACK:
        yield NOTCH_DEEP.found(
            f"A notch {show(deep)} deep takes more than {DEEPEST_NOTCH:g} of an end "
            f"{show(shackle.diameter)} across ({SOURCE_NONE}).",
            deep, DEEPEST_NOTCH * shackle.diameter,
        )  # fmt: skip


def _bounds(layout: Layout) -> Iterable[Bound]:
    path = "shackle.drop"
    circle = drop_to_circle(layout)
    if circle is not None:
        yield Bound(path, "high", circle, "the key's circle", IN_KEY_CIRCLE)
    yield Bound(path, "high", far_from(drop_to_wall(layout)), "the inner wall", OUTSIDE_WALL)


def _marks(layout: Layout) -> Iterable[Mark]:
    here, shackle, line = hand(layout), layout.lock.shackle, layout.lock.bolt_line.height
    face = nose_face(layout)
    top, low = line + layout.lock.bolt_line.spring_room, line - shackle.drop
    outer = -face - shackle.diameter
    # the end comes down from above: it is left open at the top
    corners = ((-face, top), (-face, low), (outer, low), (outer, top))
    yield Stroke(polyline([here.point(p) for p in corners]), "cut", "shackle")
    yield Measure(
        here.point((outer - 1.5, line)), here.point((outer - 1.5, low)),
        layout.show(shackle.drop), "shackle.drop", "shackle",
    )  # fmt: skip


def _spots(layout: Layout) -> Iterable[Spot]:
    line, shackle = layout.lock.bolt_line.height, layout.lock.shackle
    middle = -nose_face(layout) - shackle.diameter / 2
    yield spot_in_drive(
        layout, "shackle end, middle of its underside", (middle, line - shackle.drop)
    )


def _fixed(layout: Layout) -> Mapping[str, BaseGeometry]:
    return {"shackle end": end_area(layout)}


def _shackle(layout: Layout) -> Shape:
    lock, near = layout.lock, -nose_face(layout)
    shackle, slide = lock.shackle, lock.fit.slide_clearance
    line = lock.bolt_line.height - math.hypot(lock.pivot.across, lock.pivot.below)
    low = line - shackle.drop
    far = near - shackle.diameter
    # the leg comes down from above the plate; what lies above the datum mark does not matter here
    body = box(far, low, near, max(0.0, line + slide) + 1.0)
    deep = far if shackle.catch == "eye" else near - notch_depth(lock)
    eye = Cut(shackle.catch, box(deep, line - lock.bolt.nose_height - slide, near, line + slide))
    through = Size(f"{shackle.catch}, front to back", lock.bolt.thickness, opening=True)
    names = ("end", "inner side", "top", "outer side")
    edges = tuple(zip(names, body.segments, strict=True))
    # a notch whose stop would have the bolt stop before it goes in is none
    cuts = (eye,) if deep < near else ()
    return Shape(body, cuts, (through,), edges=edges)


_SHAPED_BY = (
    "unlocks", "shackle.across", "shackle.diameter", "shackle.catch", "shackle.drop", "shackle.engagement",
    "pivot.across", "pivot.below", "bolt_line.height", "bolt.nose_height", "bolt.thickness",
    "fit.slide_clearance", "stops.locked", "stops.locked_over",
)  # fmt: skip
_MEASURABLE = ("shackle.across", "shackle.diameter", "shackle.drop")
_PLACED = ("unlocks", "bolt_line.height", *_MEASURABLE)


_SUSPECT = Suspect(
    "shackle.across", "the place of the shackle's end",
    "the shackle's end stands {off} too far out", "the shackle's end stands {off} too near", sideways=True,
)  # fmt: skip

_MARK = "Rule along the bolt line from the centreline to the line scribed for the middle of the shackle's end."

PART = Part(
    "shackle",
    80,
    codes=(WRONG_SIDE, IN_KEY_CIRCLE, OUTSIDE_WALL, NOTCH_CUTS_THROUGH, NOTCH_DEEP),
    drawn=(Drawn("shackle", "shackle"),),
    findings=_findings,
    bounds=_bounds,
    fixed=(Fixed("shackle end", 80, "shackle", _fixed),),
    marks=_marks,
    spots=_spots,
    workpieces=(
        Workpiece(
            "shackle",
            50,
            _SHAPED_BY,
            _shackle,
            measurable=_MEASURABLE,
            unfiled=("shackle.across",),
            suspects=(_SUSPECT,),
            tried=True,
        ),
    ),
    # the throw
    sums=(("shackle.engagement", "shackle.gap"),),
    features=(
        Feature(
            "back plate",
            placed_by=_PLACED,
            scribed=scribed_at(_spots),
            measurable=("shackle.across",),
            taken_at=(("shackle.across", _MARK),),
            unfiled=("shackle.across",),
        ),
    ),
)
