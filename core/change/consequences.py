"""One dimension changed in a lock of which parts are already made: what that does to them, and the remedy.

A change can be read in two ways. As a *wish* the dimension is to be so, and whatever was made to the old value
is held against the new one. As a *fact* it came out so: the parts on which it can be measured are
as they are, what is fixed or scribed on the plates stays where it is, and the rest is held
against that.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Literal

from core.change.rescue import MOST, Offer, besides, instead, nothing, stop_codes
from core.layout.frames import to_mechanism
from core.layout.layout import Layout
from core.lock.facts import as_made, facts, record_of, settled, with_measured
from core.lock.lock import Lock, expanded, of_metal_alone, spec_of
from core.lock.paths import covers, place_at
from core.lock.row_kinds import row_kinds
from core.made.holding import LINE, PIVOT, held_places
from core.made.standing import Standing, standing
from core.whole import assembly

Kind = Literal["wish", "fact"]


@dataclass(frozen=True)
class Reading:
    """One way to read a change: the lock to go on with, and how its made parts stand.

    `held` are the dimensions that follow because something in the plates stays where it is: path, old
    and new value [mm].
    """

    kind: Kind
    standing: Standing
    held: tuple[tuple[str, float, float], ...] = ()

    @property
    def lock(self) -> Lock:
        """The lock to go on with when the change is accepted in this reading."""
        return self.standing.lock


@dataclass(frozen=True)
class Consequences:
    """A change of one dimension; `old` and `new` are its values [mm, degrees, N or a choice].

    `wish` is the change as a wish, `fact` as a fact: None where no made part has this dimension on it. The
    offers take longer and are worked out when they are asked for.
    """

    before: Standing
    path: str
    old: Any
    new: Any
    wish: Reading
    fact: Reading | None

    @cached_property
    def stops(self) -> frozenset[str]:
        """Codes of the findings that stop the lock before the change."""
        return stop_codes(self.before.layout)

    @cached_property
    def wish_offers(self) -> tuple[Offer, ...]:
        """What may be set besides the change, or instead of it, taken as a wish; the best first."""
        return _gathered(self.seek(self.wish))

    @cached_property
    def fact_offers(self) -> tuple[Offer, ...]:
        """What may be set besides the change, taken as a fact; the best first."""
        return () if self.fact is None else _gathered(self.seek(self.fact))

    def seek(self, reading: Reading) -> Iterator[Offer | None]:
        """Yield the offers for a reading, the best first, and None between two pieces of the work.

        A screen can look at its keys meanwhile, and drop the search when the change is another.
        """
        stops = self.stops
        yield None
        idle = nothing(reading.standing, self.path, self.old, self.new, stops)
        if idle is not None:
            yield idle
        if not reading.standing.to_work_on():
            return
        count = 0
        for found in besides(reading.standing, (self.path,), stops):
            count += found is not None
            yield found
        if reading.kind == "wish" and count < MOST:
            for found in instead(self.before, reading.standing, (self.path,), stops):
                if count < MOST:
                    count += found is not None
                    yield found


def _gathered(found: Iterator[Offer | None]) -> tuple[Offer, ...]:
    return tuple(offer for offer in found if offer is not None)


def consequences(
    lock: Lock, path: str, value: object, before: Standing | None = None
) -> Consequences:
    """Return what it means to set `path` to `value` [mm, degrees, N or a choice] in `lock`.

    `before` is how its made parts stand, where that is known already: one that is asked about
    value after value is not worked out anew each time.

    Raises
    ------
    KeyError
        For a path that no lock has.
    BadValueError
        For a value that may not stand there.
    """
    before = standing(lock) if before is None else before
    good = lock.with_value(path, value).value(path)
    old = before.layout.lock
    wish = Reading("wish", standing(as_wish(lock, path, good)))
    came_out = as_fact(lock, path, good)
    fact = None
    if came_out is not None:
        fact = Reading("fact", standing(came_out), tuple(_held(old, as_made(came_out), path)))
    return Consequences(before, path, old.value(path), good, wish, fact)


def _held(old: Lock, new: Lock, path: str) -> Iterator[tuple[str, float, float]]:
    """Yield what follows from a fact at `path` because it stays where it is, with its old and new value [mm]."""
    for held in (LINE, *expanded(new, row_kinds())):
        before, after = old.value(held), new.value(held)
        if held != path and before != after:
            yield held, before, after


def as_wish(lock: Lock, path: str, value: object) -> Lock:
    """Return the lock in which `path` is wished to be `value`, whatever was measured before."""
    return settled(lock, path).with_value(path, value)


def as_fact(lock: Lock, path: str, value: object) -> Lock | None:
    """Return the lock in which `path` came out as `value` on the made parts that have it on them.

    None where none has. What is scribed or fixed on a made back plate stays there when the pivot moves.
    """
    parts = [w for w in assembly.workpieces().values() if covers(w.measurable, path)]
    made = [w.key for w in parts if record_of(lock, w.key) is not None]
    if not made:
        return None
    new = lock if path in of_metal_alone() else lock.with_value(path, value)
    for part in made:
        new = with_measured(new, part, path, value)
    if path in PIVOT:
        new = _with_rows_held(lock, new, made)
        return _with_line_held(lock, new) if "back_plate" in made else new
    return new


def _with_rows_held(old: Lock, new: Lock, made: list[str]) -> Lock:
    """Return `new` with what is drilled in the made plates where `old` has it: measured there."""
    now, moved = as_made(old), as_made(new)
    for part in made:
        record = record_of(old, part)
        values = record.planned if record is not None else ()
        drilled = {place_at(path).holder for path, _ in values}
        every = expanded(now, row_kinds())
        rows = {path: now.value(path) for path in every if place_at(path).holder in drilled}
        sides = ({**rows, **{path: lock.value(path) for path in PIVOT}} for lock in (now, moved))
        for path, value in held_places(*sides).items():
            new = with_measured(new, part, path, value)
    return new


def _with_line_held(old: Lock, new: Lock) -> Lock:
    """Return `new` with the bolt line where `old` has it in the plate.

    The line cannot be square to both centrelines; it is held where the new centreline crosses it.
    """
    if LINE in facts(new):
        return new
    there = to_mechanism(Layout(old))
    back = to_mechanism(Layout(new)).inverse()
    # where the new pivot, and a point one up its centreline, lie above the old pivot
    pivot, above = there.point(back.point((0.0, 0.0))), there.point(back.point((0.0, 1.0)))
    rise = above[1] - pivot[1]
    height = (Layout(old).lock.value(LINE) - pivot[1]) / rise if abs(rise) > 1e-9 else math.nan
    spec = spec_of(LINE)
    return new.with_value(LINE, height) if spec.low <= height <= spec.high else new
