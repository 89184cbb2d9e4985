"""Where the plate's dimensions lie in the drawing."""

import math

import shapely
from shapely.ops import nearest_points

from core.layout.extents import Ends, Extents, OnEdge
from core.layout.layout import Layout
from core.parts.plate import inner_in_plate, plate_area, plate_outline

BESIDE = 4.0
"""How far off the plate [mm] a dimension of the whole plate stands, and what is drawn on edge."""


def plate_box(layout: Layout) -> tuple[float, float, float, float]:
    """Return left, bottom, right and top of the plate [mm, plate frame]."""
    return plate_outline(layout).path.bounds()


def _width(layout: Layout) -> Ends:
    left, bottom, right, _ = plate_box(layout)
    return (left, bottom - BESIDE), (right, bottom - BESIDE)


def _height(layout: Layout) -> Ends:
    left, bottom, _, top = plate_box(layout)
    return (left - BESIDE, bottom), (left - BESIDE, top)


def _corner(layout: Layout) -> Ends:
    _, _, right, top = plate_box(layout)
    r = min(layout.lock.plate.corner, layout.lock.plate.width / 2, layout.lock.plate.height / 2)
    middle = (right - r, top - r)
    return middle, (middle[0] + r * math.sqrt(0.5), middle[1] + r * math.sqrt(0.5))


def _straight(layout: Layout) -> Ends:
    left, _, _, top = plate_box(layout)
    return (left - BESIDE, top), (left - BESIDE, top - layout.lock.plate.straight)


def _lobe(layout: Layout) -> Ends:
    _, _, right, top = plate_box(layout)
    r = layout.lock.plate.lobe
    return (right - r, top - r), (right - r, top)


def _notch(layout: Layout) -> Ends:
    left, _, right, top = plate_box(layout)
    middle = (left + right) / 2
    return (middle, top), (middle, top - layout.lock.plate.notch)


def _rim(layout: Layout) -> Ends:
    inside, edge = inner_in_plate(layout), plate_area(layout).boundary
    _, bottom, right, top = plate_box(layout)
    if inside.is_empty:
        return (right - layout.lock.plate.rim, (bottom + top) / 2), (right, (bottom + top) / 2)
    ring = inside.geoms[0] if hasattr(inside, "geoms") else inside
    start = max(ring.exterior.coords)
    end = nearest_points(edge, shapely.Point(start))[0]
    return (float(start[0]), float(start[1])), (float(end.x), float(end.y))


def _thickness(layout: Layout) -> OnEdge:
    _, bottom, _, top = plate_box(layout)
    return OnEdge((bottom + top) / 2, layout.lock.plate.thickness, top - bottom)


def _mark_across(layout: Layout) -> Ends:
    return (-layout.lock.plate.mark_across, 0.0), (0.0, 0.0)


EXTENTS = Extents(
    plate={
        "plate.width": _width,
        "plate.height": _height,
        "plate.corner": _corner,
        "plate.straight": _straight,
        "plate.lobe": _lobe,
        "plate.notch": _notch,
        "plate.rim": _rim,
        "plate.mark_across": _mark_across,
    },
    on_edge={"plate.thickness": _thickness},
)
