"""The turn check against a finer sweep made with shapely and a law of motion coded here."""

import math
from collections import Counter
from functools import cache

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray
from shapely.geometry import Point, box
from shapely.geometry.base import BaseGeometry

from core.checks import gathered
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.mechanism.sweep import STEP
from core.parts.bolt_contour import bolt
from core.parts.tooth import tooth
from core.report.data import report
from core.turning.turn_check import Foul, TurnCheck, check_turn, turn_check
from core.whole import assembly
from tests.config_space import follow, outline, rig_of
from tests.counts import seeds, tries
from tests.designs import bits, moved, numbers, plausible, stretched
from tests.loaded_locks import narrow, said_to_foul_once
from tests.plates import inner_wall
from tests.rigid_body import pieces, turn_key
from tests.test_bolt_contour import blank, gap, law

Array = NDArray[np.float64]
SWEEP = math.radians(0.02)
"""Step [rad] of the sweep made here: 25 times finer than the program's."""


@cache
def checked(lock: Lock, step: float = STEP) -> TurnCheck:
    return check_turn(Layout(lock), step)


def metal(lock: Lock) -> BaseGeometry:
    """Return the bolt at the locked seat in the drive frame, by boxes and discs."""
    n = numbers(lock)
    return blank(lock, n).difference(gap(lock, n, bolt(Layout(lock)).roof))


def overlaps(
    lock: Lock, area: BaseGeometry, around: float, stroke: str, *, moves: bool
) -> tuple[Array, Array]:
    """Return angles [rad], in the order of the stroke, near `around`, and the bit's overlap [mm2]."""
    sign = 1 if stroke == "unlocking" else -1
    angles = sign * np.arange(sign * around - 0.15, sign * around + 0.15, SWEEP)
    return angles, overlap_at(lock, area, angles, stroke, moves=moves)


def overlap_at(lock: Lock, area: BaseGeometry, angles: Array, stroke: str, *, moves: bool) -> Array:
    n, throw = numbers(lock), lock.shackle.engagement + lock.shackle.gap
    travel = law(lock, n, angles) if stroke == "unlocking" else throw - law(lock, n, -angles)
    shapes = bits(lock.key.radius, lock.key.bit_thickness, angles, travel if moves else 0.0)
    shapely.prepare(area)
    over = np.zeros(len(angles))
    met = shapely.intersects(area, shapes)
    over[met] = shapely.area(shapely.intersection(area, shapes[met]))
    return over


def early_foul(seed: int) -> Lock | None:
    """Return a lock with its pick-up made earlier in steps until the bit fouls the bolt."""
    lock = plausible(seed, early=True, roof="flat")
    for angle in np.arange(10.0, 24.0, 3.0):
        lock = lock.with_value("tooth.pickup_angle", float(angle))
        if not tooth(Layout(lock)).drives:
            return None
        if checked(lock).worst is not None:
            return lock
    return None


@pytest.mark.slow
def test_narrow_gap_with_an_early_pickup_stops() -> None:
    # the design's case: with a pick-up of 10 degrees the gap is 4.404 and needs to be 4.625
    lock = narrow(10.0)
    said = report(Layout(lock))
    (found,) = (f for f in said["findings"] if f["code"] == "key-fouls-bolt")
    assert (found["level"], found["step"]) == ("stop", "tooth")
    assert found["value"] == pytest.approx(4.404, abs=1e-3)
    assert found["limit"] == pytest.approx(4.625, abs=1e-3)
    assert said["turn"]["overlap_with"] == "bolt"
    angles = np.radians(np.arange(-60.0, 60.0, 0.02))
    for stroke in ("unlocking", "locking"):
        over = overlap_at(lock, metal(lock), angles, stroke, moves=True)
        # both strokes are mirror images, and so are their fouls
        assert over.max() == pytest.approx(said["turn"]["overlap"], rel=0.02)
    assert said["turn"]["overlap"] > 0.01


def test_wide_enough_a_gap_turns_and_the_bolt_comes_home() -> None:
    # the same lock with 8.7 degrees: only its home travel of 1.64 is more than its detent draws
    layout = Layout(narrow(8.7))
    said = report(layout)
    stops = {f["code"]: f for f in said["findings"] if f["level"] == "stop"}
    assert list(stops) == ["home-travel"]
    assert stops["home-travel"]["value"] == pytest.approx(1.64, abs=5e-3)
    assert said["turn"]["overlap"] == 0
    rig = rig_of(layout)
    for stroke, seat in (("unlocking", 10.0), ("locking", 0.0)):
        run = follow(rig, stroke, capture=layout.lock.fit.detent_capture)  # type: ignore[arg-type]
        assert run.blocked is None
        assert run.rests == pytest.approx(seat)


