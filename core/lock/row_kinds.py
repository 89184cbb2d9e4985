"""The row kinds that there are: found by themselves, as modules of `core.lock.rows`."""

import importlib
import pkgutil
from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from core.lock import rows
from core.lock.row import RowKind, is_bare


@cache
def row_kinds() -> Mapping[str, RowKind]:
    """Return every row kind by the name of its table, in alphabetical order of the tables."""
    found = {}
    for module in pkgutil.iter_modules(rows.__path__):
        kind = getattr(importlib.import_module(f"{rows.__name__}.{module.name}"), "ROWS", None)
        if kind is not None:
            found[kind.table] = kind
    return MappingProxyType(dict(sorted(found.items())))


def kind_called(title: str) -> RowKind | None:
    """Return the kind of the row that is called so, such as `post a`; None for what is called like no row."""
    singular, _, name = title.rpartition(" ")
    kinds = (kind for kind in row_kinds().values() if kind.singular == singular)
    return next(kinds, None) if is_bare(name) else None


def the(name: str) -> str:
    """Return what is called `name` as it stands in a sentence: `the bolt`, but `post a`."""
    return f"the {name}" if kind_called(name) is None else name


def kind_of(row: type) -> RowKind:
    """Return the row kind of a dataclass; KeyError for one that is no row's."""
    for kind in row_kinds().values():
        if kind.row is row:
            return kind
    raise KeyError(row.__name__)
