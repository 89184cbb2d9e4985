"""A rigid-body engine (pymunk) as a second opinion on what a key does to a bolt: it knows no law of motion.

Settings, without which it answers another question (found by trial): space damping 0, so that a bolt that is not
pushed stands still and does not coast on; steps of at most 1e-3 s at about 1 rad/s; 10 iterations; the bolt's
moment infinite where it only slides; outlines without radius; the key's angle set together with its angular
velocity. The bolt is held in a groove, not by overwriting its velocity, which would falsify the push of
a slanting face. It lags behind the key by one step. Lengths mm, angles rad clockwise from +y.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import pymunk
import shapely
from numpy.typing import NDArray
from pymunk.autogeometry import convex_decomposition
from shapely.geometry.base import BaseGeometry

Array = NDArray[np.float64]
Corners = Sequence[tuple[float, float]]
STEP = 2e-4
"""Turn [rad] in one step of the engine, at one radian in a second."""


def bar(length: float, thickness: float) -> Corners:
    """Return a bit with flat faces about its mid-line, its outer corners `length` [mm] from the pivot."""
    half = thickness / 2
    tip = math.sqrt(length**2 - half**2)
    return [(-half, 0.0), (half, 0.0), (half, tip), (-half, tip)]


def face(x: float, foot: float, ahead: int = 1) -> Corners:
    """Return a block whose upright face stands at `x` from `foot` [mm] up, its metal to +x or, -1, to -x."""
    far = x + 30 * ahead
    return [(x, foot), (far, foot), (far, foot + 30), (x, foot + 30)]


def pieces(area: BaseGeometry) -> list[Corners]:
    """Return an area without holes cut into convex pieces: the engine knows no others."""
    ring = shapely.geometry.polygon.orient(area).exterior.coords
    return [list(piece)[:-1] for piece in convex_decomposition(list(ring), 0.0)]


def travel_of_slider(
    bit: Corners,
    slider: Sequence[Corners],
    angles: Array,
    *,
    start: float = 0.0,
    step: float = STEP,
) -> Array:
    """Return where a bolt is, [mm] to +x, when a turning bit has come to each of `angles` [rad], shape (n,).

    `slider` is the bolt's outline at position 0 in convex pieces; it begins at `start` [mm] and slides along x
    without friction. The bit turns from the first angle to the last, which may be less.
    """
    space = pymunk.Space()
    space.damping = 0.0
    space.iterations = 10
    key = pymunk.Body(body_type=pymunk.Body.KINEMATIC)
    bolt = pymunk.Body(1.0, math.inf)
    bolt.position = (start, 0.0)
    shapes = [pymunk.Poly(key, list(bit)), *(pymunk.Poly(bolt, list(piece)) for piece in slider)]
    for shape in shapes:
        shape.friction = 0.0
        shape.elasticity = 0.0
    groove = pymunk.GrooveJoint(space.static_body, bolt, (-1e3, 0.0), (1e3, 0.0), (0.0, 0.0))
    space.add(key, bolt, groove, *shapes)
    found = [start]
    for begin, end in pairwise(angles):
        count = max(math.ceil(abs(end - begin) / step), 1)
        for k in range(count):
            # the engine's angles run anticlockwise
            key.angle = -float(begin + (end - begin) * k / count)
            key.angular_velocity = -math.copysign(1.0, end - begin)
            space.step(abs(end - begin) / count)
        found.append(float(bolt.position.x))
    return np.array(found)


def slides(*, span: float, offset: float, mu: float, ahead: float = 0.0, down: float = 0.0) -> bool:
    """Say whether a rod in two guides, `span` [mm] apart, moves along when it is pushed.

    The push acts `offset` [mm] below the rod's middle line and `ahead` [mm] of the guides' middle, to +x and by the
    share `down` downwards. The guides touch the rod above and below over no length, as pegs do; `mu` is the
    friction between. Nothing else holds it, so geometry and friction alone decide.
    """
    space = pymunk.Space()
    space.iterations = 200
    space.collision_slop = 1e-4
    thick, push = 2.0, 100.0
    rod = pymunk.Body(1.0, span**2)
    shape = pymunk.Poly(rod, [(x, y) for x, y in ((-200, -1), (200, -1), (200, 1), (-200, 1))])
    shape.friction = mu
    space.add(rod, shape)
    for x in (-span / 2, span / 2):
        for side in (-1, 1):
            peg = pymunk.Circle(space.static_body, 0.05, (x, side * (thick / 2 + 0.05)))
            peg.friction = 1.0
            space.add(peg)
    for _ in range(1000):
        rod.apply_force_at_world_point((push, -down * push), (ahead, -offset))
        space.step(1e-3)
    return bool(rod.position.x > 0.5)


@dataclass(frozen=True)
class Turned:
    """A whole stroke by the engine: key `angles` (n,), the bolt's `travel` (n,), and where the key was `stopped`."""

    angles: Array
    travel: Array
    stopped: float | None

    @property
    def rests(self) -> float:
        return float(self.travel[-1])


def turn_key(
    bit: Sequence[Corners],
    slider: Sequence[Corners],
    *,
    throw: float,
    stroke: str = "unlocking",
    capture: float | None = None,
    start: float | None = None,
    mu: float = 0.0,
    step: float = 5e-4,
    torque: float = 1e6,
) -> Turned:
    """Turn a key from key-in to key-out by a motor of limited `torque`, so that metal can stop it.

    A detent of reach `capture` [mm] at both seats draws the bolt at up to 5 mm a second, None: there is none. The
    bolt begins at its seat or at `start` [mm]; `mu` is the friction of bit on bolt.
    """
    way = 1 if stroke == "unlocking" else -1
    space = pymunk.Space()
    space.damping = 0.0
    space.iterations = 20
    space.collision_slop = 1e-3
    space.collision_bias = 0.0
    key, bolt = pymunk.Body(1.0, 1.0), pymunk.Body(1.0, math.inf)
    key.angle = way * math.pi
    seat = 0.0 if way > 0 else throw
    bolt.position = (seat if start is None else start, 0.0)
    shapes = [pymunk.Poly(body, list(p)) for body, ps in ((key, bit), (bolt, slider)) for p in ps]
    for shape in shapes:
        shape.friction, shape.elasticity = mu, 0.0
    motor = pymunk.SimpleMotor(space.static_body, key, way)
    motor.max_force = torque
    pin = pymunk.PivotJoint(space.static_body, key, (0.0, 0.0), (0.0, 0.0))
    groove = pymunk.GrooveJoint(space.static_body, bolt, (-1e3, 0.0), (1e3, 0.0), (0.0, 0.0))
    space.add(key, bolt, pin, motor, groove, *shapes)
    angles, travel = [-way * math.pi], [float(bolt.position.x)]
    still = 0
    while way * angles[-1] < math.pi:
        here = travel[-1]
        off = min((-here, throw - here), key=abs)
        # damping takes all speed at each step, so a force gives a way in a step and no more; the engine forgets it then
        if capture is not None and abs(off) <= capture:
            bolt.force = (max(-5.0, min(5.0, off / step)) / step, 0.0)
        space.step(step)
        angles.append(-key.angle)
        travel.append(float(bolt.position.x))
        still = still + 1 if way * (angles[-1] - angles[-2]) < 0.02 * step else 0
        if still > 40:
            return Turned(np.array(angles), np.array(travel), angles[-1])
    return Turned(np.array(angles), np.array(travel), None)
