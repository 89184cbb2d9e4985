"""Shipped tables, read with mistrust: a row without a source or with a doubtful number is refused by name.

A table is a TOML file in `shared/`: groups of rows. A number belongs to a column, known by its key, which says
in what unit it is and between which ends it can lie at all. A row has a source of its own or that of the row
around it. What can be told from the table alone is told here; that a number is the right one is for the tests,
which hold every one against a second source.
"""

import itertools
import math
import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import Any, NoReturn

from core.errors import BadTableError
from core.shipped import shared_table
from core.units import INCH

Tree = Mapping[str, Any]
_DOUBT = re.compile(r"\?|\b(todo|tbd|unknown|doubtful|guess(ed)?|unsure|xxx)\b", re.IGNORECASE)
"""Words by which a source says that it is none."""
_TELLS_NOTHING = ("source", "unit", "note")
"""Texts of a row that are not part of its name."""


@dataclass(frozen=True)
class Column:
    """What the numbers of one key are: their unit, and the least and the greatest that can be right."""

    unit: str
    low: float
    high: float


Columns = Mapping[str, Column]


@dataclass(frozen=True)
class Row:
    """One row of a table, every number of it looked at; `name` is how a refusal calls it."""

    table: str
    name: str
    source: str
    values: Tree
    inner: Mapping[str, tuple["Row", ...]] = field(default_factory=dict)

    def number(self, key: str) -> float:
        """Return the number of a column, in the column's unit."""
        value = self.values.get(key)
        return self.refuse(f"lacks {key}") if value is None else float(value)

    def number_or_none(self, key: str) -> float | None:
        """Return the number of a column that a row may leave out."""
        return self.number(key) if key in self.values else None

    def numbers_by_name(self, key: str) -> dict[str, float]:
        """Return a column of numbers by their names, such as thicknesses by gauge number."""
        found = self.values.get(key)
        if not isinstance(found, Mapping):
            self.refuse(f"lacks {key}")
        return {name: float(value) for name, value in found.items()}

    def listed(self, key: str) -> tuple[Any, ...]:
        """Return a list of numbers or of texts."""
        found = self.values.get(key)
        return tuple(found) if isinstance(found, list) else self.refuse(f"lacks {key}")

    def text(self, key: str) -> str:
        """Return a text of the row."""
        found = self.values.get(key)
        return found if isinstance(found, str) else self.refuse(f"lacks {key}")

    def rows(self, key: str) -> tuple["Row", ...]:
        """Return the rows that stand under this one."""
        return self.inner[key] if key in self.inner else self.refuse(f"lacks {key}")

    @property
    def scale(self) -> float:
        """Length [mm] of the row's unit, mm or in."""
        return float(INCH) if self.text("unit") == "in" else 1.0

    def in_order(self, *keys: str) -> None:
        """Refuse the row unless the numbers of these keys rise or stay; a key left out is passed over."""
        there = [(key, self.number(key)) for key in keys if key in self.values]
        for (one, low), (other, high) in itertools.pairwise(there):
            if low > high:
                self.refuse(f"has {one} = {low:g} above {other} = {high:g}")

    def refuse(self, why: str) -> NoReturn:
        """Raise the refusal of this row.

        Raises
        ------
        BadTableError
            Always: the sentence names the table, the row and `why`.
        """
        raise BadTableError(
            f"The shipped table {self.table} is not to be relied on: {self.name} {why}."
        )


def rows(table: str, group: str, columns: Columns, tree: Tree | None = None) -> tuple[Row, ...]:
    """Return the rows of one group of a shared table, such as `pair` of friction.toml, each of them sound.

    `tree` takes the place of the file, for those who try the reader out. The whole table is looked at, not the
    group alone.

    Raises
    ------
    BadTableError
        For a table that is not there or no TOML, a row without a source, a source that doubts itself, a number in
        no column, one that is no number, and one that cannot be right.
    """
    if tree is None:
        tree = _load(table)
    found = {
        name: tuple(_rows(table, name, entries, columns, "")) for name, entries in tree.items()
    }
    if not found.get(group):
        _refuse(table, f"it has no {group}")
    return found[group]


def follow(rows: Sequence[Row], key: str, *, falling: bool = False) -> None:
    """Refuse the first row whose number of `key` does not rise above the one before it, or fall below.

    A slip of the pen in an ordered table mostly puts a row out of its order.
    """
    for before, row in itertools.pairwise(rows):
        _follows(row, key, before.number(key), row.number(key), falling=falling)


def in_sequence(row: Row, key: str, numbers: Sequence[float], *, falling: bool = False) -> None:
    """Refuse a row that holds a list of numbers of which one does not follow on the one before it."""
    for before, number in itertools.pairwise(numbers):
        _follows(row, key, before, number, falling=falling)


def _follows(row: Row, key: str, before: float, number: float, *, falling: bool) -> None:
    if (before - number if falling else number - before) <= 0:
        row.refuse(
            f"has {key} {number:g} after {before:g}: they do not {'fall' if falling else 'rise'}"
        )


@cache
def _load(table: str) -> Tree:
    try:
        return tomllib.loads(shared_table(table).read_text("utf-8"))
    except (KeyError, OSError, ValueError) as error:
        raise BadTableError(f"The shipped table {table} cannot be read: {error}.") from error


def _rows(table: str, group: str, entries: Any, columns: Columns, source: str) -> Iterator[Row]:
    for entry in entries if isinstance(entries, list) else [entries]:
        if not isinstance(entry, Mapping):
            _refuse(table, f"{group} holds {entry!r}, which is no row")
        texts = [v for k, v in entry.items() if isinstance(v, str) and k not in _TELLS_NOTHING]
        name = f"{group} {', '.join(texts)}".rstrip()
        own = entry.get("source", source)
        row = Row(table, name, own if isinstance(own, str) else "", entry)
        if not row.source.strip():
            row.refuse("has no source")
        if _DOUBT.search(row.source):
            row.refuse(f"has a source that doubts itself, {row.source!r}")
        inner = dict(_looked_at(row, columns))
        yield Row(table, name, row.source, entry, inner)


def _looked_at(row: Row, columns: Columns) -> Iterator[tuple[str, tuple[Row, ...]]]:
    """Look at every value of a row; yield the rows that stand under it."""
    for key, value in row.values.items():
        match value:
            case str():
                if not value.strip():
                    row.refuse(f"has an empty {key}")
            case list() if all(isinstance(each, str) for each in value):
                pass
            case list() if not any(isinstance(each, Mapping) for each in value):
                for number in value:
                    _sound(row, key, number, columns.get(key))
            case list():
                yield key, tuple(_rows(row.table, key, value, columns, row.source))
            case Mapping():
                for name, number in value.items():
                    _sound(row, f"{key} {name}", number, columns.get(key))
            case _:
                _sound(row, key, value, columns.get(key))


def _sound(row: Row, key: str, value: Any, column: Column | None) -> None:
    if column is None:
        row.refuse(f"has {key}, which is no column of this table")
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        row.refuse(f"has {key} = {value!r}, which is no number")
    if not math.isfinite(value) or not column.low <= value <= column.high:
        row.refuse(
            f"has {key} = {value:g} {column.unit}".rstrip()
            + f", and only {column.low:g} to {column.high:g} can be right"
        )


def _refuse(table: str, why: str) -> NoReturn:
    raise BadTableError(f"The shipped table {table} is not to be relied on: {why}.")
