"""Chosen stops: what the bolt meets by shapely, what draws it back by a rigid-body engine, and what is said of both."""

from collections import Counter
from pathlib import Path

import pytest
import shapely

from core.checks.gathered import findings
from core.files.project_file import load
from core.files.project_reading import read_text
from core.files.project_text import fresh_text
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.made.marking import mark_made
from core.made.verdicts import verdicts
from core.parts import stop_plan
from core.parts.end_stops import SEATS, Seat, end_stops
from core.parts.notches import reach
from core.parts.stop_plan import most_over, wanted_pin
from core.report.bench_report import bench_report
from core.report.data import report
from core.sheets.drill_table import lines
from core.sheets.pieces.shackle import depth
from core.turning.turned_on import turned_on
from tests.designs import plausible
from tests.held_locks import held
from tests.loaded_locks import changed
from tests.locks import posted
from tests.stopped_locks import body, chosen, face_met, section, stopped, strewn
from tests.test_end_stops import met, metal
from tui.steps.walk import all_steps

BESIDE = 1e-6


def found(lock: Lock) -> dict[str, str]:
    return {f.code: f.text for f in stop_plan.PART.findings(Layout(lock))}


def test_posts_are_struck_as_shapely_finds_them() -> None:
    seen: Counter[str] = Counter()
    for seed in range(12):
        lock = strewn(seed)
        for seat in SEATS:
            name, away = met(lock, seat)
            stop = end_stops(Layout(lock))[seat]
            if away == 0:  # several may stand where the bolt is
                assert stop.distance < 1e-6
                continue
            assert stop.by == name, (seed, seat, away, stop)
            assert max(stop.distance, 0.0) == pytest.approx(away, abs=5e-3)
            seen[stop.kind] += 1
    assert seen["pin"] >= 8


def test_each_chosen_stop_is_met_first_where_it_was_asked_for() -> None:
    for lock in chosen(6):
        layout = Layout(lock)
        codes = {code.partition("-locked")[0] for code in found(lock)}
        assert not codes & {"stop-second", "stop-missing", "stop-elsewhere"}, found(lock)
        for seat in SEATS:
            stop, (name, away) = end_stops(layout)[seat], met(lock, seat)
            assert stop.by == name
            assert stop.distance == pytest.approx(lock.value(f"stops.{seat}_over"), abs=1e-6)
            assert away == pytest.approx(stop.distance, abs=1e-4)
            if stop.area is not None:
                assert stop.area == pytest.approx(face_met(lock, seat, metal(lock)[name], away))
            if stop.sheared is not None:
                post = next(p.row for p in lock.rows.of("posts") if name.endswith(p.name))
                assert stop.sheared == pytest.approx(2 * section(post.diameter / 2), rel=1e-5)


def test_a_key_that_is_turned_on_pushes_the_bolt_to_its_pin_and_stops() -> None:
    lock = stopped(held(), "locked", "pin", 0.25)
    turns = turned_on(Layout(lock))
    assert turns is not None
    assert turns["locked"].ending == "stop"
    assert turns["locked"].pushes == pytest.approx(0.25)
    assert "sheared at both plates" in bench_report(Layout(lock))


@pytest.mark.parametrize("seat", SEATS)
def test_ends_of_the_windows_hold(seat: str) -> None:
    lock = stopped(held(), seat, "guide face", 0.3)
    guide = "front_guide" if seat == "locked" else "rear_guide"
    for path in (f"stops.{seat}_over", f"{guide}.from_centreline"):
        for bound in (b for b in stop_plan.PART.bounds(Layout(lock)) if b.path == path):
            step = BESIDE if bound.end == "low" else -BESIDE
            assert bound.code.name in found(lock.with_value(path, bound.value - step))
            assert bound.code.name not in found(lock.with_value(path, bound.value + step))
    assert most_over(Layout(lock), "unlocked") == reach(Layout(lock))


def test_stop_before_the_seat_and_one_too_far() -> None:
    before = found(changed(held(), stops__locked="guide face", stops__locked_over=-0.3))
    assert "stands 0.3 mm before the locked seat" in before["stop-before-locked"]
    # the demo's detent draws over 0.757 (`tests/test_detent_shape.py` has the way to it)
    far = found(changed(held(), stops__locked="guide face", stops__locked_over=0.9))
    assert "0.9 mm past its locked seat" in far["overtravel-locked"]
    nowhere = changed(held(), stops__locked="none", front_guide__from_centreline=21.0)
    assert "overtravel-locked" in found(nowhere)


def test_a_spring_along_the_bolt_drives_it_on_to_its_stop() -> None:
    lock = changed(Lock(), detent__kind="stop and spring", stops__locked="guide face")
    # it holds the bolt 0.5 past its seat, and the bit is kept 0.2 clear
    assert "its spring holds it there" in found(lock)["overtravel-locked"]
    near = stopped(lock, "locked", "guide face", 0.15)
    assert "overtravel-locked" not in found(near)


