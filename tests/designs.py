"""Plausible locks made from a seed, for every test's use.

Everything here is worked out apart from `core`: the tooth by the fixed-point iteration of the design
page, the room inside the plate by `tests.plates`. A test that holds
the program against this module therefore holds it against something else than itself. The
generator is seeded, not drawn by hypothesis: every run sees the same locks, so a count of what was
tested can be asserted and a red test stays red.
"""

import math
import random
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

import numpy as np
import shapely
from shapely.geometry import Point, box
from shapely.geometry.base import BaseGeometry

from core.lock.lock import Lock, checked, specs
from tests.plates import inner_wall

OUTLINES = ("round", "oval", "rectangle", "shield", "lobed", "traced")


def seeded(seed: int | str) -> random.Random:
    """Return numbers by chance that are the same on every run."""
    return random.Random(seed)  # noqa: S311 - nothing secret is made here


@dataclass(frozen=True)
class Numbers:
    """The tooth by the page's fixed-point iteration: lengths [mm], angle [rad]."""

    offset: float
    foot: float
    on_relief: float
    flank: float
    driven: float
    release: float


def fixed_point(
    radius: float, bit: float, clearance: float, throw: float, pickup: float, low: float
) -> Numbers:
    """Iterate w0 and y_f until they stand still, as section 3 of the design page has it."""
    relief, half = radius + clearance, bit / 2

    def offset(y: float) -> float:
        return y * math.tan(-pickup) + half / math.cos(pickup)

    def settle(floor: float) -> float:
        y = math.sqrt(max(relief**2 - (throw + half) ** 2, 0.0))
        for _ in range(3000):
            a = throw + offset(y)
            last, y = y, max(math.sqrt(max(relief**2 - a * a, 0.0)), floor)
            if y == last:
                break
        return y

    foot = settle(low)
    w0 = offset(foot)
    driven = math.sqrt(max(radius**2 - foot**2, 0.0)) - w0
    release = math.acos(min(foot / radius, 1.0)) - math.asin(half / radius)
    return Numbers(w0, foot, settle(-math.inf), throw + w0, driven, release)


def numbers(lock: Lock) -> Numbers:
    """Return the tooth of a lock by the iteration."""
    return fixed_point(
        lock.key.radius, lock.key.bit_thickness, lock.fit.key_clearance,
        lock.shackle.engagement + lock.shackle.gap, math.radians(lock.tooth.pickup_angle),
        lock.bolt_line.height - lock.bolt.depth,
    )  # fmt: skip


