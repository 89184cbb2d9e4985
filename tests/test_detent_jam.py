"""A bolt that jams only over a few hundredths of a degree, as its tip leaves a steep notch, is told to jam."""

import json
import math

import pytest

from core.layout.layout import Layout
from core.mechanism.law import STROKES, driven_angles
from core.parts.notches import detent
from core.parts.tooth import tooth
from core.report.data import report
from core.turning.binding import binding, jam_friction, jams_at
from core.turning.effort import STEP, drive
from tests.designs import plausible, seeded
from tests.held_locks import HELD
from tests.locks import changed
from tests.test_detent_torque import locks


def test_a_jam_between_two_steps_is_found_where_the_torque_peaks() -> None:
    layout = Layout(locks()[3])
    dry = binding(layout).conditions["dry"]
    assert dry.jam_high is not None
    assert dry.peak_high is None
    # the search for the least friction at which it jams looks there too
    assert jams_at(layout, [dry.high])
    jam = binding(layout).jam
    assert jam is not None
    assert jam.value <= dry.high


@pytest.mark.slow
def test_jam_friction_is_found_however_short_the_ramp() -> None:
    # a tip on a ramp jams where ramp and friction angle come to a right angle (Coulomb's friction); steps of one degree
    # go over a ramp that is a few hundredths of a millimetre long
    between = 0
    for seed in range(40):
        rng = seeded(f"short ramp {seed}")
        ramp = rng.uniform(60, 80)
        lock = changed(
            plausible(seed), {
                **HELD, "detent.ramp": ramp, "detent.depth": rng.uniform(0.05, 0.4),
                "detent.half_width": rng.uniform(0.8, 2.5), "spring.tip": "rolled", "spring.tip_radius": 0.45,
            },
        )  # fmt: skip
        layout = Layout(lock)
        held, plain = detent(layout), binding(Layout(changed(lock, {"detent.kind": "as felt"}))).jam
        assert held is not None
        foot = min(held.notch.foot, lock.detent.depth)
        if foot < 0.45 * (1 - math.cos(math.radians(ramp))) + 0.01:
            continue  # the tip does not come down to the ramp
        found, wanted = binding(layout).jam, math.tan(math.radians(90 - ramp))
        assert found is not None
        wanted = wanted if plain is None else min(wanted, plain.value)
        assert found.value == pytest.approx(wanted, abs=2e-4), lock.title
        coarse = [
            drive(layout, driven_angles(tooth(layout), stroke, STEP), stroke) for stroke in STROKES
        ]
        steps = jam_friction(layout, coarse)
        between += steps is None or steps.value > wanted + 1e-3
    assert between > 5  # of these whole steps alone would have missed the jam


@pytest.mark.slow
def test_every_number_of_the_report_is_one() -> None:
    for lock in locks():
        assert json.dumps(report(Layout(lock)), allow_nan=False)
