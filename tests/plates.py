"""Plates drawn without the program: by shapely's discs and boxes, and by complex numbers."""

import cmath
import math

import numpy as np
import shapely
from shapely.geometry import Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from core.lock.lock import Lock

FINE = 720
"""Points on a quarter turn where shapely stands in for a circle: within 2e-6 of its radius."""


def mechanism_from_plate(lock: Lock, area: BaseGeometry) -> BaseGeometry:
    """Return `area` of the plate frame as the mechanism frame sees it, from the frame's definition."""
    pivot = np.array([lock.pivot.across, -lock.pivot.below])
    up = -pivot / np.linalg.norm(pivot)
    right = np.array([up[1], -up[0]])
    return shapely.transform(area, lambda q: (q - pivot) @ np.stack([right, up], 1))


def inner_wall(lock: Lock, fine: int = FINE) -> BaseGeometry:
    """Return the area inside the inner wall in the mechanism frame, by shapely alone."""
    area = plate_polygon(lock, fine).buffer(-lock.plate.rim, quad_segs=min(fine, 64))
    return mechanism_from_plate(lock, area)


def plate_polygon(lock: Lock, fine: int = FINE) -> BaseGeometry:
    """Return the plate in the plate frame as a fine polygon, made without the program's outlines."""
    plate = lock.plate
    half, h = plate.width / 2, plate.height
    match plate.outline:
        case "round":
            area: BaseGeometry = Point(0, -half).buffer(half, quad_segs=fine)
        case "oval":
            unit = Point(0, 0).buffer(1, quad_segs=fine)
            area = shapely.transform(unit, lambda q: q * [half, h / 2] - [0, h / 2])
        case "rectangle":
            r = min(plate.corner, half * 0.999999, h / 2 * 0.999999)
            area = box(-half + r, -h + r, half - r, -r).buffer(r, quad_segs=fine)
        case "shield":
            area = box(-half, -plate.straight, half, 0).union(_foot(half, plate.straight, h, fine))
        case "lobed":
            area = _lobed_polygon(half, h, plate.lobe, plate.notch, fine)
        case _:
            return traced_polygon(plate.points)
    across = plate.mark_across
    upright = area.intersection(shapely.LineString([(across, -5000), (across, 5000)]))
    return shapely.transform(area, lambda q: q - [across, upright.bounds[3]])


def _foot(half: float, above: float, h: float, fine: int) -> BaseGeometry:
    down = h - above
    r = (half**2 + down**2) / (2 * half)
    sides = []
    for sign in (-1, 1):
        disc = Point(sign * (half - r), -above).buffer(r, quad_segs=fine)
        ends = sorted((0.0, sign * half))
        sides.append(disc.intersection(box(ends[0], -above - 2 * r, ends[1], -above + 1e-9)))
    return shapely.union_all(sides)


def _lobed_polygon(half: float, h: float, lobe: float, notch: float, fine: int) -> BaseGeometry:
    apart = half - lobe
    low, high = 0.0, 1e6
    for _ in range(200):  # the fillet's radius by halving: its circle touches both lobes
        fillet = (low + high) / 2
        near = math.hypot(apart, lobe + fillet - notch) < lobe + fillet
        low, high = (low, fillet) if near else (fillet, high)
    # of each lobe only what is above its middle; below it the foot's arcs take over
    above = box(-half, -lobe, half, 0)
    discs = [Point(s * apart, -lobe).buffer(lobe, quad_segs=fine) & above for s in (-1, 1)]
    web = Polygon([(-apart, -lobe), (0, fillet - notch), (apart, -lobe)]).difference(
        Point(0, fillet - notch).buffer(fillet, quad_segs=fine)
    )
    return shapely.union_all([*discs, web, _foot(half, lobe, h, fine)])


def traced_polygon(points: tuple[tuple[float, ...], ...]) -> BaseGeometry:
    """Return the area inside traced points; an edge's arc is (e^(i f t) - 1) / (e^(i f) - 1).

    f = 4 atan(bulge) is the angle of the arc, by the definition in the DXF reference. Not more than 200
    points on an arc: with steps far below the inset's width shapely's buffer loses area.
    """
    corners = [complex(p[0], p[1]) for p in points]
    ring: list[complex] = []
    for k, start in enumerate(corners):
        step = corners[(k + 1) % len(corners)] - start
        turn = 4 * math.atan(points[k][2]) if len(points[k]) > 2 else 0.0
        if turn == 0:
            ring.append(start)
            continue
        share = np.arange(200) / 200
        ring += list(start + step * (np.exp(1j * turn * share) - 1) / (cmath.exp(1j * turn) - 1))
    return Polygon([(z.real, z.imag) for z in ring])


def zigzag(corners: int, deep: float = 1.0) -> tuple[tuple[float, ...], ...]:
    """Return a traced circle of 44 mm radius with every other corner set in, its datum at the top."""
    turns = [2 * math.pi * n / corners for n in range(corners)]
    radii = [44.0 - deep * (n % 2) for n in range(corners)]
    return tuple(
        (r * math.sin(t), r * math.cos(t) - 44.0) for r, t in zip(radii, turns, strict=True)
    )
