"""The bolt as a part: the checks on its own sizes, its drawing, and the workpiece.

The workpiece's frame lies on the bolt line in the middle of the gap; it is seen in the drive frame, so that, turned
over, the bolt of the other hand is the same bolt.
"""

from collections.abc import Iterable

from core.geometry.motion import shift
from core.geometry.path import Line, Path, Segment
from core.layout.drawing import Mark, Measure, Stroke
from core.layout.findings import Finding
from core.layout.frames import hand
from core.layout.layout import Layout
from core.layout.part import Drawn, Part
from core.layout.windows import Bound
from core.layout.workpiece import Shape, Size, Workpiece
from core.mechanism.tooth_numbers import SLACK
from core.parts.bolt_contour import bolt, nose_face
from core.parts.tooth import lobe, tooth


def _findings(layout: Layout) -> Iterable[Finding]:
    lock, cut, made, show = layout.lock, tooth(layout), bolt(layout), layout.show
    if made.roof_problem:
        yield Finding(
            "roof-flat", "look", "tooth",
            f"The roof cannot be scribed: {made.roof_problem}. It is drawn flat instead.",
        )  # fmt: skip
    shallow = cut.bolt_line - cut.relief_foot
    if cut.fits and lock.bolt.depth < shallow - SLACK:
        yield Finding(
            "bolt-shallow", "look", "bolt",
            f"The bolt is {show(lock.bolt.depth)} deep; below {show(shallow)} its lower edge, not the "
            f"relief, lets the key go, and {show(cut.home_travel)} is left to the detent.",
            lock.bolt.depth, shallow,
        )  # fmt: skip
    deep = _greatest_depth(layout)
    if lock.bolt.depth > deep + SLACK:
        yield Finding(
            "bolt-at-shank", "stop", "bolt",
            f"A bolt {show(lock.bolt.depth)} deep comes down to the key's shank; {show(deep)} leaves it clear.",
            lock.bolt.depth, deep,
        )  # fmt: skip
    most, asked = lobe(layout).greatest_chamfer, lock.bolt.lobe_chamfer
    if asked > most + SLACK:
        text = f"A lobe chamfer of {show(asked)} takes the flank's foot or the lobe's side; {show(most)} is the most."
        if most <= 0:
            text = "The lobes have no corner to chamfer: their relief does not run out into the lower edge."
        yield Finding("chamfer-large", "look", "bolt", f"{text} It is cut so.", asked, most)
    for name, leg in (("nose", lock.bolt.nose_height), ("tail", lock.bolt.tail_height)):
        if leg > lock.bolt.depth + SLACK:
            yield Finding(
                f"{name}-taller-than-bolt", "look", "bolt",
                f"The {name}, {show(leg)} high, is taller than the body of the bolt, {show(lock.bolt.depth)}.",
                leg, lock.bolt.depth,
            )  # fmt: skip
    reach = nose_face(layout) + lock.shackle.engagement + made.left
    if reach < 0:
        yield Finding(
            "nose-too-short", "stop", "shackle",
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
        "the relief at the flanks' foot", "bolt-shallow",
    )  # fmt: skip
    if lobe(layout).cornered:
        yield Bound(
            "bolt.lobe_chamfer", "high", lobe(layout).greatest_chamfer,
            "the flank's foot and the lobe's side", "chamfer-large",
        )  # fmt: skip
    yield Bound("bolt.depth", "high", _greatest_depth(layout), "the key's shank", "bolt-at-shank")


def _marks(layout: Layout) -> Iterable[Mark]:
    lock, here, cut = layout.lock, hand(layout), tooth(layout)
    locked = bolt(layout).contour
    away = shift(cut.throw, 0.0).path(locked)
    yield Stroke(here.path(locked), "cut", "bolt")
    yield Stroke(here.path(away), "cut", "bolt", ghost=True)
    low, side = cut.lower_edge, bolt(layout).right
    yield Measure(
        here.point((side, cut.bolt_line)), here.point((side, low)),
        layout.show(lock.bolt.depth), "bolt.depth", "bolt",
    )  # fmt: skip


def _bolt(layout: Layout) -> Shape:
    made, cut = bolt(layout), tooth(layout)
    body = shift(cut.throw / 2, -cut.bolt_line).path(made.contour)
    half = cut.gap_width / 2
    thickness = Size("thickness", layout.lock.bolt.thickness)
    return Shape(
        body, sizes=(thickness,), edges=tuple(_bolt_edges(layout, body)), references=(half, -half)
    )


def _bolt_edges(layout: Layout, body: Path) -> Iterable[tuple[str, Segment]]:
    """Name every segment of the bolt's outline, in its own frame."""
    cut, made = tooth(layout), bolt(layout)
    half, middle = cut.gap_width / 2, cut.throw / 2
    chamfered = lobe(layout).cut > 0
    ends = {"tip of the nose": made.nose_tip + middle, "end of the tail": made.tail_end + middle}
    for segment in body.segments:
        x = (segment.start[0] + segment.end[0]) / 2
        y = (segment.start[1] + segment.end[1]) / 2
        side = "tail" if x > 0 else "nose"
        flank = "unlocking" if x > 0 else "locking"
        upright = abs(segment.start[0] - segment.end[0]) < SLACK
        level = abs(segment.start[1] - segment.end[1]) < SLACK
        inside = abs(x) < half - SLACK
        if abs(y) < SLACK and not upright:
            yield "top edge", segment
        elif upright and abs(abs(x) - half) < SLACK:
            yield f"{flank} flank", segment
        elif inside:
            yield "roof of the gap", segment
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


_SHAPED_BY = (
    "key.radius", "key.bit_thickness", "fit.key_clearance", "shackle.engagement", "shackle.gap",
    "tooth.pickup_angle", "bolt_line.height", "bolt.depth", "tooth.roof", "key.shank", "bolt.thickness",
    "bolt.nose_height", "bolt.tail_height", "bolt.lobe_width", "bolt.lobe_chamfer", "unlocks", "shackle.across",
    "shackle.diameter", "rear_guide.from_centreline", "rear_guide.width",
)  # fmt: skip
_MEASURABLE = (
    "bolt.depth", "bolt.thickness", "bolt.nose_height", "bolt.tail_height", "bolt.lobe_width",
    "bolt.lobe_chamfer", "fit.key_clearance",
)  # fmt: skip

PART = Part(
    "bolt",
    65,
    drawn=(Drawn("bolt", "bolt"),),
    findings=_findings,
    bounds=_bounds,
    marks=_marks,
    workpieces=(
        Workpiece(
            "bolt",
            30,
            _SHAPED_BY,
            _bolt,
            measurable=_MEASURABLE,
            # whether a scribed roof can stand takes a whole turn of the key to tell
            sketched=(("tooth.roof", "flat"),),
        ),
    ),
)
