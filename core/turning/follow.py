"""The key's turn followed angle by angle: for the screen that shows one, and the charts that show all.

Angles in radians, positive the way this lock unlocks (clockwise for a lock that unlocks to the right, seen from
inside the back plate). Places are in the mechanism frame [mm], in which the drawing's marks are.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from core.geometry.motion import shift
from core.geometry.path import Point
from core.layout.frames import hand
from core.layout.layout import Layout, derived
from core.lock.friction import CONDITIONS
from core.mechanism.contact import LETTING_GO, PHASES, PLACES, touch
from core.mechanism.law import STROKES, Stroke, driven_angles, side
from core.mechanism.maths import Array, distinct
from core.mechanism.sweep import SLIVER, bit_polygons, full_turn
from core.parts.bolt_contour import bolt_area
from core.parts.tooth import course, tooth, tooth_seen
from core.turning.click import click_corners
from core.turning.effort import STEP, Effort, effort
from core.turning.turn_check import edges_that_count, fouls
from core.whole import assembly


@dataclass(frozen=True)
class Following:
    """What can be seen at n key angles [rad] of one stroke.

    `travel` (n,) [mm] from the locked seat; `phase` (n,) and `contact` (n,) are indices into `PHASES` and
    `PLACES`; `contact_at` (n, 2) is the place of the contact, NaN without one. `gap` (n,) [mm] is the least
    gap of the bit outside the contact, `gap_at` (n, 2) its place on the part that `gap_to` (n,) names as an index
    into `parts`.
    """

    angles: Array
    stroke: Stroke
    travel: Array
    phase: NDArray[np.intp]
    contact: NDArray[np.intp]
    contact_at: Array
    gap: Array
    gap_at: Array
    gap_to: NDArray[np.intp]
    parts: tuple[str, ...]


def follow(layout: Layout, angles: Array, stroke: Stroke = "unlocking") -> Following:
    """Return what can be seen at `angles` [rad], shape (n,), any order, of one stroke."""
    angles = np.asarray(angles, dtype=float)
    way, here = course(layout), hand(layout)
    touched = touch(way, angles, stroke)
    names, gaps, places = zip(*_nearest(layout, angles, stroke), strict=True)
    nearest = np.argmin(gaps, axis=0)
    each = np.arange(len(angles))
    return Following(
        angles,
        stroke,
        way.travel(angles, stroke),
        touched.phase,
        touched.place,
        here.points(touched.at),
        np.array(gaps)[nearest, each],
        here.points(np.array(places)[nearest, each]),
        nearest,
        names,
    )


def _nearest(layout: Layout, angles: Array, stroke: Stroke) -> Iterable[tuple[str, Array, Array]]:
    """Return each part with its gap (n,) [mm] and the nearest place on it (n, 2), drive frame."""
    cut = tooth(layout)
    moved = course(layout).travel(angles, stroke)
    seen = bit_polygons(cut, angles, moved)
    gap, place = np.full(len(angles), np.inf), np.full((len(angles), 2), np.nan)
    for edge, counts in edges_that_count(layout, angles, stroke):
        found, at = _from(edge, seen)
        nearer = counts & (found < gap)
        gap, place = np.where(nearer, found, gap), np.where(nearer[:, None], at, place)
    yield "bolt", gap, place + np.stack([moved, np.zeros(len(angles))], axis=-1)
    bits = bit_polygons(cut, angles)
    for name, area in assembly.standing(layout).items():
        yield name, *_from(area, bits)


def _from(area: BaseGeometry, bits: NDArray[np.object_]) -> tuple[Array, Array]:
    """Return the gap (n,) of each bit from `area`, and the nearest place (n, 2) on it."""
    if area.is_empty:
        return np.full(len(bits), np.inf), np.full((len(bits), 2), np.nan)
    between = shapely.shortest_line(area, bits)
    return shapely.length(between), shapely.get_coordinates(between).reshape(-1, 2, 2)[:, 0]


@dataclass(frozen=True)
class FoulAt:
    """What the bit or the shank cuts into at one angle: overlap [mm2], and its middle, mechanism frame."""

    part: str
    overlap: float
    at: Point


def fouls_at(layout: Layout, angle: float, stroke: Stroke = "unlocking") -> tuple[FoulAt, ...]:
    """Return what fouls at one key angle [rad], the worst first."""
    parts = {foul.part for foul in fouls(layout)}
    if not parts:
        return ()
    cut, here = tooth(layout), hand(layout)
    moved = float(course(layout).travel(np.array([angle]), stroke)[0])
    bit = bit_polygons(cut, np.array([angle]))[0]
    key = bit.union(shapely.Point(0.0, 0.0).buffer(layout.lock.key.shank / 2))
    standing = assembly.standing(layout)
    areas = {name: area for name, area in standing.items() if name in parts}
    if "bolt" in parts:
        areas["bolt"] = shapely.transform(bolt_area(layout), shift(moved, 0.0).points)
    found = []
    for name, area in areas.items():
        common = area.intersection(key)
        if common.area > SLIVER:
            middle = common.representative_point()
            found.append(FoulAt(name, common.area, here.point((middle.x, middle.y))))
    return tuple(sorted(found, key=lambda foul: -foul.overlap))


@dataclass(frozen=True)
class Moment:
    """Everything at one key angle [rad], in numbers and plain words.

    Forces [N] and torque [N mm] are pairs: at the low and at the high end of a condition's friction; None where
    the bolt jams there.
    """

    angle: float
    stroke: Stroke
    travel: float
    phase: str
    contact: str
    contact_at: Point | None
    gap: float
    gap_to: str
    gap_at: Point
    fouls: tuple[FoulAt, ...]
    flank_force: dict[str, tuple[float | None, float | None]]
    front_reaction: dict[str, tuple[float | None, float | None]]
    rear_reaction: dict[str, tuple[float | None, float | None]]
    torque: dict[str, tuple[float | None, float | None]]


def moment(layout: Layout, angle: float, stroke: Stroke = "unlocking") -> Moment:
    """Return everything at one key angle [rad]; the forces by friction condition."""
    angles = np.array([float(angle)])
    seen, takes = follow(layout, angles, stroke), effort(layout, angles, stroke)
    x, y = (float(v) for v in seen.contact_at[0])
    gap_x, gap_y = (float(v) for v in seen.gap_at[0])

    def pairs(name: str) -> dict[str, tuple[float | None, float | None]]:
        made = {}
        for condition in CONDITIONS:
            low, high = (float(v[0]) for v in takes.ends(name, condition))
            made[condition] = (None if np.isnan(low) else low, None if np.isnan(high) else high)
        return made

    return Moment(
        float(angle),
        stroke,
        float(seen.travel[0]),
        PHASES[seen.phase[0]],
        PLACES[seen.contact[0]],
        None if np.isnan(x) else (x, y),
        float(seen.gap[0]),
        seen.parts[seen.gap_to[0]],
        (gap_x, gap_y),
        fouls_at(layout, float(angle), stroke),
        pairs("flank_force"),
        pairs("front_reaction"),
        pairs("rear_reaction"),
        pairs("torque"),
    )


@dataclass(frozen=True)
class Chart:
    """One stroke over the whole turn, for charts: n angles in whole degrees and at the corners of the law."""

    seen: Following
    takes: Effort


@derived
def charts(layout: Layout) -> dict[Stroke, Chart]:
    """Return both strokes over the whole turn, from key-in to key-out, in rising angle."""
    made = {}
    for stroke in STROKES:
        cut = tooth_seen(layout, stroke)
        driven = driven_angles(cut, stroke, STEP)
        ends = driven[[0, -1]] if len(driven) else driven
        # a hair before each corner of the law and at it: where the bolt jumps, the step is drawn upright
        corners = course(layout).seen(stroke).corners
        after = np.append(corners, cut.release_angle + LETTING_GO)
        clicks = click_corners(layout, stroke)
        after = np.concatenate([after, np.nextafter(corners, -np.inf), clicks])
        after = side(stroke) * after
        angles = distinct(np.concatenate([full_turn(STEP), ends, after]))
        made[stroke] = Chart(follow(layout, angles, stroke), effort(layout, angles, stroke))
    return made