@pytest.mark.parametrize("unlocks", ["right", "left"])
@pytest.mark.parametrize("seat", SEATS)
def test_the_post_that_is_offered_stops_the_bolt_as_asked(seat: Seat, unlocks: str) -> None:
    lock = held()
    if unlocks == "left":
        lock = changed(
            lock, unlocks="left", shackle__across=26.5, spring__tip_across=-13.0, spring__foot_side="right",
        )  # fmt: skip
    lock = changed(lock, **{f"stops__{seat}": "pin", f"stops__{seat}_over": 0.3})
    assert f"stop-missing-{seat}" in found(lock)
    step = next(s for s in all_steps() if s.name == "posts")
    begin = dict(step.begin(Layout(lock)))
    place = wanted_pin(Layout(lock), 2.0)
    assert place == (begin["across"], begin["above"])
    name, away = met(posted((*place, 4.0), lock=lock), seat)
    assert name == "post a"
    assert away == pytest.approx(0.3, abs=5e-3)


@pytest.mark.parametrize("number", [0, 2, 4])
def test_the_post_that_is_offered_stands_clear_of_guide_and_leg_beside_the_body(
    number: int,
) -> None:
    # by shapely: guide and leg as boxes, the body as it is drawn
    beside = 0
    for seat, way in (("locked", -1), ("unlocked", 1)):
        lock = changed(plausible(number), **{f"stops__{seat}": "pin", f"stops__{seat}_over": 0.2})
        face, low, under = body(lock, seat)
        guide = metal(lock)["front guide" if way < 0 else "rear guide"]
        for radius in (0.8, 1.5, 2.0):
            place = wanted_pin(Layout(lock), radius)
            assert place is not None
            x, y = place[0] if lock.unlocks == "right" else -place[0], place[1]
            assert way * x == pytest.approx(way * face + 0.2 + radius, abs=0.01)
            assert y <= under - lock.fit.slide_clearance - radius + 1e-9
            assert shapely.Point(x, y).distance(guide) >= radius - 1e-9
            # before the middle of the face, where nothing keeps it lower
            left, bottom, right, _ = guide.bounds
            if left - radius < x < right + radius:
                beside += 1
                most = min(bottom, under - lock.fit.slide_clearance) - radius
                assert y == pytest.approx(min((low + under) / 2, most), abs=0.01)
    assert beside >= 3


def test_what_the_finding_names_brings_the_stop_there() -> None:
    for k, lock in enumerate(chosen(6)):
        for seat in SEATS:
            moved = lock.with_value(f"stops.{seat}_over", 0.55 if k % 2 else 0.01)
            findings = stop_plan.PART.findings(Layout(moved))
            told = [f for f in findings if f.code == f"stop-elsewhere-{seat}"]
            if lock.value(f"stops.{seat}") == "shackle":
                assert not told  # its notch is cut as asked
                continue
            (remedy,) = told[0].remedies
            assert remedy.words.lower() in told[0].text.lower()
            done = remedy.applied(moved)
            assert f"stop-elsewhere-{seat}" not in found(done)
            # what is not met first still stands where it was asked to
            assert met_of(done, seat) == pytest.approx(done.value(f"stops.{seat}_over"), abs=5e-3)


def met_of(lock: Lock, seat: Seat) -> float:
    stop = stop_plan.chosen_stop(Layout(lock), seat)
    assert stop is not None
    return met(lock, seat, only=stop.by)[1]


def test_notch_of_the_shackle_is_cut_as_deep_as_its_stop_asks() -> None:
    lock = stopped(held(), "locked", "shackle", 0.3)
    assert depth(Layout(lock)) == pytest.approx(lock.shackle.engagement + 0.3)
    assert depth(Layout(changed(lock, stops__locked="as found"))) == lock.shackle.engagement
    # where a pin stops the bolt the nose is not to strike first
    pin = changed(lock, stops__locked="pin")
    assert depth(Layout(pin)) == pytest.approx(lock.shackle.engagement + 0.4)


def test_a_pin_is_a_hole_in_the_drill_schedule_and_in_the_marking_tables() -> None:
    layout = Layout(stopped(held(), "locked", "pin", 0.25))
    assert any("post" in str(line) for line in lines(layout))
    assert "post a" in str(report(layout)["marking"])


def test_file_keeps_the_stops_and_old_files_have_none() -> None:
    lock = changed(held(), stops__locked="pin", stops__locked_over=0.25, stops__unlocked="none")
    assert read_text(fresh_text(lock)).lock == lock
    old = fresh_text(Lock()).replace("[stops]", "[of_old]")
    assert read_text(old).lock.stops.locked == "as found"
    assert not found(read_text(old).lock)


@pytest.mark.parametrize("name", ["boathouse", "orchard_gate"])
def test_samples_have_stops_that_hold(name: str) -> None:
    lock = load(Path(__file__).parents[1] / "projects" / f"{name}.toml").lock
    assert lock.stops.locked == "guide face"
    assert not found(lock)


def test_a_stop_that_leaves_no_notch_in_a_made_shackle_is_told_and_no_fault() -> None:
    lock = changed(
        mark_made(changed(held(), shackle__catch="notch"), "shackle"), stops__locked="shackle"
    )
    for over in (-lock.shackle.engagement, -3 * lock.shackle.engagement):
        layout = Layout(lock.with_value("stops.locked_over", over))
        (told,) = (verdict for verdict in verdicts(layout) if verdict.part == "shackle")
        assert told.word
        assert "stop-before-locked" in {found.code for found in findings(layout)}
