"""The worst of both strokes: the largest torque, the cocking ratio, and where the bolt jams.

Glossary: the *cocking ratio* is `L / (2 mu d)`, with L from guide to guide and d from the guides' mid-height to the
contact; below 1 friction in the guides alone binds the bolt, whatever the push (the plain-bearing makers'
2:1 rule, for mu = 0.25). The *jam friction* is the coefficient at which the whole balance first fails.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from core.layout.layout import Layout, derived
from core.mechanism.law import STROKES, Stroke
from core.mechanism.maths import Array, distinct
from core.parts.friction import friction_ranges
from core.parts.tooth import tooth, tooth_seen
from core.tables.coefficients import FrictionRange
from core.turning.driven import driven_in
from core.turning.effort import STEP, Drive, drive
from core.turning.friction_table import case_of, friction_cases
from core.whole import assembly

MOST_FRICTION = 2.0
"""Largest coefficient of friction at which a jam is looked for; no pair of metals in use comes near it."""
_GRIDS = (40, 25, 25)
"""Points of the search for the jam friction: the whole range, then twice between two neighbours."""
_FINER = 16


@dataclass(frozen=True)
class Worst:
    """A value, and the stroke and key angle [rad] where it is."""

    value: float
    stroke: Stroke
    at: float


@dataclass(frozen=True)
class Ends:
    """What one friction condition comes to at the `low` and the `high` end of its coefficient.

    Peaks are the largest torque [N mm], None where the bolt jams on the way; jams say where it first does.
    """

    low: float
    high: float
    peak_low: Worst | None
    peak_high: Worst | None
    jam_low: Worst | None
    jam_high: Worst | None

    @property
    def jams(self) -> bool:
        """Whether the bolt jams anywhere in the range."""
        return self.jam_low is not None or self.jam_high is not None


@dataclass(frozen=True)
class Binding:
    """The statics of a lock over both strokes; empty where the key drives nothing.

    `cocking` is the least `L / (2 d)`: divided by a coefficient of friction it is the cocking ratio.
    """

    conditions: dict[str, Ends]
    cocking: Worst | None
    _jam: Callable[[], Worst | None] = field(repr=False, compare=False)

    @cached_property
    def jam(self) -> Worst | None:
        """The least coefficient, the same on all surfaces, at which the bolt jams; None up to `MOST_FRICTION`.

        To look for it takes as long as all else, and few locks are asked.
        """
        return self._jam()

    def cocking_ratio(self, mu: float) -> float | None:
        """Return the least `L / (2 mu d)` at a coefficient `mu`."""
        return None if self.cocking is None else self.cocking.value / mu

    def margin(self, mu: float) -> float | None:
        """Return by how much `mu` could grow before the bolt jams, as a factor; None: it never does."""
        return None if self.jam is None else self.jam.value / mu


@derived
def binding(layout: Layout) -> Binding:
    """Work out the statics of a lock."""
    return binding_in_steps(layout, STEP)


def binding_in_steps(layout: Layout, step: float) -> Binding:
    """Work out the statics of a lock in steps of `step` [rad]; halving the step moves no verdict."""
    if not tooth(layout).drives:
        return Binding({}, None, lambda: None)
    runs = [_run(layout, s, step) for s in STROKES if tooth_seen(layout, s).drives]
    conditions = {name: _ends(runs, found) for name, found in friction_ranges(layout).items()}
    cocking = min((run.least_cocking() for run in runs), key=_value)
    drives = [run.drive for run in runs]
    return Binding(conditions, cocking, lambda: jam_friction(layout, drives))


@dataclass(frozen=True)
class _Run:
    """One stroke's drive; jams and torques (c, m) at rising `angles` (m,), about the peaks in finer steps."""

    drive: Drive
    angles: Array
    jams: NDArray[np.bool_]
    torque: Array

    def jam(self, row: int) -> tuple[Stroke, Array, NDArray[np.bool_]]:
        return (self.drive.stroke, self.angles, self.jams[row])

    def peak(self, row: int) -> Worst:
        top = int(self.torque[row].argmax())
        return Worst(float(self.torque[row, top]), self.drive.stroke, float(self.angles[top]))

    def least_cocking(self) -> Worst:
        cocking = self.drive.cocking
        least = int(cocking.argmin())
        return Worst(float(cocking[least]), self.drive.stroke, float(self.drive.angles[least]))


