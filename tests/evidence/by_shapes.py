"""Plate, bolt, gaps and overlaps by shapely, on areas that are drawn without the program."""

import math
from collections.abc import Iterator
from itertools import pairwise
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Point, box
from shapely.geometry.base import BaseGeometry

from core.parts.bolt_contour import bolt
from core.whole import assembly
from tests.designs import bits
from tests.evidence.cases import Case, Found, Judge
from tests.plates import inner_wall, plate_polygon
from tests.test_bolt_contour import blank, gap, in_drive, law, sampled

Floats = NDArray[np.float64]
TURN = np.radians(np.arange(-180, 180, 0.1))


def _plate(case: Case) -> Found:
    lock, said = case.lock, case.said
    area = plate_polygon(lock)
    left, low, right, top = area.bounds
    wall = inner_wall(lock).exterior.distance(Point(0, 0))
    for key, found in (
        ("area", area.area),
        ("width", right - left),
        ("height", top - low),
        ("wall_distance", wall),
    ):
        yield f"plate.{key}", said["plate"][key], found
    pivot = complex(lock.pivot.across, -lock.pivot.below)
    lean = math.degrees(math.atan2(abs(lock.pivot.across), lock.pivot.below))
    yield "centreline.lean", abs(said["centreline"]["lean"]), lean
    # where several points are lowest the middle of them is meant
    corners = shapely.get_coordinates(area)
    lowest = corners[corners[:, 1] < low + 1e-9]
    foot = complex(float(lowest[:, 0].min() + lowest[:, 0].max()) / 2, low)
    square = (foot.real * pivot.imag - foot.imag * pivot.real) / abs(pivot)
    yield "centreline.foot_miss", abs(said["centreline"]["foot_miss"]), abs(square)


def metal(case: Case) -> BaseGeometry:
    """Return the bolt at the locked seat in the drive frame, by boxes and discs."""
    return blank(case.lock, case.tooth).difference(
        gap(case.lock, case.tooth, bolt(case.layout).roof)
    )


def _bolt(case: Case) -> Found:
    said, wanted = case.said["bolt"], in_drive(case.lock, metal(case))
    yield "bolt.area", said["area"], wanted.area
    for value, found in zip(
        said["centroid"], shapely.get_coordinates(wanted.centroid)[0], strict=True
    ):
        yield "bolt.centroid[]", value, float(found)
    edge, contour = wanted.exterior, said["contour"]
    # by how far the two outlines are apart, corner by corner and along every segment
    yield (
        "bolt.contour[].line[][]",
        0.0,
        shapely.hausdorff_distance(sampled(contour, 400).exterior, edge),
    )
    for ends in pairwise([*contour, contour[0]]):
        yield "bolt.contour[].line[][]", 0.0, math.dist(_end(ends[0], 1), _end(ends[1], 0))
    relief = case.lock.key.radius + case.lock.fit.key_clearance
    for arc in (segment["arc"] for segment in contour if "arc" in segment):
        yield "bolt.contour[].arc.radius", arc["radius"], relief
        for key in ("from", "to"):
            yield f"bolt.contour[].arc.{key}[]", math.dist(arc[key], arc["centre"]), relief
        way = 1.0 if case.lock.unlocks == "right" else -1.0
        about = min((0.0, -way * case.throw), key=lambda x: abs(x - arc["centre"][0]))
        yield "bolt.contour[].arc.centre[]", math.dist(arc["centre"], (about, 0.0)), 0.0


def _end(segment: dict[str, Any], which: int) -> tuple[float, ...]:
    if "line" in segment:
        return tuple(segment["line"][which])
    return tuple(segment["arc"][("from", "to")[which]])


