"""The search for ways out of a change: its round values by brute force, and what it asks for, and does not offer."""

import math
from collections.abc import Iterator

import numpy as np
import pytest

from core.change.consequences import consequences
from core.change.rescue import MOST, besides, instead, stop_codes
from core.lock.lock import Lock, paths
from core.made.marking import mark_made
from core.made.solving import round_values
from core.made.standing import standing
from tests.sheet_reading import SAMPLES
from tests.sure import sure

GRAIN = 0.05
"""The finest step [mm] that a maker sets, as a prompt in mm has it."""


def made(lock: Lock) -> Lock:
    for part in ("back_plate", "front_plate", "bolt"):
        lock = mark_made(lock, part)
    return lock


@pytest.mark.parametrize("begin", [20.0, 0.3, 0.0, -7.5])
@pytest.mark.parametrize("by", [0.013, -0.013, 0.31, -0.31, 4.77, -4.77])
def test_round_values_lie_beyond_where_one_began(begin: float, by: float) -> None:
    """By brute force: all steps of the grain from where it stood to as far again, and the nearest few are told."""
    value = begin + by
    found = list(round_values(value, begin, GRAIN))
    every = [round(k * GRAIN, 9) for k in range(-400, 700)]
    good = [one for one in every if 0 < (one - begin) * np.sign(by) <= 2 * abs(by)]
    assert set(found) <= set(good)
    nearest = sorted(good, key=lambda one: abs(one - value))[:1]
    assert set(nearest) <= set(found)
    assert bool(found) is (abs(by) > GRAIN)
    # the roundest first: of each step those that are nearest
    for step in (20 * GRAIN, 10 * GRAIN, 2 * GRAIN):
        of_step = [one for one in good if math.isclose(one / step, round(one / step), abs_tol=1e-6)]
        if step <= 2 * abs(by) and of_step:
            assert min(of_step, key=lambda one: abs(one - value)) in found


@pytest.mark.parametrize("begin", [20.0, 0.3, -7.5])
@pytest.mark.parametrize("by", [0.013, -0.013, 0.31, -0.31, 0.74, 4.77, -4.77, -5.23])
def test_the_round_values_on_both_sides_of_what_is_looked_for_are_told(
    begin: float, by: float
) -> None:
    """By floor and ceiling: whole numbers of a step next above and next below, where that step is not too coarse."""
    value, told = begin + by, list(round_values(begin + by, begin, GRAIN))
    for step in (20 * GRAIN, 10 * GRAIN, 2 * GRAIN, GRAIN):
        for whole in (math.floor(value / step), math.ceil(value / step)):
            one = round(whole * step, 9)
            on_the_way = 0 < (one - begin) * np.sign(by) <= 2 * abs(by)
            if on_the_way and step <= 2 * abs(by):
                assert one in told


def test_what_does_not_come_to_what_the_change_was_for_is_not_offered(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The lock as it was has all its parts good, and nothing of what the change was for: that is no way out."""
    old = standing(made(SAMPLES[0]))
    changed = standing(old.lock.with_value("key.radius", 20.5))
    assert changed.by_shape().counts > old.counts
    monkeypatch.setattr(
        "core.change.rescue._solved", lambda lock, path, *_: float(lock.value(path))
    )
    kept = set(paths(old.lock)) - {"spring.free_length"}
    assert not any(instead(old, changed, kept, stop_codes(old.layout)))


def told(what: str, count: int) -> list[str]:
    return [f"{what} {number}" for number in range(count)]


def ways(what: str, count: int) -> Iterator[str | None]:
    for one in told(what, count):
        yield None
        yield one


def test_a_bolt_line_that_is_raised_saves_the_bolt_of_a_longer_key() -> None:
    # by hand: a key 0.5 longer finds the roof of the made gap where it wants it with the line 0.5 higher
    lock = made(Lock()).with_value("key.radius", 20.5)
    kept = set(paths(lock)) - {"bolt_line.height"}
    (offer,) = [one for one in besides(standing(lock), kept, frozenset()) if one is not None]
    assert offer.path == "bolt_line.height"
    assert offer.new == pytest.approx(24.5, abs=0.11)
    assert offer.saved == ("bolt",)
    assert not offer.standing.to_work_on()


@pytest.mark.parametrize(
    ("kind", "path", "value"), [("wish", "key.radius", 20.5), ("fact", "pivot.below", 54.8)]
)
def test_ways_out_instead_fill_up_what_is_found_besides_a_wish(
    monkeypatch: pytest.MonkeyPatch, kind: str, path: str, value: float
) -> None:
    change = consequences(made(Lock()), path, value)
    reading = sure(change.wish if kind == "wish" else change.fact)
    assert reading.standing.to_work_on()
    begun: list[str] = []

    def others(*_: object) -> Iterator[str | None]:
        begun.append(kind)
        yield from ways("instead", MOST + 2)

    monkeypatch.setattr("core.change.consequences.instead", others)
    for beside in range(MOST + 1):
        monkeypatch.setattr(
            "core.change.consequences.besides", lambda *_, many=beside: ways("besides", many)
        )
        found = [str(one) for one in change.seek(reading) if one is not None]
        # what came out so is there, and nothing is set instead of it
        # three is as much as a screen names, at the keys J, K and L
        more = 3 - beside if kind == "wish" else 0
        assert found == [*told("besides", beside), *told("instead", more)]
        # where there is room for no more, the long search for them is not even begun
        assert len(begun) == (more > 0)
        begun.clear()
