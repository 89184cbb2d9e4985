"""How far nose and tail may hang down past the key: what the whole lock says there, and a sweep without the law."""

import pytest

from core.checks import gathered
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.turning import leg_ends
from tests.confusion import swept
from tests.counts import tries
from tests.test_first_stop import drawn

BESIDE = 1e-4
"""How far [mm] on either side of an end the lock is looked at."""
FELT = 0.05
"""How far [mm] on either side the sweep is asked: it takes what overlaps by less for touching."""
FOULS = "key-fouls-bolt"


def stops(lock: Lock) -> frozenset[str]:
    return frozenset(f.code for f in gathered.findings(Layout(lock)) if f.level == "stop")


def ends(lock: Lock) -> dict[str, float]:
    return {bound.path: bound.value for bound in leg_ends.CHECK.bounds(Layout(lock))}


@pytest.mark.slow
def test_the_key_passes_just_inside_and_fouls_just_outside() -> None:
    told = swept_too = 0
    for seed in range(tries(8, 60)):
        lock = drawn(seed)
        if FOULS in stops(lock):
            continue
        for path, end in ends(lock).items():
            inside, outside = (lock.with_value(path, end + by) for by in (-BESIDE, BESIDE))
            assert FOULS not in stops(inside), (seed, path, end)
            assert FOULS in stops(outside), (seed, path, end)
            told += 1
            if path == leg_ends.TAIL and not stops(lock):
                # what overlaps by a sliver is no foul to the sweep, so it is asked a little farther off
                near, far = (Layout(lock.with_value(path, end + by)) for by in (-FELT, FELT))
                assert (bool(swept(near)), bool(swept(far))) == (False, True), (seed, end)
                swept_too += 1
    assert told > tries(8, 60)
    assert swept_too >= 2


def test_both_legs_end_alike_and_a_lock_without_a_tooth_has_no_such_end() -> None:
    lock = drawn(20)
    # turned back, the key passes the nose as it passed the tail
    found = ends(lock)
    assert found[leg_ends.NOSE] == pytest.approx(found[leg_ends.TAIL], abs=1e-6)
    assert ends(lock.with_value("key.radius", 2.0)) == {}
