"""The tables as PDF."""

from collections.abc import Iterable

from fpdf.enums import TableBordersLayout, TableCellFillMode
from fpdf.fonts import FontFace

from core.sheets.furniture import BODY, OWN_LOCKS, PRINT_LINE, Job, bars
from core.sheets.lettering import CAPITAL, printable
from core.sheets.paper import PAPERS
from core.sheets.pdf import FONT, POINTS, Book, draw
from core.sheets.record import CUTTING, DRILLING
from core.sheets.table import Table
from core.sheets.tiles import MARGIN

HEADING, TEXT = 3.0, 2.0
"""Heights of capitals [mm]."""
LINE = 4.6
"""From line to line [mm]."""
BOX = "☐"


class _Tables(Book):
    """A book of tables, its pages numbered."""

    subtitle = ""

    def footer(self) -> None:
        """Print lock, date and page number at the foot of the page; fpdf2 calls this."""
        self.set_y(-MARGIN)
        self.set_font(FONT, "", TEXT / CAPITAL * POINTS)
        self.cell(0, 4.0, f"{printable(self.subtitle)} · page {self.page_no()}", align="C")


def tables_pdf(job: Job, tables: Iterable[Table]) -> bytes:
    """Return the PDF file of the tables, on the job's paper."""
    title = f"{job.layout.lock.title}: marking tables"
    book = _Tables(job, title)
    book.subtitle = job.subtitle
    book.set_auto_page_break(True, MARGIN + 6.0)
    book.add_page(format=PAPERS[job.paper])
    _say(book, title, 4.0, bold=True)
    _say(book, job.subtitle, BODY)
    if job.warning:
        _say(book, job.warning, BODY, bold=True)
    for caution in (CUTTING, DRILLING, OWN_LOCKS):
        _say(book, caution, TEXT)
    draw(book, bars(PAPERS[job.paper][0] - 2 * MARGIN), (MARGIN, book.get_y() + 9.0))
    book.set_y(book.get_y() + 12.0)
    _say(book, PRINT_LINE, BODY)
    for table in tables:
        _table(book, table)
    return book.data()


def _say(book: Book, text: str, height: float, *, bold: bool = False) -> None:
    book.set_font(FONT, "B" if bold else "", height / CAPITAL * POINTS)
    book.multi_cell(0, height * 2.1, printable(text), align="L", new_x="LMARGIN", new_y="NEXT")


def _table(book: Book, table: Table) -> None:
    deep = (len(table.rows) + len(table.notes) + 4) * (LINE + 1.0)
    room = book.h - 2 * MARGIN - 6.0
    # a table that fits a page is not torn over two, and no heading stands alone at the foot
    if book.will_page_break(deep if deep < room else 8 * LINE):
        book.add_page()
    book.set_y(book.get_y() + 4.0)
    _say(book, table.title, HEADING, bold=True)
    for note in table.notes:
        _say(book, note, TEXT)
    widths = table.widths or (1.0,) * len(table.columns)
    box = ("",) if table.ticks else ()
    book.set_font(FONT, "", TEXT / CAPITAL * POINTS)
    book.set_draw_color(150)
    book.set_line_width(0.1)
    with book.table(
        col_widths=(*(sum(widths) * 0.06 for _ in box), *widths),
        line_height=LINE,
        padding=(0.4, 1.0),
        text_align="LEFT",
        borders_layout=TableBordersLayout.HORIZONTAL_LINES,
        cell_fill_mode=TableCellFillMode.NONE,
        headings_style=FontFace(emphasis="BOLD"),
    ) as grid:
        for number, row in enumerate((table.columns, *table.rows)):
            line = grid.row()
            for cell in (*(f"{BOX} {number}" if number else "" for _ in box), *row):
                line.cell(printable(cell))
