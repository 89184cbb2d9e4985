"""The key gauge: a strip with a pin that fits the pivot hole, standing in for the key at the bench.

Its arm is cut to the key's radius and the bit's thickness and drives the bolt as the key will. The strip on the other
side of the pin carries lines at the heights that the tooth is filed to, and where its flanks stand; turned round and
laid over the bolt, it is the rule for them.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from core.geometry.path import Arc, Line, Path, Segment, circle, joined
from core.layout.drawing import Label, Mark, Stroke
from core.layout.layout import Layout
from core.parts.tooth import tooth
from core.sheets.record import CUTTING, DRILLING, Drilling, Flat, Piece, Sheet, Stock, Task
from core.sheets.sizes import size
from core.sheets.strokes import dimension, hole, levels, line

WALL = 2.5
"""Metal [mm] left round the pin's hole where the bolt leaves room; common practice, no source."""
BEYOND = 4.0
"""How far [mm] the strip runs on past its last line."""
AT_LINE = 1.5
"""Metal [mm] outside a flank's line; common practice, no source."""
OVER = math.radians(15.0)
"""How much farther than the release [rad] the gauge is turned at the bench."""
PROUD = 5.0
"""How much longer [mm] the pin is than what it goes through."""
STRIP = 1.5
"""Thickness [mm] of the strip that the gauge is cut from; common practice, no source."""


def hub(layout: Layout) -> float:
    """Return half the width of the strip [mm]: wide enough for the pin, clear of the bolt as the key is."""
    lock, cut = layout.lock, tooth(layout)
    room = max(min(cut.lower_edge, cut.flank_foot) - cut.clearance, lock.key.shank / 2)
    return max(min(lock.pivot.hole / 2 + WALL, room), min(cut.half_bit, cut.radius))


def pin(layout: Layout) -> float:
    """Return the diameter of the pin where it sits in the gauge [mm]; less than in the pivot if the hub is small."""
    return min(layout.lock.pivot.hole, max(2 * (hub(layout) - 1.0), hub(layout)))


def heights(layout: Layout) -> tuple[tuple[float, str], ...]:
    """Return the lines of the strip: distance from the pin [mm] and what it is for."""
    cut = tooth(layout)
    wanted = (
        (cut.lower_edge, "lower edge"),
        (cut.flank_foot, "flank foot"),
        (cut.relief_radius, "relief radius"),
        (cut.bolt_line, "bolt line"),
    )
    return tuple((height, name) for height, name in wanted if height > 0)


@dataclass(frozen=True)
class Shoulder:
    """Where the strip widens to carry the flanks' lines: from `down` below the pin on, `wide` to either side [mm]."""

    down: float
    wide: float


def shoulder(layout: Layout) -> Shoulder:
    """Return where the strip widens; where the hub is wide enough for the lines, it does not.

    Turned by t the corner at (w, -d) comes up to w sin t - d cos t, which is to stay under the bolt as the hub does.
    """
    cut, narrow = tooth(layout), hub(layout)
    wide = max(narrow, abs(cut.pickup_offset) + AT_LINE)
    if wide == narrow:
        return Shoulder(0.0, narrow)
    room = max(min(cut.lower_edge, cut.flank_foot) - cut.clearance, 0.0)
    reach = min(cut.release_angle + OVER, math.radians(80.0)) if cut.drives else math.radians(80.0)
    # the deepest start over all angles up to the last one: the curve has no lower place between
    turns = np.linspace(0.0, reach, 60)
    down = float(np.max((wide * np.sin(turns) - room) / np.cos(turns)))
    return Shoulder(max(down, narrow), wide)


def strip_end(layout: Layout) -> float:
    """Return how far below the pin the strip ends [mm]."""
    return max(height for height, _ in heights(layout)) + BEYOND


def flank_lines(layout: Layout) -> tuple[float, ...]:
    """Return the places across the strip at which the flanks stand from their own pivots [mm], none without room."""
    offset = abs(tooth(layout).pickup_offset)
    if shoulder(layout).down > strip_end(layout) - BEYOND:
        return ()
    return (-offset, offset) if offset > 0.05 else (0.0,)


def gauge_contour(layout: Layout) -> Path:
    """Return the gauge's contour, the arm straight up from the pin at (0, 0), closed and clockwise [mm]."""
    cut, wide, step = tooth(layout), hub(layout), shoulder(layout)
    half = min(cut.half_bit, cut.radius)
    root, tip = math.sqrt(max(wide**2 - half**2, 0.0)), math.sqrt(max(cut.radius**2 - half**2, 0.0))
    foot, down = -strip_end(layout), -min(step.down, strip_end(layout))
    broad = step.wide if flank_lines(layout) else wide
    segments: list[Segment] = [
        Line((-half, root), (-half, tip)),
        Arc((0.0, 0.0), cut.radius, (-half, tip), (half, tip), "cw"),
        Line((half, tip), (half, root)),
        Arc((0.0, 0.0), wide, (half, root), (wide, 0.0), "cw"),
        Line((wide, 0.0), (wide, down)),
        Line((wide, down), (broad, down)),
        Line((broad, down), (broad, foot)),
        Line((broad, foot), (-broad, foot)),
        Line((-broad, foot), (-broad, down)),
        Line((-broad, down), (-wide, down)),
        Line((-wide, down), (-wide, 0.0)),
        Arc((0.0, 0.0), wide, (-wide, 0.0), (-half, root), "cw"),
    ]
    return joined(segments)


