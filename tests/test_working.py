"""Verdicts held against a referee that knows no law: no part that works is told otherwise, and none that does not.

The whole table: `python -m tests.made_cases`.
"""

from dataclasses import replace

import numpy as np
import pytest
import shapely

from core.change.consequences import as_fact
from core.checks.gathered import findings
from core.layout.layout import Layout
from core.lock.facts import made_to, with_measured
from core.lock.lock import Lock
from core.made.marking import mark_made, unmark
from core.made.verdicts import as_meant, verdicts
from core.made.wording import verdict_words
from core.parts.guide_places import body_reach, front_guide, rear_guide, tail_room
from core.whole import assembly
from tests.config_space import outline
from tests.counts import seeds
from tests.designs import numbers, plausible
from tests.locks import changed
from tests.made_cases import CASES, case, referee, table
from tests.plates import inner_wall


@pytest.mark.parametrize("seed", [14, 16, 18, 28, 37, 38, 40, 42, 47, 52, 53, 58, 59, 64])
@pytest.mark.first(3)
def test_a_verdict_is_what_the_parts_do(seed: int) -> None:
    one = case(seed)
    assert one.right, (one.path, one.by, one.words, one.fault)


@pytest.mark.slow
def test_no_verdict_is_false_in_all_cases() -> None:
    cases = [case(seed) for seed in range(CASES)]
    assert all(one.right for one in cases), table(cases)
    assert sum(one.fault == "" for one in cases) > 30
    assert sum(one.fault != "" for one in cases) > 10


@pytest.mark.parametrize(
    ("part", "path", "by"),
    [("bolt", "bolt.depth", 0.3), ("key", "key.radius", -0.3), ("front_guide", "front_guide.width", -0.4)],
)  # fmt: skip
@pytest.mark.parametrize("asked", [{"fit.bridge_min": 9.0}, {"rear_guide.floor": 0.2}])
def test_what_is_wrong_with_the_plan_itself_is_no_parts_fault(
    asked: dict[str, float], part: str, path: str, by: float
) -> None:
    """A part that works in a sound lock works in one that asks for too much elsewhere: no file mends a plan."""
    for values in ({}, asked):
        lock = changed(Lock(), values)
        assert bool(values) is any(f.level == "stop" for f in findings(Layout(lock)))
        lock = mark_made(lock, part)
        layout = Layout(with_measured(lock, part, path, float(lock.value(path)) + by))
        (mine,) = verdicts(layout)
        assert (mine.word, mine.fault) == ("use", None)


def test_the_words_say_what_it_costs() -> None:
    lock = Lock()
    for part in assembly.workpieces():
        lock = mark_made(lock, part)
    layout = Layout(lock.with_value("key.radius", 19.6))
    said = {v.part: verdict_words(layout, v) for v in verdicts(layout)}
    assert said["bolt"].startswith(
        "works as it is; with 0.4 mm less than wanted at the roof of the gap, 0.4 mm at the relief"
    )
    # made for each other: a key of 20 in a bolt for 20, whatever is wished now
    assert "more than wanted" in said["key"]


@pytest.mark.parametrize("seed", [16, 64])
@pytest.mark.slow
def test_what_is_filed_as_told_works_by_the_referee(seed: int) -> None:
    one = case(seed)
    layout = Layout(one.lock)
    told = {v.part: verdict_words(layout, v) for v in verdicts(layout) if v.word == "file"}
    assert told
    assert one.fault
    filed = as_meant(layout, told).plan
    for part, said in told.items():
        assert said.startswith("take off ")
        assert "; as it is, " in said
        assert said.split("; ")[-1].startswith("filed, ")
        filed = mark_made(unmark(filed, part), part)
    assert referee(filed) == ""


def words(lock: Lock) -> dict[str, str]:
    layout = Layout(lock)
    return {v.part: verdict_words(layout, v) for v in verdicts(layout)}


def test_filing_says_in_numbers_what_it_gives() -> None:
    lock = Lock()
    for part in assembly.workpieces():
        lock = mark_made(lock, part)
    longer = with_measured(lock, "key", "key.radius", 21.2)
    assert words(longer)["bolt"].endswith("filed, the detent draws 0.39 mm")


def test_the_cost_is_of_parts_that_stay_together() -> None:
    lock = Lock()
    for part in assembly.workpieces():
        lock = mark_made(lock, part)
    # a key and a bolt for 20 mm give what they give, whatever is wished now: 0.37 mm by the design's values
    for radius in (18.5, 19.6, 20.6):
        said = words(lock.with_value("key.radius", radius))
        assert said["bolt"].startswith("works as it is")
        assert "the detent draws" not in said["key"] + said["bolt"]


