"""Posts: what is found against them, and where they fit, against a scan of a bench made of shapely alone."""

import json
import random
import re
from collections import Counter
from functools import cache

import numpy as np
import pytest
import shapely

from core.checks.gathered import findings
from core.layout.codes import rows_in
from core.layout.layout import Layout
from core.layout.windows import Window, merged
from core.lock.lock import Lock
from core.lock.row_changes import rows_of
from core.lock.rows.posts import ROWS, Post
from core.parts.discs import discs_of
from core.parts.free_room import room, roomiest
from core.parts.posts import PART
from core.parts.tooth import tooth
from core.turning.turn_check import turn_check
from tests.counts import seeds, tries
from tests.designs import plausible, seeded, stretched
from tests.extremes import extreme
from tests.locks import posted
from tests.posts_bench import Bench
from tests.sure import sure
from tests.test_bolt_contour import throw

CLOSE = 2e-3
"""How well [mm] polygons and an inset wall agree with lines and arcs."""
BESIDE = 1e-4


def strewn(lock: Lock, rng: random.Random, count: int = 3) -> Lock:
    """Return a lock with posts all over it, whether they fit there or not."""
    wide, high = lock.plate.width / 2, lock.plate.height / 2
    places = [
        (rng.uniform(-wide, wide), rng.uniform(-high, high), rng.uniform(2, 6))
        for _ in range(count)
    ]
    return posted(*places, lock=lock)


@cache
def cases(count: int) -> list[Lock]:
    """Return locks that have a tooth, sound ones and far-off ones, with posts all over them."""
    found: list[Lock] = []
    seed = 0
    while len(found) < count:
        seed += 1
        make = stretched if seed % 3 == 0 else plausible
        lock = make(seed).with_value("tooth.roof", "flat")
        if tooth(Layout(lock)).fits:
            found.append(strewn(lock, seeded(f"posts {seed}")))
    return found


def fitting(lock: Lock) -> dict[str, Window]:
    """Return what fits for the posts."""
    return merged(PART.bounds(Layout(lock)))


def own(lock: Lock) -> dict[str, float]:
    """Return what is lacking for each post by code, as the findings say it."""
    found = {}
    for finding in PART.findings(Layout(lock)):
        assert finding.level == "stop"
        assert finding.step == "posts"
        found[finding.code] = sure(finding.limit) - sure(finding.value)
    return found


@pytest.mark.parametrize("lock", cases(tries(4, 12)), ids=seeds(4, 12))
def test_findings_are_those_of_the_bench(lock: Lock) -> None:
    bench, said = Bench(lock), own(lock)
    for name, post in rows_of(lock, Post).items():
        here = np.array([[post.across, post.above]])
        for end, lack in bench.lacks(name, here, post.diameter / 2).items():
            code = f"post-{end}:{name}"
            if end.startswith("post "):
                other = end.removeprefix("post ")
                code = "post-in-another:{},post-{}".format(*sorted((name, other)))
            if lack[0] > CLOSE:
                assert code in said
                inside = post.diameter / 2 + (bench.solids[end].more if end in bench.solids else 0)
                if lack[0] < inside:  # deeper in, the program measures how deep
                    assert said[code] == pytest.approx(lack[0], abs=CLOSE)
            elif lack[0] < -CLOSE:
                assert code not in said


@pytest.mark.parametrize("lock", cases(tries(4, 12)), ids=seeds(4, 12))
@pytest.mark.slow
def test_windows_are_those_of_a_scan(lock: Lock) -> None:
    bench, found = Bench(lock), fitting(lock)
    for name in rows_of(lock, Post):
        for key in ("across", "above"):
            window, run = found[f"posts.{name}.{key}"], bench.stretch(name, key)
            assert window.low is not None
            assert window.high is not None
            if run is None or window.conflict:
                # a scan may step over a stretch that is narrower than its step
                assert window.high.value - window.low.value < 0.06
                assert run is None or run[1] - run[0] < 0.06
                continue
            ends = (window.low.value, window.high.value)
            if ends[1] - ends[0] > 0.1:
                assert ends == pytest.approx(run, abs=2 * CLOSE)


