"""Proposals: what is proposed against every check, and a brute-force grid."""

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
import shapely

from core.files.project_file import load
from core.geometry.polygons import reach
from core.geometry.profile import Profile
from core.layout.layout import Layout
from core.lock.first_lock import first_lock
from core.lock.lock import Lock
from core.parts.plate import inner
from core.propose.given import AT_HAND, SETTLED, Given
from core.propose.limits import limits, nearest
from core.propose.locks import Locks
from core.propose.proposals import (
    KINDS,
    LONGEST,
    ROOM,
    SOUND,
    TORQUE,
    WIDEST,
    Proposals,
    proposals,
)
from core.propose.proposals_text import proposals_text
from core.propose.search import coarse
from tests.designs import plausible
from tests.locks import changed
from tests.propose_grid import OUTLINES, best_of_grid, forty, random_plate
from tests.sure import sure
from tests.test_propose_limits import stops

SMALL = {"plate.width": 38.0, "plate.height": 30.0, "plate.straight": 10.0}
DEMO = Lock()


def test_what_no_check_agrees_to_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    # most is kept, so that the search is short
    asked = []

    def none_agreed_to(*_: object) -> Iterator[None]:
        asked.append("once")
        yield None

    monkeypatch.setattr("core.propose.proposals._confirmed", none_agreed_to)
    monkeypatch.setattr("core.propose.proposals._others", lambda *_: [])
    free = {"bolt.depth", "shackle.drop", "key.radius", "pivot.below", "bolt_line.height"}
    kept = set(SETTLED) - free - {"front_guide.from_centreline", "rear_guide.from_centreline"}
    found = proposals(DEMO, kept)
    assert asked
    assert found.found == ()
    assert "cannot be given sizes that are round" in sure(found.refusal).told


def test_many_locks_are_each_as_it_is_alone() -> None:
    rng = np.random.default_rng(3)
    for seed in (1, 2, 5):
        lock = plausible(seed)
        some = {
            path: float(lock.value(path)) * rng.uniform(0.9, 1.1, 12)
            for path in ("key.radius", "bolt_line.height", "pivot.below", "pivot.across")
        }
        together = limits(Locks(lock, some))
        locks = Locks(lock, some)
        for n in range(12):
            alone = limits(Locks(locks.one(n), {}))
            for one, other in zip(together, alone, strict=True):
                assert one.code == other.code
                assert one.spare[n] == pytest.approx(other.spare[0], abs=1e-9)


@pytest.mark.parametrize("outline", [*OUTLINES, "traced"])
@pytest.mark.first(2)
def test_a_wall_asked_often_is_the_wall_asked_once(outline: str) -> None:
    rng, area = np.random.default_rng(7), inner(Layout(plausible(3, outline=outline)))
    ring = shapely.get_coordinates(area.exterior)
    x0, y0, x1, y1 = area.bounds
    for way in ((0.0, 1.0), (0.0, -1.0), (1.0, 0.0), (-1.0, 0.0)):
        spread = (x0, x1) if way[0] == 0 else (y0, y1)
        low, high = np.sort(rng.uniform(spread[0] - 2, spread[1] + 2, (2, 60)), axis=0)
        at = rng.uniform(0, max(x1, y1), 60)
        if way in ((0.0, -1.0), (1.0, 0.0)):  # across is the direction turned a quarter clockwise
            low, high = -high, -low
        told = Profile(ring, way).least(low, high, at)
        seen = Profile(ring, way)
        for n in range(60):
            one = seen.least_of_one(float(low[n]), float(high[n]), float(at[n]))
            assert (-np.inf if one is None else one) == told[n]
            once = reach(area, way, float(low[n]), float(high[n]), float(at[n]))
            assert told[n] == pytest.approx(-np.inf if once is None else once, abs=1e-7)


def sound(lock: Lock, found: Proposals) -> None:
    """Hold proposals to all that they promise."""
    assert found.refusal is None
    assert {kind for one in found.found for kind in one.kinds} == set(KINDS)
    for one in found.found:
        assert not stops(one.lock), one.kinds
        assert one.proposal.taken(lock) == one.lock
        assert one.margin == pytest.approx(float(nearest(limits(Locks(one.lock, {})))[0][0]))
        assert one.margin >= -1e-9
        assert one.by in one.proposal.reasons[1]
        grain = Given(lock).steps[-1]
        for path, value in one.proposal.values:
            if path in one.bought:  # of stock, which tests/test_propose_stock.py looks into
                continue
            assert abs(value / grain - round(value / grain)) < 1e-6, (path, value)
    best = {kind: one for one in found.found for kind in one.kinds}
    for one in found.found:
        assert one.margin <= best[WIDEST].margin
        assert one.free <= best[ROOM].free
        assert one.lock.shackle.engagement <= best[LONGEST].lock.shackle.engagement
        light = best[TORQUE].torque
        assert one.torque is None or light is None or light <= one.torque


