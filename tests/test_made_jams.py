"""A made part that brings the bolt to jam: the verdict on it, against a sweep and linear programs.

The sweep tells where the bolt is and how fast it goes (`tests/config_space.py`), shapely where the two outlines touch.
There the bit slides along the bolt, so the push is square to the difference of their speeds and friction goes with it
(Coulomb). The greatest push that the guides hold then is a linear program (`tests/test_jamming.py`).
"""

import math
from collections.abc import Callable, Iterator

import numpy as np
import pytest
import shapely
import shapely.ops
from shapely import affinity

from core.checks.gathered import findings
from core.layout.layout import Layout
from core.lock.facts import with_measured
from core.lock.lock import Lock
from core.made.verdict_data import verdict_data
from core.made.verdicts import verdicts
from core.made.wording import verdict_words
from core.mechanism.law import STROKES
from core.parts.friction import friction_ranges
from core.turning.binding import binding
from core.turning.driven import driven_in
from core.turning.effort import drive
from core.whole.as_built import as_built
from tests.bit_sweeps import made, rig_of
from tests.config_space import Rig, follow
from tests.counts import seeds
from tests.designs import plausible, seeded
from tests.guide_metal import faces
from tests.guide_metal import rig_of as rig_in_slots
from tests.slots_bench import Line, Slots, middle
from tests.test_bit_corners import CORNERS
from tests.test_bit_off import OFF
from tests.test_jamming import greatest_push

TURN = 5e-4
"""Turn [rad] over which the bolt's speed is taken."""
LOOKS = 12
"""Places at which each stroke is looked at."""


def jams(lock: Lock, mu: float) -> bool:
    """Say whether friction `mu` on all surfaces holds the bolt against any push, at one of some places of its way."""
    pushes = poses(lock, rig_of(lock), lambda travel, way: bearings(lock, travel, way))
    return any(
        math.isinf(greatest_push(*pose, (1.0, lock.bolt_line.height), mu)) for pose in pushes
    )


Guides = list[tuple[float, float]]
Pose = tuple[tuple[float, float], tuple[float, float], tuple[float, float], Guides]
"""Where the bit pushes and which way, which way it slips, and where the guides bear, mirrored for the way back."""


