"""How far the maker has got with a new lock: values that nobody has taken yet, and sizes that are kept.

In the project file each of the two has a table, `[walk.unseen.paths]` and `[walk.kept.paths]`. A key of it is a table
of the lock, or `lock` for what stands in none; its value names keys of that table, with a comma between.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from core.errors import BadValueError
from core.lock.fields import FromFile, ToFile, inner_leaves, inner_tables
from core.text import shown

UNSEEN, KEPT = "unseen", "kept"
_LONGEST = 2000
_SIDE = "paths"
_NO_TABLE = "lock"
_KEY = re.compile(r"[A-Za-z0-9_-]{1,60}")


@dataclass(frozen=True, order=True)
class Mark:
    """What stands with one path of a lock: `UNSEEN`, `KEPT`, or a word of a newer program."""

    what: str
    path: str


def read_walk(tree: Mapping[str, Any], _: FromFile) -> tuple[Mark, ...]:
    """Return the marks from the tables of a project file, sorted; what is no such table is left out.

    Raises
    ------
    BadValueError
        For `paths` that are no table, or a value that names no keys.
    """
    found = set()
    for what, table, value, name in inner_leaves(tree, "walk", _SIDE):
        keys = value.split(",") if isinstance(value, str) and len(value) <= _LONGEST else [""]
        for key in map(str.strip, keys):
            if not _KEY.fullmatch(key):
                raise BadValueError(
                    f"{name} = {shown(value)} is not allowed: it takes keys of [{table}] in quotes, a comma between"
                )
            found.add(Mark(what, key if table == _NO_TABLE else f"{table}.{key}"))
    return tuple(sorted(found))


def write_walk(walk: Iterable[Mark], _: ToFile) -> dict[str, Any]:
    """Return the tables of a project file for some marks, by what they are."""
    keys: dict[tuple[str, str], list[str]] = {}
    for mark in sorted(walk):
        table, _dot, key = mark.path.rpartition(".")
        keys.setdefault((mark.what, table or _NO_TABLE), []).append(key)
    leaves = ((what, table, ", ".join(found)) for (what, table), found in keys.items())
    return inner_tables(_SIDE, leaves)
