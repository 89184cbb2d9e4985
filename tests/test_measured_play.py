"""Readings at the bench, made by other means than the program's, and the cause that is found for them.

The readings come from a model of the tests' own (`tests/bench_cases.py`) and, once, from a rigid-body engine; neither
knows a law of motion. What was put wrong is then to be found.
"""

import math
from pathlib import Path

import numpy as np
import pytest

from core.change.bench import bench_of, laid_at, parts_of, planned_bench
from core.change.causes import Cause, Diagnosis, corrected, diagnose
from core.change.causes_text import cause_words, next_words, tied
from core.change.consequences import as_fact
from core.change.readings import READ_OFF
from core.checks.gathered import findings
from core.errors import BadValueError
from core.files.project_file import load
from core.layout.layout import Layout
from core.lock.facts import with_measured
from core.lock.lock import Lock
from core.made.marking import mark_made
from core.mechanism.law import STROKES
from core.parts.tooth import lobe
from core.shipped import sample_locks
from core.turning.click import felt
from core.whole import assembly
from core.whole.as_built import as_built
from tests import bench_cases
from tests.bench_cases import BIT_OFF, SUSPECTS, Metal
from tests.counts import seeds
from tests.designs import numbers
from tests.rigid_body import bar, face, travel_of_slider

PARTS = ("key", "bolt", "back_plate", "shackle")


def made(lock: Lock) -> Lock:
    for part in PARTS:
        lock = mark_made(lock, part)
    return lock


def cause_of(found: Diagnosis, part: str, path: str) -> Cause:
    return next(c for c in found.causes if (c.part, c.suspect.path) == (part, path))


@pytest.mark.parametrize("seed", seeds(4, 12))
def test_what_the_plan_gives_is_read_off_the_tests_own_model(seed: int) -> None:
    lock = bench_cases.made(seed)
    bench = planned_bench(lock)
    for name, value in Metal(lock).readings().items():
        assert READ_OFF[name].of(bench) == pytest.approx(value, abs=4e-3), name


@pytest.mark.parametrize(
    ("part", "path"), [p for p in SUSPECTS if p != ("bolt", "bolt.depth")], ids=str
)
@pytest.mark.first(2)
def test_each_size_that_is_off_gives_what_the_tests_own_model_gives(part: str, path: str) -> None:
    lock = bench_cases.made(2)
    # a larger key does not turn in this lock, nor one whose pivot is as far across
    by = {"key.radius": -0.3, "pivot.across": 0.1}.get(path, 0.3)
    off = Metal(lock, {(part, path): by})
    parts = parts_of(lock)
    bent = parts[part].with_value(path, parts[part].value(path) + by)
    bench = bench_of({**parts, part: bent}, laid_at(lock))
    for name, value in off.readings().items():
        # where the bolt snaps home off the relief the push turns within the step of a degree
        near = 0.2 if READ_OFF[name].angle else 6e-3
        assert READ_OFF[name].of(bench) == pytest.approx(value, abs=near), name


@pytest.mark.parametrize("seed", seeds(3, 8))
@pytest.mark.slow
def test_one_size_that_is_off_is_found_from_rounded_readings(seed: int) -> None:
    one = bench_cases.case(seed)
    assert one.place in (1, 2, 3)
    if one.place == 1:
        cause = one.found.causes[0]
        assert cause.explains
        # what readings of 0.1 mm and a degree can tell of it
        assert cause.off == pytest.approx(one.by, abs=0.2)


@pytest.mark.slow
def test_of_thirty_two_the_right_cause_is_first_in_twenty_four() -> None:
    cases = [bench_cases.case(seed) for seed in range(bench_cases.CASES)]
    places = [one.place for one in cases]
    assert sum(place == 1 for place in places) >= 24
    assert sum(place in (1, 2, 3) for place in places) >= 30
    assert not any(one.found.fine for one in cases)


def test_a_short_key_by_the_rigid_body_engine() -> None:
    """A bar of radius 19.8 mm against a bolt whose flank stands at 1.5 from 16.942 up, made for 20 mm."""
    lock = made(Lock())
    n = numbers(lock)
    angles = np.radians(np.linspace(-5, 40, 91))
    travel = travel_of_slider(bar(19.8, 3.0), [face(n.offset, n.foot)], angles)
    # the detent of the demo lock reaches 1 mm, its throw is 9.5 mm
    snaps = float(np.interp(9.5 - 1.0, travel, np.degrees(angles)))
    found = diagnose(lock, {"unlocking_snaps": snaps})
    assert cause_of(found, "key", "key.radius").value == pytest.approx(19.8, abs=0.03)


def test_what_is_measured_already_is_no_suspect() -> None:
    lock = made(Lock())
    read = {"unlocking_left": 1.0}
    known = with_measured(lock, "key", "key.radius", 20.0)
    assert cause_of(diagnose(lock, read), "key", "key.radius")
    parts = {(c.part, c.suspect.path) for c in diagnose(known, read).causes}
    assert ("key", "key.radius") not in parts
    assert ("back_plate", "bolt_line.height") in parts


