"""The row kinds that there are: found by themselves, as modules of `core.lock.rows`."""

import importlib
import pkgutil
from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from core.lock import rows
from core.lock.row import RowKind


@cache
def row_kinds() -> Mapping[str, RowKind]:
    """Return every row kind by the name of its table, in alphabetical order of the tables."""
    found = {}
    for module in pkgutil.iter_modules(rows.__path__):
        kind = getattr(importlib.import_module(f"{rows.__name__}.{module.name}"), "ROWS", None)
        if kind is not None:
            found[kind.table] = kind
    return MappingProxyType(dict(sorted(found.items())))


def kind_of(row: type) -> RowKind:
    """Return the row kind of a dataclass; KeyError for one that is no row's."""
    for kind in row_kinds().values():
        if kind.row is row:
            return kind
    raise KeyError(row.__name__)
