"""The verdict on every workpiece that is made: good, to file, or to remake, against the lock at hand."""

import math
from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import combinations
from typing import Any

from core.geometry.path import Point
from core.geometry.polygons import FLAT
from core.layout.layout import Layout, derived
from core.layout.workpiece import Shape, Workpiece
from core.lock.facts import made_to, overlaid, record_of, values_of
from core.lock.lock import Lock, expanded, of_metal_alone
from core.lock.made import Made, Values
from core.lock.paths import covers
from core.made.fitting import HAIR, KEPT, Fitting, Patch, Solid, Word, exceeds, fit, solid
from core.made.holding import LINE, made_values
from core.made.slots import GUIDES, ROOF, filed_slots
from core.made.strays import Stray, middle, strays
from core.made.working import fault
from core.whole import assembly


@dataclass(frozen=True)
class Moved:
    """A place that is now wanted elsewhere: by how much across (right) and up [mm], plate frame.

    `outer_up` is how much up the outer face of what is fixed turned is wanted, where `up` is that of its near face.
    """

    name: str
    across: float
    up: float
    outer_up: float | None = None

    @property
    def far(self) -> float:
        """How far [mm]."""
        ups = (self.up,) if self.outer_up is None else (self.up, self.outer_up)
        return math.hypot(self.across, max(ups, key=abs))

    @property
    def turned(self) -> bool:
        """Whether its two faces are wanted otherwise from each other."""
        return self.outer_up is not None and abs(self.outer_up - self.up) > TURNED


@dataclass(frozen=True)
class Verdict:
    """What becomes of one made workpiece.

    `moved` is set where the workpiece itself is to be fixed elsewhere, `scribe` names the marks on it that
    are to be scribed again; neither takes metal, so neither changes the word. `strays` are drilled holes that stand
    elsewhere than wanted; `back` is the way to where it was to be fixed, for one that was measured to stand elsewhere,
    `off` how it differs from what it was made to: measured, and so what all goes by now. `works` says that
    the parts do what they are for with this one as it is; `fault` says what is wrong where they do not, and
    it differs from what is wanted. `slot` is what to file off floor or roof of its slot where that makes it work.
    """

    part: str
    name: str
    fitting: Fitting
    moved: Moved | None = None
    scribe: tuple[Moved, ...] = ()
    strays: tuple[Stray, ...] = ()
    back: Moved | None = None
    off: Fitting | None = None
    works: bool = False
    fault: str | None = None
    slot: tuple[Patch, ...] = ()

    @property
    def apart(self) -> Fitting:
        """How its metal differs: from what is wanted, or else from what it was made to."""
        return self.off if self.fitting.word == "good" and self.off is not None else self.fitting

    @property
    def differs(self) -> bool:
        """Whether its metal is otherwise than wanted, or than it was made to, by more than the tolerance."""
        return self.apart.word != "good" or bool(self.strays) or self.back is not None

    @property
    def roof(self) -> tuple[Patch, ...]:
        """What is to be filed off the roof of its slot, where it differs by nothing else."""
        shallow = [patch for patch in self.apart.spare if patch.where.startswith(ROOF)]
        alone = len(shallow) == len(self.apart.spare) and not self.apart.missing
        return tuple(shallow) if alone else ()

    @property
    def word(self) -> Word:
        """Good, use, move, file, plug or remake."""
        if not self.differs:
            return "good"
        if self.works:
            return "use"
        if (self.apart.word == "good" and not self.strays) or (self.back is not None and self.roof):
            return "file" if self.slot else "move"
        # how thick a plate is has no say in what becomes of its holes
        patches = (*self.apart.spare, *self.apart.missing)
        drilled = all(patch.drilled or patch.where == "thickness" for patch in patches)
        return "plug" if self.strays and drilled else self.apart.word


TURNED = 5e-3
"""Difference [mm] between two faces that is none to speak of."""
BACK = "back_plate"
"""The plate that the bolt line is scribed on."""
AS_IT_IS = Fitting("good", (), (), 0.0, 0.0, 0.0, 0.0)
"""The fitting of a workpiece none of whose dimensions changed."""


