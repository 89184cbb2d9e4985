"""The shackle's free end: from the front, from the bolt's side, and as a strip to wrap round it."""

import math
from collections.abc import Iterable

from core.geometry.path import Path, polyline
from core.layout.drawing import Label, Mark, Stroke
from core.layout.layout import Layout, derived
from core.parts.bolt_contour import notch_depth
from core.parts.catch import eye_width
from core.sheets.drills import Row, row_along
from core.sheets.record import CUTTING, DRILLING, Drilling, Piece, Setting, Sheet, Stock, Task
from core.sheets.sizes import size
from core.sheets.strokes import cross, dimension, hole, levels, line

PART = "shackle"
ABOVE = 12.0
"""How much of the end above the bolt line is drawn [mm]."""
APART = 34.0
"""Distance [mm] between the three drawings."""


def catch_top(layout: Layout) -> float:
    """Return the upper edge of notch or eye over the bolt line [mm]."""
    return layout.lock.fit.slide_clearance


def catch_foot(layout: Layout) -> float:
    """Return the lower edge of notch or eye over the bolt line [mm], negative."""
    return -layout.lock.bolt.nose_height - layout.lock.fit.slide_clearance


def depth(layout: Layout) -> float:
    """Return how far the nose may go into the end [mm]: a notch is as deep as its stop asks for, or there is none."""
    lock = layout.lock
    return max(notch_depth(lock), 0.0) if lock.shackle.catch == "notch" else lock.shackle.engagement


def through(layout: Layout) -> bool:
    """Say whether the nose reaches right through the end."""
    return depth(layout) >= layout.lock.shackle.diameter


@derived
def eye_row(layout: Layout) -> Row | None:
    """Return the row of holes that clears the eye, in the view from the bolt's side; None for a notch."""
    if layout.lock.shackle.catch == "notch":
        return None
    ends = ((0.0, catch_top(layout)), (0.0, catch_foot(layout)))
    return row_along(*ends, eye_width(layout), layout.lock.units)


def end_contour(layout: Layout) -> Path:
    """Return the end from the front [mm]: (0, 0) on its middle at the bolt line, open at the top.

    Seen from inside the back plate; a notch opens towards the bolt.
    """
    shackle = layout.lock.shackle
    half, low = shackle.diameter / 2, -shackle.drop
    near = 1.0 if layout.lock.unlocks == "right" else -1.0  # the side on which the bolt is
    corners = [(-near * half, ABOVE), (-near * half, low), (near * half, low)]
    if shackle.catch == "notch" and depth(layout) > 0 and not through(layout):
        deep = near * (half - depth(layout))
        top, foot = catch_top(layout), max(catch_foot(layout), low)
        corners += [(near * half, foot), (deep, foot), (deep, top), (near * half, top)]
    return polyline([*corners, (near * half, ABOVE)])


def _sheets(layout: Layout) -> Iterable[Sheet]:
    d = layout.lock.shackle.diameter
    marks = [*_front(layout), *_side(layout, d + APART), *_strip(layout, 2 * d + 2 * APART)]
    yield Sheet(
        name="shackle-end",
        title=f"Shackle end, with its {layout.lock.shackle.catch}",
        marks=tuple(marks),
        seen="From inside the back plate; from the bolt's side; and unrolled, to wrap round the end",
        notes=(
            (
                'Wrap the strip round the end with its lower edge flush and the line "bolt" towards the bolt: punch or '
                "scribe through it."
            ),
        ),
        cautions=(CUTTING, DRILLING),
    )


def _front(layout: Layout) -> Iterable[Mark]:
    shackle = layout.lock.shackle
    half, top, foot = shackle.diameter / 2, catch_top(layout), catch_foot(layout)
    near = 1.0 if layout.lock.unlocks == "right" else -1.0

    def show(mm: float) -> str:
        return size(layout, mm)

    yield Stroke(end_contour(layout), "view", PART)
    if shackle.catch == "eye" or through(layout):
        deep = -near * half if through(layout) else near * (half - depth(layout))
        box = [(near * half, top), (deep, top), (deep, foot), (near * half, foot)]
        yield Stroke(polyline(box), "view", PART, ghost=True)
    yield line((-half - 5.0, 0.0), (half + 5.0, 0.0), "view", PART)
    yield from dimension(
        (-half, -shackle.drop), (half, -shackle.drop), show(2 * half), PART, off=-6.0, spill="right"
    )
    yield from dimension(
        (-near * half, -shackle.drop), (-near * half, 0.0), show(shackle.drop), PART, off=near * 7.0
    )
    yield Label((0.0, ABOVE + 4.0), "from the front", "note", PART, 2.2)


