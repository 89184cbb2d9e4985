"""The bolt's exact contour of lines and arcs, at the locked seat in the drive frame."""

import math
from dataclasses import dataclass, replace
from itertools import pairwise

from shapely.geometry.base import BaseGeometry

from core.geometry.motion import shift
from core.geometry.path import Arc, Line, Path, Point, Segment, Turn, joined
from core.geometry.polygons import polygon
from core.layout.frames import hand
from core.layout.layout import Layout, derived
from core.mechanism.lobe import Lobe
from core.mechanism.scribed_roof import SCRAPE, scraped
from core.mechanism.sweep import meeting
from core.mechanism.tooth_numbers import Tooth
from core.parts.notches import notched_edge
from core.parts.tooth import course, lobe, made_for, tooth

TOUCHED = 2e-3
"""How much smaller all round [mm] a bolt is taken that contact leads, so that touching is no overlap."""


@dataclass(frozen=True)
class Bolt:
    """The bolt at the locked seat in the drive frame [mm]; `contour` is closed and clockwise."""

    contour: Path
    left: float
    right: float
    nose_tip: float
    tail_end: float
    roof: str
    roof_problem: str = ""


@derived
def bolt(layout: Layout) -> Bolt:
    """Work out the bolt's contour; a scribed roof that cannot stand is replaced by a flat one.

    A bolt that is taken as it is made lies with its top edge on this lock's bolt line, its seats where they are cut.
    """
    cut_as = made_for(layout)
    if cut_as is not None:
        own, up = bolt(cut_as), tooth(layout).bolt_line - tooth(cut_as).bolt_line
        return replace(own, contour=shift(0.0, up).path(own.contour))
    wanted = layout.lock.tooth.roof
    problem = _scribed_problem(layout) if wanted == "scribed" else ""
    return _bolt_with_roof(layout, "flat" if problem else wanted, problem)


@derived
def bolt_area(layout: Layout) -> BaseGeometry:
    """Return the bolt as an area for checks, at the locked seat in the drive frame."""
    area = polygon(bolt(layout).contour, shrink=True)
    # a bolt that is followed by contact is touched all along its relief, where chords stand for arcs
    return area if made_for(layout) is None else area.buffer(-TOUCHED, join_style="mitre")


@derived
def contour(layout: Layout) -> Path:
    """Return the bolt's contour at the locked seat in the mechanism frame, closed and clockwise."""
    moved = hand(layout).path(bolt(layout).contour)
    return moved.reversed() if hand(layout).mirrors else moved


def body_sides(layout: Layout) -> tuple[float, float]:
    """Return the x [mm] of the outer sides of the two lobes at the locked seat, left and right, in the drive frame."""
    cut, lobe = tooth(layout), layout.lock.bolt.lobe_width
    return -cut.flank - lobe, cut.pickup_offset + lobe


def top_edge(layout: Layout) -> tuple[float, float]:
    """Return the x [mm] of the tip of the nose and of the end of the tail at the locked seat, in the drive frame."""
    lock, (left, right) = layout.lock, body_sides(layout)
    # a leg that would end inside the body is no leg; `nose-too-short` and the guides' checks say so
    tip = min(-nose_face(layout) - lock.shackle.engagement, left)
    return tip, max(lock.rear_guide.from_centreline + lock.rear_guide.width, right)


def nose_face(layout: Layout) -> float:
    """Return the distance [mm] of the shackle's near face from the centreline, on the locking side."""
    shackle = layout.lock.shackle
    side = -shackle.across if layout.lock.unlocks == "right" else shackle.across
    return side - shackle.diameter / 2


