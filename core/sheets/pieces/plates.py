"""Both plates, once for each face, with all that is marked out on them."""

import math
from collections.abc import Callable, Iterable

from core.geometry.motion import MIRROR, Motion
from core.geometry.outlines import lowest_point
from core.geometry.path import Point, polyline
from core.layout.drawing import Label, Layer, Mark, Stroke
from core.layout.frames import hand, to_mechanism, to_plate
from core.layout.layout import Layout
from core.parts.bolt_line import room_above
from core.parts.guides import front_guide, rear_guide
from core.parts.pivot import lean
from core.parts.plate import inner_path, plate_outline
from core.parts.tooth import tooth
from core.report.data import FACES
from core.sheets.record import (
    CUTTING,
    DRILLING,
    Hole,
    OnPlate,
    Piece,
    Rule,
    Setting,
    Sheet,
    Stock,
    all_holes,
    all_pieces,
)
from core.sheets.sizes import rough, size
from core.sheets.strokes import arrow_up, dimension, hole, moved
from core.whole import assembly

PLAIN = ("plate", "centreline", "bolt line", "key circle", "datum mark")
"""Parts of the drawing that every face shows; the inside of the back plate shows all."""
SAW = 3.0
"""Added to each side of stock [mm] for the saw and the file; common practice, no source."""


def _sheets(layout: Layout) -> Iterable[Sheet]:
    for face, sign in FACES:
        plate, side = face.split(", ")
        mirrored = sign < 0
        view = MIRROR if mirrored else Motion()
        marks = [
            moved(mark, to_plate(layout).then(view))
            for mark in (*_drawn(layout, plate, side), *_holes(layout, plate))
        ]
        seen = f"{face[0].upper()}{face[1:]}: seen with this face towards you, top edge up"
        if mirrored:
            seen += "; left and right are exchanged against the other faces"
        yield Sheet(
            name=f"{plate}-{side}".replace(" ", "-"),
            title=f"{plate.capitalize()}, {side}{' (mirrored)' if mirrored else ''}",
            marks=(*marks, *_this_face_up(layout, face, mirrored=mirrored)),
            origin="datum mark",
            seen=seen,
            notes=_notes(plate, side),
            cautions=(CUTTING, DRILLING),
        )


def _drawn(layout: Layout, plate: str, side: str) -> Iterable[Mark]:
    """Yield what one face shows, in the mechanism frame."""
    everything = (plate, side) == ("back plate", "inside")
    for mark in assembly.marks(layout):
        if isinstance(mark, Stroke):
            # pieces say which plates a hole is in, and a note is for the screen
            if mark.layer not in ("drill", "note") and (everything or mark.part in PLAIN):
                yield _on_plate(mark)
        elif isinstance(mark, Label) and (everything or mark.part in PLAIN):
            yield mark
    for piece in all_pieces():
        for put in piece.on_plates(layout):
            if plate in put.plates and side in put.sides:
                yield put.mark


def _on_plate(stroke: Stroke) -> Stroke:
    """Return a stroke as the plate shows it: only its own outline is cut, other parts are scribed round."""
    layer: Layer = "scribe" if stroke.layer == "cut" and stroke.part != "plate" else stroke.layer
    return Stroke(stroke.path, layer, stroke.part, stroke.ghost)


def _holes(layout: Layout, plate: str) -> Iterable[Mark]:
    for made in all_holes(layout):
        if plate in made.plates:
            yield from hole(made.at, made.diameter, made.what, chained=made.chained)


def _this_face_up(layout: Layout, face: str, *, mirrored: bool) -> Iterable[Mark]:
    """Yield the arrow and the words, in the face's own frame, above the bolt where the plate is widest free."""
    x, y = _free_spot(layout)
    x = -x if mirrored else x
    yield from arrow_up((x - 6.0, y - 6.0), 12.0, "this face up")
    words = [("THIS FACE UP", 2.6), (face, 2.0), *([("mirrored", 2.0)] if mirrored else [])]
    for number, (text, height) in enumerate(words):
        yield Label((x + 2.0, y + 3.6 - 3.6 * number), text, "note", "this face up", height, "left")


def _free_spot(layout: Layout) -> Point:
    """Return the middle of the words, plate frame [mm]: over the body of the bolt, under the inner wall."""
    room = room_above(layout)
    line = layout.lock.bolt_line.height
    y = (line + room) / 2 + 2.0 if room is not None and room > line else line + 6.0
    return to_plate(layout).point(hand(layout).point((0.0, y)))


def _notes(plate: str, side: str) -> tuple[str, ...]:
    if (plate, side) == ("back plate", "inside"):
        return (
            "Bolt, guides and shackle are scribed as they stand locked; dashed: the bolt unlocked.",
        )
    return (
        "Prove a transferred pivot by two of the check distances in the tables before you drill.",
    )


