"""What is made, at the bench: workpieces with what they were made to and measured as, and what was read off.

Plain functions of the lock; nothing here knows of a screen.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from core.change.bench import planned_bench
from core.change.plugging import with_plugs as with_plugs
from core.change.readings import READ_OFF
from core.lock.facts import record_of, values_of
from core.lock.lock import Lock, expanded, of_metal_alone, spec_of
from core.lock.numbers import ANGLE, LARGEST, POSITION
from core.lock.paths import short_label
from core.lock.spec import Kind, Spec
from core.made.marking import is_made, mark_made, unmark
from core.made.standing import Standing
from core.made.verdicts import Verdict, verdicts
from core.whole import assembly
from tui.change.state import dimensions_of
from tui.desk.session import layout_of

LABEL = 16
"""Columns that the label of a measured value takes at most, so that what it was made to has room beside it."""


@dataclass(frozen=True)
class Row:
    """One thing that is asked for: what names it, its label, what stands in its entry, and what beside it."""

    key: str
    label: str
    kind: Kind
    text: str
    unit: str
    beside: str = ""


def workpieces() -> tuple[tuple[str, str], ...]:
    """Return key and name of every workpiece, in the mock-up order."""
    return tuple((key, piece.name) for key, piece in assembly.workpieces().items())


def standing_of(lock: Lock) -> Standing:
    """Return how the made workpieces of a lock stand."""
    return Standing(layout_of(lock), verdicts(layout_of(lock)))


def verdict_of(lock: Lock, part: str) -> Verdict | None:
    """Return how a made workpiece stands, None where it is not made."""
    return next((v for v in verdicts(layout_of(lock)) if v.part == part), None)


def turned(lock: Lock, part: str) -> Lock:
    """Return the lock in which a workpiece is made as everything now stands, or not made where it was."""
    return unmark(lock, part) if is_made(lock, part) else mark_made(lock, part)


def turned_words(lock: Lock, part: str) -> str:
    """Return the words by which undo names that."""
    name = assembly.workpieces()[part].name
    return f"{name} not made" if is_made(lock, part) else f"{name} made"


def measurable(lock: Lock, part: str) -> tuple[str, ...]:
    """Return the paths that can be measured on a workpiece, and that this lock has a use for."""
    asked = dimensions_of(lock)
    found = expanded(lock, assembly.workpieces()[part].measurable)
    return tuple(
        path
        for path in found
        if path in of_metal_alone() or (path in asked and spec_of(path).kind.number)
    )


def measured_rows(lock: Lock, part: str) -> tuple[Row, ...]:
    """Return what can be measured on a workpiece: empty entries where nothing was."""
    record = record_of(lock, part)
    known = dict(record.measured) if record is not None else {}
    rows = []
    for path in measurable(lock, part):
        spec = spec_of(path)
        plan = lock.value(path)
        if record is not None:
            ((_, plan),) = values_of(lock, record, (path,), planned=True)
        text = spec.written(known[path], lock.units) if path in known else ""
        beside = f"{'made to' if record else 'plan'} {spec.shown(plan, lock.units)}"
        if path in of_metal_alone():
            beside = "none planned"
        told = record.told(path) if record is not None else ""
        beside = f"{beside}, {told}" if told else beside
        label = short_label(spec, path, LABEL)
        rows.append(Row(path, label, spec.kind, text, spec.unit(lock.units), beside))
    return tuple(rows)


# what is read off with the parts put together


def read_off_rows(lock: Lock, read: Mapping[str, float]) -> tuple[Row, ...]:
    """Return what can be read off at the bench, with what the plan gives beside it."""
    bench = planned_bench(lock)
    rows = []
    for name, gauge in READ_OFF.items():
        plan = gauge.of(bench)
        spec, units = read_spec(name), lock.units
        text = spec.written(read[name], units) if name in read else ""
        beside = (
            "by the plan none" if math.isnan(plan) else f"by the plan {spec.shown(plan, units)}"
        )
        rows.append(Row(name, spec.label, spec.kind, text, spec.unit(units), beside))
    return tuple(rows)


def planned(lock: Lock, name: str) -> float:
    """Return what the plan gives for a reading [mm or degrees]."""
    return READ_OFF[name].of(planned_bench(lock))


def read_spec(name: str) -> Spec:
    """Return what an entry for a reading takes."""
    gauge = READ_OFF[name]
    if gauge.angle:
        return Spec(ANGLE, gauge.label, gauge.how, low=-180.0, high=180.0)
    return Spec(POSITION, gauge.label, gauge.how, low=-LARGEST, high=LARGEST)
