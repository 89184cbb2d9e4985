"""What every sheet carries besides its drawing: title, print line, check bars, notes, cautions."""

import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from core.checks.gathered import findings
from core.geometry.motion import Motion, shift
from core.layout.drawing import Inked, Label
from core.layout.findings import Finding
from core.layout.layout import Layout
from core.sheets.leaf import Leaf
from core.sheets.lettering import OWN_PART, weight_of
from core.sheets.lettering import width as text_width
from core.sheets.printers import Printer
from core.sheets.record import Sheet
from core.sheets.sizes import key_to_sizes
from core.sheets.stamp import sheet_mark
from core.sheets.strokes import line, moved
from core.sheets.styles import WHAT
from core.text import plain

PRINT_LINE = (
    "Print at 100 % (actual size), never fitted to the page. Measure the bars both ways before you cut: if one is "
    "wrong, so is the sheet."
)
SHORT_PRINT_LINE = "Print at 100 %; measure the bars both ways before you cut."
OWN_LOCKS = (
    "For locks of your own property; no security rating is claimed. Follow your local codes; ask a licensed "
    "practitioner where they ask for one."
)
SHORT_CAUTION = "Clamp the work, wear eye protection; all cautions are on page 1."
BAR_MM = 50.0
BAR_INCHES = 2 * 25.4
UPRIGHT = (9.0, BAR_INCHES + 3.0)
"""Width and height [mm] that the upright bar takes with its words."""
LEAST_WIDTH = 122.0
"""Narrowest block [mm] that holds both bars beside each other."""
TITLE_DOWN = 4.2
"""How far [mm] the title stands below the block's upper edge."""
TITLE, WARNING, BODY, FINE = 4.0, 3.1, 2.3, 2.0
"""Heights of capitals [mm]."""
LEAD = 0.75
"""Space between two lines of text over the height of their capitals."""
TITLE_LEAD = 1.5
"""From line to line of a title over the height of its capitals: a g above is clear of an l below."""
LEGEND = "Lines: " + "; ".join(WHAT.values()) + "."
PART = OWN_PART
BAR = "check bar"
Line = tuple[str, float]
"""A text, and the height of its capitals [mm]."""


@dataclass(frozen=True)
class Job:
    """What all sheets of one order have in common.

    `source` is the name of the file that the lock came from, `day` the date printed on the sheets, `paper` "A4" or
    "Letter"; `scribe_outside` has the faces that show scribed as well; `printer` is one that was measured, for which
    the PDF files are corrected.
    """

    layout: Layout
    source: str
    day: date
    paper: str = "A4"
    scribe_outside: bool = False
    printer: Printer | None = None

    @property
    def subtitle(self) -> str:
        """One line: which lock, from which file, when, in which units."""
        lock = self.layout.lock
        units = "inches" if lock.units == "in" else "mm"
        parts = (
            plain(lock.title),
            f"file {plain(self.source)}",
            self.day.isoformat(),
            f"sizes in {units}",
        )
        return " · ".join(part for part in parts if part)

    @property
    def warning(self) -> str:
        """One line where the lock cannot work as drawn, else nothing."""
        return stop_line(findings(self.layout))

    @property
    def leaf(self) -> Leaf:
        """The paper, with the printer that it is for."""
        return Leaf(self.paper, self.printer)

    @property
    def correction(self) -> str:
        """One line on what was done for the printer, or nothing."""
        return self.printer.words if self.printer is not None else ""


def stop_line(found: tuple[Finding, ...]) -> str:
    """Return the line that keeps a maker from cutting a lock that does not work, or nothing."""
    stops = [finding for finding in found if finding.level == "stop"]
    if not stops:
        return ""
    more = f" (and {len(stops) - 1} more, see the report)" if len(stops) > 1 else ""
    return f"STOP, do not cut: this lock does not work as drawn. {plain(stops[0].text)}{more}"


SHORT_STOP = "STOP, do not cut: this lock does not work as drawn; why is on page 1."


@dataclass(frozen=True)
class Block:
    """Strokes and texts in a box, its upper left corner at (0, 0), `width` and `height` [mm]."""

    marks: tuple[Inked, ...]
    width: float
    height: float


def full_notes(job: Job, sheets: Iterable[Sheet]) -> list[Line]:
    """Return what has to be said once of all these sheets: the lines, the sizes, the cautions."""
    cautions = dict.fromkeys(caution for sheet in sheets for caution in sheet.cautions)
    said = (LEGEND, key_to_sizes(job.layout), *cautions, OWN_LOCKS)
    return [(text, FINE) for text in said]


def own_notes(sheet: Sheet) -> list[Line]:
    """Return what has to be said of one sheet alone."""
    return [(f"{sheet.seen}.", BODY), *((note, BODY) for note in sheet.notes)]


def heading(job: Job) -> list[Line]:
    """Return the lines under a page's title: warning, lock and date, correction."""
    lines = ((job.warning, WARNING), (job.subtitle, BODY), (job.correction, BODY))
    return [(text, height) for text, height in lines if text]


