"""The pivot: where the key turns, carried over to the other plate, with the centreline through it."""

import math
from collections.abc import Iterable, Mapping
from typing import Any

import numpy as np
import shapely
from shapely.geometry import LineString

from core.drawing import Label, Mark, Measure, Stroke
from core.findings import Finding
from core.frames import centreline_frame, hand, to_mechanism
from core.geometry.outlines import lowest_point
from core.geometry.path import circle, polyline
from core.geometry.polygons import ROUND, reach
from core.layout import Layout, derived
from core.parts.bolt import bolt
from core.parts.plate import (
    inner_in_plate,
    plate_area,
    plate_outline,
    wall_distance,
    wall_distance_at,
)
from core.parts.tooth import SLACK, tooth
from core.registry import Part, Spot
from core.windows import Bound


@derived
def lean(layout: Layout) -> float:
    """Return the lean of the centreline [degrees], clockwise positive: atan2(-across, below)."""
    pivot = layout.lock.pivot
    return math.degrees(math.atan2(-pivot.across, pivot.below)) + 0.0


@derived
def foot_miss(layout: Layout) -> float:
    """Return how far [mm] the plate's lowest point lies from the centreline, right positive."""
    return to_mechanism(layout).point(lowest_point(plate_outline(layout).path))[0]


def _findings(layout: Layout) -> Iterable[Finding]:
    lock, show = layout.lock, layout.show
    if wall_distance(layout) < 0:
        yield Finding(
            "pivot-outside", "stop", "pivot",
            f"The pivot lies outside the inner wall, by {show(-wall_distance(layout))}.",
            wall_distance(layout), 0.0,
        )  # fmt: skip
    if lock.pivot.hole < lock.key.shank - SLACK:
        yield Finding(
            "pivot-hole-small", "stop", "pivot",
            f"A shank of {show(lock.key.shank)} does not enter a hole of {show(lock.pivot.hole)}.",
            lock.pivot.hole, lock.key.shank,
        )  # fmt: skip
    if abs(foot_miss(layout)) > 0.5:
        side = "right" if foot_miss(layout) > 0 else "left"
        yield Finding(
            "foot-miss", "note", "centreline",
            f"The centreline passes the plate's lowest point: that lies {show(abs(foot_miss(layout)))} "
            f"to its {side}.",
            foot_miss(layout), 0.0,
        )  # fmt: skip


def _bounds(layout: Layout) -> Iterable[Bound]:
    circle_low, circle_high = _circle_window(layout)
    yield Bound(
        "pivot.below", "low", circle_low, "the key's circle at the inner wall", "key-hits-wall"
    )
    yield Bound(
        "pivot.below", "high", circle_high, "the key's circle at the inner wall", "key-hits-wall"
    )
    spring = _lowest_for_spring(layout)
    if spring is not None:
        yield Bound(
            "pivot.below", "low", spring, "the spring room under the inner wall", "spring-room"
        )


def _circle_window(layout: Layout) -> tuple[float, float]:
    """Return the least and greatest `below` [mm] at which the key's circle clears the inner wall.

    Of several stretches the one that holds the pivot, or lies nearest. Where the circle fits
    nowhere, the ends cross, half of what is missing on each side of the widest place.
    """
    lock, cut = layout.lock, tooth(layout)
    across, below = lock.pivot.across, lock.pivot.below
    _, bottom, _, top = plate_area(layout).bounds
    room = plate_area(layout).buffer(-(lock.plate.rim + cut.relief_radius), quad_segs=ROUND)
    crossed = shapely.intersection(room, LineString([(across, bottom - 1), (across, top + 1)]))
    pieces = [g.bounds for g in getattr(crossed, "geoms", [crossed]) if not g.is_empty]
    if not pieces:
        places = np.linspace(-top, -bottom, 400)
        spare = wall_distance_at(layout, across, places) - cut.relief_radius
        best = int(np.argmax(spare))
        lacking = -float(min(spare[best], 0.0))
        return float(places[best]) + lacking / 2 + SLACK, float(places[best]) - lacking / 2 - SLACK
    spans = [(-high, -low) for _, low, _, high in pieces]
    low, high = min(spans, key=lambda s: max(s[0] - below, below - s[1], 0.0))
    middle = (low + high) / 2
    return _polished(layout, low, middle), _polished(layout, high, middle)


def _polished(layout: Layout, end: float, inside: float) -> float:
    """Return the exact place near `end` [mm] where the circle touches the wall; the polygon gave `end`.

    Halving between a place inside and one just outside, on the exact distance to the edge.
    """
    across, need = layout.lock.pivot.across, tooth(layout).relief_radius
    step = 0.01 if end > inside else -0.01
    good, bad = end - step, end + step
    if abs(end - inside) < abs(step):
        good = inside
    for _ in range(4):
        places = np.linspace(good, bad, 33)
        clear = wall_distance_at(layout, across, places) >= need
        if clear.all() or not clear[0]:
            return end
        last = int(np.argmin(clear))
        good, bad = float(places[last - 1]), float(places[last])
    return good


def _lowest_for_spring(layout: Layout) -> float | None:
    """Return the least `below` [mm] that leaves the spring its room above the body of the bolt.

    Moving the pivot turns the centreline a little when it is off the mark's upright, so the room is
    worked out again at each try (secant steps; straight down it is met at the first).
    """
    lock, cut, made = layout.lock, tooth(layout), bolt(layout)
    need = cut.bolt_line + lock.bolt_line.spring_room

    def spare(below: float) -> float | None:
        move = centreline_frame(lock.pivot.across, below).then(hand(layout))
        area = shapely.transform(inner_in_plate(layout), move.points)
        room = reach(area, (0.0, 1.0), made.left, made.right + cut.throw, cut.bolt_line)
        return None if room is None else room - need

    below = lock.pivot.below
    now = spare(below)
    if now is None:
        return None
    guess = below - now
    for _ in range(8):
        if guess <= 0:
            return 0.0
        then = spare(guess)
        if then is None:
            return None
        if abs(then) < SLACK or guess == below or then == now:
            return guess
        below, now, guess = guess, then, guess - then * (guess - below) / (then - now)
    return guess


def _marks(layout: Layout) -> Iterable[Mark]:
    pivot, move = layout.lock.pivot, to_mechanism(layout)
    mark = move.point((0.0, 0.0))
    yield Stroke(circle((0.0, 0.0), pivot.hole / 2), "drill", "pivot")
    yield Stroke(polyline([(-1.5, 0.0), (1.5, 0.0)]), "scribe", "pivot")
    yield Stroke(polyline([(0.0, -1.5), (0.0, 1.5)]), "scribe", "pivot")
    yield Label((mark[0], mark[1] + 2.0), "datum", "note", "datum mark")
    yield Measure(mark, (0.0, 0.0), layout.show(pivot.below), "pivot.below", "pivot")
    foot = move.path(plate_outline(layout).path).bounds()[1]
    yield Stroke(polyline([mark, (0.0, foot)]), "scribe", "centreline")


def _spots(layout: Layout) -> Iterable[Spot]:
    pivot = layout.lock.pivot
    yield Spot("pivot", pivot.across, pivot.below)
    x, y = lowest_point(plate_outline(layout).path)
    yield Spot("lowest point", x, -y)


def _report(layout: Layout) -> Mapping[str, Any]:
    return {"centreline": {"lean": lean(layout), "foot_miss": foot_miss(layout)}}


PART = Part(
    "pivot", 20, findings=_findings, bounds=_bounds, marks=_marks, spots=_spots, report=_report
)
