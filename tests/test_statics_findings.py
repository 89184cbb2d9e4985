"""What the statics have to say of a lock: torque against published hands, jamming, cocking, the way the key leaves."""

import math
import random

import numpy as np
import pytest

from core.checks import gathered
from core.files.project_file import load
from core.layout.findings import Finding
from core.layout.layout import Layout
from core.lock.friction import CONDITIONS
from core.lock.lock import Lock
from core.mechanism.law import STROKES, driven_angles
from core.parts.friction import friction_ranges
from core.parts.tooth import tooth
from core.report.data import report
from core.shipped import sample_locks
from core.turning.binding import Binding, binding, binding_in_steps
from core.turning.effort import STEP, effort_at
from core.turning.hands import hands
from core.turning.release import hand_over
from core.turning.torque import CHECK, COCKING_MARGIN
from core.whole import assembly
from tests.counts import seeds
from tests.designs import numbers
from tests.loaded_locks import changed, early, loaded


def said(lock: Lock) -> dict[str, Finding]:
    return {finding.code: finding for finding in CHECK.findings(Layout(lock))}


def test_sound_samples_have_nothing_to_say() -> None:
    for path in sample_locks():
        lock = load(path).lock
        if path.stem != "pump_house":
            assert said(lock) == {}, path.stem


def test_torque_against_the_hand() -> None:
    for force, code in ((3.0, None), (40.0, "torque-high"), (80.0, "torque-beyond-hand")):
        lock = changed(Lock(), spring__force=force)
        found = said(lock)
        codes = {"torque-high", "torque-beyond-hand"} & found.keys()
        assert codes == ({code} if code else set())
        peak = binding(Layout(lock)).conditions["clean"].peak_high
        assert peak is not None
        limits = {None: (0, 680), "torque-high": (680, 1246.2), "torque-beyond-hand": (1246.2, 1e9)}
        low, high = limits[code]
        assert low <= peak.value <= high
        if code:
            assert (found[code].level, found[code].value) == ("look", peak.value)


def test_torque_in_proportion_to_the_load() -> None:
    # all loads tenfold, the torque tenfold: the equations are linear
    one, ten = (Layout(changed(Lock(), spring__force=f, friction__drag=f / 2)) for f in (2.0, 20.0))
    for name in CONDITIONS:
        a, b = (binding(layout).conditions[name].peak_high for layout in (one, ten))
        assert a is not None
        assert b is not None
        assert b.value == pytest.approx(10 * a.value, rel=1e-6)


@pytest.mark.parametrize("pickup", [0.0, 15.0, 25.0, 33.0])
def test_wedge_rule(pickup: float) -> None:
    # the face pushes at p + phi above the bolt's way, the guides hold on at 90 - phi, phi = atan(mu): a wedge
    # locks itself where the two meet, p + 2 phi = 90 degrees (self-locking wedge, any text of mechanics)
    lock = early(pickup) if pickup else Lock()
    found = binding(Layout(lock)).jam
    assert found is not None
    assert found.value == pytest.approx(math.tan(math.radians(45 - pickup / 2)), abs=1e-4)


def test_jamming_finding() -> None:
    lock = early(30.0, friction__condition="dry")
    found = said(lock)
    assert found["bolt-jams"].level == "stop"
    assert found["bolt-jams"].value == 0.78
    assert found["bolt-jams"].limit == pytest.approx(math.tan(math.radians(30)), abs=1e-4)
    greased = said(changed(lock, friction__condition="greased"))
    assert "bolt-jams" not in greased
    assert greased["bolt-jams-rougher"].level == "look"
    assert binding(Layout(lock)).conditions["dry"].peak_high is None


def test_jam_without_any_load() -> None:
    lock = early(30.0, friction__condition="dry", spring__force=0.0)
    assert "bolt-jams" in said(lock)


def test_cocking_between_guides() -> None:
    # L / (2 mu d): guides 20 and 22 from the centreline, their middle 3 below the bolt line, and the foot
    lock = Lock()
    for condition, mu in (("greased", 0.20), ("clean", 0.42), ("dry", 0.78)):
        layout = Layout(changed(lock, friction__condition=condition))
        n = numbers(layout.lock)
        deep = lock.bolt_line.height - 3.0 - n.foot
        ratio = binding(layout).cocking_ratio(mu)
        assert ratio == pytest.approx((20 + 22) / (2 * mu * deep), rel=1e-6)
        assert report(layout)["statics"]["cocking_ratio"] == ratio


def test_cocking_finding_at_its_margin() -> None:
    # guides side by side at the centreline would bind; where they stand is another finding's matter
    near = changed(
        Lock(), front_guide__from_centreline=1.0, rear_guide__from_centreline=1.0, friction__condition="dry"
    )  # fmt: skip
    found = said(near)["cocking"]
    ratio = (3 + 3) / (2 * 0.78 * (24 - 3 - numbers(near).foot))
    assert found.level == "look"
    assert found.value == pytest.approx(ratio, rel=1e-6)
    assert ratio < COCKING_MARGIN == found.limit
    assert "cocking" not in said(Lock())


