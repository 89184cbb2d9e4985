"""The faces of both plates, each a sheet, with all that is marked out on them."""

from collections.abc import Iterable

from core.geometry.motion import MIRROR, Motion
from core.geometry.path import Point
from core.layout.drawing import Label, Layer, Mark, Stroke
from core.layout.frames import hand, to_plate
from core.layout.layout import Layout
from core.parts.bolt_line import room_above
from core.report.data import FACES
from core.sheets.gathering import all_holes, all_pieces
from core.sheets.record import CUTTING, DRILLING, Sheet
from core.sheets.strokes import arrow_up, hole, moved
from core.whole import assembly


def face_sheets(layout: Layout) -> Iterable[Sheet]:
    """Yield a sheet of each face of either plate, with what all parts and pieces mark out on it."""
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
            if mark.layer not in ("drill", "note") and (everything or _on_every_face(mark.part)):
                yield _on_plate(mark)
        elif isinstance(mark, Label) and (everything or _on_every_face(mark.part)):
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


def _on_every_face(part: str) -> bool:
    thing = assembly.drawn().get(part)
    return thing is not None and thing.every_face


def all_sheets(layout: Layout) -> tuple[Sheet, ...]:
    """Return every sheet, the plates' faces first, then in the mock-up order.

    Raises
    ------
    ValueError
        Where two pieces name a sheet alike: a fault in this program.
    """
    of_pieces = (sheet for piece in all_pieces() for sheet in piece.sheets(layout))
    made = (*face_sheets(layout), *of_pieces)
    if len({sheet.name for sheet in made}) < len(made):
        raise ValueError("two sheets have the same name")
    return made
