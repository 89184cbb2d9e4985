"""Clearing: at a stop, which one dimension set otherwise, else which two, rids the lock of it and brings no other.

Looked for among all that limits a lock in arrays (`core.propose.limits`): every dimension a step at a time, the least
change first; then two together. Each is seen by every check before it is named.
"""

import itertools
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import ClassVar, Literal

import numpy as np

from core.change.rescue import stop_codes
from core.layout.layout import Layout
from core.layout.remedies import Remedy
from core.lock.facts import facts
from core.lock.lock import Lock, spec_of
from core.made.standing import standing
from core.mechanism.maths import Array
from core.propose.given import PROPOSED
from core.propose.limits import every_limit
from core.propose.locks import Locks, Values
from core.propose.proposals_text import named

MOST = 3
"""Ways that are named at a time: more would not be read."""
CHECKED = 10
"""Candidates that are tried before giving up: each takes as long as a whole check."""
_TURNED = (*PROPOSED, "shackle.across", "key.bit_thickness", "key.shank")
"""What may be set otherwise; demands, such as the least bridge, stay."""
_DEMANDS = ("bolt_line.spring_room",)
"""Of these what stays all the same: it is asked for."""
_FARTHEST = 0.4
"""Share of its value, and ten steps more, by which a dimension is changed at most."""
_STEPS = 120
_EACH_WAY = 14
"""Values that are tried on either side where two dimensions go together."""
_SLACK = 1e-9
Change = tuple[tuple[str, float], ...]


@cache
def clearable(code: str) -> bool:
    """Say whether sizes may clear the stop of that code: whether it is among the limits that are known in arrays."""
    notched = Lock().with_value("shackle.catch", "notch")
    return any(limit.code.name == code for limit in every_limit(Locks(notched, {})))


@dataclass(frozen=True)
class Clearing:
    """A lock without the stop: `changes` are the values to set [mm] by path, `lock` is the lock with them."""

    changes: Change
    lock: Lock
    of_stop: ClassVar[Literal[True]] = True
    """Where an opening lets something fit: which of the two it is, without asking for its class."""

    @property
    def paths(self) -> tuple[str, ...]:
        """What it sets."""
        return tuple(path for path, _ in self.changes)

    def remedy(self, units: str) -> Remedy:
        """Return it as a remedy, in words of a lock's `units`."""
        words = [
            f"{named(path)} {spec_of(path).shown(value, units)}" for path, value in self.changes
        ]
        return Remedy(" and ".join(words), self.changes)


def clearings(
    layout: Layout, code: str, kept: frozenset[str] = frozenset()
) -> Iterator[Clearing | None]:
    """Yield what rids a lock of the stop of that code, the least change first; None between two pieces of the work.

    What is in `kept`, and what was measured, stays. Nothing is yielded for a stop that only a turn of the key shows,
    or that hangs on spring, notches or posts.
    """
    lock = layout.plan
    free = turnable(lock, kept)
    floor = floors(layout.lock, {code})
    if not floor:
        return
    stops, counts = stop_codes(layout), standing(lock).counts
    given = 0
    for found in (_singles(layout, free, floor), pairs(layout.lock, free, floor)):
        every: list[tuple[float, Change]] = []
        for candidates in found:
            yield None
            every += candidates
        seen: set[tuple[str, ...]] = set()
        for _, change in sorted(every)[: 3 * CHECKED]:
            paths = tuple(path for path, _ in change)
            if paths in seen or len(seen) == CHECKED or given == MOST:
                continue
            seen.add(paths)
            yield None
            one = changed(lock, change)
            if standing(one).counts <= counts and stop_codes(Layout(one)) <= stops - {code}:
                given += 1
                yield Clearing(change, one)
        if given:
            return


def turnable(lock: Lock, kept: Iterable[str]) -> list[str]:
    """Return the paths that may be set otherwise where those in `kept`, and what was measured, stay."""
    closed = {*kept, *facts(lock), *_DEMANDS}
    return [path for path in _TURNED if path not in closed]