def test_a_windows_end_is_where_a_stop_begins() -> None:
    seen: Counter[str] = Counter()
    for lock in cases(8):
        paths = [f"posts.{name}.{key}" for name in rows_of(lock, Post) for key in ROWS.specs]
        every = fitting(lock)
        found = {path: every[path] for path in paths}
        for path, window in found.items():
            row = path.split(".")[1]
            for bound, inwards in ((window.low, 1), (window.high, -1)):
                if bound is None:
                    assert path.endswith(".diameter")
                    continue
                if path.endswith(".diameter") and bound.value < 0.02:
                    seen["no size fits"] += 1
                    continue
                out = own(lock.with_value(path, bound.value - inwards * BESIDE))
                assert bound.code.name in out, (path, bound)
                seen["outside"] += 1
                if window.conflict:
                    seen["conflict"] += 1
                    continue
                if sure(window.high).value - (window.low.value if window.low else 0.0) < 3 * BESIDE:
                    continue
                within = own(lock.with_value(path, bound.value + inwards * BESIDE))
                named = {c for c in within if row in rows_in(c)[:1] or f"post-{row}" in rows_in(c)}
                assert not named, (path, bound, named)
                seen["inside"] += 1
    assert seen["outside"] > 80
    assert seen["inside"] > 60
    assert seen["conflict"] > 5


BESIDE_POSTS = ("key.radius", "front_guide.from_centreline", "rear_guide.from_centreline")


@pytest.mark.slow
def test_a_post_bounds_what_stands_beside_it() -> None:
    seen: Counter[str] = Counter()
    for number, lock in enumerate(cases(tries(6, 12))):
        rng = seeded(f"beside {number}")
        line, rear, front = lock.bolt_line.height, lock.rear_guide, lock.front_guide
        lock = posted(
            (rng.uniform(-40, 40), -rng.uniform(15, 35)),
            (rng.uniform(20, 60), line - rng.uniform(-3, 8), rng.uniform(2, 5)),
            (rear.from_centreline + rng.uniform(-9, 9), line - rng.uniform(4, 12)),
            (-front.from_centreline - rng.uniform(-9, 9), line - rng.uniform(4, 12)),
            lock=lock.with_value("unlocks", "right"),
        )
        for bound in PART.bounds(Layout(lock)):
            if bound.path not in BESIDE_POSTS:
                continue
            inwards = 1 if bound.end == "low" else -1
            for way, there in ((-inwards, True), (inwards, False)):
                value = bound.value + way * BESIDE
                if value < 0.02:
                    continue
                met = bound.code.name in own(lock.with_value(bound.path, value))
                if met is not there and bound.code.name.startswith("post-in-bolt"):
                    # in the way of the body too: no place of the guide can help that
                    assert met, (bound, way)
                    continue
                assert met is there, (bound, way)
                seen[f"{bound.path} {bound.end} {there}"] += 1
    for path in BESIDE_POSTS:
        assert seen[f"{path} high True"] > tries(0, 1)
        assert seen[f"{path} high False"] > tries(0, 2)
    assert seen["rear_guide.from_centreline low True"] > tries(0, 2)


def clear_of(lock: Lock, table: str, post: Post) -> list[tuple[float, float]]:
    """Return between which distances [mm] of a guide its metal is clear of a post: boxes by shapely, 0.02 apart."""
    guide, side = (lock.front_guide, -1) if table == "front_guide" else (lock.rear_guide, 1)
    leg = lock.bolt.nose_height if side < 0 else lock.bolt.tail_height
    line, slide = lock.bolt_line.height, lock.fit.slide_clearance
    places = np.arange(0.0, 50.0, 0.02)
    near, far = np.sort([side * places, side * (places + guide.width)], axis=0)
    boxes = shapely.box(near, line - leg - slide - guide.floor, far, line + slide)
    free = (
        shapely.distance(boxes, shapely.Point(post.across, post.above)) >= post.diameter / 2 - 1e-9
    )
    edges = np.flatnonzero(np.diff([False, *free, False]))
    return [(float(places[a]), float(places[b - 1])) for a, b in edges.reshape(-1, 2)]


