"""What was read off at the bench, and which dimension is the likely cause.

For each dimension that was not measured yet, and on one workpiece at a time, the value is sought that explains
the readings best: least squares, each reading weighed by its accuracy, worked out anew at every step from the
exact geometry. How sure a cause is follows from how well it explains them and from how far off it would have
to be: weight exp(-(misfit + (deviation / usual)^2) / 2), shared out over all causes (Gaussian likelihood and
prior; any text on least squares). The usual deviation is common practice, no source.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from core.change.bench import Bench, bench_of, laid_at, parts_of, planned_bench
from core.change.readings import READ_OFF
from core.errors import BadValueError
from core.layout.workpiece import Suspect
from core.lock.facts import record_of, with_record
from core.lock.lock import Lock, of_metal_alone, spec_of
from core.lock.made import Made, ordered
from core.lock.numbers import is_number
from core.made.holding import PIVOT
from core.made.solving import Row, least_squares
from core.text import shown
from core.whole import assembly

USUAL = 0.3
"""How far [mm] a dimension is usually off before it is measured; common practice, no source."""
SURE = 2.0
"""Accuracies by which a reading may miss and still count as explained: 95 % of a normal spread."""
NONE_THERE = 20.0
"""Accuracies that count where a reading was taken of what there should be none of."""
PACE = 0.02
"""Step [mm or degrees] over which the slope of a reading is taken, so that chords for arcs count for nothing."""


@dataclass(frozen=True)
class Cause:
    """A suspect of the workpiece with the key `part`, with the value that explains the readings best [mm].

    `planned` is what it should be.
    `misfit` is the sum of squares that is left, in units of the readings' accuracies, and `worst` the reading
    that is explained least, in those units. `share` is how sure it is among all causes, 0 to 1;
    `expected` are all readings with this cause.
    """

    part: str
    suspect: Suspect
    planned: float
    value: float
    misfit: float
    worst: float
    share: float
    expected: Mapping[str, float]

    @property
    def off(self) -> float:
        """How far off it is [mm], more than planned positive."""
        return self.value - self.planned

    def outwards(self, lock: Lock) -> float:
        """Return how far off it is [mm], what lies farther from the centreline being more."""
        left = self.suspect.sideways and lock.unlocks == "right"
        return -self.off if left else self.off

    @property
    def explains(self) -> bool:
        """Whether every reading is explained to within twice its accuracy."""
        return self.worst <= SURE


@dataclass(frozen=True)
class Diagnosis:
    """What was read, what the plan gives, and the causes, the likeliest first.

    `fine` says that the plan explains the readings as it is. `ask` names the reading that would tell the
    two likeliest causes apart best, None where none would.
    """

    read: Mapping[str, float]
    expected: Mapping[str, float]
    fine: bool
    causes: tuple[Cause, ...]
    ask: str | None

    @property
    def likely(self) -> tuple[Cause, ...]:
        """The causes that explain every reading."""
        return tuple(cause for cause in self.causes if cause.explains)


def diagnose(lock: Lock, read: Mapping[str, float]) -> Diagnosis:
    """Return the likely causes of what was `read` off: values [mm, degrees] by the names of `READ_OFF`.

    Raises
    ------
    BadValueError
        For a name that there is no reading of, or a value that is no number, or for no reading at all.
    """
    for name, value in read.items():
        if name not in READ_OFF:
            raise BadValueError(f"{name} is nothing to read off: it takes {', '.join(READ_OFF)}")
        if not is_number(value):
            raise BadValueError(f"{name} = {shown(value)} is not allowed: it takes a number")
    if not read:
        raise BadValueError(f"nothing was read off: it takes at least one of {', '.join(READ_OFF)}")
    parts = parts_of(lock)
    bench = bench_of(parts, laid_at(lock))
    fine = float(np.abs(_misses(bench, read)).max()) <= SURE
    found = [
        cause
        for part in parts
        for suspect in assembly.workpieces()[part].suspects
        if (cause := _cause(lock, parts, part, suspect, read)) is not None
    ]
    causes = _shared(found)
    return Diagnosis(dict(read), _all(bench), fine, causes, _telling(causes, read))


def corrected(lock: Lock, cause: Cause) -> Lock:
    """Return the lock in which a cause is taken as found.

    On a made workpiece it is a measured value where it can be measured there, and else what it was made to; for
    one that is not made the plan is set to it.
    """
    suspect = cause.suspect
    record = record_of(lock, cause.part)
    piece = assembly.workpieces()[cause.part]
    if record is None or suspect.path not in (*piece.paths, *piece.measurable):
        return lock.with_value(suspect.path, cause.value)
    good = lock.with_value(suspect.path, cause.value).value(suspect.path)
    if suspect.path in piece.measurable:
        return _measured(lock, record, suspect.path, good)
    planned = ordered({**dict(record.planned), suspect.path: good})
    return with_record(lock, replace(record, planned=planned))


def _measured(lock: Lock, record: Made, path: str, value: float) -> Lock:
    return with_record(lock, record.with_measured(path, value))


def _cause(
    lock: Lock, parts: Mapping[str, Lock], part: str, suspect: Suspect, read: Mapping[str, float]
) -> Cause | None:
    """Return the value of a suspect that explains the readings best, None where it does not bear on them."""
    record, laid = record_of(lock, part), laid_at(lock)
    if record is None and (suspect.laid or suspect.path in of_metal_alone()):
        return None
    if record is not None and suspect.path in dict(record.measured):
        return None
    own, spec = parts[part], spec_of(suspect.path)

    def bench_at(value: float) -> Bench:
        if record is not None and suspect.path in PIVOT:
            # where the centreline leans, a hole to the side of its place stands higher or lower too
            return planned_bench(_measured(lock, record, suspect.path, value))
        return bench_of({**parts, part: own.with_value(suspect.path, value)}, laid)

    def off(value: float) -> Row:
        return _misses(bench_at(value), read)

    planned = float(own.value(suspect.path))
    found = least_squares(off, planned, spec.low, spec.high, most=1.0, pace=PACE)
    if found is None:
        return None
    misses = off(found[0])
    misfit, worst = float(misses @ misses), float(np.abs(misses).max())
    expected = _all(bench_at(found[0]))
    return Cause(part, suspect, planned, found[0], misfit, worst, 0.0, expected)


def _misses(bench: Bench, read: Mapping[str, float]) -> Row:
    """Return by how many accuracies each reading is missed."""
    found = ((READ_OFF[name], value) for name, value in read.items())
    misses = np.array([(gauge.of(bench) - value) / gauge.accuracy for gauge, value in found])
    return np.where(np.isnan(misses), NONE_THERE, misses)


def _all(bench: Bench) -> dict[str, float]:
    return {name: read.of(bench) for name, read in READ_OFF.items()}


def _shared(found: list[Cause]) -> tuple[Cause, ...]:
    """Return the causes with the share of each, the likeliest first."""
    scores = [cause.misfit + (cause.off / USUAL) ** 2 for cause in found]
    best = min(scores, default=0.0)
    weights = [math.exp(-(score - best) / 2) for score in scores]
    total = math.fsum(weights)
    shared = (replace(c, share=w / total) for c, w in zip(found, weights, strict=True))
    return tuple(sorted(shared, key=lambda cause: -cause.share))


def _telling(causes: tuple[Cause, ...], read: Mapping[str, float]) -> str | None:
    """Return the reading, not taken yet, in which the two likeliest causes differ most."""
    if len(causes) < 2:
        return None
    first, second = causes[0].expected, causes[1].expected
    apart = {
        name: abs(first[name] - second[name]) / gauge.accuracy
        for name, gauge in READ_OFF.items()
        if name not in read and not math.isnan(first[name] - second[name])
    }
    best = max(apart, key=lambda name: apart[name], default=None)
    return best if best is not None and apart[best] > SURE else None
