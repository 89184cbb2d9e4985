"""The keyhole in the front plate: a round for the shank, a slot for the bit, and the holes to drill it out with."""

import math
from collections.abc import Iterable

from core.geometry.path import Arc, Line, Path, Segment, joined
from core.layout.drawing import Label, Mark, Stroke
from core.layout.layout import Layout, derived
from core.parts.tooth import tooth
from core.sheets.drills import TO_FILE, Row, row_along
from core.sheets.record import CUTTING, DRILLING, Hole, OnPlate, Piece, Sheet, Task
from core.sheets.sizes import size
from core.sheets.strokes import dimension, hole, line


@derived
def slot_width(layout: Layout) -> float:
    """Return the width of the slot [mm]: the bit and a clearance on each side."""
    return layout.lock.key.bit_thickness + 2 * layout.lock.fit.key_clearance


@derived
def keyhole(layout: Layout) -> Path:
    """Return the keyhole's contour, closed and clockwise, in the mechanism frame [mm]: the slot points down.

    The round is the pivot's hole; the slot reaches a clearance beyond the key's circle.
    """
    r, half, low = layout.lock.pivot.hole / 2, slot_width(layout) / 2, -tooth(layout).relief_radius
    if half < r:
        root = -math.sqrt(r * r - half * half)
        round_part: list[Segment] = [Arc((0.0, 0.0), r, (-half, root), (half, root), "cw")]
    else:
        # a bit thicker than the shank: the slot's shoulders stand out beside the round
        root = 0.0
        round_part = [
            Line((-half, 0.0), (-r, 0.0)),
            Arc((0.0, 0.0), r, (-r, 0.0), (r, 0.0), "cw"),
            Line((r, 0.0), (half, 0.0)),
        ]
    return joined(
        [
            Line((-half, low), (-half, root)),
            *round_part,
            Line((half, root), (half, low)),
            Line((half, low), (-half, low)),
        ]
    )


@derived
def slot_row(layout: Layout) -> Row | None:
    """Return the row of holes below the round that clears the slot, None where it is to be sawn."""
    start, end = (0.0, -layout.lock.pivot.hole / 2), (0.0, -tooth(layout).relief_radius)
    if start[1] <= end[1]:
        return None
    return row_along(start, end, slot_width(layout), layout.lock.units, from_hole=True)


def _holes(layout: Layout) -> Iterable[Hole]:
    row = slot_row(layout)
    if row is not None:
        for number, centre in enumerate(row.centres, start=1):
            yield Hole(
                f"keyhole slot {number}", centre, row.drill.diameter, ("front plate",),
                f"filed out to a slot of {size(layout, slot_width(layout))}", chained=True,
            )  # fmt: skip


def _on_plates(layout: Layout) -> Iterable[OnPlate]:
    yield OnPlate(Stroke(keyhole(layout), "cut", "keyhole"), ("front plate",))


def _sheets(layout: Layout) -> Iterable[Sheet]:
    yield Sheet(
        name="keyhole",
        title="Keyhole, front plate",
        marks=tuple(_drawn(layout)),
        seen="Top edge up; the same from outside and inside",
        notes=(_how(layout),),
        cautions=(CUTTING, DRILLING),
    )


def _how(layout: Layout) -> str:
    row = slot_row(layout)
    if row is None:
        return "The slot is too small for a row of holes: drill the round, saw the slot from it, and file to the line."
    pitch = f", {size(layout, row.pitch)} apart" if row.pitch else ""
    return (
        f"Punch the marks on the centreline, drill the round first, then {len(row.centres)} of {row.drill.name}"
        f"{pitch}; file out the webs to the line ({size(layout, TO_FILE)} is left on each side)."
    )


def _drawn(layout: Layout) -> Iterable[Mark]:
    lock, cut = layout.lock, tooth(layout)

    def show(mm: float) -> str:
        return size(layout, mm)

    r, low, wide = lock.pivot.hole / 2, -cut.relief_radius, slot_width(layout)
    yield Stroke(keyhole(layout), "cut", "keyhole")
    yield from hole((0.0, 0.0), 2 * r, "keyhole")
    row = slot_row(layout)
    for centre in row.centres if row else ():
        yield from hole(centre, row.drill.diameter if row else 0.0, "keyhole", chained=True)
    yield line((0.0, r + 12.0), (0.0, low - 6.0), "scribe", "keyhole")
    aside = max(r, wide / 2) + 8.0
    yield from dimension((0.0, low), (0.0, 0.0), show(-low), "keyhole", off=aside)
    yield from dimension(
        (-wide / 2, low), (wide / 2, low), f"slot {show(wide)}", "keyhole", off=-5.0, spill="right"
    )
    yield Label((r + 3.0, 0.0), f"round {show(2 * r)}", "note", "keyhole", 2.2, "left")
    if row:
        middle = row.centres[len(row.centres) // 2][1]
        yield Label(
            (wide / 2 + 3.0, middle),
            f"{len(row.centres)} × {row.drill.name}",
            "note",
            "keyhole",
            2.2,
            "left",
        )
    yield Label((3.0, r + 10.0), "centreline, to the datum mark", "note", "keyhole", 2.0, "left")


def _steps(layout: Layout) -> Iterable[str]:
    yield (
        f"Keyhole: round {size(layout, layout.lock.pivot.hole)} at the pivot of the front plate, slot "
        f"{size(layout, slot_width(layout))} wide straight down the centreline to "
        f"{size(layout, tooth(layout).relief_radius)} from the pivot."
    )


def _work(layout: Layout) -> Iterable[Task]:
    row = slot_row(layout)
    how = (
        f"drill the row of {len(row.centres)} with {row.drill.name}, file out the webs"
        if row
        else "saw the slot from the round"
    )
    yield Task(
        "plates", "keyhole",
        f"Keyhole, front plate only: {how}, and file the slot to {size(layout, slot_width(layout))} wide, "
        f"{size(layout, tooth(layout).relief_radius)} down from the pivot. The bit must pass without touching.",
    )  # fmt: skip


PIECE = Piece(
    "keyhole", 85, sheets=_sheets, on_plates=_on_plates, holes=_holes, steps=_steps, work=_work
)