@pytest.mark.parametrize("table", ["front_guide", "rear_guide"])
def test_a_guide_s_window_ends_at_the_nearest_place_clear_of_a_post(table: str) -> None:
    # a scan; posts before the guide and behind it, level with it and below, and beyond the centreline, where one that
    # just touches it is in no guide's way
    side = 1 if table == "rear_guide" else -1
    now = float(Lock().value(f"{table}.from_centreline"))
    low = Lock().bolt_line.height - 4.0
    seen: Counter[str] = Counter()
    for across in (-2.0, 1.0, now - 2.5, now - 0.5, now + 1.5, now + 2.5, now + 5.0):
        for above in (low, low - 5.0):
            lock = posted((side * across, above, 4.0))
            free = clear_of(lock, table, *rows_of(lock, Post).values())
            ends = [
                b
                for b in PART.bounds(Layout(lock))
                if b.path == f"{table}.from_centreline" and "guide" in b.code.name
            ]
            # what ends at the scan's own end is free to there
            wanted = [("high", b) for a, b in free if a == 0.0 and b < 49.9]
            wanted += [("low", a) for a, _ in free if a > 0.0]
            nearest = sorted(wanted, key=lambda end: abs(end[1] - now))[:1]
            assert [b.end for b in ends] == [end for end, _ in nearest], (across, above)
            assert [b.value for b in ends] == pytest.approx([at for _, at in nearest], abs=0.02)
            seen.update([end for end, _ in nearest] or ["free"])
    assert min(seen[what] for what in ("free", "high", "low")) >= 2, seen


@pytest.mark.parametrize("off", [-1.5, -0.5, 0.5, 3.0, 6.5, 7.5, 9.0])
def test_the_rear_guide_s_window_ends_where_the_tail_would_strike_a_post(off: float) -> None:
    # a scan: the tail, drawn back, is a box of shapely's that ends where the guide does, and keeps the slide clearance
    lock, radius, step = Lock(), 2.0, 0.01
    line, leg, keep = lock.bolt_line.height, lock.bolt.tail_height, lock.fit.slide_clearance
    across = lock.rear_guide.from_centreline + lock.rear_guide.width + throw(lock) + 4.0
    ends = [
        b.value
        for b in PART.bounds(Layout(posted((across, line - off, 2 * radius))))
        if b.path == "rear_guide.from_centreline" and b.code.name == "post-in-bolt:a"
    ]
    places = np.arange(0.0, 60.0, step)
    tails = shapely.box(0.0, line - leg, places + lock.rear_guide.width + throw(lock), line)
    free = shapely.distance(tails, shapely.Point(across, line - off)) >= radius + keep
    assert ends == pytest.approx([] if free.all() else [places[free][-1]], abs=step)


def test_the_left_hand_is_the_mirror_image() -> None:
    for seed in range(4):
        lock = plausible(seed, unlocks="right", roof="flat", outline="oval")
        lock = lock.with_value("pivot.across", 0.0).with_value("plate.mark_across", 0.0)
        lock = strewn(lock, seeded(seed))
        other = lock.with_value("unlocks", "left").with_value(
            "shackle.across", -lock.shackle.across
        )
        for name, post in rows_of(lock, Post).items():
            other = other.with_value(f"posts.{name}.across", -post.across)
        assert own(other) == pytest.approx(own(lock), abs=1e-9)
        here, there = fitting(lock), fitting(other)
        for name in rows_of(lock, Post):
            a, b = here[f"posts.{name}.across"], there[f"posts.{name}.across"]
            assert (sure(a.low).value, sure(a.high).value) == pytest.approx(
                (-sure(b.high).value, -sure(b.low).value), abs=1e-9
            )
            assert (sure(a.low).by, sure(a.high).by) == (sure(b.high).by, sure(b.low).by)


def test_a_post_that_is_clear_leaves_as_much_room_as_the_bench_says() -> None:
    lock = posted((0.0, -26.0), (30.0, 40.0))
    bench = Bench(lock)
    for post in discs_of(Layout(lock), ROWS):
        left, nearest = room(Layout(lock), post)
        lacks = bench.lacks(post.name, np.array([post.at]), post.radius)
        assert left == pytest.approx(-max(lack[0] for lack in lacks.values()), abs=CLOSE)
        assert nearest.by in ("the key's circle", "the inner wall")
    assert own(lock) == {}
    assert not [f for f in findings(Layout(lock)) if f.level == "stop"]


