"""What sets an end of a window touches there what it is held against: both measured anew, without the program.

Shapely alone, on a plate and frames that are drawn here; the tooth by the design page's iteration.
"""

import math

import numpy as np
from shapely.affinity import rotate, scale, translate
from shapely.geometry import LineString, Point, box

from core.geometry.path import Line
from core.layout.layout import Layout
from core.layout.windows import Bound
from core.lock.lock import Lock
from core.mechanism.law import STROKES
from core.parts import tooth
from core.parts.bolt_contour import bolt
from core.parts.least_sizes import LEAST_PLAY
from tests.config_space import outline, rig_of
from tests.designs import numbers
from tests.plates import inner_wall

LEGS = ("bolt.nose_height", "bolt.tail_height")


def touching(lock: Lock, bound: Bound) -> tuple[float, float] | None:
    """Return what is measured at the end and what it should be [mm]; None where nothing is told."""
    at = lock.with_value(bound.path, bound.value)
    n, slide, line = numbers(at), at.fit.slide_clearance, at.bolt_line.height
    relief = at.key.radius + at.fit.key_clearance
    throw = at.shackle.engagement + at.shackle.gap
    sign = 1.0 if at.unlocks == "right" else -1.0
    face = -sign * at.shackle.across - at.shackle.diameter / 2

    def drive_box(x0: float, y0: float, x1: float, y1: float) -> tuple[float, float, float, float]:
        left, right = sorted((sign * x0, sign * x1))
        return (left, y0, right, y1)

    def wall_from(x0: float, y0: float, x1: float, y1: float) -> float:
        """Distance of a box from the wall around it, less than nothing where it crosses the wall."""
        wall, area = inner_wall(at), box(*drive_box(x0, y0, x1, y1))
        if wall.contains(area):
            return float(wall.exterior.distance(area))
        return -float(area.difference(wall).area)

    def guide(side: int, leg: float, near: float, width: float, floor: float) -> float:
        low = line - leg - slide - floor
        area = box(*drive_box(side * near, low, side * (near + width), line + slide))
        return float(area.distance(Point(0, 0)))

    match bound.code.name:
        case "key-hits-wall":
            return float(inner_wall(at).exterior.distance(Point(0, 0))), relief
        case "spring-room":
            left = -n.flank - at.bolt.lobe_width
            right = n.offset + at.bolt.lobe_width + throw
            return wall_from(left, line, right, line + at.bolt_line.spring_room), 0.0
        case "tail-hits-wall":
            guide_end = at.rear_guide.from_centreline + at.rear_guide.width
            return wall_from(0.0, line - at.bolt.tail_height, guide_end + throw + slide, line), 0.0
        case "shackle-outside-wall":
            return wall_from(-face - at.shackle.diameter, line - at.shackle.drop, -face, line), 0.0
        case "shackle-in-key-circle":
            edge = LineString([(-sign * face, line), (-sign * face, line - at.shackle.drop)])
            return float(edge.distance(Point(0, 0))), relief
        case "front-guide-in-key-circle":
            g = at.front_guide
            return guide(-1, at.bolt.nose_height, g.from_centreline, g.width, g.floor), relief
        case "rear-guide-in-key-circle":
            r = at.rear_guide
            return guide(1, at.bolt.tail_height, r.from_centreline, r.width, r.floor), relief
        case "foot-at-shank":
            return n.on_relief, at.key.shank / 2 + at.fit.key_clearance
        case "home-travel":
            return throw - n.driven, at.fit.detent_capture
        case "bolt-shallow":
            return line - at.bolt.depth, n.on_relief
        case "bridge-thin":
            return line - relief, at.fit.bridge_min
        case "front-guide-at-body":
            return at.front_guide.from_centreline - n.flank - at.bolt.lobe_width, slide
        case "rear-guide-at-body":
            reach = n.offset + throw + at.bolt.lobe_width
            return at.rear_guide.from_centreline - reach, slide
        case "front-guide-at-shackle":
            return face - at.front_guide.from_centreline - at.front_guide.width, slide
        case "front-guide-outside-wall" | "rear-guide-outside-wall" as name:
            rear = name.startswith("rear")
            side, own = (1 if rear else -1), (at.rear_guide if rear else at.front_guide)
            leg = at.bolt.tail_height if rear else at.bolt.nose_height
            far, low = own.from_centreline + own.width, line - leg - slide - own.floor
            return wall_from(side * own.from_centreline, low, side * far, line + slide), 0.0
        case "bolt-outside-wall":
            return bolt_in_wall(at), 0.0
        case "nose-too-short":
            return face + at.shackle.engagement - n.flank - at.bolt.lobe_width, 0.0
        case "nose-leaves-guide":
            return face - at.shackle.gap - at.front_guide.from_centreline, 0.0
        case "home-budget":
            return budget_of(at), at.fit.detent_capture
        case "play-over-clearance":
            return (at.pivot.hole - at.key.shank) / 2 + slide, at.fit.key_clearance
        case "pivot-hole-small":
            return at.pivot.hole, at.key.shank
        case "spring-off-bolt":
            tail = at.rear_guide.from_centreline + at.rear_guide.width
            tip = sign * at.spring.tip_across
            return min(tip + face - at.shackle.gap, tail - tip), 0.0
        case "lip-thin":
            return sheared(at), at.bolt.nose_height * at.bolt.thickness
        case "lip-none":
            return at.shackle.drop - at.bolt.nose_height - slide, at.fit.metal_min
        case "cheeks-thin":
            return beside_eye(at), at.fit.metal_min
        case "nose-gap-small":
            return at.shackle.gap, slide
        case "key-clearance-small":
            return at.fit.key_clearance, slide
        case "slide-clearance-none":
            return slide, LEAST_PLAY
        case name if name.endswith("-thin"):
            return float(at.value(bound.path)), at.fit.metal_min
        case "bolt-at-shank":
            return line - at.bolt.depth - at.key.shank / 2, at.fit.key_clearance
        case "chamfer-large":
            return chamfer_spare(at), 0.0
        case "key-fouls-bolt" if bound.path in LEGS:
            return bound.value, leg_met(at, bound.path)
        case "key-fouls-bolt":
            return narrowest_room(at), 0.0
        case _:
            return None


