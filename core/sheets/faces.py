"""The faces of both plates, each a sheet, with all that is marked out on them."""

from collections.abc import Iterable, Sequence

from core.geometry.motion import MIRROR, Motion
from core.geometry.path import Point
from core.layout.drawing import Label, Layer, Mark, Stroke
from core.layout.frames import hand, to_plate
from core.layout.layout import Layout
from core.parts.bolt_contour import bolt
from core.parts.bolt_line import room_above
from core.parts.plate import plate_outline
from core.parts.tooth import tooth
from core.report.data import FACES
from core.sheets.gathering import all_holes, all_pieces
from core.sheets.lettering import width
from core.sheets.record import CUTTING, DRILLING, Loose, Sheet
from core.sheets.strokes import arrow_up, hole, line, moved
from core.sheets.tiles import Box
from core.whole import assembly

DATUM = "datum mark"
CLEAR = 2.0
"""Distance [mm] that joints keep from what is not to be cut by them."""
TICK = 5.0
"""Length [mm] of the tick that marks the datum, standing on the edge."""


def face_sheets(layout: Layout, *, scribe_outside: bool = False) -> Iterable[Sheet]:
    """Yield a sheet of each face of either plate, with what all parts and pieces mark out on it.

    The outside faces are the ones that show: they are cut and drilled, and scribed only with `scribe_outside`.
    """
    for face, sign in FACES:
        plate, side = face.split(", ")
        mirrored = sign < 0
        view = MIRROR if mirrored else Motion()
        marks = [
            moved(mark, to_plate(layout).then(view))
            for mark in (*_drawn(layout, plate, side), *_holes(layout, plate))
            if scribe_outside or side == "inside" or not _scribed(mark)
        ]
        seen = f"{face[0].upper()}{face[1:]}: seen with this face towards you, top edge up"
        if mirrored:
            seen += "; left and right are exchanged against the other faces"
        yield Sheet(
            name=f"{plate}-{side}".replace(" ", "-"),
            title=f"{plate.capitalize()}, {side}{' (mirrored)' if mirrored else ''}",
            marks=(*marks, *_datum(), _this_face_up(layout, face, mirrored=mirrored)),
            seen=seen,
            notes=_notes(plate, side, scribed=scribe_outside),
            cautions=(CUTTING, DRILLING),
            alone=True,
            whole=tuple(_whole(layout, plate, side, view)),
        )


def _whole(layout: Layout, plate: str, side: str, view: Motion) -> Iterable[Box]:
    """Yield the boxes that no joint between pages is to run through: whole holes, and the tooth where it is drawn."""
    here = to_plate(layout).then(view)
    for made in all_holes(layout):
        if plate in made.plates and not made.chained:
            yield _around([here.point(made.at)], made.diameter / 2 + CLEAR)
    if (plate, side) == ("back plate", "inside"):
        cut, own = tooth(layout), bolt(layout)
        low = min(cut.lower_edge, cut.flank_foot)
        corners = [
            (own.left, cut.bolt_line),
            (own.right + cut.throw, low),
            (own.left, low),
            (own.right, cut.bolt_line),
        ]
        yield _around([here.point(hand(layout).point(corner)) for corner in corners], CLEAR)


def _around(points: Sequence[Point], by: float) -> Box:
    xs, ys = zip(*points, strict=True)
    return (min(xs) - by, min(ys) - by, max(xs) + by, max(ys) + by)


def _drawn(layout: Layout, plate: str, side: str) -> Iterable[Mark]:
    """Yield what one face shows, in the mechanism frame."""
    everything = (plate, side) == ("back plate", "inside")
    drilled = {hole.what for hole in all_holes(layout)}
    marks = assembly.marks(layout)
    on_metal = {m.part for m in marks if isinstance(m, Stroke) and m.layer != "note"}
    for mark in marks:
        if isinstance(mark, Stroke):
            # pieces say which plates a hole is in and mark its centre, and a note is for the screen
            wanted = mark.layer != "note" and mark.part not in drilled
            if wanted and (everything or _on_every_face(mark.part)):
                yield _on_plate(mark)
        elif (
            isinstance(mark, Label)
            and mark.part != DATUM
            and mark.part in on_metal  # words on what is for the screen alone stay there too
            and (everything or _on_every_face(mark.part))
        ):
            yield mark
    for piece in all_pieces():
        for put in piece.on_plates(layout):
            if plate in put.plates and side in put.sides:
                yield put.mark


