"""The rows of a project file: tables within a table, one for each post and so on."""

from collections.abc import Mapping
from typing import Any, NamedTuple

from core.errors import BadFileError, BadValueError
from core.files.file_values import is_settled, value_at
from core.files.project_tables import unknown_leaves
from core.lock.lock import Lock
from core.lock.paths import row_path
from core.lock.row import MOST_ROWS, RowKind
from core.lock.row_changes import made_row, with_row
from core.lock.row_kinds import row_kinds
from core.text import shown


class RowReading(NamedTuple):
    """A lock with its rows, and what there is to say of them.

    `missing` are the paths of values that the file has not, `unknown` what it holds beyond, by table and name, and
    `settled` values that are read as 0 without being written so.
    """

    lock: Lock
    missing: tuple[str, ...]
    unknown: tuple[tuple[str, str], ...]
    settled: tuple[tuple[str, object], ...]


def read_rows(lock: Lock, tree: Mapping[str, Any]) -> RowReading:
    """Return the lock with the rows that the tables of a project file state.

    Raises
    ------
    BadFileError
        One sentence, without the file's name, on the first thing that cannot stand.
    """
    missing: list[str] = []
    unknown: list[tuple[str, str]] = []
    settled: list[tuple[str, object]] = []
    for table, kind in row_kinds().items():
        found = tree.get(table, {})
        if not isinstance(found, dict):
            raise BadFileError(
                f"{table} = {shown(found)} is not allowed: it takes a table for each {kind.singular}, "
                f"written [{table}.a] and so on"
            )
        if len(found) > MOST_ROWS:
            raise BadFileError(
                f"{table} are {len(found)} in the file: it takes up to {MOST_ROWS}, as every check of the lock goes "
                "through all of them"
            )
        for name, values in found.items():
            try:
                lock = with_row(lock, table, name, _row(kind, name, values), was=name)
            except BadValueError as error:
                raise BadFileError(str(error)) from error
            missing += [row_path(table, name, key) for key in kind.usual if key not in values]
            known = {key: values[key] for key in kind.specs if key in values}
            settled += [
                (row_path(table, name, key), v) for key, v in known.items() if is_settled(v)
            ]
            unknown += [(table, f"{name}.{leaf}") for leaf in unknown_leaves(values, known)]
    return RowReading(lock, tuple(missing), tuple(unknown), tuple(settled))


def _row(kind: RowKind, name: str, values: object) -> Any:
    kind.check_name(name)
    if not isinstance(values, dict):
        raise BadValueError(
            f"{kind.table}.{name} = {shown(values)} is not allowed: each {kind.singular} is a table with a name of "
            f"its own, written [{kind.table}.a] and so on"
        )
    known = {}
    for key in kind.specs:
        if key in values:
            path = row_path(kind.table, name, key)
            known[key] = value_at(path, values[key], path)
    return made_row(kind.table, name, known)
