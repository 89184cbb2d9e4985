"""Units of what works on arrays and polygons: all lengths k times as large and all forces f times.

Every outcome has to follow with its own power of k and f, as Buckingham's theorem has it for any formula whose units
are right. Tried on formulas spoilt on purpose, which have to be seen.
"""

import dataclasses
import math
import random
from typing import Any

import numpy as np
import pytest
import shapely

from core.mechanism import (
    contact,
    filed_parts,
    gap_contact,
    knocks,
    law,
    narrow_gap,
    scribed_roof,
    statics,
    sweep,
    tooth_numbers,
)
from core.mechanism.after_release import Course
from core.mechanism.bit_shape import BitShape
from core.mechanism.lobe import Lobe
from core.mechanism.second_turn import InTheWay, second_turn
from tests.carrying import Module, spoilt
from tests.counts import seeds

K, F = 3.0, 7.0
NO_LENGTH = {"pickup_angle", "half_angle", "release_angle", "reason", "fits", "drives"}
"""What of a tooth is no length."""


def random_tooth(seed: int, k: float = 1.0) -> tooth_numbers.Tooth:
    """Return a tooth that drives, drawn by a seed, with every length k times as large."""
    chance = random.Random(seed)  # noqa: S311 - nothing secret is made here
    while True:
        radius = chance.uniform(15, 28)
        pickup = chance.choice((0.0, chance.uniform(0.02, 0.3)))
        cut = tooth_numbers.tooth_from(
            radius=k * radius, bit=k * chance.uniform(2, 4), clearance=k * chance.uniform(0.1, 0.4),
            throw=k * chance.uniform(0.3, 0.6) * radius, pickup_angle=pickup, bolt_line=k * (radius + 4),
            depth=k * chance.uniform(8, 15),
        )  # fmt: skip
        if cut.drives:
            return cut


def course_of(cut: tooth_numbers.Tooth, k: float = 1.0, capture: float = 1.0) -> Course:
    """Return the course of a tooth that is k times as large, with a lobe and a detent of that size."""
    return Course(cut, Lobe(cut, 6.5 * k, 0.3 * k), capture * k)


def powers(value: Any) -> tuple[int, int]:
    """Return the power of length and of force that a field of a result has to follow, by its name."""
    of = {
        "x": (1, 0), "y": (1, 0), "nx": (0, 0), "ny": (0, 0), "tx": (0, 0), "ty": (0, 0), "push": (0, 1),
        "front": (0, 1), "rear": (0, 1), "torque": (1, 1), "jams": (0, 0), "runs": (0, 0), "overlap": (2, 0),
        "ahead": (0, 1), "at": (0, 0), "first": (0, 0),
    }  # fmt: skip
    return of[value]


def assert_scaled(one: Any, other: Any, n: int, m: int) -> None:
    np.testing.assert_allclose(
        np.asarray(other, float), K**n * F**m * np.asarray(one, float), rtol=1e-9, atol=1e-9
    )


def assert_fields_scaled(one: Any, other: Any) -> bool:
    """Assert that every field of a result follows with its powers; return True."""
    for field in dataclasses.fields(one):
        if field.name != "stroke":
            assert_scaled(getattr(one, field.name), getattr(other, field.name), *powers(field.name))
    return True


@pytest.mark.parametrize("seed", seeds(3, 6))
def test_tooth_and_law_scale(seed: int) -> None:
    one, other = random_tooth(seed), random_tooth(seed, K)
    for field in dataclasses.fields(one):
        n = 0 if field.name in NO_LENGTH else 1
        assert_scaled(getattr(one, field.name), getattr(other, field.name), n, 0)
    angles = np.linspace(-3.0, 3.0, 301)
    for stroke in law.STROKES:
        assert_scaled(law.travel(one, angles, stroke), law.travel(other, angles, stroke), 1, 0)
    driven = np.linspace(-one.pickup_angle, one.release_angle - 1e-6, 40)
    assert_fields_scaled(contact.contact(one, driven), contact.contact(other, driven))
    for stroke in law.STROKES:
        touched = contact.touch(course_of(one), angles, stroke)
        larger = contact.touch(course_of(other, K), angles, stroke)
        assert_scaled(touched.at, larger.at, 1, 0)
        assert (touched.place == larger.place).all()


LOBE = {
    "far": 1, "lower": 1, "relieved": 0, "meets": 1, "cornered": 0, "greatest_chamfer": 1, "cut": 1, "mark": 1,
    "slope": 0, "relief_end": 1, "rests_off": 1, "shut_out": 1,
}  # fmt: skip
"""What there is to know of a lobe, with its power of length."""


