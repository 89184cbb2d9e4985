"""The verdict on every workpiece that is made: good, to file, or to remake, against the lock at hand."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from core.geometry.polygons import FLAT
from core.layout.layout import Layout, derived
from core.layout.workpiece import Shape, Workpiece
from core.lock.facts import overlaid, values_of
from core.lock.lock import Lock, expanded
from core.lock.made import Made, Values
from core.lock.paths import covers
from core.made.fitting import Fitting, Solid, Word, fit, solid
from core.made.holding import made_values
from core.whole import assembly


@dataclass(frozen=True)
class Moved:
    """A place that is now wanted elsewhere: by how much across (right) and up [mm], plate frame."""

    name: str
    across: float
    up: float

    @property
    def far(self) -> float:
        """How far [mm]."""
        return math.hypot(self.across, self.up)


@dataclass(frozen=True)
class Verdict:
    """What becomes of one made workpiece.

    `moved` is set where the workpiece itself is to be fixed elsewhere, `scribe` names the marks on it that
    are to be scribed again; neither takes metal, so neither changes the word.
    """

    part: str
    name: str
    fitting: Fitting
    moved: Moved | None = None
    scribe: tuple[Moved, ...] = ()

    @property
    def word(self) -> Word:
        """Good, file or remake."""
        return self.fitting.word


AS_IT_IS = Fitting("good", (), (), 0.0, 0.0, 0.0, 0.0)
"""The fitting of a workpiece none of whose dimensions changed."""


@derived
def verdicts(layout: Layout) -> tuple[Verdict, ...]:
    """Return the verdict on every made workpiece that this program knows, in the mock-up order."""
    records = {record.part: record for record in layout.plan.made}
    known = assembly.workpieces()
    return tuple(
        verdict(layout, workpiece, records[part])
        for part, workpiece in known.items()
        if part in records
    )


def verdict(layout: Layout, workpiece: Workpiece, record: Made, chord: float = FLAT) -> Verdict:
    """Return what becomes of a workpiece made as `record` says, in the lock at hand.

    Arcs are held against each other as chords within `chord` [mm].
    """
    own = made_values(layout.plan, record, workpiece.paths)
    differing = _differing(dict(own), layout.lock, workpiece.paths)
    if not differing and not record.measured:
        return Verdict(workpiece.key, workpiece.name, AS_IT_IS)
    wanted, tolerance = workpiece.shape(layout), layout.lock.fit.made_tolerance
    made = made_solid(workpiece.key, own, chord)
    same = not any(covers(workpiece.shaped_by, path) for path in differing)
    scribed = made.shape
    if wanted.scribed and record.measured:
        # the marks were laid out before the holes came out where they did
        before = values_of(layout.plan, record, workpiece.paths, planned=True)
        scribed = made_solid(workpiece.key, before, chord).shape
    return Verdict(
        workpiece.key, workpiece.name,
        AS_IT_IS if same else fit(made, solid(wanted, chord), tolerance),
        _moved(workpiece.name, made.shape, wanted, tolerance), _scribe(scribed, wanted, tolerance),
    )  # fmt: skip


def _differing(own: Mapping[str, Any], lock: Lock, names: Iterable[str]) -> set[str]:
    """Return the paths at which a workpiece was made otherwise, those of rows that came or went among them."""
    now = {path: lock.value(path) for path in expanded(lock, names)}
    both = own.keys() & now.keys()
    return (own.keys() ^ now.keys()) | {path for path in both if own[path] != now[path]}


@lru_cache(maxsize=64)
def made_solid(part: str, values: Values, chord: float = FLAT) -> Solid:
    """Return the workpiece with the key `part` as made to `values`, by path; arcs within `chord` [mm]."""
    # only what shapes the workpiece is told, so that a change elsewhere finds the same one again
    return solid(assembly.workpieces()[part].shape(Layout(overlaid(Lock(), values))), chord)


def _moved(name: str, made: Shape, wanted: Shape, tolerance: float) -> Moved | None:
    if made.place is None or wanted.place is None:
        return None
    moved = Moved(name, wanted.place[0] - made.place[0], wanted.place[1] - made.place[1])
    return moved if moved.far > tolerance else None


def _scribe(made: Shape, wanted: Shape, tolerance: float) -> tuple[Moved, ...]:
    before = {mark.name: mark.at for mark in made.scribed}
    found = (
        Moved(mark.name, mark.at[0] - before[mark.name][0], mark.at[1] - before[mark.name][1])
        for mark in wanted.scribed
        if mark.name in before
    )
    return tuple(moved for moved in found if moved.far > tolerance)
