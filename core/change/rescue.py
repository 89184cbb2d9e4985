"""Rescues: which dimension, set otherwise, leaves all of the made parts good, or such as work as they are.

It is a single one, or two that go against each other so that their sum stays, such as engagement and gap, whose sum
is the throw.

Two kinds are offered. *Besides*: the change stands, and one more dimension goes with it, such as a bolt line
that is set to the pivot as it came out. *Instead*: the change is dropped, and another dimension gives what it
was for, such as a lower bolt line in the place of a lower pivot. Nothing is offered that
leaves a finding of level `stop` which the lock before the change did not have, and nothing that only hides what is off:
a clearance that is asked for on paper, or a purpose that parts which are made do not come to.

Where all parts work as they are, what is offered is to do nothing.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache, partial
from itertools import islice
from typing import Any

import numpy as np

from core.change.knobs import Knob
from core.checks import gathered
from core.layout.layout import Layout
from core.layout.outcomes import Outcome
from core.lock.facts import facts
from core.lock.lock import Lock, expanded, of_metal_alone, of_paper_alone, paths, spec_of
from core.lock.paths import covers
from core.made.fitting import WORDS
from core.made.solving import Row, least_squares, nearest_value, round_values
from core.made.standing import Standing, standing
from core.whole import assembly
from core.whole.as_built import as_built

MOST = 3
"""Offers that are made at a time: more would not be read."""
CHECKED = 6
"""Candidates whose findings are worked out before giving up: each takes as long as a whole check."""
WORTH = 0.02
"""Change [mm or degrees] of an outcome that can be what a change was for."""
EXACT = 0.02
"""Share of a difference that is left where a value makes a workpiece just as it was."""
ROUND = 4
"""Round values that are tried near one that is not."""


@dataclass(frozen=True)
class Offer:
    """One dimension to set otherwise: `new` in the place of `old` [mm or degrees], and how all then stands.

    With it goes a `second`, where a sum stays: its path, and its value before and after.
    `saved` are the workpieces that it makes better than the change alone does, by name. `purpose` is the
    outcome for whose sake the change was made, where this is to be done instead of it. To do `nothing` leaves the
    change as it is, `old` and `new` being its own.
    """

    path: str
    old: Any
    new: Any
    standing: Standing
    saved: tuple[str, ...]
    purpose: Outcome | None = None
    second: tuple[str, float, float] | None = None
    nothing: bool = False

    @property
    def lock(self) -> Lock:
        """The lock to go on with when the offer is taken."""
        return self.standing.lock


_Found = tuple[Standing, Knob, float, Outcome | None]


def nothing(base: Standing, path: str, old: Any, new: Any, stops: frozenset[str]) -> Offer | None:
    """Return the offer to do nothing besides a change at `path`, where the parts work as they are; None elsewhere.

    None too where every part is good: then there is nothing to do. `stops` are the codes of the findings that stop
    the lock already.
    """
    works = tuple(v.name for v in base.verdicts if v.word == "use")
    if base.to_work_on() or not works or not stop_codes(base.layout) <= stops:
        return None
    return Offer(path, old, new, base, works, nothing=True)


def besides(base: Standing, kept: Iterable[str], stops: frozenset[str]) -> Iterator[Offer | None]:
    """Yield what may be set besides a change, the best first; None between two pieces of the work.

    `base` is the standing with the change, `kept` the paths that may not be touched, `stops` the codes of the
    findings that stop the lock already.
    """
    closed = {*kept, *facts(base.lock)}
    rough = base.roughly()
    found: list[_Found] = []
    for knob, value, left in _values(rough, closed):
        yield None
        better = _best(rough, knob, value, left)
        if better is not None:
            found.append((better, knob, better.lock.value(knob.path), None))
    yield from _checked(base, base.lock, [f for f in found if f[0].counts < rough.counts], stops)


def instead(
    old: Standing, changed: Standing, kept: Iterable[str], stops: frozenset[str]
) -> Iterator[Offer | None]:
    """Yield what may be set instead of a change, the best first; None between two pieces of the work.

    `old` is the standing before and `changed` the one with the change. What the change was for is taken to be
    the outcome that it made better most; an offer brings that to the same value and leaves more
    parts good than the change does.
    """
    before, after = gathered.quick_values(old.layout), gathered.quick_values(changed.layout)
    gains = [
        ((wanted - was) * outcome.better, outcome, wanted)
        for outcome in gathered.quick_outcomes()
        if (was := before[outcome.name]) is not None and (wanted := after[outcome.name]) is not None
    ]
    gain, outcome, wanted = max(gains, key=lambda found: found[0])
    if gain < WORTH:
        return
    rough = old.roughly()
    found: list[_Found] = []
    for path in dimensions(old.lock, {*kept, *facts(old.lock)}):
        yield None
        value = _solved(rough.lock, path, outcome, wanted)
        if value is None:
            continue
        tried = rough.with_value(path, value)
        if _comes_to(outcome, tried.layout, wanted):
            found.append((tried, Knob(path), value, outcome))
    most = changed.by_shape().counts
    yield from _checked(changed, old.lock, [f for f in found if f[0].counts < most], stops)


def _comes_to(outcome: Outcome, layout: Layout, wanted: float) -> bool:
    """Say whether the parts, those that are made as they are, come to the value `wanted` of an outcome."""
    found = outcome.of(as_built(layout))
    return found is not None and (found - wanted) * (outcome.better or 1) > -WORTH


def _values(base: Standing, closed: set[str]) -> Iterator[tuple[Knob, float, float]]:
    """Yield what can be turned with a value for which one of the bad workpieces is as like as can be to its making.

    With each comes the share of the difference that is left.
    """
    known = assembly.workpieces()
    records = {record.part: record for record in base.lock.made}
    seen: set[tuple[Knob, float]] = set()
    for bad in base.to_work_on():
        shaping = expanded(base.lock, known[bad.part].shaped_by)
        pairs = [pair for pair in sums() if set(pair) <= set(shaping)]
        for knob in (*map(Knob, shaping), *(Knob(*pair) for pair in pairs)):
            if not closed.isdisjoint(knob.paths) or not _searched(base.lock, knob.path):
                continue
            now, ends = float(base.lock.value(knob.path)), knob.ends(base.lock)
            found = nearest_value(
                known[bad.part],
                records[bad.part],
                base.lock,
                partial(knob.set_in, base.lock),
                now,
                ends,
            )
            if found is not None and (knob, round(found[0], 3)) not in seen:
                seen.add((knob, round(found[0], 3)))
                yield knob, round(found[0], 3), found[1]


@cache
def sums() -> tuple[tuple[str, str], ...]:
    """Return the pairs of dimensions whose sum decides more than either, as their parts name them."""
    return tuple(pair for part in assembly.all_parts() for pair in part.sums)


def _best(base: Standing, knob: Knob, value: float, left: float) -> Standing | None:
    """Return the standing at or near `value` that leaves most good, at a round one where it is no worse.

    Where `value` leaves a share of the difference, its neighbours may do better than it.
    """
    if not knob.fits(base.lock, value):
        return None
    first = knob.set_for(base, value)
    if first.counts >= base.counts and left < EXACT:
        return None
    grain = spec_of(knob.path).kind.grain(base.lock.units)
    near = islice(round_values(value, float(base.lock.value(knob.path)), grain), ROUND)
    tried = [knob.set_for(base, v) for v in near if knob.fits(base.lock, v)]
    best = min(standing.rank for standing in (*tried, first))
    if best[:3] >= base.counts:
        return None
    slack = base.layout.lock.fit.made_tolerance / 2
    good = (
        standing
        for standing in (*tried, first)
        if standing.counts == best[:3] and sum(standing.rank[3:6]) <= sum(best[3:6]) + slack
    )
    return next(good)


def _checked(
    base: Standing, start: Lock, found: list[_Found], stops: frozenset[str]
) -> Iterator[Offer | None]:
    """Yield the best offers, judged exactly, that leave no new finding of level `stop`.

    They are made on `start` and held against `base`. There is one at most for each dimension.
    """
    given: set[Knob] = set()
    checked = 0
    # of two that do as much, one dimension goes before two
    for _, knob, value, purpose in sorted(
        found, key=lambda f: (f[0].rank, len(f[1].paths), abs(f[2] - start.value(f[1].path)))
    ):
        if knob in given or len(given) == MOST or checked == CHECKED:
            continue
        yield None
        exact = standing(knob.set_in(start, value))
        if exact.to_work_on() or exact.counts >= base.counts:
            continue
        yield None
        checked += 1
        if stop_codes(exact.layout) <= stops:
            given.add(knob)
            other, second = knob.other, None
            if other:
                second = (other, start.value(other), exact.lock.value(other))
            old = start.value(knob.path)
            yield Offer(knob.path, old, value, exact, _saved(base, exact), purpose, second)


def _saved(base: Standing, after: Standing) -> tuple[str, ...]:
    """Return the names of the workpieces that stand better than before."""
    words = {v.part: WORDS.index(v.word) for v in base.verdicts}
    return tuple(v.name for v in after.verdicts if WORDS.index(v.word) < words[v.part])


def stop_codes(layout: Layout) -> frozenset[str]:
    """Return the codes of the findings that stop a lock: as it is wanted, and with what is made as it is."""
    found = (*gathered.wanted_findings(layout), *gathered.findings(layout))
    return frozenset(f.code for f in found if f.level == "stop")


def dimensions(lock: Lock, closed: set[str]) -> Iterator[str]:
    """Yield the dimensions that may be tried; those of both plates are left alone once one of them is made."""
    known, made = assembly.workpieces(), {record.part for record in lock.made}
    shaping = {name for workpiece in known.values() for name in workpiece.paths}
    plates = [workpiece for workpiece in known.values() if workpiece.carries]
    if any(plate.key in made for plate in plates):
        shaping -= {name for plate in plates for name in plate.shaped_by}
    for path in paths(lock):
        if covers(shaping, path) and path not in closed and _searched(lock, path):
            yield path


def _searched(lock: Lock, path: str) -> bool:
    """Say whether a better value may be looked for at a path: one that metal follows, and not what is off on a part."""
    if path in of_metal_alone() or path in of_paper_alone():
        return False
    return spec_of(path).kind.grain(lock.units) > 0


def _solved(lock: Lock, path: str, outcome: Outcome, wanted: float) -> float | None:
    """Return the value at `path` that brings an outcome to what is wanted, None where none does."""

    def off(value: float) -> Row | None:
        found = outcome.of(Layout(lock.with_value(path, value)))
        return None if found is None else np.array([found - wanted])

    spec = spec_of(path)
    found = least_squares(off, float(lock.value(path)), spec.low, spec.high, most=0.05)
    return None if found is None else round(found[0], 3)
