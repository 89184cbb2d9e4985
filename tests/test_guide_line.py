"""Guides that stand too high, too low or tilted: how the bolt lies in them and what the key does with it.

The referee knows neither the line nor the law. Between the floors and roofs of the slots, as shapely draws them, the
bar of the bolt is laid in every height and slope of a fine grid; where it lies best a linear program says (scipy,
HiGHS); so laid, its outline and the key's bit are swept over key angle and travel (`tests/config_space.py`).
"""

import math
import re
from random import Random
from typing import Any

import numpy as np
import pytest
import shapely
from scipy.optimize import linprog
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from core.checks.gathered import findings
from core.errors import BadEntryError
from core.layout.drawing import Stroke
from core.layout.layout import Layout
from core.lock.facts import made_to, with_measured
from core.lock.lock import Lock
from core.made.filed_since import after_filing
from core.made.verdict_data import verdict_data
from core.made.verdicts import verdicts
from core.made.wording import verdict_words
from core.mechanism.law import STROKES
from core.parts.bolt_contour import lies_at
from core.parts.bolt_lies import lies
from core.parts.guide_places import front_guide, rear_guide
from core.parts.tooth import course, tooth_seen
from core.whole import assembly
from core.whole.as_built import as_built
from tests.bit_sweeps import made
from tests.config_space import Rig, follow, outline
from tests.counts import seeds
from tests.designs import plausible, seeded
from tests.made_cases import bit_of

ENDS = ("front_near", "front_outer", "rear_near", "rear_outer")
Ups = tuple[float, ...]


def fixed(lock: Lock, ups: Ups) -> Lock:
    """Return a lock in which the floors of the slots were measured so much too high [mm]."""
    for end, up in zip(ENDS, ups, strict=True):
        if up:
            lock = with_measured(lock, f"{end.partition('_')[0]}_guide", f"as_fixed.{end}", up)
    return lock


def some(rng: Random, lock: Lock) -> Ups:
    """Return how the guides stand: raised, lowered, or tilted both along one line."""
    most = rng.choice((0.3, 1.0)) * lock.fit.slide_clearance + rng.choice((0.0, 0.0, 0.3))
    up, slope = rng.uniform(-most, most), rng.uniform(-most, most) / 30
    own = [rng.choice((0.0, rng.uniform(-0.7, 0.7) * lock.fit.slide_clearance)) for _ in range(2)]
    return tuple(round(up + slope * x + own[0 if x < 0 else 1], 3) for x, _ in faces(lock))


def in_slots(what: str, seed: int) -> tuple[Lock, Ups, Lock]:
    """Return a lock of which all parts are made, how its guides stand, and the lock with them so, by chance."""
    rng = seeded(f"{what} {seed}")
    plan = made(plausible(seed, roof="flat", outline="rectangle"))
    ups = some(rng, plan)
    return plan, ups, fixed(plan, ups)


def faces(lock: Lock) -> list[tuple[float, str]]:
    """Return the x of the four faces, in the drive frame, and the leg that runs between each pair."""
    front, rear = lock.front_guide, lock.rear_guide
    return [
        (-front.from_centreline, "nose_height"), (-front.from_centreline - front.width, "nose_height"),
        (rear.from_centreline, "tail_height"), (rear.from_centreline + rear.width, "tail_height"),
    ]  # fmt: skip


def metal(lock: Lock, ups: Ups, wide: float = 3.0) -> BaseGeometry:
    """Return what stands above and below the slots of both guides, as areas, heights from the bolt line."""
    found, slide = [], lock.fit.slide_clearance
    ends = [(x, getattr(lock.bolt, leg), up) for (x, leg), up in zip(faces(lock), ups, strict=True)]
    for (x0, leg, up0), (x1, _, up1) in (ends[:2], ends[2:]):
        for y, out in ((slide, wide), (-leg - slide, -wide)):
            corners = [(x0, y + up0), (x1, y + up1), (x1, y + up1 + out), (x0, y + up0 + out)]
            found.append(shapely.Polygon(corners))
    return shapely.union_all(found)


def bar(lock: Lock) -> BaseGeometry:
    """Return the two legs of the bolt in their guides, the top edge level with 0."""
    ends = faces(lock)
    legs = [
        shapely.box(min(a, b) - 1, -getattr(lock.bolt, leg), max(a, b) + 1, 0.0)
        for (a, leg), (b, _) in (ends[:2], ends[2:])
    ]
    return shapely.union_all(legs)


