"""The plate: its outline, the inner wall, and how far that wall lies from the pivot."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import lru_cache
from typing import Any

import numpy as np
import shapely
from shapely.geometry import Point as ShapelyPoint
from shapely.geometry.base import BaseGeometry

from core.geometry.motion import Motion
from core.geometry.outlines import Outline, outline
from core.geometry.path import Path, Point, polyline
from core.geometry.polygons import bordered, piece_at, polygon
from core.layout.codes import Code
from core.layout.drawing import Mark, Stroke
from core.layout.findings import Finding
from core.layout.frames import hand, to_drive, to_mechanism
from core.layout.layout import Layout, derived
from core.layout.part import Drawn, Fixed, Part, Spot
from core.layout.workpiece import Shape, Size, Workpiece, named_edges
from core.lock.sections import Plate
from core.units import show_length

_PLATES = 8
"""Plates whose shapes are kept: the one at hand, and those that a change is held against."""

PLATE_OUTLINE = Code(
    "plate-outline", "stop", "plate",
    "These sizes do not make the outline that was chosen; the nearest one that can be made is drawn instead.",
)  # fmt: skip
RIM_TOO_WIDE = Code(
    "rim-too-wide", "stop", "plate",
    "The rim fills the plate, so nothing else can stand in the lock.",
)  # fmt: skip
MARK_NOT_USED = Code(
    "mark-not-used", "note", "plate",
    "The place of the datum mark on the top edge counts for the other outlines only; nothing is wrong.",
)  # fmt: skip


@derived
def plate_outline(layout: Layout) -> Outline:
    """Return the outline in the plate frame."""
    return _shapes(layout.lock.plate, layout.lock.units)[0]


@derived
def plate_area(layout: Layout) -> BaseGeometry:
    """Return the plate as an area for checks, in the plate frame."""
    return _shapes(layout.lock.plate, layout.lock.units)[1]


@derived
def inner_in_plate(layout: Layout) -> BaseGeometry:
    """Return the area inside the inner wall (outline less rim), in the plate frame."""
    pivot = layout.lock.pivot
    return piece_at(inside(layout.lock.plate, layout.lock.units), (pivot.across, -pivot.below))


# While one dimension after another is settled the plate stays what it is, and its wall is the dearest
# shape of all: 200 ms for a traced outline of a thousand corners.


@lru_cache(maxsize=_PLATES)
def _shapes(plate: Plate, units: str) -> tuple[Outline, BaseGeometry]:
    found = outline(plate, lambda length: show_length(length, units))
    return found, polygon(found.path)


@lru_cache(maxsize=_PLATES)
def inside(plate: Plate, units: str) -> BaseGeometry:
    """Return the area inside the inner wall in the plate frame, in several pieces where the rim parts it.

    Lengths in what is wrong with the outline are written in `units` [none]; the area itself is the same in all.
    """
    return bordered(_shapes(plate, units)[1], plate.rim)


@derived
def inner(layout: Layout) -> BaseGeometry:
    """Return the area inside the inner wall, in the drive frame."""
    move = to_drive(layout)
    return shapely.transform(inner_in_plate(layout), move.points)


@derived
def rim_area(layout: Layout) -> BaseGeometry:
    """Return everything outside the inner wall for some way round, in the drive frame."""
    inside = inner(layout)
    reach_out = layout.lock.plate.width + layout.lock.plate.height + layout.lock.key.radius
    return ShapelyPoint(0.0, 0.0).buffer(2 * reach_out, quad_segs=8).difference(inside)


@derived
def wall_distance(layout: Layout) -> float:
    """Return the distance [mm] of the pivot from the inner wall, negative outside it.

    The nearest point of a wall set in by `rim` lies on the way to the nearest point of the edge, so the
    distance is that to the edge less the rim, exactly, whatever the shape.
    """
    pivot = layout.lock.pivot
    return float(wall_distance_at(layout, pivot.across, np.array([pivot.below]))[0])


def wall_distance_at(layout: Layout, across: float, below: np.ndarray[Any, Any]) -> Any:
    """Return the distance [mm] from the inner wall of pivots at `across`, `below` [mm], shape (n,)."""
    places = np.stack([np.full(len(below), across), -below], axis=1)
    away = plate_outline(layout).path.distance(places)
    inside = shapely.contains_xy(plate_area(layout), places)
    return np.where(inside, away, -away) - layout.lock.plate.rim


def outside_wall(layout: Layout, area: BaseGeometry) -> float:
    """Return how much [mm2] of `area` (drive frame) lies outside the inner wall; slivers count as none."""
    over = beyond_wall(layout, area)
    return over if over > 1e-3 else 0.0


def beyond_wall(layout: Layout, area: BaseGeometry) -> float:
    """Return how much [mm2] of `area` (drive frame) lies outside the inner wall, to the last sliver."""
    inside = inner(layout)
    # most of what is asked about lies inside, and to see that takes a fifth of the time
    return 0.0 if inside.covers(area) else float(area.difference(inside).area)


def _findings(layout: Layout) -> Iterable[Finding]:
    plate = layout.lock.plate
    for problem in plate_outline(layout).problems:
        yield PLATE_OUTLINE.found(problem[0].upper() + problem[1:] + ".")
    if inner_in_plate(layout).is_empty:
        yield RIM_TOO_WIDE.found(
            f"A rim of {layout.show(plate.rim)} leaves no room inside the plate.", plate.rim
        )
    if plate.outline == "traced" and plate.mark_across != 0:
        yield MARK_NOT_USED.found(
            "The datum mark of a traced plate is the origin of its points; its place on the edge is not used.",
            plate.mark_across, 0.0,
        )  # fmt: skip


def inner_path(layout: Layout) -> Path | None:
    """Return the inner wall as a path in the plate frame for drawing, None where there is no room."""
    area = inner_in_plate(layout)
    if area.is_empty:
        return None
    ring = shapely.simplify(area, 0.01).exterior.coords[:-1]
    return polyline([(float(x), float(y)) for x, y in ring], closed=True)


def _marks(layout: Layout) -> Iterable[Mark]:
    move = to_mechanism(layout)
    yield Stroke(move.path(plate_outline(layout).path), "cut", "plate")
    wall = inner_path(layout)
    if wall is not None:
        yield Stroke(move.path(wall), "scribe", "inner wall")


def _wall(layout: Layout) -> Mapping[str, BaseGeometry]:
    return {"inner wall": rim_area(layout)}


def _spots(_: Layout) -> Iterable[Spot]:
    yield Spot("datum mark", 0.0, 0.0)


def _report(layout: Layout) -> Mapping[str, Any]:
    path = plate_outline(layout).path
    left, bottom, right, top = path.bounds()
    return {
        "plate": {
            "area": abs(path.signed_area()),
            "width": right - left,
            "height": top - bottom,
            "wall_distance": float(wall_distance(layout)),
        }
    }


def spot_in_drive(layout: Layout, what: str, at: Point) -> Spot:
    """Return the spot to mark out for a point [mm] of the drive frame."""
    x, y = to_mechanism(layout).inverse().point(hand(layout).point(at))
    return Spot(what, x, -y)


def far_from(limit: float | None) -> float:
    """Return a wall's place [mm] for a bound, or 0 where a part has no wall beside it at all."""
    return 0.0 if limit is None or not math.isfinite(limit) else limit