@cache
def plausible(seed: int, **wanted: Any) -> Lock:
    """Return a lock that a maker might lay out; `wanted` fixes choices by name.

    Names: `outline`, `unlocks`, `roof`, `early` (a pick-up before top dead centre), `shallow` (the
    lower edge is the flanks' foot), `clearance` [mm].
    """
    rng = seeded(seed)

    def pick(name: str, options: tuple[Any, ...]) -> Any:
        drawn = rng.choice(options)
        return wanted.get(name, drawn)

    outline = pick("outline", OUTLINES)
    unlocks = pick("unlocks", ("right", "left"))
    roof = pick("roof", ("flat", "scribed"))
    early = pick("early", (False, True))
    shallow = pick("shallow", (False, False, True))
    while True:
        r = rng.uniform(15, 30)
        b = rng.uniform(2, 0.2 * r)
        c = rng.uniform(0.1, 0.5)
        c = wanted.get("clearance", c)
        t = rng.uniform(0.3, 0.62) * r
        p = rng.uniform(3, 18) if early else 0.0
        shank = rng.uniform(5, 8)
        n = fixed_point(r, b, c, t, math.radians(p), -math.inf)
        room = n.foot > shank / 2 + c + 1.5 and t + 2 * n.offset > b + 2 * c + 1
        if room and n.flank < 0.93 * (r + c) and n.driven > 0.5 * t:
            break
    line = r + c + rng.uniform(3, 5)
    deep = line - n.foot + rng.uniform(0.3, 1) * (n.foot - shank / 2 - c)
    if shallow:
        deep = line - n.foot - rng.uniform(0.1, 0.5) * (r - n.foot)
    n = fixed_point(r, b, c, t, math.radians(p), line - deep)
    nose, tail = (min(rng.uniform(4, 6), 0.9 * deep) for _ in range(2))
    lobe, slide = rng.uniform(3, 10), rng.uniform(0.05, 0.2)
    floor = rng.uniform(1.5, 2.5)

    def clear(leg: float) -> float:
        bottom = max(line - leg - slide - floor, 0.0)
        return math.sqrt((r + c) ** 2 - bottom**2)

    front = max(n.flank + lobe + slide, clear(nose)) + rng.uniform(0.1, 2)
    rear = max(n.offset + lobe + t + slide, clear(tail)) + rng.uniform(0.1, 2)
    width_front, width_rear = rng.uniform(3, 6), rng.uniform(3, 6)
    gap = rng.uniform(0.08, 0.2) * t
    face = front + width_front + slide + rng.uniform(0.2, 1) + gap
    diameter = rng.uniform(6, 9)
    side = -1 if unlocks == "right" else 1
    spring = rng.uniform(6, 9)
    thickness = rng.uniform(2.5, 4)
    values = {
        "title": f"Plausible {seed}",
        "unlocks": unlocks,
        "plate.outline": outline,
        "plate.rim": rng.uniform(2, 4),
        "plate.mark_across": rng.choice((0.0, rng.uniform(-3, 3))),
        "pivot.across": rng.choice((0.0, rng.uniform(-3, 3))),
        "pivot.hole": shank + 0.1,
        "bolt_line.height": line,
        "bolt_line.spring_room": spring,
        "key.radius": r,
        "key.bit_thickness": b,
        "key.shank": shank,
        "bolt.depth": deep,
        "bolt.thickness": thickness,
        "bolt.nose_height": nose,
        "bolt.tail_height": tail,
        "bolt.lobe_width": lobe,
        "tooth.pickup_angle": p,
        "tooth.roof": roof,
        "shackle.across": side * (face + diameter / 2),
        "shackle.diameter": diameter,
        "shackle.drop": nose + slide + thickness + rng.uniform(0.2, 1),
        "shackle.engagement": t - gap,
        "shackle.gap": gap,
        "front_guide.from_centreline": front,
        "front_guide.width": width_front,
        "front_guide.floor": floor,
        "rear_guide.from_centreline": rear,
        "rear_guide.width": width_rear,
        "rear_guide.floor": floor,
        "fit.key_clearance": c,
        "fit.slide_clearance": slide,
        "fit.bridge_min": rng.uniform(2, 2.9),
        "fit.detent_capture": max(t - n.driven, 0.0) + rng.uniform(0.2, 1),
    }
    lock = Lock()
    for path, value in values.items():
        lock = lock.with_value(path, value)
    return checked(
        _with_plate(lock, rng, needed(lock, face + max(diameter, t), rear + width_rear + t))
    )


@cache
def tight(seed: int) -> Lock:
    """Return a plausible lock whose pick-up is so early that its gap is 0.4 to 2.2 times as wide as the bit.

    Of such locks some turn and some foul. The lock with the nearest gap that its throw and key can have.
    """
    rng = seeded(f"tight {seed}")
    lock = plausible(seed, early=True)
    wanted = rng.uniform(0.4, 2.2) * lock.key.bit_thickness

    def gap(pickup: float) -> float:
        n = numbers(lock.with_value("tooth.pickup_angle", pickup))
        return n.flank + n.offset

    def drives(pickup: float) -> bool:
        n = numbers(lock.with_value("tooth.pickup_angle", pickup))
        return n.foot < lock.key.radius and n.release > -math.radians(pickup)

    low, high = 0.5, 35.0
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if gap(middle) > wanted and drives(middle) else (low, middle)
    return lock.with_value("tooth.pickup_angle", low)


def turned(seed: int) -> Lock:
    """Return the lock of a number from a mixed lot: of four, two plausible as they are and two tight."""
    return tight(seed) if seed % 4 in (1, 2) else plausible(seed)


def needed(lock: Lock, left: float, right: float) -> BaseGeometry:
    """Return what has to be inside the inner wall, roughly, in the mechanism frame [mm]."""
    top = lock.bolt_line.height + lock.bolt_line.spring_room + 1
    # the whole box down to the lowest of them: more than is needed, and simple
    low = lock.bolt_line.height - max(
        lock.shackle.drop, lock.bolt.tail_height + 3, lock.bolt.nose_height + 3, lock.bolt.depth
    )
    sides = (-left - 1, right + 1) if lock.unlocks == "right" else (-right - 1, left + 1)
    circle = Point(0, 0).buffer(lock.key.radius + lock.fit.key_clearance + 1)
    return circle.union(box(sides[0], low, sides[1], top))


