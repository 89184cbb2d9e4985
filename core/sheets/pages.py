"""Pages of sheets: small parts together, large drawings over several, each with a check bar that stands upright."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from core.geometry.motion import shift
from core.geometry.path import Point
from core.layout.drawing import Inked, Label, Stroke
from core.sheets.compose import Composed, bounds_of
from core.sheets.furniture import (
    BODY,
    FINE,
    PART,
    SHORT_CAUTION,
    UPRIGHT,
    Job,
    full_notes,
    heading,
    own_notes,
    text_block,
    upright_bar,
)  # fmt: skip
from core.sheets.leaf import ways
from core.sheets.nesting import nested
from core.sheets.page import Page, Put, foot
from core.sheets.placing import Field
from core.sheets.strokes import moved
from core.sheets.tiles import MOST_PAGES, Box, tiling

CELL = 85.0
"""Narrowest caption [mm] of a small part."""
APART = 9.0
"""Distance [mm] between small parts on a page: they are cut apart with scissors."""
CAPTION, CAPTION_DOWN = 3.2, 3.0
"""Height of the capitals in the title of a small part, and how far the title is below its drawing [mm]."""


def _with_upright_bar(job: Job, page: Page, deep: float) -> Page | None:
    """Return the page with an upright bar where nothing else is, as near its lower right corner as can be.

    None where there is no room for it.
    """
    wide, high = job.leaf.room(page.lying)
    field = Field(
        (put.marks, shapely.box(*put.window) if put.window else None) for put in page.puts
    )
    across = np.arange(wide - UPRIGHT[0], 0.0, -3.0)
    up = np.arange(deep - high + 1.0, -UPRIGHT[1], 4.0)
    places = np.stack(np.meshgrid(across, up), axis=-1).reshape(-1, 2)
    corner = np.array([wide, -high])
    places = places[np.argsort(np.hypot(*(places - corner).T), kind="stable")]
    left, low = places.T
    boxes = shapely.box(left - 0.5, low, left + UPRIGHT[0], low + UPRIGHT[1])
    # the first few are nearly always enough
    for some in (boxes[:20], boxes):
        free = np.flatnonzero(field.free(some))
        if len(free):
            break
    else:
        return None
    x, y = places[free[0]]
    bar = upright_bar(job.layout.lock.units, ways(page.lying)[1])
    marks: tuple[Inked, ...] = tuple(moved(mark, shift(float(x), float(y))) for mark in bar)
    return replace(page, puts=(*page.puts, Put(marks)))


def sheet_pages(job: Job, made: Composed, *, first: bool = False) -> tuple[Page, ...]:
    """Return the pages of one sheet that shares none; with `first` its page says all that has to be said."""
    lines = (*heading(job), *own_notes(made.sheet))
    lines += tuple(full_notes(job, [made.sheet])) if first else ((SHORT_CAUTION, FINE),)
    page = Page(made.sheet.title, sheets=((made.sheet.name, made.mark),), lines=lines)
    for aside in (0.0, UPRIGHT[0] + 2.0):
        done = _on_one(job, made, page, aside)
        if done is None:
            done = _on_several(job, made, page, aside)
        if done:
            return done
    return (_too_large(job, made, page),)


def _on_one(job: Job, made: Composed, page: Page, aside: float) -> tuple[Page, ...] | None:
    """Return the sheet on one page, None where it is too large, nothing where the upright bar has no room."""
    left, bottom, right, top = made.bounds
    for lying in (False, True):
        tried = replace(page, lying=lying)
        (wide, high), deep = job.leaf.room(lying), foot(job, tried)[1]
        if right - left <= wide - aside and top - bottom <= high - deep - 2.0:
            x = (wide - aside) / 2 - (left + right) / 2
            y = -(high - deep) / 2 - (bottom + top) / 2
            marks = tuple(moved(mark, shift(x, y)) for mark in made.marks)
            whole = _with_upright_bar(job, replace(tried, puts=(Put(marks),)), deep)
            return (whole,) if whole else ()
    return None


def _on_several(job: Job, made: Composed, page: Page, aside: float) -> tuple[Page, ...]:
    """Return the sheet on several pages, none where it takes too many or an upright bar has no room."""
    narrow = replace(page, part=_part("AA9", MOST_PAGES, MOST_PAGES))
    deeps = {lying: foot(job, replace(narrow, lying=lying))[1] for lying in (False, True)}

    def left_over(lying: bool) -> Point:
        wide, high = job.leaf.room(lying)
        return (wide - aside, high - deeps[lying] - 1.0)

    drilled = [m.path.bounds() for m in made.marks if isinstance(m, Stroke) and m.layer == "drill"]
    laid = tiling(made.bounds, left_over, made.sheet.whole, drilled)
    marks = made.set_off(laid.marks) if laid.tiles else ()
    bounds = [bounds_of([mark]) for mark in marks]
    pages = []
    for number, tile in enumerate(laid.tiles, start=1):
        left, bottom, right, top = tile.window
        wide, high = left_over(laid.lying)
        x, y = (wide - right + left) / 2 - left, -1.0 - (high - top + bottom) / 2 - top
        here = [mark for mark, box in zip(marks, bounds, strict=True) if _meet(box, tile.window)]
        put = Put(
            tuple(moved(mark, shift(x, y)) for mark in here),
            (left + x, bottom + y, right + x, top + y),
        )
        bare = replace(
            page, lying=laid.lying, part=_part(tile.name, number, laid.wanted), puts=(put,)
        )
        whole = _with_upright_bar(job, bare, deeps[laid.lying])
        if whole is None:
            return ()
        pages.append(whole)
    return tuple(pages)


def _part(name: str, number: int, count: int) -> str:
    return f"{name}, part {number} of {count}"


def _meet(one: Box, other: Box) -> bool:
    return all(one[i] <= other[i + 2] and other[i] <= one[i + 2] for i in (0, 1))


def _too_large(job: Job, made: Composed, page: Page) -> Page:
    """Return the one page that stands for more pages than anybody sticks together."""
    words = (
        f"{too_large(job, made)}.",
        "Take its SVG or DXF file to a large printer or plotter, at 100 %.",
    )
    wide, high = job.leaf.room(False)
    labels = tuple(
        Label((wide / 2, -high / 3 - 5.0 * row), text, "note", PART, BODY)
        for row, text in enumerate(words)
    )
    bare = replace(page, puts=(Put(labels),))
    return _with_upright_bar(job, bare, foot(job, bare)[1]) or bare


def too_large(job: Job, made: Composed) -> str:
    """Return the sentence that says that a sheet takes too many pages, or nothing."""
    laid = tiling(made.bounds, lambda lying: job.leaf.room(lying))
    return (
        ""
        if laid.tiles
        else f"{made.sheet.title}: too large for {job.paper} paper, it takes {laid.wanted} pages"
    )


# small parts together


@dataclass(frozen=True)
class _Cell:
    """A small part with its caption, its upper left corner at (0, 0)."""

    made: Composed
    marks: tuple[Inked, ...]
    size: Point


def _cell(made: Composed, widest: float) -> _Cell:
    left, bottom, right, top = made.bounds
    wide = min(max(right - left, CELL), widest)
    caption = text_block(
        made.sheet.title, own_notes(made.sheet), wide, right=f"mark {made.mark}", height=CAPTION
    )
    down = top - bottom + CAPTION_DOWN
    marks = [moved(mark, shift(-left, -top)) for mark in made.marks]
    marks += [moved(mark, shift(0.0, -down)) for mark in caption.marks]
    return _Cell(made, tuple(marks), (max(right - left, wide), down + caption.height))


def small_parts(job: Job, sheets: Sequence[Composed]) -> tuple[Page, ...]:
    """Return the pages that small parts share, and after each other those that are too large to share one."""
    page = Page("Parts", lines=(*heading(job), (SHORT_CAUTION, FINE)))
    wide, high = job.leaf.room(False)
    deep = foot(job, page)[1]
    # the last strip on the right is kept for the upright bar
    left_over = (wide - UPRIGHT[0] - 2.0, high - deep - 3.0)
    cells = [_cell(made, left_over[0]) for made in sheets]
    fitting = [c for c in cells if c.size[0] <= left_over[0] and c.size[1] <= left_over[1]]
    places = nested([cell.size for cell in fitting], left_over, APART)
    pages = []
    for number in sorted({place.page for place in places}):
        here = [(c, p.at) for c, p in zip(fitting, places, strict=True) if p.page == number]
        marks = tuple(
            moved(mark, shift(x, -1.0 - y)) for cell, (x, y) in here for mark in cell.marks
        )
        named = tuple((cell.made.sheet.name, cell.made.mark) for cell, _ in here)
        title = "Parts: " + ", ".join(
            cell.made.sheet.title.split(",")[0].lower() for cell, _ in here
        )
        bare = replace(page, title=title, sheets=named, puts=(Put(marks),))
        pages.append(_with_upright_bar(job, bare, foot(job, bare)[1]) or bare)
    for cell in cells:
        if cell not in fitting:
            pages += sheet_pages(job, cell.made)
    return tuple(pages)
