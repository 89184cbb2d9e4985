"""What is made, at the bench: workpieces with what they were made to and measured as, and what was read off.

Plain functions of the lock; nothing here knows of a screen.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from core.change.readings import READ_OFF, bench_of, parts_of
from core.lock.facts import record_of, values_of
from core.lock.fields import LARGEST, Kind, Spec
from core.lock.lock import Lock, spec_of
from core.made.marking import is_made, mark_made, unmark
from core.made.standing import Standing
from core.made.verdicts import Verdict, verdicts
from core.units import show_angle, show_angle_entry, show_entry
from core.whole import assembly
from tui.change.state import dimensions_of
from tui.desk import answer
from tui.desk.session import layout_of


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
    found = assembly.workpieces()[part].measurable
    return tuple(path for path in found if path in asked and spec_of(path).kind != "choice")


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
        text = answer.written(spec, known[path], lock.units) if path in known else ""
        beside = f"made to {answer.shown(spec, plan, lock.units)}" if record else ""
        beside = beside or f"plan {answer.shown(spec, plan, lock.units)}"
        rows.append(Row(path, spec.label, spec.kind, text, answer.unit(spec, lock.units), beside))
    return tuple(rows)


# what is read off with the parts put together


def read_off_rows(lock: Lock, read: Mapping[str, float]) -> tuple[Row, ...]:
    """Return what can be read off at the bench, with what the plan gives beside it."""
    bench = bench_of(parts_of(lock))
    layout = layout_of(lock)
    rows = []
    for name, gauge in READ_OFF.items():
        plan = gauge.of(bench)
        kind: Kind = "angle" if gauge.angle else "position"
        shown = show_angle(plan) if gauge.angle else layout.show(plan)
        text = "" if name not in read else _written(kind, read[name], lock.units)
        unit = "degrees" if gauge.angle else lock.units
        rows.append(Row(name, gauge.label, kind, text, unit, f"by the plan {shown}"))
    return tuple(rows)


def planned(lock: Lock, name: str) -> float:
    """Return what the plan gives for a reading [mm or degrees]."""
    return READ_OFF[name].of(bench_of(parts_of(lock)))


def _written(kind: Kind, value: float, units: str) -> str:
    return show_angle_entry(value) if kind == "angle" else show_entry(value, units)


def read_spec(name: str) -> Spec:
    """Return what an entry for a reading takes."""
    gauge = READ_OFF[name]
    if gauge.angle:
        return Spec("angle", gauge.label, gauge.how, low=0.0, high=180.0)
    return Spec("position", gauge.label, gauge.how, low=-LARGEST, high=LARGEST)