def test_the_bolt_is_met_at_the_seat_that_is_said() -> None:
    line = Lock().bolt_line.height
    tip = Lock().rear_guide.from_centreline + Lock().rear_guide.width
    texts = {
        at: [f.text for f in PART.findings(Layout(posted(at))) if f.code == "post-in-bolt:a"]
        for at in (
            (tip + 8.0, line - 3.0),
            (-27.0, line + 1.0),
            (tip - 3.0, line - 8.0),
            (0.0, 22.0),
        )
    }
    for place, when in (((tip + 8.0, line - 3.0), "unlocked"), ((-27.0, line + 1.0), "locked")):
        assert re.search(rf"in the way of the bolt by \S+ mm, {when}\.$", texts[place][0])
    assert texts[(0.0, 22.0)][0].endswith("locked and unlocked.")


def test_a_post_in_the_key_s_circle_fouls_the_turn_and_is_named() -> None:
    foul = turn_check(Layout(posted((-15.0, -10.0)))).fouls
    assert [f.part for f in foul] == ["post a"]
    assert turn_check(Layout(posted((0.0, -26.0)))).fouls == ()
    touching = turn_check(Layout(posted((0.0, -22.5, 4.0))))
    # 22.5 less the key's 20 and the post's 2
    assert touching.least_gap <= 0.5 + 1e-9


def test_of_two_posts_one_finding_tells() -> None:
    found = [f for f in findings(Layout(posted((0.0, -26.0), (1.0, -26.0)))) if f.step == "posts"]
    assert [f.code for f in found] == ["post-in-another:a,post-b"]
    assert found[0].text == "Post a and post b stand 3.0 mm inside each other."
    assert (found[0].value, found[0].limit) == (-1.0, 2.0)


@pytest.mark.slow
def test_posts_in_locks_that_no_one_would_build_give_finite_numbers() -> None:
    for seed in range(20):
        rng = seeded(f"extreme posts {seed}")
        spread = rng.choice((60.0, 2000.0))
        places = [
            (
                rng.uniform(-spread, spread),
                rng.uniform(-spread, spread),
                rng.choice((0.01, 4.0, 2000.0)),
            )
            for _ in range(2)
        ]
        layout = Layout(posted(*places, lock=extreme(seed)))
        numbers = [bound.value for bound in PART.bounds(layout)]
        for finding in PART.findings(layout):
            assert finding.value is not None
            assert finding.limit is not None
            numbers += [finding.value, finding.limit]
        numbers += roomiest(layout)
        assert np.isfinite(numbers).all()
        assert json.dumps(PART.report(layout), allow_nan=False)


def test_a_new_post_begins_where_most_room_is_left() -> None:
    for units, step in (("mm", 1.0), ("in", 25.4 / 16)):
        lock = Lock().with_value("units", units)
        bench = Bench(lock)
        across, above = roomiest(Layout(lock))
        assert across / step == pytest.approx(round(across / step), abs=1e-6)
        rng = np.random.default_rng(0)
        anywhere = rng.uniform([-38, -40], [38, 54], size=(4000, 2))
        rooms = [
            -np.max(list(bench.lacks("", at, 0.0).values()), axis=0)
            for at in (np.array([[across, above]]), anywhere)
        ]
        assert rooms[0][0] > rooms[1].max() - step


@pytest.mark.parametrize(("across", "diameter", "lacks"), [(100.0, 20.0, 2.0), (98.0, 19.0, 2.5)])
def test_where_no_post_fits_on_a_line_the_ends_are_crossed_about_the_place_that_lacks_least(
    across: float, diameter: float, lacks: float
) -> None:
    """By hand: 38 mm below the middle of a round plate with a rim of 4 there is most room right under it."""
    lock = Lock()
    for path, value in {
        "plate.outline": "round", "plate.width": across, "plate.rim": 4.0, "pivot.below": across / 2,
        "pivot.across": 0.0,
    }.items():  # fmt: skip
        lock = lock.with_value(path, value)
    assert diameter / 2 - (across / 2 - 38.0 - 4.0) == pytest.approx(lacks)
    for x in (0.0, 7.0, -20.0):
        layout = Layout(posted((x, -38.0, diameter), lock=lock))
        window = merged(PART.bounds(layout))["posts.a.across"]
        assert window.low is not None
        assert window.high is not None
        ends = window.low.value, window.high.value
        assert ends == pytest.approx((lacks / 2, -lacks / 2), abs=1e-6)
        assert {window.low.code.name, window.high.code.name} == {"post-outside-wall:a"}
