"""Openings: where nothing fits at a prompt, which dimension elsewhere, else which two, set otherwise, makes room.

Each is tried before it is named: with it, and with the value that then fits, the two ends that excluded each other are
kept, nothing else stops the lock that did not stop it before, and no made part stands worse.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar, Literal

import numpy as np

from core.change.clearing import Change, changed, floors, pairs, turnable
from core.change.rescue import dimensions, stop_codes
from core.checks.gathered import all_checks, windows
from core.layout.layout import Layout
from core.layout.part import Check
from core.layout.windows import Window, merged
from core.lock.facts import facts
from core.lock.lock import Lock, spec_of
from core.made.standing import standing

MOST = 3
"""Openings that are named at a time: more would not be read."""
CHECKED = 8
"""Candidates that are tried before giving up: each takes as long as a whole check."""
ROOM = 0.2
"""Least room [mm or degrees] that is opened, so that a hand can keep to it; common practice, no source."""
_FARTHEST = 0.5
"""Share of its value, and ten steps more, by which a dimension is changed at most."""
_DEAF = 3
"""Steps without any more room after which a dimension is given up."""


@dataclass(frozen=True)
class Opening:
    """One dimension to set otherwise: `new` in the place of `old` [mm or degrees] at `path`.

    Where two go together, the `second` is its path with its value before and after. `window` is what fits then at the
    prompt `at`, and `value` a round value in its middle.
    """

    path: str
    old: float
    new: float
    at: str
    window: Window
    value: float
    lock: Lock
    """The lock with the dimension set, or both; the prompt still has its old value."""
    second: tuple[str, float, float] | None = None
    of_stop: ClassVar[Literal[False]] = False
    """Where a clearing rids the lock of a stop: which of the two it is, without asking for its class."""

    @property
    def paths(self) -> tuple[str, ...]:
        """What it sets, but for the value at the prompt."""
        return (self.path, self.second[0]) if self.second else (self.path,)

    @property
    def settled(self) -> Lock:
        """The lock with both set."""
        return self.lock.with_value(self.at, self.value)


def openings(layout: Layout, at: str) -> Iterator[Opening | None]:
    """Yield what lets something fit at the prompt `at`, the least change first; None between two pieces of the work.

    Nothing is yielded where something fits already. Demands, such as the least bridge, and clearances that
    are kept on paper alone are left as they are.
    """
    window = windows(layout).get(at)
    if window is None or not window.conflict:
        return
    lock = layout.plan
    asked = [check for check in all_checks() if any(check.bounds_on(layout, at))]
    found: list[tuple[float, Change]] = []
    for path in dimensions(lock, {at, *facts(lock)}):
        for way in (-1, 1):
            yield None
            new = _nearest(layout, asked, at, path, way)
            if new is not None:
                old = float(lock.value(path))
                found.append((abs(new - old) / max(abs(old), 1.0), ((path, new),)))
    alone = False
    for one in _checked(layout, at, window, found):
        alone = alone or one is not None
        yield one
    if alone:
        return
    found = []
    for candidates in _by_two(layout, at, window):
        yield None
        found += candidates
    yield from _checked(layout, at, window, found)


def _checked(
    layout: Layout, at: str, window: Window, found: list[tuple[float, Change]]
) -> Iterator[Opening | None]:
    """Yield of what was found what every check agrees to, the least change first, each dimension or two once."""
    stops, counts = stop_codes(layout), standing(layout.plan).counts
    given: set[tuple[str, ...]] = set()
    for _, change in sorted(found)[:CHECKED]:
        paths = tuple(path for path, _ in change)
        if paths in given or len(given) == MOST:
            continue
        yield None
        one = _tried(layout, at, change)
        if one is None or standing(one.settled).counts > counts:
            continue
        yield None
        opened = stop_codes(Layout(one.settled))
        if opened <= stops and not opened & _set_by(window):
            given.add(paths)
            yield one


def _by_two(layout: Layout, at: str, window: Window) -> Iterator[list[tuple[float, Change]]]:
    """Yield for each two dimensions the nearest values with which something fits, at what was either end or amid them.

    Nothing where an end is there for what only a turn of the key shows, or hangs on spring, notches or posts.
    """
    floor = floors(layout.lock, _set_by(window))
    if not floor or window.low is None or window.high is None:
        return
    spec, grain = spec_of(at), spec_of(at).kind.grain(layout.lock.units)
    half = max(ROOM, grain) / 2
    free = turnable(layout.plan, {at})
    low, high = window.low.value, window.high.value
    for value in ((low + high) / 2, low + half, high - half):
        there = round(value / grain) * grain
        ends = [{at: np.array(there + side)} for side in (-half, half)]
        if spec.low <= there - half and there + half <= spec.high:
            yield from pairs(layout.lock, free, floor, ends)


def _set_by(window: Window) -> set[str]:
    """Return the codes of what the ends of a window are there for."""
    return {end.code.name for end in (window.low, window.high) if end is not None}


def _tried(layout: Layout, at: str, change: Change) -> Opening | None:
    """Return the opening by a change, None where it leaves no room, or the prompt does not take what fits then."""
    was, lock = layout.plan, changed(layout.plan, change)
    window = windows(Layout(lock)).get(at)
    if window is None or window.low is None or window.high is None:
        return None
    spec = spec_of(at)
    grain = spec.kind.grain(lock.units)
    value = round(round((window.low.value + window.high.value) / 2 / grain) * grain, 9)
    room = window.high.value - window.low.value
    if room < ROOM - 1e-9 or not (window.holds(value) and spec.low <= value <= spec.high):
        return None
    (path, old, new), *more = ((path, float(was.value(path)), new) for path, new in change)
    return Opening(path, old, new, at, window, value, lock, more[0] if more else None)


def _room(layout: Layout, asked: Sequence[Check], at: str) -> float:
    """Return by how much [mm or degrees] the ends at a prompt leave room; below 0 they exclude each other."""
    bounds = (bound for check in asked for bound in check.bounds_on(layout, at))
    window = merged(bounds).get(at)
    if window is None or window.low is None or window.high is None:
        return -math.inf
    return window.high.value - window.low.value


def _nearest(layout: Layout, asked: Sequence[Check], at: str, path: str, way: int) -> float | None:
    """Return the nearest round value one way that opens the prompt: looked for ever farther out, then by halving."""
    spec, now, units = spec_of(path), float(layout.plan.value(path)), layout.lock.units
    grain = spec.kind.grain(units)
    need = max(ROOM, spec_of(at).kind.grain(units))
    first = math.floor(now / grain + 1e-9) if way > 0 else math.ceil(now / grain - 1e-9)
    farthest = _FARTHEST * abs(now) + 10 * grain

    def value(steps: int) -> float:
        return round((first + way * steps) * grain, 9)

    def room(steps: int) -> float | None:
        there = value(steps)
        if not spec.low <= there <= spec.high or abs(there - now) > farthest:
            return None
        return _room(Layout(layout.plan.with_value(path, there)), asked, at)

    begin = _room(layout, asked, at)
    low, high = 0, 1
    while (here := room(high)) is not None and here < need:
        if high >= _DEAF and here <= begin + 1e-9:
            return None
        low, high = high, math.ceil(1.6 * high)
    if here is None:
        return None
    while high - low > 1:
        middle = (low + high) // 2
        there = room(middle)
        low, high = (low, middle) if there is not None and there >= need else (middle, high)
    return value(high)
