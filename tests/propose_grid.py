"""A brute-force grid of locks on a plate, each measured by shapely alone, as a referee of proposals.

The plate is drawn by `tests.plates`, the tooth by half chords. Room is measured
by laying a part's shape, drawn out to far beyond the plate, over what stands outside the inner wall. Only which
sizes are tried is taken from the program: these are data.
"""

import itertools
import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from shapely.geometry import Point, box
from shapely.geometry.base import BaseGeometry

from core.lock.first_lock import first_lock
from core.lock.lock import Lock
from core.propose.given import Given
from tests.designs import seeded
from tests.locks import changed
from tests.plates import inner_wall

FAR = 300.0
OUTLINES = ("round", "oval", "rectangle", "shield", "lobed")
WRIST = 50.0
"""Degrees that a wrist turns comfortably, the least of the published ones (shared/hand_torques.toml)."""
EDGE = 0.2
"""What a file takes off an edge [mm] (common practice, no source)."""
STEEL, COCKING = 0.42, 1.5
"""Friction of clean steel on steel at the most (see DEVELOPERS.md, Values printed for friction), and the cocking ratio,
span over twice friction times lever, that is wanted where 1 binds (common practice, no source)."""
_FINE = 48


def random_plate(seed: int) -> Lock:
    """Return a new lock on a plate by chance, from too small to ample, with a shackle's end beside its wall."""
    rng = seeded(f"plate {seed}")
    wide = rng.uniform(44, 100)
    high = wide * rng.uniform(0.9, 1.35)
    rim, thick = rng.uniform(2, 5), rng.uniform(5, 9)
    unlocks = rng.choice(("right", "left"))
    side = -1 if unlocks == "right" else 1
    return changed(
        first_lock("mm"), {
            "unlocks": unlocks, "plate.outline": rng.choice(OUTLINES), "plate.width": wide, "plate.height": high,
            "plate.straight": 0.42 * high, "plate.lobe": 0.24 * wide, "plate.notch": 0.07 * high,
            "plate.corner": 0.08 * wide, "plate.rim": rim, "shackle.diameter": thick,
            "shackle.across": side * (wide / 2 - rim - thick / 2 - rng.uniform(1, 5)),
            "bolt.thickness": rng.uniform(2, 4), "shackle.catch": rng.choice(("eye", "notch")),
        },
    )  # fmt: skip


@dataclass(frozen=True)
class Best:
    """The best of a grid: its margin [mm], below 0 where nothing fits, and what it was."""

    margin: float
    values: dict[str, float]


def best_of_grid(lock: Lock, pivots: int = 9, radii: int = 7, lines: int = 5) -> Best:
    """Return the lock with the widest margin of a grid over sizes, pivot, key and bolt line."""
    best = Best(-math.inf, {})
    slot = lock.bolt.thickness + 2 * lock.fit.slide_clearance
    if lock.shackle.catch == "eye" and (lock.shackle.diameter - slot) / 2 < lock.fit.metal_min:
        # in an end so thin no eye leaves metal enough beside it, wherever all else stands
        return best
    sizes = Given(lock).sizes
    high = lock.plate.width if lock.plate.outline == "round" else lock.plate.height
    for below in np.linspace(0.15, 0.85, pivots) * high:
        wall = _wall(lock, float(below))
        outside = box(-FAR, -FAR, FAR, FAR).difference(wall)
        shapely.prepare(outside)
        away = Point(0, 0).distance(outside)
        for number in range(0, len(sizes["shackle.gap"]), 2):
            size = {path: float(values[number]) for path, values in sizes.items()}
            for radius in np.linspace(6.0, max(away - 0.3, 6.1), radii):
                for up in np.linspace(0.1, 4.0, lines):
                    found = _margin(
                        lock, size, outside, away, float(radius), float(up), best.margin
                    )
                    if found.margin > best.margin:
                        best = Best(found.margin, {"pivot.below": float(below), **found.values})
    return best


def _wall(lock: Lock, below: float) -> BaseGeometry:
    area = inner_wall(lock.with_value("pivot.below", below), _FINE)
    if lock.unlocks == "left":
        area = shapely.transform(area, lambda q: q * [-1, 1])
    return area


