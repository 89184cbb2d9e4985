"""The bolt as a part: the checks on its own sizes, its drawing, and the workpiece.

The workpiece's frame lies on the bolt line in the middle of the gap; it is seen in the drive frame, so that, turned
over, the bolt of the other hand is the same bolt.
"""

import math
from collections.abc import Iterable, Mapping
from dataclasses import fields
from typing import Any

from core.geometry.motion import Motion, shift
from core.geometry.path import Arc, Line, Path, Segment
from core.layout.codes import Code, Family
from core.layout.drawing import Mark, Measure, Stroke
from core.layout.findings import Finding
from core.layout.frames import hand, to_plate
from core.layout.layout import Layout
from core.layout.part import BenchTable, Drawn, Part
from core.layout.path_data import path_as_data
from core.layout.windows import Bound
from core.layout.workpiece import Shape, Size, Suspect, Workpiece
from core.lock.as_cut import AsCut
from core.mechanism.narrow_gap import gap_needed
from core.mechanism.tooth_numbers import SLACK
from core.parts.bolt_contour import bolt, contour, lies_at, nose_face
from core.parts.cut_sides import SIDES, Side
from core.parts.notches import places
from core.parts.strip import notch
from core.parts.tooth import gap_edges, lesser_tooth, lobe, made_for, tooth

BOLT_SHALLOW = Code(
    "bolt-shallow", "look", "bolt",
    "The lower edge ends above the relief, so the key lets go sooner than it could and the detent has more to do.",
)  # fmt: skip
BOLT_AT_SHANK = Code(
    "bolt-at-shank", "stop", "bolt",
    "The bolt's lower edge would lie in the way of the key's shank.",
)  # fmt: skip
CHAMFER_LARGE = Code(
    "chamfer-large", "look", "bolt",
    "There is less of the lobe to chamfer than was asked for, so the chamfer is cut as large as it can be.",
)  # fmt: skip
TALLER = Family(
    "{}-taller-than-bolt", "look", "bolt",
    "The {} hangs below the body of the bolt, which then has to be cut from deeper stock.",
)  # fmt: skip
ROOF_FLAT = Code(
    "roof-flat", "look", "tooth",
    "The two compass arcs that were asked for above the gap cannot be cut here, so its roof is one straight line.",
)  # fmt: skip
NOSE_TOO_SHORT = Code(
    "nose-too-short", "stop", "shackle",
    "Between the bolt's body and the shackle's end there is no room for a nose to reach in.",
)  # fmt: skip
_CODES = (
    BOLT_SHALLOW, BOLT_AT_SHANK, CHAMFER_LARGE, TALLER.of("nose"), TALLER.of("tail"), ROOF_FLAT, NOSE_TOO_SHORT,
)  # fmt: skip


def _findings(layout: Layout) -> Iterable[Finding]:
    lock, cut, made, show = layout.lock, tooth(layout), bolt(layout), layout.show
    if made.roof_problem:
        yield ROOF_FLAT.found(
            f"The roof cannot be scribed: {made.roof_problem}. It is drawn flat instead."
        )
    shallow = cut.bolt_line - cut.relief_foot
    if cut.fits and lock.bolt.depth < shallow - SLACK:
        yield BOLT_SHALLOW.found(
            f"The bolt is {show(lock.bolt.depth)} deep; below {show(shallow)} its lower edge, not the "
            f"relief, lets the key go, and {show(cut.home_travel)} is left to the detent.",
            lock.bolt.depth, shallow,
        )  # fmt: skip
    deep = _greatest_depth(layout)
    if lock.bolt.depth > deep + SLACK:
        yield BOLT_AT_SHANK.found(
            f"A bolt {show(lock.bolt.depth)} deep comes down to the key's shank; {show(deep)} leaves it clear.",
            lock.bolt.depth, deep,
        )  # fmt: skip
    most, asked = lobe(layout).greatest_chamfer, lock.bolt.lobe_chamfer
    if asked > most + SLACK:
        text = f"A lobe chamfer of {show(asked)} takes the flank's foot or the lobe's side; {show(most)} is the most."
        if most <= 0:
            text = "The lobes have no corner to chamfer: their relief does not run out into the lower edge."
        yield CHAMFER_LARGE.found(f"{text} It is cut so.", asked, most)
    for name, leg in (("nose", lock.bolt.nose_height), ("tail", lock.bolt.tail_height)):
        if leg > lock.bolt.depth + SLACK:
            yield TALLER.of(name).found(
                f"The {name}, {show(leg)} high, is taller than the body of the bolt, {show(lock.bolt.depth)}.",
                leg, lock.bolt.depth,
            )  # fmt: skip
    reach = nose_face(layout) + lock.shackle.engagement + made.left
    if reach < 0:
        yield NOSE_TOO_SHORT.found(
            f"The nose would end {show(-reach)} inside the bolt's body: the shackle's end stands too near.",
            reach, 0.0,
        )  # fmt: skip


def _greatest_depth(layout: Layout) -> float:
    lock = layout.lock
    return lock.bolt_line.height - lock.key.shank / 2 - lock.fit.key_clearance


