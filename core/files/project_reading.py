"""What the text of a project file says: its lock, and the notes on reading it.

Which tables and keys there are follows from the fields of `Lock`: a new value of the lock is read
and checked without a change here.
"""

import dataclasses
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, NamedTuple

from core.errors import BadEntryError, BadFileError, BadValueError
from core.files.end_mark import changed_since
from core.files.notes import DEFAULT_TAKEN, TAKEN_AS_ZERO, UNKNOWN_KEY
from core.files.project_tables import unknown_leaves
from core.files.project_text import BOM, END, end_mark, is_cut_short
from core.files.toml_guard import Based, parse_toml
from core.layout.findings import Finding
from core.lock.fields import Spec, is_no_measure
from core.lock.lock import FORMAT, Lock, check_at, spec_of, specs, table_fields
from core.text import plain, shown
from core.units import parse_length, show_angle, show_force, show_length

MOST_UNKNOWN = 20
"""Unknown keys that are named one by one; the rest are counted."""
_LONGEST_NAME = 80
_MISSING = object()
_KNOWN = frozenset(field.name for field in dataclasses.fields(Lock)) | {"format"}


class Reading(NamedTuple):
    """What a project file says; `unknown` is what it holds beyond a lock, by table and key."""

    lock: Lock
    notes: tuple[Finding, ...]
    unknown: Mapping[tuple[str, ...], object]


def read_text(text: str) -> Reading:
    """Return what the text of a project file states.

    Raises
    ------
    BadFileError
        One sentence, without the file's name, on the first thing that cannot stand.
    """
    if is_cut_short(text):
        raise BadFileError(
            f'it was cut short: its last line should be "{END}"; copy it again from where it came '
            "from, or open the older copy whose name ends in ~"
        )
    tree = parse_toml(text.removeprefix(BOM))
    if not _KNOWN & tree.keys():
        raise BadFileError("it has none of the keys of a lock in it: is it the right file?")
    _check_format(tree.get("format", FORMAT))
    lock = Lock()
    missing = [] if "format" in tree else [("format", str(FORMAT))]
    settled: list[Finding] = []
    for path, spec in specs().items():
        value = _look_up(tree, path)
        if value is not _MISSING:
            measured = _measured(spec, value, path)
            try:
                lock = lock.with_value(path, measured)
            except BadValueError as error:
                raise BadFileError(str(error)) from error
            if any(is_no_measure(number) for number in _sizes(measured)):
                settled.append(_settled_note(path, value))
    for path in specs():
        if _look_up(tree, path) is _MISSING:
            missing.append((path, _told(path, lock)))
    unknown = _unknown(tree)
    names: dict[tuple[str, ...], None] = dict.fromkeys(unknown)
    for name in table_fields():
        lock, inside = _with_tables(lock, name, tree)
        names |= dict.fromkeys((name, leaf) for leaf in inside)
    notes = [*_changed_notes(text, tree), *settled, *_missing_notes(tree, missing)]
    return Reading(lock, (*notes, *_unknown_notes(names)), unknown)


def _changed_notes(text: str, tree: dict[str, Any]) -> tuple[Finding, ...]:
    mark = end_mark(text)
    if mark is None or mark["check"] is None:
        return ()
    note = changed_since(tree, mark["count"], mark["check"])
    return () if note is None else (note,)


def _with_tables(lock: Lock, name: str, tree: dict[str, Any]) -> tuple[Lock, list[str]]:
    """Return the lock with a field read from tables of its own, and the leaves in them that are unknown."""
    field, tables = table_fields()[name], tree.get(name, {})
    if not isinstance(tables, dict):
        raise BadFileError(
            f"{name} = {shown(tables)} is not allowed: it takes tables, written [{name}.bolt] and so on"
        )
    try:
        value = field.read(tables, _read_at)
    except BadValueError as error:
        raise BadFileError(str(error)) from error
    unknown = unknown_leaves(tables, field.write(value))
    return dataclasses.replace(lock, **{name: value}), unknown


def _read_at(path: str, value: object, name: str) -> Any:
    return check_at(path, _measured(spec_of(path), value, name), name)


def _check_format(value: object) -> None:
    if isinstance(value, bool) or not isinstance(value, int) or value < 1:
        raise BadFileError(
            f"format = {shown(value)} is not allowed: it takes a whole number from 1 to {FORMAT}"
        )
    if value > FORMAT:
        raise BadFileError(
            f"format = {shown(value)} is newer than this program, which reads up to {FORMAT}: "
            "a newer boltwright opens it"
        )


