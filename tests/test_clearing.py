"""What clears a stop: each way done as it says, on random locks, and taken and taken back by keys."""

from pathlib import Path

import pytest

from core.change.clearing import clearable, clearings
from core.change.rescue import stop_codes
from core.checks.gathered import findings
from core.layout.layout import Layout
from core.lock.lock import Lock
from tests.locks import changed
from tests.test_propose_limits import moved
from tests.tui_driving import program, stored, to_step

pytestmark = pytest.mark.usefixtures("own_folder")


def done(seed: int) -> int:
    """Do what clears the first stop of a random lock; return how many sizes that takes, 0 where there is no stop."""
    lock = moved(seed)
    layout = Layout(lock)
    stops = [f.code for f in findings(layout) if f.level == "stop" and clearable(f.code)]
    if not stops:
        return 0
    before, found = stop_codes(layout), [one for one in clearings(layout, stops[0]) if one]
    sizes = []
    for one in found:
        assert one.remedy("mm").applied(lock) == one.lock
        assert changed(lock, dict(one.changes)) == one.lock
        assert stop_codes(Layout(one.lock)) <= before - {stops[0]}
        sizes.append(len(one.changes))
    assert len(set(sizes)) <= 1  # two together only where none does it alone
    return sizes[0] if sizes else -1


@pytest.mark.slow
def test_what_clears_a_stop_does() -> None:
    assert [done(seed) for seed in (0, 9)] == [1, 1]


@pytest.mark.slow
def test_what_clears_stops_does_on_many_locks() -> None:
    told = [done(seed) for seed in range(60)]
    assert told.count(1) > 20
    assert told.count(-1) < told.count(1) / 4


@pytest.mark.slow
def test_the_nearest_value_that_clears_it_comes_first() -> None:
    lock = Lock().with_value("key.radius", 21.6)
    first = next(one for one in clearings(Layout(lock), "bridge-thin") if one)
    ((path, value),) = first.changes
    assert path in ("key.radius", "bolt_line.height")
    back = value + (0.05 if path == "key.radius" else -0.05)
    assert "bridge-thin" in stop_codes(Layout(lock.with_value(path, back)))


def test_what_is_kept_stays() -> None:
    lock = Lock().with_value("key.radius", 21.6)
    kept = frozenset({"key.radius", "bolt_line.height"})
    for one in clearings(Layout(lock), "bridge-thin", kept):
        assert one is None or not kept & {path for path, _ in one.changes}


@pytest.mark.slow
async def test_one_key_clears_a_stop_and_one_brings_it_back(tmp_path: Path) -> None:
    async with program(tmp_path, stored(tmp_path, key__radius=21.6), size=(120, 40)) as driver:
        before = driver.desk.lock
        await driver.press(*to_step("bolt line"))
        await driver.until("clears the stop", "#ways")
        await driver.settle()
        await driver.press("j")
        assert "the stop is gone" in driver.words("#notice")
        assert not [f for f in findings(Layout(driver.desk.lock)) if f.level == "stop"]
        await driver.press("ctrl+z")
        assert driver.desk.lock == before
