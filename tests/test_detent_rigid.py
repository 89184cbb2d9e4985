"""Home and leave force against a rigid-body engine with Coulomb friction on ramp and guides: it knows no formula."""

import math

import pymunk
import pytest

from core.mechanism.detent_force import Detent
from core.mechanism.notch import Notch

STEP = 2e-4
HEAVY = 1.0
"""Mass [kg] of bolt and tip in the engine: so heavy that in one step nothing moves farther than its contacts bear.

Ten grams, as a bolt weighs, would go a tenth of a millimetre in a step under the forces here, and come to lie in
another place than it was let go.
"""


def rig(
    ramp: float, mu: float, off: float, *, press: float = 3.0, rate: float = 0.0, push: float = 0.0,
    tip: float = 0.2, half_width: float = 1.0, seconds: float = 1.6, slowly: bool = False,
) -> float:  # fmt: skip
    """Return how far off its seat [mm] a bolt comes to lie that begins `off` [mm] it, under a `push` [N] away from it.

    The bolt slides on a guide below; the tip is a disc that moves up and down only, pressed down by `press` [N] and
    `rate` [N/mm] more for each mm that it is lifted. Friction `mu` on both. `slowly`: the push grows by and by.
    """
    space = pymunk.Space()
    space.iterations = 80
    space.collision_slop = 1e-4
    space.collision_bias = 0.0
    # all goes as if through oil: a bolt that ran up would carry itself over a ramp's end that its push does not climb
    space.damping = 1e-25
    slope = math.tan(math.radians(ramp))
    foot = half_width * slope
    bolt = pymunk.Body(HEAVY, math.inf)
    bolt.position = (off, 0.0)
    left: list[tuple[float, float]] = [(-30, -6), (-half_width, -6), (-half_width, 0), (-30, 0)]
    below = [(-half_width, -6), (half_width, -6), (half_width, -foot), (-half_width, -foot)]
    ramps = [[(s * half_width, 0), (s * half_width, -foot), (0, -foot)] for s in (-1, 1)]
    right = [(-x, y) for x, y in left]
    shapes = [pymunk.Poly(bolt, p) for p in (left, right, below, *ramps)]
    guide = pymunk.Segment(space.static_body, (-100, -6.5), (100, -6.5), 0.5)
    point = pymunk.Body(HEAVY, math.inf)
    notch = Notch(half_width, math.radians(ramp), 99.0, tip)
    point.position = (0.0, tip - notch.drop(off) + 1e-3)
    disc = pymunk.Circle(point, tip)
    for shape in (*shapes, guide, disc):
        shape.friction, shape.elasticity = math.sqrt(mu), 0.0
    upright = pymunk.GrooveJoint(space.static_body, point, (0, -50), (0, 50), (0, 0))
    space.add(bolt, point, upright, disc, guide, *shapes)
    rest = tip - notch.seat_drop
    steps = int(seconds / STEP)
    for k in range(steps):
        share = min(2 * k / steps, 1.0) if slowly else 1.0
        lifted = point.position.y - rest
        # forces are per mm here: the engine's unit of length is a mm, of force kg mm / s2
        point.force = (0.0, -1000.0 * (press + rate * lifted))
        bolt.force = (1000.0 * push * share, 0.0)
        space.step(STEP)
        if abs(bolt.position.x) > 5.0:
            break
    return float(bolt.position.x)


@pytest.mark.parametrize("mu", [0.11, 0.19, 0.25])
def test_a_ramp_of_twice_the_friction_angle_is_the_limit_of_drawing_home(mu: float) -> None:
    rho = math.degrees(math.atan(mu))
    assert abs(rig(2.2 * rho, mu, 0.5)) < 0.1
    assert rig(1.8 * rho, mu, 0.5) == pytest.approx(0.5, abs=0.05)


@pytest.mark.parametrize(("ramp", "mu"), [(45.0, 0.11), (45.0, 0.25), (60.0, 0.19)])
def test_home_force_holds_against_just_so_much_drag(ramp: float, mu: float) -> None:
    held = Detent(Notch(1.0, math.radians(ramp), 99.0, 0.2), throw=9.5, press=3.0, rate=0.0)
    force = held.pull(0.4, mu)
    assert abs(rig(ramp, mu, 0.4, push=0.93 * force)) < 0.1
    # a push away from the seat greater than what draws, and less than what takes it out: it stays where it is
    assert rig(ramp, mu, 0.4, push=1.07 * force) == pytest.approx(0.4, abs=0.05)


@pytest.mark.parametrize(("ramp", "mu"), [(45.0, 0.11), (45.0, 0.25), (60.0, 0.19)])
@pytest.mark.parametrize("rate", [0.0, 1.4])
def test_leave_force_is_what_takes_it_out(ramp: float, mu: float, rate: float) -> None:
    held = Detent(Notch(1.0, math.radians(ramp), 99.0, 0.2), throw=9.5, press=3.0, rate=rate)
    force = held.holding(mu)
    assert rig(ramp, mu, 0.0, rate=rate, push=1.06 * force, slowly=True) > 2.0
    assert rig(ramp, mu, 0.0, rate=rate, push=0.94 * force, slowly=True) < 1.0


def test_a_jammed_ramp_holds_whatever_the_push() -> None:
    # 80 degrees and mu .25: together more than a right angle
    assert rig(80.0, 0.25, 0.0, push=60.0, slowly=True) < 0.5
    assert math.isnan(Detent(Notch(1.0, math.radians(80), 99.0, 0.2), 9.5, 3.0, 0.0).holding(0.25))