def poses(lock: Lock, rig: Rig, guides: Callable[[float, int], Guides]) -> Iterator[Pose]:
    """Yield some places of the bolt's way through both strokes, as swept."""
    bit = shapely.Polygon(rig.bit[0]).boundary
    for stroke in STROKES:
        way = 1 if stroke == "unlocking" else -1
        seen = follow(rig, stroke, capture=lock.fit.detent_capture, step=math.radians(0.5))
        # where it is pushed, and neither stands nor is drawn home by the detent
        gone = way * np.gradient(seen.travel, way * seen.angles)
        driven = np.flatnonzero((gone > 0.5) & (gone < 2 * rig.reach))
        for k in np.unique(np.append(driven[::-1][:: max(len(driven) // LOOKS, 1)], driven[:3])):
            angle, travel = float(seen.angles[k]), float(seen.travel[k])
            ends = []
            for turned in (angle - TURN, angle, angle + TURN):
                all_ends = [g[0] if way > 0 else g[1] for g in rig.free(turned).gaps]
                ends.append(min(all_ends, key=lambda end: abs(end - travel)))
            speed = (ends[2] - ends[0]) / (2 * TURN)
            # where one edge hands over to another it has no one speed
            turns = abs(ends[2] + ends[0] - 2 * ends[1]) > 0.005 * TURN * rig.reach
            if turns or not 0.5 < speed < 2 * rig.reach:
                continue
            there = shapely.affinity.rotate(bit, -angle, origin=(0, 0), use_radians=True)
            slid = shapely.affinity.translate(rig.bolt.boundary, travel)
            at, _ = shapely.ops.nearest_points(there, slid)
            if there.distance(slid) > 1e-3:
                continue
            slip = way * np.array([at.y - speed, -at.x])
            slip /= np.linalg.norm(slip)
            push = np.array([-slip[1], slip[0]])
            push *= way * math.copysign(1.0, push[0])
            mirror = np.array([way, 1.0])
            first, second, third = (tuple(mirror * each) for each in ((at.x, at.y), push, slip))
            yield first, second, third, guides(travel, way)


def bearings(lock: Lock, travel: float, way: int) -> list[tuple[float, float]]:
    """Return where the guides bear on nose and tail [mm], the bolt slid by `travel`; mirrored for the way back."""
    front, rear, line = lock.front_guide, lock.rear_guide, lock.bolt_line.height
    tip = lock.shackle.diameter / 2 - abs(lock.shackle.across) - lock.shackle.engagement + travel
    middle = max(-(front.from_centreline + front.width / 2), min(tip, -front.from_centreline))
    return [
        (way * middle, line - lock.bolt.nose_height / 2),
        (way * (rear.from_centreline + rear.width / 2), line - lock.bolt.tail_height / 2),
    ]


def tilted_bearings(lock: Lock, slots: Slots, line: Line, travel: float, way: int) -> Guides:
    """Return where the guides bear on a bolt that lies on a `line`, seen square to it, mirrored for the way back."""
    up, slope = line
    bolt_line, angle = lock.bolt_line.height, math.atan(slope)
    found = []
    tip = lock.shackle.diameter / 2 - abs(lock.shackle.across) - lock.shackle.engagement
    for side, guide, leg in zip(
        (-1, 1), (lock.front_guide, lock.rear_guide), slots.leg_heights[::2], strict=True
    ):
        x = side * (guide.from_centreline + guide.width / 2)
        if side < 0:
            x = max(x, min(tip + travel, -guide.from_centreline))
        # half a leg below the top edge
        there = shapely.Point(x, bolt_line + up + slope * x - leg / 2)
        seen = affinity.rotate(there, -angle, origin=(0, 0), use_radians=True)
        found.append((way * seen.x, seen.y))
    return found


def raised(seed: int) -> Slots:
    """Return guides that stand too high or too low, tilted along one line, and a leg filed thinner, by chance."""
    rng = seeded(f"jam in slots {seed}")
    plan = made(plausible(seed, roof="flat", outline="rectangle", early=True))
    up, slope = rng.uniform(-0.25, 0.25), rng.uniform(-0.35, 0.35) / 25
    floors = tuple(round(up + slope * x, 3) for x, _ in faces(plan))
    return Slots(plan, floors, floors, (rng.choice((0.0, 0.1)), 0.0))


def jam_edge(slots: Slots) -> float:
    """Return the least friction at which the bolt jams as it lies, by halving on linear programs; 2 for none."""
    lock, line = slots.measured, middle(slots.places())
    rig = rig_in_slots(lock, *line)
    level = lock.bolt_line.height + line[0]
    found = list(
        poses(lock, rig, lambda travel, way: tilted_bearings(lock, slots, line, travel, way))
    )
    low, high = 0.0, 2.0
    while high - low > 1e-3:
        mu = (low + high) / 2
        jammed = any(math.isinf(greatest_push(*pose, (1.0, level), mu)) for pose in found)
        low, high = (low, mu) if jammed else (mu, high)
    return high


@pytest.mark.parametrize("seed", seeds(0, 12))
@pytest.mark.slow
def test_a_bolt_in_guides_that_are_off_jams_where_programs_say(seed: int) -> None:
    slots = raised(seed)
    layout = Layout(slots.measured)
    fouls = {"key-fouls-bolt", "bolt-stuck-in-front-guide", "bolt-stuck-in-rear-guide"}
    if slots.grazes() or fouls & {f.code for f in findings(layout)}:
        return
    found = binding(as_built(layout)).jam
    # the programs look at some places of the way, and may miss the worst by a little
    assert found is not None
    assert -2e-3 < jam_edge(slots) - found.value < 0.01


@pytest.mark.parametrize("seed", seeds(2, 12))
def test_the_guides_bear_where_the_bolt_lies_in_them(seed: int) -> None:
    """Their middles as drawn, seen square to the bolt as linear programs lay it, by shapely."""
    slots = raised(seed)
    built, lock, line = as_built(Layout(slots.measured)), slots.measured, middle(slots.places())
    for stroke in STROKES:
        way = 1 if stroke == "unlocking" else -1
        angles = driven_in(built, stroke, math.radians(5))
        at = drive(built, angles, stroke)
        for k, travel in enumerate(at.travel):
            guides = tilted_bearings(lock, slots, line, float(travel), way)
            bears = at.bearings
            found = [bears.front_x[k], bears.front_y, bears.rear_x[k], bears.rear_y]
            assert found == pytest.approx([each for guide in guides for each in guide], abs=2e-3)


def rounded(seed: int) -> tuple[Lock, Lock]:
    """Return a lock as planned, all made, and with the bit's corners rounded to half its thickness."""
    plan = made(plausible(seed, roof="flat", outline="rectangle"))
    return plan, with_measured(plan, "key", CORNERS, round(plan.key.bit_thickness / 2, 3))


def held_to_the_finding(layout: Layout) -> bool:
    """Hold the verdict on the key to the finding beside it; say whether there is one that the bolt jams."""
    stops = {f.code: f.text for f in findings(layout) if f.level == "stop"}
    found = {v.part: v for v in verdicts(layout)}
    key = found.pop("key")
    if "bolt-jams" not in stops:
        assert (key.word, key.fault) == ("use", None)
        return False
    # the same numbers, on the screen and in the report
    assert key.word in ("file", "remake")
    fault = verdict_data(key)["fault"]
    assert stops["bolt-jams"].startswith(f"{fault}. ")
    assert f"as it is, {fault[0].lower()}{fault[1:]}" in verdict_words(layout, key)
    assert {v.word for v in found.values()} == {"good"}
    return True


def test_a_bit_on_which_the_bolt_jams_is_not_left_as_it_is() -> None:
    assert held_to_the_finding(Layout(rounded(25)[1]))


@pytest.mark.parametrize("seed", [25, 26, 45, 0, 3])
@pytest.mark.slow
def test_a_rounded_bit_is_judged_by_whether_the_bolt_jams(seed: int) -> None:
    """Very shallow flanks in the first three, on which it does."""
    plan, lock = rounded(seed)
    layout = Layout(lock)
    mu = friction_ranges(layout)[lock.friction.condition].high
    assert not jams(plan, mu)
    assert held_to_the_finding(layout) is jams(lock, mu) is (seed in (25, 26, 45))


@pytest.mark.parametrize(
    ("seed", "path", "by"), [(2, CORNERS, 2.074), (2, OFF, 1.037), (17, OFF, 0.861), (18, CORNERS, 1.39)]
)  # fmt: skip
@pytest.mark.slow
def test_dry_a_bit_rounded_or_off_its_middle_is_judged_by_that_too(
    seed: int, path: str, by: float
) -> None:
    """Kept dry, early pick-ups slide as planned by a little; a bit that comes earlier, or rounded, does not."""
    shape = plausible(seed, roof="flat", outline="rectangle")
    plan = made(shape.with_value("friction.condition", "dry"))
    lock = with_measured(plan, "key", path, by)
    mu = friction_ranges(Layout(lock))["dry"].high
    assert not jams(plan, mu)
    assert jams(lock, mu)
    assert held_to_the_finding(Layout(lock))
    # and kept clean it slides, by both
    clean = lock.with_value("friction.condition", "clean")
    assert not jams(clean, friction_ranges(Layout(clean))["clean"].high)
    assert not held_to_the_finding(Layout(clean))
