"""PDF at 1:1: one page or several for each sheet, arcs as curves within a thousandth of a mm, letters embedded.

PDF knows no arcs (ISO 32000-1, 8.5.2): each is cut into cubic curves short enough that their error is out of sight.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from fpdf.drawing import PaintedPath

from core.geometry.path import Arc, Path, Point
from core.layout.drawing import Inked, Label, Stroke
from core.sheets.furniture import UPRIGHT, Job
from core.sheets.leaf import MARGIN
from core.sheets.lettering import CAPITAL, printable, weight_of
from core.sheets.page import Page, foot
from core.sheets.pdf_book import FONT, POINTS, Book
from core.sheets.pdf_tables import set_tables
from core.sheets.styles import GHOST, STYLES, Style

CURVE_ERROR = 2.73e-4
"""Greatest error of the usual cubic for a quarter circle over the radius; it falls as the angle to the sixth."""
CLOSEST = 5e-4
"""Error [mm] that an arc may have on paper."""


@dataclass(frozen=True)
class Frame:
    """Where drawings come to stand on a page: their origin [mm from its upper left corner], and what they are drawn
    larger by, to the right and up.
    """

    zero: Point = (MARGIN, MARGIN)
    scale: Point = (1.0, 1.0)

    def on_page(self, point: Point) -> Point:
        """Return where a point of a drawing [mm, y up] stands on the page, y down."""
        return (self.zero[0] + self.scale[0] * point[0], self.zero[1] - self.scale[1] * point[1])


def pages_pdf(job: Job, pages: Sequence[Page], title: str) -> bytes:
    """Return the PDF file of these pages, numbered through, drawn so that the job's printer prints them true."""
    book = Book(job.day, title)
    for number, page in enumerate(pages, start=1):
        _page(book, job, page, f"page {number} of {len(pages)}")
    return book.data()


def _page(book: Book, job: Job, page: Page, number: str) -> None:
    book.add_page(orientation="portrait", format=job.leaf.size(page.lying))
    frame = Frame(scale=job.leaf.scale(page.lying))
    for put in page.puts:
        if put.window is None:
            draw(book, put.marks, frame)
            continue
        left, bottom, right, top = put.window
        (x0, y0), (x1, y1) = frame.on_page((left, top)), frame.on_page((right, bottom))
        with book.rect_clip(x0, y0, x1 - x0, y1 - y0):
            draw(book, put.marks, frame)
    marks, deep = foot(job, page, number)
    draw(book, marks, frame)
    if page.tables:
        wide, high = job.leaf.room(page.lying)
        across, up = frame.scale
        set_tables(book, page.tables, (wide - UPRIGHT[0] - 3.0) * across, (high - deep) * up)


def draw(book: Book, marks: Iterable[Inked], frame: Frame) -> None:
    """Draw marks where `frame` puts them."""
    with book.local_context():
        for mark in marks:
            if isinstance(mark, Stroke):
                _stroke(book, mark, frame)
        for mark in marks:
            if isinstance(mark, Label):
                _label(book, mark, frame)


def _stroke(book: Book, stroke: Stroke, frame: Frame) -> None:
    style = GHOST if stroke.ghost else STYLES[stroke.layer]
    with book.new_path() as path:
        _set(path, style)
        trace(path, stroke.path, frame)


def _set(path: PaintedPath, style: Style) -> None:
    path.style.fill_color = None
    path.style.stroke_color = style.colour
    path.style.stroke_width = style.width
    path.style.stroke_cap_style = "butt"
    path.style.stroke_join_style = "round"
    path.style.stroke_dash_pattern = style.dash or None
    path.style.auto_close = False


def trace(pen: PaintedPath, path: Path, frame: Frame) -> None:
    """Move `pen` along `path` [mm, y up] where `frame` puts it."""
    pen.move_to(*frame.on_page(path.start))
    for segment in path.segments:
        if isinstance(segment, Arc):
            for first, second, end in curves(segment):
                pen.curve_to(*frame.on_page(first), *frame.on_page(second), *frame.on_page(end))
        else:
            pen.line_to(*frame.on_page(segment.end))
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


def _label(book: Book, label: Label, frame: Frame) -> None:
    text = printable(label.text)
    heavy = weight_of(label.part, label.height) != "Regular"
    # letters keep their shape; the smaller scale keeps them off lines that have moved towards each other
    scale = min(frame.scale)
    book.set_font(FONT, "B" if heavy else "", label.height * scale / CAPITAL * POINTS)
    book.set_text_color(0)
    share = {"left": 0.0, "middle": 0.5, "right": 1.0}[label.anchor]
    x, y = frame.on_page(label.at)
    with book.rotation(label.lean, x, y):
        book.text(x - share * book.get_string_width(text), y + label.height * scale / 2, text)
