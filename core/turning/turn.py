"""The turn check: the key turned right round both ways against all that it could foul."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from core.geometry.polygons import distance_from
from core.layout.layout import Layout, derived
from core.mechanism.law import STROKES, Stroke, phases, side
from core.mechanism.maths import Array
from core.mechanism.sweep import STEP, Meeting, full_turn, gaps, meeting
from core.mechanism.tooth_numbers import Tooth
from core.parts.bolt_contour import bolt, bolt_area
from core.parts.tooth import tooth
from core.whole import assembly


@dataclass(frozen=True)
class Foul:
    """Something that the bit or shank cuts into: overlap [mm2], angles [rad] of the worst and the first."""

    part: str
    overlap: float
    at: float
    stroke: Stroke
    first: float


@dataclass(frozen=True)
class TurnCheck:
    """What a whole turn both ways met; `least_gap` [mm] leaves out the contact that drives."""

    fouls: tuple[Foul, ...]
    least_gap: float
    least_gap_at: float
    least_gap_part: str

    @property
    def worst(self) -> Foul | None:
        """The largest overlap."""
        return max(self.fouls, key=lambda foul: foul.overlap, default=None)


@derived
def turn_check(layout: Layout) -> TurnCheck:
    """Turn the key both ways against the bolt and all that stands still."""
    return check_turn(layout, STEP)


def check_turn(layout: Layout, step: float) -> TurnCheck:
    """Do the turn check in steps of `step` [rad]; halving the step moves no verdict."""
    cut, shank = tooth(layout), layout.lock.key.shank / 2
    fouls: list[Foul] = []
    met = meeting(cut, bolt_area(layout), shank, moves=True, step=step)
    fouls += _foul("bolt", met)
    gap, at, nearest = _bolt_gap(layout, step)
    for name, area in assembly.standing(layout).items():
        # the tip passes every direction, so what stands still is as near to it as to the circle
        away = distance_from((0.0, 0.0), area)
        if away < cut.radius:
            fouls += _foul(name, meeting(cut, area, shank, moves=False, step=step))
        clear = max(away - cut.radius, 0.0)
        if clear < gap:
            gap, at, nearest = clear, _direction(area), name
    return TurnCheck(tuple(fouls), gap, at, nearest)


@derived
def fouls_by_stroke(layout: Layout) -> dict[Stroke, tuple[Foul, ...]]:
    """Return for each stroke by itself what the turn check found to foul, the first to be met first."""
    cut, shank = tooth(layout), layout.lock.key.shank / 2
    found: dict[Stroke, tuple[Foul, ...]] = {}
    for stroke in STROKES:
        fouls: list[Foul] = []
        for name in dict.fromkeys(foul.part for foul in turn_check(layout).fouls):
            moves = name == "bolt"
            area = bolt_area(layout) if moves else assembly.standing(layout)[name]
            fouls += _foul(name, meeting(cut, area, shank, moves=moves, strokes=(stroke,)))
        back = stroke == "locking"
        found[stroke] = tuple(sorted(fouls, key=lambda foul: foul.first, reverse=back))
    return found


def _foul(name: str, met: Meeting | None) -> Iterable[Foul]:
    if met is not None:
        yield Foul(name, met.overlap, met.at, met.stroke, met.first)


def _direction(area: BaseGeometry) -> float:
    """Return the key angle [rad] that points at the nearest place of `area`."""
    nearest = shapely.get_coordinates(shapely.shortest_line(shapely.Point(0.0, 0.0), area))[-1]
    return math.atan2(nearest[0], nearest[1])


def _bolt_gap(layout: Layout, step: float) -> tuple[float, float, str]:
    """Return the least gap [mm] of the bit to the bolt, where [rad], and the part's name."""
    cut = tooth(layout)
    angles = full_turn(step)
    best, at = math.inf, 0.0
    for stroke in STROKES:
        clear = clearances(layout, angles, stroke)
        least = int(np.argmin(clear))
        if clear[least] < best:
            best, at = float(clear[least]), float(angles[least])
    return (best, at, "bolt") if cut.fits else (0.0, 0.0, "bolt")


def clearances(layout: Layout, angles: Array, stroke: Stroke) -> Array:
    """Return the gap [mm] between bit and bolt at `angles` [rad], shape (n,), outside the contact.

    The flank that this stroke drives is the contact and does not count; nor, until the key has let go,
    does the relief that runs up to that flank's foot.
    """
    cut = tooth(layout)
    relief, rest = edges_outside_contact(layout)[stroke]
    clear = gaps(cut, rest, angles, stroke, moves=True)
    gone = phases(cut, side(stroke) * angles).let_go
    if gone.any() and not relief.is_empty:
        clear[gone] = np.minimum(clear[gone], gaps(cut, relief, angles[gone], stroke, moves=True))
    return clear


@derived
def edges_outside_contact(layout: Layout) -> dict[Stroke, tuple[BaseGeometry, BaseGeometry]]:
    """Return the bolt's edge less the flank that each stroke drives, as lines at the locked seat, drive frame.

    In two: the relief at that flank's foot, and all the rest.
    """
    return {stroke: _edges_outside_contact(layout, stroke) for stroke in STROKES}


def _edges_outside_contact(layout: Layout, stroke: Stroke) -> tuple[BaseGeometry, BaseGeometry]:
    cut = tooth(layout)
    x = cut.pickup_offset if stroke == "unlocking" else -cut.flank
    relief, rest = [], []
    for segment in bolt(layout).contour.segments:
        points = [tuple(p) for p in segment.points(1e-5)] + [segment.end]
        line = shapely.LineString(points)
        ends = (segment.start, segment.end)
        upright = all(abs(px - x) < 1e-9 and py <= cut.relief_radius + 1e-9 for px, py in ends)
        at_foot = any(_is_foot(cut, x, p) for p in ends)
        if upright and at_foot:
            continue
        if at_foot and _outside(x, ends, cut):
            relief.append(line)
        else:
            rest.append(line)
    return shapely.MultiLineString(relief), shapely.MultiLineString(rest)


def _is_foot(cut: Tooth, x: float, point: tuple[float, float]) -> bool:
    return abs(point[0] - x) < 1e-9 and abs(point[1] - cut.flank_foot) < 1e-9


def _outside(x: float, ends: tuple[tuple[float, float], ...], cut: Tooth) -> bool:
    """Say whether a segment that begins at the foot leads away from the gap, along the lobe."""
    middle = -cut.throw / 2
    return all(abs(px - middle) >= abs(x - middle) - 1e-9 for px, _ in ends)
