"""One page: what is on it, and its foot with title, words and check bars.

Marks on a page are in mm from the upper left corner of its room, y up, as they are to measure once printed; the
correction for a printer comes in when the page is drawn.
"""

from dataclasses import dataclass

from core.geometry.motion import shift
from core.layout.drawing import Inked, Label
from core.sheets.furniture import (
    BAR_INCHES,
    BAR_MM,
    FINE,
    PART,
    PRINT_LINE,
    SHORT_PRINT_LINE,
    SHORT_STOP,
    Job,
    Line,
    bars,
    text_block,
    wrapped,
)  # fmt: skip
from core.sheets.leaf import ways
from core.sheets.strokes import line, moved
from core.sheets.table import Table
from core.sheets.tiles import Box

BAR_DEEP = 10.0
"""Height [mm] that the level bars take with their words."""


@dataclass(frozen=True)
class Put:
    """Marks on a page, of which only what is inside `window` shows: left, bottom, right, top [mm]; None for all."""

    marks: tuple[Inked, ...]
    window: Box | None = None


@dataclass(frozen=True)
class Page:
    """One page: its title, the sheets on it with their marks, what is drawn, and what is said at its foot.

    `part` names the part of a sheet that goes over several pages. `tables` are set from its upper edge down.
    """

    title: str
    lying: bool = False
    sheets: tuple[tuple[str, str], ...] = ()
    part: str = ""
    puts: tuple[Put, ...] = ()
    lines: tuple[Line, ...] = ()
    tables: tuple[Table, ...] = ()


def foot(job: Job, page: Page, number: str = "page 99 of 99") -> tuple[tuple[Inked, ...], float]:
    """Return title, words and bars at the foot of a page, in the page's frame, and how much of it they take [mm]."""
    wide, high = job.leaf.room(page.lying)
    made = (
        _narrow_foot(job, page, wide, number) if page.part else _full_foot(job, page, wide, number)
    )
    marks, deep = made
    placed = tuple(moved(mark, shift(0.0, deep - high)) for mark in marks)
    return placed, deep


def _numbered(page: Page, number: str) -> str:
    marks = [mark for _, mark in page.sheets]
    return f"mark {marks[0]} · {number}" if len(marks) == 1 else number


def _full_foot(job: Job, page: Page, wide: float, number: str) -> tuple[list[Inked], float]:
    upper = text_block(page.title, page.lines, wide, right=_numbered(page, number))
    marks = [*upper.marks, line((0.0, 0.0), (wide, 0.0), "note", PART)]
    y = -upper.height - BAR_DEEP + 2.0
    marks += [
        moved(mark, shift(0.0, y)) for mark in bars(job.layout.lock.units, wide, ways(page.lying))
    ]
    between = wide - BAR_MM - BAR_INCHES - 8.0
    rows = wrapped(PRINT_LINE, between, FINE)
    for index, row in enumerate(rows):
        at = (BAR_MM + 4.0, y + 6.4 - 2.9 * index)
        marks.append(Label(at, row, "note", PART, FINE, "left"))
    return marks, max(-y + 2.0, -(y + 6.4 - 2.9 * len(rows)))


def _narrow_foot(job: Job, page: Page, wide: float, number: str) -> tuple[list[Inked], float]:
    """Return the foot of one page of several: as low as can be, the words between the bars."""
    between, x = wide - BAR_MM - BAR_INCHES - 8.0, BAR_MM + 4.0
    said: list[Line] = [(f"{page.title}: {page.part}", 3.1), (_numbered(page, number), FINE)]
    said += [(SHORT_STOP, FINE)] if job.warning else []
    said += [(job.correction, FINE)] if job.correction else []
    said.append((SHORT_PRINT_LINE, FINE))
    marks: list[Inked] = [line((0.0, 0.0), (wide, 0.0), "note", PART)]
    y = -0.6
    for text, height in said:
        for row in wrapped(text, between, height):
            y -= height * 1.5
            marks.append(Label((x, y + height * 0.65), row, "note", PART, height, "left"))
    deep = max(-y, BAR_DEEP)
    marks += [
        moved(mark, shift(0.0, 2.0 - deep))
        for mark in bars(job.layout.lock.units, wide, ways(page.lying))
    ]
    return marks, deep