def _side(layout: Layout, x: float) -> Iterable[Mark]:
    shackle = layout.lock.shackle
    half, top, foot = shackle.diameter / 2, catch_top(layout), catch_foot(layout)
    wide = 2 * half if shackle.catch == "notch" else min(eye_width(layout), 2 * half)

    def show(mm: float) -> str:
        return size(layout, mm)

    outline = [
        (x - half, ABOVE),
        (x - half, -shackle.drop),
        (x + half, -shackle.drop),
        (x + half, ABOVE),
    ]
    yield Stroke(polyline(outline), "view", PART)
    box = [(x - wide / 2, foot), (x - wide / 2, top), (x + wide / 2, top), (x + wide / 2, foot)]
    yield Stroke(polyline(box, closed=True), "cut", PART)
    row = eye_row(layout)
    for at in row.centres if row else ():
        yield from hole((x + at[0], at[1]), row.drill.diameter if row else 0.0, PART, chained=True)
    yield line((x - half - 3.0, 0.0), (x + half + 3.0, 0.0), "view", PART)
    yield from levels(
        [(top, f"top {show(top)} over the bolt line"), (foot, f"underside {show(-foot)} under it")],
        x + half + 3.0,
        8.0,
        PART,
    )
    if shackle.catch == "eye":
        ends = ((x - wide / 2, -shackle.drop), (x + wide / 2, -shackle.drop))
        yield from dimension(*ends, f"eye {show(wide)}", PART, off=-6.0, spill="right")
    yield Label((x, ABOVE + 4.0), "from the bolt", "note", PART, 2.2)


def _strip(layout: Layout, x: float) -> Iterable[Mark]:
    """Yield the strip to wrap round the end: as long as the end's girth, the bolt's side in its middle."""
    shackle = layout.lock.shackle
    x += 24.0
    girth, low = math.pi * shackle.diameter, -shackle.drop
    left, right, middle = x, x + girth, x + girth / 2
    edge = [(left, low), (left, ABOVE), (right, ABOVE), (right, low)]
    yield Stroke(polyline(edge, closed=True), "paper", PART)
    yield line((left, 0.0), (right, 0.0), "scribe", PART)
    yield line((middle, low), (middle, ABOVE - 4.0), "scribe", PART)
    yield Label((middle, ABOVE - 2.0), "bolt", "note", PART, 2.0)
    top, foot = catch_top(layout), catch_foot(layout)
    if shackle.catch == "notch":
        # a notch of depth e meets the surface at an angle of acos(1 - 2 e / d) to either side of the bolt's side
        share = max(1 - 2 * depth(layout) / shackle.diameter, -1.0)
        half = shackle.diameter / 2 * math.acos(share)
    else:
        half = shackle.diameter / 2 * math.asin(min(eye_width(layout) / shackle.diameter, 1.0))
    box = [(middle - half, foot), (middle - half, top), (middle + half, top), (middle + half, foot)]
    yield Stroke(polyline(box, closed=True), "scribe", PART)
    row = eye_row(layout)
    for at in row.centres if row else ():
        yield from cross((middle, at[1]), PART, 1.2)
    yield Label((middle, low - 3.0), f"strip, {size(layout, girth)} round", "note", PART, 2.2)


def _drillings(layout: Layout) -> Iterable[Drilling]:
    row = eye_row(layout)
    if row is not None:
        yield Drilling(
            "eye of the shackle", row.drill.diameter, len(row.centres), "shackle end",
            f"filed out to {size(layout, eye_width(layout))} by {size(layout, catch_top(layout) - catch_foot(layout))}",
            chained=True,
        )  # fmt: skip


def _settings(layout: Layout) -> Iterable[Setting]:
    yield Setting(
        "shackle end",
        abs(layout.lock.shackle.across),
        "centreline at the bolt line",
        "the middle of the shackle's end",
    )
    yield Setting(
        "shackle's end below line",
        layout.lock.shackle.drop,
        "bolt line",
        "the underside of the end",
    )


def _stock(layout: Layout) -> Iterable[Stock]:
    yield Stock(
        "shackle", 1, (None, layout.lock.shackle.diameter), "round bar", "mild steel",
        "its length follows from the bow, which this file does not hold",
    )  # fmt: skip


def _steps(layout: Layout) -> Iterable[str]:
    shackle, side = layout.lock.shackle, "left" if layout.lock.shackle.across < 0 else "right"

    def show(mm: float) -> str:
        return size(layout, mm)

    deep = depth(layout)
    cut_to = f", the notch {show(deep)} deep" if deep > shackle.engagement else ""
    yield (
        f"Shackle: middle of its end {show(abs(shackle.across))} to the {side} of the centreline, underside "
        f"{show(shackle.drop)} below the bolt line; {shackle.catch} from {show(catch_top(layout))} above to "
        f"{show(-catch_foot(layout))} below it, nose in by {show(shackle.engagement)}{cut_to}."
    )


def _work(layout: Layout) -> Iterable[Task]:
    shackle = layout.lock.shackle

    def show(mm: float) -> str:
        return size(layout, mm)

    yield Task(
        "assembly", "shackle",
        f"Hang the shackle and cut its {shackle.catch} to the sheet. Bolt locked: the nose stands "
        f"{show(shackle.engagement)} in it; bolt unlocked: {show(shackle.gap)} clear of it. If the nose is too long, "
        "file its tip; it was left full for that.",
    )  # fmt: skip


PIECE = Piece(
    "shackle",
    80,
    sheets=_sheets,
    drillings=_drillings,
    settings=_settings,
    stock=_stock,
    steps=_steps,
    work=_work,
)
