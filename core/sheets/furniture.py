"""What every sheet carries besides its drawing: title, print line, check bars, notes, cautions."""

import textwrap
from dataclasses import dataclass
from datetime import date

from core.checks.gathered import findings
from core.geometry.motion import shift
from core.layout.drawing import Label, Mark
from core.layout.findings import Finding
from core.layout.layout import Layout
from core.sheets.record import Sheet
from core.sheets.sizes import key_to_sizes
from core.sheets.strokes import line, moved
from core.sheets.styles import WHAT
from core.text import plain

PRINT_LINE = (
    "Print at 100 % (actual size), never fitted to the page. Measure both bars before you cut; if one is "
    "wrong, the whole sheet is."
)
OWN_LOCKS = (
    "For locks of your own property; no security rating is claimed. Follow your local codes; ask a licensed "
    "practitioner where they ask for one."
)
BAR_MM = 50.0
BAR_INCHES = 2 * 25.4
LEAST_WIDTH = 122.0
"""Narrowest block [mm] that holds both bars beside each other."""
LINE_LETTER = 0.7
"""Mean width of a letter over the height of the capitals in long lines, where wide and narrow ones even out."""
TITLE_DOWN = 4.2
"""How far [mm] the title stands below the block's upper edge."""
TITLE, WARNING, BODY, FINE = 4.0, 3.1, 2.3, 2.0
"""Heights of capitals [mm]."""
LEGEND = "Lines: " + "; ".join(WHAT.values()) + "."
PART = "sheet"
"""Part name of everything that belongs to the sheet and not to the lock."""
BAR = "check bar"


@dataclass(frozen=True)
class Job:
    """What all sheets of one order have in common.

    `source` is the name of the file that the lock came from, `day` the date printed on the sheets, `paper` "A4" or
    "Letter"; `scribe_outside` has the faces that show scribed as well.
    """

    layout: Layout
    source: str
    day: date
    paper: str = "A4"
    scribe_outside: bool = False

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


def stop_line(found: tuple[Finding, ...]) -> str:
    """Return the line that keeps a maker from cutting a lock that does not work, or nothing."""
    stops = [finding for finding in found if finding.level == "stop"]
    if not stops:
        return ""
    more = f" (and {len(stops) - 1} more, see the report)" if len(stops) > 1 else ""
    return f"STOP, do not cut: this lock does not work as drawn. {plain(stops[0].text)}{more}"


@dataclass(frozen=True)
class Block:
    """The furniture of one sheet, its upper left corner at (0, 0) and `height` [mm] deep."""

    marks: tuple[Mark, ...]
    width: float
    height: float


def block(job: Job, sheet: Sheet, width: float) -> Block:
    """Lay out the furniture of `sheet` in a block `width` [mm] wide, or as wide as the bars need."""
    width = max(width, LEAST_WIDTH)
    marks: list[Mark] = [line((0.0, 0.0), (width, 0.0), "note", PART)]
    marks.append(Label((0.0, -TITLE_DOWN), sheet.title, "note", PART, TITLE, "left"))
    y = -8.2
    texts = [(job.warning, WARNING), (job.subtitle, BODY), (f"{sheet.seen}.", BODY)]
    texts += [(note, BODY) for note in sheet.notes]
    texts += [(LEGEND, FINE), (key_to_sizes(job.layout), FINE)]
    texts += [(caution, FINE) for caution in (*sheet.cautions, OWN_LOCKS)]
    for text, height in texts:
        for row in wrapped(text, width, height):
            y -= height / 2 + 0.6
            marks.append(Label((0.0, y), row, "note", PART, height, "left"))
            y -= height / 2 + 0.6
    y -= 8.0
    marks += [moved(mark, shift(0.0, y)) for mark in bars(width)]
    y -= 4.5
    for row in wrapped(PRINT_LINE, width, BODY):
        marks.append(Label((0.0, y), row, "note", PART, BODY, "left"))
        y -= BODY + 1.2
    return Block(tuple(marks), width, -y)


def page_label(text: str, width: float) -> Label:
    """Return the number of a page, at the right end of the title's line in a block `width` [mm] wide."""
    return Label((width, -TITLE_DOWN), text, "note", PART, BODY, "right")


def bars(width: float) -> tuple[Mark, ...]:
    """Return both check bars on the line y = 0, at the ends of a `width` [mm]."""
    metric = _bar((0.0, 0.0), BAR_MM, "50 mm", [n * 10.0 for n in range(1, 5)])
    inches = _bar((width - BAR_INCHES, 0.0), BAR_INCHES, "2 in", [n * 6.35 for n in range(1, 8)])
    return (*metric, *inches)


def wrapped(text: str, width: float, height: float) -> list[str]:
    """Break `text` into lines that fit `width` [mm] in capitals `height` [mm]."""
    return textwrap.wrap(text, max(int(width / (LINE_LETTER * height)), 20))


def _bar(at: tuple[float, float], length: float, text: str, ticks: list[float]) -> list[Mark]:
    x, y = at
    marks: list[Mark] = [line((x, y), (x + length, y), "note", BAR)]
    marks += [line((x + end, y - 1.5), (x + end, y + 3.0), "note", BAR) for end in (0.0, length)]
    marks += [line((x + tick, y), (x + tick, y + 1.5), "note", BAR) for tick in ticks]
    marks.append(Label((x + length / 2, y + 4.0), text, "note", BAR, BODY))
    return marks
