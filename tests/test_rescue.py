"""What a change does to made parts and which dimension saves them, with the parts made by shapely alone."""

import random
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from core.change.consequences import as_fact, consequences
from core.change.offers_text import offer_words
from core.change.rescue import Offer, dimensions, instead, stop_codes
from core.checks import gathered
from core.files.project_file import load
from core.layout.frames import to_plate
from core.layout.layout import Layout
from core.lock.facts import with_measured
from core.lock.lock import Lock, paths
from core.made.fitting import KEPT
from core.made.solving import least_squares
from core.made.standing import standing
from core.shipped import sample_locks
from core.whole import assembly
from tests import benchwork
from tests.counts import seeds, tries
from tests.designs import plausible
from tests.rescued import NEAR, PLATES_AND_BOLT, demo, good_by_shapely, made, stops, words


@pytest.mark.slow
def test_the_demo_with_its_pivot_lower() -> None:
    """Plates and bolt are made, and the pivot comes out 0.8 mm low, at 54.8 in the place of 54.0."""
    change = consequences(made(demo(), *PLATES_AND_BOLT), "pivot.below", 54.8)
    # wished so, the holes stand elsewhere; but the parts work together as they are
    assert words(change) == {"back_plate": "use", "front_plate": "use", "bolt": "good"}
    # come out so, the line that is scribed stays 30 below the mark: 24.8 above the hole
    fact = change.fact
    assert fact is not None
    ((path, was, now),) = fact.held
    assert (path, was) == ("bolt_line.height", 24.0)
    assert now == pytest.approx(24.8)
    assert {v.part: v.word for v in fact.standing.verdicts} == {
        "back_plate": "use", "front_plate": "use", "bolt": "remake",
    }  # fmt: skip
    bolt = fact.standing.verdicts[-1]
    assert bolt.fitting.missing[0].where == "roof of the gap"
    assert bolt.fitting.missing[0].depth == pytest.approx(0.8, abs=NEAR)
    assert bolt.fault is not None
    assert "1.77 mm before the seat" in bolt.fault
    besides = {offer.path: offer.new for offer in change.fact_offers}
    assert besides["bolt_line.height"] == pytest.approx(24.0)
    for offer in change.fact_offers:
        assert offer.saved == ("bolt",)
        assert all(v.word in KEPT for v in offer.standing.verdicts)


@pytest.mark.slow
def test_the_ways_out_of_the_demo_in_words() -> None:
    change = consequences(made(demo(), *PLATES_AND_BOLT), "pivot.below", 54.8)
    text = " ".join(offer_words(change, o) for o in (*change.wish_offers, *change.fact_offers))
    assert "Set the bolt line to 24.0 mm as well" in text
    assert "bolt stays good" in text


def test_a_pivot_so_little_off_that_all_works_needs_no_way_out() -> None:
    change = consequences(made(demo(), *PLATES_AND_BOLT), "pivot.below", 54.4)
    assert change.fact is not None
    assert {v.part: v.word for v in change.fact.standing.verdicts} == dict.fromkeys(
        PLATES_AND_BOLT, "use"
    )
    (offer,) = change.fact_offers
    assert offer.nothing
    assert offer.lock == change.fact.lock
    assert offer_words(change, offer).startswith(
        "Do nothing: back plate, front plate and bolt work as they are"
    )


def check(offer: Offer, before: set[str], names: dict[str, str]) -> None:
    """Check an offer as it is meant to be taken: its lock, and the parts that it says it saves."""
    assert stops(offer.lock) <= before
    checked = 0
    for verdict in offer.standing.verdicts:
        if verdict.word == "good" and verdict.part in names:
            checked += 1
            assert good_by_shapely(offer.lock, verdict.part), (verdict.part, offer.path, offer.new)
    assert checked


@pytest.mark.parametrize("seed", seeds(4, 14))
@pytest.mark.first(1)
def test_a_rescue_that_is_taken_leaves_the_parts_good(seed: int) -> None:
    rng = random.Random(seed)  # noqa: S311 - nothing secret is made here
    lock = plausible(seed, roof="flat", outline=rng.choice(("round", "rectangle")))
    names = {key: w.name for key, w in assembly.workpieces().items() if key in benchwork.SHAPES}
    lock = made(lock, "back_plate", "front_plate", "bolt", "key")
    path = rng.choice(("pivot.below", "key.radius", "bolt_line.height", "fit.key_clearance"))
    value = lock.value(path) + rng.choice((-1, 1)) * rng.uniform(0.2, 0.45)
    if value < 0:
        value = lock.value(path) + 0.3
    change = consequences(lock, path, value)
    before = stops(lock)
    assert change.stops == before
    for offer in (*change.wish_offers, *change.fact_offers):
        if offer.nothing:
            continue
        check(offer, before, names)
        base = change.fact if offer in change.fact_offers else change.wish
        assert base is not None
        assert offer.standing.counts < base.standing.counts
        assert offer.lock.value(offer.path) == offer.new


@pytest.mark.slow
def test_rescues_are_found_often_enough() -> None:
    """A pivot that came out low is met by the bolt line, whatever the lock."""
    found = asked = 0
    for seed in seeds(4, 8):
        lock = made(plausible(seed, roof="flat", outline="rectangle"), *PLATES_AND_BOLT)
        change = consequences(lock, "pivot.below", lock.pivot.below + 0.9)
        assert change.fact is not None
        if change.fact.standing.counts == (0, 0, 0):
            continue
        asked += 1
        found += any(offer.path == "bolt_line.height" for offer in change.fact_offers)
    assert asked >= tries(1, 3)
    assert found >= asked - 1


