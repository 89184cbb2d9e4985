"""The bolt at the locked seat, with the compass arcs that its tooth is filed to."""

import math
from collections.abc import Iterable
from itertools import pairwise

from core.geometry.motion import MIRROR, shift
from core.geometry.path import Path
from core.layout.drawing import Anchor, Label, Mark, Stroke
from core.layout.frames import hand
from core.layout.layout import Layout
from core.mechanism.tooth_numbers import Tooth
from core.parts.bolt_contour import bolt, contour
from core.parts.notches import places
from core.parts.strip import notch
from core.parts.tooth import lobe, tooth
from core.sheets.bolt_numbers import TITLE, bolt_numbers
from core.sheets.left_on import on_bolt
from core.sheets.record import Flat, Piece, Rule, Setting, Sheet, Stock, Task
from core.sheets.sizes import bare, rough, size
from core.sheets.strokes import bow, cross, dimension, levels, line, moved, outward
from core.whole.assembly import workpieces

FIRST, NEXT = 5.0, 6.0
"""Distance [mm] of the first chain of dimensions from the bolt line, and from one chain to the next."""
ASIDE = 1.9
"""Distance [mm] of a point's number from the point."""
NEAR = 1e-6
SPARE = 2.0
"""Added to each side of the bolt's stock [mm]; common practice, no source."""


def _sheets(layout: Layout) -> Iterable[Sheet]:
    flip = hand(layout)
    drawn = [moved(mark, flip) if flip == MIRROR else mark for mark in _drawn(layout)]
    side = "right" if layout.lock.unlocks == "right" else "left"
    yield Sheet(
        name="bolt",
        title="Bolt, at the locked seat",
        marks=(Stroke(contour(layout), "cut", "bolt"), *drawn),
        seen=(
            "The side that faces you with the front plate off: glue the sheet to this side; the bolt unlocks "
            f"to the {side}"
        ),
        notes=(
            (
                "A and B are the pivot as the bolt sees it from either seat: set the compass there to prove the arcs. "
                "Cut the sheet out with both crosses on it."
            ),
            (
                f"Figures without a unit are {'inches' if layout.lock.units == 'in' else 'mm'}; every point is in the "
                f'table "{TITLE}" by its number, to mark the bolt out without the sheet.'
            ),
            (
                "Dashed, with +: what is left on at an edge until it is fitted. Roof and relief are cut before the bit "
                'is fitted, both flanks last; the table "Filing plan" has the order.'
            ),
        ),
    )


def _drawn(layout: Layout) -> Iterable[Mark]:
    """Yield what goes with the contour, in the drive frame."""
    cut, made = tooth(layout), bolt(layout)

    def show(mm: float) -> str:
        return size(layout, mm)

    places: tuple[tuple[float, str, float, Anchor], ...] = (
        (0.0, "A, pivot locked", 1.0, "left"),
        (-cut.throw, "B, pivot unlocked", -1.0, "right"),
    )
    for x, text, aside, anchor in places:
        yield from cross((x, 0.0), "bolt")
        spread_out = min(
            max(cut.flank, cut.gap_width) + layout.lock.bolt.lobe_width, 0.97 * cut.relief_radius
        )
        angle = math.asin(max(spread_out / cut.relief_radius, 0.05))
        yield Stroke(bow((x, 0.0), cut.relief_radius, angle), "scribe", "bolt")
        yield line((x, 0.0), (x, cut.bolt_line - 1.0), "scribe", "bolt")
        yield Label((x + aside, -2.6), text, "note", "bolt", 1.8, anchor)
    yield from dimension(
        (-cut.throw, 0.0), (0.0, 0.0), f"throw {show(cut.throw)}", "bolt", off=-7.0
    )
    below = min(cut.lower_edge, cut.flank_foot) - cut.bolt_line - 5.0
    ends = sorted([(0.0, cut.bolt_line), (cut.pickup_offset, cut.bolt_line)])
    flank = f"flank {show(abs(cut.pickup_offset))}"
    yield from dimension(ends[0], ends[1], flank, "bolt", off=below, spill="right")
    for out in _cut_out(layout):
        yield Stroke(out, "cut", "bolt")
    yield from on_bolt(layout)
    yield from _chains(layout, cut)
    yield from _numerals(layout)
    yield from levels(
        [
            (cut.bolt_line, f"bolt line {show(cut.bolt_line)}"),
            (cut.relief_radius, f"roof{' at most' if made.roof == 'scribed' else ''} {show(cut.relief_radius)}"),
            (cut.flank_foot, f"flank foot {show(cut.flank_foot)}"),
            (cut.lower_edge, f"lower edge {show(cut.lower_edge)}"),
            (0.0, "pivot 0"),
        ],
        max(made.tail_end, made.right) + 11.0, 8.0, "bolt",
    )  # fmt: skip


