"""Where nothing fits at a prompt: every opening is done as it says, on locks with one size drawn much too far."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from shapely.geometry import Point

from core.change.clearing import Change
from core.change.openings import ROOM, Opening, openings
from core.checks import gathered
from core.errors import BoltwrightError
from core.layout.layout import Layout
from core.layout.windows import Window
from core.lock.lock import Lock, spec_of
from core.made.marking import mark_made
from core.made.verdicts import verdicts
from tests.counts import seeds
from tests.designs import plausible, seeded
from tests.held_locks import random_held
from tests.plates import inner_wall
from tests.sure import sure
from tests.tui_driving import at_prompt
from tui.desk.desk import Desk
from tui.desk.opening import Opened, taken
from tui.desk.session import Session

DRAWN = ("bolt_line.height", "key.radius", "pivot.below", "bolt.depth", "plate.height")


def found(lock: Lock, at: str) -> list[Opening]:
    return [one for one in openings(Layout(lock), at) if one is not None]


def stops(lock: Lock) -> set[str]:
    layout = Layout(lock)
    return {
        f.code
        for f in (*gathered.findings(layout), *gathered.wanted_findings(layout))
        if f.level == "stop"
    }


def shut(seed: int) -> Iterator[tuple[Lock, str]]:
    """Give locks at one of whose prompts nothing fits, with its path."""
    lock, rng = plausible(seed), seeded(f"shut {seed}")
    for path in DRAWN:
        value = round(lock.value(path) * rng.choice((0.7, 0.8, 1.25, 1.4)), 1)
        try:
            drawn = lock.with_value(path, value)
        except BoltwrightError:
            continue
        for at, window in gathered.windows(Layout(drawn)).items():
            if window.conflict and at != path and within(at, window):
                yield drawn, at


def within(at: str, window: Window) -> bool:
    """Say whether both ends are sizes that may stand at a prompt; else no size there is what is at fault."""
    spec = spec_of(at)
    ends = [end.value for end in (window.low, window.high) if end is not None]
    return all(spec.low <= end <= spec.high for end in ends)


def opens_as_it_says(lock: Lock, one: Opening) -> None:
    """Do what an opening says, by hand, and look whether it is so."""
    before = stops(lock)
    new = lock.with_value(one.path, one.new)
    assert lock.value(one.path) == one.old != one.new
    if one.second is not None:
        path, old, value = one.second
        assert lock.value(path) == old != value
        new = new.with_value(path, value)
    assert one.lock == new
    window = gathered.windows(Layout(new))[one.at]
    assert not window.conflict
    assert window == one.window
    assert window.low is not None
    assert window.high is not None
    assert window.high.value - window.low.value >= ROOM - 1e-9
    assert window.holds(one.value)
    settled = new.with_value(one.at, one.value)
    assert settled == one.settled
    after = stops(settled)
    assert after <= before
    assert not after & {window.low.code.name, window.high.code.name}


@pytest.mark.parametrize("seed", seeds(1, 12))
def test_what_bounds_one_prompt_is_what_bounds_it_among_all(seed: int) -> None:
    layout = Layout(random_held(seed))
    for check in gathered.all_checks():
        told = tuple(check.bounds(layout))
        for path in {bound.path for bound in told}:
            here = tuple(bound for bound in told if bound.path == path)
            assert tuple(check.bounds_on(layout, path)) == here


@pytest.mark.parametrize("number", seeds(1, 5, first=1))
@pytest.mark.slow
def test_each_opening_lets_something_fit(number: int) -> None:
    lock, at = [case for case in shut(0) if case[1] in DRAWN][number]
    offers = found(lock, at)
    assert len({one.path for one in offers}) == len(offers) <= 3
    assert offers
    for one in offers:
        opens_as_it_says(lock, one)


@pytest.mark.slow
def test_on_many_locks_most_prompts_are_opened() -> None:
    cases = opened = 0
    for seed in range(2):
        for lock, at in shut(seed):
            offers = found(lock, at)
            cases, opened = cases + 1, opened + bool(offers)
            for one in offers:
                opens_as_it_says(lock, one)
    assert cases > 8
    assert opened > 0.7 * cases


@pytest.mark.slow
def test_the_least_change_comes_first_and_a_higher_plate_makes_room_for_the_key() -> None:
    # by hand: with a bolt line too high, the circle of the key and the spring room do not both go under the rim
    lock = plausible(0).with_value("bolt_line.height", 36.6)
    offers = found(lock, "pivot.below")
    shares = [abs(one.new - one.old) / max(abs(one.old), 1.0) for one in offers]
    assert shares == sorted(shares)
    assert [one.path for one in offers] == ["plate.height", "bolt_line.height", "key.radius"]
    (higher, *_) = offers
    wall = inner_wall(higher.settled, 90)
    # shapely, on a plate drawn without the program: the key's circle is within the wall
    reach = higher.settled.key.radius + higher.settled.fit.key_clearance
    assert wall.contains(Point(0, 0).buffer(reach - 1e-3))


def test_what_changes_least_of_its_size_is_tried_first(monkeypatch: pytest.MonkeyPatch) -> None:
    """By hand, as shares: 4.8 of 68.4, 4.8 of 36.6, 4.8 of 22.3; of what is below 1 mm the mm themselves, 0.1."""
    lock = plausible(0).with_value("bolt_line.height", 36.6)
    nearest = {
        ("key.radius", -1): round(lock.key.radius - 4.8, 2),
        ("bolt_line.height", -1): 31.8,
        ("fit.slide_clearance", 1): round(lock.fit.slide_clearance + 0.1, 2),
        ("plate.height", 1): round(lock.plate.height + 4.8, 2),
    }
    tried: list[str] = []

    def note(layout: Layout, at: str, change: Change) -> None:
        tried.extend(path for path, _ in change)

    two: Change = (("key.radius", 20.0), ("bolt_line.height", 30.0))
    for name, what in {
        "dimensions": lambda *_: [path for path, _ in nearest],
        "_nearest": lambda *asked: nearest.get(asked[3:]),
        "_tried": note, "stop_codes": lambda _: set(), "_by_two": lambda *_: [[(0.1, two)]],
    }.items():  # fmt: skip
        monkeypatch.setattr(f"core.change.openings.{name}", what)
    assert lock.fit.slide_clearance < 1
    assert found(lock, "pivot.below") == []
    assert tried[:4] == ["plate.height", "fit.slide_clearance", "bolt_line.height", "key.radius"]
    # none of them does alone, so two together are tried as well
    assert tried[4:] == ["key.radius", "bolt_line.height"]


def test_a_size_is_changed_by_half_and_ten_steps_at_most_and_room_of_just_0_2_is_enough(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """By hand: of 1 mm half is 0.5, and ten steps of 0.05 are 0.5, so 2 mm at most; 0.2 is what a hand can keep to."""
    path, at = "bolt.thickness", "pivot.below"
    lock, codes = Lock().with_value(path, 1.0), gathered.windows(Layout(Lock()))[at]

    def opened_from(least: float) -> list[float]:
        def ends(layout: Layout) -> dict[str, Window]:
            # in floats 1.2 - 1.0 is a hair below 0.2
            high = 1.2 + 10 * (layout.plan.value(path) - least)
            return {
                at: Window(
                    at, replace(sure(codes.low), value=1.0), replace(sure(codes.high), value=high)
                )
            }

        for name, what in {
            "dimensions": lambda *_: (path,), "windows": ends, "stop_codes": lambda _: set(), "_by_two": lambda *_: (),
            "_room": lambda layout, *_: 10 * (layout.plan.value(path) - least) + ROOM,
        }.items():  # fmt: skip
            monkeypatch.setattr(f"core.change.openings.{name}", what)
        return [one.new for one in found(lock, at)]

    assert opened_from(1.95) == [1.95]
    assert opened_from(2.0) == [2.0]
    assert opened_from(2.05) == []


def test_a_higher_plate_alone_makes_room_for_the_key(monkeypatch: pytest.MonkeyPatch) -> None:
    # the same with one dimension to turn, by default too
    monkeypatch.setattr("core.change.openings.dimensions", lambda *_: ("plate.height",))
    monkeypatch.delattr(
        "core.change.openings._by_two"
    )  # where one does alone, no two are looked for
    (one,) = found(plausible(0).with_value("bolt_line.height", 36.6), "pivot.below")
    assert one.path == "plate.height"
    wall, key = inner_wall(one.settled, 90), one.settled.key.radius + one.settled.fit.key_clearance
    assert wall.contains(Point(0, 0).buffer(key - 1e-3))


@pytest.mark.slow
def test_nothing_is_offered_where_something_fits_and_no_made_part_is_given_up() -> None:
    assert found(Lock(), "key.radius") == []
    assert found(Lock(), "plate.width") == []
    lock = plausible(0)
    drawn = mark_made(lock, "key").with_value("bolt_line.height", 36.6)
    offers = found(drawn, "pivot.below")
    # a smaller key would do too, but this one is made
    assert offers
    assert "key.radius" not in {one.path for one in offers}
    assert all(v.word == "good" for one in offers for v in verdicts(Layout(one.settled)))


@pytest.mark.slow
async def test_a_key_takes_what_lets_something_fit(tmp_path: Path) -> None:
    lock = plausible(0).with_value("bolt_line.height", 36.6)
    async with at_prompt(tmp_path, lock, "pivot.below") as driver:
        assert "nothing fits" in driver.words("#fit")
        assert "J plate height 73.25 mm, not 68.44 mm" in driver.words("#ways")
        # prompt and all three, which is as much as there is room for
        panel = [row[40:] for row in driver.rows()]
        assert [row for row in panel if "> pivot below" in row]
        assert [key for key in "JKL" if any(f" {key} " in row for row in panel)] == ["J", "K", "L"]
        assert [row for row in panel if "47.1 mm to 47.33 mm fits" in row][1:]
        (first, *_) = driver.screen.opened.found
        await driver.press("j")
        assert driver.desk.path == "pivot.below"
        assert driver.desk.lock == first.lock
        assert "nothing fits" not in driver.words("#fit")
        assert driver.words("#ways") == ""
        assert "fits here" in driver.words("#notice")
        # a letter again, where it is no key
        await driver.press("j")
        assert driver.screen.entry.value == "j"
        await driver.press("escape", "enter")
        assert driver.desk.path != "pivot.below"
        await driver.press("ctrl+z")
        assert (driver.desk.lock, driver.desk.path) == (lock, "pivot.below")
        said = sure(driver.desk.notice).text
        assert "Taken back: room by the plate height for the pivot below" in said
        # and it can be read, with the prompt and all three ways that there are again
        panel = [row[40:] for row in driver.rows()]
        assert "Taken back: room by the plate" in " ".join(panel)
        assert [row for row in panel if "> pivot below" in row]
        assert [key for key in "JKL" if any(f" {key} " in row for row in panel)] == ["J", "K", "L"]


@pytest.mark.slow
def test_where_no_single_size_makes_room_two_together_do() -> None:
    lock, at = next(case for case in shut(0) if case[1] == "shackle.gap")
    offers = found(lock, at)
    assert offers
    for one in offers:
        opens_as_it_says(lock, one)
        path, _, value = sure(one.second)
        there = taken(Desk(Session(lock)).at_path(at), Opened(lock, at, (one,), complete=True), 0)
        assert there.lock == one.lock
        both = f"{spec_of(one.path).shown(one.new, 'mm')} and "
        said = sure(there.notice).text
        assert both in said
        assert f" is {spec_of(path).shown(value, 'mm')} now. " in said
        assert there.undone().lock == lock
