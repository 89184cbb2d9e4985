"""The bolt's exact contour of lines and arcs, at the locked seat in the drive frame."""

import math
from dataclasses import dataclass, replace
from itertools import pairwise

from shapely.geometry.base import BaseGeometry

from core.geometry.motion import MIRROR, shift
from core.geometry.path import Arc, Line, Path, Segment, joined
from core.geometry.polygons import polygon
from core.layout.frames import hand
from core.layout.layout import Layout, derived
from core.lock.lock import Lock
from core.lock.stops import PLANNED
from core.mechanism.scribed_roof import SCRAPE, scraped
from core.mechanism.sweep import meeting
from core.parts.bolt_lies import lies
from core.parts.notches import notched_edge
from core.parts.tooth import ahead_by, course, gap_edges, made_for, tooth

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
    One that its guides have tilted is seen square to itself; `lies_at` tells where it lies.
    """
    cut_as = made_for(layout)
    if cut_as is not None:
        own, up = bolt(cut_as), tooth(layout).bolt_line - tooth(cut_as).bolt_line
        return replace(own, contour=shift(ahead_by(layout), up).path(own.contour))
    wanted = layout.lock.tooth.roof
    problem = _scribed_problem(layout) if wanted == "scribed" else ""
    return _bolt_with_roof(layout, "flat" if problem else wanted, problem)


def lies_at(layout: Layout, travel: float = 0.0) -> Path:
    """Return the bolt's contour where it lies after so much travel [mm], in the drive frame, closed and clockwise."""
    return shift(travel, 0.0).then(lies(layout).motion).path(bolt(layout).contour)


@derived
def bolt_area(layout: Layout) -> BaseGeometry:
    """Return the bolt as an area for checks, at the locked seat in the drive frame."""
    area = polygon(bolt(layout).contour, shrink=True)
    # a bolt that is followed by contact is touched all along its relief, where chords stand for arcs
    return area if made_for(layout) is None else area.buffer(-TOUCHED, join_style="mitre")


@derived
def contour(layout: Layout) -> Path:
    """Return the bolt's contour at the locked seat in the mechanism frame, closed and clockwise."""
    moved = hand(layout).path(lies_at(layout))
    return moved.reversed() if hand(layout).mirrors else moved


def body_sides(layout: Layout) -> tuple[float, float]:
    """Return the x [mm] of the outer sides of the two lobes at the locked seat, left and right, in the drive frame."""
    cut, lobe, off = tooth(layout), layout.lock.bolt.lobe_width, layout.lock.as_cut
    return -cut.flank - lobe - off.locking_lobe, cut.pickup_offset + lobe + off.unlocking_lobe


def top_edge(layout: Layout) -> tuple[float, float]:
    """Return the x [mm] of the tip of the nose and of the end of the tail at the locked seat, in the drive frame."""
    lock, (left, right), off = layout.lock, body_sides(layout), layout.lock.as_cut
    # a leg that would end inside the body is no leg; `nose-too-short` and the guides' checks say so
    tip = min(-nose_face(layout) - lock.shackle.engagement - off.nose, left)
    return tip, max(lock.rear_guide.from_centreline + lock.rear_guide.width + off.tail, right)


def nose_face(layout: Layout) -> float:
    """Return the distance [mm] of the shackle's near face from the centreline, on the locking side."""
    shackle = layout.lock.shackle
    side = -shackle.across if layout.lock.unlocks == "right" else shackle.across
    return side - shackle.diameter / 2


def notch_depth(lock: Lock) -> float:
    """Return how deep [mm] a notch in the shackle is cut: as far as the nose may go into it.

    Where its bottom is to stop the bolt, the over-travel deeper than the nose goes in at the seat; where something
    else is, a slide clearance deeper still, so that the nose does not strike it first.
    """
    stops, deep = lock.stops, lock.shackle.engagement
    if stops.locked == "shackle":
        return deep + stops.locked_over
    if stops.locked in PLANNED:
        return deep + max(stops.locked_over, 0.0) + lock.fit.slide_clearance
    return deep


def _bolt_with_roof(layout: Layout, roof: str, problem: str) -> Bolt:
    lock, cut = layout.lock, tooth(layout)
    (left, right), (tip, tail) = body_sides(layout), top_edge(layout)
    top = cut.bolt_line
    under_nose, under_tail = top - lock.bolt.nose_height, top - lock.bolt.tail_height
    sides = gap_edges(layout)
    there = shift(-cut.throw, 0.0)
    lower_right = [there.segment(s) for s in sides["unlocking"].outwards()]
    lower_left = [MIRROR.segment(s) for s in sides["locking"].outwards()]
    segments: list[Segment] = [
        *notched_edge(layout, tip, tail, top),
        Line((tail, top), (tail, under_tail)),
        Line((tail, under_tail), (right, under_tail)),
        Line((right, under_tail), lower_right[-1].end),
        *(s.reversed() for s in reversed(lower_right)),
        *_roof(layout, roof),
        *lower_left,
        Line(lower_left[-1].end, (left, under_nose)),
        Line((left, under_nose), (tip, under_nose)),
        Line((tip, under_nose), (tip, top)),
    ]
    return Bolt(joined(segments), left, right, tip, tail, roof, problem)


def _roof(layout: Layout, roof: str) -> list[Segment]:
    """Return the path up the unlocking flank, along the roof and down the locking flank."""
    cut, sides = tooth(layout), gap_edges(layout)
    x0, x1 = sides["unlocking"].flank - cut.throw, -sides["locking"].flank
    rc, up = cut.relief_radius, layout.lock.as_cut.roof
    right, left = (x0, sides["unlocking"].top), (x1, sides["locking"].top)
    if roof == "flat":
        corners = (right, (x0, rc + up), (x1, rc + up), left)
        return [Line(p, q) for p, q in pairwise(corners)]
    # both arcs bulge upwards: the one about the pivot belongs to the locked seat, where the bit
    # stands under the unlocking flank
    highs = [math.sqrt(rc * rc - far**2) + up for far in (x0, x1 + cut.throw)]
    cusp = (-cut.throw / 2, math.sqrt(rc * rc - cut.throw**2 / 4) + up)
    return [
        Line(right, (x0, highs[0])),
        Arc((0.0, up), rc, (x0, highs[0]), cusp, "ccw"),
        Arc((-cut.throw, up), rc, cusp, (x1, highs[1]), "ccw"),
        Line((x1, highs[1]), left),
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