def _on_plate(stroke: Stroke) -> Stroke:
    """Return a stroke as the plate shows it: only its own outline is cut, other parts are scribed round."""
    layer: Layer = "scribe" if stroke.layer == "cut" and stroke.part != "plate" else stroke.layer
    return Stroke(stroke.path, layer, stroke.part, stroke.ghost)


def _scribed(mark: Mark) -> bool:
    return isinstance(mark, Stroke) and mark.layer == "scribe"


def _holes(layout: Layout, plate: str) -> Iterable[Mark]:
    for made in all_holes(layout):
        if plate in made.plates:
            yield from hole(made.at, made.diameter, made.what, chained=made.chained)


def _datum() -> Iterable[Mark]:
    """Yield the tick that marks the datum on the top edge, and its name beside it, clear of the edge."""
    yield line((0.0, 0.0), (0.0, TICK), "note", DATUM)
    yield Label((1.2, TICK - 1.2), "datum", "note", DATUM, 2.5, "left")


def _this_face_up(layout: Layout, face: str, *, mirrored: bool) -> Loose:
    """Return the arrow and the words, in the face's own frame, above the bolt if the plate has room there."""
    x, y = _free_spot(layout)
    words = [("THIS FACE UP", 2.6), (face, 2.0), *([("mirrored", 2.0)] if mirrored else [])]
    left = -(6.0 + max(width(text, height) for text, height in words)) / 2
    marks: list[Stroke | Label] = [*arrow_up((left + 1.5, -6.0), 12.0, "this face up")]
    for number, (text, height) in enumerate(words):
        at = (left + 6.0, 3.6 - 3.6 * number)
        marks.append(Label(at, text, "note", "this face up", height, "left"))
    outline = (MIRROR if mirrored else Motion()).path(plate_outline(layout).path)
    return Loose(tuple(marks), (-x if mirrored else x, y), outline)


def _free_spot(layout: Layout) -> Point:
    """Return where the words are best, plate frame [mm]: over the body of the bolt, under the inner wall."""
    room = room_above(layout)
    line = layout.lock.bolt_line.height
    y = (line + room) / 2 + 2.0 if room is not None and room > line else line + 6.0
    return to_plate(layout).point(hand(layout).point((0.0, y)))


def _notes(plate: str, side: str, *, scribed: bool) -> tuple[str, ...]:
    if (plate, side) == ("back plate", "inside"):
        return (
            "Bolt, guides and shackle are scribed as they stand locked; dashed: the bolt unlocked.",
        )
    prove = (
        "Prove a transferred pivot by two of the check distances in the tables before you drill."
    )
    if side == "inside" or scribed:
        return (prove,)
    return (prove, "This face shows when the lock is done, so nothing is scribed on it.")


def _on_every_face(part: str) -> bool:
    thing = assembly.drawn_as(part)
    return thing is not None and thing.every_face


def all_sheets(layout: Layout, *, scribe_outside: bool = False) -> tuple[Sheet, ...]:
    """Return every sheet, the plates' faces first, then in the mock-up order.

    Raises
    ------
    ValueError
        Where two pieces name a sheet alike: a fault in this program.
    """
    of_pieces = (sheet for piece in all_pieces() for sheet in piece.sheets(layout))
    made = (*face_sheets(layout, scribe_outside=scribe_outside), *of_pieces)
    if len({sheet.name for sheet in made}) < len(made):
        raise ValueError("two sheets have the same name")
    return made
