"""From a sheet of the record to what is drawn: dimensions written out, texts set, in one piece with its furniture."""

from collections.abc import Iterable
from dataclasses import dataclass

from core.geometry.motion import shift
from core.layout.drawing import Inked, Label, Measure, Stroke
from core.sheets.furniture import Job, whole_block
from core.sheets.placing import settled, text_box
from core.sheets.record import Loose, Sheet
from core.sheets.stamp import sheet_mark
from core.sheets.strokes import measured, moved
from core.sheets.tiles import Box

APART = 8.0
"""Distance [mm] between drawing and furniture in files that have no pages."""


@dataclass(frozen=True)
class Composed:
    """A sheet ready to be written: strokes and labels only, in the sheet's frame [mm].

    `unset` are the same marks before their texts were set, `bounds` left, bottom, right and top [mm].
    """

    sheet: Sheet
    marks: tuple[Inked, ...]
    unset: tuple[Inked | Loose, ...]
    bounds: Box

    @property
    def mark(self) -> str:
        """The sheet's mark, by which paper and file are held against each other."""
        return sheet_mark(self.sheet)

    def set_off(self, joints: Iterable[Inked]) -> tuple[Inked, ...]:
        """Return the sheet's marks with those of joints between pages, every text clear of them too."""
        return settled([*self.unset, *joints])

    def whole(self, job: Job) -> tuple[tuple[Inked, ...], Box]:
        """Return the sheet in one piece with its furniture below it, and the bounds of both [mm]."""
        left, bottom, right, top = self.bounds
        made = whole_block(job, self.sheet, right - left)
        down = bottom - APART
        put = tuple(moved(mark, shift(left, down)) for mark in made.marks)
        return (*self.marks, *put), (
            left,
            down - made.height,
            left + max(right - left, made.width),
            top,
        )


def composed(sheet: Sheet) -> Composed:
    """Return the sheet with its dimensions written out as strokes and texts, and every text clear of all lines."""
    unset: list[Inked | Loose] = []
    for mark in sheet.marks:
        unset.extend(measured(mark) if isinstance(mark, Measure) else (mark,))
    marks = settled(unset)
    return Composed(sheet, marks, tuple(unset), bounds_of(marks))


def bounds_of(marks: Iterable[Inked]) -> Box:
    """Return left, bottom, right and top [mm] of strokes and texts."""
    boxes = [
        text_box(mark).bounds if isinstance(mark, Label) else mark.path.bounds()
        for mark in marks
        if isinstance(mark, Label) or (isinstance(mark, Stroke) and mark.path.segments)
    ]
    lefts, bottoms, rights, tops = zip(*boxes, strict=True)
    return (min(lefts), min(bottoms), max(rights), max(tops))
