"""The map: its room against the report and the checks of single locks, its figures against shapely, and its signs."""

import json
from pathlib import Path

import numpy as np
import pytest
from shapely.geometry import Point, box

from core.checks.catalogue import FAULT, catalogue
from core.checks.gathered import findings
from core.files.project_file import Project, save
from core.layout.codes import general
from core.layout.layout import Layout
from core.lock.lock import Lock, spec_of
from core.parts.free_room import roomiest
from core.propose.limits import limits
from core.propose.locks import Locks
from core.propose.map_limits import map_limits
from core.propose.map_text import map_text
from core.propose.room_map import DIMENSIONS, RoomMap, room_map, seen_whole
from core.report.data import report
from tests.command_line import boltwright
from tests.designs import numbers, plausible, seeded
from tests.held_locks import fitting, held
from tests.locks import changed, posted
from tests.posts_bench import Bench
from tests.test_bolt_contour import throw
from tui.map.state import PAIRS

DEMO = Lock()


BESIDE = 2e-3
"""Room [mm] so near to none that shapes, which are cut from chords, may not tell on which side it is."""


ANYWHERE = {
    "plate-outline", "rim-too-wide", "bolt-thin", "spring-past-yield", "spring-rubs", "detent-ramp-shallow",
    "detent-ramp-steep", "detent-tip-wide", "spring-push-weak", "post-in-another", "plug-hollow", "plug-loose",
}  # fmt: skip
"""What hangs on no dimension of a map."""


NOT_SHOWN = {"bolt-jams", "stop-before-locked", "stop-before-unlocked", *ANYWHERE}
"""What may stop a lock and no map looks at, but for parts that are made."""


OF_MADE = {"bolt-stuck-in-front-guide", "bolt-stuck-in-rear-guide", "nose-off-catch"}


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.first(2)
def test_room_at_the_mark_is_the_reports(seed: int) -> None:
    lock = plausible(seed)
    found, said = room_map(lock, columns=20, rows=16), report(Layout(lock))
    tooth, ends = said["tooth"], said["windows"]
    rear, front = (ends[f"{guide}_guide.from_centreline"] for guide in ("rear", "front"))
    known = {
        "the least bridge": tooth["bridge"] - lock.fit.bridge_min,
        "what the detent draws home": lock.fit.detent_capture - tooth["home_travel"],
        "the key at the wall": said["plate"]["wall_distance"] - tooth["relief_radius"],
    }
    at = {limit.by: float(limit.spare[0]) for limit in limits(Locks(lock, {}))}
    assert all(abs(at[by] - room) < 1e-6 for by, room in known.items())
    nearest = [
        *known.values(),
        lock.rear_guide.from_centreline - rear["low"], rear["high"] - lock.rear_guide.from_centreline,
        lock.front_guide.from_centreline - front["low"], front["high"] - lock.front_guide.from_centreline,
    ]  # fmt: skip
    assert found.room <= min(nearest) + 1e-6
    if found.limits[found.by].by in known:
        assert abs(found.room - known[found.limits[found.by].by]) < 1e-6
    else:
        assert abs(found.room - at[found.limits[found.by].by]) < 1e-9


def stopped_by(lock: Lock) -> set[str]:
    return {found.code for found in findings(Layout(lock)) if found.level == "stop"}


def one_by_one(found: RoomMap, tried: int, seed: int) -> int:
    """Hold places of a map against all findings of the lock that would be there; return how many stop.

    These find with shapes and windows of the one lock, and have none of the arrays.
    """
    rng, stopped = np.random.default_rng(seed), 0
    shown = {limit.code.name for limit in found.limits}
    for _ in range(tried):
        row, column = (int(rng.integers(n)) for n in found.margin.shape)
        lock = found.lock.with_value(found.across, float(found.xs[column]))
        every = stopped_by(lock.with_value(found.up, float(found.ys[row])))
        # what the key fouls on its turn has a limit of its own, by another code
        stops = {code for code in every if code in shown or code.startswith("key-fouls")}
        room = found.margin[row, column]
        if abs(room) < BESIDE:
            continue
        assert bool(stops) == (room < -1e-9), (found.across, found.up, row, column, room, stops)
        assert room >= 0 or found.limits[int(found.rules[row, column])].code.name in stops
        assert room < 0 or {general(code) for code in every} <= NOT_SHOWN
        stopped += bool(stops)
    return stopped


def test_places_of_a_map_are_what_a_lock_there_would_be() -> None:
    found = room_map(DEMO, columns=24, rows=16)
    assert 0 < one_by_one(found, 16, 1) < 16