def whole_block(job: Job, sheet: Sheet, width: float) -> Block:
    """Lay out the furniture of a file that holds one sheet and no pages, at least `width` [mm] wide."""
    width = max(width, LEAST_WIDTH)
    inner = width - UPRIGHT[0] - 2.0
    # nothing is corrected for a printer here: such a file is opened, measured and cut from
    lines = [
        (job.warning, WARNING),
        (job.subtitle, BODY),
        *own_notes(sheet),
        *full_notes(job, [sheet]),
    ]
    upper = text_block(f"{sheet.title}", lines, inner, right=f"mark {sheet_mark(sheet)}")
    marks = [*upper.marks, line((0.0, 0.0), (width, 0.0), "note", PART)]
    y = -upper.height - 8.0
    marks += [moved(mark, shift(0.0, y)) for mark in bars(job.layout.lock.units, inner)]
    y -= 3.0
    for row in wrapped(PRINT_LINE, inner, BODY):
        y -= BODY * (1 + LEAD)
        marks.append(Label((0.0, y + BODY / 2), row, "note", PART, BODY, "left"))
    height = max(-y, UPRIGHT[1] + 2.0)
    marks += [
        moved(mark, shift(width - UPRIGHT[0], -height))
        for mark in upright_bar(job.layout.lock.units)
    ]
    return Block(tuple(marks), width, height)


def text_block(
    title: str, lines: Sequence[Line], width: float, *, right: str = "", height: float = TITLE
) -> Block:
    """Lay out a title, with a text at the right end of its line, and lines of text below, `width` [mm] wide."""
    aside = text_width(right, BODY) + 4.0 if right else 0.0
    # a text that leaves the title less than half of its line goes below it
    beside = aside <= width / 2
    y, marks = -TITLE_DOWN * (0.6 + 0.4 * height / TITLE), list[Inked]()
    if beside and right:
        marks.append(Label((width, y), right, "note", PART, BODY, "right"))
    for number, row in enumerate(wrapped(title, width - aside if beside else width, height)):
        y -= height * TITLE_LEAD if number else 0.0
        marks.append(Label((0.0, y), row, "note", PART, height, "left"))
    y -= height / 2 + 0.4
    for text, letters in (*([] if beside else [(right, BODY)]), *lines):
        for row in wrapped(text, width, letters):
            y -= letters * (1 + LEAD)
            marks.append(Label((0.0, y + letters / 2), row, "note", PART, letters, "left"))
    return Block(tuple(marks), width, -y + 0.5)


def bars(units: str, width: float, ways: tuple[str, str] = ("", "")) -> tuple[Inked, ...]:
    """Return the level check bars on the line y = 0, at the ends of a `width` [mm]; one in mm for a lock in mm only.

    `ways` says which way of the paper is level and which is upright, where it is known.
    """
    way = f" {ways[0]}" if ways[0] else ""
    metric = _bar((0.0, 0.0), BAR_MM, f"50 mm{way}", [n * 10.0 for n in range(1, 5)])
    inch_ticks = [n * 6.35 for n in range(1, 8)]
    inches = [
        _bar((x, 0.0), BAR_INCHES, f"2 in{way}", inch_ticks) for x in (0.0, width - BAR_INCHES)
    ]
    return (*(inches[0] if units == "in" else metric), *inches[1])


def upright_bar(units: str, way: str = "") -> tuple[Inked, ...]:
    """Return the upright check bar in a box of the size `UPRIGHT`, its lower left corner at (0, 0)."""
    length, step, count, text = (
        (BAR_INCHES, 6.35, 8, "2 in") if units == "in" else (BAR_MM, 10.0, 5, "50 mm")
    )
    text = f"{text} {way}".strip()
    flat = _bar((0.0, 0.0), length, text, [n * step for n in range(1, count)])
    foot = (UPRIGHT[1] - length) / 2
    return tuple(_stood_up(mark, (UPRIGHT[0] - 1.5, foot)) for mark in flat)


def bar_of(
    length: float, text: str, ticks: Sequence[float], *, upright: bool = False
) -> tuple[Inked, ...]:
    """Return a check bar from (0, 0), `length` [mm] long to the right or, `upright`, up, with ticks at those places."""
    flat = _bar((0.0, 0.0), length, text, ticks)
    return tuple(_stood_up(mark, (0.0, 0.0)) for mark in flat) if upright else tuple(flat)


def wrapped(text: str, width: float, height: float) -> list[str]:
    """Break `text` into lines that fit `width` [mm] in capitals `height` [mm]; a longer word is broken itself."""
    rows, row = [], ""
    for word in text.split():
        letters = max(int(width / height / 1.4), 1)
        for part in [word] if fits(word, width, height) else textwrap.wrap(word, letters):
            if row and not fits(f"{row} {part}", width, height):
                rows.append(row)
                row = ""
            row = f"{row} {part}".strip()
    return [*rows, row]


def fits(text: str, width: float, height: float) -> bool:
    """Say whether a sheet's own text in capitals `height` [mm] fits into `width` [mm] on one line."""
    return text_width(text, height, weight_of(PART, height)) <= width


def _stood_up(mark: Inked, foot: tuple[float, float]) -> Inked:
    return moved(mark, Motion(0.0, -1.0, 1.0, 0.0, *foot))


def _bar(at: tuple[float, float], length: float, text: str, ticks: Sequence[float]) -> list[Inked]:
    x, y = at
    marks: list[Inked] = [line((x, y), (x + length, y), "note", BAR)]
    marks += [line((x + end, y - 1.5), (x + end, y + 3.0), "note", BAR) for end in (0.0, length)]
    marks += [line((x + tick, y), (x + tick, y + 1.5), "note", BAR) for tick in ticks]
    marks.append(Label((x + length / 2, y + 4.4), text, "note", BAR, BODY))
    return marks