def test_a_lock_once_said_to_foul_turns() -> None:
    # the bolt was taken to be home at the release, while the bit's trailing face holds it back
    layout = Layout(said_to_foul_once())
    assert "key-fouls-bolt" not in {f.code for f in gathered.findings(layout)}
    assert turn_check(layout).fouls == ()
    rig = rig_of(layout)
    slider = pieces(outline(layout, 1e-3))
    for stroke, seat in (("unlocking", 9.5), ("locking", 0.0)):
        run = follow(rig, stroke, capture=1.0)  # type: ignore[arg-type]
        engine = turn_key(rig.bit, slider, throw=9.5, stroke=stroke, capture=1.0)
        assert run.blocked is engine.stopped is None
        assert run.rests == pytest.approx(seat)
        assert engine.rests == pytest.approx(seat, abs=0.02)


def test_sound_locks_turn_freely() -> None:
    for seed in seeds(3, 8):
        lock = plausible(seed, early=False)
        assert checked(lock).fouls == ()
        said = report(Layout(lock))["turn"]
        assert (said["overlap"], said["overlap_with"], said["overlap_at"]) == (0.0, None, None)


def test_least_gap_of_a_sound_lock_is_its_clearance() -> None:
    # with the pick-up at top dead centre the bit passes roof and relief at the clearance, and nothing
    # else is nearer in a lock whose guides, shackle and wall keep theirs
    nearest: Counter[str] = Counter()
    for seed in seeds(4, 8):
        # a scribed roof comes nearer: about its cusp the bit's trailing corner rises above both arcs
        lock = plausible(seed, early=False, roof="flat")
        check = checked(lock)
        assert check.least_gap == pytest.approx(lock.fit.key_clearance, abs=2e-3)
        nearest[check.least_gap_part] += 1
    assert nearest["bolt"] >= tries(3, 6)


def test_least_gap_to_what_stands_still() -> None:
    for seed in range(4):
        lock = plausible(seed, early=False, roof="flat")
        for away in (0.02, 0.05):
            # a rim so wide that the inner wall all but touches the key's circle
            spare = inner_wall(lock).exterior.distance(Point(0, 0)) - lock.key.radius - away
            check = checked(lock.with_value("plate.rim", lock.plate.rim + spare))
            assert check.least_gap == pytest.approx(away, abs=2e-3)
            assert check.least_gap_part == "inner wall"


@pytest.mark.parametrize("early", [False, True])
@pytest.mark.slow
def test_least_gap_against_a_finer_sweep(early: bool) -> None:
    for seed in range(4):
        lock = plausible(seed, early=early, roof="flat")
        if checked(lock).fouls:
            continue
        n, c = numbers(lock), lock.fit.key_clearance
        relief, throw = lock.key.radius + c, lock.shackle.engagement + lock.shackle.gap
        edge = metal(lock).boundary
        flank = box(n.offset - 1e-6, n.foot - 1e-6, n.offset + 1e-6, relief - 1e-6)
        # until the key lets go, neither the flank nor what runs up to its foot is a gap
        lobe = box(n.offset - 1e-6, -100, n.offset + 100, n.foot + 1e-6)
        least = math.inf
        turn = np.radians(np.arange(-180, 180, 0.2))
        shapes = bits(lock.key.radius, lock.key.bit_thickness, turn, law(lock, n, turn))
        held = turn < n.release
        for part, when in (
            (edge.difference(flank).difference(lobe), held),
            (edge.difference(flank), ~held),
        ):
            least = min(least, float(shapely.distance(part, shapes[when]).min()))
        still = [area.distance(Point(0, 0)) for area in assembly.standing(Layout(lock)).values()]
        least = min(least, min(still) - lock.key.radius)
        assert checked(lock).least_gap == pytest.approx(least, abs=5e-3), (seed, throw)


@pytest.mark.slow
def test_halving_the_step_moves_no_verdict() -> None:
    fouls: Counter[str] = Counter()
    locks = [*(plausible(k) for k in range(3)), *(stretched(k) for k in range(6))]
    locks += [lock for lock in map(early_foul, range(3)) if lock is not None]
    for lock in locks:
        if not tooth(Layout(lock)).drives:
            continue
        coarse, fine = checked(lock), checked(lock, STEP / 2)
        assert [f.part for f in coarse.fouls] == [f.part for f in fine.fouls]
        for one, other in zip(coarse.fouls, fine.fouls, strict=True):
            assert one.overlap == pytest.approx(other.overlap, rel=0.01, abs=1e-6)
            assert one.first == pytest.approx(other.first, abs=STEP)
            fouls[one.part] += 1
        if not coarse.fouls:
            assert coarse.least_gap == pytest.approx(fine.least_gap, abs=0.01)
            fouls["none"] += 1
    assert fouls["none"] >= 3
    assert fouls["bolt"] >= 2


