"""A difference of just the tolerance is good, and a nudge of it never flips a verdict: arithmetic, no source needed."""

from dataclasses import replace

import pytest

from core.layout.layout import Layout
from core.lock.facts import with_measured
from core.lock.lock import Lock
from core.made.fitting import HAIR, Fitting, Word, exceeds
from core.made.marking import mark_made
from core.made.standing import Standing
from core.made.verdicts import Moved, Verdict, by_shape, verdicts
from core.made.wording import but_words
from core.whole import assembly
from tests.bit_sweeps import made
from tests.designs import plausible
from tests.made_cases import referee

NUDGED = (
    "key.radius", "key.bit_thickness", "key.shank", "bolt.depth", "bolt.thickness", "bolt.nose_height",
    "bolt.tail_height", "bolt.lobe_width", "pivot.below", "pivot.across", "pivot.hole", "plate.thickness",
    "fit.slide_clearance", "fit.key_clearance", "shackle.drop", "shackle.diameter", "front_guide.width",
    "rear_guide.width", "rear_guide.floor", "bolt_line.height",
)  # fmt: skip


def words(lock: Lock, path: str, value: float) -> dict[str, str]:
    for part in assembly.workpieces():
        lock = mark_made(lock, part)
    return {v.part: v.word for v in by_shape(Layout(lock.with_value(path, value)))}


@pytest.mark.parametrize("path", NUDGED)
@pytest.mark.first(8)
def test_a_nudge_by_the_tolerance_is_good_either_way(path: str) -> None:
    for lock in (Lock(), plausible(3, roof="flat")):
        begin = lock.value(path)
        for by in (0.1, -0.1):
            # the sizes that follow from another, such as a flank on the relief, may differ by more than it does
            if path in ("fit.key_clearance", "bolt_line.height") and lock.tooth.pickup_angle:
                continue
            if begin + by >= 0:
                assert set(words(lock, path, begin + by).values()) == {"good"}, (path, by)


def test_what_is_beyond_it_by_more_than_a_hair_is_not() -> None:
    assert not exceeds(0.1, 0.1)
    assert not exceeds(0.1 + 1e-9, 0.1)
    assert exceeds(0.1 + 2 * HAIR, 0.1)
    assert words(Lock(), "key.radius", 20.102)["key"] == "remake"
    assert words(Lock(), "key.radius", 19.898)["key"] == "file"


def test_metal_to_file_lies_at_the_end_of_the_bit() -> None:
    """The bit of 3 mm stands up to 20 mm from the pivot, so its end is 20 mm off and 1.5 mm to either side."""
    lock = mark_made(Lock(), "key").with_value("key.radius", 19.5)
    (key,) = [v for v in by_shape(Layout(lock)) if v.part == "key"]
    (spare,) = key.apart.spare
    x, y = spare.at
    assert abs(x) <= 1.5 + 1e-9
    assert 19.5 <= y <= 20.0


@pytest.mark.slow
def test_a_good_part_that_brings_a_lock_over_the_edge_is_told_so() -> None:
    """Of forty locks the key of one is at the edge: 0.1 less, and a sweep of the shapes says it is not brought home."""
    lock = made(plausible(26, roof="flat", outline="rectangle"))
    for by, works in ((-0.099, False), (-0.02, True)):
        less = with_measured(lock, "key", "key.radius", round(lock.key.radius + by, 3))
        (key,) = [v for v in verdicts(Layout(less)) if v.part == "key"]
        assert key.word == "good"
        assert (referee(less) == "") is works
        told = but_words(Layout(less), key)
        assert told == "" if works else told.startswith("good, but with it the key lets go")


@pytest.mark.parametrize(
    ("by", "told"), [(-0.099, "good, but with it the key lets go"), (-0.02, "")]
)
def test_what_a_good_key_at_the_edge_brings_is_told(by: float, told: str) -> None:
    # the lock of the test above, of which a sweep says the same
    lock = made(plausible(26, roof="flat", outline="rectangle"))
    layout = Layout(with_measured(lock, "key", "key.radius", round(lock.key.radius + by, 3)))
    said = {v.part: but_words(layout, v) for v in verdicts(layout)}
    found = said.pop("key")
    assert found.startswith(told) if told else found == ""
    assert set(said.values()) == {""}


def test_a_part_to_fix_elsewhere_stands_worse_than_a_mark_to_scribe_again() -> None:
    alike = Fitting("good", (), (), 0.0, 0.0, 0.0, 0.0)
    place = Moved("a post", 1.0, 0.0)
    as_it_is, scribed, moved = (
        Standing(Layout(Lock()), (Verdict("key", "key", alike, **what),)).rank
        for what in ({}, {"scribe": (place,)}, {"moved": place})
    )
    assert as_it_is < scribed
    assert scribed[3:] < moved[3:]


def test_to_file_and_to_fix_elsewhere_count_alike_and_to_plug_and_to_remake_before_them() -> None:
    alike = Fitting("good", (), (), 0.0, 0.0, 0.0, 0.0)

    def counts(*words: Word) -> tuple[int, int, int]:
        told = tuple(Verdict("key", "key", replace(alike, word=word)) for word in words)
        return Standing(Layout(Lock()), told).counts

    assert counts("good", "use") == (0, 0, 0)
    assert (
        counts("file", "move", "use")
        == counts("move", "move")
        == counts("file", "file")
        == (0, 0, 2)
    )
    assert counts("remake", "plug", "plug", "move") == (1, 2, 1)
    assert counts("file", "move") < counts("plug") < counts("remake")