def _bolt_with_roof(layout: Layout, roof: str, problem: str) -> Bolt:
    lock, cut = layout.lock, tooth(layout)
    (left, right), (tip, tail) = body_sides(layout), top_edge(layout)
    top = cut.bolt_line
    under_nose, under_tail = top - lock.bolt.nose_height, top - lock.bolt.tail_height
    lower_right = _lower_edge(lobe(layout), (-cut.throw, 0.0), 1)
    lower_left = _lower_edge(lobe(layout), (0.0, 0.0), -1)
    segments: list[Segment] = [
        *notched_edge(layout, tip, tail, top),
        Line((tail, top), (tail, under_tail)),
        Line((tail, under_tail), (right, under_tail)),
        Line((right, under_tail), lower_right[-1].end),
        *(s.reversed() for s in reversed(lower_right)),
        *_roof(cut, roof),
        *lower_left,
        Line(lower_left[-1].end, (left, under_nose)),
        Line((left, under_nose), (tip, under_nose)),
        Line((tip, under_nose), (tip, top)),
    ]
    return Bolt(joined(segments), left, right, tip, tail, roof, problem)


def _lower_edge(beside: Lobe[float], centre: Point, side: int) -> list[Segment]:
    """Return the path from a flank's foot outwards to the lobe's outer side.

    `centre` is the pivot as the bolt sees it from the seat at which the bit comes in past this lobe; both
    flanks stand `flank` from their centre. Down the relief, over the chamfer if there is one, along the lower edge.
    """
    cut, far = beside.tooth, beside.far
    x0 = centre[0]

    def at(distance: float, y: float) -> Point:
        return (x0 + side * distance, y)

    foot = at(cut.flank, cut.flank_foot)
    if not beside.relieved:
        return [Line(foot, at(far, cut.lower_edge))]
    turn: Turn = "cw" if side > 0 else "ccw"
    path: list[Segment] = [Arc((x0, 0.0), cut.relief_radius, foot, at(*beside.relief_end), turn)]
    if far <= beside.meets:
        return path
    if beside.cut > 0:
        path.append(Line(path[-1].end, at(*beside.mark)))
    elif beside.lower < 0:
        path.append(Line(path[-1].end, at(beside.meets, cut.lower_edge)))
    return [*path, Line(path[-1].end, at(far, cut.lower_edge))]


def _roof(cut: Tooth, roof: str) -> list[Segment]:
    """Return the path up the unlocking flank, along the roof and down the locking flank."""
    w0, a, rc = cut.pickup_offset, cut.flank, cut.relief_radius
    right, left = (w0, cut.flank_foot), (-a, cut.flank_foot)
    if roof == "flat":
        corners = (right, (w0, rc), (-a, rc), left)
        return [Line(p, q) for p, q in pairwise(corners)]
    # both arcs bulge upwards: the one about the pivot belongs to the locked seat, where the bit
    # stands under the unlocking flank
    high = math.sqrt(rc * rc - w0 * w0)
    cusp = (-cut.throw / 2, math.sqrt(rc * rc - cut.throw**2 / 4))
    return [
        Line(right, (w0, high)),
        Arc((0.0, 0.0), rc, (w0, high), cusp, "ccw"),
        Arc((-cut.throw, 0.0), rc, cusp, (-a, high), "ccw"),
        Line((-a, high), left),
    ]


def _scribed_problem(layout: Layout) -> str:
    """Return why the scribed roof cannot stand, or nothing."""
    cut, show = tooth(layout), layout.show
    rc = cut.relief_radius
    if not cut.fits or cut.throw / 2 >= rc:
        return "there is no tooth to scribe a roof for"
    cusp = math.sqrt(rc * rc - cut.throw**2 / 4)
    if cusp <= max(cut.lower_edge, cut.flank_foot):
        return f"its cusp, {show(cusp)} above the pivot, would hang below the flanks"
    deep, at = scraped(course(layout))
    if deep > SCRAPE:
        return f"the bit would cut into it at {math.degrees(at):.1f} degrees"
    area = polygon(_bolt_with_roof(layout, "scribed", "").contour, shrink=True)
    met = meeting(course(layout), area, layout.lock.key.shank / 2, moves=True)
    if met is None:
        return ""
    return f"the bit would cut into it at {math.degrees(met.at):.1f} degrees"