def floors(lock: Lock, codes: Iterable[str]) -> dict[str, float]:
    """Return the least room [mm] to each limit by its code: what there is if it is passed, 0 for `codes` and the rest.

    Nothing where one of the `codes` is none of what is known in arrays.
    """
    now = {limit.code.name: float(limit.spare[0]) for limit in every_limit(Locks(lock, {}))}
    wanted = dict.fromkeys(codes, 0.0)
    known = wanted.keys() <= now.keys()
    return {name: min(room, 0.0) for name, room in now.items()} | wanted if known else {}


def changed(lock: Lock, change: Change) -> Lock:
    """Return a lock with other values [mm or degrees] at the paths of a change."""
    for path, value in change:
        lock = lock.with_value(path, value)
    return lock


def _values(lock: Lock, path: str, steps: int) -> Array:
    """Return round values [mm] about that of a dimension, so many on either side, as far as it may be changed."""
    spec, now = spec_of(path), float(lock.value(path))
    grain = spec.kind.grain(lock.units)
    far = _FARTHEST * abs(now) + 10 * grain
    # so many steps reach as far as it may be changed, each a whole number of grains
    stride = grain * max(int(np.ceil(far / grain / steps)), 1)
    values = np.round((round(now / stride) + np.arange(-steps, steps + 1)) * stride, 9)
    return values[(abs(values - now) <= far) & (values >= spec.low) & (values <= spec.high)]


def _keeps(locks: Locks, floor: Mapping[str, float]) -> Array:
    """Say which locks keep every limit, or pass none farther than the lock did, shape (n,)."""
    good = np.ones(locks.count, dtype=bool)
    for limit in every_limit(locks):
        good &= limit.spare >= floor[limit.code.name] - _SLACK
    return good


def _size(lock: Lock, path: str, values: Array) -> Array:
    now = float(lock.value(path))
    return np.asarray(np.abs(values - now) / max(abs(now), 1.0))


def _singles(
    layout: Layout, free: list[str], floor: dict[str, float]
) -> Iterator[list[tuple[float, Change]]]:
    """Yield for each dimension its nearest value that clears the stop, with the size of the change."""
    lock = layout.lock
    for path in free:
        values = _values(lock, path, _STEPS)
        if not len(values):
            continue
        good = _keeps(Locks(lock, {path: values}), floor)
        sizes = np.where(good, _size(lock, path, values), np.inf)
        best = int(np.argmin(sizes))
        yield [(float(sizes[best]), ((path, float(values[best])),))] if good.any() else []


def pairs(
    lock: Lock, free: Sequence[str], floor: Mapping[str, float], beside: Sequence[Values] = ({},)
) -> Iterator[list[tuple[float, Change]]]:
    """Yield for each two of the `free` dimensions the nearest values that keep the `floor` of every limit [mm].

    They keep it together with each of what stands `beside` them, values [mm] by path. With them comes the size of the
    change; nothing where there are none.
    """
    for one, other in itertools.combinations(free, 2):
        xs, ys = (_values(lock, path, _EACH_WAY) for path in (one, other))
        if not len(xs) or not len(ys):
            continue
        both: Values = {one: xs[:, None], other: ys[None, :]}
        good = np.ones(len(xs) * len(ys), dtype=bool)
        for others in beside:
            if good.any():  # most pairs are done with after the first
                good &= _keeps(Locks(lock, {**others, **both}), floor)
        if not good.any():
            yield []
            continue
        sizes = _size(lock, one, xs)[:, None] + _size(lock, other, ys)[None, :]
        sizes = np.where(good.reshape(sizes.shape), sizes, np.inf)
        row, column = np.unravel_index(int(np.argmin(sizes)), sizes.shape)
        change = (one, float(xs[row])), (other, float(ys[column]))
        yield [(float(sizes[row, column]), change)]