def _bounds(layout: Layout) -> Iterable[Bound]:
    cut = tooth(layout)
    yield Bound(
        "bolt.depth", "low", cut.bolt_line - cut.relief_foot,
        "the relief at the flanks' foot", BOLT_SHALLOW,
    )  # fmt: skip
    if lobe(layout).cornered:
        yield Bound(
            "bolt.lobe_chamfer", "high", lobe(layout).greatest_chamfer,
            "the flank's foot and the lobe's side", CHAMFER_LARGE,
        )  # fmt: skip
    yield Bound("bolt.depth", "high", _greatest_depth(layout), "the key's shank", BOLT_AT_SHANK)


def _marks(layout: Layout) -> Iterable[Mark]:
    lock, here, cut = layout.lock, hand(layout), tooth(layout)
    yield Stroke(here.path(lies_at(layout)), "cut", "bolt")
    yield Stroke(here.path(lies_at(layout, cut.throw)), "cut", "bolt", ghost=True)
    if made_for(layout) is not None:  # beside the bolt as it is, the one that is wanted
        yield Stroke(contour(Layout(lock)), "note", "bolt", ghost=True)
    low, side = cut.lower_edge, bolt(layout).right
    yield Measure(
        here.point((side, cut.bolt_line)), here.point((side, low)),
        layout.show(lock.bolt.depth), "bolt.depth", "bolt",
    )  # fmt: skip


def _report(layout: Layout) -> Mapping[str, Any]:
    path = contour(layout)
    return {
        "bolt": {
            "contour": path_as_data(path),
            "area": abs(path.signed_area()),
            "centroid": list(path.centroid()),
        }
    }


def _bench(layout: Layout) -> Iterable[BenchTable]:
    cut, beside, show, less = tooth(layout), lobe(layout), layout.show, lesser_tooth(layout)
    turns: list[tuple[str, str]] = []
    rests: list[tuple[str, str]] = []
    if cut.drives and made_for(layout) is None:
        turns = [("gap that the bit needs to turn in", show(gap_needed(beside)))]
    if cut.drives:
        rests = [
            ("left off its seat without a detent", show(beside.rests_off)),
            ("bit comes in, bolt off its seat by", f"{show(beside.shut_out)} at most"),
        ]
    yield BenchTable(
        "The tooth", 10,
        (
            ("throw, seat to seat", show(cut.throw)),
            ("key's circle with clearance", show(cut.relief_radius)),
            ("gap, flank to flank", show(cut.gap_width)),
            *turns,
            ("unlocking flank from the centreline", show(cut.pickup_offset)),
            ("locking flank from the centreline", show(-cut.flank)),
            ("flanks' foot above the pivot", show(cut.flank_foot)),
            ("lower edge above the pivot", show(cut.lower_edge)),
            ("bridge above the gap", show(cut.bridge)),
            ("roof", bolt(layout).roof),
            ("driven by the key", show(less.driven_travel)),
            ("left to the detent", show(less.home_travel)),
            *rests,
            (
                "the key lets go at",
                f"{math.degrees(less.release_angle):.1f} degrees past top dead centre",
            ),
        ),
    )  # fmt: skip


def _moving(layout: Layout, _angle: float, travel: float) -> Iterable[Stroke]:
    yield Stroke(hand(layout).path(lies_at(layout, travel)), "cut", "bolt")


def _bolt(layout: Layout) -> Shape:
    made, cut = bolt(layout), tooth(layout)
    body = shift(cut.throw / 2, -cut.bolt_line).path(made.contour)
    half = cut.gap_width / 2
    off = layout.lock.as_cut
    flanks = (half + off.unlocking_flank, -half - off.locking_flank)
    thickness = Size("thickness", layout.lock.bolt.thickness, over_face=True)
    return Shape(
        body, sizes=(thickness,), edges=tuple(_bolt_edges(layout, body)), references=flanks
    )


def _bolt_edges(layout: Layout, body: Path) -> Iterable[tuple[str, Segment]]:
    """Name every segment of the bolt's outline, in its own frame."""
    cut, made = tooth(layout), bolt(layout)
    middle, off = cut.throw / 2, layout.lock.as_cut
    ahead, behind = cut.gap_width / 2 + off.unlocking_flank, cut.gap_width / 2 + off.locking_flank
    chamfered = lobe(layout).cut > 0
    ends = {"tip of the nose": made.nose_tip + middle, "end of the tail": made.tail_end + middle}
    for segment in body.segments:
        x = (segment.start[0] + segment.end[0]) / 2
        y = (segment.start[1] + segment.end[1]) / 2
        side = "tail" if x > 0 else "nose"
        flank: Side = "unlocking" if x > 0 else "locking"
        half = ahead if x > 0 else behind
        rounded = (
            isinstance(segment, Arc)
            and abs(segment.radius - gap_edges(layout)[flank].radius) < SLACK
        )
        upright = abs(segment.start[0] - segment.end[0]) < SLACK
        level = abs(segment.start[1] - segment.end[1]) < SLACK
        inside = abs(x) < half - SLACK
        seat = _notched_at(layout, segment, middle)
        if seat:
            yield f"notch for the {seat} seat", segment
        elif abs(y) < SLACK and not upright:
            yield "top edge", segment
        elif upright and abs(abs(x) - half) < SLACK:
            yield f"{flank} flank", segment
        elif inside:
            yield "roof of the gap", segment
        elif rounded:
            yield f"foot of the {flank} flank", segment
        elif not isinstance(segment, Line):
            yield f"relief at the {flank} flank", segment
        elif upright:
            near = [name for name, at in ends.items() if abs(x - at) < SLACK]
            yield (near[0] if near else f"outer side of the lobe at the {flank} flank"), segment
        elif chamfered and not level:
            yield f"chamfer of the lobe at the {flank} flank", segment
        elif made.left + middle - SLACK < x < made.right + middle + SLACK:
            yield f"lower edge, {side} side", segment
        else:
            yield f"lower edge of the {side}", segment


