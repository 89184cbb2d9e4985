"""All keys of the program, gathered from the tables of this room."""

import importlib
import pkgutil
from functools import cache

from tui import keys
from tui.keys.acts import Keys


@cache
def all_keys() -> tuple[Keys, ...]:
    """Return the keys of every screen and dialog, each one once."""
    found = []
    for module in pkgutil.iter_modules(keys.__path__):
        table = importlib.import_module(f"{keys.__name__}.{module.name}")
        found += [value for value in vars(table).values() if isinstance(value, Keys)]
    return tuple(dict.fromkeys(found))
