"""The catalogue of findings: every code of it is met, on a lock that shows it, and found as it is declared."""

import errno
import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from core.change.consequences import as_fact
from core.checks import gathered
from core.checks.catalogue import catalogue, declared
from core.files.history_file import history_path, load_history
from core.files.project_file import Project, save
from core.files.project_reading import read_text
from core.files.project_text import fresh_text
from core.files.recovery import load_recovery, recovery_path
from core.layout.codes import general, rows_in
from core.layout.findings import Finding
from core.layout.layout import Layout
from core.lock.facts import with_measured
from core.lock.lock import Lock
from core.lock.row_changes import with_row
from core.lock.rows.plugs import Plug
from core.made.marking import mark_made
from core.parts.bolt_contour import notch_depth
from core.whole import assembly
from tests.faulty import Faults
from tests.held_locks import HELD
from tests.locks import BY_HAND, changed, posted
from tui.desk.checking import checked
from tui.keys.of_work import WORK
from tui.steps.walk import all_steps

SQUARE = ((-38.0, 0.0), (38.0, 0.0), (38.0, -92.0), (-38.0, -92.0))
NEAR = {"rear_guide.from_centreline": 1.0, "front_guide.from_centreline": 1.0}
LONG = {
    # a long throw, the bit coming early
    "key.radius": 22.0, "bolt_line.height": 26.0, "bolt.depth": 12.0, "shackle.engagement": 20.5,
    "tooth.pickup_angle": 30.0, "shackle.across": -36.0, "front_guide.from_centreline": 28.0,
    "rear_guide.from_centreline": 28.0,
}  # fmt: skip
ALONG = {"detent.kind": "stop and spring"}
LOCKS: dict[str, Mapping[str, object]] = {
    "plate-outline": {"plate.outline": "traced"},
    "rim-too-wide": {"plate.rim": 40.0},
    "mark-not-used": {"plate.outline": "traced", "plate.points": SQUARE, "plate.mark_across": 3.0},
    "pivot-outside": {"pivot.below": 2.0},
    "pivot-hole-small": {"pivot.hole": 5.9},
    "home-budget": {"pivot.hole": 8.0},
    "play-over-clearance": {"pivot.hole": 6.4},
    "foot-miss": {"pivot.across": 2.0},
    "bridge-thin": {"bolt_line.height": 21.0},
    "spring-room": {"pivot.below": 30.0},
    "key-hits-wall": {"key.radius": 36.0},
    "key-too-large": {"fit.key_max": 15.0},
    "no-tooth": {"key.radius": 6.0},
    "no-drive": {"bolt_line.height": 30.0},
    "foot-at-shank": {"key.radius": 6.0},
    "home-travel": {"fit.detent_capture": 0.1},
    "shut-out": {"fit.detent_capture": 0.1},
    "bit-too-thick": {"key.bit_thickness": 40.0},
    "bolt-shallow": {"bolt_line.height": 30.0},
    "bolt-at-shank": {"bolt.depth": 25.0},
    "chamfer-large": {"bolt.lobe_chamfer": 3.0},
    "nose-taller-than-bolt": {"bolt.nose_height": 12.0},
    "tail-taller-than-bolt": {"bolt.tail_height": 12.0},
    "roof-flat": {"tooth.roof": "scribed", "bolt.depth": 3.0},
    "nose-too-short": {"shackle.across": -8.0},
    "rear-guide-at-body": NEAR,
    "rear-guide-in-key-circle": {"rear_guide.floor": 20.0},
    "rear-guide-outside-wall": {"rear_guide.floor": 35.0},
    "front-guide-at-body": NEAR,
    "front-guide-in-key-circle": {"front_guide.floor": 12.0},
    "front-guide-outside-wall": {"front_guide.from_centreline": 36.0},
    "tail-hits-wall": {"pivot.across": 2.0},
    "front-guide-at-shackle": {"shackle.diameter": 10.0},
    "nose-leaves-guide": {"front_guide.from_centreline": 25.0},
    "nose-short-in-guide": {"shackle.diameter": 12.0},
    "shackle-wrong-side": {"shackle.across": 26.5},
    "lip-thin": {"shackle.drop": 7.2},
    "lip-none": {"shackle.drop": 6.5},
    "cheeks-thin": {"bolt.thickness": 5.5},
    "nose-gap-small": {"shackle.gap": 0.0},
    "front-guide-thin": {"front_guide.floor": 0.7},
    "rear-guide-thin": {"rear_guide.width": 0.7},
    "lobe-thin": {"bolt.lobe_width": 0.7},
    "nose-thin": {"bolt.nose_height": 0.7},
    "tail-thin": {"bolt.tail_height": 0.7},
    "bolt-thin": {"bolt.thickness": 0.7},
    "key-clearance-small": {"fit.key_clearance": 0.0},
    "slide-clearance-none": {"fit.slide_clearance": 0.0},
    "shackle-in-key-circle": {"shackle.across": -14.0},
    "shackle-outside-wall": {"shackle.drop": 30.0},
    "notch-cuts-through": {"shackle.catch": "notch"},
    "notch-deep": {"shackle.catch": "notch", "shackle.engagement": 3.5},
    "key-fouls-bolt": {"tooth.roof": "flat", "tooth.pickup_angle": 20.0},
    "key-fouls-rear-guide": NEAR,
    "key-fouls-front-guide": NEAR,
    "key-fouls-shackle-end": {"shackle.across": -14.0},
    "key-fouls-inner-wall": {"key.radius": 36.0},
    "bolt-outside-wall": {"shackle.across": -30.0},
    "chamfer-binds": {"bolt.lobe_chamfer": 0.5, "friction.condition": "dry"},
    "pushed-past-locked": {"fit.detent_capture": 0.4},
    "pushed-past-unlocked": {"fit.detent_capture": 0.4},
    "bolt-jams": {**LONG, "friction.condition": "dry"},
    "bolt-jams-rougher": {**LONG, "friction.condition": "greased"},
    "cocking": {**NEAR, "friction.condition": "dry"},
    "torque-high": {"spring.force": 40.0},
    "torque-beyond-hand": {"spring.force": 80.0},
    "flank-runs-out": {"fit.detent_capture": 0.6},
    "flank-pressure": {"bolt.thickness": 0.01},
    "release-late": {**LONG, "tooth.pickup_angle": 25.0, "shackle.engagement": 22.5, "bolt.depth": 18.0},
    "detent-on-trust": {},
    "knocked-back": HELD,
    "detent-ramp-shallow": {**HELD, "detent.ramp": 45.0},
    "detent-ramp-steep": {**HELD, "detent.ramp": 68.0},
    "detent-stops-short": {**HELD, "friction.drag": 0.6},
    "detent-notch-deep": {**HELD, "spring.tip_across": 8.0},
    "detent-tip-wide": {**HELD, "spring.tip": "rolled", "spring.tip_radius": 1.2},
    "detent-notches-meet": {**HELD, "detent.half_width": 5.0},
    "detent-notch-off-bolt": {**HELD, "spring.tip_across": -21.0},
    "spring-push-weak": {**ALONG, "detent.push": 1.0},
    "springs-back": ALONG,
    "stop-before-locked": {"stops.locked": "guide face", "stops.locked_over": -0.2},
    "stop-before-unlocked": {"stops.unlocked": "guide face", "stops.unlocked_over": -0.2},
    "overtravel-locked": {"stops.locked": "guide face", "stops.locked_over": 1.2},
    "overtravel-unlocked": {"stops.unlocked": "none", "fit.detent_capture": 0.4},
    "stop-missing-locked": {"stops.locked": "pin"},
    "stop-missing-unlocked": {"stops.unlocked": "pin"},
    "stop-second-locked": {"stops.locked": "guide face", "front_guide.from_centreline": 22.0},
    "stop-second-unlocked": {"stops.unlocked": "guide face"},
    "stop-elsewhere-locked": {"stops.locked": "guide face", "stops.locked_over": 0.2},
    "stop-elsewhere-unlocked": {"stops.unlocked": "guide face", "stops.unlocked_over": 0.2},
    "no-detent": {"detent.kind": "none"},
    "detent-loose": {**HELD, "detent.depth": 1.0},
    "detent-ramps-meet": {**HELD, "detent.depth": 2.0},
    "spring-past-yield": {**HELD, "spring.preload": 5.0},
    "spring-too-high": {**HELD, "spring.tip_height": 8.0},
    "spring-rubs": {**HELD, "spring.tip_height": 0.5},
    "spring-outside-wall": {**HELD, "spring.foot_side": "right"},
    "spring-at-shackle": {**HELD, "spring.free_length": 32.0},
    "spring-off-bolt": {**HELD, "spring.tip_across": 25.0},
    "tip-in-guide": {**HELD, "spring.tip_across": 20.5},
    "spring-bent-far": {**HELD, "spring.free_length": 12.0},
    "tip-rolled-tight": {**HELD, "spring.tip": "rolled", "spring.tip_radius": 0.5},
}  # fmt: skip
"""For each code a lock that shows it: the values in which it differs from a new one."""
FITTED: dict[str, tuple[tuple[str, float], ...]] = {
    "key": (("key.radius", 20.5), ("key.radius", 36.0), ("key.radius", 10.0)),
    "bolt": (("bolt.depth", 10.5), ("bolt.depth", 22.0), ("bolt.depth", 3.0)),
    "front_guide": (
        ("front_guide.floor", 2.5), ("front_guide.floor", 12.0), ("bolt.nose_height", 8.0),
    ),
    "rear_guide": (
        ("rear_guide.floor", 2.5), ("rear_guide.floor", 20.0), ("bolt.tail_height", 8.0),
    ),
    "shackle": (("shackle.drop", 9.8), ("shackle.drop", 30.0), ("shackle.drop", 7.0)),
}  # fmt: skip
"""For each workpiece a size to which it is made so that it still works, has to be filed, or has to be remade."""
PLACED = {
    "back_plate": "bolt_line.height", "front_guide": "front_guide.from_centreline",
    "rear_guide": "rear_guide.from_centreline", "key_gauge": "bolt_line.height",
}  # fmt: skip
"""For each workpiece with a place or scribed marks a dimension that moves them."""
MEASURED = {
    "made-measured": [("key", "key.radius", 19.7)],
    "made-differ": [("back_plate", "pivot.below", 54.3), ("front_plate", "pivot.below", 54.1)],
}
FIXED = {
    "bolt-lies-off": ("front_guide", 0.2, 0.2),
    "nose-off-catch": ("front_guide", 0.5, 0.5),
    "bolt-stuck-in-front-guide": ("front_guide", 0.0, 0.4),
    "bolt-stuck-in-rear-guide": ("rear_guide", 0.4, 0.0),
}
"""For each code of how the bolt lies in its guides one of them, and how much too high both ends of its slot stand."""