def _margin(
    lock: Lock,
    size: dict[str, float],
    outside: BaseGeometry,
    away: float,
    radius: float,
    up: float,
    floor: float,
) -> Best:
    """Return the least room of one lock, -inf where it cannot be, wants a look, or has less than `floor`."""
    none = Best(-math.inf, {})
    clear, slide, bit = lock.fit.key_clearance, lock.fit.slide_clearance, lock.key.bit_thickness
    throw = size["shackle.engagement"] + size["shackle.gap"]
    relief = radius + clear
    line = relief + lock.fit.bridge_min + up
    # picked up at top dead centre: half chords, as the design page has them
    flank, shank = throw + bit / 2, lock.key.shank / 2 + clear
    if flank >= relief:
        return none
    foot = math.sqrt(relief**2 - flank**2)
    if foot <= shank or foot >= radius:
        return none
    driven = math.sqrt(radius**2 - foot**2) - bit / 2
    if math.degrees(math.acos(foot / radius) - math.asin(bit / 2 / radius)) > WRIST:
        return none
    nose, tail = size["bolt.nose_height"], size["bolt.tail_height"]
    deep = max(line - foot, nose, tail)
    if driven <= 0:
        return none
    home = throw - driven
    # the detent takes over a capture before the seat: what is left of the flank there
    x = throw - lock.fit.detent_capture + bit / 2
    if math.sqrt(max(radius**2 - x**2, 0.0)) - foot < EDGE:
        return none
    left, right = flank + size["bolt.lobe_width"], bit / 2 + size["bolt.lobe_width"]
    face = abs(lock.shackle.across) - lock.shackle.diameter / 2
    drop = nose + slide + lock.bolt.thickness
    rooms = [
        away - relief, up, foot - shank, lock.fit.detent_capture - home, line - shank - deep,
        face + size["shackle.engagement"] - left,
    ]  # fmt: skip
    if face < relief:
        rooms.append(line - math.sqrt(relief**2 - face**2) - drop)
    measures: tuple[Callable[[], float], ...] = (
        lambda: _up(outside, -left, right + throw, line) - size["bolt_line.spring_room"],
        lambda: _over(outside, -face - lock.shackle.diameter, -face, line - drop, line),
    )
    for measure in measures:
        if min(rooms) < max(floor, 0.0):  # not worth measuring
            return none
        rooms.append(measure())
    guides, span = [], 0.0
    for way, leg, body in ((-1, nose, left), (1, tail, right + throw)):
        table = "front_guide" if way < 0 else "rear_guide"
        width = size[f"{table}.width"]
        bottom = line - leg - slide - size[f"{table}.floor"]
        low = max(body + slide, math.sqrt(max(relief**2 - max(bottom, 0.0) ** 2, 0.0)))
        room = _beside(outside, way, low, bottom, line + slide) - width
        if way < 0:
            room = min(room, face - slide - width, face - size["shackle.gap"] - width / 2)
        else:
            room = min(room, _beside(outside, way, low, line - leg, line) - slide - throw - width)
        # not farther out than that: the bolt would only grow
        near = max(
            _places(low, min(room, low + 8.0)),
            key=lambda g: min(g - low, room - g, 3.0),
            default=low - 1.0,
        )
        guides.append(min(near - low, room - near))
        span += near + width / 2
    lever = line - (nose + tail) / 4 - foot
    if span / (2 * STEEL * lever) < COCKING:
        return none
    values = {"key.radius": radius, "bolt_line.height": line, "bolt.depth": deep, **size}
    return Best(min(*rooms, *guides), values)


def _places(low: float, high: float) -> Iterator[float]:
    return (float(g) for g in np.arange(math.ceil(low / 0.25) * 0.25, high, 0.25))


def _first(outside: BaseGeometry, way: BaseGeometry, end: int) -> float:
    met = way.intersection(outside)
    return float("nan") if met.is_empty else float(met.bounds[end])


def _up(outside: BaseGeometry, x0: float, x1: float, y: float) -> float:
    return _first(outside, box(x0, y, x1, FAR), 1) - y


def _beside(outside: BaseGeometry, way: int, x: float, y0: float, y1: float) -> float:
    if way > 0:
        return _first(outside, box(x, y0, FAR, y1), 0)
    return -_first(outside, box(-FAR, y0, -x, y1), 2)


def _over(outside: BaseGeometry, x0: float, x1: float, low: float, line: float) -> float:
    """Return how much farther down the shackle's end could come; below 0 where it stands in the wall."""
    if box(x0, low, x1, line).intersects(outside):
        return -1.0
    return low - _first(outside, box(x0, -FAR, x1, low), 3)


def forty() -> list[Lock]:
    """Return forty ordinary plates: five outlines, 60 to 100 mm wide, for either hand."""
    found: list[Any] = []
    for k, (outline, wide) in enumerate(
        itertools.product(OUTLINES, (60, 65, 70, 75, 80, 85, 92, 100))
    ):
        high = round(wide * (1.0, 1.1, 1.2)[k % 3])
        unlocks = ("right", "left")[k % 2]
        side = -1 if unlocks == "right" else 1
        across = side * round(wide / 2 - 4 - 3.5 - 2)
        found.append(
            changed(
                first_lock("in" if k % 4 == 3 else "mm"), {
                    "unlocks": unlocks, "plate.outline": outline, "plate.width": float(wide),
                    "plate.height": float(high), "plate.straight": round(0.42 * high, 0),
                    "plate.lobe": round(0.24 * wide, 0), "plate.notch": round(0.07 * high, 0),
                    "shackle.across": float(across),
                },
            )
        )  # fmt: skip
    return found