@pytest.mark.parametrize("number", range(0, 40, 9))
@pytest.mark.first(2)
def test_ordinary_plates_get_locks_that_work(number: int) -> None:
    lock = forty()[number]
    sound(lock, proposals(lock))


@pytest.mark.slow
def test_all_forty_plates_get_locks_that_work() -> None:
    for lock in forty():
        sound(lock, proposals(lock))


def against_grid(seed: int) -> bool:
    """Hold the proposals for a plate against the grid; say whether that has a lock."""
    lock = random_plate(seed)
    best, found = best_of_grid(lock), proposals(lock, AT_HAND)
    if best.margin >= 0:
        assert found.found, (seed, best)
        assert max(one.margin for one in found.found) >= 0.98 * best.margin - 1e-6, (seed, best)
    if found.found:
        assert not any(stops(one.lock) for one in found.found)
    else:
        assert found.refusal is not None
        assert found.refusal.told or found.refusal.short > 0
        # what is said to fall first does stop the lock that is nearest to one
        assert found.refusal.told or found.refusal.code in stops(found.refusal.lock)
    return best.margin >= 0


@pytest.mark.slow
def test_no_lock_on_a_grid_is_better() -> None:
    assert [against_grid(seed) for seed in (3, 5, 11, 28, 36)].count(True) == 4


@pytest.mark.slow
@pytest.mark.parametrize("hundred", range(5))
def test_no_lock_on_grids_of_five_hundred_plates_is_better(hundred: int) -> None:
    assert sum(against_grid(100 * hundred + seed) for seed in range(100)) > 60


def test_the_grid_is_a_referee() -> None:
    # its best lock, laid out, has just that margin and no stop
    lock = random_plate(14)
    best = best_of_grid(lock)
    widest = changed(lock, best.values)
    widest = widest.with_value(
        "shackle.drop", widest.bolt.nose_height + 0.1 + widest.bolt.thickness
    )
    room = {each.code.name: float(each.spare[0]) for each in limits(Locks(widest, {}))}
    of_guides = [code for code in room if "guide" in code or code == "tail-hits-wall"]
    rest = min(value for code, value in room.items() if code not in of_guides)
    assert rest >= best.margin - 0.02


def test_what_is_kept_stays_and_limits_are_held() -> None:
    kept = ("key.radius", "pivot.below", "bolt.lobe_width")
    lock = changed(DEMO, {"key.radius": 17.3, "pivot.below": 55.0, "bolt.lobe_width": 5.1})
    found = proposals(
        lock, kept, {"shackle.engagement": (0.0, 6.2), "bolt.nose_height": (5.0, 9.0)}
    )
    assert found.found
    for one in found.found:
        assert not stops(one.lock)
        assert {path: one.lock.value(path) for path in kept} == {
            path: lock.value(path) for path in kept
        }
        assert not set(kept) & {path for path, _ in one.proposal.values}
        assert one.lock.shackle.engagement <= 6.2 + 1e-9
        assert one.lock.bolt.nose_height >= 5.0


@pytest.mark.slow
def test_notches_are_proposed_anew_where_they_must_be() -> None:
    lock = load(Path(__file__).parent.parent / "projects" / "boathouse.toml").lock
    found = proposals(lock)
    assert len(found.found) >= 2
    assert not any(stops(one.lock) for one in found.found)


def test_a_plate_too_small_is_told_what_falls_first() -> None:
    found = proposals(changed(first_lock("mm"), SMALL))
    assert found.found == ()
    assert found.refusal is not None
    assert found.refusal.short > 1
    text = proposals_text(Layout(found.refusal.lock), found)
    assert f"What falls first is {found.refusal.by}" in " ".join(text.split())


@pytest.mark.slow
def test_margins_are_sound_where_the_plate_lets_them() -> None:
    found = proposals(forty()[20])
    assert all(one.margin >= SOUND - 1e-9 for one in found.found)


def test_the_coarse_grid_goes_evenly_through_the_room_for_the_key() -> None:
    """Sixths of the room from the smallest key on, places of the pivot from 12 to 88 hundredths of the plate."""
    lock = Lock()
    grid = coarse(Given(lock))
    assert np.unique(grid.at[:, 1]) == pytest.approx([0, 1 / 6, 2 / 6, 3 / 6, 4 / 6, 5 / 6])
    high = lock.plate.width if lock.plate.outline == "round" else lock.plate.height
    assert grid.at[:, 0].min() == pytest.approx(0.12 * high)
    assert grid.at[:, 0].max() == pytest.approx(0.88 * high)
