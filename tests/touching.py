"""Where bit and bolt touch, found by the distance that shapely gives; it knows no law of motion."""

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

Corners = Sequence[tuple[float, float]]
WITHIN = 1e-9
"""Travel [mm] to which a touch is found."""


def bit_at(bit: Corners, angle: float, pivot: tuple[float, float] = (0.0, 0.0)) -> BaseGeometry:
    """Return a bit that points up, about the origin, turned by `angle` [rad] about a `pivot` [mm]."""
    corners = np.array(bit) @ np.array([1.0, 1j]) * np.exp(-1j * angle) + complex(*pivot)
    return shapely.Polygon(np.stack([corners.real, corners.imag], axis=-1))


def touched(
    bolt: BaseGeometry, bit: BaseGeometry, clear: float, inside: float
) -> tuple[float, tuple[float, float]]:
    """Return the travel [mm] at which a bolt just touches the bit, and the place where it does.

    The bolt is clear of the bit at the travel `clear` and overlaps it at `inside`; between them is one touch. Near it
    the distance falls along a straight line: a hair to either side of where that comes to nothing is looked at, and
    then half-way.
    """
    way, gap = math.copysign(1.0, inside - clear), _away(bolt, bit, clear)
    slope = 1.0  # what is some way off is not met by less travel than that
    while abs(clear - inside) > WITHIN:
        guess = clear + way * gap / slope
        for looked in (guess - way * WITHIN / 3, guess + way * WITHIN / 3, (clear + inside) / 2):
            if not 0 < way * (looked - clear) < way * (inside - clear):
                continue
            left = _away(bolt, bit, looked)
            if left > 0:
                slope = max((gap - left) / (way * (looked - clear)), 1e-6)
                clear, gap = looked, left
            else:
                inside = looked
    between = shapely.shortest_line(_moved(bolt, clear), bit)
    x, y = shapely.get_coordinates(between)[0]
    return clear, (float(x), float(y))


def on_upright_edge(bolt: BaseGeometry, travel: float, place: tuple[float, float]) -> bool:
    """Say whether a place on the bolt [mm] lies on one of its upright edges, their ends counted in."""
    points = shapely.get_coordinates(bolt.exterior)
    x, y = place[0] - travel, place[1]
    for (x0, y0), (x1, y1) in pairwise(points):
        upright = abs(x0 - x1) < 1e-9 and abs(x - x0) < 1e-6
        if upright and min(y0, y1) - 1e-6 <= y <= max(y0, y1) + 1e-6:
            return True
    return False


def let_go(bolt: BaseGeometry, bit: Corners, throw: float, stroke: str = "unlocking") -> float:
    """Return the key angle [rad] at which the bit leaves the flank that it drives.

    Asked of the part of the bolt on the driven side alone, brought back to the bit at each angle: when does what
    touches cease to be the bit's leading face, its corner counted in, and an upright edge of the bolt?
    """
    way = 1 if stroke == "unlocking" else -1
    middle = -throw / 2
    half = shapely.box(middle, -1e3, 1e3, 1e3) if way > 0 else shapely.box(-1e3, -1e3, middle, 1e3)
    ahead, leading = bolt.intersection(half), max(x for x, _ in bit)

    def drives(angle: float) -> bool:
        shape = bit_at(bit, way * angle)
        if shape.bounds[3] <= ahead.bounds[1]:
            return False
        inside = _overlapping(ahead, shape, way)
        if inside is None:  # it comes up beside the bolt by less than can be seen
            return False
        travel, (x, y) = touched(ahead, shape, way * 100.0, inside)
        on_face = abs(way * x * math.cos(angle) - y * math.sin(angle) - leading) < 1e-6
        return on_face and on_upright_edge(ahead, travel, (x, y))

    looks = [float(angle) for angle in np.linspace(-math.pi / 3, math.pi / 2, 101)]
    # asked from the end: where it drives before the last time is of no matter
    last = next(k for k in reversed(range(len(looks))) if drives(looks[k]))
    low, high = looks[last], looks[last + 1]
    while high - low > 1e-7:
        at = (low + high) / 2
        low, high = (at, high) if drives(at) else (low, at)
    return way * low


def _overlapping(bolt: BaseGeometry, bit: BaseGeometry, way: int) -> float | None:
    """Return a travel at which the bolt overlaps the bit, coming from the side that it is pushed to, None for none."""
    travels = way * np.arange(60.0, -60.0, -1.0)
    corners = shapely.get_coordinates(bit)
    # the bit goes the other way in place of the bolt
    shifts = np.stack([-travels, np.zeros_like(travels)], axis=-1)
    shapely.prepare(bolt)
    met = np.flatnonzero(shapely.intersects(bolt, shapely.polygons(corners + shifts[:, None, :])))
    return float(travels[met[0]]) if len(met) else None


def _away(bolt: BaseGeometry, bit: BaseGeometry, travel: float) -> float:
    return float(shapely.distance(_moved(bolt, travel), bit))


def _moved(area: BaseGeometry, travel: float) -> BaseGeometry:
    return shapely.transform(area, lambda q: q + np.array([travel, 0.0]))
