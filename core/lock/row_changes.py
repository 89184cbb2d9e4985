"""The rows of a lock as a whole: looked at, added, copied, taken away, and given another name.

Each returns a new lock. A row is told by the name of its table and its own name.
"""

import itertools
from collections.abc import Iterable, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any, TypeVar

from core.errors import BadValueError
from core.lock.lock import Lock, spec_of
from core.lock.made import Made, Values, ordered
from core.lock.paths import place_at, row_path
from core.lock.row import Named
from core.lock.row_kinds import kind_of, row_kinds
from core.text import shown

T = TypeVar("T")
_LETTERS = "abcdefghijklmnopqrstuvwxyz"


def rows_of(lock: Lock, row: type[T]) -> Mapping[str, T]:
    """Return the rows of one dataclass by name, in the order of the file."""
    return MappingProxyType({named.name: named.row for named in lock.rows.of(kind_of(row).table)})


def names_in(lock: Lock, table: str) -> tuple[str, ...]:
    """Return the names of the rows in a table, in the order of the file."""
    return tuple(named.name for named in lock.rows.of(table))


def free_name(lock: Lock, table: str) -> str:
    """Return the first of a, b, ... z, aa, ab, ... that no row of the table has."""
    taken = set(names_in(lock, table))
    words = ("".join(w) for n in itertools.count(1) for w in itertools.product(_LETTERS, repeat=n))
    return next(word for word in words if word not in taken)


def made_row(table: str, name: str, values: Mapping[str, object]) -> Any:
    """Return a row of `values` by key [mm, degrees or N], what is missing as usual.

    Raises
    ------
    BadValueError
        For a value that may not stand, or a value that every row must have and this has not.
    """
    kind = row_kinds()[table]
    lacking = [key for key in kind.needed if key not in values]
    if lacking:
        needs = " and ".join(kind.needed)
        raise BadValueError(
            f"{row_path(table, name, lacking[0])} is missing: a {kind.singular} needs {needs}"
        )
    good = {}
    for key, value in values.items():
        path = row_path(table, name, key)
        good[key] = spec_of(path).check(value, path)
    return kind.row(**good)


def with_row(
    lock: Lock, table: str, name: str, row: object, *, after: str = "", was: str = ""
) -> Lock:
    """Return the lock with one more row, the last of its table or the one `after` another.

    `was` is the name under which it stands in the file that it came from.

    Raises
    ------
    BadValueError
        For a name that is no bare word, or that another row has.
    """
    _free(lock, table, name)
    rows = list(lock.rows.of(table))
    names = [named.name for named in rows]
    rows.insert(names.index(after) + 1 if after in names else len(rows), Named(name, row, was))
    return _with(lock, table, rows)


def without_row(lock: Lock, table: str, name: str) -> Lock:
    """Return the lock without one row; the same lock where it has none of that name.

    What was made to it stays: a hole that is drilled does not go away with the plan.
    """
    return _with(lock, table, (named for named in lock.rows.of(table) if named.name != name))


def renamed_row(lock: Lock, table: str, old: str, new: str) -> Lock:
    """Return the lock in which a row has another name, in its place; so it has on what is made.

    Raises
    ------
    KeyError
        For a row that there is none of.
    BadValueError
        For a name that is no bare word, or that another row has.
    """
    if old not in names_in(lock, table):
        raise KeyError(row_path(table, old))
    if old == new:
        return lock
    _free(lock, table, new)
    rows = (
        replace(named, name=new) if named.name == old else named for named in lock.rows.of(table)
    )
    # what is made may remember a row of the new name that has gone since: the two change names
    names = {old: new, new: old}
    made = tuple(
        Made(
            m.part,
            *(_renamed(side, table, names) for side in (m.planned, m.measured, m.dated, m.noted)),
        )
        for m in lock.made
    )
    return replace(_with(lock, table, rows), made=made)


def names_in_file(lock: Lock) -> dict[str, dict[str, str]]:
    """Return by table and name under which other name a row stands in the file that it came from, empty for none."""
    found = {
        table: {named.name: named.was for named in rows if named.was != named.name}
        for table, rows in lock.rows.tables
    }
    return {table: names for table, names in found.items() if names}


def with_names_in_file(lock: Lock, names: object) -> Lock:
    """Return the lock with its rows told from those of a file as `names_in_file` says it.

    Raises
    ------
    BadValueError
        For what is no such names.
    """
    if not isinstance(names, dict) or not names.keys() <= dict(lock.rows.tables).keys():
        raise BadValueError(f"{shown(names)} are no names of rows")
    for table, inner in names.items():
        if not isinstance(inner, dict) or not all(isinstance(was, str) for was in inner.values()):
            raise BadValueError(f"{shown(inner)} are no names of rows")
        rows = lock.rows.of(table)
        lock = _with(lock, table, (replace(n, was=inner.get(n.name, n.was)) for n in rows))
    return lock


def _renamed(values: Values, table: str, names: Mapping[str, str]) -> Values:
    found = {}
    for path, value in values:
        place = place_at(path)
        if place.kind is not None and place.table == table:
            place = replace(place, row=names.get(place.row, place.row))
        found[place.path] = value
    return ordered(found)


def _free(lock: Lock, table: str, name: str) -> None:
    """Refuse a name that a new row of a table may not have."""
    kind = row_kinds()[table]
    kind.check_name(name)
    if name in names_in(lock, table):
        raise BadValueError(f"There is a {kind.title(name)} already: each has a name of its own")


def _with(lock: Lock, table: str, rows: Iterable[Named]) -> Lock:
    return replace(lock, rows=lock.rows.with_table(table, tuple(rows)))
