"""The pivot: where the key turns, carried over to the other plate, with the centreline through it."""

import math
from collections.abc import Iterable, Mapping
from typing import Any

import numpy as np

from core.geometry.path import Points, circle, polyline
from core.geometry.secant import zero_near
from core.layout.codes import Code
from core.layout.drawing import Label, Mark, Measure, Stroke
from core.layout.findings import Finding
from core.layout.frames import to_mechanism
from core.layout.layout import Layout, derived
from core.layout.outcomes import Outcome
from core.layout.part import BenchTable, Drawn, Part, Spot
from core.layout.windows import Bound
from core.layout.workpiece import Cut, Feature, Suspect
from core.mechanism.maths import distinct
from core.mechanism.tooth_numbers import SLACK
from core.parts.bolt_contour import bolt
from core.parts.bolt_line import SPRING_ROOM
from core.parts.inner_wall import UP, wall_from
from core.parts.key import KEY_HITS_WALL
from core.parts.plate import (
    plate_area,
    plate_outline,
    wall_distance,
    wall_distance_at,
)
from core.parts.tooth import tooth
from core.units import show_lean

PIVOT_OUTSIDE = Code(
    "pivot-outside", "stop", "pivot",
    "The hole that the key turns in would lie in the rim or off the plate.",
)  # fmt: skip
PIVOT_HOLE_SMALL = Code(
    "pivot-hole-small", "stop", "pivot",
    "The shank turns in this hole, and cannot if the hole is the thinner of the two.",
)  # fmt: skip
FOOT_MISS = Code(
    "foot-miss", "note", "centreline",
    "The scribed centreline runs past the plate's lowest point, so the lock looks a little askew; nothing binds.",
)  # fmt: skip
LOOKS = 150
"""Places along the centreline's line at which the key's circle is first tried."""


@derived
def lean(layout: Layout) -> float:
    """Return the lean of the centreline [degrees], clockwise positive: atan2(-across, below)."""
    pivot = layout.lock.pivot
    return math.degrees(math.atan2(-pivot.across, pivot.below)) + 0.0


@derived
def foot_miss(layout: Layout) -> float:
    """Return how far [mm] the plate's lowest point lies from the centreline, right positive."""
    return to_mechanism(layout).point(plate_outline(layout).lowest)[0]


def _findings(layout: Layout) -> Iterable[Finding]:
    lock, show = layout.lock, layout.show
    if wall_distance(layout) < 0:
        yield PIVOT_OUTSIDE.found(
            f"The pivot lies outside the inner wall, by {show(-wall_distance(layout))}.",
            wall_distance(layout), 0.0,
        )  # fmt: skip
    if lock.pivot.hole < lock.key.shank - SLACK:
        yield PIVOT_HOLE_SMALL.found(
            f"A shank of {show(lock.key.shank)} does not enter a hole of {show(lock.pivot.hole)}.",
            lock.pivot.hole, lock.key.shank,
        )  # fmt: skip
    if abs(foot_miss(layout)) > 0.5:
        side = "right" if foot_miss(layout) > 0 else "left"
        yield FOOT_MISS.found(
            f"The centreline passes the plate's lowest point: that lies {show(abs(foot_miss(layout)))} "
            f"to its {side}.",
            foot_miss(layout), 0.0,
        )  # fmt: skip


def _bounds(layout: Layout) -> Iterable[Bound]:
    return (bound for path in (_WIDE, _BELOW) for bound in _of_path(layout, path))


def _of_path(layout: Layout, path: str) -> Iterable[Bound]:
    if path == _WIDE:
        yield Bound(path, "low", layout.lock.key.shank, "the shank", PIVOT_HOLE_SMALL)
    if path != _BELOW:
        return
    circle_low, circle_high = _circle_window(layout)
    yield Bound(path, "low", circle_low, "the key's circle at the inner wall", KEY_HITS_WALL)
    yield Bound(path, "high", circle_high, "the key's circle at the inner wall", KEY_HITS_WALL)
    spring = _lowest_for_spring(layout)
    if spring is not None:
        yield Bound(path, "low", spring, "the spring room under the inner wall", SPRING_ROOM)


def _circle_window(layout: Layout) -> tuple[float, float]:
    """Return the least and greatest `below` [mm] at which the key's circle clears the inner wall.

    Of several stretches the one that holds the pivot, or lies nearest. Where the circle fits
    nowhere, the ends cross, half of what is missing on each side of the widest place.
    """
    below = layout.lock.pivot.below
    _, bottom, _, top = plate_area(layout).bounds
    places = distinct(np.array([*np.linspace(-top, -bottom, LOOKS), below]))
    spare = _spare(layout, places)
    if spare.max() < 0:
        widest, most = _widest(layout, places, spare)
        if most < 0:
            return widest - most / 2 + SLACK, widest + most / 2 - SLACK
        places, spare = np.append(places, widest), np.append(spare, most)
        order = np.argsort(places)
        places, spare = places[order], spare[order]
    inside = np.concatenate([[False], spare >= 0, [False]]).astype(int)
    # where a stretch of places that fit begins, and where it ends
    starts, ends = np.flatnonzero(np.diff(inside) > 0), np.flatnonzero(np.diff(inside) < 0) - 1
    away = np.maximum(np.maximum(places[starts] - below, below - places[ends]), 0.0)
    nearest = int(np.argmin(away))
    first, last = int(starts[nearest]), int(ends[nearest])
    return _edge(layout, places, first, -1), _edge(layout, places, last, 1)


