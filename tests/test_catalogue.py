"""The catalogue of findings: every code of it is met, on a lock that shows it, and found as it is declared."""

import math
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

import pytest

from core.change.consequences import as_fact
from core.checks import gathered
from core.checks.catalogue import catalogue, declared
from core.files.project_reading import read_text
from core.layout.codes import general, rows_in
from core.layout.findings import Finding
from core.layout.layout import Layout
from core.lock.facts import with_measured
from core.lock.lock import Lock
from core.lock.row_changes import with_row
from core.made.marking import mark_made
from core.parts.bolt_contour import notch_depth
from tests.finding_locks import (
    FITTED,
    FIXED,
    LOCKS,
    MEASURED,
    PLACED,
    PLUGS,
    POSTS,
    SOUND,
    made_as,
    made_codes,
    on_files,
)
from tests.locks import changed, posted
from tui.desk.checking import checked
from tui.keys.of_work import WORK
from tui.steps.walk import all_steps


def assert_as_declared(finding: Finding | None) -> None:
    assert finding is not None
    code = declared(finding.code)
    assert finding.level == code.level
    assert finding.step == (code.step or finding.step)
    assert finding.step in places()


def places() -> set[str]:
    """Return every step that a finding may name, and every screen that mends what no step does."""
    return {step.name for step in all_steps()} | {act.name for act in WORK.acts if act.opens}


def assert_shown(code: str, lock: Lock) -> None:
    found = [f for f in gathered.findings(Layout(lock)) if f.code == code]
    assert found, [f.code for f in gathered.findings(Layout(lock))]
    assert_as_declared(found[0])


def test_each_code_is_met_somewhere_here(tmp_path: Path) -> None:
    assert {*LOCKS, *POSTS, *PLUGS, *made_codes(), *on_files(tmp_path), "fault"} == set(catalogue())


@pytest.mark.parametrize("code", LOCKS)
def test_a_lock_that_shows_it(code: str) -> None:
    assert_shown(code, changed(Lock(), LOCKS[code]))


@pytest.mark.parametrize(("table", "leg"), [("front_guide", "nose"), ("rear_guide", "tail")])
def test_a_guide_that_comes_down_to_the_wall_by_a_hair_is_told_how_deep_it_is_and_may_be(
    table: str, leg: str
) -> None:
    # by hand: leg, slide clearance and floor hang from the bolt line; the lower edge, cut up to 40 mm below the pivot,
    # falls away at 45 degrees to both sides, and a rim of 4 mm is 4 sqrt 2 high there
    corners = ((-80.0, 0.0), (80.0, 0.0), (80.0, -180.0), (0.0, -100.0), (-80.0, -180.0))
    lock = changed(
        Lock(),
        {
            "plate.outline": "traced", "plate.points": corners, "plate.rim": 4.0, "pivot.below": 60.0,
            "bolt_line.height": 24.0,
        },
    )  # fmt: skip
    room = 24.0 + 40.0 + lock.value(f"{table}.from_centreline") - 4.0 * math.sqrt(2.0)
    above = lock.value(f"bolt.{leg}_height") + lock.fit.slide_clearance
    for over, told in ((0.03, True), (-0.01, False)):
        layout = Layout(changed(lock, {f"{table}.floor": room - above + over}))
        code = f"{table.replace('_', '-')}-outside-wall"
        found = [each for each in gathered.findings(layout) if each.code == code]
        assert bool(found) is told
        for each in found:
            assert each.value == pytest.approx(room + over, abs=1e-6)
            assert each.limit == pytest.approx(room, abs=1e-6)
            assert f"{layout.show(room)} below the bolt line is the most" in each.text


@pytest.mark.parametrize("diameter", [7.0, 9.0])
def test_a_notch_may_take_two_fifths_of_the_shackles_end(diameter: float) -> None:
    # common practice, no source: half of an end is too much; found just beyond the limit that is told, and not before
    lock = changed(Lock(), {"shackle.catch": "notch", "shackle.diameter": diameter})
    more = notch_depth(lock) - lock.shackle.engagement
    for over, told in ((0.01, True), (-0.01, False)):
        layout = Layout(lock.with_value("shackle.engagement", 0.4 * diameter - more + over))
        found = [each for each in gathered.findings(layout) if each.code == "notch-deep"]
        assert bool(found) is told
        for each in found:
            assert each.value == pytest.approx(0.4 * diameter + over)
            assert each.limit == pytest.approx(0.4 * diameter)


@pytest.mark.parametrize("code", POSTS)
def test_posts_that_show_it(code: str) -> None:
    found = [f for f in gathered.findings(Layout(posted(*POSTS[code]))) if general(f.code) == code]
    assert found
    assert_as_declared(found[0])
    # it names the row, and another of the same kind has a code of its own
    assert rows_in(found[0].code)[0] == ("b" if code == "key-fouls-post" else "a")


