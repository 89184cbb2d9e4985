"""The bit in motion: its polygons over the key's turn, and how they meet an area.

Everything is an array over angles, so that a whole turn is one call of shapely.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import cast

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from core.mechanism.after_release import Course
from core.mechanism.law import STROKES, Stroke, side
from core.mechanism.maths import Array, distinct
from core.mechanism.tooth_numbers import Tooth

TIP = 9
"""Points on the round of the bit's tip; chords lie inside the key's circle."""
STEP = math.radians(0.5)
"""Step [rad] of the turn check; where something is near, it is refined by `FINER`."""
FINER = 16
SLIVER = 1e-6
"""Overlap [mm2] taken for the rounding of numbers."""
SAME = 1e-5
"""Share by which two overlaps may differ and still be the same."""


def bit_polygons(tooth: Tooth, angles: Array, shift: Array | None = None) -> NDArray[np.object_]:
    """Return the bit as shapely polygons [mm], shape (n,), at `angles` [rad], shape (n,), for one `tooth`.

    Corners on the key's circle, the tip round between them, parallel faces down to the pivot. With
    `shift` [mm], shape (n,), the bit is seen from a bolt that has travelled so far.

    Source: plane geometry.
    Valid: for any angle; the tip is a chain of chords inside the key's circle.

    Example, a bit of 20 x 3 pointing to the right at a quarter turn, its corners on the circle of radius 20:
    >>> from core.mechanism.tooth_numbers import tooth_from
    >>> cut = tooth_from(radius=20.0, bit=3.0, clearance=0.2, throw=12.0, pickup_angle=0.0, bolt_line=24.0, depth=14.0)
    >>> shapely.bounds(bit_polygons(cut, np.radians([90.0]))[0]).round(4).tolist()
    [0.0, -1.5, 20.0, 1.5]
    """
    made: NDArray[np.object_] = shapely.polygons(_corners(tooth, angles, shift))
    return made


def _corners(tooth: Tooth, angles: Array, shift: Array | None) -> Array:
    """Return the corners of the bit's polygons, shape (n, k, 2)."""
    x, y = tooth.bit_shape.corners(TIP).T
    cos, sin = np.cos(angles)[:, None], np.sin(angles)[:, None]
    corners = np.stack([x * cos + y * sin, y * cos - x * sin], axis=-1)
    if shift is not None:
        corners[:, :, 0] -= shift[:, None]
    return corners


def _apart(corners: Array, area: BaseGeometry) -> Array:
    """Return how far polygons and `area` are apart at the least, shape (n,): as far as the upright boxes round them."""
    low, high = np.array(area.bounds).reshape(2, 2)
    beside = np.maximum(low - corners.max(axis=1), corners.min(axis=1) - high)
    apart: Array = np.hypot(*np.maximum(beside, 0.0).T)
    return apart


@dataclass(frozen=True)
class Meeting:
    """The worst `overlap` [mm2] of the bit with an area over a turn, and where: `at` [rad] in which `stroke`.

    It begins at `first` [rad], in the direction of the stroke.

    Source: as `meeting`.
    Valid: as `meeting`.

    Example, as there:
    >>> Meeting(overlap=0.5, at=0.1, stroke="unlocking", first=-0.2).overlap
    0.5
    """

    overlap: float
    at: float
    stroke: Stroke
    first: float


def full_turn(step: float = STEP) -> Array:
    """Return the angles [rad], shape (n,), of a whole turn from key-in to key-out, about a `step` [rad] apart.

    Source: the design's turn check.
    Valid: for a step above 0; the steps are made even.

    Example, a turn in quarters:
    >>> np.degrees(full_turn(math.pi / 2)).tolist()
    [-180.0, -90.0, 0.0, 90.0, 180.0]
    """
    return np.linspace(-math.pi, math.pi, round(math.tau / step) + 1)


def looks(course: Course, stroke: Stroke, step: float = STEP) -> Array:
    """Return the angles [rad], shape (n,), at which a turn in a `stroke` is looked at, about a `step` [rad] apart.

    The corners of the `course`'s law, where the verdict is decided, are among them in any case.

    Source: the design's turn check.
    Valid: as `full_turn`.

    Example, where the key lets go, between two steps of a quarter turn:
    >>> from core.mechanism.lobe import Lobe
    >>> from core.mechanism.tooth_numbers import tooth_from
    >>> cut = tooth_from(radius=20.0, bit=3.0, clearance=0.2, throw=12.0, pickup_angle=0.0, bolt_line=24.0, depth=14.0)
    >>> way = Course(cut, Lobe(cut, width=6.5), capture=1.0)
    >>> math.degrees(min(abs(looks(way, "unlocking", math.pi / 2) - cut.release_angle))) < 1e-9
    True
    """
    corners = course.seen(stroke).corners
    corners = np.concatenate([corners - 1e-9, corners, corners + 1e-9])
    return distinct(np.concatenate([full_turn(step), side(stroke) * corners]))


