"""The two guides: bridges over the legs of the bolt, between which it slides."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

from shapely.geometry.base import BaseGeometry

from core.geometry.path import Path, Segment, polyline
from core.layout.codes import Code, Family
from core.layout.drawing import Mark, Measure, Stroke
from core.layout.findings import Finding
from core.layout.frames import hand
from core.layout.layout import Layout
from core.layout.outcomes import Outcome
from core.layout.part import Drawn, Fixed, Part, Spot, scribed_at
from core.layout.windows import Bound
from core.layout.workpiece import Feature, Shape, Size, Workpiece, box
from core.lock.as_fixed import ENDS, slot_paths
from core.mechanism.tooth_numbers import SLACK
from core.parts.bolt_contour import nose_face
from core.parts.guide_places import (
    Guide,
    body_reach,
    circle_reach,
    front_guide,
    kept_clear,
    lowest,
    nose_left_in_guide,
    rear_guide,
    tail_room,
    wall_room,
)
from core.parts.plate import outside_wall, spot_in_drive

AT_BODY = Family(
    "{}-at-body", "stop", "{}", "The bolt's body strikes the {} before the bolt has come to its seat."
)  # fmt: skip
IN_KEY_CIRCLE = Family(
    "{}-in-key-circle", "stop", "{}",
    "On its way round the bit would strike the {}, so the key could not turn.",
)  # fmt: skip
OUTSIDE_WALL = Family(
    "{}-outside-wall", "stop", "{}", "Part of the {} would stand in the rim or off the plate."
)  # fmt: skip
TAIL_HITS_WALL = Code(
    "tail-hits-wall", "stop", "rear guide",
    "Drawn back, the bolt is stopped by the rim behind its tail before it has come to its seat.",
)  # fmt: skip
FRONT_GUIDE_AT_SHACKLE = Code(
    "front-guide-at-shackle", "stop", "front guide",
    "The front guide and the end of the shackle want the same place.",
)  # fmt: skip
NOSE_LEAVES_GUIDE = Code(
    "nose-leaves-guide", "stop", "front guide",
    "Drawn back, the nose slips out of its guide, and may not find its way in again.",
)  # fmt: skip
NOSE_SHORT_IN_GUIDE = Code(
    "nose-short-in-guide", "look", "front guide",
    "With so little of the nose left in its guide the open bolt can tip, and catch when it is shut.",
)  # fmt: skip
_CODES = (
    *(
        family.of(name)
        for name in ("rear guide", "front guide")
        for family in (AT_BODY, IN_KEY_CIRCLE, OUTSIDE_WALL)
    ),
    TAIL_HITS_WALL,
    FRONT_GUIDE_AT_SHACKLE,
    NOSE_LEAVES_GUIDE,
    NOSE_SHORT_IN_GUIDE,
)


def _at_most(layout: Layout, room: float) -> str:
    """Say how far [mm] from the centreline a guide may stand; there may be no such place on its side."""
    if room < 0:
        return "there is no place for it on its side of the centreline"
    return f"the guide may stand {layout.show(room)} from the centreline at most"


def _common_findings(layout: Layout, guide: Guide) -> Iterable[Finding]:
    show = layout.show
    body, circle = body_reach(layout, guide), circle_reach(layout, guide)
    if guide.near < body - SLACK:
        seat = "locked" if guide.side < 0 else "unlocked"
        clear = " with its clearance" if kept_clear(layout) else ""
        yield AT_BODY.of(guide.name).found(
            f"The bolt's body runs into the {guide.name} before the {seat} seat: it comes to {show(body)}"
            f"{clear}, the guide begins at {show(guide.near)}.",
            guide.near, body,
        )  # fmt: skip
    if guide.near < circle - SLACK:
        yield IN_KEY_CIRCLE.of(guide.name).found(
            f"The {guide.name} stands in the key's circle, which with its clearance reaches {show(circle)} "
            f"beside it; the guide begins at {show(guide.near)}.",
            guide.near, circle,
        )  # fmt: skip
    over, room = outside_wall(layout, guide.area), wall_room(layout, guide)
    if guide.near > room + SLACK:
        yield OUTSIDE_WALL.of(guide.name).found(
            f"The {guide.name} reaches outside the inner wall: {_at_most(layout, room)}.",
            guide.near, room,
        )  # fmt: skip
    elif over > 0:
        yield OUTSIDE_WALL.of(guide.name).found(
            f"The {guide.name} reaches {layout.show_area(over, 1)} outside the inner wall.",
            over,
            0.0,
        )
    elif (low := lowest(layout, guide)) > guide.bottom + SLACK:
        line = layout.lock.bolt_line.height
        yield OUTSIDE_WALL.of(guide.name).found(
            f"The {guide.name} comes down to the inner wall: {show(line - low)} below the bolt line is the most.",
            line - guide.bottom, line - low,
        )  # fmt: skip


def _findings(layout: Layout) -> Iterable[Finding]:
    lock, show = layout.lock, layout.show
    rear, front = rear_guide(layout), front_guide(layout)
    yield from _common_findings(layout, rear)
    room = tail_room(layout)
    if rear.near > room + SLACK:
        yield TAIL_HITS_WALL.found(
            f"Drawn back, the tail runs into the inner wall: {_at_most(layout, room)}.",
            rear.near, room,
        )  # fmt: skip
    yield from _common_findings(layout, front)
    most = nose_face(layout) - lock.fit.slide_clearance - front.values.width
    if front.near > most + SLACK:
        yield FRONT_GUIDE_AT_SHACKLE.found(
            f"The front guide stands against the shackle: {show(most)} from the centreline is the most.",
            front.near, most,
        )  # fmt: skip
    left = nose_left_in_guide(layout)
    if left <= 0:
        yield NOSE_LEAVES_GUIDE.found(
            f"Unlocked, the nose is out of the front guide by {show(-left)}.", left, 0.0
        )
    elif left < front.values.width / 2:
        yield NOSE_SHORT_IN_GUIDE.found(
            f"Unlocked, only {show(left)} of the nose is left in the front guide, which is "
            f"{show(front.values.width)} wide.",
            left, front.values.width / 2,
        )  # fmt: skip


def _bounds(layout: Layout) -> Iterable[Bound]:
    lock = layout.lock
    for guide in (rear_guide(layout), front_guide(layout)):
        path, name = f"{guide.table}.from_centreline", guide.name
        yield Bound(
            path, "low", body_reach(layout, guide), "the bolt's body with its clearance",
            AT_BODY.of(name),
        )  # fmt: skip
        yield Bound(
            path, "low", circle_reach(layout, guide), "the key's circle", IN_KEY_CIRCLE.of(name)
        )
        yield Bound(path, "high", wall_room(layout, guide), "the inner wall", OUTSIDE_WALL.of(name))
    yield Bound(
        "rear_guide.from_centreline", "high", tail_room(layout),
        "the tail at the inner wall, drawn back", TAIL_HITS_WALL,
    )  # fmt: skip
    face, path = nose_face(layout), "front_guide.from_centreline"
    yield Bound(
        path, "high", face - lock.fit.slide_clearance - lock.front_guide.width,
        "the shackle's near face", FRONT_GUIDE_AT_SHACKLE,
    )  # fmt: skip
    # at the limit itself nothing of the nose is left, so the window ends a hair before it
    yield Bound(
        path, "high", face - lock.shackle.gap - SLACK, "the nose, drawn back", NOSE_LEAVES_GUIDE
    )


def _marks(layout: Layout) -> Iterable[Mark]:
    here = hand(layout)
    for guide in (rear_guide(layout), front_guide(layout)):
        near = guide.side * guide.near
        yield Stroke(
            polyline([here.point(p) for p in guide.corners], closed=True), "cut", guide.name
        )
        if guide.ups != (0.0, 0.0):  # beside the guide as it stands, where it was planned
            flat = replace(
                guide,
                top=guide.top - max(guide.ups),
                bottom=guide.bottom - min(guide.ups),
                ups=(0.0, 0.0),
            )
            planned = polyline([here.point(p) for p in flat.corners], closed=True)
            yield Stroke(planned, "note", guide.name, ghost=True)
        level = guide.bottom - 2.0
        yield Measure(
            here.point((0.0, level)), here.point((near, level)), layout.show(guide.near),
            f"{guide.table}.from_centreline", guide.name,
        )  # fmt: skip


def _spots(layout: Layout) -> Iterable[Spot]:
    y = layout.lock.bolt_line.height
    for guide in (rear_guide(layout), front_guide(layout)):
        for face, x in (("near", guide.near), ("outer", guide.far)):
            what = f"{guide.name}, {face} face on the bolt line"
            yield spot_in_drive(layout, what, (guide.side * x, y))


def _rear_area(layout: Layout) -> Mapping[str, BaseGeometry]:
    return {"rear guide": rear_guide(layout).area}


def _front_area(layout: Layout) -> Mapping[str, BaseGeometry]:
    return {"front guide": front_guide(layout).area}


def _guide_shape(layout: Layout, guide: Guide) -> Shape:
    lock, values = layout.lock, guide.values
    body = box(0.0, -values.floor, values.width, 0.0)
    slide = lock.fit.slide_clearance
    # each face by itself, from the bolt line: what one of them lacks is not made up by the other
    lower = {end: float(lock.value(slot_paths(guide.table, end)[1])) for end in ENDS}
    roofs = (
        Size(f"roof of the slot, {end} face", slide - low, opening=True)
        for end, low in lower.items()
    )
    foot = Size("floor of the slot", guide.leg + slide, opening=True)
    depth = Size("depth of the slot", lock.bolt.thickness, opening=True)
    near, outer = (
        spot_in_drive(layout, guide.name, (guide.side * x, lock.bolt_line.height + up))
        for x, up in zip((guide.near, guide.far), guide.ups, strict=True)
    )
    return Shape(
        body, sizes=(*roofs, foot, depth), edges=_box_edges(body), place=(near.across, -near.below),
        outer=(outer.across, -outer.below),
    )  # fmt: skip


def _front_guide(layout: Layout) -> Shape:
    return _guide_shape(layout, front_guide(layout))


def _rear_guide(layout: Layout) -> Shape:
    return _guide_shape(layout, rear_guide(layout))


def _box_edges(body: Path) -> tuple[tuple[str, Segment], ...]:
    names = ("underside", "side", "floor of the slot", "side")
    return tuple(zip(names, body.segments, strict=True))


def _guide_piece(name: str, order: int, leg: str, shape: Callable[[Layout], Shape]) -> Workpiece:
    table = name.replace(" ", "_")
    width, floor, near = (f"{table}.{size}" for size in ("width", "floor", "from_centreline"))
    floors, roofs = zip(*(slot_paths(table, end) for end in ENDS), strict=True)
    stands = (near, *floors)
    return Workpiece(
        name, order, (width, floor, f"bolt.{leg}_height", "bolt.thickness", "fit.slide_clearance", *roofs),
        shape,
        placed_by=("unlocks", "pivot.across", "pivot.below", "bolt_line.height", *stands),
        measurable=(width, floor, *stands, *roofs), unfiled=stands, tried=True,
    )  # fmt: skip


_PLACED = (
    "unlocks", "bolt_line.height", "front_guide.from_centreline", "front_guide.width",
    "rear_guide.from_centreline", "rear_guide.width",
)  # fmt: skip


_MARKS = tuple(
    (
        f"{name}_guide.from_centreline",
        f"Rule along the bolt line from the centreline to the line scribed for the near face of the {name} guide.",
    )
    for name in ("front", "rear")
)


def _tail_spare(layout: Layout) -> float:
    return tail_room(layout) - rear_guide(layout).near


PART = Part(
    "guides",
    70,
    codes=_CODES,
    drawn=(Drawn("front guide", "guide"), Drawn("rear guide", "guide")),
    findings=_findings,
    bounds=_bounds,
    outcomes=(
        Outcome(
            "nose_in_guide", "nose left in the front guide, unlocked", 100, 1, nose_left_in_guide
        ),
        Outcome("tail_spare", "tail to the inner wall, unlocked", 110, 1, _tail_spare),
    ),
    fixed=(
        Fixed("rear guide", 70, "rear guide", _rear_area),
        Fixed("front guide", 71, "front guide", _front_area),
    ),
    marks=_marks,
    spots=_spots,
    workpieces=(
        _guide_piece("front guide", 40, "nose", _front_guide),
        _guide_piece("rear guide", 41, "tail", _rear_guide),
    ),
    features=(
        Feature(
            "back plate",
            placed_by=_PLACED,
            scribed=scribed_at(_spots),
            measurable=tuple(path for path, _ in _MARKS),
            taken_at=_MARKS,
            unfiled=tuple(path for path, _ in _MARKS),
        ),
    ),
)
