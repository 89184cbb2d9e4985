"""The marking tables: what to measure, set, drill and cut, as rows that every writer prints alike."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from core.geometry.motion import MIRROR, Motion
from core.geometry.path import Path, Point
from core.layout.frames import to_mechanism, to_plate
from core.layout.layout import Layout
from core.parts.plate import plate_area, plate_outline
from core.report.data import FACES
from core.sheets.bolt_numbers import bolt_table
from core.sheets.buying import buying_tables
from core.sheets.drill_table import drill_schedule
from core.sheets.edges import crossings, from_left, from_top
from core.sheets.faces import DATUM
from core.sheets.filing_table import filing_table
from core.sheets.furniture import Job
from core.sheets.gathering import all_holes, all_pieces
from core.sheets.gauges import gauges_in_words, near
from core.sheets.record import Hole, Rule, Stock
from core.sheets.rim import rim_table
from core.sheets.sizes import key_to_sizes, rough, size
from core.sheets.table import Table
from core.sheets.weights import weights_table
from core.sheets.work_order import work_tables
from core.whole.assembly import all_parts

ON_EDGE = "on the edge"
NEAR = 2e-3
"""Distance [mm] from the edge within which a place lies on it."""


@dataclass(frozen=True)
class Spot:
    """A place to mark out on one face, in that face's own frame [mm]; `hole` is its diameter, 0 for none."""

    what: str
    at: Point
    hole: float = 0.0


def tables(job: Job) -> tuple[Table, ...]:
    """Return all tables, in the order of their use at the bench."""
    layout = job.layout
    return (
        _order(layout),
        *work_tables(layout),
        _stock(layout),
        *buying_tables(layout),
        rim_table(layout),
        weights_table(layout),
        *(_marking(job, face, sign) for face, sign in FACES),
        _checks(layout),
        bolt_table(layout),
        filing_table(layout),
        _settings(layout),
        drill_schedule(layout),
    )


def _order(layout: Layout) -> Table:
    steps = [(step,) for piece in all_pieces() for step in piece.steps(layout)]
    return Table(
        "Mock-up order", ("step",), tuple(steps),
        ("In card first: prove each step before the next. The order of work in metal follows.", key_to_sizes(layout)),
        ticks=True,
    )  # fmt: skip


def _stock(layout: Layout) -> Table:
    rows = []
    sources: dict[str, str] = {}
    for item in (item for piece in all_pieces() for item in piece.stock(layout)):
        thin = item.sizes[-1] if item.form == "sheet" else None
        gauges = gauges_in_words(layout, thin, item.material) if thin is not None else ""
        sources |= {g.name: g.source for g in near(thin, item.material)} if thin is not None else {}
        note = "; ".join(text for text in (gauges, item.note) if text)
        form = f"{item.form}, {item.material}"
        rows.append((item.what, str(item.count), _sizes(layout, item), form, note))
    return Table(
        "Stock to cut",
        ("for", "pieces", "length × width × thickness", "form and metal", "note"),
        tuple(rows),
        (
            (
                "Round bar: length × diameter. Lengths and widths are rounded up. Metals are common practice, no "
                "source; brass may hold lead: wash your hands."
            ),
            *(f"{name}: {source}." for name, source in sources.items()),
        ),
        widths=(24, 12, 46, 42, 56),
    )


def _sizes(layout: Layout, item: Stock) -> str:
    """Write the sizes of stock: what is sawn roughly, thickness or diameter as it is bought."""
    *sawn, bought = item.sizes
    texts = ["to suit" if mm is None else rough(layout, mm) for mm in sawn]
    return " × ".join([*texts, "to suit" if bought is None else size(layout, bought)])


def face_view(sign: int) -> Motion:
    """Return the motion from the plate frame to a face of this sign, as `core.report.data.FACES` has it."""
    return Motion() if sign > 0 else MIRROR


def spots(layout: Layout, face: str, sign: int, *, scribed: bool = True) -> tuple[Spot, ...]:
    """Return the places to mark out on one face: points, then holes, then the ends of lines.

    Of a face that is not `scribed` only the datum mark and the holes. Lines end at the edge of the plate.
    """
    plate = face.split(",")[0]
    view = to_plate(layout).then(face_view(sign))
    holes = [hole for hole in all_holes(layout) if plate in hole.plates]
    names = {hole.what for hole in holes}
    found = [
        Spot(spot.what, (sign * spot.across + 0.0, -spot.below))
        for part in all_parts()
        for spot in part.spots(layout)
        if spot.what not in names and (scribed or spot.what == DATUM)
    ]
    found += [Spot(hole.what, view.point(hole.at), hole.diameter) for hole in holes]
    for rule in (rule for piece in all_pieces() for rule in piece.rules(layout)):
        on_plate = _on_plate(layout, rule) if scribed and plate in rule.plates else ()
        for end, name in zip(on_plate, ("from", "to"), strict=False):
            found.append(Spot(f"line: {rule.what}, {name}", view.point(end)))
    return tuple(found)