def laid(area: BaseGeometry, up: float, slope: float, level: float = 0.0) -> BaseGeometry:
    """Return an area turned about the place of its top edge on the centreline, and raised [mm]."""
    turned = affinity.rotate(area, math.atan(slope), origin=(0.0, level), use_radians=True)
    return affinity.translate(turned, 0.0, up)


def room(lock: Lock, ups: Ups) -> float:
    """Return the most room [mm] that any height and slope of a grid, made finer twice, leaves the bar; < 0 for none."""
    around, legs, slide = metal(lock, ups), bar(lock), lock.fit.slide_clearance
    mid, half = (
        np.array([np.mean(ups), 0.0]),
        np.array([np.ptp(ups) + slide, (np.ptp(ups) + slide) / 15]),
    )
    best = -math.inf
    for _ in range(4):
        grid = [mid + half * (i, j) for i in np.linspace(-1, 1, 13) for j in np.linspace(-1, 1, 13)]
        worth = []
        for up, slope in grid:
            here = laid(legs, float(up), float(slope))
            # in the way by its area over a leg's length, or clear by its distance
            worth.append(here.distance(around) or -here.intersection(around).area)
        best, mid, half = max(worth), grid[int(np.argmax(worth))], half / 3
    return best


def best_line(lock: Lock, ups: Ups) -> tuple[float, float]:
    """Return height and slope of the line that misses none of the four ends by more than it has to."""
    up, slope, _ = line_through([(x, up) for (x, _), up in zip(faces(lock), ups, strict=True)])
    return up, slope


def line_through(places: list[tuple[float, float]]) -> tuple[float, float, float]:
    """Return height and slope of the line that misses the farthest of some places by least, and by how much [mm]."""
    rows, most = [], []
    for x, up in places:
        rows += [[1.0, x, -1.0], [-1.0, -x, -1.0]]
        most += [up, -up]
    found = linprog([0, 0, 1], A_ub=rows, b_ub=most, bounds=[(None, None)] * 3)
    up, slope, least = map(float, found.x)
    return up, slope, least


def rig_of(lock: Lock, up: float, slope: float) -> Rig:
    """Return bolt and bit, the bolt laid so in its guides, and all turned until it slides along x."""
    own, line = made_to(lock, "bolt"), lock.bolt_line.height
    there = laid(outline(Layout(own)), up, slope, line)
    level = affinity.rotate(there, -math.atan(slope), origin=(0.0, 0.0), use_radians=True)
    throw = own.shackle.engagement + own.shackle.gap
    return Rig(level, [bit_of(made_to(lock, "key"))], throw)


@pytest.mark.parametrize("seed", seeds(1, 16))
@pytest.mark.first(1)
def test_it_goes_in_where_the_bar_can_be_laid(seed: int) -> None:
    rng = seeded(f"slots {seed}")
    lock = made(plausible(seed, roof="flat", outline="rectangle"))
    ups = some(rng, lock)
    own = rng.uniform(-1.5, 1.5) * lock.fit.slide_clearance
    ups = (ups[0], ups[1] + round(own, 3), *ups[2:])
    found, left = lies(as_built(Layout(fixed(lock, ups)))), room(lock, ups)
    assert found.left == pytest.approx(left, abs=4e-3) if left > 0 else found.left < 4e-3


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(12))
def test_the_bolt_goes_where_a_sweep_of_it_as_it_lies_says(seed: int) -> None:
    plan, ups, lock = in_slots("laid", seed)
    built = as_built(Layout(lock))
    up, slope = best_line(plan, ups)
    rig, here = rig_of(plan, up, slope), lies(built).line
    assert (here.height, here.slope) == pytest.approx((up, slope), abs=1e-6)
    for stroke in STROKES:
        seen = follow(rig, stroke, capture=lock.fit.detent_capture)
        if seen.blocked is not None:
            assert not course(built).comes_home  # type: ignore[attr-defined]
            break
        mine = course(built).travel(seen.angles, stroke)
        assert np.quantile(np.abs(mine - seen.travel), 0.97) < 2e-3
        assert mine[-1] == pytest.approx(seen.rests, abs=2e-3)