def _spare(layout: Layout, below: Points) -> Points:
    """Return the room [mm] between the key's circle and the inner wall for pivots there, shape (n,)."""
    away = wall_distance_at(layout, layout.lock.pivot.across, below)
    return np.asarray(away - tooth(layout).relief_radius)


def _widest(layout: Layout, places: Points, spare: Points) -> tuple[float, float]:
    """Return the place [mm] with the most room near the best of `places`, and that room [mm]."""
    for _ in range(6):
        best = int(np.argmax(spare))
        low, high = places[max(best - 1, 0)], places[min(best + 1, len(places) - 1)]
        places = np.linspace(low, high, 17)
        spare = _spare(layout, places)
    best = int(np.argmax(spare))
    return float(places[best]), float(spare[best])


def _edge(layout: Layout, places: Points, good: int, step: int) -> float:
    """Return the last place [mm] that fits, from `places[good]` on towards the next one by `step`."""
    if not 0 <= good + step < len(places):
        return float(places[good])
    inside, outside = float(places[good]), float(places[good + step])
    for _ in range(6):
        between = np.linspace(inside, outside, 17)
        clear = _spare(layout, between) >= 0
        last = int(np.argmin(clear))
        if last == 0:  # the two are one place to within the rounding of numbers
            return inside
        inside, outside = float(between[last - 1]), float(between[last])
    return inside


def _lowest_for_spring(layout: Layout) -> float | None:
    """Return the least `below` [mm] that leaves the spring its room above the body of the bolt.

    Moving the pivot turns the centreline a little when it is off the mark's upright, so the room is
    worked out again at each try (secant steps; straight down it is met at the first).
    """
    lock, cut, made = layout.lock, tooth(layout), bolt(layout)
    need = cut.bolt_line + lock.bolt_line.spring_room

    def spare(below: float) -> float | None:
        if below <= 0:  # no centreline runs from a pivot level with the mark, nor from one above it
            return below - need
        room = wall_from(layout, below)(UP, made.left, made.right + cut.throw, cut.bolt_line)
        return None if room is None else room - need

    found = zero_near(spare, lock.pivot.below, 1.0)
    return None if found is None else max(found, 0.0)


def _marks(layout: Layout) -> Iterable[Mark]:
    pivot, move = layout.lock.pivot, to_mechanism(layout)
    mark = move.point((0.0, 0.0))
    yield Stroke(circle((0.0, 0.0), pivot.hole / 2), "drill", "pivot")
    yield Stroke(polyline([(-1.5, 0.0), (1.5, 0.0)]), "scribe", "pivot")
    yield Stroke(polyline([(0.0, -1.5), (0.0, 1.5)]), "scribe", "pivot")
    yield Label((mark[0], mark[1] + 2.0), "datum", "note", "datum mark")
    level = move.point((pivot.across, 0.0))  # straight down, also where the centreline leans
    yield Measure(level, (0.0, 0.0), layout.show(pivot.below), "pivot.below", "pivot")
    foot = move.path(plate_outline(layout).path).bounds()[1]
    yield Stroke(polyline([mark, (0.0, foot)]), "scribe", "centreline")


def _spots(layout: Layout) -> Iterable[Spot]:
    pivot = layout.lock.pivot
    yield Spot("pivot", pivot.across, pivot.below)
    x, y = plate_outline(layout).lowest
    yield Spot("lowest point", x, -y)


def _report(layout: Layout) -> Mapping[str, Any]:
    return {"centreline": {"lean": lean(layout), "foot_miss": foot_miss(layout)}}


def _bench(layout: Layout) -> Iterable[BenchTable]:
    show = layout.show
    yield BenchTable(
        "Plate and centreline", 20,
        (
            ("pivot to the inner wall", show(float(wall_distance(layout)))),
            ("lean of the centreline", show_lean(lean(layout))),
            ("lowest point off the centreline", show(foot_miss(layout))),
        ),
    )  # fmt: skip


def _hole(layout: Layout) -> Iterable[Cut]:
    pivot = layout.lock.pivot
    place = (pivot.across, -pivot.below)
    yield Cut("pivot hole", circle(place, pivot.hole / 2), drilled=True)


_SUSPECTS = (
    Suspect(
        "pivot.across", "the pivot's place across the plate",
        "the pivot stands {off} too far right of where all else was laid out from",
        "the pivot stands {off} too far left of where all else was laid out from",
        laid=True,
    ),
    Suspect(
        "pivot.hole", "the play of the shank in its hole",
        "the shank has {off} more play in its hole than planned",
        "the shank has {off} less play in its hole than planned",
    ),
)  # fmt: skip
_BELOW, _WIDE = "pivot.below", "pivot.hole"
_HOLE = ("pivot.across", _BELOW, _WIDE)

PART = Part(
    "pivot",
    20,
    codes=(PIVOT_OUTSIDE, PIVOT_HOLE_SMALL, FOOT_MISS),
    drawn=(
        Drawn("pivot", "key"),
        Drawn("datum mark", "scribe", every_face=True),
        Drawn("centreline", "scribe", every_face=True),
    ),
    findings=_findings,
    bounds=_bounds,
    bounds_at=_of_path,
    outcomes=(Outcome("lean", "lean of the centreline", 140, 0, lean, "angle"),),
    marks=_marks,
    spots=_spots,
    report=_report,
    bench=_bench,
    features=tuple(
        Feature(
            plate,
            _HOLE,
            _hole,
            measurable=_HOLE,
            suspects=suspects,
            grows=("pivot.hole",),
            unfiled=("pivot.across", "pivot.below"),
        )
        for plate, suspects in (("back plate", _SUSPECTS), ("front plate", ()))
    ),
)
