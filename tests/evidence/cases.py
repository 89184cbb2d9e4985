"""The locks that are reported on, and what a judge is given and gives."""

import json
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from core.change.consequences import as_fact
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.lock.row_changes import with_row
from core.lock.rows.plugs import Plug
from core.made.marking import mark_made
from core.report.data import report
from tests.designs import Numbers, numbers, seeded, tight
from tests.held_locks import fitting, held
from tests.loaded_locks import changed, early, loaded, narrow
from tests.locks import posted

Found = Iterable[tuple[str, float, float]]
"""Numbers judged: the key, what the report says, and what the judge finds."""


@dataclass(frozen=True)
class Case:
    """One lock, with its report as a script reads it: through JSON."""

    lock: Lock

    @cached_property
    def layout(self) -> Layout:
        return Layout(self.lock)

    @cached_property
    def said(self) -> dict[str, Any]:
        said: dict[str, Any] = json.loads(json.dumps(report(self.layout), allow_nan=False))
        return said

    @cached_property
    def tooth(self) -> Numbers:
        """The tooth by the design page's iteration."""
        return numbers(self.lock)

    @property
    def throw(self) -> float:
        return self.lock.shackle.engagement + self.lock.shackle.gap


@dataclass(frozen=True)
class Judge:
    """A check that shares no formula with the program: what it does, its source, the unit, and the keys it judges.

    In a key `*` stands for anything, `[]` for every member of a list.
    """

    name: str
    check: str
    source: str
    keys: tuple[str, ...]
    found: Callable[[Case], Found]


def locks(count: int) -> Iterator[Lock]:
    """Return `count` locks: late and early pick-ups, both hands, springs; some foul, some have rows or are made."""
    for k in range(count):
        match k % 6:
            case 0 | 1:
                yield loaded(k)
            case 2:
                yield _strewn(k)
            case 3:
                yield tight(k)
            case 4:
                yield _made(k)
            case _ if k % 12 == 11:
                yield narrow(9.5 + k % 7 / 2)
            case _:
                yield early(15.3 + 5 * k % 18, spring__force=2.0 + k % 5, spring__tip_across=4.0)


def notched(count: int) -> Iterator[Lock]:
    """Return `count` locks with a strip and notches that fit: two as a maker begins, others at random."""
    mirrored = held(unlocks="left", spring__tip_across=-13.0, spring__foot_side="right")
    yield from (held(), mirrored)[:count]
    yield from fitting(max(count - 2, 0))


def _strewn(k: int) -> Lock:
    """Return a lock with a post wherever it came to stand, one clear of all, and a plug."""
    rng, lock = seeded(f"evidence {k}"), changed(loaded(k), tooth__roof="flat")
    reach = lock.key.radius + lock.fit.key_clearance
    places = [(rng.uniform(-0.5, 0.5) * reach, -reach - 4.0, rng.uniform(2, 4))]
    places += [(rng.uniform(-20, 20), rng.uniform(-30, 30), rng.uniform(2, 6))]
    plug = Plug(rng.uniform(-8, 8), rng.uniform(20, 40), 6.0, 8.0, rng.uniform(0.3, 0.9))
    return with_row(posted(*places, lock=lock), "plugs", "a", plug)


def _made(k: int) -> Lock:
    """Return a lock whose parts were made to another dimension than it has now, or with a pivot hole astray."""
    rng = seeded(f"evidence {k}")
    lock = changed(loaded(k, outline="rectangle"), tooth__roof="flat")
    parts = ("key", "bolt", "back_plate", "front_plate", "shackle")
    if k % 12 == 4:
        for part in parts[:-1]:
            lock = mark_made(lock, part)
        astray = as_fact(lock, "pivot.below", lock.pivot.below - rng.uniform(3, 9))
        assert astray is not None
        return astray
    path = rng.choice(("key.radius", "bolt.lobe_width", "bolt_line.height"))
    for part in parts:
        lock = mark_made(lock, part)
    return lock.with_value(path, lock.value(path) + rng.choice((-1, 1)) * rng.uniform(0.2, 0.6))


def leaves(value: Any, at: str = "") -> Iterator[tuple[str, float]]:
    """Return every number of a report, each with its key; members of a list share one."""
    if isinstance(value, dict):
        for key, inside in value.items():
            yield from leaves(inside, f"{at}.{key}" if at else key)
    elif isinstance(value, list):
        for inside in value:
            yield from leaves(inside, f"{at}[]")
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield at, float(value)
