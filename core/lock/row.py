"""Rows: the parts that a lock can have several of, each a table with a name of its own.

Glossary: a *row* is one of them, such as the post `a`, which the file has as `[posts.a]`; its *name* is a bare word
and lasts whatever becomes of the others. A *row kind* says what all rows of one table have in common.
"""

import dataclasses
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from types import MappingProxyType
from typing import Any

from core.errors import BadValueError
from core.lock.spec import Spec
from core.text import shown

_BARE = re.compile(r"[A-Za-z0-9_-]+")
MOST_ROWS = 100
"""Most rows of one table: more than a plate has room for, and every check goes through all of them."""
NAME_TAKES = "plain letters, digits, _ and -, without blanks"
"""What a row's name takes, in words."""


def is_bare(name: str) -> bool:
    """Say whether `name` is a bare word, which may name a row."""
    return _BARE.fullmatch(name) is not None


@dataclass(frozen=True)
class RowKind:
    """One part that there can be several of.

    `table` is its name in the project file, `singular` what one is called, and `row` the frozen dataclass
    of its values, declared as those of a section are; a value declared `NEEDED` must stand in the file. `about` heads
    each row in the file. `place` are the keys of its middle in the mechanism frame, for one that is
    fixed in the plates, and `hole` is that of the diameter of its hole, for one that goes through both of them.
    """

    table: str
    singular: str
    row: type
    about: str
    place: tuple[str, str] | None = None
    hole: str = ""

    @property
    def plural(self) -> str:
        """What several are called."""
        return self.table.replace("_", " ")

    def title(self, name: str) -> str:
        """Return what the row called `name` is called in texts and drawings, such as `post a`."""
        return f"{self.singular} {name}"

    @cached_property
    def specs(self) -> Mapping[str, Spec]:
        """What each value of a row is, by its key."""
        fields = dataclasses.fields(self.row)
        return MappingProxyType({f.name: f.metadata["spec"] for f in fields})

    @cached_property
    def usual(self) -> Mapping[str, Any]:
        """The values that are taken where a file has none, by key."""
        missing = dataclasses.MISSING
        found = {
            f.name: f.default for f in dataclasses.fields(self.row) if f.default is not missing
        }
        return MappingProxyType(found)

    @property
    def needed(self) -> tuple[str, ...]:
        """The keys that every row must have in the file."""
        return tuple(key for key in self.specs if key not in self.usual)

    def check_name(self, name: str) -> str:
        """Return the name of a row, or refuse it.

        Raises
        ------
        BadValueError
            For a name that is no bare word.
        """
        if not is_bare(name):
            raise BadValueError(
                f"{shown(name)} is no name for one of the {self.plural}: it takes {NAME_TAKES}"
            )
        return name


@dataclass(frozen=True)
class Named:
    """One row with its name.

    `was` is the name under which it stands in the file that it came from, empty for a new one. It says where the
    row's comment and unknown keys are, and is no part of what the row is.
    """

    name: str
    row: Any
    was: str = field(default="", compare=False)


@dataclass(frozen=True)
class Rows:
    """All rows of a lock: the tables that have any, by name, each in the order of the file."""

    tables: tuple[tuple[str, tuple[Named, ...]], ...] = ()

    def of(self, table: str) -> tuple[Named, ...]:
        """Return the rows of one table, in order."""
        return dict(self.tables).get(table, ())

    def with_table(self, table: str, rows: tuple[Named, ...]) -> "Rows":
        """Return these rows with others in one table."""
        others = {name: kept for name, kept in self.tables if name != table}
        if rows:
            others[table] = rows
        return Rows(tuple(sorted(others.items())))