@pytest.mark.parametrize("seed", seeds(3, 6))
@pytest.mark.parametrize("capture", [0.0, 0.2, 1.0])
def test_what_comes_after_the_release_scales(seed: int, capture: float) -> None:
    one, other = random_tooth(seed), random_tooth(seed, K)
    way, larger = course_of(one, 1.0, capture), course_of(other, K, capture)
    for name, n in LOBE.items():
        assert_scaled(getattr(way.lobe, name), getattr(larger.lobe, name), n, 0)
    angles = np.linspace(-3.0, 3.0, 301)
    assert_scaled(way.lobe.off(angles), larger.lobe.off(angles), 1, 0)
    for stroke in law.STROKES:
        assert_scaled(way.travel(angles, stroke), larger.travel(angles, stroke), 1, 0)
    assert way.caught_angle == pytest.approx(larger.caught_angle, abs=1e-7)
    assert way.corners == pytest.approx(larger.corners, abs=1e-7)
    assert way.holds_back == larger.holds_back
    told, again = way.leaving(angles), larger.leaving(angles)
    for field in dataclasses.fields(told):
        assert (getattr(told, field.name) == getattr(again, field.name)).all()
    assert_scaled(narrow_gap.gap_needed(way.lobe), narrow_gap.gap_needed(larger.lobe), 1, 0)
    assert_scaled(scribed_roof.scraped(way)[0], scribed_roof.scraped(larger)[0], 1, 0)


@pytest.mark.parametrize("seed", seeds(3, 6))
def test_what_filed_parts_come_to_scales(seed: int) -> None:
    def come_to(k: float) -> filed_parts.Outcomes[float]:
        plan = filed_parts.drawn(Lobe(random_tooth(seed, k), 6.5 * k, 0.3 * k))
        parts = filed_parts.as_drawn(plan, 6.0 * k, 6.1 * k, 8.0 * k)
        chance = random.Random(seed)  # noqa: S311 - nothing secret is made here
        off = {name: size + k * chance.uniform(-0.1, 0.1) for name, size in vars(parts).items()}
        return filed_parts.come_to(filed_parts.FiledParts(**off), plan)

    one, other = come_to(1.0), come_to(K)
    for name, value in vars(one).items():
        assert_scaled(value, getattr(other, name), 1, 0)


@pytest.mark.parametrize("seed", seeds(3, 6))
def test_a_second_turn_scales(seed: int) -> None:
    def turned_on(k: float) -> Any:
        cut = random_tooth(seed, k)
        beside = Lobe(cut, 6.5 * k)
        ahead = InTheWay(
            cut.throw - beside.far, cut.throw - beside.meets, beside.lower, cut.bolt_line - 6 * k, 0.5 * k, 0.8
        )  # fmt: skip
        return second_turn(cut, ahead)

    one, other = turned_on(1.0), turned_on(K)
    assert other.ending == one.ending
    assert_scaled(one.pushes, other.pushes, 1, 0)
    assert (other.touches, other.ends) == pytest.approx((one.touches, one.ends))


def test_what_knocks_a_bolt_loose_scales() -> None:
    # force x F, length x K, mass x M: in multiples of free fall F / M, as a height K F / M, as a speed its root
    mass = 5.0
    one, other = (4.0, 6.0, 8.75), (F * 4.0, K * F * 6.0, mass * 8.75)
    assert knocks.shaken_loose(other[0], other[2]) == pytest.approx(
        F / mass * knocks.shaken_loose(one[0], one[2])
    )
    for formula, power in ((knocks.fall_that_frees, 1.0), (knocks.speed_from, 0.5)):
        scaled = (K * F / mass) ** power * formula(one[1], one[2])
        assert formula(other[1], other[2]) == pytest.approx(scaled)


@pytest.mark.parametrize("seed", range(4))
def test_contact_in_a_gap_scales(seed: int) -> None:
    ways = []
    for k in (1.0, K):
        cut = random_tooth(seed, k)
        x, y, top = cut.flank, cut.flank_foot, cut.relief_radius
        edge = np.array([(x + 2 * k, y - 3 * k), (x, y), (x, top)])
        sides = gap_contact.GapSides(
            edge * np.array([-1.0, 1.0]), edge - np.array([cut.throw, 0.0]), top
        )
        corners = np.array([cut.release_angle])
        bit = BitShape.even(cut.radius, cut.half_bit)
        ways.append(gap_contact.followed(sides, bit, cut.throw, -1.0, corners))
    one, other = ways
    assert_scaled(one.travel, other.travel, 1, 0)
    assert other.blocked == one.blocked


