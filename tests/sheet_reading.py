"""Sheets written for tests, and read back by readers that know nothing of the program: ezdxf and shapely."""

import io
import math
from datetime import date
from functools import cache
from typing import Any

import ezdxf.filemanagement
import numpy as np
import shapely
from ezdxf.math import bulge_center, bulge_radius
from numpy.typing import NDArray
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from core.files.project_file import load
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.sheets.compose import Composed, composed
from core.sheets.dxf import dxf_text
from core.sheets.faces import all_sheets
from core.sheets.furniture import Job
from core.shipped import sample_locks

DAY = date(2026, 1, 2)
SAMPLES = tuple(load(path).lock for path in sample_locks())
SAMPLE_NAMES = tuple(path.name for path in sample_locks())
# nothing of it lies on the middle, so a mirrored face cannot pass for an unmirrored one
ASKEW = (
    SAMPLES[0]
    .with_value("pivot.across", 2.5)
    .with_value("plate.mark_across", -3.0)
    .with_value("plate.outline", "traced")
    .with_value("plate.points", ((-40, 0), (36, 0, 0.05), (30, -80), (0, -95, -0.1), (-35, -70)))
)


@cache
def job_for(lock: Lock, paper: str = "A4", source: str = "lock.toml") -> Job:
    return Job(Layout(lock), source, DAY, paper)


@cache
def written(lock: Lock, name: str, paper: str = "A4") -> tuple[Job, Composed]:
    """Return one sheet of a lock, ready to be written."""
    job = job_for(lock, paper)
    return job, composed(next(s for s in all_sheets(job.layout) if s.name == name))


@cache
def dxf_of(lock: Lock, name: str) -> str:
    job, sheet = written(lock, name)
    return dxf_text(sheet.whole(job)[0], name)


def read_dxf(lock: Lock, name: str) -> Any:
    """Return the drawing that ezdxf reads from the written text."""
    return ezdxf.filemanagement.read(io.StringIO(dxf_of(lock, name)))


def closed_outlines(doc: Any, layer: str = "CUT") -> list[BaseGeometry]:
    """Return every closed polyline of a layer as an area, arcs flattened by ezdxf to 1 um."""
    return [
        Polygon(points_of(entity))
        for entity in doc.modelspace().query(f'LWPOLYLINE[layer=="{layer}"]')
        if entity.closed
    ]


def points_of(entity: Any) -> list[tuple[float, float]]:
    """Return points along a polyline or circle, by ezdxf's own lines and arcs, chords within 1 um."""
    # ezdxf's paths turn arcs into curves that are out by 0.00027 of the radius, so they are not used here
    if entity.dxftype() == "CIRCLE":
        return [(v.x, v.y) for v in entity.flattening(1e-3)]
    found: list[tuple[float, float]] = []
    for part in entity.virtual_entities():
        if part.dxftype() == "LINE":
            run = [(part.dxf.start.x, part.dxf.start.y), (part.dxf.end.x, part.dxf.end.y)]
        else:
            run = [(v.x, v.y) for v in part.flattening(1e-3)]
        # an arc of DXF always runs anticlockwise, whichever way the polyline went
        if (found and math.dist(found[-1], run[0]) > math.dist(found[-1], run[-1])) or (
            not found
            and part.dxftype() == "ARC"
            and math.dist(run[0], entity.get_points("xy")[0]) > 1e-9
        ):
            run.reverse()
        found += run if not found else run[1:]
    return found


def arcs(entity: Any) -> list[tuple[float, float, float]]:
    """Return centre and radius [mm] of each bulge of a polyline, as ezdxf reads it."""
    points = list(entity.get_points("xyb"))
    found = []
    for (x0, y0, bulge), (x1, y1, _) in zip(points, points[1:] + points[:1], strict=True):
        if bulge:
            ends = ((x0, y0), (x1, y1), bulge)
            centre = bulge_center(*ends)
            found.append((centre.x, centre.y, bulge_radius(*ends)))
    return found


def mirrored(area: BaseGeometry) -> BaseGeometry:
    """Return an area turned over about the line x = 0."""
    return shapely.transform(area, lambda q: q * [-1, 1])


def difference(one: BaseGeometry, other: BaseGeometry) -> float:
    """Return the area [mm2] in which two areas differ."""
    return float(one.symmetric_difference(other).area)


def circles(doc: Any, layer: str = "DRILL") -> list[tuple[float, float, float]]:
    """Return centre and radius [mm] of each circle of a layer, rounded to 1 um, sorted."""
    return sorted(
        (round(c.dxf.center.x, 3) + 0.0, round(c.dxf.center.y, 3) + 0.0, round(c.dxf.radius, 3))
        for c in doc.modelspace().query(f'CIRCLE[layer=="{layer}"]')
    )


def unbroken(dark: NDArray[np.bool_]) -> list[int]:
    """Return the lengths of all unbroken rows of dark pixels in a picture, shape (rows, columns)."""
    edged = np.pad(dark, ((0, 0), (1, 1))).astype(np.int8)
    change = np.diff(edged, axis=1)
    return [int(n) for n in np.nonzero(change == -1)[1] - np.nonzero(change == 1)[1]]


def near(one: tuple[float, ...], other: tuple[float, ...], within: float = 1e-6) -> bool:
    return math.dist(one, other) <= within
