"""PDF at 1:1: one page or several for each sheet, arcs as curves within a thousandth of a mm, letters embedded.

PDF knows no arcs (ISO 32000-1, 8.5.2): each is cut into cubic curves short enough that their error is out of sight.
"""

import math
from collections.abc import Iterable, Sequence
from datetime import UTC, datetime, time
from typing import Any

from fpdf import FPDF
from fpdf.drawing import PaintedPath
from fpdf.output import OutputProducer

from core.geometry.path import Arc, Path, Point
from core.layout.drawing import Label, Mark, Stroke
from core.sheets.compose import Composed
from core.sheets.furniture import PART, Job
from core.sheets.lettering import CAPITAL, font_file, printable
from core.sheets.styles import GHOST, STYLES, Style
from core.sheets.tiles import MARGIN, Tile

FONT = "lettering"
POINTS = 72 / 25.4
"""Points in a mm: sizes of letters are given in points."""
CURVE_ERROR = 2.73e-4
"""Greatest error of the usual cubic for a quarter circle over the radius; it falls as the angle to the sixth."""
CLOSEST = 5e-4
"""Error [mm] that an arc may have on paper."""


class _Plain(OutputProducer):
    """Writes a document that does nothing when it is opened: the library's own would turn to a zoom."""

    def _finalize_catalog(self, catalog_obj: Any, *args: Any, **rest: Any) -> None:
        super()._finalize_catalog(catalog_obj, *args, **rest)
        catalog_obj.open_action = None


class Book(FPDF):
    """A PDF document in mm with our letters, that says the same whenever it is written for the same job."""

    def __init__(self, job: Job, title: str) -> None:
        """Start without a page; `title` goes into the document's own data."""
        super().__init__(unit="mm", format=(210.0, 297.0))
        self.set_auto_page_break(False)
        self.set_margin(MARGIN)
        self.add_font(FONT, "", font_file("Regular"))
        self.add_font(FONT, "B", font_file("Semibold"))
        self.set_title(printable(title))
        self.set_producer("boltwright")
        self.set_creator("boltwright")
        self.set_lang("en-GB")
        self.set_creation_date(datetime.combine(job.day, time(), UTC))

    def data(self) -> bytes:
        """Return the file."""
        return bytes(self.output(output_producer_class=_Plain))


def templates_pdf(job: Job, sheets: Iterable[Composed], title: str) -> bytes:
    """Return the PDF file of these sheets, each on as many pages as it needs."""
    book = Book(job, title)
    for sheet in sheets:
        for page in sheet.pages(job):
            _page(book, sheet, page.tile, page.marks, page.furniture)
    return book.data()


def _page(
    book: Book, sheet: Composed, tile: Tile, marks: Sequence[Mark], furniture: Sequence[Mark]
) -> None:
    width, height = tile.paper
    book.add_page(orientation="portrait", format=(width, height))
    left, bottom, right, top = tile.window
    with book.rect_clip(MARGIN, MARGIN, right - left, top - bottom):
        draw(book, marks, (MARGIN - left, MARGIN + top))
    deep = sheet.depth
    draw(book, furniture, (MARGIN, height - MARGIN - deep))


def draw(book: Book, marks: Iterable[Mark], zero: Point) -> None:
    """Draw marks whose origin stands at `zero` on the page [mm from its upper left corner]."""
    with book.local_context():
        for mark in marks:
            if isinstance(mark, Stroke):
                _stroke(book, mark, zero)
        for mark in marks:
            if isinstance(mark, Label):
                _label(book, mark, zero)


def _stroke(book: Book, stroke: Stroke, zero: Point) -> None:
    style = GHOST if stroke.ghost else STYLES[stroke.layer]
    with book.new_path() as path:
        _set(path, style)
        trace(path, stroke.path, zero)


def _set(path: PaintedPath, style: Style) -> None:
    path.style.fill_color = None
    path.style.stroke_color = style.colour
    path.style.stroke_width = style.width
    path.style.stroke_cap_style = "butt"
    path.style.stroke_join_style = "round"
    path.style.stroke_dash_pattern = style.dash or None
    path.style.auto_close = False


def trace(pen: PaintedPath, path: Path, zero: Point) -> None:
    """Move `pen` along `path` [mm, y up] on a page with y down, its origin at `zero`."""

    def on_page(point: Point) -> Point:
        return (zero[0] + point[0], zero[1] - point[1])

    pen.move_to(*on_page(path.start))
    for segment in path.segments:
        if isinstance(segment, Arc):
            for first, second, end in curves(segment):
                pen.curve_to(*on_page(first), *on_page(second), *on_page(end))
        else:
            pen.line_to(*on_page(segment.end))
    if path.closed:
        pen.close()


def curves(arc: Arc) -> list[tuple[Point, Point, Point]]:
    """Return an arc as cubic curves: the two handles and the end of each [mm].

    Handles of 4/3 tan(angle / 4) radii; for a quarter circle the radius is out by 0.00027 of itself at most (the
    usual bound), and with the angle that falls to the sixth power.
    """
    sweep, radius = arc.sweep, arc.radius
    allowed = (CLOSEST / (CURVE_ERROR * max(radius, 1e-9))) ** (1 / 6) * math.pi / 2
    count = max(math.ceil(abs(sweep) / min(allowed, math.pi / 2)), 1)
    step = sweep / count
    handle = 4 / 3 * math.tan(step / 4) * radius
    made = []
    for number in range(count):
        a, b = arc.start_angle + number * step, arc.start_angle + (number + 1) * step
        start, end = _on(arc, a), _on(arc, b) if number < count - 1 else arc.end
        first = (start[0] - handle * math.sin(a), start[1] + handle * math.cos(a))
        second = (end[0] + handle * math.sin(b), end[1] - handle * math.cos(b))
        made.append((first, second, end))
    return made


def _on(arc: Arc, angle: float) -> Point:
    return (
        arc.centre[0] + arc.radius * math.cos(angle),
        arc.centre[1] + arc.radius * math.sin(angle),
    )


def _label(book: Book, label: Label, zero: Point) -> None:
    text = printable(label.text)
    heavy = label.part == PART and label.height > 3.0
    book.set_font(FONT, "B" if heavy else "", label.height / CAPITAL * POINTS)
    book.set_text_color(0)
    share = {"left": 0.0, "middle": 0.5, "right": 1.0}[label.anchor]
    x, y = zero[0] + label.at[0], zero[1] - label.at[1]
    with book.rotation(label.lean, x, y):
        book.text(x - share * book.get_string_width(text), y + label.height / 2, text)