def test_readings_tell_causes_apart() -> None:
    lock = made(Lock())
    # seats right, and yet the gap is short: the shackle stands too near, or the nose is long
    found = diagnose(lock, {"gap": 1.1, "throw": 9.5})
    assert {c.suspect.path for c in found.likely} == {"shackle.across", "as_cut.nose"}
    assert all(abs(c.off) == pytest.approx(0.4, abs=0.01) for c in found.likely)
    # what would tell them apart is named, and does
    assert found.ask in ("stands_out", "engagement")
    plan = planned_bench(lock).stands_out
    found = diagnose(lock, {"gap": 1.1, "throw": 9.5, "stands_out": plan})
    assert [c.suspect.path for c in found.likely] == ["shackle.across"]
    # the throw itself is short
    found = diagnose(lock, {"gap": 1.1, "throw": 9.1})
    assert [c.suspect.path for c in found.likely] == ["shackle.gap"]
    assert found.likely[0].share > 0.99
    # with the gap alone, the throw would tell
    alone = diagnose(lock, {"gap": 1.1})
    assert {c.suspect.path for c in alone.likely} == {
        "shackle.across",
        "shackle.gap",
        "as_cut.nose",
    }
    assert sum(c.share for c in alone.causes) == pytest.approx(1)


def test_of_two_causes_that_are_left_it_is_asked_what_tells_them_apart() -> None:
    """On the bench a short throw shows in the throw, and a shackle that stands too near does not."""
    lock = made(Lock())
    known = with_measured(lock, "bolt", "as_cut.nose", lock.value("as_cut.nose"))
    found = diagnose(known, {"gap": 1.1})
    assert {c.suspect.path for c in found.causes} == {"shackle.across", "shackle.gap"}
    assert found.ask == "throw"


def test_shares_follow_the_textbook_weights() -> None:
    """Gaussian weights exp(-chi2 / 2) by numpy over all causes, with the usual deviation of 0.3 mm."""
    found = diagnose(made(Lock()), {"unlocking_left": 0.8, "unlocking_snaps": 25.0})
    scores = np.array([c.misfit + (c.off / 0.3) ** 2 for c in found.causes])
    weights = np.exp(-scores / 2)
    assert [c.share for c in found.causes] == pytest.approx(list(weights / weights.sum()))


def test_a_plan_that_explains_it_is_fine_and_contradictions_are_told() -> None:
    lock = made(Lock())
    plan = {name: gauge.of(planned_bench(lock)) for name, gauge in READ_OFF.items()}
    fine = diagnose(lock, {"unlocking_left": plan["unlocking_left"] + 0.04})
    assert fine.fine
    bad = {
        "unlocking_left": plan["unlocking_left"] - 2,
        "unlocking_snaps": plan["unlocking_snaps"] - 9,
    }
    mad = diagnose(lock, bad)
    assert not mad.likely
    assert "Two dimensions or more are off" in next_words(lock, mad)


@pytest.mark.parametrize("seed", seeds(2, 6))
@pytest.mark.first(1)
def test_a_cause_taken_as_found_gives_the_readings(seed: int) -> None:
    one = bench_cases.case(seed)
    for cause in one.found.likely[:3]:
        bench = planned_bench(corrected(one.lock, cause))
        for name, value in one.found.read.items():
            gauge = READ_OFF[name]
            assert gauge.of(bench) == pytest.approx(value, abs=2 * gauge.accuracy), (cause, name)
            assert gauge.of(bench) == pytest.approx(cause.expected[name], abs=1e-6)


def test_a_cause_on_a_part_that_is_not_made_changes_the_plan() -> None:
    found = diagnose(Lock(), {"unlocking_snaps": 26.0})
    cause = cause_of(found, "key", "key.radius")
    assert corrected(Lock(), cause).key.radius == cause.value
    # what is one part's metal alone, or where all was laid out from, is off on a part that is made
    assert not {c.suspect.path for c in found.causes} & {"as_cut.unlocking_foot", "pivot.across"}
    measured = corrected(made(Lock()), cause)
    assert measured.key.radius == 20.0
    assert Layout(measured).lock.key.radius == cause.value


@pytest.mark.slow
def test_a_rounded_foot_taken_as_found_is_the_bolts_alone() -> None:
    # the lower edge is the flanks' foot: with the demo's the relief takes over, and a foot is not felt
    lock = made(Lock().with_value("bolt.depth", 7.0))
    off = Metal(lock, {("bolt", "as_cut.unlocking_foot"): 0.5})
    found = diagnose(lock, off.read())
    cause = cause_of(found, "bolt", "as_cut.unlocking_foot")
    assert cause.explains
    taken = corrected(lock, cause)
    assert taken.as_cut == lock.as_cut
    assert dict(next(r for r in taken.made if r.part == "bolt").measured) == {
        "as_cut.unlocking_foot": cause.value
    }
    assert diagnose(taken, off.read()).fine