@pytest.mark.slow
def test_a_scribed_roof_is_searched_by_a_sketch_and_judged_as_it_is() -> None:
    lock = next(load(path).lock for path in sample_locks() if path.stem == "orchard_gate")
    assert lock.tooth.roof == "scribed"
    change = consequences(made(lock, *PLATES_AND_BOLT), "pivot.below", lock.pivot.below + 0.9)
    for offer in change.fact_offers:
        assert offer.lock.tooth.roof == "scribed"
        assert offer.standing.counts == (0, 0, 0)
    assert {offer.path for offer in change.fact_offers} >= {"bolt_line.height", "key.radius"}


def test_the_line_is_held_where_it_was_scribed() -> None:
    """Where the old bolt line crosses the new centreline, by the plate frame's own coordinates."""
    for seed in range(6):
        lock = made(plausible(seed, roof="flat"), "back_plate")
        path = "pivot.across" if seed % 2 else "pivot.below"
        new = as_fact(lock, path, lock.value(path) + 0.5)
        assert new is not None
        before, after = to_plate(Layout(lock)), to_plate(Layout(new))
        left, right = (before.point((x, lock.bolt_line.height)) for x in (-30.0, 30.0))
        at = after.point((0.0, new.bolt_line.height))
        along = (right[0] - left[0], right[1] - left[1])
        off = (at[0] - left[0]) * along[1] - (at[1] - left[1]) * along[0]
        assert off / 60 == pytest.approx(0, abs=1e-9)


def test_a_wish_for_what_was_measured_counts() -> None:
    lock = with_measured(made(Lock(), "back_plate"), "back_plate", "pivot.below", 54.4)
    assert Layout(lock).lock.pivot.below == 54.4
    change = consequences(lock, "pivot.below", 54.0)
    assert change.old == 54.4
    assert Layout(change.wish.lock).lock.pivot.below == 54.0
    assert words(change) == {"back_plate": "use"}


def test_what_is_looked_for_is_what_metal_follows() -> None:
    # by hand, of the design's table of values: sizes of the plan on one side, demands and what a file left on the other
    looked_for = set(dimensions(Lock(), set()))
    assert {
        "plate.height",
        "pivot.below",
        "key.radius",
        "bolt.depth",
        "spring.tip_across",
    } <= looked_for
    assert not [path for path in looked_for if path.startswith(("fit.", "as_cut.", "bit."))]


@pytest.mark.parametrize("slope", [0.01, 1.0, 40.0])
def test_a_straight_row_is_solved_however_steep(slope: float) -> None:
    # by hand: slope (x - 3) and twice that are both nought at 3
    def off(value: float) -> np.ndarray[Any, np.dtype[np.float64]]:
        return slope * (value - 3.0) * np.array([1.0, 2.0])

    assert least_squares(off, 0.0, -10.0, 10.0) == pytest.approx((3.0, 0.0), abs=1e-6)


@pytest.mark.parametrize(
    ("turns", "stays", "found", "looks"), [(100.0, 30.0, (3.0, 0.0995), 5), (0.1, 50.0, None, 2)]
)
def test_what_a_value_cannot_bring_back_is_given_up_at_once(
    turns: float, stays: float, found: tuple[float, float] | None, looks: int
) -> None:
    # by hand: at 3 only what stays is left, of the diagonal of 300 and 30 a tenth, of that of 0.3 and 50 nearly all
    seen: list[float] = []

    def off(value: float) -> np.ndarray[Any, np.dtype[np.float64]]:
        seen.append(value)
        return np.array([turns * (value - 3.0), stays])

    solved = least_squares(off, 0.0, -10.0, 10.0)
    assert solved == (found and pytest.approx(found, abs=1e-4))
    assert len(seen) == looks


def test_another_size_comes_to_what_the_change_was_for() -> None:
    # a longer key has it lost; the other way is that of the lock's fall alone, closed but for one dimension
    lock = made(demo(), *PLATES_AND_BOLT)
    old, changed = standing(lock), standing(lock.with_value("key.radius", 20.5))
    kept = set(paths(lock)) - {"spring.free_length"}
    (offer,) = [one for one in instead(old, changed, kept, stop_codes(old.layout)) if one]
    assert offer.lock == lock.with_value("spring.free_length", offer.new)
    wanted, found = (
        gathered.quick_values(each)["fall_that_frees"]
        for each in (changed.layout, Layout(offer.lock))
    )
    assert found == pytest.approx(wanted, rel=2e-3)
    assert not offer.standing.to_work_on()


def test_nothing_made_has_nothing_to_lose() -> None:
    change = consequences(Lock(), "key.radius", 20.5)
    assert change.fact is None
    assert change.wish.standing.verdicts == ()
    assert change.wish_offers == ()


@pytest.mark.slow
def test_the_search_comes_up_for_air() -> None:
    """Between two offers the search gives None many times, so that a screen can look at its keys."""
    change = consequences(made(demo(), *PLATES_AND_BOLT), "pivot.below", 54.8)
    assert change.fact is not None
    found = list(change.seek(change.fact))
    assert found.count(None) > 3
    offers = [(offer.path, offer.new) for offer in found if offer is not None]
    assert offers == [(offer.path, offer.new) for offer in change.fact_offers]


def test_a_choice_can_be_changed_as_well() -> None:
    change = consequences(made(demo(), "bolt"), "tooth.roof", "scribed")
    assert words(change) == {"bolt": "use"}
    assert [offer.nothing for offer in change.wish_offers] == [True]


def test_samples_are_there() -> None:
    assert {path.stem for path in sample_locks()} >= {"boathouse", "orchard_gate"}
    assert all(isinstance(path, Path) for path in sample_locks())
