"""What filed parts come to: against the plan, other closed forms, shapes by shapely, and one lock at a time."""

import math
from dataclasses import fields, replace
from typing import Any

import numpy as np
import pytest
import shapely
from shapely.geometry import LineString, Point, box

from core.layout.layout import Layout
from core.lock.lock import Lock
from core.mechanism.actual import ActualParts, carried
from core.mechanism.filed_parts import Drawn, FiledParts, Outcomes, come_to
from core.mechanism.law import STROKES
from core.mechanism.narrow_gap import gap_needed
from core.parts.tooth import lobe, tooth
from core.spread.filed_sizes import Plan, plan_of
from core.spread.whole import as_planned
from tests.designs import plausible, seeded

PARTS = tuple(field.name for field in fields(FiledParts))
OFF = 0.12


def plan(lock: Lock) -> Plan:
    found = plan_of(Layout(lock))
    assert found is not None
    return found


def chance(of: Plan, seed: int, locks: int) -> np.ndarray[Any, Any]:
    """Return sizes by chance about a plan, shape (locks, sizes)."""
    rng = np.random.default_rng(seed)
    middle = np.array([size.plan for size in of.sizes])
    return middle + rng.uniform(-OFF, OFF, (locks, len(middle)))


LOCKS = [plausible(seed) for seed in range(24)]


@pytest.mark.parametrize("seed", range(24))
def test_a_lock_as_planned_comes_to_what_the_report_says(seed: int) -> None:
    # the pages of the report are held against simulators by themselves
    lock = LOCKS[seed]
    found, layout = as_planned(plan(lock)), Layout(lock)
    cut, beside = tooth(layout), lobe(layout)
    play = (lock.pivot.hole - lock.key.shank) / 2
    for home in (found.unlocking_home, found.locking_home):
        assert home == pytest.approx(cut.home_travel + play, abs=1e-9)
    for off in (found.locked_shut_out, found.unlocked_shut_out):
        assert off == pytest.approx(beside.shut_out - play, abs=1e-9)
    assert found.engagement == lock.shackle.engagement
    assert found.gap == pytest.approx(lock.shackle.gap)
    assert found.bridge == pytest.approx(cut.bridge)
    assert found.unlocking_room == pytest.approx(cut.gap_width - gap_needed(beside), abs=1e-9)
    if cut.relief_foot > cut.lower_edge:
        assert found.clearance == pytest.approx(lock.fit.key_clearance - play, abs=1e-9)


@pytest.mark.parametrize("seed", range(12))
def test_travel_is_that_of_the_bench_formula(seed: int) -> None:
    # T_k = sqrt(R^2 - h^2) - w with every size measured, from the design's section on tolerances
    lock = LOCKS[seed]
    of = plan(lock)
    throw = of.drawn.lobe.tooth.throw
    for row in chance(of, seed, 40).tolist():
        p = FiledParts(*row)
        feet = [
            max(math.sqrt(max(rc**2 - a**2, 0.0)), p.lower_edge)
            for rc, a in (
                (p.unlocking_relief, throw + p.unlocking_flank),
                (p.locking_relief, -p.locking_flank),
            )
        ]
        parts = ActualParts(
            p.radius, p.bit, p.seats, p.unlocking_flank, feet[0], p.locking_flank, feet[1], p.pivot_along, p.pivot_up,
            max(p.hole - p.shank, 0.0) / 2, p.lift,
        )  # fmt: skip
        found = come_to(p, of.drawn)
        for stroke in STROKES:
            wanted = carried(parts, stroke)
            assert getattr(found, f"{stroke}_driven") == pytest.approx(wanted.driven_travel)
            assert getattr(found, f"{stroke}_home") == pytest.approx(wanted.home_travel)


def lobe_metal(p: FiledParts[float], plan: Drawn, side: str) -> Any:
    """Return the lobe beside a flank by shapely, about the middle of its relief, its metal to +x."""
    cut = plan.lobe.tooth
    away = cut.throw + p.unlocking_flank if side == "unlocking" else -p.locking_flank
    relief = p.unlocking_relief if side == "unlocking" else p.locking_relief
    low, disc = max(p.lower_edge, 0.0), Point(0, 0).buffer(relief, quad_segs=4000)
    metal = box(away, low, away + plan.lobe.width, relief + 5).difference(disc)
    if plan.lobe.chamfer:
        # a rule laid from the mark on the lower edge touches the relief: nothing is left below it
        mark = Point(
            metal.intersection(box(0, low, 99, low + 1e-7)).bounds[0] + plan.lobe.chamfer, low
        )
        metal = metal.difference(disc.union(mark).convex_hull)
    return metal


