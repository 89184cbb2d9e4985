"""Where nothing fits at the prompt, or the step has a stop: what to set, worked out bit by bit, taken by one key.

What works it out brings all that proposes and judges locks along: it is loaded where it is wanted, so that no start
waits for it.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from core.layout.layout import Layout
from core.lock.lock import Lock, spec_of
from core.lock.paths import place_at
from core.text import capital
from tui.desk.desk import Desk
from tui.keys.common import UNDO

if TYPE_CHECKING:
    from core.change.clearing import Clearing
    from core.change.openings import Opening


@dataclass(frozen=True)
class Opened:
    """What opens the window at the prompt `at` of a lock, so far; `complete` once all has been tried.

    With `clears` it is what rids the lock of the finding of that code instead. `looked` numbers, from 0, the one that
    is looked at before it is taken; -1 while the lock is looked at as it is.
    """

    lock: Lock
    at: str
    found: "tuple[Opening | Clearing, ...]"
    complete: bool
    clears: str = ""
    looked: int = -1

    @property
    def looked_at(self) -> "Opening | Clearing | None":
        """What is looked at before it is taken; None while the lock is looked at as it is."""
        return self.found[self.looked] if 0 <= self.looked < len(self.found) else None

    def next_looked(self) -> "Opened":
        """Return it with the next one looked at; after the last the lock as it is, and then the first."""
        after = self.looked + 1
        return replace(self, looked=after if after < len(self.found) else -1)

    def is_of(self, desk: Desk) -> bool:
        """Say whether it is about the prompt at hand."""
        return self.at == desk.path and self.lock == desk.lock


def opening(layout: Layout, at: str) -> Iterator[Opened | None]:
    """Work out what opens a window, a piece at a time: yields None between, and what is known when it is more."""
    from core.change.openings import openings

    found: tuple[Opening, ...] = ()
    yield Opened(layout.plan, at, found, complete=False)
    for one in openings(layout, at):
        if one is None:
            yield None
        else:
            found = (*found, one)
            yield Opened(layout.plan, at, found, complete=False)
    yield Opened(layout.plan, at, found, complete=True)


def clearing(layout: Layout, at: str, code: str, kept: frozenset[str]) -> Iterator[Opened | None]:
    """Work out what rids a lock of a stop, as `opening` does; what is in `kept` stays."""
    from core.change.clearing import clearings

    found: tuple[Clearing, ...] = ()
    for one in clearings(layout, code, kept):
        if one is None:
            yield None
        else:
            found = (*found, one)
            yield Opened(layout.plan, at, found, complete=False, clears=code)
    yield Opened(layout.plan, at, found, complete=True, clears=code)


def named(path: str) -> str:
    """Return the label at a path, with the part named where the step does not."""
    label, table = spec_of(path).label, place_at(path).table.replace("_", " ")
    return label if table in label else f"{table} {label.removeprefix('guide ')}"


def words(one: "Opening | Clearing", units: str) -> str:
    """Return an opening in a clause, e.g. `pivot below 45.2 mm, not 40.4 mm: 34.5 to 34.7 mm fits`."""
    if one.of_stop:
        return f"{one.remedy(units).words} clears the stop"
    at, (low, high) = spec_of(one.at), (one.window.low, one.window.high)
    ends = [at.shown(end.value, units) for end in (low, high) if end is not None]
    # two of them are as much as there is room for
    old = f", not {spec_of(one.path).shown(one.old, units)}" if one.second is None else ""
    return f"{' and '.join(_sets(one, units))}{old}: {' to '.join(ends)} fits"


def _sets(one: "Opening", units: str, between: str = " ") -> list[str]:
    """Return what an opening sets, one or two sizes in words."""
    every = [(one.path, one.new), *([(one.second[0], one.second[2])] if one.second else [])]
    return [f"{named(path)}{between}{spec_of(path).shown(new, units)}" for path, new in every]


def taken(desk: Desk, opened: Opened | None, number: int) -> Desk:
    """Return the desk with the opening of that number, from 0, taken; it stays at the prompt."""
    if opened is None or not opened.is_of(desk):
        return desk
    if number >= len(opened.found):
        return desk.said("There is no such way to let something fit here.")
    one = opened.found[number]
    if one.of_stop:
        told = one.remedy(desk.units).words
        there = desk.changed(one.lock, f"rid of a stop: {told}", one.changes[0][0])
        return there.said(f"{capital(told)} now: the stop is gone. {UNDO.shown} takes it back.")
    at, by = spec_of(one.at), " and the ".join(map(named, one.paths))
    # to take it back leads to the prompt for whose sake it was done
    there = desk.changed(one.lock, f"room by the {by} for the {at.label}", one.at)
    now, value = " and ".join(_sets(one, desk.units, " is ")), at.shown(one.value, desk.units)
    return there.said(f"{capital(now)} now. {value} fits here. {UNDO.shown} takes it back.")