def goes_home(lock: Lock, up: float, slope: float) -> bool:
    """Say whether a sweep of bolt and bit, the bolt so laid, brings it home both ways and not past its seats."""
    rig = rig_of(lock, up, slope)
    for stroke in STROKES:
        seen = follow(rig, stroke, capture=lock.fit.detent_capture)
        seat = rig.throw if stroke == "unlocking" else 0.0
        past = seen.travel.min() < -0.05 or seen.travel.max() > rig.throw + 0.05
        if seen.blocked is not None or abs(seen.rests - seat) > 1e-3 or past:
            return False
    return True


def referee(lock: Lock, ups: Ups) -> bool:
    """Say whether the bolt goes in, the nose into the shackle, and the key brings it home both ways."""
    face = abs(lock.shackle.across) - lock.shackle.diameter / 2
    tip = face + lock.shackle.engagement
    slots = [(x, up) for (x, _), up in zip(faces(lock), ups, strict=True)]
    *_, least = line_through([*slots, (-face, 0.0), (-tip, 0.0)])
    if least > lock.fit.slide_clearance - 0.01:
        return False
    return goes_home(lock, *best_line(lock, ups))


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(14))
def test_the_verdict_is_whether_it_works(seed: int) -> None:
    plan, ups, lock = in_slots("verdict of slots", seed)
    layout, works = Layout(lock), referee(plan, ups)
    found = {v.part: v for v in verdicts(layout)}
    before, after = (
        {f.code for f in findings(one) if f.level == "stop"} for one in (Layout(plan), layout)
    )
    assert (after <= before) is works, (ups, after)
    for part, own in (("front_guide", ups[:2]), ("rear_guide", ups[2:])):
        mine, told = found[part], verdict_words(layout, found[part])
        if max(map(abs, own)) <= lock.fit.made_tolerance:
            assert mine.word == "good"
        elif works:
            assert mine.word == "use"
            assert "the bolt lies" in told or "of play is left" in told
        elif mine.word != "use":  # beside the other as planned it may work
            assert mine.word in ("move", "file")
            assert told.startswith("fix it ") or ", or fix it " in told
    assert all(v.word == "good" for p, v in found.items() if not p.endswith("guide"))
    assert (
        works
        or {"move", "file"} & {v.word for v in found.values()}
        or max(map(abs, ups)) <= lock.fit.made_tolerance
    )


def filed_as_told(ups: Ups, told: dict[str, float]) -> tuple[Ups, Ups]:
    """Return floors and roofs [mm] of slots off which so much was filed, told by end."""
    return tuple(up - told.get(end, 0.0) for end, up in zip(ENDS, ups, strict=True)), ups


def middle_line(
    lock: Lock, floors: Ups, roofs: Ups, *, in_catch: bool = False
) -> tuple[float, float, float]:
    """Return height and slope of the line with most room between floors and roofs, and that room [mm].

    With `in_catch` the nose has to go into the shackle as well.
    """
    slide, face = lock.fit.slide_clearance, abs(lock.shackle.across) - lock.shackle.diameter / 2
    places = [(x, *ends) for (x, _), *ends in zip(faces(lock), floors, roofs, strict=True)]
    if in_catch:
        places += [(-face, 0.0, 0.0), (-face - lock.shackle.engagement, 0.0, 0.0)]
    rows, most = [], []
    for x, low, high in places:
        rows += [[1.0, x, 1.0], [-1.0, -x, 1.0]]
        most += [high + slide, slide - low]
    found = linprog([0, 0, -1], A_ub=rows, b_ub=most, bounds=[(None, None)] * 3)
    up, slope, left = map(float, found.x)
    return up, slope, left


def fits_at(lock: Lock, up: float, slope: float, floors: Ups, roofs: Ups) -> bool:
    """Say whether the bar so laid is clear of what the slots have left above and below it, by shapely."""
    below, above = (metal(lock, ends) for ends in (floors, roofs))
    legs, line = (
        bar(lock),
        shapely.box(-500, -500, 500, -min(lock.bolt.nose_height, lock.bolt.tail_height) / 2),
    )
    around = shapely.union_all([below.intersection(line), above.difference(line)])
    return bool(laid(legs, up, slope).intersection(around).area < 1e-9)