@derived
def verdicts(layout: Layout) -> tuple[Verdict, ...]:
    """Return the verdict on every made workpiece that this program knows, in the mock-up order.

    What differs is tried as it is, all of it together, and where that does not work one after the other, in the
    mock-up order: each with all that is good, and with those before it that work.
    """
    found = by_shape(layout)
    astray = [one.part for one in found if one.differs and one.fitting.word == "good"]
    meant = as_meant(layout, astray) if astray else layout
    every = [one.part for one in found if not one.differs or _can_be_tried(layout, one.part)]
    together = astray and _fault(layout, every, meant) is not None
    # beside what is good as it lies: a bolt that is cut need not keep the clearance that one to be cut keeps
    lying = [*(one.part for one in found if not one.differs), *astray]
    if together and (wrong := _fault(layout, lying, meant)):
        # once these are mended, the other parts stand as they do then
        others = {one.part: one for one in verdicts(meant)}
        found = tuple(
            replace(one, fault=wrong) if one.part in astray else others[one.part] for one in found
        )
    else:
        found = tuple(_tried(layout, found, meant))
    return _with_slots(layout, found, meant)


def _with_slots(layout: Layout, found: tuple[Verdict, ...], meant: Layout) -> tuple[Verdict, ...]:
    """Return the verdicts, with what filing gives where guides do not work as they are fixed, or as their slots are."""
    off = [
        one.part
        for one in found
        if one.part in GUIDES and (one.word == "move" or (one.word == "file" and one.roof))
    ]
    if not off:
        return found
    beside = [one.part for one in found if one.word in KEPT]
    filed = filed_slots(layout, off, beside, meant)
    return tuple(replace(one, slot=filed.get(one.part, ())) for one in found)


def _tried(layout: Layout, found: tuple[Verdict, ...], meant: Layout) -> Iterator[Verdict]:
    """Yield the verdicts with what comes of trying, as it is, what differs."""
    differing = [one.part for one in found if one.differs and _can_be_tried(layout, one.part)]
    kept = [one.part for one in found if not one.differs]
    told: dict[str, str | None] = {}
    if differing and _fault(layout, [*kept, *differing], meant) is None:
        told = dict.fromkeys(differing)
    else:
        for part in differing:
            told[part] = _fault(layout, [*kept, part], meant)
            kept += [] if told[part] else [part]
    for one in found:
        wrong = told.get(one.part)
        yield replace(one, works=one.part in told and wrong is None, fault=wrong)


def _fault(layout: Layout, parts: Sequence[str], meant: Layout) -> str | None:
    """Return what is wrong with made parts as they are, None where they work: of their holes, then of all else."""
    found = [_holes(layout, part) for part in parts if assembly.workpieces()[part].carries]
    tolerance = layout.lock.fit.made_tolerance
    for one, other in combinations(found, 2):
        for name in one.keys() & other.keys():
            if exceeds(apart := math.dist(one[name], other[name]), tolerance):
                return f"the {name}s of the two plates stand {layout.show(apart)} apart"
    return fault(layout, parts, meant)


def _holes(layout: Layout, part: str) -> dict[str, Point]:
    """Return the middles of the drilled holes of a made plate, by name, in the plate frame [mm]."""
    record, workpiece = record_of(layout.plan, part), assembly.workpieces()[part]
    if record is None:
        return {}
    own = made_solid(part, made_values(layout.plan, record, workpiece.paths)).shape
    return {cut.name: middle(cut) for cut in own.cuts if cut.drilled}


def as_meant(layout: Layout, parts: Container[str]) -> Layout:
    """Return the layout in which `parts` that were measured are as they were meant: filed, plugged or made anew.

    The bolt line is where it was scribed.
    """
    made, meant = [], layout.plan
    for record in layout.plan.made:
        if record.part in parts and record.measured:
            known, line = dict(record.planned), (LINE,) if record.part == BACK else ()
            for path in (*dict(record.measured), *line):
                if path in known and meant.has(path):
                    meant = meant.with_value(path, known[path])
            record = replace(record, measured=(), dated=(), noted=())
        made.append(record)
    return Layout(replace(meant, made=tuple(made)))


def by_shape(layout: Layout) -> tuple[Verdict, ...]:
    """Return the verdicts by shape alone: whether what differs works as it is has not been asked."""
    records = {record.part: record for record in layout.plan.made}
    known = assembly.workpieces()
    return tuple(
        verdict(layout, workpiece, records[part])
        for part, workpiece in known.items()
        if part in records
    )


