"""What stops the bolt past each seat by shapely, and what a key does that is turned on by a sweep without the law."""

import math
from collections import Counter
from dataclasses import replace

import numpy as np
import pytest
import shapely
from shapely.geometry import box
from shapely.geometry.base import BaseGeometry

from core.layout.layout import Layout
from core.lock.lock import Lock
from core.mechanism.second_turn import InTheWay, second_turn
from core.mechanism.tooth_numbers import tooth_from
from core.parts.end_stops import SEATS, Seat, end_stops
from core.parts.tooth import tooth
from core.report.bench_report import bench_report
from core.report.data import report
from core.turning.turned_on import in_the_way, turned_on
from tests.config_space import STEEP, follow, outline, rig_of
from tests.designs import bits, moved, plausible
from tests.loaded_locks import changed
from tests.plates import inner_wall


def metal(lock: Lock) -> dict[str, BaseGeometry]:
    """Return all that may stand in the bolt's way, drive frame, by shapely alone: a guide only below its slot."""
    line, slide = lock.bolt_line.height, lock.fit.slide_clearance
    found = {}
    for name, side, guide, leg in (
        ("front guide", -1, lock.front_guide, lock.bolt.nose_height),
        ("rear guide", 1, lock.rear_guide, lock.bolt.tail_height),
    ):
        x0, x1 = sorted(
            side * x for x in (guide.from_centreline, guide.from_centreline + guide.width)
        )
        slot = line - leg - slide
        found[name] = box(x0, slot - guide.floor, x1, slot)
    wall = inner_wall(lock)
    if lock.unlocks == "left":
        wall = shapely.transform(wall, lambda q: q * np.array([-1.0, 1.0]))
    found["inner wall"] = box(-500, -500, 500, 500).difference(wall)
    near = -abs(lock.shackle.across) + lock.shackle.diameter / 2
    end = box(near - lock.shackle.diameter, line - lock.shackle.drop, near, line + 50)
    stops, goes_in = lock.stops, lock.shackle.engagement
    if stops.locked != "as found":
        # as deep as the over-travel asks; where something else is the stop, the slide clearance deeper still
        goes_in += stops.locked_over + (0.0 if stops.locked == "shackle" else slide)
    deep = near - (lock.shackle.diameter if lock.shackle.catch == "eye" else goes_in)
    slot = box(deep, line - lock.bolt.nose_height - slide, near + 1e-6, line + slide)
    name = "shackle end" if lock.shackle.catch == "eye" else "bottom of the notch"
    found[name] = end.difference(slot)
    hand = 1 if lock.unlocks == "right" else -1
    for named in lock.rows.of("posts"):
        at = shapely.Point(hand * named.row.across, named.row.above)
        found[f"post {named.name}"] = at.buffer(named.row.diameter / 2, quad_segs=512)
    return found


def met(lock: Lock, seat: Seat, only: str = "") -> tuple[str, float]:
    """Return what the bolt meets first past a seat, or one thing, and after how far [mm], by halving on overlaps."""
    body, throw = outline(Layout(lock), 1e-3), lock.shackle.engagement + lock.shackle.gap
    way, start = (-1, 0.0) if seat == "locked" else (1, throw)
    best = ("nothing", math.inf)
    for name, area in metal(lock).items():
        if only not in ("", name):
            continue
        shapely.prepare(area)

        def over(by: float, area: BaseGeometry = area) -> bool:
            return bool(moved(body, start + way * by).intersection(area).area > 1e-7)

        looks = np.arange(0.0, 40.0, 0.25)
        first = next((k for k, by in enumerate(looks) if over(float(by))), None)
        if first is None:
            continue
        low, high = float(looks[max(first - 1, 0)]), float(looks[first])
        while high - low > 1e-5:
            middle = (low + high) / 2
            low, high = (low, middle) if over(middle) else (middle, high)
        if high < best[1]:
            best = (name, high)
    return best