def too_high(seed: int) -> tuple[Lock, Ups, Lock]:
    """Return a lock with all parts made, and one or both guides up to 0.5 too high, more at one end, by chance."""
    rng = seeded(f"too high {seed}")
    plan = made(plausible(seed, roof="flat", outline="rectangle"))
    own = [rng.choice((0.0, rng.uniform(0.1, 0.45))) for _ in range(2)]
    ups = tuple(
        round(own[n // 2] + (rng.uniform(-0.15, 0.05) if own[n // 2] else 0.0), 2) for n in range(4)
    )
    return plan, ups, fixed(plan, ups)


def filed_works(seed: int) -> bool:
    """File what a verdict tells, in the slots as they are drawn, and ask the sweep; say whether any was to be filed."""
    plan, ups, lock = too_high(seed)
    layout = Layout(lock)
    found = {v.part: v for v in verdicts(layout) if v.word == "file"}
    if not found:
        return False
    off, measured = {}, lock
    for part, mine in found.items():
        told = verdict_words(layout, mine)
        assert told.startswith("take ")
        assert "off the floor of its slot" in told
        assert ", or fix it " in told
        for patch in mine.slot:
            end = f"{part.removesuffix('_guide')}_{patch.where.split()[-2]}"
            off[end] = patch.depth
            left = ups[ENDS.index(end)] - patch.depth
            measured = with_measured(measured, part, f"as_fixed.{end}", round(left, 9))
        assert getattr(plan, part).floor - max(p.depth for p in mine.slot) >= plan.fit.metal_min
    floors, roofs = filed_as_told(ups, off)
    assert not referee(plan, ups)
    assert middle_line(plan, floors, roofs, in_catch=True)[2] >= 0.01 - 1e-9
    # as the spring presses it down, and lifted by half of what was filed
    half = tuple((low + high) / 2 for low, high in zip(floors, roofs, strict=True))
    for up, slope in (best_line(plan, floors), best_line(plan, half)):
        assert fits_at(plan, up, slope, floors, roofs), (seed, ups, off)
        assert goes_home(plan, up, slope), (seed, ups, off)
    # measured anew it is no longer to be filed
    assert {v.word for v in verdicts(Layout(measured))} <= {"good", "use"}
    return True


@pytest.mark.slow
def test_floors_of_many_locks_filed_as_told_work() -> None:
    assert sum(filed_works(seed) for seed in range(60)) > 12


def of_front(plan: Lock, ups: Ups) -> tuple[str, str, dict[str, Any]]:
    """Return word, text and data of the verdict on the front guide."""
    layout = Layout(fixed(plan, ups))
    mine = next(v for v in verdicts(layout) if v.part == "front_guide")
    return mine.word, verdict_words(layout, mine), verdict_data(mine)


@pytest.mark.parametrize("units", ["mm", "in"])
def test_a_floor_too_high_is_to_be_filed(units: str) -> None:
    plan = made(Lock().with_value("shackle.drop", 9.5).with_value("units", units))
    word, told, data = of_front(plan, (0.25, 0.15, 0.0, 0.0))
    show = Layout(plan).show
    assert word == "file"
    start = f"take {show(0.25)} off the floor of its slot at its near face and {show(0.15)} at its outer face"
    assert told.startswith(f"{start}, or fix it {show(0.25)} lower at its near face")
    assert told.endswith(
        f"filed, that is gone, and the leg can lift by {show(0.25)} more than planned"
    )
    assert (" mm" in told) == (units == "mm")
    assert data["file_depth"] == 0.25
    assert data["file_area"] == pytest.approx(0.2 * plan.front_guide.width)
    assert [patch["depth"] for patch in data["file"]] == [0.25, 0.15]


def test_no_file_is_told_where_it_gives_nothing() -> None:
    plan = made(Lock().with_value("shackle.drop", 9.5))
    # too low no file puts it back, and 0.8 of play is too much
    for up in (-0.4, 0.8):
        assert of_front(plan, (up, up, 0.0, 0.0))[0] == "move"
    # nor may its floor come out thinner than is filed
    thin = made(plan.with_value("front_guide.floor", plan.fit.metal_min + 0.2))
    assert of_front(thin, (0.25, 0.25, 0.0, 0.0))[0] == "move"


def test_both_raised_alike_raise_the_bolt_and_one_of_them_tilts_it() -> None:
    plan = made(Lock())
    level, front = (
        as_built(Layout(fixed(plan, ups))) for ups in ((0.2,) * 4, (0.2, 0.2, 0.0, 0.0))
    )
    # by hand, from the design's sensitivity: 0.2 x 1.594 less is driven, to first order
    assert tooth_seen(level, "unlocking").driven_travel == pytest.approx(
        9.128 - 0.2 * 1.594, abs=0.02
    )
    assert (lies(level).left, lies(level).tilt) == pytest.approx((0.1, 0.0))
    # the outer faces stand 26 and 26 off the centreline, the near ones 18 and 16
    up, slope = best_line(plan, (0.2, 0.2, 0.0, 0.0))
    far = [tooth_seen(front, one).driven_travel for one in STROKES]
    assert far[0] > far[1]  # the nose is up: the flank that unlocks stands back, the other ahead
    assert sum(far) / 2 == pytest.approx(9.128 - up * 1.594, abs=0.05)
    assert (lies(front).up, lies(front).tilt) == pytest.approx((up, math.atan(slope)))


@pytest.mark.parametrize(
    "ups", [(0.5, 0.5, 0.5, 0.5), (0.3, 0.35, -0.3, -0.35), (-0.3, -0.36, 0.3, 0.36)]
)
def test_a_nose_that_the_guides_hold_off_the_catch_is_told_as_far_off_as_its_tip_is(
    ups: Ups,
) -> None:
    new = fixed(made(Lock()), ups)
    (text,) = [f.text for f in findings(as_built(Layout(new))) if f.code == "nose-off-catch"]
    up, slope = best_line(new, ups)
    tip = new.shackle.across + new.shackle.diameter / 2 - new.shackle.engagement
    off = up + slope * tip
    said = re.search(r"hold the nose ([\d.]+) mm too (high|low) at its tip", text)
    assert said
    assert float(said[1]) == pytest.approx(abs(off), abs=0.051)
    assert said[2] == ("high" if off > 0 else "low")


@pytest.mark.parametrize("seed", seeds(1, 8))
@pytest.mark.first(1)
def test_it_is_drawn_where_it_lies(seed: int) -> None:
    plan, ups, lock = in_slots("drawn in slots", seed)
    built = as_built(Layout(lock))
    line, (up, slope) = plan.bolt_line.height, best_line(plan, ups)
    wanted = laid(outline(Layout(made_to(plan, "bolt"))), up, slope, line)
    drawn = shapely.Polygon(lies_at(built).points(5e-5))
    assert drawn.symmetric_difference(wanted).area < 2e-3
    # and the guides: what they have above and below their slots is where the referee has it
    around = affinity.translate(metal(plan, ups, 0.5), 0.0, line)
    for guide in (front_guide(built), rear_guide(built)):
        assert guide.area.buffer(-1e-6).intersection(around).area == pytest.approx(
            guide.values.width * 0.5, abs=1e-3
        )


def test_beside_a_guide_that_stands_too_high_the_one_that_was_planned_is_drawn_whole() -> None:
    plan = made(Lock())
    new = fixed(plan, (0.3, 0.2, 0.0, 0.0))
    line, slide, front = plan.bolt_line.height, plan.fit.slide_clearance, plan.front_guide
    near, leg = front.from_centreline, plan.bolt.nose_height
    marks = [
        mark
        for mark in assembly.marks(as_built(Layout(new)))
        if isinstance(mark, Stroke) and mark.part.endswith("guide") and mark.ghost
    ]
    (ghost,) = marks
    assert ghost.part == "front guide"
    # drawn all round, and by shapely the box that was planned
    ends = [(segment.start, segment.end) for segment in ghost.path.segments]
    assert [end for _, end in ends] == [start for start, _ in [*ends[1:], ends[0]]]
    wanted = shapely.box(-near - front.width, line - leg - slide - front.floor, -near, line + slide)
    drawn = shapely.Polygon(ghost.path.points(1e-5))
    assert drawn.symmetric_difference(wanted).area < 1e-6


def test_a_floor_is_no_edge_for_a_file() -> None:
    lock = fixed(made(Lock()), (0.2, 0.1, 0.0, 0.0))
    with pytest.raises(BadEntryError):
        after_filing(lock, "front_guide", "as_fixed.front_near", 0.1)
