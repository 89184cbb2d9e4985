"""What a key does to a bolt as both are made, against contact found by halving on distances between shapes.

The shapes know no law: a bit with a round tip about the pivot where it lies, and the metal above each foot. The
bolt goes as far as it must for the two to be apart.
"""

import math
import random
from dataclasses import fields, replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from core.mechanism.actual import ActualParts, as_planned, carried
from core.mechanism.law import STROKES, Stroke
from core.mechanism.maths import Array
from core.mechanism.tooth_numbers import Reason, tooth_from
from tests.counts import seeds, tries
from tests.designs import bits, fixed_point, seeded

TOUCHING = 1e-9
FAR = 60.0
DEMO = tooth_from(
    radius=20.0, bit=3.0, clearance=0.2, throw=9.5, pickup_angle=0.0, bolt_line=24.0, depth=10.0
)


def filed(seed: int) -> ActualParts[float]:
    """Return parts off their plan by more than any file leaves, each by its own."""
    rng = seeded(f"filed {seed}")
    r, c, t = rng.uniform(15, 30), rng.uniform(0.1, 0.5), rng.uniform(6, 12)
    bit, pickup = rng.uniform(2, 4), rng.choice((0.0, rng.uniform(0.02, 0.25)))
    plan = fixed_point(r, bit, c, t, pickup, rng.choice((0.0, r - rng.uniform(-0.3, 3))))

    def off(by: float) -> float:
        return rng.uniform(-by, by)

    return ActualParts(
        radius=r + off(0.5), bit=bit + off(0.2), throw=t + off(0.3),
        unlocking_flank=plan.offset + off(0.4), unlocking_foot=plan.foot + off(0.5),
        locking_flank=-plan.flank + off(0.4), locking_foot=plan.foot + off(0.5),
        pivot_along=off(0.5), pivot_up=off(0.5), shank_play=rng.choice((0.0, rng.uniform(0, 0.3))),
        bolt_lift=off(0.2),
    )  # fmt: skip


def pushed(parts: ActualParts[float], stroke: Stroke, turn: Array) -> Array:
    """Return how far the bolt must have gone from its seat for the bit to be clear of it, shape of `turn` (n,).

    Halved on whether the distance of two shapes is none.
    """
    way = 1 if stroke == "unlocking" else -1
    flank, foot = (
        (parts.unlocking_flank, parts.unlocking_foot)
        if way > 0
        else (parts.locking_flank + parts.throw, parts.locking_foot)
    )
    # as seen from where the pivot is, the shank pushed back in its hole
    x = flank - parts.pivot_along + way * parts.shank_play
    low = foot + parts.bolt_lift - parts.pivot_up
    shapes = bits(parts.radius, parts.bit, way * turn, tip=257)
    shapely.prepare(shapes)

    def touches(gone: Array) -> NDArray[np.bool_]:
        here = x + way * gone
        metal = shapely.box(
            np.minimum(here, here + way * FAR), low, np.maximum(here, here + way * FAR), low + FAR
        )
        return np.asarray(shapely.distance(shapes, metal) < TOUCHING)

    near, clear = np.zeros(len(turn)), np.full(len(turn), 3 * parts.radius)
    met = touches(near)
    for _ in range(36):
        middle = (near + clear) / 2
        still = touches(middle)
        near, clear = np.where(still, middle, near), np.where(still, clear, middle)
    return np.where(met, clear, 0.0)


def first(
    turn: tuple[float, float], parts: ActualParts[float], stroke: Stroke, gone: float
) -> float:
    """Return the angle [rad] in `turn` from which on the bolt must have gone farther than `gone` [mm]."""
    low, high = turn
    for _ in range(4):
        angles = np.linspace(low, high, 41)
        over = int(np.argmax(pushed(parts, stroke, angles) > gone))
        low, high = angles[max(over - 1, 0)], angles[over]
    return float(high)


@pytest.mark.parametrize("stroke", STROKES)
@pytest.mark.first(1)
def test_each_way_against_shapes_that_know_no_law(stroke: Stroke) -> None:
    driven = missed = 0
    turn = np.linspace(-1.5, 1.57, 61)
    for seed in seeds(16, 40):
        parts = filed(seed)
        found = carried(parts, stroke)
        if found.reason > Reason.DRIVES_NOTHING:
            continue
        # once the corner is past the foot the round tip holds the bolt where it is: its furthest is what is driven
        travelled = pushed(parts, stroke, turn)
        assert travelled.max() == pytest.approx(found.driven_travel, abs=1e-5)
        assert found.home_travel == pytest.approx(parts.throw - travelled.max(), abs=1e-5)
        if found.reason == Reason.DRIVES_NOTHING:
            missed += 1
            continue
        driven += 1
        if seed % 8 == 0:
            at = first((-1.5, 1.57), parts, stroke, 1e-7)
            assert at == pytest.approx(-found.pickup_angle, abs=1e-5)
            at = first((-1.5, 1.57), parts, stroke, found.driven_travel - 1e-5)
            assert at == pytest.approx(found.release_angle, abs=1e-4)
    assert driven > tries(8, 25)
    assert missed > tries(0, 1)


