"""The map: its room against the report and the checks of single locks, its figures against shapely, and its signs."""

import json
from pathlib import Path

import numpy as np
import pytest
from shapely.affinity import translate
from shapely.geometry import Point, box

from core.change.clearing import clearings
from core.checks.catalogue import FAULT, catalogue
from core.checks.gathered import findings
from core.files.project_file import Project, load, save
from core.files.project_text import fresh_text
from core.layout.codes import general
from core.layout.layout import Layout
from core.lock.first_lock import first_lock
from core.lock.lock import Lock, spec_of
from core.parts.free_room import roomiest
from core.propose.limits import limits
from core.propose.locks import Locks
from core.propose.map_limits import map_limits
from core.propose.map_text import LETTERS, LEVELS, MARK, levels, map_rows, map_text
from core.propose.room_map import DIMENSIONS, RoomMap, beside_key, room_map, seen_whole
from core.report.data import report
from tests.command_line import boltwright, refusal
from tests.designs import numbers, plausible, seeded
from tests.held_locks import fitting, held
from tests.locks import changed, posted
from tests.plates import inner_wall
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


def test_the_map_shows_all_that_works() -> None:
    found = room_map(DEMO)
    assert found.margin.shape == (40, 60)
    works = found.margin >= 0
    assert works.any()
    edge = np.concatenate([works[0], works[-1], works[:, 0], works[:, -1]])
    assert not edge.any()
    row, column = found.cell
    assert abs(found.xs[column] - DEMO.key.radius) <= found.xs[1] - found.xs[0]
    assert abs(found.ys[row] - DEMO.pivot.below) <= found.ys[1] - found.ys[0]


def test_every_sign_is_told() -> None:
    found = room_map(DEMO, columns=50, rows=20)
    rows = list(map_rows(found))
    assert sum(row.count(MARK) for row in rows) == 1
    assert {len(row) for row in rows} == {50}
    told = map_text(found)
    assert [line[-50:] for line in told.split("\n\n")[1].splitlines()[:-1]] == rows
    for sign in set("".join(rows)) - {MARK, *LEVELS}:
        number = found.ruling[LETTERS.index(sign.lower())]
        assert f"  {sign.lower()}  {found.limits[number].by}\n" in told
    small = [[sign.islower() for sign in row] for row in rows[::-1]]
    row, column = found.cell
    small[row][column] = bool(levels(found)[row, column] < 0)
    assert (np.array(small) == (found.margin < 0)).all()


def test_room_beside_the_key_is_how_far_its_circle_can_be_moved() -> None:
    lock = DEMO.with_value("pivot.below", 50.0)
    wall, circle = inner_wall(lock), Point(0.0, 0.0).buffer(lock.key.radius + 0.2, quad_segs=256)
    sides = {side.side: side for side in beside_key(lock)}
    assert set(sides) == {"above", "below", "left", "right"}
    ways = {"above": (0, 1), "below": (0, -1), "left": (-1, 0), "right": (1, 0)}
    for name, (x, y) in ways.items():
        side = sides[name]
        if side.by == "the inner wall":
            assert wall.covers(translate(circle, x * (side.room - 0.01), y * (side.room - 0.01)))
            assert not wall.covers(
                translate(circle, x * (side.room + 0.01), y * (side.room + 0.01))
            )
    # without a guide on the way it is the wall on either side as well
    far = lock
    for guide in ("front_guide", "rear_guide"):
        far = far.with_value(f"{guide}.from_centreline", 60.0)
    for side in (side for side in beside_key(far) if side.side in ("left", "right")):
        assert side.by == "the inner wall"
        for more, clear in ((-0.01, True), (0.01, False)):
            moved = translate(circle, ways[side.side][0] * (side.room + more), 0.0)
            assert wall.covers(moved) is clear, side
    assert sides["below"].by == "the inner wall"
    assert sides["above"].room == pytest.approx(24.0 - 20.2 - 2.5)


@pytest.mark.parametrize("units", ["mm", "in"])
def test_text_is_in_the_locks_units(units: str) -> None:
    told = map_text(room_map(first_lock(units), columns=40, rows=12))
    assert (" mm" in told) == (units == "mm")
    assert "to spare at" in told


def test_command_prints_text_and_data(tmp_path: Path) -> None:
    file = str(tmp_path / "lock.toml")
    save(Project(None, DEMO), tmp_path / "lock.toml")
    text = boltwright("map", file)
    assert text.returncode == 0
    assert "Room beside the key's circle, and what is there" in text.stdout.decode()
    assert "No map shows where the bolt jams" in text.stdout.decode()
    data = json.loads(
        boltwright("map", file, "--up", "bolt_line.height", "--size", "30x20", "--json").stdout
    )
    assert (data["format"], data["up"]["path"]) == (1, "bolt_line.height")
    assert np.array(data["room"]).shape == np.array(data["rules"]).shape == (20, 30)
    assert data["lock"]["room"] == room_map(DEMO, up="bolt_line.height").room
    assert [side["side"] for side in data["beside_key"]] == ["above", "below", "left", "right"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--size", "5x5"], "a size is like 60x40"),
        (["--across", "plate.outline"], "plate.outline is no dimension"),
        (["--across", "nothing.here"], "nothing.here is no dimension"),
        (["--up", "key.radius"], "is given twice"),
        (["--up", "plate.width"], "nothing that the map knows the room for"),
    ],
)
def test_command_refuses_in_one_sentence(tmp_path: Path, words: list[str], said: str) -> None:
    save(Project(None, DEMO), tmp_path / "lock.toml")
    assert said in refusal(boltwright("map", str(tmp_path / "lock.toml"), *words))


@pytest.mark.parametrize("units", ["mm", "in"])
def test_the_largest_key_that_is_made_limits_map_and_ways_out(tmp_path: Path, units: str) -> None:
    lock = DEMO.with_value("units", units).with_value("fit.key_max", 20.01)
    found = room_map(lock, columns=12, rows=8)
    assert found.limits[found.by].by == "the largest key"
    assert found.room == pytest.approx(0.01)
    assert (found.margin[:, found.xs > 20.01] < 0).all()
    small = lock.with_value("fit.key_max", 19.8)
    ways = [way.changes for way in clearings(Layout(small), "key-too-large") if way is not None]
    assert ways
    assert all(dict(way)["key.radius"] <= 19.8 for way in ways)
    # it stands in the lock's file, and a file without it stays as it is
    save(Project(None, small), tmp_path / "new.toml")
    assert load(tmp_path / "new.toml").lock.fit.key_max == 19.8
    old = "".join(
        line
        for line in fresh_text(DEMO).splitlines(keepends=True)
        if "key_max" not in line and "#" not in line[:1]
    )
    (tmp_path / "old.toml").write_text(old)
    project = load(tmp_path / "old.toml")
    assert project.lock.fit.key_max == 0.0
    save(project, tmp_path / "old.toml")
    assert (tmp_path / "old.toml").read_text() == old
