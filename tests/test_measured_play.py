"""Readings at the bench, made by other means than the program's, and the cause that is found for them.

The readings come from the fixed-point iteration of the design page and, once, from a rigid-body engine that
knows no law of motion. What was put wrong is then to be found.
"""

import math
import random

import numpy as np
import pytest

from core.change.causes import Cause, Diagnosis, corrected, diagnose
from core.change.causes_text import cause_words, next_words, tied
from core.change.consequences import as_fact
from core.change.readings import READ_OFF, bench_of, parts_of
from core.errors import BadValueError
from core.layout.layout import Layout
from core.lock.facts import with_measured
from core.lock.lock import Lock
from core.made.marking import mark_made
from core.whole import assembly
from tests.counts import seeds
from tests.designs import numbers, plausible
from tests.rigid_body import bar, face, travel_of_slider

PARTS = ("key", "bolt", "back_plate", "shackle")


def made(lock: Lock) -> Lock:
    for part in PARTS:
        lock = mark_made(lock, part)
    return lock


def cause_of(found: Diagnosis, part: str, path: str) -> Cause:
    return next(c for c in found.causes if (c.part, c.suspect.path) == (part, path))


def driven(lock: Lock, radius: float, rise: float = 0.0) -> float:
    """Return the travel of a bolt made to `lock`, by a key of `radius`, the bolt line `rise` too high."""
    n = numbers(lock)
    return math.sqrt(radius**2 - (n.foot + rise) ** 2) - n.offset


def release(lock: Lock, radius: float, rise: float = 0.0) -> float:
    n = numbers(lock)
    half = lock.key.bit_thickness / 2
    return math.degrees(math.acos((n.foot + rise) / radius) - math.asin(half / radius))


@pytest.mark.parametrize("seed", seeds(3, 10))
def test_what_the_plan_gives_is_the_iterations(seed: int) -> None:
    lock = plausible(seed)
    bench = bench_of(parts_of(made(lock)))
    n = numbers(lock)
    assert bench.driven == pytest.approx(n.driven, abs=1e-6)
    assert bench.release == pytest.approx(math.degrees(n.release), abs=1e-5)
    assert bench.gap == pytest.approx(lock.shackle.gap, abs=1e-9)
    assert bench.engagement == pytest.approx(lock.shackle.engagement, abs=1e-9)
    assert bench.throw == pytest.approx(lock.shackle.engagement + lock.shackle.gap, abs=1e-12)


@pytest.mark.parametrize("seed", seeds(3, 10))
def test_a_short_key_is_among_the_likely_causes_with_its_number(seed: int) -> None:
    lock = made(plausible(seed, early=False))
    short = lock.key.radius - 0.4
    found = diagnose(lock, {"driven": driven(lock, short), "release": release(lock, short)})
    assert not found.fine
    cause = cause_of(found, "key", "key.radius")
    assert cause.explains
    assert cause.value == pytest.approx(short, abs=0.01)
    assert cause in found.likely


@pytest.mark.parametrize("seed", seeds(3, 10))
def test_a_bolt_line_that_is_too_high_is_too(seed: int) -> None:
    lock = made(plausible(seed, early=False))
    read = {
        "driven": driven(lock, lock.key.radius, 0.35),
        "release": release(lock, lock.key.radius, 0.35),
    }
    cause = cause_of(diagnose(lock, read), "back_plate", "bolt_line.height")
    assert cause.explains
    assert cause.value == pytest.approx(lock.bolt_line.height + 0.35, abs=0.01)


def test_a_short_key_by_the_rigid_body_engine() -> None:
    """A bar of radius 19.6 mm against a bolt whose flank stands at 1.5 from 16.942 up, made for 20 mm."""
    lock = made(Lock())
    n = numbers(lock)
    angles = np.radians(np.linspace(-5, 40, 91))
    travel = travel_of_slider(bar(19.6, 3.0), [face(n.offset, n.foot)], angles)
    found = diagnose(lock, {"driven": float(travel[-1])})
    assert cause_of(found, "key", "key.radius").value == pytest.approx(19.6, abs=0.02)


def test_what_is_measured_already_is_no_suspect() -> None:
    lock = made(Lock())
    read = {"driven": driven(lock, 19.6)}
    known = with_measured(lock, "key", "key.radius", 20.0)
    assert cause_of(diagnose(lock, read), "key", "key.radius")
    parts = {(c.part, c.suspect.path) for c in diagnose(known, read).causes}
    assert ("key", "key.radius") not in parts
    assert ("back_plate", "bolt_line.height") in parts


def test_readings_tell_causes_apart() -> None:
    lock = made(Lock())
    # nose and seats right, and yet the gap is short: the shackle stands too near, or the nose is long
    found = diagnose(lock, {"gap": 1.1, "throw": 9.5})
    assert {c.suspect.path for c in found.likely} == {"shackle.across"}
    assert all(abs(c.off) == pytest.approx(0.4, abs=0.01) for c in found.likely)
    # the throw itself is short
    found = diagnose(lock, {"gap": 1.1, "throw": 9.1})
    assert [c.suspect.path for c in found.likely] == ["shackle.gap"]
    assert found.likely[0].share > 0.99
    # with the gap alone, the throw would tell
    alone = diagnose(lock, {"gap": 1.1})
    assert {c.suspect.path for c in alone.likely} == {"shackle.across", "shackle.gap"}
    assert sum(c.share for c in alone.causes) == pytest.approx(1)


