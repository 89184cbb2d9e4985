"""The strip of the spring against a beam library, a solver for large deflections, and its own outline as polygons."""

import math
from dataclasses import replace

import numpy as np
import pytest
from Pynite import FEModel3D
from scipy.integrate import solve_bvp
from shapely import affinity, union_all
from shapely.geometry import LineString, box
from shapely.geometry.base import BaseGeometry

from core.geometry.polygons import polygon
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.mechanism.flat_spring import FlatSpring
from core.mechanism.strip_shape import strip_height
from core.parts import detent
from core.parts.bolt_contour import bolt
from core.parts.notches import draws_from, press, throw_of, tip_at
from core.parts.size_ends import size_bounds
from core.parts.spring import BENT_FAR
from core.parts.strip import Strip, strip
from core.parts.strip_place import outline, tip_on_bolt
from tests.held_locks import fitting, held

SIZES = ((3.0, 0.4, 26.0, 205e3), (6.0, 0.5, 30.0, 205e3), (2.0, 0.25, 18.0, 110e3))


def beam_by_library(spring: FlatSpring[float], lift: float) -> tuple[float, float, list[float]]:
    """Return force [N], greatest moment [N mm] and deflections [mm] along a strip, by PyNite's frame elements.

    A riveted foot holds all; held ends bear and turn, and the strip is lifted in the middle.
    """
    model, pieces = FEModel3D(), 12
    area, bent = spring.width * spring.thickness, spring.width * spring.thickness**3 / 12
    model.add_material("strip", spring.modulus, spring.modulus / 2.6, 0.3, 7.85e-6)
    model.add_section("strip", area, bent, bent, bent)
    for k in range(pieces + 1):
        model.add_node(f"n{k}", spring.length * k / pieces, 0, 0)
    for k in range(pieces):
        model.add_member(f"m{k}", f"n{k}", f"n{k + 1}", "strip", "strip")
    loaded = f"n{pieces // 2}" if spring.on_two_ends else f"n{pieces}"
    if spring.on_two_ends:
        model.def_support("n0", True, True, True, True, True, False)
        model.def_support(f"n{pieces}", False, True, True, False, True, False)
    else:
        model.def_support("n0", True, True, True, True, True, True)
    model.def_support(loaded, support_DY=True)
    model.def_node_disp(loaded, "DY", lift)
    model.analyze(check_statics=False)
    where = [model.nodes[f"n{k}"].DY["Combo 1"] for k in range(pieces + 1)]
    moments = [abs(model.members[f"m{k}"].max_moment("Mz")) for k in range(pieces)]
    moments += [abs(model.members[f"m{k}"].min_moment("Mz")) for k in range(pieces)]
    return (
        float(model.nodes[loaded].RxnFY["Combo 1"]),
        float(max(moments)),
        [float(y) for y in where],
    )


@pytest.mark.parametrize("two_ends", [False, True])
@pytest.mark.parametrize("sizes", SIZES)
def test_force_and_stress_against_a_beam_library(
    sizes: tuple[float, float, float, float], two_ends: bool
) -> None:
    spring = FlatSpring(*sizes, on_two_ends=two_ends)
    force, moment, _ = beam_by_library(spring, 1.7)
    assert spring.force(1.7) == pytest.approx(force, rel=1e-6)
    # stress = moment over section modulus w t^2 / 6
    at_root = moment / (spring.width * spring.thickness**2 / 6)
    assert spring.stress(1.7) == pytest.approx(at_root, rel=1e-6)