def leg_met(lock: Lock, path: str) -> float:
    """Return the height [mm] from which on a leg is met by the key, from corners and sides of a bit drawn anew.

    The bit turns in steps of 0.02 degrees, the bolt goes by the law: that is held against a rigid-body engine.
    """
    way, n, half = tooth.course(Layout(lock)), numbers(lock), lock.key.bit_thickness / 2
    angles = np.radians(np.arange(-180.0, 180.0, 0.02))[:, None]
    lobe = lock.bolt.lobe_width
    beside, side = (-n.flank - lobe, -1) if path == LEGS[0] else (n.offset + lobe, 1)
    across = np.linspace(-half, half, 9)
    tip = np.stack([across, np.sqrt(lock.key.radius**2 - across**2)], 1)
    x, y = np.concatenate([[[-half, 0.0]], tip, [[half, 0.0], [-half, 0.0]]]).T
    highest = -math.inf
    for stroke in STROKES:
        right = x * np.cos(angles) + y * np.sin(angles)
        past = (right - way.travel(angles[:, 0], stroke)[:, None] - beside) * side
        high = y * np.cos(angles) - x * np.sin(angles)
        highest = max(highest, float(high[past > 0].max(initial=-math.inf)))
        # where a side of the bit crosses the leg's own, between two corners
        one, other, low, top = past[:, :-1], past[:, 1:], high[:, :-1], high[:, 1:]
        crosses = one * other < 0
        share = one[crosses] / (one - other)[crosses]
        at = low[crosses] + share * (top - low)[crosses]
        highest = max(highest, float(at.max(initial=-math.inf)))
    return lock.bolt_line.height - highest


def bolt_in_wall(lock: Lock) -> float:
    """Return how near [mm] the bolt comes to the inner wall at either seat; below 0 it cuts into it."""
    wall, body = inner_wall(lock), outline(Layout(lock))
    if lock.unlocks == "left":
        wall = scale(wall, -1.0, 1.0, origin=(0.0, 0.0))
    seats = (body, translate(body, lock.shackle.engagement + lock.shackle.gap))
    return min(
        float(wall.exterior.distance(seat)) - math.sqrt(seat.difference(wall).area)
        for seat in seats
    )


def budget_of(lock: Lock) -> float:
    """Return what is left to the detent at the most [mm], each play measured by a turning bit on a flank that is moved.

    The bit is a fine outline, the flank a box whose foot is where the iteration has it: no law of motion.
    """
    n, slide = numbers(lock), lock.fit.slide_clearance
    throw = lock.shackle.engagement + lock.shackle.gap
    raised = n.driven - pushed(lock, up=slide)
    tilted = max(n.driven - pushed(lock, lean=leaning(lock), way=way) for way in (1, -1))
    shank = max(lock.pivot.hole - lock.key.shank, 0.0) / 2
    return throw - n.driven + n.driven - pushed(lock, away=shank) + max(raised, tilted)