POSTS: dict[str, tuple[tuple[float, float], ...]] = {
    "post-in-key-circle": ((5.0, 5.0),),
    "post-in-bolt": ((0.0, 22.0),),
    "post-in-shackle": ((-26.0, 40.0),),
    "post-in-front-guide": ((-20.0, 17.0),),
    "post-in-rear-guide": ((22.0, 17.0),),
    "post-outside-wall": ((40.0, 0.0),),
    "post-in-another": ((0.0, -26.0), (1.0, -26.0)),
    "key-fouls-post": ((0.0, -26.0), (5.0, -12.0)),
}
"""For each code of posts the places of posts that show it."""


PLUGS = {
    "plug-hollow": Plug(10.0, 20.0, depth=1.0),
    "plug-loose": Plug(10.0, 20.0, diameter=6.2),
    "plug-cut": Plug(0.0, 48.0),
    "plug-at-edge": Plug(0.0, 5.0),
}
"""For each code of plugs one that shows it."""


def made_codes() -> set[str]:
    pieces = [(part, what) for part in assembly.workpieces() for what in ("use", "file", "remake")]
    pieces += [("back_plate", "plug"), ("front_plate", "plug")]
    pieces += [("front_guide", "move"), ("rear_guide", "move")]
    pieces.remove(("key_gauge", "use"))  # a gauge is right or wrong
    cut = {f"made-{what}-{part}".replace("_", "-") for part, what in pieces}
    moved = {f"made-moved-{part}".replace("_", "-") for part in PLACED}
    return cut | moved | {*MEASURED, *FIXED, "made-unknown"}


