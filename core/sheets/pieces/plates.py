"""Both plates: what is marked out on them beside the parts themselves, and what they are cut from."""

import math
from collections.abc import Callable, Iterable

from core.geometry.path import Point, polyline
from core.layout.drawing import Mark, Stroke
from core.layout.frames import hand, to_mechanism
from core.layout.layout import Layout
from core.parts.guide_places import front_guide, rear_guide
from core.parts.pivot import lean
from core.parts.plate import inner_path, plate_outline
from core.parts.tooth import tooth
from core.sheets.record import Hole, OnPlate, Piece, Rule, Setting, Stock, Task
from core.sheets.rim import rim
from core.sheets.sizes import rough, size
from core.sheets.strokes import dimension
from core.units import show_lean

SAW = 3.0
"""Added to each side of stock [mm] for the saw and the file; common practice, no source."""

WIDE = 160.0
"""Width of a plate [mm] from which its dimensions stand inside it."""


def _on_plates(layout: Layout) -> Iterable[OnPlate]:
    wall = inner_path(layout)
    if wall is not None:  # the inside of the back plate has it from the drawing already
        stroke = Stroke(to_mechanism(layout).path(wall), "scribe", "inner wall")
        yield OnPlate(stroke, ("front plate",), ("inside",))
    for mark in _dimensions(layout):
        yield OnPlate(mark, ("back plate",), ("inside",))


def _dimensions(layout: Layout) -> Iterable[Mark]:
    """Yield the dimensions that set out pivot, bolt line, key circle and guides.

    Those along the centreline stand beside the plate; a wide plate has room for them inside, and no paper beside it.
    """
    lock, here, frame = layout.lock, hand(layout), to_mechanism(layout)
    left, _, right, _ = frame.path(plate_outline(layout).path).bounds()
    mark, line = frame.point((0.0, 0.0)), lock.bolt_line.height
    aside = 6.0 if right - left < WIDE else -lock.plate.rim - 8.0
    # the centreline is upright in this frame, so its dimensions may stand beside the plate
    span = size(layout, math.hypot(*mark))
    yield from dimension((0.0, 0.0), mark, span, "pivot", off=aside - left)
    yield from dimension(
        (0.0, 0.0), (0.0, line), size(layout, line), "bolt line", off=-aside - right
    )
    r = lock.key.radius
    edge = (r * math.cos(math.radians(30)), -r * math.sin(math.radians(30)))
    yield from dimension((0.0, 0.0), edge, size(layout, r), "key circle")
    level = (
        min(tooth(layout).lower_edge, front_guide(layout).bottom, rear_guide(layout).bottom) - 4.5
    )
    for guide in (front_guide(layout), rear_guide(layout)):
        near = here.point((guide.side * guide.near, level))
        ends = sorted([(0.0, level), near])
        yield from dimension(ends[0], ends[1], size(layout, guide.near), guide.name)
        yield line_to(near, here.point((guide.side * guide.near, guide.bottom)), guide.name)


def line_to(start: Point, end: Point, part: str) -> Stroke:
    """Return a thin line that leads a dimension to what it measures [mm]."""
    return Stroke(polyline([start, end]), "note", part)


def _pivot_hole(layout: Layout) -> Iterable[Hole]:
    yield Hole(
        "pivot",
        (0.0, 0.0),
        layout.lock.pivot.hole,
        fit=f"shank {size(layout, layout.lock.key.shank)}",
    )


def _rules(layout: Layout) -> Iterable[Rule]:
    frame = to_mechanism(layout)
    foot = frame.path(plate_outline(layout).path).bounds()[1]
    yield Rule("centreline", frame.point((0.0, 0.0)), (0.0, foot))


def _settings(layout: Layout) -> Iterable[Setting]:
    pivot = layout.lock.pivot
    span = math.hypot(pivot.across, pivot.below)
    yield Setting(
        "datum mark to pivot", span, "datum mark", "a short arc across the centreline: the pivot"
    )


def _stock(layout: Layout) -> Iterable[Stock]:
    plate = layout.lock.plate
    left, bottom, right, top = plate_outline(layout).path.bounds()
    yield Stock(
        "plate", 2, (top - bottom + 2 * SAW, right - left + 2 * SAW, plate.thickness), "sheet",
        "mild steel or brass", f"{rough(layout, SAW)} to spare on each side for saw and file",
    )  # fmt: skip
    yield Stock(
        "rim", 1, (rim(layout).length + 2 * SAW, None, plate.rim), "bar, bent to the edge", "as the plates",
        f"laid flat, {rough(layout, SAW)} to spare at each end; as wide as the lock is deep inside",
    )  # fmt: skip


def _steps(layout: Layout) -> Iterable[str]:
    def show(mm: float) -> str:
        return size(layout, mm)

    plate, pivot = layout.lock.plate, layout.lock.pivot
    left, bottom, right, top = plate_outline(layout).path.bounds()
    yield (
        f"Plate: cut two to the template, {show(right - left)} across by {show(top - bottom)} high, "
        f"{show(plate.thickness)} thick. Scribe the inner wall {show(plate.rim)} inside the edge. Mark the datum."
    )
    aside = "straight below" if pivot.across == 0 else _aside(pivot.across, show)
    yield f"Pivot: punch it {show(pivot.below)} below the datum mark, {aside}, seen from inside the back plate."
    low = plate_outline(layout).lowest
    miss = to_mechanism(layout).point(low)[0]
    passes = (
        f"passes {show(abs(miss))} to the {'left' if miss > 0 else 'right'} of the lowest point"
        if abs(miss) >= 0.005
        else "meets the lowest point"
    )
    yield (
        "Centreline: scribe it from the datum mark through the pivot to the lower edge; it stands "
        f"{show_lean(lean(layout))}, and {passes}."
    )


def _aside(across: float, show: Callable[[float], str]) -> str:
    return f"{show(abs(across))} to the {'right' if across > 0 else 'left'} of it"


def _work(layout: Layout) -> Iterable[Task]:
    def show(mm: float) -> str:
        return size(layout, mm)

    plate = layout.lock.plate
    left, bottom, right, top = plate_outline(layout).path.bounds()
    yield Task(
        "plates", "outline",
        f"Both plates as one, clamped and pinned: saw outside the line, then file to its middle, {show(right - left)} "
        f"across by {show(top - bottom)} high. Draw the file along the edge and try a square across both plates.",
    )  # fmt: skip
    yield Task(
        "plates", "apart",
        "Before you take them apart, file a small nick across both top edges at the datum mark. The face with the "
        "sheet is the inside of the back plate; of the front plate it is the lower face. Mark both.",
    )  # fmt: skip
    yield Task(
        "plates", "rim",
        f'Mark the bends on the strip by the table "Rim strip", {show(rim(layout).length)} in all, and bend it round '
        f"the inner wall, scribed {show(plate.rim)} inside the edge of the back plate. It must lie on both plates "
        "without rocking.",
    )  # fmt: skip


PIECE = Piece(
    "plates", 10, on_plates=_on_plates, holes=_pivot_hole, rules=_rules,
    settings=_settings, stock=_stock, steps=_steps, work=_work,
)  # fmt: skip