def _sheets(layout: Layout) -> Iterable[Sheet]:
    yield Sheet(
        name="key-gauge",
        title="Key gauge",
        marks=tuple(_drawn(layout)),
        seen="The gauge as it lies on the back plate, arm up: the same from either side",
        notes=tuple(_notes(layout)),
        cautions=(CUTTING, DRILLING),
    )


def _notes(layout: Layout) -> Iterable[str]:
    lock = layout.lock
    yield (
        "Fix a pin in the hole that turns in the pivot without shake. The arm drives the bolt as the key will; turn "
        "it from one side of the tooth to the other, no farther, or the strip meets the bolt."
    )
    yield (
        "To use the strip as a rule, lift the gauge out, turn it half round and set it down with the strip lying over "
        f"the bolt: the pin is to stand {size(layout, lock.bolt.thickness + lock.plate.thickness)} out or more."
    )
    if flank_lines(layout):
        yield (
            "The lines across are the heights above the pivot; the lines along stand where the flanks do, each with "
            "the bolt at the seat from which the key drives that flank."
        )
    else:
        yield "The lines across are the heights above the pivot; there is no room for lines of the flanks."
    yield (
        "Pin or pipe: for a pipe key, whose hollow shank turns on a pin fixed in the plate, leave the gauge's own pin "
        "out and open the hole to fit the plate's."
    )


def _drawn(layout: Layout) -> Iterable[Mark]:
    cut, wide, step = tooth(layout), hub(layout), shoulder(layout)
    half, along = min(cut.half_bit, cut.radius), flank_lines(layout)
    broad = step.wide if along else wide

    def show(mm: float) -> str:
        return size(layout, mm)

    yield Stroke(gauge_contour(layout), "cut", "key gauge")
    yield from hole((0.0, 0.0), pin(layout), "key gauge")
    lines = heights(layout)
    for height, _ in lines:
        side = broad if height > step.down else wide
        yield line((-side, -height), (side, -height), "scribe", "key gauge")
    for x in along:
        yield line(
            (x, -max(step.down, pin(layout) / 2 + 1.0)),
            (x, -strip_end(layout)),
            "scribe",
            "key gauge",
        )
    if along:
        text = f"flanks {show(abs(along[0]))} to either side"
        yield Label((0.0, -strip_end(layout) - 3.0), text, "note", "key gauge", 2.2)
    for height, name in lines:
        if name in ("lower edge", "flank foot") and height < cut.radius:
            yield line((-half, height), (half, height), "scribe", "key gauge")
    yield line((0.0, -lines[-1][0]), (0.0, cut.radius), "scribe", "key gauge")
    yield from levels(
        [(-height, f"{name} {show(height)}") for height, name in lines], broad, 8.0, "key gauge"
    )
    tip = cut.radius
    yield from dimension(
        (0.0, 0.0), (0.0, tip), f"key radius {show(tip)}", "key gauge", off=wide + 6.0
    )
    yield from dimension(
        (-half, tip - 0.5),
        (half, tip - 0.5),
        f"bit {show(2 * half)}",
        "key gauge",
        off=3.5,
        spill="right",
    )
    yield Label((wide + 2.0, 0.0), f"pin {show(pin(layout))}", "note", "key gauge", 2.2, "left")


def _flats(layout: Layout) -> Iterable[Flat]:
    yield Flat(
        "key gauge",
        gauge_contour(layout),
        STRIP,
        (circle((0.0, 0.0), pin(layout) / 2),),
        "either side",
    )


def _drillings(layout: Layout) -> Iterable[Drilling]:
    stepped = pin(layout) < layout.lock.pivot.hole
    fit = "a pin that fits the pivot hole" + (
        ", turned down where it sits in the gauge" if stepped else ""
    )
    yield Drilling("pin of the key gauge", pin(layout), 1, "key gauge", fit)


def _stock(layout: Layout) -> Iterable[Stock]:
    left, low, right, high = gauge_contour(layout).bounds()
    lock = layout.lock
    yield Stock(
        "key gauge",
        1,
        (high - low + 4.0, right - left + 2.0, STRIP),
        "strip",
        "brass or mild steel",
    )
    yield Stock(
        "pin of the key gauge",
        1,
        (STRIP + lock.bolt.thickness + lock.plate.thickness + PROUD, lock.pivot.hole),
        "round bar",
        "silver steel or mild steel",
    )


def _steps(layout: Layout) -> Iterable[str]:
    cut = tooth(layout)
    yield (
        f"Key gauge: cut it to {size(layout, cut.radius)} and {size(layout, 2 * cut.half_bit)}, pin it in the pivot, "
        f"and turn it both ways: it lets go {size(layout, cut.home_travel)} before either seat."
    )


def _work(layout: Layout) -> Iterable[Task]:
    cut = tooth(layout)
    yield Task(
        "key", "gauge",
        f"Key gauge: saw and file its arm to {size(layout, cut.radius)} and {size(layout, 2 * cut.half_bit)}, scribe "
        f"its lines, and fix a pin of {size(layout, pin(layout))} in it.",
    )  # fmt: skip


PIECE = Piece(
    "key gauge",
    62,
    sheets=_sheets,
    flats=_flats,
    drillings=_drillings,
    stock=_stock,
    steps=_steps,
    work=_work,
)
