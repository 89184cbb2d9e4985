"""Home and leave force against a rigid-body engine with Coulomb friction on ramp and guides: it knows no formula."""

import math

import pytest

from core.mechanism.detent_force import Detent
from core.mechanism.notch import Notch
from tests.detent_rig import settles


def rig(
    ramp: float, mu: float, off: float, *, press: float = 3.0, rate: float = 0.0, push: float = 0.0,
    tip: float = 0.2, half_width: float = 1.0, slowly: bool = False,
) -> float:  # fmt: skip
    """Return how far off its seat [mm] a bolt comes to lie that begins `off` [mm] it, under a `push` [N] away from it.

    Its tip presses with `press` [N] and `rate` [N/mm] more for each mm that it is lifted. `slowly`: the push grows.
    """
    foot = half_width * math.tan(math.radians(ramp))
    left = [(-30.0, -6.0), (-half_width, -6.0), (-half_width, 0.0), (-30.0, 0.0)]
    below = [(-half_width, -6.0), (half_width, -6.0), (half_width, -foot), (-half_width, -foot)]
    ramps = [[(s * half_width, 0.0), (s * half_width, -foot), (0.0, -foot)] for s in (-1, 1)]
    right = [(-x, y) for x, y in left]
    guide = [(-100.0, -7.0), (100.0, -7.0), (100.0, -6.0), (-100.0, -6.0)]
    notch = Notch(half_width, math.radians(ramp), 99.0, tip)
    rest = tip - notch.seat_drop
    return settles(
        [left, right, below, *ramps], [guide], moved=off, tip=(0.0, tip - notch.drop(off) + 1e-3, tip), mu=mu,
        press=lambda height: press + rate * (height - rest), push=push, slowly=slowly,
    )  # fmt: skip


@pytest.mark.parametrize("mu", [0.11, 0.19, 0.25])
@pytest.mark.first(1)
def test_a_ramp_of_twice_the_friction_angle_is_the_limit_of_drawing_home(mu: float) -> None:
    rho = math.degrees(math.atan(mu))
    assert abs(rig(2.2 * rho, mu, 0.5)) < 0.1
    assert rig(1.8 * rho, mu, 0.5) == pytest.approx(0.5, abs=0.05)


@pytest.mark.parametrize(("ramp", "mu"), [(45.0, 0.11), (45.0, 0.25), (60.0, 0.19)])
@pytest.mark.first(1)
def test_home_force_holds_against_just_so_much_drag(ramp: float, mu: float) -> None:
    held = Detent(Notch(1.0, math.radians(ramp), 99.0, 0.2), throw=9.5, press=3.0, rate=0.0)
    force = held.pull(0.4, mu)
    assert abs(rig(ramp, mu, 0.4, push=0.93 * force)) < 0.1
    # a push away from the seat greater than what draws, and less than what takes it out: it stays where it is
    assert rig(ramp, mu, 0.4, push=1.07 * force) == pytest.approx(0.4, abs=0.05)


@pytest.mark.parametrize(("ramp", "mu"), [(45.0, 0.11), (45.0, 0.25), (60.0, 0.19)])
@pytest.mark.parametrize("rate", [0.0, 1.4])
@pytest.mark.first(1)
def test_leave_force_is_what_takes_it_out(ramp: float, mu: float, rate: float) -> None:
    held = Detent(Notch(1.0, math.radians(ramp), 99.0, 0.2), throw=9.5, press=3.0, rate=rate)
    force = held.holding(mu)
    assert rig(ramp, mu, 0.0, rate=rate, push=1.06 * force, slowly=True) > 2.0
    assert rig(ramp, mu, 0.0, rate=rate, push=0.94 * force, slowly=True) < 1.0


def test_a_jammed_ramp_holds_whatever_the_push() -> None:
    # 80 degrees and mu .25: together more than a right angle
    assert rig(80.0, 0.25, 0.0, push=60.0, slowly=True) < 0.5
    assert math.isnan(Detent(Notch(1.0, math.radians(80), 99.0, 0.2), 9.5, 3.0, 0.0).holding(0.25))
