"""Springs, sections, rivets and stacks as closed forms, against integrals and boundary values by another's code.

Check values are the doctests of the modules themselves.
"""

import math
from collections.abc import Callable

import numpy as np
import numpy.typing as npt
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad, solve_bvp
from scipy.stats import norm

from core.mechanism.circle_segments import (
    chord,
    eye_area,
    eye_lip_area,
    notch_area,
    notch_lip_area,
    radius_of,
    segment_area,
)
from core.mechanism.flat_spring import FlatSpring
from core.mechanism.rivet_volume import (
    frustum_volume,
    in_shank,
    plug_length,
    sink_depth,
    snap_length,
    snap_volume,
    sunk_beyond_grip,
    sunk_length,
)
from core.mechanism.strength import (
    bending_force,
    bending_stress,
    cantilever_rate,
    rate_on_two_ends,
    round_area,
    second_moment,
    shear_force,
    shear_stress,
    torsion_stress,
)
from core.mechanism.tolerance_stack import Link, gap, root_sum_square, uniform_deviation, worst

Array = npt.NDArray[np.float64]
SIZES = st.floats(0.2, 20)


# --- bars -------------------------------------------------------------------------------------------------------------


@given(SIZES, SIZES, st.floats(5, 80))
def test_second_moment_and_skin_stress_by_integration(
    width: float, thick: float, moment: float
) -> None:
    inertia, _ = quad(lambda y: width * y * y, -thick / 2, thick / 2)
    assert second_moment(width, thick) == pytest.approx(inertia)
    # the stress is linear through the thickness and balances the moment
    skin = bending_stress(moment, width, thick)
    balanced, _ = quad(lambda y: skin * y / (thick / 2) * width * y, -thick / 2, thick / 2)
    assert balanced == pytest.approx(moment)
    # a force at the yield bends its skin to the yield
    assert bending_stress(
        bending_force(140.0, 4.5, width, thick) * 4.5, width, thick
    ) == pytest.approx(140)


@given(SIZES, st.floats(1, 1e4))
def test_torsion_balances_the_torque(diameter: float, torque: float) -> None:
    skin, half = torsion_stress(torque, diameter), diameter / 2
    balanced, _ = quad(lambda r: skin * r / half * 2 * math.pi * r * r, 0, half)
    assert balanced == pytest.approx(torque)


@given(SIZES, st.floats(1, 1e4), st.integers(1, 2))
def test_shear_is_shared_by_the_planes(diameter: float, force: float, planes: int) -> None:
    area = round_area(diameter)
    disc = shapely.Point(0, 0).buffer(diameter / 2, quad_segs=256).area
    assert area == pytest.approx(disc, rel=1e-4)
    assert planes * area * shear_stress(force, area, planes) == pytest.approx(force)
    # von Mises: sqrt(3) tau comes to the yield in tension
    most = shear_force(250.0, area, planes)
    assert math.sqrt(3) * shear_stress(most, area, planes) == pytest.approx(250)


def deflected(
    length: float, stiffness: float, force: float, *, two_ends: bool
) -> tuple[float, float]:
    """Return deflection [mm] and greatest moment [N mm] by solving E I y'' = M with a boundary value solver.

    Of a bar on two ends only one half is solved, level in the middle; the other is its mirror image.
    """
    end = length / 2 if two_ends else length
    load = force / 2 if two_ends else force

    def bent(x: Array, y: Array) -> Array:
        moment = load * x if two_ends else load * (end - x)
        return np.stack([y[1], moment / stiffness])

    def held(start: Array, stop: Array) -> Array:
        return np.array([start[0], stop[1]]) if two_ends else np.array([start[0], start[1]])

    x = np.linspace(0, end, 21)
    found = solve_bvp(bent, held, x, np.zeros((2, len(x))), tol=1e-8)
    assert found.success
    moments = load * x if two_ends else load * (end - x)
    return abs(float(found.sol(end)[0] - found.sol(0.0)[0])), float(moments.max())