@pytest.mark.parametrize("code", PLUGS)
def test_a_plug_that_shows_it(code: str) -> None:
    found = gathered.findings(Layout(with_row(Lock(), "plugs", "a", PLUGS[code])))
    (first,) = [f for f in found if general(f.code) == code]
    assert_as_declared(first)
    assert rows_in(first.code) == ("a",)


@pytest.mark.parametrize("part", FITTED)
def test_a_made_part_that_shows_it(part: str) -> None:
    name = part.replace("_", "-")
    for what, (path, value) in zip(("use", "file", "remake"), FITTED[part], strict=True):
        assert_shown(f"made-{what}-{name}", made_as(part, path, value))


@pytest.mark.parametrize("part", ["back_plate", "front_plate"])
def test_a_made_plate_that_shows_it(part: str) -> None:
    name, done = part.replace("_", "-"), mark_made(SOUND, part)
    assert_shown(f"made-use-{name}", made_as(part, "plate.width", SOUND.plate.width + 0.5))
    assert_shown(f"made-file-{name}", posted((0.0, -26.0), lock=done))
    assert_shown(f"made-remake-{name}", made_as(part, "plate.width", 40.0))
    both = mark_made(mark_made(SOUND, "back_plate"), "front_plate")
    stray = as_fact(both, "pivot.below", 47.0)
    assert stray is not None
    assert_shown(f"made-plug-{name}", stray)


def test_a_made_gauge_that_shows_it() -> None:
    assert_shown("made-file-key-gauge", made_as("key_gauge", "key.radius", 20.5))
    assert_shown("made-remake-key-gauge", made_as("key_gauge", "key.radius", 19.5))


@pytest.mark.parametrize("part", PLACED)
def test_a_made_part_that_belongs_elsewhere(part: str) -> None:
    done = mark_made(SOUND, part)
    moved = done.with_value(PLACED[part], done.value(PLACED[part]) + 0.5)
    assert_shown(f"made-moved-{part}".replace("_", "-"), moved)


@pytest.mark.parametrize("part", ["front_guide", "rear_guide"])
def test_a_guide_that_is_fixed_where_it_cannot_stay(part: str) -> None:
    near = with_measured(mark_made(SOUND, part), part, f"{part}.from_centreline", 12.0)
    assert_shown(f"made-move-{part}".replace("_", "-"), near)


@pytest.mark.parametrize("part", ["front_guide", "rear_guide"])
@pytest.mark.parametrize(("word", "by"), [("file", 1.0), ("remake", -1.0)])
def test_a_guide_that_cannot_stay_and_differs_is_told_by_its_metal(
    part: str, word: str, by: float
) -> None:
    # to fix it elsewhere does not mend a guide that is too wide or too narrow as well
    near = with_measured(mark_made(SOUND, part), part, f"{part}.from_centreline", 12.0)
    path, name = f"{part}.width", part.replace("_", "-")
    lock = with_measured(near, part, path, SOUND.value(path) + by)
    told = {f.code for f in gathered.findings(Layout(lock)) if f.code.endswith(f"-{name}")}
    assert told & {f"made-{one}-{name}" for one in ("move", "file", "remake")} == {
        f"made-{word}-{name}"
    }


@pytest.mark.parametrize("code", MEASURED)
def test_a_measured_value_that_shows_it(code: str) -> None:
    lock = Lock()
    for part, _, _ in MEASURED[code]:
        lock = mark_made(lock, part)
    made = [
        record.with_measured(path, value)
        for record in lock.made
        for part, path, value in MEASURED[code]
        if record.part == part
    ]
    assert_shown(code, replace(lock, made=tuple(made)))


@pytest.mark.parametrize("code", FIXED)
def test_a_guide_in_which_the_bolt_lies_so(code: str) -> None:
    part, near, outer = FIXED[code]
    lock, name = mark_made(SOUND, part), part.partition("_")[0]
    for end, up in (("near", near), ("outer", outer)):
        lock = with_measured(lock, part, f"as_fixed.{name}_{end}", up)
    assert_shown(code, lock)


def test_a_made_part_that_nobody_knows() -> None:
    strange = read_text("[key]\nradius = 19\n[made.sundial]\n").lock
    assert_shown("made-unknown", strange)


@pytest.mark.parametrize(
    "code", ["default-taken", "unknown-key", "history-unused", "recovery-unreadable"]
)
def test_a_file_that_shows_it(tmp_path: Path, code: str) -> None:
    notes = [note for note in on_files(tmp_path)[code]() if note is None or note.code == code]
    assert notes
    for note in notes:
        assert_as_declared(note)


def test_a_check_that_fails_is_told_at_its_own_step(monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(_: Layout) -> Iterable[Finding]:
        raise ZeroDivisionError

    for check in gathered.all_checks():
        monkeypatch.setattr(
            "tui.desk.checking.all_checks", lambda c=check: (replace(c, findings=fails),)
        )
        (told,) = checked(Layout(Lock())).findings
        assert told.code == "fault"
        assert_as_declared(told)
