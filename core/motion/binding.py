"""The worst of both strokes: the largest torque, the cocking ratio, and where the bolt jams.

Glossary: the *cocking ratio* is `L / (2 mu d)`, with L from guide to guide and d from the guides' mid-height to the
contact; below 1 friction in the guides alone binds the bolt, whatever the push (the plain-bearing makers'
2:1 rule, for mu = 0.25). The *jam friction* is the coefficient at which the whole balance first fails.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from core import registry
from core.layout import Layout, derived
from core.motion.effort import STEP, Effort, drive, driven_angles, effort
from core.motion.friction import case_of, friction_ranges
from core.motion.law import STROKES, Array, Stroke
from core.parts.tooth import tooth

MOST_FRICTION = 2.0
"""Largest coefficient of friction at which a jam is looked for; no pair of metals in use comes near it."""
_GRID, _ZOOM, _ZOOMS = 40, 16, 3
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

    `cocking` is the least `L / (2 d)`: divided by a coefficient of friction it is the cocking ratio. `jam` is
    the least coefficient, the same on all surfaces, at which the bolt jams; None up to `MOST_FRICTION`.
    """

    conditions: dict[str, Ends]
    cocking: Worst | None
    jam: Worst | None

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
        return Binding({}, None, None)
    runs = {stroke: _run(layout, stroke, step) for stroke in STROKES}
    conditions = {
        name: Ends(found.low, found.high, *_peaks(runs, name), *_first_jams(runs, name))
        for name, found in friction_ranges(layout).items()
    }
    cocking = min((_least_cocking(run, stroke) for stroke, run in runs.items()), key=_value)
    return Binding(conditions, cocking, jam_friction(layout, step))


def _run(layout: Layout, stroke: Stroke, step: float) -> Effort:
    """Return the effort over the drive, with finer steps about the largest torque of each case."""
    angles = driven_angles(layout, stroke, step)
    first = effort(layout, angles, stroke)
    peaks = angles[np.argmax(np.nan_to_num(first.torque, nan=-1.0), axis=1)]
    finer = (peaks[:, None] + np.linspace(-step, step, 2 * _FINER + 1)).ravel()
    finer = finer[(finer >= angles[0]) & (finer <= angles[-1])]
    return effort(layout, np.unique(np.concatenate([angles, finer])), stroke)


def _value(worst: Worst) -> float:
    return worst.value


def _peaks(runs: dict[Stroke, Effort], condition: str) -> Sequence[Worst | None]:
    found: list[Worst | None] = []
    for row in (case_of(condition, "low"), case_of(condition, "high")):
        if any(run.jams[row].any() for run in runs.values()):
            found.append(None)
            continue
        tops = [
            Worst(float(run.torque[row].max()), stroke, float(run.angles[run.torque[row].argmax()]))
            for stroke, run in runs.items()
        ]
        found.append(max(tops, key=_value))
    return found


def _first_jams(runs: dict[Stroke, Effort], condition: str) -> Sequence[Worst | None]:
    found = []
    for row in (case_of(condition, "low"), case_of(condition, "high")):
        jams = [(stroke, run.angles, run.jams[row]) for stroke, run in runs.items()]
        found.append(_first(jams, np.nan))
    return found


def _first(jams: Sequence[tuple[Stroke, Array, Array]], value: float) -> Worst | None:
    """Return the first jam of the first stroke that has one, met in the stroke's own direction."""
    for stroke, angles, bad in jams:
        if bad.any():
            met = angles[bad]
            return Worst(value, stroke, float(met[0] if stroke == "unlocking" else met[-1]) + 0.0)
    return None


def _least_cocking(run: Effort, stroke: Stroke) -> Worst:
    least = int(run.cocking.argmin())
    return Worst(float(run.cocking[least]), stroke, float(run.angles[least]))


def jam_friction(layout: Layout, step: float = STEP) -> Worst | None:
    """Return the least coefficient of friction at which the bolt jams anywhere, and where; None if none.

    Looked for on a grid up to `MOST_FRICTION` in steps of 0.05, then between the last that slides and the
    first that jams, to about 1e-5. Angles in steps of `step` [rad].
    """
    loads = registry.loads(layout)
    drives = [drive(layout, driven_angles(layout, s, step), s) for s in STROKES]
    low, high = 0.0, MOST_FRICTION
    jams: list[tuple[Stroke, Array, Array]] = []
    for points in (_GRID, *[_ZOOM] * _ZOOMS):
        mu = np.linspace(low, high, points + 1)[1:, None]
        met = [at.balance(mu, loads).jams for at in drives]
        bad = np.any([one.any(axis=1) for one in met], axis=0)
        if not bad.any():
            return None
        first = int(np.argmax(bad))
        low, high = (float(mu[first - 1, 0]) if first else low), float(mu[first, 0])
        jams = [(at.stroke, at.angles, one[first]) for at, one in zip(drives, met, strict=True)]
    return _first(jams, high)