def _plate(layout: Layout) -> Shape:
    """Return a plate in the plate frame; what other parts cut into it or scribe on it is theirs."""
    outline_path = plate_outline(layout).path
    thickness = Size("thickness", layout.lock.plate.thickness, over_face=True)
    return Shape(
        outline_path, sizes=(thickness,), edges=named_edges("edge of the plate", outline_path)
    )


def _back_plate(layout: Layout) -> Shape:
    plain = _plate(layout)
    return replace(plain, sizes=(*plain.sizes, Size("rim", layout.lock.plate.rim)))


def _as_drawn(_: Layout) -> Motion:
    return Motion()


_SHAPED_BY = (
    "plate.outline", "plate.width", "plate.height", "plate.corner", "plate.straight", "plate.lobe",
    "plate.notch", "plate.points", "plate.mark_across", "plate.thickness",
)  # fmt: skip
_BACK = (*_SHAPED_BY, "plate.rim")
_GROWS = ("plate.corner", "plate.notch")
_UNFILED = ("plate.straight", "plate.mark_across")

PART = Part(
    "plate",
    10,
    codes=(PLATE_OUTLINE, RIM_TOO_WIDE, MARK_NOT_USED),
    drawn=(Drawn("plate", "plate", every_face=True), Drawn("inner wall", "plate")),
    findings=_findings,
    # the wall goes last: it stands behind everything else
    fixed=(Fixed("inner wall", 100, "key radius", _wall),),
    marks=_marks,
    spots=_spots,
    report=_report,
    workpieces=(
        Workpiece(
            "back plate",
            10,
            _BACK,
            _back_plate,
            measurable=_BACK,
            grows=_GROWS,
            unfiled=_UNFILED,
            carries=True,
            lies=_as_drawn,
            tried=True,
        ),
        Workpiece(
            "front plate",
            11,
            _SHAPED_BY,
            _plate,
            measurable=_SHAPED_BY,
            grows=_GROWS,
            unfiled=_UNFILED,
            carries=True,
            lies=_as_drawn,
            tried=True,
        ),
    ),
)
