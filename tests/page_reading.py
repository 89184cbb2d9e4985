"""Pages looked at as a machine sees them: where texts stand, and what is drawn under them."""

from collections.abc import Iterator

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from core.layout.drawing import Label, Mark, Stroke
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.sheets.book import book
from core.sheets.compose import Composed, composed
from core.sheets.faces import all_sheets
from core.sheets.furniture import Job
from core.sheets.lettering import width
from core.sheets.page import Page, foot
from core.sheets.styles import STYLES
from tests.sheet_reading import job_for


class Unwarned(Job):
    """A job without its warning: the turn check behind it takes a second for such locks, and has tests of its own."""

    @property
    def warning(self) -> str:
        return ""


def sheets_of(job: Job) -> list[Composed]:
    every = all_sheets(job.layout, scribe_outside=job.scribe_outside)
    return [composed(sheet) for sheet in every]


def pages_of(lock: Lock, paper: str = "A4") -> tuple[Job, tuple[Page, ...]]:
    job = job_for(lock, paper)
    return job, book(job, sheets_of(job))


def seen(job: Job, page: Page) -> Iterator[tuple[Mark, BaseGeometry | None]]:
    """Yield every mark of a page with the window through which it is seen."""
    for put in page.puts:
        window = shapely.box(*put.window) if put.window else None
        yield from ((mark, window) for mark in put.marks)
    yield from ((mark, None) for mark in foot(job, page)[0])


def letters(label: Label) -> BaseGeometry:
    """The box of a text as its letters fill it: from the foot of a g to the head of an l."""
    long, high = width(label.text, label.height), label.height
    if label.part == "sheet" and high > 3.0:
        long = width(label.text, label.height, "Semibold")
    x0 = {"left": 0.0, "middle": -long / 2, "right": -long}[label.anchor]
    box = shapely.box(x0, -0.8 * high, x0 + long, 0.6 * high)
    turn = np.radians(label.lean)
    spin = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    return shapely.transform(box, lambda q: q @ spin + np.array(label.at))


def inked(stroke: Stroke) -> BaseGeometry:
    """A stroke as wide as it is drawn."""
    points = stroke.path.points(0.01)
    if stroke.path.closed:
        points = np.vstack([points, points[:1]])
    return shapely.LineString(points).buffer(STYLES[stroke.layer].width / 2)


def touching(job: Job, page: Page) -> list[tuple[str, str]]:
    """Return every text that stands on a line or on another text, with what is under it."""
    texts: list[tuple[Label, BaseGeometry]] = []
    lines: list[tuple[Stroke, BaseGeometry]] = []
    for mark, window in seen(job, page):
        if isinstance(mark, Label) and mark.text:
            area = letters(mark)
            if window is not None and not window.contains(area):
                # in the strip that is covered when the pages are joined, or on its neighbour
                area = area.intersection(window)
            texts.append((mark, area))
        elif isinstance(mark, Stroke) and mark.path.segments:
            area = inked(mark)
            lines.append((mark, area if window is None else area.intersection(window)))
    found = []
    for number, (label, area) in enumerate(texts):
        found += [(label.text, f"{s.layer} {s.part}") for s, line in lines if area.intersects(line)]
        found += [
            (label.text, o.text) for o, other in texts[number + 1 :] if area.intersects(other)
        ]
    return found


def layout_of(lock: Lock) -> Layout:
    return job_for(lock).layout


def words(job: Job, page: Page) -> str:
    """Return all texts on a page in one."""
    return " ".join(mark.text for mark, _ in seen(job, page) if isinstance(mark, Label))
