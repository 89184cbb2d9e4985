"""The tables as PDF: in a document of their own, and on single pages among the drawings."""

from collections.abc import Iterable, Sequence
from typing import Any

from fpdf.enums import TableBordersLayout, TableCellFillMode
from fpdf.fonts import FontFace

from core.sheets.furniture import BODY, OWN_LOCKS, Job
from core.sheets.leaf import MARGIN
from core.sheets.lettering import CAPITAL, printable
from core.sheets.paper import PAPERS
from core.sheets.pdf_book import FONT, POINTS, Book
from core.sheets.record import CUTTING, DRILLING
from core.sheets.table import Table

HEADING, TEXT = 3.0, 2.0
"""Heights of capitals [mm]."""
LINE = 4.6
"""From line to line [mm]."""
BOX, TICKED = "☐", "☑"
SMALLER = (1.0, 0.92, 0.85, 0.78, 0.7, 0.6)
"""What letters and lines are made smaller by, in turn, until all tables of a page fit on it."""


class _Tables(Book):
    """A book of tables, its pages numbered through."""

    subtitle = ""

    def footer(self) -> None:
        """Print lock, date and page number at the foot of the page; fpdf2 calls this."""
        self.set_y(-MARGIN)
        self.set_font(FONT, "", TEXT / CAPITAL * POINTS)
        text = f"{printable(self.subtitle)} · page {self.page_no()} of {{nb}}"
        self.cell(0, 4.0, text, align="C")


def tables_pdf(job: Job, tables: Iterable[Table]) -> bytes:
    """Return the PDF file of the tables, on the job's paper."""
    title = f"{job.layout.lock.title}: marking tables"
    book = _Tables(job.day, title)
    book.subtitle = job.subtitle
    book.set_auto_page_break(True, MARGIN + 6.0)
    book.add_page(format=PAPERS[job.paper])
    _say(book, title, 4.0, bold=True)
    _say(book, job.subtitle, BODY)
    if job.warning:
        _say(book, job.warning, BODY, bold=True)
    for caution in (CUTTING, DRILLING, OWN_LOCKS):
        _say(book, caution, TEXT)
    for table in tables:
        deep = (len(table.rows) + len(table.notes) + 4) * (LINE + 1.0)
        room = book.h - 2 * MARGIN - 6.0
        # a table that fits a page is not torn over two, and no heading stands alone at the foot
        if book.will_page_break(deep if deep < room else 8 * LINE):
            book.add_page()
        _set(book, table)
    return book.data()


def set_tables(book: Book, tables: Sequence[Table], wide: float, high: float) -> None:
    """Set tables from the top of the page at hand down, in a box `wide` and `high` [mm], as large as they fit."""
    for size in SMALLER:
        with book.offset_rendering() as tried:
            _set_all(tried, tables, wide, size)
            if tried.get_y() <= MARGIN + high:
                break
    _set_all(book, tables, wide, size)


def _set_all(book: Any, tables: Sequence[Table], wide: float, size: float) -> None:
    # a book, or the recorder that stands in for it while sizes are tried
    book.set_y(MARGIN - 4.0)
    for table in tables:
        _set(book, table, wide=wide, size=size)


def _say(book: Book, text: str, height: float, *, bold: bool = False, wide: float = 0.0) -> None:
    book.set_font(FONT, "B" if bold else "", height / CAPITAL * POINTS)
    book.multi_cell(wide, height * 2.1, printable(text), align="L", new_x="LMARGIN", new_y="NEXT")


def _set(book: Book, table: Table, *, wide: float | None = None, size: float = 1.0) -> None:
    book.set_y(book.get_y() + 4.0 * size)
    if table.title:
        _say(book, table.title, HEADING * size, bold=True)
    for note in table.notes:
        _say(book, note, TEXT * size, wide=wide or 0.0)
    widths = table.widths or (1.0,) * len(table.columns)
    box = ("",) if table.ticks else ()
    book.set_font(FONT, "", TEXT * size / CAPITAL * POINTS)
    book.set_draw_color(150)
    book.set_line_width(0.1)
    with book.table(
        width=wide,
        align="L",
        col_widths=(*(sum(widths) * 0.06 for _ in box), *widths),
        line_height=LINE * size,
        padding=(0.4 * size, 1.0),
        text_align="LEFT",
        borders_layout=TableBordersLayout.HORIZONTAL_LINES,
        cell_fill_mode=TableCellFillMode.NONE,
        headings_style=FontFace(emphasis="BOLD"),
    ) as grid:
        for number, row in enumerate((table.columns, *table.rows), start=-1):
            line = grid.row()
            sign = TICKED if number in table.done else BOX
            for cell in (
                *(f"{sign} {table.first + number}" if number >= 0 else "" for _ in box),
                *row,
            ):
                line.cell(printable(cell))
