"""How the made workpieces stand in a lock: what is good, what is to file, what to remake, as one value."""

from dataclasses import dataclass
from functools import cached_property

from core.geometry.polygons import FLAT
from core.layout.layout import Layout
from core.lock.facts import with_record
from core.lock.lock import Lock
from core.lock.made import Made, ordered
from core.lock.paths import covers
from core.made.fitting import KEPT, WORDS
from core.made.verdicts import Verdict, by_shape, verdict, verdicts
from core.whole import assembly

ROUGH = 3e-3
"""Chords [mm] for a search: far below what a file can do, and several times as fast."""


@dataclass(frozen=True)
class Standing:
    """A lock with the verdicts on its made workpieces."""

    layout: Layout
    verdicts: tuple[Verdict, ...]
    chord: float = FLAT
    """Within which arcs are chords [mm] in the verdicts."""

    @property
    def lock(self) -> Lock:
        """The lock as its file has it."""
        return self.layout.plan

    @cached_property
    def counts(self) -> tuple[int, int, int]:
        """How many are to remake, to plug, and to file or fix elsewhere: what a rescue makes less of."""
        words = [v.word for v in self.verdicts]
        return words.count("remake"), words.count("plug"), words.count("file") + words.count("move")

    @cached_property
    def rank(self) -> tuple[float, ...]:
        """Sorts the better standing first.

        By the counts, then the depth that is missing, the depth to file, what is within the tolerance, and
        the marks to scribe again.
        """
        fittings = [v.apart for v in self.verdicts]
        lacking = sum(f.deepest_missing for f in fittings if f.word == "remake")
        to_file = sum(f.deepest_spare for f in fittings if f.word == "file")
        slight = sum(max(f.deepest_spare, f.deepest_missing) for f in fittings if f.word == "good")
        marks = sum(len(v.scribe) + 4 * (v.moved is not None) for v in self.verdicts)
        return (*self.counts, round(lacking, 2), round(to_file, 2), round(slight, 2), marks)

    def to_work_on(self) -> tuple[Verdict, ...]:
        """Return the verdicts on what has to be filed, plugged or remade, the worst first."""
        bad = [v for v in self.verdicts if v.word not in KEPT]
        return tuple(sorted(bad, key=lambda v: -WORDS.index(v.word)))

    def with_value(self, path: str, value: float) -> "Standing":
        """Return the standing with `value` at `path` [mm or degrees]; only what it touches is judged anew, by shape."""
        layout = Layout(self.lock.with_value(path, value))
        known, records = assembly.workpieces(), _records(self.lock)
        judged = (
            verdict(layout, known[v.part], records[v.part], self.chord)
            if covers(known[v.part].paths, path)
            else v
            for v in self.verdicts
        )
        return Standing(layout, tuple(judged), self.chord)

    def by_shape(self) -> "Standing":
        """Return the standing by shape alone, with which those of a search can be compared."""
        return Standing(self.layout, by_shape(self.layout), self.chord)

    def roughly(self) -> "Standing":
        """Return a standing for a search, by shape: coarser arcs, and sketched ones where that changes no verdict."""
        lock = self.lock
        for key, record in _records(lock).items():
            workpiece = assembly.workpieces().get(key)
            for path, value in () if workpiece is None else workpiece.sketched:
                if dict(record.planned).get(path) == self.layout.lock.value(path):
                    sketch = Made(
                        key, ordered({**dict(record.planned), path: value}), record.measured
                    )
                    lock = with_record(lock, sketch).with_value(path, value)
        layout = Layout(lock)
        return Standing(layout, by_shape(layout), ROUGH)


def _records(lock: Lock) -> dict[str, Made]:
    return {record.part: record for record in lock.made}


def standing(lock: Lock) -> Standing:
    """Return how the made workpieces of a lock stand."""
    layout = Layout(lock)
    return Standing(layout, verdicts(layout))