def _cut_out(layout: Layout) -> Iterable[Path]:
    """Yield what other parts cut out of the bolt's middle, in the drive frame."""
    back = shift(-tooth(layout).throw / 2, tooth(layout).bolt_line)
    for out in workpieces()["bolt"].shape(layout).cuts:
        yield back.path(out.path)


def _flats(layout: Layout) -> Iterable[Flat]:
    side = "the side that faces you with the front plate off"
    holes = tuple(hand(layout).path(out) for out in _cut_out(layout))
    yield Flat("bolt", contour(layout), layout.lock.bolt.thickness, holes, side)


def _chains(layout: Layout, cut: Tooth) -> Iterable[Mark]:
    """Yield the dimensions in chains along the bolt line, and down from it at both ends."""
    made, top = bolt(layout), cut.bolt_line
    body = (made.nose_tip, made.left, -cut.flank, cut.pickup_offset, made.right, made.tail_end)
    on_line = [x for s in made.contour.segments for x, y in (s.start, s.end) if abs(y - top) < NEAR]
    chains = [sorted(body), sorted(on_line), [made.nose_tip, made.tail_end]]
    off = FIRST
    for chain in chains:
        steps = [(x, y) for x, y in pairwise(chain) if y - x > NEAR]
        if len(steps) < 2 and chain is not chains[-1]:
            continue
        for start, end in steps:
            yield from dimension(
                (start, top), (end, top), bare(layout, end - start), "bolt", off=off
            )
        off += NEXT
    for x, low, way in (
        (made.nose_tip, top - layout.lock.bolt.nose_height, 1.0),
        (made.tail_end, top - layout.lock.bolt.tail_height, -1.0),
    ):
        yield from dimension((x, low), (x, top), bare(layout, top - low), "bolt", off=way * 6.0)
    yield from _notch_depths(layout)
    beside = lobe(layout)
    if beside.cut > 0:
        start, end = cut.pickup_offset, cut.pickup_offset + beside.mark[0] - cut.flank
        text = f"chamfer from flank {bare(layout, end - start)}"
        low = min(cut.lower_edge, cut.flank_foot) - top - 5.0
        yield from dimension((start, top), (end, top), text, "bolt", off=low, spill="right")


def _notch_depths(layout: Layout) -> Iterable[Mark]:
    """Yield how deep each notch is, beside its foot and inside the bolt."""
    cut, top = notch(layout), tooth(layout).bolt_line
    if cut is None or cut.foot <= 0:
        return
    for _, at in places(layout):
        text = f"{bare(layout, cut.foot)} deep, {layout.lock.detent.ramp:g}°"
        yield Label((at, top - cut.foot - 1.4), text, "note", "bolt", 1.6)


def _numerals(layout: Layout) -> Iterable[Label]:
    """Yield the numbers of the contour's points, as the table has them, each a little outside its corner."""
    found = bolt_numbers(layout)
    corners = [s for s in found.stations if s.on is not None and s.name.isdigit()]
    back = shift(bolt(layout).contour.bounds()[0], tooth(layout).bolt_line)
    for before, station in zip([corners[-1], *corners], corners, strict=False):
        if before.on is None or station.on is None:
            continue
        (x0, y0), (x1, y1) = outward(before.on, at_end=True), outward(station.on, at_end=False)
        x, y = x0 + x1, y0 + y1
        far = ASIDE / max(math.hypot(x, y), 1e-6)
        at = (station.along + x * far, -station.down + y * far)
        yield Label(back.point(at), station.name, "note", "bolt", 1.6)


def _rules(layout: Layout) -> Iterable[Rule]:
    line_y, flip = layout.lock.bolt_line.height, hand(layout)
    made, throw = bolt(layout), tooth(layout).throw
    yield Rule(
        "bolt line",
        flip.point((made.nose_tip, line_y)),
        flip.point((made.tail_end + throw, line_y)),
    )


def flank_side(layout: Layout) -> str:
    """Return the side of the centreline on which the unlocking flank stands, "right" or "left"."""
    ahead = tooth(layout).pickup_offset >= 0
    return "right" if ahead is (layout.lock.unlocks == "right") else "left"