def test_flank_left_when_the_detent_takes_over() -> None:
    # the corner on the key's circle at x = w0 + T - capture is sqrt(R^2 - x^2) high
    for capture, few in ((1.0, False), (0.6, True)):
        lock = changed(Lock(), fit__detent_capture=capture)
        n, throw = numbers(lock), lock.shackle.engagement + lock.shackle.gap
        left = math.sqrt(20**2 - (n.offset + throw - capture) ** 2) - n.foot
        found = hand_over(Layout(lock))
        assert found is not None
        assert found.flank_left == pytest.approx(left, abs=1e-9)
        assert ("flank-runs-out" in said(lock)) is few
        assert (left < 0.2) is few
        push = report(Layout(lock))["statics"]["flank_pressure"]
        assert push == pytest.approx(found.pressure)


def test_flank_pressure() -> None:
    # force over thickness and what is left of the flank; the softest brass yields at 140 MPa
    lock = changed(Lock(), spring__force=900.0, bolt__thickness=1.0)
    found = said(lock)["flank-pressure"]
    assert found.value is not None
    assert found.value > 140 == found.limit
    assert "flank-pressure" not in said(Lock())


def test_key_that_lets_go_too_early_is_told_once() -> None:
    lock = changed(Lock(), fit__detent_capture=0.1)
    assert "home-travel" in {f.code for f in gathered.findings(Layout(lock))}
    assert not {"flank-runs-out", "flank-pressure"} & said(lock).keys()


def test_late_release() -> None:
    # a forearm's functional arc is 50 degrees either way (Morrey et al. 1981, second-hand)
    lock = early(25.0, shackle__engagement=22.5, bolt__depth=18.0)
    past = math.degrees(numbers(lock).release)
    assert past > 50
    found = said(lock)["release-late"]
    assert found.level == "look"
    assert found.value == pytest.approx(past, abs=1e-3)
    assert found.limit == 50
    assert "release-late" not in said(early(25.0))


def test_key_that_drives_nothing_is_left_to_the_tooth() -> None:
    lock = Lock().with_value("bolt.depth", 3.5)
    assert said(lock) == {}
    made = report(Layout(lock))["statics"]
    assert made["peak_torque"] is None
    assert made["conditions"] == {}


# what the worst of a stroke rests on


def verdicts(lock: Lock, found: Binding) -> list[object]:
    made: list[object] = [found.jam is None]
    for name, ends in found.conditions.items():
        made += [ends.jam_low is None, ends.jam_high is None]
        made += [p is not None and p.value > hands().easy for p in (ends.peak_low, ends.peak_high)]
        made += [p is not None and p.value > hands().weak for p in (ends.peak_low, ends.peak_high)]
        mu = friction_ranges(Layout(lock))[name].high
        ratio = found.cocking_ratio(mu)
        made.append(ratio is not None and ratio < COCKING_MARGIN)
    return made


@pytest.mark.slow
def test_halving_the_step_moves_no_verdict() -> None:
    seen: list[list[object]] = []
    for seed in range(60):
        rng = random.Random(1000 + seed)  # noqa: S311 - nothing secret is made here
        lock = loaded(seed) if seed % 2 else early(rng.uniform(15, 33))
        lock = changed(lock, spring__force=rng.uniform(0, 60))
        layout = Layout(lock)
        coarse = binding_in_steps(layout, STEP)
        fine = binding_in_steps(layout, STEP / 2)
        assert verdicts(lock, coarse) == verdicts(lock, fine)
        for name, ends in coarse.conditions.items():
            for a, b in (
                (ends.peak_low, fine.conditions[name].peak_low),
                (ends.peak_high, fine.conditions[name].peak_high),
            ):
                if a is not None and b is not None:
                    assert a.value == pytest.approx(b.value, rel=1e-4)
        if coarse.jam is not None and fine.jam is not None:
            assert coarse.jam.value == pytest.approx(fine.jam.value, rel=1e-3)
        seen.append(verdicts(lock, coarse))
    # dry, at the high end: locks that jam and that slide, light keys and heavy ones were all among them
    for answers in list(zip(*seen, strict=True))[-6:-1]:
        assert set(answers) == {True, False}


@pytest.mark.parametrize("seed", seeds(3, 10))
@pytest.mark.first(1)
def test_jam_friction_is_the_edge_of_sliding(seed: int) -> None:
    layout = Layout(loaded(seed))
    edge = binding(layout).jam
    if edge is None:
        pytest.fail("no friction up to 2 jams this lock, which its slanting push would")

    def jams(mu: float) -> bool:
        return any(
            effort_at(
                layout, driven_angles(tooth(layout), stroke, STEP), stroke, np.array([[mu]]),
                assembly.loads(layout),
            ).jams.any()
            for stroke in STROKES
        )  # fmt: skip

    assert jams(edge.value)
    assert not any(jams(mu) for mu in np.linspace(0.02, edge.value - 1e-4, 60))


@pytest.mark.parametrize("seed", seeds(3, 6))
def test_peak_is_the_largest_of_a_fine_turn(seed: int) -> None:
    layout = Layout(loaded(seed))
    for ends in binding(layout).conditions.values():
        for peak, mu in ((ends.peak_low, ends.low), (ends.peak_high, ends.high)):
            if peak is None:
                continue
            tops = []
            for stroke in STROKES:
                angles = driven_angles(tooth(layout), stroke, math.radians(0.01))
                takes = effort_at(layout, angles, stroke, np.array([[mu]]), assembly.loads(layout))
                tops.append(takes.torque.max())
            assert peak.value == pytest.approx(max(tops), rel=1e-5)