def _look_up(tree: dict[str, Any], path: str) -> object:
    table, _, name = path.rpartition(".")
    holder = tree.get(table, {}) if table else tree
    if not isinstance(holder, dict):
        raise BadFileError(
            f"{table} = {shown(holder)} is not allowed: it takes a table, written [{table}]"
        )
    return holder.get(name, _MISSING)


def _measured(spec: Spec, value: object, path: str) -> object:
    """Return `value` with lengths that are written with a unit turned into mm."""
    for number in _numbers(value):
        if isinstance(number, Based):
            meant = f" ({shown(number)} is {int(number)})" if abs(number) < 1e6 else ""
            raise BadFileError(
                f"{path} = {shown(number)} is not allowed: it takes {spec.allowed}, written in tens{meant}"
            )
    try:
        if spec.kind in ("length", "position") and isinstance(value, str):
            return parse_length(value, None)
        if spec.kind == "points" and isinstance(value, list):
            return [_measured_point(point) for point in value]
    except BadEntryError as error:
        raise BadFileError(
            f"{path} = {shown(value)} is not allowed: it takes {spec.allowed}, as a number or, "
            'with the unit, in quotes, such as "13/16 in"'
        ) from error
    return value


def _numbers(value: object) -> Iterator[int | float]:
    """Yield the numbers in a value, also those of points and of what is no value at all."""
    if isinstance(value, list):
        for inner in value:
            yield from _numbers(inner)
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield value


def _sizes(value: object) -> Iterator[int | float]:
    """Yield the numbers in a value that has been measured, but for bends."""
    for inner in value if isinstance(value, list) else [value]:
        yield from _numbers(inner[:2] if isinstance(inner, list) else inner)


def _settled_note(path: str, value: object) -> Finding:
    text = (
        f"{path} = {shown(value)} is read with 0 for what is nearer to it than any tool can show."
    )
    return TAKEN_AS_ZERO.at(_step(path.rpartition(".")[0])).found(text)


def _measured_point(point: object) -> object:
    if not isinstance(point, list):
        return point
    # the third number is a bulge, which has no unit
    return [
        parse_length(x, None) if isinstance(x, str) and place < 2 else x
        for place, x in enumerate(point)
    ]


def _told(path: str, lock: Lock) -> str:
    """Write the value at `path` for a note."""
    value = lock.value(path)
    match spec_of(path).kind:
        case "length" | "position":
            return show_length(value, lock.units)
        case "angle":
            return show_angle(value)
        case "force":
            return show_force(value)
        case "points":
            return "none"
        case _:
            return f'"{plain(value)}"'


def _step(table: str) -> str:
    """Return the step that the values of a table belong to."""
    return getattr(getattr(Lock, table, None), "step", table.replace("_", " ")) or "lock"


def _missing_notes(tree: dict[str, Any], missing: list[tuple[str, str]]) -> list[Finding]:
    """Return one note for each missing key, or for each table that is missing as a whole."""
    tables: dict[str, list[str]] = {}
    notes = []
    for path, value in missing:
        table, _, name = path.rpartition(".")
        if table and table not in tree:
            tables.setdefault(table, []).append(f"{name} {value}")
        else:
            text = f"{path} is not in the file: {value} is taken."
            notes.append(DEFAULT_TAKEN.at(_step(table)).found(text))
    for table, values in tables.items():
        text = f"[{table}] is not in the file. Taken are: {', '.join(values)}."
        notes.append(DEFAULT_TAKEN.at(_step(table)).found(text))
    return notes


def _unknown_notes(names: Iterable[tuple[str, ...]]) -> list[Finding]:
    notes, paths = [], tuple(names)
    for path in paths[:MOST_UNKNOWN]:
        table, name = path[0] if len(path) > 1 else "", plain(".".join(path))
        name = name if len(name) <= _LONGEST_NAME else f"{name[:_LONGEST_NAME]}..."
        step = _step(table) if table in _KNOWN else "lock"
        text = f"{name} is unknown to this program; it is kept in the file."
        notes.append(UNKNOWN_KEY.at(step).found(text))
    more = len(paths) - MOST_UNKNOWN
    if more > 0:
        text = f"{more} more keys are unknown to this program; they are kept in the file."
        notes.append(UNKNOWN_KEY.at("lock").found(text))
    return notes


def _unknown(tree: dict[str, Any]) -> dict[tuple[str, ...], object]:
    found: dict[tuple[str, ...], object] = {}
    for name, value in tree.items():
        if name not in _KNOWN:
            found[(name,)] = value
        elif name in table_fields() and isinstance(value, dict):
            # what is inside a part's own tables goes when the part goes, and is noted apart
            found |= {(name, key): v for key, v in value.items() if not isinstance(v, dict)}
        elif isinstance(value, dict):
            found |= {(name, key): v for key, v in value.items() if f"{name}.{key}" not in specs()}
    return found
