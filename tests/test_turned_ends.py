"""Ends that only a turn of the key shows: what the whole lock says inside and outside, and a sweep without the law.

How far a leg hangs before the key meets it has a formula; here it is left out, so that there is something to find. The
program looks in eighths of the way and halves where it found something; here it is looked in fifths, and a stop
that is named is asked of the sweep of key angle against travel (tests/config_space.py), which knows no law of motion.
"""

import math
from pathlib import Path

import numpy as np
import pytest

from core.checks import gathered
from core.checks.turned_ends import turned_ends
from core.errors import BadValueError
from core.layout.findings import Finding
from core.layout.layout import Layout
from core.layout.windows import Window
from core.lock.lock import Lock
from core.turning import leg_ends
from tests.confusion import swept
from tests.counts import tries
from tests.sure import sure
from tests.test_first_stop import drawn, ends
from tests.tui_driving import at_prompt
from tui.work import resting

BESIDE = 2e-4
"""How far [mm] on either side of an end the lock is looked at."""
FELT = 0.05
"""How far [mm] on either side the sweep is asked: it takes what overlaps by less for touching."""
TAIL = "bolt.tail_height"
FOULS = "key-fouls-bolt"


def stops(lock: Lock) -> frozenset[str]:
    return frozenset(f.code for f in gathered.findings(Layout(lock)) if f.level == "stop")


def at(lock: Lock, path: str, value: float) -> frozenset[str]:
    try:
        return stops(lock.with_value(path, value))
    except BadValueError:
        return frozenset()


def turned(lock: Lock, path: str) -> tuple[Window, Window]:
    """Return the window at a path as the parts tell it, and as a turn of the key narrows it."""
    window = gathered.windows(Layout(lock))[path]
    *_, found = turned_ends(Layout(lock), path, window)
    return window, sure(found)


def wrong(lock: Lock, path: str) -> tuple[list[str], list[str]]:
    """Return what does not hold of the window at a path, and the codes of the ends that a turn of the key sets."""
    told, window = turned(lock, path)
    if window.conflict:
        return [], []
    (_, least), (_, most) = ends(path, window, float(lock.value(path)))
    begin = min(max(float(lock.value(path)), least + BESIDE), most - BESIDE)
    before, said, codes = at(lock, path, begin), list[str](), list[str]()
    for bound, end, way, plain in (
        (window.low, least, -1, told.low), (window.high, most, 1, told.high),
    ):  # fmt: skip
        last = end - way * BESIDE
        for k in range(1, 6):
            new = at(lock, path, begin + (last - begin) * k / 5) - before
            if new:
                said.append(f"{path}: {sorted(new)} before {end}")
        if bound is None or bound == plain:
            continue
        codes.append(bound.code.name)
        if bound.code.name not in at(lock, path, end + way * BESIDE):
            said.append(f"{path}: no {bound.code.name} beyond {end}")
        if bound.code.name == FOULS and not before:
            inside, outside = (
                swept(Layout(lock.with_value(path, end + side * FELT))) for side in (-way, way)
            )
            if inside or not outside:
                said.append(f"{path} {end}: the sweep says {inside} inside, {outside} outside")
    return said, codes


@pytest.fixture
def no_formula(monkeypatch: pytest.MonkeyPatch) -> None:
    """Leave it to the turned key how far a leg may hang down."""
    monkeypatch.setattr(leg_ends, "_most", lambda *_: math.inf)


@pytest.mark.slow
@pytest.mark.usefixtures("no_formula")
def test_no_stop_comes_before_the_ends_that_a_turn_of_the_key_sets() -> None:
    found, named = list[str](), list[str]()
    for seed in range(tries(4, 20)):
        lock = drawn(seed)
        told = gathered.windows(Layout(lock))
        other = sorted(told)[7 * seed % len(told)]
        for path in (TAIL, other):
            said, codes = wrong(lock, path)
            found += [f"{seed} {one}" for one in said]
            named += codes
    assert not found, "\n".join(found)
    assert named.count(FOULS) >= 1


@pytest.mark.slow
def test_a_turned_key_narrows_no_window_that_the_parts_give() -> None:
    """The first stop of any kind: what the parts give for an end, the whole lock bears out."""
    found = list[str]()
    for seed in range(200, 200 + tries(4, 40)):
        lock = drawn(seed)
        paths = sorted(gathered.windows(Layout(lock)))
        for path in np.random.default_rng(seed).choice(paths, 2, replace=False).tolist():
            told, window = turned(lock, path)
            found += [f"{seed} {window}"] if window != told else []
    assert not found, "\n".join(found)


def test_a_window_that_nothing_fits_is_left_as_it_is() -> None:
    window = gathered.windows(Layout(Lock()))["key.radius"]
    low, high = sure(window.low), sure(window.high)
    crossed = Window("key.radius", high, low)
    assert list(turned_ends(Layout(Lock()), "key.radius", crossed)) == [crossed]


@pytest.mark.parametrize(
    ("path", "now", "low", "high"),
    [
        # by hand: three times 10 mm more than the value either way, or all that may be typed at the prompt
        ("key.radius", 20.0, 0.01, 110.0), ("key.radius", 600.0, 0.01, 2000.0), ("tooth.pickup_angle", 20.0, 0.0, 80.0),
        ("pivot.across", 4.0, -38.0, 46.0),
    ],
)  # fmt: skip
def test_where_an_end_is_open_it_is_looked_no_farther_than_may_stand(
    path: str, now: float, low: float, high: float
) -> None:
    seen: list[float] = []

    def found_in(layout: Layout) -> tuple[Finding, ...]:
        seen.append(float(layout.plan.value(path)))
        return ()

    nothing = Window(path, None, None)
    *_, window = turned_ends(Layout(Lock().with_value(path, now)), path, nothing, found_in)
    assert window == nothing
    assert (min(seen), max(seen)) == pytest.approx((low, high))


def test_the_turned_key_finds_the_end_that_a_formula_gives(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    lock = drawn(20)
    by_formula = sure(gathered.windows(Layout(lock))[TAIL].high)
    assert by_formula.code.name == FOULS
    monkeypatch.setattr(leg_ends, "_most", lambda *_: math.inf)
    plain, window = turned(lock, TAIL)
    assert sure(plain.high).code.name != FOULS
    assert sure(window.high).value == pytest.approx(by_formula.value, abs=BESIDE)


@pytest.mark.slow
@pytest.mark.usefixtures("no_formula")
async def test_the_prompt_tells_it_once_the_keys_rest(
    own_folder: None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(resting, "RESTING", 0.01)
    lock = drawn(20)
    assert not stops(lock)
    plain, window = turned(lock, TAIL)
    assert sure(window.high).value < sure(plain.high).value - 0.5
    async with at_prompt(tmp_path, lock, TAIL, size=(120, 40)) as driver:
        for _ in range(400):
            await driver.pilot.pause(0.05)
            if driver.screen.found.windows[TAIL].high.code.name == FOULS:
                break
        await driver.settle()
        assert "most: the key, which on its way round would foul" in driver.text()
        # another value of the same size moves no end of it; another size does
        driver.screen.set_desk(driver.desk.changed(lock.with_value(TAIL, 6.0), "the tail"))
        await driver.settle()
        assert driver.screen.found.windows[TAIL].high.code.name == FOULS
        monkeypatch.setattr(resting, "RESTING", 600.0)
        wider = lock.with_value("key.bit_thickness", lock.key.bit_thickness - 0.1)
        driver.screen.set_desk(driver.desk.changed(wider, "the bit"))
        await driver.settle()
        assert driver.screen.found.windows[TAIL].high.code.name != FOULS
