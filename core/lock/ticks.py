"""Ticking tasks of the order of work, and taking ticks away."""

from collections.abc import Iterable
from dataclasses import replace

from core.lock.done import Tick
from core.lock.lock import Lock


def ticked(lock: Lock, ticks: Iterable[Tick]) -> Lock:
    """Return the lock with these tasks done; one that was done before is done in its state now."""
    new = {(tick.stage, tick.task): tick for tick in (*lock.work, *ticks)}
    return replace(lock, work=tuple(sorted(new.values())))


def unticked(lock: Lock, tasks: Iterable[tuple[str, str]]) -> Lock:
    """Return the lock in which tasks, each by stage and key, are not done."""
    gone = set(tasks)
    return replace(lock, work=tuple(t for t in lock.work if (t.stage, t.task) not in gone))
