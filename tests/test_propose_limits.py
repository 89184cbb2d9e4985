"""The limits of proposals, in arrays, against checks of single locks, hand numbers, shapely and sweeps."""

from typing import Any

import numpy as np
import pytest
import shapely

from core.change.clearing import clearable
from core.checks.gathered import findings, outcome_values, windows
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.propose.given import Given
from core.propose.lay_out import Choice, Laid, chosen
from core.propose.limits import limits, wants_a_look
from core.propose.locks import Locks
from tests.designs import numbers, plausible, seeded
from tests.locks import changed
from tests.propose_grid import STEEL

MOVED = (
    "key.radius", "bolt_line.height", "pivot.below", "bolt.depth", "shackle.across", "shackle.drop",
    "shackle.engagement", "front_guide.from_centreline", "rear_guide.from_centreline", "bolt.lobe_width",
    "tooth.pickup_angle",
)  # fmt: skip
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
def test_the_room_for_the_key_begins_with_the_smallest_that_drives_clear_of_its_shank(
    pickup: float,
) -> None:
    """Against a sweep of keys in steps of 0.05 that knows nothing of where the room begins."""
    given = Given(DEMO.with_value("tooth.pickup_angle", pickup))
    begin = chosen(given, np.array([0]), row(54.0), row(0.0), row(0.5)).radius[0]
    keys = np.arange(5.0, 20.0, 0.05)
    each = np.ones(len(keys))
    laid = Laid(given, Choice(np.zeros(len(keys), dtype=int), 54.0 * each, keys, 26.0 * each))
    assert 0 <= keys[laid.margin > 0][0] - begin < 0.06
