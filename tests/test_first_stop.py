"""Every end of every window is the first value at which any stop appears that moving the dimension causes.

On 200 locks by chance, plain ones and ones with strip and notches, every dimension that has a window is walked from
its value to both ends, in sixths of the way and by halving what is left of it: on the way no part of the lock may find
a stop that it did not find before, and just outside the code is found that the end names. Where an end is open, the
walk goes three times as far again.

The parts are asked, not the turn of the key: what it fouls and where it jams has no closed form, and sets no end but
those of the pick-up angle and of the legs' heights, just outside of which it is asked too. Nor are the stops past the
seats, of which these locks ask for none.

On a way only the parts are asked that ask for the dimension at all (`tests/read_paths.py`), and just outside of each
end all of them, which has to come to the same.
"""

from collections import Counter
from collections.abc import Iterable, Mapping

import pytest

from core.checks import gathered
from core.errors import BadValueError
from core.layout.layout import Layout
from core.layout.part import Part
from core.layout.windows import Bound, Window, merged
from core.lock.lock import Lock, spec_of
from core.whole import assembly
from tests.counts import tries
from tests.designs import plausible
from tests.held_locks import random_held
from tests.met_ends import LEGS
from tests.read_paths import asked_for, is_in
from tests.test_windows import fouled

BESIDE = 1e-4
"""How far [mm] on either side of an end the lock is looked at."""
SIXTHS = (1 / 6, 1 / 3, 2 / 3, 5 / 6)
NEAREST = 0.01
"""How near [mm] the halving goes to an end, before the last look just inside it."""
PARTS = tuple(
    part
    for part in assembly.all_parts()
    if part.name != "stops" and any(code.level == "stop" for code in (*part.codes, *part.family()))
)
INSTEAD = {"no-tooth", "no-drive"}
"""Without a tooth, or with one that is never driven, the tooth's other findings are not given."""
OPEN = 3.0
STILL_OPEN: dict[tuple[str, str], str] = {}
"""Ends that are not yet the first, by path and the stop that comes before, with the reason."""


def drawn(seed: int) -> Lock:
    """Return one of the locks; whether a scribed roof can stand takes a whole turn, and sets no window."""
    lock = plausible(seed) if seed % 3 else random_held(seed)
    return lock.with_value("tooth.roof", "flat")


Asked = Mapping[str, frozenset[str]]
"""By the name of each part the paths of the values that it asks a lock for."""


def stops(lock: Lock, parts: Iterable[Part] = PARTS) -> frozenset[str]:
    layout = Layout(lock)
    found = (finding for part in parts for finding in part.findings(layout))
    return frozenset(finding.code for finding in found if finding.level == "stop")


def asked(lock: Lock) -> Asked:
    def by(part: Part) -> frozenset[str]:
        return asked_for(lambda layout: tuple(part.findings(layout)), lock)

    return {part.name: by(part) for part in PARTS}


def ends(path: str, window: Window, now: float) -> tuple[tuple[Bound | None, float], ...]:
    """Return both ends with how far to go to them."""
    spec = spec_of(path)
    far = OPEN * (abs(now) + 10.0)
    low = max(spec.low, now - far) if window.low is None else window.low.value
    high = min(spec.high, now + far) if window.high is None else window.high.value
    return (window.low, low), (window.high, high)


def places(begin: float, last: float) -> list[float]:
    """Return where a way is looked at: in sixths, by halving what is left, and at its last."""
    way, left, shares = abs(last - begin), 0.5, [*SIXTHS, 1.0]
    while left * way > NEAREST:
        shares.append(1.0 - left)
        left /= 2
    return [begin + (last - begin) * share for share in sorted(shares)]


def walked(lock: Lock, path: str, window: Window, asked_by: Asked, seen: Counter[str]) -> list[str]:
    """Walk one window of a lock; return what does not hold."""
    now = float(lock.value(path))
    (low, least), (high, most) = ends(path, window, now)
    begin = min(max(now, least + BESIDE), most - BESIDE)
    wrong: list[str] = []
    moved = [part for part in PARTS if is_in(path, asked_by[part.name])]
    kept = stops(lock, [part for part in PARTS if part not in moved])

    def at(value: float) -> frozenset[str] | None:
        try:
            return kept | stops(lock.with_value(path, value), moved)
        except BadValueError:
            return None

    before = at(begin)
    if window.conflict or before is None:
        return wrong
    for bound, end, way in ((low, least, -1), (high, most, 1)):
        last = end - way * BESIDE
        for value in places(begin, last):
            new = (at(value) or before) - before
            new = frozenset(code for code in new if (path, code) not in STILL_OPEN)
            if new:
                wrong.append(
                    f"{path} {end:.4f} by {bound and bound.code.name}: first {sorted(new)}"
                )
                break
        outside = at(end + way * BESIDE) if bound is not None else None
        if bound is None or outside is None or bound.code.level != "stop":
            continue
        assert outside == stops(lock.with_value(path, end + way * BESIDE)), path
        if path in LEGS:
            outside |= fouled(lock.with_value(path, end + way * BESIDE))
        seen[path] += 1
        if bound.code.name not in outside and not outside & INSTEAD:
            wrong.append(f"{path} {end:.4f} by {bound.code.name}: not found outside")
    return wrong


@pytest.mark.slow
@pytest.mark.parametrize("part", range(4))
def test_no_stop_comes_before_the_end_of_a_window(part: int) -> None:
    seen: Counter[str] = Counter()
    wrong = []
    for seed in range(50 * part, 50 * part + tries(10, 50)):
        lock = drawn(seed)
        layout = Layout(lock)
        told = merged(bound for check in gathered.all_checks() for bound in check.bounds(layout))
        asked_by = asked(lock)
        for path, window in told.items():
            wrong += [f"{seed}: {one}" for one in walked(lock, path, window, asked_by, seen)]
    assert not wrong, "\n".join(wrong)
    assert len(seen) >= 20