def _with_plate(lock: Lock, rng: random.Random, inside: BaseGeometry) -> Lock:
    """Return the lock with the plate made larger until `inside` has room."""
    left, low, right, top = inside.bounds
    half, above = max(-left, right), top + 2
    shape = [rng.uniform(0, 1) for _ in range(24)]
    for grow in np.linspace(1.0, 3.0, 81):
        tall = grow * (above - low) + 4
        wide = 2 * half * float(grow) + 4
        below = above + (0.25 if lock.plate.outline in ("round", "oval", "lobed") else 0.05) * (
            grow - 1
        ) * (above - low)
        lobe = (0.2 + 0.25 * shape[2]) * wide
        apart = wide / 2 - lobe
        # so deep the lobes meet by themselves
        meet = lobe - math.sqrt(max(lobe**2 - apart**2, 0.0))
        plate = replace(
            lock.plate,
            width=wide,
            height=tall,
            corner=4 + 8 * shape[0],
            straight=(0.3 + 0.5 * shape[1]) * tall,
            lobe=lobe,
            notch=(0.2 + 0.6 * shape[3]) * min(meet, 10),
            points=_traced(wide, tall, shape),
        )
        tried = replace(lock, plate=plate, pivot=replace(lock.pivot, below=below + 4))
        if inner_wall(tried, 24).buffer(-0.05).contains(inside):
            return tried
    raise AssertionError("no plate was found for a plausible lock")


def _traced(wide: float, tall: float, shape: list[float]) -> tuple[tuple[float, ...], ...]:
    """Return corners with bulges, the datum mark on the top edge at the origin."""
    half = wide / 2
    corners = [(-half, 0.0), (half, 0.0), (1.1 * half, -tall / 2), (0.6 * half, -tall),
               (-0.6 * half, -tall), (-1.1 * half, -tall / 2)]  # fmt: skip
    bulges = [0.0, *(0.35 * (x - 0.4) for x in shape[4:9])]
    if shape[9] < 0.5:
        # the other way round: the bulge of an edge turns its sign and moves to its other end
        corners = [corners[0], *corners[:0:-1]]
        bulges = [-x for x in bulges[::-1]]
    first = int(shape[10] * 6)
    points: list[tuple[float, ...]] = [
        (x, y, k) if k else (x, y) for (x, y), k in zip(corners, bulges, strict=True)
    ]
    points = points[first:] + points[:first]
    return tuple(points + points[:1] if shape[11] < 0.3 else points)


def bits(
    radius: float, bit: float, angles: Any, travel: Any = 0.0, tip: int = 33
) -> np.ndarray[Any, Any]:
    """Return the bit at `angles` [rad], clockwise from +y, as polygons: flat faces and a round tip.

    With `travel` [mm], one for each angle, as a bolt sees it that has gone so far.
    """
    half = bit / 2
    beta = math.asin(half / radius)
    round_tip = np.linspace(-beta, beta, tip)
    x = np.concatenate([[-half], radius * np.sin(round_tip), [half]])
    y = np.concatenate([[0.0], radius * np.cos(round_tip), [0.0]])
    # clockwise by t is multiplication by e^(-it)
    corners = (x + 1j * y) * np.exp(-1j * np.asarray(angles))[:, None]
    corners -= np.broadcast_to(travel, np.shape(angles))[:, None]
    made: np.ndarray[Any, Any] = shapely.polygons(np.stack([corners.real, corners.imag], -1))
    return made


def moved(area: BaseGeometry, dx: float) -> BaseGeometry:
    """Return `area` moved across by `dx` [mm]."""
    return shapely.transform(area, lambda q: q + np.array([dx, 0.0]))


OF_THE_DETENT = (
    "detent.", "spring.free_length", "spring.width", "spring.thickness", "spring.preload", "spring.tip_radius",
    "spring.tip_height", "spring.foot_length", "stops.",
)  # fmt: skip
"""Sizes that count with strip and notches only, or with stops that are asked for: `tests/held_locks.py` draws them."""


@cache
def stretched(seed: int) -> Lock:
    """Return a plausible lock with some of its sizes far off, so that much of it conflicts."""
    rng = seeded(f"stretched {seed}")
    lock = plausible(seed % 40)
    for path, spec in specs().items():
        if path.startswith(OF_THE_DETENT) or spec.kind.name not in ("length", "position", "across"):
            continue
        if rng.random() < 0.15:
            value = lock.value(path) * math.exp(rng.uniform(-0.7, 0.7))
            value += rng.uniform(-5, 5) if spec.kind.name in ("position", "across") else 0.0
            lock = lock.with_value(path, min(max(value, spec.low), spec.high))
    if rng.random() < 0.2:
        lock = lock.with_value("tooth.pickup_angle", rng.uniform(0, 60))
    return lock