def _on_plate(layout: Layout, rule: Rule) -> tuple[Point, ...]:
    """Return the ends of the longest stretch of a line that lies on the plate, none for a line beside it."""
    area = shapely.transform(plate_area(layout), to_mechanism(layout).points)
    kept = shapely.LineString([rule.start, rule.end]).intersection(area.buffer(NEAR / 4))
    parts = [part for part in getattr(kept, "geoms", [kept]) if part.length > NEAR]
    if not parts:
        return ()
    start, end = shapely.get_coordinates(max(parts, key=lambda part: part.length))[[0, -1]]
    ends = ((float(start[0]), float(start[1])), (float(end[0]), float(end[1])))
    return ends if math.dist(rule.start, ends[0]) <= math.dist(rule.start, ends[1]) else ends[::-1]


def _marking(job: Job, face: str, sign: int) -> Table:
    layout, inside = job.layout, face.endswith("inside")
    edge = face_view(sign).path(plate_outline(layout).path)
    rows, off = [], []
    for spot in spots(layout, face, sign, scribed=inside or job.scribe_outside):
        (x, y), places = spot.at, _from_edges(layout, edge, spot.at)
        if places is None:
            off.append(spot.what)
            continue
        hole = f", hole {size(layout, spot.hole)}" if spot.hole else ""
        rows.append((spot.what + hole, _across(layout, x), size(layout, -y + 0.0), *places))
    mirrored = "" if sign > 0 else " (mirrored: left and right exchanged)"
    return Table(
        f"Marking out: {face}{mirrored}",
        ("what", "across, from the mark", "below the mark", "from the edge at its left", "from the edge above it"),
        tuple(rows),
        tuple(_notes(face, off, scribed=inside or job.scribe_outside)),
        widths=(58, 34, 28, 38, 34),
    )  # fmt: skip


def _notes(face: str, off: Sequence[str], *, scribed: bool) -> Iterable[str]:
    yield (
        f"Left and right as you look at this face ({face}), top edge up. Edge distances are level with the "
        "place, or straight above it."
    )
    if not scribed:
        yield "This face shows when the lock is done: its holes only, and nothing to scribe."
    if off:
        yield f"Off the plate, so not to be marked on it: {', '.join(off)}."


def _from_edges(layout: Layout, edge: Path, at: Point) -> tuple[str, str] | None:
    """Write the distances of a place from the edge at its left and above it, None for a place off the plate."""
    if edge.distance(np.array([at]))[0] <= NEAR:
        return (ON_EDGE, ON_EDGE)
    left, top = from_left(edge, at), from_top(edge, at)
    return None if left is None or top is None else (size(layout, left), size(layout, top))


def _across(layout: Layout, x: float) -> str:
    if abs(x) < 1e-6:
        return size(layout, 0.0)
    return f"{size(layout, abs(x))} {'right' if x > 0 else 'left'}"


def _checks(layout: Layout) -> Table:
    """Distances that do not depend on the face: a wrongly transferred hole misses at least one of two."""
    frame = to_mechanism(layout)
    outline = frame.path(plate_outline(layout).path)
    on_line = crossings(outline, layout.lock.bolt_line.height)
    marks: list[tuple[str, Point]] = [
        ("datum mark", frame.point((0.0, 0.0))),
        ("lowest point", frame.point(plate_outline(layout).lowest)),
    ]
    if len(on_line) >= 2:
        line = layout.lock.bolt_line.height
        marks += [
            ("bolt line at the edge on the left*", (on_line[0], line)),
            ("bolt line at the edge on the right*", (on_line[-1], line)),
        ]
    rows = [
        (hole.what, name, size(layout, math.dist(hole.at, at)))
        for hole in all_holes(layout)
        if not hole.chained
        for name, at in marks
    ]
    rows += [
        (one.what, other.what, size(layout, math.dist(one.at, other.at)))
        for one, other in _pairs(layout)
    ]
    return Table(
        "Check distances", ("from", "to", "distance"), tuple(rows),
        (
            "The same on every face. Prove a transferred hole by two of them before you drill.",
            "* seen from inside the back plate; on a mirrored face it is at the other side.",
        ),
        widths=(60, 70, 50),
    )  # fmt: skip


def _pairs(layout: Layout) -> Iterable[tuple[Hole, Hole]]:
    """Yield every pair of whole holes, and the first one with each hole of a row."""
    holes = all_holes(layout)
    whole = [hole for hole in holes if not hole.chained]
    for number, one in enumerate(whole):
        for other in whole[number + 1 :]:
            yield one, other
    for hole in holes:
        if hole.chained and whole:
            yield whole[0], hole


def _settings(layout: Layout) -> Table:
    rows = [
        (setting.what, size(layout, setting.length), setting.stand, setting.strike)
        for piece in all_pieces()
        for setting in piece.settings(layout)
    ]
    return Table(
        "Compass and divider settings, in order of use", ("setting", "set to", "stand on", "strike"), tuple(rows),
        widths=(38, 36, 48, 66), ticks=True,
    )  # fmt: skip
