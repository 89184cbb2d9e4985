"""What was measured on the parts that are made, in the plan's place.

`as_made` is the lock that every check sees: the plan, in which each dimension that was measured on a made
workpiece has the measured value. The plan itself stays what the file says. A dimension measured on two
workpieces that do not agree counts as on the one it is named after, `key.radius` as on the key; else
as on the first by name, and a finding says that they differ.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any

from core.lock.lock import Lock, of_metal_alone
from core.lock.made import Made, Values, ordered
from core.lock.paths import place_at, row_path
from core.lock.row import RowKind
from core.lock.row_changes import made_row, with_row
from core.lock.row_kinds import row_kinds


def facts(lock: Lock) -> dict[str, Any]:
    """Return every measured value by path [mm, degrees or N], of what the lock still has.

    What is one part's metal alone is left out: nothing else goes by it.
    """
    found: dict[str, Any] = {}
    for record, path, value in measured(lock):
        if path in of_metal_alone():
            continue
        if path not in found or place_at(path).table == record.part:
            found[path] = value
    return found


def came_out(lock: Lock, path: str) -> Any:
    """Return the value at `path` [mm, degrees or N] as it was measured, else as it is wanted.

    What is one part's metal alone is what was measured on that part, and nothing where nothing was.
    """
    if path not in of_metal_alone():
        return facts(lock).get(path, lock.value(path))
    return next((value for _, at, value in measured(lock) if at == path), lock.value(path))


def measured(lock: Lock) -> Iterator[tuple[Made, str, Any]]:
    """Yield every measured value with its workpiece and path, workpieces by name.

    What was measured of a row that has gone since is left out.
    """
    for record in lock.made:
        for path, value in record.measured:
            if lock.has(path):
                yield record, path, value


def as_made(lock: Lock) -> Lock:
    """Return the lock that the checks see: the plan, with what was measured in its place.

    The same lock is returned where nothing was measured. What is made stays with it.
    """
    for path, value in facts(lock).items():
        lock = lock.with_value(path, value)
    return lock


def made_to(lock: Lock, part: str) -> Lock:
    """Return the lock that the workpiece with the key `part` is as made: what it was made to, and measured on it.

    What its record does not hold, and all of a workpiece that is not made, is taken as it now stands.
    """
    now, record = as_made(lock), record_of(lock, part)
    own = now if record is None else overlaid(overlaid(now, record.planned), record.measured)
    # a workpiece has its own numbers here: nothing in them is to stand in for another's
    return replace(own, made=())


def values_of(lock: Lock, record: Made, names: Iterable[str], *, planned: bool = False) -> Values:
    """Return what a workpiece was made to [mm, degrees or N]: at paths, and in all rows of tables.

    What was measured on it goes before what it was planned to, unless only the `planned` is asked for;
    what its record does not hold is taken as it now stands. But a row of which it holds nothing was not there.
    """
    known = dict(record.planned) if planned else {**dict(record.planned), **dict(record.measured)}
    now = as_made(lock)
    found: list[tuple[str, Any]] = []
    for name in names:
        if name in row_kinds():
            found += _row_values(now, known, row_kinds()[name])
        else:
            found.append((name, known[name] if name in known else now.value(name)))
    return tuple(found)


def _row_values(now: Lock, known: Mapping[str, Any], kind: RowKind) -> Iterator[tuple[str, Any]]:
    """Yield the values of the rows of one kind that are in `known`, as far as they can be told."""
    places = (place_at(path) for path in known)
    rows = dict.fromkeys(place.row for place in places if place.row and place.table == kind.table)
    for row in rows:
        values = {}
        for key in kind.specs:
            path = row_path(kind.table, row, key)
            if path in known:
                values[path] = known[path]
            elif now.has(path):
                values[path] = now.value(path)
            elif key in kind.usual:
                values[path] = kind.usual[key]
        if len(values) == len(kind.specs):
            yield from values.items()


def overlaid(lock: Lock, values: Values) -> Lock:
    """Return the lock with `values` by path in it, and with rows that it has not yet."""
    rows: dict[str, dict[str, Any]] = {}
    for path, value in values:
        place = place_at(path)
        if place.row and not lock.has(place.holder):
            rows.setdefault(place.holder, {})[place.key] = value
        else:
            lock = lock.with_value(path, value)
    for holder, row in rows.items():
        place = place_at(holder)
        if place.kind is not None and set(place.kind.needed) <= row.keys():
            new = made_row(place.table, place.row, row)
            lock = with_row(lock, place.table, place.row, new)
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