@pytest.mark.slow
def test_the_words_say_what_is_off_and_what_to_do_next() -> None:
    lock = made(Lock())
    for read in (
        {"unlocking_left": 0.9},
        {"gap": 1.1},
        {"gap": 1.1, "throw": 9.1},
        {"unlocking_snaps": 27.0, "unlocking_left": 0.8},
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
            assert suspect.path in piece.paths or suspect.path == "fit.detent_capture"
            assert any(moves(parts_of(lock), part, suspect.path) for lock in locks), suspect


def moves(parts: dict[str, Lock], part: str, path: str) -> bool:
    off = parts[part].with_value(path, parts[part].value(path) + 0.3)
    before, after = bench_of(parts, 0.0), bench_of({**parts, part: off}, 0.0)
    return any(abs(read.of(after) - read.of(before)) > 1e-6 for read in READ_OFF.values())


@pytest.mark.parametrize("by", [0.0, 0.4, -0.2])
def test_a_lock_explains_its_own_readings_also_after_a_fact(by: float) -> None:
    lock = made(Lock())
    if by:
        new = as_fact(lock, "pivot.below", 54.0 + by)
        assert new is not None
        lock = new
    read = {name: gauge.of(planned_bench(lock)) for name, gauge in READ_OFF.items()}
    # where the key does not bring the bolt within the detent's reach it does not snap
    read = {name: value for name, value in read.items() if not math.isnan(value)}
    assert len(read) > 8
    assert diagnose(lock, read).fine
    # and they are those of the checks: what the real bolt on the real pivot is left off its seat
    built = as_built(Layout(lock))
    assert read["unlocking_left"] == pytest.approx(lobe(built).rests_off, abs=3e-3)


# in the third the bolt stops the key before
@pytest.mark.parametrize("file", sample_locks()[:2], ids=lambda file: file.stem)
def test_notches_draw_at_the_bench_as_far_as_the_turn_says(file: Path) -> None:
    # the turn has the angle in closed form from the notches, the bench by contact in steps of a degree
    lock = load(file).lock
    bench, turn = planned_bench(lock), felt(Layout(lock))
    for stroke in STROKES:
        snaps = turn[stroke].snaps
        assert snaps is not None
        read = READ_OFF[f"{stroke}_snaps"].of(bench)
        assert read == pytest.approx(abs(math.degrees(snaps)), abs=0.5)
    assert diagnose(made(lock), {"snap": bench.snap, "throw": bench.throw}).fine


def test_a_key_that_the_bolt_stops_drives_nothing_by_the_checks_and_at_the_bench() -> None:
    lock = as_fact(made(Lock()), "pivot.below", 53.5)
    assert lock is not None
    assert "key-fouls-bolt" in {finding.code for finding in findings(Layout(lock))}
    bench = planned_bench(lock)
    assert READ_OFF["unlocking_left"].of(bench) == READ_OFF["throw"].of(bench)
    assert math.isnan(READ_OFF["unlocking_snaps"].of(bench))


def test_causes_that_nothing_tells_apart_are_told_as_tied() -> None:
    """A nose 0.4 too long and an end 0.4 too near are the same at the bench: the sum of both is what is read."""
    lock = made(Lock())
    found = diagnose(lock, {"gap": 1.1, "throw": 9.5})
    assert {c.part for c in tied(found)} == {"bolt", "shackle"}
    told = next_words(lock, found)
    assert "as likely" in told
    assert READ_OFF["stands_out"].label in told
    # filed to a greater clearance or for a thicker bit: nothing that is read tells one flank's foot from the other
    alone = diagnose(lock, {"gap": 1.1, "throw": 9.1})
    assert len(tied(alone)) == 1
    assert alone.ask is not None
    told = next_words(lock, alone)
    assert "Alike" not in told
    assert "as likely" not in told
    assert told.startswith("To tell the first two apart, read off: ")
    # and where one alone explains it and no reading would tell more, it is itself that is measured
    only = diagnose(lock, {"throw": 9.1})
    assert (len(tied(only)), only.ask) == (1, None)
    assert next_words(lock, only).startswith("To be sure, measure the throw ")


@pytest.mark.parametrize("seed", seeds(2, 8))
@pytest.mark.slow
def test_a_bit_off_its_middle_is_told_from_all_else(seed: int) -> None:
    """It makes one stroke let go sooner and the other later, which nothing else does by as much both ways."""
    lock = bench_cases.made(seed)
    for by in (0.3, 0.6, -0.45):
        metal = Metal(lock, {BIT_OFF: by})
        parts = parts_of(lock)
        bench = bench_of({**parts, "key": parts["key"].with_value(BIT_OFF[1], by)}, laid_at(lock))
        for name, value in metal.readings().items():
            near = 0.2 if READ_OFF[name].angle else 6e-3
            assert READ_OFF[name].of(bench) == pytest.approx(value, abs=near), name
        found = diagnose(lock, metal.read())
        first = found.causes[0]
        assert (first.part, first.suspect.path) == BIT_OFF
        assert first.off == pytest.approx(by, abs=0.25)
        assert first.explains
