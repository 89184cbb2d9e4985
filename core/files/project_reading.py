"""What the text of a project file says: its lock, and the notes on reading it.

Which tables and keys there are follows from the fields of `Lock`: a new value of the lock is read
and checked without a change here.
"""

import dataclasses
from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Any, NamedTuple

from core.errors import BadFileError, BadValueError
from core.files.end_mark import changed_since
from core.files.file_values import is_settled, value_at
from core.files.notes import DEFAULT_TAKEN, TAKEN_AS_ZERO, UNKNOWN_KEY
from core.files.project_tables import unknown_leaves
from core.files.project_text import BOM, END, end_mark, is_cut_short
from core.files.row_reading import read_rows
from core.files.toml_guard import parse_toml
from core.layout.findings import Finding
from core.lock.lock import (
    FORMAT,
    Lock,
    sections,
    spec_of,
    specs,
    table_fields,
    to_file_at,
)
from core.lock.paths import place_at
from core.lock.row_kinds import row_kinds
from core.text import plain, shown

MOST_UNKNOWN = 20
"""Unknown keys that are named one by one; the rest are counted."""
_LONGEST_NAME = 80
_MISSING = object()


class Reading(NamedTuple):
    """What a project file says; `unknown` is what it holds beyond a lock, by table and key."""

    lock: Lock
    notes: tuple[Finding, ...]
    unknown: Mapping[tuple[str, ...], object]


MANY = 4
"""So many keys that a table of every lock lacks are told in one note; those of a row one by one."""


@lru_cache(maxsize=4)  # a save asks of the text that was read, and twice of the one to write
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
    if not _known() & tree.keys():
        raise BadFileError("it has none of the keys of a lock in it: is it the right file?")
    _check_format(tree.get("format", FORMAT))
    lock = Lock()
    settled: list[tuple[str, object]] = []
    missing = [] if "format" in tree else [("format", str(FORMAT))]
    for path in specs():
        value = _look_up(tree, path)
        if value is not _MISSING:
            try:
                lock = lock.with_value(path, value_at(path, value, path))
            except BadValueError as error:
                raise BadFileError(str(error)) from error
            if is_settled(value):
                settled.append((path, value))
    for path in specs():
        if _look_up(tree, path) is _MISSING:
            missing.append((path, _told(path, lock)))
    lock, absent, beyond, tiny = read_rows(lock, tree)
    missing += [(path, _told(path, lock)) for path in absent]
    unknown = _unknown(tree)
    names: dict[tuple[str, ...], None] = dict.fromkeys((*unknown, *beyond))
    for name in table_fields():
        lock, inside = _with_tables(lock, name, tree)
        names |= dict.fromkeys((name, leaf) for leaf in inside)
    notes = [
        *_changed_notes(text, tree),
        *(_settled_note(path, value) for path, value in (*settled, *tiny)),
        *_missing_notes(tree, missing),
        *_unknown_notes(names),
    ]
    return Reading(lock, tuple(notes), unknown)


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
        value = field.read(tables, value_at)
    except BadValueError as error:
        raise BadFileError(str(error)) from error
    unknown = unknown_leaves(tables, field.write(value, to_file_at))
    return dataclasses.replace(lock, **{name: value}), unknown


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


def _known() -> frozenset[str]:
    """Return every name that this program knows at the top of a file."""
    return frozenset(
        {place_at(path).names[0] for path in specs()} | {"format", *row_kinds(), *table_fields()}
    )


def _look_up(tree: dict[str, Any], path: str) -> object:
    place = place_at(path)
    holder = tree.get(place.table, {}) if place.table else tree
    if not isinstance(holder, dict):
        raise BadFileError(
            f"{place.table} = {shown(holder)} is not allowed: it takes a table, written [{place.table}]"
        )
    return holder.get(place.key, _MISSING)


def _told(path: str, lock: Lock) -> str:
    """Write the value at `path` for a note."""
    return spec_of(path).kind.told(lock.value(path), lock.units)


def _step(table: str) -> str:
    """Return the step that the values of a table belong to."""
    return getattr(getattr(Lock, table, None), "step", table.replace("_", " ")) or "lock"


def _settled_note(path: str, value: object) -> Finding:
    text = (
        f"{path} = {shown(value)} is read with 0 for what is nearer to it than any tool can show."
    )
    return TAKEN_AS_ZERO.at(_step(place_at(path).table)).found(text)


def _missing_notes(tree: dict[str, Any], missing: list[tuple[str, str]]) -> list[Finding]:
    """Return one note for each missing key, or for each table that is missing as a whole or lacks many."""
    tables: dict[str, list[tuple[str, str]]] = {}
    for path, value in missing:
        tables.setdefault(place_at(path).table, []).append((path, value))
    notes = []
    for table, values in tables.items():
        taken = ", ".join(f"{place_at(path).key} {value}" for path, value in values)
        if table and table not in tree:
            texts = [f"[{table}] is not in the file. Taken are: {taken}."]
        elif table and table not in row_kinds() and len(values) >= MANY:
            texts = [f"[{table}] lacks {len(values)} keys in the file. Taken are: {taken}."]
        else:
            texts = [f"The file has no {path}: {value} is taken." for path, value in values]
        notes += [DEFAULT_TAKEN.at(_step(table)).found(text) for text in texts]
    return notes


def _unknown_notes(names: Iterable[tuple[str, ...]]) -> list[Finding]:
    notes, paths, known = [], tuple(names), _known()
    for path in paths[:MOST_UNKNOWN]:
        table, name = path[0] if len(path) > 1 else "", plain(".".join(path))
        name = name if len(name) <= _LONGEST_NAME else f"{name[:_LONGEST_NAME]}..."
        step = _step(table) if table in known else "lock"
        text = f"{name} is unknown to this program; it is kept in the file."
        notes.append(UNKNOWN_KEY.at(step).found(text))
    more = len(paths) - MOST_UNKNOWN
    if more > 0:
        text = f"{more} more keys are unknown to this program; they are kept in the file."
        notes.append(UNKNOWN_KEY.at("lock").found(text))
    return notes


def _unknown(tree: dict[str, Any]) -> dict[tuple[str, ...], object]:
    found: dict[tuple[str, ...], object] = {}
    known = _known()
    for name, value in tree.items():
        if name not in known:
            found[(name,)] = value
        elif name in row_kinds():
            continue  # what is inside a row goes when the row goes, and is noted apart
        elif name in table_fields() and isinstance(value, dict):
            # what is inside a part's own tables goes when the part goes, and is noted apart
            found |= {(name, key): v for key, v in value.items() if not isinstance(v, dict)}
        elif isinstance(value, dict):
            own = dataclasses.fields(sections()[name])
            here = {field.name for field in own}
            found |= {(name, key): v for key, v in value.items() if key not in here}
    return found