def balanced(module: Module, seed: int, k: float = 1.0, f: float = 1.0) -> Any:
    """Return the balance of a drawn tooth, bearings and loads, lengths k and forces f times as large."""
    cut = random_tooth(seed, k)
    chance = random.Random(seed + 99)  # noqa: S311 - nothing secret is made here
    angles = np.linspace(-cut.pickup_angle, cut.release_angle - 1e-6, 25)
    bears = statics.Bearings(
        np.full(25, -k * chance.uniform(15, 25)), np.full(25, k * chance.uniform(15, 25)),
        k * chance.uniform(18, 24), k * chance.uniform(18, 24),
    )  # fmt: skip
    mu = np.array([[0.0], [0.12], [0.3]])
    fx, fy, arm = -f * chance.uniform(1, 4), -f * chance.uniform(0, 5), k * chance.uniform(-8, 8)
    loads = statics.Applied(np.full((3, 25), fx), np.full((3, 25), fy), np.full((3, 25), fy * arm))
    return module.balance(contact.contact(cut, angles), bears, loads, mu)


@pytest.mark.parametrize("seed", seeds(3, 6))
def test_balance_scales(seed: int) -> None:
    found = balanced(statics, seed)
    assert not found.jams.all()
    assert_fields_scaled(found, balanced(statics, seed, K, F))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("bearings.front_x + mu * up_front * bearings.front_y", "bearings.front_x + mu * up_front"),
        ("px * minor_x + py * minor_y + turn * minor_m", "px * minor_x + py * minor_y + minor_m"),
        ("px * (b * r_turn - c)", "px * (b * r_turn - b)"),
        ("a, b, c = -applied.fx, -applied.fy, -applied.moment", "a, b, c = -applied.fx, -applied.fy, -applied.fy"),
        ("torque = push * (contact.y * px - contact.x * py)", "torque = push * (px - contact.x * py)"),
        ("-applied.fx, -applied.fy,", "-applied.fx, bearings.front_y,"),
    ],
)  # fmt: skip
def test_a_spoilt_balance_is_seen(old: str, new: str) -> None:
    module = spoilt("statics", old, new)
    with pytest.raises((AssertionError, ValueError)):
        all(assert_fields_scaled(balanced(module, n), balanced(module, n, K, F)) for n in range(6))


def assert_sweep_scales(module: Module, seed: int) -> None:
    one, other = random_tooth(seed), random_tooth(seed, K)
    # a block that stands lower than the foot: the bit runs into it, wherever the law has the bolt
    area = shapely.box(one.flank_foot * 0.2, one.flank_foot * 0.5, 40, 60)
    larger = shapely.affinity.scale(area, K, K, origin=(0, 0))
    for moves in (False, True):
        found = module.meeting(course_of(one), area, 3.0, moves=moves, step=math.radians(2))
        scaled = module.meeting(
            course_of(other, K), larger, 3.0 * K, moves=moves, step=math.radians(2)
        )
        assert found is not None
        assert scaled is not None
        assert found.stroke == scaled.stroke
        assert scaled.overlap == pytest.approx(K**2 * found.overlap, rel=1e-6)
        assert scaled.at == pytest.approx(found.at)
        assert scaled.first == pytest.approx(found.first, abs=math.radians(0.13))
    angles = np.linspace(-3, 3, 61)
    gap, at = module.least_gap(one, area, angles, course_of(one).travel(angles))
    scaled_gap, scaled_at = module.least_gap(
        other, larger, angles, course_of(other, K).travel(angles)
    )
    assert (scaled_gap, scaled_at) == (pytest.approx(K * gap), at)


@pytest.mark.parametrize("seed", range(3))
def test_sweep_scales(seed: int) -> None:
    assert_sweep_scales(sweep, seed)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("tooth.bit_shape.corners(TIP).T", "(tooth.bit_shape.corners(TIP) + [0.0, 1.0]).T"),
        ("corners[:, :, 0] -= shift[:, None]", "corners[:, :, 0] -= shift[:, None] / tooth.radius"),
        ("-reach - tooth.throw, -reach, reach, reach", "-9.0, -9.0, 9.0, 9.0"),
    ],
)  # fmt: skip
def test_a_spoilt_sweep_is_seen(old: str, new: str) -> None:
    module = spoilt("sweep", old, new)
    with pytest.raises(AssertionError):
        assert_sweep_scales(module, 0)