@pytest.mark.parametrize("end", ["near", "outer"])
def test_a_slot_too_shallow_at_either_face_lets_no_leg_in(end: str) -> None:
    """By hand: a leg with 0.1 above and 0.1 below has room for 0.18 less at the worst face, and not for 0.2."""
    lock = Lock()
    for part in assembly.workpieces():
        lock = mark_made(lock, part)
    assert lock.fit.slide_clearance == 0.1
    for guide, leg in (("front_guide", "nose"), ("rear_guide", "tail")):
        path = f"as_fixed.{guide.removesuffix('_guide')}_{end}_roof"
        for less, goes in ((0.18, True), (0.2, False), (0.3, False)):
            told = words(with_measured(lock, guide, path, less))[guide]
            assert (f"the {leg}, " not in told) is goes
            assert ("does not go into the slot" not in told) is goes


def test_below_the_nose_half_the_bolts_thickness_of_the_shackle_is_enough_and_less_is_not() -> None:
    lock = Lock()
    for part in assembly.workpieces():
        lock = mark_made(lock, part)
    # by hand: nose of 6, 0.1 to slide, and half of a bolt of 3, which is common practice, no source
    for drop, thin in ((7.6, ""), (7.59, "1.49 mm"), (7.5, "1.4 mm")):
        told = words(with_measured(lock, "shackle", "shackle.drop", drop))["shackle"]
        assert ("thick only" in told) is bool(thin)
        assert f"below the nose the shackle's end is {thin} thick only" in told or not thin


def struck(lock: Lock) -> str:
    """Return what the bolt as it is strikes at its seats, by shapely alone: a guide, or the wall behind its tail."""
    own = Layout(replace(made_to(lock, "bolt"), made=()))
    area, throw = outline(own), own.lock.shackle.engagement + own.lock.shackle.gap
    # the wall is seen from inside the back plate, the bolt as it unlocks to the right
    way = 1.0 if lock.unlocks == "right" else -1.0
    away = shapely.transform(area, lambda q: (q + np.array([throw, 0.0])) * np.array([way, 1.0]))
    if away.difference(inner_wall(lock, 90)).area > 1e-6:
        return "inner wall"
    return referee(lock)


@pytest.mark.slow
@pytest.mark.parametrize("seed", seeds(2, 20))
def test_what_comes_near_and_touches_nothing_is_used_as_it_is(seed: int) -> None:
    """A lobe, or a tail, filed to within the slide clearance of a guide or the wall, and one that strikes it."""
    lock = plausible(seed, roof="flat", outline="rectangle")
    for part in assembly.workpieces():
        lock = mark_made(lock, part)
    at = Layout(lock)
    rear, front, slide = rear_guide(at), front_guide(at), lock.fit.slide_clearance
    ways = {
        "as_cut.unlocking_lobe": rear.near - body_reach(at, rear),
        "as_cut.locking_lobe": front.near - body_reach(at, front),
        "as_cut.tail": tail_room(at) - rear.near,
    }
    for path, room in ways.items():
        for beyond, touches in ((0.6 * slide, False), (slide + 0.15, True)):
            by = round(room + beyond, 4)
            if by < 2 * lock.fit.made_tolerance or by > 9:
                continue
            layout = Layout(with_measured(lock, "bolt", path, by))
            word = {v.part: v.word for v in verdicts(layout)}["bolt"]
            assert bool(struck(layout.plan)) is touches, (path, by)
            assert word == ("file" if touches else "use"), (path, by)
            stops = [f.code for f in findings(layout) if f.level == "stop"]
            assert bool(stops) is touches, (path, by, stops)
    # a guide that is fixed too near, but not at the body, stops nothing either
    nearer = round(front.near - (front.near - body_reach(at, front)) - 0.6 * slide, 4)
    fixed = as_fact(lock, "front_guide.from_centreline", nearer)
    assert fixed is not None
    assert struck(fixed) == ""
    assert not [f for f in findings(Layout(fixed)) if f.level == "stop"]


@pytest.mark.parametrize("wanted", [6.0, 6.3])
def test_a_hole_is_too_wide_for_the_shank_where_the_detent_no_longer_draws_what_that_leaves(
    wanted: float,
) -> None:
    """By hand: each side may have as much more than its half of what was wanted as the detent draws beyond its due."""
    asked = Lock()
    due = asked.shackle.engagement + asked.shackle.gap - numbers(asked).driven
    most = wanted + 2 * (asked.fit.detent_capture - due)
    for hole, more in ((most - 0.02, ""), (most + 0.02, "0.64 mm"), (most + 0.72, "0.99 mm")):
        lock = mark_made(mark_made(asked.with_value("pivot.hole", hole), "key"), "back_plate")
        said = words(lock.with_value("pivot.hole", wanted))["back_plate"]
        assert ("more room on each side" in said) is bool(more), hole
        assert f"the shank has {more} more room on each side than it needs" in said or not more
        draws = due + (hole - wanted) / 2
        assert said.endswith(f"the detent would have to draw {draws:.2f} mm") or not more