def _settings(layout: Layout) -> Iterable[Setting]:
    cut, locks = tooth(layout), "left" if layout.lock.unlocks == "right" else "right"
    yield Setting(
        "bolt line above the pivot", cut.bolt_line, "pivot", "the centreline, for the bolt line"
    )
    yield Setting(
        "key radius",
        layout.lock.key.radius,
        "pivot",
        "the circle of the key's bit, on the back plate",
    )
    yield Setting(
        "throw", cut.throw, "pivot on the bolt's sheet",
        f"the pivot as the bolt sees it unlocked, along the bolt to the {locks}",
    )  # fmt: skip
    yield Setting(
        "relief radius", cut.relief_radius, "both pivots on the bolt's sheet",
        "the roof of the gap and the relief under the flanks",
    )  # fmt: skip
    yield Setting(
        "unlocking flank",
        abs(cut.pickup_offset),
        "centreline at the bolt line",
        f"the unlocking flank, {flank_side(layout)} of the centreline",
    )
    beside = lobe(layout)
    if beside.cut > 0:
        yield Setting(
            "lobe chamfer", beside.mark[0] - cut.flank, "each flank, outwards along the lower edge",
            "the mark from which a rule that just touches the relief draws the chamfer",
        )  # fmt: skip
    yield Setting("gap", cut.gap_width, "unlocking flank", f"the locking flank, to the {locks}")


def _stock(layout: Layout) -> Iterable[Stock]:
    made, lock = bolt(layout), layout.lock
    long, deep = (
        made.tail_end - made.nose_tip,
        max(lock.bolt.depth, lock.bolt.nose_height, lock.bolt.tail_height),
    )
    yield Stock(
        "bolt", 1, (long + 2 * SPARE, deep + 2 * SPARE, lock.bolt.thickness), "flat bar",
        "brass or mild steel", f"{rough(layout, SPARE)} to spare on each side",
    )  # fmt: skip


def _steps(layout: Layout) -> Iterable[str]:
    cut, lock = tooth(layout), layout.lock

    def show(mm: float) -> str:
        return size(layout, mm)

    yield (
        f"Bolt line: scribe it square to the centreline, {show(cut.bolt_line)} above the pivot; keep "
        f"{show(lock.bolt_line.spring_room)} free above it for the spring."
    )
    yield (
        f"Key radius: compass to {show(lock.key.radius)}, strike the key's circle about the pivot. Nothing that "
        f"stands still comes nearer to the pivot than {show(cut.relief_radius)}."
    )
    yield (
        f"Tooth: gap {show(cut.gap_width)} wide, its unlocking flank {show(abs(cut.pickup_offset))} to the "
        f"{flank_side(layout)} of the centreline, flanks up from {show(cut.flank_foot)} above the pivot to the roof at "
        f"{show(cut.relief_radius)}; lower edge {show(cut.lower_edge)} above the pivot."
    )
    beside = lobe(layout)
    if beside.cut > 0:
        yield (
            f"Lobe chamfer: mark the lower edge {show(beside.mark[0] - cut.flank)} outwards from each flank; lay a "
            "rule from there so that it just touches the relief, scribe, and file to the line."
        )


def _work(layout: Layout) -> Iterable[Task]:
    made, lock, cut = bolt(layout), layout.lock, tooth(layout)

    def show(mm: float) -> str:
        return size(layout, mm)

    yield Task(
        "bolt", "top-edge",
        f"File the top edge of the bolt straight first: it is the bolt line, and everything is measured from it. Then "
        f"the thickness, {show(lock.bolt.thickness)}, flat on both faces.",
    )  # fmt: skip
    yield Task(
        "bolt", "outside",
        f"Saw and file the outside: {show(made.tail_end - made.nose_tip)} from tip to tail, nose "
        f"{show(lock.bolt.nose_height)} high, tail {show(lock.bolt.tail_height)}, lower edge "
        f"{show(lock.bolt.depth)} below the bolt line. Left on: {show(lock.filing.nose_tip)} at the tip of the nose, "
        f"{show(lock.filing.legs)} under both legs.",
    )  # fmt: skip
    yield Task(
        "bolt", "slides",
        f"Try it in the guides and file their floors until its top edge runs on the bolt line, {show(cut.bolt_line)} "
        f"above the pivot. Feel: it slides by its own weight and rises by no more than "
        f"{show(2 * lock.fit.slide_clearance)}.",
    )  # fmt: skip


PIECE = Piece(
    "bolt",
    40,
    sheets=_sheets,
    flats=_flats,
    rules=_rules,
    settings=_settings,
    stock=_stock,
    steps=_steps,
    work=_work,
)