def meeting(
    course: Course,
    area: BaseGeometry,
    shank: float,
    *,
    moves: bool,
    step: float = STEP,
    strokes: Iterable[Stroke] = STROKES,
) -> Meeting | None:
    """Return the worst overlap of a `course`'s bit, with a `shank` [mm] of that radius, and `area` over `strokes`.

    None where they never meet. `area` is in the drive frame; with `moves` it is the bolt's at the locked seat and goes
    its `course`. The turn is looked at every `step` [rad]; the angles round the worst one are refined, so that
    halving the step moves no verdict.

    Source: the design's turn check: areas of polygons, by shapely.
    Valid: for overlaps above `SLIVER`.

    Example, a post of 1 x 1 mm that stands wholly in the way of a bit of 20 x 3, and one outside its circle:
    >>> from core.mechanism.lobe import Lobe
    >>> from core.mechanism.tooth_numbers import tooth_from
    >>> cut = tooth_from(radius=20.0, bit=3.0, clearance=0.2, throw=12.0, pickup_angle=0.0, bolt_line=24.0, depth=14.0)
    >>> course = Course(cut, Lobe(cut, width=6.5), capture=1.0)
    >>> post, beyond = shapely.box(14.5, -0.5, 15.5, 0.5), shapely.box(20.1, -0.5, 21.1, 0.5)
    >>> meeting(course, post, 3.0, moves=False).overlap, meeting(course, beyond, 3.0, moves=False)
    (1.0, None)
    """
    worst: Meeting | None = None
    tooth = course.tooth
    # what the key cannot reach at any travel is left out: a whole rim has a thousand corners
    reach = max(tooth.radius, shank) + 1.0
    area = area.intersection(shapely.box(-reach - tooth.throw, -reach, reach, reach))
    shapely.prepare(area)
    for stroke in strokes:
        angles = looks(course, stroke, step)
        overlap = _overlaps(course, area, angles, stroke, shank=shank, moves=moves)
        peak = int(np.argmax(overlap))
        if overlap[peak] <= SLIVER:
            continue
        finer = angles[peak] + np.linspace(-step, step, 2 * FINER + 1)
        fine = _overlaps(course, area, finer, stroke, shank=shank, moves=moves)
        best = int(np.argmax(fine))
        size, at = float(overlap[peak]), float(angles[peak])
        if fine[best] > size:
            size, at = float(fine[best]), float(finer[best])
        first = _onset(course, area, angles, overlap, stroke, shank=shank, moves=moves)
        # the strokes are all but mirror images: rounding is not to choose between them
        if worst is None or size > worst.overlap * (1 + SAME):
            worst = Meeting(size, at, stroke, first)
    return worst


def _onset(
    course: Course,
    area: BaseGeometry,
    angles: Array,
    overlap: Array,
    stroke: Stroke,
    *,
    shank: float,
    moves: bool,
) -> float:
    """Return the angle [rad] at which the overlap begins, within a step of the check over `FINER`."""
    order = slice(None, None, side(stroke))
    along, over = angles[order], overlap[order] > SLIVER
    begin = int(np.argmax(over))
    if begin == 0:
        return float(along[0])
    finer = np.linspace(along[begin - 1], along[begin], FINER + 1)
    met = _overlaps(course, area, finer, stroke, shank=shank, moves=moves) > SLIVER
    return float(finer[int(np.argmax(met))])


def _overlaps(
    course: Course,
    area: BaseGeometry,
    angles: Array,
    stroke: Stroke,
    *,
    shank: float,
    moves: bool,
) -> Array:
    shift = course.travel(angles, stroke) if moves else np.zeros(len(angles))
    overlap = np.zeros(len(angles))
    if area.is_empty:
        return overlap
    corners = _corners(cast("Tooth", course.tooth), angles, shift)
    near = np.flatnonzero(_apart(corners, area) <= 0)
    bits = shapely.polygons(corners[near])
    met = shapely.intersects(area, bits)
    overlap[near[met]] = shapely.area(shapely.intersection(area, bits[met]))
    way = shapely.LineString([(-shift.max(), 0.0), (-shift.min(), 0.0)])
    if shank > 0 and way.distance(area) <= shank:
        # the shank turns in place: it meets the same at every angle that leaves the bolt where it is
        places, which = np.unique(shift, return_inverse=True)
        shanks = shapely.buffer(shapely.points(-places, np.zeros(len(places))), shank, quad_segs=16)
        overlap += shapely.area(shapely.intersection(area, shanks))[which]
    return overlap


def least_gap(
    tooth: Tooth, area: BaseGeometry, angles: Array, shift: Array
) -> tuple[float, int] | None:
    """Return the least distance [mm] of the bit from `area`, and the first place [none] of it; None without angles.

    At `angles` [rad], shape (n,), for one `tooth` and an `area`, polygon or lines, that has travelled `shift` [mm],
    shape (n,). 0 where they meet.

    Source: the design's turn check: distances of polygons, by shapely; asked only where the upright boxes round the two
    are no farther apart than the two themselves are at some angle.
    Valid: for any angle.

    Example, a post 5 mm outside a key's circle of radius 20, in a turn in quarters:
    >>> from core.mechanism.tooth_numbers import tooth_from
    >>> cut = tooth_from(radius=20.0, bit=3.0, clearance=0.2, throw=12.0, pickup_angle=0.0, bolt_line=24.0, depth=14.0)
    >>> least_gap(cut, shapely.box(25.0, -0.5, 26.0, 0.5), full_turn(math.pi / 2), np.zeros(5))
    (5.0, 3)
    """
    if area.is_empty or not len(angles):
        return None
    corners = _corners(tooth, angles, shift)
    apart = _apart(corners, area)
    here = int(np.argmin(apart))
    most = float(shapely.distance(area, shapely.polygons(corners[here])))
    # one that is as near to within the rounding of numbers is asked too
    near = np.flatnonzero(apart <= most + SLIVER)
    found = shapely.distance(area, shapely.polygons(corners[near]))
    least = int(np.argmin(found))
    return float(found[least]), int(near[least])