def _on_plates(layout: Layout) -> Iterable[OnPlate]:
    wall = inner_path(layout)
    if wall is not None:  # the inside of the back plate has it from the drawing already
        stroke = Stroke(to_mechanism(layout).path(wall), "scribe", "inner wall")
        yield OnPlate(stroke, ("front plate",), ("inside",))
    for mark in _dimensions(layout):
        yield OnPlate(mark, ("back plate",), ("inside",))


def _dimensions(layout: Layout) -> Iterable[Mark]:
    """Yield the dimensions that set out pivot, bolt line, key circle and guides, beside the plate where they fit."""
    lock, here, frame = layout.lock, hand(layout), to_mechanism(layout)
    left, _, right, _ = frame.path(plate_outline(layout).path).bounds()
    mark, line = frame.point((0.0, 0.0)), lock.bolt_line.height
    # the centreline is upright in this frame, so its dimensions may stand beside the plate
    yield from dimension((0.0, 0.0), mark, size(layout, math.hypot(*mark)), "pivot", off=6.0 - left)
    yield from dimension((0.0, 0.0), (0.0, line), size(layout, line), "bolt line", off=-6.0 - right)
    r = lock.key.radius
    edge = (r * math.cos(math.radians(30)), -r * math.sin(math.radians(30)))
    yield from dimension((0.0, 0.0), edge, size(layout, r), "key circle")
    level = (
        min(tooth(layout).lower_edge, front_guide(layout).bottom, rear_guide(layout).bottom) - 4.5
    )
    for guide in (front_guide(layout), rear_guide(layout)):
        near = here.point((guide.side * guide.near, level))
        ends = sorted([(0.0, level), near])
        yield from dimension(ends[0], ends[1], size(layout, guide.near), guide.name)
        yield line_to(near, here.point((guide.side * guide.near, guide.bottom)), guide.name)


def line_to(start: Point, end: Point, part: str) -> Stroke:
    """Return a thin line that leads a dimension to what it measures [mm]."""
    return Stroke(polyline([start, end]), "note", part)


def _pivot_hole(layout: Layout) -> Iterable[Hole]:
    yield Hole(
        "pivot",
        (0.0, 0.0),
        layout.lock.pivot.hole,
        fit=f"shank {size(layout, layout.lock.key.shank)}",
    )


def _rules(layout: Layout) -> Iterable[Rule]:
    frame = to_mechanism(layout)
    foot = frame.path(plate_outline(layout).path).bounds()[1]
    yield Rule("centreline", frame.point((0.0, 0.0)), (0.0, foot))


def _settings(layout: Layout) -> Iterable[Setting]:
    pivot = layout.lock.pivot
    span = math.hypot(pivot.across, pivot.below)
    yield Setting(
        "datum mark to pivot", span, "datum mark", "a short arc across the centreline: the pivot"
    )


def _stock(layout: Layout) -> Iterable[Stock]:
    plate = layout.lock.plate
    left, bottom, right, top = plate_outline(layout).path.bounds()
    yield Stock(
        "plate", 2, (top - bottom + 2 * SAW, right - left + 2 * SAW, plate.thickness), "sheet",
        "mild steel or brass", f"{rough(layout, SAW)} to spare on each side for saw and file",
    )  # fmt: skip
    area = plate_outline(layout).path
    yield Stock(
        "rim", 1, (area.length, None, plate.rim), "bar, bent to the edge", "as the plates",
        "length along the plate's edge, to be trimmed; as wide as the lock is deep inside",
    )  # fmt: skip


def _steps(layout: Layout) -> Iterable[str]:
    def show(mm: float) -> str:
        return size(layout, mm)

    plate, pivot = layout.lock.plate, layout.lock.pivot
    left, bottom, right, top = plate_outline(layout).path.bounds()
    yield (
        f"Plate: cut two to the template, {show(right - left)} across by {show(top - bottom)} high, "
        f"{show(plate.thickness)} thick. Scribe the inner wall {show(plate.rim)} inside the edge. Mark the datum."
    )
    aside = "straight below" if pivot.across == 0 else _aside(pivot.across, show)
    yield f"Pivot: punch it {show(pivot.below)} below the datum mark, {aside}, seen from inside the back plate."
    low = lowest_point(plate_outline(layout).path)
    miss = to_mechanism(layout).point(low)[0]
    leans = (
        f"it leans {lean(layout):.2f} degrees clockwise"
        if abs(lean(layout)) >= 0.005
        else "it stands upright"
    )
    passes = (
        f"passes the lowest point {show(abs(miss))} away"
        if abs(miss) >= 0.005
        else "meets the lowest point"
    )
    yield f"Centreline: scribe it from the datum mark through the pivot to the foot; {leans} and {passes}."


def _aside(across: float, show: Callable[[float], str]) -> str:
    return f"{show(abs(across))} to the {'right' if across > 0 else 'left'} of it"


PIECE = Piece(
    "plates", 10, sheets=_sheets, on_plates=_on_plates, holes=_pivot_hole, rules=_rules,
    settings=_settings, stock=_stock, steps=_steps,
)  # fmt: skip