@pytest.mark.parametrize("two_ends", [False, True])
@pytest.mark.parametrize(
    ("width", "thick", "length", "modulus"), [(6.0, 0.5, 30.0, 205e3), (8.0, 0.8, 44.0, 110e3)]
)
def test_spring_by_a_boundary_value_solver(
    width: float, thick: float, length: float, modulus: float, two_ends: bool
) -> None:
    spring = FlatSpring(width, thick, length, modulus, on_two_ends=two_ends)
    gave, moment = deflected(length, modulus * width * thick**3 / 12, 3.0, two_ends=two_ends)
    assert spring.deflection(3.0) == pytest.approx(gave, rel=1e-6)
    assert spring.force(gave) == pytest.approx(3.0, rel=1e-6)
    assert spring.stress(gave) == pytest.approx(6 * moment / (width * thick**2), rel=1e-6)
    assert spring.stress(spring.furthest(400.0)) == pytest.approx(400.0)
    inertia = second_moment(width, thick)
    rate = rate_on_two_ends if two_ends else cantilever_rate
    assert rate(inertia, length, modulus) == pytest.approx(3.0 / gave, rel=1e-6)


def test_two_ends_are_sixteen_times_as_stiff() -> None:
    # half the span, twice over: 2 x 2^3
    held = FlatSpring(6.0, 0.5, 30.0, 205e3)
    across = FlatSpring(6.0, 0.5, 30.0, 205e3, on_two_ends=True)
    assert across.rate == pytest.approx(16 * held.rate)
    # closed forms with E: 3 E t x / (2 L^2) at the root, 6 E t x / L^2 in the middle
    assert held.stress(2.0) == pytest.approx(3 * 205e3 * 0.5 * 2.0 / (2 * 900))
    assert across.stress(2.0) == pytest.approx(6 * 205e3 * 0.5 * 2.0 / 900)


# --- segments ---------------------------------------------------------------------------------------------------------


@given(SIZES, st.floats(0.02, 1.98))
def test_segments_by_integration(radius: float, share: float) -> None:
    height = share * radius
    area, _ = quad(lambda y: 2 * math.sqrt(radius**2 - y**2), radius - height, radius)
    assert segment_area(radius, height) == pytest.approx(area, rel=1e-6)
    assert notch_area(radius, height) == pytest.approx(math.pi * radius**2 - area, rel=1e-6)
    across = chord(radius, height)
    assert (across / 2) ** 2 + (radius - height) ** 2 == pytest.approx(radius**2)
    assert radius_of(across, height) == pytest.approx(radius)
    assert notch_lip_area(radius, height, 3.0) == pytest.approx(3.0 * across)


@given(SIZES, st.floats(0.05, 0.95))
def test_eye_by_polygons(radius: float, share: float) -> None:
    width = 2 * radius * share
    bar = shapely.Point(0, 0).buffer(radius, quad_segs=512)
    slot = shapely.box(-width / 2, -2 * radius, width / 2, 2 * radius)
    assert eye_area(radius, width) == pytest.approx(bar.difference(slot).area, rel=1e-3)
    edge = bar.intersection(
        shapely.LineString([(width / 2, -2 * radius), (width / 2, 2 * radius)])
    ).length
    assert eye_lip_area(radius, width, 2.0) == pytest.approx(2 * 2.0 * edge, rel=1e-3)


# --- rivets -----------------------------------------------------------------------------------------------------------


def turned(radius: Callable[[float], float], low: float, high: float) -> float:
    """Return the volume of a solid of revolution by integration."""
    return float(quad(lambda z: math.pi * radius(z) ** 2, low, high)[0])


@given(st.floats(1.2, 8), st.floats(0.2, 3))
def test_heads_by_integration(diameter: float, height: float) -> None:
    ball = (diameter**2 / 4 + height**2) / (2 * height)
    volume = turned(lambda z: math.sqrt(max(ball**2 - z**2, 0.0)), ball - height, ball)
    assert snap_volume(diameter, height) == pytest.approx(volume, rel=1e-6)