def _notched_at(layout: Layout, segment: Segment, middle: float) -> str:
    """Return the seat whose notch a segment belongs to, in the bolt's own frame; nothing for another."""
    cut = notch(layout)
    low, high = sorted((segment.start[1], segment.end[1]))
    if cut is None or high > SLACK or low > -SLACK or low < -cut.foot - SLACK:
        return ""
    x = (segment.start[0] + segment.end[0]) / 2 - middle
    return next((seat for seat, at in places(layout) if abs(x - at) < cut.half_width), "")


def _lies(layout: Layout) -> Motion:
    own = shift(-tooth(layout).throw / 2, layout.lock.bolt_line.height)
    return own.then(hand(layout)).then(to_plate(layout))


_AS_CUT = tuple(f"as_cut.{field.name}" for field in fields(AsCut))
_SHAPED_BY = (
    "key.radius", "key.bit_thickness", "fit.key_clearance", "shackle.engagement", "shackle.gap",
    "tooth.pickup_angle", "bolt_line.height", "bolt.depth", "tooth.roof", "key.shank", "bolt.thickness",
    "bolt.nose_height", "bolt.tail_height", "bolt.lobe_width", "bolt.lobe_chamfer", "unlocks", "shackle.across",
    "shackle.diameter", "rear_guide.from_centreline", "rear_guide.width", "detent.kind", "detent.ramp",
    "detent.half_width", "detent.depth", "spring.tip_across", *_AS_CUT,
)  # fmt: skip
_MEASURABLE = (
    "bolt.depth", "bolt.thickness", "bolt.nose_height", "bolt.tail_height", "bolt.lobe_width",
    "bolt.lobe_chamfer", "fit.key_clearance", "detent.ramp", "detent.half_width", "detent.depth", *_AS_CUT,
)  # fmt: skip

_GROWS = (
    "bolt.lobe_chamfer", "fit.key_clearance", "detent.half_width", "detent.depth", "as_cut.roof",
    *(f"as_cut.{side}_{what}" for side in SIDES for what in ("flank", "foot", "relief")),
)  # fmt: skip

_SUSPECTS = (
    Suspect("fit.key_clearance", "the clearance to which the bolt's relief was filed"),
    Suspect("bolt.depth", "the depth of the bolt, bolt line to lower edge"),
    Suspect(
        "key.bit_thickness", "the bit for which the flanks were filed",
        "the flanks were filed for a bit {off} thicker, half of that on each",
        "the flanks were filed for a bit {off} thinner, half of that on each",
    ),
    Suspect(
        "shackle.gap", "the throw for which the bolt was filed",
        "the bolt's seats and flanks were filed for a throw {off} longer",
        "the bolt's seats and flanks were filed for a throw {off} shorter",
    ),
    Suspect(
        "as_cut.nose", "the length of the nose",
        "the nose is {off} too long", "the nose is {off} too short",
    ),
    *(
        Suspect(
            f"as_cut.{side}_flank", f"the {side} flank",
            f"the {side} flank stands {{off}} too far out", f"the {side} flank stands {{off}} too far in",
        )
        for side in SIDES
    ),
    *(
        Suspect(
            f"as_cut.{side}_foot", f"the foot of the {side} flank",
            f"the foot of the {side} flank is rounded, {{off}} of the flank is lost",
        )
        for side in SIDES
    ),
    Suspect("fit.detent_capture", "the detent's reach"),
)  # fmt: skip

PART = Part(
    "bolt",
    65,
    codes=_CODES,
    drawn=(Drawn("bolt", "bolt"),),
    findings=_findings,
    bounds=_bounds,
    marks=_marks,
    report=_report,
    bench=_bench,
    moving=_moving,
    workpieces=(
        Workpiece(
            "bolt",
            30,
            _SHAPED_BY,
            _bolt,
            measurable=_MEASURABLE,
            grows=_GROWS,
            # whether a scribed roof can stand takes a whole turn of the key to tell
            sketched=(("tooth.roof", "flat"),),
            suspects=_SUSPECTS,
            lies=_lies,
            tried=True,
        ),
    ),
)