def test_shares_follow_the_textbook_weights() -> None:
    """Gaussian weights exp(-chi2 / 2) by numpy over all causes, with the usual deviation of 0.3 mm."""
    found = diagnose(made(Lock()), {"driven": 8.7, "release": 26.9})
    scores = np.array([c.misfit + (c.off / 0.3) ** 2 for c in found.causes])
    weights = np.exp(-scores / 2)
    assert [c.share for c in found.causes] == pytest.approx(list(weights / weights.sum()))


def test_a_plan_that_explains_it_is_fine_and_contradictions_are_told() -> None:
    lock = made(Lock())
    n = numbers(lock)
    fine = diagnose(lock, {"driven": n.driven + 0.05, "release": math.degrees(n.release)})
    assert fine.fine
    mad = diagnose(lock, {"driven": n.driven + 2, "release": math.degrees(n.release) - 9})
    assert not mad.likely
    assert "Two dimensions or more are off" in next_words(lock, mad)


@pytest.mark.parametrize("seed", seeds(3, 6))
def test_a_cause_taken_as_found_gives_the_readings(seed: int) -> None:
    lock = made(plausible(seed, early=False))
    rng = random.Random(seed)  # noqa: S311 - nothing secret is made here
    read = {
        "driven": driven(lock, lock.key.radius - rng.uniform(0.2, 0.4)),
        "gap": lock.shackle.gap,
    }
    for cause in diagnose(lock, read).likely:
        bench = bench_of(parts_of(corrected(lock, cause)))
        for name, value in read.items():
            gauge = READ_OFF[name]
            assert gauge.of(bench) == pytest.approx(value, abs=2 * gauge.accuracy)
            assert gauge.of(bench) == pytest.approx(cause.expected[name], abs=1e-9)


def test_a_cause_on_a_part_that_is_not_made_changes_the_plan() -> None:
    found = diagnose(Lock(), {"driven": driven(Lock(), 19.6)})
    cause = cause_of(found, "key", "key.radius")
    assert corrected(Lock(), cause).key.radius == cause.value
    measured = corrected(made(Lock()), cause)
    assert measured.key.radius == 20.0
    assert Layout(measured).lock.key.radius == cause.value


def test_the_words_say_what_is_off_and_what_to_do_next() -> None:
    lock = made(Lock())
    for read in (
        {"driven": 8.6},
        {"gap": 1.1},
        {"gap": 1.1, "throw": 9.1},
        {"release": 26.0, "driven": 8.5},
    ):
        found = diagnose(lock, read)
        assert "measure" in (told := next_words(lock, found).lower()) or "read off" in told
        for cause in found.likely:
            said = cause_words(lock, cause)
            assert Layout(lock).show(abs(cause.off)) in said
            assert said.startswith(f"{cause.share * 100:.0f} %")
            assert len(said) < 160
    inches = lock.with_value("units", "in")
    found = diagnose(inches, {"gap": 1.1})
    assert " in" in cause_words(inches, found.causes[0])


@pytest.mark.parametrize(
    "read", [{}, {"weight": 3.0}, {"gap": math.nan}, {"gap": "1"}, {"gap": True}]
)
def test_refusals(read: dict[str, float]) -> None:
    with pytest.raises(BadValueError) as refused:
        diagnose(Lock(), read)
    assert "it takes" in str(refused.value)


def test_every_suspect_is_a_dimension_of_its_part_and_moves_a_reading() -> None:
    # where the lower edge is the flanks' foot the relief moves nothing, and the other way round
    locks = (Lock(), Lock().with_value("bolt.depth", 7.0))
    assert set(parts_of(locks[0])) == set(PARTS)
    for part in PARTS:
        piece = assembly.workpieces()[part]
        for suspect in piece.suspects:
            assert suspect.path in piece.paths
            assert any(moves(parts_of(lock), part, suspect.path) for lock in locks), suspect


def moves(parts: dict[str, Lock], part: str, path: str) -> bool:
    off = parts[part].with_value(path, parts[part].value(path) + 0.3)
    before, after = bench_of(parts), bench_of({**parts, part: off})
    return any(abs(read.of(after) - read.of(before)) > 1e-6 for read in READ_OFF.values())


@pytest.mark.parametrize("by", [0.0, 0.4, -0.5])
def test_a_lock_explains_its_own_readings_also_after_a_fact(by: float) -> None:
    lock = made(Lock())
    if by:
        new = as_fact(lock, "pivot.below", 54.0 + by)
        assert new is not None
        lock = new
    own = bench_of(parts_of(lock))
    read = {name: gauge.of(own) for name, gauge in READ_OFF.items()}
    assert diagnose(lock, read).fine


def test_causes_that_nothing_tells_apart_are_told_as_tied() -> None:
    """A nose 0.4 too long and an end 0.4 too near are the same at the bench: the sum of both is what is read."""
    lock = made(Lock())
    found = diagnose(lock, {"gap": 1.1, "throw": 9.5})
    assert {c.part for c in tied(found)} == {"bolt", "shackle"}
    told = next_words(lock, found)
    assert told.startswith("Alike: ")
    assert "no reading tells them apart" in told
    alone = diagnose(lock, {"gap": 1.1, "throw": 9.1})
    assert len(tied(alone)) == 1
    assert "Alike" not in next_words(lock, alone)