@pytest.mark.parametrize("two_ends", [False, True])
def test_shape_of_a_strip_that_is_pressed_up_against_a_beam_library(two_ends: bool) -> None:
    spring = FlatSpring(*SIZES[0], on_two_ends=two_ends)
    _, _, where = beam_by_library(spring, 2.4)
    whole = where[: len(where) // 2 + 1] if two_ends else where
    along = np.linspace(0.0, 1.0, len(whole))
    hang, lift = 0 * along + 3.0, 0 * along + 2.4
    ours = strip_height(along, hang, lift, on_two_ends=two_ends)
    assert ours == pytest.approx(np.array(whole) - 3.0 * along, abs=1e-6)


def test_force_of_a_cantilever_as_a_handbook_has_it() -> None:
    # Roark's Formulas for Stress and Strain, 7th ed., table 8.1, case 1a, load at the end (memory):
    # y = W l^3 / (3 E I), M = W l
    width, thickness, length, modulus, load = 3.0, 0.4, 26.0, 205e3, 1.2
    bent = width * thickness**3 / 12
    sag = load * length**3 / (3 * modulus * bent)
    spring = FlatSpring(width, thickness, length, modulus)
    assert spring.force(sag) == pytest.approx(load)
    assert spring.stress(sag) == pytest.approx(load * length * (thickness / 2) / bent)


def force_for_large_deflection(share: float) -> float:
    """Return the force of a cantilever that is bent by a `share` of its length, as a multiple of `E I / L^2`.

    The elastica, exact for any deflection: theta'' = -f cos(theta), y' = sin(theta), by scipy's boundary value solver
    with the force as a parameter. The strip keeps its length, and its tip may slide along the bolt.
    """

    def bends(_: object, state: np.ndarray, force: np.ndarray) -> np.ndarray:
        theta, turn, _y = state
        return np.vstack([turn, -force[0] * np.cos(theta), np.sin(theta)])

    def ends(root: np.ndarray, tip: np.ndarray, _: np.ndarray) -> np.ndarray:
        return np.array([root[0], tip[1], root[2], tip[2] - share])

    along = np.linspace(0, 1, 60)
    start = np.vstack([1.5 * share * along, 3 * share * (1 - along), share * along**2])
    found = solve_bvp(bends, ends, along, start, p=[3 * share], tol=1e-8)
    assert found.success
    return float(found.p[0])


def test_bent_far_is_where_the_formula_leaves_the_elastica_by_five_percent() -> None:
    def off(share: float) -> float:
        return force_for_large_deflection(share) / (3 * share) - 1

    assert off(0.02) == pytest.approx(0.0, abs=5e-4)
    assert off(BENT_FAR) < 0.05 < off(1.1 * BENT_FAR)


@pytest.mark.parametrize("lock", fitting(6), ids=lambda lock: f"{lock.title}")
def test_room_and_clearance_are_those_of_the_outline_over_the_whole_stroke(lock: Lock) -> None:
    layout = Layout(lock)
    made, line = known(layout), lock.bolt_line.height
    body, throw = polygon(bolt(layout).contour, 1e-3), throw_of(lock)
    top = side = tip_down = -math.inf
    for travel in np.linspace(0.0, throw, 41):
        strip_path, tip_path = outline(layout, made, float(travel))
        bent = polygon(strip_path, 1e-3)
        top = max(top, bent.bounds[3])
        side = max(side, line - bent.bounds[1])
        moved = affinity.translate(body, xoff=float(travel))
        tip_down = max(tip_down, polygon(tip_path, 1e-3).intersection(moved).area)
    # the outline is drawn in straight pieces, 24 of them
    assert made.room == pytest.approx(top - line, abs=0.03)
    assert made.clear == pytest.approx(-side, abs=0.03)
    assert tip_down < 0.01  # the tip rides on the bolt and never in it


@pytest.mark.parametrize("tip", [10.0, 13.0, 15.0])
def test_the_shackle_may_be_as_thick_as_leaves_the_strip_s_end_clear_of_it(tip: float) -> None:
    # by shapely: the strip with its foot as it is drawn, and the shackle's end as a box
    lock = held(spring__tip_across=tip)
    (bound,) = [
        bound
        for bound in size_bounds(Layout(lock))
        if bound.path == "shackle.diameter" and bound.by == "the end of the strip"
    ]
    drawn = outline(Layout(lock), known(Layout(lock)), 0.0)
    area = union_all([polygon(path, 1e-3) for path in drawn])

    def apart(diameter: float) -> float:
        near = lock.shackle.across + diameter / 2
        return float(area.distance(box(near - diameter, -50, near, 90)))

    assert apart(bound.value - 0.02) == pytest.approx(0.01, abs=1e-3)
    assert apart(bound.value + 0.02) == 0


def known(layout: Layout) -> Strip:
    made = strip(layout)
    assert made is not None
    return made


def test_the_tip_stands_on_the_notches_at_both_seats() -> None:
    layout = Layout(held())
    on, tip = tip_on_bolt(layout), tip_at(layout)
    body = polygon(bolt(layout).contour, 1e-3)
    for seat, travel in (("locked", 0.0), ("unlocked", throw_of(layout.lock))):
        at = body.bounds[0] + on[seat]
        assert at + travel == pytest.approx(tip, abs=1e-6)
        # a slot in the metal there, and metal beside it
        depth = {dx: _depth(body, at + dx, layout) for dx in (-1.0, 0.0, 1.0)}
        assert depth[0.0] == pytest.approx(1.5, abs=0.01)
        assert depth[-1.0] == depth[1.0] == pytest.approx(0.0, abs=1e-6)


def _depth(body: BaseGeometry, x: float, layout: Layout) -> float:
    line = layout.lock.bolt_line.height
    cut = LineString([(x, line - 3.0), (x, line + 1.0)]).intersection(body)
    return float(line - cut.bounds[3])


def test_a_felt_force_holds_where_the_sizes_are_not_given() -> None:
    assert press(Layout(held(spring__kind="as felt", spring__force=2.2))) == 2.2
    by_sizes = known(Layout(held()))
    # 3 E I / L^3 x 2 mm by hand: 3 x 205000 x 3 x 0.064 / 12 / 17576 x 2
    assert by_sizes.rest == pytest.approx(1.1197, abs=1e-4)


def test_what_pushes_along_the_bolt_stands_midway_up_its_arms() -> None:
    """By hand: arms of 6 and 8 mm hang from a line 24 mm up, on average from 24 down to 17."""
    lock = Lock()
    for path, value in {
        "detent.kind": "stop and spring", "bolt_line.height": 24.0, "bolt.nose_height": 6.0, "bolt.tail_height": 8.0,
    }.items():  # fmt: skip
        lock = lock.with_value(path, value)
    (load,) = detent.PART.loads(Layout(lock))
    assert load.at == pytest.approx((0.0, 20.5))


@pytest.mark.parametrize(
    ("kind", "reach"), [("as felt", 1.0), ("stop and spring", 1.5), ("none", 0.0)]
)
def test_a_reach_that_is_typed_is_told_for_every_friction(kind: str, reach: float) -> None:
    lock = Lock().with_value("detent.kind", kind).with_value("fit.detent_capture", 1.0)
    lock = lock.with_value("shackle.gap", 1.5)
    told = draws_from(Layout(lock), np.array([0.1, 0.2, 0.3]))
    assert np.asarray(told).tolist() == [reach] * 3


@pytest.mark.parametrize(("two_ends", "share"), [(False, 0.1), (True, 0.2)])
def test_a_strip_on_two_ends_is_bent_over_half_its_length(two_ends: bool, share: float) -> None:
    one = known(Layout(held()))
    beam = replace(one.beam, length=40.0, on_two_ends=two_ends)
    # 4 mm over 40 mm at its foot, over 20 mm to either side of its middle: rise over run
    assert math.tan(replace(one, beam=beam, hang=3.0, drop=1.0).bend) == pytest.approx(share)