@pytest.mark.parametrize("stroke", STROKES)
def test_parts_just_as_planned_are_the_tooth(stroke: Stroke) -> None:
    rng = seeded("planned")
    sizes = np.array([
        [rng.uniform(15, 30), rng.uniform(2, 4), rng.uniform(0, 0.5), rng.uniform(5, 14), rng.choice((0, 0.2)),
         rng.uniform(28, 34), rng.uniform(8, 20)]
        for _ in range(300)
    ]).T  # fmt: skip
    r, b, c, t, p, line, deep = sizes
    cut = tooth_from(
        radius=r, bit=b, clearance=c, throw=t, pickup_angle=p, bolt_line=line, depth=deep
    )
    found, sound = carried(as_planned(cut), stroke), cut.drives
    assert sound.sum() > 100
    for name in ("driven_travel", "home_travel", "release_angle", "pickup_angle"):
        assert getattr(found, name)[sound] == pytest.approx(getattr(cut, name)[sound], abs=1e-9)
    assert (found.reason[sound] == Reason.FITS).all()
    assert (found.reason[~cut.fits] == Reason.NO_NUMBER).all()
    assert (found.driven_travel[cut.fits & ~sound] == 0).all()


def test_the_designs_values_for_play_and_for_filing() -> None:
    plan = as_planned(DEMO)
    for stroke in STROKES:

        def driven(**off: float) -> float:
            return carried(replace(plan, **off), stroke).driven_travel  # noqa: B023 - called at once

        # fit-out values: bolt play up and down 0.1 gives 8.968 to 9.286 instead of 9.128
        assert driven() == pytest.approx(9.128, abs=5e-4)
        lifted = [driven(bolt_lift=by) for by in (0.1, -0.1)]
        assert lifted == pytest.approx([8.968, 9.286], abs=1e-3)
        # a pivot too high is a bolt too low
        assert driven(pivot_up=0.1) == driven(bolt_lift=-0.1)
        # "play of the shank in its hole costs up to e of driven travel": all of it, where it is pushed straight back
        assert driven(shank_play=0.15) == pytest.approx(driven() - 0.15, abs=1e-12)
        # sensitivities: dT/dR = R / sqrt(R^2 - y_f^2) = 1.88177, dT/dy_f = -1.59408
        step = 1e-5
        slope = (driven(radius=20 + step) - driven(radius=20 - step)) / (2 * step)
        assert slope == pytest.approx(1.88177, abs=1e-4)
        slope = (driven(bolt_lift=step) - driven(bolt_lift=-step)) / (2 * step)
        assert slope == pytest.approx(-1.59408, abs=1e-4)
    # a pivot too far to +x carries the bolt farther there, and less far back
    there, back = (carried(replace(plan, pivot_along=0.2), stroke) for stroke in STROKES)
    assert there.driven_travel - back.driven_travel == pytest.approx(0.4, abs=1e-12)


def test_a_key_that_would_carry_past_the_seat_has_a_home_travel_below_none() -> None:
    found = carried(replace(as_planned(DEMO), radius=20.5), "unlocking")
    assert found.driven_travel > DEMO.throw
    assert found.home_travel == pytest.approx(DEMO.throw - found.driven_travel, abs=1e-12)


SIZES = [field.name for field in fields(ActualParts)]


@given(st.lists(st.integers(0, 10_000), min_size=1, max_size=30), st.randoms(use_true_random=False))
@settings(max_examples=tries(10, 40))
def test_arrays_are_the_single_parts(seeds: list[int], rng: random.Random) -> None:
    singles = []
    for seed in seeds:
        # and such as make no lock: flanks that cross, feet below the pivot or above the key, no bit
        size, by = rng.choice(SIZES), rng.choice((0.0, 0.0, -30.0, 30.0))
        parts = filed(seed)
        if size not in ("radius", "bit"):
            parts = replace(parts, **{size: getattr(parts, size) + by})
        singles.append(parts)
    every = ActualParts(*(np.array([getattr(one, name) for one in singles]) for name in SIZES))
    for stroke in STROKES:
        found = carried(every, stroke)
        for k, one in enumerate(singles):
            alone = carried(one, stroke)
            assert Reason(int(found.reason[k])) is alone.reason
            for name in ("pickup_angle", "release_angle", "driven_travel", "home_travel"):
                wanted = getattr(alone, name)
                assert math.isnan(wanted) is (alone.reason > Reason.DRIVES_NOTHING)
                assert getattr(found, name)[k] == pytest.approx(
                    wanted, rel=1e-12, abs=1e-12, nan_ok=True
                )


def test_shapes_broadcast_and_what_is_no_number_is_nan() -> None:
    radius, lift = np.array([[19.8], [20.0], [np.nan], [0.0]]), np.linspace(-0.1, 0.1, 5)
    plan = as_planned(DEMO)
    found = carried(
        ActualParts(
            radius, plan.bit, plan.throw, plan.unlocking_flank, plan.unlocking_foot, plan.locking_flank,
            plan.locking_foot, bolt_lift=lift,
        ),
        "locking",
    )  # fmt: skip
    assert found.driven_travel.shape == found.reason.shape == (4, 5)
    assert (found.reason[:2] == Reason.FITS).all()
    assert (found.reason[2:] == Reason.NO_NUMBER).all()
    assert (np.isnan(found.home_travel) == (found.reason == Reason.NO_NUMBER)).all()
    on_pivot = replace(plan, unlocking_flank=0.0, unlocking_foot=-1.0)
    assert carried(on_pivot, "unlocking").driven_travel == 20.0
    with pytest.raises(ZeroDivisionError):
        carried(replace(plan, radius=0.0), "unlocking")
    crossed = carried(replace(plan, locking_flank=2.0), "unlocking")
    assert crossed.reason is Reason.FLANKS_CROSS
    assert math.isnan(crossed.driven_travel)
