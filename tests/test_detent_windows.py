"""Windows of spring and detent: just inside an end nothing that the window names is found, just outside it is.

And a value from anywhere within fits, on locks at random and on the samples.
"""

import random
from collections import Counter
from functools import cache

import pytest

from core.errors import BadValueError
from core.layout.layout import Layout
from core.layout.windows import Bound, merged
from core.lock.lock import Lock
from core.parts import detent, spring, tooth_limits
from tests.counts import tries
from tests.held_locks import fitting, held

PATHS = (
    "spring.thickness", "spring.free_length", "spring.preload",
    "detent.ramp", "detent.half_width", "detent.depth",
)  # fmt: skip
BESIDE = 1e-6
"""How far [mm or degrees] on either side of an end the lock is looked at, as a share of it or of 1."""
PARTS = (spring.PART, detent.PART, tooth_limits.PART)


@cache
def some_locks() -> list[Lock]:
    return [held(), *fitting(tries(10, 60))]


@cache
def bounds_of(lock: Lock) -> tuple[Bound, ...]:
    layout = Layout(lock)
    return tuple(bound for part in PARTS for bound in part.bounds(layout))


def found_in(lock: Lock) -> set[str]:
    layout = Layout(lock)
    return {found.code for part in PARTS for found in part.findings(layout)}


@pytest.mark.slow
@pytest.mark.parametrize("path", PATHS)
@pytest.mark.first(1)
def test_findings_begin_at_the_ends(path: str) -> None:
    met: Counter[str] = Counter()
    for lock in some_locks():
        bounds = [bound for bound in bounds_of(lock) if bound.path == path]
        if not bounds:  # nothing that is in reach stops it
            continue
        window = merged(bounds)[path]
        named = {bound.code.name for bound in bounds}
        for bound, inwards in ((window.low, 1), (window.high, -1)):
            if bound is None:
                continue
            step = inwards * BESIDE * max(abs(bound.value), 1.0)
            try:
                outside = found_in(lock.with_value(path, bound.value - step))
            except BadValueError:  # beyond what any lock may have
                continue
            assert bound.code.level == "stop"
            assert bound.code.name in outside, (lock.title, bound)
            met[bound.end] += 1
            if not window.conflict:
                within = found_in(lock.with_value(path, bound.value + step))
                assert not within & named, (lock.title, bound, within & named)
                met["inside"] += 1
    assert met["inside"] > 0
    assert met["low"] + met["high"] > len(some_locks()) / 2, met


@pytest.mark.slow
@pytest.mark.parametrize("path", PATHS)
def test_what_is_within_fits(path: str) -> None:
    chance = random.Random(7)  # noqa: S311 - nothing secret is made here
    tried = 0
    for lock in some_locks():
        window = merged(bounds_of(lock)).get(path)
        if window is None or window.conflict or not window.holds(lock.value(path)):
            continue
        low = window.low.value if window.low else lock.value(path) / 2
        high = window.high.value if window.high else lock.value(path) * 2
        named = {bound.code.name for bound in bounds_of(lock) if bound.path == path}
        for _ in range(3):
            value = chance.uniform(low, high)
            assert not found_in(lock.with_value(path, value)) & named, (lock.title, path, value)
            tried += 1
    assert tried > 2 * len(some_locks()) / 2


@pytest.mark.parametrize("path", ["detent.ramp", "detent.half_width", "detent.depth"])
def test_of_a_reach_that_was_measured_windows_end_where_all_else_begins(path: str) -> None:
    # how far the notch would draw sets no end then, what it leaves of the metal does
    worked_out = held()
    measured = worked_out.with_value("detent.reach", "as measured")
    ends = [
        {(b.end, b.code.name, b.value) for b in bounds_of(lock) if b.path == path}
        for lock in (worked_out, measured)
    ]
    assert {end for end in ends[0] if end[1] != "home-travel"} == ends[1]
    assert ends[0] > ends[1]
    for end, name, value in ends[1]:
        step = (1 if end == "low" else -1) * BESIDE * max(abs(value), 1.0)
        assert name in found_in(measured.with_value(path, value - step))
        assert name not in found_in(measured.with_value(path, value + step))


def test_how_wide_notches_may_be_is_told_as_half_the_way_from_seat_to_seat() -> None:
    # by hand: 9.5 from the middle of one notch to that of the other leave each 4.75 to a side before there is no land
    lock = held(shackle__engagement=8.0, shackle__gap=1.5, detent__half_width=5.0)
    texts = {found.code: found.text for found in detent.PART.findings(Layout(lock))}
    assert texts["detent-notches-meet"] == (
        "Notches 5.0 mm to either side run into each other: half the throw, 4.75 mm, is the most."
    )
    assert "detent-notches-meet" not in found_in(held(detent__half_width=4.75 - BESIDE))