def test_the_map_looks_at_every_stop_or_says_that_it_does_not() -> None:
    shown: set[str] = set()
    for catch in ("eye", "notch"):
        lock = posted((0.0, -26.0), lock=held(shackle__catch=catch))
        shown |= {general(limit.code.name) for limit in map_limits(Locks(lock, {}))}
    every = {name for name, code in catalogue().items() if code.level == "stop"}
    made = {name for name in every if name.startswith("made-") or name in {*OF_MADE, FAULT.name}}
    turned = {name for name in every if name.startswith("key-fouls")}
    assert not shown & {*NOT_SHOWN, *OF_MADE}
    assert every - shown - made - turned == NOT_SHOWN


def posted_where_there_is_room(seed: int) -> Lock:
    """Return a lock with a post where most room is, one wherever it came to stand below the key, and a chamfer."""
    rng = seeded(f"posts on a map {seed}")
    lock = plausible(seed).with_value("bolt.lobe_chamfer", rng.choice((0.0, 0.4)))
    below = -lock.key.radius - lock.fit.key_clearance - rng.uniform(2.0, 5.0)
    return posted(
        (*roomiest(Layout(lock)), rng.uniform(2, 5)), (rng.uniform(-20, 20), below, 2.0), lock=lock
    )


def of_every_kind(number: int) -> Lock:
    """Return a lock as it is laid out, one with strip and notches that fit, or one with posts, in turn."""
    seed = number // 3
    if number % 3 == 0:
        return plausible(200 + seed)
    return fitting(seed + 1)[seed] if number % 3 == 1 else posted_where_there_is_room(seed)


def on_any_two(numbers: range) -> tuple[int, int]:
    """Hold maps of locks over any two dimensions against all findings; return how many places stop, of how many."""
    stopped, each = 0, 20
    for number in numbers:
        rng = seeded(f"map {number}")
        across, up = rng.choice(PAIRS) if number % 2 else rng.sample(DIMENSIONS, 2)
        found = room_map(of_every_kind(number), across, up, 12, 9)
        stopped += one_by_one(found, each, number)
    return stopped, each * len(numbers)


def test_maps_say_of_any_place_what_all_findings_say() -> None:
    # a second and a half: each place takes all checks of one lock
    stopped, of = on_any_two(range(1, 3))
    assert 0 < stopped < of


@pytest.mark.slow
def test_maps_of_many_locks_say_of_any_place_what_all_findings_say() -> None:
    stopped, of = on_any_two(range(30))
    assert 0.2 * of < stopped < 0.8 * of


def test_the_mark_is_held_against_every_check(tmp_path: Path) -> None:
    """What no map shows is told where the lock is, and where it would have most room."""
    lock = held(spring__preload=5.0, shackle__drop=9.5)
    assert stopped_by(lock) == {"spring-past-yield"}
    found = seen_whole(room_map(lock, columns=12, rows=8), lock)
    assert found.room > 0
    assert [one.code for one in found.stopped or ()] == ["spring-past-yield"]
    assert [one.code for one in found.best_stopped or ()] == ["spring-past-yield"]
    told = map_text(found)
    assert "It is stopped all the same, at the step spring: On the land" in told
    assert "There it would be stopped all the same, at the step spring." in told
    assert "all the same" not in map_text(seen_whole(room_map(DEMO), DEMO))
    save(Project(None, lock), tmp_path / "lock.toml")
    done = boltwright("map", str(tmp_path / "lock.toml"), "--size", "12x10", "--json")
    assert json.loads(done.stdout)["lock"]["stopped"] == ["spring-past-yield"]


@pytest.mark.parametrize("number", range(1, 30))
@pytest.mark.first(2)
def test_room_of_notches_and_posts_at_the_mark_is_the_reports(number: int) -> None:
    lock = of_every_kind(number)
    said, at = report(Layout(lock)), {m.code.name: m.spare[0] for m in map_limits(Locks(lock, {}))}
    if lock.detent.kind == "notches":
        left = said["detent"]["metal_left"]
        # null for notches beside all of the bolt's weak places
        assert left is None or abs(at["detent-notch-deep"] - left + lock.fit.bridge_min) < 1e-6
    for post in said.get("posts", ()):
        name = post["name"]
        nearest = min(at[code] for code in at if code.endswith(f":{name}"))
        apart = post["nearest"].startswith("post")  # another one: that no map shows
        assert apart or post["room"] < -1e-6 or abs(nearest - post["room"]) < 1e-6, (post, nearest)


