"""The key gauge: a strip with a pin that fits the pivot hole, standing in for the key at the bench.

Its arm is cut to the key's radius and the bit's thickness and drives the bolt as the key will. The strip on the other
side of the pin carries lines at the heights that the tooth is filed to; turned over, it is the rule for them.
"""

import math
from collections.abc import Iterable

from core.geometry.path import Arc, Line, Path, Segment, joined
from core.layout.drawing import Label, Mark, Stroke
from core.layout.layout import Layout
from core.parts.tooth import tooth
from core.sheets.record import CUTTING, DRILLING, Drilling, Piece, Sheet, Stock
from core.sheets.sizes import size
from core.sheets.strokes import dimension, hole, levels, line

WALL = 2.5
"""Metal [mm] left round the pin's hole where the bolt leaves room; common practice, no source."""
BEYOND = 4.0
"""How far [mm] the strip runs on past its last line."""
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


def gauge_contour(layout: Layout) -> Path:
    """Return the gauge's contour, the arm straight up from the pin at (0, 0), closed and clockwise [mm]."""
    cut, wide = tooth(layout), hub(layout)
    half = min(cut.half_bit, cut.radius)
    root, tip = math.sqrt(max(wide**2 - half**2, 0.0)), math.sqrt(max(cut.radius**2 - half**2, 0.0))
    foot = -max(height for height, _ in heights(layout)) - BEYOND
    segments: list[Segment] = [
        Line((-half, root), (-half, tip)),
        Arc((0.0, 0.0), cut.radius, (-half, tip), (half, tip), "cw"),
        Line((half, tip), (half, root)),
        Arc((0.0, 0.0), wide, (half, root), (wide, 0.0), "cw"),
        Line((wide, 0.0), (wide, foot)),
        Line((wide, foot), (-wide, foot)),
        Line((-wide, foot), (-wide, 0.0)),
        Arc((0.0, 0.0), wide, (-wide, 0.0), (-half, root), "cw"),
    ]
    return joined(segments)


def _sheets(layout: Layout) -> Iterable[Sheet]:
    yield Sheet(
        name="key-gauge",
        title="Key gauge",
        marks=tuple(_drawn(layout)),
        seen="The gauge as it lies on the back plate, arm up: the same from either side",
        notes=(
            (
                "Fix a pin in the hole that turns in the pivot without shake. The arm drives the bolt as the key will; "
                "turn it from one side of the tooth to the other, no further, or the strip meets the bolt."
            ),
            "The lines, measured from the pin: turned round, the strip shows on the bolt where they fall.",
        ),
        cautions=(CUTTING, DRILLING),
    )


def _drawn(layout: Layout) -> Iterable[Mark]:
    cut, wide = tooth(layout), hub(layout)
    half = min(cut.half_bit, cut.radius)

    def show(mm: float) -> str:
        return size(layout, mm)

    yield Stroke(gauge_contour(layout), "cut", "key gauge")
    yield from hole((0.0, 0.0), pin(layout), "key gauge")
    lines = heights(layout)
    for height, _ in lines:
        yield line((-wide, -height), (wide, -height), "scribe", "key gauge")
    for height, name in lines:
        if name in ("lower edge", "flank foot") and height < cut.radius:
            yield line((-half, height), (half, height), "scribe", "key gauge")
    yield line((0.0, -lines[-1][0]), (0.0, cut.radius), "scribe", "key gauge")
    yield from levels(
        [(-height, f"{name} {show(height)}") for height, name in lines], wide, 8.0, "key gauge"
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


def _drillings(layout: Layout) -> Iterable[Drilling]:
    stepped = pin(layout) < layout.lock.pivot.hole
    fit = "a pin that fits the pivot hole" + (
        ", turned down where it sits in the gauge" if stepped else ""
    )
    yield Drilling("pin of the key gauge", pin(layout), 1, "key gauge", fit)


def _stock(layout: Layout) -> Iterable[Stock]:
    _, low, _, high = gauge_contour(layout).bounds()
    yield Stock(
        "key gauge",
        1,
        (high - low + 4.0, 2 * hub(layout) + 2.0, STRIP),
        "strip",
        "brass or mild steel",
    )
    yield Stock(
        "pin of the key gauge",
        1,
        (15.0, layout.lock.pivot.hole),
        "round bar",
        "silver steel or mild steel",
    )


def _steps(layout: Layout) -> Iterable[str]:
    cut = tooth(layout)
    yield (
        f"Key gauge: cut it to {size(layout, cut.radius)} and {size(layout, 2 * cut.half_bit)}, pin it in the pivot, "
        f"and turn it both ways: it lets go {size(layout, cut.home_travel)} before either seat."
    )


PIECE = Piece("key gauge", 62, sheets=_sheets, drillings=_drillings, stock=_stock, steps=_steps)
