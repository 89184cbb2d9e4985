"""Two locks held against each other: what was changed, and what came of it, the worst first.

`compare` gives a value; `comparison_text` writes it for people and `comparison_data` for scripts.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from core.checks import gathered
from core.geometry.path import Path
from core.layout.findings import LEVELS, Finding, worst_first
from core.layout.layout import Layout
from core.layout.outcomes import Outcome
from core.layout.windows import Window
from core.lock.lock import Lock, paths
from core.made.verdicts import Verdict, verdicts
from core.parts.bolt_contour import contour
from core.whole.as_built import as_built

SAME = 1e-9
"""Difference [mm, mm2 or degrees] that is the rounding of numbers."""
Trend = Literal["worse", "better", "other"]


@dataclass(frozen=True)
class Changed:
    """One dimension that differs [mm, degrees or N, or a choice]; None where a lock has no such row."""

    path: str
    old: Any
    new: Any


@dataclass(frozen=True)
class OutcomeChange:
    """One outcome of both locks, in its unit; None where a lock has no such thing."""

    outcome: Outcome
    old: float | None
    new: float | None

    @property
    def differs(self) -> bool:
        """Whether it changed by more than the rounding of numbers."""
        if self.old is None or self.new is None:
            return self.old is not self.new
        return abs(self.new - self.old) > self.outcome.known_to

    @property
    def trend(self) -> Trend:
        """Whether it got worse; `other` for one that did not change or has no better side."""
        if not self.differs or self.outcome.better == 0:
            return "other"
        if self.old is None or self.new is None:
            return "worse" if self.new is None else "better"
        return "better" if (self.new - self.old) * self.outcome.better > 0 else "worse"

    @property
    def weight(self) -> float:
        """By how much it changed, against what it was."""
        if self.old is None or self.new is None:
            return 1.0
        return abs(self.new - self.old) / max(abs(self.old), 1.0)


@dataclass(frozen=True)
class FindingChange:
    """A finding of the old lock, the new one, or both."""

    old: Finding | None
    new: Finding | None

    @property
    def trend(self) -> Trend:
        """Worse for one that came, rose in level, or lies farther beyond its limit."""
        if self.old is None:
            return "worse"
        if self.new is None:
            return "better"
        levels = [LEVELS.index(finding.level) for finding in (self.old, self.new)]
        beyond = [_beyond(finding) for finding in (self.old, self.new)]
        if levels[0] == levels[1] and abs(beyond[1] - beyond[0]) <= SAME:
            return "other"
        return "worse" if (-levels[1], beyond[1]) > (-levels[0], beyond[0]) else "better"


@dataclass(frozen=True)
class WindowChange:
    """The window of one dimension in both locks, with its value there; None where it has none, or no such row."""

    path: str
    old: Window | None
    new: Window | None
    old_value: float | None
    new_value: float | None

    @property
    def old_fits(self) -> bool:
        """Whether the old value lies in the old window."""
        return self.old is None or self.old_value is None or self.old.holds(self.old_value)

    @property
    def new_fits(self) -> bool:
        """Whether the new value lies in the new window."""
        return self.new is None or self.new_value is None or self.new.holds(self.new_value)


@dataclass(frozen=True)
class Comparison:
    """Two layouts with all that differs between them; contours are those of the bolt, mechanism frame."""

    old: Layout
    new: Layout
    changed: tuple[Changed, ...]
    outcomes: tuple[OutcomeChange, ...]
    findings: tuple[FindingChange, ...]
    windows: tuple[WindowChange, ...]
    contours: tuple[Path, Path]
    made: tuple[Verdict, ...]

    @property
    def came(self) -> tuple[Finding, ...]:
        """Findings that only the new lock has, worst first."""
        return worst_first(c.new for c in self.findings if c.old is None and c.new is not None)

    @property
    def went(self) -> tuple[Finding, ...]:
        """Findings that only the old lock had, worst first."""
        return worst_first(c.old for c in self.findings if c.new is None and c.old is not None)

    @property
    def stayed(self) -> tuple[FindingChange, ...]:
        """Findings of both locks, those that got worse first."""
        both = [change for change in self.findings if change.old and change.new]
        return tuple(sorted(both, key=lambda change: change.trend != "worse"))

    @property
    def worse(self) -> tuple[FindingChange | OutcomeChange | WindowChange, ...]:
        """Everything that got worse, the worst first.

        Findings that came or rose, by level; dimensions that no longer fit; outcomes by how much they lost.
        """
        found = [c for c in self.findings if c.trend == "worse" and c.new is not None]
        outcomes = [c for c in self.outcomes if c.trend == "worse"]
        return (
            *sorted(found, key=lambda c: LEVELS.index(c.new.level) if c.new else 0),
            *(c for c in self.windows if c.old_fits and not c.new_fits),
            *sorted(outcomes, key=lambda c: -c.weight),
        )


def compare(old: Layout, new: Layout) -> Comparison:
    """Return everything in which two locks differ, by value and by what follows from it."""
    before, after = gathered.outcome_values(old), gathered.outcome_values(new)
    return Comparison(
        old,
        new,
        tuple(_changed(old, new)),
        tuple(OutcomeChange(o, before[o.name], after[o.name]) for o in gathered.outcomes()),
        tuple(_findings(gathered.findings(old), gathered.findings(new))),
        tuple(_windows(old, new)),
        (contour(as_built(old)), contour(as_built(new))),
        verdicts(new),
    )


def _changed(old: Layout, new: Layout) -> Iterator[Changed]:
    for path in dict.fromkeys((*paths(old.lock), *paths(new.lock))):
        before, after = _value(old.lock, path), _value(new.lock, path)
        if before == after:  # a plan that a measured value stands in for may still have changed
            before, after = _value(old.plan, path), _value(new.plan, path)
        if before != after:
            yield Changed(path, before, after)


def _value(lock: Lock, path: str) -> Any:
    return lock.value(path) if lock.has(path) else None


def _findings(old: tuple[Finding, ...], new: tuple[Finding, ...]) -> Iterator[FindingChange]:
    """Pair findings by code and step, in the order in which each lock has them."""
    left = list(old)
    for finding in new:
        pair = next((f for f in left if (f.code, f.step) == (finding.code, finding.step)), None)
        if pair is not None:
            left.remove(pair)
        yield FindingChange(pair, finding)
    yield from (FindingChange(finding, None) for finding in left)


def _beyond(finding: Finding) -> float:
    """Return how far a finding lies beyond its limit."""
    if finding.value is None or finding.limit is None:
        return 0.0
    return abs(finding.value - finding.limit)


def _windows(old: Layout, new: Layout) -> Iterator[WindowChange]:
    before: Mapping[str, Window] = gathered.windows(old)
    after: Mapping[str, Window] = gathered.windows(new)
    for path in dict.fromkeys((*before, *after)):
        sides = (_value(old.lock, path), _value(new.lock, path))
        yield WindowChange(path, before.get(path), after.get(path), *sides)
