"""What was measured on the parts that are made, in the plan's place.

`as_made` is the lock that every check sees: the plan, in which each dimension that was measured on a made
workpiece has the measured value. The plan itself stays what the file says. A dimension measured on two
workpieces that do not agree counts as on the one it is named after, `key.radius` as on the key; else
as on the first by name, and a finding says that they differ.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Any

from core.lock.lock import Lock
from core.lock.made import Made, Values, ordered


def facts(lock: Lock) -> dict[str, Any]:
    """Return every measured value by path [mm, degrees or N]."""
    found: dict[str, Any] = {}
    for record, path, value in measured(lock):
        if path not in found or path.partition(".")[0] == record.part:
            found[path] = value
    return found


def measured(lock: Lock) -> Iterator[tuple[Made, str, Any]]:
    """Yield every measured value with its workpiece and path, workpieces by name."""
    for record in lock.made:
        for path, value in record.measured:
            yield record, path, value


def as_made(lock: Lock) -> Lock:
    """Return the lock that the checks see: the plan, with what was measured in its place.

    The same lock is returned where nothing was measured. What is made stays with it.
    """
    for path, value in facts(lock).items():
        lock = lock.with_value(path, value)
    return lock


def values_of(lock: Lock, record: Made, paths: Iterable[str], *, planned: bool = False) -> Values:
    """Return what a workpiece was made to at `paths` [mm, degrees or N].

    What was measured on it goes before what it was planned to, unless only the `planned` is asked for;
    what its record does not hold is taken as it now stands.
    """
    known = dict(record.planned) if planned else {**dict(record.planned), **dict(record.measured)}
    now = as_made(lock)
    return tuple((path, known[path] if path in known else now.value(path)) for path in paths)


def overlaid(lock: Lock, values: Values) -> Lock:
    """Return the lock with `values` by path in it."""
    for path, value in values:
        lock = lock.with_value(path, value)
    return lock


def record_of(lock: Lock, part: str) -> Made | None:
    """Return what is recorded of the workpiece with the key `part`, None where it is not made."""
    return next((record for record in lock.made if record.part == part), None)


def with_record(lock: Lock, record: Made) -> Lock:
    """Return the lock with `record` in the place of what was recorded of that workpiece."""
    others = [other for other in lock.made if other.part != record.part]
    return replace(lock, made=tuple(sorted([*others, record], key=lambda made: made.part)))


def without_record(lock: Lock, part: str) -> Lock:
    """Return the lock in which the workpiece with the key `part` is not made."""
    return replace(lock, made=tuple(record for record in lock.made if record.part != part))


def with_measured(lock: Lock, part: str, path: str, value: object) -> Lock:
    """Return the lock in which `path` was measured on a made workpiece [mm or degrees].

    None takes the measured value away. Nothing else is changed, not even the plan.

    Raises
    ------
    KeyError
        For a workpiece that is not made, or a path that no lock has.
    BadValueError
        For a value that may not stand there.
    """
    record = record_of(lock, part)
    if record is None:
        raise KeyError(f"{part} is not made")
    good = None if value is None else lock.with_value(path, value).value(path)
    return with_record(lock, record.with_measured(path, good))


def settled(lock: Lock, path: str) -> Lock:
    """Return the lock in which `path` is wished anew: what was measured counts as what was made to.

    The workpieces keep their shape; the checks no longer take the measured value for the wish.
    """
    made = []
    for record in lock.made:
        values = dict(record.measured)
        if path in values:
            planned = ordered({**dict(record.planned), path: values.pop(path)})
            record = Made(record.part, planned, ordered(values))
        made.append(record)
    return replace(lock, made=tuple(made))