@pytest.mark.parametrize("seed", range(12))
def test_clearance_is_the_distance_of_key_and_bolt(seed: int) -> None:
    lock = plausible(seed, early=False, roof="flat", shallow=False)
    of = plan(lock)
    for row in chance(of, seed, 8).tolist():
        p = replace(FiledParts(*row), hole=lock.key.shank, shank=lock.key.shank)
        up = p.pivot_up - p.lift
        throw = of.drawn.lobe.tooth.throw
        places = {
            "unlocking": (p.pivot_along + throw - p.seats, up),
            "locking": (-p.pivot_along, up),
        }
        wanted = min(
            Point(place).distance(lobe_metal(p, of.drawn, side)) for side, place in places.items()
        )
        assert come_to(p, of.drawn).clearance == pytest.approx(wanted - p.radius, abs=2e-5)


@pytest.mark.parametrize("chamfer", [0.0, 0.3])
@pytest.mark.parametrize("seed", range(8))
def test_shut_out_is_where_the_corner_meets_the_lobe(seed: int, chamfer: float) -> None:
    # the corner's circle, moved towards the lobe until it first touches: looked for by halving with shapely
    lock = plausible(seed, early=False, roof="flat", shallow=False)
    lock = lock.with_value("bolt.lobe_chamfer", chamfer)
    of = plan(lock)
    if not lobe(Layout(lock)).cornered or lobe(Layout(lock)).greatest_chamfer < chamfer:
        pytest.skip("the relief runs out in the lobe's side, or leaves no room for a chamfer")
    for row in chance(of, seed, 5).tolist():
        p = replace(FiledParts(*row), hole=lock.key.shank, shank=lock.key.shank)
        up = p.pivot_up - p.lift
        metal = lobe_metal(p, of.drawn, "locking")
        # coming up the corner passes the lower edge's height first
        edge = max(p.lower_edge, 0.0)
        line = LineString([(0.0, edge + 1e-7), (3 * p.radius, edge + 1e-7)])
        inner = metal.intersection(line).bounds[0]
        corner = shapely.intersection(
            line, Point(-p.pivot_along, up).buffer(p.radius, quad_segs=4000).exterior
        )
        wanted = inner - max(geometry.x for geometry in getattr(corner, "geoms", [corner]))
        assert come_to(p, of.drawn).locked_shut_out == pytest.approx(wanted, abs=5e-5)


def test_many_at_once_are_the_same_as_one_by_one() -> None:
    for seed in range(6):
        of = plan(LOCKS[seed])
        rows = chance(of, seed, 300)
        every = come_to(FiledParts(*rows.T.copy()), of.drawn)
        for k, row in enumerate(rows.tolist()):
            one = come_to(FiledParts(*row), of.drawn)
            for field in fields(Outcomes):
                found = float(np.broadcast_to(getattr(every, field.name), len(rows))[k])
                assert found == pytest.approx(getattr(one, field.name), abs=1e-12)


def test_room_in_the_gap_is_the_exact_one_to_second_order() -> None:
    # the widest stand of a bit a hundredth thicker or thinner, looked for at every angle; what is left is below 1e-4
    for seed in range(24):
        lock = plausible(seed, early=True)
        of, rng = plan(lock), seeded(f"room {seed}")
        bit = lock.key.bit_thickness + rng.uniform(-0.01, 0.01)
        parts = replace(FiledParts(*(size.plan for size in of.sizes)), bit=bit)
        cut, half = of.drawn.lobe.tooth, bit / 2
        turn = np.linspace(0, min(cut.pickup_angle, cut.release_angle), 20001)
        corner = cut.radius * np.sin(turn + math.asin(half / cut.radius))
        wide = corner + half / np.cos(turn) - cut.flank_foot * np.tan(turn)
        wanted = cut.gap_width - float(wide.max())
        assert come_to(parts, of.drawn).unlocking_room == pytest.approx(wanted, abs=1e-4)
