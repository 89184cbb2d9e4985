"""The bench card: on one page everything that is looked up most while a lock is made."""

import math
from collections.abc import Iterable

from core.checks.gathered import windows
from core.layout.layout import Layout
from core.layout.windows import Bound
from core.lock.lock import spec_of
from core.parts.tooth import tooth
from core.sheets.drill_table import lines
from core.sheets.drills import PILOTS, nearest, pilot
from core.sheets.gathering import all_pieces
from core.sheets.sizes import error_of, size
from core.sheets.table import Table
from core.tables.twist_drills import kinds_for

NAME, TITLE = "bench-card", "Bench card"
OFTEN = ("key.radius", "bolt_line.height", "bolt.depth")
"""Dimensions that are changed most often, since they are what filing changes: common practice, no source."""


def bench_card(layout: Layout) -> tuple[Table, ...]:
    """Return the tables of the card."""
    return (_compass(layout), _tooth(layout), _drills(layout), _windows(layout))


def _compass(layout: Layout) -> Table:
    rows = [
        (setting.what, size(layout, setting.length), setting.stand)
        for piece in all_pieces()
        for setting in piece.settings(layout)
    ]
    return Table(
        "Compass and dividers", ("setting", "set to", "stand on"), tuple(rows), widths=(60, 50, 70)
    )


def _tooth(layout: Layout) -> Table:
    cut, key = tooth(layout), layout.lock.key

    def show(mm: float) -> str:
        return size(layout, mm)

    lets_go = f"{math.degrees(cut.release_angle):.1f} degrees past top dead centre"
    rows = (
        ("gap, flank to flank", show(cut.gap_width), "throw, seat to seat", show(cut.throw)),
        (
            "unlocking flank off the centreline",
            show(abs(cut.pickup_offset)),
            "bit of the key",
            show(key.bit_thickness),
        ),
        (
            "flanks' foot above the pivot",
            show(cut.flank_foot),
            "roof above the pivot",
            show(cut.relief_radius),
        ),
        (
            "lower edge above the pivot",
            show(cut.lower_edge),
            "bolt thickness",
            show(layout.lock.bolt.thickness),
        ),
        ("driven by the key", show(cut.driven_travel), "left to the detent", show(cut.home_travel)),
        ("the key lets go", lets_go, "slide clearance", show(layout.lock.fit.slide_clearance)),
    )
    return Table("Tooth and bolt", ("what", "size", "what", "size"), rows, widths=(52, 46, 40, 42))


def _drills(layout: Layout) -> Table:
    kinds, rows = kinds_for(layout.lock.units), []
    for item in lines(layout):
        drill, first = (
            nearest(item.diameter, kinds),
            pilot(item.diameter, PILOTS[layout.lock.units]),
        )
        named = (
            f"{drill.name} ({error_of(layout, drill.diameter - item.diameter)})"
            if drill
            else "bore or file"
        )
        rows.append(
            (
                item.what,
                size(layout, item.diameter),
                named,
                first.name if first else "none",
                str(item.count),
            )
        )
    return Table(
        "Drills",
        ("hole", "finish", "drill", "pilot", "holes"),
        tuple(rows),
        widths=(52, 46, 46, 24, 12),
    )


def _windows(layout: Layout) -> Table:
    found, rows = windows(layout), []
    for path in OFTEN:
        window, now = found[path], layout.lock.value(path)
        fits = "nothing fits" if window.conflict else "" if window.holds(now) else "outside"
        name = spec_of(path).label
        rows.append(
            (name, size(layout, now), *_end(layout, window.low), *_end(layout, window.high), fits)
        )
    return Table(
        "What fits, everything else as it stands",
        ("", "now", "from", "set by", "to", "set by", ""), tuple(rows), widths=(26, 26, 26, 38, 26, 38, 14),
    )  # fmt: skip


def _end(layout: Layout, bound: Bound | None) -> Iterable[str]:
    return ("any", "") if bound is None else (size(layout, bound.value), bound.by)