def leaning(lock: Lock) -> float:
    """Return the angle [rad] at which a leg as high as the mean of both touches roof and floor, by halving."""
    leg = (lock.bolt.nose_height + lock.bolt.tail_height) / 2
    front, rear = lock.front_guide, lock.rear_guide
    span = front.from_centreline + front.width + rear.from_centreline + rear.width
    low, high = 0.0, 1.0
    for _ in range(60):
        t = (low + high) / 2
        strip = rotate(box(-span, 0, 2 * span, leg), t, use_radians=True)
        turned = strip.intersection(box(0, -span, span, 2 * span)).bounds
        low, high = (
            (t, high) if turned[3] - turned[1] < leg + 2 * lock.fit.slide_clearance else (low, t)
        )
    return low


def pushed(
    lock: Lock, *, up: float = 0.0, lean: float = 0.0, way: int = 1, away: float = 0.0
) -> float:
    """Return how far [mm] a turning bit pushes a flank that is raised or leans, its pivot so far away.

    The flank is a box; of each bit what lies above the flank's foot pushes, by its point farthest ahead.
    """
    n, front, rear = numbers(lock), lock.front_guide, lock.rear_guide
    leg = (lock.bolt.nose_height + lock.bolt.tail_height) / 2
    middle = way * (rear.from_centreline + rear.width - front.from_centreline - front.width) / 2
    high = lock.bolt_line.height - leg / 2
    foot = complex(n.offset + n.driven - middle, n.foot - high) * np.exp(1j * lean)
    foot += complex(middle, high + up)
    angles = n.release + np.linspace(-0.12, 0.12, 24001)
    r, half = lock.key.radius, lock.key.bit_thickness / 2
    corner = r * np.exp(1j * (math.pi / 2 - angles - math.asin(half / r))) - away
    above = corner.imag >= foot.imag
    # the flank leans with the bolt: where the corner touches it above the foot it stands that much farther back
    ahead = corner.real + (corner.imag - foot.imag) * math.tan(lean)
    return float(n.driven + (ahead[above] - foot.real).max())


def sheared(lock: Lock) -> float:
    """Return what shears [mm2] below the nose, the end's round section cut by shapely where eye or notch ends."""
    r, slot = lock.shackle.diameter / 2, lock.bolt.thickness + 2 * lock.fit.slide_clearance
    eye = lock.shackle.catch == "eye"
    planes = (-slot / 2, slot / 2) if eye else (r - lock.shackle.engagement,)
    disc = Point(0, 0).buffer(r, quad_segs=500)
    cut = sum(disc.intersection(LineString([(x, -2 * r), (x, 2 * r)])).length for x in planes)
    return float(cut) * (lock.shackle.drop - lock.bolt.nose_height - lock.fit.slide_clearance)


def beside_eye(lock: Lock) -> float:
    """Return the metal [mm] on either side of the eye, across the middle of the end."""
    r, slot = lock.shackle.diameter / 2, lock.bolt.thickness + 2 * lock.fit.slide_clearance
    across = LineString([(0, -r), (0, r)])
    return float(across.difference(box(-r, -slot / 2, r, slot / 2)).length / 2)


def chamfer_spare(lock: Lock) -> float:
    """Return how far [mm] the chamfer's line ends from the flank's foot or from the lobe's side, whichever is less."""
    n = numbers(lock)
    slanting = [
        s for s in bolt(Layout(lock)).contour.segments
        if isinstance(s, Line) and s.start[0] != s.end[0] and abs(s.start[1] - s.end[1]) > 1e-3
    ]  # fmt: skip
    line = max(slanting, key=lambda s: s.start[0])
    (low_x, _), (_, high_y) = sorted((line.start, line.end), key=lambda p: p[1])
    return min(abs(high_y - n.foot), abs(n.offset + lock.bolt.lobe_width - low_x))


def narrowest_room(lock: Lock) -> float:
    """Return the least room [mm] that a sweep without the law finds for the bolt while the bit is in the gap."""
    rig, n = rig_of(Layout(lock)), numbers(lock)
    angles = np.linspace(-abs(n.release), abs(n.release), 201)
    rig.look(angles)
    rooms = [
        [end - begin for begin, end in rig.free(float(t)).gaps if end - begin < math.inf] or [0.0]
        for t in angles
    ]
    return min(min(room) for room in rooms)