@given(st.floats(1, 6), st.floats(1.05, 2.2), st.floats(45, 120))
def test_countersinks_by_integration(hole: float, times: float, angle: float) -> None:
    outer = hole * times
    included = math.radians(angle)
    depth, slope = sink_depth(outer, hole, included), math.tan(included / 2)
    assert hole / 2 + depth * slope == pytest.approx(outer / 2)
    volume = turned(lambda z: hole / 2 + z * slope, 0.0, depth)
    assert frustum_volume(outer, hole, depth) == pytest.approx(volume)
    # flush, in a hole of its own size: what the cone has more than the shank
    assert sunk_beyond_grip(hole, outer, included) == pytest.approx(
        volume / (math.pi / 4 * hole**2) - depth
    )


@given(st.floats(2, 5), st.floats(1.0, 1.2), st.floats(3, 12))
def test_a_rivet_has_the_metal_of_its_hole_and_head(
    rivet: float, loose: float, grip: float
) -> None:
    hole = rivet * loose
    shank = math.pi / 4 * rivet**2
    filled = turned(lambda _: hole / 2, 0.0, grip)
    snap = snap_length(rivet, hole, grip, 1.6 * rivet, 0.7 * rivet)
    assert snap * shank == pytest.approx(filled + snap_volume(1.6 * rivet, 0.7 * rivet))
    assert in_shank(filled, rivet) == pytest.approx(grip * loose**2)
    outer, proud, angle = 1.5 * rivet, 0.3, math.radians(60)
    depth = sink_depth(outer, hole, angle)
    if 2 * depth > grip:
        with pytest.raises(ValueError, match="countersinks meet"):
            sunk_length(rivet, hole, grip, outer, angle, proud)
        return

    def bore(z: float) -> float:
        """Half the width of the hole at a height z from one face, countersunk at both."""
        from_face = min(z, grip - z)
        return max(hole, outer - 2 * math.tan(math.radians(30)) * from_face) / 2

    volume = quad(lambda z: math.pi * bore(z) ** 2, 0.0, grip, points=[depth, grip - depth])[0]
    heads = 2 * proud * math.pi / 4 * outer**2
    assert sunk_length(rivet, hole, grip, outer, angle, proud) * shank == pytest.approx(
        volume + heads
    )


@given(st.floats(1.5, 6), st.floats(3, 8), st.floats(0.1, 0.45), st.floats(0, 0.4))
def test_a_plug_has_the_metal_of_its_hole(
    plate: float, hole: float, share: float, proud: float
) -> None:
    wide, deep, plug = 1.3 * hole, share * plate, 0.97 * hole
    with pytest.raises(ValueError, match="counterbores meet"):
        plug_length(plug, hole, plate, wide, 0.51 * plate, proud)

    def bore(z: float) -> float:
        return (wide if min(z, plate - z) < deep else hole) / 2

    volume = quad(lambda z: math.pi * bore(z) ** 2, 0.0, plate, points=[deep, plate - deep])[0]
    volume += 2 * proud * math.pi / 4 * wide**2
    assert plug_length(
        plug, hole, plate, wide, deep, proud
    ) * math.pi / 4 * plug**2 == pytest.approx(volume)


# --- stacks -----------------------------------------------------------------------------------------------------------


def test_stack_by_drawing_lots() -> None:
    links = [Link(10.0, 0.1, 1), *[Link(9.7 / 6, 0.05, -1)] * 6]
    rng = np.random.default_rng(1)
    ends = [link.size + link.tolerance * rng.uniform(-1, 1, 400_000) for link in links]
    ways = np.array([link.way for link in links])
    gaps = ways @ ends
    assert gap(links) == pytest.approx(0.3)
    assert float(gaps.mean()) == pytest.approx(gap(links), abs=1e-3)
    assert float(gaps.std()) == pytest.approx(uniform_deviation(links), rel=5e-3)
    assert gap(links) - worst(links) == pytest.approx(-0.1)
    assert float(gaps.min()) > gap(links) - worst(links)
    # one lock in ten thousand binds (9.6e-5 of 20 million draws), by the normal law six in 1e9: say which is meant
    assert 2e-5 < float((gaps < 0).mean()) < 3e-4
    assert norm.sf(gap(links) / (root_sum_square(links) / 3)) == pytest.approx(6e-9, rel=0.1)
    normal = [link.size + link.tolerance / 3 * rng.standard_normal(400_000) for link in links]
    spread = (ways @ normal).std()
    assert 3 * float(spread) == pytest.approx(root_sum_square(links), rel=5e-3)