def _turn(case: Case) -> Found:
    """Sweep the bit past bolt and standing metal: what it overlaps most, and what it comes nearest to."""
    said, _lock = case.said["turn"], case.lock
    if said["overlap_with"] is None:
        most = max(float(over.max()) for over in _overlaps(case, TURN))
        yield "turn.overlap", said["overlap"], most if most > 1e-4 else 0.0
        yield from _least_gap(case)
    elif said["overlap_with"] == "bolt":
        at = math.radians(said["overlap_at"])
        beside = at + np.array([-2e-9, 0.0, 2e-9])
        there = max(float(over.max()) for over in _overlaps(case, beside))
        yield "turn.overlap", said["overlap"], there
        around = at + np.radians(np.arange(-3, 3, 0.05))
        most = max(float(over.max()) for over in _overlaps(case, around))
        yield "turn.overlap_at", there, max(most, there)


def _overlaps(case: Case, angles: np.ndarray[Any, Any]) -> Iterator[np.ndarray[Any, Any]]:
    lock, n, area = case.lock, case.tooth, metal(case)
    shapely.prepare(area)
    for way in (1, -1):
        travel = law(lock, n, angles) if way > 0 else case.throw - law(lock, n, -angles)
        shapes = bits(lock.key.radius, lock.key.bit_thickness, angles, travel)
        met, over = shapely.intersects(area, shapes), np.zeros(len(angles))
        over[met] = shapely.area(shapely.intersection(area, shapes[met]))
        yield over


def _least_gap(case: Case) -> Found:
    said = case.said["turn"]
    if bolt(case.layout).roof == "scribed":
        return
    bolt_away = float(_away(case, TURN).min())
    still = [area.distance(Point(0, 0)) for area in assembly.standing(case.layout).values()]
    still_away = min(still) - case.lock.key.radius
    yield "turn.least_gap", said["least_gap"], min(bolt_away, still_away)
    if bolt_away < still_away:
        at = math.radians(said["least_gap_at"])
        here = float(_away(case, np.array([at, -at])).min())
        yield "turn.least_gap_at", said["least_gap"], here


def _away(case: Case, turn: Floats) -> Floats:
    """Return the bit's distance [mm] from the bolt in unlocking, but for the contact, at angles [rad], shape (n,)."""
    lock, n = case.lock, case.tooth
    relief, edge = lock.key.radius + lock.fit.key_clearance, metal(case).boundary
    flank = box(n.offset - 1e-6, n.foot - 1e-6, n.offset + 1e-6, relief - 1e-6)
    # until the key lets go, neither the flank nor what runs up to its foot is a gap
    lobe = box(n.offset - 1e-6, -100, n.offset + 100, n.foot + 1e-6)
    # after that, with an early pick-up, the bit's trailing face holds the bolt back by the other flank, and leaves it
    other = box(-n.flank - 100, -100, -n.flank + 1e-6, relief - 1e-6)
    shapes = bits(lock.key.radius, lock.key.bit_thickness, turn, law(lock, n, turn))
    drives, holds = turn < n.release, turn < math.radians(lock.tooth.pickup_angle + 1)
    free = edge.difference(flank)
    held = [
        shapely.distance(part, shapes)
        for part in (free.difference(lobe), free.difference(lobe.union(other)))
    ]
    found: Floats = np.select([drives, holds], held, shapely.distance(free, shapes))
    return found


JUDGES = (
    Judge(
        "outline", "the plate as discs, boxes and complex arcs; areas, bounds and distances of fine polygons",
        "shapely; bulges by the DXF reference",
        ("plate.*", "centreline.*"), _plate,
    ),
    Judge(
        "blank", "the bolt as its blank less gap and relief, of boxes and discs; Hausdorff distance of both outlines",
        "shapely; the design's page of the mechanism",
        ("bolt.*",), _bolt,
    ),
    Judge(
        "turned", "the bit turned past the bolt in steps of 0.1 degrees: most overlap, least distance",
        "shapely; at `overlap_at`, what the overlap lacks to the most within 3 degrees, at `least_gap_at` the distance",
        ("turn.overlap", "turn.overlap_at", "turn.least_gap", "turn.least_gap_at"), _turn,
    ),
)  # fmt: skip
