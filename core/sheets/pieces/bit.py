"""The bit of the key: along the shank, and its face, from which the blank is cut."""

import math
from collections.abc import Iterable

from core.geometry.path import Arc, Line, Segment, circle, polyline
from core.layout.drawing import Label, Mark, Stroke
from core.layout.frames import hand
from core.layout.layout import Layout
from core.parts.key import bit_path
from core.parts.tooth import tooth
from core.sheets.left_on import left_on
from core.sheets.record import Piece, Sheet, Stock, Task
from core.sheets.sizes import rough, size
from core.sheets.strokes import bow, cross, dimension, moved

PART = "key"
SPARE = 2.0
"""Added to the bit's blank [mm] to be let into the shank and filed off; common practice, no source."""
ASIDE = 30.0
"""Distance [mm] from the view along the shank to the face."""


def height(layout: Layout) -> float:
    """Return how far [mm] the bit stands out of the shank: key radius less half the shank."""
    return layout.lock.key.radius - layout.lock.key.shank / 2


def _sheets(layout: Layout) -> Iterable[Sheet]:
    yield Sheet(
        name="bit",
        title="Bit of the key",
        marks=tuple(_drawn(layout)),
        seen="Left: along the shank. Right: the bit's face, the shank below it",
        notes=(
            (
                "Dashed, with +: left on until roof and relief are cut. The tip is rounded to the key's circle; its "
                "two corners do the work: keep them sharp until the bolt runs. How wide the bit is along the shank "
                "follows from the depth of the lock, which this file does not hold."
            ),
        ),
    )


def _drawn(layout: Layout) -> Iterable[Mark]:
    lock, cut = layout.lock, tooth(layout)

    def show(mm: float) -> str:
        return size(layout, mm)

    r, shank, half = cut.radius, lock.key.shank / 2, min(cut.half_bit, cut.radius)
    path = bit_path(layout, 0.0)
    yield moved(Stroke(path, "cut", PART), hand(layout))
    root = math.sqrt(max(shank * shank - half * half, 0.0))
    tip = math.sqrt(r * r - half * half)
    full: list[tuple[Segment, float]] = [
        (Line((-half, root), (-half, tip)), lock.filing.bit_faces / 2),
        (Arc((0.0, 0.0), r, (-half, tip), (half, tip), "cw"), lock.filing.bit_tip),
        (Line((half, tip), (half, root)), lock.filing.bit_faces / 2),
    ]
    yield from left_on(layout, full, PART)
    yield Stroke(circle((0.0, 0.0), shank), "view", PART)
    yield from cross((0.0, 0.0), PART, 1.5)
    yield Stroke(bow((0.0, 0.0), r, math.radians(35.0)), "scribe", PART)
    aside = max(shank, half)
    yield from dimension((0.0, 0.0), (0.0, r), f"key radius {show(r)}", PART, off=aside + 8.0)
    yield from dimension(
        (-half, r), (half, r), f"bit {show(2 * half)}", PART, off=5.0, spill="right"
    )
    yield from dimension(
        (-shank, 0.0),
        (shank, 0.0),
        f"shank {show(2 * shank)}",
        PART,
        off=-shank - 5.0,
        spill="right",
    )
    wide = 3 * lock.bolt.thickness
    left, right = ASIDE, ASIDE + wide
    for x in (left, right):
        yield Stroke(polyline([(x, shank), (x, tip)]), "view", PART, ghost=True)
    yield Stroke(polyline([(left - 3.0, tip), (right + 3.0, tip)]), "view", PART)
    for y in (-shank, shank):
        yield Stroke(polyline([(left - 8.0, y), (right + 8.0, y)]), "view", PART)
    yield from dimension((right, shank), (right, r), show(r - shank), PART, off=-6.0)
    yield Label(
        ((left + right) / 2, -shank - 11.0),
        "face; width along the shank to suit",
        "note",
        PART,
        2.2,
    )


def _stock(layout: Layout) -> Iterable[Stock]:
    key = layout.lock.key
    yield Stock(
        "shank of the key",
        1,
        (None, key.shank),
        "round bar",
        "mild steel",
        "to suit the hand and the lock",
    )
    yield Stock(
        "bit of the key", 1, (height(layout) + 2 * SPARE, None, key.bit_thickness), "flat bar", "mild steel",
        f"{rough(layout, SPARE)} to let into the shank, {rough(layout, SPARE)} to file off at the tip",
    )  # fmt: skip


def _steps(layout: Layout) -> Iterable[str]:
    yield (
        f"Key: file the bit to the gauge, {size(layout, layout.lock.key.radius)} from the middle of the shank to its "
        f"corners, {size(layout, layout.lock.key.bit_thickness)} thick; it stands {size(layout, height(layout))} out "
        "of the shank."
    )


def _work(layout: Layout) -> Iterable[Task]:
    key = layout.lock.key
    yield Task(
        "key", "bit",
        f"Bit: file its faces to {size(layout, key.bit_thickness)}, let it into the shank of {size(layout, key.shank)} "
        f"and braze or rivet it; its corners stand a little more than {size(layout, key.radius)} from the middle of "
        "the shank until the tooth is cut.",
    )  # fmt: skip


PIECE = Piece("bit", 90, sheets=_sheets, stock=_stock, steps=_steps, work=_work)
