"""All pages of an order in one book: a cover with the list of sheets, the bench card, the faces, the small parts."""

from collections.abc import Sequence
from dataclasses import replace

from core.geometry.motion import shift
from core.sheets import bench_card
from core.sheets.compose import Composed
from core.sheets.furniture import (
    BODY,
    FINE,
    SHORT_CAUTION,
    UPRIGHT,
    Job,
    Line,
    full_notes,
    heading,
    own_notes,
    upright_bar,
)
from core.sheets.leaf import ways
from core.sheets.page import Page, Put, foot
from core.sheets.pages import sheet_pages, small_parts
from core.sheets.strokes import moved
from core.sheets.table import Table
from core.text import plain

JOINTS = (
    "A sheet of several pages: trim each page along the dotted line, lay it on the next one so that the crosses meet, "
    "and stick it down on a flat table."
)


def book(
    job: Job, sheets: Sequence[Composed], card: tuple[Table, ...] = (), card_mark: str = ""
) -> tuple[Page, ...]:
    """Return the pages of these sheets, and of the bench card if its tables are given; a single sheet has no cover."""
    faces = [made for made in sheets if made.sheet.alone]
    small = [made for made in sheets if not made.sheet.alone]
    if len(sheets) == 1 and not card:
        pages = sheet_pages(job, sheets[0], first=True)
        if len(pages) == 1:
            return pages
    cards = (_card(job, card, card_mark, first=not sheets),) if card else ()
    if cards and not sheets:
        return cards
    drawn = [page for made in faces for page in sheet_pages(job, made)]
    if len(small) == 1:
        drawn += sheet_pages(job, small[0])
    elif small:
        drawn += small_parts(job, small)
    pages = (*cards, *drawn)
    return (_cover(job, sheets, pages), *pages)


def _cover(job: Job, sheets: Sequence[Composed], pages: Sequence[Page]) -> Page:
    titles = {made.sheet.name: made.sheet.title for made in sheets} | {
        bench_card.NAME: bench_card.TITLE
    }
    on: dict[tuple[str, str], list[int]] = {}
    for number, page in enumerate(pages, start=2):
        for named in page.sheets:
            on.setdefault(named, []).append(number)
    rows = tuple(
        (titles[name], _pages_in_words(numbers), mark) for (name, mark), numbers in on.items()
    )
    list_of_sheets = Table(
        "Sheets in this file", ("sheet", "page", "mark"), rows, widths=(90, 40, 40), ticks=True
    )
    split = [made for made in sheets if len(on[made.sheet.name, made.mark]) > 1]
    lines: list[Line] = [*heading(job)]
    lines += [
        (f"{made.sheet.title}: {text}", height)
        for made in split
        for text, height in own_notes(made.sheet)
    ]
    lines += [(JOINTS, BODY)] if split else []
    lines += full_notes(job, [made.sheet for made in sheets])
    title = f"Sheets of {plain(job.layout.lock.title) or 'a lock without a title'}"
    return _with_bar(job, Page(title, lines=tuple(lines), tables=(list_of_sheets,)))


def _pages_in_words(numbers: list[int]) -> str:
    return str(numbers[0]) if len(numbers) == 1 else f"{numbers[0]} to {numbers[-1]}"


def _card(job: Job, tables: tuple[Table, ...], mark: str, *, first: bool) -> Page:
    lines = [*heading(job), *(full_notes(job, []) if first else [(SHORT_CAUTION, FINE)])]
    named = ((bench_card.NAME, mark),)
    return _with_bar(job, Page(bench_card.TITLE, sheets=named, lines=tuple(lines), tables=tables))


def _with_bar(job: Job, page: Page) -> Page:
    """Return a page of tables with the upright bar in its lower right corner, above the foot."""
    (wide, high), deep = job.leaf.room(False), foot(job, page)[1]
    place = shift(wide - UPRIGHT[0], deep - high + 1.0)
    bar = upright_bar(job.layout.lock.units, ways(False)[1])
    return replace(page, puts=(Put(tuple(moved(mark, place) for mark in bar)),))
