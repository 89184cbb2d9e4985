"""The bolt line: room for the bridge below it and for the spring above it."""

from collections.abc import Iterable

from core.geometry.path import polyline
from core.geometry.secant import zero_near
from core.layout.codes import Code
from core.layout.drawing import Mark, Measure, Stroke
from core.layout.findings import Finding
from core.layout.frames import hand
from core.layout.layout import Layout, derived
from core.layout.outcomes import Outcome
from core.layout.part import Drawn, Part, Spot, scribed_at
from core.layout.windows import Bound
from core.layout.workpiece import Feature, Suspect
from core.mechanism.tooth_numbers import SLACK
from core.parts.bolt_contour import bolt
from core.parts.inner_wall import wall_up
from core.parts.plate import inner, plate_outline, spot_in_drive
from core.parts.tooth import tooth, tooth_at

BRIDGE_THIN = Code(
    "bridge-thin", "stop", "bolt line",
    "The bridge above the gap holds the two halves of the bolt together; thinner than you asked, it may bend.",
)  # fmt: skip
SPRING_ROOM = Code(
    "spring-room", "stop", "bolt line",
    "The spring works between the bolt and the inner wall, and wants its height all along the bolt, at both seats.",
)  # fmt: skip


@derived
def room_above(layout: Layout) -> float | None:
    """Return the height [mm] above the pivot of the inner wall over the whole body of the bolt, either seat."""
    made, cut = bolt(layout), tooth(layout)
    return wall_up(layout, made.left, made.right + cut.throw, cut.bolt_line)


def highest_for_spring(layout: Layout) -> float:
    """Return the highest bolt line [mm] that leaves the spring its room; 0 where no wall is above it.

    A higher line can move the flanks, and so the body that the wall has to clear: with an early pick-up and
    the lower edge as the flanks' foot. So the room is worked out again at each try.
    """
    lock = layout.lock

    def spare(height: float) -> float | None:
        cut = tooth_at(layout, height, lock.tooth.pickup_angle)
        left = -cut.flank - lock.bolt.lobe_width
        right = cut.pickup_offset + lock.bolt.lobe_width + cut.throw
        room = wall_up(layout, left, right, height)
        return None if room is None else room - lock.bolt_line.spring_room - height

    found = zero_near(spare, lock.bolt_line.height, -1.0)
    return 0.0 if found is None else max(found, 0.0)


def _findings(layout: Layout) -> Iterable[Finding]:
    lock, cut, show = layout.lock, tooth(layout), layout.show
    if cut.bridge < lock.fit.bridge_min - SLACK:
        wanted = show(lock.fit.bridge_min)
        text = f"The bridge above the gap is {show(cut.bridge)} thick, less than the {wanted} asked for."
        if cut.bridge <= 0:
            text = f"The gap for the bit cuts through the bolt: it needs {show(-cut.bridge)} more above it."
        yield BRIDGE_THIN.found(text, cut.bridge, lock.fit.bridge_min)
    above = room_above(layout)
    if above is None:
        yield SPRING_ROOM.found(
            "Part of the bolt's body, at one seat or the other, has no plate behind it at the bolt line."
        )
    elif above - cut.bolt_line < lock.bolt_line.spring_room - SLACK:
        room = above - cut.bolt_line
        yield SPRING_ROOM.found(
            f"Above the bolt {show(max(room, 0.0))} is left below the inner wall; the spring is to have "
            f"{show(lock.bolt_line.spring_room)}.",
            room, lock.bolt_line.spring_room,
        )  # fmt: skip


def _bounds(layout: Layout) -> Iterable[Bound]:
    lock, cut = layout.lock, tooth(layout)
    yield Bound(
        "bolt_line.height", "low", cut.relief_radius + lock.fit.bridge_min,
        "the key's circle and the least bridge", BRIDGE_THIN,
    )  # fmt: skip
    yield Bound(
        "bolt_line.height", "high", highest_for_spring(layout),
        "the spring room under the inner wall", SPRING_ROOM,
    )  # fmt: skip
    yield Bound(
        "key.radius", "high", cut.bolt_line - cut.clearance - lock.fit.bridge_min,
        "the least bridge under the bolt line", BRIDGE_THIN,
    )  # fmt: skip


def _ends(layout: Layout) -> tuple[float, float]:
    """Return how far the bolt line is scribed to the left and right [mm], drive frame."""
    area = inner(layout)
    if area.is_empty:
        box = plate_outline(layout).path.bounds()
        return (box[0], box[2])
    left, _, right, _ = area.bounds
    return (float(left), float(right))


def _marks(layout: Layout) -> Iterable[Mark]:
    y, here = layout.lock.bolt_line.height, hand(layout)
    left, right = _ends(layout)
    yield Stroke(polyline([here.point((left, y)), here.point((right, y))]), "scribe", "bolt line")
    yield Measure((0.0, 0.0), (0.0, y), layout.show(y), "bolt_line.height", "bolt line")


def _spots(layout: Layout) -> Iterable[Spot]:
    yield spot_in_drive(layout, "bolt line on the centreline", (0.0, layout.lock.bolt_line.height))


def _spring_spare(layout: Layout) -> float | None:
    above, line = room_above(layout), layout.lock.bolt_line
    return None if above is None else above - line.height - line.spring_room


def _below_mark(layout: Layout) -> float:
    return spot_in_drive(layout, "", (0.0, layout.lock.bolt_line.height)).below


_SUSPECT = Suspect(
    "bolt_line.height", "the height of the bolt line above the pivot, as the guides hold it"
)

PART = Part(
    "bolt line",
    40,
    codes=(BRIDGE_THIN, SPRING_ROOM),
    drawn=(Drawn("bolt line", "scribe", every_face=True),),
    findings=_findings,
    bounds=_bounds,
    outcomes=(
        Outcome("bridge", "bridge above the gap", 70, 1, lambda at: tooth(at).bridge),
        Outcome("spring_spare", "room above the bolt beyond the spring's", 90, 1, _spring_spare),
        Outcome("line_below_mark", "bolt line below the datum mark", 130, 0, _below_mark),
    ),
    marks=_marks,
    spots=_spots,
    features=(
        Feature(
            "back plate",
            placed_by=("unlocks", "bolt_line.height"),
            scribed=scribed_at(_spots),
            measurable=("bolt_line.height",),
            unfiled=("bolt_line.height",),
            suspects=(_SUSPECT,),
        ),
    ),
)
