"""The turn check: the key turned right round both ways against all that it could foul."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from core.geometry.path import Point
from core.geometry.polygons import distance_from
from core.layout.layout import Layout, derived
from core.mechanism.law import STROKES, Stroke, phases, side
from core.mechanism.maths import Array
from core.mechanism.sweep import STEP, Meeting, full_turn, least_gap, meeting
from core.parts.bolt_contour import bolt, bolt_area
from core.parts.tooth import course, made_for, tooth
from core.whole import assembly

NEAR = 1e-9
"""Distance [mm] within which two places are one."""


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
    return TurnCheck(fouls(layout), *_least_gap(layout, STEP))


@derived
def fouls(layout: Layout) -> tuple[Foul, ...]:
    """Return what the turn check finds to foul, which takes a third of what it takes to find the least gap too."""
    return _fouls(layout, STEP)


def check_turn(layout: Layout, step: float) -> TurnCheck:
    """Do the turn check in steps of `step` [rad]; halving the step moves no verdict."""
    return TurnCheck(_fouls(layout, step), *_least_gap(layout, step))


def _fouls(layout: Layout, step: float) -> tuple[Foul, ...]:
    shank = layout.lock.key.shank / 2
    found = [
        *_foul("bolt", meeting(course(layout), bolt_area(layout), shank, moves=True, step=step))
    ]
    for name, area in assembly.standing(layout).items():
        if _away(area) < tooth(layout).radius:
            found += _foul(name, meeting(course(layout), area, shank, moves=False, step=step))
    return tuple(found)


def _least_gap(layout: Layout, step: float) -> tuple[float, float, str]:
    """Return the least gap [mm] of the bit to anything, where [rad], and the part's name."""
    gap, at, nearest = _bolt_gap(layout, step)
    for name, area in assembly.standing(layout).items():
        clear = max(_away(area) - tooth(layout).radius, 0.0)
        if clear < gap:
            gap, at, nearest = clear, _direction(area), name
    return gap, at, nearest


def _away(area: BaseGeometry) -> float:
    """Return how far [mm] from the pivot `area` is.

    The tip passes every direction, so what stands still is as near to it as to the circle.
    """
    return distance_from((0.0, 0.0), area)


@derived
def fouls_by_stroke(layout: Layout) -> dict[Stroke, tuple[Foul, ...]]:
    """Return for each stroke by itself what the turn check found to foul, the first to be met first."""
    way, shank = course(layout), layout.lock.key.shank / 2
    found: dict[Stroke, tuple[Foul, ...]] = {}
    for stroke in STROKES:
        met: list[Foul] = []
        for name in dict.fromkeys(foul.part for foul in fouls(layout)):
            moves = name == "bolt"
            area = bolt_area(layout) if moves else assembly.standing(layout)[name]
            met += _foul(name, meeting(way, area, shank, moves=moves, strokes=(stroke,)))
        back = stroke == "locking"
        found[stroke] = tuple(sorted(met, key=lambda foul: foul.first, reverse=back))
    return found


def _foul(name: str, met: Meeting | None) -> Iterable[Foul]:
    if met is not None:
        yield Foul(name, met.overlap, met.at, met.stroke, met.first)


def _direction(area: BaseGeometry) -> float:
    """Return the key angle [rad] that points at the nearest place of `area`."""
    nearest = shapely.get_coordinates(shapely.shortest_line(shapely.Point(0.0, 0.0), area))[-1]
    return math.atan2(nearest[0], nearest[1])


def _bolt_gap(layout: Layout, step: float) -> tuple[float, float, str]:
    """Return the least gap [mm] of the bit to the bolt outside the contact, where [rad], and the part's name."""
    cut = tooth(layout)
    angles = full_turn(step)
    best, at = math.inf, 0.0
    for stroke in STROKES:
        shift = course(layout).travel(angles, stroke)
        found = []
        for edge, counts in edges_that_count(layout, angles, stroke):
            places = np.flatnonzero(counts)
            least = least_gap(cut, edge, angles[places], shift[places])
            if least is not None:
                found.append((least[0], int(places[least[1]])))
        if found and min(found)[0] < best:
            best, at = min(found)[0], float(angles[min(found)[1]])
    return (best, at, "bolt") if cut.fits else (0.0, 0.0, "bolt")


def edges_that_count(
    layout: Layout, angles: Array, stroke: Stroke
) -> Iterable[tuple[BaseGeometry, NDArray[np.bool_]]]:
    """Yield each stretch of the bolt's edge with the `angles` [rad], shape (n,), at which it is no contact.

    The edge as lines, at the locked seat in the drive frame. What drives, pushes on or holds back the bolt is
    contact: the flank that this stroke drives, all the way; the underside of the lobe beside it until the detent
    has the bolt; and after the release of a bolt that is held back the other flank with its lobe.
    """
    way, edges = course(layout).seen(stroke), _edges(layout)
    ahead, behind = (
        (edges.right, edges.left) if stroke == "unlocking" else (edges.left, edges.right)
    )
    along = side(stroke) * angles
    every = np.ones(len(angles), dtype=bool)
    gone = phases(way.tooth, along).let_go | way.runs_ahead(along)
    held = gone & way.holds_back
    told = (
        (edges.rest, every), (ahead.under, along >= way.caught_angle),
        (behind.flank, ~held), (behind.under, ~held),
    )  # fmt: skip
    return ((edge, counts) for edge, counts in told if not edge.is_empty)


@dataclass(frozen=True)
class _Side:
    """A flank of the bolt, and the underside of the lobe beside it from the flank's foot on, as lines."""

    flank: BaseGeometry
    under: BaseGeometry


@dataclass(frozen=True)
class _Edges:
    """The bolt's edge at the locked seat in the drive frame: the unlocking flank is `right`."""

    left: _Side
    right: _Side
    rest: BaseGeometry


@derived
def _edges(layout: Layout) -> _Edges:
    cut = tooth(layout)
    rest: list[shapely.LineString] = []
    lines: dict[tuple[float, str], list[shapely.LineString]] = {}
    for segment in bolt(layout).contour.segments:
        points = [tuple(p) for p in segment.points(1e-5)] + [segment.end]
        at = _place(layout, segment.start, segment.end)
        (rest if at is None else lines.setdefault(at, [])).append(shapely.LineString(points))
    left, right = (
        _Side(*(shapely.MultiLineString(lines.get((x, what), [])) for what in ("flank", "under")))
        for x in (-cut.flank, cut.pickup_offset)
    )
    return _Edges(left, right, shapely.MultiLineString(rest))


def _place(layout: Layout, start: Point, end: Point) -> tuple[float, str] | None:
    """Return by its x the flank that a segment belongs to: as the "flank" itself, or "under" the lobe beside it."""
    cut, off = tooth(layout), (made_for(layout) or layout).lock.as_cut
    width = layout.lock.bolt.lobe_width + max(off.unlocking_lobe, off.locking_lobe, 0.0)
    upright = abs(start[0] - end[0]) < NEAR
    for x, outwards in ((-cut.flank, -1), (cut.pickup_offset, 1)):
        out = [outwards * (p[0] - x) for p in (start, end)]
        if upright and max(map(abs, out)) < NEAR and max(start[1], end[1]) > cut.flank_foot + NEAR:
            return x, "flank"
        beside = min(out) > -NEAR and max(out) < width + NEAR
        if beside and not upright and max(start[1], end[1]) < cut.flank_foot + NEAR:
            return x, "under"
    return None