def test_demo_has_the_designs_end_stops() -> None:
    # end stops of the demo: locked 0.5 (guide 18 - 17.5), unlocked 0.5 (wall 34 - 33.5)
    found = report(Layout(Lock()))["stops"]
    assert (found["locked"]["by"], found["unlocked"]["by"]) == ("front guide", "inner wall")
    assert found["locked"]["distance"] == pytest.approx(0.5)
    assert found["unlocked"]["distance"] == pytest.approx(0.5, abs=1e-6)
    text = bench_report(Layout(Lock()))
    assert "the front guide, after 0.5 mm" in text
    assert "the inner wall, after 0.5 mm" in text


@pytest.mark.parametrize("catch", ["eye", "notch"])
@pytest.mark.first(1)
def test_what_stops_the_bolt_is_what_it_meets_first(catch: str) -> None:
    seen: Counter[str] = Counter()
    for seed in range(10):
        lock = changed(plausible(seed, roof="flat"), shackle__catch=catch)
        if catch == "notch":
            # an end so wide that the notch leaves some of it, its near face where it was
            wider = lock.shackle.engagement + 3.0 - lock.shackle.diameter
            across = lock.shackle.across + math.copysign(wider / 2, lock.shackle.across)
            lock = changed(
                lock, shackle__across=across, shackle__diameter=lock.shackle.diameter + wider
            )
        if seed % 2:
            lock = changed(lock, rear_guide__from_centreline=lock.rear_guide.from_centreline + 3.0)
        for seat in SEATS:
            name, away = met(lock, seat)
            stop = end_stops(Layout(lock))[seat]
            assert stop.by == name, (seed, seat, away, stop)
            assert max(stop.distance, 0.0) == pytest.approx(away, abs=5e-3)
            seen[name] += 1
    assert seen["rear guide"] >= 1
    assert seen["inner wall"] >= 2
    assert seen["bottom of the notch" if catch == "notch" else "front guide"] >= 5


@pytest.mark.slow
def test_a_key_turned_on_does_what_the_sweep_says() -> None:
    endings: Counter[str] = Counter()
    for seed in range(12):
        layout = Layout(plausible(seed, roof="flat"))
        stops, throw, rig = end_stops(layout), tooth(layout).throw, rig_of(layout)
        for seat, stroke, way, start in (
            ("unlocked", "unlocking", 1, throw), ("locked", "locking", -1, 0.0),
        ):  # fmt: skip
            # the sweep has no friction, and calls stubbing what pushes faster: y_s / cos^2 t above STEEP times R
            ahead = in_the_way(layout, seat)  # type: ignore[arg-type]
            share = ahead.underside / (STEEP * layout.lock.key.radius)
            ahead = replace(ahead, steepest=math.acos(math.sqrt(min(max(share, 0.0), 1.0))))
            turn = second_turn(tooth(layout), ahead)
            # looked at more finely about where something is said to happen
            about = [x + np.linspace(-0.02, 0.02, 41) for x in (turn.touches, turn.ends) if x < 9]
            at = way * np.unique(np.concatenate([[0.0], *about]))
            run = follow(rig, stroke, start=start, at=at)  # type: ignore[arg-type]
            pushed, along = way * (run.travel - start), way * run.angles
            play = stops[seat].distance  # type: ignore[index]
            # the sweep knows no end stop: what comes first, the bolt at it or the key blocked
            at_stop = along[pushed > play + 1e-6][:1]
            blocked = [] if run.blocked is None else [way * run.blocked]
            ends = min([*at_stop, *blocked], default=math.inf)
            endings[turn.ending] += 1
            assert turn.ends == pytest.approx(ends, abs=2e-3), (seed, seat, turn)
            begins = along[pushed > 1e-6][:1]
            if turn.pushes > 1e-3:
                assert turn.touches == pytest.approx(float(begins[0]), abs=2e-3)
            assert turn.pushes == pytest.approx(min(float(pushed.max()), max(play, 0.0)), abs=0.025)
    assert endings["stop"] >= 4
    assert endings["leg"] + endings["lobe"] >= 4


