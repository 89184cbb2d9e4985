"""The strip to try sizes with, go and no-go: for gap, bit and nose by its cuts, for the flank's foot by its lines.

A size is right where the go side goes and the no-go side does not. Both are cut from one strip, half of the tolerance
apart from the size either way.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from core.geometry.path import Path, Point, polyline
from core.layout.drawing import Label, Mark, Stroke
from core.layout.layout import Layout
from core.parts.tooth import tooth
from core.sheets.record import CUTTING, Flat, Piece, Sheet, Stock, Task
from core.sheets.sizes import bare, size
from core.sheets.strokes import line

PART = "try strip"
STRIP = 1.5
"""Thickness [mm] of the strip; common practice, no source."""
WEB = 7.0
"""Metal [mm] between two cuts, and at the ends; common practice, no source."""
DEEP = 6.0
"""How deep [mm] a slot is, and how far a tongue stands out; common practice, no source."""
BACK = 8.0
"""Height [mm] of the strip below its slots; common practice, no source."""
ROW = 3.6
"""From line to line [mm] of the words over a cut."""
FINEST = 0.02
"""Least difference [mm] of go and no-go: finer nobody files a strip."""


@dataclass(frozen=True)
class Try:
    """One size to try: what it is, the size that goes and the one that must not [mm].

    A `tongue` goes into what is tried, as into a gap; else a slot goes over it.
    """

    what: str
    goes: float
    stays: float
    tongue: bool = False


def half_tolerance(layout: Layout) -> float:
    """Return by how much [mm] a size may be off either way."""
    return max(layout.lock.fit.made_tolerance / 2, FINEST / 2)


def tries(layout: Layout) -> tuple[Try, ...]:
    """Return what is tried by cuts: the gap by a tongue, bit and nose by slots."""
    cut, lock, off = tooth(layout), layout.lock, half_tolerance(layout)
    found = [
        Try("bit", lock.key.bit_thickness + off, lock.key.bit_thickness - off),
        Try("nose", lock.bolt.nose_height + off, lock.bolt.nose_height - off),
    ]
    if cut.fits and cut.gap_width > off:
        found.append(Try("gap", cut.gap_width - off, cut.gap_width + off, tongue=True))
    return tuple(t for t in found if min(t.goes, t.stays) > 0)


def foot_lines(layout: Layout) -> tuple[float, float]:
    """Return how far [mm] below the strip's straight edge the lines stand between which the flanks' foot must end."""
    deep, off = tooth(layout).bolt_line - tooth(layout).flank_foot, half_tolerance(layout)
    return (deep - off, deep + off)


@dataclass(frozen=True)
class _Place:
    """A cut in the strip: its size, where it begins and ends, and whether it is the side that goes."""

    of: Try
    begin: float
    end: float
    goes: bool


def _places(layout: Layout) -> tuple[_Place, ...]:
    found, x = [], WEB
    for tried in tries(layout):
        for width, goes in ((tried.goes, True), (tried.stays, False)):
            found.append(_Place(tried, x, x + width, goes))
            x += width + WEB
    return tuple(found)


def high(layout: Layout) -> float:
    """Return the height [mm] of the strip without its tongues: enough for slots and for the foot's lines."""
    return max(DEEP + BACK, foot_lines(layout)[1] + 3.0)


def strip_contour(layout: Layout) -> Path:
    """Return the strip's outline [mm], clockwise: its straight edge at y = 0 below, slots and tongues above."""
    top = high(layout)
    places = _places(layout)
    corners: list[Point] = [(0.0, 0.0), (0.0, top)]
    for place in places:
        y = top + DEEP if place.of.tongue else top - DEEP
        corners += [(place.begin, top), (place.begin, y), (place.end, y), (place.end, top)]
    long = (places[-1].end if places else 0.0) + WEB
    return polyline([*corners, (long, top), (long, 0.0)], closed=True)


def _sheets(layout: Layout) -> Iterable[Sheet]:
    yield Sheet(
        name="try-strip",
        title="Strip to try sizes, go and no-go",
        marks=tuple(_drawn(layout)),
        seen="Either side up",
        notes=(
            (
                "Bit and nose must enter the slot marked go and not the other; into the gap goes the tongue marked go "
                "and not the other. Foot: lay the straight edge level with the bolt's top edge, strip over a flank: "
                "the flank must end between the two lines."
            ),
            (
                f"Go and no-go stand {size(layout, 2 * half_tolerance(layout))} apart, as the tolerance for made "
                f"parts; sizes over the cuts are {'inches' if layout.lock.units == 'in' else 'mm'}."
            ),
        ),
        cautions=(CUTTING,),
    )


def _drawn(layout: Layout) -> Iterable[Mark]:
    top, path = high(layout), strip_contour(layout)
    yield Stroke(path, "cut", PART)
    long = path.bounds()[2]
    for place in _places(layout):
        middle = (place.begin + place.end) / 2
        above = top + DEEP + 2.0 if place.of.tongue else top + 2.0
        width = place.of.goes if place.goes else place.of.stays
        words = (bare(layout, width), "go" if place.goes else "no-go", place.of.what)
        for row, word in enumerate(words):
            yield Label((middle, above + ROW * row), word, "note", PART, 1.6)
    for down in foot_lines(layout):
        yield line((0.0, down), (long, down), "scribe", PART)
    low, far = foot_lines(layout)
    text = f"foot between {size(layout, low)} and {size(layout, far)}"
    yield Label((long + 2.0, (low + far) / 2), text, "note", PART, 1.8, "left")
    yield Label(
        (long / 2, -3.0), "straight edge: level with the bolt's top edge", "note", PART, 1.8
    )


def _flats(layout: Layout) -> Iterable[Flat]:
    yield Flat(PART, strip_contour(layout), STRIP, seen="either side")


def _stock(layout: Layout) -> Iterable[Stock]:
    left, low, right, top = strip_contour(layout).bounds()
    yield Stock(
        PART, 1, (right - left + 2.0, top - low + 2.0, STRIP), "strip", "brass or mild steel"
    )


def _work(_: Layout) -> Iterable[Task]:
    yield Task(
        "key", "try-strip",
        "Strip to try sizes: saw it to its sheet, file each cut to a calliper, and mark go and no-go on it.",
    )  # fmt: skip


PIECE = Piece("try strip", 63, sheets=_sheets, flats=_flats, stock=_stock, work=_work)
