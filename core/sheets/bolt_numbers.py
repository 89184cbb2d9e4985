"""The bolt by numbers: every point of its contour from the nose tip along the bolt line and square down from it.

The points are those of the exact contour, so that whatever is cut into it appears. Between two of them runs a straight
line, or an arc about one of the compass points, which stand in the table too.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from core.geometry.motion import shift
from core.geometry.path import Arc, Segment
from core.layout.layout import Layout, derived
from core.layout.workpiece import Shape
from core.parts.tooth import tooth
from core.sheets.sizes import size
from core.sheets.table import Table
from core.whole.assembly import workpieces

TITLE = "Bolt by numbers"
TOP = "top edge"
FLANKS = ("unlocking flank", "locking flank")
SHORTER = {
    "outer side of the lobe at the unlocking flank": "tail side of the body",
    "outer side of the lobe at the locking flank": "nose side of the body",
    "lower edge, tail side": "lower edge of the tail lobe",
    "lower edge, nose side": "lower edge of the nose lobe",
}
"""What edges are called here, where two names stand in a cell."""
SAME = 1e-6
"""Distance [mm] below which two centres are one compass point."""


@dataclass(frozen=True)
class Station:
    """A point of the contour, or the middle of an arc after it [mm]; `on` is the segment that leads on from it."""

    name: str
    what: str
    along: float
    down: float
    on: Segment | None = None


@dataclass(frozen=True)
class CompassPoint:
    """A centre that arcs are struck about [mm]."""

    name: str
    what: str
    along: float
    down: float


@dataclass(frozen=True)
class Numbers:
    """The bolt's points in order, clockwise as the bolt unlocks to the right, and the centres of its arcs."""

    stations: tuple[Station, ...]
    centres: tuple[CompassPoint, ...]

    def centre_of(self, arc: Arc) -> CompassPoint:
        """Return the compass point that an arc of a station is struck about."""
        return next(c for c in self.centres if math.dist((c.along, -c.down), arc.centre) <= SAME)


@derived
def bolt_numbers(layout: Layout) -> Numbers:
    """Work out the bolt's points from its contour; the origin is the nose tip, on the bolt line."""
    shape = workpieces()["bolt"].shape(layout)
    if shape.body is None:
        return Numbers((), ())
    left = shape.body.bounds()[0]
    segments = [_moved(segment, -left) for segment in shape.body.segments]
    names = _names(shape, left)
    first = min(
        range(len(segments)), key=lambda i: (round(segments[i].start[0], 6), -segments[i].start[1])
    )
    segments = segments[first:] + segments[:first]
    cuts = [(cut.name, [_moved(s, -left) for s in cut.path.segments]) for cut in shape.cuts]
    every = [*segments, *(segment for _, cut in cuts for segment in cut)]
    centres = tuple(_centres(layout, every, left))
    stations = []
    for number, segment in enumerate(segments, start=1):
        what = _meeting(names[_key(segments[number - 2])], names[_key(segment)])
        x, y = segment.start
        stations.append(Station(str(number), what, x, -y, segment))
        if isinstance(segment, Arc):
            x, y = segment.middle
            stations.append(
                Station(f"{number}m", f"middle of the {_arc(names[_key(segment)])}", x, -y)
            )
    for letter, (name, cut) in zip("abcdefghijklmnopqrstuvwxyz", cuts, strict=False):
        stations += _cut_out(letter, name, cut)
    return Numbers(tuple(stations), centres)


def _cut_out(letter: str, name: str, segments: list[Segment]) -> Iterable[Station]:
    """Yield the points of what another part cuts out of the bolt's middle."""
    for number, segment in enumerate(segments, start=1):
        x, y = segment.start
        yield Station(f"{letter}{number}", name, x, -y, segment)
        if isinstance(segment, Arc):
            x, y = segment.middle
            yield Station(f"{letter}{number}m", f"{name}, middle of its arc", x, -y)


def bolt_table(layout: Layout) -> Table:
    """Return the table from which the bolt can be marked out with rule, square and compass."""
    found = bolt_numbers(layout)

    def show(mm: float) -> str:
        return size(layout, mm)

    rows = [
        (f"compass point {c.name}", c.what, show(c.along), show(c.down), "") for c in found.centres
    ]
    for station in found.stations:
        rows.append(
            (
                station.name,
                station.what,
                show(station.along),
                show(station.down),
                _way(layout, found, station),
            )
        )
    nose = "left" if layout.lock.unlocks == "right" else "right"
    return Table(
        TITLE,
        ("point", "what", "along, from the nose tip", "down, from the bolt line", "to the next point"),
        tuple(rows),
        (
            (
                "Along the bolt line from the tip of the nose towards the tail, and square down from it; the points "
                "are numbered on the bolt's sheet. On the side that faces you with the front plate off the nose "
                f"points to the {nose}."
            ),
            f"Thickness {show(layout.lock.bolt.thickness)}.",
        ),
        widths=(24, 62, 34, 34, 38),
    )  # fmt: skip


def _way(layout: Layout, found: Numbers, station: Station) -> str:
    match station.on:
        case None:
            return ""
        case Arc() as arc:
            return f"arc of {size(layout, arc.radius)} about {found.centre_of(arc).name}"
        case _:
            return "straight"


def _centres(layout: Layout, segments: Iterable[Segment], left: float) -> Iterable[CompassPoint]:
    """Yield both places of the pivot, then what other centres the contour has."""
    cut = tooth(layout)
    half = cut.throw / 2
    known = [(half - left, -cut.bolt_line), (-half - left, -cut.bolt_line)]
    yield CompassPoint("A", "the pivot, as the bolt sees it locked", known[0][0], cut.bolt_line)
    yield CompassPoint("B", "the pivot, as the bolt sees it unlocked", known[1][0], cut.bolt_line)
    for segment in segments:
        if isinstance(segment, Arc) and all(math.dist(segment.centre, c) > SAME for c in known):
            known.append(segment.centre)
            x, y = segment.centre
            yield CompassPoint(chr(64 + len(known)), "centre of an arc", x, -y)


def _names(shape: Shape, left: float) -> dict[tuple[float, ...], str]:
    """Return the name of every segment, by its ends."""
    names = {_key(_moved(segment, -left)): SHORTER.get(name, name) for name, segment in shape.edges}
    body = shape.body.segments if shape.body is not None else ()
    return {
        key: names.get(key, "edge") for key in (_key(_moved(segment, -left)) for segment in body)
    }


def _key(segment: Segment) -> tuple[float, ...]:
    return tuple(round(value, 6) for value in (*segment.start, *segment.end))


def _moved(segment: Segment, by: float) -> Segment:
    return shift(by, 0.0).segment(segment)


def _meeting(before: str, after: str) -> str:
    """Name a corner by the two edges that meet there, in a maker's words."""
    if TOP in (before, after):
        other = after if before == TOP else before
        return "bolt line" if other == TOP else f"{other}, on the bolt line"
    if before == after:
        return f"{'foot of' if 'notch' in before else 'bend in'} the {before}"
    flank = next((name for name in (before, after) if name in FLANKS), "")
    other = after if before == flank else before
    if flank and ("relief" in other or "lower edge" in other):
        return f"foot of the {flank}"
    if "relief" in before or "relief" in after:
        arc = before if "relief" in before else after
        return f"end of the {arc}"
    return f"{before} meets the {after}"


def _arc(name: str) -> str:
    return name if name != "edge" else "arc"