def assert_foul(lock: Lock, foul: Foul, area: BaseGeometry, *, moves: bool) -> None:
    angles, over = overlaps(lock, area, foul.first, foul.stroke, moves=moves)
    onset = angles[int(np.argmax(over > 1e-6))]
    assert over[0] <= 1e-6
    # the tip's chords and the reliefs', up to 2e-3 mm inside the true arcs, first meet a little later
    assert foul.first == pytest.approx(onset, abs=STEP if moves else STEP / 8)
    _, over = overlaps(lock, area, foul.at, foul.stroke, moves=moves)
    # where the key lets go the bolt jumps home: a hair to either side is another place
    beside = foul.at + np.array([-2e-9, 0.0, 2e-9])
    there = overlap_at(lock, area, beside, foul.stroke, moves=moves).max()
    # the program's tip is eight chords, and its bolt is drawn so that no chord of it overlaps
    assert foul.overlap == pytest.approx(there, rel=0.02, abs=1e-3)
    assert foul.overlap > 0.97 * over.max() - 1e-3


@pytest.mark.slow
def test_where_an_early_pickup_begins_to_foul() -> None:
    tried = 0
    for seed in seeds(3, 7):
        lock = early_foul(seed)
        if lock is not None and [f.part for f in checked(lock).fouls] == ["bolt"]:
            assert_foul(lock, checked(lock).fouls[0], metal(lock), moves=True)
            tried += 1
    assert tried >= 3


@pytest.mark.slow
def test_where_a_guide_or_the_shackle_begins_to_foul() -> None:
    tried: Counter[str] = Counter()
    for seed in range(3):
        sound = plausible(seed, early=False, roof="flat")
        line, slide = sound.bolt_line.height, sound.fit.slide_clearance
        for name, side, leg in (
            ("rear", 1, sound.bolt.tail_height),
            ("front", -1, sound.bolt.nose_height),
        ):
            table = f"{name}_guide"
            lock = sound.with_value(f"{table}.from_centreline", 0.4 * sound.key.radius)
            lock = lock.with_value(f"{table}.floor", 6.0)
            guide = lock.rear_guide if name == "rear" else lock.front_guide
            low = line - leg - slide - guide.floor
            near, far = sorted(
                side * x for x in (guide.from_centreline, guide.from_centreline + guide.width)
            )
            area = box(near, low, far, line + slide)
            (foul,) = (f for f in checked(lock).fouls if f.part == f"{name} guide")
            assert_foul(lock, foul, area, moves=False)
            tried[name] += 1
    assert tried == {"rear": 3, "front": 3}


@pytest.mark.slow
def test_where_the_inner_wall_begins_to_foul() -> None:
    tried = 0
    for seed in range(4):
        sound = plausible(seed, early=False, roof="flat", outline="rectangle", unlocks="right")
        # the pivot so high that the bit, which comes in from below, meets the top wall
        lock = sound.with_value("pivot.below", sound.plate.rim + 0.8 * sound.key.radius)
        (foul,) = (f for f in checked(lock).fouls if f.part == "inner wall")
        outside = box(-500, -500, 500, 500).difference(inner_wall(lock))
        assert_foul(lock, foul, outside, moves=False)
        said = {f.code: f for f in gathered.findings(Layout(lock))}
        assert said["key-fouls-inner-wall"].step == "key radius"
        tried += 1
    assert tried == 4


@pytest.mark.slow
def test_bolt_outside_the_wall_at_either_seat() -> None:
    seen = Counter[str]()
    for seed in range(4):
        sound = plausible(seed, roof="flat", unlocks="right")
        # the tail longer and longer: first it is outside when drawn back, then when locked too
        for farther in (0.0, 8.0, 25.0):
            lock = sound.with_value(
                "rear_guide.from_centreline", sound.rear_guide.from_centreline + farther
            )
            throw = lock.shackle.engagement + lock.shackle.gap
            wall, body = inner_wall(lock), metal(lock)
            locked, unlocked = (moved(body, dx).difference(wall).area for dx in (0.0, throw))
            codes = {f.code: f.text for f in gathered.findings(Layout(lock))}
            if max(locked, unlocked) == 0.0:
                assert "bolt-outside-wall" not in codes
                seen["inside"] += 1
            elif max(locked, unlocked) > 2e-3:
                seat = "locked" if locked > 1e-6 else "unlocked"
                assert f"At the {seat} seat" in codes["bolt-outside-wall"]
                seen[seat] += 1
    assert min(seen["inside"], seen["locked"], seen["unlocked"]) >= 2
