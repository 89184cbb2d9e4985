"""From a sheet of the record to what is drawn: dimensions written out, furniture added, pages laid out."""

from collections.abc import Iterable
from dataclasses import dataclass

from core.geometry.motion import shift
from core.layout.drawing import Label, Mark, Measure, Stroke
from core.sheets.furniture import Block, Job, block, page_label
from core.sheets.paper import PAPERS
from core.sheets.placing import Drawn, settled, text_box
from core.sheets.record import Loose, Sheet
from core.sheets.strokes import measured, moved
from core.sheets.tiles import MARGIN, Box, Tile, tiling

APART = 8.0
"""Distance [mm] between drawing and furniture in files that have no pages."""


@dataclass(frozen=True)
class Page:
    """One page: what of the drawing it shows, and its furniture, whose upper left corner is at (0, 0)."""

    tile: Tile
    marks: tuple[Mark, ...]
    furniture: tuple[Mark, ...]


@dataclass(frozen=True)
class Composed:
    """A sheet ready to be written: strokes and labels only, in the sheet's frame [mm].

    `furniture` is what every page of it carries at its foot.
    """

    sheet: Sheet
    marks: tuple[Mark, ...]
    bounds: Box
    furniture: Block

    @property
    def depth(self) -> float:
        """How much of a page the furniture takes [mm]."""
        return self.furniture.height

    def pages(self, job: Job) -> tuple[Page, ...]:
        """Return the sheet's pages on the job's paper."""
        laid = tiling(self.bounds, job.paper, self.depth)
        if not laid.tiles:
            return (self._too_large(job, laid.wanted),)
        marks, count = (*self.marks, *laid.marks), len(laid.tiles)
        return tuple(
            Page(tile, marks, (*self.furniture.marks, *self._numbered(number, count, tile.name)))
            for number, tile in enumerate(laid.tiles, start=1)
        )

    def _numbered(self, number: int, count: int, name: str) -> Iterable[Mark]:
        """Yield the page's number and name, for a sheet of several."""
        if count > 1:
            yield page_label(f"page {number} of {count}: {name}", self.furniture.width)

    def _too_large(self, job: Job, wanted: int) -> Page:
        """Return the one page that stands for more pages than anybody sticks together."""
        wide, high = PAPERS[job.paper]
        window = (0.0, 0.0, wide - 2 * MARGIN, high - 2 * MARGIN - self.depth)
        text = f"Too large for paper of this size: it takes {wanted} pages."
        more = "Take the SVG or DXF file of this sheet to a large printer or plotter, at 100 %."
        marks = tuple(
            Label((window[2] / 2, window[3] / 2 - 5.0 * row), words, "note", self.sheet.name)
            for row, words in enumerate((text, more))
        )
        return Page(Tile("A1", window, (wide, high)), marks, self.furniture.marks)

    def whole(self, job: Job) -> tuple[tuple[Mark, ...], Box]:
        """Return the sheet in one piece with its furniture below it, and the bounds of both [mm]."""
        left, bottom, right, top = self.bounds
        made = block(job, self.sheet, right - left)
        down = bottom - APART
        put = tuple(moved(mark, shift(left, down)) for mark in made.marks)
        return (*self.marks, *put), (
            left,
            down - made.height,
            left + max(right - left, made.width),
            top,
        )


def composed(job: Job, sheet: Sheet) -> Composed:
    """Return the sheet with its dimensions written out as strokes and texts."""
    marks: list[Drawn | Loose] = []
    for mark in sheet.marks:
        marks += measured(mark) if isinstance(mark, Measure) else [mark]
    settled_marks = settled(marks)
    furniture = block(job, sheet, PAPERS[job.paper][0] - 2 * MARGIN)
    return Composed(sheet, settled_marks, bounds_of(settled_marks), furniture)


def bounds_of(marks: Iterable[Mark]) -> Box:
    """Return left, bottom, right and top [mm] of strokes and texts."""
    boxes = [
        text_box(mark).bounds if isinstance(mark, Label) else mark.path.bounds()
        for mark in marks
        if isinstance(mark, Label) or (isinstance(mark, Stroke) and mark.path.segments)
    ]
    lefts, bottoms, rights, tops = zip(*boxes, strict=True)
    return (min(lefts), min(bottoms), max(rights), max(tops))