def on_files(folder: Path) -> dict[str, Callable[[], Iterable[Finding | None]]]:
    """Return for each code that is not of a lock itself what shows it."""
    place = folder / "gate.toml"

    def history() -> Iterable[Finding | None]:
        history_path(place).write_text("{", "utf-8")
        return [load_history(Lock(), place, "").note]

    def recovery() -> Iterable[Finding | None]:
        recovery_path(place).write_text("cut sho", "utf-8")
        found = load_recovery(place)
        return [found.note if found else None]

    def not_synced() -> Iterable[Finding | None]:
        with Faults(errno.EIO, every="fsync").on():
            return save(Project(None, Lock()), place).notes

    return {
        "default-taken": lambda: read_text("[key]\nradius = 19.0\n").notes,
        "unknown-key": lambda: read_text(BY_HAND).notes,
        "taken-as-zero": lambda: read_text("[pivot]\nacross = 1e-300\n").notes,
        "history-unused": history,
        "recovery-unreadable": recovery,
        "changed-outside": lambda: read_text(fresh_text(Lock()).replace("20.0", "20.5", 1)).notes,
        "folder-not-synced": not_synced,
    }


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


SOUND = Lock().with_value("shackle.drop", 9.5)


def made_as(part: str, path: str, value: float) -> Lock:
    """Return a sound lock with one workpiece made to another size."""
    record = mark_made(SOUND.with_value(path, value), part).made
    return replace(SOUND, made=record)


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
