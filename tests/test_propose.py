"""Proposals: their limits against checks of single locks, their locks against every check, and a brute-force grid."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely

from core.change.clearing import clearable
from core.checks.gathered import findings, outcome_values, windows
from core.files.project_file import Project, load, save
from core.geometry.polygons import reach
from core.layout.layout import Layout
from core.lock.first_lock import first_lock
from core.lock.lock import Lock
from core.parts.plate import inner
from core.propose.given import AT_HAND, SETTLED, Given
from core.propose.lay_out import Choice, Laid, chosen
from core.propose.limits import limits, nearest, wants_a_look
from core.propose.locks import Locks
from core.propose.profile import Profile
from core.propose.proposals import (
    KINDS,
    LONGEST,
    ROOM,
    SOUND,
    TORQUE,
    WIDEST,
    Proposals,
    proposals,
)
from core.propose.proposals_text import WIDTH, proposals_text
from core.propose.search import coarse
from tests.command_line import boltwright, refusal
from tests.designs import numbers, plausible, seeded
from tests.locks import changed
from tests.propose_grid import OUTLINES, STEEL, best_of_grid, forty, random_plate
from tests.sure import sure

MOVED = (
    "key.radius", "bolt_line.height", "pivot.below", "bolt.depth", "shackle.across", "shackle.drop",
    "shackle.engagement", "front_guide.from_centreline", "rear_guide.from_centreline", "bolt.lobe_width",
    "tooth.pickup_angle",
)  # fmt: skip
SMALL = {"plate.width": 38.0, "plate.height": 30.0, "plate.straight": 10.0}
DEMO = Lock()


def moved(seed: int) -> Lock:
    """Return a plausible lock with two sizes by chance larger or smaller: many of them are stopped."""
    rng, lock = seeded(f"moved {seed}"), plausible(seed)
    for path in rng.sample(MOVED, 2):
        more = rng.uniform(0, 8) if path == "tooth.pickup_angle" else 0.0
        lock = lock.with_value(path, lock.value(path) * rng.uniform(0.85, 1.2) + more)
    return lock


def stops(lock: Lock) -> set[str]:
    return {found.code for found in findings(Layout(lock)) if found.level == "stop"}


def of_limits(found: set[str]) -> set[str]:
    """Return those of some stops that limits are there for: a size too small for what it is, its own prompt refuses."""
    turned = ("key-fouls", "bolt-jams")
    return {code for code in found if clearable(code) or code.startswith(turned)}


def agree(seed: int) -> bool:
    lock = moved(seed)
    passed = {each.code.name for each in limits(Locks(lock, {})) if each.spare[0] < -1e-9}
    found = of_limits(stops(lock))
    assert bool(passed) == bool(found), (seed, passed, found)
    # what only a turn of the key shows is told of a lock by other limits too
    assert passed <= found, (seed, passed, found)
    return bool(found)


@pytest.mark.slow
def test_limits_say_of_a_lock_what_its_checks_say() -> None:
    assert 8 < sum(agree(seed) for seed in range(30)) < 28


@pytest.mark.slow
def test_limits_say_of_many_locks_what_their_checks_say() -> None:
    assert 200 < sum(agree(seed) for seed in range(30, 530)) < 450


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.first(3)
def test_limits_are_the_numbers_of_the_report(seed: int) -> None:
    lock = plausible(seed)
    layout = Layout(lock)
    values, found = outcome_values(layout), windows(layout)
    room = {each.code.name: float(each.spare[0]) for each in limits(Locks(lock, {}))}
    wanted = {
        "bridge-thin": (values["bridge"] or 0.0) - lock.fit.bridge_min,
        "key-hits-wall": values["key_to_wall"],
        "spring-room": values["spring_spare"],
        "tail-hits-wall": values["tail_spare"],
        "nose-leaves-guide": values["nose_in_guide"],
        "home-travel": lock.fit.detent_capture - (values["home_travel"] or 0.0),
    }
    for code, value in wanted.items():
        assert value is not None
        assert abs(room[code] - value) < 1e-6
    # what an end of a window is there for has the room that is left to that end
    checked = 0
    for path in ("front_guide.from_centreline", "rear_guide.from_centreline", "shackle.drop"):
        for end, way in ((found[path].low, 1.0), (found[path].high, -1.0)):
            if end is not None and end.code.name in room:
                left = way * (float(lock.value(path)) - end.value)
                assert abs(room[end.code.name] - left) < 1e-6
                checked += 1
    assert checked >= 3


TAKEN = (
    "bolt_line.height", "bolt.depth", "bolt.nose_height", "bolt.tail_height", "bolt.lobe_width", "key.radius",
    "rear_guide.from_centreline", "rear_guide.width", "pivot.below", "shackle.engagement", "shackle.gap",
)  # fmt: skip


def row(value: float) -> np.ndarray[Any, np.dtype[np.float64]]:
    return np.array([value])


def test_the_room_to_a_bolt_that_cocks_is_the_cocking_ratio() -> None:
    # by hand: two guides 2 wide, 3 from the centreline, span 8; over three times the friction of 0.42 it may hold a
    # lever so long; the push is on the flanks' foot, half a chord under a line 40 high, the middle of the legs 3 below
    near = dict.fromkeys(("front_guide.from_centreline", "rear_guide.from_centreline"), 3.0)
    wide = dict.fromkeys(("front_guide.width", "rear_guide.width"), 2.0)
    lock = changed(DEMO, {"bolt_line.height": 40.0, "bolt.depth": 30.0, **near, **wide})
    lever = 40.0 - 3.0 - np.sqrt(20.2**2 - (9.5 + 1.5) ** 2)
    assert wants_a_look(Locks(lock, {})) == pytest.approx(8.0 / (3 * STEEL) - lever)


def test_the_nose_leaves_the_wall_what_a_line_under_it_says() -> None:
    # by hand: on a round plate with a rim of 4 the wall is a circle of 46 about a middle 20 above the pivot; the nose
    # of 6 under a line at 2 reaches lowest, 24 below that middle, and is 23 + 8 out
    new: dict[str, object] = {
        "plate.outline": "round", "plate.width": 100.0, "plate.rim": 4.0, "pivot.below": 70.0, "bolt_line.height": 2.0,
        "shackle.across": -26.5, "shackle.diameter": 7.0, "shackle.engagement": 8.0, "bolt.nose_height": 6.0,
    }  # fmt: skip
    lock = changed(DEMO, new)
    (room,) = [
        each.spare[0] for each in limits(Locks(lock, {})) if each.code.name == "bolt-outside-wall"
    ]
    assert room == pytest.approx(np.sqrt(46.0**2 - 24.0**2) - 31.0, abs=2e-3)


def test_the_end_of_the_shackle_has_the_wall_below_it_whatever_the_plate_does_beside_it() -> None:
    # by hand: a plate 100 high with a rim of 4, the pivot 54 below its top, the line 24 above that, so 66 down to the
    # wall; a notch in the top, 2 to 12 beside the middle, comes down below the line
    corners = ((-50, 0), (2, 0), (7, -34), (12, 0), (50, 0), (50, -100), (-50, -100))
    points = tuple((float(x), float(y)) for x, y in corners)
    lock = changed(
        DEMO,
        {
            "plate.outline": "traced", "plate.points": points, "plate.rim": 4.0, "pivot.below": 54.0,
            "shackle.across": -30.0, "shackle.diameter": 14.0,
        },
    )  # fmt: skip
    room = {each.code.name: each.spare[0] for each in limits(Locks(lock, {}))}
    assert room["shackle-outside-wall"] == pytest.approx(66.0 - lock.shackle.drop, abs=0.01)


def test_a_bolt_is_laid_no_deeper_than_a_share_of_the_room_down_to_the_shank() -> None:
    # by hand, of a shank of 30: its relief needs 24 - sqrt(20.2^2 - 11^2), down to the shank are 24 - 15 - 0.2
    lock = changed(DEMO, {"key.shank": 30.0})
    laid = Laid(Given(lock), Choice(np.array([0]), row(54.0), row(20.0), row(24.0)))
    least, most = 24.0 - np.sqrt(20.2**2 - 11.0**2), 8.8
    assert laid.locks.at("bolt.depth") == pytest.approx(least + 0.25 * (most - least))


@pytest.mark.parametrize("size", [0, 7])
def test_what_key_and_bolt_take_of_the_plate_is_the_area_that_both_run_over(size: int) -> None:
    """Against shapely: the key's circle up to the bolt's lower edge, and body and legs at both seats, drawn by hand."""
    laid = Laid(Given(DEMO), Choice(np.array([size]), row(54.0), row(20.0), row(25.0)))
    at = {path: float(laid.locks.at(path)[0]) for path in TAKEN}
    n = numbers(lock := changed(DEMO, at))
    line, engaged = at["bolt_line.height"], at["shackle.engagement"]
    throw = engaged + at["shackle.gap"]
    left, right = -n.flank - at["bolt.lobe_width"], n.offset + at["bolt.lobe_width"]
    tip = -(abs(lock.shackle.across) - lock.shackle.diameter / 2) - engaged
    tail = at["rear_guide.from_centreline"] + at["rear_guide.width"]
    bolt = shapely.union_all([
        shapely.box(left, line - at["bolt.depth"], right, line),
        shapely.box(tip, line - at["bolt.nose_height"], left, line),
        shapely.box(right, line - at["bolt.tail_height"], tail, line),
    ])  # fmt: skip
    over = shapely.union(bolt, shapely.transform(bolt, lambda q: q + np.array([throw, 0.0])))
    reach_of_key = at["key.radius"] + lock.fit.key_clearance
    circle = shapely.Point(0.0, 0.0).buffer(reach_of_key, quad_segs=1000)
    circle = circle.intersection(shapely.box(-99, -99, 99, line - at["bolt.depth"]))
    assert laid.taken[0] == pytest.approx(circle.area + over.area, abs=0.01)


@pytest.mark.parametrize("pickup", [0.0, 10.0, 20.0, 30.0])
def test_the_room_for_the_key_begins_near_the_smallest_that_drives_clear_of_its_shank(
    pickup: float,
) -> None:
    """Against a sweep of keys in steps of 0.05 that knows nothing of where the room begins."""
    given = Given(DEMO.with_value("tooth.pickup_angle", pickup))
    begin = chosen(given, np.array([0]), row(54.0), row(0.0), row(0.5)).radius[0]
    keys = np.arange(5.0, 20.0, 0.05)
    each = np.ones(len(keys))
    laid = Laid(given, Choice(np.zeros(len(keys), dtype=int), 54.0 * each, keys, 26.0 * each))
    assert abs(begin - keys[laid.margin > 0][0]) < 0.5


def test_what_no_check_agrees_to_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    # most is kept, so that the search is short
    asked = []

    def none_agreed_to(*_: object) -> Iterator[None]:
        asked.append("once")
        yield None

    monkeypatch.setattr("core.propose.proposals._confirmed", none_agreed_to)
    monkeypatch.setattr("core.propose.proposals._others", lambda *_: [])
    free = {"bolt.depth", "shackle.drop", "key.radius", "pivot.below", "bolt_line.height"}
    kept = set(SETTLED) - free - {"front_guide.from_centreline", "rear_guide.from_centreline"}
    found = proposals(DEMO, kept)
    assert asked
    assert found.found == ()
    assert "cannot be given sizes that are round" in sure(found.refusal).told


def test_many_locks_are_each_as_it_is_alone() -> None:
    rng = np.random.default_rng(3)
    for seed in (1, 2, 5):
        lock = plausible(seed)
        some = {
            path: float(lock.value(path)) * rng.uniform(0.9, 1.1, 12)
            for path in ("key.radius", "bolt_line.height", "pivot.below", "pivot.across")
        }
        together = limits(Locks(lock, some))
        locks = Locks(lock, some)
        for n in range(12):
            alone = limits(Locks(locks.one(n), {}))
            for one, other in zip(together, alone, strict=True):
                assert one.code == other.code
                assert one.spare[n] == pytest.approx(other.spare[0], abs=1e-9)


@pytest.mark.parametrize("outline", [*OUTLINES, "traced"])
@pytest.mark.first(2)
def test_a_wall_asked_often_is_the_wall_asked_once(outline: str) -> None:
    rng, area = np.random.default_rng(7), inner(Layout(plausible(3, outline=outline)))
    ring = shapely.get_coordinates(area.exterior)
    x0, y0, x1, y1 = area.bounds
    for way in ((0.0, 1.0), (0.0, -1.0), (1.0, 0.0), (-1.0, 0.0)):
        spread = (x0, x1) if way[0] == 0 else (y0, y1)
        low, high = np.sort(rng.uniform(spread[0] - 2, spread[1] + 2, (2, 60)), axis=0)
        at = rng.uniform(0, max(x1, y1), 60)
        if way in ((0.0, -1.0), (1.0, 0.0)):  # across is the direction turned a quarter clockwise
            low, high = -high, -low
        told = Profile(ring, way).least(low, high, at)
        for n in range(60):
            once = reach(area, way, float(low[n]), float(high[n]), float(at[n]))
            assert told[n] == pytest.approx(-np.inf if once is None else once, abs=1e-7)


def sound(lock: Lock, found: Proposals) -> None:
    """Hold proposals to all that they promise."""
    assert found.refusal is None
    assert {kind for one in found.found for kind in one.kinds} == set(KINDS)
    for one in found.found:
        assert not stops(one.lock), one.kinds
        assert one.proposal.taken(lock) == one.lock
        assert one.margin == pytest.approx(float(nearest(limits(Locks(one.lock, {})))[0][0]))
        assert one.margin >= -1e-9
        assert one.by in one.proposal.reasons[1]
        grain = Given(lock).steps[-1]
        for path, value in one.proposal.values:
            if path in one.bought:  # of stock, which tests/test_propose_stock.py looks into
                continue
            assert abs(value / grain - round(value / grain)) < 1e-6, (path, value)
    best = {kind: one for one in found.found for kind in one.kinds}
    for one in found.found:
        assert one.margin <= best[WIDEST].margin
        assert one.free <= best[ROOM].free
        assert one.lock.shackle.engagement <= best[LONGEST].lock.shackle.engagement
        light = best[TORQUE].torque
        assert one.torque is None or light is None or light <= one.torque


@pytest.mark.parametrize("number", range(0, 40, 9))
@pytest.mark.first(2)
def test_ordinary_plates_get_locks_that_work(number: int) -> None:
    lock = forty()[number]
    sound(lock, proposals(lock))


@pytest.mark.slow
def test_all_forty_plates_get_locks_that_work() -> None:
    for lock in forty():
        sound(lock, proposals(lock))


def against_grid(seed: int) -> bool:
    """Hold the proposals for a plate against the grid; say whether that has a lock."""
    lock = random_plate(seed)
    best, found = best_of_grid(lock), proposals(lock, AT_HAND)
    if best.margin >= 0:
        assert found.found, (seed, best)
        assert max(one.margin for one in found.found) >= 0.98 * best.margin - 1e-6, (seed, best)
    if found.found:
        assert not any(stops(one.lock) for one in found.found)
    else:
        assert found.refusal is not None
        assert found.refusal.told or found.refusal.short > 0
        # what is said to fall first does stop the lock that is nearest to one
        assert found.refusal.told or found.refusal.code in stops(found.refusal.lock)
    return best.margin >= 0


@pytest.mark.slow
def test_no_lock_on_a_grid_is_better() -> None:
    assert [against_grid(seed) for seed in (3, 5, 11, 28, 36)].count(True) == 4


@pytest.mark.slow
@pytest.mark.parametrize("hundred", range(5))
def test_no_lock_on_grids_of_five_hundred_plates_is_better(hundred: int) -> None:
    assert sum(against_grid(100 * hundred + seed) for seed in range(100)) > 60


def test_the_grid_is_a_referee() -> None:
    # its best lock, laid out, has just that margin and no stop
    lock = random_plate(14)
    best = best_of_grid(lock)
    widest = changed(lock, best.values)
    widest = widest.with_value(
        "shackle.drop", widest.bolt.nose_height + 0.1 + widest.bolt.thickness
    )
    room = {each.code.name: float(each.spare[0]) for each in limits(Locks(widest, {}))}
    of_guides = [code for code in room if "guide" in code or code == "tail-hits-wall"]
    rest = min(value for code, value in room.items() if code not in of_guides)
    assert rest >= best.margin - 0.02


def test_what_is_kept_stays_and_limits_are_held() -> None:
    kept = ("key.radius", "pivot.below", "bolt.lobe_width")
    lock = changed(DEMO, {"key.radius": 17.3, "pivot.below": 55.0, "bolt.lobe_width": 5.1})
    found = proposals(
        lock, kept, {"shackle.engagement": (0.0, 6.2), "bolt.nose_height": (5.0, 9.0)}
    )
    assert found.found
    for one in found.found:
        assert not stops(one.lock)
        assert {path: one.lock.value(path) for path in kept} == {
            path: lock.value(path) for path in kept
        }
        assert not set(kept) & {path for path, _ in one.proposal.values}
        assert one.lock.shackle.engagement <= 6.2 + 1e-9
        assert one.lock.bolt.nose_height >= 5.0


@pytest.mark.slow
def test_notches_are_proposed_anew_where_they_must_be() -> None:
    lock = load(Path(__file__).parent.parent / "projects" / "boathouse.toml").lock
    found = proposals(lock)
    assert len(found.found) >= 2
    assert not any(stops(one.lock) for one in found.found)


def test_a_plate_too_small_is_told_what_falls_first() -> None:
    found = proposals(changed(first_lock("mm"), SMALL))
    assert found.found == ()
    assert found.refusal is not None
    assert found.refusal.short > 1
    text = proposals_text(Layout(found.refusal.lock), found)
    assert f"What falls first is {found.refusal.by}" in " ".join(text.split())


@pytest.mark.parametrize("units", ["mm", "in"])
def test_text_keeps_to_its_width(units: str) -> None:
    lock = first_lock(units)
    text = proposals_text(Layout(lock), proposals(lock))
    assert max(map(len, text.splitlines())) <= WIDTH
    assert "Nearest limit: " in text
    assert (" mm" in text) == (units == "mm")


def write(folder: Path, lock: Lock) -> str:
    file = folder / "lock.toml"
    save(Project(file, lock))
    return str(file)


def test_command_prints_text_and_data(tmp_path: Path) -> None:
    file = write(tmp_path, DEMO)
    text = boltwright("propose", file, "--keep", "key.radius")
    assert text.returncode == 0
    assert "Nearest limit" in text.stdout.decode()
    data: dict[str, Any] = json.loads(
        boltwright("propose", "--set", "plate.outline=oval", "--set", "plate.width=3 1/8\"", "--json").stdout
    )  # fmt: skip
    assert data["format"] == 1
    assert data["refusal"] is None
    assert all(set(one["values"]) == {*SETTLED, *AT_HAND} for one in data["proposals"])
    assert all(one["margin"] >= 0 for one in data["proposals"])


def test_command_saves_one(tmp_path: Path) -> None:
    new = tmp_path / "new.toml"
    given = (
        "--set",
        "plate.outline=round",
        "--set",
        "plate.width=70",
        "--set",
        "shackle.across=-25",
    )
    asked = ("propose", *given, "--most", "key.radius=12", "--take", "1", "--to", str(new))
    assert boltwright(*asked).returncode == 0
    lock = load(new).lock
    assert not stops(lock)
    assert (lock.plate.outline, lock.plate.width) == ("round", 70.0)
    assert lock.key.radius <= 12
    assert "already" in refusal(boltwright(*asked))


def test_command_says_that_there_is_none() -> None:
    small = [f"--set={path}={value}" for path, value in SMALL.items()]
    done = boltwright("propose", *small)
    assert done.returncode == 1
    assert b"What falls first" in done.stdout
    data = json.loads(boltwright("propose", *small, "--json").stdout)
    assert data["proposals"] == []
    assert data["refusal"]["short"] > 0


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--set", "plate.wdth=80"], "a lock has no 'plate.wdth'"),
        (["--set", "plate.width"], "takes PATH=VALUE"),
        (["--set", "plate.width=wide"], "wide"),
        (["--keep", "nothing"], "a lock has no 'nothing'"),
        (["--least", "plate.width=80"], "nothing that is proposed"),
        (["--take", "1"], "go together"),
    ],
)
def test_command_refuses_in_one_sentence(words: list[str], said: str) -> None:
    assert said in refusal(boltwright("propose", *words))


@pytest.mark.slow
def test_margins_are_sound_where_the_plate_lets_them() -> None:
    found = proposals(forty()[20])
    assert all(one.margin >= SOUND - 1e-9 for one in found.found)


def test_the_coarse_grid_goes_evenly_through_the_room_for_the_key() -> None:
    """Sixths of the room from the smallest key on, places of the pivot from 12 to 88 hundredths of the plate."""
    lock = Lock()
    grid = coarse(Given(lock))
    assert np.unique(grid.at[:, 1]) == pytest.approx([0, 1 / 6, 2 / 6, 3 / 6, 4 / 6, 5 / 6])
    high = lock.plate.width if lock.plate.outline == "round" else lock.plate.height
    assert grid.at[:, 0].min() == pytest.approx(0.12 * high)
    assert grid.at[:, 0].max() == pytest.approx(0.88 * high)
