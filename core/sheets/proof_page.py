"""The test page: bars both ways, from which a printer is measured before the first sheet is cut from."""

from collections.abc import Iterable
from datetime import date
from pathlib import Path

from core.geometry.motion import shift
from core.layout.drawing import Inked, Label
from core.sheets.folder import Folder, NotOursError
from core.sheets.furniture import BODY, PART, Line, bar_of, text_block
from core.sheets.leaf import WAYS, Leaf
from core.sheets.pdf import Frame, draw
from core.sheets.pdf_book import Book
from core.sheets.printers import BARS_INCH, BARS_MM, Printer
from core.sheets.strokes import line, moved

NAME = "printer-test-page.pdf"
TITLE = "Test page for true printing"
MEASURE = (
    "1. Print this page at 100 % (actual size), never fitted to the page, on the paper that the sheets will have.",
    (
        "2. Measure one bar across the paper and one along it, from the middle of one end stroke to the middle of the "
        "other: a long one with a rule, a short one with a calliper."
    ),
    (
        "3. Tell the program, under a name for the printer: boltwright sheets FILE --to FOLDER --printer NAME "
        "--bars ACROSS ALONG, such as --bars 149.4 150.2 or --bars '5 31/32 in' '6 in'."
    ),
    (
        "4. Print this page again for that printer: now the bars are to measure true. Its sheets are corrected the "
        "same way, and say so. Another paper or another printer is measured anew."
    ),
)
PROVE = (
    "1. Print this page at 100 % (actual size), never fitted to the page, with that printer.",
    (
        "2. Measure one bar across the paper and one along it. They are to measure true now. What they measure here is "
        "not for the program: if they are out, print the test page without a printer's name, and measure that."
    ),
)
LEVEL = (-62.0, -75.0, -88.0)
"""Height [mm] of the level bars under the page's upper edge."""


def proof_pdf(leaf: Leaf, day: date) -> bytes:
    """Return the PDF file of the test page, drawn so that the leaf's printer prints it true."""
    book = Book(day, TITLE)
    book.add_page(orientation="portrait", format=leaf.size(False))
    draw(book, tuple(marks(leaf, day)), Frame(scale=leaf.scale(False)))
    return book.data()


def write_test_page(
    folder: Path, paper: str, printer: Printer | None, day: date, *, replace: bool = False
) -> Path:
    """Write the test page into a folder, corrected for a printer that was measured, and return the file.

    Raises
    ------
    NotOursError
        Where a file of its name is in the way that was not written here, and `replace` is not set.
    SaveError
        Where it cannot be written.
    """
    target = Folder(folder)
    if not replace and (names := target.in_the_way([NAME])):
        raise NotOursError(folder, names)
    target.write(NAME, proof_pdf(Leaf(paper, printer), day), "printer", {})
    return folder / NAME


def marks(leaf: Leaf, day: date) -> Iterable[Inked]:
    """Yield what is on the page, from the upper left corner of its room, y up [mm]."""
    wide, high = leaf.room(False)
    foot = 3.0 - high
    printer = leaf.printer
    said = printer.words if printer is not None else "Not corrected for any printer."
    steps = MEASURE if printer is None else PROVE
    lines: list[Line] = [
        (text, BODY) for text in (f"{leaf.paper} · {day.isoformat()}", said, *steps)
    ]
    yield from text_block(TITLE, lines, wide).marks
    long_mm, long_inch = BARS_MM[1], BARS_INCH[1]
    for length, text, ticks, x, y in (
        (long_mm, "150 mm", _ticks(long_mm, 10.0), 0.0, LEVEL[0]),
        (long_inch, "6 in", _ticks(long_inch, 25.4), 0.0, LEVEL[1]),
        (BARS_MM[0], "50 mm", _ticks(BARS_MM[0], 10.0), 0.0, LEVEL[2]),
        (BARS_INCH[0], "2 in", _ticks(BARS_INCH[0], 6.35), 80.0, LEVEL[2]),
    ):
        bar = bar_of(length, f"{text} {WAYS[0]}", ticks)
        yield from (moved(mark, shift(x, y)) for mark in bar)
    for length, text, ticks, x in (
        (long_mm, "150 mm", _ticks(long_mm, 10.0), 20.0),
        (long_inch, "6 in", _ticks(long_inch, 25.4), 40.0),
        (BARS_MM[0], "50 mm", _ticks(BARS_MM[0], 10.0), 60.0),
        (BARS_INCH[0], "2 in", _ticks(BARS_INCH[0], 6.35), 80.0),
    ):
        bar = bar_of(length, f"{text} {WAYS[1]}", ticks, upright=True)
        yield from (moved(mark, shift(x, foot)) for mark in bar)
    for number, way in enumerate(WAYS):
        at = (100.0, foot + 60.0 - 14.0 * number)
        yield Label(at, f"measured {way}:", "note", PART, BODY, "left")
        yield line((at[0] + 46.0, at[1] - 1.5), (at[0] + 80.0, at[1] - 1.5), "note", PART)


def _ticks(length: float, step: float) -> list[float]:
    return [n * step for n in range(1, round(length / step))]