def _run(layout: Layout, stroke: Stroke, step: float) -> _Run:
    """Return a stroke with finer steps about the largest torque of each friction case."""
    mu, loads = friction_cases(layout), assembly.loads(layout)
    coarse = drive(layout, driven_in(layout, stroke, step), stroke)
    first, angles = coarse.balance(mu, loads), coarse.angles
    peaks = distinct(angles[np.argmax(np.nan_to_num(first.torque, nan=-1.0), axis=1)])
    finer = (peaks[:, None] + np.linspace(-step, step, 2 * _FINER + 1)).ravel()
    finer = finer[(finer >= angles[0]) & (finer <= angles[-1])]
    second, every = drive(layout, finer, stroke).balance(mu, loads), np.concatenate([angles, finer])
    rising = np.argsort(every, kind="stable")
    # where it takes most it may jam between two steps: out of a steep notch over a few hundredths of a degree
    jams = np.concatenate([first.jams, second.jams], axis=1)
    torque = np.concatenate([first.torque, second.torque], axis=1)
    return _Run(coarse, every[rising], jams[:, rising], torque[:, rising])


def _ends(runs: Sequence[_Run], found: FrictionRange) -> Ends:
    rows = [case_of(found.condition, end) for end in ("low", "high")]
    jams = [_first([run.jam(row) for run in runs]) for row in rows]
    peaks = [
        max((run.peak(row) for run in runs), key=_value) if jam is None else None
        for row, jam in zip(rows, jams, strict=True)
    ]
    return Ends(found.low, found.high, *peaks, *jams)


def _value(worst: Worst) -> float:
    return worst.value


def _first(
    jams: Sequence[tuple[Stroke, Array, NDArray[np.bool_]]], value: float = math.nan
) -> Worst | None:
    """Return the first jam of the first stroke that has one, met in the stroke's own direction."""
    for stroke, angles, bad in jams:
        if bad.any():
            met = angles[bad]
            return Worst(value, stroke, float(met[0] if stroke == "unlocking" else met[-1]) + 0.0)
    return None


def jams_at(layout: Layout, mu: Sequence[float]) -> bool:
    """Say whether the bolt jams anywhere in either stroke at one of these coefficients of friction."""
    loads, each = assembly.loads(layout), np.array(mu)[:, None]
    drives = (
        drive(layout, driven_in(layout, s, STEP), s)
        for s in STROKES
        if tooth_seen(layout, s).drives
    )
    return any(bool(at.balance(each, loads).jams.any()) for at in drives)


def jam_friction(layout: Layout, drives: Sequence[Drive]) -> Worst | None:
    """Return the least coefficient of friction at which the bolt jams in any of `drives`, and where.

    Looked for on a grid up to `MOST_FRICTION` in steps of 0.05, then between the last that slides and the
    first that jams, to 1e-4. None: no friction up to there jams it.
    """
    loads = assembly.loads(layout)
    low, high = 0.0, MOST_FRICTION
    jams: list[tuple[Stroke, Array, NDArray[np.bool_]]] = []
    for points in _GRIDS:
        mu = np.linspace(low, high, points + 1)[1:, None]
        met = [at.balance(mu, loads).jams for at in drives]
        bad = np.any([one.any(axis=1) for one in met], axis=0)
        if not bad.any():
            return None
        first = int(np.argmax(bad))
        low, high = (float(mu[first - 1, 0]) if first else low), float(mu[first, 0])
        jams = [(at.stroke, at.angles, one[first]) for at, one in zip(drives, met, strict=True)]
    return _first(jams, high)