@pytest.mark.parametrize("chamfer", [0.0, 0.5, 0.9])
def test_room_of_a_post_beside_the_bolts_corners_is_the_benchs(chamfer: float) -> None:
    # shapely: the chamfer is on the gap's side of a lobe, and the corners that go ahead of the bolt stay square
    lock = Lock().with_value("bolt.lobe_chamfer", chamfer)
    n, wide = numbers(lock), lock.bolt.lobe_width
    right, left = n.offset + wide + throw(lock), -n.flank - wide
    low = lock.bolt_line.height - lock.bolt.depth
    for x, y in ((right + 1.5, low - 0.3), (right + 0.5, low - 1.0), (left - 1.2, low - 0.5)):
        with_post = posted((x, y, 1.0), lock=lock)
        at = {one.code.name: one.spare[0] for one in map_limits(Locks(with_post, {}))}
        lacks = Bench(with_post).lacks("a", np.array([[x, y]]), 0.5)
        assert at["post-in-bolt:a"] == pytest.approx(-lacks["in-bolt"][0], abs=1e-6)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("across", "up"),
    [
        ("key.radius", "pivot.below"), ("bolt_line.height", "rear_guide.from_centreline"),
        ("shackle.across", "shackle.engagement"), ("pivot.across", "pivot.below"),
    ],
)  # fmt: skip
def test_many_places_of_maps_are_what_a_lock_there_would_be(across: str, up: str) -> None:
    for seed in (0, 3, 7):
        one_by_one(room_map(plausible(seed, early=False), across, up, 40, 30), 60, seed)


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.first(1)
def test_every_dimension_of_the_map_is_that_of_the_lock(seed: int) -> None:
    """Held against the lock that has the value itself, which the test above holds against its findings."""
    lock = plausible(seed)
    for path in DIMENSIONS:
        spec, moved = spec_of(path), False
        for share in (0.8, 1.3):
            value = spec.check(share * float(lock.value(path)) + 0.1, path)
            many = [one.spare[0] for one in map_limits(Locks(lock, {path: np.array([value])}))]
            itself = [one.spare[0] for one in map_limits(Locks(lock.with_value(path, value), {}))]
            assert np.allclose(many, itself, atol=1e-9, equal_nan=True), path
            moved = moved or not np.allclose(
                many, [one.spare[0] for one in map_limits(Locks(lock, {}))]
            )
        assert moved, path


@pytest.mark.parametrize("across", [13.0, 1.5, -4.0, -16.0, 18.5, 25.0])
def test_room_of_the_springs_tip_between_the_guides_is_by_hand(across: float) -> None:
    # the guides begin 18 before the pivot and 23 behind it; the tip is half the strip's thickness to either side
    both = held(spring__tip_across=across, rear_guide__from_centreline=23.0)
    assert (both.front_guide.from_centreline, both.spring.thickness) == (18.0, 0.4)
    # with a strip and no notches, too: it stands in no guide, whatever holds the bolt
    for lock in (both, both.with_value("detent.kind", "as felt")):
        (room,) = [m.spare[0] for m in map_limits(Locks(lock, {})) if m.code.name == "tip-in-guide"]
        assert room == pytest.approx(min(across + 18.0, 23.0 - across) - 0.2)
        assert ("tip-in-guide" in stopped_by(lock)) is bool(room < 0)


@pytest.mark.parametrize(
    "path",
    ["front_guide.width", "front_guide.floor", "rear_guide.width", "rear_guide.floor", "bolt.lobe_width",
     "bolt.nose_height", "bolt.tail_height"],
)  # fmt: skip
def test_what_is_thinner_than_its_maker_files_is_lacking_on_the_map(path: str) -> None:
    # by hand: of what is filed to 1.5 at its thinnest, 1.2 lacks 0.3, and of 1.5 nothing lacks
    def lacking(value: float) -> dict[str, float]:
        lock = changed(DEMO, {"fit.metal_min": 1.5, path: value})
        rooms = [(m.code.name, float(m.spare[0])) for m in map_limits(Locks(lock, {}))]
        short = {code: room for code, room in rooms if room < 0}
        assert short.keys() == stopped_by(lock)
        return short

    assert lacking(1.5) == {}
    (short,) = lacking(1.2).values()
    assert short == pytest.approx(-0.3)


def test_a_post_amid_a_guide_lacks_what_is_left_to_the_nearest_side_of_it() -> None:
    """Against shapely: the guide drawn by hand, foot to roof, and how far the middle of the post is from its edge."""
    slide, guide = DEMO.fit.slide_clearance, DEMO.rear_guide
    low = DEMO.bolt_line.height - DEMO.bolt.tail_height - slide - guide.floor
    near, far = guide.from_centreline, guide.from_centreline + guide.width
    area = box(near, low, far, DEMO.bolt_line.height + slide)
    for x, y in ((near + 0.7, low + 3.0), (far - 0.4, low + 2.0), ((near + far) / 2, low + 0.3)):
        assert area.contains(Point(x, y))
        at = {m.code.name: m.spare[0] for m in map_limits(Locks(posted((x, y, 1.0)), {}))}
        away = area.exterior.distance(Point(x, y))
        assert at["post-in-rear-guide:a"] == pytest.approx(-away - 0.5)