@pytest.mark.parametrize("underside", [13.0, 14.5, 16.0])
def test_with_room_enough_the_bit_pushes_on_as_far_as_it_comes_out(underside: float) -> None:
    # how far over the bit ever comes at the lobe's underside or above it: turned in steps of a thousandth, by shapely
    cut = tooth_from(
        radius=20.0, bit=3.0, clearance=0.2, throw=9.5, pickup_angle=0.0, bolt_line=24.0, depth=10.0
    )
    bit = shapely.Point(0, 0).buffer(20.0, quad_segs=2000) & box(-1.5, 0, 1.5, 30)
    above = box(-30, underside, 30, 30)
    far = max(
        (shapely.affinity.rotate(bit, -turn, origin=(0, 0), use_radians=True) & above).bounds[2]
        for turn in np.arange(0.2, 0.9, 0.001)
    )
    # the lobe's side where the bit's face still leads, and the leg higher than the key's circle
    for side in (-8.0, -5.0):
        ahead = InTheWay(
            side=side, inner=side + 3.0, underside=underside, leg=20.1, play=far - side + 0.05, steepest=1.5
        )  # fmt: skip
        found = second_turn(cut, ahead)
        assert found.ending == "free"
        assert found.pushes == pytest.approx(far - side, abs=0.02)
        stopped = second_turn(cut, replace(ahead, play=far - side - 0.05))
        assert stopped.ending == "stop"
        assert stopped.pushes == pytest.approx(far - side - 0.05)


@pytest.mark.parametrize(("side", "inner"), [(-16.0, -12.0), (-20.0, -14.2), (-14.4, -3.0)])
def test_a_bit_that_comes_up_under_the_lobe_stops_there_and_pushes_nothing(
    side: float, inner: float
) -> None:
    # turned in steps of half a thousandth by shapely, until bit and lobe first overlap; the corner is at -14.283 then
    cut = tooth_from(
        radius=20.0, bit=3.0, clearance=0.2, throw=9.5, pickup_angle=0.0, bolt_line=24.0, depth=10.0
    )
    turns = np.arange(-1.2, 0.0, 5e-4)
    met = shapely.intersects(bits(20.0, 3.0, turns, tip=513), box(side, 14.0, inner, 24.0))
    found = second_turn(
        cut, InTheWay(side=side, inner=inner, underside=14.0, leg=18.0, play=0.5, steepest=1.5)
    )
    assert found.ending == "lobe"
    assert found.ends == pytest.approx(turns[met.argmax()], abs=1e-3)
    assert found.touches == found.ends
    assert found.pushes == 0.0


def test_pushed_past_its_seat_and_the_guide_that_helps() -> None:
    # the front guide 4 mm farther out: the bit comes up under the tail only when it has pushed the bolt far
    lock = changed(
        Lock(), front_guide__from_centreline=22.0, shackle__across=-31.0, plate__width=90.0,
        bolt__nose_height=3.0,
    )  # fmt: skip
    found = {f["code"]: f for f in report(Layout(lock))["findings"]}
    assert found["pushed-past-locked"]["level"] == "look"
    assert found["pushed-past-locked"]["value"] == pytest.approx(1.605, abs=1e-3)
    nearer = changed(lock, front_guide__from_centreline=18.0)
    assert "pushed-past-locked" not in {f["code"] for f in report(Layout(nearer))["findings"]}


def test_friction_decides_whether_a_leaning_bit_pushes_at_all() -> None:
    # demo: the bit leans 35.08 degrees where it meets the lobe; a wedge that leans more than 90 - 2 rho binds
    for metals, condition, pushes in (
        ("brass on steel", "greased", True),
        ("steel on steel", "dry", False),
    ):
        layout = Layout(changed(Lock(), friction__metals=metals, friction__condition=condition))
        turns = turned_on(layout)
        assert turns is not None
        for turn in turns.values():
            assert math.degrees(turn.touches) == pytest.approx(-35.0826, abs=1e-4)
            assert (turn.pushes > 0) is pushes
            assert (turn.ending == "stop") is pushes
