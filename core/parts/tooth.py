"""The tooth as a part of the lock: its numbers from the lock's values."""

import math
from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache

import numpy as np

from core.layout.layout import Layout, derived
from core.lock.bit import Bit
from core.lock.sections import Key
from core.mechanism.after_release import Course
from core.mechanism.bit_shape import BitShape
from core.mechanism.corner import carries
from core.mechanism.gap_contact import GapSides, Way, followed
from core.mechanism.law import STROKES, Stroke, side
from core.mechanism.lobe import Lobe
from core.mechanism.tooth_numbers import Tooth, tooth_from
from core.parts.bolt_lies import lies
from core.parts.cut_sides import CutSide, Side, as_rows, cut_sides
from core.parts.made_bolt import MadeCourse, MadeLobe, corners_of, made_tooth, seen_by
from core.parts.notches import reach, snaps

UNDRAWN = -1.0
"""A reach of the detent [mm] that draws nothing."""


@derived
def tooth(layout: Layout) -> Tooth:
    """Work out the tooth from key, throw, bolt line and clearance; of a bolt that is made, as it was cut."""
    lock = layout.lock
    if made_for(layout) is not None:
        return tooth_seen(layout, "unlocking")
    return tooth_at(layout, lock.bolt_line.height, lock.tooth.pickup_angle)


def tooth_seen(layout: Layout, stroke: Stroke) -> Tooth:
    """Return the tooth as a stroke sees it: both alike, but for a bolt that is followed by contact."""
    return tooth(layout) if made_for(layout) is None else _made_teeth(layout)[stroke]


def lesser_tooth(layout: Layout) -> Tooth:
    """Return the tooth as the stroke sees it in which the key drives less far: unlocking, where both are alike."""
    seen = (tooth_seen(layout, stroke) for stroke in STROKES)
    return min(seen, key=lambda cut: cut.driven_travel)


@derived
def _made_teeth(layout: Layout) -> Mapping[Stroke, Tooth]:
    lock, cut_as = layout.lock, made_for(layout)
    if cut_as is None:
        raise AssertionError("a bolt that is cut as wanted has one tooth")
    own, bit = _worse(tooth(cut_as), gap_edges(cut_as)), bit_shape(layout)
    line, here = lock.bolt_line.height, lies(layout)
    return {
        stroke: made_tooth(
            own,
            shape=seen_by(bit, stroke),
            clearance=lock.fit.key_clearance,
            bolt_line=here.above(line),
            ahead=side(stroke) * here.ahead(line),
        )
        for stroke in STROKES
    }


@derived
def bit_shape(layout: Layout) -> BitShape:
    """Return the bit as it is, as unlocking sees it."""
    return bit_filed(layout.lock.key, layout.lock.bit)


def bit_filed(key: Key, off: Bit) -> BitShape:
    """Return the bit of a key, with what the file left of it otherwise than planned."""
    even = BitShape.even(key.radius, key.bit_thickness / 2)
    return even.moved(off.off_centre).with_corners(off.corners)


def _worse(cut: Tooth, sides: Mapping[Side, CutSide]) -> Tooth:
    """Return the tooth of the side that a key carries less far, as it was cut."""
    if all(side.tooth is cut and side.radius == 0 for side in sides.values()):
        return cut
    least = min(
        sides.values(), key=lambda side: carries(cut.radius, side.tooth.pickup_offset, side.top)
    )
    return replace(least.tooth, flank_foot=least.top)


@derived
def made_for(layout: Layout) -> Layout | None:
    """Return the layout that the bolt was cut to, where it is taken as it is made; None where it is cut to this one."""
    return None if layout.bolt_as is None else Layout(layout.bolt_as)


@derived
def lobe(layout: Layout) -> Lobe[float]:
    """Return the lobe beside a flank; both are alike."""
    cut_as, sizes = made_for(layout), layout.lock.bolt
    if cut_as is not None:
        own = lobe(cut_as)
        ways = [_way(layout, UNDRAWN, stroke) for stroke in STROKES]
        # what is told of one lobe is told of the worse
        worse = min(ways, key=lambda way: float(way.travel[-1]))
        return MadeLobe(tooth(layout), own.width, own.chamfer, own, worse)
    return Lobe(tooth(layout), sizes.lobe_width, sizes.lobe_chamfer)


@derived
def course(layout: Layout) -> Course:
    """Return the bolt's way through a whole turn of the key."""
    capture = reach(layout)
    if made_for(layout) is not None:
        ways = {stroke: _way(layout, capture, stroke) for stroke in STROKES}
        teeth = {stroke: tooth_seen(layout, stroke) for stroke in STROKES}
        return MadeCourse(tooth(layout), lobe(layout), capture, ways=ways, teeth=teeth)
    return Course(tooth(layout), lobe(layout), capture, snaps(layout))


def _way(layout: Layout, capture: float, stroke: Stroke) -> Way:
    """Return the way of a made bolt by contact, drawn to its seats by a detent of that reach [mm]."""
    cut, sides = tooth_seen(layout, stroke), gap_sides(layout)
    if stroke == "locking":
        sides = sides.mirrored(cut.throw)
    return followed(sides, cut.bit_shape, cut.throw, capture, corners_of(cut))


@derived
def gap_edges(layout: Layout) -> Mapping[Side, CutSide]:
    """Return both sides of the gap as they are cut, of a bolt that is made as it was cut."""
    cut_as, lock = made_for(layout), layout.lock
    if cut_as is not None:
        return gap_edges(cut_as)
    return cut_sides(tooth(layout), lock.bolt.lobe_width, lock.bolt.lobe_chamfer, lock.as_cut)


@derived
def gap_sides(layout: Layout) -> GapSides:
    """Return the gap of the bolt as it is cut, at the locked seat in the drive frame."""
    cut, own = tooth(layout), made_for(layout) or layout
    up, ahead = cut.bolt_line - tooth(own).bolt_line, ahead_by(layout)
    left, right = (
        as_rows(gap_edges(own)[one].edge(), one, cut.throw, up) + np.array([ahead, 0.0])
        for one in ("locking", "unlocking")
    )
    roof = tooth(own).relief_radius + own.lock.as_cut.roof + up
    return GapSides(
        np.vstack([left, [left[-1, 0], roof]]), np.vstack([right, [right[-1, 0], roof]]), roof
    )


def ahead_by(layout: Layout) -> float:
    """Return how much farther to +x [mm] a bolt that its guides have tilted is seen square to itself."""
    return lies(layout).ahead(layout.lock.bolt_line.height)


def tooth_at(layout: Layout, bolt_line: float, pickup_angle: float) -> Tooth:
    """Return the tooth that the lock would have at another bolt line [mm] or pick-up angle [degrees]."""
    lock = layout.lock
    throw, early = lock.shackle.engagement + lock.shackle.gap, math.radians(pickup_angle)
    sizes = lock.key.radius, lock.key.bit_thickness, lock.fit.key_clearance, throw, early
    return _tooth_of(*sizes, bolt_line, lock.bolt.depth)


@lru_cache(maxsize=512, typed=True)
def _tooth_of(*sizes: float) -> Tooth:
    """Return the tooth of `sizes` in the order below: most of what is tried leaves it as it is."""
    radius, bit, clearance, throw, pickup_angle, bolt_line, depth = sizes
    return tooth_from(
        radius=radius, bit=bit, clearance=clearance, throw=throw, pickup_angle=pickup_angle, bolt_line=bolt_line,
        depth=depth,
    )  # fmt: skip