def _can_be_tried(layout: Layout, part: str) -> bool:
    """Say whether a workpiece has every hole that is wanted in it, wherever that is, and can be tried at all."""
    workpiece, record = assembly.workpieces()[part], record_of(layout.plan, part)
    if record is None or not workpiece.tried:
        return False
    own = made_solid(part, made_values(layout.plan, record, workpiece.paths)).shape
    return {cut.name for cut in workpiece.shape(layout).cuts} <= {cut.name for cut in own.cuts}


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
        before = dict(values_of(layout.plan, record, workpiece.paths, planned=True))
        # but for such as were measured themselves
        before |= {p: v for p, v in record.measured if not covers(workpiece.shaped_by, p)}
        scribed = made_solid(workpiece.key, tuple(before.items()), chord).shape
    return Verdict(
        workpiece.key, workpiece.name,
        AS_IT_IS if same else fit(made, solid(wanted, chord), tolerance),
        _moved(workpiece.name, _as_scribed(workpiece, own, made).shape, wanted, tolerance),
        _scribe(scribed, wanted, tolerance),
        _strays(layout, workpiece, record, made.shape, wanted), _back(layout, workpiece, record, made.shape),
        _off(layout, workpiece, record, made, chord),
    )  # fmt: skip


def _off(
    layout: Layout, workpiece: Workpiece, record: Made, made: Solid, chord: float
) -> Fitting | None:
    """Return how a workpiece differs from what it was made to, None where nothing was measured on it."""
    if not record.measured:
        return None
    before = values_of(layout.plan, record, workpiece.paths, planned=True)
    planned = made_solid(workpiece.key, before, chord)
    return AS_IT_IS if planned is made else fit(made, planned, layout.lock.fit.made_tolerance)


def _back(layout: Layout, workpiece: Workpiece, record: Made, made: Shape) -> Moved | None:
    """Return the way back to where a workpiece was to be fixed, None where it was not measured to stand elsewhere."""
    stands = {p for p, _ in record.measured if not covers(workpiece.shaped_by, p)}
    if made.place is None or not stands:
        return None
    own = dict(made_values(layout.plan, record, workpiece.paths))
    alone = stands & of_metal_alone()
    own |= {path: value for path, value in record.planned if path in stands}
    own |= {path: layout.plan.value(path) for path in alone}
    return _moved(
        workpiece.name,
        made,
        made_solid(workpiece.key, tuple(own.items())).shape,
        layout.lock.fit.made_tolerance,
        turned=True,
    )


def _as_scribed(workpiece: Workpiece, own: Values, made: Solid) -> Solid:
    """Return a workpiece as its marks have it: how it came to stand beside them is no reason to scribe them anew."""
    off = {p for p, value in own if value and p in of_metal_alone()} - {*workpiece.shaped_by}
    if not off:
        return made
    return made_solid(workpiece.key, tuple((p, 0.0 if p in off else v) for p, v in own))


def _strays(
    layout: Layout, workpiece: Workpiece, record: Made, made: Shape, wanted: Shape
) -> tuple[Stray, ...]:
    """Return the holes that stand elsewhere than wanted, or than they were made to."""
    if not workpiece.carries:
        return ()
    own = made_to(layout.plan, workpiece.key)
    beyond = layout.lock.fit.made_tolerance + HAIR
    found = tuple(strays(made, wanted, own.plate.thickness, beyond))
    if found or not record.measured:
        return found
    # measured, and so what all goes by now; but not where it was to be
    before = values_of(layout.plan, record, workpiece.paths, planned=True)
    return tuple(strays(made, made_solid(workpiece.key, before).shape, own.plate.thickness, beyond))


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


def _moved(
    name: str, made: Shape, wanted: Shape, tolerance: float, *, turned: bool = False
) -> Moved | None:
    if made.place is None or wanted.place is None:
        return None
    moved = Moved(name, wanted.place[0] - made.place[0], wanted.place[1] - made.place[1])
    if turned and made.outer is not None and wanted.outer is not None:
        moved = replace(moved, outer_up=wanted.outer[1] - made.outer[1])
    return moved if exceeds(moved.far, tolerance) else None


def _scribe(made: Shape, wanted: Shape, tolerance: float) -> tuple[Moved, ...]:
    before = {mark.name: mark.at for mark in made.scribed}
    found = (
        Moved(mark.name, mark.at[0] - before[mark.name][0], mark.at[1] - before[mark.name][1])
        for mark in wanted.scribed
        if mark.name in before
    )
    return tuple(moved for moved in found if exceeds(moved.far, tolerance))
